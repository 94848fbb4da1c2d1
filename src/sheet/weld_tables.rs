//! The tables of section 6: temperatures, amperage by part temperature, passes with their as-run columns.

use super::context::{Context, Say, listed};
use super::opening::reason;
use super::writer::{pair, table};
use super::{Cell, Table, show};
use crate::engine::figure::PassKind;
use crate::engine::preheat::first_arc;
use crate::engine::{Figure, FigureName, PassRow};
use crate::reference::Row;
use crate::reference::search::constant;
use crate::rules::{metals, warming};
use crate::units::{InUnits, celsius, mm, show as units_show};

/// Low, aim and high of a current, A.
pub(super) type Band = [f64; 3];

/// Passes that are run alike: their kinds, and their currents at the start, half-way and at the limit.
pub(super) struct Group {
    kinds: Vec<PassKind>,
    /// Currents at the three part temperatures.
    pub(super) bands: [Band; 3],
}

impl Group {
    /// What the passes are called together.
    pub(super) fn name(&self, context: &Context<'_>, alone: bool) -> String {
        if alone && self.kinds.len() > 1 {
            return context.word("bead", "every");
        }
        let kinds: Vec<String> = self.kinds.iter().map(|kind| context.word("bead", kind.word())).collect();
        listed(&kinds, &context.text("values", "and"))
    }
}

/// The groups of passes, in the order in which they are first run.
pub(super) fn groups(context: &Context<'_>) -> Vec<Group> {
    let mut groups: Vec<Group> = Vec::new();
    for row in context.passes() {
        let bands = [row.start, row.running, row.warm];
        match groups.iter_mut().find(|group| group.bands == bands) {
            Some(group) if group.kinds.contains(&row.kind) => {}
            Some(group) => group.kinds.push(row.kind),
            None => groups.push(Group { kinds: vec![row.kind], bands }),
        }
    }
    groups
}

/// Temperatures of the part that the currents are given for, °C: start, half-way, limit.
pub(super) fn parts(context: &Context<'_>) -> Option<[f64; 3]> {
    let start = first_arc(context.job, &context.worked.figures);
    let limit = context.figure(FigureName::InterpassMax)?.aim()?.max(start);
    // As the figure has it: rounded, and the same in every face.
    let running = context.figure(FigureName::AmperageRunning).and_then(|figure| {
        figure.working.iter().find(|line| line.words == "part-temperature").and_then(|line| line.number)
    });
    Some([start, running.unwrap_or(f64::midpoint(start, limit)).clamp(start, limit), limit])
}

/// Current of a pass at a part temperature between the three that are worked out, A: on the straight line between them.
fn aim_at(parts: [f64; 3], bands: [Band; 3], part: f64) -> f64 {
    let points = parts.into_iter().zip(bands).map(|(part, [_, aim, _])| (part, aim));
    let points: Vec<(f64, f64)> = points.collect();
    let mut found = points.first().map_or(0.0, |(_, aim)| *aim);
    for (cold, hot) in points.iter().zip(points.iter().skip(1)) {
        if part > cold.0 && hot.0 > cold.0 {
            let share = ((part - cold.0) / (hot.0 - cold.0)).min(1.0);
            found = cold.1 + share * (hot.1 - cold.1);
        }
    }
    found
}

/// The most that the panel gives, A.
pub(super) fn ceiling(context: &Context<'_>) -> f64 {
    context.figure(FigureName::AmperageMax).and_then(Figure::aim).unwrap_or(f64::INFINITY)
}

/// Whether a pass asks for more than the set has while the part is cold.
pub(super) fn wants_warmth(context: &Context<'_>, bands: &[Band; 3]) -> bool {
    warming::wants_warmth(context.worked, bands)
}

/// Part temperature from which the set is big enough, °C; none where it is so cold.
pub(super) fn warm_from(context: &Context<'_>) -> Option<f64> {
    warming::warm_from(context.worked)
}

/// A temperature in both systems.
pub(super) fn degrees(context: &Context<'_>, value: f64, toward: units_show::Toward) -> String {
    units_show::limit_both(celsius(value), context.system(), toward)
}

/// From one temperature to another, in both systems, rounded to the safe side.
pub(super) fn between(context: &Context<'_>, low: f64, high: f64) -> String {
    units_show::limits_both(crate::units::Range::new(celsius(low), celsius(high)), context.system())
}

fn or_less(context: &Context<'_>, value: f64) -> String {
    let text = degrees(context, value, units_show::Toward::Down);
    context.cell(&Say::of("values", "or-less").with("0", text)).text
}

fn or_more(context: &Context<'_>, value: f64) -> String {
    let text = degrees(context, value, units_show::Toward::Up);
    context.cell(&Say::of("values", "or-more").with("0", text)).text
}

