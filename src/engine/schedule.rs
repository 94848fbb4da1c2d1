//! Welding current by published schedule: the source that leads, interpolated over thickness, and the witnesses.

use super::maths::between;
use super::work::{Work, cite, constant};
use crate::reference::{Cite, Polarity, Row, Schedule, schedule};
use crate::spec::{Joint, Position};

/// A current read out of a schedule, A.
#[derive(Debug, Clone)]
pub struct Scheduled {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Thickness of the two rows it lies between, mm; the same twice at or beyond the last row.
    pub rows: (&'static Schedule, &'static Schedule),
    /// Whether the thickness lies within the rows.
    pub inside: bool,
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
pub fn lead_rows(polarity: Polarity, word: &str) -> Vec<&'static Schedule> {
    let mut rows: Vec<&Schedule> = schedule()
        .rows
        .iter()
        .filter(|row| row.leads && row.current == polarity && row.joint == word && row.position == "flat")
        .collect();
    rows.sort_by(|a, b| a.thickness.total_cmp(&b.thickness));
    rows
}

/// Reads a current for a joint and thickness (mm), without any factor.
///
/// Beyond the rows the last one is given with `inside` false: the caller decides what leads there.
#[must_use]
pub fn read(polarity: Polarity, joint: Joint, thickness: f64) -> Option<Scheduled> {
    let rows = lead_rows(polarity, read_as(joint).0);
    let (first, last) = (*rows.first()?, *rows.last()?);
    let below = rows.iter().rev().find(|row| row.thickness <= thickness).copied().unwrap_or(first);
    let above = rows.iter().find(|row| row.thickness >= thickness).copied().unwrap_or(last);
    let at = |end: usize| {
        let y = |row: &Schedule| row.amperage.get(end).copied().unwrap_or(f64::NAN);
        between(
            thickness.clamp(below.thickness, above.thickness),
            (below.thickness, y(below)),
            (above.thickness, y(above)),
        )
    };
    Some(Scheduled {
        low: at(0),
        high: at(1),
        rows: (below, above),
        inside: first.thickness <= thickness && thickness <= last.thickness,
    })
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
pub fn position_factor(polarity: Polarity, position: Position, thickness: f64) -> Option<(f64, Cite)> {
    let word = match position {
        Position::PA | Position::PB => return None,
        Position::PC | Position::PF | Position::PG => "horizontal or vertical",
        Position::PD | Position::PE => "overhead",
    };
    let rows = |position: &str| -> Vec<&'static Schedule> {
        schedule()
            .rows
            .iter()
            .filter(|row| row.current == polarity && row.joint == "butt" && row.position == position)
            .collect()
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

/// Travel speed of the schedule that leads, mm/min, held at the ends.
#[must_use]
pub fn travel(polarity: Polarity, thickness: f64) -> Option<(f64, &'static Schedule)> {
    let rows: Vec<_> = lead_rows(polarity, "butt").into_iter().filter(|row| row.travel.is_some()).collect();
    let (first, last) = (*rows.first()?, *rows.last()?);
    let below = rows.iter().rev().find(|row| row.thickness <= thickness).copied().unwrap_or(first);
    let above = rows.iter().find(|row| row.thickness >= thickness).copied().unwrap_or(last);
    let speed = between(
        thickness.clamp(below.thickness, above.thickness),
        (below.thickness, below.travel?),
        (above.thickness, above.travel?),
    );
    Some((speed, below))
}

/// Writes the reading of a schedule into a working; symbols `lo` and `hi` hold the result, A.
pub fn write(work: &mut Work, scheduled: &Scheduled) {
    let (below, above) = scheduled.rows;
    let thickness = |row: &'static Schedule| row.thickness;
    if std::ptr::eq(below, above) {
        work.row("schedule-low", "lo", below.amperage[0], "A", below.cite());
        work.row("schedule-high", "hi", below.amperage[1], "A", below.cite());
        work.with(vec![crate::units::show::number(thickness(below), 1)]);
        return;
    }
    work.row("row-below", "ta", thickness(below), "mm", below.cite());
    work.row("row-low", "la", below.amperage[0], "A", below.cite());
    work.row("row-high", "ha", below.amperage[1], "A", below.cite());
    work.row("row-above", "tb", thickness(above), "mm", above.cite());
    work.row("row-low", "lb", above.amperage[0], "A", above.cite());
    work.row("row-high", "hb", above.amperage[1], "A", above.cite());
    work.step("interpolated-low", "lo", "la + (lb - la) * (t - ta) / (tb - ta)", scheduled.low, "A");
    work.step("interpolated-high", "hi", "ha + (hb - ha) * (t - ta) / (tb - ta)", scheduled.high, "A");
}

/// Other published rows at about this thickness, as witnesses: within a tenth of it, for the same joint.
#[must_use]
pub fn witnesses(polarity: Polarity, joint: Joint, thickness: f64) -> Vec<&'static Schedule> {
    let word = read_as(joint).0;
    schedule()
        .rows
        .iter()
        .filter(|row| !row.leads && row.current == polarity && row.position == "flat")
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
