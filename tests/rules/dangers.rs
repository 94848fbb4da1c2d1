//! Which facts are true of a job, and which dangers they raise.

use crate::case::{Edit, KIT, Trial};
use interpass::engine::{FigureName, Value};
use interpass::findings::Code;
use interpass::reference::hazard;
use interpass::rules::{cautions, facts};
use interpass::spec::{Cause, Cleaner, Coating, Fitted, Held, Surface, Use};
use std::collections::BTreeSet;

/// Specs that between them state every word that a rule asks for.
pub(crate) fn sweep() -> Vec<Trial> {
    let mut trials = vec![Trial::of(&[])];
    let mut add = |key: &str, value: String| trials.push(Trial::of(&[(key, &value)]));
    for word in Coating::ALL {
        add("coating", format!("\"{}\"", word.word()));
    }
    for word in Cleaner::ALL {
        add("cleaner", format!("\"{}\"", word.word()));
    }
    for word in Held::ALL {
        add("held", format!("\"{}\"", word.word()));
    }
    for word in Surface::ALL {
        add("surface", format!("[\"{}\"]", word.word()));
    }
    for word in Fitted::ALL {
        add("part.fitted", format!("[\"{}\"]", word.word()));
    }
    for word in Use::ALL {
        add("use", format!("[\"{}\"]", word.word()));
    }
    for key in ["enclosed", "hollow", "confined", "pit", "place.damp"] {
        add(key, "true".to_owned());
    }
    for key in ["enclosed", "hollow", "held", "coating", "confined", "pit", "use", "loading", "consequence", "cleaner"]
    {
        add(key, String::new());
    }
    for site in ["other indoors", "outdoors", "on the boat"] {
        add("site", format!("\"{site}\""));
    }
    for by in ["stamp", "assumed"] {
        add("identified_by", format!("\"{by}\""));
    }
    for alloy in ["5083", "7005", "A357.0", "7075"] {
        add("alloy", format!("\"{alloy}\""));
    }
    for cause in Cause::ALL {
        add("damage.cause", format!("\"{}\"", cause.word()));
    }
    for attempt in ["2", "3"] {
        add("attempt", attempt.to_owned());
    }
    add("attempt", String::new());
    add("place.wind", "\"3 m/s\"".to_owned());
    add("weld.gas", "\"argon + 30 % helium\"".to_owned());
    add("temper", "\"O\"".to_owned());
    for edits in [
        &[("alloy", "\"413.0\""), ("form", "\"die casting\"")][..],
        &[("alloy", "\"356.0\""), ("form", "\"sand casting\"")],
        &[("alloy", "\"356.0\""), ("form", "\"sand casting\""), ("surface", "[\"oil soaked\"]")],
        &[
            ("use", "[\"lifting\"]"),
            (
                "+",
                "[qualification]\nstate = \"qualified\"\nrecord = \"PQR-1\"\nstandard = \"ISO 15614-2\"\n[approval]\nby = \"a\"\nreference = \"b\"",
            ),
        ],
        &[("attempt", "3"), ("+", "[approval]\nby = \"a\"\nreference = \"b\"")],
        &[("+", "[inspection]\nmethods = [\"visual\", \"leak test\"]")],
        &[("loading", "[\"rotating\"]"), ("consequence", "\"high\"")],
        &[("loading", "[\"pressure\"]")],
    ] {
        trials.push(Trial::of(edits));
    }
    // Other metals: one of each kind, and the ways of iron.
    for alloy in ["S355J2", "4140", "304", "grey iron", "C12200", "alloy 625", "Ti grade 2", "AZ91C", "1215"] {
        let quoted = format!("\"{alloy}\"");
        trials.push(Trial::of(&[("alloy", &quoted), ("temper", ""), ("form", "")]));
    }
    let brass = [("alloy", "\"C26000\""), ("temper", ""), ("form", ""), ("identified_by", "\"stamp\"")];
    trials.push(Trial::of(&brass));
    trials.push(Trial::of(&[("alloy", "\"304\""), ("temper", ""), ("form", ""), ("coating", "\"zinc\"")]));
    let butt = [("alloy", "\"304\""), ("temper", ""), ("form", ""), ("joint", "\"butt\"")];
    trials.push(Trial::of(&butt));
    for preheat in [100.0, 300.0] {
        let iron = Trial::of(&[("alloy", "\"grey iron\""), ("temper", ""), ("form", "")]);
        trials.push(iron.figure(FigureName::Preheat, Value::Number(preheat)));
    }
    trials.push(Trial::of(&[]).with_kit(KIT));
    trials.push(Trial::of(&[("+", "[metal.beside]\nthickness = \"14 mm\"")]).with_kit(KIT));
    trials.push(Trial::of(&[]).figure(FigureName::TungstenType, Value::Word("WTh 20".to_owned())));
    trials.push(Trial::of(&[]).without(FigureName::GasFlow));
    let hot = |kit: &str, amperage: f64, preheat: Value| {
        let hot = Trial::of(&[]).with_kit(kit).figure(FigureName::Amperage, Value::Number(amperage));
        hot.figure(FigureName::AmperageWarm, Value::Number(amperage * 0.9)).figure(FigureName::Preheat, preheat)
    };
    trials.push(hot(KIT, 130.0, Value::Word("none".to_owned())));
    trials.push(hot(KIT, 210.0, Value::Number(60.0)));
    trials.push(hot(KIT, 300.0, Value::Word("none".to_owned())));
    trials.push(hot(&KIT.replace("5 A to 200 A", "5 A to 400 A"), 300.0, Value::Word("none".to_owned())));
    let beyond = interpass::findings::Finding::new(Code::SettingBeyondMachines, "40 mm");
    trials.push(Trial::of(&[]).worked(|worked| worked.findings.push(beyond)));
    trials
}

