//! Shared schedules: merging, replacing, and the walls of the repository.

use super::{load_text, rendered};
use crate::plan::load;
use crate::repository::Repository;

const THEIRS: &str = "schedule:\n  splices:\n    cap: { resistance: 1 mohm }\n    box: { location: dry }\n";

#[test]
fn types_merge_and_the_plans_own_may_replace() {
    let plan = "plan: 1\nuse: [types/a.yaml]\nschedule: { splices: { cap: { resistance: 5 mohm, replaces: true } } }\n\
                junctions: [{ id: J1, splice: cap }, { id: J2, splice: box }]\n";
    let loaded = load_text(plan, &[("types/a.yaml", THEIRS)]);
    assert_eq!(rendered(&loaded), "");
    let layout = loaded.layout.as_ref().unwrap();
    assert_eq!(layout.junctions[0].splice.as_ref().unwrap().resistance.unwrap().value(), 5.0);
    // The whole entry is replaced, and what is located is the plan's.
    assert_eq!(layout.junctions[0].splice.as_ref().unwrap().location, None);
    assert_eq!(loaded.sources.path(loaded.locate("J1", "splice.resistance").unwrap()), "plan.yaml");
    let theirs = loaded.locate("J2", "splice.location").unwrap();
    assert_eq!((loaded.sources.path(theirs), loaded.sources.text(theirs)), ("types/a.yaml", "dry"));
}

#[test]
fn errors_of_shared_schedules() {
    let own = "schedule: { splices: { cap: { resistance: 5 mohm } } }\n";
    let rows: &[(&str, String)] = &[
        ("defined twice", format!("use: [types/a.yaml]\n{own}")),
        ("in two shared ones", "use: [types/a.yaml, types/b.yaml]\n".to_owned()),
        (
            "replaced by another kind",
            "use: [types/a.yaml]\nschedule: { cables: { cap: { conductor: 12 AWG, replaces: true } } }\n".to_owned(),
        ),
        ("named twice", "use: [types/a.yaml, ./types/a.yaml]\n".to_owned()),
        ("use inside", "use: [types/uses.yaml]\n".to_owned()),
        ("a plan", "use: [types/plan.yaml]\n".to_owned()),
        ("replaces inside", "use: [types/replaces.yaml]\n".to_owned()),
        ("wrong value inside", "use: [types/wrong.yaml]\n".to_owned()),
        ("missing", "use: [types/none.yaml]\n".to_owned()),
        ("absolute", "use: [/etc/hostname]\n".to_owned()),
        ("drive", "use: ['C:/types.yaml']\n".to_owned()),
        ("outside", "use: [types/../../x.yaml]\n".to_owned()),
        ("backslash", "use: ['types\\a.yaml']\n".to_owned()),
        ("a folder", "use: [types]\n".to_owned()),
        ("empty", "use: ['']\n".to_owned()),
    ];
    let others = [
        ("types/a.yaml", THEIRS),
        ("types/b.yaml", "schedule: { splices: { box: { location: wet } } }\n"),
        ("types/uses.yaml", "use: [a.yaml]\nschedule: {}\n"),
        ("types/plan.yaml", "plan: 1\n"),
        ("types/replaces.yaml", "schedule: { splices: { x: { replaces: true } } }\n"),
        ("types/wrong.yaml", "schedule: { splices: { x: { resistance: 1 W } } }\n"),
    ];
    let mut all = String::new();
    for (name, text) in rows {
        let loaded = load_text(format!("plan: 1\n{text}"), &others);
        assert!(loaded.layout.is_none() && !loaded.diagnostics.is_empty(), "{name}");
        all += &format!("# {name}\n{}\n", rendered(&loaded));
    }
    insta::assert_snapshot!(all);
}

#[cfg(unix)]
#[test]
fn a_link_out_of_the_repository_is_refused_and_one_inside_is_followed() {
    let outside = tempfile::tempdir().unwrap();
    std::fs::write(outside.path().join("a.yaml"), THEIRS).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml");
    std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").unwrap();
    std::fs::write(folder.path().join("real.yaml"), THEIRS).unwrap();
    std::os::unix::fs::symlink(outside.path().join("a.yaml"), folder.path().join("out.yaml")).unwrap();
    std::os::unix::fs::symlink(outside.path(), folder.path().join("folder")).unwrap();
    std::os::unix::fs::symlink("real.yaml", folder.path().join("in.yaml")).unwrap();
    let message = |plan: &str| {
        std::fs::write(&path, plan).unwrap();
        let loaded = load(&Repository::of(&path).unwrap(), &path);
        loaded.diagnostics.first().map(|d| d.message.clone())
    };
    assert_eq!(message("plan: 1\nuse: [out.yaml]\n").unwrap(), "`out.yaml` is outside the plan repository");
    assert_eq!(message("plan: 1\nuse: [folder/a.yaml]\n").unwrap(), "`folder/a.yaml` is outside the plan repository");
    assert_eq!(message("plan: 1\nuse: [in.yaml]\n"), None);
}
