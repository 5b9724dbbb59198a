//! How much yarn: per colour in all that it goes into, balls to buy, cost, finished size.

use core::fmt;
use core::iter::Sum;
use core::ops::Range;

use model::{ColourIndex, Gauge, Length, Palette, Plan, Price, YarnUse};
use replay::ProvenPlan;

use crate::swatch::{STITCH_TO_WIDTH_BAND, Swatch};
use crate::tally::{Tally, by_strand};
use crate::units::{Band, Grist, Weight, scaled};

/// What a strand takes for each thing it does, and how sure that is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Takes {
    /// What is reckoned with.
    pub yarn_use: YarnUse,
    /// Yarn in a stitch, with its band; `likely` is that of `yarn_use`. The rest is sure enough.
    pub stitch: Band,
    /// How heavy a yarn is whose label does not say.
    pub grist: Option<Grist>,
}

impl Takes {
    /// As the plan reckons. An estimate has the published band; a measured stitch is taken as sure,
    /// for a plan does not keep how sure it was.
    #[must_use]
    pub fn of_plan(plan: &Plan) -> Self {
        let yarn_use = plan.yarn_use;
        let likely = yarn_use.stitch;
        let at = |ratio: f64| Length::mm(likely.as_mm() * ratio / YarnUse::STITCH_TO_WIDTH);
        let stitch = if yarn_use.estimated {
            Band { low: at(STITCH_TO_WIDTH_BAND.0), likely, high: at(STITCH_TO_WIDTH_BAND.1) }
        } else {
            Band::sure(likely)
        };
        Self { yarn_use, stitch, grist: None }
    }

    /// As a swatch says, with tails of that length.
    #[must_use]
    pub fn of_swatch(swatch: &Swatch, tail: Length) -> Self {
        Self { yarn_use: swatch.yarn_use(tail), stitch: swatch.stitch, grist: swatch.grist }
    }

    /// Where the yarn of those doings goes.
    pub(crate) fn parts(&self, tally: &Tally) -> Parts {
        let takes = &self.yarn_use;
        Parts {
            stitches: self.stitch.likely * tally.stitches,
            carried: takes.carried * tally.carried,
            lifts: takes.lift * tally.lifts,
            foundation: takes.chain * tally.foundation,
            turning: takes.chain * tally.turning,
            tails: takes.tail * (tally.joins + tally.cuts),
            border: Length::ZERO,
        }
    }

    /// Their length, with the band that the stitches have.
    pub(crate) fn length(&self, tally: &Tally) -> Band {
        let rest = self.parts(tally).total() - self.stitch.likely * tally.stitches;
        self.stitch.map(|stitch| stitch * tally.stitches + rest)
    }
}

/// Where yarn goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Parts {
    /// Single crochets.
    pub stitches: Length,
    /// Carries and drawings back.
    pub carried: Length,
    /// Rows climbed.
    pub lifts: Length,
    /// The foundation chain.
    pub foundation: Length,
    /// Turning chains.
    pub turning: Length,
    /// Tails.
    pub tails: Length,
    /// The border.
    pub border: Length,
}

impl Parts {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> Length {
        self.named().into_iter().map(|(_, length)| length).sum()
    }

    /// Every part with its name, in the order in which they are told.
    #[must_use]
    pub const fn named(&self) -> [(&'static str, Length); 7] {
        [
            ("stitches", self.stitches),
            ("carried", self.carried),
            ("lifts", self.lifts),
            ("foundation", self.foundation),
            ("turning chains", self.turning),
            ("tails", self.tails),
            ("border", self.border),
        ]
    }
}

impl core::ops::Add for Parts {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            stitches: self.stitches + other.stitches,
            carried: self.carried + other.carried,
            lifts: self.lifts + other.lifts,
            foundation: self.foundation + other.foundation,
            turning: self.turning + other.turning,
            tails: self.tails + other.tails,
            border: self.border + other.border,
        }
    }
}

