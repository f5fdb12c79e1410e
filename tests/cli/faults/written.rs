//! Everything that is written to files: when the disk is full, or the program is killed on the way, the file is the old
//! one or the whole new one, and what is left beside it is taken for nothing.

use super::{DAY, bash, expect, names};
use crate::review::with_violation;
use crate::support::{CLEAN, Site};
use std::process::{Command, Stdio};
use std::time::Instant;

/// The commands that write files, and what they write. Each writes more than 1 KiB.
const WRITING: [(&str, &str); 12] = [
    ("report a.yaml -o target.html", "target.html"),
    ("report a.yaml -o target.pdf", "target.pdf"),
    ("draw a.yaml -o target.svg", "target.svg"),
    ("check a.yaml --output json=target.json", "target.json"),
    ("check a.yaml --output sarif=target.sarif", "target.sarif"),
    ("export geojson a.yaml --origin 44,-121 -o target.geojson", "target.geojson"),
    ("remedy a.yaml --apply 1", "a.yaml"),
    ("new target.yaml --name x --country US --region US-OH", "target.yaml"),
    ("import geojson survey.geojson -o target.yaml", "target.yaml"),
    ("size bare.yaml --write target.yaml", "target.yaml"),
    ("man target", "target"),
    ("rule new target-defect", "target-defect"),
];

/// Whether a command writes over what is there.
fn replaces(target: &str) -> bool {
    !target.ends_with(".yaml") && target.contains('.')
}

fn site() -> Site {
    let survey = std::fs::read_to_string(crate::support::demo().join("survey/marsh-end.geojson")).unwrap();
    let end = CLEAN.find("runs:").unwrap();
    let start = CLEAN.find("dig:").unwrap();
    let bare = format!("{}{}", &CLEAN[..end], &CLEAN[start..]);
    Site::new(&[("a.yaml", &with_violation()), ("survey.geojson", &survey), ("bare.yaml", &bare)])
}

#[test]
fn a_disk_that_is_full_leaves_the_old_file_or_none() {
    // Without the signal, the system says no to what goes beyond 1 KiB; the cache must not be in the way.
    let limited = "trap '' XFSZ; ulimit -f 1;";
    for (command, target) in WRITING {
        let site = site();
        if replaces(target) {
            site.write(target, b"old");
        }
        let before = (names(&site), std::fs::read(site.path().join(target)).ok());
        let outcome = bash(&site, &format!("{limited} \"$L\" {command}"));
        assert_eq!(outcome.code, 2, "{command}: {outcome:#?}");
        assert!(outcome.err.contains("File too large"), "{command}: {outcome:#?}");
        assert!(!outcome.err.contains("panicked") && !outcome.err.contains(".part"), "{command}: {outcome:#?}");
        let mut after = (names(&site), std::fs::read(site.path().join(target)).ok());
        // The folder for manual pages is made before they are.
        after.0.retain(|name| name != "target");
        assert_eq!(after, before, "{command}");
    }
}

#[test]
fn a_system_that_ends_what_writes_too_much_leaves_the_old_file_or_none() {
    for (command, target) in WRITING {
        let site = site();
        if replaces(target) {
            site.write(target, b"old");
        }
        let path = site.path().join(target);
        // Some make a folder.
        let read = || std::fs::read(&path).ok().or_else(|| path.exists().then(Vec::new));
        let before = read();
        let outcome = bash(&site, &format!("ulimit -f 1; exec \"$L\" {command}"));
        // The number of SIGXFSZ.
        assert_eq!(outcome.code, 128 + 25, "{command}: {outcome:#?}");
        if target != "target" {
            assert_eq!(read(), before, "{command}");
        }
        // What it left behind is in nobody's way.
        let outcome = bash(&site, &format!("exec \"$L\" {command}"));
        assert!([0, 1].contains(&outcome.code) && read() != before, "{command}: {outcome:#?}");
    }
}

