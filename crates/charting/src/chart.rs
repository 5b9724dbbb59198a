//! Cells and yarns to a chart, and the whole way from a picture.

use core::fmt;
use core::ops::ControlFlow;

use model::{Chart, ChartError, Gauge, Lab, Palette, PaletteError, Yarn, delta_e_2000};

use crate::bands::by_bands;
use crate::difference::Tint;
use crate::stock::note_short;
use crate::{
    Area, Cells, Choice, ChooseError, Crop, CropError, Noted, Picture, Size, SizeError, Stopped, Wanted,
    Watch, average, choose, size, tell,
};

/// Which yarns a chart is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Colours {
    /// Those of the list that show the picture best. The frame's is one of them, and kept.
    Choose(Choice),
    /// These, by their places in the list. The palette follows this order.
    Given(Vec<usize>),
}

/// Plain stitches around the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frame {
    /// Stitches at the left and the right, and rows at the top and the bottom.
    pub stitches: u32,
    /// Its yarn's place in the list.
    pub yarn: usize,
}

/// What is wanted of a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Request {
    /// The part of the picture; all of it where `None`.
    pub crop: Option<Crop>,
    /// The size of the whole piece, its frame included.
    pub wanted: Wanted,
    /// The gauge.
    pub gauge: Gauge,
    /// The frame.
    pub frame: Option<Frame>,
    /// The yarns.
    pub colours: Colours,
}

/// A chart made of a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Charted {
    /// The chart, its frame included.
    pub chart: Chart,
    /// For each palette entry its place in the list of yarns.
    pub yarns: Vec<usize>,
    /// Mean CIEDE2000 difference of picture and yarn over the picture's cells, the frame left out;
    /// good to a hundred-thousandth.
    pub mean_difference: f64,
    /// The part of the picture that is shown.
    pub area: Area,
}

/// Why a picture gives no chart.
#[derive(Clone, Debug, PartialEq)]
pub enum ChartingError {
    /// The crop.
    Crop(CropError),
    /// The size.
    Size(SizeError),
    /// The choice of yarns.
    Choose(ChooseError),
    /// The yarns together are no palette.
    Palette(PaletteError),
    /// A yarn is named that the list does not have: its place, from 0.
    NoSuchYarn(usize),
    /// A yarn is named twice: its key.
    NamedTwice(String),
    /// The chart could not be made of its cells.
    Chart(ChartError),
    /// Stopped by the watch.
    Stopped,
}

impl fmt::Display for ChartingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Crop(error) => error.fmt(f),
            Self::Size(error) => error.fmt(f),
            Self::Choose(error) => error.fmt(f),
            Self::Palette(error) => error.fmt(f),
            Self::Chart(error) => error.fmt(f),
            Self::NoSuchYarn(at) => write!(f, "yarn {} of the list is not there", at + 1),
            Self::NamedTwice(key) => write!(f, "the yarn {key:?} is named twice"),
            Self::Stopped => Stopped.fmt(f),
        }
    }
}

impl std::error::Error for ChartingError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::Crop(error) => Some(error),
            Self::Size(error) => Some(error),
            Self::Choose(error) => Some(error),
            Self::Palette(error) => Some(error),
            Self::Chart(error) => Some(error),
            Self::NoSuchYarn(_) | Self::NamedTwice(_) | Self::Stopped => None,
        }
    }
}

impl ChartingError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Crop(error) => error.hint(),
            Self::Size(error) => error.hint(),
            Self::Choose(error) => error.hint(),
            Self::Palette(PaletteError::Empty) => "name at least one yarn",
            Self::Palette(PaletteError::TooMany(_)) => "name fewer yarns",
            Self::Palette(PaletteError::SameKey(_) | PaletteError::EmptyKey) => {
                "give every yarn of the list a key of its own"
            }
            Self::NoSuchYarn(_) => "name a yarn of the list",
            Self::NamedTwice(_) => "name each yarn once",
            Self::Chart(_) => "try another size",
            Self::Stopped => "start it again when you are ready",
        }
    }
}

macro_rules! from {
    ($($error:ident => $variant:ident),*) => {
        $(impl From<$error> for ChartingError {
            fn from(error: $error) -> Self {
                Self::$variant(error)
            }
        })*
    };
}

from!(CropError => Crop, SizeError => Size, PaletteError => Palette, ChartError => Chart);

impl From<Stopped> for ChartingError {
    fn from(Stopped: Stopped) -> Self {
        Self::Stopped
    }
}

