//! A page: the sheet made ready for the templates, with the cautions put to the steps that they stand before and the
//! ids of steps and holds found in the texts.
//!
//! It borrows every text of the model and is turned into one context, which Markdown and HTML share.

use super::prose;
use super::{FaceError, labels::labels};
use crate::sheet::{Block, Caution, Cell, Hold, Section, Sheet, Step, Table};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use tera::{Context, Value};

/// A sheet made ready for the templates.
pub struct Page {
    /// What the templates see.
    pub(crate) context: Context,
}

impl Page {
    /// Makes a sheet ready.
    ///
    /// # Errors
    /// [`FaceError::Template`], when the model cannot be given to the templates.
    pub fn new(sheet: &Sheet) -> Result<Page, FaceError> {
        let marks = Marks::of(sheet);
        let view = View {
            lang: &sheet.lang,
            number: sheet.number.trim(),
            revision: sheet.revision.trim(),
            title: sheet.title.trim(),
            banner: sheet.banner.trim(),
            decision: sheet.decision.word(),
            decision_text: marks.words(&sheet.decision_text),
            seal: sheet.seal.trim(),
            sections: sheet.sections.iter().map(|section| marks.section(section)).collect(),
            sources: sheet.sources.iter().zip(1..).map(|(source, number)| Source { key: &source.key, text: &source.text, number }).collect(),
            sources_placed: sheet.sections.iter().any(|section| section.id == SOURCES),
        };
        let mut context = Context::from_serialize(&view)?;
        context.insert_value("labels", Value::try_from_serializable(labels(&sheet.lang)?)?);
        Ok(Page { context })
    }
}

/// Id of the section of sources.
const SOURCES: &str = "B";
/// Id of the block of standing cautions.
const STANDING: &str = "standing";

#[derive(Serialize)]
struct View<'a> {
    lang: &'a str,
    number: &'a str,
    revision: &'a str,
    title: &'a str,
    banner: &'a str,
    decision: &'a str,
    decision_text: Words<'a>,
    seal: &'a str,
    sections: Vec<SectionView<'a>>,
    sources: Vec<Source<'a>>,
    sources_placed: bool,
}

#[derive(Serialize)]
struct Source<'a> {
    key: &'a str,
    text: &'a str,
    number: usize,
}

#[derive(Serialize)]
struct SectionView<'a> {
    id: &'a str,
    /// The id as it is printed; empty for the standing block.
    digit: &'a str,
    title: &'a str,
    standing: bool,
    sources: bool,
    not_required: Words<'a>,
    groups: Vec<Group<'a>>,
}

/// A piece of a section as the templates lay it out.
#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum Group<'a> {
    Text { lead: &'a str, text: CellView<'a> },
    Prose { markdown: String },
    Table(TableView<'a>),
    /// Cautions that no step follows.
    Cautions { items: Vec<CautionView<'a>> },
    /// Steps that follow each other, each with its cautions.
    Steps { items: Vec<StepView<'a>> },
    Hold { id: &'a str, criterion: CellView<'a>, boxes: &'a [String], rows: &'a [String] },
    List { items: Vec<CellView<'a>> },
    Alert { title: &'a str, items: Vec<CellView<'a>> },
}

#[derive(Serialize)]
struct TableView<'a> {
    key: &'a str,
    caption: &'a str,
    head: &'a [String],
    /// Whether it is too wide for the usual size of type.
    wide: bool,
    /// Whether it is a plain list of names and values.
    pair: bool,
    /// Whether it is short enough to stay on one page.
    short: bool,
    rows: Vec<Vec<CellView<'a>>>,
}

#[derive(Serialize)]
struct CautionView<'a> {
    signal: &'a str,
    /// The signal word in lower case, for the style.
    class: String,
    title: &'a str,
    hurts: Words<'a>,
    action: Words<'a>,
    cites: Vec<Cite<'a>>,
}

#[derive(Serialize)]
struct StepView<'a> {
    id: &'a str,
    action: CellView<'a>,
    own: bool,
    cautions: Vec<CautionView<'a>>,
}

