//! What refuses a repair, what refuses it without qualification and approval, what heads the sheet.

use crate::case::{Edit, Trial};
use interpass::engine::{FigureName, Ranked};
use interpass::findings::{Code, Finding, Severity};
use interpass::rules::{Answer, Decision};

const QUALIFIED: Edit<'static> =
    ("+", "[qualification]\nstate = \"qualified\"\nrecord = \"PQR-1\"\nstandard = \"ISO 15614-2\"");
const IN_PROGRESS: Edit<'static> = ("+", "[qualification]\nstate = \"in progress\"");
const APPROVAL: Edit<'static> = ("+", "[approval]\nby = \"the harbour engineer\"\nreference = \"HE-7\"");

/// A change, the gate that it raises, the code of the finding and the characters that it points at.
type Refusal = (&'static [Edit<'static>], &'static str, Code, &'static str);

const REFUSED_ALWAYS: &[Refusal] = &[
    (&[("use", "[\"general\", \"road wheel\"]")], "road-wheel", Code::GateRefused, "road wheel"),
    (&[("use", "[\"gas cylinder\"]")], "gas-cylinder", Code::GateRefused, "gas cylinder"),
    (&[("part.fitted", "[\"seal\", \"tyre\"]")], "tyre-fitted", Code::GateRefused, "tyre"),
    (&[("held", "\"fuel\"")], "held-fuel", Code::GateRefused, "fuel"),
    (&[("held", "\"chemical\"")], "held-chemical", Code::GateRefused, "chemical"),
    (&[("held", "\"solvent\"")], "held-chemical", Code::GateRefused, "solvent"),
    (&[("held", "\"gas\"")], "held-gas", Code::GateRefused, "gas"),
    (&[("held", "\"unknown\"")], "held-unknown", Code::GateRefused, "unknown"),
    (&[("enclosed", "true")], "closed-no-vent", Code::GateRefused, "true"),
    (&[("hollow", "true")], "closed-no-vent", Code::GateRefused, "true"),
    (&[("hollow", "true"), ("part.vented", "false")], "closed-no-vent", Code::GateRefused, "true"),
    // A vent in a hollow section opens no tank.
    (&[("enclosed", "true"), ("hollow", "true"), ("part.vented", "true")], "closed-no-vent", Code::GateRefused, "true"),
    (&[("coating", "\"cadmium\"")], "cadmium", Code::GateRefused, "cadmium"),
    (&[("alloy", "\"A357.0\""), ("form", "\"sand casting\"")], "beryllium", Code::GateRefused, "A357.0"),
    (&[("cleaner", "\"chlorinated\"")], "chlorinated-cleaner", Code::GateRefused, "chlorinated"),
    (&[("alloy", "\"7075\"")], "metal-refused", Code::GateMetal, "7075"),
    (&[("alloy", "\"2024\"")], "metal-refused", Code::GateMetal, "2024"),
    (&[("alloy", ""), ("temper", ""), ("metal.family", "\"unknown\"")], "metal-unknown", Code::GateRefused, "unknown"),
];

const REFUSED_UNLESS_APPROVED: &[Refusal] = &[
    (&[("use", "[\"aircraft\"]")], "aircraft", Code::GateApproval, "aircraft"),
    (&[("use", "[\"lifting\"]")], "lifting", Code::GateApproval, "lifting"),
    (&[("use", "[\"steering or brake\"]")], "steering-or-brake", Code::GateApproval, "steering or brake"),
    (&[("use", "[\"suspension\"]")], "suspension", Code::GateApproval, "suspension"),
    (&[("use", "[\"roll protection\"]")], "roll-protection", Code::GateApproval, "roll protection"),
    (&[("use", "[\"access equipment\"]")], "access-equipment", Code::GateApproval, "access equipment"),
    (&[("use", "[\"pressure\"]")], "pressure", Code::GateApproval, "pressure"),
    (&[("loading", "[\"static\", \"pressure\"]")], "pressure", Code::GateApproval, "pressure"),
    (&[("loading", "[\"rotating\"]"), ("consequence", "\"moderate\"")], "rotating", Code::GateApproval, "rotating"),
    (&[("loading", "[\"rotating\"]"), ("consequence", "")], "rotating", Code::GateApproval, "rotating"),
    (&[("consequence", "\"high\"")], "consequence-high", Code::GateApproval, "high"),
];

