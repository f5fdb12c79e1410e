//! What is installed and what is on the site: supplies, outputs, junctions, luminaires, runs, zones, utilities.

use super::{At, Field, Get, Kind, distance, element, fact, index, length, places, plan, types, words};
use lintern_rule::facts::{LuminaireState, NodeState, OutputState, SegmentState, SupplyState};
use lintern_rule::plan::{Excavation, Feed, Junction, Luminaire, Output, Run, Supply, Utility, Zone, ZoneCover};
use lintern_rule::{Facts, Input};

/// What the network lacks where a number of it is absent.
const NO_ANSWER: &str = "an operating point of its circuit";

fn supply(input: &Input, at: At) -> &Supply {
    &input.supplies()[at[0] as usize]
}

fn supply_state(input: &Input, at: At) -> &SupplyState {
    &input.judged().supplies()[at[0] as usize]
}

pub const SUPPLY: &[&[Field]] = &[
    &[
        plan("id", "id", "id", Get::Text(|i, at| Some(&supply(i, at).id))),
        plan("type", "type", "its entry in the schedule", Get::One(Kind::SupplyType, |_, at| Some(at))),
    ],
    length!("mount_height", "mount-height", "height above the ground", |i, at| supply(i, at).mount_height.as_ref()),
    &[
        plan(
            "feed",
            "feed",
            "its branch circuit",
            Get::One(Kind::Feed, |i, at| supply(i, at).feed.as_ref().map(|_| at)),
        ),
        plan(
            "exposure",
            "exposure",
            "what the weather does to it",
            Get::Word(words::EXPOSURE, |i, at| supply(i, at).exposure.map(words::exposure)),
        ),
        plan(
            "hours_h",
            "control.hours",
            "longest time a night that it is on",
            Get::Number("h", |i, at| supply(i, at).hours),
        ),
        plan(
            "dimmer",
            "control.dimmer",
            "way of dimming of the control that feeds it",
            Get::Word(words::DIMMING, |i, at| supply(i, at).dimmer.map(words::dimming)),
        ),
        plan("house", "house", "your own data", Get::House(|i, at| &supply(i, at).house)),
        fact("outputs", "", "its outputs", Get::Many(Kind::Output, |i, at| Some(outputs(i, at[0])))),
        fact("load_w", NO_ANSWER, "computed load, real", Get::Number("W", |i, at| supply_state(i, at).load_w)),
        fact(
            "load_va",
            NO_ANSWER,
            "computed load with cable loss",
            Get::Number("VA", |i, at| supply_state(i, at).load_va),
        ),
        fact(
            "nameplate_va",
            NO_ANSWER,
            "sum of what its luminaires are rated for",
            Get::Number("VA", |i, at| supply_state(i, at).nameplate_va),
        ),
        fact(
            "loading_percent",
            "a rating, or an operating point of its circuits",
            "load as a share of its rating, by the larger of computed load and nameplates",
            Get::Number("%", |i, at| supply_state(i, at).loading_percent),
        ),
        fact(
            "zones",
            "`at`",
            "the zones at its place",
            Get::Many(Kind::Zone, |i, at| places::zones(i, Kind::Supply, at)),
        ),
        fact("water", "`at`", "waters within 30 m", Get::Many(Kind::Water, |i, at| places::water(i, Kind::Supply, at))),
        fact(
            "utilities",
            "`at`",
            "utilities within 30 m",
            Get::Many(Kind::NearUtility, |i, at| places::utilities(i, Kind::Supply, at)),
        ),
    ],
];

fn feed(input: &Input, at: At) -> Option<&Feed> {
    supply(input, at).feed.as_ref()
}

pub const FEED: &[&[Field]] = &[&[
    plan("circuit", "feed.circuit", "name of the circuit", Get::Text(|i, at| feed(i, at)?.circuit.as_deref())),
    plan("breaker_a", "feed.breaker", "its breaker", Get::Number("A", |i, at| feed(i, at)?.breaker_a)),
    plan("gfci", "feed.gfci", "has a GFCI", Get::Flag(|i, at| feed(i, at)?.gfci)),
    plan("in_use_cover", "feed.in-use-cover", "has an in-use cover", Get::Flag(|i, at| feed(i, at)?.in_use_cover)),
    plan(
        "connection",
        "feed.connection",
        "how the supply is connected",
        Get::Word(words::CONNECTION, |i, at| feed(i, at)?.connection.map(words::connection)),
    ),
    plan(
        "weather_resistant",
        "feed.weather-resistant",
        "receptacle is of that type",
        Get::Flag(|i, at| feed(i, at)?.weather_resistant),
    ),
    plan("rcd_a", "feed.rcd", "rated residual current of its RCD", Get::Number("A", |i, at| feed(i, at)?.rcd_a)),
    plan(
        "other_load_va",
        "feed.other-load",
        "other load on the circuit",
        Get::Number("VA", |i, at| feed(i, at)?.other_load_va),
    ),
]];