#[test]
fn every_trigger_is_written_in_the_vocabulary() {
    let known: BTreeSet<&str> = facts::vocabulary().collect();
    assert_eq!(known.len(), facts::vocabulary().count(), "a fact stands twice");
    for row in &hazard().rows {
        for fact in row.trigger.iter().flat_map(|trigger| cautions::facts_of(trigger)) {
            assert!(known.contains(fact), "{}: `{fact}`", row.id);
        }
    }
}

#[test]
fn every_danger_can_be_raised_but_that_of_another_metal() {
    let trials = sweep();
    let raised: BTreeSet<&str> =
        trials.iter().flat_map(|trial| trial.judge().dangers).map(|fired| fired.hazard.id.as_str()).collect();
    let never: Vec<&str> = hazard().rows.iter().map(|row| row.id.as_str()).filter(|id| !raised.contains(id)).collect();
    assert_eq!(never, ["helium"], "a row that nothing raises warns nobody");
    let helium = Trial::of(&[("weld.gas", "\"argon + 30 % helium\""), ("confined", "true")]);
    assert!(helium.fires("helium"), "helium in a tight space");
    assert!(!Trial::of(&[("confined", "true")]).fires("helium"), "both facts of a trigger must hold");
}

#[test]
fn the_gravest_danger_stands_first() {
    let order = ["DANGER", "WARNING", "CAUTION", "NOTICE"];
    for trial in sweep() {
        let places: Vec<(usize, u8)> = trial
            .judge()
            .dangers
            .iter()
            .map(|fired| {
                (order.iter().position(|word| *word == fired.hazard.signal).expect("a signal word"), fired.hazard.rank)
            })
            .collect();
        assert!(places.is_sorted(), "{places:?}");
        assert!(places.len() > 5, "shock, fume and light are there at every job");
    }
}

#[test]
fn a_row_fires_once_and_names_the_trigger_that_is_true() {
    let judgement = Trial::of(&[("coating", "\"zinc\""), ("surface", "[\"galvanised\"]")]).judge();
    let zinc: Vec<&str> =
        judgement.dangers.iter().filter(|fired| fired.hazard.id == "zinc-fume").map(|fired| fired.trigger).collect();
    assert_eq!(zinc, ["coating.zinc"]);
    let ids: BTreeSet<&str> = judgement.dangers.iter().map(|fired| fired.hazard.id.as_str()).collect();
    assert_eq!(ids.len(), judgement.dangers.len());
}

