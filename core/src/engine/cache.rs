//! The cache of compiled modules on disk: a module is compiled once on a machine.

use std::path::PathBuf;
use wasmtime::{Cache, CacheConfig};

/// The cache in this folder, or in the user's usual place; with a note instead where it is unusable.
pub(super) fn open(folder: Option<PathBuf>) -> Result<Cache, String> {
    let mut config = CacheConfig::new();
    if let Some(folder) = folder {
        config.with_directory(folder);
    }
    Cache::new(config).map_err(|error| {
        format!(
            "compiled rule modules are not kept, so every start compiles them anew: {}",
            super::error::chain(&error)
        )
    })
}
