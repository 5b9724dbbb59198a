//! Charts drawn to look at, and what no export may carry on from a photograph.

use image::Rgb;

use crate::bench::{Bench, demo_yarns};
use crate::marks::{jpeg, picture};

/// A chart of 3 stitches by 2 rows, as CSV.
fn bench() -> Bench {
    let bench = Bench::new();
    bench.write("c.csv", "#c02020,#c02020,#2020c0\n#2020c0,#2020c0,#c02020\n");
    bench
}

#[test]
fn a_chart_is_drawn_as_svg_or_png_by_its_name() {
    let bench = bench();
    let drawn =
        |arguments: &[&str]| bench.done(&[&["picture", "c.csv", "--gauge", "14x7"][..], arguments].concat());
    assert!(drawn(&["--out", "c.svg"]).err.contains("written: c.svg"));
    drawn(&["--out", "C.PNG"]);
    drawn(&["--out", "left.svg", "--hand", "left"]);

    let svg = bench.text("c.svg");
    assert!(
        svg.starts_with("<svg ") && svg.contains("<title id=\"title\">Chart of 3 stitches by 2 rows</title>")
    );
    assert!(svg.contains("starts at the right") && bench.text("left.svg").contains("starts at the left"));
    let png = image::load_from_memory(&bench.read("C.PNG")).expect("a PNG").into_rgb8();
    // Both are the same drawing: as many pixels, and in the middle of row 2's first cells the same red.
    assert!(svg.contains(&format!("width=\"{}\" height=\"{}\"", png.width(), png.height())));
    assert!(png.pixels().any(|pixel| *pixel == Rgb([0xc0, 0x20, 0x20])) && svg.contains("fill=\"#c02020\""));
    // Twice as many stitches as rows in 10 cm: a cell is twice as high as wide.
    let tall = |gauge: &str| {
        bench.done(&["picture", "c.csv", "--gauge", gauge, "--out", "t.png", "--force"]);
        image::load_from_memory(&bench.read("t.png")).expect("a PNG").height()
    };
    assert_eq!(tall("14x7") - tall("14x14"), 2 * 24);

    let told = bench.done(&["picture", "c.csv", "--out", "j.svg", "--json"]).json();
    assert_eq!(told["written"][0], "j.svg");
    assert!(told["notes"][0].as_str().expect("a note").contains("no gauge given"));
}

#[test]
fn a_list_names_the_yarns_of_the_drawing() {
    let bench = bench();
    let yarn = |key, name, colour| {
        format!(
            "[[yarn]]\nkey = \"{key}\"\nname = \"{name}\"\ncolour = \"{colour}\"\n\
             weight = \"medium\"\nmetres = 90\ngrams = 50\n"
        )
    };
    bench.write("yarns.toml", yarn("brick", "<Brick & co>", "#c02020") + &yarn("pond", "Pond", "#2020c0"));
    bench.write("named.csv", "brick,brick,pond\npond,pond,brick\n");
    bench.done(&["picture", "named.csv", "--yarns", "yarns.toml", "--out", "c.svg"]);
    let svg = bench.text("c.svg");
    assert!(svg.contains("&lt;Brick &amp; co&gt;  3 stitches") && svg.contains("Pond  3 stitches"));
}

#[test]
fn drawings_that_cannot_be() {
    let bench = bench();
    for name in ["c.jpg", "c", "c.svgz"] {
        let out = format!("--out {name}");
        bench.refused(&["picture", "c.csv", "--out", name], 2, &[&out, "SVG or PNG", "c.svg or c.png"]);
    }
    bench.refused(&["picture", "c.csv"], 2, &["--out PICTURE is missing"]);
    bench.refused(&["picture", "none.csv", "--out", "c.svg"], 3, &["none.csv"]);
    bench.refused(&["picture", "c.csv", "--out", "nowhere/c.svg"], 5, &["nowhere", "no such folder"]);
    bench.write("c.svg", "there already");
    bench.refused(&["picture", "c.csv", "--out", "c.svg"], 5, &["c.svg", "--force"]);
    bench.done(&["picture", "c.csv", "--out", "c.svg", "--force"]);
    bench.done(&["picture", "c.csv", "--out", "c.png"]);
    bench.refused(&["picture", "c.png", "--out", "c.png", "--force"], 5, &["the very file that is read"]);
}

// What a camera wrote; invented.
const MAKER: &str = "Lantern Optics";
const MODEL: &str = "Nightjar 7";
const TAKEN: &str = "2019:07:14 05:31:09";
const COMMENT: &str = "the gate behind the mill";
const PLACE: &str = "Quillwater";
/// Degrees, minutes and seconds, each a fraction.
const LATITUDE: [(u32, u32); 3] = [(61, 1), (23, 1), (481_223, 10_007)];
const LONGITUDE: [(u32, u32); 3] = [(17, 1), (41, 1), (593_071, 10_009)];

fn fractions(parts: [(u32, u32); 3]) -> Vec<u8> {
    parts.iter().flat_map(|(over, under)| [over.to_be_bytes(), under.to_be_bytes()].concat()).collect()
}

