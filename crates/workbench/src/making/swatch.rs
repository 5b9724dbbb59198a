//! What a swatch says, what looks odd in it, and what it would be without a likely slip.

use core::fmt;

use model::{Chart, Length, WeightCategory};
use pattern::{
    Caution, Counted, Figure, Grist, Inside, LengthUnit, Measured, Slip, SlipKind, Swatch, SwatchError,
    Taken, Units, WeightUnit,
};

use super::given::{SwatchGiven, YarnTaken};

/// Something to say of a swatch.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// What: lower case, no full stop.
    pub what: String,
    /// What to do about it, often a question.
    pub hint: String,
    /// The swatch as it would be if the question is answered with yes.
    pub mended: Option<Box<SwatchGiven>>,
}

impl Remark {
    fn new(what: impl fmt::Display, hint: String, mended: Option<SwatchGiven>) -> Self {
        Self { what: what.to_string(), hint, mended: mended.map(Box::new) }
    }
}

/// What a swatch says.
#[derive(Clone, Debug, PartialEq)]
pub struct SwatchTold {
    /// Gauge, yarn and weight; none where nothing comes of it.
    pub swatch: Option<Swatch>,
    /// The same in sentences, in the person's units.
    pub says: Vec<String>,
    /// Why nothing comes of it.
    pub fault: Option<Remark>,
    /// What looks odd in it; it is taken all the same.
    pub remarks: Vec<Remark>,
    /// The yarn it is taken to be of, by its place in the palette.
    pub yarn: Option<usize>,
}

/// The yarn that a swatch is of: as it is named, else the one with most stitches whose label is known.
pub(super) fn yarn_of(given: &SwatchGiven, chart: &Chart) -> Option<usize> {
    let palette = chart.palette();
    if let Some(named) = given.yarn.as_deref().and_then(|key| palette.by_key(key)) {
        return Some(named.index());
    }
    let stitches = chart.stitches_by_yarn();
    let known =
        |at: &usize| stitches[*at] > 0 && palette.yarns()[*at].ball.and_then(Grist::of_ball).is_some();
    (0..palette.len()).filter(known).max_by_key(|at| stitches[*at])
}

/// What a swatch says, worked for that chart.
pub(super) fn told(given: &SwatchGiven, chart: &Chart, units: Units) -> SwatchTold {
    let yarns = chart.palette().yarns();
    let of = yarn_of(given, chart);
    let yarn = of.map(|at| &yarns[at]);
    let usual = || yarns.iter().any(|yarn| yarn.category.is_some()).then(|| WeightCategory::usual_of(yarns));
    let measured = Measured {
        stitches: given.stitches,
        rows: given.rows,
        taken: given.taken.map(|taken| Taken {
            yarn: taken.yarn(),
            worked: given.whole,
            chains: true,
            tails: Length::ZERO,
        }),
        inside: if given.carried { Inside::OneStrand } else { Inside::Nothing },
        grist: yarn.and_then(|yarn| yarn.ball).and_then(Grist::of_ball),
        category: yarn.and_then(|yarn| yarn.category).or_else(usual),
    };
    match pattern::swatch(&measured) {
        Err(error) => SwatchTold {
            swatch: None,
            says: Vec::new(),
            fault: Some(Remark::new(&error, error.hint(), mended_fault(given, &error))),
            remarks: Vec::new(),
            yarn: of,
        },
        Ok(swatch) => {
            let remark = |caution: &Caution| Remark::new(caution, caution.hint(), mended(given, caution));
            let mut remarks: Vec<Remark> = swatch.cautions.iter().map(remark).collect();
            if let Some(key) = given.yarn.as_ref().filter(|key| chart.palette().by_key(key).is_none()) {
                let hint = "say of which yarn it is".to_owned();
                remarks.push(Remark::new(
                    format!("its yarn {key:?} is not of this blanket any more"),
                    hint,
                    None,
                ));
            }
            // The tail length plays no part in what is said.
            let basis = pattern::Basis::of_swatch(swatch.clone(), Length::ZERO);
            SwatchTold { says: basis.says(units), swatch: Some(swatch), fault: None, remarks, yarn: of }
        }
    }
}

