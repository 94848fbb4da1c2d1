//! Section 9: what is filled in by hand when the work is done.

use super::context::Context;
use super::writer::{Writer, pair, table};
use super::{Cell, Section};

/// Section 9.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "9");
    let mut record = table(context, "record", &["item", "value"], &[1]);
    for item in ["lot", "tungsten-used", "otherwise", "again", "signed", "released"] {
        record.rows.push(pair(context, item, Cell::default()));
    }
    writer.table(record);
    writer.step("owner");
    writer.step("keep");
    writer.done()
}
