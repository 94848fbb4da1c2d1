//! What must hold for every spec: monotone currents, figures with basis and source, spellings and order that change
//! nothing.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

mod common;

use common::spec_text;
use interpass::engine::{self, Figure, FigureName, Origin, Value, Worked};
use interpass::reference::source_by_key;
use proptest::prelude::*;

fn work_out(text: &str) -> Worked {
    let (spec, findings) = interpass::spec::read(text);
    let spec = spec.unwrap_or_else(|| panic!("does not read: {findings:#?}\n{text}"));
    let (job, _) = engine::job::check(&spec, None);
    engine::work_out(&job)
}

fn aim(worked: &Worked, name: FigureName) -> f64 {
    worked.figures.get(&name).and_then(Figure::aim).unwrap_or_else(|| panic!("no {}", name.key()))
}

const JOINTS: [&str; 8] = ["butt", "fillet", "lap", "corner", "edge", "groove", "pad", "plug"];
const METALS: [(&str, &str); 6] = [
    ("6061", "plate"),
    ("5083", "plate"),
    ("3003", "sheet"),
    ("A356.0", "sand casting"),
    ("319.0", "sand casting"),
    ("413.0", "die casting"),
];

/// What of a figure must not change with the spelling of a spec: all but the author's text and places.
fn bare(worked: &Worked) -> Vec<String> {
    worked
        .figures
        .values()
        .map(|figure| format!("{} {:?} {:?} {:?}", figure.name.key(), figure.value, figure.basis, figure.parts))
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn thicker_never_asks_for_less_current(joint in 0usize..8, metal in 0usize..6, thin in 1.0f64..14.0, more in 0.05f64..4.0) {
        let (alloy, form) = METALS[metal];
        let at = |mm: f64| work_out(&spec_text(alloy, form, &format!("{mm:.3} mm"), JOINTS[joint], ""));
        let (a, b) = (at(thin), at(thin + more));
        for name in [FigureName::Amperage, FigureName::AmperageMax, FigureName::AmperageWarm] {
            prop_assert!(aim(&b, name) >= aim(&a, name), "{alloy} {} {thin} + {more} mm: {} then {}", JOINTS[joint], aim(&a, name), aim(&b, name));
        }
    }

    #[test]
    fn a_warmer_part_never_asks_for_more_current(joint in 0usize..8, metal in 0usize..6, wall in 1.0f64..20.0, cold in 5.0f64..60.0, warmer in 1.0f64..60.0) {
        let (alloy, form) = METALS[metal];
        let at = |celsius: f64| {
            let extra = format!("start_temperature = \"{celsius:.1} °C\"\n");
            work_out(&spec_text(alloy, form, &format!("{wall:.3} mm"), JOINTS[joint], &extra))
        };
        let (a, b) = (at(cold), at(cold + warmer));
        prop_assert!(aim(&b, FigureName::Amperage) <= aim(&a, FigureName::Amperage));
        prop_assert!(aim(&a, FigureName::AmperageWarm) <= aim(&a, FigureName::AmperageRunning));
        prop_assert!(aim(&a, FigureName::AmperageRunning) <= aim(&a, FigureName::Amperage));
    }

    #[test]
    fn inch_and_metric_spellings_give_the_same_figures(joint in 0usize..8, metal in 0usize..6, sixteenths in 1u32..16) {
        let (alloy, form) = METALS[metal];
        let inch = work_out(&spec_text(alloy, form, &format!("{sixteenths}/16 in"), JOINTS[joint], ""));
        let exact = f64::from(sixteenths) * 25.4 / 16.0;
        let metric = work_out(&spec_text(alloy, form, &format!("{exact} mm"), JOINTS[joint], ""));
        prop_assert_eq!(bare(&inch), bare(&metric));
    }

    #[test]
    fn every_figure_has_a_basis_a_working_and_sources_that_exist(joint in 0usize..8, metal in 0usize..6, wall in 0.6f64..30.0, helium in 0u32..90) {
        let (alloy, form) = METALS[metal];
        let gas = if helium < 10 { "argon".to_owned() } else { format!("argon + {helium} % helium") };
        let worked = work_out(&spec_text(alloy, form, &format!("{wall:.2} mm"), JOINTS[joint], &format!("gas = \"{gas}\"\n")));
        for figure in worked.figures.values() {
            prop_assert!(figure.basis.is_some(), "{} has no basis", figure.name.key());
            prop_assert!(!figure.working.is_empty(), "{} has no working", figure.name.key());
            for line in &figure.working {
                if let Some(number) = line.number {
                    prop_assert!(number.is_finite(), "{} {}: {number}", figure.name.key(), line.words);
                }
                if let Origin::Row(cite) = &line.origin {
                    prop_assert!(source_by_key(cite.source).is_some(), "{}: no source {}", figure.name.key(), cite.source);
                    prop_assert!(!cite.locator.is_empty());
                }
            }
            if let Value::Range { low, high, set } = figure.value {
                prop_assert!(low <= set && set <= high, "{}: {low} {set} {high}", figure.name.key());
            }
        }
    }
}

