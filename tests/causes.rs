//! What broke the part, and how often it was mended before, change the sheet: the question of the decision, the holds,
//! what is cut and tested, and what is made otherwise at the end.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[allow(dead_code, reason = "the tests of the rules use the rest")]
#[path = "rules/case.rs"]
mod case;

use case::{CLEAN, Edit, edited, read, sheet_of as build};
use interpass::engine;
use interpass::engine::FigureName;
use interpass::rules::Decision;
use interpass::sheet::{Block, Sheet};
use interpass::spec::Cause;
use std::collections::BTreeSet;

/// A through crack in a wrought plate, broken by this.
fn broken_by(cause: &str) -> Sheet {
    build(&edited(CLEAN, &[("through", "true"), ("depth", ""), ("damage.cause", &format!("\"{cause}\""))]))
}

fn blocks(sheet: &Sheet) -> impl Iterator<Item = &Block> {
    sheet.sections.iter().flat_map(|section| &section.blocks)
}

/// Steps and holds by their ids, with what they say.
fn said(sheet: &Sheet) -> Vec<(&str, &str)> {
    fn say(block: &Block) -> Option<(&str, &str)> {
        match block {
            Block::Step(step) => Some((step.id.as_str(), step.action.text.as_str())),
            Block::Hold(hold) => Some((hold.id.as_str(), hold.criterion.text.as_str())),
            _ => None,
        }
    }
    blocks(sheet).filter_map(say).collect()
}

fn text_of<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s str> {
    said(sheet).into_iter().find(|(own, _)| *own == id).map(|(_, text)| text)
}

fn questions(sheet: &Sheet) -> Vec<[&str; 2]> {
    let tables = blocks(sheet).filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None });
    let decide = tables.filter(|table| table.key == "decide").flat_map(|table| &table.rows);
    decide.map(|row| [row[0].text.as_str(), row[1].text.as_str()]).collect()
}

