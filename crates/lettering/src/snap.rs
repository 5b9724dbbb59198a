//! Moving the strokes of an outline onto whole stitches.
//!
//! An outline scaled to a few stitches and cut at half coverage gets stems of uneven width, and thin
//! strokes vanish. So each letter is first bent to the grid, apart across and up:
//!
//! 1. *Stems* are found: stretches of outline that run straight along one axis, paired where ink lies
//!    between them.
//! 2. Each stem gets a whole width, at least one stitch; stems near the font's usual width get the
//!    same. Upwards, edges that lie at the line, at the tops of small letters or of capitals go to the
//!    whole row chosen for these once for the whole font.
//! 3. The stems are placed at whole stitches, all of a letter together by dynamic programming: near
//!    where they were, distances kept, and no counter between two stems closed where there is room.
//!    Across there always is: a letter may grow wider.
//! 4. Everything between is bent along in proportion, then cut row by row: a stretch of ink becomes as
//!    many stitches as it is wide, but never none.

use crate::grid::Drawing;
use crate::outline::Fault;

/// Closed lines around ink, filled where they wind round a point other than zero times.
pub(crate) type Contours = Vec<Vec<[f64; 2]>>;

/// How much an edge may lean, across to along.
const LEAN: f64 = 0.2;
/// The shortest edge that counts, in capital heights.
const SHORTEST: f64 = 0.02;
/// How far from an edge ink is looked for, in capital heights.
const BESIDE: f64 = 0.012;
/// How far two edges on one side of a stroke may lie apart, in capital heights.
const STEP: f64 = 0.04;
/// How far round letters reach over the heights that flat ones keep, in capital heights.
const OVERSHOOT: f64 = 0.04;
/// Letters with more stems than this are ornaments: they are not bent.
const MOST_STEMS: usize = 40;
/// The most edges times corners of a letter that is bent; honest letters have some ten thousand.
const MOST_LOOKS: usize = 1_000_000;
/// The most crossings of outline and row centres.
const MOST_CROSSINGS: f64 = 4e6;

/// A letter's outline with each axis scaled.
pub(crate) fn scaled(contours: &[Vec<[f64; 2]>], scale: [f64; 2]) -> Contours {
    let point = |p: &[f64; 2]| [p[0] * scale[0], p[1] * scale[1]];
    contours.iter().map(|contour| contour.iter().map(point).collect()).collect()
}

/// The least and the greatest coordinate.
pub(crate) fn extent(contours: &[Vec<[f64; 2]>], axis: usize) -> Option<(f64, f64)> {
    contours.iter().flatten().map(|p| p[axis]).fold(None, |extent, c| match extent {
        None => Some((c, c)),
        Some((low, high)) => Some((f64::min(low, c), f64::max(high, c))),
    })
}

fn segments(contours: &[Vec<[f64; 2]>]) -> impl Iterator<Item = ([f64; 2], [f64; 2])> + '_ {
    contours.iter().flat_map(|c| c.iter().zip(c.iter().cycle().skip(1)).map(|(a, b)| (*a, *b)))
}

fn is_inside(contours: &[Vec<[f64; 2]>], [x, y]: [f64; 2]) -> bool {
    let mut winding = 0;
    for (a, b) in segments(contours) {
        if (a[1] <= y) != (b[1] <= y) && a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x {
            winding += if a[1] < b[1] { 1 } else { -1 };
        }
    }
    winding != 0
}

/// A stroke that runs along one axis: where it begins and ends on the other.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stem {
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// How long its two edges run beside each other.
    pub(crate) length: f64,
}

/// A straight stretch of outline.
struct Edge {
    at: f64,
    /// Where it begins and ends along its run.
    span: (f64, f64),
    /// Whether ink begins here, going up the axis.
    opens: bool,
}

