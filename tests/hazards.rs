//! The table of hazards, its words and the words of the gates hold together: every danger can be raised, placed and
//! read, and every refusal says what to do instead.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::reference::{Basis, Hazard, hazard};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};

/// What the rules can say of a job. A trigger may use these and no others.
#[rustfmt::skip]
const FACTS: &[&str] = &[
    "process.gtaw", "current.ac",
    "metal.aluminium", "metal.magnesium", "metal.beryllium", "metal.high_magnesium", "metal.zinc_bearing",
    "metal.steel", "metal.hardenable", "metal.stainless", "metal.cast_iron", "metal.copper", "metal.nickel",
    "metal.titanium", "metal.copper_bearing", "metal.other", "metal.chromium", "metal.nickel_bearing", "metal.leaded",
    "identity.unproved", "product.casting", "product.die_casting",
    "coating.paint", "coating.lead_paint", "coating.powder_coat", "coating.epoxy_paste", "coating.sealant",
    "coating.ptfe", "coating.impregnation_resin", "coating.chromate", "coating.zinc", "coating.cadmium",
    "coating.chrome", "coating.unknown",
    "surface.oil_soaked", "surface.filler_paste", "surface.anodised", "surface.galvanised", "surface.plated",
    "surface.painted", "surface.earlier_weld",
    "cleaner.acetone", "cleaner.alcohol", "cleaner.flammable", "cleaner.alkaline", "cleaner.chlorinated",
    "cleaner.unknown", "cleaner.any",
    "held.fuel", "held.oil", "held.solvent", "held.chemical", "held.refrigerant", "held.gas", "held.food",
    "held.water", "held.unknown",
    "part.enclosed", "part.enclosed_unknown", "part.hollow", "part.hollow_unknown",
    "fitted.bearing", "fitted.seal", "fitted.electronics", "fitted.battery", "fitted.gas_strut", "fitted.hose",
    "fitted.tyre",
    "use.road_wheel", "use.gas_cylinder", "use.pressure", "use.lifting", "use.unknown",
    "place.confined", "place.confined_unknown", "place.pit", "place.pit_unknown", "place.outdoors", "place.boat",
    "place.damp", "place.wind", "place.not_a_weld_shop",
    "inspection.penetrant", "op.grinding", "op.drilling", "op.welding", "op.preheat_oven", "op.preheat_burner",
    "op.bake_out", "op.leak_test", "op.purge", "op.preheat",
    "kit.tungsten_thoriated", "kit.high_frequency", "gas.cylinder", "gas.helium",
];

/// Keys of the steps of a sheet, in its order.
#[rustfmt::skip]
const STEPS: &[&str] = &[
    "1.photo", "1.look",
    "3.drain", "3.take-off", "3.measure", "3.weigh", "3.file", "3.chip", "3.spark", "3.vinegar", "3.protect", "3.wash", "3.strip", "3.degrease", "3.let-go",
    "3.tips", "3.tips-wipe", "3.tips-develop", "3.tips-read", "3.tips-mark", "3.scale", "3.stop-hole", "3.vent", "3.open", "3.burn-out",
    "4.temperature", "4.penetrant", "4.read", "4.again",
    "5.earth", "5.torch", "5.tip", "5.flow", "5.scrap-bead", "5.dye-off", "5.away", "5.wait", "5.dry", "5.bake",
    "5.scrape", "5.rod",
    "6.heavy", "6.trial-bead", "6.preheat", "6.purge-box", "6.strike", "6.warm", "6.gas", "6.cool",
    "7.cool", "7.visual", "7.penetrant",
    "8.dress", "8.tint-off", "8.leak-test",
];

/// Gates that refuse a repair or head its sheet.
#[rustfmt::skip]
const GATES: &[&str] = &[
    "road-wheel", "gas-cylinder", "tyre-fitted", "held-fuel", "held-chemical", "held-gas", "held-unknown",
    "closed-no-vent",
    "cadmium", "beryllium", "chlorinated-cleaner", "leaded-brass", "metal-unknown", "metal-refused", "aircraft", "lifting", "steering-or-brake",
    "suspension", "roll-protection", "access-equipment", "pressure", "rotating", "consequence-high", "food",
    "propeller", "structural", "no-filler", "held-refrigerant", "metal-limited", "wind",
];