impl From<ChooseError> for ChartingError {
    fn from(error: ChooseError) -> Self {
        if error == ChooseError::Stopped { Self::Stopped } else { Self::Choose(error) }
    }
}

/// A picture brought to the size of its chart, and its yarns, before any stitch has one.
#[derive(Clone, Debug)]
pub struct Prepared {
    /// The picture's cells, the frame left out.
    pub cells: Cells,
    /// The yarns: those chosen or given, and the frame's.
    pub palette: Palette,
    /// For each palette entry its place in the list of yarns.
    pub yarns: Vec<usize>,
    /// The frame, its yarn a palette entry.
    pub frame: Option<Frame>,
    /// The part of the picture that is shown.
    pub area: Area,
}

/// Prepares a picture: crop, size, average, choice of yarns.
///
/// # Errors
/// When the crop, the size or the yarns cannot be, or the watch stops it.
pub fn prepare(
    picture: &Picture,
    request: &Request,
    yarns: &[Yarn],
    watch: Watch<'_>,
) -> Result<Noted<Prepared>, ChartingError> {
    let mut notes = Vec::new();
    check_yarns(request, yarns)?;
    let mut area = match &request.crop {
        Some(crop) => crop.area(picture.width(), picture.height())?,
        None => Area::whole(picture.width(), picture.height()),
    };
    let edge = request.frame.map_or(0, |frame| frame.stitches);
    let whole = size(area.width, area.height, &request.gauge, request.wanted, edge)?.unpack(&mut notes);
    let edge = edge as usize;
    let inner = Size { columns: whole.columns - 2 * edge, rows: whole.rows - 2 * edge };
    if request.wanted.width.is_some() && request.wanted.height.is_some() {
        area = cut(area, inner, &request.gauge, &mut notes);
    }

    let cells = average(picture, area, inner.columns, inner.rows, &mut part(watch, 0.0, 0.5))?;
    let mut entries = match &request.colours {
        Colours::Given(given) => given.clone(),
        Colours::Choose(choice) => {
            let mut choice = choice.clone();
            choice.keep.extend(request.frame.map(|frame| frame.yarn));
            choose(&cells, yarns, &choice, &mut part(watch, 0.5, 0.5))?.unpack(&mut notes)
        }
    };
    // The frame's yarn, where the picture itself has none of it.
    if let Some(frame) = request.frame
        && !entries.contains(&frame.yarn)
    {
        entries.push(frame.yarn);
    }
    let frame = request.frame.map(|frame| Frame {
        yarn: entries.iter().position(|&at| at == frame.yarn).expect("it was pushed where it was missing"),
        ..frame
    });
    let palette = Palette::new(entries.iter().map(|&at| yarns[at].clone()).collect())?;
    Ok(Noted { value: Prepared { cells, palette, yarns: entries, frame, area }, notes })
}

/// Makes a chart of a picture: crop, size, average, choice of yarns, nearest yarn for each cell.
/// No dithering: stray stitches cost ends.
///
/// # Errors
/// When the crop, the size or the yarns cannot be, or the watch stops it.
pub fn chart_picture(
    picture: &Picture,
    request: &Request,
    yarns: &[Yarn],
    watch: Watch<'_>,
) -> Result<Noted<Charted>, ChartingError> {
    let mut notes = Vec::new();
    let prepared = prepare(picture, request, yarns, &mut part(watch, 0.0, 0.8))?.unpack(&mut notes);
    let Prepared { cells, palette, frame, .. } = &prepared;
    // With yarns that were given, one that is there for the frame alone makes no stitch of the picture.
    let pool = match &request.colours {
        Colours::Given(given) => given.len(),
        Colours::Choose(_) => palette.len(),
    };
    let (nearest, mean_difference) = assign(cells, &palette.yarns()[..pool], &mut part(watch, 0.8, 0.2))?;
    let inner = Size { columns: cells.columns(), rows: cells.rows() };
    let edge = frame.map_or(0, |frame| frame.stitches as usize);
    let framed = surround(&nearest, inner, edge, frame.map_or(0, |frame| frame.yarn));
    let chart = Chart::new(palette.clone(), inner.rows + 2 * edge, inner.columns + 2 * edge, &framed)?;
    let charted = prepared.charted(&chart, request, mean_difference)?.unpack(&mut notes);
    tell(watch, 1.0)?;
    Ok(Noted { value: charted, notes })
}

