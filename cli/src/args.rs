//! The command line.

mod exchange;

pub use exchange::{Export, ExportGeojson, Import, ImportCsv, ImportGeojson, NewPlan, Target, country, region};

use crate::drawing::paper::Paper;
use clap::{Args, Parser, Subcommand, ValueEnum};
use lintern_core::analysis::Case;
use lintern_core::finding::Level;
use lintern_core::plan::scalar::{Date, Point, Slack};
use lintern_core::repository::Shard;
use lintern_core::sizing::Topology;
use std::path::PathBuf;

/// Checks plans of outdoor low-voltage lighting before anyone digs or applies for a permit.
#[derive(Debug, Parser)]
#[command(
    name = "lintern",
    version,
    about,
    after_help = "Exit codes: 0 nothing at or above --fail-on; 1 something is; 2 something could not be checked; 3 no plan found."
)]
pub struct Cli {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check plans against the rules
    Check(Check),
    /// Start a plan from flags and a few questions, and say what is still to be decided
    New(NewPlan),
    /// Take a survey or a luminaire schedule into a plan, and list what could not be placed
    #[command(subcommand)]
    Import(Import),
    /// Write a plan for other programs
    #[command(subcommand)]
    Export(Export),
    /// Say what a change does to the findings: between files, folders or revisions of git
    Compare(Compare),
    /// Record the present findings, so that `check` fails on new ones alone
    Baseline(Baseline),
    /// Put the parts of a run (`check --shard K/N --format json`) together
    Merge(Merge),
    /// Run the check of a report again: it must give the same bytes, or what differs is told
    Verify(Verify),
    /// Compute the voltages, currents and loadings of one plan
    Solve(Solve),
    /// Find the smallest changes to a plan that cure its findings
    Remedy(Remedy),
    /// Propose supplies, circuits and conductors for placed luminaires, by several topologies side by side
    Size(Size),
    /// Compare readings of the finished work with a plan, and name what explains a difference
    Readings(Readings),
    /// Write the permit packet of one plan: drawing, schedules, voltages, cover, findings, on paper
    Report(Report),
    /// Draw the site of one plan to scale
    Draw(Draw),
    /// List what remains to be done, in the order of the work, from the plan's own records
    Steps(Steps),
    /// List the rules: where each comes from, and what is set for it
    Rules(Rules),
    /// Show what applies to the plans of a repository: its configuration, packs, files of rules, settings and amendments
    Config(Rules),
    /// Show a rule's page: what it checks, its citations by code and edition, its settings
    Explain(Explain),
    /// Print the JSON Schema of plans, or of the other files that lintern reads
    Schema(Schema),
    /// Print what a shell needs to complete commands and options
    Completions(Completions),
    /// Print the manual page, or write the pages of all commands to a folder
    Man(ManPages),
    /// Serve an editor by the Language Server Protocol: findings while you type, and what belongs to them
    Serve(Serve),
    /// Write, test, inspect and pin rules of your own
    #[command(subcommand)]
    Rule(Rule),
}

#[derive(Debug, Subcommand)]
pub enum Rule {
    /// Write the folder of a new rule module, which builds and passes its tests as it stands
    New(RuleNew),
    /// Hold the rules of a folder against the plans in its `cases`
    Test(RuleTest),
    /// Show what a rule module holds: rules, settings, imports, size and digest
    Inspect(RuleInspect),
    /// Write the digests of all files of rules into the manifest of a pack, or into lintern.yaml
    Pin(RulePin),
}

#[derive(Debug, Args)]
pub struct RuleNew {
    /// Name of the rule's defect, like dim-lamp, or topic/defect; the topic is `house` where there is none
    pub name: String,
    /// Write a file of expressions, which needs no compiler, instead of a crate
    #[arg(long)]
    pub expression: bool,
}

