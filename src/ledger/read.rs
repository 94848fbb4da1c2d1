//! Reading a ledger: every line is checked for itself, against the line before it, and against the entries of its number.

use super::entry::{BEGIN, Entry, Fault, State};
use super::{FILE_BYTES, LINE_BYTES, NAME, NO_LINE, order};
use crate::findings::{Code, Finding, any_error};
use crate::seal::hex;
use std::cmp::Ordering;

/// Most findings of one ledger; after the first few the rest are echoes.
const FINDINGS: usize = 20;
const FROM_HISTORY: &str = "take the file out of the history that git keeps of it: git log -p interpass.ledger.jsonl";

/// A ledger that was read.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// Entries that could be read, each with the number of its line, in order.
    pub entries: Vec<(usize, Entry)>,
    /// What is wrong with it.
    pub findings: Vec<Finding>,
    /// What stands after its last line feed.
    pub tail: Option<Tail>,
    /// Digests of its lines, in order.
    pub digests: Vec<String>,
    /// Lines that were read.
    pub lines: usize,
}

/// A last line without a line feed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Tail {
    /// The beginning of an entry, from this byte on: whoever wrote it was stopped in the middle, and never said that it
    /// was entered.
    Cut {
        /// Where it begins.
        at: usize,
    },
    /// A whole entry that lacks its line feed alone. It counts.
    Whole,
}

impl Ledger {
    /// Whether nothing is wrong with what it holds; a last line that was cut off in the middle is none of it.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        !any_error(&self.findings)
    }

    /// Digest of its last line; none where it has none.
    #[must_use]
    pub fn last(&self) -> Option<&str> {
        self.digests.last().map(String::as_str)
    }

    /// The entries of a number, in order.
    pub fn of<'a>(&'a self, number: &str) -> impl DoubleEndedIterator<Item = &'a Entry> {
        self.entries.iter().map(|(_, entry)| entry).filter(move |entry| entry.number == number)
    }
}

/// Reads the bytes of a ledger.
#[must_use]
pub fn read(bytes: &[u8]) -> Ledger {
    let mut reading = Reading::default();
    if bytes.len() > FILE_BYTES {
        reading.say(
            Code::LedgerSize,
            format!("{NAME} is larger than any ledger: more than {FILE_BYTES} bytes"),
            "check that the right file lies there",
        );
        return reading.ledger;
    }
    let mut at = 0;
    while let Some(length) = bytes.get(at..).and_then(|rest| rest.iter().position(|byte| *byte == b'\n')) {
        reading.line(bytes.get(at..at + length).unwrap_or_default());
        at += length + 1;
    }
    let tail = bytes.get(at..).unwrap_or_default();
    if !tail.is_empty() {
        reading.tail(at, tail);
    }
    reading.ledger.findings.truncate(FINDINGS);
    reading.ledger
}

/// A ledger while it is read.
#[derive(Debug, Default)]
struct Reading {
    ledger: Ledger,
    /// Whether the line before is damaged, so that what does not fit it is no news.
    damaged: bool,
}

impl Reading {
    fn say(&mut self, code: Code, message: String, help: &str) {
        self.ledger.findings.push(Finding::new(code, message).help(help));
    }

    fn line(&mut self, line: &[u8]) {
        self.ledger.lines += 1;
        let number = self.ledger.lines;
        let read = if line.len() > LINE_BYTES {
            self.say(Code::LedgerSize, format!("line {number} of {NAME} is longer than any entry"), FROM_HISTORY);
            None
        } else {
            match Entry::read(line) {
                Ok(read) => Some(read),
                Err(fault) => {
                    self.ledger.findings.push(of_line(number, line, &fault));
                    None
                }
            }
        };
        let digest = hex(line);
        let damaged = read.is_none();
        if let Some((entry, before)) = read {
            self.check(number, &entry, &before);
            self.ledger.entries.push((number, entry));
        }
        self.damaged = damaged;
        self.ledger.digests.push(digest);
    }

    fn tail(&mut self, at: usize, tail: &[u8]) {
        let number = self.ledger.lines + 1;
        match Entry::read(tail) {
            Ok(_) => {
                self.line(tail);
                self.ledger.tail = Some(Tail::Whole);
                self.ledger.findings.push(
                    Finding::new(Code::LedgerTorn, format!("line {number} of {NAME} lacks its line feed"))
                        .note("the entry is whole and counts")
                        .help("nothing: the next interpass issue puts the line feed there"),
                );
            }
            Err(Fault::Json { cut: true, .. }) if tail.starts_with(BEGIN) || BEGIN.starts_with(tail) => {
                self.ledger.tail = Some(Tail::Cut { at });
                self.ledger.findings.push(cut(number, tail));
            }
            Err(_) => self.line(tail),
        }
    }

