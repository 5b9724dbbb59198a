//! Gauge and yarn use from what a person measured on a swatch, or estimated without one.
//!
//! Every figure comes with its band: how far off it may be when all that was read off was read off
//! as badly as is usual. `docs/amounts.md` has the reckoning and its sources.

mod faults;

use model::{Gauge, Length, WeightCategory, YarnUse};

use crate::units::{Band, Grist, LengthUnit, Weight};

pub use faults::{Caution, Figure, Slip, SlipKind, SwatchError};

/// Lowest and highest of what the yarn in a stitch comes to, over the width of a stitch: the band
/// that published measurements span (SEEN: 7.9 from an unravelled square of five inches, 9.6 from
/// 2.7 in a stitch, 10.6 from a single row).
pub const STITCH_TO_WIDTH_BAND: (f64, f64) = (8.0, 11.0);

/// Why it pays to work one.
pub const WHY_A_SWATCH: &str = "Hands differ more than yarns do: published measurements of single \
    crochet lie between 8 and 11 times its width, so that an estimate may be off by a sixth either way. A \
    swatch of 15 cm (6 in), worked with one strand carried inside as the blanket will be, washed, measured and \
    weighed, narrows that to a few hundredths.";

/// Half a stitch, or half a row, is all that an eye tells at the edge of a ruler (common practice,
/// no source).
const COUNT_ERROR: f64 = 0.5;
/// A ruler on fabric: a millimetre at each end (invented).
const RULER_ERROR: Length = Length::from_micrometres(2_000);
/// A kitchen scale shows whole grams (common practice, no source).
const SCALE_ERROR: Weight = Weight::from_milligrams(1_000);
/// Unravelled yarn is crinkled, and stretches when pulled straight (invented).
const UNRAVELLED_ERROR: f64 = 0.02;

/// Under this a side is too short to be sure (SEEN: swatches of at least 4 in; half of that is
/// invented).
const SMALL: Length = Length::from_micrometres(50_000);
/// Lighter than this the scale decides (invented: one gram is then a fifth).
const LIGHT: Weight = Weight::from_milligrams(5_000);
/// A row of single crochet over the width of a stitch: outside it something is misread (invented,
/// around 0.92 and 0.95, both SEEN).
const ROW_TO_STITCH: (f64, f64) = (0.7, 1.35);
/// Yarn over width: outside it something is misread (invented, around the published 8 to 11).
const BELIEVABLE_YARN: (f64, f64) = (5.5, 16.0);
/// Longer than any swatch.
const LONGEST_SIDE: f64 = 10_000.0;
/// More than anybody counts.
const MOST_COUNTED: f64 = 100_000.0;

/// So many stitches or rows over so much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counted {
    /// How many; halves are welcome.
    pub count: f64,
    /// Over how much.
    pub over: f64,
    /// What `over` is measured in.
    pub unit: LengthUnit,
}

impl Counted {
    fn length(&self) -> Length {
        self.unit.times(self.over)
    }

    fn in_10_cm(&self) -> f64 {
        self.count * 100.0 / self.length().as_mm()
    }

    /// With half a stitch and two millimetres too few, and too many.
    fn band(&self) -> Band<f64> {
        let over = self.length();
        let at = |count: f64, over: Length| count.max(0.0) * 100.0 / over.as_mm().max(0.1);
        Band {
            low: at(self.count - COUNT_ERROR, over + RULER_ERROR),
            likely: self.in_10_cm(),
            high: at(self.count + COUNT_ERROR, over - RULER_ERROR),
        }
    }
}

/// The yarn in a swatch, as it was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SwatchYarn {
    /// It was weighed.
    Weighed(Weight),
    /// It was measured: unravelled, or before and after. What was carried inside is part of it.
    Measured(Length),
}

/// The yarn that a swatch took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// How much.
    pub yarn: SwatchYarn,
    /// Stitches a row and rows of the whole swatch, where only a part of it was measured.
    pub worked: Option<(u32, u32)>,
    /// Whether its foundation and turning chains are in the yarn, as in a whole swatch they are.
    pub chains: bool,
    /// Tails still on it.
    pub tails: Length,
}

/// What was carried inside the stitches of the swatch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Inside {
    /// Nothing.
    Nothing,
    /// One strand in every stitch, as it often is in the blanket.
    #[default]
    OneStrand,
}

impl Inside {
    /// How many strands.
    #[must_use]
    pub const fn strands(self) -> u64 {
        match self {
            Self::Nothing => 0,
            Self::OneStrand => 1,
        }
    }
}

