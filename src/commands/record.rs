//! `record`: sets what was really run against the sheet, keeps it, and puts many runs together.

use super::batch;
use super::expand::{Document, Material};
use super::fault::Fault;
use super::inputs::{self, Input, RUN_END};
use super::kept::{self, Keeping};
use super::kits::{Chosen, KitFile, Kits};
use super::out::Out;
use super::received;
use super::report::{self, Form, KitsTold};
use super::targets::Folder;
use super::write::Units;
use crate::faces::json::print;
use crate::faces::record as faces;
use crate::findings::{Code, File, Finding, Severity, Sources, any_error, json};
use crate::record::{self, Against, Comparison, Summary};
use crate::run::attempts::Earlier;
use crate::run::{self, RunRecord};
use crate::seal::received::Received;
use crate::spec::shown_text;
use crate::units::System;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// What `record` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass record specs/hw-008.repair.toml specs/runs/*08-03-1.run.toml\n  \
    interpass record specs/hw-008.repair.toml specs/runs/*08-0?-1.* --as md\n\
    A run record is typed by hand (see interpass schema run) or saved from the page. Several records give a summary.\n\
    Exit code 0: all inside and complete; 1: something is outside, missing or rejected; 2: something could not be read.")]
pub(crate) struct Args {
    /// The spec, or a sheet that was received: HTML or JSON.
    #[arg(value_name = "SHEET-or-SPEC")]
    sheet: PathBuf,
    /// Run records, or folders of them; `-` is standard input.
    #[arg(value_name = "RUN", required = true)]
    runs: Vec<PathBuf>,
    /// The shop's kit; else the only *.kit.toml in the folder of the spec or the nearest folder above it. A received
    /// sheet carries its own.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// Which faces are made; one goes to standard output.
    #[arg(long = "as", value_enum, value_delimiter = ',', value_name = "FACES")]
    faces: Vec<FaceName>,
    /// The same as `--as json`.
    #[arg(long, conflicts_with = "faces")]
    json: bool,
    /// The folder that the faces are written to: NAME.record.html of a run, NAME.runs.html of a summary.
    #[arg(long, value_name = "DIR")]
    to: Option<PathBuf>,
    /// The system of units that comes first.
    #[arg(long, value_enum, value_name = "SYSTEM")]
    units: Option<Units>,
    /// Put the records together, even a single one.
    #[arg(long)]
    summary: bool,
    /// Keep the records beside the spec or sheet: runs/NAME.DATE-N.run.toml. Nothing is overwritten.
    #[arg(long)]
    keep: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum FaceName {
    /// For a terminal.
    Text,
    /// Markdown.
    Md,
    /// One HTML file.
    Html,
    /// For programs.
    Json,
}

/// The sheet that runs are set against, as it was given.
struct Given {
    input: Input,
    bytes: Vec<u8>,
    kit: Chosen,
    received: Option<Received>,
    units: Option<System>,
}

/// A run that was compared.
struct Done {
    name: String,
    comparison: Comparison,
    told: Vec<Value>,
    /// The system of units that comes first.
    system: System,
}

/// Compares what the arguments name.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let faces = wanted(args)?;
    let given = Given::read(args, out)?;
    let (mut done, mut many) = (Vec::new(), false);
    for path in &args.runs {
        let found =
            if path.is_dir() { kept::records(path)? } else { inputs::find(std::slice::from_ref(path), None, None)? };
        many |= found.len() > 1;
        for input in found {
            done.extend(one(args, &given, &input, many || args.runs.len() > 1, out)?);
        }
    }
    if done.is_empty() {
        return Ok(());
    }
    out.status.errors |= done.iter().any(|one| !one.comparison.is_clean());
    if args.summary || many || args.runs.len() > 1 {
        let stem = kept::stem_of(&file_name(&given.input.path)).to_owned();
        let named: Vec<(String, Comparison)> =
            done.iter().map(|one| (short(&one.name, &stem), one.comparison.clone())).collect();
        let summary = given.with(None, |against, _| (record::summarize(against, &named), against.job.system));
        let (summary, system) = summary?;
        let page = faces::summary(&summary, system);
        let value = value_of(&done, Some(&summary));
        return give(args, &faces, &page, &value, &format!("{stem}.runs"), out);
    }
    let Some(only) = done.first() else { return Ok(()) };
    let page = faces::run(&only.comparison, &only.name, only.system);
    let stem = only.name.rsplit('/').next().unwrap_or_default();
    let stem = stem.strip_suffix(RUN_END).or_else(|| stem.strip_suffix(".toml")).unwrap_or("run").to_owned();
    give(args, &faces, &page, &value_of(&done, None), &format!("{stem}.record"), out)
}

fn file_name(path: &Path) -> String {
    path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default()
}

/// The name of a record in a table of many: without folders, ending and the name of the spec.
fn short(name: &str, stem: &str) -> String {
    let name = name.rsplit('/').next().unwrap_or(name);
    let name = name.strip_suffix(RUN_END).unwrap_or(name);
    name.strip_prefix(stem).and_then(|name| name.strip_prefix('.')).unwrap_or(name).to_owned()
}

fn wanted(args: &Args) -> Result<Vec<FaceName>, Fault> {
    let faces = match (args.json, args.faces.is_empty()) {
        (true, _) => vec![FaceName::Json],
        (false, true) => vec![FaceName::Text],
        (false, false) => args.faces.clone(),
    };
    if faces.len() > 1 && args.to.is_none() {
        return Err(Fault::Call("several faces are written to a folder: --to DIR".to_owned()));
    }
    Ok(faces)
}

impl Given {
    fn read(args: &Args, out: &mut Out) -> Result<Self, Fault> {
        if args.sheet.as_os_str() == inputs::STDIN || args.sheet.is_dir() {
            return Err(Fault::Call("name the file of one spec or of one sheet".to_owned()));
        }
        let inputs = inputs::find(std::slice::from_ref(&args.sheet), None, None)?;
        let [input] = inputs.as_slice() else {
            return Err(Fault::Call(format!("name one spec: {} lie there", inputs.len())));
        };
        let units = args.units.map(System::from);
        if !received::is_sheet(&input.name) {
            let kit = Kits::new(args.kit.as_deref())?.of(input);
            if let Some(of_kit) = KitsTold::default().of(&kit, Form::Text(out.talk_style)) {
                tell(&of_kit, out);
            }
            return Ok(Given { bytes: input.bytes()?, input: input.clone(), kit, received: None, units });
        }
        if args.kit.is_some() {
            return Err(Fault::Call("a received sheet carries its own kit: leave --kit out".to_owned()));
        }
        let (received, _) = received::read(input)?;
        let name = format!("{} (its kit)", input.name);
        let kit = received.kit.as_ref().map_or(Chosen::None, |kit| Chosen::One(Arc::new(KitFile::of_text(&name, kit))));
        if !received.whole {
            let finding = Finding::new(Code::RunSheet, format!("{} was changed after it was written", input.name))
                .help("ask for the sheet again; what is compared is worked out anew from its spec and its kit");
            tell(&report::of_file(&finding, &input.name, Form::Text(out.talk_style)), out);
        }
        let bytes = received.spec.clone().into_bytes();
        Ok(Given { bytes, input: input.clone(), kit, received: Some(received), units })
    }

    /// Works the sheet out and gives it to `work`, with what is to be said of it. `attempt` is that of the run: the sheet
    /// of a later attempt has holds that the first one has not.
    ///
    /// # Errors
    /// [`Fault::Call`] with the findings told, where an error gives no sheet.
    fn with<T>(&self, attempt: Option<i64>, work: impl FnOnce(&Against<'_>, &[Finding]) -> T) -> Result<T, Fault> {
        let earlier = attempt
            .filter(|attempt| *attempt > 1)
            .map(|attempt| Earlier { failed: attempt - 1, from: vec!["the run record".to_owned()] });
        let done = batch::catch(&self.input.name, || {
            let document = Document::read(&self.input.name, &self.bytes, self.kit.clone()).after(earlier);
            let expanded = document.expand(self.units);
            let Some(material) = expanded.material() else {
                let told: Vec<Finding> =
                    expanded.findings.iter().filter(|one| one.severity == Severity::Error).cloned().collect();
                return Err(report::of_document(&document, &told, Form::Text(crate::findings::Style::Plain)));
            };
            let Material { job, worked, judgement, .. } = material;
            let seal = material.seal();
            let mut said = Vec::new();
            let shown = self.received.as_ref().map_or(seal.hex(), |received| received.seal.as_str());
            if shown != seal.hex() {
                said.push(
                    Finding::new(Code::RunSheet, "the seal of the sheet is not that of its spec, kit and figures")
                        .note(format!("worked out anew it is {}", seal.short()))
                        .help("it was changed, or another version of the program wrote it: ask for it again"),
                );
            }
            let sheet = crate::sheet::build(job, worked, judgement, shown);
            Ok(work(&Against { job, worked, sheet: &sheet, seal: shown }, &said))
        });
        match done {
            Ok(Ok(result)) => Ok(result),
            Ok(Err(rendered)) => Err(Fault::Call(format!("there is no sheet to set a run against\n{}", rendered.text))),
            Err(finding) => Err(Fault::Internal(finding.message)),
        }
    }
}

/// Sets one record against the sheet; none where it cannot be, which is told.
fn one(args: &Args, given: &Given, input: &Input, of_many: bool, out: &mut Out) -> Result<Option<Done>, Fault> {
    let bytes = match input.bytes() {
        Ok(bytes) => bytes,
        Err(fault) => {
            let finding = batch::of_fault(&fault);
            tell(&report::of_file(&finding, &input.name, Form::Text(out.talk_style)), out);
            return Ok(None);
        }
    };
    let reading = run::read_bytes(&bytes);
    let text = shown_text(&bytes);
    let sources = Sources::new().with(File::Run, input.name.clone(), &text);
    let form = Form::Text(out.talk_style);
    let sound = !any_error(&reading.findings);
    tell(&report::rendered(&reading.findings, &sources, None, form), out);
    let Some(record) = reading.value.filter(|_| sound) else {
        out.status.faults = true;
        return Ok(None);
    };
    let attempt = record.run.attempt.as_ref().map(|at| at.value);
    let set = |against: &Against<'_>, said: &[Finding]| (against_sheet(against, said, &record), against.job.system);
    let ((comparison, said), system) = given.with(attempt, set)?;
    // What only might be doubted is said of a single record, not of each of many.
    let heard: Vec<Finding> = said.iter().filter(|one| one.severity != Severity::Note || !of_many).cloned().collect();
    tell(&report::rendered(&heard, &sources, None, form), out);
    let mut told: Vec<Value> = reading.findings.iter().chain(&said).map(|one| json::value(one, &sources)).collect();
    let Some(comparison) = comparison else { return Ok(None) };
    told.dedup();
    if args.keep {
        let date = record.run.date.as_ref().map(|at| at.value.0.to_string());
        match kept::keep(&given.input.path, date.as_deref(), &bytes)? {
            Keeping::New(path) => out.say(&format!("{} kept as {}\n", input.name, super::fault::shown(&path))),
            Keeping::Known(path) => {
                out.say(&format!("{} is kept already: {}\n", input.name, super::fault::shown(&path)))
            }
        }
    }
    Ok(Some(Done { name: input.name.clone(), comparison, told, system }))
}

fn against_sheet(against: &Against<'_>, said: &[Finding], record: &RunRecord) -> (Option<Comparison>, Vec<Finding>) {
    let mut said = said.to_vec();
    if let Some(finding) = record::foreign(against.sheet, record) {
        said.push(finding);
        return (None, said);
    }
    let comparison = record::compare(against, record);
    said.extend(comparison.findings.iter().cloned());
    (Some(comparison), said)
}

fn tell(rendered: &report::Rendered, out: &mut Out) {
    out.status.count(rendered.findings.iter().copied());
    out.say(&rendered.text);
}

fn value_of(done: &[Done], summary: Option<&Summary>) -> Value {
    let runs: Vec<Value> = done
        .iter()
        .map(|one| {
            let mut value = serde_json::to_value(&one.comparison).unwrap_or_default();
            if let Value::Object(object) = &mut value {
                object.insert("name".to_owned(), json!(one.name));
                object.insert("clean".to_owned(), json!(one.comparison.is_clean()));
                object.insert("findings".to_owned(), json!(one.told));
            }
            value
        })
        .collect();
    let mut value = json!({ "format": 1, "runs": runs });
    if let (Value::Object(object), Some(summary)) = (&mut value, summary) {
        object.insert("summary".to_owned(), serde_json::to_value(summary).unwrap_or_default());
    }
    value
}

/// Gives the faces: to a folder, or the only one to standard output.
fn give(
    args: &Args,
    wanted: &[FaceName],
    page: &faces::Page,
    value: &Value,
    stem: &str,
    out: &mut Out,
) -> Result<(), Fault> {
    for face in wanted {
        let (text, end) = match face {
            FaceName::Text => (faces::text(page), "txt"),
            FaceName::Md => (faces::markdown(page), "md"),
            FaceName::Html => (faces::html(page), "html"),
            FaceName::Json => (print(value), "json"),
        };
        match &args.to {
            None => out.print(&text)?,
            Some(folder) => {
                let name = PathBuf::from(format!("{stem}.{end}"));
                let folder = Folder::new(folder);
                folder.write(&name, text.as_bytes(), &mut Vec::new())?;
                out.say(&format!("{} written\n", super::fault::shown(&folder.path(&name))));
            }
        }
    }
    Ok(())
}
