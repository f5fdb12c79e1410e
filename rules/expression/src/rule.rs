//! One rule: its texts checked, then run on a plan.

use crate::check::{Names, SettingType, check, nearest};
use crate::eval::{Scope, Source, Stop, Value, eval};
use crate::schema::{self, At, Kind};
use crate::source::{self, Mistake as Told, Part};
use crate::syntax::{Mistake, Span};
use crate::template::{Template, template};
use crate::tree::{Node, NodeKind};
use crate::types::{Type, Unit};
use lintern_rule::outcome::BasisKind;
use lintern_rule::prelude::*;

/// A checked rule. It lives as long as the module's instance, which serves one plan.
pub struct Compiled {
    /// What lintern sees of it.
    pub rule: Rule,
    kind: Kind,
    applies: Option<Expression>,
    test: Test,
    message: Template,
    help: Template,
    field: &'static str,
    basis: Option<Basis>,
    settings: Vec<(&'static str, &'static str)>,
}

struct Expression {
    text: String,
    node: Node,
}

enum Test {
    Require(Expression),
    Compare(Comparing),
}

/// A number against the setting that limits it.
struct Comparing {
    value: Expression,
    /// Index of the setting.
    limit: usize,
    name: &'static str,
    default: f64,
    unit: &'static str,
    tighter: Tighter,
    source: String,
}

/// For the rest of the instance: rules describe themselves by texts that live as long as the program.
fn keep(text: &str) -> &'static str {
    Box::leak(text.to_owned().into_boxed_str())
}

fn kind(entity: source::Entity) -> Kind {
    match entity {
        source::Entity::Plan => Kind::Plan,
        source::Entity::Supply => Kind::Supply,
        source::Entity::Output => Kind::Output,
        source::Entity::Junction => Kind::Junction,
        source::Entity::Luminaire => Kind::Luminaire,
        source::Entity::Run => Kind::Run,
        source::Entity::Segment => Kind::Segment,
        source::Entity::Zone => Kind::Zone,
        source::Entity::Utility => Kind::Utility,
    }
}

/// The name by which expressions know a setting.
fn snake(name: &str) -> String {
    name.replace('-', "_")
}

fn setting_types(settings: &[source::Setting]) -> Vec<SettingType> {
    let of = |setting: &source::Setting| match setting.default {
        source::SettingValue::Number(_) => Type::Number(Unit::known(&setting.unit)),
        source::SettingValue::Flag(_) => Type::Flag,
        source::SettingValue::Text(_) => Type::Text(None),
    };
    settings.iter().map(|setting| SettingType { name: snake(&setting.name), of: of(setting) }).collect()
}

/// Collects the mistakes of a rule, each with the text that it is in.
struct Mistakes(Vec<(Part, Mistake)>);

impl Mistakes {
    fn take<T>(&mut self, part: Part, result: Result<T, Vec<Mistake>>) -> Option<T> {
        result.map_err(|mistakes| self.0.extend(mistakes.into_iter().map(|mistake| (part, mistake)))).ok()
    }

    fn expression(
        &mut self,
        part: Part,
        text: &str,
        names: Names<'_>,
        wanted: &Type,
        help: &str,
    ) -> Option<(Expression, Type)> {
        let checked = self.take(part, check(text, names))?;
        let fits = matches!((wanted, &checked.of), (Type::Flag, Type::Flag) | (Type::Number(_), Type::Number(_)));
        if !fits {
            let wanted = if *wanted == Type::Flag { "true or false" } else { "a number" };
            let message = format!("this has to be {wanted}, and it is {}", checked.of);
            self.0.push((part, Mistake::new(checked.node.span, message).help(help)));
            return None;
        }
        Some((Expression { text: text.to_owned(), node: checked.node }, checked.of))
    }
}

