//! What is refused, from the text of the spec to the sheet: why, what to do instead, and nowhere a way round. And the
//! same part with a qualified procedure and an approval: a whole sheet that carries them.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[allow(dead_code, reason = "the tests of the rules use the rest")]
#[path = "rules/case.rs"]
mod case;

use case::{CLEAN, Edit, edited, sheet_of as build};
use interpass::rules::Decision;
use interpass::sheet::{Block, Sheet};

fn of(edits: &[Edit<'_>]) -> Sheet {
    build(&edited(CLEAN, edits))
}

fn demo(path: &str) -> Sheet {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("specs").join(path);
    build(&std::fs::read_to_string(path).unwrap())
}

fn blocks(sheet: &Sheet) -> impl Iterator<Item = &Block> {
    sheet.sections.iter().flat_map(|section| &section.blocks)
}

fn step_ids(sheet: &Sheet) -> Vec<&str> {
    blocks(sheet)
        .filter_map(|block| if let Block::Step(step) = block { Some(step.id.as_str()) } else { None })
        .collect()
}

/// Questions of Decide with their answers and what follows.
fn rows(sheet: &Sheet) -> Vec<Vec<&str>> {
    let tables = blocks(sheet).filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None });
    let decide = tables.filter(|table| table.key == "decide").flat_map(|table| &table.rows);
    decide.map(|row| row.iter().map(|cell| cell.text.as_str()).collect()).collect()
}

/// All that the program says on the sheet, in small letters; the author's own prose and names left out.
fn words(sheet: &Sheet) -> String {
    let mut text = String::new();
    for block in blocks(sheet) {
        match block {
            Block::Text { text: cell, .. } => text.push_str(&cell.text),
            Block::Step(step) => text.push_str(&step.action.text),
            Block::Caution(caution) => text.push_str(&format!("{} {}", caution.hurts, caution.action)),
            Block::Table(table) if table.key == "decide" => {
                let cells = table.rows.iter().flatten().map(|cell| cell.text.as_str());
                text.push_str(&cells.collect::<Vec<_>>().join(" "));
            }
            _ => {}
        }
        text.push('\n');
    }
    text.to_lowercase()
}

/// Ways in which people make such parts fit for the torch, and ways back to a sheet.
const WAYS: &[&str] = &[
    "steam",
    "fill it with",
    "fill with",
    "flush",
    "purge",
    "dry ice",
    "exhaust gas",
    "inert",
    "drill",
    "vent it",
    "rinse",
    "make the sheet again",
    "until you",
    "until the procedure",
    "find out which gas",
    "let it off",
    "only to a qualified",
    "open it",
];

/// What is refused whatever is approved, by its spec: what it says to do instead, in its order.
#[rustfmt::skip]
const FOR_GOOD: &[(&str, &[&str])] = &[
    ("refused/hw-019.repair.toml", &["2.away", "2.outside", "2.tag", "2.new", "2.specialist"]),
    ("refused/hw-030.repair.toml", &["2.away", "2.tag-gas", "2.no-heat", "2.tag-cylinder", "2.supplier"]),
    ("refused/hw-031.repair.toml", &["2.no-heat", "2.tag-wheel", "2.new-wheel", "2.cut"]),
];

#[test]
fn tank_cylinder_and_wheel_are_refused_and_no_way_round_is_taught() {
    for (path, steps) in FOR_GOOD {
        let sheet = demo(path);
        assert_eq!(sheet.decision, Decision::No, "{path}");
        assert_eq!(step_ids(&sheet), *steps, "{path}");
        let text = words(&sheet);
        for way in WAYS {
            assert!(!text.contains(way), "{path} says `{way}`");
        }
    }
}

#[test]
fn a_fuel_tank_goes_to_a_specialist_with_a_gas_free_certificate() {
    let text = words(&demo("refused/hw-019.repair.toml"));
    assert!(text.contains("a specialist to aws f4.1 or equal, with a gas-free certificate"), "{text}");
    assert!(text.contains("no tank counts as safe by looks, by smell or after a wash"));
}

#[test]
fn a_cylinder_is_sent_to_nobody_who_welds() {
    for edits in [
        &[("use", "[\"gas cylinder\"]")][..],
        &[("use", "[\"gas cylinder\"]"), ("held", "\"gas\"")],
        &[("use", "[\"gas cylinder\"]"), ("held", "\"fuel\""), ("enclosed", "true"), ("loading", "[\"pressure\"]")],
    ] {
        let sheet = of(edits);
        let steps = step_ids(&sheet);
        assert!(!steps.contains(&"2.specialist") && steps.contains(&"2.supplier"), "{edits:?}: {steps:?}");
        assert!(!steps.contains(&"2.qualify") && !steps.contains(&"2.again"), "{edits:?}: {steps:?}");
    }
}

