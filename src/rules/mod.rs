//! What must be said: gates, questions, cautions. No number is worked out here.
//!
//! One file a family of rules. [`facts`] is the vocabulary that the triggers of hazards are written in, [`gates`] the
//! table of what refuses or heads a sheet, [`questions`] what is asked, [`cautions`] which dangers fire, [`identity`]
//! how well the metal is known, [`amperage`] whether set and torch are big enough, [`limits`] what the shop lacks,
//! [`qualification`] whether a stated qualification covers this procedure,
//! [`causes`] what the cause asks, [`attempts`] what a repair at the same place asks, [`metals`] what kind of metal it
//! is, [`warming`] what warms the part.

pub mod amperage;
pub mod attempts;
pub mod case;
pub mod causes;
pub mod cautions;
pub mod facts;
pub mod gates;
pub mod identity;
pub mod limits;
pub mod metals;
pub mod qualification;
pub mod questions;
pub mod warming;

pub use case::Case;
pub use cautions::Fired;
pub use facts::Facts;
pub use questions::not_asked;

use crate::engine::{Job, Worked};
use crate::findings::Finding;

/// Whether work may start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decision {
    /// Yes.
    Go,
    /// With open questions or doubts: nobody starts before they are settled.
    Caution,
    /// No.
    No,
}

impl Decision {
    /// The word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Decision::Go => "go",
            Decision::Caution => "caution",
            Decision::No => "no",
        }
    }
}

/// How a question of the decision was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Answer {
    /// The spec answers it, and work may go on.
    Clear,
    /// No spec can answer it: whoever agrees to the repair says so at the hold that ends the section. It stands in the
    /// way of no decision.
    AtHold,
    /// The spec leaves it out: a blank at the bench.
    Unknown,
    /// The spec answers it, and it heads the sheet.
    Head,
    /// The spec answers it, and the repair is refused.
    Refused,
    /// Refused, but for a qualified procedure and an approval that are both given.
    Approved,
}

impl Answer {
    /// All answers.
    pub const ALL: [Answer; 6] =
        [Answer::Clear, Answer::AtHold, Answer::Unknown, Answer::Head, Answer::Refused, Answer::Approved];

    /// Key of its words within those of a question.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Answer::Clear => "clear",
            Answer::AtHold => "hold",
            Answer::Unknown => "unknown",
            Answer::Head => "head",
            Answer::Refused => "refused",
            Answer::Approved => "approved",
        }
    }
}

/// One question of the decision with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// Key of its words: those of [`gates::RULES`] in `templates/words/en/gates.toml`, all others in
    /// `templates/words/en/questions.toml`.
    pub key: &'static str,
    /// How it was answered.
    pub answer: Answer,
    /// What fills the blanks of its words.
    pub args: Vec<String>,
}

/// What the rules say of a job.
#[derive(Debug, Clone)]
pub struct Judgement {
    /// Whether work may start.
    pub decision: Decision,
    /// All questions of the decision, in order: the gates that were raised, the general questions, what is left out.
    pub gates: Vec<Gate>,
    /// Every danger that fired, gravest first.
    pub dangers: Vec<Fired>,
    /// What has to be said.
    pub findings: Vec<Finding>,
}

/// Judges a job.
#[must_use]
pub fn judge(job: &Job<'_>, worked: &Worked) -> Judgement {
    let case = Case { job, worked, asked: true };
    let (mut gates, mut findings) = gates::judge(&case);
    let (general, said) = questions::general(&case, &gates);
    let (missing, asked) = questions::missing(&case);
    gates.extend(general);
    gates.extend(missing);
    findings.extend(said);
    findings.extend(asked);
    findings.extend(identity::findings(&case));
    findings.extend(qualification::findings(&case));
    conclude(&case, gates, findings)
}

/// Judges what `settings` is told: what is stated is judged as in a spec, and what is left out is neither asked nor
/// taken for unknown. As nothing of [`not_asked`] was asked, the decision is never [`Decision::Go`].
#[must_use]
pub fn judge_settings(job: &Job<'_>, worked: &Worked) -> Judgement {
    let case = Case { job, worked, asked: false };
    let (gates, findings) = gates::judge(&case);
    conclude(&case, gates, findings)
}

fn conclude(case: &Case<'_>, gates: Vec<Gate>, mut findings: Vec<Finding>) -> Judgement {
    let facts = Facts::of(case);
    findings.extend(limits::findings(case, &facts));
    Judgement { decision: decide(case, &gates), gates, dangers: cautions::fire(&facts), findings }
}

fn decide(case: &Case<'_>, gates: &[Gate]) -> Decision {
    let any = |wanted: &[Answer]| gates.iter().any(|gate| wanted.contains(&gate.answer));
    if any(&[Answer::Refused]) {
        Decision::No
    } else if !case.asked || any(&[Answer::Unknown, Answer::Head]) || case.engine_refuses() {
        Decision::Caution
    } else {
        Decision::Go
    }
}
