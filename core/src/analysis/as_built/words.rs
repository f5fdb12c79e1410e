//! Suspects in words, with the arithmetic behind their numbers.

use super::bench::{Bench, volts};
use super::chi_square::point_95;
use super::fault::{Fault, meeting};
use super::fit::{Fit, Readings, explains_with};
use super::observe::Observed;
use super::{Estimate, FaultKind, Suspect};
use crate::analysis::conductor::{table_ohms_per_m, table_sizes};
use crate::analysis::{Case, Solution, conductor_temperature_c};
use crate::finding::WorkLine;
use crate::layout::{Layout, NodeRef};
use crate::plan::model::{OutputCurrent, Stranding};
use crate::plan::scalar::Conductor;

/// Three or four significant digits, without trailing zeros.
pub(super) fn digits(value: f64) -> String {
    let decimals = match value.abs() {
        v if v >= 1000.0 => 0,
        v if v >= 100.0 => 1,
        v if v >= 10.0 => 2,
        v if v >= 1.0 => 3,
        v if v >= 0.1 => 4,
        _ => 5,
    };
    let text = format!("{value:.decimals$}");
    let short = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".to_owned() } else { short.to_owned() }
}

/// `0.245 ± 0.03`.
fn with_uncertainty(value: f64, uncertainty: Option<f64>) -> String {
    match uncertainty {
        Some(uncertainty) => format!("{} ± {}", digits(value), digits(uncertainty)),
        None => digits(value),
    }
}

/// The suspect that a fit stands for.
pub(super) fn suspect(
    layout: &Layout,
    observed: &Observed,
    readings: &Readings<'_>,
    bench: &mut Bench,
    fit: &Fit,
) -> Suspect {
    let shares: Vec<(usize, f64)> =
        observed.mains.iter().zip(&fit.mains).map(|(mains, share)| (mains.supply, *share)).collect();
    let solution = bench.solve(&fit.put(), &shares);
    let planned = bench.solve(&[], &shares);
    let mut parts = Vec::new();
    for (index, &fault) in fit.faults.iter().enumerate() {
        let found = Found {
            layout,
            observed,
            fault,
            value: fit.values[index],
            uncertainty: fit.uncertainties[index],
            solution: &solution,
            planned: &planned,
        };
        let sizes = match fault {
            Fault::Conductor { run } if fit.faults.len() == 1 => sizes_that_explain(bench, readings, layout, run),
            _ => Vec::new(),
        };
        parts.push(found.part(&sizes));
    }
    let mut work: Vec<WorkLine> = parts.iter().flat_map(|part| part.work.clone()).collect();
    let limit = point_95(fit.degrees);
    let count = observed.observations.len() + observed.mains.len();
    work.push(line("chi-square of the fit", fit.chi_square, "", format!("{count} readings, tolerance / 1.732 each")));
    work.push(line("95 % point of chi-square", limit, "", format!("{} degrees of freedom", fit.degrees)));
    let joined = |of: fn(&Part) -> &str| parts.iter().map(of).collect::<Vec<_>>().join(" and ");
    let mut subjects: Vec<String> = Vec::new();
    for subject in parts.iter().flat_map(|part| &part.subjects) {
        if !subjects.contains(subject) {
            subjects.push(subject.clone());
        }
    }
    Suspect {
        faults: fit.faults.clone(),
        kinds: parts.iter().map(|part| part.kind).collect(),
        subjects,
        place: joined(|part| &part.place),
        phrase: joined(|part| &part.phrase),
        estimates: parts.iter().filter_map(|part| part.estimate.clone()).collect(),
        chi_square: fit.chi_square,
        degrees: fit.degrees,
        chi_square_limit: limit,
        work,
    }
}

/// What is said of one fault.
struct Part {
    kind: FaultKind,
    subjects: Vec<String>,
    place: String,
    phrase: String,
    estimate: Option<Estimate>,
    work: Vec<WorkLine>,
}

