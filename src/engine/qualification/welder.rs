//! A welder's own qualification, held against this procedure: thickness, position, group of metal, and whether it is
//! confirmed and in force on the date of the procedure, never on the day of reading.

use super::ruling::{Outcome, Reason};
use crate::engine::job::Job;
use crate::findings::Span;
use crate::reference::qualification::{Rule, Scheme, group_of};
use crate::reference::{Cite, Row, WelderRule, welder_rule};
use crate::spec::Welder;
use crate::units::{InUnits, show};
use jiff::ToSpan;
use jiff::civil::Date;

/// What one item of a welder's qualification comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct WelderRuling {
    /// `thickness`, `position`, `metal`, `confirmed` or `expires`.
    pub what: &'static str,
    /// What the certificate says.
    pub tested: String,
    /// What this procedure has: a value, or its date.
    pub here: String,
    /// Lower end of what is covered, mm.
    pub low: Option<f64>,
    /// Upper end, mm.
    pub high: Option<f64>,
    /// Last day of a confirmation, where that is what is ruled on.
    pub until: Option<String>,
    /// What it comes to.
    pub outcome: Outcome,
    /// Where the rule was found; none for what the certificate itself says.
    pub cite: Option<Cite>,
    /// Where the certificate says it.
    pub span: Option<Span>,
}

/// Rules on everything that the spec tells of the welder's qualification.
#[must_use]
pub fn rulings(job: &Job<'_>) -> Vec<WelderRuling> {
    let Some(welder) = &job.spec.qualification.welder else { return Vec::new() };
    let all = [
        thickness(job, welder),
        position(job, welder),
        metal(job, welder),
        confirmed(job, welder),
        expires(job, welder),
    ];
    all.into_iter().flatten().collect()
}

