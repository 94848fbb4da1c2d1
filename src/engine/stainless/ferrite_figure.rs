//! The figure of the ferrite in a stainless weld, over the dilution.

use super::ferrite::{Equivalents, may_hot_crack, wanted};
use super::{Structure, bands};
use crate::engine::ferrous::carbon_equivalent::{End, Formula, contents};
use crate::engine::ferrous::{Contents, Departure, Metal, in_words};
use crate::engine::figure::{Figure, LineKind, Value};
use crate::engine::names::FigureName;
use crate::engine::work::{Work, cite, constant};
use crate::findings::{Code, Finding};
use crate::reference::heat::ferrite_typical_of;
use crate::reference::{Basis, Row};
use crate::units::show::{self, Toward};

/// What the ferrite is worked out from.
#[derive(Debug, Clone)]
pub struct Question<'a> {
    /// The base metal.
    pub base: Metal<'a>,
    /// The other base metal, where two meet; both melt alike.
    pub other: Option<Metal<'a>>,
    /// The rod; none where the edges are melted together.
    pub rod: Option<Metal<'a>>,
    /// Share of base metal in the weld, 0 to 1: least and most. Without a rod it does not count.
    pub share: [f64; 2],
    /// What the weld is to be.
    pub structure: Structure,
    /// Temperature in service, °C, where it is stated.
    pub service: Option<f64>,
}

/// Value of the figure where nothing can be told.
pub const NOT_ESTIMATED: &str = "not estimated";

/// Ferrite of the weld, FN, with what has to be said of it.
///
/// The middle of the composition limits counts; nitrogen that no limit names is taken as usual for stainless metals. The
/// range runs over the dilution and holds the doubt of the stand-in. Outside what the stand-in is meant for, and for
/// duplex always, the value is the words [`NOT_ESTIMATED`].
#[must_use]
pub fn ferrite(question: &Question<'_>) -> (Figure, Vec<Finding>) {
    let mut work = Work::new();
    let base = sums(&mut work, &question.base, ["rb", "nb"]);
    let other = question.other.as_ref().map(|metal| sums(&mut work, metal, ["ro", "no"]));
    let rod = question.rod.as_ref().map(|metal| sums(&mut work, metal, ["rf", "nf"]));
    let welds = welds(&mut work, question, base, other, rod);
    let (value, findings) = match question.structure {
        Structure::Duplex => {
            work.remark(LineKind::NotUsed, "ferrite-not-for-duplex", Vec::new(), None);
            (Value::Word(NOT_ESTIMATED.to_owned()), Vec::new())
        }
        Structure::Austenitic => estimate(&mut work, &welds),
    };
    let rod = question.rod.as_ref().and_then(|rod| ferrite_typical_of(rod.name));
    if let Some(row) = rod {
        work.check("ferrite-undiluted", (row.ferrite[0], row.ferrite[1]), "FN", Some(row.cite()));
        work.with(vec![row.filler.clone()]);
    }
    asked_for(&mut work, question);
    (work.done(FigureName::Ferrite, value, Basis::Memory), findings)
}

/// Contents that count: the middle of the limits, with the usual nitrogen where a stainless metal names none.
fn counted(work: &mut Work, metal: &Metal<'_>) -> Contents {
    let mut of = contents(metal.limits, End::Middle);
    let stainless = of.get("cr").is_some_and(|content| *content >= constant("stainless-from").value);
    if stainless && !of.contains_key("n") {
        let nitrogen = work.constant("nitrogen-usual", "");
        work.with(vec![metal.name.to_owned()]);
        of.insert("n".to_owned(), nitrogen);
    }
    of
}

/// Both equivalents of a metal, each with its terms as a line.
fn sums(work: &mut Work, metal: &Metal<'_>, [chromium, nickel]: [&'static str; 2]) -> Equivalents {
    metal.introduce(work);
    let of = counted(work, metal);
    let lines = [("chromium-equivalent", Formula::Chromium, chromium), ("nickel-equivalent", Formula::Nickel, nickel)];
    for (words, formula, symbol) in lines {
        if let Some(cite) = formula.cite() {
            work.row(words, symbol, formula.value(&of), "%", cite);
            work.with(vec![metal.name.to_owned(), formula.terms(&of)]);
        }
    }
    Equivalents::of(&of)
}

/// The weld at the least and the most dilution.
fn welds(
    work: &mut Work,
    question: &Question<'_>,
    base: Equivalents,
    other: Option<Equivalents>,
    rod: Option<Equivalents>,
) -> [Equivalents; 2] {
    let melted = other.map_or(base, |other| Equivalents::mix(&[(base, 0.5), (other, 0.5)]));
    if other.is_some() {
        work.step("melted-chromium", "rm", "(rb + ro) / 2", melted.chromium, "%");
        work.step("melted-nickel", "nm", "(nb + no) / 2", melted.nickel, "%");
    } else {
        work.step("melted-chromium", "rm", "rb", melted.chromium, "%");
        work.step("melted-nickel", "nm", "nb", melted.nickel, "%");
    }
    let Some(rod) = rod else {
        work.remark(LineKind::Remark, "ferrite-without-rod", Vec::new(), None);
        work.step("weld-chromium", "r1", "rm", melted.chromium, "%");
        work.step("weld-nickel", "n1", "nm", melted.nickel, "%");
        work.step("weld-chromium", "r2", "rm", melted.chromium, "%");
        work.step("weld-nickel", "n2", "nm", melted.nickel, "%");
        return [melted; 2];
    };
    let [least, most] = question.share;
    work.out_of(FigureName::Dilution, "least-dilution", "d1", least * 100.0);
    work.out_of(FigureName::Dilution, "most-dilution", "d2", most * 100.0);
    let at = |share: f64| Equivalents::mix(&[(melted, share), (rod, 1.0 - share)]);
    let [first, last] = question.share.map(at);
    work.step("weld-chromium", "r1", "(d1 * rm + (100 - d1) * rf) / 100", first.chromium, "%");
    work.step("weld-nickel", "n1", "(d1 * nm + (100 - d1) * nf) / 100", first.nickel, "%");
    work.step("weld-chromium", "r2", "(d2 * rm + (100 - d2) * rf) / 100", last.chromium, "%");
    work.step("weld-nickel", "n2", "(d2 * nm + (100 - d2) * nf) / 100", last.nickel, "%");
    [first, last]
}

