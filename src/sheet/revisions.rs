//! Section C: this revision with its reason, and a row for the next.

use super::context::Context;
use super::writer::{Writer, table};
use super::{Cell, Section};

/// Section C.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "C");
    let heads = ["revision", "date", "what", "why", "who", "did"];
    let mut table = table(context, "revisions", &heads, &[0, 1, 2, 3, 4, 5]);
    let procedure = &context.spec().procedure.value;
    let text = |at: Option<String>| context.plain(at.unwrap_or_default());
    table.rows.push(vec![
        context.plain(procedure.revision.value.0.clone()),
        text(procedure.date.as_ref().map(|at| at.value.0.to_string())),
        Cell::default(),
        text(procedure.reason.as_ref().map(|at| at.value.clone())),
        text(procedure.author.as_ref().map(|at| at.value.clone())),
        Cell::default(),
    ]);
    table.rows.push(heads.iter().map(|_| Cell::default()).collect());
    writer.table(table);
    writer.done()
}
