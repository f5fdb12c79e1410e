//! What a list costs a module that asks for it. Copying it into the module is the host's work, which fuel does not count
//! by itself: a module that asks for the same list in a loop would keep the host busy for hours.

use super::host::wit;

/// Fuel for a call.
pub(super) const CALL: u64 = 10_000;
/// Fuel for an item that is handed out: copying one takes the host about as long as this much fuel a module.
pub(super) const ITEM: u64 = 100;
/// Fuel for a byte of a text that the module hands over.
pub(super) const BYTE: u64 = 10;

/// How many items a value has, texts counted by their length.
pub(super) trait Items {
    fn items(&self) -> u64;
}

impl<T: Items> Items for [T] {
    fn items(&self) -> u64 {
        self.iter().map(Items::items).sum()
    }
}

impl<T: Items> Items for Vec<T> {
    fn items(&self) -> u64 {
        self.as_slice().items()
    }
}

impl<T: Items> Items for Option<T> {
    fn items(&self) -> u64 {
        1 + self.as_ref().map_or(0, Items::items)
    }
}

impl Items for String {
    fn items(&self) -> u64 {
        1 + self.len() as u64 / 64
    }
}

impl Items for (String, String) {
    fn items(&self) -> u64 {
        self.0.items() + self.1.items()
    }
}

/// Records by the fields that may be long; everything else of them counts as one item.
macro_rules! records {
    ($($record:ident { $($field:ident),* })+) => {
        $(impl Items for wit::$record {
            fn items(&self) -> u64 {
                1 $(+ self.$field.items())*
            }
        })+
    };
}

records! {
    Job { name, country, region, authority, house }
    LuminaireType { name, ip, dimming, house }
    IpCode {}
    Luminaire { id, scene, house }
    SpliceType { name, house }
    Junction { id, house }
    SupplyType { name, outputs, house }
    Output { name }
    Supply { id, house }
    CableType { name, house }
    Run { id, segments, covers, house }
    Segment { path }
    ZoneCover {}
    Point {}
    Zone { id, outline, house }
    Utility { id, path, house }
    DigPlan { ticket_number, called, expires, starts }
    WorkRecords {}
    LuminaireState { node }
    NodeState {}
    SegmentState {}
    SupplyState { outputs }
    OutputState {}
    UnsolvedPart { phrase, nodes }
    Place { water, utilities }
    Piece { water, utilities }
    WaterDistance {}
    UtilityDistance {}
    WorkCalendar { days, source }
    Day { date }
    AsBuiltReadings { comparisons, statement, suspects, notes }
    ReadingComparison { place, subject, field }
    FaultSuspect { subjects, place, phrase, work }
    Arithmetic { name, source }
}

/// Values without anything long in them.
macro_rules! small {
    ($($name:ty),+) => {
        $(impl Items for $name {
            fn items(&self) -> u64 {
                1
            }
        })+
    };
}

small!(wit::Soil, wit::GridUnit, wit::Dimming, wit::NodeRef);
