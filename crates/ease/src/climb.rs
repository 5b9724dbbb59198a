//! Small changes of a chart, each kept only where look and work together gain by it.

use charting::Stopped;

use crate::desk::Desk;
use crate::problem::Problem;
use crate::strands::Strands;

/// Changes that gain less than this, in units of error, are not worth their while.
const LEAST: f64 = 0.01;

/// What a change may cost in looks and still be tried, in stitches of work: so much for the strand
/// that it may save, and so much for each row. Hardly any change ever saves more.
const STRAND: f64 = 12.0;
const ROW: f64 = 10.0;

/// The end of a run is shifted by so many cells at most at a time.
const FARTHEST: usize = 6;

/// Runs of no more cells slide as a whole.
const SLIDES: usize = 10;

/// Runs of one yarn so near each other, and with so few runs between, may be made one.
const GAP: usize = 12;
const GAP_RUNS: usize = 5;

/// Patches of no more cells than this are tried as a whole.
const PATCH: usize = 250;

/// A seam leans by so many cells from one row to the next at most.
const SEAM_LEANS: usize = 4;

/// A seam is laid anew within so many cells either way.
const SEAM_REACH: usize = 5;

/// Changes are noted by blocks of so many columns of a row.
const BLOCK: usize = 8;

/// Columns of a row, from a first one on, that would take other yarns.
type Line = (usize, usize, Vec<u8>);

/// When the stitches hereabouts changed last. What was tried in vain need not be tried again before
/// something has changed there.
#[derive(Clone)]
pub(crate) struct Changes {
    blocks: usize,
    at: Vec<u32>,
    now: u32,
    /// Only what has changed since then is tried again.
    since: u32,
}

impl Changes {
    pub(crate) fn new(problem: &Problem<'_>) -> Self {
        let blocks = problem.columns.div_ceil(BLOCK);
        Self { blocks, at: vec![1; problem.rows * blocks], now: 1, since: 0 }
    }

    /// A new round begins.
    pub(crate) fn begin(&mut self, since: u32) -> u32 {
        self.since = since;
        self.now += 1;
        self.now
    }

    fn near(&self, lines: &[Line]) -> bool {
        let rows = self.at.len() / self.blocks;
        lines.iter().any(|(row, from, line)| {
            let (low, high) = (from / BLOCK, (from + line.len() - 1) / BLOCK);
            let (low, high) = (low.saturating_sub(1), (high + 2).min(self.blocks));
            (row.saturating_sub(1)..(row + 2).min(rows))
                .any(|row| self.at[row * self.blocks..][low..high].iter().any(|&at| at >= self.since))
        })
    }

    fn near_row(&self, row: usize) -> bool {
        let rows = self.at.len() / self.blocks;
        let (low, high) = (row.saturating_sub(1), (row + 2).min(rows));
        self.at[low * self.blocks..high * self.blocks].iter().any(|&at| at >= self.since)
    }

    fn note(&mut self, lines: &[Line]) {
        for (row, from, line) in lines {
            let (low, high) = (from / BLOCK, (from + line.len() - 1) / BLOCK);
            self.at[row * self.blocks..][low..=high].fill(self.now);
        }
    }
}

/// A search under way.
pub(crate) struct Climb<'a> {
    problem: &'a Problem<'a>,
    strands: Strands<'a>,
    /// Units of error that a stitch of work is worth.
    worth: f64,
    changes: &'a mut Changes,
    /// What all the changes kept gain together.
    gained: f64,
}

impl<'a> Climb<'a> {
    pub(crate) fn new(
        problem: &'a Problem<'a>,
        strands: Strands<'a>,
        worth: f64,
        changes: &'a mut Changes,
    ) -> Self {
        Self { problem, strands, worth, changes, gained: 0.0 }
    }

    /// Tries everything once.
    pub(crate) fn round(&mut self, others: &[&[u8]], desk: &Desk<'_>) -> Result<(), Stopped> {
        self.strands_out(&desk.part(0.0, 0.2))?;
        self.patches_out(&desk.part(0.2, 0.1))?;
        self.rows(&desk.part(0.3, 0.5))?;
        self.seams(&desk.part(0.8, 0.1))?;
        for other in others {
            self.patches_of(other, true);
            self.patches_of(other, false);
            desk.tell(0.9)?;
        }
        Ok(())
    }

