//! `lintern man [FOLDER]`: manual pages, from the definition of the command line and from what every page tells.

use super::{Exit, print, stop, write};
use crate::args::{Cli, ManPages};
use crate::output::CAUTION;
use clap::{Command, CommandFactory as _};
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};
use std::io;
use std::path::Path;

/// The exit codes of the commands that check something. Kept apart by command, because they are part of the contract.
const CHECKING: &[(&str, &[(u8, &str)])] = &[
    (
        "lintern-check",
        &[
            (0, "nothing at or above --fail-on was found"),
            (1, "something was"),
            (
                2,
                "something could not be checked: an unreadable plan, a rule module that failed, a wrong configuration; \
                 what could be found is still printed",
            ),
            (3, "no plan was found"),
        ],
    ),
    (
        "lintern-compare",
        &[
            (0, "nothing at or above --fail-on is new or worse"),
            (1, "something is"),
            (2, "the later state could not be checked, or a state could not be found"),
            (3, "no plan was found in either state"),
        ],
    ),
    (
        "lintern-baseline",
        &[(0, "written"), (2, "not written: something could not be checked, or written"), (3, "no plan was found")],
    ),
    (
        "lintern-merge",
        &[
            (0, "as the whole run: nothing at or above its --fail-on was found"),
            (1, "something was"),
            (2, "something could not be checked, or the parts don't belong together"),
            (3, "no plan was found"),
        ],
    ),
    (
        "lintern-verify",
        &[(0, "the same bytes"), (1, "they differ; what does is told"), (2, "the check could not be made again")],
    ),
    (
        "lintern-solve",
        &[(0, "the network is solved"), (1, "a part of the network has no answer"), (2, "the plan can't be read")],
    ),
    (
        "lintern-remedy",
        &[
            (0, "the plan has no findings that are not waived, or a cure was written"),
            (1, "it has some"),
            (2, "it can't be checked or written"),
        ],
    ),
    (
        "lintern-size",
        &[
            (0, "there is a proposal without findings"),
            (1, "the topology that is asked for, or else every one, has no proposal or one with findings"),
            (2, "the plan can't be sized, or the file can't be written"),
        ],
    ),
    (
        "lintern-readings",
        &[(0, "every reading is within its tolerance"), (1, "one is not"), (2, "there is nothing to compare")],
    ),
    (
        "lintern-import-geojson",
        &[(0, "all was taken"), (1, "something was left out, which is listed"), (2, "nothing is written")],
    ),
    (
        "lintern-import-csv",
        &[(0, "all was taken"), (1, "something was left out, which is listed"), (2, "nothing is written")],
    ),
    ("lintern-new", &[(0, "written"), (2, "nothing is written: the file is there, or a value is wrong")]),
    ("lintern-steps", &[(0, "listed"), (2, "the plan or the configuration of its repository can't be read")]),
    (
        "lintern-serve",
        &[
            (0, "the editor has said that it is done, by `shutdown` and `exit`"),
            (1, "it went away without `shutdown`"),
            (2, "what it sent could not be read"),
        ],
    ),
    ("lintern-rule-test", &[(0, "every case agrees"), (1, "some differ"), (2, "something could not be run")]),
];

/// The exit codes of all others.
const OTHERS: &[(u8, &str)] = &[(0, "done"), (2, "something could not be read, loaded or written; it is told")];

/// What the environment changes.
const ENVIRONMENT: &[(&str, &str)] = &[
    ("LINTERN_CACHE", "The folder in which compiled modules are kept, in place of the user's cache folder."),
    ("LINTERN_CONFIG", "The user's own configuration, in place of the usual file; with an empty value there is none."),
    (
        "GITHUB_STEP_SUMMARY",
        "With --format github the Markdown is added to this file, which GitHub Actions shows as the summary of the job.",
    ),
    ("NO_COLOR", "With any value but an empty one, nothing is coloured."),
];

