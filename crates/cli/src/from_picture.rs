//! From a picture's file to a chart: plain, or eased.

use core::ops::ControlFlow;
use std::path::Path;

use charting::{
    Charted, ChartingError, Choice, ChooseError, Colours, Frame, Picture, Prepared, Request, SizeError,
    Wanted,
};
use ease::{Ease, EaseError, Eased, Fixed, Importance, Task};
use model::{Chart, Gauge, Palette, Plan, RowIndex, Rules, Yarn, YarnUse};

use crate::args::PictureArgs;
use crate::console::Console;
use crate::failure::Failure;
use crate::inputs;
use crate::lettered::{self, Sheet, WordYarns};
use crate::yarn_names::in_list;

/// So many yarns are chosen where the person does not say.
const USUAL_COLOURS: usize = 8;

/// A stitch that the map shows white counts so many times more.
const MARKED: f64 = 24.0;

/// A map with colours further apart than this is none.
const GREY: u8 = 24;

/// What plans of a palette are made under.
pub(crate) type RulesFor<'a> = &'a dyn Fn(&Palette) -> Result<Rules, Failure>;

/// A chart as it was wished.
pub(crate) struct Made {
    pub(crate) chart: Chart,
    pub(crate) gauge: Gauge,
    /// A cheapest plan of it, where one came with it; a claim until it is replayed.
    pub(crate) plan: Option<Plan>,
    /// How much it looks like its picture, where there is one.
    pub(crate) look: Option<Look>,
}

/// How far a chart is from its picture, in CIEDE2000.
#[derive(Clone, Copy)]
pub(crate) struct Look {
    /// Mean over the stitches.
    pub(crate) mean: f64,
    /// The same as from across the room, where it was worked out.
    pub(crate) blurred: Option<f64>,
}

/// The chart that the command line asks for.
pub(crate) fn made(
    arguments: &PictureArgs,
    rules: RulesFor<'_>,
    console: &Console,
    notes: &mut Vec<String>,
) -> Result<Made, Failure> {
    let yarns = inputs::yarns(&arguments.yarns, notes)?;
    let Some(path) = &arguments.picture else {
        let (chart, gauge) = lettered::chart(arguments, &yarns, notes)?;
        return Ok(Made { chart, gauge, plan: None, look: None });
    };
    let bench = Bench::set(path, arguments, &yarns, console, notes)?;
    match arguments.ease {
        Some(ease) if ease > Ease::PLAIN => bench.eased(ease, rules, console, notes),
        _ => bench.plain(console, notes),
    }
}

/// A picture with everything that a chart is made of, but the ease.
pub(crate) struct Bench {
    pub(crate) request: Request,
    prepared: Prepared,
    /// How many yarns of the palette, from the first, may show the picture; the others are for the
    /// frame or the words alone.
    pool: usize,
    /// What the person's map says.
    matters: Option<Importance>,
    /// The words.
    fixed: Option<Fixed>,
}

impl Bench {
    /// Reads and prepares a picture.
    pub(crate) fn set(
        path: &Path,
        arguments: &PictureArgs,
        yarns: &[Yarn],
        console: &Console,
        notes: &mut Vec<String>,
    ) -> Result<Self, Failure> {
        let words = WordYarns::of(&arguments.words, yarns)?;
        let request = request(arguments, yarns, words, notes)?;
        console.progress("reading the picture", 0.0);
        let picture = inputs::picture(path, notes)?;
        let map = match &arguments.matters {
            Some(map) => Some(map_of(map, (path, &picture), notes)?),
            None => None,
        };
        console.go_on()?;
        let mut watch = watch(console, "charting", 0.0, 0.8);
        let mut prepared = charting::prepare(&picture, &request, yarns, &mut watch)
            .map_err(|error| refused(&error, path))?
            .unpack(notes);
        let matters = map.map(|map| weights(&map, &prepared, console)).transpose()?;
        let pool = match &request.colours {
            Colours::Given(given) => given.len(),
            Colours::Choose(_) => prepared.palette.len(),
        };
        let fixed = words.map(|words| laid(arguments, &request, &mut prepared, yarns, words)).transpose()?;
        Ok(Self { request, prepared, pool, matters, fixed })
    }

