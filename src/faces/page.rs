//! A page: the sheet made ready for the templates, with the cautions put to the steps that they stand before and the
//! ids of steps and holds found in the texts.
//!
//! It borrows every text of the model and is turned into one context, which Markdown and HTML share.

use super::cells::{CellView, HERE, ID, PLAIN, Run, Source, Words};
use super::labels::{labels, page_words};
use super::{FaceError, boxes, escape, policy, prose};
use crate::sheet::{Block, Caution, Cell, Drawing, Hold, Section, Sheet, Step, Table};
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
            decision: if sheet.void { "no" } else { sheet.decision.word() },
            decision_text: marks.words(&sheet.decision_text),
            seal: sheet.seal.trim(),
            sections: sheet.sections.iter().map(|section| marks.section(section)).collect(),
            sources: sheet.sources.iter().map(|source| Note { key: &source.key, text: &source.text }).collect(),
            sources_placed: sheet.sections.iter().any(|section| section.id == SOURCES),
        };
        let mut context = Context::from_serialize(&view)?;
        let labels = labels(&sheet.lang)?;
        let words = page_words(&sheet.lang)?;
        context.insert_value("labels", Value::try_from_serializable(labels)?);
        context.insert_value("page", Value::try_from_serializable(words)?);
        let margins = policy::margins(sheet, labels);
        let form = boxes::form(sheet, words)?;
        context.insert_value("policy", Value::safe_string(&policy::policy(&margins)));
        context.insert_value("margins", Value::safe_string(&margins));
        context.insert_value("form", Value::safe_string(&escape::json_in_html(&form)));
        context.insert("drawings", "");
        Ok(Page { context })
    }

    /// The page of a sheet whose drawings lie beside it as `NAME-d1.svg` and so on. Without a name Markdown has none.
    #[must_use]
    pub fn named(mut self, name: &str) -> Page {
        self.context.insert("drawings", &escape::link(name));
        self
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
    sources: Vec<Note<'a>>,
    sources_placed: bool,
}

/// An entry of the list of sources.
#[derive(Serialize)]
struct Note<'a> {
    key: &'a str,
    text: &'a str,
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
    Text {
        lead: &'a str,
        text: CellView<'a>,
    },
    Prose {
        markdown: String,
    },
    Table(TableView<'a>),
    /// Cautions that no step follows.
    Cautions {
        items: Vec<CautionView<'a>>,
    },
    /// Steps that follow each other, each with its cautions.
    Steps {
        items: Vec<StepView<'a>>,
    },
    Hold {
        id: &'a str,
        criterion: CellView<'a>,
        boxes: &'a [String],
        rows: &'a [String],
        /// Names of the boxes, row by row.
        names: Vec<Vec<String>>,
    },
    Drawing {
        id: &'a str,
        title: &'a str,
        /// For a page; a file has its own colours.
        svg: String,
    },
    List {
        items: Vec<CellView<'a>>,
    },
    Alert {
        title: &'a str,
        items: Vec<CellView<'a>>,
    },
}

#[derive(Serialize)]
struct TableView<'a> {
    key: &'a str,
    caption: &'a str,
    /// Whether the words before it say what it is, so that the caption is for those alone who cannot see them.
    told: bool,
    head: &'a [String],
    /// Whether it is too wide for the usual size of type.
    wide: bool,
    /// Whether a phone is too narrow for it, so that its rows become cards there.
    stack: bool,
    /// Whether it is short enough to stay on one page.
    short: bool,
    rows: Vec<Vec<CellView<'a>>>,
    /// Names of the boxes to fill in, row by row and cell by cell; empty texts for the other cells.
    names: Vec<Vec<String>>,
}

#[derive(Serialize)]
struct CautionView<'a> {
    signal: &'a str,
    /// The signal word in lower case, for the style.
    class: String,
    title: &'a str,
    hurts: Words<'a>,
    /// With the sources.
    action: CellView<'a>,
}

#[derive(Serialize)]
struct StepView<'a> {
    id: &'a str,
    action: CellView<'a>,
    own: bool,
    cautions: Vec<CautionView<'a>>,
}

/// More columns than this take smaller type.
const COLUMNS_OF_USUAL_TYPE: usize = 6;
/// More columns than this do not fit on a phone, except in workings, which are small and read at the desk.
const COLUMNS_OF_A_PHONE: usize = 3;
/// A table of at most this many rows is not broken over pages.
const ROWS_KEPT_TOGETHER: usize = 7;

