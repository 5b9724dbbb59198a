//! The workbench over HTTP for one person at one machine, and the page they use it with.
//!
//! ```text
//! connection ─► guard ─► route ─► one method of the workbench ─► wire ─► answer
//!   listen      names,    path,    on a thread for blocking work   JSON, files, events
//!               key       body
//! ```
//!
//! `docs/http.md` tells the routes and the rules of safety. In short: the loopback address alone;
//! the host asked for is checked, so no page elsewhere can ask under a name of its own; all of a
//! person's things need the key of this run; no path from a request reaches the file system.

mod body;
mod failure;
mod guard;
mod head;
mod jobs;
mod limits;
mod listen;
mod routes;
mod site;
pub mod wire;

use core::fmt;
use std::io;
use std::net::{Ipv4Addr, TcpListener};
use std::sync::Arc;

use tokio::sync::{Semaphore, watch};
use workbench::Workbench;

pub use crate::limits::Limits;

use crate::guard::{Guard, Key};
use crate::jobs::Jobs;

/// Threads for work that blocks: reading and writing blankets, planning, charting.
const WORKERS: usize = 16;

/// What every route can reach.
pub(crate) struct App {
    workbench: Arc<Workbench>,
    guard: Guard,
    limits: Limits,
    jobs: Arc<Jobs>,
    uploads: Semaphore,
    stop: Stop,
}

/// Ends a server, from any thread.
#[derive(Clone, Debug)]
pub struct Stop(watch::Sender<bool>);

impl Stop {
    /// Ends the server. A second time does nothing.
    pub fn now(&self) {
        self.0.send_replace(true);
    }

    /// To wait for the end.
    pub(crate) fn heard(&self) -> watch::Receiver<bool> {
        self.0.subscribe()
    }
}

/// Why a server can't start.
#[derive(Debug)]
pub enum StartError {
    /// The port is taken, or may not be used.
    Port {
        /// The port asked for; 0 for any.
        port: u16,
        /// What the system says.
        cause: io::Error,
    },
    /// The system gives no chance to make a key from.
    Chance(String),
    /// The system gives no threads.
    Threads(io::Error),
}

impl fmt::Display for StartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Port { port, cause } if cause.kind() == io::ErrorKind::AddrInUse => {
                write!(f, "port {port} is in use already")
            }
            Self::Port { port: 0, cause } => write!(f, "no port of this machine can be listened at: {cause}"),
            Self::Port { port, cause } => write!(f, "port {port} can't be listened at: {cause}"),
            Self::Chance(cause) => write!(f, "the system gives no random bytes: {cause}"),
            Self::Threads(cause) => write!(f, "the system gives no threads: {cause}"),
        }
    }
}

impl std::error::Error for StartError {}

impl StartError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Port { .. } => "leave the port out to take any that is free, or give another one",
            Self::Chance(_) | Self::Threads(_) => "close other programs and try again",
        }
    }
}

/// A server that listens already, but does not answer yet.
pub struct Server {
    listener: TcpListener,
    port: u16,
    app: Arc<App>,
}

impl Server {
    /// Listens at the loopback address: at that port, or at any free one for 0.
    ///
    /// # Errors
    /// When the port can't be listened at, or the system gives no random bytes.
    pub fn bind(workbench: Arc<Workbench>, port: u16, limits: Limits) -> Result<Self, StartError> {
        let failed = |cause| StartError::Port { port, cause };
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).map_err(failed)?;
        listener.set_nonblocking(true).map_err(failed)?;
        let port = listener.local_addr().map_err(failed)?.port();
        let key = Key::new().map_err(|cause| StartError::Chance(cause.to_string()))?;
        let app = App {
            workbench,
            guard: Guard::new(port, key),
            limits,
            jobs: Arc::new(Jobs::new(limits)),
            uploads: Semaphore::new(limits.uploads),
            stop: Stop(watch::channel(false).0),
        };
        Ok(Self { listener, port, app: Arc::new(app) })
    }

    /// The port it listens at.
    #[must_use]
    pub const fn port(&self) -> u16 {
        self.port
    }

    /// The address to open in a browser. It holds the key of this run: whoever knows it can use the
    /// program while it runs.
    #[must_use]
    pub fn entrance(&self) -> String {
        format!("http://127.0.0.1:{}/enter?key={}", self.port, self.app.guard.key().as_str())
    }

    /// What ends it.
    #[must_use]
    pub fn stop(&self) -> Stop {
        self.app.stop.clone()
    }

    /// Answers until it is stopped. Blocks.
    ///
    /// # Errors
    /// When the system gives no threads.
    pub fn run(self) -> Result<(), StartError> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .max_blocking_threads(WORKERS)
            .enable_all()
            .build()
            .map_err(StartError::Threads)?;
        let Self { listener, port, app } = self;
        runtime.block_on(async {
            let failed = |cause| StartError::Port { port, cause };
            let listener = tokio::net::TcpListener::from_std(listener).map_err(failed)?;
            let router = routes::router(Arc::clone(&app));
            let mut closing = app.stop.heard();
            let jobs = Arc::clone(&app.jobs);
            tokio::spawn(async move {
                if closing.wait_for(|closing| *closing).await.is_ok() {
                    jobs.cancel_all();
                }
            });
            listen::serve(listener, router, app.limits, app.stop.heard()).await;
            Ok(())
        })?;
        // What still writes may end; work that does not hear that it is to stop is left behind.
        runtime.shutdown_timeout(app.limits.last_answers);
        Ok(())
    }
}
