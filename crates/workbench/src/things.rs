//! What goes in and comes out: plain data in the person's words.

use model::{Gauge, Hand, Length, Side, Srgb, Step, StrandId, Yarn};

/// A change of the chart, and what it is said with.
pub use edits::{Edit, FramePlace, Mirrored, Offset, Place, Region, Shape, Within};

/// A blanket's number; never given twice.
pub use store::BlanketId;
/// A moment, in milliseconds since the start of 1970, UTC.
pub use store::Moment;

/// How often a blanket was changed. Whoever changes one says which revision they saw.
pub type Revision = u64;

/// A blanket as it stands on the shelf.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// Which.
    pub id: BlanketId,
    /// Its name.
    pub name: String,
    /// Whether it is the demo, of which everything is invented.
    pub invented: bool,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Finished width.
    pub width: Length,
    /// Finished height.
    pub height: Length,
    /// Colours of the yarns in its palette, in palette order.
    pub colours: Vec<Srgb>,
    /// When it was last changed, as in `2026-11-25T09:30:00Z`.
    pub changed: String,
    /// Whether it has a picture.
    pub has_picture: bool,
    /// Its revision.
    pub revision: Revision,
}

/// All blankets, those changed last first.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Shelf {
    /// Those on the shelf.
    pub blankets: Vec<Card>,
    /// Those set aside, the last one first.
    pub aside: Vec<Card>,
}

/// A blanket of one colour to begin with.
#[derive(Clone, Debug, PartialEq)]
pub struct Blank {
    /// Its name.
    pub name: String,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Its gauge.
    pub gauge: Gauge,
    /// Its palette; every stitch is of the first.
    pub yarns: Vec<Yarn>,
}

/// A new blanket.
#[derive(Clone, Debug, PartialEq)]
pub struct Made {
    /// Which.
    pub id: BlanketId,
    /// What the person should know of how it came about.
    pub notes: Vec<String>,
    /// Its picture's width and height in pixels, where it was made from one.
    pub picture: Option<(usize, usize)>,
}

/// A yarn of a blanket.
#[derive(Clone, Debug, PartialEq)]
pub struct PaletteEntry {
    /// The yarn.
    pub yarn: Yarn,
    /// Its symbol on the chart.
    pub symbol: String,
    /// Stitches of it.
    pub stitches: usize,
}

/// What a blanket's picture is.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureFacts {
    /// Name of the file it came from; may be empty.
    pub name: String,
    /// Width in pixels, upright.
    pub width: usize,
    /// Height in pixels, upright.
    pub height: usize,
    /// How it was last charted.
    pub request: Option<PictureWish>,
}

/// Hours of work: an estimate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hours {
    /// All of it.
    pub total: f64,
    /// Making stitches.
    pub stitches: f64,
    /// Changing, carrying and lifting strands.
    pub strands: f64,
    /// Joining, cutting and weaving in.
    pub ends: f64,
}

/// The numbers beside a chart. All are of a plan that was worked stitch by stitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Numbers {
    /// Ends to weave in: two for each strand.
    pub ends: usize,
    /// Strands.
    pub strands: usize,
    /// Most strands alive in one row.
    pub strands_at_once: usize,
    /// Hours of work.
    pub hours: Hours,
    /// Stitches passed in carries.
    pub carried: u64,
    /// Most stitches of other yarns passed in one go.
    pub longest_carry: u32,
    /// Cost in stitches' worth of handling.
    pub cost: f64,
    /// No plan can cost less.
    pub bound: f64,
    /// `(cost − bound) / cost`.
    pub gap: f64,
    /// Runs of one colour.
    pub runs: usize,
    /// Colours that make a stitch.
    pub colours: usize,
    /// How long planning and proving took.
    pub milliseconds: u64,
}

/// A blanket, opened.
#[derive(Clone, Debug, PartialEq)]
pub struct Blanket {
    /// Which.
    pub id: BlanketId,
    /// Its name.
    pub name: String,
    /// Whether it is the demo, of which everything is invented.
    pub invented: bool,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Its gauge.
    pub gauge: Gauge,
    /// The hand that holds the hook, from the settings.
    pub hand: Hand,
    /// Its yarns.
    pub palette: Vec<PaletteEntry>,
    /// One palette entry a cell, row by row from the bottom, each from the left.
    pub cells: Vec<u8>,
    /// Name of the operation that take back would take back.
    pub can_take_back: Option<String>,
    /// Name of the operation that do again would do again.
    pub can_do_again: Option<String>,
    /// Its revision.
    pub revision: Revision,
    /// Its picture.
    pub picture: Option<PictureFacts>,
    /// The numbers.
    pub plan: Numbers,
}

