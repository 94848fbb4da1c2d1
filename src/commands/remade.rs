//! A received sheet, made again from what rides in it, and what differs.

use super::batch::{self, Buffers};
use super::expand::{Document, Material};
use super::fault::Fault;
use super::kits::{Chosen, KitFile};
use super::received::is_json;
use super::write::{FaceName, render};
use crate::findings::{Code, Finding};
use crate::ledger::{Change, Papers, changes};
use crate::run::attempts::Earlier;
use crate::seal::parts;
use crate::seal::received::{Received, Touched};
use crate::seal::{Seal, figures_value};
use crate::sheet::entered;
use crate::sheet::words::english;
use crate::units::System;
use serde_json::Value;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What is to be said of a received sheet.
pub(crate) struct Verdict {
    /// What is wrong with it.
    pub(crate) findings: Vec<Finding>,
    /// Whether spec and kit are what was sealed, as far as can be told.
    pub(crate) trusted: bool,
    /// In one line.
    pub(crate) words: String,
}

/// A sheet as this program makes it of the spec and the kit of a received one.
struct Remade {
    seal: Seal,
    short: String,
    figures: Value,
    system: System,
    face: Vec<u8>,
}

/// Examines a sheet.
///
/// # Errors
/// [`Fault::Internal`], when the program failed at it.
pub(crate) fn examine(name: &str, received: &Received, bytes: &[u8]) -> Result<Verdict, Fault> {
    let version = env!("CARGO_PKG_VERSION");
    let tables = crate::reference::edition();
    let same_program = received.made_with("program") == Some(version) && received.made_with("tables") == Some(tables);
    let remade = remake(name, received, is_json(name))?;
    let seal_fits = remade.as_ref().is_some_and(|remade| remade.seal.hex() == received.seal);
    let mut touched = received.touched.clone().unwrap_or_default();
    let mut findings: Vec<Finding> =
        touched.iter().filter(|part| !matches!(part, Touched::Page(_))).map(of_part).collect();
    let (mut places, reads) = page(received, &touched, bytes, remade.as_ref(), same_program, is_json(name));
    // Figures that are not those of a seal which is right for spec and kit, whoever made the list of parts.
    let other_figures = places.iter().any(|place| place == FIGURES) || (seal_fits && received.holds == Some(false));
    places.retain(|place| place != FIGURES);
    if other_figures && !touched.contains(&Touched::Figures) {
        findings.push(of_part(&Touched::Figures));
        touched.push(Touched::Figures);
    }
    findings.extend(of_page(name, &places, reads));
    if findings.is_empty() && !received.whole {
        findings.push(
            Finding::new(Code::SealSheet, "it was changed after it was written, and where cannot be told")
                .note("it bears no list of its parts that is whole"),
        );
    }
    let sealed = received.holds == Some(true) || seal_fits;
    let seal_touched = touched.contains(&Touched::Seal);
    let inside = touched.iter().any(|part| matches!(part, Touched::Spec | Touched::Kit | Touched::Seal));
    if !sealed && !inside {
        findings.extend(of_seal(received, remade.as_ref(), same_program));
    }
    if sealed && !seal_fits && !same_program {
        findings.push(of_version(received, remade.as_ref()));
    }
    let other_version = received.holds.is_none() && !same_program && received.whole && remade.is_some();
    let trusted = !inside && (sealed || other_version);
    let findings: Vec<Finding> = findings.into_iter().map(with_help).collect();
    let bad = findings.iter().any(|finding| finding.code == Code::SealSheet);
    let of = identity(&received.spec);
    let short = if seal_touched { String::new() } else { format!(", seal {}", grouped(&received.seal)) };
    let words = match (bad, trusted, is_json(name)) {
        (true, true, _) => format!("{of}{short}: changed, but spec and kit are what was sealed"),
        (true, false, _) => format!("{of}{short}: changed after it was written"),
        (false, _, true) if sealed => format!("{of}{short}: the seal holds"),
        (false, _, _) if sealed => format!("{of}{short}: every byte is as it was written, and the seal holds"),
        (false, ..) => format!("{of}{short}: not checked to the end"),
    };
    Ok(Verdict { findings, trusted, words })
}

fn with_help(finding: Finding) -> Finding {
    let help = "ask for the sheet again, by another way; a seal shows tampering, it is not a signature";
    if finding.code == Code::SealSheet && finding.help.is_none() { finding.help(help) } else { finding }
}

/// Number and revision, as the spec bears them.
fn identity(spec: &str) -> String {
    let (read, _) = crate::spec::read(spec);
    read.map_or_else(
        || "a spec that cannot be read".to_owned(),
        |spec| {
            let procedure = &spec.procedure.value;
            format!("{} revision {}", procedure.number.value.0, procedure.revision.value.0)
        },
    )
}

fn grouped(seal: &str) -> String {
    let digits: Vec<char> = seal.chars().filter(char::is_ascii_hexdigit).take(12).collect();
    digits.chunks(4).map(|group| group.iter().collect::<String>()).collect::<Vec<_>>().join(" ")
}

