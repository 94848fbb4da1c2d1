//! The settings card: the bench answer on a terminal of 80 columns, the aim before the range, and what was assumed.

use super::labels::label;
use super::{Answer, say};
use crate::engine::preheat::first_arc;
use crate::engine::{Figure, FigureName, Line, LineKind, PassRow, Value};
use crate::kit::Machine;
use crate::reference::Basis;
use crate::sheet::show as figures;
use crate::units::{celsius, mm, show};

/// Columns of the terminal.
pub(crate) const WIDTH: usize = 80;
/// Columns where aim, range and basis begin.
const AIM: usize = 27;
const RANGE: usize = 45;
const BASIS: usize = 62;

/// A row of the card.
struct Row {
    label: String,
    aim: String,
    range: String,
    basis: String,
}

/// The settings of a job as a card of at most 80 columns, with a line feed at the end of each line.
///
/// Findings are not on it: they are printed by themselves.
#[must_use]
pub fn settings_card(answer: &Answer<'_>) -> String {
    let mut out = heading(answer);
    let rows = rows(answer);
    if rows.is_empty() {
        push_wrapped(&mut out, "", &label("card-missing", &[]));
    } else {
        let head = ["card-aim", "card-range", "card-basis"].map(|key| label(key, &[]));
        let [aim, range, basis] = head;
        push_row(&mut out, &Row { label: String::new(), aim, range, basis });
        rows.iter().for_each(|row| push_row(&mut out, row));
    }
    let assumed = assumed(answer);
    if !assumed.is_empty() {
        push_wrapped(&mut out, "", &format!("{} {assumed}.", label("card-assumed", &[])));
    }
    if !answer.job.from_spec() {
        push_wrapped(&mut out, "", &label("card-not-asked", &[]));
    }
    if let Some(name) = answer.worked.figures.keys().next() {
        push_wrapped(&mut out, "", &label("card-why", &[name.key()]));
    }
    out
}

/// Metal, wall and joint on the left; machine, torch and remote control on the right.
fn heading(answer: &Answer<'_>) -> String {
    let job = answer.job;
    let wall = match &job.spec.metal.thickness {
        Some(at) => Some(show::stated(&at.value)),
        None => job.thickness.map(|wall| show::both(mm(wall), job.system)),
    };
    let left = joined([Some(job.base.shown.clone()), wall, Some(job.joint.word().to_owned())]);
    let machine = machine(answer);
    let remote = machine.and_then(|machine| machine.remote.as_ref()).map(|at| at.value.word().to_owned());
    let torch = figure(answer, FigureName::AmperageMax).and_then(|figure| torch(&figure.working));
    let right = joined([machine.map(|machine| machine.name.value.clone()), torch, remote]);
    let used = left.chars().count() + right.chars().count();
    let mut out = String::new();
    if right.is_empty() || used + 2 > WIDTH {
        push_wrapped(&mut out, "", &left);
        push_wrapped(&mut out, "", &right);
    } else {
        out = format!("{left}{:pad$}{right}\n", "", pad = WIDTH - used);
    }
    out
}

fn joined<const N: usize>(parts: [Option<String>; N]) -> String {
    parts.into_iter().flatten().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// The machine that the spec names, else the first of the kit.
fn machine<'a>(answer: &Answer<'a>) -> Option<&'a Machine> {
    let mut machines = answer.job.kit?.machine.iter().map(|at| &at.value);
    match &answer.job.spec.weld.machine {
        Some(name) => machines.find(|machine| machine.name.value == name.value),
        None => machines.next(),
    }
}

/// The torch that the panel maximum was worked out for.
fn torch(working: &[Line]) -> Option<String> {
    let line = working.iter().find(|line| matches!(line.words, "water-cooled" | "torch-ends"))?;
    line.args.first().cloned()
}

fn figure<'a>(answer: &Answer<'a>, name: FigureName) -> Option<&'a Figure> {
    answer.worked.figures.get(&name)
}

fn rows(answer: &Answer<'_>) -> Vec<Row> {
    let mut rows = Vec::new();
    rows.extend(plain(answer, FigureName::Polarity, "card-current"));
    rows.extend(currents(answer));
    rows.extend(plain(answer, FigureName::AmperageMax, "card-panel"));
    rows.extend(plain(answer, FigureName::Balance, "card-balance"));
    rows.extend(plain(answer, FigureName::Frequency, "card-frequency"));
    rows.extend(tungsten(answer));
    rows.extend(rod(answer));
    rows.extend(cup(answer));
    rows.extend(gas(answer));
    rows.extend(plain(answer, FigureName::PreFlow, "card-pre-flow"));
    rows.extend(plain(answer, FigureName::PostFlow, "card-post-flow"));
    rows.extend(plain(answer, FigureName::Preheat, "card-preheat"));
    rows.extend(limit(answer));
    rows.extend(lens(answer));
    rows
}

