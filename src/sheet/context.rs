//! What every section of a sheet is written from: the job with its figures and judgement, the words, and the notes of
//! the sources that were cited on the way.

use super::words::{Words, filled, marks_of};
use super::{Cell, show};
use crate::engine::{Figure, FigureName, Job, Worked, penetrant};
use crate::ledger::{Papers, Standing};
use crate::reference::{Basis, Cite};
use crate::rules::Judgement;
use crate::units::System;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// What is known where no ledger speaks of a sheet.
static NO_PAPERS: Papers = Papers { standing: Standing::NotEntered, entries: Vec::new() };

/// A text that is still to be looked up and filled, with the sources that belong to it.
#[derive(Debug, Clone)]
pub(super) struct Say {
    file: &'static str,
    key: String,
    blanks: Vec<(&'static str, String)>,
    cites: Vec<Cite>,
    basis: String,
}

impl Say {
    /// The text with this key in this file of words.
    pub(super) fn of(file: &'static str, key: impl Into<String>) -> Self {
        Say { file, key: key.into(), blanks: Vec::new(), cites: Vec::new(), basis: String::new() }
    }

    /// With a blank filled in.
    pub(super) fn with(mut self, blank: &'static str, value: impl Into<String>) -> Self {
        self.blanks.push((blank, value.into()));
        self
    }

    /// With the source of what it says; the mark is that of the first one.
    pub(super) fn cite(mut self, cite: impl IntoIterator<Item = Cite>) -> Self {
        for cite in cite {
            if self.basis.is_empty() {
                show::mark(cite.basis).clone_into(&mut self.basis);
            }
            self.cites.push(cite);
        }
        self
    }

    /// With the mark and the sources of a figure.
    pub(super) fn figure(mut self, figure: Option<&Figure>) -> Self {
        if let Some(figure) = figure {
            self.basis = show::figure_mark(figure);
            self.cites.extend(lead_cites(figure));
        }
        self
    }
}

/// The sources of a figure that belong beside it in a table: those of its own basis, two at most.
pub(super) fn lead_cites(figure: &Figure) -> Vec<Cite> {
    let Some(basis) = figure.basis else { return Vec::new() };
    let mut keys: BTreeSet<&'static str> = BTreeSet::new();
    figure.cites().into_iter().filter(|cite| cite.basis == basis && keys.insert(cite.source)).take(2).collect()
}

/// What every section is written from.
pub(super) struct Context<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) worked: &'a Worked,
    pub(super) judgement: &'a Judgement,
    pub(super) seal: &'a str,
    pub(super) words: &'static Words,
    /// Marks of the metal, the nearest first: which wording of a text is taken.
    pub(super) marks: Vec<&'static str>,
    /// What the ledger says of it.
    pub(super) papers: &'a Papers,
    notes: RefCell<BTreeMap<&'static str, BTreeSet<(Basis, &'static str)>>>,
}

impl<'a> Context<'a> {
    pub(super) fn new(
        job: &'a Job<'a>,
        worked: &'a Worked,
        judgement: &'a Judgement,
        seal: &'a str,
        words: &'static Words,
    ) -> Self {
        let marks = marks_of(job);
        Context { job, worked, judgement, seal, words, marks, papers: &NO_PAPERS, notes: RefCell::default() }
    }

    /// With what the ledger says of it.
    pub(super) fn entered(mut self, papers: &'a Papers) -> Self {
        self.papers = papers;
        self
    }

    /// The system of units that comes first.
    pub(super) fn system(&self) -> System {
        self.job.system
    }

