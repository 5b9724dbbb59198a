//! Long work on other threads, with word of how far it is and a way to stop it.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use charting::{Stopped, Watch};

/// What a worker says.
enum Word<T> {
    /// A piece is so far done.
    Done(usize, f32),
    /// A piece is ready; nothing where it was stopped.
    Ready(usize, Option<T>),
    /// Still at work.
    Beat,
}

/// What a piece of work reports to.
pub(crate) struct Desk<'a> {
    stopped: &'a AtomicBool,
    say: &'a (dyn Fn(Option<f32>) + Sync),
    from: f32,
    share: f32,
}

impl Desk<'_> {
    /// So much of the piece is done, 0 to 1. An error where it is to stop.
    pub(crate) fn tell(&self, done: f32) -> Result<(), Stopped> {
        (self.say)(Some(self.from + self.share * done));
        if self.stopped.load(Ordering::Relaxed) { Err(Stopped) } else { Ok(()) }
    }

    /// Whether to go on.
    pub(crate) fn go_on(&self) -> bool {
        (self.say)(None);
        !self.stopped.load(Ordering::Relaxed)
    }

    /// The desk for a part of the piece.
    pub(crate) fn part(&self, from: f32, share: f32) -> Desk<'_> {
        Desk { from: self.from + self.share * from, share: self.share * share, ..*self }
    }
}

/// Does `pieces` pieces of work on so many threads. `ready` gets each, in their order whatever the
/// threads do; `watch` hears of the whole from `from` on, for its `share`.
pub(crate) fn work<T: Send>(
    pieces: usize,
    threads: usize,
    piece: impl Fn(usize, &Desk<'_>) -> Result<T, Stopped> + Sync,
    watch: Watch<'_>,
    (from, share): (f32, f32),
    ready: &mut dyn FnMut(T),
) -> Result<(), Stopped> {
    let stopped = AtomicBool::new(false);
    let next = AtomicUsize::new(0);
    let worker = |words: Sender<Word<T>>| {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= pieces {
                return;
            }
            // Nobody listens any more where a send fails: then the work is being stopped.
            let say = |done: Option<f32>| {
                let _ = words.send(done.map_or(Word::Beat, |done| Word::Done(at, done)));
            };
            let desk = Desk { stopped: &stopped, say: &say, from: 0.0, share: 1.0 };
            let made = piece(at, &desk).ok();
            let _ = words.send(Word::Ready(at, made));
        }
    };
    std::thread::scope(|scope| {
        let (words, heard) = channel();
        for _ in 0..threads.clamp(1, pieces.max(1)) {
            let words = words.clone();
            scope.spawn(|| worker(words));
        }
        drop(words);
        let heard = listen(pieces, &heard, watch, (from, share), ready);
        stopped.store(true, Ordering::Relaxed);
        heard
    })
}

fn listen<T>(
    pieces: usize,
    words: &Receiver<Word<T>>,
    watch: Watch<'_>,
    (from, share): (f32, f32),
    ready: &mut dyn FnMut(T),
) -> Result<(), Stopped> {
    let mut done = vec![0.0f32; pieces];
    let mut waiting: Vec<Option<T>> = (0..pieces).map(|_| None).collect();
    let mut next = 0;
    while next < pieces {
        match words.recv() {
            Ok(Word::Beat) => {}
            Ok(Word::Done(at, so_far)) => done[at] = done[at].max(so_far.min(1.0)),
            Ok(Word::Ready(at, Some(made))) => {
                done[at] = 1.0;
                waiting[at] = Some(made);
                while let Some(made) = waiting.get_mut(next).and_then(Option::take) {
                    ready(made);
                    next += 1;
                }
            }
            Ok(Word::Ready(_, None)) | Err(_) => return Err(Stopped),
        }
        #[allow(clippy::cast_precision_loss)] // a handful
        let all = done.iter().sum::<f32>() / pieces as f32;
        if watch(from + share * all).is_break() {
            return Err(Stopped);
        }
    }
    Ok(())
}
