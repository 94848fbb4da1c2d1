//! What was really run, set against the sheet: item by item inside, outside by how much, missing or rejected; and many
//! runs of one procedure together.
//!
//! [`compare`] takes one run, [`summarize`] many. Every text is finished; a face adds marks and layout and nothing else.

mod bands;
mod checks;
mod essential;
mod passes;
mod propose;
pub mod statistics;
pub mod summary;

pub use propose::{Move, Proposal};
pub use summary::{PassSummary, Reading, RunLine, Summary, summarize};

use crate::engine::{Job, Worked};
use crate::findings::{Code, Finding, Span};
use crate::rules::Decision;
use crate::run::RunRecord;
use crate::sheet::Sheet;
use crate::sheet::words::english;
use crate::units::System;
use serde::Serialize;

/// The sheet that a run is set against.
#[derive(Debug, Clone, Copy)]
pub struct Against<'a> {
    /// The job of it.
    pub job: &'a Job<'a>,
    /// Its figures.
    pub worked: &'a Worked,
    /// The sheet.
    pub sheet: &'a Sheet,
    /// The seal that it shows, twelve hex digits or more.
    pub seal: &'a str,
}

/// What became of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// As the sheet asks.
    Inside,
    /// Otherwise than the sheet asks.
    Outside,
    /// Not filled in.
    Missing,
    /// An inspection that was not done, or a hold that nobody released.
    NotDone,
    /// Looked at, and rejected.
    Rejected,
}

/// What an item belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// The run as a whole.
    Run,
    /// A pass.
    Pass,
    /// An inspection.
    Inspection,
    /// A hold.
    Hold,
    /// What the welder says was done otherwise.
    Deviation,
}

/// One value of a run against the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Item {
    /// What it belongs to.
    pub group: Group,
    /// Its name, as the page names its box: `pass/2/amperage`, `hold-opening`, `test/1/result`.
    pub key: String,
    /// What it is, for people: `pass 2, amperage`.
    pub subject: String,
    /// What the record says; empty where it says nothing.
    pub was: String,
    /// What the sheet asks; empty where it asks nothing.
    pub wanted: String,
    /// What became of it.
    pub verdict: Verdict,
    /// By how much, or why; empty where there is nothing to say.
    pub by: String,
    /// What it means for the qualification, where it is an essential variable of the standard that the spec names.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub essential: String,
    /// Where the record says it.
    #[serde(skip)]
    pub at: Option<Span>,
}

/// Numbers of a pass, for tables and charts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PassRun {
    /// Its number.
    pub number: i64,
    /// Current, lower and upper end, A.
    pub amperage: Option<[f64; 2]>,
    /// Part before the pass, °C.
    pub start_temperature: Option<f64>,
    /// The sheet's range at that temperature, A; that of all temperatures where none was read.
    pub range: Option<[f64; 2]>,
    /// The whole span of the range, from the limit temperature's lower to the cold part's upper end, A.
    pub span: Option<[f64; 2]>,
    /// Whether the note says that the pass was dug out.
    pub dug_out: bool,
    /// The note.
    pub note: String,
}

/// A run set against the sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// Number of the procedure.
    pub number: String,
    /// Its revision.
    pub revision: String,
    /// Title of the sheet.
    pub title: String,
    /// Date of the work; empty where the record has none.
    pub date: String,
    /// Who welded; empty where the record does not say.
    pub welder: String,
    /// Attempt at this place, as the record states it.
    pub attempt: Option<i64>,
    /// Seal of the sheet, in groups.
    pub seal: String,
    /// All items, in the order of the work.
    pub items: Vec<Item>,
    /// The passes in numbers.
    pub passes: Vec<PassRun>,
    /// What is to be said beside the items.
    #[serde(skip)]
    pub findings: Vec<Finding>,
}

