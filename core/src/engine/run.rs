//! Runs the rules of a module on one plan.

use super::convert::{Input, Records};
use super::describe::{self, SettingValue, Tighter, cut};
use super::host::{State, wit};
use super::module::{Module, store};
use super::{error, limits};
use crate::finding::{Basis, Level, Measure, WorkLine};
use std::sync::Arc;

/// A rule to run, with the settings that differ from its defaults.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleRequest {
    /// Id of the rule.
    pub rule: String,
    /// Settings, those of one name in the order of their layers.
    pub settings: Vec<GivenSetting>,
    /// Whether the limits are wanted as they were applied.
    pub wants_limits: bool,
    /// Whether it is wanted what was compared with limits.
    pub wants_margins: bool,
}

/// A value that an amendment or a company gives to a setting.
#[derive(Debug, Clone, PartialEq)]
pub struct GivenSetting {
    /// Name of the setting.
    pub name: String,
    /// Its value.
    pub value: SettingValue,
    /// Local or house.
    pub layer: Layer,
    /// What it is called in outputs.
    pub source: String,
    /// Whether it may be looser than the layers before it.
    pub replaces: bool,
    /// The authority behind it.
    pub basis: Basis,
}

/// Where a limit comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Layer {
    /// The edition of the code, or common practice.
    Code,
    /// The state or the country.
    Region,
    /// A local amendment.
    Local,
    /// The company.
    House,
}

impl Layer {
    /// The word that outputs use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Code => "code",
            Self::Region => "region",
            Self::Local => "local",
            Self::House => "house",
        }
    }
}

/// A limit as a rule applied it.
#[derive(Debug, Clone, PartialEq)]
pub struct AppliedLimit {
    /// What it limits.
    pub name: String,
    /// Unit of its layers.
    pub unit: String,
    /// Which direction is stricter.
    pub tighter: Tighter,
    /// Settings of the rule that it reads.
    pub settings: Vec<String>,
    /// Elements that it was applied to.
    pub subjects: Vec<String>,
    /// Its layers in order: where from, the number, its source.
    pub layers: Vec<(Layer, f64, String)>,
    /// Index of the layer that governs.
    pub governing: usize,
}

/// What a module says of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ModuleOutcome {
    /// The answer of each rule that gave one, in the order of the requests.
    pub results: Vec<RuleOutcome>,
    /// What went wrong.
    pub errors: Vec<ModuleRunError>,
    /// The largest share of its budget that one of its runs took.
    pub effort: Effort,
}

/// What share of its computing budget ([`limits::FUEL_PER_RUN`]) a module took. Counts of fuel depend on how the
/// engine is configured, so there are only these classes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Effort {
    /// Less than a thousandth.
    #[default]
    Tiny,
    /// Less than a hundredth.
    Small,
    /// Less than a tenth.
    Medium,
    /// A tenth or more.
    Large,
}

impl Effort {
    /// The word that outputs use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Tiny => "tiny",
            Self::Small => "small",
            Self::Medium => "medium",
            Self::Large => "large",
        }
    }

    fn of(fuel: u64) -> Self {
        match fuel {
            fuel if fuel < limits::FUEL_PER_RUN / 1_000 => Self::Tiny,
            fuel if fuel < limits::FUEL_PER_RUN / 100 => Self::Small,
            fuel if fuel < limits::FUEL_PER_RUN / 10 => Self::Medium,
            _ => Self::Large,
        }
    }
}

/// A failure of a module, or of one of its rules, on a plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.text())]
pub struct ModuleRunError {
    /// The module.
    pub module: String,
    /// The rule, where one is to blame.
    pub rule: Option<String>,
    /// What happened.
    pub problem: String,
}

impl ModuleRunError {
    fn text(&self) -> String {
        match &self.rule {
            Some(rule) => format!("rule `{rule}` of module `{}` {}", self.module, self.problem),
            None => format!("rule module `{}` {}", self.module, self.problem),
        }
    }
}

/// The answer of one rule on one plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RuleOutcome {
    /// Id of the rule.
    pub rule: String,
    /// Elements that were checked, those with findings included.
    pub checked: u32,
    /// Elements that could not be checked, with the inputs that were missing.
    pub undetermined: Vec<(String, Vec<String>)>,
    /// What it found.
    pub findings: Vec<RawFinding>,
    /// Its limits as it applied them; empty unless they were wanted.
    pub limits: Vec<AppliedLimit>,
    /// What it compared with limits; empty unless it was wanted.
    pub margins: Vec<RawMargin>,
}

