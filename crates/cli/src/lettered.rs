//! Words in stitches: laid on a chart, or a chart of their own.

use ease::Fixed;
use lettering::{Block, Face, Fits, LetteringError, Spacing, Style, Weight};
use model::{Chart, Gauge, Palette, Yarn};

use crate::args::{LinesArg, PictureArgs, WordsArgs};
use crate::failure::Failure;
use crate::inputs;
use crate::yarn_names::in_list;

/// Rows of a capital letter where nothing is said.
const LETTERS: u32 = 7;
/// Rows between lines where nothing is said.
const LINE_GAP: u32 = 2;
/// Stitches and rows around words without a picture where nothing is said.
const MARGIN: usize = 4;

/// Rows below words on a picture where there is room.
const LEAST_BELOW: usize = 2;

/// The yarns of words by their places in the list.
#[derive(Clone, Copy)]
pub(crate) struct WordYarns {
    pub(crate) letters: usize,
    /// Of the seam around them.
    pub(crate) edge: Option<usize>,
}

impl WordYarns {
    /// Those that are named; `None` where there are no words.
    pub(crate) fn of(arguments: &WordsArgs, yarns: &[Yarn]) -> Result<Option<Self>, Failure> {
        let (Some(_), Some(letters)) = (&arguments.words, &arguments.words_colour) else { return Ok(None) };
        let letters = in_list(yarns, letters, "--words-colour")?;
        let edge = match &arguments.words_edge {
            Some(edge) => Some(in_list(yarns, edge, "--words-edge")?),
            None => None,
        };
        if edge == Some(letters) {
            return Err(same("--words-colour and --words-edge", &yarns[letters]));
        }
        Ok(Some(Self { letters, edge }))
    }

    /// Both of them.
    pub(crate) fn all(self) -> impl Iterator<Item = usize> {
        core::iter::once(self.letters).chain(self.edge)
    }

    /// Stitches of the seam.
    fn seam(self) -> usize {
        usize::from(self.edge.is_some())
    }
}

fn same(options: &str, yarn: &Yarn) -> Failure {
    let what = format!("both are {:?}, so that nothing could be read", yarn.key);
    Failure::input(what, options, "name two yarns that are clearly lighter and darker")
}

/// A chart of words alone.
pub(crate) fn chart(
    arguments: &PictureArgs,
    yarns: &[Yarn],
    notes: &mut Vec<String>,
) -> Result<(Chart, Gauge), Failure> {
    let words = &arguments.words;
    if let Some(option) = of_pictures(arguments) {
        return Err(Failure::usage(
            "this is for a picture, and there are only words",
            option,
            "leave it out, or give a picture too; --margin says what is plain around the words",
        ));
    }
    let named = WordYarns::of(words, yarns)?;
    let (Some(ground), Some(named)) = (&words.ground, named) else {
        return Err(Failure::usage(
            "words without a picture need a yarn behind them",
            "--ground KEY",
            "name the yarn of the ground, or give a picture to lay the words on",
        ));
    };
    let ground = in_list(yarns, ground, "--ground")?;
    if named.all().any(|yarn| yarn == ground) {
        let option = if named.letters == ground { "--words-colour" } else { "--words-edge" };
        return Err(same(&format!("--ground and {option}"), &yarns[ground]));
    }
    let palette: Vec<Yarn> =
        core::iter::once(ground).chain(named.all()).map(|at| yarns[at].clone()).collect();
    let gauge = inputs::gauge(arguments.gauge, None, &palette, notes);
    let block = block(words, &gauge, words.wrap)?;
    let margin = words.margin.unwrap_or(MARGIN).max(named.seam());
    let placed = block.padded(margin).map_err(|error| refused(&error))?;
    let mut cells = placed.cells(1, 0);
    if named.edge.is_some() {
        let halo = block.halo(1).and_then(|halo| halo.padded(margin - 1)).map_err(|error| refused(&error))?;
        let seam = halo.cells(2, 0);
        cells.iter_mut().zip(seam).filter(|(_, seam)| *seam > 0).for_each(|(cell, seam)| *cell = seam);
    }
    let hint = "choose smaller letters or a smaller margin";
    let chart = Palette::new(palette).map_err(|error| error.to_string()).and_then(|palette| {
        Chart::new(palette, placed.rows(), placed.columns(), &cells).map_err(|e| e.to_string())
    });
    chart.map(|chart| (chart, gauge)).map_err(|what| Failure::input(what, "--words", hint))
}

/// An option that only a picture has a use for.
fn of_pictures(arguments: &PictureArgs) -> Option<&'static str> {
    let given = [
        (arguments.width.is_some(), "--width"),
        (arguments.height.is_some(), "--height"),
        (arguments.crop.is_some(), "--crop"),
        (arguments.colours.is_some(), "--colours"),
        (!arguments.keep.is_empty(), "--keep"),
        (!arguments.without.is_empty(), "--without"),
        (arguments.on_hand, "--on-hand"),
        (!arguments.colour.is_empty(), "--colour"),
        (arguments.frame.is_some(), "--frame"),
        (arguments.ease.is_some(), "--ease"),
        (arguments.matters.is_some(), "--matters"),
        (arguments.words.words_at.is_some(), "--words-at"),
    ];
    given.into_iter().find(|(is_given, _)| *is_given).map(|(_, option)| option)
}

/// Where words go on a picture's chart.
pub(crate) struct Sheet {
    /// Stitches and rows of the picture, its frame left out.
    pub(crate) columns: usize,
    pub(crate) rows: usize,
    /// Stitches and rows of the frame.
    pub(crate) frame: usize,
}