impl Sum for Parts {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::default(), core::ops::Add::add)
    }
}

/// More of a thing than was reckoned, in whole per cent from 0 to [`Margin::MOST`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Margin(u32);

impl Margin {
    /// As much again: more is more than sense.
    pub const MOST: u32 = 100;
    /// Nothing more.
    pub const NONE: Self = Self(0);

    /// So many per cent more.
    ///
    /// # Errors
    /// Above [`Margin::MOST`].
    pub const fn percent(percent: u32) -> Result<Self, AmountsError> {
        if percent <= Self::MOST { Ok(Self(percent)) } else { Err(AmountsError::Margin(percent)) }
    }

    /// In per cent.
    #[must_use]
    pub const fn as_percent(self) -> u32 {
        self.0
    }

    /// A length with that much more, rounded up to a micrometre.
    #[must_use]
    pub fn on(self, length: Length) -> Length {
        let micrometres = u64::try_from(length.micrometres()).unwrap_or(0);
        let more = scaled(micrometres, 100 + u64::from(self.0), 100, 99);
        Length::from_micrometres(i64::try_from(more).unwrap_or(i64::MAX))
    }
}

impl Default for Margin {
    /// A tenth (common practice, no source).
    fn default() -> Self {
        Self(10)
    }
}

/// Whether balls of one dye lot differ from those of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum DyeLots {
    /// They do: one ball more than needed is bought with the rest (SEEN in six sources: buy all of
    /// one lot plus one spare).
    #[default]
    Matter,
    /// They don't.
    Alike,
}

/// What a person chooses.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choices {
    /// What a strand takes.
    pub takes: Takes,
    /// More than the high end of what is reckoned.
    pub margin: Margin,
    /// Whether a spare ball is bought.
    pub dye_lots: DyeLots,
    /// The yarn of a border.
    pub border: Option<BorderYarn>,
}

/// The yarn that a border takes. It may be worked in yarns that make no stitch of the chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BorderYarn {
    /// The chart's palette, with those yarns after its own.
    pub palette: Palette,
    /// How much of each, tails included.
    pub takes: Vec<(ColourIndex, Band)>,
}

impl Choices {
    /// The defaults, with that use of yarn: a tenth more, dye lots matter, no border.
    #[must_use]
    pub fn new(takes: Takes) -> Self {
        Self { takes, margin: Margin::default(), dye_lots: DyeLots::default(), border: None }
    }

    /// The palette that amounts speak of: the chart's, or the border's that goes on from it.
    #[must_use]
    pub fn palette<'a>(&'a self, proven: &'a ProvenPlan) -> &'a Palette {
        self.border.as_ref().map_or(proven.chart().palette(), |border| &border.palette)
    }
}

/// Whole balls of a yarn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Balls {
    /// That the work takes, margin included.
    pub needed: u64,
    /// To have in reserve.
    pub spare: u64,
    /// That are there.
    pub on_hand: u64,
    /// To buy.
    pub buy: u64,
}

impl Balls {
    /// What is there is used first; where it does, nothing is bought, not even a spare, which would
    /// be of another lot.
    fn new(needed: u64, on_hand: u64, dye_lots: DyeLots) -> Self {
        let short = needed.saturating_sub(on_hand);
        let spare = u64::from(short > 0 && dye_lots == DyeLots::Matter);
        Self { needed, spare, on_hand, buy: short + spare }
    }

    /// Whether lots differ and balls that are there meet others that are bought.
    #[must_use]
    pub const fn lots_meet(&self) -> bool {
        self.on_hand > 0 && self.spare > 0
    }
}

