//! What may be entered, and as what.

use super::differ::{self, Values};
use super::entry::{Entry, State};
use super::papers::{Drift, drift};
use super::{LINE_BYTES, Ledger, order};
use crate::engine::Figures;
use crate::findings::{Code, Finding, Span};
use crate::seal::{Canonical, Seal, figures_value};
use crate::spec::{Spec, Status};
use jiff::civil::Date;
use std::cmp::Ordering;

/// A revision that is to be entered, or that is held against its entry.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Number of the procedure.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// Where it stands by its spec.
    pub status: Status,
    /// Date, if it bears one.
    pub date: Option<Date>,
    /// Why, if it says so.
    pub reason: Option<String>,
    /// Who, if it says so.
    pub author: Option<String>,
    /// Seal in full.
    pub seal: String,
    /// Digest of the kit.
    pub kit: Option<String>,
    /// Version of the program.
    pub program: String,
    /// Edition of the tables.
    pub tables: String,
    /// Values of the spec as sealed.
    pub spec: Values,
    /// Figures as sealed.
    pub figures: Values,
    /// Where the paper stands in the spec.
    pub at: Span,
}

impl Candidate {
    /// Of a spec with its figures. `kit` is the canonical form of its kit.
    #[must_use]
    pub fn of(spec: &Spec, text: &Canonical, kit: &Canonical, figures: &Figures, seal: &Seal) -> Self {
        let procedure = &spec.procedure.value;
        Candidate {
            number: procedure.number.value.0.clone(),
            revision: procedure.revision.value.0.clone(),
            status: procedure.status.as_ref().map_or(Status::Draft, |at| at.value),
            date: procedure.date.as_ref().map(|at| at.value.0),
            reason: procedure.reason.as_ref().map(|at| at.value.trim().to_owned()),
            author: procedure.author.as_ref().map(|at| at.value.trim().to_owned()),
            seal: seal.hex().to_owned(),
            kit: kit.digest(),
            program: env!("CARGO_PKG_VERSION").to_owned(),
            tables: crate::reference::edition().to_owned(),
            spec: text.leaves(),
            figures: figures_value(figures)
                .as_object()
                .into_iter()
                .flatten()
                .map(|(k, v)| (k.clone(), v.clone()))
                .collect(),
            at: spec.procedure.span,
        }
    }
}

/// What comes of entering a revision.
#[derive(Debug, Clone, PartialEq)]
pub enum Entering {
    /// This entry, with the line that it makes after the last line of the ledger, without line feed.
    New(Box<Entry>, String),
    /// It is entered with this seal already, on this date.
    Known(State, Date),
    /// It is not entered.
    Refused(Vec<Finding>),
    /// It is entered already, with another seal.
    Other(Box<Drift>),
}

/// Says what comes of entering a revision in a ledger. A ledger that is damaged takes no entry: its own findings say why.
#[must_use]
pub fn enter(ledger: &Ledger, candidate: &Candidate) -> Entering {
    let number = &candidate.number;
    let refused = |message: String, help: String| {
        Entering::Refused(vec![Finding::new(Code::LedgerRefused, message).at(candidate.at).help(help)])
    };
    if !ledger.is_sound() {
        return Entering::Refused(ledger.findings.clone());
    }
    let of: Vec<&Entry> = ledger.of(number).collect();
    let own = of.iter().rev().find(|entry| entry.revision == candidate.revision);
    if let Some(entry) = own.filter(|entry| entry.seal == candidate.seal) {
        return Entering::Known(entry.state, entry.date);
    }
    let state = match candidate.status {
        Status::Draft => {
            return refused(
                format!("{number} is a draft, and a draft is not issued"),
                "write status = \"trial\" when the shop stands by it".to_owned(),
            );
        }
        Status::Trial => State::Issued,
        Status::Withdrawn => State::Withdrawn,
    };
    if let Some(problem) = in_order(&of, candidate, state) {
        return problem;
    }
    let (Some(date), Some(reason), Some(author)) = (candidate.date, &candidate.reason, &candidate.author) else {
        return Entering::Refused(missing(candidate, state));
    };
    if let Some(last) = of.last().filter(|last| date < last.date) {
        return refused(
            format!(
                "{number} revision {} bears the date {date}, before that of revision {}, {}",
                candidate.revision, last.revision, last.date
            ),
            format!("give it a date from {} on", last.date),
        );
    }
    if state == State::Withdrawn && own.is_some_and(|entry| entry.reason == *reason) {
        return refused(
            format!(
                "{number} revision {} is to be withdrawn, and `reason` still says why it was made",
                candidate.revision
            ),
            "write in `reason` why it is withdrawn, and the day of it in `date`".to_owned(),
        );
    }
    let (spec, figures) = differ::sealed(of.iter().copied());
    let entry = Entry {
        number: number.clone(),
        revision: candidate.revision.clone(),
        state,
        date,
        seal: candidate.seal.clone(),
        reason: reason.clone(),
        author: author.clone(),
        kit: candidate.kit.clone(),
        program: candidate.program.clone(),
        tables: candidate.tables.clone(),
        spec: differ::lean(&spec, &candidate.spec),
        figures: differ::lean(&figures, &candidate.figures),
    };
    let line = entry.line(ledger.last());
    if line.len() > LINE_BYTES {
        return refused(
            format!("{number} revision {} makes an entry longer than a line may be", candidate.revision),
            "shorten the spec".to_owned(),
        );
    }
    Entering::New(Box::new(entry), line)
}