#[test]
fn a_closed_float_is_not_heated_and_its_maker_is_asked() {
    let sheet = demo("refused/hw-024.repair.toml");
    assert_eq!(sheet.decision, Decision::No);
    assert_eq!(step_ids(&sheet), ["2.no-heat", "2.ask-held", "2.maker", "2.again", "2.new"]);
    let text = words(&sheet);
    for way in ["drill", "steam", "purge", "fill", "saw", "cut a hole", "flush"] {
        assert!(!text.contains(way), "{way}");
    }
    assert!(text.contains("heat bursts a closed part"));
}

#[test]
fn where_something_else_refuses_for_good_nothing_leads_back() {
    // Each by itself may come back with an answer or an approval; beside a tank that has held fuel it may not.
    for edit in [
        ("enclosed", "true"),
        ("cleaner", "\"chlorinated\""),
        ("use", "[\"lifting\"]"),
        ("loading", "[\"pressure\"]"),
        ("consequence", "\"high\""),
        ("attempt", "3"),
    ] {
        let alone = step_ids(&of(&[edit])).join(" ");
        assert!(["2.again", "2.qualify", "2.approve"].iter().any(|back| alone.contains(back)), "{edit:?}: {alone}");
        let sheet = of(&[edit, ("held", "\"fuel\"")]);
        let steps = step_ids(&sheet);
        for back in ["2.again", "2.qualify", "2.approve", "2.maker", "2.ask-held"] {
            assert!(!steps.contains(&back), "{edit:?}: {back}");
        }
        assert!(steps.contains(&"2.specialist"), "{edit:?}");
        let text = words(&sheet);
        assert!(!text.contains("until the procedure") && !text.contains("until an engineer"), "{edit:?}: {text}");
    }
}

#[test]
fn a_lifting_eye_without_approval_is_refused_and_says_what_it_wants() {
    let sheet = demo("refused/hw-023.repair.toml");
    assert_eq!(sheet.decision, Decision::No);
    let rows = rows(&sheet);
    let lifting = rows.iter().find(|row| row[0] == "Does it lift or hold up a load?").expect("it is asked");
    assert_eq!(lifting[2], "refused, until the procedure is qualified and the repair approved");
    let steps = step_ids(&sheet);
    assert_eq!(steps.first(), Some(&"2.tag-lifting"));
    assert!(steps.contains(&"2.maker-repair") && steps.contains(&"2.qualify"));
}

#[test]
fn a_lifting_eye_with_both_gets_a_sheet_that_carries_the_approval() {
    let sheet = demo("hw-032.repair.toml");
    assert_eq!(sheet.decision, Decision::Go);
    assert_eq!(sheet.banner, "TRIAL, PROCEDURE QUALIFIED BY PQR-2026-05");
    let identity = blocks(&sheet).find_map(|block| match block {
        Block::Table(table) if table.key == "identity" => Some(table),
        _ => None,
    });
    let identity = identity.unwrap();
    let approval = identity.rows.iter().find(|row| row[0].text == "Approval").expect("a row of its own");
    assert_eq!(approval[1].text, "engineer of the mast crane, letter MC-14, 2026-11-30");
    let rows = rows(&sheet);
    for question in ["Does it lift or hold up a load?", "Would its failure hurt people or cost much?"] {
        let row = rows.iter().find(|row| row[0] == question).expect(question);
        assert_eq!(row[1], "yes, as stated; approved by engineer of the mast crane, letter MC-14, 2026-11-30");
    }
    assert!(blocks(&sheet).any(|block| matches!(block, Block::Caution(caution) if caution.id == "dropped-load")));
    // High consequence: the root is tested with penetrant too, and cleaned again in full.
    let steps = step_ids(&sheet);
    let at = |id: &str| steps.iter().position(|step| *step == id).unwrap_or_else(|| panic!("no {id}: {steps:?}"));
    assert!(at("6.root-test") < at("6.root-clean"));
}

#[test]
fn a_third_attempt_is_refused_until_an_engineer_approves_it() {
    let sheet = demo("refused/hw-034.repair.toml");
    assert_eq!(sheet.decision, Decision::No);
    let rows = rows(&sheet);
    assert_eq!(rows.len(), 1);
    assert_eq!(rows[0][1..], ["yes, this is attempt 3", "refused, until an engineer approves it"]);
    assert_eq!(step_ids(&sheet), ["2.tag-use", "2.new", "2.why-failed", "2.approve"]);
}
