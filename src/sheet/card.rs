//! The card: the one-page short form of a sheet, with what the hands need while the hood is down and at the panel.
//!
//! It is chosen from the sheet by the plan beside this module, says the same in fewer words, and is counted against the
//! page before it is printed. What does not fit stays on the sheet; type never shrinks. Each DANGER of the sheet is on
//! it, or there is no card. The card of a refusal says NOT HERE, why, and what to do instead: it can hang on the part, and
//! it takes the place of a card that gave settings before.

mod fit;
mod pick;
pub mod plan;

use super::context::{Context, Say};
use super::{Block, Caution, Sheet, Step, identity, words};
use crate::engine::{Job, Worked};
use crate::findings::{Code, Finding};
use crate::rules::{Answer, Decision, Judgement};
use serde::Serialize;
use std::collections::BTreeMap;

/// A caution in the words of the card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardCaution {
    /// Id of the row of hazards.
    pub id: String,
    /// `DANGER`, or the gravest signal word of a sheet without one.
    pub signal: String,
    /// What.
    pub title: String,
    /// What hurts, how, what to do.
    pub text: String,
}

/// A row of the box of amperages.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AmpsRow {
    /// Which passes.
    pub name: String,
    /// What to set, for each heading.
    pub values: Vec<AmpsValue>,
}

/// An amperage, or a word where there is none to set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct AmpsValue {
    /// `185 A`, or why there is none.
    pub text: String,
    /// Whether it is a value to set: printed at the largest size.
    pub set: bool,
}

/// A line of the box of the pass order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OrderLine {
    /// Which side.
    pub label: String,
    /// The passes in their order.
    pub text: String,
}

/// What is carried in the head.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Carry {
    /// Temperatures of the part that the amperages are given for.
    pub heads: Vec<String>,
    /// Amperages.
    pub rows: Vec<AmpsRow>,
    /// What the set cannot do.
    pub notes: Vec<String>,
    /// The temperature above which no pass starts.
    pub stop: String,
    /// Where a pass may start.
    pub starts: Vec<String>,
    /// The passes.
    pub order: Vec<OrderLine>,
}

/// A setting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardSetting {
    /// Key of the figure.
    pub key: String,
    /// What, as the sheet calls it.
    pub title: String,
    /// What to set, as on the sheet.
    pub set: String,
}

/// A tick: a step of the sheet, in a few words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardTick {
    /// Id of the step.
    pub id: String,
    /// What is true when it is done.
    pub text: String,
    /// Its place among the steps of the sheet.
    pub place: usize,
}

/// The ticks of a pause point.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardGroup {
    /// `cutting`, `arc` or `leaves`.
    pub key: String,
    /// Heading.
    pub title: String,
    /// Ticks in the order of the sheet.
    pub ticks: Vec<CardTick>,
}

/// A hold with a line for name, date and time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CardHold {
    /// Id of the hold.
    pub id: String,
    /// What it releases, in a word or two.
    pub label: String,
}

/// What stands in place of settings where the repair is refused.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct CardRefusal {
    /// Why.
    pub reasons: Vec<String>,
    /// What to do instead.
    pub steps: Vec<CardTick>,
}

/// How much of the sheet stands on the card.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Moved {
    /// Rows of the settings table whose value is on the card.
    pub settings: usize,
    /// Rows of the settings table.
    pub of_settings: usize,
    /// Steps that are on the card.
    pub steps: usize,
    /// Steps of the sheet.
    pub of_steps: usize,
    /// Chosen for the card and left out for want of room.
    pub crowded_out: Vec<String>,
}

