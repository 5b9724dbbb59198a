//! What several tests need: a clock that stands where it is put, and small invented blankets.
#![allow(dead_code, unreachable_pub)] // each test uses some of it

use std::path::Path;
use std::sync::atomic::{AtomicI64, Ordering};

use model::{Gauge, Srgb, Yarn};
use workbench::{Blank, Clock, Moment, Workbench};

/// A clock that goes on by a millisecond whenever it is asked, from noon of 25 November 2026 on.
pub fn clock() -> Clock {
    let now = AtomicI64::new(1_795_608_000_000);
    Box::new(move || Moment(now.fetch_add(1, Ordering::Relaxed)))
}

pub fn open(folder: &Path) -> Workbench {
    Workbench::open(folder, clock()).expect("the folder is free").workbench
}

pub fn yarn(key: &str, colour: u32) -> Yarn {
    let [_, red, green, blue] = colour.to_be_bytes();
    Yarn::plain(key, key, Srgb::new(red, green, blue))
}

/// A blank blanket in three yarns.
pub fn blank(name: &str, columns: usize, rows: usize) -> Blank {
    Blank {
        name: name.to_owned(),
        columns,
        rows,
        gauge: Gauge::new(12.5, 13.44).expect("a gauge"),
        yarns: vec![yarn("snow", 0xf0_f0_f0), yarn("night", 0x10_10_30), yarn("brick", 0xa0_30_30)],
    }
}