/// A cause, a word of its question, and the steps and holds that it brings, each with a word that it must say.
type Row = (&'static str, &'static str, &'static [(&'static str, &'static str)]);

#[rustfmt::skip]
const BRINGS: &[Row] = &[
    ("fatigue", "load, the shape or the shaking", &[
        ("1.change", "corner"), ("1.shaken", "shook"), ("hold-cause", "takes the load off, or changes the shape"),
        ("8.dress", "along the load"), ("8.round", "radius 6 mm"), ("8.doubler", "no plate over it that ends square"),
        ("8.unshaken", "what shook it"), ("8.look-again", "of use"),
    ]),
    ("corrosion", "wet, or the other metal, kept off", &[
        ("1.change", "other metal"), ("hold-cause", "keeps wet and other metal off"), ("3.cut-back", "no pit and no grey powder"),
        ("8.no-pocket", "drain"), ("8.isolate", "other metal off"), ("8.bare", "Coat"),
    ]),
    ("stress corrosion", "pull, the heat, the crevice or the alloy", &[
        ("1.change", "alloy and temper"), ("hold-cause", "pull, the heat or the crevice"), ("3.branches", "branch"),
        ("3.tips", "50 mm"), ("4.penetrant", "50 mm"), ("7.penetrant", "50 mm"), ("3.cut-back", "no pit"), ("8.unstrained", "without strain"), ("8.isolate", "other metal"), ("8.no-pocket", "drain"), ("8.bare", "Coat"),
        ("8.look-again", "of use"),
    ]),
    ("overload", "a stop, a limit or a stronger part", &[
        ("1.change", "overloaded"), ("1.bent", "straight edge"), ("8.straight", "nothing cold within 50 mm"),
        ("8.limit", "overload"),
    ]),
    ("impact", "not be hit there again", &[
        ("1.bent", "never cold beside the finished weld"), ("3.tips", "50 mm"), ("4.penetrant", "50 mm"), ("7.penetrant", "50 mm"), ("8.straight", "nothing cold"),
    ]),
    ("wear", "sleeve, a bush or a wear plate", &[("1.change", "rubs"), ("8.wear", "not for aluminium")]),
    ("freezing", "whole casting looked at", &[
        ("1.all-over", "more than one place"), ("3.tips", "50 mm"), ("4.penetrant", "50 mm"), ("7.penetrant", "50 mm"), ("3.tips-all", "rest of the casting"),
        ("8.leak-test", "water"), ("hold-leak", "No drop"), ("8.frost", "frost"),
    ]),
    ("thermal", "grow and shrink", &[
        ("1.change", "growing or shrinking"), ("6.free-end", "one end alone"), ("6.cool-slow", "no water"),
        ("8.grow", "slotted holes"),
    ]),
    ("casting defect", "wider cut agreed", &[
        ("1.foundry", "run on inside"), ("3.tips", "50 mm"), ("3.cut-round", "tight and bright"),
        ("4.penetrant", "50 mm"), ("4.again", "two tests in a row"), ("7.penetrant", "50 mm"),
    ]),
    ("unknown", "known what broke it", &[("1.cause", "Ask how it broke"), ("hold-cause", "How it broke is written down")]),
];

#[test]
fn every_cause_is_in_the_list() {
    let listed: BTreeSet<&str> = BRINGS.iter().map(|(cause, ..)| *cause).collect();
    assert_eq!(listed, Cause::ALL.iter().map(|cause| cause.word()).collect());
}

#[test]
fn each_cause_changes_the_sheet_and_no_other_does_so() {
    for (cause, question, brings) in BRINGS {
        let sheet = broken_by(cause);
        let asked: Vec<_> = questions(&sheet).into_iter().filter(|row| row[0].contains(question)).collect();
        assert_eq!(asked.len(), 1, "{cause}: {question}");
        for (id, word) in *brings {
            let text = text_of(&sheet, id).unwrap_or_else(|| panic!("{cause}: no {id}"));
            assert!(text.contains(word), "{cause}: {id}: {text}");
        }
        // A sheet of another cause says none of it, but for what two causes share.
        for (other, _, also) in BRINGS.iter().filter(|(other, ..)| other != cause) {
            let sheet = broken_by(other);
            assert!(!questions(&sheet).iter().any(|row| row[0].contains(question)), "{other} asks as {cause} does");
            for (id, word) in brings.iter().filter(|(id, _)| !also.iter().any(|(shared, _)| shared == id)) {
                if ["8.dress", "1.shaken"].contains(id) {
                    continue;
                }
                let same = text_of(&sheet, id).is_some_and(|text| text.contains(word));
                assert!(!same, "{other}: {id} says `{word}` as for {cause}");
            }
        }
    }
}

#[test]
fn work_stops_where_a_weld_alone_will_not_hold() {
    for (cause, stops) in [
        ("fatigue", true),
        ("corrosion", true),
        ("stress corrosion", true),
        ("unknown", true),
        ("overload", false),
        ("impact", false),
        ("wear", false),
        ("freezing", false),
        ("thermal", false),
        ("casting defect", false),
    ] {
        let sheet = broken_by(cause);
        let ids: Vec<&str> = said(&sheet).into_iter().map(|(id, _)| id).collect();
        let at = |id: &str| ids.iter().position(|own| *own == id);
        assert_eq!(at("hold-cause").is_some(), stops, "{cause}");
        if stops {
            assert!(at("hold-cause") < at("hold-agreed") && at("hold-cause") < at("3.degrease"), "{cause}");
            let answer = questions(&sheet).into_iter().find(|row| row[1].contains("hold-cause"));
            assert!(answer.is_some(), "{cause}: Decide names the hold");
        }
    }
    let silent = build(CLEAN);
    assert!(text_of(&silent, "hold-cause").is_some(), "a cause that is left out is unknown");
}

#[test]
fn a_faulty_casting_is_opened_wider() {
    let cast = |cause: &str, depth: bool| {
        let cause = format!("\"{cause}\"");
        let mut edits: Vec<Edit<'_>> =
            vec![("alloy", "\"356.0\""), ("temper", "\"F\""), ("form", "\"sand casting\""), ("damage.cause", &cause)];
        if !depth {
            edits.extend([("through", "true"), ("depth", "")]);
        }
        let text = edited(CLEAN, &edits);
        let spec = read(&text);
        let (job, _) = engine::job::check(&spec, None);
        let worked = engine::work_out(&job);
        let groove = &worked.figures[&FigureName::Groove];
        let part = |key: &str| groove.parts.iter().find(|(own, ..)| *own == key).map(|(_, number, _)| *number).unwrap();
        (part("depth-1"), part("past-tip"), part("full-length-1"))
    };
    // Damage 3 mm deep, 30 mm long, both ends inside: 1 mm and 10 mm past it, in a faulty casting 2 mm and 15 mm.
    assert_eq!(cast("overload", true), (4.0, 10.0, 50.0));
    assert_eq!(cast("casting defect", true), (5.0, 15.0, 60.0));
    let (through, _, length) = cast("overload", false);
    assert_eq!((through, length), (cast("casting defect", false).0, 50.0));
    assert_eq!(cast("casting defect", false).2, 60.0);
}

#[test]
fn what_a_cause_brings_stands_in_the_order_of_the_hands() {
    let in_order = |cause: &str, edits: &[Edit<'_>], order: &[&str]| {
        let cause = format!("\"{cause}\"");
        let all: Vec<Edit<'_>> = [("damage.cause", cause.as_str())].into_iter().chain(edits.iter().copied()).collect();
        let sheet = build(&edited(CLEAN, &all));
        let ids: Vec<&str> = said(&sheet).into_iter().map(|(id, _)| id).collect();
        let at = |id: &&str| ids.iter().position(|own| own == id).unwrap_or_else(|| panic!("no {id}: {ids:?}"));
        assert!(order.iter().map(at).is_sorted(), "{cause}: {order:?} in {ids:?}");
    };
    let butt = [("joint", "\"butt\""), ("depth", ""), ("through", "true")];
    in_order("thermal", &butt, &["6.free-end", "6.probe", "6.strike", "6.shut", "6.cool-slow", "7.cool"]);
    in_order("corrosion", &[], &["3.open", "3.cut-back", "4.penetrant", "8.dress", "8.wash", "8.bare", "8.isolate"]);
    in_order("casting defect", &[], &["1.foundry", "3.tips", "3.open", "3.cut-round", "4.again"]);
    in_order("freezing", &[], &["1.all-over", "3.tips", "3.tips-all", "3.open", "8.leak-test", "8.frost"]);
    in_order("fatigue", &[], &["1.change", "hold-cause", "hold-agreed", "8.dress", "8.round", "8.look-again"]);
}

#[test]
fn a_bent_casting_is_not_straightened() {
    let cast = |cause: &str| {
        let cause = format!("\"{cause}\"");
        build(&edited(
            CLEAN,
            &[("alloy", "\"356.0\""), ("temper", "\"F\""), ("form", "\"sand casting\""), ("damage.cause", &cause)],
        ))
    };
    for cause in ["overload", "impact"] {
        let sheet = cast(cause);
        assert!(text_of(&sheet, "1.bent").is_some_and(|text| text.contains("not straightened")), "{cause}");
        assert_eq!(text_of(&sheet, "8.straight"), None, "{cause}");
    }
}

#[test]
fn a_second_attempt_is_reviewed_and_a_third_approved() {
    let approval = ("+", "[approval]\nby = \"the harbour engineer\"\nreference = \"HE-7\"");
    let of = |attempt: &str, approved: bool| {
        let edits = [("attempt", attempt), ("damage.cause", "\"overload\""), approval];
        build(&edited(CLEAN, edits.get(..if approved { 3 } else { 2 }).unwrap()))
    };
    let first = of("1", false);
    for id in ["1.earlier", "3.old-repair", "hold-review", "hold-approval"] {
        assert_eq!(text_of(&first, id), None, "{id}");
    }
    assert!(text_of(&first, "7.mend").unwrap().ends_with("count the attempt."));

    let second = of("2", false);
    assert_eq!(second.decision, Decision::Caution);
    let review = text_of(&second, "hold-review").expect("a review");
    assert!(review.starts_with("Attempt 2:") && review.contains("why the last one failed"), "{review}");
    assert!(text_of(&second, "1.earlier").is_some() && text_of(&second, "3.old-repair").is_some());
    assert!(text_of(&second, "7.mend").unwrap().contains("engineer has approved a third attempt"));
    assert!(questions(&second).iter().any(|row| row[1].contains("attempt 2, and nobody has reviewed")));

    let reviewed = of("2", true);
    assert_eq!(reviewed.decision, Decision::Go);
    assert!(text_of(&reviewed, "hold-review").unwrap().contains("reviewed by the harbour engineer, HE-7"));

    assert_eq!(of("3", false).decision, Decision::No);
    let third = of("3", true);
    assert_eq!(third.decision, Decision::Go);
    let hold = text_of(&third, "hold-approval").expect("the approval is a hold");
    assert!(hold.starts_with("Attempt 3, approved by the harbour engineer, HE-7"), "{hold}");
    assert_eq!(text_of(&third, "hold-review"), None);
    assert!(text_of(&third, "7.mend").unwrap().contains("whoever approved it decides"));
    assert!(
        questions(&third).iter().any(|row| row[1] == "no, attempt 3; agreed by the harbour engineer, reference HE-7")
    );
    // What a third attempt wants stands on no sheet that is not a refusal.
    for sheet in [&first, &second, &reviewed, &third] {
        assert!(!said(sheet).iter().any(|(_, text)| text.contains("OUT OF USE")));
        assert!(!blocks(sheet).any(|block| {
            matches!(block, Block::Alert { items, .. } if items.iter().any(|item| item.text.contains("OUT OF USE")))
        }));
    }
}

#[test]
fn the_old_repair_comes_out_after_the_metal_is_proved_and_before_the_test() {
    let sheet =
        build(&edited(CLEAN, &[("attempt", "2"), ("identified_by", "\"stamp\""), ("damage.cause", "\"overload\"")]));
    let ids: Vec<&str> = said(&sheet).into_iter().map(|(id, _)| id).collect();
    let at = |id: &str| ids.iter().position(|own| *own == id).unwrap_or_else(|| panic!("no {id}: {ids:?}"));
    assert!(at("hold-identity") < at("3.old-repair") && at("3.open") < at("3.old-repair"));
    assert!(at("3.old-repair") < at("4.penetrant") && at("hold-review") < at("3.degrease"));
}
