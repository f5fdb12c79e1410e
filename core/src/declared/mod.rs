//! What a case of a rule declares in the comments at its top, what the rule says of the case, and how the two differ.
//!
//! A case is a whole plan. Its expectations are computed by hand, so that a rule is held against something else than
//! itself:
//!
//! ```yaml
//! # expect: fail
//! # finding: L2 at "L2" measured 9.4986 V limit 10 V level violation section "110.3(B)"
//! # undetermined: L5 missing "`input.min` of type `well-6`"
//! # hand: loop 2 x 1.98 ohm/kft x 100 ft = 0.396 ohm; a line that goes on
//! #   is indented.
//! ```
//!
//! `rule: topic/defect` says of which rule of a module it speaks, `as-of: 2026-03-01` on which day it is judged.

mod found;
mod header;
mod order;

pub use found::Found;
pub use header::{DeclaredFinding, Header, HeaderError, Undetermined};
pub use order::{agrees, is_same, reordered};
