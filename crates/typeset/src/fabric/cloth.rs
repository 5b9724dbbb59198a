//! What there is to be seen of a fabric on one face: the yarn of each stitch, what shows through of
//! strands inside it, and what lies on the back.

use model::{
    Chart, ColourIndex, Direction, Hand, Plan, RowIndex, Side, Srgb, Step, Tail, TailLine, Weights,
    delta_e_2000,
};
use replay::ProvenPlan;

use super::texture;

/// How much of a strand is seen at most, of black inside white: its part in the mixture of the two, in
/// sRGB, on the average of the stitch. Chosen by eye; no measurement is known.
const SHOWS: f64 = 0.17;
/// Stitches of one yarn differ by so much either way: no two are pulled alike.
const UNEVEN: f64 = 0.035;
/// How much less light the lightest yarn gives, so that white has room for lit places.
const ROOM: f64 = 0.11;
/// Half the width of a strand that lies on the back, in stitches.
const STRAND: f64 = 0.10;

/// A strand that lies on the face looked at.
pub(crate) struct Lying {
    /// Its line, in stitches from the left and rows from the top, as seen.
    pub(crate) line: Vec<(f64, f64)>,
    /// Half its width, in stitches.
    pub(crate) radius: f64,
    /// Its colour in linear light.
    pub(crate) colour: [f64; 3],
}

/// One face of the fabric. Cells run row by row from the top, each from the left, as seen.
pub(crate) struct Cloth {
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    pub(crate) hand: Hand,
    /// The stitch's yarn in linear light.
    pub(crate) yarn: Vec<[f32; 3]>,
    /// What the strands inside add to that, on the average of the stitch; empty where there are none.
    pub(crate) inside: Vec<[f32; 3]>,
    pub(crate) lying: Vec<Lying>,
    face: Side,
}

impl Cloth {
    /// One face of a fabric with all its strands.
    pub(crate) fn of_plan(proven: &ProvenPlan, face: Side) -> Self {
        let (chart, plan) = (proven.chart(), proven.plan());
        let mut cloth = Self::bare(chart, plan.rules.hand, face);
        cloth.inside = vec![[0.0; 3]; chart.stitches()];
        let hidden = Hidden::of(chart, plan);
        for (cell, mixed) in hidden.mixed.into_iter().enumerate() {
            let Some([red, green, blue]) = mixed else { continue };
            let (row, column) = (RowIndex(cell / chart.columns()), cell % chart.columns());
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // 0 to 255
            let byte = |part: f64| part.round() as u8;
            let seen = Srgb::new(byte(red), byte(green), byte(blue)).linear();
            let own = chart.palette().yarn(chart.row(row)[column]).colour.linear();
            let at = cloth.cell(row, column);
            #[allow(clippy::cast_possible_truncation)] // 0 to 1
            {
                cloth.inside[at] = [0, 1, 2].map(|part| (seen[part] - own[part]) as f32);
            }
        }
        if face == Side::Wrong {
            cloth.lay_on_back(chart, plan);
        }
        cloth
    }

    /// One face of a fabric of which only the chart is known: no strand is seen.
    pub(crate) fn bare(chart: &Chart, hand: Hand, face: Side) -> Self {
        let (columns, rows) = (chart.columns(), chart.rows());
        let colours: Vec<_> = chart.palette().yarns().iter().map(|yarn| yarn.colour.linear()).collect();
        let mut cloth = Self {
            columns,
            rows,
            hand,
            yarn: vec![[0.0; 3]; chart.stitches()],
            inside: Vec::new(),
            lying: Vec::new(),
            face,
        };
        for row in chart.row_indices() {
            for (column, yarn) in chart.row(row).iter().enumerate() {
                let light = 1.0 + UNEVEN * chance(row.0, column);
                let at = cloth.cell(row, column);
                #[allow(clippy::cast_possible_truncation)] // about 0 to 1
                {
                    cloth.yarn[at] = colours[yarn.index()]
                        .map(|part| (part * (1.0 - ROOM * part * part * part * part) * light) as f32);
                }
            }
        }
        cloth
    }

