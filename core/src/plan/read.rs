//! How typed values read themselves: the protocol between [`Field`] and the YAML deserializer, and
//! the serde and schema glue of the scalar types.
//!
//! A `Field<T>` asks the deserializer for a struct named [`FIELD`] whose "fields" are the keys that
//! a mapping of type `T` must have. Our deserializer answers with a sequence of the span and the
//! value. A value that fails has been recorded by the deserializer as a diagnostic; the field then
//! stays empty, so that its siblings are still read.

use super::field::{Field, Span};
use super::quantity::{Kind, Quantity};
use super::scalar::{
    Conductor, Date, EnclosureRating, Id, IpCode, Point, Rating, RouteStep, Slack, Terminal, Tolerance, TrafficLoad,
    WorkRecord,
};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, SeqAccess, Visitor};
use std::borrow::Cow;
use std::fmt;
use std::marker::PhantomData;
use std::str::FromStr;

/// Name by which a [`Field`] makes itself known to the deserializer.
pub const FIELD: &str = "$lintern::field";

/// A type that can stand in a [`Field`].
pub trait Node {
    /// Keys that a mapping of this type must have.
    const REQUIRED: &'static [&'static str] = &[];
}

impl Node for String {}
impl Node for bool {}
impl Node for u64 {}
impl Node for f64 {}
impl<T> Node for Vec<T> {}
impl<T> Node for Map<T> {}
impl<K: Kind> Node for Quantity<K> {}

/// A mapping with free keys, in the order of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Map<T> {
    /// Keys with their spans, and values.
    pub entries: Vec<(Field<String>, Field<T>)>,
}

impl<T> Default for Map<T> {
    fn default() -> Self {
        Self { entries: Vec::new() }
    }
}

impl<'de, T: Deserialize<'de> + Node> Deserialize<'de> for Field<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct FieldVisitor<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for FieldVisitor<T> {
            type Value = Field<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a span and a value")
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Field<T>, A::Error> {
                let span: Option<Span> =
                    seq.next_element::<(u32, u32, u32)>()?.map(|(file, start, end)| Span { file, start, end });
                // An error here has been recorded where it arose.
                let value = seq.next_element::<T>().unwrap_or(None);
                Ok(Field { value, span })
            }
        }
        deserializer.deserialize_struct(FIELD, T::REQUIRED, FieldVisitor(PhantomData))
    }
}

impl<'de, T: Deserialize<'de> + Node> Deserialize<'de> for Map<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct MapVisitor<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de> + Node> Visitor<'de> for MapVisitor<T> {
            type Value = Map<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a mapping")
            }
            fn visit_map<A: de::MapAccess<'de>>(self, mut map: A) -> Result<Map<T>, A::Error> {
                let mut entries = Vec::new();
                while let Some(entry) = map.next_entry()? {
                    entries.push(entry);
                }
                Ok(Map { entries })
            }
        }
        deserializer.deserialize_map(MapVisitor(PhantomData))
    }
}

/// A field's schema is that of its value: where it stands is not part of the format.
impl<T: JsonSchema> JsonSchema for Field<T> {
    fn inline_schema() -> bool {
        T::inline_schema()
    }
    fn schema_name() -> Cow<'static, str> {
        T::schema_name()
    }
    fn schema_id() -> Cow<'static, str> {
        T::schema_id()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        T::json_schema(generator)
    }
}

impl<T: JsonSchema> JsonSchema for Map<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("MapOf{}", T::schema_name()).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let value = generator.subschema_for::<T>();
        json_schema!({ "type": "object", "additionalProperties": value })
    }
}

/// Reads a scalar's text through `FromStr`. Says what it expects, with an example.
struct TextVisitor<T>(PhantomData<T>, &'static str, &'static str);

impl<T> Visitor<'_> for TextVisitor<T>
where
    T: FromStr,
    T::Err: fmt::Display,
{
    type Value = T;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} like `{}`", self.1, self.2)
    }
    fn visit_str<E: de::Error>(self, text: &str) -> Result<T, E> {
        text.parse().map_err(E::custom)
    }
}

impl<'de, K: Kind> Deserialize<'de> for Quantity<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(TextVisitor(PhantomData, K::NAME, K::EXAMPLES[0]))
    }
}

impl<K: Kind> JsonSchema for Quantity<K> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        K::NAME.into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let units = K::UNITS.iter().map(|u| u.symbol).filter(|s| !s.is_empty()).collect::<Vec<_>>();
        // No spelling of a unit holds a character that is special in a pattern.
        let spellings = K::UNITS.iter().flat_map(|u| std::iter::once(u.symbol).chain(u.aliases.iter().copied()));
        let spellings = spellings.filter(|s| !s.is_empty()).collect::<Vec<_>>().join("|");
        let sign = if K::SIGNED { "[+-]?" } else { "[+]?" };
        let pattern = format!(r"^ *{sign}([0-9]+(\.[0-9]+)?|\.[0-9]+)([eE][+-]?[0-9]+)? *({spellings}) *$");
        json_schema!({
            "type": "string",
            "pattern": pattern,
            "examples": K::EXAMPLES,
            "x-units": units,
        })
    }
}

