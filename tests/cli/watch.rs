//! `lintern check --watch`, as a process that goes on until it is ended.

use crate::support::{CLEAN, Site};
use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// Far more than a check takes; a hang fails.
const LONGEST: Duration = Duration::from_secs(120);

/// A check that watches, ended with the test.
struct Watching {
    process: Child,
    lines: Receiver<String>,
}

impl Watching {
    fn start(site: &Site, more: &[&str]) -> Self {
        let mut process = Command::new(env!("CARGO_BIN_EXE_lintern"))
            .current_dir(site.path())
            .args(["check", "--watch", "--as-of", "2026-03-01"])
            .args(more)
            .env("LINTERN_CONFIG", "")
            .env_remove("LINTERN_CACHE")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = BufReader::new(process.stdout.take().unwrap());
        let (send, lines) = channel();
        std::thread::spawn(move || out.lines().map_while(Result::ok).try_for_each(|line| send.send(line)));
        Self { process, lines }
    }

    /// The next line with counts, and none of what steers a terminal before it.
    fn summary(&self) -> String {
        loop {
            let line = self.lines.recv_timeout(LONGEST).expect("a summary in time");
            assert!(!line.contains('\u{1b}'), "no terminal is there to be cleared: {line:?}");
            if line.contains(" could not be checked; ") {
                return line;
            }
        }
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[test]
fn a_changed_plan_configuration_or_file_of_rules_is_checked_again() {
    let site = Site::new(&[("sites/a.yaml", CLEAN)]);
    let watching = Watching::start(&site, &["sites"]);
    let first = watching.summary();
    assert!(first.starts_with("1 plan: 0 violations"), "{first}");

    site.write("sites/a.yaml", CLEAN.replace("breaker: 20 A", "breaker: 0.1 A").as_bytes());
    let second = watching.summary();
    assert!(second.starts_with("1 plan: 1 violation,"), "{second}");

    // What is hidden or no plan asks for no check: the next one is that of the configuration.
    site.write(".git/a.yaml", b"plan: 1\n");
    site.write("sites/notes.txt", b"nothing");
    site.write("lintern.yaml", b"lintern: 1\nplanes: []\n");
    let third = watching.summary();
    assert!(third.contains("; 1 error"), "{third}");

    site.write("lintern.yaml", b"lintern: 1\n");
    let fourth = watching.summary();
    assert!(fourth.starts_with("1 plan: 1 violation,") && fourth.contains("; 0 errors"), "{fourth}");

    site.write("sites/new/b.yaml", CLEAN.as_bytes());
    let fifth = watching.summary();
    assert!(fifth.starts_with("2 plans: 1 violation,"), "{fifth}");
}

#[test]
fn what_can_not_be_watched_is_told() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let json = site.lintern(&["check", "--watch", "--format", "json"]);
    assert_eq!((json.code, json.out.as_str()), (2, ""));
    assert!(json.err.contains("leave out `--format`"), "{}", json.err);
    let nowhere = site.lintern(&["check", "--watch", "nowhere"]);
    assert_eq!(nowhere.code, 2);
    assert!(nowhere.err.contains("there is no folder to watch"), "{}", nowhere.err);
}
