//! What a person does to a chart, each a named operation: [`Edit`].
//!
//! [`apply`] works out what an operation makes of a chart and changes nothing itself: same chart,
//! same edit, same answer. All that a person hands in is checked here, sizes before anything of
//! that size is made; what a program can bear at once ([`size_after`]) is the caller's to say.

mod arrange;
mod clean;
mod draw;
mod edit;
mod error;
mod grid;
mod palette;
mod recolour;
mod shapes;
mod size;
mod smooth;

pub use edit::{Edit, FramePlace, Mirrored, Offset, Place, Region, Shape, Within};
pub use error::EditError;
pub use size::size_after;

use grid::Grid;
use model::{Chart, Palette};

/// The widest line or outline, in stitches.
pub const MAX_WIDTH: usize = 50;

/// Areas of at most so many stitches, less one, can be cleaned away.
pub const MAX_STRAY: usize = 1000;

/// The largest factor that a chart can be enlarged by at once.
pub const MAX_FACTOR: usize = 100;

/// How many stitches an operation touches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Stitches {
    /// Those that were there and are of another yarn now.
    pub changed: usize,
    /// Those that were not there.
    pub added: usize,
    /// Those that are there no more.
    pub removed: usize,
}

/// What an operation makes of a chart. One that does nothing is `Cells` of none.
#[derive(Clone, Debug, PartialEq)]
pub enum Done {
    /// Size and palette stay. These cells get these palette entries: in the order of their places
    /// (row · columns + column), each once, and none that has its entry already.
    Cells(Vec<(usize, u8)>),
    /// Every stitch keeps its palette entry, the palette becomes this one.
    Palette(Palette),
    /// Another chart: its size changed, or its palette and its stitches.
    Chart {
        /// The chart.
        chart: Chart,
        /// Stitches touched.
        stitches: Stitches,
    },
}

impl Done {
    /// Whether it does nothing.
    #[must_use]
    pub const fn is_nothing(&self) -> bool {
        matches!(self, Self::Cells(cells) if cells.is_empty())
    }

    /// The stitches it touches.
    #[must_use]
    pub const fn stitches(&self) -> Stitches {
        match self {
            Self::Cells(cells) => Stitches { changed: cells.len(), added: 0, removed: 0 },
            Self::Palette(_) => Stitches { changed: 0, added: 0, removed: 0 },
            Self::Chart { stitches, .. } => *stitches,
        }
    }
}

/// What an edit makes of a chart.
///
/// # Errors
/// When the edit names something that the chart does not have, or asks for what can't be.
pub fn apply(chart: &Chart, edit: &Edit) -> Result<Done, EditError> {
    if let Some(done) = palette::apply(chart, edit)? {
        return Ok(done);
    }
    if let Some(done) = size::apply(chart, edit)? {
        return Ok(done);
    }
    let mut grid = Grid::of(chart);
    recoloured(chart, &mut grid, edit)?;
    Ok(Done::Cells(grid.difference(chart)))
}