pub fn outputs(input: &Input, supply: u32) -> Vec<At> {
    let count = input.supply_type(&input.supplies()[supply as usize]).outputs.len();
    (0..index(count)).map(|output| [supply, output, 0, 0, 0]).collect()
}

fn output(input: &Input, at: At) -> &Output {
    &input.supply_type(supply(input, at)).outputs[at[1] as usize]
}

fn output_state(input: &Input, at: At) -> &OutputState {
    &supply_state(input, at).outputs[at[1] as usize]
}

pub const OUTPUT: &[&[Field]] = &[&[
    fact("id", "", "supply and name, such as `S1/12`", Get::Name(|i, at| Some(i.output_name((at[0], at[1]))))),
    plan("name", "", "its name", Get::Text(|i, at| Some(&output(i, at).name))),
    fact("supply", "", "its supply", Get::One(Kind::Supply, |_, at| Some(element(at[0])))),
    plan("nominal_v", "type.outputs", "stated voltage", Get::Number("V", |i, at| Some(output(i, at).volts))),
    plan("limit_a", "type.outputs", "stated limit", Get::Number("A", |i, at| output(i, at).limit_a)),
    plan("protection_a", "type.outputs", "its protective device", Get::Number("A", |i, at| output(i, at).protection_a)),
    plan(
        "source_resistance_ohm",
        "type.outputs",
        "source resistance",
        Get::Number("ohm", |i, at| output(i, at).source_resistance_ohm),
    ),
    fact("volts", NO_ANSWER, "computed voltage", Get::Number("V", |i, at| output_state(i, at).volts)),
    fact("amps", NO_ANSWER, "computed current", Get::Number("A", |i, at| output_state(i, at).amps)),
    fact(
        "luminaires",
        "",
        "how many luminaires it feeds",
        Get::Number("", |i, at| Some(f64::from(output_state(i, at).luminaires))),
    ),
]];

fn junction(input: &Input, at: At) -> &Junction {
    &input.junctions()[at[0] as usize]
}

fn junction_state(facts: &Facts, at: At) -> &NodeState {
    &facts.junctions()[at[0] as usize]
}

pub const JUNCTION: &[&[Field]] = &[&[
    plan("id", "id", "id", Get::Text(|i, at| Some(&junction(i, at).id))),
    plan(
        "splice",
        "splice",
        "how conductors are joined there",
        Get::One(Kind::Splice, |i, at| junction(i, at).splice.map(|_| [at[0], types::OF_JUNCTION, 0, 0, 0])),
    ),
    plan(
        "box",
        "box",
        "what the box above ground is listed for; absent where there is no box",
        Get::Word(words::EXPOSURE, |i, at| junction(i, at).above_ground_box.map(words::exposure)),
    ),
    plan("house", "house", "your own data", Get::House(|i, at| &junction(i, at).house)),
    fact("volts", NO_ANSWER, "computed voltage", Get::Number("V", |i, at| junction_state(i.judged(), at).volts)),
    fact(
        "drop_percent",
        NO_ANSWER,
        "drop to it",
        Get::Number("%", |i, at| junction_state(i.judged(), at).drop_percent),
    ),
    fact(
        "soil_volts",
        NO_ANSWER,
        "the same with conductors at soil temperature",
        Get::Number("V", |i, at| junction_state(i.soil(), at).volts),
    ),
    fact(
        "runs",
        "",
        "how many runs meet there",
        Get::Number("", |i, at| {
            let here = lintern_rule::NodeRef::Junction(at[0]);
            let meets = |run: &&Run| run.segments.iter().any(|segment| segment.start == here || segment.end == here);
            u32::try_from(i.runs().iter().filter(meets).count()).ok().map(f64::from)
        }),
    ),
    fact(
        "zones",
        "`at`",
        "the zones at its place",
        Get::Many(Kind::Zone, |i, at| places::zones(i, Kind::Junction, at)),
    ),
    fact("water", "`at`", "waters within 30 m", Get::Many(Kind::Water, |i, at| places::water(i, Kind::Junction, at))),
    fact(
        "utilities",
        "`at`",
        "utilities within 30 m",
        Get::Many(Kind::NearUtility, |i, at| places::utilities(i, Kind::Junction, at)),
    ),
]];

