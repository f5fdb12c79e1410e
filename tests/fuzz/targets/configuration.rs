//! The files beside plans: `lintern.yaml`, a pack, amendments, expressions, the user's own configuration. The input is
//! all of them, each after a line `=== NAME`. Places of problems lie in their files, what is accepted fails no built-in
//! rule, and digests that were written are the ones that are wanted.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::check::{CheckOptions, check};
use lintern_core::plan::Loaded;
use lintern_core::repository::{Repository, UserConfig, find, pin};
use lintern_core::rulebook::{Rulebook, Shared, outside_packs};
use lintern_fuzz::{builtin_modules, change, demo, engine, options, oracle};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The files that an input may bring.
const FILES: [&str; 6] = [
    "lintern.yaml",
    "packs/crew/pack.yaml",
    "packs/crew/crew.rules.yaml",
    "county.yaml",
    "house.rules.yaml",
    "user.yaml",
];

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change::mutate(data, size, max_size, seed)
});

fuzz_target!(init: { builtin_modules(); folder(); }, |bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    lay_out(text);
    let user = UserConfig::read(&folder().join("user.yaml"));
    oracle::diagnostics(&user.diagnostics, &user.sources);
    // Of folders outside of the repository nothing may be read here.
    let own = user.packs.iter().map(PathBuf::as_path).filter(|path| path.ends_with("packs/crew"));
    let (packs, problems) = outside_packs(own);
    problems.iter().for_each(|problem| oracle::diagnostics(std::slice::from_ref(&problem.diagnostic), &problem.sources));
    let shared = Shared { engine: engine(), builtin: builtin_modules(), packs: &packs };
    let repository = Repository::of(folder()).expect("a folder");
    oracle::diagnostics(repository.diagnostics(), repository.sources());
    let book = Rulebook::of(&repository, shared);
    for problem in &book.problems {
        oracle::diagnostics(std::slice::from_ref(&problem.diagnostic), &problem.sources);
    }
    if !book.settings.is_empty() || !book.amendments.is_empty() {
        settled(&book.options(options().as_of));
    }
    find(&[folder()]);
    if pinned(&folder().join("packs/crew")) && pinned(folder()) {
        // Packs from outside were read before.
        let shared = Shared { packs: &[], ..shared };
        let book = Rulebook::of(&Repository::of(folder()).expect("a folder"), shared);
        for problem in &book.problems {
            let text = &problem.diagnostic.message;
            // What stands in the files is quoted in other messages.
            let is_wrong = (text.starts_with('`') || text.starts_with("pack `")) && text.contains("` is not the pinned one: ");
            assert!(!is_wrong && !text.ends_with("` has no digest in the manifest of its pack"), "{text}");
        }
    }
});

/// Whether digests could be written into the file of a folder; then there is nothing left to write.
fn pinned(folder: &Path) -> bool {
    match pin(folder) {
        Ok(done) => {
            if let Some(text) = &done.text {
                fs::write(&done.file, text).expect("a file");
                assert_eq!(pin(folder).map(|again| again.text).ok(), Some(None), "{text}");
            }
            true
        }
        Err(refused) => {
            assert!(!refused.diagnostics.is_empty());
            oracle::diagnostics(&refused.diagnostics, &refused.sources);
            false
        }
    }
}

/// Settings and amendments that were accepted are settings that rules can be run with.
fn settled(options: &CheckOptions) {
    static DEMO: OnceLock<Loaded> = OnceLock::new();
    let plan = DEMO.get_or_init(|| demo("quarry-lane/side-yard.yaml"));
    let modules: Vec<_> = builtin_modules().iter().collect();
    let mut report = check(plan.clone(), &modules, options);
    oracle::no_module_failed(&report);
    oracle::findings(&report);
    report.weigh(None);
}

fn lay_out(text: &str) {
    for name in FILES {
        let path = folder().join(name);
        match section(text, name) {
            Some(part) => fs::write(path, part).expect("a file"),
            None => drop(fs::remove_file(path)),
        }
    }
}

/// The part of the input after its line with this name.
fn section<'t>(text: &'t str, name: &str) -> Option<&'t str> {
    let head = format!("=== {name}\n");
    let start = text.find(&head)? + head.len();
    let rest = &text[start..];
    Some(rest.find("=== ").map_or(rest, |end| &rest[..end]))
}

/// A folder of this process, in memory where the system has that; `tests/fuzz/run` removes it.
fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = std::env::temp_dir().join(format!("lintern-fuzz-{}", std::process::id()));
        fs::create_dir_all(folder.join("packs/crew")).expect("a folder");
        fs::canonicalize(folder).expect("a folder")
    })
}
