//! What stands in the place of a file and is none, or leads elsewhere: nothing waits for it, and nothing outside of the
//! repository is read.

use super::cache::filled;
use super::{DAY, as_somebody, bash, expect};
use crate::review::with_violation;
use crate::support::{CLEAN, Site};
use std::os::unix::ffi::OsStrExt as _;
use std::os::unix::net::UnixListener;

/// The command of bash that makes something of a kind in the place of a file.
fn make(kind: &str, file: &str) -> String {
    match kind {
        "pipe" => format!("mkfifo {file}"),
        "folder" => format!("mkdir {file}"),
        "circle" => format!("ln -s \"$PWD/{file}\" {file}"),
        "device" => format!("ln -s /dev/zero {file}"),
        // Made before, since a shell makes none.
        "socket" => format!("ln -s \"$PWD/socket\" {file}"),
        _ => format!("ln -s nowhere {file}"),
    }
}

/// Uses of files: what reads `x`, and the command.
const USES: [(&str, &str); 19] = [
    ("x.yaml", "check x.yaml"),
    ("x.yaml", "solve x.yaml"),
    ("x.yaml", "remedy x.yaml"),
    ("x.yaml", "report x.yaml -o r.html"),
    ("x.yaml", "import csv lamps.csv --into x.yaml"),
    ("x.yaml", "explain loading/overloaded-supply --plan x.yaml"),
    ("x.csv", "import csv x.csv"),
    ("x.geojson", "import geojson x.geojson"),
    ("x.json", "merge x.json"),
    ("x.json", "verify x.json"),
    ("x.wasm", "rule inspect x.wasm"),
    ("types/x.yaml", "check of-schedule/a.yaml"),
    ("of-config/lintern.yaml", "check of-config/a.yaml"),
    ("of-baseline/lintern-baseline.json", "check of-baseline/a.yaml"),
    ("of-rules/x.wasm", "check of-rules/a.yaml"),
    ("of-rules/x.rules.yaml", "check of-rules/a.yaml"),
    ("of-rules/x.amendments.yaml", "check of-rules/a.yaml"),
    ("pack/pack.yaml", "check a.yaml --pack pack"),
    ("user.yaml", "check a.yaml"),
];

fn site() -> Site {
    let start = CLEAN.find("schedule:").unwrap();
    let with_use = format!("{}use: [../types/x.yaml]\n{}", &CLEAN[..start], &CLEAN[start..]);
    let rules =
        "lintern: 1\nrules:\n  modules: [x.wasm]\n  expressions: [x.rules.yaml]\n  amendments: [x.amendments.yaml]\n";
    Site::new(&[
        ("a.yaml", CLEAN),
        ("lamps.csv", "type,power (W),nominal (V)\nspot,3,12\n"),
        ("types/none", ""),
        ("of-schedule/a.yaml", &with_use),
        ("of-config/a.yaml", CLEAN),
        ("of-baseline/a.yaml", CLEAN),
        ("of-baseline/lintern.yaml", "lintern: 1\n"),
        ("of-rules/a.yaml", CLEAN),
        ("of-rules/lintern.yaml", rules),
        ("pack/none", ""),
    ])
}

/// Puts something of a kind in the place of a file and runs a command that reads it.
fn run(site: &Site, kind: &str, file: &str, command: &str) {
    let user = if file == "user.yaml" { "LINTERN_CONFIG=user.yaml " } else { "" };
    let of_folder = kind == "folder" && command.starts_with("check x");
    let code = if of_folder { 3 } else { 2 };
    let place = make(kind, file);
    let name = if of_folder { "0 plans" } else { file.rsplit('/').next().unwrap() };
    let name = if kind == "socket" && file == "x.yaml" { "socket" } else { name };
    expect(
        site,
        &format!("{place} && {user}\"$L\" {command} > out 2>&1; code=$?; rm -r {file}; cat out; exit $code"),
        code,
        name,
    );
}

#[test]
fn nothing_waits_for_the_writer_of_a_pipe() {
    let site = site();
    for (file, command) in USES {
        run(&site, "pipe", file, command);
    }
}

#[test]
fn devices_folders_and_links_that_lead_nowhere_are_no_files() {
    let site = site();
    let _socket = UnixListener::bind(site.path().join("socket")).unwrap();
    for kind in ["folder", "circle", "device", "socket", "dangling"] {
        for use_of in [0, 7, 8, 10, 11, 12] {
            let (file, command) = USES[use_of];
            run(&site, kind, file, command);
        }
    }
}

#[test]
fn a_pipe_in_a_folder_is_passed_over() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    let _socket = UnixListener::bind(site.path().join("socket.yaml")).unwrap();
    let line = format!(
        "mkfifo pipe.yaml; mkdir folder.yaml; ln -s circle.yaml circle.yaml; ln -s nowhere dangling.yaml; ln -s . self; \
         ln -s .. folder.yaml/up; \"$L\" check . -v {DAY}"
    );
    let outcome = expect(&site, &line, 1, "1 plan: 1 violation");
    assert!(outcome.out.contains("pipe.yaml") && outcome.out.contains("a pipe, device or socket"), "{}", outcome.out);
}

