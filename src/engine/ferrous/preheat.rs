//! Preheat of a steel, with its lines: the CET method inside what it is meant for, the root rule and the bands by
//! quarter weights where it is not. Most TIG repairs lie outside: thin walls and little heat.

use super::carbon_equivalent::{End, Formula, contents};
use super::cet_preheat::{Advice, Form, Inputs, advise, martensite_start, quarter_band, root_rule, root_rule_carbon};
use super::{Contents, Metal, in_words};
use crate::engine::figure::LineKind;
use crate::engine::work::{Work, cite, constant};
use crate::findings::{Code, Finding};
use crate::reference::{Basis, Row};
use crate::units::show::{self, Toward};

/// What the preheat of a steel is worked out from.
#[derive(Debug, Clone)]
pub struct Question<'a> {
    /// The steel; of two, the one that asks for more.
    pub metal: Metal<'a>,
    /// The rod, where it may be the harder one.
    pub rod: Option<Metal<'a>>,
    /// Thickness of one plate, mm.
    pub thickness: f64,
    /// Hydrogen, ml in 100 g of weld metal; none for the planning value of clean TIG work.
    pub hydrogen: Option<f64>,
    /// Damp or dirty work: a higher planning value, where no hydrogen is given.
    pub damp: bool,
    /// Heat input with k, kJ/mm.
    pub heat_input: f64,
}

/// Preheat of a steel by formula.
#[derive(Debug, Clone, PartialEq)]
pub struct SteelPreheat {
    /// What the CET method says with every element at its most, °C not rounded.
    pub advice: Advice,
    /// Preheat to print, °C, rounded up to 5: of the CET method inside its limits, else of the root rule where the
    /// carbon is high enough for it. None where the method says to dry and no more, and where neither rule holds: then
    /// the rows by metal decide.
    pub degrees: Option<f64>,
    /// Band by quarter weights, °C, as a witness.
    pub band: Option<[f64; 2]>,
    /// Start of martensite, °C, in the middle of the limits.
    pub martensite_start: f64,
    /// The lines, to go on with or to be closed with `done`.
    pub work: Work,
    /// What has to be said: outside what the method is meant for.
    pub findings: Vec<Finding>,
    /// Basis of what leads: memory, for the weights of CET are.
    pub basis: Basis,
}

/// A sum of elements with its terms, as one line.
fn sum(
    work: &mut Work,
    words: &'static str,
    symbol: &'static str,
    formula: Formula,
    (name, of): (&str, &Contents),
) -> f64 {
    let value = formula.value(of);
    if let Some(cite) = formula.cite() {
        work.row(words, symbol, value, "%", cite);
        work.with(vec![name.to_owned(), formula.terms(of)]);
    }
    value
}

fn up(value: f64) -> f64 {
    show::round_to(value, 5.0, Toward::Up)
}

/// Works the preheat of a steel out.
#[must_use]
pub fn preheat(question: &Question<'_>) -> SteelPreheat {
    let Question { metal, thickness, heat_input, .. } = question;
    let [usual, worst] = [End::Middle, End::High].map(|end| contents(metal.limits, end));
    let mut work = Work::new();
    let cet = harder(&mut work, question, &worst);
    let inputs =
        Inputs { cet, thickness: *thickness, hydrogen: hydrogen(&mut work, question), heat_input: *heat_input };
    work.stated("plate-thickness", "t", *thickness, "mm", None);
    work.step("heat-input-with-k", "q", "", *heat_input, "kJ/mm");
    let mut advice = advise(&inputs);
    // A composition at the edge of its limits is met seldom: its middle tells whether the formula knows such a steel.
    let strange = Formula::Cet.departures(&usual);
    if !strange.is_empty() {
        let mut left = strange;
        if let Advice::Outside(others) = advice {
            left.extend(others);
        }
        advice = Advice::Outside(left);
    }
    let mut findings = Vec::new();
    let mut degrees = None;
    match &advice {
        Advice::Outside(left) => {
            let left = in_words(left);
            work.remark(LineKind::NotUsed, "cet-outside", vec![left.clone()], Some(cite("cet-thickness-span")));
            degrees = by_root_rule(&mut work, (metal.name, &worst), *thickness);
            findings.push(
                Finding::new(
                    Code::SettingOutsideMethod,
                    format!("the CET method of preheat is not meant for this job: {left}"),
                )
                .help("the preheat of the metal's own row decides; the working shows what other rules say"),
            );
        }
        Advice::Preheat(_) | Advice::DryOnly => {
            let reached = by_cet(&mut work, &inputs);
            if matches!(advice, Advice::Preheat(_)) {
                degrees = Some(up(reached));
                work.remark(LineKind::Rounding, "rounded-up-to-five", Vec::new(), None);
            } else {
                work.small_constant("cet-dry-below", "");
                work.remark(LineKind::Remark, "dry-only", Vec::new(), Some(cite("cet-dry-below")));
            }
            let of_middle = Formula::Cet.value(&usual);
            let middle = Form::Read.temperature(&Inputs { cet: of_middle, ..inputs });
            let tells = Formula::Cet.departure_of_value(of_middle).is_none();
            if tells && middle >= constant("cet-dry-below").value {
                work.check("cet-preheat-middle", (middle, middle), "°C", None);
            }
            let standard = Form::Standard.temperature(&inputs);
            work.check("cet-preheat-standard", (standard, standard), "°C", Some(cite("cet-carbon")));
        }
    }
    let (band, start) = witnesses(&mut work, metal, [&usual, &worst]);
    SteelPreheat { advice, degrees, band, martensite_start: start, work, findings, basis: Basis::Memory }
}