    /// The figure, where it was worked out.
    pub(super) fn figure(&self, name: FigureName) -> Option<&'a Figure> {
        self.worked.figures.get(&name)
    }

    /// What to set, or a blank where it could not be worked out.
    pub(super) fn set(&self, name: FigureName) -> String {
        self.figure(name).map_or_else(|| self.blank(), |figure| show::figure_text(figure, self.system()).0)
    }

    /// The range of a figure; empty where it has none.
    pub(super) fn range(&self, name: FigureName) -> String {
        self.figure(name).map_or_else(String::new, |figure| show::figure_text(figure, self.system()).1)
    }

    /// A named value that belongs to a figure, with its unit.
    pub(super) fn part(&self, name: FigureName, key: &str) -> Option<(f64, &'static str)> {
        let parts = &self.figure(name)?.parts;
        parts.iter().find(|(own, ..)| *own == key).map(|(_, number, unit)| (*number, *unit))
    }

    /// A blank to fill in by hand.
    pub(super) fn blank(&self) -> String {
        self.words.get("values", "blank").unwrap_or("______").to_owned()
    }

    /// The text of a key without sources.
    pub(super) fn text(&self, file: &'static str, key: &str) -> String {
        self.cell(&Say::of(file, key)).text
    }

    /// A word of `values.toml`, or the word itself where the sheet says it as the spec does.
    pub(super) fn word(&self, table: &str, word: &str) -> String {
        self.words.get_marked(&self.marks, "values", &format!("{table}/{word}")).unwrap_or(word).to_owned()
    }

    /// Looks a text up and fills it.
    pub(super) fn cell(&self, say: &Say) -> Cell {
        let fill = |blank: &str| {
            let given = say.blanks.iter().find(|(name, _)| *name == blank).map(|(_, value)| value.clone());
            given.or_else(|| self.known_blank(blank)).or_else(|| show::literal(blank, self.system()))
        };
        let text = self
            .words
            .get_marked(&self.marks, say.file, &say.key)
            .map_or_else(|| format!("[{}/{}]", say.file, say.key), |text| filled(text, &fill));
        Cell { text, basis: say.basis.clone(), cites: self.keys(&say.cites) }
    }

    /// The blanks that any text may use: figures by their key, and the key with `.range`.
    fn known_blank(&self, blank: &str) -> Option<String> {
        if let Some(word) = blank.strip_prefix("dye-") {
            return Some(self.dye_word(word));
        }
        if blank == "faces" {
            return Some(self.text("values", if self.both_sides() { "faces/both" } else { "faces/reached" }));
        }
        let (key, range) = blank.strip_suffix(".range").map_or((blank, false), |key| (key, true));
        let name = FigureName::from_key(key)?;
        Some(if range { self.range(name) } else { self.set(name) })
    }

    /// How a mark of the shop's dye is called: red, or glowing.
    fn dye_word(&self, word: &str) -> String {
        let glows = penetrant::dye(self.job).0 == penetrant::Reading::Fluorescent;
        self.text("values", &format!("{}/{word}", if glows { "dye-glowing" } else { "dye-red" }))
    }

    /// Notes sources down and gives their keys, each once.
    pub(super) fn keys(&self, cites: &[Cite]) -> Vec<String> {
        let mut notes = self.notes.borrow_mut();
        let mut keys: Vec<String> = Vec::new();
        for cite in cites {
            notes.entry(cite.source).or_default().insert((cite.basis, cite.locator));
            if !keys.iter().any(|key| key == cite.source) {
                keys.push(cite.source.to_owned());
            }
        }
        keys
    }

    /// The places of a source that were cited, strong to weak.
    pub(super) fn noted(&self, key: &str) -> Vec<(Basis, &'static str)> {
        self.notes.borrow().get(key).into_iter().flatten().copied().collect()
    }

    /// A cell of plain text.
    pub(super) fn plain(&self, text: impl Into<String>) -> Cell {
        Cell { text: text.into(), ..Cell::default() }
    }

    /// A cell with the mark and the sources of a figure, without text.
    pub(super) fn basis_cell(&self, figure: Option<&Figure>) -> Cell {
        let Some(figure) = figure else { return Cell::default() };
        Cell { text: String::new(), basis: show::figure_mark(figure), cites: self.keys(&lead_cites(figure)) }
    }
}

/// Items joined for reading: `a, b and c`.
pub(super) fn listed(items: &[String], and: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {and} {last}", first.join(", ")),
    }
}
