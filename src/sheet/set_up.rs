//! Section 5: screen, earth, torch, settings, scrap bead; then the last cleaning in its order, and its clock.

use super::Section;
use super::context::{Context, Say};
use super::prepare::{plugged, show_minutes};
use super::settings::settings;
use super::writer::Writer;
use crate::engine::FigureName;
use crate::engine::exposure::bake_row;
use crate::reference::search::constant;
use crate::reference::{Cite, Class, ConstantRow, Row};
use crate::rules::metals;
use crate::spec::{Cleaner, DamageKind, Site};
use crate::units::{Quantity, Range, celsius, show};

/// Section 5.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "5");
    stand(&mut writer);
    torch(&mut writer);
    writer.table(settings(context));
    panel(&mut writer);
    clean(&mut writer);
    // What seals a bore against grit and dye does not go into an oven, and stands no preheat.
    let heated = context.oven() || metals::kept_warm(context.job, context.worked).is_some();
    if plugged(context) && heated && !bakes(context) {
        writer.step("unplug");
    }
    bake(&mut writer);
    dry(&mut writer);
    scrape(&mut writer);
    writer.done()
}

/// A constant of the tables with its length shown roughly in both systems.
pub(super) fn length_of(context: &Context<'_>, key: &str) -> (String, Option<Cite>) {
    let row: Option<&'static ConstantRow> = constant(key);
    let text = row.map_or_else(|| context.blank(), |row| super::show::roughly(row.value, context.system()));
    (text, row.map(Row::cite))
}

/// What the joint is wiped with last.
pub(super) fn wipe(context: &Context<'_>) -> String {
    context.word("cleaner", cleaner(context).word())
}

fn cleaner(context: &Context<'_>) -> Cleaner {
    match context.spec().prepare.cleaner.as_ref().map(|at| at.value) {
        Some(cleaner) if cleaner != Cleaner::Chlorinated => cleaner,
        _ => Cleaner::Unknown,
    }
}

fn stand(writer: &mut Writer<'_, '_>) {
    let place = &writer.context.spec().place;
    let limit = constant("wind-screen").map_or(1.0, |row| row.value);
    let windy = place.wind.as_ref().is_some_and(|at| at.value.range.high.si() > limit);
    let open = place.site.as_ref().is_some_and(|at| matches!(at.value, Site::Outdoors | Site::OnTheBoat));
    if windy || open {
        writer.step("screen");
    }
    writer.step("earth");
}

fn torch(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    match context.torch() {
        Some(torch) => {
            let say = writer.say("torch", "").with("torch", torch.name.value.clone());
            writer.say_step("torch", say);
        }
        None => writer.step_case("torch", "none"),
    }
    if context.water_cooled() {
        let flow = context.torch().and_then(|torch| torch.flow.as_ref());
        match flow {
            Some(flow) => {
                let say = writer.say("cooler", "").with("coolant", coolant(&flow.value));
                writer.say_step("cooler", say);
            }
            None => writer.step_case("cooler", "unknown"),
        }
    }
    writer.step("tip");
    let cup = writer.say("cup", "").with("cup", super::settings::cup(context));
    writer.say_step("cup", cup);
    if context.job.class() == Class::Titanium {
        writer.step("trailing");
    }
    let beside = |key: &str| {
        let flow = context.part(FigureName::GasFlow, key).map(|(flow, _)| flow);
        flow.map_or_else(|| context.blank(), |flow| super::show::one(FigureName::GasFlow, flow, context.system()))
    };
    let gas = writer.say("flow", "").with("trailing", beside("trailing")).with("backing", beside("backing"));
    let gas = gas.figure(context.figure(FigureName::GasFlow));
    writer.say_step("flow", gas);
    let reading = context.figure(FigureName::FlowmeterReading).and_then(|figure| figure.aim());
    let flow = context.figure(FigureName::GasFlow).and_then(|figure| figure.aim());
    if reading.zip(flow).is_some_and(|(reading, flow)| libm::fabs(reading - flow) > 0.25) {
        writer.step("meter");
    }
    writer.step("lens");
}

/// Coolant in litres and gallons a minute: cubic feet an hour are for gas.
pub(super) fn coolant(flow: &crate::units::Amount<crate::units::Flow>) -> String {
    use crate::units::System;
    use crate::units::table::Unit;
    let (lead, beside) = match flow.system {
        System::Metric => (Unit::LitrePerMinute, Unit::UsGallonPerMinute),
        System::Inch => (Unit::UsGallonPerMinute, Unit::LitrePerMinute),
    };
    show::both_in(flow.range.low, lead, beside)
}

