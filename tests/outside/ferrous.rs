//! Steels, stainless steels and the zone beside a weld: each row answered by the function of the program that does it.

use crate::rows::{Check, Outcome, read};
use interpass::engine::ferrous::Contents;
use interpass::engine::ferrous::carbon_equivalent::Formula;
use interpass::engine::ferrous::cet_preheat::{
    Advice, Form, Inputs, advise, martensite_start, quarter_band, root_rule, root_rule_carbon,
};
use interpass::engine::ferrous::cooling::{Plate as Spread, Shape, Weld, thick_seconds};
use interpass::engine::ferrous::heat_zone::FastArc;
use interpass::engine::heat::arc_energy;
use interpass::engine::heat_flow::{Plate, half_space_rise_per_watt, thin_plate_rise_per_watt};
use interpass::engine::stainless::ferrite::Equivalents;
use interpass::reference::cooling_shape;
use interpass::reference::search::constant;
use std::f64::consts::PI;

const FILES: [(&str, &str); 3] = [
    ("steel", include_str!("steel.toml")),
    ("stainless", include_str!("stainless.toml")),
    ("worked", include_str!("worked.toml")),
];

/// All rows, each with its group and what came of it; none where the program has no answer.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let mut out = Vec::new();
    for (group, text) in FILES {
        for row in read::<Check>(text, "check") {
            let told = [&row.quantity, &row.source, &row.locator, &row.basis];
            assert!(told.iter().all(|text| !text.is_empty()), "{}", row.id);
            let answer = match group {
                "steel" => of_steel(&row),
                "stainless" => of_stainless(&row),
                _ => of_worked(&row),
            };
            out.push((group.to_owned(), row.id.clone(), answer.map(|answer| row.judge(answer))));
        }
    }
    out
}

/// Contents that a row gives, elements as it writes them.
fn contents(row: &Check) -> Contents {
    let elements = ["C", "Si", "Mn", "Cr", "Ni", "Cu", "Mo", "V", "B", "N", "Nb"];
    let given = elements.iter().filter(|element| row.has(element));
    given.map(|element| (element.to_lowercase(), row.number(element))).collect()
}

fn weld(row: &Check) -> Weld {
    let factor = |key| if row.has(key) { row.number(key) } else { 1.0 };
    let thickness = if row.has("thickness") { row.number("thickness") } else { f64::NAN };
    Weld {
        heat_input: row.number("heat_input"),
        start: row.number("start"),
        thickness,
        shape: Shape { f2: factor("F2"), f3: factor("F3") },
    }
}

fn inputs(row: &Check) -> Inputs {
    Inputs {
        cet: row.number("CET"),
        thickness: row.number("thickness"),
        hydrogen: row.number("hydrogen"),
        heat_input: row.number("heat_input"),
    }
}

fn of_steel(row: &Check) -> Option<f64> {
    match row.id.as_str() {
        // The formula of the thick plate with a conductivity given in place of the fitted factor.
        "t85_phys_3d" => {
            let factor = 1e6 / (2.0 * PI * row.number("conductivity"));
            thick_seconds(factor, row.number("net_line_energy"), row.number("start"))
        }
        id if id.starts_with("t85_3d") => {
            let weld = weld(row);
            // The row holds for a thick plate, and so says the engine.
            let (held, spread) = weld.cooling_time()?;
            assert!(spread == Spread::Thick && (held - weld.in_thick()?).abs() < 1e-12, "{id}");
            Some(held)
        }
        id if id.starts_with("t85_2d") => {
            let (held, spread) = weld(row).cooling_time()?;
            assert_eq!(spread, Spread::Thin, "{id}");
            Some(held)
        }
        id if id.starts_with("t85_dt") => weld(row).transition(),
        id if id.starts_with("ce_") => Some(Formula::Iiw.value(&contents(row))),
        id if id.starts_with("cet_tp_sew") => Some(Form::Read.temperature(&inputs(row))),
        id if id.starts_with("cet_tp") => Some(Form::Standard.temperature(&inputs(row))),
        id if id.starts_with("cet_") => Some(Formula::Cet.value(&contents(row))),
        id if id.starts_with("pcm_") => Some(Formula::Pcm.value(&contents(row))),
        _ => None,
    }
}

fn of_stainless(row: &Check) -> Option<f64> {
    let of = Equivalents::of(&contents(row));
    match row.id.get(..7)? {
        "wrc_cr_" => Some(of.chromium),
        "wrc_ni_" => Some(of.nickel),
        _ => None,
    }
}

