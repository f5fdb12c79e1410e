//! `lintern size`.

use super::setup::Setup;
use super::{Exit, print, stop, style, write};
use crate::args::{Format, Size};
use crate::output;
use lintern_core::plan::load;
use lintern_core::plan::scalar::Date;
use lintern_core::sizing::{self, Proposal, Request, Rules, Sizing, SizingError, Weights};
use std::path::Path;

pub fn run(args: &Size) -> Exit {
    let repository = match super::repository(&args.plan) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let as_of = args.as_of.unwrap_or_else(|| Date(jiff::ZonedDateTime::now().date()));
    let loaded = load(&repository, &args.plan);
    let mut setup = Setup::new(&args.rules);
    let house = setup.repository(&repository);
    if super::report(&setup.errors) != Exit::Clean {
        return Exit::NotChecked;
    }
    let modules = setup.modules(&house);
    let options = house.options(as_of);
    let rules = Rules { repository: &repository, path: &args.plan, modules: &modules, options: &options };
    let sizing = match sizing::size(&loaded, &rules, &request(args)) {
        Ok(sizing) => sizing,
        Err(SizingError::Plan(diagnostics)) => {
            eprint!("{}", output::terminal::diagnostics(&diagnostics, &loaded.sources, style()));
            return Exit::NotChecked;
        }
        Err(error) => {
            eprintln!("lintern: {}", output::escape::terminal(&error.to_string()));
            return Exit::NotChecked;
        }
    };
    let chosen = chosen(args, &sizing);
    print(&match args.format {
        Format::Json => output::size::json(&loaded.file, as_of, &sizing),
        Format::Terminal => output::size::table(&loaded, as_of, &sizing, chosen),
    });
    if let Some(path) = &args.write {
        let Some((_, proposal)) = chosen else {
            eprintln!("lintern: nothing is written: there is no proposal");
            return Exit::Found;
        };
        if loaded.doc().is_some_and(|doc| !doc.r#use.is_absent()) && !beside(path, &args.plan) {
            eprintln!(
                "lintern: nothing is written: the plan names shared schedules from its own folder; write it beside {}",
                args.plan.display()
            );
            return Exit::NotChecked;
        }
        if let Err(error) = write::new(path, &proposal.plan) {
            return stop(&format!("can't write {}: {error}", path.display()));
        }
    }
    if chosen.is_some_and(|(_, proposal)| proposal.is_clean()) { Exit::Clean } else { Exit::Found }
}

fn request(args: &Size) -> Request {
    let mut weights = Weights {
        trench_per_m: args.trench_weight,
        splice_each: args.splice_weight,
        supply_per_va: args.supply_weight,
        ..Weights::default()
    };
    for weight in &args.cable_weight {
        match &weight.cable {
            None => weights.cable_per_m = weight.per_m,
            Some(cable) => weights.cable_type_per_m.push((cable.clone(), weight.per_m)),
        }
    }
    Request { from: args.from, slack: args.slack, volts: args.volts.map(|volts| f64::from(volts as u8)), weights }
}

/// The proposal of the topology that is asked for, else the first in rank.
fn chosen<'a>(args: &Size, sizing: &'a Sizing) -> Option<(sizing::Topology, &'a Proposal)> {
    let wanted = args.topology.map(sizing::Topology::from);
    let result = sizing.topologies.iter().find(|result| match wanted {
        Some(topology) => result.topology == topology,
        None => result.rank == Some(1),
    })?;
    Some((result.topology, result.proposal.as_ref()?))
}

/// Whether two files stand in one folder.
fn beside(a: &Path, b: &Path) -> bool {
    match (write::folder(a).canonicalize(), write::folder(b).canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => false,
    }
}
