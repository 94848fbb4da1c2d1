//! Section 1: what is broken, where, how large, what loads it and why it broke.

use super::context::{Context, Say, listed};
use super::facts::feature;
use super::writer::{Writer, pair, table};
use super::{Block, Section, Table};
use crate::findings::Code;
use crate::spec::{Access, Cause, DamageKind, Loading, Position, Spec};
use crate::units::show;

/// Section 1.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "1");
    if let Some(summary) = &context.spec().procedure.value.summary {
        writer.block(Block::Prose { markdown: summary.value.0.clone() });
    }
    let mut stated = table(context, "damage", &["item", "stated"], &[]);
    sizes(context, &mut stated);
    service(context, &mut stated);
    writer.table(stated);
    writer.table(assumed(context));
    steps(&mut writer);
    writer.done()
}

fn sizes(context: &Context<'_>, table: &mut Table) {
    let damage = &context.spec().damage;
    let mut row = |item: &str, value: String| table.rows.push(pair(context, item, context.plain(value)));
    row("damage", what(context));
    if let Some(thickness) = &context.spec().metal.value.thickness {
        row("thickness", show::stated(&thickness.value));
    }
    for key in ["length", "width", "depth", "diameter", "height"] {
        if let Some(size) = context.size(key) {
            let worn = key == "height" && context.kind() == Some(DamageKind::WornSurface);
            row(if worn { "worn" } else { key }, show::stated(size));
        }
    }
    if let Some(area) = &damage.area {
        row("area", show::stated(&area.value));
    }
    if let Some(thread) = &damage.thread {
        row("thread", thread.value.clone());
    }
    if let Some(edge) = context.size("edge") {
        row("edge", show::stated(edge));
    }
    for keep in context.keeps() {
        if let Some(distance) = &keep.distance {
            let say = Say::of("sections", "row/keep").with("feature", feature(keep));
            table.rows.push(vec![context.cell(&say), context.plain(show::stated(&distance.value))]);
        }
    }
}

/// The damage in a line: kind, whether it goes through, its ends, which attempt.
fn what(context: &Context<'_>) -> String {
    let damage = &context.spec().damage;
    let mut parts = vec![context.kind().map_or_else(|| context.blank(), |kind| kind.word().to_owned())];
    let say = |key: &str| context.text("values", key);
    match &damage.through {
        Some(through) if through.value => parts.push(say("through")),
        Some(_) => parts.push(say("not-through")),
        None => {}
    }
    if let Some(tips) = context.tips().filter(|_| context.is_crack()) {
        parts.push(context.cell(&Say::of("values", format!("tips/{}", tips.clamp(0, 2)))).text);
    }
    if let Some(attempt) = crate::rules::attempts::of(context.job) {
        let key = if attempt.number <= 1 { "attempt-first" } else { "attempt-later" };
        parts.push(context.cell(&Say::of("values", key).with("0", attempt.number.to_string())).text);
    }
    parts.join(", ")
}

fn service(context: &Context<'_>, table: &mut Table) {
    let spec: &Spec = context.spec();
    let part = &spec.part;
    let and = context.text("values", "and");
    let mut row = |item: &str, value: String| table.rows.push(pair(context, item, context.plain(value)));
    row("cause", spec.damage.cause.as_ref().map_or_else(|| context.blank(), |at| at.value.word().to_owned()));
    let loads: Vec<String> = part.loading.iter().map(|at| at.value.word().to_owned()).collect();
    row("load", if loads.is_empty() { context.blank() } else { listed(&loads, &and) });
    let warm = part.service_temperature.as_ref().map(|at| show::stated(&at.value));
    let around = part.environment.iter().map(|at| at.value.word().to_owned());
    let service: Vec<String> = warm.into_iter().chain(around).collect();
    if !service.is_empty() {
        row("service", service.join(", "));
    }
    if let Some(restraint) = &part.restraint {
        row("restraint", restraint.value.word().to_owned());
    }
    // What was taken stands in the table below.
    let taken = |key: &str| context.job.assumed.iter().any(|assumed| assumed.key == key);
    if !taken("access") {
        row("reach", context.word("access", Access::word(context.job.access)));
    }
    if !taken("position") {
        row("position", context.word("position", Position::word(context.job.position)));
    }
}

/// What was taken where the spec says nothing.
fn assumed(context: &Context<'_>) -> Table {
    let mut table = table(context, "assumed", &["item", "taken", "why"], &[]);
    for assumed in &context.job.assumed {
        let item = context.words.get("assumed", &format!("item/{}", assumed.key)).unwrap_or(assumed.key);
        let why = context.text("assumed", assumed.why);
        table.rows.push(vec![context.plain(item), context.plain(&assumed.value), context.plain(why)]);
    }
    table
}

fn steps(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let damage = context.damage();
    if context.job.base.alloy.is_none() {
        writer.step("identify");
    }
    let photo = writer.say("photo", "").with("damage", damage.clone());
    writer.say_step("photo", photo);
    let cause = context.spec().damage.cause.as_ref().map(|at| at.value);
    let case = match cause {
        _ if context.kind() == Some(DamageKind::FailedWeld) => "old-weld",
        _ if !context.is_crack() => "other",
        Some(Cause::Fatigue) => "fatigue",
        Some(Cause::Unknown) | None => "unknown",
        Some(_) => "crack",
    };
    let look = writer.say("look", case).with("damage", damage.clone());
    let look = look.with("cause", cause.map_or(String::new(), |cause| cause.word().to_owned()));
    writer.say_step("look", look);
    if matches!(cause, Some(Cause::Unknown) | None) {
        writer.step("cause");
    }
    let shaken = context.spec().part.loading.iter().any(|at| matches!(at.value, Loading::Vibration | Loading::Impact));
    if shaken || cause == Some(Cause::Fatigue) {
        writer.step("shaken");
    }
    let missing = missing_sizes(context);
    if !missing.is_empty() {
        let missing = listed(&missing, &context.text("values", "and"));
        let say = writer.say("size", "").with("damage", damage).with("missing", missing);
        writer.say_step("size", say);
    }
    if context.worked.findings.iter().any(|finding| finding.code == Code::MetalMagnesiumWarm) {
        writer.step("runs-hot");
    }
    super::cause::assess(writer);
    super::attempt::assess(writer);
}

/// Sizes that the kind of damage asks for and the spec leaves out.
pub(super) fn missing_sizes(context: &Context<'_>) -> Vec<String> {
    use crate::spec::DamageKind as Kind;
    let wanted: &[&str] = match context.kind() {
        Some(Kind::Crack) if !context.through() => &["length", "depth"],
        Some(Kind::Crack | Kind::BrokenLug | Kind::FailedWeld | Kind::MissingPiece) => &["length"],
        Some(Kind::WornSurface) => &["height"],
        Some(Kind::Hole) => &["diameter"],
        Some(Kind::Porosity | Kind::CorrosionPitting) => &["length", "depth"],
        Some(Kind::StrippedThread) => &["depth"],
        None => &["length", "depth"],
    };
    let missing = wanted.iter().filter(|key| context.size(key).is_none());
    missing.map(|key| context.word("size", key)).collect()
}