impl Prepared {
    /// A chart of this picture as it goes to a person: without the yarns that were chosen but are in
    /// no stitch, and with what is to be known of the others.
    ///
    /// # Errors
    /// When the chart is of other yarns.
    pub fn charted(
        self,
        chart: &Chart,
        request: &Request,
        mean_difference: f64,
    ) -> Result<Noted<Charted>, ChartingError> {
        let cells: Vec<u8> =
            chart.row_indices().flat_map(|row| chart.row(row)).map(|cell| cell.as_u8()).collect();
        let entries = (0..self.palette.len()).collect();
        let (left, cells) = match &request.colours {
            Colours::Given(_) => (entries, cells),
            Colours::Choose(choice) => {
                let kept: Vec<usize> = (0..self.palette.len())
                    .filter(|&entry| choice.keep.contains(&self.yarns[entry]))
                    .collect();
                drop_unused(entries, cells, &kept)
            }
        };
        let palette = Palette::new(left.iter().map(|&entry| self.palette.yarns()[entry].clone()).collect())?;
        let chart = Chart::new(palette, chart.rows(), chart.columns(), &cells)?;
        let mut notes = Vec::new();
        for (yarn, stitches) in chart.palette().yarns().iter().zip(chart.stitches_by_yarn()) {
            if stitches == 0 {
                notes.push(format!("the yarn {:?} is used in no stitch", yarn.key));
            }
        }
        note_short(&chart, &request.gauge, &mut notes);
        let yarns = left.iter().map(|&entry| self.yarns[entry]).collect();
        Ok(Noted { value: Charted { chart, yarns, mean_difference, area: self.area }, notes })
    }
}

/// Makes a chart of cells with exactly these yarns: each cell takes the nearest by CIEDE2000, the
/// earlier yarn where two are equally near. The mean difference of cell and yarn beside it.
///
/// # Errors
/// When the yarns are no palette, the cells no chart, or the watch stops it.
pub fn chart_cells(cells: &Cells, yarns: &[Yarn], watch: Watch<'_>) -> Result<(Chart, f64), ChartingError> {
    let palette = Palette::new(yarns.to_vec())?;
    let (nearest, mean) = assign(cells, yarns, watch)?;
    let inner = Size { columns: cells.columns(), rows: cells.rows() };
    Ok((Chart::new(palette, inner.rows, inner.columns, &surround(&nearest, inner, 0, 0))?, mean))
}

/// Everything that can be refused about the yarns before any work is done.
fn check_yarns(request: &Request, yarns: &[Yarn]) -> Result<(), ChartingError> {
    let there = |&at: &usize| if at < yarns.len() { Ok(()) } else { Err(ChartingError::NoSuchYarn(at)) };
    request.frame.iter().map(|frame| &frame.yarn).try_for_each(there)?;
    match &request.colours {
        Colours::Choose(choice) => choice.keep.iter().chain(&choice.without).try_for_each(there),
        Colours::Given(given) => {
            given.iter().try_for_each(there)?;
            if let Some((_, at)) = given.iter().enumerate().find(|(i, at)| given[..*i].contains(at)) {
                return Err(ChartingError::NamedTwice(yarns[*at].key.clone()));
            }
            Palette::new(given.iter().map(|&at| yarns[at].clone()).collect())?;
            Ok(())
        }
    }
}

/// Cuts the area to the proportions of the finished picture, and notes it; leaves it alone where
/// the cut would be half a stitch or less at each edge, as rounding brings it about.
#[allow(clippy::cast_precision_loss)]
fn cut(area: Area, inner: Size, gauge: &Gauge, notes: &mut Vec<String>) -> Area {
    let (columns, rows) = (inner.columns as f64, inner.rows as f64);
    let cut = area.cut_to((columns / gauge.stitches()) / (rows / gauge.rows()));
    let over = |whole: f64, left: f64, cells: f64| (whole / left - 1.0) * cells;
    if over(area.width, cut.width, columns) <= 1.0 && over(area.height, cut.height, rows) <= 1.0 {
        return area;
    }
    let (across, up) = (1.0 - cut.width / area.width, 1.0 - cut.height / area.height);
    let (share, edges) =
        if across > up { (across, "left, half at the right") } else { (up, "top, half at the bottom") };
    notes.push(format!(
        "the picture is cut to the wanted proportions: {:.1} % of it is left out, half at the {edges}",
        share * 100.0
    ));
    cut
}

