//! Lengths, weights and gauges as they are written for a person, in the units they think in.

use model::Length;

use crate::units::{Band, LengthUnit, Weight, WeightUnit};

/// What a person measures and weighs in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Units {
    /// Centimetres, metres, grams.
    #[default]
    Metric,
    /// Inches, yards, ounces.
    Inches,
}

impl Units {
    /// What yarn is measured in.
    #[must_use]
    pub const fn of_yarn(self) -> LengthUnit {
        match self {
            Self::Metric => LengthUnit::Metres,
            Self::Inches => LengthUnit::Yards,
        }
    }

    /// What fabric is measured in.
    #[must_use]
    pub const fn of_fabric(self) -> LengthUnit {
        match self {
            Self::Metric => LengthUnit::Centimetres,
            Self::Inches => LengthUnit::Inches,
        }
    }

    /// What yarn is weighed in.
    #[must_use]
    pub const fn of_weight(self) -> WeightUnit {
        match self {
            Self::Metric => WeightUnit::Grams,
            Self::Inches => WeightUnit::Ounces,
        }
    }

    /// A weight; a small one with more digits.
    #[must_use]
    pub fn weight(self, weight: Weight) -> String {
        format!("{} {}", self.number_of(weight), self.of_weight().short())
    }

    /// A weight from low to high.
    #[must_use]
    pub fn weights(self, weight: Band<Weight>) -> String {
        let (low, high) = (self.number_of(weight.low), self.number_of(weight.high));
        format!("{low} to {high} {}", self.of_weight().short())
    }

    fn number_of(self, weight: Weight) -> String {
        match self.of_weight() {
            WeightUnit::Grams if weight < Weight::grams(9.95) => format!("{:.1}", weight.as_grams()),
            WeightUnit::Grams => format!("{:.0}", weight.as_grams()),
            WeightUnit::Ounces if weight < WeightUnit::Ounces.times(0.995) => {
                format!("{:.2}", weight.as_ounces())
            }
            WeightUnit::Ounces => format!("{:.1}", weight.as_ounces()),
        }
    }

    /// A length of yarn.
    #[must_use]
    pub fn yarn(self, length: Length) -> String {
        shown(length, self.of_yarn())
    }

    /// A length of yarn from low to high.
    #[must_use]
    pub fn yarns(self, length: Band) -> String {
        let unit = self.of_yarn();
        format!("{:.1} to {:.1} {}", unit.of(length.low), unit.of(length.high), unit.short())
    }

    /// A length of yarn to have or to wind: rounded up, so that it does.
    #[must_use]
    pub fn enough(self, length: Length) -> String {
        let unit = self.of_yarn();
        format!("{:.1} {}", libm::ceil(unit.of(length) * 10.0) / 10.0, unit.short())
    }

    /// A length on fabric.
    #[must_use]
    pub fn fabric(self, length: Length) -> String {
        shown(length, self.of_fabric())
    }

    /// Width and height of fabric.
    #[must_use]
    pub fn size(self, width: Length, height: Length) -> String {
        format!("{:.1} by {}", self.of_fabric().of(width), self.fabric(height))
    }

    /// So many stitches or rows in 10 cm, as many as lie in [`Units::gauge_over`], with the band where
    /// there is one.
    #[must_use]
    pub fn gauge(self, in_10_cm: Band<f64>) -> String {
        let times = match self {
            Self::Metric => 1.0,
            // Four inches are 10.16 cm.
            Self::Inches => 1.016,
        };
        let Band { low, likely, high } = in_10_cm.map(|number| number * times);
        if high - low < 0.05 {
            format!("{likely:.1}")
        } else {
            format!("{likely:.1} ({low:.1} to {high:.1})")
        }
    }

    /// What a gauge is counted over.
    #[must_use]
    pub const fn gauge_over(self) -> &'static str {
        match self {
            Self::Metric => "10 cm",
            Self::Inches => "4 in",
        }
    }

    /// What so many grams in a square metre are, in a square metre or yard, and the name of that.
    #[must_use]
    pub fn by_area(self, grams: Band<f64>) -> (&'static str, Band<Weight>) {
        match self {
            Self::Metric => ("metre", grams.map(Weight::grams)),
            Self::Inches => {
                let yard = LengthUnit::Yards.one().as_metres();
                ("yard", grams.map(|grams| Weight::grams(grams * yard * yard)))
            }
        }
    }
}

fn shown(length: Length, unit: LengthUnit) -> String {
    format!("{:.1} {}", unit.of(length), unit.short())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: an inch is 2.54 cm, a yard 0.9144 m, an ounce 28.349523125 g (definitions).
    #[test]
    fn things_are_written_in_the_units_of_the_person() {
        let metre = Length::cm(100.0);
        assert_eq!((Units::Metric.yarn(metre), Units::Inches.yarn(metre)), ("1.0 m".into(), "1.1 yd".into()));
        assert_eq!(Units::Metric.size(metre, Length::cm(50.8)), "100.0 by 50.8 cm");
        assert_eq!(Units::Inches.size(metre, Length::cm(50.8)), "39.4 by 20.0 in");
        assert_eq!(Units::Inches.weight(Weight::grams(283.495)), "10.0 oz");
        assert_eq!(Units::Metric.weight(Weight::grams(3.0)), "3.0 g");
        assert_eq!(Units::Inches.gauge(Band::sure(14.0)), "14.2");
        assert_eq!(Units::Metric.enough(Length::cm(101.0)), "1.1 m");
    }
}