/// What a person measured. They give what they can.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// Stitches in a width.
    pub stitches: Counted,
    /// Rows in a height.
    pub rows: Option<Counted>,
    /// The yarn it took.
    pub taken: Option<Taken>,
    /// What was carried inside.
    pub inside: Inside,
    /// How heavy the yarn is, as its label says.
    pub grist: Option<Grist>,
    /// The yarn's weight category, to tell slips by; it never refuses a gauge.
    pub category: Option<WeightCategory>,
}

/// How much of it was measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Gauge and yarn.
    Measured,
    /// The gauge; the yarn in a stitch is an estimate.
    GaugeMeasured,
    /// Nothing: an estimate.
    Estimated,
}

/// What a swatch says.
#[derive(Clone, Debug, PartialEq)]
pub struct Swatch {
    /// Stitches and rows in 10 cm.
    pub gauge: Gauge,
    /// Stitches in 10 cm, with their band.
    pub stitches: Band<f64>,
    /// Rows in 10 cm, with their band.
    pub rows: Band<f64>,
    /// Yarn in one stitch, what lies inside it left out.
    pub stitch: Band,
    /// Grams in a square metre of the swatch as it is, carried strand included.
    pub grams_per_square_metre: Option<Band<f64>>,
    /// How heavy the yarn is: from its label, else from the swatch's weight and the estimate of its
    /// length.
    pub grist: Option<Grist>,
    /// How much of this was measured.
    pub origin: Origin,
    /// What was carried inside.
    pub inside: Inside,
    /// What looks odd in what was given.
    pub cautions: Vec<Caution>,
}

impl Swatch {
    /// What a strand takes for each thing it does, tails of that length each.
    #[must_use]
    pub fn yarn_use(&self, tail: Length) -> YarnUse {
        let estimate = YarnUse::estimate(&self.gauge);
        YarnUse { stitch: self.stitch.likely, tail, estimated: self.origin != Origin::Measured, ..estimate }
    }

    /// Yarn in a stitch over the width of a stitch.
    #[must_use]
    pub fn stitch_to_width(&self) -> f64 {
        self.stitch.likely.as_mm() / self.gauge.stitch_width().as_mm()
    }
}

