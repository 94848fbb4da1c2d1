//! When runs say that a range might be narrowed or moved, and to what. Nothing here changes a range: whoever answers for
//! the procedure decides.
//!
//! Asked are the runs of a pass with a current and a part temperature, whose weld was accepted and in which the pass was
//! not dug out: five at least. Of each, its place `x` in the range at its temperature is taken: 0 at the lower end, 1 at
//! the upper.
//!
//! *Narrow*: all of them lie in the range, and all in one half of it. From the least to the most of `x`, with the spread
//! of the middle half added at each end and cut at the old ends; the same share at every part temperature, ends rounded
//! outwards to 5 A.
//!
//! *Move*: half of them or more lie outside on one side, and none on the other. By the median of how far each lies from
//! the middle of its range, rounded to 5 A, at every part temperature alike; cut at what set and torch give.

use super::bands::PassBands;
use super::statistics::Statistics;
use super::summary::PassSummary;
use crate::reference::search::constant;
use crate::units::show::{Toward, round_to};
use serde::Serialize;

/// What is proposed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Move {
    /// A part of the range would do.
    Narrow,
    /// The range lies beside what is really run.
    Shift,
}

/// A proposal for the range of a pass.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proposal {
    /// Number of the pass.
    pub pass: i64,
    /// What is proposed.
    pub kind: Move,
    /// Runs that it rests on.
    pub runs: usize,
    /// Part temperatures, °C: start, half way, limit.
    pub parts: [f64; 3],
    /// The ranges of the sheet at these, A.
    pub present: [[f64; 2]; 3],
    /// The ranges that are proposed, A.
    pub proposed: [[f64; 2]; 3],
}

fn value(key: &str) -> f64 {
    constant(key).map_or(f64::INFINITY, |row| row.value)
}

/// The proposal for a pass, where its runs ask for one.
pub(super) fn of(pass: &PassSummary, bands: PassBands) -> Option<Proposal> {
    let present = bands.bands.map(|[low, _, high]| [low, high].map(|end| end.min(bands.ceiling)));
    let sound = pass.readings.iter().filter(|reading| reading.accepted && !reading.dug_out);
    let mut places = Vec::new();
    let mut beside = Vec::new();
    for reading in sound {
        let (Some([low, high]), Some(_)) = (reading.range, reading.start_temperature) else { continue };
        if high > low {
            places.push((reading.amperage - low) / (high - low));
            beside.push(reading.amperage - f64::midpoint(low, high));
        }
    }
    #[allow(clippy::cast_precision_loss, reason = "runs are few")]
    let count = |wanted: &dyn Fn(f64) -> bool| places.iter().filter(|place| wanted(**place)).count() as f64;
    let all = count(&|_| true);
    let half = value("proposal-share");
    if all < value("proposal-runs") {
        return None;
    }
    let (under, over) = (count(&|place| place < 0.0), count(&|place| place > 1.0));
    let one_half = count(&|place| place <= half) >= all || count(&|place| place >= half) >= all;
    let (kind, proposed) = if under + over <= 0.0 && one_half {
        (Move::Narrow, narrowed(present, &Statistics::of(&places)?))
    } else if (under >= half * all && over <= 0.0) || (over >= half * all && under <= 0.0) {
        (Move::Shift, moved(present, Statistics::of(&beside)?.median, bands.ceiling))
    } else {
        return None;
    };
    (proposed != present).then_some(Proposal {
        pass: pass.number,
        kind,
        runs: places.len(),
        parts: bands.parts,
        present,
        proposed,
    })
}

fn narrowed(present: [[f64; 2]; 3], places: &Statistics) -> [[f64; 2]; 3] {
    let step = value("proposal-step");
    let from = (places.least - places.spread()).max(0.0);
    let to = (places.most + places.spread()).min(1.0);
    present.map(|[low, high]| {
        let width = high - low;
        let ends = [
            round_to(low + width * from, step, Toward::Down).max(low),
            round_to(low + width * to, step, Toward::Up).min(high),
        ];
        if ends.iter().all(|end| end.is_finite()) { ends } else { [low, high] }
    })
}

fn moved(present: [[f64; 2]; 3], by: f64, ceiling: f64) -> [[f64; 2]; 3] {
    let by = round_to(by, value("proposal-step"), Toward::Nearest);
    present.map(|ends| ends.map(|end| (end + by).clamp(0.0, ceiling)))
}

#[cfg(test)]
mod tests {
    use super::super::summary::Reading;
    use super::*;

    const BANDS: PassBands = PassBands {
        parts: [20.0, 60.0, 100.0],
        bands: [[160.0, 185.0, 210.0], [150.0, 175.0, 200.0], [140.0, 165.0, 190.0]],
        ceiling: 220.0,
    };

    fn pass(currents: &[f64], change: impl Fn(&mut Reading)) -> PassSummary {
        let reading = |(run, amperage): (usize, &f64)| {
            let mut reading = Reading {
                run,
                amperage: *amperage,
                start_temperature: Some(60.0),
                range: Some([150.0, 200.0]),
                inside: None,
                dug_out: false,
                accepted: true,
            };
            change(&mut reading);
            reading
        };
        let readings: Vec<Reading> = currents.iter().enumerate().map(reading).collect();
        PassSummary { number: 2, kind: "fill", runs: readings.len(), dug_out: 0, amperage: None, span: None, readings }
    }

    fn proposed(currents: &[f64]) -> Option<(Move, [[f64; 2]; 3])> {
        of(&pass(currents, |_| ()), BANDS).map(|proposal| (proposal.kind, proposal.proposed))
    }

    #[test]
    fn the_upper_half_alone_is_a_narrower_range() {
        // Places 0.6 0.65 0.7 0.75 0.8; quartiles 0.65 and 0.75; from 0.5 to 0.9 of 50 A above each lower end.
        let found = proposed(&[180.0, 182.5, 185.0, 187.5, 190.0]);
        assert_eq!(found, Some((Move::Narrow, [[185.0, 205.0], [175.0, 195.0], [165.0, 185.0]])));
    }

    #[test]
    fn what_is_run_above_the_range_moves_it() {
        // 30, 31, 32, 33, 34 A above the middle, 175 A: by 32 A, which is 30 A in steps of 5; cut at 220 A.
        let found = proposed(&[205.0, 206.0, 207.0, 208.0, 209.0]);
        assert_eq!(found, Some((Move::Shift, [[190.0, 220.0], [180.0, 220.0], [170.0, 220.0]])));
    }

    #[test]
    fn nothing_is_proposed_without_cause() {
        assert_eq!(proposed(&[180.0, 182.0, 185.0, 187.0]), None, "four runs");
        assert_eq!(proposed(&[160.0, 170.0, 180.0, 190.0, 199.0]), None, "both halves");
        assert_eq!(proposed(&[140.0, 141.0, 142.0, 205.0, 180.0]), None, "outside on both sides");
        let upper = [180.0, 182.5, 185.0, 187.5, 190.0];
        for change in [
            (|reading| reading.dug_out = true) as fn(&mut Reading),
            |reading| reading.accepted = false,
            |reading| reading.start_temperature = None,
            |reading| reading.range = None,
            |reading| reading.amperage = f64::NAN,
        ] {
            assert_eq!(
                of(
                    &pass(&upper, |reading| if reading.run == 0 {
                        change(reading)
                    }),
                    BANDS
                ),
                None
            );
        }
    }
}