    /// What all the changes kept gain together, in units of error.
    #[cfg(test)]
    pub(crate) const fn gained(&self) -> f64 {
        self.gained
    }

    pub(crate) fn into_cells(self) -> Vec<u8> {
        self.strands.cells().to_vec()
    }

    fn line(&self, row: usize) -> &[u8] {
        &self.strands.cells()[row * self.problem.columns..][..self.problem.columns]
    }

    fn error(&self, row: usize, from: usize, line: &[u8]) -> f64 {
        let had = &self.line(row)[from..];
        let mut change = 0.0;
        for (at, (&now, &had)) in line.iter().zip(had).enumerate() {
            if now != had {
                let errors = self.problem.errors(row * self.problem.columns + from + at);
                change += f64::from(errors[usize::from(now)]) - f64::from(errors[usize::from(had)]);
            }
        }
        change
    }

    /// Tries some rows together; they must differ.
    fn attempt(&mut self, lines: &[Line]) -> bool {
        let error: f64 = lines.iter().map(|(row, from, line)| self.error(*row, *from, line)).sum();
        #[allow(clippy::cast_precision_loss)]
        if error > self.worth * (STRAND + ROW * lines.len() as f64) || !self.changes.near(lines) {
            return false;
        }
        let mark = self.strands.mark();
        for (row, from, line) in lines {
            self.strands.change(*row, *from, line);
        }
        let gain = self.worth * (mark.1 - self.strands.cost()) - error;
        if gain > LEAST {
            self.strands.keep();
            self.changes.note(lines);
            self.gained += gain;
            return true;
        }
        self.strands.take_back(mark);
        false
    }

    fn fill(&mut self, row: usize, from: usize, to: usize, yarn: u8) -> bool {
        if from >= to || self.line(row)[from..to].iter().all(|&has| has == yarn) {
            return false;
        }
        self.attempt(&[(row, from, vec![yarn; to - from])])
    }

    /// All changes of single rows once.
    fn rows(&mut self, desk: &Desk<'_>) -> Result<(), Stopped> {
        for row in 0..self.problem.rows {
            desk.tell(part_of(row, self.problem.rows))?;
            if !self.changes.near_row(row) {
                continue;
            }
            self.shift_ends(row);
            self.recolour_runs(row);
            self.slide_runs(row);
            self.copy_from(row, row.checked_sub(1));
            self.copy_from(row, Some(row + 1).filter(|&above| above < self.problem.rows));
            self.close_gaps(row);
            self.back_to_nearest(row);
        }
        Ok(())
    }

    /// The end of each run by some cells either way, or to where runs of the rows beside end.
    fn shift_ends(&mut self, row: usize) {
        let mut at = 1;
        while at < self.problem.columns {
            let line = self.line(row);
            let (left, right) = (line[at - 1], line[at]);
            if left == right {
                at += 1;
                continue;
            }
            for reach in 1..=FARTHEST {
                let (more, less) = (at + reach, at.wrapping_sub(reach));
                // One yarn grows as long as it takes only its neighbour's cells.
                if self.ends_near(row, more, reach)
                    && self.line(row).get(at..more).is_some_and(|cells| cells.iter().all(|&has| has == right))
                    && self.fill(row, at, more, left)
                    || self.ends_near(row, less, reach)
                        && self
                            .line(row)
                            .get(less..at)
                            .is_some_and(|cells| cells.iter().all(|&has| has == left))
                        && self.fill(row, less, at, right)
                {
                    break;
                }
            }
            at += 1;
        }
    }

    /// Whether a boundary is near enough to shift an end to by so many cells, or a run of the rows
    /// beside ends there.
    fn ends_near(&self, row: usize, to: usize, reach: usize) -> bool {
        let ends = |row: usize| {
            let line = self.line(row);
            to > 0 && to < line.len() && line[to - 1] != line[to]
        };
        reach <= 2 || row > 0 && ends(row - 1) || row + 1 < self.problem.rows && ends(row + 1)
    }

