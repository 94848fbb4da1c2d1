//! The sense of a run record, as far as it can be told without the sheet.

use super::types::{RunPass, RunRecord};
use crate::findings::{At, Code, Finding, Severity};
use crate::spec::read::Unread;
use jiff::civil::DateTime;

/// Everything that the language has to say about a run record as a whole.
#[must_use]
pub fn findings(record: &RunRecord, _unread: &Unread) -> Vec<Finding> {
    let mut found = Vec::new();
    passes(&record.pass, &mut found);
    if let Some(seal) = &record.run.seal {
        found.extend(seal_form(seal));
    }
    for hold in &record.hold {
        found.extend(hold.time.as_ref().and_then(time_form));
    }
    found
}

fn passes(passes: &[At<RunPass>], found: &mut Vec<Finding>) {
    for (index, pass) in passes.iter().enumerate() {
        let earlier = passes.iter().take(index).find(|earlier| earlier.number.value == pass.number.value);
        if let Some(earlier) = earlier {
            found.push(
                Finding::new(Code::NameTwice, format!("pass {} stands twice", pass.number.value))
                    .severity(Severity::Warning)
                    .at(pass.number.span)
                    .label("the second of its number")
                    .related(earlier.number.span, "the first")
                    .help("a pass that was dug out and run again is told in its `note`"),
            );
        }
    }
}

/// A seal is copied from a sheet: hexadecimal digits, in groups or not.
fn seal_form(seal: &At<String>) -> Option<Finding> {
    let digits: Vec<char> = seal.chars().filter(|c| *c != ' ').collect();
    let fits = (12..=64).contains(&digits.len()) && digits.iter().all(char::is_ascii_hexdigit);
    (!fits).then(|| {
        Finding::new(Code::RunPlace, "this is not the seal of a sheet")
            .at(seal.span)
            .label("a seal has 12 digits or more, 0 to 9 and a to f")
            .help("copy it from the head of the sheet, such as \"5e0c 41b7 92da\"")
    })
}

fn time_form(time: &At<String>) -> Option<Finding> {
    // The reader of times wants a T between date and time, people write a space.
    let read = time.replacen(' ', "T", 1).parse::<DateTime>();
    let whole = time.len() >= "2026-10-05 14:20".len();
    (read.is_err() || !whole).then(|| {
        Finding::new(Code::KeyDate, format!("\"{}\" is not a day with a time", time.value))
            .at(time.span)
            .label("when was it?")
            .help("write day and time, such as \"2026-10-05 14:20\"")
    })
}
