//! `write`: expands specs into sheets, and writes what has changed.

use super::batch::{self, Buffers, Progress};
use super::expand::{Document, Material};
use super::fault::{Fault, shown};
use super::inputs::{self, Input, KIT_END, RUN_END, Share};
use super::kits::{self, Chosen, Kits};
use super::ledgers::Ledgers;
use super::lines;
use super::out::Out;
use super::report::{self, Form, KitsTold, LedgersTold, Rendered};
use super::targets::{self, Folder, Target, Written};
use crate::faces::{self, Answer, Extra, FaceError, Page, Press};
use crate::findings::{Code, Finding, Severity, Sources};
use crate::rules::Decision;
use crate::sheet;
use crate::units::System;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// What `write` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass write specs/*.repair.toml --to sheets\n  \
    interpass write - --as md < specs/hw-012.repair.toml\n\
    In folders, files named *.repair.toml are read; what git ignores is left out. Subfolders are kept. Files that have not \
    changed are not touched. A file is written beside the old one and then takes its name, without waiting for the disk. \
    A refused repair gets a sheet that says why, and exit code 1.")]
pub(crate) struct Args {
    /// Files and folders; `-` is standard input and gives one face on standard output. The current folder when left out.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,
    /// The folder that the sheets are written to.
    #[arg(long, value_name = "DIR")]
    to: Option<PathBuf>,
    /// Faces of each sheet: md, html, json, text, and the one-page card. The first three when left out.
    #[arg(long = "as", value_enum, value_delimiter = ',', value_name = "FACES")]
    faces: Vec<FaceName>,
    /// The shop's kit; else the only *.kit.toml in the folder of the spec or the nearest folder above it.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// System of units that comes first; else that of the kit, else that of the spec's thickness.
    #[arg(long, value_enum, value_name = "SYSTEM")]
    units: Option<Units>,
    /// Write nothing; exit code 1 when a sheet is not current.
    #[arg(long, requires = "to", conflicts_with = "lines")]
    stale: bool,
    /// Warnings count as errors.
    #[arg(long)]
    strict: bool,
    /// Say nothing but errors.
    #[arg(long, short)]
    quiet: bool,
    /// Write one of several disjoint shares of the sheets: 3/8 is the third of eight.
    #[arg(long, value_name = "N/M")]
    share: Option<Share>,
    /// What standard input is called in findings.
    #[arg(long, value_name = "NAME")]
    name: Option<String>,
    /// Read one JSON object a line from standard input, {"id": ..., "name": "...", "spec": "TOML"}, and write one a
    /// line in the same order, with the faces that --as names.
    #[arg(long, conflicts_with_all = ["paths", "share", "name", "to"])]
    lines: bool,
}

/// A face of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum FaceName {
    /// Markdown, for the repository.
    Md,
    /// One HTML file, for the bench and the printer.
    Html,
    /// JSON, for other programs.
    Json,
    /// The card: one page of HTML for the bench.
    Card,
    /// Plain words, for a terminal and for reading aloud.
    Text,
}

impl FaceName {
    /// Those that are written when none is named.
    const USUAL: [FaceName; 3] = [FaceName::Md, FaceName::Html, FaceName::Json];

    /// The end of the name of its file.
    pub(crate) fn end(self) -> &'static str {
        match self {
            FaceName::Md => "md",
            FaceName::Html => "html",
            FaceName::Json => "json",
            FaceName::Card => "card.html",
            FaceName::Text => "txt",
        }
    }

    /// What a line of JSON calls it: as the command line does.
    pub(crate) fn key(self) -> &'static str {
        if self == FaceName::Card { "card" } else { self.end() }
    }

    /// Its bytes, after [`render`].
    pub(crate) fn bytes(self, buffers: &Buffers) -> &Vec<u8> {
        match self {
            FaceName::Md => &buffers.markdown,
            FaceName::Html => &buffers.html,
            FaceName::Json => &buffers.json,
            FaceName::Card => &buffers.card,
            FaceName::Text => &buffers.text,
        }
    }
}

/// A system of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Units {
    /// Millimetre, litre, degree Celsius.
    Metric,
    /// Inch, cubic foot, degree Fahrenheit.
    Inch,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => System::Metric,
            Units::Inch => System::Inch,
        }
    }
}

