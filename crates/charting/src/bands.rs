//! Rows shared out among threads.

use std::num::NonZero;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;

use crate::{Stopped, Watch, tell};

/// Rows that a thread takes at a time.
const ROWS: usize = 8;
/// More threads than this gain nothing that a person would notice.
const MOST_THREADS: usize = 4;

/// Has `work` fill `out`, rows of `columns` entries, band by band: it is given the number of the
/// band's first row and the band. Bands are the same whatever the number of threads, and so is the
/// result if each depends on nothing but its rows. The watch is asked on this thread, between bands.
#[allow(clippy::cast_precision_loss)]
pub(crate) fn by_bands<T: Send>(
    out: &mut [T],
    columns: usize,
    watch: Watch<'_>,
    work: impl Fn(usize, &mut [T]) + Sync,
) -> Result<(), Stopped> {
    tell(watch, 0.0)?;
    let bands = out.len().div_ceil(ROWS * columns);
    let threads = thread::available_parallelism().map_or(1, NonZero::get).min(MOST_THREADS).min(bands);
    let stopped = AtomicBool::new(false);
    let left = Mutex::new(out.chunks_mut(ROWS * columns).enumerate());
    // A lock is poisoned only where another thread has panicked, and then the scope panics too.
    let next = || if stopped.load(Ordering::Relaxed) { None } else { left.lock().ok()?.next() };
    thread::scope(|scope| {
        for _ in 1..threads {
            // Where there is no other thread to be had, this one does it all.
            let _ = thread::Builder::new().spawn_scoped(scope, || {
                while let Some((band, rows)) = next() {
                    work(band * ROWS, rows);
                }
            });
        }
        while let Some((band, rows)) = next() {
            let told = tell(watch, band as f32 / bands as f32);
            stopped.store(told.is_err(), Ordering::Relaxed);
            told?;
            work(band * ROWS, rows);
        }
        Ok(())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unwatched;
    use core::ops::ControlFlow;

    #[test]
    fn every_row_is_filled_once() {
        for rows in [1, 7, 8, 9, 100] {
            let mut out = vec![0; rows * 3];
            by_bands(&mut out, 3, &mut unwatched, |first, band| {
                for (row, cells) in band.chunks_exact_mut(3).enumerate() {
                    for cell in cells {
                        *cell += first + row + 1;
                    }
                }
            })
            .unwrap();
            let wanted: Vec<usize> = (1..=rows).flat_map(|row| [row; 3]).collect();
            assert_eq!(out, wanted);
        }
    }

    #[test]
    fn a_watch_stops_it() {
        let mut out = [0; 1000];
        let mut asked = 0;
        let got = by_bands(&mut out, 1, &mut |_| ControlFlow::Break(()), |_, _| {});
        assert_eq!(got, Err(Stopped));
        let got = by_bands(
            &mut out,
            1,
            &mut |done| {
                asked += 1;
                if done > 0.0 || asked > 2 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            },
            |_, _| std::thread::sleep(std::time::Duration::from_millis(1)),
        );
        assert_eq!(got, Err(Stopped));
        assert!(asked <= 3);
    }
}
