//! Welding current by published schedule: the source that leads, interpolated over thickness, and the witnesses.

use super::job::Job;
use super::maths::between;
use super::work::{Work, cite, constant};
use crate::reference::{Alloy, Basis, Cite, Class, Polarity, Row, Schedule, Travel, schedule};
use crate::spec::{Joint, Position};

/// Which schedules are read: those of a kind of metal on a current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Of {
    /// The kind of metal.
    pub class: Class,
    /// The word of the tables.
    metal: &'static str,
    /// The current.
    pub polarity: Polarity,
}

impl Of {
    /// Those of an alloy. Steels that are alloyed a little melt as plain steel does; what is printed for copper is not
    /// for brass and bronze, which carry a fraction of the heat off.
    #[must_use]
    pub fn alloy(alloy: &Alloy, polarity: Polarity) -> Of {
        let metal = match alloy.class {
            class if class.is_steel() => "steel",
            Class::Copper if alloy.family != "copper" => "bronze",
            class => class.word(),
        };
        Of { class: alloy.class, metal, polarity }
    }

    /// Those of the base metal of a job.
    #[must_use]
    pub fn job(job: &Job<'_>, polarity: Polarity) -> Of {
        let aluminium = Of { class: Class::Aluminium, metal: Class::Aluminium.word(), polarity };
        job.base.candidates.first().map_or(aluminium, |alloy| Of::alloy(alloy, polarity))
    }

    /// Whether a row is of this metal and current.
    fn holds(self, row: &Schedule) -> bool {
        row.metal == self.metal && row.current == self.polarity
    }

    /// The metal whose rows stand in, where a row is of another metal than this one.
    #[must_use]
    pub fn other_metal(self, row: &'static Schedule) -> Option<&'static str> {
        (row.metal != self.metal).then_some(row.metal.as_str())
    }

    /// Where a metal has no rows of its own for a joint, those of the metal that melts most like it.
    fn stand_in(self) -> Option<Of> {
        self.class.is_steel().then_some(Of { class: Class::Stainless, metal: Class::Stainless.word(), ..self })
    }
}

/// A current read out of a schedule, A.
#[derive(Debug, Clone)]
pub struct Scheduled {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The ends that the source that leads prints.
    pub lead: [f64; 2],
    /// Thickness of the two rows it lies between, mm; the same twice at or beyond the last row.
    pub rows: (&'static Schedule, &'static Schedule),
    /// Whether the thickness lies within the rows.
    pub inside: bool,
    /// How much further apart the published sources lie than the one that leads; none where they agree, and for
    /// aluminium, whose lead the other method bears out.
    pub spread: Option<Spread>,
}

impl Scheduled {
    /// These ends, widened to what the other published sources print, A.
    #[must_use]
    pub fn widened(&self, (low, high): (f64, f64)) -> (f64, f64) {
        self.spread.as_ref().map_or((low, high), |spread| (low.min(spread.low), high.max(spread.high)))
    }
}

/// The lowest and the highest of what published sources print beside the one that leads, A.
#[derive(Debug, Clone)]
pub struct Spread {
    /// Lowest end.
    pub low: f64,
    /// Who prints it.
    pub low_cite: Cite,
    /// Highest end.
    pub high: f64,
    /// Who prints it.
    pub high_cite: Cite,
}

/// The word of the schedule tables and the key of the factor by which a joint is read out of them.
fn read_as(joint: Joint) -> (&'static str, Option<&'static str>) {
    match joint {
        Joint::Fillet => ("fillet", None),
        Joint::Lap => ("butt", Some("joint-factor-lap")),
        Joint::Corner => ("butt", Some("joint-factor-corner")),
        Joint::Edge => ("butt", Some("joint-factor-edge")),
        Joint::Butt | Joint::Groove | Joint::Pad | Joint::Plug => ("butt", None),
    }
}

/// Rows of the source that leads for this current and joint, thin to thick.
#[must_use]
pub fn lead_rows(of: Of, word: &str) -> Vec<&'static Schedule> {
    let own = rows_of(of, word, |row| row.leads);
    match of.stand_in() {
        Some(other) if own.is_empty() => rows_of(other, word, |row| row.leads),
        _ => own,
    }
}

fn rows_of(of: Of, word: &str, wanted: impl Fn(&Schedule) -> bool) -> Vec<&'static Schedule> {
    let flat = |row: &&Schedule| of.holds(row) && row.joint == word && row.position == "flat";
    let mut rows: Vec<&Schedule> = schedule().rows.iter().filter(flat).filter(|row| wanted(row)).collect();
    rows.sort_by(|a, b| a.thickness.total_cmp(&b.thickness));
    rows
}

