//! What section 8 says of metals other than aluminium: what the weld makes of the metal beside it, what heat treatment
//! follows, and how the tint of stainless steel comes off.

use super::context::{Context, Say};
use super::writer::Writer;
use crate::reference::Class;
use crate::rules::metals::{self, Beside};
use crate::spec::{DamageKind, Need};

/// What the owner is told of the metal beside the weld.
pub(super) fn told(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = match super::after::zone(context) {
        Beside::Same => "as-before",
        Beside::Soft => "worked",
        Beside::Hard => "hard",
    };
    writer.step_case("soft", case);
    if context.kind() == Some(DamageKind::StrippedThread) {
        writer.step("sleeve");
    }
}

/// Whether the metal is stress relieved or tempered after the weld: a magnesium alloy with aluminium, and a steel that
/// hardens; not a plate that the mill has quenched and tempered, which would lose what it got there.
fn treated(context: &Context<'_>) -> bool {
    let magnesium = context.alloys().any(|alloy| alloy.class == Class::Magnesium && alloy.group.contains("Al"));
    magnesium || (metals::hardenable(context.job) && !metals::of_family(context.job, "quenched and tempered"))
}

/// The heat treatment that the metal asks for, or why there is none.
pub(super) fn heat_treatment(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let wanted = context.spec().weld.needs.iter().any(|at| at.value == Need::HeatTreatment);
    if wanted && !treated(context) {
        writer.not_required("heat-treatment-follows");
    } else if !treated(context) {
        writer.not_required("heat-treatment-none");
    }
}

/// The step of the heat treatment, before the last tests: it shows what cracked, and what it cracks itself.
pub(super) fn relieve(writer: &mut Writer<'_, '_>) {
    if treated(writer.context) {
        writer.step("relieve");
    }
}

/// Tint and scale come off metals that resist corrosion by a clean skin.
pub(super) fn tint_off(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.job.class() == Class::Stainless {
        writer.step("tint-off");
        writer.step("passivate");
    }
}

/// The sentence that a cast iron, a brass or a magnesium part wants beside the passes.
pub(super) fn advice(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let key = match context.job.class() {
        Class::CastIron => match context.iron_route() {
            Some(metals::Route::Hot) => "iron/hot",
            _ => "iron/cold",
        },
        Class::Stainless if metals::of_family(context.job, "duplex") => "hand/duplex",
        Class::Stainless => "hand/stainless",
        Class::Nickel => "hand/nickel",
        Class::Titanium => "hand/titanium",
        Class::Magnesium => "hand/magnesium",
        Class::Copper if metals::boils_zinc(context.job) => "hand/brass",
        Class::Copper if metals::of_family(context.job, "bronze") => "hand/bronze",
        Class::Copper => "hand/copper",
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel if metals::hardenable(context.job) => {
            "hand/hardenable"
        }
        _ => return,
    };
    writer.text(Say::of("advice", key));
}
