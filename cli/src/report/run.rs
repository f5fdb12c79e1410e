//! A check from what is asked to its document.

use super::document::{Document, FORMAT, Failure, RepositoryCoverage, Rule, Summary, Tool};
use super::folders::{Base, from_here};
use super::make::{self, Wanted, failure};
use super::seal::{BaselineUse, Digest, Options, RepositoryDigests, Seal};
use super::texts::{Spool, Texts};
use super::{Plan, baseline, touched};
use crate::args::{FailOn, RuleArgs};
use crate::commands::setup::Setup;
use crate::output::progress::Progress;
use crate::output::terminal::{self, Style};
use crate::output::{self, RunError};
use lintern_core::check::{CheckOptions, PlanReport, Telling, check_telling};
use lintern_core::engine::{Module, RuleDescription};
use lintern_core::finding::Level;
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Diagnostic, Sources, load};
use lintern_core::repository::{self, Found, FoundPlan, Repository, Shard};
use lintern_core::rulebook::Rulebook;
use lintern_core::{remedy, waivers};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// What is asked of a check.
#[derive(Debug)]
pub struct Request<'a> {
    /// Plans and folders.
    pub paths: Vec<PathBuf>,
    /// The day.
    pub as_of: Date,
    /// How; the command line goes before the configuration in what counts as a failure.
    pub fail_on: Option<FailOn>,
    /// Findings below this level are left out.
    pub show: Level,
    /// Whether waivers and baselines are ignored.
    pub as_reviewer: bool,
    /// Whether baselines are used.
    pub baseline: bool,
    /// Whether cures are looked for.
    pub remedies: bool,
    /// Whether all margins are told.
    pub margins: bool,
    /// What passes by no more than this share of its limit is listed, %.
    pub near_miss_percent: Option<f64>,
    /// One part of the plans.
    pub shard: Option<Shard>,
    /// Only the plans that changes since this revision touch.
    pub changed_since: Option<&'a str>,
    /// Rules from outside.
    pub rules: &'a RuleArgs,
    /// How a terminal is written to; `None` where none of the plans is shown on one.
    pub style: Option<Style>,
    /// Whether progress is shown.
    pub progress: bool,
    /// Whether data that no rule reads is looked for.
    pub coverage: bool,
}

/// A document, and what stands apart from it.
pub struct Checked {
    /// The document.
    pub document: Document,
    /// Remarks for `--verbose`.
    pub notes: Vec<String>,
    /// The folder that its paths count from.
    pub base: Base,
    /// Pages of the rules that found something.
    pub pages: BTreeMap<String, String>,
}

/// A rulebook with what is made of it for every plan.
struct Prepared<'a> {
    modules: Vec<&'a Module>,
    rules: Vec<&'a RuleDescription>,
    options: CheckOptions,
    baseline: Option<&'a baseline::InForce>,
    folder: String,
}

/// Checks what is asked for.
pub fn run(request: &Request<'_>) -> Checked {
    run_lightly(request, |_| {})
}

/// The same, for outputs that show less of a plan than the document has: what none of them shows is taken out of each plan
/// as it comes.
pub fn run_lightly(request: &Request<'_>, lighten: impl Fn(&mut Plan) + Sync) -> Checked {
    let (plans, mut checked) = run_keeping(request, |mut plan| {
        lighten(&mut plan);
        plan
    });
    checked.document.plans = plans;
    checked
}

/// A document whose plans are there as texts alone.
pub struct Streamed {
    /// The document without its plans.
    pub rest: Checked,
    /// A text for each plan.
    pub plans: Texts,
}

/// The same, but of each plan only a text is kept: nothing in memory grows with the plans but a list of them.
pub fn run_to_texts(request: &Request<'_>, text: impl Fn(&Plan) -> String + Sync) -> Streamed {
    let spool = Spool::new();
    let (places, rest) = run_keeping(request, |plan| spool.put(text(&plan)));
    Streamed { rest, plans: spool.texts(places) }
}

