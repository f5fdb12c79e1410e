//! The rules of one file as lintern hands them over.

mod bindings {
    wit_bindgen::generate!({
        world: "expression-rules",
        path: "../../core/wit/expressions",
        additional_derives: [PartialEq],
    });
}

pub use bindings::lintern::expressions::source::*;
