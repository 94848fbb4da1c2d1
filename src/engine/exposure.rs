//! What the heat of this procedure does to the whole part: how long it stands warm, and what that takes of its temper.
//!
//! The strip beside the weld is soft whatever is done; here it is the rest of the part. One published pair of points
//! gives the slope of softening with temperature; each metal has a row of how long at how much does no harm.

use super::figure::{Figure, Figures, LineKind, Value};
use super::heat::mean_specific_heat;
use super::job::Job;
use super::metal::{Ends, Props};
use super::names::FigureName;
use super::preheat::variant_row;
use super::work::{Work, cite, constant, round};
use crate::findings::{Code, Finding, Severity, Span};
use crate::reference::search::tempers_agree;
use crate::reference::{Alloy, Basis, HeatExposure, Preheat, Product, Row, heat_exposure};
use crate::spec::{Finish, Form, Surface};
use crate::units::{InUnits, show};

/// Absolute zero, °C.
const ZERO: f64 = -273.15;

/// Tempers without strength that heat could take.
const NOTHING_TO_LOSE: [&str; 4] = ["F", "O", "H111", "H112"];

/// Minutes at one temperature that soften as much as some minutes at another: °C, °C, slope in K.
#[must_use]
pub fn equal_minutes(minutes: f64, at: f64, other: f64, slope: f64) -> f64 {
    minutes * libm::exp(slope * (1.0 / (other - ZERO) - 1.0 / (at - ZERO)))
}

/// Minutes in which a plate cools from one temperature to a lower one in still air, both faces bare: wall in mm,
/// density in g/cm3, specific heat in J/kgK, loss in W/m2K, temperatures in °C.
#[must_use]
pub fn cooling_minutes(wall: f64, density: f64, heat: f64, loss: f64, (from, to, room): (f64, f64, f64)) -> f64 {
    if to <= room || from <= to {
        return 0.0;
    }
    wall * density * heat / (120.0 * loss) * libm::log((from - room) / (to - room))
}

/// The row that rules a bake-out of the metals of a job, if they may be baked at all.
#[must_use]
pub fn bake_row(job: &Job<'_>) -> Option<&'static Preheat> {
    variant_row(job, "bake-out")
}

fn alloys<'a>(job: &'a Job<'_>) -> impl Iterator<Item = &'static Alloy> + use<'a> {
    let bases = std::iter::once(&job.base).chain(&job.other);
    bases.flat_map(|base| base.alloy.into_iter().chain(base.candidates.iter().copied()))
}

/// Whether the part is baked before it is welded: an oily casting that may be baked.
fn baked(job: &Job<'_>) -> bool {
    let form = job.spec.metal.form.as_ref().map(|at| at.value);
    let cast = match form {
        Some(form) => {
            matches!(form, Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting | Form::DieCasting)
        }
        None => alloys(job).any(|alloy| alloy.product != Product::Wrought),
    };
    let other = job.spec.metal.other.iter().flat_map(|at| &at.value.surface);
    cast && job.spec.metal.surface.iter().chain(other).any(|at| at.value == Surface::OilSoaked)
}

/// How long the part stands warm, up to the limit between passes: the arc, and the waits between beads.
///
/// None where arc time or passes were not worked out.
#[must_use]
pub fn time_figure(job: &Job<'_>, figures: &Figures, ends: &Ends, wall: f64) -> Option<Figure> {
    let aim = |name| figures.get(&name).and_then(Figure::aim);
    let (limit, resume) = (aim(FigureName::InterpassMax)?, aim(FigureName::ResumeBelow)?);
    let mut work = Work::new();
    let arc = work.figure(FigureName::ArcTime, "a", aim(FigureName::ArcTime)?);
    work.figure(FigureName::InterpassMax, "T", limit);
    work.figure(FigureName::ResumeBelow, "R", resume);
    let beads = beads(figures.get(&FigureName::Passes)?);
    work.step("beads", "n", "", beads, "");
    let wait = wait(&mut work, job, &ends.least, wall, (limit, resume));
    let stand = work.step("stands-warm", "", "a + max(0, n - 1) * w", arc + (beads - 1.0).max(0.0) * wait, "min");
    work.remark(LineKind::Doubt, "wait-by-probe", Vec::new(), Some(cite("still-air-loss")));
    let value = show::round_to(stand, 5.0, show::Toward::Up);
    let mut figure = work.done(FigureName::TimeAtHeat, Value::Number(value), Basis::Computed);
    figure.parts = vec![("wait", show::round_to(wait, 1.0, show::Toward::Up), "min"), ("temperature", limit, "°C")];
    Some(figure)
}

