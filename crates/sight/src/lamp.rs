//! How a colour looks by daylight and by a lamp.
//!
//! Two steps. A yarn's colour under the lamp is taken from its colour under daylight by the Bradford
//! transform from D65 to illuminant A (Lam 1985; the matrix as `colour-science` 0.4.7 carries it,
//! SEEN), which is the best that can be said without a spectrum. How an eye sees that, which has got
//! used to the lamp in part and has little light, is what the colour appearance model CAM16 is for (Li,
//! Li, Wang, Zu, Luo, Cui, Melgosa, Brill and Pointer, "Comprehensive color solutions: CAM16, CAT16,
//! and CAM16-UCS", Color Research and Application 42(6), 2017). Its uniform space says how far apart
//! two colours look.
//!
//! By a lamp pale yellows close up to white and dark blues to black, which is what people find who
//! sort yarn in the evening. A lamp whose light is not that of a glowing wire (most of today's) may do
//! something else.

use core::f64::consts::PI;

use crate::eye::times;

/// Light, and what surrounds the eye.
pub(crate) struct Viewing {
    /// The light's white, Y = 1.
    white: [f64; 3],
    /// Luminance that the eye is used to, in cd/m²: a grey that gives back a fifth of the light.
    adapted_to: f64,
    /// Surround: `F`, `c` and `Nc` of the model.
    surround: [f64; 3],
}

/// A window's light: D65, 1000 lx, average surround. The white is that of `docs/strand-model.md`, the
/// light on the yarn invented.
pub(crate) const DAYLIGHT: Viewing =
    Viewing { white: D65, adapted_to: 1000.0 * 0.2 / PI, surround: [1.0, 0.69, 1.0] };

/// A living room in the evening: illuminant A (2856 K), 50 lx, dim surround. The light on the yarn is
/// invented; a lamp for reading gives ten times as much.
pub(crate) const LAMPLIGHT: Viewing =
    Viewing { white: [1.098_50, 1.0, 0.355_85], adapted_to: 50.0 * 0.2 / PI, surround: [0.9, 0.59, 0.9] };

const D65: [f64; 3] = [0.950_47, 1.0, 1.088_83];
const TO_XYZ: [[f64; 3]; 3] = [
    [0.412_456_4, 0.357_576_1, 0.180_437_5],
    [0.212_672_9, 0.715_152_2, 0.072_175_0],
    [0.019_333_9, 0.119_192_0, 0.950_304_1],
];
const BRADFORD: [[f64; 3]; 3] =
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
const FROM_BRADFORD: [[f64; 3]; 3] = [
    [0.986_992_905_466_712, -0.147_054_256_420_99, 0.159_962_651_663_731],
    [0.432_305_269_723_395, 0.518_360_271_536_777, 0.049_291_228_212_856],
    [-0.008_528_664_575_177, 0.040_042_821_654_085, 0.968_486_695_787_55],
];
const CAT16: [[f64; 3]; 3] = [
    [0.401_288, 0.650_173, -0.051_461],
    [-0.250_268, 1.204_414, 0.045_854],
    [-0.002_079, 0.048_952, 0.953_127],
];