/// The change, the danger that it must raise.
const RAISES: &[(Edit<'static>, &str)] = &[
    // Paint of unknown age may hold lead: its caution says so.
    (("coating", "\"paint\""), "paint"),
    (("surface", "[\"painted\"]"), "paint"),
    (("coating", "\"lead paint\""), "lead-paint"),
    (("cleaner", "\"unknown\""), "phosgene"),
    (("cleaner", "\"chlorinated\""), "phosgene"),
    (("cleaner", "\"alcohol\""), "solvent-left"),
    (("cleaner", ""), "solvent-left"),
    (("surface", "[\"oil soaked\"]"), "oil-smoke"),
    (("part.fitted", "[\"gas strut\"]"), "gas-strut"),
    (("part.fitted", "[\"bearing\"]"), "return-path"),
    (("held", "\"refrigerant\""), "refrigerant"),
    (("use", "[\"food\"]"), "food-contact"),
    (("site", "\"on the boat\""), "bilge-gas"),
    (("site", "\"on the boat\""), "battery"),
    (("site", ""), "hot-work"),
    (("pit", "true"), "argon"),
    (("place.damp", "true"), "shock-damp"),
    (("alloy", "\"5083\""), "magnesium-light"),
    (("surface", "[\"earlier weld\"]"), "old-flux"),
];

#[test]
fn what_is_stated_raises_its_danger() {
    for (edit, id) in RAISES {
        assert!(Trial::of(&[*edit]).fires(id), "{edit:?} does not raise {id}");
    }
    assert!(!Trial::of(&[("cleaner", "\"alkaline\"")]).fires("solvent-left"), "water takes no fire");
    assert!(!Trial::of(&[]).fires("phosgene") && !Trial::of(&[]).fires("paint"));
}

#[test]
fn high_frequency_is_taken_for_granted_unless_the_kit_says_otherwise() {
    let lift = KIT.replace("\"high frequency\"", "\"lift\"");
    let silent = KIT.replace("start = [\"high frequency\"]\n", "");
    assert!(Trial::of(&[]).fires("stray-high-frequency"));
    assert!(Trial::of(&[]).with_kit(KIT).fires("stray-high-frequency"));
    assert!(Trial::of(&[]).with_kit(&silent).fires("stray-high-frequency"));
    assert!(!Trial::of(&[]).with_kit(&lift).fires("stray-high-frequency"));
}

#[test]
fn thorium_is_named_by_any_of_its_names() {
    for (name, fires) in [("WTh 20", true), ("WT 20", true), ("ewth-2", true), ("WLa 20", false)] {
        let trial = Trial::of(&[]).figure(FigureName::TungstenType, Value::Word(name.to_owned()));
        assert_eq!(trial.fires("thorium"), fires, "{name}");
    }
    let set = "[weld.set]\ntungsten_type = { value = \"WTh 20\", because = \"nothing else here\" }";
    assert!(Trial::of(&[("+", set)]).fires("thorium"));
}

#[test]
fn a_burner_is_a_danger_where_a_step_uses_it() {
    // A figure without a basis is the author's own: the part is preheated before the first pass.
    let warm = |trial: Trial| trial.figure(FigureName::Preheat, Value::Number(80.0));
    let no_burner = KIT.replace("\"soft\"", "\"none\"");
    let no_oven = KIT.replace("oven = { maximum = \"250 °C\", vented = true }\n", "");
    assert!(!Trial::of(&[]).with_kit(KIT).fires("burner"), "nothing is warmed");
    assert!(!warm(Trial::of(&[]).with_kit(KIT)).fires("burner"), "the oven warms it");
    assert!(warm(Trial::of(&[]).with_kit(&no_oven)).fires("burner"));
    assert!(
        warm(Trial::of(&[("part.movable", "false")]).with_kit(KIT)).fires("burner"),
        "it does not go into the oven"
    );
    assert!(!warm(Trial::of(&[]).with_kit(&no_burner)).fires("burner"));
    assert!(!warm(Trial::of(&[])).fires("burner"), "without a kit the steps use hot air");
    let heavy = [("+", "[metal.beside]\nthickness = \"14 mm\"")];
    assert!(Trial::of(&heavy).with_kit(KIT).fires("burner"), "the heavy side alone is warmed with it");
    let even = [("+", "[metal.beside]\nthickness = \"11 mm\"")];
    assert!(!Trial::of(&even).with_kit(KIT).fires("burner"), "under twice as thick nothing is warmed");
    for site in ["\"on the boat\"", "\"outdoors\""] {
        assert!(!Trial::of(&[("site", site), ("part.movable", "false")]).with_kit(KIT).fires("burner"), "{site}");
    }
}

#[test]
fn an_oven_without_a_vent_is_a_finding() {
    let said = |kit: &str, surface: &str| {
        let cast = [("surface", surface), ("alloy", "\"356.0\""), ("form", "\"sand casting\"")];
        let judgement = Trial::of(&cast).with_kit(kit).judge();
        judgement.findings.iter().filter(|finding| finding.code == Code::KitLacks).count()
    };
    let closed = KIT.replace("vented = true", "vented = false");
    let silent = KIT.replace(", vented = true", "");
    assert_eq!(said(KIT, "[\"oil soaked\"]"), 0);
    assert_eq!(said(&closed, "[\"clean\"]"), 1);
    assert_eq!((said(&silent, "[\"clean\"]"), said(&silent, "[\"oil soaked\"]")), (0, 1));
}

#[test]
fn the_work_brings_its_own_dangers() {
    let hole = |methods: &str| {
        let methods = format!("[inspection]\nmethods = {methods}");
        Trial::of(&[("kind", "\"hole\""), ("length", ""), ("depth", ""), ("tips", ""), ("+", &methods)])
    };
    let cans = |trial: &Trial| (trial.fires("penetrant-cans"), trial.fires("dye-left"));
    assert_eq!(cans(&hole("[\"visual\", \"penetrant\"]")), (true, true));
    assert_eq!(cans(&hole("[\"visual\"]")), (false, false));
    let crack = Trial::of(&[("+", "[inspection]\nmethods = [\"visual\"]")]);
    assert_eq!(cans(&crack), (true, true), "penetrant finds the tips of a crack, whatever inspects the weld");
    assert!(!hole("[\"visual\"]").fires("leak-test") && hole("[\"leak test\"]").fires("leak-test"));
    // As the sheet tests: only a weld that goes through to what it holds.
    let wet = |through: &str| Trial::of(&[("held", "\"water\""), ("depth", ""), ("through", through)]);
    assert!(wet("true").fires("leak-test"), "what holds water behind a weld through the wall is tested for leaks");
    assert!(!wet("false").fires("leak-test"), "no step tests it");
    let stop_hole = FigureName::StopHole;
    assert!(!Trial::of(&[]).fires("drilling"), "a crack that is not through gets no stop hole");
    assert!(Trial::of(&[]).figure(stop_hole, Value::Number(3.2)).fires("drilling"));
}