fn mended(given: &SwatchGiven, caution: &Caution) -> Option<SwatchGiven> {
    match caution {
        Caution::Slip(slip) | Caution::UnusualYarn { slip: Some(slip), .. } => without(given, slip),
        Caution::OutOfSquare { swapped: true, .. } => {
            let rows = given.rows.as_ref()?;
            let stitches = Counted { over: rows.over, unit: rows.unit, ..given.stitches };
            let rows = Counted { over: given.stitches.over, unit: given.stitches.unit, ..*rows };
            Some(SwatchGiven { stitches, rows: Some(rows), ..given.clone() })
        }
        _ => None,
    }
}

fn mended_fault(given: &SwatchGiven, error: &SwatchError) -> Option<SwatchGiven> {
    match error {
        SwatchError::Gauge { slip: Some(slip), .. } | SwatchError::TooLittleYarn { slip: Some(slip), .. } => {
            without(given, slip)
        }
        _ => None,
    }
}

/// The swatch without a slip. What was counted over the same has the same slip.
fn without(given: &SwatchGiven, slip: &Slip) -> Option<SwatchGiven> {
    let mut right = given.clone();
    let over = match slip.kind {
        SlipKind::InFourInches => Some((Some(4.0), LengthUnit::Inches)),
        SlipKind::InOneInch => Some((Some(1.0), LengthUnit::Inches)),
        SlipKind::InTenCentimetres => Some((Some(10.0), LengthUnit::Centimetres)),
        SlipKind::InOneCentimetre => Some((Some(1.0), LengthUnit::Centimetres)),
        SlipKind::Inches => Some((None, LengthUnit::Inches)),
        SlipKind::Centimetres => Some((None, LengthUnit::Centimetres)),
        _ => None,
    };
    if let Some((over, unit)) = over {
        let wrong = if slip.of == Figure::Rows { given.rows? } else { given.stitches };
        for counted in [Some(&mut right.stitches), right.rows.as_mut()].into_iter().flatten() {
            if counted.unit == wrong.unit && (over.is_none() || (counted.over - wrong.over).abs() < 1e-9) {
                *counted = Counted { count: counted.count, over: over.unwrap_or(counted.over), unit };
            }
        }
        return Some(right);
    }
    let taken = match (slip.kind, given.taken?) {
        (SlipKind::Ounces, YarnTaken::Weighed(number, _)) => YarnTaken::Weighed(number, WeightUnit::Ounces),
        (SlipKind::Grams, YarnTaken::Weighed(number, _)) => YarnTaken::Weighed(number, WeightUnit::Grams),
        (kind, YarnTaken::Measured(number, _)) => {
            let unit = match kind {
                SlipKind::Metres => LengthUnit::Metres,
                SlipKind::CentimetresOfYarn => LengthUnit::Centimetres,
                SlipKind::Yards => LengthUnit::Yards,
                SlipKind::InchesOfYarn => LengthUnit::Inches,
                _ => return None,
            };
            YarnTaken::Measured(number, unit)
        }
        _ => return None,
    };
    right.taken = Some(taken);
    Some(right)
}

#[cfg(test)]
mod tests {
    use model::{Ball, Palette, Srgb, Yarn};

    use super::*;

    const CM: LengthUnit = LengthUnit::Centimetres;
    const INCHES: LengthUnit = LengthUnit::Inches;

    /// Invented: a chart in medium yarn, 170 m in 100 g.
    fn chart() -> Chart {
        let ball = Some(Ball { length: Length::mm(170_000.0), milligrams: 100_000 });
        let oat = Yarn {
            category: Some(WeightCategory::MEDIUM),
            ball,
            ..Yarn::plain("oat", "Oat", Srgb::new(9, 9, 9))
        };
        Chart::new(Palette::new(vec![oat]).unwrap(), 2, 2, &[0; 4]).unwrap()
    }

