//! The cache of compiled modules: absent, unwritable, damaged, and used by many at once.

use super::{DAY, bash, expect};
use crate::review::with_violation;
use crate::support::Site;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// A site with a filled cache in `cache`, and what a check prints.
pub fn filled() -> (Site, String) {
    // To compile all modules takes long: once for all tests.
    static FIRST: OnceLock<(Site, String)> = OnceLock::new();
    let (first, out) = FIRST.get_or_init(|| {
        let site = with_modules();
        let out = expect(&site, &run(), 1, "1 violation").out;
        (site, out)
    });
    let site = with_modules();
    assert_eq!(bash(&site, &format!("cp -R '{}/cache' cache", first.path().display())).code, 0);
    (site, out.clone())
}

/// Beside the built-in module two small ones and the one that runs expressions.
fn with_modules() -> Site {
    let rule = "expressions: 1\nrules:\n  - id: house/far\n    title: Far\n    for: run\n    value: run.length_m\n    \
                limit: most\n    settings:\n      most: { default: 9000 m, tighter: lower, about: the most }\n    \
                message: far\n    help: nearer\n    page: Far.\n";
    let config = "lintern: 1\nrules:\n  modules: [house/*.wasm]\n  expressions: [far.rules.yaml]\n";
    let site = Site::new(&[("a.yaml", &with_violation()), ("lintern.yaml", config), ("far.rules.yaml", rule)]);
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let module = |path: &str| std::fs::read(root.join(path)).unwrap();
    site.write("house/crowded.wasm", &module("rules/sdk-c/example/crowded-junction.wasm"));
    site.write("house/pathway.wasm", &module("plans/packs/fernhollow-lighting/modules/pathway.wasm"));
    site
}

fn run() -> String {
    format!("LINTERN_CACHE=cache \"$L\" check a.yaml {DAY}")
}

/// The compiled modules, smallest first, without seals and statistics. Small ones take little time to compile anew.
fn compiled(site: &Site) -> Vec<PathBuf> {
    let versions = std::fs::read_dir(site.path().join("cache/modules")).unwrap();
    let files = versions.flat_map(|version| std::fs::read_dir(version.unwrap().path()).unwrap());
    let paths = files.map(|file| file.unwrap().path());
    let mut paths: Vec<PathBuf> =
        paths.filter(|path| path.extension().is_none() && !path.to_string_lossy().ends_with("-seal")).collect();
    paths.sort_by_key(|path| size(path));
    assert_eq!(paths.len(), 4, "{paths:?}");
    paths
}

fn size(path: &Path) -> u64 {
    std::fs::metadata(path).unwrap().len()
}

#[test]
fn damaged_files_are_never_run_and_are_made_anew() {
    let (site, right) = filled();
    let files = &compiled(&site)[..2];
    let whole: Vec<Vec<u8>> = files.iter().map(|file| std::fs::read(file).unwrap()).collect();
    // Another kind of damage for each of them.
    for round in 0..3 {
        for (index, (file, bytes)) in files.iter().zip(&whole).enumerate() {
            let mut damaged = bytes.clone();
            let half = damaged.len() / 2;
            match 2 * round + index {
                0 => damaged[half] ^= 0x10,
                1 => damaged.truncate(half),
                2 => damaged.clear(),
                3 => damaged.fill(0),
                4 => damaged = whole[1 - index].clone(),
                _ => damaged.extend_from_slice(b"more"),
            }
            std::fs::write(file, damaged).unwrap();
        }
        assert_eq!(expect(&site, &run(), 1, "").out, right);
        let again: Vec<Vec<u8>> = files.iter().map(|file| std::fs::read(file).unwrap()).collect();
        assert!(again == whole, "compiling is not the same each time, or something damaged was left");
    }
}

#[test]
fn the_code_of_another_module_is_never_run() {
    let (site, right) = filled();
    let files = &compiled(&site)[..3];
    let whole: Vec<Vec<u8>> = files.iter().map(|file| std::fs::read(file).unwrap()).collect();
    let seal = |file: &Path| PathBuf::from(format!("{}-seal", file.display()));
    let seals: Vec<Vec<u8>> = files.iter().map(|file| std::fs::read(seal(file)).unwrap()).collect();
    // Each under the name of the next, with the seal that belongs to it.
    for (index, file) in files.iter().enumerate() {
        std::fs::write(file, &whole[(index + 1) % whole.len()]).unwrap();
        std::fs::write(seal(file), &seals[(index + 1) % whole.len()]).unwrap();
    }
    assert_eq!(expect(&site, &run(), 1, "").out, right);
    assert!(files.iter().zip(&whole).all(|(file, bytes)| std::fs::read(file).unwrap() == *bytes));
}

#[test]
fn what_can_be_neither_used_nor_removed_is_left_alone() {
    let (site, right) = filled();
    let files = compiled(&site);
    // A folder, a pipe and a link in a circle in place of files; waiting for the writer of the pipe would never end.
    let shell = |line: &str, file: &Path| {
        assert_eq!(bash(&site, &format!("f='{}'; rm -f \"$f\"; {line}", file.display())).code, 0);
    };
    shell("mkdir -p \"$f/x\"", &files[0]);
    shell("mkfifo \"$f\"", &files[1]);
    shell("ln -s \"$f\" \"$f\"", &files[2]);
    shell("rm \"$f-seal\"; mkfifo \"$f-seal\"", &files[3]);
    for _ in 0..2 {
        assert_eq!(expect(&site, &run(), 1, "").out, right);
    }
    assert!(files[0].join("x").is_dir());
}

#[test]
fn what_is_damaged_in_a_cache_that_can_only_be_read_is_not_used() {
    let (site, right) = filled();
    let files = compiled(&site);
    std::fs::write(&files[0], b"damaged").unwrap();
    let Some(somebody) = super::as_somebody(&site, 61_001) else { return };
    let line = format!(
        "chmod -R a-w cache; {somebody} env LINTERN_CACHE=$PWD/cache \"$L\" check a.yaml {DAY}; code=$?; \
         chmod -R u+w cache; exit $code"
    );
    assert_eq!(expect(&site, &line, 1, "").out, right);
    assert_eq!(std::fs::read(&files[0]).unwrap(), b"damaged");
}

#[test]
fn many_processes_fill_one_cache() {
    let (site, right) = filled();
    let files = &compiled(&site)[..3];
    let whole: Vec<Vec<u8>> = files.iter().map(|file| std::fs::read(file).unwrap()).collect();
    files.iter().for_each(|file| std::fs::remove_file(file).unwrap());
    let line = format!("for i in 1 2 3 4 5 6 7 8; do ({} > out.$i 2> err.$i; echo $?) & done; wait; cat err.*", run());
    let outcome = expect(&site, &line, 0, "");
    assert_eq!(outcome.out, "1\n".repeat(8));
    for process in 1..=8 {
        assert_eq!(std::fs::read_to_string(site.path().join(format!("out.{process}"))).unwrap(), right);
    }
    assert_eq!(expect(&site, &run(), 1, "").out, right);
    assert!(files.iter().zip(&whole).all(|(file, bytes)| std::fs::read(file).unwrap() == *bytes));
}
