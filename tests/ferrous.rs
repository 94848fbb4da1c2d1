//! Steels and stainless steels: what their formulas say where they hold, what they say where they do not, and that
//! every working works out again from its own lines.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

mod common;

use common::calculator::Calculator;
use interpass::engine::ferrous::carbon_equivalent::{End, Formula, contents};
use interpass::engine::ferrous::cet_preheat::{Advice, Form, Inputs, advise, departures, quarter_band, root_rule};
use interpass::engine::ferrous::cooling::{Shape, Weld, shape_row};
use interpass::engine::ferrous::hardness::{self, Level};
use interpass::engine::ferrous::heat_zone::FastArc;
use interpass::engine::ferrous::{Departure, Limits, Metal, cooling_figure, preheat};
use interpass::engine::stainless::ferrite::Equivalents;
use interpass::engine::stainless::ferrite_figure::{self, NOT_ESTIMATED};
use interpass::engine::stainless::{Structure, bands};
use interpass::engine::{FigureName, Line, LineKind, Value};
use interpass::findings::Code;
use interpass::spec::Joint;

fn limits(of: &[(&str, f64, f64)]) -> Limits {
    of.iter().map(|(element, low, high)| ((*element).to_owned(), [*low, *high])).collect()
}

fn mild() -> Limits {
    limits(&[("c", 0.13, 0.20), ("si", 0.2, 0.4), ("mn", 1.2, 1.6)])
}

fn chrome_molybdenum() -> Limits {
    limits(&[("c", 0.38, 0.43), ("si", 0.15, 0.35), ("mn", 0.75, 1.0), ("cr", 0.8, 1.1), ("mo", 0.15, 0.25)])
}

fn austenitic() -> Limits {
    limits(&[("c", 0.0, 0.03), ("cr", 18.0, 20.0), ("ni", 8.0, 12.0), ("mn", 0.0, 2.0)])
}

fn rod_308l() -> Limits {
    limits(&[("c", 0.0, 0.03), ("cr", 19.5, 22.0), ("ni", 9.0, 11.0), ("mo", 0.0, 0.75)])
}

fn metal<'a>(name: &'a str, limits: &'a Limits) -> Metal<'a> {
    Metal { name, limits, cite: None }
}

/// Works every line that has a formula out again; gives how many there were.
fn works_out(lines: &[Line]) -> usize {
    let mut calculator = Calculator::default();
    let mut again = 0;
    for line in lines {
        let Some(number) = line.number else { continue };
        if !line.formula.is_empty() {
            let worked =
                calculator.work_out(line.formula).unwrap_or_else(|problem| panic!("{}: {problem}", line.formula));
            let close = (worked - number).abs() <= 1e-9 * number.abs().max(1.0);
            assert!(close, "{}: {} = {worked}, not {number}", line.words, line.formula);
            again += 1;
        }
        if !line.symbol.is_empty() {
            calculator.set(line.symbol, number);
        }
    }
    again
}

/// The number of the first line with these words.
fn number(lines: &[Line], words: &str) -> f64 {
    lines.iter().find(|line| line.words == words).and_then(|line| line.number).unwrap_or_else(|| panic!("no {words}"))
}

#[test]
fn every_sum_has_its_row_and_rises_with_every_element() {
    for formula in Formula::ALL {
        let row = formula.row().unwrap_or_else(|| panic!("no row {}", formula.name()));
        assert!(!row.over.is_empty() || !row.times.is_empty(), "{}", row.name);
        for element in row.over.keys().chain(row.times.keys()) {
            let more = limits(&[(element, 0.1, 0.3)]);
            let ends = formula.ends(&more);
            assert!(0.0 < ends.low && ends.low < ends.middle && ends.middle < ends.high, "{} {element}", row.name);
            assert!((ends.middle - f64::midpoint(ends.low, ends.high)).abs() < 1e-12);
        }
    }
}

