//! The shop's own steps: each is put behind the step that it names, or at the end of its stage.

use super::context::{Context, Say};
use super::writer::hold;
use super::{Block, Section, Step};
use crate::spec::Stage;

/// The section of a stage.
fn section_of(stage: Stage) -> &'static str {
    match stage {
        Stage::Assess => "1",
        Stage::Decide => "2",
        Stage::Prepare => "3",
        Stage::Inspect => "4",
        Stage::SetUp => "5",
        Stage::Weld => "6",
        Stage::ReInspect => "7",
        Stage::Finish => "8",
    }
}

/// Position behind the step that `after` names, with or without the digit of its section.
fn behind(section: &Section, after: &str) -> Option<usize> {
    let whole = format!("{}.{after}", section.id);
    let at = |wanted: &str| {
        let found = |block: &Block| matches!(block, Block::Step(step) if step.id == wanted);
        section.blocks.iter().position(found)
    };
    let found = at(&whole).or_else(|| at(after))?;
    // A hold that belongs to the step stays with it.
    let hold = matches!(section.blocks.get(found + 1), Some(Block::Hold(_)));
    Some(found + 1 + usize::from(hold))
}

/// Position behind the last step of a section, or before the hold that ends it.
fn at_end(section: &Section) -> usize {
    let last = section.blocks.iter().rposition(|block| matches!(block, Block::Step(_)));
    let hold = section.blocks.iter().rposition(|block| matches!(block, Block::Hold(_)));
    match (last, hold) {
        (Some(step), _) => step + 1,
        (None, Some(hold)) => hold,
        (None, None) => section.blocks.len(),
    }
}

/// Puts the shop's own steps into the sections, in the order of the spec.
pub(super) fn insert(context: &Context<'_>, sections: &mut [Section]) {
    for step in &context.spec().step {
        let step = &step.value;
        let id = section_of(step.stage.value);
        let Some(section) = sections.iter_mut().find(|section| section.id == id) else { continue };
        let after = step.after.as_ref().and_then(|after| behind(section, &after.value.0));
        let position = after.unwrap_or_else(|| at_end(section));
        let action = context.plain(step.text.value.clone());
        let block = Block::Step(Step { id: format!("{id}.{}", step.id.value.0), action: action.clone(), own: true });
        section.blocks.insert(position, block);
        if step.hold.as_ref().is_some_and(|at| at.value) {
            let criterion = context.cell(&Say::of("sections", "hold/own").with("step", action.text));
            let hold = hold(context, format!("hold-{}", step.id.value.0), criterion, &[], Vec::new());
            section.blocks.insert(position + 1, Block::Hold(hold));
        }
    }
}
