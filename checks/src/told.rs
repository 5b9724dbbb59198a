//! Booklets about cases, for those who set them.

use booklet::{Booklet, Passing, Told, booklet};
use model::{Gauge, WeightCategory};
use pattern::{Basis, Choices, Pace, Units};

use crate::read_back::Case;

/// Hands on the booklet of a case, to be changed before it is set. Title and all are invented.
///
/// # Panics
/// When the case's plan does not hold.
pub fn with_booklet<T>(case: &Case, set: impl FnOnce(Booklet<'_>) -> T) -> T {
    let proven = case.proven();
    let gauge = Gauge::new(14.0, 15.0).expect("a gauge");
    let basis = Basis::without_swatch(proven.plan(), gauge, true, WeightCategory::MEDIUM).expect("a basis");
    let choices = Choices::new(basis.takes);
    let time = pattern::time(&proven, &Pace::default(), 0.0);
    let told = Told {
        proven: &proven,
        basis: &basis,
        choices: &choices,
        time: &time,
        border: None,
        shrinkage: None,
        title: "Boats at dusk (invented)",
        by: "",
        note: "",
        picture_by: "",
        passing: Passing::NotSaid,
        terms: case.terms,
        units: Units::Metric,
    };
    set(booklet(&told))
}
