//! Changes: what differs between two revisions of a procedure: in the job, in the settings and what moved them, and what
//! a standard of qualification says of each variable. Text in, values out; the words are made by the faces.

mod inputs;
mod shown;

use crate::engine::qualification::{self, Entry, Point, Ruling, Verdict};
use crate::engine::{self, Figure, FigureName, Figures, job};
use crate::kit::Kit;
use crate::reference::QualificationStandard;
use crate::reference::qualification::{Variable, standard_named};
use crate::spec::{self, Spec};
use crate::units::System;
use std::collections::BTreeMap;

pub use inputs::Input;

/// A revision by its paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// Number of the procedure.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// Date; none where it bears none.
    pub date: Option<String>,
    /// Why it was made.
    pub reason: Option<String>,
}

/// A setting that changed, came or went.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// Its name.
    pub name: FigureName,
    /// As it was.
    pub old: Option<Figure>,
    /// As it is.
    pub new: Option<Figure>,
    /// Inputs that move it by themselves: places in [`Changes::job`].
    pub inputs: Vec<usize>,
    /// Changed figures that it is worked out from.
    pub by_way_of: Vec<FigureName>,
}

/// What one standard says.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The standard.
    pub standard: &'static QualificationStandard,
    /// The record whose test piece is asked about; none where the older revision stands in for a test.
    pub record: Option<String>,
    /// Whether a test piece is on record; else the older revision stands in for one.
    pub tested: bool,
    /// Rulings on every variable that changed, and on those that lay outside before.
    pub rulings: Vec<Ruling>,
    /// What the older revision had, where its test piece is silent.
    pub before: BTreeMap<Variable, Entry>,
    /// Variables that the standard asks about and that did not change.
    pub unchanged: Vec<Variable>,
}

/// What differs between two revisions.
#[derive(Debug, Clone)]
pub struct Changes {
    /// The older one.
    pub old: Revision,
    /// The newer one.
    pub new: Revision,
    /// System of units that comes first.
    pub system: System,
    /// Inputs that changed in meaning.
    pub job: Vec<Input>,
    /// Keys that are spelt otherwise and mean the same.
    pub respelt: Vec<String>,
    /// Whether the texts differ at all.
    pub text_differs: bool,
    /// Settings that changed, in the order of the sheet.
    pub settings: Vec<Setting>,
    /// Figures that stayed as they are.
    pub unchanged: Vec<FigureName>,
    /// What each standard says.
    pub judged: Vec<Judged>,
    /// Standards that were asked about and that the tables do not hold.
    pub not_held: Vec<String>,
}

impl Changes {
    /// Whether job or settings differ.
    #[must_use]
    pub fn any(&self) -> bool {
        !self.job.is_empty() || !self.settings.is_empty()
    }

    /// Whether a standard that was asked wants a new test.
    #[must_use]
    pub fn new_test(&self) -> bool {
        self.judged.iter().flat_map(|judged| &judged.rulings).any(|ruling| ruling.verdict == Verdict::NewTest)
    }
}

/// A spec worked out, as far as a comparison needs it.
struct Side {
    spec: Spec,
    figures: Figures,
    point: Point,
    system: System,
}

impl Side {
    fn of(text: &str, kit: Option<&Kit>) -> Option<Side> {
        let (spec, _) = spec::read(text);
        let spec = spec?;
        let (figures, point, system) = {
            let (job, _) = job::check(&spec, kit);
            let figures = engine::work_out(&job).figures;
            let point = Point::of_job(&job, &figures);
            (figures, point, job.system)
        };
        Some(Side { spec, figures, point, system })
    }

    fn revision(&self) -> Revision {
        let procedure = &self.spec.procedure.value;
        Revision {
            number: procedure.number.value.0.clone(),
            revision: procedure.revision.value.0.clone(),
            date: procedure.date.as_ref().map(|at| at.value.0.to_string()),
            reason: procedure.reason.as_ref().map(|at| at.value.clone()),
        }
    }

    fn standard(&self) -> Option<&str> {
        self.spec.qualification.standard.as_ref().map(|at| at.value.as_str())
    }
}

/// Compares two texts of one procedure, both worked out with the same kit.
///
/// `standards` are those to ask; where there is none, those that the two name. None where one of the texts cannot be
/// read that far; the reader of the language says why.
#[must_use]
pub fn compare(
    old: &str,
    new: &str,
    kit: Option<&Kit>,
    standards: &[String],
    units: Option<System>,
) -> Option<Changes> {
    let (a, b) = (Side::of(old, kit)?, Side::of(new, kit)?);
    let (job, respelt) = inputs::differences(old, new);
    let (settings, unchanged) = settings(&a, &b, &job, (old, new), kit);
    let (judged, not_held) = judged(&a, &b, standards);
    Some(Changes {
        old: a.revision(),
        new: b.revision(),
        system: units.unwrap_or(b.system),
        job,
        respelt,
        text_differs: old != new,
        settings,
        unchanged,
        judged,
        not_held,
    })
}

