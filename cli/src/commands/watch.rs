//! `lintern check --watch`: checks, waits until a plan or a rule changes, and checks again.
//!
//! Each check is one of its own, with everything read anew, so that a change of a configuration, a pack or a module
//! counts like that of a plan. Compiled modules come from the cache.

use super::{Exit, check, setup, stop};
use crate::args::{Check, CheckFormat};
use lintern_core::repository::{Repository, UserConfig};
use notify::event::{AccessKind, AccessMode, CreateKind, ModifyKind, RemoveKind, RenameMode};
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher as _};
use std::collections::BTreeSet;
use std::io::{self, IsTerminal as _, Write as _};
use std::path::{Path, PathBuf};
use std::sync::atomic::Ordering;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// How long nothing may change before the next check: editors write a file in several steps.
const QUIET: Duration = Duration::from_millis(200);

/// The longest wait for that, so that a folder that changes all the time is checked too.
const LONGEST: Duration = Duration::from_secs(2);

/// Checks until the program is ended. Returns only when it can't go on.
pub fn run(args: &Check) -> Exit {
    if args.format != CheckFormat::Terminal {
        return stop("`--watch` prints for people; leave out `--format`");
    }
    let (send, changes) = channel();
    let watcher = notify::recommended_watcher(move |event| {
        // Nobody listens any more when the program ends.
        let _ = send.send(event);
    });
    let watcher = match watcher {
        Ok(watcher) => watcher,
        Err(error) => return stop(&format!("can't watch files: {error}; check without `--watch`")),
    };
    let mut watch = Watch { watcher, folders: BTreeSet::new() };
    let cache = std::env::var_os("LINTERN_CACHE").map(PathBuf::from).and_then(|folder| folder.canonicalize().ok());
    loop {
        // Before the check, so that no change is missed that comes while it runs. A new lintern.yaml may have made
        // another folder the repository.
        if let Err(error) = watch.take_in(&folders(args)) {
            return stop(&error);
        }
        clear();
        // The exit code of one check says nothing about the next.
        let _ = check::run(args);
        if super::READER_GONE.load(Ordering::Relaxed) {
            return Exit::Clean;
        }
        eprintln!("Waiting for changes; Ctrl-C ends.");
        if wait(&changes, &watch.folders, cache.as_deref()).is_none() {
            return stop("the watching of files has ended; start again");
        }
    }
}

/// Clears the screen of a terminal, so that the last check stands alone.
fn clear() {
    let mut out = io::stdout().lock();
    if out.is_terminal() {
        let _ = out.write_all(b"\x1b[2J\x1b[H").and_then(|()| out.flush());
    }
}

/// What is watched.
struct Watch {
    watcher: RecommendedWatcher,
    folders: BTreeSet<PathBuf>,
}

impl Watch {
    /// Watches what is not watched yet.
    fn take_in(&mut self, folders: &BTreeSet<PathBuf>) -> Result<(), String> {
        if folders.is_empty() {
            return Err("there is no folder to watch; name one that exists".to_owned());
        }
        for folder in folders {
            if self.folders.iter().any(|known| folder.starts_with(known)) {
                continue;
            }
            self.watcher.watch(folder, RecursiveMode::Recursive).map_err(|error| {
                format!("can't watch {}: {error}; check without `--watch`, or name a smaller folder", folder.display())
            })?;
            self.folders.insert(folder.clone());
        }
        Ok(())
    }
}

/// The folders whose changes count: the repositories of the paths, and packs from outside of them.
fn folders(args: &Check) -> BTreeSet<PathBuf> {
    let repositories = args.paths.iter().filter_map(|path| Repository::of(path).ok());
    let mut folders: BTreeSet<PathBuf> = repositories.map(|repository| repository.root().to_owned()).collect();
    let user = setup::user_config().map(|file| UserConfig::read(&file)).unwrap_or_default();
    folders.extend(user.packs.iter().chain(&args.rules.packs).filter_map(|pack| pack.canonicalize().ok()));
    folders
}

