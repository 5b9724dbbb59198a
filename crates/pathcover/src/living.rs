//! A cheapest cover kept cheapest while its network changes.
//!
//! The same problem as in [`crate::solve`], written so that both sides look alike: each node has an
//! *out* side and an *in* side, an arc joins the out side of one node to the in side of another, and
//! a side that stays *alone* pays its cap (an end, or a start). Prices on all sides prove the cover:
//! no price is above its side's cap, the two prices of an arc are together at most its cost, sides
//! that are joined have prices that add up to their arc's cost, and a side that is alone has its cap
//! for its price. A change breaks some of that near where it was made; [`LivingCover::repair`] makes
//! it good again by shortest augmenting paths from either side, which mostly stay near.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use crate::{Cover, Network};

/// No partner: the side is alone.
const ALONE: u32 = u32::MAX;

/// The two sides of a node.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Side {
    Out = 0,
    In = 1,
}

impl Side {
    const fn other(self) -> Self {
        match self {
            Self::Out => Self::In,
            Self::In => Self::Out,
        }
    }
}

/// All out sides, or all in sides.
#[derive(Clone, Debug, Default)]
struct Half {
    /// What it costs to be alone, scaled.
    cap: Vec<i64>,
    price: Vec<i64>,
    mate: Vec<u32>,
    /// Arcs: node at the other end, and scaled cost.
    arcs: Vec<Vec<(u32, i64)>>,
    // Scratch of a search that starts on the other half.
    distance: Vec<i64>,
    from: Vec<u32>,
    settled: Vec<bool>,
}

impl Half {
    fn grow(&mut self) {
        self.cap.push(0);
        self.price.push(0);
        self.mate.push(ALONE);
        self.arcs.push(Vec::new());
        self.distance.push(i64::MAX);
        self.from.push(ALONE);
        self.settled.push(false);
    }
}

/// A list of nodes, each once.
#[derive(Clone, Debug, Default)]
struct Marked {
    nodes: Vec<u32>,
    is_in: Vec<bool>,
}

impl Marked {
    fn add(&mut self, node: u32) {
        if !std::mem::replace(&mut self.is_in[node as usize], true) {
            self.nodes.push(node);
        }
    }

    fn take(&mut self) -> Vec<u32> {
        for &node in &self.nodes {
            self.is_in[node as usize] = false;
        }
        std::mem::take(&mut self.nodes)
    }
}

/// A cover that can be changed and repaired. Nodes have numbers that stay theirs; a number that was
/// given back is used again.
#[derive(Clone, Debug)]
pub struct LivingCover {
    scale: i64,
    halves: [Half; 2],
    alive: Vec<bool>,
    free: Vec<u32>,
    nodes: usize,
    /// Sides to look at in the next repair.
    open: Vec<(Side, u32)>,
    /// Nodes whose price changed since [`take_changed`](Self::take_changed) was called last.
    changed: Marked,
    /// Likewise those that have another partner on either side.
    moved: Marked,
    heap: BinaryHeap<Reverse<(i64, u32)>>,
    touched: Vec<u32>,
    tree: Vec<(u32, i64)>,
}

impl LivingCover {
    /// Takes over a network with its cheapest cover. There may be as many nodes later on as
    /// [`crate::solve_with_room`] was told; more need a new one.
    #[must_use]
    pub fn new(network: &Network, cover: &Cover) -> Self {
        let n = network.nodes();
        let scale = cover.scale;
        let mut living = Self {
            scale,
            halves: [Half::default(), Half::default()],
            alive: vec![true; n],
            free: Vec::new(),
            nodes: n,
            open: Vec::new(),
            changed: Marked { nodes: Vec::new(), is_in: vec![false; n] },
            moved: Marked { nodes: Vec::new(), is_in: vec![false; n] },
            heap: BinaryHeap::new(),
            touched: Vec::new(),
            tree: Vec::new(),
        };
        for half in &mut living.halves {
            for _ in 0..n {
                half.grow();
            }
        }
        for (node, (&start, &end)) in network.start().iter().zip(network.end()).enumerate() {
            living.halves[0].cap[node] = end * scale + 1;
            living.halves[1].cap[node] = start * scale;
        }
        for node in 0..n {
            for (head, cost) in network.arcs_of(node) {
                let (tail, head, cost) = (as_u32(node), as_u32(head), cost * scale);
                if living.scaled_cost(tail, head).is_none_or(|had| cost < had) {
                    living.put_arc(tail, head, Some(cost));
                }
            }
        }
        for node in 0..n {
            living.halves[0].price[node] = cover.out_price[node];
            living.halves[1].price[node] = cover.in_price[node] + network.start()[node] * scale;
            if let Some(next) = cover.next[node] {
                living.halves[0].mate[node] = next;
                living.halves[1].mate[next as usize] = as_u32(node);
            }
        }
        living
    }