/// The card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Card {
    /// Language of the words.
    pub lang: String,
    /// Number of the procedure.
    pub number: String,
    /// Revision.
    pub revision: String,
    /// Title as the author gave it.
    pub title: String,
    /// Date of the revision, or a blank.
    pub date: String,
    /// First 12 hex digits of the seal in groups of four.
    pub seal: String,
    /// What the QR code says: number, revision, seal.
    pub code: String,
    /// Status and qualification in capitals, as on the sheet.
    pub banner: String,
    /// What stands in the way of a start; empty for nothing.
    pub state: String,
    /// Every DANGER, else the gravest caution.
    pub cautions: Vec<CardCaution>,
    /// Set where the repair is refused; all that follows is empty then.
    pub refusal: Option<CardRefusal>,
    /// What is carried in the head.
    pub carry: Option<Carry>,
    /// Heading of the settings: the kind of current.
    pub settings_head: String,
    /// The settings.
    pub settings: Vec<CardSetting>,
    /// The ticks, by pause point.
    pub groups: Vec<CardGroup>,
    /// Whether the last pause point stands below the others, not below the holds.
    pub last_left: bool,
    /// The holds.
    pub holds: Vec<CardHold>,
    /// Words that the face sets itself, by key.
    pub labels: BTreeMap<String, String>,
    /// How much of the sheet is here.
    pub moved: Moved,
    /// Height that all of it takes, mm.
    pub height: f64,
}

/// Why there is no card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NoCard {
    /// DANGERs that have to stand on it.
    pub dangers: usize,
    /// Height that the least card takes, mm.
    pub takes: f64,
    /// Height that there is, mm.
    pub has: f64,
}

/// Words that the face of the card sets itself.
const LABELS: &[&str] = &[
    "carry",
    "part-reads",
    "stop",
    "read",
    "released",
    "name",
    "date",
    "time",
    "not-here",
    "why",
    "instead",
    "printed",
];

/// Makes the card of a sheet.
///
/// # Errors
/// [`NoCard`], when the DANGERs leave no room for what must stand beside them.
pub fn build(job: &Job<'_>, worked: &Worked, judgement: &Judgement, seal: &str, sheet: &Sheet) -> Result<Card, NoCard> {
    let context = Context::new(job, worked, judgement, seal, words::english());
    let refused = judgement.decision == Decision::No;
    let procedure = &job.spec.procedure.value;
    let digits: String = seal.chars().filter(char::is_ascii_hexdigit).take(12).collect();
    let card = Card {
        lang: sheet.lang.clone(),
        number: sheet.number.clone(),
        revision: sheet.revision.clone(),
        title: sheet.title.trim().to_owned(),
        date: procedure.date.as_ref().map_or_else(|| context.blank(), |at| at.value.0.to_string()),
        seal: context.cell(&Say::of("card", "seal").with("0", identity::grouped(seal))).text,
        code: format!("{} {} {}", sheet.number, sheet.revision, digits.to_uppercase()),
        banner: sheet.banner.clone(),
        state: state(&context),
        cautions: cautions(&context, sheet),
        refusal: refused.then(|| refusal(sheet)),
        carry: None,
        settings_head: String::new(),
        settings: Vec::new(),
        groups: Vec::new(),
        last_left: false,
        holds: Vec::new(),
        labels: LABELS.iter().map(|key| ((*key).replace('-', "_"), context.text("card", key))).collect(),
        moved: Moved { of_steps: steps(sheet).count(), ..Moved::default() },
        height: 0.0,
    };
    let card = if refused { card } else { pick::fill(&context, sheet, card) };
    fit::fit(card)
}

/// The steps of a sheet.
pub(super) fn steps(sheet: &Sheet) -> impl Iterator<Item = &Step> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    blocks.filter_map(|block| if let Block::Step(step) = block { Some(step) } else { None })
}

/// What stands in the way of a start, in words that cannot be missed.
fn state(context: &Context<'_>) -> String {
    let any = |answer| context.judgement.gates.iter().any(|gate| gate.answer == answer);
    match context.judgement.decision {
        Decision::Caution if !any(Answer::Unknown) && any(Answer::Head) => context.text("card", "state/head"),
        Decision::Caution => context.text("card", "state/unknown"),
        Decision::Go | Decision::No => String::new(),
    }
}