/// The estimate over the dilution, or why there is none.
fn estimate(work: &mut Work, welds: &[Equivalents; 2]) -> (Value, Vec<Finding>) {
    let [first, last] = welds;
    let (first, last) = match (first.estimate(), last.estimate()) {
        (Ok(first), Ok(last)) => (first, last),
        (first, last) => {
            let left: Vec<Departure> = [first, last].into_iter().filter_map(Result::err).flatten().collect();
            let words = in_words(&left);
            work.remark(LineKind::NotUsed, "ferrite-outside", vec![words.clone()], Some(cite("ferrite-fit-base")));
            return (Value::Word(NOT_ESTIMATED.to_owned()), vec![untold(&left, &words)]);
        }
    };
    work.constant("ferrite-fit-chromium", "a");
    work.constant("ferrite-fit-nickel", "b");
    work.constant("ferrite-fit-base", "c");
    work.constant("ferrite-fit-doubt", "e");
    work.step("ferrite-at-least-dilution", "f1", "max(0, a * r1 - b * n1 - c)", first[1], "FN");
    work.step("ferrite-at-most-dilution", "f2", "max(0, a * r2 - b * n2 - c)", last[1], "FN");
    let (low, high) = (first[0].min(last[0]), first[2].max(last[2]));
    work.step("ferrite-low", "", "max(0, min(f1, f2) - e)", low, "FN");
    work.step("ferrite-high", "", "max(f1, f2) + e", high, "FN");
    let middle = f64::midpoint(first[1], last[1]);
    work.step("ferrite-middle", "", "(f1 + f2) / 2", middle, "FN");
    work.remark(LineKind::Doubt, "ferrite-is-a-stand-in", Vec::new(), None);
    let (low, set, high) = (
        show::round_to(low, 1.0, Toward::Down),
        show::round_to(middle, 1.0, Toward::Nearest),
        show::round_to(high, 1.0, Toward::Up),
    );
    let findings = if may_hot_crack(first[1].min(last[1])) { vec![too_little(low, high)] } else { Vec::new() };
    (Value::Range { low, high, set }, findings)
}

fn untold(left: &[Departure], words: &str) -> Finding {
    let lean = left.iter().any(|bound| bound.what == "Cr equivalent" && bound.by() < 0.0);
    let finding = Finding::new(Code::FillerFerrite, format!("the ferrite of this weld cannot be told: {words}"));
    if lean {
        finding.help("so little chromium may leave martensite and hot cracks: take a richer rod or feed more of it")
    } else {
        finding.help("weld a trial bead and have it measured, or ask the maker of the rod")
    }
}

fn too_little(low: f64, high: f64) -> Finding {
    let shown = |value| show::number(value, 0);
    let safe = wanted("against hot cracks").map_or(f64::NAN, |row| row.ferrite[1]);
    Finding::new(
        Code::FillerFerrite,
        format!(
            "the weld may hold {} to {} FN of ferrite; under {} FN it can crack while it freezes",
            shown(low),
            shown(high),
            shown(safe)
        ),
    )
    .help("feed more rod, take a rod with more ferrite, keep the heat low; measure a trial bead")
}

/// What uses ask for, and temperatures to hurry through: lines without weight.
fn asked_for(work: &mut Work, question: &Question<'_>) {
    let hot = question.service.is_some_and(|service| service > constant("sigma-from").value);
    let uses: &[(&'static str, &'static str)] = match question.structure {
        Structure::Duplex => &[("ferrite-for-duplex", "duplex")],
        Structure::Austenitic if hot => {
            &[("ferrite-against-cracks", "against hot cracks"), ("ferrite-for-hot-service", "hot service")]
        }
        Structure::Austenitic => &[
            ("ferrite-against-cracks", "against hot cracks"),
            ("ferrite-in-general", "general"),
            ("ferrite-for-cold-service", "cold service"),
        ],
    };
    for (words, wanted_for) in uses {
        if let Some(row) = wanted(wanted_for) {
            ask(work, words, (row.ferrite[0], row.ferrite[1]), "FN", row.cite());
        }
    }
    for band in bands(question.base.limits, question.structure) {
        work.check("sensitive-band", (band.temperature[0], band.temperature[1]), "°C", Some(band.cite()));
        work.with(vec![question.base.name.to_owned(), band.spoils_by.clone()]);
    }
}

fn ask(work: &mut Work, words: &'static str, range: (f64, f64), unit: &'static str, cite: crate::reference::Cite) {
    work.check(words, range, unit, Some(cite));
}
