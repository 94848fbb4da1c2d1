//! What section 8 says of metals other than aluminium: what the weld makes of the metal beside it, what heat treatment
//! follows, and how the tint of stainless steel comes off.

use super::context::{Context, Say};
use super::writer::Writer;
use crate::engine::heat::travel_for;
use crate::engine::load_line::LoadLine;
use crate::engine::{Figure, FigureName};
use crate::findings::Code;
use crate::reference::heat::{heat_window_of, treatments_of};
use crate::reference::{Class, Row, Treatment};
use crate::rules::metals::{self, Beside, Route};
use crate::spec::{DamageKind, Need};
use crate::units::{Range, celsius, show};

/// What the owner is told of the metal beside the weld.
pub(super) fn told(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = match super::after::zone(context) {
        Beside::Same => "as-before",
        Beside::Soft if warmed_whole(context) => "whole",
        Beside::Soft => "worked",
        Beside::Hard => "hard",
    };
    writer.step_case("soft", case);
    if context.kind() == Some(DamageKind::StrippedThread) {
        writer.step("sleeve");
    }
}

/// Rows of what heat the metals of the job want after the weld; the first metal of a pair comes first.
fn treatments(context: &Context<'_>) -> Vec<&'static Treatment> {
    let known = metals::bases(context.job).filter_map(|base| base.alloy);
    known.flat_map(treatments_of).collect()
}

/// Whether the metal is stress relieved or tempered after the weld: a magnesium alloy with aluminium, a steel that hardens
/// and is no plate that the mill has quenched and tempered, and what its row says.
fn relieved(context: &Context<'_>) -> bool {
    let rows = treatments(context);
    let of_row = rows.iter().any(|row| matches!(row.kind.as_str(), "stress relief" | "temper"));
    let none = !rows.is_empty() && !of_row;
    let magnesium = context.alloys().any(|alloy| alloy.class == Class::Magnesium && alloy.group.contains("Al"));
    let plate = metals::of_family(context.job, "quenched and tempered");
    !none && (magnesium || (metals::hardenable(context.job) && !plate))
}

/// The heat treatment that the metal asks for besides, or why there is none.
pub(super) fn heat_treatment(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if relieved(context) {
        return;
    }
    let wanted = context.spec().weld.needs.iter().any(|at| at.value == Need::HeatTreatment);
    if wanted {
        writer.not_required("heat-treatment-follows");
        return;
    }
    let other = context.job.other.as_ref().and_then(|other| other.alloy);
    if other.is_some_and(|other| other.class != metals::class(context.job)) {
        writer.not_required("heat-treatment-pair");
        return;
    }
    match treated(context) {
        Some(said) => writer.text(said),
        None => writer.not_required("heat-treatment-none"),
    }
}

/// The rows in words: what, how hot, how long, and when.
fn treated(context: &Context<'_>) -> Option<Say> {
    let mut rows = treatments(context);
    if context.iron_route() == Some(Route::Cold) {
        rows.retain(|row| row.kind != "slow cooling");
    }
    let said = |row: &&'static Treatment| {
        let (key, when) = match (row.kind.as_str(), row.temperature) {
            ("avoid", Some(_)) => ("treatment/avoid", lower(&row.when)),
            (_, Some(_)) => ("treatment/row", lower(&row.when)),
            (_, None) => ("treatment/plain", row.when.clone()),
        };
        let kind = super::weld_tables::capital(&row.kind);
        let say = Say::of("advice", key).with("kind", kind).with("when", when);
        let one = |end: f64| degrees(context, Some([end; 2]));
        let ends = row.temperature.map(|[low, high]| (one(low), one(high))).unwrap_or_default();
        let say = say.with("low", ends.0).with("high", ends.1);
        context
            .cell(&say.with("temperature", degrees(context, row.temperature)).with("hours", hours(context, row)))
            .text
    };
    let said: Vec<String> = rows.iter().map(said).collect();
    let some = rows.iter().any(|row| !matches!(row.kind.as_str(), "none" | "avoid" | "slow cooling"));
    let say = Say::of("advice", if some { "treatment/text" } else { "treatment/none" }).with("rows", said.join(" "));
    (!rows.is_empty()).then(|| say.cite(rows.into_iter().map(Row::cite)))
}

