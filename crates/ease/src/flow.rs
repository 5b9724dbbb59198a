//! Minimum cut by the growing trees of Boykov and Kolmogorov ("An experimental comparison of
//! min-cut/max-flow algorithms for energy minimization in vision", PAMI 26(9), 2004): a tree from
//! either terminal, a path where they touch, and orphans that look for new parents instead of a
//! search from scratch. Made for grids, where paths are short.

use std::collections::VecDeque;

/// An arc of the residual graph; its opposite stands beside it, at the place with the lowest bit
/// turned.
#[derive(Clone, Copy, Debug)]
struct Arc {
    to: u32,
    next: u32,
    left: i64,
}

const NONE: u32 = u32::MAX;
/// The parent is the terminal itself.
const ROOT: u32 = u32::MAX - 1;
/// It has lost its parent.
const ORPHAN: u32 = u32::MAX - 2;

#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Tree {
    Free,
    Source,
    Sink,
}

/// A graph between two terminals.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    arcs: Vec<Arc>,
    first: Vec<u32>,
    /// What is left of the arc from the source (above 0) or to the sink (below 0).
    terminal: Vec<i64>,
    flow: i64,
    tree: Vec<Tree>,
    /// The arc that leads to the parent.
    parent: Vec<u32>,
    active: VecDeque<u32>,
    is_active: Vec<bool>,
    orphans: VecDeque<u32>,
    /// Distance to the root, right where `seen` is the time of now.
    distance: Vec<u32>,
    seen: Vec<u32>,
    now: u32,
}

impl Cut {
    /// A graph of so many nodes, not joined yet.
    pub(crate) fn new(nodes: usize) -> Self {
        Self {
            arcs: Vec::with_capacity(8 * nodes),
            first: vec![NONE; nodes],
            terminal: vec![0; nodes],
            flow: 0,
            tree: vec![Tree::Free; nodes],
            parent: vec![NONE; nodes],
            active: VecDeque::new(),
            is_active: vec![false; nodes],
            orphans: VecDeque::new(),
            distance: vec![0; nodes],
            seen: vec![0; nodes],
            now: 0,
        }
    }

    /// Adds to what it costs to have the node on the sink's side, and on the source's side.
    pub(crate) fn add_sides(&mut self, node: usize, on_sink_side: i64, on_source_side: i64) {
        let had = self.terminal[node];
        let (from_source, to_sink) = (on_sink_side + had.max(0), on_source_side + (-had).max(0));
        self.flow += from_source.min(to_sink);
        self.terminal[node] = from_source - to_sink;
    }

    /// Joins two nodes: what it costs to have `a` on the source's side and `b` on the sink's.
    pub(crate) fn add_arc(&mut self, a: usize, b: usize, there: i64, back: i64) {
        for (from, to, left) in [(a, b, there), (b, a, back)] {
            let at = as_u32(self.arcs.len());
            self.arcs.push(Arc { to: as_u32(to), next: self.first[from], left });
            self.first[from] = at;
        }
    }

    /// Whether the node is on the sink's side of the cut that was found.
    pub(crate) fn on_sink_side(&self, node: usize) -> bool {
        self.tree[node] == Tree::Sink
    }

    /// Finds a cheapest cut, and what it costs. To be called once.
    pub(crate) fn solve(&mut self) -> i64 {
        for node in 0..self.first.len() {
            self.tree[node] = match self.terminal[node] {
                0 => continue,
                left if left > 0 => Tree::Source,
                _ => Tree::Sink,
            };
            self.parent[node] = ROOT;
            self.distance[node] = 1;
            self.activate(as_u32(node));
        }
        while let Some(&node) = self.active.front() {
            if self.tree[node as usize] != Tree::Free
                && let Some(middle) = self.grow(node)
            {
                self.now += 1;
                self.augment(middle);
                while let Some(orphan) = self.orphans.pop_front() {
                    self.adopt(orphan);
                }
            } else {
                self.active.pop_front();
                self.is_active[node as usize] = false;
            }
        }
        self.flow
    }

    fn activate(&mut self, node: u32) {
        if !std::mem::replace(&mut self.is_active[node as usize], true) {
            self.active.push_back(node);
        }
    }

    /// What can still flow along an arc in the sense of a tree: away from the source, or towards
    /// the sink when the arc is seen from the sink's end.
    fn open(&self, tree: Tree, arc: u32) -> bool {
        let arc = if tree == Tree::Source { arc } else { arc ^ 1 };
        self.arcs[arc as usize].left > 0
    }

    /// Takes in free neighbours; returns an arc from the source's tree to the sink's where they touch.
    fn grow(&mut self, node: u32) -> Option<u32> {
        let tree = self.tree[node as usize];
        let mut arc = self.first[node as usize];
        while arc != NONE {
            let Arc { to, next, .. } = self.arcs[arc as usize];
            if self.open(tree, arc) {
                let there = to as usize;
                if self.tree[there] == Tree::Free {
                    self.tree[there] = tree;
                    self.parent[there] = arc ^ 1;
                    self.distance[there] = self.distance[node as usize] + 1;
                    self.seen[there] = self.seen[node as usize];
                    self.activate(to);
                } else if self.tree[there] != tree {
                    return Some(if tree == Tree::Source { arc } else { arc ^ 1 });
                }
            }
            arc = next;
        }
        None
    }

    /// The arcs along a tree from a node to its root, each in the direction of flow.
    fn to_root(&self, mut node: u32, tree: Tree) -> (Vec<u32>, u32) {
        let mut path = Vec::new();
        while self.parent[node as usize] != ROOT {
            let arc = self.parent[node as usize];
            path.push(if tree == Tree::Source { arc ^ 1 } else { arc });
            node = self.arcs[arc as usize].to;
        }
        (path, node)
    }

