//! What a person forces, what that does to the edge, and what is refused.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use std::num::{NonZeroU8, NonZeroU32};

use border::{
    AlongSides, Border, BorderError, Choices, Corners, Edge, FitPart, Heights, Lie, Part, Piece, Repeat,
    Round, Stitch, Terms, border, says,
};
use common::{palette, piece, rounds, yarn};
use model::Gauge;

fn with_corners(stitch: Stitch, each: u8, times: usize) -> Border {
    let corners = Corners::Each(NonZeroU8::new(each).unwrap());
    let round = Round { corners, ..Round::new(stitch, yarn(0)) };
    common::around(&piece(60, 60, (14.0, 14.0)), &vec![round; times])
}

fn along(sides: AlongSides, rows: f64) -> Border {
    let choices = Choices { along_sides: sides, ..Choices::default() };
    border(&piece(60, 60, (14.0, rows)), &rounds(&[Stitch::Sc]), &choices, &palette()).unwrap()
}

fn last(border: &Border) -> &border::Fit {
    &border.rounds().last().unwrap().fit
}

/// Worked by hand: a dc as high as two stitches are wide needs π (round corner) to 4 (square) more than
/// one in each corner; three give 2.
#[test]
fn three_dc_in_each_corner_cup() {
    let border = with_corners(Stitch::Dc, 3, 1);
    let fit = last(&border);
    assert_eq!(fit.lie(), Lie::Cups);
    let (part, measure) = fit.faults().next().unwrap();
    assert_eq!(part, FitPart::Corners);
    assert_eq!((measure.has, measure.least, measure.most), (200, 314, 400));
    // Twelve corners' worth of stitches: 248 against an edge of 256.
    assert!((fit.excess() - (248.0 / 256.0 - 1.0)).abs() < 1e-6);
    let says = says(&border, Terms::Us).join("\n");
    let told = "Round 1 cups at the corners: each has added 2 sts by now and needs 3.14 (round) to 4 (square), so it \
                is 1.14 sts short. 3 in each corner are too few.";
    assert!(says.contains(told), "{says}");
    assert!(says.contains("3.1 % shorter than its edge"), "{says}");
}

#[test]
fn too_many_in_a_corner_ruffle_and_between_round_and_square_lies_flat() {
    assert_eq!(last(&with_corners(Stitch::Sc, 5, 1)).lie(), Lie::Ruffles);
    assert_eq!(last(&with_corners(Stitch::Sc, 3, 9)).lie(), Lie::Flat);
    assert_eq!(last(&with_corners(Stitch::Dc, 5, 9)).lie(), Lie::Flat);
    // 3 more than one is 0.14 short of a round corner each time: that adds up slowly.
    assert_eq!(last(&with_corners(Stitch::Dc, 4, 3)).lie(), Lie::Flat);
    // A single round of two sc is half a stitch short of a round corner; the second doubles that.
    assert_eq!(last(&with_corners(Stitch::Sc, 2, 1)).lie(), Lie::Flat);
    assert_eq!(last(&with_corners(Stitch::Sc, 2, 2)).lie(), Lie::Cups);
}

/// Source: one stitch per row end ruffles or pulls unless the gauge is square (DERIVED).
#[test]
fn a_stitch_for_every_row_end_needs_a_square_gauge() {
    for (rows, lie) in [(14.0, Lie::Flat), (14.3, Lie::Flat), (16.0, Lie::Ruffles), (12.0, Lie::Cups)] {
        let border = along(AlongSides::EveryRowEnd, rows);
        assert_eq!(last(&border).lie(), lie, "{rows}");
        assert_eq!(border.rounds()[0].edges[1].stitches, 60);
        let told =
            says(&border, Terms::Us).iter().any(|line| line.contains("along the left edge: it has 60 sts"));
        assert_eq!(told, lie != Lie::Flat);
        let sides = last(&border).faults().all(|(part, _)| matches!(part, FitPart::Edge(1 | 3)));
        assert!(sides);
    }
    assert_eq!(last(&along(AlongSides::Fitted, 16.0)).lie(), Lie::Flat);
    let forced = along(AlongSides::Stitches(NonZeroU32::new(30).unwrap()), 14.0);
    assert_eq!((last(&forced).lie(), forced.rounds()[0].between[1]), (Lie::Cups, 32));
}

/// A fitted round on a forced one grows by its own height and leaves the fault where it is.
#[test]
fn a_fitted_round_does_not_mend_a_forced_one() {
    let forced = Round { corners: Corners::Each(NonZeroU8::MIN), ..Round::new(Stitch::Sc, yarn(0)) };
    let wish = [forced, forced, Round::new(Stitch::Dc, yarn(0))];
    let border = common::around(&piece(60, 60, (14.0, 14.0)), &wish);
    assert_eq!(border.rounds()[2].corners.map(|corner| corner.stitches), [5; 4]);
    assert_eq!(border.rounds()[2].growth, 16);
    assert_eq!(last(&border).lie(), Lie::Cups);
    // Round corners of four rows take 2π a corner; the two rounds of one stitch added none.
    assert_eq!(
        says(&border, Terms::Us),
        [
            "Round 1 cups at the corners: each has added 0 sts by now and needs 1.57 (round) to 2 (square), so it is \
          1.57 sts short. 1 in each corner are too few. The whole round is 3.2 % shorter than its edge. By round 3 it \
          is 2.28 sts short."
        ]
    );
}

