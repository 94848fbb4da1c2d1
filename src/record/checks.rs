//! The run as a whole, its inspections, holds and deviations against those of the sheet.

use super::{Group, Items, Verdict, essential, say};
use crate::findings::{At, Code, Finding, Severity};
use crate::run::attempts::rejected_hold;
use crate::run::{Outcome, RunInspection, RunRecord};
use crate::sheet::{Block, Sheet};

/// Digits of a seal that a sheet shows.
const SHOWN: usize = 12;

/// The first digits of a seal, without the spaces between its groups.
fn digits(seal: &str) -> String {
    seal.chars().filter(char::is_ascii_hexdigit).take(SHOWN).collect::<String>().to_lowercase()
}

/// Seal, date, welder, machine.
pub(super) fn head(all: &mut Items<'_>, run: &RunRecord, findings: &mut Vec<Finding>) {
    let (sheet, own) = (all.against.sheet, digits(all.against.seal));
    let run = &run.run;
    match &run.seal {
        Some(seal) => {
            let same = digits(seal) == own;
            let item = all.add(
                Group::Run,
                "run/seal",
                say("seal", &[]),
                if same { Verdict::Inside } else { Verdict::Outside },
            );
            (item.was, item.wanted, item.at) = (seal.value.clone(), sheet.seal.clone(), Some(seal.span));
            if !same {
                item.by = say("other-content", &[]);
                findings.push(
                    Finding::new(Code::RunSeal, "the run belongs to another content of this revision")
                        .at(seal.span)
                        .label(format!("the sheet's seal is {}", sheet.seal))
                        .help("set it against the sheet that lay at the bench: interpass record SHEET.html RUN"),
                );
            }
        }
        // Number and revision fit; a record typed by hand often leaves the seal out.
        None => findings.push(
            Finding::new(
                Code::RunSeal,
                "the record bears no seal, so it may belong to another content of this revision",
            )
            .severity(Severity::Note)
            .at(run.revision.span)
            .help(format!("copy it from the head of the sheet: seal = \"{}\", if that is the one", sheet.seal)),
        ),
    }
    let date = run.date.as_ref().map(|at| (at.value.0.to_string(), at.span));
    let welder = run.welder.as_ref().map(|at| (at.value.clone(), at.span));
    for (key, word, value) in [("run/date", "date", date), ("run/welder", "welder", welder)] {
        let verdict = if value.is_some() { Verdict::Inside } else { Verdict::Missing };
        let item = all.add(Group::Run, key, say(word, &[]), verdict);
        if let Some((text, span)) = value {
            (item.was, item.at) = (text, Some(span));
        }
    }
    machine(all, run.machine.as_ref());
}

fn machine(all: &mut Items<'_>, stated: Option<&At<String>>) {
    let wanted = all.against.sheet.run_form.machine.clone();
    let verdict = match stated {
        Some(stated) if wanted.is_empty() || stated.trim() == wanted.trim() => Verdict::Inside,
        Some(_) => Verdict::Outside,
        None if wanted.is_empty() => return,
        None => Verdict::Missing,
    };
    let item = all.add(Group::Run, "run/machine", say("machine", &[]), verdict);
    item.wanted = wanted;
    if let Some(stated) = stated {
        (item.was, item.at) = (stated.value.clone(), Some(stated.span));
    }
    if verdict == Verdict::Outside {
        item.by = say("other-machine", &[]);
    }
}

/// A sheet that refuses the repair allows no pass of it.
pub(super) fn refused(all: &mut Items<'_>) {
    all.add(Group::Run, "run/decision", say("decision", &[]), Verdict::Outside).by = say("refused", &[]);
}

/// Tests that the sheet asks for: when, and by which method.
fn tests(sheet: &Sheet) -> Vec<(String, String)> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    let tables = blocks.filter_map(|block| match block {
        Block::Table(table) if table.key == "tests" => Some(table),
        _ => None,
    });
    let row = |row: &Vec<crate::sheet::Cell>| match row.as_slice() {
        [when, method, ..] => Some((when.text.clone(), method.text.clone())),
        _ => None,
    };
    tables.flat_map(|table| table.rows.iter().filter_map(row)).collect()
}

/// The words of a moment in the work that tell it from others.
fn telling(when: &str) -> Vec<String> {
    const SMALL: [&str; 12] = ["after", "the", "up", "of", "weld", "pass", "at", "on", "first", "test", "run", "and"];
    let when = when.to_lowercase();
    let words = when.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty() && !SMALL.contains(word));
    words.map(str::to_owned).collect()
}

/// Whether an inspection of the record is this test of the sheet, in its own words or in those of the bench.
fn is_test(one: &RunInspection, when: &str, method: &str) -> bool {
    let wanted = telling(when);
    let method_fits = one.method.as_ref().is_none_or(|own| {
        let own = own.to_lowercase();
        own.contains(method) || method.contains(own.trim()) || own.contains("dye") && method == "penetrant"
    });
    method_fits && telling(&one.when).iter().any(|word| wanted.contains(word))
}

