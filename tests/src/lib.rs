//! What the end-to-end tests share.

pub mod circuit;
pub mod dense;
pub mod installation;
pub mod scenario;
pub mod seeded;
pub mod wiring;