fn panel(writer: &mut Writer<'_, '_>) {
    let place = &writer.context.spec().place;
    let low = |at: &Option<crate::findings::At<bool>>| at.as_ref().is_none_or(|at| at.value);
    if low(&place.confined) || low(&place.pit) {
        writer.step("oxygen");
    }
    writer.step("extract");
    writer.step("panel");
    if writer.context.no_remote() {
        let context = writer.context;
        let most = super::weld_tables::ceiling(context);
        let aim = context.figure(FigureName::Amperage).and_then(|figure| figure.aim()).map(|aim| aim.min(most));
        let aim = aim.map_or_else(|| context.blank(), |aim| super::weld_tables::amps(context, aim));
        let say = writer.say("four-stroke", "").with("aim", aim);
        writer.say_step("four-stroke", say);
    }
    let context = writer.context;
    let (length, _) = length_of(context, "scrap-bead-length");
    let say = writer.say("scrap-bead", "").with("scrap", length);
    writer.say_step("scrap-bead", say);
    // A field in the part blows the arc aside, and a grinder or a lifting magnet leaves one.
    if metals::tested_by_magnet(context.job) {
        writer.step("magnetism");
    }
}

/// The last wiping: dye out, solvent out of the bay, time to let go.
fn clean(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let key = if context.penetrant() { "dye-off" } else { "wipe" };
    let say = writer.say(key, "").with("wipe", wipe(context));
    writer.say_step(key, say);
    writer.step("away");
    writer.step("wait");
}

/// Whether oil is baked out of the part, which takes the plugs out itself.
fn bakes(context: &Context<'_>) -> bool {
    let iron = context.job.class() == Class::CastIron;
    context.oil_soaked()
        && context.is_casting()
        && !iron
        && bake_row(context.job).is_some_and(|row| row.preheat_max.is_some())
}

fn bake(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !context.oil_soaked() || !context.is_casting() {
        return;
    }
    // Iron was burnt out before its opening was tested, and holds the dye now.
    if context.job.class() == Class::CastIron {
        if metals::burnt_out(context.job) && context.penetrant() {
            writer.step("burn-again");
        }
        return;
    }
    let Some(row) = bake_row(context.job) else {
        writer.text(Say::of("advice", "bake/none"));
        return;
    };
    let Some(most) = row.preheat_max else { return };
    if plugged(context) {
        writer.step("unplug");
    }
    let time = row.minutes_max.map(|minutes| context.cell(&Say::of("values", "in-all").with("0", hours(minutes))).text);
    let case = if context.oven() { "" } else { "none" };
    let say = writer
        .say("bake", case)
        .with("bake", show::limit_both(celsius(most), context.system(), show::Toward::Down))
        .with("bake_time", time.unwrap_or_default())
        .cite([row.cite()]);
    writer.say_step("bake", say);
    writer.step("bake-cool");
    let say = writer.say("bake-wipe", "").with("wipe", wipe(context));
    writer.say_step("bake-wipe", say);
}

/// Minutes as hours, where they are whole.
pub(super) fn hours(minutes: f64) -> String {
    let whole = libm::fabs(libm::remainder(minutes, 60.0)) < 1e-9;
    if whole { super::show::bare(minutes / 60.0, "h") } else { show_minutes(minutes) }
}

/// Drying heat, as it is printed, and its source.
pub(super) fn drying(context: &Context<'_>) -> (String, Option<Cite>) {
    let row = constant("drying-heat");
    let range = row.and_then(|row| row.range);
    let text = range.map_or_else(
        || context.blank(),
        |[low, high]| show::limits_both(Range::new(celsius(low), celsius(high)), context.system()),
    );
    (text, row.map(Row::cite))
}

fn dry(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let place = &context.spec().place;
    let wet = place.damp.as_ref().is_some_and(|at| at.value);
    let (range, cite) = drying(context);
    let case = if context.oven() {
        "oven"
    } else if wet {
        "wet"
    } else {
        "air"
    };
    // Drying heat may lie over what a pass starts at: then the part cools again first.
    let top = constant("drying-heat").and_then(|row| row.range).map(|[_, high]| high);
    let resume = context.figure(FigureName::ResumeBelow).and_then(|figure| figure.aim());
    let cools = top.zip(resume).is_some_and(|(top, resume)| resume < top);
    let then = if cools { context.text("values", "dry-then") } else { String::new() };
    let say = writer.say("dry", case).with("dry", range).with("then", then).cite(cite);
    writer.say_step("dry", say);
}

/// Whether plain steel is welded to stainless steel.
pub(super) fn stainless_pair(context: &Context<'_>) -> bool {
    let other = context.job.other.as_ref().and_then(metals::class_of);
    context.job.class().is_steel() && other == Some(Class::Stainless)
}

fn scrape(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let wide = context.kind() == Some(DamageKind::WornSurface);
    let case = match wide {
        _ if stainless_pair(context) => "pair",
        true => "brush",
        false => "scraper",
    };
    writer.step_case("scrape", case);
    let case = if cleaner(context) == Cleaner::Alkaline { "dry" } else { "wiped" };
    let say = writer.say("rod", case).with("wipe", wipe(context));
    writer.say_step("rod", say);
}
