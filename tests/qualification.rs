//! Qualification: a procedure that is stated to be qualified lies inside what its test covers, or there is no sheet; the
//! standard fits the repair; the welder's own qualification covers the procedure on its date.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::engine::{self, FigureName, Value, job};
use interpass::findings::{Code, Finding, Severity};
use interpass::{rules, sheet, spec};

const QUALIFIED: &str = include_str!("../specs/hw-010.repair.toml");
const BRACKET: &str = include_str!("../specs/revisions/hw-040-a.repair.toml");

/// Findings of the qualification, and what the figure says.
fn judged(text: &str) -> (Vec<Finding>, Option<String>) {
    let (spec, findings) = spec::read(text);
    let spec = spec.unwrap_or_else(|| panic!("{findings:#?}"));
    let (job, _) = job::check(&spec, None);
    let worked = engine::work_out(&job);
    let codes =
        [Code::GateQualification, Code::GateQualificationOpen, Code::GateQualificationStandard, Code::GateWelder];
    let found = rules::judge(&job, &worked).findings;
    let word = worked.figures.get(&FigureName::Qualification).map(|figure| match &figure.value {
        Value::Word(word) => word.clone(),
        other => panic!("{other:?}"),
    });
    (found.into_iter().filter(|finding| codes.contains(&finding.code)).collect(), word)
}

fn with(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "no {from}");
        text.replacen(from, to, 1)
    })
}

/// Codes and severities.
fn codes(text: &str) -> Vec<(Code, Severity)> {
    judged(text).0.iter().map(|finding| (finding.code, finding.severity)).collect()
}

#[test]
fn the_demos_that_claim_a_test_lie_inside_it() {
    for text in [QUALIFIED, BRACKET, include_str!("../specs/hw-032.repair.toml")] {
        let (findings, word) = judged(text);
        assert_eq!((findings, word.as_deref()), (Vec::new(), Some("inside")));
    }
}

#[test]
fn outside_by_a_published_row_is_an_error_at_its_place() {
    // A 6 mm coupon covers 3 to 12 mm.
    let thick = with(BRACKET, &[("thickness     = \"6 mm\"", "thickness     = \"12.5 mm\"")]);
    let (findings, word) = judged(&thick);
    let finding = findings.iter().find(|finding| finding.code == Code::GateQualification).unwrap();
    assert_eq!((finding.severity, word.as_deref()), (Severity::Error, Some("outside")));
    assert!(finding.message.contains("12.5 mm") && finding.message.contains("PQR-2026-07"), "{}", finding.message);
    let at = finding.at.unwrap();
    assert_eq!(&thick[at.start..at.end], "12.5 mm");
    assert!(finding.notes.iter().any(|note| note.contains("EN 288-4") && note.contains("published")), "{finding:?}");
    let (tested, _) = finding.related[0].clone();
    assert_eq!(&thick[tested.start..tested.end], "6 mm");
    // 12 mm lies inside, and without the claim nothing is wrong.
    let edge = with(BRACKET, &[("thickness     = \"6 mm\"", "thickness     = \"12 mm\"")]);
    assert!(!codes(&edge).contains(&(Code::GateQualification, Severity::Error)));
    assert_eq!(codes(&with(&thick, &[("\"qualified\"", "\"in progress\"")])), []);
}

#[test]
fn outside_by_memory_alone_is_a_warning() {
    // The interpass row of the level of toughness is no error; preheat under ASME IX has its class from memory.
    let asme = with(
        BRACKET,
        &[
            ("standard = \"ISO 15614-2\"", "standard = \"ASME IX\""),
            ("preheat = { value = \"110 °C\"", "preheat = { value = \"50 °C\""),
        ],
    );
    assert_eq!(codes(&asme), [(Code::GateQualificationOpen, Severity::Warning)]);
    let inside = with(&asme, &[("value = \"50 °C\"", "value = \"55 °C\"")]);
    assert_eq!(codes(&inside), []);
}

#[test]
fn a_silent_record_is_asked_once() {
    let silent = with(BRACKET, &[(" filler = \"ER5356\",", ""), (" gas = \"argon\",", "")]);
    let (findings, word) = judged(&silent);
    assert_eq!((findings.len(), word.as_deref()), (1, Some("open")));
    assert!(
        findings[0].message.contains("filler (the record does not say), gas (the record does not say)"),
        "{}",
        findings[0].message
    );
    let none = with(BRACKET, &[("coupon   = {", "# {")]);
    assert_eq!(codes(&none), [(Code::GateQualificationOpen, Severity::Warning)]);
}