/// EXIF data with maker, model, day and place. TIFF 6.0 and Exif 2.3, from memory: an entry has tag, type
/// (2 text, 4 number, 5 fraction), how many, and where they stand; up to four bytes stand there themselves.
fn exif() -> Vec<u8> {
    let mut data = b"MM\0*\0\0\0\x08".to_vec();
    let texts = [(0x010f_u16, MAKER), (0x0110, MODEL), (0x0132, TAKEN)];
    let gps = 8 + 2 + 12 * 4 + 4;
    let mut free = gps + 2 + 12 * 4 + 4;
    let mut heap: Vec<u8> = Vec::new();
    let mut entry = |data: &mut Vec<u8>, tag: u16, kind: u16, count: usize, value: &[u8]| {
        data.extend([tag.to_be_bytes(), kind.to_be_bytes()].concat());
        data.extend(u32::try_from(count).expect("few").to_be_bytes());
        if value.len() <= 4 {
            data.extend([value, &[0; 4]].concat().iter().take(4));
        } else {
            data.extend(u32::try_from(free).expect("short").to_be_bytes());
            heap.extend(value);
            free += value.len();
        }
    };
    data.extend([0, 4]);
    for (tag, text) in texts {
        entry(&mut data, tag, 2, text.len() + 1, &[text.as_bytes(), b"\0"].concat());
    }
    entry(&mut data, 0x8825, 4, 1, &u32::try_from(gps).expect("short").to_be_bytes());
    data.extend([0; 4]);
    data.extend([0, 4]);
    entry(&mut data, 1, 2, 2, b"N\0");
    entry(&mut data, 2, 5, 3, &fractions(LATITUDE));
    entry(&mut data, 3, 2, 2, b"E\0");
    entry(&mut data, 4, 5, 3, &fractions(LONGITUDE));
    data.extend([0; 4]);
    data.extend(heap);
    data
}

/// A photograph with all that a camera and its owner may have left in it.
fn photograph() -> Vec<u8> {
    let bare = jpeg(&picture());
    let mut bytes = bare[..2].to_vec();
    let mut segment = |marker: u8, content: &[u8]| {
        bytes.extend([0xff, marker]);
        bytes.extend(u16::try_from(content.len() + 2).expect("short").to_be_bytes());
        bytes.extend(content);
    };
    segment(0xe1, &[b"Exif\0\0", &exif()[..]].concat());
    let xmp = format!(
        "http://ns.adobe.com/xap/1.0/\0<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">{PLACE} {MODEL}</x:xmpmeta>"
    );
    segment(0xe1, xmp.as_bytes());
    segment(0xed, format!("Photoshop 3.0\08BIM\u{4}\u{4}\0\0{PLACE}").as_bytes());
    segment(0xfe, COMMENT.as_bytes());
    [&bytes, &bare[2..]].concat()
}

fn holds(bytes: &[u8], secret: &[u8]) -> bool {
    bytes.windows(secret.len()).any(|part| part == secret)
}

/// Every way from a photograph to a file: nothing of when, where and with what it was taken comes along, not
/// even packed, nor the name of the photograph.
#[test]
fn no_export_carries_anything_of_the_camera() {
    let bench = Bench::new();
    let file = "gate-2019-07-14.jpg";
    bench.write(file, photograph());
    let secrets: Vec<Vec<u8>> = [MAKER, MODEL, TAKEN, "2019", COMMENT, PLACE, "Exif", "xmp", "8BIM", "gate"]
        .iter()
        .map(|text| text.as_bytes().to_vec())
        .chain([fractions(LATITUDE), fractions(LONGITUDE), LATITUDE[2].0.to_be_bytes().to_vec()])
        .collect();
    let photograph = bench.read(file);
    assert!(
        secrets[..7].iter().chain(&secrets[10..]).all(|secret| holds(&photograph, secret)),
        "all of it is in there"
    );

    let yarns = demo_yarns();
    let from = [file, "--yarns", &yarns, "--width", "24st", "--colours", "3"];
    bench.done(&[&["make"][..], &from, &["--out", "made"]].concat());
    bench.done(&[&["chart"][..], &from, &["--out", "c.png", "--picture-out", "look.png"]].concat());
    bench.done(&[&["chart"][..], &from, &["--out", "c.csv"]].concat());
    bench.done(&["plan", "c.png", "--out", "p.json"]);
    bench.done(&["picture", "c.png", "--out", "p.svg"]);
    bench.done(&["picture", "c.png", "--out", "p.png"]);
    bench.done(&["fabric", "c.png", "p.json", "--out", "front.png", "--back", "back.png"]);
    bench.done(&["rows", "c.png", "p.json", "--out", "rows.txt"]);
    bench.done(&["amounts", "c.png", "p.json", "--ends", "--out", "amounts.txt"]);
    bench.done(&["print", "c.png", "p.json", "--out", "pattern.html"]);

    let mut pictures = 0;
    let written = bench.files().into_iter().filter_map(|(path, (_, bytes))| Some((path, bytes?)));
    let written: Vec<_> = written.filter(|(path, _)| !path.ends_with(file)).collect();
    assert_eq!(written.len(), 5 + 11);
    for (path, bytes) in written {
        for secret in &secrets {
            let name = String::from_utf8_lossy(secret);
            assert!(!holds(&bytes, secret), "{}: {name:?}", path.display());
        }
        if path.extension().is_some_and(|ending| ending == "png") {
            pictures += 1;
            // Texts may be packed, and a profile or EXIF data may lie in parts of their own.
            let reader = png::Decoder::new(std::io::Cursor::new(&bytes)).read_info().expect("a PNG");
            let info = reader.info();
            assert!(info.exif_metadata.is_none() && info.icc_profile.is_none(), "{}", path.display());
            assert!(info.compressed_latin1_text.is_empty(), "{}", path.display());
            for text in &info.utf8_text {
                let text = text.get_text().expect("a text");
                let told = secrets.iter().find(|secret| holds(text.as_bytes(), secret));
                assert!(told.is_none(), "{}: {text}", path.display());
            }
        }
    }
    assert_eq!(pictures, 2 + 2 + 1 + 2);
}
