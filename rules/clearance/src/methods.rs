//! The wiring method that holds on a piece of a run.

use lintern_rule::facts::Piece;
use lintern_rule::plan::{Method, Run};

/// The method on a piece: that of the first exception for one of its zones, else that of the run.
pub fn of_piece(run: &Run, piece: &Piece) -> Option<Method> {
    let exceptions = run.covers.iter().filter(|exception| piece.zones.contains(&exception.zone));
    exceptions.filter_map(|exception| exception.method).next().or(run.method)
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
