//! The plans in `cases`, and of which rule each speaks.

use lintern_core::declared::Header;
use lintern_core::engine::Module;
use lintern_core::plan::{MAX_BYTES, read_plain};
use std::path::{Path, PathBuf};

/// Folders within folders that are looked into.
const DEPTH: u32 = 8;

/// A plan with what it declares.
pub struct CaseFile {
    pub path: PathBuf,
    /// Its path from the folder of the rule, with `/`.
    pub shown: String,
    pub text: String,
    /// `None` where it declares nothing.
    pub header: Result<Option<Header>, String>,
    /// The rule that it speaks of.
    pub rule: Result<String, String>,
}

/// What stands in `cases`.
pub struct Found {
    pub cases: Vec<CaseFile>,
    /// Files that are no plans.
    pub passed_over: Vec<String>,
}

/// Reads every plan under `cases`, sorted by path.
pub fn find(folder: &Path, modules: &[Module]) -> Result<Found, String> {
    let root = folder.join("cases");
    let mut paths = Vec::new();
    if root.is_dir() {
        collect(&root, DEPTH, &mut paths).map_err(|error| format!("can't list `{}`: {error}", root.display()))?;
    }
    paths.sort_unstable();
    let mut found = Found { cases: Vec::new(), passed_over: Vec::new() };
    for path in paths {
        let shown = path.strip_prefix(folder).unwrap_or(&path).components();
        let shown = shown.map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/");
        let bytes = read_plain(&path, MAX_BYTES).map_err(|error| format!("can't read {shown}: {error}"))?;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let is_plan = text.lines().any(|line| line.starts_with("plan:"));
        let header = Header::parse(&text).map_err(|error| error.to_string());
        // Shared schedules may stand there too.
        if !is_plan && !matches!(header, Ok(Some(_))) {
            found.passed_over.push(shown);
            continue;
        }
        let rule = rule_of(header.as_ref().ok().and_then(Option::as_ref), &shown, modules);
        found.cases.push(CaseFile { path, shown, text, header, rule });
    }
    Ok(found)
}

fn collect(folder: &Path, depth: u32, paths: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        // Links are not followed: they could lead round in a circle.
        let kind = entry.file_type()?;
        let path = entry.path();
        if kind.is_dir() && depth > 0 {
            collect(&path, depth - 1, paths)?;
        } else if kind.is_file() && path.extension().is_some_and(|e| e == "yaml" || e == "yml") {
            paths.push(path);
        }
    }
    Ok(())
}

/// The rule that a case names, whose defect its folder has as name, or that is the only one.
fn rule_of(header: Option<&Header>, shown: &str, modules: &[Module]) -> Result<String, String> {
    let ids = || modules.iter().flat_map(Module::rules).map(|rule| rule.id.as_str());
    let all = || ids().map(|id| format!("`{id}`")).collect::<Vec<_>>().join(", ");
    if let Some(rule) = header.and_then(|header| header.rule.as_deref()) {
        return match ids().any(|id| id == rule) {
            true => Ok(rule.to_owned()),
            false => Err(format!("`# rule: {rule}`: there is no such rule here; there are {}", all())),
        };
    }
    let folder = shown.strip_prefix("cases/").and_then(|rest| rest.split_once('/')).map(|(folder, _)| folder);
    let by_folder = ids().find(|id| id.split_once('/').map(|(_, defect)| defect) == folder);
    let only = ids().next().filter(|_| ids().nth(1).is_none());
    match by_folder.or(only) {
        Some(id) => Ok(id.to_owned()),
        None => Err(format!(
            "of which rule does it speak? Say it by `# rule: TOPIC/DEFECT`, or put the file into `cases/DEFECT/`; \
             there are {}",
            all()
        )),
    }
}
