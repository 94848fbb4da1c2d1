//! Every working can be worked out again from its own lines: by a small calculator of its own, and where a formula
//! names the moving source or the section of a groove, by another method than the engine's.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

mod common;

use common::calculator::Calculator;
use interpass::engine::{self, LineKind, Value, names::Rounding};
use std::path::Path;

/// Works every line of every figure of a spec out again.
fn check(name: &str, text: &str) -> usize {
    let (spec, findings) = interpass::spec::read(text);
    let spec = spec.unwrap_or_else(|| panic!("{name} does not read: {findings:#?}"));
    let (job, _) = engine::job::check(&spec, None);
    let worked = engine::work_out(&job);
    let mut lines = 0;
    for figure in worked.figures.values() {
        let mut calculator = Calculator::default();
        let mut numbers = Vec::new();
        for line in &figure.working {
            let Some(number) = line.number else { continue };
            if !line.formula.is_empty() {
                let again = calculator
                    .work_out(line.formula)
                    .unwrap_or_else(|problem| panic!("{name} {}: {}: {problem}", figure.name.key(), line.formula));
                let close = (again - number).abs() <= 2e-4 * number.abs().max(1e-6);
                assert!(close, "{name} {} {}: {} = {again}, not {number}", figure.name.key(), line.words, line.formula);
                lines += 1;
            }
            if !line.symbol.is_empty() {
                calculator.set(line.symbol, number);
            }
            if line.kind != LineKind::Check {
                numbers.push(number);
                numbers.extend(line.upper);
            }
        }
        // Some figures are rounded to the safe side, so that a whole step may lie between.
        let step = match figure.name.rounding() {
            Rounding::Step(step) => step,
            Rounding::Amperage => 2.51,
            Rounding::Nominal | Rounding::Word => 0.01,
        };
        let reached = |value: f64| numbers.iter().any(|number| (number - value).abs() < step * 1.001);
        match figure.value {
            Value::Number(value) if !numbers.is_empty() => {
                assert!(reached(value), "{name} {}: no line comes to {value}: {numbers:?}", figure.name.key());
            }
            Value::Range { set, .. } if !numbers.is_empty() && figure.because.is_none() => {
                let ends = figure.ends().is_some_and(|(low, high)| reached(low) && reached(high));
                assert!(reached(set) || ends, "{name} {}: no line comes to {set}: {numbers:?}", figure.name.key());
            }
            _ => {}
        }
    }
    lines
}

#[test]
fn every_working_of_the_demo_specs_works_out_again() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs");
    let mut specs = 0;
    for entry in std::fs::read_dir(folder).expect("specs") {
        let path = entry.expect("entry").path();
        let name = path.file_name().expect("name").to_string_lossy().into_owned();
        if name.ends_with(".repair.toml") {
            let text = std::fs::read_to_string(&path).expect("text");
            assert!(check(&name, &text) > 20, "{name} has next to no workings");
            specs += 1;
        }
    }
    assert!(specs >= 12, "{specs} specs");
}

#[test]
fn every_working_over_joints_and_thicknesses_works_out_again() {
    for joint in ["butt", "fillet", "lap", "corner", "edge", "groove", "pad", "plug"] {
        for thickness in ["1.6 mm", "3 mm", "5/16 in", "12.7 mm"] {
            for (alloy, form) in [("6061", "plate"), ("A356.0", "sand casting")] {
                let text = format!(
                    "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"t\"\nrevision = \"A\"\n[metal]\nalloy = \"{alloy}\"\n\
                     form = \"{form}\"\nthickness = \"{thickness}\"\n[damage]\nkind = \"crack\"\nlength = \"40 mm\"\n\
                     [weld]\njoint = \"{joint}\"\nstart_temperature = \"40 °C\"\ngas = \"argon + 30 % helium\"\n"
                );
                check(&format!("{joint} {thickness} {alloy}"), &text);
            }
        }
    }
}
