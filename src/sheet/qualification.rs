//! Section 0: what the test behind the qualification covers, and whether this procedure lies inside, variable by
//! variable; the welder's own qualification in the same way.

use super::context::{Context, Say};
use super::ranges::{self, covers, is_told, value, verdict};
use super::show::mark;
use super::writer::Writer;
use super::{Cell, Table};
use crate::engine::FigureName;
use crate::engine::qualification::welder::{self, WelderRuling};
use crate::engine::qualification::{Outcome, Ruling, Said, standard, weakest};
use crate::reference::{Basis, Cite, QualificationStandard, Row};
use crate::rules::qualification::fits;
use crate::spec::QualificationState;

/// The columns of both tables.
const HEADS: [&str; 6] = ["variable", "tested", "covers", "here", "so", "by"];

/// Writes what can be told of the qualification; nothing where the spec names no standard and no welder.
pub(super) fn write(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    scope(writer);
    let rulings = context.figure(FigureName::Qualification).map_or(&[][..], |figure| &figure.rulings);
    if let (Some(standard), false) = (standard(context.job), rulings.is_empty()) {
        writer.table(test(context, standard, rulings));
        free(writer, rulings);
        if let Some(older) = &standard.older {
            let say = Say::of("qualification", "older").with("older", older.clone());
            writer.text(say.with("standard", standard.name.clone()));
        }
    }
    let welder = welder::rulings(context.job);
    if !welder.is_empty() {
        let mut table = table(context, "welder-qualification", context.text("qualification", "welder-caption"));
        table.rows = welder.iter().map(|ruling| welder_row(context, ruling)).collect();
        writer.table(table);
    }
    let by_test = rulings.iter().any(|ruling| weakest(ruling) == Some(Basis::Memory));
    let by_welder = welder.iter().any(|ruling| ruling.cite.as_ref().is_some_and(|cite| cite.basis == Basis::Memory));
    if !rulings.is_empty() || !welder.is_empty() {
        writer.text(Say::of("qualification", "defers"));
    }
    if by_test || by_welder {
        writer.text(Say::of("qualification", "memory"));
    }
}

/// What must be known of the standard itself before any range: that it leaves repair out, or is for another metal; that
/// the tables do not hold it; that the record is named and its test piece is not.
fn scope(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let spec = &context.spec().qualification;
    let Some(named) = &spec.standard else { return };
    let Some(row) = standard(context.job) else {
        writer.text(Say::of("qualification", "not-held").with("standard", named.value.clone()));
        return;
    };
    let instead = row.instead.clone().unwrap_or_default();
    let say = |key: &str| {
        Say::of("qualification", key)
            .with("standard", row.name.clone())
            .with("instead", instead.clone())
            .cite([row.cite()])
    };
    if row.repair == Some(false) {
        writer.text(say("repair-only"));
    } else if !fits(context.job, row) {
        writer.text(say("other-metal").with("metal", row.metal.clone()));
    } else if spec.coupon.is_none() && spec.state.as_ref().is_some_and(|at| at.value == QualificationState::Qualified) {
        let record = spec.record.as_ref().map_or_else(|| context.blank(), |at| at.value.clone());
        writer.text(Say::of("qualification", "record-only").with("record", record));
    }
}

fn table(context: &Context<'_>, key: &str, caption: String) -> Table {
    let head = HEADS.iter().map(|head| context.text("qualification", &format!("head/{head}")));
    Table { key: key.to_owned(), caption, head: head.collect(), rows: Vec::new(), fill: Vec::new() }
}

fn test(context: &Context<'_>, standard: &QualificationStandard, rulings: &[Ruling]) -> Table {
    let caption = Say::of("qualification", "caption").with("standard", standard.name.clone());
    let mut table = table(context, "qualification", context.cell(&caption).text);
    table.rows = rulings.iter().filter(|ruling| is_told(ruling)).map(|ruling| row(context, ruling)).collect();
    table
}

