//! What comes of what a person gave: amounts, cost, size, hours, evenings, drift.

use std::sync::Arc;

use model::{ColourIndex, Gauge, Hand, Palette, Price, WeightCategory};
use pattern::{
    Amount, Basis, Choices, Day, Drift, Finished, Habit, Pace, Remeasured, Schedule, Shrinkage, StillToWork,
    Time, Units,
};
use replay::ProvenPlan;

use super::edge::{BorderTold, Edge};
use super::given::{Making, SwatchGiven};
use super::kept::{self, Kept};
use super::swatch::{self, Remark, SwatchTold};
use crate::hand_out::Proven;
use crate::{BlanketId, Failure, PaletteEntry, Revision, Terms, Workbench};

/// Something that came of it, or why it did not: what, and what to do about it.
pub type Told<T> = Result<T, (String, String)>;

/// What a blanket takes, in yarn and in time.
#[derive(Clone, Debug, PartialEq)]
pub struct Amounts {
    /// The revision it is of.
    pub revision: Revision,
    /// What the person gave.
    pub making: Making,
    /// The yarns: those of the blanket, then those of the border that have left it.
    pub palette: Vec<PaletteEntry>,
    /// How many of them are the blanket's.
    pub of_blanket: usize,
    /// Stitches across the chart.
    pub columns: usize,
    /// Its rows.
    pub rows: usize,
    /// The gauge that the chart is drawn with.
    pub gauge: Gauge,
    /// What is reckoned with.
    pub basis: Basis,
    /// The same in sentences, in the person's units.
    pub says: Vec<String>,
    /// What is to be said of the swatch.
    pub swatch: Option<SwatchTold>,
    /// Yarn by yarn, those that take any.
    pub amounts: Vec<Amount>,
    /// What the balls to buy cost.
    pub cost: Price,
    /// Yarns whose cost nobody knows.
    pub cost_unknown: Vec<ColourIndex>,
    /// Size and weight.
    pub finished: Finished,
    /// Hours by what is done.
    pub time: Time,
    /// What looks odd in the pace.
    pub pace_slip: Option<String>,
    /// The plan of evenings.
    pub schedule: Option<Told<Schedule>>,
    /// What the work itself has come to.
    pub drift: Option<Told<Drift>>,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// Everything that is reckoned with.
pub(crate) struct Reckoned {
    pub(crate) proven: Arc<ProvenPlan>,
    pub(crate) revision: Revision,
    pub(crate) gauge: Gauge,
    pub(crate) hand: Hand,
    pub(crate) kept: Kept,
    pub(crate) basis: Basis,
    pub(crate) swatch: Option<SwatchTold>,
    pub(crate) edge: Edge,
    pub(crate) choices: Choices,
    pub(crate) pace: Pace,
    pub(crate) units: Units,
    pub(crate) terms: Terms,
}

const fn units(units: crate::Units) -> Units {
    match units {
        crate::Units::Cm => Units::Metric,
        crate::Units::Inches => Units::Inches,
    }
}

const fn border_terms(terms: Terms) -> border::Terms {
    match terms {
        Terms::Us => border::Terms::Us,
        Terms::Uk => border::Terms::Uk,
    }
}

impl Workbench {
    /// All that amounts, border and pages are made of.
    pub(crate) fn reckoned(&self, id: BlanketId) -> Result<Reckoned, Failure> {
        let settings = self.settings()?;
        let Proven { revision, gauge, hand, plan: proven, making, .. } = self.proven(id)?;
        let kept = making.as_deref().map(kept::from_json).unwrap_or_default();
        let units = units(settings.units);
        let chart = proven.chart();
        let swatch = kept.making.swatch.as_ref().map(|given| swatch::told(given, chart, units));
        let tail = proven.plan().yarn_use.tail;
        let measured = swatch.as_ref().and_then(|told| told.swatch.clone());
        let basis = match measured {
            Some(swatch) => Basis::of_swatch(swatch, tail),
            None => {
                let category = WeightCategory::usual_of(chart.palette().yarns());
                Basis::without_swatch(proven.plan(), gauge, false, category).map_err(Failure::defect)?
            }
        };
        let edge = Edge::new(&kept, chart, basis.swatch.gauge, hand);
        let choices = Choices {
            margin: kept.making.margin,
            dye_lots: kept.making.dye_lots,
            border: edge.yarn(&basis.takes.yarn_use),
            ..Choices::new(basis.takes)
        };
        // What was kept was found good; of a shelf that was tampered with the usual one is left.
        let pace = kept.making.pace.pace().unwrap_or_default();
        let terms = settings.terms;
        Ok(Reckoned { proven, revision, gauge, hand, kept, basis, swatch, edge, choices, pace, units, terms })
    }

