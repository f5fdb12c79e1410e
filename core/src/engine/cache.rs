//! The cache of compiled modules on disk: a module is compiled once on a machine.
//!
//! The engine takes what it finds under the name of a module for that module's machine code, and runs it. A disk may
//! have lost or changed some of it, so each file has a seal beside it with its name and its digest, and what does not
//! agree with its seal is compiled anew. A seal is no secret: whoever can write to the folder can run code as its user.

use crate::plan::{ReadError, read_plain};
use crate::repository::sha256_hex;
use sha2::{Digest as _, Sha256};
use std::fs;
use std::hash::{Hash, Hasher};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;
use wasmtime::{Cache, CacheConfig};

/// After this time a part of a file was left behind by a process that has ended; the engine would wait for it for hours.
const ABANDONED: Duration = Duration::from_secs(60);

/// The largest compiled module that is looked at, far above what comes of the largest module.
const MOST_BYTES: u64 = 256 << 20;

/// The cache in this folder, or in the user's usual place; with a note instead where it is unusable.
pub(super) fn open(folder: Option<PathBuf>) -> Result<Cache, String> {
    let unusable =
        |why: String| format!("compiled rule modules are not kept, so every start compiles them anew: {why}");
    // The cache starts a thread, and panics where it can't. Two, as one that has ended may count for a moment.
    let probe = || std::thread::Builder::new().spawn(std::thread::yield_now);
    let (one, other) = (probe(), probe());
    for thread in [one, other] {
        let ended = thread.and_then(|thread| thread.join().map_err(|_| io::Error::other("it failed")));
        ended.map_err(|error| unusable(format!("can't start a thread: {error}")))?;
    }
    let mut config = CacheConfig::new();
    if let Some(folder) = folder {
        config.with_directory(folder);
    }
    // Files that are used often would be written again in a smaller form, which no seal is for.
    config.with_optimized_compression_usage_counter_threshold(u64::MAX);
    Cache::new(config).map_err(|error| unusable(super::error::chain(&error)))
}

/// What the cache has of a module.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Left {
    /// Nothing.
    Nothing,
    /// What agrees with its seal.
    Sound,
    /// What does not, and can't be removed.
    Wrong,
}

/// The place of one module in the cache.
pub(super) struct Place {
    /// Folders of this and other versions of the engine.
    folders: PathBuf,
    name: String,
}

impl Place {
    pub(super) fn of(cache: &Cache, wasm: &wasmtime::Engine, module: &[u8]) -> Self {
        Self { folders: cache.directory().join("modules"), name: name(wasm, module) }
    }

    /// Removes what the engine must not take for the module, and says what is left.
    pub(super) fn clear(&self) -> Left {
        let mut left = Left::Nothing;
        for file in self.files() {
            remove_abandoned(&file);
            match self.seal(&file) {
                Ok(seal) if self.found_seal(&file).is_some_and(|found| found == seal) => left = Left::Sound,
                Err(ReadError::Io(error)) if error.kind() == io::ErrorKind::NotFound => {}
                _ => match fs::remove_file(&file) {
                    // Another process may have done it.
                    Err(error) if error.kind() != io::ErrorKind::NotFound => return Left::Wrong,
                    _ => {}
                },
            }
        }
        left
    }

    /// Seals what the engine has just written. Without a seal it is compiled anew the next time, which is no fault.
    pub(super) fn keep(&self) {
        for file in self.files() {
            let Ok(seal) = self.seal(&file) else { continue };
            let path = seal_of(&file);
            let part = path.with_extension(format!("wip-{}", std::process::id()));
            let written = fs::File::create(&part).and_then(|mut part| part.write_all(seal.as_bytes()));
            if written.and_then(|()| fs::rename(&part, &path)).is_err() {
                let _ = fs::remove_file(&part);
            }
        }
    }

    /// Where the module is or would be, in each folder.
    fn files(&self) -> Vec<PathBuf> {
        let folders = fs::read_dir(&self.folders).into_iter().flatten().flatten();
        folders.map(|folder| folder.path().join(&self.name)).collect()
    }

    /// The seal that a file wants to have.
    fn seal(&self, file: &Path) -> Result<String, ReadError> {
        Ok(format!("{} {}\n", self.name, sha256_hex(&read_plain(file, MOST_BYTES)?)))
    }

    /// The seal that it has.
    fn found_seal(&self, file: &Path) -> Option<String> {
        String::from_utf8(read_plain(&seal_of(file), 1024).ok()?).ok()
    }
}

