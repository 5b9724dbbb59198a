//! Swatches against published measurements, and slips against what was meant.

use proptest::prelude::*;

use super::*;
use crate::units::WeightUnit;

fn inches(count: f64, over: f64) -> Counted {
    Counted { count, over, unit: LengthUnit::Inches }
}

fn cm(count: f64, over: f64) -> Counted {
    Counted { count, over, unit: LengthUnit::Centimetres }
}

fn measured(stitches: Counted, rows: Counted) -> Measured {
    Measured { stitches, rows: Some(rows), taken: None, inside: Inside::Nothing, grist: None, category: None }
}

fn taken(yarn: SwatchYarn) -> Option<Taken> {
    Some(Taken { yarn, worked: None, chains: false, tails: Length::ZERO })
}

fn slips(swatch: &Swatch) -> Vec<SlipKind> {
    let kind = |caution: &Caution| match caution {
        Caution::Slip(slip) | Caution::UnusualYarn { slip: Some(slip), .. } => Some(slip.kind),
        _ => None,
    };
    swatch.cautions.iter().filter_map(kind).collect()
}

/// Source: web article of a craft publisher, chunky yarn, 6 mm hook, 20 × 20 sc: 19 g, 6.25 × 5.75 in,
/// printed as 1.89 sq in per gram (SEEN); 0.529 g/sq in and 820 g/m² from that (DERIVED).
#[test]
fn a_published_swatch_weighs_what_was_printed() {
    let mut swatch_of = measured(inches(20.0, 6.25), inches(20.0, 5.75));
    swatch_of.taken = taken(SwatchYarn::Weighed(WeightUnit::Grams.times(19.0)));
    let found = swatch(&swatch_of).unwrap();
    let area = found.grams_per_square_metre.unwrap();
    let square_inches_per_gram = 1.0 / (area.likely * 0.0254 * 0.0254);
    assert!((square_inches_per_gram - 1.89).abs() < 0.005, "{square_inches_per_gram}");
    assert!((area.likely - 820.0).abs() < 2.0, "{}", area.likely);
    assert!(area.low < 800.0 && area.high > 840.0, "a gram of nineteen tells: {area:?}");
    assert_eq!(found.origin, Origin::GaugeMeasured, "no label, so no length");
    // Row height over stitch width 0.92 (DERIVED from the same swatch).
    assert!((found.gauge.stitches() / found.gauge.rows() - 0.92).abs() < 0.001);
}

/// Source: hobby measurement, worsted, 5 mm hook: a 5 × 5 in square of sc unravelled to 785.5 in,
/// 31.42 in per square inch (SEEN); at about 4 rows an inch that is 7.9 widths (DERIVED). The
/// stitches of the square are not printed: 17.5 by 20 stand in (invented).
#[test]
fn an_unravelled_square_comes_to_its_published_ratio() {
    let mut square = measured(inches(17.5, 5.0), inches(20.0, 5.0));
    square.taken = taken(SwatchYarn::Measured(LengthUnit::Inches.times(785.5)));
    let found = swatch(&square).unwrap();
    assert!((found.stitch_to_width() - 7.9).abs() < 0.1, "{}", found.stitch_to_width());
    let per_square_inch = found.stitch.likely.as_inches() * 17.5 * 20.0 / 25.0;
    assert!((per_square_inch - 31.42).abs() < 0.01, "{per_square_inch}");
    assert!(slips(&found).is_empty());
}

/// Source: hobby post on a picture blanket: 2.7 in per sc, 5 mm hook, 8-ply (SEEN), here over a
/// hundred stitches.
#[test]
fn a_published_stitch_lies_in_the_band_of_the_estimate() {
    // About 0.28 in a stitch (DERIVED): 14.1 stitches in 10 cm.
    let mut row = measured(inches(20.0, 5.6), inches(5.0, 1.4));
    row.taken = taken(SwatchYarn::Measured(LengthUnit::Inches.times(270.0)));
    let found = swatch(&row).unwrap();
    assert!((found.stitch.likely.as_inches() - 2.7).abs() < 1e-4);
    let guessed = estimate(Some(found.gauge), None, None).unwrap();
    assert!((guessed.stitch.low..=guessed.stitch.high).contains(&found.stitch.likely));
}

