//! Section C: the revisions that the ledger holds, each with what it changed and why; this one, where it is not entered;
//! and a row for the next.

use super::context::Context;
use super::entered::{text, told};
use super::writer::{Writer, table};
use super::{Cell, Section};
use crate::ledger::{Change, Entered, State};

/// Section C.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "C");
    let heads = ["revision", "date", "what", "why", "who", "did"];
    let mut table = table(context, "revisions", &heads, &[0, 1, 2, 3, 4, 5]);
    let procedure = &context.spec().procedure.value;
    let own = &procedure.revision.value.0;
    let entries = &context.papers.entries;
    table.rows.extend(entries.iter().map(|entry| row(context, entry)));
    if !entries.iter().any(|entry| entry.revision == *own) {
        let text = |at: Option<String>| context.plain(at.unwrap_or_default());
        table.rows.push(vec![
            context.plain(own.clone()),
            text(procedure.date.as_ref().map(|at| at.value.0.to_string())),
            Cell::default(),
            text(procedure.reason.as_ref().map(|at| at.value.clone())),
            text(procedure.author.as_ref().map(|at| at.value.clone())),
            Cell::default(),
        ]);
    }
    table.rows.push(heads.iter().map(|_| Cell::default()).collect());
    writer.table(table);
    writer.done()
}

/// The row of an entry.
fn row(context: &Context<'_>, entry: &Entered) -> Vec<Cell> {
    let listed = |changes: &[Change], none: &str| match (entry.first, changes.is_empty()) {
        (true, _) => String::new(),
        (false, true) => text(none, &[]),
        (false, false) => told(changes, context.system()).join("; "),
    };
    let what = match (entry.state, entry.first) {
        (State::Withdrawn, _) => text("withdrawn", &[]),
        (State::Issued, true) => text("first", &[]),
        (State::Issued, false) => listed(&entry.job, "paper"),
    };
    let did = if entry.first { text("first", &[]) } else { listed(&entry.figures, "no-setting") };
    let cells = [entry.revision.clone(), entry.date.clone(), what, entry.reason.clone(), entry.author.clone(), did];
    cells.into_iter().map(|text| context.plain(text)).collect()
}
