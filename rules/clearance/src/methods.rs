//! The wiring method that holds on a piece of a run.

use lintern_rule::Input;
use lintern_rule::facts::Piece;
use lintern_rule::plan::{Method, Run};

/// The method on a piece: that of the exception that holds there, else that of the run.
pub fn of_piece(input: &Input, run: &Run, piece: &Piece) -> Option<Method> {
    input.exception(run, &piece.zones).and_then(|(_, exception)| exception.method).or(run.method)
}

/// Whether NFPA 70 680.11 names the method for the ground beside a pool. Of the methods that a plan can name these are
/// rigid metal conduit and rigid PVC conduit.
pub fn is_listed_for_pools(method: Method) -> bool {
    matches!(method, Method::PvcConduit | Method::RigidMetalConduit)
}

/// Whether the method is in the ground.
pub fn is_buried(method: Method) -> bool {
    matches!(method, Method::DirectBurial | Method::PvcConduit | Method::RigidMetalConduit)
}
