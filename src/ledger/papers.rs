//! What the ledger says of one revision, as a sheet prints it and as `check` warns of it.

use super::differ::{self, Change, Values};
use super::entry::{Entry, State};
use super::{Candidate, Ledger, changes, order};
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;

/// Where a revision stands. Issued and superseded come from the ledger alone.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Standing {
    /// It is not entered: the spec says whether it is a draft or a trial.
    #[default]
    NotEntered,
    /// It is in force, and its seal is the one that was entered.
    Issued {
        /// Since when.
        date: String,
    },
    /// It is entered with another seal.
    Changed {
        /// When it was issued.
        date: String,
        /// The seal that was entered, in full.
        seal: String,
    },
    /// A later revision is in force.
    Superseded {
        /// The later revision.
        by: String,
        /// Its date.
        date: String,
    },
    /// It was taken out of force.
    Withdrawn {
        /// When.
        date: String,
        /// Why.
        reason: String,
    },
    /// The ledger is damaged, so nobody can tell.
    Unknown,
}

/// An entry as the table of revisions prints it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Entered {
    /// Revision.
    pub revision: String,
    /// What it does.
    pub state: State,
    /// Date.
    pub date: String,
    /// Why.
    pub reason: String,
    /// Who.
    pub author: String,
    /// Whether it is the first of its number, to which everything is new.
    pub first: bool,
    /// What it changed in the job.
    pub job: Vec<Change>,
    /// What it changed in the figures.
    pub figures: Vec<Change>,
}

/// What the ledger says of one revision.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Papers {
    /// Where it stands.
    pub standing: Standing,
    /// The entries of its number.
    pub entries: Vec<Entered>,
}

/// What the ledger says of a revision with this seal, in full.
#[must_use]
pub fn papers(ledger: &Ledger, number: &str, revision: &str, seal: &str) -> Papers {
    if !ledger.is_sound() {
        return Papers { standing: Standing::Unknown, entries: Vec::new() };
    }
    let of: Vec<&Entry> = ledger.of(number).collect();
    Papers { standing: standing(&of, revision, seal), entries: entered(&of) }
}

fn standing(entries: &[&Entry], revision: &str, seal: &str) -> Standing {
    let own = entries.iter().rev().find(|entry| entry.revision == revision);
    if let Some(entry) = own.filter(|entry| entry.state == State::Withdrawn) {
        return Standing::Withdrawn { date: entry.date.to_string(), reason: entry.reason.clone() };
    }
    let later = entries.iter().rev().find(|entry| order(revision, &entry.revision) == Some(Ordering::Less));
    if let Some(later) = later {
        let issued = entries.iter().find(|entry| entry.revision == later.revision).unwrap_or(later);
        return Standing::Superseded { by: later.revision.clone(), date: issued.date.to_string() };
    }
    match own {
        Some(entry) if entry.seal == seal => Standing::Issued { date: entry.date.to_string() },
        Some(entry) => Standing::Changed { date: entry.date.to_string(), seal: entry.seal.clone() },
        None => Standing::NotEntered,
    }
}

fn entered(entries: &[&Entry]) -> Vec<Entered> {
    let (mut spec, mut figures) = (Values::new(), Values::new());
    let mut out = Vec::with_capacity(entries.len());
    for (number, entry) in entries.iter().enumerate() {
        let (new_spec, new_figures) = differ::sealed(entries.iter().take(number + 1).copied());
        let first = number == 0;
        let job = if first { Vec::new() } else { changes(&spec, &new_spec) };
        out.push(Entered {
            revision: entry.revision.clone(),
            state: entry.state,
            date: entry.date.to_string(),
            reason: entry.reason.clone(),
            author: entry.author.clone(),
            first,
            job: job.into_iter().filter(|change| !differ::is_paper(&change.key)).collect(),
            figures: if first { Vec::new() } else { changes(&figures, &new_figures) },
        });
        (spec, figures) = (new_spec, new_figures);
    }
    out
}

/// How a revision that is entered differs from what is there now.
#[derive(Debug, Clone, PartialEq)]
pub struct Drift {
    /// When it was entered.
    pub date: String,
    /// Values of the spec that differ, those of the paper too.
    pub spec: Vec<Change>,
    /// Whether another kit was used.
    pub kit: bool,
    /// Version of the program and edition of the tables that it was entered with, where they differ.
    pub program: Option<(String, String)>,
    /// Figures that differ.
    pub figures: Vec<Change>,
}

/// How the entry of a revision differs from a candidate; none where the revision is not entered or its seal is the same.
#[must_use]
pub fn drift(ledger: &Ledger, candidate: &Candidate) -> Option<Drift> {
    let of: Vec<&Entry> = ledger.of(&candidate.number).collect();
    let at = of.iter().rposition(|entry| entry.revision == candidate.revision)?;
    let entry = of.get(at).filter(|entry| entry.seal != candidate.seal)?;
    let (spec, figures) = differ::sealed(of.iter().take(at + 1).copied());
    let made = (entry.program.clone(), entry.tables.clone());
    Some(Drift {
        date: entry.date.to_string(),
        spec: changes(&spec, &candidate.spec),
        kit: entry.kit != candidate.kit,
        program: (made != (candidate.program.clone(), candidate.tables.clone())).then_some(made),
        figures: changes(&figures, &candidate.figures),
    })
}