/// Edges across `axis` with ink on one side. Contours are in capital heights.
fn edges(contours: &[Vec<[f64; 2]>], axis: usize) -> Vec<Edge> {
    let along = 1 - axis;
    let mut found = Vec::new();
    for contour in contours {
        let sides: Vec<_> = contour.iter().zip(contour.iter().cycle().skip(1)).collect();
        let way = |(a, b): &(&[f64; 2], &[f64; 2])| {
            let (d, lean) = (b[along] - a[along], b[axis] - a[axis]);
            if d == 0.0 || lean.abs() > LEAN * d.abs() { 0.0 } else { d.signum() }
        };
        // Begin where a stretch begins.
        let start =
            (0..sides.len()).find(|&i| way(&sides[i]) != way(&sides[(i + sides.len() - 1) % sides.len()]));
        let Some(start) = start else { continue };
        let turned: Vec<_> = sides[start..].iter().chain(&sides[..start]).copied().collect();
        for stretch in turned.chunk_by(|one, other| way(one) == way(other)).filter(|s| way(&s[0]) != 0.0) {
            let length: f64 = stretch.iter().map(|(a, b)| (b[along] - a[along]).abs()).sum();
            let sum: f64 = stretch
                .iter()
                .map(|(a, b)| (b[along] - a[along]).abs() * f64::midpoint(a[axis], b[axis]))
                .sum();
            let ends = [stretch[0].0[along], stretch[stretch.len() - 1].1[along]];
            if length >= SHORTEST {
                found.push((sum / length, (f64::min(ends[0], ends[1]), f64::max(ends[0], ends[1]))));
            }
        }
    }
    let corners: usize = contours.iter().map(Vec::len).sum();
    if found.len() > 4 * MOST_STEMS || found.len() * corners > MOST_LOOKS {
        return Vec::new();
    }
    let inked = |at: f64, run: f64| is_inside(contours, if axis == 0 { [at, run] } else { [run, at] });
    let edge = |(at, span): (f64, (f64, f64))| {
        let run = f64::midpoint(span.0, span.1);
        let (below, above) = (inked(at - BESIDE, run), inked(at + BESIDE, run));
        (below != above).then_some(Edge { at, span, opens: above })
    };
    found.into_iter().filter_map(edge).collect()
}

/// The strokes across `axis` (0: upright ones, 1: level ones). Contours are in capital heights.
pub(crate) fn stems(contours: &[Vec<[f64; 2]>], axis: usize) -> Vec<Stem> {
    let edges = edges(contours, axis);
    let mut stems: Vec<Stem> = Vec::new();
    for open in edges.iter().filter(|edge| edge.opens) {
        let shared = |close: &Edge| f64::min(open.span.1, close.span.1) - f64::max(open.span.0, close.span.0);
        let facing = |close: &&Edge| {
            let shorter = f64::min(open.span.1 - open.span.0, close.span.1 - close.span.0);
            !close.opens && close.at > open.at && shared(close) >= 0.4 * shorter
        };
        // The nearest, or a longer one just behind it: strokes get thinner where others join them.
        let nearest = edges.iter().filter(facing).map(|close| close.at).fold(f64::INFINITY, f64::min);
        let near = edges.iter().filter(facing).filter(|close| close.at < nearest + STEP);
        if let Some(close) = near.max_by(|a, b| shared(a).total_cmp(&shared(b)).then(b.at.total_cmp(&a.at))) {
            stems.push(Stem { low: open.at, high: close.at, length: shared(close) });
        }
    }
    stems.sort_by(|a, b| a.low.total_cmp(&b.low).then(a.high.total_cmp(&b.high)));
    stems.dedup_by(|b, a| b.low - a.low < 0.01 && (b.high - a.high).abs() < 0.01);
    if stems.len() > MOST_STEMS { Vec::new() } else { stems }
}

/// A stem with its whole width, in stitches or rows.
#[derive(Clone, Copy, Debug)]
struct Item {
    low: f64,
    high: f64,
    width: i32,
    /// Where it must begin.
    fixed: Option<i32>,
    /// Which part of the letter it belongs to, parts having empty rows between them.
    part: usize,
}

/// A bend of one axis: places and where they go, both rising.
struct Bend(Vec<(f64, f64)>);

impl Bend {
    fn of(mut knots: Vec<(f64, f64)>) -> Self {
        knots.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        knots.dedup_by(|b, a| b.0 - a.0 < 1e-6);
        let mut least = f64::NEG_INFINITY;
        for knot in &mut knots {
            knot.1 = knot.1.max(least);
            least = knot.1;
        }
        Self(knots)
    }

