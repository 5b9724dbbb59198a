//! Charting a picture: what is wished, and what came of it.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde::{Deserialize, Serialize};

use super::{Changed, Gauge, Numbers, Yarn, yarns_meant};
use crate::failure::Failure;

/// How a picture is to be charted.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PictureWish {
    /// Degrees clockwise: 0, 90, 180 or 270.
    #[serde(default)]
    pub turn: u32,
    /// The part of the turned picture; all of it where left out.
    pub crop: Option<Part>,
    /// Finished width; one side may be left out.
    pub width: Option<Extent>,
    /// Finished height.
    pub height: Option<Extent>,
    /// Its gauge.
    pub gauge: Gauge,
    /// Which yarns.
    pub colours: Colours,
    /// How much ease of working counts: 0, each stitch takes the nearest yarn, to 10.
    #[serde(default)]
    pub ease: u8,
    /// What matters in the picture.
    pub important: Option<Important>,
    /// How many charts to choose from, 5 to 7: for those alone.
    #[serde(skip_serializing)]
    pub charts: Option<usize>,
    /// The yarns to choose from; the person's list where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub yarns: Option<Vec<Yarn>>,
}

/// A part of a picture: from 0 to 1 of its sides, from the top left.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Of the width.
    pub width: f64,
    /// Of the height.
    pub height: f64,
}

/// How wide or high: `{"cm": 110}`.
#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Extent {
    /// Centimetres.
    Cm(f64),
    /// Inches.
    Inches(f64),
    /// Stitches, or rows.
    Stitches(u32),
}

/// Which yarns: `{"count": 8}`, with more to it or not, or `{"keys": ["oat", "ink"]}`.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Colours {
    /// The best so many.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub count: Option<usize>,
    /// Keys of yarns that must be among them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub keep: Vec<String>,
    /// Keys of yarns that must not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub without: Vec<String>,
    /// Only yarns of which a ball is on hand, beside those that must be among them.
    #[serde(default, skip_serializing_if = "core::ops::Not::not")]
    pub on_hand: bool,
    /// These, and nothing of the others.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keys: Option<Vec<String>>,
}

impl Colours {
    fn meant(self) -> Result<workbench::WishedColours, Failure> {
        match (self.count, self.keys) {
            (Some(count), None) => Ok(workbench::WishedColours::Choose(workbench::ChosenColours {
                count,
                keep: self.keep,
                without: self.without,
                on_hand: self.on_hand,
            })),
            (None, Some(keys)) if self.keep.is_empty() && self.without.is_empty() && !self.on_hand => {
                Ok(workbench::WishedColours::Keys(keys))
            }
            _ => {
                let what = "either a count or keys are needed, and keep, without and on_hand go with a count";
                Err(Failure::bad(what, "colours", "give {\"count\": 8} or {\"keys\": [\"oat\"]}"))
            }
        }
    }
}

/// What the person painted as important, over the part of the picture that is used.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Important {
    /// Cells across, at most 256.
    pub columns: usize,
    /// Cells down, at most 256.
    pub rows: usize,
    /// Base64 of one byte a cell, row by row from the top left: 0 says nothing, 255 that every stitch
    /// counts.
    pub weights: String,
}

/// The most cells of a map of what matters, either way.
const MAX_MAP: usize = 256;

impl Important {
    fn meant(self) -> Result<workbench::Important, Failure> {
        let Self { columns, rows, weights } = self;
        let bad = |what: String, hint: &str| Err(Failure::bad(what, "important", hint));
        if columns > MAX_MAP || rows > MAX_MAP {
            let hint = "send a coarser map";
            return bad(
                format!("{columns} by {rows} cells are too many, {MAX_MAP} is the most either way"),
                hint,
            );
        }
        let weights = STANDARD
            .decode(weights)
            .map_err(|error| Failure::bad(error, "important.weights", "send one byte a cell as base64"))?;
        if weights.len() != columns * rows {
            let what = format!("{} weights do not fill {columns} by {rows} cells", weights.len());
            return bad(what, "send one byte for each cell");
        }
        Ok(workbench::Important { columns, rows, weights })
    }
}

