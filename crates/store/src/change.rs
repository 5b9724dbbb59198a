//! Changes of a blanket: what an operation does to it, and what takes it back.

use std::collections::BTreeMap;

use model::{Chart, Gauge, Palette, Yarn};
use serde_json::{Value, json};

use crate::StoreError;
use crate::json::{read_yarns, write_yarns};

/// All of a blanket that its picture decides, or its maker.
#[derive(Clone, Debug, PartialEq)]
pub struct Fabric {
    /// The chart.
    pub chart: Chart,
    /// The gauge.
    pub gauge: Gauge,
    /// How its picture was charted: JSON of the caller's, kept as it is.
    pub request: Option<String>,
}

/// One change, complete in itself: applied to any state of that size it gives what it says.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// These cells get these palette entries; each cell stands here once, in order.
    Cells(Vec<(u32, u8)>),
    /// The palette becomes this.
    Palette(Vec<Yarn>),
    /// Everything becomes this.
    Fabric(Box<Fabric>),
    /// The name becomes this.
    Name(String),
    /// What is kept for the making becomes this: JSON of the caller's, kept as it is; `None` before
    /// anything of it was ever given.
    Making(Option<String>),
}

const CELLS: u8 = 1;
const PALETTE: u8 = 2;
const FABRIC: u8 = 3;
const NAME: u8 = 4;
const MAKING: u8 = 5;
const NO_MAKING: u8 = 6;

/// Bytes of a cell in [`Change::Cells`]: its place in four, little end first, and its entry.
const CELL: usize = 5;

impl Change {
    /// As the bytes that are stored: what it is in one byte, then itself.
    pub(crate) fn to_bytes(&self) -> Vec<u8> {
        match self {
            Self::Cells(cells) => {
                let mut bytes = Vec::with_capacity(1 + cells.len() * CELL);
                bytes.push(CELLS);
                for (at, entry) in cells {
                    bytes.extend(at.to_le_bytes());
                    bytes.push(*entry);
                }
                bytes
            }
            Self::Palette(yarns) => tagged(PALETTE, write_yarns(yarns).as_bytes()),
            Self::Name(name) => tagged(NAME, name.as_bytes()),
            Self::Making(Some(making)) => tagged(MAKING, making.as_bytes()),
            Self::Making(None) => vec![NO_MAKING],
            Self::Fabric(fabric) => {
                let (chart, gauge) = (&fabric.chart, &fabric.gauge);
                let head = json!({
                    "rows": chart.rows(),
                    "columns": chart.columns(),
                    "gauge_stitches": gauge.stitches(),
                    "gauge_rows": gauge.rows(),
                    "gauge_estimated": gauge.rows_estimated(),
                    "request": fabric.request,
                    "palette": write_yarns(chart.palette().yarns()),
                })
                .to_string();
                let length = u32::try_from(head.len()).expect("a palette has at most 64 yarns");
                let mut bytes = tagged(FABRIC, &length.to_le_bytes());
                bytes.extend(head.as_bytes());
                bytes.extend(cells_of(chart));
                bytes
            }
        }
    }

    pub(crate) fn from_bytes(bytes: &[u8]) -> Result<Self, StoreError> {
        let damaged = || StoreError::Damaged("an operation can't be read".to_owned());
        let (tag, rest) = bytes.split_first().ok_or_else(damaged)?;
        let text = || core::str::from_utf8(rest).map_err(|_| damaged());
        match *tag {
            CELLS => {
                let (cells, []) = rest.as_chunks::<CELL>() else { return Err(damaged()) };
                let cell = |&[a, b, c, d, entry]: &[u8; CELL]| (u32::from_le_bytes([a, b, c, d]), entry);
                Ok(Self::Cells(cells.iter().map(cell).collect()))
            }
            PALETTE => Ok(Self::Palette(read_yarns(text()?)?)),
            NAME => Ok(Self::Name(text()?.to_owned())),
            MAKING => Ok(Self::Making(Some(text()?.to_owned()))),
            NO_MAKING if rest.is_empty() => Ok(Self::Making(None)),
            FABRIC => fabric(rest).ok_or_else(damaged).map(|fabric| Self::Fabric(Box::new(fabric))),
            _ => Err(damaged()),
        }
    }

