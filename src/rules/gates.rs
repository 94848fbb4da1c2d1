//! The gates: one table of what refuses a repair, what refuses it without qualification and approval, and what heads
//! the sheet. No key of the language turns a gate off.
//!
//! A gate answers what is stated. What is left out is a question and stands in [`super::questions`].

use super::case::{Case, constant_value};
use super::{Answer, Gate, metals};
use crate::engine::FigureName;
use crate::findings::{At, Code, Finding, Span};
use crate::reference::search::family_members;
use crate::reference::{Alloy, Weldability};
use crate::spec::names::UNKNOWN;
use crate::spec::{Cleaner, Coating, Consequence, Fitted, Held, IdentifiedBy, Loading, Use};

/// What a gate does once it is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Refuses, whatever else is stated.
    Refuse,
    /// Refuses, but for a qualified procedure and an approval.
    RefuseUnlessApproved,
    /// Lets the work go on, and heads the sheet.
    Head,
}

/// What raised a gate.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Raised {
    /// Where it was stated.
    pub at: Option<Span>,
    /// What fills the blanks of its words.
    pub args: Vec<String>,
}

/// One gate.
#[derive(Debug, Clone, Copy)]
pub struct Rule {
    /// Key of its words.
    pub key: &'static str,
    /// What it does.
    pub verdict: Verdict,
    /// Code of its finding.
    pub code: Code,
    /// What raises it.
    pub raised: fn(&Case<'_>) -> Option<Raised>,
    /// What its finding says; `{0}` is filled by what raised it.
    pub message: &'static str,
    /// A few words under the marked place.
    pub label: &'static str,
    /// What to do instead.
    pub help: &'static str,
}

const NEW_PART: &str = "a new part, or the maker's own repair";
const SPECIALIST: &str = "a new part, or a specialist who works to AWS F4.1 or equal, with a gas-free certificate";

const fn refuse(
    key: &'static str,
    raised: fn(&Case<'_>) -> Option<Raised>,
    message: &'static str,
    label: &'static str,
    help: &'static str,
) -> Rule {
    Rule { key, verdict: Verdict::Refuse, code: Code::GateRefused, raised, message, label, help }
}

const fn unless_approved(
    key: &'static str,
    raised: fn(&Case<'_>) -> Option<Raised>,
    message: &'static str,
    label: &'static str,
    help: &'static str,
) -> Rule {
    Rule { key, verdict: Verdict::RefuseUnlessApproved, code: Code::GateApproval, raised, message, label, help }
}

const fn head(
    key: &'static str,
    raised: fn(&Case<'_>) -> Option<Raised>,
    message: &'static str,
    label: &'static str,
    help: &'static str,
) -> Rule {
    Rule { key, verdict: Verdict::Head, code: Code::GateHead, raised, message, label, help }
}

/// Every gate: what refuses in every case, what wants approval, what heads the sheet; each group gravest first.
pub const RULES: &[Rule] = &[
    refuse(
        "held-fuel",
        |case| held(case, Held::Fuel),
        "what has held fuel is not welded here",
        "has held fuel",
        SPECIALIST,
    ),
    refuse(
        "held-chemical",
        |case| held(case, Held::Chemical).or_else(|| held(case, Held::Solvent)),
        "what has held a {0} is not welded here",
        "stays in seams and scale",
        SPECIALIST,
    ),
    // The language has no word that tells argon from propane or oxygen, so a gas counts as the worst of them.
    refuse(
        "held-gas",
        |case| held(case, Held::Gas),
        "what has held a gas is not welded here",
        "may be a fuel gas or oxygen",
        SPECIALIST,
    ),
    refuse(
        "held-unknown",
        |case| held(case, Held::Unknown),
        "nobody knows what it has held, so it counts as fuel",
        "not known",
        "ask the owner what it has held since it was new; if nobody knows, a new part",
    ),
    refuse(
        "closed-no-vent",
        closed,
        "a closed part without a vent is not heated",
        "no way out for hot air",
        "ask its maker where it may be opened; heat it only when it stands open to the air, and say so in the spec",
    ),
    refuse(
        "gas-cylinder",
        |case| used(case, Use::GasCylinder),
        "a gas cylinder is not welded",
        "a gas cylinder",
        "give it back to the supplier or to a licensed test station",
    ),
    refuse(
        "tyre-fitted",
        |case| case.fitted_with(Fitted::Tyre).map(raised_at),
        "no heat comes near a tyre: it bursts, flat or not",
        "a tyre is fitted",
        "a tyre shop takes the tyre off and judges the rim",
    ),
    refuse(
        "road-wheel",
        |case| used(case, Use::RoadWheel),
        "a road wheel is not welded",
        "a road wheel",
        "a new wheel",
    ),
    refuse(
        "cadmium",
        |case| case.coated_with(Coating::Cadmium).map(raised_at),
        "cadmium is on it: its fume kills",
        "neither weld nor grind",
        "a plating works strips it and says so in writing, or a new part",
    ),
    refuse(
        "beryllium",
        |case| metal(case, |alloy| alloy.beryllium),
        "{0} holds beryllium: its dust and fume harm for life",
        "neither weld nor grind",
        "a new casting in an alloy without beryllium, or a shop with supplied air and air tests for beryllium",
    ),
    refuse(
        "chlorinated-cleaner",
        |case| case.cleaned_with(Cleaner::Chlorinated).map(raised_at),
        "the arc turns the vapour of a chlorinated cleaner to phosgene",
        "a chlorinated cleaner",
        "acetone or alcohol from a can with a label; carry the other out of the shop and air it",
    ),
    refuse(
        "leaded-brass",
        leaded_brass,
        "{0} may hold lead, as most brass does, and lead cracks the weld and poisons the fume",
        "not proved free of lead",
        "silver brazing; or a certificate or a spectrometer that proves it free of lead",
    ),
    refuse(
        "metal-unknown",
        metal_unknown,
        "nobody knows what metal it is",
        "not known",
        "do the tests that the sheet names, give `alloy` or `family`, and make the sheet again",
    ),
    Rule {
        key: "metal-refused",
        verdict: Verdict::Refuse,
        code: Code::GateMetal,
        raised: |case| metal(case, |alloy| alloy.weldability == Weldability::Refused),
        message: "{0} is not welded by TIG",
        label: "not weldable",
        help: "a bolted or riveted plate, or a new part in an alloy that welds",
    },
    Rule {
        key: "no-filler",
        verdict: Verdict::Refuse,
        code: Code::FillerNone,
        raised: no_filler,
        message: "no rod fits this pair of metals",
        label: "",
        help: "bolt it, or change one part",
    },
    unless_approved(
        "aircraft",
        |case| used(case, Use::Aircraft),
        "a part that flies is repaired to approved data",
        "it flies",
        "a licensed repair station",
    ),
    unless_approved(
        "lifting",
        |case| used(case, Use::Lifting),
        "it lifts or holds up a load",
        "a load hangs on it",
        NEW_PART,
    ),
    unless_approved(
        "steering-or-brake",
        |case| used(case, Use::SteeringOrBrake),
        "it is part of steering or brakes",
        "steers or stops",
        NEW_PART,
    ),
    unless_approved(
        "suspension",
        |case| used(case, Use::Suspension),
        "it is part of a suspension",
        "carries at speed",
        NEW_PART,
    ),
    unless_approved(
        "roll-protection",
        |case| used(case, Use::RollProtection),
        "it protects a driver when the machine rolls over",
        "tested as its maker built it",
        NEW_PART,
    ),
    unless_approved(
        "access-equipment",
        |case| used(case, Use::AccessEquipment),
        "people climb or stand on it",
        "people stand on it",
        NEW_PART,
    ),
    unless_approved(
        "pressure",
        |case| used(case, Use::Pressure).or_else(|| case.loaded_by(Loading::Pressure).map(raised_at)),
        "it holds pressure in use",
        "under pressure",
        "a new part, or the inspector in charge",
    ),
    unless_approved(
        "rotating",
        rotating,
        "it rotates, and its failure is not known to matter little",
        "rotates",
        NEW_PART,
    ),
    unless_approved(
        "consequence-high",
        |case| {
            let consequence = case.part().consequence.as_ref()?;
            (consequence.value == Consequence::High).then(|| raised_at(consequence.span))
        },
        "its failure would hurt people or cost much",
        "high consequence",
        "a new part, or the engineer who answers for it",
    ),
    head(
        "food",
        |case| used(case, Use::Food).or_else(|| held(case, Held::Food)),
        "food touches it: a rough or porous weld holds dirt",
        "food",
        "ask the owner which metals may touch this food, and dress the weld smooth",
    ),
    head(
        "propeller",
        |case| used(case, Use::Propeller),
        "a propeller has zones where no weld may stand",
        "a propeller",
        "the zone drawing of the class and its surveyor's approval before any cut",
    ),
    head(
        "structural",
        |case| used(case, Use::Structural),
        "it carries part of a structure, which stands under a code",
        "carries a structure",
        "the engineer of the structure agrees to the repair and its soft zone in writing",
    ),
    head(
        "held-refrigerant",
        |case| held(case, Held::Refrigerant),
        "it has held refrigerant, which heat turns to poison",
        "has held refrigerant",
        "a licensed person recovers it first and says so in writing; then the part stands open to the air",
    ),
    head(
        "metal-limited",
        |case| metal(case, |alloy| alloy.weldability == Weldability::Limited),
        "{0} welds with doubt",
        "welds with doubt",
        "weigh a bolted plate or a new part against a repair that may crack again",
    ),
    head(
        "wind",
        wind,
        "the wind at the joint blows the shielding gas away",
        "too strong for TIG",
        "stop, or bring the part indoors",
    ),
];

/// The gates that this case raises, with what has to be said of them.
#[must_use]
pub fn judge(case: &Case<'_>) -> (Vec<Gate>, Vec<Finding>) {
    let mut gates = Vec::new();
    let mut findings = Vec::new();
    for rule in RULES {
        let Some(raised) = (rule.raised)(case) else { continue };
        let (gate, finding) = rule.answer(case, raised);
        gates.push(gate);
        findings.extend(finding);
    }
    (gates, findings)
}

impl Rule {
    fn answer(&self, case: &Case<'_>, raised: Raised) -> (Gate, Option<Finding>) {
        let key = self.key;
        if self.verdict == Verdict::RefuseUnlessApproved
            && let Some(approval) = case.approved_and_qualified()
        {
            let args = vec![approval.by.value.clone(), approval.reference.value.clone()];
            return (Gate { key, answer: Answer::Approved, args }, None);
        }
        // The engine has said already that there is no rod.
        let said = self.code == Code::FillerNone && case.engine_says(Code::FillerNone);
        let finding = (!said).then(|| self.finding(case, &raised));
        let answer = if self.verdict == Verdict::Head { Answer::Head } else { Answer::Refused };
        (Gate { key, answer, args: raised.args }, finding)
    }

    fn finding(&self, case: &Case<'_>, raised: &Raised) -> Finding {
        let blanks = raised.args.iter().enumerate();
        let message = blanks.fold(self.message.to_owned(), |text, (at, arg)| text.replace(&format!("{{{at}}}"), arg));
        let finding = Finding::new(self.code, message).at_some(raised.at).label(self.label).help(self.help);
        match self.verdict {
            Verdict::RefuseUnlessApproved => finding.note(case.lacks()),
            // What the table of metals says of this one.
            Verdict::Refuse | Verdict::Head => raised.args.iter().skip(1).fold(finding, |said, why| said.note(why)),
        }
    }
}

fn raised_at(span: Span) -> Raised {
    Raised { at: Some(span), args: Vec::new() }
}

fn held(case: &Case<'_>, word: Held) -> Option<Raised> {
    case.has_held(word).map(|span| Raised { at: Some(span), args: vec![word.word().to_owned()] })
}

fn used(case: &Case<'_>, word: Use) -> Option<Raised> {
    case.used_as(word).map(|span| Raised { at: Some(span), args: vec![word.word().to_owned()] })
}

/// Enclosed, or hollow and not stated to be vented.
fn closed(case: &Case<'_>) -> Option<Raised> {
    let part = case.part();
    let enclosed = part.enclosed.as_ref().filter(|enclosed| enclosed.value);
    let vented = part.vented.as_ref().is_some_and(|vented| vented.value);
    let hollow = part.hollow.as_ref().filter(|hollow| hollow.value && !vented);
    enclosed.or(hollow).map(|stated| raised_at(stated.span))
}

/// A metal that is known by name, or a family all of whose members are alike in this.
fn metal(case: &Case<'_>, is: fn(&Alloy) -> bool) -> Option<Raised> {
    let bases = [Some(&case.job.base), case.job.other.as_ref()];
    bases.into_iter().flatten().find_map(|base| {
        // A family of nothing but metals that must not be welded leaves no candidate.
        let members = if base.candidates.is_empty() { family_members(&base.shown) } else { base.candidates.clone() };
        let family = base.alloy.is_none() && !members.is_empty();
        let of_family = || members.iter().copied().filter(|_| family);
        let all = of_family().all(is);
        let alloy = base.alloy.filter(|alloy| is(alloy)).or_else(|| of_family().next().filter(|_| all))?;
        let shown = if base.shown.is_empty() { alloy.name.clone() } else { base.shown.clone() };
        Some(Raised { at: base.span, args: vec![shown, alloy.why.clone()] })
    })
}

/// A metal of which nothing is known.
fn metal_unknown(case: &Case<'_>) -> Option<Raised> {
    let metal = &case.spec().metal;
    let other = metal.other.as_ref().and_then(|other| other.value.family.as_ref());
    let stated = [metal.family.as_ref(), other];
    let at = stated.into_iter().flatten().find(|family| family.value == UNKNOWN)?;
    Some(Raised { at: Some(at.span), args: Vec::new() })
}

/// A brass that is not proved to be free of lead: certificate and spectrometer prove it, looks and a stamp do not.
pub fn leaded_brass(case: &Case<'_>) -> Option<Raised> {
    let named = |by: Option<&At<IdentifiedBy>>| {
        by.is_some_and(|by| matches!(by.value, IdentifiedBy::Certificate | IdentifiedBy::Spectrometer))
    };
    let metal = &case.spec().metal;
    let other = metal.other.as_ref().and_then(|other| other.identified_by.as_ref());
    let bases = [(Some(&case.job.base), metal.identified_by.as_ref()), (case.job.other.as_ref(), other)];
    bases.into_iter().find_map(|(base, by)| {
        let base = base?;
        let brass = base.candidates.iter().any(|alloy| metals::brass(alloy));
        let proved = base.alloy.is_some() && named(by);
        (brass && !proved).then(|| Raised { at: base.span, args: vec![base.shown.clone()] })
    })
}

/// No rod for metals that may be welded; of one that may not, the gate of the metal speaks. Of two metals that no arc
/// joins there is none, whatever the tables hold.
fn no_filler(case: &Case<'_>) -> Option<Raised> {
    if metal(case, |alloy| alloy.weldability == Weldability::Refused).is_some() {
        return None;
    }
    let filler = case.worked.figures.get(&FigureName::FillerMetal);
    let all_out =
        filler.is_some_and(|filler| !filler.ranking.is_empty() && filler.ranking.iter().all(|rod| rod.excluded));
    let clash = metals::clash(case.job);
    (all_out || clash || case.engine_says(Code::FillerNone))
        .then(|| Raised { at: case.job.base.span, args: Vec::new() })
}

/// Rotates, and its consequence is above low or not known.
fn rotating(case: &Case<'_>) -> Option<Raised> {
    let part = case.part();
    let rotates = case.loaded_by(Loading::Rotating).or(part.rotating.as_ref().map(|rotating| rotating.span))?;
    let low = part.consequence.as_ref().is_some_and(|consequence| consequence.value == Consequence::Low);
    (!low).then(|| raised_at(rotates))
}

/// Wind above the limit at which shielded welding stops.
fn wind(case: &Case<'_>) -> Option<Raised> {
    let (limit, stated) = (constant_value("wind-stop")?, case.spec().place.wind.as_ref()?);
    case.wind().filter(|wind| *wind > limit).map(|_| raised_at(stated.span))
}