    /// Price units in one unit of cost.
    #[must_use]
    pub const fn scale(&self) -> i64 {
        self.scale
    }

    /// Number of nodes.
    #[must_use]
    pub const fn nodes(&self) -> usize {
        self.nodes
    }

    /// Whether one more node fits.
    #[must_use]
    pub fn has_room(&self) -> bool {
        i64::try_from(self.nodes + 1).is_ok_and(|nodes| nodes < self.scale)
    }

    /// The node that follows on the path, where one does.
    #[must_use]
    pub fn next(&self, node: u32) -> Option<u32> {
        let next = self.halves[0].mate[node as usize];
        (next != ALONE).then_some(next)
    }

    /// The node that comes before on the path, where one does.
    #[must_use]
    pub fn before(&self, node: u32) -> Option<u32> {
        let before = self.halves[1].mate[node as usize];
        (before != ALONE).then_some(before)
    }

    /// Price of the out side: what going on along an arc may cost at most, less what the arc's end
    /// is worth.
    #[must_use]
    pub fn out_price(&self, node: u32) -> i64 {
        self.halves[0].price[node as usize]
    }

    /// Price of the in side: what it is worth to lead a path there.
    #[must_use]
    pub fn in_worth(&self, node: u32) -> i64 {
        self.halves[1].price[node as usize]
    }

    /// Cost of the arc between two nodes, where there is one.
    #[must_use]
    pub fn cost(&self, node: u32, head: u32) -> Option<i64> {
        self.scaled_cost(node, head).map(|cost| cost / self.scale)
    }

    /// Cost and number of paths of the cover. After a repair no cover costs less, and none of that
    /// cost has fewer paths.
    #[must_use]
    pub fn cost_and_paths(&self) -> (i64, usize) {
        let mut total = 0i128;
        for half in &self.halves {
            let prices = half.price.iter().zip(&self.alive).filter(|(_, alive)| **alive);
            total += prices.map(|(&price, _)| i128::from(price)).sum::<i128>();
        }
        let scale = i128::from(self.scale);
        let cost = i64::try_from(total.div_euclid(scale)).unwrap_or(i64::MAX);
        (cost, usize::try_from(total.rem_euclid(scale)).unwrap_or(usize::MAX))
    }

    /// A new node without arcs.
    ///
    /// # Panics
    /// When there is no room, see [`has_room`](Self::has_room).
    pub fn add_node(&mut self, start: i64, end: i64) -> u32 {
        assert!(self.has_room(), "no room for another node");
        let node = self.free.pop().unwrap_or_else(|| {
            for half in &mut self.halves {
                half.grow();
            }
            self.alive.push(false);
            self.changed.is_in.push(false);
            self.moved.is_in.push(false);
            as_u32(self.alive.len() - 1)
        });
        let at = node as usize;
        self.alive[at] = true;
        self.nodes += 1;
        for (half, cap) in self.halves.iter_mut().zip([end * self.scale + 1, start * self.scale]) {
            half.cap[at] = cap;
            half.price[at] = cap;
        }
        self.changed.add(node);
        self.moved.add(node);
        node
    }

