//! Looking at a blanket: its fabric on both faces, and the yarns that may be taken for each other.

use model::{ALIKE, Side};
use sight::Eye;

use crate::{BlanketId, Failure, Handed, Region, Workbench};

/// Bounds of the longest side of the fabric's picture.
const SHOWN: core::ops::RangeInclusive<u32> = 16..=4096;

/// Two yarns that some eye may take for each other.
#[derive(Clone, Debug, PartialEq)]
pub struct AlikePair {
    /// Palette entries.
    pub yarns: (usize, usize),
    /// How far they are apart to the eye that tells them apart worst, in units of CIEDE2000.
    pub difference: f64,
    /// Which eyes, by which light.
    pub when: Vec<Eye>,
    /// What to do.
    pub advice: String,
}

/// A deep yarn beside a pale one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BleedingPair {
    /// Palette entries, the deep one first.
    pub yarns: (usize, usize),
    /// What to do.
    pub advice: String,
}

/// What to mind about a blanket's yarns.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct AlikeYarns {
    /// Pairs that look alike.
    pub pairs: Vec<AlikePair>,
    /// Pairs that may stain in the wash.
    pub bleeding: Vec<BleedingPair>,
}

impl Workbench {
    /// One face of a blanket's fabric as a PNG, the longest side at most so many pixels: all of it, or
    /// the stitches of a region.
    ///
    /// # Errors
    /// When there is no such blanket or region, or the shelf can't be read.
    pub fn fabric(
        &self,
        id: BlanketId,
        face: Side,
        part: Option<Region>,
        max: u32,
    ) -> Result<Handed, Failure> {
        let proven = self.proven(id)?;
        let part = match part {
            None => typeset::Part::Whole,
            Some(Region { column, row, columns, rows }) => typeset::Part::Window {
                rows: row..row.saturating_add(rows),
                columns: column..column.saturating_add(columns),
            },
        };
        let longest = max.clamp(*SHOWN.start(), *SHOWN.end());
        let bytes = typeset::fabric_preview(&proven.plan, &proven.gauge, face, &part, longest)
            .map_err(|error| Failure::bad(error, "the part of the fabric", "ask for a part of the chart"))?;
        let name = if face == Side::Right { "fabric-right-side.png" } else { "fabric-wrong-side.png" };
        Ok(Handed { name: name.to_owned(), media_type: "image/png", bytes })
    }

    /// The yarns of a blanket that may be taken for each other or stain each other.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn alike(&self, id: BlanketId) -> Result<AlikeYarns, Failure> {
        let chart = self.store.blanket(id)?.fabric.chart;
        let pairs = sight::alike_on(&chart, ALIKE).into_iter().map(|pair| AlikePair {
            yarns: (pair.one.index(), pair.two.index()),
            difference: pair.seen.iter().map(|seen| seen.difference).fold(f64::INFINITY, f64::min),
            when: pair.seen.iter().map(|seen| seen.eye).collect(),
            advice: pair.advice().iter().map(|advice| advice.text()).collect::<Vec<_>>().join(" "),
        });
        let bleeding = sight::may_bleed(&chart).into_iter().map(|pair| BleedingPair {
            yarns: (pair.deep.index(), pair.pale.index()),
            advice: pair.advice().to_owned(),
        });
        Ok(AlikeYarns { pairs: pairs.collect(), bleeding: bleeding.collect() })
    }
}
