//! One row of the matrix: a mistake, the plans it makes sense in, and everything that changes with it.

use lintern_core::finding::Level;
use lintern_tests::scenario::{Found, Scenario};
use lintern_tests::seeded::Seeded;
use serde_yaml::Value;
use std::collections::BTreeSet;
use std::fmt::Write;

/// A star on 12 V AC in inches.
pub const FRONT: &str = "fernhollow-court/front-garden.yaml";
/// A loop on 24 V DC in metric.
pub const GREEN: &str = "marlpit-green/green.yaml";
/// Two supplies beside a pool, in inches.
pub const POOL: &str = "saltmarsh-terrace/pool-terrace.yaml";

/// Places at which each mistake is planted in each plan.
const PLACES: u64 = 8;

/// What a planted mistake changes in what is said about the plan.
#[derive(Debug, Default)]
pub struct Planted {
    more: BTreeSet<Found>,
    gone: BTreeSet<(String, String)>,
    open: BTreeSet<String>,
}

impl Planted {
    /// A finding that was not there before, with the text that it underlines.
    pub fn finds(mut self, level: Level, rule: &str, subject: &str, underlined: &str) -> Self {
        let (rule, subject, underlined) = (rule.to_owned(), subject.to_owned(), underlined.to_owned());
        self.more.insert(Found { rule, subject, underlined, level });
        self
    }

    /// The same for each of several elements.
    pub fn finds_each(self, level: Level, rule: &str, found: impl IntoIterator<Item = (String, String)>) -> Self {
        found.into_iter().fold(self, |planted, (subject, text)| planted.finds(level, rule, &subject, &text))
    }

    /// A finding of the clean plan that the mistake takes away.
    pub fn loses(mut self, rule: &str, subject: &str) -> Self {
        self.gone.insert((rule.to_owned(), subject.to_owned()));
        self
    }

    /// A rule that can't check something any more.
    pub fn opens(mut self, rule: &str) -> Self {
        self.open.insert(rule.to_owned());
        self
    }
}

/// A single finding.
pub fn one(level: Level, rule: &str, subject: &str, underlined: &str) -> Planted {
    Planted::default().finds(level, rule, subject, underlined)
}

/// Plants a mistake at several places of each plan and compares all that is said.
pub fn each(files: &[&str], plant: impl Fn(&mut Scenario, &mut Seeded) -> Planted) {
    let mut wrong = String::new();
    for file in files {
        let clean = Scenario::read(file);
        let before = clean.check();
        assert!(before.undetermined.is_empty(), "{file} is no clean plan");
        for place in 0..PLACES {
            let mut plan = clean.clone();
            let planted = plant(&mut plan, &mut Seeded::new(place));
            assert_ne!(plan.0, clean.0, "{file}, place {place}: nothing was planted");
            let gone = |found: &Found| planted.gone.contains(&(found.rule.clone(), found.subject.clone()));
            assert!(planted.gone.len() <= before.found.iter().filter(|f| gone(f)).count(), "{file}: nothing to lose");
            let kept = before.found.iter().filter(|found| !gone(found)).cloned();
            let expected: BTreeSet<Found> = kept.chain(planted.more).collect();
            let said = plan.check();
            for found in said.found.difference(&expected) {
                writeln!(wrong, "{file}, place {place}: not expected: {found:?}").expect("memory");
            }
            for found in expected.difference(&said.found) {
                writeln!(wrong, "{file}, place {place}: missed: {found:?}").expect("memory");
            }
            if said.undetermined != planted.open {
                let (is, was) = (&said.undetermined, &planted.open);
                writeln!(wrong, "{file}, place {place}: could not check {is:?}, expected {was:?}").expect("memory");
            }
        }
    }
    assert!(wrong.is_empty(), "\n{wrong}");
}

/// One of several.
pub fn pick<T: Clone>(random: &mut Seeded, among: &[T]) -> T {
    assert!(!among.is_empty(), "no element is eligible");
    among[random.below(among.len())].clone()
}

/// The id of an element of a list that a condition holds for.
pub fn any_of(plan: &mut Scenario, random: &mut Seeded, list: &str, eligible: impl Fn(&Value) -> bool) -> String {
    let ids = plan.ids(list, eligible);
    pick(random, &ids)
}

/// Between two numbers, in hundredths, so that a plan shows all of it.
pub fn between(random: &mut Seeded, low: f64, high: f64) -> f64 {
    ((low + (high - low) * random.unit()) * 100.0).round() / 100.0
}

/// The number before a unit.
pub fn number(value: &Value) -> f64 {
    let text = value.as_str().expect("a quantity");
    text.split(' ').next().and_then(|n| n.parse().ok()).unwrap_or_else(|| panic!("{text} is no quantity"))
}

/// A block of a plan as it is underlined: the first dash or key stands left of what the block is underlined from.
pub fn block(value: &Value) -> String {
    let text = serde_yaml::to_string(value).expect("a value is YAML");
    let text = text.trim_end().replace('\n', "\n  ");
    text.strip_prefix("- ").map_or_else(|| text.clone(), str::to_owned)
}

/// The field of an element as it is underlined.
pub fn field_of(plan: &mut Scenario, list: &str, id: &str, field: &str) -> String {
    block(&plan.element(list, id)[field])
}

/// Each of some elements with a field as it is underlined.
pub fn with_field(plan: &mut Scenario, list: &str, ids: &[String], field: &str) -> Vec<(String, String)> {
    ids.iter().map(|id| (id.clone(), field_of(plan, list, id, field))).collect()
}

/// Whether a plan is under the National Electrical Code.
pub fn is_nec(plan: &Scenario) -> bool {
    plan.0["project"]["code"].as_str().is_some_and(|code| code.starts_with("nec"))
}
