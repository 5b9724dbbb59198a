//! What a pattern on paper says: that nothing is missing, twice or made up.

use booklet::{Booklet, Passing, Told, booklet};
use border::{Piece, Round, Stitch};
use checks::read_back::Case;
use model::{Gauge, Length, Palette, Srgb, WeightCategory, Yarn};
use pattern::{Band, Basis, BorderYarn, Choices, Pace, Terms, Units};
use replay::ProvenPlan;

/// Everything that a booklet of a case is made of.
struct Made {
    proven: ProvenPlan,
    basis: Basis,
    choices: Choices,
    border: border::Border,
    terms: Terms,
}

impl Made {
    fn of(case: &Case) -> Self {
        let proven = case.proven();
        let gauge = Gauge::new(14.0, 15.0).expect("a gauge");
        let basis = Basis::without_swatch(proven.plan(), gauge, true, WeightCategory::MEDIUM);
        let basis = basis.expect("a gauge that can be");
        // An edge in a yarn of its own (invented).
        let mut yarns = proven.chart().palette().yarns().to_vec();
        yarns.push(Yarn::plain("edge", "Edge", Srgb::new(70, 60, 50)));
        let palette = Palette::new(yarns).expect("one more yarn");
        let edge = palette.indices().last().expect("a last yarn");
        let piece = Piece::new(proven.chart().columns().max(4), proven.chart().rows().max(4), gauge);
        let rounds = [Round::new(Stitch::Sc, edge), Round::new(Stitch::Hdc, edge)];
        let choices = border::Choices { hand: proven.rules().hand, ..border::Choices::default() };
        let border = border::border(&piece.expect("a piece"), &rounds, &choices, &palette).expect("a border");
        let takes = border::amounts(&border, &basis.takes.yarn_use).into_iter().map(|amount| {
            let border::Band { low, likely, high } = amount.length;
            (amount.yarn, Band { low, likely, high })
        });
        let border_yarn = BorderYarn { takes: takes.collect(), palette };
        let choices = Choices { border: Some(border_yarn), ..Choices::new(basis.takes) };
        Self { proven, basis, choices, border, terms: case.terms }
    }

    fn booklet(&self, change: impl FnOnce(&mut Told<'_>), look: impl FnOnce(&Booklet<'_>)) {
        let time = pattern::time(&self.proven, &Pace::default(), 1.0);
        let mut told = Told {
            proven: &self.proven,
            basis: &self.basis,
            choices: &self.choices,
            time: &time,
            border: Some(&self.border),
            shrinkage: None,
            title: " ",
            by: "",
            note: "",
            picture_by: "",
            passing: Passing::NotSaid,
            terms: self.terms,
            units: Units::Metric,
        };
        change(&mut told);
        look(&booklet(&told));
    }
}

/// A rough number of a text that ends in a unit.
fn number(text: &str) -> f64 {
    text.split(' ').next().and_then(|number| number.replace(',', "").parse().ok()).expect("a number")
}

#[test]
fn yarns_strands_and_rows_are_all_there_once() {
    for seed in 0..300 {
        let case = Case::small(seed);
        let made = Made::of(&case);
        made.booklet(
            |_| (),
            |booklet| {
                let (chart, plan) = (made.proven.chart(), made.proven.plan());
                let counted = |texts: Vec<&str>| -> usize {
                    let whole = |text: &str| text.replace(',', "").parse::<usize>().expect("a whole number");
                    texts.into_iter().filter(|text| !text.is_empty()).map(whole).sum()
                };
                let stitches = booklet.yarns.iter().map(|yarn| yarn.stitches.as_str()).collect();
                assert_eq!(counted(stitches), chart.stitches(), "seed {seed}");
                let strands = booklet.yarns.iter().map(|yarn| yarn.strands.as_str()).collect();
                assert_eq!(counted(strands), plan.strands.len(), "seed {seed}");
                let last = booklet.yarns.last().expect("the edge");
                assert_eq!((last.name.as_str(), last.stitches.as_str()), ("Edge", ""), "seed {seed}");
                assert!(number(&last.length) > 0.0);

                let mut wound: Vec<&str> = booklet
                    .winding
                    .iter()
                    .flat_map(|entry| entry.strands.iter().map(|line| line.label.as_str()))
                    .collect();
                let mut labels = plan.labels(chart.palette());
                wound.sort_unstable();
                labels.sort();
                assert_eq!(wound, labels, "seed {seed}");
                let mut tags: Vec<&String> = booklet.tags.iter().map(|(label, _)| label).collect();
                tags.sort();
                assert_eq!(tags, labels.iter().collect::<Vec<_>>(), "seed {seed}");
                assert_eq!(booklet.ends.len(), plan.counts.ends(), "seed {seed}");

                let mut next = 1;
                for row in &booklet.rows.rows {
                    assert_eq!(row.first, next, "seed {seed}");
                    assert!(row.last >= row.first);
                    next = row.last + 1;
                }
                assert_eq!(next, chart.rows() + 1, "seed {seed}");
            },
        );
    }
}