fn luminaire(input: &Input, at: At) -> &Luminaire {
    &input.luminaires()[at[0] as usize]
}

fn luminaire_state(facts: &Facts, at: At) -> &LuminaireState {
    &facts.luminaires()[at[0] as usize]
}

pub const LUMINAIRE: &[&[Field]] = &[
    &[
        plan("id", "id", "id", Get::Text(|i, at| Some(&luminaire(i, at).id))),
        plan("type", "type", "its entry in the schedule", Get::One(Kind::LuminaireType, |_, at| Some(at))),
        plan(
            "placement",
            "placement",
            "how it is set up",
            Get::Word(words::PLACEMENT, |i, at| luminaire(i, at).placement.map(words::placement)),
        ),
        plan(
            "exposure",
            "exposure",
            "what the weather does to it",
            Get::Word(words::EXPOSURE, |i, at| luminaire(i, at).exposure.map(words::exposure)),
        ),
        plan(
            "splice",
            "splice",
            "how conductors are joined there",
            Get::One(Kind::Splice, |i, at| luminaire(i, at).splice.map(|_| [at[0], types::OF_LUMINAIRE, 0, 0, 0])),
        ),
        plan(
            "excavation",
            "excavation",
            "its hole",
            Get::One(Kind::Excavation, |i, at| luminaire(i, at).excavation.as_ref().map(|_| at)),
        ),
        plan("scene", "scene", "the scene that it belongs to", Get::Text(|i, at| luminaire(i, at).scene.as_deref())),
    ],
    length!("water_depth", "water-depth", "depth of its lens below the water", |i, at| luminaire(i, at)
        .water_depth
        .as_ref()),
    length!("mount_height", "mount-height", "height above the ground or the highest water", |i, at| luminaire(i, at)
        .mount_height
        .as_ref()),
    length!("cord", "cord", "exposed cord in a fountain", |i, at| luminaire(i, at).cord.as_ref()),
    &[
        plan(
            "lights",
            "lights",
            "what it lights",
            Get::Word(words::LIGHTS, |i, at| luminaire(i, at).lights.map(words::lights)),
        ),
        plan("aim", "aim", "where it is aimed", Get::Word(words::AIM, |i, at| luminaire(i, at).aim.map(words::aim))),
        plan("shielded", "shielded", "its source is hidden from view", Get::Flag(|i, at| luminaire(i, at).shielded)),
        plan(
            "removable",
            "removable",
            "can be serviced without draining the water",
            Get::Flag(|i, at| luminaire(i, at).removable),
        ),
        plan("house", "house", "your own data", Get::House(|i, at| &luminaire(i, at).house)),
        fact(
            "volts",
            NO_ANSWER,
            "computed voltage",
            Get::Number("V", |i, at| luminaire_state(i.judged(), at).node.volts),
        ),
        fact(
            "no_load_volts",
            NO_ANSWER,
            "voltage with every luminaire off",
            Get::Number("V", |i, at| luminaire_state(i.judged(), at).node.no_load_volts),
        ),
        fact(
            "drop_percent",
            NO_ANSWER,
            "drop to it",
            Get::Number("%", |i, at| luminaire_state(i.judged(), at).node.drop_percent),
        ),
        fact("amps", NO_ANSWER, "computed current", Get::Number("A", |i, at| luminaire_state(i.judged(), at).amps)),
        fact(
            "lit",
            NO_ANSWER,
            "gets the voltage of its cut-out",
            Get::Flag(|i, at| luminaire_state(i.judged(), at).lit),
        ),
        fact(
            "soil_volts",
            NO_ANSWER,
            "voltage with conductors at soil temperature",
            Get::Number("V", |i, at| luminaire_state(i.soil(), at).node.volts),
        ),
        fact(
            "soil_drop_percent",
            NO_ANSWER,
            "drop likewise",
            Get::Number("%", |i, at| luminaire_state(i.soil(), at).node.drop_percent),
        ),
        fact(
            "zones",
            "`at`",
            "the zones at its place",
            Get::Many(Kind::Zone, |i, at| places::zones(i, Kind::Luminaire, at)),
        ),
        fact(
            "water",
            "`at`",
            "waters within 30 m",
            Get::Many(Kind::Water, |i, at| places::water(i, Kind::Luminaire, at)),
        ),
        fact(
            "utilities",
            "`at`",
            "utilities within 30 m",
            Get::Many(Kind::NearUtility, |i, at| places::utilities(i, Kind::Luminaire, at)),
        ),
    ],
];

