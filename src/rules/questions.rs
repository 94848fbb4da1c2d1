//! The questions: what the spec leaves out although it decides about safety, and the general questions of the
//! decision with the answers that spec, kit and figures give.

use super::case::Case;
use super::identity::{self, Known};
use super::metals::{self, Beside, Route};
use super::{Answer, Gate, amperage, attempts, causes};
use crate::engine::FigureName;
use crate::findings::{At, Code, Finding, Span};
use crate::spec::{Cleaner, Coating, Consequence, Held, Loading, Spec, Use};

/// How a key that decides about safety was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum State {
    /// Stated.
    Stated,
    /// Stated as unknown, here.
    Unknown(Span),
    /// Left out, which means unknown.
    LeftOut,
}

/// A key that decides about safety: left out, it is unknown and never worked out.
struct Asked {
    /// The key.
    key: &'static str,
    /// Key of the words of its question.
    question: &'static str,
    /// The table of the language that it stands in.
    table: &'static str,
    /// How it was answered.
    state: fn(&Spec) -> State,
    /// The words that it takes.
    words: fn() -> Vec<&'static str>,
}

macro_rules! words_of {
    ($type:ident) => {
        || $type::ALL.iter().map(|word| word.word()).collect()
    };
}

fn flag(value: Option<&At<bool>>) -> State {
    value.map_or(State::LeftOut, |_| State::Stated)
}

fn listed<T>(list: &[At<T>]) -> State {
    if list.is_empty() { State::LeftOut } else { State::Stated }
}

fn word<T: PartialEq>(value: Option<&At<T>>, unknown: Option<T>) -> State {
    match value {
        None => State::LeftOut,
        Some(stated) if Some(&stated.value) == unknown.as_ref() => State::Unknown(stated.span),
        Some(_) => State::Stated,
    }
}

fn yes_or_no() -> Vec<&'static str> {
    vec!["true", "false"]
}

const ASKED: [Asked; 10] = [
    Asked {
        key: "enclosed",
        question: "question-enclosed",
        table: "part",
        state: |spec| flag(spec.part.enclosed.as_ref()),
        words: yes_or_no,
    },
    Asked {
        key: "hollow",
        question: "question-hollow",
        table: "part",
        state: |spec| flag(spec.part.hollow.as_ref()),
        words: yes_or_no,
    },
    // Stated as unknown, what it has held is no question but a gate.
    Asked {
        key: "held",
        question: "question-held",
        table: "part",
        state: |spec| word(spec.part.held.as_ref(), None),
        words: words_of!(Held),
    },
    Asked {
        key: "coating",
        question: "question-coating",
        table: "prepare",
        state: |spec| word(spec.prepare.coating.as_ref(), Some(Coating::Unknown)),
        words: words_of!(Coating),
    },
    Asked {
        key: "confined",
        question: "question-confined",
        table: "place",
        state: |spec| flag(spec.place.confined.as_ref()),
        words: yes_or_no,
    },
    Asked {
        key: "pit",
        question: "question-pit",
        table: "place",
        state: |spec| flag(spec.place.pit.as_ref()),
        words: yes_or_no,
    },
    Asked {
        key: "use",
        question: "question-use",
        table: "part",
        state: |spec| listed(&spec.part.use_),
        words: words_of!(Use),
    },
    Asked {
        key: "consequence",
        question: "question-consequence",
        table: "part",
        state: |spec| word(spec.part.consequence.as_ref(), None),
        words: words_of!(Consequence),
    },
    Asked {
        key: "loading",
        question: "question-loading",
        table: "part",
        state: |spec| listed(&spec.part.loading),
        words: words_of!(Loading),
    },
    Asked {
        key: "cleaner",
        question: "question-cleaner",
        table: "prepare",
        state: |spec| word(spec.prepare.cleaner.as_ref(), Some(Cleaner::Unknown)),
        words: words_of!(Cleaner),
    },
];

/// The keys that decide about safety: `settings` asks none of them and prints their names.
#[must_use]
pub fn not_asked() -> &'static [&'static str] {
    &["enclosed", "hollow", "held", "coating", "confined", "pit", "use", "consequence", "loading", "cleaner"]
}

/// A question for each key that decides about safety and is left out or stated as unknown.
#[must_use]
pub fn missing(case: &Case<'_>) -> (Vec<Gate>, Vec<Finding>) {
    let unanswered = ASKED.iter().filter_map(|asked| match (asked.state)(case.spec()) {
        State::Stated => None,
        State::LeftOut => Some((asked, None)),
        State::Unknown(span) => Some((asked, Some(span))),
    });
    unanswered.map(|(asked, span)| (asked.gate(), asked.finding(span))).unzip()
}

impl Asked {
    fn gate(&self) -> Gate {
        Gate { key: self.question, answer: Answer::Unknown, args: Vec::new() }
    }

    fn finding(&self, span: Option<Span>) -> Finding {
        let how = if span.is_some() { "stated as unknown" } else { "left out, which means unknown" };
        let message = format!("`{}` in [{}] is {how}", self.key, self.table);
        let words = (self.words)();
        let takes: Vec<&str> = words.into_iter().filter(|word| *word != "unknown").collect();
        let finding = Finding::new(Code::GateQuestion, message).at_some(span).label("nobody has said");
        finding.help(format!("it takes {}; or answer it at the bench, in section 2 of the sheet", takes.join(", ")))
    }
}