#[derive(Debug, Args)]
#[command(after_help = "Exit codes: 0 every case agrees; 1 some differ; 2 something could not be run.")]
pub struct RuleTest {
    /// A crate, or a folder with modules (.wasm) or files of expressions (.rules.yaml), with plans in its `cases`
    #[arg(default_value = ".")]
    pub folder: PathBuf,
    /// Test this module or file of expressions instead of what the folder holds
    #[arg(long, value_name = "FILE")]
    pub module: Option<PathBuf>,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
}

#[derive(Debug, Args)]
pub struct RuleInspect {
    /// The module
    pub file: PathBuf,
    /// How to print it
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
}

/// Rules from outside of the repository.
#[derive(Debug, Default, Args)]
pub struct RuleArgs {
    /// Use a pack of rules besides those that the repository names; may be repeated
    #[arg(long = "pack", value_name = "FOLDER")]
    pub packs: Vec<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Check {
    /// Plans, or folders with plans
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = CheckFormat::Terminal)]
    pub format: CheckFormat,
    /// Write the result to a file as well, like sarif=lintern.sarif; may be repeated
    #[arg(long, value_name = "FORMAT=FILE", value_parser = output)]
    pub output: Vec<Output>,
    /// The day against which tickets and waivers are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    /// Exit 1 when there is something at or above this; default violation
    #[arg(long, value_enum, value_name = "LEVEL")]
    pub fail_on: Option<FailOn>,
    /// Show only findings at or above this level
    #[arg(long, value_enum, value_name = "LEVEL", default_value_t = LevelArg::Reminder)]
    pub show: LevelArg,
    /// Put all margins into the JSON: by how much each number keeps or breaks its limit
    #[arg(long)]
    pub margins: bool,
    /// List what passes by no more than this share of its limit, like 5%
    #[arg(long, value_name = "PERCENT", value_parser = percent)]
    pub near_miss: Option<f64>,
    /// Tell what was passed over and why
    #[arg(long, short)]
    pub verbose: bool,
    /// Don't look for changes that would cure the findings
    #[arg(long)]
    pub no_remedies: bool,
    /// List data that no rule reads: it is left out, and every plan checked again
    #[arg(long, conflicts_with = "shard")]
    pub coverage: bool,
    /// Accept neither waivers nor baselines, and show what the plans amount to with and without them
    #[arg(long)]
    pub as_reviewer: bool,
    /// Don't use the baseline of the repository
    #[arg(long)]
    pub no_baseline: bool,
    /// Print the last lines alone, and what could not be checked
    #[arg(long, short)]
    pub quiet: bool,
    /// Check only the plans that changes since this revision of git touch: directly, or through a shared schedule, a
    /// pack or the configuration
    #[arg(long, value_name = "REVISION")]
    pub changed_since: Option<String>,
    /// Check one of several equal parts of the plans, like 2/4; `lintern merge` puts the parts together
    #[arg(long, value_name = "K/N", value_parser = shard)]
    pub shard: Option<Shard>,
    /// Check again whenever a plan, a rule or the configuration changes, until Ctrl-C
    #[arg(long)]
    pub watch: bool,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
#[command(
    after_help = "Exit codes: 0 nothing at or above --fail-on is new or worse; 1 something is; 2 the later state could not be checked; 3 no plan found."
)]
pub struct Compare {
    /// The earlier state: a plan, a folder, or a revision of git
    pub old: String,
    /// The later state; default the present files
    pub new: Option<String>,
    /// The plan or folder that is looked at in revisions and, without NEW, in the present files; default the path of
    /// the other state, else the present folder
    #[arg(long, value_name = "PATH")]
    pub path: Option<PathBuf>,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = CompareFormat::Terminal)]
    pub format: CompareFormat,
    /// The day against which both are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    /// Exit 1 when something new or worse is at or above this; default that of the configuration, else violation
    #[arg(long, value_enum, value_name = "LEVEL")]
    pub fail_on: Option<FailOn>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Baseline {
    /// Plans, or folders with plans
    #[arg(default_value = ".")]
    pub paths: Vec<PathBuf>,
    /// The day against which tickets and waivers are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Merge {
    /// The parts, in any order
    #[arg(required = true)]
    pub parts: Vec<PathBuf>,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = CheckFormat::Terminal)]
    pub format: CheckFormat,
    /// Write the result to a file as well, like sarif=lintern.sarif; may be repeated
    #[arg(long, value_name = "FORMAT=FILE", value_parser = output)]
    pub output: Vec<Output>,
    /// Print the last lines alone, and what could not be checked
    #[arg(long, short)]
    pub quiet: bool,
}