/// What a change came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Changed {
    /// The revision now.
    pub revision: Revision,
    /// The cells that changed, by place and palette entry. Empty where all is to be read anew.
    pub cells: Vec<(usize, u8)>,
    /// Whether the whole chart changed, its size maybe: read the blanket anew.
    pub reload: bool,
    /// Whether what is kept for the making changed: read it anew.
    pub making: bool,
    /// The palette.
    pub palette: Vec<PaletteEntry>,
    /// The numbers.
    pub plan: Numbers,
    /// What it did to them.
    pub by: Difference,
    /// Name of the operation that take back would take back.
    pub can_take_back: Option<String>,
    /// Name of the operation that do again would do again.
    pub can_do_again: Option<String>,
}

/// How far some numbers went up, or down where it is below zero.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Difference {
    /// Ends to weave in.
    pub ends: i64,
    /// Strands.
    pub strands: i64,
    /// Hours of work.
    pub hours: f64,
}

impl Difference {
    /// From some numbers to those after them.
    pub(crate) fn between(before: &Numbers, after: &Numbers) -> Self {
        let by = |before: usize, after: usize| {
            let count = |count: usize| i64::try_from(count).expect("a chart has fewer stitches than that");
            count(after) - count(before)
        };
        Self {
            ends: by(before.ends, after.ends),
            strands: by(before.strands, after.strands),
            hours: after.hours.total - before.hours.total,
        }
    }
}

/// How wide or high the piece is to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extent {
    /// Centimetres.
    Cm(f64),
    /// Inches.
    Inches(f64),
    /// Stitches across, rows upwards.
    Stitches(u32),
}

/// A rectangle of the turned picture, each number from 0 to 1 of its side, from the top left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Its width.
    pub width: f64,
    /// Its height.
    pub height: f64,
}

/// A quarter turn or several, clockwise, of the upright picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Turn {
    /// As it is.
    #[default]
    None,
    /// By 90°.
    Quarter,
    /// By 180°.
    Half,
    /// By 270°.
    ThreeQuarters,
}

impl Turn {
    /// The turn by so many degrees, where it is one.
    #[must_use]
    pub const fn degrees(degrees: u32) -> Option<Self> {
        match degrees {
            0 => Some(Self::None),
            90 => Some(Self::Quarter),
            180 => Some(Self::Half),
            270 => Some(Self::ThreeQuarters),
            _ => None,
        }
    }

    /// Its degrees.
    #[must_use]
    pub const fn as_degrees(self) -> u32 {
        match self {
            Self::None => 0,
            Self::Quarter => 90,
            Self::Half => 180,
            Self::ThreeQuarters => 270,
        }
    }
}

/// Which yarns of the list a chart is made of.
#[derive(Clone, Debug, PartialEq)]
pub enum WishedColours {
    /// The best so many.
    Choose(ChosenColours),
    /// Those with these keys.
    Keys(Vec<String>),
}

impl WishedColours {
    /// The best so many, whichever they are.
    #[must_use]
    pub fn count(count: usize) -> Self {
        Self::Choose(ChosenColours { count, ..ChosenColours::default() })
    }
}

/// How yarns are chosen for the person.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct ChosenColours {
    /// How many, those that must be in included.
    pub count: usize,
    /// Keys of yarns that must be in.
    pub keep: Vec<String>,
    /// Keys of yarns that must not.
    pub without: Vec<String>,
    /// Only yarns of which a ball is on hand, beside those that must be in.
    pub on_hand: bool,
}

/// What a person painted as important, over the part of the picture that is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Important {
    /// Cells across.
    pub columns: usize,
    /// Cells down.
    pub rows: usize,
    /// One weight a cell, row by row from the top left: 0 says nothing, 255 that every stitch counts.
    pub weights: Vec<u8>,
}

/// How a picture is to be charted.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureWish {
    /// Turned first.
    pub turn: Turn,
    /// Then cut to this part; all of it where `None`.
    pub crop: Option<Part>,
    /// Finished width; where only one side is given, the other follows from the picture.
    pub width: Option<Extent>,
    /// Finished height.
    pub height: Option<Extent>,
    /// Gauge.
    pub gauge: Gauge,
    /// Which yarns.
    pub colours: WishedColours,
    /// How much ease of working counts: 0, each stitch takes the nearest yarn, to 10.
    pub ease: u8,
    /// What the person painted as important.
    pub important: Option<Important>,
    /// The yarns to choose from; the person's list where `None`. Not kept with the blanket.
    pub yarns: Option<Vec<Yarn>>,
}

