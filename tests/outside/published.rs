//! Published tables of the trade: what the engine answers to the job of a row lies in what the row prints.

use crate::rows::{Outcome, read};
use crate::shop::Ask;
use interpass::engine::{FigureName, tungsten};
use interpass::reference::search::{alloy_named, filler_named};
use interpass::reference::{Basis, Polarity, source_by_key};
use serde::Deserialize;

/// A line of a welding schedule.
#[derive(Debug, Clone, Deserialize)]
pub(crate) struct ScheduleRow {
    pub(crate) id: String,
    pub(crate) current: Polarity,
    pub(crate) joint: String,
    pub(crate) position: String,
    pub(crate) thickness: f64,
    pub(crate) amperage: [f64; 2],
    pub(crate) tungsten: Option<[f64; 2]>,
    pub(crate) voltage: Option<f64>,
    pub(crate) travel: Option<f64>,
    /// Root face, mm, of a bevelled joint whose source gives one.
    pub(crate) face: Option<f64>,
    pub(crate) source: String,
    pub(crate) basis: Basis,
}

#[derive(Debug, Deserialize)]
struct TungstenRow {
    id: String,
    diameter: f64,
    polarity: Polarity,
    balance: Option<f64>,
    kind: String,
    current: [f64; 2],
}

#[derive(Debug, Deserialize)]
struct FillerRow {
    id: String,
    a: String,
    b: Option<String>,
    need: Option<String>,
    fillers: Vec<String>,
}

#[derive(Debug, Deserialize)]
struct PreheatRow {
    id: String,
    alloy: String,
    preheat_max: Option<f64>,
    interpass_max: Option<f64>,
}

/// All schedules, in the order of the file.
pub(crate) fn schedules() -> Vec<ScheduleRow> {
    read(include_str!("schedules.toml"), "schedule")
}

/// A single printed value is met within a twentieth, which is what a dial is read to.
const DIAL: f64 = 0.05;

/// Whose word a row is.
#[derive(Debug, Deserialize)]
struct Told {
    id: String,
    source: String,
    locator: String,
    basis: Basis,
}

/// Every row names a source of the program's own list, and where in it.
#[test]
fn every_published_row_has_a_source_that_exists() {
    let files = [
        read::<Told>(include_str!("schedules.toml"), "schedule"),
        read::<Told>(include_str!("tungsten.toml"), "tungsten"),
        read::<Told>(include_str!("fillers.toml"), "filler"),
        read::<Told>(include_str!("preheat.toml"), "preheat"),
    ];
    for row in files.iter().flatten() {
        assert!(source_by_key(&row.source).is_some(), "{}: no source {}", row.id, row.source);
        assert!(!row.locator.is_empty(), "{} has no locator", row.id);
        assert!(row.basis != Basis::Computed, "{} is neither printed nor remembered", row.id);
    }
}

/// All rows, each with its group and what came of it; none where the program has no answer.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let mut out = Vec::new();
    for row in schedules() {
        let [amps, electrode] = of_schedule(&row);
        out.push(("schedule".to_owned(), format!("{}@amperage", row.id), amps));
        if row.tungsten.is_some() {
            out.push(("schedule tungsten".to_owned(), format!("{}@tungsten", row.id), electrode));
        }
    }
    for row in read::<TungstenRow>(include_str!("tungsten.toml"), "tungsten") {
        out.push(("tungsten".to_owned(), row.id.clone(), of_tungsten(&row)));
    }
    for row in read::<FillerRow>(include_str!("fillers.toml"), "filler") {
        out.push(("filler choice".to_owned(), row.id.clone(), of_filler(&row)));
    }
    for row in read::<PreheatRow>(include_str!("preheat.toml"), "preheat") {
        out.push(("preheat".to_owned(), row.id.clone(), Some(of_preheat(&row))));
    }
    out
}

/// The job of a row of a schedule; none where the spec language has no such joint, or the engine does not choose the
/// polarity.
pub(crate) fn job_of(row: &ScheduleRow) -> Option<Ask> {
    if row.current != Polarity::AC {
        return None;
    }
    let joint = match row.joint.as_str() {
        "fillet" => "fillet",
        "butt" | "square butt" | "V butt" | "flanged or one-side butt" => "butt",
        _ => return None,
    };
    let mut ask = Ask::new("6061", &format!("{} mm", row.thickness), joint);
    ask.temper = Some("T6");
    let position = match row.position.as_str() {
        "horizontal/vertical" => "PC",
        "overhead" => "PE",
        _ => "PA",
    };
    ask.weld = format!("position = \"{position}\"\n");
    Some(ask)
}

