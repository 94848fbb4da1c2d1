//! Rules of the trade about currents and heat that take more than one answer: common practice, no source.

use crate::facts::alloy;
use crate::rows::Outcome;
use crate::shop::Ask;
use crate::trade::casting;
use interpass::engine::amperage::{Pass, Question};
use interpass::engine::heat_flow::{Face, Plate};
use interpass::engine::load_line::LoadLine;
use interpass::engine::metal::{Ends, Props};
use interpass::engine::penetration::penetration_amps;
use interpass::engine::solved::Solved;
use interpass::engine::work::constant;
use interpass::engine::{heat, opening};
use interpass::findings::Code;
use interpass::reference::search::{content, filler_named};
use interpass::reference::{Polarity, alloy as alloys};

/// All checks of this file.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let groups = [steps(), alloys_by_heat_flow(), small_set(), powers(), vec![warm_service()]];
    groups.into_iter().flatten().map(|outcome| ("trade".to_owned(), outcome.id.clone(), Some(outcome))).collect()
}

fn between(id: &str, got: f64, (low, high): (f64, f64), unit: &str) -> Outcome {
    Outcome::new(id, low <= got && got <= high, format!("{got} {unit}, not {low} to {high}"))
}

/// Solves a pass of a part and looks at it before any rounding.
fn solved<T>(ask: &Ask, pass: Pass, look: impl Fn(&Solved) -> T) -> T {
    let (spec, findings) = interpass::spec::read(&ask.text());
    let spec = spec.unwrap_or_else(|| panic!("{findings:?}"));
    let (job, _) = ask.job(&spec, None);
    let wall = job.thickness.expect("a wall");
    let ends = Ends::of(&job).expect("data of the metal");
    let opening = opening::plan(&job, wall);
    let question = Question { job: &job, ends: &ends, wall, opening: &opening, polarity: Polarity::AC, start: 20.0 };
    look(&question.solve(pass).expect("a current"))
}

/// No step or edge about 4 mm: 0.05 mm more never asks for more than 2 A more or less, or for as much more as the
/// published rows themselves rise where a schedule leads: 70 A from 3.2 to 4.8 mm on a butt, 75 A on a fillet, a tenth
/// more on a lap than on a butt.
fn steps() -> Vec<Outcome> {
    let rise = |amps: f64| amps / 1.6 * 0.05 + 0.01;
    let mut out = Vec::new();
    for (metal, joint, limit) in [
        ("6061", "butt", rise(70.0)),
        ("6061", "fillet", rise(75.0)),
        ("6061", "lap", rise(77.0)),
        ("A356.0", "groove", 2.0),
        ("A356.0", "pad", 2.0),
        ("A356.0", "plug", 2.0),
    ] {
        for (pass, word) in [(Pass::Root, "root"), (Pass::Fill, "fill")] {
            let aim = |wall: f64| {
                let mut ask = Ask::new(metal, &format!("{wall} mm"), joint);
                ask.temper = Some("T6");
                solved(&ask, pass, |solved| solved.at(20.0)[1])
            };
            let aims: Vec<f64> = (0..=4).map(|step| aim(3.9 + 0.05 * f64::from(step))).collect();
            let worst = aims.windows(2).map(|pair| (pair[1] - pair[0]).abs()).fold(0.0, f64::max);
            let figures = format!("{worst:.2} A for 0.05 mm, not over {limit:.2}");
            out.push(Outcome::new(&format!("no-step-at-4mm-{joint}-{word}"), worst <= limit, figures));
        }
    }
    out
}

/// Through a wall 5083 wants about 14 to 20 % less than 6061, 1100 about 7 to 10 % more, in whole percent.
fn alloys_by_heat_flow() -> Vec<Outcome> {
    let amps = |name: &str, temper: Option<&str>, wall: f64| {
        let metal = Props::of(alloy(name), temper).unwrap_or_else(|| panic!("no data of {name}"));
        penetration_amps(&metal, wall, Polarity::AC, 0.0).expect("a current")
    };
    let mut out = Vec::new();
    for wall in [1.6, 3.2, 4.8, 6.4] {
        let percent = |name| ((amps(name, None, wall) / amps("6061", Some("T6"), wall) - 1.0) * 100.0).round();
        out.push(between(&format!("5083-against-6061-{wall}mm"), percent("5083"), (-20.0, -14.0), "%"));
        out.push(between(&format!("1100-against-6061-{wall}mm"), percent("1100"), (7.0, 10.0), "%"));
    }
    out
}

