//! The tables that the shop reads round the arc: preheat, penetrant, lens, sizes, gauges, solvents.

use super::same;
use interpass::reference::{self as tables, Basis, Preheat, Row};

fn preheat(group: &str, variant: &str) -> Vec<&'static Preheat> {
    tables::preheat().rows.iter().filter(|row| row.group == group && row.variant == variant && row.leads).collect()
}

#[test]
fn preheat_limits_are_as_printed() {
    // wire-maker-1, table by alloy family: highest preheat and interpass temperature.
    for (group, preheat_max, interpass_max) in
        [("general", 120.0, 120.0), ("heat-treatable", 120.0, 100.0), ("zinc", 100.0, 80.0)]
    {
        let [row] = preheat(group, "limit")[..] else { panic!("{group}: one limit") };
        assert_eq!((row.preheat_max, row.interpass_max), (Some(preheat_max), Some(interpass_max)), "{group}");
        assert_eq!(row.basis, Basis::Published, "{group}");
    }
    // Over 3 % Mg: aim 65 °C, hard limit 120 °C and 15 min (AWS D1.2, remembered); NAVSEA 278, Table V: avoid 66 to 204 °C.
    let [aim] = preheat("high magnesium", "limit")[..] else { panic!("one aim") };
    assert_eq!((aim.preheat_max, aim.interpass_max), (Some(65.0), Some(65.0)));
    let [hard] = preheat("high magnesium", "hard limit")[..] else { panic!("one hard limit") };
    assert_eq!((hard.interpass_max, hard.minutes_max, hard.basis), (Some(120.0), Some(15.0), Basis::Memory));
    assert!(preheat("high magnesium", "oven").is_empty() && preheat("high magnesium", "bake-out").is_empty());
    for group in ["general", "heat-treatable", "zinc", "high magnesium"] {
        let [row] = preheat(group, "drying")[..] else { panic!("{group}: one drying row") };
        assert_eq!((row.preheat_min, row.preheat_max), (Some(50.0), Some(65.0)), "{group}");
    }
    // An aged casting stays at 150 °C for two hours in all, whatever temper is not named; F, O and T71 go further.
    for variant in ["oven", "bake-out"] {
        let [aged] = preheat("heat-treatable", variant)[..] else { panic!("{variant}") };
        assert!(aged.tempers.is_empty());
        assert_eq!((aged.preheat_max, aged.minutes_max), (Some(150.0), Some(120.0)), "{variant}");
        let [free] = preheat("castings", variant)[..] else { panic!("{variant}") };
        assert_eq!(free.tempers, ["F", "O", "T71"]);
        assert_eq!(free.preheat_max, Some(if variant == "oven" { 175.0 } else { 230.0 }));
    }
    // tm9-2815, 6-4c: 355-T71, 177 give or take 19 °C, 2 h. mil-w-52125, 3.32.2: 204 °C, 30 min in all.
    let witness = |source: &str| tables::preheat().rows.iter().find(|row| row.source == source);
    assert!(
        witness("tm9-2815")
            .is_some_and(|row| row.preheat_min == Some(158.0) && row.preheat_max == Some(196.0) && !row.leads)
    );
    assert!(
        witness("mil-w-52125")
            .is_some_and(|row| row.preheat_max == Some(204.0) && row.minutes_max == Some(30.0) && !row.leads)
    );
}

#[test]
fn penetrant_times_are_as_printed() {
    let dwell = |scheme: &str, form: &str| {
        tables::penetrant_dwell()
            .rows
            .iter()
            .find(|row| row.scheme == scheme && row.forms.iter().any(|f| f == form))
            .map(|row| row.dwell)
    };
    // ASME Section V 2007, Table T-672; NAVSEA 271, 5.6.4; T.O. 33B-1-1, p.2-44.
    assert_eq!(dwell("ASME V", "casting"), Some(5.0));
    assert_eq!(dwell("ASME V", "wrought"), Some(10.0));
    assert_eq!(dwell("NAVSEA 271", "any"), Some(15.0));
    assert_eq!(dwell("T.O. 33B-1-1", "from service"), Some(30.0));
    assert_eq!(dwell("house rule", "any"), Some(10.0));
    let limit = |what: &str, scheme: &str| {
        tables::penetrant_limit().rows.iter().find(|row| row.what == what && row.scheme == scheme)
    };
    let range = |what, scheme| limit(what, scheme).and_then(|row| row.range);
    let value = |what, scheme| limit(what, scheme).and_then(|row| row.value);
    // ASME Section V, Article 6: T-652, T-672, T-675.3 and T-676.1, T-676.3, T-642(b).
    assert_eq!(range("temperature", "ASME V"), Some([5.0, 52.0]));
    assert_eq!(value("longest dwell", "ASME V"), Some(120.0));
    assert_eq!(range("reading window", "ASME V"), Some([10.0, 60.0]));
    assert_eq!(value("light", "ASME V"), Some(1076.0));
    assert_eq!(value("zone", "ASME V"), Some(25.0));
    // Table T-672, note (1): twice the dwell from 5 to 10 °C.
    assert_eq!((range("cold range", "ASME V"), value("cold factor", "ASME V")), (Some([5.0, 10.0]), Some(2.0)));
    // NAVSEA 271: 5.6.7.1, 5.6.2, 5.4.
    assert_eq!(range("reading window", "NAVSEA 271"), Some([7.0, 30.0]));
    assert_eq!(value("solvent off", "NAVSEA 271"), Some(5.0));
    assert_eq!(value("solvent off, flooded", "NAVSEA 271"), Some(20.0));
    assert_eq!(value("zone", "NAVSEA 271"), Some(13.0));
    // gtaw-textbook, p.280: 0.010 to 0.015 in.
    let [low, high] = range("recut", "welding textbook").unwrap_or_default();
    assert!((low - 0.010 * 25.4).abs() < 0.005 && (high - 0.015 * 25.4).abs() < 0.005, "{low} {high}");
}

