//! `check`: reads specs and says everything that is wrong or doubtful.

use super::batch::{self, Progress};
use super::fault::Fault;
use super::inputs::{self, Input, KIT_END, RUN_END, Share};
use super::kits::{KitFile, Kits};
use super::ledgers::Ledgers;
use super::lines;
use super::out::Out;
use super::report::{self, Form, KitsTold, LedgersTold, Rendered};
use crate::findings::{Code, File, Severity, Sources, Tally};
use crate::spec::shown_text;
use std::path::PathBuf;

/// What `check` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass check specs/*.repair.toml\n  \
    interpass check specs/hw-012.repair.toml --kit specs/kits/harbour.kit.toml\n  \
    interpass check specs/*.repair.toml --share 1/2 --json\n\
    In folders, files named *.repair.toml are read; what git ignores is left out. A kit or a run record is checked when \
    it is named. Exit code 1: there are errors.")]
pub(crate) struct Args {
    /// Files and folders; `-` is standard input. The current folder when left out.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// The shop's kit; else the only *.kit.toml in the folder of the spec or the nearest folder above it.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// How findings are written.
    #[arg(long = "as", value_enum, default_value_t, value_name = "FORM", conflicts_with = "lines")]
    form: FormName,
    /// The same as `--as json`.
    #[arg(long, conflicts_with_all = ["form", "lines"])]
    json: bool,
    /// Warnings count as errors.
    #[arg(long)]
    strict: bool,
    /// Check one of several disjoint shares of the files: 3/8 is the third of eight.
    #[arg(long, value_name = "N/M")]
    share: Option<Share>,
    /// What standard input is called in findings.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Read one JSON object a line from standard input, {"id": ..., "name": "...", "spec": "TOML"}, and write one a
    /// line in the same order.
    #[arg(long, conflicts_with_all = ["paths", "share", "name"])]
    lines: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, clap::ValueEnum)]
enum FormName {
    /// Excerpts of the source, for people.
    #[default]
    Text,
    /// One array of JSON.
    Json,
    /// One object of JSON a line.
    Jsonl,
}

/// Checks what the arguments name.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    out.status.strict = args.strict;
    let mut kits = Kits::new(args.kit.as_deref())?;
    if args.lines {
        return lines::specs(&kits, None, out, &[]);
    }
    let inputs = inputs::find(&args.paths, args.name.as_deref(), args.share)?;
    let form = if args.json { FormName::Json } else { args.form };
    let mut told = Told::new(form, out);
    let (specs, others): (Vec<Input>, Vec<Input>) =
        inputs.into_iter().partition(|input| !ends(input, KIT_END) && !ends(input, RUN_END));
    for input in &others {
        let rendered = other(input, told.form);
        told.tell(rendered, out)?;
    }
    told.files = specs.len() + others.len();
    let progress = Progress::new(specs.len(), out.talk_on_terminal);
    let (mut kits_told, mut ledgers_told) = (KitsTold::default(), LedgersTold::default());
    let as_form = told.form;
    batch::each(
        &specs,
        (&mut kits, &mut Ledgers::with_history()),
        &progress,
        |_, document, _| {
            let expanded = document.expand(None);
            (report::of_document(document, &expanded.findings, as_form), expanded.material().is_some())
        },
        |input, (kit, ledger), result, progress| {
            let (rendered, has_sheet) =
                result.unwrap_or_else(|finding| (report::of_file(&finding, &input.name, as_form), false));
            told.sheets |= has_sheet && rendered.tally.errors > 0;
            progress.aside(|| {
                if let Some(of_kit) = kits_told.of(kit, as_form) {
                    told.tell(of_kit, out)?;
                }
                if let Some(of_ledger) = ledgers_told.of(ledger, as_form) {
                    told.tell(of_ledger, out)?;
                }
                told.tell(rendered, out)
            })
        },
    )?;
    drop(progress);
    if let Some(note) = kits_told.none(as_form) {
        told.tell(note, out)?;
    }
    told.end(out)
}

fn ends(input: &Input, end: &str) -> bool {
    input.name.ends_with(end)
}

/// Checks a kit or a run record that was named.
fn other(input: &Input, form: Form) -> Rendered {
    let read = || {
        if ends(input, KIT_END) {
            let kit = KitFile::read(input)?;
            let sources = Sources::new().with(File::Kit, input.name.clone(), &kit.text);
            return Ok(report::rendered(&kit.findings, &sources, None, form));
        }
        let bytes = input.bytes()?;
        let reading = crate::run::read_bytes(&bytes);
        let text = shown_text(&bytes);
        let sources = Sources::new().with(File::Run, input.name.clone(), &text);
        Ok(report::rendered(&reading.findings, &sources, None, form))
    };
    let result: Result<Rendered, Fault> = read();
    result.unwrap_or_else(|fault| report::of_file(&batch::of_fault(&fault), &input.name, form))
}

/// What has been told.
struct Told {
    name: FormName,
    form: Form,
    files: usize,
    files_with: usize,
    tally: Tally,
    /// The first code of the gravest findings, for the way to its explanation.
    code: Option<(Severity, Code)>,
    any: bool,
    /// Whether a spec with errors has a sheet all the same, because it is a refusal.
    sheets: bool,
}

impl Told {
    fn new(name: FormName, out: &Out) -> Self {
        let form = if name == FormName::Text { Form::Text(out.style) } else { Form::Json };
        Told { name, form, files: 0, files_with: 0, tally: Tally::default(), code: None, any: false, sheets: false }
    }

    fn tell(&mut self, rendered: Rendered, out: &mut Out) -> Result<(), Fault> {
        out.status.count(rendered.findings.iter().copied());
        self.tally.errors += rendered.tally.errors;
        self.tally.warnings += rendered.tally.warnings;
        self.tally.notes += rendered.tally.notes;
        self.files_with += usize::from(rendered.tally.errors > 0);
        let gravest =
            rendered.findings.iter().map(|(code, severity)| (*severity, *code)).min_by_key(|(severity, _)| *severity);
        self.code = match (self.code, gravest) {
            (Some(known), Some(new)) if known.0 <= new.0 => Some(known),
            (known, new) => new.or(known),
        };
        for line in rendered.text.lines().take(if self.name == FormName::Json { usize::MAX } else { 0 }) {
            out.print(if self.any { ",\n" } else { "[\n" })?;
            out.print(line)?;
            self.any = true;
        }
        if self.name != FormName::Json {
            out.print(&rendered.text)?;
        }
        Ok(())
    }

    fn end(&self, out: &mut Out) -> Result<(), Fault> {
        match self.name {
            FormName::Json if self.any => out.print("\n]\n"),
            FormName::Json => out.print("[]\n"),
            FormName::Jsonl => Ok(()),
            FormName::Text => out.print(&self.summary()),
        }
    }

    fn summary(&self) -> String {
        let files = |count: usize| format!("{count} {}", if count == 1 { "file" } else { "files" });
        let Some((_, code)) = self.code else { return format!("{} checked: nothing to say\n", files(self.files)) };
        let place = match self.tally.errors {
            0 => format!("in {}", files(self.files)),
            _ if self.sheets => format!("in {}", files(self.files_with)),
            _ => format!("in {}, no sheet", files(self.files_with)),
        };
        format!("\n{} {place}. More: interpass tables codes {}\n", self.tally.words(), code.as_str())
    }
}
