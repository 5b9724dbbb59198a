//! Shortest augmenting paths on reduced costs.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::Network;

/// A cheapest cover and the prices that prove it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// The node that follows each node on its path.
    pub next: Vec<Option<u32>>,
    /// Dual price of each node's out side.
    pub out_price: Vec<i64>,
    /// Dual price of each node's in side, never above 0.
    pub in_price: Vec<i64>,
    /// Prices are in units of cost ÷ `scale`; a path counts one such unit, so that among covers of
    /// equal cost the one with the fewest paths is the cheapest.
    pub scale: i64,
}

const NONE: u32 = u32::MAX;
/// The out side ends a path.
const ENDS: u32 = u32::MAX - 1;

/// Finds a cheapest cover of the network, and among those one with the fewest paths. The same
/// network gives the same cover everywhere.
#[must_use]
pub fn solve(network: &Network) -> Cover {
    solve_with_room(network, network.nodes())
}

/// [`solve`], with prices fine enough that there may be up to `room` nodes later on; see
/// [`crate::LivingCover`].
#[must_use]
pub fn solve_with_room(network: &Network, room: usize) -> Cover {
    let mut solver = Solver::new(network, room);
    let left = solver.reduce_rows();
    for row in left {
        solver.augment(row);
    }
    solver.finish()
}

struct Solver<'a> {
    network: &'a Network,
    scale: i64,
    /// What each out side is assigned to: a node, `ENDS`, or `NONE` yet.
    next: Vec<u32>,
    /// Scaled gain of that assignment.
    gain: Vec<i64>,
    /// Which node's out side each in side is assigned to, or `NONE`.
    before: Vec<u32>,
    in_price: Vec<i64>,
    /// `start`, scaled.
    start: Vec<i64>,
    // Scratch of `augment`.
    distance: Vec<i64>,
    from: Vec<u32>,
    arc_gain: Vec<i64>,
    settled: Vec<bool>,
    heap: BinaryHeap<Reverse<(i64, u32)>>,
    touched: Vec<u32>,
}

impl<'a> Solver<'a> {
    fn new(network: &'a Network, room: usize) -> Self {
        let n = network.nodes();
        // Larger than any number of paths, so that a path never outweighs a unit of cost.
        let scale = i64::try_from(room.max(n) + 1).map_or(i64::MAX, |n| n.max(2));
        Self {
            network,
            scale,
            next: vec![NONE; n],
            gain: vec![0; n],
            before: vec![NONE; n],
            in_price: vec![0; n],
            start: network.start().iter().map(|&price| price * scale).collect(),
            distance: vec![i64::MAX; n],
            from: vec![NONE; n],
            arc_gain: vec![0; n],
            settled: vec![false; n],
            heap: BinaryHeap::new(),
            touched: Vec::new(),
        }
    }

    fn end(&self, i: usize) -> i64 {
        self.network.end()[i] * self.scale + 1
    }

    /// Augmenting row reduction: each out side takes what is cheapest for it and bids the price of
    /// that down to where its second choice would be as good; whoever held it looks again. Returns
    /// the nodes still unassigned after a few rounds, in order.
    fn reduce_rows(&mut self) -> Vec<usize> {
        const ROUNDS: usize = 3;
        let mut open: Vec<u32> = (0..self.next.len()).map(as_u32).collect();
        for _ in 0..ROUNDS {
            let mut left = Vec::new();
            for &row in &open {
                let mut row = row;
                // A row that outbids hands the search to the one it displaced, at once while prices
                // strictly fall; the cap only guards against long price wars.
                for _ in 0..64 {
                    match self.bid(row as usize) {
                        Bid::Settled => {
                            row = NONE;
                            break;
                        }
                        Bid::Displaced { row: displaced, strictly } => {
                            row = displaced;
                            if !strictly {
                                break;
                            }
                        }
                    }
                }
                if row != NONE {
                    left.push(row);
                }
            }
            open = left;
            if open.is_empty() {
                break;
            }
        }
        open.sort_unstable();
        open.into_iter().map(|row| row as usize).collect()
    }

