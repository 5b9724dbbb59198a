//! All that the typesetter can see: one template, four faces, and the data of one booklet. No file,
//! no network, no clock.

use std::sync::LazyLock;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Dict, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};

pub(super) use crate::canvas::{BOLD, REGULAR};

/// Arrows and signs of reckoning: some glyphs of Noto Sans Math; what was kept stands in `OFL.txt`.
pub(super) const MATHS: &[u8] = include_bytes!("../../fonts/NotoSansMath-Signs.ttf");
/// Boxes, hearts and stars: some glyphs of Noto Sans Symbols 2.
pub(super) const SIGNS: &[u8] = include_bytes!("../../fonts/NotoSansSymbols2-Signs.ttf");

const TEMPLATE: &str = include_str!("pattern.typ");

/// What every booklet is set with.
struct Shop {
    book: LazyHash<FontBook>,
    fonts: Vec<Font>,
    template: Source,
}

static SHOP: LazyLock<Shop> = LazyLock::new(|| {
    let faces = [REGULAR, BOLD, MATHS, SIGNS];
    let fonts: Vec<Font> = faces.into_iter().flat_map(|bytes| Font::iter(Bytes::new(bytes))).collect();
    let path = VirtualPath::new("pattern.typ").expect("a plain name is a path");
    let main = FileId::new(RootedPath::new(VirtualRoot::Project, path));
    Shop {
        book: LazyHash::new(FontBook::from_fonts(&fonts)),
        fonts,
        template: Source::new(main, TEMPLATE.to_owned()),
    }
});

/// The world of one booklet.
pub(super) struct Desk {
    library: LazyHash<Library>,
}

impl Desk {
    /// A world whose template finds that in `sys.inputs`.
    pub(super) fn new(inputs: Dict) -> Self {
        Self { library: LazyHash::new(Library::builder().with_inputs(inputs).build()) }
    }
}

impl World for Desk {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &SHOP.book
    }

    fn main(&self) -> FileId {
        SHOP.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == SHOP.template.id() { Ok(SHOP.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, _: FileId) -> FileResult<Bytes> {
        Err(FileError::AccessDenied)
    }

    fn font(&self, index: usize) -> Option<Font> {
        SHOP.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