/// A number that a rule held against a limit.
#[derive(Debug, Clone, PartialEq)]
pub struct RawMargin {
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Route of the field, as in the finding that breaks it.
    pub field: String,
    /// What the limit limits.
    pub name: String,
    /// The number.
    pub measured: f64,
    /// The limit.
    pub limit: f64,
    /// Unit of both.
    pub unit: String,
    /// Where the limit comes from.
    pub source: String,
    /// Lower for a greatest value, higher for a least one.
    pub tighter: Tighter,
    /// Whether the number keeps the limit, by the rule.
    pub passes: bool,
    /// What the number is.
    pub quantity: Quantity,
}

/// What a compared number is, where the network decides it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// Nothing that the network decides.
    Other,
    /// Volts of a luminaire.
    LuminaireVolts(usize),
    /// The same with every luminaire off.
    LuminaireNoLoadVolts(usize),
    /// Drop to a luminaire, % of its nominal voltage.
    LuminaireDropPercent(usize),
    /// The larger of computed load and nameplates of a supply, VA.
    SupplyLoad(usize),
    /// The same as a share of its rating, %.
    SupplyLoadingPercent(usize),
    /// Current of an output without sign, A.
    OutputAmps {
        /// Index of the supply.
        supply: usize,
        /// Index of its output.
        output: usize,
    },
    /// The largest current in a run without sign, times a factor, A.
    RunAmps {
        /// Index of the run.
        run: usize,
        /// What the current counts times.
        factor: f64,
    },
}

/// A finding as a module reports it; where it stands in the plan is found later.
#[derive(Debug, Clone, PartialEq)]
pub struct RawFinding {
    /// The consequence; the rule's own level unless the finding says otherwise.
    pub level: Level,
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Other elements that matter.
    pub related: Vec<String>,
    /// Route of the field at fault from the element; empty for the element itself.
    pub field: String,
    /// What is wrong: fact and limit.
    pub message: String,
    /// The value at fault.
    pub measured: Option<Measure>,
    /// The limit it breaks.
    pub limit: Option<Measure>,
    /// The arithmetic.
    pub work: Vec<WorkLine>,
    /// The authority behind it.
    pub basis: Basis,
    /// What to do.
    pub help: String,
}

impl Module {
    /// Runs rules on a plan, in a fresh instance that nothing outlives.
    ///
    /// When the run fails, the rules are run again one by one, each in an instance of its own, so
    /// that the failure is laid to the rule that caused it and the others still answer.
    pub fn check(&self, input: &Input, requests: &[RuleRequest]) -> ModuleOutcome {
        let mut outcome = ModuleOutcome::default();
        let mut wanted = Vec::with_capacity(requests.len());
        for request in requests {
            match self.to_wit(request) {
                Ok(request) => wanted.push(request),
                Err(problem) => outcome.errors.push(self.error(Some(&request.rule), problem)),
            }
        }
        if wanted.is_empty() {
            return outcome;
        }
        let run = self.run(&input.0, &wanted);
        outcome.effort = run.effort;
        match run {
            Run { answer: Ok(answers), .. } => self.take_all(&wanted, answers, &mut outcome),
            Run { answer: Err(problem), started: false, .. } => outcome.errors.push(self.error(None, problem)),
            Run { answer: Err(problem), .. } if wanted.len() == 1 => {
                outcome.errors.push(self.error(Some(&wanted[0].id), problem));
            }
            Run { .. } => self.check_one_by_one(input, &wanted, &mut outcome),
        }
        outcome
    }

    fn check_one_by_one(&self, input: &Input, wanted: &[wit::RuleRequest], outcome: &mut ModuleOutcome) {
        let mut failures = 1;
        for request in wanted {
            if failures >= limits::RUNS_PER_PLAN {
                let problem = "was not run: too many rules of its module have failed on this plan".to_owned();
                outcome.errors.push(self.error(Some(&request.id), problem));
                continue;
            }
            let run = self.run(&input.0, std::slice::from_ref(request));
            outcome.effort = outcome.effort.max(run.effort);
            match run.answer {
                Ok(answers) => self.take_all(std::slice::from_ref(request), answers, outcome),
                Err(problem) => {
                    failures += 1;
                    outcome.errors.push(self.error(Some(&request.id), problem));
                }
            }
        }
    }

    pub(super) fn run(&self, input: &Arc<Records>, requests: &[wit::RuleRequest]) -> Run {
        let state = State { expressions: self.expressions.clone(), ..State::new(Some(input.clone())) };
        let mut store = store(&self.wasm, state, limits::FUEL_PER_RUN);
        let module = self.instance.instantiate(&mut store);
        let started = module.is_ok();
        let answer = module.and_then(|module| module.call_check(&mut store, requests)).map_err(|error| {
            let state = store.data();
            error::stopped(&error, state.panic.as_deref(), state.refused_memory)
        });
        // Without a count the whole budget is taken to be used.
        let effort = Effort::of(limits::FUEL_PER_RUN.saturating_sub(store.get_fuel().unwrap_or(0)));
        Run { started, answer, effort }
    }