    /// Each run in a yarn of its surroundings.
    fn recolour_runs(&mut self, row: usize) {
        let columns = self.problem.columns;
        let runs: Vec<_> = self.strands.runs_in(row).collect();
        for (yarn, low, high) in runs {
            // Gone or grown meanwhile?
            if self.line(row)[low..high].iter().any(|&has| has != yarn) {
                continue;
            }
            let mut others = Vec::new();
            let mut offer = |other: Option<u8>| {
                if let Some(other) = other
                    && other != yarn
                    && !others.contains(&other)
                {
                    others.push(other);
                }
            };
            let line = self.line(row);
            offer(low.checked_sub(1).map(|at| line[at]));
            offer((high < columns).then(|| line[high]));
            for near in
                [row.checked_sub(1), Some(row + 1).filter(|&up| up < self.problem.rows)].into_iter().flatten()
            {
                for &other in &self.line(near)[low..high] {
                    offer(Some(other));
                }
            }
            for &other in &self.problem.nearest[row * columns + low..row * columns + high] {
                offer(Some(other));
            }
            for other in others {
                if self.fill(row, low, high, other) {
                    break;
                }
            }
        }
    }

    /// Each short run by a cell or two either way, so that strokes stand above one another.
    fn slide_runs(&mut self, row: usize) {
        let columns = self.problem.columns;
        let runs: Vec<_> = self.strands.runs_in(row).collect();
        for (yarn, low, high) in runs {
            if high - low > SLIDES || low == 0 || high == columns {
                continue;
            }
            for by in 1..=2 {
                let line = self.line(row);
                if line[low..high].iter().any(|&has| has != yarn) {
                    break;
                }
                let (left, right) = (line[low - 1], line[high]);
                let to_right = (high + by <= columns).then(|| {
                    let mut cells = vec![left; by];
                    cells.resize(by + high - low, yarn);
                    (row, low, cells)
                });
                let to_left = (low >= by).then(|| {
                    let mut cells = vec![yarn; high - low];
                    cells.resize(high - low + by, right);
                    (row, low - by, cells)
                });
                if [to_right, to_left].into_iter().flatten().any(|line| self.attempt(&[line])) {
                    break;
                }
            }
        }
    }

    /// The runs of a row beside, as they are.
    fn copy_from(&mut self, row: usize, beside: Option<usize>) {
        let Some(beside) = beside else { return };
        let runs: Vec<_> = self.strands.runs_in(beside).collect();
        for (yarn, low, high) in runs {
            self.fill(row, low, high, yarn);
        }
    }

    /// What lies between two runs of one yarn.
    fn close_gaps(&mut self, row: usize) {
        let runs: Vec<_> = self.strands.runs_in(row).collect();
        for (at, &(yarn, low, high)) in runs.iter().enumerate() {
            // Gone or grown meanwhile?
            if self.line(row)[low..high].iter().any(|&has| has != yarn) {
                continue;
            }
            for &(other, behind, _) in runs[at + 1..].iter().take(GAP_RUNS) {
                if other == yarn && behind - high <= GAP && self.fill(row, high, behind, yarn) {
                    break;
                }
            }
        }
    }

    /// Stretches that differ from the nearest yarns, in these.
    fn back_to_nearest(&mut self, row: usize) {
        let columns = self.problem.columns;
        let mut at = 0;
        while at < columns {
            let nearest = &self.problem.nearest[row * columns..][..columns];
            let line = self.line(row);
            if line[at] == nearest[at] {
                at += 1;
                continue;
            }
            let from = at;
            while at < columns && line[at] != nearest[at] {
                at += 1;
            }
            let whole = nearest[from..at].to_vec();
            if self.attempt(&[(row, from, whole)]) {
                continue;
            }
            let mut start = from;
            for end in from + 1..=at {
                if end == at || nearest[end] != nearest[start] {
                    if end - start < at - from {
                        let yarn = nearest[start];
                        self.fill(row, start, end, yarn);
                    }
                    start = end;
                }
            }
        }
    }

    /// Parts of strands, their stitches given to the yarns beside them.
    fn strands_out(&mut self, desk: &Desk<'_>) -> Result<(), Stopped> {
        let paths = self.strands.paths();
        let all = paths.len();
        for (done, (yarn, path)) in paths.into_iter().enumerate() {
            desk.tell(part_of(done, all))?;
            let mut lines = Vec::with_capacity(path.len());
            for &(row, low, high) in &path {
                if self.line(row)[low..high].iter().any(|&has| has != yarn) {
                    lines.clear();
                    break;
                }
                lines.push(self.without(row, low, high));
            }
            if lines.is_empty() || self.attempt(&lines) {
                continue;
            }
            let all = lines.len();
            let mut length = all / 2;
            while length > 1 {
                // From either end, then pieces in between.
                if self.attempt(&lines[..length]) || self.attempt(&lines[all - length..]) {
                    break;
                }
                let mut from = length / 2;
                let mut found = false;
                while from + length < all && !found {
                    found = self.attempt(&lines[from..from + length]);
                    from += length / 2 + 1;
                }
                if found {
                    break;
                }
                length = length * 2 / 3;
            }
        }
        Ok(())
    }

