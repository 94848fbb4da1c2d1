//! Published settings and limits, one figure of one part each; other cells of the schedules; cups, flows and rods.

use crate::published::{ScheduleRow, job_of, schedules};
use crate::rows::{Outcome, read};
use crate::shop::Ask;
use crate::sources::{self, Told};
use interpass::engine::consumables::rod_figure;
use interpass::engine::gas::{cup_figure, flow_figures};
use interpass::engine::tungsten::{self, Need};
use interpass::engine::{Figure, FigureName, Value, job};
use interpass::reference::{Polarity, sold_size};
use serde::Deserialize;

/// One figure of one part and what it has to lie in.
#[derive(Debug, Deserialize)]
struct FigureRow {
    id: String,
    alloy: String,
    temper: Option<String>,
    form: String,
    thickness: String,
    joint: String,
    /// Further lines of the spec: table and line.
    #[serde(default)]
    extra: Vec<[String; 2]>,
    figure: String,
    part: Option<String>,
    ask: String,
    within: Vec<toml::Value>,
    #[serde(flatten)]
    told: Told,
}

/// What a schedule prints beside current and tungsten; a single value stands as `[v, v]`.
#[derive(Debug, Deserialize)]
struct Cells {
    rod: Option<[f64; 2]>,
    cup: Option<[f64; 2]>,
    bore: Option<[f64; 2]>,
    flow: Option<[f64; 2]>,
    travel: Option<f64>,
}

#[derive(Debug, Deserialize)]
struct FlowRow {
    id: String,
    current: [f64; 2],
    tungsten: Option<f64>,
    bore: [f64; 2],
    argon: [f64; 2],
    #[serde(flatten)]
    told: Told,
}

#[derive(Debug, Deserialize)]
struct SheetRow {
    id: String,
    thickness: [f64; 2],
    bore: f64,
    argon: f64,
    helium: f64,
    #[serde(flatten)]
    told: Told,
}

#[derive(Debug, Deserialize)]
struct CupRow {
    id: String,
    tungsten: f64,
    bore: f64,
    #[serde(flatten)]
    told: Told,
}

#[derive(Debug, Deserialize)]
struct RodRow {
    id: String,
    current: [f64; 2],
    rod: [f64; 2],
    #[serde(flatten)]
    told: Told,
}

#[derive(Deserialize)]
struct Flows {
    flow: Vec<FlowRow>,
    sheet: Vec<SheetRow>,
    cup: Vec<CupRow>,
    rod: Vec<RodRow>,
}

type Judged = (String, String, Option<Outcome>);

/// All checks of this file.
pub(crate) fn all() -> Vec<Judged> {
    let mut out = Vec::new();
    let mut put = |group: &str, outcome: Outcome| out.push((group.to_owned(), outcome.id.clone(), Some(outcome)));
    for row in read::<FigureRow>(include_str!("settings.toml"), "figure") {
        sources::check(&row.id, &row.told);
        put("setting", of_figure(&row));
    }
    let cells = read::<Cells>(include_str!("schedules.toml"), "schedule");
    for (row, cells) in schedules().iter().zip(&cells) {
        of_cells(row, cells).into_iter().for_each(|outcome| put("schedule cells", outcome));
    }
    let flows: Flows = toml::from_str(include_str!("cups_and_flows.toml")).expect("rows");
    for row in &flows.flow {
        sources::check(&row.id, &row.told);
        of_flow(row).into_iter().for_each(|outcome| put("gas flow", outcome));
    }
    for row in &flows.sheet {
        sources::check(&row.id, &row.told);
        of_sheet(row).into_iter().for_each(|outcome| put("gas flow", outcome));
    }
    for row in &flows.cup {
        sources::check(&row.id, &row.told);
        put("cup", of_cup(row));
    }
    for row in &flows.rod {
        sources::check(&row.id, &row.told);
        put("rod", of_rod(row));
    }
    out
}

fn number(value: &toml::Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().and_then(|whole| i32::try_from(whole).ok()).map(f64::from))
}

/// A figure in words.
fn shown(figure: &Figure) -> String {
    match &figure.value {
        Value::Word(word) => word.clone(),
        Value::Flag(flag) => flag.to_string(),
        Value::Number(number) => number.to_string(),
        Value::Range { low, high, set } => format!("{set} ({low} to {high})"),
    }
}