fn of_worked(row: &Check) -> Option<f64> {
    let sum = |formula: Formula| Some(formula.value(&contents(row)));
    let (kind, rest) = row.id.strip_prefix("worked-").unwrap_or(&row.id).split_once('-')?;
    match kind {
        "cet" => sum(Formula::Cet),
        "ce" => sum(Formula::Iiw),
        "pcm" => sum(Formula::Pcm),
        "ms" => Some(martensite_start(sum(Formula::MartensiteFall)?)),
        "in" => {
            let inside = Formula::Cet.departure_of_value(sum(Formula::Cet)?).is_none();
            Some(f64::from(u8::from(inside)))
        }
        "preheat" => of_preheat(row, rest),
        "root" => of_root_rule(row, rest),
        "quarter" if rest.starts_with("band") => {
            let ([low, high], _) = quarter_band(sum(Formula::QuarterWeights)?)?;
            Some(if rest.starts_with("band-low") { low } else { high })
        }
        "quarter" => sum(Formula::QuarterWeights),
        "t85" if rest.starts_with("3d") => weld(row).in_thick(),
        "t85" if rest.starts_with("2d") => weld(row).in_thin(),
        "t85" => weld(row).cooling_time().map(|(seconds, _)| seconds),
        "transition" => weld(row).transition(),
        "use" => weld(row).cooling_time().map(|(_, spread)| if spread == Spread::Thin { 2.0 } else { 3.0 }),
        "factors" => factors(row),
        "ferrite" | "point" => of_ferrite(row),
        "arc" => Some(arc_energy(row.number("voltage"), row.number("current"), row.number("speed"))),
        "heat" => {
            let energy = arc_energy(row.number("voltage"), row.number("current"), row.number("speed"));
            Some(constant("heat-input-k")?.value * energy)
        }
        "peak" | "haz" => of_fast_arc(row),
        "rosenthal" => of_moving_source(row),
        _ => None,
    }
}

fn of_preheat(row: &Check, form: &str) -> Option<f64> {
    let inputs = inputs(row);
    if form.starts_with("en-") {
        return Some(Form::Standard.temperature(&inputs));
    }
    // Inside its limits the advice is this very value, or drying where it lies under 50 °C.
    let reached = Form::Read.temperature(&inputs);
    match advise(&inputs) {
        Advice::Preheat(preheat) => Some(preheat),
        Advice::DryOnly => (reached < 50.0).then_some(reached),
        Advice::Outside(_) => None,
    }
}

fn of_root_rule(row: &Check, what: &str) -> Option<f64> {
    let sum = Formula::RootRule.value(&contents(row));
    let thickness = row.number("thickness");
    match what.split('-').next()? {
        "cp" => Some(sum),
        "ct" => Some(root_rule_carbon(sum, thickness)),
        _ => root_rule(sum, thickness),
    }
}

/// Shape factors of the table by the words of the row.
fn factors(row: &Check) -> Option<f64> {
    let weld = match row.inputs["weld"].as_str()? {
        "bead on plate" => "bead on plate",
        "butt run" => "run in a butt",
        "T fillet" => "fillet in a tee",
        other => panic!("{other}"),
    };
    cooling_shape().rows.iter().find(|row| row.weld == weld).map(|row| row.f2 / row.f3)
}

fn of_ferrite(row: &Check) -> Option<f64> {
    let of = if row.has("cr_eq") {
        Equivalents { chromium: row.number("cr_eq"), nickel: row.number("ni_eq") }
    } else {
        Equivalents::of(&contents(row))
    };
    if row.quantity.starts_with("whether") {
        return Some(f64::from(u8::from(of.estimate().is_ok())));
    }
    match row.quantity.as_str() {
        "WRC-1992 chromium equivalent" => Some(of.chromium),
        "WRC-1992 nickel equivalent" => Some(of.nickel),
        _ => of.estimate().ok().map(|[_, middle, _]| middle),
    }
}

/// Peak and width beside a fast arc through a plate.
fn of_fast_arc(row: &Check) -> Option<f64> {
    let power = row.number("efficiency") * row.number("volts") * row.number("amps");
    let arc = FastArc {
        net: power / row.number("speed"),
        heat_volume: row.number("volumetric_heat"),
        start: row.number("start"),
        melting: row.number("melting"),
    };
    let thickness = row.number("thickness");
    if row.has("edge") {
        return Some(arc.zone_in_thin(thickness, row.number("edge")));
    }
    row.has("from_fusion").then(|| arc.peak_in_thin(thickness, row.number("from_fusion")))
}

/// The moving source in a thick body and in a thin plate.
fn of_moving_source(row: &Check) -> Option<f64> {
    let power = row.number("efficiency") * row.number("volts") * row.number("amps");
    let conductivity = row.number("conductivity") * 1e3;
    let diffusivity = row.number("conductivity") / row.number("volumetric_heat") * 1e-6;
    let speed = row.number("speed_min") * 1e-3 / 60.0;
    let (ahead, aside) = (row.number("ahead") * 1e-3, row.number("aside") * 1e-3);
    let rise = if row.has("thickness") {
        let thickness = row.number("thickness") * 1e-3;
        thin_plate_rise_per_watt(&Plate { thickness, conductivity, diffusivity, speed, edge: None }, ahead, aside)
    } else {
        half_space_rise_per_watt(conductivity, diffusivity, speed, (ahead, aside, 0.0))
    };
    Some(row.number("start") + power * rise)
}
