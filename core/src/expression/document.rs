//! The file as written.

use crate::plan::field::Field;
use crate::plan::read::{Map, Node};
use crate::repository::documents::plain_schema;
use schemars::JsonSchema;
use serde::Deserialize;

/// Defines mappings with the keys that they must have.
macro_rules! mappings {
    ($($(#[$meta:meta])* $name:ident [$($required:literal),*] { $($(#[$fmeta:meta])* $field:ident: $type:ty,)* })*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
            #[serde(default, rename_all = "kebab-case")]
            #[schemars(extend("required" = [$($required),*] as [&str; _]))]
            #[schemars(deny_unknown_fields)]
            pub(crate) struct $name { $($(#[$fmeta])* pub $field: $type,)* }
            impl Node for $name {
                const REQUIRED: &'static [&'static str] = &[$($required),*];
            }
        )*
    };
}

mappings! {
    /// A file of expressions: rules in CEL over a plan and what lintern computed from it.
    ExpressionsDoc ["expressions", "rules"] {
        /// Version of the format: 1.
        #[schemars(range(min = 1, max = 1), example = 1)]
        expressions: Field<u64>,
        /// The rules.
        rules: Field<Vec<Field<RuleDoc>>>,
    }
    /// A rule. It has either `require`, or `value` and `limit`.
    RuleDoc ["id", "title", "for", "message"] {
        /// Id of the rule: topic and defect.
        #[schemars(regex(pattern = "^[a-z0-9-]+/[a-z0-9-]+$"), example = &"house/long-pull")]
        id: Field<String>,
        /// The defect in a sentence.
        #[schemars(example = &"A run is longer than our crews pull in one piece")]
        title: Field<String>,
        /// Level of its findings; default `advice`.
        #[schemars(example = &"advice")]
        level: Field<LevelWord>,
        /// Whether plans may waive its findings; default true.
        #[schemars(example = true)]
        waivable: Field<bool>,
        /// What the rule looks at, one after the other.
        #[schemars(example = &"run")]
        r#for: Field<EntityWord>,
        /// Condition under which the rule looks at an element; without it, at all.
        #[schemars(schema_with = "plain_schema", example = &"run.method == 'direct-burial'")]
        r#where: Field<String>,
        /// Condition that must hold.
        #[schemars(schema_with = "plain_schema", example = &"has(luminaire.splice)")]
        require: Field<String>,
        /// Number that is held against `limit`.
        #[schemars(schema_with = "plain_schema", example = &"run.length_m")]
        value: Field<String>,
        /// Name of the setting that is the limit of `value`.
        #[schemars(example = &"longest")]
        limit: Field<String>,
        /// Settings of the rule, by name: small letters, digits and `-`.
        settings: Field<Map<SettingDoc>>,
        /// What a finding says; expressions stand in braces.
        #[schemars(example = &"{run.id} is {run.length_m:.1} m long; our crews pull {settings.longest} m")]
        message: Field<String>,
        /// What cures it; expressions stand in braces.
        #[schemars(example = &"put a junction on the way")]
        help: Field<String>,
        /// The key of the element that a finding points at.
        #[schemars(example = &"route")]
        field: Field<String>,
        /// The authority behind the rule; without it common practice.
        basis: Field<BasisDoc>,
        /// The page that `lintern explain` shows, in Markdown.
        #[schemars(example = &"# A run is longer than our crews pull in one piece")]
        page: Field<String>,
    }
    /// A setting of a rule.
    SettingDoc ["default"] {
        /// Its value where nothing is set: a number with its unit, a flag, or a text.
        #[schemars(schema_with = "plain_schema", example = &"60 m")]
        default: Field<String>,
        /// Which direction is stricter; only for a number.
        #[schemars(example = &"lower")]
        tighter: Field<TighterWord>,
        /// What it is, in a few words.
        #[schemars(example = &"longest run that we pull in one piece")]
        about: Field<String>,
    }
    /// The authority behind a rule.
    BasisDoc [] {
        /// Code, or common practice; default `practice`.
        #[schemars(example = &"practice")]
        kind: Field<KindWord>,
        /// The document.
        #[schemars(example = &"Fernhollow lighting standard")]
        document: Field<String>,
        /// Its edition.
        #[schemars(schema_with = "plain_schema", example = &"2023")]
        edition: Field<String>,
        /// Its section.
        #[schemars(schema_with = "plain_schema", example = &"4.2")]
        section: Field<String>,
    }
}

/// Defines enumerations.
macro_rules! words {
    ($($name:ident { $($variant:ident),+ })+) => {
        $(
            #[derive(Debug, Clone, Copy, Deserialize, JsonSchema)]
            #[serde(rename_all = "kebab-case")]
            pub(crate) enum $name { $($variant),+ }
            impl Node for $name {}
        )+
    };
}

words! {
    LevelWord { Violation, Advice, Reminder }
    EntityWord { Plan, Supply, Output, Junction, Luminaire, Run, Segment, Zone, Utility }
    TighterWord { Lower, Higher }
    KindWord { Practice, Code }
}
