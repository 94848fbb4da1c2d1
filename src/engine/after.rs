//! Strength after the weld: what is left beside it of the temper, and what would bring the temper back.

use super::figure::{Figure, LineKind, Value};
use super::job::{Base, Job};
use super::names::FigureName;
use super::work::{Work, cite, constant, round};
use crate::reference::search::{as_welded_of, haz_of, postweld_of, strength_of};
use crate::reference::{AsWelded, Basis, Haz, Postweld, Product, Row, Strength};
use crate::spec::Form;

/// Tempers that hold no more than the metal itself: as cast, soft, hardly worked.
const PLAIN: [&str; 4] = ["F", "O", "H111", "H112"];

/// Forms of the table of strength beside the weld.
const FORMS: [&str; 3] = ["extrusion", "sheet and plate", "drawn tube"];

/// What is known of the strength beside a weld.
#[derive(Debug, Clone, Copy)]
pub enum Beside {
    /// A row for this metal, temper, form and thickness.
    Row(&'static Haz),
    /// The least tensile strength that a procedure test asks across a weld in this metal, and the metal before it.
    Welded(&'static AsWelded, Option<&'static Strength>),
    /// No figure beside a weld: it lies between the soft temper and the one before.
    Between {
        /// In the softest temper that is known.
        soft: &'static Strength,
        /// In the temper before.
        own: &'static Strength,
    },
    /// Nothing.
    Unknown,
}

/// Whether a weld softens this metal: its row says so, or its temper where it has none.
#[must_use]
pub fn softens(job: &Job<'_>, base: &Base) -> bool {
    match beside(job, base) {
        Beside::Row(row) => row.haz_proof < row.proof || row.haz_tensile < row.tensile,
        _ => !base.temper.as_deref().is_some_and(|temper| PLAIN.contains(&temper)),
    }
}

/// The form of the table that a form of the spec takes; none where no row holds for it.
fn forms(form: Option<Form>) -> &'static [&'static str] {
    let [extrusion, plate, tube] = &FORMS;
    match form {
        Some(Form::Sheet | Form::Plate) => std::slice::from_ref(plate),
        Some(Form::Tube) => std::slice::from_ref(tube),
        Some(Form::Extrusion | Form::Bar) => std::slice::from_ref(extrusion),
        Some(
            Form::Forging
            | Form::SandCasting
            | Form::PermanentMouldCasting
            | Form::InvestmentCasting
            | Form::DieCasting,
        ) => &[],
        None => &FORMS,
    }
}

fn form_of(job: &Job<'_>, base: &Base) -> Option<Form> {
    let own = std::ptr::eq(base, &raw const job.base);
    let other = job.spec.metal.other.as_ref().and_then(|at| at.value.form.as_ref());
    let at = if own { job.spec.metal.form.as_ref() } else { other };
    at.map(|at| at.value)
}

/// What is known of the strength beside the weld of one of the metals of a job.
///
/// Of a metal whose form is not stated the weakest row of any form is taken.
#[must_use]
pub fn beside(job: &Job<'_>, base: &Base) -> Beside {
    let (Some(alloy), Some(temper)) = (base.alloy, base.temper.as_deref()) else { return Beside::Unknown };
    let wall = base.thickness.or(job.thickness).unwrap_or_default();
    let rows = forms(form_of(job, base)).iter().filter_map(|form| haz_of(&alloy.name, temper, form, wall));
    if let Some(row) = rows.min_by(|a, b| a.haz_tensile.total_cmp(&b.haz_tensile)) {
        return Beside::Row(row);
    }
    let own = strength_of(&alloy.name, temper);
    if let Some(row) = as_welded_of(&alloy.name).filter(|_| !PLAIN.contains(&temper)) {
        return Beside::Welded(row, own.filter(|own| own.tensile > row.tensile));
    }
    let soft = ["F", "O"].iter().find_map(|temper| strength_of(&alloy.name, temper));
    match (own, soft) {
        (Some(own), Some(soft)) if soft.proof < own.proof => Beside::Between { soft, own },
        _ => Beside::Unknown,
    }
}

