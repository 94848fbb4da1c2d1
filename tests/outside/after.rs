//! After the weld: balance, strength beside the weld, strength of castings, heat treatment, heat that does harm.

use crate::facts::alloy;
use crate::rows::{Check, Outcome};
use crate::shop::Ask;
use crate::sources::check_place;
use interpass::engine::after::{self, Restore};
use interpass::engine::balance::{self, Lump};
use interpass::engine::{self, FigureName, exposure};
use interpass::reference::search::strength_of;
use interpass::reference::{Postweld, Strength, strength};
use serde::Deserialize;

const FILE: &str = include_str!("after.toml");

#[derive(Debug, Deserialize)]
struct HazRow {
    id: String,
    alloy: String,
    temper: String,
    form: String,
    thickness: f64,
    /// Proof and tensile strength, MPa.
    before: [f64; 2],
    left: [f64; 2],
    share: [f64; 2],
    source: String,
    locator: String,
    basis: String,
}

#[derive(Debug, Deserialize)]
struct DesignRow {
    id: String,
    alloy: String,
    temper: String,
    mould: String,
    proof: f64,
    tensile: f64,
    source: String,
    locator: String,
    basis: String,
}

#[derive(Debug, Deserialize)]
struct StrengthRow {
    id: String,
    alloy: String,
    temper: String,
    tensile: f64,
    proof: f64,
    source: String,
    locator: String,
    basis: String,
}

/// The rows of one of the tables of the file.
fn read<T: for<'de> Deserialize<'de>>(table: &str) -> Vec<T> {
    let mut file: toml::Table = toml::from_str(FILE).expect("toml");
    file.remove(table).expect("the table").try_into().expect("rows")
}

type Row = (String, String, Option<Outcome>);

/// All checks of this file.
pub(crate) fn all() -> Vec<Row> {
    let named = |group: &str, outcomes: Vec<Outcome>| {
        outcomes.into_iter().map(|outcome| (group.to_owned(), outcome.id.clone(), Some(outcome))).collect::<Vec<Row>>()
    };
    let mut out = Vec::new();
    for row in read::<Check>("check") {
        assert!(!row.quantity.is_empty() && !row.basis.is_empty() && !row.locator.is_empty(), "{}", row.id);
        out.push(("balance".to_owned(), row.id.clone(), of_balance(&row).map(|answer| row.judge(answer))));
    }
    out.extend(named("haz", read::<HazRow>("haz").iter().map(of_haz).collect()));
    out.extend(named("casting", read::<DesignRow>("design").iter().map(of_design).collect()));
    out.extend(named("casting", read::<StrengthRow>("strength").iter().map(of_strength).collect()));
    out.extend(named("heat treatment", treatments()));
    out.push(("heat treatment".to_owned(), "postweld-castings-t51".to_owned(), None));
    out.extend(named("exposure", exposures()));
    out.push(("exposure".to_owned(), "straighten-non-heat-treatable-400".to_owned(), None));
    out
}

fn of_balance(row: &Check) -> Option<f64> {
    let n = |key: &str| row.number(key);
    let at = |key: &str, sign: f64| {
        let numbers = row.numbers(key);
        Lump { mass: sign * numbers[0], radius: numbers[1], angle: 0.0 }
    };
    Some(match row.id.as_str() {
        "u_deposit" => balance::unbalance_of(&[Lump { mass: n("mass"), radius: n("radius"), angle: 0.0 }]),
        "u_deposit_net" => balance::unbalance_of(&[at("added", 1.0), at("removed", -1.0)]),
        "u_arc_sector" => n("mass") * n("radius") * balance::arc_share(n("arc").to_radians()),
        "f_unbalance" => balance::force(n("unbalance"), n("speed")),
        "v_tip" => balance::surface_speed(n("radius"), n("speed")),
        id if id.starts_with("uper_") || id.starts_with("balance-example-") => {
            let grade = row.inputs["grade"].as_str().expect("a grade");
            balance::permissible(balance::grade_number(grade)?, n("mass"), n("speed"))
        }
        _ => return None,
    })
}

