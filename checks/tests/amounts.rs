//! Amounts, winding, ends and time of planned charts: against what the replay counted, and laws.

use std::collections::BTreeSet;

use checks::random::{self, Rng};
use model::{
    Ball, Chart, Gauge, Hand, Length, Palette, Price, RowIndex, Rules, Srgb, Weights, Yarn, YarnUse,
};
use pattern::{
    Band, BorderYarn, Choices, DyeLots, EndOf, Grouping, Margin, OwnPace, Pace, Parts, Remeasured, Takes,
    Weight, amounts, cost, drift, ends, finished, hours, minutes_by_row, time, winding_list,
};
use replay::ProvenPlan;

fn small(number: usize) -> u32 {
    u32::try_from(number).expect("a small number")
}

fn gauge() -> Gauge {
    Gauge::new(14.0, 15.0).expect("a gauge")
}

fn planned(chart: Chart, rules: &Rules, takes: YarnUse) -> ProvenPlan {
    let plan = planner::plan_on(1, &chart, rules, takes, &planner::unwatched).expect("a plan");
    replay::prove(chart, plan).expect("the replay accepts it")
}

/// A random chart and its plan under random rules. Balls and prices are invented.
fn drawn(seed: u64) -> ProvenPlan {
    let mut rng = Rng::new(seed);
    let (rows, columns, yarns) = (1 + rng.below(14), 1 + rng.below(20), 1 + rng.below(4));
    let chart = random::chart(&mut rng, rows, columns, yarns);
    let mut list = chart.palette().yarns().to_vec();
    for (at, yarn) in list.iter_mut().enumerate() {
        yarn.ball = Some(Ball { length: Length::cm(300.0 + 170.0 * at as f64), milligrams: 50_000 });
        yarn.price = Some(Price { hundredths: 495 });
        yarn.on_hand = Some(small(rng.below(3)));
    }
    let cells: Vec<u8> =
        chart.row_indices().flat_map(|row| chart.row(row).to_vec()).map(|cell| cell.as_u8()).collect();
    let chart = Chart::new(Palette::new(list).expect("a palette"), rows, columns, &cells).expect("a chart");
    let rules = random::rules(&mut rng, chart.palette());
    planned(chart, &rules, YarnUse::estimate(&gauge()))
}

fn seeds() -> impl Iterator<Item = (usize, ProvenPlan)> {
    (0..400).map(|seed| (seed, drawn(seed as u64)))
}

fn choices(proven: &ProvenPlan) -> Choices {
    Choices::new(Takes::of_plan(proven.plan()))
}

/// Source: the replay's own count of what each strand takes (`docs/strand-model.md`, lengths).
#[test]
fn colours_add_up_to_the_whole_and_strands_to_their_colour() {
    for (seed, proven) in seeds() {
        let amounts = amounts(&proven, &choices(&proven));
        let claims = &proven.plan().strands;
        for amount in &amounts {
            let of = |(_, claim): &(_, &model::StrandClaim)| claim.yarn == amount.yarn;
            let strands: Vec<_> = proven.strands().iter().zip(claims).filter(of).collect();
            let length: Length = strands.iter().map(|(_, claim)| claim.length).sum();
            assert_eq!(amount.length.likely, length, "seed {seed}: strands add up to their colour");
            assert_eq!(amount.parts.total(), length, "seed {seed}: parts add up to their colour");
            assert_eq!(amount.strands, strands.len());
            let made: u64 = strands.iter().map(|(facts, _)| u64::from(facts.stitches)).sum();
            assert_eq!(amount.stitches, made);
            assert!(amount.length.low < amount.length.likely && amount.length.likely < amount.length.high);
        }
        let whole: Length = claims.iter().map(|claim| claim.length).sum();
        let parts: Parts = amounts.iter().map(|amount| amount.parts).sum();
        assert_eq!(parts.total(), whole, "seed {seed}: colours add up to the whole");
        let stitches: u64 = amounts.iter().map(|amount| amount.stitches).sum();
        assert_eq!(stitches, proven.chart().stitches() as u64);
        let takes = proven.plan().yarn_use;
        assert_eq!(parts.carried, takes.carried * proven.plan().counts.carried);
        assert_eq!(parts.foundation, takes.chain * (proven.chart().columns() as u64 + 1));
        assert_eq!(parts.turning, takes.chain * (proven.chart().rows() as u64 - 1));
        assert_eq!(parts.tails, takes.tail * proven.plan().counts.ends() as u64);
    }
}

