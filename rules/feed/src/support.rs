//! What several rules of this topic need: code families, occupancies, how a feed reaches its supply.

use lintern_rule::plan::{Connection, Feed, Occupancy};
use lintern_rule::{Code, Input, Level};

/// What is missing where the plan names no code.
pub const NO_CODE: [&str; 1] = ["`project.code`"];

/// Whether a code is an edition of NFPA 70.
pub fn is_nec(code: Code) -> bool {
    !matches!(code, Code::Iec60364 | Code::Bs7671)
}

/// The level of a requirement; a reminder where it is not confirmed that the edition has it.
pub fn level(code: Code, level: Level) -> Level {
    if code == Code::Nec2026 { Level::Reminder } else { level }
}

/// Whether the site is a dwelling; `None` where the plan does not say.
pub fn is_dwelling(input: &Input) -> Option<bool> {
    input.project().occupancy.map(|occupancy| !matches!(occupancy, Occupancy::Commercial | Occupancy::Public))
}

/// How the mains reach a supply: as stated, else by a receptacle where something is said of the receptacle.
pub fn connection(feed: &Feed) -> Option<Connection> {
    let of_receptacle = feed.in_use_cover.is_some() || feed.weather_resistant.is_some();
    feed.connection.or(of_receptacle.then_some(Connection::Receptacle))
}

/// What a help adds where the receptacle was inferred.
pub fn if_wired_in(feed: &Feed) -> &'static str {
    if feed.connection.is_none() { "; where there is no receptacle, state `connection: hard-wired`" } else { "" }
}
