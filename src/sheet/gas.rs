//! Section 6, before the first tack: gas behind the weld and over what is still hot, for the metals that burn to scale at
//! the back of the root or take up air while they are hot.

use super::context::Context;
use super::writer::Writer;
use crate::reference::search::constant;
use crate::reference::{Class, Row};
use crate::units::show;

/// Writes the steps; a sentence where the root of such a metal does not come through.
pub(super) fn behind(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let class = context.job.class();
    if !context.purged() {
        if matches!(class, Class::Stainless | Class::Nickel | Class::Titanium) {
            writer.not_required("6.purge");
        }
        return;
    }
    writer.step("purge-box");
    let volumes = constant("purge-volumes");
    let say = writer.say("purge", "").with("volumes", number(context, volumes.map(|row| row.value)));
    writer.say_step("purge", say.cite(volumes.map(Row::cite)));
    let key = if class == Class::Titanium { "purge-oxygen-titanium" } else { "purge-oxygen" };
    let oxygen = constant(key);
    let say = writer.say("purge-read", "").with("oxygen", number(context, oxygen.map(|row| row.value)));
    writer.say_step("purge-read", say.cite(oxygen.map(Row::cite)));
}

/// While the weld cools: the gas behind it stays on.
pub(super) fn kept(writer: &mut Writer<'_, '_>) {
    if writer.context.purged() {
        writer.step("purge-keep");
    }
}

fn number(context: &Context<'_>, value: Option<f64>) -> String {
    value.map_or_else(|| context.blank(), |value| show::number(value, 0))
}