#[test]
fn the_winding_list_covers_every_strand_once() {
    let mut grouped = 0;
    for (seed, proven) in seeds() {
        let choices = choices(&proven);
        let grouping =
            Grouping { small: Length::cm(150.0 + 40.0 * (seed % 7) as f64), within: 1 + small(seed % 9) };
        let list = winding_list(&proven, &choices, &grouping);
        let mut listed: Vec<u32> = list.strands().map(|wind| wind.strand.0).collect();
        listed.sort_unstable();
        let every: Vec<u32> = (0..).take(proven.plan().strands.len()).collect();
        assert_eq!(listed, every, "seed {seed}");
        let needed: Vec<_> = list.entries().iter().map(pattern::Entry::needed_at).collect();
        assert!(needed.is_sorted(), "seed {seed}: in the order of need");
        for entry in list.entries() {
            let strands = entry.strands();
            grouped += usize::from(strands.len() > 1);
            assert!(strands.iter().all(|wind| wind.yarn == entry.yarn()));
            let small = strands.len() == 1 || strands.iter().all(|wind| wind.length <= grouping.small);
            let span = strands[strands.len() - 1].joins_at.0 - entry.needed_at().0;
            assert!(small && span < grouping.within as usize, "seed {seed}");
        }
        let labels = proven.plan().labels(proven.chart().palette());
        for (tag, (label, facts)) in list.tags().into_iter().zip(labels.iter().zip(proven.strands())) {
            assert_eq!((&tag.label, tag.stitches), (label, u64::from(facts.stitches)));
            assert_eq!((tag.joins_at, tag.ends_at), (facts.first_row.into(), facts.last_row.into()));
        }
        for wind in list.strands() {
            let tag = wind.tag(proven.chart().palette(), pattern::Units::Metric);
            let yarn = proven.chart().palette().yarn(wind.yarn).called();
            assert!(tag.starts_with(&format!("{yarn} · ")), "{tag}");
            assert!(tag.ends_with(&format!("\u{a0}m · joins at row {}", wind.joins_at)), "{tag}");
        }
        // What is wound is what is to be had, but for rounding up strand by strand.
        for amount in amounts(&proven, &choices) {
            let wound: Length =
                list.strands().filter(|wind| wind.yarn == amount.yarn).map(|wind| wind.length).sum();
            let over = (wound - amount.to_have).micrometres();
            assert!((0..=amount.strands as i64).contains(&over), "seed {seed}: {over}");
        }
    }
    assert!(grouped > 100, "{grouped}");
}

#[test]
fn more_margin_is_never_less_to_buy_and_what_there_is_does() {
    for (seed, proven) in seeds().take(100) {
        let of = |percent, dye_lots| {
            let margin = Margin::percent(percent).expect("a margin");
            amounts(&proven, &Choices { margin, dye_lots, ..choices(&proven) })
        };
        for dye_lots in [DyeLots::Matter, DyeLots::Alike] {
            let mut before = of(0, dye_lots);
            for percent in [1, 10, 37, 100] {
                let now = of(percent, dye_lots);
                for (less, more) in before.iter().zip(&now) {
                    assert!(less.to_have < more.to_have && less.length == more.length, "seed {seed}");
                    let (less, more) = (less.balls.expect("balls"), more.balls.expect("balls"));
                    assert!(less.needed <= more.needed && less.buy <= more.buy);
                }
                assert!(cost(&before).0.hundredths <= cost(&now).0.hundredths);
                before = now;
            }
        }
        for amount in of(10, DyeLots::Matter) {
            let ball = proven.chart().palette().yarn(amount.yarn).ball.expect("a ball");
            let balls = amount.balls.expect("balls");
            assert!(
                ball.length * balls.needed >= amount.to_have && balls.on_hand + balls.buy >= balls.needed
            );
            assert!(ball.length * (balls.needed - 1) < amount.to_have, "seed {seed}: no ball too many");
            // Two lots can meet only where some is there and some is bought.
            let meet = balls.on_hand > 0 && balls.buy > 0;
            assert_eq!(amount.lot_advice().is_empty(), !meet, "seed {seed}");
            assert_eq!(amount.cost.map(|price| price.hundredths), Some(495 * balls.buy));
        }
    }
}

