//! What a plan must keep to and what its moves cost.

use crate::{ColourIndex, Cost, Hand, Palette, delta_e_2000};

/// The weights of the strand model, all in stitches; the person's to set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weights {
    /// Handling of a new strand.
    pub join: Cost,
    /// Handling of a strand that ends.
    pub cut: Cost,
    /// Stitches to work over a tail.
    pub tail: u32,
    /// Each tail stitch that is missing.
    pub short: Cost,
    /// Minding a strand for one row.
    pub hang: Cost,
    /// A stitch of its own yarn passed by a strand.
    pub carry_same: Cost,
    /// A stitch of another yarn passed, before what shows through.
    pub carry_other: Cost,
    /// Added per 100 ΔE00 where the hidden yarn is darker than the stitch.
    pub carry_show_dark: Cost,
    /// Added per 100 ΔE00 where it is not.
    pub carry_show_light: Cost,
    /// One row climbed inside the fabric.
    pub lift: Cost,
    /// Added per 100 ΔE00 between the climbing yarn and the stitch beside it.
    pub lift_show: Cost,
    /// One row climbed at an edge.
    pub lift_edge: Cost,
}

impl Default for Weights {
    /// The defaults of the strand model, chosen for this project and taken from no source.
    fn default() -> Self {
        let thousandths = Cost::from_thousandths;
        Self {
            join: thousandths(12_000),
            cut: thousandths(12_000),
            tail: 5,
            short: thousandths(3_000),
            hang: thousandths(100),
            carry_same: thousandths(150),
            carry_other: thousandths(350),
            carry_show_dark: thousandths(1_500),
            carry_show_light: thousandths(750),
            lift: thousandths(800),
            lift_show: thousandths(1_000),
            lift_edge: thousandths(300),
        }
    }
}

impl Weights {
    /// The longest tail a person may ask for, in stitches.
    pub const MAX_TAIL: u32 = 50;
}

/// What one stitch passed and one row climbed cost, for each pair of yarns: whole thousandths, so
/// that whoever checks a plan need not compute colour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CostTables {
    yarns: usize,
    carry: Vec<Cost>,
    lift: Vec<Cost>,
    /// One row climbed at either edge.
    pub lift_edge: Cost,
}

impl CostTables {
    /// The tables that these weights give for these yarns. Each entry is computed in full and then
    /// rounded once, half up, to a thousandth.
    #[must_use]
    pub fn new(palette: &Palette, weights: &Weights) -> Self {
        let labs: Vec<_> = palette.yarns().iter().map(|yarn| yarn.colour.lab()).collect();
        let n = labs.len();
        let (mut carry, mut lift) = (Vec::with_capacity(n * n), Vec::with_capacity(n * n));
        for (k, hidden) in labs.iter().enumerate() {
            for (c, stitch) in labs.iter().enumerate() {
                if c == k {
                    carry.push(weights.carry_same);
                    lift.push(weights.lift);
                    continue;
                }
                let difference = delta_e_2000(*hidden, *stitch);
                let show =
                    if hidden.l < stitch.l { weights.carry_show_dark } else { weights.carry_show_light };
                carry.push(with_show(weights.carry_other, show, difference));
                lift.push(with_show(weights.lift, weights.lift_show, difference));
            }
        }
        Self { yarns: n, carry, lift, lift_edge: weights.lift_edge }
    }

    /// Tables as they stand in a document, `carry` and `lift` each `yarns × yarns`, row by row for
    /// the yarn that is hidden. `None` where the sizes differ.
    #[must_use]
    pub fn from_parts(yarns: usize, carry: Vec<Cost>, lift: Vec<Cost>, lift_edge: Cost) -> Option<Self> {
        (carry.len() == yarns * yarns && lift.len() == yarns * yarns).then_some(Self {
            yarns,
            carry,
            lift,
            lift_edge,
        })
    }

    /// How many yarns the tables are for.
    #[must_use]
    pub const fn yarns(&self) -> usize {
        self.yarns
    }

    /// Yarn `hidden` passes one stitch of yarn `stitch`.
    #[must_use]
    pub fn carry(&self, hidden: ColourIndex, stitch: ColourIndex) -> Cost {
        self.carry[hidden.index() * self.yarns + stitch.index()]
    }

    /// Yarn `climbing` climbs one row beside a stitch of yarn `stitch`, away from the edges.
    #[must_use]
    pub fn lift(&self, climbing: ColourIndex, stitch: ColourIndex) -> Cost {
        self.lift[climbing.index() * self.yarns + stitch.index()]
    }
}

