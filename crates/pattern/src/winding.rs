//! What to wind for every strand, in the order of need, with tags to cut out.

use model::{Boundary, ColourIndex, Length, Palette, RowIndex, RowNumber, Step, StrandId};
use replay::ProvenPlan;

use crate::amounts::whole;
use crate::tally::by_strand;
use crate::units::{Grist, Weight};
use crate::{Choices, Units};

/// When strands are small, and which of them are wound together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grouping {
    /// No longer than this is small.
    pub small: Length,
    /// Small strands of a yarn that join within so many rows of the first are one group.
    pub within: u32,
}

impl Default for Grouping {
    /// Five metres, twenty rows: what is cut in one go for a few evenings (invented).
    fn default() -> Self {
        Self { small: Length::from_micrometres(5_000_000), within: 20 }
    }
}

/// One strand to wind, and what stands on its tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wind {
    /// Which.
    pub strand: StrandId,
    /// Its label, as in `B3`.
    pub label: String,
    /// Its yarn.
    pub yarn: ColourIndex,
    /// The row where it joins.
    pub joins_at: RowNumber,
    /// Where in that row.
    pub at: Boundary,
    /// The row where it is cut.
    pub ends_at: RowNumber,
    /// Stitches that it makes.
    pub stitches: u64,
    /// Length to wind: the high end, tails included, with the margin.
    pub length: Length,
    /// What that weighs, where known.
    pub weight: Option<Weight>,
    /// Balls that it runs through, where one's length is known: above 1 there are joins on the way.
    pub balls: Option<u64>,
}

impl Wind {
    /// What stands on its tag behind its label, as in `Oat · 2.4 m · joins at row 12`.
    #[must_use]
    pub fn tag(&self, palette: &Palette, units: Units) -> String {
        format!(
            "{} · {} · joins at row {}",
            palette.yarn(self.yarn).called(),
            // Number and unit stay on one line.
            units.enough(self.length).replace(' ', "\u{a0}"),
            self.joins_at
        )
    }

    /// How long it is and when it is needed, as in `2.4 m, joins at row 12`.
    #[must_use]
    pub fn says(&self, units: Units) -> String {
        let balls = match self.balls {
            Some(balls) if balls > 1 => format!(", through {balls} balls"),
            _ => String::new(),
        };
        format!("{}{balls}, joins at row {}", units.enough(self.length), self.joins_at)
    }
}

/// Something to wind: a strand, or small ones of one yarn in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// One strand.
    Strand(Wind),
    /// Two or more small ones of one yarn, in the order of need.
    Group(Vec<Wind>),
}

impl Entry {
    /// The strands in it, in the order of need.
    #[must_use]
    pub fn strands(&self) -> &[Wind] {
        match self {
            Self::Strand(wind) => core::slice::from_ref(wind),
            Self::Group(winds) => winds,
        }
    }

    /// Its yarn.
    #[must_use]
    pub fn yarn(&self) -> ColourIndex {
        self.strands()[0].yarn
    }

    /// The row by which it must be wound.
    #[must_use]
    pub fn needed_at(&self) -> RowNumber {
        self.strands()[0].joins_at
    }

    /// Length of all of it.
    #[must_use]
    pub fn length(&self) -> Length {
        self.strands().iter().map(|wind| wind.length).sum()
    }

    /// What it is, as in `B3 Oat` or `4 small ones of Oat, 8.2 m in all, from row 12 on`.
    #[must_use]
    pub fn says(&self, palette: &Palette, units: Units) -> String {
        let yarn = palette.yarn(self.yarn()).called();
        match self {
            Self::Strand(wind) => format!("{} {yarn}", wind.label),
            Self::Group(winds) => format!(
                "{} small ones of {yarn}, {} in all, from row {} on",
                winds.len(),
                units.enough(self.length()),
                self.needed_at()
            ),
        }
    }
}

/// Everything to wind, in the order of need. Holds every strand once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WindingList {
    entries: Vec<Entry>,
}

impl WindingList {
    /// What to wind, each thing by the row where it, or the first strand in it, joins.
    #[must_use]
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Every strand, group by group.
    pub fn strands(&self) -> impl Iterator<Item = &Wind> {
        self.entries.iter().flat_map(Entry::strands)
    }

    /// A tag for every strand, in the order in which they join.
    #[must_use]
    pub fn tags(&self) -> Vec<&Wind> {
        let mut tags: Vec<&Wind> = self.strands().collect();
        tags.sort_by_key(|wind| wind.strand);
        tags
    }
}

/// The winding list of a plan. The border's yarn is not on it.
#[must_use]
pub fn winding_list(proven: &ProvenPlan, choices: &Choices, grouping: &Grouping) -> WindingList {
    let mut entries: Vec<Entry> = Vec::new();
    // For each yarn the entry that takes its next small strand.
    let mut open = vec![None; proven.chart().palette().len()];
    for wind in winds(proven, choices) {
        let slot = &mut open[wind.yarn.index()];
        if wind.length > grouping.small {
            entries.push(Entry::Strand(wind));
            continue;
        }
        let last = wind.joins_at.0.saturating_sub(grouping.within as usize);
        match slot.map(|at: usize| &mut entries[at]).filter(|entry| entry.needed_at().0 > last) {
            Some(Entry::Group(winds)) => winds.push(wind),
            Some(entry) => *entry = Entry::Group([entry.strands(), &[wind]].concat()),
            None => {
                *slot = Some(entries.len());
                entries.push(Entry::Strand(wind));
            }
        }
    }
    WindingList { entries }
}

/// Every strand in the order of joins.
fn winds(proven: &ProvenPlan, choices: &Choices) -> Vec<Wind> {
    let (palette, plan) = (proven.chart().palette(), proven.plan());
    let tallies = by_strand(proven, 0..proven.chart().rows());
    let joins = plan.rows.iter().enumerate().flat_map(|(row, steps)| {
        let joins = steps.steps.iter().filter_map(|step| match *step {
            Step::Join { strand, at, .. } => Some((strand, at)),
            _ => None,
        });
        joins.map(move |(strand, at)| (RowIndex(row), strand, at))
    });
    let labels = plan.labels(palette);
    let winds = joins.map(|(row, strand, at)| {
        let (yarn, tally) = (plan.strands[strand.index()].yarn, &tallies[strand.index()]);
        let length = choices.margin.on(choices.takes.length(tally).high);
        let ball = palette.yarn(yarn).ball.filter(|ball| ball.length > Length::ZERO);
        let grist = ball.and_then(Grist::of_ball).or(choices.takes.grist);
        Wind {
            strand,
            label: labels[strand.index()].clone(),
            yarn,
            joins_at: row.into(),
            at,
            ends_at: proven.strands()[strand.index()].last_row.into(),
            stitches: tally.stitches,
            length,
            weight: grist.map(|grist| grist.weight(length)),
            balls: ball.map(|ball| whole(length, ball.length)),
        }
    });
    winds.collect()
}