/// The two rows that a thickness (mm) lies between, and what they come to there, A; held at the ends.
fn interpolated(
    rows: &[&'static Schedule],
    thickness: f64,
) -> Option<((&'static Schedule, &'static Schedule), [f64; 2])> {
    let (first, last) = (*rows.first()?, *rows.last()?);
    let below = rows.iter().rev().find(|row| row.thickness <= thickness).copied().unwrap_or(first);
    let above = rows.iter().find(|row| row.thickness >= thickness).copied().unwrap_or(last);
    let within = thickness.clamp(below.thickness, above.thickness);
    let at = |low: f64, high: f64| between(within, (below.thickness, low), (above.thickness, high));
    let [low, high] = [0, 1].map(|end| {
        let y = |row: &Schedule| row.amperage.get(end).copied().unwrap_or(f64::NAN);
        at(y(below), y(above))
    });
    Some(((below, above), [low, high]))
}

/// What published sources beside the lead print at this thickness (mm), where they pass the ends of the lead, A.
fn spread(of: Of, word: &str, thickness: f64, (low, high): (f64, f64)) -> Option<Spread> {
    let witness = |row: &Schedule| !row.leads && row.basis == Basis::Published;
    let mut rows = rows_of(of, word, witness);
    // What is printed for stainless steel bears witness for plain steel, whose own rows are few.
    rows.extend(of.stand_in().into_iter().flat_map(|other| rows_of(other, word, witness)));
    rows.sort_by(|a, b| a.thickness.total_cmp(&b.thickness));
    let mut sources: Vec<&str> = rows.iter().map(|row| row.source.as_str()).collect();
    sources.dedup();
    sources.sort_unstable();
    sources.dedup();
    let mut widest: Option<Spread> = None;
    for source in sources {
        let own: Vec<_> = rows.iter().copied().filter(|row| row.source == source).collect();
        let covers = own.first()?.thickness <= thickness && thickness <= own.last()?.thickness;
        let Some(((below, _), [from, to])) = interpolated(&own, thickness).filter(|_| covers) else { continue };
        let found = widest.get_or_insert_with(|| Spread {
            low: from,
            low_cite: below.cite(),
            high: to,
            high_cite: below.cite(),
        });
        if from < found.low {
            (found.low, found.low_cite) = (from, below.cite());
        }
        if to > found.high {
            (found.high, found.high_cite) = (to, below.cite());
        }
    }
    widest.filter(|spread| spread.low < low || spread.high > high)
}

/// Reads a current for a joint and thickness (mm), without any factor.
///
/// Beyond the rows the last one is given with `inside` false: the caller decides what leads there.
#[must_use]
pub fn read(of: Of, joint: Joint, thickness: f64) -> Option<Scheduled> {
    let word = read_as(joint).0;
    let rows = lead_rows(of, word);
    let (rows_there, [low, high]) = interpolated(&rows, thickness)?;
    let inside = rows.first()?.thickness <= thickness && thickness <= rows.last()?.thickness;
    let held = if inside { (low, high) } else { (f64::INFINITY, f64::NEG_INFINITY) };
    let spread = (of.class != Class::Aluminium).then(|| spread(of, word, thickness, held)).flatten();
    let mut scheduled = Scheduled { low, high, rows: rows_there, inside, spread, lead: [low, high] };
    if inside {
        (scheduled.low, scheduled.high) = scheduled.widened((low, high));
    }
    Some(scheduled)
}

/// Key of the factor that a joint puts on the butt rows, where it has no rows of its own.
#[must_use]
pub fn joint_factor(joint: Joint) -> Option<&'static str> {
    read_as(joint).1
}

/// Factor of the position on a schedule pass, never rising with thickness.
///
/// It is read out of the rows of one source that gives both positions: middle of the range in position over the
/// middle when flat, at the same thickness. Falls with thickness; thinner rows hold the larger value.
#[must_use]
pub fn position_factor(of: Of, position: Position, thickness: f64) -> Option<(f64, Cite)> {
    let word = match position {
        Position::PA | Position::PB => return None,
        Position::PC | Position::PF | Position::PG => "horizontal or vertical",
        Position::PD | Position::PE => "overhead",
    };
    let rows = |position: &str| -> Vec<&'static Schedule> {
        schedule().rows.iter().filter(|row| of.holds(row) && row.joint == "butt" && row.position == position).collect()
    };
    let mut points: Vec<(f64, f64, &'static Schedule)> = Vec::new();
    let flat = rows("flat");
    for row in rows(word) {
        let twin = flat.iter().find(|flat| flat.source == row.source && (flat.thickness - row.thickness).abs() < 0.01);
        if let Some(twin) = twin {
            points.push((
                row.thickness,
                (row.amperage[0] + row.amperage[1]) / (twin.amperage[0] + twin.amperage[1]),
                row,
            ));
        }
    }
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut lowest = 1.0_f64;
    for point in &mut points {
        lowest = lowest.min(point.1);
        point.1 = lowest;
    }
    let first = points.first()?;
    let last = points.last()?;
    let below = points.iter().rev().find(|point| point.0 <= thickness).unwrap_or(first);
    let above = points.iter().find(|point| point.0 >= thickness).unwrap_or(last);
    let factor = between(thickness.clamp(below.0, above.0), (below.0, below.1), (above.0, above.1));
    Some((factor, below.2.cite()))
}