#[test]
fn a_sum_is_written_with_the_weights_it_is_worked_out_with() {
    let steel = contents(&chrome_molybdenum(), End::High);
    assert_eq!(Formula::Cet.terms(&steel), "C 0.43 + Cr 1.1/20 + Mn 1/10 + Mo 0.25/10");
    let rod = contents(&rod_308l(), End::Middle);
    assert_eq!(Formula::Chromium.terms(&rod), "Cr 20.75 + Mo 0.375");
    assert_eq!(Formula::Nickel.terms(&rod), "C 0.015 × 35 + Ni 10");
    assert_eq!(Formula::Nickel.terms(&contents(&limits(&[]), End::High)), "none");
}

#[test]
fn a_value_on_the_very_bound_is_inside_and_past_it_says_by_how_much() {
    let inside = Inputs { cet: 0.2, thickness: 10.0, hydrogen: 1.0, heat_input: 0.5 };
    assert!(departures(&inside).is_empty());
    let sheet = Inputs { thickness: 6.0, heat_input: 0.36, cet: 0.53, ..inside };
    let left = departures(&sheet);
    let told: Vec<(&str, f64)> =
        left.iter().map(|left| (left.what.as_str(), (left.by() * 1e6).round() / 1e6)).collect();
    assert_eq!(told, [("CET", 0.03), ("thickness", -4.0), ("heat input", -0.14)]);
    assert_eq!(left[1].words(), "thickness 6 mm, under 10 mm");
    assert_eq!(advise(&sheet), Advice::Outside(left));
    assert!(Departure::of("x", f64::NAN, [0.0, 1.0], "").is_some());
}

#[test]
fn both_forms_of_the_method_print_the_same_preheat() {
    for step in 0..=30 {
        let cet = 0.2 + 0.01 * f64::from(step);
        let inputs = Inputs { cet, thickness: 30.0, hydrogen: 4.0, heat_input: 1.0 };
        let apart = Form::Read.temperature(&inputs) - Form::Standard.temperature(&inputs);
        assert!((apart - (3.0 * cet - 2.0)).abs() < 1e-9 && apart.abs() <= 1.4 + 1e-9);
    }
}

#[test]
fn little_carbon_wants_drying_and_no_more() {
    let inputs = Inputs { cet: 0.22, thickness: 12.0, hydrogen: 3.0, heat_input: 0.8 };
    assert!(Form::Read.temperature(&inputs) < 0.0);
    assert_eq!(advise(&inputs), Advice::DryOnly);
    let mild = limits(&[("c", 0.08, 0.14), ("si", 0.1, 0.3), ("mn", 0.7, 1.0)]);
    let question = preheat::Question {
        metal: metal("mild", &mild),
        rod: None,
        thickness: 12.0,
        hydrogen: None,
        damp: false,
        heat_input: 0.8,
    };
    let answer = preheat::preheat(&question);
    assert_eq!((answer.advice.clone(), answer.degrees), (Advice::DryOnly, None));
    assert!(answer.findings.is_empty());
    let lines = answer.work.into_lines();
    assert!(works_out(&lines) >= 1);
    assert!(lines.iter().any(|line| line.words == "dry-only"));
}