    /// This change with a later one after it; `None` where they are not both of cells.
    pub(crate) fn then(&self, later: &Self) -> Option<Self> {
        let (Self::Cells(first), Self::Cells(later)) = (self, later) else { return None };
        let mut cells: BTreeMap<u32, u8> = first.iter().copied().collect();
        cells.extend(later.iter().copied());
        Some(Self::Cells(cells.into_iter().collect()))
    }
}

fn tagged(tag: u8, content: &[u8]) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(1 + content.len());
    bytes.push(tag);
    bytes.extend(content);
    bytes
}

/// The cells of a chart, one byte each, from the bottom row.
pub(crate) fn cells_of(chart: &Chart) -> Vec<u8> {
    chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect()
}

/// A gauge as it was: measured, or with its rows worked out.
pub(crate) fn gauge(stitches: f64, rows: f64, estimated: bool) -> Option<Gauge> {
    if estimated { Gauge::from_stitches(stitches).ok() } else { Gauge::new(stitches, rows).ok() }
}

/// A chart of stored parts; `None` where they are none.
pub(crate) fn chart(palette: Vec<Yarn>, rows: usize, columns: usize, cells: &[u8]) -> Option<Chart> {
    Chart::new(Palette::new(palette).ok()?, rows, columns, cells).ok()
}

fn fabric(bytes: &[u8]) -> Option<Fabric> {
    let (length, rest) = bytes.split_first_chunk()?;
    let (head, cells) = rest.split_at_checked(u32::from_le_bytes(*length) as usize)?;
    let head: Value = serde_json::from_slice(head).ok()?;
    let count = |name: &str| head.get(name)?.as_u64().and_then(|count| usize::try_from(count).ok());
    let number = |name: &str| head.get(name)?.as_f64();
    let request = match head.get("request")? {
        Value::Null => None,
        text => Some(text.as_str()?.to_owned()),
    };
    let palette = read_yarns(head.get("palette")?.as_str()?).ok()?;
    Some(Fabric {
        chart: chart(palette, count("rows")?, count("columns")?, cells)?,
        gauge: gauge(
            number("gauge_stitches")?,
            number("gauge_rows")?,
            head.get("gauge_estimated")?.as_bool()?,
        )?,
        request,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Srgb;

    #[test]
    fn every_change_comes_back_from_its_bytes() {
        let yarns = vec![Yarn::plain("a", "A", Srgb::new(0, 0, 0)), Yarn::plain("b", "", Srgb::new(9, 9, 9))];
        let palette = Palette::new(yarns.clone()).unwrap();
        let chart = Chart::new(palette, 2, 3, &[0, 1, 0, 1, 1, 0]).unwrap();
        let fabric =
            |gauge, request| Change::Fabric(Box::new(Fabric { chart: chart.clone(), gauge, request }));
        for change in [
            Change::Cells(vec![]),
            Change::Cells(vec![(0, 1), (70_000, 63)]),
            Change::Palette(yarns),
            Change::Name("Ærø".to_owned()),
            Change::Making(None),
            Change::Making(Some("{}".to_owned())),
            fabric(Gauge::new(12.5, 13.44).unwrap(), None),
            fabric(Gauge::from_stitches(12.5).unwrap(), Some("{}".to_owned())),
        ] {
            let bytes = change.to_bytes();
            assert_eq!(Change::from_bytes(&bytes), Ok(change.clone()));
            // Cut short it is refused, or at least no other chart.
            if let (Change::Fabric(_), Ok(got)) = (&change, Change::from_bytes(&bytes[..bytes.len() - 1])) {
                panic!("{got:?}");
            }
        }
        assert!(Change::from_bytes(&[]).is_err() && Change::from_bytes(&[9]).is_err());
    }

    #[test]
    fn the_later_change_of_a_cell_counts() {
        let first = Change::Cells(vec![(1, 0), (5, 0)]);
        let later = Change::Cells(vec![(2, 3), (5, 1)]);
        assert_eq!(first.then(&later), Some(Change::Cells(vec![(1, 0), (2, 3), (5, 1)])));
        assert_eq!(first.then(&Change::Name(String::new())), None);
    }
}
