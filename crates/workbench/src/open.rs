//! One blanket: opening it, changing it, taking back and doing again.

use edits::Done;
use model::{Chart, Hand, Palette};
use store::{Blanket as Kept, Change, Fabric, Operation, Way};

use crate::bench::take;
use crate::charts::FromPicture;
use crate::session::{Session, cells};
use crate::{
    Blanket, BlanketId, Changed, ChartedAgain, Difference, Edit, Failure, Numbers, PaletteEntry,
    PictureFacts, PictureWish, Revision, Stage, Watch, Workbench, charts, wish, words,
};

impl Workbench {
    /// A blanket with its numbers; it is planned where it is not yet.
    ///
    /// # Errors
    /// When there is no such blanket, or the shelf can't be read.
    pub fn blanket(&self, id: BlanketId) -> Result<Blanket, Failure> {
        self.with_session(id, |kept, session| {
            let chart = session.chart();
            let picture = kept.picture.map(|facts| PictureFacts {
                name: facts.name,
                width: facts.width as usize,
                height: facts.height as usize,
                request: kept.fabric.request.as_deref().and_then(wish::from_json),
            });
            Ok(Blanket {
                id,
                name: kept.name,
                invented: kept.invented,
                columns: chart.columns(),
                rows: chart.rows(),
                gauge: session.gauge,
                hand: session.hand,
                palette: palette(chart),
                cells: cells(chart),
                can_take_back: kept.can_take_back,
                can_do_again: kept.can_do_again,
                revision: kept.revision,
                picture,
                plan: session.numbers,
            })
        })
    }

    /// Works with a blanket's plan, which is made where it is not ready. Where `work` fails half way
    /// the plan is thrown away, which costs no more than planning anew.
    pub(crate) fn with_session<T>(
        &self,
        id: BlanketId,
        work: impl FnOnce(Kept, &mut Session) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        let slot = self.slot(id);
        let mut place = take(&slot);
        let kept = self.store.blanket(id)?;
        let hand = self.settings()?.hand;
        let mut session = self.session_of(&kept, place.take(), hand)?;
        let value = work(kept, &mut session);
        if !session.ahead {
            *place = Some(session);
        }
        value
    }

    /// The session of a blanket as it is kept: the one that is ready, where it is of that.
    fn session_of(&self, kept: &Kept, ready: Option<Session>, hand: Hand) -> Result<Session, Failure> {
        match ready.filter(|session| session.revision == kept.revision && session.hand == hand) {
            Some(session) => Ok(session),
            None => {
                let Fabric { chart, gauge, .. } = &kept.fabric;
                let watch: Watch<'_> = &crate::unwatched;
                Session::new(chart.clone(), *gauge, hand, kept.revision, watch, &self.clock)
            }
        }
    }

    /// Gives a blanket another name. Answers the new revision.
    ///
    /// # Errors
    /// When the name can't be, there is no such blanket, or the shelf can't be written.
    pub fn rename(&self, id: BlanketId, name: &str) -> Result<Revision, Failure> {
        let name = words::name(name)?;
        let slot = self.slot(id);
        let mut place = take(&slot);
        let kept = self.store.blanket(id)?;
        if kept.name == name {
            return Ok(kept.revision);
        }
        let operation = Operation {
            name: "rename".to_owned(),
            stroke: None,
            before: Change::Name(kept.name),
            after: Change::Name(name),
        };
        let revision = self.store.record(id, kept.revision, &operation, self.now())?;
        // The plan stays as it is.
        if let Some(session) = place.as_mut().filter(|session| session.revision == kept.revision) {
            session.revision = revision;
        }
        Ok(revision)
    }

    /// Changes the chart. What changed is on the disk, and the numbers are proven, when this returns.
    /// An edit that changes nothing is no operation.
    ///
    /// # Errors
    /// When the blanket is at another revision, the edit can't be, or the shelf can't be written;
    /// then nothing is changed.
    pub fn edit(&self, id: BlanketId, revision: Revision, edit: &Edit) -> Result<Changed, Failure> {
        self.operate(id, revision, |fabric| operation(fabric, edit))
    }