/// The rows of a booklet, one line each, are the rows of the text, whose reader is the judge.
#[test]
fn rows_of_a_booklet_are_read_back_strand_by_strand() {
    for seed in 0..300 {
        let case = if seed % 30 == 0 { Case::drawn(seed, 5, 70, 4) } else { Case::small(seed) };
        Made::of(&case).booklet(
            |_| (),
            |booklet| {
                let mut text = format!("{}\n", booklet.rows.foundation);
                for row in &booklet.rows.rows {
                    text += &format!("{}: {}\n", row.name, row.lines.join(" "));
                }
                case.check_text(&text);
            },
        );
    }
}

/// The usual cautions are in every pattern, whoever prints it.
#[test]
fn cautions_and_rights_are_always_there() {
    let case = Case::small(7);
    let made = Made::of(&case);
    made.booklet(
        |_| (),
        |booklet| {
            assert_eq!(booklet.title, "A picture blanket");
            let text: String = booklet.closing.iter().flat_map(|section| &section.says).cloned().collect();
            for word in [
                "Babies",
                "cot",
                "rest every half hour",
                "Heat can melt",
                "Unknown fibres",
                "Picture by: ___",
            ] {
                assert!(text.contains(word), "{word} is not in {text}");
            }
            assert!(text.contains("Nothing is said here of giving this pattern on"));
        },
    );
    made.booklet(
        |told| (told.picture_by, told.passing, told.title) = ("Ada", Passing::OwnUse, "Fox\u{202e} #1 *$"),
        |booklet| {
            assert_eq!(booklet.title, "Fox\u{202e} #1 *$");
            let whose = &booklet.closing.last().expect("whose picture it is").says;
            assert_eq!(whose[0], "Picture by: Ada");
            assert!(whose[1].contains("your own use"));
        },
    );
}

/// A name, a unit or a border changes nothing of what is worked.
#[test]
fn units_and_terms_change_words_alone() {
    let made = Made::of(&Case::small(11));
    made.booklet(
        |told| told.units = Units::Inches,
        |booklet| {
            let text = format!("{:?} {:?} {:?}", booklet.facts, booklet.yarns, booklet.winding);
            assert!(text.contains(" yd") && text.contains(" in"), "{text}");
            assert!(!text.contains(" m\"") && !text.contains(" cm"), "{text}");
        },
    );
    made.booklet(
        |told| told.terms = Terms::Uk,
        |booklet| {
            let border = booklet.border.as_ref().expect("a border");
            assert!(border.rounds[0].title.contains("dc = double crochet"), "{}", border.rounds[0].title);
            assert!(booklet.rows.foundation.contains("The first dc goes"));
        },
    );
}

/// A length that is printed is never shorter than what was reckoned.
#[test]
fn lengths_to_have_are_rounded_up() {
    let made = Made::of(&Case::small(3));
    let amounts = pattern::amounts(&made.proven, &made.choices);
    made.booklet(
        |_| (),
        |booklet| {
            for (yarn, amount) in booklet.yarns.iter().zip(&amounts) {
                assert!(Length::mm(number(&yarn.length) * 1000.0) >= amount.to_have, "{yarn:?}");
            }
        },
    );
}
