//! Repair at the same place again: which attempt it is, and what that asks of the steps and the holds.

use super::context::{Context, Say};
use super::writer::Writer;
use crate::rules::attempts::{self, Wants, wants};
use crate::units::show;

fn number(context: &Context<'_>) -> i64 {
    attempts::of(context.job).map_or(1, |attempt| attempt.number)
}

/// The number as it is printed.
fn shown(context: &Context<'_>) -> String {
    #[allow(clippy::cast_precision_loss, reason = "attempts are few")]
    let number = number(context) as f64;
    show::number(number, 0)
}

/// Section 1: why the last one failed.
pub(super) fn assess(writer: &mut Writer<'_, '_>) {
    if wants(number(writer.context)) != Wants::Nothing {
        writer.step("earlier");
    }
}

/// Section 2: the review of a second attempt, the approval of a later one.
pub(super) fn hold(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let approval = context.spec().approval.as_ref().map(|at| &at.value);
    let (key, case) = match (wants(number(context)), approval.is_some()) {
        (Wants::Nothing, _) => return,
        (Wants::Review, true) => ("review", "reviewed"),
        (Wants::Review, false) => ("review", "review"),
        (Wants::Approval, _) => ("approval", "approval"),
    };
    let by = approval.map_or_else(|| context.blank(), |approval| approval.by.value.clone());
    let reference = approval.map_or_else(|| context.blank(), |approval| approval.reference.value.clone());
    let say = Say::of("decide", format!("attempt/{case}"))
        .with("attempt", shown(context))
        .with("by", by)
        .with("reference", reference);
    writer.hold(key, say, &["failed", "otherwise"]);
}

/// Section 3, with the cut: nothing of the earlier repair stays.
pub(super) fn cut(writer: &mut Writer<'_, '_>) {
    if wants(number(writer.context)) != Wants::Nothing {
        writer.step("old-repair");
    }
}

/// Section 7: what a rejected weld means at this attempt.
pub(super) fn mend(writer: &mut Writer<'_, '_>) {
    let case = match wants(number(writer.context)) {
        Wants::Nothing => "first",
        Wants::Review => "second",
        Wants::Approval => "later",
    };
    let say = writer.say("mend", case).with("attempt", shown(writer.context));
    writer.say_step("mend", say);
}