/// When a pass may start: the words for it.
pub(super) fn may_start(context: &Context<'_>, warm: bool) -> String {
    let resume = context.figure(FigureName::ResumeBelow).and_then(Figure::aim);
    let never = context.figure(FigureName::InterpassMax).and_then(Figure::aim);
    let metal = metals::kept_warm(context.job, context.worked);
    match (metal.or_else(|| warm.then(|| warm_from(context)).flatten()), resume, never) {
        // A part that is kept warm starts its next bead with room for what that bead brings.
        (Some(from), Some(resume), _) if metal.is_some() && from < resume => between(context, from, resume),
        (Some(from), _, Some(never)) if from < never => between(context, from, never),
        (Some(from), ..) => or_more(context, from),
        (None, Some(resume), _) => or_less(context, resume),
        (None, None, Some(never)) => or_less(context, never),
        (None, None, None) => context.blank(),
    }
}

/// The table of temperatures.
pub(super) fn temperatures(context: &Context<'_>) -> Table {
    let mut table = table(context, "temperatures", &["temperature", "value", "basis"], &[1]);
    let mut row = |item: &str, value: String, basis: Cell| {
        let mut cells = pair(context, item, context.plain(value));
        cells.push(basis);
        table.rows.push(cells);
    };
    let basis = |name| context.basis_cell(context.figure(name));
    let groups = groups(context);
    let mixed = groups.iter().any(|group| wants_warmth(context, &group.bands))
        && groups.iter().any(|group| !wants_warmth(context, &group.bands));
    if mixed {
        row("root-start", may_start(context, false), basis(FigureName::ResumeBelow));
        row("fill-start", may_start(context, true), basis(FigureName::Preheat));
    } else {
        let warm = groups.first().is_some_and(|group| wants_warmth(context, &group.bands));
        let warm = warm || metals::kept_warm(context.job, context.worked).is_some();
        let name = if warm { FigureName::Preheat } else { FigureName::ResumeBelow };
        row("pass-start", may_start(context, warm), basis(name));
    }
    let figure = |name| context.figure(name).map(|figure| show::figure_text(figure, context.system()));
    if let Some((never, _)) = figure(FigureName::InterpassMax) {
        row("never-above", never, basis(FigureName::InterpassMax));
    }
    if let Some(most) = context.figure(FigureName::Preheat).and_then(|figure| figure.maximum) {
        row("preheat-most", degrees(context, most, units_show::Toward::Down), basis(FigureName::InterpassMax));
    }
    if let Some(text) = hard_limit(context) {
        row("hard-limit", text, basis(FigureName::InterpassMax));
    }
    if let Some((preheat, range)) = figure(FigureName::Preheat).filter(|_| warm_from(context).is_none()) {
        let preheat = if drying_alone(context) {
            context.text("values", "drying-alone")
        } else if range.is_empty() || context.figure(FigureName::Preheat).is_some_and(|f| f.word().is_some()) {
            preheat
        } else {
            range
        };
        row("preheat", preheat, basis(FigureName::Preheat));
    }
    let pause = figure(FigureName::ArcMinutesBeforePause).map_or_else(String::new, |(pause, _)| pause);
    row("pause", pause, basis(FigureName::ArcMinutesBeforePause));
    for (name, key) in [(FigureName::CoolingTime, "cooling-time"), (FigureName::Ferrite, "ferrite")] {
        if let Some((value, range)) = figure(name) {
            let text = if range.is_empty() { value } else { range };
            row(key, text, basis(name));
        }
    }
    let (at, at_basis) = measure_at(context);
    row("measure-at", at, at_basis);
    row("measure-with", measure_with(context), Cell { basis: "CP".to_owned(), ..Cell::default() });
    table
}

/// Whether the preheat is drying heat, which belongs to section 5.
pub(super) fn drying_alone(context: &Context<'_>) -> bool {
    let figure = context.figure(FigureName::Preheat).filter(|figure| figure.basis.is_some());
    figure.is_some_and(|figure| figure.working.iter().any(|line| line.words == "drying-heat"))
}

/// The limit above the one that a pass starts under, with the time that it may last.
fn hard_limit(context: &Context<'_>) -> Option<String> {
    let figure = context.figure(FigureName::InterpassMax)?;
    let hard = figure.maximum.filter(|hard| figure.aim().is_some_and(|aim| *hard > aim))?;
    let text = degrees(context, hard, units_show::Toward::Down);
    let line = figure.working.iter().find(|line| line.words == "interpass-hard-limit");
    let minutes = line.and_then(|line| line.args.first()).and_then(|minutes| minutes.parse::<f64>().ok());
    Some(match minutes {
        Some(minutes) => {
            let say = Say::of("values", "no-hotter").with("0", text).with("1", show::bare(minutes, "min"));
            context.cell(&say).text
        }
        None => text,
    })
}

