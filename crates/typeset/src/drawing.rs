//! The moves of a strand as small line drawings: the fabric seen flat, two rows of stitches as
//! blocks, the strand as a bold line.
//!
//! In every drawing the upper row is the one being worked, from left to right; the strand in question
//! is the dark line, and blocks of its own colour are the stitches that it makes. A ring is where a
//! strand waits, a disc is what is left of it on its bobbin; broken lines run behind the fabric.

use core::fmt::Write as _;

use pattern::Move;

/// Width and height in units of the drawing.
pub(crate) const SIZE: (u32, u32) = (132, 66);

/// Width of a stitch; height of a row; where the first stitch begins; tops of the upper row, of the
/// lower one, and what lies below.
const WIDE: u32 = 20;
const HIGH: u32 = 17;
const LEFT: u32 = 6;
const TOP: u32 = 15;
const MIDDLE: u32 = TOP + HIGH;
const BOTTOM: u32 = MIDDLE + HIGH;
/// Where a strand lies inside the upper row: along the top of the row below.
const INSIDE: u32 = MIDDLE - 5;
const STITCHES: u32 = 6;

/// What it is drawn in.
#[derive(Clone, Copy)]
pub(crate) struct Inks {
    /// The strand.
    strand: &'static str,
    /// Stitches that the strand makes.
    own: &'static str,
    /// Stitches of another strand, in this row and in the row below.
    other: &'static str,
    below: &'static str,
    /// Outlines, arrows, scissors, the working yarn of another strand.
    line: &'static str,
}

/// In colour.
pub(crate) const COLOUR: Inks =
    Inks { strand: "#a3441f", own: "#e9b89e", other: "#f3ecdf", below: "#fbf8f2", line: "#5b5360" };
/// For a black-and-white printer.
#[cfg(any(feature = "pages", test))]
pub(crate) const BLACK: Inks =
    Inks { strand: "#000000", own: "#cfcfcf", other: "#ffffff", below: "#ffffff", line: "#4a4a4a" };

/// The drawing of a move as an SVG, with what it shows as its title.
#[must_use]
pub fn drawing(step: Move) -> String {
    drawn(step, COLOUR)
}

/// What the drawing of a move shows, for who can't see it.
#[must_use]
pub const fn drawing_says(step: Move) -> &'static str {
    match step {
        Move::Join => {
            "A new strand comes up from its loose tail, between two stitches, and makes the next three."
        }
        Move::Carry => {
            "After its stitch the strand runs on inside four stitches of another yarn, to where it is \
             needed again."
        }
        Move::DrawBack => {
            "The strand waits three stitches further on. It runs back to here, and the next three \
             stitches, two of them its own, are made over it."
        }
        Move::Drop => {
            "After three stitches the strand waits at the top of the row, its bobbin hanging behind the \
             fabric, while another strand goes on."
        }
        Move::Lift => {
            "The strand waits on the row below. The working yarn passes around it, so that it climbs to \
             the top of this row and waits there."
        }
        Move::Cut => "After its last stitch the strand is cut, and a tail hangs down.",
    }
}

/// Left edge of a stitch of the row, from 0.
const fn x(stitch: u32) -> u32 {
    LEFT + WIDE * stitch
}

