//! Section 6, after the last arc: how the part cools. Most metals cool by themselves; a steel that hardens, and iron, crack
//! if they cool fast, and titanium keeps its gas until it is cold.

use super::context::Context;
use super::writer::Writer;
use crate::reference::Class;
use crate::rules::metals;

/// Section 6, at once after the last arc: lag what must not cool fast.
pub(super) fn at_once(writer: &mut Writer<'_, '_>) {
    if let Some(case) = lagged(writer.context) {
        writer.step_case("cool-slow", case);
    }
}

/// Section 6, after the gas is shut: a part that heat broke cools free to shrink.
pub(super) fn in_air(writer: &mut Writer<'_, '_>) {
    if lagged(writer.context).is_none() && super::cause::of_heat(writer.context) {
        writer.step_case("cool-slow", "air");
    }
}

/// What the part cools in, where it is not still air.
fn lagged(context: &Context<'_>) -> Option<&'static str> {
    let class = context.job.class();
    if class == Class::CastIron {
        let cold = context.iron_route() == Some(metals::Route::Cold);
        Some(if cold { "iron" } else { "iron-warm" })
    } else if class == Class::ToolSteel {
        Some("tool")
    } else if metals::hardenable(context.job) && metals::kept_warm(context.job, context.worked).is_some() {
        Some("blanket")
    } else {
        None
    }
}