/// Yarn for one colour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    /// Which.
    pub yarn: ColourIndex,
    /// Its strands.
    pub strands: usize,
    /// Its stitches, the border's left out.
    pub stitches: u64,
    /// Where its likely length goes.
    pub parts: Parts,
    /// Its length, tails and border included, no margin.
    pub length: Band,
    /// Length to have: the high end, with the margin.
    pub to_have: Length,
    /// How heavy it is, where known.
    pub grist: Option<Grist>,
    /// Balls, where one's length is known.
    pub balls: Option<Balls>,
    /// What the balls to buy cost, where a ball and its price are known.
    pub cost: Option<Price>,
}

impl Amount {
    /// What it weighs, where known.
    #[must_use]
    pub fn weight(&self) -> Option<Band<Weight>> {
        self.grist.map(|grist| self.length.map(|length| grist.weight(length)))
    }

    /// What to do about dye lots that may meet; nothing where they don't.
    #[must_use]
    pub fn lot_advice(&self) -> &'static [LotAdvice] {
        if self.balls.is_some_and(|balls| balls.lots_meet()) { &LotAdvice::ALL } else { &[] }
    }
}

/// Yarn for each colour that the plan or the border uses, in the order of [`Choices::palette`].
///
/// # Panics
/// When the border's palette does not begin with the chart's, or has not all of its colours.
#[must_use]
pub fn amounts(proven: &ProvenPlan, choices: &Choices) -> Vec<Amount> {
    amounts_of(proven, 0..proven.chart().rows(), choices)
}

/// The same for some rows alone.
pub(crate) fn amounts_of(proven: &ProvenPlan, rows: Range<usize>, choices: &Choices) -> Vec<Amount> {
    let (palette, plan) = (choices.palette(proven), proven.plan());
    let of_border: &[(ColourIndex, Band)] = choices.border.as_ref().map_or(&[], |border| &border.takes);
    assert!(
        palette.yarns().starts_with(proven.chart().palette().yarns()),
        "the border's palette begins with the chart's"
    );
    assert!(of_border.iter().all(|(yarn, _)| yarn.index() < palette.len()), "the border's colours are there");
    let tallies = by_strand(proven, rows);
    palette
        .indices()
        .filter_map(|yarn| {
            let of_yarn = || plan.strands.iter().zip(&tallies).filter(move |(claim, _)| claim.yarn == yarn);
            let strands = of_yarn().filter(|(_, tally)| tally.rows > 0).count();
            let border = of_border.iter().filter(|(of, _)| *of == yarn).map(|(_, band)| *band);
            let border = border.fold(Band::sure(Length::ZERO), Band::plus);
            if strands == 0 && border.high == Length::ZERO {
                return None;
            }
            let parts: Parts = of_yarn().map(|(_, tally)| choices.takes.parts(tally)).sum();
            let length = of_yarn().map(|(_, tally)| choices.takes.length(tally)).fold(border, Band::plus);
            let to_have = choices.margin.on(length.high);
            let entry = palette.yarn(yarn);
            let ball = entry.ball.filter(|ball| ball.length > Length::ZERO);
            let on_hand = entry.on_hand.unwrap_or(0).into();
            let balls = ball.map(|ball| Balls::new(whole(to_have, ball.length), on_hand, choices.dye_lots));
            let cost = |(balls, price): (Balls, Price)| Price {
                hundredths: price.hundredths.saturating_mul(balls.buy),
            };
            Some(Amount {
                yarn,
                strands,
                stitches: of_yarn().map(|(_, tally)| tally.stitches).sum(),
                parts: Parts { border: border.likely, ..parts },
                length,
                to_have,
                grist: ball.and_then(Grist::of_ball).or(choices.takes.grist),
                balls,
                cost: balls.zip(entry.price).map(cost),
            })
        })
        .collect()
}

/// How many whole balls hold that length.
pub(crate) fn whole(length: Length, ball: Length) -> u64 {
    u64::try_from(length.micrometres()).unwrap_or(0).div_ceil(ball.micrometres().unsigned_abs().max(1))
}

