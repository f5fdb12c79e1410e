//! The file as written.

use crate::plan::field::Field;
use crate::plan::read::{Map, Node};
use serde::Deserialize;

/// Defines mappings with the keys that they must have.
macro_rules! mappings {
    ($($(#[$meta:meta])* $name:ident [$($required:literal),*] { $($field:ident: $type:ty,)* })*) => {
        $(
            $(#[$meta])*
            #[derive(Debug, Clone, Default, Deserialize)]
            #[serde(default, rename_all = "kebab-case")]
            pub(super) struct $name { $(pub $field: $type,)* }
            impl Node for $name {
                const REQUIRED: &'static [&'static str] = &[$($required),*];
            }
        )*
    };
}

mappings! {
    ExpressionsDoc ["expressions", "rules"] {
        expressions: Field<u64>,
        rules: Field<Vec<Field<RuleDoc>>>,
    }
    RuleDoc ["id", "title", "for", "message"] {
        id: Field<String>,
        title: Field<String>,
        level: Field<LevelWord>,
        waivable: Field<bool>,
        r#for: Field<EntityWord>,
        r#where: Field<String>,
        require: Field<String>,
        value: Field<String>,
        limit: Field<String>,
        settings: Field<Map<SettingDoc>>,
        message: Field<String>,
        help: Field<String>,
        field: Field<String>,
        basis: Field<BasisDoc>,
        page: Field<String>,
    }
    SettingDoc ["default"] {
        default: Field<String>,
        tighter: Field<TighterWord>,
        about: Field<String>,
    }
    BasisDoc [] {
        kind: Field<KindWord>,
        document: Field<String>,
        edition: Field<String>,
        section: Field<String>,
    }
}

/// Defines enumerations.
macro_rules! words {
    ($($name:ident { $($variant:ident),+ })+) => {
        $(
            #[derive(Debug, Clone, Copy, Deserialize)]
            #[serde(rename_all = "kebab-case")]
            pub(super) enum $name { $($variant),+ }
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
