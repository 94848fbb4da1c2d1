//! What must be said: gates, questions, cautions. No number is worked out here.

use crate::engine::{Job, Worked};
use crate::findings::Finding;
use crate::reference::Hazard;

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
    /// The spec leaves it out: a blank at the bench.
    Unknown,
    /// The spec answers it, and it heads the sheet.
    Head,
    /// The spec answers it, and the repair is refused.
    Refused,
    /// Refused, but for a qualified procedure and an approval that are both given.
    Approved,
}

/// One question of the decision with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Gate {
    /// Key of its words in `templates/words/en/gates.toml`.
    pub key: &'static str,
    /// How it was answered.
    pub answer: Answer,
    /// What fills the blanks of its words.
    pub args: Vec<String>,
}

/// A danger that this job raises.
#[derive(Debug, Clone)]
pub struct Fired {
    /// The row of the table.
    pub hazard: &'static Hazard,
    /// The trigger that raised it.
    pub trigger: &'static str,
}

/// What the rules say of a job.
#[derive(Debug, Clone)]
pub struct Judgement {
    /// Whether work may start.
    pub decision: Decision,
    /// All questions of the decision, in order.
    pub gates: Vec<Gate>,
    /// Every danger that fired, gravest first.
    pub dangers: Vec<Fired>,
    /// What has to be said.
    pub findings: Vec<Finding>,
}

/// Judges a job.
#[must_use]
pub fn judge(job: &Job<'_>, worked: &Worked) -> Judgement {
    let _ = (job, worked);
    Judgement { decision: Decision::Caution, gates: Vec::new(), dangers: Vec::new(), findings: Vec::new() }
}
