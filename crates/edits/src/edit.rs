//! The operations as plain data.

use model::Yarn;

/// A column and a row, both from 0: columns from the chart's left, rows from its bottom.
pub type Place = (usize, usize);

/// A rectangle of cells of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Region {
    /// Its leftmost column, from 0.
    pub column: usize,
    /// Its lowest row, from 0.
    pub row: usize,
    /// Columns, at least one.
    pub columns: usize,
    /// Rows, at least one.
    pub rows: usize,
}

impl Region {
    /// Whether a cell lies in it.
    #[must_use]
    pub const fn holds(&self, (column, row): Place) -> bool {
        column >= self.column
            && column - self.column < self.columns
            && row >= self.row
            && row - self.row < self.rows
    }

    /// Its cells, row by row from its bottom, each row from its left.
    pub(crate) fn places(self) -> impl Iterator<Item = Place> {
        let columns = self.column..self.column + self.columns;
        (self.row..self.row + self.rows).flat_map(move |row| columns.clone().map(move |column| (column, row)))
    }
}

/// Where a yarn is replaced.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Within {
    /// In the whole chart.
    Everywhere,
    /// In a rectangle.
    Region(Region),
    /// In one row, from 0 at the bottom.
    Row(usize),
}

/// The way something is turned over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mirrored {
    /// Left and right change places.
    Sideways,
    /// Top and bottom change places.
    UpsideDown,
}

/// How the copies of a repeated region lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Offset {
    /// Straight beside and above each other.
    None,
    /// Each next column of copies, to the right, lies so many rows lower. Half of the region's rows
    /// make what textile designers call a half drop (common practice, no source).
    Drop(usize),
    /// Each next row of copies, upwards, lies so many stitches further right.
    Shift(usize),
}

/// A shape that fills a region.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// An ellipse.
    Ellipse,
    /// A heart, upright.
    Heart,
    /// A rectangle with round corners.
    RoundedRectangle {
        /// Radius of the corners: stitches across and rows upwards. Half of the shorter side is the
        /// most; more is taken as that.
        radius: usize,
    },
}

/// Where a frame goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FramePlace {
    /// Round the picture: the chart grows.
    Round,
    /// Over the picture's edge: the size stays.
    Over,
}