fn of_figure(row: &FigureRow) -> Outcome {
    let mut ask = Ask::of_form(&row.alloy, &row.form, &row.thickness, &row.joint);
    // An opening is what a sheet cuts.
    ask.bench &= row.figure != "groove";
    if let Some(temper) = &row.temper {
        ask.put("metal", &format!("temper = \"{temper}\""));
    }
    for [table, line] in &row.extra {
        ask.put(table, line);
    }
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let name = FigureName::from_key(&row.figure).unwrap_or_else(|| panic!("{}: no figure {}", row.id, row.figure));
    let figure = answer.figure(name).unwrap_or_else(|| panic!("{}: the engine gives no {}", row.id, row.figure));
    let wanted: Vec<String> = row.within.iter().map(|value| value.to_string().replace('"', "")).collect();
    let (got, passed) = ask_figure(row, figure);
    Outcome::new(&row.id, passed, format!("{} {got}, not {}", row.ask, wanted.join(" to ")))
}

/// What the figure says, and whether that is what is wanted.
fn ask_figure(row: &FigureRow, figure: &Figure) -> (String, bool) {
    let numbers: Vec<f64> = row.within.iter().filter_map(number).collect();
    let one = |value: Option<f64>| {
        let inside = |value: f64| matches!(numbers[..], [low, high] if low <= value && value <= high);
        value.map_or_else(|| (shown(figure), false), |value| (value.to_string(), inside(value)))
    };
    if let Some(part) = &row.part {
        return one(figure.parts.iter().find(|(key, _, _)| key == part).map(|found| found.1));
    }
    match row.ask.as_str() {
        "aim" => one(figure.aim()),
        "low" => one(figure.ends().map(|ends| ends.0)),
        "high" => one(figure.ends().map(|ends| ends.1)),
        "maximum" => one(figure.maximum),
        "covers" => {
            let holds = figure.ends().is_some_and(|(low, high)| numbers.iter().all(|at| low <= *at && *at <= high));
            (shown(figure), holds)
        }
        "word" => (shown(figure), row.within.iter().any(|value| value.as_str() == figure.word())),
        other => panic!("{}: ask {other}?", row.id),
    }
}

/// Rod, cup, flow and travel of a schedule.
fn of_cells(row: &ScheduleRow, cells: &Cells) -> Vec<Outcome> {
    let Some(ask) = job_of(row) else { return Vec::new() };
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let id = |what: &str| format!("{}@{what}", row.id);
    let mut out = Vec::new();
    if let Some(printed) = cells.rod {
        out.push(size(&id("rod"), "rod", answer.aim(FigureName::FillerDiameter), printed));
    }
    if let Some([low, high]) = cells.cup {
        let cup = answer.aim(FigureName::Cup).unwrap_or(f64::NAN);
        out.push(Outcome::new(&id("cup"), low <= cup && cup <= high, format!("number {cup}, not {low} to {high}")));
    }
    if let Some(printed) = cells.bore {
        out.push(bore(&id("bore"), bore_of(answer.figure(FigureName::Cup)), printed));
    }
    if let Some(printed) = cells.flow {
        out.push(set_or_covered(&id("flow"), answer.figure(FigureName::GasFlow), printed, "L/min"));
    }
    if let Some(travel) = cells.travel {
        out.push(set_or_covered(&id("travel"), answer.figure(FigureName::TravelSpeed), [travel; 2], "mm/min"));
    }
    out
}

/// The very size or one of the printed range; of a size that is not in the list of sizes sold, a neighbour.
fn size(id: &str, what: &str, chosen: Option<f64>, [low, high]: [f64; 2]) -> Outcome {
    let mut sold: Vec<f64> = sold_size().rows.iter().filter(|size| size.what == what).map(|size| size.mm).collect();
    sold.sort_by(f64::total_cmp);
    let below = sold.iter().rev().copied().find(|mm| *mm <= low + 0.01).unwrap_or(low);
    let above = sold.iter().copied().find(|mm| *mm >= high - 0.01).unwrap_or(high);
    let passed = chosen.is_some_and(|chosen| below - 0.01 <= chosen && chosen <= above + 0.01);
    let got = chosen.map_or("none".to_owned(), |chosen| chosen.to_string());
    Outcome::new(id, passed, format!("{got} mm, not {low} to {high}"))
}

/// The value to set lies in a printed range; a single printed value lies in the range of the figure.
fn set_or_covered(id: &str, figure: Option<&Figure>, [low, high]: [f64; 2], unit: &str) -> Outcome {
    let Some((figure, (from, to))) = figure.and_then(|figure| Some((figure, figure.ends()?))) else {
        return Outcome::new(id, false, format!("nothing, not {low} to {high} {unit}"));
    };
    let aim = figure.aim().unwrap_or(f64::NAN);
    let passed = if low < high { low <= aim && aim <= high } else { from <= low && low <= to };
    Outcome::new(id, passed, format!("{} {unit}, not {low} to {high}", shown(figure)))
}