const HEADS: &[(Edit<'static>, &str, &str)] = &[
    (("use", "[\"food\"]"), "food", "food"),
    (("held", "\"food\""), "food", "food"),
    (("use", "[\"propeller\"]"), "propeller", "propeller"),
    (("use", "[\"structural\"]"), "structural", "structural"),
    (("held", "\"refrigerant\""), "held-refrigerant", "refrigerant"),
];

fn errors(findings: &[Finding]) -> Vec<&Finding> {
    findings.iter().filter(|finding| finding.severity == Severity::Error).collect()
}

/// The finding of the refusal stands at the very characters and says what to do instead.
fn check_refused(edits: &[Edit<'_>], key: &str, code: Code, marked: &str) {
    let trial = Trial::of(edits);
    let judgement = trial.judge();
    assert_eq!(judgement.decision, Decision::No, "{edits:?}");
    assert_eq!(trial.answer(key), Some(Answer::Refused), "{edits:?}");
    let said = errors(&judgement.findings);
    let found = said.iter().find(|finding| finding.code == code && trial.at(finding) == marked);
    let found = found.unwrap_or_else(|| panic!("{edits:?}: no {code:?} at {marked}: {said:#?}"));
    assert!(found.help.as_deref().is_some_and(|help| !help.is_empty()), "{key}: what to do instead?");
    assert!(!found.message.contains('{') && !found.message.is_empty(), "{}", found.message);
}

#[test]
fn nothing_stands_against_a_spec_that_leaves_nothing_open() {
    let judgement = Trial::of(&[]).judge();
    assert_eq!(judgement.findings, []);
    assert_eq!(judgement.decision, Decision::Go, "{:?}", judgement.gates);
}

#[test]
fn some_repairs_are_refused_whatever_is_approved() {
    for (edits, key, code, marked) in REFUSED_ALWAYS {
        check_refused(edits, key, *code, marked);
        let approved: Vec<Edit<'_>> = edits.iter().copied().chain([QUALIFIED, APPROVAL]).collect();
        check_refused(&approved, key, *code, marked);
    }
}

#[test]
fn some_repairs_want_a_qualified_procedure_and_an_approval() {
    for (edits, key, code, marked) in REFUSED_UNLESS_APPROVED {
        check_refused(edits, key, *code, marked);
        for lacking in [&[QUALIFIED][..], &[APPROVAL], &[IN_PROGRESS, APPROVAL]] {
            let edits: Vec<Edit<'_>> = edits.iter().chain(lacking).copied().collect();
            check_refused(&edits, key, *code, marked);
        }
        let edits: Vec<Edit<'_>> = edits.iter().copied().chain([QUALIFIED, APPROVAL]).collect();
        let trial = Trial::of(&edits);
        let judgement = trial.judge();
        assert_ne!(judgement.decision, Decision::No, "{edits:?}");
        assert_eq!(errors(&judgement.findings), Vec::<&Finding>::new(), "{edits:?}");
        let gate = trial.gate(key).expect("an approved gate stands on the sheet");
        assert_eq!(gate.answer, Answer::Approved, "{edits:?}");
        assert_eq!(gate.args, ["the harbour engineer", "HE-7"]);
    }
}

#[test]
fn what_is_approved_in_full_may_go() {
    let judgement = Trial::of(&[("use", "[\"lifting\"]"), QUALIFIED, APPROVAL]).judge();
    assert_eq!(judgement.decision, Decision::Go, "{:?}", judgement.gates);
}

#[test]
fn the_finding_says_what_of_the_approval_is_missing() {
    let notes = |edits: &[Edit<'_>]| {
        let all: Vec<Edit<'_>> = [("use", "[\"lifting\"]")].into_iter().chain(edits.iter().copied()).collect();
        Trial::of(&all).judge().findings.iter().flat_map(|finding| finding.notes.clone()).collect::<String>()
    };
    assert!(notes(&[]).contains("neither is stated"));
    assert!(notes(&[QUALIFIED]).contains("no approval"));
    assert!(notes(&[APPROVAL]).contains("not qualified"));
}

#[test]
fn some_uses_head_the_sheet() {
    for (edit, key, marked) in HEADS {
        let trial = Trial::of(&[*edit]);
        let judgement = trial.judge();
        assert_eq!(judgement.decision, Decision::Caution, "{edit:?}");
        assert_eq!(trial.answer(key), Some(Answer::Head), "{edit:?}");
        let found = judgement.findings.iter().find(|finding| finding.code == Code::GateHead);
        assert_eq!(found.map(|finding| trial.at(finding)), Some(*marked), "{edit:?}");
    }
}

#[test]
fn every_gate_is_tested() {
    let tested = REFUSED_ALWAYS.iter().chain(REFUSED_UNLESS_APPROVED).map(|(_, key, ..)| *key);
    let tested: Vec<&str> = tested.chain(HEADS.iter().map(|(_, key, _)| *key)).collect();
    // Each of these has a test of its own.
    let apart = ["no-filler", "metal-limited", "wind", "leaded-brass"];
    for rule in interpass::rules::gates::RULES {
        assert!(tested.contains(&rule.key) || apart.contains(&rule.key), "{}", rule.key);
    }
}

#[test]
fn a_part_that_rotates_at_low_consequence_is_not_refused() {
    let trial = Trial::of(&[("loading", "[\"rotating\"]")]);
    assert_eq!(trial.judge().decision, Decision::Go);
    assert_eq!(trial.answer("rotating"), None);
}

#[test]
fn a_part_with_a_speed_rotates_whatever_loads_it() {
    let trial = Trial::of(&[("part.rotating", "{ speed = \"3000 rpm\" }"), ("consequence", "\"moderate\"")]);
    assert_eq!(trial.answer("rotating"), Some(Answer::Refused));
}

#[test]
fn a_hollow_section_with_a_vent_may_be_heated() {
    let trial = Trial::of(&[("hollow", "true"), ("part.vented", "true")]);
    assert_eq!(trial.judge().decision, Decision::Go);
    assert!(trial.fires("hollow"), "the vent must stay open: the caution stands");
}

#[test]
fn water_and_oil_refuse_nothing() {
    for (held, danger) in [("water", "steam"), ("oil", "held-oil")] {
        let quoted = format!("\"{held}\"");
        let trial = Trial::of(&[("held", &quoted)]);
        assert_eq!(trial.judge().decision, Decision::Go, "{held}");
        assert!(trial.fires(danger), "{held}");
    }
    assert_eq!(Trial::of(&[("held", "\"oil\""), ("enclosed", "true")]).judge().decision, Decision::No);
}

#[test]
fn a_metal_that_welds_with_doubt_heads_the_sheet() {
    use interpass::reference::{Weldability, alloy};
    let limited = alloy().rows.iter().find(|row| row.weldability == Weldability::Limited && !row.beryllium);
    let limited = limited.expect("the tables hold such a metal");
    let name = format!("\"{}\"", limited.name);
    let trial = Trial::of(&[("alloy", &name), ("temper", ""), ("form", "")]);
    let gate = trial.gate("metal-limited").expect("it heads the sheet");
    assert_eq!((gate.answer, gate.args), (Answer::Head, vec![limited.name.clone(), limited.why.clone()]));
    assert_eq!(trial.judge().decision, Decision::Caution);
}

#[test]
fn the_second_metal_is_judged_as_the_first() {
    let other = "[metal.other]\nalloy = \"7075\"\nidentified_by = \"certificate\"";
    let trial = Trial::of(&[("+", other)]);
    assert_eq!(trial.answer("metal-refused"), Some(Answer::Refused));
    let gate = trial.gate("metal-refused").expect("refused");
    assert_eq!(gate.args.first().map(String::as_str), Some("7075"));
}

#[test]
fn a_family_with_members_that_must_not_be_welded_is_a_question_and_no_refusal() {
    let edits = [("alloy", ""), ("temper", ""), ("metal.family", "\"wrought aluminium\"")];
    let trial = Trial::of(&edits);
    assert_eq!(trial.judge().decision, Decision::Caution);
    assert_eq!(trial.answer("metal-known"), Some(Answer::Unknown));
}

#[test]
fn a_pair_that_no_rod_fits_is_refused_once() {
    let excluded = |name: &str| Ranked { name: name.to_owned(), fit: 0.0, excluded: true, reasons: Vec::new() };
    let by_figure = Trial::of(&[]).worked(|worked| {
        if let Some(figure) = worked.figures.get_mut(&FigureName::FillerMetal) {
            figure.ranking = vec![excluded("ER4043"), excluded("ER5356")];
        }
    });
    assert_eq!(by_figure.answer("no-filler"), Some(Answer::Refused));
    let said = |trial: &Trial| trial.judge().findings.iter().filter(|finding| finding.code == Code::FillerNone).count();
    assert_eq!(said(&by_figure), 1);
    // What the engine has said is not said again.
    let by_engine = Trial::of(&[]).worked(|worked| worked.findings.push(Finding::new(Code::FillerNone, "none fits")));
    assert_eq!(by_engine.judge().decision, Decision::No);
    assert_eq!(said(&by_engine), 0);
}

#[test]
fn above_the_limit_of_wind_the_sheet_says_stop() {
    for (wind, stops, screen) in [("0.5 m/s", false, false), ("2 m/s", false, true), ("2.5 m/s", true, true)] {
        let quoted = format!("\"{wind}\"");
        let trial = Trial::of(&[("place.wind", &quoted)]);
        assert_eq!(trial.answer("wind"), stops.then_some(Answer::Head), "{wind}");
        assert_eq!(trial.fires("wind"), screen, "{wind}");
    }
}

#[test]
fn a_mistake_that_the_engine_found_is_never_go() {
    let trial = Trial::of(&[]).worked(|worked| {
        worked.findings.push(Finding::new(Code::SettingAboveMachine, "230 A is past the end of Bay 1 set"));
    });
    assert_eq!(trial.judge().decision, Decision::Caution);
}