/// A picture charted again.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartedAgain {
    /// What changed.
    pub changed: Changed,
    /// What the person should know.
    pub notes: Vec<String>,
    /// Mean CIEDE2000 difference of picture and yarn, stitch by stitch.
    pub mean_difference: f64,
    /// The same as from across the room.
    pub blurred_difference: f64,
}

/// What long work is busy with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Reading the picture.
    Reading,
    /// Making the chart.
    Charting,
    /// Planning every strand.
    Planning,
    /// Working the plan stitch by stitch.
    Proving,
}

impl Stage {
    /// Its name for documents.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Reading => "reading",
            Self::Charting => "charting",
            Self::Planning => "planning",
            Self::Proving => "proving",
        }
    }
}

/// Is told what long work is at and how much of that stage is done, 0 to 1, and answers whether to
/// go on.
pub type Watch<'a> = &'a (dyn Fn(Stage, f64) -> bool + Sync);

/// The watch of a caller that neither shows progress nor stops anything.
#[must_use]
pub fn unwatched(_: Stage, _: f64) -> bool {
    true
}

/// A file or picture handed out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Handed {
    /// A name that is safe on every system.
    pub name: String,
    /// Its media type, as in `image/png`.
    pub media_type: &'static str,
    /// The bytes.
    pub bytes: Vec<u8>,
}

/// The files of a blanket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    /// `chart.png`: one pixel a stitch.
    ChartPng,
    /// `chart.csv`: one key a stitch.
    ChartCsv,
    /// `chart-picture.png`: to look at and to print.
    ChartPicture,
    /// `chart.svg`: the same as lines and letters.
    ChartSvg,
    /// `fabric-right-side.png`: how the finished piece looks.
    FabricRight,
    /// `fabric-wrong-side.png`: the same turned over.
    FabricWrong,
    /// `plan.json`.
    Plan,
    /// `rows.txt`: the rows in words.
    Rows,
    /// `summary.txt`.
    Summary,
}

impl File {
    /// All of them.
    pub const ALL: [Self; 9] = [
        Self::ChartPng,
        Self::ChartCsv,
        Self::ChartPicture,
        Self::ChartSvg,
        Self::FabricRight,
        Self::FabricWrong,
        Self::Plan,
        Self::Rows,
        Self::Summary,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::ChartPng => "chart.png",
            Self::ChartCsv => "chart.csv",
            Self::ChartPicture => "chart-picture.png",
            Self::ChartSvg => "chart.svg",
            Self::FabricRight => "fabric-right-side.png",
            Self::FabricWrong => "fabric-wrong-side.png",
            Self::Plan => "plan.json",
            Self::Rows => "rows.txt",
            Self::Summary => "summary.txt",
        }
    }

    /// The file of that name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|file| file.name() == name)
    }
}

/// One strand, from its join to its cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Strand {
    /// Its number.
    pub id: StrandId,
    /// Its label, as in `B3`.
    pub label: String,
    /// Palette entry.
    pub yarn: u8,
    /// Row of its join, from 0 at the bottom.
    pub first_row: usize,
    /// Row of its cut.
    pub last_row: usize,
    /// Stitches that it makes.
    pub stitches: u32,
    /// Stitches that it passes.
    pub carried: u32,
    /// Rows that it climbs by being locked.
    pub lifts: u32,
    /// Yarn that it takes.
    pub length: Length,
}

/// Every strand's way.
#[derive(Clone, Debug, PartialEq)]
pub struct Strands {
    /// The revision it is of.
    pub revision: Revision,
    /// The strands, in the order of their joins.
    pub strands: Vec<Strand>,
    /// The steps of each row from the bottom, in the order of work.
    pub rows: Vec<Vec<Step>>,
}

/// One row in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowInWords {
    /// As people count it: from 1 at the bottom.
    pub number: usize,
    /// The side that faces the person.
    pub side: Side,
    /// The way it runs on the chart.
    pub direction: model::Direction,
    /// What to do.
    pub text: String,
}

/// Units that lengths are shown in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Centimetres.
    #[default]
    Cm,
    /// Inches.
    Inches,
}

/// Colours of the program itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Theme {
    /// As the system has it.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// Whose names of stitches are used.
pub use pattern::Terms;

/// The person's settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Units.
    pub units: Units,
    /// Terms.
    pub terms: Terms,
    /// The hand that holds the hook.
    pub hand: Hand,
    /// Language of the program: two or three small letters, as in `en`.
    pub language: String,
    /// Colours of the program.
    pub theme: Theme,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            units: Units::default(),
            terms: Terms::default(),
            hand: Hand::default(),
            language: "en".to_owned(),
            theme: Theme::default(),
        }
    }
}