impl From<&workbench::PictureWish> for PictureWish {
    fn from(wish: &workbench::PictureWish) -> Self {
        let extent = |extent| match extent {
            workbench::Extent::Cm(cm) => Extent::Cm(cm),
            workbench::Extent::Inches(inches) => Extent::Inches(inches),
            workbench::Extent::Stitches(stitches) => Extent::Stitches(stitches),
        };
        Self {
            turn: wish.turn.as_degrees(),
            crop: wish.crop.map(|part| Part { x: part.x, y: part.y, width: part.width, height: part.height }),
            width: wish.width.map(extent),
            height: wish.height.map(extent),
            gauge: Gauge::from(&wish.gauge),
            colours: match &wish.colours {
                workbench::WishedColours::Choose(chosen) => Colours {
                    count: Some(chosen.count),
                    keep: chosen.keep.clone(),
                    without: chosen.without.clone(),
                    on_hand: chosen.on_hand,
                    keys: None,
                },
                workbench::WishedColours::Keys(keys) => {
                    Colours { keys: Some(keys.clone()), ..Colours::default() }
                }
            },
            ease: wish.ease,
            important: wish.important.as_ref().map(|important| Important {
                columns: important.columns,
                rows: important.rows,
                weights: STANDARD.encode(&important.weights),
            }),
            charts: None,
            yarns: None,
        }
    }
}

impl PictureWish {
    pub(crate) fn meant(self) -> Result<workbench::PictureWish, Failure> {
        let turn = workbench::Turn::degrees(self.turn).ok_or_else(|| {
            Failure::bad(format!("{} degrees are no turn", self.turn), "turn", "give 0, 90, 180 or 270")
        })?;
        let extent = |extent| match extent {
            Extent::Cm(cm) => workbench::Extent::Cm(cm),
            Extent::Inches(inches) => workbench::Extent::Inches(inches),
            Extent::Stitches(stitches) => workbench::Extent::Stitches(stitches),
        };
        Ok(workbench::PictureWish {
            turn,
            crop: self.crop.map(|part| workbench::Part {
                x: part.x,
                y: part.y,
                width: part.width,
                height: part.height,
            }),
            width: self.width.map(extent),
            height: self.height.map(extent),
            gauge: self.gauge.meant()?,
            colours: self.colours.meant()?,
            ease: self.ease,
            important: self.important.map(Important::meant).transpose()?,
            yarns: self.yarns.map(yarns_meant).transpose()?,
        })
    }
}

/// What charting a picture again came to.
#[derive(Debug, Serialize)]
pub struct ChartedAgain {
    /// What changed.
    #[serde(flatten)]
    pub changed: Changed,
    /// What the person should know.
    pub notes: Vec<String>,
    /// Mean CIEDE2000 difference of picture and yarn, stitch by stitch.
    pub mean_difference: f64,
    /// The same as from across the room.
    pub blurred_difference: f64,
}

impl From<workbench::ChartedAgain> for ChartedAgain {
    fn from(charted: workbench::ChartedAgain) -> Self {
        Self {
            changed: charted.changed.into(),
            notes: charted.notes,
            mean_difference: charted.mean_difference,
            blurred_difference: charted.blurred_difference,
        }
    }
}

/// A chart of the picture that could be taken.
#[derive(Debug, Serialize)]
pub struct Choice {
    /// Its number.
    pub at: usize,
    /// Stitches in a row.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// What its plan comes to.
    pub plan: Numbers,
    /// Mean CIEDE2000 difference of picture and yarn, stitch by stitch.
    pub mean_difference: f64,
    /// The same as from across the room.
    pub blurred_difference: f64,
    /// Whether every stitch has the nearest yarn.
    pub plain: bool,
}

impl From<&workbench::Choice> for Choice {
    fn from(choice: &workbench::Choice) -> Self {
        Self {
            at: choice.at,
            columns: choice.columns(),
            rows: choice.rows(),
            plan: choice.numbers.into(),
            mean_difference: choice.mean_difference,
            blurred_difference: choice.blurred_difference,
            plain: choice.plain,
        }
    }
}

/// Charts to choose from, as far as they are found.
#[derive(Debug, Serialize)]
pub struct Choices {
    /// From the one most like the picture to the easiest.
    pub choices: Vec<Choice>,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// Which of the charts found to take.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakeChoice {
    /// The revision of the blanket that was seen.
    pub revision: u64,
    /// The work that found it.
    pub job: u64,
    /// Its number.
    pub at: usize,
}
