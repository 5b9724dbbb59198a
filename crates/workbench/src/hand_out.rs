//! What is handed out of a blanket: pictures, strands, rows, files.

use std::sync::Arc;

use model::{Gauge, Hand, RowIndex, Side};
use replay::ProvenPlan;

use crate::{
    BlanketId, Failure, File, Handed, Revision, RowInWords, Strand, Strands, Terms, Workbench, picture, words,
};

/// A thumbnail's longest side in pixels.
const THUMBNAIL: u32 = 240;

/// The longest side in pixels of the fabric to keep.
const FABRIC: u32 = 2400;

/// Bounds of the longest side of a picture for the screen.
const SHOWN: core::ops::RangeInclusive<u32> = 16..=4096;

/// A plan to hand something out of.
pub(crate) struct Proven {
    pub(crate) name: String,
    pub(crate) revision: Revision,
    pub(crate) gauge: Gauge,
    pub(crate) hand: Hand,
    pub(crate) plan: Arc<ProvenPlan>,
    /// What is kept for its making, as it lies on the shelf.
    pub(crate) making: Option<String>,
}

impl Workbench {
    pub(crate) fn proven(&self, id: BlanketId) -> Result<Proven, Failure> {
        self.with_session(id, |kept, session| {
            Ok(Proven {
                name: kept.name,
                revision: kept.revision,
                gauge: session.gauge,
                hand: session.hand,
                plan: Arc::clone(&session.proven),
                making: kept.making,
            })
        })
    }

    /// A blanket's picture, upright, as a JPEG of at most so many pixels either way. Nothing that
    /// came with the file goes out with it.
    ///
    /// # Errors
    /// When there is no such blanket, it has no picture, or the shelf can't be read.
    pub fn picture(&self, id: BlanketId, max: u32) -> Result<Handed, Failure> {
        let read = picture::read(&self.store.picture(id)?)?.value;
        let bytes = picture::shown(&read, max.clamp(*SHOWN.start(), *SHOWN.end()))?;
        Ok(Handed { name: "picture.jpg".to_owned(), media_type: "image/jpeg", bytes })
    }

    /// The fabric in small, as a PNG in the proportions of the finished piece.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn thumbnail(&self, id: BlanketId) -> Result<Handed, Failure> {
        let fabric = self.store.blanket(id)?.fabric;
        let bytes =
            typeset::fabric_thumbnail(&fabric.chart, &fabric.gauge, THUMBNAIL).map_err(Failure::defect)?;
        Ok(Handed { name: "thumbnail.png".to_owned(), media_type: "image/png", bytes })
    }

    /// Every strand's way.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn strands(&self, id: BlanketId) -> Result<Strands, Failure> {
        let Proven { plan: proven, revision, .. } = self.proven(id)?;
        let plan = proven.plan();
        let labels = plan.labels(proven.chart().palette());
        let strands = (0..).map(model::StrandId).zip(labels).zip(&plan.strands).zip(proven.strands());
        let strands = strands.map(|(((id, label), claim), facts)| Strand {
            id,
            label,
            yarn: claim.yarn.as_u8(),
            first_row: facts.first_row.0,
            last_row: facts.last_row.0,
            stitches: facts.stitches,
            carried: facts.carried,
            lifts: facts.lifts,
            length: claim.length,
        });
        Ok(Strands {
            revision,
            strands: strands.collect(),
            rows: plan.rows.iter().map(|row| row.steps.clone()).collect(),
        })
    }

    /// One row in words; the first comes with what is to be done before it.
    ///
    /// # Errors
    /// When there is no such blanket or row, or the shelf can't be read.
    pub fn row(&self, id: BlanketId, number: usize, terms: Terms) -> Result<RowInWords, Failure> {
        let Proven { plan: proven, hand, .. } = self.proven(id)?;
        let rows = proven.chart().rows();
        if !(1..=rows).contains(&number) {
            let what = format!("there is no row {number}, the rows are 1 to {rows}");
            return Err(Failure::new(crate::Kind::NotFound, what, "the rows", ""));
        }
        let row = RowIndex(number - 1);
        let text = pattern::row(&proven, terms, row)
            .ok_or_else(|| Failure::defect(format!("row {number} is not written")))?;
        Ok(RowInWords { number, side: row.side(), direction: row.direction(hand), text })
    }

    /// A file of a blanket.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn file(&self, id: BlanketId, file: File) -> Result<Handed, Failure> {
        let Proven { name, gauge, hand, plan: proven, .. } = self.proven(id)?;
        let chart = proven.chart();
        let terms = self.settings()?.terms;
        let (media_type, bytes) = match file {
            File::ChartPng => ("image/png", formats::write_chart_png(chart, Some(&gauge))),
            File::ChartCsv => ("text/csv; charset=utf-8", formats::write_chart_csv(chart).into_bytes()),
            File::ChartPicture => (
                "image/png",
                typeset::chart_picture(chart, &gauge, hand)
                    .map_err(|error| Failure::bad(error, "the chart's picture", "make a smaller chart"))?,
            ),
            File::ChartSvg => ("image/svg+xml", typeset::chart_svg(chart, &gauge, hand).into_bytes()),
            File::FabricRight => ("image/png", face(&proven, &gauge, Side::Right)?),
            File::FabricWrong => ("image/png", face(&proven, &gauge, Side::Wrong)?),
            File::Plan => ("application/json", formats::write_plan(chart, proven.plan()).into_bytes()),
            File::Rows => ("text/plain; charset=utf-8", pattern::rows(&proven, terms).into_bytes()),
            File::Summary => {
                ("text/plain; charset=utf-8", pattern::summary(&proven, &gauge, terms, &[]).into_bytes())
            }
        };
        let name = match words::safe(&name) {
            name if name.is_empty() => file.name().to_owned(),
            name => format!("{name}-{}", file.name()),
        };
        Ok(Handed { name, media_type, bytes })
    }
}

/// One face of the fabric, to keep.
fn face(proven: &ProvenPlan, gauge: &Gauge, side: Side) -> Result<Vec<u8>, Failure> {
    typeset::fabric_preview(proven, gauge, side, &typeset::Part::Whole, FABRIC)
        .map_err(|error| Failure::bad(error, "the picture of the fabric", "make a smaller chart"))
}