/// Waits for a change that counts, and then until nothing changes any more. `None` when no change can come.
fn wait(changes: &Receiver<notify::Result<Event>>, roots: &BTreeSet<PathBuf>, cache: Option<&Path>) -> Option<()> {
    let counts = |change: &notify::Result<Event>| match change {
        Ok(event) => counts(event, roots, cache),
        // Something was missed: check rather once too often.
        Err(_) => true,
    };
    while !counts(&changes.recv().ok()?) {}
    let first = Instant::now();
    while first.elapsed() < LONGEST {
        match changes.recv_timeout(QUIET) {
            Ok(_) => {}
            Err(RecvTimeoutError::Timeout) => break,
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
    Some(())
}

/// Whether a change may change what a check finds.
fn counts(event: &Event, roots: &BTreeSet<PathBuf>, cache: Option<&Path>) -> bool {
    // The system has dropped changes.
    if event.need_rescan() {
        return true;
    }
    let of_folders = match event.kind {
        // Reading is no change.
        EventKind::Access(AccessKind::Close(AccessMode::Write)) => false,
        EventKind::Access(_) => return false,
        // What a folder held comes and goes with it.
        EventKind::Create(CreateKind::Folder) | EventKind::Remove(RemoveKind::Folder) => true,
        EventKind::Modify(ModifyKind::Name(RenameMode::To)) => event.paths.iter().any(|path| path.is_dir()),
        EventKind::Modify(ModifyKind::Name(_)) => event.paths.iter().any(|path| path.extension().is_none()),
        _ => false,
    };
    event.paths.iter().any(|path| {
        let own = cache.is_some_and(|cache| path.starts_with(cache));
        !own && !is_hidden(path, roots) && (of_folders || is_read(path))
    })
}

/// Whether checks read files of that name.
fn is_read(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == "yaml" || extension == "yml" || extension == "wasm")
        || path.file_name().is_some_and(|name| name == crate::report::baseline::FILE)
}

/// Whether a part of the path below its folder starts with a dot; checks don't look there.
fn is_hidden(path: &Path, roots: &BTreeSet<PathBuf>) -> bool {
    let inside = roots.iter().find_map(|root| path.strip_prefix(root).ok()).unwrap_or(path);
    inside.components().any(|part| part.as_os_str().as_encoded_bytes().first() == Some(&b'.'))
}

#[cfg(test)]
mod tests {
    use super::*;
    use notify::event::DataChange;

    #[test]
    fn only_what_a_check_reads_counts() {
        let roots = BTreeSet::from([PathBuf::from("/.home/plans")]);
        let written = EventKind::Modify(ModifyKind::Data(DataChange::Content));
        let gone = EventKind::Modify(ModifyKind::Name(RenameMode::From));
        for (kind, path, wanted) in [
            (written, "/.home/plans/a.yaml", true),
            (written, "/.home/plans/house/a.wasm", true),
            (written, "/.home/plans/lintern.yaml", true),
            (written, "/.home/plans/lintern-baseline.json", true),
            (written, "/.home/plans/notes.txt", false),
            (written, "/.home/plans/.git/a.yaml", false),
            (written, "/.home/plans/.a.yaml.swp", false),
            (written, "/.home/plans/cache/a.wasm", false),
            (EventKind::Access(AccessKind::Read), "/.home/plans/a.yaml", false),
            (EventKind::Remove(RemoveKind::File), "/.home/plans/a.yaml", true),
            (EventKind::Remove(RemoveKind::File), "/.home/plans/4913", false),
            (EventKind::Remove(RemoveKind::Folder), "/.home/plans/site", true),
            (EventKind::Create(CreateKind::Folder), "/.home/plans/.git", false),
            (gone, "/.home/plans/site", true),
        ] {
            let event = Event::new(kind).add_path(PathBuf::from(path));
            let cache = Path::new("/.home/plans/cache");
            assert_eq!(counts(&event, &roots, Some(cache)), wanted, "{kind:?} {path}");
        }
    }

    #[test]
    fn changes_in_a_row_are_one() {
        let (send, changes) = channel();
        let written = EventKind::Modify(ModifyKind::Data(DataChange::Content));
        for name in ["/p/notes.txt", "/p/a.yaml", "/p/b.yaml"] {
            send.send(Ok(Event::new(written).add_path(PathBuf::from(name)))).expect("the receiver is here");
        }
        let roots = BTreeSet::from([PathBuf::from("/p")]);
        assert_eq!(wait(&changes, &roots, None), Some(()));
        assert!(changes.try_recv().is_err(), "all three were taken");
        drop(send);
        assert_eq!(wait(&changes, &roots, None), None, "no change can come");
    }
}
