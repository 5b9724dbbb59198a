//! The fabric, measured in the picture.

use super::*;
use model::{
    Boundary, Cost, Hand, Length, Palette, Plan, PlanCounts, Row, RowIndex, Rules, ShortTail, Srgb, Step,
    StrandClaim, StrandId, Tail, TailLine, Weights, Yarn, YarnUse,
};

fn drawn(rows: usize, columns: usize, gauge: Gauge, longest: u32) -> image::RgbImage {
    let yarn = |key: &str, colour| Yarn::plain(key, key, colour);
    let palette =
        Palette::new(vec![yarn("red", Srgb::new(200, 20, 20)), yarn("blue", Srgb::new(20, 20, 200))]);
    // The upper half is red.
    let cells: Vec<u8> = (0..rows * columns).map(|at| u8::from(at / columns < rows / 2)).collect();
    let chart = Chart::new(palette.unwrap(), rows, columns, &cells).unwrap();
    image::load_from_memory(&fabric_thumbnail(&chart, &gauge, longest).unwrap()).unwrap().to_rgb8()
}

#[test]
fn it_has_the_proportions_of_the_piece() {
    let gauge = Gauge::new(10.0, 20.0).unwrap();
    // 300 stitches are 30 in, so to speak, and 300 rows half of that.
    let picture = drawn(300, 300, gauge, 240);
    assert_eq!((picture.width(), picture.height()), (240, 120));
    let tiny = drawn(4, 2, Gauge::new(10.0, 10.0).unwrap(), 240);
    assert_eq!((tiny.width(), tiny.height()), (48, 96));
    let ribbon = drawn(2, 5_000, gauge, 240);
    assert_eq!((ribbon.width(), ribbon.height()), (240, 1));
}

#[test]
fn the_last_row_is_at_the_top_and_colours_stay() {
    for side in [4, 40, 400] {
        let picture = drawn(side, side, Gauge::new(10.0, 10.0).unwrap(), 240);
        let mean = |from: u32| {
            let rows = from..from + picture.height() / 2;
            let pixels: Vec<_> = rows.flat_map(|y| (0..picture.width()).map(move |x| (x, y))).collect();
            let sum = |channel: usize| -> u32 {
                pixels.iter().map(|&(x, y)| u32::from(picture.get_pixel(x, y).0[channel])).sum()
            };
            [0, 1, 2].map(|channel| sum(channel) as usize / pixels.len())
        };
        let (top, bottom) = (mean(0), mean(picture.height() / 2));
        assert!(top[0] > 175 && top[2] < 40 && bottom[2] > 175 && bottom[0] < 40, "{top:?} {bottom:?}");
    }
}

fn palette(colours: &[&str]) -> Palette {
    Palette::new(colours.iter().map(|hex| Yarn::plain(*hex, "", hex.parse().unwrap())).collect()).unwrap()
}

fn even() -> Gauge {
    Gauge::new(10.0, 10.0).unwrap()
}

fn decoded(png: &[u8]) -> image::RgbImage {
    image::load_from_memory(png).unwrap().to_rgb8()
}

/// One face of a fabric without strands, so many pixels a stitch.
fn bare(chart: &Chart, hand: Hand, face: Side, pixels: u32) -> image::RgbImage {
    let view = View { left: 0, top: 0, columns: chart.columns(), rows: chart.rows() };
    let longest = u32::try_from(chart.columns().max(chart.rows())).unwrap() * pixels;
    decoded(&draw(&Cloth::bare(chart, hand, face), &view, &even(), longest, WIDEST).unwrap())
}

/// Mean of an area in linear light, back in sRGB: what an eye sees from afar.
fn mean_of(picture: &image::RgbImage, xs: Range<u32>, ys: Range<u32>) -> [f64; 3] {
    let mut sum = [0.0; 3];
    let mut pixels = 0.0;
    for y in ys {
        for x in xs.clone() {
            let [red, green, blue] = picture.get_pixel(x, y).0;
            let linear = Srgb::new(red, green, blue).linear();
            sum = [0, 1, 2].map(|at| sum[at] + linear[at]);
            pixels += 1.0;
        }
    }
    sum.map(|sum| {
        let light: f64 = sum / pixels;
        let channel =
            if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * libm::pow(light, 1.0 / 2.4) - 0.055 };
        channel * 255.0
    })
}

