//! The checked job: the spec with names looked up in the tables and defaults filled in, each default listed.

use crate::findings::{At, Code, Finding, Span};
use crate::kit::{Kit, UnitsFirst};
use crate::reference::search::{alloy_named, composition_of, family_members};
use crate::reference::{Alloy, Class, Product};
use crate::run::attempts::Earlier;
use crate::spec::{Access, Cause, DamageKind, Form, Joint, Position, Spec, Text};
use crate::units::{Amount, InUnits, Length, System, show};
use std::collections::BTreeMap;

/// The base metal, as far as it is known.
#[derive(Debug, Clone)]
pub struct Base {
    /// The alloy, where it is known.
    pub alloy: Option<&'static Alloy>,
    /// All alloys that it may be: one, or the members of the family.
    pub candidates: Vec<&'static Alloy>,
    /// Temper as stated.
    pub temper: Option<String>,
    /// Metal as stated, for the sheet: `A356.0-T6`, or the family.
    pub shown: String,
    /// Where it was stated.
    pub span: Option<Span>,
    /// Thickness, mm.
    pub thickness: Option<f64>,
}

/// Something that the author left out and that was filled in.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Key of the language.
    pub key: &'static str,
    /// What was assumed, in the words of the language.
    pub value: String,
    /// Key of the words that say why, in `templates/words/en/assumed.toml`.
    pub why: &'static str,
}

/// What is asked for: a whole sheet, or the settings alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// A sheet: gates are asked, what is missing is a finding.
    Sheet,
    /// The bench answer: no gate is asked, and what is not given is assumed and listed.
    Settings,
}

/// The checked job.
#[derive(Debug, Clone)]
pub struct Job<'a> {
    /// The spec as written.
    pub spec: &'a Spec,
    /// The shop's kit.
    pub kit: Option<&'a Kit>,
    /// What is asked for.
    pub asked: Asked,
    /// The base metal.
    pub base: Base,
    /// The second base metal where two different ones meet.
    pub other: Option<Base>,
    /// Thickness at the repair, mm.
    pub thickness: Option<f64>,
    /// Joint.
    pub joint: Joint,
    /// Access.
    pub access: Access,
    /// Position.
    pub position: Position,
    /// Volume share of helium, 0 to 1.
    pub helium: f64,
    /// Temperature of the part before any preheat, °C.
    pub start_temperature: f64,
    /// What was filled in.
    pub assumed: Vec<Assumed>,
    /// Repairs of the same place that failed, where run records beside the spec tell of any.
    pub earlier: Option<&'a Earlier>,
    /// System of units that comes first on the sheet.
    pub system: System,
}

impl Job<'_> {
    /// Where the thickness was stated.
    #[must_use]
    pub fn thickness_span(&self) -> Option<Span> {
        self.spec.metal.thickness.as_ref().map(|at| at.span)
    }

    /// Distance of the damage from the nearest free edge, mm.
    #[must_use]
    pub fn edge_distance(&self) -> Option<f64> {
        self.spec.damage.edge_distance.as_ref().map(|at| at.value.value().in_mm())
    }

    /// Whether the spec says what is broken.
    #[must_use]
    pub fn damage_is_known(&self) -> bool {
        self.spec.damage.kind.is_some() && (self.spec.damage.length.is_some() || self.spec.damage.diameter.is_some())
    }

    /// Whether a fault of the casting itself broke it: then more is wrong than shows.
    #[must_use]
    pub fn of_casting_defect(&self) -> bool {
        self.spec.damage.cause.as_ref().is_some_and(|at| at.value == Cause::CastingDefect)
    }

    /// What kind of metal the base is; aluminium where nothing is known.
    #[must_use]
    pub fn class(&self) -> Class {
        self.base.candidates.first().map_or(Class::Aluminium, |alloy| alloy.class)
    }

    /// What the base metal is made of, percent by mass: the limits of its row, and in their place each element that the
    /// spec gives. None where nobody knows which metal it is.
    #[must_use]
    pub fn composition(&self) -> Option<BTreeMap<String, [f64; 2]>> {
        let mut limits = composition_of(&self.base.alloy?.name)?.limits.clone();
        let Some(own) = self.spec.metal.composition.as_ref().map(|at| &at.value) else { return Some(limits) };
        let elements = [
            ("c", &own.c),
            ("si", &own.si),
            ("mn", &own.mn),
            ("p", &own.p),
            ("s", &own.s),
            ("cr", &own.cr),
            ("mo", &own.mo),
            ("ni", &own.ni),
            ("cu", &own.cu),
            ("v", &own.v),
            ("nb", &own.nb),
            ("n", &own.n),
        ];
        for (element, stated) in elements {
            if let Some(at) = stated {
                let range = &at.value.range;
                limits.insert(element.to_owned(), [range.low.in_percent(), range.high.in_percent()]);
            }
        }
        Some(limits)
    }

    /// Whether a whole sheet is asked for.
    #[must_use]
    pub fn from_spec(&self) -> bool {
        self.asked == Asked::Sheet
    }
}

