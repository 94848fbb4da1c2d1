//! Standards of acceptance: known by their names, with a level that they have, and meant for the metal of the part.

use crate::findings::{At, Code, Finding};
use crate::reference::AcceptanceStandard;
use crate::reference::acceptance::{held, level_named, standard_named};
use crate::spec::names;
use crate::spec::types::{Acceptance, Spec};

pub(super) fn check(spec: &Spec, found: &mut Vec<Finding>) {
    let family = spec.metal.family.as_ref().map(|at| at.value.as_str());
    let alloy = spec.metal.alloy.as_ref().and_then(|at| names::alloy(at)).map(|row| row.family.as_str());
    let aluminium = alloy.or(family).map(|family| family.contains("aluminium"));
    for entry in &spec.inspection.acceptance {
        let Some(standard) = standard_named(&entry.value.standard) else {
            found.push(unknown(&entry.value.standard));
            continue;
        };
        let other = if aluminium == Some(true) { "steel" } else { "aluminium" };
        if let (Some(_), Some(instead)) = (aluminium.filter(|_| standard.metal == other), &standard.instead) {
            let metal = if other == "steel" { "aluminium" } else { "steel" };
            found.push(
                Finding::new(Code::AcceptanceMetal, format!("{} is for {other}, and the part is not", standard.name))
                    .at(entry.value.standard.span)
                    .label(format!("for {other}"))
                    .help(format!(
                        "write standard = \"{instead}\", which is meant for {metal}; the sheet takes its limits"
                    )),
            );
        }
        found.extend(level(standard, entry));
    }
}

fn unknown(standard: &At<String>) -> Finding {
    Finding::new(Code::AcceptanceNotHeld, format!("the tables hold no limits of \"{}\"", standard.value))
        .at(standard.span)
        .label("not held")
        .help("write its limits into the boxes of section 7, or name one that is held")
        .note(format!("held: {}", held().join(", ")))
}

/// What is wrong with the level: there is none where the standard has several, or the standard has no such level.
fn level(standard: &'static AcceptanceStandard, entry: &At<Acceptance>) -> Option<Finding> {
    // A standard that tells loads apart takes the loading of the part.
    let told = standard.levels.iter().all(|level| ["static", "cyclic"].contains(&level.as_str()));
    let levels = standard.levels.join(", ");
    match &entry.value.level {
        None if told => None,
        None => Some(
            Finding::new(Code::AcceptanceNotHeld, format!("{} has levels, and none is named", standard.name))
                .at(entry.value.standard.span)
                .label("which level?")
                .help(format!("add level: {levels}")),
        ),
        Some(level) if standard.levels.is_empty() || level_named(standard, level).is_some() => None,
        Some(level) => Some(
            Finding::new(Code::AcceptanceNotHeld, format!("{} has no level \"{}\"", standard.name, level.value))
                .at(level.span)
                .label("not a level of it")
                .help(format!("its levels: {levels}")),
        ),
    }
}
