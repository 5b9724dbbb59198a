//! How much of anything a request may use.

use core::time::Duration;

/// Bounds on what comes in. The default is meant for one person at one machine.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// Bytes of a JSON body. A brush stroke over every cell of the largest chart fits.
    pub json_bytes: usize,
    /// Bytes of a picture or of a chart's file.
    pub file_bytes: usize,
    /// Uploads of pictures and charts that are taken at the same time.
    pub uploads: usize,
    /// Time for the head of a request to arrive; also the longest that a connection may lie idle.
    pub head_time: Duration,
    /// Time for a body to arrive.
    pub body_time: Duration,
    /// Connections at the same time; further ones wait.
    pub connections: usize,
    /// Jobs that run at the same time; a further one is refused.
    pub jobs: usize,
    /// The longest that a job may run.
    pub job_time: Duration,
    /// How long a finished job is remembered.
    pub job_kept: Duration,
    /// How long answers under way are waited for at the end.
    pub last_answers: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            json_bytes: 32 << 20,
            file_bytes: 64 << 20,
            uploads: 2,
            head_time: Duration::from_secs(20),
            body_time: Duration::from_secs(60),
            connections: 128,
            jobs: 4,
            job_time: Duration::from_secs(600),
            job_kept: Duration::from_secs(300),
            last_answers: Duration::from_secs(2),
        }
    }
}