#[test]
fn a_thick_plate_is_preheated_and_the_working_works_out() {
    let mild = mild();
    let rod = limits(&[("c", 0.06, 0.15), ("mn", 0.9, 1.4), ("si", 0.45, 0.75)]);
    let mut question = preheat::Question {
        metal: metal("mild", &mild),
        rod: Some(metal("rod", &rod)),
        thickness: 40.0,
        hydrogen: None,
        damp: false,
        heat_input: 0.8,
    };
    let answer = preheat::preheat(&question);
    let Advice::Preheat(reached) = answer.advice else { panic!("{:?}", answer.advice) };
    let degrees = answer.degrees.expect("a preheat");
    assert!(degrees >= reached && degrees - reached < 5.0 && degrees % 5.0 == 0.0);
    let lines = answer.work.into_lines();
    assert!(works_out(&lines) >= 2);
    assert!((number(&lines, "cet-preheat") - reached).abs() < 1e-9);
    // Damp work brings more hydrogen, and a rod that is harder than the plate counts in its place.
    question.damp = true;
    let damp = preheat::preheat(&question).degrees.expect("a preheat");
    assert!(damp > degrees);
    let hard = limits(&[("c", 0.25, 0.30), ("mn", 1.2, 1.6)]);
    question.rod = Some(metal("hard rod", &hard));
    assert!(preheat::preheat(&question).degrees.expect("a preheat") > damp);
}

#[test]
fn a_thin_repair_of_a_hard_steel_is_outside_and_the_root_rule_stands_in() {
    let steel = chrome_molybdenum();
    let question = preheat::Question {
        metal: metal("4140", &steel),
        rod: None,
        thickness: 8.0,
        hydrogen: None,
        damp: false,
        heat_input: 0.4,
    };
    let answer = preheat::preheat(&question);
    let Advice::Outside(left) = &answer.advice else { panic!("{:?}", answer.advice) };
    let what: Vec<&str> = left.iter().map(|left| left.what.as_str()).collect();
    assert_eq!(what, ["C", "CET", "thickness", "heat input"]);
    assert_eq!(answer.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [Code::SettingOutsideMethod]);
    assert!(answer.findings[0].message.contains("thickness 8 mm, under 10 mm"), "{}", answer.findings[0].message);
    assert!(answer.degrees.is_some_and(|degrees| (200.0..=260.0).contains(&degrees)), "{:?}", answer.degrees);
    assert_eq!(answer.band, Some([204.0, 371.0]));
    assert!((300.0..345.0).contains(&answer.martensite_start));
    let lines = answer.work.into_lines();
    assert!(works_out(&lines) >= 3);
    assert!(lines.iter().any(|line| line.words == "cet-outside" && line.kind == LineKind::NotUsed));
    // Too little carbon for the root rule: the rows by metal are all that is left.
    let mild = limits(&[("c", 0.05, 0.15), ("mn", 0.5, 0.9)]);
    let soft = preheat::preheat(&preheat::Question { metal: metal("mild", &mild), ..question });
    assert!(matches!(soft.advice, Advice::Outside(_)) && soft.degrees.is_none() && soft.band.is_none());
}

#[test]
fn the_other_rules_begin_where_they_should() {
    assert_eq!(root_rule(0.2, 5.0), None);
    assert!(root_rule(0.24, 10.0).is_some_and(|preheat| preheat < 20.0 + 350.0 * 0.002f64.sqrt()));
    assert!(quarter_band(0.449).is_none());
    assert_eq!(quarter_band(0.60).map(|(band, _)| band), Some([93.0, 204.0]));
    assert_eq!(quarter_band(0.601).map(|(band, _)| band), Some([204.0, 371.0]));
}

fn plate(thickness: f64) -> Weld {
    let row = shape_row(Joint::Groove).expect("a row");
    Weld { heat_input: 0.8, start: 20.0, thickness, shape: Shape::from(row) }
}

#[test]
fn the_cooling_time_is_the_longer_one_without_a_jump_and_turns_back() {
    let transition = plate(1.0).transition().expect("a thickness");
    let at = |thickness: f64| plate(thickness).cooling_time().expect("a time").0;
    assert!((at(transition - 1e-6) - at(transition + 1e-6)).abs() < 1e-4);
    for thickness in [2.0, 6.0, 12.0, 30.0] {
        let weld = plate(thickness);
        let (seconds, _) = weld.cooling_time().expect("a time");
        assert!((seconds - weld.in_thin().unwrap().max(weld.in_thick().unwrap())).abs() < 1e-9);
        // The heat input and the start that give this time are its own.
        assert!((weld.heat_input_for(seconds).unwrap() - 0.8).abs() < 1e-9);
        let warm = Weld { start: 150.0, ..weld };
        let (slower, _) = warm.cooling_time().expect("a time");
        assert!(slower > seconds);
        assert!((weld.start_for(slower).expect("a start") - 150.0).abs() < 1e-6);
        assert!(warm.start_for(seconds).is_none());
    }
    assert!(Weld { start: 500.0, ..plate(6.0) }.cooling_time().is_none());
    assert!(Weld { start: 700.0, ..plate(6.0) }.heat_input_for(10.0).is_none());
}

