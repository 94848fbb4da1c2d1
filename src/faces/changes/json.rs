//! A comparison of two revisions as JSON.

use super::{cause, plain_name, worth};
use crate::changes::{Changes, Judged, Revision, Setting};
use crate::faces::json::print::print;
use crate::faces::json::ruling::RulingJson;
use serde::Serialize;

#[derive(Serialize)]
struct ChangesJson<'a> {
    format: u8,
    old: RevisionJson<'a>,
    new: RevisionJson<'a>,
    /// Whether job or settings differ.
    differs: bool,
    /// Whether the texts differ and mean the same.
    only_text: bool,
    job: Vec<InputJson<'a>>,
    respelt: &'a [String],
    settings: Vec<SettingJson<'a>>,
    unchanged: Vec<&'static str>,
    standards: Vec<StandardJson<'a>>,
    not_held: &'a [String],
}

#[derive(Serialize)]
struct RevisionJson<'a> {
    number: &'a str,
    revision: &'a str,
    date: Option<&'a str>,
    reason: Option<&'a str>,
}

#[derive(Serialize)]
struct InputJson<'a> {
    key: &'a str,
    name: String,
    old: Option<&'a str>,
    new: Option<&'a str>,
}

#[derive(Serialize)]
struct SettingJson<'a> {
    figure: &'static str,
    old: String,
    new: String,
    inputs: Vec<&'a str>,
    by_way_of: Vec<&'static str>,
    moved_by: String,
}

#[derive(Serialize)]
struct StandardJson<'a> {
    standard: &'a str,
    record: Option<&'a str>,
    /// Whether a test piece is on record; else the older revision stands in for one.
    tested: bool,
    rulings: Vec<RulingJson<'a>>,
    unchanged: Vec<&'static str>,
}

impl<'a> RevisionJson<'a> {
    fn of(revision: &'a Revision) -> Self {
        RevisionJson {
            number: &revision.number,
            revision: &revision.revision,
            date: revision.date.as_deref(),
            reason: revision.reason.as_deref(),
        }
    }
}

impl<'a> SettingJson<'a> {
    fn of(setting: &'a Setting, changes: &'a Changes) -> Self {
        let (old, new) = worth::pair(setting, changes.system);
        let inputs = setting.inputs.iter().filter_map(|index| changes.job.get(*index));
        SettingJson {
            figure: setting.name.key(),
            old,
            new,
            inputs: inputs.map(|input| input.key.as_str()).collect(),
            by_way_of: setting.by_way_of.iter().map(|name| name.key()).collect(),
            moved_by: cause(changes, setting),
        }
    }
}

impl<'a> StandardJson<'a> {
    fn of(judged: &'a Judged, changes: &Changes) -> Self {
        StandardJson {
            standard: &judged.standard.name,
            record: judged.record.as_deref(),
            tested: judged.tested,
            rulings: judged.rulings.iter().map(|ruling| RulingJson::of(ruling, changes.system)).collect(),
            unchanged: judged.unchanged.iter().map(|variable| variable.word()).collect(),
        }
    }
}

/// The JSON text.
#[must_use]
pub fn json(changes: &Changes) -> String {
    let job = changes.job.iter().map(|input| InputJson {
        key: &input.key,
        name: plain_name(&input.key),
        old: input.old.as_deref(),
        new: input.new.as_deref(),
    });
    print(&ChangesJson {
        format: 1,
        old: RevisionJson::of(&changes.old),
        new: RevisionJson::of(&changes.new),
        differs: changes.any(),
        only_text: changes.text_differs && !changes.any(),
        job: job.collect(),
        respelt: &changes.respelt,
        settings: changes.settings.iter().map(|setting| SettingJson::of(setting, changes)).collect(),
        unchanged: changes.unchanged.iter().map(|name| name.key()).collect(),
        standards: changes.judged.iter().map(|judged| StandardJson::of(judged, changes)).collect(),
        not_held: &changes.not_held,
    })
}