/// A fault with what the network does.
struct Found<'a> {
    layout: &'a Layout,
    observed: &'a Observed,
    fault: Fault,
    value: f64,
    uncertainty: Option<f64>,
    solution: &'a Solution,
    planned: &'a Solution,
}

fn line(name: impl Into<String>, value: f64, unit: &str, from: impl Into<String>) -> WorkLine {
    WorkLine { name: name.into(), value, unit: unit.to_owned(), from: from.into() }
}

impl Found<'_> {
    fn part(&self, sizes: &[Conductor]) -> Part {
        match self.fault {
            Fault::AddedOhms { run, segment } => self.added_ohms(run, segment),
            Fault::Splice { node } => self.splice(node),
            Fault::Conductor { run } => self.conductor(run, sizes),
            Fault::Open { run, segment } => self.open(run, segment),
            Fault::SupplyVolts { supply } => self.supply_volts(supply),
            Fault::WrongOutput { run, at_start, output } => self.wrong_output(run, at_start, output),
            Fault::Dead { luminaire } => self.dead(luminaire),
            Fault::Power { luminaire } => self.power(luminaire),
            Fault::Shorted { luminaire } => self.shorted(luminaire),
            Fault::Reversed { run, segment, blocked } => self.reversed(run, segment, blocked),
            Fault::ReversedLeads { luminaire, blocked } => self.reversed_leads(luminaire, blocked),
        }
    }

    fn estimate(&self, name: &'static str, unit: &'static str) -> Option<Estimate> {
        Some(Estimate { name, value: self.value, uncertainty: self.uncertainty, unit })
    }

    /// `R2 between J1 and L3`.
    fn between(&self, run: usize, segment: usize) -> (String, [NodeRef; 2]) {
        let cable = &self.layout.runs[run];
        let ends = &cable.segments[segment];
        let [from, to] = [ends.from, ends.to].map(|node| self.layout.node_name(node));
        (format!("{} between {from} and {to}", cable.id), [ends.from, ends.to])
    }

    /// The run, then the nodes at the ends.
    fn cable_subjects(&self, run: usize, ends: [NodeRef; 2]) -> Vec<String> {
        let mut subjects = vec![self.layout.runs[run].id.0.clone()];
        subjects.extend(ends.iter().map(|node| self.element(*node)));
        subjects
    }

    fn element(&self, node: NodeRef) -> String {
        match node {
            NodeRef::Output { supply, .. } => self.layout.supplies[supply].id.0.clone(),
            _ => self.layout.node_name(node),
        }
    }

    fn added_ohms(&self, run: usize, segment: usize) -> Part {
        let (place, ends) = self.between(run, segment);
        let names = ends.map(|node| self.layout.node_name(node));
        let planned = &self.planned.segments[run][segment];
        let amps = self.solution.segments[run][segment].amps.map_or(0.0, f64::abs);
        let lost = self.value * amps;
        let mut work = Vec::new();
        if let (Some(from), Some(to)) = (volts(self.solution, ends[0]), volts(self.solution, ends[1])) {
            work.push(line(format!("volts at {} with the fault", names[0]), from, "V", "computed"));
            work.push(line(format!("volts at {} with the fault", names[1]), to, "V", "computed"));
            work.push(line(format!("amps in {place}"), amps, "A", "computed"));
            if amps > 0.0 {
                work.push(line("loop with the fault", (from - to).abs() / amps, "ohm", "difference of volts / amps"));
            }
            work.push(line("loop as planned", planned.ohms, "ohm", "plan"));
        }
        work.push(line("added resistance", self.value, "ohm", "loop with the fault - loop as planned"));
        work.push(line("volts lost in it", lost, "V", "added resistance x amps"));
        work.push(line("heat in it", lost * amps, "W", "volts lost x amps"));
        Part {
            kind: FaultKind::AddedResistance,
            subjects: self.cable_subjects(run, ends),
            phrase: format!(
                "{} ohm more than planned in {place}: a bad joint at {} or at {}, or a hurt conductor; it costs {} V and heats with {} W",
                with_uncertainty(self.value, self.uncertainty),
                names[0],
                names[1],
                digits(lost),
                digits(lost * amps)
            ),
            place,
            estimate: self.estimate("added resistance", "ohm"),
            work,
        }
    }

    fn splice(&self, node: NodeRef) -> Part {
        let name = self.layout.node_name(node);
        let joints = meeting(self.layout, node);
        let mut work = vec![line("added resistance of each joint", self.value, "ohm", "fitted")];
        for &(run, segment) in &joints {
            let amps = self.solution.segments[run][segment].amps.map_or(0.0, f64::abs);
            let (place, _) = self.between(run, segment);
            work.push(line(format!("amps in {place}"), amps, "A", "computed"));
            work.push(line(format!("volts lost in its joint at {name}"), self.value * amps, "V", "ohms x amps"));
        }
        Part {
            kind: FaultKind::Splice,
            subjects: vec![self.element(node)],
            place: format!("the splice at {name}"),
            phrase: format!(
                "{} ohm more than planned in each of the {} joints of the splice at {name}",
                with_uncertainty(self.value, self.uncertainty),
                joints.len()
            ),
            estimate: self.estimate("added resistance of each joint", "ohm"),
            work,
        }
    }

    fn conductor(&self, run: usize, sizes: &[Conductor]) -> Part {
        let cable = &self.layout.runs[run];
        let metres: f64 = cable.segments.iter().map(|segment| segment.length_m).sum();
        let loops = |solution: &Solution| solution.segments[run].iter().map(|state| state.ohms).sum::<f64>();
        let named = match sizes {
            [] => "no size of the table of this conductor would".to_owned(),
            sizes => {
                let names: Vec<String> = sizes.iter().map(ToString::to_string).collect();
                format!("{} would", names.join(" or "))
            }
        };
        Part {
            kind: FaultKind::WrongConductor,
            subjects: vec![cable.id.0.clone()],
            place: format!("{} as a whole", cable.id),
            phrase: format!(
                "{} times the planned resistance for each length along the whole of {}: {named}, or a run of {} m in place of {} m",
                with_uncertainty(self.value, self.uncertainty),
                cable.id,
                digits(metres * self.value),
                digits(metres)
            ),
            estimate: self.estimate("resistance over the planned one", ""),
            work: vec![
                line("length as planned", metres, "m", "plan"),
                line("loop as planned", loops(self.planned), "ohm", "plan"),
                line("loop with the fault", loops(self.solution), "ohm", "fitted; splices as planned"),
                line("resistance of each length over the planned one", self.value, "", "fitted"),
            ],
        }
    }

    fn open(&self, run: usize, segment: usize) -> Part {
        let (place, ends) = self.between(run, segment);
        let amps = self.planned.segments[run][segment].amps.map_or(0.0, f64::abs);
        Part {
            kind: FaultKind::OpenConductor,
            subjects: self.cable_subjects(run, ends),
            phrase: format!("{place} is open: it carries nothing"),
            place: place.clone(),
            estimate: None,
            work: vec![line(format!("amps in {place} as planned"), amps, "A", "computed")],
        }
    }

    fn supply_volts(&self, supply: usize) -> Part {
        let installed = &self.layout.supplies[supply];
        let id = &installed.id;
        let percent = with_uncertainty(self.value * 100.0, self.uncertainty.map(|u| u * 100.0));
        let read = self.observed.mains.iter().any(|mains| mains.supply == supply);
        let nominal = installed.kind.input_volts.map(|volts| volts.si());
        let follows = installed.kind.regulated != Some(true);
        let mut work = Vec::new();
        for (output, kind) in installed.kind.outputs.iter().enumerate() {
            let name = self.layout.node_name(NodeRef::Output { supply, output });
            work.push(line(format!("stated volts of {name}"), kind.volts.si(), "V", "plan"));
        }
        work.push(line("given over stated volts", self.value * 100.0, "%", "fitted"));
        let phrase = match (follows && !read, nominal) {
            (true, Some(nominal)) => {
                let mains = nominal * self.value;
                work.push(line("mains that would do it", mains, "V", "nominal mains x share"));
                format!(
                    "{id} gives {percent} % of its stated volts: mains of about {} V in place of {} V, another setting, or a fault of the supply",
                    digits(mains),
                    digits(nominal)
                )
            }
            (true, None) => {
                format!(
                    "{id} gives {percent} % of its stated volts: low mains, another setting, or a fault of the supply"
                )
            }
            (false, _) if read => format!("{id} gives {percent} % of what it should from its mains as read"),
            (false, _) => format!("{id} is regulated and gives {percent} % of its stated volts"),
        };
        Part {
            kind: FaultKind::SupplyVolts,
            subjects: vec![id.0.clone()],
            place: format!("the supply {id} or its mains"),
            phrase,
            estimate: self.estimate("given over stated volts", ""),
            work,
        }
    }

    fn wrong_output(&self, run: usize, at_start: bool, output: usize) -> Part {
        let cable = &self.layout.runs[run];
        let end = if at_start { cable.segments.first().map(|s| s.from) } else { cable.segments.last().map(|s| s.to) };
        let (supply, own) = match end {
            Some(NodeRef::Output { supply, output }) => (supply, output),
            _ => (0, 0),
        };
        let name = |output| self.layout.node_name(NodeRef::Output { supply, output });
        let stated = |output: usize| {
            let volts = self.layout.supplies[supply].kind.outputs.get(output).map_or(0.0, |kind| kind.volts.si());
            line(format!("stated volts of {}", name(output)), volts, "V", "plan")
        };
        Part {
            kind: FaultKind::WrongOutput,
            subjects: vec![cable.id.0.clone(), self.layout.supplies[supply].id.0.clone()],
            place: format!("{} at {}", cable.id, self.layout.supplies[supply].id),
            phrase: format!("{} is connected to {} in place of {}", cable.id, name(output), name(own)),
            estimate: None,
            work: vec![stated(own), stated(output)],
        }
    }

    fn dead(&self, luminaire: usize) -> Part {
        let id = &self.layout.luminaires[luminaire].id;
        let amps = self.planned.luminaires[luminaire].amps.unwrap_or(0.0);
        Part {
            kind: FaultKind::DeadLuminaire,
            subjects: vec![id.0.clone()],
            place: format!("{id}"),
            phrase: format!("{id} draws nothing: its lamp or driver is dead, or its lead is off"),
            estimate: None,
            work: vec![line(format!("amps of {id} as planned"), amps, "A", "computed")],
        }
    }

    /// What the luminaire is planned to draw at nominal volts, with its unit.
    fn stated_power(&self, luminaire: usize) -> (f64, &'static str) {
        let kind = &self.layout.luminaires[luminaire].kind;
        let ac = self.layout.supplies.iter().any(|supply| supply.kind.output_current == OutputCurrent::Ac);
        match kind.apparent_power {
            Some(power) if ac => (power.si(), "VA"),
            _ => (kind.power.si(), "W"),
        }
    }

    fn power(&self, luminaire: usize) -> Part {
        let id = &self.layout.luminaires[luminaire].id;
        let (stated, unit) = self.stated_power(luminaire);
        Part {
            kind: FaultKind::LuminairePower,
            subjects: vec![id.0.clone()],
            place: format!("{id}"),
            phrase: format!(
                "{id} draws {} times its stated power: {} {unit} in place of {} {unit}",
                with_uncertainty(self.value, self.uncertainty),
                digits(stated * self.value),
                digits(stated)
            ),
            estimate: self.estimate("power over the stated one", ""),
            work: vec![
                line(format!("stated power of {id}"), stated, unit, "plan"),
                line("power over the stated one", self.value, "", "fitted"),
            ],
        }
    }

    fn shorted(&self, luminaire: usize) -> Part {
        let id = &self.layout.luminaires[luminaire].id;
        let amps = self.solution.luminaires[luminaire].amps.unwrap_or(0.0);
        let mut work = vec![line("conductance in place of the luminaire", self.value, "S", "fitted")];
        let ohms = match self.value {
            siemens if siemens > 0.0 => {
                work.push(line("resistance in place of the luminaire", siemens.recip(), "ohm", "1 / conductance"));
                format!("a resistance of about {} ohm", digits(siemens.recip()))
            }
            _ => "no load at all".to_owned(),
        };
        work.push(line(format!("amps of {id} with the fault"), amps, "A", "computed"));
        Part {
            kind: FaultKind::ShortedLuminaire,
            subjects: vec![id.0.clone()],
            place: format!("{id}"),
            phrase: format!("{id} is {ohms} that takes {} A: a short in it or in its lead", digits(amps)),
            estimate: self.estimate("conductance in place of the luminaire", "S"),
            work,
        }
    }

    fn reversed(&self, run: usize, segment: usize, blocked: bool) -> Part {
        let (place, ends) = self.between(run, segment);
        let names = ends.map(|node| self.layout.node_name(node));
        Part {
            kind: FaultKind::ReversedPolarity,
            subjects: self.cable_subjects(run, ends),
            phrase: format!(
                "the poles are swapped in {place}, at the joint of {} or of {}, and {}",
                names[0],
                names[1],
                if blocked { "what is behind it draws nothing" } else { "what is behind it draws as planned" }
            ),
            place,
            estimate: None,
            work: self.reversed_work(),
        }
    }

    fn reversed_leads(&self, luminaire: usize, blocked: bool) -> Part {
        let id = &self.layout.luminaires[luminaire].id;
        let draws = if blocked { "it draws nothing" } else { "it draws as planned" };
        Part {
            kind: FaultKind::ReversedLeads,
            subjects: vec![id.0.clone()],
            place: format!("the leads of {id}"),
            phrase: format!("the leads of {id}, or those of the meter there, are swapped, and {draws}"),
            estimate: None,
            work: self.reversed_work(),
        }
    }

    /// Readings below zero, at most eight of them.
    fn reversed_work(&self) -> Vec<WorkLine> {
        let below = self.observed.observations.iter().filter(|o| o.read < 0.0).take(8);
        below.map(|o| line(format!("volts at {}", o.measured.place(self.layout)), o.read, "V", "reading")).collect()
    }
}

/// Sizes of the table of a run's conductor that would explain all readings, in either way of stranding.
fn sizes_that_explain(bench: &mut Bench, readings: &Readings<'_>, layout: &Layout, run: usize) -> Vec<Conductor> {
    let cable = layout.runs[run].cable.clone();
    let Some(planned) = cable.conductor else { return Vec::new() };
    let celsius = conductor_temperature_c(&bench.layout().analysis, cable.conductor, Case::Soil);
    let strandings = match planned {
        Conductor::Awg(_) => [Stranding::Stranded, Stranding::Solid],
        Conductor::Mm2(_) => [Stranding::IecClass2, Stranding::IecClass5],
    };
    let Some(own) = bench.ohms_per_m(run) else { return Vec::new() };
    let mut sizes = Vec::new();
    for size in table_sizes(planned) {
        let fits = strandings.iter().any(|stranding| {
            table_ohms_per_m(size, *stranding, celsius)
                .is_some_and(|ohms| explains_with(bench, readings, Fault::Conductor { run }, ohms / own))
        });
        if fits {
            sizes.push(size);
        }
    }
    sizes
}
