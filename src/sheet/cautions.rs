//! Cautions: each danger that fired is put right before the step that it concerns.
//!
//! The rows that are true of every job merge into the block at the head, five lines at most. Every DANGER and WARNING
//! stands; of CAUTION and NOTICE at most two stand before one step, the gravest. What is left out is listed in the
//! workings all the same.

use super::context::{Context, Say};
use super::decide::{hopeless_without, refused};
use super::{Block, Caution, Section};
use crate::reference::{Hazard, Row};
use crate::rules::Fired;

/// Lines of the standing block.
const STANDING: usize = 5;

/// CAUTION and NOTICE before one step.
const LESSER: usize = 2;

/// The signal words, gravest first.
const SIGNALS: [&str; 4] = ["DANGER", "WARNING", "CAUTION", "NOTICE"];

/// Where a danger that fired stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Stand {
    /// In the block at the head of the sheet.
    Head,
    /// At the head of the section with this id.
    Section(&'static str),
    /// Before the step with this id.
    Step(String),
    /// Nowhere: graver ones stand there.
    Dropped,
    /// Nowhere: the repair is refused for another reason.
    Refused,
}

/// A danger that fired, and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub(super) hazard: &'static Hazard,
    pub(super) stand: Stand,
}

impl Placed {
    /// The words for its place.
    pub(super) fn stands(&self, context: &Context<'_>) -> String {
        match &self.stand {
            Stand::Head => context.text("values", "stands/head"),
            Stand::Section(id) => context.cell(&Say::of("values", "stands/section").with("0", *id)).text,
            Stand::Step(id) => format!("`{id}`"),
            Stand::Dropped => context.text("values", "stands/dropped"),
            Stand::Refused => context.text("values", "stands/refused"),
        }
    }
}

fn gravity(signal: &str) -> usize {
    SIGNALS.iter().position(|known| *known == signal).unwrap_or(0)
}

fn grave(hazard: &Hazard) -> bool {
    gravity(&hazard.signal) < 2
}

fn order(fired: &Fired) -> (usize, u8, &'static str) {
    let hazard: &'static Hazard = fired.hazard;
    (gravity(&hazard.signal), hazard.rank, hazard.id.as_str())
}

/// Ids of all steps, in the order of the sheet.
fn step_ids(sections: &[Section]) -> Vec<String> {
    let blocks = sections.iter().flat_map(|section| &section.blocks);
    blocks.filter_map(|block| if let Block::Step(step) = block { Some(step.id.clone()) } else { None }).collect()
}

/// Whether a step is the one that a hazard names: itself, or one of its parts, as `6.strike-2` is of `6.strike`.
fn names(key: &str, id: &str) -> bool {
    id.strip_prefix(key).is_some_and(|rest| rest.is_empty() || rest.starts_with('-'))
}

/// The sections by their digits, as a row of hazards counts them.
fn section_id(section: u8) -> &'static str {
    ["0", "1", "2", "3", "4", "5", "6", "7", "8", "9"].get(usize::from(section)).copied().unwrap_or("9")
}

/// Where a row stands among these steps.
fn stand(fired: &Fired, steps: &[String]) -> Stand {
    let hazard: &'static Hazard = fired.hazard;
    if hazard.standing {
        return Stand::Head;
    }
    let own = section_id(hazard.section);
    let first = || steps.iter().find(|id| id.split('.').next() == Some(own));
    // What the place brings is there before anybody touches the part.
    let of_place = hazard.section == 3 && fired.trigger.starts_with("place.");
    let named = steps.iter().find(|id| hazard.before.iter().any(|key| names(key, id)));
    let found = if of_place { first().or(named) } else { named.or_else(first) };
    found.map_or(Stand::Section(own), |id| Stand::Step(id.clone()))
}

