//! Charts of a picture: one as wished, or a row to choose from.

use core::ops::ControlFlow;
use std::sync::Mutex;

use charting::{Charted, Noted, Prepared, Request, prepare};
use ease::{Count, Ease, EaseError, Eased, Importance, Task};
use model::{Hand, Rules, Weights, Yarn, YarnUse};
use replay::prove;
use store::{Change, Fabric, Operation};

use crate::session::numbers;
use crate::{
    BlanketId, Changed, Failure, Important, Numbers, PictureWish, Revision, Stage, Watch, Workbench, picture,
    wish, words,
};

/// A stitch that the person marked as important counts so many times more.
const MARKED: f32 = 24.0;

/// A picture charted.
pub(crate) struct FromPicture {
    pub(crate) fabric: Fabric,
    pub(crate) notes: Vec<String>,
    pub(crate) mean_difference: f64,
    pub(crate) blurred_difference: f64,
    /// Width and height of the upright picture.
    pub(crate) size: (usize, usize),
}

/// A chart of a picture that could be taken.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Its number, in the order in which they were found, from 0.
    pub at: usize,
    /// Whether every stitch has its nearest yarn.
    pub plain: bool,
    /// What its plan comes to.
    pub numbers: Numbers,
    /// Mean CIEDE2000 difference of picture and yarn, stitch by stitch.
    pub mean_difference: f64,
    /// The same as from across the room.
    pub blurred_difference: f64,
    /// The fabric in small, a PNG.
    pub picture: Vec<u8>,
    fabric: Fabric,
}

impl Choice {
    /// Stitches in a row.
    #[must_use]
    pub const fn columns(&self) -> usize {
        self.fabric.chart.columns()
    }

    /// Rows.
    #[must_use]
    pub fn rows(&self) -> usize {
        self.fabric.chart.rows()
    }
}

/// What came of looking for charts to choose from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The numbers of those that no other beats, from the one most like the picture on.
    pub stay: Vec<usize>,
    /// What the person should know.
    pub notes: Vec<String>,
}

/// A choice's picture, its longer side in pixels.
const CHOICE_PICTURE: u32 = 360;

/// Everything that a chart is made of, but the ease.
struct Bench {
    request: Request,
    prepared: Prepared,
    importance: Importance,
    rules: Rules,
    size: (usize, usize),
}

impl Bench {
    /// Reads and prepares a picture.
    fn set(
        bytes: &[u8],
        wish: &PictureWish,
        yarns: &[Yarn],
        hand: Hand,
        watch: Watch<'_>,
    ) -> Result<Noted<Self>, Failure> {
        let go_on = |stage, done| if watch(stage, done) { Ok(()) } else { Err(Failure::cancelled()) };
        let mut notes = Vec::new();
        let request = wish::request(wish, yarns)?;
        go_on(Stage::Reading, 0.0)?;
        let upright = picture::read(bytes)?.unpack(&mut notes);
        let size = (upright.width(), upright.height());
        go_on(Stage::Reading, 0.8)?;
        let turned = picture::turned(upright, wish.turn)?;
        let mut told = told(watch, 0.0, 0.3);
        let prepared = prepare(&turned, &request, yarns, &mut told)?.unpack(&mut notes);
        words::size(prepared.cells.columns(), prepared.cells.rows())?;
        let mut importance = Importance::from_contrast(&prepared.cells);
        if let Some(important) = &wish.important {
            importance = importance.times(&marked(important, &prepared)?)?;
        }
        let rules = Rules::new(&prepared.palette, Weights::default(), hand);
        Ok(Noted { value: Self { request, prepared, importance, rules, size }, notes })
    }

    fn task(&self) -> Task<'_> {
        Task {
            cells: &self.prepared.cells,
            palette: &self.prepared.palette,
            pool: self.prepared.palette.len(),
            rules: &self.rules,
            yarn_use: YarnUse::estimate(&self.request.gauge),
            importance: &self.importance,
            fixed: None,
            frame: self.prepared.frame,
        }
    }

    /// A chart as it goes to the person.
    fn charted(&self, eased: &Eased) -> Result<Noted<Charted>, Failure> {
        Ok(self.prepared.clone().charted(&eased.chart, &self.request, eased.look.mean)?)
    }
}

