//! A cover kept up to date is as cheap as one made from scratch, whatever is changed.

use pathcover::{LivingCover, Network, certify, solve, solve_with_room};
use proptest::prelude::*;

/// A change to a network, in numbers that are brought into range where they are used.
#[derive(Clone, Debug)]
enum Change {
    Add { start: i64, end: i64 },
    Remove(usize),
    Ends { node: usize, start: i64, end: i64 },
    Arc { node: usize, head: usize, cost: Option<u32> },
    MoreArcs { node: usize, arcs: Vec<(usize, u32)> },
}

fn change() -> impl Strategy<Value = Change> {
    let price = 0..20i64;
    let arcs = || proptest::collection::vec((0..30usize, 0..40u32), 0..6);
    prop_oneof![
        (price.clone(), price.clone()).prop_map(|(start, end)| Change::Add { start, end }),
        (0..30usize).prop_map(Change::Remove),
        (0..30usize, price.clone(), price).prop_map(|(node, start, end)| Change::Ends { node, start, end }),
        (0..30usize, 0..30usize, proptest::option::of(0..40u32)).prop_map(|(node, head, cost)| Change::Arc {
            node,
            head,
            cost
        }),
        (0..30usize, arcs()).prop_map(|(node, arcs)| Change::MoreArcs { node, arcs }),
    ]
}

/// What the living cover should be covering, kept plainly: nodes in order, each with its number.
#[derive(Clone, Default)]
struct Plain {
    nodes: Vec<(u32, i64, i64, Arcs)>,
}

type Arcs = Vec<(u32, u32)>;

impl Plain {
    fn network(&self) -> Network {
        let start = self.nodes.iter().map(|node| node.1).collect();
        let end = self.nodes.iter().map(|node| node.2).collect();
        let mut network = Network::new(start, end);
        for (at, (.., arcs)) in self.nodes.iter().enumerate() {
            let place = |number: u32| self.nodes.iter().position(|node| node.0 == number);
            let arcs = arcs.iter().filter_map(|&(to, cost)| Some((u32::try_from(place(to)?).ok()?, cost)));
            network.add_arcs(at, arcs.collect::<Vec<_>>());
        }
        network
    }

    /// Arcs to later nodes, by number.
    fn onwards(&self, at: usize, arcs: &[(usize, u32)]) -> Arcs {
        let later = &self.nodes[at + 1..];
        if later.is_empty() {
            return Vec::new();
        }
        arcs.iter().map(|&(to, cost)| (later[to % later.len()].0, cost)).collect()
    }
}

fn agree(plain: &Plain, living: &LivingCover) {
    let network = plain.network();
    let proof = certify(&network, &solve(&network)).expect("a certified cover");
    assert_eq!(living.cost_and_paths(), (proof.cost, proof.paths));
    // The cover itself costs what its prices say.
    let place = |number: u32| plain.nodes.iter().position(|node| node.0 == number).expect("a node");
    let (mut cost, mut paths) = (0, 0);
    let mut followed = vec![false; plain.nodes.len()];
    for (number, _, end, _) in &plain.nodes {
        match living.next(*number) {
            Some(next) => {
                cost += network.cost(place(*number), place(next)).expect("an arc");
                assert!(!std::mem::replace(&mut followed[place(next)], true));
            }
            None => {
                cost += end;
                paths += 1;
            }
        }
    }
    cost += plain
        .nodes
        .iter()
        .zip(&followed)
        .filter(|(_, followed)| !**followed)
        .map(|(node, _)| node.1)
        .sum::<i64>();
    assert_eq!((cost, paths), (proof.cost, proof.paths));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_500))]

    #[test]
    fn changes_and_repairs_agree_with_a_fresh_solution(changes in proptest::collection::vec(change(), 1..40)) {
        let empty = Network::new(vec![], vec![]);
        let mut living = LivingCover::new(&empty, &solve_with_room(&empty, 64));
        let mut plain = Plain::default();
        for (step, change) in changes.into_iter().enumerate() {
            let count = plain.nodes.len();
            match change {
                Change::Add { start, end } => {
                    let number = living.add_node(start, end);
                    plain.nodes.push((number, start, end, Vec::new()));
                }
                _ if count == 0 => continue,
                Change::Remove(at) => {
                    let (number, ..) = plain.nodes.remove(at % count);
                    living.remove_node(number);
                    for (.., arcs) in &mut plain.nodes {
                        arcs.retain(|(to, _)| *to != number);
                    }
                }
                Change::Ends { node, start, end } => {
                    let entry = &mut plain.nodes[node % count];
                    (entry.1, entry.2) = (start, end);
                    living.set_ends(entry.0, start, end);
                }
                Change::Arc { node, head, cost } => {
                    let Some(&(head, _)) = plain.onwards(node % count, &[(head, 0)]).first() else {
                        continue;
                    };
                    let entry = &mut plain.nodes[node % count];
                    entry.3.retain(|(to, _)| *to != head);
                    entry.3.extend(cost.map(|cost| (head, cost)));
                    living.set_arc(entry.0, head, cost);
                }
                Change::MoreArcs { node, arcs } => {
                    let arcs = plain.onwards(node % count, &arcs);
                    let entry = &mut plain.nodes[node % count];
                    entry.3.extend(&arcs);
                    living.add_arcs(entry.0, arcs);
                }
            }
            // Several changes at once now and then.
            if step % 3 != 1 {
                living.repair();
                agree(&plain, &living);
            }
        }
        living.repair();
        agree(&plain, &living);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Taking over a cover that was solved in bulk changes nothing.
    #[test]
    fn takes_over_a_solved_network(
        ends in proptest::collection::vec((0..50i64, 0..50i64), 1..40),
        draws in proptest::collection::vec((0..40usize, 0..40usize, 0..60u32), 0..200),
    ) {
        let (start, end): (Vec<_>, Vec<_>) = ends.into_iter().unzip();
        let nodes = start.len();
        let mut network = Network::new(start.clone(), end.clone());
        let mut plain = Plain::default();
        for (at, (start, end)) in start.into_iter().zip(end).enumerate() {
            plain.nodes.push((u32::try_from(at).expect("small"), start, end, Vec::new()));
        }
        for (from, to, cost) in draws {
            let (from, to) = ((from % nodes).min(to % nodes), (from % nodes).max(to % nodes));
            if from < to {
                let arc = (u32::try_from(to).expect("small"), cost);
                network.add_arcs(from, [arc]);
                plain.nodes[from].3.push(arc);
            }
        }
        let living = LivingCover::new(&network, &solve_with_room(&network, 1000));
        agree(&plain, &living);
    }
}