/// The general questions of the decision in their order, with what has to be said of them. `fired` are the gates that
/// the case has raised already.
#[must_use]
pub fn general(case: &Case<'_>, fired: &[Gate]) -> (Vec<Gate>, Vec<Finding>) {
    let (attempt, said) = attempts::judge(case);
    let mut gates = vec![
        Gate { key: "other-ways", answer: Answer::AtHold, args: Vec::new() },
        causes::gate(case),
        may_be_welded(case, fired),
        open_and_empty(case, fired),
        metal_known(case, fired),
        zone(case),
        amperage::set_big_enough(case),
        amperage::torch_big_enough(case),
        attempt,
    ];
    gates.extend(iron_route(case));
    let blanks = missing_figures(case);
    if !blanks.is_empty() {
        gates.push(Gate { key: "figures", answer: Answer::Unknown, args: vec![blanks.join(", ")] });
    }
    (gates, said.into_iter().collect())
}

/// The answer of the gravest of these gates that is refused, or approved.
fn refused_by(fired: &[Gate], keys: &[&str]) -> Option<Answer> {
    let answers = |wanted: Answer| fired.iter().any(|gate| keys.contains(&gate.key) && gate.answer == wanted);
    [Answer::Refused, Answer::Approved].into_iter().find(|wanted| answers(*wanted))
}

const USE_GATES: &[&str] = &[
    "road-wheel",
    "gas-cylinder",
    "tyre-fitted",
    "aircraft",
    "lifting",
    "steering-or-brake",
    "suspension",
    "roll-protection",
    "access-equipment",
    "pressure",
    "rotating",
    "consequence-high",
];
const OPEN_GATES: &[&str] = &["held-fuel", "held-chemical", "held-gas", "held-unknown", "closed-no-vent"];
const METAL_GATES: &[&str] = &["metal-refused", "leaded-brass", "beryllium", "no-filler"];

fn may_be_welded(case: &Case<'_>, fired: &[Gate]) -> Gate {
    let uses: Vec<&str> = case.part().use_.iter().map(|used| used.value.word()).collect();
    let silent = if uses.is_empty() { Answer::Unknown } else { Answer::Clear };
    Gate { key: "may-be-welded", answer: refused_by(fired, USE_GATES).unwrap_or(silent), args: vec![uses.join(", ")] }
}

fn open_and_empty(case: &Case<'_>, fired: &[Gate]) -> Gate {
    let part = case.part();
    let silent: Vec<&str> = [
        ("closed or not", part.enclosed.is_none()),
        ("hollow or not", part.hollow.is_none()),
        ("what it has held", part.held.is_none()),
    ]
    .into_iter()
    .filter_map(|(what, left_out)| left_out.then_some(what))
    .collect();
    let held = part.held.as_ref().map_or("", |held| held.value.word());
    let key = "open-and-empty";
    let refused = refused_by(fired, OPEN_GATES).map(|answer| Gate { key, answer, args: vec![held.to_owned()] });
    refused.unwrap_or_else(|| {
        if silent.is_empty() {
            Gate { key, answer: Answer::Clear, args: vec![held.to_owned()] }
        } else {
            Gate { key, answer: Answer::Unknown, args: vec![silent.join(", ")] }
        }
    })
}

fn metal_known(case: &Case<'_>, fired: &[Gate]) -> Gate {
    let shown = case.job.base.shown.clone();
    let args = vec![shown, identity::word(case).to_owned()];
    if let Some(answer) = refused_by(fired, METAL_GATES) {
        return Gate { key: "metal-known", answer, args };
    }
    match (identity::alloys_named(case), identity::known(case)) {
        (false, _) | (true, Known::Believed) => Gate { key: "metal-known", answer: Answer::Unknown, args },
        (true, Known::Proved) => Gate { key: "metal-known", answer: Answer::Clear, args },
        (true, Known::Stamped) => Gate { key: "metal-known-by-stamp", answer: Answer::Clear, args },
    }
}

/// Nothing softens a metal that is annealed or as it was cast or formed; where one of the metals softens beside the weld,
/// or hardens, somebody has to say whether the part can live with it.
fn zone(case: &Case<'_>) -> Gate {
    let (key, answer) = match metals::worst_beside(case.job, case.worked) {
        Beside::Soft => ("soft-zone", Answer::AtHold),
        Beside::Same => ("soft-zone", Answer::Clear),
        Beside::Hard => ("hard-zone", Answer::AtHold),
    };
    let mut tempers: Vec<String> = metals::bases(case.job).filter_map(|base| base.temper.clone()).collect();
    tempers.dedup();
    Gate { key, answer, args: vec![tempers.join(", ")] }
}

/// Iron is welded cold or hot, and who mixes the two cracks it: the sheet says which it takes, and whoever agrees to the
/// repair chooses.
fn iron_route(case: &Case<'_>) -> Option<Gate> {
    let key = match metals::iron_route(case.job, case.worked)? {
        Route::Cold => "iron-cold",
        Route::Warm => "iron-warm",
        Route::Hot => "iron-hot",
    };
    Some(Gate { key, answer: Answer::AtHold, args: Vec::new() })
}

/// The figures without which nobody can strike an arc.
const KEY_FIGURES: &[FigureName] = &[
    FigureName::Amperage,
    FigureName::Polarity,
    FigureName::TungstenDiameter,
    FigureName::Gas,
    FigureName::GasFlow,
    FigureName::FillerMetal,
    FigureName::InterpassMax,
];

/// The key figures that could not be worked out, in words.
fn missing_figures(case: &Case<'_>) -> Vec<String> {
    let blank = KEY_FIGURES.iter().filter(|name| !case.worked.figures.contains_key(name));
    blank.map(|name| name.key().replace('_', " ")).collect()
}
