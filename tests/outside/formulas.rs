//! Formulas and small tables: each row of a general library answered by the function of the program that does it.

use crate::common::calculator::Calculator;
use crate::rows::{Check, Outcome, read};
use crate::shop;
use interpass::engine::ferrous::heat_zone::{self, FastArc};
use interpass::engine::heat_flow::{
    Face, Plate, current_for_power, half_space_rise_per_watt, thin_plate_rise_per_watt, warm_current,
};
use interpass::engine::load_line::LoadLine;
use interpass::engine::maths::{bessel_k0_scaled, top_of_hump};
use interpass::engine::{FigureName, gas, geometry, heat, lens, wave, weld_metal};
use interpass::reference::search::{alloy_named, constant, physical_value};
use interpass::reference::{cup, gas_property, gauge};

const FILES: [(&str, &str); 10] = [
    ("gas", include_str!("gas.toml")),
    ("sizes", include_str!("sizes.toml")),
    ("heat", include_str!("heat.toml")),
    ("amps", include_str!("amps.toml")),
    ("dilution", include_str!("dilution.toml")),
    ("geometry", include_str!("geometry.toml")),
    ("filler", include_str!("filler.toml")),
    ("lens", include_str!("lens.toml")),
    ("budget", include_str!("budget.toml")),
    ("metal", include_str!("metal.toml")),
];

/// All rows, each with its group and what came of it; none where the program has no answer.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let mut out = Vec::new();
    for (group, text) in FILES {
        for row in read::<Check>(text, "check") {
            assert!(
                !row.quantity.is_empty() && !row.source.is_empty() && !row.locator.is_empty() && !row.basis.is_empty(),
                "{}",
                row.id
            );
            let answer = match group {
                "gas" => of_gas(&row),
                "sizes" => of_sizes(&row),
                "heat" => of_heat(&row),
                "amps" => of_amps(&row),
                "dilution" => of_dilution(&row),
                "geometry" => of_geometry(&row),
                "filler" => of_filler(&row),
                "lens" => of_lens(&row),
                "budget" | "metal" => of_metal(&row),
                other => panic!("{other}"),
            };
            out.push((group.to_owned(), row.id.clone(), answer.map(|answer| row.judge(answer))));
            if row.own.is_some() {
                let own = own_gas(&row).map(|answer| row.judge_own(answer));
                out.push((group.to_owned(), format!("{}@own", row.id), own));
            }
        }
    }
    out
}

/// The highest of a function with one hump, for a point beside the arc, looked for behind it.
fn hottest(reach: f64, function: impl Fn(f64) -> f64) -> f64 {
    top_of_hump(-reach, 0.1 * reach, function)
}

