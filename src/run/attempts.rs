//! How often one place was repaired in vain, as kept run records tell it.
//!
//! Same number of the procedure, same place. A run whose final inspection was rejected is a repair that failed; a run
//! that states its attempt says how many came before it, whether or not their records are kept.

use super::types::{Outcome, RunRecord};
use std::collections::BTreeSet;

/// Words by which an inspection of the finished weld is named, in the sheet's own words and in those of the bench.
const FINAL: [&str; 4] = ["finished", "final", "dressing", "accepted"];
/// The hold that accepts the weld.
const ACCEPTED: &str = "hold-accepted";

/// Repairs of one place that failed before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// How many, one at least.
    pub failed: i64,
    /// Names of the run records that tell it, in order.
    pub from: Vec<String>,
}

/// Whether an inspection looks at the finished weld.
#[must_use]
pub fn is_final(when: &str) -> bool {
    let when = when.to_lowercase();
    FINAL.iter().any(|word| when.contains(word))
}

/// The hold that a deviation says was rejected, as the page writes it: `hold-opening was rejected`.
#[must_use]
pub fn rejected_hold(what: &str) -> Option<&str> {
    let id = what.trim().strip_suffix(" was rejected")?;
    (id.starts_with("hold-") && !id.contains(' ')).then_some(id)
}

/// Whether the finished weld was rejected: by an inspection of it, or at the hold that accepts it.
#[must_use]
pub fn failed(run: &RunRecord) -> bool {
    let rejected = |outcome: Option<Outcome>| outcome == Some(Outcome::Rejected);
    let seen = run.inspection.iter();
    seen.clone().any(|one| is_final(&one.when) && rejected(one.result.as_ref().map(|at| at.value)))
        || run.deviation.iter().any(|one| rejected_hold(&one.what) == Some(ACCEPTED))
}

/// Repairs of the place of procedure `number` that failed, by the records of it among `runs`; none where none did.
pub fn earlier<'a>(number: &str, runs: impl IntoIterator<Item = (&'a str, &'a RunRecord)>) -> Option<Earlier> {
    let (mut attempts, mut unnumbered, mut most, mut from) = (BTreeSet::new(), 0_i64, 0_i64, Vec::new());
    for (name, run) in runs {
        if run.run.procedure.0 != number {
            continue;
        }
        let (stated, failed) = (run.run.attempt.as_ref().map(|at| at.value), failed(run));
        let before = stated.map_or(0, |attempt| if failed { attempt } else { attempt.saturating_sub(1) });
        match stated {
            // Two records of one attempt are one attempt.
            Some(attempt) if failed => drop(attempts.insert(attempt)),
            None if failed => unnumbered += 1,
            _ => {}
        }
        most = most.max(before);
        if failed || before > 0 {
            from.push(name.to_owned());
        }
    }
    let counted = i64::try_from(attempts.len()).unwrap_or(i64::MAX).saturating_add(unnumbered);
    let failed = most.max(counted);
    (failed > 0).then_some(Earlier { failed, from })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run(attempt: Option<i64>, inspections: &[(&str, &str)]) -> RunRecord {
        let mut text = "format = 1\n[run]\nprocedure = \"HW-040\"\nrevision = \"A\"\n".to_owned();
        text.extend(attempt.map(|attempt| format!("attempt = {attempt}\n")));
        for (when, result) in inspections {
            text.push_str(&format!("[[inspection]]\nwhen = \"{when}\"\nresult = \"{result}\"\n"));
        }
        crate::run::read(&text).0.unwrap()
    }

    fn count(runs: &[RunRecord]) -> i64 {
        earlier("HW-040", runs.iter().map(|run| ("x", run))).map_or(0, |earlier| earlier.failed)
    }

    #[test]
    fn only_the_finished_weld_counts_and_each_attempt_once() {
        let bad = |attempt| run(attempt, &[("finished weld", "rejected")]);
        let good = |attempt| run(attempt, &[("after root", "rejected"), ("finished weld", "accepted")]);
        assert_eq!(count(&[]), 0);
        assert_eq!(count(&[good(None), good(Some(1)), good(None)]), 0, "twelve parts of one procedure are no repeats");
        assert_eq!(count(&[bad(None)]), 1);
        assert_eq!(count(&[bad(None), bad(None)]), 2);
        assert_eq!(count(&[bad(Some(1)), bad(Some(1))]), 1, "saved twice");
        assert_eq!(count(&[bad(Some(1)), bad(None)]), 2);
        assert_eq!(count(&[good(Some(3))]), 2, "two came before it, though no record of them is kept");
        assert_eq!(count(&[bad(Some(3))]), 3);
        assert_eq!(earlier("HW-041", [("x", &bad(None))]), None, "another place");
        assert_eq!(
            count(&[run(Some(i64::MIN), &[]), run(Some(i64::MAX), &[])]),
            0,
            "what does not read counts nothing"
        );
    }

    #[test]
    fn a_hold_that_the_page_says_was_rejected() {
        assert_eq!(rejected_hold("hold-accepted was rejected"), Some("hold-accepted"));
        assert_eq!(rejected_hold("the part was rejected"), None);
        assert_eq!(rejected_hold("cup 6"), None);
    }
}