/// The drawing of a move in these inks.
pub(crate) fn drawn(step: Move, inks: Inks) -> String {
    let mut sheet = Sheet::new(step, inks);
    match step {
        Move::Join => {
            sheet.fabric("aaaooo");
            let (end, out) = (BOTTOM + 12, x(6) - 3);
            sheet.strand(&format!(
                "M{} {end}C{} {end} {} {INSIDE} {} {INSIDE}H{}Q{out} {INSIDE} {out} {}",
                x(2) - 4,
                x(3) - 1,
                x(3) - 9,
                x(3) + 10,
                out - 9,
                TOP - 3
            ));
            sheet.bobbin(out, TOP - 7);
        }
        Move::Carry => {
            sheet.fabric("oaaaao");
            sheet.strand(&format!("M{} {INSIDE}H{}", x(0) + 8, x(5) + 4));
            sheet.arrow((x(5) + 12, INSIDE), (1, 0));
        }
        Move::DrawBack => {
            sheet.fabric("aaooa.");
            sheet.behind(x(5), MIDDLE + 2, BOTTOM + 7);
            sheet.bobbin(x(5), BOTTOM + 10);
            sheet.strand(&format!("M{} {MIDDLE}Q{} {INSIDE} {} {INSIDE}H{}", x(5), x(5), x(5) - 8, x(2) + 8));
            sheet.arrow((x(2) + 1, INSIDE), (-1, 0));
            sheet.ring(x(5), MIDDLE);
        }
        Move::Drop => {
            sheet.fabric("oooaaa");
            sheet.behind(x(3), TOP + 3, BOTTOM + 7);
            sheet.strand(&format!(
                "M{} {INSIDE}H{}Q{} {INSIDE} {} {}",
                x(0) + 8,
                x(3) - 9,
                x(3),
                x(3),
                TOP + 2
            ));
            sheet.bobbin(x(3), BOTTOM + 10);
            sheet.ring(x(3), TOP);
        }
        Move::Lift => {
            sheet.fabric("aaaaa.");
            sheet.behind(x(3), MIDDLE + 2, BOTTOM + 7);
            sheet.bobbin(x(3), BOTTOM + 10);
            sheet.strand(&format!("M{} {MIDDLE}V{}", x(3), TOP + 2));
            let (at, around) = (x(3), TOP + 5);
            sheet.working(&format!(
                "M{} {around}H{}C{} {around} {} {around} {} {}S{} {} {} {}S{} {around} {} {around}H{}",
                x(0) + 6,
                at - 12,
                at + 4,
                at + 13,
                at + 13,
                around + 5,
                at - 13,
                around + 10,
                at - 13,
                around + 5,
                at - 4,
                at + 12,
                x(5) - 4
            ));
            sheet.arrow((x(3), TOP - 4), (0, -1));
            sheet.ring(x(3), MIDDLE);
        }
        Move::Cut => {
            sheet.fabric("oooaaa");
            let end = BOTTOM + 9;
            sheet.strand(&format!(
                "M{} {INSIDE}H{}Q{} {INSIDE} {} {}T{} {end}",
                x(0) + 8,
                x(3) - 10,
                x(3) + 2,
                x(3) + 3,
                MIDDLE + 8,
                x(3) + 16
            ));
            sheet.scissors(x(3) + 20, end);
        }
    }
    sheet.end()
}

/// An SVG that is being drawn.
struct Sheet {
    text: String,
    inks: Inks,
}

