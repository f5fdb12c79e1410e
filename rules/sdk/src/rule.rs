//! What a rule says of itself, as constants.

use crate::outcome::{self, Confidence, RuleDescription, SettingValue};
use crate::{Code, Input, Level, Report, Settings};

pub use crate::outcome::BasisKind;

/// A rule: what it says of itself, and its check.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// `topic/defect`.
    pub id: &'static str,
    /// What is wrong when it finds something, in one line.
    pub title: &'static str,
    /// Level of its findings unless a finding says otherwise.
    pub level: Level,
    /// Whether a plan may waive its findings.
    pub waivable: bool,
    /// Its settings.
    pub settings: &'static [Setting],
    /// Its authority by code; none for a code means common practice there.
    pub citations: &'static [Citation],
    /// Its page in Markdown: `include_str!("doc.md")`.
    pub doc: &'static str,
    /// The check.
    pub check: fn(&Input, &Settings, &mut Report),
}

/// A setting of a rule.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// Its name.
    pub name: &'static str,
    /// What it means.
    pub summary: &'static str,
    /// Unit of a number; empty for other values.
    pub unit: &'static str,
    /// Its value where the company sets none.
    pub default: SettingDefault,
    /// Which direction is stricter.
    pub tighter: Tighter,
}

/// The default of a setting.
#[derive(Debug, Clone, Copy)]
pub enum SettingDefault {
    /// A number in the setting's unit.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    /// A text.
    Text(&'static str),
    /// A number that stands in the rule's own table.
    Table,
}

/// Which direction of a setting is stricter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tighter {
    /// A lower number.
    Lower,
    /// A higher number.
    Higher,
    /// Neither, or it cannot be said.
    Neither,
}

impl Tighter {
    pub(crate) fn describe(self) -> outcome::Tighter {
        match self {
            Self::Lower => outcome::Tighter::Smaller,
            Self::Higher => outcome::Tighter::Larger,
            Self::Neither => outcome::Tighter::Neither,
        }
    }

    /// Whether the first number is stricter than the second.
    pub(crate) fn is_stricter(self, value: f64, than: f64) -> bool {
        match self {
            Self::Lower => value < than,
            Self::Higher => value > than,
            Self::Neither => false,
        }
    }
}

impl Setting {
    /// A number.
    pub const fn number(
        name: &'static str,
        default: f64,
        unit: &'static str,
        tighter: Tighter,
        summary: &'static str,
    ) -> Self {
        Self { name, summary, unit, default: SettingDefault::Number(default), tighter }
    }

    /// A limit whose number stands in the rule's own table, since it differs by code, place or state.
    /// [`Limit::given`](crate::Limit::given) reads what an amendment or the company sets.
    pub const fn table(name: &'static str, unit: &'static str, tighter: Tighter, summary: &'static str) -> Self {
        Self { name, summary, unit, default: SettingDefault::Table, tighter }
    }

    /// Yes or no.
    pub const fn flag(name: &'static str, default: bool, summary: &'static str) -> Self {
        Self { name, summary, unit: "", default: SettingDefault::Flag(default), tighter: Tighter::Neither }
    }

    /// A text.
    pub const fn text(name: &'static str, default: &'static str, summary: &'static str) -> Self {
        Self { name, summary, unit: "", default: SettingDefault::Text(default), tighter: Tighter::Neither }
    }

    fn describe(&self) -> outcome::SettingDescription {
        outcome::SettingDescription {
            name: self.name.to_owned(),
            summary: self.summary.to_owned(),
            unit: self.unit.to_owned(),
            default: self.default.value(),
            tighter: self.tighter.describe(),
        }
    }
}

impl SettingDefault {
    fn value(self) -> Option<SettingValue> {
        match self {
            Self::Number(number) => Some(SettingValue::Number(number)),
            Self::Flag(flag) => Some(SettingValue::Flag(flag)),
            Self::Text(text) => Some(SettingValue::Text(text.to_owned())),
            Self::Table => None,
        }
    }
}

