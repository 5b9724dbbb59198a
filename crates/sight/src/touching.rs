//! Which yarns lie side by side on a chart.

use model::{Chart, ColourIndex};

/// How many sides of stitches each two yarns of a chart share.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Touching {
    yarns: usize,
    sides: Vec<u64>,
}

impl Touching {
    /// Counts all sides between two stitches of the chart, within a row and from row to row.
    #[must_use]
    pub fn on(chart: &Chart) -> Self {
        let yarns = chart.palette().len();
        let mut sides = vec![0; yarns * yarns];
        let mut count = |one: ColourIndex, two: ColourIndex| {
            let (low, high) = (one.index().min(two.index()), one.index().max(two.index()));
            sides[low * yarns + high] += 1;
        };
        let mut below: &[ColourIndex] = &[];
        for row in chart.row_indices() {
            let cells = chart.row(row);
            cells.windows(2).for_each(|pair| count(pair[0], pair[1]));
            cells.iter().zip(below).for_each(|(&one, &two)| count(one, two));
            below = cells;
        }
        Self { yarns, sides }
    }

    /// Sides that a stitch of the one yarn shares with a stitch of the other.
    #[must_use]
    pub fn sides(&self, one: ColourIndex, two: ColourIndex) -> u64 {
        self.sides[one.index().min(two.index()) * self.yarns + one.index().max(two.index())]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Palette, Srgb, Yarn};

    /// Counted by hand:
    /// ```text
    /// a b b
    /// a a c
    /// ```
    #[test]
    fn sides_are_counted_once_each() {
        let yarns = ["a", "b", "c"].map(|key| Yarn::plain(key, "", Srgb::new(0, 0, 0)));
        let palette = Palette::new(yarns.to_vec()).unwrap();
        let chart = Chart::new(palette, 2, 3, &[0, 0, 2, 0, 1, 1]).unwrap();
        let touching = Touching::on(&chart);
        let [a, b, c] = [0, 1, 2].map(|at| chart.palette().index(at).unwrap());
        assert_eq!([touching.sides(a, a), touching.sides(b, b), touching.sides(c, c)], [2, 1, 0]);
        assert_eq!([touching.sides(a, b), touching.sides(a, c), touching.sides(b, c)], [2, 1, 1]);
        assert_eq!(touching.sides(b, a), 2);
    }
}