/// The joint that a kind of damage asks for where the author names none.
#[must_use]
pub fn joint_of(kind: Option<DamageKind>) -> Joint {
    match kind {
        None => Joint::Butt,
        Some(DamageKind::WornSurface | DamageKind::CorrosionPitting | DamageKind::MissingPiece) => Joint::Pad,
        Some(DamageKind::Hole | DamageKind::StrippedThread) => Joint::Plug,
        Some(DamageKind::Crack | DamageKind::Porosity | DamageKind::BrokenLug | DamageKind::FailedWeld) => {
            Joint::Groove
        }
    }
}

/// Looks names up and fills defaults in, for a whole sheet.
///
/// Findings say what is unusual; a job is given even then, so that all findings come together.
#[must_use]
pub fn check<'a>(spec: &'a Spec, kit: Option<&'a Kit>) -> (Job<'a>, Vec<Finding>) {
    check_as(spec, kit, Asked::Sheet)
}

/// As [`check`], for the settings alone.
#[must_use]
pub fn check_settings<'a>(spec: &'a Spec, kit: Option<&'a Kit>) -> (Job<'a>, Vec<Finding>) {
    check_as(spec, kit, Asked::Settings)
}

fn check_as<'a>(spec: &'a Spec, kit: Option<&'a Kit>, asked: Asked) -> (Job<'a>, Vec<Finding>) {
    let metal = &spec.metal;
    let base = base(metal.alloy.as_ref(), metal.family.as_ref(), metal.temper.as_ref(), metal.thickness.as_ref());
    let other = metal.other.as_ref().map(|at| {
        let other = &at.value;
        base_of(other.alloy.as_ref(), other.family.as_ref(), other.temper.as_ref(), other.thickness.as_ref())
    });
    let mut assumed = Vec::new();
    let mut assume = |key, value: &str, why| assumed.push(Assumed { key, value: value.to_owned(), why });
    let kind = spec.damage.kind.as_ref().map(|at| at.value);
    let joint = spec.weld.joint.as_ref().map_or_else(
        || {
            let joint = joint_of(kind);
            assume("joint", joint.word(), if kind.is_some() { "joint-from-damage" } else { "joint-default" });
            joint
        },
        |at| at.value,
    );
    let access = spec.weld.access.as_ref().map(|at| at.value);
    let access = access.unwrap_or_else(|| {
        if asked == Asked::Sheet {
            assume("access", Access::OneSide.word(), "access-default");
        }
        Access::OneSide
    });
    let position = spec.weld.position.as_ref().map_or_else(
        || {
            assume("position", "PA", "position-default");
            Position::PA
        },
        |at| at.value,
    );
    if spec.weld.process.is_none() {
        assume("process", "GTAW", "process-default");
    }
    let helium =
        spec.weld.gas.as_ref().and_then(|at| crate::spec::names::gas(&at.value)).map(crate::units::Quantity::si);
    let helium = helium.or_else(|| gas_of_shelf(kit));
    if spec.weld.gas.is_none() {
        match helium {
            Some(share) => assume("gas", &super::gas::gas_name(share), "gas-from-shelf"),
            None => assume("gas", "argon", "gas-default"),
        }
    }
    let start_temperature = spec.weld.start_temperature.as_ref().map_or_else(
        || {
            assume("start_temperature", "20 °C", "start-default");
            super::work::constant("start-default").value
        },
        |at| at.value.value().in_celsius(),
    );
    if base.alloy.is_some_and(|alloy| !alloy.tempers.is_empty()) && base.temper.is_none() {
        assume("temper", "unknown", "temper-unknown");
    }
    if metal.surface.is_empty() {
        assume("surface", "unknown", "surface-unknown");
    }
    let system = kit
        .and_then(|kit| kit.shop.units.as_ref())
        .map(|at| if at.value == UnitsFirst::Inch { System::Inch } else { System::Metric })
        .or(metal.thickness.as_ref().map(|at| at.value.system))
        .unwrap_or_default();
    let thickness = base.thickness;
    let helium = helium.unwrap_or(0.0);
    let job = Job {
        spec,
        kit,
        asked,
        base,
        other,
        thickness,
        joint,
        access,
        position,
        helium,
        start_temperature,
        assumed,
        earlier: None,
        system,
    };
    let findings = remarks(&job);
    (job, findings)
}

/// The gas of a shelf that holds no argon and a mixture that suits AC; none where argon will do.
fn gas_of_shelf(kit: Option<&Kit>) -> Option<f64> {
    let gases = super::stock::gases_of(kit.map(|kit| &kit.stock));
    let most = super::work::constant("helium-share-on-ac").value / 100.0;
    let argon = gases.is_empty() || gases.iter().any(|gas| gas.helium <= 0.0);
    let shares = gases.iter().map(|gas| gas.helium).filter(|share| !argon && *share <= most);
    shares.reduce(f64::min)
}

