//! Rulings: what the rows of a standard say of each variable, and what follows when two of them differ.

use super::point::{Entry, Held, Point, UNTREATED};
use crate::reference::qualification::{Class, Rule, Scheme, Variable, group_of, group_of_gas, rows_of};
use crate::reference::{Basis, Cite, QualificationGroup, QualificationStandard, QualificationVariable, Row};

/// Numbers closer than this are the same: a thousandth of a millimetre, a degree or an ampere.
const SAME: f64 = 1e-3;

/// What follows for a variable.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// The test covers it.
    Covered,
    /// The test does not cover it: a new one is necessary.
    NewTest,
    /// The tables cannot tell: ask the examiner.
    Ask,
    /// It asks no test.
    NotEssential,
}

impl Verdict {
    /// The word in JSON and in the keys of words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Covered => "covered",
            Verdict::NewTest => "new-test",
            Verdict::Ask => "ask",
            Verdict::NotEssential => "not-essential",
        }
    }
}

/// Why the tables cannot tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// The record does not say what was tested.
    RecordSilent,
    /// This procedure does not say, or could not be worked out.
    HereUnknown,
    /// Two rows differ.
    SourcesDiffer,
    /// The limit was not read, or no row holds for what was tested.
    NotHeld,
    /// Another group or position, which a table of the standard that was not read may let it cover.
    WiderTable,
    /// The tables do not know the group.
    GroupUnknown,
    /// Essential only where toughness is tested.
    Toughness,
    /// Essential only where heat input is specified.
    HeatInputSpecified,
    /// Essential only with impact or hardness tests.
    ImpactOrHardness,
    /// Both are treated after welding, and words cannot be compared.
    Treatments,
}

impl Reason {
    /// The word in JSON and in the keys of words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Reason::RecordSilent => "record-silent",
            Reason::HereUnknown => "here-unknown",
            Reason::SourcesDiffer => "sources-differ",
            Reason::NotHeld => "not-held",
            Reason::WiderTable => "wider-table",
            Reason::GroupUnknown => "group-unknown",
            Reason::Toughness => "toughness",
            Reason::HeatInputSpecified => "heat-input-specified",
            Reason::ImpactOrHardness => "impact-or-hardness",
            Reason::Treatments => "treatments",
        }
    }
}

/// What one row says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Inside its range.
    Inside,
    /// Outside.
    Outside,
    /// It cannot be told.
    Open(Reason),
    /// It sets no limit.
    Free,
}

impl Outcome {
    /// The word in workings and JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Inside => "inside",
            Outcome::Outside => "outside",
            Outcome::Open(_) => "open",
            Outcome::Free => "no limit",
        }
    }
}

/// What a row covers, for showing it.
#[derive(Debug, Clone, PartialEq)]
pub enum Reach {
    /// From [`Said::low`] to [`Said::high`].
    Ends,
    /// The tested value alone.
    Alone,
    /// A group of a scheme.
    Group(Scheme, &'static str),
    /// These words.
    Words(&'static [String]),
    /// Anything.
    Any,
    /// It was not read, or does not follow from what is known.
    Unknown,
}

/// What one row says of a variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// Its standard.
    pub standard: &'static str,
    /// Its paragraph in the standard; empty where that was not read.
    pub paragraph: &'static str,
    /// How much it matters.
    pub class: Class,
    /// What it comes to.
    pub outcome: Outcome,
    /// What it covers.
    pub reach: Reach,
    /// Lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
    /// Multiples of the tested value that the ends are, where they are.
    pub factors: (Option<f64>, Option<f64>),
    /// Limit that cuts the upper end, where the row has one.
    pub cap: Option<f64>,
    /// Where it was found.
    pub cite: Cite,
    /// The condition under which alone it matters, where the row has one.
    pub only: Option<Reason>,
    class_basis: Option<Basis>,
}

impl Said {
    /// The weaker of the basis of the figure and of the class.
    #[must_use]
    pub fn basis(&self) -> Basis {
        self.class_basis.map_or(self.cite.basis, |own| own.weaker(self.cite.basis))
    }

