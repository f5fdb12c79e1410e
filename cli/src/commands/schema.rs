//! `lintern schema`.

use super::{Exit, print};

pub fn run() -> Exit {
    let schema = lintern_core::plan::schema();
    let text = serde_json::to_string_pretty(&schema).expect("a schema serializes");
    print(&format!("{text}\n"));
    Exit::Clean
}