#[derive(Debug, Args)]
#[command(after_help = "Exit codes: 0 the same bytes; 1 they differ; 2 it could not be run again.")]
pub struct Verify {
    /// A result of `check` in json, sarif, junit or markdown
    pub report: PathBuf,
    /// The folder that its paths count from; default the root of version control, else the present folder
    #[arg(long = "in", value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

/// A file that a result is written to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Output {
    /// How.
    pub format: CheckFormat,
    /// Where.
    pub file: PathBuf,
}

fn output(text: &str) -> Result<Output, String> {
    let all = || CheckFormat::value_variants().iter().filter_map(CheckFormat::to_possible_value);
    let names = || all().map(|value| value.get_name().to_owned()).collect::<Vec<_>>().join(", ");
    let (format, file) = text
        .split_once('=')
        .filter(|(_, file)| !file.is_empty())
        .ok_or_else(|| format!("write it as FORMAT=FILE, like sarif=lintern.sarif; formats: {}", names()))?;
    let format = CheckFormat::from_str(format, false)
        .map_err(|_| format!("there is no format `{format}`; formats: {}", names()))?;
    Ok(Output { format, file: PathBuf::from(file) })
}

#[derive(Debug, Args)]
pub struct Remedy {
    /// The plan
    pub plan: PathBuf,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
    /// The day against which tickets and waivers are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    /// Look for cures of this rule's findings alone
    #[arg(long, value_name = "RULE")]
    pub rule: Option<String>,
    /// Write the plan with the cure of this number
    #[arg(long, value_name = "N")]
    pub apply: Option<usize>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Solve {
    /// The plan
    pub plan: PathBuf,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
    /// Which conductor temperature to solve at
    #[arg(long, value_enum, default_value_t = CaseArg::Judged)]
    pub case: CaseArg,
}

#[derive(Debug, Args)]
#[command(
    after_help = "Exit codes: 0 the packet is written, whatever was found; 2 it is not, or something could not be checked. Baselines are not used: they are for those who watch changes, not for those who judge a plan."
)]
pub struct Report {
    /// The plan
    pub plan: PathBuf,
    /// The file to write, which ends in .html or .pdf
    #[arg(long, short, value_name = "FILE")]
    pub output: PathBuf,
    /// Paper of the pages of text; default letter in North America, else A4
    #[arg(long, value_enum)]
    pub paper: Option<Paper>,
    /// Paper of the site drawing; default the smallest usual one on which its labels are clear of each other
    #[arg(long, value_enum, value_name = "PAPER")]
    pub sheet: Option<Paper>,
    /// The day against which tickets and waivers are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    /// Count findings that are waived like the others
    #[arg(long)]
    pub as_reviewer: bool,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Draw {
    /// The plan
    pub plan: PathBuf,
    /// The file to write, which ends in .svg; default standard output
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Paper; default the smallest usual one on which the labels are clear of each other
    #[arg(long, value_enum, value_name = "PAPER")]
    pub sheet: Option<Paper>,
}

#[derive(Debug, Args)]
pub struct Readings {
    /// The plan, with its `readings`
    pub plan: PathBuf,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
}

#[derive(Debug, Args)]
pub struct Steps {
    /// The plan
    pub plan: PathBuf,
    /// How to print the steps
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
    /// The day that counts as today, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Size {
    /// A plan with placed luminaires, and neither junctions nor runs
    pub plan: PathBuf,
    /// How to print the result
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
    /// Where the runs start, in grid units, for a plan whose supply has no place
    #[arg(long, value_name = "X,Y", value_parser = point, allow_hyphen_values = true)]
    pub from: Option<Point>,
    /// Allowance on each straight segment, a share or a length
    #[arg(long, value_name = "SLACK", default_value = "5 %")]
    pub slack: Slack,
    /// Volts of the outputs; default the nominal voltage of the luminaires
    #[arg(long, value_enum)]
    pub volts: Option<VoltsArg>,
    /// The topology that is shown in full and written; default the first in rank
    #[arg(long, value_enum)]
    pub topology: Option<TopologyArg>,
    /// Write the plan with the proposal in it to a new file
    #[arg(long, value_name = "FILE")]
    pub write: Option<PathBuf>,
    /// Weight of a metre of cable, of any or as TYPE=NUMBER of one type; may be repeated
    #[arg(long, value_name = "[TYPE=]NUMBER", value_parser = cable_weight)]
    pub cable_weight: Vec<CableWeight>,
    /// Weight of a metre of trench
    #[arg(long, value_name = "NUMBER", default_value = "0", value_parser = weight)]
    pub trench_weight: f64,
    /// Weight of a splice
    #[arg(long, value_name = "NUMBER", default_value = "0", value_parser = weight)]
    pub splice_weight: f64,
    /// Weight of a VA (W on DC) of the ratings of the supplies
    #[arg(long, value_name = "NUMBER", default_value = "0", value_parser = weight)]
    pub supply_weight: f64,
    /// The day against which amendments and waivers are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

/// The weight of a metre of cable.
#[derive(Debug, Clone, PartialEq)]
pub struct CableWeight {
    /// The cable type; `None` for all others.
    pub cable: Option<String>,
    /// Its weight.
    pub per_m: f64,
}

fn weight(text: &str) -> Result<f64, String> {
    let number = text.trim().parse::<f64>().ok();
    number
        .filter(|weight| (0.0..=1e9).contains(weight))
        .ok_or_else(|| "a weight is a plain number from 0 to 1000000000".to_owned())
}

fn cable_weight(text: &str) -> Result<CableWeight, String> {
    match text.rsplit_once('=') {
        Some((cable, _)) if cable.trim().is_empty() => {
            Err("the cable type before `=` is empty; write TYPE=NUMBER, or a number for all cable".to_owned())
        }
        Some((cable, number)) => Ok(CableWeight { cable: Some(cable.trim().to_owned()), per_m: weight(number)? }),
        None => Ok(CableWeight { cable: None, per_m: weight(text)? }),
    }
}

fn point(text: &str) -> Result<Point, String> {
    /// As in plans.
    const MOST: f64 = 1e8;
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.abs() <= MOST);
    let point = text.split_once(',').and_then(|(x, y)| Some(Point { x: number(x)?, y: number(y)? }));
    point.ok_or_else(|| "a point is two numbers in grid units, like 30,2.5".to_owned())
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum VoltsArg {
    #[value(name = "12")]
    V12 = 12,
    #[value(name = "15")]
    V15 = 15,
    #[value(name = "24")]
    V24 = 24,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum TopologyArg {
    Star,
    Hub,
    Chain,
    Tee,
    Loop,
}

impl From<TopologyArg> for Topology {
    fn from(arg: TopologyArg) -> Self {
        match arg {
            TopologyArg::Star => Self::Star,
            TopologyArg::Hub => Self::Hub,
            TopologyArg::Chain => Self::Chain,
            TopologyArg::Tee => Self::Tee,
            TopologyArg::Loop => Self::Loop,
        }
    }
}

#[derive(Debug, Args)]
pub struct Rules {
    /// A plan or folder whose configuration may bring in house modules
    #[arg(default_value = ".")]
    pub path: PathBuf,
    /// How to print the list
    #[arg(long, value_enum, default_value_t = Format::Terminal)]
    pub format: Format,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct RulePin {
    /// The folder of a pack, or of a plan repository
    #[arg(default_value = ".")]
    pub path: PathBuf,
}

#[derive(Debug, Args)]
pub struct Explain {
    /// Id of the rule, like voltage/undervoltage
    pub rule: String,
    /// A plan or folder whose configuration may bring in house modules
    #[arg(long, default_value = ".", conflicts_with = "plan")]
    pub path: PathBuf,
    /// Show the rule's limits as they apply to this plan: code, state or country, local amendments, house
    #[arg(long, value_name = "PLAN")]
    pub plan: Option<PathBuf>,
    /// The day against which amendments are judged, like 2026-03-01; default today
    #[arg(long, value_name = "DATE", requires = "plan")]
    pub as_of: Option<Date>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

/// A part of a run.
pub fn shard(text: &str) -> Result<Shard, String> {
    let number = |text: &str| text.trim().parse::<u32>().ok();
    let shard = text.split_once('/').and_then(|(k, n)| Some(Shard { number: number(k)?, of: number(n)? }));
    shard
        .filter(|shard| (1..=10_000).contains(&shard.of) && (1..=shard.of).contains(&shard.number))
        .ok_or_else(|| "a part is its number and how many there are, like 2/4: 1/1 to 10000/10000".to_owned())
}

#[derive(Debug, Args)]
pub struct Schema {
    /// Which files the schema is for
    #[arg(value_enum, value_name = "FILE", default_value_t = SchemaOf::Plan)]
    pub of: SchemaOf,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SchemaOf {
    /// Plans
    Plan,
    /// lintern.yaml of a plan repository
    Config,
    /// Files of expressions, *.rules.yaml
    Expressions,
    /// The manifest of a pack, pack.yaml
    Pack,
    /// Files of local amendments
    Amendments,
    /// The user's own configuration
    UserConfig,
}

#[derive(Debug, Args)]
#[command(
    after_help = "Speaks on standard input and output until the editor says that it is done. Exit codes: 0 after `shutdown` and `exit`; 1 without `shutdown`, or when the editor is gone; 2 when what it sends can't be read."
)]
pub struct Serve {
    /// The day against which tickets and waivers are judged, like 2026-03-01; default each day as it comes
    #[arg(long, value_name = "DATE")]
    pub as_of: Option<Date>,
    #[command(flatten)]
    pub rules: RuleArgs,
}

#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

#[derive(Debug, Args)]
pub struct ManPages {
    /// Write one page for each command to this folder
    pub folder: Option<PathBuf>,
}

/// A share of a limit, from 0 % to 100 %.
fn percent(text: &str) -> Result<f64, String> {
    let number = text.trim().strip_suffix('%').and_then(|number| number.trim().parse::<f64>().ok());
    number.filter(|percent| (0.0..=100.0).contains(percent)).ok_or_else(|| {
        "a share of the limit from 0 % to 100 % is wanted, with its unit: `5%`, or `5 %` in quotes".to_owned()
    })
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Terminal,
    /// For programs
    Json,
}

/// How the result of a check is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// For people
    Terminal,
    /// For programs: everything that was found
    Json,
    /// SARIF 2.1.0, for code scanning
    Sarif,
    /// JUnit XML, for test dashboards
    Junit,
    /// Annotations of GitHub Actions, and the summary of the job
    Github,
    /// Code quality report of GitLab
    Gitlab,
    /// A comment on a pull or merge request
    Markdown,
}

/// How a comparison is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CompareFormat {
    /// For people
    Terminal,
    /// For programs
    Json,
    /// A comment on a pull or merge request
    Markdown,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LevelArg {
    Violation,
    Advice,
    Reminder,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum FailOn {
    Violation,
    Advice,
    Reminder,
    /// Also when an element could not be checked
    Undetermined,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum CaseArg {
    Judged,
    Soil,
}

impl From<LevelArg> for Level {
    fn from(arg: LevelArg) -> Self {
        match arg {
            LevelArg::Violation => Self::Violation,
            LevelArg::Advice => Self::Advice,
            LevelArg::Reminder => Self::Reminder,
        }
    }
}

impl From<CaseArg> for Case {
    fn from(arg: CaseArg) -> Self {
        match arg {
            CaseArg::Judged => Self::Judged,
            CaseArg::Soil => Self::Soil,
        }
    }
}
