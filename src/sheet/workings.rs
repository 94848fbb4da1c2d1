//! Section A: how every figure came about, which dangers fired, what was taken and what the checker says.

use super::cautions::Placed;
use super::context::{Context, Say};
use super::weld_tables::capital;
use super::words::Words;
use super::writer::{Writer, table};
use super::{Block, Cell, Section, Table, show};
use crate::engine::figure::LineKind;
use crate::engine::{Figure, FigureName, Line, Origin, Ranked};
use crate::reference::{Cite, Row};
use crate::units::show as units_show;
use std::sync::OnceLock;

/// Section A.
pub(super) fn section(context: &Context<'_>, placed: &[Placed]) -> Section {
    let mut writer = Writer::new(context, "A");
    writer.text(Say::of("advice", "workings/intro"));
    for name in FigureName::ALL {
        if let Some(figure) = context.figure(*name) {
            working(&mut writer, figure);
        }
    }
    not_worked(&mut writer);
    writer.table(dangers(context, placed));
    findings(&mut writer);
    writer.done()
}

/// A figure: its heading with value and basis, its lines, and its ranking.
fn working(writer: &mut Writer<'_, '_>, figure: &Figure) {
    let context = writer.context;
    let title = context.text("figures", &format!("{}/title", figure.name.key()));
    let (set, range) = show::figure_text(figure, context.system());
    let value = if range.is_empty() {
        context.cell(&Say::of("values", "set-alone").with("0", set)).text
    } else {
        context.cell(&Say::of("values", "set-range").with("0", set).with("1", range)).text
    };
    let mut parts = vec![value, basis(context, figure)];
    let alternatives = alternatives(figure);
    if !alternatives.is_empty() {
        let say = Say::of("advice", "workings/alternatives").with("alternatives", alternatives);
        parts.push(context.cell(&say).text);
    }
    let text = Cell { text: parts.join(" "), ..context.basis_cell(Some(figure)) };
    writer.lead(title.clone(), text);
    let mut lines = start(context, &format!("working-{}", figure.name.key()), &title);
    lines.rows = figure.working.iter().map(|line| row(context, line)).collect();
    writer.table(lines);
    if !figure.ranking.is_empty() {
        writer.table(ranking(context, figure, &title));
    }
}

/// What else would do; the torch beside the panel maximum is none, nor is a polarity for experts alone.
fn alternatives(figure: &Figure) -> String {
    if matches!(figure.name, FigureName::AmperageMax | FigureName::Polarity) {
        return String::new();
    }
    let own = figure.aim().map(|aim| units_show::trimmed(units_show::number(aim, 1)));
    let others = figure
        .alternatives
        .iter()
        .filter(|other| own.as_ref().is_none_or(|own| units_show::trimmed((*other).clone()) != *own));
    let others: Vec<&str> = others.map(String::as_str).collect();
    let unit = figure.name.unit().filter(|unit| *unit != "1/16 in" && !others.is_empty()).unwrap_or_default();
    format!("{} {unit}", others.join(", ")).trim().to_owned()
}

fn start(context: &Context<'_>, key: &str, title: &str) -> Table {
    let mut table = table(context, "working", &["step", "worked-value", "from", "basis"], &[]);
    key.clone_into(&mut table.key);
    title.clone_into(&mut table.caption);
    table
}

/// What leads a figure, and what the author put in its place.
fn basis(context: &Context<'_>, figure: &Figure) -> String {
    let say = match (figure.basis, figure.weakest) {
        (None, _) => {
            let worked = figure.worked_out.clone().map(|value| Figure { value, ..figure.clone() });
            let worked = worked.map_or_else(String::new, |worked| {
                let (set, range) = show::figure_text(&worked, context.system());
                if range.is_empty() { set } else { range }
            });
            let key = if figure.because.is_some() { "workings/stated" } else { "workings/stated-plain" };
            let because = figure.because.clone().unwrap_or_default();
            Say::of("advice", key).with("because", because).with("worked", worked)
        }
        (Some(lead), Some(weakest)) if weakest > lead => Say::of("advice", "workings/leads")
            .with("basis", context.word("basis", lead.words()))
            .with("weakest", context.word("basis", weakest.words())),
        (Some(lead), _) => Say::of("advice", "workings/leads-only").with("basis", context.word("basis", lead.words())),
    };
    context.cell(&say).text
}