    /// Checks an entry against the line before it and the entries of its number.
    fn check(&mut self, line: usize, entry: &Entry, before: &str) {
        let Entry { number, revision, .. } = entry;
        let name = format!("line {line} of {NAME}: {number} revision {revision}");
        let same = |other: &&(usize, Entry)| {
            other.1.number == *number && other.1.revision == *revision && other.1.state == entry.state
        };
        if let Some((first, _)) = self.ledger.entries.iter().find(same) {
            let message = format!("{name} is entered a second time; it stands in line {first}");
            self.say(Code::LedgerTwice, message, FROM_HISTORY);
            return;
        }
        let expected = self.ledger.last().unwrap_or(NO_LINE);
        if before != expected && !self.damaged {
            self.chain(line, before);
            return;
        }
        let Some(last) = self.ledger.entries.iter().rev().map(|(_, entry)| entry).find(|other| other.number == *number)
        else {
            if entry.state == State::Withdrawn {
                self.say(Code::LedgerRevision, format!("{name} is withdrawn and was never issued"), FROM_HISTORY);
            }
            return;
        };
        let fits = match (entry.state, order(&last.revision, revision)) {
            (State::Issued, Some(Ordering::Less)) => true,
            (State::Withdrawn, Some(Ordering::Equal)) => last.state == State::Issued,
            _ => false,
        };
        let late = (entry.date < last.date).then(|| (entry.date, last.date, last.revision.clone()));
        if !fits {
            let message = format!("{name} comes after revision {}, which it cannot follow", last.revision);
            self.say(Code::LedgerRevision, message, FROM_HISTORY);
        }
        if let Some((date, other, revision)) = late {
            let message = format!("{name} bears the date {date}, before that of revision {revision}, {other}");
            self.say(Code::LedgerDate, message, FROM_HISTORY);
        }
    }

    /// A line that does not follow the one before it.
    fn chain(&mut self, line: usize, before: &str) {
        let found = match self.ledger.digests.iter().position(|digest| digest == before) {
            _ if before == NO_LINE => "it says that it is the first line".to_owned(),
            Some(other) => format!("it says that it follows line {}", other + 1),
            None => "the line that it follows is not there".to_owned(),
        };
        let finding =
            Finding::new(Code::LedgerChain, format!("line {line} of {NAME} does not follow the line before it"))
                .note(format!("{found}: lines were taken out, put in or moved"))
                .help(FROM_HISTORY);
        self.ledger.findings.push(finding);
    }
}

fn of_line(number: usize, line: &[u8], fault: &Fault) -> Finding {
    let whole = |code, message: String| Finding::new(code, message).help(FROM_HISTORY);
    match fault {
        Fault::Json { said, .. } => whole(Code::LedgerJson, format!("line {number} of {NAME} is not JSON: {said}")),
        Fault::Key(said) => whole(Code::LedgerKey, format!("line {number} of {NAME} is no entry: {said}")),
        Fault::Digest => {
            let finding =
                whole(Code::LedgerEdited, format!("line {number} of {NAME} was changed after it was written"));
            if line.strip_suffix(b"\r").is_some_and(|line| Entry::read(line).is_ok()) {
                return finding.note("only its line end was changed, to CR LF").help(
                    "write the line `interpass.ledger.jsonl -text` into .gitattributes, and check the file out again",
                );
            }
            finding.note("the digest at its end is not that of what stands before it")
        }
    }
}

fn cut(number: usize, tail: &[u8]) -> Finding {
    let text = String::from_utf8_lossy(tail);
    let begin = std::str::from_utf8(BEGIN).unwrap_or_default();
    let of = text.strip_prefix(begin).and_then(|rest| rest.split_once('"')).map(|(number, rest)| {
        let revision = rest.strip_prefix(",\"revision\":\"").and_then(|rest| rest.split_once('"'));
        revision.map_or_else(|| number.to_owned(), |(revision, _)| format!("{number} revision {revision}"))
    });
    let of = of.map_or_else(String::new, |of| format!(", the entry of {of},"));
    Finding::new(Code::LedgerTorn, format!("line {number} of {NAME}{of} ends in the middle"))
        .note("whoever wrote it was stopped before it was reported as entered; the lines before it are whole")
        .help("issue it again: interpass issue cuts the rest of the line off first. If it was reported as entered, take the file out of its history before that")
}
