//! The JSON face: the settings alone, or the whole sheet, with stable keys, for other programs.
//!
//! The types below are the format: a key stands where its field stands, numbers are in the unit beside them, and a
//! figure that could not be worked out is absent and explained by a finding.

mod figure;
mod identity;
mod inputs;
mod made;
mod number;
pub(super) mod print;
pub(super) mod ruling;

pub use print::print;

use super::Answer;
use crate::engine::FigureName;
use crate::findings::json::value as finding;
use crate::reference::{Cite, source_by_key};
use crate::rules::Decision;
use crate::seal::figures_value;
use crate::sheet::{Block, Caution, Cell, Drawing, Hold, Sheet, Step};
use figure::{Brief, FigureJson};
use identity::{Identity, identity};
use inputs::Inputs;
use made::Made;
use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};
use std::collections::BTreeSet;

/// Version of this format.
const FORMAT: u8 = 1;

/// The settings of a job.
#[derive(Debug, Clone, Serialize)]
pub struct Settings<'a> {
    format: u8,
    inputs: Inputs<'a>,
    #[serde(serialize_with = "by_name")]
    figures: Vec<(FigureName, FigureJson<'a>)>,
    findings: Vec<serde_json::Value>,
    sources: Vec<SourceJson<'a>>,
}

/// A whole sheet: the settings, and what the sheet says round them.
#[derive(Debug, Clone, Serialize)]
pub struct SheetJson<'a> {
    #[serde(flatten)]
    settings: Settings<'a>,
    decision: &'static str,
    identity: Identity<'a>,
    cautions: Vec<CautionJson<'a>>,
    sections: Vec<SectionJson<'a>>,
    holds: Vec<HoldJson<'a>>,
    drawings: Vec<DrawingJson<'a>>,
    spec: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    kit: Option<&'a str>,
    made: Made<'a>,
    seal: &'a str,
}

/// What rides inside the HTML file: enough to know the sheet by and to check its seal. Workings stand in the page itself,
/// and everything comes again from the spec and the kit that ride beside it.
#[derive(Debug, Clone, Serialize)]
pub struct Carried<'a> {
    format: u8,
    inputs: Inputs<'a>,
    #[serde(serialize_with = "by_name")]
    figures: Vec<(FigureName, Brief<'a>)>,
    /// The figures in the form in which they are sealed; left out for a repair that is refused.
    #[serde(skip_serializing_if = "Option::is_none")]
    sealed: Option<serde_json::Value>,
    decision: &'static str,
    identity: Identity<'a>,
    made: Made<'a>,
    seal: &'a str,
}

/// A source with one place in it.
#[derive(Debug, Clone, Serialize)]
struct SourceJson<'a> {
    id: &'a str,
    title: &'a str,
    publisher: &'a str,
    edition: &'a str,
    /// The place in it; left out for a source that the sheet cites beside its figures.
    #[serde(skip_serializing_if = "Option::is_none")]
    locator: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    basis: Option<&'static str>,
    /// The source as the sheet prints it, for one that it cites beside its figures.
    #[serde(skip_serializing_if = "Option::is_none")]
    note: Option<&'a str>,
}

#[derive(Debug, Clone, Serialize)]
struct CautionJson<'a> {
    id: &'a str,
    section: &'a str,
    /// The step that it stands before; null in the standing block.
    before: Option<&'a str>,
    signal: &'a str,
    title: &'a str,
    hurts: &'a str,
    action: &'a str,
    sources: &'a [String],
}

#[derive(Debug, Clone, Serialize)]
struct SectionJson<'a> {
    id: &'a str,
    title: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    not_required: &'a str,
    steps: Vec<StepJson<'a>>,
    /// Everything else of the section, in its order; steps, cautions and holds by their ids.
    blocks: Vec<BlockJson<'a>>,
}

#[derive(Debug, Clone, Serialize)]
struct StepJson<'a> {
    id: &'a str,
    #[serde(flatten)]
    action: CellJson<'a>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    own: bool,
}

#[derive(Debug, Clone, Serialize)]
struct HoldJson<'a> {
    id: &'a str,
    section: &'a str,
    criterion: CellJson<'a>,
    boxes: &'a [String],
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    rows: &'a [String],
}

/// A drawing in words; its lines are in the HTML and in a file beside the Markdown.
#[derive(Debug, Clone, Serialize)]
struct DrawingJson<'a> {
    id: &'a str,
    title: &'a str,
    description: &'a str,
}