    fn at(&self, place: f64) -> f64 {
        let after = self.0.partition_point(|knot| knot.0 <= place);
        match (after.checked_sub(1).map(|i| self.0[i]), self.0.get(after)) {
            (Some(a), Some(b)) => a.1 + (place - a.0) / (b.0 - a.0) * (b.1 - a.1),
            (Some(end), None) => place - end.0 + end.1,
            (None, Some(end)) => place - end.0 + end.1,
            (None, None) => place,
        }
    }
}

/// The nearest whole number, halves away from `from`.
fn away(place: f64, from: f64) -> f64 {
    if place < from { -((-place + 0.5).floor()) } else { (place + 0.5).floor() }
}

#[allow(clippy::cast_possible_truncation)] // sizes are limited before letters come here
fn whole(length: f64) -> i32 {
    (length + 0.5).floor() as i32
}

/// What all letters of one font at one height share.
pub(crate) struct Grid {
    /// Stitches and rows that a capital height is long across and up.
    pub(crate) scale: [f64; 2],
    /// Usual widths of upright strokes in stitches, of level ones in rows.
    pub(crate) strokes: [f64; 2],
    /// Heights that letters keep, and the rows they go to.
    pub(crate) tops: Vec<(f64, i32)>,
    /// The same for the lower ends.
    pub(crate) bottoms: Vec<(f64, i32)>,
}

impl Grid {
    /// A letter's cells; its contours are in capital heights. `None` when it has no ink.
    pub(crate) fn draw(&self, contours: &[Vec<[f64; 2]>]) -> Result<Option<Drawing>, Fault> {
        let bends = [self.bend(contours, 0), self.bend(contours, 1)];
        let mut bent = scaled(contours, self.scale);
        for point in bent.iter_mut().flatten() {
            *point = [bends[0].at(point[0]), bends[1].at(point[1])];
        }
        cut(&bent, self.strokes[0])
    }

    /// The row of a height that letters keep.
    fn kept(&self, zones: &[(f64, i32)], place: f64) -> Option<i32> {
        let near = |zone: &&(f64, i32)| (zone.0 - place).abs() <= OVERSHOOT * self.scale[1];
        let nearest =
            zones.iter().filter(near).min_by(|a, b| (a.0 - place).abs().total_cmp(&(b.0 - place).abs()));
        nearest.map(|zone| zone.1)
    }

    /// `floor` is the first row that a part over others may take.
    fn item(&self, stem: Stem, axis: usize, part: usize, floor: Option<i32>) -> Item {
        let (low, high) = (stem.low * self.scale[axis], stem.high * self.scale[axis]);
        let (raw, usual) = (high - low, self.strokes[axis]);
        let width = whole(if (raw - usual).abs() < 0.5 * usual { usual } else { raw }).max(1);
        let mut item = Item { low, high, width, fixed: None, part };
        if axis == 1 {
            let (bottom, top) = (self.kept(&self.bottoms, low), self.kept(&self.tops, high));
            match (bottom, top, floor) {
                // The long stroke of an exclamation mark makes room for the dot; what is short, as a
                // dot or an accent, gives way upwards.
                (None, Some(top), Some(floor)) if raw > 0.3 * self.scale[1] => {
                    item.width = width.min(top - floor).max(1);
                    item.fixed = Some(top - item.width);
                }
                (_, _, Some(_)) => {}
                (Some(bottom), Some(top), None) => {
                    item.width = (top - bottom).max(1);
                    item.fixed = Some(bottom);
                }
                (bottom, top, None) => item.fixed = bottom.or(top.map(|top| top - width)),
            }
        }
        item
    }

