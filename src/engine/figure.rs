//! A figure: one worked-out quantity with its working, its basis and its sources.
//!
//! Numbers stand in the unit of the figure's name (A, mm, L/min, °C ...), already rounded. A working is a list of
//! lines; each line has a key into the words, a symbol, a number with its unit, and where it came from. Lines that
//! are worked out carry their formula in the symbols of the lines before, so that a test (or a reader with a pocket
//! calculator) can work them out again.

use super::names::FigureName;
use crate::findings::{Finding, Span};
use crate::reference::{Basis, Cite, Flaw};
use std::collections::BTreeMap;

/// What a figure is worth.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A word or name: `AC`, `WLa 20`, `ER4043`, `none`.
    Word(String),
    /// Yes or no.
    Flag(bool),
    /// One number.
    Number(f64),
    /// A range, with the value to dial inside it.
    Range {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// The aim: what to set.
        set: f64,
    },
}

/// Where a number or word of a working came from.
#[derive(Debug, Clone, PartialEq)]
pub enum Origin {
    /// Stated by the author, at this place where there is a file.
    Stated(Option<Span>),
    /// From the shop's kit.
    Kit(Option<Span>),
    /// Assumed, because the author said nothing.
    Assumed,
    /// A row of a reference table.
    Row(Cite),
    /// Another figure.
    Figure(FigureName),
    /// Worked out from the lines before.
    Computed,
}

/// What a line of a working is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineKind {
    /// Something that goes in.
    Input,
    /// Something that is worked out.
    Step,
    /// A factor or limit that is put on, with its reason.
    Adjustment,
    /// The other method, or a witness.
    Check,
    /// What was left out on purpose.
    NotUsed,
    /// Doubt.
    Doubt,
    /// The rounding.
    Rounding,
    /// A remark.
    Remark,
}

/// One line of a working.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub kind: LineKind,
    /// Key of its words in `templates/words/en/workings.toml`.
    pub words: &'static str,
    /// What fills the blanks `{0}`, `{1}` of the words.
    pub args: Vec<String>,
    /// Symbol by which later formulas call it; empty where none does.
    pub symbol: &'static str,
    /// Formula in the symbols of the lines before; empty for what goes in.
    pub formula: &'static str,
    /// The number, in `unit`.
    pub number: Option<f64>,
    /// The upper number where the line holds a range.
    pub upper: Option<f64>,
    /// The unit of the number; empty for none.
    pub unit: &'static str,
    /// Where it came from.
    pub origin: Origin,
}

impl Line {
    /// A line of words alone.
    #[must_use]
    pub fn of(kind: LineKind, words: &'static str, origin: Origin) -> Line {
        Line { kind, words, args: Vec::new(), symbol: "", formula: "", number: None, upper: None, unit: "", origin }
    }
}

/// A reason for or against a filler metal: key of its words, what fills the blanks, and the source.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Key of its words in `templates/words/en/reasons.toml`.
    pub words: &'static str,
    /// What fills the blanks.
    pub args: Vec<String>,
    /// Where it was found.
    pub cite: Option<Cite>,
}

/// One candidate of a ranking.
#[derive(Debug, Clone, PartialEq)]
pub struct Ranked {
    /// Name.
    pub name: String,
    /// Fit: higher is better; only the order means something.
    pub fit: f64,
    /// Whether it is out.
    pub excluded: bool,
    /// Why it stands where it stands.
    pub reasons: Vec<Reason>,
}

/// Kinds of pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PassKind {
    /// The first pass at the bottom of an opening, or the only one of a full-penetration weld.
    Root,
    /// A pass between root and cap.
    Fill,
    /// The last pass of a side.
    Cap,
    /// A pass of a pad.
    Pad,
}

impl PassKind {
    /// The word for it in tables and JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            PassKind::Root => "root",
            PassKind::Fill => "fill",
            PassKind::Cap => "cap",
            PassKind::Pad => "pad",
        }
    }
}

/// One pass: where it lies and what it is run at.
#[derive(Debug, Clone, PartialEq)]
pub struct PassRow {
    /// Number, from 1.
    pub number: u32,
    /// Side of the wall, 1 or 2.
    pub side: u8,
    /// Kind.
    pub kind: PassKind,
    /// Pool width, mm.
    pub pool: f64,
    /// Weld metal laid, mm2 of section.
    pub deposit: f64,
    /// Length of the pass, mm; none where the damage is not measured.
    pub length: Option<f64>,
    /// Where the pass ends, mm below the face; negative stands proud.
    pub fill_to: Option<f64>,
    /// Current with the part at its start temperature: low, set, high, A.
    pub start: [f64; 3],
    /// Current half way to the interpass limit: low, set, high, A.
    pub running: [f64; 3],
    /// Current near the interpass limit: low, set, high, A.
    pub warm: [f64; 3],
}