/// Source: the industry charity's sheets: 9 sc = 2 in, 28 sc = 7 in (SEEN), which are 18 and 16 in
/// 4 in; a gauge in 10 cm is 100/101.6 of that (definition).
#[test]
fn gauges_of_published_sheets_are_taken_without_a_word() {
    for (count, over, in_four) in [(9.0, 2.0, 18.0), (28.0, 7.0, 16.0)] {
        let mut sheet = measured(inches(count, over), inches(count, over));
        sheet.category = Some(WeightCategory::MEDIUM);
        let found = swatch(&sheet).unwrap();
        assert!((found.gauge.stitches() - in_four / 1.016).abs() < 1e-9);
        assert!(
            !found
                .cautions
                .iter()
                .any(|caution| !matches!(caution, Caution::NothingInside | Caution::Small(_)))
        );
    }
}

/// Source: a carried strand laid straight adds one width (DERIVED from SEEN); foundation of 25.5 in
/// per 5 in (SEEN). What lies beside the stitches is taken off before the yarn goes to the stitches.
#[test]
fn what_is_not_in_the_stitches_is_taken_off() {
    let plain = measured(cm(14.0, 10.0), cm(15.0, 10.0));
    let width = Length::mm(100.0 / 14.0);
    let all = Length::mm(width.as_mm() * (14.0 * 15.0 * (9.0 + 1.0) + 5.1 * (14.0 + 15.0)) + 300.0);
    let with = Measured {
        inside: Inside::OneStrand,
        taken: Some(Taken {
            yarn: SwatchYarn::Measured(all),
            worked: Some((14, 15)),
            chains: true,
            tails: Length::cm(30.0),
        }),
        ..plain
    };
    assert!((swatch(&with).unwrap().stitch_to_width() - 9.0).abs() < 1e-3);
}

#[test]
fn likely_slips_are_named() {
    let kinds = |stitches, rows, category| {
        let asked = Measured { category, ..measured(stitches, rows) };
        slips(&swatch(&asked).unwrap())
    };
    let medium = Some(WeightCategory::MEDIUM);
    assert_eq!(kinds(inches(14.0, 1.0), inches(15.0, 1.0), medium), [SlipKind::InFourInches]);
    assert_eq!(kinds(inches(3.5, 4.0), inches(3.75, 4.0), medium), [SlipKind::InOneInch]);
    assert_eq!(kinds(cm(1.4, 10.0), cm(1.5, 10.0), None), [SlipKind::InOneCentimetre]);
    assert_eq!(kinds(cm(14.0, 4.0), cm(15.0, 4.0), medium), [SlipKind::Inches]);
    assert_eq!(kinds(inches(14.0, 10.0), inches(15.0, 10.0), medium), [SlipKind::Centimetres]);
    assert_eq!(kinds(cm(14.0, 10.0), inches(15.0, 1.0), medium), [SlipKind::InFourInches]);
    let message = |asked: &Measured| {
        let error = swatch(asked).unwrap_err();
        (error.to_string(), error.hint())
    };
    assert_eq!(
        message(&measured(cm(14.0, 1.0), cm(15.0, 1.0))),
        (
            "140.0 stitches in 10 cm is no gauge: it must lie between 1 and 100".into(),
            "is that 14 stitches in 10 cm, not per cm?".into()
        )
    );
    let of = |stitches, rows| swatch(&measured(stitches, rows)).unwrap().cautions;
    assert!(
        of(cm(20.0, 10.0), cm(20.0, 20.0)).contains(&Caution::OutOfSquare { ratio: 2.0, swapped: false })
    );
    // 20 stitches in 15 cm and 30 rows in 22 cm, given the other way about.
    let swapped = of(cm(20.0, 22.0), cm(30.0, 15.0));
    assert!(matches!(swapped[0], Caution::OutOfSquare { swapped: true, .. }), "{swapped:?}");
    assert!(of(cm(6.0, 4.5), cm(6.0, 4.5)).contains(&Caution::Small(Length::cm(4.5))));
    assert_eq!(of(cm(21.0, 15.0), cm(22.0, 15.0)), [Caution::NothingInside]);
}