    /// Standard and paragraph: `ASME IX, QW-404.4`.
    #[must_use]
    pub fn place(&self) -> String {
        if self.paragraph.is_empty() {
            self.standard.to_owned()
        } else {
            format!("{}, {}", self.standard, self.paragraph)
        }
    }
}

/// What follows for one variable.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruling {
    /// The variable.
    pub variable: Variable,
    /// What was tested.
    pub tested: Option<Entry>,
    /// What this procedure has.
    pub here: Option<Entry>,
    /// What each row says.
    pub said: Vec<Said>,
    /// What follows.
    pub verdict: Verdict,
    /// Why it has to be asked.
    pub reason: Option<Reason>,
}

impl Ruling {
    /// Whether tested and present value are the same.
    #[must_use]
    pub fn is_same(&self) -> bool {
        matches!((&self.tested, &self.here), (Some(a), Some(b)) if same(&a.held, &b.held))
    }
}

/// Rules on every variable that the standard has a row of and that the test piece or the procedure says something of.
#[must_use]
pub fn rulings(standard: &'static QualificationStandard, tested: &Point, here: &Point) -> Vec<Ruling> {
    Variable::ALL.iter().filter_map(|variable| ruling(standard, *variable, tested, here)).collect()
}

fn ruling(
    standard: &'static QualificationStandard,
    variable: Variable,
    tested: &Point,
    here: &Point,
) -> Option<Ruling> {
    let (was, is) = (tested.get(variable), here.get(variable));
    if was.is_none() && is.is_none() {
        return None;
    }
    let joint = tested.get(Variable::Joint).and_then(|entry| word(&entry.held));
    let mut said: Vec<Said> = Vec::new();
    for name in std::iter::once(standard.name.as_str()).chain(standard.older.as_deref()) {
        let rows: Vec<_> = rows_of(standard, variable).filter(|row| row.standard == name).collect();
        if let Some(first) = rows.first() {
            said.push(say(first, &rows, was, is, joint));
        }
    }
    if said.is_empty() {
        return None;
    }
    let equal = matches!((was, is), (Some(a), Some(b)) if same(&a.held, &b.held));
    let (verdict, reason) = conclude(&said, equal);
    Some(Ruling { variable, tested: was.cloned(), here: is.cloned(), said, verdict, reason })
}

/// What follows from all rows together.
fn conclude(said: &[Said], equal: bool) -> (Verdict, Option<Reason>) {
    if said.iter().all(|said| said.outcome == Outcome::Free && said.class == Class::Nonessential) {
        return (Verdict::NotEssential, None);
    }
    let bound = said.iter().all(|said| matches!(said.class, Class::Supplementary | Class::Specified));
    let silent = said.iter().all(|said| said.outcome == Outcome::Open(Reason::RecordSilent));
    if bound && silent {
        // What matters only where it is specified stands on the record where it was.
        return (Verdict::NotEssential, said.iter().find_map(|said| said.only));
    }
    if equal {
        // A test covers at least what was tested.
        return (Verdict::Covered, None);
    }
    let any = |outcome| said.iter().any(|said| said.outcome == outcome);
    let inside = any(Outcome::Inside) || any(Outcome::Free);
    let open = said.iter().find_map(|said| if let Outcome::Open(reason) = said.outcome { Some(reason) } else { None });
    match (inside, any(Outcome::Outside), open) {
        (true, true, _) => (Verdict::Ask, Some(Reason::SourcesDiffer)),
        (false, true, _) => (Verdict::NewTest, None),
        (_, false, Some(reason)) => (Verdict::Ask, Some(reason)),
        (_, false, None) => (Verdict::Covered, None),
    }
}