fn bore_of(cup: Option<&Figure>) -> f64 {
    cup.and_then(|cup| cup.parts.iter().find(|part| part.0 == "bore")).map_or(f64::NAN, |part| part.1)
}

/// Makers round a bore: 12.7 mm is printed as 12.5, and as 13 where whole millimetres are.
fn bore(id: &str, got: f64, [low, high]: [f64; 2]) -> Outcome {
    let rounding = |printed: f64| if printed.fract() == 0.0 { 0.5 } else { 0.25 };
    let passed = low - rounding(low) <= got && got <= high + rounding(high);
    Outcome::new(id, passed, format!("{got} mm, not {low} to {high}"))
}

/// Balance at which a tungsten is chosen for a row that names none: where the upper column of the tables stands.
const BALANCE: f64 = 70.0;

/// Cup and flow for the middle of a row by current.
fn of_flow(row: &FlowRow) -> Vec<Outcome> {
    let amps = f64::midpoint(row.current[0], row.current[1]);
    let need = Need { polarity: Polarity::AC, balance: BALANCE, low: amps, aim: amps, high: amps, helium: 0.0 };
    let electrode = row.tungsten.or_else(|| tungsten::diameter(need, &[]).map(|chosen| chosen.capacity.diameter));
    let cup = cup_figure((electrode.expect("a tungsten"), 0.0), amps, Polarity::AC, None, &[]).expect("a cup").cup;
    let text = Ask::new("6061", "6 mm", "butt").text();
    let (spec, _) = interpass::spec::read(&text);
    let spec = spec.expect("a spec");
    let (job, _) = job::check(&spec, None);
    let (figures, _) = flow_figures(&job, 6.0, amps, Polarity::AC, cup, None);
    let flow = figures.iter().find(|figure| figure.name == FigureName::GasFlow);
    let [low, high] = row.argon;
    let aim = flow.and_then(Figure::aim).unwrap_or(f64::NAN);
    let figures = format!("{aim} L/min at {amps} A, not {low} to {high}");
    vec![
        bore(&format!("{}@bore", row.id), cup.bore, row.bore),
        Outcome::new(&format!("{}@flow", row.id), low <= aim && aim <= high, figures),
    ]
}

/// A butt in sheet of the upper end of the row, in both gases.
fn of_sheet(row: &SheetRow) -> Vec<Outcome> {
    let answer = |gas: &str| {
        let mut ask = Ask::new("6061", &format!("{} mm", row.thickness[1]), "butt");
        ask.put("weld", &format!("gas = \"{gas}\""));
        ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id))
    };
    let (argon, helium) = (answer("argon"), answer("helium"));
    let flow =
        |what: &str, figure, printed| set_or_covered(&format!("{}@{what}", row.id), figure, [printed; 2], "L/min");
    vec![
        bore(&format!("{}@bore", row.id), bore_of(argon.figure(FigureName::Cup)), [row.bore; 2]),
        flow("argon", argon.figure(FigureName::GasFlow), row.argon),
        flow("helium", helium.figure(FigureName::GasFlow), row.helium),
    ]
}

/// The cup of a tungsten in the middle of its range.
fn of_cup(row: &CupRow) -> Outcome {
    let range = tungsten::capacity(row.tungsten, Polarity::AC, BALANCE);
    let amps = range.map_or(f64::NAN, |range| f64::midpoint(range.low, range.high));
    let got = cup_figure((row.tungsten, 0.0), amps, Polarity::AC, None, &[]).map_or(f64::NAN, |chosen| chosen.cup.bore);
    bore(&row.id, got, [row.bore; 2])
}

/// The rod for the middle of a range of current, in metal thick enough to set no bound.
fn of_rod(row: &RodRow) -> Outcome {
    let amps = f64::midpoint(row.current[0], row.current[1]);
    let text = Ask::new("6061", "20 mm", "groove").text();
    let (spec, _) = interpass::spec::read(&text);
    let spec = spec.expect("a spec");
    let (job, _) = job::check(&spec, None);
    let got = rod_figure(&job, None, 20.0, amps, Polarity::AC, false)
        .and_then(|(figure, _)| figure.aim())
        .unwrap_or(f64::NAN);
    let [low, high] = row.rod;
    Outcome::new(&row.id, low <= got && got <= high, format!("{got} mm at {amps} A, not {low} to {high}"))
}