impl Viewing {
    /// Where a colour, given in linear sRGB light, lies in the uniform space CAM16-UCS: `J'`, `a'`,
    /// `b'`.
    #[allow(clippy::many_single_char_names)] // the paper's own names
    pub(crate) fn look(&self, linear: [f64; 3]) -> [f64; 3] {
        let by_day = times(&BRADFORD, times(&TO_XYZ, linear));
        let (from, to) = (times(&BRADFORD, D65), times(&BRADFORD, self.white));
        let cones = [0, 1, 2].map(|at| by_day[at] * to[at] / from[at]);
        let stimulus = times(&FROM_BRADFORD, cones);

        let [f, c, nc] = self.surround;
        let n: f64 = 0.2; // the background gives back a fifth
        let nbb = 0.725 * libm::pow(n, -0.2);
        let z = 1.48 + libm::sqrt(n);
        let light = 5.0 * self.adapted_to;
        let k = 1.0 / (light + 1.0);
        let k4 = k * k * k * k;
        let fl = 0.2 * k4 * light + 0.1 * (1.0 - k4) * (1.0 - k4) * libm::cbrt(light);
        let d = (f * (1.0 - libm::exp((-self.adapted_to - 42.0) / 92.0) / 3.6)).clamp(0.0, 1.0);
        let white = times(&CAT16, self.white);
        let response = |xyz: [f64; 3]| {
            let rgb = times(&CAT16, xyz);
            [0, 1, 2].map(|at| {
                let adapted = rgb[at] * (d / white[at] + 1.0 - d);
                let x = libm::pow(fl * adapted.abs(), 0.42);
                (400.0 * x / (x + 27.13)).copysign(adapted)
            })
        };
        let brightness = |[r, g, b]: [f64; 3]| (2.0 * r + g + b / 20.0) * nbb;

        let rgb = response(stimulus);
        let [red, green, blue] = rgb;
        let a = red - 12.0 * green / 11.0 + blue / 11.0;
        let b = (red + green - 2.0 * blue) / 9.0;
        let h = libm::atan2(b, a);
        let j = 100.0 * libm::pow((brightness(rgb) / brightness(response(self.white))).max(0.0), c * z);
        let eccentricity = 0.25 * (libm::cos(h + 2.0) + 3.8);
        let t = 50_000.0 / 13.0 * nc * nbb * eccentricity * libm::sqrt(a * a + b * b)
            / (red + green + 1.05 * blue + 0.305);
        let chroma = libm::pow(t, 0.9) * libm::sqrt(j / 100.0) * libm::pow(1.64 - libm::pow(0.29, n), 0.73);
        let m = libm::log(1.0 + 0.0228 * chroma * libm::pow(fl, 0.25)) / 0.0228;
        [1.7 * j / (1.0 + 0.007 * j), m * libm::cos(h), m * libm::sin(h)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Srgb;

    /// Reference library: `colour-science` 0.4.7, `chromatic_adaptation_VonKries` (Bradford),
    /// `XYZ_to_CAM16` (average at 63.66 cd/m², dim at 3.183 cd/m²) and `JMh_CAM16_to_CAM16UCS` (SEEN).
    #[test]
    fn colours_look_as_a_reference_library_says() {
        #[rustfmt::skip]
        let known = [
            ("#c8102e", [47.9302, 43.4581, 15.3724], [56.6197, 34.6102, 15.1617]),
            ("#1f2a44", [19.9422, -0.2175, -16.5231], [25.1404, 1.2166, -10.9119]),
            ("#f5ecd7", [94.6161, -0.3335, 7.5314], [95.6243, 2.7797, 9.3259]),
            ("#ffffff", [100.0000, -1.3350, -0.7566], [100.0000, 2.7744, 5.5266]),
            ("#0000ff", [36.4966, 10.0316, -43.9409], [33.9501, 12.1635, -35.8129]),
            ("#2e7d32", [47.4083, -26.5416, 18.4341], [53.1776, -19.7726, 14.5511]),
            ("#1b1b1b", [13.3724, -0.3839, -0.2176], [18.5525, 0.9572, 1.9027]),
        ];
        for (hex, by_day, by_lamp) in known {
            let linear = hex.parse::<Srgb>().unwrap().linear();
            for (viewing, expected) in [(DAYLIGHT, by_day), (LAMPLIGHT, by_lamp)] {
                let got = viewing.look(linear);
                for (got, expected) in got.into_iter().zip(expected) {
                    assert!((got - expected).abs() < 0.005, "{hex}: {got} not {expected}");
                }
            }
        }
    }

    #[test]
    fn black_is_black_by_any_light() {
        for viewing in [DAYLIGHT, LAMPLIGHT] {
            assert!(viewing.look([0.0; 3]).iter().all(|part| part.abs() < 1e-9));
        }
    }
}