/// A watch that reports a part of the work.
fn part<'a>(watch: Watch<'a>, from: f32, share: f32) -> impl FnMut(f32) -> ControlFlow<()> + 'a {
    move |done| watch(from + share * done)
}

/// For each cell the place of the nearest yarn; and the mean difference.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // at most MAX_YARNS
fn assign(cells: &Cells, yarns: &[Yarn], watch: Watch<'_>) -> Result<(Vec<u8>, f64), Stopped> {
    let colours: Vec<Tint> = yarns.iter().map(|yarn| Tint::new(yarn.colour.lab())).collect();
    let columns = cells.columns();
    let mut found = vec![(0, 0.0); cells.linear().len()];
    by_bands(&mut found, columns, watch, |first, band| {
        // Neighbours are like each other, and pictures hold long stretches of one colour.
        let mut last: Option<([f64; 3], (usize, f64))> = None;
        for (&light, found) in cells.linear()[first * columns..].iter().zip(band) {
            let (at, difference) = match last {
                Some((colour, found)) if colour == light => found,
                Some((_, (guess, _))) => nearest_of(Lab::from_linear(light), &colours, guess),
                None => nearest_of(Lab::from_linear(light), &colours, 0),
            };
            last = Some((light, (at, difference)));
            *found = (at as u8, difference);
        }
    })?;
    let sum: f64 = found.iter().map(|(_, difference)| difference).sum();
    let mean = sum / found.len() as f64;
    Ok((found.into_iter().map(|(at, _)| at).collect(), mean))
}

/// The nearest colour, the first among equals, and its difference as the fast formula has it;
/// `guess` is likely near.
fn nearest_of(cell: Lab, colours: &[Tint], guess: usize) -> (usize, f64) {
    /// Far above what the fast formula is off by.
    const SLACK: f64 = 1e-3;
    let tint = Tint::new(cell);
    let (mut nearest, mut least) = (guess, tint.difference(&colours[guess]));
    let mut second = f64::INFINITY;
    for (at, colour) in colours.iter().enumerate() {
        if at == guess || tint.is_beyond(colour, least + SLACK) {
            continue;
        }
        let difference = tint.difference(colour);
        if difference < least {
            (nearest, least, second) = (at, difference, least);
        } else {
            second = second.min(difference);
        }
    }
    if second > least + SLACK {
        return (nearest, least);
    }
    // Too near to each other to be told apart by the fast formula.
    let mut found = (0, f64::INFINITY);
    for (at, colour) in colours.iter().enumerate() {
        let difference = delta_e_2000(cell, colour.lab);
        if difference < found.1 {
            found = (at, difference);
        }
    }
    found
}

/// Turns cells from the top into chart rows from the bottom, with `edge` stitches of `frame` all
/// round.
#[allow(clippy::cast_possible_truncation)] // at most MAX_YARNS
fn surround(nearest: &[u8], inner: Size, edge: usize, frame: usize) -> Vec<u8> {
    let frame = frame as u8;
    let columns = inner.columns + 2 * edge;
    let mut chart = vec![frame; columns * (inner.rows + 2 * edge)];
    for (row, cells) in nearest.chunks_exact(inner.columns).rev().enumerate() {
        chart[(row + edge) * columns + edge..][..inner.columns].copy_from_slice(cells);
    }
    chart
}

