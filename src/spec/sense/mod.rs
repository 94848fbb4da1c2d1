//! The sense of a spec, as far as the language itself can tell: keys that exclude or need each other, names that the
//! tables know, sizes that the kind of damage needs, steps that stand in order.

mod acceptance;
pub mod sizes;
mod steps;

use super::names;
use super::nearest::near;
use super::read::Unread;
use super::shape::or_list;
use super::types::{Coupon, Form, Qualification, QualificationState, Rotating, Set, Spec};
use crate::findings::{At, Code, Finding, Severity, Span};
use crate::reference::{self, search};
use std::ops::Range;

/// Everything that the language has to say about a spec as a whole.
#[must_use]
pub fn findings(spec: &Spec, unread: &Unread) -> Vec<Finding> {
    let mut found = Vec::new();
    metals(spec, unread, &mut found);
    if let Some(gas) = &spec.weld.gas {
        found.extend(gas_name(gas));
    }
    if let Some(set) = &spec.weld.set {
        settings(set, &mut found);
    }
    if let Some(rotating) = &spec.part.rotating {
        grade(rotating, &mut found);
    }
    qualification(&spec.qualification, unread, &mut found);
    sizes::check(spec, unread, &mut found);
    acceptance::check(spec, &mut found);
    steps::check(&spec.step, &mut found);
    found
}

/// A metal as the keys of a table name it.
struct Named<'s> {
    table: &'static str,
    path: &'static str,
    at: Span,
    alloy: Option<&'s At<String>>,
    family: Option<&'s At<String>>,
    form: Option<Form>,
}

fn metals(spec: &Spec, unread: &Unread, found: &mut Vec<Finding>) {
    let metal = &spec.metal;
    let form = metal.form.as_ref().map(|form| form.value);
    let mut named = vec![Named {
        table: "[metal]",
        path: "metal",
        at: metal.span,
        alloy: metal.alloy.as_ref(),
        family: metal.family.as_ref(),
        form,
    }];
    if let Some(other) = &metal.other {
        named.push(Named {
            table: "[metal.other]",
            path: "metal.other",
            at: other.span,
            alloy: other.alloy.as_ref(),
            family: other.family.as_ref(),
            form: other.form.as_ref().map(|form| form.value),
        });
    }
    for metal in named {
        one_metal(&metal, unread, found);
    }
}

fn one_metal(metal: &Named<'_>, unread: &Unread, found: &mut Vec<Finding>) {
    let unread_key = |key: &str| unread.has(&format!("{}.{key}", metal.path));
    match (metal.alloy, metal.family) {
        (Some(alloy), Some(family)) => found.push(
            Finding::new(Code::KeyTogether, "`alloy` and `family` both say what the metal is")
                .at(family.span)
                .label("take this line out")
                .related(alloy.span, "the alloy says more")
                .help("`family` is for a metal of which nothing better is known"),
        ),
        (None, None) if !unread_key("alloy") && !unread_key("family") => found.push(
            Finding::new(Code::MetalMissing, format!("{} does not say what the metal is", metal.table))
                .at(metal.at)
                .label("neither `alloy` nor `family`")
                .help(format!(
                    "add alloy = \"...\", or {} when nobody knows better; family = \"{}\" gives a sheet of the tests that find out",
                    family_lines(metal.form),
                    names::UNKNOWN
                )),
        ),
        _ => {}
    }
    found.extend(metal.alloy.and_then(|alloy| alloy_name(alloy, metal.form)));
    found.extend(metal.family.and_then(family_name));
}