    /// Each stitch in its nearest yarn, but for the words.
    fn plain(self, console: &Console, notes: &mut Vec<String>) -> Result<Made, Failure> {
        if self.matters.is_some() {
            notes.push(
                "what matters in the picture counts only where the chart is made easier, with --ease"
                    .to_owned(),
            );
        }
        let Prepared { cells, palette, frame, .. } = &self.prepared;
        let pool = &palette.yarns()[..self.pool];
        let (inner, mean) = charting::chart_cells(cells, pool, &mut watch(console, "charting", 0.8, 0.2))
            .map_err(|error| not_charted(&error))?;
        let edge = frame.map_or(0, |frame| frame.stitches as usize);
        let plain = frame.map_or(0, |frame| frame.yarn);
        let (rows, columns) = (inner.rows() + 2 * edge, inner.columns() + 2 * edge);
        let mut whole = vec![u8::try_from(plain).unwrap_or_default(); rows * columns];
        for row in 0..inner.rows() {
            let begin = (edge + row) * columns + edge;
            let line = &mut whole[begin..begin + inner.columns()];
            line.iter_mut().zip(inner.row(RowIndex(row))).for_each(|(cell, yarn)| *cell = yarn.as_u8());
            if let Some(fixed) = &self.fixed {
                // Pictures count their rows from the top.
                let words = &fixed.entries()[(inner.rows() - 1 - row) * inner.columns()..];
                line.iter_mut().zip(words).for_each(|(cell, word)| *cell = word.unwrap_or(*cell));
            }
        }
        let chart =
            Chart::new(palette.clone(), rows, columns, &whole).map_err(|error| not_charted(&error.into()))?;
        let Charted { chart, .. } = self.charted(&chart, mean, notes)?;
        inputs::note_mixed_weights(&chart, notes);
        let look = Some(Look { mean, blurred: None });
        Ok(Made { chart, gauge: self.request.gauge, plan: None, look })
    }

    /// The chart of an ease, with its plan where no yarn was left idle.
    fn eased(
        &self,
        ease: Ease,
        rules: RulesFor<'_>,
        console: &Console,
        notes: &mut Vec<String>,
    ) -> Result<Made, Failure> {
        let rules = rules(&self.prepared.palette)?;
        let importance = self.importance()?;
        let mut watch = watch(console, "making the chart easier to work", 0.0, 1.0);
        let eased = ease::ease(&self.task(&rules, &importance), ease, &mut watch).map_err(not_eased)?;
        let Charted { chart, .. } = self.charted(&eased.chart, eased.look.mean, notes)?;
        inputs::note_mixed_weights(&chart, notes);
        let look = Some(Look { mean: eased.look.mean, blurred: Some(eased.look.blurred) });
        // Without its idle yarns it is another chart to the plan.
        let plan = (chart == eased.chart).then_some(eased.plan);
        Ok(Made { chart, gauge: self.request.gauge, plan, look })
    }

    /// Charts to choose from, from the plain one to the easiest; none is beaten by another.
    pub(crate) fn choices(
        &self,
        count: ease::Count,
        rules: RulesFor<'_>,
        console: &Console,
    ) -> Result<Vec<Eased>, Failure> {
        let rules = rules(&self.prepared.palette)?;
        let importance = self.importance()?;
        let mut watch = watch(console, "looking for charts to choose from", 0.0, 1.0);
        ease::choices(&self.task(&rules, &importance), count, &mut |_| (), &mut watch).map_err(not_eased)
    }

