//! A comparison and a summary laid out as headings, lines, tables and a chart.

use super::chart::Chart;
use super::{Block, Page};
use crate::record::{Comparison, Item, Move, PassRun, PassSummary, Proposal, Summary, Verdict, say};
use crate::units::{Range, System, amps, celsius, show};

fn word(key: &str) -> String {
    words(key, &[])
}

fn words(key: &str, args: &[&str]) -> String {
    say(&format!("face/{key}"), args)
}

/// Verdicts in the order in which a reader wants them, what is wrong first.
const ORDER: [(Verdict, &str); 5] = [
    (Verdict::Outside, "outside"),
    (Verdict::Rejected, "rejected"),
    (Verdict::NotDone, "not-done"),
    (Verdict::Missing, "missing"),
    (Verdict::Inside, "inside"),
];

/// The page of one run; `name` is that of its file.
#[must_use]
pub fn run(run: &Comparison, name: &str, system: System) -> Page {
    let or = |text: &str, key: &str| if text.is_empty() { word(key) } else { text.to_owned() };
    let (day, welder) = (or(&run.date, "no-date"), or(&run.welder, "no-welder"));
    let mut blocks =
        vec![Block::Line(words("sheet-title", &[&run.title, &run.seal])), Block::Line(words("from", &[name]))];
    blocks.extend(run.attempt.map(|attempt| Block::Line(words("attempt", &[&attempt.to_string()]))));
    let count = |verdict| run.count(verdict).to_string();
    if run.is_clean() {
        blocks.push(Block::Line(word("clean")));
    }
    let [outside, missing] = [Verdict::Outside, Verdict::Missing].map(count);
    let [not_done, rejected, inside] = [Verdict::NotDone, Verdict::Rejected, Verdict::Inside].map(count);
    blocks.push(Block::Line(words("counts", &[&outside, &missing, &not_done, &rejected, &inside])));
    for (verdict, key) in ORDER.into_iter().filter(|(verdict, _)| *verdict != Verdict::Inside) {
        let rows: Vec<Vec<String>> = run.items.iter().filter(|item| item.verdict == verdict).map(row).collect();
        if !rows.is_empty() {
            let head = ["item", "was", "wanted", "by"].map(word).to_vec();
            blocks.push(Block::Heading(word(key)));
            blocks.push(Block::Table { caption: word(key), head, rows });
        }
    }
    if !run.passes.is_empty() {
        blocks.push(Block::Heading(word("passes")));
        let head = ["pass", "part", "amperage", "range", "result", "dug"].map(word).to_vec();
        let rows = run.passes.iter().map(|pass| pass_row(run, pass, system)).collect();
        blocks.push(Block::Table { caption: word("passes"), head, rows });
    }
    Page { title: words("run-title", &[&run.number, &run.revision, &day, &welder]), blocks }
}

fn row(item: &Item) -> Vec<String> {
    let by = [item.by.as_str(), item.essential.as_str()];
    let by = by.into_iter().filter(|text| !text.is_empty()).collect::<Vec<_>>().join("; ");
    vec![item.subject.clone(), item.was.clone(), item.wanted.clone(), by]
}

fn current([low, high]: [f64; 2], system: System) -> String {
    show::range_both(Range::new(amps(low), amps(high)), system)
}

fn pass_row(run: &Comparison, pass: &PassRun, system: System) -> Vec<String> {
    let key = format!("pass/{}/amperage", pass.number);
    let verdict = run.items.iter().find(|item| item.key == key).map(|item| item.verdict);
    let verdict = ORDER.iter().find(|(own, _)| Some(*own) == verdict).map_or("", |(_, key)| key);
    vec![
        pass.number.to_string(),
        pass.start_temperature.map(|part| show::both(celsius(part), system)).unwrap_or_default(),
        pass.amperage.map(|ends| current(ends, system)).unwrap_or_default(),
        pass.range.map(|ends| current(ends, system)).unwrap_or_default(),
        if verdict.is_empty() { String::new() } else { word(&format!("word-{verdict}")) },
        if pass.dug_out { word("yes") } else { String::new() },
    ]
}

