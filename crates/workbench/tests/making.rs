//! What is kept for the making of a blanket, what comes of it, and the lists to tick.

#![allow(clippy::unwrap_used)] // in helpers too: a test that can't go on has failed

mod common;

use core::num::NonZeroU8;

use common::{blank, open, yarn};
use model::{Ball, Length, Price, Yarn};
use workbench::{
    Blank, BlanketId, BorderWish, Edit, Evenings, Kind, Making, MeasuredAgain, RoundWish, SwatchGiven,
    TickList, Workbench, YarnTaken, border, pattern,
};

use border::{AlongSides, Repeat, Stitch};
use pattern::{Counted, Day, DyeLots, InTime, LengthUnit, Margin, OwnPace, WeightUnit};

const CM: LengthUnit = LengthUnit::Centimetres;

fn counted(count: f64, over: f64, unit: LengthUnit) -> Counted {
    Counted { count, over, unit }
}

/// Invented.
fn swatch() -> SwatchGiven {
    SwatchGiven {
        stitches: counted(28.0, 20.0, CM),
        rows: Some(counted(30.0, 20.0, CM)),
        taken: Some(YarnTaken::Weighed(37.0, WeightUnit::Grams)),
        whole: None,
        carried: true,
        yarn: Some("snow".to_owned()),
    }
}

fn round(stitch: Stitch, yarn: &str) -> RoundWish {
    RoundWish { stitch, yarn: yarn.to_owned(), corners: None, repeat: None }
}

fn bordered(rounds: Vec<RoundWish>) -> Making {
    Making { border: BorderWish { rounds, ..BorderWish::default() }, ..Making::default() }
}

/// A blanket of 40 by 30 with a bar of night, in yarns whose balls are known.
fn blanket(bench: &Workbench) -> BlanketId {
    let ball = |yarn: Yarn, on_hand| Yarn {
        ball: Some(Ball { length: Length::mm(170_000.0), milligrams: 100_000 }),
        price: Some(Price { hundredths: 650 }),
        on_hand: Some(on_hand),
        ..yarn
    };
    let plain = blank("Cushion", 40, 30);
    let [snow, night, brick] = <[Yarn; 3]>::try_from(plain.yarns.clone()).unwrap();
    let wish = Blank { yarns: vec![ball(snow, 1), ball(night, 0), brick], ..plain };
    let id = bench.blank(&wish).unwrap();
    let bar: Vec<usize> = (10..20).flat_map(|row| (5..15).map(move |column| row * 40 + column)).collect();
    bench.edit(id, 0, &Edit::Stitch { cells: bar, yarn: 1, stroke: None }).unwrap();
    id
}

