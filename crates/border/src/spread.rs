//! Spreading stitches evenly over the places they go into, written as repeats.

/// A part of what to do along an edge.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// The same into each of so many places (stitches or row ends) in a row.
    Run {
        /// Places.
        places: u32,
        /// Stitches into each; 0 leaves the place out.
        each: u32,
    },
    /// Parts to do several times over.
    Repeat {
        /// How often, at least twice.
        times: u32,
        /// The parts.
        parts: Vec<Part>,
    },
}

impl Part {
    /// Places that it goes over.
    #[must_use]
    pub fn places(&self) -> u32 {
        match self {
            Self::Run { places, .. } => *places,
            Self::Repeat { times, parts } => times * parts.iter().map(Self::places).sum::<u32>(),
        }
    }

    /// Stitches that it makes.
    #[must_use]
    pub fn stitches(&self) -> u32 {
        match self {
            Self::Run { places, each } => places * each,
            Self::Repeat { times, parts } => times * parts.iter().map(Self::stitches).sum::<u32>(),
        }
    }
}

/// So many stitches, spread evenly over so many places: nowhere more than two stitches from where
/// they would be if a place could hold a fraction of a stitch. What is out of the ordinary (a place
/// skipped or worked twice) keeps half a gap away from both ends. No places, no parts.
#[must_use]
pub fn spread(places: u32, stitches: u32) -> Vec<Part> {
    if places == 0 {
        return Vec::new();
    }
    let (low, more) = (stitches / places, stitches % places);
    if more == 0 {
        return vec![Part::Run { places, each: low }];
    }
    // What most places get, and what the few others get.
    let (usual, usually, other, others) = if more * 2 <= places {
        (low, places - more, low + 1, more)
    } else {
        (low + 1, more, low, places - more)
    };
    let usual = |places| Part::Run { places, each: usual };
    let other = Part::Run { places: 1, each: other };
    let gap = usually / others;
    let (before, after) = (gap.div_ceil(2), gap / 2);
    // Between the others lie gaps that are one longer where the places do not divide evenly.
    let gaps = others - 1;
    let longer = usually % others;
    let unit = |gap, times| Unit { parts: vec![other.clone(), usual(gap)], times };
    let mut parts = vec![usual(before)];
    if gaps > 0 {
        parts.extend(mix(unit(gap, gaps - longer), unit(gap + 1, longer)));
    }
    parts.push(other);
    parts.push(usual(after));
    tidy(parts)
}

/// Parts, and how often they come.
struct Unit {
    parts: Vec<Part>,
    times: u32,
}

impl Unit {
    fn repeated(self) -> Vec<Part> {
        match self.times {
            0 => Vec::new(),
            1 => self.parts,
            times => vec![Part::Repeat { times, parts: self.parts }],
        }
    }

    fn places(&self) -> i64 {
        i64::from(self.parts.iter().map(Part::places).sum::<u32>())
    }

    fn stitches(&self) -> i64 {
        i64::from(self.parts.iter().map(Part::stitches).sum::<u32>())
    }
}

/// Two kinds of units, mingled evenly: one after the other where that strays by no more than a
/// stitch; else the rarer goes into each of the groups that the commoner is cut into, and groups
/// of two sizes are mingled the same way.
fn mix(a: Unit, b: Unit) -> Vec<Part> {
    let (a, b) = if a.times >= b.times { (a, b) } else { (b, a) };
    let times = |unit: &Unit| i64::from(unit.times);
    let all_places = times(&a) * a.places() + times(&b) * b.places();
    let all_stitches = times(&a) * a.stitches() + times(&b) * b.stitches();
    let strays = times(&a) * (a.stitches() * all_places - a.places() * all_stitches).abs();
    if b.times == 0 || strays <= all_places {
        return [a.repeated(), b.repeated()].concat();
    }
    let (size, left) = (a.times / b.times, a.times % b.times);
    let group = |size| {
        let commoner = Unit { parts: a.parts.clone(), times: size }.repeated();
        [commoner, b.parts.clone()].concat()
    };
    mix(Unit { parts: group(size), times: b.times - left }, Unit { parts: group(size + 1), times: left })
}

/// Leaves out what has no places and joins neighbours that do the same.
fn tidy(parts: Vec<Part>) -> Vec<Part> {
    let mut tidied: Vec<Part> = Vec::new();
    for part in parts {
        if part.places() == 0 {
            continue;
        }
        match (tidied.last_mut(), part) {
            (Some(Part::Run { places, each }), Part::Run { places: more, each: same }) if *each == same => {
                *places += more;
            }
            (_, part) => tidied.push(part),
        }
    }
    tidied
}