impl Sheet {
    fn new(step: Move, inks: Inks) -> Self {
        let (width, height) = SIZE;
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {width} {height}\"><title>{}</title>",
            drawing_says(step)
        );
        let mut sheet = Self { text, inks };
        // The way the row is worked.
        sheet.put(&format!(
            "<path d=\"M{LEFT} 7h17\" fill=\"none\" stroke=\"{line}\" stroke-width=\"1.2\"/>\
             <path d=\"M{} 7l-5 -3v6z\" fill=\"{line}\"/>",
            LEFT + 21,
            line = inks.line
        ));
        sheet
    }

    fn put(&mut self, piece: &str) {
        self.text.push_str(piece);
    }

    /// Two rows of stitches, the upper one in letters: `o` the strand's own, `a` another's, `.` not
    /// made yet.
    fn fabric(&mut self, upper: &str) {
        let line = self.inks.line;
        let mut block = |stitch: u32, top: u32, fill: &str, broken: bool| {
            let dash = if broken { " stroke-dasharray=\"2 2\"" } else { "" };
            let _ = write!(
                self.text,
                "<rect x=\"{}\" y=\"{top}\" width=\"{WIDE}\" height=\"{HIGH}\" rx=\"5\" fill=\"{fill}\" \
                 stroke=\"{line}\" stroke-width=\".8\"{dash}/>",
                x(stitch)
            );
        };
        for stitch in 0..STITCHES {
            block(stitch, MIDDLE, self.inks.below, false);
        }
        for (stitch, kind) in (0..).zip(upper.chars()) {
            match kind {
                'o' => block(stitch, TOP, self.inks.own, false),
                'a' => block(stitch, TOP, self.inks.other, false),
                _ => block(stitch, TOP, "none", true),
            }
        }
    }

    /// A bold line with a pale rim, so that it stands out on any block.
    fn line(&mut self, path: &str, colour: &str, width: &str, rim: &str) {
        for (colour, width) in [("#ffffff", rim), (colour, width)] {
            self.put(&format!(
                "<path d=\"{path}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{width}\" \
                 stroke-linecap=\"round\"/>"
            ));
        }
    }

    fn strand(&mut self, path: &str) {
        self.line(path, self.inks.strand, "3.2", "5");
    }

    /// The working yarn of another strand.
    fn working(&mut self, path: &str) {
        self.line(path, self.inks.line, "1.8", "3.4");
    }

    /// The strand behind the fabric, straight down.
    fn behind(&mut self, x: u32, top: u32, bottom: u32) {
        self.put(&format!(
            "<path d=\"M{x} {top}V{bottom}\" stroke=\"{}\" stroke-width=\"2\" stroke-dasharray=\"2.5 2.5\"/>",
            self.inks.strand
        ));
    }

    /// Where a strand waits.
    fn ring(&mut self, x: u32, y: u32) {
        self.put(&format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"3.6\" fill=\"#ffffff\" stroke=\"{}\" stroke-width=\"2\"/>",
            self.inks.strand
        ));
    }

    fn bobbin(&mut self, x: u32, y: u32) {
        self.put(&format!(
            "<circle cx=\"{x}\" cy=\"{y}\" r=\"5\" fill=\"{}\"/><circle cx=\"{x}\" cy=\"{y}\" r=\"1.6\" \
             fill=\"#ffffff\"/>",
            self.inks.strand
        ));
    }

    /// An arrowhead whose point is there; the way it points is one unit long.
    fn arrow(&mut self, (x, y): (u32, u32), (right, down): (i32, i32)) {
        let at = |along: i32, aside: i32| {
            let (x, y) = (i64::from(x), i64::from(y));
            let (along, aside) = (i64::from(along), i64::from(aside));
            let (right, down) = (i64::from(right), i64::from(down));
            format!("{} {}", x - along * right + aside * down, y - along * down + aside * right)
        };
        self.put(&format!(
            "<path d=\"M{}L{}L{}z\" fill=\"{}\" stroke=\"#ffffff\" stroke-width=\".8\"/>",
            at(0, 0),
            at(9, 5),
            at(9, -5),
            self.inks.strand
        ));
    }

    /// A pair of scissors whose blades meet there, its rings to the right.
    fn scissors(&mut self, x: u32, y: u32) {
        self.put(&format!(
            "<path d=\"M{left} {}L{right} {}M{left} {}L{right} {}\" stroke=\"{line}\" stroke-width=\"1.8\" \
             stroke-linecap=\"round\"/><g fill=\"none\" stroke=\"{line}\" stroke-width=\"1.6\"><circle \
             cx=\"{rings}\" cy=\"{}\" r=\"3.2\"/><circle cx=\"{rings}\" cy=\"{}\" r=\"3.2\"/></g>",
            y - 5,
            y + 2,
            y + 5,
            y - 2,
            y - 4,
            y + 4,
            left = x - 7,
            right = x + 8,
            rings = x + 11,
            line = self.inks.line
        ));
    }

    fn end(mut self) -> String {
        self.put("</svg>");
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOVES: [Move; 6] = [Move::Join, Move::Carry, Move::DrawBack, Move::Drop, Move::Lift, Move::Cut];

    /// Six drawings that differ, each with its own words and closed, in both inks.
    #[test]
    fn every_move_has_its_own_drawing() {
        for inks in [COLOUR, BLACK] {
            let all = MOVES.map(|step| drawn(step, inks));
            for (at, one) in all.iter().enumerate() {
                assert!(one.starts_with("<svg ") && one.ends_with("</svg>"));
                assert!(one.contains(drawing_says(MOVES[at])));
                assert!(all[at + 1..].iter().all(|other| other != one));
            }
        }
    }

    /// On black-and-white paper no colour is needed: every ink is a grey.
    #[test]
    fn the_black_drawings_hold_greys_alone() {
        for step in MOVES {
            for colour in drawn(step, BLACK).split('#').skip(1) {
                assert!(colour[0..2] == colour[2..4] && colour[2..4] == colour[4..6], "{}", &colour[..6]);
            }
        }
    }
}
