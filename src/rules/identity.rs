//! Identity: how well it is known what the metal is. Nothing but a certificate or a spectrometer proves it.

use super::case::Case;
use crate::findings::{At, Code, Finding};
use crate::reference::Class;
use crate::spec::IdentifiedBy;

/// How well a metal is known, from well to badly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Known {
    /// A certificate or a spectrometer says so.
    Proved,
    /// A stamp says so: good enough to plan by, to be proved at the bench before any grinding.
    Stamped,
    /// Somebody believes so, a spark test was made (which proves no grade), or nobody says how.
    Believed,
}

/// What one way of identifying is worth.
fn worth(by: Option<&At<IdentifiedBy>>) -> Known {
    match by.map(|by| by.value) {
        Some(IdentifiedBy::Certificate | IdentifiedBy::Spectrometer) => Known::Proved,
        Some(IdentifiedBy::Stamp) => Known::Stamped,
        Some(IdentifiedBy::SparkTest | IdentifiedBy::Assumed) | None => Known::Believed,
    }
}

/// How each metal of the job was identified: one, or two where different ones meet.
fn ways<'a>(case: &Case<'a>) -> impl Iterator<Item = Option<&'a At<IdentifiedBy>>> + use<'a> {
    let metal = &case.spec().metal;
    let other = metal.other.as_ref().map(|other| other.identified_by.as_ref());
    std::iter::once(metal.identified_by.as_ref()).chain(other)
}

/// How well the metals of the job are known: the worse of two.
#[must_use]
pub fn known(case: &Case<'_>) -> Known {
    ways(case).map(worth).max().unwrap_or(Known::Believed)
}

/// The word for how they were identified: of the worse of two.
#[must_use]
pub fn word(case: &Case<'_>) -> &'static str {
    let worst = ways(case).max_by_key(|by| worth(*by)).flatten();
    worst.map_or(IdentifiedBy::Assumed, |by| by.value).word()
}

/// Whether the alloy of every metal of the job is known, not its family alone.
#[must_use]
pub fn alloys_named(case: &Case<'_>) -> bool {
    case.job.base.alloy.is_some() && case.job.other.as_ref().is_none_or(|other| other.alloy.is_some())
}

/// Why not every instrument proves a metal.
fn gun(class: Class) -> &'static str {
    match class {
        Class::Aluminium => "a hand-held X-ray gun misreads magnesium and silicon: it proves no aluminium alloy",
        Class::Magnesium => "a hand-held X-ray gun does not see magnesium: it proves no magnesium alloy",
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel | Class::CastIron => {
            "a hand-held X-ray gun does not see carbon, which decides whether a steel hardens"
        }
        Class::Stainless => "a hand-held X-ray gun tells chromium, nickel and molybdenum, and no carbon",
        Class::Copper => "a hand-held X-ray gun tells lead, zinc and tin, and no beryllium",
        Class::Nickel => "a hand-held X-ray gun tells the grade of a nickel alloy, if it is read on bare metal",
        Class::Titanium => "a hand-held X-ray gun does not see oxygen, which sets the grade of titanium",
        Class::Zinc => "a zinc casting is not welded, whatever reads it",
    }
}

/// What a spark test is worth.
fn sparks(class: Class) -> &'static str {
    match class {
        Class::Aluminium => "a spark test shows nothing on aluminium: the metal is not known",
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel | Class::CastIron => {
            "a spark test tells soft steel from hard, and no grade"
        }
        _ => "a spark test proves no grade: the metal is not known",
    }
}

/// What has to be said of a metal that nobody has proved and no stamp names.
#[must_use]
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    let class = case.job.class();
    let message = |by: IdentifiedBy| match by {
        IdentifiedBy::SparkTest => Some(sparks(class)),
        IdentifiedBy::Assumed => Some("the metal is assumed, not known"),
        IdentifiedBy::Certificate | IdentifiedBy::Spectrometer | IdentifiedBy::Stamp => None,
    };
    let left_out = "`identified_by` is left out: nobody says how the metal is known";
    ways(case)
        .filter_map(|by| {
            let message = by.map_or(Some(left_out), |by| message(by.value))?;
            let finding = Finding::new(Code::GateQuestion, message)
                .note(gun(class))
                .at_some(by.map(|by| by.span))
                .label("no proof");
            Some(finding.help("find the certificate or have it read by a spectrometer, then say so in `identified_by`"))
        })
        .collect()
}
