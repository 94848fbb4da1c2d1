//! Findings about a revision that the ledger holds otherwise: what changed, and why.

use crate::findings::{Code, Finding};
use crate::ledger::{Candidate, Drift, Ledger, Papers, Standing, drift};
use crate::sheet::entered::{text, told};
use crate::spec::Status;
use crate::units::System;

/// The finding of a revision that is to be entered a second time with another content.
#[must_use]
pub fn other(drift: &Drift, candidate: &Candidate, system: System) -> Finding {
    let finding = Finding::new(Code::LedgerRefused, message(drift, candidate)).at(candidate.at);
    with_changes(finding, drift, candidate, system)
        .help("put back what was changed, or give it the next revision with its own date and reason, and issue that")
}

/// What is to be said of a revision that the ledger knows of: that it is not what was issued, or that a later one is in
/// force.
#[must_use]
pub fn finding(ledger: &Ledger, papers: &Papers, candidate: &Candidate, system: System) -> Option<Finding> {
    match &papers.standing {
        Standing::Changed { .. } if candidate.status == Status::Withdrawn => {
            let args = [("number", &*candidate.number), ("revision", &candidate.revision)];
            let finding = Finding::new(Code::SealChanged, text("withdraw", &args)).at(candidate.at);
            Some(finding.help("enter the withdrawal: interpass issue SPEC"))
        }
        Standing::Changed { .. } => Some(changed(&drift(ledger, candidate)?, candidate, system)),
        Standing::Superseded { by, date } => {
            let args = [("number", &*candidate.number), ("revision", &candidate.revision), ("by", by), ("date", date)];
            Some(Finding::new(Code::LedgerSuperseded, text("superseded", &args)).at(candidate.at))
        }
        Standing::NotEntered | Standing::Issued { .. } | Standing::Withdrawn { .. } | Standing::Unknown => None,
    }
}

fn changed(drift: &Drift, candidate: &Candidate, system: System) -> Finding {
    let finding = Finding::new(Code::SealChanged, message(drift, candidate)).at(candidate.at);
    with_changes(finding, drift, candidate, system)
        .help("put back what was changed, or give it the next revision with its own date and reason, and issue that")
}

fn message(drift: &Drift, candidate: &Candidate) -> String {
    let Candidate { number, revision, .. } = candidate;
    text("other", &[("number", number), ("revision", revision), ("date", &drift.date)])
}

fn with_changes(mut finding: Finding, drift: &Drift, candidate: &Candidate, system: System) -> Finding {
    for change in told(&drift.figures, system) {
        finding = finding.note(text("figure", &[("change", &change)]));
    }
    if drift.figures.is_empty() {
        finding = finding.note(text("no-figure", &[]));
    }
    if !drift.spec.is_empty() {
        finding = finding.note(text("spec-is", &[]));
        for change in told(&drift.spec, system) {
            finding = finding.note(text("spec", &[("change", &change)]));
        }
    }
    if drift.kit {
        finding = finding.note(text("kit-is", &[]));
    }
    match &drift.program {
        Some((program, tables)) => {
            let args = [
                ("old", program.as_str()),
                ("tables", tables.as_str()),
                ("new", candidate.program.as_str()),
                ("now", candidate.tables.as_str()),
            ];
            finding.note(text("program-is", &args))
        }
        None if drift.spec.is_empty() && !drift.kit => finding.note(text("why-unknown", &[])),
        None => finding,
    }
}