#[test]
fn every_joint_has_its_shape_factors() {
    for joint in Joint::ALL {
        let row = shape_row(*joint).unwrap_or_else(|| panic!("{joint:?}"));
        assert!((0.4..=1.0).contains(&row.f2) && (0.6..=1.0).contains(&row.f3));
    }
}

#[test]
fn the_figure_of_the_cooling_time_works_out_in_thin_and_thick_plates() {
    for (wall, words) in [(2.0, "cooling-in-thin"), (6.0, "cooling-in-thin"), (25.0, "cooling-in-thick")] {
        let question =
            cooling_figure::Question { heat_input: [0.6, 0.8, 0.9], start: 100.0, wall, joint: Joint::Groove };
        let figure = cooling_figure::cooling_time(&question).expect("a figure");
        assert_eq!(figure.name, FigureName::CoolingTime);
        assert_eq!(works_out(&figure.working), 2);
        let seconds = number(&figure.working, words);
        assert!(figure.aim().is_some_and(|aim| (aim - seconds).abs() <= 0.5 + 1e-9));
        let (low, high) = figure.ends().expect("a range");
        assert!(low <= figure.aim().unwrap() && figure.aim().unwrap() <= high && low < high + 1e-9);
        let doubted = figure.working.iter().any(|line| line.words == "cooling-of-sheet");
        assert_eq!(doubted, wall < 3.0);
        let width = figure.parts.iter().find(|(name, ..)| *name == "zone-width").expect("a width").1;
        assert!((0.5..40.0).contains(&width), "{width}");
        // A quick weld is told the start that would slow it down, a slow one is not.
        let start = figure.working.iter().find(|line| line.words == "start-for-window").and_then(|line| line.number);
        assert_eq!(start.is_some(), seconds < 5.0, "{wall} mm: {seconds} s");
        if let Some(start) = start {
            let row = shape_row(Joint::Groove).expect("a row");
            let warm = Weld { heat_input: 0.8, start, thickness: wall, shape: Shape::from(row) };
            assert!((warm.cooling_time().unwrap().0 - 5.0).abs() < 1e-6);
        }
        // The heat input that would bring the time to the ends of the window does.
        let wanted = figure.working.iter().find(|line| line.words == "heat-input-for-window").expect("a line");
        let row = shape_row(Joint::Groove).expect("a row");
        for (heat_input, seconds) in [(wanted.number, 5.0), (wanted.upper, 25.0)] {
            let weld = Weld { heat_input: heat_input.unwrap(), start: 100.0, thickness: wall, shape: Shape::from(row) };
            assert!((weld.cooling_time().unwrap().0 - seconds).abs() < 1e-9);
        }
    }
    let hot = cooling_figure::Question { heat_input: [0.6, 0.8, 0.9], start: 500.0, wall: 6.0, joint: Joint::Pad };
    assert!(cooling_figure::cooling_time(&hot).is_none());
}