/// Checks the texts of a rule.
pub fn compile(
    rule: &source::Rule,
    check: fn(&Input, &Settings, &mut Report),
) -> Result<Compiled, Vec<(Part, Mistake)>> {
    let types = setting_types(&rule.settings);
    let names = Names { kind: kind(rule.entity), settings: &types };
    let mut mistakes = Mistakes(Vec::new());
    let applies = rule.where_.as_deref().map(|text| {
        let help = "write a condition, such as `run.method == \"direct-burial\"`";
        mistakes.expression(Part::Where, text, names, &Type::Flag, help)
    });
    let test = match &rule.test {
        source::Test::Require(text) => {
            let help = "write a condition; to hold a number against a limit, use `value` and `limit`";
            mistakes
                .expression(Part::Require, text, names, &Type::Flag, help)
                .map(|(expression, _)| Test::Require(expression))
        }
        source::Test::Compare(comparison) => comparing(rule, comparison, names, &mut mistakes).map(Test::Compare),
    };
    let message = mistakes.take(Part::Message, template(&rule.message, names));
    let help = mistakes.take(Part::Help, template(&rule.help, names));
    match (applies, test, message, help) {
        (applies, Some(test), Some(message), Some(help)) if mistakes.0.is_empty() => {
            let applies = applies.flatten().map(|(expression, _)| expression);
            Ok(compiled(rule, check, names.kind, applies, test, message, help))
        }
        _ => Err(mistakes.0),
    }
}

fn comparing(
    rule: &source::Rule,
    comparison: &source::Comparison,
    names: Names<'_>,
    mistakes: &mut Mistakes,
) -> Option<Comparing> {
    let help = "write a number, such as `run.length_m`; for a condition, use `require`";
    let value = mistakes.expression(Part::Value, &comparison.value, names, &Type::number(""), help);
    let wanted = snake(&comparison.limit);
    let whole = Span::new(0, comparison.limit.len());
    let Some(limit) = rule.settings.iter().position(|setting| snake(&setting.name) == wanted) else {
        let known: Vec<&str> = rule.settings.iter().map(|setting| setting.name.as_str()).collect();
        let mistake = Mistake::new(whole, format!("this rule has no setting `{}`", comparison.limit));
        let help = match nearest(&comparison.limit, known.iter().copied()) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "`limit` names a setting of the rule; declare it under `settings:`".to_owned(),
        };
        mistakes.0.push((Part::Limit, mistake.help(help)));
        return None;
    };
    let setting = &rule.settings[limit];
    let tighter = tighter(setting.tighter);
    let source::SettingValue::Number(default) = setting.default else {
        mistakes.0.push((Part::Limit, Mistake::new(whole, "a limit is a number with its unit")));
        return None;
    };
    if tighter == Tighter::Neither {
        let mistake =
            Mistake::new(whole, format!("setting `{}` does not say which direction is stricter", setting.name));
        let help = "add `tighter: lower` for a greatest value, `tighter: higher` for a least one";
        mistakes.0.push((Part::Limit, mistake.help(help)));
        return None;
    }
    let (value, of) = value?;
    if let Type::Number(unit) = of
        && unit.joined(&Unit::known(&setting.unit)).is_none()
    {
        let Unit::Known(unit) = unit else { return None };
        let shown = |unit: &str| if unit.is_empty() { "a plain number".to_owned() } else { format!("in {unit}") };
        let message = format!(
            "value and limit need one unit: the value is {}, `{}` is {}",
            shown(&unit),
            setting.name,
            shown(&setting.unit)
        );
        let mistake = Mistake::new(value.node.span, message);
        let help = in_unit(&value, &unit, &setting.unit)
            .map_or_else(|| format!("give the setting {}", shown(&unit)), |way| format!("write `{way}`"));
        mistakes.0.push((Part::Value, mistake.help(help)));
        return None;
    }
    let name = if setting.about.is_empty() { setting.name.replace('-', " ") } else { setting.about.clone() };
    let source = authority(rule);
    Some(Comparing { value, limit, name: keep(&name), default, unit: keep(&setting.unit), tighter, source })
}

/// The same field in the unit of the setting.
fn in_unit(value: &Expression, unit: &str, wanted: &str) -> Option<String> {
    let NodeKind::Field { of, kind, field } = &value.node.kind else { return None };
    let stem = field.name.strip_suffix(unit)?.strip_suffix('_')?;
    let other = kind.field(&format!("{stem}_{wanted}"))?;
    Some(format!("{}.{}", &value.text[of.span.from..of.span.to], other.name))
}

