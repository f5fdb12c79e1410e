//! What the git program knows: revisions, what changed since one, and the files of one. It is called as a program, so
//! that every repository that git reads can be read. Nothing is changed, and no hooks and no text conversions run; a
//! filter that the configuration of the machine names may, as with any `git diff`.

use std::io::{BufReader, Read as _, Write as _};
use std::path::{Component, Path, PathBuf};
use std::process::{Command, Stdio};

/// Larger files are no plans, schedules or modules.
const MOST_BYTES: u64 = 64 << 20;

/// A repository of git.
#[derive(Debug, Clone)]
pub struct Git {
    root: PathBuf,
}

impl Git {
    /// The repository that a folder is in.
    pub fn of(folder: &Path) -> Result<Self, String> {
        let here = Self { root: folder.to_owned() };
        let root = here.text(&["rev-parse", "--show-toplevel"])?;
        Ok(Self { root: PathBuf::from(root).canonicalize().map_err(|error| error.to_string())? })
    }

    /// Its outermost folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The commit that a name means.
    pub fn commit(&self, revision: &str) -> Result<String, String> {
        let name = format!("{revision}^{{commit}}");
        self.text(&["rev-parse", "--verify", "--quiet", "--end-of-options", &name]).map_err(|_| {
            format!("git knows no revision `{revision}`; in CI fetch the whole history (`fetch-depth: 0`)")
        })
    }

    /// The commit at which the present one and another parted.
    pub fn fork(&self, revision: &str) -> Result<String, String> {
        self.fork_of(revision, "HEAD")
    }

    /// The commit at which two parted.
    pub fn fork_of(&self, revision: &str, other: &str) -> Result<String, String> {
        let (commit, other) = (self.commit(revision)?, self.commit(other)?);
        self.text(&["merge-base", &commit, &other]).map_err(|_| {
            format!(
                "git does not know where `{revision}` parted from it; in CI fetch the whole history (`fetch-depth: 0`)"
            )
        })
    }

    /// Files that differ between a commit and the working tree, and those that git does not keep, of which it can't tell.
    pub fn changed(&self, commit: &str) -> Result<Vec<PathBuf>, String> {
        let diff =
            self.bytes(&["diff", "--name-only", "-z", "--no-renames", "--no-ext-diff", "--no-textconv", commit, "--"])?;
        let new = self.bytes(&["ls-files", "--others", "-z"])?;
        let mut files: Vec<PathBuf> = [diff, new]
            .iter()
            .flat_map(|list| list.split(|byte| *byte == 0))
            .filter(|name| !name.is_empty())
            .map(|name| self.root.join(path(name)))
            .collect();
        files.sort_unstable();
        files.dedup();
        Ok(files)
    }

    /// The text of a file at a commit, where it has one.
    pub fn text_at(&self, commit: &str, file: &Path) -> Option<String> {
        let inside = file.strip_prefix(&self.root).ok()?.to_str()?;
        let bytes = self.bytes(&["cat-file", "blob", &format!("{commit}:{inside}")]).ok()?;
        String::from_utf8(bytes).ok()
    }

    /// Writes the files of a commit into an empty folder. Links are made last, so that no file is written through one.
    pub fn write_files(&self, commit: &str, folder: &Path) -> Result<(), String> {
        let list = self.bytes(&["ls-tree", "-r", "-z", "-l", "--full-tree", commit])?;
        let entries: Vec<Entry> = list.split(|byte| *byte == 0).filter_map(Entry::parse).collect();
        let wanted: Vec<&Entry> = entries.iter().filter(|entry| entry.is_file() || entry.is_link()).collect();
        let mut child = self
            .command(&["cat-file", "--batch"])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .map_err(no_git)?;
        let (Some(mut ask), Some(answers)) = (child.stdin.take(), child.stdout.take()) else {
            return Err("git can't be spoken to".to_owned());
        };
        let names: String = wanted.iter().map(|entry| format!("{}\n", entry.object)).collect();
        // From a thread of its own: git answers before it has read all questions.
        let asking = std::thread::spawn(move || ask.write_all(names.as_bytes()));
        let mut answers = BufReader::new(answers);
        let mut links = Vec::new();
        let mut failed = None;
        for entry in wanted {
            match answer(&mut answers) {
                Ok(bytes) if entry.is_link() => links.push((folder.join(&entry.path), bytes)),
                Ok(bytes) => failed = failed.or(put(&folder.join(&entry.path), &bytes).err()),
                Err(error) => {
                    failed = Some(error);
                    break;
                }
            }
        }
        drop(answers);
        let _ = asking.join();
        let _ = child.wait();
        for (link, target) in links {
            failed = failed.or(make_link(&link, &target).err());
        }
        failed.map_or(Ok(()), |error| Err(format!("the files of {commit} can't be written: {error}")))
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new("git");
        command.arg("-C").arg(&self.root);
        command.args(["--no-pager", "--literal-pathspecs", "-c", "core.fsmonitor=false", "-c", "core.quotePath=false"]);
        command.args(arguments).env("GIT_OPTIONAL_LOCKS", "0").stdin(Stdio::null());
        command
    }

