//! Section 2: go or no-go, question by question, and the hold that agrees to the repair.

use super::context::{Context, Say};
use super::writer::{Writer, table};
use super::{Cell, Section};
use crate::engine::FigureName;
use crate::reference::search::constant;
use crate::rules::metals::Beside;
use crate::rules::{Answer, Decision, Gate};
use crate::spec::{DamageKind, Keep};
use crate::units::{InUnits, mm, show};

/// Keys of the steps that say under what a repair is not refused.
const QUALIFY: &str = "qualify";
const APPROVE: &str = "approve";

/// The gate of a closed part.
const NO_VENT: &str = "closed-no-vent";

/// Gates after which the part goes out of use, whoever asks: nobody else's repair is named beside them.
const OUT_OF_USE: [&str; 2] = ["gas-cylinder", "road-wheel"];

/// Gates that head a sheet until somebody outside the shop agrees, and the hold that says so.
const OTHERS_AGREE: [(&str, &str); 2] = [("propeller", "class"), ("structural", "engineer")];

/// Steps that lead back to a repair here once something is known or changed.
const LEADS_BACK: [&str; 5] = ["again", "ask-held", "maker", "other-cleaner", "clean-again"];

/// Steps that keep people off, whatever else is wrong with the part; tags do so too.
const KEEPS_OFF: [&str; 3] = ["away", "no-heat", "no-dust"];

/// Section 2 of a sheet that is no refusal.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "2");
    let mut questions = table(context, "decide", &["question", "answer", "if-no"], &[]);
    for gate in &context.judgement.gates {
        questions.rows.push(row(context, gate));
    }
    writer.table(questions);
    super::cause::hold(&mut writer);
    super::attempt::hold(&mut writer);
    for (gate, key) in OTHERS_AGREE {
        if context.judgement.gates.iter().any(|own| own.key == gate && own.answer == Answer::Head) {
            writer.hold(key, Say::of("decide", format!("others/{key}")), &[]);
        }
    }
    if super::re_inspect::marks_alone(context) {
        writer.text(Say::of("decide", "others/limits"));
    }
    let what = match super::after::zone(context) {
        Beside::Soft => "agreed/what-soft",
        Beside::Hard => "agreed/what-hard",
        Beside::Same => "agreed/what",
    };
    writer.hold("agreed", agreed(context).with("what", context.text("decide", what)), &[]);
    writer.done()
}

/// One question with its answer and what follows.
fn row(context: &Context<'_>, gate: &Gate) -> Vec<Cell> {
    let question = match gate.key {
        "other-ways" => {
            let ways = context.kind().map_or("other", DamageKind::word);
            let ways = context.text("decide", &format!("ways/{ways}"));
            context.cell(&Say::of("decide", "other-ways/question").with("ways", ways))
        }
        _ => gate_text(context, gate, "question"),
    };
    vec![question, answer(context, gate), so(context, gate)]
}

/// A text of a gate, from whichever file has it.
pub(super) fn gate_text(context: &Context<'_>, gate: &Gate, part: &str) -> Cell {
    let key = format!("{}/{part}", gate.key);
    let file = if context.words.get("gates", &key).is_some() { "gates" } else { "questions" };
    context.cell(&with_args(Say::of(file, key), gate))
}

fn with_args(say: Say, gate: &Gate) -> Say {
    let names = ["0", "1", "2", "3"];
    names.into_iter().zip(&gate.args).fold(say, |say, (name, argument)| say.with(name, argument.clone()))
}

fn answer(context: &Context<'_>, gate: &Gate) -> Cell {
    let key = format!("{}/{}", gate.key, gate.answer.key());
    let own = context.words.get("questions", &key).map(|_| context.cell(&with_args(Say::of("questions", key), gate)));
    if gate.answer == Answer::Unknown {
        return match own {
            Some(own) => context.cell(&Say::of("decide", "open").with("0", own.text)),
            None => context.plain(context.text("decide", "open-plain")),
        };
    }
    own.unwrap_or_else(|| plain_answer(context, gate.answer))
}

/// The answer of a gate that has no words of its own for it.
pub(super) fn plain_answer(context: &Context<'_>, answer: Answer) -> Cell {
    let approval = context.spec().approval.as_ref().map(|at| &at.value);
    let by = approval.map_or_else(|| context.blank(), |approval| approval.by.value.clone());
    let reference = approval.map_or_else(|| context.blank(), |approval| approval.reference.value.clone());
    let key = match answer {
        Answer::Clear => "no-stated",
        Answer::AtHold => "say-so",
        Answer::Unknown => "open-plain",
        Answer::Head | Answer::Refused => "yes-stated",
        Answer::Approved => "approved",
    };
    context.cell(&Say::of("decide", key).with("by", by).with("reference", reference))
}

fn so(context: &Context<'_>, gate: &Gate) -> Cell {
    let key = format!("{}/no", gate.key);
    if context.words.get("questions", &key).is_some() {
        return context.cell(&with_args(Say::of("questions", key), gate));
    }
    let key = match gate.answer {
        Answer::Clear | Answer::AtHold => "go-on",
        Answer::Approved => "unapproved",
        Answer::Unknown => "stop",
        Answer::Head => "head-so",
        Answer::Refused => "refused",
    };
    context.plain(context.text("decide", key))
}

/// A question of the decision as it heads the sheet: with its answer and what to do.
pub(super) fn head_line(context: &Context<'_>, gate: &Gate) -> Cell {
    let top = format!("{}/top", gate.key);
    if context.words.get("decide", &top).is_some() {
        return context.cell(&with_args(Say::of("decide", top), gate));
    }
    let [question, answer, so] = [gate_text(context, gate, "question"), answer(context, gate), so(context, gate)];
    let say = Say::of("values", "head-question").with("0", question.text).with("1", answer.text);
    context.cell(&say.with("2", so.text))
}

