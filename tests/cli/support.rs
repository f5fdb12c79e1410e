//! A temporary plan repository and the program run in it.

use std::path::Path;
use std::process::Output;
use tempfile::TempDir;

/// A plan that passes every rule: two luminaires on one 12 V AC output, everything stated.
pub const CLEAN: &str = r#"plan: 1
project: { name: Two lamps, country: US, region: US-OH, code: nec-2023, occupancy: one-family-dwelling }
analysis: { conductor-temperature: 75 degC, soil-temperature: 30 degC }
schedule:
  luminaires:
    well-6: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: ac-or-dc, ip: [IP65, IP67], location: wet, listed: true, grounding-required: false, width: 4 in, body-depth: 6 in }
  cables:
    burial-12-2: { conductor: 12 AWG, stranding: stranded, insulation: 60 degC, kind: low-voltage-landscape, direct-burial: true, location: wet, sunlight-resistant: true }
  supplies:
    box-150:
      rating: 150 VA
      output-current: ac
      outputs: [{ name: "12", volts: 12 V, limit: 12.5 A, protection: 15 A, source-resistance: 12 mohm }]
      input-volts: 120 V
      listing: low-voltage-lighting
      enclosure: type 3R
      isolating: true
      grounded-output: false
  splices:
    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }
site: { grid: ft, soil: loam }
supplies:
  - { id: S1, type: box-150, at: [0, 0], mount-height: 14 in, exposure: wet, control: { hours: 6 h }, feed: { circuit: LT-3, breaker: 20 A, connection: receptacle, gfci: true, in-use-cover: true, weather-resistant: true, other-load: 0 VA } }
luminaires:
  - { id: L1, type: well-6, at: [40, 0], placement: in-ground, splice: gel-cap, excavation: { width: 10 in, depth: 14 in, base: gravel, base-depth: 6 in } }
  - { id: L2, type: well-6, at: [55, 0], placement: in-ground, splice: gel-cap, excavation: { width: 10 in, depth: 14 in, base: gravel, base-depth: 6 in } }
runs:
  - { id: R1, cable: burial-12-2, route: [S1, L1, L2], lengths: [60 ft, 20 ft], method: direct-burial, cover: 8 in, riser: pvc-conduit, backfill: screened-soil }
dig:
  ticket: { number: "26-0301", called: 2026-02-24, expires: 2026-03-20, responses: all }
  starts: 2026-03-04
  method: hand
  private-lines: located
  white-lined: true
records: { mock-up: 2026-02-20, test-before-backfill: planned, as-built: planned, commissioning: planned, labels: planned, cut-sheets: planned, maintenance: planned }
"#;

/// A temporary folder with files.
pub struct Site {
    folder: TempDir,
}

impl Site {
    /// A repository with a configuration of its own, so that nothing above it matters.
    pub fn new(files: &[(&str, &str)]) -> Self {
        let site = Self { folder: TempDir::new().unwrap() };
        if !files.iter().any(|(name, _)| *name == "lintern.yaml") {
            site.write("lintern.yaml", b"lintern: 1\n");
        }
        for (name, text) in files {
            site.write(name, text.as_bytes());
        }
        site
    }

    /// Writes a file, with its folders.
    pub fn write(&self, name: &str, bytes: &[u8]) {
        let path = self.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }

    /// The folder.
    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Runs the program in the folder.
    pub fn lintern(&self, arguments: &[&str]) -> Outcome {
        run(self.path(), arguments, &[])
    }
}

/// What a run printed and how it ended.
#[derive(Debug)]
pub struct Outcome {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Outcome {
    /// Standard output as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|e| panic!("not JSON ({e}): {self:#?}"))
    }
}

/// Runs the program with a clean environment and a cache of the test build.
pub fn run(folder: &Path, arguments: &[&str], environment: &[(&str, &str)]) -> Outcome {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_lintern"));
    command.current_dir(folder).args(arguments);
    for name in ["CI", "NO_COLOR", "COLUMNS", "RAYON_NUM_THREADS", "LINTERN_CACHE"] {
        command.env_remove(name);
    }
    // Whatever packs the person has who runs the tests.
    command.env("LINTERN_CONFIG", "");
    command.envs(environment.iter().copied());
    let Output { status, stdout, stderr } = command.output().unwrap();
    Outcome {
        code: status.code().expect("ended by itself"),
        out: String::from_utf8(stdout).unwrap(),
        err: String::from_utf8(stderr).unwrap(),
    }
}

/// The folder of the demo plans.
pub fn demo() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans")
}