    fn given(stitches: (f64, f64, LengthUnit), rows: (f64, f64, LengthUnit)) -> SwatchGiven {
        let counted = |(count, over, unit)| Counted { count, over, unit };
        SwatchGiven {
            stitches: counted(stitches),
            rows: Some(counted(rows)),
            taken: None,
            whole: None,
            carried: true,
            yarn: None,
        }
    }

    /// All that a person reads of it.
    fn questions(told: &SwatchTold) -> Vec<&str> {
        told.fault.iter().chain(&told.remarks).map(|remark| remark.hint.as_str()).collect()
    }

    fn mended(told: &SwatchTold) -> SwatchGiven {
        let found = told.fault.iter().chain(&told.remarks).find_map(|remark| remark.mended.as_deref());
        found.expect("a mended swatch").clone()
    }

    /// Source: 11 to 14 sc in 4 in for medium yarn, Standard Yarn Weight System (SEEN): 14 to an inch are none.
    #[test]
    fn a_slip_is_named_and_mended_in_both_directions_of_the_swatch() {
        for (wrong, right, question) in [
            (
                given((14.0, 1.0, INCHES), (15.0, 1.0, INCHES)),
                given((14.0, 4.0, INCHES), (15.0, 4.0, INCHES)),
                "is that 14 stitches in 4 inches, not per inch?",
            ),
            (
                given((13.0, 1.0, CM), (14.0, 1.0, CM)),
                given((13.0, 10.0, CM), (14.0, 10.0, CM)),
                "is that 13 stitches in 10 cm, not per cm?",
            ),
            (
                given((3.0, 4.0, INCHES), (3.25, 4.0, INCHES)),
                given((3.0, 1.0, INCHES), (3.25, 1.0, INCHES)),
                "is that 3 stitches in 1 inch, not in 4?",
            ),
            (
                given((28.0, 8.0, CM), (30.0, 8.0, CM)),
                given((28.0, 8.0, INCHES), (30.0, 8.0, INCHES)),
                "is that 28 stitches in 8 inches, not cm?",
            ),
        ] {
            let told = super::told(&wrong, &chart(), Units::Metric);
            assert!(questions(&told).contains(&question), "{:?}", questions(&told));
            assert_eq!(mended(&told), right);
            let told = super::told(&right, &chart(), Units::Metric);
            let asked = questions(&told).iter().filter(|hint| hint.ends_with('?')).count();
            assert!(asked == 0 && told.swatch.is_some(), "{told:?}");
        }
    }

    #[test]
    fn yarn_in_the_wrong_unit_and_sides_swapped_are_mended_too() {
        // 28 by 30 stitches, 9.5 times 7.1 mm each and one strand inside: 63 m, 37 g, 1.3 oz. DERIVED
        let square = given((28.0, 20.0, CM), (30.0, 20.0, CM));
        for (wrong, right) in [
            (YarnTaken::Weighed(1.3, WeightUnit::Grams), YarnTaken::Weighed(1.3, WeightUnit::Ounces)),
            (YarnTaken::Measured(63.0, CM), YarnTaken::Measured(63.0, LengthUnit::Metres)),
        ] {
            let told =
                super::told(&SwatchGiven { taken: Some(wrong), ..square.clone() }, &chart(), Units::Metric);
            assert_eq!(mended(&told).taken, Some(right));
            let told = super::told(&mended(&told), &chart(), Units::Metric);
            assert_eq!(questions(&told).iter().filter(|hint| hint.ends_with('?')).count(), 0);
        }
        let swapped = given((20.0, 10.0, CM), (14.0, 15.0, CM));
        let told = super::told(&swapped, &chart(), Units::Metric);
        assert!(
            questions(&told).contains(&"are width and height, or stitches and rows, swapped?"),
            "{told:?}"
        );
        assert_eq!(mended(&told), given((20.0, 15.0, CM), (14.0, 10.0, CM)));
    }

    #[test]
    fn a_swatch_of_nothing_says_why() {
        let told = super::told(&given((0.0, 10.0, CM), (14.0, 10.0, CM)), &chart(), Units::Metric);
        assert_eq!(told.fault.unwrap().what, "a swatch of nothing: its stitches can't be zero");
        assert!(told.swatch.is_none() && told.says.is_empty());
    }
}