fn plain(answer: &Answer<'_>, name: FigureName, key: &str) -> Option<Row> {
    let figure = figure(answer, name)?;
    let (aim, range) = say::figure(figure, answer.job.system);
    Some(row(label(key, &[]), &aim, &range, basis(figure)))
}

/// A row of texts in both systems of units: the other system moves into the column of the range where that is free, and
/// goes where it is not, so that the card fits its columns. The sheet shows both.
fn row(label: String, aim: &str, range: &str, basis: String) -> Row {
    let (aim, other) = apart(aim);
    let range = if range.is_empty() { other } else { apart(range).0 };
    Row { label, aim, range, basis }
}

/// A text without the bracket that holds the other system of units, and that bracket. Shares of electrode positive stay
/// with those of electrode negative, for either may be what the panel counts.
fn apart(text: &str) -> (String, String) {
    let bracket = text.find(" (").and_then(|start| Some((start, start + text.get(start..)?.find(')')? + 1)));
    let parts =
        bracket.and_then(|(start, end)| Some((text.get(..start)?, text.get(start + 1..end)?, text.get(end..)?)));
    match parts {
        Some((before, inside, after)) if !inside.ends_with("EP)") && !inside.ends_with("EN)") => {
            (format!("{before}{after}"), inside.to_owned())
        }
        _ => (text.to_owned(), String::new()),
    }
}

/// The basis in words that fit the column: both where the weakest input differs.
fn basis(figure: &Figure) -> String {
    let Some(lead) = figure.basis else { return label("card-stated", &[]) };
    let short = |basis: Basis| {
        let key = match basis {
            Basis::Published => "card-published",
            Basis::Computed => "card-computed",
            Basis::CommonPractice => "card-practice",
            Basis::Memory => "card-memory",
        };
        label(key, &[])
    };
    match figure.weakest.filter(|weakest| *weakest > lead) {
        Some(weakest) => format!("{}/{}", short(lead), short(weakest)),
        None if lead == Basis::CommonPractice => label("card-common-practice", &[]),
        None => short(lead),
    }
}

/// The current of each kind of pass that differs, cold, on the way and at the limit.
fn currents(answer: &Answer<'_>) -> Vec<Row> {
    let Some(cold) = figure(answer, FigureName::Amperage) else { return Vec::new() };
    let passes = figure(answer, FigureName::Passes).map(|figure| figure.passes.as_slice()).unwrap_or_default();
    let mut kinds: Vec<&PassRow> = Vec::new();
    for pass in passes {
        if kinds.iter().all(|seen| seen.start != pass.start) {
            kinds.push(pass);
        }
    }
    let basis = basis(cold);
    let mut rows = Vec::new();
    for pass in &kinds {
        let kind = label(&format!("card-{}", pass.kind.word()), &[]);
        rows.extend(warming(answer, &kind, [pass.start, pass.running, pass.warm], &basis));
    }
    if kinds.is_empty() {
        let three = [FigureName::Amperage, FigureName::AmperageRunning, FigureName::AmperageWarm];
        let bands = three.map(|name| figure(answer, name).map_or([0.0; 3], band));
        rows = warming(answer, &label("card-first", &[]), bands, &basis);
    }
    rows
}

fn band(figure: &Figure) -> [f64; 3] {
    match figure.value {
        Value::Number(number) => [number; 3],
        Value::Range { low, high, set } => [low, set, high],
        Value::Word(_) | Value::Flag(_) => [0.0; 3],
    }
}

/// Rows of one kind of pass: at the start temperature, half way to the limit, and at the limit, where they differ.
fn warming(answer: &Answer<'_>, kind: &str, bands: [[f64; 3]; 3], basis: &str) -> Vec<Row> {
    let part = |name| {
        let line = figure(answer, name)?.working.iter().find(|line| line.words == "part-temperature")?;
        line.number
    };
    let [_, running, warm] = [FigureName::Amperage, FigureName::AmperageRunning, FigureName::AmperageWarm].map(part);
    let mut before = [0.0; 3];
    let mut rows = Vec::new();
    for (temperature, band) in
        [Some(first_arc(answer.job, &answer.worked.figures)), running, warm].into_iter().zip(bands)
    {
        if let Some(temperature) = temperature.filter(|_| band != before && band != [0.0; 3]) {
            rows.push(current(answer, kind, temperature, band, basis));
        }
        before = band;
    }
    rows
}