/// The finding that no metal of the tables has this name; near names are listed and not proposed.
fn alloy_name(alloy: &At<String>, form: Option<Form>) -> Option<Finding> {
    let rows = &reference::alloy().rows;
    if rows.is_empty() || names::alloy(alloy).is_some() {
        return None;
    }
    let finding =
        Finding::new(Code::MetalNameUnknown, format!("no alloy is called \"{}\"", alloy.value)).at(alloy.span);
    if let Some((row, temper)) = names::alloy_with_temper(alloy) {
        return Some(
            finding
                .label("alloy and temper in one")
                .help(format!("write alloy = \"{}\" and temper = \"{temper}\"", row.name)),
        );
    }
    let source = if form.is_some_and(is_casting) { "casting" } else { "part" };
    let finding = finding
        .label(format!("read it again off the {source} or the certificate"))
        .help(format!("if nobody knows, write {} in its place", family_lines(form)));
    Some(with_names(finding, &search::alloy_names_near(alloy)))
}

fn is_casting(form: Form) -> bool {
    matches!(form, Form::SandCasting | Form::PermanentMouldCasting | Form::InvestmentCasting | Form::DieCasting)
}

/// The line that gives the family, for a form of the metal.
fn family_lines(form: Option<Form>) -> &'static str {
    match form {
        Some(form) if is_casting(form) => "family = \"cast aluminium\", \"grey iron\" or another family of castings",
        Some(_) => "family = \"wrought aluminium\", \"carbon steel\" or another family",
        None => "family = \"cast aluminium\", \"carbon steel\" or another family",
    }
}

fn family_name(family: &At<String>) -> Option<Finding> {
    let families = names::families();
    if families.is_empty() || families.contains(&family.value.as_str()) {
        return None;
    }
    let quoted: Vec<String> = families.iter().map(|family| format!("\"{family}\"")).collect();
    let takes = format!("`family` takes {}", or_list(&quoted));
    let finding = if family.to_lowercase().contains("alumin") {
        Finding::new(Code::MetalNameUnknown, format!("no family of metals is called \"{}\"", family.value))
            .label("not in the list")
    } else {
        Finding::new(Code::MetalNotYet, format!("the tables do not cover \"{}\"", family.value)).label("not covered")
    };
    Some(finding.at(family.span).help(takes))
}

/// Adds the names near to an unknown one, as a note that proposes nothing.
fn with_near<'k>(finding: Finding, written: &str, known: impl Iterator<Item = &'k str>) -> Finding {
    with_names(finding, &near(written, known, 4))
}

fn with_names(finding: Finding, names: &[&str]) -> Finding {
    if names.is_empty() { finding } else { finding.note(format!("names near it, not proposals: {}", names.join(", "))) }
}

/// The finding that a gas is neither argon, helium nor a mixture of the two.
pub(crate) fn gas_name(gas: &At<String>) -> Option<Finding> {
    let bad = names::gas_parts(gas).err()?;
    let finding = Finding::new(Code::NameUnknown, format!("\"{}\" is no shielding gas for this process", gas.value))
        .at(inside(gas, bad.at))
        .label(bad.label)
        .help("argon, helium, or a mixture such as \"argon + 30 % helium\"");
    Some(finding)
}

/// The place of bytes of a text; the whole text where it was spelt with escapes.
pub(crate) fn inside(text: &At<String>, at: Range<usize>) -> Span {
    let span = text.span;
    if span.end - span.start != text.value.len() {
        return span;
    }
    Span { start: span.start + at.start, end: span.start + at.end, ..span }
}

/// The finding that no filler metal has this name.
pub(crate) fn filler_name(filler: &At<String>) -> Option<Finding> {
    let rows = &reference::filler().rows;
    if rows.is_empty() || names::filler(filler).is_some() {
        return None;
    }
    let finding = Finding::new(Code::NameUnknown, format!("no filler metal is called \"{}\"", filler.value))
        .at(filler.span)
        .label("read it again off the packet or the rod")
        .help("write the classification, such as \"ER4043\"");
    Some(with_near(finding, filler, rows.iter().map(|row| row.name.as_str())))
}

