//! One object of JSON a line in, one a line out, in the same order: so that `xargs`, GNU parallel or the pipe operator of
//! a cluster engine can drive the program. A bad line is answered by its findings and stops nothing.

use super::batch::{Buffers, catch};
use super::expand::Document;
use super::fault::Fault;
use super::kits::{Chosen, Kits};
use super::out::Out;
use super::report;
use super::write::{FaceName, render};
use crate::findings::{Code, Finding, Severity, Sources, json};
use crate::units::System;
use rayon::prelude::*;
use serde_json::{Map, Value};
use std::io::{self, BufRead, Read};
use std::path::Path;
use std::sync::Arc;

/// Longest line: the largest spec with every character escaped.
const LINE_BYTES: usize = 6 * crate::spec::limits::FILE_BYTES + 4096;
/// Most lines that are worked on together.
const PART: usize = 256;

/// A reply to a line, and what it adds to the exit code.
pub(crate) struct Reply {
    /// The object, without the id of the line.
    pub(crate) object: Map<String, Value>,
    /// Its findings.
    pub(crate) codes: Vec<(Code, Severity)>,
}

impl Reply {
    /// The reply to a line that could not be worked on.
    pub(crate) fn of(finding: &Finding) -> Self {
        let mut object = Map::new();
        object.insert("findings".to_owned(), Value::Array(vec![json::value(finding, &Sources::new())]));
        Reply { object, codes: vec![(finding.code, finding.severity)] }
    }
}

/// Answers every line of standard input.
pub(crate) fn reply(
    out: &mut Out,
    work: impl Fn(&Map<String, Value>, &mut Buffers) -> Reply + Sync,
) -> Result<(), Fault> {
    let mut input = io::BufReader::with_capacity(1 << 20, io::stdin());
    let fault = |error| Fault::read(Path::new("standard input"), error);
    while let Some(lines) = batch(&mut input).map_err(fault)? {
        let answers: Vec<Option<(Value, Reply)>> = lines
            .par_iter()
            .map_init(Buffers::default, |buffers, line| line_answer(line, |object| work(object, buffers)))
            .collect();
        for (id, mut answer) in answers.into_iter().flatten() {
            out.status.count(answer.codes.iter().copied());
            let mut object = Map::new();
            object.insert("id".to_owned(), id);
            object.append(&mut answer.object);
            out.print(&json::safe(&Value::Object(object).to_string()))?;
            out.print("\n")?;
        }
        // Whoever waits for the answer before the next line gets it.
        out.flush()?;
    }
    Ok(())
}

/// A line as it came: its bytes, or that it was too long.
type Line = Option<Vec<u8>>;

/// The next line, and those that lie ready behind it, so that nobody waits for a line that has not been sent.
fn batch(input: &mut io::BufReader<impl Read>) -> io::Result<Option<Vec<Line>>> {
    let mut lines = Vec::new();
    let Some(first) = line(input)? else { return Ok(None) };
    lines.push(first);
    while lines.len() < PART && input.buffer().contains(&b'\n') {
        lines.extend(line(input)?);
    }
    Ok(Some(lines))
}

fn line(input: &mut impl BufRead) -> io::Result<Option<Line>> {
    let mut bytes = Vec::new();
    let read = input.take(LINE_BYTES as u64 + 1).read_until(b'\n', &mut bytes)?;
    if read == 0 {
        return Ok(None);
    }
    if bytes.last() == Some(&b'\n') {
        bytes.pop();
    } else if read > LINE_BYTES {
        input.skip_until(b'\n')?;
        return Ok(Some(None));
    }
    Ok(Some(Some(bytes)))
}

/// The id of a line and the answer to it; none to an empty line.
fn line_answer(line: &Line, work: impl FnOnce(&Map<String, Value>) -> Reply) -> Option<(Value, Reply)> {
    let Some(bytes) = line else {
        let message = format!("this line has more than {LINE_BYTES} bytes");
        return Some((Value::Null, Reply::of(&Finding::new(Code::SyntaxTooLarge, message))));
    };
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return None;
    }
    match serde_json::from_slice(bytes) {
        Ok(Value::Object(object)) => {
            let id = object.get("id").cloned().unwrap_or(Value::Null);
            let answer =
                catch("a line of standard input", || work(&object)).unwrap_or_else(|finding| Reply::of(&finding));
            Some((id, answer))
        }
        Ok(_) => {
            let finding =
                Finding::new(Code::SyntaxJson, "this line is not an object of JSON").help("write one { ... } a line");
            Some((Value::Null, Reply::of(&finding)))
        }
        Err(error) => {
            let finding = Finding::new(Code::SyntaxJson, format!("this line is not JSON: {error}"))
                .help("write one { ... } a line");
            Some((Value::Null, Reply::of(&finding)))
        }
    }
}

/// The finding of a key that a line may not have.
pub(crate) fn unknown_key(key: &str, known: &[&str]) -> Finding {
    let finding = Finding::new(Code::KeyUnknown, format!("a line has no key `{key}`"));
    let near = crate::spec::nearest::nearest(key, known.iter().copied());
    let finding = if let [one] = near.as_slice() { finding.note(format!("did you mean `{one}`?")) } else { finding };
    finding.help(format!("it takes {}", crate::spec::shape::and_list(known)))
}

