//! The figure of the cooling time of a steel weld, 800 to 500 °C.

use super::cooling::{Plate, Shape, Weld, shape_row};
use super::heat_zone::FastArc;
use crate::engine::figure::{Figure, LineKind, Value};
use crate::engine::names::FigureName;
use crate::engine::work::{Work, cite, constant, round};
use crate::reference::Row;
use crate::spec::Joint;
use crate::units::show;

/// What the cooling time is worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Heat input with k, kJ/mm: least, aim, most.
    pub heat_input: [f64; 3],
    /// Metal at the start of a run, °C: the preheat, or the temperature between passes.
    pub start: f64,
    /// Wall, mm.
    pub wall: f64,
    /// Joint, for the ways of the heat.
    pub joint: Joint,
}

/// The cooling time, s, for steels that harden and no others; none where the start is too hot for the formulas.
///
/// The working shows the heat input that would bring the time to both ends of the usual window. The part `zone-width`
/// is the width beside the fusion line that changes its structure, mm.
#[must_use]
pub fn cooling_time(question: &Question) -> Option<Figure> {
    let row = shape_row(question.joint)?;
    let [least, aim, most] = question.heat_input;
    let weld =
        |heat_input| Weld { heat_input, start: question.start, thickness: question.wall, shape: Shape::from(row) };
    let at = |heat_input| weld(heat_input).cooling_time();
    let (seconds, plate) = at(aim)?;
    let mut work = Work::new();
    work.figure(FigureName::HeatInput, "q", aim);
    work.constant("heat-input-k", "");
    work.stated("start", "T0", question.start, "°C", None);
    work.stated("wall", "t", question.wall, "mm", None);
    work.small_constant("cooling-from", "x");
    work.small_constant("cooling-to", "y");
    work.constant("cooling-thick", "a");
    work.constant("cooling-thick-slope", "b");
    work.constant("cooling-thin", "c");
    work.constant("cooling-thin-slope", "d");
    work.row("shape-thin", "F2", row.f2, "", row.cite());
    work.with(vec![row.weld.clone()]);
    work.row("shape-thick", "F3", row.f3, "", row.cite());
    work.with(vec![row.weld.clone()]);
    work.step(
        "cooling-transition",
        "s",
        "sqrt((c - d * T0) * 100000 / (a - b * T0) * q * (1 / (y - T0) + 1 / (x - T0)) * F2 / F3)",
        weld(aim).transition()?,
        "mm",
    );
    match plate {
        Plate::Thin => work.step(
            "cooling-in-thin",
            "",
            "(c - d * T0) * 100000 * (q / t)^2 * (1 / (y - T0)^2 - 1 / (x - T0)^2) * F2",
            seconds,
            "s",
        ),
        Plate::Thick => {
            work.step("cooling-in-thick", "", "(a - b * T0) * q * (1 / (y - T0) - 1 / (x - T0)) * F3", seconds, "s")
        }
    };
    let sheet = constant("cooling-sheet").value;
    if question.wall < sheet {
        let args = vec![show::trimmed(show::number(sheet, 1))];
        work.remark(LineKind::Doubt, "cooling-of-sheet", args, Some(cite("cooling-sheet")));
    }
    let window = constant("cooling-window");
    let [quick, slow] = window.range.unwrap_or([window.value; 2]);
    work.check("cooling-window", (quick, slow), "s", Some(window.cite()));
    let wanted = (weld(aim).heat_input_for(quick)?, weld(aim).heat_input_for(slow)?);
    work.check("heat-input-for-window", wanted, "kJ/mm", None);
    // A start that slows a quick weld down; where it is slow enough no preheat is wanted for this.
    if seconds < quick
        && let Some(start) = weld(aim).start_for(quick)
    {
        work.check("start-for-window", (start, start), "°C", None);
        work.with(vec![show::number(quick, 0)]);
    }
    let width = zone(&mut work, question, plate);
    let value = |heat_input| at(heat_input).map(|(seconds, _)| round(FigureName::CoolingTime, seconds));
    let value = Value::Range { low: value(least)?, high: value(most)?, set: value(aim)? };
    let mut figure = work.done(FigureName::CoolingTime, value, constant("cooling-thick").basis);
    figure.parts.push(("zone-width", width, "mm"));
    Some(figure)
}

/// Width of the zone that changes its structure, mm, as a line without weight.
fn zone(work: &mut Work, question: &Question, plate: Plate) -> f64 {
    /// J in a kJ.
    const JOULES: f64 = 1000.0;
    let of = |key| constant(key).value;
    let arc = |heat_input: f64| FastArc {
        net: heat_input * JOULES,
        heat_volume: of("steel-heat-volume"),
        start: question.start,
        melting: of("steel-melts"),
    };
    let edge = of("steel-changes");
    let width = |heat_input| match plate {
        Plate::Thin => arc(heat_input).zone_in_thin(question.wall, edge),
        Plate::Thick => arc(heat_input).zone_in_thick(edge),
    };
    let [least, aim, most] = question.heat_input;
    work.check("zone-width", (width(least), width(most)), "mm", Some(cite("steel-heat-volume")));
    work.with(vec![show::number(edge, 0)]);
    width(aim)
}
