//! Minimum-cost path cover of an acyclic network, exactly, with a proof.
//!
//! Nodes `0..n` are in an order in which every arc leads from a lower to a higher node. Each node
//! lies on exactly one path; a path pays the `start` of its first node, the `end` of its last and
//! the cost of each arc between. Among covers of least cost one with the fewest paths is found.
//!
//! Knows nothing of yarn. The method is the sparse assignment form of the problem: the *out* side
//! of each node is assigned to the *in* side of a later node, or left alone at the price of an end.
//! It is solved by successive shortest augmenting paths on reduced costs (Jonker and Volgenant,
//! Computing 38, 1987) after a reduction of the rows. The dual prices that come out prove the
//! optimum: [`certify`] checks them arc by arc and shares no code with the solver.

mod certificate;
mod living;
mod network;
mod solver;

pub use certificate::{Certificate, Flaw, certify};
pub use living::LivingCover;
pub use network::Network;
pub use solver::{Cover, solve, solve_with_room};
