//! Many runs of one procedure together: what each came to, and per pass the real amperage against the range.

use super::bands::{PassBands, rows};
use super::propose::{self, Proposal};
use super::statistics::Statistics;
use super::{Against, Comparison, Verdict};
use serde::Serialize;

/// A run in one line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RunLine {
    /// Name of its file.
    pub name: String,
    /// Date of the work.
    pub date: String,
    /// Who welded.
    pub welder: String,
    /// Attempt as stated.
    pub attempt: Option<i64>,
    /// Items inside.
    pub inside: usize,
    /// Items outside.
    pub outside: usize,
    /// Items missing, and inspections and holds that were passed by.
    pub missing: usize,
    /// Items rejected.
    pub rejected: usize,
    /// Whether the finished weld was looked at and accepted.
    pub accepted: bool,
    /// Passes that were dug out.
    pub dug_out: Vec<i64>,
}

/// What one run did in a pass.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Reading {
    /// Number of the run in the list, from 0.
    pub run: usize,
    /// Current, A; the middle where a range was noted.
    pub amperage: f64,
    /// Part before the pass, °C.
    pub start_temperature: Option<f64>,
    /// The sheet's range at that temperature, A.
    pub range: Option<[f64; 2]>,
    /// Whether it lies inside; unknown without a range.
    pub inside: Option<bool>,
    /// Whether the pass was dug out.
    pub dug_out: bool,
    /// Whether the finished weld of that run was accepted.
    pub accepted: bool,
}

/// A pass over all runs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PassSummary {
    /// Its number.
    pub number: i64,
    /// `root`, `fill`, `cap`, `pad`; empty for a pass that is not on the sheet.
    pub kind: &'static str,
    /// Runs that recorded it.
    pub runs: usize,
    /// Runs in which it was dug out.
    pub dug_out: usize,
    /// Real current over all runs, A.
    pub amperage: Option<Statistics>,
    /// From the lowest to the highest end of the range over all temperatures, A.
    pub span: Option<[f64; 2]>,
    /// The readings, run by run.
    pub readings: Vec<Reading>,
}

/// Many runs of one procedure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Summary {
    /// Number of the procedure.
    pub number: String,
    /// Its revision.
    pub revision: String,
    /// Title of the sheet.
    pub title: String,
    /// Seal of the sheet.
    pub seal: String,
    /// The runs, in the order in which they were given.
    pub runs: Vec<RunLine>,
    /// The passes, by number.
    pub passes: Vec<PassSummary>,
    /// What may be worth a change of the spec; nothing is changed by it.
    pub proposals: Vec<Proposal>,
}

/// Puts runs together, each with the name of its file.
#[must_use]
pub fn summarize(against: &Against<'_>, runs: &[(String, Comparison)]) -> Summary {
    let sheet = against.sheet;
    let mut numbers: Vec<i64> = rows(against.worked).iter().map(|row| i64::from(row.number)).collect();
    numbers.extend(runs.iter().flat_map(|(_, run)| run.passes.iter().map(|pass| pass.number)));
    numbers.sort_unstable();
    numbers.dedup();
    let passes: Vec<PassSummary> = numbers.into_iter().map(|number| pass(against, number, runs)).collect();
    let proposals = passes.iter().filter_map(|pass| propose::of(pass, bands(against, pass.number)?)).collect();
    Summary {
        number: sheet.number.clone(),
        revision: sheet.revision.clone(),
        title: sheet.title.clone(),
        seal: sheet.seal.clone(),
        runs: runs.iter().map(|(name, run)| line(name, run)).collect(),
        passes,
        proposals,
    }
}

fn bands(against: &Against<'_>, number: i64) -> Option<PassBands> {
    let rows = rows(against.worked);
    let row = rows.iter().find(|row| i64::from(row.number) == number);
    match row {
        Some(row) => Some(PassBands::of(against.job, against.worked, row)),
        None if rows.is_empty() => PassBands::plain(against.job, against.worked),
        None => None,
    }
}

fn line(name: &str, run: &Comparison) -> RunLine {
    RunLine {
        name: name.to_owned(),
        date: run.date.clone(),
        welder: run.welder.clone(),
        attempt: run.attempt,
        inside: run.count(Verdict::Inside),
        outside: run.count(Verdict::Outside),
        missing: run.count(Verdict::Missing) + run.count(Verdict::NotDone),
        rejected: run.count(Verdict::Rejected),
        accepted: run.accepted(),
        dug_out: run.passes.iter().filter(|pass| pass.dug_out).map(|pass| pass.number).collect(),
    }
}

fn pass(against: &Against<'_>, number: i64, runs: &[(String, Comparison)]) -> PassSummary {
    let row = rows(against.worked).iter().find(|row| i64::from(row.number) == number);
    let recorded: Vec<_> = runs
        .iter()
        .enumerate()
        .filter_map(|(at, (_, run))| Some((at, run.accepted(), run.passes.iter().find(|pass| pass.number == number)?)))
        .collect();
    let readings: Vec<Reading> = recorded
        .iter()
        .filter_map(|(run, accepted, pass)| {
            let [low, high] = pass.amperage?;
            let inside = pass.range.map(|[least, most]| least <= low && high <= most);
            Some(Reading {
                run: *run,
                amperage: f64::midpoint(low, high),
                start_temperature: pass.start_temperature,
                range: pass.range,
                inside,
                dug_out: pass.dug_out,
                accepted: *accepted,
            })
        })
        .collect();
    let currents: Vec<f64> = readings.iter().map(|reading| reading.amperage).collect();
    PassSummary {
        number,
        kind: row.map_or("", |row| row.kind.word()),
        runs: recorded.len(),
        dug_out: recorded.iter().filter(|(.., pass)| pass.dug_out).count(),
        amperage: Statistics::of(&currents),
        span: bands(against, number).map(|bands| bands.span()),
        readings,
    }
}