/// The page of many runs.
#[must_use]
pub fn summary(summary: &Summary, system: System) -> Page {
    let mut blocks =
        vec![Block::Line(words("sheet-title", &[&summary.title, &summary.seal])), Block::Heading(word("runs"))];
    // A kept record has the day in its name.
    let dated = !summary.runs.iter().all(|run| !run.date.is_empty() && run.name.contains(&run.date));
    let keys = ["run", "day", "welder", "inside", "outside", "missing", "rejected", "weld", "dug"];
    let head = keys.into_iter().filter(|key| dated || *key != "day").map(word).collect();
    let rows = summary.runs.iter().map(|run| {
        let dug = run.dug_out.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
        let [inside, outside, missing, rejected] =
            [run.inside, run.outside, run.missing, run.rejected].map(|count| count.to_string());
        let weld = word(if run.accepted { "accepted" } else { "not-accepted" });
        let dug = if dug.is_empty() { dug } else { words("pass-list", &[&dug]) };
        let counts = [run.welder.clone(), inside, outside, missing, rejected, weld, dug];
        std::iter::once(run.name.clone()).chain(dated.then(|| run.date.clone())).chain(counts).collect()
    });
    blocks.push(Block::Table { caption: word("runs"), head, rows: rows.collect() });
    blocks.push(Block::Heading(word("passes-summary")));
    let head = ["pass", "count", "median", "middle-half", "ends", "range", "off", "dug"].map(word).to_vec();
    let rows = summary.passes.iter().map(|pass| summary_row(pass, system)).collect();
    blocks.push(Block::Table { caption: word("passes-summary"), head, rows });
    blocks.push(Block::Line(word("median-means")));
    if let Some(chart) = Chart::of(summary) {
        blocks.push(Block::Heading(word("chart")));
        blocks.push(Block::Chart(chart));
    }
    blocks.push(Block::Heading(word("proposals")));
    if summary.proposals.is_empty() {
        blocks.push(Block::Line(word("none")));
    }
    for one in &summary.proposals {
        proposal(one, system, &mut blocks);
    }
    blocks.push(Block::Line(word("applies")));
    blocks.push(Block::Line(word("rule")));
    let count = summary.runs.len().to_string();
    Page { title: words("summary-title", &[&summary.number, &summary.revision, &count]), blocks }
}

/// An ampere value as the statistics give it: to half an ampere.
fn number(value: f64) -> String {
    show::trimmed(show::number(value, 1))
}

fn summary_row(pass: &PassSummary, system: System) -> Vec<String> {
    let kind = if pass.kind.is_empty() { String::new() } else { format!(", {}", pass.kind) };
    let outside = pass.readings.iter().filter(|reading| reading.inside == Some(false)).count().to_string();
    let of = |count: String| words("times", &[&count, &pass.runs.to_string()]);
    let statistics = pass.amperage;
    vec![
        format!("{}{kind}", pass.number),
        pass.runs.to_string(),
        statistics.map(|of| format!("{} A", number(of.median))).unwrap_or_default(),
        statistics.map(|of| range_of(of.lower, of.upper)).unwrap_or_default(),
        statistics.map(|of| range_of(of.least, of.most)).unwrap_or_default(),
        pass.span.map(|ends| current(ends, system)).unwrap_or_default(),
        of(outside),
        of(pass.dug_out.to_string()),
    ]
}

fn range_of(low: f64, high: f64) -> String {
    let (low, high) = (number(low), number(high));
    if low == high { format!("{low} A") } else { format!("{low} to {high} A") }
}

fn proposal(one: &Proposal, system: System, blocks: &mut Vec<Block>) {
    let key = match one.kind {
        Move::Narrow => "narrow",
        Move::Shift => "shift",
    };
    blocks.push(Block::Line(words(key, &[&one.pass.to_string(), &one.runs.to_string()])));
    let lines = one.parts.iter().zip(one.present.iter().zip(&one.proposed)).map(|(part, (present, proposed))| {
        let part = show::both(celsius(*part), system);
        words("at", &[&part, &current(*proposed, system), &current(*present, system)])
    });
    blocks.push(Block::List(lines.collect()));
}
