//! Qualification: what a tested coupon covers under a standard, and whether this procedure lies inside, variable by
//! variable. The rows are data; this module applies them.

pub mod point;
pub mod ruling;
pub mod welder;

pub use point::{Entry, Held, Point};
pub use ruling::{Outcome, Reach, Reason, Ruling, Said, Verdict, rulings};

use super::figure::{Figure, Figures, LineKind, Value};
use super::job::Job;
use super::names::FigureName;
use super::work::Work;
use crate::reference::qualification::{Variable, standard_named};
use crate::reference::{Basis, QualificationStandard};

/// The standard that the spec names, where the tables hold it.
#[must_use]
pub fn standard(job: &Job<'_>) -> Option<&'static QualificationStandard> {
    standard_named(&job.spec.qualification.standard.as_ref()?.value)
}

/// The rulings of a job: each variable of its standard that the coupon, this procedure or a rule has something to say
/// of. Empty without a coupon, or where the tables do not hold the standard.
#[must_use]
pub fn of_job(job: &Job<'_>, figures: &Figures) -> Vec<Ruling> {
    let (Some(standard), Some(coupon)) = (standard(job), &job.spec.qualification.coupon) else { return Vec::new() };
    rulings(standard, &Point::of_coupon(coupon, job.system), &Point::of_job(job, figures))
}

/// The figure: whether the coupon covers this procedure: `inside`, `outside` or `open`.
#[must_use]
pub fn figure(job: &Job<'_>, figures: &Figures) -> Option<Figure> {
    let rulings = of_job(job, figures);
    let said = || rulings.iter().flat_map(|ruling| &ruling.said);
    let lead = said().map(Said::basis).min()?;
    let mut work = Work::new();
    for ruling in rulings.iter().filter(|ruling| ruling.variable == Variable::Thickness) {
        thickness(&mut work, ruling);
    }
    for ruling in &rulings {
        for said in &ruling.said {
            let args = vec![ruling.variable.word().replace('-', " "), said.place(), said.outcome.word().to_owned()];
            work.remark(LineKind::Remark, "qualification-rule", args, Some(said.cite.clone()));
        }
    }
    let value = Value::Word(overall(&rulings).to_owned());
    let mut figure = work.done(FigureName::Qualification, value, lead);
    figure.weakest = said().map(Said::basis).max();
    figure.uses = used(&rulings, figures);
    figure.rulings = rulings;
    Some(figure)
}

/// Inside where every essential variable is covered, outside where one is not, open where one has to be asked.
#[must_use]
pub fn overall(rulings: &[Ruling]) -> &'static str {
    let any = |verdict| rulings.iter().any(|ruling| ruling.verdict == verdict);
    match (any(Verdict::NewTest), any(Verdict::Ask)) {
        (true, _) => "outside",
        (false, true) => "open",
        (false, false) => "inside",
    }
}

/// The range of thickness, with its arithmetic.
fn thickness(work: &mut Work, ruling: &Ruling) {
    let (Some(entry), Some(said)) = (&ruling.tested, ruling.said.first()) else { return };
    let Held::Number(thin, thick) = entry.held else { return };
    work.stated("coupon-thickness", "T", thick, "mm", entry.span);
    if thin < thick {
        work.stated("coupon-thin", "T0", thin, "mm", entry.span);
    }
    let (low, high) = said.factors;
    let least = if thin < thick { "T0 * fl" } else { "T * fl" };
    if let (Some(factor), Some(end)) = (low, said.low) {
        work.row("qualification-factor-low", "fl", factor, "", said.cite.clone());
        work.step("qualification-low", "", least, end, "mm");
    } else if let Some(end) = said.low {
        work.row("qualification-low", "", end, "mm", said.cite.clone());
    }
    if let (Some(factor), Some(end)) = (high, said.high) {
        work.row("qualification-factor-high", "fh", factor, "", said.cite.clone());
        match said.cap.filter(|cap| *cap <= end) {
            Some(cap) => work.row("qualification-high", "", cap, "mm", said.cite.clone()),
            None => work.step("qualification-high", "", "T * fh", end, "mm"),
        };
    }
}

/// The figures that a ruling looked at.
fn used(rulings: &[Ruling], figures: &Figures) -> Vec<FigureName> {
    let names = rulings.iter().filter_map(|ruling| point::figure_of(ruling.variable));
    let mut names: Vec<FigureName> = names.filter(|name| figures.contains_key(name)).collect();
    names.sort_unstable();
    names.dedup();
    names
}

/// The weakest basis of all that was said of a ruling.
#[must_use]
pub fn weakest(ruling: &Ruling) -> Option<Basis> {
    ruling.said.iter().map(Said::basis).max()
}
