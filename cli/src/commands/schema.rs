//! `lintern schema`.

use super::{Exit, print};
use crate::args::{Schema, SchemaOf};
use lintern_core::schemas;

pub fn run(args: &Schema) -> Exit {
    print(&crate::output::pretty(&match args.of {
        SchemaOf::Plan => lintern_core::plan::schema(),
        SchemaOf::Config => schemas::config(),
        SchemaOf::Expressions => schemas::expressions(),
        SchemaOf::Pack => schemas::pack(),
        SchemaOf::Amendments => schemas::amendments(),
        SchemaOf::UserConfig => schemas::user_config(),
    }));
    Exit::Clean
}
