//! The list of the checks that must pass: nothing falls off it unseen, nothing that passes stays off it.

use crate::rows::{Outcome, not_yet};
use crate::{
    after, currents, electrodes, facts, ferrous, formulas, inspection, metals, published, qualification, settings,
    trade,
};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// Checks whose ids are all known, each once, with what came of them.
fn all() -> Vec<(String, String, Option<Outcome>)> {
    let mut all = formulas::all();
    all.extend(published::all());
    all.extend(settings::all());
    all.extend(electrodes::all());
    all.extend(facts::all());
    all.extend(currents::all());
    all.extend(trade::all());
    all.extend(after::all());
    all.extend(inspection::all());
    all.extend(qualification::all());
    all.extend(ferrous::all());
    all.extend(metals::all());
    let ids: BTreeSet<&str> = all.iter().map(|(_, id, _)| id.as_str()).collect();
    assert_eq!(ids.len(), all.len(), "an id stands twice");
    all
}

#[test]
fn what_passes_and_what_fails_stands_on_the_lists() {
    let must: BTreeSet<&str> =
        include_str!("pass.txt").lines().filter(|line| !line.is_empty() && !line.starts_with('#')).collect();
    let not_yet = not_yet();
    let misses = include_str!("known-misses.md");
    let mut complaint = String::new();
    let mut counts: BTreeMap<String, [usize; 3]> = BTreeMap::new();
    let mut seen = BTreeSet::new();
    for (group, id, outcome) in all() {
        seen.insert(id.clone());
        let count = counts.entry(group).or_default();
        let (listed, put_off) = (must.contains(id.as_str()), not_yet.contains_key(&id));
        let told = misses.contains(&format!("| {id} |"));
        let Some(outcome) = outcome else {
            count[2] += 1;
            if !put_off {
                let _ = writeln!(complaint, "not-yet.txt + {id}: ...");
            }
            if listed {
                let _ = writeln!(complaint, "pass.txt - {id}");
            }
            continue;
        };
        assert_eq!(outcome.id, id);
        count[usize::from(!outcome.passed)] += 1;
        if put_off {
            let _ = writeln!(complaint, "not-yet.txt - {id}");
        }
        let (passed, figures) = (outcome.passed, outcome.figures);
        if passed && !listed {
            let _ = writeln!(complaint, "pass.txt + {id}");
        }
        if !passed && listed {
            let _ = writeln!(complaint, "FAILS: {id}: {figures}");
        }
        if passed && told {
            let _ = writeln!(complaint, "known-misses.md - {id}");
        }
        if !passed && !told {
            let _ = writeln!(complaint, "known-misses.md + | {id} | {figures} | ... |");
        }
        if !passed && told && !misses.contains(&format!("| {id} | {figures} |")) {
            let _ = writeln!(complaint, "known-misses.md: the figures of {id} are now: {figures}");
        }
    }
    for id in must.iter().filter(|id| !seen.contains(**id)) {
        let _ = writeln!(complaint, "pass.txt - {id} (no such row)");
    }
    for id in not_yet.keys().filter(|id| !seen.contains(*id)) {
        let _ = writeln!(complaint, "not-yet.txt - {id} (no such row)");
    }
    for (group, [pass, miss, later]) in &counts {
        println!("{group}: {pass} pass, {miss} known misses, {later} not yet");
    }
    assert!(complaint.is_empty(), "\n{complaint}");
}