/// Where the temperature is read: so many walls from the groove, on the welder's side.
fn measure_at(context: &Context<'_>) -> (String, Cell) {
    let part = context.part(FigureName::ResumeBelow, "measure-at");
    let cites: Vec<_> = constant("measure-walls").map(Row::cite).into_iter().collect();
    let computed = constant("measure-walls").zip(constant("measure-most")).zip(context.job.thickness);
    let distance = part
        .map(|(distance, _)| distance)
        .or_else(|| computed.map(|((walls, most), wall)| (walls.value * wall).min(most.value)));
    let Some(distance) = distance else { return (String::new(), Cell::default()) };
    let text = units_show::both(mm(distance), context.system());
    let cell = context.cell(&Say::of("values", "measure-at").with("0", text).cite(cites));
    (cell.text.clone(), Cell { text: String::new(), ..cell })
}

fn measure_with(context: &Context<'_>) -> String {
    let Some(kit) = context.kit() else { return context.text("advice", "probe/with") };
    // The stick that melts last before the limit is the one that warns.
    let limit = context.figure(FigureName::InterpassMax).and_then(Figure::aim).unwrap_or(f64::INFINITY);
    // One that melts long before that tells nothing.
    let from = context.figure(FigureName::ResumeBelow).and_then(Figure::aim).unwrap_or(0.0).min(limit);
    let held = kit.measure.temperature_sticks.iter();
    let below = held.filter(|at| (from - 0.5..=limit + 0.5).contains(&at.value.value().in_celsius()));
    let stick = below.max_by(|a, b| a.value.value().in_celsius().total_cmp(&b.value.value().in_celsius()));
    let sticks = stick.map_or_else(String::new, |at| units_show::stated(&at.value));
    let probe = kit.measure.temperature.is_some();
    let key = match (probe, sticks.is_empty()) {
        (_, true) => "probe/with",
        (true, false) => "probe/with-sticks",
        (false, false) => "probe/sticks",
    };
    context.cell(&Say::of("advice", key).with("sticks", sticks)).text
}

/// A current as it is printed.
pub(super) fn amps(context: &Context<'_>, value: f64) -> String {
    show::one(FigureName::Amperage, value, context.system())
}

/// The table of amperage by the temperature of the part.
pub(super) fn amperage(context: &Context<'_>) -> Table {
    let mut table = table(context, "amperage", &["part-reads"], &[]);
    let groups = groups(context);
    let Some(parts) = parts(context).filter(|_| !groups.is_empty()) else { return plain_amperage(context, table) };
    for group in &groups {
        let kind = capital(&group.name(context, groups.len() == 1));
        for head in ["aim", "band"] {
            let say = Say::of("sections", format!("head/{head}")).with("kind", kind.clone());
            table.head.push(context.cell(&say).text);
        }
    }
    table.head.push(context.text("sections", "head/basis"));
    for (index, part) in parts.into_iter().enumerate() {
        let mut cells = vec![context.plain(units_show::both(celsius(part), context.system()))];
        for group in &groups {
            let Some(band) = group.bands.get(index) else { continue };
            cells.extend(band_cells(context, *band, wants_warmth(context, &group.bands)));
        }
        cells.push(context.basis_cell(context.figure(FigureName::Amperage)));
        table.rows.push(cells);
    }
    table.rows.dedup_by(|a, b| a.first() == b.first());
    table
}

/// Aim and range of a band, cut at what the panel gives.
fn band_cells(context: &Context<'_>, [low, aim, high]: Band, warmed: bool) -> [Cell; 2] {
    let ceiling = ceiling(context);
    if aim > ceiling {
        let key = if warmed { "set-cannot" } else { "set-never" };
        let say = Say::of("values", key).with("0", amps(context, aim)).with("1", limited_by(context));
        return [context.cell(&say), Cell::default()];
    }
    let range = range_text(context, low.min(ceiling), high.min(ceiling));
    [context.plain(amps(context, aim)), context.plain(range)]
}

/// What ends the panel maximum: the name of the torch or of the set.
pub(super) fn limited_by(context: &Context<'_>) -> String {
    let lines = context.figure(FigureName::AmperageMax).map_or(&[][..], |figure| figure.working.as_slice());
    let line = lines.iter().rev().find(|line| matches!(line.words, "torch-ends" | "machine-ends"));
    line.and_then(|line| line.args.first().cloned()).unwrap_or_else(|| context.text("values", "this-set"))
}

fn range_text(context: &Context<'_>, low: f64, high: f64) -> String {
    use crate::units::{Range, amps};
    units_show::range_both(Range::new(amps(low), amps(high)), context.system())
}