/// Strength left beside the weld: the tensile strength of the weaker metal, with its proof strength, both before and
/// after, as parts. None where no row is known.
#[must_use]
pub fn haz_figure(job: &Job<'_>) -> Option<Figure> {
    let bases = std::iter::once(&job.base).chain(&job.other);
    let left = |base: &&Base| match beside(job, base) {
        Beside::Row(row) => Some(row.haz_tensile),
        Beside::Welded(row, _) => Some(row.tensile),
        Beside::Between { .. } | Beside::Unknown => None,
    };
    let weakest = bases.filter_map(|base| Some((left(&base)?, base))).min_by(|a, b| a.0.total_cmp(&b.0));
    let (tensile, base) = weakest?;
    let mut work = Work::new();
    let mut parts = Vec::new();
    let basis = match beside(job, base) {
        Beside::Row(row) => from_row(&mut work, row, base, &mut parts),
        Beside::Welded(row, own) => from_test(&mut work, row, own, base, &mut parts),
        Beside::Between { .. } | Beside::Unknown => return None,
    };
    parts.push(("extent", work.small_constant("soft-extent", ""), "mm"));
    let zinc = base.alloy.is_some_and(|alloy| alloy.heat_group == "zinc");
    if zinc {
        parts.push(("natural-days", work.constant("natural-ageing-days", ""), "d"));
    }
    for other in std::iter::once(&job.base).chain(&job.other).filter(|other| !std::ptr::eq(*other, base)) {
        let word = left(&other).map_or("haz-other-unknown", |_| "haz-other-stronger");
        work.remark(LineKind::Remark, word, vec![other.shown.clone()], None);
    }
    work.remark(LineKind::Doubt, "haz-hotter-is-wider", Vec::new(), Some(cite("soft-extent")));
    let mut figure = work.done(FigureName::HazStrength, Value::Number(round(FigureName::HazStrength, tensile)), basis);
    figure.parts = parts;
    Some(figure)
}

type Parts = Vec<(&'static str, f64, &'static str)>;

fn from_row(work: &mut Work, row: &'static Haz, base: &Base, parts: &mut Parts) -> Basis {
    work.row("haz-tensile-before", "B", row.tensile, "MPa", row.cite());
    work.with(vec![base.shown.clone()]);
    work.row("haz-tensile-left", "b", row.haz_tensile, "MPa", row.cite());
    let tensile = work.step("haz-tensile-share", "", "100 * b / B", 100.0 * row.haz_tensile / row.tensile, "%");
    work.row("haz-proof-before", "P", row.proof, "MPa", row.cite());
    work.row("haz-proof-left", "p", row.haz_proof, "MPa", row.cite());
    let proof = work.step("haz-proof-share", "", "100 * p / P", 100.0 * row.haz_proof / row.proof, "%");
    parts.extend([
        ("tensile-before", row.tensile, "MPa"),
        ("tensile-share", round(FigureName::Softening, tensile), "%"),
        ("proof-before", row.proof, "MPa"),
        ("proof-left", row.haz_proof, "MPa"),
        ("proof-share", round(FigureName::Softening, proof), "%"),
    ]);
    row.basis
}

fn from_test(
    work: &mut Work,
    row: &'static AsWelded,
    own: Option<&'static Strength>,
    base: &Base,
    parts: &mut Parts,
) -> Basis {
    work.row("as-welded", "b", row.tensile, "MPa", row.cite());
    work.with(vec![base.shown.clone()]);
    if let Some(own) = own {
        work.small_row("haz-tensile-before", "B", own.tensile, "MPa", own.cite());
        work.with(vec![base.shown.clone()]);
        let share = work.step("haz-tensile-share", "", "100 * b / B", 100.0 * row.tensile / own.tensile, "%");
        parts.push(("tensile-before", own.tensile, "MPa"));
        parts.push(("tensile-share", round(FigureName::Softening, share), "%"));
    }
    work.remark(LineKind::Doubt, "as-welded-is-a-least", Vec::new(), None);
    row.basis
}

/// What would bring the temper back.
#[derive(Debug, Clone, Copy)]
pub enum Restore {
    /// Solution treatment and ageing, by this row.
    Treatment(&'static Postweld),
    /// Solution treatment and ageing; no row for this metal.
    Unlisted,
    /// It comes back by itself, to the strength of its row, in some weeks.
    ByItself,
    /// A die casting: its gas blisters.
    DieCasting,
    /// Nothing but cold work.
    Never,
}

/// What would bring the temper of one of the metals back.
#[must_use]
pub fn restore(job: &Job<'_>, base: &Base) -> Option<Restore> {
    let alloy = base.alloy?;
    let die = alloy.product == Product::Die || form_of(job, base) == Some(Form::DieCasting);
    Some(match postweld_of(&alloy.name) {
        _ if die => Restore::DieCasting,
        _ if alloy.heat_group == "zinc" => Restore::ByItself,
        Some(row) => Restore::Treatment(row),
        None if alloy.heat_treatable => Restore::Unlisted,
        None => Restore::Never,
    })
}

/// Days at room temperature until a welded zinc alloy has its strength.
#[must_use]
pub fn natural_days() -> f64 {
    constant("natural-ageing-days").value
}
