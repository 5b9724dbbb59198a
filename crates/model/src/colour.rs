//! Colour: sRGB to CIELAB and the CIEDE2000 difference, in 64-bit floats.
//!
//! The constants are those of `docs/strand-model.md`. Trigonometry and roots come from `libm`, so
//! that every platform gets the same bits.

use core::fmt;
use core::str::FromStr;

/// A colour of eight bits a channel in sRGB (IEC 61966-2-1).
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Srgb {
    /// Red, 0 to 255.
    pub red: u8,
    /// Green, 0 to 255.
    pub green: u8,
    /// Blue, 0 to 255.
    pub blue: u8,
}

/// A text is not a colour of the form `#rrggbb`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SrgbError;

impl fmt::Display for SrgbError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("not a colour of the form #rrggbb")
    }
}

impl std::error::Error for SrgbError {}

impl Srgb {
    /// A colour from its three channels.
    #[must_use]
    pub const fn new(red: u8, green: u8, blue: u8) -> Self {
        Self { red, green, blue }
    }

    /// The channels in linear light, 0 to 1 each.
    #[must_use]
    pub fn linear(self) -> [f64; 3] {
        [self.red, self.green, self.blue].map(|channel| decode(f64::from(channel) / 255.0))
    }

    /// CIELAB under D65, white (0.95047, 1, 1.08883).
    #[must_use]
    pub fn lab(self) -> Lab {
        Lab::from_linear(self.linear())
    }

    /// Relative luminance as WCAG 2 defines it, 0 to 1.
    #[must_use]
    pub fn luminance(self) -> f64 {
        let [red, green, blue] = self.linear();
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }
}

/// Decodes one sRGB channel, 0 to 1, to linear light.
fn decode(channel: f64) -> f64 {
    if channel <= 0.04045 { channel / 12.92 } else { libm::pow((channel + 0.055) / 1.055, 2.4) }
}

impl FromStr for Srgb {
    type Err = SrgbError;

    /// Reads `#rrggbb`; the `#` may be left out.
    fn from_str(text: &str) -> Result<Self, SrgbError> {
        let hex = text.strip_prefix('#').unwrap_or(text);
        if hex.len() != 6 || !hex.bytes().all(|b| b.is_ascii_hexdigit()) {
            return Err(SrgbError);
        }
        let channel = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).map_err(|_| SrgbError);
        Ok(Self { red: channel(0)?, green: channel(2)?, blue: channel(4)? })
    }
}

impl fmt::Display for Srgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.red, self.green, self.blue)
    }
}

impl fmt::Debug for Srgb {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// A colour in CIELAB (CIE 1976 L*a*b*).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lab {
    /// Lightness, 0 (black) to 100 (white).
    pub l: f64,
    /// Green (negative) to red (positive).
    pub a: f64,
    /// Blue (negative) to yellow (positive).
    pub b: f64,
}

impl Lab {
    /// CIELAB (D65) of a colour given in linear sRGB light.
    #[must_use]
    pub fn from_linear([red, green, blue]: [f64; 3]) -> Self {
        let x = 0.412_456_4 * red + 0.357_576_1 * green + 0.180_437_5 * blue;
        let y = 0.212_672_9 * red + 0.715_152_2 * green + 0.072_175_0 * blue;
        let z = 0.019_333_9 * red + 0.119_192_0 * green + 0.950_304_1 * blue;
        let (fx, fy, fz) = (lab_f(x / 0.950_47), lab_f(y), lab_f(z / 1.088_83));
        Self { l: 116.0 * fy - 16.0, a: 500.0 * (fx - fy), b: 200.0 * (fy - fz) }
    }
}

fn lab_f(t: f64) -> f64 {
    let delta = 6.0 / 29.0;
    if t > delta * delta * delta { libm::cbrt(t) } else { t / (3.0 * delta * delta) + 4.0 / 29.0 }
}

/// Yarns nearer than this, in CIEDE2000, count as alike.
///
/// Of two flat patches side by side most people see two colours from about 5 units on (in the older
/// formula; SEEN in the notes of `colour-science` 0.4.7 on the just noticeable difference). Stitches
/// are no flat patches: their own light and shade is wider than that. One unit is added for it, which
/// is invented.
pub const ALIKE: f64 = 6.0;