/// Carries out an edit that leaves size and palette as they are.
fn recoloured(chart: &Chart, grid: &mut Grid, edit: &Edit) -> Result<(), EditError> {
    let yarn = |field, entry: usize| entry_of(chart, field, entry);
    let whole = Region { column: 0, row: 0, columns: grid.columns, rows: grid.rows };
    let or_whole = |region: &Option<Region>| region_in(chart, region.unwrap_or(whole));
    match edit {
        Edit::Stitch { cells, yarn: entry, .. } => {
            let entry = yarn("yarn", *entry)?;
            if let Some(&cell) = cells.iter().find(|cell| **cell >= chart.stitches()) {
                return Err(EditError::NoSuchCell { cell, stitches: chart.stitches() });
            }
            cells.iter().for_each(|&cell| grid.cells[cell] = entry);
        }
        Edit::Line { from, to, yarn: entry, width } => {
            let entry = yarn("yarn", *entry)?;
            draw::line(grid, *from, *to, *width, entry)?;
        }
        Edit::Rectangle { region, outline, yarn: entry } => {
            let (entry, region) = (yarn("yarn", *entry)?, region_in(chart, *region)?);
            draw::shape(grid, region, *outline, entry, |_, _| true)?;
        }
        Edit::Ellipse { region, outline, yarn: entry } => {
            let (entry, region) = (yarn("yarn", *entry)?, region_in(chart, *region)?);
            let inside = |column, row| shapes::ellipse(column, row, region.columns, region.rows);
            draw::shape(grid, region, *outline, entry, inside)?;
        }
        Edit::Flood { at, yarn: entry } => {
            let entry = yarn("yarn", *entry)?;
            draw::flood(grid, *at, entry)?;
        }
        Edit::SwapColour { from, to } => {
            recolour::replace(grid, yarn("from", *from)?, yarn("to", *to)?, whole);
        }
        Edit::Replace { from, to, within } => {
            let (from, to) = (yarn("from", *from)?, yarn("to", *to)?);
            let region = match *within {
                Within::Everywhere => whole,
                Within::Region(region) => region_in(chart, region)?,
                Within::Row(row) if row < grid.rows => Region { row, rows: 1, ..whole },
                Within::Row(row) => {
                    return Err(EditError::NoSuchLine { line: "row", at: row, lines: grid.rows });
                }
            };
            recolour::replace(grid, from, to, region);
        }
        Edit::Exchange { one, other, region } => {
            let (one, other) = (yarn("one", *one)?, yarn("other", *other)?);
            recolour::exchange(grid, one, other, or_whole(region)?);
        }
        Edit::Background { yarn: becomes, tolerance, like } => {
            let becomes = becomes.map(|entry| yarn("yarn", entry)).transpose()?;
            let like = like.map(|entry| yarn("like", entry)).transpose()?;
            recolour::background(grid, chart.palette(), becomes, *tolerance, like)?;
        }
        Edit::Clean { below, region } => clean::clean(grid, *below, or_whole(region)?)?,
        Edit::Smooth { region } => smooth::smooth(grid, or_whole(region)?),
        Edit::Move { region, to, yarn: entry } => {
            let (entry, region) = (yarn("yarn", *entry)?, region_in(chart, *region)?);
            arrange::put(grid, region, *to, Some(entry))?;
        }
        Edit::Copy { region, to } => arrange::put(grid, region_in(chart, *region)?, *to, None)?,
        Edit::Mirror { region, way } => arrange::mirror(grid, or_whole(region)?, *way),
        Edit::Repeat { region, offset } => arrange::repeat(grid, region_in(chart, *region)?, *offset),
        Edit::CropToShape { shape, region, yarn: entry } => {
            let (entry, region) = (yarn("yarn", *entry)?, or_whole(region)?);
            shapes::crop(grid, *shape, region, entry);
        }
        Edit::Frame { stitches, rows, yarn: entry, place: FramePlace::Over } => {
            let entry = yarn("yarn", *entry)?;
            draw::frame(grid, *stitches, *rows, entry);
        }
        // Those of palette and size, which are done by then.
        Edit::Frame { place: FramePlace::Round, .. }
        | Edit::InsertRows { .. }
        | Edit::InsertColumns { .. }
        | Edit::DeleteRows { .. }
        | Edit::DeleteColumns { .. }
        | Edit::Resize { .. }
        | Edit::Enlarge { .. }
        | Edit::AddYarn(_)
        | Edit::ChangeYarn { .. }
        | Edit::DropYarn { .. }
        | Edit::Merge { .. } => {}
    }
    Ok(())
}

/// An entry of the chart's palette that a field names.
fn entry_of(chart: &Chart, field: &'static str, entry: usize) -> Result<u8, EditError> {
    let yarns = chart.palette().len();
    let index = chart.palette().index(entry).ok_or(EditError::NoSuchYarn { field, entry, yarns })?;
    Ok(index.as_u8())
}

/// A region that holds something and lies in the chart.
fn region_in(chart: &Chart, region: Region) -> Result<Region, EditError> {
    if region.columns == 0 || region.rows == 0 {
        return Err(EditError::EmptyRegion);
    }
    let within = |from: usize, count: usize, side| from.checked_add(count).is_some_and(|end| end <= side);
    if within(region.column, region.columns, chart.columns()) && within(region.row, region.rows, chart.rows())
    {
        return Ok(region);
    }
    Err(EditError::RegionOutside { region, columns: chart.columns(), rows: chart.rows() })
}
