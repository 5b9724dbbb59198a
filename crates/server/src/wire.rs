//! What the answers and bodies look like as JSON. Written and read by hand: the workbench's types
//! know nothing of it.
//!
//! A field that is not known is refused, so that a slip of the pen is told and not passed over.

mod looks;
mod making;
mod picture;
pub(crate) mod told;
mod words;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use model::{Ball, Gauge as ModelGauge, Hand, Length, Price, Srgb, Step, TailLine, WeightCategory};
use serde::{Deserialize, Serialize};

use crate::failure::Failure;

pub use looks::{AlikePair, AlikeYarns, BleedingPair};
pub use making::{
    Again, Along, Border, Counted, Evenings, EveryRowEnd, Making, MakingOf, Measure, Multiple, Pace, Round,
    Shrinkage, StitchHeights, Swatch, SwatchOf, Ticks, Unit,
};
pub use picture::{ChartedAgain, Choice, Choices, Colours, Extent, Important, Part, PictureWish, TakeChoice};
pub use words::{Align, ForGauge, Lettered, Lettering, OfWords, Seam, WordsOn};

/// A yarn. What is not known of it is `null` or left out.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Yarn {
    /// Short name, unique within a list or palette.
    pub key: String,
    /// Name for people.
    pub name: String,
    /// `#rrggbb`.
    pub colour: String,
    /// Weight category: its name, or its number from 0 to 7.
    pub weight: Option<Weight>,
    /// Metres in a ball; goes with `grams`.
    pub metres: Option<f64>,
    /// Grams of a ball.
    pub grams: Option<f64>,
    /// Price of a ball, to the hundredth.
    pub price: Option<f64>,
    /// Whole balls on hand.
    pub on_hand: Option<u32>,
    /// Dye lot.
    pub dye_lot: Option<String>,
}

/// A yarn weight category. Answers give the name.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Weight {
    /// `medium`.
    Name(String),
    /// `4`.
    Number(u8),
}

impl From<&model::Yarn> for Yarn {
    #[allow(clippy::cast_precision_loss)] // exact up to 2^53 milligrams or hundredths
    fn from(yarn: &model::Yarn) -> Self {
        Self {
            key: yarn.key.clone(),
            name: yarn.name.clone(),
            colour: yarn.colour.to_string(),
            weight: yarn.category.map(|category| Weight::Name(category.name().to_owned())),
            metres: yarn.ball.map(|ball| ball.length.as_metres()),
            grams: yarn.ball.map(|ball| ball.milligrams as f64 / 1e3),
            price: yarn.price.map(|price| price.hundredths as f64 / 1e2),
            on_hand: yarn.on_hand,
            dye_lot: yarn.dye_lot.clone(),
        }
    }
}

impl Yarn {
    /// The yarn meant.
    pub(crate) fn meant(self) -> Result<model::Yarn, Failure> {
        let wrong = |field: &str, what: String, hint: &str| {
            Failure::bad(what, format!("yarn {:?}, {field}", self.key), hint)
        };
        let colour: Srgb = self
            .colour
            .parse()
            .map_err(|_| wrong("colour", format!("{:?} is no colour", self.colour), "write it as #rrggbb"))?;
        let category = match &self.weight {
            None => None,
            Some(weight) => Some(category(weight).ok_or_else(|| {
                wrong(
                    "weight",
                    "this is no standard yarn weight category".to_owned(),
                    "give a number from 0 to 7, or its name, such as medium",
                )
            })?),
        };
        let units = |field: &str, value: f64, unit: f64| {
            whole(value, unit).ok_or_else(|| {
                wrong(field, format!("{value} is no amount"), "give a number of zero or above, not too large")
            })
        };
        let ball = match (self.metres, self.grams) {
            (None, None) => None,
            (Some(metres), Some(grams)) => {
                let micrometres = i64::try_from(units("metres", metres, 1e6)?).unwrap_or(i64::MAX);
                let length = Length::from_micrometres(micrometres);
                Some(Ball { length, milligrams: units("grams", grams, 1e3)? })
            }
            (metres, _) => {
                let missing = if metres.is_none() { "metres" } else { "grams" };
                let what = "metres and grams of a ball go together".to_owned();
                return Err(wrong(missing, what, "give both or neither"));
            }
        };
        let price = self.price.map(|price| units("price", price, 1e2)).transpose()?;
        Ok(model::Yarn {
            colour,
            category,
            ball,
            price: price.map(|hundredths| Price { hundredths }),
            key: self.key,
            name: self.name,
            on_hand: self.on_hand,
            dye_lot: self.dye_lot,
        })
    }
}