    /// Takes a node away with all its arcs.
    pub fn remove_node(&mut self, node: u32) {
        for side in [Side::Out, Side::In] {
            self.part(side, node);
            let arcs = std::mem::take(&mut self.halves[side as usize].arcs[node as usize]);
            for (other, _) in arcs {
                self.halves[side.other() as usize].arcs[other as usize].retain(|(to, _)| *to != node);
            }
        }
        self.alive[node as usize] = false;
        self.nodes -= 1;
        self.free.push(node);
    }

    /// Changes what starting and ending a path at a node cost.
    pub fn set_ends(&mut self, node: u32, start: i64, end: i64) {
        for (side, cap) in [(Side::Out, end * self.scale + 1), (Side::In, start * self.scale)] {
            let half = &mut self.halves[side as usize];
            if half.cap[node as usize] == cap {
                continue;
            }
            half.cap[node as usize] = cap;
            if half.price[node as usize] > cap {
                self.set_price(side, node, cap);
                self.part(side, node);
            }
            self.open.push((side, node));
        }
    }

    /// Gives a node more arcs. One that leads to the same node as another counts where it is cheaper.
    pub fn add_arcs(&mut self, node: u32, arcs: impl IntoIterator<Item = (u32, u32)>) {
        for (head, cost) in arcs {
            let cost = i64::from(cost) * self.scale;
            if self.scaled_cost(node, head).is_none_or(|had| cost < had) {
                self.put_arc(node, head, Some(cost));
            }
        }
        self.heed_arcs(node);
    }

    /// Changes what the arc between two nodes costs, or takes it away.
    pub fn set_arc(&mut self, node: u32, head: u32, cost: Option<u32>) {
        let cost = cost.map(|cost| i64::from(cost) * self.scale);
        self.put_arc(node, head, cost);
        if self.next(node) == Some(head) && cost != Some(self.out_price(node) + self.in_worth(head)) {
            self.part(Side::Out, node);
        }
        self.heed_arcs(node);
    }

    fn scaled_cost(&self, node: u32, head: u32) -> Option<i64> {
        let mut arcs = self.halves[0].arcs[node as usize].iter();
        arcs.find(|(to, _)| *to == head).map(|&(_, cost)| cost)
    }

    /// Writes an arc down at both its ends, or takes it away there.
    fn put_arc(&mut self, node: u32, head: u32, cost: Option<i64>) {
        for (half, (here, there)) in self.halves.iter_mut().zip([(node, head), (head, node)]) {
            let arcs = &mut half.arcs[here as usize];
            match (arcs.iter().position(|(other, _)| *other == there), cost) {
                (Some(at), Some(cost)) => arcs[at].1 = cost,
                (Some(at), None) => {
                    arcs.swap_remove(at);
                }
                (None, Some(cost)) => arcs.push((there, cost)),
                (None, None) => {}
            }
        }
    }

    /// A cheaper arc than the prices allow for brings the out side's price down.
    fn heed_arcs(&mut self, node: u32) {
        let halves = &self.halves;
        let allowed = halves[0].arcs[node as usize]
            .iter()
            .map(|&(head, cost)| cost - halves[1].price[head as usize])
            .fold(halves[0].cap[node as usize], i64::min);
        if halves[0].price[node as usize] > allowed {
            self.set_price(Side::Out, node, allowed);
            self.part(Side::Out, node);
        }
        self.open.push((Side::Out, node));
    }

    /// Makes the cover the cheapest again after changes.
    pub fn repair(&mut self) {
        while let Some((side, node)) = self.open.pop() {
            let at = node as usize;
            let half = &self.halves[side as usize];
            if !self.alive[at] {
                continue;
            }
            if half.mate[at] != ALONE {
                let mate = half.mate[at];
                let (out, inn) = if side == Side::Out { (node, mate) } else { (mate, node) };
                if self.scaled_cost(out, inn) == Some(self.out_price(out) + self.in_worth(inn)) {
                    continue;
                }
                self.part(side, node);
            }
            if self.halves[side as usize].price[at] < self.halves[side as usize].cap[at] {
                self.augment(side, node);
            }
        }
    }

    /// The nodes whose prices changed since this was called last; some may be gone by now.
    pub fn take_changed(&mut self) -> Vec<u32> {
        self.changed.take()
    }

