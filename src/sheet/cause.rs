//! What the cause changes in the order of the hands: what is looked for, what is cut, and what is made otherwise so that
//! it does not break again.

use super::context::{Context, Say};
use super::writer::Writer;
use crate::reference::Row;
use crate::reference::search::constant;
use crate::rules::causes;
use crate::spec::{Cause, DamageKind, Finish};

fn cause(context: &Context<'_>) -> Option<Cause> {
    context.spec().damage.cause.as_ref().map(|at| at.value)
}

/// Whether ice broke it: what holds water is tested for leaks then, whatever it has held.
pub(super) fn of_ice(context: &Context<'_>) -> bool {
    causes::asks(cause(context)).leak
}

/// Width round the damage that is tested, as it is printed, and its source.
pub(super) fn zone(context: &Context<'_>, say: Say) -> Say {
    let key = if causes::asks(cause(context)).wide { "test-zone-wide" } else { "test-zone" };
    let row = constant(key);
    let text = row.map_or_else(|| context.blank(), |row| super::show::roughly(row.value, context.system()));
    say.with("zone", text).cite(row.filter(|_| key == "test-zone-wide").map(Row::cite))
}

/// Section 1: what to look for, and where the change is written down.
pub(super) fn assess(writer: &mut Writer<'_, '_>) {
    match cause(writer.context) {
        Some(Cause::Fatigue) => writer.step_case("change", "fatigue"),
        Some(Cause::Corrosion) => writer.step_case("change", "corrosion"),
        Some(Cause::StressCorrosion) => writer.step_case("change", "stress-corrosion"),
        Some(Cause::Overload) => {
            writer.step_case("change", "overload");
            bent(writer);
        }
        Some(Cause::Impact) => bent(writer),
        Some(Cause::Wear) => writer.step_case("change", "wear"),
        Some(Cause::Freezing) => writer.step("all-over"),
        Some(Cause::Thermal) => writer.step_case("change", "thermal"),
        Some(Cause::CastingDefect) => writer.step("foundry"),
        Some(Cause::Unknown) | None => {}
    }
}

/// A part that took too much may be bent as well.
fn bent(writer: &mut Writer<'_, '_>) {
    // A blade has no straight edge: its pitch is measured.
    if writer.context.is_propeller() {
        return;
    }
    let case = match writer.context {
        context if context.is_casting() => "cast",
        context if context.job.base.alloy.is_none() => "unknown",
        _ => "wrought",
    };
    writer.step_case("bent", case);
}

/// Section 2: work stops until the cause, or the change that it asks for, is written down.
pub(super) fn hold(writer: &mut Writer<'_, '_>) {
    let cause = cause(writer.context);
    if !causes::asks(cause).hold {
        return;
    }
    let key = match cause {
        Some(Cause::Fatigue) => "fatigue",
        Some(Cause::Corrosion) => "corrosion",
        Some(Cause::StressCorrosion) => "stress-corrosion",
        _ => "unknown",
    };
    let written = if key == "unknown" { "broke" } else { "change" };
    writer.hold("cause", Say::of("decide", format!("cause/{key}")), &[written]);
}

/// Section 3, after the ends are found: where else to look.
pub(super) fn ends(writer: &mut Writer<'_, '_>) {
    match cause(writer.context) {
        Some(Cause::Freezing) if writer.context.penetrant() => writer.step("tips-all"),
        Some(Cause::StressCorrosion) => writer.step("branches"),
        _ => {}
    }
}

/// Section 3, with the cut: how far it goes besides the table.
pub(super) fn cut(writer: &mut Writer<'_, '_>) {
    match cause(writer.context) {
        Some(Cause::Corrosion | Cause::StressCorrosion) => writer.step("cut-back"),
        Some(Cause::CastingDefect) => writer.step("cut-round"),
        _ => {}
    }
}

/// Section 6, before the first arc: metal that was held when it broke is not held when it is welded.
pub(super) fn before_arc(writer: &mut Writer<'_, '_>) {
    if cause(writer.context) == Some(Cause::Thermal) {
        writer.step("free-end");
    }
}

/// Whether heat broke it, so that it cools in its own time, free to shrink.
pub(super) fn of_heat(context: &Context<'_>) -> bool {
    cause(context) == Some(Cause::Thermal)
}

/// Section 8: the shape, once the weld is dressed.
pub(super) fn shape(writer: &mut Writer<'_, '_>) {
    match cause(writer.context) {
        Some(Cause::Fatigue) => {
            writer.step("round");
            writer.step("doubler");
        }
        Some(Cause::Overload | Cause::Impact) if !writer.context.is_casting() => writer.step("straight"),
        Some(Cause::Wear) => {
            let worn = writer.context.kind() == Some(DamageKind::WornSurface);
            writer.step_case("wear", if worn { "pad" } else { "other" });
        }
        _ => {}
    }
}

/// Section 8: coat and surroundings.
pub(super) fn surroundings(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if corrodes(context) {
        writer.step("no-pocket");
        let finish = context.spec().part.finish.as_ref().map(|at| at.value);
        if matches!(finish, Some(Finish::None) | None) {
            writer.step("bare");
        }
        writer.step_case("isolate", "all");
    }
}

/// Whether its surroundings ate it, so that every other metal is kept off it.
pub(super) fn corrodes(context: &Context<'_>) -> bool {
    matches!(cause(context), Some(Cause::Corrosion | Cause::StressCorrosion))
}

/// Section 8, last: how it is fitted and looked at again.
pub(super) fn fit(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    match cause(context) {
        Some(Cause::Fatigue) => {
            writer.step("unshaken");
            writer.step("look-again");
        }
        Some(Cause::StressCorrosion) => {
            writer.step("unstrained");
            writer.step("look-again");
        }
        Some(Cause::Overload) => writer.step("limit"),
        Some(Cause::Thermal) => writer.step("grow"),
        Some(Cause::Freezing) => writer.step("frost"),
        _ => {}
    }
}
