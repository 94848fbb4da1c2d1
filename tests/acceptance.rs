//! Limits of acceptance as a sheet gives them: monotone, ordered by level, the strictest of several standards, and
//! honest about what is not held and what the shop cannot see.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::engine::acceptance::{Sizes, allowed, key, readable};
use interpass::engine::{self, Figure, FigureName, Value};
use interpass::findings::Code;
use interpass::kit::{self, Kit};
use interpass::reference::acceptance::rows_for;
use interpass::reference::{Flaw, acceptance};
use interpass::rules;
use interpass::sheet::{self, Block, Section, show};
use interpass::units::System;
use std::collections::BTreeMap;

/// A spec with its acceptance, in lines of `[damage]`, `[weld]` and `[inspection]`.
fn spec(thickness: &str, joint: &str, more: &str, inspection: &str) -> String {
    format!(
        "format = 1\n[procedure]\nnumber = \"HW-1\"\ntitle = \"Davit bracket\"\nrevision = \"A\"\n[metal]\nalloy = \"6082\"\n\
         temper = \"T6\"\nform = \"plate\"\nthickness = \"{thickness}\"\n{more}[weld]\njoint = \"{joint}\"\n\
         [inspection]\n{inspection}\n"
    )
}

const CRACK: &str = "[damage]\nkind = \"crack\"\nlength = \"40 mm\"\nthrough = true\n";

struct Answer {
    figure: Figure,
    section: Section,
    findings: Vec<Code>,
}

fn answer_in(text: &str, kit: Option<&Kit>) -> Answer {
    let (spec, mut findings) = interpass::spec::read(text);
    let spec = spec.unwrap_or_else(|| panic!("{findings:?}"));
    let (job, more) = engine::job::check(&spec, kit);
    findings.extend(more);
    let worked = engine::work_out(&job);
    findings.extend(worked.findings.clone());
    let judgement = rules::judge(&job, &worked);
    let sheet = sheet::build(&job, &worked, &judgement, "");
    Answer {
        figure: worked.figures[&FigureName::Acceptance].clone(),
        section: sheet.sections.iter().find(|section| section.id == "7").expect("section 7").clone(),
        findings: findings.into_iter().map(|finding| finding.code).collect(),
    }
}

fn answer(text: &str) -> Answer {
    answer_in(text, None)
}

impl Answer {
    fn most(&self, flaw: Flaw) -> Option<f64> {
        self.figure.parts.iter().find(|(own, ..)| *own == key(flaw)).map(|(_, most, _)| *most)
    }

    /// Rows of the table: name and limit.
    fn table(&self) -> BTreeMap<String, String> {
        let table = self.section.blocks.iter().find_map(|block| match block {
            Block::Table(table) if table.key == "acceptance" => Some(table),
            _ => None,
        });
        table.expect("the limits").rows.iter().map(|row| (row[0].text.clone(), row[1].text.clone())).collect()
    }

    fn says(&self, words: &str) -> bool {
        self.section.blocks.iter().any(|block| matches!(block, Block::Text { text, .. } if text.text.contains(words)))
    }
}

fn sizes(wall: f64) -> Sizes {
    Sizes { t: wall, s: wall, a: Some(0.7 * wall), b: Some(1.5 * wall) }
}

/// What a standard allows at a wall; none where it says nothing there.
fn limit(standard: &str, level: &str, flaw: Flaw, wall: f64, joint: &str) -> Option<(f64, bool)> {
    let row = rows_for(standard, level, wall, joint).find(|row| row.flaw == flaw)?;
    Some((readable(allowed(row, &sizes(wall))), row.short))
}

fn walls() -> impl Iterator<Item = f64> {
    (6..=500).map(|tenth| f64::from(tenth) / 10.0)
}

