//! Section 9: what is filled in by hand when the work is done.

use super::context::Context;
use super::run_form::{RECORD_ROWS, TEST_BOXES};
use super::writer::{Writer, pair, table};
use super::{Block, Cell, Section};
use crate::spec::Joint;

/// Steps that test or look, and by which method, in the order of the work. The words of a step's test stand under its id.
const TESTS: [(&str, &str); 18] = [
    ("4.read", "penetrant"),
    ("4.look", "visual"),
    ("4.magnetic", "magnetic particle"),
    ("6.look", "visual"),
    ("6.root-test", "penetrant"),
    ("6.gouge-test", "penetrant"),
    ("6.gouge-look", "visual"),
    ("6.gouge-magnetic", "magnetic particle"),
    ("7.tint", "visual"),
    ("7.visual", "visual"),
    ("7.penetrant", "penetrant"),
    ("7.ultrasonic", "ultrasonic"),
    ("7.radiography", "radiography"),
    ("7.magnetic", "magnetic particle"),
    ("8.look", "visual"),
    ("8.penetrant", "penetrant"),
    ("8.magnetic", "magnetic particle"),
    ("8.leak-test", "leak"),
];

/// Section 9.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "9");
    let mut record = table(context, "record", &["item", "value"], &[1]);
    for item in RECORD_ROWS {
        record.rows.push(pair(context, item, Cell::default()));
    }
    writer.table(record);
    writer.step("owner");
    writer.step("keep");
    writer.done()
}

/// Puts a table of the tests that the sheet asks for at the head of section 9, each with a box for its result.
pub(super) fn add_tests(context: &Context<'_>, sections: &mut [Section]) {
    let has = |id: &str| {
        let step = |block: &Block| matches!(block, Block::Step(step) if step.id == id);
        sections.iter().any(|section| section.blocks.iter().any(step))
    };
    let fill: Vec<usize> = (2..2 + TEST_BOXES.len()).collect();
    let mut tests = table(context, "tests", &["test", "method", "result", "by"], &fill);
    // After a single run, and on a pad, the look after the root is the look at the finished weld.
    let no_root = context.passes().len() == 1 || context.job.joint == Joint::Pad;
    let asked = TESTS.into_iter().filter(|(step, _)| has(step) && !(no_root && *step == "6.look"));
    for (step, method) in asked {
        let texts = [context.text("sections", &format!("test/{step}")), method.to_owned()];
        let boxes = TEST_BOXES.map(|_| Cell::default());
        tests.rows.push(texts.into_iter().map(|text| context.plain(text)).chain(boxes).collect());
    }
    if let Some(section) = sections.iter_mut().find(|section| section.id == "9")
        && !tests.rows.is_empty()
    {
        section.blocks.insert(0, Block::Table(tests));
    }
}
