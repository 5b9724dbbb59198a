//! What it costs to work a chart, exactly, and how its strands go.

use std::sync::atomic::{AtomicUsize, Ordering};

use model::{Chart, ColourIndex, Rules, Run};
use planner::HandOvers;

/// A chart worked as cheaply as can be.
#[derive(Clone)]
pub(crate) struct Worked {
    /// Thousandths of a stitch: what the planner proves to be the least.
    pub(crate) cost: i64,
    /// In palette order.
    pub(crate) yarns: Vec<Yarn>,
}

/// One yarn's runs and strands.
#[derive(Clone)]
pub(crate) struct Yarn {
    /// In the order of work.
    pub(crate) runs: Vec<Run>,
    /// The run that follows each on its strand.
    pub(crate) next: Vec<Option<u32>>,
    /// What that hand-over costs, in stitches.
    pub(crate) link: Vec<f32>,
    cost: i64,
}

impl Worked {
    /// Works a chart; on so many threads, on which the result does not depend. `None` when `go_on`
    /// says no.
    pub(crate) fn new(
        chart: &Chart,
        rules: &Rules,
        threads: usize,
        go_on: &(dyn Fn() -> bool + Sync),
    ) -> Option<Self> {
        let stitches = chart.stitches_by_yarn();
        let mut order: Vec<ColourIndex> = chart.palette().indices().collect();
        order.sort_by_key(|yarn| std::cmp::Reverse(stitches[yarn.index()]));
        let next = AtomicUsize::new(0);
        let worker = || {
            let mut made = Vec::new();
            while let Some(&yarn) = order.get(next.fetch_add(1, Ordering::Relaxed)) {
                made.push((yarn, Yarn::new(chart, rules, yarn, go_on)?));
            }
            Some(made)
        };
        let all: Option<Vec<_>> = std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads.min(order.len())).map(|_| scope.spawn(worker)).collect();
            let mut all = vec![worker()];
            for other in others {
                all.push(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
            }
            all.into_iter().collect()
        });
        let mut all = all?.concat();
        all.sort_by_key(|(yarn, _)| *yarn);
        let yarns: Vec<Yarn> = all.into_iter().map(|(_, yarn)| yarn).collect();
        Some(Self { cost: yarns.iter().map(|yarn| yarn.cost).sum(), yarns })
    }
}

impl Yarn {
    fn new(chart: &Chart, rules: &Rules, yarn: ColourIndex, go_on: &dyn Fn() -> bool) -> Option<Self> {
        let mut hand_overs = HandOvers::new(chart, rules, yarn);
        let cover = planner::cover(&mut hand_overs, &|_| go_on(), pathcover::solve)?;
        let network = hand_overs.network();
        let mut cost = 0;
        let mut begins = vec![true; cover.next.len()];
        let mut link = vec![0.0; cover.next.len()];
        for (run, next) in cover.next.iter().enumerate() {
            cost += match *next {
                Some(to) => {
                    begins[to as usize] = false;
                    let cost = network.cost(run, to as usize).expect("a chosen hand-over is listed");
                    link[run] = stitches(cost);
                    cost
                }
                None => network.end()[run],
            };
        }
        let starts = begins.iter().zip(network.start()).filter(|(begins, _)| **begins);
        cost += starts.map(|(_, start)| start).sum::<i64>();
        Some(Self { runs: hand_overs.runs().to_vec(), next: cover.next, link, cost })
    }
}

#[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // the search counts in single precision
fn stitches(thousandths: i64) -> f32 {
    (thousandths as f64 / 1000.0) as f32
}