/// Serde and schema of scalars that are read from one text.
macro_rules! text_scalars {
    ($($type:ty: $name:literal, $what:literal, $pattern:expr, [$($example:literal),+];)+) => {$(
        impl Node for $type {}
        impl<'de> Deserialize<'de> for $type {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                deserializer.deserialize_str(TextVisitor(PhantomData, $what, [$($example),+][0]))
            }
        }
        impl JsonSchema for $type {
            fn inline_schema() -> bool {
                true
            }
            fn schema_name() -> Cow<'static, str> {
                $name.into()
            }
            fn json_schema(_: &mut SchemaGenerator) -> Schema {
                json_schema!({ "type": "string", "pattern": $pattern, "examples": [$($example),+] })
            }
        }
    )+};
}

text_scalars! {
    Conductor: "Conductor", "a conductor size", r"^ *([0-9]{1,2}|[1-4]/0) *AWG *$|^ *[0-9.]+ *mm(2|²) *$", ["12 AWG", "2.5 mm2"];
    Rating: "Rating", "a rating", r"^ *[0-9.eE+-]+ *(k?VA|k?W|mW|watts?) *$", ["300 VA", "100 W"];
    Slack: "Slack", "a slack", r"^ *[0-9.eE+-]+ *[^0-9 ].*$", ["5 %", "2 ft"];
    TrafficLoad: "TrafficLoad", "a traffic load", r"^(none|walk-over|drive-over|[0-9.eE+-]+ *(k?N|lbf))$", ["walk-over", "20 kN"];
    IpCode: "IpCode", "an IP code", r"^IP[0-6X][0-9X]$", ["IP65", "IPX7"];
    EnclosureRating: "EnclosureRating", "an enclosure", r"^(indoor|outdoor|type [0-9]{1,2}[A-Z]{0,2}|IP[0-6X][0-9X])$", ["outdoor", "type 3R", "IP44"];
    Date: "Date", "a day", r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$", ["2026-03-02"];
    WorkRecord: "WorkRecord", "a record", r"^(planned|[0-9]{4}-[0-9]{2}-[0-9]{2})$", ["2026-02-20", "planned"];
}

impl Node for Id {}
impl<'de> Deserialize<'de> for Id {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(TextVisitor(PhantomData, "an id", "L1"))
    }
}
impl JsonSchema for Id {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Id".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        // An id may look like a number, so YAML editors may see one.
        json_schema!({ "type": ["string", "number"], "pattern": r"^[A-Za-z0-9][A-Za-z0-9._-]*$" })
    }
}

impl Node for Terminal {}
impl<'de> Deserialize<'de> for Terminal {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(TextVisitor(PhantomData, "a place of a reading", "S1/12"))
    }
}
impl JsonSchema for Terminal {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Terminal".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": ["string", "number"], "pattern": r"^[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)?$" })
    }
}

impl<K: Kind> Node for Tolerance<K> {}
impl<'de, K: Kind> Deserialize<'de> for Tolerance<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_str(TextVisitor(PhantomData, "a tolerance", "0.5 %"))
    }
}
impl<K: Kind> JsonSchema for Tolerance<K> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        format!("Tolerance of {}", K::NAME).into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let unit = K::UNITS[0].symbol;
        let (fixed, both) = (format!("0.05 {unit}"), format!("0.5 % + 0.02 {unit}"));
        json_schema!({ "type": "string", "pattern": r"^[0-9.eE+-]+ *[^0-9 ].*$", "examples": ["0.5 %", fixed, both] })
    }
}

/// Reads `[x, y]`.
struct PointVisitor;

impl<'de> Visitor<'de> for PointVisitor {
    type Value = Point;
    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a point like `[36, 6]`")
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Point, A::Error> {
        let mut coordinate = || {
            let value: Option<f64> = seq.next_element()?;
            match value {
                Some(v) if v.abs() <= crate::geometry::MAX_COORDINATE => Ok(v),
                Some(v) => Err(de::Error::custom(format_args!("coordinate `{v}` is out of range"))),
                None => Err(de::Error::custom("a point has two coordinates, like `[36, 6]`")),
            }
        };
        let point = Point { x: coordinate()?, y: coordinate()? };
        match seq.next_element::<de::IgnoredAny>()? {
            None => Ok(point),
            Some(_) => Err(de::Error::custom("a point has two coordinates, like `[36, 6]`")),
        }
    }
}

impl Node for Point {}
impl<'de> Deserialize<'de> for Point {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_seq(PointVisitor)
    }
}
fn point_schema() -> Schema {
    json_schema!({ "type": "array", "items": { "type": "number" }, "minItems": 2, "maxItems": 2, "examples": [[36, 6]] })
}
impl JsonSchema for Point {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "Point".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        point_schema()
    }
}

impl Node for RouteStep {}
impl<'de> Deserialize<'de> for RouteStep {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct StepVisitor;
        impl<'de> Visitor<'de> for StepVisitor {
            type Value = RouteStep;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an id like `J1`, an output like `S1/12`, or a point like `[36, 6]`")
            }
            fn visit_str<E: de::Error>(self, text: &str) -> Result<RouteStep, E> {
                text.parse().map_err(E::custom)
            }
            fn visit_seq<A: SeqAccess<'de>>(self, seq: A) -> Result<RouteStep, A::Error> {
                PointVisitor.visit_seq(seq).map(RouteStep::Bend)
            }
        }
        // The deserializer hands scalars as their text and sequences as sequences.
        deserializer.deserialize_any(StepVisitor)
    }
}
impl JsonSchema for RouteStep {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        "RouteStep".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "anyOf": [
            { "type": ["string", "number"], "pattern": r"^[A-Za-z0-9][A-Za-z0-9._-]*(/[A-Za-z0-9][A-Za-z0-9._-]*)?$", "examples": ["S1/12", "J1"] },
            point_schema(),
        ] })
    }
}
