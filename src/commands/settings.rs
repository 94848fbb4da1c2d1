//! `settings`: the answer at the bench, without a spec.

use super::batch;
use super::fault::Fault;
use super::flags::Stated;
use super::kits::{self, KitFile, Kits};
use super::lines::{self, Reply};
use super::out::Out;
use super::why;
use crate::engine::{self, Worked, job};
use crate::faces;
use crate::findings::{self, Code, File, Finding, Severity, Sources, Style, any_error, render};
use crate::rules::{self, Decision};
use crate::spec;
use serde_json::Value;
use std::path::PathBuf;

/// What `settings` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    interpass settings --metal A356.0 --temper T6 --thickness 8mm --damage crack\n  \
    interpass settings --metal 6061 --thickness 1/8in --why amperage\n  \
    echo '{\"metal\": \"6061\", \"thickness\": \"3mm\"}' | interpass settings --lines\n\
    Each flag takes what the same key of a spec takes: interpass tables words prints the words. Lines use the names of the \
    flags with underscores.")]
pub(crate) struct Args {
    /// The alloy by its trade name, or a family such as "cast aluminium".
    #[arg(long, value_name = "NAME")]
    metal: Option<String>,
    /// Temper.
    #[arg(long, value_name = "TEMPER")]
    temper: Option<String>,
    /// Product form: sheet, plate, extrusion, sand casting ...
    #[arg(long, value_name = "FORM")]
    form: Option<String>,
    /// The second metal, where two different ones meet.
    #[arg(long, value_name = "NAME")]
    other_metal: Option<String>,
    /// Thickness at the weld: 8mm, 5/16in.
    #[arg(long, value_name = "LENGTH")]
    thickness: Option<String>,
    /// Joint: butt, fillet, lap, corner, edge, groove, pad, plug; by the damage when left out, else butt.
    #[arg(long, value_name = "JOINT")]
    joint: Option<String>,
    /// Welding position; PA when left out.
    #[arg(long, value_name = "POSITION")]
    position: Option<String>,
    /// State of the surface: clean, painted, "oil soaked" ... May be repeated.
    #[arg(long, value_name = "STATE")]
    surface: Vec<String>,
    /// Process; GTAW when left out.
    #[arg(long, value_name = "PROCESS")]
    process: Option<String>,
    /// Shielding gas; argon when left out.
    #[arg(long, value_name = "GAS")]
    gas: Option<String>,
    /// Kind of damage: crack, "worn surface", hole ...
    #[arg(long, value_name = "KIND")]
    damage: Option<String>,
    /// What is wanted of the weld metal: strength, ductility ... May be repeated, first the most wanted.
    #[arg(long, value_name = "NEED")]
    need: Vec<String>,
    /// Temperature of the part in service.
    #[arg(long, value_name = "TEMPERATURE")]
    service_temperature: Option<String>,
    /// Temperature of the part before any preheat; 20 °C when left out.
    #[arg(long, value_name = "TEMPERATURE")]
    start_temperature: Option<String>,
    /// Mass of the part.
    #[arg(long, value_name = "MASS")]
    mass: Option<String>,
    /// The shop's kit.
    #[arg(long, value_name = "FILE")]
    kit: Option<PathBuf>,
    /// Show how a figure came about in place of the settings.
    #[arg(long, value_name = "FIGURE")]
    why: Option<String>,
    /// As JSON.
    #[arg(long, conflicts_with = "lines")]
    json: bool,
    /// Read one JSON object of the same keys a line from standard input, and write one a line in the same order.
    #[arg(long, conflicts_with_all = ["metal", "temper", "form", "other_metal", "thickness", "joint", "position", "surface",
        "process", "gas", "damage", "need", "service_temperature", "start_temperature", "mass", "why"])]
    lines: bool,
}

/// Answers.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let kits = Kits::new(args.kit.as_deref())?;
    let kit = kits.named().map(|kit| &**kit);
    if args.lines {
        return lines::reply(out, |line, _| {
            let stated = match Stated::of_line(line) {
                Ok(stated) => stated,
                Err(finding) => return Reply::of(&finding),
            };
            answered(&stated, kit, |answer, _| line_of(answer))
                .unwrap_or_else(|fault| Reply::of(&batch::of_fault(&fault)))
        });
    }
    let figure = args.why.as_deref().map(why::figure_named).transpose()?;
    let stated = stated(args);
    answered(&stated, kit, |answer, drawn| {
        out.status.count(answer.findings.iter().map(|finding| (finding.code, finding.severity)));
        match (figure, args.json) {
            (None, true) => out.print(&faces::json::print(&faces::json::settings(answer))),
            (None, false) => {
                out.print(&faces::terminal::settings_card(answer))?;
                out.print(drawn.text(out.style).as_str())
            }
            (Some(name), as_json) => {
                if answer.worked.figures.contains_key(&name) {
                    out.print(&why::text(answer, Some(name), as_json))?;
                } else {
                    out.status.errors = true;
                    out.say(&format!("error: there is no figure {} for this\n", name.key()));
                    out.say(drawn.text(out.talk_style).as_str());
                }
                Ok(())
            }
        }
    })?
}