/// Writes what the arguments name.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    out.status.strict = args.strict;
    let mut kits = Kits::new(args.kit.as_deref())?;
    let units = args.units.map(System::from);
    if args.lines {
        return lines::specs(&kits, units, out, &args.faces);
    }
    let faces = if args.faces.is_empty() { &FaceName::USUAL[..] } else { &args.faces };
    let inputs = inputs::find(&args.paths, args.name.as_deref(), None)?;
    if let Some(input) = inputs.iter().find(|input| input.name.ends_with(KIT_END) || input.name.ends_with(RUN_END)) {
        return Err(Fault::Call(format!("{} is no spec; a kit is given with --kit", input.name)));
    }
    if let Some(input) = inputs.iter().find(|input| input.is_stdin()) {
        return one_face(args, input, inputs.len(), &mut kits, out);
    }
    let Some(folder) = &args.to else {
        return Err(Fault::Call("say where the sheets are written to: --to DIR".to_owned()));
    };
    let form = Form::Text(out.talk_style);
    let plan = Plan { folder: Folder::new(folder), faces, units, stale: args.stale, quiet: args.quiet, form };
    plan.all(inputs, args, &mut kits, out)
}

/// Writes one face of standard input to standard output.
fn one_face(args: &Args, input: &Input, count: usize, kits: &mut Kits, out: &mut Out) -> Result<(), Fault> {
    let [face] = args.faces.as_slice() else {
        return Err(Fault::Call(
            "standard input gives one face on standard output: add --as md, html, json, text or card".to_owned(),
        ));
    };
    if count > 1 || args.to.is_some() || args.stale {
        return Err(Fault::Call("standard input stands alone, without --to and without other paths".to_owned()));
    }
    let kit = kits.of(input);
    let form = Form::Text(out.talk_style);
    let mut buffers = Buffers::default();
    let done = batch::one(input, &kit, |document| {
        let expanded = document.expand(args.units.map(System::from));
        let mut rendered = rendered_for(document, &expanded.findings, args.strict, form);
        let Some(material) = expanded.material() else { return (rendered, Ok(false)) };
        let findings = sheet_findings(&expanded.findings, &kit);
        let done = render(&material, &findings, &document.sources(), &[*face], None, &mut buffers);
        let done = done.map(|more| {
            rendered.add(report::of_document(document, &heard(&more, args.quiet), form));
            !face.bytes(&buffers).is_empty()
        });
        (rendered, done)
    });
    let (rendered, written) = done.unwrap_or_else(|finding| (report::of_file(&finding, &input.name, form), Ok(false)));
    if let Some(of_kit) = KitsTold::default().of(&kit, form) {
        tell(&of_kit, out);
    }
    tell(&rendered, out);
    if written? {
        out.bytes(face.bytes(&buffers))?;
    }
    Ok(())
}

/// What is to be done with every spec.
struct Plan<'p> {
    folder: Folder,
    faces: &'p [FaceName],
    units: Option<System>,
    stale: bool,
    quiet: bool,
    form: Form,
}

/// What became of a spec.
struct Outcome {
    rendered: Rendered,
    /// Files that changed, or would.
    changed: Vec<PathBuf>,
    /// Whether there is a sheet, and whether it refuses.
    sheet: Option<Decision>,
}

/// How many sheets came to what.
#[derive(Debug, Default)]
struct Count {
    changed: usize,
    unchanged: usize,
    refused: usize,
    without: usize,
    unsaid: usize,
}

