//! Rules of the trade that a sheet keeps, each from the text of a spec: what is asked, what comes first, what is left out.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[allow(dead_code, reason = "the tests of the rules use the rest")]
#[path = "rules/case.rs"]
mod case;

use case::{CLEAN, Edit, KIT, edited, kit, read};
use interpass::engine::FigureName;
use interpass::reference::search::{alloy_named, constant, physical_value};
use interpass::sheet::{Block, Sheet};
use interpass::spec::DamageKind;
use interpass::{engine, rules, sheet};

fn build_with(edits: &[Edit<'_>], kit_text: Option<&str>) -> Sheet {
    let spec = read(&edited(CLEAN, edits));
    let kit = kit_text.map(kit);
    let (job, _) = engine::job::check(&spec, kit.as_ref());
    let worked = engine::work_out(&job);
    sheet::build(&job, &worked, &rules::judge(&job, &worked), "0123456789abcdef")
}

fn build(edits: &[Edit<'_>]) -> Sheet {
    build_with(edits, None)
}

fn blocks(sheet: &Sheet) -> impl Iterator<Item = &Block> {
    sheet.sections.iter().flat_map(|section| &section.blocks)
}

fn steps(sheet: &Sheet) -> Vec<(&str, &str)> {
    fn say(block: &Block) -> Option<(&str, &str)> {
        match block {
            Block::Step(step) => Some((step.id.as_str(), step.action.text.as_str())),
            _ => None,
        }
    }
    blocks(sheet).filter_map(say).collect()
}

fn step<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s str> {
    steps(sheet).into_iter().find(|(own, _)| *own == id).map(|(_, text)| text)
}

fn at(sheet: &Sheet, id: &str) -> usize {
    let steps = steps(sheet);
    steps.iter().position(|(own, _)| *own == id).unwrap_or_else(|| panic!("no {id}: {steps:#?}"))
}

fn decide(sheet: &Sheet) -> Vec<[String; 3]> {
    let tables = blocks(sheet).filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None });
    let rows = tables.filter(|table| table.key == "decide").flat_map(|table| &table.rows);
    rows.map(|row| [row[0].text.clone(), row[1].text.clone(), row[2].text.clone()]).collect()
}

fn hold(sheet: &Sheet, id: &str) -> Option<String> {
    blocks(sheet).find_map(|block| match block {
        Block::Hold(hold) if hold.id == id => Some(hold.criterion.text.clone()),
        _ => None,
    })
}

