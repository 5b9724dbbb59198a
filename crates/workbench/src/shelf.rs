//! The shelf: looking at it, new blankets, names, setting aside.

use formats::{ChartFile, SizeLimits};
use model::Chart;
use store::{Fabric, NewBlanket, NewPicture};

use crate::charts::{FromPicture, charted};
use crate::mine::demo_yarns;
use crate::{
    Blank, BlanketId, Card, Extent, Failure, Made, PictureWish, Shelf, Turn, Watch, WishedColours, Workbench,
    words,
};

/// The invented picture of the invented library's blanket (`demo/README.md`).
const DEMO_PICTURE: &[u8] = include_bytes!("../../../demo/picture.png");
/// Its name says that it is invented.
const DEMO_NAME: &str = "Merrow Quay reading-room blanket (invented demo)";
/// As the project's first page makes it.
const DEMO_COLOURS: usize = 7;
const DEMO_WIDTH: Extent = Extent::Cm(110.0);

/// A first try of a picture: a throw's width, and colours that one person can carry about.
const FIRST_WIDTH: Extent = Extent::Cm(100.0);
const FIRST_COLOURS: usize = 8;

/// The most bytes of a chart file.
const MAX_CHART_BYTES: usize = 16 << 20;

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";

impl Workbench {
    /// All blankets.
    ///
    /// # Errors
    /// When the shelf can't be read.
    pub fn shelf(&self) -> Result<Shelf, Failure> {
        let mut shelf = Shelf::default();
        for card in self.store.cards()? {
            let list = if card.aside { &mut shelf.aside } else { &mut shelf.blankets };
            list.push(Card {
                id: card.id,
                name: card.name,
                invented: card.invented,
                columns: card.columns,
                rows: card.rows,
                width: card.gauge.width_of(card.columns),
                height: card.gauge.height_of(card.rows),
                colours: card.palette.iter().map(|yarn| yarn.colour).collect(),
                changed: card.changed,
                has_picture: card.has_picture,
                revision: card.revision,
            });
        }
        Ok(shelf)
    }

    /// A blanket of one colour.
    ///
    /// # Errors
    /// When its name, size or yarns can't be, or the shelf can't be written.
    pub fn blank(&self, wish: &Blank) -> Result<BlanketId, Failure> {
        let name = words::name(&wish.name)?;
        words::size(wish.columns, wish.rows)?;
        let palette = words::palette(&wish.yarns)?;
        let chart = Chart::new(palette, wish.rows, wish.columns, &vec![0; wish.rows * wish.columns])?;
        self.add(&name, &Fabric { chart, gauge: wish.gauge, request: None })
    }

    /// The demo blanket, made anew. Everything of it is invented, and it says so.
    ///
    /// # Errors
    /// When the shelf can't be written.
    pub fn demo(&self) -> Result<BlanketId, Failure> {
        let yarns = demo_yarns()?;
        let wish = PictureWish {
            turn: Turn::None,
            crop: None,
            width: Some(DEMO_WIDTH),
            height: None,
            gauge: words::usual_gauge(&yarns, &mut Vec::new()),
            colours: WishedColours::count(DEMO_COLOURS),
            ease: 0,
            important: None,
            yarns: None,
        };
        let made = charted(DEMO_PICTURE, &wish, &yarns, self.settings()?.hand, &crate::unwatched)?;
        self.add_with_picture(DEMO_NAME, true, &made, ("picture.png", DEMO_PICTURE))
    }