/// Where the number of a limit stands.
fn authority(rule: &source::Rule) -> String {
    let Some(basis) = &rule.basis else { return "house rule".to_owned() };
    let mut text = basis.document.clone().unwrap_or_else(|| "house rule".to_owned());
    if let Some(edition) = &basis.edition {
        text.push_str(&format!(", edition {edition}"));
    }
    if let Some(section) = &basis.section {
        text.push_str(&format!(", {section}"));
    }
    text
}

fn tighter(tighter: source::Tighter) -> Tighter {
    match tighter {
        source::Tighter::Smaller => Tighter::Lower,
        source::Tighter::Larger => Tighter::Higher,
        source::Tighter::Neither => Tighter::Neither,
    }
}

fn compiled(
    rule: &source::Rule,
    check: fn(&Input, &Settings, &mut Report),
    kind: Kind,
    applies: Option<Expression>,
    test: Test,
    message: Template,
    help: Template,
) -> Compiled {
    let settings: Vec<Setting> = rule.settings.iter().map(setting).collect();
    let basis = rule.basis.as_ref().map(|basis| Basis {
        kind: if basis.code { BasisKind::Code } else { BasisKind::Practice },
        document: basis.document.as_deref().map(keep),
        edition: basis.edition.as_deref().map(keep),
        section: basis.section.as_deref().map(keep),
    });
    let field = match (rule.field.as_str(), &test) {
        ("", Test::Compare(comparing)) => keep(&route(&comparing.value.node).unwrap_or_default()),
        (field, _) => keep(field),
    };
    Compiled {
        kind,
        applies,
        test,
        message,
        help,
        field,
        basis,
        settings: settings.iter().map(|setting| (setting.name, setting.unit)).collect(),
        rule: Rule {
            id: keep(&rule.id),
            title: keep(&rule.title),
            level: match rule.level {
                source::Level::Violation => Level::Violation,
                source::Level::Advice => Level::Advice,
                source::Level::Reminder => Level::Reminder,
            },
            waivable: rule.waivable,
            settings: Vec::leak(settings),
            citations: basis.map_or(&[], |basis| Vec::leak(citations(basis))),
            doc: keep(&rule.page),
            check,
        },
    }
}

fn setting(setting: &source::Setting) -> Setting {
    let (name, about) = (keep(&setting.name), keep(&setting.about));
    match &setting.default {
        source::SettingValue::Number(default) => {
            Setting::number(name, *default, keep(&setting.unit), tighter(setting.tighter), about)
        }
        source::SettingValue::Flag(default) => Setting::flag(name, *default, about),
        source::SettingValue::Text(default) => Setting::text(name, keep(default), about),
    }
}

/// A house rule has one authority under every code.
fn citations(basis: Basis) -> Vec<Citation> {
    let codes = [Code::Nec2017, Code::Nec2020, Code::Nec2023, Code::Nec2026, Code::Iec60364, Code::Bs7671];
    codes.into_iter().map(|code| Citation::confirmed(code, basis)).collect()
}

/// The route of a field that the plan writes, from the element.
fn route(node: &Node) -> Option<String> {
    let NodeKind::Field { of, kind, field } = &node.kind else { return None };
    let key = Some(field.plan).filter(|key| !key.is_empty())?;
    match (kind, &of.kind) {
        (_, NodeKind::Element) => Some(key.to_owned()),
        // Their keys are from the element.
        (Kind::Feed | Kind::Excavation, _) => route(of).map(|_| key.to_owned()),
        (Kind::LuminaireType | Kind::SupplyType | Kind::Cable | Kind::Splice, _) => {
            Some(format!("{}.{key}", route(of)?))
        }
        _ => None,
    }
}

/// What the network decides, where the value is just that.
fn quantity(kind: Kind, node: &Node, at: At) -> Quantity {
    let NodeKind::Field { of, field, .. } = &node.kind else { return Quantity::Other };
    if !matches!(of.kind, NodeKind::Element) {
        return Quantity::Other;
    }
    match (kind, field.name) {
        (Kind::Luminaire, "volts") => Quantity::LuminaireVolts(at[0]),
        (Kind::Luminaire, "no_load_volts") => Quantity::LuminaireNoLoadVolts(at[0]),
        (Kind::Luminaire, "drop_percent") => Quantity::LuminaireDropPercent(at[0]),
        (Kind::Run, "amps") => Quantity::RunAmps(lintern_rule::RunCurrent { run: at[0], factor: 1.0 }),
        _ => Quantity::Other,
    }
}