fn category(weight: &Weight) -> Option<WeightCategory> {
    match weight {
        Weight::Number(number) => WeightCategory::new(*number),
        Weight::Name(name) => (0..=7)
            .filter_map(WeightCategory::new)
            .find(|category| category.name().eq_ignore_ascii_case(name)),
    }
}

/// So many whole units; `None` below zero or beyond what a double holds exactly.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // bounds are checked
fn whole(value: f64, unit: f64) -> Option<u64> {
    let units = (value * unit).round();
    (0.0..=9e15).contains(&units).then_some(units as u64)
}

/// Yarns as meant, up to the first that is wrong.
pub(crate) fn yarns_meant(yarns: Vec<Yarn>) -> Result<Vec<model::Yarn>, Failure> {
    yarns.into_iter().map(Yarn::meant).collect()
}

/// The person's list.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Yarns {
    /// In the person's order.
    pub yarns: Vec<Yarn>,
}

impl From<&[model::Yarn]> for Yarns {
    fn from(yarns: &[model::Yarn]) -> Self {
        Self { yarns: yarns.iter().map(Yarn::from).collect() }
    }
}

/// A gauge: stitches and rows in 10 cm.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gauge {
    /// Stitches in 10 cm.
    pub stitches: f64,
    /// Rows in 10 cm; estimated from the stitches where left out.
    pub rows: Option<f64>,
    /// Whether the rows are an estimate: such a number in a body is passed over.
    #[serde(default)]
    pub estimated: bool,
}

impl From<&ModelGauge> for Gauge {
    fn from(gauge: &ModelGauge) -> Self {
        Self { stitches: gauge.stitches(), rows: Some(gauge.rows()), estimated: gauge.rows_estimated() }
    }
}

impl Gauge {
    pub(crate) fn meant(self) -> Result<ModelGauge, Failure> {
        match self.rows {
            Some(rows) if !self.estimated => ModelGauge::new(self.stitches, rows),
            _ => ModelGauge::from_stitches(self.stitches),
        }
        .map_err(|error| Failure::bad(error, "gauge", "count stitches and rows on 10 cm of a swatch"))
    }
}

/// A blanket on the shelf.
#[derive(Debug, Serialize)]
pub struct Card {
    /// Its number.
    pub id: i64,
    /// Its name.
    pub name: String,
    /// Whether it is the demo, all of it invented.
    pub invented: bool,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Finished width.
    pub width_cm: f64,
    /// Finished height.
    pub height_cm: f64,
    /// How many yarns its palette has.
    pub colours: usize,
    /// ISO 8601, UTC.
    pub changed: String,
    /// Whether there is a picture to chart again.
    pub has_picture: bool,
    /// How often it was changed.
    pub revision: u64,
}

impl From<workbench::Card> for Card {
    fn from(card: workbench::Card) -> Self {
        Self {
            id: card.id.0,
            name: card.name,
            invented: card.invented,
            columns: card.columns,
            rows: card.rows,
            width_cm: card.width.as_cm(),
            height_cm: card.height.as_cm(),
            colours: card.colours.len(),
            changed: card.changed,
            has_picture: card.has_picture,
            revision: card.revision,
        }
    }
}

/// All blankets, those changed last first.
#[derive(Debug, Serialize)]
pub struct Shelf {
    /// On the shelf.
    pub blankets: Vec<Card>,
    /// Set aside.
    pub aside: Vec<Card>,
}

impl From<workbench::Shelf> for Shelf {
    fn from(shelf: workbench::Shelf) -> Self {
        let cards = |cards: Vec<workbench::Card>| cards.into_iter().map(Card::from).collect();
        Self { blankets: cards(shelf.blankets), aside: cards(shelf.aside) }
    }
}

