//! Whether the balls on hand will do for a chart.

use model::{Chart, Gauge, Yarn};

/// Yarn in one single crochet over its own width: the least and the most that published
/// measurements support (SEEN: 31.42 in of yarn per square inch; 2.7 in per stitch; 10.6 in per
/// inch of one row). The one value within, for costs, is [`model::YarnUse::STITCH_TO_WIDTH`].
const STITCH_TO_WIDTH: (f64, f64) = (8.0, 11.0);

/// Balls that so many stitches take, at the least and at the most; `None` where a ball's length is
/// not known.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn balls(yarn: &Yarn, stitches: usize, gauge: &Gauge) -> Option<(u64, u64)> {
    let ball = yarn.ball.map(|ball| ball.length.as_mm()).filter(|&length| length > 0.0)?;
    let widths = gauge.width_of(stitches).as_mm();
    let balls = |to_width: f64| libm::ceil(widths * to_width / ball) as u64;
    Some((balls(STITCH_TO_WIDTH.0), balls(STITCH_TO_WIDTH.1)))
}

/// Notes the yarns of which what is on hand will not do, and those of which it may not.
pub(crate) fn note_short(chart: &Chart, gauge: &Gauge, notes: &mut Vec<String>) {
    let (mut short, mut doubtful) = (Vec::new(), Vec::new());
    for (yarn, stitches) in chart.palette().yarns().iter().zip(chart.stitches_by_yarn()) {
        let Some(there) = yarn.on_hand.map(u64::from) else { continue };
        let Some((least, most)) = balls(yarn, stitches, gauge) else { continue };
        let needed = if least == most { least.to_string() } else { format!("{least} to {most}") };
        let what = if most == 1 { "ball" } else { "balls" };
        let entry = format!("{:?} ({needed} {what} needed, {there} on hand)", yarn.key);
        if there < least {
            short.push(entry);
        } else if there < most {
            doubtful.push(entry);
        }
    }
    for (words, yarns) in [("will not do for", short), ("may not do for", doubtful)] {
        if !yarns.is_empty() {
            notes.push(format!(
                "what is on hand {words} {}: an estimate from the gauge, {} to {} stitch widths of yarn a \
                 stitch, ends and carried strands left out",
                yarns.join(", "),
                STITCH_TO_WIDTH.0,
                STITCH_TO_WIDTH.1,
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Ball, Length, Palette, Srgb};

    fn yarn(key: &str, metres: Option<f64>, on_hand: Option<u32>) -> Yarn {
        let ball = metres.map(|metres| Ball { length: Length::cm(metres * 100.0), milligrams: 50_000 });
        Yarn { ball, on_hand, ..Yarn::plain(key, key, Srgb::new(1, 2, 3)) }
    }

    /// By hand: 1,000 stitches 8 mm wide take 64 to 88 m, of balls of 20 m 4 (3.2) to 5 (4.4).
    fn notes(metres: Option<f64>, on_hand: Option<u32>) -> Vec<String> {
        let palette = Palette::new(vec![yarn("oat", metres, on_hand)]).unwrap();
        let chart = Chart::new(palette, 20, 50, &[0; 1000]).unwrap();
        let mut notes = Vec::new();
        note_short(&chart, &Gauge::new(12.5, 13.0).unwrap(), &mut notes);
        notes
    }

    #[test]
    fn what_will_not_do_is_noted_with_the_range() {
        let got = notes(Some(20.0), Some(3));
        assert_eq!(got.len(), 1);
        assert!(
            got[0].starts_with("what is on hand will not do for \"oat\" (4 to 5 balls needed, 3 on hand)")
        );
        assert!(got[0].contains("an estimate from the gauge"));
        assert!(notes(Some(20.0), Some(4))[0].contains("may not do"));
        assert!(notes(Some(20.0), Some(0))[0].contains("will not do"));
        assert!(notes(Some(30.0), Some(2))[0].contains("(3 balls needed, 2 on hand)"));
    }

    #[test]
    fn what_will_do_or_is_not_known_is_not() {
        for (metres, on_hand) in
            [(Some(20.0), Some(5)), (Some(20.0), None), (None, Some(1)), (Some(0.0), Some(1))]
        {
            assert_eq!(notes(metres, on_hand), Vec::<String>::new());
        }
    }
}