/// `base + show · ΔE00 / 100`, rounded half up to a thousandth.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // weights are bounded
fn with_show(base: Cost, show: Cost, difference: f64) -> Cost {
    let full = base.thousandths() as f64 + show.thousandths() as f64 * difference / 100.0;
    Cost::from_thousandths(libm::floor(full + 0.5) as i64)
}

/// Pairs that must not be: yarn `k` inside stitches of yarn `c`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Never {
    yarns: usize,
    forbidden: Vec<bool>,
}

impl Never {
    /// Nothing is forbidden among so many yarns.
    #[must_use]
    pub fn none(yarns: usize) -> Self {
        Self { yarns, forbidden: vec![false; yarns * yarns] }
    }

    /// Forbids `hidden` inside stitches of `stitch`. Returns `false`, and forbids nothing, where
    /// the two are the same yarn: a yarn may always lie inside its own stitches.
    pub fn forbid(&mut self, hidden: ColourIndex, stitch: ColourIndex) -> bool {
        if hidden == stitch {
            return false;
        }
        self.forbidden[hidden.index() * self.yarns + stitch.index()] = true;
        true
    }

    /// Whether `hidden` must not lie inside stitches of `stitch`.
    #[must_use]
    pub fn forbids(&self, hidden: ColourIndex, stitch: ColourIndex) -> bool {
        self.forbidden[hidden.index() * self.yarns + stitch.index()]
    }

    /// How many yarns this is for.
    #[must_use]
    pub const fn yarns(&self) -> usize {
        self.yarns
    }

    /// All forbidden pairs `(hidden, stitch)` in palette order.
    pub fn pairs(&self) -> impl Iterator<Item = (ColourIndex, ColourIndex)> + '_ {
        #[allow(clippy::cast_possible_truncation)] // at most MAX_YARNS
        let index = |at: usize| ColourIndex(at as u8);
        self.forbidden
            .iter()
            .enumerate()
            .filter(|(_, forbidden)| **forbidden)
            .map(move |(at, _)| (index(at / self.yarns), index(at % self.yarns)))
    }
}

/// Limits that hold for each hand-over by itself. `None` means no limit; 0 is a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Limits {
    /// Most stitches of other yarns that a hand-over passes in one row.
    pub longest_carry: Option<u32>,
    /// Most rows between the row a strand leaves and the row it works next.
    pub longest_wait: Option<u32>,
}

/// All that a plan is made under and checked against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rules {
    /// The hand that holds the hook.
    pub hand: Hand,
    /// The weights.
    pub weights: Weights,
    /// Costs of carries and lifts between yarns.
    pub tables: CostTables,
    /// Pairs that must not be.
    pub never: Never,
    /// Limits on each hand-over.
    pub limits: Limits,
}

impl Rules {
    /// Rules of these weights for this palette, with nothing forbidden and no limits.
    #[must_use]
    pub fn new(palette: &Palette, weights: Weights, hand: Hand) -> Self {
        Self {
            hand,
            weights,
            tables: CostTables::new(palette, &weights),
            never: Never::none(palette.len()),
            limits: Limits::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Srgb, Yarn};

    fn palette() -> Palette {
        let yarn = |key: &str, v| Yarn::plain(key, key, Srgb::new(v, v, v));
        Palette::new(vec![yarn("black", 0), yarn("white", 255), yarn("black too", 0)]).unwrap()
    }

    /// Black and white are 100 ΔE00 apart, so the default weights give round numbers.
    #[test]
    fn a_dark_strand_in_light_stitches_shows_most() {
        let palette = palette();
        let tables = CostTables::new(&palette, &Weights::default());
        let [black, white, twin] = [0, 1, 2].map(|i| palette.index(i).unwrap());
        assert_eq!(tables.carry(black, white), Cost::from_thousandths(1850));
        assert_eq!(tables.carry(white, black), Cost::from_thousandths(1100));
        assert_eq!(tables.carry(black, black), Cost::from_thousandths(150));
        // An equal colour is another yarn all the same, and equal lightness takes the lesser show.
        assert_eq!(tables.carry(black, twin), Cost::from_thousandths(350));
        assert_eq!(tables.lift(black, white), Cost::from_thousandths(1800));
        assert_eq!(tables.lift(black, black), Cost::from_thousandths(800));
    }

    #[test]
    fn a_yarn_may_always_lie_in_its_own_stitches() {
        let palette = palette();
        let mut never = Never::none(3);
        let [black, white] = [0, 1].map(|i| palette.index(i).unwrap());
        assert!(!never.forbid(black, black));
        assert!(never.forbid(black, white));
        assert!(never.forbids(black, white) && !never.forbids(white, black));
        assert_eq!(never.pairs().collect::<Vec<_>>(), [(black, white)]);
    }
}