#[test]
fn what_is_given_is_one_operation_with_its_name_and_survives_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    assert_eq!(bench.making(id).unwrap(), (Making::default(), 1));
    let mut making = Making::default();
    let mut steps = vec![("edit", making.clone())];
    let mut revision = 1;
    let mut keep = |name: &'static str, change: &dyn Fn(&mut Making)| {
        change(&mut making);
        let changed = bench.keep_making(id, revision, &making).unwrap();
        revision += 1;
        assert_eq!((changed.revision, changed.can_take_back.as_deref()), (revision, Some(name)));
        assert!(changed.making && !changed.reload && changed.cells.is_empty());
        steps.push((name, making.clone()));
    };
    keep("swatch", &|making| making.swatch = Some(swatch()));
    keep("margin", &|making| making.margin = Margin::percent(15).unwrap());
    keep("margin", &|making| making.dye_lots = DyeLots::Alike);
    keep("shrinkage", &|making| making.shrinkage = Some((20, -15)));
    keep("pace", &|making| making.pace = OwnPace { stitches_a_minute: Some(18.0), ..OwnPace::default() });
    keep("evenings", &|making| {
        making.evenings = Some(Evenings { a_week: 3, minutes: 60, by: Day::read("2030-01-01") })
    });
    keep("evenings", &|making| making.rows_done = 4);
    let again = MeasuredAgain {
        rows_done: 20,
        stitches: counted(14.5, 4.0, LengthUnit::Inches),
        rows: counted(15.0, 10.0, CM),
        height: Some((13.0, CM)),
    };
    keep("measured_again", &|making| making.again = Some(again));
    keep("border", &|making| making.border.rounds = vec![round(Stitch::Sc, "brick")]);
    keep("making", &|making| {
        making.border.rounds.clear();
        making.swatch = None;
    });
    // The same again is no operation.
    assert_eq!(bench.keep_making(id, revision, &making).unwrap().revision, revision);
    assert!(matches!(bench.keep_making(id, 3, &making).unwrap_err().kind, Kind::Stale { .. }));
    drop(bench);
    let bench = open(folder.path());
    for (_, before) in steps.iter().rev().skip(1) {
        let back = bench.take_back(id, revision).unwrap();
        revision += 1;
        assert!(back.making && back.can_do_again.is_some());
        assert_eq!(bench.making(id).unwrap(), (before.clone(), revision));
    }
    let again = bench.do_again(id, revision).unwrap();
    assert_eq!(again.can_take_back.as_deref(), Some("swatch"));
    assert_eq!(bench.making(id).unwrap().0, steps[1].1);
    // A copy has it from the first.
    let copy = bench.duplicate(id).unwrap();
    assert_eq!(bench.making(copy).unwrap().0, steps[1].1);
}

#[test]
fn what_can_not_be_is_refused_and_says_what_to_do() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    let evenings = |a_week, minutes| Some(Evenings { a_week, minutes, by: None });
    let pace = |number| OwnPace { stitches_a_minute: Some(number), ..OwnPace::default() };
    let zero = SwatchGiven { stitches: counted(0.0, 10.0, CM), ..swatch() };
    let slip = SwatchGiven { stitches: counted(56.0, 1.0, LengthUnit::Inches), ..swatch() };
    let plain = Making::default;
    for (making, word) in [
        (Making { swatch: Some(zero), ..plain() }, "a swatch of nothing"),
        (Making { swatch: Some(slip), ..plain() }, "is no gauge"),
        (Making { shrinkage: Some((501, 0)), ..plain() }, "not believable"),
        (Making { pace: pace(0.0), ..plain() }, "is no pace"),
        (Making { evenings: evenings(8, 60), ..plain() }, "8 evenings a week"),
        (Making { evenings: evenings(3, 2), ..plain() }, "2 minutes"),
        (Making { rows_done: 31, ..plain() }, "31 rows are done"),
        (bordered(vec![round(Stitch::Sc, "oak")]), "no yarn \"oak\""),
        (bordered(vec![round(Stitch::Sc, "snow"); 101]), "101 rounds are too many"),
    ] {
        let failure = bench.keep_making(id, 1, &making).unwrap_err();
        assert_eq!(failure.kind, Kind::BadInput, "{failure}");
        assert!(failure.what.contains(word) && !failure.hint.is_empty(), "{failure}");
    }
    assert_eq!(bench.making(id).unwrap(), (plain(), 1));
}

