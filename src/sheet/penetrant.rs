//! The penetrant test at its places in the work: to find the ends, in the opening, after gouging, on the weld.

use super::cause::zone;
use super::context::{Context, Say};
use super::prepare::show_minutes;
use super::writer::Writer;
use crate::engine::FigureName;
use crate::engine::penetrant::{self, Reading, Remover};
use crate::reference::{Cite, PenetrantLimit, Row, penetrant_limit};
use crate::units::{Range, celsius, mm, show};

/// Square metres in a square foot: a foot-candle is a lumen on one.
const SQUARE_FOOT: f64 = 0.092_903_04;

/// Where a test stands in the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Test {
    /// Before anything is cut.
    Tips,
    /// In the opening.
    Opening,
    /// On the finished weld.
    Final,
}

fn limit(what: &str, scheme: &str) -> Option<&'static PenetrantLimit> {
    penetrant_limit().rows.iter().find(|row| row.what == what && row.scheme == scheme)
}

/// Dwell of a test, as it is printed.
fn dwell(context: &Context<'_>, test: Test) -> String {
    let key = match test {
        Test::Tips => "tips",
        Test::Opening => "opening",
        Test::Final => "final",
    };
    let minutes = context.part(FigureName::PenetrantDwell, key).map(|(minutes, _)| minutes);
    minutes.map_or_else(|| context.blank(), show_minutes)
}

/// Sources of the dwell that lead this test.
fn dwell_say(say: Say, context: &Context<'_>, test: Test) -> Say {
    let say = say.with("dwell", dwell(context, test));
    let Some(figure) = context.figure(FigureName::PenetrantDwell) else { return say };
    let longer = context.part(FigureName::PenetrantDwell, "tips") > context.part(FigureName::PenetrantDwell, "opening");
    let service = |cite: &Cite| longer == (cite.source == "to-33b");
    let mut cites = figure.cites();
    if test == Test::Tips && longer {
        cites.retain(service);
    } else {
        cites.retain(|cite| cite.source != "to-33b");
    }
    // The house rule sets these minutes, the published table lies under it.
    if test != Test::Tips || !longer {
        cites.sort_by_key(|cite| cite.source != "practice");
    }
    say.cite(cites.into_iter().take(1))
}

fn window(context: &Context<'_>) -> (String, Vec<Cite>) {
    match context.figure(FigureName::DeveloperTime) {
        Some(figure) => {
            let (set, range) = super::show::figure_text(figure, context.system());
            (if range.is_empty() { set } else { range }, figure.cites())
        }
        None => (context.blank(), Vec::new()),
    }
}

/// Temperatures of the part between which the dye works, and where they were found.
pub(super) fn temperatures(context: &Context<'_>) -> (String, Vec<Cite>) {
    let rows: Vec<_> = ["ASME V", "ISO 3452-1"].iter().filter_map(|scheme| limit("temperature", scheme)).collect();
    let ranges: Vec<[f64; 2]> = rows.iter().filter_map(|row| row.range).collect();
    // On a cold part the longer dwell takes the place of the higher end.
    let cold = penetrant::cold(context.job);
    let low = ranges.iter().map(|[low, _]| *low).reduce(if cold { f64::min } else { f64::max });
    let high = ranges.iter().map(|[_, high]| *high).reduce(f64::min);
    let (Some(low), Some(high)) = (low, high) else { return (context.blank(), Vec::new()) };
    let text = show::limits_both(Range::new(celsius(low), celsius(high)), context.system());
    (text, rows.into_iter().map(Row::cite).collect())
}

/// The light to read by, as it is printed.
pub(super) fn light(context: &Context<'_>) -> (String, Vec<Cite>) {
    let row = limit("light", "ASME V");
    let Some(lux) = row.and_then(|row| row.value) else { return (context.blank(), Vec::new()) };
    let say = Say::of("values", "light")
        .with("0", show::number(show::round_to(lux, 100.0, show::Toward::Up), 0))
        .with("1", show::number(lux * SQUARE_FOOT, 0));
    (context.cell(&say).text, row.map(Row::cite).into_iter().collect())
}

/// Lamp and darkness to read a glowing dye by, as they are printed.
fn lamp(say: Say, context: &Context<'_>) -> Say {
    let row = |what| penetrant_limit().rows.iter().find(|row| row.what == what);
    let text = |what: &'static str| {
        let value = row(what).and_then(|row| row.value);
        value.map_or_else(
            || context.blank(),
            |value| context.cell(&Say::of("values", what).with("0", show::number(value, 0))).text,
        )
    };
    let cites = ["lamp", "darkness"].into_iter().filter_map(|what| row(what).map(Row::cite));
    say.with("lamp", text("lamp")).with("darkness", text("darkness")).cite(cites)
}