/// Inspections against the tests that the sheet asks for.
pub(super) fn inspections(all: &mut Items<'_>, run: &RunRecord) {
    let mut left: Vec<&At<RunInspection>> = run.inspection.iter().collect();
    for ((when, method), number) in tests(all.against.sheet).into_iter().zip(1..) {
        let place = left.iter().position(|one| is_test(one, &when, &method));
        let found = place.map(|place| left.remove(place));
        let result = found.and_then(|one| one.result.as_ref().map(|at| at.value));
        let subject = say("test", &[&when, &method]);
        let item = all.add(Group::Inspection, format!("test/{number}/result"), subject, of(result));
        item.was = result.map(|result| result.word().to_owned()).unwrap_or_default();
        item.wanted = Outcome::Accepted.word().to_owned();
        item.at = found.map(|one| one.span);
    }
    for (one, number) in left.into_iter().zip(1..) {
        let method = one.method.as_ref().map_or("", |at| at.value.as_str());
        let subject = if method.is_empty() { one.when.value.clone() } else { say("test", &[&one.when, method]) };
        let result = one.result.as_ref().map(|at| at.value);
        let item = all.add(Group::Inspection, format!("test/more/{number}"), subject, of(result));
        item.was = result.map(|result| result.word().to_owned()).unwrap_or_default();
        (item.by, item.at) = (say("not-asked", &[]), Some(one.span));
    }
}

fn of(result: Option<Outcome>) -> Verdict {
    match result {
        Some(Outcome::Accepted) => Verdict::Inside,
        Some(Outcome::Rejected) => Verdict::Rejected,
        Some(Outcome::NotDone) => Verdict::NotDone,
        None => Verdict::Missing,
    }
}

/// Holds: released by whom and when, rejected, or passed by.
pub(super) fn holds(all: &mut Items<'_>, run: &RunRecord) {
    let blocks = all.against.sheet.sections.iter().flat_map(|section| &section.blocks);
    let asked: Vec<&str> =
        blocks.filter_map(|block| if let Block::Hold(hold) = block { Some(hold.id.as_str()) } else { None }).collect();
    for id in &asked {
        let found = run.hold.iter().find(|hold| hold.id.0 == *id);
        let by = found.and_then(|hold| hold.released_by.as_ref()).map(|at| at.value.clone());
        let time = found.and_then(|hold| hold.time.as_ref()).map(|at| at.value.clone());
        let rejected = run.deviation.iter().any(|one| rejected_hold(&one.what) == Some(id));
        let (verdict, why) = match (&by, &time) {
            _ if rejected => (Verdict::Rejected, ""),
            (None, _) => (Verdict::NotDone, "not-released"),
            (Some(_), None) => (Verdict::Missing, "no-time"),
            (Some(_), Some(_)) => (Verdict::Inside, ""),
        };
        let item = all.add(Group::Hold, *id, say("hold", &[id]), verdict);
        item.was = by.into_iter().chain(time).collect::<Vec<_>>().join(", ");
        item.by = if why.is_empty() { String::new() } else { say(why, &[]) };
        item.at = found.map(|hold| hold.id.span);
    }
    for hold in run.hold.iter().filter(|hold| !asked.contains(&hold.id.0.as_str())) {
        let item = all.add(Group::Hold, hold.id.0.as_str(), say("hold", &[&hold.id.0]), Verdict::Outside);
        item.was = hold.released_by.as_ref().map(|at| at.value.clone()).unwrap_or_default();
        (item.by, item.at) = (say("no-such-hold", &[]), Some(hold.id.span));
    }
}

/// What the welder says was done otherwise.
pub(super) fn deviations(all: &mut Items<'_>, run: &RunRecord) {
    let others = run.deviation.iter().filter(|one| rejected_hold(&one.what).is_none());
    for (one, number) in others.zip(1..) {
        let meaning = all.standard().map(|standard| essential::of_words(&one.what, standard));
        let item = all.add(Group::Deviation, format!("deviation/{number}"), say("otherwise", &[]), Verdict::Outside);
        item.was = one.what.value.clone();
        item.by = one.because.as_ref().map(|at| at.value.clone()).unwrap_or_else(|| say("no-reason", &[]));
        item.essential = meaning.unwrap_or_default();
        item.at = Some(one.what.span);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_of_the_work_in_the_words_of_the_bench() {
        let one = |when: &str, method: &str| -> RunInspection {
            let text = format!(
                "format = 1\n[run]\nprocedure = \"A\"\nrevision = \"A\"\n[[inspection]]\nwhen = \"{when}\"\nmethod = \"{method}\"\n"
            );
            crate::run::read(&text).0.unwrap().inspection.first().unwrap().value.clone()
        };
        assert!(is_test(&one("after opening", "penetrant"), "after opening up", "penetrant"));
        assert!(is_test(&one("after root", "visual"), "after the root", "visual"));
        assert!(is_test(&one("final weld, finished", "dye"), "finished weld", "penetrant"));
        assert!(!is_test(&one("after root", "penetrant"), "after the root", "visual"));
        assert!(!is_test(&one("after the weld", "visual"), "finished weld", "visual"), "small words tell nothing");
    }

    #[test]
    fn seals_are_compared_by_what_a_sheet_shows() {
        assert_eq!(digits("5e0c 41b7 92da"), digits("5E0C41B792DA00ff"));
        assert_ne!(digits("5e0c 41b7 92da"), digits("5e0c 41b7 92db"));
    }
}
