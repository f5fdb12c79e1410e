//! `lintern rule …`: one file a subcommand.

mod pin;

use super::Exit;
use crate::args::RuleCommand;

pub fn run(command: &RuleCommand) -> Exit {
    match command {
        RuleCommand::Pin(args) => pin::run(args),
    }
}
