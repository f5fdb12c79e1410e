//! Every kind of error: what it says and where it points.

use super::{load_text, rendered};

/// A plan in order, to be spoilt.
const SOUND: &str = "plan: 1
schedule:
  luminaires:
    well: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V }
  cables:
    twelve: { conductor: 12 AWG, stranding: stranded }
  supplies:
    box: { output-current: ac, outputs: [{ name: '12', volts: 12 V }, { name: '14', volts: 14 V }] }
    small: { output-current: dc, outputs: [{ name: dc, volts: 12 V }] }
  splices:
    cap: { resistance: 1 mohm }
site:
  grid: ft
  zones: [{ id: lawn, kind: lawn, outline: [[0, 0], [9, 0], [9, 9]] }]
  utilities: [{ id: gas, kind: gas, path: [[0, 5], [9, 5]] }]
supplies:
  - { id: S1, type: box, at: [0, 0] }
  - { id: S2, type: small }
junctions:
  - { id: J1, at: [3, 4], splice: cap }
luminaires:
  - { id: L1, type: well, at: [6, 8] }
runs:
  - { id: R1, cable: twelve, route: [S1/12, J1, L1], slack: 0 % }
  - { id: R2, cable: twelve, route: [S2, L1], length: 12 ft }
";

#[test]
fn the_sound_plan_is_sound() {
    let loaded = load_text(SOUND, &[]);
    assert_eq!(rendered(&loaded), "");
    // A 3-4-5 triangle of feet.
    let length_m = loaded.layout.unwrap().runs[0].segments[0].length_m;
    assert!((length_m - 5.0 * 0.3048).abs() < 1e-12);
}

/// Spoils the sound plan by replacing one text, and renders what is said of it.
fn spoilt(from: &str, to: &str) -> String {
    assert_eq!(SOUND.matches(from).count(), 1, "`{from}` must stand once in the sound plan");
    let loaded = load_text(SOUND.replace(from, to), &[]);
    assert!(loaded.layout.is_none(), "{from} -> {to}");
    assert!(!loaded.diagnostics.is_empty(), "{from} -> {to}");
    format!("# {from} -> {to}\n{}\n", rendered(&loaded))
}

#[test]
fn errors_of_single_values() {
    let rows = [
        ("6 W", "6"),
        ("6 W", "six W"),
        ("6 W", "6 lumens"),
        ("6 W", "-6 W"),
        ("6 W", "nan W"),
        ("6 W", "0x6 W"),
        ("6 W", "1_0 W"),
        ("6 W", "1e99 W"),
        ("6 W", "[6 W]"),
        ("6 W", ""),
        ("6 W", "null"),
        ("nominal: 12 V }", "nominal: 12 V, replaces: yes }"),
        ("nominal: 12 V }", "nominal: 12 V, replaces: 'true' }"),
        ("nominal: 12 V }", "nominal: 12 V, power-factr: 1 }"),
        ("nominal: 12 V }", "nominal: 12 V, wattage: 1 }"),
        ("nominal: 12 V }", "}"),
        ("nominal: 12 V", "nominal: 0 V"),
        ("load: constant-power", "load: constant"),
        ("load: constant-power", "load: constant-powr"),
        ("12 AWG", "12 AWGS"),
        ("slack: 0 %", "slack: 5"),
        ("slack: 0 %", "slack: 5 W"),
        ("grid: ft", "grid: yd"),
        ("at: [3, 4]", "at: [3]"),
        ("at: [3, 4]", "at: [3, x]"),
        ("at: [3, 4]", "at: [3, 0x4]"),
        ("at: [3, 4]", "at: [3, .inf]"),
        ("at: [3, 4]", "at: [3, 4, 5]"),
        ("at: [3, 4]", "at: here"),
        ("id: J1", "id: J/1"),
        ("plan: 1", "plan: 2"),
        ("plan: 1", "plan: one"),
        ("plan: 1", "plam: 1"),
        ("supplies:\n  - { id", "supplies: none\nother:\n  - { id"),
    ];
    let all: String = rows.iter().map(|(from, to)| spoilt(from, to)).collect();
    insta::assert_snapshot!(all);
}

