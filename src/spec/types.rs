//! The tables and words of the spec language, one declaration each: it gives the type, the reader, the known keys,
//! the schema and the documentation.

use super::read::{Date, Identifier, Prose, Setting, Text, table, words};
use crate::units::{
    Amount, Angle, AngularVelocity, Area, Current, EnShare, Flow, Frequency, HeatInput, Length, Mass, Share, Speed,
    Temperature, Time, Volume,
};

words! {
    /// Where the procedure stands. Issued and superseded come from the ledger alone.
    pub enum Status, "a status" { Draft = "draft", Trial = "trial", Withdrawn = "withdrawn" }

    /// How bad it is if the repair fails.
    pub enum Consequence, "a consequence of failure" { Low = "low", Moderate = "moderate", High = "high" }

    /// What loads the part.
    pub enum Loading, "a kind of loading" {
        Static = "static", Vibration = "vibration", Impact = "impact", Pressure = "pressure", Rotating = "rotating",
    }

    /// What the part is used for, as far as law, maker or trade body care.
    pub enum Use, "a use of the part" {
        General = "general", RoadWheel = "road wheel", GasCylinder = "gas cylinder", Pressure = "pressure",
        Lifting = "lifting", SteeringOrBrake = "steering or brake", Suspension = "suspension", Aircraft = "aircraft",
        RollProtection = "roll protection", AccessEquipment = "access equipment", Food = "food",
        Propeller = "propeller", Structural = "structural",
    }

    /// What is fitted to the part and must come off or be protected.
    pub enum Fitted, "a fitted thing" {
        Bearing = "bearing", Seal = "seal", Bush = "bush", Insert = "insert", Electronics = "electronics",
        Battery = "battery", GasStrut = "gas strut", Hose = "hose", Tyre = "tyre",
    }

    /// How freely the part can shrink.
    pub enum Restraint, "a restraint" { Free = "free", PartlyHeld = "partly held", Stiff = "stiff" }

    /// Surroundings in service.
    pub enum Environment, "an environment" {
        Dry = "dry", Weather = "weather", FreshWater = "fresh water", SaltWater = "salt water", Chemical = "chemical",
    }

    /// The finish that the part gets after the repair.
    pub enum Finish, "a finish" {
        None = "none", Paint = "paint", PowderCoat = "powder coat", Anodise = "anodise", Polish = "polish",
    }

    /// What the part has held.
    pub enum Held, "what it has held" {
        Nothing = "nothing", Fuel = "fuel", Oil = "oil", Solvent = "solvent", Chemical = "chemical",
        Refrigerant = "refrigerant", Gas = "gas", Food = "food", Water = "water", Unknown = "unknown",
    }

    /// The form of the metal.
    pub enum Form, "a product form" {
        Sheet = "sheet", Plate = "plate", Extrusion = "extrusion", Tube = "tube", Bar = "bar", Forging = "forging",
        SandCasting = "sand casting", PermanentMouldCasting = "permanent mould casting",
        InvestmentCasting = "investment casting", DieCasting = "die casting",
    }

    /// How the metal was identified.
    pub enum IdentifiedBy, "a way of identifying" {
        Certificate = "certificate", Stamp = "stamp", Spectrometer = "spectrometer", SparkTest = "spark test",
        Assumed = "assumed",
    }

    /// State of the surface at the repair.
    pub enum Surface, "a state of the surface" {
        Clean = "clean", Painted = "painted", OilSoaked = "oil soaked", Anodised = "anodised",
        Galvanised = "galvanised", Plated = "plated", FillerPaste = "filler paste", EarlierWeld = "earlier weld",
        Weathered = "weathered",
    }

    /// What is broken.
    pub enum DamageKind, "a kind of damage" {
        Crack = "crack", MissingPiece = "missing piece", WornSurface = "worn surface", Hole = "hole",
        Porosity = "porosity", BrokenLug = "broken lug", StrippedThread = "stripped thread", FailedWeld = "failed weld",
        CorrosionPitting = "corrosion pitting",
    }

    /// Why it broke.
    pub enum Cause, "a cause" {
        Overload = "overload", Fatigue = "fatigue", Impact = "impact", Wear = "wear", Corrosion = "corrosion",
        StressCorrosion = "stress corrosion", Freezing = "freezing", Thermal = "thermal",
        CastingDefect = "casting defect", Unknown = "unknown",
    }

    /// What degreases the part.
    pub enum Cleaner, "a cleaner" {
        Acetone = "acetone", Alcohol = "alcohol", Alkaline = "alkaline", Chlorinated = "chlorinated",
        Unknown = "unknown",
    }

    /// What lies on the metal where it will be hot.
    pub enum Coating, "a coating" {
        None = "none", Paint = "paint", PowderCoat = "powder coat", EpoxyPaste = "epoxy paste", Sealant = "sealant",
        Ptfe = "PTFE", ImpregnationResin = "impregnation resin", Chromate = "chromate", Zinc = "zinc",
        Cadmium = "cadmium", Chrome = "chrome", LeadPaint = "lead paint", Unknown = "unknown",
    }

    /// How the opening is cut.
    pub enum CutBy, "a way of cutting" {
        CarbideBurr = "carbide burr", Mill = "mill", Router = "router", Chisel = "chisel", File = "file",
        AluminiumDisc = "aluminium disc",
    }

    /// Where the work is done.
    pub enum Site, "a site" {
        WeldingShop = "welding shop", OtherIndoors = "other indoors", Outdoors = "outdoors", OnTheBoat = "on the boat",
    }

    /// Welding process.
    pub enum Process, "a welding process" { Gtaw = "GTAW" }

    /// Shape of the joint.
    pub enum Joint, "a joint" {
        Butt = "butt", Fillet = "fillet", Lap = "lap", Corner = "corner", Edge = "edge", Groove = "groove",
        Pad = "pad", Plug = "plug",
    }

    /// From which sides the joint can be reached.
    pub enum Access, "an access" { OneSide = "one side", BothSides = "both sides" }

    /// Welding position, ISO 6947.
    pub enum Position, "a welding position" {
        PA = "PA", PB = "PB", PC = "PC", PD = "PD", PE = "PE", PF = "PF", PG = "PG",
    }

    /// What is wanted of the deposit.
    pub enum Need, "a need" {
        Strength = "strength", Ductility = "ductility", CorrosionResistance = "corrosion resistance",
        CrackResistance = "crack resistance", ColourMatch = "colour match", HeatTreatment = "heat treatment",
    }

    /// Method of inspection.
    pub enum InspectionMethod, "a method of inspection" {
        Visual = "visual", Penetrant = "penetrant", Leak = "leak test", MagneticParticle = "magnetic particle",
        Radiography = "radiography", Ultrasonic = "ultrasonic",
    }

    /// State of qualification.
    pub enum QualificationState, "a state of qualification" {
        None = "none", InProgress = "in progress", Qualified = "qualified",
    }

    /// Stage of the work that a step belongs to.
    pub enum Stage, "a stage" {
        Assess = "assess", Decide = "decide", Prepare = "prepare", Inspect = "inspect", SetUp = "set up",
        Weld = "weld", ReInspect = "re-inspect", Finish = "finish",
    }
}