fn base(
    alloy: Option<&At<Text>>,
    family: Option<&At<Text>>,
    temper: Option<&At<Text>>,
    thickness: Option<&At<Amount<Length>>>,
) -> Base {
    base_of(alloy, family, temper, thickness)
}

fn base_of(
    alloy: Option<&At<Text>>,
    family: Option<&At<Text>>,
    temper: Option<&At<Text>>,
    thickness: Option<&At<Amount<Length>>>,
) -> Base {
    let found = alloy.and_then(|at| alloy_named(&at.value));
    let candidates = match (found, family) {
        (Some(alloy), _) => vec![alloy],
        // What must not be welded is not among what a family may be taken for.
        (None, Some(family)) => family_members(&family.value)
            .into_iter()
            .filter(|alloy| alloy.weldability != crate::reference::Weldability::Refused)
            .collect(),
        (None, None) => Vec::new(),
    };
    let temper = temper.map(|at| at.value.clone());
    let shown = match (found, &temper) {
        // A temper in words is set apart: `4140, quenched and tempered` beside `A356.0-T6`.
        (Some(alloy), Some(temper)) if temper.starts_with(char::is_lowercase) => format!("{}, {temper}", alloy.name),
        (Some(alloy), Some(temper)) => format!("{}-{temper}", alloy.name),
        (Some(alloy), None) => alloy.name.clone(),
        (None, _) => alloy.or(family).map_or(String::new(), |at| at.value.clone()),
    };
    Base {
        alloy: found,
        candidates,
        temper,
        shown,
        span: alloy.or(family).map(|at| at.span),
        thickness: thickness.map(|at| at.value.value().in_mm()).filter(|mm| *mm > 0.0),
    }
}

/// What is unusual about the metal.
fn remarks(job: &Job<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let metal = &job.spec.metal;
    if job.base.alloy.is_none() && !job.base.candidates.is_empty() {
        findings.push(
            Finding::new(Code::MetalFamily, format!("the metal is known as {} alone", job.base.shown))
                .at_some(job.base.span)
                .help("find out what it is before anything else; then give `alloy`"),
        );
    }
    if let (Some(alloy), Some(temper)) = (job.base.alloy, &metal.temper) {
        let stem = |temper: &str| temper.chars().take_while(|c| !c.is_whitespace()).collect::<String>().to_uppercase();
        let known = alloy.tempers.iter().any(|usual| stem(&temper.value).starts_with(&stem(usual)));
        if !known && !alloy.tempers.is_empty() {
            findings.push(
                Finding::new(Code::MetalTemper, format!("{} is not a usual temper of {}", temper.value, alloy.name))
                    .at(temper.span)
                    .help(format!("usual: {}", alloy.tempers.join(", "))),
            );
        }
    }
    if let (Some(alloy), Some(form)) = (job.base.alloy, &metal.form)
        && !goes_together(alloy.product, form.value)
    {
        findings.push(
            Finding::new(Code::MetalForm, format!("{} is not sold as {}", alloy.name, form.value.word()))
                .at(form.span)
                .help("check alloy and form"),
        );
    }
    findings.extend(size_remarks(job));
    findings
}

fn goes_together(product: Product, form: Form) -> bool {
    let cast = matches!(form, Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting);
    match product {
        Product::Wrought => !cast && form != Form::DieCasting,
        Product::Cast => cast,
        Product::Die => cast || form == Form::DieCasting,
    }
}

fn size_remarks(job: &Job<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    let span = job.thickness_span();
    let Some(wall) = job.thickness else {
        findings.push(
            Finding::new(Code::KeyMissing, "`thickness` is missing: the thickness of the metal at the repair")
                .at_some(job.base.span)
                .help("thickness = \"8 mm\", \"5/16 in\" or \"0.315 in\""),
        );
        return findings;
    };
    let thin = super::work::constant("thinnest-schedule");
    let thick = super::work::constant("thick-for-tig");
    let show_mm = |mm: f64| show::both(crate::units::mm(mm), job.system);
    if wall < thin.value {
        findings.push(
            Finding::new(Code::MetalThin, format!("{} is thinner than any published schedule for TIG", show_mm(wall)))
                .at_some(span)
                .help(format!(
                    "the thinnest row is for {}; practise on scrap, or braze or bond it",
                    show_mm(thin.value)
                )),
        );
    }
    if wall > thick.value {
        findings.push(
            Finding::new(Code::MetalThick, format!("{} is thick for manual TIG", show_mm(wall)))
                .at_some(span)
                .help("think of MIG, or of warming the part within its limit"),
        );
    }
    findings
}