/// Source: docs/amounts.md: needed / a ball's length, rounded up; one spare where lots matter and any are
/// bought. The laws (colours add up, twice the margin) are those of `pattern`.
#[test]
fn amounts_follow_swatch_margin_and_border() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    let first = bench.amounts(id, Some(Day(0))).unwrap();
    assert_eq!((first.amounts.len(), first.of_blanket, first.palette.len()), (2, 3, 3));
    assert!(first.swatch.is_none() && first.schedule.is_none() && first.drift.is_none());
    assert!(first.says[0].starts_with("An estimate"), "{:?}", first.says);
    let snow = &first.amounts[0];
    let balls = snow.balls.unwrap();
    let whole = snow.to_have.micrometres().unsigned_abs().div_ceil(170_000_000);
    assert_eq!((balls.needed, balls.on_hand), (whole, 1));
    assert_eq!(balls.buy, whole - 1 + u64::from(whole > 1));

    let mut making = Making { swatch: Some(swatch()), ..Making::default() };
    bench.keep_making(id, 1, &making).unwrap();
    let measured = bench.amounts(id, Some(Day(0))).unwrap();
    assert!(measured.says[0].starts_with("From your swatch"), "{:?}", measured.says);
    assert_eq!(measured.swatch.as_ref().unwrap().yarn, Some(0));
    // 40 stitches at 14 in 10 cm.
    assert_eq!(measured.finished.width.micrometres() / 1000, 285);

    making.border.rounds = vec![round(Stitch::Sc, "brick"), round(Stitch::Dc, "snow")];
    bench.keep_making(id, 2, &making).unwrap();
    let with = bench.amounts(id, Some(Day(0))).unwrap();
    assert_eq!(with.amounts.len(), 3, "the border's own yarn is among them");
    assert_eq!((with.amounts[2].strands, with.amounts[2].stitches), (0, 0));
    assert!(with.amounts[0].parts.border > Length::ZERO && with.amounts[1].parts.border == Length::ZERO);
    assert_eq!(with.amounts[0].parts.stitches, measured.amounts[0].parts.stitches);
    assert!(with.time.border > 0.0 && with.finished.width > measured.finished.width);
    assert_eq!(with.amounts[1], measured.amounts[1]);
    let edge = bench.border(id, None).unwrap();
    let laid = edge.laid.unwrap();
    for of_border in &laid.yarns {
        assert_eq!(with.amounts[of_border.yarn].parts.border, of_border.length.likely);
    }
    assert_eq!((laid.size.0, laid.size.1), (with.finished.width, with.finished.height));
    assert!((laid.hours.0 + laid.hours.1 - with.time.border).abs() < 1e-9);
}

#[test]
fn evenings_and_drift_come_of_what_is_given() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    let again = MeasuredAgain {
        rows_done: 20,
        stitches: counted(13.0, 10.0, CM),
        rows: counted(14.0, 10.0, CM),
        height: None,
    };
    let day = |text| Day::read(text).unwrap();
    let making = Making {
        swatch: Some(swatch()),
        evenings: Some(Evenings { a_week: 7, minutes: 60, by: Some(day("2026-12-31")) }),
        again: Some(again),
        ..Making::default()
    };
    bench.keep_making(id, 1, &making).unwrap();
    // The clock of these tests stands at 25 November 2026.
    let amounts = bench.amounts(id, None).unwrap();
    let schedule = amounts.schedule.unwrap().unwrap();
    assert_eq!(schedule.evenings[0].day, day("2026-11-25"));
    assert!(matches!(schedule.in_time, InTime::Yes { .. }));
    let drift = amounts.drift.unwrap().unwrap();
    assert_eq!(drift.rows_left, 10);
    // 40 stitches at 13 in 10 cm.
    assert_eq!(drift.width.micrometres() / 1000, 307);
    let late = bench.amounts(id, Some(day("2027-01-05"))).unwrap().schedule.unwrap().unwrap_err();
    assert_eq!(late.0, "the wished day was 5 days ago");
    // A chart that has become smaller is told, not refused.
    bench.edit(id, 2, &Edit::DeleteRows { at: 0, count: 15 }).unwrap();
    let (what, hint) = bench.amounts(id, None).unwrap().drift.unwrap().unwrap_err();
    assert_eq!((what.as_str(), hint.is_empty()), ("20 rows are done, and the chart has 15", false));
}

