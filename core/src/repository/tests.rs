//! Finding plans, the root of a repository, and its configuration.

use super::{FailOn, Repository, find};
use crate::finding::Level;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

/// A folder with these files.
fn folder(files: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

/// What was found, one line each.
fn told(paths: &[&Path]) -> Vec<String> {
    let found = find(paths);
    let plans = found.plans.iter().map(|p| format!("plan {}", p.file));
    let problems = found.problems.iter().map(|p| format!("problem {}: {}", p.file, p.diagnostics[0].message));
    let notes = found.notes.iter().map(|n| format!("note {}: {}", n.file, n.reason));
    plans.chain(problems).chain(notes).collect()
}

#[test]
fn top_level_keys_tell_what_a_file_is() {
    let folder = folder(&[
        ("lintern.yaml", "lintern: 1\n"),
        ("b/plan.yaml", "plan: 1\n"),
        ("a/plan.yml", "plan: 9\nwrong: [\n]\n"),
        ("types.yaml", "schedule: {}\n"),
        ("forgot.yaml", "project: {}\nruns: []\n"),
        ("broken.yaml", "plan: [\n"),
        ("unread.yaml", "projekt: [\n"),
        ("other.yaml", "x: 1\n"),
        ("list.yaml", "- x\n"),
        ("empty.yaml", "# nothing\n"),
        ("notes.txt", "plan: 1\n"),
        (".hidden/plan.yaml", "plan: 1\n"),
        ("sub/lintern.yaml", "lintern: 1\n"),
        ("sub/plan.yaml", "plan: 1\n"),
    ]);
    assert_eq!(
        told(&[folder.path()]),
        [
            "plan a/plan.yml",
            "plan b/plan.yaml",
            "plan broken.yaml",
            "plan plan.yaml",
            "problem forgot.yaml: this looks like a plan, but it has no `plan` key: is the key missing?",
            "problem unread.yaml: this `[` is never closed",
            "note empty.yaml: an empty file",
            "note lintern.yaml: the configuration",
            "note list.yaml: neither a plan nor a shared schedule",
            "note other.yaml: neither a plan nor a shared schedule",
            "note lintern.yaml: the configuration",
            "note types.yaml: a shared schedule",
        ]
    );
    // Named on the command line, any file is a plan, and each plan is found once.
    let (types, plan) = (folder.path().join("types.yaml"), folder.path().join("b/plan.yaml"));
    assert_eq!(told(&[&types, &plan, &folder.path().join("b")]), ["plan b/plan.yaml", "plan types.yaml"]);
    let missing = folder.path().join("none.yaml");
    assert!(told(&[&missing])[0].contains("there is no such file or folder"));
}

#[test]
fn globs_of_the_configuration_narrow_the_search() {
    let folder = folder(&[
        ("lintern.yaml", "lintern: 1\nplans: ['sites/**/*.yaml']\n"),
        ("sites/a/plan.yaml", "plan: 1\n"),
        ("sites/plan.yaml", "plan: 1\n"),
        ("drafts/plan.yaml", "plan: 1\n"),
    ]);
    assert_eq!(
        told(&[folder.path()]),
        [
            "plan sites/a/plan.yaml",
            "plan sites/plan.yaml",
            "note drafts/plan.yaml: outside the `plans` of lintern.yaml",
            "note lintern.yaml: the configuration",
        ]
    );
}

#[cfg(unix)]
#[test]
fn links_and_pipes_are_passed_over() {
    let folder = folder(&[("lintern.yaml", "lintern: 1\n"), ("plan.yaml", "plan: 1\n")]);
    std::os::unix::fs::symlink("plan.yaml", folder.path().join("link.yaml")).unwrap();
    std::os::unix::fs::symlink(folder.path(), folder.path().join("loop")).unwrap();
    let pipe = folder.path().join("pipe.yaml");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    assert_eq!(
        told(&[folder.path()]),
        [
            "plan plan.yaml",
            "note link.yaml: a link",
            "note lintern.yaml: the configuration",
            "note pipe.yaml: a pipe, device or socket",
        ]
    );
    // Named on the command line it is an error, not an endless wait.
    let loaded = crate::plan::load(&Repository::of(&pipe).unwrap(), &pipe);
    assert_eq!(loaded.diagnostics[0].message, "can't read pipe.yaml: it is a pipe, device or socket, not a plain file");
}

#[cfg(unix)]
#[test]
fn a_link_leads_to_nothing_outside_of_the_repository_that_it_lies_in() {
    use std::os::unix::fs::symlink;
    let folder = folder(&[
        ("secret.yaml", "plan: 1\n"),
        ("a/lintern.yaml", "lintern: 1\n"),
        ("a/plans/plan.yaml", "plan: 1\n"),
        ("b/.git/HEAD", ""),
        ("b/plan.yaml", "plan: 1\n"),
        ("c/plan.yaml", "plan: 1\n"),
    ]);
    let root = folder.path().canonicalize().unwrap();
    for (target, link) in [
        ("../secret.yaml", "a/file.yaml"),
        ("file.yaml", "a/second.yaml"),
        ("..", "a/up"),
        ("../b", "a/other"),
        ("plans/plan.yaml", "a/inside.yaml"),
        ("a", "d"),
        ("../secret.yaml", "b/file.yaml"),
        ("../secret.yaml", "c/file.yaml"),
    ] {
        symlink(target, root.join(link)).unwrap();
    }
    for (path, name, of) in [
        ("a/file.yaml", "file.yaml", "a"),
        ("a/second.yaml", "second.yaml", "a"),
        ("a/up/secret.yaml", "up", "a"),
        ("a/up/a/plans/plan.yaml", "up", "a"),
        ("a/other/plan.yaml", "other", "a"),
        ("a/plans/../file.yaml", "file.yaml", "a"),
        ("d/file.yaml", "file.yaml", "a"),
        ("b/file.yaml", "file.yaml", "b"),
    ] {
        let said = told(&[&root.join(path)]);
        let wanted = format!("the link `{name}` leads out of the plan repository {}; ", root.join(of).display());
        assert!(said.len() == 1 && said[0].contains(&wanted), "{path}: {said:?}");
        assert!(Repository::of(&root.join(path)).is_err(), "{path}");
    }
    // The first is in its repository, the second is led to by a link of nobody's, the third is in no repository.
    for (path, file) in [("a/inside.yaml", "plans/plan.yaml"), ("d/plans/plan.yaml", "plans/plan.yaml")] {
        assert_eq!(told(&[&root.join(path)]), [format!("plan {file}")]);
    }
    assert_eq!(told(&[&root.join("c/file.yaml")]), ["plan secret.yaml"]);
}

#[test]
fn the_root_is_the_nearest_configuration_then_version_control_then_the_folder() {
    let folder = folder(&[
        ("x/.git/HEAD", ""),
        ("x/y/plan.yaml", "plan: 1\n"),
        ("x/z/lintern.yaml", "lintern: 1\n"),
        ("x/z/w/plan.yaml", "plan: 1\n"),
        ("q/plan.yaml", "plan: 1\n"),
    ]);
    let root = folder.path().canonicalize().unwrap();
    let of = |path: &str| Repository::of(&root.join(path)).unwrap().root().strip_prefix(&root).unwrap().to_owned();
    assert_eq!(of("x/y/plan.yaml"), Path::new("x"));
    assert_eq!(of("x/z/w/plan.yaml"), Path::new("x/z"));
    assert_eq!(of("x/z/w"), Path::new("x/z"));
    assert_eq!(of("q/plan.yaml"), Path::new("q"));
}

#[test]
fn a_configuration_is_read_whole() {
    let digest = "ab".repeat(32);
    let text = format!(
        "lintern: 1
plans: ['sites/**/*.yaml']
rules:
  modules: [house/*.wasm, house/a.wasm]
  pins: {{ house/a.wasm: 'sha256:{digest}' }}
  expressions: [house/x.rules.yaml]
  packs: [packs/company]
  settings:
    voltage/excess-drop: {{ limit: 3 %, level: violation, reason: company standard 4.2 }}
fail-on: advice
"
    );
    let folder = folder(&[
        ("lintern.yaml", &text),
        ("house/b.wasm", ""),
        ("house/a.wasm", ""),
        ("house/x.rules.yaml", ""),
        ("packs/company/pack.yaml", ""),
    ]);
    let repository = Repository::of(folder.path()).unwrap();
    assert_eq!(repository.diagnostics(), []);
    let config = repository.config();
    let names = |files: &[super::RuleFile]| files.iter().map(|f| f.name.clone()).collect::<Vec<_>>();
    assert_eq!(names(&config.rules.modules), ["house/a.wasm", "house/b.wasm"]);
    assert_eq!(names(&config.rules.expressions), ["house/x.rules.yaml"]);
    assert_eq!(names(&config.rules.packs), ["packs/company"]);
    assert_eq!(config.rules.pins[0].sha256, digest);
    assert_eq!(config.fail_on, Some(FailOn::Advice));
    let settings = &config.rules.settings[0];
    assert_eq!((settings.rule.as_str(), settings.level), ("voltage/excess-drop", Some(Level::Violation)));
    assert_eq!(settings.reason.as_deref(), Some("company standard 4.2"));
    assert_eq!((settings.values[0].name.as_str(), settings.values[0].value.as_str()), ("limit", "3 %"));
    assert_eq!(repository.sources().text(settings.values[0].span), "3 %");
}

#[test]
fn errors_of_a_configuration_come_at_once() {
    let text = "lintern: 2
plans: ['../**/*.yaml', 'a{', '/x', 5]
rules:
  modules: [../m.wasm, /m.wasm, none.wasm, '*.wasm', 'a\\b']
  pins: { m.wasm: md5 }
  packs: [lintern.yaml, ../pack]
  settings: { a/b: { level: error }, c/d: 5 }
  colour: red
fail-on: warning
";
    let folder = folder(&[("lintern.yaml", text)]);
    let repository = Repository::of(folder.path()).unwrap();
    let line = |d: &crate::plan::Diagnostic| {
        let at = repository.sources().line_column(d.span.unwrap()).unwrap();
        format!("{}:{} {} ({})", at.line, at.column, d.message, d.help.as_deref().unwrap_or("-"))
    };
    insta::assert_snapshot!(repository.diagnostics().iter().map(line).collect::<Vec<_>>().join("\n"));
}
