//! Keeping what a person gives for the making, as one named operation with its way back.

use border::MAX_ROUNDS;
use model::Chart;
use pattern::{Day, Habit, ScheduleError, Shrinkage, StillToWork, practice_patch};
use store::{Change, Fabric, Operation};

use super::edge;
use super::given::{Making, SwatchGiven};
use super::kept::{self, Kept};
use super::swatch;
use crate::{BlanketId, Changed, Failure, Revision, Workbench, words};

/// The practice patch says that its yarns are invented.
const PATCH_NAME: &str = "Practice patch (invented yarns)";

impl Workbench {
    /// What is kept for the making of a blanket, and the revision it is of.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn making(&self, id: BlanketId) -> Result<(Making, Revision), Failure> {
        let blanket = self.store.blanket(id)?;
        let kept = blanket.making.as_deref().map(kept::from_json).unwrap_or_default();
        Ok((kept.making, blanket.revision))
    }

    /// Keeps what a person gave for the making, in the place of all that was kept before. It can be taken
    /// back; one that changes nothing is no operation.
    ///
    /// # Errors
    /// When the blanket is at another revision, something of it can't be, or the shelf can't be written.
    pub fn keep_making(
        &self,
        id: BlanketId,
        revision: Revision,
        making: &Making,
    ) -> Result<Changed, Failure> {
        self.operate_with_making(id, revision, |fabric, before| {
            let old = before.as_deref().map(kept::from_json).unwrap_or_default();
            let Some(name) = difference(&old.making, making) else { return Ok(None) };
            check(making, &old, &fabric.chart)?;
            let yarns = edge::yarns_of(making, &old, fabric.chart.palette()).map_err(|(at, key)| {
                let place = format!("round {} of the border, yarn", at + 1);
                Failure::bad(format!("there is no yarn {key:?}"), place, "name a yarn of the blanket")
            })?;
            let after = kept::to_json(&Kept { making: making.clone(), yarns });
            Ok(Some(Operation {
                name: name.to_owned(),
                stroke: None,
                before: Change::Making(before),
                after: Change::Making(Some(after)),
            }))
        })
    }

    /// Takes the gauge of the swatch for the whole blanket: its size, its fabric, its plan.
    ///
    /// # Errors
    /// When the blanket is at another revision, it has no swatch that says a gauge, or the shelf can't be
    /// written.
    pub fn take_gauge(&self, id: BlanketId, revision: Revision) -> Result<Changed, Failure> {
        self.operate_with_making(id, revision, |fabric, making| {
            let kept = making.as_deref().map(kept::from_json).unwrap_or_default();
            let told =
                kept.making.swatch.map(|given| swatch::told(&given, &fabric.chart, pattern::Units::Metric));
            let gauge = told.and_then(|told| told.swatch).map(|swatch| swatch.gauge).ok_or_else(|| {
                Failure::bad("there is no swatch to take a gauge from", "the swatch", "give a swatch first")
            })?;
            if gauge == fabric.gauge {
                return Ok(None);
            }
            let after = Fabric { gauge, ..fabric.clone() };
            Ok(Some(Operation {
                name: "gauge".to_owned(),
                stroke: None,
                before: Change::Fabric(Box::new(fabric)),
                after: Change::Fabric(Box::new(after)),
            }))
        })
    }

    /// A blanket to practise on: a dozen rows that use every move once.
    ///
    /// # Errors
    /// When the shelf can't be written.
    pub fn practice(&self) -> Result<BlanketId, Failure> {
        let chart = practice_patch(self.settings()?.hand);
        let gauge = words::usual_gauge(chart.palette().yarns(), &mut Vec::new());
        self.add(PATCH_NAME, &Fabric { chart, gauge, request: None })
    }

    /// What each row of a blanket teaches, from row 1 on; empty where it is not the practice patch for the
    /// hand that holds the hook.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn lessons(&self, id: BlanketId) -> Result<&'static [pattern::Lesson], Failure> {
        let chart = self.store.blanket(id)?.fabric.chart;
        let is_patch = same_cells(&chart, &practice_patch(self.settings()?.hand));
        Ok(if is_patch { pattern::lessons() } else { &[] })
    }
}

fn same_cells(one: &Chart, other: &Chart) -> bool {
    one.rows() == other.rows()
        && one.columns() == other.columns()
        && one.row_indices().all(|row| one.row(row) == other.row(row))
}

/// What is another, in one word; `None` where nothing is.
fn difference(old: &Making, new: &Making) -> Option<&'static str> {
    let mut found = [
        (old.swatch != new.swatch, "swatch"),
        (old.margin != new.margin || old.dye_lots != new.dye_lots, "margin"),
        (old.shrinkage != new.shrinkage, "shrinkage"),
        (old.pace != new.pace, "pace"),
        (old.evenings != new.evenings || old.rows_done != new.rows_done, "evenings"),
        (old.again != new.again, "measured_again"),
        (old.border != new.border, "border"),
        (old.paper != new.paper, "paper"),
    ]
    .into_iter()
    .filter(|(differs, _)| *differs)
    .map(|(_, name)| name);
    let first = found.next()?;
    Some(if found.next().is_some() { "making" } else { first })
}

/// Refuses what can't be. What merely does not fit the chart any more is told where it is reckoned with.
fn check(making: &Making, old: &Kept, chart: &Chart) -> Result<(), Failure> {
    let is_new = |_: &&SwatchGiven| making.swatch != old.making.swatch;
    if let Some(given) = making.swatch.as_ref().filter(is_new)
        && let Some(fault) = swatch::told(given, chart, pattern::Units::Metric).fault
    {
        return Err(Failure::bad(fault.what, "the swatch", &fault.hint));
    }
    if let Some((width, height)) = making.shrinkage {
        Shrinkage::tenths_of_percent(width, height)
            .map_err(|error| Failure::bad(error, "the shrinkage", error.hint()))?;
    }
    making.pace.pace().map_err(|error| Failure::bad(error, "the pace", error.hint()))?;
    if let Some(evenings) = making.evenings {
        let habit = Habit { evenings_a_week: evenings.a_week, minutes: evenings.minutes };
        let nothing = StillToWork { rows_done: 0, rows: Vec::new(), finishing: 0.0 };
        let refused = pattern::schedule(&nothing, habit, Day(0), None).err();
        if let Some(error @ (ScheduleError::Evenings(_) | ScheduleError::Minutes(_))) = refused {
            return Err(Failure::bad(error, "the evenings", error.hint()));
        }
    }
    if making.rows_done > chart.rows() && making.rows_done != old.making.rows_done {
        let error = ScheduleError::RowsDone { done: making.rows_done, rows: chart.rows() };
        return Err(Failure::bad(error, "the rows done", error.hint()));
    }
    making.paper.check()?;
    if making.border.rounds.len() > MAX_ROUNDS {
        let error = border::BorderError::TooManyRounds(making.border.rounds.len());
        return Err(Failure::bad(error, "the border", &error.hint()));
    }
    Ok(())
}