    /// Patches of one yarn of few cells, their stitches given to the yarns beside them.
    fn patches_out(&mut self, desk: &Desk<'_>) -> Result<(), Stopped> {
        let columns = self.problem.columns;
        let mut seen = vec![false; self.strands.cells().len()];
        for start in 0..seen.len() {
            if start % columns == 0 {
                desk.tell(part_of(start, seen.len()))?;
            }
            if seen[start] {
                continue;
            }
            let yarn = self.strands.cells()[start];
            let patch = self.patch(start, &mut seen, |cells, cell| cells[cell] == yarn);
            if patch.len() > PATCH {
                continue;
            }
            let lines: Vec<Line> =
                stretches(&patch, columns).map(|(row, low, high)| self.without(row, low, high)).collect();
            if lines.len() > 1 && self.attempt(&lines) {
                continue;
            }
            let mut others = Vec::new();
            for &cell in &patch {
                let (row, column) = (cell / columns, cell % columns);
                let near = [
                    (row > 0).then(|| cell - columns),
                    (row + 1 < self.problem.rows).then(|| cell + columns),
                    (column > 0).then(|| cell - 1),
                    (column + 1 < columns).then(|| cell + 1),
                ];
                for there in near.into_iter().flatten() {
                    let other = self.strands.cells()[there];
                    if other != yarn && !others.contains(&other) {
                        others.push(other);
                    }
                }
            }
            for other in others {
                let lines: Vec<Line> = stretches(&patch, columns)
                    .map(|(row, low, high)| (row, low, vec![other; high - low]))
                    .collect();
                if self.attempt(&lines) {
                    break;
                }
            }
        }
        Ok(())
    }

    /// Patches in which the chart differs from another one, as they are there.
    fn patches_of(&mut self, other: &[u8], one_yarn: bool) {
        let columns = self.problem.columns;
        let mut seen = vec![false; other.len()];
        for start in 0..other.len() {
            let cells = self.strands.cells();
            if seen[start] || cells[start] == other[start] {
                continue;
            }
            let wanted = other[start];
            let patch = self.patch(start, &mut seen, |cells, cell| {
                cells[cell] != other[cell] && (!one_yarn || other[cell] == wanted)
            });
            let lines: Vec<Line> = stretches(&patch, columns)
                .map(|(row, low, high)| (row, low, other[row * columns + low..row * columns + high].to_vec()))
                .collect();
            self.attempt(&lines);
        }
    }

    /// The cells joined side by side to a first one that belong with it, in order.
    fn patch(&self, start: usize, seen: &mut [bool], belongs: impl Fn(&[u8], usize) -> bool) -> Vec<usize> {
        let (rows, columns) = (self.problem.rows, self.problem.columns);
        let cells = self.strands.cells();
        let mut patch = vec![start];
        seen[start] = true;
        let mut at = 0;
        while let Some(&cell) = patch.get(at) {
            let (row, column) = (cell / columns, cell % columns);
            let near = [
                (row > 0).then(|| cell - columns),
                (row + 1 < rows).then(|| cell + columns),
                (column > 0).then(|| cell - 1),
                (column + 1 < columns).then(|| cell + 1),
            ];
            for there in near.into_iter().flatten() {
                if !seen[there] && belongs(cells, there) {
                    seen[there] = true;
                    patch.push(there);
                }
            }
            at += 1;
        }
        patch.sort_unstable();
        patch
    }