/// What a new blanket is made from.
#[derive(Debug, Deserialize)]
#[serde(tag = "from", rename_all = "snake_case", deny_unknown_fields)]
pub enum NewBlanket {
    /// One colour, that of the first yarn.
    Blank {
        /// Its name.
        name: String,
        /// Stitches in a row.
        columns: usize,
        /// Rows.
        rows: usize,
        /// Its gauge.
        gauge: Gauge,
        /// Its palette.
        yarns: Vec<Yarn>,
    },
    /// The demo.
    Demo {},
    /// Words alone.
    Words(Box<OfWords>),
    /// A patch to practise on.
    Practice {},
}

/// A blanket that was made.
#[derive(Debug, Serialize)]
pub struct Made {
    /// Its number.
    pub id: i64,
    /// What the person should know.
    pub notes: Vec<String>,
    /// Its picture, where it was made from one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub picture: Option<Pixels>,
}

/// A picture's size.
#[derive(Debug, Serialize)]
pub struct Pixels {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}

impl From<workbench::Made> for Made {
    fn from(made: workbench::Made) -> Self {
        let picture = made.picture.map(|(width, height)| Pixels { width, height });
        Self { id: made.id.0, notes: made.notes, picture }
    }
}

/// A name to give.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Name {
    /// The name.
    pub name: String,
}

/// A body that says nothing: `{}`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Nothing {}

/// The revision that the person saw.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// As the last answer gave it.
    pub revision: u64,
}

/// A change of the chart.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EditOf {
    /// As the last answer gave it.
    pub revision: u64,
    /// What to do.
    pub operation: Operation,
}

/// A rectangle of cells, all in the chart.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Region {
    /// Its leftmost column.
    pub column: usize,
    /// Its lowest row.
    pub row: usize,
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
}

impl From<Region> for workbench::Region {
    fn from(Region { column, row, columns, rows }: Region) -> Self {
        Self { column, row, columns, rows }
    }
}

/// The way something is turned over.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mirrored {
    /// Left and right change places.
    Sideways,
    /// Top and bottom change places.
    UpsideDown,
}

/// Where a frame goes.
#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum FramePlace {
    /// Round the picture: the chart grows.
    #[default]
    Round,
    /// Over the picture's edge: the size stays.
    Over,
}

/// A shape that fills a region.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// An ellipse.
    Ellipse,
    /// A heart.
    Heart,
    /// A rectangle with round corners; goes with a radius.
    RoundedRectangle,
}

