//! What makes a finding the same finding in another run: a fingerprint that moved lines and reworded messages leave
//! alone, and a digest of the inputs that it rests on.

use crate::check::PlanReport;
use crate::finding::{Finding, Measure};
use crate::plan::yaml::{NodeId, Tree, Value};
use crate::plan::{ElementKind, Loaded};
use crate::repository::sha256_hex;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// How a finding is known again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// Digest of the plan's file, the rule, the element and the field; findings that share all of these are counted.
    pub fingerprint: String,
    /// Digest of the inputs: what the plan says of the elements that the finding names and of their types, the code
    /// and the authority, soil, temperatures and way of digging, and the numbers of the finding, but for spans of time,
    /// which change from day to day.
    pub inputs: String,
}

/// The identities of the findings of a report, in their order.
pub fn identities(report: &PlanReport) -> Vec<Identity> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut inputs = Inputs::new(&report.loaded);
    let identity = |finding: &Finding| {
        let key = format!(
            "{}\0{}\0{}\0{}",
            report.loaded.file,
            finding.rule,
            finding.subject,
            without_places(&finding.field)
        );
        let count = seen.entry(key.clone()).or_insert(0);
        *count += 1;
        let fingerprint = sha256_hex(format!("{key}\0{count}").as_bytes())[..32].to_owned();
        Identity { fingerprint, inputs: inputs.digest(finding) }
    };
    report.findings.iter().map(identity).collect()
}

/// A route whose places in lists are left open, since an item before it may come or go.
pub fn without_places(field: &str) -> String {
    let step = |step: &str| match step.parse::<usize>() {
        Ok(_) => "*".to_owned(),
        Err(_) => step.to_owned(),
    };
    field.split('.').map(step).collect::<Vec<_>>().join(".")
}

struct Inputs<'a> {
    loaded: &'a Loaded,
    /// Digests of elements by id.
    elements: BTreeMap<String, String>,
    /// What governs the whole plan.
    plan: String,
}

impl<'a> Inputs<'a> {
    fn new(loaded: &'a Loaded) -> Self {
        let mut plan = String::new();
        if let Some(tree) = loaded.tree() {
            for (part, key, value) in governing(tree) {
                let _ = write!(plan, "{part}.{key}=");
                write_node(&mut plan, tree, value);
            }
        }
        Self { loaded, elements: BTreeMap::new(), plan }
    }

    fn digest(&mut self, finding: &Finding) -> String {
        let mut text = format!("{}\0{}\0{}\0", finding.rule, finding.level.word(), self.plan);
        let mut named: Vec<&String> = finding.related.iter().collect();
        named.sort_unstable();
        named.dedup();
        for id in [&finding.subject].into_iter().chain(named) {
            let own = if id.is_empty() { self.of_plan(&finding.field) } else { self.of_element(id) };
            let _ = write!(text, "{id}={own}\0");
        }
        for measure in [&finding.measured, &finding.limit].into_iter().flatten() {
            write_number(&mut text, measure);
        }
        for line in &finding.work {
            write_number(&mut text, &Measure { value: line.value, unit: line.unit.clone() });
        }
        sha256_hex(text.as_bytes())
    }

    /// What the plan says under the first key of a route.
    fn of_plan(&self, field: &str) -> String {
        let mut text = String::new();
        let key = field.split('.').next().unwrap_or_default();
        if let Some(tree) = self.loaded.tree()
            && let Some(node) = tree.get(tree.root(), key)
        {
            write_node(&mut text, tree, node);
        }
        sha256_hex(text.as_bytes())
    }

    /// What the plan says of an element and of its types.
    fn of_element(&mut self, id: &str) -> String {
        if let Some(known) = self.elements.get(id) {
            return known.clone();
        }
        let mut text = String::new();
        if let (Some((kind, node)), Some(tree)) = (self.loaded.element(id), self.loaded.tree()) {
            let _ = write!(text, "{}=", kind.phrase());
            write_node(&mut text, tree, node);
            self.write_types(&mut text, tree, kind, node);
        }
        let digest = sha256_hex(text.as_bytes());
        self.elements.insert(id.to_owned(), digest.clone());
        digest
    }