/// Words with a capital inside a sentence that are no name of a brand, a firm or a person.
const CAPITALS: &[&str] = &["AC", "AWS", "F4.1", "HOT", "PTFE", "TIG", "CO2", "VI", "D"];

#[derive(Deserialize)]
struct Words {
    title: String,
    hurts: String,
    action: String,
    refused: Option<String>,
    /// The same words as they are said of other metals: `action@steel`.
    #[serde(flatten)]
    marked: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct Gate {
    question: String,
    reason: String,
    danger: String,
    instead: Vec<Step>,
    /// The same as they are said of other metals: `reason@steel`, `instead@copper`.
    #[serde(flatten)]
    marked: BTreeMap<String, Marked>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Marked {
    Text(String),
    Instead(Vec<Step>),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Step {
    id: String,
    text: String,
}

fn words() -> BTreeMap<String, Words> {
    toml::from_str(include_str!("../templates/words/en/hazards.toml")).expect("the words of the hazards read")
}

fn gates() -> BTreeMap<String, Gate> {
    toml::from_str(include_str!("../templates/words/en/gates.toml")).expect("the words of the gates read")
}

fn rows() -> &'static [Hazard] {
    let rows = &hazard().rows;
    assert!(!rows.is_empty(), "the table of hazards does not read");
    rows
}

fn row(id: &str) -> &'static Hazard {
    rows().iter().find(|row| row.id == id).unwrap_or_else(|| panic!("no hazard `{id}`"))
}

/// Ids of the rows that these facts raise, by the rule that the header of the table states.
fn raised(facts: &[&str]) -> BTreeSet<&'static str> {
    rows()
        .iter()
        .filter(|row| row.trigger.iter().any(|all| all.split(" + ").all(|fact| facts.contains(&fact))))
        .map(|row| row.id.as_str())
        .collect()
}

fn is_key(text: &str) -> bool {
    !text.is_empty()
        && !text.starts_with('-')
        && !text.ends_with('-')
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}

/// Whole sentences in plain characters, with no markup and no name.
fn check_sentences(at: &str, text: &str, end: &[char]) {
    assert!(text.ends_with(end), "{at}: no end of sentence: {text}");
    assert!(text.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()), "{at}: no capital: {text}");
    check_characters(at, text);
    let mut starts = true;
    for word in text.split_whitespace() {
        let bare = word.trim_matches(|c: char| !c.is_alphanumeric());
        let capital = bare.chars().any(char::is_uppercase) && !bare.starts_with("dB");
        assert!(starts || !capital || CAPITALS.contains(&bare), "{at}: is `{bare}` a name? {text}");
        starts = word.ends_with(['.', '?', ':']);
    }
}

fn check_characters(at: &str, text: &str) {
    let plain = |c: char| c == '°' || (c.is_ascii() && !c.is_ascii_control() && !"^<>*_`#[]|\\".contains(c));
    assert!(text.chars().all(plain), "{at}: markup or a strange character: {text}");
    assert!(!text.contains("  ") && text.trim() == text, "{at}: stray blanks: {text}");
}

#[test]
fn ids_are_keys_and_stand_once() {
    let mut seen = BTreeSet::new();
    for row in rows() {
        assert!(is_key(&row.id), "{}: not a key", row.id);
        assert!(seen.insert(&row.id), "{}: twice", row.id);
    }
}

#[test]
fn every_hazard_has_words_and_no_word_is_orphaned() {
    let words = words();
    let ids: BTreeSet<&str> = rows().iter().map(|row| row.id.as_str()).collect();
    assert_eq!(ids, words.keys().map(String::as_str).collect(), "rows and words differ");
    let mut titles = BTreeSet::new();
    for (id, word) in &words {
        assert!(!word.title.is_empty() && !word.title.ends_with('.'), "{id}: title");
        assert!(titles.insert(&word.title), "{id}: a second `{}`", word.title);
        check_characters(id, &word.title);
        check_sentences(id, &word.hurts, &['.']);
        check_sentences(id, &word.action, &['.']);
        if let Some(refused) = &word.refused {
            check_sentences(id, refused, &['.']);
            let way = [" until", "weld only", "find out", "let it off"];
            assert!(!way.iter().any(|way| refused.to_lowercase().contains(way)), "{id}: {refused}");
        }
        for (key, text) in &word.marked {
            assert!(key.starts_with("hurts@") || key.starts_with("action@"), "{id}: {key}");
            check_sentences(id, text, &['.']);
            assert!(text.chars().count() <= 150, "{id}: {key} is too long for a caution");
        }
        let length = word.hurts.chars().count() + word.action.chars().count();
        assert!(length <= 250, "{id}: {length} characters are too many for a caution");
    }
}