    /// What a row, counted from the top as seen, shows of its stitches on this face.
    pub(crate) fn shows(&self, from_top: usize) -> texture::Row {
        if RowIndex(self.rows - 1 - from_top).side() == self.face {
            texture::Row::Legs
        } else {
            texture::Row::Bars
        }
    }

    /// Place of a chart's cell as seen.
    fn cell(&self, row: RowIndex, column: usize) -> usize {
        let column = if self.face == Side::Wrong { self.columns - 1 - column } else { column };
        (self.rows - 1 - row.0) * self.columns + column
    }

    /// On the back: strands where they climb from row to row, locked by the yarn that passes, and the
    /// ends that a needle has still to weave in.
    #[allow(clippy::cast_precision_loss)] // at most 10 000
    fn lay_on_back(&mut self, chart: &Chart, plan: &Plan) {
        let edge = |boundary: u32| {
            let at = f64::from(boundary).clamp(STRAND * 1.2, self.columns as f64 - STRAND * 1.2);
            if self.face == Side::Wrong { self.columns as f64 - at } else { at }
        };
        let colour_of = |strand: model::StrandId| {
            let yarn = plan.strands[strand.index()].yarn;
            chart.palette().yarn(yarn).colour.linear()
        };
        let mut lying = Vec::new();
        for (row, steps) in chart.row_indices().zip(&plan.rows) {
            let top = (self.rows - 1 - row.0) as f64;
            for step in &steps.steps {
                if let Step::Lift { strand, at } = *step {
                    let x = edge(at.0);
                    let line = vec![(x - 0.05, top + 1.05), (x + 0.05, top + 0.5), (x - 0.03, top - 0.05)];
                    lying.push(Lying { line, radius: STRAND, colour: colour_of(strand) });
                }
            }
        }
        for tail in &plan.short_tails {
            let ends_here = |step: &&Step| match step {
                Step::Join { strand, .. } => tail.of_join && *strand == tail.strand,
                Step::Cut { strand, .. } => !tail.of_join && *strand == tail.strand,
                _ => false,
            };
            let Some(step) = plan.rows[tail.row.0].steps.iter().find(ends_here) else { continue };
            let x = edge(step.place().0);
            let top = (self.rows - 1 - tail.row.0) as f64 + 0.5;
            // Away from a near edge, else to either side.
            let swing = chance(tail.row.0, step.place().0 as usize + usize::from(tail.of_join));
            let side = if x < 3.0 {
                1.0
            } else if x > self.columns as f64 - 3.0 || swing < 0.0 {
                -1.0
            } else {
                1.0
            };
            let line = (0..=16)
                .map(|at| {
                    let t = f64::from(at) / 16.0;
                    let wave = libm::sin(t * (5.0 + swing)) * 0.28;
                    (x + side * (0.25 * wave + 1.5 * t * t + 0.3 * t), top + 2.9 * t - 0.9 * t * t + wave * t)
                })
                .collect();
            lying.push(Lying { line, radius: STRAND * 1.25, colour: colour_of(tail.strand) });
        }
        self.lying = lying;
    }
}

/// Strands inside stitches.
struct Hidden<'a> {
    chart: &'a Chart,
    /// For each cell of the chart that has other yarns inside: what is seen of it in all, in sRGB, 0
    /// to 255.
    mixed: Vec<Option<[f64; 3]>>,
    /// Part of the strand's colour in the mixture, by hidden yarn and yarn of the stitch.
    part: Vec<f64>,
}