    fn write_types(&self, out: &mut String, tree: &Tree, kind: ElementKind, element: NodeId) {
        for key in ["type", "cable", "splice"] {
            let name = tree.get(element, key).map(|node| tree.scalar(node));
            let place = name.and_then(|name| self.loaded.referred(kind, key, name));
            if let Some((file, node)) = place
                && let Some(tree) = self.loaded.trees().get(file)
            {
                let _ = write!(out, "{key}=");
                write_node(out, tree, node);
            }
        }
    }
}

/// What the plan says of itself that rules about elements go by, sorted. The ticket and the start of the dig change
/// without anything being built otherwise; findings about them name them.
fn governing(tree: &Tree) -> Vec<(&'static str, &str, NodeId)> {
    let is_for_rules = |part: &str, key: &str| match part {
        "project" => matches!(key, "country" | "region" | "authority" | "code" | "occupancy"),
        "dig" => !matches!(key, "ticket" | "starts"),
        "site" => !matches!(key, "zones" | "utilities" | "north" | "origin"),
        _ => true,
    };
    let mut all = Vec::new();
    for part in ["analysis", "dig", "project", "site"] {
        let entries = tree.get(tree.root(), part).map_or(&[][..], |node| tree.entries(node));
        let entries = entries.iter().map(|entry| (part, tree.scalar(entry.key), entry.value));
        all.extend(entries.filter(|(part, key, _)| is_for_rules(part, key)));
    }
    all.sort_unstable_by_key(|(part, key, _)| (*part, *key));
    all
}

/// A number, unless it is a span of time. Nine digits: what a later version computes in another order is the same.
fn write_number(out: &mut String, measure: &Measure) {
    let of_time = measure.unit.contains("day") || matches!(measure.unit.as_str(), "h" | "hours" | "business hours");
    if !of_time {
        let _ = write!(out, "{:.8e} {}\0", measure.value, measure.unit);
    }
}