/// The same picture with every row twice over is twice the stitches; what stitches take is twice
/// the yarn, and that in foundation and tails is not.
#[test]
fn twice_the_stitches_is_twice_the_yarn() {
    for (seed, proven) in seeds().take(100) {
        let chart = proven.chart();
        let double: Vec<u8> = chart
            .row_indices()
            .flat_map(|row| [row, row])
            .flat_map(|row| chart.row(row).to_vec())
            .map(|cell| cell.as_u8())
            .collect();
        let double =
            Chart::new(chart.palette().clone(), 2 * chart.rows(), chart.columns(), &double).expect("a chart");
        let double = planned(double, proven.rules(), proven.plan().yarn_use);
        let (once, twice) = (amounts(&proven, &choices(&proven)), amounts(&double, &choices(&double)));
        for (once, twice) in once.iter().zip(&twice) {
            assert_eq!((once.yarn, once.stitches * 2), (twice.yarn, twice.stitches), "seed {seed}");
            assert_eq!(once.parts.stitches * 2, twice.parts.stitches);
            assert_eq!(once.parts.foundation, twice.parts.foundation);
        }
        // And twice the yarn in every thing it does is twice the yarn.
        let takes = proven.plan().yarn_use;
        let fat = YarnUse {
            stitch: takes.stitch * 2,
            chain: takes.chain * 2,
            carried: takes.carried * 2,
            lift: takes.lift * 2,
            tail: takes.tail * 2,
            ..takes
        };
        let takes = Takes { yarn_use: fat, stitch: Band::sure(fat.stitch), grist: None };
        for (thin, fat) in once.iter().zip(amounts(&proven, &Choices::new(takes))) {
            assert_eq!(thin.length.likely * 2, fat.length.likely, "seed {seed}");
        }
    }
}

#[test]
fn a_border_is_added_to_its_colour_alone() {
    for (seed, proven) in seeds().take(60) {
        let plain = choices(&proven);
        // A yarn of the chart, or one that comes with the border.
        let mut yarns = proven.chart().palette().yarns().to_vec();
        yarns.push(Yarn::plain("edge", "Edge", Srgb::new(1, 2, 3)));
        let palette = Palette::new(yarns).expect("one more yarn");
        let yarn = palette.index(seed % palette.len()).expect("a yarn");
        let yards = Band { low: Length::cm(900.0), likely: Length::cm(1000.0), high: Length::cm(1200.0) };
        let with =
            Choices { border: Some(BorderYarn { palette, takes: vec![(yarn, yards)] }), ..plain.clone() };
        let (before, after) = (amounts(&proven, &plain), amounts(&proven, &with));
        for amount in &after {
            let was = before.iter().find(|before| before.yarn == amount.yarn);
            let was = was.map_or(Band::sure(Length::ZERO), |before| before.length);
            let expected = if amount.yarn == yarn { was.plus(yards) } else { was };
            assert_eq!(amount.length, expected, "seed {seed}");
            assert_eq!(amount.parts.total(), amount.length.likely);
        }
        assert!(after.iter().any(|amount| amount.yarn == yarn), "a colour of the border alone is there");
    }
}