/// The CIEDE2000 colour difference with kL = kC = kH = 1.
///
/// Source: Sharma, Wu and Dalal, "The CIEDE2000 color-difference formula: implementation notes,
/// supplementary test data, and mathematical observations", Color Research and Application 30(1),
/// 2005; the numbers in brackets below are its equations.
#[must_use]
#[allow(clippy::similar_names)] // the paper's own names
pub fn delta_e_2000(one: Lab, two: Lab) -> f64 {
    let degrees = |radians: f64| radians * (180.0 / core::f64::consts::PI);
    let radians = |degrees: f64| degrees * (core::f64::consts::PI / 180.0);
    let pow7 = |x: f64| {
        let cube = x * x * x;
        cube * cube * x
    };
    let chroma = |a: f64, b: f64| libm::sqrt(a * a + b * b);

    let c_bar = f64::midpoint(chroma(one.a, one.b), chroma(two.a, two.b)); // (2), (3)
    let g = 0.5 * (1.0 - libm::sqrt(pow7(c_bar) / (pow7(c_bar) + pow7(25.0)))); // (4)
    let (a1, a2) = ((1.0 + g) * one.a, (1.0 + g) * two.a); // (5)
    let (c1, c2) = (chroma(a1, one.b), chroma(a2, two.b)); // (6)
    let hue = |a: f64, b: f64| {
        if a == 0.0 && b == 0.0 {
            return 0.0;
        }
        let angle = degrees(libm::atan2(b, a));
        if angle < 0.0 { angle + 360.0 } else { angle }
    };
    let (h1, h2) = (hue(a1, one.b), hue(a2, two.b)); // (7)

    let d_l = two.l - one.l; // (8)
    let d_c = c2 - c1; // (9)
    let gap = h2 - h1;
    let d_h_angle = if c1 * c2 == 0.0 {
        0.0
    } else if gap.abs() <= 180.0 {
        gap
    } else if gap > 180.0 {
        gap - 360.0
    } else {
        gap + 360.0
    }; // (10)
    let d_h = 2.0 * libm::sqrt(c1 * c2) * libm::sin(radians(d_h_angle / 2.0)); // (11)

    let l_bar = f64::midpoint(one.l, two.l); // (12)
    let c_bar = f64::midpoint(c1, c2); // (13)
    let sum = h1 + h2;
    let h_bar = if c1 * c2 == 0.0 {
        sum
    } else if gap.abs() <= 180.0 {
        sum / 2.0
    } else if sum < 360.0 {
        (sum + 360.0) / 2.0
    } else {
        (sum - 360.0) / 2.0
    }; // (14)

    let t = 1.0 - 0.17 * libm::cos(radians(h_bar - 30.0))
        + 0.24 * libm::cos(radians(2.0 * h_bar))
        + 0.32 * libm::cos(radians(3.0 * h_bar + 6.0))
        - 0.20 * libm::cos(radians(4.0 * h_bar - 63.0)); // (15)
    let turn = (h_bar - 275.0) / 25.0;
    let d_theta = 30.0 * libm::exp(-(turn * turn)); // (16)
    let r_c = 2.0 * libm::sqrt(pow7(c_bar) / (pow7(c_bar) + pow7(25.0))); // (17)
    let away = (l_bar - 50.0) * (l_bar - 50.0);
    let s_l = 1.0 + 0.015 * away / libm::sqrt(20.0 + away); // (18)
    let s_c = 1.0 + 0.045 * c_bar; // (19)
    let s_h = 1.0 + 0.015 * c_bar * t; // (20)
    let r_t = -libm::sin(radians(2.0 * d_theta)) * r_c; // (21)

    let (l, c, h) = (d_l / s_l, d_c / s_c, d_h / s_h);
    libm::sqrt(l * l + c * c + h * h + r_t * c * h) // (22)
}

#[cfg(test)]
mod tests {
    use super::*;
    use palette::{FromColor, IntoColor};

