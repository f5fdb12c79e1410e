use super::{On, Place, Refused, Role, Spot, Step, Wanted, Written, describe, unfinished, wanted};

const PLAN: &str = "\
plan: 1
use: [../schedules/standard.yaml]
schedule:
  cables:
    thin: { conductor: 14 AWG }
  supplies:
    box:
      outputs: [{ name: \"12\", volts: 12 V }, { name: '14', volts: 14 V }]
site:
  zones:
    - { id: lawn, kind: lawn, outline: [[0, 0], [9, 0], [9, 9]] }
supplies:
  - id: S1
    type: box
luminaires:
  - { id: L1, type: well, at: [4, 5] }
  - id: \"7\"
    type: well # S1 is no reference here
runs:
  - { id: R1, cable: thin, route: [S1/12, [1, 2], L1], covers: [{ zone: lawn, cover: 8 in }] }
  - id: R2
    cable: thin
    route:
      - 'S1/14'
      - 7
readings:
  taken:
    - { at: S1/12, volts: 11.9 V }
    - { at: L1, volts: 11.2 V }
waivers:
  - { rule: burial/shallow-cover, subject: L1, reason: L1 }
";

fn plan() -> Written {
    Written::read(PLAN).unwrap()
}

/// The spot at the mark `|`, which is no part of the text.
fn spot(marked: &str) -> (Written, Spot) {
    let at = PLAN.find(&marked.replace('|', "")).unwrap() + marked.find('|').unwrap();
    let written = plan();
    let spot = written.at(at);
    (written, spot)
}

fn way(route: &[Step]) -> String {
    let step = |step: &Step| match step {
        Step::Key(key) => key.clone(),
        Step::Item(index) => index.to_string(),
    };
    route.iter().map(step).collect::<Vec<_>>().join(".")
}

#[test]
fn a_place_is_told_by_the_way_to_it() {
    for (marked, wanted, on, text) in [
        ("pl|an: 1", "plan", On::Key, "plan"),
        ("plan: 1|", "plan", On::Value, "1"),
        ("zone: la|wn", "runs.0.covers.0.zone", On::Value, "lawn"),
        ("S1/|12, [1", "runs.0.route.0", On::Value, "S1/12"),
        ("- 'S1|/14'", "runs.1.route.0", On::Value, "S1/14"),
        ("- 7|\n", "runs.1.route.1", On::Value, "7"),
        ("th|in: { conductor", "schedule.cables.thin", On::Key, "thin"),
        ("type: well # S1| is", "", On::Between, ""),
        ("{ |id: L1", "luminaires.0.id", On::Key, "id"),
    ] {
        let (_, spot) = spot(marked);
        assert_eq!((way(&spot.route).as_str(), spot.on), (wanted, on), "{marked}");
        if on != On::Between {
            assert_eq!(spot.text, text, "{marked}");
        }
    }
}

#[test]
fn a_text_has_its_role_by_where_it_stands() {
    let element = |id: &str, output: Option<&str>, defines| {
        Some(Role::Element { id: id.to_owned(), output: output.map(str::to_owned), defines })
    };
    let of_type = |table, name: &str, defines| Some(Role::Type { table, name: name.to_owned(), defines });
    for (marked, role) in [
        ("id: S|1\n", element("S1", None, true)),
        ("\"|7\"", element("7", None, true)),
        ("S1/1|2, [", element("S1", Some("12"), false)),
        ("zone: la|wn", element("lawn", None, false)),
        ("at: L|1, volts", element("L1", None, false)),
        ("subject: L1|,", element("L1", None, false)),
        ("reason: L1|", None),
        ("cable: thi|n, route", of_type("cables", "thin", false)),
        ("th|in: {", of_type("cables", "thin", true)),
        ("type: bo|x", of_type("supplies", "box", false)),
        ("rule: burial|/", Some(Role::Rule("burial/shallow-cover".to_owned()))),
        ("[../sched|ules", Some(Role::File("../schedules/standard.yaml".to_owned()))),
        ("kind: law|n", None),
    ] {
        let (written, spot) = spot(marked);
        assert_eq!(written.role(&spot), role, "{marked}");
    }
}

#[test]
fn an_element_is_known_from_anything_in_it() {
    for (marked, id) in [("cover: 8| in", "R1"), ("route:|\n", "R2"), ("outline: [[0,| 0]", "lawn")] {
        let (written, spot) = spot(marked);
        assert_eq!(written.element_of(&spot.route).map(|(_, id)| id), Some(id), "{marked}");
    }
    let (written, spot) = spot("name: \"1|2\"");
    assert_eq!(written.element_of(&spot.route), None);
}

#[test]
fn names_and_their_uses_are_listed() {
    let written = plan();
    let texts = |uses: Vec<std::ops::Range<usize>>| uses.into_iter().map(|bytes| &PLAN[bytes]).collect::<Vec<_>>();
    assert_eq!(texts(written.uses("S1")), ["S1", "S1/12", "'S1/14'", "S1/12"]);
    assert_eq!(texts(written.uses("L1")), ["L1", "L1", "L1", "L1"]);
    assert_eq!(texts(written.uses("7")), ["\"7\"", "7"]);
    assert_eq!(texts(written.uses("nowhere")), [""; 0]);
    assert_eq!(texts(written.uses_of_type("cables", "thin")), ["thin", "thin", "thin"]);
    assert_eq!(written.outputs("box").unwrap(), ["12", "14"]);
    assert_eq!(
        written.schedules().into_iter().map(|(file, _)| file).collect::<Vec<_>>(),
        ["../schedules/standard.yaml"]
    );
    let elements: Vec<String> =
        written.elements().into_iter().map(|named| format!("{} {}", named.id, named.what)).collect();
    assert_eq!(elements, ["S1 box", "L1 well", "7 well", "R1 thin", "R2 thin", "lawn lawn"]);
    assert_eq!(written.type_facts("cables", "thin").unwrap(), [("conductor".to_owned(), "14 AWG".to_owned())]);
    assert!(written.is_plan() && !written.is_schedule());
}

fn renamed(old: &str, new: &str) -> String {
    let mut text = PLAN.to_owned();
    let edits = plan().rename(old, new).unwrap();
    for (bytes, new) in edits.into_iter().rev() {
        text.replace_range(bytes, &new);
    }
    text
}

#[test]
fn an_element_is_renamed_wherever_it_is_named_and_nowhere_else() {
    assert_eq!(
        renamed("S1", "north"),
        PLAN.replace("id: S1", "id: north")
            .replace("S1/12, [", "north/12, [")
            .replace("'S1/14'", "'north/14'")
            .replace("at: S1/12", "at: north/12")
    );
    // Ids that look like numbers get quotes where they had none, and keep those that they have.
    assert_eq!(
        renamed("L1", "10"),
        PLAN.replace("id: L1", "id: \"10\"")
            .replace("], L1]", "], \"10\"]")
            .replace("at: L1", "at: \"10\"")
            .replace("subject: L1", "subject: \"10\"")
    );
    assert_eq!(renamed("7", "null"), PLAN.replace("\"7\"", "\"null\"").replace("- 7\n", "- \"null\"\n"));
    assert_eq!(renamed("lawn", "turf"), PLAN.replace("id: lawn", "id: turf").replace("zone: lawn", "zone: turf"));
    assert_eq!(renamed("L1", "L1"), PLAN);
}

#[test]
fn bad_and_taken_ids_are_refused_with_the_reason() {
    let written = plan();
    assert_eq!(written.rename("L1", "lawn"), Err(Refused::Taken { id: "lawn".to_owned(), what: "a zone" }));
    for bad in ["", "a b", "a/b", "-a", "ß", "a:", "a\n"] {
        assert!(matches!(written.rename("L1", bad), Err(Refused::NoId(_))), "{bad}");
    }
    assert_eq!(written.rename("thin", "thick"), Err(Refused::Unclear("thin".to_owned())));
    let twice = Written::read("plan: 1\nruns: [{ id: A }, { id: A }]\n").unwrap();
    assert_eq!(twice.rename("A", "B"), Err(Refused::Unclear("A".to_owned())));
    let block = Written::read("plan: 1\nruns:\n  - id: |-\n      A\n").unwrap();
    assert_eq!(block.rename("A", "B"), Err(Refused::Unsafe("A".to_owned())));
}

#[test]
fn what_an_alias_repeats_is_renamed_once() {
    let text = "plan: 1\nruns:\n  - { id: R1, route: &way [J1, J2] }\n  - { id: R2, route: *way }\njunctions: [{ id: J1 }, { id: J2 }]\n";
    let edits = Written::read(text).unwrap().rename("J1", "hub").unwrap();
    assert_eq!(edits.iter().map(|(bytes, _)| &text[bytes.clone()]).collect::<Vec<_>>(), ["J1", "J1"]);
}

#[test]
fn the_format_describes_every_place() {
    let key = |key: &str| Step::Key(key.to_owned());
    let run = [key("runs"), Step::Item(3)];
    let known = describe(&run).unwrap();
    assert_eq!(
        known.keys.iter().take_while(|key| key.required).map(|key| key.name.as_str()).collect::<Vec<_>>(),
        ["id", "cable", "route"]
    );
    let field = |name: &str| describe(&[key("runs"), Step::Item(3), key(name)]).unwrap();
    assert!(field("cover").description.starts_with("Depth from the surface"));
    assert_eq!(field("cover").units, ["m", "cm", "mm", "ft", "in"]);
    assert_eq!(field("slack").units, ["%", "ft"]);
    assert_eq!(field("method").words.iter().map(|word| word.word.as_str()).next(), Some("direct-burial"));
    assert_eq!(field("barrier").words.len(), 2);
    let code = describe(&[key("project"), key("code")]).unwrap();
    assert_eq!(code.words.iter().find(|word| word.word == "nec-2023").unwrap().description, "NFPA 70, 2023 edition.");
    let of_type = describe(&[key("schedule"), key("cables"), key("any"), key("conductor")]).unwrap();
    assert_eq!(of_type.units, ["AWG", "mm2"]);
    assert!(describe(&[key("runs"), key("id")]).is_none() && describe(&[key("colour")]).is_none());
    assert!(describe(&[key("project"), key("name")]).unwrap().free_text);
}

/// The way, the place and the word at the mark.
fn writing(marked: &str) -> Option<(String, Place, String)> {
    let at = marked.find('|').unwrap();
    let text = marked.replacen('|', "", 1);
    let found = unfinished(&text, at)?;
    Some((way(&found.route), found.place, text[found.word].to_owned()))
}

fn key(present: &[&str]) -> Place {
    Place::Key { present: present.iter().map(|key| (*key).to_owned()).collect(), has_colon: false }
}

fn value(before: &str) -> Place {
    Place::Value { before: before.to_owned() }
}

#[test]
fn what_is_being_written_is_known_in_sound_texts() {
    for (marked, route, place, word) in [
        ("plan: 1\nru|", "", key(&["plan"]), "ru"),
        ("plan: 1\n|\nruns: []\n", "", key(&["plan", "runs"]), ""),
        ("plan: 1\nruns:\n  - id: R1\n    co|\n    cable: x\n", "runs.0", key(&["id", "cable"]), "co"),
        ("plan: 1\nruns:\n  - co|\n", "runs.0", key(&[]), "co"),
        ("plan: 1\nruns:\n  - id: R1\n    method: di|rect\n", "runs.0.method", value(""), "direct"),
        ("plan: 1\nruns:\n  - id: R1\n    cover: 8 |\n", "runs.0.cover", value("8 "), ""),
        ("plan: 1\nruns:\n  - { id: R1, co| }\n", "runs.0", key(&["id"]), "co"),
        ("plan: 1\nruns:\n  - { id: R1, method: d| }\n", "runs.0.method", value(""), "d"),
        ("plan: 1\nruns:\n  - { id: R1, route: [S1/1|, J1] }\n", "runs.0.route.0", value(""), "S1/1"),
        ("plan: 1\nruns:\n  - { id: R1, route: [S1, |] }\n", "runs.0.route.1", value(""), ""),
        ("plan: 1\nruns:\n  - id: R1\n    route:\n      - S1\n      - J|\n", "runs.0.route.1", value(""), "J"),
        ("plan: 1\nproject:\n  na|\n", "project", key(&[]), "na"),
        ("plan: 1\r\nproject:\r\n  name: x\r\n  co|\r\n", "project", key(&["name"]), "co"),
        ("plan: 1\nsupplies: [{ id: S1, type: \"bo|\" }]\n", "supplies.0.type", value(""), "bo"),
    ] {
        assert_eq!(writing(marked), Some((route.to_owned(), place, word.to_owned())), "{marked}");
    }
    let colon = writing("plan: 1\nruns:\n  - id: R1\n    co|ver: 8 in\n").unwrap().1;
    assert_eq!(colon, Place::Key { present: vec!["id".to_owned()], has_colon: true });
    assert_eq!(writing("plan: 1 # ru|ns\n"), None);
    assert_eq!(writing("# pl|an\n"), None);
    assert_eq!(writing("plan: 1\nruns:\n  - id: R1\n    method:|\n"), None);
}

#[test]
fn what_is_being_written_is_known_in_broken_texts() {
    // The first line can't be read, so that only indents and the line itself are left.
    for (marked, route, place) in [
        ("a: [\nruns:\n  - id: R1\n    co|", "runs.0", key(&["id"])),
        ("runs:\n  - id: [\n    co|", "runs.0", key(&[])),
        ("runs:\n  - id: [\n    method: d|", "runs.0.method", value("")),
        ("runs:\n- id: [\n  covers:\n  - zone: a\n    co|", "runs.0.covers.0", key(&[])),
        ("a: [\nruns:\n  - id: R1\n    method: di|", "runs.0.method", value("")),
        ("a: [\nruns:\n- id: R1\n  method: di|", "runs.0.method", value("")),
        ("a: [\nruns:\n  - { id: R1, method: di|", "runs.0.method", value("")),
        ("a: [\nruns:\n  - { id: R1, co|", "runs.0", key(&["id"])),
        ("a: [\nruns:\n  - { id: R1, route: [S1/12, |", "runs.0.route.1", value("")),
        ("a: [\nruns:\n  - id: R1\n    route:\n      - S1\n      - |", "runs.0.route.1", value("")),
        ("a: [\nsite:\n  zones:\n    - { id: a, kind: |", "site.zones.0.kind", value("")),
        ("a: [\nschedule:\n  cables:\n    x:\n      conductor: 12 |", "schedule.cables.x.conductor", value("12 ")),
        ("a: [\nruns:\n  - id: R1\n    covers:\n      - zone: a\n        me|", "runs.0.covers.0", key(&["zone"])),
        ("a: [\nplan: 1\nru|", "", key(&["a", "plan"])),
    ] {
        let found = writing(marked).map(|(route, place, _)| (route, place));
        assert_eq!(found, Some((route.to_owned(), place)), "{marked}");
    }
}

#[test]
fn no_place_of_any_text_is_a_panic() {
    let broken =
        "\u{feff}plan: 1\r\nruns:\r\n - {id: 'R1, route: [\"S1/12, [1, 2}, ß: ✓🌳 &a *a !!str |\n\t- - -\n? : -";
    for text in [PLAN, broken, "", "\u{feff}", "- - -", "{{[[", "\r\r\n", "'", ": :"] {
        for at in (0..=text.len() + 2).filter(|at| text.is_char_boundary(*at) || *at > text.len()) {
            let _ = unfinished(text, at);
            if let Some(written) = Written::read(text) {
                let spot = written.at(at);
                let _ = (written.role(&spot), written.element_of(&spot.route), describe(&spot.route));
            }
        }
    }
}

#[test]
fn what_is_wanted_is_told_by_the_way() {
    let way = |keys: &[&str]| -> Vec<Step> {
        keys.iter().map(|key| if *key == "*" { Step::Item(0) } else { Step::Key((*key).to_owned()) }).collect()
    };
    assert_eq!(wanted(&way(&["runs", "*", "route", "*"])), Some(Wanted::Nodes));
    assert_eq!(wanted(&way(&["luminaires", "*", "splice"])), Some(Wanted::Types("splices")));
    assert_eq!(wanted(&way(&["use", "*"])), Some(Wanted::Files));
    assert_eq!(wanted(&way(&["runs", "*", "cover"])), None);
}