/// A value as the plan says it, whatever its layout, its quotes and the order of its keys. The depth of a tree is
/// bounded.
fn write_node(out: &mut String, tree: &Tree, node: NodeId) {
    match tree.value(node) {
        Value::Scalar { text, .. } => {
            let _ = write!(out, "{text:?}");
        }
        Value::Sequence(items) => {
            out.push('[');
            for item in items {
                write_node(out, tree, *item);
                out.push(',');
            }
            out.push(']');
        }
        Value::Mapping(entries) => {
            let mut entries: Vec<_> = entries.iter().map(|entry| (tree.scalar(entry.key), entry.value)).collect();
            entries.sort_unstable_by_key(|(key, _)| *key);
            out.push('{');
            for (key, value) in entries {
                let _ = write!(out, "{key:?}:");
                write_node(out, tree, value);
                out.push(',');
            }
            out.push('}');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Identity, identities, without_places};
    use crate::check::{CheckOptions, PlanReport, check};
    use crate::finding::{Basis, BasisKind, Finding, Level, Measure};
    use crate::plan::load_text;
    use crate::repository::Repository;
    use std::collections::BTreeMap;
    use std::path::Path;

    const PLAN: &str = "plan: 1
project: { name: A, designer: R. Quill, code: nec-2023 }
schedule:
  luminaires: { lamp: { power: 6 W, nominal: 12 V } }
  cables: { cable: { conductor: 12 AWG, stranding: stranded } }
  supplies: { box: { rating: 60 VA, output-current: ac, outputs: [{ name: \"12\", volts: 12 V }] } }
site: { grid: ft, soil: clay, zones: [{ id: bed, kind: bed, outline: [[0, 0], [9, 0], [9, 9]] }] }
supplies: [{ id: S1, type: box }]
luminaires: [{ id: L1, type: lamp }, { id: L2, type: lamp }]
runs: [{ id: R1, cable: cable, route: [S1, L1, L2], lengths: [20 ft, 10 ft], cover: 3 in }]
dig: { starts: 2026-03-04, method: hand }
";

    /// The identity of a finding at R1 and L1 in a plan.
    fn identity(text: &str, volts: f64, days: f64) -> Identity {
        let folder = tempfile::tempdir().unwrap();
        let repository = Repository::of(folder.path()).unwrap();
        let loaded = load_text(&repository, Path::new("a.yaml"), text.as_bytes());
        assert_eq!(loaded.diagnostics, []);
        let as_of = "2026-03-01".parse().unwrap();
        let options = CheckOptions { as_of, settings: BTreeMap::new(), amendments: Vec::new() };
        let mut report: PlanReport = check(loaded, &[], &options);
        let measure = |value, unit: &str| Some(Measure { value, unit: unit.to_owned() });
        report.findings.push(Finding {
            rule: "a/b".to_owned(),
            level: Level::Advice,
            subject: "R1".to_owned(),
            related: vec!["L1".to_owned()],
            field: "cover".to_owned(),
            message: format!("{volts}"),
            measured: measure(volts, "V"),
            limit: measure(days, "working days"),
            work: Vec::new(),
            basis: Basis { kind: BasisKind::Practice, document: None, edition: None, section: None },
            help: String::new(),
            span: report.loaded.locate("R1", "cover").unwrap(),
            waived: None,
        });
        identities(&report).remove(0)
    }

    #[test]
    fn layout_names_days_and_what_others_do_change_nothing() {
        let first = identity(PLAN, 9.5, 3.0);
        for (from, to) in [
            ("cover: 3 in }", "cover: \"3 in\" }"),
            ("id: R1, cable: cable", "cable: cable, id: R1"),
            ("plan: 1\n", "# moved\n\nplan: 1\n"),
            ("designer: R. Quill", "designer: somebody else"),
            ("id: L2, type: lamp", "id: L2, type: lamp, scene: entry"),
            ("kind: bed", "kind: lawn"),
            ("starts: 2026-03-04", "starts: 2026-03-05"),
            ("grid: ft", "grid: ft, north: 9 deg, origin: { latitude: 44.5, longitude: -121.5 }"),
        ] {
            assert!(PLAN.contains(from), "{from}");
            assert_eq!(identity(&PLAN.replace(from, to), 9.5, 3.0), first, "{to}");
        }
        assert_eq!(identity(PLAN, 9.5 * (1.0 + 1e-12), 4.0), first, "rounding and days");
    }

    #[test]
    fn what_the_finding_rests_on_changes_its_inputs_and_not_its_fingerprint() {
        let first = identity(PLAN, 9.5, 3.0);
        for (from, to) in [
            ("cover: 3 in", "cover: 4 in"),
            ("{ id: L1, type: lamp }", "{ id: L1, type: lamp, placement: stake }"),
            ("power: 6 W", "power: 7 W"),
            ("conductor: 12 AWG", "conductor: 10 AWG"),
            ("code: nec-2023", "code: nec-2020"),
            ("soil: clay", "soil: loam"),
            ("method: hand", "method: machine"),
        ] {
            assert!(PLAN.contains(from), "{from}");
            let other = identity(&PLAN.replace(from, to), 9.5, 3.0);
            assert_ne!(other.inputs, first.inputs, "{to}");
            assert_eq!(other.fingerprint, first.fingerprint, "{to}");
        }
        assert_ne!(identity(PLAN, 9.4, 3.0).inputs, first.inputs);
    }

    #[test]
    fn a_route_does_not_depend_on_the_place_in_a_list() {
        for (field, same) in [("covers.1.cover", "covers.*.cover"), ("feed.breaker", "feed.breaker"), ("", "")] {
            assert_eq!(without_places(field), same);
        }
    }
}
