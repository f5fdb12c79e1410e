//! A limit and where its number comes from: the code, the state or country, a local amendment, the company.

use crate::comparison::Comparison;
use crate::outcome::{self, AppliedLimit, Layer, LimitLayer};
use crate::{Basis, Settings, Tighter};
use std::borrow::Cow;

/// A limit in the making, layer by layer.
///
/// A region and a local amendment replace the number before them, since they are law. A company's
/// number counts where it is stricter; a looser one only with a reason, which every output shows, or
/// where the number before it is the rule's own and rests on practice alone.
#[derive(Debug, Clone)]
pub struct Limit {
    name: Cow<'static, str>,
    unit: Cow<'static, str>,
    tighter: Tighter,
    own: Number,
    /// What came after the rule's own number, in order.
    later: Vec<Number>,
    settings: Vec<&'static str>,
    /// Which of the later numbers governs; the own one where none does.
    governing: Option<usize>,
    /// The plan itself states it, so that there are no layers to explain.
    stated: bool,
    /// The authority of the governing number where it is not that of the rule.
    basis: Option<outcome::Basis>,
}

/// The number of a layer.
#[derive(Debug, Clone)]
struct Number {
    layer: Layer,
    value: f64,
    source: Cow<'static, str>,
}

impl Limit {
    /// The number of the code or of common practice, with where it stands, such as `Table 300.5, column 5`.
    pub fn new(
        name: impl Into<Cow<'static, str>>,
        value: f64,
        unit: impl Into<Cow<'static, str>>,
        tighter: Tighter,
        source: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self {
            name: name.into(),
            unit: unit.into(),
            tighter,
            own: Number { layer: Layer::Code, value, source: source.into() },
            later: Vec::new(),
            settings: Vec::new(),
            governing: None,
            stated: false,
            basis: None,
        }
    }

    /// A number that the plan states, such as a maker's limit, with where it stands: `` `input.min` of type `well-6` ``.
    pub fn stated(
        name: impl Into<Cow<'static, str>>,
        value: f64,
        unit: impl Into<Cow<'static, str>>,
        tighter: Tighter,
        source: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self { stated: true, ..Self::new(name, value, unit, tighter, source) }
    }