// 29 CFR 1910.133(a)(5), table, GTAW; shade to start from: ANSI Z49.1:2005.
#[test]
fn lens_shades_are_the_rule() {
    let us: Vec<_> = tables::lens_shade().rows.iter().filter(|row| row.scheme == "US").collect();
    let printed = [([0.0, 50.0], 8, 10), ([50.0, 150.0], 8, 12), ([150.0, 500.0], 10, 14)];
    assert_eq!(us.len(), printed.len());
    for (row, (current, minimum, start)) in us.iter().zip(printed) {
        assert!(same(row.current, current) && row.minimum == minimum && row.start == Some(start), "{}", row.key());
    }
    // EN 169, remembered: 11 from 100 to 175 A, 12 from 175 to 250 A.
    let en = |current: [f64; 2]| {
        tables::lens_shade().rows.iter().find(|row| row.scheme == "EN 169" && same(row.current, current))
    };
    assert!(en([100.0, 175.0]).is_some_and(|row| row.minimum == 11 && row.basis == Basis::Memory));
    assert!(en([175.0, 250.0]).is_some_and(|row| row.minimum == 12 && row.basis == Basis::Memory));
}

#[test]
fn sizes_carry_both_names() {
    // Sizes of the trade in inches, by definition 25.4 mm; a nominal size lies within 3 % of its inch name.
    let value = |name: &str| -> Option<f64> {
        let name = name.strip_suffix(" in")?;
        match name.split_once('/') {
            Some((top, bottom)) => Some(top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?),
            None => name.parse().ok(),
        }
    };
    for size in &tables::sold_size().rows {
        let Some(inches) = value(&size.inch) else { panic!("{} is no size", size.inch) };
        assert!((inches * 25.4 / size.mm - 1.0).abs() < 0.03, "{} is not {} mm", size.inch, size.mm);
        assert_eq!(size.what == "rod", size.lengths == [914.0, 1000.0], "{} {}", size.what, size.mm);
    }
    // AC 43.13-1B, 4-59a: stop holes of 3/32 or 1/8 in.
    let drills: Vec<&str> =
        tables::sold_size().rows.iter().filter(|size| size.what == "drill").map(|size| size.inch.as_str()).collect();
    assert_eq!(drills, ["3/32 in", "1/8 in"]);
}

#[test]
fn gauges_depend_on_the_metal() {
    let gauge = |system: &str, number: u32| {
        tables::gauge().rows.iter().find(|row| row.system == system && row.number == number).map(|row| row.mm)
    };
    // Outside values, from a units library (sheet and wire gauge) and a pipe library (Birmingham gauge).
    let outside = [
        ("steel sheet", 11, 3.036_824),
        ("steel sheet", 14, 1.898_015),
        ("steel sheet", 16, 1.518_412),
        ("steel sheet", 20, 0.911_047),
        ("aluminium", 11, 2.304_847),
        ("aluminium", 14, 1.627_727),
        ("aluminium", 16, 1.290_846),
        ("aluminium", 20, 0.811_821),
        ("tube", 11, 3.048),
        ("tube", 16, 1.651),
    ];
    for (system, number, mm) in outside {
        assert!(gauge(system, number).is_some_and(|row| (row / mm - 1.0).abs() < 1e-3), "{system} {number}");
    }
    // Sheet-metal pages: 10 gauge steel sheet is 0.1345 in, 18 gauge 0.0478 in.
    for (number, inches) in [(10, 0.1345), (18, 0.0478)] {
        assert!(gauge("steel sheet", number).is_some_and(|row| (row / 25.4 - inches).abs() < 6e-5), "{number}");
    }
    // A higher number is thinner.
    for system in ["aluminium", "steel sheet", "tube"] {
        for number in 7..26 {
            assert!(gauge(system, number) > gauge(system, number + 1), "{system} {number}");
        }
    }
}

// flash-points, table: acetone -18, isopropyl alcohol 12, ethanol 13, toluene 4 °C.
#[test]
fn solvents_burn_or_poison_as_listed() {
    let solvent = |name: &str| tables::solvent().rows.iter().find(|row| row.name == name);
    for (name, flash) in [("acetone", -18.0), ("isopropyl alcohol", 12.0), ("ethanol", 13.0), ("toluene", 4.0)] {
        assert!(
            solvent(name).is_some_and(|row| row.flammable && !row.chlorinated && row.flash_point == Some(flash)),
            "{name}"
        );
    }
    for row in &tables::solvent().rows {
        assert!(
            ["acetone", "alcohol", "alkaline", "chlorinated", "unknown"].contains(&row.cleaner.as_str()),
            "{}",
            row.cleaner
        );
        assert_eq!(row.cleaner == "chlorinated" || row.name.contains("unknown"), row.chlorinated, "{}", row.name);
    }
    // Nobody knows what it is: the worst of each kind is taken.
    let unknown: Vec<_> = tables::solvent().rows.iter().filter(|row| row.cleaner == "unknown").collect();
    assert!(unknown.iter().any(|row| row.chlorinated) && unknown.iter().any(|row| row.flammable));
}