/// Source: docs/border.md: at a square gauge a corner takes 3 sc and 5 dc (SEEN), an sc round grows by 8.
#[test]
fn a_border_is_told_drawn_and_kept_where_its_yarn_goes() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    assert!(bench.border(id, None).unwrap().laid.is_none());
    let square = SwatchGiven { rows: Some(counted(28.0, 20.0, CM)), taken: None, ..swatch() };
    let rounds = vec![round(Stitch::Sc, "brick"), round(Stitch::Sc, "brick"), round(Stitch::Dc, "night")];
    let mut making = Making { swatch: Some(square), ..bordered(rounds) };
    bench.keep_making(id, 1, &making).unwrap();
    let told = bench.border(id, Some(workbench::Terms::Uk)).unwrap();
    let laid = told.laid.unwrap();
    assert_eq!(laid.rounds[0].corners, [3; 4]);
    assert_eq!(laid.rounds[1].growth, 8);
    assert_eq!((laid.rounds[2].stitch.0, laid.rounds[0].stitch.0), ("tr", "dc"));
    let drawn = &laid.rounds[0].drawn;
    assert_eq!((drawn.corner, drawn.middle), (3, 2));
    assert_eq!((drawn.before.len(), drawn.after.len()), (38, 30));
    assert_eq!(drawn.along[1].0, 30);
    assert_eq!(drawn.after.iter().sum::<u32>(), drawn.along[1].1);
    assert_eq!(laid.pick_up.len(), 2);
    assert!(laid.pick_up.iter().all(|line| line.contains("row end")), "{:?}", laid.pick_up);
    assert!(laid.words.contains("Round 3") && laid.says[0].contains("lies flat"), "{:?}", laid.says);

    // The yarn goes: told, not lost.
    bench.edit(id, 2, &Edit::DropYarn { index: 2, instead: None }).unwrap();
    let without = bench.border(id, None).unwrap();
    assert_eq!((without.of_blanket, without.palette.len()), (2, 3));
    assert_eq!(without.palette[2].yarn.key, "brick");
    assert!(without.notes[0].starts_with("brick is no yarn of this blanket any more"), "{:?}", without.notes);
    assert_eq!(without.laid.unwrap().rounds[0].yarn, 2);
    let amounts = bench.amounts(id, None).unwrap();
    assert_eq!(amounts.amounts.last().unwrap().yarn.index(), 2);
    assert_eq!(amounts.notes, without.notes);
    // It is still there when the border is changed, and comes back with the yarn.
    making.border.along_sides = AlongSides::EveryRowEnd;
    bench.keep_making(id, 3, &making).unwrap();
    assert_eq!(bench.border(id, None).unwrap().palette.len(), 3);
    bench.edit(id, 4, &Edit::AddYarn(yarn("brick", 0xa0_30_30))).unwrap();
    let back = bench.border(id, None).unwrap();
    assert_eq!((back.of_blanket, back.notes.len()), (3, 0));

    // What can't be worked is kept and told, with the round.
    making.border.rounds[1].repeat = Repeat::new(500, 0).ok();
    making.border.rounds[0].corners = NonZeroU8::new(2);
    bench.keep_making(id, 5, &making).unwrap();
    let told = bench.border(id, None).unwrap();
    assert!(told.laid.is_none() && told.fault_at == Some(1));
    assert!(told.fault.unwrap().0.starts_with("round 2 has"));
    let notes = bench.amounts(id, None).unwrap().notes;
    assert!(notes[0].starts_with("the border can't be worked"), "{notes:?}");
}

