//! `why`: the working of a figure, or of all figures of a spec.

use super::batch;
use super::expand::{Document, Material};
use super::fault::Fault;
use super::inputs;
use super::kits::Kits;
use super::out::Out;
use super::report::{self, Form, KitsTold, Rendered};
use crate::engine::FigureName;
use crate::faces::why::{has_working, why_text};
use crate::faces::{self, Answer};
use crate::findings::{Code, Finding, Severity};
use crate::spec::nearest::nearest;
use serde_json::Value;
use std::path::PathBuf;

/// What `why` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass why specs/hw-012.repair.toml amperage\n  \
    interpass why specs/hw-012.repair.toml gas_flow --json\n\
    The names of all figures: interpass tables figures")]
pub(crate) struct Args {
    /// The spec; `-` is standard input.
    #[arg(value_name = "SPEC")]
    spec: PathBuf,
    /// The figure; all of them when left out.
    #[arg(value_name = "FIGURE")]
    figure: Option<String>,
    /// The shop's kit; else the only *.kit.toml in the folder of the spec or the nearest folder above it.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// What standard input is called in findings.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

/// What is to be printed, and what has to be said beside it.
struct Done {
    text: Option<String>,
    rendered: Rendered,
}

/// Prints workings.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let name = args.figure.as_deref().map(figure_named).transpose()?;
    let mut kits = Kits::new(args.kit.as_deref())?;
    let inputs = inputs::find(std::slice::from_ref(&args.spec), args.name.as_deref(), None)?;
    let [input] = inputs.as_slice() else {
        return Err(Fault::Call(format!("name one spec: {} lie there", inputs.len())));
    };
    let kit = kits.of(input);
    let form = Form::Text(out.talk_style);
    let done = batch::one(input, &kit, |document| of_document(document, name, args.json, form));
    let done =
        done.unwrap_or_else(|finding| Done { text: None, rendered: report::of_file(&finding, &input.name, form) });
    if let Some(of_kit) = KitsTold::default().of(&kit, form) {
        tell(&of_kit, out);
    }
    if let Some(text) = &done.text {
        out.print(text)?;
    }
    tell(&done.rendered, out);
    Ok(())
}

fn tell(rendered: &Rendered, out: &mut Out) {
    out.status.count(rendered.findings.iter().copied());
    out.say(&rendered.text);
}

fn of_document(document: &Document, name: Option<FigureName>, as_json: bool, form: Form) -> Done {
    let expanded = document.expand(None);
    // What is wrong with the spec is said; what is doubtful stands in the workings and is told by `check`.
    let mut told: Vec<Finding> =
        expanded.findings.iter().filter(|finding| finding.severity == Severity::Error).cloned().collect();
    let text = expanded.figures().and_then(|material| {
        let Material { job, worked, judgement, .. } = material;
        let sources = document.sources();
        let answer = Answer { job, worked, judgement, findings: &expanded.findings, sources: &sources };
        if let Some(name) = name.filter(|name| !worked.figures.contains_key(name)) {
            told.extend(absent(name, &expanded.findings));
            return None;
        }
        Some(text(&answer, name, as_json))
    });
    Done { text, rendered: report::of_document(document, &told, form) }
}

/// Why a figure is not there: what was said of it, else that this job has none.
fn absent(name: FigureName, findings: &[Finding]) -> Vec<Finding> {
    let said: Vec<Finding> =
        findings.iter().filter(|finding| finding.code == Code::SettingNotComputed).cloned().collect();
    let message = format!("this job has no figure {}", name.key());
    let help = "interpass why SPEC prints those that it has; what is missing stands in interpass check";
    let mut all = vec![Finding::new(Code::SettingNotComputed, message).severity(Severity::Error).help(help)];
    all.extend(said);
    all
}

/// The figure that a word of the command line names.
pub(crate) fn figure_named(word: &str) -> Result<FigureName, Fault> {
    let key = word.trim().to_lowercase().replace([' ', '-'], "_");
    FigureName::from_key(&key).ok_or_else(|| {
        let near = nearest(&key, FigureName::ALL.iter().map(|name| name.key()));
        let near = near.first().map_or(String::new(), |near| format!("; did you mean {near}?"));
        Fault::Call(format!("there is no figure called {word}{near} (interpass tables figures prints the list)"))
    })
}

/// The working of a figure, or of all.
pub(crate) fn text(answer: &Answer<'_>, name: Option<FigureName>, as_json: bool) -> String {
    if !as_json {
        let figures = answer.worked.figures.values();
        let wanted = figures.filter(|figure| name.map_or_else(|| has_working(figure), |name| figure.name == name));
        return wanted.map(|figure| why_text(figure, answer)).collect::<Vec<_>>().join("\n");
    }
    let mut value = serde_json::to_value(faces::json::settings(answer)).unwrap_or(Value::Null);
    if let (Some(name), Some(Value::Object(figures))) = (name, value.get_mut("figures")) {
        figures.retain(|key, _| key == name.key());
    }
    faces::json::print(&value)
}