/// One wait: how long the wall takes to cool from the limit to where work goes on.
fn wait(work: &mut Work, job: &Job<'_>, metal: &Props, wall: f64, (limit, resume): (f64, f64)) -> f64 {
    let place = job.spec.place.temperature.as_ref();
    let room = match place {
        Some(at) => work.stated("room", "Ta", at.value.value().in_celsius(), "°C", Some(at.span)),
        None => work.small_constant("room", "Ta"),
    };
    work.stated("wall", "t", wall, "mm", job.thickness_span());
    work.small_row("density", "rho", metal.density.value, "g/cm3", metal.density.cite.clone());
    let at = metal.specific_heat.at.unwrap_or(constant("specific-heat-at").value);
    let heat = mean_specific_heat(metal.alloy.class, metal.specific_heat.value, at, resume, limit);
    work.step("specific-heat-mean", "c", "", heat, "J/kgK");
    let loss = work.constant("still-air-loss", "h");
    let minutes = cooling_minutes(wall, metal.density.value, heat, loss, (limit, resume, room));
    let formula = if minutes > 0.0 { "t * rho * c / (120 * h) * ln((T - Ta) / (R - Ta))" } else { "" };
    work.step("wait-still-air", "w", formula, minutes, "min")
}

/// Beads that are laid one after the other, with a reading before each.
fn beads(passes: &Figure) -> f64 {
    let sides = passes.working.iter().filter(|line| line.words == "passes-of-side").filter_map(|line| line.number);
    let beads: f64 = sides.sum();
    beads.max(passes.aim().unwrap_or(0.0))
}

/// One stage in which the whole part is warm.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stage {
    words: &'static str,
    temperature: f64,
    minutes: f64,
}

/// The stages that this procedure knows of: welding, cure of a powder coat, and last the bake-out, which takes what the
/// others leave.
fn stages(work: &mut Work, job: &Job<'_>, stand: &Figure, limit: f64) -> Vec<Stage> {
    let mut stages = Vec::new();
    let minutes = work.figure(FigureName::TimeAtHeat, "", stand.aim().unwrap_or(0.0));
    work.figure(FigureName::InterpassMax, "", limit);
    stages.push(Stage { words: "heat-share-weld", temperature: limit, minutes });
    if job.spec.part.finish.as_ref().is_some_and(|at| at.value == Finish::PowderCoat) {
        let temperature = work.constant("powder-cure", "");
        let minutes = work.constant("powder-cure-time", "");
        stages.push(Stage { words: "heat-share-powder", temperature, minutes });
    }
    if let Some((row, most)) = bake_row(job).filter(|_| baked(job)).and_then(|row| Some((row, row.preheat_max?)))
        && let Some(minutes) = row.minutes_max
    {
        work.row("heat-bake", "", most, "°C", row.cite());
        stages.push(Stage { words: "heat-share-bake", temperature: most, minutes });
    }
    stages
}

/// The row that a metal in a temper goes by, and whether it is of its own.
fn row_of(alloy: &Alloy, temper: Option<&str>, kinds: &[&str]) -> Option<&'static HeatExposure> {
    let holds = |row: &&HeatExposure| match temper {
        Some(temper) => row.tempers.is_empty() || row.tempers.iter().any(|own| tempers_agree(own, temper)),
        None => true,
    };
    let rows = |group: &str| {
        let group = group.to_owned();
        heat_exposure().rows.iter().filter(move |row| row.group == group && kinds.contains(&row.kind.as_str()))
    };
    let named = |group: &str| {
        let found = rows(group).filter(holds);
        // A row that names the temper leads over one for all of them.
        found.max_by_key(|row| u8::from(!row.tempers.is_empty()))
    };
    named(&alloy.name).or_else(|| named(&alloy.heat_group))
}

/// How long a metal in a temper may stand at a temperature in all, min: without end where heat at this temperature does
/// it nothing. None where nothing is known of it.
#[must_use]
pub fn allowed_minutes(alloy: &Alloy, temper: Option<&str>, temperature: f64) -> Option<f64> {
    let magnesium = alloy.heat_group == "high magnesium";
    if magnesium {
        let row = row_of(alloy, temper, &["sensitises"])?;
        let free = temperature <= constant("magnesium-sensitive-from").value;
        return if free {
            Some(f64::INFINITY)
        } else {
            row.minutes.filter(|_| temperature <= row.temperature).or(Some(0.0))
        };
    }
    if temper.is_some_and(|temper| NOTHING_TO_LOSE.contains(&temper)) {
        return Some(f64::INFINITY);
    }
    let row = row_of(alloy, temper, &["harmless"])?;
    let always = if temperature > row.temperature { 0.0 } else { f64::INFINITY };
    let slope = constant("ageing-slope").value;
    Some(row.minutes.map_or(always, |minutes| equal_minutes(minutes, row.temperature, temperature, slope)))
}

