//! Files are written whole or not at all.

use lintern_core::plan::Loaded;
use std::fs::File;
use std::io::{self, Write as _};
use std::path::Path;
use tempfile::NamedTempFile;

/// Writes over a file: a new one beside it takes its place, with its permissions. Where the path is a
/// symbolic link, the file that it leads to is written.
pub fn over(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = path.canonicalize()?;
    let part = beside(&target, bytes)?;
    part.as_file().set_permissions(std::fs::metadata(&target)?.permissions())?;
    part.persist(&target).map_err(|error| error.error)?;
    Ok(())
}

/// Writes a file, over what is there or new.
pub fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    match std::fs::metadata(path) {
        Ok(there) if there.is_file() => over(path, bytes),
        Ok(_) => Err(io::Error::other("it is no plain file")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            beside(path, bytes)?.persist(path).map_err(|error| error.error)?;
            Ok(())
        }
        Err(error) => Err(error),
    }
}

/// Writes a file that does not exist yet, and never over one that comes to be there in the meantime.
pub fn new(path: &Path, text: &str) -> io::Result<()> {
    beside(path, text.as_bytes())?.persist_noclobber(path).map_err(|error| error.error)?;
    Ok(())
}

/// The whole of a file, on the disk beside its place; removed unless it gets there. Its name is drawn anew each time: one
/// that a killed process has left behind must not be in the way. It is hidden and is no `.yaml`, so that no check takes
/// it for a plan.
fn beside(path: &Path, bytes: &[u8]) -> io::Result<NamedTempFile> {
    let mut name = tempfile::Builder::new();
    // With the permissions that the user gives to new files.
    let mut part = name.prefix(".lintern-").suffix(".part").make_in(folder(path), |part| File::create_new(part))?;
    // By its own handle, whose errors don't tell the drawn name.
    part.as_file_mut().write_all(bytes)?;
    part.as_file().sync_all()?;
    Ok(part)
}

/// Refuses to write over what was read, also where the path is a link: to the plan or a schedule of it, or to a file of
/// another kind.
pub fn apart(path: &Path, root: &Path, read: &Loaded, kinds: &[&str]) -> Result<(), String> {
    let Ok(target) = path.canonicalize() else { return Ok(()) };
    let files = read.sources.files().iter().filter_map(|file| root.join(&file.path).canonicalize().ok());
    let is_of_kind = target
        .extension()
        .and_then(|e| e.to_str())
        .is_some_and(|e| kinds.iter().any(|kind| e.eq_ignore_ascii_case(kind)));
    if !is_of_kind || files.into_iter().any(|file| file == target) {
        return Err(format!("{} leads to a file that is no earlier result; give another name", path.display()));
    }
    Ok(())
}

/// The folder that a file stands in.
pub fn folder(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Writes several files of a folder, over old ones where there are: all of them beside their places first, then each
/// renamed, so that what can fail has failed before the first is in its place.
pub fn all(folder: &Path, files: &[(String, String)]) -> io::Result<()> {
    let beside = tempfile::Builder::new().prefix(".lintern-").tempdir_in(folder)?;
    for (name, text) in files {
        let mut file = std::fs::File::create_new(beside.path().join(name))?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        // A folder of that name would stop the renaming halfway.
        if folder.join(name).is_dir() {
            return Err(io::Error::other(format!("`{name}` is a folder there")));
        }
    }
    files.iter().try_for_each(|(name, _)| std::fs::rename(beside.path().join(name), folder.join(name)))
}