    /// Does one operation, made of the fabric as it is; `None` where it does nothing.
    pub(crate) fn operate(
        &self,
        id: BlanketId,
        revision: Revision,
        make: impl FnOnce(Fabric) -> Result<Option<Operation>, Failure>,
    ) -> Result<Changed, Failure> {
        self.operate_with_making(id, revision, |fabric, _| make(fabric))
    }

    /// The same, made of the fabric and of what is kept for the making.
    pub(crate) fn operate_with_making(
        &self,
        id: BlanketId,
        revision: Revision,
        make: impl FnOnce(Fabric, Option<String>) -> Result<Option<Operation>, Failure>,
    ) -> Result<Changed, Failure> {
        self.with_session(id, |kept, session| {
            current(&kept, revision)?;
            let before = session.numbers;
            match make(kept.fabric, kept.making)? {
                Some(operation) => {
                    self.change(session, &operation.after)?;
                    session.written(self.store.record(id, revision, &operation, self.now())?);
                    self.changed(id, session, &operation.after, &before)
                }
                None => self.changed(id, session, &Change::Cells(Vec::new()), &before),
            }
        })
    }

    /// Takes the last operation back.
    ///
    /// # Errors
    /// When there is none, the blanket is at another revision, or the shelf can't be written.
    pub fn take_back(&self, id: BlanketId, revision: Revision) -> Result<Changed, Failure> {
        self.go(id, revision, Way::Back)
    }

    /// Does what was taken back last again.
    ///
    /// # Errors
    /// When there is nothing, the blanket is at another revision, or the shelf can't be written.
    pub fn do_again(&self, id: BlanketId, revision: Revision) -> Result<Changed, Failure> {
        self.go(id, revision, Way::Again)
    }

    fn go(&self, id: BlanketId, revision: Revision, way: Way) -> Result<Changed, Failure> {
        self.with_session(id, |kept, session| {
            current(&kept, revision)?;
            let operation = self.store.ahead(id, way)?.ok_or(store::StoreError::Nothing)?;
            let change = match way {
                Way::Back => operation.before,
                Way::Again => operation.after,
            };
            let before = session.numbers;
            self.change(session, &change)?;
            session.written(self.store.go(id, revision, way, self.now())?);
            self.changed(id, session, &change, &before)
        })
    }

    /// Charts a blanket's picture again; the new chart takes the place of the one there is when the
    /// work is done, and can be taken back.
    ///
    /// # Errors
    /// When the blanket has no picture, the wish can't be, the watch stops it, or the shelf can't be
    /// written; then nothing is changed.
    pub fn chart_picture(
        &self,
        id: BlanketId,
        wish: &PictureWish,
        watch: Watch<'_>,
    ) -> Result<ChartedAgain, Failure> {
        let mut notes = Vec::new();
        let yarns = self.wished_yarns(wish, &mut notes)?;
        let hand = self.settings()?.hand;
        let bytes = self.store.picture(id)?;
        let mut made = charts::charted(&bytes, wish, &yarns, hand, watch)?;
        drop(bytes);
        notes.append(&mut made.notes);
        let Fabric { chart, gauge, .. } = &made.fabric;
        // Planned beside the blanket: it stays open for work meanwhile.
        let mut session = Session::new(chart.clone(), *gauge, hand, 0, watch, &self.clock)?;

        let slot = self.slot(id);
        let mut place = take(&slot);
        let kept = self.store.blanket(id)?;
        if !watch(Stage::Proving, 1.0) {
            return Err(Failure::cancelled());
        }
        let before = self.session_of(&kept, place.take(), hand)?.numbers;
        let operation = Operation {
            name: "chart_picture".to_owned(),
            stroke: None,
            before: Change::Fabric(Box::new(kept.fabric)),
            after: Change::Fabric(Box::new(made.fabric.clone())),
        };
        session.revision = self.store.record(id, kept.revision, &operation, self.now())?;
        let changed = self.changed(id, &session, &operation.after, &before)?;
        *place = Some(session);
        let FromPicture { mean_difference, blurred_difference, .. } = made;
        Ok(ChartedAgain { changed, notes, mean_difference, blurred_difference })
    }

