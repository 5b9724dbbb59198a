//! What amounts are reckoned from: a swatch, the plan, or an estimate.

use model::{Gauge, Length, Plan, WeightCategory};

use crate::swatch::{Origin, Swatch, SwatchError, estimate};
use crate::{Takes, Units, WHY_A_SWATCH};

/// A gauge, and what stitches take of yarn.
#[derive(Clone, Debug, PartialEq)]
pub struct Basis {
    /// The swatch, or what stands in for one.
    pub swatch: Swatch,
    /// What a strand takes.
    pub takes: Takes,
    /// Whether it is the plan that says what stitches take, as somebody measured it.
    pub of_plan: bool,
}

impl Basis {
    /// From a swatch, with tails of that length.
    #[must_use]
    pub fn of_swatch(swatch: Swatch, tail: Length) -> Self {
        let takes = Takes::of_swatch(&swatch, tail);
        Self { swatch, takes, of_plan: false }
    }

    /// Without a swatch: from the plan, where it was made with measured yarn, else from the gauge.
    /// `given` says that the person gave this gauge just now; then the plan's yarn is not of it.
    ///
    /// # Errors
    /// When the gauge can't be one.
    pub fn without_swatch(
        plan: &Plan,
        gauge: Gauge,
        given: bool,
        category: WeightCategory,
    ) -> Result<Self, SwatchError> {
        // A gauge that is just the usual one was measured by nobody: its band is that of the category.
        let usual = Gauge::usual(category);
        let near = |one: f64, other: f64| (one - other).abs() < 0.005;
        let nobodys = !given
            && category.usual_stitches_in_10_cm().is_some()
            && near(gauge.stitches(), usual.stitches())
            && near(gauge.rows(), usual.rows());
        let mut swatch = estimate((!nobodys).then_some(gauge), Some(category), None)?;
        if !given && !plan.yarn_use.estimated {
            let takes = Takes::of_plan(plan);
            swatch.stitch = takes.stitch;
            return Ok(Self { swatch, takes, of_plan: true });
        }
        Ok(Self::of_swatch(swatch, plan.yarn_use.tail))
    }

    /// The gauge of a plan whose chart does not say it: estimates have a strand inside as wide as a
    /// stitch, and a lift as high as a row.
    #[must_use]
    pub fn gauge_of_plan(plan: &Plan) -> Option<Gauge> {
        let takes = plan.yarn_use;
        Gauge::new(100.0 / takes.carried.as_mm(), 100.0 / takes.lift.as_mm()).ok()
    }

    /// Whether stitches and yarn were measured, by this swatch or by the plan's.
    #[must_use]
    pub fn measured(&self) -> bool {
        self.of_plan || self.swatch.origin == Origin::Measured
    }

    /// Gauge, yarn in a stitch, weight of an area and how sure, sentence by sentence; where it was not
    /// measured, why a swatch pays.
    #[must_use]
    pub fn says(&self, units: Units) -> Vec<String> {
        let swatch = &self.swatch;
        let fabric = units.of_fabric();
        let mut says = vec![format!(
            "{}: {} stitches and {} rows in {}, {:.2} {} of yarn in a stitch ({:.2} to {:.2}).",
            match swatch.origin {
                _ if self.of_plan => "As the plan has it",
                Origin::Measured => "From your swatch",
                Origin::GaugeMeasured => "The gauge from your swatch, metres an estimate",
                Origin::Estimated => "An estimate",
            },
            units.gauge(swatch.stitches),
            units.gauge(swatch.rows),
            units.gauge_over(),
            fabric.of(swatch.stitch.likely),
            fabric.short(),
            fabric.of(swatch.stitch.low),
            fabric.of(swatch.stitch.high)
        )];
        if let Some(grams) = swatch.grams_per_square_metre {
            let (area, weight) = units.by_area(grams);
            says.push(format!(
                "A square {area} of it weighs {}; it may be {}.",
                units.weight(weight.likely),
                units.weights(weight)
            ));
        }
        if !self.measured() {
            says.push(WHY_A_SWATCH.to_owned());
        }
        says
    }
}
