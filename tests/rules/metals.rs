//! What other metals than aluminium ask: gates, questions and dangers.

use crate::case::{Edit, Trial};
use interpass::engine::{FigureName, Value};
use interpass::rules::{Answer, Decision};

/// The clean spec on another metal, proved by a certificate.
fn on(alloy: &str, more: &[Edit<'_>]) -> Trial {
    let quoted = format!("\"{alloy}\"");
    let mut edits: Vec<Edit<'_>> = vec![("alloy", &quoted), ("temper", ""), ("form", "")];
    edits.extend_from_slice(more);
    Trial::of(&edits)
}

fn of_family(family: &str) -> Trial {
    let quoted = format!("\"{family}\"");
    Trial::of(&[("alloy", ""), ("temper", ""), ("form", ""), ("metal.family", &quoted)])
}

/// Metal, and the dangers of it that aluminium has not.
const RAISES: &[(&str, &[&str])] = &[
    ("S355J2", &["hot-metal", "arc-light", "iron-sparks", "manganese-fume"]),
    ("304", &["hot-metal", "arc-light", "chromium-fume", "nickel-fume", "pickling"]),
    ("ductile iron", &["hot-metal", "arc-light", "iron-sparks"]),
    ("C12200", &["hot-metal", "arc-light", "copper-fume"]),
    ("C26000", &["copper-fume", "brass-fume"]),
    ("alloy 625", &["chromium-fume", "nickel-fume"]),
    ("Ti grade 2", &["titanium-dust", "arc-light"]),
    ("AZ91C", &["magnesium", "magnesium-fire", "arc-light"]),
];

#[test]
fn each_metal_raises_its_own_dangers_and_none_of_aluminium() {
    for (alloy, dangers) in RAISES {
        let trial = on(alloy, &[]);
        for id in *dangers {
            assert!(trial.fires(id), "{alloy} does not raise {id}");
            assert!(!Trial::of(&[]).fires(id), "{id} is a danger of aluminium too");
        }
        for id in ["hot-aluminium", "aluminium-dust", "ultraviolet", "maybe-magnesium", "magnesium-light"] {
            assert!(!trial.fires(id), "{alloy} raises {id}");
        }
    }
    for id in ["hot-aluminium", "aluminium-dust", "ultraviolet"] {
        assert!(Trial::of(&[]).fires(id), "aluminium raises {id}");
    }
}

#[test]
fn a_metal_that_nobody_has_proved_is_magnesium_only_where_it_may_be() {
    assert!(Trial::of(&[("identified_by", "\"stamp\"")]).fires("maybe-magnesium"));
    assert!(!on("S355J2", &[("identified_by", "\"stamp\"")]).fires("maybe-magnesium"), "a magnet shows steel");
}

#[test]
fn gas_behind_the_root_is_a_danger_where_the_root_comes_through() {
    let butt: &[Edit<'_>] = &[("joint", "\"butt\""), ("depth", ""), ("through", "true")];
    assert!(on("304", butt).fires("purge-gas"));
    assert!(!on("304", &[]).fires("purge-gas"), "a blind groove wants no gas behind it");
    assert!(!on("S355J2", butt).fires("purge-gas"), "steel wants none");
    let both: &[Edit<'_>] = &[("depth", ""), ("through", "true")];
    assert!(!on("2205", both).fires("purge-gas"), "what is cut back from side 2 is not purged");
    let one: &[Edit<'_>] = &[("depth", ""), ("through", "true"), ("access", "\"one side\"")];
    assert!(on("2205", one).fires("purge-gas"), "a land that is melted through is");
    assert!(on("Ti grade 2", &[("thickness", "\"3 mm\""), ("depth", "\"2 mm\"")]).fires("purge-gas"), "thin titanium");
}

#[test]
fn zinc_left_on_cracks_what_hardens_and_stainless() {
    for (alloy, cracks) in [("304", true), ("4140", true), ("C65500", true), ("S235JR", false)] {
        assert_eq!(on(alloy, &[("coating", "\"zinc\"")]).fires("zinc-cracks"), cracks, "{alloy}");
        assert_eq!(on(alloy, &[("surface", "[\"galvanised\"]")]).fires("zinc-cracks"), cracks, "{alloy}");
    }
}

#[test]
fn metals_that_must_not_be_welded_are_refused_by_name_and_by_family() {
    for alloy in ["12L14", "1215", "303", "416", "white iron", "5160", "C36000", "C83600", "AM60B", "ZA27"] {
        let trial = on(alloy, &[]);
        assert_eq!(trial.answer("metal-refused"), Some(Answer::Refused), "{alloy}");
        assert_eq!(trial.judge().decision, Decision::No, "{alloy}");
    }
    for family in ["zinc die casting", "white iron", "free-machining steel", "leaded brass", "spring steel"] {
        assert_eq!(of_family(family).answer("metal-refused"), Some(Answer::Refused), "{family}");
    }
    assert_eq!(on("C17200", &[]).answer("beryllium"), Some(Answer::Refused));
    assert_eq!(of_family("hardenable steel").answer("metal-refused"), None);
}

#[test]
fn a_brass_is_refused_until_somebody_proves_that_it_holds_no_lead() {
    for (by, refused) in [
        ("\"certificate\"", false),
        ("\"spectrometer\"", false),
        ("\"stamp\"", true),
        ("\"assumed\"", true),
        ("", true),
    ] {
        let trial = on("C26000", &[("identified_by", by)]);
        let answer = if refused { Some(Answer::Refused) } else { None };
        assert_eq!(trial.answer("leaded-brass"), answer, "{by}");
        assert_eq!(trial.fires("lead-in-metal"), refused, "{by}");
    }
    assert_eq!(of_family("brass").answer("leaded-brass"), Some(Answer::Refused));
    assert_eq!(on("C65500", &[("identified_by", "\"stamp\"")]).answer("leaded-brass"), None, "bronze is no brass");
}

#[test]
fn metals_that_no_arc_joins_are_refused_as_a_pair() {
    let pair = |alloy: &str, other: &str| {
        let other = format!("[metal.other]\nalloy = \"{other}\"\nidentified_by = \"certificate\"");
        on(alloy, &[("+", &other)]).answer("no-filler")
    };
    for (one, other) in [("6061", "S235JR"), ("S235JR", "6061"), ("Ti grade 2", "304"), ("AZ31B", "6061")] {
        assert_eq!(pair(one, other), Some(Answer::Refused), "{one} to {other}");
    }
    for (one, other) in [("S235JR", "304"), ("304", "alloy 625"), ("S235JR", "C65500")] {
        assert_eq!(pair(one, other), None, "{one} to {other}");
    }
}

#[test]
fn what_the_weld_leaves_beside_it_is_asked_as_the_metal_has_it() {
    for (alloy, temper, key, answer) in [
        ("S355J2", "", "soft-zone", Answer::Clear),
        ("4140", "", "hard-zone", Answer::AtHold),
        ("410", "", "hard-zone", Answer::AtHold),
        ("grey iron", "", "hard-zone", Answer::AtHold),
        ("304", "", "soft-zone", Answer::Clear),
        ("17-4PH", "\"H900\"", "soft-zone", Answer::AtHold),
        ("1018", "\"cold drawn\"", "soft-zone", Answer::AtHold),
        ("C12200", "\"annealed\"", "soft-zone", Answer::Clear),
        ("C12200", "", "soft-zone", Answer::AtHold),
        ("Ti grade 2", "", "soft-zone", Answer::Clear),
        ("AZ91C", "\"T6\"", "soft-zone", Answer::AtHold),
    ] {
        let trial = if temper.is_empty() { on(alloy, &[]) } else { on(alloy, &[("metal.temper", temper)]) };
        assert_eq!(trial.answer(key), Some(answer), "{alloy} {temper}");
        let other = if key == "soft-zone" { "hard-zone" } else { "soft-zone" };
        assert_eq!(trial.answer(other), None, "{alloy} {temper}");
    }
}

#[test]
fn iron_is_welded_one_way_and_the_sheet_says_which() {
    let with = |preheat: Option<f64>| {
        let trial = on("grey iron", &[("identified_by", "\"certificate\"")]);
        let value = preheat.map_or(Value::Word("none".to_owned()), Value::Number);
        let trial = trial.figure(FigureName::Preheat, value);
        ["iron-cold", "iron-warm", "iron-hot"].map(|key| trial.answer(key) == Some(Answer::AtHold))
    };
    assert_eq!(with(None), [true, false, false]);
    assert_eq!(with(Some(100.0)), [false, true, false]);
    assert_eq!(with(Some(300.0)), [false, false, true]);
    assert_eq!(on("S355J2", &[]).answer("iron-cold"), None);
}

#[test]
fn a_spark_test_is_worth_what_the_metal_lets_it_show() {
    for (alloy, says) in
        [("6061", "shows nothing on aluminium"), ("S355J2", "soft steel from hard"), ("304", "no grade")]
    {
        let trial = on(alloy, &[("identified_by", "\"spark test\"")]);
        let judgement = trial.judge();
        let said = judgement.findings.iter().find(|finding| finding.message.contains("spark"));
        assert!(said.is_some_and(|finding| finding.message.contains(says)), "{alloy}: {said:?}");
        assert_eq!(trial.answer("metal-known"), Some(Answer::Unknown), "{alloy}");
    }
}