/// Leaves out the entries that no stitch uses, except those to keep.
#[allow(clippy::cast_possible_truncation)] // at most MAX_YARNS
fn drop_unused(entries: Vec<usize>, mut cells: Vec<u8>, keep: &[usize]) -> (Vec<usize>, Vec<u8>) {
    let mut used = vec![false; entries.len()];
    for &cell in &cells {
        used[usize::from(cell)] = true;
    }
    let mut moved = vec![0u8; entries.len()];
    let mut left = Vec::new();
    for (old, entry) in entries.into_iter().enumerate() {
        moved[old] = left.len() as u8;
        if used[old] || keep.contains(&entry) {
            left.push(entry);
        }
    }
    for cell in &mut cells {
        *cell = moved[usize::from(*cell)];
    }
    (left, cells)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Extent, Measure, unwatched};
    use model::{Ball, Length, RowIndex, Srgb};
    use proptest::prelude::*;

    const BLACK: [u8; 3] = [0; 3];
    const WHITE: [u8; 3] = [255; 3];
    const RED: [u8; 3] = [200, 30, 30];

    fn yarns() -> Vec<Yarn> {
        [("black", BLACK), ("white", WHITE), ("red", RED)]
            .map(|(key, [r, g, b])| Yarn::plain(key, key, Srgb::new(r, g, b)))
            .to_vec()
    }

    /// Four wide, two high: red, white, white, white over black, black, white, white.
    fn picture() -> Picture {
        Picture::new(4, 2, [RED, WHITE, WHITE, WHITE, BLACK, BLACK, WHITE, WHITE].concat()).unwrap()
    }

    fn stitches(width: u32, height: u32) -> Wanted {
        Wanted { width: Some(Extent::Stitches(width)), height: Some(Extent::Stitches(height)) }
    }

    fn request(wanted: Wanted, colours: Colours) -> Request {
        Request { crop: None, wanted, gauge: Gauge::new(10.0, 10.0).unwrap(), frame: None, colours }
    }

    fn chart(request: &Request) -> Result<Noted<Charted>, ChartingError> {
        chart_picture(&picture(), request, &yarns(), &mut unwatched)
    }

    /// The chart in letters, row by row from the top.
    fn letters(chart: &Chart) -> Vec<String> {
        chart
            .row_indices()
            .rev()
            .map(|row| chart.row(row).iter().map(|&cell| &chart.palette().yarn(cell).key[..1]).collect())
            .collect()
    }

    #[test]
    fn the_top_of_the_picture_is_the_last_row() {
        let got = chart(&request(stitches(4, 2), Colours::Choose(Choice::of(3)))).unwrap();
        assert_eq!(letters(&got.value.chart), ["rwww", "bbww"]);
        assert_eq!(got.value.yarns, [0, 1, 2]);
        assert_eq!(got.notes, Vec::<String>::new());
        assert!(got.value.mean_difference < 1e-6);
        assert_eq!(got.value.chart.palette().yarn(got.value.chart.row(RowIndex(0))[0]).key, "black");
    }

    #[test]
    fn a_frame_goes_round() {
        let mut request = request(stitches(6, 4), Colours::Given(vec![2, 1, 0]));
        request.frame = Some(Frame { stitches: 1, yarn: 0 });
        let got = chart(&request).unwrap().value;
        assert_eq!(letters(&got.chart), ["bbbbbb", "brwwwb", "bbbwwb", "bbbbbb"]);
        assert_eq!(got.yarns, [2, 1, 0]);
        assert!(got.mean_difference < 1e-6);
        // A frame's yarn that is not among the given ones makes only the frame.
        request.colours = Colours::Given(vec![2, 1]);
        let got = chart(&request).unwrap().value;
        assert_eq!(letters(&got.chart), ["bbbbbb", "brwwwb", "brrwwb", "bbbbbb"]);
        assert_eq!(got.yarns, [2, 1, 0]);
        // It counts among those chosen.
        request.colours = Colours::Choose(Choice::of(2));
        let got = chart(&request).unwrap().value;
        assert_eq!(got.yarns, [0, 1]);
    }

    #[test]
    fn a_frame_is_kept_and_what_is_short_is_noted() {
        let mut list = yarns();
        for yarn in &mut list {
            yarn.on_hand = Some(1);
            yarn.ball = Some(Ball { length: Length::cm(100.0), milligrams: 1 });
        }
        list[0].on_hand = None;
        let choice = Choice { on_hand: true, without: vec![2], ..Choice::of(2) };
        let mut request = request(stitches(6, 4), Colours::Choose(choice));
        request.frame = Some(Frame { stitches: 1, yarn: 0 });
        let got = chart_picture(&picture(), &request, &list, &mut unwatched).unwrap();
        assert_eq!(got.value.yarns, [0, 1]);
        // By hand: five white stitches of 1 cm take 40 to 55 cm, and a ball holds 100.
        assert_eq!(got.notes.len(), 1, "{:?}", got.notes);
        assert!(got.notes[0].starts_with("no ball of \"black\" is known to be on hand"), "{:?}", got.notes);
        list[1].ball = Some(Ball { length: Length::cm(30.0), milligrams: 1 });
        let got = chart_picture(&picture(), &request, &list, &mut unwatched).unwrap();
        assert!(
            got.notes[1].starts_with("what is on hand will not do for \"white\" (2 balls"),
            "{:?}",
            got.notes
        );
    }

    #[test]
    fn both_sides_cut_the_picture_and_say_so() {
        let got = chart(&request(stitches(2, 2), Colours::Given(vec![0, 1, 2]))).unwrap();
        assert_eq!(letters(&got.value.chart), ["ww", "bw"]);
        assert_eq!(got.value.area, Area { x: 1.0, y: 0.0, width: 2.0, height: 2.0 });
        assert!(got.notes[0].contains("50.0 % of it"), "{:?}", got.notes);
        assert!(got.notes[1].contains("\"red\" is used in no stitch"), "{:?}", got.notes);
    }

    #[test]
    fn a_crop_comes_first() {
        let mut request = request(stitches(2, 2), Colours::Given(vec![0, 1, 2]));
        request.crop = Some("0,0,50%x100%".parse().unwrap());
        let got = chart(&request).unwrap();
        assert_eq!(letters(&got.value.chart), ["rw", "bb"]);
        request.crop = Some(Crop {
            x: Measure::Pixels(3),
            y: Measure::Pixels(0),
            width: Measure::Pixels(2),
            height: Measure::Pixels(2),
        });
        assert!(matches!(chart(&request), Err(ChartingError::Crop(CropError::Outside { .. }))));
    }

    #[test]
    fn refusals_name_what_is_wrong() {
        let at = |colours| chart(&request(stitches(4, 2), colours)).map(|noted| noted.value.yarns);
        assert_eq!(at(Colours::Given(vec![0, 3])), Err(ChartingError::NoSuchYarn(3)));
        assert_eq!(at(Colours::Given(vec![0, 1, 0])), Err(ChartingError::NamedTwice("black".into())));
        assert_eq!(at(Colours::Given(vec![])), Err(ChartingError::Palette(PaletteError::Empty)));
        let many = Colours::Choose(Choice::of(4));
        assert!(matches!(at(many), Err(ChartingError::Choose(ChooseError::TooFew { .. }))));
        let unsized_ = request(Wanted::default(), Colours::Given(vec![0]));
        assert_eq!(chart(&unsized_), Err(ChartingError::Size(SizeError::NotGiven)));
        let stopped = chart_picture(
            &picture(),
            &request(stitches(4, 2), Colours::Given(vec![0])),
            &yarns(),
            &mut |_| ControlFlow::Break(()),
        );
        assert_eq!(stopped, Err(ChartingError::Stopped));
    }

    #[test]
    fn the_watch_hears_of_it_in_order() {
        let mut heard = Vec::new();
        let request = request(stitches(4, 2), Colours::Choose(Choice::of(2)));
        chart_picture(&picture(), &request, &yarns(), &mut |done| {
            heard.push(done);
            ControlFlow::Continue(())
        })
        .unwrap();
        assert!(heard.is_sorted() && heard.first() == Some(&0.0) && heard.last() == Some(&1.0), "{heard:?}");
    }

    proptest! {
        /// The law: a flat picture gives a flat chart.
        #[test]
        fn flat_stays_flat(colour in any::<[u8; 3]>(), w in 1usize..30, h in 1usize..30, columns in 2u32..40, rows in 2u32..40) {
            let picture = Picture::new(w, h, colour.repeat(w * h)).unwrap();
            let request = request(stitches(columns, rows), Colours::Given(vec![0, 1, 2]));
            let got = chart_picture(&picture, &request, &yarns(), &mut unwatched).unwrap().value;
            prop_assert_eq!(got.chart.stitches_by_yarn().iter().filter(|&&n| n > 0).count(), 1);
        }

        /// The short cut finds what trying every yarn finds.
        #[test]
        fn the_nearest_is_the_nearest(
            cell in any::<[u8; 3]>(), list in proptest::collection::vec(any::<[u8; 3]>(), 1..40),
            guess in any::<proptest::sample::Index>(), twins in any::<bool>(),
        ) {
            let list = if twins { [list.clone(), list].concat() } else { list };
            let guess = guess.index(list.len());
            let lab = |[r, g, b]: [u8; 3]| Srgb::new(r, g, b).lab();
            let colours: Vec<Lab> = list.into_iter().map(lab).collect();
            let cell = lab(cell);
            let all: Vec<f64> = colours.iter().map(|&colour| delta_e_2000(cell, colour)).collect();
            let least = all.iter().copied().fold(f64::INFINITY, f64::min);
            let first = all.iter().position(|&d| d == least).unwrap();
            let tints: Vec<Tint> = colours.into_iter().map(Tint::new).collect();
            let (at, difference) = nearest_of(cell, &tints, guess);
            prop_assert_eq!(at, first);
            prop_assert!((difference - least).abs() < 1e-6 * (10.0 + least));
        }
    }
}