impl Compiled {
    /// Judges every element of its kind.
    pub fn run(&self, input: &Input, settings: &Settings, report: &mut Report) {
        let limit = self.limit(settings);
        let values: Vec<Value<'_>> = self
            .settings
            .iter()
            .zip(self.rule.settings)
            .map(|((name, _), described)| match described.default {
                lintern_rule::SettingDefault::Flag(_) => Value::Flag(settings.flag(name)),
                lintern_rule::SettingDefault::Text(_) => Value::Text(settings.text(name).into()),
                _ => Value::Number(settings.number(name)),
            })
            .collect();
        let mut values = values;
        if let (Some(limit), Test::Compare(comparing)) = (&limit, &self.test) {
            values[comparing.limit] = Value::Number(limit.value());
        }
        for at in schema::elements(input, self.kind) {
            let mut scope = Scope { input, kind: self.kind, element: at, settings: &values, locals: Vec::new() };
            self.judge(at, limit.as_ref(), &mut scope, report);
        }
    }

    fn limit(&self, settings: &Settings) -> Option<Limit> {
        let Test::Compare(comparing) = &self.test else { return None };
        let setting = self.settings[comparing.limit].0;
        let limit =
            Limit::new(comparing.name, comparing.default, comparing.unit, comparing.tighter, comparing.source.clone());
        Some(limit.given(settings, setting))
    }

    fn judge(&self, at: At, limit: Option<&Limit>, scope: &mut Scope<'_>, report: &mut Report) {
        let subject = schema::id(scope.input, self.kind, at);
        if let Some(applies) = &self.applies {
            match applies.value(scope) {
                Ok(Value::Flag(true)) => {}
                Ok(_) => return,
                Err(Stop(missing)) => return report.undetermined(subject, missing),
            }
        }
        match (&self.test, limit) {
            (Test::Compare(comparing), Some(limit)) => match comparing.value.value(scope) {
                Ok(Value::Number(number)) => {
                    let quantity = quantity(self.kind, &comparing.value.node, at);
                    let compared = limit.compare(number).field(self.field).of(quantity);
                    if compared.passes() {
                        report.passes(subject, &compared);
                    } else {
                        self.finding(subject, Some(&compared), scope, report);
                    }
                }
                Ok(_) => report.undetermined(subject, ["a number"]),
                Err(Stop(missing)) => report.undetermined(subject, missing),
            },
            (Test::Require(require), _) => match require.value(scope) {
                Ok(Value::Flag(true)) => report.checked(subject),
                Ok(_) => self.finding(subject, None, scope, report),
                Err(Stop(missing)) => report.undetermined(subject, missing),
            },
            (Test::Compare(_), None) => report.undetermined(subject, ["its limit"]),
        }
    }

    fn finding(&self, subject: String, compared: Option<&Comparison<'_>>, scope: &mut Scope<'_>, report: &mut Report) {
        let mut finding =
            report.finding(subject).field(self.field).message(self.message.fill(scope)).help(self.help.fill(scope));
        if let Some(basis) = self.basis {
            finding = finding.basis(basis);
        }
        if let Some(compared) = compared {
            finding = finding.breaks(compared);
        }
        finding.add();
    }
}

impl Expression {
    fn value<'a>(&self, scope: &mut Scope<'a>) -> Result<Value<'a>, Stop> {
        eval(&self.node, Source(&self.text), scope)
    }
}

/// A mistake as lintern is told of it.
pub fn told(rule: u32, part: Part, mistake: Mistake) -> Told {
    let byte = |byte: usize| u32::try_from(byte).unwrap_or(u32::MAX);
    Told {
        rule,
        part,
        from: byte(mistake.span.from),
        to: byte(mistake.span.to),
        message: mistake.message,
        help: mistake.help,
    }
}
