//! The proof that a cover is the cheapest: dual prices, walked arc by arc.
//!
//! Weak duality in full: whatever the cover, the out side of node `i` either goes along an arc to
//! some `j` or ends a path. If prices never promise more than an arc or an end costs, and no in side
//! is worth more than the start it saves, then the sum of all prices bounds every cover from below,
//! and a cover that attains it is optimal.

use crate::{Cover, Network};

/// A proven optimum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Certificate {
    /// Cost of the cover, and the bound that the prices give: they are equal.
    pub cost: i64,
    /// Paths of the cover; no cover of that cost has fewer.
    pub paths: usize,
}

/// What is wrong with a cover or its prices.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// Lengths do not match the network.
    Shape,
    /// A node follows two others.
    TwoBefore(usize),
    /// A hand-over is no arc of the network.
    NoSuchArc(usize, usize),
    /// The prices promise more than an arc costs.
    ArcTooCheap(usize, usize),
    /// The price of a node's out side is above the price of ending there.
    EndTooCheap(usize),
    /// The price of an in side is above nothing.
    InPositive(usize),
    /// The prices do not add up to the cost of the cover: there may be a cheaper one.
    Gap {
        /// What the cover costs, scaled, paths counted in.
        cover: i128,
        /// What the prices prove, likewise.
        prices: i128,
    },
}

/// Checks that `cover` covers the network and that its prices prove it the cheapest.
///
/// # Errors
/// The first flaw found.
pub fn certify(network: &Network, cover: &Cover) -> Result<Certificate, Flaw> {
    let n = network.nodes();
    let (next, out, inn) = (&cover.next, &cover.out_price, &cover.in_price);
    if [next.len(), out.len(), inn.len()] != [n; 3] {
        return Err(Flaw::Shape);
    }
    // One cost unit is `scale` price units and one path is one, so that fewer paths win ties.
    let scale = i128::from(cover.scale);
    if scale <= n as i128 {
        return Err(Flaw::Shape);
    }
    let start: Vec<i128> = network.start().iter().map(|&price| i128::from(price) * scale).collect();
    let mut followed = vec![false; n];
    let (mut cost, mut paths) = (0i128, 0usize);
    for i in 0..n {
        let out = i128::from(out[i]);
        let end = i128::from(network.end()[i]) * scale + 1;
        if out > end {
            return Err(Flaw::EndTooCheap(i));
        }
        if inn[i] > 0 {
            return Err(Flaw::InPositive(i));
        }
        let mut taken = None;
        for (j, arc) in network.arcs_of(i) {
            let gain = i128::from(arc) * scale - start[j];
            if out + i128::from(inn[j]) > gain {
                return Err(Flaw::ArcTooCheap(i, j));
            }
            if next[i] == u32::try_from(j).ok() {
                taken = Some(taken.map_or(gain, |best: i128| best.min(gain)));
            }
        }
        cost += start[i];
        match next[i] {
            None => {
                cost += end;
                paths += 1;
            }
            Some(j) => {
                let j = j as usize;
                if j >= n {
                    return Err(Flaw::NoSuchArc(i, j));
                }
                if core::mem::replace(&mut followed[j], true) {
                    return Err(Flaw::TwoBefore(j));
                }
                cost += taken.ok_or(Flaw::NoSuchArc(i, j))?;
            }
        }
    }
    let prices: i128 = start.iter().sum::<i128>()
        + out.iter().map(|&price| i128::from(price)).sum::<i128>()
        + inn.iter().map(|&price| i128::from(price)).sum::<i128>();
    if prices != cost {
        return Err(Flaw::Gap { cover: cost, prices });
    }
    let cost = (cost - paths as i128) / scale;
    Ok(Certificate { cost: i64::try_from(cost).map_err(|_| Flaw::Shape)?, paths })
}