    fn bend(&self, contours: &[Vec<[f64; 2]>], axis: usize) -> Bend {
        let Some(ends) = extent(contours, axis) else { return Bend(Vec::new()) };
        let ends = (ends.0 * self.scale[axis], ends.1 * self.scale[axis]);
        let parts = if axis == 1 { parts(contours) } else { Vec::new() };
        let mut found: Vec<Item> = Vec::new();
        for stem in stems(contours, axis) {
            let part = parts.iter().position(|part| stem.low <= part.1).unwrap_or(0);
            let under = found.iter().filter(|item| item.part + 1 == part);
            let high = under.map(|item| item.fixed.unwrap_or_else(|| whole(item.low)) + item.width).max();
            let over = part
                .checked_sub(1)
                .map(|under| high.unwrap_or_else(|| whole(parts[under].1 * self.scale[1])) + 1);
            found.push(self.item(stem, axis, part, over));
        }
        // Stems that lie round others, as the bar of a T round its stem, follow these.
        let is_round = |outer: &Item| {
            found.iter().any(|inner| {
                let middle = f64::midpoint(inner.low, inner.high);
                outer.low < middle
                    && middle < outer.high
                    && inner.high - inner.low < 0.7 * (outer.high - outer.low)
            })
        };
        let (outer, mut inner): (Vec<Item>, Vec<Item>) = found.iter().partition(|item| is_round(item));
        if parts.len() > 1 {
            for (at, &(low, high)) in parts.iter().enumerate() {
                if !found.iter().any(|item| item.part == at) {
                    let over = (at > 0).then(|| whole(parts[at - 1].1 * self.scale[1]) + 1);
                    let mut item = self.item(Stem { low, high, length: 0.0 }, 1, at, over);
                    // An accent that leans cannot be told in one row.
                    if item.fixed.is_none() && high - low > 0.1 {
                        item.width = item.width.max(2);
                    }
                    inner.push(item);
                }
            }
            inner.sort_by(|a, b| a.low.total_cmp(&b.low).then(a.high.total_cmp(&b.high)));
        }
        if axis == 0 && inner.is_empty() && outer.is_empty() {
            // A V: where its strokes meet they are as wide as one, if the whole is odd or even as that.
            let (raw, stroke) = (ends.1 - ends.0, whole(self.strokes[0]).max(1));
            let nearest = whole((raw - f64::from(stroke)) / 2.0) * 2 + stroke;
            let wide = if (f64::from(nearest) - raw).abs() <= 1.0 { nearest } else { whole(raw).max(1) };
            return Bend::of(vec![(ends.0, 0.0), (ends.1, f64::from(wide))]);
        }
        let origin = match axis {
            0 => inner.first().map_or(ends.0, |first| first.low),
            _ => 0.0,
        };
        let places = place(&inner, origin, axis == 0);
        let mut knots: Vec<(f64, f64)> = inner
            .iter()
            .zip(&places)
            .flat_map(|(item, &at)| [(item.low, f64::from(at)), (item.high, f64::from(at + item.width))])
            .collect();
        let bend = Bend::of(if knots.is_empty() { vec![(origin, 0.0)] } else { knots.clone() });
        let middle = f64::midpoint(ends.0, ends.1);
        let center = bend.at(inner.first().map_or(middle, |item| f64::midpoint(item.low, item.high)));
        let mut end = |place: f64, zones: &[(f64, i32)]| {
            let kept = if axis == 1 { self.kept(zones, place) } else { None };
            knots.push((place, kept.map_or_else(|| away(bend.at(place), center), f64::from)));
        };
        for item in &outer {
            end(item.low, &self.bottoms);
            end(item.high, &self.tops);
        }
        if !inner.iter().any(|item| item.low < ends.0 + 0.3) {
            end(ends.0, &self.bottoms);
        }
        if !inner.iter().any(|item| item.high > ends.1 - 0.3) {
            end(ends.1, &self.tops);
        }
        Bend::of(knots)
    }
}

/// The stretches of height, in rising order, that a letter's parts take; between them are empty rows.
fn parts(contours: &[Vec<[f64; 2]>]) -> Vec<(f64, f64)> {
    let mut each: Vec<(f64, f64)> =
        contours.iter().filter_map(|contour| extent(core::slice::from_ref(contour), 1)).collect();
    each.sort_by(|a, b| a.0.total_cmp(&b.0));
    each.into_iter().fold(Vec::new(), |mut parts: Vec<(f64, f64)>, part| {
        match parts.last_mut() {
            Some(last) if part.0 <= last.1 => last.1 = last.1.max(part.1),
            _ => parts.push(part),
        }
        parts
    })
}