    /// A chart of this picture as it goes to the person, without idle yarns.
    pub(crate) fn charted(
        &self,
        chart: &Chart,
        mean: f64,
        notes: &mut Vec<String>,
    ) -> Result<Charted, Failure> {
        let charted = self.prepared.clone().charted(chart, &self.request, mean);
        Ok(charted.map_err(|error| not_charted(&error))?.unpack(notes))
    }

    fn importance(&self) -> Result<Importance, Failure> {
        let contrast = Importance::from_contrast(&self.prepared.cells);
        match &self.matters {
            Some(matters) => contrast.times(matters).map_err(not_eased),
            None => Ok(contrast),
        }
    }

    fn task<'a>(&'a self, rules: &'a Rules, importance: &'a Importance) -> Task<'a> {
        Task {
            cells: &self.prepared.cells,
            palette: &self.prepared.palette,
            pool: self.pool,
            rules,
            yarn_use: YarnUse::estimate(&self.request.gauge),
            importance,
            fixed: self.fixed.as_ref(),
            frame: self.prepared.frame,
        }
    }
}

/// Shows a part of a stage, and hears whether to go on.
fn watch<'a>(
    console: &'a Console,
    stage: &'a str,
    from: f64,
    share: f64,
) -> impl FnMut(f32) -> ControlFlow<()> + 'a {
    move |done| {
        if console.progress(stage, from + share * f64::from(done)) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }
}

/// The map of what matters: as large as the picture.
fn map_of(
    path: &Path,
    (picture_path, picture): (&Path, &Picture),
    notes: &mut Vec<String>,
) -> Result<Picture, Failure> {
    let map = inputs::picture(path, notes)?;
    let size = |picture: &Picture| (picture.width(), picture.height());
    if size(&map) != size(picture) {
        let ((columns, rows), (wanted_columns, wanted_rows)) = (size(&map), size(picture));
        return Err(Failure::input(
            format!(
                "the map of what matters is {columns} by {rows} pixels, {} is {wanted_columns} by {wanted_rows}",
                picture_path.display()
            ),
            format!("--matters {}", path.display()),
            format!("paint it over a copy of the picture, {wanted_columns} by {wanted_rows} pixels"),
        ));
    }
    let is_grey = |pixel: &[u8]| {
        pixel.iter().max().zip(pixel.iter().min()).is_none_or(|(most, least)| most - least <= GREY)
    };
    if !(0..map.height()).all(|y| map.row(y).chunks_exact(3).all(is_grey)) {
        notes.push(format!("{} has colours: only how light it is counts", path.display()));
    }
    Ok(map)
}

/// What a map says, brought to the picture's cells as the picture was.
fn weights(map: &Picture, prepared: &Prepared, console: &Console) -> Result<Importance, Failure> {
    let (columns, rows) = (prepared.cells.columns(), prepared.cells.rows());
    let mut watch = watch(console, "charting", 0.8, 0.0);
    let cells =
        charting::average(map, prepared.area, columns, rows, &mut watch).map_err(|_| Failure::cancelled())?;
    // Lightness runs from 0 to 100.
    #[allow(clippy::cast_possible_truncation)] // a weight in single precision
    let weights =
        cells.lab().iter().map(|lab| (1.0 + MARKED * (lab.l / 100.0).clamp(0.0, 1.0)) as f32).collect();
    Importance::new(columns, rows, weights).map_err(not_eased)
}

