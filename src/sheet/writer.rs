//! Writing one section: blocks in their order, steps and holds with the digit of the section.

use super::cited;
use super::context::{Context, Say};
use super::{Block, Cell, Hold, Section, Step, Table};

/// A section that is being written.
pub(super) struct Writer<'c, 'a> {
    pub(super) context: &'c Context<'a>,
    id: &'static str,
    blocks: Vec<Block>,
}

impl<'c, 'a> Writer<'c, 'a> {
    pub(super) fn new(context: &'c Context<'a>, id: &'static str) -> Self {
        Writer { context, id, blocks: Vec::new() }
    }

    /// The section, with its title.
    pub(super) fn done(self) -> Section {
        let title = self.context.text("sections", &format!("title/{}", self.id));
        Section { id: self.id.to_owned(), title, not_required: String::new(), blocks: self.blocks }
    }

    /// A step whose words stand under its own id: `3.degrease`.
    pub(super) fn step(&mut self, key: &str) {
        self.say_step(key, Say::of("steps", format!("{}.{key}", self.id)));
    }

    /// A step in one of the cases that it is worded for: `3.degrease` of `3.degrease/acetone`.
    pub(super) fn step_case(&mut self, key: &str, case: &str) {
        let say = self.say(key, case);
        self.say_step(key, say);
    }

    /// The words of a step, to be filled and given to [`Writer::say_step`]; an empty case for a step that has none.
    pub(super) fn say(&self, key: &str, case: &str) -> Say {
        let slash = if case.is_empty() { "" } else { "/" };
        Say::of("steps", format!("{}.{key}{slash}{case}", self.id))
    }

    /// A step with words of any origin, and the sources of its rule.
    pub(super) fn say_step(&mut self, key: &str, say: Say) {
        let say = say.cite(cited::of_step(&format!("{}.{key}", self.id), &self.context.marks));
        let action = self.context.cell(&say);
        self.push_step(key, action, false);
    }

    /// A step that is worded already.
    pub(super) fn push_step(&mut self, key: &str, action: Cell, own: bool) {
        self.blocks.push(Block::Step(Step { id: format!("{}.{key}", self.id), action, own }));
    }

    /// A hold with the boxes that every hold has, after those of its own.
    pub(super) fn hold(&mut self, key: &str, criterion: Say, boxes: &[&str]) {
        self.hold_rows(key, criterion, boxes, Vec::new());
    }

    /// A hold with further rows of boxes.
    pub(super) fn hold_rows(&mut self, key: &str, criterion: Say, boxes: &[&str], rows: Vec<String>) {
        let criterion = self.context.cell(&criterion);
        let hold = hold(self.context, format!("hold-{key}"), criterion, boxes, rows);
        self.blocks.push(Block::Hold(hold));
    }

    /// A sentence.
    pub(super) fn text(&mut self, say: Say) {
        let text = self.context.cell(&say);
        self.blocks.push(Block::Text { text, lead: String::new() });
    }

    /// A sentence with its heading in bold.
    pub(super) fn lead(&mut self, lead: String, text: Cell) {
        self.blocks.push(Block::Text { text, lead });
    }

    /// Why something is not required here.
    pub(super) fn not_required(&mut self, key: &str) {
        self.text(Say::of("sections", format!("not-required/{key}")));
    }

    pub(super) fn block(&mut self, block: Block) {
        self.blocks.push(block);
    }

    pub(super) fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }
}

/// A hold with its own boxes and those that every hold has.
pub(super) fn hold(context: &Context<'_>, id: String, criterion: Cell, boxes: &[&str], rows: Vec<String>) -> Hold {
    let all = boxes.iter().chain(&["decision", "signature", "time"]);
    let boxes = all.map(|key| context.text("sections", &format!("box/{key}"))).collect();
    Hold { id, criterion, boxes, rows }
}

/// A table that is being written: headings by their keys.
pub(super) fn table(context: &Context<'_>, key: &str, heads: &[&str], fill: &[usize]) -> Table {
    Table {
        key: key.to_owned(),
        caption: context.text("sections", &format!("caption/{key}")),
        head: heads.iter().map(|head| context.text("sections", &format!("head/{head}"))).collect(),
        rows: Vec::new(),
        fill: fill.to_vec(),
    }
}

/// A row of two texts: the name of the item by its key, and the value.
pub(super) fn pair(context: &Context<'_>, item: &str, value: Cell) -> Vec<Cell> {
    vec![context.plain(context.text("sections", &format!("row/{item}"))), value]
}