#[test]
fn triggers_use_the_facts_of_the_rules_and_no_fact_is_silent() {
    let known: BTreeSet<&str> = FACTS.iter().copied().collect();
    assert_eq!(known.len(), FACTS.len(), "a fact stands twice");
    let mut used = BTreeSet::new();
    for row in rows() {
        assert!(!row.trigger.is_empty(), "{}: nothing raises it", row.id);
        for text in &row.trigger {
            let facts: Vec<&str> = text.split(" + ").collect();
            for fact in &facts {
                assert!(known.contains(fact), "{}: no fact `{fact}`", row.id);
                used.insert(*fact);
            }
            let all: BTreeSet<&str> = facts.iter().copied().collect();
            assert_eq!(all.len(), facts.len(), "{}: `{text}` says a fact twice", row.id);
            let wider = row
                .trigger
                .iter()
                .filter(|other| *other != text)
                .any(|other| other.split(" + ").all(|fact| all.contains(fact)));
            assert!(!wider, "{}: `{text}` adds nothing", row.id);
        }
    }
    let silent: Vec<&&str> = known.difference(&used).collect();
    assert!(silent.is_empty(), "facts that raise nothing: {silent:?}");
}

#[test]
fn signal_words_and_ranks_give_one_order() {
    let mut seen = BTreeSet::new();
    for row in rows() {
        assert!(
            ["DANGER", "WARNING", "CAUTION", "NOTICE"].contains(&row.signal.as_str()),
            "{}: {}",
            row.id,
            row.signal
        );
        assert!((1..=99).contains(&row.rank), "{}: rank {}", row.id, row.rank);
        assert!(seen.insert((&row.signal, row.rank)), "{}: rank {} of {} stands twice", row.id, row.rank, row.signal);
    }
}

#[test]
fn every_caution_has_its_place() {
    for row in rows() {
        assert!(row.section <= 9, "{}: section {}", row.id, row.section);
        assert_eq!(row.standing, row.section == 0, "{}: standing block is section 0", row.id);
        if row.section == 0 || row.section == 2 {
            assert!(row.before.is_empty(), "{}: heads its section", row.id);
            continue;
        }
        let first = row.before.first().unwrap_or_else(|| panic!("{}: before which step?", row.id));
        assert!(first.starts_with(&format!("{}.", row.section)), "{}: section {} but {first}", row.id, row.section);
        let places: Vec<usize> = row
            .before
            .iter()
            .map(|key| {
                STEPS.iter().position(|step| step == key).unwrap_or_else(|| panic!("{}: no step `{key}`", row.id))
            })
            .collect();
        assert!(places.is_sorted_by(|a, b| a < b), "{}: not in the order of the sheet: {:?}", row.id, row.before);
    }
}

#[test]
fn at_most_five_rows_stand_and_they_hold_for_a_bare_job() {
    let standing: BTreeSet<&str> = rows().iter().filter(|row| row.standing).map(|row| row.id.as_str()).collect();
    let mut held = BTreeSet::new();
    for metal in ["metal.aluminium", "metal.other"] {
        let here: BTreeSet<&str> = standing.intersection(&raised(&["process.gtaw", metal])).copied().collect();
        assert!((1..=5).contains(&here.len()), "{metal}: {here:?}");
        held.extend(here);
    }
    assert_eq!(held, standing, "a row stands that a bare job does not raise");
}

#[test]
fn a_basis_never_claims_more_than_its_source() {
    for row in rows() {
        let practice = row.source == "practice";
        assert_eq!(practice, row.basis == Basis::CommonPractice, "{}: source and basis differ", row.id);
        assert!(!row.locator.is_empty(), "{}: where?", row.id);
    }
}