#[test]
fn the_zone_beside_the_weld_ends_where_its_peak_is_the_edge() {
    let arc = FastArc { net: 600.0, heat_volume: 0.0044, start: 50.0, melting: 1510.0 };
    let width = arc.zone_in_thin(4.0, 730.0);
    assert!((arc.peak_in_thin(4.0, width) - 730.0).abs() < 1e-9);
    assert!((arc.peak_in_thin(4.0, 0.0) - 1510.0).abs() < 1e-9);
    let radius = arc.radius_in_thick(730.0);
    assert!((arc.peak_in_thick(radius) - 730.0).abs() < 1e-9);
    assert!((radius - arc.radius_in_thick(1510.0) - arc.zone_in_thick(730.0)).abs() < 1e-12);
}

#[test]
fn two_remembered_forms_of_the_hardest_zone_agree() {
    for step in 10..=40 {
        let carbon = 0.01 * f64::from(step);
        let apart = hardness::ceiling(carbon) - hardness::ceiling_second(carbon);
        assert!(apart.abs() < 11.0, "{carbon}: {apart}");
    }
}

#[test]
fn hardness_falls_with_the_cooling_time_between_its_ends() {
    for limits in [mild(), chrome_molybdenum()] {
        let of = contents(&limits, End::High);
        let mut before = f64::INFINITY;
        for seconds in [0.5, 2.0, 5.0, 10.0, 25.0, 60.0, 300.0] {
            let hardness = hardness::for_cooling_time(&of, seconds);
            assert!(hardness <= before && hardness <= hardness::ceiling(of["c"]) + 1e-9);
            before = hardness;
        }
    }
    assert_eq!(hardness::level(349.9), Level::Soft);
    assert_eq!(hardness::level(350.0), Level::Hard);
    assert_eq!(hardness::level(380.0), Level::Hard);
    assert_eq!(hardness::level(380.1), Level::TooHard);
}

#[test]
fn a_steel_that_hardens_is_warned_of_and_a_mild_one_that_cools_slowly_is_not() {
    let (hard, soft) = (chrome_molybdenum(), mild());
    let warned = hardness::hardness(&metal("4140", &hard), 6.0);
    assert_eq!(warned.level, Level::TooHard);
    assert_eq!(warned.findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [Code::MetalHardZone]);
    assert!(warned.lines.iter().any(|line| line.kind == LineKind::Doubt));
    assert!(warned.expected[0] <= warned.expected[1] && warned.expected[1] <= warned.ceiling);
    let quiet = hardness::hardness(&metal("mild", &soft), 25.0);
    assert!(quiet.level == Level::Soft && quiet.findings.is_empty(), "{quiet:?}");
}

fn ask<'a>(base: Metal<'a>, rod: Option<Metal<'a>>, structure: Structure) -> ferrite_figure::Question<'a> {
    ferrite_figure::Question { base, other: None, rod, share: [0.2, 0.4], structure, service: None }
}

#[test]
fn the_ferrite_of_a_usual_pair_is_a_range_with_its_doubt() {
    let (base, rod) = (austenitic(), rod_308l());
    let question = ask(metal("304L", &base), Some(metal("ER308L", &rod)), Structure::Austenitic);
    let (figure, findings) = ferrite_figure::ferrite(&question);
    assert_eq!(works_out(&figure.working), 11);
    let Value::Range { low, high, set } = figure.value else { panic!("{:?}", figure.value) };
    assert!(high - low >= 8.0 && low <= set && set <= high, "{low} {set} {high}");
    // Certificates of such rods say 8 to 12 FN.
    assert!((6.0..=12.0).contains(&set), "{set}");
    assert!(findings.is_empty());
    assert!(figure.working.iter().any(|line| line.words == "ferrite-is-a-stand-in"));
    // Nitrogen that no limit names counts as usual, and is said.
    assert_eq!(figure.working.iter().filter(|line| line.words == "nitrogen-usual").count(), 2);
    let first = figure.working.iter().find(|line| line.words == "nickel-equivalent").expect("a line");
    assert!((first.number.unwrap() - (10.0 + 35.0 * 0.015 + 20.0 * 0.05)).abs() < 1e-9);
}