/// A sentence as it goes on after a colon; one that begins with a name in capitals stays.
fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if first.is_uppercase() && !second.is_uppercase() => {
            first.to_lowercase().chain(std::iter::once(second)).chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

fn degrees(context: &Context<'_>, temperature: Option<[f64; 2]>) -> String {
    let Some([low, high]) = temperature else { return context.blank() };
    if high > low {
        show::limits_both(Range::new(celsius(low), celsius(high)), context.system())
    } else {
        show::limit_both(celsius(low), context.system(), show::Toward::Down)
    }
}

fn hours(context: &Context<'_>, row: &Treatment) -> String {
    let text = match (row.hours, row.minutes_per_mm) {
        (Some([low, high]), _) if high > low => super::show::bare_range(low, high, "h"),
        (Some([low, _]), _) => super::show::bare(low, "h"),
        (None, Some(minutes)) => super::show::bare(minutes, "min for each mm of wall"),
        (None, None) => return String::new(),
    };
    context.cell(&Say::of("advice", "back/for").with("0", text)).text
}

/// Whether a magnesium casting in a treated temper is warmed whole, past what it was aged at.
fn warmed_whole(context: &Context<'_>) -> bool {
    let treated = context.job.base.temper.as_ref().is_some_and(|temper| temper.starts_with('T'));
    let warm = metals::kept_warm(context.job, context.worked).is_some();
    treated && warm && context.job.class() == Class::Magnesium
}

/// The step of the heat treatment, before the last tests: it shows what cracked, and what it cracks itself.
pub(super) fn relieve(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !relieved(context) {
        return;
    }
    let row = treatments(context).into_iter().find(|row| matches!(row.kind.as_str(), "stress relief" | "temper"));
    let say = match row {
        Some(row) if warmed_whole(context) => writer
            .say("relieve", "again")
            .with("temperature", degrees(context, row.temperature))
            .with("hours", hours(context, row))
            .cite([row.cite()]),
        Some(row) => writer
            .say("relieve", if metals::kept_warm(context.job, context.worked).is_some() { "row" } else { "agreed" })
            .with("kind", context.word("treatment", &row.kind))
            .with("temperature", degrees(context, row.temperature))
            .with("hours", hours(context, row))
            .with("when", row.when.clone())
            .cite([row.cite()]),
        None if context.job.base.alloy.is_none() => writer.say("relieve", "unknown"),
        None => writer.say("relieve", "open"),
    };
    writer.say_step("relieve", say);
}

/// Tint and scale come off metals that resist corrosion by a clean skin.
pub(super) fn tint_off(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.job.class() == Class::Stainless || super::set_up::stainless_pair(context) {
        writer.step("tint-off");
        // Pickle and passivating bath are not for plain steel.
        if context.job.class() == Class::Stainless {
            writer.step("passivate");
        }
    }
}

/// What the check found, beside the passes that it is about.
pub(super) fn said_by_check(writer: &mut Writer<'_, '_>, code: Code) {
    let findings = &writer.context.worked.findings;
    let Some(found) = findings.iter().find(|finding| finding.code == code) else { return };
    let help = found.help.as_deref().unwrap_or_default();
    let key = if code == Code::SettingMethodsDiffer { "differ/text" } else { "differ/other" };
    writer.text(Say::of("advice", key).with("said", found.message.clone()).with("help", help));
}

/// Fills in how slow a bead at the low end of the amperage has to be to reach this heat input, kJ/mm.
fn at_least_current(context: &Context<'_>, say: Say, heat_input: f64) -> Say {
    let least = context.figure(FigureName::Amperage).and_then(Figure::ends).map(|(low, _)| low);
    let Some(amps) = least else { return say.with("amps", context.blank()).with("travel", context.blank()) };
    let travel = travel_for(heat_input, LoadLine::for_gas(context.job.helium), amps);
    let travel = show::round_to(travel, 5.0, show::Toward::Down);
    let text = |name, value| super::show::one(name, value, context.system());
    say.with("amps", text(FigureName::Amperage, amps)).with("travel", text(FigureName::TravelSpeed, travel))
}

/// The sentence that a cast iron, a brass or a magnesium part wants beside the passes.
pub(super) fn advice(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let warm = metals::kept_warm(context.job, context.worked).is_some();
    let key = match context.job.class() {
        Class::CastIron => match context.iron_route() {
            Some(Route::Hot) => "iron/hot",
            Some(Route::Warm) => "iron/warm",
            _ => "iron/cold",
        },
        Class::Stainless if metals::of_family(context.job, "duplex") => "hand/duplex",
        Class::Stainless => "hand/stainless",
        Class::Nickel => "hand/nickel",
        Class::Titanium => "hand/titanium",
        Class::Magnesium => "hand/magnesium",
        Class::Copper if metals::boils_zinc(context.job) => "hand/brass",
        Class::Copper if metals::of_family(context.job, "bronze") => "hand/bronze",
        Class::Copper if warm => "hand/copper",
        Class::Copper => "hand/copper-cold",
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel if metals::hardenable(context.job) => {
            if warm {
                "hand/hardenable"
            } else {
                "hand/hardenable-cold"
            }
        }
        _ => "",
    };
    if !key.is_empty() {
        writer.text(Say::of("advice", key));
    }
    if super::set_up::stainless_pair(context) {
        writer.text(Say::of("advice", "hand/pair"));
        said_by_check(writer, Code::FillerFerrite);
    }
    if metals::brazed(context.job, context.worked) {
        writer.text(Say::of("advice", "hand/braze"));
    }
    let known = metals::bases(context.job).filter_map(|base| base.alloy);
    if let Some((alloy, window)) = known.filter_map(|alloy| Some((alloy, heat_window_of(alloy)?))).next() {
        let [low, high] = window.heat_input;
        let range = super::show::bare_range(low, high, "kJ/mm");
        let say = Say::of("advice", "hand/window").with("metal", alloy.name.clone()).with("range", range);
        writer.text(at_least_current(context, say, low).cite([window.cite()]));
    }
}
