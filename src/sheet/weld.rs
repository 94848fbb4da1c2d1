//! Section 6: preheat, the tables, and the passes in the order of the hands, side by side.

use super::Section;
use super::after::heat_in_all;
use super::context::{Context, Say, listed};
use super::set_up::length_of;
use super::weld_box::{advice, scrap, watch};
use super::weld_tables::{self as tables, amps, may_start};
use super::writer::Writer;
use crate::engine::figure::PassKind;
use crate::engine::{Figure, FigureName, PassRow};
use crate::findings::Code;
use crate::reference::Class;
use crate::rules::metals::{self, Route};
use crate::rules::warming::{self, bands, between_passes};
use crate::spec::{DamageKind, Joint};
use crate::units::{InUnits, show};

/// Preheat range that is wider than this, K, is said as an aim and a limit.
const WIDE: f64 = 75.0;

/// Wall up to which a joint through it wants a bar behind, mm: common practice.
const SHEET: f64 = 3.2;

/// Section 6.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "6");
    let preheated = warming::before_the_first(context.job, context.worked);
    if !preheated {
        writer.not_required(if between_passes(context.job, context.worked) { "6.preheat-set" } else { "6.preheat" });
    }
    writer.table(tables::temperatures(context));
    writer.table(tables::amperage(context));
    super::other::said_by_check(&mut writer, Code::SettingMethodsDiffer);
    advice(&mut writer);
    writer.table(tables::passes(context));
    heat_in_all(&mut writer);
    travel(&mut writer);
    before(&mut writer, preheated);
    trial(&mut writer);
    set_in_place(&mut writer);
    first_side(&mut writer);
    if context.two_sided() {
        second_side(&mut writer);
    }
    after(&mut writer);
    watch(&mut writer);
    scrap(&mut writer);
    writer.done()
}

fn travel(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let Some(figure) = context.figure(FigureName::TravelSpeed) else { return };
    let range = context.range(FigureName::TravelSpeed);
    let range =
        if range.is_empty() { range } else { context.cell(&Say::of("advice", "travel/range").with("0", range)).text };
    let seconds = context.passes().iter().filter_map(|row| row.length).reduce(f64::max).zip(figure.aim());
    let time = seconds.filter(|(_, speed)| *speed > 0.0).map(|(length, speed)| {
        let seconds = show::round_to(length / speed * 60.0, 5.0, show::Toward::Nearest).max(5.0);
        let text = show::both(crate::units::seconds(seconds), context.system());
        context.cell(&Say::of("advice", "travel/time").with("0", text)).text
    });
    let span = |name| {
        let range = context.range(name);
        if range.is_empty() { context.set(name) } else { range }
    };
    let say = Say::of("advice", "travel/text")
        .with("range", range)
        .with("time", time.unwrap_or_default())
        .with("arc_energy", span(FigureName::ArcEnergy))
        .with("heat_input", span(FigureName::HeatInput))
        .figure(context.figure(FigureName::HeatInput));
    writer.text(say);
}

