//! The thread that checks: the newest version of each text, when nothing was typed for a moment.
//!
//! A check can't be stopped half-way, so that what came in the meantime waits for its end; of several versions that
//! wait only the newest is checked.

use super::Event;
use super::sync::Document;
use crate::commands::setup::Setup;
use crate::output::RunError;
use crate::report::{baseline, document::Standing, make, shown};
use lintern_core::analysis::{Case, Solution, network};
use lintern_core::check::{CheckOptions, PlanReport, check};
use lintern_core::engine::RuleDescription;
use lintern_core::plan::cursor::Written;
use lintern_core::plan::load_text;
use lintern_core::plan::scalar::Date;
use lintern_core::repository::Repository;
use lintern_core::rulebook::Rulebook;
use lintern_core::waivers;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant};

/// How long nothing may be typed before the check.
pub const QUIET: Duration = Duration::from_millis(150);

/// What the thread is told.
pub enum Job {
    /// A text is to be checked.
    Check(Ask),
    /// A text is closed.
    Forget(PathBuf),
    /// Configurations or files of rules have changed.
    Reload,
}

/// A text that is to be checked.
pub struct Ask {
    /// Its file.
    pub path: PathBuf,
    /// The number of its version.
    pub version: i32,
    /// The text.
    pub text: Arc<str>,
    /// All open texts by their files, with the numbers of their versions.
    pub open: Arc<BTreeMap<PathBuf, (i32, Arc<str>)>>,
    /// When.
    pub due: Instant,
}

impl Ask {
    /// Of an open text.
    pub fn of(document: &Document, open: &Arc<BTreeMap<PathBuf, (i32, Arc<str>)>>, due: Instant) -> Self {
        let Document { path, version, text, .. } = document;
        Self { path: path.clone(), version: *version, text: text.clone(), open: open.clone(), due }
    }
}

/// The rules of a repository.
pub struct Book {
    /// What all repositories share.
    pub setup: Arc<Setup>,
    /// The repository, as it is on the disk.
    pub repository: Repository,
    /// Its rules.
    pub rulebook: Rulebook,
    /// The findings that are let be.
    baseline: Option<baseline::InForce>,
    /// What is wrong with any of it.
    pub problems: Vec<RunError>,
}

impl Book {
    /// The rules of a repository, put together as for a check from the command line.
    fn of(setup: &Arc<Setup>, repository: Repository) -> Self {
        let mut rulebook = Rulebook::of(&repository, setup.shared());
        let mut problems: Vec<RunError> =
            std::mem::take(&mut rulebook.problems).into_iter().map(RunError::from).collect();
        let baseline = baseline::read(&repository).unwrap_or_else(|diagnostic| {
            problems.push(RunError { kind: "config", diagnostic, sources: Default::default() });
            None
        });
        Self { setup: setup.clone(), repository, rulebook, baseline, problems }
    }

    /// Every rule that runs.
    pub fn rules(&self) -> impl Iterator<Item = &RuleDescription> {
        self.rulebook.rules(self.setup.builtin()).map(|(_, _, rule)| rule)
    }
}

/// What was found in one version of a text.
pub struct Checked {
    /// Its file.
    pub path: PathBuf,
    /// The number of the version.
    pub version: i32,
    /// The text.
    pub text: Arc<str>,
    /// The versions of all texts that were open, by their files.
    pub open: BTreeMap<PathBuf, i32>,
    /// The rules.
    pub book: Arc<Book>,
    /// The repository with the texts that were open.
    pub repository: Repository,
    /// What was asked.
    pub options: CheckOptions,
    /// The text as YAML.
    pub written: Option<Arc<Written>>,
    /// The findings and errors.
    pub report: PlanReport,
    /// Why a finding does not count or counts again, in the order of the findings, and whether it counts.
    pub standing: Vec<(Option<String>, bool)>,
    /// The network in both cases, of a plan that could be read.
    pub solved: Option<(Solution, Solution)>,
}

