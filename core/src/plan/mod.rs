//! The plan: YAML text to a typed model in which every field knows where it stands, and from there
//! to the resolved [`crate::layout::Layout`].
//!
//! [`load`] does all of it. Bytes become a tree with spans (`yaml`), the tree becomes [`model::PlanDoc`]
//! (`de`, by the protocol in [`read`]), and that is resolved with its shared schedules (`resolve`).

pub mod additions;
pub mod cursor;
pub(crate) mod de;
pub mod diagnostic;
pub(crate) mod edit;
pub mod field;
mod load;
mod locate;
pub mod model;
pub(crate) mod nearest;
pub mod quantity;
pub mod read;
mod resolve;
mod route;
pub mod scalar;
pub(crate) mod schema;
pub mod snippet;
pub(crate) mod yaml;

pub use diagnostic::{Diagnostic, LineColumn, Report, SourceFile, Sources};
pub(crate) use load::parse_tree;
pub use load::{Loaded, PLAN_FORMAT, Waiver, load, load_text};
pub use locate::ElementKind;
pub use nearest::nearest as nearest_name;
pub(crate) use route::is_route;
pub use schema::schema;
pub(crate) use yaml::elide;
pub use yaml::{MAX_BYTES, ReadError, read_plain, read_text};
