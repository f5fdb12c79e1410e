//! The folder that a report counts its paths from: the root of version control, where there is one. Nothing of the
//! machine above it gets into a report.

use lintern_core::repository::Repository;
use std::path::{Component, Path, PathBuf};
use std::sync::Arc;

/// The folder that a report counts from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Base {
    root: PathBuf,
}

impl Base {
    /// The deepest folder that holds the repositories, with the roots of their version control, and the paths.
    pub fn of(repositories: &[Arc<Repository>], paths: &[PathBuf]) -> Self {
        let roots = repositories.iter().map(|repository| version_control(repository.root()));
        let given = paths.iter().filter_map(|path| path.canonicalize().ok());
        let given = given.map(|path| if path.is_dir() { path } else { parent(&path).to_owned() });
        let root = roots.chain(given).reduce(|a, b| common(&a, &b));
        Self { root: root.unwrap_or_else(|| PathBuf::from(".")) }
    }

    /// Its path.
    pub fn path(&self) -> &Path {
        &self.root
    }

    /// A folder below it, with `/`; empty for itself.
    pub fn folder(&self, folder: &Path) -> String {
        slashes(folder.strip_prefix(&self.root).unwrap_or(folder))
    }

    /// A path of the command line below it; `.` for itself. A path that leads nowhere is left as it is.
    pub fn given(&self, path: &Path) -> String {
        let Ok(canonical) = path.canonicalize() else { return slashes(path) };
        match slashes(canonical.strip_prefix(&self.root).unwrap_or(&canonical)) {
            path if path.is_empty() => ".".to_owned(),
            path => path,
        }
    }
}

/// How to name a file of a repository from the present folder: with `/`, absolute where the two have nothing in common.
/// What is not named from the root of the repository, such as a file of a pack from outside, is left as it is.
pub fn from_here(root: &Path, file: &str) -> String {
    let path = root.join(file);
    let here = std::env::current_dir().and_then(|here| here.canonicalize());
    match here {
        Ok(here) if path.exists() => way_from(&here, &path),
        _ => file.to_owned(),
    }
}

fn way_from(here: &Path, to: &Path) -> String {
    let shared = common(here, to);
    if shared.parent().is_none() {
        return slashes(to);
    }
    let up = here.strip_prefix(&shared).map_or(0, |rest| rest.components().count());
    let down = to.strip_prefix(&shared).map(slashes).unwrap_or_default();
    let mut parts = vec![".."; up];
    parts.extend((!down.is_empty()).then_some(down.as_str()));
    parts.join("/")
}

/// The nearest folder under version control at or above this one, else this one.
pub fn version_control(folder: &Path) -> PathBuf {
    folder.ancestors().find(|above| above.join(".git").exists()).unwrap_or(folder).to_owned()
}

/// The folder that a path stands in.
pub fn parent(path: &Path) -> &Path {
    path.parent().unwrap_or(path)
}

fn common(a: &Path, b: &Path) -> PathBuf {
    a.components().zip(b.components()).take_while(|(a, b)| a == b).map(|(a, _)| a).collect()
}

fn slashes(path: &Path) -> String {
    let part = |part: Component<'_>| part.as_os_str().to_string_lossy().into_owned();
    let root = if path.is_absolute() { "/" } else { "" };
    let parts: Vec<String> = path.components().filter(|part| *part != Component::RootDir).map(part).collect();
    format!("{root}{}", parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::{common, slashes, way_from};
    use std::path::Path;

    #[test]
    fn the_way_to_another_folder() {
        for (here, to, way) in [
            ("/a/b", "/a/b/x", "x"),
            ("/a/b", "/a/b/c/d", "c/d"),
            ("/a/b/c", "/a", "../.."),
            ("/a/b/c", "/a/d", "../../d"),
            ("/a/b", "/x/y", "/x/y"),
        ] {
            assert_eq!(way_from(Path::new(here), Path::new(to)), way, "{here} to {to}");
        }
    }

    #[test]
    fn the_common_folder_ends_at_whole_names() {
        assert_eq!(common(Path::new("/a/bc/d"), Path::new("/a/bd")), Path::new("/a"));
        assert_eq!(common(Path::new("/a/b"), Path::new("/a/b/c")), Path::new("/a/b"));
        assert_eq!(slashes(Path::new("/a/b")), "/a/b");
        assert_eq!(slashes(Path::new("a/b")), "a/b");
    }
}