/// The words as stitches that must stay: `letters` and `edge` are their palette entries.
pub(crate) fn fixed(
    arguments: &WordsArgs,
    sheet: &Sheet,
    gauge: &Gauge,
    (letters, edge): (u8, Option<u8>),
) -> Result<Fixed, Failure> {
    for (given, option) in
        [(arguments.ground.is_some(), "--ground"), (arguments.margin.is_some(), "--margin")]
    {
        if given {
            let hint = "leave it out: the words lie on the picture";
            return Err(Failure::usage("this is for words without a picture", option, hint));
        }
    }
    let seam = usize::from(edge.is_some());
    let first = sheet.frame + 1;
    // What lies left of the words and below them, their seam included.
    let corner = |at: usize, option: &str| {
        at.checked_sub(first + seam).ok_or_else(|| {
            let hint = format!("begin in column {0} and row {0} at least", first + seam);
            Failure::input("the words would begin outside the picture", option, hint)
        })
    };
    let at = match arguments.words_at {
        Some((column, row)) => {
            let option = format!("--words-at {column},{row}");
            Some((corner(column, &option)?, corner(row, &option)?))
        }
        None => None,
    };
    let room = sheet.columns.saturating_sub(at.map_or(0, |(column, _)| column) + 2 * seam);
    let room = u32::try_from(room).unwrap_or(u32::MAX);
    let block = block(arguments, gauge, Some(arguments.wrap.map_or(room, |wrap| wrap.min(room))))?;
    let (columns, rows) = (block.columns() + 2 * seam, block.rows() + 2 * seam);
    // In the middle, and of the lowest third; large ones a little above the edge, if they find room.
    let (left, low) = at.unwrap_or_else(|| {
        let spare = sheet.rows.saturating_sub(rows) / 2;
        let middle = (sheet.rows / 3).saturating_sub(rows) / 2;
        (sheet.columns.saturating_sub(columns) / 2, middle.max(spare.min(LEAST_BELOW)))
    });
    if low + rows > sheet.rows {
        let room = sheet.rows.saturating_sub(low);
        return Err(Failure::input(
            format!("the words are {rows} rows high, there is room for {room}"),
            "--words",
            "choose smaller letters, fewer lines, or a lower place",
        ));
    }
    let mut entries = vec![None; sheet.columns * sheet.rows];
    let mut lay = |block: &Block, back: usize, entry: u8| {
        for (column, row) in block.inked() {
            // Pictures count their rows from the top.
            let from_top = sheet.rows - 1 - (low + seam + row.0 - back);
            entries[from_top * sheet.columns + left + seam + column - back] = Some(entry);
        }
    };
    if let Some(edge) = edge {
        lay(&block.halo(seam).map_err(|error| refused(&error))?, seam, edge);
    }
    lay(&block, 0, letters);
    Fixed::new(sheet.columns, sheet.rows, entries)
        .map_err(|error| Failure::input(&error, "--words", error.hint()))
}

/// The letters, in lines of at most `width` stitches; broken where the person allows it.
fn block(arguments: &WordsArgs, gauge: &Gauge, width: Option<u32>) -> Result<Block, Failure> {
    let height = arguments.letters.unwrap_or(LETTERS);
    let face = match &arguments.font {
        Some(path) => {
            let bytes = inputs::read(path)?;
            Face::read(bytes)
                .map_err(|error| Failure::input(&error, path.display(), error.hint().unwrap_or_default()))?
        }
        // Heights for which no letters are drawn come from the face that the charts are set in.
        None => match Face::built_in(Weight::Regular) {
            face if face.has_height(height) => face,
            _ => Face::read(typeset::REGULAR.to_vec()).map_err(|error| refused(&error))?,
        },
    };
    let style = Style {
        height,
        spacing: arguments.letter_gap.map_or(Spacing::Natural, Spacing::Stitches),
        line_gap: arguments.line_gap.unwrap_or(LINE_GAP),
        align: arguments.lines.unwrap_or(LinesArg::Centre).align(),
        width,
        wrap: arguments.wrap.is_some(),
        aspect: gauge.stitches() / gauge.rows(),
    };
    // A shell has no easy way to write a line's end.
    let text = arguments.words.as_deref().unwrap_or_default().replace("\\n", "\n");
    lettering::set(&text, &face, &style).map_err(|error| refused(&error))
}

/// What lettering refuses, with the option that has to be changed.
fn refused(error: &LetteringError) -> Failure {
    let option = match error {
        LetteringError::Height { .. } | LetteringError::NoSuchHeight { .. } => "--letters",
        LetteringError::Gap { .. } => "--letter-gap and --line-gap",
        LetteringError::Aspect { .. } => "--gauge",
        _ => "--words",
    };
    let hint = match error {
        LetteringError::TooWide { room, fits, .. } => what_fits(*room, *fits),
        LetteringError::Missing(_) => {
            let usual = "write it otherwise, or bring a font file that has them";
            format!("{}; a font file is named with --font", error.hint().as_deref().unwrap_or(usual))
        }
        _ => error.hint().unwrap_or_default(),
    };
    Failure::input(error, option, hint)
}

/// What would fit, by the options that say so.
fn what_fits(room: u32, fits: Fits) -> String {
    let height = fits.height.map(|height| format!("{height} rows high, --letters {height}"));
    let lines = fits.lines.map(|lines| format!("wrapped in {lines} lines, --wrap {room}"));
    let closer = fits.spacing.map(|gap| format!("with {gap} stitches between letters, --letter-gap {gap}"));
    let ways: Vec<String> = [height, lines, closer].into_iter().flatten().collect();
    if ways.is_empty() {
        return "shorten the words, begin a new line in them with \\n, or make more room".to_owned();
    }
    format!("they fit {}", ways.join("; or "))
}
