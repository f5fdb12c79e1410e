//! `lintern completions`, `lintern man`, `lintern schema`, and what is said of a mistyped command line.

use crate::support::{CLEAN, Site, demo, run};
use std::collections::BTreeSet;
use std::process::Command;

const COMMANDS: [&str; 24] = [
    "check",
    "new",
    "import",
    "export",
    "compare",
    "baseline",
    "merge",
    "verify",
    "solve",
    "remedy",
    "size",
    "readings",
    "report",
    "draw",
    "steps",
    "rules",
    "config",
    "explain",
    "schema",
    "completions",
    "man",
    "serve",
    "rule",
    "help",
];

/// What bash offers for a line whose last word is not finished.
fn completed(script: &str, line: &[&str]) -> BTreeSet<String> {
    let site = Site::new(&[("lintern.bash", script)]);
    let words = line.iter().map(|word| format!("'{word}'")).collect::<Vec<_>>().join(" ");
    let last = line.len() - 1;
    // As bash calls it: the command, the word that is completed, and the word before that.
    let program = format!(
        "source lintern.bash; COMP_WORDS=({words}); COMP_CWORD={last}; \
         _lintern lintern '{}' '{}'; printf '%s\\n' \"${{COMPREPLY[@]}}\"",
        line[last],
        line[last - 1]
    );
    let output =
        Command::new("bash").current_dir(site.path()).args(["--norc", "--noprofile", "-c", &program]).output().unwrap();
    assert!(output.status.success(), "{output:?}");
    String::from_utf8(output.stdout).unwrap().split_whitespace().map(str::to_owned).collect()
}

#[test]
fn bash_completes_commands_options_and_values() {
    let script = Site::new(&[]).lintern(&["completions", "bash"]);
    assert_eq!((script.code, script.err.as_str()), (0, ""));
    let offered = |line: &[&str]| completed(&script.out, line);
    assert_eq!(offered(&["lintern", "ch"]), BTreeSet::from(["check".to_owned()]));
    assert_eq!(offered(&["lintern", "check", "--fo"]), BTreeSet::from(["--format".to_owned()]));
    assert_eq!(offered(&["lintern", "rule", "in"]), BTreeSet::from(["inspect".to_owned()]));
    let formats = offered(&["lintern", "check", "--format", ""]);
    assert!(formats.contains("terminal") && formats.contains("json"), "{formats:?}");
}

#[test]
fn every_shell_knows_every_command() {
    let site = Site::new(&[]);
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = site.lintern(&["completions", shell]);
        assert_eq!((script.code, script.err.as_str()), (0, ""), "{shell}");
        for command in COMMANDS {
            assert!(script.out.contains(command), "{shell} does not know {command}");
        }
        assert!(script.out.contains("as-of"), "{shell} does not know the options");
    }
    let wrong = site.lintern(&["completions", "basch"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("'bash'"), "{}", wrong.err);
}

#[test]
fn every_command_has_a_manual_page() {
    let site = Site::new(&[]);
    let written = site.lintern(&["man", "share/man1"]);
    assert_eq!((written.code, written.err.as_str()), (0, ""));
    let folder = site.path().join("share/man1");
    let names: BTreeSet<String> =
        std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    let mut wanted: BTreeSet<String> =
        COMMANDS.iter().filter(|c| **c != "help").map(|command| format!("lintern-{command}.1")).collect();
    wanted.insert("lintern.1".to_owned());
    wanted.extend(["new", "test", "inspect", "pin"].map(|command| format!("lintern-rule-{command}.1")));
    wanted.extend(["import-geojson", "import-csv", "export-geojson"].map(|command| format!("lintern-{command}.1")));
    assert_eq!(names, wanted, "and no half-written file beside them");
    for name in &names {
        let page = std::fs::read_to_string(folder.join(name)).unwrap();
        for heading in ["NAME", "SYNOPSIS", "OPTIONS", "\"EXIT STATUS\"", "ENVIRONMENT", "FILES", "CAUTIONS"] {
            assert!(page.contains(&format!(".SH {heading}\n")), "{name} has no {heading}:\n{page}");
        }
        for text in ["LINTERN_CACHE", "LINTERN_CONFIG", "NO_COLOR", "permission to dig"] {
            assert!(page.contains(text), "{name} does not speak of {text}");
        }
    }
    let shown = site.lintern(&["man"]);
    assert_eq!(shown.out, std::fs::read_to_string(folder.join("lintern.1")).unwrap());
    assert!(std::fs::read_to_string(folder.join("lintern-check.1")).unwrap().contains("no plan was found"));
    // Once more, over the pages that are there.
    assert_eq!(site.lintern(&["man", "share/man1"]).code, 0);
    formatted_without_warnings(&folder, &names);
}