/// Every side becomes a multiple of 8 plus 3, by as few stitches as can be, spread evenly.
#[test]
fn a_repeat_is_met_on_every_side() {
    let repeat = Repeat::new(8, 3).unwrap();
    for columns in 20..60 {
        for at in 0..2 {
            let mut wish = rounds(&[Stitch::Sc, Stitch::Dc]);
            wish[at].repeat = Some(repeat);
            let piece = piece(columns, 75, (14.0, 15.2));
            let border = common::around(&piece, &wish);
            let plain = common::around(&piece, &rounds(&[Stitch::Sc, Stitch::Dc]));
            let round = &border.rounds()[at];
            for side in 0..4 {
                assert_eq!(round.between[side] % 8, 3);
                assert!(round.fudged[side].abs() <= 4);
                let without = i64::from(plain.rounds()[at].between[side]);
                assert_eq!(i64::from(round.between[side]), without + round.fudged[side]);
            }
            let straights = round.edges.iter();
            assert!(
                straights
                    .clone()
                    .all(|edge| edge.parts.iter().map(Part::stitches).sum::<u32>() == edge.stitches)
            );
        }
    }
}

#[test]
fn the_nearest_repeat_is_taken() {
    let repeat = Repeat::new(6, 1).unwrap();
    let nearest = |stitches| repeat.nearest(stitches);
    assert_eq!([6, 7, 10, 11, 13].map(nearest), [None, Some(7), Some(7), Some(13), Some(13)]);
    // Two stitches fewer of sixty: the fudge stands in the plan where the words have it.
    let mut wish = rounds(&[Stitch::Sc]);
    wish[0].repeat = Some(Repeat::new(29, 0).unwrap());
    let border = common::around(&piece(60, 60, (14.0, 14.0)), &wish);
    let round = &border.rounds()[0];
    assert_eq!((round.between, round.fudged), ([58, 58, 58, 58], [-2, -4, -2, -4]));
    assert_eq!(
        round.edges[0].parts.iter().filter(|part| matches!(part, Part::Run { each: 0, .. })).count(),
        2
    );
}

#[test]
fn what_is_no_border_is_refused() {
    let gauge = |stitches, rows| Gauge::new(stitches, rows).unwrap();
    let small = |columns, rows| Piece::new(columns, rows, gauge(14.0, 15.0)).unwrap_err();
    assert_eq!(small(2, 50), BorderError::TooSmall { columns: 2, rows: 50 });
    assert_eq!(small(50, 0), BorderError::TooSmall { columns: 50, rows: 0 });
    assert_eq!(small(10_001, 5), BorderError::TooLarge { columns: 10_001, rows: 5 });
    assert_eq!(small(5, usize::MAX), BorderError::TooLarge { columns: 5, rows: usize::MAX });
    let slip = Piece::new(60, 60, gauge(14.0, 38.0)).unwrap_err();
    assert_eq!(slip, BorderError::OutOfSquare { height_to_width: 37 });
    assert!(slip.to_string().contains("0.37 times"), "{slip}");
    assert!(Piece::new(60, 60, gauge(14.0, 28.0)).is_ok());
    let many =
        border(&piece(60, 60, (14.0, 14.0)), &rounds(&[Stitch::Sc; 101]), &Choices::default(), &palette());
    assert_eq!(many.unwrap_err(), BorderError::TooManyRounds(101));
    // One row, 0.63 times as high as a stitch is wide: the corners have taken up all its stitches.
    let flat = border(&piece(60, 1, (14.0, 22.2)), &rounds(&[Stitch::Dc]), &Choices::default(), &palette());
    assert_eq!(flat.unwrap_err(), BorderError::TooSmall { columns: 60, rows: 1 });
    for (multiple, plus) in [(0, 2), (10_001, 0), (2, u32::MAX)] {
        assert_eq!(Repeat::new(multiple, plus), Err(BorderError::NoRepeat { multiple, plus }));
    }
    let mut wish = rounds(&[Stitch::Sc, Stitch::Sc]);
    wish[1].repeat = Some(Repeat::new(60, 5).unwrap());
    let wide = border(&piece(60, 70, (14.0, 14.0)), &wish, &Choices::default(), &palette()).unwrap_err();
    assert_eq!(wide, BorderError::RepeatTooWide { round: 2, edge: Edge::Top, wanted: 65, stitches: 62 });
    let stitches = NonZeroU32::MAX;
    let choices = Choices { along_sides: AlongSides::Stitches(stitches), ..Choices::default() };
    let crowded =
        border(&piece(60, 70, (14.0, 14.0)), &rounds(&[Stitch::Sc]), &choices, &palette()).unwrap_err();
    assert_eq!(crowded, BorderError::TooManyAlongSides { stitches: u32::MAX, row_ends: 70 });
    let flat = Heights::measured(1500, 0, 3000).unwrap_err();
    assert_eq!(flat, BorderError::Height { stitch: Stitch::Dc, thousandths: 0 });
    for error in [wide, crowded, flat, slip, BorderError::TooManyRounds(101)] {
        let text = error.to_string();
        assert!(text.starts_with(|first: char| !first.is_uppercase()) && !text.ends_with('.'), "{text}");
        assert!(!error.hint().is_empty());
    }
}

/// Heights of one's own change the corners: an hdc half as high again as an sc takes four.
#[test]
fn measured_heights_are_used() {
    let heights = Heights::measured(1500, 2000, 3000).unwrap();
    let choices = Choices { heights, ..Choices::default() };
    let wish = rounds(&[Stitch::Sc, Stitch::Hdc, Stitch::Tr]);
    let border = border(&piece(60, 60, (14.0, 14.0)), &wish, &choices, &palette()).unwrap();
    let corners: Vec<_> = border.rounds().iter().map(|round| round.corners[0].stitches).collect();
    assert_eq!(corners, [3, 4, 7]);
}