/// A pad on 12.7 mm with a set of 160 A: the set cannot; the part would have to be at 260 to 310 °C.
fn small_set() -> Vec<Outcome> {
    let kit = "format = 1\n[[machine]]\nname = \"Small set\"\namperage = { ac = \"5 A to 160 A\" }\n";
    let (kit, _) = interpass::kit::read(kit);
    let ask = casting("12.7 mm", "pad");
    let answer = ask.answer_with(kit.as_ref()).unwrap_or_else(|problem| panic!("{problem}"));
    let said = answer.worked.findings.iter().find(|finding| finding.code == Code::SettingNeedAboveMachine);
    let cannot = said.is_some_and(|finding| finding.message.contains("cannot make this weld"));
    let word = if cannot { "cannot" } else { "can" };
    let at = solved(&ask, Pass::Fill, |solved| {
        (100..500).map(f64::from).find(|part| solved.at(*part)[1] <= 160.0).unwrap_or(f64::NAN)
    });
    vec![
        Outcome::new("small-set-on-12p7", cannot, format!("the set {word}, not cannot")),
        between("temperature-for-160-a-on-12p7", at, (260.0, 310.0), "°C"),
    ]
}

/// A pool wider than about 1.37 walls melts through; a whole part of 3.1 kg is warm, from 20 to 100 °C, after about 98 s
/// at 180 A.
fn powers() -> Vec<Outcome> {
    let melts_through = |ratio: f64| {
        let wall = 8e-3;
        let plate = Plate { thickness: wall, conductivity: 172.8, diffusivity: 67e-6, speed: 2e-3, edge: None };
        let watts = plate.power_for_width(ratio * wall, 600.0, Face::Arc);
        // Hottest spot of the back face, under the arc or behind it.
        let back = (0..200).map(|step| plate.rise_per_watt(-1e-4 * f64::from(step), 1e-6, wall)).fold(0.0, f64::max);
        watts * back >= 600.0
    };
    let (mut narrow, mut wide) = (0.8, 2.5);
    for _ in 0..40 {
        let middle = f64::midpoint(narrow, wide);
        if melts_through(middle) { wide = middle } else { narrow = middle }
    }
    let metal = Props::of(alloy("6061"), Some("T6")).expect("data of 6061-T6");
    let net = constant("budget-efficiency").value * 180.0 * LoadLine::for_gas(0.0).volts(180.0);
    let seconds = heat::arc_minutes(3.1, metal.specific_heat.value, 80.0, net) * 60.0;
    vec![
        between("pool-that-melts-through", (narrow * 1000.0).round() / 1000.0, (1.34, 1.40), "walls"),
        between("budget-of-3p1-kg", seconds.round(), (95.0, 101.0), "s"),
    ]
}

/// Every metal that can be worked out, at 120 °C in service: no rod over 3 % magnesium.
fn warm_service() -> Outcome {
    let mut wrong = Vec::new();
    let mut left = 0;
    for metal in alloys().rows.iter().filter(|alloy| Props::of(alloy, None).is_some()) {
        let mut ask = Ask::new(&metal.name, "6 mm", "groove");
        ask.put("part", "service_temperature = \"120 °C\"");
        let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", metal.name));
        left += answer.fillers().len();
        let too_much = |name: &&str| content(&filler_named(name).expect("a filler").limits, "mg") > 3.0;
        wrong.extend(answer.fillers().into_iter().filter(too_much).map(|name| format!("{} {name}", metal.name)));
    }
    assert!(left > 60, "{left} rods are left: too few to say anything");
    Outcome::new("warm-service-of-every-metal", wrong.is_empty(), format!("{}, not none", wrong.join(" ")))
}
