//! A figure as JSON: what it is worth, on which basis, and the working that led to it.

use super::super::{Answer, say};
use super::number::Number;
use super::ruling::RulingJson;
use crate::engine::{Figure, Limit, Line, LineKind, Origin, PassRow, Ranked, Value, acceptance};
use crate::reference::Basis;
use serde::Serialize;

/// A figure: `value`, or `low` and `high` with the aim as `set`.
#[derive(Debug, Clone, Serialize)]
pub(super) struct FigureJson<'a> {
    #[serde(flatten)]
    worth: Worth<'a>,
    unit: Option<&'static str>,
    basis: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weakest: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    minimum: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    maximum: Option<Number>,
    /// Why the author's own value stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    because: Option<&'a str>,
    /// What was worked out where the author's own value stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    worked_out: Option<Worth<'a>>,
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    alternatives: &'a [String],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    parts: Vec<PartJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    limits: Vec<LimitJson>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    rulings: Vec<RulingJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    ranking: Vec<RankedJson<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    rows: Vec<PassJson>,
    working: Vec<LineJson<'a>>,
    sources: Vec<&'static str>,
}

/// A figure without its working.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Brief<'a> {
    #[serde(flatten)]
    worth: Worth<'a>,
    unit: Option<&'static str>,
    basis: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    weakest: Option<&'static str>,
}

impl<'a> Brief<'a> {
    pub(super) fn of(figure: &'a Figure) -> Self {
        Brief {
            worth: Worth::of(&figure.value),
            unit: figure.name.unit(),
            basis: figure.basis.map_or("stated", Basis::words),
            weakest: weakest(figure),
        }
    }
}

/// The weakest basis of what went in, where it is not that of the figure.
fn weakest(figure: &Figure) -> Option<&'static str> {
    figure.weakest.filter(|weakest| figure.basis != Some(*weakest)).map(Basis::words)
}

#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
enum Worth<'a> {
    Word { value: &'a str },
    Flag { value: bool },
    Number { value: Number },
    Range { low: Number, high: Number, set: Number },
}

#[derive(Debug, Clone, Serialize)]
struct PartJson {
    name: &'static str,
    value: Number,
    unit: Option<&'static str>,
}

/// How large a flaw may be by one standard; nought where none is allowed.
#[derive(Debug, Clone, Serialize)]
struct LimitJson {
    name: &'static str,
    standard: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    level: &'static str,
    value: Number,
    unit: &'static str,
    /// Allowed in short lengths alone.
    short_only: bool,
    /// Marks in a row that are too many where their gaps are this or less.
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<u32>,
    /// The strictest of those that limit the same flaw.
    leads: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    sure: Option<&'static str>,
    source: &'static str,
    locator: &'static str,
    basis: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct RankedJson<'a> {
    name: &'a str,
    fit: Number,
    reasons: Vec<ReasonJson>,
    excluded: bool,
}

#[derive(Debug, Clone, Serialize)]
struct ReasonJson {
    text: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    source: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    basis: Option<&'static str>,
}

#[derive(Debug, Clone, Serialize)]
struct Quantity {
    value: Number,
    unit: &'static str,
}

#[derive(Debug, Clone, Serialize)]
struct Band {
    low: Number,
    high: Number,
    set: Number,
    unit: &'static str,
}

/// A pass: where it lies, and its current as the part warms up.
#[derive(Debug, Clone, Serialize)]
struct PassJson {
    number: u32,
    side: u8,
    kind: &'static str,
    pool: Quantity,
    deposit: Quantity,
    #[serde(skip_serializing_if = "Option::is_none")]
    length: Option<Quantity>,
    /// Where it ends below the face; negative stands proud.
    #[serde(skip_serializing_if = "Option::is_none")]
    fill_to: Option<Quantity>,
    amperage: Band,
    amperage_running: Band,
    amperage_warm: Band,
}

/// A line of a working.
#[derive(Debug, Clone, Serialize)]
struct LineJson<'a> {
    kind: &'static str,
    text: String,
    #[serde(skip_serializing_if = "str::is_empty")]
    symbol: &'a str,
    #[serde(skip_serializing_if = "str::is_empty")]
    formula: &'a str,
    #[serde(flatten)]
    worth: Option<LineWorth>,
    #[serde(flatten)]
    from: From,
}