    /// What a blanket takes, in yarn and in time, as far as its plan and what the person gave say it.
    /// Evenings begin `today`, or on the clock's day in UTC.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn amounts(&self, id: BlanketId, today: Option<Day>) -> Result<Amounts, Failure> {
        let today = today.unwrap_or_else(|| Day(self.now().0.div_euclid(86_400_000)));
        let reckoned = self.reckoned(id)?;
        let Reckoned { proven, basis, edge, choices, pace, kept, .. } = &reckoned;
        let making = &kept.making;
        let amounts = pattern::amounts(proven, choices);
        let (cost, cost_unknown) = pattern::cost(&amounts);
        let depth = edge.worked().map_or(model::Length::ZERO, border::Border::depth);
        let shrinkage =
            making.shrinkage.and_then(|(width, height)| Shrinkage::tenths_of_percent(width, height).ok());
        let (of_stitches, of_ends) = edge.hours(pace);
        let time = pattern::time(proven, pace, of_stitches + of_ends);
        Ok(Amounts {
            revision: reckoned.revision,
            palette: reckoned.palette(),
            of_blanket: proven.chart().palette().len(),
            columns: proven.chart().columns(),
            rows: proven.chart().rows(),
            gauge: reckoned.gauge,
            says: basis.says(reckoned.units),
            finished: pattern::finished(proven, &basis.swatch.gauge, &amounts, depth, shrinkage),
            cost,
            cost_unknown,
            amounts,
            pace_slip: making.pace.slip(),
            schedule: reckoned.schedule(&time, today),
            time,
            drift: reckoned.drift(),
            notes: reckoned.notes(),
            making: making.clone(),
            basis: basis.clone(),
            swatch: reckoned.swatch.clone(),
        })
    }

    /// The border of a blanket, in those terms.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn border(&self, id: BlanketId, terms: Option<Terms>) -> Result<BorderTold, Failure> {
        let reckoned = self.reckoned(id)?;
        let Reckoned { proven, basis, edge, pace, kept, .. } = &reckoned;
        let chart = proven.chart();
        let terms = border_terms(terms.unwrap_or(reckoned.terms));
        let fault = edge.fault();
        Ok(BorderTold {
            revision: reckoned.revision,
            wish: kept.making.border.clone(),
            palette: reckoned.palette(),
            of_blanket: chart.palette().len(),
            columns: chart.columns(),
            rows: chart.rows(),
            gauge: basis.swatch.gauge,
            hand: reckoned.hand,
            laid: edge.laid(&basis.takes.yarn_use, pace, terms),
            fault: fault.map(|(what, hint, _)| (what.to_owned(), hint.to_owned())),
            fault_at: fault.and_then(|(.., at)| at),
            notes: edge.notes.clone(),
        })
    }

    /// What a swatch would say, without keeping it.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn try_swatch(&self, id: BlanketId, given: &SwatchGiven) -> Result<SwatchTold, Failure> {
        let chart = self.store.blanket(id)?.fabric.chart;
        Ok(swatch::told(given, &chart, units(self.settings()?.units)))
    }
}

impl Reckoned {
    /// The yarns, with those of the border alone behind them.
    fn palette(&self) -> Vec<PaletteEntry> {
        let palette: &Palette = &self.edge.palette;
        let stitches = self.proven.chart().stitches_by_yarn();
        palette
            .indices()
            .map(|index| PaletteEntry {
                yarn: palette.yarn(index).clone(),
                symbol: palette.symbol(index),
                stitches: stitches.get(index.index()).copied().unwrap_or(0),
            })
            .collect()
    }

    fn schedule(&self, time: &Time, today: Day) -> Option<Told<Schedule>> {
        let making = &self.kept.making;
        let evenings = making.evenings?;
        let still = StillToWork {
            rows_done: making.rows_done,
            rows: pattern::minutes_by_row(&self.proven, &self.pace),
            finishing: time.finishing(),
        };
        let habit = Habit { evenings_a_week: evenings.a_week, minutes: evenings.minutes };
        let schedule = pattern::schedule(&still, habit, today, evenings.by);
        Some(schedule.map_err(|error| (error.to_string(), error.hint().to_owned())))
    }

    fn drift(&self) -> Option<Told<Drift>> {
        let given = self.kept.making.again.as_ref()?;
        let in_10_cm =
            |counted: &pattern::Counted| counted.count * 100.0 / counted.unit.times(counted.over).as_mm();
        let gauge = Gauge::new(in_10_cm(&given.stitches), in_10_cm(&given.rows));
        let hint = "count stitches and rows over 10 cm, away from the edges";
        let drift = gauge.map_err(|error| (error.to_string(), hint.to_owned())).and_then(|gauge| {
            let again = Remeasured { rows_done: given.rows_done, gauge, height: given.height() };
            let planned = &self.basis.swatch.gauge;
            let wished = planned.height_of(self.proven.chart().rows());
            let drift = pattern::drift(&self.proven, planned, &self.choices, &again, wished);
            drift.map_err(|error| (error.to_string(), error.hint().to_owned()))
        });
        Some(drift)
    }

    fn notes(&self) -> Vec<String> {
        let mut notes = self.edge.notes.clone();
        if let Some((what, ..)) = self.edge.fault() {
            notes.push(format!("the border can't be worked, so it is left out here: {what}"));
        }
        if let Some(Remark { what, .. }) = self.swatch.as_ref().and_then(|told| told.fault.as_ref()) {
            notes.push(format!("nothing comes of the swatch, so all is an estimate: {what}"));
        }
        notes
    }
}
