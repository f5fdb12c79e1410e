//! The demo plans as values that a test can change and check again, with all built-in rules.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution};
use lintern_core::check::{CheckError, CheckOptions, check};
use lintern_core::engine::{Engine, EngineOptions, Module};
use lintern_core::finding::{Level, Outcome};
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Loaded, load};
use lintern_core::repository::Repository;
use serde_yaml::{Mapping, Value};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The day on which the scenarios are judged.
pub const AS_OF: jiff::civil::Date = jiff::civil::date(2026, 3, 5);

/// The demo plans.
pub fn plans() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans")
}

/// A demo plan with its shared schedules laid into it.
#[derive(Debug, Clone)]
pub struct Scenario(pub Value);

/// A finding, as far as tests compare it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Found {
    /// Id of the rule.
    pub rule: String,
    /// Id of the element; empty for the plan.
    pub subject: String,
    /// The text that it underlines.
    pub underlined: String,
    /// Its level.
    pub level: Level,
}

/// What a check says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Said {
    /// Findings, sorted.
    pub found: BTreeSet<Found>,
    /// Rules that ended undetermined, or failed beside elements that could not be checked.
    pub undetermined: BTreeSet<String>,
}

impl Said {
    /// Rule and subject of the findings at or above a level.
    pub fn pairs(&self, least: Level) -> BTreeSet<(String, String)> {
        let heard = self.found.iter().filter(|found| found.level >= least);
        heard.map(|found| (found.rule.clone(), found.subject.clone())).collect()
    }
}

impl Scenario {
    /// A plan of the demo repository.
    ///
    /// # Panics
    /// When it can't be read.
    pub fn read(file: &str) -> Self {
        let path = plans().join(file);
        let mut plan = yaml(&path);
        let used = plan.as_mapping_mut().expect("a plan is a mapping").remove("use");
        for name in used.iter().flat_map(|list| list.as_sequence().expect("a list")) {
            let shared = yaml(&path.with_file_name("").join(name.as_str().expect("a path")));
            let Value::Mapping(tables) = shared["schedule"].clone() else { panic!("{file}: a schedule is a mapping") };
            for (table, types) in tables {
                let Value::Mapping(types) = types else { panic!("{file}: a table is a mapping") };
                let own = entry(entry(&mut plan, "schedule"), table.as_str().expect("a name"));
                own.as_mapping_mut().expect("a mapping").extend(types);
            }
        }
        Self(plan)
    }

    /// Checks it with all built-in rules.
    ///
    /// # Panics
    /// When it does not load or a module fails.
    pub fn check(&self) -> Said {
        let (text, loaded) = self.load();
        let options = CheckOptions { as_of: Date(AS_OF), settings: Default::default(), amendments: Vec::new() };
        let report = check(loaded, &modules().iter().collect::<Vec<_>>(), &options);
        match report.errors.first() {
            Some(CheckError::Plan(diagnostic)) => panic!("{diagnostic:?}\n{text}"),
            Some(CheckError::Module(message)) => panic!("{message}\n{text}"),
            None => {}
        }
        let found = report.findings.iter().map(|finding| Found {
            rule: finding.rule.clone(),
            subject: finding.subject.clone(),
            underlined: report.loaded.sources.text(finding.span).trim_end().to_owned(),
            level: finding.level,
        });
        let open = report.verdicts.iter().filter(|(_, v)| v.verdict == Outcome::Undetermined || v.undetermined > 0);
        Said { found: found.collect(), undetermined: open.map(|(rule, _)| rule.clone()).collect() }
    }

    /// The electrical state that verdicts rest on.
    ///
    /// # Panics
    /// When it does not load.
    pub fn solve(&self) -> Solution {
        let (text, loaded) = self.load();
        let layout = loaded.layout.unwrap_or_else(|| panic!("{:?}\n{text}", loaded.diagnostics));
        solve(&layout, Case::Judged)
    }

    /// As text, and loaded from it.
    fn load(&self) -> (String, Loaded) {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("plan.yaml");
        let text = serde_yaml::to_string(&self.0).expect("a value is YAML");
        std::fs::write(&file, &text).expect("a file");
        let repository = Repository::of(&file).expect("a repository");
        let loaded = load(&repository, &file);
        (text, loaded)
    }

    /// The elements of a list, such as `luminaires` or `site.zones`.
    ///
    /// # Panics
    /// When there is no such list.
    pub fn list(&mut self, route: &str) -> &mut Vec<Value> {
        let list = route.split('.').fold(&mut self.0, |value, key| &mut value[key]);
        list.as_sequence_mut().unwrap_or_else(|| panic!("{route} is no list"))
    }

    /// The element of a list with this id.
    ///
    /// # Panics
    /// When there is none.
    pub fn element(&mut self, route: &str, id: &str) -> &mut Value {
        let list = self.list(route);
        list.iter_mut().find(|element| element["id"] == id).unwrap_or_else(|| panic!("{route} has no {id}"))
    }

    /// The ids of a list's elements that a condition holds for.
    pub fn ids(&mut self, route: &str, condition: impl Fn(&Value) -> bool) -> Vec<String> {
        let elements = self.list(route).iter().filter(|element| condition(element));
        elements.filter_map(|element| Some(element["id"].as_str()?.to_owned())).collect()
    }

    /// Gives an element a type of its own, a copy of the one that it has, and returns that type.
    ///
    /// # Panics
    /// When the element or its type is missing.
    pub fn own_type(&mut self, list: &str, id: &str) -> &mut Value {
        let (key, table) = match list {
            "runs" => ("cable", "cables"),
            table => ("type", table),
        };
        let element = self.element(list, id);
        let name = element[key].as_str().expect("a type").to_owned();
        let own = format!("{name}-of-{id}");
        element[key] = Value::from(own.clone());
        let types = &mut self.0["schedule"][table];
        let copy = types[name.as_str()].clone();
        types.as_mapping_mut().expect("a table").insert(Value::from(own.clone()), copy);
        &mut types[own.as_str()]
    }
}

/// The value of a key, made where it is missing.
fn entry<'a>(value: &'a mut Value, key: &str) -> &'a mut Value {
    let mapping = value.as_mapping_mut().expect("a mapping");
    mapping.entry(Value::from(key)).or_insert_with(|| Value::Mapping(Mapping::new()))
}

fn yaml(path: &Path) -> Value {
    let text = std::fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    serde_yaml::from_str(&text).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The built-in modules, compiled once.
pub fn modules() -> &'static [Module] {
    static MODULES: OnceLock<Vec<Module>> = OnceLock::new();
    MODULES.get_or_init(|| {
        let (engine, _) = Engine::new(EngineOptions::default());
        vec![engine.load_builtin().unwrap_or_else(|error| panic!("{error}"))]
    })
}