/// The authority behind a finding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Basis {
    /// Code or practice.
    pub kind: BasisKind,
    /// The document, such as `NFPA 70`.
    pub document: Option<&'static str>,
    /// Its edition.
    pub edition: Option<&'static str>,
    /// Its section; `None` where it is not confirmed for the edition.
    pub section: Option<&'static str>,
}

impl Basis {
    /// Common practice without a document.
    pub const PRACTICE: Self = Self { kind: BasisKind::Practice, document: None, edition: None, section: None };

    /// A section of a code or a listing standard.
    pub const fn code(document: &'static str, edition: &'static str, section: &'static str) -> Self {
        Self { kind: BasisKind::Code, document: Some(document), edition: Some(edition), section: Some(section) }
    }

    /// Common practice as a document has it.
    pub const fn practice(document: &'static str, edition: &'static str) -> Self {
        Self { kind: BasisKind::Practice, document: Some(document), edition: Some(edition), section: None }
    }

    pub(crate) fn describe(&self) -> outcome::Basis {
        outcome::Basis {
            kind: self.kind,
            document: self.document.map(str::to_owned),
            edition: self.edition.map(str::to_owned),
            section: self.section.map(str::to_owned),
        }
    }
}

/// The authority of a rule under one code.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Citation {
    /// The code of the plan.
    pub code: Code,
    /// What is cited then.
    pub basis: Basis,
    /// Whether the section was confirmed for the edition or is from memory. A section from memory
    /// stays out of findings.
    pub confidence: Confidence,
}

impl Citation {
    /// A section that was confirmed for the edition.
    pub const fn confirmed(code: Code, basis: Basis) -> Self {
        Self { code, basis, confidence: Confidence::Confirmed }
    }

    /// A section from memory.
    pub const fn from_memory(code: Code, basis: Basis) -> Self {
        Self { code, basis, confidence: Confidence::Memory }
    }

    /// A section of NFPA 70 in the edition of `code`.
    ///
    /// # Panics
    /// At compile time, when `code` is no edition of NFPA 70.
    pub const fn nec(code: Code, section: &'static str, confidence: Confidence) -> Self {
        let edition = match code {
            Code::Nec2017 => "2017",
            Code::Nec2020 => "2020",
            Code::Nec2023 => "2023",
            Code::Nec2026 => "2026",
            Code::Iec60364 | Code::Bs7671 => panic!("not an edition of NFPA 70"),
        };
        Self { code, basis: Basis::code("NFPA 70", edition, section), confidence }
    }
}

impl Citation {
    /// A code that has such a requirement, in a section that is not confirmed for its edition.
    pub const fn unconfirmed(code: Code, document: &'static str, edition: Option<&'static str>) -> Self {
        let basis = Basis { kind: BasisKind::Code, document: Some(document), edition, section: None };
        Self { code, basis, confidence: Confidence::Confirmed }
    }
}

impl Rule {
    /// The authority of this rule under a code: its citation, or common practice. A section that is
    /// only from memory is left out.
    pub fn basis(&self, code: Option<Code>) -> Basis {
        match self.citations.iter().find(|citation| Some(citation.code) == code) {
            None => Basis::PRACTICE,
            Some(Citation { basis, confidence: Confidence::Confirmed, .. }) => *basis,
            Some(Citation { basis, confidence: Confidence::Memory, .. }) => Basis { section: None, ..*basis },
        }
    }

    pub(crate) fn describe(&self) -> RuleDescription {
        RuleDescription {
            id: self.id.to_owned(),
            title: self.title.to_owned(),
            level: self.level,
            waivable: self.waivable,
            settings: self.settings.iter().map(Setting::describe).collect(),
            citations: self
                .citations
                .iter()
                .map(|citation| outcome::Citation {
                    code: citation.code,
                    basis: citation.basis.describe(),
                    confidence: citation.confidence,
                })
                .collect(),
            documentation: self.doc.to_owned(),
        }
    }
}