/// Removes the part of a file that was never finished.
fn remove_abandoned(file: &Path) {
    let part = file.with_extension("wip-atomic-write-mod");
    let age = fs::metadata(&part).and_then(|meta| meta.modified()).ok().and_then(|at| at.elapsed().ok());
    if age.is_some_and(|age| age > ABANDONED) {
        let _ = fs::remove_file(&part);
    }
}

/// The seal of a file: without an extension, as the engine's cleaning removes what has one that it does not know.
fn seal_of(file: &Path) -> PathBuf {
    let mut path = file.as_os_str().to_owned();
    path.push("-seal");
    PathBuf::from(path)
}

/// The name that the engine gives to a module, for its version at hand.
fn name(wasm: &wasmtime::Engine, module: &[u8]) -> String {
    let mut digest = Digester(Sha256::new());
    // Neither a DWARF package nor imports of intrinsics.
    (wasm.precompile_compatibility_hash(), module, None::<&[u8]>, None::<&str>).hash(&mut digest);
    base64(&digest.0.finalize())
}

struct Digester(Sha256);

impl Hasher for Digester {
    fn write(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    /// Never asked for: the digest is taken instead.
    fn finish(&self) -> u64 {
        0
    }
}

/// Base 64 with the letters for file names, without padding (RFC 4648, section 5).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    let mut text = String::new();
    for chunk in bytes.chunks(3) {
        let byte = |index: usize| u32::from(chunk.get(index).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for letter in 0..=chunk.len() {
            text.push(char::from(LETTERS[(bits >> (18 - 6 * letter)) as usize & 63]));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use wasmtime::component::Component;

    #[test]
    fn text_in_base_64_is_that_of_the_rfc() {
        // Section 10, without padding.
        for (bytes, text) in [("f", "Zg"), ("fo", "Zm8"), ("foo", "Zm9v"), ("foob", "Zm9vYg"), ("fooba", "Zm9vYmE")] {
            assert_eq!(base64(bytes.as_bytes()), text);
        }
        assert_eq!(base64(&[0xFB, 0xFF]), "-_8");
    }

    /// A cache with one module in it, sealed, and the file that it is in.
    fn kept(folder: &Path) -> (Place, PathBuf) {
        let mut config = super::super::module::config(super::super::module::Memories::Pooled);
        let cache = open(Some(folder.to_owned())).unwrap();
        config.cache(Some(cache.clone()));
        let wasm = wasmtime::Engine::new(&config).unwrap();
        // The header of a component without anything in it.
        let module = b"\0asm\x0d\0\x01\0";
        let place = Place::of(&cache, &wasm, module);
        assert_eq!(place.clear(), Left::Nothing);
        Component::new(&wasm, module).unwrap();
        place.keep();
        let file = place.files().remove(0);
        (place, file)
    }

    #[test]
    fn the_engine_keeps_a_module_under_the_name_that_is_sealed() {
        let folder = tempfile::TempDir::new().unwrap();
        let (place, file) = kept(folder.path());
        assert!(file.is_file(), "{}", file.display());
        assert_eq!(place.clear(), Left::Sound);
        assert!(file.is_file());
    }

    #[test]
    fn what_does_not_agree_with_its_seal_is_removed() {
        let folder = tempfile::TempDir::new().unwrap();
        let (place, file) = kept(folder.path());
        let whole = fs::read(&file).unwrap();
        let mut flipped = whole.clone();
        let last = flipped.len() - 1;
        flipped[last] ^= 1;
        for wrong in [&flipped[..], &whole[..last], &[]] {
            fs::write(&file, wrong).unwrap();
            assert_eq!(place.clear(), Left::Nothing);
            assert!(!file.exists());
        }
        fs::write(&file, &whole).unwrap();
        assert_eq!(place.clear(), Left::Sound);
        let of_another = format!("{} {}\n", "A".repeat(43), sha256_hex(&whole));
        for wrong in [Some(of_another.as_str()), Some(""), None] {
            fs::write(&file, &whole).unwrap();
            match wrong {
                Some(seal) => fs::write(seal_of(&file), seal).unwrap(),
                None => fs::remove_file(seal_of(&file)).unwrap(),
            }
            assert_eq!(place.clear(), Left::Nothing);
            assert!(!file.exists());
        }
        // What can't be removed.
        fs::create_dir(&file).unwrap();
        assert_eq!(place.clear(), Left::Wrong);
    }
}