fn excavation(input: &Input, at: At) -> Option<&Excavation> {
    luminaire(input, at).excavation.as_ref()
}

pub const EXCAVATION: &[&[Field]] = &[
    length!("width", "excavation.width", "width", |i, at| excavation(i, at)?.width.as_ref()),
    length!("depth", "excavation.depth", "depth", |i, at| excavation(i, at)?.depth.as_ref()),
    length!("base_depth", "excavation.base-depth", "depth of its base", |i, at| excavation(i, at)?.base_depth.as_ref()),
    &[
        plan(
            "base",
            "excavation.base",
            "what it stands on",
            Get::Word(words::BASE, |i, at| excavation(i, at)?.base.map(words::base)),
        ),
        plan(
            "drain",
            "excavation.drain",
            "where water goes",
            Get::Word(words::DRAIN, |i, at| excavation(i, at)?.drain.map(words::drain)),
        ),
    ],
];

fn run(input: &Input, at: At) -> &Run {
    &input.runs()[at[0] as usize]
}

pub fn segments(input: &Input, run: u32) -> Vec<At> {
    let count = input.runs()[run as usize].segments.len();
    (0..index(count)).map(|segment| [run, segment, 0, 0, 0]).collect()
}

fn segment_states(input: &Input, at: At) -> &[SegmentState] {
    &input.judged().segments()[at[0] as usize]
}

/// The largest current of a run, without sign; absent where a segment has none.
fn run_amps(input: &Input, at: At) -> Option<f64> {
    let amps: Option<Vec<f64>> = segment_states(input, at).iter().map(|segment| segment.amps.map(f64::abs)).collect();
    amps?.into_iter().max_by(f64::total_cmp)
}

pub const RUN: &[&[Field]] = &[
    &[
        plan("id", "id", "id", Get::Text(|i, at| Some(&run(i, at).id))),
        plan("cable", "cable", "its cable's entry in the schedule", Get::One(Kind::Cable, |_, at| Some(at))),
    ],
    distance!("length", "", "length of its cable, slack included", |i, at| Some(
        run(i, at).segments.iter().map(|segment| segment.length_m).sum()
    )),
    &[plan(
        "method",
        "method",
        "how it is laid",
        Get::Word(words::METHOD, |i, at| run(i, at).method.map(words::method)),
    )],
    length!("cover", "cover", "depth of soil over it", |i, at| run(i, at).cover.as_ref()),
    length!("instructed_cover", "instructed-cover", "cover by the instructions of the listed system", |i, at| run(
        i, at
    )
    .instructed_cover
    .as_ref()),
    length!("concrete", "concrete", "thickness of concrete over it", |i, at| run(i, at).concrete.as_ref()),
    &[
        plan(
            "riser",
            "riser",
            "what guards it where it leaves the ground",
            Get::Word(words::RISER, |i, at| run(i, at).riser.map(words::riser)),
        ),
        plan(
            "shared_with",
            "shared-with",
            "what else lies in its raceway",
            Get::Word(words::SHARED_WITH, |i, at| run(i, at).shared_with.map(words::shared_with)),
        ),
        plan("barrier", "barrier", "a barrier divides it from that", Get::Flag(|i, at| run(i, at).barrier)),
        plan(
            "marking",
            "marking",
            "what marks it in the ground",
            Get::Word(words::MARKING, |i, at| run(i, at).marking.map(words::marking)),
        ),
        plan(
            "backfill",
            "backfill",
            "what the trench is filled with",
            Get::Word(words::BACKFILL, |i, at| run(i, at).backfill.map(words::backfill)),
        ),
        plan(
            "supports",
            "supports",
            "what holds an aerial run",
            Get::Word(words::SUPPORTS, |i, at| run(i, at).supports.map(words::supports)),
        ),
        plan(
            "covers",
            "covers",
            "what is different inside single zones",
            Get::Many(Kind::ZoneCover, |i, at| {
                Some((0..index(run(i, at).covers.len())).map(|cover| [at[0], cover, 0, 0, 0]).collect())
            }),
        ),
        plan("house", "house", "your own data", Get::House(|i, at| &run(i, at).house)),
        fact("segments", "", "its segments", Get::Many(Kind::Segment, |i, at| Some(segments(i, at[0])))),
        fact("amps", NO_ANSWER, "largest current in it", Get::Number("A", run_amps)),
        fact(
            "ohms",
            "",
            "resistance of its way out and back",
            Get::Number("ohm", |i, at| Some(segment_states(i, at).iter().map(|segment| segment.ohms).sum())),
        ),
        fact(
            "zones",
            "the places of its ends",
            "the zones that it lies in, each once",
            Get::Many(Kind::Zone, places::zones_of_run),
        ),
    ],
];

