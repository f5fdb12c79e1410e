//! Paths that plans, configurations and packs name: relative, with `/`, and inside their folder, links followed.

use super::slashes;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Why a path that a plan names is not opened.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// It has no letters.
    #[error("the path is empty")]
    Empty,
    /// It has a backslash.
    #[error("`{0}` has a backslash")]
    Backslash(String),
    /// It starts at the root of the file system or a drive.
    #[error("`{0}` is an absolute path")]
    Absolute(String),
    /// It leads out of the repository by `..` or through a link.
    #[error("`{0}` is outside the plan repository")]
    Outside(String),
    /// It can't be found.
    #[error("`{0}`: there is no such file")]
    Missing(String),
    /// The system refuses to look.
    #[error("`{path}` can't be opened: {source}")]
    Io {
        /// The path as written.
        path: String,
        /// What the system says.
        source: io::Error,
    },
}

impl Refusal {
    /// The way out.
    pub fn help(&self) -> &'static str {
        match self {
            Self::Empty | Self::Missing(_) | Self::Io { .. } => {
                "paths count from the folder of the file that names them"
            }
            Self::Backslash(_) => "write paths with `/`",
            Self::Absolute(_) => "name it relative to the folder of the file that names it",
            Self::Outside(_) => "only files inside the repository are read; copy it there",
        }
    }
}

/// A folder out of which nothing is read: a plan repository, or a pack.
#[derive(Debug, Clone)]
pub struct Confined {
    root: PathBuf,
}

impl Confined {
    /// This folder. It is fixed before any of its files is read, so that a file can't move it.
    pub fn at(folder: &Path) -> io::Result<Self> {
        Ok(Self { root: fs::canonicalize(folder)? })
    }

    /// A folder whose path is absolute and without links.
    pub(super) fn known(root: PathBuf) -> Self {
        Self { root }
    }

    /// Its path, absolute, without links.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// A path relative to the folder with `/`, for display; a path outside is shown as given.
    pub fn relative(&self, path: &Path) -> String {
        let canonical = fs::canonicalize(path).ok();
        let inside = canonical.as_deref().and_then(|p| p.strip_prefix(&self.root).ok());
        slashes(inside.unwrap_or(path))
    }

    /// The file that `text` names from `folder`, without links, provided that it is inside this one.
    pub fn inside(&self, folder: &Path, text: &str) -> Result<PathBuf, Refusal> {
        let shown = || crate::plan::elide(text);
        if text.is_empty() {
            return Err(Refusal::Empty);
        }
        if text.contains('\\') {
            return Err(Refusal::Backslash(shown()));
        }
        let drive = text.as_bytes().get(1) == Some(&b':') && text.as_bytes()[0].is_ascii_alphabetic();
        if text.starts_with('/') || drive || Path::new(text).is_absolute() {
            return Err(Refusal::Absolute(shown()));
        }
        let io = |source: io::Error| match source.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::InvalidInput => Refusal::Missing(shown()),
            _ => Refusal::Io { path: shown(), source },
        };
        let folder =
            fs::canonicalize(if folder.as_os_str().is_empty() { Path::new(".") } else { folder }).map_err(io)?;
        let mut depth = folder.strip_prefix(&self.root).map_err(|_| Refusal::Outside(shown()))?.components().count();
        // Counted in the text, so that a path outside is refused without touching it.
        for part in text.split('/') {
            match part {
                "" | "." => {}
                ".." => depth = depth.checked_sub(1).ok_or_else(|| Refusal::Outside(shown()))?,
                _ => depth += 1,
            }
        }
        let found = fs::canonicalize(folder.join(text)).map_err(io)?;
        match found.starts_with(&self.root) {
            true => Ok(found),
            false => Err(Refusal::Outside(shown())),
        }
    }
}
