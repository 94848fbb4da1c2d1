//! What silence means, and the general questions of the decision.

use crate::case::{CLEAN, Edit, KIT, Trial, edited, figure};
use interpass::engine::figure::{PassKind, PassRow};
use interpass::engine::{FigureName, Value};
use interpass::findings::{Code, Finding, Severity};
use interpass::rules::{Answer, Decision, not_asked};
use proptest::prelude::*;

/// The keys that decide about safety, as the trade lists them, each with the danger of its worst value.
const ASKED: [(&str, &[&str]); 10] = [
    ("enclosed", &["closed-space"]),
    ("hollow", &["hollow"]),
    ("held", &["held-unknown"]),
    ("coating", &["coating-unknown", "extraction"]),
    ("confined", &["confined-space", "argon"]),
    ("pit", &["argon"]),
    ("use", &["use-unknown"]),
    ("consequence", &[]),
    ("loading", &[]),
    ("cleaner", &["phosgene"]),
];

#[test]
fn the_list_of_what_is_asked_is_that_of_the_trade() {
    assert_eq!(not_asked(), ASKED.map(|(key, _)| key));
}

#[test]
fn what_is_left_out_is_a_question_and_its_worst_value_is_a_danger() {
    for (key, dangers) in ASKED {
        let trial = Trial::of(&[(key, "")]);
        let judgement = trial.judge();
        assert_eq!(judgement.decision, Decision::Caution, "{key}");
        assert_eq!(trial.answer(&format!("question-{key}")), Some(Answer::Unknown), "{key}");
        let asked: Vec<&Finding> =
            judgement.findings.iter().filter(|finding| finding.code == Code::GateQuestion).collect();
        assert!(matches!(asked.as_slice(), [one] if one.message.contains(&format!("`{key}`"))), "{key}: {asked:#?}");
        assert!(judgement.findings.iter().all(|finding| finding.severity != Severity::Error), "{key}");
        let clean = Trial::of(&[]);
        for id in dangers {
            assert!(trial.fires(id), "{key} left out does not fire {id}");
            assert!(!clean.fires(id), "{id} fires without cause");
        }
    }
}

#[test]
fn all_that_is_left_out_is_asked_at_once() {
    let edits: Vec<Edit<'_>> = ASKED.iter().map(|(key, _)| (*key, "")).collect();
    let gates = Trial::of(&edits).judge().gates;
    let asked = gates.iter().filter(|gate| gate.key.starts_with("question-")).map(|gate| gate.key);
    assert!(asked.eq(ASKED.iter().map(|(key, _)| format!("question-{key}"))), "{gates:?}");
}

#[test]
fn what_is_stated_as_unknown_is_a_question_at_its_place() {
    for key in ["coating", "cleaner"] {
        let trial = Trial::of(&[(key, "\"unknown\"")]);
        let judgement = trial.judge();
        assert_eq!(judgement.decision, Decision::Caution, "{key}");
        assert_eq!(trial.answer(&format!("question-{key}")), Some(Answer::Unknown), "{key}");
        let places: Vec<&str> = judgement.findings.iter().map(|finding| trial.at(finding)).collect();
        assert_eq!(places, ["unknown"], "{key}");
    }
    // What it has held is the exception: nobody welds what may have held fuel.
    let held = Trial::of(&[("held", "\"unknown\"")]);
    assert_eq!((held.judge().decision, held.answer("question-held")), (Decision::No, None));
}

#[test]
fn only_a_certificate_or_a_spectrometer_proves_the_metal() {
    for (by, fires, decision) in [
        ("\"certificate\"", false, Decision::Go),
        ("\"spectrometer\"", false, Decision::Go),
        ("\"stamp\"", true, Decision::Go),
        ("\"spark test\"", true, Decision::Caution),
        ("\"assumed\"", true, Decision::Caution),
        ("", true, Decision::Caution),
    ] {
        let trial = Trial::of(&[("identified_by", by)]);
        assert_eq!(trial.fires("maybe-magnesium"), fires, "{by}");
        let judgement = trial.judge();
        assert_eq!(judgement.decision, decision, "{by}");
        let asked = judgement.findings.iter().filter(|finding| finding.code == Code::GateQuestion).count();
        assert_eq!(asked, usize::from(decision == Decision::Caution), "{by}");
    }
    let other = "[metal.other]\nalloy = \"5052\"\nidentified_by = \"stamp\"";
    assert!(Trial::of(&[("+", other)]).fires("maybe-magnesium"), "both metals want their proof");
}

