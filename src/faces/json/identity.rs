//! Which procedure a JSON sheet is of, and where it stands.

use super::super::Answer;
use crate::ledger::Standing;
use crate::sheet::Sheet;
use serde::Serialize;

/// Which procedure, and where it stands.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Identity<'a> {
    number: &'a str,
    revision: &'a str,
    title: &'a str,
    status: &'static str,
    /// What the ledger says, where it says anything.
    #[serde(skip_serializing_if = "is_not_entered")]
    ledger: &'a Standing,
    #[serde(skip_serializing_if = "Option::is_none")]
    date: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    author: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reason: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    part: Option<&'a str>,
    metal: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    identified_by: Option<&'static str>,
    qualification: &'static str,
    banner: &'a str,
    meaning: &'a str,
    language: &'a str,
}

/// That of a sheet.
pub(super) fn identity<'a>(answer: &Answer<'a>, sheet: &'a Sheet) -> Identity<'a> {
    let spec = answer.job.spec;
    let procedure = &spec.procedure.value;
    let state = spec.qualification.state.as_ref().map(|at| at.value);
    Identity {
        number: &sheet.number,
        revision: &sheet.revision,
        title: &sheet.title,
        status: sheet.status,
        ledger: &sheet.papers.standing,
        date: procedure.date.as_ref().map(|at| at.value.0.to_string()),
        author: procedure.author.as_ref().map(|at| at.value.as_str()),
        reason: procedure.reason.as_ref().map(|at| at.value.as_str()),
        part: spec.part.name.as_ref().map(|at| at.value.as_str()),
        metal: &answer.job.base.shown,
        identified_by: spec.metal.identified_by.as_ref().map(|at| at.value.word()),
        qualification: state.unwrap_or(crate::spec::QualificationState::None).word(),
        banner: &sheet.banner,
        meaning: &sheet.decision_text,
        language: &sheet.lang,
    }
}

fn is_not_entered(standing: &&Standing) -> bool {
    **standing == Standing::NotEntered
}
