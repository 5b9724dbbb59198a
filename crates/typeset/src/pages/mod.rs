//! The pattern on paper: a booklet as PDF, set by Typst.
//!
//! [`pages`] takes data and lays it out; [`Pages::pdf`] gives the bytes. The template `pattern.typ`
//! says how it looks. All that a person typed reaches it as data, cleaned of what the faces can't
//! print, and never as markup. The PDF is checked against PDF/UA-1 as it is written.

mod clean;
mod data;
mod ink;
mod piece;
mod tiling;
mod world;

pub use clean::has_unprintable;

use core::fmt;

use booklet::Booklet;
use typst::diag::SourceDiagnostic;
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};
use typst_svg::SvgOptions;

use crate::PictureError;

/// What the pages are printed on and with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Paper {
    /// Its size.
    pub sheet: Sheet,
    /// The printer's inks.
    pub ink: Ink,
    /// Size of the print.
    pub print: Print,
    /// Whether the list of ends to weave in is printed.
    pub ends: bool,
    /// Whether tags for the strands are printed, to cut out.
    pub tags: bool,
}

/// Sizes of paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Sheet {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl Sheet {
    /// Width and height in hundredths of a millimetre.
    const fn size(self) -> (u32, u32) {
        match self {
            Self::A4 => (21_000, 29_700),
            Self::Letter => (21_590, 27_940),
        }
    }
}

/// Inks of a printer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Ink {
    /// Cells in the colours of their yarns.
    #[default]
    Colour,
    /// Cells white or light grey, told apart by their symbols.
    Black,
}

/// Sizes of print.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Print {
    /// No text smaller than 10 points; symbols on the chart at least 2 mm high.
    #[default]
    Usual,
    /// No text smaller than 16 points; symbols on the chart at least 2.6 mm high.
    Large,
}

/// Why there are no pages.
#[derive(Debug)]
pub enum PagesError {
    /// The chart would be cut into more pieces than anybody prints.
    TooLarge {
        /// Columns of the chart.
        columns: usize,
        /// Rows of the chart.
        rows: usize,
    },
    /// The picture of the fabric can't be drawn.
    Picture(PictureError),
    /// The typesetter refused, which is a fault of this program: what it said, line by line.
    Typesetting(Vec<String>),
}

impl fmt::Display for PagesError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge { columns, rows } => {
                write!(f, "a chart of {columns} stitches by {rows} rows is too large to print")
            }
            Self::Picture(error) => error.fmt(f),
            Self::Typesetting(said) => write!(f, "the pages can't be set: {}", said.join("; ")),
        }
    }
}

impl std::error::Error for PagesError {}

impl From<PictureError> for PagesError {
    fn from(error: PictureError) -> Self {
        Self::Picture(error)
    }
}

/// Pages that are laid out, ready to be written or looked at.
#[derive(Clone, Debug)]
pub struct Pages {
    document: PagedDocument,
}

/// Lays a booklet out on paper: cover, yarns and key, gauge, how to read, chart, rows in words, what
/// to wind, tags and ends where they are asked for, border, and the rest. The same booklet and paper
/// give the same pages, to the byte.
///
/// # Errors
/// When the chart is too large to be printed; all else that may be wrong is a fault of this program.
pub fn pages(booklet: &Booklet<'_>, paper: &Paper) -> Result<Pages, PagesError> {
    let desk = world::Desk::new(data::inputs(booklet, paper)?);
    let document = typst::compile::<PagedDocument>(&desk).output.map_err(|said| refused(&said))?;
    // What was kept to set the same again faster is of no more use, and large.
    typst::comemo::evict(0);
    Ok(Pages { document })
}

fn refused(said: &[SourceDiagnostic]) -> PagesError {
    let hints =
        |said: &SourceDiagnostic| said.hints.iter().map(|hint| hint.v.to_string()).collect::<Vec<_>>();
    PagesError::Typesetting(
        said.iter().flat_map(|said| [vec![said.message.to_string()], hints(said)].concat()).collect(),
    )
}

impl Pages {
    /// How many pages there are.
    #[must_use]
    pub fn count(&self) -> usize {
        self.document.pages().len()
    }

    /// The pages as a PDF that claims PDF/UA-1, with its fonts in it and no date.
    ///
    /// # Errors
    /// When the pages break a rule of PDF/UA-1, which is a fault of this program.
    pub fn pdf(&self) -> Result<Vec<u8>, PagesError> {
        let standards = PdfStandards::new(&[PdfStandard::Ua_1])
            .map_err(|said| PagesError::Typesetting(vec![said.message().to_string()]))?;
        let options = PdfOptions {
            creator: Smart::Custom(Some("Strandwright".to_owned())),
            standards,
            ..PdfOptions::default()
        };
        let pdf = typst_pdf::pdf(&self.document, &options).map_err(|said| refused(&said))?;
        typst::comemo::evict(0);
        Ok(pdf)
    }

    /// A page as an SVG to look at on a screen, from 0; `None` past the last.
    #[must_use]
    pub fn preview(&self, page: usize) -> Option<String> {
        self.document.pages().get(page).map(|page| typst_svg::svg(page, &SvgOptions::default()))
    }
}

#[cfg(test)]
mod tests;