#[test]
fn a_family_is_never_go_however_it_was_found() {
    let edits = [("alloy", ""), ("temper", ""), ("form", "\"sand casting\""), ("metal.family", "\"cast aluminium\"")];
    let trial = Trial::of(&edits);
    assert_eq!(trial.judge().decision, Decision::Caution);
    assert_eq!(trial.answer("metal-known"), Some(Answer::Unknown));
    assert!(!trial.fires("beryllium"), "one member with beryllium does not put it into every casting");
}

#[test]
fn a_second_attempt_wants_a_review_and_a_third_an_approval() {
    let approval = ("+", "[approval]\nby = \"the shop lead\"\nreference = \"R-3\"");
    let of = |attempt: &str, approved: bool| {
        let edits = [("attempt", attempt), approval];
        let trial = Trial::of(edits.get(..if approved { 2 } else { 1 }).expect("both are there"));
        (trial.answer("attempt").expect("it is asked"), trial.judge().decision)
    };
    assert_eq!(of("1", false), (Answer::Clear, Decision::Go));
    assert_eq!(of("", false), (Answer::AtHold, Decision::Go));
    assert_eq!(of("2", false), (Answer::Head, Decision::Caution));
    assert_eq!(of("2", true), (Answer::Approved, Decision::Go));
    assert_eq!(of("3", true), (Answer::Approved, Decision::Go));
    let trial = Trial::of(&[("attempt", "3")]);
    assert_eq!((trial.answer("attempt-unapproved"), trial.answer("attempt")), (Some(Answer::Refused), None));
    assert_eq!(trial.judge().decision, Decision::No);
    let judgement = trial.judge();
    let [finding] = judgement.findings.as_slice() else { panic!("{:#?}", judgement.findings) };
    assert_eq!((finding.code, finding.severity, trial.at(finding)), (Code::Attempt, Severity::Error, "3"));
}

#[test]
fn the_general_questions_keep_their_order() {
    let order = [
        "other-ways",
        "cause-unknown",
        "may-be-welded",
        "open-and-empty",
        "metal-known",
        "soft-zone",
        "set-big-enough",
        "torch-big-enough",
        "attempt",
    ];
    let gates = Trial::of(&[]).judge().gates;
    assert_eq!(gates.iter().map(|gate| gate.key).collect::<Vec<_>>(), order);
    let gates = Trial::of(&[("use", "[\"food\"]"), ("held", "")]).judge().gates;
    let keys: Vec<&str> = gates.iter().map(|gate| gate.key).collect();
    assert_eq!((keys.first(), keys.last()), (Some(&"food"), Some(&"question-held")));
}

#[test]
fn the_general_questions_follow_the_gates() {
    for (edit, key, answer) in [
        (("use", "[\"lifting\"]"), "may-be-welded", Answer::Refused),
        (("use", ""), "may-be-welded", Answer::Unknown),
        (("held", "\"fuel\""), "open-and-empty", Answer::Refused),
        (("held", ""), "open-and-empty", Answer::Unknown),
        (("enclosed", ""), "open-and-empty", Answer::Unknown),
        (("alloy", "\"7075\""), "metal-known", Answer::Refused),
        (("temper", "\"O\""), "soft-zone", Answer::Clear),
    ] {
        assert_eq!(Trial::of(&[edit]).answer(key), Some(answer), "{edit:?}");
        assert_ne!(Trial::of(&[]).answer(key), Some(answer), "{key} gives no other answer");
    }
}

/// Passes with these aims, cold and warm.
fn passes(cold: f64, warm: f64) -> Vec<PassRow> {
    let row = |cold: f64, warm: f64| PassRow {
        number: 1,
        side: 1,
        kind: PassKind::Root,
        pool: 7.5,
        deposit: 20.0,
        length: None,
        fill_to: None,
        start: [cold - 20.0, cold, cold + 20.0],
        running: [warm - 10.0, warm, cold],
        warm: [warm - 20.0, warm, warm + 20.0],
    };
    vec![row(cold - 15.0, warm - 15.0), row(cold, warm)]
}

#[test]
fn the_set_is_big_enough_cold_warm_or_not_at_all() {
    for (cold, warm, key, answer) in [
        (190.0, 170.0, "set-big-enough", Answer::Clear),
        (210.0, 190.0, "set-big-enough-warm", Answer::Clear),
        (240.0, 215.0, "set-big-enough", Answer::Head),
    ] {
        let preheat = if warm <= 200.0 && cold > 200.0 { Value::Number(60.0) } else { Value::Word("none".to_owned()) };
        let trial = Trial::of(&[]).with_kit(KIT).figure(FigureName::Preheat, preheat).worked(|worked| {
            let mut figure = figure(FigureName::Passes, Value::Number(2.0));
            figure.passes = passes(cold, warm);
            worked.figures.insert(FigureName::Passes, figure);
        });
        assert_eq!(trial.answer(key), Some(answer), "{cold} A");
        let go = if answer == Answer::Clear { Decision::Go } else { Decision::Caution };
        assert_eq!(trial.judge().decision, go, "{cold} A");
        assert_eq!(trial.gate(key).expect("asked").args, ["Bay 1 set", "5 A to 200 A"]);
    }
    let beyond =
        Trial::of(&[]).worked(|worked| worked.findings.push(Finding::new(Code::SettingBeyondMachines, "40 mm")));
    assert_eq!(beyond.answer("set-beyond-machines"), Some(Answer::Head));
}