fn zone_cover(input: &Input, at: At) -> &ZoneCover {
    &run(input, at).covers[at[1] as usize]
}

pub const ZONE_COVER: &[&[Field]] = &[
    &[plan("zone", "covers", "the zone", Get::One(Kind::Zone, |i, at| Some(element(zone_cover(i, at).zone))))],
    length!("cover", "covers", "depth of soil over it there", |i, at| zone_cover(i, at).cover.as_ref()),
    length!("concrete", "covers", "thickness of concrete over it there", |i, at| zone_cover(i, at).concrete.as_ref()),
    &[
        plan(
            "method",
            "covers",
            "how it is laid there",
            Get::Word(words::METHOD, |i, at| zone_cover(i, at).method.map(words::method)),
        ),
        plan(
            "backfill",
            "covers",
            "what the trench is filled with there",
            Get::Word(words::BACKFILL, |i, at| zone_cover(i, at).backfill.map(words::backfill)),
        ),
    ],
];

fn segment_state(input: &Input, at: At) -> &SegmentState {
    &segment_states(input, at)[at[1] as usize]
}

pub const SEGMENT: &[&[Field]] = &[
    &[
        fact(
            "id",
            "",
            "run and ends, such as `R1 from S1/12 to hub`",
            Get::Name(|i, at| {
                let segment = &run(i, at).segments[at[1] as usize];
                Some(format!("{} from {} to {}", run(i, at).id, i.node_name(segment.start), i.node_name(segment.end)))
            }),
        ),
        fact("run", "", "its run", Get::One(Kind::Run, |_, at| Some(element(at[0])))),
    ],
    distance!("length", "", "length of its cable, slack included", |i, at| Some(
        run(i, at).segments[at[1] as usize].length_m
    )),
    &[
        fact(
            "ohms",
            "",
            "resistance of its way out and back",
            Get::Number("ohm", |i, at| Some(segment_state(i, at).ohms)),
        ),
        fact(
            "amps",
            NO_ANSWER,
            "current in it, without sign",
            Get::Number("A", |i, at| segment_state(i, at).amps.map(f64::abs)),
        ),
        fact("loss_w", NO_ANSWER, "power lost in it", Get::Number("W", |i, at| segment_state(i, at).loss_w)),
        fact(
            "zones",
            "the places of its ends",
            "the zones that it lies in, each once",
            Get::Many(Kind::Zone, places::zones_of_segment),
        ),
        fact("pieces", "the places of its ends", "its stretches of like zones", Get::Many(Kind::Piece, places::pieces)),
    ],
];

fn zone(input: &Input, at: At) -> &Zone {
    &input.zones()[at[0] as usize]
}

pub const ZONE: &[&[Field]] = &[
    &[
        plan("id", "id", "id", Get::Text(|i, at| Some(&zone(i, at).id))),
        plan(
            "kind",
            "kind",
            "what it is",
            Get::Word(words::ZONE_KIND, |i, at| Some(words::zone_kind(zone(i, at).kind))),
        ),
    ],
    length!("slab_thickness", "slab-thickness", "thickness of its slab", |i, at| zone(i, at).slab_thickness.as_ref()),
    length!("slab_beyond", "slab-beyond", "how far its slab reaches past runs", |i, at| zone(i, at)
        .slab_beyond
        .as_ref()),
    &[
        plan("jets", "jets", "cleaned with water jets", Get::Flag(|i, at| zone(i, at).jets)),
        plan("house", "house", "your own data", Get::House(|i, at| &zone(i, at).house)),
    ],
];

fn utility(input: &Input, at: At) -> &Utility {
    &input.utilities()[at[0] as usize]
}

pub const UTILITY: &[&[Field]] = &[
    &[
        plan("id", "id", "id", Get::Text(|i, at| Some(&utility(i, at).id))),
        plan(
            "kind",
            "kind",
            "what it carries",
            Get::Word(words::UTILITY_KIND, |i, at| Some(words::utility_kind(utility(i, at).kind))),
        ),
        plan(
            "located",
            "located",
            "how it is known",
            Get::Word(words::LOCATED, |i, at| utility(i, at).located.map(words::located)),
        ),
    ],
    length!("depth", "depth", "depth of its top", |i, at| utility(i, at).depth.as_ref()),
    length!("width", "width", "outside width", |i, at| utility(i, at).width.as_ref()),
    &[plan("house", "house", "your own data", Get::House(|i, at| &utility(i, at).house))],
];
