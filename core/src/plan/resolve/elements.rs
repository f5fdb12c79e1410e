//! Supplies, junctions and luminaires with their types and splices.

use super::site::Site;
use super::types::Types;
use super::{house, items};
use crate::layout::{Control, Excavation, Feed, Junction, Luminaire, SpliceType, Supply};
use crate::plan::diagnostic::Diagnostics;
use crate::plan::field::Field;
use crate::plan::model::{ExcavationDoc, FeedDoc, PlanDoc};
use crate::plan::scalar::Id;
use std::sync::Arc;

pub(super) fn supplies(plan: &PlanDoc, types: &Types, site: &Site, errors: &mut Diagnostics) -> Vec<Option<Supply>> {
    let mut resolve = |supply: &Field<_>| {
        let supply: &crate::plan::model::SupplyDoc = supply.get()?;
        let kind = types.supplies.follow(&supply.r#type, errors);
        Some(Supply {
            id: supply.id.cloned()?,
            kind: kind?,
            at: site.place(&supply.at),
            mount_height: supply.mount_height.cloned(),
            feed: supply.feed.get().map(feed),
            exposure: supply.exposure.cloned(),
            control: supply
                .control
                .get()
                .map(|control| Control { hours: control.hours.cloned(), dimmer: control.dimmer.cloned() }),
            house: house(&supply.house),
        })
    };
    items(&plan.supplies).iter().map(&mut resolve).collect()
}

fn feed(doc: &FeedDoc) -> Feed {
    Feed {
        circuit: doc.circuit.cloned(),
        breaker: doc.breaker.cloned(),
        gfci: doc.gfci.cloned(),
        in_use_cover: doc.in_use_cover.cloned(),
        connection: doc.connection.cloned(),
        weather_resistant: doc.weather_resistant.cloned(),
        rcd: doc.rcd.cloned(),
        other_load: doc.other_load.cloned(),
    }
}

pub(super) fn junctions(plan: &PlanDoc, types: &Types, site: &Site, errors: &mut Diagnostics) -> Vec<Option<Junction>> {
    let mut resolve = |junction: &Field<_>| {
        let junction: &crate::plan::model::JunctionDoc = junction.get()?;
        let splice = splice(&junction.splice, types, errors);
        Some(Junction {
            id: junction.id.cloned()?,
            at: site.place(&junction.at),
            splice,
            above_ground_box: junction.r#box.cloned(),
            house: house(&junction.house),
        })
    };
    items(&plan.junctions).iter().map(&mut resolve).collect()
}

pub(super) fn luminaires(
    plan: &PlanDoc,
    types: &Types,
    site: &Site,
    errors: &mut Diagnostics,
) -> Vec<Option<Luminaire>> {
    let mut resolve = |luminaire: &Field<_>| {
        let luminaire: &crate::plan::model::LuminaireDoc = luminaire.get()?;
        let kind = types.luminaires.follow(&luminaire.r#type, errors);
        let splice = splice(&luminaire.splice, types, errors);
        let kind = kind?;
        let shielded = luminaire.shielded.cloned().or(kind.shielded);
        Some(Luminaire {
            id: luminaire.id.cloned()?,
            kind,
            at: site.place(&luminaire.at),
            placement: luminaire.placement.cloned(),
            exposure: luminaire.exposure.cloned(),
            splice,
            excavation: luminaire.excavation.get().map(excavation),
            scene: luminaire.scene.cloned(),
            water_depth: luminaire.water_depth.cloned(),
            mount_height: luminaire.mount_height.cloned(),
            lights: luminaire.lights.cloned(),
            aim: luminaire.aim.cloned(),
            shielded,
            cord: luminaire.cord.cloned(),
            removable: luminaire.removable.cloned(),
            house: house(&luminaire.house),
        })
    };
    items(&plan.luminaires).iter().map(&mut resolve).collect()
}

fn excavation(doc: &ExcavationDoc) -> Excavation {
    Excavation {
        width: doc.width.cloned(),
        depth: doc.depth.cloned(),
        base: doc.base.cloned(),
        base_depth: doc.base_depth.cloned(),
        drain: doc.drain.cloned(),
    }
}

/// The splice type that a field names, if it names one.
fn splice(field: &Field<Id>, types: &Types, errors: &mut Diagnostics) -> Option<Arc<SpliceType>> {
    types.splices.follow(field, errors)
}
