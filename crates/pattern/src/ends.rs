//! Every end in the fabric, by row and stitch, for the weaving in.

use model::{Boundary, ColourIndex, Length, Palette, RowIndex, RowNumber, Step, StrandId, Tail, YarnUse};
use replay::ProvenPlan;

use crate::Units;
use crate::tails::{along, stretches};

/// Which end of its strand it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EndOf {
    /// The beginning of the foundation: it hangs at the first chain, where row 1 ends.
    Foundation,
    /// A join.
    Join,
    /// A cut.
    Cut,
}

/// An end to weave in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct End {
    /// Its strand.
    pub strand: StrandId,
    /// The strand's label, as in `B3`.
    pub label: String,
    /// The strand's yarn.
    pub yarn: ColourIndex,
    /// Which end.
    pub of: EndOf,
    /// The row in which it was joined or cut.
    pub row: RowNumber,
    /// Stitches of that row made before that place: it hangs behind this many.
    pub after: u32,
    /// Where that is on the chart.
    pub at: Boundary,
    /// Stitches worked over it already.
    pub over: u32,
    /// The row those lie in.
    pub over_in: RowNumber,
    /// Stitches that were to be worked over it and are missing.
    pub missing: u32,
    /// What is left of it to weave in.
    pub left: Length,
}

impl End {
    /// Where it is and what is left to do, as in `row 12, behind stitch 7: B3 Oat, join; 5 stitches
    /// worked over in row 12; 5.2 cm left`.
    #[must_use]
    pub fn says(&self, palette: &Palette, units: Units) -> String {
        let what = match self.of {
            EndOf::Foundation => "the foundation's beginning",
            EndOf::Join => "join",
            EndOf::Cut => "cut",
        };
        let over = match self.over {
            0 => "nothing worked over it".to_owned(),
            1 => format!("1 stitch worked over in row {}", self.over_in),
            over => format!("{over} stitches worked over in row {}", self.over_in),
        };
        let missing = if self.missing > 0 { format!(", {} missing", self.missing) } else { String::new() };
        let place = if self.after == 0 {
            "at its beginning".to_owned()
        } else {
            format!("behind stitch {}", self.after)
        };
        format!(
            "row {}, {place}: {} {}, {what}; {over}{missing}; {} left",
            self.row,
            self.label,
            palette.yarn(self.yarn).called(),
            units.fabric(self.left)
        )
    }
}

/// Both ends of every strand, row by row, within a row in the order of work.
#[must_use]
pub fn ends(proven: &ProvenPlan, yarn_use: &YarnUse) -> Vec<End> {
    let (chart, plan, rules) = (proven.chart(), proven.plan(), proven.rules());
    let labels = plan.labels(chart.palette());
    let columns = u32::try_from(chart.columns()).unwrap_or(u32::MAX);
    let mut ends = Vec::with_capacity(plan.counts.ends());
    for (row, steps) in plan.rows.iter().enumerate() {
        let row = RowIndex(row);
        let mut first = row.0 == 0;
        for step in &steps.steps {
            let (strand, at, tail, of): (StrandId, Boundary, Tail, EndOf) = match *step {
                Step::Join { strand, at, tail } => {
                    let of = if core::mem::take(&mut first) { EndOf::Foundation } else { EndOf::Join };
                    (strand, at, tail, of)
                }
                Step::Cut { strand, at, tail } => (strand, at, tail, EndOf::Cut),
                _ => continue,
            };
            let yarn = plan.strands[strand.index()].yarn;
            let direction = row.direction(rules.hand);
            let (place, over, over_in, missing) = if of == EndOf::Foundation {
                // The chain was made against row 1, so its beginning lies under the row's end.
                let end = Boundary(columns - at.0);
                (end, 0, row, 0)
            } else {
                let (lies_in, _) = stretches(chart, rules, yarn, row, at, tail);
                (at, tail.over, lies_in, rules.weights.tail - tail.over)
            };
            ends.push(End {
                strand,
                label: labels[strand.index()].clone(),
                yarn,
                of,
                row: row.into(),
                after: along(direction, columns, place),
                at: place,
                over,
                over_in: over_in.into(),
                missing,
                left: (yarn_use.tail - yarn_use.carried * u64::from(over)).max(Length::ZERO),
            });
        }
    }
    // Stable: at one place the steps' own order stays.
    ends.sort_by_key(|end| (end.row.0, end.after));
    ends
}