/// Signal words, gravest first.
const SIGNALS: [&str; 4] = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

/// Every DANGER of the sheet in its order, else the first of the gravest cautions.
fn cautions(context: &Context<'_>, sheet: &Sheet) -> Vec<CardCaution> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    let all: Vec<&Caution> =
        blocks.filter_map(|block| if let Block::Caution(caution) = block { Some(caution) } else { None }).collect();
    let mut chosen: Vec<CardCaution> = Vec::new();
    for caution in all.iter().filter(|caution| caution.signal == "DANGER") {
        if !chosen.iter().any(|own| own.id == caution.id) {
            chosen.push(in_short(context, caution));
        }
    }
    if chosen.is_empty() {
        let gravity = |caution: &Caution| SIGNALS.iter().position(|signal| *signal == caution.signal).unwrap_or(4);
        chosen.extend(all.into_iter().min_by_key(|caution| gravity(caution)).map(|one| in_short(context, one)));
    }
    chosen
}

/// A caution in the words of the card; in its own where the card has none.
fn in_short(context: &Context<'_>, caution: &Caution) -> CardCaution {
    let short = pick::filled(context, &format!("cautions/{}", caution.id), &|_| None);
    let short = short.or_else(|| pick::filled(context, &format!("cautions/{}-short", caution.id), &|_| None));
    CardCaution {
        id: caution.id.clone(),
        signal: caution.signal.clone(),
        title: super::weld_tables::capital(&caution.title),
        text: short.unwrap_or_else(|| format!("{} {}", caution.hurts, caution.action)),
    }
}

/// The reasons of a refusal and what to do instead, as they stand in Decide.
fn refusal(sheet: &Sheet) -> CardRefusal {
    let decide = sheet.sections.iter().filter(|section| section.id == "2").flat_map(|section| &section.blocks);
    let mut refusal = CardRefusal::default();
    for block in decide {
        match block {
            // What is said after the steps names the sections that are left out.
            Block::Text { text, .. } if refusal.steps.is_empty() => refusal.reasons.push(text.text.clone()),
            Block::Step(step) => {
                let place = refusal.steps.len();
                refusal.steps.push(CardTick { id: step.id.clone(), text: step.action.text.clone(), place });
            }
            _ => {}
        }
    }
    refusal
}

impl Card {
    /// What stands on the full sheet only; none where everything is on the card.
    #[must_use]
    pub fn finding(&self) -> Option<Finding> {
        let Moved { settings, of_settings, steps, of_steps, crowded_out } = &self.moved;
        if self.refusal.is_some() {
            let left = of_steps.checked_sub(*steps).filter(|left| *left > 0)?;
            let message = format!("{left} of {of_steps} steps stand on the full sheet only");
            return Some(Finding::new(Code::OutputCardMoved, message));
        }
        let left = of_settings.saturating_sub(*settings);
        let message = format!("{left} of {of_settings} settings stand on the full sheet only");
        let mut finding = Finding::new(Code::OutputCardMoved, message)
            .note(format!("{steps} of {of_steps} steps are ticks of the card; the others stand on the full sheet"));
        if !crowded_out.is_empty() {
            finding = finding.note(format!("left out for want of room: {}", crowded_out.join("; ")));
        }
        Some(finding)
    }
}

impl NoCard {
    /// The finding that there is no card.
    #[must_use]
    pub fn finding(&self) -> Finding {
        let NoCard { dangers, takes, has } = self;
        let words = if *dangers == 1 { "DANGER" } else { "DANGERs" };
        let message = format!("no card: {dangers} {words} and what must stand beside them do not fit on one page");
        Finding::new(Code::OutputCardNone, message)
            .note(format!(
                "they take {takes:.0} mm, the page has {has:.0} mm; type is not shrunk and no DANGER is left out"
            ))
            .help("work from the full sheet")
    }
}