/// Checks what is asked for. Gives what is kept of each plan, in their order, and the document without them.
fn run_keeping<K: Send>(request: &Request<'_>, keep: impl Fn(Plan) -> K + Sync) -> (Vec<K>, Checked) {
    let mut found = repository::find_part(&request.paths, request.shard);
    let base = Base::of(&found.repositories, &request.paths);
    let mut setup = Setup::new(request.rules);
    let mut errors: Vec<Failure> = std::mem::take(&mut setup.errors).iter().map(|e| error(e, None, request)).collect();
    let mut notes = std::mem::take(&mut setup.notes);
    let mut books: BTreeMap<PathBuf, (Rulebook, Option<baseline::InForce>)> = BTreeMap::new();
    for repository in &found.repositories {
        let book = setup.repository(repository);
        let folder = base.folder(repository.root());
        errors.extend(
            std::mem::take(&mut setup.errors).iter().map(|e| error(e, Some((&folder, repository.root())), request)),
        );
        let in_force = match request.baseline.then(|| baseline::read(repository)).transpose() {
            Ok(read) => read.flatten(),
            Err(diagnostic) => {
                errors.push(error(&of_config(diagnostic), Some((&folder, repository.root())), request));
                None
            }
        };
        books.insert(repository.root().to_owned(), (book, in_force));
    }
    let mut since = None;
    if let Some(revision) = request.changed_since {
        match touched::since(revision, &found, &request.paths) {
            Ok(selection) => {
                found.plans.retain(|plan| selection.wanted.contains(&plan.path));
                since = Some(selection.since);
            }
            Err(diagnostic) => {
                found.plans.clear();
                errors.push(error(&of_config(diagnostic), None, request));
            }
        }
    }
    for problem in &found.problems {
        let of = problem.repository.as_ref().map(|repository| (base.folder(repository.root()), repository.root()));
        for diagnostic in &problem.diagnostics {
            let wrong = RunError { kind: "plan", diagnostic: diagnostic.clone(), sources: problem.sources.clone() };
            errors.push(Failure {
                file: Some(problem.file.clone()),
                ..error(&wrong, of.as_ref().map(|(folder, root)| (&**folder, *root)), request)
            });
        }
    }
    notes.extend(found.notes.iter().map(|note| format!("passed over {}: {}", note.file, note.reason)));
    let prepared: BTreeMap<&PathBuf, Prepared<'_>> = books
        .iter()
        .map(|(root, (book, in_force))| {
            let modules = setup.modules(book);
            let rules = book.rules(setup.builtin()).map(|(_, _, rule)| rule).collect();
            let options = book.options(request.as_of);
            (root, Prepared { modules, rules, options, baseline: in_force.as_ref(), folder: base.folder(root) })
        })
        .collect();
    let progress = Progress::start(request.progress, found.plans.len() as u64, "plans");
    let totals: Mutex<(Summary, BTreeSet<String>)> = Mutex::default();
    let plans: Vec<K> = found
        .plans
        .par_iter()
        .filter_map(|plan| {
            let prepared = prepared.get(&plan.repository.root().to_owned())?;
            let (plan, counts) = one(plan, prepared, request);
            {
                let mut totals = totals.lock().unwrap_or_else(PoisonError::into_inner);
                totals.0.join(&counts);
                for finding in &plan.findings {
                    if !totals.1.contains(&finding.rule) {
                        totals.1.insert(finding.rule.clone());
                    }
                }
            }
            let kept = keep(plan);
            progress.step();
            Some(kept)
        })
        .collect();
    drop(progress);
    let (mut summary, named) = totals.into_inner().unwrap_or_else(PoisonError::into_inner);
    summary.errors += errors.len();
    let described: BTreeMap<&str, &RuleDescription> =
        prepared.values().flat_map(|prepared| &prepared.rules).map(|rule| (rule.id.as_str(), *rule)).collect();
    let rules = named.iter().filter_map(|id| Some((id.clone(), rule(described.get(id.as_str())?)))).collect();
    let pages = named.iter().filter_map(|id| Some((id.clone(), described.get(id.as_str())?.documentation.clone())));
    let pages = pages.collect();
    let seal = Seal {
        version: Tool::this().version,
        as_of: request.as_of.to_string(),
        paths: request.paths.iter().map(|path| base.given(path)).collect(),
        options: Options {
            show: request.show,
            fail_on: fail_on(request, &found),
            as_reviewer: request.as_reviewer,
            baseline: request.baseline,
            remedies: request.remedies,
            margins: request.margins,
            near_miss_percent: request.near_miss_percent,
            coverage: request.coverage,
        },
        shard: request.shard.map(|shard| format!("{}/{}", shard.number, shard.of)),
        changed_since: since,
        modules: setup.builtin().iter().map(|m| digest(m.name(), m.sha256())).collect(),
        packs: setup.packs().iter().map(|pack| digest(&pack.name, &pack.sha256)).collect(),
        repositories: found.repositories.iter().map(|r| digests(r, &books, &base)).collect(),
    };
    let document = Document {
        format: FORMAT,
        tool: Tool::this(),
        as_of: request.as_of.to_string(),
        plans: Vec::new(),
        errors,
        coverage: request.coverage.then(|| coverage(&found, &prepared, request)),
        rules,
        seal,
        summary,
        caution: crate::output::CAUTION.to_owned(),
    };
    (plans, Checked { document, notes, base, pages })
}