/// The files that are read.
const FILES: &[(&str, &str)] = &[
    (
        "lintern.yaml",
        "At the root of a plan repository: which files are plans, which rules run, and with which settings.",
    ),
    (
        "lintern-baseline.json",
        "Beside lintern.yaml: findings that were there on a day and don't count until their inputs change.",
    ),
    (
        "pack.yaml",
        "The manifest of a pack: modules, files of expressions, amendments and settings, with their digests.",
    ),
    (
        "lintern/config.yaml",
        "The user's own configuration, in the folder where the system keeps such files, such as ~/.config.",
    ),
];

pub fn run(args: &ManPages) -> Exit {
    let pages = match pages() {
        Ok(pages) => pages,
        Err(error) => return stop(&format!("can't make the manual pages: {error}")),
    };
    match &args.folder {
        None => {
            print(pages.first().map_or("", |(_, page)| page));
            Exit::Clean
        }
        Some(folder) => put(folder, &pages),
    }
}

/// Writes the pages, whole or not at all.
fn put(folder: &Path, pages: &[(String, String)]) -> Exit {
    match std::fs::create_dir_all(folder).and_then(|()| write::all(folder, pages)) {
        Ok(()) => {
            let folder = folder.display().to_string();
            print(&format!("Wrote {} manual pages to {}.\n", pages.len(), crate::output::escape::terminal(&folder)));
            Exit::Clean
        }
        Err(error) => stop(&format!("can't write the manual pages to {}: {error}", folder.display())),
    }
}

/// Every page with the name of its file: the program first, then its commands.
fn pages() -> io::Result<Vec<(String, String)>> {
    // The page of a command that only shows help would say nothing.
    let mut program = Cli::command().disable_help_subcommand(true);
    program.build();
    let mut pages = Vec::new();
    add(&mut pages, &program)?;
    Ok(pages)
}

fn add(pages: &mut Vec<(String, String)>, command: &Command) -> io::Result<()> {
    let name = command.get_display_name().unwrap_or_else(|| command.get_name());
    pages.push((format!("{name}.1"), page(command, name)?));
    for subcommand in command.get_subcommands().filter(|subcommand| !subcommand.is_hide_set()) {
        add(pages, subcommand)?;
    }
    Ok(())
}

fn page(command: &Command, name: &str) -> io::Result<String> {
    let version = format!("lintern {}", env!("CARGO_PKG_VERSION"));
    // A page without a date is the same whenever it is made.
    let man = Man::new(command.clone()).title(name.to_uppercase()).source(version).manual("lintern");
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    if command.has_subcommands() {
        man.render_subcommands_section(&mut page)?;
    }
    let mut more = Roff::new();
    exit_status(&mut more, name);
    list(&mut more, "ENVIRONMENT", ENVIRONMENT);
    list(&mut more, "FILES", FILES);
    more.control("SH", ["CAUTIONS"]);
    more.text([roman(CAUTION)]);
    if name != "lintern" {
        more.control("SH", ["SEE ALSO"]);
        more.text([bold("lintern"), roman("(1)")]);
    }
    more.to_writer(&mut page)?;
    String::from_utf8(page).map_err(io::Error::other)
}

fn exit_status(page: &mut Roff, name: &str) {
    let of_command = CHECKING.iter().find(|(command, _)| *command == name).map(|(_, codes)| *codes);
    page.control("SH", ["EXIT STATUS"]);
    if name == "lintern" {
        page.text([roman("That of check; the pages of the other commands have theirs.")]);
    }
    let check = CHECKING.first().map(|(_, codes)| *codes).filter(|_| name == "lintern");
    for (code, meaning) in of_command.or(check).unwrap_or(OTHERS) {
        page.control("TP", []);
        page.text([bold(code.to_string())]);
        page.text([roman(*meaning)]);
    }
}

fn list(page: &mut Roff, heading: &str, entries: &[(&str, &str)]) {
    page.control("SH", [heading]);
    for (name, text) in entries {
        page.control("TP", []);
        page.text([bold(*name)]);
        page.text([roman(*text)]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_table_of_exit_codes_belongs_to_a_page() {
        let pages = pages().expect("pages are plain text");
        for (command, _) in CHECKING {
            assert!(pages.iter().any(|(file, _)| *file == format!("{command}.1")), "{command} is no command");
        }
    }
}