    /// Source: Sharma, Wu and Dalal 2005, Table 1 (all 34 pairs, SEEN in Debian's python3-skimage
    /// 0.19.3, `skimage/color/tests/ciede2000_test_data.txt`). Pair 14 is the one whose hue gap is
    /// exactly 180 degrees.
    const SHARMA: &str = include_str!("../tests/sharma-2005-table-1.txt");

    #[test]
    fn ciede2000_gives_all_34_published_pairs_both_ways_round() {
        let mut pairs = 0;
        for line in SHARMA.lines().filter(|line| !line.trim().is_empty()) {
            let v: Vec<f64> = line
                .split(['|', ' '])
                .filter(|word| !word.is_empty())
                .map(|word| word.parse().unwrap())
                .collect();
            let one = Lab { l: v[1], a: v[2], b: v[3] };
            let two = Lab { l: v[4], a: v[5], b: v[6] };
            for got in [delta_e_2000(one, two), delta_e_2000(two, one)] {
                assert!((got - v[7]).abs() < 0.5e-4 + 1e-9, "pair {}: {got} not {}", v[0], v[7]);
            }
            pairs += 1;
        }
        assert_eq!(pairs, 34);
    }

    /// Reference library: the crate `palette`, sRGB to CIELAB under D65.
    #[test]
    fn lab_agrees_with_a_reference_library() {
        for red in (0..=255).step_by(17) {
            for green in (0..=255).step_by(17) {
                for blue in (0..=255).step_by(17) {
                    let ours = Srgb::new(red, green, blue).lab();
                    let theirs: palette::Lab<palette::white_point::D65, f64> =
                        palette::Lab::from_color(palette::Srgb::new(red, green, blue).into_format::<f64>());
                    // The library carries its matrix with other digits; 0.02 is far below what an
                    // eye can see and above that difference.
                    for (a, b) in [(ours.l, theirs.l), (ours.a, theirs.a), (ours.b, theirs.b)] {
                        assert!((a - b).abs() < 0.02, "{red},{green},{blue}: {ours:?} {theirs:?}");
                    }
                }
            }
        }
    }

    /// Reference library: the crate `palette`, CIEDE2000 between sRGB colours.
    #[test]
    fn colour_difference_agrees_with_a_reference_library() {
        use palette::color_difference::Ciede2000;
        let colours: Vec<Srgb> = (0..64u8)
            .map(|i| Srgb::new(i.wrapping_mul(97), i.wrapping_mul(57), i.wrapping_mul(31)))
            .collect();
        for &one in &colours {
            for &two in &colours {
                let theirs = |c: Srgb| -> palette::Lab<palette::white_point::D65, f64> {
                    palette::Srgb::new(c.red, c.green, c.blue).into_format::<f64>().into_color()
                };
                let reference = theirs(one).difference(theirs(two));
                let ours = delta_e_2000(one.lab(), two.lab());
                assert!((ours - reference).abs() < 0.02, "{one} {two}: {ours} {reference}");
            }
        }
    }

    /// Source: crate `palette` 0.7.7, tests of `color_difference` (WCAG contrast), SEEN:
    /// #006666 on white 6.79.
    #[test]
    fn luminance_gives_published_contrasts() {
        let contrast = |a: Srgb, b: Srgb| {
            let (a, b) = (a.luminance() + 0.05, b.luminance() + 0.05);
            if a > b { a / b } else { b / a }
        };
        let white = Srgb::new(255, 255, 255);
        assert!((contrast(white, Srgb::new(0, 0, 0)) - 21.0).abs() < 1e-9);
        assert!((contrast(white, Srgb::new(0, 0x66, 0x66)) - 6.79).abs() < 0.01);
        assert!((contrast(white, Srgb::new(0x66, 0, 0)) - 13.415).abs() < 0.01);
    }

    #[test]
    fn reads_and_writes_hex() {
        assert_eq!("#0a1B2c".parse(), Ok(Srgb::new(10, 27, 44)));
        assert_eq!(Srgb::new(10, 27, 44).to_string(), "#0a1b2c");
        for bad in ["", "#fff", "#gggggg", "red", "#1234567", "#ääa"] {
            assert_eq!(bad.parse::<Srgb>(), Err(SrgbError), "{bad}");
        }
    }
}
