//! Repair at the same place again: the first is planned, the second wants a review, the third an approval.

use super::case::Case;
use super::{Answer, Gate};
use crate::findings::{Code, Finding, Severity};

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

/// A second attempt at one place wants a review, a third an approval.
#[must_use]
pub fn judge(case: &Case<'_>) -> (Gate, Option<Finding>) {
    let gate = |answer, args| Gate { key: "attempt", answer, args };
    let Some(stated) = case.spec().damage.attempt.as_ref() else {
        return (gate(Answer::AtHold, Vec::new()), None);
    };
    let args = vec![stated.value.to_string()];
    if wants(stated.value) == Wants::Nothing {
        return (gate(Answer::Clear, args), None);
    }
    if let Some(approval) = case.approval() {
        let args = vec![args.concat(), approval.by.value.clone(), approval.reference.value.clone()];
        return (gate(Answer::Approved, args), None);
    }
    if wants(stated.value) == Wants::Review {
        let finding = Finding::new(Code::Attempt, "the second attempt at this place wants a review")
            .at(stated.span)
            .label("repaired before")
            .help("find out why the first one failed; state the review as [approval] by and reference");
        return (gate(Answer::Head, args), Some(finding));
    }
    let finding = Finding::new(Code::Attempt, format!("attempt {} at this place has no approval", stated.value))
        .severity(Severity::Error)
        .at(stated.span)
        .label("repaired twice before")
        .help("a new part; or [approval] by and reference of the person who answers for it");
    (Gate { key: "attempt-unapproved", answer: Answer::Refused, args }, Some(finding))
}