#[test]
fn silence_fires_the_worst() {
    let silent = raised(&[
        "held.unknown",
        "part.enclosed_unknown",
        "coating.unknown",
        "use.unknown",
        "place.confined_unknown",
        "place.pit_unknown",
        "cleaner.unknown",
    ]);
    for id in ["held-unknown", "closed-space", "coating-unknown", "use-unknown", "confined-space", "argon", "phosgene"]
    {
        assert!(silent.contains(id), "silence does not raise {id}");
        assert_eq!(row(id).signal, "DANGER", "{id}");
    }
    assert!(raised(&["part.hollow_unknown"]).contains("hollow"));
    assert!(raised(&["identity.unproved", "metal.aluminium"]).contains("maybe-magnesium"));
    assert!(!raised(&["identity.unproved", "metal.steel"]).contains("maybe-magnesium"), "a magnet shows steel");
}

#[test]
fn dangers_of_an_arc_stand_before_it() {
    let place = |key: &str| STEPS.iter().position(|step| *step == key).unwrap();
    for id in ["ultraviolet", "arc-light", "argon", "shock-damp", "phosgene", "solvent-left", "lens-shade"] {
        for key in &row(id).before {
            assert!(place(key) <= place("6.strike"), "{id} may stand after the arc, before {key}");
        }
    }
    assert_eq!(row("ultraviolet").before.first().map(String::as_str), Some("5.scrap-bead"));
    for id in ["maybe-magnesium", "magnesium"] {
        assert!(row(id).before.iter().all(|key| place(key) <= place("3.open")), "{id} may stand after grinding");
    }
}

#[test]
fn every_gate_is_complete() {
    let gates = gates();
    let keys: BTreeSet<&str> = gates.keys().map(String::as_str).collect();
    assert_eq!(keys, GATES.iter().copied().collect(), "gates differ from the list");
    let mut steps: BTreeMap<&str, &str> = BTreeMap::new();
    for (key, gate) in &gates {
        check_sentences(key, &gate.question, &['?']);
        check_sentences(key, &gate.reason, &['.']);
        if !gate.danger.is_empty() {
            assert_eq!(row(&gate.danger).signal, "DANGER", "{key}: {}", gate.danger);
        }
        let mut lists = vec![&gate.instead];
        for (at, marked) in &gate.marked {
            match marked {
                Marked::Text(text) => {
                    assert!(at.starts_with("reason@"), "{key}: {at}");
                    let filled = text.replace("{0}", "This metal").replace("{1}", "lead");
                    check_sentences(key, &filled, &['.']);
                }
                Marked::Instead(list) => {
                    assert!(at.starts_with("instead@"), "{key}: {at}");
                    lists.push(list);
                }
            }
        }
        for instead in lists {
            // To find out what a metal is takes more than a few tests.
            let most = if *key == "metal-unknown" { 9 } else { 5 };
            assert!((2..=most).contains(&instead.len()), "{key}: {} steps", instead.len());
            for step in instead {
                assert!(is_key(&step.id), "{key}: `{}`", step.id);
                let same = steps.insert(&step.id, &step.text).is_none_or(|text| text == step.text);
                assert!(same, "{key}: `{}` is another step elsewhere", step.id);
                check_step(key, &step.text);
            }
            let ids: BTreeSet<&str> = instead.iter().map(|step| step.id.as_str()).collect();
            assert_eq!(ids.len(), instead.len(), "{key}: a step stands twice");
        }
    }
}

/// A tag is in capitals from its colon on; any other step is a sentence.
fn check_step(at: &str, text: &str) {
    if let Some(tag) = text.strip_prefix("Tag it: ") {
        assert!(tag.ends_with('.') && !tag.chars().any(char::is_lowercase), "{at}: {text}");
        check_characters(at, text);
    } else {
        check_sentences(at, text, &['.']);
    }
}

#[test]
fn a_refusal_teaches_no_way_round() {
    let words = words();
    for (key, gate) in &gates() {
        let mut all = format!("{} {}", gate.question, gate.reason);
        for step in &gate.instead {
            all.push(' ');
            all.push_str(&step.text);
        }
        if let Some(word) = words.get(&gate.danger) {
            all.push_str(&format!(" {} {}", word.hurts, word.action));
        }
        let all = all.to_lowercase();
        for method in
            ["steam", "fill it", "fill with", "flush", "purge", "rinse", "inert", "exhaust gas", "drill", "deflate"]
        {
            assert!(!all.contains(method), "{key} teaches `{method}`");
        }
    }
    for id in ["held-fuel", "held-chemical"] {
        assert!(
            words
                .get(id)
                .is_some_and(|word| word.action.contains("AWS F4.1") && word.action.contains("gas-free certificate")),
            "{id}"
        );
    }
}