    /// A blanket from a chart file: PNG, or CSV with the keys of the person's list.
    ///
    /// # Errors
    /// When the file is neither or has a fault, or the shelf can't be written.
    pub fn from_chart(&self, name: &str, bytes: &[u8]) -> Result<Made, Failure> {
        const PLACE: &str = "the chart file";
        let name = words::name(name)?;
        if bytes.len() > MAX_CHART_BYTES {
            let what =
                format!("the file has {} MB, the most is {}", bytes.len() >> 20, MAX_CHART_BYTES >> 20);
            return Err(Failure::bad(what, PLACE, "give a chart: one pixel or one key a stitch"));
        }
        let list = self.yarns()?;
        let list = if list.is_empty() { None } else { Some(list.as_slice()) };
        let refused =
            |hint: &'static str| move |faults: formats::Faults| Failure::document(&faults, PLACE, hint);
        let mut notes = Vec::new();
        let (chart, gauge) = if bytes.starts_with(PNG) {
            let hint = "for a photograph or a drawing begin from a picture instead";
            let limits =
                SizeLimits { cells: words::MAX_CELLS, bytes: MAX_CHART_BYTES, ..SizeLimits::default() };
            let file = formats::read_chart_png(bytes, &limits).map_err(refused(hint))?;
            notes.extend(file.notes);
            let ChartFile { chart, gauge, named } = file.value;
            match list {
                Some(list) => {
                    let chart = formats::name_yarns(chart, named, list);
                    notes.extend(chart.notes);
                    (chart.value, gauge)
                }
                None => (chart, gauge),
            }
        } else {
            let hint = "give a chart as PNG, one pixel a stitch, or as CSV, one key a stitch";
            let text = formats::utf8(bytes).map_err(refused(hint))?;
            // Keys of the person's list, or colours.
            let read = match (list, formats::read_chart_csv(text, None)) {
                (_, Ok(chart)) => Ok(chart),
                (list @ Some(_), Err(_)) => formats::read_chart_csv(text, list),
                (None, Err(faults)) => Err(faults),
            };
            let chart = read.map_err(refused(hint))?;
            notes.extend(chart.notes);
            (chart.value, None)
        };
        words::size(chart.columns(), chart.rows())?;
        let gauge = gauge.unwrap_or_else(|| words::usual_gauge(chart.palette().yarns(), &mut notes));
        let id = self.add(&name, &Fabric { chart, gauge, request: None })?;
        Ok(Made { id, notes, picture: None })
    }

    /// A blanket from a picture, with a first try of a chart.
    ///
    /// # Errors
    /// When the bytes are no picture, the watch stops it, or the shelf can't be written.
    pub fn from_picture(&self, name: &str, bytes: &[u8], watch: Watch<'_>) -> Result<Made, Failure> {
        let name = words::name(name)?;
        let mut notes = Vec::new();
        let yarns = self.yarns_to_choose_from(&mut notes)?;
        let wish = PictureWish {
            turn: Turn::None,
            crop: None,
            width: Some(FIRST_WIDTH),
            height: None,
            gauge: words::usual_gauge(&yarns, &mut notes),
            colours: WishedColours::count(FIRST_COLOURS.min(yarns.len())),
            ease: 0,
            important: None,
            yarns: None,
        };
        let mut made = charted(bytes, &wish, &yarns, self.settings()?.hand, watch)?;
        notes.append(&mut made.notes);
        let id = self.add_with_picture(&name, false, &made, (&name, bytes))?;
        Ok(Made { id, notes, picture: Some(made.size) })
    }

    pub(crate) fn add(&self, name: &str, fabric: &Fabric) -> Result<BlanketId, Failure> {
        let new = NewBlanket { name, invented: false, fabric, picture: None };
        Ok(self.store.add(&new, self.now())?)
    }

    fn add_with_picture(
        &self,
        name: &str,
        invented: bool,
        made: &FromPicture,
        (file, bytes): (&str, &[u8]),
    ) -> Result<BlanketId, Failure> {
        let side = |pixels| u32::try_from(pixels).map_err(Failure::defect);
        let facts = store::PictureFacts {
            name: file.to_owned(),
            width: side(made.size.0)?,
            height: side(made.size.1)?,
        };
        let picture = Some(NewPicture { facts: &facts, bytes });
        let new = NewBlanket { name, invented, fabric: &made.fabric, picture };
        Ok(self.store.add(&new, self.now())?)
    }

    /// A copy of a blanket, with the same picture; its name counts on. What was done to the first
    /// can't be taken back on the copy.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be written.
    pub fn duplicate(&self, id: BlanketId) -> Result<BlanketId, Failure> {
        let cards = self.store.cards()?;
        let name = self.store.blanket(id)?.name;
        let name = words::next_name(&name, |name| cards.iter().any(|card| card.name == name));
        Ok(self.store.duplicate(id, &name, self.now())?)
    }

    /// Sets a blanket aside; [`Self::put_back`] is the way back.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be written.
    pub fn set_aside(&self, id: BlanketId) -> Result<(), Failure> {
        Ok(self.store.set_aside(id, Some(self.now()))?)
    }

    /// Puts a blanket that was set aside back on the shelf.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be written.
    pub fn put_back(&self, id: BlanketId) -> Result<(), Failure> {
        Ok(self.store.set_aside(id, None)?)
    }

    /// Deletes a blanket that is set aside, and its picture where no other blanket has it. From this
    /// alone there is no way back.
    ///
    /// # Errors
    /// When there is no such blanket, it is not set aside, or the shelf can't be written.
    pub fn delete_for_good(&self, id: BlanketId) -> Result<(), Failure> {
        self.store.delete_for_good(id)?;
        self.forget(id);
        Ok(())
    }
}
