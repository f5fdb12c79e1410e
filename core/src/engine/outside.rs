//! What goes between lintern and a module, as JSON, for running the same rules outside of the sandbox: tests hold the
//! native run against the module, and benchmarks measure the one beside the other.

use super::convert::{CaseFacts, Input, Records};
use super::module::Module;
use super::run::RuleRequest;
use serde_json::{Value, json};

/// One run of a module: what it was asked for, and what it answered.
#[derive(Debug, Clone, PartialEq)]
pub struct Exchange {
    /// The requests, as the list of `rule-request` of the interface.
    pub requests: Value,
    /// The answers, as the list of `rule-result`.
    pub answers: Value,
}

impl Input {
    /// The lists that modules ask for, under the names of the interface in snake case.
    pub fn to_json(&self) -> Value {
        let Records { project, luminaire_types, luminaires, splice_types, junctions, supply_types, supplies, .. } =
            &*self.0;
        let Records { cable_types, runs, zones, utilities, dig, records, ground, grid, judged, soil, .. } = &*self.0;
        let Records { supply_places, junction_places, luminaire_places, run_pieces, as_of, calendar, readings, .. } =
            &*self.0;
        json!({
            "project": **project, "luminaire_types": **luminaire_types, "luminaires": **luminaires,
            "splice_types": **splice_types, "junctions": **junctions, "supply_types": **supply_types,
            "supplies": **supplies, "cable_types": **cable_types, "runs": **runs, "zones": **zones,
            "utilities": **utilities, "dig": **dig, "records": **records, "ground": **ground, "grid": **grid,
            "judged": facts(judged), "soil": facts(soil), "supply_places": **supply_places,
            "junction_places": **junction_places, "luminaire_places": **luminaire_places, "run_pieces": **run_pieces,
            "as_of": **as_of, "calendar": **calendar, "readings": **readings,
        })
    }
}

impl Module {
    /// Runs rules on a plan and gives what was said both ways.
    ///
    /// # Errors
    /// When the module can't be asked, or fails.
    pub fn exchange(&self, input: &Input, requests: &[RuleRequest]) -> Result<Exchange, String> {
        let wanted = requests.iter().map(|request| self.to_wit(request)).collect::<Result<Vec<_>, _>>()?;
        let answers = self.run(&input.0, &wanted).answer?;
        Ok(Exchange { requests: json!(wanted), answers: json!(answers) })
    }
}

fn facts(case: &CaseFacts) -> Value {
    let CaseFacts { luminaires, junctions, segments, supplies, unsolved } = case;
    json!({
        "luminaires": **luminaires, "junctions": **junctions, "segments": **segments, "supplies": **supplies,
        "unsolved": **unsolved,
    })
}
