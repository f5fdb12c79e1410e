//! `lintern rule pin`: writes the digests of rule files where they are named.

use crate::args::RulePin;
use crate::commands::{Exit, print, style, write};
use crate::output::{escape, terminal};
use lintern_core::repository::pin;
use std::fmt::Write as _;

pub fn run(args: &RulePin) -> Exit {
    let pinned = match pin(&args.path) {
        Ok(pinned) => pinned,
        Err(error) => {
            eprint!("{}", terminal::diagnostics(&error.diagnostics, &error.sources, style()));
            return Exit::NotChecked;
        }
    };
    if let Some(text) = &pinned.text
        && let Err(error) = write::over(&pinned.file, text.as_bytes())
    {
        return super::stop(&format!("can't write {}: {error}; nothing was changed", pinned.file.display()));
    }
    let mut out = String::new();
    for (file, was, now) in &pinned.digests {
        let what = match (was, now) {
            (None, Some(_)) => "pinned",
            (Some(was), Some(now)) if was == now => "unchanged",
            (Some(_), Some(_)) => "CHANGED",
            (_, None) => "no longer named",
        };
        let digest = now.as_ref().or(was.as_ref()).map_or("", String::as_str);
        let _ = writeln!(out, "{what:15}  {file}  sha256:{digest}");
    }
    let done = if pinned.text.is_some() { "written" } else { "is as it was" };
    let _ =
        writeln!(out, "{} {done}: {} digests.", pinned.name, pinned.digests.iter().filter(|d| d.2.is_some()).count());
    print(&escape::terminal(&out));
    Exit::Clean
}
