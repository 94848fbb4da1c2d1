//! The sheet: one model that every face (Markdown, HTML, JSON) renders, so that all carry the same values.
//!
//! Every text in the model is finished: numbers are strings with their unit in both systems, words are in the
//! language of the sheet. A face adds marks and layout and nothing else.

mod after;
mod assess;
mod attempt;
pub mod card;
mod cause;
mod cautions;
mod cited;
mod context;
mod decide;
pub mod drawing;
pub mod entered;
mod facts;
mod finish;
mod gas;
mod identity;
mod inspect;
mod opening;
mod other;
mod own_steps;
mod penetrant;
mod prepare;
mod proof;
mod qualification;
pub mod ranges;
mod re_inspect;
mod record;
mod revisions;
pub mod run_form;
mod set_up;
mod settings;
mod shop;
pub mod show;
mod slow;
mod sources;
mod weld;
mod weld_box;
mod weld_tables;
pub mod words;
mod workings;
mod writer;

use context::Context;
pub use drawing::Drawing;

use crate::engine::{Job, Worked};
use crate::ledger::Papers;
use crate::rules::{Decision, Judgement};
use serde::Serialize;

/// A text with the sources and the basis that belong to it.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Cell {
    /// The text, plain: no mark-up of any kind.
    pub text: String,
    /// Mark of the basis: `P`, `C`, `CP`, `M`, `S`, or `P, M` where the weakest input differs; empty for none.
    pub basis: String,
    /// Keys of sources.
    pub cites: Vec<String>,
}

/// A caution, right before the step that it concerns.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Caution {
    /// Id of the row of hazards.
    pub id: String,
    /// `DANGER`, `WARNING`, `CAUTION` or `NOTICE`.
    pub signal: String,
    /// What: `acetone takes fire`.
    pub title: String,
    /// What hurts, and how.
    pub hurts: String,
    /// What to do.
    pub action: String,
    /// Id of the step that it stands before; empty in the standing block.
    pub before: String,
    /// Keys of sources.
    pub cites: Vec<String>,
}

/// One action of the work.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Step {
    /// Section digit and key: `3.degrease`.
    pub id: String,
    /// What to do.
    pub action: Cell,
    /// The shop's own step.
    pub own: bool,
}

/// A point where work stops until somebody releases it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Hold {
    /// `hold-opening`.
    pub id: String,
    /// What must be true, as a limit that a second person can accept or reject.
    pub criterion: Cell,
    /// Headings of the boxes to fill in.
    pub boxes: Vec<String>,
    /// Names of further rows of boxes, where there is more than one.
    pub rows: Vec<String>,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Table {
    /// Key of the table, for tests and styles: `settings`, `passes`, `groove`.
    pub key: String,
    /// Caption.
    pub caption: String,
    /// Headings of the columns.
    pub head: Vec<String>,
    /// Rows; an empty text is a box to fill in where the column is one of `fill`.
    pub rows: Vec<Vec<Cell>>,
    /// Numbers (from 0) of the columns that are filled in at the bench.
    pub fill: Vec<usize>,
}

/// A piece of a section, in order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "kind", rename_all = "lowercase")]
pub enum Block {
    /// A sentence or two of the program.
    Text {
        /// The words.
        text: Cell,
        /// Words set before it in bold; empty for none.
        lead: String,
    },
    /// The author's prose, CommonMark without HTML.
    Prose {
        /// As written.
        markdown: String,
    },
    /// A table.
    Table(Table),
    /// A caution.
    Caution(Caution),
    /// A step with a tick.
    Step(Step),
    /// A hold.
    Hold(Hold),
    /// A drawing, made from the figures.
    Drawing(Drawing),
    /// A line list: rods, remarks.
    List {
        /// The lines.
        items: Vec<Cell>,
    },
    /// A box of its own that must not be missed: stop and scrap.
    Alert {
        /// Heading.
        title: String,
        /// The lines.
        items: Vec<Cell>,
    },
}

/// A section.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Section {
    /// `0` to `9`, `A`, `B`, `C`; the standing block is `standing`.
    pub id: String,
    /// Title.
    pub title: String,
    /// Why the section is not required; its blocks are empty then.
    pub not_required: String,
    /// What stands in it.
    pub blocks: Vec<Block>,
}

