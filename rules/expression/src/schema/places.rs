//! Where things are: zones, water and utilities of nodes and of pieces of runs.

use super::{At, Field, Get, Kind, distance, element, fact, index};
use lintern_rule::facts::{Piece, Place, UtilityDistance, WaterDistance};
use lintern_rule::{Input, NodeRef};

/// Which list a place is in.
const OF_SUPPLY: u32 = 0;
const OF_JUNCTION: u32 = 1;
const OF_LUMINAIRE: u32 = 2;
const PIECES: u32 = 3;

fn code(node: Kind) -> u32 {
    match node {
        Kind::Supply => OF_SUPPLY,
        Kind::Junction => OF_JUNCTION,
        _ => OF_LUMINAIRE,
    }
}

fn place(input: &Input, list: u32, element: u32) -> Option<&Place> {
    input.place(match list {
        OF_SUPPLY => NodeRef::Output((element, 0)),
        OF_JUNCTION => NodeRef::Junction(element),
        _ => NodeRef::Luminaire(element),
    })
}

pub fn zones(input: &Input, node: Kind, at: At) -> Option<Vec<At>> {
    Some(place(input, code(node), at[0])?.zones.iter().copied().map(element).collect())
}

pub fn water(input: &Input, node: Kind, at: At) -> Option<Vec<At>> {
    Some(near(at, code(node), place(input, code(node), at[0])?.water.len()))
}

pub fn utilities(input: &Input, node: Kind, at: At) -> Option<Vec<At>> {
    Some(near(at, code(node), place(input, code(node), at[0])?.utilities.len()))
}

/// Pieces of one segment; absent where an end of it has no place.
fn of_segment(input: &Input, run: u32, segment: u32) -> Option<&[Piece]> {
    input.run_pieces()[run as usize][segment as usize].as_deref()
}

fn piece(input: &Input, at: At) -> Option<&Piece> {
    of_segment(input, at[0], at[1])?.get(at[2] as usize)
}

pub fn pieces(input: &Input, at: At) -> Option<Vec<At>> {
    Some((0..index(of_segment(input, at[0], at[1])?.len())).map(|piece| [at[0], at[1], piece, 0, 0]).collect())
}

/// The zones that a segment lies in, each once, in the order of the plan.
pub fn zones_of_segment(input: &Input, at: At) -> Option<Vec<At>> {
    Some(distinct(of_segment(input, at[0], at[1])?.iter().flat_map(|piece| piece.zones.iter().copied())))
}

/// The zones that a run lies in, likewise.
pub fn zones_of_run(input: &Input, at: At) -> Option<Vec<At>> {
    let segments = &input.run_pieces()[at[0] as usize];
    let pieces: Vec<&Piece> =
        segments.iter().map(Option::as_ref).collect::<Option<Vec<_>>>()?.into_iter().flatten().collect();
    Some(distinct(pieces.iter().flat_map(|piece| piece.zones.iter().copied())))
}

fn distinct(zones: impl Iterator<Item = u32>) -> Vec<At> {
    let zones: std::collections::BTreeSet<u32> = zones.collect();
    zones.into_iter().map(element).collect()
}

fn near(of: At, list: u32, count: usize) -> Vec<At> {
    (0..index(count)).map(|near| [of[0], of[1], of[2], near, list]).collect()
}

fn near_water(input: &Input, at: At) -> Option<WaterDistance> {
    let list = if at[4] == PIECES { &piece(input, at)?.water } else { &place(input, at[4], at[0])?.water };
    list.get(at[3] as usize).copied()
}

fn near_utility(input: &Input, at: At) -> Option<UtilityDistance> {
    let list = if at[4] == PIECES { &piece(input, at)?.utilities } else { &place(input, at[4], at[0])?.utilities };
    list.get(at[3] as usize).copied()
}

pub const PIECE: &[&[Field]] = &[
    distance!("from", "", "where it begins, from the start of the segment along the drawn path", |i, at| piece(i, at)
        .map(|piece| piece.from_m)),
    distance!("to", "", "where it ends, likewise", |i, at| piece(i, at).map(|piece| piece.to_m)),
    &[
        fact(
            "zones",
            "",
            "the zones that it lies in",
            Get::Many(Kind::Zone, |i, at| Some(piece(i, at)?.zones.iter().copied().map(element).collect())),
        ),
        fact(
            "water",
            "",
            "waters within 30 m",
            Get::Many(Kind::Water, |i, at| Some(near(at, PIECES, piece(i, at)?.water.len()))),
        ),
        fact(
            "utilities",
            "",
            "utilities within 30 m",
            Get::Many(Kind::NearUtility, |i, at| Some(near(at, PIECES, piece(i, at)?.utilities.len()))),
        ),
    ],
];

pub const WATER: &[&[Field]] = &[
    &[fact(
        "zone",
        "",
        "the zone of the water",
        Get::One(Kind::Zone, |i, at| near_water(i, at).map(|water| element(water.zone))),
    )],
    distance!("distance", "", "horizontal distance to it; 0 inside and on its edge", |i, at| near_water(i, at)
        .map(|water| water.distance_m)),
];

pub const NEAR_UTILITY: &[&[Field]] = &[
    &[
        fact(
            "utility",
            "",
            "the utility",
            Get::One(Kind::Utility, |i, at| near_utility(i, at).map(|near| element(near.utility))),
        ),
        fact("crosses", "", "it is crossed", Get::Flag(|i, at| near_utility(i, at).map(|near| near.crosses))),
    ],
    distance!("distance", "", "horizontal distance to its drawn line", |i, at| near_utility(i, at)
        .map(|near| near.distance_m)),
];