    fn augment(&mut self, middle: u32) {
        let (before, source_root) = self.to_root(self.arcs[(middle ^ 1) as usize].to, Tree::Source);
        let (behind, sink_root) = self.to_root(self.arcs[middle as usize].to, Tree::Sink);
        let ends = self.terminal[source_root as usize].min(-self.terminal[sink_root as usize]);
        let path = || before.iter().chain(&behind).chain([&middle]);
        let push = path().map(|&arc| self.arcs[arc as usize].left).fold(ends, i64::min);
        for &arc in path() {
            self.arcs[arc as usize].left -= push;
            self.arcs[(arc ^ 1) as usize].left += push;
        }
        self.terminal[source_root as usize] -= push;
        self.terminal[sink_root as usize] += push;
        self.flow += push;
        for root in [source_root, sink_root] {
            if self.terminal[root as usize] == 0 {
                self.orphan(root);
            }
        }
        for arc in before {
            if self.arcs[arc as usize].left == 0 {
                self.orphan(self.arcs[arc as usize].to);
            }
        }
        for arc in behind {
            if self.arcs[arc as usize].left == 0 {
                self.orphan(self.arcs[(arc ^ 1) as usize].to);
            }
        }
    }

    fn orphan(&mut self, node: u32) {
        if self.parent[node as usize] != ORPHAN {
            self.parent[node as usize] = ORPHAN;
            self.orphans.push_back(node);
        }
    }

    /// How far the root is, where the way there is whole; nodes on the way remember it.
    fn distance_to_root(&mut self, node: u32) -> Option<u32> {
        let (mut at, mut steps) = (node, 0);
        let root = loop {
            if self.seen[at as usize] == self.now {
                break self.distance[at as usize];
            }
            match self.parent[at as usize] {
                ROOT => {
                    self.seen[at as usize] = self.now;
                    self.distance[at as usize] = 1;
                    break 1;
                }
                ORPHAN | NONE => return None,
                arc => at = self.arcs[arc as usize].to,
            }
            steps += 1;
        };
        let (mut at, mut left) = (node, root + steps);
        while self.seen[at as usize] != self.now {
            self.seen[at as usize] = self.now;
            self.distance[at as usize] = left;
            left -= 1;
            at = self.arcs[self.parent[at as usize] as usize].to;
        }
        Some(root + steps)
    }

    /// Finds an orphan the nearest new parent in its own tree, or sets it and its children free.
    fn adopt(&mut self, orphan: u32) {
        let tree = self.tree[orphan as usize];
        let mut best: Option<(u32, u32)> = None;
        let mut arc = self.first[orphan as usize];
        while arc != NONE {
            let Arc { to, next, .. } = self.arcs[arc as usize];
            if self.tree[to as usize] == tree
                && self.open(tree, arc ^ 1)
                && let Some(distance) = self.distance_to_root(to)
                && best.is_none_or(|(least, _)| distance < least)
            {
                best = Some((distance, arc));
            }
            arc = next;
        }
        if let Some((distance, arc)) = best {
            self.parent[orphan as usize] = arc;
            self.distance[orphan as usize] = distance + 1;
            self.seen[orphan as usize] = self.now;
            return;
        }
        let mut arc = self.first[orphan as usize];
        while arc != NONE {
            let Arc { to, next, .. } = self.arcs[arc as usize];
            if self.tree[to as usize] == tree {
                if self.open(tree, arc ^ 1) {
                    self.activate(to);
                }
                if self.parent[to as usize] == arc ^ 1 {
                    self.orphan(to);
                }
            }
            arc = next;
        }
        self.tree[orphan as usize] = Tree::Free;
        self.parent[orphan as usize] = NONE;
    }
}

#[allow(clippy::cast_possible_truncation)] // a few arcs for each cell of a chart
fn as_u32(place: usize) -> u32 {
    place as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use ac_library::MfGraph;
    use proptest::prelude::*;

    proptest! {
        /// Reference library: AC Library's maximum flow. The value is the same, and the sides that
        /// come out are a cut of that value.
        #[test]
        fn a_cut_is_as_cheap_as_the_flow_of_another_library(
            sides in prop::collection::vec((0i64..40, 0i64..40), 2..12),
            arcs in prop::collection::vec((0usize..12, 0usize..12, 0i64..20, 0i64..20), 0..40),
        ) {
            let nodes = sides.len();
            let (source, sink) = (nodes, nodes + 1);
            let mut theirs = MfGraph::new(nodes + 2);
            let mut ours = Cut::new(nodes);
            for (node, &(on_sink_side, on_source_side)) in sides.iter().enumerate() {
                ours.add_sides(node, on_sink_side, on_source_side);
                theirs.add_edge(source, node, on_sink_side);
                theirs.add_edge(node, sink, on_source_side);
            }
            let arcs: Vec<_> =
                arcs.into_iter().map(|(a, b, there, back)| (a % nodes, b % nodes, there, back)).filter(|arc| arc.0 != arc.1).collect();
            for &(a, b, there, back) in &arcs {
                ours.add_arc(a, b, there, back);
                theirs.add_edge(a, b, there);
                theirs.add_edge(b, a, back);
            }
            let value = ours.solve();
            prop_assert_eq!(value, theirs.flow(source, sink));
            let side = |node: usize| ours.on_sink_side(node);
            let mut cut: i64 = sides.iter().enumerate().map(|(node, costs)| if side(node) { costs.0 } else { costs.1 }).sum();
            for (a, b, there, back) in arcs {
                cut += if !side(a) && side(b) { there } else { 0 };
                cut += if !side(b) && side(a) { back } else { 0 };
            }
            prop_assert_eq!(value, cut);
        }
    }
}