/// What the procedure takes of what the metal stands, with its finding where that is more than all of it.
#[must_use]
pub fn softening_figure(job: &Job<'_>, figures: &Figures, stand: &Figure) -> Option<(Figure, Option<Finding>)> {
    let limit = figures.get(&FigureName::InterpassMax)?.aim()?;
    let all = std::iter::once(&job.base).chain(&job.other).filter_map(|base| {
        let alloy = base.alloy?;
        of_metal(job, alloy, base.temper.as_deref(), stand, limit)
    });
    all.max_by(|a, b| a.share.total_cmp(&b.share)).map(|found| (found.figure, found.finding))
}

struct Found {
    share: f64,
    figure: Figure,
    finding: Option<Finding>,
}

fn of_metal(job: &Job<'_>, alloy: &'static Alloy, temper: Option<&str>, stand: &Figure, limit: f64) -> Option<Found> {
    let magnesium = alloy.heat_group == "high magnesium";
    if !magnesium && temper.is_some_and(|temper| NOTHING_TO_LOSE.contains(&temper)) {
        let mut work = Work::new();
        work.remark(LineKind::Remark, "no-temper-to-lose", vec![alloy.name.clone(), temper?.to_owned()], None);
        let figure = work.done(FigureName::Softening, Value::Word("nothing to lose".to_owned()), Basis::CommonPractice);
        return Some(Found { share: 0.0, figure, finding: None });
    }
    let row = row_of(alloy, temper, if magnesium { &["sensitises"] } else { &["harmless"] })?;
    let mut work = Work::new();
    let stages = stages(&mut work, job, stand, limit);
    let (shares, basis) = if magnesium {
        (sensitised(&mut work, row, &stages), row.basis)
    } else {
        (softened(&mut work, row, &stages), Basis::Computed)
    };
    let share: f64 = shares.iter().sum();
    work.step("heat-share-all", "", "", share, "%");
    witnesses(&mut work, alloy);
    let rounded = if share > 0.0 { round(FigureName::Softening, share.max(1.0)) } else { 0.0 };
    let mut figure = work.done(FigureName::Softening, Value::Number(rounded), basis);
    figure.maximum = Some(100.0);
    let worst = stages.iter().zip(&shares).max_by(|a, b| a.1.total_cmp(b.1)).map(|(stage, _)| *stage);
    let finding = worst.filter(|_| share > 100.0).map(|worst| too_long(job, alloy, magnesium, worst, rounded));
    Some(Found { share, figure, finding })
}

/// Shares of what a temper stands, percent, one a stage.
fn softened(work: &mut Work, row: &'static HeatExposure, stages: &[Stage]) -> Vec<f64> {
    work.row("heat-harmless-at", "Th", row.temperature, "°C", row.cite());
    let Some(minutes) = row.minutes else {
        work.remark(LineKind::Remark, "heat-harmless-always", vec![show::number(row.temperature, 0)], Some(row.cite()));
        return stages.iter().map(|stage| if stage.temperature > row.temperature { 200.0 } else { 0.0 }).collect();
    };
    work.row("heat-harmless-for", "mh", minutes, "min", row.cite());
    let slope = work.constant("ageing-slope", "s");
    let mut out = Vec::new();
    for stage in stages {
        work.step("heat-stage-at", "Ts", "", stage.temperature, "°C");
        work.step("heat-stage-for", "ms", "", stage.minutes, "min");
        let formula = "mh * exp(s * (1 / (Ts + 273.15) - 1 / (Th + 273.15)))";
        let most = equal_minutes(minutes, row.temperature, stage.temperature, slope);
        work.step("heat-stage-most", "me", formula, most, "min");
        let share = 100.0 * stage.minutes / most;
        // A bake-out ends when its time is up: it takes what the other stages leave.
        if stage.words == "heat-share-bake" {
            let left = (100.0 - out.iter().sum::<f64>()).max(0.0);
            work.step("heat-left", "q", "", left, "%");
            out.push(work.step(stage.words, "", "min(q, 100 * ms / me)", share.min(left), "%"));
        } else {
            out.push(work.step(stage.words, "", "100 * ms / me", share, "%"));
        }
    }
    out
}

