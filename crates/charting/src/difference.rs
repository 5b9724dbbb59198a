//! The CIEDE2000 difference, fast, for searches that ask for it millions of times.
//!
//! The same formula as [`model::delta_e_2000`], a few times faster: what belongs to one colour is
//! worked out once, and the mean hue is kept as a direction instead of an angle, so that the
//! cosines of its multiples follow from addition theorems. It agrees to a hundred-thousandth; where
//! that could turn a decision, the exact one decides.

use std::sync::LazyLock;

use model::{Lab, delta_e_2000};

/// A colour with what the formula asks of it alone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Tint {
    pub(crate) lab: Lab,
    chroma: f64,
}

/// 25 to the seventh power.
const KNEE: f64 = 6_103_515_625.0;

impl Tint {
    pub(crate) fn new(lab: Lab) -> Self {
        Self { lab, chroma: (lab.a * lab.a + lab.b * lab.b).sqrt() }
    }

    /// Whether the difference is certainly above `limit`, at a tenth of its cost; `false` says
    /// nothing.
    ///
    /// The difference squared (22) is at least L² + (1 - |R_T| ÷ 2) (C² + H²) in the paper's terms
    /// each divided by its S. Then S_L ≤ 1 + 0.015 |L̄ - 50| (18); S_H ≤ S_C, because T < 3 (15);
    /// C̄' ≤ C̄ + 6.4, because (1 + G) never adds more (4), and with it S_C (19); ΔC'² + ΔH'² is the
    /// square of the way from one colour to the other across the plane of a' and b, and a' is no
    /// less spread than a (5). |R_T| ≤ √3, and next to nothing where both colours are on the
    /// yellow side of the plane, and so their mean hue.
    pub(crate) fn is_beyond(&self, other: &Self, limit: f64) -> bool {
        let (one, two) = (self.lab, other.lab);
        let (d_l, d_a, d_b) = (one.l - two.l, one.a - two.a, one.b - two.b);
        let s_l = 1.0 + 0.015 * (f64::midpoint(one.l, two.l) - 50.0).abs();
        let s_c = 1.0 + 0.045 * (f64::midpoint(self.chroma, other.chroma) + 6.4);
        let unturned = if one.b > 0.0 && two.b > 0.0 { 0.999_99 } else { 0.133 };
        let (s_l, s_c) = (s_l * s_l, s_c * s_c);
        d_l * d_l * s_c + unturned * (d_a * d_a + d_b * d_b) * s_l > limit * limit * s_l * s_c
    }

    /// The CIEDE2000 difference. The numbers in brackets are the equations of Sharma, Wu and Dalal
    /// 2005, see [`model::delta_e_2000`].
    #[allow(clippy::similar_names)] // the paper's own names
    pub(crate) fn difference(&self, other: &Self) -> f64 {
        let (one, two) = (self.lab, other.lab);
        let bent = |chroma: f64| {
            let cube = chroma * chroma * chroma;
            let seventh = cube * cube * chroma;
            (seventh / (seventh + KNEE)).sqrt()
        };
        let stretch = 1.5 - 0.5 * bent(f64::midpoint(self.chroma, other.chroma)); // 1 + G, (4)
        let (a1, a2) = (stretch * one.a, stretch * two.a); // (5)
        let c1 = (a1 * a1 + one.b * one.b).sqrt(); // (6)
        let c2 = (a2 * a2 + two.b * two.b).sqrt();
        // A vector along the mean hue: that of one colour where the other has none.
        let both = c1 * c2;
        let (x, y) =
            if both > 0.0 { (a1 * c2 + a2 * c1, one.b * c2 + two.b * c1) } else { (a1 + a2, one.b + two.b) };
        let length = (x * x + y * y).sqrt();
        if length < 1e-6 * both {
            // Hues opposite to each other: which side the mean lies on is for the exact formula.
            return delta_e_2000(one, two);
        }
        let (cos, sin) = if length > 0.0 { (x / length, y / length) } else { (1.0, 0.0) };

        let d_l = two.l - one.l; // (8)
        let d_c = c2 - c1; // (9)
        // (10), (11): 2 √(c1 c2) sin(Δh / 2). The vectors' cross product is 2 c1 c2 sin(Δh / 2)
        // cos(Δh / 2), and `length` the same without the sine.
        let cross = a1 * two.b - a2 * one.b;
        let d_h = if length > 0.0 { 2.0 * both.sqrt() * cross / length } else { 0.0 };
        let (l_bar, c_bar) = (f64::midpoint(one.l, two.l), f64::midpoint(c1, c2)); // (12), (13)

        // (15): cosines of the sums by those of the multiples.
        let (cos_2, sin_2) = (2.0 * cos * cos - 1.0, 2.0 * sin * cos);
        let (cos_3, sin_3) = (cos_2 * cos - sin_2 * sin, sin_2 * cos + cos_2 * sin);
        let (cos_4, sin_4) = (2.0 * cos_2 * cos_2 - 1.0, 2.0 * sin_2 * cos_2);
        let t = 1.0 - 0.17 * (cos * COS_30 + sin * SIN_30)
            + 0.24 * cos_2
            + 0.32 * (cos_3 * COS_6 - sin_3 * SIN_6)
            - 0.20 * (cos_4 * COS_63 + sin_4 * SIN_63);
        let away = (l_bar - 50.0) * (l_bar - 50.0);
        let s_l = 1.0 + 0.015 * away / (20.0 + away).sqrt(); // (18)
        let s_c = 1.0 + 0.045 * c_bar; // (19)
        let s_h = 1.0 + 0.015 * c_bar * t; // (20)
        let (l, c, h) = (d_l / s_l, d_c / s_c, d_h / s_h);
        // (16), (17), (21): the turn counts near blue only, 275°. From 120° on it is below a
        // billionth, and hues are counted from 0° to 360°: red is never near.
        let toward = cos * COS_275 + sin * SIN_275;
        let near = toward > -0.5 && (sin < 0.0 || cos < 0.0);
        let turned = if near { turn(toward) * bent(c_bar) * c * h } else { 0.0 };
        (l * l + c * c + h * h + turned).max(0.0).sqrt() // (22)
    }
}