#[test]
fn yarn_in_the_wrong_unit_is_named() {
    let grist = Grist::new(LengthUnit::Metres.times(200.0), Weight::grams(100.0));
    let of = |yarn| {
        let plain = measured(cm(21.0, 15.0), cm(22.0, 15.0));
        swatch(&Measured { taken: taken(yarn), grist, inside: Inside::OneStrand, ..plain })
    };
    // 462 stitches of 10.5 widths of 7.14 mm are 34.6 m, 17.3 g.
    let right = of(SwatchYarn::Weighed(Weight::grams(17.3))).unwrap();
    assert!((9.0..10.0).contains(&right.stitch_to_width()) && right.cautions.is_empty(), "{right:?}");
    let ounces = of(SwatchYarn::Weighed(Weight::grams(0.61))).unwrap_err();
    assert_eq!(ounces.hint(), "is the weight in ounces, not grams?");
    let grams = of(SwatchYarn::Weighed(WeightUnit::Ounces.times(17.3))).unwrap();
    assert_eq!(slips(&grams), [SlipKind::Grams]);
    let metres = of(SwatchYarn::Measured(LengthUnit::Centimetres.times(34.6))).unwrap_err();
    assert_eq!(metres.hint(), "is the yarn in metres, not centimetres?");
    let inches = of(SwatchYarn::Measured(LengthUnit::Yards.times(1362.0))).unwrap();
    assert_eq!(slips(&inches), [SlipKind::InchesOfYarn]);
}

#[test]
fn a_swatch_of_nothing_is_refused() {
    let good = cm(14.0, 10.0);
    let error = |stitches, rows| swatch(&measured(stitches, rows)).unwrap_err();
    assert_eq!(error(cm(0.0, 10.0), good), SwatchError::Nothing(Figure::Stitches));
    assert_eq!(error(cm(14.0, 0.0), good), SwatchError::Nothing(Figure::Width));
    assert_eq!(error(good, cm(0.0, 10.0)), SwatchError::Nothing(Figure::Rows));
    assert_eq!(error(good, cm(14.0, 1e-9)), SwatchError::Nothing(Figure::Height));
    for number in [-3.0, f64::NAN, f64::INFINITY, 1e300] {
        assert!(matches!(error(cm(number, 10.0), good), SwatchError::NoSuchNumber { .. }), "{number}");
        assert!(matches!(error(good, cm(14.0, number)), SwatchError::NoSuchNumber { .. }), "{number}");
    }
    let with = |taken| swatch(&Measured { taken, ..measured(good, good) }).unwrap_err();
    assert_eq!(with(taken(SwatchYarn::Weighed(Weight::ZERO))), SwatchError::Nothing(Figure::Weight));
    assert_eq!(with(taken(SwatchYarn::Measured(Length::ZERO))), SwatchError::Nothing(Figure::Length));
    let mut none = taken(SwatchYarn::Measured(Length::cm(100.0)));
    none.as_mut().unwrap().worked = Some((0, 4));
    assert_eq!(with(none), SwatchError::Nothing(Figure::WorkedStitches));
    let no_rows = Measured {
        rows: None,
        taken: taken(SwatchYarn::Weighed(Weight::grams(9.0))),
        ..measured(good, good)
    };
    assert_eq!(swatch(&no_rows), Err(SwatchError::NoRows));
    assert_eq!(estimate(None, WeightCategory::new(0), None), Err(SwatchError::NothingToGoBy));
}

