//! The cause: what broke a part asks for more than a weld, and each cause for something else.

use super::case::Case;
use super::{Answer, Gate};
use crate::spec::Cause;

/// What a cause asks of the decision.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asks {
    /// Key of its question in `templates/words/en/questions.toml`.
    pub question: &'static str,
    /// Whether work stops at a hold of its own until the answer is written down: a change of load, shape or
    /// surroundings without which it breaks again, or the cause itself.
    pub hold: bool,
    /// Whether more damage is looked for than shows: a wider zone is tested.
    pub wide: bool,
    /// Whether the part is tested for leaks, whatever else is stated.
    pub leak: bool,
}

/// What each cause asks; a cause that is left out is unknown.
#[must_use]
pub fn asks(cause: Option<Cause>) -> Asks {
    let (question, hold, wide, leak) = match cause {
        Some(Cause::Fatigue) => ("cause-fatigue", true, false, false),
        Some(Cause::Corrosion) => ("cause-corrosion", true, false, false),
        Some(Cause::StressCorrosion) => ("cause-stress-corrosion", true, true, false),
        Some(Cause::Overload) => ("cause-overload", false, false, false),
        Some(Cause::Impact) => ("cause-impact", false, true, false),
        Some(Cause::Wear) => ("cause-wear", false, false, false),
        Some(Cause::Freezing) => ("cause-freezing", false, true, true),
        Some(Cause::Thermal) => ("cause-thermal", false, false, false),
        Some(Cause::CastingDefect) => ("cause-casting-defect", false, true, false),
        Some(Cause::Unknown) | None => ("cause-unknown", true, false, false),
    };
    Asks { question, hold, wide, leak }
}

/// What the cause of this case asks.
#[must_use]
pub fn of(case: &Case<'_>) -> Asks {
    asks(case.spec().damage.cause.as_ref().map(|cause| cause.value))
}

/// The question of the cause. No spec can answer it: whoever agrees to the repair does.
#[must_use]
pub fn gate(case: &Case<'_>) -> Gate {
    Gate { key: of(case).question, answer: Answer::AtHold, args: Vec::new() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cause_asks_a_question_of_its_own() {
        let all: std::collections::BTreeSet<&str> =
            Cause::ALL.iter().map(|cause| asks(Some(*cause)).question).collect();
        assert_eq!(all.len(), Cause::ALL.len());
        assert_eq!(asks(None), asks(Some(Cause::Unknown)), "left out is unknown");
    }
}