    /// Seams between two yarns that run up over several rows, laid anew as a whole: where their ends
    /// look best against what the strands pass from one row to the next.
    fn seams(&mut self, desk: &Desk<'_>) -> Result<(), Stopped> {
        let (rows, columns) = (self.problem.rows, self.problem.columns);
        let mut seen = vec![false; rows * columns];
        for row in 0..rows {
            desk.tell(part_of(row, rows))?;
            for at in 1..columns {
                let line = self.line(row);
                let pair = (line[at - 1], line[at]);
                if pair.0 == pair.1 || seen[row * columns + at] {
                    continue;
                }
                let mut seam = vec![at];
                seen[row * columns + at] = true;
                for up in row + 1..rows {
                    let line = self.line(up);
                    let last = seam[seam.len() - 1];
                    let next = (0..=2 * SEAM_LEANS)
                        .map(|n| {
                            if n % 2 == 0 {
                                last.wrapping_add(n / 2)
                            } else {
                                last.wrapping_sub(n.div_ceil(2))
                            }
                        })
                        .find(|&to| {
                            to > 0
                                && to < columns
                                && (line[to - 1], line[to]) == pair
                                && !seen[up * columns + to]
                        });
                    let Some(next) = next else { break };
                    seen[up * columns + next] = true;
                    seam.push(next);
                }
                if seam.len() > 1 {
                    self.lay_seam(row, &seam, pair);
                }
            }
        }
        Ok(())
    }

    fn lay_seam(&mut self, first: usize, seam: &[usize], (left, right): (u8, u8)) {
        let columns = self.problem.columns;
        let width = 2 * SEAM_REACH + 1;
        let mut costs: Vec<f64> = Vec::with_capacity(seam.len() * width);
        let mut from: Vec<u8> = Vec::with_capacity(seam.len() * width);
        let mut last = vec![0.0; width];
        for (up, &at) in seam.iter().enumerate() {
            let row = first + up;
            let line = self.line(row);
            let low = (0..at).rev().take_while(|&column| line[column] == left).last().unwrap_or(at);
            let high = (at..columns).take_while(|&column| line[column] == right).last().unwrap_or(at);
            // Error by place of the seam.
            let mut here = vec![f64::INFINITY; width];
            here[SEAM_REACH] = 0.0;
            let errors = |column: usize, yarn: u8| {
                f64::from(self.problem.errors(row * columns + column)[usize::from(yarn)])
            };
            for reach in 1..=SEAM_REACH {
                if at + reach <= high {
                    let column = at + reach - 1;
                    here[SEAM_REACH + reach] =
                        here[SEAM_REACH + reach - 1] + errors(column, left) - errors(column, right);
                }
                if at >= low + 1 + reach {
                    let column = at - reach;
                    here[SEAM_REACH - reach] =
                        here[SEAM_REACH - reach + 1] + errors(column, right) - errors(column, left);
                }
            }
            let before = up.checked_sub(1).map(|before| seam[before]);
            let mut now = vec![f64::INFINITY; width];
            for (offset, now) in now.iter_mut().enumerate() {
                let mut best = (f64::INFINITY, 0);
                match before {
                    None => best = (0.0, 0),
                    Some(before) => {
                        for (other, &cost) in last.iter().enumerate() {
                            let cost = cost
                                + self.worth
                                    * self.strands.step(row, (left, right), before + other, at + offset);
                            if cost < best.0 {
                                best = (cost, other);
                            }
                        }
                    }
                }
                *now = best.0 + here[offset];
                #[allow(clippy::cast_possible_truncation)] // few places
                from.push(best.1 as u8);
            }
            costs.extend(&now);
            last = now;
        }
        let mut offset =
            (0..width).min_by(|&one, &two| last[one].total_cmp(&last[two])).unwrap_or(SEAM_REACH);
        let mut lines: Vec<Line> = Vec::new();
        for (up, &at) in seam.iter().enumerate().rev() {
            let (row, to) = (first + up, at + offset - SEAM_REACH);
            if to > at {
                lines.push((row, at, vec![left; to - at]));
            } else if to < at {
                lines.push((row, to, vec![right; at - to]));
            }
            offset = usize::from(from[up * width + offset]);
        }
        if lines.is_empty() || self.attempt(&lines) {
            return;
        }
        // As a whole it does not help: perhaps a piece does.
        let mut begin = 0;
        for end in 1..=lines.len() {
            if end == lines.len() || lines[end].0 + 1 != lines[end - 1].0 {
                if end - begin < lines.len() {
                    let piece = lines[begin..end].to_vec();
                    self.attempt(&piece);
                }
                begin = end;
            }
        }
    }

