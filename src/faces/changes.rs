//! A comparison of two revisions as a report: job, settings with what moved them, and what each standard says. Its faces
//! (terminal, Markdown, HTML) print the same rows; JSON gives the values.

pub mod json;
pub mod print;
mod worth;

use crate::changes::{Changes, Input, Judged, Setting};
use crate::engine::FigureName;
use crate::engine::qualification::{Ruling, Said, Verdict};
use crate::reference::Basis;
use crate::reference::qualification::held;
pub use crate::sheet::show::plain_name;
use crate::sheet::{ranges, words::english};

/// A report: what the faces print.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// Its heading.
    pub title: String,
    /// Sentences under it.
    pub lead: Vec<String>,
    /// Its parts, in order.
    pub parts: Vec<Part>,
}

/// One part: a heading, sentences, a table, sentences.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Part {
    /// Heading.
    pub heading: String,
    /// Sentences before the table.
    pub lead: Vec<String>,
    /// Heads of its columns.
    pub head: Vec<String>,
    /// Where the columns begin on a terminal.
    pub columns: Vec<usize>,
    /// Rows.
    pub rows: Vec<Vec<String>>,
    /// Sentences after it.
    pub notes: Vec<String>,
}

/// A text of `changes.toml`, its blanks filled by name.
fn text(key: &str, args: &[(&str, &str)]) -> String {
    let fill = |blank: &str| args.iter().find(|(name, _)| *name == blank).map(|(_, value)| (*value).to_owned());
    english().text("changes", key, &fill)
}

/// Makes the report.
#[must_use]
pub fn report(changes: &Changes) -> Report {
    let mut parts = vec![job(changes), settings(changes)];
    parts.extend(changes.judged.iter().map(|judged| standard(changes, judged)));
    let mut end = Part::default();
    for name in &changes.not_held {
        end.lead.push(text("not-held", &[("standard", name), ("held", &held().join(", "))]));
    }
    if changes.judged.is_empty() && changes.not_held.is_empty() {
        end.lead.push(text("no-standard", &[]));
    }
    let told = || changes.judged.iter().flat_map(|judged| &judged.rulings).flat_map(|ruling| &ruling.said);
    if told().any(|said| said.basis() == Basis::Memory) {
        end.lead.push(text("memory", &[]));
    }
    if told().next().is_some() {
        end.lead.push(text("defers", &[]));
    }
    parts.push(end);
    Report { title: title(changes), lead: lead(changes), parts }
}

fn title(changes: &Changes) -> String {
    let (old, new) = (&changes.old, &changes.new);
    let none = text("no-date", &[]);
    let of = |revision: &crate::changes::Revision| {
        let date = revision.date.as_deref().unwrap_or(&none);
        text("revision", &[("revision", &revision.revision), ("date", date)])
    };
    let key = match (old.number == new.number, old.revision == new.revision) {
        (false, _) => "other-number",
        (true, true) => "same-revision",
        (true, false) => "title",
    };
    text(key, &[("number", &new.number), ("other", &old.number), ("old", &of(old)), ("new", &of(new))])
}

fn lead(changes: &Changes) -> Vec<String> {
    let mut lead = Vec::new();
    if let Some(reason) = changes.new.reason.as_ref().filter(|_| changes.old != changes.new) {
        lead.push(text("why", &[("reason", reason)]));
    }
    match (changes.any(), changes.text_differs) {
        (false, false) => lead.push(text("same-text", &[])),
        (false, true) if !changes.respelt.is_empty() => lead.push(text("only-spelling", &[])),
        (false, true) => lead.push(text("only-text", &[])),
        (true, _) => {}
    }
    lead
}

fn job(changes: &Changes) -> Part {
    let shown = |value: &Option<String>| value.clone().unwrap_or_else(|| text("left-out", &[]));
    let row = |input: &Input| vec![plain_name(&input.key), shown(&input.old), shown(&input.new)];
    let mut part = Part {
        heading: text("job", &[]),
        head: ["", "as-was", "as-is"].iter().map(|key| head(key)).collect(),
        columns: vec![2, 27, 53],
        rows: changes.job.iter().map(row).collect(),
        ..Part::default()
    };
    if part.rows.is_empty() {
        part.head.clear();
        part.lead.push(text("nothing-job", &[]));
    }
    if !changes.respelt.is_empty() {
        let names: Vec<String> = changes.respelt.iter().map(|key| plain_name(key)).collect();
        part.notes.push(text("respelt", &[("list", &names.join(", "))]));
    }
    part
}

fn head(key: &str) -> String {
    if key.is_empty() { String::new() } else { text(key, &[]) }
}

/// What a setting is called here: a short name where its own title is long.
fn figure_title(name: FigureName) -> String {
    let short = english().get("changes", &format!("figure/{}", name.key()));
    short.map_or_else(|| super::say::title(name), str::to_owned)
}

/// A figure in a list: in small letters.
fn short_title(name: FigureName) -> String {
    figure_title(name).to_lowercase()
}

