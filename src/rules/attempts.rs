//! Repair at the same place again: the first is planned, the second wants a review, the third an approval.

use super::case::Case;
use super::{Answer, Gate};
use crate::engine::Job;
use crate::findings::{Code, Finding, Severity, Span};
use crate::run::attempts::Earlier;

/// Names of run records that a line of the sheet has room for.
const NAMED: usize = 3;

/// What an attempt asks before the first spark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wants {
    /// Nothing more than the repair itself.
    Nothing,
    /// Somebody reviews why the last one failed.
    Review,
    /// An engineer approves it.
    Approval,
}

/// What the attempt of this number wants.
#[must_use]
pub fn wants(attempt: i64) -> Wants {
    match attempt {
        ..=1 => Wants::Nothing,
        2 => Wants::Review,
        _ => Wants::Approval,
    }
}

/// Which attempt a repair is, and who says so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attempt<'a> {
    /// Its number, from 1.
    pub number: i64,
    /// Where the spec states it, or a lower one.
    pub at: Option<Span>,
    /// The run records that say more than the spec does.
    pub counted: Option<&'a Earlier>,
}

/// The attempt of a job: the one that the spec states, or one more than failed by the run records beside it, whichever
/// is higher. None where nobody says anything.
#[must_use]
pub fn of<'a>(job: &Job<'a>) -> Option<Attempt<'a>> {
    let stated = job.spec.damage.attempt.as_ref();
    let number = stated.map_or(1, |at| at.value);
    let at = stated.map(|at| at.span);
    match job.earlier {
        Some(earlier) if earlier.failed.saturating_add(1) > number => {
            Some(Attempt { number: earlier.failed.saturating_add(1), at, counted: Some(earlier) })
        }
        _ => stated.map(|_| Attempt { number, at, counted: None }),
    }
}

impl Attempt<'_> {
    /// The number, and where it was counted: `3 (counted from a.run.toml and b.run.toml)`.
    #[must_use]
    pub fn words(&self) -> String {
        match self.counted {
            None => self.number.to_string(),
            Some(earlier) => format!("{} (counted from {})", self.number, named(&earlier.from)),
        }
    }

    fn finding(&self, message: String) -> Finding {
        let finding = Finding::new(Code::Attempt, message);
        let finding = self.at.into_iter().fold(finding, Finding::at);
        match self.counted {
            None => finding.label(if wants(self.number) == Wants::Review {
                "repaired before"
            } else {
                "repaired twice before"
            }),
            Some(earlier) => {
                let label = if self.at.is_some() { "the run records say more" } else { "" };
                let note = format!("counted from {}: {} failed", named(&earlier.from), repairs(earlier.failed));
                finding.label(label).note(note)
            }
        }
    }
}

fn repairs(count: i64) -> String {
    if count == 1 { "1 repair".to_owned() } else { format!("{count} repairs") }
}

/// Names in a sentence, the first few of many.
fn named(names: &[String]) -> String {
    let more = names.len().saturating_sub(NAMED);
    let mut listed: Vec<String> = names.iter().take(NAMED).cloned().collect();
    let last = if more > 0 { Some(format!("{more} more")) } else { listed.pop() };
    match (listed.is_empty(), last) {
        (true, last) => last.unwrap_or_default(),
        (false, last) => format!("{} and {}", listed.join(", "), last.unwrap_or_default()),
    }
}

/// A second attempt at one place wants a review, a third an approval.
#[must_use]
pub fn judge(case: &Case<'_>) -> (Gate, Option<Finding>) {
    let gate = |answer, args| Gate { key: "attempt", answer, args };
    let Some(attempt) = of(case.job) else {
        return (gate(Answer::AtHold, Vec::new()), None);
    };
    let args = vec![attempt.words()];
    if wants(attempt.number) == Wants::Nothing {
        return (gate(Answer::Clear, args), None);
    }
    if let Some(approval) = case.approval() {
        let args = vec![args.concat(), approval.by.value.clone(), approval.reference.value.clone()];
        return (gate(Answer::Approved, args), None);
    }
    if wants(attempt.number) == Wants::Review {
        let finding = attempt
            .finding("the second attempt at this place wants a review".to_owned())
            .help("find out why the first one failed; state the review as [approval] by and reference");
        return (gate(Answer::Head, args), Some(finding));
    }
    let finding = attempt
        .finding(format!("attempt {} at this place has no approval", attempt.number))
        .severity(Severity::Error)
        .help("a new part; or [approval] by and reference of the person who answers for it");
    (Gate { key: "attempt-unapproved", answer: Answer::Refused, args }, Some(finding))
}
