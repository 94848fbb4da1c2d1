//! Qualification: a procedure that is stated to be qualified must lie inside what its test covers.
//!
//! Outside is an error and gives no sheet: the sheet would say in its head that the procedure is qualified, and gates
//! that refuse open on that word. Where rows from memory alone put it outside, or nobody can tell, it is a warning.

use super::case::Case;
use crate::engine::qualification::welder::{self, WelderRuling};
use crate::engine::qualification::{Outcome, Reason, Ruling, Said, Verdict, standard};
use crate::engine::{FigureName, Job};
use crate::findings::{At, Code, Finding, Severity};
use crate::reference::qualification::held;
use crate::reference::{Basis, QualificationStandard};
use crate::spec::Text;

/// Whether a standard is for the metal of a job.
#[must_use]
pub fn fits(job: &Job<'_>, standard: &QualificationStandard) -> bool {
    standard.metal == "any" || job.base.candidates.iter().all(|alloy| alloy.family.contains(&standard.metal))
}

/// What has to be said of the qualification that the spec states.
#[must_use]
pub fn findings(case: &Case<'_>) -> Vec<Finding> {
    let spec = &case.spec().qualification;
    let mut found: Vec<Finding> = welder::rulings(case.job).iter().filter_map(of_welder).collect();
    if let Some(named) = &spec.standard {
        found.extend(of_standard(case, named));
    }
    if !case.qualified() {
        return found;
    }
    let rulings = case.worked.figures.get(&FigureName::Qualification).map_or(&[][..], |figure| &figure.rulings);
    found
        .extend(rulings.iter().filter(|ruling| ruling.verdict == Verdict::NewTest).map(|ruling| outside(case, ruling)));
    found.extend(open(case, rulings));
    if spec.coupon.is_none() && standard(case.job).is_some() {
        let finding = Finding::new(
            Code::GateQualificationOpen,
            "nothing of the test piece is on record here, so no range can be checked",
        );
        let at = spec.record.as_ref().map(|at| at.span).or(spec.state.as_ref().map(|at| at.span));
        found.push(
            finding
                .at_some(at)
                .label("covers what?")
                .help("write coupon = { alloy, thickness, joint, ... } from the record"),
        );
    }
    found
}

/// The standard: that the tables do not hold it, that it is for another metal, that it leaves repair out.
fn of_standard(case: &Case<'_>, named: &At<Text>) -> Option<Finding> {
    let finding = |message: String| Finding::new(Code::GateQualificationStandard, message).at(named.span);
    let Some(row) = standard(case.job) else {
        let finding = finding(format!("the tables hold no ranges of {}", named.value)).label("not held");
        return Some(finding.help(format!("held: {}", held().join(", "))));
    };
    let instead = row.instead.clone().unwrap_or_default();
    let (message, label) = match (row.repair, fits(case.job, row)) {
        (Some(false), _) => {
            (format!("{} leaves repair out: it is for finishing castings in the foundry", row.name), "no repair")
        }
        (_, false) => (format!("{} is for {}", row.name, row.metal), "another metal"),
        _ => return None,
    };
    // A claim that cannot hold is an error, an aim at the wrong standard a warning.
    let severity = if case.qualified() { Severity::Error } else { Severity::Warning };
    Some(finding(message).severity(severity).label(label).help(format!("{instead} is the one for this repair")))
}

/// The name of a variable in a sentence.
fn name(ruling: &Ruling) -> String {
    ruling.variable.word().replace('-', " ")
}

fn told(said: &Said) -> String {
    format!("{}: {}, {}", said.place(), said.outcome.word(), said.basis().words())
}

