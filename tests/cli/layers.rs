//! Limits in layers: the code, local amendments, the company.

use crate::support::{Outcome, Site};

/// One luminaire behind 200 ft of 12 AWG: 5 A x 2 x 200 ft x 1.98 ohm/kft = 3.96 V, far above every limit here.
const PLAN: &str = "plan: 1
project: { name: Far lamp, country: US, region: US-OR, authority: Fernhollow County, code: nec-2023 }
schedule:
  luminaires: { lamp: { power: 60 W, apparent-power: 60 VA, load: constant-current, nominal: 12 V, input: { min: 6 V, max: 15 V } } }
  cables: { c12: { conductor: 12 AWG, stranding: stranded } }
  supplies: { box: { rating: 300 VA, output-current: ac, regulated: true, outputs: [{ name: a, volts: 12 V }] } }
supplies: [{ id: S1, type: box }]
luminaires: [{ id: L1, type: lamp }]
runs: [{ id: R1, cable: c12, route: [S1, L1], length: 200 ft }]
";

const COUNTY: &str = "amendments: 1
document: Fernhollow County Code
for: { country: US, region: US-OR, authority: Fernhollow County }
limits:
  - { rule: voltage/excess-drop, setting: limit, limit: 4 %, section: \"15.04.310\", date: 2026-01-01 }
";

const CONFIG: &str = "lintern: 1\nrules:\n  amendments: [county.yaml]\n";

fn site(config: &str, county: &str, plan: &str) -> Site {
    Site::new(&[("lintern.yaml", config), ("county.yaml", county), ("plan.yaml", plan)])
}

fn check(site: &Site, as_of: &str) -> Outcome {
    site.lintern(&["check", "--format", "json", "--as-of", as_of])
}

fn drop_finding(outcome: &Outcome) -> serde_json::Value {
    let json = outcome.json();
    let findings = json["plans"][0]["findings"].as_array().unwrap();
    findings.iter().find(|f| f["rule"] == "voltage/excess-drop").unwrap_or_else(|| panic!("{json:#}")).clone()
}

#[test]
fn an_amendment_of_the_authority_replaces_the_limit_and_is_cited() {
    let site = site(CONFIG, COUNTY, PLAN);
    let outcome = check(&site, "2026-03-01");
    let finding = drop_finding(&outcome);
    assert_eq!(finding["limit"]["value"], 4.0);
    assert_eq!(finding["level"], "violation", "an amendment is law");
    let basis = &finding["basis"];
    assert_eq!((basis["kind"].as_str(), basis["document"].as_str()), (Some("code"), Some("Fernhollow County Code")));
    assert_eq!((basis["edition"].as_str(), basis["section"].as_str()), (Some("2026-01-01"), Some("15.04.310")));
    let assumed = outcome.json()["plans"][0]["assumptions"].to_string();
    assert!(
        assumed.contains("Fernhollow County Code, 15.04.310 sets limit of voltage/excess-drop to 4 %"),
        "{assumed}"
    );
}

#[test]
fn an_amendment_does_not_hold_before_its_day_or_elsewhere() {
    assert_eq!(drop_finding(&check(&site(CONFIG, COUNTY, PLAN), "2025-12-31"))["limit"]["value"], 5.0);
    let elsewhere = PLAN.replace("Fernhollow County", "Marlpit County");
    assert_eq!(drop_finding(&check(&site(CONFIG, COUNTY, &elsewhere), "2026-03-01"))["limit"]["value"], 5.0);
}

#[test]
fn a_plan_that_names_no_authority_is_told_what_was_not_applied() {
    let unsaid = PLAN.replace(" authority: Fernhollow County,", "");
    let outcome = check(&site(CONFIG, COUNTY, &unsaid), "2026-03-01");
    assert_eq!(drop_finding(&outcome)["limit"]["value"], 5.0);
    let assumed = outcome.json()["plans"][0]["assumptions"].to_string();
    assert!(assumed.contains("the plan does not say `project.authority`"), "{assumed}");
}

#[test]
fn a_company_tightens_an_amendment_and_loosens_it_only_with_a_reason() {
    let with = |setting: &str| {
        let config = format!("{CONFIG}  settings: {{ voltage/excess-drop: {setting} }}\n");
        drop_finding(&check(&site(&config, COUNTY, PLAN), "2026-03-01"))["limit"]["value"].clone()
    };
    assert_eq!(with("{ limit: 3 % }"), 3.0);
    assert_eq!(with("{ limit: 4.5 % }"), 4.0, "looser than the amendment and without a reason");
    assert_eq!(with("{ limit: 6 %, reason: \"agreed with the county\" }"), 6.0);
}

#[test]
fn explain_shows_every_layer_and_which_governs() {
    let config = format!("{CONFIG}  settings: {{ voltage/excess-drop: {{ limit: 3 % }} }}\n");
    let site = site(&config, COUNTY, PLAN);
    let outcome = site.lintern(&["explain", "voltage/excess-drop", "--plan", "plan.yaml", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    insta::assert_snapshot!(outcome.out);
}

#[test]
fn mistakes_of_a_file_of_amendments_are_errors_with_their_place() {
    for (wrong, said) in [
        (COUNTY.replace("excess-drop", "exces-drop"), "did you mean `voltage/excess-drop`"),
        (COUNTY.replace("setting: limit", "setting: limt"), "did you mean `limit`"),
        (COUNTY.replace("4 %", "4 V"), "is no value of `limit`"),
        (COUNTY.replace("date: 2026-01-01", "date: soon"), "ISO 8601"),
        (COUNTY.replace(", date: 2026-01-01", ""), "`date`"),
        (COUNTY.replace("amendments: 1", "amendments: 2"), "is not known"),
        (COUNTY.replace("{ country: US, region: US-OR, authority: Fernhollow County }", "{}"), "where they hold"),
    ] {
        let outcome = site(CONFIG, &wrong, PLAN).lintern(&["check", "--as-of", "2026-03-01"]);
        assert_eq!(outcome.code, 2, "{wrong}\n{}", outcome.out);
        assert!(outcome.out.contains(said) && outcome.out.contains("county.yaml"), "{said}\n{}", outcome.out);
    }
}

#[test]
fn amendments_outside_the_repository_are_refused() {
    let config = "lintern: 1\nrules:\n  amendments: [../county.yaml]\n";
    let outcome = site(config, COUNTY, PLAN).lintern(&["check", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2, "{}", outcome.out);
}

/// 12 in is the practice; 10 in a company may decide, but not against its county.
#[test]
fn a_company_loosens_a_practice_without_a_reason_but_not_an_amendment() {
    let low = PLAN.replace("id: S1, type: box }", "id: S1, type: box, mount-height: 11 in, exposure: wet }");
    let config = format!("{CONFIG}  settings: {{ feed/low-mounting: {{ minimum-height: 10 in }} }}\n");
    let found = |county: &str| {
        let json = check(&site(&config, county, &low), "2026-03-01").json();
        let findings = json["plans"][0]["findings"].as_array().unwrap().clone();
        findings.into_iter().find(|f| f["rule"] == "feed/low-mounting")
    };
    assert_eq!(found(COUNTY), None, "11 in is above the 10 in of the company");
    let county = format!(
        "{COUNTY}  - {{ rule: feed/low-mounting, setting: minimum-height, limit: 14 in, section: \"15.04.320\", date: 2026-01-01 }}\n"
    );
    let finding = found(&county).expect("11 in is below the 14 in of the county");
    assert_eq!((finding["limit"]["value"].as_f64(), finding["level"].as_str()), (Some(14.0), Some("violation")));
}

/// Oregon's zone is 24 in (OAR 952-001-0090(3)(c)).
#[test]
fn what_a_company_sets_beside_the_law_of_a_state_is_shown_in_every_output() {
    let assumed = |setting: &str| {
        let config = format!("lintern: 1\nrules:\n  settings: {{ dig-safety/machine-in-tolerance-zone: {setting} }}\n");
        check(&site(&config, COUNTY, PLAN), "2026-03-01").json()["plans"][0]["assumptions"].to_string()
    };
    let tightens = assumed("{ tolerance-zone: 18 in }");
    assert!(tightens.contains("to 18 in; where the code or the law is stricter, that governs"), "{tightens}");
    let replaces = assumed("{ tolerance-zone: 18 in, reason: \"agreed with the operator\" }");
    assert!(replaces.contains("in place of what the code or the law asks for; reason: agreed"), "{replaces}");
}