/// Whether two figures are worth the same: value, limits, parts, passes; how they came about does not count.
fn same(a: Option<&Figure>, b: Option<&Figure>) -> bool {
    let worth = |figure: &Figure| {
        (
            figure.value.clone(),
            figure.minimum,
            figure.maximum,
            figure.parts.clone(),
            figure.passes.clone(),
            figure.limits.iter().map(|limit| (limit.standard, limit.level, limit.flaw, limit.most)).collect::<Vec<_>>(),
        )
    };
    a.map(worth) == b.map(worth)
}

/// The settings that changed, each with what moved it, and those that did not.
fn settings(
    a: &Side,
    b: &Side,
    job: &[Input],
    (old, new): (&str, &str),
    kit: Option<&Kit>,
) -> (Vec<Setting>, Vec<FigureName>) {
    // What a qualification covers is no setting; the standards speak of it.
    let names = FigureName::ALL.iter().copied().filter(|name| *name != FigureName::Qualification);
    let (same_names, changed): (Vec<FigureName>, Vec<FigureName>) = names
        .filter(|name| a.figures.contains_key(name) || b.figures.contains_key(name))
        .partition(|name| same(a.figures.get(name), b.figures.get(name)));
    // Each input put back in the new text, and put forward in the old one, one at a time.
    let moved: Vec<[Option<Figures>; 2]> = job
        .iter()
        .map(|input| {
            let work = |text: Option<String>| text.and_then(|text| Side::of(&text, kit)).map(|side| side.figures);
            if changed.is_empty() || !input.can_move() {
                return [None, None];
            }
            [work(inputs::with(new, old, &input.key)), work(inputs::with(old, new, &input.key))]
        })
        .collect();
    let setting = |name: FigureName| {
        let (old, new) = (a.figures.get(&name), b.figures.get(&name));
        let moves = |[back, forward]: &[Option<Figures>; 2]| {
            back.as_ref().is_some_and(|back| !same(back.get(&name), new))
                || forward.as_ref().is_some_and(|forward| !same(forward.get(&name), old))
        };
        let uses = [old, new].into_iter().flatten().flat_map(|figure| figure.uses.iter().copied());
        let mut by_way_of: Vec<FigureName> = uses.filter(|used| *used != name && changed.contains(used)).collect();
        by_way_of.sort_unstable();
        by_way_of.dedup();
        let inputs = moved.iter().enumerate().filter(|(_, figures)| moves(figures)).map(|(index, _)| index).collect();
        Setting { name, old: old.cloned(), new: new.cloned(), inputs, by_way_of }
    };
    (changed.iter().copied().map(setting).collect(), same_names)
}

/// What each standard says of what changed.
fn judged(a: &Side, b: &Side, asked: &[String]) -> (Vec<Judged>, Vec<String>) {
    let mut names: Vec<String> = asked.to_vec();
    if names.is_empty() {
        names.extend([b.standard(), a.standard()].into_iter().flatten().map(str::to_owned));
    }
    let (mut judged, mut not_held): (Vec<Judged>, Vec<String>) = (Vec::new(), Vec::new());
    for name in names {
        match standard_named(&name) {
            Some(standard) if judged.iter().any(|judged| judged.standard.name == standard.name) => {}
            Some(standard) => judged.push(judge(a, b, standard)),
            None if !not_held.contains(&name) => not_held.push(name),
            None => {}
        }
    }
    (judged, not_held)
}

/// The test piece on record: that of the older revision, which the change may leave behind; that of the newer one where
/// the older has none, or where it names another record.
fn on_record<'a>(a: &'a Side, b: &'a Side) -> Option<(&'a Side, Point)> {
    let of = |side: &'a Side| {
        let coupon = side.spec.qualification.coupon.as_ref()?;
        Some((side, Point::of_coupon(coupon, side.system)))
    };
    let record = |side: &Side| side.spec.qualification.record.as_ref().map(|at| at.value.clone());
    let newer = of(b).filter(|_| record(b).is_some() && record(a) != record(b));
    newer.or_else(|| of(a)).or_else(|| of(b))
}

fn judge(a: &Side, b: &Side, standard: &'static QualificationStandard) -> Judged {
    let recorded = on_record(a, b);
    let record = recorded.as_ref().and_then(|(side, _)| side.spec.qualification.record.as_ref());
    let tested = recorded.as_ref().map_or(&a.point, |(_, point)| point);
    let changed = |variable: Variable| match (a.point.get(variable), b.point.get(variable)) {
        (Some(a), Some(b)) => !qualification::ruling::same(&a.held, &b.held),
        (a, b) => a.is_some() != b.is_some(),
    };
    let (told, unchanged): (Vec<Ruling>, Vec<Ruling>) = qualification::rulings(standard, tested, &b.point)
        .into_iter()
        .partition(|ruling| changed(ruling.variable) || ruling.verdict == Verdict::NewTest);
    Judged {
        standard,
        record: record.map(|at| at.value.clone()),
        tested: recorded.is_some(),
        before: told
            .iter()
            .filter(|ruling| ruling.tested.is_none())
            .filter_map(|ruling| Some((ruling.variable, a.point.get(ruling.variable)?.clone())))
            .collect(),
        rulings: told,
        unchanged: unchanged.into_iter().map(|ruling| ruling.variable).collect(),
    }
}
