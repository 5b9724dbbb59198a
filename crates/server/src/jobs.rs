//! Long work, off the path of its request: it tells how far it is, and can be stopped.

use core::ops::ControlFlow;
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Instant;

use axum::http::StatusCode;
use axum::response::sse::Event;
use futures_util::Stream;
use futures_util::stream::unfold;
use serde_json::{Value, json};
use tokio::sync::watch;
use tokio::task::spawn_blocking;

use crate::failure::Failure;
use crate::limits::Limits;
use crate::wire;

/// How a job stands.
#[derive(Clone, Debug)]
enum State {
    Running {
        stage: &'static str,
        done: f64,
        /// Charts to choose from that are there already.
        found: usize,
    },
    Done(Value),
    Failed {
        error: Value,
        /// Whether it was asked to stop.
        cancelled: bool,
    },
}

impl State {
    const fn is_over(&self) -> bool {
        !matches!(self, Self::Running { .. })
    }

    fn event(&self) -> Event {
        let (name, data) = match self {
            Self::Running { stage, done, found } => {
                ("progress", json!({"stage": stage, "done": done, "found": found}))
            }
            Self::Done(result) => ("done", json!({"result": result})),
            Self::Failed { error, cancelled } => ("failed", json!({"error": error, "cancelled": cancelled})),
        };
        Event::default().event(name).data(data.to_string())
    }
}

/// Charts to choose from that a job has found so far. They stay as long as the job is remembered.
#[derive(Debug, Default)]
pub(crate) struct Found(Mutex<Row>);

#[derive(Debug, Default)]
struct Row {
    choices: Vec<Arc<workbench::Choice>>,
    /// Those that no other beats, once that is known.
    stay: Option<Vec<usize>>,
    notes: Vec<String>,
}

impl Found {
    fn row(&self) -> MutexGuard<'_, Row> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    pub(crate) fn add(&self, choice: workbench::Choice) {
        self.row().choices.push(Arc::new(choice));
    }

    /// All are found.
    pub(crate) fn end(&self, workbench::Row { stay, notes }: workbench::Row) {
        let mut row = self.row();
        row.stay = Some(stay);
        row.notes = notes;
    }

    /// One of them.
    pub(crate) fn choice(&self, at: usize) -> Option<Arc<workbench::Choice>> {
        self.row().choices.iter().find(|choice| choice.at == at).cloned()
    }

    /// Those to show: from the one most like the picture on.
    pub(crate) fn shown(&self) -> wire::Choices {
        let row = self.row();
        let stays = |at: &usize| row.stay.as_ref().is_none_or(|stay| stay.contains(at));
        let mut choices: Vec<wire::Choice> = row
            .choices
            .iter()
            .filter(|choice| stays(&choice.at))
            .map(|choice| wire::Choice::from(&**choice))
            .collect();
        choices.sort_by(|one, two| one.mean_difference.total_cmp(&two.mean_difference));
        wire::Choices { choices, notes: row.notes.clone() }
    }
}

struct Job {
    found: Arc<Found>,
    state: watch::Receiver<State>,
    cancelled: Arc<AtomicBool>,
    over_since: Option<Instant>,
}

