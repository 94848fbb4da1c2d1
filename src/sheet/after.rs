//! What section 8 says of strength, heat treatment, balance, colour and salt water, and section 6 of the heat in all.

use super::Cell;
use super::cited;
use super::context::{Context, Say};
use super::other;
use super::writer::Writer;
use crate::engine::after::{self, Beside as Strength, Restore};
use crate::engine::job::Base;
use crate::engine::{Figure, FigureName, balance, surface};
use crate::reference::search::{behaviour_of, constant, filler_named};
use crate::reference::{Class, Haz, Postweld, Row};
use crate::rules::metals::{self, Beside};
use crate::spec::{DamageKind, Finish, Need};
use crate::units::{celsius, show};

fn mpa(value: f64) -> String {
    super::show::bare(value, "MPa")
}

fn percent(part: f64, whole: f64) -> String {
    show::number(100.0 * part / whole, 0)
}

fn bases<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Base> + use<'a> {
    let job = context.job;
    std::iter::once(&job.base).chain(&job.other)
}

/// The metals that the weld softens.
fn softened<'a>(context: &Context<'a>) -> Vec<&'a Base> {
    bases(context).filter(|base| after::softens(context.job, base)).collect()
}

/// Strength before and after of one metal, in words, with where it was found.
fn strength(context: &Context<'_>, base: &Base) -> Say {
    match after::beside(context.job, base) {
        Strength::Row(row) => published(base, row),
        Strength::Welded(row, own) => {
            let say = Say::of("advice", if own.is_some() { "soft/welded-of" } else { "soft/welded" })
                .with("metal", base.shown.clone())
                .with("after", mpa(row.tensile));
            let own = own.map(|own| (mpa(own.tensile), percent(row.tensile, own.tensile), own.cite()));
            match own {
                Some((before, share, cite)) => say.with("before", before).with("share", share).cite([row.cite(), cite]),
                None => say.cite([row.cite()]),
            }
        }
        Strength::Between { soft, own } => Say::of("advice", "soft/between")
            .with("metal", base.shown.clone())
            .with("temper", base.temper.clone().unwrap_or_default())
            .with("before", mpa(own.proof))
            .with("soft", soft.temper.clone())
            .with("after", mpa(soft.proof))
            .cite([soft.cite(), own.cite()]),
        Strength::Unknown => Say::of("advice", "soft/words"),
    }
}

fn published(base: &Base, row: &'static Haz) -> Say {
    Say::of("advice", "soft/published")
        .with("metal", base.shown.clone())
        .with("proof", mpa(row.haz_proof))
        .with("proof_before", super::show::bare(row.proof, ""))
        .with("proof_share", percent(row.haz_proof, row.proof))
        .with("tensile", mpa(row.haz_tensile))
        .with("tensile_before", super::show::bare(row.tensile, ""))
        .with("tensile_share", percent(row.haz_tensile, row.tensile))
        .cite([row.cite()])
}

/// What the owner is told of the soft zone, and what would bring its strength back.
pub(super) fn soft(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !metals::all_aluminium(context.job) {
        other::told(writer);
        return;
    }
    let softened = softened(context);
    if softened.is_empty() {
        writer.step_case("soft", "not");
    } else {
        let told: Vec<Cell> = softened.iter().map(|base| context.cell(&strength(context, base))).collect();
        let texts: Vec<&str> = told.iter().map(|cell| cell.text.as_str()).collect();
        let extent = constant("soft-extent")
            .map_or_else(|| context.blank(), |row| super::show::roughly(row.value, context.system()));
        let say = writer.say("soft", "soft").with("strength", texts.join(" ")).with("extent", extent);
        let mut action = context.cell(&say.cite(cited::of_step("8.soft", &context.marks)));
        for cell in told {
            action.basis = if cell.basis.is_empty() { action.basis } else { cell.basis };
            action.cites.extend(cell.cites.into_iter().filter(|cite| !action.cites.contains(cite)).collect::<Vec<_>>());
        }
        writer.push_step("soft", action, false);
        for base in softened {
            if let Some(itself @ Restore::ByItself) = after::restore(context.job, base) {
                writer.text(back(context, base, itself));
            }
        }
    }
    if context.kind() == Some(DamageKind::StrippedThread) {
        writer.step("sleeve");
    }
}