impl Plan<'_> {
    fn all(&self, mut inputs: Vec<Input>, args: &Args, kits: &mut Kits, out: &mut Out) -> Result<(), Fault> {
        // Clashes are looked for among all files, so that every share sees the same ones.
        let targets: Vec<Option<Target>> = inputs.iter().map(Target::of).collect();
        let clashes: BTreeMap<String, Finding> = targets::clashes(&targets)
            .into_iter()
            .filter_map(|(number, other)| Some((inputs.get(number)?.name.clone(), clash(&inputs.get(other)?.name))))
            .collect();
        inputs.retain(|input| args.share.is_none_or(|share| share.holds(&input.name)));
        let targets: Vec<Option<Target>> = inputs.iter().map(Target::of).collect();
        let progress = Progress::new(inputs.len(), out.talk_on_terminal && !args.quiet);
        let (mut count, mut kits_told) = (Count::default(), KitsTold::default());
        let mut ledgers_told = LedgersTold::default();
        batch::each(
            &inputs,
            (kits, &mut Ledgers::default()),
            &progress,
            |number, document, buffers| match (clashes.get(&document.name), targets.get(number)) {
                (Some(finding), _) => Outcome::of(report::of_file(finding, &document.name, self.form)),
                (None, Some(Some(target))) => self.one(document, target, args.strict, buffers),
                _ => Outcome::of(report::of_file(&no_name(&document.name), &document.name, self.form)),
            },
            |input, (kit, ledger), result, progress| {
                let outcome =
                    result.unwrap_or_else(|finding| Outcome::of(report::of_file(&finding, &input.name, self.form)));
                count.add(&outcome);
                progress.aside(|| {
                    kits_told.of(kit, self.form).iter().for_each(|of_kit| tell(of_kit, out));
                    ledgers_told.of(ledger, self.form).iter().for_each(|of_ledger| tell(of_ledger, out));
                    tell(&outcome.rendered, out);
                    self.tell_stale(&outcome, out)
                })
            },
        )?;
        drop(progress);
        if !args.quiet {
            kits_told.none(self.form).iter().for_each(|note| tell(note, out));
            out.say(&format!("{}\n", count.words(self.stale)));
        }
        Ok(())
    }

    /// Expands one spec and writes its faces.
    fn one(&self, document: &Document, target: &Target, strict: bool, buffers: &mut Buffers) -> Outcome {
        let expanded = document.expand(self.units);
        let rendered = rendered_for(document, &expanded.findings, strict, self.form);
        let Some(material) = expanded.material() else { return Outcome::of(rendered) };
        let findings = sheet_findings(&expanded.findings, &document.kit);
        let mut outcome = Outcome { rendered, changed: Vec::new(), sheet: Some(material.judgement.decision) };
        let name = Some(target.stem());
        let done = render(&material, &findings, &document.sources(), self.faces, name, buffers).and_then(|more| {
            outcome.rendered.add(report::of_document(document, &heard(&more, self.quiet), self.form));
            self.drawings(target, &mut outcome, buffers)?;
            self.faces.iter().try_for_each(|face| self.face(*face, target, &mut outcome, buffers))
        });
        if let Err(fault) = done {
            outcome.rendered.add(report::of_file(&batch::of_fault(&fault), &document.name, self.form));
            outcome.sheet = None;
        }
        // Of a card that there is not, nothing was written.
        if self.faces.iter().all(|face| face.bytes(buffers).is_empty()) {
            outcome.sheet = None;
        }
        outcome
    }

    fn face(&self, face: FaceName, target: &Target, outcome: &mut Outcome, buffers: &mut Buffers) -> Result<(), Fault> {
        let mut old = std::mem::take(&mut buffers.old);
        let bytes = face.bytes(buffers);
        let path = target.face(face.end());
        let done = if bytes.is_empty() {
            // There is no card: one of an earlier revision must not lie there and be taken for it.
            self.folder.clear(&path, self.stale).map(|cleared| {
                if cleared == Written::Changed {
                    outcome.changed.push(path);
                }
            })
        } else {
            self.file(path, bytes, outcome, &mut old)
        };
        buffers.old = old;
        done
    }

    /// Writes the drawings first: a Markdown file never names one that is not there.
    fn drawings(&self, target: &Target, outcome: &mut Outcome, buffers: &mut Buffers) -> Result<(), Fault> {
        let Buffers { drawings, old, .. } = buffers;
        drawings.iter().try_for_each(|(id, bytes)| self.file(target.drawing(id), bytes, outcome, old))
    }

    fn file(&self, path: PathBuf, bytes: &[u8], outcome: &mut Outcome, old: &mut Vec<u8>) -> Result<(), Fault> {
        let changed = if self.stale {
            !self.folder.holds(&path, bytes, old)
        } else {
            self.folder.write(&path, bytes, old)? == Written::Changed
        };
        if changed {
            outcome.changed.push(path);
        }
        Ok(())
    }

    /// Names the files that are not current, where that was asked.
    fn tell_stale(&self, outcome: &Outcome, out: &mut Out) -> Result<(), Fault> {
        if !self.stale {
            return Ok(());
        }
        out.status.errors |= !outcome.changed.is_empty();
        outcome.changed.iter().try_for_each(|path| out.print(&format!("{}\n", shown(&self.folder.path(path)))))
    }
}

impl Outcome {
    fn of(rendered: Rendered) -> Self {
        Outcome { rendered, changed: Vec::new(), sheet: None }
    }
}

impl Count {
    fn add(&mut self, outcome: &Outcome) {
        match (outcome.sheet, outcome.changed.is_empty()) {
            (None, _) => self.without += 1,
            (Some(Decision::No), _) => self.refused += 1,
            (Some(_), true) => self.unchanged += 1,
            (Some(_), false) => self.changed += 1,
        }
        self.unsaid += outcome.rendered.unsaid;
    }

    /// In words: `12 sheets written, 3 unchanged, 1 refused`, each sheet counted once.
    fn words(&self, stale: bool) -> String {
        let sheets = |count: usize| if count == 1 { "sheet" } else { "sheets" };
        let verb = if stale { "not current" } else { "written" };
        let mut words = format!("{} {} {verb}, {} unchanged", self.changed, sheets(self.changed), self.unchanged);
        if self.refused > 0 {
            words.push_str(&format!(", {} refused", self.refused));
        }
        if self.without > 0 {
            words.push_str(&format!(", {} without a sheet", self.without));
        }
        if self.unsaid > 0 {
            let what = if self.unsaid == 1 { "warning or note" } else { "warnings and notes" };
            words.push_str(&format!("; {} {what}: see them with interpass check", self.unsaid));
        }
        words
    }
}