#[test]
fn links_out_of_the_repository_show_nothing_of_what_they_lead_to() {
    let secret = Site::new(&[("secret.yaml", "s3cret: value\n"), ("secret.json", "{\"s3cret\": 1}")]);
    let path = secret.path().display();
    let start = CLEAN.find("schedule:").unwrap();
    let with_use = format!("{}use: [x.yaml]\n{}", &CLEAN[..start], &CLEAN[start..]);
    for (name, from, told) in [
        ("lintern.yaml", "secret.yaml", "lintern.yaml"),
        ("lintern-baseline.json", "secret.json", "lintern-baseline.json"),
        ("x.yaml", "secret.yaml", "x.yaml"),
    ] {
        let site = Site::new(&[("p/lintern.yaml", "lintern: 1\n"), ("p/a.yaml", &with_use), ("p/x.yaml", CLEAN)]);
        let line = format!("rm -f p/{name}; ln -s {path}/{from} p/{name}; \"$L\" check p/a.yaml {DAY}");
        let outcome = expect(&site, &line, 2, "outside the plan repository");
        assert!(outcome.out.contains(told) && !outcome.out.contains("s3cret"), "{outcome:#?}");
        // A digest is not written there either.
        let pin = bash(&site, &format!("\"$L\" rule pin p; cat {path}/{from}"));
        assert!(pin.out.contains("s3cret") && !pin.err.contains("s3cret"), "{pin:#?}");
    }
}

#[test]
fn a_plan_that_is_a_link_out_of_its_repository_is_not_read() {
    let secret = Site::new(&[("secret.yaml", "s3cret: value\n")]);
    let path = secret.path().display();
    for command in [
        "check p/x.yaml",
        "check p/up/secret.yaml --format json",
        "solve p/x.yaml",
        "size p/x.yaml",
        "remedy p/x.yaml",
        "report p/x.yaml -o r.html",
        "draw p/x.yaml -o d.svg",
        "import csv p/lamps.csv --into p/x.yaml",
        "explain loading/overloaded-supply --plan p/x.yaml",
        "steps p/x.yaml",
        "export geojson p/x.yaml",
        "readings p/x.yaml",
        "rules p/x.yaml",
        "config p/x.yaml",
        "compare p/x.yaml p/a.yaml",
        "compare p/a.yaml p/x.yaml",
    ] {
        let site = Site::new(&[
            ("p/lintern.yaml", "lintern: 1\n"),
            ("p/a.yaml", CLEAN),
            ("p/lamps.csv", "type,power (W),nominal (V)\nspot,3,12\n"),
        ]);
        let line = format!("ln -s {path}/secret.yaml p/x.yaml; ln -s {path} p/up; \"$L\" {command}");
        let outcome = bash(&site, &line);
        let said = format!("{}{}", outcome.out, outcome.err);
        assert_eq!(outcome.code, 2, "{command}: {outcome:#?}");
        assert!(
            said.contains("leads out of the plan repository") && !said.contains("s3cret"),
            "{command}: {outcome:#?}"
        );
    }
}

#[test]
fn what_can_not_be_read_is_told_and_the_rest_is_checked() {
    let (site, _) = filled();
    site.write("shut/b.yaml", CLEAN.as_bytes());
    site.write("c.yaml", CLEAN.as_bytes());
    let Some(somebody) = as_somebody(&site, 61_003) else { return };
    let run = |what: &str| format!("{somebody} env LINTERN_CACHE=$PWD/cache \"$L\" check {what} {DAY}");
    let line = format!("chmod 0 shut c.yaml; {}; code=$?; chmod 755 shut; chmod 644 c.yaml; exit $code", run("."));
    let outcome = expect(&site, &line, 2, "1 plan: 1 violation");
    assert!(outcome.out.contains("shut") && outcome.out.contains("c.yaml"), "{}", outcome.out);
    let line = format!("chmod 0 lintern.yaml; {}; code=$?; chmod 644 lintern.yaml; exit $code", run("a.yaml"));
    expect(&site, &line, 2, "permission to read it is denied");
}

#[test]
fn names_with_line_breaks_and_of_other_encodings_are_names() {
    let site = Site::new(&[]);
    for name in [&b"two\nlines.yaml"[..], b"latin-\xe4.yaml", b"esc-\x1b[31m.yaml", b"-o.yaml", b"a b'\".yaml"] {
        let path = site.path().join(std::ffi::OsStr::from_bytes(name));
        std::fs::write(path, with_violation()).unwrap();
    }
    let outcome = expect(&site, &format!("\"$L\" check . {DAY}"), 1, "5 plans: 5 violations");
    assert!(!outcome.out.contains('\x1b') && !outcome.out.contains("two\nlines"), "{}", outcome.out);
    for format in ["json", "sarif", "junit", "github", "gitlab", "markdown"] {
        let outcome = expect(&site, &format!("\"$L\" check . --format {format} {DAY}"), 1, "");
        assert!(!outcome.out.contains('\x1b'), "{format}: {}", outcome.out);
    }
    for command in ["solve", "remedy", "check"] {
        let line = format!("\"$L\" {command} $'none\\n\\e[31m\\xe4.yaml'");
        let outcome = expect(&site, &line, 2, "none");
        assert!(!outcome.err.contains('\x1b') && !outcome.out.contains('\x1b'), "{outcome:#?}");
    }
}

#[test]
fn folders_too_deep_for_a_path_are_told() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    // 200 letters, 30 times: more than the 4096 bytes of a path.
    let deep =
        "d=$(printf 'd%.0s' $(seq 200)); (for i in $(seq 30); do mkdir $d && cd -P $d || exit 1; done; touch b.yaml)";
    let line = format!("{deep}; \"$L\" check . {DAY}; code=$?; rm -rf d*; exit $code");
    let outcome = bash(&site, &line);
    assert!(outcome.code == 2 && outcome.out.contains("1 plan: 1 violation"), "{}", outcome.code);
    assert!(outcome.out.contains("name too long") && !outcome.err.contains("panicked"), "{}", outcome.out);
}
