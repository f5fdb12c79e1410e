//! One type of each kind, checked.

use super::types::Named;
use super::{house, items, temperature};
use crate::analysis::conductor::{known_sizes, table_ohms_per_m};
use crate::layout::{CableType, LuminaireType, Output, SpliceType, SupplyType};
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::model::{
    CableTypeDoc, LoadModel, LuminaireTypeDoc, Material, OutputDoc, SpliceTypeDoc, Stranding, SupplyTypeDoc,
};
use crate::plan::quantity::{ApparentPower, Kind, Quantity};
use crate::plan::scalar::{Conductor, Id, Rating};
use std::collections::HashMap;

/// A value that must be above zero.
fn positive<K: Kind>(field: &Field<Quantity<K>>, errors: &mut Diagnostics) {
    if let Some(value) = field.get().filter(|v| v.si() <= 0.0) {
        errors.push(|| Diagnostic::new(field.span, format!("`{value}` must be above zero")));
    }
}

pub(super) fn luminaire_type(name: &Id, doc: &LuminaireTypeDoc, errors: &mut Diagnostics) -> Option<LuminaireType> {
    positive(&doc.nominal, errors);
    let input = doc.input.cloned().unwrap_or_default();
    if let (Some(min), Some(max)) = (input.min.get(), input.max.get())
        && min.si() > max.si()
    {
        errors.push(|| {
            Diagnostic::new(input.min.span, format!("the lowest input voltage `{min}` is above the highest, `{max}`"))
        });
    }
    let apparent_power = apparent_power(doc, errors);
    Some(LuminaireType {
        name: name.clone(),
        power: doc.power.cloned()?,
        apparent_power,
        load: doc.load.cloned().unwrap_or(LoadModel::ConstantPower),
        nominal: doc.nominal.cloned()?,
        input_min: input.min.cloned(),
        input_max: input.max.cloned(),
        cut_out: doc.cut_out.cloned(),
        current: doc.current.cloned(),
        ip: items(&doc.ip).iter().filter_map(Field::cloned).collect(),
        location: doc.location.cloned(),
        traffic: doc.traffic.cloned(),
        width: doc.width.cloned(),
        body_depth: doc.body_depth.cloned(),
        cct: doc.cct.cloned(),
        flux: doc.flux.cloned(),
        immersion_depth: doc.immersion_depth.cloned(),
        listed: doc.listed.cloned(),
        grounding_required: doc.grounding_required.cloned(),
        lamp: doc.lamp.cloned(),
        dimming: items(&doc.dimming).iter().filter_map(Field::cloned).collect(),
        shielded: doc.shielded.cloned(),
        house: house(&doc.house),
    })
}

/// Apparent power as stated, or from power and power factor.
fn apparent_power(doc: &LuminaireTypeDoc, errors: &mut Diagnostics) -> Option<ApparentPower> {
    /// Makers round: 8.6 W at 8.6 VA may be printed as 9 W and 8.99 VA.
    const ROUNDING: f64 = 0.001;
    if let (Some(here), Some(there)) = (doc.power_factor.span, doc.apparent_power.span) {
        errors.push(|| {
            Diagnostic::new(here, "`power-factor` and `apparent-power` exclude each other")
                .also(there, "the apparent power")
                .help("keep the one that the maker states")
        });
    }
    if let (Some(power), Some(apparent)) = (doc.power.get(), doc.apparent_power.get())
        && apparent.si() < power.si() * (1.0 - ROUNDING)
    {
        errors.push(|| {
            let diagnostic = Diagnostic::new(
                doc.apparent_power.span,
                format!("the apparent power `{apparent}` is less than the power `{power}`"),
            )
            .help("volt-amperes are never less than watts; check the data sheet");
            match doc.power.span {
                Some(span) => diagnostic.also(span, "the power"),
                None => diagnostic,
            }
        });
    }
    let factor = doc.power_factor.cloned();
    if let Some(factor) = factor.filter(|f| !(*f > 0.0 && *f <= 1.0)) {
        errors.push(|| {
            Diagnostic::new(doc.power_factor.span, format!("a power factor is above 0 and at most 1, this is {factor}"))
        });
        return None;
    }
    doc.apparent_power.cloned().or_else(|| Some(ApparentPower::from_si(doc.power.get()?.si() / factor?)))
}

pub(super) fn cable_type(named: Named<'_>, doc: &CableTypeDoc, errors: &mut Diagnostics) -> Option<CableType> {
    const MOST_PARALLEL: u64 = 64;
    temperature(&doc.insulation, errors);
    temperature(&doc.resistance_at, errors);
    positive(&doc.resistance, errors);
    if let (Some(at), true) = (doc.resistance_at.span, doc.resistance.is_absent()) {
        errors.push(|| {
            Diagnostic::new(at, "`resistance-at` without `resistance` means nothing")
                .help("give the maker's `resistance`, or remove it")
        });
    }
    let parallel = doc.parallel.cloned().unwrap_or(1);
    if parallel == 0 || parallel > MOST_PARALLEL {
        errors.push(|| {
            Diagnostic::new(doc.parallel.span, format!("{parallel} conductors a pole; expected 1 to {MOST_PARALLEL}"))
        });
    }
    let stranding = stranding(named, doc, errors);
    Some(CableType {
        name: named.name.clone(),
        conductor: doc.conductor.cloned(),
        stranding,
        material: doc.material.cloned().unwrap_or(Material::Copper),
        // Larger numbers have just been reported.
        parallel: u32::try_from(parallel).unwrap_or(1),
        kind: doc.kind.cloned(),
        direct_burial: doc.direct_burial.cloned(),
        insulation: doc.insulation.cloned(),
        ampacity: doc.ampacity.cloned(),
        resistance: doc.resistance.cloned(),
        resistance_at: doc.resistance_at.cloned(),
        location: doc.location.cloned(),
        sunlight_resistant: doc.sunlight_resistant.cloned(),
        voltage_rating: doc.voltage_rating.cloned(),
        house: house(&doc.house),
    })
}