    /// Holds a number, in the unit of the limit, against it.
    pub fn compare(&self, measured: f64) -> Comparison<'_> {
        Comparison::new(self, measured)
    }

    /// The number of the state or the country, which replaces the one before.
    #[must_use]
    pub fn region(mut self, value: f64, source: impl Into<Cow<'static, str>>, basis: Basis) -> Self {
        self.governing = Some(self.later.len());
        self.later.push(Number { layer: Layer::Region, value, source: source.into() });
        self.basis = Some(basis.describe());
        self
    }

    /// What a local amendment and the company set by a setting of this rule, in the same unit.
    ///
    /// # Panics
    /// When the rule describes no such number, or in another unit.
    #[must_use]
    pub fn given(mut self, settings: &Settings, name: &str) -> Self {
        let described = settings.described(name);
        let unit = described.unit;
        assert!(unit == self.unit, "setting `{name}` is in `{unit}` and the limit in `{}`", self.unit);
        self.settings.push(described.name);
        for (setting, value) in settings.numbers(name) {
            let own_practice = self.layer() == Layer::Code && settings.is_practice();
            if setting.replaces || own_practice || self.tighter.is_stricter(value, self.value()) {
                self.governing = Some(self.later.len());
                self.basis = Some(setting.basis.clone());
            }
            self.later.push(Number { layer: setting.layer, value, source: setting.source.clone().into() });
        }
        self
    }

    fn governing(&self) -> &Number {
        self.governing.and_then(|later| self.later.get(later)).unwrap_or(&self.own)
    }

    /// The number that governs.
    pub fn value(&self) -> f64 {
        self.governing().value
    }

    /// Its unit.
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// What it limits.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Where the number that governs comes from.
    pub fn source(&self) -> &str {
        &self.governing().source
    }

    /// The layer that governs.
    pub fn layer(&self) -> Layer {
        self.governing().layer
    }

    /// Who asks for the number, for a message: `practice` where the rule's own number governs.
    pub fn asks(&self, practice: &'static str) -> &'static str {
        match self.layer() {
            Layer::Code => practice,
            Layer::Region => "the law there asks for",
            Layer::Local => "the local amendment asks for",
            Layer::House => "the company asks for",
        }
    }

    /// Which direction is stricter.
    pub fn tighter(&self) -> Tighter {
        self.tighter
    }

    /// Whether there are layers to explain.
    pub(crate) fn has_layers(&self) -> bool {
        !self.stated
    }

    /// The authority of the number that governs; none where it is that of the rule.
    pub(crate) fn basis(&self) -> Option<&outcome::Basis> {
        self.basis.as_ref()
    }

    pub(crate) fn applied(&self, subject: String) -> AppliedLimit {
        let layer = |number: &Number| LimitLayer {
            layer: number.layer,
            value: number.value,
            source: number.source.as_ref().to_owned(),
        };
        AppliedLimit {
            name: self.name.as_ref().to_owned(),
            unit: self.unit.as_ref().to_owned(),
            tighter: self.tighter.describe(),
            settings: self.settings.iter().map(|name| (*name).to_owned()).collect(),
            subjects: vec![subject],
            layers: std::iter::once(&self.own).chain(&self.later).map(layer).collect(),
            governing: self.governing.map_or(0, |later| u32::try_from(later + 1).unwrap_or(u32::MAX)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outcome::{BasisKind, Confidence, SettingGiven, SettingValue};
    use crate::{Citation, Code, Input, Level, Report, Rule, Setting};

    fn nothing(_: &Input, _: &Settings, _: &mut Report) {}

    const RULE: Rule = Rule {
        id: "t/r",
        title: "",
        level: Level::Advice,
        waivable: true,
        settings: &[Setting::table("minimum", "in", Tighter::Higher, "")],
        citations: &[Citation::nec(Code::Nec2023, "300.5", Confidence::Confirmed)],
        doc: "",
        check: nothing,
    };

    const PRACTICE: Rule = Rule { citations: &[], ..RULE };

    fn given(layer: Layer, value: f64, replaces: bool) -> SettingGiven {
        let kind = if layer == Layer::Local { BasisKind::Code } else { BasisKind::Practice };
        let basis = outcome::Basis { kind, document: None, edition: None, section: None };
        SettingGiven {
            name: "minimum".to_owned(),
            value: SettingValue::Number(value),
            layer,
            source: "x".to_owned(),
            replaces,
            basis,
        }
    }

    fn value_of(rule: &'static Rule, settings: &[SettingGiven]) -> (f64, Layer) {
        let limit = Limit::new("cover", 6.0, "in", Tighter::Higher, "Table 300.5");
        let limit = limit.given(&Settings::new(rule, settings), "minimum");
        (limit.value(), limit.layer())
    }

    fn value(settings: &[SettingGiven]) -> (f64, Layer) {
        value_of(&RULE, settings)
    }

    #[test]
    fn a_company_loosens_practice_freely_and_an_amendment_only_with_a_reason() {
        let house = || given(Layer::House, 4.0, false);
        assert_eq!(value_of(&PRACTICE, &[house()]), (4.0, Layer::House));
        assert_eq!(value_of(&PRACTICE, &[given(Layer::Local, 8.0, true), house()]), (8.0, Layer::Local));
    }

    #[test]
    fn a_company_tightens_and_an_amendment_replaces() {
        assert_eq!(value(&[]), (6.0, Layer::Code));
        assert_eq!(value(&[given(Layer::House, 8.0, false)]), (8.0, Layer::House));
        assert_eq!(value(&[given(Layer::House, 4.0, false)]), (6.0, Layer::Code));
        assert_eq!(value(&[given(Layer::House, 4.0, true)]), (4.0, Layer::House));
        assert_eq!(value(&[given(Layer::Local, 4.0, true)]), (4.0, Layer::Local));
        assert_eq!(value(&[given(Layer::Local, 12.0, true), given(Layer::House, 8.0, false)]), (12.0, Layer::Local));
        assert_eq!(value(&[given(Layer::Local, 4.0, true), given(Layer::House, 5.0, false)]), (5.0, Layer::House));
    }
}