/// A variable that the test does not cover.
fn outside(case: &Case<'_>, ruling: &Ruling) -> Finding {
    let known = ruling.said.iter().any(|said| said.outcome == Outcome::Outside && said.basis() != Basis::Memory);
    let shown = |entry: &Option<_>| {
        entry.as_ref().map_or(String::new(), |entry: &crate::engine::qualification::Entry| entry.shown.clone())
    };
    let record = case.spec().qualification.record.as_ref().map_or("the test", |at| at.value.as_str());
    let (here, tested) = (shown(&ruling.here), shown(&ruling.tested));
    let message = format!("{}: {here} is outside what {record} covers, which was tested with {tested}", name(ruling));
    let code = if known { Code::GateQualification } else { Code::GateQualificationOpen };
    let state = case.spec().qualification.state.as_ref().map(|at| at.span);
    let at = ruling.here.as_ref().and_then(|entry| entry.span).or(state);
    let mut finding = Finding::new(code, message).at_some(at).label("not covered");
    if let Some(span) = ruling.tested.as_ref().and_then(|entry| entry.span) {
        finding = finding.related(span, "tested");
    }
    for said in &ruling.said {
        finding = finding.note(told(said));
    }
    finding.help("weld a new test and name its record, or write state = \"none\"; the examiner decides")
}

/// The words for a reason, in a finding.
fn why(reason: Reason) -> &'static str {
    match reason {
        Reason::RecordSilent => "the record does not say",
        Reason::HereUnknown => "this procedure does not say",
        Reason::SourcesDiffer => "the sources differ",
        Reason::NotHeld => "the limit was not read",
        Reason::WiderTable => "a table that was not read may cover it",
        Reason::GroupUnknown => "its group is not held",
        Reason::Toughness => "essential only with toughness tests",
        Reason::HeatInputSpecified => "essential only where heat input is specified",
        Reason::ImpactOrHardness => "essential only with impact or hardness tests",
        Reason::Treatments => "two treatments, to be compared by hand",
    }
}

/// What the tables cannot settle, in one warning.
fn open(case: &Case<'_>, rulings: &[Ruling]) -> Option<Finding> {
    // What is essential only under a condition that nobody stated is no question of the record.
    let conditional = [Reason::Toughness, Reason::HeatInputSpecified, Reason::ImpactOrHardness];
    let asked = |ruling: &&Ruling| {
        ruling.verdict == Verdict::Ask && ruling.reason.is_none_or(|reason| !conditional.contains(&reason))
    };
    let list: Vec<String> = rulings
        .iter()
        .filter(asked)
        .map(|ruling| format!("{} ({})", name(ruling), ruling.reason.map_or("", why)))
        .collect();
    let spec = &case.spec().qualification;
    let at = spec.record.as_ref().map_or(spec.coupon.as_ref()?.span, |at| at.span);
    (!list.is_empty()).then(|| {
        Finding::new(
            Code::GateQualificationOpen,
            format!("the tables cannot settle whether the test covers: {}", list.join(", ")),
        )
        .at(at)
        .label("this record")
        .help("write what the record says, and ask the examiner for the rest")
    })
}

fn of_welder(ruling: &WelderRuling) -> Option<Finding> {
    let (tested, here) = (&ruling.tested, &ruling.here);
    if ruling.outcome != Outcome::Outside {
        return None;
    }
    let message = match (ruling.what, &ruling.until) {
        ("expires", _) => {
            format!("the welder's qualification ran out on {tested}, before the date of this procedure, {here}")
        }
        ("confirmed", Some(until)) => {
            format!(
                "the welder's qualification was last confirmed on {tested}, which holds until {until}; this procedure is of {here}"
            )
        }
        (what, _) => {
            format!("the welder's qualification does not cover this {what}: {tested} was tested, and here is {here}")
        }
    };
    let mut finding = Finding::new(Code::GateWelder, message).at_some(ruling.span).label("not covered");
    if let Some(cite) = &ruling.cite {
        finding = finding.note(format!("ISO 9606-2, {}: {}", cite.locator, cite.basis.words()));
    }
    Some(finding.help("name a welder whose qualification covers it, or have it confirmed or tested again"))
}
