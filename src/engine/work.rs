//! Writing a working while a figure is worked out: each call adds a line and gives the number back.

use super::figure::{Figure, Line, LineKind, Origin, Value, Working};
use super::names::{FigureName, Rounding};
use crate::findings::Span;
use crate::reference::{Basis, Cite, Class, Row, constants};
use std::collections::BTreeSet;

/// A working that is being written.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Work {
    lines: Working,
    uses: BTreeSet<FigureName>,
    weakest: Option<Basis>,
}

impl Work {
    /// An empty working.
    #[must_use]
    pub fn new() -> Self {
        Work::default()
    }

    fn put(
        &mut self,
        kind: LineKind,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        origin: Origin,
    ) -> f64 {
        self.lines.push(Line { symbol, number: Some(number), unit, ..Line::of(kind, words, origin) });
        number
    }

    /// Something that the author stated; assumed where he said nothing and there is no place.
    pub fn stated(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        span: Option<Span>,
    ) -> f64 {
        self.put(LineKind::Input, words, symbol, number, unit, Origin::Stated(span))
    }

    /// Something that was assumed.
    pub fn assumed(&mut self, words: &'static str, symbol: &'static str, number: f64, unit: &'static str) -> f64 {
        self.put(LineKind::Input, words, symbol, number, unit, Origin::Assumed)
    }

    /// Something that the kit says.
    pub fn kit(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        span: Option<Span>,
    ) -> f64 {
        self.put(LineKind::Input, words, symbol, number, unit, Origin::Kit(span))
    }

    /// A value of a table that moves the figure by more than its rounding.
    pub fn row(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        cite: Cite,
    ) -> f64 {
        self.weigh(cite.basis);
        self.put(LineKind::Input, words, symbol, number, unit, Origin::Row(cite))
    }

    /// A range of a table that moves the figure by more than its rounding.
    pub fn row_range(&mut self, words: &'static str, (low, high): (f64, f64), unit: &'static str, cite: Cite) {
        self.weigh(cite.basis);
        self.put(LineKind::Input, words, "", low, unit, Origin::Row(cite));
        if let Some(line) = self.lines.last_mut() {
            line.upper = Some(high);
        }
    }

    /// A value of a table that moves the figure by less than its rounding.
    pub fn small_row(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        cite: Cite,
    ) -> f64 {
        self.put(LineKind::Input, words, symbol, number, unit, Origin::Row(cite))
    }

    /// A single number of the table of constants, by its key; the words of the line are those of its key.
    pub fn constant(&mut self, key: &'static str, symbol: &'static str) -> f64 {
        let row = constant(key);
        self.row(key, symbol, row.value, unit_of(row), row.cite())
    }

    /// As [`Work::constant`], where it moves the figure by less than its rounding.
    pub fn small_constant(&mut self, key: &'static str, symbol: &'static str) -> f64 {
        let row = constant(key);
        self.small_row(key, symbol, row.value, unit_of(row), row.cite())
    }

    /// As [`Work::constant`], with the value of a kind of metal.
    pub fn constant_of(&mut self, class: Class, key: &'static str, symbol: &'static str) -> f64 {
        let row = constants::of_metal(key, class);
        self.row(key, symbol, row.value, unit_of(row), row.cite())
    }

    /// As [`Work::small_constant`], with the value of a kind of metal.
    pub fn small_constant_of(&mut self, class: Class, key: &'static str, symbol: &'static str) -> f64 {
        let row = constants::of_metal(key, class);
        self.small_row(key, symbol, row.value, unit_of(row), row.cite())
    }

    /// Another figure.
    pub fn figure(&mut self, name: FigureName, symbol: &'static str, number: f64) -> f64 {
        self.uses.insert(name);
        self.put(LineKind::Input, name.key(), symbol, number, name.unit().unwrap_or(""), Origin::Figure(name))
    }

    /// A number that comes from another figure and is not its set value, such as an end of its band: under its own words.
    pub fn out_of(&mut self, name: FigureName, words: &'static str, symbol: &'static str, number: f64) -> f64 {
        self.uses.insert(name);
        self.put(LineKind::Input, words, symbol, number, name.unit().unwrap_or(""), Origin::Figure(name))
    }

    /// Something worked out, with its formula in the symbols of the lines before.
    pub fn step(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        formula: &'static str,
        number: f64,
        unit: &'static str,
    ) -> f64 {
        let number = self.put(LineKind::Step, words, symbol, number, unit, Origin::Computed);
        if let Some(line) = self.lines.last_mut() {
            line.formula = formula;
        }
        number
    }

    /// A range worked out, with its formula.
    pub fn step_range(
        &mut self,
        words: &'static str,
        formula: &'static str,
        (low, high): (f64, f64),
        unit: &'static str,
    ) {
        self.step(words, "", formula, low, unit);
        if let Some(line) = self.lines.last_mut() {
            line.upper = Some(high);
        }
    }