    /// Checks that a request fits the module's own description.
    pub(super) fn to_wit(&self, request: &RuleRequest) -> Result<wit::RuleRequest, String> {
        let Some(rule) = self.rules().iter().find(|rule| rule.id == request.rule) else {
            return Err("is not one of its rules".to_owned());
        };
        let mut settings = Vec::with_capacity(request.settings.len());
        for GivenSetting { name, value, layer, source, replaces, basis } in &request.settings {
            let Some(described) = rule.settings.iter().find(|setting| setting.name == *name) else {
                return Err(format!("has no setting `{name}`"));
            };
            let fits = match &described.default {
                Some(default) => std::mem::discriminant(value) == std::mem::discriminant(default),
                None => matches!(value, SettingValue::Number(_)),
            };
            if !fits {
                return Err(format!("got a setting `{name}` of the wrong type"));
            }
            let value = match value {
                SettingValue::Number(number) => wit::SettingValue::Number(*number),
                SettingValue::Flag(flag) => wit::SettingValue::Flag(*flag),
                SettingValue::Text(text) => wit::SettingValue::Text(text.clone()),
            };
            settings.push(wit::Setting {
                name: name.clone(),
                value,
                layer: match layer {
                    Layer::Code => wit::Layer::Code,
                    Layer::Region => wit::Layer::Region,
                    Layer::Local => wit::Layer::Local,
                    Layer::House => wit::Layer::House,
                },
                source: source.clone(),
                replaces: *replaces,
                basis: describe::to_wit(basis),
            });
        }
        let RuleRequest { wants_limits, wants_margins, .. } = *request;
        Ok(wit::RuleRequest { id: request.rule.clone(), settings, wants_limits, wants_margins })
    }

    /// Takes over the answers to the requests; all are refused when they do not match them.
    fn take_all(&self, wanted: &[wit::RuleRequest], answers: Vec<wit::RuleResult>, outcome: &mut ModuleOutcome) {
        if answers.len() != wanted.len() {
            let problem = format!("gave {} answers to {} rules", answers.len(), wanted.len());
            outcome.errors.push(self.error(None, problem));
            return;
        }
        if let Some((request, answer)) = wanted.iter().zip(&answers).find(|(request, answer)| request.id != answer.id) {
            let problem = format!("was asked for rule `{}` and answered for `{}`", request.id, cut(answer.id.clone()));
            outcome.errors.push(self.error(None, problem));
            return;
        }
        for answer in answers {
            let rule = answer.id.clone();
            let own_level =
                self.rules().iter().find(|known| known.id == rule).map_or(Level::Violation, |known| known.level);
            match take(answer, own_level) {
                Ok(result) => outcome.results.push(result),
                Err(problem) => outcome.errors.push(self.error(Some(&rule), problem)),
            }
        }
    }

    fn error(&self, rule: Option<&str>, problem: String) -> ModuleRunError {
        ModuleRunError { module: self.name.clone(), rule: rule.map(str::to_owned), problem }
    }
}

/// A run of an instance.
pub(super) struct Run {
    /// Whether the instance came up.
    started: bool,
    effort: Effort,
    pub(super) answer: Result<Vec<wit::RuleResult>, String>,
}

/// Takes over the answer of one rule, within bounds.
fn take(answer: wit::RuleResult, own_level: Level) -> Result<RuleOutcome, String> {
    if answer.findings.len() > limits::FINDINGS_PER_RULE {
        let (found, limit) = (answer.findings.len(), limits::FINDINGS_PER_RULE);
        return Err(format!("was refused: it reported {found} findings, and at most {limit} are allowed"));
    }
    if answer.margins.len() > limits::MARGINS_PER_RULE {
        let (told, limit) = (answer.margins.len(), limits::MARGINS_PER_RULE);
        return Err(format!("was refused: it told {told} margins, and at most {limit} are allowed"));
    }
    let undetermined = answer.undetermined.into_iter().map(|entry| (cut(entry.subject), bounded(entry.missing)));
    let limits = answer.limits.into_iter().take(limits::LIMITS_PER_RULE).map(take_limit).collect::<Result<_, _>>()?;
    Ok(RuleOutcome {
        rule: answer.id,
        limits,
        margins: answer.margins.into_iter().map(take_margin).collect::<Result<_, _>>()?,
        checked: answer.checked,
        undetermined: undetermined.collect(),
        findings: answer
            .findings
            .into_iter()
            .map(|finding| take_finding(finding, own_level))
            .collect::<Result<_, _>>()?,
    })
}