const CASTING: &[Edit<'static>] = &[("alloy", "\"A356.0\""), ("form", "\"sand casting\"")];

#[test]
fn what_is_left_out_is_a_blank_in_decide() {
    let full = decide(&build(&[])).len();
    for key in ["enclosed", "hollow", "held", "coating", "confined", "pit", "use", "consequence", "loading", "cleaner"]
    {
        let rows = decide(&build(&[(key, "")]));
        assert_eq!(rows.len(), full + 1, "{key}: one question more");
        let blank = rows.last().unwrap();
        assert!(blank[1].starts_with("______") && blank[1].contains("nobody has said"), "{key}: {blank:?}");
        assert!(!blank[2].is_empty(), "{key}: and what if it is no?");
    }
}

#[test]
fn an_x_ray_gun_proves_no_aluminium() {
    for by in ["\"assumed\"", "\"spark test\"", ""] {
        let spec = read(&edited(CLEAN, &[("identified_by", by)]));
        let (job, _) = engine::job::check(&spec, None);
        let judgement = rules::judge(&job, &engine::work_out(&job));
        let notes: String = judgement.findings.iter().flat_map(|finding| finding.notes.clone()).collect();
        assert!(notes.contains("X-ray gun misreads magnesium and silicon"), "{by}: {notes}");
    }
    let proved = build(&[("identified_by", "\"spectrometer\"")]);
    let text = blocks(&proved).find_map(|block| match block {
        Block::Text { text, .. } if text.text.contains("`hold-identity`") => Some(text.text.clone()),
        _ => None,
    });
    assert!(text.unwrap().contains("no hand-held X-ray gun"), "a spectrometer is a spark one");
}

#[test]
fn what_holds_pressure_comes_off_first() {
    let sheet = build(&[("part.fitted", "[\"bearing\", \"hose\", \"gas strut\", \"battery\"]")]);
    let first = ["3.take-off-gas-strut", "3.take-off-hose-pressure"];
    let rest = ["3.take-off-bearing", "3.take-off-hose", "3.take-off-battery", "3.degrease", "3.open"];
    assert!(first.map(|id| at(&sheet, id)).is_sorted());
    for id in rest {
        assert!(at(&sheet, "3.take-off-hose-pressure") < at(&sheet, id), "{id}");
    }
    assert!(step(&sheet, "3.take-off-gas-strut").unwrap().contains("accumulator"));
}

#[test]
fn a_stop_hole_is_for_a_through_crack_with_an_end_inside() {
    let through = [("through", "true"), ("depth", "")];
    let drilled = |edits: &[Edit<'_>]| step(&build(edits), "3.stop-hole").is_some();
    assert!(drilled(&through));
    assert!(!drilled(&[]), "a crack that is not through is cut out");
    assert!(!drilled(&[("through", "true"), ("depth", ""), ("tips", "0")]), "no end inside");
    let weld = [("kind", "\"failed weld\""), ("through", "true"), ("depth", ""), ("tips", "")];
    assert!(!drilled(&weld), "a torn weld is no crack");
}

#[test]
fn uneven_metal_is_told_at_1_5_and_warmed_or_tapered_at_2() {
    // The wall is 6 mm.
    for (beside, told, tapered) in [("8 mm", false, false), ("9.5 mm", true, false), ("12.5 mm", true, true)] {
        let table = format!("[metal.beside]\nthickness = \"{beside}\"");
        let sheet = build_with(&[("+", &table)], Some(KIT));
        let words = blocks(&sheet)
            .any(|block| matches!(block, Block::Text { text, .. } if text.text.contains("two thirds of the arc")));
        assert_eq!(words, told, "{beside}");
        assert_eq!(step(&sheet, "3.taper").is_some(), tapered, "{beside}");
        assert_eq!(step(&sheet, "6.heavy").is_some(), tapered, "{beside}");
    }
}

#[test]
fn stop_and_scrap_is_a_box_of_its_own() {
    let sheet = build(&[("through", "true"), ("depth", "")]);
    let items = blocks(&sheet).find_map(|block| match block {
        Block::Alert { title, items } if title == "Stop and scrap" => Some(items),
        _ => None,
    });
    let items: Vec<&str> = items.expect("the box").iter().map(|item| item.text.as_str()).collect();
    for words in ["runs while you weld", "1.5 times", "under 3 mm", "fourth dig-out", "third attempt without approval"]
    {
        assert!(items.iter().any(|item| item.contains(words)), "{words}: {items:?}");
    }
    // 30 mm were agreed: 45 mm at most.
    assert!(items.iter().any(|item| item.contains("45 mm")), "{items:?}");
    assert!(hold(&sheet, "hold-agreed").unwrap().contains("45 mm"));
}

#[test]
fn the_root_is_tested_with_dye_at_high_consequence_alone() {
    let approved = "[qualification]\nstate = \"qualified\"\nrecord = \"PQR-1\"\nstandard = \"ISO 15614-2\"\n[approval]\nby = \"a\"\nreference = \"b\"";
    let high = build(&[("consequence", "\"high\""), ("+", approved)]);
    assert!(at(&high, "6.look") < at(&high, "6.root-test") && at(&high, "6.root-test") < at(&high, "6.root-clean"));
    for consequence in ["\"low\"", "\"moderate\""] {
        let sheet = build(&[("consequence", consequence)]);
        assert!(step(&sheet, "6.root-test").is_none() && step(&sheet, "6.look").is_some(), "{consequence}");
    }
}

#[test]
fn magnetic_particle_is_left_out_on_aluminium() {
    let sheet = build(&[("+", "[inspection]\nmethods = [\"visual\", \"magnetic particle\"]")]);
    assert!(step(&sheet, "7.magnetic").unwrap().contains("aluminium is not magnetic"));
}

#[test]
fn decide_offers_the_other_ways_first() {
    for kind in DamageKind::ALL {
        let mut edits = vec![("kind", format!("\"{}\"", kind.word()))];
        if *kind != DamageKind::Crack {
            edits.push(("tips", String::new()));
        }
        let edits: Vec<Edit<'_>> = edits.iter().map(|(key, value)| (*key, value.as_str())).collect();
        let rows = decide(&build(&edits));
        assert!(rows[0][0].starts_with("Are the other ways ruled out: "), "{}: {:?}", kind.word(), rows[0]);
        assert_eq!(rows[0][2], "take the other way");
    }
    // Insert, bush, stitching, bolts, a new part: each stands for some damage.
    let all: String = DamageKind::ALL
        .iter()
        .map(|kind| {
            let tips = if *kind == DamageKind::Crack { "2" } else { "" };
            decide(&build(&[("kind", &format!("\"{}\"", kind.word())), ("tips", tips)]))[0][0].clone()
        })
        .collect();
    for way in ["insert", "bush", "stitching", "bolt", "a new part"] {
        assert!(all.contains(way), "{way}: {all}");
    }
}

#[test]
fn a_preheat_is_a_hold() {
    let set = "[weld.set]\npreheat = { value = \"80 °C\", because = \"thick flange behind\" }";
    let sheet = build_with(&[("+", set)], Some(KIT));
    assert!(step(&sheet, "6.preheat").is_some());
    assert!(hold(&sheet, "hold-preheat").unwrap().contains("measured where the table of section 6 says"));
    assert_eq!(hold(&build(&[]), "hold-preheat"), None);
}

#[test]
fn a_burner_is_soft_moving_and_never_the_arc() {
    let set =
        |preheat: &str| format!("[weld.set]\npreheat = {{ value = \"{preheat}\", because = \"thick flange behind\" }}");
    let sheet = build_with(&[("+", &set("110 °C")), ("part.movable", "false")], Some(KIT));
    let text = step(&sheet, "6.preheat").unwrap();
    for words in ["soft burner", "kept moving", "never with the arc", "no flame on the joint"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    // Above 120 °C nothing but an oven warms, and the spec is a mistake.
    for (metal, temper) in [("6061", "\"T6\""), ("3003", "\"H14\""), ("A356.0", "\"T6\"")] {
        let text = set("125 °C");
        let edits = [("alloy", &*format!("\"{metal}\"")), ("temper", temper), ("form", ""), ("+", text.as_str())]
            .map(|(key, value)| (key, value.to_owned()));
        let edits: Vec<Edit<'_>> = edits.iter().map(|(key, value)| (*key, value.as_str())).collect();
        let spec = read(&edited(CLEAN, &edits));
        let (job, _) = engine::job::check(&spec, None);
        let findings = engine::work_out(&job).findings;
        let codes: Vec<_> = findings.iter().map(|finding| finding.code.as_str()).collect();
        assert!(codes.contains(&"setting-above-heat-limit"), "{metal}: {codes:?}");
    }
}

#[test]
fn a_soft_casting_is_baked_hotter() {
    let of = |temper: &str| {
        let edits: Vec<Edit<'_>> =
            CASTING.iter().copied().chain([("temper", temper), ("surface", "[\"oil soaked\"]")]).collect();
        step(&build_with(&edits, Some(KIT)), "5.bake").unwrap().to_owned()
    };
    for temper in ["\"F\"", "\"T71\""] {
        assert!(of(temper).contains("230 °C (445 °F) at most") && !of(temper).contains("2 h"), "{}", of(temper));
    }
    for temper in ["\"T5\"", "\"T6\""] {
        assert!(of(temper).contains("150 °C (300 °F) at most, 2 h in all"), "{}", of(temper));
    }
}

/// 3.1 kg of aluminium, 920 J/kgK, from 20 to 100 °C, at 180 A and the load line's volts with three quarters of the heat.
#[test]
fn the_bracket_of_the_trade_bears_98_seconds() {
    let net = 0.75 * (10.0 + 0.04 * 180.0) * 180.0;
    let seconds = engine::heat::arc_minutes(3.1, 920.0, 80.0, net) * 60.0;
    assert!((seconds - 98.0).abs() < 0.6, "{seconds} s");
    assert!((constant("budget-efficiency").unwrap().value - 0.75).abs() < 1e-12);
}

#[test]
fn the_fit_is_one_and_its_half_is_no_efficiency() {
    let value = |key: &str| constant(key).unwrap_or_else(|| panic!("no {key}")).value;
    assert!((value("fit-conductivity") - 190.0 / 166.0).abs() < 1e-5);
    assert!((value("fit-efficiency") - 0.5).abs() < 1e-12 && (value("heat-input-k") - 0.6).abs() < 1e-12);
    let spec = read(&edited(CLEAN, &[]));
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let heat = &worked.figures[&FigureName::HeatInput];
    assert!(heat.working.iter().any(|line| line.words == "heat-input-k"));
    assert!(!heat.working.iter().any(|line| line.words == "fit-efficiency"), "the fit enters no heat input");
}

#[test]
fn the_cold_rod_takes_115_watts() {
    // 20 mm2 a pass at 120 mm/min, 2.68 g/cm3: grams a second times joules a gram.
    let watts = 2.68e-3 * 20.0 * 2.0 * constant("rod-enthalpy").unwrap().value;
    assert!((watts - 115.0).abs() < 1.0, "{watts} W");
}

#[test]
fn castings_in_t6_conduct_151() {
    for name in ["A356.0", "356.0"] {
        let found = physical_value(alloy_named(name).unwrap(), Some("T6"), "conductivity").unwrap();
        assert!((found.value - 151.0).abs() < 1e-9, "{name}: {}", found.value);
    }
    let edits: Vec<Edit<'_>> = CASTING.to_vec();
    let spec = read(&edited(CLEAN, &edits));
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let lines = &worked.figures[&FigureName::Amperage].working;
    assert!(lines.iter().any(|line| line.number == Some(151.0) && line.unit == "W/mK"), "the working says so");
}

#[test]
fn helium_lowers_what_a_tungsten_carries() {
    use interpass::engine::tungsten::{Need, diameter};
    use interpass::reference::Polarity;
    let mut argon = None;
    // The same need with helium wants the same or a thicker electrode, never a thinner one.
    for helium in [0.0, 0.5, 0.75] {
        let size =
            diameter(Need { polarity: Polarity::AC, balance: 70.0, low: 150.0, aim: 205.0, high: 230.0, helium }, &[]);
        let size = size.expect("a tungsten").figure.aim().expect("a size");
        assert!(argon.is_none_or(|before| size >= before), "{helium}: {size}");
        argon = Some(size);
    }
    assert!((constant("tungsten-in-helium").unwrap().value - 0.8).abs() < 1e-9);
    let big = |helium: f64| {
        let need = Need { polarity: Polarity::AC, balance: 70.0, low: 150.0, aim: 180.0, high: 225.0, helium };
        diameter(need, &[]).unwrap().figure.aim().unwrap()
    };
    assert!(big(0.75) > big(0.0), "225 A: {} mm in argon, {} mm in helium", big(0.0), big(0.75));
}

#[test]
fn the_dome_is_no_wider_than_the_flat() {
    let spec = read(&edited(CLEAN, &[]));
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let flat = &worked.figures[&FigureName::TipFlat];
    assert!(flat.working.iter().any(|line| line.words == "dome-no-wider"));
}

#[test]
fn above_the_rows_dcen_takes_the_largest_angle() {
    use interpass::engine::tungsten::tip;
    use interpass::reference::{Polarity, tungsten_tip};
    for diameter in [1.6, 2.4, 3.2] {
        let rows = tungsten_tip().rows.iter().filter(|row| (row.diameter - diameter).abs() < 0.01);
        let largest = rows.map(|row| row.angle).fold(0.0, f64::max);
        let figures = tip(Polarity::DCEN, diameter, 900.0);
        let angle = figures.iter().find(|figure| figure.name == FigureName::TipAngle).and_then(|figure| figure.aim());
        assert!(largest > 0.0 && angle.is_some_and(|angle| (angle - largest).abs() < 2.6), "{diameter}: {angle:?}");
    }
}

#[test]
fn a_rotating_part_is_balanced_whatever_the_figure_says() {
    let sheet = build(&[
        ("loading", "[\"rotating\"]"),
        ("part.rotating", "{ speed = \"1500 rpm\", repair_radius = \"80 mm\" }"),
    ]);
    assert!(at(&sheet, "8.run-out") < at(&sheet, "8.balance"));
    assert!(step(&sheet, "8.balance").unwrap().contains("on a machine, whatever the figure says"));
    assert!(step(&build(&[]), "8.balance").is_none());
}