#[test]
fn a_repair_points_at_the_standard_that_names_repair() {
    for (standard, instead) in
        [("ISO 15614-4", "ISO 15614-2"), ("ISO 15614-1", "ISO 15614-2"), ("AWS D1.1", "AWS D1.2")]
    {
        let text = with(BRACKET, &[("standard = \"ISO 15614-2\"", &format!("standard = \"{standard}\""))]);
        let (findings, _) = judged(&text);
        let finding = findings.iter().find(|finding| finding.code == Code::GateQualificationStandard).unwrap();
        assert_eq!(finding.severity, Severity::Error, "{standard}");
        assert!(finding.help.as_ref().unwrap().contains(instead), "{finding:?}");
        let aimed = with(&text, &[("\"qualified\"", "\"none\"")]);
        assert_eq!(codes(&aimed), [(Code::GateQualificationStandard, Severity::Warning)]);
    }
    assert_eq!(codes(&with(BRACKET, &[("\"ISO 15614-2\"", "\"ISO 15613\""), ("\"qualified\"", "\"none\"")])).len(), 1);
    // What the program itself recommends for a repair is never the standard of the foundry.
    for row in &interpass::reference::qualification_standard().rows {
        assert_ne!(row.instead.as_deref(), Some("ISO 15614-4"));
    }
}

#[test]
fn the_welder_is_held_against_the_date_of_the_procedure() {
    assert_eq!(codes(QUALIFIED), []);
    // Dated 2026-08-14; six months from 2026-02-13 end the day before.
    let late = with(QUALIFIED, &[("confirmed = 2026-07-01", "confirmed = 2026-02-13")]);
    assert_eq!(codes(&late), [(Code::GateWelder, Severity::Warning)]);
    assert_eq!(codes(&with(&late, &[("2026-02-13", "2026-02-14")])), []);
    let over = with(QUALIFIED, &[("expires = 2028-05-07", "expires = 2026-08-13")]);
    assert_eq!(codes(&over), [(Code::GateWelder, Severity::Warning)]);
    // 6 mm tested covers 3 to 12 mm; 2.9 mm tested to 5.8 mm.
    let thin = with(
        QUALIFIED,
        &[("thickness = \"6 mm\", position = \"PF\", group", "thickness = \"2.9 mm\", position = \"PF\", group")],
    );
    assert_eq!(codes(&thin), [(Code::GateWelder, Severity::Warning)]);
    let range = with(&thin, &[("\"2.9 mm\"", "\"3 mm to 6 mm\"")]);
    assert_eq!(codes(&range), []);
}

#[test]
fn the_sheet_prints_what_the_test_covers_and_defers() {
    let (spec, _) = spec::read(QUALIFIED);
    let spec = spec.unwrap();
    let (job, _) = job::check(&spec, None);
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    let sheet = sheet::build(&job, &worked, &judgement, "");
    let blocks = &sheet.sections[0].blocks;
    let tables: Vec<&sheet::Table> = blocks
        .iter()
        .filter_map(|block| if let sheet::Block::Table(table) = block { Some(table) } else { None })
        .collect();
    assert_eq!(
        tables.iter().map(|table| table.key.as_str()).collect::<Vec<_>>(),
        ["identity", "qualification", "welder-qualification"]
    );
    let row = tables[1].rows.iter().find(|row| row[0].text == "Thickness").unwrap();
    let texts: Vec<&str> = row.iter().map(|cell| cell.text.as_str()).collect();
    assert_eq!(texts[1], "6 mm (0.236 in)");
    assert!(texts[2].starts_with("3 to 12 mm"), "{texts:?}");
    assert_eq!((texts[4], texts[5], row[5].basis.as_str()), ("inside", "EN 288-4", "P"));
    let text = |wanted: &str| {
        blocks.iter().any(|block| matches!(block, sheet::Block::Text { text, .. } if text.text.contains(wanted)))
    };
    assert!(text("The standard and the examiner decide") && text("from memory"));
}
