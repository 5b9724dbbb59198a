//! Pictures of every kind: turned, of other depths and inks, damaged, hostile.

use image::{DynamicImage, Rgb, RgbImage, RgbaImage, imageops};
use serde_json::Value;

use crate::bench::{Bench, demo_yarns};
use crate::marks::{
    BRICK, NIGHT, OAT, Read, animated, cmyk_jpeg, jpeg, oriented, picture, png, png_as, promised, stored,
};

/// Charts a picture of the bench; gives what `--json` says.
fn chart(bench: &Bench, picture: &str, out: &str) -> Value {
    let yarns = demo_yarns();
    bench
        .done(&[
            "chart", picture, "--yarns", &yarns, "--width", "24st", "--gauge", "14x14", "--colour", "oat",
            "--colour", "night", "--colour", "brick", "--out", out, "--json",
        ])
        .json()
}

fn has_note(said: &Value, words: &str) -> bool {
    let notes = said["notes"].as_array().expect("notes");
    notes.iter().any(|note| note.as_str().is_some_and(|note| note.contains(words)))
}

/// A picture is taken as people see it, whichever way the camera was held.
#[test]
fn a_turned_jpeg_gives_the_chart_of_the_upright_picture() {
    let bench = Bench::new();
    bench.write("upright.png", png(&picture()));
    chart(&bench, "upright.png", "upright-chart.png");
    let wanted = Read::png(&bench.read("upright-chart.png"));
    // By hand from `marks::picture`: at a square gauge 24 stitches show 48 pixels and 32 rows show 64.
    assert_eq!((wanted.columns, wanted.rows()), (24, 32));
    let colour = |x: usize, y: usize| Rgb(wanted.palette[usize::from(wanted.cells[y * 24 + x])]);
    assert_eq!((colour(0, 0), colour(7, 15), colour(0, 16)), (NIGHT, NIGHT, OAT));
    assert_eq!((colour(8, 0), colour(23, 23), colour(0, 24)), (OAT, OAT, BRICK));
    for orientation in 1..=8 {
        let name = format!("turned-{orientation}.jpg");
        bench.write(&name, oriented(&jpeg(&stored(&picture(), orientation)), orientation));
        let out = format!("turned-{orientation}.png");
        chart(&bench, &name, &out);
        assert!(bench.read(&out) == bench.read("upright-chart.png"), "orientation {orientation}");
    }
    // Without the mark the turned picture is another one.
    bench.write("lying.jpg", jpeg(&imageops::rotate270(&picture())));
    chart(&bench, "lying.jpg", "lying.png");
    assert!(bench.read("lying.png") != bench.read("upright-chart.png"));
}

#[test]
fn unusual_pictures_are_taken_with_a_note() {
    let bench = Bench::new();
    bench.write("upright.png", png(&picture()));
    chart(&bench, "upright.png", "plain.png");

    bench.write("deep.png", {
        let deep = DynamicImage::ImageRgb8(picture()).into_rgb16();
        let bytes: Vec<u8> = deep.into_raw().iter().flat_map(|value| value.to_be_bytes()).collect();
        png_as((48, 64), png::ColorType::Rgb, png::BitDepth::Sixteen, &[], &bytes)
    });
    let said = chart(&bench, "deep.png", "deep-chart.png");
    assert!(has_note(&said, "16 bits"), "{said}");
    assert!(bench.read("deep-chart.png") == bench.read("plain.png"));

    // All transparent, and black below: it becomes white, whose nearest yarn is oat.
    let glass = RgbaImage::new(48, 64);
    bench.write("glass.png", png_as((48, 64), png::ColorType::Rgba, png::BitDepth::Eight, &[], &glass));
    let said = chart(&bench, "glass.png", "glass-chart.png");
    assert!(has_note(&said, "transparent") && has_note(&said, "white"), "{said}");
    let glass = Read::png(&bench.read("glass-chart.png"));
    assert!(glass.cells.iter().all(|&cell| Rgb(glass.palette[usize::from(cell)]) == OAT));

    let frames = [NIGHT, BRICK].map(|colour| colour.0.repeat(16));
    bench.write("moving.png", animated(png::ColorType::Rgb, &[], &frames[0], &frames[1]));
    let said = chart(&bench, "moving.png", "moving-chart.png");
    assert!(has_note(&said, "animation") && has_note(&said, "first"), "{said}");
    let first = Read::png(&bench.read("moving-chart.png"));
    assert!(first.cells.iter().all(|&cell| Rgb(first.palette[usize::from(cell)]) == NIGHT));

    bench.write("inks.jpg", cmyk_jpeg());
    let said = chart(&bench, "inks.jpg", "inks-chart.png");
    assert!(has_note(&said, "CMYK"), "{said}");

    bench.write("dot.png", png(&RgbImage::from_pixel(1, 1, BRICK)));
    let said = chart(&bench, "dot.png", "dot-chart.png");
    assert_eq!((&said["rows"], &said["columns"]), (&24.into(), &24.into()));
    let dot = Read::png(&bench.read("dot-chart.png"));
    assert!(dot.cells.iter().all(|&cell| Rgb(dot.palette[usize::from(cell)]) == BRICK));
}

#[test]
fn what_is_no_picture_is_refused() {
    let bench = Bench::new();
    let yarns = demo_yarns();
    bench.write("text.png", "a letter to the library\n".repeat(9));
    bench.write("empty.png", "");
    bench.write("huge.png", promised(60_000, 60_000));
    let whole = jpeg(&picture());
    bench.write("torn.jpg", &whole[..whole.len() / 2]);
    let whole = png(&picture());
    bench.write("torn.png", &whole[..whole.len() - 30]);
    bench.write("old.gif", b"GIF89a\x01\0\x01\0\0\0\0;");
    std::fs::create_dir(bench.path("folder.png")).expect("made");
    for (name, words) in [
        ("nowhere.png", &["nowhere.png", "no such file", "check the name"][..]),
        ("text.png", &["text.png", "text file, not a picture", "PNG, JPEG or WebP"]),
        ("empty.png", &["empty.png", "the file is empty"]),
        ("huge.png", &["huge.png", "60000 by 60000", "too large"]),
        ("torn.jpg", &["torn.jpg", "JPEG", "ends before the picture does"]),
        ("torn.png", &["torn.png", "PNG", "ends before the picture does"]),
        ("old.gif", &["old.gif", "GIF"]),
        ("folder.png", &["folder.png", "folder"]),
    ] {
        let size = ["--yarns", &yarns, "--width", "24st", "--colours", "2"];
        bench.refused(&[&["make", name][..], &size, &["--out", "new"]].concat(), 3, words);
        bench.refused(&[&["chart", name][..], &size, &["--out", "new.png"]].concat(), 3, words);
    }
}
