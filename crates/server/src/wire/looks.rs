//! What to mind about a blanket's yarns.

use serde::Serialize;

/// Two yarns that look alike to some eye.
#[derive(Debug, Serialize)]
pub struct AlikePair {
    /// Places in the palette.
    pub yarns: (usize, usize),
    /// In units of CIEDE2000, to the eye that tells them apart worst.
    pub difference: f64,
    /// `daylight`, `lamplight`, `protan`, `deutan`, `tritan`: one or more.
    pub when: Vec<String>,
    /// What to do.
    pub advice: String,
}

/// A deep yarn beside a pale one.
#[derive(Debug, Serialize)]
pub struct BleedingPair {
    /// Places in the palette, the deep one first.
    pub yarns: (usize, usize),
    /// What to do.
    pub advice: String,
}

/// What to mind about a blanket's yarns.
#[derive(Debug, Serialize)]
pub struct AlikeYarns {
    /// Pairs that look alike.
    pub pairs: Vec<AlikePair>,
    /// Pairs that may stain in the wash.
    pub bleeding: Vec<BleedingPair>,
}

impl From<workbench::AlikeYarns> for AlikeYarns {
    fn from(alike: workbench::AlikeYarns) -> Self {
        let pairs = alike.pairs.into_iter().map(|pair| AlikePair {
            yarns: pair.yarns,
            difference: pair.difference,
            when: pair.when.iter().map(ToString::to_string).collect(),
            advice: pair.advice,
        });
        let bleeding =
            alike.bleeding.into_iter().map(|pair| BleedingPair { yarns: pair.yarns, advice: pair.advice });
        Self { pairs: pairs.collect(), bleeding: bleeding.collect() }
    }
}