/// What whoever agrees to the repair agrees to besides: a zone beside the weld that is soft, or hard.
pub(super) fn zone(context: &Context<'_>) -> Beside {
    metals::worst_beside(context.job, context.worked)
}

/// What would bring the strength of one metal back, in words.
fn back(context: &Context<'_>, base: &Base, restore: Restore) -> Say {
    let say = match restore {
        Restore::Treatment(row) => treatment(context, row),
        Restore::Unlisted => Say::of("advice", "back/unlisted"),
        Restore::ByItself => Say::of("advice", "back/itself")
            .with("days", show::number(after::natural_days(), 0))
            .cite(constant("natural-ageing-days").map(Row::cite)),
        Restore::DieCasting => Say::of("advice", "back/die"),
        Restore::Never => Say::of("advice", "back/never"),
    };
    say.with("metal", base.shown.clone()).with("rod", rod_answers(context))
}

/// Whether the part is heat-treated after the weld, and what that would have to be: one text, for it is one decision.
pub(super) fn heat_treatment(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !metals::all_aluminium(context.job) {
        other::heat_treatment(writer);
        return;
    }
    let treatable = context.alloys().any(|alloy| alloy.heat_treatable);
    let wanted = context.spec().weld.needs.iter().any(|at| at.value == Need::HeatTreatment);
    let softened = softened(context);
    let key = match (wanted, softened.is_empty()) {
        (true, _) => "heat-treatment-follows",
        (false, true) => "heat-treatment-none",
        (false, false) if treatable && context.alloys().all(|alloy| alloy.heat_group == "zinc") => {
            "heat-treatment-itself"
        }
        (false, false) => "heat-treatment",
    };
    let mut text = context.cell(&Say::of("sections", format!("not-required/{key}")));
    for base in softened {
        let Some(restore) = after::restore(context.job, base).filter(|restore| !matches!(restore, Restore::ByItself))
        else {
            continue;
        };
        let more = context.cell(&back(context, base, restore));
        text.text = format!("{} {}", text.text, more.text);
        text.basis = more.basis;
        text.cites.extend(more.cites);
    }
    writer.lead(String::new(), text);
}

fn treatment(context: &Context<'_>, row: &'static Postweld) -> Say {
    let degrees = |[low, high]: [f64; 2]| {
        let system = context.system();
        if high > low {
            show::limits_both(crate::units::Range::new(celsius(low), celsius(high)), system)
        } else {
            show::limit_both(celsius(low), system, show::Toward::Down)
        }
    };
    let hours =
        |hours: Option<[f64; 2]>| {
            let text = hours.map(|[low, high]| {
                if high > low { super::show::bare_range(low, high, "h") } else { super::show::bare(low, "h") }
            });
            text.map_or_else(String::new, |text| context.cell(&Say::of("advice", "back/for").with("0", text)).text)
        };
    Say::of("advice", "back/treatment")
        .with("solution", degrees(row.solution))
        .with("solution_hours", hours(row.solution_hours))
        .with("ageing", row.ageing.map_or_else(|| context.blank(), degrees))
        .with("ageing_hours", hours(row.ageing_hours))
        .cite([row.cite()])
}

/// Whether the rod that is fed gains by heat treatment.
fn rod_answers(context: &Context<'_>) -> String {
    let rod = context.figure(FigureName::FillerMetal).and_then(Figure::word).and_then(filler_named);
    let Some(rod) = rod else { return String::new() };
    let key = match behaviour_of(&rod.name).map(|row| row.heat_treatment.as_str()) {
        Some("yes") => "yes",
        Some("no") => "no",
        Some("by dilution") => "dilution",
        Some("partly") => "partly",
        _ => return String::new(),
    };
    context.cell(&Say::of("advice", format!("rod-answers/{key}")).with("filler", rod.name.clone())).text
}

