//! What a receptacle out of doors must have: who is asked, and what is missing to tell.

use crate::place::{Place, missing_exposure};
use crate::support::connection;
use lintern_rule::plan::{Connection, Feed, Supply};
use lintern_rule::prelude::*;

/// Something that a receptacle has or lacks.
pub struct Provision {
    /// Its key under `feed`.
    pub key: &'static str,
    /// Whether the plan says that it is there.
    pub stated: fn(&Feed) -> Option<bool>,
}

impl Provision {
    /// The feed of a supply whose receptacle lacks it. Where it is there, or can't be told, the report says so; a
    /// supply that is wired in is not spoken of.
    pub fn lacking<'a>(&self, supply: &'a Supply, place: Place, report: &mut Report) -> Option<&'a Feed> {
        let id = &supply.id;
        let Some(feed) = &supply.feed else {
            report.undetermined(id, [format!("`feed` of {id}")]);
            return None;
        };
        let connection = connection(feed);
        if connection == Some(Connection::HardWired) {
            return None;
        }
        let stated = (self.stated)(feed);
        if stated == Some(true) {
            report.checked(id);
            return None;
        }
        let mut missing = Vec::new();
        if connection.is_none() {
            missing.push(format!("`feed.connection` of {id}"));
        }
        if stated.is_none() {
            missing.push(format!("`feed.{}` of {id}", self.key));
        }
        if place == Place::Unsure {
            missing.extend(missing_exposure(id));
        }
        if missing.is_empty() {
            return Some(feed);
        }
        report.undetermined(id, missing);
        None
    }
}