/// What is to be said of a swatch.
///
/// # Errors
/// When a figure is nothing, no number, or so far off that no gauge comes of it; when there is yarn
/// but nothing says for how many stitches; when the yarn would not do even for what is not stitches.
pub fn swatch(measured: &Measured) -> Result<Swatch, SwatchError> {
    let usual = expected(measured.category);
    let mut cautions = Vec::new();
    counted(&measured.stitches, Figure::Stitches, Figure::Width, usual)?;
    let stitches = measured.stitches.band();
    let slip = faults::slip(&measured.stitches, Figure::Stitches, usual);
    if let Some(rows) = &measured.rows {
        counted(rows, Figure::Rows, Figure::Height, usual)?;
    }
    let gauge = match &measured.rows {
        Some(rows) => Gauge::new(measured.stitches.in_10_cm(), rows.in_10_cm()),
        None => Gauge::from_stitches(measured.stitches.in_10_cm()),
    };
    let gauge = gauge.map_err(|error| SwatchError::Gauge {
        of: Figure::Stitches,
        in_10_cm: error.0,
        slip: slip.clone(),
    })?;
    let rows = match &measured.rows {
        Some(rows) => rows.band(),
        None => stitches.map(|in_10_cm| in_10_cm / model::ROW_HEIGHT_TO_STITCH_WIDTH),
    };
    look_at_gauge(measured, &gauge, slip, usual, &mut cautions);

    let estimate = YarnUse::estimate(&gauge);
    let width = gauge.stitch_width();
    let mut found = Swatch {
        gauge,
        stitches,
        rows,
        stitch: of_width(width, width, width),
        grams_per_square_metre: None,
        grist: measured.grist,
        origin: Origin::GaugeMeasured,
        inside: measured.inside,
        cautions,
    };
    let Some(taken) = &measured.taken else { return Ok(found) };

    let (across, up) = pieces(measured, taken)?;
    let number = across.likely * up.likely;
    let not_stitches = if taken.chains {
        // One chain more than stitches for the foundation, one for each row but the first.
        Length::mm(estimate.chain.as_mm() * (across.likely + up.likely))
    } else {
        Length::ZERO
    } + taken.tails;
    let carried = Length::mm(width.as_mm() * number) * measured.inside.strands();
    let extras = not_stitches + carried;
    let a_stitch = |length: Length, number: f64| {
        Length::mm(((length - extras).as_mm() / number.max(COUNT_ERROR)).max(0.0))
    };
    let (low, high) = (across.low * up.low, across.high * up.high);
    let (weight, length) = match taken.yarn {
        SwatchYarn::Weighed(weight) => {
            nothing(weight == Weight::ZERO, Figure::Weight)?;
            if weight < LIGHT {
                found.cautions.push(Caution::Light(weight));
            }
            let off = SCALE_ERROR.milligrams();
            let weight = Band {
                low: Weight::from_milligrams(weight.milligrams().saturating_sub(off)),
                likely: weight,
                high: Weight::from_milligrams(weight.milligrams().saturating_add(off)),
            };
            (Some(weight), measured.grist.map(|grist| weight.map(|weight| grist.length(weight))))
        }
        SwatchYarn::Measured(length) => {
            nothing(length <= Length::ZERO, Figure::Length)?;
            let length = Band {
                low: Length::mm(length.as_mm() * (1.0 - UNRAVELLED_ERROR)),
                likely: length,
                high: Length::mm(length.as_mm() * (1.0 + UNRAVELLED_ERROR)),
            };
            (measured.grist.map(|grist| length.map(|length| grist.weight(length))), Some(length))
        }
    };
    if let Some(length) = length {
        if length.likely <= extras {
            let ratio = length.likely.as_mm() / number / width.as_mm();
            let slip = faults::yarn_slip(taken.yarn, ratio);
            return Err(SwatchError::TooLittleYarn { given: length.likely, extras, slip });
        }
        found.stitch = Band {
            low: a_stitch(length.low, high),
            likely: a_stitch(length.likely, number),
            high: a_stitch(length.high, low),
        };
        found.origin = Origin::Measured;
        let ratio = found.stitch_to_width();
        if !(BELIEVABLE_YARN.0..=BELIEVABLE_YARN.1).contains(&ratio) {
            found.cautions.push(Caution::UnusualYarn { ratio, slip: faults::yarn_slip(taken.yarn, ratio) });
        }
    } else if let Some(weight) = weight {
        // Weight alone: how long the yarn is stays an estimate, but grams come out as weighed.
        let estimated = Length::mm(found.stitch.likely.as_mm() * number) + extras;
        found.grist = Grist::new(estimated, weight.likely);
    }
    // The scale's error and the ruler's; that of counting goes into stitches and gauge alike.
    let sides = [Some(&measured.stitches), measured.rows.as_ref()].into_iter().flatten();
    let ruler: f64 = sides.map(|side| 1.0 + RULER_ERROR.as_mm() / side.length().as_mm()).product();
    found.grams_per_square_metre = weight.map(|weight| {
        let grams = weight.map(|weight| weight.as_grams() / number * gauge.stitches() * gauge.rows() * 100.0);
        Band { low: grams.low / ruler, likely: grams.likely, high: grams.high * ruler }
    });
    Ok(found)
}

/// Without a swatch: an estimate, from a gauge where there is one, else from the yarn's category.
///
/// # Errors
/// When there is neither; lace yarn alone says nothing, for the standard gives it no single crochet.
pub fn estimate(
    gauge: Option<Gauge>,
    category: Option<WeightCategory>,
    grist: Option<Grist>,
) -> Result<Swatch, SwatchError> {
    let (gauge, stitches, rows) = match (gauge, category) {
        (Some(gauge), _) => (gauge, Band::sure(gauge.stitches()), Band::sure(gauge.rows())),
        (None, Some(category)) => {
            let (low, high) = category.usual_stitches_in_10_cm().ok_or(SwatchError::NothingToGoBy)?;
            let gauge = Gauge::usual(category);
            let stitches = Band { low: low.into(), likely: gauge.stitches(), high: high.into() };
            (gauge, stitches, stitches.map(|in_10_cm| in_10_cm / model::ROW_HEIGHT_TO_STITCH_WIDTH))
        }
        (None, None) => return Err(SwatchError::NothingToGoBy),
    };
    let width = |in_10_cm: f64| Length::mm(100.0 / in_10_cm);
    let stitch = of_width(width(stitches.high), gauge.stitch_width(), width(stitches.low));
    let grams = grist.map(|grist| {
        stitch.map(|stitch| grist.tex() * stitch.as_mm() * 1e-6 * gauge.stitches() * gauge.rows() * 100.0)
    });
    Ok(Swatch {
        gauge,
        stitches,
        rows,
        stitch,
        grams_per_square_metre: grams,
        grist,
        origin: Origin::Estimated,
        inside: Inside::Nothing,
        cautions: Vec::new(),
    })
}