/// The unbalance that the repair adds, and what is done about it.
pub(super) fn unbalance(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let spun = context.spec().part.rotating.is_some() || context.loaded_by_rotation();
    if !spun {
        return;
    }
    match context.figure(FigureName::Unbalance) {
        Some(figure) => verdict(writer, figure),
        None => writer.text(Say::of("advice", "balance/open").with("blank", context.blank())),
    }
    writer.step("run-out");
    writer.step("balance");
}

fn verdict(writer: &mut Writer<'_, '_>, figure: &Figure) {
    let context = writer.context;
    let added = figure.aim().unwrap_or_default();
    let text = |value: f64| super::show::bare(value, "g·mm");
    let (most, plane) = (context.part(figure.name, "permissible"), context.part(figure.name, "per-plane"));
    let rotor = balance::rotor(context.job);
    let grade = context.spec().part.rotating.as_ref().and_then(|at| at.value.grade.as_ref());
    let say = if let (Some((most, _)), Some((plane, _)), Some(grade)) = (most, plane, grade) {
        Say::of("advice", if added > most { "balance/past" } else { "balance/inside" })
            .with("grade", grade.value.clone())
            .with("most", text(libm::floor(most)))
            .with("plane", text(libm::floor(plane)))
    } else if let Some(rotor) = rotor {
        let (inside, past) = balance::grades_beside(added, rotor.mass, rotor.speed);
        let name = |row: Option<&'static crate::reference::BalanceGrade>| {
            row.map_or_else(|| context.blank(), |row| format!("{} ({})", row.grade, row.examples))
        };
        Say::of("advice", "balance/no-grade").with("inside", name(inside)).with("past", name(past))
    } else {
        Say::of("advice", "balance/no-limit")
    };
    let say = say.with("unbalance", text(added)).figure(Some(figure));
    writer.text(say.cite(constant("balance-factor").map(Row::cite)));
}

/// How the rod comes out of the anodising bath beside the metal, and which would match it.
pub(super) fn colour(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let figure = context.figure(FigureName::FillerMetal);
    let Some(colours) = figure.and_then(|figure| surface::colours(context.job, figure)) else {
        let filler = figure.and_then(Figure::word).map_or_else(|| context.blank(), str::to_owned);
        writer.text(Say::of("advice", "finish/colour-open").with("filler", filler));
        return;
    };
    let key = match (colours.matched, colours.better) {
        (true, _) => "colour-match",
        (false, Some(_)) => "colour-better",
        (false, None) => "colour-none",
    };
    let say = Say::of("advice", format!("finish/{key}"))
        .with("filler", colours.rod.name.clone())
        .with("colour", colours.rod.anodised.clone().unwrap_or_default())
        .with("metal", context.job.base.shown.clone())
        .with("base_colour", colours.base.colour.clone())
        .with("better", colours.better.map_or_else(String::new, |rod| rod.name.clone()))
        .with("better_colour", colours.better.and_then(|rod| rod.anodised.clone()).unwrap_or_default())
        .cite([colours.rod.cite(), colours.base.cite()]);
    writer.text(say);
}

/// A powder coat: whether its cure is more than the metal stands.
pub(super) fn powder(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let share = context.figure(FigureName::Softening).and_then(Figure::aim);
    let magnesium = context.alloys().any(|alloy| alloy.heat_group == "high magnesium");
    let case = match share {
        _ if !metals::all_aluminium(context.job) => "unknown",
        _ if magnesium => "magnesium",
        Some(share) if share > 100.0 => "past",
        Some(_) => "little",
        None => "unknown",
    };
    let row = constant("powder-cure");
    let cure = row.map_or_else(
        || context.blank(),
        |row| show::limit_both(celsius(row.value), context.system(), show::Toward::Down),
    );
    let say = writer.say("powder", case).with("cure", cure).cite(row.map(Row::cite));
    writer.say_step("powder", say);
}