fn mean(picture: &image::RgbImage) -> [f64; 3] {
    mean_of(picture, 0..picture.width(), 0..picture.height())
}

/// A fabric of one yarn is, from afar, of the yarn's colour; white gives some light away, or its
/// stitches could not be seen.
#[test]
fn a_yarn_keeps_its_colour_at_every_size() {
    let cases = [("#c8102e", 6.0), ("#4b5a8c", 6.0), ("#a58464", 6.0), ("#1c2444", 6.0), ("#000000", 24.0)];
    for (hex, within) in cases.into_iter().chain([("#1b1b1b", 9.0), ("#f0e2c2", 12.0), ("#ffffff", 22.0)]) {
        let chart = Chart::new(palette(&[hex]), 20, 20, &[0; 400]).unwrap();
        let colour: Srgb = hex.parse().unwrap();
        for pixels in [1, 2, 6, 7, 30] {
            let got = mean(&bare(&chart, Hand::Right, Side::Right, pixels));
            for (got, expected) in got.into_iter().zip([colour.red, colour.green, colour.blue]) {
                assert!((got - f64::from(expected)).abs() <= within, "{hex} at {pixels}: {got}");
            }
        }
    }
}

/// Mean difference of two bands of rows, pixel by pixel, on the green channel.
fn unlike(one: &image::RgbImage, top_one: u32, two: &image::RgbImage, top_two: u32, high: u32) -> f64 {
    let mut sum = 0.0;
    for y in 0..high {
        for x in 0..one.width() {
            let green = |picture: &image::RgbImage, top: u32| f64::from(picture.get_pixel(x, top + y).0[1]);
            sum += (green(one, top_one) - green(two, top_two)).abs();
        }
    }
    sum / f64::from(high * one.width())
}

/// Common practice, no source: in turned rows fronts and backs of stitches alternate, and what is the
/// front on one face is the back on the other.
#[test]
fn fronts_and_backs_alternate_and_change_with_the_face() {
    let chart = Chart::new(palette(&["#7a9bc4"]), 8, 8, &[0; 64]).unwrap();
    let right = bare(&chart, Hand::Right, Side::Right, 24);
    let wrong = bare(&chart, Hand::Right, Side::Wrong, 24);
    let row = |row: u32| (7 - row) * 24;
    // Rows 3, 4 and 5, away from the edges.
    assert!(unlike(&right, row(2), &right, row(4), 24) < 8.0);
    assert!(unlike(&right, row(2), &right, row(3), 24) > 16.0);
    assert!(unlike(&right, row(2), &wrong, row(2), 24) > 16.0);
    assert!(unlike(&right, row(2), &wrong, row(3), 24) < 8.0);
}

#[test]
fn the_wrong_side_is_turned_over_left_for_right() {
    let cells: Vec<u8> = (0..6 * 10).map(|at| u8::from(at % 10 >= 3)).collect();
    let chart = Chart::new(palette(&["#c8102e", "#1d4ed8"]), 6, 10, &cells).unwrap();
    let (right, wrong) =
        (bare(&chart, Hand::Right, Side::Right, 20), bare(&chart, Hand::Right, Side::Wrong, 20));
    let red = |picture, xs| mean_of(picture, xs, 0..120)[0] > 150.0;
    assert!(red(&right, 10..50) && !red(&right, 70..200));
    assert!(red(&wrong, 150..190) && !red(&wrong, 0..130));
}