/// A watch for charting, over a part of that stage.
fn told(watch: Watch<'_>, from: f64, share: f64) -> impl FnMut(f32) -> ControlFlow<()> + '_ {
    move |done| {
        if watch(Stage::Charting, from + share * f64::from(done)) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    }
}

/// What the person painted, brought to the picture's cells.
#[allow(clippy::cast_precision_loss)] // a weight of one byte
fn marked(important: &Important, prepared: &Prepared) -> Result<Importance, Failure> {
    let Important { columns, rows, weights } = important;
    let (across, down) = (prepared.cells.columns(), prepared.cells.rows());
    if *columns == 0 || *rows == 0 || weights.len() != columns * rows {
        let what = format!("{} weights do not fill {columns} by {rows} cells", weights.len());
        return Err(Failure::bad(what, "what matters in the picture", "give one weight for each cell"));
    }
    let at = |cell: usize, cells: usize, marks: usize| (2 * cell + 1) * marks / (2 * cells);
    let weights =
        (0..down).flat_map(|row| (0..across).map(move |column| (row, column))).map(|(row, column)| {
            let weight = weights[at(row, down, *rows) * columns + at(column, across, *columns)];
            1.0 + MARKED * f32::from(weight) / 255.0
        });
    Ok(Importance::new(across, down, weights.collect())?)
}

/// Charts the bytes of a picture as wished, of these yarns.
pub(crate) fn charted(
    bytes: &[u8],
    wish: &PictureWish,
    yarns: &[Yarn],
    hand: Hand,
    watch: Watch<'_>,
) -> Result<FromPicture, Failure> {
    let mut notes = Vec::new();
    let bench = Bench::set(bytes, wish, yarns, hand, watch)?.unpack(&mut notes);
    let eased = ease::ease(&bench.task(), Ease::new(wish.ease)?, &mut told(watch, 0.3, 0.7))?;
    let charted = bench.charted(&eased)?.unpack(&mut notes);
    let fabric = Fabric { chart: charted.chart, gauge: wish.gauge, request: Some(wish::to_json(wish)) };
    let (mean_difference, blurred_difference) = (eased.look.mean, eased.look.blurred);
    Ok(FromPicture { fabric, notes, mean_difference, blurred_difference, size: bench.size })
}

impl Workbench {
    /// Charts a blanket's picture several ways, from the plain one to the easiest, none beaten by
    /// another in both likeness and work. Each is proven and told to `found` as soon as it is there;
    /// nothing is changed until one is taken.
    ///
    /// # Errors
    /// When the blanket has no picture, the wish can't be, the watch stops it (what was found stays
    /// good), or the shelf can't be read.
    pub fn choices(
        &self,
        id: BlanketId,
        wish: &PictureWish,
        count: usize,
        found: &(dyn Fn(Choice) + Sync),
        watch: Watch<'_>,
    ) -> Result<Row, Failure> {
        let mut notes = Vec::new();
        let count = Count::new(count)?;
        let yarns = self.wished_yarns(wish, &mut notes)?;
        let hand = self.settings()?.hand;
        let bytes = self.store.picture(id)?;
        let bench = Bench::set(&bytes, wish, &yarns, hand, watch)?.unpack(&mut notes);
        drop(bytes);
        let made: Mutex<(Vec<model::Chart>, Option<Failure>)> = Mutex::default();
        let mut on_found = |eased: Eased| {
            let mut made = made.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            let at = made.0.len();
            made.0.push(eased.chart.clone());
            match bench.choice(at, eased, wish) {
                Ok(choice) => found(choice),
                Err(failure) => made.1 = Some(failure),
            }
        };
        let stay = ease::choices(&bench.task(), count, &mut on_found, &mut told(watch, 0.3, 0.7))?;
        let (charts, failure) = made.into_inner().unwrap_or_else(std::sync::PoisonError::into_inner);
        if let Some(failure) = failure {
            return Err(failure);
        }
        let stay = stay.iter().filter_map(|eased| charts.iter().position(|chart| *chart == eased.chart));
        Ok(Row { stay: stay.collect(), notes })
    }

    /// Takes one of the charts that were found: it takes the place of the one there is, and that can
    /// be taken back.
    ///
    /// # Errors
    /// When the blanket is at another revision, or the shelf can't be written.
    pub fn take_choice(
        &self,
        id: BlanketId,
        revision: Revision,
        choice: &Choice,
    ) -> Result<Changed, Failure> {
        let after = choice.fabric.clone();
        self.operate(id, revision, |kept| {
            Ok(Some(Operation {
                name: "chart_picture".to_owned(),
                stroke: None,
                before: Change::Fabric(Box::new(kept)),
                after: Change::Fabric(Box::new(after)),
            }))
        })
    }

    /// The yarns that a wish chooses from.
    pub(crate) fn wished_yarns(
        &self,
        wish: &PictureWish,
        notes: &mut Vec<String>,
    ) -> Result<Vec<Yarn>, Failure> {
        match &wish.yarns {
            Some(yarns) => {
                words::yarn_list(yarns)?;
                Ok(yarns.clone())
            }
            None => self.yarns_to_choose_from(notes),
        }
    }
}

impl Bench {
    /// A chart that was found, proven, with its picture.
    fn choice(&self, at: usize, eased: Eased, wish: &PictureWish) -> Result<Choice, Failure> {
        let Charted { chart, .. } = self.charted(&eased)?.value;
        let yarn_use = YarnUse::estimate(&self.request.gauge);
        let proven = if chart == eased.chart {
            prove(chart, eased.plan)?
        } else {
            // Without its idle yarns it is another chart to the plan.
            let rules = Rules::new(chart.palette(), Weights::default(), self.rules.hand);
            let plan = planner::plan(&chart, &rules, yarn_use, &planner::unwatched)?;
            prove(chart, plan)?
        };
        let chart = model::Chart::clone(proven.chart());
        let picture = typeset::fabric_thumbnail(&chart, &self.request.gauge, CHOICE_PICTURE)
            .map_err(Failure::defect)?;
        Ok(Choice {
            at,
            plain: at == 0,
            numbers: numbers(&proven, 0),
            mean_difference: eased.look.mean,
            blurred_difference: eased.look.blurred,
            picture,
            fabric: Fabric { chart, gauge: self.request.gauge, request: Some(wish::to_json(wish)) },
        })
    }
}

impl From<EaseError> for Failure {
    fn from(error: EaseError) -> Self {
        match error {
            EaseError::Stopped => Self::cancelled(),
            error => Self::bad(&error, "the chart", error.hint()),
        }
    }
}