/// Whether the shop's dye is read by lamp in the dark.
fn glows(context: &Context<'_>) -> bool {
    penetrant::dye(context.job).0 == Reading::Fluorescent
}

/// What is cut off a groove that shows nothing before it is tested again.
pub(super) fn recut(context: &Context<'_>) -> (String, Vec<Cite>) {
    let row = penetrant_limit().rows.iter().find(|row| row.what == "recut");
    let Some([low, high]) = row.and_then(|row| row.range) else { return (context.blank(), Vec::new()) };
    let middle = show::round_to(f64::midpoint(low, high), 0.1, show::Toward::Nearest);
    (show::both(mm(middle), context.system()), row.map(Row::cite).into_iter().collect())
}

/// The words about a can that names a shorter dwell.
fn label(context: &Context<'_>) -> String {
    use crate::units::InUnits;
    let stated = context.kit().and_then(|kit| kit.measure.penetrant.as_ref());
    let stated = stated.and_then(|at| at.value.dwell_on_label.as_ref());
    let minutes = stated.map(|at| at.value.value().in_minutes());
    let ours = context.part(FigureName::PenetrantDwell, "opening").map(|(minutes, _)| minutes);
    match (minutes, ours) {
        (Some(label), Some(ours)) if label < ours => {
            context.cell(&Say::of("values", "although-label").with("0", show_minutes(label))).text
        }
        _ => String::new(),
    }
}

impl Test {
    /// Writes the steps of the test.
    pub(super) fn write(self, writer: &mut Writer<'_, '_>) {
        match self {
            Test::Tips => tips(writer),
            Test::Opening => in_opening(writer),
            Test::Final => on_weld(writer),
        }
    }
}

fn tips(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let damage = context.damage();
    if !context.penetrant() {
        writer.not_required("4.penetrant");
        if context.is_crack() {
            let say = writer.say("tips-look", "").with("damage", damage);
            writer.say_step("tips-look", say);
            if context.magnetic_particles() {
                writer.step("tips-magnetic");
            }
        }
        return;
    }
    let case = if context.is_crack() { "crack" } else { "other" };
    if glows(context) {
        writer.step("tips-glow");
    }
    let wet = writer.say("tips", case).with("damage", damage);
    writer.say_step("tips", dwell_say(zone(context, wet), context, Test::Tips));
    match penetrant::dye(context.job).1 {
        Remover::Solvent => writer.step("tips-wipe"),
        Remover::Water => writer.step_case("tips-rinse", "water"),
        Remover::Emulsifier => writer.step_case("tips-rinse", "emulsifier"),
    }
    writer.step("tips-develop");
    let (window, cites) = window(context);
    if glows(context) {
        let row = penetrant_limit().rows.iter().find(|row| row.what == "eyes in the dark");
        let minutes = row.and_then(|row| row.value).map_or_else(|| context.blank(), show_minutes);
        let dark = writer.say("tips-dark", "").with("dark", minutes).cite(row.map(Row::cite));
        writer.say_step("tips-dark", dark);
        let read = lamp(writer.say("tips-read", "lamp").with("window", window).cite(cites), context);
        writer.say_step("tips-read", read);
    } else {
        let read = writer.say("tips-read", "light").with("window", window).cite(cites);
        writer.say_step("tips-read", read);
    }
    writer.step_case("tips-mark", case);
}

fn in_opening(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let (range, cites) = temperatures(context);
    let say = writer.say("temperature", "").with("part_temperature", range).cite(cites);
    writer.say_step("temperature", say);
    let wet = writer.say("penetrant", "").with("label", label(context));
    writer.say_step("penetrant", dwell_say(zone(context, wet), context, Test::Opening));
    let read = if glows(context) {
        lamp(writer.say("read", "lamp"), context)
    } else {
        let (light, cites) = light(context);
        writer.say("read", "light").with("light", light).cite(cites)
    };
    let off = if penetrant::dye(context.job).1 == Remover::Solvent { "solvent" } else { "water" };
    let read = read.with("off", context.text("values", &format!("dye-off/{off}")));
    writer.say_step("read", read);
    let (recut, cites) = recut(context);
    let again = writer
        .say("again", if context.job.of_casting_defect() { "pores" } else { "burr" })
        .with("recut", recut)
        .cite(cites);
    writer.say_step("again", again);
}

fn on_weld(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let say = writer.say("penetrant", "");
    writer.say_step("penetrant", dwell_say(zone(context, say), context, Test::Final));
    writer.step("penetrant-off");
}
