//! Dyes that may run in the wash.

use model::{Chart, ColourIndex, Lab};

use crate::Touching;

/// A deep dye: so dark that hue does not matter (lower L*) …
const DARK: f64 = 30.0;
/// … or less dark, with much colour in it: L* below, chroma C*ab from here on.
const DEEP: (f64, f64) = (50.0, 30.0);
/// A pale yarn: L* from here on.
const PALE: f64 = 75.0;
// All invented. That reds, dark blues and blacks are the ones that run, and that it shows on white and
// pastels, is common practice, no source.

/// A yarn of deep colour that touches a pale one: if its dye is not fast, washing may stain the pale
/// one. Worked out from the colours alone; no dye is known to this program.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MayBleed {
    /// The yarn that may lose dye.
    pub deep: ColourIndex,
    /// The yarn that would show it.
    pub pale: ColourIndex,
    /// Sides of stitches that they share on the chart.
    pub sides: u64,
    /// How much lighter the pale one is, in units of L*.
    pub lightness: f64,
}

impl MayBleed {
    /// What to do, in plain English, whole sentences. Common practice, no source.
    pub const ADVICE: &str = "A deep colour beside a pale one may stain it in the wash. Read the band \
        of the deep yarn or ask its maker whether it is colourfast. To find out for yourself, wet a \
        length of it, press it in a white cloth and let it dry there; or work both yarns into one \
        swatch and wash it as you will wash the blanket. If colour comes out, wash that yarn before \
        you begin until the water stays clear, or take another. Nobody can promise it from the colour \
        alone.";

    /// [`Self::ADVICE`], for whoever has a pair in hand.
    #[must_use]
    pub const fn advice(&self) -> &'static str {
        Self::ADVICE
    }
}

/// The pairs of a chart where a deep dye touches a pale yarn, those that share most sides first, then
/// in the order of the palette.
#[must_use]
pub fn may_bleed(chart: &Chart) -> Vec<MayBleed> {
    let palette = chart.palette();
    let touching = Touching::on(chart);
    let yarns: Vec<_> = palette.indices().map(|yarn| (yarn, palette.yarn(yarn).colour.lab())).collect();
    let mut found = Vec::new();
    for &(deep, dye) in yarns.iter().filter(|(_, lab)| is_deep(*lab)) {
        for &(pale, ground) in yarns.iter().filter(|(_, lab)| lab.l >= PALE) {
            let sides = touching.sides(deep, pale);
            if sides > 0 {
                found.push(MayBleed { deep, pale, sides, lightness: ground.l - dye.l });
            }
        }
    }
    found.sort_by_key(|pair| (core::cmp::Reverse(pair.sides), pair.deep, pair.pale));
    found
}

fn is_deep(lab: Lab) -> bool {
    lab.l < DARK || (lab.l < DEEP.0 && lab.a * lab.a + lab.b * lab.b >= DEEP.1 * DEEP.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Yarn};

    /// Navy, white, cream, red, mid grey, yellow; the numbers of sides counted by hand. Red that turns
    /// white things pink, and navy, are what everybody warns of (common practice, no source); a mid
    /// grey and a yellow are not.
    #[test]
    fn deep_beside_pale_is_warned_of_and_nothing_else() {
        let colours = ["#1f2a44", "#ffffff", "#f5ecd7", "#c8102e", "#6f6f6f", "#f6c765"];
        let yarns = colours.map(|hex| Yarn::plain(hex, "", hex.parse().unwrap()));
        let palette = Palette::new(yarns.to_vec()).unwrap();
        #[rustfmt::skip]
        let cells = [
            0, 1, 3, 1, // navy–white, white–red twice
            0, 0, 4, 2, // navy–white from below, grey–cream; red–grey, white–cream
            5, 5, 5, 5, // navy–yellow twice: yellow is pale enough to show it
        ];
        let chart = Chart::new(palette, 3, 4, &cells).unwrap();
        let pairs: Vec<_> =
            may_bleed(&chart).iter().map(|pair| (pair.deep.index(), pair.pale.index(), pair.sides)).collect();
        assert_eq!(pairs, [(0, 1, 2), (0, 5, 2), (3, 1, 2)]);
        assert!(may_bleed(&chart).iter().all(|pair| pair.lightness > 30.0));
    }

    #[test]
    fn yarns_that_do_not_touch_are_not_named() {
        let yarns = ["#101010", "#808080", "#ffffff"].map(|hex| Yarn::plain(hex, "", hex.parse().unwrap()));
        let chart = Chart::new(Palette::new(yarns.to_vec()).unwrap(), 1, 3, &[0, 1, 2]).unwrap();
        assert_eq!(may_bleed(&chart), []);
    }
}
