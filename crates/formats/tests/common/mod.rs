//! What several tests share: seeded chance and a small plan, made by hand.
#![allow(dead_code, unreachable_pub)] // each test file uses its own part
#![allow(clippy::unwrap_used)] // in helpers of tests

use model::*;

/// Seeded chance: a linear congruential generator (constants of Knuth's MMIX, from memory).
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(2).wrapping_add(1))
    }

    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % end as u64).unwrap()
    }

    pub fn byte(&mut self) -> u8 {
        u8::try_from(self.below(256)).unwrap()
    }

    /// One of these.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }

    /// A text with all kinds of letters, quotation marks and backslashes among them.
    pub fn text(&mut self, longest: usize) -> String {
        let letters: Vec<char> = "abcXYZ019 äß€中\u{1f9f6}\"\\'/#=[]{},:;".chars().collect();
        (0..=self.below(longest)).map(|_| *self.of(&letters)).collect()
    }
}

/// The first fault that says this; all faults where none does.
#[track_caller]
pub fn expect_fault(faults: &formats::Faults, what: &str, place: &str) {
    let found = faults.0.iter().any(|fault| fault.what.contains(what) && fault.place == place);
    assert!(found, "no fault says {what:?} at {place:?}:\n{faults}");
}

#[track_caller]
pub fn expect_note(notes: &[String], says: &str) {
    assert!(notes.iter().any(|note| note.contains(says)), "no note says {says:?}: {notes:?}");
}

/// A block of `docs/formats.md`, by the words after its fence.
pub fn documented(info: &str) -> String {
    let docs = include_str!("../../../../docs/formats.md").replace("\r\n", "\n");
    let start = format!("\n```{info}\n");
    let (_, rest) = docs.split_once(&start).expect("the page has such a block");
    let (block, _) = rest.split_once("\n```\n").expect("the block ends");
    format!("{block}\n")
}

/// The chart of the documented plan (invented).
pub fn chart() -> Chart {
    let night = Yarn::plain("night", "Night sky", Srgb::new(0, 0, 0));
    let snow = Yarn::plain("snow", "Fresh snow", Srgb::new(255, 255, 255));
    let palette = Palette::new(vec![night, snow]).unwrap();
    Chart::new(palette, 2, 4, &[0, 0, 1, 0, 0, 0, 0, 0]).unwrap()
}

/// The documented plan, worked out by hand from `docs/strand-model.md`: joins and cuts 48, tails
/// 2.0 + 1.25 + 2.2 + 6 (short), one stitch of snow carried over 1.85, one row hung 0.1.
pub fn plan() -> Plan {
    let chart = chart();
    let [night, snow] = [0, 1].map(|at| chart.palette().index(at).unwrap());
    let weights = Weights { tail: 2, ..Weights::default() };
    let mut rules = Rules::new(chart.palette(), weights, Hand::Right);
    rules.limits.longest_carry = Some(7);
    let [one, two] = [StrandId(0), StrandId(1)];
    let b = Boundary;
    let tail = |over| Tail { line: TailLine::Onward, over };
    let length = Length::from_micrometres;
    let cost = Cost::from_thousandths(61_400);
    Plan {
        rules,
        yarn_use: YarnUse {
            stitch: length(76_000),
            chain: length(40_800),
            carried: length(8_000),
            lift: length(7_500),
            tail: length(150_000),
            estimated: true,
        },
        rows: vec![
            Row {
                steps: vec![
                    Step::Join { strand: one, at: b(4), tail: tail(2) },
                    Step::Work { strand: one, from: b(4), to: b(3) },
                    Step::Join { strand: two, at: b(3), tail: tail(2) },
                    Step::Carry { strand: one, from: b(3), to: b(2) },
                    Step::Work { strand: two, from: b(3), to: b(2) },
                    Step::Cut { strand: two, at: b(2), tail: tail(2) },
                    Step::Work { strand: one, from: b(2), to: b(0) },
                    Step::Drop { strand: one, at: b(0) },
                ],
            },
            Row {
                steps: vec![
                    Step::Work { strand: one, from: b(0), to: b(4) },
                    Step::Cut { strand: one, at: b(4), tail: tail(0) },
                ],
            },
        ],
        strands: vec![
            StrandClaim { yarn: night, length: length(1_084_800) },
            StrandClaim { yarn: snow, length: length(376_000) },
        ],
        short_tails: vec![ShortTail { row: RowIndex(1), strand: one, of_join: false, missing: 2 }],
        counts: PlanCounts {
            colours: 2,
            runs: 4,
            strands: 2,
            strands_at_once: 2,
            carried: 1,
            longest_carry: 1,
            cost,
        },
        bound: cost,
    }
}