fn settings(changes: &Changes) -> Part {
    let row = |setting: &Setting| {
        let (old, new) = worth::pair(setting, changes.system);
        vec![figure_title(setting.name), old, new, cause(changes, setting)]
    };
    let mut part = Part {
        heading: text("settings", &[]),
        head: ["", "as-was", "as-is", "moved-by"].iter().map(|key| head(key)).collect(),
        columns: vec![2, 22, 42, 62],
        rows: changes.settings.iter().map(row).collect(),
        ..Part::default()
    };
    if part.rows.is_empty() {
        part.head.clear();
        part.lead.push(text("nothing-settings", &[]));
    } else if !changes.unchanged.is_empty() {
        let mut names: Vec<String> = changes.unchanged.iter().map(|name| short_title(*name)).collect();
        names.dedup();
        part.notes.push(text("unchanged", &[("list", &names.join("; "))]));
    }
    part
}

/// Which inputs moved a setting, and by way of which figure.
#[must_use]
pub fn cause(changes: &Changes, setting: &Setting) -> String {
    let inputs: Vec<String> =
        setting.inputs.iter().filter_map(|index| changes.job.get(*index)).map(|input| plain_name(&input.key)).collect();
    let mut figures: Vec<String> = setting.by_way_of.iter().map(|name| short_title(*name)).collect();
    figures.dedup();
    let inputs = if inputs.is_empty() { text("together", &[]) } else { inputs.join(", ") };
    if figures.is_empty() {
        return inputs;
    }
    text("by-way", &[("inputs", &inputs), ("figures", &figures.join(", "))])
}

fn standard(changes: &Changes, judged: &Judged) -> Part {
    let row = judged.standard;
    let mut part =
        Part { heading: text("standard", &[("standard", &row.name)]), columns: vec![2, 26, 54], ..Part::default() };
    let instead = row.instead.as_deref().unwrap_or_default();
    if row.repair == Some(false) {
        part.lead.push(text("repair-only", &[("standard", &row.name), ("instead", instead)]));
    }
    if row.metal == "steel" {
        part.lead.push(text("other-metal", &[("standard", &row.name), ("metal", &row.metal), ("instead", instead)]));
    }
    part.lead.push(match &judged.record {
        Some(record) => text("on-record", &[("record", record)]),
        None if judged.tested => text("on-record-unnamed", &[]),
        None => text("trial", &[("old", &changes.old.revision)]),
    });
    part.rows = judged.rulings.iter().map(|ruling| verdict_row(changes, judged, ruling)).collect();
    if part.rows.is_empty() {
        part.lead.push(text("no-test-lost", &[]));
    } else {
        part.head = ["variable", "verdict", "by"].iter().map(|key| head(key)).collect();
    }
    if !judged.unchanged.is_empty() {
        let names: Vec<String> = judged.unchanged.iter().map(|name| ranges::name(*name).to_lowercase()).collect();
        part.notes.push(text("unchanged", &[("list", &names.join("; "))]));
    }
    if row.older.is_some() && !part.rows.is_empty() {
        part.notes.push(text("older", &[]));
    }
    part
}

fn verdict_row(changes: &Changes, judged: &Judged, ruling: &Ruling) -> Vec<String> {
    let value = |entry| {
        let shown = ranges::value(ruling.variable, entry);
        if shown.is_empty() { text("gone", &[]) } else { shown }
    };
    let was = ruling.tested.as_ref().or_else(|| judged.before.get(&ruling.variable));
    let name = ranges::name(ruling.variable);
    let change = format!("{name}: {} -> {}", value(was), value(ruling.here.as_ref()));
    vec![change, verdict(changes, ruling), by(ruling)]
}

/// What follows, in words: `covered: 3 to 12 mm`, `NEW TEST: covered is ER5356 alone`, `ASK: the sources differ`.
#[must_use]
pub fn verdict(changes: &Changes, ruling: &Ruling) -> String {
    let mut covers: Vec<String> = ruling.said.iter().map(|said| ranges::covers(ruling, said, changes.system)).collect();
    covers.dedup();
    let reason =
        ruling.reason.map(|reason| ranges::text(&format!("reason/{}", reason.word()), &[])).unwrap_or_default();
    let key = match ruling.verdict {
        Verdict::NotEssential if ruling.reason.is_some() => "not-essential-only",
        other => other.word(),
    };
    text(&format!("verdict-word/{key}"), &[("covers", &covers.join("; ")), ("reason", &reason)])
}

/// Basis and paragraph of each row that speaks.
fn by(ruling: &Ruling) -> String {
    let one = |said: &Said| {
        let basis = if said.basis() == said.cite.basis {
            said.basis().words().to_owned()
        } else {
            text("class-memory", &[("basis", said.cite.basis.words())])
        };
        format!("{}: {basis}", said.place())
    };
    ruling.said.iter().map(one).collect::<Vec<_>>().join("; ")
}