/// What salt water does to the weld and to what is bolted on.
pub(super) fn sea(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if !surface::at_sea(context.job) {
        return;
    }
    // Only of a light metal is it true that what is nobler eats it; rust beside a bronze bolt is told of too.
    let class = context.job.class();
    let light = matches!(class, Class::Aluminium | Class::Magnesium);
    if !light && !metals::rusts(class) {
        return;
    }
    let rod = context.figure(FigureName::FillerMetal).and_then(Figure::word).and_then(filler_named);
    let rod = rod.filter(|_| class == Class::Aluminium);
    let painted =
        matches!(context.spec().part.finish.as_ref().map(|at| at.value), Some(Finish::Paint | Finish::PowderCoat));
    if let Some(rod) = rod.filter(|rod| surface::copper_rod(rod)) {
        let key = if painted { "sea/rod-painted" } else { "sea/rod" };
        writer.text(Say::of("advice", key).with("filler", rod.name.clone()).cite([rod.cite()]));
    }
    if metals::all_aluminium(context.job) && surface::copper_apart(context.job) {
        writer.text(Say::of("advice", "sea/pair"));
    }
    let bolted = |text: &str| {
        let text = text.to_lowercase();
        ["bolt", "screw", "stud", "rivet"].iter().any(|word| text.contains(word))
    };
    let thread = context.kind() == Some(DamageKind::StrippedThread);
    let bolts = thread || context.keeps().any(|keep| bolted(&keep.feature.value));
    if bolts && !super::cause::corrodes(context) {
        writer.step_case("isolate", "bolts");
    }
}

/// The sentence of section 6 on what the heat budget leaves out, and on what the heat in all does to the part.
pub(super) fn heat_in_all(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let Some(pause) = context.figure(FigureName::ArcMinutesBeforePause) else { return };
    if pause.aim().is_some() {
        writer.text(Say::of("advice", "heat/assumed"));
    }
    let (Some(stand), Some(soft)) = (context.figure(FigureName::TimeAtHeat), context.figure(FigureName::Softening))
    else {
        return;
    };
    let Some(share) = soft.aim() else {
        writer.text(Say::of("advice", "heat/nothing").figure(Some(stand)));
        return;
    };
    let magnesium = context.alloys().any(|alloy| alloy.heat_group == "high magnesium");
    let case = match (magnesium, share > 100.0) {
        (true, false) => "heat/magnesium",
        (true, true) => "heat/magnesium-past",
        (false, true) if powder_leads(context) => "heat/temper-powder",
        (false, false) if share <= 1.0 => "heat/temper-little",
        (false, false) if share > 99.0 => "heat/temper-all",
        (false, false) => "heat/temper",
        (false, true) => "heat/temper-past",
    };
    let most = exposure_most(context);
    writer.text(Say::of("advice", case).with("most", most).figure(Some(soft)));
}

/// Whether the cure of a powder coat alone is more than the house limit: nothing published was found on it, so that it is
/// a question for the coater and no stop.
fn powder_leads(context: &Context<'_>) -> bool {
    let lines = context.figure(FigureName::Softening).map_or(&[][..], |figure| figure.working.as_slice());
    let share = |words: &str| lines.iter().find(|line| line.words == words).and_then(|line| line.number).unwrap_or(0.0);
    share("heat-share-powder") > 100.0 && share("heat-share-weld") <= 100.0
}

/// The longest time above the temperature where a metal with much magnesium turns sensitive.
fn exposure_most(context: &Context<'_>) -> String {
    let line = context.figure(FigureName::Softening).and_then(|figure| {
        figure.working.iter().find(|line| line.words == "heat-sensitises-after").and_then(|line| line.number)
    });
    line.map_or_else(|| context.blank(), |minutes| super::show::bare(minutes, "min"))
}