/// What the rows of one standard say: the one that holds for what was tested.
fn say(
    first_row: &'static QualificationVariable,
    rows: &[&'static QualificationVariable],
    was: Option<&Entry>,
    is: Option<&Entry>,
    joint: Option<&str>,
) -> Said {
    let first = |entry: &Entry| if let Held::Number(low, _) = entry.held { Some(low) } else { None };
    let size = was.and_then(first);
    let holds = |row: &&&'static QualificationVariable| {
        let sized = row.tested.is_none_or(|[low, high]| size.is_some_and(|size| low <= size && size <= high));
        let of = match row.rule {
            Rule::Covers => was.and_then(|entry| word(&entry.held)),
            _ => joint,
        };
        let from = row.from.is_empty() || of.is_some_and(|of| row.from.iter().any(|own| own == of));
        // A record that does not name its joint is read as a butt weld, which the ranges are printed for.
        sized && (from || (row.rule != Rule::Covers && joint.is_none()))
    };
    match rows.iter().find(holds) {
        Some(row) => told(row, was, is),
        None => {
            let reason = if was.is_none() { Reason::RecordSilent } else { Reason::NotHeld };
            bare(first_row, Outcome::Open(reason), Reach::Unknown)
        }
    }
}

fn bare(row: &'static QualificationVariable, outcome: Outcome, reach: Reach) -> Said {
    Said {
        standard: &row.standard,
        paragraph: &row.paragraph,
        class: row.class,
        outcome,
        reach,
        low: None,
        high: None,
        factors: (None, None),
        cap: None,
        cite: row.cite(),
        only: condition(row),
        class_basis: row.class_basis,
    }
}

/// What a row says that holds for what was tested.
fn told(row: &'static QualificationVariable, was: Option<&Entry>, is: Option<&Entry>) -> Said {
    if row.rule == Rule::Free {
        return bare(row, Outcome::Free, Reach::Any);
    }
    let Some(was) = was else { return bare(row, Outcome::Open(Reason::RecordSilent), Reach::Unknown) };
    let ends = ends(row, &was.held);
    let reach = match row.rule {
        Rule::NotHeld => Reach::Unknown,
        Rule::Covers => Reach::Words(&row.covers),
        Rule::Group => {
            group(row.scheme, &was.held).map_or(Reach::Alone, |group| Reach::Group(group.scheme, &group.group))
        }
        _ if ends.is_some() => Reach::Ends,
        _ => Reach::Alone,
    };
    let outcome = match is {
        None => Outcome::Open(Reason::HereUnknown),
        Some(is) => conditional(row, compare(row, &was.held, &is.held, ends)),
    };
    let (low, high) = ends.unwrap_or_default();
    Said { low, high, factors: (row.low_factor, row.high_factor), cap: row.cap, ..bare(row, outcome, reach) }
}

/// The condition under which alone a row matters.
fn condition(row: &QualificationVariable) -> Option<Reason> {
    Some(match row.when.as_deref()? {
        "toughness" => Reason::Toughness,
        "impact-or-hardness" => Reason::ImpactOrHardness,
        _ => Reason::HeatInputSpecified,
    })
}

/// A row that holds only under a condition makes no new test necessary by itself.
fn conditional(row: &QualificationVariable, outcome: Outcome) -> Outcome {
    match condition(row) {
        Some(reason) if outcome == Outcome::Outside => Outcome::Open(reason),
        _ => outcome,
    }
}

/// The ends of the range that follows from a tested number; none for a word.
#[must_use]
pub fn ends(row: &QualificationVariable, held: &Held) -> Option<(Option<f64>, Option<f64>)> {
    let Held::Number(thin, thick) = *held else { return None };
    let by = row.by.unwrap_or(0.0);
    let share = |percent: Option<f64>| percent.unwrap_or(0.0) / 100.0;
    Some(match row.rule {
        Rule::Same => (Some(thin), Some(thick)),
        Rule::Factor => {
            let low = row.low.or(row.low_factor.map(|factor| factor * thin));
            let high = row.high.or(row.high_factor.map(|factor| factor * thick));
            let cap = row.cap.unwrap_or(f64::INFINITY);
            (low, high.map(|high| high.min(cap)))
        }
        Rule::AtLeast => (Some(thin - by), None),
        Rule::AtMost => (None, Some(thick + by)),
        Rule::Percent => (Some(thin * (1.0 - share(row.low))), Some(thick * (1.0 + share(row.high)))),
        Rule::Step => (Some(thin - by), Some(thick + by)),
        Rule::Group | Rule::Covers | Rule::Free | Rule::NotHeld | Rule::Months => return None,
    })
}

