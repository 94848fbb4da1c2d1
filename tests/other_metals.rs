//! The sheet of other metals than aluminium: what a welder of steel, stainless, iron, copper, nickel, titanium and
//! magnesium does that one of aluminium does not, and nothing that is true of aluminium alone.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[allow(dead_code, reason = "the tests of the rules use the rest")]
#[path = "rules/case.rs"]
mod case;

use case::{CLEAN, Edit, edited, read};
use interpass::rules::{self, Decision};
use interpass::sheet::{self, Block, Sheet, card};
use interpass::{engine, reference};

/// One metal of each kind, with the wall that it is welded at here.
const METALS: &[(&str, &str)] = &[
    ("S355J2", "8 mm"),
    ("4140", "15 mm"),
    ("wear plate", "12 mm"),
    ("H13", "20 mm"),
    ("304", "2 mm"),
    ("2205", "6 mm"),
    ("410", "6 mm"),
    ("grey iron", "10 mm"),
    ("ductile iron", "12 mm"),
    ("C12200", "4 mm"),
    ("C65500", "4 mm"),
    ("C95800", "12 mm"),
    ("C26000", "3 mm"),
    ("C70600", "4 mm"),
    ("alloy 625", "4 mm"),
    ("Ti grade 2", "3 mm"),
    ("AZ91C", "8 mm"),
];

