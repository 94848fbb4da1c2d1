//! The text face: the sheet in plain words, 80 columns wide, for a terminal and for reading aloud. Steps, cautions, holds
//! and values are all there; workings and sources are for the desk and stand in the other faces.

use super::FaceError;
use super::labels::{Labels, labels};
use super::terminal::push_wrapped;
use crate::sheet::{Block, Caution, Hold, Section, Sheet, Step, Table};

/// Sections that the other faces have alone: workings and sources.
const DESK: [&str; 2] = ["A", "B"];
/// A box to write in.
const BOX: &str = "____";

/// Appends the text of a sheet to `out`.
///
/// # Errors
/// [`FaceError::Words`], when the words of the faces are broken.
pub fn write(sheet: &Sheet, out: &mut Vec<u8>) -> Result<(), FaceError> {
    let labels = labels(&sheet.lang)?;
    let mut text = Text { out: String::new(), labels };
    let label = |key: &str| labels.get(key).map_or("", String::as_str);
    text.line(&format!("{} {} {}: {}", sheet.number, label("revision"), sheet.revision, sheet.title));
    text.line(&format!("{} {}", label("seal"), sheet.seal));
    text.gap();
    text.line(&[sheet.banner.trim(), sheet.decision_text.trim()].join(". "));
    for section in sheet.sections.iter().filter(|section| !DESK.contains(&section.id.as_str())) {
        text.section(section);
    }
    out.extend_from_slice(text.out.as_bytes());
    Ok(())
}

struct Text<'a> {
    out: String,
    labels: &'a Labels,
}

impl Text<'_> {
    fn line(&mut self, text: &str) {
        push_wrapped(&mut self.out, "  ", &text.replace('`', ""));
    }

    fn gap(&mut self) {
        if !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    fn label(&self, key: &str) -> String {
        self.labels.get(key).cloned().unwrap_or_default()
    }

    fn section(&mut self, section: &Section) {
        if section.blocks.is_empty() && section.not_required.is_empty() {
            return;
        }
        let number = if section.id.len() == 1 { format!("{} ", section.id) } else { String::new() };
        self.gap();
        self.line(&format!("{number}{}", section.title.to_uppercase()));
        self.gap();
        if !section.not_required.is_empty() {
            self.line(&section.not_required);
        }
        for block in &section.blocks {
            self.block(block);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Text { text, lead } => {
                self.gap();
                self.line(&format!("{lead} {}", text.text));
            }
            Block::Prose { markdown } => {
                for paragraph in markdown.split("\n\n") {
                    self.line(paragraph);
                }
            }
            Block::Table(table) => self.table(table),
            Block::Caution(caution) => self.caution(caution),
            Block::Step(step) => self.step(step),
            Block::Hold(hold) => self.hold(hold),
            // A drawing that can only be heard is all that it shows, in words.
            Block::Drawing(drawing) => {
                self.gap();
                self.line(&format!("{}: {}", drawing.title, drawing.description));
            }
            Block::List { items } => items.iter().for_each(|item| self.line(&format!("- {}", item.text))),
            Block::Alert { title, items } => {
                self.gap();
                self.line(&format!("{}:", title.to_uppercase()));
                items.iter().for_each(|item| self.line(&format!("- {}", item.text)));
                self.gap();
            }
        }
    }

    fn caution(&mut self, caution: &Caution) {
        self.gap();
        self.line(&format!("{}: {}. {} {}", caution.signal, caution.title, caution.hurts, caution.action));
    }

    fn step(&mut self, step: &Step) {
        let own = if step.own { format!(" ({})", self.label("own_step")) } else { String::new() };
        self.line(&format!("[ ] {}: {}{own}", step.id, step.action.text));
    }

    fn hold(&mut self, hold: &Hold) {
        self.gap();
        self.line(&format!("*** {} {}: {}", self.label("hold"), hold.id, self.label("hold_means")));
        self.line(&hold.criterion.text);
        let boxes = hold.boxes.iter().map(|name| format!("{name} {BOX}")).collect::<Vec<_>>().join("; ");
        if hold.rows.is_empty() {
            self.line(&boxes);
        }
        for row in &hold.rows {
            self.line(&format!("{row}: {boxes}"));
        }
        self.gap();
    }

    /// A row is one sentence: its first cell, then every other one with the head of its column.
    fn table(&mut self, table: &Table) {
        self.gap();
        if !table.caption.trim().is_empty() {
            self.line(&format!("{}:", table.caption));
        }
        for row in &table.rows {
            let [first, others @ ..] = row.as_slice() else { continue };
            let cells = others.iter().zip(table.head.iter().skip(1)).zip(1..).filter_map(|((cell, head), column)| {
                let text = cell.text.trim();
                match (text.is_empty(), table.fill.contains(&column)) {
                    (false, _) if others.len() == 1 => Some(text.to_owned()),
                    (false, _) => Some(format!("{head}: {text}")),
                    (true, true) => Some(format!("{head}: {BOX}")),
                    (true, false) => None,
                }
            });
            let cells: Vec<String> = cells.collect();
            let first = first.text.trim();
            let mark = match (others.len() == 1, first.ends_with(['.', '?'])) {
                (_, true) => "",
                (true, false) => ":",
                (false, false) => ".",
            };
            self.line(&format!("- {first}{mark} {}", cells.join("; ")));
        }
        self.gap();
    }
}
