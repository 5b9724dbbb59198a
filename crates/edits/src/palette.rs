//! Yarns that come, change and leave.

use model::{Chart, Palette, Yarn};

use crate::grid::Grid;
use crate::{Done, Edit, EditError, Stitches, entry_of};

/// Carries out an edit where it is one of the palette.
pub(crate) fn apply(chart: &Chart, edit: &Edit) -> Result<Option<Done>, EditError> {
    let mut yarns = chart.palette().yarns().to_vec();
    match edit {
        Edit::AddYarn(yarn) => {
            yarns.push(yarn.clone());
            repaletted(chart, yarns)
        }
        Edit::ChangeYarn { index, yarn } => {
            yarns[usize::from(entry_of(chart, "index", *index)?)] = yarn.clone();
            repaletted(chart, yarns)
        }
        Edit::Merge { from, to } => {
            dropped(chart, entry_of(chart, "from", *from)?, Some(entry_of(chart, "to", *to)?))
        }
        Edit::DropYarn { index, instead } => {
            let instead = instead.map(|instead| entry_of(chart, "instead", instead)).transpose()?;
            dropped(chart, entry_of(chart, "index", *index)?, instead)
        }
        _ => return Ok(None),
    }
    .map(Some)
}

fn repaletted(chart: &Chart, yarns: Vec<Yarn>) -> Result<Done, EditError> {
    if yarns == chart.palette().yarns() {
        return Ok(Done::Cells(Vec::new()));
    }
    Ok(Done::Palette(Palette::new(yarns)?))
}

/// The chart without a yarn; `instead` takes its stitches.
fn dropped(chart: &Chart, entry: u8, instead: Option<u8>) -> Result<Done, EditError> {
    if instead == Some(entry) {
        return Err(EditError::Itself);
    }
    let at = usize::from(entry);
    let changed = chart.stitches_by_yarn()[at];
    if changed > 0 && instead.is_none() {
        return Err(EditError::InUse { entry: at, stitches: changed });
    }
    let mut yarns = chart.palette().yarns().to_vec();
    yarns.remove(at);
    let palette = Palette::new(yarns)?;
    let mut grid = Grid::of(chart);
    for cell in &mut grid.cells {
        let taken = if *cell == entry { instead.unwrap_or(entry) } else { *cell };
        *cell = taken - u8::from(taken > entry);
    }
    // The last yarn leaves no gap: where it made no stitch, all entries stay.
    if changed == 0 && at == palette.len() {
        return Ok(Done::Palette(palette));
    }
    let chart = Chart::new(palette, grid.rows, grid.columns, &grid.cells)
        .expect("the size stays and all entries are the palette's");
    Ok(Done::Chart { chart, stitches: Stitches { changed, added: 0, removed: 0 } })
}