/// Hears how far a job is: the stage and how much of it is done, 0 to 1. May stop it.
pub(crate) type Tell<'a> = &'a (dyn Fn(&'static str, f64) -> ControlFlow<()> + Sync);

/// All jobs that run, and those that ended a short while ago.
pub(crate) struct Jobs {
    limits: Limits,
    table: Mutex<Table>,
}

#[derive(Default)]
struct Table {
    last: u64,
    jobs: BTreeMap<u64, Job>,
}

impl Jobs {
    pub(crate) fn new(limits: Limits) -> Self {
        Self { limits, table: Mutex::default() }
    }

    /// Starts a job. Must be called on the runtime.
    ///
    /// # Errors
    /// When as many run as may.
    pub(crate) fn start(
        self: &Arc<Self>,
        work: impl FnOnce(Tell<'_>, &Found) -> Result<Value, Failure> + Send + 'static,
    ) -> Result<u64, Failure> {
        let mut table = self.table();
        if table.jobs.values().filter(|job| job.over_since.is_none()).count() >= self.limits.jobs {
            return Err(Failure::new(
                StatusCode::TOO_MANY_REQUESTS,
                format!("{} long works are under way already, which is the most", self.limits.jobs),
                "",
                "wait until one is done, or stop one",
            ));
        }
        let (sender, state) = watch::channel(State::Running { stage: "waiting", done: 0.0, found: 0 });
        let cancelled = Arc::new(AtomicBool::new(false));
        table.last += 1;
        let id = table.last;
        let found = Arc::<Found>::default();
        let job =
            Job { found: Arc::clone(&found), state, cancelled: Arc::clone(&cancelled), over_since: None };
        table.jobs.insert(id, job);
        drop(table);
        let until = Instant::now() + self.limits.job_time;
        let jobs = Arc::clone(self);
        tokio::spawn(async move {
            let watched = (sender.clone(), Arc::clone(&cancelled));
            let outcome = spawn_blocking(move || {
                let (sender, cancelled) = watched;
                let tell = |stage, done: f64| {
                    let found = found.row().choices.len();
                    sender.send_replace(State::Running { stage, done: done.clamp(0.0, 1.0), found });
                    if cancelled.load(Ordering::Relaxed) || Instant::now() >= until {
                        ControlFlow::Break(())
                    } else {
                        ControlFlow::Continue(())
                    }
                };
                work(&tell, &found)
            })
            .await;
            let end = match outcome {
                Ok(Ok(result)) => State::Done(result),
                Ok(Err(failure)) => {
                    State::Failed { error: failure.to_json(), cancelled: cancelled.load(Ordering::Relaxed) }
                }
                Err(_) => State::Failed { error: Failure::broke_off().to_json(), cancelled: false },
            };
            // First the table: whoever hears of the end may start the next job at once.
            if let Some(job) = jobs.table().jobs.get_mut(&id) {
                job.over_since = Some(Instant::now());
            }
            sender.send_replace(end);
        });
        Ok(id)
    }

    /// What a job tells: its present state, then every change until its end.
    ///
    /// # Errors
    /// When there is no such job, or not any more.
    pub(crate) fn events(
        &self,
        id: u64,
        closing: watch::Receiver<bool>,
    ) -> Result<impl Stream<Item = Event> + use<>, Failure> {
        let state = self.table().jobs.get(&id).ok_or_else(no_job)?.state.clone();
        let from = Some((state, true));
        Ok(unfold(from, move |from| {
            let mut closing = closing.clone();
            async move {
                let (mut state, first) = from?;
                if !first {
                    tokio::select! {
                        changed = state.changed() => changed.ok()?,
                        _ = closing.wait_for(|closing| *closing) => return None,
                    }
                }
                let now = state.borrow_and_update().clone();
                let next = (!now.is_over()).then_some((state, false));
                Some((now.event(), next))
            }
        }))
    }

    /// What a job has found.
    ///
    /// # Errors
    /// When there is no such job, or not any more.
    pub(crate) fn found(&self, id: u64) -> Result<Arc<Found>, Failure> {
        Ok(Arc::clone(&self.table().jobs.get(&id).ok_or_else(no_job)?.found))
    }

    /// Asks a job to stop at its next step. One that is over stays as it ended.
    ///
    /// # Errors
    /// When there is no such job, or not any more.
    pub(crate) fn cancel(&self, id: u64) -> Result<(), Failure> {
        let table = self.table();
        table.jobs.get(&id).ok_or_else(no_job)?.cancelled.store(true, Ordering::Relaxed);
        Ok(())
    }

    /// Asks all jobs to stop.
    pub(crate) fn cancel_all(&self) {
        for job in self.table().jobs.values() {
            job.cancelled.store(true, Ordering::Relaxed);
        }
    }

    /// The table, without what has been over for long.
    fn table(&self) -> MutexGuard<'_, Table> {
        // Nothing is done under the lock that could leave the table half changed.
        let mut table = self.table.lock().unwrap_or_else(PoisonError::into_inner);
        let kept = self.limits.job_kept;
        table.jobs.retain(|_, job| job.over_since.is_none_or(|since| since.elapsed() < kept));
        table
    }
}

fn no_job() -> Failure {
    Failure::new(
        StatusCode::NOT_FOUND,
        "there is no such work, or not any more",
        "the number of the work",
        "start it again",
    )
}