table! {
    /// A repair spec: what the part is, what broke, and what is wanted.
    pub struct Spec, "the spec" {
        /// Version of this language: 1.
        required format: i64,
        /// Number, revision and status of the procedure.
        required procedure: Procedure,
        /// The part, its use and what it has held.
        table part: Part,
        /// The base metal.
        required metal: Metal,
        /// What is broken.
        table damage: Damage,
        /// Cleaning, coating and how the opening is cut.
        table prepare: Prepare,
        /// Where the work is done.
        table place: Place,
        /// How it is welded.
        table weld: Weld,
        /// How it is tested, and against which limits.
        table inspection: Inspection,
        /// State of the procedure qualification.
        table qualification: Qualification,
        /// By whom and under which reference a repair is approved that is refused otherwise.
        optional approval: Approval,
        /// The shop's own steps.
        list step: Step,
    }

    /// Number, revision and status of the procedure.
    pub struct Procedure, "[procedure]" {
        /// Number: letters, digits, hyphen, dot and slash.
        required number: Identifier,
        /// Title of the sheet.
        required title: Text,
        /// Revision: A, B ... Z, AA, or 1, 2 ...
        required revision: Identifier,
        /// Where the procedure stands; draft when left out.
        optional status: Status,
        /// Date of the revision.
        optional date: Date,
        /// Who answers for it.
        optional author: Text,
        /// Why this revision was made.
        optional reason: Text,
        /// What happened and what is to be done, CommonMark without HTML.
        optional summary: Prose,
    }

    /// The part, its use and what it has held.
    pub struct Part, "[part]" {
        /// Name of the part.
        optional name: Text,
        /// How bad it is if the repair fails; left out: unknown.
        optional consequence: Consequence,
        /// What loads it; left out: unknown.
        list loading: Loading,
        /// What it is used for; left out: unknown.
        list use_ as "use": Use,
        /// What is fitted to it.
        list fitted: Fitted,
        /// Features whose dimensions must be kept.
        list keep: Keep,
        /// How freely it can shrink.
        optional restraint: Restraint,
        /// Whether it can be turned so that the weld lies flat.
        optional movable: bool,
        /// Mass, for the heat budget.
        optional mass: Amount<Mass>,
        /// Temperature in sustained service.
        optional service_temperature: Amount<Temperature>,
        /// Surroundings in service.
        list environment: Environment,
        /// Finish after the repair.
        optional finish: Finish,
        /// Tank or closed space; left out: unknown.
        optional enclosed: bool,
        /// Closed section that needs a vent; left out: unknown.
        optional hollow: bool,
        /// Whether a closed section is vented.
        optional vented: bool,
        /// What it has held; left out: unknown.
        optional held: Held,
        /// Where it rotates.
        optional rotating: Rotating,
    }

    /// A feature whose dimensions must be kept.
    pub struct Keep, "an entry of keep" {
        /// What it is.
        required feature: Text,
        /// Distance from the nearest end of the damage.
        optional distance: Amount<Length>,
        /// Tolerance as on the drawing.
        optional tolerance: Text,
        /// Machining allowance.
        optional allowance: Amount<Length>,
    }

    /// How the part rotates.
    pub struct Rotating, "rotating" {
        /// Speed in service.
        optional speed: Amount<AngularVelocity>,
        /// Mass of the rotor.
        optional mass: Amount<Mass>,
        /// Radius at which the repair lies.
        optional repair_radius: Amount<Length>,
        /// Balance quality grade, ISO 21940-11: G16.
        optional grade: Text,
        /// Arc that the repair covers.
        optional arc: Amount<Angle>,
    }

    /// The base metal.
    pub struct Metal, "[metal]" {
        /// Alloy by its trade name.
        optional alloy: Text,
        /// Family, when nothing better is known.
        optional family: Text,
        /// Temper.
        optional temper: Text,
        /// Product form.
        optional form: Form,
        /// Thickness at the repair.
        optional thickness: Amount<Length>,
        /// How it was identified; assumed when left out.
        optional identified_by: IdentifiedBy,
        /// State of the surface.
        list surface: Surface,
        /// What a certificate or a spectrometer gives, percent by mass; the other elements are those of the alloy.
        optional composition: Composition,
        /// The second metal where two different ones meet.
        optional other: OtherMetal,
        /// Thicker or thinner metal next to the weld.
        optional beside: Beside,
    }

    /// Elements as a certificate or a spectrometer gives them, percent by mass.
    pub struct Composition, "composition" {
        /// Carbon.
        optional c: Amount<Share>,
        /// Silicon.
        optional si: Amount<Share>,
        /// Manganese.
        optional mn: Amount<Share>,
        /// Phosphorus.
        optional p: Amount<Share>,
        /// Sulphur.
        optional s: Amount<Share>,
        /// Chromium.
        optional cr: Amount<Share>,
        /// Molybdenum.
        optional mo: Amount<Share>,
        /// Nickel.
        optional ni: Amount<Share>,
        /// Copper.
        optional cu: Amount<Share>,
        /// Vanadium.
        optional v: Amount<Share>,
        /// Niobium.
        optional nb: Amount<Share>,
        /// Nitrogen.
        optional n: Amount<Share>,
    }

    /// The second metal where two different ones meet.
    pub struct OtherMetal, "[metal.other]" {
        /// Alloy by its trade name.
        optional alloy: Text,
        /// Family, when nothing better is known.
        optional family: Text,
        /// Temper.
        optional temper: Text,
        /// Product form.
        optional form: Form,
        /// Thickness at the repair.
        optional thickness: Amount<Length>,
        /// How it was identified; assumed when left out.
        optional identified_by: IdentifiedBy,
        /// State of the surface.
        list surface: Surface,
    }

    /// Thicker or thinner metal next to the weld.
    pub struct Beside, "[metal.beside]" {
        /// Its thickness.
        required thickness: Amount<Length>,
        /// Its distance from the weld.
        optional distance: Amount<Length>,
    }

    /// What is broken.
    pub struct Damage, "[damage]" {
        /// Kind of damage.
        optional kind: DamageKind,
        /// Why it broke.
        optional cause: Cause,
        /// Length.
        optional length: Amount<Length>,
        /// Whether it goes through the wall.
        optional through: bool,
        /// Crack ends that stop inside the metal.
        optional tips: i64,
        /// Depth.
        optional depth: Amount<Length>,
        /// Width.
        optional width: Amount<Length>,
        /// Diameter.
        optional diameter: Amount<Length>,
        /// Height that is missing or worn away.
        optional height: Amount<Length>,
        /// Area.
        optional area: Amount<Area>,
        /// Distance from the nearest free edge.
        optional edge_distance: Amount<Length>,
        /// Thread that is stripped: M10, 3/8-16 UNC.
        optional thread: Text,
        /// Which attempt of repair at this place: 1, 2, 3.
        optional attempt: i64,
    }

    /// Cleaning, coating and how the opening is cut.
    pub struct Prepare, "[prepare]" {
        /// What degreases it; left out: unknown.
        optional cleaner: Cleaner,
        /// What lies on the metal where it will be hot; left out: unknown.
        optional coating: Coating,
        /// How the opening is cut.
        optional method: CutBy,
    }

    /// Where the work is done.
    pub struct Place, "[place]" {
        /// Kind of place.
        optional site: Site,
        /// A tight space; left out: unknown.
        optional confined: bool,
        /// A pit or other low place; left out: unknown.
        optional pit: bool,
        /// Temperature of the air.
        optional temperature: Amount<Temperature>,
        /// Wind at the joint.
        optional wind: Amount<Speed>,
        /// Wet or damp.
        optional damp: bool,
    }

    /// How it is welded.
    pub struct Weld, "[weld]" {
        /// Welding process; GTAW when left out.
        optional process: Process,
        /// Joint; by the kind of damage when left out.
        optional joint: Joint,
        /// From which sides it can be reached.
        optional access: Access,
        /// Position; PA when left out.
        optional position: Position,
        /// What is wanted of the deposit, in order.
        list needs: Need,
        /// Shielding gas: argon, helium, or argon + 30 % helium.
        optional gas: Text,
        /// Temperature of the part before any preheat; 20 °C when left out.
        optional start_temperature: Amount<Temperature>,
        /// Hydrogen in 100 g of weld metal, as the rod's certificate gives it: 3 ml.
        optional hydrogen: Amount<Volume>,
        /// Machine of the kit.
        optional machine: Text,
        /// The author's own values.
        optional set: Set,
    }

    /// The author's own values of figures, each with its reason.
    pub struct Set, "[weld.set]" {
        /// Welding current, part at its start temperature.
        optional amperage: Setting<Amount<Current>>,
        /// Panel or pedal maximum.
        optional amperage_max: Setting<Amount<Current>>,
        /// AC balance.
        optional balance: Setting<Amount<EnShare>>,
        /// AC frequency.
        optional frequency: Setting<Amount<Frequency>>,
        /// Tungsten class.
        optional tungsten_type: Setting<Text>,
        /// Tungsten diameter.
        optional tungsten_diameter: Setting<Amount<Length>>,
        /// Included angle of the tip.
        optional tip_angle: Setting<Amount<Angle>>,
        /// Flat on the tip.
        optional tip_flat: Setting<Amount<Length>>,
        /// Stick-out.
        optional stick_out: Setting<Amount<Length>>,
        /// Cup number.
        optional cup: Setting<i64>,
        /// Gas lens or not.
        optional gas_lens: Setting<bool>,
        /// Gas flow.
        optional gas_flow: Setting<Amount<Flow>>,
        /// Gas before the arc.
        optional pre_flow: Setting<Amount<Time>>,
        /// Gas after the arc.
        optional post_flow: Setting<Amount<Time>>,
        /// Filler metal.
        optional filler_metal: Setting<Text>,
        /// Rod diameter.
        optional filler_diameter: Setting<Amount<Length>>,
        /// Travel speed.
        optional travel_speed: Setting<Amount<Speed>>,
        /// Heat input, with the factor of arc efficiency.
        optional heat_input: Setting<Amount<HeatInput>>,
        /// Preheat.
        optional preheat: Setting<Amount<Temperature>>,
        /// Interpass limit.
        optional interpass_max: Setting<Amount<Temperature>>,
        /// Diameter of stop holes.
        optional stop_hole: Setting<Amount<Length>>,
        /// Lens shade.
        optional lens_shade: Setting<i64>,
        /// Penetrant dwell.
        optional penetrant_dwell: Setting<Amount<Time>>,
        /// Developer time.
        optional developer_time: Setting<Amount<Time>>,
    }

    /// How it is tested, and against which limits.
    pub struct Inspection, "[inspection]" {
        /// Methods; visual and penetrant when left out.
        list methods: InspectionMethod,
        /// Standards and levels.
        list acceptance: Acceptance,
    }

    /// A standard and its level.
    pub struct Acceptance, "an entry of acceptance" {
        /// Standard: ISO 10042.
        required standard: Text,
        /// Level or class: C.
        optional level: Text,
    }

    /// State of the procedure qualification.
    pub struct Qualification, "[qualification]" {
        /// State; none when left out.
        optional state: QualificationState,
        /// Number of the record.
        optional record: Text,
        /// Standard.
        optional standard: Text,
        /// Date of the record.
        optional date: Date,
        /// The test piece behind the record.
        optional coupon: Coupon,
        /// The welder's own qualification.
        optional welder: Welder,
    }

    /// The test piece behind a qualification record.
    pub struct Coupon, "coupon" {
        /// Alloy.
        optional alloy: Text,
        /// Thickness.
        optional thickness: Amount<Length>,
        /// Thickness of the deposit.
        optional deposit: Amount<Length>,
        /// Joint.
        optional joint: Joint,
        /// Position.
        optional position: Position,
        /// Filler metal.
        optional filler: Text,
        /// Shielding gas.
        optional gas: Text,
        /// Polarity: AC, DCEN, DCEP.
        optional polarity: Text,
        /// Preheat.
        optional preheat: Amount<Temperature>,
        /// Interpass temperature, highest.
        optional interpass_max: Amount<Temperature>,
        /// Heat treatment after welding.
        optional heat_treatment: Text,
    }

    /// A welder's own qualification.
    pub struct Welder, "welder" {
        /// Who.
        optional name: Text,
        /// Standard.
        optional standard: Text,
        /// Thickness range.
        optional thickness: Amount<Length>,
        /// Position.
        optional position: Position,
        /// Material group.
        optional group: Text,
        /// Last confirmed.
        optional confirmed: Date,
        /// Runs out.
        optional expires: Date,
    }

    /// By whom and under which reference a repair is approved.
    pub struct Approval, "[approval]" {
        /// Who approved.
        required by: Text,
        /// Reference.
        required reference: Text,
    }

    /// One of the shop's own steps.
    pub struct Step, "[[step]]" {
        /// Its id: lower-case letters, digits and hyphens.
        required id: Identifier,
        /// Stage it belongs to.
        required stage: Stage,
        /// The step that it follows; the end of the stage when left out.
        optional after: Identifier,
        /// What to do.
        required text: Text,
        /// Whether work stops here until it is released.
        optional hold: bool,
    }
}
