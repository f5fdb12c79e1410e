//! Margins and findings of one plan against each other.

use serde_json::Value;

/// Where they do not say the same: a finding that holds a number against a limit has the margin that fails by it, no
/// margin of the same kind passes there, every margin that fails has a finding, and the sign of each is its verdict.
pub fn contradictions(findings: &[Value], margins: &[Value]) -> Vec<String> {
    let mut contradictions = Vec::new();
    for finding in findings.iter().filter(|finding| !finding["limit"].is_null()) {
        let own: Vec<&Value> = margins.iter().filter(|margin| is_of(margin, finding)).collect();
        let Some(failing) = own.iter().find(|margin| is_measured(margin, finding)) else {
            contradictions.push(format!("no margin fails by the numbers of the finding {}", finding["message"]));
            continue;
        };
        if own.iter().any(|margin| margin["name"] == failing["name"] && margin["passes"] == true) {
            contradictions.push(format!("a margin passes beside the finding {}", finding["message"]));
        }
        if finding["margin"]["value"] != failing["margin"] {
            contradictions.push(format!("the finding {} has another margin", finding["message"]));
        }
    }
    for margin in margins {
        let (passes, room) = (margin["passes"] == true, margin["margin"].as_f64().unwrap_or(f64::NAN));
        let agrees = if passes { room >= 0.0 } else { room <= 0.0 };
        if !agrees {
            contradictions.push(format!("the sign of a margin is not its verdict: {margin}"));
        }
        let speaks = |finding: &&Value| {
            let related = finding["related"].as_array().is_some_and(|ids| ids.contains(&margin["subject"]));
            finding["rule"] == margin["rule"] && (finding["subject"] == margin["subject"] || related)
        };
        if !passes && !findings.iter().any(|finding| speaks(&finding)) {
            contradictions.push(format!("no finding speaks of a margin that fails: {margin}"));
        }
    }
    contradictions
}

fn is_of(margin: &Value, finding: &Value) -> bool {
    ["rule", "subject", "field"].iter().all(|key| margin[key] == finding[key])
}

fn is_measured(margin: &Value, finding: &Value) -> bool {
    let unit = &margin["unit"];
    margin["passes"] == false
        && (&margin["measured"], unit) == (&finding["measured"]["value"], &finding["measured"]["unit"])
        && (&margin["limit"], unit) == (&finding["limit"]["value"], &finding["limit"]["unit"])
}