/// The published band of yarn over width.
fn of_width(narrow: Length, likely: Length, wide: Length) -> Band {
    let at = |width: Length, ratio: f64| Length::mm(width.as_mm() * ratio);
    Band {
        low: at(narrow, STITCH_TO_WIDTH_BAND.0),
        likely: at(likely, YarnUse::STITCH_TO_WIDTH),
        high: at(wide, STITCH_TO_WIDTH_BAND.1),
    }
}

/// Stitches in 10 cm that are believable: the category's own and a third beyond, since many work
/// outside it (SEEN: 18 sc in 4 in of medium yarn); without one, from jumbo to lace.
fn expected(category: Option<WeightCategory>) -> (f64, f64) {
    match category.and_then(WeightCategory::usual_stitches_in_10_cm) {
        Some((low, high)) => (f64::from(low) * 0.75, f64::from(high) * 4.0 / 3.0),
        None => (3.0, 45.0),
    }
}

fn nothing(nothing: bool, figure: Figure) -> Result<(), SwatchError> {
    if nothing { Err(SwatchError::Nothing(figure)) } else { Ok(()) }
}

/// Both numbers are there, and a gauge comes of them.
fn counted(counted: &Counted, what: Figure, over: Figure, usual: (f64, f64)) -> Result<(), SwatchError> {
    for (figure, number, most) in [(what, counted.count, MOST_COUNTED), (over, counted.over, LONGEST_SIDE)] {
        if !number.is_finite() || number < 0.0 || number > most {
            return Err(SwatchError::NoSuchNumber { figure, number });
        }
        nothing(number == 0.0, figure)?;
    }
    nothing(counted.length() == Length::ZERO, over)?;
    let in_10_cm = counted.in_10_cm();
    if (1.0..=100.0).contains(&in_10_cm) {
        return Ok(());
    }
    Err(SwatchError::Gauge { of: what, in_10_cm, slip: faults::slip(counted, what, usual) })
}

/// Stitches across and rows up of the swatch that the yarn is in.
fn pieces(measured: &Measured, taken: &Taken) -> Result<(Band<f64>, Band<f64>), SwatchError> {
    if let Some((across, up)) = taken.worked {
        nothing(across == 0, Figure::WorkedStitches)?;
        nothing(up == 0, Figure::WorkedRows)?;
        return Ok((Band::sure(across.into()), Band::sure(up.into())));
    }
    let rows = measured.rows.as_ref().ok_or(SwatchError::NoRows)?;
    let off = |likely: f64| Band { low: likely - COUNT_ERROR, likely, high: likely + COUNT_ERROR };
    Ok((off(measured.stitches.count), off(rows.count)))
}

/// What looks odd in the gauge, worst first.
fn look_at_gauge(
    measured: &Measured,
    gauge: &Gauge,
    slip: Option<Slip>,
    usual: (f64, f64),
    cautions: &mut Vec<Caution>,
) {
    let of_stitches = slip.as_ref().map(|slip| slip.kind);
    if let Some(slip) = slip {
        cautions.push(Caution::Slip(slip));
    } else if !(usual.0..=usual.1).contains(&gauge.stitches()) {
        cautions.push(Caution::UnusualGauge { stitches: gauge.stitches(), category: measured.category });
    }
    if let Some(rows) = &measured.rows {
        match faults::slip(rows, Figure::Rows, usual) {
            Some(slip) if Some(slip.kind) != of_stitches => cautions.push(Caution::Slip(slip)),
            Some(_) => {}
            None => {
                let ratio = gauge.stitches() / gauge.rows();
                let within = |ratio: f64| (ROW_TO_STITCH.0..=ROW_TO_STITCH.1).contains(&ratio);
                if of_stitches.is_none() && !within(ratio) {
                    // Width and height swapped, counts as they are.
                    let swapped = (measured.stitches.length().as_mm() / rows.count)
                        / (rows.length().as_mm() / measured.stitches.count);
                    cautions.push(Caution::OutOfSquare { ratio, swapped: within(swapped) });
                }
            }
        }
    }
    let sides = [Some(&measured.stitches), measured.rows.as_ref()];
    let sides = sides.into_iter().flatten().map(Counted::length);
    if let Some(side) = sides.min().filter(|side| *side < SMALL) {
        cautions.push(Caution::Small(side));
    }
    if measured.inside == Inside::Nothing {
        cautions.push(Caution::NothingInside);
    }
}

#[cfg(test)]
mod tests;