fn of_schedule(row: &ScheduleRow) -> [Option<Outcome>; 2] {
    let Some(ask) = job_of(row) else { return [None, None] };
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let [low, high] = row.amperage;
    let slack = if low < high { 0.0 } else { DIAL * low };
    let aim = answer.aim(FigureName::Amperage).expect("an amperage");
    let inside = low - slack <= aim && aim <= high + slack;
    let amps = Outcome::new(&format!("{}@amperage", row.id), inside, format!("{aim} A, not {low} to {high}"));
    let electrode = row.tungsten.map(|[thin, thick]| {
        let set = answer.aim(FigureName::TungstenDiameter);
        let inside = set.is_some_and(|set| thin - 0.01 <= set && set <= thick + 0.01);
        let shown = set.map_or("none".to_owned(), |set| set.to_string());
        let carries = answer.aim(FigureName::AmperageMax).unwrap_or(f64::NAN);
        Outcome::new(
            &format!("{}@tungsten", row.id),
            inside,
            format!("{shown} mm for {aim} A, panel at {carries} A, not {thin} to {thick}"),
        )
    });
    [Some(amps), electrode]
}

/// The engine knows oxide tungstens alone.
fn of_tungsten(row: &TungstenRow) -> Option<Outcome> {
    if row.kind != "oxide" {
        return None;
    }
    let carried = tungsten::capacity(row.diameter, row.polarity, row.balance.unwrap_or(70.0))?;
    let [low, high] = row.current;
    let same = (carried.low - low).abs() < 0.01 && (carried.high - high).abs() < 0.01;
    Some(Outcome::new(&row.id, same, format!("{} to {} A, not {low} to {high}", carried.low, carried.high)))
}

/// A filler that the source recommends stands among the first three of the engine; where it has none, so has the
/// engine.
/// A metal or a rod that the tables do not hold is no answer.
fn of_filler(row: &FillerRow) -> Option<Outcome> {
    let family = |name: &str| name == "4xxx";
    let known = |name: &String| alloy_named(name).is_some();
    if !known(&row.a) || !row.b.as_ref().is_none_or(known) {
        return None;
    }
    if row.fillers.first().is_some_and(|name| !family(name) && filler_named(name).is_none()) {
        return None;
    }
    let mut ask = Ask::new(&row.a, "6 mm", "groove");
    ask.other = row.b.clone();
    if let Some(need) = &row.need {
        ask.weld = format!("needs = [\"{need}\"]\n");
    }
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let fillers = answer.fillers();
    let first: Vec<&str> = fillers.iter().take(3).copied().collect();
    let passed = match row.fillers.first() {
        Some(wanted) if family(wanted) => first.first().is_some_and(|name| name.starts_with("ER4")),
        Some(wanted) => first.contains(&wanted.as_str()),
        None => first.is_empty(),
    };
    Some(Outcome::new(&row.id, passed, format!("{}, not {}", first.join(", "), row.fillers.join(", "))))
}

/// Neither the limits of the metal nor the figures lie over the published limits.
fn of_preheat(row: &PreheatRow) -> Outcome {
    let answer =
        Ask::new(&row.alloy, "8 mm", "groove").answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let limits = answer.limits.as_ref().unwrap_or_else(|| panic!("{}: no limits", row.id));
    // A part that needs no preheat has the word for it.
    let preheat = answer.aim(FigureName::Preheat).unwrap_or(limits.preheat).max(limits.preheat);
    let interpass = answer.aim(FigureName::InterpassMax).expect("an interpass limit").max(limits.interpass);
    let passed = preheat <= row.preheat_max.unwrap_or(f64::MAX) && interpass <= row.interpass_max.unwrap_or(f64::MAX);
    let shown = |limit: Option<f64>| limit.map_or("no limit".to_owned(), |limit| limit.to_string());
    let figures = format!(
        "preheat {preheat} °C, interpass {interpass} °C, not over {} and {}",
        shown(row.preheat_max),
        shown(row.interpass_max)
    );
    Outcome::new(&row.id, passed, figures)
}