/// CET of the steel, or of the rod and a margin where that is higher, percent.
fn harder(work: &mut Work, question: &Question<'_>, worst: &Contents) -> f64 {
    question.metal.introduce(work);
    let plate = sum(work, "cet-of", "e1", Formula::Cet, (question.metal.name, worst));
    let mut cet = plate;
    let mut formula = "e1";
    if let Some(rod) = &question.rod {
        rod.introduce(work);
        let of_rod = sum(work, "cet-of", "e2", Formula::Cet, (rod.name, &contents(rod.limits, End::High)));
        let margin = work.constant("cet-filler-margin", "m");
        cet = plate.max(of_rod + margin);
        formula = "max(e1, e2 + m)";
    }
    work.step("cet-counts", "e", formula, cet, "%")
}

fn hydrogen(work: &mut Work, question: &Question<'_>) -> f64 {
    match question.hydrogen {
        Some(hydrogen) => work.stated("hydrogen", "h", hydrogen, "ml/100 g", None),
        None if question.damp => work.constant("hydrogen-damp", "h"),
        None => work.constant("hydrogen-tig", "h"),
    }
}

/// The CET method with its lines, °C.
fn by_cet(work: &mut Work, inputs: &Inputs) -> f64 {
    for (key, symbol) in [("cet-carbon-read", "a"), ("cet-plate", "p"), ("cet-plate-depth", "d")] {
        sourced(work, key, symbol);
    }
    for (key, symbol) in [("cet-hydrogen", "y"), ("cet-hydrogen-power", "z"), ("cet-heat", "w")] {
        sourced(work, key, symbol);
    }
    sourced(work, "cet-heat-base", "x");
    sourced(work, "cet-base-read", "b");
    let preheat = Form::Read.temperature(inputs);
    work.step("cet-preheat", "T", "a * e + p * tanh(t / d) + y * h^z + (w * e - x) * q - b", preheat, "°C")
}

/// A constant of the method as a line of its own.
fn sourced(work: &mut Work, key: &'static str, symbol: &'static str) {
    let row = constant(key);
    let unit = if row.unit == "1" { "" } else { row.unit.as_str() };
    work.row(key, symbol, row.value, unit, row.cite());
}

/// The root rule with its lines, where the steel has carbon enough for it: °C rounded up.
fn by_root_rule(work: &mut Work, (name, of): (&str, &Contents), thickness: f64) -> Option<f64> {
    if !Formula::RootRule.departures(of).is_empty() {
        work.remark(LineKind::NotUsed, "root-rule-outside", vec![name.to_owned()], Formula::RootRule.cite());
        return None;
    }
    let carbon = sum(work, "root-rule-sum", "c", Formula::RootRule, (name, of));
    work.constant("root-rule-size", "s");
    let sized = root_rule_carbon(carbon, thickness);
    work.step("root-rule-carbon", "g", "c * (1 + s * t)", sized, "%");
    work.constant("root-rule-base", "o");
    work.constant("root-rule-factor", "f");
    let preheat = root_rule(carbon, thickness)?;
    work.step("root-rule-preheat", "", "f * sqrt(g - o)", preheat, "°C");
    work.remark(LineKind::Doubt, "root-rule-doubt", Vec::new(), None);
    work.remark(LineKind::Rounding, "rounded-up-to-five", Vec::new(), None);
    Some(up(preheat))
}

/// What other rules say of the steel, without weight: the band by quarter weights, and the start of martensite.
fn witnesses(work: &mut Work, metal: &Metal<'_>, [usual, worst]: [&Contents; 2]) -> (Option<[f64; 2]>, f64) {
    for (words, formula) in [("ce-iiw", Formula::Iiw), ("ce-silicon", Formula::D11), ("pcm", Formula::Pcm)] {
        let range = (formula.value(usual), formula.value(worst));
        witness(work, words, range, formula);
    }
    let band = quarter_band(Formula::QuarterWeights.value(worst));
    if let Some((band, row)) = band {
        work.check("quarter-band", (band[0], band[1]), "°C", Some(row.cite()));
        work.with(vec![show::number(Formula::QuarterWeights.value(worst), 2)]);
    }
    let [first, last] = [usual, worst].map(|of| martensite_start(Formula::MartensiteFall.value(of)));
    work.check("martensite-start", (last, first), "°C", Some(cite("martensite-start-base")));
    work.with(vec![metal.name.to_owned()]);
    (band.map(|(band, _)| band), first)
}

fn witness(work: &mut Work, words: &'static str, range: (f64, f64), formula: Formula) {
    work.check(words, range, "%", formula.cite());
}