/// A text with its marks; what it has none of is left out.
#[derive(Debug, Clone, Copy, Serialize)]
struct CellJson<'a> {
    text: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    basis: &'a str,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    sources: &'a [String],
}

#[derive(Debug, Clone, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
enum BlockJson<'a> {
    Text {
        #[serde(skip_serializing_if = "str::is_empty")]
        lead: &'a str,
        #[serde(flatten)]
        text: CellJson<'a>,
    },
    Prose {
        markdown: &'a str,
    },
    Table {
        key: &'a str,
        caption: &'a str,
        head: &'a [String],
        rows: Vec<Vec<CellJson<'a>>>,
        fill: &'a [usize],
    },
    Caution {
        id: &'a str,
    },
    Step {
        id: &'a str,
    },
    Hold {
        id: &'a str,
    },
    Drawing {
        id: &'a str,
    },
    /// The working of a figure: `figures` holds it in full.
    Working {
        figure: &'a str,
    },
    /// The ranking of a figure: `figures` holds it in full.
    Ranking {
        figure: &'a str,
    },
    List {
        items: Vec<CellJson<'a>>,
    },
    Alert {
        title: &'a str,
        items: Vec<CellJson<'a>>,
    },
}

impl<'a> From<&'a Cell> for CellJson<'a> {
    fn from(cell: &'a Cell) -> Self {
        CellJson { text: &cell.text, basis: &cell.basis, sources: &cell.cites }
    }
}

/// The JSON of the settings of a job.
#[must_use]
pub fn settings<'a>(answer: &Answer<'a>) -> Settings<'a> {
    let figures = answer.worked.figures.values();
    let mut cites: Vec<Cite> = figures.clone().flat_map(|figure| figure.cites()).collect();
    cites.sort();
    cites.dedup();
    Settings {
        format: FORMAT,
        inputs: Inputs::of(answer.job),
        figures: figures.map(|figure| (figure.name, FigureJson::of(figure, answer))).collect(),
        findings: answer.findings.iter().map(|one| finding(one, answer.sources)).collect(),
        sources: cites.into_iter().map(SourceJson::from).collect(),
    }
}

/// The JSON of a whole sheet. `spec` and `kit` are the texts that it was made from, `seal` is the digest in full.
#[must_use]
pub fn sheet<'a>(
    answer: &Answer<'a>,
    sheet: &'a Sheet,
    spec: &'a str,
    kit: Option<&'a str>,
    seal: &'a str,
) -> SheetJson<'a> {
    SheetJson {
        settings: settings_of(answer, sheet),
        decision: sheet.decision.word(),
        identity: identity(answer, sheet),
        cautions: in_sections(sheet, caution),
        sections: sheet.sections.iter().map(section).collect(),
        holds: in_sections(sheet, hold),
        drawings: in_sections(sheet, drawing),
        spec,
        kit,
        made: Made::of(answer, sheet),
        seal,
    }
}

/// The JSON that rides inside the HTML of a sheet.
#[must_use]
pub fn carried<'a>(answer: &Answer<'a>, sheet: &'a Sheet, seal: &'a str) -> Carried<'a> {
    let refused = sheet.decision == Decision::No;
    let figures = answer.worked.figures.values().filter(|_| !refused);
    Carried {
        format: FORMAT,
        inputs: Inputs::of(answer.job),
        figures: figures.map(|figure| (figure.name, Brief::of(figure))).collect(),
        sealed: (!refused).then(|| figures_value(&answer.worked.figures)),
        decision: sheet.decision.word(),
        identity: identity(answer, sheet),
        made: Made::of(answer, sheet),
        seal,
    }
}

fn by_name<S: Serializer, F: Serialize>(figures: &[(FigureName, F)], serializer: S) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(figures.len()))?;
    for (name, figure) in figures {
        map.serialize_entry(name.key(), figure)?;
    }
    map.end()
}

impl<'a> SourceJson<'a> {
    fn of(key: &'a str) -> Self {
        let source = source_by_key(key);
        SourceJson {
            id: key,
            title: source.map_or("", |source| source.title.as_str()),
            publisher: source.map_or("", |source| source.publisher.as_str()),
            edition: source.map_or("", |source| source.edition.as_str()),
            locator: None,
            basis: None,
            note: None,
        }
    }
}