/// Answers lines that hold specs: their findings, and the faces that were asked for.
pub(crate) fn specs(kits: &Kits, units: Option<System>, out: &mut Out, faces: &[FaceName]) -> Result<(), Fault> {
    let kit = kits.named().map_or(Chosen::None, |kit| Chosen::One(Arc::clone(kit)));
    reply(out, |line, buffers| match spec_of(line) {
        Ok((name, text)) => spec_answer(&Document::read(name, text.as_bytes(), kit.clone()), units, faces, buffers),
        Err(finding) => Reply::of(&finding),
    })
}

/// What a line is called that has no name.
const NAMELESS: &str = "spec";

/// Name and text of the spec in a line.
fn spec_of(line: &Map<String, Value>) -> Result<(&str, &str), Box<Finding>> {
    const KEYS: [&str; 3] = ["id", "name", "spec"];
    if let Some(key) = line.keys().find(|key| !KEYS.contains(&key.as_str())) {
        return Err(unknown_key(key, &KEYS).into());
    }
    let name = match line.get("name") {
        None | Some(Value::Null) => NAMELESS,
        Some(Value::String(name)) => name.as_str(),
        Some(_) => return Err(Finding::new(Code::KeyType, "`name` takes a text").into()),
    };
    match line.get("spec") {
        Some(Value::String(text)) => Ok((name, text)),
        Some(_) => Err(Finding::new(Code::KeyType, "`spec` takes the text of a spec").into()),
        None => Err(Finding::new(Code::KeyMissing, "the line has no `spec`")
            .help("add \"spec\": the text of a spec, in TOML")
            .into()),
    }
}

fn spec_answer(document: &Document, units: Option<System>, faces: &[FaceName], buffers: &mut Buffers) -> Reply {
    let expanded = document.expand(units);
    let mut findings = expanded.findings.clone();
    match &document.kit {
        Chosen::None => findings.push(super::kits::none_given()),
        Chosen::One(kit) => findings.extend(kit.findings.iter().cloned()),
        Chosen::Unknown(finding) => findings.push(finding.clone()),
    }
    let mut object = Map::new();
    object.insert("name".to_owned(), Value::from(document.name.clone()));
    if let Some(material) = expanded.material() {
        object.insert("decision".to_owned(), Value::from(material.judgement.decision.word()));
        if !faces.is_empty() {
            // A line that has a name gives the same bytes as the file of that name, and its drawings too.
            let file = document.name.rsplit(['/', '\\']).next().map(super::targets::stem);
            let file = file.filter(|stem| !stem.is_empty() && document.name != NAMELESS);
            match render(&material, &findings, &document.sources(), faces, file, buffers) {
                Ok(more) => {
                    findings.extend(more);
                    object.insert("faces".to_owned(), faces_value(faces, buffers));
                    if !buffers.drawings.is_empty() {
                        object.insert("drawings".to_owned(), drawings_value(buffers));
                    }
                }
                Err(fault) => findings.push(super::batch::of_fault(&fault)),
            }
        }
    }
    let sources = document.sources();
    let values = findings.iter().map(|finding| json::value(finding, &sources)).collect();
    object.insert("findings".to_owned(), values);
    let rendered = report::rendered(&findings, &sources, None, report::Form::Json);
    Reply { object, codes: rendered.findings }
}

/// The drawings that the Markdown names, each by its id as the text that its file would hold.
fn drawings_value(buffers: &Buffers) -> Value {
    let drawings = buffers.drawings.iter();
    drawings.map(|(id, bytes)| (id.clone(), Value::from(String::from_utf8_lossy(bytes)))).collect::<Map<_, _>>().into()
}

/// The faces, each as the text that its file would hold.
fn faces_value(faces: &[FaceName], buffers: &Buffers) -> Value {
    let face = |face: &FaceName| (face.key().to_owned(), Value::from(String::from_utf8_lossy(face.bytes(buffers))));
    // A card that there is not has no text.
    Value::Object(faces.iter().filter(|face| !face.bytes(buffers).is_empty()).map(face).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_line_is_answered_and_the_next_is_read() {
        let text = format!("{{\"id\": 1}}\nno json\n\n[1]\n{}\n{{\"id\": \"z\"}}", "x".repeat(LINE_BYTES + 10));
        let mut input = io::BufReader::with_capacity(1 << 16, text.as_bytes());
        let mut answers = Vec::new();
        while let Some(lines) = batch(&mut input).unwrap() {
            let work = |_: &Map<String, Value>| Reply { object: Map::new(), codes: Vec::new() };
            answers.extend(lines.iter().filter_map(|line| line_answer(line, work)));
        }
        let ids: Vec<&Value> = answers.iter().map(|(id, _)| id).collect();
        assert_eq!(ids, [&Value::from(1), &Value::Null, &Value::Null, &Value::Null, &Value::from("z")]);
        let codes: Vec<Option<Code>> =
            answers.iter().map(|(_, answer)| answer.codes.first().map(|(code, _)| *code)).collect();
        assert_eq!(codes, [None, Some(Code::SyntaxJson), Some(Code::SyntaxJson), Some(Code::SyntaxTooLarge), None]);
    }
}