/// A source as it stands on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SourceNote {
    /// Stable key.
    pub key: String,
    /// What it is, places in it, how it was read: one line.
    pub text: String,
}

/// The whole sheet.
#[derive(Debug, Clone, Serialize)]
pub struct Sheet {
    /// Language of the words: `en`.
    pub lang: String,
    /// Number of the procedure.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// Title as the author gave it.
    pub title: String,
    /// Heading line: status and qualification in capitals.
    pub banner: String,
    /// `draft`, `trial`, `issued`, `superseded`, `withdrawn`; issued and superseded come from the ledger alone.
    pub status: &'static str,
    /// Whether nobody may work from it: it is superseded or withdrawn, or not what was issued.
    pub void: bool,
    /// What the ledger says of it.
    pub papers: Papers,
    /// What the decision means, one sentence.
    pub decision_text: String,
    /// The decision word.
    #[serde(serialize_with = "decision_word")]
    pub decision: Decision,
    /// First 12 hex digits of the seal in groups of four.
    pub seal: String,
    /// Sections in their order.
    pub sections: Vec<Section>,
    /// Sources that the sheet cites, by key.
    pub sources: Vec<SourceNote>,
    /// What a run is set against.
    pub run_form: run_form::RunForm,
}

impl Sheet {
    /// Its drawings, in the order of the sheet.
    pub fn drawings(&self) -> impl Iterator<Item = &Drawing> {
        let blocks = self.sections.iter().flat_map(|section| &section.blocks);
        blocks.filter_map(|block| if let Block::Drawing(drawing) = block { Some(drawing) } else { None })
    }
}

fn decision_word<S: serde::Serializer>(decision: &Decision, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(decision.word())
}

/// Builds the sheet of a job that no ledger speaks of: the whole sheet, or the short one that refuses the repair.
///
/// `seal` is the digest that ties the sheet to its spec, kit and figures, in hex; twelve digits of it are shown.
#[must_use]
pub fn build(job: &Job<'_>, worked: &Worked, judgement: &Judgement, seal: &str) -> Sheet {
    build_as(job, worked, judgement, seal, &Papers::default())
}

/// Builds the sheet of a job, with what the ledger says of it.
#[must_use]
pub fn build_as(job: &Job<'_>, worked: &Worked, judgement: &Judgement, seal: &str, papers: &Papers) -> Sheet {
    let words = words::english();
    let context = Context::new(job, worked, judgement, seal, words).entered(papers);
    let sections = if decide::refused(&context) { refusal(&context) } else { whole(&context) };
    let procedure = &job.spec.procedure.value;
    Sheet {
        lang: "en".to_owned(),
        number: procedure.number.value.0.clone(),
        revision: procedure.revision.value.0.clone(),
        title: procedure.title.value.clone(),
        banner: identity::banner(&context),
        status: identity::status(&context),
        void: identity::is_void(&context),
        papers: papers.clone(),
        decision_text: identity::decision(&context),
        decision: judgement.decision,
        seal: identity::grouped(seal),
        sources: sources::notes(&context, &sections),
        run_form: run_form::form(&context),
        sections,
    }
}

/// All sections in their order, each caution before its step.
fn whole(context: &Context<'_>) -> Vec<Section> {
    let mut sections = vec![
        identity::section(context),
        identity::standing(context),
        assess::section(context),
        decide::section(context),
        prepare::section(context),
        inspect::section(context),
        set_up::section(context),
        weld::section(context),
        re_inspect::section(context),
        finish::section(context),
        record::section(context),
    ];
    own_steps::insert(context, &mut sections);
    record::add_tests(context, &mut sections);
    let placed = cautions::place(context, &sections);
    cautions::insert(context, &placed, &mut sections);
    drawing::place(context, &mut sections);
    sections.push(workings::section(context, &placed));
    sections.push(sources::section(context));
    sections.push(revisions::section(context));
    sections
}

/// The sections of a refusal: identity, cautions, why and what to do instead, sources. No setting stands in it.
fn refusal(context: &Context<'_>) -> Vec<Section> {
    let mut sections = vec![identity::section(context), identity::standing(context), decide::refusal(context)];
    let placed = cautions::of_refusal(context);
    cautions::insert(context, &placed, &mut sections);
    sections.push(sources::section(context));
    sections
}
