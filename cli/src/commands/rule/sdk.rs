//! What rules are written against, as it is put beside a new rule: the crate `lintern-rule` and the interface.

/// Where `lintern-rule` finds the interface in the source tree, and where in a copy.
const INTERFACE: (&str, &str) = (r#"path: "../../core/wit/v1.0""#, r#"path: "wit""#);

macro_rules! sources {
    ($($file:literal),* $(,)?) => {
        &[$(($file, include_str!(concat!("../../../../rules/sdk/src/", $file)))),*]
    };
}

/// The sources of the crate. A test compares this list with the folder.
const SOURCES: &[(&str, &str)] = sources![
    "blank.rs",
    "compare.rs",
    "comparison.rs",
    "date.rs",
    "input.rs",
    "length.rs",
    "lib.rs",
    "limit.rs",
    "module.rs",
    "report.rs",
    "rule.rs",
    "settings.rs",
    "told.rs",
];

/// Every file of the copy: its path in the folder of the copy, and its text.
pub fn files() -> Vec<(String, String)> {
    let mut files = vec![
        ("Cargo.toml".to_owned(), include_str!("template/crate/lintern-rule.toml.txt").to_owned()),
        ("wit/rules.wit".to_owned(), include_str!("../../../../core/wit/v1.0/rules.wit").to_owned()),
    ];
    files.extend(SOURCES.iter().map(|(name, text)| (format!("src/{name}"), text.replace(INTERFACE.0, INTERFACE.1))));
    files
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    /// A copy that lacks a file or keeps an old one would not build on another machine.
    #[test]
    fn the_copy_is_the_crate_but_for_the_path_of_the_interface() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let mut names = Vec::new();
        for entry in std::fs::read_dir(root.join("rules/sdk/src")).expect("the crate is there") {
            let path = entry.expect("it can be listed").path();
            let name = path.file_name().expect("it has a name").to_string_lossy().into_owned();
            let text = std::fs::read_to_string(&path).expect("it can be read");
            let (_, copied) = SOURCES.iter().find(|(known, _)| *known == name).expect(&name);
            assert_eq!(text, *copied);
            names.push(name);
        }
        assert_eq!(names.len(), SOURCES.len());
        let changed: Vec<String> =
            files().into_iter().filter(|(_, text)| text.contains("../..")).map(|f| f.0).collect();
        assert!(changed.is_empty(), "{changed:?} lead out of the copy");
        let lib = files().into_iter().find(|(name, _)| name == "src/lib.rs").expect("it is there").1;
        assert_eq!(lib.matches(INTERFACE.1).count(), 2, "once for modules, once for the tests of lintern");
    }

    /// The manifest of the copy says what the manifest of the crate says.
    #[test]
    fn the_manifest_of_the_copy_has_the_versions_of_the_crate() {
        let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let read = |path: &str| std::fs::read_to_string(root.join(path)).expect("it can be read");
        let (copy, own, workspace) = (&files()[0].1, read("rules/sdk/Cargo.toml"), read("Cargo.toml"));
        let line = |text: &str, start: &str| {
            text.lines().find(|line| line.starts_with(start)).map(str::to_owned).expect(start)
        };
        assert_eq!(line(copy, "version ="), line(&own, "version ="));
        for key in ["edition =", "rust-version =", "wit-bindgen =", "foldhash ="] {
            assert_eq!(line(copy, key), line(&workspace, key));
        }
    }
}