const COS_30: f64 = 0.866_025_403_784_438_6;
const SIN_30: f64 = 0.5;
const COS_6: f64 = 0.994_521_895_368_273_3;
const SIN_6: f64 = 0.104_528_463_267_653_47;
const COS_63: f64 = 0.453_990_499_739_546_8;
const SIN_63: f64 = 0.891_006_524_188_367_9;
const COS_275: f64 = 0.087_155_742_747_658_17;
const SIN_275: f64 = -0.996_194_698_091_745_5;

/// Steps of the table in `turn`.
const STEPS: usize = 1024;

/// -2 sin(2 Δθ), all of R_T but its chroma, by the cosine of the hue's angle from 275°, -0.5 to 1:
/// a cubic through four entries of a table.
#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss)]
fn turn(toward: f64) -> f64 {
    static TABLE: LazyLock<Vec<f64>> = LazyLock::new(|| {
        let entry = |step: usize| {
            let turn = libm::acos(step as f64 / STEPS as f64 * 1.5 - 0.5).to_degrees() / 25.0;
            -2.0 * libm::sin(60f64.to_radians() * libm::exp(-(turn * turn)))
        };
        (0..=STEPS).map(entry).collect()
    });
    let at = (toward + 0.5) / 1.5 * STEPS as f64;
    let first = (at as usize).clamp(1, STEPS - 2) - 1;
    let [e0, e1, e2, e3] = [0, 1, 2, 3].map(|step| TABLE[first + step]);
    let t = at - first as f64;
    let (u, v, w) = (t - 1.0, t - 2.0, t - 3.0);
    (e3 * t * u * v - e0 * u * v * w) / 6.0 + (e1 * v - e2 * u) * t * w / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Srgb;
    use proptest::prelude::*;

    fn same(one: Lab, two: Lab) -> Result<(), TestCaseError> {
        let (got, wanted) = (Tint::new(one).difference(&Tint::new(two)), delta_e_2000(one, two));
        prop_assert!((got - wanted).abs() < 1e-7 * (10.0 + wanted), "{one:?} {two:?}: {got} {wanted}");
        prop_assert!(!Tint::new(one).is_beyond(&Tint::new(two), wanted + 1e-9), "{one:?} {two:?}");
        Ok(())
    }

    /// The published pairs, through the exact formula, which is tested against them.
    #[test]
    fn greys_and_opposites_agree() {
        let lab = |l: f64, a: f64, b: f64| Lab { l, a, b };
        for (one, two) in [
            (lab(50.0, 0.0, 0.0), lab(50.0, 0.0, 0.0)),
            (lab(50.0, 0.0, 0.0), lab(70.0, 0.0, 0.0)),
            (lab(50.0, 0.0, 0.0), lab(50.0, -1.0, 2.0)),
            (lab(50.0, 2.5, 0.0), lab(50.0, 0.0, -2.5)),
            (lab(50.0, 2.49, -0.001), lab(50.0, -2.49, 0.001)),
            (lab(50.0, 2.49, -0.001), lab(50.0, -2.49, 0.0011)),
            (lab(20.0, 10.0, -60.0), lab(25.0, 30.0, -80.0)),
        ] {
            same(one, two).unwrap();
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(5_000))]
        #[test]
        fn it_agrees_with_the_exact_formula(one in any::<[u8; 3]>(), two in any::<[u8; 3]>(), near in any::<[u8; 3]>()) {
            let lab = |[r, g, b]: [u8; 3]| Srgb::new(r, g, b).lab();
            same(lab(one), lab(two))?;
            same(lab(one), lab([0, 1, 2].map(|c| one[c].saturating_add(near[c] % 16))))?;
        }
    }
}
