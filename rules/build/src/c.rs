//! The interface as C sees it: header, glue, and the object that tells what the module is.

use anyhow::{Context, Result, bail};
use std::path::Path;

const WIT: &str = "core/wit/v1.0";
const FOLDER: &str = "rules/sdk-c/bindings";

/// Writes the bindings.
pub fn write(root: &Path) -> Result<()> {
    let folder = root.join(FOLDER);
    std::fs::create_dir_all(&folder)?;
    for (name, bytes) in generate(root)? {
        std::fs::write(folder.join(name), bytes)?;
    }
    Ok(())
}

/// Compares the committed bindings with the interface.
pub fn check(root: &Path) -> Result<()> {
    for (name, bytes) in generate(root)? {
        let committed = std::fs::read(root.join(FOLDER).join(&name)).unwrap_or_default();
        if committed != bytes {
            bail!("{FOLDER}/{name} does not match {WIT}; run `cargo run -p lintern-rules-build -- write`");
        }
    }
    Ok(())
}

fn generate(root: &Path) -> Result<Vec<(String, Vec<u8>)>> {
    let mut resolve = wit_parser::Resolve::default();
    let (package, _) = resolve.push_dir(root.join(WIT)).with_context(|| format!("cannot read {WIT}"))?;
    let world = resolve.select_world(&[package], Some("rule-module"))?;
    let mut files = wit_bindgen_core::Files::default();
    wit_bindgen_c::Opts::default().build().generate(&mut resolve, world, &mut files)?;
    Ok(files.iter().map(|(name, bytes)| (name.to_owned(), bytes.to_vec())).collect())
}

#[cfg(test)]
mod tests {
    #[test]
    fn committed_bindings_match_the_interface() {
        super::check(&crate::topic::workspace_root()).unwrap();
    }
}
