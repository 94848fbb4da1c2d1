//! Every danger that a metal, its coatings, solvents, place or kit can raise, raised by a spec: from the text
//! of the spec to the caution on the sheet, right before its step and the gravest first.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[allow(dead_code, reason = "the tests of the rules use the rest")]
#[path = "rules/case.rs"]
mod case;

use case::{CLEAN, Edit, KIT, edited, kit, read};
use interpass::reference::hazard;
use interpass::rules::Decision;
use interpass::sheet::{Block, Caution, Section, Sheet};
use interpass::{engine, rules, sheet};
use std::collections::{BTreeMap, BTreeSet};

const QUALIFIED: Edit<'static> =
    ("+", "[qualification]\nstate = \"qualified\"\nrecord = \"PQR-1\"\nstandard = \"ISO 15614-2\"");
const APPROVAL: Edit<'static> = ("+", "[approval]\nby = \"the harbour engineer\"\nreference = \"HE-7\"");

/// A row of the table, what is stated, whether the kit is in hand, and where the caution stands: `standing`, the section
/// that it heads, or the step that it stands before.
type Row = (&'static str, &'static [Edit<'static>], bool, &'static str);

/// One line a row of the table of hazards. Without a change the danger is there at every job.
#[rustfmt::skip]
const RAISED: &[Row] = &[
    // At every job.
    ("shock", &[], false, "standing"),
    ("high-frequency", &[], false, "standing"),
    ("fume-and-ozone", &[], false, "standing"),
    ("hot-aluminium", &[], false, "standing"),
    ("fire", &[], false, "standing"),
    ("ultraviolet", &[], false, "5.scrap-bead"),
    ("lens-shade", &[], false, "5.scrap-bead"),
    ("rags-and-skin", &[], false, "3.degrease"),
    ("aluminium-dust", &[], false, "3.open"),
    ("eyes", &[], false, "3.open"),
    ("noise", &[], false, "3.open"),
    ("room-air", &[], false, "5.earth"),
    ("stray-high-frequency", &[], false, "5.earth"),
    ("cylinder", &[], false, "5.flow"),
    // What it has held and what it is: refused.
    ("held-fuel", &[("held", "\"fuel\"")], false, "standing"),
    ("held-unknown", &[("held", "\"unknown\"")], false, "standing"),
    ("held-chemical", &[("held", "\"solvent\"")], false, "standing"),
    ("held-gas", &[("held", "\"gas\"")], false, "standing"),
    ("closed-space", &[("enclosed", "true")], false, "standing"),
    ("gas-cylinder", &[("use", "[\"gas cylinder\"]")], false, "standing"),
    ("tyre-burst", &[("part.fitted", "[\"tyre\"]")], false, "standing"),
    ("road-wheel", &[("use", "[\"road wheel\"]")], false, "standing"),
    ("cadmium", &[("coating", "\"cadmium\"")], false, "standing"),
    ("beryllium", &[("alloy", "\"A357.0\""), ("form", "\"sand casting\"")], false, "standing"),
    ("pressure", &[("use", "[\"pressure\"]")], false, "standing"),
    ("pressure", &[("loading", "[\"pressure\"]"), QUALIFIED, APPROVAL], false, "2"),
    ("dropped-load", &[("use", "[\"lifting\"]")], false, "standing"),
    ("dropped-load", &[("use", "[\"lifting\"]"), QUALIFIED, APPROVAL], false, "2"),
    // What nobody has said: the worst that it may be.
    ("held-unknown", &[("held", "")], false, "2"),
    ("closed-space", &[("enclosed", "")], false, "2"),
    ("coating-unknown", &[("coating", "")], false, "2"),
    ("coating-unknown", &[("coating", "\"unknown\"")], false, "2"),
    ("use-unknown", &[("use", "")], false, "2"),
    ("confined-space", &[("confined", "")], false, "3.air"),
    ("argon", &[("confined", "")], false, "5.flow"),
    ("argon", &[("pit", "")], false, "5.flow"),
    ("hollow", &[("hollow", "")], false, "3.vent"),
    ("phosgene", &[("cleaner", "")], false, "3.degrease"),
    ("solvent-left", &[("cleaner", "")], false, "5.scrap-bead"),
    ("maybe-magnesium", &[("identified_by", "")], false, "3.vinegar"),
    // The place.
    ("bilge-gas", &[("site", "\"on the boat\"")], false, "3.bilge"),
    ("confined-space", &[("confined", "true")], false, "3.air"),
    ("hot-work", &[("site", "\"other indoors\"")], false, "3.permit"),
    ("shock-damp", &[("place.damp", "true")], false, "5.earth"),
    ("argon", &[("pit", "true")], false, "5.flow"),
    ("helium", &[("confined", "true"), ("weld.gas", "\"argon + 30 % helium\"")], false, "5.flow"),
    ("wind", &[("place.wind", "\"2 m/s\"")], false, "5.flow"),
    ("wind", &[("site", "\"outdoors\"")], false, "5.flow"),
    ("steam", &[("place.damp", "true")], false, "5.dry"),
    // What is fitted and what is inside.
    ("gas-strut", &[("part.fitted", "[\"gas strut\"]")], false, "3.take-off-gas-strut"),
    ("hose", &[("part.fitted", "[\"hose\"]")], false, "3.take-off-hose-pressure"),
    ("battery", &[("part.fitted", "[\"battery\"]")], false, "3.take-off-battery"),
    ("burnt-seal", &[("part.fitted", "[\"seal\"]")], false, "3.take-off-seal"),
    ("electronics", &[("part.fitted", "[\"electronics\"]")], false, "3.take-off-electronics"),
    ("return-path", &[("part.fitted", "[\"bearing\"]")], false, "5.earth"),
    ("refrigerant", &[("held", "\"refrigerant\"")], false, "3.drain"),
    ("held-oil", &[("held", "\"oil\"")], false, "3.drain"),
    ("steam", &[("held", "\"water\"")], false, "5.dry"),
    ("leak-test", &[("+", "[inspection]\nmethods = [\"visual\", \"penetrant\", \"leak test\"]")], false, "8.leak-test"),
    ("leak-test", &[("damage.cause", "\"freezing\"")], false, "8.leak-test"),
    ("food-contact", &[("use", "[\"food\"]")], false, "8.dress"),
    ("hollow", &[("hollow", "true"), ("part.vented", "true")], false, "3.vent"),
    // Which metal it is.
    ("maybe-magnesium", &[("identified_by", "\"stamp\"")], false, "3.vinegar"),
    ("magnesium-light", &[("alloy", "\"5083\""), ("temper", "\"H111\"")], false, "5.scrap-bead"),
    ("zinc-in-metal", &[("alloy", "\"7005\"")], false, "6.strike"),
    ("spitting", &[("alloy", "\"356.0\""), ("form", "\"sand casting\"")], false, "6.trial-bead"),
    ("blister", &[("alloy", "\"413.0\""), ("temper", "\"F\""), ("form", "\"die casting\"")], false, "5.dry"),
    // What lies on the metal.
    ("ptfe", &[("coating", "\"PTFE\"")], false, "3.strip"),
    ("lead-paint", &[("coating", "\"lead paint\"")], false, "3.strip"),
    ("paint", &[("coating", "\"paint\"")], false, "3.strip"),
    ("paint", &[("surface", "[\"painted\"]")], false, "3.strip-paint"),
    ("chromium-six", &[("coating", "\"chromate\"")], false, "3.strip"),
    ("chromium-six", &[("coating", "\"chrome\"")], false, "3.strip"),
    ("plating", &[("surface", "[\"plated\"]")], false, "3.strip"),
    ("zinc-fume", &[("coating", "\"zinc\"")], false, "3.strip"),
    ("zinc-fume", &[("surface", "[\"galvanised\"]")], false, "3.strip"),
    ("resin", &[("coating", "\"powder coat\"")], false, "3.strip"),
    ("resin", &[("coating", "\"epoxy paste\"")], false, "3.strip"),
    ("resin", &[("coating", "\"sealant\"")], false, "3.strip"),
    ("resin", &[("surface", "[\"filler paste\"]")], false, "3.degrease"),
    ("impregnation-resin", &[("coating", "\"impregnation resin\"")], false, "3.strip"),
    ("mask", &[("coating", "\"lead paint\"")], false, "3.strip"),
    ("extraction", &[("coating", "\"chromate\"")], false, "6.strike"),
    ("anodised", &[("surface", "[\"anodised\"]")], false, "3.strip-anodised"),
    ("old-flux", &[("surface", "[\"earlier weld\"]")], false, "3.degrease"),
    ("oil-smoke", &[("surface", "[\"oil soaked\"]"), ("alloy", "\"356.0\""), ("form", "\"sand casting\"")], true, "5.bake"),
    ("oil-smoke", &[("held", "\"oil\""), ("alloy", "\"356.0\""), ("form", "\"sand casting\"")], false, "6.trial-bead"),
    ("solvent-in-oven", &[], true, "5.dry"),
    ("solvent-in-oven", &[("surface", "[\"oil soaked\"]"), ("alloy", "\"356.0\""), ("form", "\"sand casting\"")], true, "5.bake"),
    // What cleans it and what tests it.
    ("phosgene", &[("cleaner", "\"unknown\"")], false, "3.degrease"),
    ("phosgene", &[("cleaner", "\"chlorinated\"")], false, "standing"),
    ("acetone", &[("cleaner", "\"acetone\"")], false, "3.degrease"),
    ("alcohol", &[("cleaner", "\"alcohol\"")], false, "3.degrease"),
    ("alkaline", &[("cleaner", "\"alkaline\"")], false, "3.degrease"),
    ("solvent-left", &[("cleaner", "\"acetone\"")], false, "5.scrap-bead"),
    ("solvent-left", &[("cleaner", "\"alcohol\"")], false, "5.scrap-bead"),
    ("penetrant-cans", &[("+", "[inspection]\nmethods = [\"penetrant\"]")], false, "3.tips"),
    ("dye-left", &[("+", "[inspection]\nmethods = [\"penetrant\"]")], false, "5.dye-off"),
    // What the work and the shop bring with them.
    ("drilling", &[("through", "true"), ("depth", "")], false, "3.stop-hole"),
    ("thorium", &[("+", "[weld.set]\ntungsten_type = { value = \"WTh 20\", because = \"nothing else here\" }")], false, "5.tip"),
    ("burner", &[("+", "[metal.beside]\nthickness = \"14 mm\"")], true, "6.heavy"),
    // Other metals than aluminium.
    ("hot-metal", STEEL, false, "standing"),
    ("arc-light", STEEL, false, "5.scrap-bead"),
    ("iron-sparks", STEEL, false, "3.scale"),
    ("manganese-fume", STEEL, false, "5.scrap-bead"),
    ("hot-part", &[("alloy", "\"4140\""), ("temper", ""), ("form", "")], false, "6.preheat"),
    ("chromium-fume", STAINLESS, false, "5.scrap-bead"),
    ("nickel-fume", STAINLESS, false, "5.scrap-bead"),
    ("pickling", STAINLESS, false, "8.tint-off"),
    ("zinc-cracks", &[("alloy", "\"304\""), ("temper", ""), ("form", ""), ("coating", "\"zinc\"")], false, "3.strip"),
    ("purge-gas", &[("alloy", "\"304\""), ("temper", ""), ("form", ""), ("depth", ""), ("through", "true"), ("access", "\"one side\"")], false, "6.purge-box"),
    ("copper-fume", &[("alloy", "\"C12200\""), ("temper", ""), ("form", "")], false, "5.scrap-bead"),
    ("brass-fume", &[("alloy", "\"C26000\""), ("temper", ""), ("form", "")], false, "5.scrap-bead"),
    ("lead-in-metal", &[("alloy", "\"C26000\""), ("temper", ""), ("form", ""), ("identified_by", "\"stamp\"")], false, "standing"),
    ("titanium-dust", &[("alloy", "\"Ti grade 2\""), ("temper", ""), ("form", "")], false, "3.open"),
    ("magnesium", MAGNESIUM, false, "3.open"),
    ("magnesium-fire", MAGNESIUM, false, "5.scrap-bead"),
];

const STEEL: &[Edit<'static>] = &[("alloy", "\"S355J2\""), ("temper", ""), ("form", "")];
const STAINLESS: &[Edit<'static>] = &[("alloy", "\"304\""), ("temper", ""), ("form", "")];
const MAGNESIUM: &[Edit<'static>] = &[("alloy", "\"AZ31B\""), ("temper", ""), ("form", "")];

fn build(text: &str, with_kit: bool) -> Sheet {
    let spec = read(text);
    let kit = with_kit.then(|| kit(KIT));
    let (job, _) = engine::job::check(&spec, kit.as_ref());
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    sheet::build(&job, &worked, &judgement, "0123456789abcdef")
}

fn cautions(sheet: &Sheet) -> Vec<(&Section, usize, &Caution)> {
    fn of(section: &Section) -> impl Iterator<Item = (&Section, usize, &Caution)> {
        section.blocks.iter().enumerate().filter_map(move |(at, block)| match block {
            Block::Caution(caution) => Some((section, at, caution)),
            _ => None,
        })
    }
    sheet.sections.iter().flat_map(of).collect()
}

/// Place of a signal word among the four, gravest first.
fn gravity(caution: &Caution) -> usize {
    ["DANGER", "WARNING", "CAUTION", "NOTICE"].iter().position(|word| *word == caution.signal).expect("a signal word")
}

/// The step that stands right behind a caution, other cautions apart.
fn step_behind(section: &Section, at: usize) -> Option<&str> {
    let next = section.blocks.iter().skip(at).find(|block| !matches!(block, Block::Caution(_)))?;
    if let Block::Step(step) = next { Some(step.id.as_str()) } else { None }
}

#[test]
fn every_row_of_the_table_is_raised_by_a_spec() {
    let raised: BTreeSet<&str> = RAISED.iter().map(|(id, ..)| *id).collect();
    let never: Vec<&str> = hazard().rows.iter().map(|row| row.id.as_str()).filter(|id| !raised.contains(id)).collect();
    assert_eq!(never, Vec::<&str>::new(), "rows that no spec of this list raises");
    let known: BTreeSet<&str> = hazard().rows.iter().map(|row| row.id.as_str()).collect();
    assert!(raised.is_subset(&known), "rows that the table has no more");
}

#[test]
fn every_caution_is_printed_where_it_belongs_and_only_then() {
    let clean = build(CLEAN, false);
    let always: BTreeSet<&str> = cautions(&clean).iter().map(|(.., caution)| caution.id.as_str()).collect();
    let none = |edits: &[Edit<'_>]| edits.is_empty();
    for (id, edits, with_kit, place) in RAISED {
        let sheet = build(&edited(CLEAN, edits), *with_kit);
        let found = cautions(&sheet);
        let here: Vec<_> = found.iter().filter(|(.., caution)| caution.id == *id).collect();
        let [(section, at, caution)] = here.as_slice() else {
            panic!("{id} of {edits:?} stands {} times on the sheet", here.len())
        };
        if matches!(*place, "standing" | "2") {
            assert_eq!((section.id.as_str(), caution.before.as_str()), (*place, ""), "{id} of {edits:?}");
            assert!(*place == "standing" || caution.signal == "DANGER", "{id}");
        } else {
            assert_eq!(caution.before, *place, "{id} of {edits:?}");
            assert_eq!(step_behind(section, *at), Some(*place), "{id} of {edits:?} is parted from its step");
        }
        // What the clean job raises by itself needs no change, and what needs one is not there without it.
        let by_itself = ["acetone", "solvent-left", "penetrant-cans", "dye-left"].contains(id);
        let by_job = none(edits) && !with_kit;
        assert_eq!(always.contains(id), by_job || by_itself, "{id} fires without cause");
    }
}

#[test]
fn the_gravest_stands_first_before_each_step() {
    for (id, edits, with_kit, _) in RAISED {
        let sheet = build(&edited(CLEAN, edits), *with_kit);
        let mut by_step: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
        for (section, _, caution) in cautions(&sheet) {
            by_step.entry((&section.id, &caution.before)).or_default().push(gravity(caution));
        }
        for (at, order) in by_step {
            assert!(order.is_sorted(), "{id}: {at:?}: {order:?}");
        }
    }
}

/// A job with as much wrong with it as one may have and still be welded.
#[rustfmt::skip]
const WORST: &[Edit<'static>] = &[
    ("coating", ""), ("cleaner", ""), ("confined", "true"), ("pit", "true"), ("held", "\"oil\""), ("hollow", ""),
    ("use", "[\"lifting\", \"pressure\", \"food\"]"), ("consequence", "\"high\""), ("identified_by", "\"assumed\""),
    ("site", "\"on the boat\""), ("place.damp", "true"), ("place.wind", "\"2 m/s\""),
    ("part.fitted", "[\"bearing\", \"seal\", \"electronics\", \"battery\", \"gas strut\", \"hose\"]"),
    ("surface", "[\"painted\", \"oil soaked\", \"anodised\", \"galvanised\", \"plated\", \"filler paste\", \"earlier weld\"]"),
    ("weld.gas", "\"argon + 30 % helium\""), ("alloy", "\"356.0\""), ("form", "\"sand casting\""), QUALIFIED, APPROVAL,
];

#[test]
fn no_number_of_cautions_drops_a_danger_or_a_warning() {
    let text = edited(CLEAN, WORST);
    let spec = read(&text);
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let judgement = rules::judge(&job, &worked);
    assert_ne!(judgement.decision, Decision::No);
    let sheet = sheet::build(&job, &worked, &judgement, "");
    let printed: BTreeSet<&str> = cautions(&sheet).iter().map(|(.., caution)| caution.id.as_str()).collect();
    let mut grave = 0;
    for fired in &judgement.dangers {
        if matches!(fired.hazard.signal.as_str(), "DANGER" | "WARNING") {
            grave += 1;
            assert!(printed.contains(fired.hazard.id.as_str()), "{} is dropped", fired.hazard.id);
        }
    }
    assert!(grave >= 35, "only {grave} grave dangers fire: the job is not the worst any more");
    let mut lesser: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for (section, _, caution) in cautions(&sheet) {
        *lesser.entry((&section.id, &caution.before)).or_default() += usize::from(gravity(caution) >= 2);
    }
    assert!(lesser.values().all(|count| *count <= 2), "{lesser:?}");
    let dropped = judgement.dangers.iter().filter(|fired| !printed.contains(fired.hazard.id.as_str())).count();
    assert!(dropped > 0, "the limit on the lesser ones is not reached, so this test shows nothing");
}

#[test]
fn an_unnamed_cleaner_warns_of_phosgene_and_of_fire() {
    for cleaner in ["", "\"unknown\""] {
        let sheet = build(&edited(CLEAN, &[("cleaner", cleaner)]), false);
        let found = cautions(&sheet);
        let of = |id: &str| found.iter().find(|(.., caution)| caution.id == id).map(|(.., caution)| *caution);
        let phosgene = of("phosgene").expect("phosgene");
        assert_eq!((phosgene.signal.as_str(), phosgene.before.as_str()), ("DANGER", "3.degrease"));
        assert!(phosgene.action.contains("part, rag or floor") && phosgene.hurts.contains("without a label"));
        assert!(of("solvent-left").is_some(), "it may take fire as well");
        assert_eq!(sheet.decision, Decision::Caution);
    }
}

#[test]
fn a_flammable_cleaner_warns_of_fire_on_part_rag_and_glove() {
    for cleaner in ["acetone", "alcohol"] {
        let sheet = build(&edited(CLEAN, &[("cleaner", &format!("\"{cleaner}\""))]), false);
        let found = cautions(&sheet);
        let left = found.iter().find(|(.., caution)| caution.id == "solvent-left").expect("fire");
        let words = format!("{} {}", left.2.hurts, left.2.action);
        for what in ["part", "rag", "glove"] {
            assert!(words.contains(what), "{cleaner}: nothing of the {what}: {words}");
        }
        assert_eq!(left.2.before, "5.scrap-bead", "before the first arc of all");
        assert!(!found.iter().any(|(.., caution)| caution.id == "phosgene"), "{cleaner} holds no chlorine");
    }
    let water = build(&edited(CLEAN, &[("cleaner", "\"alkaline\"")]), false);
    assert!(!cautions(&water).iter().any(|(.., caution)| caution.id == "solvent-left"), "water takes no fire");
}

#[test]
fn the_burner_is_a_danger_of_the_sheets_that_use_it() {
    let kit = kit(KIT);
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let mut used = 0;
    for path in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        if !path.to_string_lossy().ends_with(".repair.toml") {
            continue;
        }
        let spec = read(&std::fs::read_to_string(&path).unwrap());
        let (job, _) = engine::job::check(&spec, Some(&kit));
        let worked = engine::work_out(&job);
        let sheet = sheet::build(&job, &worked, &rules::judge(&job, &worked), "");
        let steps = sheet.sections.iter().flat_map(|section| &section.blocks);
        let by_burner = steps
            .into_iter()
            .any(|block| matches!(block, Block::Step(step) if !step.own && ["soft burner", "soft flame"].iter().any(|word| step.action.text.contains(word))));
        let warned = cautions(&sheet).iter().any(|(.., caution)| caution.id == "burner");
        assert_eq!(warned, by_burner, "{}", path.display());
        used += usize::from(by_burner);
    }
    assert!(used > 0, "no demo sheet uses the burner, so this test shows nothing");
}