/// What no rule reads, by repository.
fn coverage(
    found: &Found,
    prepared: &BTreeMap<&PathBuf, Prepared<'_>>,
    request: &Request<'_>,
) -> Vec<RepositoryCoverage> {
    let of = |repository: &Arc<Repository>| {
        let prepared = prepared.get(&repository.root().to_owned())?;
        let own = found.plans.iter().filter(|plan| plan.repository.root() == repository.root());
        let plans: Vec<PathBuf> = own.map(|plan| plan.path.clone()).collect();
        let coverage = lintern_core::coverage::coverage(repository, &plans, &prepared.modules, &prepared.options);
        let folder = prepared.folder.clone();
        Some(RepositoryCoverage {
            terminal: request.style.map(|style| output::coverage::text(&coverage, &folder, style.width)),
            coverage: make::value(&coverage),
            repository: folder,
        })
    };
    found.repositories.iter().filter_map(of).collect()
}

/// One plan, with the counts of all its findings.
fn one(found: &FoundPlan, prepared: &Prepared<'_>, request: &Request<'_>) -> (Plan, Summary) {
    let all = request.margins || request.near_miss_percent.is_some();
    let telling = if all { Telling::All } else { Telling::Decisive };
    let loaded = load(&found.repository, &found.path);
    let mut report: PlanReport = check_telling(loaded, &prepared.modules, &prepared.options, telling);
    report.weigh(request.near_miss_percent);
    if request.remedies {
        remedy::attach(&found.repository, &mut report, &prepared.modules, &prepared.options);
    }
    // After the search for cures: what cures a waived finding leaves a waiver unused, which is no reason against it.
    waivers::judge(&mut report, &prepared.rules, &prepared.options);
    let wanted = Wanted { margins: request.margins, near_miss_percent: request.near_miss_percent };
    let mut plan = make::plan(&report, prepared.folder.clone(), &wanted);
    if let Some(baseline) = prepared.baseline {
        baseline.compare(&mut plan);
    }
    let mut counts = Summary::default();
    counts.add(&plan);
    report.loaded.sources.show_as(|file| from_here(found.repository.root(), file));
    plan.terminal = request.style.map(|style| terminal::plan(&report, &plan, request, style));
    plan.findings.retain(|finding| finding.level >= request.show);
    (plan, counts)
}

fn rule(rule: &RuleDescription) -> Rule {
    Rule { title: rule.title.clone(), level: rule.level, waivable: rule.waivable, page: None }
}

fn digest(name: &str, sha256: &str) -> Digest {
    Digest { name: name.to_owned(), sha256: sha256.to_owned() }
}

fn digests(
    repository: &Arc<Repository>,
    books: &BTreeMap<PathBuf, (Rulebook, Option<baseline::InForce>)>,
    base: &Base,
) -> RepositoryDigests {
    let book = books.get(repository.root());
    let own_packs: BTreeSet<&str> = repository.config().rules.packs.iter().map(|pack| pack.name.as_str()).collect();
    let packs = book.into_iter().flat_map(|(book, _)| &book.packs).filter(|pack| own_packs.contains(&*pack.shown));
    let files = book.into_iter().flat_map(|(book, _)| &book.files);
    let sources = repository.sources().files().first();
    RepositoryDigests {
        folder: base.folder(repository.root()),
        configuration: sources.map(|file| lintern_core::repository::sha256_hex(file.text.as_bytes())),
        baseline: book.and_then(|(_, in_force)| in_force.as_ref()).map(|in_force| BaselineUse {
            sha256: in_force.sha256.clone(),
            as_of: in_force.recorded.as_of.clone(),
            findings: in_force.recorded.findings.len(),
            gone: in_force.gone(repository),
        }),
        packs: packs.map(|pack| digest(&pack.shown, &pack.sha256)).collect(),
        files: files.map(|file| digest(&file.name, &file.sha256)).collect(),
    }
}

fn of_config(diagnostic: Diagnostic) -> RunError {
    RunError { kind: "config", diagnostic, sources: Sources::default() }
}

/// An error, with the folder of the repository that it is in and the root of that, where it is in one.
fn error(error: &RunError, of: Option<(&str, &Path)>, request: &Request<'_>) -> Failure {
    let mut told = failure(error.kind, &error.diagnostic, &error.sources, of.map(|(folder, _)| folder.to_owned()));
    let list = std::slice::from_ref(&error.diagnostic);
    let mut sources = error.sources.clone();
    if let Some((_, root)) = of {
        sources.show_as(|file| from_here(root, file));
    }
    told.terminal = request.style.map(|style| terminal::diagnostics(list, &sources, style));
    told
}

/// The command line goes before the configuration; of several configurations the strictest counts.
fn fail_on(request: &Request<'_>, found: &Found) -> FailOn {
    use lintern_core::repository::FailOn as Configured;
    let strictest = found.repositories.iter().filter_map(|r| r.config().fail_on).map(|configured| match configured {
        Configured::Undetermined => FailOn::Undetermined,
        Configured::Reminder => FailOn::Reminder,
        Configured::Advice => FailOn::Advice,
        Configured::Violation => FailOn::Violation,
    });
    request.fail_on.or_else(|| strictest.max_by_key(|f| *f as u8)).unwrap_or(FailOn::Violation)
}
