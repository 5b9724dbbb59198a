//! What is printed in which ink.

use booklet::Booklet;
use model::{Chart, ColourIndex, Srgb};

use crate::chart_picture::ink_on;

use super::Ink;

pub(super) const WHITE: Srgb = Srgb::new(255, 255, 255);
/// Greys that a cell of black-and-white paper may have, for light yarns first. Black stands out from
/// the darkest by 12 : 1.
const GREYS: [u8; 4] = [0xff, 0xf1, 0xe2, 0xd2];

/// Inks of a chart.
pub(super) struct Inks {
    /// Cells of each yarn, and its symbol on them.
    cells: Vec<(Srgb, Srgb)>,
    /// The same for cells that are shown again from the neighbouring piece.
    pale: Vec<(Srgb, Srgb)>,
    /// The colour of each yarn where the chart is drawn small.
    small: Vec<Srgb>,
    /// Text, edges, every twentieth line.
    pub(super) dark: Srgb,
    /// The tenth lines between, and their numbers: 4.5 : 1 on white, for they are text too.
    pub(super) warm: Srgb,
    /// Lines between cells.
    pub(super) thin: Srgb,
}

impl Inks {
    pub(super) fn new(chart: &Chart, ink: Ink) -> Self {
        let colours: Vec<Srgb> = chart.palette().yarns().iter().map(|yarn| yarn.colour).collect();
        let black = Srgb::new(0, 0, 0);
        match ink {
            Ink::Colour => {
                let pale = |colour: Srgb| {
                    let mix = |part: u8| u8::try_from((u16::from(part) * 2 + 255 * 3) / 5).unwrap_or(255);
                    Srgb::new(mix(colour.red), mix(colour.green), mix(colour.blue))
                };
                Self {
                    cells: colours.iter().map(|&colour| (colour, ink_on(colour))).collect(),
                    pale: colours.iter().map(|&colour| (pale(colour), Srgb::new(0x3d, 0x39, 0x41))).collect(),
                    small: colours,
                    dark: Srgb::new(0x2a, 0x26, 0x2e),
                    warm: Srgb::new(0x96, 0x55, 0x2e),
                    thin: Srgb::new(0x8a, 0x82, 0x8c),
                }
            }
            Ink::Black => Self {
                cells: colours.iter().map(|&colour| (grey(colour, &colours), black)).collect(),
                pale: vec![(WHITE, Srgb::new(0x6e, 0x6e, 0x6e)); colours.len()],
                small: colours.iter().map(|&colour| as_light(colour)).collect(),
                dark: black,
                warm: Srgb::new(0x5c, 0x5c, 0x5c),
                thin: Srgb::new(0x96, 0x96, 0x96),
            },
        }
    }

    /// What a cell of that yarn is filled with, and the ink of its symbol.
    pub(super) fn cell(&self, yarn: ColourIndex, pale: bool) -> (Srgb, Srgb) {
        if pale { self.pale[yarn.index()] } else { self.cells[yarn.index()] }
    }

    /// What stands for a yarn where the chart is drawn small.
    pub(super) fn small(&self, yarn: ColourIndex) -> Srgb {
        self.small[yarn.index()]
    }
}

/// The grey that is as light as a colour.
fn as_light(colour: Srgb) -> Srgb {
    let known = (0..=255).map(|grey| Srgb::new(grey, grey, grey));
    let off = |grey: &Srgb| (grey.luminance() - colour.luminance()).abs();
    known.min_by(|one, two| off(one).total_cmp(&off(two))).unwrap_or(WHITE)
}

/// The grey of a yarn's cells on black-and-white paper: the yarns of a chart from light to dark, spread
/// over all greys, so that two of much the same lightness get two greys where there are few yarns.
pub(super) fn grey(colour: Srgb, among: &[Srgb]) -> Srgb {
    let lightness = colour.lab().l;
    let lighter = among.iter().filter(|other| other.lab().l > lightness).count();
    let step = (lighter * GREYS.len() / among.len().max(1)).min(GREYS.len() - 1);
    Srgb::new(GREYS[step], GREYS[step], GREYS[step])
}

/// Colour of a yarn in the key, and the ink of its symbol on it: as on the chart.
pub(super) fn in_key(colour: Srgb, among: &[Srgb], ink: Ink) -> (Srgb, Srgb) {
    match ink {
        Ink::Colour => (colour, ink_on(colour)),
        Ink::Black => (grey(colour, among), Srgb::new(0, 0, 0)),
    }
}

/// A picture of the fabric, without its colours where the paper is black and white.
pub(super) fn picture(booklet: &Booklet<'_>, ink: Ink, longest: u32) -> Result<Vec<u8>, crate::PictureError> {
    let png = crate::fabric_preview(
        booklet.proven,
        &booklet.gauge,
        model::Side::Right,
        &crate::Part::Whole,
        longest,
    )?;
    if ink == Ink::Colour {
        return Ok(png);
    }
    let encoding = |error: image::ImageError| crate::PictureError::Encoding(error.to_string());
    let grey = image::load_from_memory(&png).map_err(encoding)?.to_luma8();
    let mut bytes = Vec::new();
    grey.write_with_encoder(image::codecs::png::PngEncoder::new(&mut bytes)).map_err(encoding)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Yarn};

    fn contrast(one: Srgb, two: Srgb) -> f64 {
        let (one, two) = (one.luminance() + 0.05, two.luminance() + 0.05);
        (one / two).max(two / one)
    }

    /// Source: WCAG 2, contrast of text (4.5 : 1) and of what must be seen to understand (3 : 1).
    #[test]
    fn symbols_and_numbers_stand_out_in_both_inks() {
        for red in (0..=255).step_by(15) {
            for green in (0..=255).step_by(15) {
                for blue in (0..=255).step_by(51) {
                    let yarn = Yarn::plain("a", "", Srgb::new(red, green, blue));
                    let chart = Chart::new(Palette::new(vec![yarn]).unwrap(), 1, 1, &[0]).unwrap();
                    for ink in [Ink::Colour, Ink::Black] {
                        let inks = Inks::new(&chart, ink);
                        let yarn = chart.row(model::RowIndex(0))[0];
                        for pale in [false, true] {
                            let (cell, symbol) = inks.cell(yarn, pale);
                            assert!(contrast(cell, symbol) >= 3.0, "{cell} {symbol}");
                        }
                        assert!(contrast(inks.dark, WHITE) >= 4.5 && contrast(inks.warm, WHITE) >= 4.5);
                    }
                }
            }
        }
    }

    /// Black-and-white paper gets greys alone, and light ones.
    #[test]
    fn black_paper_has_light_greys() {
        let yarns = ["#000000", "#c8102e", "#1c2444", "#7a9bc4", "#f6c765", "#ffffff"];
        let yarns = yarns.map(|hex| hex.parse::<Srgb>().unwrap());
        for yarn in yarns {
            let grey = grey(yarn, &yarns);
            assert!(grey.red == grey.green && grey.green == grey.blue && grey.red >= 0xd2, "{grey}");
        }
        // Two dark yarns that are all there is are told apart.
        let dark = [yarns[0], yarns[2]];
        assert_ne!(grey(dark[0], &dark), grey(dark[1], &dark));
    }
}
