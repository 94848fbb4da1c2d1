//! Published tables of steel, stainless steel, iron, copper and magnesium: what the engine answers to the job of a row
//! meets what the row prints.

use crate::rows::Outcome;
use crate::shop::Ask;
use interpass::engine::{Figure, FigureName};
use interpass::reference::source_by_key;
use serde::Deserialize;
use serde::de::DeserializeOwned;

#[derive(Debug, Deserialize)]
struct ScheduleRow {
    id: String,
    alloy: String,
    joint: String,
    position: String,
    thickness: f64,
    amperage: [f64; 2],
}

#[derive(Debug, Deserialize)]
struct HeatRow {
    id: String,
    alloy: String,
    thickness: String,
    own: Option<String>,
    least: Option<f64>,
    most: Option<f64>,
}

#[derive(Debug, Deserialize)]
struct RodRow {
    id: String,
    alloy: String,
    other: Option<String>,
    rod: String,
}

/// Whose word a row is.
#[derive(Debug, Deserialize)]
struct Told {
    id: String,
    source: String,
}

const ROWS: &str = include_str!("metals.toml");

/// What a dial is read to.
const DIAL: f64 = 0.05;

/// The rows of one of the tables of the file.
fn read<T: DeserializeOwned>(text: &str, name: &str) -> Vec<T> {
    let mut file: toml::Table = toml::from_str(text).expect("rows");
    file.remove(name).expect("the table").try_into().expect("rows of one kind")
}

/// All checks of this file.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let schedules = read::<ScheduleRow>(ROWS, "schedule").into_iter().map(|row| of_schedule(&row));
    let heats = read::<HeatRow>(ROWS, "heat").into_iter().map(|row| of_heat(&row));
    let rods = read::<RodRow>(ROWS, "rod").into_iter().map(|row| of_rod(&row));
    let all = schedules.chain(heats).chain(rods);
    all.map(|outcome| ("other metals".to_owned(), outcome.id.clone(), Some(outcome))).collect()
}

/// The range of the engine and the printed one have a current in common: published sources of one steel lie a third
/// apart, and the range is to hold them all.
fn of_schedule(row: &ScheduleRow) -> Outcome {
    let mut ask = Ask::new(&row.alloy, &format!("{} mm", row.thickness), &row.joint);
    // A schedule is printed for square edges, which the bench answer takes as they are.
    ask.bench = true;
    ask.weld = format!("position = \"{}\"\n", row.position);
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let (low, high) = answer.figure(FigureName::Amperage).and_then(Figure::ends).expect("an amperage");
    let [from, to] = row.amperage;
    let meets = low <= to * (1.0 + DIAL) && high >= from * (1.0 - DIAL);
    Outcome::new(&format!("metals-{}", row.id), meets, format!("{low} to {high} A, not {from} to {to}"))
}

/// Neither colder at the first arc than the print allows, nor hotter between passes.
fn of_heat(row: &HeatRow) -> Outcome {
    let mut ask = Ask::new(&row.alloy, &row.thickness, "groove");
    if let Some(own) = &row.own {
        ask.weld = format!("[weld.set]\npreheat = {{ value = \"{own}\", because = \"the hot way\" }}\n");
    }
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let limits = answer.limits.as_ref().unwrap_or_else(|| panic!("{}: no limits", row.id));
    let preheat = answer.figure(FigureName::Preheat).and_then(Figure::aim);
    // What needs no preheat is welded as cold as the shop.
    let start = preheat.unwrap_or(20.0);
    let warm = row.least.is_none_or(|least| start >= least);
    let cool = row.most.is_none_or(|most| limits.interpass <= most + 0.5);
    let figures = format!(
        "{start} °C at the first arc, {} °C between passes, not {:?} to {:?}",
        limits.interpass, row.least, row.most
    );
    Outcome::new(&format!("metals-{}", row.id), warm && cool, figures)
}

/// The printed rod stands among the first three.
fn of_rod(row: &RodRow) -> Outcome {
    let mut ask = Ask::new(&row.alloy, "6 mm", "groove");
    ask.other.clone_from(&row.other);
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let fillers = answer.fillers();
    let first: Vec<&str> = fillers.iter().take(3).copied().collect();
    let found = first.contains(&row.rod.as_str());
    Outcome::new(&format!("metals-{}", row.id), found, format!("{}, not {}", first.join(", "), row.rod))
}

#[test]
fn every_row_of_another_metal_has_a_source_that_exists() {
    let tables = ["schedule", "heat", "rod"];
    let told: Vec<Told> = tables.iter().flat_map(|table| read::<Told>(ROWS, table)).collect();
    assert!(told.len() >= 60, "only {} rows", told.len());
    for row in told {
        assert!(source_by_key(&row.source).is_some(), "{}: no source {}", row.id, row.source);
    }
}
