//! What goes wrong around the program: disks that are full, caches that are broken, files that change or are none,
//! machines with little of everything. Each time it says so, or its answer is right, and nothing is half written.

mod cache;
mod changing;
mod output;
mod scarce;
mod size;
mod strange;
mod written;

use crate::support::{Outcome, Site};
use std::os::unix::process::{CommandExt as _, ExitStatusExt as _};
use std::process::{Command, Stdio};
use std::sync::mpsc::channel;
use std::time::Duration;

/// Longer than anything takes here, also on a slow machine: what takes longer hangs.
const HANGS: Duration = Duration::from_secs(240);

/// Day of all runs, so that equal files give equal bytes.
const DAY: &str = "--as-of 2026-03-04";

/// Runs a line of bash in the folder of a site, with `$L` for the program. A process that
/// a signal has ended has 128 and its number as code, as in a shell.
fn bash(site: &Site, line: &str) -> Outcome {
    let mut command = Command::new("bash");
    command.current_dir(site.path()).args(["-c", line]).process_group(0);
    command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
    for name in ["CI", "NO_COLOR", "COLUMNS", "RAYON_NUM_THREADS", "LINTERN_CACHE", "GITHUB_STEP_SUMMARY"] {
        command.env_remove(name);
    }
    command.env("LINTERN_CONFIG", "").env("L", env!("CARGO_BIN_EXE_lintern"));
    let child = command.spawn().unwrap();
    let group = format!("-{}", child.id());
    let (send, ended) = channel();
    std::thread::spawn(move || send.send(child.wait_with_output()));
    let Ok(output) = ended.recv_timeout(HANGS) else {
        Command::new("kill").args(["-9", &group]).status().unwrap();
        panic!("hangs: {line}");
    };
    let output = output.unwrap();
    let code = output.status.code().unwrap_or_else(|| 128 + output.status.signal().unwrap());
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Outcome { code, out: text(&output.stdout), err: text(&output.stderr) }
}

/// Runs the program by bash, and requires an exit code and no panic; some text that is told, where it is not empty.
fn expect(site: &Site, line: &str, code: i32, told: &str) -> Outcome {
    let outcome = bash(site, line);
    assert_eq!(outcome.code, code, "{line}: {outcome:#?}");
    assert!(!outcome.err.contains("panicked"), "{line}: {outcome:#?}");
    let all = crate::review::words(&format!("{} {}", outcome.err, outcome.out));
    assert!(all.contains(told), "{line}: no `{told}` in {outcome:#?}");
    outcome
}

/// Whether the tests run as root, whom permissions don't bind.
fn is_root() -> bool {
    let id = Command::new("id").arg("-u").output().unwrap();
    id.stdout.trim_ascii() == b"0"
}

/// The start of a command that runs as somebody whom permissions bind; `None`, said aloud, where that is impossible. Each
/// test has a number of its own: processes of one user count together.
fn as_somebody(site: &Site, user: u32) -> Option<String> {
    if !is_root() {
        return Some(String::new());
    }
    let prefix = format!("env HOME=/nonexistent setpriv --reuid={user} --regid={user} --clear-groups ");
    let open = bash(site, &format!("chmod -R a+rwX . && {prefix} test -w . && {prefix} \"$L\" --version"));
    if open.code != 0 {
        eprintln!("NOT TESTED as root: nobody can't run the program here: {open:?}");
        return None;
    }
    Some(prefix)
}

/// The names in the folder of a site, sorted.
fn names(site: &Site) -> Vec<String> {
    let entries = std::fs::read_dir(site.path()).unwrap();
    let mut names: Vec<String> = entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}
