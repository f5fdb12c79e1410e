//! Plans that faults are put into: the clean demo plans and generated ones.

use lintern_core::layout::{Layout, NodeRef};
use lintern_core::plan;
use lintern_core::plan::model::{OutputCurrent, Stranding};
use lintern_core::plan::quantity::{Resistance, Voltage};
use lintern_core::plan::scalar::Conductor;
use lintern_core::repository::Repository;
use lintern_tests::seeded::Seeded;
use lintern_tests::wiring::{Wiring, cable};
use std::path::Path;
use std::sync::Arc;

/// A demo plan as it is.
pub fn demo(file: &str) -> Layout {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans").join(file);
    let repository = Repository::of(&path).expect("a repository");
    plan::load(&repository, &path).layout.expect("a plan in order")
}

/// A supply with three outputs that feeds a few chains of 12 AWG over a junction.
pub fn generated(random: &mut Seeded) -> Layout {
    let mut w = Wiring::new();
    let current = if random.below(2) == 0 { OutputCurrent::Ac } else { OutputCurrent::Dc };
    let supply = w.supply(current, &[(12.0, Some(0.01)), (13.0, Some(0.01)), (14.0, Some(0.01))], None);
    w.supply_type(supply).input_volts = Some(Voltage::from_si(120.0));
    w.supply_type(supply).regulated = Some(false);
    let mut twelve = cable("twelve");
    twelve.conductor = Some(Conductor::Awg(12));
    twelve.stranding = Stranding::Stranded;
    let twelve = Arc::new(twelve);
    for _ in 0..1 + random.below(3) {
        let output = random.below(3);
        let mut last = NodeRef::Output { supply, output };
        if random.below(2) == 0 {
            let hub = w.junction();
            w.run(twelve.clone(), last, hub, 5.0 + 15.0 * random.unit());
            last = hub;
        }
        let hub = last;
        for _ in 0..1 + random.below(2) {
            last = hub;
            for _ in 0..2 + random.below(4) {
                let load = w.power(4.0 + 12.0 * random.unit());
                let kind = w.luminaire_type(load);
                kind.apparent_power = Some(lintern_core::plan::quantity::ApparentPower::from_si(kind.power.si() * 1.1));
                w.run(twelve.clone(), last, load, 3.0 + 9.0 * random.unit());
                last = load;
            }
        }
    }
    let splice = Arc::new(splice(0.001));
    for junction in &mut w.layout.junctions {
        junction.splice = Some(splice.clone());
    }
    for luminaire in &mut w.layout.luminaires {
        luminaire.splice = Some(splice.clone());
    }
    w.layout
}

/// A splice of this resistance.
pub fn splice(ohms: f64) -> lintern_core::layout::SpliceType {
    lintern_core::layout::SpliceType {
        name: lintern_core::plan::scalar::Id("splice".to_owned()),
        location: None,
        direct_burial: None,
        resistance: Some(Resistance::from_si(ohms)),
        house: Default::default(),
    }
}