    /// A factor or limit that is put on, from a row.
    pub fn adjust(
        &mut self,
        words: &'static str,
        symbol: &'static str,
        number: f64,
        unit: &'static str,
        cite: Cite,
    ) -> f64 {
        self.weigh(cite.basis);
        self.put(LineKind::Adjustment, words, symbol, number, unit, Origin::Row(cite))
    }

    /// A limit of the kit or of another figure that cuts the value.
    pub fn ceiling(&mut self, words: &'static str, number: f64, unit: &'static str, origin: Origin) {
        if let Origin::Figure(name) = &origin {
            self.uses.insert(*name);
        }
        self.put(LineKind::Adjustment, words, "", number, unit, origin);
    }

    /// As [`Work::ceiling`], for both ends of what can be set.
    pub fn span_of(&mut self, words: &'static str, (low, high): (f64, f64), unit: &'static str, origin: Origin) {
        self.ceiling(words, low, unit, origin);
        if let Some(line) = self.lines.last_mut() {
            line.upper = Some(high);
        }
    }

    /// The lines written so far, to be added to the working of a figure that is done.
    #[must_use]
    pub fn into_lines(self) -> Working {
        self.lines
    }

    /// The other method, or a witness: shown, without weight.
    pub fn check(&mut self, words: &'static str, (low, high): (f64, f64), unit: &'static str, cite: Option<Cite>) {
        let origin = cite.map_or(Origin::Computed, Origin::Row);
        self.put(LineKind::Check, words, "", low, unit, origin);
        if let Some(line) = self.lines.last_mut() {
            line.upper = Some(high);
        }
    }

    /// A remark with blanks filled in.
    pub fn remark(&mut self, kind: LineKind, words: &'static str, args: Vec<String>, cite: Option<Cite>) {
        let origin = cite.map_or(Origin::Computed, Origin::Row);
        self.lines.push(Line { args, ..Line::of(kind, words, origin) });
    }

    /// A remark that the kit gives rise to.
    pub fn kit_remark(&mut self, words: &'static str, args: Vec<String>, span: Option<Span>) {
        self.lines.push(Line { args, ..Line::of(LineKind::Remark, words, Origin::Kit(span)) });
    }

    fn weigh(&mut self, basis: Basis) {
        self.weakest = Some(self.weakest.map_or(basis, |weakest| weakest.weaker(basis)));
    }

    /// Fills the blanks of the words of the last line.
    pub fn with(&mut self, args: Vec<String>) {
        if let Some(line) = self.lines.last_mut() {
            line.args = args;
        }
    }

    /// The figure: its value already rounded, and the basis that leads it.
    #[must_use]
    pub fn done(self, name: FigureName, value: Value, basis: Basis) -> Figure {
        let weakest = Some(self.weakest.map_or(basis, |weakest| weakest.weaker(basis)));
        Figure {
            name,
            value,
            basis: Some(basis),
            weakest,
            working: self.lines,
            uses: self.uses.into_iter().collect(),
            minimum: None,
            maximum: None,
            alternatives: Vec::new(),
            ranking: Vec::new(),
            passes: Vec::new(),
            parts: Vec::new(),
            limits: Vec::new(),
            rulings: Vec::new(),
            because: None,
            worked_out: None,
        }
    }
}

fn unit_of(row: &'static constants::ConstantRow) -> &'static str {
    if row.unit == "1" { "" } else { &row.unit }
}

/// The row of the table of constants with this key. A test asks for every key that the source uses, so that the row
/// of not-a-number that stands in for a missing one is never met.
#[must_use]
pub fn constant(key: &str) -> &'static constants::ConstantRow {
    constants::by_key(key)
}

/// As [`constant`], with the value of a kind of metal where it has one of its own.
#[must_use]
pub fn constant_of(class: Class, key: &str) -> &'static constants::ConstantRow {
    constants::of_metal(key, class)
}

/// The cite of a constant.
#[must_use]
pub fn cite(key: &str) -> Cite {
    constant(key).cite()
}

/// Rounds a number as its figure asks.
#[must_use]
pub fn round(name: FigureName, number: f64) -> f64 {
    match name.rounding() {
        Rounding::Step(step) => to_step(number, step),
        Rounding::Amperage => to_step(number, amperage_step(number)),
        Rounding::Nominal | Rounding::Word => number,
    }
}

/// 5 A, below 50 A 1 A.
fn amperage_step(number: f64) -> f64 {
    if number < 50.0 { 1.0 } else { 5.0 }
}

/// To the nearest multiple of a step, halves away from zero, without binary noise.
#[must_use]
pub fn to_step(number: f64, step: f64) -> f64 {
    crate::units::show::round_to(number, step, crate::units::show::Toward::Nearest)
}