/// The other hand's stitches lean the other way: the outline of a stitch is the mirror image.
#[test]
fn the_other_hand_leans_the_other_way() {
    let chart = Chart::new(palette(&["#000000", "#ffffff"]), 3, 3, &[0, 0, 0, 0, 1, 0, 0, 0, 0]).unwrap();
    for face in [Side::Right, Side::Wrong] {
        let outline = |hand| -> Vec<Vec<bool>> {
            let picture = bare(&chart, hand, face, 48);
            let bright = |x, y| picture.get_pixel(x, y).0[1] > 60;
            (0..144).map(|y| (0..144).map(|x| bright(x, y)).collect()).collect()
        };
        let (right, left) = (outline(Hand::Right), outline(Hand::Left));
        let differ = |one: &[Vec<bool>], two: &[Vec<bool>]| -> usize {
            one.iter().flatten().zip(two.iter().flatten()).filter(|(one, two)| one != two).count()
        };
        let mirrored: Vec<Vec<bool>> = left.iter().map(|line| line.iter().rev().copied().collect()).collect();
        // Light comes from the upper left for both, so a rim of pixels may differ.
        assert!(differ(&right, &left) > 60, "{face:?}: {}", differ(&right, &left));
        assert!(differ(&right, &mirrored) < 30, "{face:?}: {}", differ(&right, &mirrored));
    }
}

/// Navy, white and black, three rows, all invented:
/// ```text
/// W W N N N N N N N N N N
/// N N N N N N N N N N N N
/// N N W W W W W W K K N N
/// ```
/// Worked from the right: in row 1 navy is carried past two black and six white stitches; white waits
/// in row 2, locked, and works two stitches in row 3. Weights, costs and lengths are all nothing, so
/// that only the work is left to prove. White's last tail runs out of the chart and is left to a needle.
pub(crate) fn worked() -> ProvenPlan {
    let palette = palette(&["#1c2444", "#ffffff", "#101010"]);
    #[rustfmt::skip]
    let cells = [
        0, 0, 1, 1, 1, 1, 1, 1, 2, 2, 0, 0,
        0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
        1, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,
    ];
    let chart = Chart::new(palette.clone(), 3, 12, &cells).unwrap();
    let zero = Cost::ZERO;
    let weights = Weights {
        join: zero,
        cut: zero,
        tail: 1,
        short: zero,
        hang: zero,
        carry_same: zero,
        carry_other: zero,
        carry_show_dark: zero,
        carry_show_light: zero,
        lift: zero,
        lift_show: zero,
        lift_edge: zero,
    };
    let none = Length::ZERO;
    let yarn_use =
        YarnUse { stitch: none, chain: none, carried: none, lift: none, tail: none, estimated: false };
    // Strands are numbered by their joins.
    let [navy, black, white] = [0, 1, 2].map(StrandId);
    let at = Boundary;
    let onward = |over| Tail { line: TailLine::Onward, over };
    let work = |strand, from, to| Step::Work { strand, from: at(from), to: at(to) };
    let rows = vec![
        vec![
            Step::Join { strand: navy, at: at(12), tail: onward(1) },
            work(navy, 12, 10),
            Step::Join { strand: black, at: at(10), tail: onward(1) },
            Step::Carry { strand: navy, from: at(10), to: at(2) },
            work(black, 10, 8),
            Step::Cut { strand: black, at: at(8), tail: onward(1) },
            Step::Join { strand: white, at: at(8), tail: onward(1) },
            work(white, 8, 2),
            Step::Drop { strand: white, at: at(2) },
            work(navy, 2, 0),
            Step::Drop { strand: navy, at: at(0) },
        ],
        vec![
            work(navy, 0, 12),
            Step::Lift { strand: white, at: at(2) },
            Step::Drop { strand: navy, at: at(12) },
        ],
        vec![
            work(navy, 12, 2),
            Step::Cut { strand: navy, at: at(2), tail: onward(1) },
            work(white, 2, 0),
            Step::Cut { strand: white, at: at(0), tail: onward(0) },
        ],
    ];
    let yarn = |entry| palette.index(entry).unwrap();
    let strands = [0, 2, 1].map(|entry| StrandClaim { yarn: yarn(entry), length: none });
    let plan = Plan {
        rules: Rules::new(&palette, weights, Hand::Right),
        yarn_use,
        rows: rows.into_iter().map(|steps| Row { steps }).collect(),
        strands: strands.to_vec(),
        short_tails: vec![ShortTail { row: RowIndex(2), strand: white, of_join: false, missing: 1 }],
        counts: PlanCounts {
            colours: 3,
            runs: 7,
            strands: 3,
            strands_at_once: 3,
            carried: 8,
            longest_carry: 8,
            cost: zero,
        },
        bound: zero,
    };
    replay::prove(chart, plan).unwrap_or_else(|violation| panic!("{violation}"))
}