/// What to do to a chart. Columns count from 0 at the left, rows from 0 at the bottom. A region that
/// may be left out is then the whole chart.
#[derive(Debug, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
pub enum Operation {
    /// Cells get a yarn.
    Stitch {
        /// `row · columns + column`.
        cells: Vec<usize>,
        /// Palette entry.
        yarn: usize,
        /// Parts of one movement share it and are one operation.
        stroke: Option<String>,
    },
    /// A straight line.
    Line {
        /// Column and row.
        from: (usize, usize),
        /// Column and row.
        to: (usize, usize),
        /// Palette entry.
        yarn: usize,
        /// Cells across it; 1 where left out.
        width: Option<usize>,
    },
    /// A rectangle.
    Rectangle {
        /// Where.
        region: Region,
        /// Palette entry.
        yarn: usize,
        /// Stitches across its outline; filled where left out.
        outline: Option<usize>,
    },
    /// The ellipse that fills a region.
    Ellipse {
        /// Where.
        region: Region,
        /// Palette entry.
        yarn: usize,
        /// Stitches across its outline; filled where left out.
        outline: Option<usize>,
    },
    /// The area of one colour around a cell.
    Flood {
        /// Column and row.
        at: (usize, usize),
        /// Palette entry.
        yarn: usize,
    },
    /// One yarn everywhere in place of another.
    SwapColour {
        /// Palette entry.
        from: usize,
        /// Palette entry.
        to: usize,
    },
    /// One yarn in place of another: everywhere, in a region or in a row.
    Replace {
        /// Palette entry.
        from: usize,
        /// Palette entry.
        to: usize,
        /// Not together with a row.
        region: Option<Region>,
        /// Not together with a region.
        row: Option<usize>,
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
    /// One yarn takes the stitches of another, which leaves the palette.
    Merge {
        /// Palette entry that leaves.
        from: usize,
        /// Palette entry that stays.
        to: usize,
    },
    /// Small areas are given to what surrounds them.
    Clean {
        /// Areas of fewer stitches.
        below: usize,
        /// Only those that lie in it whole.
        region: Option<Region>,
    },
    /// Outlines are smoothed.
    Smooth {
        /// Where.
        region: Option<Region>,
    },
    /// A region goes elsewhere.
    Move {
        /// What.
        region: Region,
        /// Column and row of its lower left cell then; may lie outside.
        to: (i64, i64),
        /// Palette entry that is left behind.
        yarn: usize,
    },
    /// A region is copied.
    Copy {
        /// What.
        region: Region,
        /// Column and row of the copy's lower left cell; may lie outside.
        to: (i64, i64),
    },
    /// A region is turned over.
    Mirror {
        /// What.
        region: Option<Region>,
        /// `sideways` or `upside_down`.
        way: Mirrored,
    },
    /// A region fills the chart with its copies.
    Repeat {
        /// What.
        region: Region,
        /// Rows by which each next column of copies lies lower. Not together with a shift.
        drop: Option<usize>,
        /// Stitches by which each next row of copies lies further right. Not together with a drop.
        shift: Option<usize>,
    },
    /// New rows.
    InsertRows {
        /// Below what is this row now.
        at: usize,
        /// How many.
        count: usize,
        /// Palette entry; copies of the row below where left out.
        yarn: Option<usize>,
    },
    /// New columns.
    InsertColumns {
        /// To the left of what is this column now.
        at: usize,
        /// How many.
        count: usize,
        /// Palette entry; copies of the column at the left where left out.
        yarn: Option<usize>,
    },
    /// Rows are taken out.
    DeleteRows {
        /// The lowest.
        at: usize,
        /// How many.
        count: usize,
    },
    /// Columns are taken out.
    DeleteColumns {
        /// The leftmost.
        at: usize,
        /// How many.
        count: usize,
    },
    /// Stitches are added at the edges, or cut off where a number is below zero.
    Resize {
        /// Columns; none where left out, as all of these.
        #[serde(default)]
        left: i64,
        /// Columns.
        #[serde(default)]
        right: i64,
        /// Rows.
        #[serde(default)]
        bottom: i64,
        /// Rows.
        #[serde(default)]
        top: i64,
        /// Palette entry of what is added.
        yarn: usize,
    },
    /// Each stitch becomes a square of them.
    Enlarge {
        /// Stitches for one, either way.
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
        /// `round` the picture, also where left out, or `over` its edge.
        #[serde(default)]
        place: FramePlace,
    },
    /// Everything outside a shape becomes one yarn.
    CropToShape {
        /// `ellipse`, `heart` or `rounded_rectangle`.
        shape: Shape,
        /// Of the corners of a rounded rectangle: stitches, and as many rows.
        radius: Option<usize>,
        /// What the shape fills.
        region: Option<Region>,
        /// Palette entry.
        yarn: usize,
    },
    /// The background becomes one yarn.
    Background {
        /// How far, in CIEDE2000, a yarn may be from the background's: 0 to 100.
        tolerance: f64,
        /// Palette entry that it becomes; the background's own where left out.
        yarn: Option<usize>,
        /// The background's palette entry; the most frequent along the edge where left out.
        like: Option<usize>,
    },
    /// Words are laid on the chart.
    Words(WordsOn),
    /// A yarn more.
    AddYarn {
        /// Which.
        yarn: Yarn,
    },
    /// Another yarn in the place of one.
    ChangeYarn {
        /// Palette entry.
        index: usize,
        /// Which.
        yarn: Yarn,
    },
    /// A yarn leaves the palette.
    DropYarn {
        /// Palette entry.
        index: usize,
        /// Palette entry, as counted before, that takes its stitches.
        instead: Option<usize>,
    },
}

/// What an operation comes to at the workbench.
pub(crate) enum Doing {
    /// A change of the chart as it is.
    Edit(workbench::Edit),
    /// Words laid on it.
    Words(workbench::WordsOn),
}

impl Operation {
    pub(crate) fn meant(self) -> Result<Doing, Failure> {
        use workbench::{Edit, Offset, Within};
        let part = |region: Option<Region>| region.map(workbench::Region::from);
        let one_of =
            |fields: &str| Failure::bad("these two exclude each other", fields, "leave one of them out");
        let edit = match self {
            Self::Stitch { cells, yarn, stroke } => Edit::Stitch { cells, yarn, stroke },
            Self::Line { from, to, yarn, width } => Edit::Line { from, to, yarn, width: width.unwrap_or(1) },
            Self::Rectangle { region, yarn, outline } => {
                Edit::Rectangle { region: region.into(), outline, yarn }
            }
            Self::Ellipse { region, yarn, outline } => Edit::Ellipse { region: region.into(), outline, yarn },
            Self::Flood { at, yarn } => Edit::Flood { at, yarn },
            Self::SwapColour { from, to } => Edit::SwapColour { from, to },
            Self::Replace { from, to, region, row } => {
                let within = match (region, row) {
                    (None, None) => Within::Everywhere,
                    (Some(region), None) => Within::Region(region.into()),
                    (None, Some(row)) => Within::Row(row),
                    (Some(_), Some(_)) => return Err(one_of("region, row")),
                };
                Edit::Replace { from, to, within }
            }
            Self::Exchange { one, other, region } => Edit::Exchange { one, other, region: part(region) },
            Self::Merge { from, to } => Edit::Merge { from, to },
            Self::Clean { below, region } => Edit::Clean { below, region: part(region) },
            Self::Smooth { region } => Edit::Smooth { region: part(region) },
            Self::Move { region, to, yarn } => Edit::Move { region: region.into(), to, yarn },
            Self::Copy { region, to } => Edit::Copy { region: region.into(), to },
            Self::Mirror { region, way } => {
                let way = match way {
                    Mirrored::Sideways => workbench::Mirrored::Sideways,
                    Mirrored::UpsideDown => workbench::Mirrored::UpsideDown,
                };
                Edit::Mirror { region: part(region), way }
            }
            Self::Repeat { region, drop, shift } => {
                let offset = match (drop.unwrap_or(0), shift.unwrap_or(0)) {
                    (0, 0) => Offset::None,
                    (drop, 0) => Offset::Drop(drop),
                    (0, shift) => Offset::Shift(shift),
                    _ => return Err(one_of("drop, shift")),
                };
                Edit::Repeat { region: region.into(), offset }
            }
            Self::InsertRows { at, count, yarn } => Edit::InsertRows { at, count, yarn },
            Self::InsertColumns { at, count, yarn } => Edit::InsertColumns { at, count, yarn },
            Self::DeleteRows { at, count } => Edit::DeleteRows { at, count },
            Self::DeleteColumns { at, count } => Edit::DeleteColumns { at, count },
            Self::Resize { left, right, bottom, top, yarn } => {
                Edit::Resize { left, right, bottom, top, yarn }
            }
            Self::Enlarge { by } => Edit::Enlarge { by },
            Self::Frame { stitches, rows, yarn, place } => {
                let place = match place {
                    FramePlace::Round => workbench::FramePlace::Round,
                    FramePlace::Over => workbench::FramePlace::Over,
                };
                Edit::Frame { stitches, rows, yarn, place }
            }
            Self::CropToShape { shape, radius, region, yarn } => {
                let shape = match (shape, radius) {
                    (Shape::Ellipse, None) => workbench::Shape::Ellipse,
                    (Shape::Heart, None) => workbench::Shape::Heart,
                    (Shape::RoundedRectangle, Some(radius)) => workbench::Shape::RoundedRectangle { radius },
                    (Shape::RoundedRectangle, None) => {
                        return Err(Failure::bad(
                            "the radius of the corners is missing",
                            "radius",
                            "give one",
                        ));
                    }
                    (_, Some(_)) => {
                        let what = "only a rounded rectangle has a radius";
                        return Err(Failure::bad(what, "radius", "leave it out"));
                    }
                };
                Edit::CropToShape { shape, region: part(region), yarn }
            }
            Self::Background { tolerance, yarn, like } => Edit::Background { yarn, tolerance, like },
            Self::AddYarn { yarn } => Edit::AddYarn(yarn.meant()?),
            Self::ChangeYarn { index, yarn } => Edit::ChangeYarn { index, yarn: yarn.meant()? },
            Self::DropYarn { index, instead } => Edit::DropYarn { index, instead },
            Self::Words(words) => return words.meant().map(Doing::Words),
        };
        Ok(Doing::Edit(edit))
    }
}

/// A yarn of a blanket, with all that is known of it.
#[derive(Debug, Serialize)]
pub struct PaletteEntry {
    /// The yarn.
    #[serde(flatten)]
    pub yarn: Yarn,
    /// Its symbol on the chart.
    pub symbol: String,
    /// Stitches of it.
    pub stitches: usize,
}

fn palette(entries: Vec<workbench::PaletteEntry>) -> Vec<PaletteEntry> {
    let entry = |entry: workbench::PaletteEntry| PaletteEntry {
        yarn: Yarn::from(&entry.yarn),
        symbol: entry.symbol,
        stitches: entry.stitches,
    };
    entries.into_iter().map(entry).collect()
}

/// Hours of work, an estimate.
#[derive(Debug, Serialize)]
pub struct Hours {
    /// All of it.
    pub total: f64,
    /// Making stitches.
    pub stitches: f64,
    /// Changing, carrying, lifting.
    pub strands: f64,
    /// Ends.
    pub ends: f64,
}

/// The numbers beside a chart.
#[derive(Debug, Serialize)]
pub struct Numbers {
    /// Ends to weave in.
    pub ends: usize,
    /// Strands.
    pub strands: usize,
    /// Most strands alive in one row.
    pub strands_at_once: usize,
    /// Hours.
    pub hours: Hours,
    /// Stitches passed in carries.
    pub carried: u64,
    /// Most stitches of other yarns passed in one go.
    pub longest_carry: u32,
    /// In stitches' worth of handling.
    pub cost: f64,
    /// No plan costs less.
    pub bound: f64,
    /// `(cost − bound) / cost`.
    pub gap: f64,
    /// Runs of one colour.
    pub runs: usize,
    /// Colours in use.
    pub colours: usize,
    /// Always `true`: the numbers are of a plan that was worked stitch by stitch.
    pub proven: bool,
    /// What planning and proving took.
    pub milliseconds: u64,
}

impl From<workbench::Numbers> for Numbers {
    fn from(numbers: workbench::Numbers) -> Self {
        let workbench::Hours { total, stitches, strands, ends } = numbers.hours;
        Self {
            ends: numbers.ends,
            strands: numbers.strands,
            strands_at_once: numbers.strands_at_once,
            hours: Hours { total, stitches, strands, ends },
            carried: numbers.carried,
            longest_carry: numbers.longest_carry,
            cost: numbers.cost,
            bound: numbers.bound,
            gap: numbers.gap,
            runs: numbers.runs,
            colours: numbers.colours,
            proven: true,
            milliseconds: numbers.milliseconds,
        }
    }
}

/// A blanket, opened.
#[derive(Debug, Serialize)]
pub struct Blanket {
    /// Its number.
    pub id: i64,
    /// Its name.
    pub name: String,
    /// Whether it is the demo.
    pub invented: bool,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Its gauge.
    pub gauge: Gauge,
    /// `right` or `left`.
    pub hand: HandWord,
    /// Its yarns.
    pub palette: Vec<PaletteEntry>,
    /// Base64 of one byte a cell, row by row from the bottom, each from the left.
    pub cells: String,
    /// Name of the operation, or `null`.
    pub can_take_back: Option<String>,
    /// Name of the operation, or `null`.
    pub can_do_again: Option<String>,
    /// Its revision.
    pub revision: u64,
    /// Its picture, or `null`.
    pub picture: Option<Picture>,
    /// The numbers.
    pub plan: Numbers,
}

/// A blanket's picture.
#[derive(Debug, Serialize)]
pub struct Picture {
    /// Its file's name; may be empty.
    pub name: String,
    /// Pixels across, upright.
    pub width: usize,
    /// Pixels down, upright.
    pub height: usize,
    /// How it was charted last, or `null`.
    pub request: Option<PictureWish>,
}

impl From<workbench::Blanket> for Blanket {
    fn from(blanket: workbench::Blanket) -> Self {
        let picture = blanket.picture.map(|picture| Picture {
            name: picture.name,
            width: picture.width,
            height: picture.height,
            request: picture.request.as_ref().map(PictureWish::from),
        });
        Self {
            id: blanket.id.0,
            name: blanket.name,
            invented: blanket.invented,
            columns: blanket.columns,
            rows: blanket.rows,
            gauge: Gauge::from(&blanket.gauge),
            hand: blanket.hand.into(),
            palette: palette(blanket.palette),
            cells: STANDARD.encode(blanket.cells),
            can_take_back: blanket.can_take_back,
            can_do_again: blanket.can_do_again,
            revision: blanket.revision,
            picture,
            plan: blanket.plan.into(),
        }
    }
}

/// What a change came to.
#[derive(Debug, Serialize)]
pub struct Changed {
    /// The revision now.
    pub revision: u64,
    /// Place and palette entry of the cells that changed.
    pub cells: Vec<(usize, u8)>,
    /// Whether the blanket has to be read anew.
    pub reload: bool,
    /// Whether what is kept for the making has to be read anew.
    pub making: bool,
    /// Its yarns.
    pub palette: Vec<PaletteEntry>,
    /// The numbers.
    pub plan: Numbers,
    /// How many ends more it made, as do the next two: below zero where there are fewer.
    pub ends_by: i64,
    /// Strands.
    pub strands_by: i64,
    /// Hours of work.
    pub hours_by: f64,
    /// Name of the operation, or `null`.
    pub can_take_back: Option<String>,
    /// Name of the operation, or `null`.
    pub can_do_again: Option<String>,
}

impl From<workbench::Changed> for Changed {
    fn from(changed: workbench::Changed) -> Self {
        Self {
            revision: changed.revision,
            cells: changed.cells,
            reload: changed.reload,
            making: changed.making,
            palette: palette(changed.palette),
            plan: changed.plan.into(),
            ends_by: changed.by.ends,
            strands_by: changed.by.strands,
            hours_by: changed.by.hours,
            can_take_back: changed.can_take_back,
            can_do_again: changed.can_do_again,
        }
    }
}

/// Every strand's way.
#[derive(Debug, Serialize)]
pub struct Strands {
    /// The revision it is of.
    pub revision: u64,
    /// In the order of their joins.
    pub strands: Vec<Strand>,
    /// From the bottom.
    pub rows: Vec<RowOfSteps>,
}

/// A strand.
#[derive(Debug, Serialize)]
pub struct Strand {
    /// Its number, from 0.
    pub id: u32,
    /// Its label, as in `B3`.
    pub label: String,
    /// Palette entry.
    pub yarn: u8,
    /// Row of its join, from 0.
    pub first_row: usize,
    /// Row of its cut, from 0.
    pub last_row: usize,
    /// Stitches that it makes.
    pub stitches: u32,
    /// Stitches that it passes.
    pub carried: u32,
    /// Rows that it climbs locked.
    pub lifts: u32,
    /// Yarn that it takes.
    pub length_m: f64,
}

/// The steps of a row in the order of work.
#[derive(Debug, Serialize)]
pub struct RowOfSteps {
    /// Each an array.
    pub steps: Vec<StepArray>,
}

/// A step as an array: its name, the strand's place in the list, then boundaries, from 0 at the left.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub enum StepArray {
    /// `["drop", strand, at]`, `["lift", …]`.
    One(&'static str, u32, u32),
    /// `["work", strand, from, to]`, `["carry", …]`, `["draw_back", …]`.
    Two(&'static str, u32, u32, u32),
    /// `["join", strand, at, line, over]`, `["cut", …]`; `line` is `onward`, `before` or `next_row`.
    Tail(&'static str, u32, u32, &'static str, u32),
}

impl From<&Step> for StepArray {
    fn from(step: &Step) -> Self {
        let line = |line| match line {
            TailLine::Onward => "onward",
            TailLine::Before => "before",
            TailLine::NextRow => "next_row",
        };
        match *step {
            Step::Join { strand, at, tail } => Self::Tail("join", strand.0, at.0, line(tail.line), tail.over),
            Step::Work { strand, from, to } => Self::Two("work", strand.0, from.0, to.0),
            Step::Carry { strand, from, to } => Self::Two("carry", strand.0, from.0, to.0),
            Step::DrawBack { strand, from, to } => Self::Two("draw_back", strand.0, from.0, to.0),
            Step::Drop { strand, at } => Self::One("drop", strand.0, at.0),
            Step::Lift { strand, at } => Self::One("lift", strand.0, at.0),
            Step::Cut { strand, at, tail } => Self::Tail("cut", strand.0, at.0, line(tail.line), tail.over),
        }
    }
}

impl From<workbench::Strands> for Strands {
    fn from(all: workbench::Strands) -> Self {
        let strand = |strand: workbench::Strand| Strand {
            id: strand.id.0,
            label: strand.label,
            yarn: strand.yarn,
            first_row: strand.first_row,
            last_row: strand.last_row,
            stitches: strand.stitches,
            carried: strand.carried,
            lifts: strand.lifts,
            length_m: strand.length.as_metres(),
        };
        let row = |steps: &Vec<Step>| RowOfSteps { steps: steps.iter().map(StepArray::from).collect() };
        Self {
            revision: all.revision,
            strands: all.strands.into_iter().map(strand).collect(),
            rows: all.rows.iter().map(row).collect(),
        }
    }
}

/// A row in words.
#[derive(Debug, Serialize)]
pub struct RowInWords {
    /// From 1 at the bottom.
    pub number: usize,
    /// `RS` or `WS`: the side that faces the person.
    pub side: &'static str,
    /// `left` or `right`: the way it runs on the chart.
    pub direction: &'static str,
    /// What to do.
    pub text: String,
}

impl From<workbench::RowInWords> for RowInWords {
    fn from(row: workbench::RowInWords) -> Self {
        Self {
            number: row.number,
            side: match row.side {
                model::Side::Right => "RS",
                model::Side::Wrong => "WS",
            },
            direction: match row.direction {
                model::Direction::Leftwards => "left",
                model::Direction::Rightwards => "right",
            },
            text: row.text,
        }
    }
}

/// Units of length.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Units {
    /// Centimetres.
    Cm,
    /// Inches.
    In,
}

/// Whose names of stitches.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Terms {
    /// US.
    Us,
    /// UK.
    Uk,
}