    fn bid(&mut self, i: usize) -> Bid {
        // Ending the path is always open, and its price is fixed.
        let end = self.end(i);
        let (mut best, mut second, mut at, mut gain) = (end, i64::MAX, ENDS, end);
        for (j, cost) in self.network.arcs_of(i) {
            let arc = cost * self.scale - self.start[j];
            let reduced = arc - self.in_price[j];
            if reduced < best {
                second = best;
                (best, at, gain) = (reduced, as_u32(j), arc);
            } else if reduced < second {
                second = reduced;
            }
        }
        self.next[i] = at;
        self.gain[i] = gain;
        if at == ENDS {
            return Bid::Settled;
        }
        let j = at as usize;
        let strictly = second > best;
        // `second` is never the maximum here: ending the path is always one of the choices.
        self.in_price[j] -= second - best;
        let displaced = std::mem::replace(&mut self.before[j], as_u32(i));
        if displaced == NONE {
            return Bid::Settled;
        }
        self.next[displaced as usize] = NONE;
        Bid::Displaced { row: displaced, strictly }
    }

    /// Assigns the out side of `row` along a shortest augmenting path.
    fn augment(&mut self, row: usize) {
        let (mut node, mut base) = (row, 0i64);
        // The cheapest end of the search so far: an in side still free, or a node that would end.
        let (mut goal, mut goal_node, mut goal_ends) = (i64::MAX, NONE, false);
        loop {
            let end = base + self.end(node);
            if end < goal {
                (goal, goal_node, goal_ends) = (end, as_u32(node), true);
            }
            for (j, cost) in self.network.arcs_of(node) {
                let arc = cost * self.scale - self.start[j];
                let distance = base + arc - self.in_price[j];
                if distance >= goal || distance >= self.distance[j] || self.settled[j] {
                    continue;
                }
                if self.distance[j] == i64::MAX {
                    self.touched.push(as_u32(j));
                }
                self.distance[j] = distance;
                self.from[j] = as_u32(node);
                self.arc_gain[j] = arc;
                if self.before[j] == NONE {
                    (goal, goal_node, goal_ends) = (distance, as_u32(j), false);
                } else {
                    self.heap.push(Reverse((distance, as_u32(j))));
                }
            }
            // The nearest in side not yet settled and nearer than the goal.
            let settled = loop {
                match self.heap.pop() {
                    Some(Reverse((distance, j))) if distance < goal => {
                        let at = j as usize;
                        if !self.settled[at] && distance == self.distance[at] {
                            break Some(at);
                        }
                    }
                    _ => break None,
                }
            };
            let Some(j) = settled else { break };
            self.settled[j] = true;
            node = self.before[j] as usize;
            base = self.distance[j] - (self.gain[node] - self.in_price[j]);
        }
        self.heap.clear();

        // Prices first: they hold for the assignment before and after.
        for &j in &self.touched {
            let j = j as usize;
            if self.settled[j] {
                self.in_price[j] += self.distance[j] - goal;
            }
        }
        // Then the assignment, from the goal back to the row.
        let mut node = if goal_ends {
            let node = goal_node as usize;
            let left = std::mem::replace(&mut self.next[node], ENDS);
            self.gain[node] = self.end(node);
            if node == row { None } else { Some(left) }
        } else {
            Some(goal_node)
        };
        while let Some(j) = node {
            let at = j as usize;
            let i = self.from[at] as usize;
            let left = std::mem::replace(&mut self.next[i], j);
            self.gain[i] = self.arc_gain[at];
            self.before[at] = as_u32(i);
            node = (i != row).then_some(left);
        }

        for &j in &self.touched {
            self.distance[j as usize] = i64::MAX;
            self.settled[j as usize] = false;
        }
        self.touched.clear();
    }

    fn finish(self) -> Cover {
        let out_price = (0..self.next.len())
            .map(|i| match self.next[i] {
                ENDS => self.gain[i],
                j => self.gain[i] - self.in_price[j as usize],
            })
            .collect();
        let next = self.next.iter().map(|&j| (j != ENDS).then_some(j)).collect();
        Cover { next, out_price, in_price: self.in_price, scale: self.scale }
    }
}

enum Bid {
    Settled,
    Displaced { row: u32, strictly: bool },
}

#[allow(clippy::cast_possible_truncation)] // a network has at most 2^22 nodes
fn as_u32(node: usize) -> u32 {
    node as u32
}