/// One current, never past what the panel is set to: where the pass wants more, the row says so.
fn current(answer: &Answer<'_>, kind: &str, temperature: f64, [low, set, high]: [f64; 3], basis: &str) -> Row {
    let amps = |number: f64| figures::one(FigureName::Amperage, number, answer.job.system);
    let part = show::one(celsius(temperature), answer.job.system);
    let end = figure(answer, FigureName::AmperageMax).and_then(Figure::aim).unwrap_or(f64::INFINITY);
    let (aim, range) = if set > end {
        (label("card-wants", &[&amps(set)]), label("card-ends", &[&amps(end)]))
    } else {
        (amps(set), format!("{} to {}", show::trimmed(show::number(low, 1)), amps(high.min(end))))
    };
    Row { label: label("card-pass", &[kind, &part]), aim, range, basis: basis.to_owned() }
}

fn tungsten(answer: &Answer<'_>) -> Option<Row> {
    let size = figure(answer, FigureName::TungstenDiameter)?;
    let class = figure(answer, FigureName::TungstenType).and_then(Figure::word).unwrap_or_default();
    let (aim, _) = say::figure(size, answer.job.system);
    Some(row(label("card-tungsten", &[class]).trim_end_matches([',', ' ']).to_owned(), &aim, "", basis(size)))
}

fn rod(answer: &Answer<'_>) -> Option<Row> {
    let metal = figure(answer, FigureName::FillerMetal)?;
    let (aim, _) = say::figure(metal, answer.job.system);
    let size = figure(answer, FigureName::FillerDiameter).map(|size| say::figure(size, answer.job.system).0);
    Some(Row { label: label("card-rod", &[]), aim, range: size.unwrap_or_default(), basis: basis(metal) })
}

fn cup(answer: &Answer<'_>) -> Option<Row> {
    let cup = figure(answer, FigureName::Cup)?;
    let lens = figure(answer, FigureName::GasLens).map(|lens| say::figure(lens, answer.job.system).0);
    let (aim, _) = say::figure(cup, answer.job.system);
    Some(Row { label: label("card-cup", &[]), aim, range: lens.unwrap_or_default(), basis: basis(cup) })
}

/// The limit between passes: one number, so that the other system has the column of the range.
fn limit(answer: &Answer<'_>) -> Option<Row> {
    let limit = figure(answer, FigureName::InterpassMax)?;
    let (aim, _) = say::figure(limit, answer.job.system);
    Some(row(label("card-interpass", &[]), &aim, "", basis(limit)))
}

fn gas(answer: &Answer<'_>) -> Option<Row> {
    let flow = figure(answer, FigureName::GasFlow)?;
    let name = figure(answer, FigureName::Gas).and_then(Figure::word).unwrap_or("argon");
    let key = format!("card-gas-{name}");
    let title = if name == "argon" { label(&key, &[]) } else { label("card-gas", &[name]) };
    let (aim, range) = say::figure(flow, answer.job.system);
    Some(row(title, &aim, &range, basis(flow)))
}

fn lens(answer: &Answer<'_>) -> Option<Row> {
    let shade = figure(answer, FigureName::LensShade)?;
    let (aim, range) = say::figure(shade, answer.job.system);
    let aim = shade.aim().map_or(aim, |number| label("card-lens-aim", &[&show::number(number, 0)]));
    Some(Row { label: label("card-lens", &[]), aim, range, basis: basis(shade) })
}

/// What was assumed, in one line.
fn assumed(answer: &Answer<'_>) -> String {
    let items = answer.job.assumed.iter().map(|assumed| format!("{} {}", assumed.key.replace('_', " "), assumed.value));
    items.collect::<Vec<_>>().join(", ")
}

/// Writes a row; a text that is too long for its column pushes what follows it to the next line.
fn push_row(out: &mut String, row: &Row) {
    let mut column = 0;
    for (text, at) in [(&row.label, 0), (&row.aim, AIM), (&row.range, RANGE), (&row.basis, BASIS)] {
        if text.is_empty() {
            continue;
        }
        if column > 0 && column >= at {
            out.push('\n');
            column = 0;
        }
        out.extend(std::iter::repeat_n(' ', at - column));
        out.push_str(text);
        column = at + text.chars().count();
    }
    out.push('\n');
}

/// Writes a text in lines of at most 80 columns, those after the first indented.
pub(crate) fn push_wrapped(out: &mut String, indent: &str, text: &str) {
    let mut line = String::new();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > WIDTH {
            out.push_str(&line);
            out.push('\n');
            indent.clone_into(&mut line);
        } else if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        out.push_str(&line);
        out.push('\n');
    }
}

/// Whether a line is one that a reader works along, rather than a remark beside it.
pub(crate) fn leads(kind: LineKind) -> bool {
    matches!(kind, LineKind::Input | LineKind::Step | LineKind::Adjustment)
}