fn before(writer: &mut Writer<'_, '_>, preheated: bool) {
    let context = writer.context;
    if warming::heavy_side(context.job) && context.burner() {
        let most = context.figure(FigureName::ResumeBelow).and_then(Figure::aim);
        let most = most.map_or_else(|| context.blank(), |most| tables::degrees(context, most, show::Toward::Down));
        let say = writer.say("heavy", "").with("heavy", most);
        writer.say_step("heavy", say);
    }
    if !preheated {
        return;
    }
    let case = if by_oven(context) {
        "oven-whole"
    } else if context.oven() {
        "oven"
    } else if context.burner() {
        "burner"
    } else {
        "air"
    };
    // The part is warmed no hotter than its preheat, though a pass may start hotter.
    let ends = context.figure(FigureName::Preheat).and_then(Figure::ends).filter(|(low, high)| high > low);
    let reads = match metals::kept_warm(context.job, context.worked).and(ends) {
        // So wide a range is no aim: its foot is, and its head is a limit.
        Some((low, high)) if high - low > WIDE => {
            let degrees = |value, toward| tables::degrees(context, value, toward);
            let say = Say::of("values", "aim-never").with("0", degrees(low, show::Toward::Up));
            context.cell(&say.with("1", degrees(high, show::Toward::Down))).text
        }
        Some((low, high)) => tables::between(context, low, high),
        None => may_start(context, true),
    };
    let minutes = crate::engine::preheat::oven(context.job).and_then(|(_, _, row)| row.minutes_max);
    let in_all =
        minutes.map(|minutes| context.cell(&Say::of("values", "in-all").with("0", super::set_up::hours(minutes))).text);
    let say = writer.say("preheat", case).with("preheat", reads.clone()).with("in_all", in_all.unwrap_or_default());
    writer.say_step("preheat", say.figure(context.figure(FigureName::Preheat)));
    writer.hold("preheat", Say::of("sections", "hold/preheat").with("preheat", reads), &["read"]);
}

/// Whether the casting is warmed whole in the oven, past what an open part may have.
fn by_oven(context: &Context<'_>) -> bool {
    let limit = context.figure(FigureName::InterpassMax);
    limit.is_some_and(|figure| figure.working.iter().any(|line| line.words == "oven-variant"))
}

fn trial(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.is_propeller() {
        writer.not_required("6.trial-bead-propeller");
        return;
    }
    if !context.is_casting() {
        writer.not_required("6.trial-bead");
        return;
    }
    let (length, _) = length_of(context, "trial-bead-length");
    let say = writer.say("trial-bead", "").with("trial", length);
    writer.say_step("trial-bead", say);
    writer.step("trial-dress");
    writer.hold("trial-bead", Say::of("sections", "hold/trial-bead"), &[]);
}

/// Whether loose pieces are set together: a lug, a lost piece, a corner, a disc. A crack holds itself.
fn loose(context: &Context<'_>) -> bool {
    let new_piece = matches!(context.kind(), Some(DamageKind::BrokenLug | DamageKind::MissingPiece));
    let joined = matches!(context.job.joint, Joint::Butt | Joint::Corner | Joint::Lap | Joint::Edge);
    let built_up = context.job.joint == Joint::Pad;
    (new_piece && !built_up) || (joined && !context.is_crack()) || is_patch(context)
}

/// Whether an edge that broke away is built out again with rod.
pub(super) fn edge_pad(context: &Context<'_>) -> bool {
    context.job.joint == Joint::Pad && context.kind() == Some(DamageKind::MissingPiece)
}

fn is_patch(context: &Context<'_>) -> bool {
    context.figure(FigureName::Groove).and_then(Figure::word) == Some("patch")
}

/// Whether the walls of an opening in iron are buttered before they are joined.
fn butters(context: &Context<'_>) -> bool {
    short_beads(context) && matches!(context.job.joint, Joint::Groove | Joint::Butt)
}

fn set_in_place(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    // Loose pieces are buttered apart: tacks on bare iron would be the first to crack.
    if butters(context) && loose(context) {
        writer.step_case("butter", "pieces");
    }
    let gap = metals::no_land(context.job) && context.job.joint == Joint::Groove && context.through();
    if gap && !context.both_sides() && !context.purged() {
        writer.step_case("bar", "gap");
    }
    if context.kind() == Some(DamageKind::BrokenLug) && context.job.joint != Joint::Pad {
        writer.step("jig");
    }
    if edge_pad(context) {
        writer.step_case("bar", "edge");
    }
    let thin = context.job.thickness.is_some_and(|wall| wall <= SHEET);
    let flat = !matches!(context.job.joint, Joint::Pad | Joint::Fillet | Joint::Lap);
    // Gas takes the place of the bar, and a cold bar hardens a steel that hardens.
    let bar = !context.purged() && !metals::hardenable(context.job) && context.job.class() != Class::CastIron;
    if flat && bar && context.both_sides() && (thin || context.through()) {
        let case = if context.figure(FigureName::StopHole).is_some() { "hole" } else { "behind" };
        writer.step_case("bar", case);
    }
    super::cause::before_arc(writer);
    super::gas::behind(writer);
    let torn = context.kind() == Some(DamageKind::FailedWeld) && context.job.joint == Joint::Fillet;
    if loose(context) || torn {
        if has_free_end(context) {
            writer.step("run-off");
        }
        tack(writer, torn);
        writer.step("tack-ends");
    }
    let beads = context.job.joint == Joint::Pad && !super::opening::one_bead(context);
    let say = writer.say("probe", if beads { "beads" } else { "" }).with("root_start", root_start(context));
    writer.say_step("probe", say);
}