    /// A run's stitches in the yarns beside it: so many from the left, the rest from the right, as
    /// they look best.
    fn without(&self, row: usize, low: usize, high: usize) -> Line {
        let columns = self.problem.columns;
        let line = self.line(row);
        let left = low.checked_sub(1).map(|at| line[at]);
        let right = (high < columns).then(|| line[high]);
        let (left, right) = match (left, right) {
            (Some(left), Some(right)) => (left, right),
            (Some(one), None) | (None, Some(one)) => (one, one),
            (None, None) => (line[low], line[low]),
        };
        let errors = |at: usize, yarn: u8| self.problem.errors(row * columns + at)[usize::from(yarn)];
        let mut error: f32 = (low..high).map(|at| errors(at, right)).sum();
        let (mut best, mut split) = (error, low);
        for at in low..high {
            error += errors(at, left) - errors(at, right);
            if error < best {
                (best, split) = (error, at + 1);
            }
        }
        let mut cells = vec![left; split - low];
        cells.resize(high - low, right);
        (row, low, cells)
    }
}

/// The stretches of rows that some cells, in order, make up: row, first column, one past the last.
fn stretches(cells: &[usize], columns: usize) -> impl Iterator<Item = (usize, usize, usize)> {
    let joined = move |one: &usize, two: &usize| one + 1 == *two && !two.is_multiple_of(columns);
    cells
        .chunk_by(joined)
        .map(move |chunk| (chunk[0] / columns, chunk[0] % columns, chunk[0] % columns + chunk.len()))
}

#[allow(clippy::cast_precision_loss)] // for display
fn part_of(done: usize, all: usize) -> f32 {
    done as f32 / all as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::work;
    use crate::easing::State;
    use crate::trial::Parts;
    use proptest::prelude::*;

    /// Runs something at a desk.
    fn at_desk<T: Send>(piece: impl Fn(&Desk<'_>) -> Result<T, Stopped> + Sync) -> T {
        let mut made = None;
        let ready = &mut |done| made = Some(done);
        work(1, 1, |_, desk| piece(desk), &mut charting::unwatched, (0.0, 1.0), ready)
            .expect("nobody stops it");
        made.expect("it is done")
    }

    fn state(problem: &Problem<'_>, cells: &[u8]) -> State {
        at_desk(|desk| State::new(problem, cells.to_vec(), 1, desk))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(25))]

        /// Whatever is tried: what is kept lowers error and work together, planned from scratch, by no
        /// less than is promised.
        #[test]
        fn what_is_kept_helps(
            seed in 0u64..1000,
            worth in 0.1f64..6.0,
            lines in prop::collection::vec((0usize..13, 0usize..15, prop::collection::vec(0u8..4, 1..6)), 60),
        ) {
            let parts = Parts::noisy(15, 13, seed);
            let task = parts.task();
            let problem = Problem::new(&task).expect("a task");
            let first = state(&problem, &problem.nearest);
            let begun = first.objective(worth);
            let mut changes = Changes::new(&problem);
            let mut climb = Climb::new(&problem, Strands::new(&problem, &first.cells, &first.worked), worth, &mut changes);
            for (row, from, line) in lines {
                let line = line[..line.len().min(15 - from)].to_vec();
                if climb.attempt(&[(row, from, line)]) {
                    let now = state(&problem, climb.strands.cells()).objective(worth);
                    prop_assert!(begun - now > climb.gained() - 0.1, "{} promised, {}", climb.gained(), begun - now);
                }
            }
        }

        /// A whole round likewise.
        #[test]
        fn a_round_gains_what_it_says(seed in 0u64..1000, worth in 0.1f64..6.0) {
            let parts = Parts::noisy(24, 20, seed);
            let task = parts.task();
            let problem = Problem::new(&task).expect("a task");
            let first = state(&problem, &problem.nearest);
            let (cells, gained) = at_desk(|desk| {
                let mut changes = Changes::new(&problem);
                let strands = Strands::new(&problem, &first.cells, &first.worked);
                let mut climb = Climb::new(&problem, strands, worth, &mut changes);
                climb.round(&[], desk)?;
                let gained = climb.gained();
                Ok((climb.into_cells(), gained))
            });
            let fell = first.objective(worth) - state(&problem, &cells).objective(worth);
            prop_assert!(fell > gained - 0.5, "{gained} promised, {fell}");
        }
    }
}