fn stated(args: &Args) -> Stated {
    let one = |value: &Option<String>| value.iter().cloned().collect::<Vec<String>>();
    let values: [(&str, Vec<String>); 15] = [
        ("metal", one(&args.metal)),
        ("temper", one(&args.temper)),
        ("form", one(&args.form)),
        ("other_metal", one(&args.other_metal)),
        ("thickness", one(&args.thickness)),
        ("joint", one(&args.joint)),
        ("position", one(&args.position)),
        ("surface", args.surface.clone()),
        ("process", one(&args.process)),
        ("gas", one(&args.gas)),
        ("damage", one(&args.damage)),
        ("need", args.need.clone()),
        ("service_temperature", one(&args.service_temperature)),
        ("start_temperature", one(&args.start_temperature)),
        ("mass", one(&args.mass)),
    ];
    Stated::of_flags(&values.each_ref().map(|(name, values)| (*name, values.as_slice())))
}

/// The findings as they are drawn for people, over the command line in place of a file.
struct Drawn<'a> {
    stated: &'a Stated,
    kit: Option<&'a KitFile>,
    findings: &'a [Finding],
}

impl Drawn<'_> {
    fn text(&self, style: Style) -> String {
        let findings: Vec<Finding> = self.findings.iter().map(|finding| self.stated.moved(finding.clone())).collect();
        render(&findings, &with_kit(self.stated.sources(), self.kit), style)
    }
}

fn with_kit<'t>(sources: Sources<'t>, kit: Option<&'t KitFile>) -> Sources<'t> {
    match kit {
        Some(kit) => sources.with(File::Kit, kit.name.clone(), &kit.text),
        None => sources,
    }
}

/// Works the settings out, and gives them to `then`. Where a flag could not be read, there are findings and no figures:
/// a setting for something else than was asked is worse than none.
fn answered<T>(
    stated: &Stated,
    kit: Option<&KitFile>,
    then: impl FnOnce(&faces::Answer<'_>, &Drawn<'_>) -> T,
) -> Result<T, Fault> {
    let reading = spec::reading(&stated.spec);
    let Some(spec) = &reading.value else {
        let message = reading.findings.first().map_or("no finding", |finding| finding.message.as_str());
        return Err(Fault::Internal(format!("the flags do not make a spec: {message}")));
    };
    let mut findings = reading.findings.clone();
    findings.retain(is_asked);
    let sound = !any_error(&findings) && kit.is_none_or(|kit| kit.kit.is_some());
    let (job, remarks) = job::check_settings(spec, kit.and_then(|kit| kit.kit.as_ref()));
    let mut worked = if sound { engine::work_out(&job) } else { Worked::default() };
    let judgement = rules::judge_settings(&job, &worked);
    let refused = judgement.decision == Decision::No;
    if refused {
        worked.figures.clear();
    }
    let more =
        remarks.iter().chain(&worked.findings).chain(&judgement.findings).filter(|finding| is_asked(finding)).cloned();
    // Where nothing is set, nothing is worth a note.
    findings.extend(more.filter(|finding| !refused || finding.severity != Severity::Note));
    findings::sort(&mut findings);
    findings.dedup();
    findings.extend(missing(stated));
    match kit {
        Some(kit) => findings.extend(kit.findings.iter().cloned()),
        // Where nothing is set, no limit of a shop could matter.
        None if worked.figures.is_empty() => {}
        None => findings.push(kits::none_given()),
    }
    let named: Vec<Finding> = findings.iter().map(|finding| stated.named(finding.clone())).collect();
    let sources = with_kit(Sources::new(), kit);
    let answer =
        faces::Answer { job: &job, worked: &worked, judgement: &judgement, findings: &named, sources: &sources };
    Ok(then(&answer, &Drawn { stated, kit, findings: &findings }))
}

/// Whether a finding concerns the answer: what is missing is said by [`missing`], no damage is measured for it, and
/// whether there is a kit is known.
fn is_asked(finding: &Finding) -> bool {
    !matches!(finding.code, Code::MetalMissing | Code::KeyMissing | Code::DamageNeeds | Code::KitNone)
}

/// What nothing can be worked out without.
fn missing(stated: &Stated) -> Vec<Finding> {
    let metal = || {
        Finding::new(Code::MetalMissing, "no metal is given, so only what needs none is worked out")
            .help(format!("add {}", stated.example("metal", "A356.0")))
    };
    let thickness = || {
        Finding::new(Code::KeyMissing, "no thickness is given, so only what needs none is worked out")
            .help(format!("add {}", stated.example("thickness", "8mm")))
    };
    let mut findings = Vec::new();
    findings.extend((!stated.has("metal")).then(metal));
    findings.extend((!stated.has("thickness")).then(thickness));
    findings
}

/// The settings as the reply to a line.
fn line_of(answer: &faces::Answer<'_>) -> Reply {
    let codes = answer.findings.iter().map(|finding| (finding.code, finding.severity)).collect();
    match serde_json::to_value(faces::json::settings(answer)) {
        Ok(Value::Object(object)) => Reply { object, codes },
        Ok(_) | Err(_) => Reply::of(&batch::of_fault(&Fault::Internal("the settings are no object".to_owned()))),
    }
}