fn row(context: &Context<'_>, line: &Line) -> Vec<Cell> {
    vec![
        context.plain(step(context, line)),
        context.plain(value(line)),
        context.plain(from(context, line)),
        line_basis(context, line),
    ]
}

/// The words of a line; those of the figure where it stands for one.
fn step(context: &Context<'_>, line: &Line) -> String {
    let title = format!("{}/title", line.words);
    let words = match line.origin {
        Origin::Figure(_) if context.words.get("workings", line.words).is_none() => Say::of("figures", title),
        _ => Say::of("workings", line.words),
    };
    let words = ["0", "1", "2", "3", "4", "5"]
        .into_iter()
        .zip(&line.args)
        .fold(words, |words, (name, argument)| words.with(name, argument.clone()));
    let text = context.cell(&words).text;
    let kind = match line.kind {
        LineKind::Check => "check",
        LineKind::NotUsed => "not-used",
        LineKind::Doubt => "doubt",
        LineKind::Adjustment => "adjustment",
        LineKind::Input | LineKind::Step | LineKind::Rounding | LineKind::Remark => return capital(&text),
    };
    context.cell(&Say::of("values", format!("line/{kind}")).with("0", text)).text
}

/// The number of a line with its symbol and unit: `ph = 1570 W`.
fn value(line: &Line) -> String {
    let Some(number) = line.number else { return String::new() };
    let amount = match line.upper {
        Some(upper) if libm::fabs(upper - number) > 1e-9 => show::bare_range(number, upper, line.unit),
        _ => show::bare(number, line.unit),
    };
    if line.symbol.is_empty() { amount } else { format!("{} = {amount}", line.symbol) }
}

/// The formula of a line as a reader with a pocket calculator would write it, or where its number came from.
fn from(context: &Context<'_>, line: &Line) -> String {
    let key = match line.origin {
        Origin::Stated(Some(_)) => "stated",
        Origin::Stated(None) | Origin::Assumed => "assumed",
        Origin::Kit(_) => "kit",
        Origin::Row(_) => "table",
        Origin::Figure(name) => return context.text("figures", &format!("{}/title", name.key())),
        Origin::Computed if line.formula.is_empty() => return String::new(),
        Origin::Computed => return formula(context, line.formula),
    };
    context.text("values", &format!("origin/{key}"))
}