/// Travel speed at a thickness (mm), mm/min, held at the ends: of the schedule that leads, else of another published one,
/// else of the table of travel.
#[must_use]
pub fn travel(of: Of, thickness: f64) -> Option<(f64, Cite)> {
    let of_schedule = |wanted: &dyn Fn(&Schedule) -> bool| {
        let rows = rows_of(of, "butt", |row| row.travel.is_some() && wanted(row));
        let ((below, above), _) = interpolated(&rows, thickness)?;
        let within = thickness.clamp(below.thickness, above.thickness);
        let speed = between(within, (below.thickness, below.travel?), (above.thickness, above.travel?));
        Some((speed, below.cite()))
    };
    let published = |row: &Schedule| row.basis == Basis::Published && row.gas == "argon";
    of_schedule(&|row| row.leads)
        .or_else(|| of_schedule(&published).filter(|_| of.class != Class::Aluminium))
        .or_else(|| of_table(of.class, thickness))
}

/// Middle of the row of the table of travel that holds for this kind of metal and lies nearest to a thickness (mm).
fn of_table(class: Class, thickness: f64) -> Option<(f64, Cite)> {
    let away = |row: &&Travel| {
        let [low, high] = row.thickness;
        (low - thickness).max(thickness - high).max(0.0)
    };
    let rows = crate::reference::travel().rows.iter().filter(|row| row.classes.contains(&class));
    let row = rows.min_by(|a, b| away(a).total_cmp(&away(b)))?;
    Some((f64::midpoint(row.speed[0], row.speed[1]), row.cite()))
}

/// The row whose cup and gas a metal takes that drinks in air while it is hot, titanium: of the schedule that leads, at
/// this thickness (mm) or the next above. None for other metals, whose gas goes by the current.
#[must_use]
pub fn gas_row(of: Of, thickness: f64) -> Option<&'static Schedule> {
    let rows = if of.class == Class::Titanium { lead_rows(of, "butt") } else { Vec::new() };
    let above = rows.iter().find(|row| row.thickness >= thickness).or(rows.last()).copied();
    above.filter(|row| row.bore.is_some() && row.flow.is_some())
}

/// Writes the reading of a schedule into a working; symbols `lo` and `hi` hold the result, A.
pub fn write(work: &mut Work, scheduled: &Scheduled) {
    let (below, above) = scheduled.rows;
    let thickness = |row: &'static Schedule| row.thickness;
    if std::ptr::eq(below, above) {
        work.row("schedule-low", "lo", below.amperage[0], "A", below.cite());
        work.row("schedule-high", "hi", below.amperage[1], "A", below.cite());
        work.with(vec![crate::units::show::number(thickness(below), 1)]);
        write_inside(work, scheduled);
        return;
    }
    work.row("row-below", "ta", thickness(below), "mm", below.cite());
    work.row("row-low", "la", below.amperage[0], "A", below.cite());
    work.row("row-high", "ha", below.amperage[1], "A", below.cite());
    work.row("row-above", "tb", thickness(above), "mm", above.cite());
    work.row("row-low", "lb", above.amperage[0], "A", above.cite());
    work.row("row-high", "hb", above.amperage[1], "A", above.cite());
    work.step("interpolated-low", "lo", "la + (lb - la) * (t - ta) / (tb - ta)", scheduled.lead[0], "A");
    work.step("interpolated-high", "hi", "ha + (hb - ha) * (t - ta) / (tb - ta)", scheduled.lead[1], "A");
    write_inside(work, scheduled);
}

fn write_inside(work: &mut Work, scheduled: &Scheduled) {
    if scheduled.inside {
        write_spread(work, scheduled, (scheduled.low, scheduled.high));
    }
}

/// Writes that the ends `lo` and `hi`, A, were widened to what the other published sources print.
pub fn write_spread(work: &mut Work, scheduled: &Scheduled, (low, high): (f64, f64)) {
    let Some(spread) = &scheduled.spread else { return };
    work.row("others-low", "ol", spread.low, "A", spread.low_cite.clone());
    work.row("others-high", "oh", spread.high, "A", spread.high_cite.clone());
    work.step("widened-low", "lo", "min(lo, ol)", low, "A");
    work.step("widened-high", "hi", "max(hi, oh)", high, "A");
}

/// Other published rows at about this thickness, as witnesses: within a tenth of it, for the same joint.
#[must_use]
pub fn witnesses(of: Of, joint: Joint, thickness: f64) -> Vec<&'static Schedule> {
    let word = read_as(joint).0;
    schedule()
        .rows
        .iter()
        .filter(|row| !row.leads && of.holds(row) && row.position == "flat")
        .filter(|row| row.joint == word || (word == "butt" && row.joint == "square butt"))
        .filter(|row| (row.thickness - thickness).abs() <= 0.1 * thickness)
        .collect()
}

/// The rule of thumb: about 1 A for each thousandth of an inch, A; none above the thickness that it holds for.
#[must_use]
pub fn rule_of_thumb(thickness: f64) -> Option<(f64, Cite)> {
    let rule = constant("rule-of-thumb");
    let limit = rule.range.map_or(f64::INFINITY, |range| range[1]);
    (thickness <= limit).then(|| (rule.value * thickness, cite("rule-of-thumb")))
}
