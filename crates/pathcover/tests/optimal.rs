//! Covers are the cheapest: against all covers of tiny networks, and by certificate on larger ones.

#![allow(clippy::unwrap_used)]

use pathcover::{Flaw, Network, certify, solve};
use proptest::prelude::*;

/// Every cover of the network, tried one after the other: least cost, then fewest paths.
fn try_all(network: &Network) -> (i64, usize) {
    fn from(network: &Network, i: usize, taken: &mut Vec<bool>) -> (i64, usize) {
        if i == network.nodes() {
            return (0, 0);
        }
        let start = network.start()[i];
        let (cost, paths) = from(network, i + 1, taken);
        // A node's start is paid unless another leads to it; arcs below give it back.
        let mut best = (cost + start + network.end()[i], paths + 1);
        for (j, arc) in network.arcs_of(i).collect::<Vec<_>>() {
            if !taken[j] {
                taken[j] = true;
                let (cost, paths) = from(network, i + 1, taken);
                taken[j] = false;
                best = best.min((cost + start + arc - network.start()[j], paths));
            }
        }
        best
    }
    from(network, 0, &mut vec![false; network.nodes()])
}

fn network(nodes: usize, density: u8, top: u32) -> impl Strategy<Value = Network> {
    let top_price = i64::from(top);
    (
        proptest::collection::vec(0..=top_price, nodes),
        proptest::collection::vec(0..=top_price, nodes),
        proptest::collection::vec((0..100u8, 0..=2 * top), nodes * nodes),
    )
        .prop_map(move |(start, end, draws)| {
            let mut network = Network::new(start, end);
            for i in 0..nodes {
                let drawn = (i + 1..nodes).map(|j| (j, draws[i * nodes + j]));
                let kept = drawn.filter(|(_, (chance, _))| *chance < density);
                let arcs = kept.map(|(j, (_, cost))| (u32::try_from(j).unwrap(), cost));
                network.add_arcs(i, arcs);
            }
            network
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn tiny_networks_against_all_covers(network in network(7, 70, 4)) {
        let certificate = certify(&network, &solve(&network)).unwrap();
        prop_assert_eq!((certificate.cost, certificate.paths), try_all(&network));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn larger_networks_are_certified(network in network(120, 40, 50)) {
        prop_assert!(certify(&network, &solve(&network)).is_ok());
    }

    /// The certificate is no rubber stamp: a cover with one hand-over undone no longer passes.
    #[test]
    fn a_worse_cover_is_refused(network in network(30, 50, 50)) {
        let good = solve(&network);
        if let Some(at) = good.next.iter().position(Option::is_some) {
            let mut worse = good.clone();
            worse.next[at] = None;
            let refused = matches!(certify(&network, &worse), Err(Flaw::Gap { .. }));
            prop_assert!(refused);
            let mut worse = good.clone();
            worse.out_price[at] += 1;
            prop_assert!(certify(&network, &worse).is_err());
        }
    }
}

#[test]
fn equal_cost_takes_the_fewer_paths() {
    // Two nodes: an arc that costs just what an end and a start cost.
    let mut network = Network::new(vec![3, 4], vec![5, 6]);
    network.add_arcs(0, [(1, 9)]);
    let cover = solve(&network);
    assert_eq!(cover.next, [Some(1), None]);
    assert_eq!(certify(&network, &cover).map(|c| (c.cost, c.paths)), Ok((18, 1)));
}

#[test]
fn an_empty_network_costs_nothing() {
    let network = Network::new(vec![], vec![]);
    assert_eq!(certify(&network, &solve(&network)).map(|c| (c.cost, c.paths)), Ok((0, 0)));
}

#[test]
fn flaws_are_named() {
    let mut network = Network::new(vec![1; 3], vec![1; 3]);
    network.add_arcs(0, [(2, 0)]);
    network.add_arcs(1, [(2, 0)]);
    let good = solve(&network);
    let with = |change: &dyn Fn(&mut pathcover::Cover)| {
        let mut cover = good.clone();
        change(&mut cover);
        certify(&network, &cover).unwrap_err()
    };
    assert_eq!(with(&|c| c.next = vec![Some(2), Some(2), None]), Flaw::TwoBefore(2));
    assert_eq!(with(&|c| c.next = vec![Some(1), None, None]), Flaw::NoSuchArc(0, 1));
    assert_eq!(with(&|c| c.in_price[1] = 1), Flaw::InPositive(1));
    assert_eq!(with(&|c| c.out_price[0] += 100), Flaw::EndTooCheap(0));
    assert_eq!(with(&|c| c.next.truncate(2)), Flaw::Shape);
}
