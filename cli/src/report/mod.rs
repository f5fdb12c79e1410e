//! What a check found, as one document that every format is made from. It holds no plan and no module, so that a
//! repository of many plans needs little memory, and that parts of a run can be written, read and put together.

pub mod baseline;
pub mod document;
pub mod folders;
pub mod make;
pub mod merge;
pub mod run;
pub mod seal;
pub mod sealed;
pub mod shown;
pub mod texts;
mod touched;

pub use document::{Document, Finding, Plan};
