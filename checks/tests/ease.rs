//! Charts that were made easy can be worked: planned, proven, and none beaten by another.

use charting::{Area, Cells, Frame, Limits, average, free_colours, read_picture};
use ease::{Count, Ease, Eased, Importance, Task, choices, ease};
use model::{Gauge, Hand, Palette, Rules, Weights, Yarn, YarnUse};

fn cells(name: &str, columns: usize, rows: usize) -> Cells {
    let path = format!("{}/../fixtures/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(path).expect("a fixture");
    let picture = read_picture(&bytes, &Limits::default()).expect("a picture").value;
    #[allow(clippy::cast_precision_loss)]
    let area = Area::whole(picture.width(), picture.height()).cut_to(columns as f64 / rows as f64);
    average(&picture, area, columns, rows, &mut charting::unwatched).expect("nobody stops it")
}

fn palette(cells: &Cells, count: usize) -> Palette {
    let colours = free_colours(cells, count, &mut charting::unwatched).expect("colours");
    let yarns = (0..).zip(colours).map(|(at, colour)| Yarn::plain(format!("{at}"), format!("{at}"), colour));
    Palette::new(yarns.collect()).expect("keys differ")
}

fn yarn_use() -> YarnUse {
    YarnUse::estimate(&Gauge::new(14.0, 15.0).expect("a gauge"))
}

/// The plan is what planning from scratch makes, and a stitch-by-stitch replay proves it.
fn prove(eased: &Eased, rules: &Rules) {
    let again = planner::plan_on(1, &eased.chart, rules, yarn_use(), &planner::unwatched).expect("a plan");
    assert_eq!(eased.plan.counts.cost, again.counts.cost);
    assert_eq!(eased.plan.counts.cost, eased.plan.bound);
    replay::prove(eased.chart.clone(), eased.plan.clone()).expect("a plan that can be worked");
}

#[test]
fn every_chart_of_a_row_is_proven_and_none_is_beaten() {
    for (name, count) in [("coffee.png", 5), ("rooster.png", 7)] {
        let cells = cells(name, 48, 60);
        let palette = palette(&cells, 6);
        let rules = Rules::new(&palette, Weights::default(), Hand::Left);
        let importance = Importance::from_contrast(&cells);
        let (cells, palette, rules, importance) = (&cells, &palette, &rules, &importance);
        let pool = palette.len();
        let task =
            Task { cells, palette, pool, rules, yarn_use: yarn_use(), importance, fixed: None, frame: None };
        let mut found = Vec::new();
        let count = Count::new(count).expect("5 to 7");
        let row =
            choices(&task, count, &mut |eased| found.push(eased), &mut charting::unwatched).expect("a row");
        assert_eq!(row.len(), count.number(), "{name}");
        let (plain, _) =
            charting::chart_cells(cells, palette.yarns(), &mut charting::unwatched).expect("a chart");
        assert_eq!(found[0].chart, plain, "{name}: the plain one comes first");
        for eased in &row {
            prove(eased, rules);
            assert!(found.contains(eased), "{name}: what comes back was handed out");
            assert!(!row.iter().any(|other| eased.is_beaten_by(other)), "{name}");
        }
        for pair in row.windows(2) {
            assert!(pair[1].plan.counts.cost < pair[0].plan.counts.cost, "{name}");
            assert!(pair[1].look.mean > pair[0].look.mean, "{name}");
        }
        let (first, last) = (row[0].plan.counts, row[row.len() - 1].plan.counts);
        assert!(2 * last.cost.thousandths() < first.cost.thousandths(), "{name}: {first:?} {last:?}");
    }
}

/// Forbidden pairs and limits change what work costs, and are kept.
#[test]
fn charts_are_made_for_the_rules_that_they_are_worked_under() {
    let cells = cells("chelsea.png", 40, 50);
    let palette = palette(&cells, 5);
    let mut rules = Rules::new(&palette, Weights::default(), Hand::Right);
    let [first, second, third] = [0, 1, 2].map(|at| palette.index(at).expect("five yarns"));
    assert!(rules.never.forbid(first, second) && rules.never.forbid(third, first));
    rules.limits.longest_carry = Some(6);
    rules.limits.longest_wait = Some(3);
    let importance = Importance::from_contrast(&cells);
    let frame = Some(Frame { stitches: 2, yarn: 0 });
    let (cells, palette, importance) = (&cells, &palette, &importance);
    let pool = palette.len();
    let task =
        Task { cells, palette, pool, rules: &rules, yarn_use: yarn_use(), importance, fixed: None, frame };
    let [plain, easy] = [0, 5].map(|number| {
        let ease_of = Ease::new(number).expect("on the dial");
        ease(&task, ease_of, &mut charting::unwatched).expect("a chart")
    });
    for eased in [&plain, &easy] {
        prove(eased, &rules);
        assert_eq!((eased.chart.columns(), eased.chart.rows()), (44, 54));
    }
    assert!(easy.plan.counts.cost < plain.plan.counts.cost);
}
