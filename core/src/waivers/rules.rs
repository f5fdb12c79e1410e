//! The rules about waivers as `lintern rules` lists them.

use super::TOPIC;
use crate::engine::RuleDescription;
use crate::finding::Level;
use std::sync::LazyLock;

/// What can be wrong with a waiver.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Defect {
    /// Its last day is over, and the finding is still there.
    Expired,
    /// Its first day is still to come.
    Premature,
    /// It gives no reason.
    Unreasoned,
    /// It does not say who accepted the finding.
    Unapproved,
    /// It is for a rule whose findings can't be waived.
    Forbidden,
    /// There is nothing that it waives.
    Unused,
}

impl Defect {
    pub(super) const ALL: [Self; 6] =
        [Self::Expired, Self::Premature, Self::Unreasoned, Self::Unapproved, Self::Forbidden, Self::Unused];

    /// The second half of the rule's id.
    fn word(self) -> &'static str {
        match self {
            Self::Expired => "expired",
            Self::Premature => "premature",
            Self::Unreasoned => "unreasoned",
            Self::Unapproved => "unapproved",
            Self::Forbidden => "forbidden",
            Self::Unused => "unused",
        }
    }

    pub(super) fn rule(self) -> String {
        format!("{TOPIC}/{}", self.word())
    }

    fn title(self) -> &'static str {
        match self {
            Self::Expired => "A waiver has ended and its finding is still there",
            Self::Premature => "A waiver does not hold yet",
            Self::Unreasoned => "A waiver gives no reason",
            Self::Unapproved => "A waiver does not say who accepted the finding",
            Self::Forbidden => "A waiver is for a rule that can't be waived",
            Self::Unused => "A waiver waives nothing",
        }
    }

    pub(super) fn level(self) -> Level {
        match self {
            Self::Unapproved => Level::Reminder,
            Self::Expired | Self::Premature | Self::Unreasoned | Self::Forbidden | Self::Unused => Level::Advice,
        }
    }

    fn page(self) -> &'static str {
        match self {
            Self::Expired => include_str!("../../../rules/waivers/src/expired/doc.md"),
            Self::Premature => include_str!("../../../rules/waivers/src/premature/doc.md"),
            Self::Unreasoned => include_str!("../../../rules/waivers/src/unreasoned/doc.md"),
            Self::Unapproved => include_str!("../../../rules/waivers/src/unapproved/doc.md"),
            Self::Forbidden => include_str!("../../../rules/waivers/src/forbidden/doc.md"),
            Self::Unused => include_str!("../../../rules/waivers/src/unused/doc.md"),
        }
    }
}

/// The rules about waivers.
pub fn rules() -> &'static [RuleDescription] {
    static RULES: LazyLock<Vec<RuleDescription>> = LazyLock::new(|| {
        let describe = |defect: Defect| RuleDescription {
            id: defect.rule(),
            title: defect.title().to_owned(),
            level: defect.level(),
            // Else a waiver could excuse another, and so on.
            waivable: false,
            settings: Vec::new(),
            citations: Vec::new(),
            documentation: defect.page().to_owned(),
        };
        Defect::ALL.into_iter().map(describe).collect()
    });
    &RULES
}