/// Lays words on a picture; their yarns come to the palette where they are not in it.
fn laid(
    arguments: &PictureArgs,
    request: &Request,
    prepared: &mut Prepared,
    yarns: &[Yarn],
    words: WordYarns,
) -> Result<Fixed, Failure> {
    let mut entries = prepared.yarns.clone();
    for yarn in words.all() {
        if !entries.contains(&yarn) {
            entries.push(yarn);
        }
    }
    let palette = Palette::new(entries.iter().map(|&at| yarns[at].clone()).collect());
    prepared.palette = palette.map_err(|error| not_charted(&error.into()))?;
    prepared.yarns = entries;
    let entry = |yarn: usize| {
        let at = prepared.yarns.iter().position(|&at| at == yarn);
        at.and_then(|at| prepared.palette.index(at)).map_or(0, model::ColourIndex::as_u8)
    };
    let sheet = Sheet {
        columns: prepared.cells.columns(),
        rows: prepared.cells.rows(),
        frame: request.frame.map_or(0, |frame| frame.stitches as usize),
    };
    lettered::fixed(&arguments.words, &sheet, &request.gauge, (entry(words.letters), words.edge.map(entry)))
}

fn request(
    arguments: &PictureArgs,
    yarns: &[Yarn],
    words: Option<WordYarns>,
    notes: &mut Vec<String>,
) -> Result<Request, Failure> {
    let places = |names: &[String], option: &str| -> Result<Vec<usize>, Failure> {
        names.iter().map(|name| in_list(yarns, name, option)).collect()
    };
    let given = places(&arguments.colour, "--colour")?;
    // The yarns named, else all of the list: which of them are chosen shows only later.
    let candidates: Vec<Yarn> =
        if given.is_empty() { yarns.to_vec() } else { given.iter().map(|&at| yarns[at].clone()).collect() };
    let gauge = inputs::gauge(arguments.gauge, None, &candidates, notes);
    let colours = if given.is_empty() {
        let mut keep = places(&arguments.keep, "--keep")?;
        keep.extend(words.into_iter().flat_map(WordYarns::all));
        let without = places(&arguments.without, "--without")?;
        let count = arguments.colours.unwrap_or_else(|| {
            let count = yarns.len().min(USUAL_COLOURS);
            notes.push(format!(
                "{count} yarns are chosen from the list; say how many with --colours, or which with --colour"
            ));
            count
        });
        Colours::Choose(Choice { count, keep, without, on_hand: arguments.on_hand })
    } else {
        Colours::Given(given)
    };
    let frame = match (arguments.frame, &arguments.frame_colour) {
        (Some(stitches), Some(key)) if stitches > 0 => {
            Some(Frame { stitches, yarn: in_list(yarns, key, "--frame-colour")? })
        }
        _ => None,
    };
    Ok(Request {
        crop: arguments.crop,
        wanted: Wanted { width: arguments.width, height: arguments.height },
        gauge,
        frame,
        colours,
    })
}

/// What charting refuses, with the place where the person said it. The command line was understood;
/// it is the picture, the list and the wishes that do not go together.
fn refused(error: &ChartingError, picture: &Path) -> Failure {
    let option = match error {
        ChartingError::Stopped => return Failure::cancelled(),
        ChartingError::Crop(_) => "--crop",
        ChartingError::Size(SizeError::Frame { .. }) => "--frame",
        ChartingError::Size(_) => "--width and --height",
        ChartingError::Choose(ChooseError::KeptAndLeftOut(_)) => "--keep and --without",
        ChartingError::Choose(_) => "--colours",
        ChartingError::NamedTwice(_) => "--colour",
        _ => return Failure::input(error, picture.display(), error.hint()),
    };
    match error {
        ChartingError::Size(SizeError::NotGiven) | ChartingError::NamedTwice(_) => {
            Failure::usage(error, option, error.hint())
        }
        _ => Failure::input(error, option, error.hint()),
    }
}

fn not_charted(error: &ChartingError) -> Failure {
    match error {
        ChartingError::Stopped => Failure::cancelled(),
        error => Failure::input(error, "the chart", error.hint()),
    }
}

#[allow(clippy::needless_pass_by_value)] // as `map_err` hands it over
fn not_eased(error: EaseError) -> Failure {
    match error {
        EaseError::Stopped => Failure::cancelled(),
        error => Failure::input(&error, "the chart", error.hint()),
    }
}