/// Makes the sheet again; none where the spec gives no sheet.
fn remake(name: &str, received: &Received, json: bool) -> Result<Option<Remade>, Fault> {
    let kit_name = format!("{name} (its kit)");
    let kit = received.kit.as_ref();
    let kit = kit.map_or(Chosen::None, |kit| Chosen::One(Arc::new(KitFile::of_text(&kit_name, kit))));
    let made = |key: &str| received.made.as_ref().and_then(|made| made.get(key));
    let system = match received.made_with("units") {
        Some("inch") => Some(System::Inch),
        Some(_) => Some(System::Metric),
        None => None,
    };
    let earlier = made("earlier").and_then(|earlier| {
        let from = earlier.get("from")?.as_array()?.iter().filter_map(Value::as_str).map(str::to_owned).collect();
        Some(Earlier { failed: earlier.get("failed")?.as_i64()?, from })
    });
    let papers: Papers =
        made("ledger").and_then(|papers| serde_json::from_value(papers.clone()).ok()).unwrap_or_default();
    let done = batch::catch(name, || {
        let document = Document::read(name, received.spec.as_bytes(), kit.clone()).after(earlier).papers(papers);
        let expanded = document.expand(system);
        let material = expanded.material()?;
        let mut buffers = Buffers::default();
        let face = if json { FaceName::Json } else { FaceName::Html };
        let done = render(&material, &expanded.findings, &document.sources(), &[face], None, &mut buffers);
        let Material { job, worked, .. } = material;
        let seal = material.seal();
        Some(done.map(|_| Remade {
            short: seal.short(),
            seal,
            figures: figures_value(&worked.figures),
            system: job.system,
            face: std::mem::take(if json { &mut buffers.json } else { &mut buffers.html }),
        }))
    });
    match done {
        Ok(made) => made.transpose(),
        Err(finding) => Err(Fault::Internal(finding.message)),
    }
}

/// The part of the page that holds the figures in its data.
const FIGURES: &str = "figures";

fn of_part(part: &Touched) -> Finding {
    let what = match part {
        Touched::Spec => "the spec that rides in it was changed",
        Touched::Kit => "the kit that rides in it was changed",
        Touched::Figures => "the figures in its data were changed",
        Touched::Seal => "the seal in its data was changed",
        Touched::Page(_) => "the page was changed",
    };
    Finding::new(Code::SealSheet, what)
}

/// The places of the page that were changed, and how the first of them reads: here, and as its spec gives it.
type Reads = Option<(String, String)>;

fn page(
    received: &Received,
    touched: &[Touched],
    bytes: &[u8],
    remade: Option<&Remade>,
    same_program: bool,
    json: bool,
) -> (Vec<String>, Reads) {
    let mut places: Vec<String> = touched
        .iter()
        .filter_map(|part| if let Touched::Page(place) = part { Some(place.clone()) } else { None })
        .collect();
    let inside = touched.iter().any(|part| matches!(part, Touched::Spec | Touched::Kit));
    // Another program makes another page of the same spec, and so does another spec.
    let Some(remade) = remade.filter(|remade| same_program && !inside && remade.seal.hex() == received.seal) else {
        return (places, None);
    };
    if json {
        return json_places(bytes, &remade.face);
    }
    let (Some(here), Some(there)) = (parts::of(bytes), parts::of(&remade.face)) else { return (places, None) };
    let by_name = |parts: &[(parts::Part, usize)], bytes: &[u8]| {
        let mut names: BTreeMap<String, Vec<u8>> = BTreeMap::new();
        for (part, at) in parts.iter().filter(|(part, _)| !matches!(part.name.as_str(), "digest" | "parts")) {
            let text = bytes.get(*at..at + part.length).unwrap_or_default();
            names.entry(part.name.clone()).or_default().extend_from_slice(text);
        }
        names
    };
    let (here, there) = (by_name(&here, bytes), by_name(&there, &remade.face));
    let mut reads = None;
    for name in here.keys().chain(there.keys()) {
        let (own, other) = (here.get(name), there.get(name));
        if own == other || matches!(name.as_str(), "spec" | "kit" | "seal") {
            continue;
        }
        if !places.contains(name) {
            places.push(name.clone());
        }
        if name != FIGURES {
            reads = reads.or_else(|| Some(snippets(own?, other?)));
        }
    }
    (places, reads)
}

/// The words round the first byte that differs, of both.
fn snippets(own: &[u8], other: &[u8]) -> (String, String) {
    let first = own.iter().zip(other).position(|(a, b)| a != b).unwrap_or(own.len().min(other.len()));
    let begin = own.get(..first).unwrap_or_default().iter().rposition(|byte| matches!(byte, b'>' | b'\n'));
    let begin = begin.map_or(0, |at| at + 1).max(first.saturating_sub(40));
    let text = |bytes: &[u8]| {
        let rest = bytes.get(begin..).unwrap_or_default();
        let end = rest.iter().skip(first - begin).position(|byte| matches!(byte, b'<' | b'\n'));
        let end = end.map_or(rest.len(), |at| at + first - begin).min(first - begin + 40);
        let text = String::from_utf8_lossy(rest.get(..end).unwrap_or_default());
        text.trim_matches([char::REPLACEMENT_CHARACTER, ' ']).to_owned()
    };
    (text(own), text(other))
}