/// The three amperages alone, where no pass was worked out.
fn plain_amperage(context: &Context<'_>, mut table: Table) -> Table {
    for head in ["set", "range", "basis"] {
        table.head.push(context.text("sections", &format!("head/{head}")));
    }
    for name in [FigureName::Amperage, FigureName::AmperageRunning, FigureName::AmperageWarm] {
        let Some(figure) = context.figure(name) else { continue };
        let (set, range) = show::figure_text(figure, context.system());
        let title = context.text("figures", &format!("{}/title", name.key()));
        table.rows.push(vec![
            context.plain(title),
            context.plain(set),
            context.plain(range),
            context.basis_cell(Some(figure)),
        ]);
    }
    if table.rows.is_empty() {
        let reason = context.cell(&Say::of("values", "not-worked-out").with("0", reason(context)));
        table.rows.push(vec![reason, Cell::default(), Cell::default(), Cell::default()]);
        table.fill = vec![1, 2];
    }
    table
}

/// A word with a capital at its head.
pub(super) fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The pass table.
pub(super) fn passes(context: &Context<'_>) -> Table {
    let heads =
        ["pass", "side-bead", "pool", "fill-to", "part-before", "pass-aim", "part-read", "run-at", "ran-clean", "by"];
    let mut table = table(context, "passes", &heads, &[6, 7, 8, 9]);
    for row in context.passes() {
        table.rows.push(pass(context, row));
    }
    if table.rows.is_empty() {
        table.fill = (1..heads.len()).collect();
        for number in 1..=4 {
            let number = context.plain(units_show::number(f64::from(number), 0));
            table.rows.push(std::iter::once(number).chain(heads.iter().skip(1).map(|_| Cell::default())).collect());
        }
    }
    table
}

fn pass(context: &Context<'_>, row: &PassRow) -> Vec<Cell> {
    let bands = [row.start, row.running, row.warm];
    let warm = wants_warmth(context, &bands);
    let bead = format!("{}, {}", row.side, bead(context, row));
    let pool = if row.pool > 0.0 { pool(context, row.pool) } else { String::new() };
    let texts = [
        units_show::number(f64::from(row.number), 0),
        bead,
        pool,
        row.fill_to.map_or_else(String::new, |depth| fill_to(context, depth)),
        may_start(context, warm),
        aims(context, bands, warm),
    ];
    texts.into_iter().map(|text| context.plain(text)).chain((0..4).map(|_| Cell::default())).collect()
}

/// What a pass is called: the only one of its side is root and cap in one.
pub(super) fn bead(context: &Context<'_>, row: &PassRow) -> String {
    let alone = context.passes().iter().filter(|other| other.side == row.side).count() == 1;
    let key = match row.kind {
        PassKind::Root if alone => "alone",
        PassKind::Pad => "layer",
        kind => kind.word(),
    };
    context.word("bead", key)
}

/// The width of a pool as an eye can tell it.
pub(super) fn pool(context: &Context<'_>, width: f64) -> String {
    show::by_hand(units_show::round_to(width, 0.5, units_show::Toward::Nearest), context.system())
}

fn fill_to(context: &Context<'_>, depth: f64) -> String {
    let length = |value: f64| show::by_hand(value, context.system());
    let (key, value) = if libm::fabs(depth) < 0.05 {
        return context.text("values", "flush");
    } else if depth < 0.0 {
        ("proud", -depth)
    } else {
        ("below-face", depth)
    };
    context.cell(&Say::of("values", key).with("0", length(value))).text
}

/// From the aim of the coldest part that may start to that of the warmest: the column beside it says which those are.
fn aims(context: &Context<'_>, bands: [Band; 3], wants_warmth: bool) -> String {
    let ceiling = ceiling(context);
    let [start, running, [_, at_limit, _]] = bands;
    let [_, first, _] = if wants_warmth { running } else { start };
    let resume = context.figure(FigureName::ResumeBelow).and_then(Figure::aim).filter(|_| !wants_warmth);
    let wanted = parts(context).zip(resume).map_or(at_limit, |(parts, resume)| {
        crate::engine::work::round(FigureName::Amperage, aim_at(parts, bands, resume))
    });
    let (from, to) = (first.min(ceiling), wanted.min(ceiling));
    if wanted > ceiling {
        let say = Say::of("values", "set-never").with("0", amps(context, wanted));
        return context.cell(&say.with("1", limited_by(context))).text;
    }
    if libm::fabs(from - to) < 0.5 {
        return amps(context, from);
    }
    let numbers = |value: f64| units_show::number(value, 0);
    context.cell(&Say::of("values", "from-to-amps").with("0", numbers(from)).with("1", amps(context, to))).text
}

/// Aim of the first pass on the edge, as a share of its aim far from it; none where nothing is known of it.
pub(super) fn edge_share(context: &Context<'_>) -> Option<Vec<f64>> {
    let figure = context.figure(FigureName::Amperage)?;
    let line = figure.working.iter().find(|line| line.words == "edge-shares")?;
    line.args.iter().map(|share| share.parse().ok()).collect()
}
