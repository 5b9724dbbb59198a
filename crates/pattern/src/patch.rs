//! A practice patch: a small chart whose plan under the default rules uses every move.

use model::{Chart, Hand, Palette, Srgb, Yarn};

/// A move, as the steps of a plan have it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Move {
    /// A new strand.
    Join,
    /// A strand lies inside stitches, forwards.
    Carry,
    /// A strand is drawn back, and stitches are worked over it.
    DrawBack,
    /// A strand waits where it made its last stitch.
    Drop,
    /// A waiting strand is locked in passing.
    Lift,
    /// A strand ends.
    Cut,
}

/// What a row of the patch teaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// In a few words.
    pub title: &'static str,
    /// In full.
    pub says: &'static str,
    /// Moves to be found in that row.
    pub moves: &'static [Move],
}

/// The patch from its top row down, as it looks: `.` cream, `o` teal, `x` rust.
const PICTURE: [&str; 12] = [
    "................",
    "................",
    "xxxx............",
    "xxxx........xxxx",
    "............xxxx",
    "......oo........",
    "................",
    "........oo......",
    "..ooo......o....",
    "....ooooo.......",
    "......ooo.......",
    "................",
];

/// The patch for that hand: mirrored for the left, so that the lessons are the same.
#[must_use]
pub fn practice_patch(hand: Hand) -> Chart {
    // Invented yarns, far apart in lightness, so that what shows through is seen.
    let yarn = |key: &str, name: &str, colour| Yarn::plain(key, name, colour);
    let yarns = vec![
        yarn("cream", "Cream", Srgb::new(240, 230, 205)),
        yarn("teal", "Teal", Srgb::new(20, 95, 105)),
        yarn("rust", "Rust", Srgb::new(190, 85, 45)),
    ];
    let cell = |byte: u8| match byte {
        b'o' => 1,
        b'x' => 2,
        _ => 0,
    };
    let cells: Vec<u8> = PICTURE
        .iter()
        .rev()
        .flat_map(|row| {
            let mut cells: Vec<u8> = row.bytes().map(cell).collect();
            if hand == Hand::Left {
                cells.reverse();
            }
            cells
        })
        .collect();
    let palette = Palette::new(yarns).expect("three yarns of three keys");
    Chart::new(palette, PICTURE.len(), PICTURE[0].len(), &cells).expect("rows of one length, three yarns")
}

/// What each row teaches, from row 1 on: `moves` are all that the plan under the default rules makes
/// there.
#[must_use]
pub const fn lessons() -> &'static [Lesson] {
    &LESSONS
}

const LESSONS: [Lesson; PICTURE.len()] = {
    use Move::{Carry, Cut, DrawBack, Drop, Join, Lift};
    [
        Lesson {
            title: "Foundation and a plain row",
            says: "Chain one more than the stitches, work into the second chain from the hook. The strand \
                   stays at the row's end and makes the turning chain.",
            moves: &[Join, Drop],
        },
        Lesson {
            title: "Join a colour",
            says: "The new colour comes in on the last pull-through of the cream stitch before it, its tail \
                   laid along the row to be worked over. The cream strand goes along inside the teal \
                   stitches, and the teal one is left to wait where its last stitch stands.",
            moves: &[Join, Carry, Drop],
        },
        Lesson {
            title: "Pick a colour up",
            says: "The teal strand waits just where this row needs it. Pick it up on the last pull-through \
                   before, neither tight nor loose.",
            moves: &[Carry, Drop],
        },
        Lesson {
            title: "Draw back, and a lone stitch",
            says: "The teal strand waits two stitches further on than it is needed: draw it back and work \
                   over it. Then carry it under the cream to a single teal stitch; the cream goes along \
                   inside that one stitch too.",
            moves: &[Carry, DrawBack, Drop],
        },
        Lesson {
            title: "Carry along to where it is needed",
            says: "The work comes to the waiting teal strand before its stitches do: take it along inside the \
                   cream from there. Pull on it gently after the last stitch, so that it lies flat.",
            moves: &[Carry, Drop],
        },
        Lesson {
            title: "Lift a colour that waits",
            says: "No teal in this row. Lay the cream yarn around the waiting strand as you pass, so that it \
                   is caught and climbs to the top of the row.",
            moves: &[Drop, Lift],
        },
        Lesson {
            title: "Cut a colour",
            says: "After its last stitch the teal strand is cut, and its tail worked over at once. Weave the \
                   rest back with a needle: stitches alone don't hold an end.",
            moves: &[Carry, Drop, Cut],
        },
        Lesson {
            title: "A colour at the edge",
            says: "The row ends in rust: drop the cream and join the rust near the edge, where there are too \
                   few stitches for all of its tail. The turning chain is rust, since the next row begins in \
                   it.",
            moves: &[Join, Drop],
        },
        Lesson {
            title: "Carry all the way",
            says: "Rust at both edges: it goes along inside all the cream between. Look at the right side: how \
                   much of it shows through is what the plan weighs.",
            moves: &[Carry, Drop],
        },
        Lesson {
            title: "Cut, and pick up again",
            says: "Cut the rust after its last stitches. The cream strand waits just there.",
            moves: &[Drop, Cut],
        },
        Lesson {
            title: "A plain row",
            says: "Nothing is carried here: compare how high and how wide its stitches are with those of the \
                   rows below.",
            moves: &[Drop],
        },
        Lesson {
            title: "Finish",
            says: "After the last stitch cut the cream and pull its end through the loop. No row comes after, so \
                   all of this tail is for the needle.",
            moves: &[Cut],
        },
    ]
};