/// Checks until nobody asks any more.
pub fn run(jobs: &Receiver<Job>, events: &Sender<Event>, setup: Setup, as_of: Option<Date>) {
    let setup = Arc::new(setup);
    let mut desk = Desk { setup, as_of, books: BTreeMap::new(), waiting: BTreeMap::new() };
    loop {
        let due = desk.waiting.values().map(|ask| ask.due).min();
        let job = match due.map(|due| jobs.recv_timeout(due.saturating_duration_since(Instant::now()))) {
            Some(Ok(job)) => Some(job),
            Some(Err(RecvTimeoutError::Timeout)) => None,
            Some(Err(RecvTimeoutError::Disconnected)) => return,
            None => match jobs.recv() {
                Ok(job) => Some(job),
                Err(_) => return,
            },
        };
        for job in job.into_iter().chain(jobs.try_iter()) {
            desk.take(job);
        }
        if let Some(ask) = desk.next(Instant::now()) {
            // A program that has ended needs no answer.
            desk.check(&ask, events);
        }
    }
}

struct Desk {
    setup: Arc<Setup>,
    as_of: Option<Date>,
    /// By the root of the repository.
    books: BTreeMap<PathBuf, Arc<Book>>,
    /// By file.
    waiting: BTreeMap<PathBuf, Ask>,
}

impl Desk {
    fn take(&mut self, job: Job) {
        match job {
            Job::Check(ask) => {
                self.waiting.insert(ask.path.clone(), ask);
            }
            Job::Forget(path) => {
                self.waiting.remove(&path);
            }
            Job::Reload => self.books.clear(),
        }
    }

    /// The text whose turn it is.
    fn next(&mut self, now: Instant) -> Option<Ask> {
        let first = self.waiting.values().filter(|ask| ask.due <= now).min_by_key(|ask| ask.due)?.path.clone();
        self.waiting.remove(&first)
    }

    fn check(&mut self, ask: &Ask, events: &Sender<Event>) {
        let repository = match repository_of(&ask.path) {
            Ok(repository) => repository,
            Err(error) => {
                let _ = events.send(Event::Told(format!("can't open {}: {error}", ask.path.display())));
                return;
            }
        };
        let root = repository.root().to_owned();
        let book = self.books.get(&root).cloned().unwrap_or_else(|| {
            let book = Arc::new(Book::of(&self.setup, repository));
            let _ = events.send(Event::Book(book.clone()));
            self.books.insert(root, book.clone());
            book
        });
        let as_of = self.as_of.unwrap_or_else(crate::commands::check::today);
        let _ = events.send(Event::Checked(Arc::new(checked(ask, book, as_of, events))));
    }
}

/// The repository of a file that may not be written yet.
pub fn repository_of(path: &Path) -> std::io::Result<Repository> {
    Repository::of(path).or_else(|error| path.parent().map_or(Err(error), Repository::of))
}

fn checked(ask: &Ask, book: Arc<Book>, as_of: Date, events: &Sender<Event>) -> Checked {
    let texts = ask.open.iter().map(|(path, (_, text))| (path.clone(), text.clone())).collect();
    let repository = book.repository.clone().with_unsaved(texts);
    let options = book.rulebook.options(as_of);
    let modules = book.setup.modules(&book.rulebook);
    let loaded = load_text(&repository, &ask.path, ask.text.as_bytes());
    let written = Written::of(&loaded).map(Arc::new);
    if let Some(written) = written.clone() {
        let _ = events.send(Event::Loaded { path: ask.path.clone(), text: ask.text.clone(), written });
    }
    let mut report = check(loaded, &modules, &options);
    let rules: Vec<&RuleDescription> = book.rules().collect();
    waivers::judge(&mut report, &rules, &options);
    let mut shown = make::plan(&report, String::new(), &make::Wanted { margins: false, near_miss_percent: None });
    if let Some(baseline) = &book.baseline {
        baseline.compare(&mut shown);
    }
    let standing = shown.findings.iter().map(|f| (shown::standing(f), f.standing() == Standing::Open)).collect();
    let solved = report
        .loaded
        .layout
        .as_ref()
        .map(|layout| (network::solve(layout, Case::Judged), network::solve(layout, Case::Soil)));
    let open = ask.open.iter().map(|(path, (version, _))| (path.clone(), *version)).collect();
    let Ask { path, version, text, .. } = ask;
    Checked {
        path: path.clone(),
        version: *version,
        text: text.clone(),
        open,
        book,
        repository,
        options,
        written,
        report,
        standing,
        solved,
    }
}
