//! `issue`: checks a spec, seals it and enters the revision in the ledger.

use super::batch;
use super::expand::Document;
use super::fault::Fault;
use super::git;
use super::inputs::{self, Input, KIT_END, RUN_END};
use super::kits::Kits;
use super::ledgers::{self, Held, Place, Why};
use super::out::Out;
use super::report::{self, Form, KitsTold, Rendered};
use crate::faces;
use crate::findings::{Finding, Severity};
use crate::ledger::{Candidate, Entering, State, Tail, enter};
use crate::rules::Decision;
use std::path::PathBuf;

/// What `issue` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  \
    interpass issue specs/revisions/hw-040-a.repair.toml\n\
    The ledger is interpass.ledger.jsonl at the root of the repository (the folder with .git), else beside the spec; one \
    that lies nearer to the spec is used where it lies. Commit it with the spec. An issued revision never changes: what \
    is changed takes a new revision, date and reason. To take one out of use, write status = \"withdrawn\" with the day \
    and the reason of that, and issue it again.\n\
    Exit code 0: it is entered, now or before; 1: it is not, and the findings say why; 2: something could not be read or \
    written.")]
pub(crate) struct Args {
    /// The spec.
    #[arg(value_name = "SPEC")]
    spec: PathBuf,
    /// The shop's kit; else the only *.kit.toml in the folder of the spec or the nearest folder above it.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
}

/// What became of a spec.
struct Outcome {
    /// What is told of it, before anything else.
    told: Rendered,
    /// What is printed where it is entered.
    entered: Option<String>,
    /// Warnings and notes that are not told here.
    unsaid: usize,
}

/// Enters a revision.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    if args.spec.as_os_str() == inputs::STDIN || args.spec.is_dir() {
        return Err(Fault::Call("name the file of one spec".to_owned()));
    }
    let inputs = inputs::find(std::slice::from_ref(&args.spec), None, None)?;
    let [input] = inputs.as_slice() else {
        return Err(Fault::Call(format!("name one spec: {} lie there", inputs.len())));
    };
    if input.name.ends_with(KIT_END) || input.name.ends_with(RUN_END) {
        return Err(Fault::Call(format!("{} is no spec", input.name)));
    }
    let kit = Kits::new(args.kit.as_deref())?.of(input);
    let form = Form::Text(out.talk_style);
    if let Some(told) = KitsTold::default().of(&kit, form) {
        tell(&told, out);
    }
    match batch::one(input, &kit, |document| issue(document, input, form)) {
        Ok(outcome) => {
            let Outcome { told, entered, unsaid } = outcome?;
            tell(&told, out);
            match entered {
                Some(line) => out.print(&line)?,
                None => {
                    out.say(&format!("{} is not entered.\n", input.name));
                    out.status.errors = true;
                }
            }
            if unsaid > 0 {
                let what = if unsaid == 1 { "warning or note" } else { "warnings and notes" };
                out.say(&format!("{unsaid} {what}: see them with interpass check\n"));
            }
        }
        Err(finding) => tell(&report::of_file(&finding, &input.name, form), out),
    }
    Ok(())
}

fn tell(rendered: &Rendered, out: &mut Out) {
    out.status.count(rendered.findings.iter().copied());
    out.say(&rendered.text);
}

/// Checks a spec and enters it.
fn issue(document: &Document, input: &Input, form: Form) -> Result<Outcome, Fault> {
    let expanded = document.expand(None);
    let (errors, others): (Vec<Finding>, Vec<Finding>) =
        expanded.findings.iter().cloned().partition(|finding| finding.severity == Severity::Error);
    let told = report::of_document(document, &errors, form);
    let refused = |told| Ok(Outcome { told, entered: None, unsaid: 0 });
    let material = expanded.material().filter(|_| errors.is_empty());
    let Some(material) = material.filter(|material| material.judgement.decision != Decision::No) else {
        return refused(told);
    };
    let candidate = material.candidate();
    let place = ledgers::place(&input.path);
    let with = |findings: &[Finding]| report::of_document(document, findings, form);
    // What can be seen without holding the ledger is seen before one is made.
    let known = ledgers::peek(&place)?;
    if let Entering::Refused(findings) = enter(&known, &candidate) {
        return refused(with(&findings));
    }
    let held = Held::take(&place)?;
    let mut told = Rendered::default();
    let entered = match enter(&held.ledger, &candidate) {
        Entering::Refused(findings) => return refused(with(&findings)),
        Entering::Other(drift) => {
            let finding = faces::entered::other(&drift, &candidate, material.job.system);
            return refused(with(&[finding]));
        }
        Entering::Known(state, date) => known_words(&candidate, state, &date.to_string(), &place),
        Entering::New(entry, line) => {
            if let Some(lost) = git::lost(&place.path, &held.ledger.digests, &place.name) {
                return refused(with(&[lost]));
            }
            let mended: Vec<Finding> = held.ledger.findings.clone();
            let number = held.ledger.lines + 1;
            let first = match held.ledger.tail {
                Some(Tail::Cut { .. }) => "What was left of a line that ends in the middle was cut off first.\n",
                Some(Tail::Whole) => "The line feed that was lacking was put there first.\n",
                None => "",
            };
            held.add(&line)?;
            told = with(&mended);
            let state = match entry.state {
                State::Issued => "issued",
                State::Withdrawn => "withdrawn",
            };
            let short: String = material.seal().short();
            let why = match place.why {
                Why::Found => "",
                Why::Repository => ", at the root of the repository",
                Why::Beside => ", beside the spec: no repository was found",
            };
            format!(
                "{first}{} revision {} {state} {}, seal {short}\nEntered in {}, line {number}{why}.\n",
                entry.number, entry.revision, entry.date, place.name
            )
        }
    };
    Ok(Outcome { told, entered: Some(entered), unsaid: others.len() })
}

fn known_words(candidate: &Candidate, state: State, date: &str, place: &Place) -> String {
    let Candidate { number, revision, .. } = candidate;
    let state = match state {
        State::Issued => "issued",
        State::Withdrawn => "withdrawn",
    };
    format!(
        "{number} revision {revision} was {state} {date} with this seal: nothing new is entered in {}.\n",
        place.name
    )
}