/// The figure of a job in this metal: what is left, before, and the share to a hundredth, as the table prints it.
fn of_haz(row: &HazRow) -> Outcome {
    check_place(&row.id, &row.source, &row.locator);
    assert_eq!(row.basis, "published", "{}", row.id);
    let mut ask = Ask::of_form(&row.alloy, &row.form, &format!("{} mm", row.thickness), "butt");
    ask.bench = false;
    let line = format!("temper = \"{}\"", row.temper);
    ask.put("metal", &line);
    let answer = ask.answer().unwrap_or_else(|problem| panic!("{}: {problem}", row.id));
    let Some(figure) = answer.figure(FigureName::HazStrength) else {
        return Outcome::new(&row.id, false, "no figure".to_owned());
    };
    let part = |key: &str| figure.parts.iter().find(|(own, ..)| *own == key).map_or(f64::NAN, |(_, number, _)| *number);
    let got = [part("proof-left"), figure.aim().unwrap_or(f64::NAN), part("proof-before"), part("tensile-before")];
    let want = [row.left[0], row.left[1], row.before[0], row.before[1]];
    let shares = [part("proof-share") / 100.0, part("tensile-share") / 100.0];
    let close = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
    let passed = got.iter().zip(&want).all(|(a, b)| close(*a, *b, 1e-9))
        && shares.iter().zip(&row.share).all(|(a, b)| close(*a, *b, 0.0051));
    Outcome::new(&row.id, passed, format!("{got:?} MPa, shares {shares:?}, not {want:?} and {:?}", row.share))
}

fn strength_row(alloy: &str, temper: &str, mould: &str) -> Option<&'static Strength> {
    let aside = format!("{temper} ({mould} mould)");
    let named = strength().rows.iter().find(|row| row.alloy == alloy && row.temper == aside);
    named.or_else(|| strength_of(alloy, temper))
}

/// A draft prints design strengths in the casting: 70 % of a separately cast bar, which is what the program holds.
fn of_design(row: &DesignRow) -> Outcome {
    check_place(&row.id, &row.source, &row.locator);
    assert_eq!(row.basis, "published", "{}", row.id);
    let bar = strength_row(&row.alloy, &row.temper, &row.mould);
    let got = bar.map_or([f64::NAN; 2], |bar| [0.7 * bar.proof, 0.7 * bar.tensile]);
    let passed = (got[0] - row.proof).abs() < 0.5 && (got[1] - row.tensile).abs() < 0.5;
    Outcome::new(&row.id, passed, format!("{got:?} MPa, not {} and {}", row.proof, row.tensile))
}

/// Strength away from the weld that the program has from this very source.
fn of_strength(row: &StrengthRow) -> Outcome {
    check_place(&row.id, &row.source, &row.locator);
    assert_eq!(row.basis, "published", "{}", row.id);
    let temper = row.temper.split_whitespace().next().unwrap_or_default();
    let own = strength().rows.iter().filter(|own| own.alloy == row.alloy && own.source == row.source);
    let found = own.into_iter().find(|own| own.temper.split_whitespace().next() == Some(temper));
    let got = found.map_or([f64::NAN; 2], |own| [own.proof, own.tensile]);
    let passed = (got[0] - row.proof).abs() < 1e-9 && (got[1] - row.tensile).abs() < 1e-9;
    Outcome::new(&row.id, passed, format!("{got:?} MPa, not {} and {}", row.proof, row.tensile))
}

fn told(id: &str, (source, locator): (&str, &str), passed: bool, got: &str, wanted: &str) -> Outcome {
    check_place(id, source, locator);
    Outcome::new(id, passed, format!("{got}, not {wanted}"))
}

/// What the program says would bring a casting in T6 back.
fn treatment_of(name: &str) -> Option<&'static Postweld> {
    let mut ask = Ask::new(name, "8 mm", "groove");
    ask.temper = Some("T6");
    let (spec, _) = interpass::spec::read(&ask.text());
    let spec = spec.expect("a spec");
    let (job, _) = engine::job::check(&spec, None);
    match after::restore(&job, &job.base) {
        Some(Restore::Treatment(row)) => Some(row),
        _ => None,
    }
}

/// A printed heat treatment: °C and h.
struct Printed {
    id: &'static str,
    alloy: &'static str,
    place: (&'static str, &'static str),
    solution: f64,
    solution_hours: Option<[f64; 2]>,
    ageing: Option<(f64, [f64; 2])>,
    /// How far a temperature may lie off: a foundry's rule is for all castings.
    by: f64,
}