/// A change of a chart. Columns count from 0 at the left, rows from 0 at the bottom, yarns from 0 in
/// the palette's order. Regions must lie in the chart; where one may be left out, `None` is the whole
/// chart.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Cells get a yarn.
    Stitch {
        /// Places of the cells: row · columns + column.
        cells: Vec<usize>,
        /// Palette entry.
        yarn: usize,
        /// Name of the movement of the brush that they are part of, the caller's to give. Parts of
        /// one movement are one operation to whoever keeps operations; nothing here looks at it.
        stroke: Option<String>,
    },
    /// A straight line, both ends included. What of its width lies outside the chart is left out.
    Line {
        /// Column and row of one end.
        from: Place,
        /// Column and row of the other.
        to: Place,
        /// Palette entry.
        yarn: usize,
        /// Stitches across it, 1 to [`MAX_WIDTH`](crate::MAX_WIDTH); of an even width there is one
        /// more below and to the left.
        width: usize,
    },
    /// A rectangle.
    Rectangle {
        /// Where.
        region: Region,
        /// Stitches across its outline, 1 to [`MAX_WIDTH`](crate::MAX_WIDTH), inwards; `None` fills it.
        outline: Option<usize>,
        /// Palette entry.
        yarn: usize,
    },
    /// The ellipse that fills a region: the cells whose centres lie in it, and the middle column and
    /// row (two of an even side) from end to end.
    Ellipse {
        /// Where.
        region: Region,
        /// Stitches across its outline, 1 to [`MAX_WIDTH`](crate::MAX_WIDTH), inwards; `None` fills it.
        outline: Option<usize>,
        /// Palette entry.
        yarn: usize,
    },
    /// The area of one yarn around a cell, connected by sides.
    Flood {
        /// Column and row.
        at: Place,
        /// Palette entry.
        yarn: usize,
    },
    /// Every stitch of one yarn becomes one of another: [`Edit::Replace`] everywhere. The exchange of
    /// two is [`Edit::Exchange`].
    SwapColour {
        /// Palette entry.
        from: usize,
        /// Palette entry.
        to: usize,
    },
    /// The stitches of one yarn become stitches of another.
    Replace {
        /// Palette entry.
        from: usize,
        /// Palette entry.
        to: usize,
        /// Where.
        within: Within,
    },
    /// Two yarns change places on the chart.
    Exchange {
        /// Palette entry.
        one: usize,
        /// Palette entry.
        other: usize,
        /// Where.
        region: Option<Region>,
    },
    /// Every stitch of one yarn becomes one of another, and the first leaves the palette: the entries
    /// after it move down by one.
    Merge {
        /// Palette entry that leaves.
        from: usize,
        /// Palette entry that stays.
        to: usize,
    },
    /// Small areas of one yarn, connected by sides, are given to the yarn that most of their border is
    /// shared with (of equals the first in the palette), the smallest area first (of equals the lowest,
    /// then the one furthest left), until none is left that has other stitches beside it.
    Clean {
        /// Areas of fewer stitches are given away; 2 to [`MAX_STRAY`](crate::MAX_STRAY).
        below: usize,
        /// Only areas that lie in it with all their stitches.
        region: Option<Region>,
    },
    /// Outlines are smoothed: a stitch follows the yarn of more than half of the 3 × 3 stitches around
    /// and with it (at the edge, of those there are). Lines one stitch wide neither go nor grow: their
    /// stitches stay, and don't count for stitches of other yarns. A stitch is one of such a line where
    /// just one of the eight round it is of its own yarn, or where two to four are that fall apart into
    /// stretches round it. All stitches are judged by the chart as it was.
    Smooth {
        /// Stitches outside stay, but are looked at.
        region: Option<Region>,
    },
    /// A region goes elsewhere. What falls outside the chart is cut off; something must stay inside.
    Move {
        /// What.
        region: Region,
        /// Column and row where its lower left cell goes; may lie outside the chart.
        to: (i64, i64),
        /// Palette entry that is left behind.
        yarn: usize,
    },
    /// As [`Edit::Move`], and the region stays as well.
    Copy {
        /// What.
        region: Region,
        /// Column and row where its lower left cell goes; may lie outside the chart.
        to: (i64, i64),
    },
    /// A region, or the chart, is turned over.
    Mirror {
        /// What.
        region: Option<Region>,
        /// Which way.
        way: Mirrored,
    },
    /// A region fills the chart with its copies; it stays itself where it is.
    Repeat {
        /// What.
        region: Region,
        /// How the copies lie to each other.
        offset: Offset,
    },
    /// New rows.
    InsertRows {
        /// They come below what is this row now; as many as there are rows: on top.
        at: usize,
        /// How many.
        count: usize,
        /// Palette entry; `None` makes them copies of the row below, or of the lowest.
        yarn: Option<usize>,
    },
    /// New columns.
    InsertColumns {
        /// They come to the left of what is this column now; as many as there are columns: at the right.
        at: usize,
        /// How many.
        count: usize,
        /// Palette entry; `None` makes them copies of the column at their left, or of the first.
        yarn: Option<usize>,
    },
    /// Rows are taken out; one must stay.
    DeleteRows {
        /// The lowest.
        at: usize,
        /// How many.
        count: usize,
    },
    /// Columns are taken out; one must stay.
    DeleteColumns {
        /// The leftmost.
        at: usize,
        /// How many.
        count: usize,
    },
    /// Stitches are added at each edge, or cut off where the number is below zero. A row and a column
    /// of what there was must stay.
    Resize {
        /// Columns more at the left.
        left: i64,
        /// Columns more at the right.
        right: i64,
        /// Rows more at the bottom.
        bottom: i64,
        /// Rows more on top.
        top: i64,
        /// Palette entry of what is added.
        yarn: usize,
    },
    /// Each stitch becomes a square of them.
    Enlarge {
        /// Stitches and rows for one, 1 to [`MAX_FACTOR`](crate::MAX_FACTOR).
        by: usize,
    },
    /// A plain frame.
    Frame {
        /// Stitches at each side.
        stitches: usize,
        /// Rows at bottom and top.
        rows: usize,
        /// Palette entry.
        yarn: usize,
        /// Round the picture, or over its edge.
        place: FramePlace,
    },
    /// Everything outside a shape becomes one yarn.
    CropToShape {
        /// Which shape.
        shape: Shape,
        /// What it fills.
        region: Option<Region>,
        /// Palette entry.
        yarn: usize,
    },
    /// The background becomes one yarn. It is reached from the chart's edge by sides, over stitches
    /// whose yarns look like the background's.
    Background {
        /// Palette entry that it becomes; `None`: the background's own.
        yarn: Option<usize>,
        /// How far a yarn's colour may be from the background's, in CIEDE2000: 0 to 100.
        tolerance: f64,
        /// The background's palette entry; `None`: the one with most stitches along the edge, of
        /// equals the first in the palette.
        like: Option<usize>,
    },
    /// A yarn more, at the end of the palette.
    AddYarn(Yarn),
    /// Another yarn in the place of one of the palette.
    ChangeYarn {
        /// Palette entry.
        index: usize,
        /// The yarn it becomes.
        yarn: Yarn,
    },
    /// A yarn leaves the palette: the entries after it move down by one.
    DropYarn {
        /// Palette entry.
        index: usize,
        /// Palette entry, as counted before, that takes its stitches; needed where it has some.
        instead: Option<usize>,
    },
}

impl Edit {
    /// Its name for documents and lists of what was done.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Stitch { .. } => "stitch",
            Self::Line { .. } => "line",
            Self::Rectangle { .. } => "rectangle",
            Self::Ellipse { .. } => "ellipse",
            Self::Flood { .. } => "flood",
            Self::SwapColour { .. } => "swap_colour",
            Self::Replace { .. } => "replace",
            Self::Exchange { .. } => "exchange",
            Self::Merge { .. } => "merge",
            Self::Clean { .. } => "clean",
            Self::Smooth { .. } => "smooth",
            Self::Move { .. } => "move",
            Self::Copy { .. } => "copy",
            Self::Mirror { .. } => "mirror",
            Self::Repeat { .. } => "repeat",
            Self::InsertRows { .. } => "insert_rows",
            Self::InsertColumns { .. } => "insert_columns",
            Self::DeleteRows { .. } => "delete_rows",
            Self::DeleteColumns { .. } => "delete_columns",
            Self::Resize { .. } => "resize",
            Self::Enlarge { .. } => "enlarge",
            Self::Frame { .. } => "frame",
            Self::CropToShape { .. } => "crop_to_shape",
            Self::Background { .. } => "background",
            Self::AddYarn(_) => "add_yarn",
            Self::ChangeYarn { .. } => "change_yarn",
            Self::DropYarn { .. } => "drop_yarn",
        }
    }
}
