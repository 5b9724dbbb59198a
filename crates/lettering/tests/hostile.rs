//! Fonts that are broken or mean harm: an error, never a panic, and soon.

mod common;

use lettering::{Face, LetteringError, Style, set};

use crate::common::{made_of, noto, polygon, true_type};

const TEXT: &str = "Żółć & Äpfel 123 αβγ жщю";

/// Whatever comes of it, it comes.
fn try_to_set(bytes: Vec<u8>, text: &str) -> Result<(), LetteringError> {
    let face = Face::read(bytes)?;
    for height in [5, 9, 23] {
        set(text, &face, &Style::new(height))?;
    }
    set(text, &face, &Style { width: Some(30), ..Style::new(40) }).map(drop)
}

#[test]
fn what_is_no_font() {
    for bytes in [&b""[..], b"a", b"not a font at all", &[0; 500], b"OTTO", b"ttcf\0\x01\0\0\xff\xff\xff\xff"]
    {
        assert!(matches!(Face::read(bytes.to_vec()), Err(LetteringError::NotAFont { .. })), "{bytes:?}");
    }
    let error = Face::read(vec![0; 100]).unwrap_err();
    assert!(error.to_string().starts_with("the file is no font: "), "{error}");
    assert_eq!(error.hint().unwrap(), "bring a .ttf or .otf file");
    assert!(matches!(Face::read(vec![0; 33 << 20]), Err(LetteringError::FontTooLarge { .. })));
    assert!(matches!(Face::read(common::sfnt(&common::plain_tables(2))), Err(LetteringError::NoOutlines)));
}

#[test]
fn fonts_cut_short() {
    let font = noto();
    for part in 0..400 {
        let _ = try_to_set(font[..font.len() * part / 400].to_vec(), "Äpfel жщ");
    }
    for length in 0..1_000 {
        let _ = try_to_set(font[..length].to_vec(), "a");
    }
}

#[test]
fn fonts_with_changed_bytes() {
    let font = noto();
    let mut state = 1_u64;
    let mut chance = |below: usize| {
        // Knuth's MMIX generator, from memory.
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(state >> 33).unwrap() % below
    };
    for round in 0..300 {
        let mut changed = font.clone();
        // The tables' heads are at the front, so half of the changes go there.
        let reach = if round % 2 == 0 { 2_000 } else { font.len() };
        for _ in 0..=chance(30) {
            changed[chance(reach)] = u8::try_from(chance(256)).unwrap();
        }
        let _ = try_to_set(changed, TEXT);
    }
}

#[test]
fn letters_within_letters() {
    let square = polygon(&[(0, 0), (0, 700), (500, 700), (500, 0)]);
    let honest = [vec![], square.clone(), made_of(&[1])];
    assert_eq!(try_to_set(true_type(&honest), "A\nB"), Ok(()));
    let face = Face::read(true_type(&honest)).unwrap();
    assert_eq!(set("A", &face, &Style::new(7)), set("B", &face, &Style::new(7)));

    // Each letter is the next one a hundred times over, and the last is the square.
    let mut glyphs = vec![vec![]];
    glyphs.extend((2..8).map(|next| made_of(&[next; 100])));
    glyphs.push(square.clone());
    assert_eq!(try_to_set(true_type(&glyphs), "A"), Err(LetteringError::TooIntricate));
    // The same with empty glyphs at the end, and round in a circle.
    let last = glyphs.len() - 1;
    glyphs[last] = vec![];
    assert_eq!(try_to_set(true_type(&glyphs), "A"), Err(LetteringError::TooIntricate));
    for circle in [vec![vec![], made_of(&[1])], vec![vec![], made_of(&[2, 2]), made_of(&[1, 1])]] {
        assert_eq!(try_to_set(true_type(&circle), "A"), Err(LetteringError::TooIntricate));
    }
}

#[test]
fn letters_out_of_proportion() {
    // Measures come from A's neighbours H and I where there are any; here A is all there is.
    let wide = polygon(&[(-32_000, 0), (-32_000, 10), (32_000, 10), (32_000, 0)]);
    let face = Face::read(true_type(&[vec![], wide])).unwrap();
    assert!(set("A", &face, &Style::new(5)).is_ok());
    assert!(matches!(set("A", &face, &Style::new(500)), Err(LetteringError::TooLarge { .. })));

    let saw: Vec<(i32, i32)> = (0..8_000).map(|i| (i % 500, if i % 2 == 0 { 0 } else { 16_000 })).collect();
    let face = Face::read(true_type(&[vec![], polygon(&saw)])).unwrap();
    assert_eq!(set("A", &face, &Style::new(200)), Err(LetteringError::TooIntricate));

    let thin = polygon(&[(100, 0), (100, 700), (101, 700), (101, 0)]);
    let face = Face::read(true_type(&[vec![], thin])).unwrap();
    let block = set("A", &face, &Style::new(12)).unwrap();
    assert_eq!((block.columns(), block.rows(), block.inked().count()), (1, 12, 12));
}

#[test]
fn damaged_letters_are_named() {
    let mut broken = polygon(&[(0, 0), (0, 700), (500, 700), (500, 0)]);
    broken.truncate(14);
    assert_eq!(try_to_set(true_type(&[vec![], broken]), "A"), Err(LetteringError::Damaged { letter: 'A' }));
}