fn row(context: &Context<'_>, ruling: &Ruling) -> Vec<Cell> {
    let told = |entry| {
        let text = value(ruling.variable, entry);
        if text.is_empty() { context.blank() } else { text }
    };
    let mut ranges: Vec<String> = ruling.said.iter().map(|said| covers(ruling, said, context.system())).collect();
    ranges.dedup();
    let places: Vec<String> = ruling.said.iter().map(Said::place).collect();
    let cites: Vec<Cite> = ruling.said.iter().map(|said| said.cite.clone()).collect();
    let by = Cell { text: places.join("; "), basis: bases(ruling), cites: context.keys(&cites) };
    let texts =
        [ranges::name(ruling.variable), told(ruling.tested.as_ref()), ranges.join("; "), told(ruling.here.as_ref())];
    let so = context.plain(verdict(ruling));
    texts.into_iter().map(|text| context.plain(text)).chain([so, by]).collect()
}

/// The marks of what leads and of what is weakest.
fn bases(ruling: &Ruling) -> String {
    let all = ruling.said.iter().map(Said::basis);
    match (all.clone().min(), all.max()) {
        (Some(lead), Some(weakest)) if lead < weakest => format!("{}, {}", mark(lead), mark(weakest)),
        (Some(lead), _) => mark(lead).to_owned(),
        _ => String::new(),
    }
}

/// What this standard asks no test for, in one line.
fn free(writer: &mut Writer<'_, '_>, rulings: &[Ruling]) {
    let free: Vec<&Ruling> = rulings.iter().filter(|ruling| !is_told(ruling)).collect();
    if free.is_empty() {
        return;
    }
    let names: Vec<String> = free.iter().map(|ruling| ranges::free(ruling)).collect();
    let cites = free.iter().flat_map(|ruling| &ruling.said).map(|said| said.cite.clone());
    let weakest = free.iter().filter_map(|ruling| weakest(ruling)).max();
    let say = Say::of("qualification", "free").with("list", names.join(", ")).cite(cites);
    let mut text = writer.context.cell(&say);
    weakest.map_or("", mark).clone_into(&mut text.basis);
    writer.lead(String::new(), text);
}

fn welder_row(context: &Context<'_>, ruling: &WelderRuling) -> Vec<Cell> {
    let say = |key: String| ranges::text(&key, &[]);
    let covers = match (ruling.what, &ruling.until) {
        ("thickness", _) if ruling.low.is_some() || ruling.high.is_some() => ranges::ends(
            crate::reference::qualification::Variable::Thickness,
            ruling.low,
            ruling.high,
            context.system(),
        ),
        (_, Some(until)) => ranges::text("welder/until", &[("0", until)]),
        ("expires", None) => ranges::text("welder/until", &[("0", &ruling.tested)]),
        _ => ruling.tested.clone(),
    };
    let here = match ruling.what {
        _ if ruling.here.is_empty() => context.blank(),
        "confirmed" | "expires" => ranges::text("welder/on", &[("0", &ruling.here)]),
        _ => ruling.here.clone(),
    };
    let so = match ruling.outcome {
        Outcome::Open(reason) => {
            let reason = say(format!("reason/{}", reason.word()));
            ranges::text("verdict/ask", &[("reason", &reason)])
        }
        Outcome::Outside => say("welder/outside".to_owned()),
        Outcome::Inside | Outcome::Free => say("welder/inside".to_owned()),
    };
    let by = match &ruling.cite {
        Some(cite) => Cell {
            text: format!("ISO 9606-2, {}", cite.locator),
            basis: mark(cite.basis).to_owned(),
            cites: context.keys(std::slice::from_ref(cite)),
        },
        None => context.plain(say("welder/itself".to_owned())),
    };
    let name = say(format!("welder/{}", ruling.what));
    let texts = [name, ruling.tested.clone(), covers, here, so];
    texts.into_iter().map(|text| context.plain(text)).chain([by]).collect()
}