/// One cell of a face, near by, without its rim.
fn cell(proven: &ProvenPlan, face: Side, row: usize, column: usize) -> [f64; 3] {
    let part = Part::Window { rows: row..row + 1, columns: column..column + 1 };
    let picture = decoded(&fabric_preview(proven, &even(), face, &part, 60).unwrap());
    assert_eq!((picture.width(), picture.height()), (60, 60));
    mean_of(&picture, 6..54, 10..54)
}

/// The strand model: a dark strand inside light stitches shows most.
#[test]
fn a_dark_strand_darkens_light_stitches_and_not_dark_ones() {
    let proven = worked();
    for face in [Side::Right, Side::Wrong] {
        // Columns 3 to 6 of row 1 hold navy; column 1 of row 3 too, by its tail; column 0 holds none.
        let plain = cell(&proven, face, 2, 0);
        for column in 3..7 {
            let over_navy = cell(&proven, face, 0, column);
            assert!(over_navy[0] < plain[0] - 14.0, "{face:?}: {over_navy:?} beside {plain:?}");
            assert!(over_navy[2] > over_navy[0], "navy is blue: {over_navy:?}");
        }
        // Black stitches over navy, and black as it is drawn alone.
        let alone = Chart::new(palette(&["#101010"]), 1, 1, &[0]).unwrap();
        let alone = mean_of(&bare(&alone, Hand::Right, face, 60), 6..54, 10..54);
        for (over_navy, alone) in cell(&proven, face, 0, 9).into_iter().zip(alone) {
            assert!((over_navy - alone).abs() < 6.0, "{over_navy} {alone}");
        }
    }
}

/// Strands that climb, and ends that a needle must weave in, lie on the wrong side alone.
#[test]
fn the_back_shows_what_lies_on_it() {
    let proven = worked();
    let look = |face| decoded(&fabric_preview(&proven, &even(), face, &Part::Whole, 480).unwrap());
    let (right, wrong) = (look(Side::Right), look(Side::Wrong));
    assert_eq!((wrong.width(), wrong.height()), (480, 120));
    let bright = |picture: &image::RgbImage, xs: Range<u32>, ys: Range<u32>| {
        let pixels = ys.flat_map(|y| xs.clone().map(move |x| (x, y)));
        pixels.filter(|&(x, y)| picture.get_pixel(x, y).0[0] > 150).count()
    };
    // Row 2 is the middle band of navy. White climbs there 2 stitches from the chart's left, and its
    // end hangs down into it from the edge.
    let band = 50..66;
    assert_eq!(bright(&right, 0..480, band.clone()), 0);
    assert!(bright(&wrong, 390..410, band.clone()) > 40, "the strand that climbs");
    assert!(bright(&wrong, 412..480, band.clone()) > 40, "the end to weave in");
    assert_eq!(bright(&wrong, 0..380, band), 0);
}

#[test]
fn a_window_is_a_part_of_the_whole() {
    let proven = worked();
    let whole = decoded(&fabric_preview(&proven, &even(), Side::Wrong, &Part::Whole, 480).unwrap());
    let part = Part::Window { rows: 0..2, columns: 0..6 };
    let window = decoded(&fabric_preview(&proven, &even(), Side::Wrong, &part, 240).unwrap());
    assert_eq!((window.width(), window.height()), (240, 80));
    for (x, y, pixel) in window.enumerate_pixels() {
        assert_eq!(pixel, whole.get_pixel(x + 240, y + 40), "{x} {y}");
    }
}

#[test]
fn a_part_that_is_not_there_is_refused() {
    let proven = worked();
    for (rows, columns) in [(0..0, 0..1), (0..4, 0..1), (0..1, 5..13), (5..6, 0..1)] {
        let part = Part::Window { rows, columns };
        let found = fabric_preview(&proven, &even(), Side::Right, &part, 100);
        assert!(matches!(found, Err(PictureError::NoSuchPart { columns: 12, rows: 3 })), "{part:?}");
    }
}
