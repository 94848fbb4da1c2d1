//! Heading, section 0 (Identity) and the standing block: which procedure, which part, who may use the sheet.

use super::context::{Context, Say};
use super::writer::{Writer, pair, table};
use super::{Block, Cell, Section, Table};
use crate::ledger::Standing;
use crate::reference::{Basis, Cite, source_by_key};
use crate::rules::{Answer, Decision};
use crate::spec::{IdentifiedBy, OtherMetal, QualificationState, Status};
use crate::units::show;

/// Key of the standard that names repair of castings in its latest edition.
const REPAIR_STANDARD: &str = "iso-15614-2";

fn by_spec(context: &Context<'_>) -> Status {
    context.spec().procedure.value.status.as_ref().map_or(Status::Draft, |at| at.value)
}

fn qualified(context: &Context<'_>) -> QualificationState {
    context.spec().qualification.state.as_ref().map_or(QualificationState::None, |at| at.value)
}

fn record(context: &Context<'_>) -> String {
    let record = context.spec().qualification.record.as_ref();
    record.map_or_else(|| context.blank(), |at| at.value.clone())
}

/// Where the revision stands: by the ledger where it is entered, else by its spec.
pub(super) fn status(context: &Context<'_>) -> &'static str {
    match &context.papers.standing {
        Standing::Issued { .. } => "issued",
        Standing::Superseded { .. } => "superseded",
        Standing::Withdrawn { .. } => "withdrawn",
        Standing::NotEntered | Standing::Changed { .. } | Standing::Unknown => by_spec(context).word(),
    }
}

/// Whether nobody may work from the sheet.
pub(super) fn is_void(context: &Context<'_>) -> bool {
    matches!(status(context), "superseded" | "withdrawn")
        || matches!(context.papers.standing, Standing::Changed { .. } | Standing::Unknown)
}

/// Words about where the revision stands, filled from the ledger.
fn say_standing(context: &Context<'_>, key: &str) -> String {
    let say = Say::of("identity", key);
    let say = match &context.papers.standing {
        Standing::Issued { date } => say.with("on", date),
        Standing::Changed { date, seal } => say.with("on", date).with("sealed", grouped(seal)),
        Standing::Superseded { by, date } => say.with("by", by).with("on", date),
        Standing::Withdrawn { date, reason } => say.with("on", date).with("reason", reason),
        Standing::NotEntered | Standing::Unknown => say,
    };
    context.cell(&say.with("record", record(context))).text
}

/// The key of words for where the revision stands by the ledger; none where that says nothing.
fn standing_key(context: &Context<'_>) -> Option<&'static str> {
    match &context.papers.standing {
        Standing::NotEntered => None,
        // Its spec takes it out of use: that is the word, entered or not.
        Standing::Changed { .. } if by_spec(context) == Status::Withdrawn => None,
        Standing::Issued { .. } => Some("issued"),
        Standing::Changed { .. } => Some("changed"),
        Standing::Superseded { .. } => Some("superseded"),
        Standing::Withdrawn { .. } => Some("withdrawn-on"),
        Standing::Unknown => Some("unknown"),
    }
}

/// The heading line: status and qualification in capitals.
pub(super) fn banner(context: &Context<'_>) -> String {
    let say =
        |key: &str| context.cell(&Say::of("identity", format!("banner/{key}")).with("record", record(context))).text;
    if context.judgement.decision == Decision::No {
        return say("refused");
    }
    let standing = standing_key(context);
    if let Some(key) = standing.filter(|key| *key != "issued") {
        return say_standing(context, &format!("banner/{key}"));
    }
    if by_spec(context) == Status::Withdrawn {
        return say("withdrawn");
    }
    let status = status(context);
    let key = match qualified(context) {
        QualificationState::None => status.to_owned(),
        QualificationState::InProgress => format!("{status}-progress"),
        QualificationState::Qualified => format!("{status}-qualified"),
    };
    let mut lines = vec![say_standing(context, &format!("banner/{key}"))];
    if context.job.base.alloy.is_none() {
        lines.push(say("metal"));
    }
    lines.join("; ")
}

/// What the decision means, in a sentence or two.
pub(super) fn decision(context: &Context<'_>) -> String {
    let refused = context.judgement.decision == Decision::No;
    let standing = standing_key(context).filter(|key| *key != "issued" && !refused);
    if let Some(key) = standing {
        return say_standing(context, &format!("decision/{key}"));
    }
    let any = |answer| context.judgement.gates.iter().any(|gate| gate.answer == answer);
    let key = match (context.judgement.decision, qualified(context)) {
        (Decision::No, _) => "no",
        (Decision::Caution, _) if super::shop::cannot(context) => "caution-set",
        (Decision::Caution, _) if !any(Answer::Unknown) && any(Answer::Head) => "caution-head",
        (Decision::Caution, _) => "caution",
        (Decision::Go, QualificationState::Qualified) => "go-qualified",
        (Decision::Go, _) if standing_key(context).is_some() => "go-issued",
        (Decision::Go, _) if by_spec(context) == Status::Draft => "go-draft",
        (Decision::Go, _) => "go-trial",
    };
    context.cell(&Say::of("identity", format!("decision/{key}")).with("record", record(context))).text
}

/// The seal in groups of four.
pub(super) fn grouped(seal: &str) -> String {
    let digits: Vec<char> = seal.chars().filter(char::is_ascii_hexdigit).take(12).collect();
    let groups: Vec<String> = digits.chunks(4).map(|group| group.iter().collect()).collect();
    groups.join(" ")
}

/// Section 0.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "0");
    let mut table = table(context, "identity", &["item", "value"], &[]);
    procedure(context, &mut table);
    part(context, &mut table);
    metal(context, &mut table);
    people(context, &mut table);
    writer.table(table);
    if !super::decide::refused(context) {
        super::qualification::write(&mut writer);
    }
    writer.done()
}

fn procedure(context: &Context<'_>, table: &mut Table) {
    let procedure = &context.spec().procedure.value;
    let mut row = |item: &str, value: String| table.rows.push(pair(context, item, context.plain(value)));
    row("procedure", procedure.number.value.0.clone());
    row("revision", procedure.revision.value.0.clone());
    row("date", procedure.date.as_ref().map_or_else(|| context.blank(), |at| at.value.0.to_string()));
    if !context.seal.is_empty() {
        row("seal", grouped(context.seal));
    }
}

fn part(context: &Context<'_>, table: &mut Table) {
    let part = &context.spec().part;
    let name = part.name.as_ref().map_or_else(|| context.blank(), |at| at.value.clone());
    let text = match &part.mass {
        Some(mass) => {
            let say = Say::of("values", "with-mass").with("part", name).with("mass", show::stated(&mass.value));
            context.cell(&say).text
        }
        None => name,
    };
    table.rows.push(pair(context, "part", context.plain(text)));
}

fn metal(context: &Context<'_>, table: &mut Table) {
    let spec = &context.spec().metal.value;
    let shown = |metal: &str, form: Option<&str>, thickness: Option<String>| {
        let parts: Vec<String> =
            [Some(metal.to_owned()), form.map(str::to_owned), thickness].into_iter().flatten().collect();
        parts.join(", ")
    };
    let known = |by: Option<IdentifiedBy>| match by {
        // A refusal has no hold to prove the metal at.
        Some(by) if super::decide::refused(context) => by.word().to_owned(),
        by => context.text("identity", &format!("known/{}", by.map_or("none", IdentifiedBy::word))),
    };
    let mut row = |item: &str, value: String| table.rows.push(pair(context, item, context.plain(value)));
    let form = spec.form.as_ref().map(|at| at.value.word());
    let thickness = spec.thickness.as_ref().map(|at| show::stated(&at.value));
    row("metal", shown(&context.job.base.shown, form, thickness));
    row("known", known(context.identified_by()));
    if let (Some(other), Some(base)) = (&spec.other, &context.job.other) {
        let other: &OtherMetal = &other.value;
        let form = other.form.as_ref().map(|at| at.value.word());
        let thickness = other.thickness.as_ref().map(|at| show::stated(&at.value));
        row("other", shown(&base.shown, form, thickness));
        row("other-known", known(other.identified_by.as_ref().map(|at| at.value)));
    }
    if let Some(beside) = &spec.beside {
        row("beside", show::stated(&beside.value.thickness.value));
    }
}

fn people(context: &Context<'_>, table: &mut Table) {
    let spec = context.spec();
    let procedure = &spec.procedure.value;
    let author = procedure.author.as_ref().map_or_else(|| context.blank(), |at| at.value.clone());
    let mut row = |item: &str, value: Cell| table.rows.push(pair(context, item, value));
    row("author", context.plain(author));
    let standing = standing_key(context).map(|key| say_standing(context, &format!("status/{key}")));
    let status = standing.unwrap_or_else(|| context.text("identity", &format!("status/{}", status(context))));
    row("status", context.plain(status));
    row("qualification", qualification(context));
    if let Some(welder) = &spec.qualification.welder {
        let welder = &welder.value;
        let texts = [&welder.name, &welder.standard].into_iter().flatten().map(|at| at.value.clone());
        let position = welder.position.as_ref().map(|at| at.value.word().to_owned());
        let expires = welder
            .expires
            .as_ref()
            .map(|at| context.cell(&Say::of("values", "valid-to").with("0", at.value.0.to_string())).text);
        let all: Vec<String> = texts.chain(position).chain(expires).collect();
        row("welder", context.plain(all.join(", ")));
    }
    if let Some(approval) = &spec.approval {
        let approval = &approval.value;
        row("approval", context.plain(format!("{}, {}", approval.by.value, approval.reference.value)));
    }
    let shop = context.kit().and_then(|kit| kit.shop.name.as_ref()).map(|at| at.value.clone());
    let machine = context.machine().map(|machine| machine.name.value.clone());
    let names: Vec<String> = [shop, machine].into_iter().flatten().collect();
    let names = if names.is_empty() { context.blank() } else { names.join(", ") };
    row("shop", context.plain(names));
}

fn qualification(context: &Context<'_>) -> Cell {
    let spec = &context.spec().qualification;
    let standard = spec.standard.as_ref().map(|at| at.value.clone());
    let key = match (qualified(context), &standard) {
        (QualificationState::None, None) => "none",
        (QualificationState::None, Some(name)) if name.starts_with("ISO 15614-2") => "none-repair",
        (QualificationState::None, Some(_)) => "none-standard",
        (QualificationState::InProgress, None) => "in progress",
        (QualificationState::InProgress, Some(_)) => "progress-standard",
        (QualificationState::Qualified, _) => "qualified",
    };
    let date = spec.date.as_ref().map_or_else(|| context.blank(), |at| at.value.0.to_string());
    let mut say = Say::of("identity", format!("qualification/{key}"))
        .with("standard", standard.unwrap_or_else(|| context.blank()))
        .with("record", record(context))
        .with("date", date);
    if key == "none-repair" {
        say = say.cite(scope());
    }
    Cell { basis: String::new(), ..context.cell(&say) }
}

/// Where the scope of the standard stands.
fn scope() -> Option<Cite> {
    let source = source_by_key(REPAIR_STANDARD)?;
    Some(Cite { source: &source.key, locator: "what it covers", basis: Basis::Published })
}

/// The standing block; the standing cautions are put at its head later.
pub(super) fn standing(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "standing");
    if context.judgement.decision == Decision::No {
        return writer.done();
    }
    if context.job.base.alloy.is_none() {
        let text = Say::of("identity", "head/metal-text").with("family", context.job.base.shown.clone());
        let title = context.text("identity", "head/metal");
        writer.block(Block::Alert { title, items: vec![context.cell(&text)] });
    }
    let raised = context.judgement.gates.iter().filter(|gate| matches!(gate.answer, Answer::Head));
    let raised = raised.filter(|gate| !super::shop::says_gate(context, gate.key));
    let mut items: Vec<Cell> = Vec::new();
    for gate in raised {
        match context.words.get("gates", &format!("{}/reason", gate.key)) {
            Some(_) => items.push(super::decide::gate_text(context, gate, "reason")),
            None => items.push(super::decide::head_line(context, gate)),
        }
        items.extend(context.words.instead(&context.marks, gate.key).iter().map(|step| context.plain(&step.text)));
    }
    if !items.is_empty() {
        writer.block(Block::Alert { title: context.text("decide", "head-title"), items });
    }
    if let Some(lacks) = super::shop::lacks(context) {
        writer.block(lacks);
    }
    for key in ["who", "marks", "bases"] {
        writer.text(Say::of("identity", key));
    }
    writer.done()
}