fn spec(alloy: &str, wall: &str, more: &[Edit<'_>]) -> String {
    let (alloy, wall) = (format!("\"{alloy}\""), format!("\"{wall}\""));
    let mut edits: Vec<Edit<'_>> = vec![("alloy", &alloy), ("thickness", &wall), ("temper", ""), ("form", "")];
    edits.extend([("depth", ""), ("through", "true")]);
    edits.extend_from_slice(more);
    edited(CLEAN, &edits)
}

/// The sheet, with what the card says.
fn both(text: &str) -> (Sheet, String) {
    let spec = read(text);
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    let sheet = sheet::build(&job, &worked, &judgement, "0123456789abcdef");
    let card = card::build(&job, &worked, &judgement, "0123456789abcdef", &sheet);
    let card = card.map_or_else(|_| String::new(), |card| serde_json::to_string(&card).unwrap());
    (sheet, card)
}

fn of(alloy: &str, wall: &str, more: &[Edit<'_>]) -> Sheet {
    both(&spec(alloy, wall, more)).0
}

fn steps(sheet: &Sheet) -> Vec<(&str, &str)> {
    let mut steps = Vec::new();
    for block in sheet.sections.iter().flat_map(|section| &section.blocks) {
        if let Block::Step(step) = block {
            steps.push((step.id.as_str(), step.action.text.as_str()));
        }
    }
    steps
}

fn says<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s str> {
    steps(sheet).into_iter().find(|(own, _)| *own == id).map(|(_, text)| text)
}

fn at(sheet: &Sheet, id: &str) -> usize {
    let ids: Vec<&str> = steps(sheet).into_iter().map(|(id, _)| id).collect();
    ids.iter().position(|own| *own == id).unwrap_or_else(|| panic!("no {id} in {ids:?}"))
}

fn hold<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s sheet::Hold> {
    let blocks = sheet.sections.iter().flat_map(|section| &section.blocks);
    blocks.filter_map(|block| if let Block::Hold(hold) = block { Some(hold) } else { None }).find(|hold| hold.id == id)
}

/// All that the sheet says from section 1 to 9, its workings and sources left out.
fn words(sheet: &Sheet) -> String {
    let parts = sheet.sections.iter().filter(|section| !["A", "B", "C"].contains(&section.id.as_str()));
    let mut all = String::new();
    for block in parts.flat_map(|section| &section.blocks) {
        all.push('\n');
        all.push_str(&match block {
            Block::Step(step) => step.action.text.clone(),
            Block::Text { text, lead } => format!("{lead} {}", text.text),
            Block::Caution(caution) => format!("{} {} {}", caution.title, caution.hurts, caution.action),
            Block::Hold(hold) => hold.criterion.text.clone(),
            Block::Alert { title, items } => {
                format!("{title} {}", items.iter().map(|item| item.text.as_str()).collect::<Vec<_>>().join("\n"))
            }
            Block::Drawing(drawing) => format!("{} {}", drawing.title, drawing.description),
            Block::Table(table) => {
                table.rows.iter().flatten().map(|cell| cell.text.as_str()).collect::<Vec<_>>().join("\n")
            }
            Block::Prose { .. } | Block::List { .. } => String::new(),
        });
    }
    all
}

#[test]
fn no_sheet_of_another_metal_says_what_is_true_of_aluminium_alone() {
    for (alloy, wall) in METALS {
        for more in [&[][..], &[("identified_by", "\"certificate\""), ("access", "\"one side\"")]] {
            let (sheet, card) = both(&spec(alloy, wall, more));
            assert_ne!(sheet.decision, Decision::No, "{alloy}");
            let all = words(&sheet);
            for line in all.lines().filter(|line| line.to_lowercase().contains("alumin")) {
                // Another metal is named where it is told apart from this one.
                let apart =
                    ["aluminium 2.7", "aluminium bronze", "it is aluminium", "aluminium rod", "aluminium washers"];
                let apart = apart.iter().any(|words| line.contains(words)) || line.contains("1.5 % aluminium");
                assert!(apart, "{alloy}: {line}");
            }
            for of_aluminium in ["vinegar", "% EN", "arc within 4 h", "the temper stands", "powder it", "anodis"] {
                let magnesium = *alloy == "AZ91C" && ["vinegar", "% EN"].contains(&of_aluminium);
                // Bronze with much aluminium is welded on AC for its skin.
                let magnesium = magnesium || (*alloy == "C95800" && of_aluminium == "% EN");
                assert!(magnesium || !all.contains(of_aluminium), "{alloy} says {of_aluminium}");
                assert!(magnesium || !card.contains(of_aluminium), "{alloy}: the card says {of_aluminium}");
            }
            assert!(!all.contains('[') && !all.contains("NaN"), "{alloy}: {all}");
            for note in &sheet.sources {
                assert!(reference::source_by_key(&note.key).is_some(), "{alloy}: {}", note.key);
            }
        }
    }
}

#[test]
fn every_metal_has_a_card() {
    for (alloy, wall) in METALS {
        let (_, card) = both(&spec(alloy, wall, &[]));
        assert!(!card.is_empty(), "{alloy}: the dangers leave no room for a card");
    }
}

#[test]
fn each_metal_is_proved_by_tests_that_show_it() {
    let stamped = [("identified_by", "\"stamp\"")];
    for (alloy, wall, wanted, never) in [
        ("S355J2", "8 mm", &["3.weigh", "3.magnet", "3.file", "3.spark"][..], &["3.vinegar", "3.fracture"][..]),
        ("304", "2 mm", &["3.weigh", "3.magnet", "3.spark"], &["3.vinegar", "3.file"]),
        ("grey iron", "10 mm", &["3.weigh", "3.magnet", "3.ring", "3.chip", "3.spark"], &["3.vinegar"]),
        ("C65500", "4 mm", &["3.weigh", "3.magnet", "3.colour", "3.chip"], &["3.vinegar", "3.spark"]),
        ("alloy 625", "4 mm", &["3.weigh", "3.magnet", "3.spark"], &["3.vinegar"]),
        ("Ti grade 2", "3 mm", &["3.weigh", "3.magnet", "3.spark"], &["3.vinegar"]),
        ("AZ91C", "8 mm", &["3.weigh", "3.vinegar"], &["3.magnet", "3.fracture"]),
    ] {
        let sheet = of(alloy, wall, &stamped);
        for id in wanted {
            assert!(at(&sheet, id) < at(&sheet, "3.open"), "{alloy}: {id}");
        }
        for id in never {
            assert!(says(&sheet, id).is_none(), "{alloy}: {id}");
        }
        let hold = hold(&sheet, "hold-identity").expect("the metal is proved before it is ground");
        assert!(hold.boxes.len() > 3 && hold.criterion.text.contains("Dry / (dry - wet) is"), "{alloy}: {hold:?}");
    }
    // The numbers are those of the metal: 3 % either way of its density.
    let steel = of("S355J2", "8 mm", &stamped);
    assert!(hold(&steel, "hold-identity").unwrap().criterion.text.contains("7.61 to 8.09"));
    let fixed = of("S355J2", "8 mm", &[("identified_by", "\"stamp\""), ("part.movable", "false")]);
    assert!(says(&fixed, "3.weigh").is_none() && says(&fixed, "3.filings").is_none());
    assert!(!hold(&fixed, "hold-identity").unwrap().criterion.text.contains("Dry"), "nothing was weighed");
}

#[test]
fn steel_that_hardens_is_kept_warm_cooled_slowly_and_tested_late() {
    let sheet = of("4140", "15 mm", &[]);
    for pair in ["6.preheat", "6.strike", "6.warm", "6.cool-slow", "7.relieve", "7.delay", "7.visual"].windows(2) {
        assert!(at(&sheet, pair[0]) < at(&sheet, pair[1]), "{pair:?}");
    }
    assert!(says(&sheet, "6.preheat").unwrap().contains("260 to 315 °C"));
    assert!(says(&sheet, "7.delay").unwrap().contains("48 h"));
    assert!(says(&sheet, "6.bar").is_none(), "cold copper hardens it");
    assert!(says(&sheet, "6.preheat-again").is_some(), "it was cold for the test of side 2");
    let plate = of("wear plate", "12 mm", &[]);
    assert!(says(&plate, "7.relieve").is_none(), "heat softens it");
    let mild = of("S355J2", "8 mm", &[]);
    for id in ["6.preheat", "6.cool-slow", "7.relieve", "7.delay"] {
        assert!(says(&mild, id).is_none(), "{id}");
    }
    assert!(says(&of("H13", "20 mm", &[]), "6.cool-slow").unwrap().contains("within the hour"));
}

#[test]
fn iron_and_steel_are_ground_bright_after_the_dye_and_tested_for_magnetism() {
    for alloy in ["S355J2", "4140", "ductile iron"] {
        let sheet = of(alloy, "10 mm", &[]);
        assert!(at(&sheet, "3.tips-mark") < at(&sheet, "3.scale"), "{alloy}: grinding smears a crack shut");
        assert!(at(&sheet, "3.scale") < at(&sheet, "3.open"), "{alloy}");
        assert!(says(&sheet, "5.magnetism").unwrap().contains("2 mT"), "{alloy}");
    }
    for alloy in ["304", "C65500", "Ti grade 2"] {
        let sheet = of(alloy, "4 mm", &[]);
        assert!(says(&sheet, "3.scale").is_none() && says(&sheet, "5.magnetism").is_none(), "{alloy}");
    }
    let methods = [("+", "[inspection]\nmethods = [\"visual\", \"penetrant\", \"magnetic particle\"]")];
    assert!(says(&of("S355J2", "8 mm", &methods), "7.magnetic").unwrap().contains("two directions"));
    assert!(says(&of("410", "6 mm", &methods), "7.magnetic").unwrap().contains("two directions"));
    assert!(says(&of("304", "2 mm", &methods), "7.magnetic").unwrap().contains("Leave magnetic"));
}

#[test]
fn stainless_is_purged_where_the_root_comes_through_and_cleaned_of_its_tint() {
    let thin = of("304", "2 mm", &[("joint", "\"butt\"")]);
    for pair in
        ["3.keep-apart", "6.purge-box", "6.purge", "6.purge-read", "6.strike", "6.purge-keep", "7.tint"].windows(2)
    {
        assert!(at(&thin, pair[0]) < at(&thin, pair[1]), "{pair:?}");
    }
    assert!(says(&thin, "6.purge").unwrap().contains("10 times the volume"));
    assert!(at(&thin, "8.tint-off") < at(&thin, "8.passivate"));
    let both = of("2205", "6 mm", &[]);
    assert!(says(&both, "6.purge").is_none() && words(&both).contains("Gas behind the root: not required"));
    let one = of("2205", "6 mm", &[("access", "\"one side\"")]);
    assert!(says(&one, "6.purge").is_some());
    assert!(words(&one).contains("Heat input of each bead"), "duplex has a window of heat");
    assert!(says(&one, "6.preheat").is_none());
}

#[test]
fn iron_is_welded_cold_in_short_beads_or_hot_in_one_heat() {
    let cold = of("grey iron", "10 mm", &[]);
    assert!(at(&cold, "6.short-beads") < at(&cold, "6.peen"));
    assert!(says(&cold, "6.preheat").is_none() && says(&cold, "6.back-step").is_none());
    assert!(says(&cold, "6.cool-slow").unwrap().contains("dry ash"));
    let set = [("+", "[weld.set]\npreheat = { value = \"320 °C\", because = \"the hot way\" }")];
    let hot = of("grey iron", "10 mm", &set);
    assert!(says(&hot, "6.preheat").is_some() && says(&hot, "6.peen").is_none());
    assert!(words(&hot).contains("The hot way, and no mixing"));
    let oily = of("grey iron", "10 mm", &[("surface", "[\"oil soaked\"]")]);
    assert!(at(&oily, "5.burn-out") < at(&oily, "5.scrape"));
    assert!(says(&oily, "5.bake").is_none());
}

#[test]
fn titanium_stays_under_gas_until_it_is_cold_and_is_judged_by_its_colour() {
    let sheet = of("Ti grade 2", "3 mm", &[("joint", "\"butt\"")]);
    assert!(at(&sheet, "6.trailing") < at(&sheet, "6.strike"));
    assert!(says(&sheet, "6.gas").unwrap().contains("425 °C"));
    assert!(says(&sheet, "6.purge-read").unwrap().contains("20 ppm"));
    assert!(at(&sheet, "7.tint") < at(&sheet, "7.visual"));
    assert!(hold(&sheet, "hold-accepted").unwrap().criterion.text.contains("silver and straw"));
    let alcohol = of("Ti grade 2", "3 mm", &[("cleaner", "\"alcohol\"")]);
    assert!(says(&alcohol, "3.degrease").unwrap().contains("no methanol"));
}

#[test]
fn magnesium_is_welded_on_ac_and_relieved_before_it_goes_to_work() {
    let sheet = of("AZ91C", "8 mm", &[]);
    assert!(says(&sheet, "7.relieve").unwrap().contains("260 °C"));
    assert!(words(&sheet).contains("dry sand") && says(&sheet, "6.fade").unwrap().contains("slowly"));
    let settings = words(&sheet);
    assert!(settings.contains("% EN"), "alternating current has a balance");
    assert!(!words(&of("S355J2", "8 mm", &[])).contains("% EN"), "direct current has none");
}