    /// Brings a session to where a change brings the blanket, ahead of what is written.
    fn change(&self, session: &mut Session, change: &Change) -> Result<(), Failure> {
        session.ahead = true;
        match change {
            Change::Cells(changes) => session.change_cells(&places(changes), &self.clock),
            Change::Palette(yarns) => session.change_palette(Palette::new(yarns.clone())?, &self.clock),
            Change::Name(_) | Change::Making(_) => Ok(()),
            Change::Fabric(fabric) => session.replace(fabric.chart.clone(), fabric.gauge, &self.clock),
        }
    }

    /// What a change came to, from the numbers before it.
    fn changed(
        &self,
        id: BlanketId,
        session: &Session,
        change: &Change,
        before: &Numbers,
    ) -> Result<Changed, Failure> {
        let [can_take_back, can_do_again] = self.store.names(id)?;
        Ok(Changed {
            revision: session.revision,
            cells: if let Change::Cells(changes) = change { places(changes) } else { Vec::new() },
            reload: matches!(change, Change::Fabric(_) | Change::Name(_)),
            making: matches!(change, Change::Making(_)),
            palette: palette(session.chart()),
            plan: session.numbers,
            by: Difference::between(before, &session.numbers),
            can_take_back,
            can_do_again,
        })
    }
}

fn current(kept: &Kept, revision: Revision) -> Result<(), Failure> {
    if kept.revision == revision {
        return Ok(());
    }
    Err(store::StoreError::Stale { revision: kept.revision }.into())
}

fn places(changes: &[(u32, u8)]) -> Vec<(usize, u8)> {
    changes.iter().map(|&(at, entry)| (at as usize, entry)).collect()
}

fn palette(chart: &Chart) -> Vec<PaletteEntry> {
    let palette = chart.palette();
    let stitches = chart.stitches_by_yarn();
    palette
        .indices()
        .zip(stitches)
        .map(|(index, stitches)| PaletteEntry {
            yarn: palette.yarn(index).clone(),
            symbol: palette.symbol(index),
            stitches,
        })
        .collect()
}

/// What an edit does to a blanket; `None` where it does nothing.
fn operation(kept: Fabric, edit: &Edit) -> Result<Option<Operation>, Failure> {
    if let Edit::AddYarn(yarn) | Edit::ChangeYarn { yarn, .. } = edit {
        words::palette_yarn(yarn, "the yarn")?;
    }
    let chart = &kept.chart;
    // Asked before a chart of that size is made.
    let (columns, rows) = edits::size_after(chart, edit)?;
    words::size(columns, rows)?;
    let changes = match edits::apply(chart, edit)? {
        Done::Cells(changes) => recoloured(chart, changes),
        Done::Palette(palette) => {
            let yarns = |palette: &Palette| Change::Palette(palette.yarns().to_vec());
            Some((yarns(chart.palette()), yarns(&palette)))
        }
        Done::Chart { chart, .. } => {
            let after = Fabric { chart, gauge: kept.gauge, request: kept.request.clone() };
            Some((Change::Fabric(Box::new(kept)), Change::Fabric(Box::new(after))))
        }
    };
    let stroke = if let Edit::Stitch { stroke, .. } = edit { stroke.clone() } else { None };
    Ok(changes.map(|(before, after)| Operation { name: edit.name().to_owned(), stroke, before, after }))
}

/// A palette entry that is there.
pub(crate) fn entry(chart: &Chart, yarn: usize) -> Result<u8, Failure> {
    let found = chart.palette().index(yarn).map(model::ColourIndex::as_u8);
    found.ok_or_else(|| {
        let what = format!("there is no yarn {yarn}, the palette has {}", chart.palette().len());
        Failure::bad(what, "the yarn", "name a yarn of the palette, from 0")
    })
}

/// The way of cells to the entries given, and back; `None` where they have them already.
pub(crate) fn recoloured(
    chart: &Chart,
    wanted: impl IntoIterator<Item = (usize, u8)>,
) -> Option<(Change, Change)> {
    let place = |at: usize| u32::try_from(at).expect("a chart has fewer cells than that");
    let old = cells(chart);
    let changes = wanted.into_iter().filter(|&(at, entry)| old[at] != entry);
    let (before, after): (Vec<_>, Vec<_>) =
        changes.map(|(at, entry)| ((place(at), old[at]), (place(at), entry))).unzip();
    (!after.is_empty()).then_some((Change::Cells(before), Change::Cells(after)))
}