impl<'a> Hidden<'a> {
    fn of(chart: &'a Chart, plan: &Plan) -> Self {
        let mut hidden = Self { chart, mixed: vec![None; chart.stitches()], part: parts(chart) };
        let rules = &plan.rules;
        for (row, steps) in chart.row_indices().zip(&plan.rows) {
            for step in &steps.steps {
                let yarn = plan.strands[step.strand().index()].yarn;
                match *step {
                    Step::Carry { from, to, .. } | Step::DrawBack { from, to, .. } => {
                        for column in from.0.min(to.0)..from.0.max(to.0) {
                            hidden.put(row, column as usize, yarn);
                        }
                    }
                    Step::Join { at, tail, .. } | Step::Cut { at, tail, .. } => {
                        for (row, column) in tail_line(chart, rules.hand, row, at.0, tail, rules.weights.tail)
                        {
                            if !rules.never.forbids(yarn, chart.row(row)[column]) {
                                hidden.put(row, column, yarn);
                            }
                        }
                    }
                    Step::Work { .. } | Step::Drop { .. } | Step::Lift { .. } => {}
                }
            }
        }
        hidden
    }

    fn put(&mut self, row: RowIndex, column: usize, yarn: ColourIndex) {
        let palette = self.chart.palette();
        let stitch = self.chart.row(row)[column];
        let part = self.part[yarn.index() * palette.len() + stitch.index()];
        if part == 0.0 {
            return;
        }
        let channels =
            |colour: Srgb| [f64::from(colour.red), f64::from(colour.green), f64::from(colour.blue)];
        let mixed = self.mixed[row.0 * self.chart.columns() + column]
            .get_or_insert_with(|| channels(palette.yarn(stitch).colour));
        for (mixed, strand) in mixed.iter_mut().zip(channels(palette.yarn(yarn).colour)) {
            *mixed += part * (strand - *mixed);
        }
    }
}

/// The stitches inside the chart that a tail's line runs through.
fn tail_line(
    chart: &Chart,
    hand: Hand,
    row: RowIndex,
    at: u32,
    tail: Tail,
    length: u32,
) -> impl Iterator<Item = (RowIndex, usize)> + use<> {
    let row = if tail.line == TailLine::NextRow { RowIndex(row.0 + 1) } else { row };
    let rightwards = (row.direction(hand) == Direction::Rightwards) != (tail.line == TailLine::Before);
    let columns = if row.0 < chart.rows() { chart.columns() } else { 0 };
    (0..length).filter_map(move |step| {
        let column = if rightwards { at.checked_add(step)? } else { at.checked_sub(step + 1)? } as usize;
        (column < columns).then_some((row, column))
    })
}

/// The rule of what shows through, as `carry(k, c)` has it in `docs/strand-model.md`: with the
/// difference of the two colours, and twice as much where the hidden one is the darker. It goes by the
/// model's own weights: what a person sets is what they mind, not what is seen.
#[allow(clippy::cast_precision_loss)] // small
fn parts(chart: &Chart) -> Vec<f64> {
    let weights = Weights::default();
    let (dark, light) = (weights.carry_show_dark.thousandths(), weights.carry_show_light.thousandths());
    let labs: Vec<_> = chart.palette().yarns().iter().map(|yarn| yarn.colour.lab()).collect();
    let pairs = labs.iter().flat_map(|hidden| labs.iter().map(move |stitch| (*hidden, *stitch)));
    pairs
        .map(|(hidden, stitch)| {
            let most = if hidden.l < stitch.l { 1.0 } else { light as f64 / dark as f64 };
            SHOWS * most * delta_e_2000(hidden, stitch) / 100.0
        })
        .collect()
}

/// A number from −1 to 1 that is the same for the same stitch every time.
fn chance(row: usize, column: usize) -> f64 {
    // Mixing steps of a common integer hash (from memory); any that scatters well will do.
    let mut bits = (row as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ (column as u64 + 1);
    for _ in 0..2 {
        bits = (bits ^ (bits >> 31)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    }
    let top = u32::try_from(bits >> 32).unwrap_or(0);
    f64::from(top) / f64::from(u32::MAX) * 2.0 - 1.0
}
