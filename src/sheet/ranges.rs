//! Ranges of qualification as words: what a test covers and what follows, for the sheet and for the faces of a
//! comparison.

use super::show;
use super::words::english;
use crate::engine::qualification::point::{UNTREATED, figure_of};
use crate::engine::qualification::{Entry, Held, Reach, Ruling, Said, Verdict};
use crate::engine::work::constant;
use crate::reference::qualification::Variable;
use crate::units::show::{self as units_show, Toward};
use crate::units::{Range, System, mm};

/// A text of `qualification.toml`, its blanks `{0}`, `{1}` filled in order, others by their names.
#[must_use]
pub fn text(key: &str, args: &[(&str, &str)]) -> String {
    let fill = |blank: &str| args.iter().find(|(name, _)| *name == blank).map(|(_, value)| (*value).to_owned());
    english().text("qualification", key, &fill)
}

/// The name of a variable.
#[must_use]
pub fn name(variable: Variable) -> String {
    text(&format!("variable/{}", variable.word()), &[])
}

/// What follows: `inside`, `outside: new test`, `ask: the sources differ`.
#[must_use]
pub fn verdict(ruling: &Ruling) -> String {
    let reason = ruling.reason.map(|reason| text(&format!("reason/{}", reason.word()), &[])).unwrap_or_default();
    text(&format!("verdict/{}", ruling.verdict.word()), &[("reason", &reason)])
}

/// A value as it is shown; a weld that nobody treats in words.
#[must_use]
pub fn value(variable: Variable, entry: Option<&Entry>) -> String {
    match entry {
        None => String::new(),
        Some(entry) if variable == Variable::HeatTreatment && entry.held == Held::Word(UNTREATED.to_owned()) => {
            text("treatment/none", &[])
        }
        Some(entry) => entry.shown.clone(),
    }
}

/// The unit of a variable's numbers; empty where it has none.
#[must_use]
pub fn unit(variable: Variable) -> &'static str {
    match variable {
        Variable::Thickness | Variable::Deposit | Variable::Throat => "mm",
        other => figure_of(other).and_then(crate::engine::FigureName::unit).unwrap_or_default(),
    }
}

/// What a row covers: `3 to 12 mm (0.119 to 0.472 in)`, `ER4043 alone`, `group 22.3 (ISO/TR 15608)`.
#[must_use]
pub fn covers(ruling: &Ruling, said: &Said, system: System) -> String {
    let tested = value(ruling.variable, ruling.tested.as_ref());
    if ruling.variable == Variable::Preheat
        && said.reach == Reach::Ends
        && said.low.is_some_and(|low| low <= constant("no-preheat-up-to").value)
    {
        // Nobody preheats to the temperature of the shop.
        return text(if said.high.is_some() { "covers/no-preheat" } else { "covers/any" }, &[]);
    }
    match &said.reach {
        Reach::Any => text("covers/any", &[]),
        Reach::Unknown if ruling.tested.is_none() => text("covers/silent", &[]),
        Reach::Unknown => text("covers/unknown", &[]),
        Reach::Alone => text("covers/alone", &[("0", &tested)]),
        Reach::Group(scheme, group) => text("covers/group", &[("0", group), ("1", scheme.word())]),
        Reach::Words(words) => words.join(", "),
        Reach::Ends => match (said.low, said.high) {
            (Some(low), Some(high)) if low == high => text("covers/alone", &[("0", &tested)]),
            (low, high) => ends(ruling.variable, low, high, system),
        },
    }
}

/// A range with one end or two, each rounded to the safe side; temperatures to the degree, because a bench step of 5 °F
/// would shut the test piece itself out of what it covers.
#[must_use]
pub fn ends(variable: Variable, low: Option<f64>, high: Option<f64>, system: System) -> String {
    let unit = unit(variable);
    let side = |toward| if unit == "°C" { Toward::Nearest } else { toward };
    let one =
        |number, toward| show::in_unit(number, unit, side(toward), system).unwrap_or_else(|| show::bare(number, unit));
    match (low, high) {
        (Some(low), Some(high)) => match unit {
            "mm" => units_show::limits_both(Range::new(mm(low), mm(high)), system),
            _ => show::range_in_unit(low, high, unit, system).unwrap_or_else(|| show::bare_range(low, high, unit)),
        },
        (Some(low), None) => text("covers/at-least", &[("0", &one(low, Toward::Up))]),
        (None, Some(high)) => text("covers/at-most", &[("0", &one(high, Toward::Down))]),
        (None, None) => text("covers/any", &[]),
    }
}

/// Whether a ruling belongs in a table of what a test covers: what asks no test does not.
#[must_use]
pub fn is_told(ruling: &Ruling) -> bool {
    ruling.verdict != Verdict::NotEssential
}

/// What asks no test, with the condition under which it would: `heat input (essential only where ...)`.
#[must_use]
pub fn free(ruling: &Ruling) -> String {
    let name = name(ruling.variable).to_lowercase();
    match ruling.reason {
        Some(reason) => format!("{name} ({})", text(&format!("reason/{}", reason.word()), &[])),
        None => name,
    }
}