#[test]
fn errors_of_references_and_meaning() {
    let rows = [
        ("type: well,", "type: wel,"),
        ("type: small", "type: tower"),
        ("cable: twelve, route: [S1/12", "cable: twelv, route: [S1/12"),
        ("splice: cap", "splice: cup"),
        ("S1/12, J1", "S1, J1"),
        ("S1/12, J1", "S1/13, J1"),
        ("S1/12, J1", "S3/12, J1"),
        ("S1/12, J1", "J1/12, J1"),
        ("S1/12, J1", "lawn, J1"),
        ("S1/12, J1", "R2, J1"),
        ("S1/12, J1", "[1, 1], J1"),
        ("J1, L1]", "J1, [5, 5]]"),
        ("J1, L1]", "J1, J1, L1]"),
        ("[S1/12, J1, L1]", "[S1/12]"),
        ("[S1/12, J1, L1]", "[]"),
        ("id: J1", "id: S1"),
        ("id: lawn", "id: R1"),
        ("name: '14'", "name: '12'"),
        ("apparent-power: 7 VA", "apparent-power: 7 VA, power-factor: 0.9"),
        ("apparent-power: 7 VA", "apparent-power: 5.9 VA"),
        ("apparent-power: 7 VA", "power-factor: 0"),
        ("apparent-power: 7 VA", "power-factor: 1.1"),
        ("apparent-power: 7 VA", "input: { min: 15 V, max: 9 V }"),
        ("apparent-power: 7 VA", "input: { min: 15 V }"),
        ("volts: 14 V", "volts: 0 V"),
        ("output-current: ac,", "output-current: ac, rating: 0 VA,"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 13 AWG"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 6 AWG, stranding: solid"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 3 mm2"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 2.5 mm2, stranding: solid"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 12 AWG, stranding: iec-class-5"),
        ("conductor: 12 AWG, stranding: stranded", "kind: other"),
        ("conductor: 12 AWG, stranding: stranded", ""),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 12 AWG, resistance-at: 20 degC"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 12 AWG, insulation: 900 degC"),
        ("conductor: 12 AWG, stranding: stranded", "conductor: 12 AWG, parallel: 0"),
        ("slack: 0 %", "length: 3 ft"),
        ("slack: 0 %", "lengths: [3 ft]"),
        ("slack: 0 %", "added-resistance: 1 ohm"),
        ("slack: 0 %", "covers: [{ zone: lawm, cover: 1 ft }]"),
        ("slack: 0 %", "covers: [{ zone: gas, cover: 1 ft }]"),
        ("length: 12 ft", "length: 12 ft, lengths: [12 ft]"),
        (", length: 12 ft", ""),
        ("  grid: ft\n", ""),
        ("  grid: ft\n", "  grid: ft\n  north: 360 deg\n"),
        ("  grid: ft\n", "  grid: ft\n  north: -1 deg\n"),
        ("  grid: ft\n", "  grid: ft\n  north: 12\n"),
        ("  grid: ft\n", "  grid: ft\n  origin: { latitude: 90.1, longitude: -181 }\n"),
        ("  grid: ft\n", "  grid: ft\n  origin: { latitude: 44.5 }\n"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [0, 0]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [4.5, 0], [9, 0]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [9.0, 0], [9, 9]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9.5, 9.5], [9.5, 0], [0, 9.5], [0, 0]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [0.3, 0.6], [9, 0], [0.1, 0.2]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [9, 9], [9, 4]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [9, 5], [12, 5], [12, 0], [6, 0], [6, -3]]"),
        ("[[0, 0], [9, 0], [9, 9]]", "[[0, 0], [9, 0], [9, 100000001]]"),
        ("[6, 8]", "[-2e8, 8]"),
        ("[S1/12, J1, L1]", "[S1/12, [3, 1e12], J1, L1]"),
        ("[[0, 5], [9, 5]]", "[[0, 5]]"),
        ("[[0, 5], [9, 5]]", "[[0, 5], [0.0, 5.0]]"),
        ("runs:", "analysis: { conductor-temperature: 300 degC, soil-temperature: -90 degC }\nruns:"),
        ("runs:", "waivers: [{ rule: a/b, subject: L2 }]\nruns:"),
        ("cap: {", "well: {"),
        ("cap: {", "cap: { replaces: true,"),
        ("cap: {", "a cap: {"),
    ];
    let all: String = rows.iter().map(|(from, to)| spoilt(from, to)).collect();
    insta::assert_snapshot!(all);
}