/// How large one flaw may be by one standard.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The flaw, or the mark of the dye.
    pub flaw: Flaw,
    /// Name of the standard, `shop` for what holds whatever is named.
    pub standard: &'static str,
    /// Its level; empty where it has none.
    pub level: &'static str,
    /// The most that is allowed, mm, rounded down; nought where none is.
    pub most: f64,
    /// Allowed in short lengths alone.
    pub short: bool,
    /// Marks in a row that are too many where their gaps are `most` or less.
    pub count: Option<u32>,
    /// How well a limit from memory is remembered: `high`, `medium`, `low`.
    pub sure: Option<&'static str>,
    /// Whether it is the strictest of its flaw.
    pub leads: bool,
    /// Where it was found.
    pub cite: Cite,
}

/// How a figure came about.
pub type Working = Vec<Line>;

/// One worked-out quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its name.
    pub name: FigureName,
    /// What it is worth.
    pub value: Value,
    /// Basis of the method, row or formula that leads it; none when the author's own value stands.
    pub basis: Option<Basis>,
    /// Weakest basis among the inputs that move it by more than its rounding.
    pub weakest: Option<Basis>,
    /// How it came about.
    pub working: Working,
    /// Other figures that it used.
    pub uses: Vec<FigureName>,
    /// Legal or physical lower limit.
    pub minimum: Option<f64>,
    /// Limit that may not be passed.
    pub maximum: Option<f64>,
    /// What else would do.
    pub alternatives: Vec<String>,
    /// Candidates, best first, then those that are out.
    pub ranking: Vec<Ranked>,
    /// Passes, for the figure `passes`.
    pub passes: Vec<PassRow>,
    /// Named values that belong to it: depth and width of a groove, dwell of each penetrant test; key of the words,
    /// number, unit.
    pub parts: Vec<(&'static str, f64, &'static str)>,
    /// Limits of every standard that is named, for the figure `acceptance`, in the order of the sheet.
    pub limits: Vec<Limit>,
    /// What the test behind a qualification covers, variable by variable, for the figure `qualification`.
    pub rulings: Vec<super::qualification::Ruling>,
    /// Why the author's own value stands, in his words.
    pub because: Option<String>,
    /// The worked-out value that the author's own one took the place of.
    pub worked_out: Option<Value>,
}

impl Figure {
    /// The sources of its working, each once, in order.
    #[must_use]
    pub fn cites(&self) -> Vec<Cite> {
        let rows = self.working.iter().filter_map(|line| match &line.origin {
            Origin::Row(cite) => Some(cite.clone()),
            _ => None,
        });
        let reasons = self.ranking.iter().flat_map(|ranked| &ranked.reasons).filter_map(|reason| reason.cite.clone());
        let mut cites: Vec<Cite> = Vec::new();
        for cite in rows.chain(reasons) {
            if !cites.contains(&cite) {
                cites.push(cite);
            }
        }
        cites
    }

    /// The number to set or to go by: the number, or the aim of the range.
    #[must_use]
    pub fn aim(&self) -> Option<f64> {
        match self.value {
            Value::Number(number) => Some(number),
            Value::Range { set, .. } => Some(set),
            Value::Word(_) | Value::Flag(_) => None,
        }
    }

    /// Lower and upper end.
    #[must_use]
    pub fn ends(&self) -> Option<(f64, f64)> {
        match self.value {
            Value::Number(number) => Some((number, number)),
            Value::Range { low, high, .. } => Some((low, high)),
            Value::Word(_) | Value::Flag(_) => None,
        }
    }

    /// The word.
    #[must_use]
    pub fn word(&self) -> Option<&str> {
        match &self.value {
            Value::Word(word) => Some(word),
            _ => None,
        }
    }
}

/// All figures of a job, by name.
pub type Figures = BTreeMap<FigureName, Figure>;

/// What the engine gives back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Worked {
    /// Figures that could be worked out. One that could not be is absent and explained by a finding.
    pub figures: Figures,
    /// What has to be said.
    pub findings: Vec<Finding>,
}