#[test]
fn a_weld_of_plain_and_stainless_steel_gets_no_number_with_the_wrong_rod() {
    let (base, rod) = (austenitic(), rod_308l());
    let plain = limits(&[("c", 0.15, 0.21), ("mn", 0.6, 1.2)]);
    let mut question = ask(metal("304L", &base), Some(metal("ER308L", &rod)), Structure::Austenitic);
    question.other = Some(metal("A36", &plain));
    let (figure, findings) = ferrite_figure::ferrite(&question);
    assert_eq!(figure.value, Value::Word(NOT_ESTIMATED.to_owned()));
    assert_eq!(findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [Code::FillerFerrite]);
    assert!(findings[0].help.as_deref().is_some_and(|help| help.contains("martensite")));
    assert!(works_out(&figure.working) >= 6);
    // Plain steel has no nitrogen to speak of: none is put in for it.
    assert_eq!(figure.working.iter().filter(|line| line.words == "nitrogen-usual").count(), 2);
}

#[test]
fn little_ferrite_is_warned_of() {
    // More nickel than usual.
    let base = limits(&[("c", 0.0, 0.03), ("cr", 18.0, 19.0), ("ni", 12.0, 13.0), ("mo", 0.8, 1.2), ("n", 0.05, 0.07)]);
    let (figure, findings) = ferrite_figure::ferrite(&ask(metal("base", &base), None, Structure::Austenitic));
    assert!(works_out(&figure.working) >= 9);
    let (low, high) = figure.ends().unwrap_or_else(|| panic!("{:?}", figure.value));
    assert!(low >= 0.0 && high < 9.0);
    assert_eq!(findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [Code::FillerFerrite]);
    assert!(findings[0].message.contains("under 4 FN"), "{}", findings[0].message);
    assert!(figure.working.iter().any(|line| line.words == "ferrite-without-rod"));
}

#[test]
fn duplex_never_gets_a_number() {
    let base = limits(&[("c", 0.0, 0.03), ("cr", 22.0, 23.0), ("ni", 4.5, 6.5), ("mo", 3.0, 3.5), ("n", 0.14, 0.2)]);
    let (figure, findings) = ferrite_figure::ferrite(&ask(metal("2205", &base), None, Structure::Duplex));
    assert_eq!(figure.value, Value::Word(NOT_ESTIMATED.to_owned()));
    assert!(findings.is_empty());
    assert!(figure.working.iter().any(|line| line.words == "ferrite-for-duplex"));
    assert!((number(&figure.working, "sensitive-band") - 315.0).abs() < 1e-9);
    let straight = Equivalents { chromium: 25.8, nickel: 12.4 };
    assert!(straight.estimate().is_err());
}

#[test]
fn a_grade_with_carbon_is_hurried_through_the_carbide_band() {
    let of = |limits: &Limits| bands(limits, Structure::Austenitic)[0].steel.clone();
    assert_eq!(of(&austenitic()), "low-carbon austenitic");
    assert_eq!(of(&limits(&[("c", 0.0, 0.08), ("cr", 18.0, 20.0)])), "austenitic");
    // Niobium binds the carbon.
    assert_eq!(of(&limits(&[("c", 0.0, 0.08), ("cr", 17.0, 19.0), ("nb", 0.3, 1.0)])), "low-carbon austenitic");
}

#[test]
fn hot_service_bounds_the_ferrite_from_above() {
    let base = austenitic();
    let mut question = ask(metal("304L", &base), None, Structure::Austenitic);
    let has = |question: &ferrite_figure::Question<'_>, words: &str| {
        ferrite_figure::ferrite(question).0.working.iter().any(|line| line.words == words)
    };
    assert!(has(&question, "ferrite-in-general") && !has(&question, "ferrite-for-hot-service"));
    question.service = Some(600.0);
    assert!(!has(&question, "ferrite-in-general") && has(&question, "ferrite-for-hot-service"));
}