/// How far a crack may be chased, mm, and the feature that ends it there, if it is one.
pub(super) fn chase<'a>(context: &Context<'a>) -> Option<(f64, Option<&'a Keep>)> {
    let length = context.size("length")?.value().in_mm();
    let far = constant("chase-most")?.value * length;
    if !context.is_crack() {
        return Some((far, None));
    }
    let past = context.part(FigureName::Groove, "past-tip").map_or(0.0, |(past, _)| past);
    let out = context.part(FigureName::Groove, "run-out-1").map_or(0.0, |(out, _)| out);
    let reach = |keep: &Keep| {
        let distance = keep.distance.as_ref()?.value.value().in_mm();
        Some((length + distance - past - out).max(length))
    };
    let nearest = context.keeps().filter_map(|keep| Some((reach(keep)?, keep))).min_by(|a, b| a.0.total_cmp(&b.0));
    match nearest {
        Some((reach, keep)) if reach < far => Some((reach, Some(keep))),
        _ => Some((far, None)),
    }
}

/// A chase as it is printed, rounded down to whole millimetres.
pub(super) fn chase_text(context: &Context<'_>, chase: f64) -> String {
    show::limit_both(mm(chase.floor()), context.system(), show::Toward::Down)
}

fn agreed(context: &Context<'_>) -> Say {
    match (context.is_crack(), chase(context)) {
        (true, Some((chase, _))) => Say::of("decide", "agreed/crack").with("chase", chase_text(context, chase)),
        (true, None) => Say::of("decide", "agreed/crack-open"),
        (false, Some((chase, _))) if cut_may_grow(context) => {
            Say::of("decide", "agreed/other").with("chase", chase_text(context, chase))
        }
        (false, _) => Say::of("decide", "agreed/plain"),
    }
}

/// Kinds of damage whose opening follows what is found.
pub(super) fn cut_may_grow(context: &Context<'_>) -> bool {
    matches!(
        context.kind(),
        Some(DamageKind::Porosity | DamageKind::CorrosionPitting | DamageKind::FailedWeld | DamageKind::Hole)
    )
}

/// The gates that refuse, without the general questions that only repeat them: those say nothing of what to do instead.
fn refusing<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Gate> + use<'a> {
    let words = context.words;
    let of_gate = move |gate: &&Gate| !words.instead(&[], gate.key).is_empty();
    context.judgement.gates.iter().filter(|gate| gate.answer == Answer::Refused).filter(of_gate)
}

/// Whether the words of a gate hold a step with this id.
fn has(context: &Context<'_>, gate: &Gate, id: &str) -> bool {
    context.words.instead(&context.marks, gate.key).iter().any(|step| step.id == id)
}

/// Whether a gate that refuses does so whatever is qualified or approved.
fn always(context: &Context<'_>, gate: &Gate) -> bool {
    !has(context, gate, QUALIFY) && !has(context, gate, APPROVE)
}

/// Whether another gate than the one with this key refuses in every case: nothing that this one asks for helps then.
pub(super) fn hopeless_without(context: &Context<'_>, key: &str) -> bool {
    refusing(context).any(|gate| gate.key != key && always(context, gate))
}

/// Whether a step of a gate stands on the sheet of a refusal.
fn serves(context: &Context<'_>, gate: &Gate, step: &str) -> bool {
    let out_of_use = refusing(context).any(|other| OUT_OF_USE.contains(&other.key));
    let keeps_off = step.starts_with("tag") || KEEPS_OFF.contains(&step);
    if out_of_use && !OUT_OF_USE.contains(&gate.key) {
        return keeps_off && always(context, gate);
    }
    let hopeless = hopeless_without(context, gate.key);
    // A vent helps only where nothing else refuses: a tank that has held fuel is not opened here either.
    let idle = !always(context, gate) || gate.key == NO_VENT || LEADS_BACK.contains(&step);
    !(hopeless && idle)
}

/// Section 2 of a refusal: the gates that refuse, why, and what to do instead.
pub(super) fn refusal(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "2");
    let mut questions = table(context, "decide", &["question", "answer", "so"], &[]);
    let mut reasons: Vec<String> = Vec::new();
    let mut steps: Vec<(String, String)> = Vec::new();
    for gate in refusing(context) {
        let so = match (always(context, gate), has(context, gate, QUALIFY)) {
            (true, _) => "refused-always",
            _ if hopeless_without(context, gate.key) => "refused",
            (false, true) => "refused-unless",
            (false, false) => "refused-until",
        };
        let so = context.plain(context.text("decide", so));
        questions.rows.push(vec![gate_text(context, gate, "question"), answer(context, gate), so]);
        reasons.push(gate_text(context, gate, "reason").text);
        for step in context.words.instead(&context.marks, gate.key) {
            let told = steps.iter().any(|(id, _)| *id == step.id);
            if !told && serves(context, gate, &step.id) {
                steps.push((step.id.clone(), step.text.clone()));
            }
        }
    }
    writer.table(questions);
    reasons.dedup();
    for reason in reasons {
        writer.lead(String::new(), context.plain(reason));
    }
    for (id, text) in steps {
        writer.push_step(&id, context.plain(text), false);
    }
    writer.not_required("refused");
    writer.done()
}

/// Whether the repair is refused.
pub(super) fn refused(context: &Context<'_>) -> bool {
    context.judgement.decision == Decision::No
}