/// What all balls to buy cost, and the colours whose cost nobody knows.
#[must_use]
pub fn cost(amounts: &[Amount]) -> (Price, Vec<ColourIndex>) {
    let known = amounts.iter().filter_map(|amount| amount.cost).map(|price| price.hundredths);
    let unknown = amounts.iter().filter(|amount| amount.cost.is_none()).map(|amount| amount.yarn);
    (Price { hundredths: known.fold(0, u64::saturating_add) }, unknown.collect())
}

/// What to do where two dye lots of a yarn may meet, in the order of trying (SEEN in six sources,
/// but for the bobbins and the border: common practice, no source).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LotAdvice {
    /// Ask for the lot that is there.
    AskForTheLot,
    /// Use the lots by turns, so that no line shows.
    AlternateRows {
        /// Change after so many rows.
        every: u32,
    },
    /// Wind bobbins of small areas from the lots by turns.
    WindByTurns,
    /// Keep the odd one for the border.
    OddOneForTheBorder,
}

impl LotAdvice {
    /// All of it, in the order of trying.
    pub const ALL: [Self; 4] =
        [Self::AskForTheLot, Self::AlternateRows { every: 2 }, Self::WindByTurns, Self::OddOneForTheBorder];
}

impl fmt::Display for LotAdvice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AskForTheLot => f.write_str(
                "Buy balls of the lot that you have; its number is on the label. Yarn without lots can differ too.",
            ),
            Self::AlternateRows { every } => write!(
                f,
                "If lots must mix, work large areas from both by turns, changing every row or every {every} rows, \
                 so that no line shows."
            ),
            Self::WindByTurns => {
                f.write_str("Wind the bobbins of small areas from the lots by turns, each from one lot.")
            }
            Self::OddOneForTheBorder => f.write_str("Or keep the lot of which there is least for the border."),
        }
    }
}

/// How much a piece gets smaller in the wash, in tenths of a per cent: the person's to measure.
/// Below zero it grows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Shrinkage {
    width: i32,
    height: i32,
}

impl Shrinkage {
    /// The most either way, in tenths of a per cent.
    pub const MOST: i32 = 500;

    /// Of width and height, in tenths of a per cent.
    ///
    /// # Errors
    /// Beyond [`Shrinkage::MOST`] either way.
    pub const fn tenths_of_percent(width: i32, height: i32) -> Result<Self, AmountsError> {
        if width.unsigned_abs() > Self::MOST.unsigned_abs() {
            return Err(AmountsError::Shrinkage(width));
        }
        if height.unsigned_abs() > Self::MOST.unsigned_abs() {
            return Err(AmountsError::Shrinkage(height));
        }
        Ok(Self { width, height })
    }

    fn after(tenths: i32, length: Length) -> Length {
        let left = i128::from(1000 - tenths) * i128::from(length.micrometres());
        Length::from_micrometres(i64::try_from((left + 500).div_euclid(1000)).unwrap_or(i64::MAX))
    }
}

/// Size and weight of the finished blanket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finished {
    /// Width, border included.
    pub width: Length,
    /// Height, border included.
    pub height: Length,
    /// Both after washing, where the person knows how it shrinks.
    pub washed: Option<(Length, Length)>,
    /// Weight of the colours whose weight is known. Washing does not change it.
    pub weight: Band<Weight>,
    /// Colours whose weight nobody knows.
    pub unweighed: Vec<ColourIndex>,
}

/// Size and weight of the finished blanket, `border` being how far a border stands out on each side.
#[must_use]
pub fn finished(
    proven: &ProvenPlan,
    gauge: &Gauge,
    amounts: &[Amount],
    border: Length,
    shrinkage: Option<Shrinkage>,
) -> Finished {
    let chart = proven.chart();
    let (width, height) =
        (gauge.width_of(chart.columns()) + border * 2, gauge.height_of(chart.rows()) + border * 2);
    let weights = amounts.iter().filter_map(Amount::weight);
    Finished {
        width,
        height,
        washed: shrinkage.map(|shrinkage| {
            (Shrinkage::after(shrinkage.width, width), Shrinkage::after(shrinkage.height, height))
        }),
        weight: weights.fold(Band::sure(Weight::ZERO), Band::plus),
        unweighed: amounts.iter().filter(|amount| amount.grist.is_none()).map(|amount| amount.yarn).collect(),
    }
}