/// When the first pass may start.
fn root_start(context: &Context<'_>) -> String {
    let warm = context.passes().first().is_some_and(|row| tables::wants_warmth(context, &bands(row)));
    may_start(context, warm)
}

/// Whether a seam that is joined from edge to edge ends at a free edge: unknown ends may.
fn has_free_end(context: &Context<'_>) -> bool {
    context.job.joint == Joint::Butt && context.tips() != Some(2)
}

/// Seam up to which the usual tacks would be half of it, mm: three of 10 mm. Common practice.
const SHORT_SEAM: f64 = 60.0;

/// A tack on a short seam is this share of it, and no longer than the usual one, mm. Common practice.
const TACK_SHARE: f64 = 0.2;
const TACK_MOST: f64 = 10.0;

/// Tacks: three or four, on a short seam two short ones.
fn tack(writer: &mut Writer<'_, '_>, torn: bool) {
    let context = writer.context;
    let seam = context.part(FigureName::Groove, "full-length-1").map(|(length, _)| length);
    match seam.filter(|seam| *seam <= SHORT_SEAM) {
        Some(seam) => {
            let tack = show::round_to(seam * TACK_SHARE, 1.0, show::Toward::Nearest).clamp(3.0, TACK_MOST);
            let case = if torn { "torn-short" } else { "short" };
            let say = writer.say("tack", case).with("tack", super::show::by_hand(tack, context.system()));
            writer.say_step("tack", say);
        }
        None => writer.step_case("tack", if torn { "torn" } else { "loose" }),
    }
}

/// The passes of a side, in order.
fn of_side<'a>(context: &Context<'a>, side: u8) -> Vec<&'a PassRow> {
    context.passes().iter().filter(|row| row.side == side).collect()
}

fn pool_text(context: &Context<'_>, row: Option<&PassRow>) -> String {
    let pool = row.map(|row| row.pool).filter(|pool| *pool > 0.0);
    pool.map_or_else(|| context.blank(), |pool| tables::pool(context, pool))
}

fn first_side(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let rows = of_side(context, 1);
    first_pass(writer, rows.first().copied());
    between(writer, &rows);
    later_passes(writer, &rows, 1);
}

/// Whether a casting of iron is welded in short beads, each peened while it is hot.
fn short_beads(context: &Context<'_>) -> bool {
    matches!(context.iron_route(), Some(Route::Cold | Route::Warm))
}