impl Comparison {
    /// How many items have this verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.items.iter().filter(|item| item.verdict == verdict).count()
    }

    /// Whether everything is inside and complete.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.items.iter().all(|item| item.verdict == Verdict::Inside)
    }

    /// Whether the finished weld was accepted: looked at, and rejected nowhere.
    #[must_use]
    pub fn accepted(&self) -> bool {
        let finals = self.items.iter().filter(|item| item.group == Group::Inspection);
        let mut finals = finals.filter(|item| crate::run::attempts::is_final(&item.subject)).peekable();
        finals.peek().is_some() && finals.all(|item| item.verdict == Verdict::Inside)
    }
}

/// Why a run cannot be set against a sheet: it is of another procedure, or of another revision.
#[must_use]
pub fn foreign(sheet: &Sheet, run: &RunRecord) -> Option<Finding> {
    let (procedure, revision) = (&run.run.procedure, &run.run.revision);
    let other = |what: &str, own: &str, sheets: &str, at: Span| {
        Finding::new(Code::RunOther, format!("the record is of {what} {own}, the sheet of {sheets}"))
            .at(at)
            .label(format!("the sheet says {sheets}"))
            .help("set it against the sheet that lay at the bench")
    };
    if procedure.0 != sheet.number {
        return Some(other("procedure", &procedure.0, &sheet.number, procedure.span));
    }
    (revision.0 != sheet.revision).then(|| other("revision", &revision.0, &sheet.revision, revision.span))
}

/// Sets a run against the sheet. The run is of this procedure and revision; [`foreign`] tells.
#[must_use]
pub fn compare(against: &Against<'_>, run: &RunRecord) -> Comparison {
    let sheet = against.sheet;
    let mut all = Items::new(against);
    let mut findings = Vec::new();
    checks::head(&mut all, run, &mut findings);
    let refused = sheet.decision == Decision::No;
    let passes = if refused {
        checks::refused(&mut all);
        Vec::new()
    } else {
        passes::check(&mut all, run)
    };
    if !refused {
        checks::inspections(&mut all, run);
        checks::holds(&mut all, run);
    }
    checks::deviations(&mut all, run);
    let text = |at: &Option<crate::findings::At<String>>| at.as_ref().map(|at| at.value.clone()).unwrap_or_default();
    Comparison {
        number: sheet.number.clone(),
        revision: sheet.revision.clone(),
        title: sheet.title.clone(),
        date: run.run.date.as_ref().map(|at| at.value.0.to_string()).unwrap_or_default(),
        welder: text(&run.run.welder),
        attempt: run.run.attempt.as_ref().map(|at| at.value),
        seal: sheet.seal.clone(),
        items: all.items,
        passes,
        findings,
    }
}

/// A sentence of this module's words, its blanks `{0}`, `{1}` filled.
#[must_use]
pub fn say(key: &str, args: &[&str]) -> String {
    let fill = |blank: &str| args.get(blank.parse::<usize>().ok()?).map(|arg| (*arg).to_owned());
    english().text("record", key, &fill)
}

/// The items of a comparison while it is made.
struct Items<'a> {
    against: &'a Against<'a>,
    items: Vec<Item>,
}

impl<'a> Items<'a> {
    fn new(against: &'a Against<'a>) -> Self {
        Items { against, items: Vec::new() }
    }

    fn system(&self) -> System {
        self.against.job.system
    }

    /// Adds an item, and gives it for more to be said of it.
    fn add(&mut self, group: Group, key: impl Into<String>, subject: impl Into<String>, verdict: Verdict) -> &mut Item {
        let (key, subject) = (key.into(), subject.into());
        let (was, wanted, by, essential) = Default::default();
        self.items.push(Item { group, key, subject, was, wanted, verdict, by, essential, at: None });
        let last = self.items.len() - 1;
        // The item that was pushed a line above.
        #[allow(clippy::indexing_slicing, reason = "the list is not empty")]
        &mut self.items[last]
    }

    /// The standard that the spec names for its qualification.
    fn standard(&self) -> Option<&'a str> {
        self.against.job.spec.qualification.standard.as_ref().map(|at| at.value.as_str())
    }

    /// What an essential variable means, in words; empty where the figure is none, or no standard is named.
    fn essential(&self, figure: crate::engine::FigureName) -> String {
        self.standard().map_or_else(String::new, |standard| essential::of_figure(figure, standard))
    }
}