/// Whole places for stems in rising order, `origin` being where 0 is to be. `even` keeps equal
/// distances equal.
fn place(items: &[Item], origin: f64, even: bool) -> Vec<i32> {
    let Some(first) = items.first() else { return Vec::new() };
    let mut ideal: Vec<f64> = items
        .iter()
        .map(|item| f64::midpoint(item.low, item.high) - f64::from(item.width) / 2.0 - origin)
        .collect();
    if even {
        // The first begins at a whole stitch wherever that is.
        let aside = ideal[0];
        ideal.iter_mut().for_each(|place| *place -= aside);
        let steps: Vec<f64> = ideal.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let (least, most) = steps.iter().fold((f64::MAX, 0.0), |(a, b), &s| (f64::min(a, s), f64::max(b, s)));
        let apart = items.windows(2).all(|pair| pair[0].high < pair[1].low);
        if apart && steps.len() > 1 && most - least <= 0.15 * most {
            let step = whole(f64::midpoint(least, most)).max(first.width + 1);
            let mut next = 0;
            ideal.iter_mut().for_each(|place| {
                *place = f64::from(next);
                next += step;
            });
        }
    }
    let choices: Vec<Vec<i32>> = items
        .iter()
        .zip(&ideal)
        .map(|(item, &ideal)| {
            item.fixed.map_or_else(|| (whole(ideal) - 3..=whole(ideal) + 3).collect(), |at| vec![at])
        })
        .collect();
    let own = |i: usize, at: i32| (f64::from(at) - ideal[i]) * (f64::from(at) - ideal[i]);
    // For each choice the least cost so far and the choice before.
    let mut table: Vec<Vec<(f64, usize)>> = vec![choices[0].iter().map(|&at| (own(0, at), 0)).collect()];
    for i in 1..items.len() {
        let row = choices[i].iter().map(|&at| {
            let costs = choices[i - 1].iter().enumerate().map(|(before, &other)| {
                let pair = cost(&items[i - 1], other, &items[i], at, ideal[i] - ideal[i - 1]);
                (table[i - 1][before].0 + pair, before)
            });
            let (least, before) = costs.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap_or((0.0, 0));
            (least + own(i, at), before)
        });
        table.push(row.collect());
    }
    let last = &table[items.len() - 1];
    let mut choice = (0..last.len()).min_by(|&a, &b| last[a].0.total_cmp(&last[b].0)).unwrap_or(0);
    let mut places = vec![0; items.len()];
    for i in (0..items.len()).rev() {
        places[i] = choices[i][choice];
        choice = table[i][choice].1;
    }
    places
}

/// What it costs to place two neighbouring stems so.
fn cost(a: &Item, at_a: i32, b: &Item, at_b: i32, apart: f64) -> f64 {
    const NEVER: f64 = 1e6;
    let (end_a, end_b) = (at_a + a.width, at_b + b.width);
    let off = f64::from(at_b - at_a) - apart;
    let stretch = 0.5 * off * off;
    let gap = b.low - a.high;
    if gap <= 0.0 {
        // They overlap: two bowls of unlike width, say. Their ends keep their order.
        let ordered =
            at_a <= at_b && at_b <= end_a && if a.high <= b.high { end_a <= end_b } else { end_b <= end_a };
        return if ordered { stretch } else { NEVER };
    }
    let closed = match at_b - end_a {
        ..0 => NEVER,
        0 if a.part != b.part => 50.0,
        0 if gap > 0.3 => 8.0,
        _ => 0.0,
    };
    closed + stretch
}

/// A stretch of ink on a line through the middle of a row or column.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    /// How far its two ends move along while the line moves by one.
    lean: (f64, f64),
}

/// The ink on each of the lines through the middles of the rows from `first` on, when `across` is 0;
/// of the columns, when it is 1.
fn stretches(contours: &[Vec<[f64; 2]>], across: usize, first: i32, lines: usize) -> Vec<Vec<Stretch>> {
    let up = 1 - across;
    let mut crossings: Vec<Vec<(f64, i32, f64)>> = vec![Vec::new(); lines];
    for (a, b) in segments(contours) {
        let (low, high) = if a[up] <= b[up] { (a, b) } else { (b, a) };
        let from = usize::try_from(whole(low[up]) - first).unwrap_or(0);
        for (line, crossings) in crossings.iter_mut().enumerate().skip(from) {
            let middle = f64::from(first) + line_middle(line);
            if middle >= high[up] {
                break;
            }
            if middle >= low[up] {
                let lean = (high[across] - low[across]) / (high[up] - low[up]);
                let at = low[across] + (middle - low[up]) * lean;
                crossings.push((at, if a[up] <= b[up] { 1 } else { -1 }, lean));
            }
        }
    }
    let join = |mut line: Vec<(f64, i32, f64)>| {
        line.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut winding, mut ink): (i32, Vec<Stretch>) = (0, Vec::new());
        for pair in line.windows(2) {
            winding += pair[0].1;
            if winding != 0 {
                match ink.last_mut() {
                    Some(last) if pair[0].0 - last.to < 1e-6 => {
                        last.to = pair[1].0;
                        last.lean.1 = pair[1].2;
                    }
                    _ => ink.push(Stretch { from: pair[0].0, to: pair[1].0, lean: (pair[0].2, pair[1].2) }),
                }
            }
        }
        ink
    };
    crossings.into_iter().map(join).collect()
}

