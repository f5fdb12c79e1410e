//! `--coverage`: data on which no answer depends.

use crate::support::{CLEAN, Site, demo, run};

#[test]
fn what_no_rule_reads_in_the_demo() {
    let arguments = ["check", "--as-of", "2026-03-05", "--no-remedies", "--coverage"];
    let json = run(&demo(), &[&arguments[..], &["--format", "json"]].concat(), &[]).json();
    let coverage = &json["coverage"][0];
    let routes: Vec<&str> =
        coverage["fields"].as_array().unwrap().iter().map(|field| field["route"].as_str().unwrap()).collect();
    insta::assert_snapshot!(routes.join("\n"));
    let types =
        coverage["elements"].as_array().unwrap().iter().filter(|e| e["kind"] != "zone" && e["kind"] != "utility");
    assert_eq!(types.map(|e| e["id"].as_str().unwrap()).collect::<Vec<_>>(), ["nyy-4"]);
    let text = run(&demo(), &arguments, &[]).out;
    assert!(
        text.contains("data on which no answer depends") && text.contains("type nyy-4 of cables: installed nowhere"),
        "{text}"
    );
    assert_eq!(run(&demo(), &["check", "--coverage", "--shard", "1/2"], &[]).code, 2);
}

#[test]
fn a_companys_own_data_is_listed_until_a_rule_reads_it() {
    let plan = CLEAN.replace("{ id: L1, type: well-6,", "{ id: L1, type: well-6, house: { crew: north },");
    let rules = "expressions: 1\nrules:\n  - id: house/no-crew\n    title: No crew\n    for: luminaire\n    require: \"has(luminaire.house.crew)\"\n    message: \"{luminaire.id} has no crew\"\n";
    let site = Site::new(&[("a.yaml", &plan), ("house/crew.rules.yaml", rules)]);
    let routes = |site: &Site| -> Vec<String> {
        let json = site.lintern(&["check", "--as-of", "2026-03-01", "--coverage", "--format", "json"]).json();
        let fields = json["coverage"][0]["fields"].as_array().unwrap().clone();
        fields.iter().map(|field| field["route"].as_str().unwrap().to_owned()).collect()
    };
    assert!(routes(&site).contains(&"luminaires[].house.crew".to_owned()), "{:?}", routes(&site));
    site.write("lintern.yaml", b"lintern: 1\nrules: { expressions: [house/*.rules.yaml] }\n");
    assert!(!routes(&site).contains(&"luminaires[].house.crew".to_owned()), "{:?}", routes(&site));
}