/// The rows of the welder's standard for an item; those of another standard are not held.
fn rows(welder: &Welder, what: &'static str) -> Vec<&'static WelderRule> {
    let plain = |name: &str| {
        let name = name.split(':').next().unwrap_or_default().to_uppercase();
        name.chars().filter(char::is_ascii_alphanumeric).collect::<String>()
    };
    let named = welder.standard.as_ref().map(|at| plain(&at.value));
    let same = |row: &&WelderRule| named.as_ref().is_some_and(|name| name.ends_with(&plain(&row.standard)));
    welder_rule().rows.iter().filter(|row| row.variable == what).filter(same).collect()
}

fn ruling(what: &'static str, tested: String, here: String, outcome: Outcome, cite: Option<Cite>) -> WelderRuling {
    WelderRuling { what, tested, here, low: None, high: None, until: None, outcome, cite, span: None }
}

fn decided(inside: bool) -> Outcome {
    if inside { Outcome::Inside } else { Outcome::Outside }
}

fn thickness(job: &Job<'_>, welder: &Welder) -> Option<WelderRuling> {
    let at = welder.thickness.as_ref()?;
    let [thin, thick] = [at.value.range.low, at.value.range.high].map(InUnits::in_mm);
    let row = || {
        rows(welder, "thickness")
            .into_iter()
            .find(|row| row.tested.is_some_and(|[low, high]| low <= thin && thin <= high))
    };
    // A range is what the certificate covers; one value is the thickness that was tested.
    let (low, high, cite) = if at.value.is_single() {
        match row() {
            Some(row) => {
                let low = row.low.or(row.low_factor.map(|factor| factor * thin));
                (low, row.high_factor.map(|factor| factor * thick), Some(row.cite()))
            }
            None => (None, None, None),
        }
    } else {
        (Some(thin), Some(thick), None)
    };
    let outcome = match job.thickness {
        None => Outcome::Open(Reason::HereUnknown),
        Some(_) if low.is_none() && high.is_none() => Outcome::Open(Reason::NotHeld),
        Some(wall) => decided(low.is_none_or(|low| low <= wall) && high.is_none_or(|high| wall <= high)),
    };
    let here = job.spec.metal.thickness.as_ref().map(|at| show::stated(&at.value)).unwrap_or_default();
    let ruled = ruling("thickness", show::stated(&at.value), here, outcome, cite);
    Some(WelderRuling { low, high, span: Some(at.span), ..ruled })
}

fn position(job: &Job<'_>, welder: &Welder) -> Option<WelderRuling> {
    let at = welder.position.as_ref()?;
    let (tested, here) = (at.value.word(), job.position.word());
    let rows = rows(welder, "position");
    let covering = rows.iter().find(|row| row.rule == Rule::Covers && row.from.iter().any(|from| from == tested));
    let covers = covering.is_some_and(|row| row.covers.iter().any(|covers| covers == here));
    let outcome = match (tested == here || covers, rows.is_empty()) {
        (true, _) => Outcome::Inside,
        (false, true) => Outcome::Open(Reason::NotHeld),
        (false, false) => Outcome::Open(Reason::WiderTable),
    };
    let row = covering.filter(|_| covers).or(rows.iter().find(|row| row.rule == Rule::Same));
    let ruled = ruling("position", tested.to_owned(), here.to_owned(), outcome, row.map(|row| row.cite()));
    Some(WelderRuling { span: Some(at.span), ..ruled })
}

fn metal(job: &Job<'_>, welder: &Welder) -> Option<WelderRuling> {
    let at = welder.group.as_ref()?;
    let tested = at.value.trim();
    let bases = std::iter::once(&job.base).chain(&job.other);
    let groups: Vec<Option<&str>> =
        bases.map(|base| Some(group_of(Scheme::Iso15608, &base.alloy?.name)?.group.as_str())).collect();
    let within = |group: &str| group == tested || group.split_once('.').is_some_and(|(whole, _)| whole == tested);
    let row = rows(welder, "metal").into_iter().next();
    let outcome = if groups.iter().any(Option::is_none) {
        Outcome::Open(Reason::GroupUnknown)
    } else if groups.iter().flatten().all(|group| within(group)) {
        Outcome::Inside
    } else {
        Outcome::Open(Reason::WiderTable)
    };
    let here: Vec<&str> = groups.into_iter().flatten().collect();
    let ruled = ruling("metal", tested.to_owned(), here.join(", "), outcome, row.map(Row::cite));
    Some(WelderRuling { span: Some(at.span), ..ruled })
}

fn day(job: &Job<'_>) -> Option<Date> {
    job.spec.procedure.value.date.as_ref().map(|at| at.value.0)
}

fn confirmed(job: &Job<'_>, welder: &Welder) -> Option<WelderRuling> {
    let at = welder.confirmed.as_ref()?;
    let row = rows(welder, "confirmed").into_iter().next();
    #[allow(clippy::cast_possible_truncation, reason = "a few months")]
    let until = row.and_then(|row| at.value.0.checked_add((row.by? as i64).months()).ok());
    let outcome = match (day(job), until) {
        (None, _) => Outcome::Open(Reason::HereUnknown),
        (_, None) => Outcome::Open(Reason::NotHeld),
        (Some(day), Some(until)) => decided(day <= until),
    };
    let here = day(job).map(|day| day.to_string()).unwrap_or_default();
    let ruled = ruling("confirmed", at.value.0.to_string(), here, outcome, row.map(Row::cite));
    Some(WelderRuling { until: until.map(|day| day.to_string()), span: Some(at.span), ..ruled })
}

fn expires(job: &Job<'_>, welder: &Welder) -> Option<WelderRuling> {
    let at = welder.expires.as_ref()?;
    let outcome = day(job).map_or(Outcome::Open(Reason::HereUnknown), |day| decided(day <= at.value.0));
    let here = day(job).map(|day| day.to_string()).unwrap_or_default();
    let ruled = ruling("expires", at.value.0.to_string(), here, outcome, None);
    Some(WelderRuling { span: Some(at.span), ..ruled })
}