fn clash(other: &str) -> Finding {
    Finding::new(Code::OutputClash, format!("its sheet would have the same file name as that of {other}"))
        .note("names are compared without regard to case; neither sheet is written")
        .help("rename one of the two, or write them to two folders")
}

fn no_name(name: &str) -> Finding {
    Finding::new(Code::ReadFile, format!("{name} gives its sheet no file name")).help("call it NAME.repair.toml")
}

/// Errors, and warnings where they count: all others stand on the sheet and are told by `check`.
fn rendered_for(document: &Document, findings: &[Finding], strict: bool, form: Form) -> Rendered {
    let least = if strict { Severity::Warning } else { Severity::Error };
    let told: Vec<Finding> = findings.iter().filter(|finding| finding.severity <= least).cloned().collect();
    let mut rendered = report::of_document(document, &told, form);
    rendered.unsaid = findings.len() - told.len();
    rendered
}

/// The findings that stand on a sheet: those of its spec, and the note that it has no kit.
fn sheet_findings(findings: &[Finding], kit: &Chosen) -> Vec<Finding> {
    let none = matches!(kit, Chosen::None).then(kits::none_given);
    let of_kit = match kit {
        Chosen::One(kit) => kit.findings.as_slice(),
        _ => &[],
    };
    findings.iter().chain(of_kit).cloned().chain(none).collect()
}

/// What is heard of the findings of a card, which no other command tells: without notes where quiet was asked for.
fn heard(findings: &[Finding], quiet: bool) -> Vec<Finding> {
    findings.iter().filter(|finding| !quiet || finding.severity == Severity::Error).cloned().collect()
}

fn tell(rendered: &Rendered, out: &mut Out) {
    out.status.count(rendered.findings.iter().copied());
    if !rendered.text.is_empty() {
        out.say(&rendered.text);
    }
}

/// Makes the faces of a sheet, and gives what is to be said of them: what a card leaves to the sheet. With a name to go by,
/// the drawings are made that the Markdown names.
pub(crate) fn render(
    material: &Material<'_, '_>,
    findings: &[Finding],
    sources: &Sources<'_>,
    wanted: &[FaceName],
    name: Option<&str>,
    buffers: &mut Buffers,
) -> Result<Vec<Finding>, Fault> {
    let Material { job, worked, judgement, spec, kit, .. } = *material;
    let kit = kit.map(|kit| kit.text.as_str());
    let seal = material.seal();
    let sheet = sheet::build_as(job, worked, judgement, &seal.short(), &material.papers());
    buffers.markdown.clear();
    buffers.html.clear();
    buffers.json.clear();
    buffers.card.clear();
    buffers.text.clear();
    buffers.drawings.clear();
    let wants = |face: FaceName| wanted.contains(&face);
    let mut json = String::new();
    let answer = Answer { job, worked, judgement, findings, sources };
    if wants(FaceName::Json) {
        json = faces::json::print(&faces::json::sheet(&answer, &sheet, spec, kit, seal.hex()));
    }
    if wants(FaceName::Md) || wants(FaceName::Html) {
        let press = Press::shared().map_err(of_face)?;
        let page = Page::new(&sheet).map_err(of_face)?;
        let page = if let Some(name) = name { page.named(name) } else { page };
        if name.is_some() && wants(FaceName::Md) {
            let drawings = sheet.drawings().map(|drawing| (drawing.id.clone(), drawing.file().into_bytes()));
            buffers.drawings.extend(drawings);
        }
        if wants(FaceName::Md) {
            faces::markdown::write(press, &page, &mut buffers.markdown).map_err(of_face)?;
        }
        if wants(FaceName::Html) {
            let carried = faces::json::print(&faces::json::carried(&answer, &sheet, seal.hex()));
            let extra = Extra { spec, kit, json: &carried };
            faces::html::write(press, &page, &extra, &mut buffers.html).map_err(of_face)?;
        }
    }
    if wants(FaceName::Text) {
        faces::text::write(&sheet, &mut buffers.text).map_err(of_face)?;
    }
    buffers.json = json.into_bytes();
    if !wants(FaceName::Card) {
        return Ok(Vec::new());
    }
    match sheet::card::build(job, worked, judgement, &seal.short(), &sheet) {
        Ok(card) => {
            faces::card::write(&card, &mut buffers.card).map_err(of_face)?;
            Ok(card.finding().into_iter().collect())
        }
        Err(none) => Ok(vec![none.finding()]),
    }
}

fn of_face(error: FaceError) -> Fault {
    Fault::Internal(error.to_string())
}
