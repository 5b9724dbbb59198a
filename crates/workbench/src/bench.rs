//! The workbench itself: what it holds, how it is opened, and the plans it keeps ready.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use store::Store;

use crate::session::Session;
use crate::{BlanketId, Failure, Moment};

/// Tells the time.
pub type Clock = Box<dyn Fn() -> Moment + Send + Sync>;

/// How many blankets' plans are kept ready: the one at hand, and the one looked at beside it.
const KEPT_READY: usize = 2;

/// A workbench that was opened, and how its shelf was found.
pub struct Opened {
    /// The workbench.
    pub workbench: Workbench,
    /// Whether the shelf was made just now, and is empty.
    pub new: bool,
    /// Where a damaged shelf was set aside. The person must be told.
    pub damaged: Option<PathBuf>,
}

/// The person's workbench over one shelf.
pub struct Workbench {
    pub(crate) store: Store,
    pub(crate) clock: Clock,
    /// The blankets used last, the last one at the end.
    ready: Mutex<Vec<(BlanketId, Slot)>>,
    #[cfg(feature = "pages")]
    pub(crate) laid: crate::paper::Laid,
}

/// A blanket's place at the bench: whoever holds it works on that blanket alone. Empty until the
/// blanket is planned, and again after a failure.
pub(crate) type Slot = Arc<Mutex<Option<Session>>>;

impl Workbench {
    /// Opens the workbench over the shelf in a folder; makes both where they are not there yet.
    ///
    /// # Errors
    /// When another window has the shelf ([`crate::Kind::Busy`]), or the folder can't be used.
    pub fn open(folder: &Path, clock: Clock) -> Result<Opened, Failure> {
        let store::Opened { store, new, damaged } = Store::open(folder)?;
        let workbench = Self {
            store,
            clock,
            ready: Mutex::default(),
            #[cfg(feature = "pages")]
            laid: crate::paper::Laid::default(),
        };
        Ok(Opened { workbench, new, damaged })
    }

    /// From now on the shelf's file grows to so many bytes at most; what would make it larger fails
    /// as on a full disk.
    ///
    /// # Errors
    /// When the file can't be used.
    pub fn limit_size(&self, bytes: u64) -> Result<(), Failure> {
        Ok(self.store.limit_size(bytes)?)
    }

    pub(crate) fn now(&self) -> Moment {
        (self.clock)()
    }

    /// The place of a blanket. Those not used for longest are let go of; whoever still holds one
    /// keeps it until done, and the shelf's own revisions keep two from working on one.
    pub(crate) fn slot(&self, id: BlanketId) -> Slot {
        let mut ready = self.ready.lock().unwrap_or_else(PoisonError::into_inner);
        let slot = match ready.iter().position(|(other, _)| *other == id) {
            Some(at) => ready.remove(at).1,
            None => Slot::default(),
        };
        ready.push((id, Arc::clone(&slot)));
        while ready.len() > KEPT_READY {
            ready.remove(0);
        }
        slot
    }

    pub(crate) fn forget(&self, id: BlanketId) {
        self.ready.lock().unwrap_or_else(PoisonError::into_inner).retain(|(other, _)| *other != id);
    }
}

/// Takes a slot. What a panic left there may be half changed, and is thrown away.
pub(crate) fn take(slot: &Slot) -> MutexGuard<'_, Option<Session>> {
    slot.lock().unwrap_or_else(|poisoned| {
        slot.clear_poison();
        let mut guard = poisoned.into_inner();
        *guard = None;
        guard
    })
}