/// What texts may name: ids of steps and holds, and sources by their numbers.
struct Marks<'a> {
    ids: BTreeSet<&'a str>,
    numbers: BTreeMap<&'a str, usize>,
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
        Marks { ids: ids.collect(), numbers: sources.collect() }
    }

    fn sources(&self, keys: &'a [String]) -> Vec<Source<'a>> {
        keys.iter().map(|key| Source(key, self.numbers.get(key.as_str()).copied().unwrap_or_default())).collect()
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
            groups: self.groups(section.title.trim(), &section.blocks),
        }
    }

    /// Cautions wait for the step that follows them; whatever else follows them sets them free.
    fn groups(&self, title: &str, blocks: &'a [Block]) -> Vec<Group<'a>> {
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
        tell_captions(&mut groups, title);
        groups
    }

    fn group(&self, block: &'a Block) -> Option<Group<'a>> {
        Some(match block {
            Block::Text { text, lead } => Group::Text { lead: lead.trim(), text: self.cell(text, false) },
            Block::Prose { markdown } => Group::Prose { markdown: prose::markdown(markdown) },
            Block::Table(table) => Group::Table(self.table(table)),
            Block::Hold(hold) => self.hold(hold),
            Block::Drawing(drawing @ Drawing { id, title, .. }) => Group::Drawing { id, title, svg: drawing.inline() },
            Block::List { items } => Group::List { items: self.cells(items) },
            Block::Alert { title, items } => Group::Alert { title: title.trim(), items: self.cells(items) },
            Block::Caution(_) | Block::Step(_) => return None,
        })
    }

    fn hold(&self, hold: &'a Hold) -> Group<'a> {
        Group::Hold {
            id: &hold.id,
            criterion: self.cell(&hold.criterion, false),
            boxes: &hold.boxes,
            rows: &hold.rows,
            names: boxes::of_hold(hold),
        }
    }

    fn table(&self, table: &'a Table) -> TableView<'a> {
        let row = |cells: &'a Vec<Cell>| {
            cells.iter().enumerate().map(|(column, cell)| self.cell(cell, table.fill.contains(&column))).collect()
        };
        TableView {
            key: &table.key,
            caption: table.caption.trim(),
            told: table.caption.trim().is_empty(),
            head: &table.head,
            wide: table.head.len() > COLUMNS_OF_USUAL_TYPE,
            stack: table.head.len() > COLUMNS_OF_A_PHONE && !table.key.starts_with("working-"),
            short: table.rows.len() <= ROWS_KEPT_TOGETHER,
            rows: table.rows.iter().map(row).collect(),
            names: boxes::of_table(table),
        }
    }

    fn caution(&self, caution: &'a Caution) -> CautionView<'a> {
        CautionView {
            signal: caution.signal.trim(),
            class: caution.signal.trim().to_lowercase(),
            title: caution.title.trim(),
            hurts: self.words(&caution.hurts),
            action: CellView(self.words(&caution.action), "", self.sources(&caution.cites), false),
        }
    }

    fn step(&self, step: &'a Step, cautions: Vec<CautionView<'a>>) -> StepView<'a> {
        StepView { id: &step.id, action: self.cell(&step.action, false), own: step.own, cautions }
    }

    fn cells(&self, cells: &'a [Cell]) -> Vec<CellView<'a>> {
        cells.iter().map(|cell| self.cell(cell, false)).collect()
    }

    fn cell(&self, cell: &'a Cell, fill: bool) -> CellView<'a> {
        let fill = fill && cell.text.trim().is_empty();
        CellView(self.words(&cell.text), cell.basis.trim(), self.sources(&cell.cites), fill)
    }

    /// Finds the ids of steps and holds in a text. A name in back-quotes is one too, although this sheet may lack it;
    /// the back-quotes go, because each face has its own mark.
    fn words(&self, text: &'a str) -> Words<'a> {
        let text = text.trim();
        let mut runs: Vec<Run<'a>> = Vec::new();
        let mut rest = text;
        while let Some((before, id, after)) = self.next_id(rest) {
            if !before.is_empty() {
                runs.push(Run(before, PLAIN));
            }
            runs.push(Run(id, if self.ids.contains(id) { HERE } else { ID }));
            rest = after;
        }
        if runs.is_empty() {
            return Words::Plain(text);
        }
        if !rest.is_empty() {
            runs.push(Run(rest, PLAIN));
        }
        Words::Runs(runs)
    }

    /// The first id in a text: what stands before it, the id, what stands after it.
    fn next_id(&self, text: &'a str) -> Option<(&'a str, &'a str, &'a str)> {
        let mut start = 0;
        while let Some(length) = text.get(start..).map(|rest| rest.bytes().take_while(in_id).count()) {
            let id = text.get(start..start + length)?.trim_end_matches(['.', '-']);
            let (before, after) = (text.get(..start)?, text.get(start + id.len()..)?);
            if let (Some(before), Some(after), false) =
                (before.strip_suffix('`'), after.strip_prefix('`'), id.is_empty())
            {
                return Some((before, id, after));
            }
            // Every id joins two words: most words of a text are told apart without a search.
            if id.len() > 2 && id.contains(['.', '-']) && self.ids.contains(id) {
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

/// Marks the captions that only repeat the heading of the section or the bold words right before the table.
fn tell_captions(groups: &mut [Group<'_>], title: &str) {
    let mut before = title;
    for group in groups {
        match group {
            Group::Table(table) if table.caption == before => table.told = true,
            Group::Text { lead, .. } => before = lead,
            _ => before = "",
        }
    }
}

/// Puts cautions that wait for a step into a group of their own.
fn free<'a>(waiting: &mut Vec<CautionView<'a>>, groups: &mut Vec<Group<'a>>) {
    if !waiting.is_empty() {
        groups.push(Group::Cautions { items: std::mem::take(waiting) });
    }
}