/// The keys of a JSON sheet that differ from those that its spec gives; findings name files, and are left out.
fn json_places(bytes: &[u8], face: &[u8]) -> (Vec<String>, Reads) {
    let read = |bytes: &[u8]| serde_json::from_slice::<Value>(bytes).unwrap_or_default();
    let (own, other) = (read(bytes), read(face));
    let mut all = Vec::new();
    differing("", &own, &other, &mut all);
    all.retain(|(path, ..)| !path.starts_with("findings"));
    let places = all.iter().map(|(path, ..)| path.clone()).collect();
    let text = |value: &Value| match value {
        Value::String(text) => text.clone(),
        value => value.to_string(),
    };
    let reads = all.first().map(|(_, own, other)| (text(own), text(other)));
    (places, reads)
}

fn differing(path: &str, own: &Value, other: &Value, out: &mut Vec<(String, Value, Value)>) {
    let below = |key: &str| if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") };
    match (own, other) {
        (own, other) if own == other => {}
        (Value::Object(a), Value::Object(b)) => {
            let keys: std::collections::BTreeSet<&String> = a.keys().chain(b.keys()).collect();
            for key in keys {
                let value = |table: &serde_json::Map<String, Value>| table.get(key).cloned().unwrap_or_default();
                differing(&below(key), &value(a), &value(b), out);
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (at, (own, other)) in a.iter().zip(b).enumerate() {
                differing(&below(&at.to_string()), own, other, out);
            }
        }
        (own, other) => out.push((path.to_owned(), own.clone(), other.clone())),
    }
}

/// Places that are named; how many more there are is said.
const PLACES: usize = 6;

fn of_page(name: &str, places: &[String], reads: Reads) -> Option<Finding> {
    if places.is_empty() {
        return None;
    }
    let worded = |place: &String| if is_json(name) { place.clone() } else { place_words(place) };
    let mut named: Vec<String> = places.iter().take(PLACES).map(worded).collect();
    if let Some(more) = places.len().checked_sub(PLACES).filter(|more| *more > 0) {
        named.push(format!("{more} more"));
    }
    let what = if is_json(name) { "the data" } else { "the page" };
    let finding = Finding::new(Code::SealSheet, format!("{what} was changed: {}", named.join(", ")));
    Some(match reads {
        Some((own, other)) if own != other => {
            finding.note(format!("it reads \"{own}\"")).note(format!("its spec and kit give \"{other}\""))
        }
        _ => finding,
    })
}

/// A part of the page in words.
fn place_words(place: &str) -> String {
    if let Some(id) = place.strip_prefix("section-") {
        let title = english().get("sections", &format!("title/{id}")).unwrap_or_default();
        return if title.is_empty() { format!("section {id}") } else { format!("section {id}, {title}") };
    }
    match place {
        "head" => "its head, which no reader sees",
        "heading" => "the heading",
        "foot" => "its end: marks and script",
        "data" => "its data beside the figures",
        "digest" => "its own digest",
        "parts" => "the list of its parts",
        other => other,
    }
    .to_owned()
}

/// A seal that is not that of what rides in the sheet.
fn of_seal(received: &Received, remade: Option<&Remade>, same_program: bool) -> Option<Finding> {
    let Some(remade) = remade else {
        return Some(
            Finding::new(Code::SealSheet, "the seal is not that of the spec, the kit and the figures that ride in it")
                .note("the spec gives no sheet"),
        );
    };
    if received.holds.is_none() && !same_program {
        return Some(of_version(received, Some(remade)));
    }
    let finding =
        Finding::new(Code::SealSheet, "the seal is not that of the spec, the kit and the figures that ride in it");
    let finding = finding.note(format!("made again from its spec and its kit, the seal is {}", remade.short));
    Some(with_figures(finding, received, remade))
}

fn figures_changed(received: &Received, remade: &Remade) -> Vec<Change> {
    let map = |value: &Value| value.as_object().into_iter().flatten().map(|(k, v)| (k.clone(), v.clone())).collect();
    received.sealed.as_ref().map_or_else(Vec::new, |sealed| changes(&map(sealed), &map(&remade.figures)))
}

fn with_figures(finding: Finding, received: &Received, remade: &Remade) -> Finding {
    let told = entered::told(&figures_changed(received, remade), remade.system);
    told.into_iter().fold(finding, |finding, change| finding.note(format!("figure: {change}")))
}

/// A sheet that another version of the program wrote.
fn of_version(received: &Received, remade: Option<&Remade>) -> Finding {
    let made = |key| received.made_with(key).unwrap_or("unknown");
    let finding =
        Finding::new(Code::SealDoubt, "another version of the program wrote it, and works figures out otherwise").note(
            format!(
                "it was written by {} with tables {}; this is {} with tables {}",
                made("program"),
                made("tables"),
                env!("CARGO_PKG_VERSION"),
                crate::reference::edition()
            ),
        );
    match remade {
        Some(remade) => with_figures(finding, received, remade),
        None => finding.note("this version makes no sheet of its spec"),
    }
}