#[test]
fn a_program_that_is_killed_leaves_the_old_file_or_the_whole_new_one() {
    for (command, target) in [WRITING[0], WRITING[1], WRITING[6]] {
        let site = site();
        if target != "a.yaml" {
            site.write(target, b"old");
        }
        let path = site.path().join(target);
        let old = std::fs::read(&path).unwrap();
        let day = if target == "a.yaml" { "" } else { DAY };
        let arguments: Vec<&str> = command.split(' ').chain(day.split_whitespace()).collect();
        let start = || {
            let mut program = Command::new(env!("CARGO_BIN_EXE_lintern"));
            program.current_dir(site.path()).args(&arguments).env("LINTERN_CONFIG", "");
            program.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap()
        };
        let started = Instant::now();
        start().wait().unwrap();
        let whole_run = started.elapsed();
        let new = std::fs::read(&path).unwrap();
        assert!(new != old, "{command}");
        // The keys that end a program, a system that stops its services, and no mercy.
        let signals = ["-INT", "-TERM", "-HUP", "-KILL"].into_iter().cycle();
        for (percent, signal) in
            [10, 40, 55, 65, 70, 75, 80, 85, 88, 90, 93, 95, 98, 100, 103, 105].into_iter().zip(signals)
        {
            std::fs::write(&path, &old).unwrap();
            let mut child = start();
            std::thread::sleep(whole_run * percent / 100);
            // It may have ended.
            let _ = Command::new("kill").args([signal, &child.id().to_string()]).stderr(Stdio::null()).status();
            child.wait().unwrap();
            let found = std::fs::read(&path).unwrap();
            assert!(found == old || found == new, "{command}: {} bytes at {percent} %", found.len());
        }
    }
}

#[test]
fn what_a_killed_program_leaves_behind_is_no_plan_and_in_nobody_s_way() {
    let site = site();
    let part = |name: &str| site.write(name, with_violation().as_bytes());
    part(".lintern-aaaaaa.part");
    part(".target.html.1.part");
    std::fs::create_dir(site.path().join(".lintern-bbbbbb")).unwrap();
    part(".lintern-bbbbbb/rule.yaml");
    expect(&site, &format!("rm bare.yaml; \"$L\" check . {DAY}"), 1, "1 plan: 1 violation");
    // In containers process numbers come again: that of this shell becomes that of the program.
    let line = "touch .target.html.$$.part .lintern-$$.part; exec \"$L\" report a.yaml -o target.html";
    expect(&site, line, 0, "Wrote target.html");
}

#[test]
fn a_file_that_comes_to_be_there_meanwhile_is_not_written_over() {
    let site = Site::new(&[]);
    // Both start together; one is first.
    let new = "\"$L\" new target.yaml --name";
    let line = format!(
        "for i in 1 2 3 4; do ({new} name-$i --country US --region US-OH > out.$i 2> err.$i; echo $? > code.$i) & done; \
         wait; cat code.* | sort | tr -d '\\n'; echo; grep -l Wrote out.*; grep -o 'name-.' target.yaml"
    );
    let outcome = expect(&site, &line, 0, "");
    let told: Vec<&str> = outcome.out.split_whitespace().collect();
    assert_eq!(told[0], "0222", "{outcome:#?}");
    assert_eq!(told[1].trim_start_matches("out."), told[2].trim_start_matches("name-"), "{outcome:#?}");
}

#[test]
fn written_files_have_the_permissions_of_the_user() {
    let site = site();
    let line = "umask 027; \"$L\" report a.yaml -o target.html && stat -c %a target.html && chmod 604 target.html && \
                \"$L\" report a.yaml -o target.html && stat -c %a target.html && \"$L\" new target.yaml --name x \
                --country US --region US-OH && stat -c %a target.yaml";
    let outcome = expect(&site, line, 0, "");
    let modes: Vec<&str> = outcome.out.lines().filter(|line| line.len() == 3).collect();
    assert_eq!(modes, ["640", "604", "640"]);
}