/// ISO 5817 itself steps down at 3 mm for faces out of line: 0.2 mm + 0.1 t up to it, 0.1 t above.
#[test]
fn a_thicker_wall_is_never_allowed_less() {
    let mut compared = 0;
    for standard in ["ISO 10042", "ISO 5817"] {
        for (level, flaw) in ["B", "C", "D"].into_iter().flat_map(|level| Flaw::ALL.map(|flaw| (level, flaw))) {
            for joint in ["butt", "fillet"] {
                let mut before = 0.0;
                for wall in walls() {
                    let Some((most, _)) = limit(standard, level, flaw, wall, joint) else { continue };
                    let steps_down = standard == "ISO 5817" && flaw == Flaw::Misalignment && (wall - 3.1).abs() < 1e-9;
                    assert!(
                        most >= before || steps_down,
                        "{standard} {level} {flaw:?} {joint} {wall} mm: {most} < {before}"
                    );
                    before = most;
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 20_000, "{compared}");
}

#[test]
fn level_b_is_never_looser_than_c_nor_c_than_d() {
    let mut compared = 0;
    for (standard, flaw) in ["ISO 10042", "ISO 5817"].into_iter().flat_map(|name| Flaw::ALL.map(|flaw| (name, flaw))) {
        for (wall, joint) in walls().flat_map(|wall| [(wall, "butt"), (wall, "fillet")]) {
            let levels = ["B", "C", "D"].map(|level| limit(standard, level, flaw, wall, joint));
            for (strict, loose) in [(levels[0], levels[1]), (levels[1], levels[2]), (levels[0], levels[2])] {
                if let (Some((strict, _)), Some((loose, _))) = (strict, loose) {
                    assert!(strict <= loose, "{standard} {flaw:?} {joint} {wall} mm: {levels:?}");
                    compared += 1;
                }
            }
        }
    }
    assert!(compared > 10_000, "{compared}");
}

#[test]
fn classes_of_marks_are_ordered_and_x_judges_long_marks_as_class_1() {
    let most = |level: &str, flaw| limit("ISO 23277", level, flaw, 8.0, "butt").expect("held").0;
    for flaw in [Flaw::MarkLong, Flaw::MarkRound] {
        assert!(most("1", flaw) < most("2", flaw) && most("2", flaw) < most("3", flaw), "{flaw:?}");
    }
    for level in ["1", "2", "3"] {
        let marked = format!("{level}X");
        assert_eq!(most(&marked, Flaw::MarkLong), most("1", Flaw::MarkLong), "{marked}");
        assert_eq!(most(&marked, Flaw::MarkRound), most(level, Flaw::MarkRound), "{marked}");
    }
}

/// In inches a limit may come out stricter, never looser.
#[test]
fn a_limit_in_inches_is_never_looser_than_in_millimetres() {
    for step in 1..=300 {
        let most = readable(f64::from(step) * 0.037);
        for system in [System::Metric, System::Inch] {
            let text = show::amount_up_to(most, "mm", system);
            let inch = text.split(" in").next().and_then(|text| text.rsplit([' ', '(']).next()).expect("inches");
            let inch: f64 = inch.parse().unwrap_or_else(|_| panic!("{text}"));
            assert!(inch * 25.4 <= most + 1e-9, "{text} is over {most} mm");
            assert!(inch * 25.4 > most - 0.26, "{text} is far under {most} mm");
        }
    }
}

#[test]
fn a_row_is_never_passed_by_what_is_printed() {
    for row in &acceptance().rows {
        for wall in walls().filter(|wall| row.above < *wall) {
            let exact = allowed(row, &sizes(wall));
            let read = readable(exact);
            assert!(
                read <= exact + 1e-9 && read >= 0.0 && read > exact - 0.1 - 1e-9,
                "{row:?} {wall}: {read}, {exact}"
            );
            assert!(row.permitted || exact == 0.0, "{row:?}");
        }
    }
}

/// The limits of an 8 mm wall by ISO 10042 C and ISO 23277 2X, worked out by hand from the rows as they are printed.
#[test]
fn eight_millimetres_at_level_c() {
    let inspection =
        "acceptance = [{ standard = \"ISO 10042\", level = \"C\" }, { standard = \"ISO 23277\", level = \"2X\" }]";
    let answer = answer(&spec("8 mm", "groove", CRACK, inspection));
    let wanted = [
        (Flaw::Crack, 0.0),
        (Flaw::CraterCrack, 0.0),
        (Flaw::Fusion, 0.0),
        (Flaw::Pore, 1.5),
        (Flaw::UndercutLong, 0.5),
        (Flaw::UndercutShort, 0.8),
        (Flaw::Underfill, 0.8),
        (Flaw::MarkLong, 2.0),
        (Flaw::MarkRound, 6.0),
    ];
    for (flaw, most) in wanted {
        assert_eq!(answer.most(flaw), Some(most), "{flaw:?}");
    }
    let table = answer.table();
    assert_eq!(table["Surface pore"], "1.5 mm (0.059 in)");
    assert_eq!(table["Continuous undercut"], "0.5 mm (0.019 in)");
    assert_eq!(table["Crack, crater crack, lack of fusion"], "none");
    assert!(matches!(&answer.figure.value, Value::Word(word) if word == "ISO 10042 C, ISO 23277 2X"));
    // All of it is remembered, and says so.
    assert!(answer.says("from memory"));
    assert!(answer.says("inside the weld"), "eye and dye do not see inside");
}

#[test]
fn rows_fit_the_joint() {
    let level = "acceptance = [{ standard = \"ISO 10042\", level = \"D\" }]";
    let of = |joint: &str, more: &str| answer(&spec("6 mm", joint, more, level));
    let fillet = of("fillet", CRACK);
    assert!(fillet.most(Flaw::Convexity).is_some() && fillet.most(Flaw::Excess).is_none());
    // A pore in a fillet is judged by its throat, not by the wall: 0.4 of 4.24 mm.
    assert_eq!(fillet.most(Flaw::Pore), Some(1.6));
    assert_eq!(of("butt", CRACK).most(Flaw::Pore), Some(2.4));
    let pad =
        of("pad", "[damage]\nkind = \"worn surface\"\nlength = \"30 mm\"\nwidth = \"20 mm\"\nheight = \"2 mm\"\n");
    for flaw in [Flaw::Excess, Flaw::Underfill, Flaw::Penetration, Flaw::Misalignment, Flaw::Convexity] {
        assert_eq!(pad.most(flaw), None, "{flaw:?}");
    }
    assert!(pad.most(Flaw::Pore) < Some(2.4) && pad.most(Flaw::UndercutLong).is_some());
    let butt = of("butt", CRACK);
    assert_eq!(butt.most(Flaw::Penetration), Some(5.0));
    // 0.4 of 6 mm.
    assert_eq!(butt.most(Flaw::Misalignment), Some(2.4));
    // Where a thinner wall meets, it rules: 0.2 of 4 mm.
    let thin = of("butt", &format!("beside = {{ thickness = \"4 mm\" }}\n{CRACK}"));
    assert_eq!(thin.most(Flaw::UndercutLong), Some(0.8));
}

#[test]
fn of_two_standards_the_stricter_leads_and_both_are_shown() {
    let both =
        "acceptance = [{ standard = \"ISO 10042\", level = \"D\" }, { standard = \"AWS D1.2\", level = \"cyclic\" }]";
    let answer = answer(&spec("8 mm", "groove", CRACK, both));
    for flaw in [Flaw::UndercutLong, Flaw::UndercutShort] {
        let limits: Vec<_> = answer.figure.limits.iter().filter(|limit| limit.flaw == flaw).collect();
        assert_eq!(limits.len(), 2, "{flaw:?}");
        let leads: Vec<_> = limits.iter().filter(|limit| limit.leads).collect();
        // 0.010 in, down to what a gauge reads, against 1 mm and 1.5 mm.
        assert!(leads.len() == 1 && leads[0].standard == "AWS D1.2" && leads[0].most <= 0.254, "{leads:?}");
        assert_eq!(answer.most(flaw), Some(leads[0].most));
    }
    // The class of loading is that of the part where no level says it.
    let level = |part: &str| {
        let more = format!("[part]\nloading = [{part}]\n{CRACK}");
        let answer = answer_in(&spec("8 mm", "groove", &more, "acceptance = [{ standard = \"AWS D1.2\" }]"), None);
        answer.most(Flaw::Undercut).expect("a limit")
    };
    assert!(level("\"static\"") > level("\"static\", \"vibration\""));
    assert_eq!(level("\"vibration\""), level(""));
}

#[test]
fn without_a_standard_cracks_are_out_and_boxes_stay() {
    let answer = answer(&spec("8 mm", "groove", CRACK, "methods = [\"visual\", \"penetrant\"]"));
    let table = answer.table();
    assert_eq!(table["Crack, crater crack, lack of fusion"], "none");
    for name in ["Surface pore", "Undercut", "Underfill", "Red mark, round"] {
        assert_eq!(table[name], "", "{name}");
    }
    assert!(answer.says("names no standard"));
    assert_eq!(answer.most(Flaw::Crack), Some(0.0));
    assert_eq!(answer.most(Flaw::Pore), None);
}

#[test]
fn what_the_tables_do_not_hold_is_said_and_boxes_stay() {
    for entry in [
        "standard = \"ISO 10043\", level = \"C\"",
        "standard = \"ISO 10042\", level = \"E\"",
        "standard = \"ISO 10042\"",
    ] {
        let answer = answer(&spec("8 mm", "groove", CRACK, &format!("acceptance = [{{ {entry} }}]")));
        assert!(answer.findings.contains(&Code::AcceptanceNotHeld), "{entry}");
        assert_eq!(answer.table()["Surface pore"], "", "{entry}");
        assert!(answer.says("The tables do not hold"), "{entry}");
    }
}

#[test]
fn the_standard_for_steel_gives_way_to_the_one_for_aluminium() {
    let of = |name: &str| {
        answer(&spec("8 mm", "groove", CRACK, &format!("acceptance = [{{ standard = \"{name}\", level = \"C\" }}]")))
    };
    let (steel, aluminium) = (of("ISO 5817"), of("ISO 10042"));
    assert!(steel.findings.contains(&Code::AcceptanceMetal) && !aluminium.findings.contains(&Code::AcceptanceMetal));
    assert_eq!(steel.figure.parts, aluminium.figure.parts);
}

/// A class for the dye that nobody named is the one that stands beside the level of the weld.
#[test]
fn marks_follow_the_level_of_the_weld() {
    for (level, round) in [("B", 6.0), ("C", 6.0), ("D", 8.0)] {
        let answer = answer(&spec(
            "8 mm",
            "groove",
            CRACK,
            &format!("acceptance = [{{ standard = \"ISO 10042\", level = \"{level}\" }}]"),
        ));
        assert_eq!(answer.most(Flaw::MarkRound), Some(round), "{level}");
        assert_eq!(answer.most(Flaw::MarkLong), Some(2.0), "{level}");
        assert!(answer.says("names no class for the dye"), "{level}");
    }
    let looked = "methods = [\"visual\"]\nacceptance = [{ standard = \"ISO 10042\", level = \"C\" }]";
    let answer = answer(&spec("8 mm", "groove", CRACK, looked));
    assert_eq!(answer.most(Flaw::MarkRound), None);
    assert!(answer.says("Without dye"));
}

#[test]
fn what_is_sent_out_is_not_called_unseen() {
    let sent = "methods = [\"visual\", \"penetrant\", \"radiography\"]\nacceptance = [{ standard = \"ISO 10042\", level = \"B\" }]";
    assert!(!answer(&spec("8 mm", "groove", CRACK, sent)).says("inside the weld"));
}

fn shop(measure: &str) -> Kit {
    let (kit, findings) = kit::read(&format!("format = 1\n[shop]\nname = \"Slipway van\"\n{measure}"));
    kit.unwrap_or_else(|| panic!("{findings:?}"))
}

#[test]
fn a_shop_without_dye_is_told_what_would_do() {
    let text = spec("8 mm", "groove", CRACK, "methods = [\"visual\", \"penetrant\"]");
    let cans = "[measure]\npenetrant = { kind = \"visible, solvent removable\" }\n";
    let probe = "[measure]\ntemperature = \"contact thermometer\"\n";
    assert!(answer_in(&text, Some(&shop(probe))).findings.contains(&Code::KitLacks));
    // A kit that lists nothing to measure with says nothing of its dye.
    assert!(!answer_in(&text, Some(&shop(""))).findings.contains(&Code::KitLacks));
    assert!(!answer_in(&text, Some(&shop(cans))).findings.contains(&Code::KitLacks));
    let looked = spec("8 mm", "groove", CRACK, "methods = [\"visual\"]");
    assert!(!answer_in(&looked, Some(&shop(probe))).findings.contains(&Code::KitLacks));
}

/// The dwell at the four places, for a crack from service: 10 min at least, 30 min for the ends; a longer one on the can
/// holds, a shorter one does not; twice as long from 5 to 10 °C.
#[test]
fn the_dwell_stands_at_its_four_places() {
    let of = |place: &str, label: &str| {
        let more = format!("{CRACK}cause = \"fatigue\"\ntips = 1\n[place]\n{place}");
        let text = spec("8 mm", "groove", &more, "");
        let kit = shop(&format!("[measure]\npenetrant = {{ kind = \"visible, solvent removable\"{label} }}\n"));
        let (spec, _) = interpass::spec::read(&text);
        let spec = spec.expect("a spec");
        let (job, _) = engine::job::check(&spec, Some(&kit));
        let figure = engine::work_out(&job).figures[&FigureName::PenetrantDwell].clone();
        let words: Vec<&str> = figure.working.iter().map(|line| line.words).collect();
        for place in ["dwell-tips", "dwell-opening", "dwell-gouge", "dwell-final"] {
            assert!(words.contains(&place), "{place}: {words:?}");
        }
        ["tips", "opening", "gouge", "final"]
            .map(|part| figure.parts.iter().find(|(key, ..)| *key == part).expect("the part").1)
    };
    assert_eq!(of("", ""), [30.0, 10.0, 10.0, 10.0]);
    assert_eq!(of("", ", dwell_on_label = \"5 min\""), [30.0, 10.0, 10.0, 10.0]);
    assert_eq!(of("", ", dwell_on_label = \"20 min\""), [30.0, 20.0, 20.0, 20.0]);
    assert_eq!(of("temperature = \"6 °C\"\n", ""), [60.0, 20.0, 20.0, 20.0]);
    assert_eq!(of("temperature = \"12 °C\"\n", ""), [60.0, 10.0, 10.0, 10.0]);
}
