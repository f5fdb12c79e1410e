//! Local amendments: limits that a county or a city has changed, in a small file that its contractors can share.
//!
//! ```yaml
//! amendments: 1
//! document: Fernhollow County Code
//! for: { country: US, region: US-OR, authority: Fernhollow County }
//! limits:
//!   - { rule: burial/shallow-cover, setting: minimum-cover, limit: 12 in, section: "15.04.310", date: 2026-01-01 }
//! ```
//!
//! It arrives with the plans and is as untrusted as they are: it can only give numbers to settings that a rule
//! describes, and every output names the limits that it changed.

use super::rules::plain_schema;
use crate::layout::Project;
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::{Field, Span};
use crate::plan::read::Node;
use crate::plan::scalar::Date;
use crate::plan::{de, yaml};
use schemars::JsonSchema;
use serde::Deserialize;

/// The version of the format that is read.
const FORMAT: u64 = 1;

/// A file of local amendments.
#[derive(Debug, Clone)]
pub struct AmendmentFile {
    /// Relative to the root of the repository with `/`.
    pub name: String,
    /// Its text; spans and diagnostics point into it.
    pub sources: Sources,
    /// What is wrong with it.
    pub diagnostics: Vec<Diagnostic>,
    /// The plans that it is for.
    pub applies: Applies,
    /// The document that it restates.
    pub document: String,
    /// Its limits.
    pub limits: Vec<AmendedLimit>,
}

/// The plans that a file of amendments is for: all that is named must be what the plan names.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Applies {
    /// Country, ISO 3166-1 alpha-2.
    pub country: Option<String>,
    /// State or province, ISO 3166-2.
    pub region: Option<String>,
    /// The authority having jurisdiction.
    pub authority: Option<String>,
}

/// A limit that an amendment gives.
#[derive(Debug, Clone, PartialEq)]
pub struct AmendedLimit {
    /// Id of the rule and where it stands.
    pub rule: (String, Span),
    /// Name of the rule's setting.
    pub setting: (String, Span),
    /// Its text: only the rule knows its unit.
    pub limit: (String, Span),
    /// Section of the document.
    pub section: Option<String>,
    /// The first day that it holds.
    pub date: Option<Date>,
}

/// Local amendments: limits that a county or a city has changed.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("required" = ["amendments", "document", "for", "limits"] as [&str; _]))]
pub(crate) struct AmendmentsDoc {
    /// Version of the format: 1.
    #[schemars(range(min = 1, max = 1), example = 1)]
    amendments: Field<u64>,
    /// The document that the file restates; findings cite it.
    #[schemars(example = &"Fernhollow County Code")]
    document: Field<String>,
    /// The plans that it is for: those that name under `project` all that is named here.
    r#for: Field<AppliesDoc>,
    /// The limits.
    limits: Field<Vec<Field<LimitDoc>>>,
}

/// Which plans amendments are for; at least one of the keys.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("minProperties" = 1))]
pub(crate) struct AppliesDoc {
    /// Country, ISO 3166-1 alpha-2.
    #[schemars(example = &"US")]
    country: Field<String>,
    /// State or province, ISO 3166-2.
    #[schemars(example = &"US-OR")]
    region: Field<String>,
    /// The authority having jurisdiction.
    #[schemars(example = &"Fernhollow County")]
    authority: Field<String>,
}

/// A limit that takes the place of the code's.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("required" = ["rule", "setting", "limit", "date"] as [&str; _]))]
pub(crate) struct LimitDoc {
    /// Id of the rule.
    #[schemars(regex(pattern = "^[a-z0-9-]+/[a-z0-9-]+$"), example = &"burial/shallow-cover")]
    rule: Field<String>,
    /// Name of the rule's setting; `lintern explain RULE` lists them.
    #[schemars(example = &"minimum-cover")]
    setting: Field<String>,
    /// The number with its unit.
    #[schemars(schema_with = "plain_schema", example = &"8 in")]
    limit: Field<String>,
    /// Section of the document.
    #[schemars(schema_with = "plain_schema", example = &"15.04.310")]
    section: Field<String>,
    /// The first day that it holds.
    date: Field<Date>,
}

impl Node for AmendmentsDoc {
    const REQUIRED: &'static [&'static str] = &["amendments", "document", "for", "limits"];
}
impl Node for AppliesDoc {}
impl Node for LimitDoc {
    const REQUIRED: &'static [&'static str] = &["rule", "setting", "limit", "date"];
}

/// Why an amendment does not hold for a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// It holds.
    Yes,
    /// The plan is elsewhere.
    No,
    /// The plan does not say what the amendment asks for: the key under `project`.
    Unsaid(&'static str),
}

impl Applies {
    /// Whether a plan is one of those.
    pub fn fit(&self, project: &Project) -> Fit {
        let same = |a: &str, b: &str| a.trim().eq_ignore_ascii_case(b.trim());
        let mut unsaid = None;
        for (key, wanted, said) in [
            ("country", &self.country, &project.country),
            ("region", &self.region, &project.region),
            ("authority", &self.authority, &project.authority),
        ] {
            match (wanted, said) {
                (Some(wanted), Some(said)) if !same(wanted, said) => return Fit::No,
                (Some(_), None) => unsaid = unsaid.or(Some(key)),
                _ => {}
            }
        }
        unsaid.map_or(Fit::Yes, Fit::Unsaid)
    }
}

/// Reads a file of amendments by its name for display and its bytes. What is wrong is recorded; nothing of a wrong file
/// is used.
pub fn read_amendments(name: &str, bytes: &[u8]) -> AmendmentFile {
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    let doc = yaml::parse(name, bytes, &mut sources, &mut errors)
        .and_then(|tree| de::read::<AmendmentsDoc>(&tree, &mut errors).value);
    let mut read = AmendmentFile {
        name: name.to_owned(),
        sources,
        diagnostics: Vec::new(),
        applies: Applies::default(),
        document: String::new(),
        limits: Vec::new(),
    };
    if let Some(doc) = doc {
        take(&doc, &mut read, &mut errors);
    }
    read.diagnostics = errors.into_sorted();
    if !read.diagnostics.is_empty() {
        read.limits.clear();
    }
    read
}

fn take(doc: &AmendmentsDoc, read: &mut AmendmentFile, errors: &mut Diagnostics) {
    if let Some(version) = doc.amendments.get().filter(|version| **version != FORMAT) {
        errors.push(|| {
            Diagnostic::new(doc.amendments.span, format!("format {version} of amendments is not known"))
                .help(format!("this version reads format {FORMAT}"))
        });
    }
    if let Some(applies) = doc.r#for.get() {
        read.applies = Applies {
            country: applies.country.cloned(),
            region: applies.region.cloned(),
            authority: applies.authority.cloned(),
        };
        if read.applies == Applies::default() {
            errors.push(|| {
                Diagnostic::new(doc.r#for.span, "the amendments don't say where they hold")
                    .help("name at least one of `country`, `region` and `authority` as plans name them")
            });
        }
    }
    read.document = doc.document.cloned().unwrap_or_default();
    let limits = doc.limits.get().map_or(&[][..], Vec::as_slice).iter().filter_map(Field::get);
    read.limits.extend(limits.filter_map(|limit| {
        let text = |field: &Field<String>| Some((field.cloned()?, field.span?));
        Some(AmendedLimit {
            rule: text(&limit.rule)?,
            setting: text(&limit.setting)?,
            limit: text(&limit.limit)?,
            section: limit.section.cloned(),
            date: limit.date.cloned(),
        })
    }));
}