#[test]
fn the_ends_are_those_of_all_strands() {
    for (seed, proven) in seeds() {
        let plan = proven.plan();
        let ends = ends(&proven, &plan.yarn_use);
        assert_eq!(ends.len(), plan.counts.ends(), "seed {seed}");
        let each: BTreeSet<_> = ends.iter().map(|end| (end.strand, end.of == EndOf::Cut)).collect();
        assert_eq!(each.len(), ends.len(), "seed {seed}: each end once");
        assert_eq!(ends.iter().filter(|end| end.of == EndOf::Foundation).count(), 1);
        assert!(ends.is_sorted_by_key(|end| (end.row.0, end.after)));
        // Source: the short tails that the replay counted; the foundation's is no tail in the fabric.
        let foundation = ends.iter().find(|end| end.of == EndOf::Foundation).expect("one").strand;
        let short: u32 = plan
            .short_tails
            .iter()
            .filter(|tail| !(tail.of_join && tail.strand == foundation))
            .map(|tail| tail.missing)
            .sum();
        assert_eq!(ends.iter().map(|end| end.missing).sum::<u32>(), short, "seed {seed}");
        for end in &ends {
            assert!(end.left >= Length::ZERO && end.left <= plan.yarn_use.tail);
            assert!(end.over_in.0 == end.row.0 || end.over_in.0 == end.row.0 + 1);
            let columns = small(proven.chart().columns());
            let from_left = match RowIndex(end.row.0 - 1).direction(proven.rules().hand) {
                model::Direction::Rightwards => end.after,
                model::Direction::Leftwards => columns - end.after,
            };
            assert_eq!(end.at.0, from_left, "seed {seed}");
        }
        let first = ends.iter().find(|end| end.of == EndOf::Foundation).expect("one");
        assert_eq!((first.row.0, first.after), (1, small(proven.chart().columns())));
    }
}

#[test]
fn hours_add_up_however_they_are_told() {
    let own = OwnPace { stitches_a_minute: Some(12.0), end: Some(150.0), ..OwnPace::default() };
    let mine = own.pace().expect("a pace");
    for (seed, proven) in seeds().take(150) {
        for pace in [Pace::default(), mine] {
            let told = time(&proven, &pace, 1.5);
            let coarse = hours(&proven, &pace);
            assert!((told.total() - coarse.total() - 1.5).abs() < 1e-9, "seed {seed}");
            let rows: f64 = minutes_by_row(&proven, &pace).iter().sum();
            assert!((rows / 60.0 + told.finishing() - told.total()).abs() < 1e-9, "seed {seed}");
            let counts = proven.plan().counts;
            let stitches = proven.chart().stitches() as f64 * pace.stitch / 3600.0;
            assert!((told.stitches - stitches).abs() < 1e-9);
            assert!((told.weaving - counts.ends() as f64 * pace.weave / 3600.0).abs() < 1e-9);
            assert!((told.joins - counts.strands as f64 * pace.join / 3600.0).abs() < 1e-9);
            assert!((told.carries - counts.carried as f64 * pace.carried / 3600.0).abs() < 1e-9);
        }
        assert!(time(&proven, &mine, 0.0).total() > time(&proven, &Pace::default(), 0.0).total());
    }
}

#[test]
fn a_gauge_that_did_not_drift_leaves_what_was_planned() {
    for (seed, proven) in seeds().take(150).filter(|(_, proven)| proven.chart().rows() > 1) {
        let (rows, choices) = (proven.chart().rows(), choices(&proven));
        let done = 1 + seed % (rows - 1);
        let wished = gauge().height_of(rows);
        let again = Remeasured { rows_done: done, gauge: gauge(), height: None };
        let same = drift(&proven, &gauge(), &choices, &again, wished).expect("a drift");
        assert_eq!((same.rows_left, same.rows_to_go), (rows - done, rows - done), "seed {seed}");
        assert!((same.yarn - 1.0).abs() < 1e-12 && !same.far && same.early == (done < 20));
        assert!(same.says.contains("as the chart has them") && same.says.contains("as reckoned"));
        // What is left is less than all of it by the stitches that are done.
        let left: u64 = same.amounts.iter().map(|amount| amount.stitches).sum();
        assert_eq!(left, ((rows - done) * proven.chart().columns()) as u64);
        // Looser by a tenth either way: 21 % more area, a tenth more yarn in a stitch (by the square root).
        let loose = Gauge::new(14.0 / 1.1, 15.0 / 1.1).expect("a gauge");
        let loose = drift(&proven, &gauge(), &choices, &Remeasured { gauge: loose, ..again }, wished)
            .expect("a drift");
        assert!(
            (loose.yarn - 1.1).abs() < 1e-9
                && loose.height > same.height
                && loose.rows_to_go <= same.rows_to_go
        );
        for (same, loose) in same.amounts.iter().zip(&loose.amounts) {
            assert!(same.length.likely <= loose.length.likely);
        }
    }
}