/// Why a choice is none.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AmountsError {
    /// A margin above [`Margin::MOST`], in per cent.
    Margin(u32),
    /// A shrinkage beyond [`Shrinkage::MOST`], in tenths of a per cent.
    Shrinkage(i32),
}

impl fmt::Display for AmountsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Margin(percent) => {
                write!(f, "a margin of {percent} % is more than sense: {} % is the most", Margin::MOST)
            }
            Self::Shrinkage(tenths) => write!(
                f,
                "a shrinkage of {} % is not believable: it must lie between -50 and 50",
                f64::from(*tenths) / 10.0
            ),
        }
    }
}

impl std::error::Error for AmountsError {}

impl AmountsError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Margin(_) => "10 % is usual, 15 to 20 % without a swatch; a spare ball comes on top",
            Self::Shrinkage(_) => "measure the swatch before and after washing: (before - after) / before",
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn more_margin_than_sense_is_refused() {
        let error = Margin::percent(101).unwrap_err();
        assert_eq!(error.to_string(), "a margin of 101 % is more than sense: 100 % is the most");
        assert!(!error.hint().is_empty());
        assert!(Margin::percent(u32::MAX).is_err() && Margin::percent(100).is_ok());
        assert_eq!(Shrinkage::tenths_of_percent(0, 501), Err(AmountsError::Shrinkage(501)));
        assert!(Shrinkage::tenths_of_percent(i32::MIN, 0).is_err());
    }

    /// Source: trade practice, six sources agree (SEEN): all of one lot and one spare.
    #[test]
    fn a_spare_is_bought_with_the_rest_and_never_alone() {
        let balls = |needed, on_hand, lots| Balls::new(needed, on_hand, lots).buy;
        assert_eq!(balls(4, 0, DyeLots::Matter), 5);
        assert_eq!(balls(4, 0, DyeLots::Alike), 4);
        assert_eq!(balls(4, 3, DyeLots::Matter), 2);
        assert_eq!(balls(4, 4, DyeLots::Matter), 0);
        assert_eq!(balls(4, 9, DyeLots::Matter), 0);
        assert!(
            Balls::new(4, 3, DyeLots::Matter).lots_meet() && !Balls::new(4, 4, DyeLots::Matter).lots_meet()
        );
    }

    /// A metre that shrinks by 3 % is 97 cm (definition).
    #[test]
    fn a_wash_takes_its_share() {
        assert_eq!(Shrinkage::after(30, Length::cm(100.0)), Length::cm(97.0));
        assert_eq!(Shrinkage::after(-25, Length::cm(100.0)), Length::cm(102.5));
    }

    proptest! {
        #[test]
        fn margins_are_monotone(micrometres in 0..i64::MAX, less in 0u32..=100, more in 0u32..=100) {
            let (less, more) = (less.min(more), less.max(more));
            let length = Length::from_micrometres(micrometres);
            let of = |percent| Margin::percent(percent).unwrap().on(length);
            prop_assert!(of(less) <= of(more) && of(0) == length);
        }

        #[test]
        fn more_on_hand_is_never_more_to_buy(needed in 0u64..1000, on_hand in 0u64..1000, more in 0u64..100) {
            for lots in [DyeLots::Matter, DyeLots::Alike] {
                let buy = |on_hand| Balls::new(needed, on_hand, lots).buy;
                prop_assert!(buy(on_hand + more) <= buy(on_hand));
                prop_assert!(on_hand + buy(on_hand) >= needed);
            }
        }
    }
}
