//! Hardness beside a weld of a steel that hardens: what it cannot pass, and what it may come to.
//!
//! All of it is remembered and not read. The ceiling, a zone of martensite alone, hangs on carbon alone, and two
//! remembered forms agree on it to about 10 HV from 0.1 to 0.4 % carbon. The value by cooling time is made for
//! low-carbon structural steels; above about 0.2 % carbon it soon stands at the ceiling. Neither knows tempering by a
//! later run, and neither takes the place of a hardness test.

use super::carbon_equivalent::{End, Formula, contents};
use super::{Contents, Metal};
use crate::engine::figure::{LineKind, Working};
use crate::engine::work::{Work, cite, constant};
use crate::findings::{Code, Finding};
use crate::units::show;

/// Hardness of a zone of martensite alone, HV: `884 C (1 - 0.3 C^2) + 294`. For 0 to about 0.8 % carbon.
#[must_use]
pub fn ceiling(carbon: f64) -> f64 {
    let bend = 1.0 - constant("martensite-cube").value * carbon * carbon;
    constant("martensite-carbon").value * carbon * bend + constant("martensite-base").value
}

/// The same by the second form, HV: `802 C + 305`.
#[must_use]
pub fn ceiling_second(carbon: f64) -> f64 {
    constant("martensite-carbon-2").value * carbon + constant("martensite-base-2").value
}

/// Hardness of a zone of bainite alone, HV, from contents in percent.
#[must_use]
pub fn floor(contents: &Contents) -> f64 {
    constant("bainite-factor").value * Formula::Bainite.value(contents) + constant("bainite-base").value
}

/// Hardness for a cooling time from 800 to 500 °C, HV, never over [`ceiling`] nor under [`floor`] (which gives way to
/// the ceiling where the alloys lift it higher): contents in percent, seconds over nought.
///
/// `2019 [C (1 - 0.5 log t) + 0.3 S] + 66 (1 - 0.8 log t)`, S the alloys beside carbon.
#[must_use]
pub fn for_cooling_time(contents: &Contents, seconds: f64) -> f64 {
    let of = |key| constant(key).value;
    let carbon = carbon_of(contents);
    let decades = libm::log10(seconds);
    let hardening =
        carbon * (1.0 - of("mixed-carbon-log") * decades) + of("mixed-alloys") * Formula::BesideCarbon.value(contents);
    let hardness = of("mixed-factor") * hardening + of("mixed-base") * (1.0 - of("mixed-base-log") * decades);
    hardness.max(floor(contents)).min(ceiling(carbon))
}

fn carbon_of(contents: &Contents) -> f64 {
    contents.get("c").copied().unwrap_or(0.0)
}

/// How grave a hardness is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Under 350 HV.
    Soft,
    /// From 350 HV: taken to crack where hydrogen comes in.
    Hard,
    /// Over 380 HV: more than a procedure test allows in a weld that is not heat-treated.
    TooHard,
}

/// The level of a hardness, HV; both limits are from memory.
#[must_use]
pub fn level(hardness: f64) -> Level {
    if hardness > constant("hardness-limit").value {
        Level::TooHard
    } else if hardness >= constant("hardness-warn").value {
        Level::Hard
    } else {
        Level::Soft
    }
}

/// What is said of the hardness beside a weld.
#[derive(Debug, Clone, PartialEq)]
pub struct Hardness {
    /// Hardness that the zone cannot pass, HV, with every element at its most.
    pub ceiling: f64,
    /// Hardness for the cooling time, HV, in the middle of the limits and at their most.
    pub expected: [f64; 2],
    /// Level of the middle.
    pub level: Level,
    /// Lines for the working of another figure.
    pub lines: Working,
    /// A warning where the zone may be too hard.
    pub findings: Vec<Finding>,
}

/// Hardness beside a weld of this steel for a cooling time in seconds.
#[must_use]
pub fn hardness(metal: &Metal<'_>, seconds: f64) -> Hardness {
    let [usual, worst] = [End::Middle, End::High].map(|end| contents(metal.limits, end));
    let carbon = carbon_of(&worst);
    let most = ceiling(carbon);
    let expected = [for_cooling_time(&usual, seconds), for_cooling_time(&worst, seconds)];
    // A composition at the edge of its limits is met seldom: its middle is warned of, the edge stands in the lines.
    let level = level(expected[0]);
    let mut work = Work::new();
    let second = ceiling_second(carbon);
    work.check("hardness-ceiling", (most.min(second), most.max(second)), "HV", Some(cite("martensite-carbon")));
    work.with(vec![show::trimmed(show::number(carbon, 3))]);
    metal.introduce(&mut work);
    work.check(
        "hardness-expected",
        (expected[0].min(expected[1]), expected[0].max(expected[1])),
        "HV",
        Some(cite("mixed-factor")),
    );
    work.with(vec![show::trimmed(show::number(seconds, 0))]);
    let limits = (constant("hardness-warn").value, constant("hardness-limit").value);
    work.check("hardness-limits", limits, "HV", Some(cite("hardness-limit")));
    work.remark(LineKind::Doubt, "hardness-doubt", Vec::new(), None);
    let finding = || {
        let shown = show::number(expected[0], 0);
        let limit = show::number(if level == Level::TooHard { limits.1 } else { limits.0 }, 0);
        Finding::new(
            Code::MetalHardZone,
            format!("the zone beside the weld may reach about {shown} HV, over {limit} HV: it can crack after welding"),
        )
        .help("preheat, keep it warm between runs, let it cool slowly, look for cracks after 48 h; test the hardness")
        .note("remembered formulas, not read: a hint and no proof")
    };
    let findings = if level == Level::Soft { Vec::new() } else { vec![finding()] };
    Hardness { ceiling: most, expected, level, lines: work.into_lines(), findings }
}