#[allow(clippy::cast_precision_loss)] // at most model::MAX_SIDE
fn line_middle(line: usize) -> f64 {
    line as f64 + 0.5
}

/// Cells from an outline in stitches and rows; `usual` is the usual width of upright strokes.
fn cut(contours: &[Vec<[f64; 2]>], usual: f64) -> Result<Option<Drawing>, Fault> {
    let Some(((left, right), (low, high))) = extent(contours, 0).zip(extent(contours, 1)) else {
        return Ok(None);
    };
    let lengths: f64 = segments(contours).map(|(a, b)| (a[0] - b[0]).abs() + (a[1] - b[1]).abs() + 1.0).sum();
    if lengths > MOST_CROSSINGS {
        return Err(Fault::TooIntricate);
    }
    let (left, low) = (whole(left - 0.5) - 1, whole(low - 0.5) - 1);
    let size = |from: i32, to: f64| usize::try_from(whole(to + 0.5) + 1 - from).unwrap_or(0);
    let (columns, rows) = (size(left, right), size(low, high));
    let mut ink = vec![false; columns * rows];
    let cell = |at: i32, from: i32, cells: usize| usize::try_from(at - from).unwrap_or(0).min(cells - 1);
    for (row, spans) in stretches(contours, 0, low, rows).into_iter().enumerate() {
        let mut spans = whole_spans(spans, usual);
        for at in 1..spans.len() {
            let ((_, end, _), (start, _, gap)) = (spans[at - 1], spans[at]);
            // A gap of half a stitch and more stays open, if either side can spare a stitch; less is
            // no gap, and between heavy strokes would be a crack.
            let least = if usual < 1.5 { 0.5 } else { 0.75 };
            if gap < least && start == end + 1 {
                spans[at].0 = end;
            } else if gap >= least && start <= end {
                if spans[at].1 - start > 1 {
                    spans[at].0 = end + 1;
                } else if end - spans[at - 1].0 > 1 {
                    spans[at - 1].1 = start - 1;
                }
            }
        }
        for (start, end, _) in spans {
            if start < end {
                ink[row * columns..][cell(start, left, columns)..=cell(end - 1, left, columns)].fill(true);
            }
        }
    }
    // Level strokes too thin to meet the middle of a row.
    for (column, spans) in stretches(contours, 1, left, columns).into_iter().enumerate() {
        for Stretch { from, to, .. } in spans.into_iter().filter(|ink| ink.to - ink.from < 1.0) {
            let row = |at: f64| cell(whole(at - 0.5), low, rows);
            if !(row(from)..=row(to)).any(|row| ink[row * columns + column]) {
                ink[row(f64::midpoint(from, to)) * columns + column] = true;
            }
        }
    }
    Ok(Drawing::cropped(columns, low, &ink))
}

/// Stretches as whole stitches: first, one after the last, and the gap before.
fn whole_spans(spans: Vec<Stretch>, usual: f64) -> Vec<(i32, i32, f64)> {
    let mut last = f64::NEG_INFINITY;
    spans
        .into_iter()
        .map(|Stretch { from, to, lean }| {
            let gap = from - last;
            last = to;
            let wide = to - from;
            // Strokes that lean keep the usual width as upright ones do.
            let leans = lean.0 * lean.1 > 0.0 && lean.0.abs().min(lean.1.abs()) > LEAN / 2.0;
            let width = if leans && (wide - usual).abs() < 0.6 * usual { whole(usual).max(1) } else { 0 };
            let (start, end) = (-whole(-from), whole(to));
            if width > 0 || end <= start {
                let width = width.max(1);
                let start = whole(f64::midpoint(from, to) - f64::from(width) / 2.0);
                (start, start + width, gap)
            } else {
                (start, end, gap)
            }
        })
        .collect()
}