/// Shares of the time that a metal with much magnesium may stand above the temperature where it turns sensitive.
fn sensitised(work: &mut Work, row: &'static HeatExposure, stages: &[Stage]) -> Vec<f64> {
    let from = work.constant("magnesium-sensitive-from", "Tm");
    let minutes = work.row("heat-sensitises-after", "mh", row.minutes.unwrap_or(0.0), "min", row.cite());
    let mut out = Vec::new();
    for stage in stages {
        work.step("heat-stage-at", "Ts", "", stage.temperature, "°C");
        if stage.temperature <= from {
            out.push(work.step(stage.words, "", "", 0.0, "%"));
            continue;
        }
        work.step("heat-stage-for", "ms", "", stage.minutes, "min");
        out.push(work.step(stage.words, "", "100 * ms / mh", 100.0 * stage.minutes / minutes, "%"));
    }
    out
}

/// Published points that do not lead.
fn witnesses(work: &mut Work, alloy: &Alloy) {
    let rows = heat_exposure().rows.iter().filter(|row| row.group == alloy.name || row.group == alloy.heat_group);
    for row in rows.filter(|row| matches!(row.kind.as_str(), "softens" | "cracks")) {
        let words = match (row.kind.as_str(), row.minutes) {
            ("cracks", _) => "heat-cracked-after",
            (_, Some(_)) => "heat-softened-after",
            (_, None) => "heat-softened-over",
        };
        work.check(words, (row.temperature, row.temperature), "°C", Some(row.cite()));
        work.with(row.minutes.map(|minutes| vec![show::trimmed(show::number(minutes / 60.0, 1))]).unwrap_or_default());
    }
}

fn too_long(job: &Job<'_>, alloy: &Alloy, magnesium: bool, worst: Stage, share: f64) -> Finding {
    let at = show::number(worst.temperature, 0);
    let (what, help) = match worst.words {
        // Parts are coated every day, and the limit of a temper is a house rule: a question to the coater, no warning.
        "heat-share-powder" if !magnesium => {
            return Finding::new(
                Code::SettingHeatTooLong,
                format!(
                    "the cure of a powder coat, about {at} °C, may take some strength from the whole part: it is {} % of \
                     the house limit for {}, from memory",
                    show::number(share, 0),
                    alloy.name
                ),
            )
            .severity(Severity::Note)
            .at_some(job.spec.part.finish.as_ref().map(|at| at.span))
            .help("ask the coater for a powder that cures cooler, or paint it");
        }
        "heat-share-powder" => (
            format!("the cure of a powder coat, about {at} °C,"),
            "paint it instead, or a powder that cures cooler, or have it heat-treated again after the weld",
        ),
        _ => (
            format!("standing at up to {at} °C between passes"),
            "let it cool further between passes, lay larger passes, or weld on two days",
        ),
    };
    let harm = if magnesium { "turns it open to stress corrosion" } else { "takes strength from the whole part" };
    let span: Option<Span> = match worst.words {
        "heat-share-powder" => job.spec.part.finish.as_ref().map(|at| at.span),
        _ => job.base.span,
    };
    let share = show::number(share, 0);
    Finding::new(
        Code::SettingHeatTooLong,
        format!("{what} {harm}: {share} % of what {} stands by the rule", alloy.name),
    )
    .at_some(span)
    .help(help)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_published_points_give_the_slope_and_the_third_bears_it_out() {
        let slope = constant("ageing-slope").value;
        // 16 h at 199 °C and 4 h at 218 °C.
        let back = equal_minutes(960.0, 199.0, 218.0, slope);
        assert!((back - 240.0).abs() < 1.0, "{back}");
        // 64 h at 177 °C did no harm.
        assert!(equal_minutes(960.0, 199.0, 177.0, slope) > 64.0 * 60.0);
    }

    #[test]
    fn a_wall_cools_slower_the_nearer_it_is_to_the_room() {
        let minutes = |from, to| cooling_minutes(8.0, 2.7, 920.0, 8.0, (from, to, 20.0));
        assert!(minutes(60.0, 40.0) > minutes(100.0, 80.0));
        assert!(minutes(40.0, 60.0).abs() < 1e-12 && minutes(60.0, 20.0).abs() < 1e-12);
    }
}