#[test]
fn the_torch_on_the_hook_is_named() {
    let big = KIT.replace("5 A to 200 A", "5 A to 300 A");
    let of = |amperage: f64| {
        let trial = Trial::of(&[]).with_kit(&big).figure(FigureName::Amperage, Value::Number(amperage));
        let gates = trial.judge().gates;
        gates.into_iter().find(|gate| gate.key.starts_with("torch-big-enough")).expect("asked")
    };
    assert_eq!((of(120.0).key, of(120.0).answer), ("torch-big-enough", Answer::Clear));
    assert_eq!(of(200.0).key, "torch-big-enough-some");
    assert_eq!(of(200.0).args, ["Large head, 220 A", "Small head, 140 A"]);
    assert_eq!((of(230.0).key, of(230.0).answer), ("torch-big-enough", Answer::Head));
    // A torch need not carry what the set cannot give.
    let small_set = Trial::of(&[]).with_kit(KIT).figure(FigureName::Amperage, Value::Number(230.0));
    assert_eq!(small_set.answer("torch-big-enough-some"), Some(Answer::Clear));
    // Nobody knows what a torch without a rating carries.
    let unrated = KIT.replace("rated = { ac = \"140 A\", dc = \"200 A\" }\n", "");
    let gate = Trial::of(&[]).with_kit(&unrated).gate("torch-big-enough-some").expect("asked");
    assert_eq!(gate.args, ["Large head, 220 A", "Small head, no rating"]);
}

#[test]
fn a_key_figure_that_is_missing_is_a_blank() {
    let trial = Trial::of(&[]).without(FigureName::FillerMetal).without(FigureName::GasFlow);
    let gate = trial.gate("figures").expect("it is asked");
    assert_eq!((gate.answer, gate.args.as_slice()), (Answer::Unknown, &["gas flow, filler metal".to_owned()][..]));
    assert_eq!(trial.judge().decision, Decision::Caution);
}

#[test]
fn settings_asks_nothing_and_takes_nothing_for_unknown() {
    let bare = "format = 1\n[procedure]\nnumber = \"X\"\ntitle = \"X\"\nrevision = \"A\"\n[metal]\nalloy = \"6061\"\nthickness = \"6 mm\"\n";
    let judgement = Trial::text(bare.to_owned()).settings();
    assert_eq!(judgement.findings, []);
    assert_eq!(judgement.gates, []);
    assert_eq!(judgement.decision, Decision::Caution);
    let fired = judgement.dangers.iter().map(|fired| fired.hazard.id.as_str());
    let unknown =
        ["held-unknown", "closed-space", "coating-unknown", "use-unknown", "confined-space", "argon", "phosgene"];
    assert_eq!(fired.filter(|id| unknown.contains(id)).count(), 0);
    // What it is told is judged all the same.
    let refused = Trial::text(bare.replace("6061", "7075")).settings();
    assert_eq!(refused.decision, Decision::No);
    assert_eq!(refused.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [Code::GateMetal]);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever else is stated or approved: a spec that leaves out one of the ten is never go.
    #[test]
    fn silence_is_never_go(
        silent in proptest::sample::subsequence(ASKED.map(|(key, _)| key).to_vec(), 1..=10),
        identified_by in proptest::sample::select(vec!["certificate", "stamp", "spectrometer"]),
        attempt in 1..5_i64,
        approved in any::<bool>(),
        kit in any::<bool>(),
    ) {
        let mut text = edited(CLEAN, &[("attempt", &attempt.to_string())]);
        text = edited(&text, &[("identified_by", &format!("\"{identified_by}\""))]);
        for key in &silent {
            text = edited(&text, &[(key, "")]);
        }
        if approved {
            text.push_str("[qualification]\nstate = \"qualified\"\nrecord = \"PQR-1\"\nstandard = \"ISO 15614-2\"\n[approval]\nby = \"us\"\nreference = \"1\"\n");
        }
        let trial = Trial::text(text);
        let trial = if kit { trial.with_kit(KIT) } else { trial };
        prop_assert!(trial.judge().decision >= Decision::Caution);
    }
}