#[test]
fn the_border_between_schedule_and_heat_flow_has_no_step_down() {
    for joint in ["butt", "fillet", "lap", "corner", "edge"] {
        let mut last = 0.0;
        for step in 0..80 {
            let mm = 0.8 + 0.1 * f64::from(step);
            let now =
                aim(&work_out(&spec_text("6061", "plate", &format!("{mm:.2} mm"), joint, "")), FigureName::Amperage);
            assert!(now >= last, "{joint} {mm} mm: {now} A after {last} A");
            assert!(last == 0.0 || now - last <= 15.0, "{joint} {mm} mm: a jump from {last} to {now} A");
            last = now;
        }
    }
}

#[test]
fn no_step_in_amperage_between_3_9_and_4_1_mm() {
    for joint in JOINTS {
        let at = |mm: f64| {
            aim(
                &work_out(&spec_text("A356.0", "sand casting", &format!("{mm:.3} mm"), joint, "")),
                FigureName::Amperage,
            )
        };
        let amps: Vec<f64> = (0..=20).map(|step| at(3.9 + 0.01 * f64::from(step))).collect();
        for pair in amps.windows(2) {
            assert!((0.0..=5.0).contains(&(pair[1] - pair[0])), "{joint}: {amps:?}");
        }
    }
}

#[test]
fn the_order_of_keys_changes_no_figure() {
    let one = "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"t\"\nrevision = \"A\"\n[metal]\nalloy = \"6061\"\nform = \"plate\"\n\
               thickness = \"6 mm\"\n[damage]\nkind = \"crack\"\nlength = \"40 mm\"\nthrough = true\n[weld]\njoint = \"groove\"\naccess = \"both sides\"\n";
    let other = "[weld]\naccess = \"both sides\"\njoint = \"groove\"\n[damage]\nthrough = true\nlength = \"40 mm\"\nkind = \"crack\"\n\
                 [metal]\nthickness = \"6 mm\" # a comment\nform = \"plate\"\nalloy = \"6061\"\n[procedure]\nrevision = \"A\"\ntitle = \"t\"\nnumber = \"T-1\"\n";
    assert_eq!(bare(&work_out(one)), bare(&work_out(&format!("format = 1\n{other}"))));
}

#[test]
fn every_constant_that_the_engine_asks_for_stands_in_the_table() {
    fn walk(folder: &std::path::Path, keys: &mut Vec<String>) {
        for entry in std::fs::read_dir(folder).expect("folder") {
            let path = entry.expect("entry").path();
            if path.is_dir() {
                walk(&path, keys);
            } else if path.extension().is_some_and(|end| end == "rs") {
                let text = std::fs::read_to_string(&path).expect("text");
                for call in ["constant(\"", "cite(\"", "joint-factor"] {
                    for (at, _) in text.match_indices(call) {
                        let rest = &text[at + call.len()..];
                        let word: String =
                            rest.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
                        keys.push(if call == "joint-factor" { format!("joint-factor{word}") } else { word });
                    }
                }
            }
        }
    }
    let mut keys = Vec::new();
    walk(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/engine"), &mut keys);
    assert!(keys.len() > 100);
    for key in keys {
        assert!(!interpass::reference::constants::by_key(&key).value.is_nan(), "no constant {key}");
    }
}