fn take_limit(limit: wit::AppliedLimit) -> Result<AppliedLimit, String> {
    let name = cut(limit.name);
    let governing = limit.governing as usize;
    let layers: Vec<_> = limit.layers.into_iter().take(limits::LIST_ENTRIES).collect();
    if governing >= layers.len() || layers.iter().any(|layer| !layer.value.is_finite()) {
        return Err(format!("was refused: its limit `{name}` has no governing number"));
    }
    let layer = |layer: wit::LimitLayer| {
        let of = match layer.layer {
            wit::Layer::Code => Layer::Code,
            wit::Layer::Region => Layer::Region,
            wit::Layer::Local => Layer::Local,
            wit::Layer::House => Layer::House,
        };
        (of, layer.value, cut(layer.source))
    };
    Ok(AppliedLimit {
        name,
        unit: cut(limit.unit),
        tighter: describe::tighter(limit.tighter),
        settings: bounded(limit.settings),
        subjects: limit.subjects.into_iter().map(cut).collect(),
        layers: layers.into_iter().map(layer).collect(),
        governing,
    })
}

fn take_margin(margin: wit::Margin) -> Result<RawMargin, String> {
    let subject = cut(margin.subject);
    if !(margin.measured.is_finite() && margin.limit.is_finite()) {
        return Err(format!("was refused: a margin that it told of `{subject}` is not a number"));
    }
    let quantity = match margin.quantity {
        wit::Quantity::Other => Quantity::Other,
        wit::Quantity::LuminaireVolts(luminaire) => Quantity::LuminaireVolts(luminaire as usize),
        wit::Quantity::LuminaireNoLoadVolts(luminaire) => Quantity::LuminaireNoLoadVolts(luminaire as usize),
        wit::Quantity::LuminaireDropPercent(luminaire) => Quantity::LuminaireDropPercent(luminaire as usize),
        wit::Quantity::SupplyLoad(supply) => Quantity::SupplyLoad(supply as usize),
        wit::Quantity::SupplyLoadingPercent(supply) => Quantity::SupplyLoadingPercent(supply as usize),
        wit::Quantity::OutputAmps((supply, output)) => {
            Quantity::OutputAmps { supply: supply as usize, output: output as usize }
        }
        wit::Quantity::RunAmps(wit::RunCurrent { factor, .. }) if !factor.is_finite() => {
            return Err(format!("was refused: a margin that it told of `{subject}` is not a number"));
        }
        wit::Quantity::RunAmps(wit::RunCurrent { run, factor }) => Quantity::RunAmps { run: run as usize, factor },
    };
    Ok(RawMargin {
        field: cut(margin.field),
        name: cut(margin.name),
        measured: margin.measured,
        limit: margin.limit,
        unit: cut(margin.unit),
        source: cut(margin.source),
        tighter: describe::tighter(margin.tighter),
        passes: margin.passes,
        quantity,
        subject,
    })
}

fn take_finding(finding: wit::Finding, own_level: Level) -> Result<RawFinding, String> {
    let subject = cut(finding.subject);
    let finite = |what: &str, value: f64| {
        if value.is_finite() {
            Ok(value)
        } else {
            Err(format!("was refused: {what} of its finding on `{subject}` is {value}, not a number"))
        }
    };
    let measure = |what: &str, measure: Option<wit::Measure>| match measure {
        None => Ok::<_, String>(None),
        Some(measure) => Ok(Some(Measure { value: finite(what, measure.value)?, unit: cut(measure.unit) })),
    };
    Ok(RawFinding {
        level: finding.level.map_or(own_level, describe::level),
        measured: measure("`measured`", finding.measured)?,
        limit: measure("`limit`", finding.limit)?,
        work: finding
            .work
            .into_iter()
            .take(limits::LIST_ENTRIES)
            .map(|line| {
                let value = finite("a line of `work`", line.value)?;
                Ok(WorkLine { name: cut(line.name), value, unit: cut(line.unit), from: cut(line.source) })
            })
            .collect::<Result<_, String>>()?,
        related: bounded(finding.related),
        field: cut(finding.field),
        message: cut(finding.message),
        basis: describe::basis(finding.basis),
        help: cut(finding.help),
        subject,
    })
}

fn bounded(texts: Vec<String>) -> Vec<String> {
    texts.into_iter().take(limits::LIST_ENTRIES).map(cut).collect()
}
