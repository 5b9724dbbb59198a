//! Operations that make a chart larger or smaller.

use model::{Chart, MAX_SIDE};

use crate::grid::Grid;
use crate::{Done, Edit, EditError, FramePlace, MAX_FACTOR, Stitches, entry_of};

/// Where the lines of one side of the new chart, columns or rows, come from: lines of the old one, or
/// `None` where they are new.
type Lines = Vec<Option<usize>>;

/// What happens to one side of a chart.
#[derive(Clone, Copy)]
enum Side {
    Stays,
    /// So many lines before line `at`, copies of the one before where `copied`.
    Inserted {
        at: usize,
        count: usize,
        copied: bool,
    },
    Deleted {
        at: usize,
        count: usize,
    },
    /// Lines more at its begin and end, or fewer.
    Grown {
        begin: i64,
        end: i64,
    },
    Times(usize),
}

/// Columns and rows that a chart has after an edit: to be asked before it is made.
///
/// # Errors
/// When the edit asks for a size that can't be.
pub fn size_after(chart: &Chart, edit: &Edit) -> Result<(usize, usize), EditError> {
    let (columns, rows) = sides(edit)?;
    Ok((columns.length(chart.columns(), "column")?, rows.length(chart.rows(), "row")?))
}

fn sides(edit: &Edit) -> Result<(Side, Side), EditError> {
    Ok(match *edit {
        Edit::InsertRows { at, count, yarn } => {
            (Side::Stays, Side::Inserted { at, count, copied: yarn.is_none() })
        }
        Edit::InsertColumns { at, count, yarn } => {
            (Side::Inserted { at, count, copied: yarn.is_none() }, Side::Stays)
        }
        Edit::DeleteRows { at, count } => (Side::Stays, Side::Deleted { at, count }),
        Edit::DeleteColumns { at, count } => (Side::Deleted { at, count }, Side::Stays),
        Edit::Resize { left, right, bottom, top, .. } => {
            (Side::Grown { begin: left, end: right }, Side::Grown { begin: bottom, end: top })
        }
        Edit::Enlarge { by } if (1..=MAX_FACTOR).contains(&by) => (Side::Times(by), Side::Times(by)),
        Edit::Enlarge { by } => return Err(EditError::Factor(by)),
        Edit::Frame { stitches, rows, place: FramePlace::Round, .. } => {
            let both = |count: usize| -> Result<Side, EditError> {
                let count = i64::try_from(count).map_err(|_| EditError::TooLarge)?;
                Ok(Side::Grown { begin: count, end: count })
            };
            (both(stitches)?, both(rows)?)
        }
        _ => (Side::Stays, Side::Stays),
    })
}

impl Side {
    /// How long a side becomes that has `lines` now.
    fn length(self, lines: usize, line: &'static str) -> Result<usize, EditError> {
        let length = match self {
            Self::Stays => Some(lines),
            Self::Inserted { at, .. } if at > lines => {
                return Err(EditError::NoSuchLine { line, at, lines });
            }
            Self::Inserted { count, .. } => lines.checked_add(count),
            Self::Deleted { at, count } => {
                let last = at.saturating_add(count.max(1)) - 1;
                if last >= lines {
                    return Err(EditError::NoSuchLine { line, at: last, lines });
                }
                if count == lines {
                    return Err(EditError::NothingLeft);
                }
                Some(lines - count)
            }
            Self::Grown { begin, end } => {
                let lines = lines as i128;
                if lines + i128::from(begin.min(0)) + i128::from(end.min(0)) < 1 {
                    return Err(EditError::NothingLeft);
                }
                usize::try_from(lines + i128::from(begin) + i128::from(end)).ok()
            }
            Self::Times(by) => lines.checked_mul(by),
        };
        length.filter(|length| *length <= MAX_SIDE).ok_or(EditError::TooLarge)
    }

    /// Where the lines come from. The length has been asked for and is `length`.
    fn lines(self, lines: usize, length: usize) -> Lines {
        let kept = |range: core::ops::Range<usize>| range.map(Some);
        match self {
            Self::Stays => kept(0..lines).collect(),
            Self::Inserted { at, count, copied } => {
                let new = copied.then_some(at.saturating_sub(1));
                kept(0..at).chain(core::iter::repeat_n(new, count)).chain(kept(at..lines)).collect()
            }
            Self::Deleted { at, count } => kept(0..at).chain(kept(at + count..lines)).collect(),
            Self::Grown { begin, .. } => {
                let old = |at: usize| usize::try_from(at as i128 - i128::from(begin)).ok();
                (0..length).map(|at| old(at).filter(|&at| at < lines)).collect()
            }
            Self::Times(by) => (0..length).map(|at| Some(at / by)).collect(),
        }
    }

    /// How many lines of the old side are still there.
    fn kept(self, lines: usize) -> usize {
        match self {
            Self::Stays | Self::Inserted { .. } | Self::Times(_) => lines,
            Self::Deleted { count, .. } => lines - count,
            Self::Grown { begin, end } => {
                let cut = |more: i64| usize::try_from(more.min(0).unsigned_abs()).unwrap_or(lines);
                lines.saturating_sub(cut(begin)).saturating_sub(cut(end))
            }
        }
    }
}

/// Carries out an edit where it is one of size.
pub(crate) fn apply(chart: &Chart, edit: &Edit) -> Result<Option<Done>, EditError> {
    let yarn = match *edit {
        Edit::Resize { yarn, .. } | Edit::Frame { yarn, place: FramePlace::Round, .. } => Some(yarn),
        Edit::InsertRows { yarn, .. } | Edit::InsertColumns { yarn, .. } => yarn,
        Edit::DeleteRows { .. } | Edit::DeleteColumns { .. } | Edit::Enlarge { .. } => None,
        _ => return Ok(None),
    };
    // Where no yarn is named no line is new.
    let entry = yarn.map_or(Ok(0), |yarn| entry_of(chart, "yarn", yarn))?;
    let (across, upwards) = sides(edit)?;
    let (columns, rows) = size_after(chart, edit)?;
    let old = Grid::of(chart);
    let new = old.remapped(&across.lines(old.columns, columns), &upwards.lines(old.rows, rows), entry);
    if (new.columns, new.rows) == (old.columns, old.rows) {
        return Ok(Some(Done::Cells(new.difference(chart))));
    }
    let kept = across.kept(old.columns) * upwards.kept(old.rows);
    let stitches = Stitches { changed: 0, added: new.cells.len() - kept, removed: old.cells.len() - kept };
    let chart = Chart::new(chart.palette().clone(), rows, columns, &new.cells)
        .expect("the size is checked and all entries are the palette's");
    Ok(Some(Done::Chart { chart, stitches }))
}
