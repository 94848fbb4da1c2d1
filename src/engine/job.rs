//! The checked job: the spec with names looked up in the tables and defaults filled in, each default listed.

use crate::findings::{Finding, Span};
use crate::kit::Kit;
use crate::reference::Alloy;
use crate::spec::{Access, Joint, Position, Spec};
use crate::units::System;

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

/// The checked job.
#[derive(Debug, Clone)]
pub struct Job<'a> {
    /// The spec as written.
    pub spec: &'a Spec,
    /// The shop's kit.
    pub kit: Option<&'a Kit>,
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
    /// System of units that comes first on the sheet.
    pub system: System,
}

/// Looks names up and fills defaults in.
///
/// Findings say what is unknown; a job is given even then, so that all findings come together.
#[must_use]
pub fn check<'a>(spec: &'a Spec, kit: Option<&'a Kit>) -> (Job<'a>, Vec<Finding>) {
    let _ = kit;
    let base = Base {
        alloy: None,
        candidates: Vec::new(),
        temper: None,
        shown: String::new(),
        span: None,
        thickness: None,
    };
    let job = Job {
        spec,
        kit,
        base,
        other: None,
        thickness: None,
        joint: Joint::Butt,
        access: Access::OneSide,
        position: Position::PA,
        helium: 0.0,
        start_temperature: 20.0,
        assumed: Vec::new(),
        system: System::Metric,
    };
    (job, Vec::new())
}
