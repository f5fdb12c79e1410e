//! Builds the electrical part of a layout in a few words: outputs, points, loads and cables given by
//! their loop ohms.

use lintern_core::layout::{
    CableType, Junction, Layout, Luminaire, LuminaireType, NodeRef, Output, Run, Segment, Supply, SupplyType,
};
use lintern_core::plan::model::{LoadModel, Material, OutputCurrent, Stranding};
use lintern_core::plan::quantity::{ApparentPower, Power, Resistance, ResistancePerLength, Voltage};
use lintern_core::plan::scalar::Id;
use std::sync::Arc;

/// A layout under construction. Its cable has 1 ohm per metre of loop, unchanged by temperature.
#[derive(Debug, Clone)]
pub struct Wiring {
    /// What is built so far.
    pub layout: Layout,
    cable: Arc<CableType>,
}

/// One output of a supply: EMF in V and source resistance in ohm, if stated.
pub type OutputOf = (f64, Option<f64>);

impl Default for Wiring {
    fn default() -> Self {
        Self::new()
    }
}

impl Wiring {
    /// Nothing yet.
    pub fn new() -> Self {
        let mut cable = cable("one-ohm-per-metre");
        cable.resistance = Some(ResistancePerLength::from_si(0.5));
        Self { layout: Layout::default(), cable: Arc::new(cable) }
    }

    /// Adds a supply with outputs and the resistance that they share; gives its index.
    pub fn supply(&mut self, current: OutputCurrent, outputs: &[OutputOf], common_ohms: Option<f64>) -> usize {
        let index = self.layout.supplies.len();
        let outputs = outputs.iter().enumerate().map(|(i, &(volts, ohms))| Output {
            name: Id(i.to_string()),
            volts: Voltage::from_si(volts),
            limit: None,
            protection: None,
            source_resistance: ohms.map(Resistance::from_si),
        });
        let kind = SupplyType {
            name: Id(format!("supply-type-{index}")),
            rating: None,
            output_current: current,
            outputs: outputs.collect(),
            common_resistance: common_ohms.map(Resistance::from_si),
            regulated: None,
            input_volts: None,
            listing: None,
            enclosure: None,
            isolating: None,
            grounded_output: None,
            pool_listed: None,
            dimming: None,
            house: Default::default(),
        };
        self.layout.supplies.push(Supply {
            id: Id(format!("S{index}")),
            kind: Arc::new(kind),
            at: None,
            mount_height: None,
            feed: None,
            exposure: None,
            control: None,
            house: Default::default(),
        });
        index
    }

    /// Adds a DC supply with one output of this EMF and no resistance; gives the output.
    pub fn dc(&mut self, volts: f64) -> NodeRef {
        let supply = self.supply(OutputCurrent::Dc, &[(volts, Some(0.0))], None);
        NodeRef::Output { supply, output: 0 }
    }

    /// The type of a supply, to change it.
    pub fn supply_type(&mut self, supply: usize) -> &mut SupplyType {
        Arc::make_mut(&mut self.layout.supplies[supply].kind)
    }

    /// Adds a junction without a splice.
    pub fn junction(&mut self) -> NodeRef {
        let index = self.layout.junctions.len();
        self.layout.junctions.push(Junction {
            id: Id(format!("J{index:06}")),
            at: None,
            splice: None,
            above_ground_box: None,
            house: Default::default(),
        });
        NodeRef::Junction(index)
    }

    /// Adds a luminaire of its own type.
    pub fn luminaire(&mut self, load: LoadModel, watts: f64, nominal_volts: f64) -> NodeRef {
        let index = self.layout.luminaires.len();
        let kind = LuminaireType {
            name: Id(format!("luminaire-type-{index}")),
            power: Power::from_si(watts),
            apparent_power: None,
            load,
            nominal: Voltage::from_si(nominal_volts),
            input_min: None,
            input_max: None,
            cut_out: None,
            current: None,
            ip: Vec::new(),
            location: None,
            traffic: None,
            width: None,
            body_depth: None,
            cct: None,
            flux: None,
            immersion_depth: None,
            listed: None,
            grounding_required: None,
            lamp: None,
            dimming: Vec::new(),
            shielded: None,
            house: Default::default(),
        };
        self.layout.luminaires.push(Luminaire {
            id: Id(format!("L{index:06}")),
            kind: Arc::new(kind),
            at: None,
            placement: None,
            exposure: None,
            splice: None,
            excavation: None,
            scene: None,
            water_depth: None,
            mount_height: None,
            lights: None,
            aim: None,
            shielded: None,
            cord: None,
            removable: None,
            house: Default::default(),
        });
        NodeRef::Luminaire(index)
    }

    /// Adds a constant-power luminaire of 12 V.
    pub fn power(&mut self, watts: f64) -> NodeRef {
        self.luminaire(LoadModel::ConstantPower, watts, 12.0)
    }

    /// Adds a constant-current luminaire that draws this current.
    pub fn amps(&mut self, amps: f64) -> NodeRef {
        self.luminaire(LoadModel::ConstantCurrent, amps * 12.0, 12.0)
    }

    /// The type of a luminaire, to change it.
    ///
    /// # Panics
    /// When `node` is not a luminaire.
    pub fn luminaire_type(&mut self, node: NodeRef) -> &mut LuminaireType {
        let NodeRef::Luminaire(index) = node else { panic!("{node:?} is not a luminaire") };
        Arc::make_mut(&mut self.layout.luminaires[index].kind)
    }

    /// Gives a luminaire a cut-out.
    pub fn cut_out(&mut self, node: NodeRef, volts: f64) {
        self.luminaire_type(node).cut_out = Some(Voltage::from_si(volts));
    }

    /// Gives a luminaire an apparent power.
    pub fn apparent(&mut self, node: NodeRef, va: f64) {
        self.luminaire_type(node).apparent_power = Some(ApparentPower::from_si(va));
    }

    /// Joins two nodes by cable with this resistance of the loop, ohm; gives the index of the run.
    pub fn join(&mut self, from: NodeRef, to: NodeRef, loop_ohms: f64) -> usize {
        self.run(self.cable.clone(), from, to, loop_ohms)
    }

    /// Joins two nodes by this length of a type of cable, m; gives the index of the run.
    pub fn run(&mut self, cable: Arc<CableType>, from: NodeRef, to: NodeRef, length_m: f64) -> usize {
        let index = self.layout.runs.len();
        self.layout.runs.push(Run {
            id: Id(format!("R{index:06}")),
            cable,
            segments: vec![Segment { from, to, path: Vec::new(), length_m, added_ohms: 0.0 }],
            method: None,
            cover: None,
            covers: Vec::new(),
            instructed_cover: None,
            riser: None,
            shared_with: None,
            barrier: None,
            marking: None,
            backfill: None,
            concrete: None,
            supports: None,
            house: Default::default(),
        });
        index
    }
}

/// A type of copper cable with nothing else stated.
pub fn cable(name: &str) -> CableType {
    CableType {
        name: Id(name.to_owned()),
        conductor: None,
        stranding: Stranding::Stranded,
        material: Material::Copper,
        parallel: 1,
        kind: None,
        direct_burial: None,
        insulation: None,
        ampacity: None,
        resistance: None,
        resistance_at: None,
        location: None,
        sunlight_resistant: None,
        voltage_rating: None,
        house: Default::default(),
    }
}
