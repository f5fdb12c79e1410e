//! Files are written whole or not at all.

use lintern_core::plan::Loaded;
use std::io::{self, Write as _};
use std::path::Path;

/// Writes over a file: a new one beside it takes its place, with its permissions. Where the path is a
/// symbolic link, the file that it leads to is written.
pub fn over(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = path.canonicalize()?;
    let folder = target.parent().ok_or(io::ErrorKind::NotFound)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().set_permissions(std::fs::metadata(&target)?.permissions())?;
    file.as_file().sync_all()?;
    file.persist(&target).map_err(|error| error.error)?;
    Ok(())
}

/// Writes a file, over what is there or new.
pub fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    match std::fs::metadata(path) {
        Ok(there) if there.is_file() => over(path, bytes),
        Ok(_) => Err(io::Error::other("it is no plain file")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            let part = beside(path)?;
            let written = std::fs::File::create_new(&part).and_then(|mut file| {
                file.write_all(bytes)?;
                file.sync_all()
            });
            let renamed = written.and_then(|()| std::fs::rename(&part, path));
            if renamed.is_err() {
                let _ = std::fs::remove_file(&part);
            }
            renamed
        }
        Err(error) => Err(error),
    }
}

/// A name beside a file for what is not whole yet.
fn beside(path: &Path) -> io::Result<std::path::PathBuf> {
    let name = path.file_name().ok_or_else(|| io::Error::other("it is no file name"))?;
    Ok(folder(path).join(format!(".{}.{}.part", name.to_string_lossy(), std::process::id())))
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

/// Writes a file that does not exist yet: beside its place first, then linked to it, so that there is never half of it.
pub fn new(path: &Path, text: &str) -> io::Result<()> {
    let part = beside(path)?;
    let mut file = std::fs::File::create_new(&part)?;
    let written = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    drop(file);
    // Unlike a renaming, a link never replaces what is there.
    let linked = written.and_then(|()| std::fs::hard_link(&part, path));
    let removed = std::fs::remove_file(&part);
    linked.and(removed)
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
