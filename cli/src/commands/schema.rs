//! `lintern schema`.

use super::{Exit, print};

pub fn run() -> Exit {
    print(&crate::output::pretty(&lintern_core::plan::schema()));
    Exit::Clean
}
