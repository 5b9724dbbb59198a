//! Lists to tick off: what to wind, and which ends to weave in. The ticks stay on the shelf.
//!
//! A strand is known by its yarn and by the place where it joins, an end by its place and what it is, so
//! that a tick stays with it when a change elsewhere gives strands other labels.

use model::Length;
use pattern::{End, EndOf, Entry, Grouping, Wind};
use replay::ProvenPlan;
use store::Tick;

use super::reckoned::Reckoned;
use crate::{BlanketId, Failure, Revision, Workbench};

/// Which list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TickList {
    /// Strands that are wound.
    Winding,
    /// Ends that are woven in.
    Ends,
}

impl TickList {
    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Winding => "winding",
            Self::Ends => "ends",
        }
    }
}

/// Something on a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ticked<T> {
    /// What it is ticked by.
    pub mark: String,
    /// What it is.
    pub of: T,
    /// Whether it is ticked.
    pub ticked: bool,
    /// Of a strand, the length that was wound when it was ticked.
    pub wound: Option<Length>,
}

/// Something to wind: a strand, or small ones of one yarn in one go.
pub type WindEntry = Vec<Ticked<Wind>>;

/// The winding list of a blanket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Winding {
    /// The revision it is of.
    pub revision: Revision,
    /// In the order of need.
    pub entries: Vec<WindEntry>,
}

/// The ends of a blanket.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ends {
    /// The revision it is of.
    pub revision: Revision,
    /// Row by row, each row in the order of work.
    pub ends: Vec<Ticked<End>>,
}

fn mark_of_wind(proven: &ProvenPlan, wind: &Wind) -> String {
    let yarn = &proven.chart().palette().yarn(wind.yarn).key;
    format!("{}:{}:{yarn}", wind.joins_at.0, wind.at.0)
}

fn mark_of_end(proven: &ProvenPlan, end: &End) -> String {
    let yarn = &proven.chart().palette().yarn(end.yarn).key;
    let of = match end.of {
        EndOf::Foundation => "foundation",
        EndOf::Join => "join",
        EndOf::Cut => "cut",
    };
    format!("{}:{}:{of}:{yarn}", end.row.0, end.at.0)
}

impl Workbench {
    /// What to wind, and what of it is wound.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn winding(&self, id: BlanketId) -> Result<Winding, Failure> {
        let Reckoned { proven, revision, choices, .. } = &self.reckoned(id)?;
        let ticks = self.store.ticks(id, TickList::Winding.name())?;
        let list = pattern::winding_list(proven, choices, &Grouping::default());
        let told = |wind: &Wind| ticked(&ticks, mark_of_wind(proven, wind), wind.clone());
        let entry = |entry: &Entry| entry.strands().iter().map(told).collect();
        Ok(Winding { revision: *revision, entries: list.entries().iter().map(entry).collect() })
    }

    /// Which ends to weave in, and which are woven in.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn ends(&self, id: BlanketId) -> Result<Ends, Failure> {
        let Reckoned { proven, revision, choices, .. } = &self.reckoned(id)?;
        let ticks = self.store.ticks(id, TickList::Ends.name())?;
        let ends = pattern::ends(proven, &choices.takes.yarn_use).into_iter();
        let ends = ends.map(|end| ticked(&ticks, mark_of_end(proven, &end), end)).collect();
        Ok(Ends { revision: *revision, ends })
    }

    /// Ticks things off a list, or takes the ticks away; either is the way back of the other.
    ///
    /// # Errors
    /// When there is no such blanket or thing on its list, or the shelf can't be written.
    pub fn tick(
        &self,
        id: BlanketId,
        list: TickList,
        marks: &[String],
        is_ticked: bool,
    ) -> Result<(), Failure> {
        let known: Vec<Tick> = match list {
            TickList::Winding => self
                .winding(id)?
                .entries
                .into_iter()
                .flatten()
                .map(|wind| Tick { mark: wind.mark, amount: Some(wind.of.length.micrometres()) })
                .collect(),
            TickList::Ends => {
                self.ends(id)?.ends.into_iter().map(|end| Tick { mark: end.mark, amount: None }).collect()
            }
        };
        let known: std::collections::BTreeMap<&str, &Tick> =
            known.iter().map(|tick| (tick.mark.as_str(), tick)).collect();
        let ticks: Result<Vec<Tick>, Failure> = marks
            .iter()
            .map(|mark| match known.get(mark.as_str()) {
                Some(tick) => Ok((*tick).clone()),
                None => Err(Failure::bad(
                    format!("there is no {mark:?} on the list"),
                    "the list",
                    "read the list again: the chart was changed meanwhile",
                )),
            })
            .collect();
        Ok(self.store.tick(id, list.name(), &ticks?, is_ticked, self.now())?)
    }
}

fn ticked<T>(ticks: &[Tick], mark: String, of: T) -> Ticked<T> {
    // The shelf gives them in order.
    let found = ticks.binary_search_by(|tick| tick.mark.as_str().cmp(&mark)).ok().map(|at| &ticks[at]);
    let wound = found.and_then(|tick| tick.amount).map(Length::from_micrometres);
    Ticked { ticked: found.is_some(), wound, mark, of }
}