#[derive(Serialize)]
struct CellView<'a> {
    words: Words<'a>,
    basis: &'a str,
    cites: Vec<Cite<'a>>,
    /// Whether it has words.
    said: bool,
    /// Whether it has a basis or sources.
    marked: bool,
    /// Whether it is a box to write in.
    fill: bool,
}

/// A source that a text cites.
#[derive(Serialize)]
struct Cite<'a> {
    key: &'a str,
    /// Its number in the list of sources; none where it is not listed.
    number: Option<usize>,
}

/// A text: plain, or in runs where it names steps or holds.
#[derive(Serialize)]
#[serde(untagged)]
enum Words<'a> {
    Plain(&'a str),
    Runs(Vec<Run<'a>>),
}

/// A stretch of a text.
#[derive(Serialize)]
struct Run<'a> {
    text: &'a str,
    /// Whether it is the id of a step or hold.
    id: bool,
    /// Whether that step or hold is on this sheet.
    here: bool,
}

/// More columns than this take smaller type.
const COLUMNS_OF_USUAL_TYPE: usize = 6;
/// A table of at most this many rows is not broken over pages.
const ROWS_KEPT_TOGETHER: usize = 9;

/// What texts may name: ids of steps and holds, and sources by their numbers.
struct Marks<'a> {
    ids: BTreeSet<&'a str>,
    sources: BTreeMap<&'a str, usize>,
}

impl<'a> Marks<'a> {
    fn of(sheet: &'a Sheet) -> Self {
        let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
        let ids = blocks.filter_map(|block| match block {
            Block::Step(step) => Some(step.id.as_str()),
            Block::Hold(hold) => Some(hold.id.as_str()),
            _ => None,
        });
        let sources = sheet.sources.iter().map(|source| source.key.as_str()).zip(1..);
        Marks { ids: ids.collect(), sources: sources.collect() }
    }