/// The functions of the formulas with their words, `sqrt(` and `root of (`, longer names first, so that one that begins
/// like another is not cut in two.
fn spelt(words: &'static Words) -> &'static [(String, String)] {
    static SPELT: OnceLock<Vec<(String, String)>> = OnceLock::new();
    SPELT.get_or_init(|| {
        let names = words.keys("values").filter_map(|key| key.strip_prefix("formula/"));
        let pair = |name: &str| {
            let word = words.get("values", &format!("formula/{name}")).unwrap_or(name);
            (format!("{name}("), format!("{word}("))
        };
        let mut spelt: Vec<(String, String)> = names.map(pair).collect();
        spelt.sort_by_key(|(name, _)| std::cmp::Reverse(name.len()));
        spelt
    })
}

fn formula(context: &Context<'_>, formula: &str) -> String {
    if formula.is_empty() {
        return String::new();
    }
    let mut text = formula.to_owned();
    if text.contains('(') {
        for (name, word) in spelt(context.words) {
            if text.contains(name.as_str()) {
                text = text.replace(name.as_str(), word);
            }
        }
    }
    // A hair that keeps binary noise out says nothing to a reader.
    text.replace(" - 1e-9", "").replace(" * ", " × ").replace("^2", "²").replace("pi ", "π ").replace("(pi)", "(π)")
}

fn line_basis(context: &Context<'_>, line: &Line) -> Cell {
    let cell =
        |basis: &str, cites: &[Cite]| Cell { text: String::new(), basis: basis.to_owned(), cites: context.keys(cites) };
    match &line.origin {
        Origin::Row(cite) => cell(show::mark(cite.basis), std::slice::from_ref(cite)),
        Origin::Stated(Some(_)) | Origin::Kit(_) => cell("S", &[]),
        Origin::Stated(None) | Origin::Assumed => cell("CP", &[]),
        Origin::Figure(name) => cell(&context.figure(*name).map(show::figure_mark).unwrap_or_default(), &[]),
        Origin::Computed if line.number.is_some() => cell("C", &[]),
        Origin::Computed => Cell::default(),
    }
}

/// All candidates, best first, then those that are out, each with its reasons.
fn ranking(context: &Context<'_>, figure: &Figure, title: &str) -> Table {
    let mut table = table(context, "ranking", &["candidate", "reasons", "basis"], &[]);
    table.key = format!("ranking-{}", figure.name.key());
    table.caption = context.cell(&Say::of("sections", "caption/ranking").with("title", title)).text;
    for ranked in &figure.ranking {
        table.rows.push(candidate(context, ranked));
    }
    table
}

fn candidate(context: &Context<'_>, ranked: &Ranked) -> Vec<Cell> {
    let mut reasons: Vec<String> = Vec::new();
    for reason in &ranked.reasons {
        let text = reason_text(context, reason.words, &reason.args);
        // Two sources that say the same are one reason; both stand beside it.
        if !reasons.contains(&text) {
            reasons.push(text);
        }
    }
    let cites: Vec<Cite> = ranked.reasons.iter().filter_map(|reason| reason.cite.clone()).collect();
    let weakest = cites.iter().map(|cite| cite.basis).max().map(show::mark).unwrap_or_default();
    let name = if ranked.excluded {
        context.cell(&Say::of("values", "out").with("0", ranked.name.clone())).text
    } else {
        ranked.name.clone()
    };
    let basis = Cell { text: String::new(), basis: weakest.to_owned(), cites: context.keys(&cites) };
    vec![context.plain(name), context.plain(reasons.join(" ")), basis]
}

/// A reason in words: its key and what fills its blanks.
fn reason_text(context: &Context<'_>, words: &'static str, args: &[String]) -> String {
    let names = ["0", "1", "2", "3", "4", "5"];
    let say = names
        .into_iter()
        .zip(args)
        .fold(Say::of("reasons", words), |say, (name, argument)| say.with(name, argument.clone()));
    context.cell(&say).text
}

/// Settings that a sheet has and that could not be worked out here.
fn not_worked(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let absent: Vec<String> = [
        FigureName::Amperage,
        FigureName::Groove,
        FigureName::FillerMetal,
        FigureName::FillerMass,
        FigureName::TungstenDiameter,
        FigureName::Acceptance,
    ]
    .into_iter()
    .filter(|name| context.figure(*name).is_none())
    .map(|name| context.text("figures", &format!("{}/title", name.key())))
    .collect();
    if !absent.is_empty() {
        writer.text(Say::of("advice", "workings/not-worked").with("reasons", absent.join(", ")));
    }
}

/// Every danger that fired: where it stands, and its source.
fn dangers(context: &Context<'_>, placed: &[Placed]) -> Table {
    let mut table = table(context, "dangers", &["danger", "stands", "basis"], &[]);
    for placed in placed {
        let hazard = placed.hazard;
        let title = context.text("hazards", &format!("{}/title", hazard.id));
        let name = context.cell(&Say::of("values", "danger").with("0", hazard.signal.clone()).with("1", title));
        let stands = placed.stands(context);
        let cite = hazard.cite();
        let basis = Cell {
            text: String::new(),
            basis: show::mark(cite.basis).to_owned(),
            cites: context.keys(std::slice::from_ref(&cite)),
        };
        table.rows.push(vec![name, context.plain(stands), basis]);
    }
    table
}

/// Warnings and notes of the check, so that a reader of the sheet alone has them too; what the shop lacks heads the sheet.
fn findings(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let all = context.worked.findings.iter().chain(&context.judgement.findings);
    let mut items: Vec<Cell> = Vec::new();
    for finding in all.filter(|finding| !super::shop::is_said(finding)) {
        let text = match &finding.help {
            Some(help) => {
                let say = Say::of("values", "finding").with("0", finding.message.clone());
                context.cell(&say.with("1", help.clone())).text
            }
            None => finding.message.clone(),
        };
        if !items.iter().any(|item| item.text == text) {
            items.push(context.plain(text));
        }
    }
    if items.is_empty() {
        return;
    }
    writer.text(Say::of("advice", "workings/findings"));
    writer.block(Block::List { items });
}
