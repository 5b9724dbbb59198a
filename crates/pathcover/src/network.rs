//! The network: nodes with the price of starting and ending there, arcs in rows.

use core::ops::Range;

/// A network to cover, see the crate's page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Network {
    start: Vec<i64>,
    end: Vec<i64>,
    /// Where the arcs of each node stand in `heads` and `costs`.
    spans: Vec<Range<usize>>,
    heads: Vec<u32>,
    costs: Vec<u32>,
    live: usize,
}

impl Network {
    /// A network without arcs yet, whose nodes cost so much to start a path at, and to end one at.
    ///
    /// # Panics
    /// When the two have different lengths, when a price is negative or above 2³⁸, or when there
    /// are more than 2²² nodes: sums are then sure to fit 64 bits.
    #[must_use]
    pub fn new(start: Vec<i64>, end: Vec<i64>) -> Self {
        let nodes = start.len();
        assert_eq!(nodes, end.len(), "each node has a price to start and one to end");
        assert!(nodes <= 1 << 22, "too many nodes");
        assert!(start.iter().chain(&end).all(|price| (0..=1 << 38).contains(price)), "price out of range");
        Self { start, end, spans: vec![0..0; nodes], heads: Vec::new(), costs: Vec::new(), live: 0 }
    }

    /// Adds arcs from a node to later nodes.
    ///
    /// # Panics
    /// When an arc does not lead to a later node.
    pub fn add_arcs(&mut self, node: usize, arcs: impl IntoIterator<Item = (u32, u32)>) {
        let mut span = self.spans[node].clone();
        let had = span.len();
        if span.end != self.heads.len() {
            // The list can't grow where it stands: it moves to the end.
            let begin = self.heads.len();
            self.heads.extend_from_within(span.clone());
            self.costs.extend_from_within(span);
            span = begin..begin + had;
        }
        for (head, cost) in arcs {
            assert!((head as usize) > node && (head as usize) < self.start.len(), "arcs lead onwards");
            self.heads.push(head);
            self.costs.push(cost);
        }
        span.end = self.heads.len();
        self.live += span.len() - had;
        self.spans[node] = span;
        // Lists that moved leave waste behind; sweep when it outweighs the rest.
        if self.heads.len() > 2 * self.live + 1_000_000 {
            self.sweep();
        }
    }

    fn sweep(&mut self) {
        let mut heads = Vec::with_capacity(self.live);
        let mut costs = Vec::with_capacity(self.live);
        for span in &mut self.spans {
            let begin = heads.len();
            heads.extend_from_slice(&self.heads[span.clone()]);
            costs.extend_from_slice(&self.costs[span.clone()]);
            *span = begin..heads.len();
        }
        (self.heads, self.costs) = (heads, costs);
    }

    /// Number of nodes.
    #[must_use]
    pub fn nodes(&self) -> usize {
        self.start.len()
    }

    /// Number of arcs.
    #[must_use]
    pub fn arcs(&self) -> usize {
        self.live
    }

    /// Price of starting a path at each node.
    #[must_use]
    pub fn start(&self) -> &[i64] {
        &self.start
    }

    /// Price of ending a path at each node.
    #[must_use]
    pub fn end(&self) -> &[i64] {
        &self.end
    }

    /// The arcs of one node: later node and cost.
    pub fn arcs_of(&self, node: usize) -> impl Iterator<Item = (usize, i64)> + '_ {
        let span = self.spans[node].clone();
        self.heads[span.clone()]
            .iter()
            .zip(&self.costs[span])
            .map(|(&head, &cost)| (head as usize, i64::from(cost)))
    }

    /// Cost of the arc between two nodes, the least where there are several.
    #[must_use]
    pub fn cost(&self, node: usize, head: usize) -> Option<i64> {
        self.arcs_of(node).filter(|&(to, _)| to == head).map(|(_, cost)| cost).min()
    }
}