/// The first pass, step by step.
fn first_pass(writer: &mut Writer<'_, '_>, row: Option<&PassRow>) {
    let context = writer.context;
    let joint = context.job.joint;
    if butters(context) && !loose(context) {
        writer.step_case("butter", "groove");
    }
    let strike = match joint {
        _ if context.to_edge() && joint == Joint::Groove => "inner",
        _ if context.is_crack() && joint == Joint::Groove => "crack",
        Joint::Butt if context.is_crack() && context.figure(FigureName::StopHole).is_some() => {
            if context.tips() == Some(1) { "hole" } else { "holes" }
        }
        Joint::Pad if edge_pad(context) => "edge-pad",
        Joint::Pad => "pad",
        Joint::Plug if is_patch(context) => "disc",
        Joint::Plug => "plug",
        _ => "joint",
    };
    writer.step_case("strike", strike);
    let brazed = metals::brazed(context.job, context.worked);
    let wet = match joint {
        Joint::Groove | Joint::Plug | Joint::Butt if brazed => "braze",
        Joint::Groove | Joint::Plug if !is_patch(context) => "groove",
        Joint::Pad => "pad",
        _ if context.is_crack() => "crack",
        _ => "seam",
    };
    let say = writer.say("wet", wet).with("pool", pool_text(context, row));
    writer.say_step("wet", say);
    if short_beads(context) {
        writer.step("short-beads");
    } else if context.is_long() {
        writer.step_case("back-step", if context.both_sides() { "" } else { "one" });
    }
    let run = match joint {
        _ if context.to_edge() => "edge",
        Joint::Pad if super::opening::one_bead(context) => "bead",
        Joint::Pad => "pad",
        Joint::Plug if is_patch(context) => "disc",
        Joint::Plug => "plug",
        _ => "groove",
    };
    writer.step_case("run", run);
    if context.to_edge() {
        writer.step("short");
        let share = tables::edge_share(context).and_then(|shares| shares.first().copied());
        let aim = row
            .map(|row| {
                let [_, aim, _] = row.start;
                aim
            })
            .map(|aim| aim.min(tables::ceiling(context)));
        let on_edge = share.zip(aim).map(|(share, aim)| show::round_to(share * aim, 5.0, show::Toward::Nearest));
        let case = if on_edge.is_some() { "amps" } else { "ease" };
        let on_edge = on_edge.map_or_else(String::new, |value| amps(context, value));
        let say = writer.say("edge", case).with("edge_amps", on_edge);
        writer.say_step("edge", say);
    }
    let allowances = context.keeps().filter_map(|keep| keep.allowance.as_ref());
    let left = allowances.filter(|at| at.value.value().in_mm() > 0.0);
    if let Some(most) = left.max_by(|a, b| a.value.value().in_mm().total_cmp(&b.value.value().in_mm())) {
        let say = writer.say("allowance", "").with("allowance", show::stated(&most.value));
        writer.say_step("allowance", say);
    }
    writer.step_case("fade", if context.no_remote() { "four-stroke" } else { "pedal" });
    writer.step("gas");
    super::gas::kept(writer);
}

/// What is done after each pass and before the next.
fn between(writer: &mut Writer<'_, '_>, rows: &[&PassRow]) {
    let context = writer.context;
    if short_beads(context) {
        writer.step("peen");
    }
    writer.step("brush");
    writer.step("look");
    if context.consequence_high() && context.penetrant() && rows.len() > 1 {
        writer.step("root-test");
        writer.step("root-clean");
    }
    let minutes = context.figure(FigureName::ArcMinutesBeforePause).and_then(Figure::aim);
    if minutes.is_some() {
        writer.step("pause");
    }
    if context.passes().len() == 1 {
        return;
    }
    let say = writer.say("wait", "").with("resume", resume(context));
    writer.say_step("wait", say);
    if between_passes(context.job, context.worked) {
        let from = warming::never_under(context.job, context.worked);
        let from = from.map_or_else(|| context.blank(), |from| tables::degrees(context, from, show::Toward::Up));
        let case = if context.burner() { "burner" } else { "air" };
        let say = writer.say("warm", case).with("warm_from", from);
        writer.say_step("warm", say);
    }
}

/// Below what the next pass may start: the limit itself where a pass waits for a warm part, else with room below it.
fn resume(context: &Context<'_>) -> String {
    let for_set =
        between_passes(context.job, context.worked) && metals::kept_warm(context.job, context.worked).is_none();
    let name = if for_set { FigureName::InterpassMax } else { FigureName::ResumeBelow };
    let figure = context.figure(name).or(context.figure(FigureName::InterpassMax));
    figure.map_or_else(|| context.blank(), |figure| super::show::figure_text(figure, context.system()).0)
}