#[test]
fn errors_of_yaml() {
    let rows: &[(&str, &[u8])] = &[
        ("empty", b""),
        ("comments only", b"# nothing\n"),
        ("two documents", b"plan: 1\n---\nplan: 1\n"),
        ("directive", b"%YAML 1.2\n---\nplan: 1\n"),
        ("tag directive", b"%TAG ! tag:example.com,2000:\n---\nplan: 1\n"),
        ("tag", b"plan: !fancy 1\n"),
        ("container tag", b"plan: 1\nsupplies: !!set {}\n"),
        ("merge key", b"plan: 1\nsite: &s { grid: ft }\nproject: { <<: *s }\n"),
        ("complex key", b"plan: 1\n? [a, b]\n: 1\n"),
        ("missing key", b"plan: 1\n: 1\n"),
        ("null key", b"plan: 1\n~: 1\n"),
        ("duplicate key", b"plan: 1\nsite: { grid: ft }\nplan: 1\n"),
        ("tab", b"plan: 1\nsite:\n\tgrid: ft\n"),
        ("unknown alias", b"plan: *one\n"),
        ("alias inside itself", b"plan: 1\nsupplies: &a [*a]\n"),
        ("unclosed list", b"plan: 1\nsupplies: [\n"),
        ("unclosed quote", b"plan: 1\nproject: { name: \"x\n"),
        ("no colon", b"plan: 1\nsite\n"),
        ("two colons", b"plan: 1\nproject: name: x\n"),
        ("bad escape", b"plan: 1\nproject: { name: \"\\q\" }\n"),
        ("not UTF-8", b"plan: 1\nproject: { name: caf\xe9 }\n"),
        ("NUL", b"plan: 1\nproject: { name: \0 }\n"),
        ("UTF-16 with mark", b"\xff\xfep\0l\0a\0n\0:\0 \x001\0"),
        ("UTF-16 without mark", b"\0p\0l\0a\0n\0:\0 \x001"),
        ("UTF-32", b"\0\0\0p\0\0\0l"),
        ("a list", b"- plan\n"),
        ("a text", b"plan\n"),
    ];
    let mut all = String::new();
    for (name, bytes) in rows {
        let loaded = load_text(bytes, &[]);
        assert!(loaded.layout.is_none() && !loaded.diagnostics.is_empty(), "{name}");
        all += &format!("# {name}\n{}\n", rendered(&loaded));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn errors_of_readings() {
    let rows = [
        "{ at: L9, volts: 11 V }",
        "{ at: lawn, volts: 11 V }",
        "{ at: S1, volts: 11 V }",
        "{ at: S1, amps: 1 A }",
        "{ at: S1/13, volts: 11 V }",
        "{ at: L1/12, volts: 11 V }",
        "{ at: 'S1/', volts: 11 V }",
        "{ at: L1, amps: 1 A }",
        "{ at: R1, volts: 11 V }",
        "{ at: R1, lit: true }",
        "{ at: J1, input-volts: 120 V }",
        "{ at: S1/12, volts: -11 V }",
        "{ at: L1, volts: 11 }",
        "{ at: L1, amps: -1 A }",
        "{ at: L1 }",
        "{ volts: 11 V }",
        "{ at: L1, volts: 11 V }, { at: L1, volts: 11.2 V }",
        "{ at: S2, volts: 12 V }, { at: S2/dc, volts: 12 V }",
    ];
    let mut all = String::new();
    for row in rows {
        let loaded = load_text(format!("{SOUND}readings: {{ taken: [{row}] }}\n"), &[]);
        assert!(loaded.layout.is_none() && !loaded.diagnostics.is_empty(), "{row}");
        all += &format!("# {row}\n{}\n", rendered(&loaded));
    }
    for tolerance in ["{ volts: 0.5 }", "{ volts: 0 % }", "{ volts: 0.5 A }", "{ amps: 1 % + 1 % }", "{ volts: soft }"]
    {
        let loaded = load_text(format!("{SOUND}readings: {{ tolerance: {tolerance}, taken: [] }}\n"), &[]);
        assert!(loaded.layout.is_none() && !loaded.diagnostics.is_empty(), "{tolerance}");
        all += &format!("# {tolerance}\n{}\n", rendered(&loaded));
    }
    insta::assert_snapshot!(all);
}

#[test]
fn readings_that_can_be_taken() {
    let taken = "{ at: S1/12, volts: 12 V, amps: 5 A, input-volts: 119 V }, { at: S1, input-volts: 120 V }";
    let twice = load_text(format!("{SOUND}readings: {{ taken: [{taken}] }}\n"), &[]);
    assert_eq!(twice.diagnostics.len(), 1, "the mains of one supply are read once: {}", rendered(&twice));
    // L1 hangs on a DC supply too, so its polarity can be told.
    let taken = "{ at: L1, volts: -11.8 V, lit: false }, { at: R2, amps: 0.5 A }, { at: J1, volts: 11.9 V }, { at: S2, volts: 12 V }";
    let loaded = load_text(format!("{SOUND}readings: {{ taken: [{taken}] }}\n"), &[]);
    assert_eq!(rendered(&loaded), "");
    let readings = loaded.layout.unwrap().readings.unwrap();
    let keys: Vec<&str> = readings.taken.iter().map(|reading| reading.measured.key()).collect();
    assert_eq!(keys, ["volts", "lit", "amps", "volts", "volts"]);
}

#[test]
fn all_errors_of_a_file_come_at_once_in_order() {
    let plan = "plan: 1
schedule:
  luminaires:
    well: { power: 6, nominal: 12 volts, colour: 3000 K }
supplies: [{ id: S1, type: none }]
luminaires: [{ type: well, at: [1] }]
runs: [{ id: R1, cable: c, route: [S1, L9] }]
";
    insta::assert_snapshot!(rendered(&load_text(plan, &[])));
}

#[test]
fn a_byte_order_mark_and_windows_lines_change_no_place() {
    let plan = "\u{feff}plan: 1\r\nsite:\r\n  grid: yd\r\n";
    let loaded = load_text(plan, &[]);
    assert_eq!(rendered(&loaded).lines().next(), Some("plan.yaml:3:9 `yd`"));
    let loaded = load_text("\u{feff}plan: two\n", &[]);
    assert_eq!(rendered(&loaded).lines().next(), Some("plan.yaml:1:7 `two`"));
}

#[test]
fn columns_count_characters() {
    let loaded = load_text("plan: 1\nproject: { name: Gärtchen größer, code: x }\n", &[]);
    assert_eq!(rendered(&loaded).lines().next(), Some("plan.yaml:2:41 `x`"));
}