/// The finding that no tungsten has this name.
pub(crate) fn tungsten_name(tungsten: &At<String>) -> Option<Finding> {
    let rows = &reference::tungsten_class().rows;
    if rows.is_empty() || names::tungsten(tungsten).is_some() {
        return None;
    }
    let finding = Finding::new(Code::NameUnknown, format!("no tungsten is called \"{}\"", tungsten.value))
        .at(tungsten.span)
        .label("read it again off the box")
        .help("write the class of ISO 6848, such as \"WLa 20\"");
    Some(with_near(finding, tungsten, rows.iter().map(|row| row.name.as_str())))
}

fn settings(set: &Set, found: &mut Vec<Finding>) {
    found.extend(set.filler_metal.as_ref().and_then(|filler| filler_name(&filler.value.value)));
    found.extend(set.tungsten_type.as_ref().and_then(|tungsten| tungsten_name(&tungsten.value.value)));
}

/// A balance quality grade is G and a number.
fn grade(rotating: &At<Rotating>, found: &mut Vec<Finding>) {
    let Some(grade) = &rotating.grade else { return };
    let number = grade.strip_prefix(['G', 'g']).map(str::trim).and_then(|number| number.parse::<f64>().ok());
    if number.is_none_or(|number| !(number > 0.0 && number <= 4000.0)) {
        found.push(
            Finding::new(Code::NameUnknown, format!("\"{}\" is no balance quality grade", grade.value))
                .at(grade.span)
                .label("not a grade")
                .help("write G and the number, such as \"G16\" or \"G6.3\""),
        );
    }
}

fn qualification(qualification: &Qualification, unread: &Unread, found: &mut Vec<Finding>) {
    if let Some(state) = &qualification.state
        && state.value == QualificationState::Qualified
    {
        let missing: Vec<&str> =
            [("record", qualification.record.is_none()), ("standard", qualification.standard.is_none())]
                .into_iter()
                .filter(|(key, missing)| *missing && !unread.has(&format!("qualification.{key}")))
                .map(|(key, _)| key)
                .collect();
        if !missing.is_empty() {
            let keys = super::shape::key_list(missing.iter().copied());
            found.push(
                Finding::new(
                    Code::KeyTogether,
                    format!("a qualified procedure has a record under a standard: {keys} is missing"),
                )
                .at(state.span)
                .label("by which test?")
                .help("add record = \"...\" and standard = \"...\", or state = \"none\""),
            );
        }
    }
    if let Some(coupon) = &qualification.coupon {
        test_piece(coupon, found);
    }
    if let Some(welder) = &qualification.welder
        && let (Some(confirmed), Some(expires)) = (&welder.confirmed, &welder.expires)
        && expires.value < confirmed.value
    {
        found.push(
            Finding::new(Code::KeyDate, "the welder's qualification runs out before it was confirmed")
                .at(expires.span)
                .label("the earlier day")
                .related(confirmed.span, "confirmed on this day")
                .help("check both dates"),
        );
    }
}

/// Names of a test piece are evidence of another day: what the tables do not know is said, and stops nothing.
fn test_piece(coupon: &At<Coupon>, found: &mut Vec<Finding>) {
    let alloy = coupon.alloy.as_ref().and_then(|alloy| alloy_name(alloy, None));
    let alloy = alloy.map(|finding| finding.label("read it again off the record").help("write it as on the record"));
    let filler = coupon.filler.as_ref().and_then(filler_name);
    let gas = coupon.gas.as_ref().and_then(gas_name);
    found.extend([alloy, filler, gas].into_iter().flatten().map(|finding| finding.severity(Severity::Warning)));
    if let Some(polarity) = &coupon.polarity
        && !["AC", "DCEN", "DCEP"].contains(&polarity.as_str())
    {
        found.push(
            Finding::new(Code::NameUnknown, format!("\"{}\" is no polarity", polarity.value))
                .at(polarity.span)
                .label("not in the list")
                .help("`polarity` takes AC, DCEN or DCEP"),
        );
    }
}