/// Source: Standard Yarn Weight System, medium: 11 to 14 sc in 10 cm (SEEN); 8 to 11 widths in a
/// stitch (DERIVED from SEEN).
#[test]
fn an_estimate_says_how_wide_its_band_is() {
    let found = estimate(None, Some(WeightCategory::MEDIUM), None).unwrap();
    assert_eq!((found.stitches.low, found.stitches.high), (11.0, 14.0));
    assert_eq!(found.origin, Origin::Estimated);
    assert!(found.yarn_use(Length::cm(15.0)).estimated);
    assert_eq!(found.stitch.low, Length::mm(8.0 * (100.0_f64 / 14.0 * 1e3).round() / 1e3));
    let known = estimate(Some(Gauge::new(14.0, 15.0).unwrap()), None, None).unwrap();
    let ratio = |length: Length| length.as_mm() / (100.0 / 14.0);
    assert!((ratio(known.stitch.low) - 8.0).abs() < 1e-3 && (ratio(known.stitch.high) - 11.0).abs() < 1e-3);
}

proptest! {
    /// A larger swatch of the same fabric is surer, and says the same.
    #[test]
    fn a_larger_swatch_is_surer(stitches in 8.0..24.0f64, ratio in 0.85..1.1f64, times in 1.2..3.0f64) {
        let rows = stitches / ratio;
        let of = |side: f64| {
            let square = measured(cm(stitches * side / 10.0, side), cm(rows * side / 10.0, side));
            let yarn = Length::mm(9.0 * 100.0 / stitches * (stitches * rows * side * side / 100.0));
            swatch(&Measured { taken: taken(SwatchYarn::Measured(yarn)), ..square }).unwrap()
        };
        let (small, large) = (of(10.0), of(10.0 * times));
        prop_assert!((small.gauge.stitches() - large.gauge.stitches()).abs() < 1e-3);
        prop_assert!((small.stitch_to_width() - large.stitch_to_width()).abs() < 5e-3);
        let width = |band: Band<f64>| band.high - band.low;
        prop_assert!(width(large.stitches) < width(small.stitches));
        prop_assert!(large.stitch.high - large.stitch.low < small.stitch.high - small.stitch.low);
        for band in [small.stitches, small.rows] {
            prop_assert!(band.low < band.likely && band.likely < band.high);
        }
    }

    /// Twice the yarn in the same stitches is twice the yarn in each.
    #[test]
    fn twice_the_yarn_is_twice_the_yarn_in_a_stitch(metres in 20.0..60.0f64) {
        let of = |metres: f64| {
            let square = measured(cm(21.0, 15.0), cm(22.0, 15.0));
            let yarn = SwatchYarn::Measured(LengthUnit::Metres.times(metres));
            swatch(&Measured { taken: taken(yarn), ..square }).unwrap().stitch.likely.as_mm()
        };
        prop_assert!((of(2.0 * metres) - 2.0 * of(metres)).abs() < 2e-3);
    }

    /// No numbers at all make it panic.
    #[test]
    fn anything_is_answered(
        counts in prop::array::uniform4(prop_oneof![any::<f64>(), 0.0..200.0f64, Just(0.0)]),
        category in 0u8..9,
        yarn in prop_oneof![any::<u64>().prop_map(|mg| SwatchYarn::Weighed(Weight::from_milligrams(mg))),
                            any::<i64>().prop_map(|um| SwatchYarn::Measured(Length::from_micrometres(um)))],
        worked in prop::option::of(any::<(u32, u32)>()),
        metric in any::<bool>(),
    ) {
        let unit = if metric { LengthUnit::Centimetres } else { LengthUnit::Inches };
        let [count, over, rows, height] = counts;
        let given = Measured {
            stitches: Counted { count, over, unit },
            rows: Some(Counted { count: rows, over: height, unit }),
            taken: Some(Taken { yarn, worked, chains: true, tails: Length::cm(30.0) }),
            inside: Inside::OneStrand,
            grist: Grist::new(Length::cm(20_000.0), Weight::grams(100.0)),
            category: WeightCategory::new(category),
        };
        match swatch(&given) {
            Ok(found) => for caution in &found.cautions {
                prop_assert!(!caution.to_string().is_empty() && !caution.hint().is_empty());
            },
            Err(error) => prop_assert!(!error.to_string().is_empty() && !error.hint().is_empty()),
        }
    }
}