    fn bytes(&self, arguments: &[&str]) -> Result<Vec<u8>, String> {
        let output = self.command(arguments).output().map_err(no_git)?;
        match output.status.success() {
            true => Ok(output.stdout),
            false => {
                let told = String::from_utf8_lossy(&output.stderr);
                let line = told.lines().next().unwrap_or("it failed and says nothing").trim();
                Err(format!("git {}: {}", arguments.first().copied().unwrap_or_default(), line))
            }
        }
    }

    fn text(&self, arguments: &[&str]) -> Result<String, String> {
        let text = String::from_utf8(self.bytes(arguments)?).map_err(|error| error.to_string())?;
        Ok(text.trim_end_matches(['\n', '\r']).to_owned())
    }
}

fn no_git(error: std::io::Error) -> String {
    format!("the program `git` can't be run: {error}")
}

/// A file of a commit.
struct Entry {
    mode: String,
    object: String,
    bytes: u64,
    path: PathBuf,
}

impl Entry {
    /// From `mode type object size<tab>path`; `None` for what is no file inside the folder.
    fn parse(line: &[u8]) -> Option<Self> {
        let tab = line.iter().position(|byte| *byte == b'\t')?;
        let head = std::str::from_utf8(&line[..tab]).ok()?;
        let mut words = head.split_whitespace();
        let (mode, _, object, size) = (words.next()?, words.next()?, words.next()?, words.next()?);
        let path = path(&line[tab + 1..]);
        let plain = path.components().all(|part| matches!(part, Component::Normal(_)));
        let (mode, object, bytes) = (mode.to_owned(), object.to_owned(), size.parse().unwrap_or(u64::MAX));
        plain.then_some(Self { mode, object, bytes, path })
    }

    fn is_file(&self) -> bool {
        self.mode.starts_with("100") && self.bytes <= MOST_BYTES
    }

    fn is_link(&self) -> bool {
        self.mode == "120000" && self.bytes <= 4096
    }
}

/// One answer of `git cat-file --batch`.
fn answer(from: &mut impl std::io::BufRead) -> std::io::Result<Vec<u8>> {
    let wrong = || std::io::Error::other("git gives an answer that can't be read");
    let mut head = String::new();
    from.read_line(&mut head)?;
    let size: u64 = head.split_whitespace().nth(2).and_then(|size| size.parse().ok()).ok_or_else(wrong)?;
    let mut bytes = Vec::new();
    from.take(size).read_to_end(&mut bytes)?;
    let mut end = [0];
    from.read_exact(&mut end)?;
    if bytes.len() as u64 == size { Ok(bytes) } else { Err(wrong()) }
}

fn put(file: &Path, bytes: &[u8]) -> std::io::Result<()> {
    std::fs::create_dir_all(file.parent().unwrap_or(file))?;
    std::fs::write(file, bytes)
}

#[cfg(unix)]
fn path(bytes: &[u8]) -> PathBuf {
    use std::os::unix::ffi::OsStrExt as _;
    PathBuf::from(std::ffi::OsStr::from_bytes(bytes))
}

#[cfg(not(unix))]
fn path(bytes: &[u8]) -> PathBuf {
    PathBuf::from(String::from_utf8_lossy(bytes).into_owned())
}

#[cfg(unix)]
fn make_link(link: &Path, target: &[u8]) -> std::io::Result<()> {
    std::fs::create_dir_all(link.parent().unwrap_or(link))?;
    std::os::unix::fs::symlink(path(target), link)
}

#[cfg(not(unix))]
fn make_link(_link: &Path, _target: &[u8]) -> std::io::Result<()> {
    Ok(())
}