/// By hand: 100 rows planned at 15 in 10 cm are 66.7 cm. After 20 rows the last ones come at 14 in
/// 10 cm, and the piece is 14 cm high: 52.7 cm are left, 73.7 rows, so 74 of the chart's 80.
#[test]
fn a_drift_is_as_reckoned_by_hand() {
    let palette = Palette::new(vec![model::Yarn::plain("oat", "Oat", model::Srgb::new(210, 190, 150))]);
    let chart = Chart::new(palette.expect("a palette"), 100, 10, &[0; 1000]).expect("a chart");
    let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
    let proven = planned(chart, &rules, YarnUse::estimate(&gauge()));
    let again = Remeasured {
        rows_done: 20,
        gauge: Gauge::new(14.0, 14.0).expect("a gauge"),
        height: Some(Length::cm(14.0)),
    };
    let wished = Length::cm(66.7);
    let found = drift(&proven, &gauge(), &choices(&proven), &again, wished).expect("a drift");
    assert_eq!((found.rows_left, found.rows_to_go, found.early, found.far), (80, 74, false, false));
    assert!(found.says.contains("the chart's 80 to go are 6 rows too many"), "{}", found.says);
    let bad = |rows_done, height| {
        let again = Remeasured { rows_done, height, ..again };
        drift(&proven, &gauge(), &choices(&proven), &again, wished).expect_err("refused")
    };
    assert_eq!(bad(0, None), pattern::DriftError::NothingDone);
    assert_eq!(bad(101, None), pattern::DriftError::RowsDone { done: 101, rows: 100 });
    assert_eq!(bad(20, Some(Length::ZERO)), pattern::DriftError::Height(Length::ZERO));
}

/// Source: worsted, 5 mm hook, 0.873 yards of yarn in a square inch of sc, so 50 × 60 in take about
/// 2,618 yards (DERIVED from a measured square, SEEN). One colour, at 3.5 stitches and 4 rows an inch
/// (about 4 rows is SEEN, the stitches are invented); the measured square's 785.5 in over 17.5 × 20
/// stitches are 2.244 in each.
#[test]
fn a_throw_takes_what_a_measured_square_says() {
    let palette = Palette::new(vec![model::Yarn::plain("oat", "Oat", model::Srgb::new(210, 190, 150))]);
    let (rows, columns) = (240, 175);
    let chart =
        Chart::new(palette.expect("a palette"), rows, columns, &vec![0; rows * columns]).expect("a chart");
    let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
    let gauge = Gauge::new(3.5 / 0.254, 4.0 / 0.254).expect("a gauge");
    let takes = YarnUse {
        stitch: Length::inches(785.5 / (17.5 * 20.0)),
        estimated: false,
        ..YarnUse::estimate(&gauge)
    };
    let proven = planned(chart, &rules, takes);
    let choices = choices(&proven);
    let amounts = amounts(&proven, &choices);
    let yards = pattern::LengthUnit::Yards.of(amounts[0].length.likely);
    assert!((yards / 2618.0 - 1.0).abs() < 0.02, "{yards}");
    let size = finished(&proven, &gauge, &amounts, Length::ZERO, None);
    assert!((size.width.as_inches() - 50.0).abs() < 1e-3 && (size.height.as_inches() - 60.0).abs() < 1e-3);
    assert_eq!((size.weight.likely, size.unweighed.len()), (Weight::ZERO, 1), "nobody knows its weight");
}