/// Why a revision does not fit the entries of its number; none where it does.
fn in_order(of: &[&Entry], candidate: &Candidate, state: State) -> Option<Entering> {
    let Candidate { number, revision, .. } = candidate;
    let refused = |message: String, help: String| {
        Some(Entering::Refused(vec![Finding::new(Code::LedgerRefused, message).at(candidate.at).help(help)]))
    };
    let own = of.iter().rev().find(|entry| entry.revision == *revision);
    let Some(last) = of.last() else {
        return match state {
            State::Issued => None,
            State::Withdrawn => refused(
                format!("{number} was never issued, so there is nothing to withdraw"),
                "leave it as it is: its sheet says that it is withdrawn".to_owned(),
            ),
        };
    };
    if let Some(entry) = own.filter(|entry| entry.state == State::Withdrawn) {
        return refused(
            format!("{number} revision {revision} was withdrawn on {}", entry.date),
            "what is to be used again takes a new revision".to_owned(),
        );
    }
    match order(&last.revision, revision) {
        None => {
            let scheme = if last.revision.starts_with(|c: char| c.is_ascii_digit()) { "numbers" } else { "letters" };
            refused(
                format!("revision {revision} is of another kind than revision {} of {number}", last.revision),
                format!("go on with {scheme} after {}", last.revision),
            )
        }
        Some(Ordering::Greater) => refused(
            format!("{number} has been issued as revision {}, and {revision} comes before it", last.revision),
            format!("take a revision after {}", last.revision),
        ),
        Some(Ordering::Less) if state == State::Withdrawn => refused(
            format!("{number} revision {revision} was never issued; revision {} is in force", last.revision),
            format!("to withdraw it, write revision = \"{}\"", last.revision),
        ),
        Some(Ordering::Less) => None,
        Some(Ordering::Equal) if state == State::Withdrawn => None,
        Some(Ordering::Equal) => {
            let ledger =
                Ledger { entries: of.iter().map(|entry| (0, (*entry).clone())).collect(), ..Ledger::default() };
            drift(&ledger, candidate).map(|drift| Entering::Other(Box::new(drift)))
        }
    }
}

/// What the paper of a spec lacks for an entry.
fn missing(candidate: &Candidate, state: State) -> Vec<Finding> {
    let why = match state {
        State::Issued => "reason = \"...\": why this revision was made",
        State::Withdrawn => "reason = \"...\": why it is withdrawn",
    };
    let all = [
        (candidate.date.is_none(), "date", "date = 2026-10-02: the day of this revision"),
        (candidate.reason.is_none(), "reason", why),
        (candidate.author.is_none(), "author", "author = \"...\": who answers for it"),
    ];
    let finding = |(_, key, help): &(bool, &str, &str)| {
        Finding::new(
            Code::LedgerRefused,
            format!("the ledger holds the {key} of a revision, and the spec has no `{key}`"),
        )
        .at(candidate.at)
        .label("this table")
        .help(format!("add {help}"))
    };
    all.iter().filter(|(lacks, ..)| *lacks).map(finding).collect()
}
