//! Real pictures: the fixtures (see `fixtures/CREDITS.md`) and the demo.

// The whole file is tests, its helpers too.
#![allow(clippy::unwrap_used)]

use charting::{
    Area, Charted, Colours, Crop, Extent, Frame, Limits, Noted, Picture, Request, Wanted, average,
    chart_picture, choose, read_picture, unwatched,
};
use model::{Gauge, Hand, Lab, Length, Srgb, WeightCategory, Yarn, delta_e_2000};

fn file(path: &str) -> Vec<u8> {
    std::fs::read(format!("{}/../../{path}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

fn picture(path: &str) -> Noted<Picture> {
    read_picture(&file(path), &Limits::default()).unwrap()
}

/// Key and colour of the demo's yarns: all that is needed here of a file whose format is not this
/// crate's.
fn yarns() -> Vec<Yarn> {
    let text = String::from_utf8(file("demo/yarns.toml")).unwrap();
    let value = |entry: &str, name: &str| {
        let line = entry.lines().find_map(|line| line.strip_prefix(&format!("{name} = \""))).unwrap();
        line.trim_end_matches('"').to_owned()
    };
    text.split("[[yarn]]")
        .skip(1)
        .map(|entry| {
            Yarn::plain(value(entry, "key"), value(entry, "name"), value(entry, "colour").parse().unwrap())
        })
        .collect()
}

fn request(width: Extent, count: usize) -> Request {
    Request {
        crop: None,
        wanted: Wanted { width: Some(width), height: None },
        gauge: Gauge::usual(WeightCategory::MEDIUM),
        frame: None,
        colours: Colours::Choose { count, keep: vec![] },
    }
}

fn chart(picture: &Picture, request: &Request) -> Noted<Charted> {
    chart_picture(picture, request, &yarns(), &mut unwatched).unwrap()
}

fn runs(charted: &Charted) -> usize {
    let chart = &charted.chart;
    chart.row_indices().map(|row| chart.runs_in(row, Hand::Right).len()).sum()
}

/// The size by hand: 120 stitches at 12.5 in 10 cm are 96 cm; 96 · 300 / 451 = 63.86 cm; at 13.44
/// rows in 10 cm 85.8.
#[test]
fn the_cat_becomes_a_chart_of_120_columns() {
    let cat = picture("fixtures/chelsea.png");
    assert_eq!((cat.value.width(), cat.value.height(), cat.notes.len()), (451, 300, 0));
    let got = chart(&cat.value, &request(Extent::Stitches(120), 6));
    assert_eq!((got.value.chart.columns(), got.value.chart.rows()), (120, 86));
    assert_eq!(got.value.chart.palette().len(), 6);
    assert!(got.value.yarns.is_sorted());

    // The mean, the plain way.
    let cells = average(&cat.value, Area::whole(451, 300), 120, 86, &mut unwatched).unwrap();
    let colours: Vec<Lab> = got.value.chart.palette().yarns().iter().map(|yarn| yarn.colour.lab()).collect();
    let nearest = |cell: Lab| colours.iter().map(|&c| delta_e_2000(cell, c)).fold(f64::INFINITY, f64::min);
    let mean = cells.lab().into_iter().map(nearest).sum::<f64>() / (120.0 * 86.0);
    assert!((got.value.mean_difference - mean).abs() < 1e-9);
    assert_eq!(chart(&cat.value, &request(Extent::Stitches(120), 6)), got, "the same again");
}

#[test]
fn the_horse_stands_on_white() {
    let horse = picture("fixtures/horse.png");
    assert!(horse.notes.iter().any(|note| note.contains("taken as white")), "{:?}", horse.notes);
    assert_eq!(horse.value.pixel(0, 0), Srgb::new(255, 255, 255));
    let (mut dark, mut light) = (0, 0);
    for y in 0..horse.value.height() {
        for x in 0..horse.value.width() {
            match horse.value.pixel(x, y).green {
                0..64 => dark += 1,
                192.. => light += 1,
                _ => {}
            }
        }
    }
    let all = horse.value.width() * horse.value.height();
    assert!(dark > all / 10 && light > all / 3 && dark + light > all * 9 / 10, "{dark} {light}");
}

/// Against all 10,626 ways to take four of the demo's yarns for a photograph.
#[test]
fn the_choice_for_a_photograph_is_within_a_hundredth_of_the_best() {
    let coffee = picture("fixtures/coffee.png").value;
    let yarns = yarns();
    assert_eq!(yarns.len(), 22);
    let cells = average(&coffee, Area::whole(600, 400), 36, 26, &mut unwatched).unwrap();
    let got = choose(&cells, &yarns, 4, &[], &mut unwatched).unwrap().value;
    let table: Vec<Vec<f64>> = yarns
        .iter()
        .map(|yarn| cells.lab().into_iter().map(|cell| delta_e_2000(cell, yarn.colour.lab())).collect())
        .collect();
    let total = |chosen: [usize; 4]| -> f64 {
        (0..table[0].len())
            .map(|cell| chosen.map(|at| table[at][cell]).into_iter().fold(f64::INFINITY, f64::min))
            .sum()
    };
    let mut best = f64::INFINITY;
    for a in 0..22 {
        for b in 0..a {
            for c in 0..b {
                for d in 0..c {
                    best = best.min(total([a, b, c, d]));
                }
            }
        }
    }
    let ours = total([got[0], got[1], got[2], got[3]]);
    assert!(ours <= 1.01 * best, "{ours} {best}");
}

#[test]
fn the_demo_is_as_hard_as_it_is_meant_to_be() {
    let bytes = file("demo/picture.png");
    assert!(bytes.len() < 1_500_000);
    let demo = picture("demo/picture.png");
    assert_eq!((demo.value.width(), demo.value.height(), demo.notes.len()), (1200, 1500, 0));
    let mut request = request(Extent::Length(Length::cm(110.0)), 7);
    let got = chart(&demo.value, &request);
    assert_eq!((got.value.chart.columns(), got.value.chart.rows()), (138, 185));
    assert_eq!((got.value.chart.palette().len(), got.notes.len()), (7, 0));
    assert!((3_500..5_500).contains(&runs(&got.value)), "{}", runs(&got.value));

    // The same with a part of it, a frame and a fixed height.
    request.crop = Some("5%,10%,90%x80%".parse::<Crop>().unwrap());
    request.wanted.height = Some(Extent::Stitches(120));
    request.frame = Some(Frame { stitches: 3, yarn: 0 });
    let got = chart(&demo.value, &request);
    assert_eq!((got.value.chart.columns(), got.value.chart.rows()), (138, 120));
    assert!(got.notes[0].contains("cut to the wanted proportions"), "{:?}", got.notes);
    assert!(got.value.yarns.contains(&0));
}