const PRINTED: [Printed; 3] = [
    Printed {
        id: "postweld-a356",
        alloy: "A356.0",
        place: ("casting-ageing-paper", "excerpt"),
        solution: 540.0,
        solution_hours: Some([6.0, 12.0]),
        ageing: Some((155.0, [3.0, 5.0])),
        by: 0.0,
    },
    Printed {
        id: "postweld-356",
        alloy: "356.0",
        place: ("cast-356-page", "table"),
        solution: 541.0,
        solution_hours: None,
        ageing: Some((154.0, [2.0, 5.0])),
        by: 0.0,
    },
    Printed {
        id: "postweld-castings-t6",
        alloy: "A356.0",
        place: ("foundry-heat-treatment", "T6 entry"),
        solution: 538.0,
        solution_hours: Some([4.0, 12.0]),
        ageing: None,
        by: 5.0,
    },
];

fn treatments() -> Vec<Outcome> {
    PRINTED.iter().map(of_treatment).collect()
}

fn of_treatment(print: &Printed) -> Outcome {
    let row = treatment_of(print.alloy);
    let at = |own: [f64; 2], wanted: f64| own.iter().all(|own| (own - wanted).abs() <= print.by + 1e-9);
    let inside = |own: Option<[f64; 2]>, wanted: [f64; 2]| {
        own.is_some_and(|[low, high]| low >= wanted[0] - 1e-9 && high <= wanted[1] + 1e-9)
    };
    let passed = row.is_some_and(|row| {
        let aged = print.ageing.is_none_or(|(wanted, hours)| {
            row.ageing.is_some_and(|own| at(own, wanted)) && inside(row.ageing_hours, hours)
        });
        let long = print.solution_hours.is_none_or(|hours| inside(row.solution_hours, hours));
        at(row.solution, print.solution) && long && aged
    });
    let wanted = format!("{} °C {:?} {:?}", print.solution, print.solution_hours, print.ageing);
    told(print.id, print.place, passed, &format!("{row:?}"), &wanted)
}

/// How long a metal may stand at a temperature, against what was seen.
fn exposures() -> Vec<Outcome> {
    let most = |name: &str, temper: &str, at: f64| {
        exposure::allowed_minutes(alloy(name), Some(temper), at).unwrap_or(f64::NAN) / 60.0
    };
    let thesis = ("ageing-thesis", "abstract");
    let service = ("mg-service-paper", "abstract");
    let book = ("al-textbook", "ch. 5 rectification of distortion");
    let mut out = Vec::new();
    let hours = most("6061", "T6", 177.0);
    out.push(told("heat-6061-177", thesis, hours >= 64.0 - 1e-9, &format!("{hours} h"), "64 h or more"));
    for (id, at, fell) in [("heat-6061-199", 199.0, 16.0), ("heat-6061-218", 218.0, 4.0)] {
        let hours = most("6061", "T6", at);
        out.push(told(id, thesis, hours < fell, &format!("{hours} h"), &format!("less than {fell} h")));
    }
    for name in ["5083", "5086", "5456"] {
        let hours = [70.0, 100.0, 170.0].map(|at| most(name, "H116", at));
        let passed = hours.iter().all(|hours| *hours < 1.0);
        out.push(told(&format!("heat-{name}-sensitive"), service, passed, &format!("{hours:?} h"), "no long heat"));
    }
    let hours = most("5454", "H34", 66.0);
    out.push(told("heat-5454-free", service, hours > 1e3, &format!("{hours} h at 66 °C"), "free of the limit"));
    let hours = most("5456", "H24", 100.0);
    let welds = ("mg-welds-paper", "abstract");
    out.push(told("heat-5456-week", welds, hours < 168.0, &format!("{hours} h at 100 °C"), "less than a week"));
    let hours = most("5052", "H32", 250.0);
    out.push(told("heat-cold-worked-250", book, hours < 0.1, &format!("{hours} h at 250 °C"), "none: fully soft"));
    let hours = [most("6082", "T6", 150.0), most("6082", "T6", 200.0)];
    let passed = hours[0] > 0.5 && hours[1] < 0.5;
    out.push(told("heat-aged-150", book, passed, &format!("{hours:?} h at 150 and 200 °C"), "not above 150 °C"));
    out
}
