//! Plans as JSON: the writer, and the names it shares with the reader in `plan_read`.

use std::fmt::Write as _;

use model::{
    Boundary, Chart, ColourIndex, Cost, Direction, Hand, Plan, RowIndex, RowNumber, Side, Step, Tail,
    TailLine,
};

use crate::json_text::string;

/// What the field `document` of a plan says.
pub const PLAN_DOCUMENT: &str = "strandwright plan";

/// The version of the document that is written and read.
pub const PLAN_VERSION: u32 = 1;

pub(crate) const fn hand_word(hand: Hand) -> &'static str {
    match hand {
        Hand::Right => "right",
        Hand::Left => "left",
    }
}

pub(crate) const fn side_word(side: Side) -> &'static str {
    match side {
        Side::Right => "RS",
        Side::Wrong => "WS",
    }
}

pub(crate) const fn direction_word(direction: Direction) -> &'static str {
    match direction {
        Direction::Leftwards => "left",
        Direction::Rightwards => "right",
    }
}

pub(crate) const fn line_word(line: TailLine) -> &'static str {
    match line {
        TailLine::Onward => "onward",
        TailLine::Before => "before",
        TailLine::NextRow => "next_row",
    }
}

/// Stitches as the shortest decimal: `12`, `0.35`.
pub(crate) fn stitches(cost: Cost) -> String {
    let text = cost.to_string();
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes a plan of this chart. The same plan gives the same text; one line a step, so that two
/// plans can be compared line by line.
///
/// # Panics
/// When the plan was made for a palette of another size.
#[must_use]
pub fn write_plan(chart: &Chart, plan: &Plan) -> String {
    let palette = chart.palette();
    let key = |yarn: ColourIndex| string(&palette.yarn(yarn).key);
    let rules = &plan.rules;
    let steps: usize = plan.rows.iter().map(|row| row.steps.len()).sum();
    let mut out = Out { text: String::with_capacity(4096 + 80 * steps) };

    out.line("{");
    out.field("document", &string(PLAN_DOCUMENT));
    out.field("version", &PLAN_VERSION.to_string());
    out.field("chart", &format!("{{\"rows\": {}, \"columns\": {}}}", chart.rows(), chart.columns()));
    let yarns = palette.indices().map(|yarn| {
        let (name, colour) = (string(&palette.yarn(yarn).name), palette.yarn(yarn).colour);
        let symbol = palette.symbol(yarn);
        format!(
            "{{\"key\": {}, \"name\": {name}, \"colour\": \"{colour}\", \"symbol\": \"{symbol}\"}}",
            key(yarn)
        )
    });
    out.list("yarns", yarns);
    out.field("hand", &string(hand_word(rules.hand)));
    out.field("weights", &weights(plan));
    let limit = |most: Option<u32>| most.map_or_else(|| "null".to_owned(), |most| most.to_string());
    let (carry, wait) = (limit(rules.limits.longest_carry), limit(rules.limits.longest_wait));
    out.field(
        "limits",
        &format!(
            "{{\"longest_carry\": {carry}, \"longest_wait\": {wait}, \"max_carried\": null, \"max_strands\": null}}"
        ),
    );
    out.list("never", rules.never.pairs().map(|(k, c)| format!("[{}, {}]", key(k), key(c))));
    let table = |cost: &dyn Fn(ColourIndex, ColourIndex) -> Cost| {
        let rows = palette.indices().map(|k| {
            let row: Vec<_> = palette.indices().map(|c| cost(k, c).thousandths().to_string()).collect();
            format!("      [{}]", row.join(", "))
        });
        rows.collect::<Vec<_>>().join(",\n")
    };
    let tables = &rules.tables;
    out.field(
        "tables",
        &format!(
            "{{\n    \"carry\": [\n{}\n    ],\n    \"lift\": [\n{}\n    ],\n    \"lift_edge\": {}\n  }}",
            table(&|k, c| tables.carry(k, c)),
            table(&|k, c| tables.lift(k, c)),
            tables.lift_edge.thousandths()
        ),
    );
    let uses = &plan.yarn_use;
    out.field(
        "yarn_use",
        &format!(
            "{{\"stitch\": {}, \"chain\": {}, \"carried\": {}, \"lift\": {}, \"tail\": {}, \"estimated\": {}}}",
            uses.stitch.micrometres(),
            uses.chain.micrometres(),
            uses.carried.micrometres(),
            uses.lift.micrometres(),
            uses.tail.micrometres(),
            uses.estimated
        ),
    );
    out.field("summary", &summary(chart, plan));
    let labels = plan.labels(palette);
    out.list(
        "strands",
        plan.strands.iter().zip(&labels).enumerate().map(|(at, (strand, label))| {
            let length = strand.length.micrometres();
            let yarn = key(strand.yarn);
            format!(
                "{{\"strand\": {}, \"label\": \"{label}\", \"yarn\": {yarn}, \"length\": {length}}}",
                at + 1
            )
        }),
    );
    out.list(
        "short_tails",
        plan.short_tails.iter().map(|tail| {
            let of = if tail.of_join { "join" } else { "cut" };
            let (row, strand, missing) = (RowNumber::from(tail.row), tail.strand, tail.missing);
            format!("{{\"row\": {row}, \"strand\": {strand}, \"of\": \"{of}\", \"missing\": {missing}}}")
        }),
    );
    out.rows(plan);
    out.text
}

fn weights(plan: &Plan) -> String {
    let w = &plan.rules.weights;
    let stitch_weights = [
        ("join", w.join),
        ("cut", w.cut),
        ("short", w.short),
        ("hang", w.hang),
        ("carry_same", w.carry_same),
        ("carry_other", w.carry_other),
        ("carry_show_dark", w.carry_show_dark),
        ("carry_show_light", w.carry_show_light),
        ("lift", w.lift),
        ("lift_show", w.lift_show),
        ("lift_edge", w.lift_edge),
    ];
    let mut text = format!("{{\n    \"tail\": {}", w.tail);
    for (name, weight) in stitch_weights {
        write!(text, ",\n    \"{name}\": {}", stitches(weight)).expect("a text takes any text");
    }
    text + "\n  }"
}

fn summary(chart: &Chart, plan: &Plan) -> String {
    let counts = &plan.counts;
    let numbers = [
        ("rows", chart.rows().to_string()),
        ("columns", chart.columns().to_string()),
        ("stitches", chart.stitches().to_string()),
        ("colours", counts.colours.to_string()),
        ("runs", counts.runs.to_string()),
        ("strands", counts.strands.to_string()),
        ("ends", counts.ends().to_string()),
        ("cost", stitches(counts.cost)),
        ("bound", stitches(plan.bound)),
        ("gap", plan.gap().to_string()),
        ("strands_at_once", counts.strands_at_once.to_string()),
        ("carried", counts.carried.to_string()),
        ("longest_carry", counts.longest_carry.to_string()),
    ];
    let lines: Vec<_> = numbers.iter().map(|(name, number)| format!("    \"{name}\": {number}")).collect();
    format!("{{\n{}\n  }}", lines.join(",\n"))
}

/// The text so far.
struct Out {
    text: String,
}

impl Out {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// One field of the document, never its last.
    fn field(&mut self, name: &str, value: &str) {
        writeln!(self.text, "  \"{name}\": {value},").expect("a text takes any text");
    }

    /// A list of the document with one item a line.
    fn list(&mut self, name: &str, items: impl Iterator<Item = String>) {
        let items: Vec<_> = items.map(|item| format!("    {item}")).collect();
        let value = if items.is_empty() { "[]".to_owned() } else { format!("[\n{}\n  ]", items.join(",\n")) };
        self.field(name, &value);
    }

    fn rows(&mut self, plan: &Plan) {
        self.text.push_str("  \"rows\": [");
        for (at, row) in plan.rows.iter().enumerate() {
            let index = RowIndex(at);
            let comma = if at > 0 { "," } else { "" };
            write!(
                self.text,
                "{comma}\n    {{\"row\": {}, \"side\": \"{}\", \"direction\": \"{}\", \"steps\": [",
                RowNumber::from(index),
                side_word(index.side()),
                direction_word(index.direction(plan.rules.hand))
            )
            .expect("a text takes any text");
            for (at, step) in row.steps.iter().enumerate() {
                self.text.push_str(if at > 0 { ",\n      " } else { "\n      " });
                self.step(step);
            }
            self.text.push_str(if row.steps.is_empty() { "]}" } else { "\n    ]}" });
        }
        self.text.push_str(if plan.rows.is_empty() { "]\n}\n" } else { "\n  ]\n}\n" });
    }

    fn step(&mut self, step: &Step) {
        let strand = step.strand();
        let text = &mut self.text;
        let mut at_step = |name: &str, at: Boundary, tail: Option<Tail>| {
            write!(text, "{{\"do\": \"{name}\", \"strand\": {strand}, \"at\": {}", at.0)?;
            if let Some(Tail { line, over }) = tail {
                write!(text, ", \"tail\": {{\"line\": \"{}\", \"over\": {over}}}", line_word(line))?;
            }
            text.write_char('}')
        };
        let written = match *step {
            Step::Join { at, tail, .. } => at_step("join", at, Some(tail)),
            Step::Cut { at, tail, .. } => at_step("cut", at, Some(tail)),
            Step::Drop { at, .. } => at_step("drop", at, None),
            Step::Lift { at, .. } => at_step("lift", at, None),
            Step::Work { from, to, .. } => moved(text, "work", strand, from, to),
            Step::Carry { from, to, .. } => moved(text, "carry", strand, from, to),
            Step::DrawBack { from, to, .. } => moved(text, "draw_back", strand, from, to),
        };
        written.expect("a text takes any text");
    }
}

fn moved(
    text: &mut String,
    name: &str,
    strand: model::StrandId,
    from: Boundary,
    to: Boundary,
) -> std::fmt::Result {
    write!(text, "{{\"do\": \"{name}\", \"strand\": {strand}, \"from\": {}, \"to\": {}}}", from.0, to.0)
}