/// The stranding as stated or by the convention of the size's system; reports a size that no table has.
fn stranding(named: Named<'_>, doc: &CableTypeDoc, errors: &mut Diagnostics) -> Stranding {
    let stated = doc.stranding.cloned();
    let Some(size) = doc.conductor.cloned() else {
        if doc.conductor.is_absent() && doc.resistance.is_absent() {
            errors.push(|| {
                Diagnostic::new(
                    named.span,
                    format!("the cable type `{}` has neither `conductor` nor `resistance`", named.name),
                )
                .help("give its size, like `conductor: 12 AWG`, or its maker's `resistance`, like `5.21 ohm/km`")
            });
        }
        // Without a size the resistance is the maker's, and nothing reads the stranding.
        return stated.unwrap_or(Stranding::Stranded);
    };
    let (convention, fitting): (Stranding, &[Stranding]) = match size {
        Conductor::Awg(_) => (Stranding::Stranded, &[Stranding::Solid, Stranding::Stranded]),
        Conductor::Mm2(_) => {
            (Stranding::IecClass2, &[Stranding::IecClass1, Stranding::IecClass2, Stranding::IecClass5])
        }
    };
    let stranding = stated.unwrap_or(convention);
    if !fitting.contains(&stranding) {
        errors.push(|| {
            let words = fitting.iter().map(|s| format!("`{s}`")).collect::<Vec<_>>().join(", ");
            Diagnostic::new(doc.stranding.span, format!("`{stranding}` is no stranding of `{size}`"))
                .help(format!("accepted for it: {words}"))
        });
    } else if doc.resistance.is_absent() && table_ohms_per_m(size, stranding, 75.0).is_none() {
        errors.push(|| {
            Diagnostic::new(doc.conductor.span, format!("the resistance of `{size}`, {stranding}, is in no table here"))
                .help(format!(
                    "sizes in the table: {}; {}or give the maker's `resistance`",
                    known_sizes(size),
                    // NEC Chapter 9 Table 8 lists solid conductors only up to 8 AWG.
                    if stranding == Stranding::Solid { "solid ones only from 18 to 8 AWG; " } else { "" },
                ))
        });
    }
    stranding
}

pub(super) fn supply_type(name: &Id, doc: &SupplyTypeDoc, errors: &mut Diagnostics) -> Option<SupplyType> {
    let rating_si = doc.rating.get().map(|rating| match rating {
        Rating::Apparent(va) => va.si(),
        Rating::Real(w) => w.si(),
    });
    if rating_si.is_some_and(|si| si <= 0.0) {
        errors.push(|| Diagnostic::new(doc.rating.span, "a rating must be above zero"));
    }
    let mut names: HashMap<&Id, Option<Span>> = HashMap::new();
    for output in items(&doc.outputs).iter().filter_map(Field::get) {
        positive(&output.volts, errors);
        let Some(name) = output.name.get() else { continue };
        match names.get(name) {
            Some(first) => errors.push(|| {
                let diagnostic = Diagnostic::new(output.name.span, format!("the output `{name}` is defined twice"));
                match first {
                    Some(first) => diagnostic.also(*first, "first defined here"),
                    None => diagnostic,
                }
            }),
            None => {
                names.insert(name, output.name.span);
            }
        }
    }
    if doc.outputs.get().is_some_and(Vec::is_empty) {
        errors.push(|| {
            Diagnostic::new(doc.outputs.span, "a supply needs at least one output")
                .help("like `outputs: [{ name: \"12\", volts: 12 V }]`")
        });
    }
    Some(SupplyType {
        name: name.clone(),
        rating: doc.rating.cloned(),
        output_current: doc.output_current.cloned()?,
        outputs: doc.outputs.get()?.iter().map(|o| output(o.get()?)).collect::<Option<_>>()?,
        common_resistance: doc.common_resistance.cloned(),
        regulated: doc.regulated.cloned(),
        input_volts: doc.input_volts.cloned(),
        listing: doc.listing.cloned(),
        enclosure: doc.enclosure.cloned(),
        isolating: doc.isolating.cloned(),
        grounded_output: doc.grounded_output.cloned(),
        pool_listed: doc.pool_listed.cloned(),
        dimming: doc.dimming.cloned(),
        house: house(&doc.house),
    })
}

fn output(doc: &OutputDoc) -> Option<Output> {
    Some(Output {
        name: doc.name.cloned()?,
        volts: doc.volts.cloned()?,
        limit: doc.limit.cloned(),
        protection: doc.protection.cloned(),
        source_resistance: doc.source_resistance.cloned(),
    })
}

pub(super) fn splice_type(name: &Id, doc: &SpliceTypeDoc) -> SpliceType {
    SpliceType {
        name: name.clone(),
        location: doc.location.cloned(),
        direct_burial: doc.direct_burial.cloned(),
        resistance: doc.resistance.cloned(),
        house: house(&doc.house),
    }
}