/// Formats the pages where the tool for that is installed.
fn formatted_without_warnings(folder: &std::path::Path, names: &BTreeSet<String>) {
    for name in names {
        let formatted = Command::new("groff").args(["-man", "-ww", "-z", "-Tutf8"]).arg(folder.join(name)).output();
        match formatted {
            Ok(output) => {
                let warnings = String::from_utf8_lossy(&output.stderr).into_owned();
                assert!(output.status.success() && warnings.is_empty(), "{name}: {warnings}");
            }
            Err(_) => {
                eprintln!("NOT RUN: the manual pages were not formatted. Install the package groff and run again.");
                return;
            }
        }
    }
}

#[test]
fn manual_pages_are_written_whole_or_not_at_all() {
    let site = Site::new(&[("pages/lintern-solve.1/kept", "")]);
    let refused = site.lintern(&["man", "pages"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("`lintern-solve.1` is a folder there"), "{}", refused.err);
    assert_eq!(std::fs::read_dir(site.path().join("pages")).unwrap().count(), 1);
    assert_eq!(Site::new(&[("pages", "")]).lintern(&["man", "pages"]).code, 2);
}

#[test]
fn every_file_that_is_read_has_a_schema() {
    let site = Site::new(&[]);
    assert_eq!(site.lintern(&["schema"]).out, site.lintern(&["schema", "plan"]).out);
    for (of, key) in [
        ("plan", "plan"),
        ("config", "lintern"),
        ("expressions", "expressions"),
        ("pack", "pack"),
        ("amendments", "amendments"),
        ("user-config", "lintern"),
    ] {
        let schema = site.lintern(&["schema", of]).json();
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema", "{of}");
        assert_eq!(schema["required"][0], key, "{of}");
        assert_eq!(schema["additionalProperties"], false, "{of}");
    }
    assert_eq!(site.lintern(&["schema", "plans"]).code, 2);
}

#[test]
fn mistyped_commands_and_options_are_answered_with_what_is_near() {
    for (arguments, wanted) in [
        (&["chek"][..], "'check'"),
        (&["cheek", "plans"], "'check'"),
        (&["check", "--fromat", "json"], "'--format'"),
        (&["rule", "inspct", "a.wasm"], "'inspect'"),
        (&["fernhollow-court/front-garden.yaml"], "did you mean `lintern check fernhollow-court/front-garden.yaml`?"),
        (&["nowhere/x.yaml"], "did you mean `lintern check nowhere/x.yaml`?"),
        (&["quarry-lane", "--as-of", "2026-03-05"], "did you mean `lintern check quarry-lane`?"),
    ] {
        let outcome = run(&demo(), arguments, &[]);
        assert_eq!((outcome.code, outcome.out.as_str()), (2, ""), "{arguments:?}");
        assert!(outcome.err.contains(wanted), "{arguments:?}: {}", outcome.err);
    }
}

#[test]
fn help_and_version_still_end_with_0() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    for arguments in [&["--help"][..], &["--version"], &["check", "--help"], &["help", "check"]] {
        assert_eq!(site.lintern(arguments).code, 0, "{arguments:?}");
    }
}

/// Editors and terminals open `path:line:column` from the folder that they are in.
#[test]
fn places_are_shown_from_the_present_folder() {
    let site = Site::new(&[("sites/a.yaml", &CLEAN.replace("breaker: 20 A", "breaker: 30 A"))]);
    site.write("sites/broken.yaml", b"plan: 1\nruns: 3\n");
    let plain =
        |folder: &str, path: &str| run(&site.path().join(folder), &["check", path, "--as-of", "2026-03-01"], &[]).out;
    for (folder, path, shown) in [
        (".", ".", ["[sites/a.yaml:23:", "[sites/broken.yaml:2:7]"]),
        ("sites", ".", ["[a.yaml:23:", "[broken.yaml:2:7]"]),
        ("sites", "..", ["[a.yaml:23:", "[broken.yaml:2:7]"]),
    ] {
        let out = plain(folder, path);
        for place in shown {
            assert!(out.contains(place), "{folder} {path}: {place} is not in {out}");
        }
    }
    site.write("elsewhere/x", b"");
    assert!(plain("elsewhere", "../sites/a.yaml").contains("[../sites/a.yaml:23:"));
    // Programs are told the path in the repository whatever folder they are in.
    let json =
        run(&site.path().join("sites"), &["check", "a.yaml", "--as-of", "2026-03-01", "--format", "json"], &[]).json();
    assert_eq!(json["plans"][0]["findings"][0]["span"]["file"], "sites/a.yaml");
}
