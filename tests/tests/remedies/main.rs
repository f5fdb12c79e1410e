//! Cures against plans whose smallest cure is computed by hand, against a search of everything, and against the rules.

mod apply;
mod electrical;
mod places;
mod smallest;

use lintern_core::check::{CheckOptions, PlanReport, check};
use lintern_core::finding::Finding;
use lintern_core::plan::{load, scalar::Date};
use lintern_core::remedy::{Cure, Effort, Remedies, search};
use lintern_core::repository::Repository;
use lintern_tests::scenario::{AS_OF, modules};
use std::collections::BTreeSet;
use tempfile::TempDir;

/// A plan in a repository of its own, checked.
pub struct Job {
    _folder: TempDir,
    pub repository: Repository,
    pub report: PlanReport,
}

pub fn options() -> CheckOptions {
    CheckOptions { as_of: Date(AS_OF), settings: Default::default(), amendments: Vec::new() }
}

impl Job {
    pub fn new(text: &str) -> Self {
        let folder = TempDir::new().expect("a folder");
        let path = folder.path().join("plan.yaml");
        std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").expect("a file");
        std::fs::write(&path, text).expect("a file");
        let repository = Repository::of(&path).expect("a repository");
        let modules: Vec<_> = modules().iter().collect();
        let report = check(load(&repository, &path), &modules, &options());
        assert!(report.errors.is_empty(), "{:?}", report.errors);
        Self { _folder: folder, repository, report }
    }

    /// Findings as rule and subject.
    pub fn findings(&self) -> BTreeSet<(String, String)> {
        pairs(&self.report)
    }

    pub fn finding(&self, rule: &str, subject: &str) -> &Finding {
        let is = |f: &&Finding| f.rule == rule && f.subject == subject;
        self.report.findings.iter().find(is).unwrap_or_else(|| panic!("{rule} {subject}: {:?}", self.findings()))
    }

    pub fn remedies(&self) -> Remedies {
        let modules: Vec<_> = modules().iter().collect();
        search(&self.repository, &self.report, &modules, &options(), Effort::THOROUGH, &|_| true)
    }

    /// The smallest cure of a finding.
    pub fn smallest(&self, rule: &str, subject: &str) -> Cure {
        let remedies = self.remedies();
        let cure = remedies.smallest(self.finding(rule, subject));
        cure.unwrap_or_else(|| panic!("{rule} {subject}: {:?}", remedies.uncured)).clone()
    }
}

pub fn pairs(report: &PlanReport) -> BTreeSet<(String, String)> {
    report.findings.iter().map(|f| (f.rule.clone(), f.subject.clone())).collect()
}

/// A plan of constant-current luminaires, each of 1 A, on stranded 12 AWG without resistance in splices and sources:
/// its drops are sums of products.
pub fn plan(site: &str, supplies: &str, luminaires: &str, runs: &str) -> String {
    format!(
        r#"plan: 1
project: {{ name: Lamps, country: US, region: US-OH, code: nec-2023, occupancy: one-family-dwelling }}
analysis: {{ conductor-temperature: 75 degC, soil-temperature: 30 degC }}
schedule:
  luminaires:
    amp: {{ power: 12 W, apparent-power: 12 VA, load: constant-current, nominal: 12 V, input: {{ min: 11 V, max: 15 V }}, current: ac-or-dc, ip: [IP65, IP67], location: wet, listed: true, grounding-required: false, width: 4 in, body-depth: 6 in }}
  cables:
    burial-12-2: {{ conductor: 12 AWG, stranding: stranded, insulation: 60 degC, kind: low-voltage-landscape, direct-burial: true, location: wet, sunlight-resistant: true }}
  supplies:
    box-150:
      rating: 150 VA
      output-current: ac
      outputs:
        - {{ name: "12", volts: 12 V, limit: 12.5 A, protection: 15 A, source-resistance: 0 mohm }}
        - {{ name: "13", volts: 13 V, limit: 11.5 A, protection: 15 A, source-resistance: 0 mohm }}
      input-volts: 120 V
      listing: low-voltage-lighting
      enclosure: type 3R
      isolating: true
      grounded-output: false
      pool-listed: false
  splices:
    gel-cap: {{ location: wet, direct-burial: true, resistance: 0 mohm }}
site: {{ grid: ft, soil: loam{site} }}
supplies:
{supplies}
luminaires:
{luminaires}
runs:
{runs}
dig:
  ticket: {{ number: "26-0301", called: 2026-02-24, expires: 2026-03-20, responses: all }}
  starts: 2026-03-04
  method: hand
  private-lines: located
  white-lined: true
records: {{ mock-up: 2026-02-20, test-before-backfill: planned, as-built: planned, commissioning: planned, labels: planned, cut-sheets: planned, maintenance: planned }}
"#
    )
}

pub fn supply(id: &str, at: &str) -> String {
    format!(
        "  - {{ id: {id}, type: box-150, at: {at}, mount-height: 14 in, exposure: wet, control: {{ hours: 6 h }}, feed: {{ circuit: LT-3, breaker: 20 A, connection: receptacle, gfci: true, in-use-cover: true, weather-resistant: true, other-load: 0 VA }} }}"
    )
}

/// Luminaires `L1`, `L2` and so on at these places.
pub fn lamps(places: &[&str]) -> String {
    let lamp = |(i, at): (usize, &&str)| {
        format!(
            "  - {{ id: L{}, type: amp, at: {at}, placement: in-ground, splice: gel-cap, excavation: {{ width: 10 in, depth: 14 in, base: gravel, base-depth: 6 in }} }}",
            i + 1
        )
    };
    places.iter().enumerate().map(lamp).collect::<Vec<_>>().join("\n")
}

pub fn run(id: &str, rest: &str) -> String {
    format!(
        "  - {{ id: {id}, cable: burial-12-2, {rest}, method: direct-burial, cover: 8 in, riser: pvc-conduit, backfill: screened-soil }}"
    )
}
