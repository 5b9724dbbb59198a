//! What can be wrong with a plan.

use core::fmt;

use model::{RowNumber, StrandId};

macro_rules! kinds {
    ($($kind:ident $code:literal $hint:literal;)*) => {
        /// The reasons for which a plan is refused, each with what a person can do about it.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum ViolationKind {
            $(#[doc = concat!("`", $code, "`: ", $hint, ".")] $kind,)*
        }

        impl ViolationKind {
            /// Every reason there is.
            pub const ALL: &'static [Self] = &[$(Self::$kind,)*];

            /// The name that documents use; it stays as it is.
            #[must_use]
            pub const fn code(self) -> &'static str {
                match self { $(Self::$kind => $code,)* }
            }

            /// What a person can do about it.
            #[must_use]
            pub const fn hint(self) -> &'static str {
                match self { $(Self::$kind => $hint,)* }
            }
        }
    };
}

kinds! {
    TableSize "table_size" "the plan belongs to another palette: open it with its own chart, or plan this chart anew";
    BadRules "bad_rules" "set the weights and the tail within their bounds, then plan anew";
    UnknownYarn "unknown_yarn" "give the strand one of the chart's yarns, or open the plan with its own chart";
    RowCount "row_count" "the plan belongs to a chart of another height: open it with its own chart, or plan this chart anew";
    OffChart "off_chart" "boundaries count from 0 at the chart's left edge to the number of stitches at its right edge";
    UnknownStrand "unknown_strand" "add the strand to the list of strands, or correct its number in this step";
    JoinOrder "join_order" "number the strands in the order of their joins, each joined once";
    UsedBeforeJoin "used_before_join" "join the strand where it works its first run, before any other step of it";
    UsedAfterCut "used_after_cut" "join a new strand here, or drop the old one where it was cut";
    WrongYarn "wrong_yarn" "let a strand of the charted yarn make this stitch";
    FalseYarn "false_yarn" "correct the yarn in the list of strands, or join a strand of the charted yarn here";
    StitchMissed "stitch_missed" "let a strand work the run to which this stitch belongs before the work goes on";
    StitchTwice "stitch_twice" "begin this work where the work before it ended";
    RunSplit "run_split" "let one strand work the whole run, up to the next change of yarn";
    Jump "jump" "carry the strand there, draw it back there, or cut it and join a new one";
    AgainstWork "against_work" "only a drawing back goes against the direction of work, and only from where the strand waited";
    DrawnForward "drawn_forward" "write this move as a carry";
    EmptyMove "empty_move" "leave this step out: a strand that is in its place needs no move";
    DrawnBackAfterWork "drawn_back_after_work" "drop the strand after its work and draw it back in the next row, or join a new strand";
    MovedTwice "moved_twice" "make one move of it, up to the boundary where the strand works or is locked";
    CarryNotEnded "carry_not_ended" "let the strand work its run at the boundary reached, or lift it there";
    JoinNotWorked "join_not_worked" "join a strand only where it works its first run, and let it work next";
    WorkNotEnded "work_not_ended" "after its work carry, drop or cut the strand, before another one works on";
    NotAfterWork "not_after_work" "drop or cut the strand at the end of the run that it worked last";
    UsedAfterRest "used_after_rest" "once dropped or lifted a strand waits for the next row: move this step there";
    OutOfPlace "out_of_place" "put the steps of the row in the order in which the work comes to them";
    OutOfOrder "out_of_order" "at one boundary first end strands, then join, draw back and lift, carry, and work last";
    Float "float" "lift the strand in this row, or carry it, so that no loose yarn is left on the back";
    LeftOver "left_over" "cut the strand after its last run";
    NeverJoined "never_joined" "take the strand out of the list, or join it";
    NeverBroken "never_broken" "cut the strand and join it anew beyond these stitches, or allow the pair of yarns";
    LongestCarry "longest_carry" "cut the strand and join it anew, or allow longer carries";
    LongestWait "longest_wait" "cut the strand and join it anew, or allow longer waits";
    TailLine "tail_line" "a strand that is cut can't be worked over by stitches made before: choose onward or the next row";
    FalseTail "false_tail" "count the stitches of the line that lie inside the chart and may hide this yarn";
    ShortTailNotListed "short_tail_not_listed" "list the tail, so that its end gets woven in with a needle";
    FalseShortTail "false_short_tail" "take the tail out of the list: it is worked over for its whole length, or not there";
    ShortTailOrder "short_tail_order" "put the short tails in the order of rows";
    FalseColours "false_colours" "count the yarns that the chart uses";
    FalseRuns "false_runs" "count the runs that the strands work";
    FalseStrands "false_strands" "count the joins";
    FalseStrandsAtOnce "false_strands_at_once" "count the strands of each row, each from the row of its join to that of its cut";
    FalseCarried "false_carried" "count the stitches passed in carries and drawings back, own yarn included, tails not";
    FalseLongestCarry "false_longest_carry" "count the stitches of other yarns in each carry and drawing back and take the most";
    FalseCost "false_cost" "add up joins, tails, moves, lifts, hanging and cuts with the plan's own weights and tables";
    FalseBound "false_bound" "no plan costs less than its bound: it lies between 0 and the cost of this one";
    FalseLength "false_length" "work the length out again from the strand's steps and the yarn that each takes";
}

/// The first thing in a plan that can't be done or is not so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Violation {
    /// The reason.
    pub kind: ViolationKind,
    /// The row, where it is a matter of one.
    pub row: Option<RowNumber>,
    /// The stitch, from 1 in the direction of work, where it is a matter of one. Of a boundary: the
    /// stitch that comes after it, at the end of the row the last.
    pub stitch: Option<u32>,
    /// The strand, where it is a matter of one.
    pub strand: Option<StrandId>,
    /// What should be there.
    pub expected: String,
    /// What is there.
    pub found: String,
    /// What a person can do about it.
    pub hint: String,
}

impl Violation {
    /// One that is a matter of the whole plan.
    pub(crate) fn new(kind: ViolationKind, expected: impl ToString, found: impl ToString) -> Box<Self> {
        let (expected, found, hint) = (expected.to_string(), found.to_string(), kind.hint().into());
        Box::new(Self { kind, row: None, stitch: None, strand: None, expected, found, hint })
    }
}

impl fmt::Display for Violation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let row = self.row.map(|row| format!("row {row}: "));
        let stitch = self.stitch.map(|stitch| format!("stitch {stitch}: "));
        let strand = self.strand.map(|strand| format!("strand {strand}: "));
        [row, stitch, strand].iter().flatten().try_for_each(|place| f.write_str(place))?;
        let reason = self.kind.code().replace('_', " ");
        write!(f, "{reason}: expected {}, found {}", self.expected, self.found)
    }
}

impl std::error::Error for Violation {}