impl From<Cite> for SourceJson<'_> {
    fn from(cite: Cite) -> Self {
        SourceJson { locator: Some(cite.locator), basis: Some(cite.basis.words()), ..SourceJson::of(cite.source) }
    }
}

/// The settings of a sheet, with the sources that the sheet cites beside its figures. A refused repair has no figures, on
/// purpose.
fn settings_of<'a>(answer: &Answer<'a>, sheet: &'a Sheet) -> Settings<'a> {
    let mut settings = settings(answer);
    if sheet.decision == Decision::No {
        settings.figures.clear();
        settings.sources.clear();
    }
    let known: BTreeSet<&str> = settings.sources.iter().map(|source| source.id).collect();
    let others = sheet.sources.iter().filter(|note| !known.contains(note.key.as_str()));
    let others: Vec<SourceJson<'_>> =
        others.map(|note| SourceJson { note: Some(&note.text), ..SourceJson::of(&note.key) }).collect();
    settings.sources.extend(others);
    settings.sources.sort_by_key(|source| source.id);
    settings
}

/// What `pick` finds in all sections, in order.
fn in_sections<'a, T>(sheet: &'a Sheet, pick: fn(&'a str, &'a Block) -> Option<T>) -> Vec<T> {
    let all = sheet.sections.iter();
    all.flat_map(|section| section.blocks.iter().filter_map(move |block| pick(&section.id, block))).collect()
}

fn caution<'a>(section: &'a str, block: &'a Block) -> Option<CautionJson<'a>> {
    let Block::Caution(Caution { id, signal, title, hurts, action, before, cites }) = block else { return None };
    let before = (!before.is_empty()).then_some(before.as_str());
    Some(CautionJson { id, section, before, signal, title, hurts, action, sources: cites })
}

fn hold<'a>(section: &'a str, block: &'a Block) -> Option<HoldJson<'a>> {
    let Block::Hold(Hold { id, criterion, boxes, rows }) = block else { return None };
    Some(HoldJson { id, section, criterion: criterion.into(), boxes, rows })
}

fn drawing<'a>(_: &'a str, block: &'a Block) -> Option<DrawingJson<'a>> {
    let Block::Drawing(Drawing { id, title, description, .. }) = block else { return None };
    Some(DrawingJson { id, title, description })
}

fn section(section: &crate::sheet::Section) -> SectionJson<'_> {
    let steps = section.blocks.iter().filter_map(|block| match block {
        Block::Step(Step { id, action, own }) => Some(StepJson { id, action: action.into(), own: *own }),
        _ => None,
    });
    SectionJson {
        id: &section.id,
        title: &section.title,
        not_required: &section.not_required,
        steps: steps.collect(),
        blocks: section.blocks.iter().map(block).collect(),
    }
}

fn block(block: &Block) -> BlockJson<'_> {
    match block {
        Block::Text { text, lead } => BlockJson::Text { lead, text: text.into() },
        Block::Prose { markdown } => BlockJson::Prose { markdown },
        Block::Table(table) => table_of_a_figure(&table.key).unwrap_or_else(|| BlockJson::Table {
            key: &table.key,
            caption: &table.caption,
            head: &table.head,
            rows: table.rows.iter().map(|row| row.iter().map(CellJson::from).collect()).collect(),
            fill: &table.fill,
        }),
        Block::Caution(caution) => BlockJson::Caution { id: &caution.id },
        Block::Step(step) => BlockJson::Step { id: &step.id },
        Block::Hold(hold) => BlockJson::Hold { id: &hold.id },
        Block::Drawing(drawing) => BlockJson::Drawing { id: &drawing.id },
        Block::List { items } => BlockJson::List { items: items.iter().map(CellJson::from).collect() },
        Block::Alert { title, items } => BlockJson::Alert { title, items: items.iter().map(CellJson::from).collect() },
    }
}

/// The tables of section A that only spell out what `figures` holds.
fn table_of_a_figure(key: &str) -> Option<BlockJson<'_>> {
    let known = |figure: &&str| FigureName::from_key(figure).is_some();
    let working = key.strip_prefix("working-").filter(known).map(|figure| BlockJson::Working { figure });
    working.or_else(|| key.strip_prefix("ranking-").filter(known).map(|figure| BlockJson::Ranking { figure }))
}
