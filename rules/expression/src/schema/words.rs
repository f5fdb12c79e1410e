//! The words of plans for what the interface has as enumerations.

use lintern_rule::plan as wit;

/// For each enumeration the list of its words, and the word of a value.
macro_rules! words {
    ($($list:ident $function:ident: $type:ident { $($variant:ident = $word:literal),+ $(,)? })+) => {
        $(
            pub const $list: &[&str] = &[$($word),+];
            pub fn $function(value: wit::$type) -> &'static str {
                match value { $(wit::$type::$variant => $word),+ }
            }
        )+
    };
}

words! {
    OCCUPANCY occupancy: Occupancy {
        OneFamilyDwelling = "one-family-dwelling", TwoFamilyDwelling = "two-family-dwelling",
        Multifamily = "multifamily", Commercial = "commercial", Public = "public",
    }
    LOAD load: LoadModel {
        ConstantPower = "constant-power", ConstantCurrent = "constant-current", Resistive = "resistive", Other = "other",
    }
    ACCEPTED accepted: AcceptedCurrent { Ac = "ac", Dc = "dc", AcOrDc = "ac-or-dc" }
    LOCATION location: Location { Dry = "dry", Damp = "damp", Wet = "wet", Submersible = "submersible" }
    EXPOSURE exposure: Exposure { Dry = "dry", Damp = "damp", Wet = "wet" }
    PLACEMENT placement: Placement {
        InGround = "in-ground", Stake = "stake", Surface = "surface", Wall = "wall", Eave = "eave", Tree = "tree",
        Step = "step", Underwater = "underwater",
    }
    BASE base: Base { Gravel = "gravel", Sand = "sand", NativeSoil = "native-soil" }
    DRAIN drain: Drain { None = "none", Sump = "sump", Daylight = "daylight" }
    LAMP lamp: Lamp { Led = "led", Halogen = "halogen" }
    DIMMING dimming: Dimming { None = "none", Phase = "phase", Pwm = "pwm", Analog = "analog", Digital = "digital" }
    LIGHTS lights: Lights {
        Path = "path", Steps = "steps", Tree = "tree", Facade = "facade", Entry = "entry", Water = "water", Area = "area",
    }
    AIM aim: Aim { Up = "up", Down = "down", Level = "level" }
    OUTPUT_CURRENT output_current: OutputCurrent { Ac = "ac", Dc = "dc" }
    LISTING listing: Listing {
        LowVoltageLighting = "low-voltage-lighting", Class2 = "class-2", General = "general", Selv = "selv",
    }
    CONNECTION connection: Connection { Receptacle = "receptacle", HardWired = "hard-wired" }
    METHOD method: Method {
        DirectBurial = "direct-burial", PvcConduit = "pvc-conduit", RigidMetalConduit = "rigid-metal-conduit",
        Surface = "surface", Aerial = "aerial",
    }
    STRANDING stranding: Stranding {
        Solid = "solid", Stranded = "stranded", IecClass1 = "iec-class-1", IecClass2 = "iec-class-2",
        IecClass5 = "iec-class-5", Other = "other",
    }
    CABLE_KIND cable_kind: CableKind {
        UfB = "uf-b", Use2 = "use-2", Nyy = "nyy", H07rnF = "h07rn-f", LowVoltageLandscape = "low-voltage-landscape",
        Thwn2 = "thwn-2", LampCord = "lamp-cord", Armoured = "armoured", Bare = "bare", Other = "other",
    }
    RISER riser: Riser { None = "none", PvcConduit = "pvc-conduit", RigidMetalConduit = "rigid-metal-conduit" }
    SHARED_WITH shared_with: SharedWith { None = "none", Power = "power", Communication = "communication" }
    MARKING marking: Marking { None = "none", Tape = "tape", Covers = "covers" }
    BACKFILL backfill: Backfill {
        Sand = "sand", ScreenedSoil = "screened-soil", NativeSoil = "native-soil", RockySoil = "rocky-soil",
    }
    SUPPORTS supports: Supports { Building = "building", Pole = "pole", Tree = "tree" }
    ZONE_KIND zone_kind: ZoneKind {
        Lawn = "lawn", Bed = "bed", Driveway = "driveway", Parking = "parking", Road = "road", Walk = "walk",
        Slab = "slab", Building = "building", Pool = "pool", Spa = "spa", Fountain = "fountain", Pond = "pond",
        LowGround = "low-ground", Rock = "rock", Other = "other",
    }
    UTILITY_KIND utility_kind: UtilityKind {
        Electric = "electric", Gas = "gas", Communication = "communication", Water = "water",
        ReclaimedWater = "reclaimed-water", Sewer = "sewer", Irrigation = "irrigation", Other = "other",
    }
    LOCATED located: Located { Marked = "marked", Private = "private", Assumed = "assumed" }
    GRID grid: GridUnit { Ft = "ft", M = "m" }
    SOIL soil: Soil { Clay = "clay", Loam = "loam", Sand = "sand", Rock = "rock" }
    RESPONSES responses: Responses { All = "all", Some = "some", None = "none" }
    DIG_METHOD dig_method: DigMethod { Hand = "hand", Vacuum = "vacuum", Machine = "machine" }
    PRIVATE_LINES private_lines: PrivateLines { Located = "located", None = "none", Unknown = "unknown" }
}

pub const CODE: &[&str] = &["nec-2017", "nec-2020", "nec-2023", "nec-2026", "iec-60364", "bs-7671"];

pub fn code(code: lintern_rule::Code) -> &'static str {
    use lintern_rule::Code;
    match code {
        Code::Nec2017 => "nec-2017",
        Code::Nec2020 => "nec-2020",
        Code::Nec2023 => "nec-2023",
        Code::Nec2026 => "nec-2026",
        Code::Iec60364 => "iec-60364",
        Code::Bs7671 => "bs-7671",
    }
}

pub const TRAFFIC: &[&str] = &["none", "walk-over", "drive-over", "static"];

pub fn traffic(load: wit::TrafficLoad) -> &'static str {
    match load {
        wit::TrafficLoad::None => "none",
        wit::TrafficLoad::WalkOver => "walk-over",
        wit::TrafficLoad::DriveOver => "drive-over",
        wit::TrafficLoad::StaticNewtons(_) => "static",
    }
}

pub const RECORD: &[&str] = &["done", "planned"];