impl From<Terms> for workbench::Terms {
    fn from(terms: Terms) -> Self {
        match terms {
            Terms::Us => Self::Us,
            Terms::Uk => Self::Uk,
        }
    }
}

/// The hand that holds the hook.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum HandWord {
    /// Right.
    Right,
    /// Left.
    Left,
}

impl From<Hand> for HandWord {
    fn from(hand: Hand) -> Self {
        match hand {
            Hand::Right => Self::Right,
            Hand::Left => Self::Left,
        }
    }
}

impl From<HandWord> for Hand {
    fn from(hand: HandWord) -> Self {
        match hand {
            HandWord::Right => Self::Right,
            HandWord::Left => Self::Left,
        }
    }
}

/// Colours of the page.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Theme {
    /// As the system has it.
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// The person's settings.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// `cm` or `in`.
    pub units: Units,
    /// `us` or `uk`.
    pub terms: Terms,
    /// `right` or `left`.
    pub hand: HandWord,
    /// As in `en`.
    pub language: String,
    /// `system`, `light` or `dark`.
    pub theme: Theme,
}

impl From<workbench::Settings> for Settings {
    fn from(settings: workbench::Settings) -> Self {
        Self {
            units: match settings.units {
                workbench::Units::Cm => Units::Cm,
                workbench::Units::Inches => Units::In,
            },
            terms: match settings.terms {
                workbench::Terms::Us => Terms::Us,
                workbench::Terms::Uk => Terms::Uk,
            },
            hand: settings.hand.into(),
            language: settings.language,
            theme: match settings.theme {
                workbench::Theme::System => Theme::System,
                workbench::Theme::Light => Theme::Light,
                workbench::Theme::Dark => Theme::Dark,
            },
        }
    }
}

impl From<Settings> for workbench::Settings {
    fn from(settings: Settings) -> Self {
        Self {
            units: match settings.units {
                Units::Cm => workbench::Units::Cm,
                Units::In => workbench::Units::Inches,
            },
            terms: settings.terms.into(),
            hand: settings.hand.into(),
            language: settings.language,
            theme: match settings.theme {
                Theme::System => workbench::Theme::System,
                Theme::Light => workbench::Theme::Light,
                Theme::Dark => workbench::Theme::Dark,
            },
        }
    }
}