#[test]
fn ticks_stay_with_strands_and_ends_through_restarts_and_changes_elsewhere() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    let winding = bench.winding(id).unwrap();
    let strands: Vec<_> = winding.entries.iter().flatten().collect();
    assert_eq!(strands.len(), bench.blanket(id).unwrap().plan.strands);
    let night = strands.iter().find(|strand| strand.of.yarn.index() == 1).unwrap();
    assert!(!night.ticked && night.of.joins_at.0 == 11);
    let marks = [night.mark.clone()];
    bench.tick(id, TickList::Winding, &marks, true).unwrap();
    let end = bench.ends(id).unwrap().ends[1].mark.clone();
    bench.tick(id, TickList::Ends, std::slice::from_ref(&end), true).unwrap();
    drop(bench);

    let bench = open(folder.path());
    let ticked = |bench: &Workbench| -> Vec<(String, String, Option<Length>)> {
        let entries = bench.winding(id).unwrap().entries;
        let ticked = entries.into_iter().flatten().filter(|strand| strand.ticked);
        ticked.map(|strand| (strand.mark, strand.of.label, strand.wound)).collect()
    };
    assert_eq!(ticked(&bench), [(night.mark.clone(), night.of.label.clone(), Some(night.of.length))]);
    assert_eq!(bench.ends(id).unwrap().ends.iter().filter(|end| end.ticked).count(), 1);
    assert_eq!(bench.blanket(id).unwrap().can_take_back.as_deref(), Some("stitch"), "ticks are no operation");
    // Another strand of night before it: the tick does not go over to that.
    bench.edit(id, 1, &Edit::Stitch { cells: vec![3 * 40 + 30], yarn: 1, stroke: None }).unwrap();
    let after = ticked(&bench);
    assert_eq!((after[0].0.as_str(), after.len()), (night.mark.as_str(), 1));
    assert_ne!(after[0].1, night.of.label);
    // With more margin it needs more than was wound.
    bench.keep_making(id, 2, &Making { margin: Margin::percent(50).unwrap(), ..Making::default() }).unwrap();
    let entries = bench.winding(id).unwrap().entries;
    let strand = entries.iter().flatten().find(|strand| strand.ticked).unwrap();
    assert!(strand.wound.unwrap() < strand.of.length);

    bench.tick(id, TickList::Winding, &marks, false).unwrap();
    assert!(ticked(&bench).is_empty());
    let failure = bench.tick(id, TickList::Ends, &[end, "1:99:join:snow".to_owned()], false).unwrap_err();
    assert_eq!(failure.kind, Kind::BadInput);
    assert_eq!(bench.ends(id).unwrap().ends.iter().filter(|end| end.ticked).count(), 1, "nothing by halves");
    assert_eq!(bench.tick(BlanketId(99), TickList::Ends, &[], true).unwrap_err().kind, Kind::NotFound);
}

#[test]
fn the_swatch_gives_its_gauge_to_the_blanket_and_takes_it_back() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = blanket(&bench);
    assert_eq!(bench.take_gauge(id, 1).unwrap_err().kind, Kind::BadInput);
    bench.keep_making(id, 1, &Making { swatch: Some(swatch()), ..Making::default() }).unwrap();
    let changed = bench.take_gauge(id, 2).unwrap();
    assert!(changed.reload && changed.can_take_back.as_deref() == Some("gauge"));
    let gauge = bench.blanket(id).unwrap().gauge;
    assert!((gauge.stitches() - 14.0).abs() < 1e-9 && (gauge.rows() - 15.0).abs() < 1e-9);
    assert_eq!(bench.take_gauge(id, 3).unwrap().revision, 3);
    bench.take_back(id, 3).unwrap();
    assert!((bench.blanket(id).unwrap().gauge.stitches() - 12.5).abs() < 1e-9);
    assert!(bench.making(id).unwrap().0.swatch.is_some());
}

#[test]
fn the_practice_patch_has_a_lesson_for_every_row_until_it_is_changed() {
    let folder = tempfile::tempdir().unwrap();
    let bench = open(folder.path());
    let id = bench.practice().unwrap();
    let patch = bench.blanket(id).unwrap();
    assert_eq!(bench.lessons(id).unwrap().len(), patch.rows);
    assert!(patch.name.contains("invented"));
    bench.edit(id, 0, &Edit::Stitch { cells: vec![0], yarn: 1, stroke: None }).unwrap();
    assert!(bench.lessons(id).unwrap().is_empty());
    let other = blanket(&bench);
    assert!(bench.lessons(other).unwrap().is_empty());
}
