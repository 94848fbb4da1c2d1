//! The cautions: every row of the table of hazards whose trigger is true of the job, gravest first.

use super::facts::Facts;
use crate::reference::{Hazard, hazard};

/// A danger that this job raises.
#[derive(Debug, Clone)]
pub struct Fired {
    /// The row of the table.
    pub hazard: &'static Hazard,
    /// The trigger that raised it.
    pub trigger: &'static str,
}

/// The signal words, gravest first.
pub const SIGNALS: [&str; 4] = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

/// Place of a signal word among [`SIGNALS`]; a word that is none of them counts as the gravest.
#[must_use]
pub fn gravity(signal: &str) -> usize {
    SIGNALS.iter().position(|known| *known == signal).unwrap_or(0)
}

/// Every row that the facts raise, gravest first: by signal word, by rank, by id.
#[must_use]
pub fn fire(facts: &Facts) -> Vec<Fired> {
    let mut fired: Vec<Fired> = hazard().rows.iter().filter_map(|row| raised_by(row, facts)).collect();
    fired.sort_by(|a, b| order(a).cmp(&order(b)));
    fired
}

fn order(fired: &Fired) -> (usize, u8, &'static str) {
    (gravity(&fired.hazard.signal), fired.hazard.rank, &fired.hazard.id)
}

/// The row with its first trigger that is true.
fn raised_by(row: &'static Hazard, facts: &Facts) -> Option<Fired> {
    let trigger = row.trigger.iter().find(|trigger| is_true(trigger, facts))?;
    Some(Fired { hazard: row, trigger })
}

/// The facts that a trigger joins.
pub fn facts_of(trigger: &str) -> impl Iterator<Item = &str> {
    trigger.split('+').map(str::trim)
}

fn is_true(trigger: &str, facts: &Facts) -> bool {
    facts_of(trigger).all(|fact| facts.holds(fact))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_trigger_is_true_when_all_its_facts_are() {
        let facts = Facts::from_iter(["gas.helium", "place.confined"]);
        assert!(is_true("gas.helium", &facts));
        assert!(is_true("gas.helium + place.confined", &facts));
        assert!(!is_true("gas.helium + place.pit", &facts));
        assert!(!is_true("", &facts));
    }

    #[test]
    fn a_signal_word_that_nobody_knows_counts_as_the_gravest() {
        assert!(gravity("DANGER") < gravity("WARNING") && gravity("CAUTION") < gravity("NOTICE"));
        assert_eq!(gravity("PERIL"), gravity("DANGER"));
    }
}