/// Later passes of a side, each run of one kind in a step of its own.
fn later_passes(writer: &mut Writer<'_, '_>, rows: &[&PassRow], side: u8) {
    let context = writer.context;
    let skip = usize::from(side == 1);
    if rows.len() <= skip {
        return;
    }
    let mut runs: Vec<Vec<&PassRow>> = Vec::new();
    for row in rows.iter().skip(skip) {
        match runs.last_mut() {
            Some(run) if run.first().is_some_and(|first| first.kind == row.kind) => run.push(row),
            _ => runs.push(vec![row]),
        }
    }
    let last = if between_passes(context.job, context.worked) { "`6.warm`" } else { "`6.wait`" };
    let mut told = false;
    for run in runs {
        let Some(first) = run.first() else { continue };
        let key = first.kind.word();
        let case = match run.len() {
            1 if wide(context, first) && first.kind == PassKind::Fill => "wide-one",
            _ if wide(context, first) => "wide",
            _ if edge_pad(context) => "edge",
            1 => "one",
            _ => "more",
        };
        let numbers = pass_numbers(context, &run);
        let words = if side > 1 && first.kind == PassKind::Root { "root" } else { key };
        let say = writer.say(words, case).with("passes", numbers).with("pool", pool_text(context, Some(first)));
        writer.say_step(&format!("{key}-{side}"), say);
        if !told && (rows.len() > skip + 1 || run.len() > 1) {
            let key = if side == 1 { "between".to_owned() } else { format!("between-{side}") };
            let say = writer.say("between", "").with("last", last);
            writer.say_step(&key, say);
            told = true;
        }
    }
}

/// A groove is wider than this many pools: one bead does not reach both walls.
const POOLS: f64 = 1.25;

/// Whether beads lie side by side in a groove.
fn wide(context: &Context<'_>, row: &PassRow) -> bool {
    let key = if row.side == 1 { "width-1" } else { "width-2" };
    let width = context.part(FigureName::Groove, key).map_or(0.0, |(width, _)| width);
    matches!(row.kind, PassKind::Fill | PassKind::Cap) && row.pool > 0.0 && width > POOLS * row.pool
}

/// The numbers of passes that follow each other: `2`, `2 and 3`, `2 to 7`.
fn pass_numbers(context: &Context<'_>, run: &[&PassRow]) -> String {
    let number = |row: &PassRow| show::number(f64::from(row.number), 0);
    match run {
        [first, _, .., last] => {
            context.cell(&Say::of("values", "to").with("0", number(first)).with("1", number(last))).text
        }
        _ => {
            let numbers: Vec<String> = run.iter().map(|row| number(row)).collect();
            listed(&numbers, &context.text("values", "and"))
        }
    }
}

fn second_side(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    writer.step("cool");
    writer.step_case("turn", if context.movable() { "over" } else { "fixed" });
    let depth =
        context.part(FigureName::Groove, "depth-2").map(|(depth, _)| super::show::by_hand(depth, context.system()));
    let case = if depth.is_some() { "deep" } else { "unknown" };
    let say = writer.say("gouge", case).with("gouge", depth.unwrap_or_default());
    writer.say_step("gouge", say);
    let (step, criterion, clean) = if context.penetrant() && context.is_crack() {
        ("gouge-test", "hold/gouge-test", "dye")
    } else if context.penetrant() {
        ("gouge-test", "hold/gouge-clear", "dye")
    } else {
        ("gouge-look", "hold/gouge-look", "look")
    };
    writer.step(step);
    if context.magnetic_particles() {
        writer.step("gouge-magnetic");
    }
    writer.hold("gouge-test", Say::of("sections", criterion), &[]);
    writer.step_case("clean-2", clean);
    if metals::kept_warm(context.job, context.worked).is_some() {
        writer.step("preheat-again");
    }
    later_passes(writer, &of_side(context, 2), 2);
}

fn after(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if loose(context) && has_free_end(context) {
        writer.step("tab-off");
    }
    writer.step("shut");
    super::slow::at_once(writer);
    super::slow::in_air(writer);
    writer.step("fire-watch");
}
