//! `changes`: what changed between two revisions, what that did to the settings, and what a standard says of it.

use super::batch;
use super::expand::Document;
use super::fault::Fault;
use super::git;
use super::inputs::{self, Input};
use super::kits::{Chosen, Kits};
use super::out::Out;
use super::report::{self, Form, KitsTold};
use super::write::Units;
use crate::changes::{Changes, compare};
use crate::faces::changes::{json::json, print, report as reported};
use crate::findings::{Finding, Severity};
use crate::spec::{self, shown_text};
use crate::units::System;
use std::path::PathBuf;

/// What `changes` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  \
    interpass changes specs/revisions/hw-040-?.repair.toml\n\
    One file and --since A compares it with what it was: the newest commit in which the file bears that revision of the \
    procedure, else that revision of git (HEAD~2, a tag, a hash). The history is read with the git of this machine.\n\
    Exit code 1: job or settings differ, or a spec has errors that keep it from being read. 0: they do not, even where \
    the text was edited.")]
pub(crate) struct Args {
    /// The older and the newer spec; the newer one alone with --since.
    #[arg(value_name = "SPEC", required = true, num_args = 1..=2)]
    specs: Vec<PathBuf>,
    /// The older one: a revision of the procedure in the history of the file, or a revision of git.
    #[arg(long, value_name = "REV")]
    since: Option<String>,
    /// Standard of qualification to ask, several by saying it again; those that the specs name when left out.
    #[arg(long, value_name = "NAME")]
    standard: Vec<String>,
    /// The shop's kit, for both; else the only *.kit.toml in the folder of the newer spec or the nearest folder above it.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// Units that come first.
    #[arg(long, value_enum, value_name = "SYSTEM")]
    units: Option<Units>,
    /// How it is written.
    #[arg(long = "as", value_enum, default_value_t, value_name = "FACE")]
    face: Face,
    /// The same as `--as json`.
    #[arg(long, conflicts_with = "face")]
    json: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
enum Face {
    /// For the terminal, 80 columns.
    #[default]
    Text,
    /// Markdown.
    Md,
    /// One HTML file.
    Html,
    /// JSON.
    Json,
}

/// Says what changed.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let mut kits = Kits::new(args.kit.as_deref())?;
    let (old, new, input) = texts(args)?;
    let kit = kits.of(&input);
    if let Some(told) = KitsTold::default().of(&kit, Form::Text(out.talk_style)) {
        out.status.count(told.findings.iter().copied());
        out.say(&told.text);
    }
    let readable = [readable(&old, &kit, out), readable(&new, &kit, out)];
    if readable.contains(&false) {
        return Ok(());
    }
    let own = if let Chosen::One(file) = &kit { file.kit.as_ref() } else { None };
    let texts = [&old, &new].map(|(_, bytes)| shown_text(bytes).into_owned());
    let [before, after] = &texts;
    let compared =
        batch::catch(&input.name, || compare(before, after, own, &args.standard, args.units.map(System::from)));
    match compared {
        Ok(Some(changes)) => {
            out.print(&face(args, &changes))?;
            out.status.errors |= changes.any();
            Ok(())
        }
        // What cannot be read was said above.
        Ok(None) => Err(Fault::Internal(format!("{} reads and cannot be compared", input.name))),
        Err(finding) => {
            let told = report::of_file(&finding, &input.name, Form::Text(out.talk_style));
            out.status.count(told.findings.iter().copied());
            out.say(&told.text);
            Ok(())
        }
    }
}

fn face(args: &Args, changes: &Changes) -> String {
    match if args.json { Face::Json } else { args.face } {
        Face::Text => print::terminal(&reported(changes)),
        Face::Md => print::markdown(&reported(changes)),
        Face::Html => print::html(&reported(changes)),
        Face::Json => json(changes),
    }
}

/// A text with what it is called in messages.
type Named = (String, Vec<u8>);

/// The older and the newer text, and the input that the newer one is.
fn texts(args: &Args) -> Result<(Named, Named, Input), Fault> {
    // One by one, so that a file may be compared with itself.
    let mut inputs: Vec<Input> = Vec::new();
    for spec in &args.specs {
        inputs.extend(inputs::find(std::slice::from_ref(spec), None, None)?);
    }
    let read = |input: &Input| Ok((input.name.clone(), input.bytes()?));
    match (inputs.as_slice(), &args.since) {
        ([old, new], None) => Ok((read(old)?, read(new)?, new.clone())),
        ([new], Some(_)) if new.is_stdin() => {
            Err(Fault::Call("--since needs a file: standard input has no history".to_owned()))
        }
        ([new], Some(since)) => {
            let newer = read(new)?;
            let older = git::older(&new.path, since, revision)?;
            Ok(((older.name, older.bytes), newer, new.clone()))
        }
        ([_], None) => Err(Fault::Call("name two specs, or one and --since REV".to_owned())),
        (_, Some(_)) => Err(Fault::Call("--since takes one spec".to_owned())),
        (many, None) => Err(Fault::Call(format!("name two specs: {} lie there", many.len()))),
    }
}

/// The revision that a text bears.
fn revision(bytes: &[u8]) -> Option<String> {
    let table: toml::Table = std::str::from_utf8(bytes).ok()?.trim_start_matches('\u{feff}').parse().ok()?;
    let revision = table.get("procedure")?.get("revision")?;
    Some(revision.as_str().map_or_else(|| revision.to_string(), |text| text.trim().to_owned()))
}

/// Whether a text reads; its errors of the language are told where it does not.
fn readable((name, bytes): &Named, kit: &Chosen, out: &mut Out) -> bool {
    let reading = spec::read_bytes(bytes);
    let errors: Vec<Finding> =
        reading.findings.into_iter().filter(|finding| finding.severity == Severity::Error).collect();
    if reading.value.is_some() && errors.is_empty() {
        return true;
    }
    let document = Document::read(name, bytes, kit.clone());
    let told = report::of_document(&document, &errors, Form::Text(out.talk_style));
    out.status.count(told.findings.iter().copied());
    out.say(&told.text);
    false
}