#[derive(Debug, Clone, Serialize)]
#[serde(untagged)]
enum LineWorth {
    Number { value: Number, unit: Option<&'static str> },
    Range { low: Number, high: Number, unit: Option<&'static str> },
}

/// Where the number or word of a line came from.
#[derive(Debug, Clone, Serialize)]
#[serde(tag = "from", rename_all = "lowercase")]
enum From {
    Stated {
        #[serde(skip_serializing_if = "Option::is_none")]
        line: Option<usize>,
    },
    Kit {
        #[serde(skip_serializing_if = "Option::is_none")]
        line: Option<usize>,
    },
    Assumed,
    Table {
        source: &'static str,
        locator: &'static str,
        basis: &'static str,
    },
    Figure {
        figure: &'static str,
    },
    Computed,
}

impl<'a> FigureJson<'a> {
    pub(super) fn of(figure: &'a Figure, answer: &Answer<'_>) -> Self {
        let mut sources: Vec<&'static str> = Vec::new();
        for cite in figure.cites() {
            if !sources.contains(&cite.source) {
                sources.push(cite.source);
            }
        }
        FigureJson {
            worth: Worth::of(&figure.value),
            unit: figure.name.unit(),
            basis: figure.basis.map_or("stated", Basis::words),
            weakest: weakest(figure),
            minimum: figure.minimum.map(Number),
            maximum: figure.maximum.map(Number),
            because: figure.because.as_deref(),
            worked_out: figure.worked_out.as_ref().map(Worth::of),
            alternatives: &figure.alternatives,
            parts: figure
                .parts
                .iter()
                .map(|part| PartJson { name: part.0, value: Number(part.1), unit: unit(part.2) })
                .collect(),
            limits: figure.limits.iter().map(LimitJson::of).collect(),
            rulings: figure.rulings.iter().map(|ruling| RulingJson::of(ruling, answer.job.system)).collect(),
            ranking: figure.ranking.iter().map(|ranked| RankedJson::of(ranked, answer)).collect(),
            rows: figure.passes.iter().map(PassJson::of).collect(),
            working: figure.working.iter().map(|line| LineJson::of(line, answer)).collect(),
            sources,
        }
    }
}

impl<'a> Worth<'a> {
    fn of(value: &'a Value) -> Self {
        match value {
            Value::Word(word) => Worth::Word { value: word },
            Value::Flag(flag) => Worth::Flag { value: *flag },
            Value::Number(number) => Worth::Number { value: Number(*number) },
            Value::Range { low, high, set } => {
                Worth::Range { low: Number(*low), high: Number(*high), set: Number(*set) }
            }
        }
    }
}

impl<'a> RankedJson<'a> {
    fn of(ranked: &'a Ranked, answer: &Answer<'_>) -> Self {
        let reasons = ranked.reasons.iter().map(|reason| ReasonJson {
            text: say::reason(reason, answer.job.system),
            source: reason.cite.as_ref().map(|cite| cite.source),
            basis: reason.cite.as_ref().map(|cite| cite.basis.words()),
        });
        RankedJson {
            name: &ranked.name,
            fit: Number(ranked.fit),
            reasons: reasons.collect(),
            excluded: ranked.excluded,
        }
    }
}

impl LimitJson {
    fn of(limit: &Limit) -> Self {
        LimitJson {
            name: acceptance::key(limit.flaw),
            standard: limit.standard,
            level: limit.level,
            value: Number(limit.most),
            unit: "mm",
            short_only: limit.short,
            count: limit.count,
            leads: limit.leads,
            sure: limit.sure,
            source: limit.cite.source,
            locator: limit.cite.locator,
            basis: limit.cite.basis.words(),
        }
    }
}

impl PassJson {
    fn of(pass: &PassRow) -> Self {
        let mm = |value: f64| Quantity { value: Number(value), unit: "mm" };
        let band =
            |[low, set, high]: [f64; 3]| Band { low: Number(low), high: Number(high), set: Number(set), unit: "A" };
        PassJson {
            number: pass.number,
            side: pass.side,
            kind: pass.kind.word(),
            pool: mm(pass.pool),
            deposit: Quantity { value: Number(pass.deposit), unit: "mm2" },
            length: pass.length.map(mm),
            fill_to: pass.fill_to.map(mm),
            amperage: band(pass.start),
            amperage_running: band(pass.running),
            amperage_warm: band(pass.warm),
        }
    }
}

impl<'a> LineJson<'a> {
    fn of(line: &'a Line, answer: &Answer<'_>) -> Self {
        let unit = unit(line.unit);
        let worth = match (line.number, line.upper) {
            (Some(low), Some(high)) if low < high => {
                Some(LineWorth::Range { low: Number(low), high: Number(high), unit })
            }
            (Some(value), _) => Some(LineWorth::Number { value: Number(value), unit }),
            (None, _) => None,
        };
        LineJson {
            kind: kind(line.kind),
            text: say::line(line, answer.job.system),
            symbol: line.symbol,
            formula: line.formula,
            worth,
            from: From::of(&line.origin, answer),
        }
    }
}

impl From {
    fn of(origin: &Origin, answer: &Answer<'_>) -> Self {
        match origin {
            Origin::Stated(span) => From::Stated { line: answer.line_of(*span) },
            Origin::Kit(span) => From::Kit { line: answer.line_of(*span) },
            Origin::Assumed => From::Assumed,
            Origin::Row(cite) => From::Table { source: cite.source, locator: cite.locator, basis: cite.basis.words() },
            Origin::Figure(name) => From::Figure { figure: name.key() },
            Origin::Computed => From::Computed,
        }
    }
}

fn unit(unit: &'static str) -> Option<&'static str> {
    (!unit.is_empty()).then_some(unit)
}

fn kind(kind: LineKind) -> &'static str {
    match kind {
        LineKind::Input => "input",
        LineKind::Step => "step",
        LineKind::Adjustment => "adjustment",
        LineKind::Check => "check",
        LineKind::NotUsed => "not used",
        LineKind::Doubt => "doubt",
        LineKind::Rounding => "rounding",
        LineKind::Remark => "remark",
    }
}
