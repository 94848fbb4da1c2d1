//! The shop's own steps: each has an id of its own and stands in an order that can be followed.

use crate::findings::{At, Code, Finding};
use crate::spec::types::Step;

pub(super) fn check(steps: &[At<Step>], found: &mut Vec<Finding>) {
    for (index, step) in steps.iter().enumerate() {
        twice(steps, index, step, found);
        order(steps, step, found);
    }
}

/// The step of the shop with this id, and where it stands.
fn by_id<'s>(steps: &'s [At<Step>], id: &str) -> Option<&'s At<Step>> {
    steps.iter().find(|step| step.id.0 == id)
}

fn twice(steps: &[At<Step>], index: usize, step: &At<Step>, found: &mut Vec<Finding>) {
    let earlier = steps.iter().take(index).find(|earlier| earlier.id.value == step.id.value);
    if let Some(earlier) = earlier {
        found.push(
            Finding::new(Code::NameTwice, format!("two steps are called `{}`", step.id.0))
                .at(step.id.span)
                .label("the second of its name")
                .related(earlier.id.span, "the first")
                .help("give each step an id of its own"),
        );
    }
}

/// `after` may name a step of the sheet, which is not known here, or another of the shop's own in the same stage.
fn order(steps: &[At<Step>], step: &At<Step>, found: &mut Vec<Finding>) {
    let Some(after) = &step.after else { return };
    let Some(before) = by_id(steps, &after.0) else { return };
    if before.id.value == step.id.value || leads_back(steps, step) {
        found.push(
            Finding::new(Code::KeyTogether, format!("`{}` comes after itself", step.id.0))
                .at(after.span)
                .label("leads back to this step")
                .help("name a step that comes before it, or take `after` out"),
        );
    } else if before.stage.value != step.stage.value {
        found.push(
            Finding::new(Code::KeyTogether, format!("`{}` follows a step of another stage", step.id.0))
                .at(after.span)
                .label(format!("`{}` stands in \"{}\"", before.id.0, before.stage.word()))
                .related(step.stage.span, format!("this step stands in \"{}\"", step.stage.word()))
                .help("name a step of the same stage, or take `after` out"),
        );
    }
}

/// Whether the chain of `after` comes back to the step. A chain is no longer than the list of steps.
fn leads_back(steps: &[At<Step>], step: &At<Step>) -> bool {
    let mut here = step;
    for _ in steps {
        let Some(before) = here.after.as_ref().and_then(|after| by_id(steps, &after.0)) else { return false };
        if before.id.value == step.id.value {
            return true;
        }
        here = before;
    }
    false
}