/// Halves an interval until the function crosses zero; it must fall.
fn crossing(mut low: f64, mut high: f64, function: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if function(middle) > 0.0 { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

fn plate(row: &Check) -> Plate {
    Plate {
        thickness: if row.has("thickness") { row.number("thickness") * 1e-3 } else { f64::NAN },
        conductivity: row.number("conductivity"),
        diffusivity: row.number("diffusivity") * 1e-6,
        speed: row.number("speed") * 1e-3,
        edge: None,
    }
}

/// The density that a row expects, kg/m3.
fn density_of(id: &str) -> f64 {
    let rows: Vec<Check> = read(include_str!("gas.toml"), "check");
    rows.iter().find(|row| row.id == id).expect("the row").expected
}

fn of_gas(row: &Check) -> Option<f64> {
    let pure = |name: &str| gas_property().rows.iter().find(|gas| gas.gas == name);
    let warm = !row.has("temperature") || row.inputs["temperature"].as_str() == Some("20 °C");
    if !warm {
        return None;
    }
    let given = || gas::Mixture { density: row.number("density"), viscosity: row.number("viscosity") * 1e-6 };
    Some(match row.id.as_str() {
        "gas_rho_ar_20c" => gas::mixture(0.0)?.density,
        "gas_rho_he_20c" => gas::mixture(1.0)?.density,
        "gas_rho_air_20c" => pure("air")?.density,
        "gas_rho_n2_20c" => pure("nitrogen")?.density,
        "gas_mu_ar_20c" => gas::mixture(0.0)?.viscosity * 1e6,
        "gas_mu_he_20c" => gas::mixture(1.0)?.viscosity * 1e6,
        "gas_nu_ar_20c" => gas::mixture(0.0).map(|gas| gas.viscosity / gas.density * 1e6)?,
        "gas_nu_he_20c" => gas::mixture(1.0).map(|gas| gas.viscosity / gas.density * 1e6)?,
        "gas_volume_job" => return shop::gas_volume(row),
        // Its densities are those of two other rows.
        "flow_reading_he75_20" => {
            row.number("flow") / gas::meter_factor(density_of("gas_rho_ar_20c"), density_of("gas_rho_ar_he75_20c"))
        }
        id if id.starts_with("gas_rho_ar_he") => gas::mixture(row.number("helium_volume_share"))?.density,
        id if id.starts_with("gas_mu_ar_he") => {
            let helium = row.number("helium_mole_share");
            gas::wilke([
                (1.0 - helium, row.number("mu_argon"), row.number("molar_mass_argon")),
                (helium, row.number("mu_helium"), row.number("molar_mass_helium")),
            ])
        }
        id if id.starts_with("re_cup") => {
            let tungsten = row.numbers("tungsten").first().copied().unwrap_or(0.0);
            gas::reynolds(row.number("bore"), tungsten, row.number("flow"), given())
        }
        "flow_factor_air_scale_ar" => gas::meter_factor(row.number("density_air"), row.number("density_argon")),
        id if id.starts_with("flow_factor_ar_scale") => {
            gas::meter_factor(row.number("density_scale_gas"), row.number("density_gas"))
        }
        // At the same gas and temperature densities go with the absolute pressures.
        "flow_factor_pressure_50psig_meter_at_atm" => {
            let absolute = |key: &str| row.number(key) + row.number("atmosphere");
            1.0 / gas::meter_factor(absolute("scale_pressure"), absolute("working_pressure"))
        }
        _ => return None,
    })
}

/// Rows of gas answered out of the program's own tables alone.
fn own_gas(row: &Check) -> Option<f64> {
    let helium = |row: &Check| -> f64 {
        let name = row.inputs.get("gas").and_then(toml::Value::as_str).unwrap_or("argon");
        match name {
            "argon" => 0.0,
            "helium" => 1.0,
            mixed => mixed.split_whitespace().find_map(|word| word.parse::<f64>().ok()).expect("a share") / 100.0,
        }
    };
    let argon = gas::mixture(0.0)?.density;
    Some(match row.id.as_str() {
        id if id.starts_with("gas_mu_ar_he") => gas::mixture(row.number("helium_mole_share"))?.viscosity * 1e6,
        id if id.starts_with("re_cup") => {
            let number = row.number("cup_number");
            let bore = cup().rows.iter().find(|cup| (f64::from(cup.number) - number).abs() < 1e-9)?.bore;
            let tungsten = row.numbers("tungsten").first().copied().unwrap_or(0.0);
            gas::reynolds(bore, tungsten, row.number("flow"), gas::mixture(helium(row))?)
        }
        id if id.starts_with("flow_factor_ar_scale") => {
            gas::meter_factor(argon, gas::mixture(row.number("helium_volume_share"))?.density)
        }
        "flow_factor_air_scale_ar" => {
            let air = gas_property().rows.iter().find(|gas| gas.gas == "air")?.density;
            gas::meter_factor(air, argon)
        }
        "flow_reading_he75_20" => {
            row.number("flow") / gas::meter_factor(argon, gas::mixture(row.number("helium_volume_share"))?.density)
        }
        _ => return None,
    })
}

fn of_sizes(row: &Check) -> Option<f64> {
    if let Some(number) = row.id.strip_prefix("cup_") {
        let number: f64 = number.parse().expect("a number");
        return cup().rows.iter().find(|cup| (f64::from(cup.number) - number).abs() < 1e-9).map(|cup| cup.bore);
    }
    let system = match row.id.get(..5)? {
        "ga_al" => "aluminium",
        "ga_st" => "steel sheet",
        "ga_tu" => "tube",
        _ => return None,
    };
    let number = row.number("gauge");
    gauge()
        .rows
        .iter()
        .find(|gauge| gauge.system == system && (f64::from(gauge.number) - number).abs() < 1e-9)
        .map(|gauge| gauge.mm)
}

fn of_heat(row: &Check) -> Option<f64> {
    let at = |key: &str| row.number(key) * 1e-3;
    let rise = || row.number("melting") - row.number("start");
    Some(match row.id.as_str() {
        id if id.starts_with("k0_") => bessel_k0_scaled(row.number("argument")) * (-row.number("argument")).exp(),
        id if id.starts_with("ros3_") => {
            let plate = plate(row);
            let place = (at("ahead_of_arc"), at("aside"), at("depth"));
            row.number("start")
                + row.number("net_power")
                    * half_space_rise_per_watt(plate.conductivity, plate.diffusivity, plate.speed, place)
        }
        id if id.starts_with("ros2_") => {
            row.number("start")
                + row.number("net_power") * thin_plate_rise_per_watt(&plate(row), at("ahead_of_arc"), at("aside"))
        }
        id if id.starts_with("width3_") => {
            let plate = plate(row);
            let over = |half: f64| {
                let rise_at = |x: f64| {
                    half_space_rise_per_watt(plate.conductivity, plate.diffusivity, plate.speed, (x, half, 0.0))
                };
                row.number("net_power") * hottest(5.0 * half + 0.01, rise_at) - rise()
            };
            2e3 * crossing(1e-5, 0.1, over)
        }
        id if id.starts_with("width2_") => {
            let plate = plate(row);
            let over = |half: f64| {
                let reach = 4.0 * half + 6.0 * plate.diffusivity / plate.speed;
                row.number("net_power") * hottest(reach, |x| thin_plate_rise_per_watt(&plate, x, half)) - rise()
            };
            2e3 * crossing(1e-5, 0.2, over)
        }
        id if id.starts_with("plate_power_") => {
            let face = if row.number("depth") > 0.0 { Face::Back } else { Face::Arc };
            plate(row).power_for_width(at("width"), rise(), face)
        }
        id if id.starts_with("plate_") => {
            row.number("start")
                + row.number("net_power") * plate(row).rise_per_watt(at("ahead_of_arc"), at("aside"), at("depth"))
        }
        // The engine's own formula of the power that melts base metal; its speed is in mm/min.
        "latent_power" => {
            let mut calculator = Calculator::default();
            let inputs =
                [("rho", "density", 1.0), ("m", "fused_area", 1.0), ("v", "speed", 60.0), ("L", "latent", 1.0)];
            for (symbol, input, factor) in inputs {
                calculator.set(symbol, row.number(input) * factor);
            }
            calculator.work_out(shop::formula("pad", FigureName::Amperage, "melt-section")).expect("a formula")
        }
        "adams_const" => heat_zone::thin_constant(),
        id if id.starts_with("adams") => {
            let arc = FastArc {
                net: row.number("net_line_energy"),
                heat_volume: row.number("volumetric_heat"),
                start: row.number("start"),
                melting: if row.has("melting") { row.number("melting") } else { f64::NAN },
            };
            if row.has("radius") {
                arc.peak_in_thick(row.number("radius"))
            } else {
                arc.peak_in_thin(row.number("thickness"), row.number("from_fusion_line"))
            }
        }
        id if id.starts_with("peak2_full_vs_fast") => {
            let metal = row.numbers("metal");
            let (k, a) = (metal[0], metal[1] * 1e-6);
            let plate =
                Plate { thickness: at("thickness"), conductivity: k, diffusivity: a, speed: at("speed"), edge: None };
            let aside = at("aside");
            let full = hottest(0.2, |x| thin_plate_rise_per_watt(&plate, x, aside));
            // Peak beside a fast source in a thin plate: q / (v t rho c) / (2 y) * sqrt(2 / (pi e)).
            let fast = (2.0 / (std::f64::consts::PI * std::f64::consts::E)).sqrt() * a
                / (k * plate.speed * plate.thickness * 2.0 * aside);
            full / fast
        }
        _ => return None,
    })
}

fn of_amps(row: &Check) -> Option<f64> {
    let line = || {
        let numbers = row.numbers("load_line");
        let printed = LoadLine { base: numbers[0], slope: numbers[1] };
        assert_eq!(printed, LoadLine::for_gas(0.0), "the line that the engine uses");
        printed
    };
    let current = |power: f64| current_for_power(power, line().base, line().slope);
    Some(match row.id.as_str() {
        "arc_power_225" => row.number("efficiency") * line().volts(row.number("current")) * row.number("current"),
        id if id.starts_with("warm_amps_") => {
            let (cold, warm) = (row.number("cold"), row.number("warm"));
            warm_current(row.number("cold_current"), row.number("solidus"), cold, warm, line().base, line().slope)
        }
        // The highest current at which the whole time may be welded.
        "duty_100" => crossing(1.0, row.number("rated_current"), |amps| {
            heat::duty_share(row.number("rated_current"), row.number("rated_duty"), amps) - (1.0 - 1e-13)
        }),
        id if id.starts_with("duty_") => {
            heat::duty_share(row.number("rated_current"), row.number("rated_duty"), row.number("current"))
        }
        "hi_225" => heat::arc_energy(row.number("voltage"), row.number("current"), row.number("speed")),
        "hi_225_k06" => {
            row.number("k") * heat::arc_energy(row.number("voltage"), row.number("current"), row.number("speed"))
        }
        id if id.starts_with("amps_from_power_") => current(row.number("net_power") / row.number("efficiency")),
        id if id.starts_with("pen_amps_al_") => {
            let wall = row.number("thickness") * 1e-3;
            let plate = Plate { speed: row.number("speed") * 1e-3 / 60.0, ..plate(row) };
            let power = plate.power_for_width(wall / 2.0, row.number("melting") - row.number("start"), Face::Back);
            current(power / row.number("efficiency"))
        }
        "ac_time_en" => wave::negative_time(row.number("frequency"), row.number("balance")),
        "ac_rms_mean" => {
            let (en, ep) = (row.numbers("en"), row.numbers("ep"));
            wave::mean_current(en[0], en[1], ep[1])
        }
        _ => return None,
    })
}

fn of_dilution(row: &Check) -> Option<f64> {
    Some(match row.id.as_str() {
        "mix_two_bases" => weld_metal::mixed_two(
            (row.number("base_a"), row.number("dilution_a")),
            (row.number("base_b"), row.number("dilution_b")),
            row.number("filler"),
        ),
        id if id.starts_with("mix_") => {
            weld_metal::mixed(row.number("base"), row.number("filler"), row.number("dilution"))
        }
        "mg2si_ratio" => weld_metal::magnesium_to_silicon(),
        "mg2si_from_1mg" => weld_metal::magnesium_silicide(row.number("Mg"), 100.0),
        "dil_by_area" => weld_metal::dilution_by_area(row.number("melted_base"), row.number("deposit")),
        _ => return None,
    })
}

fn of_geometry(row: &Check) -> Option<f64> {
    let n = |key: &str| row.number(key);
    let angle = |key: &str| row.number(key).to_radians();
    Some(match row.id.as_str() {
        "vol_v_runout" => geometry::v_excavation_volume(
            n("depth"),
            angle("included_angle"),
            n("full_depth_length"),
            n("run_out"),
            2.0,
        ),
        "area_double_v" => {
            geometry::double_v_area(n("thickness"), angle("included_angle"), n("root_gap"), n("root_face"))
        }
        "area_cap" => geometry::cap_area(n("width"), n("height")),
        "area_fillet_z5" => geometry::fillet_area(n("leg")),
        "throat_z5" => geometry::fillet_throat(n("leg")),
        "area_j" => geometry::j_groove_area(n("depth"), n("root_radius"), angle("bevel")),
        "vol_plug" => geometry::frustum_volume(n("top"), n("bottom"), n("thickness")),
        "vol_thread_hole" => geometry::drilled_volume(n("bore"), n("depth_to_shoulder"), angle("point_angle")),
        "vol_pad_ring" => geometry::ring_volume(n("bore_worn"), n("build_up"), n("width")),
        "vol_disc_stop" => geometry::disc_volume(n("diameter"), n("thickness")),
        id if id.starts_with("area_v_") => {
            geometry::v_groove_area(n("depth"), angle("included_angle"), n("root_gap"), n("root_face"))
        }
        id if id.starts_with("area_u_") => {
            geometry::UGroove { radius: n("root_radius"), angle: angle("included_angle") }.area(n("depth"))
        }
        _ => return None,
    })
}

fn of_filler(row: &Check) -> Option<f64> {
    let n = |key: &str| row.number(key);
    Some(match row.id.as_str() {
        "rods_count" => {
            let rod = row.numbers("rod");
            geometry::rods_needed(n("mass"), geometry::rod_mass(rod[0], rod[1], n("density")), n("stub_loss") / 100.0)
        }
        id if id.starts_with("rod_mass_") => geometry::rod_mass(n("diameter"), n("length"), n("density")),
        // The engine's own formula of the weld metal, without a trial bead.
        id if id.starts_with("mass_") => {
            let mut calculator = Calculator::default();
            for (symbol, number) in [("V", n("volume")), ("d", 0.0), ("l", 0.0), ("rho", n("density"))] {
                calculator.set(symbol, number);
            }
            calculator.work_out(shop::formula("groove", FigureName::FillerMass, "weld-mass")).expect("a formula")
                / n("deposit_efficiency")
        }
        _ => return None,
    })
}

fn of_lens(row: &Check) -> Option<f64> {
    if row.has("shade") {
        return Some(lens::transmittance(row.number("shade")));
    }
    lens::row("US", row.number("current")).map(|row| f64::from(row.minimum))
}

/// Specific heat of the purest alloy of the tables, as the engine means it over a step.
fn mean_heat(from: f64, to: f64) -> f64 {
    heat::mean_specific_heat(interpass::reference::Class::Aluminium, aluminium("specific heat"), 25.0, from, to)
}

/// Properties of aluminium, by the purest alloy of the tables.
fn aluminium(property: &str) -> f64 {
    physical_value(alloy_named("1050").expect("1050"), None, property).expect(property).value
}

fn of_metal(row: &Check) -> Option<f64> {
    let n = |key: &str| row.number(key);
    Some(match row.id.as_str() {
        "cp_al_25c" | "cp_al_150c" => mean_heat(n("temperature"), n("temperature")),
        // 400 K.
        "incropera_al_400k" => mean_heat(n("temperature") - 273.15, n("temperature") - 273.15),
        "cpmean_al_20_150" => mean_heat(n("from"), n("to")),
        "h_al_20_100" | "h_al_20_150" | "h_al_20_200" => mean_heat(n("from"), n("to")) * (n("to") - n("from")) / 1000.0,
        "h_al_melt_total" => constant("rod-enthalpy")?.value,
        "h_al_fusion" => constant("latent-heat")?.value,
        "arc_minutes_3p1kg" | "arc_minutes_0p8kg" | "arc_minutes_12kg" => {
            let heat = mean_heat(n("start"), n("limit"));
            heat::arc_minutes(n("mass"), heat, n("limit") - n("start"), n("net_power"))
        }
        // Of the minutes for one kelvin, the kelvin for one minute.
        "arc_rise_rate" => 1.0 / heat::arc_minutes(n("mass"), n("cp"), 1.0, n("net_power")),
        "density_al" => aluminium("density"),
        _ => return None,
    })
}
