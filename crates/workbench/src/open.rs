//! One blanket: opening it, changing it, taking back and doing again.

use std::collections::BTreeSet;

use model::{Chart, Palette};
use store::{Blanket as Kept, Change, Fabric, Operation, Way};

use crate::bench::take;
use crate::session::{Session, cells};
use crate::{
    Blanket, BlanketId, Changed, ChartedAgain, Edit, Failure, PaletteEntry, PictureFacts, PictureWish,
    Revision, Stage, Watch, Workbench, draw, shelf, wish, words,
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
        let ready = place.take().filter(|session| session.revision == kept.revision && session.hand == hand);
        let mut session = match ready {
            Some(session) => session,
            None => {
                let Fabric { chart, gauge, .. } = &kept.fabric;
                let watch: Watch<'_> = &crate::unwatched;
                Session::new(chart.clone(), *gauge, hand, kept.revision, watch, &self.clock)?
            }
        };
        let value = work(kept, &mut session);
        if !session.ahead {
            *place = Some(session);
        }
        value
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
        self.with_session(id, |kept, session| {
            current(&kept, revision)?;
            match operation(session.chart(), edit)? {
                Some(operation) => {
                    self.change(session, &operation.after)?;
                    session.written(self.store.record(id, revision, &operation, self.now())?);
                    self.changed(id, session, &operation.after)
                }
                None => self.changed(id, session, &Change::Cells(Vec::new())),
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
            self.change(session, &change)?;
            session.written(self.store.go(id, revision, way, self.now())?);
            self.changed(id, session, &change)
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
        let yarns = match &wish.yarns {
            Some(yarns) => {
                words::yarn_list(yarns)?;
                yarns.clone()
            }
            None => self.yarns_to_choose_from(&mut notes)?,
        };
        let bytes = self.store.picture(id)?;
        let mut made = shelf::charted(&bytes, wish, &yarns, watch)?;
        drop(bytes);
        notes.append(&mut made.notes);
        let hand = self.settings()?.hand;
        let Fabric { chart, gauge, .. } = &made.fabric;
        // Planned beside the blanket: it stays open for work meanwhile.
        let mut session = Session::new(chart.clone(), *gauge, hand, 0, watch, &self.clock)?;

        let slot = self.slot(id);
        let mut place = take(&slot);
        let kept = self.store.blanket(id)?;
        if !watch(Stage::Proving, 1.0) {
            return Err(Failure::cancelled());
        }
        let operation = Operation {
            name: "chart_picture".to_owned(),
            stroke: None,
            before: Change::Fabric(Box::new(kept.fabric)),
            after: Change::Fabric(Box::new(made.fabric)),
        };
        session.revision = self.store.record(id, kept.revision, &operation, self.now())?;
        let changed = self.changed(id, &session, &operation.after)?;
        *place = Some(session);
        Ok(ChartedAgain { changed, notes, mean_difference: made.mean_difference })
    }

    /// Brings a session to where a change brings the blanket, ahead of what is written.
    fn change(&self, session: &mut Session, change: &Change) -> Result<(), Failure> {
        session.ahead = true;
        match change {
            Change::Cells(changes) => session.change_cells(&places(changes), &self.clock),
            Change::Palette(yarns) => session.change_palette(Palette::new(yarns.clone())?, &self.clock),
            Change::Name(_) => Ok(()),
            Change::Fabric(fabric) => session.replace(fabric.chart.clone(), fabric.gauge, &self.clock),
        }
    }

    fn changed(&self, id: BlanketId, session: &Session, change: &Change) -> Result<Changed, Failure> {
        let [can_take_back, can_do_again] = self.store.names(id)?;
        Ok(Changed {
            revision: session.revision,
            cells: if let Change::Cells(changes) = change { places(changes) } else { Vec::new() },
            reload: matches!(change, Change::Fabric(_) | Change::Name(_)),
            palette: palette(session.chart()),
            plan: session.numbers,
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

/// What an edit does to a chart; `None` where it does nothing.
fn operation(chart: &Chart, edit: &Edit) -> Result<Option<Operation>, Failure> {
    let (name, stroke, change) = match edit {
        Edit::Stitch { cells, yarn, stroke } => {
            let entry = draw::entry(chart, *yarn)?;
            ("stitch", stroke.clone(), recoloured(chart, &draw::stroke(chart, cells)?, entry))
        }
        Edit::Line { from, to, yarn, width } => {
            let entry = draw::entry(chart, *yarn)?;
            ("line", None, recoloured(chart, &draw::line(chart, *from, *to, *width)?, entry))
        }
        Edit::Flood { at, yarn } => {
            let entry = draw::entry(chart, *yarn)?;
            ("flood", None, recoloured(chart, &draw::flood(chart, *at)?, entry))
        }
        Edit::SwapColour { from, to } => {
            let (from, to) = (draw::entry(chart, *from)?, draw::entry(chart, *to)?);
            ("swap_colour", None, recoloured(chart, &draw::all_of(chart, from), to))
        }
        Edit::AddYarn(yarn) => {
            words::palette_yarn(yarn, "the yarn")?;
            let mut yarns = chart.palette().yarns().to_vec();
            yarns.push(yarn.clone());
            ("add_yarn", None, repaletted(chart, yarns)?)
        }
        Edit::ChangeYarn { index, yarn } => {
            words::palette_yarn(yarn, "the yarn")?;
            let at = usize::from(draw::entry(chart, *index)?);
            let mut yarns = chart.palette().yarns().to_vec();
            yarns[at] = yarn.clone();
            ("change_yarn", None, repaletted(chart, yarns)?)
        }
    };
    Ok(change.map(|(before, after)| Operation { name: name.to_owned(), stroke, before, after }))
}

/// The cells that do not have that entry yet: as they are, and as they become.
fn recoloured(chart: &Chart, cells: &BTreeSet<usize>, entry: u8) -> Option<(Change, Change)> {
    let now = |at: usize| chart.row(model::RowIndex(at / chart.columns()))[at % chart.columns()].as_u8();
    let place = |at: usize| u32::try_from(at).expect("a chart has fewer cells than that");
    let before: Vec<(u32, u8)> =
        cells.iter().map(|&at| (place(at), now(at))).filter(|&(_, old)| old != entry).collect();
    let after = before.iter().map(|&(at, _)| (at, entry)).collect();
    (!before.is_empty()).then_some((Change::Cells(before), Change::Cells(after)))
}

fn repaletted(chart: &Chart, yarns: Vec<model::Yarn>) -> Result<Option<(Change, Change)>, Failure> {
    let before = chart.palette().yarns();
    if before == yarns {
        return Ok(None);
    }
    let after = Palette::new(yarns)?;
    Ok(Some((Change::Palette(before.to_vec()), Change::Palette(after.yarns().to_vec()))))
}