    /// The nodes that another one follows or leads up to than when this was called last; some may be
    /// gone by now, and some may have got their old neighbours back.
    pub fn take_moved(&mut self) -> Vec<u32> {
        self.moved.take()
    }

    fn set_price(&mut self, side: Side, node: u32, price: i64) {
        if self.halves[side as usize].price[node as usize] != price {
            self.halves[side as usize].price[node as usize] = price;
            self.changed.add(node);
        }
    }

    /// Leaves the two sides of an arc alone, to be looked at in the next repair.
    fn part(&mut self, side: Side, node: u32) {
        let mate = std::mem::replace(&mut self.halves[side as usize].mate[node as usize], ALONE);
        if mate != ALONE {
            self.halves[side.other() as usize].mate[mate as usize] = ALONE;
            self.moved.add(node);
            self.moved.add(mate);
            self.open.push((side, node));
            self.open.push((side.other(), mate));
        }
    }

    /// Raises the price of a side that is alone below its cap, until it finds a partner along a
    /// shortest augmenting path, or reaches its cap, or another side takes its place at its own.
    fn augment(&mut self, side: Side, root: u32) {
        let (near, far) = match self.halves.each_mut() {
            [out, inn] if side == Side::Out => (out, inn),
            [out, inn] => (inn, out),
        };
        // `near` sides in the tree have been reached at a distance; `far` sides are on the fringe.
        self.tree.clear();
        let (mut node, mut base) = (root, 0i64);
        let (mut goal, mut goal_node, mut goal_is_near) = (i64::MAX, ALONE, false);
        loop {
            self.tree.push((node, base));
            let at = node as usize;
            let price = near.price[at];
            let alone = base + near.cap[at] - price;
            if alone < goal {
                (goal, goal_node, goal_is_near) = (alone, node, true);
            }
            for &(other, cost) in &near.arcs[at] {
                let there = other as usize;
                let distance = base + cost - price - far.price[there];
                if distance >= goal || distance >= far.distance[there] || far.settled[there] {
                    continue;
                }
                if far.distance[there] == i64::MAX {
                    self.touched.push(other);
                }
                far.distance[there] = distance;
                far.from[there] = node;
                if far.mate[there] == ALONE {
                    (goal, goal_node, goal_is_near) = (distance, other, false);
                } else {
                    self.heap.push(Reverse((distance, other)));
                }
            }
            let reached = loop {
                match self.heap.pop() {
                    Some(Reverse((distance, other))) if distance < goal => {
                        let there = other as usize;
                        if !far.settled[there] && distance == far.distance[there] {
                            break Some(other);
                        }
                    }
                    _ => break None,
                }
            };
            let Some(other) = reached else { break };
            far.settled[other as usize] = true;
            node = far.mate[other as usize];
            base = far.distance[other as usize];
        }
        self.heap.clear();

        // Prices: up on this side of the tree, down on the other.
        for &(node, base) in &self.tree {
            if base < goal {
                near.price[node as usize] += goal - base;
                self.changed.add(node);
            }
        }
        for &other in &self.touched {
            let there = other as usize;
            if far.settled[there] {
                far.price[there] -= goal - far.distance[there];
                self.changed.add(other);
            }
        }
        // Partners, from the goal back to the root.
        let mut fringe = if goal_is_near {
            let left = std::mem::replace(&mut near.mate[goal_node as usize], ALONE);
            self.moved.add(goal_node);
            (goal_node != root).then_some(left)
        } else {
            Some(goal_node)
        };
        while let Some(other) = fringe {
            let node = far.from[other as usize];
            let left = std::mem::replace(&mut near.mate[node as usize], other);
            far.mate[other as usize] = node;
            self.moved.add(node);
            self.moved.add(other);
            fringe = (node != root).then_some(left);
        }
        for &other in &self.touched {
            far.distance[other as usize] = i64::MAX;
            far.settled[other as usize] = false;
        }
        self.touched.clear();
    }
}

#[allow(clippy::cast_possible_truncation)] // a network has at most 2^22 nodes
fn as_u32(node: usize) -> u32 {
    node as u32
}