/// Finds a place for every danger that fired, gravest first.
pub(super) fn place(context: &Context<'_>, sections: &[Section]) -> Vec<Placed> {
    let steps = step_ids(sections);
    let mut fired: Vec<&Fired> = context.judgement.dangers.iter().collect();
    fired.sort_by(|a, b| order(a).cmp(&order(b)));
    let mut placed: Vec<Placed> = Vec::new();
    for one in fired {
        let mut stand = if one.hazard.section == 2 { Stand::Section("2") } else { stand(one, &steps) };
        let there = placed.iter().filter(|other| other.stand == stand);
        let full = match stand {
            Stand::Head => there.count() >= STANDING,
            Stand::Step(_) | Stand::Section(_) => {
                !grave(one.hazard) && there.filter(|other| !grave(other.hazard)).count() >= LESSER
            }
            Stand::Dropped | Stand::Refused => false,
        };
        if full {
            stand = Stand::Dropped;
        }
        placed.push(Placed { hazard: one.hazard, stand });
    }
    placed
}

/// A row as it is printed; on the sheet of a refusal that nothing lifts, without what would lead back to a repair.
pub(super) fn caution(context: &Context<'_>, hazard: &'static Hazard, before: &str) -> Block {
    let text = |part: &str| context.text("hazards", &format!("{}/{part}", hazard.id));
    let refused = context.words.get("hazards", &format!("{}/refused", hazard.id)).is_some();
    let action = if refused && hopeless(context, hazard) { "refused" } else { "action" };
    Block::Caution(Caution {
        id: hazard.id.clone(),
        signal: hazard.signal.clone(),
        title: text("title"),
        hurts: text("hurts"),
        action: text(action),
        before: before.to_owned(),
        cites: context.keys(&[hazard.cite()]),
    })
}

/// Whether the repair is refused in every case by a gate that does not name this danger.
fn hopeless(context: &Context<'_>, hazard: &Hazard) -> bool {
    let names = |key: &str| context.words.get("gates", &format!("{key}/danger")) == Some(hazard.id.as_str());
    let own = context.judgement.gates.iter().map(|gate| gate.key).find(|key| names(key));
    refused(context) && hopeless_without(context, own.unwrap_or(""))
}

/// Puts the cautions into the sections.
pub(super) fn insert(context: &Context<'_>, placed: &[Placed], sections: &mut [Section]) {
    for section in sections {
        let mut blocks: Vec<Block> = Vec::new();
        let of_head = |placed: &&Placed| match &placed.stand {
            Stand::Head => section.id == "standing",
            Stand::Section(id) => section.id == *id,
            Stand::Step(_) | Stand::Dropped | Stand::Refused => false,
        };
        blocks.extend(placed.iter().filter(of_head).map(|placed| caution(context, placed.hazard, "")));
        for block in std::mem::take(&mut section.blocks) {
            if let Block::Step(step) = &block {
                let here = placed.iter().filter(|placed| placed.stand == Stand::Step(step.id.clone()));
                blocks.extend(here.map(|placed| caution(context, placed.hazard, &step.id)));
            }
            blocks.push(block);
        }
        section.blocks = blocks;
    }
}

/// The cautions of a refusal: those of the gates that refuse, at the head of the sheet.
pub(super) fn of_refusal(context: &Context<'_>) -> Vec<Placed> {
    use crate::rules::Answer;
    let refused = context.judgement.gates.iter().filter(|gate| gate.answer == Answer::Refused);
    let named: Vec<&str> =
        refused.filter_map(|gate| context.words.get("gates", &format!("{}/danger", gate.key))).collect();
    let mut placed: Vec<Placed> = Vec::new();
    let mut fired: Vec<&Fired> = context.judgement.dangers.iter().collect();
    fired.sort_by(|a, b| order(a).cmp(&order(b)));
    for one in fired {
        let stand = if named.contains(&one.hazard.id.as_str()) { Stand::Head } else { Stand::Refused };
        placed.push(Placed { hazard: one.hazard, stand });
    }
    placed
}
