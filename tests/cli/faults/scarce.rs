//! Machines with little: memory, open files, threads, folders of the user, a present folder.

use super::cache::filled;
use super::{DAY, as_somebody, expect, is_root};
use crate::review::with_violation;
use crate::support::Site;

#[test]
fn little_memory_and_few_open_files_suffice() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    let whole = expect(&site, &format!("\"$L\" check a.yaml {DAY}"), 1, "1 violation").out;
    for limit in ["-v 1000000", "-n 16", "-s 1024"] {
        assert_eq!(expect(&site, &format!("ulimit {limit}; \"$L\" check a.yaml {DAY}"), 1, "").out, whole, "{limit}");
    }
}

#[test]
fn where_there_are_no_threads_one_does_all() {
    let (site, whole) = filled();
    let check = format!("env LINTERN_CACHE=$PWD/cache \"$L\" check a.yaml {DAY}");
    // Far more than any machine gives.
    assert_eq!(expect(&site, &format!("RAYON_NUM_THREADS=10000000 {check}"), 1, "").out, whole);
    if !is_root() {
        eprintln!("NOT TESTED: only root can start the program as somebody who has no other processes");
        return;
    }
    let Some(somebody) = as_somebody(&site, 61_002) else { return };
    for processes in [1, 2, 3] {
        let line = format!("prlimit --nproc={processes} {somebody} {check}");
        assert_eq!(expect(&site, &line, 1, "").out, whole, "{processes}");
    }
    expect(&site, &format!("prlimit --nproc=1 {somebody} \"$L\" serve"), 2, "gives no threads");
}

#[test]
fn nothing_of_the_environment_is_needed() {
    let (site, whole) = filled();
    for environment in ["-i", "-u HOME", "HOME=/dev/null/home", "HOME=", "TMPDIR=/dev/null", "TZ=Nowhere/None"] {
        let line = format!("env {environment} LINTERN_CACHE=$PWD/cache \"$L\" check a.yaml {DAY}");
        assert_eq!(expect(&site, &line, 1, "").out, whole, "{environment}");
    }
    let with = "TMPDIR=/dev/null LINTERN_CACHE=$PWD/cache \"$L\"";
    expect(&site, &format!("{with} report a.yaml -o r.pdf"), 0, "Wrote r.pdf");
    expect(&site, &format!("{with} rule new some-defect"), 0, "some-defect");
}

/// Texts of many plans wait in a temporary file; where there can be none, in memory.
#[test]
fn without_a_folder_for_temporary_files_many_plans_are_told_the_same() {
    let plan = with_violation();
    let names: Vec<String> = (0..120).map(|number| format!("p{number:03}.yaml")).collect();
    let files: Vec<(&str, &str)> = names.iter().map(|name| (name.as_str(), plan.as_str())).collect();
    let site = Site::new(&files);
    for format in ["json", "terminal"] {
        let check = format!("\"$L\" check . {DAY} --no-remedies --format {format}");
        let whole = expect(&site, &check, 1, "").out;
        if format == "json" {
            // More than is kept before there is a file.
            assert!(whole.len() > 2 << 20, "{}", whole.len());
            let read: serde_json::Value = serde_json::from_str(&whole).unwrap();
            let told: Vec<&str> = read["plans"].as_array().unwrap().iter().filter_map(|p| p["file"].as_str()).collect();
            assert_eq!(told, names);
        }
        for folder in ["/dev/null", "gone"] {
            assert!(expect(&site, &format!("TMPDIR={folder} {check}"), 1, "").out == whole, "{format}, {folder}");
        }
    }
}

#[test]
fn a_present_folder_that_is_gone_is_told() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    let plan = site.path().join("a.yaml");
    let gone = "mkdir gone && cd gone && rmdir ../gone;";
    for command in ["check", "check .", "check b.yaml", "rules", "config", "compare .", "baseline"] {
        expect(&site, &format!("{gone} \"$L\" {command}"), 2, "o such file or");
    }
    for command in ["new b.yaml --name x --country US --region US-OH", "rule new some-defect", "man pages"] {
        expect(&site, &format!("{gone} \"$L\" {command}"), 2, "lintern: can't");
    }
    let plan = plan.display();
    expect(&site, &format!("{gone} \"$L\" report {plan} -o r.html"), 2, "can't write r.html");
    expect(&site, &format!("{gone} \"$L\" check {plan} {DAY}"), 1, "1 violation");
}