    fn cites(&self, keys: &'a [String]) -> Vec<Cite<'a>> {
        keys.iter().map(|key| Cite { key, number: self.sources.get(key.as_str()).copied() }).collect()
    }

    fn section(&self, section: &'a Section) -> SectionView<'a> {
        let standing = section.id == STANDING;
        SectionView {
            id: &section.id,
            digit: if standing { "" } else { &section.id },
            title: section.title.trim(),
            standing,
            sources: section.id == SOURCES,
            not_required: self.words(&section.not_required),
            groups: self.groups(&section.blocks),
        }
    }

    /// Cautions wait for the step that follows them; whatever else follows them sets them free.
    fn groups(&self, blocks: &'a [Block]) -> Vec<Group<'a>> {
        let mut groups = Vec::with_capacity(blocks.len());
        let mut waiting = Vec::new();
        for block in blocks {
            match block {
                Block::Caution(caution) => waiting.push(self.caution(caution)),
                Block::Step(step) => {
                    let step = self.step(step, std::mem::take(&mut waiting));
                    if let Some(Group::Steps { items }) = groups.last_mut() {
                        items.push(step);
                    } else {
                        groups.push(Group::Steps { items: vec![step] });
                    }
                }
                other => {
                    free(&mut waiting, &mut groups);
                    groups.extend(self.group(other));
                }
            }
        }
        free(&mut waiting, &mut groups);
        groups
    }

    fn group(&self, block: &'a Block) -> Option<Group<'a>> {
        Some(match block {
            Block::Text { text, lead } => Group::Text { lead: lead.trim(), text: self.cell(text, false) },
            Block::Prose { markdown } => Group::Prose { markdown: prose::markdown(markdown) },
            Block::Table(table) => Group::Table(self.table(table)),
            Block::Hold(hold) => self.hold(hold),
            Block::List { items } => Group::List { items: self.cells(items) },
            Block::Alert { title, items } => Group::Alert { title: title.trim(), items: self.cells(items) },
            Block::Caution(_) | Block::Step(_) => return None,
        })
    }

    fn hold(&self, hold: &'a Hold) -> Group<'a> {
        Group::Hold { id: &hold.id, criterion: self.cell(&hold.criterion, false), boxes: &hold.boxes, rows: &hold.rows }
    }

    fn table(&self, table: &'a Table) -> TableView<'a> {
        let row = |cells: &'a Vec<Cell>| {
            cells.iter().enumerate().map(|(column, cell)| self.cell(cell, table.fill.contains(&column))).collect()
        };
        TableView {
            key: &table.key,
            caption: table.caption.trim(),
            head: &table.head,
            wide: table.head.len() > COLUMNS_OF_USUAL_TYPE,
            pair: table.head.len() == 2,
            short: table.rows.len() <= ROWS_KEPT_TOGETHER,
            rows: table.rows.iter().map(row).collect(),
        }
    }

    fn caution(&self, caution: &'a Caution) -> CautionView<'a> {
        CautionView {
            signal: caution.signal.trim(),
            class: caution.signal.trim().to_lowercase(),
            title: caution.title.trim(),
            hurts: self.words(&caution.hurts),
            action: self.words(&caution.action),
            cites: self.cites(&caution.cites),
        }
    }

    fn step(&self, step: &'a Step, cautions: Vec<CautionView<'a>>) -> StepView<'a> {
        StepView { id: &step.id, action: self.cell(&step.action, false), own: step.own, cautions }
    }

    fn cells(&self, cells: &'a [Cell]) -> Vec<CellView<'a>> {
        cells.iter().map(|cell| self.cell(cell, false)).collect()
    }

    fn cell(&self, cell: &'a Cell, fill: bool) -> CellView<'a> {
        let said = !cell.text.trim().is_empty();
        CellView {
            words: self.words(&cell.text),
            basis: cell.basis.trim(),
            cites: self.cites(&cell.cites),
            said,
            marked: !cell.basis.trim().is_empty() || !cell.cites.is_empty(),
            fill: fill && !said,
        }
    }

    /// Finds the ids of steps and holds in a text. A name in back-quotes is one too, although this sheet may lack it;
    /// the back-quotes go, because each face has its own mark.
    fn words(&self, text: &'a str) -> Words<'a> {
        let text = text.trim();
        let mut runs: Vec<Run<'a>> = Vec::new();
        let mut rest = text;
        while let Some((before, id, after)) = self.next_id(rest) {
            if !before.is_empty() {
                runs.push(Run { text: before, id: false, here: false });
            }
            runs.push(Run { text: id, id: true, here: self.ids.contains(id) });
            rest = after;
        }
        if runs.is_empty() {
            return Words::Plain(text);
        }
        if !rest.is_empty() {
            runs.push(Run { text: rest, id: false, here: false });
        }
        Words::Runs(runs)
    }

    /// The first id in a text: what stands before it, the id, what stands after it.
    fn next_id(&self, text: &'a str) -> Option<(&'a str, &'a str, &'a str)> {
        let mut start = 0;
        while let Some(length) = text.get(start..).map(|rest| rest.bytes().take_while(in_id).count()) {
            let id = text.get(start..start + length)?.trim_end_matches(['.', '-']);
            let (before, after) = (text.get(..start)?, text.get(start + id.len()..)?);
            if let (Some(before), Some(after), false) = (before.strip_suffix('`'), after.strip_prefix('`'), id.is_empty()) {
                return Some((before, id, after));
            }
            if id.len() > 2 && self.ids.contains(id) {
                return Some((before, id, after));
            }
            start += length;
            // To the next character that may begin an id.
            start += text.get(start..)?.find(|char: char| u8::try_from(char).is_ok_and(|byte| in_id(&byte)))?;
        }
        None
    }
}

/// Whether a byte may stand in the id of a step or hold.
fn in_id(byte: &u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'-')
}

/// Puts cautions that wait for a step into a group of their own.
fn free<'a>(waiting: &mut Vec<CautionView<'a>>, groups: &mut Vec<Group<'a>>) {
    if !waiting.is_empty() {
        groups.push(Group::Cautions { items: std::mem::take(waiting) });
    }
}
