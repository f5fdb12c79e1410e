//! The records of a plan by name, and the stage of the work that their dates show.

use lintern_rule::Input;
use lintern_rule::plan::{WorkRecord, WorkRecords};

/// A kind of record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    MockUp,
    Test,
    AsBuilt,
    Commissioning,
    Labels,
    CutSheets,
    Maintenance,
}

impl Kind {
    /// Every kind, in the order of the plan's schema.
    pub const ALL: [Self; 7] = [
        Self::MockUp,
        Self::Test,
        Self::AsBuilt,
        Self::Commissioning,
        Self::Labels,
        Self::CutSheets,
        Self::Maintenance,
    ];

    /// Its key under `records`.
    pub fn key(self) -> &'static str {
        match self {
            Self::MockUp => "mock-up",
            Self::Test => "test-before-backfill",
            Self::AsBuilt => "as-built",
            Self::Commissioning => "commissioning",
            Self::Labels => "labels",
            Self::CutSheets => "cut-sheets",
            Self::Maintenance => "maintenance",
        }
    }

    /// What a sentence calls it.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::MockUp => "the night mock-up",
            Self::Test => "the test before backfill",
            Self::AsBuilt => "the as-built drawing",
            Self::Commissioning => "the commissioning",
            Self::Labels => "the labelling",
            Self::CutSheets => "the set of cut-sheets",
            Self::Maintenance => "the maintenance",
        }
    }

    /// Its field from the root of the plan.
    pub fn field(self) -> String {
        format!("records.{}", self.key())
    }

    /// What the plan says of it.
    pub fn of(self, records: &WorkRecords) -> Option<&WorkRecord> {
        match self {
            Self::MockUp => records.mock_up.as_ref(),
            Self::Test => records.test_before_backfill.as_ref(),
            Self::AsBuilt => records.as_built.as_ref(),
            Self::Commissioning => records.commissioning.as_ref(),
            Self::Labels => records.labels.as_ref(),
            Self::CutSheets => records.cut_sheets.as_ref(),
            Self::Maintenance => records.maintenance.as_ref(),
        }
    }

    /// The day that it bears. Dates of this form compare as texts.
    pub fn date(self, records: &WorkRecords) -> Option<&str> {
        match self.of(records) {
            Some(WorkRecord::On(date)) => Some(date),
            Some(WorkRecord::Planned) | None => None,
        }
    }
}

/// The day on which the dig starts, where the plan states it.
pub fn dig_start(input: &Input) -> Option<&str> {
    input.dig().and_then(|dig| dig.starts.as_deref())
}

/// Whether the dig has started by the day of the check, that day included; false where no start is stated.
pub fn dig_has_started(input: &Input) -> bool {
    dig_start(input).is_some_and(|start| start <= input.as_of())
}

/// The first of some records that is dated by the day of the check.
pub fn first_done<'a>(input: &'a Input, kinds: &[Kind]) -> Option<(Kind, &'a str)> {
    let dates = kinds.iter().filter_map(|kind| Some((*kind, kind.date(input.records())?)));
    dates.into_iter().find(|(_, date)| *date <= input.as_of())
}
