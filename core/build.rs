//! Lists the built rule modules, so that a new topic needs no second edit.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = Path::new(&std::env::var("CARGO_MANIFEST_DIR")?).join("../rules/dist");
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut modules: Vec<PathBuf> = match std::fs::read_dir(&folder) {
        Ok(entries) => entries.map(|entry| Ok(entry?.path())).collect::<std::io::Result<_>>()?,
        Err(_) => Vec::new(),
    };
    modules.retain(|path| path.extension().is_some_and(|extension| extension == "wasm"));
    modules.sort();
    let mut list = String::from("static BUILTIN: &[(&str, &[u8])] = &[\n");
    let mut expression = None;
    for path in &modules {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        // It has rules only with a file of them, so it is loaded only then.
        if name == "expression" {
            expression = Some(path.canonicalize()?);
            continue;
        }
        writeln!(list, "    ({name:?}, include_bytes!({:?})),", path.canonicalize()?)?;
    }
    list.push_str("];\n");
    match expression {
        Some(path) => writeln!(list, "static EXPRESSION: &[u8] = include_bytes!({path:?});")?,
        None => list.push_str("static EXPRESSION: &[u8] = &[];\n"),
    }
    std::fs::write(Path::new(&std::env::var("OUT_DIR")?).join("builtin.rs"), list)?;
    Ok(())
}