fn compare(
    row: &'static QualificationVariable,
    was: &Held,
    is: &Held,
    ends: Option<(Option<f64>, Option<f64>)>,
) -> Outcome {
    let decided = |inside| if inside { Outcome::Inside } else { Outcome::Outside };
    match row.rule {
        Rule::NotHeld | Rule::Months => Outcome::Open(Reason::NotHeld),
        Rule::Free => Outcome::Free,
        Rule::Group => same_group(row, was, is),
        Rule::Covers => match word(is) {
            None => Outcome::Open(Reason::HereUnknown),
            Some(is) if row.covers.iter().any(|own| own == is) => Outcome::Inside,
            Some(_) if row.wider => Outcome::Open(Reason::WiderTable),
            Some(_) => Outcome::Outside,
        },
        _ => match (ends, is) {
            (Some((low, high)), Held::Number(thin, thick)) => {
                decided(low.is_none_or(|low| low - SAME <= *thin) && high.is_none_or(|high| *thick <= high + SAME))
            }
            _ if row.variable == Variable::HeatTreatment && !same(was, is) && both_treated(was, is) => {
                Outcome::Open(Reason::Treatments)
            }
            _ => decided(same(was, is)),
        },
    }
}

fn both_treated(was: &Held, is: &Held) -> bool {
    [was, is].iter().all(|held| word(held).is_some_and(|word| word != UNTREATED))
}

/// Whether two values are the same.
#[must_use]
pub fn same(a: &Held, b: &Held) -> bool {
    match (a, b) {
        (Held::Number(a, b), Held::Number(c, d)) => libm::fabs(a - c) < SAME && libm::fabs(b - d) < SAME,
        (Held::Gas(a), Held::Gas(b)) => libm::fabs(a - b) < SAME,
        (Held::Word(a), Held::Word(b)) => a.eq_ignore_ascii_case(b),
        (Held::Metals(a), Held::Metals(b)) => a.iter().all(|a| b.contains(a)) && b.iter().all(|b| a.contains(b)),
        _ => false,
    }
}

fn word(held: &Held) -> Option<&str> {
    if let Held::Word(word) = held { Some(word) } else { None }
}

/// The group of a value; of two metals that of the first.
fn group(scheme: Option<Scheme>, held: &Held) -> Option<&'static QualificationGroup> {
    let scheme = scheme?;
    match held {
        Held::Gas(helium) => group_of_gas(*helium),
        Held::Word(name) => group_of(scheme, name),
        Held::Metals(names) => group_of(scheme, names.first()?),
        Held::Number(..) => None,
    }
}

fn same_group(row: &'static QualificationVariable, was: &Held, is: &Held) -> Outcome {
    if same(was, is) {
        return Outcome::Inside;
    }
    let Some(tested) = group(row.scheme, was) else { return Outcome::Open(Reason::GroupUnknown) };
    let here: Vec<Option<&QualificationGroup>> = match is {
        Held::Metals(names) => {
            let of = |name: &String| row.scheme.and_then(|scheme| group_of(scheme, name));
            names.iter().map(of).collect()
        }
        other => vec![group(row.scheme, other)],
    };
    if here.iter().any(Option::is_none) {
        return Outcome::Open(Reason::GroupUnknown);
    }
    match (here.iter().flatten().all(|own| own.group == tested.group), row.wider) {
        (true, _) => Outcome::Inside,
        (false, true) => Outcome::Open(Reason::WiderTable),
        (false, false) => Outcome::Outside,
    }
}
