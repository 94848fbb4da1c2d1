//! Quantities as a whole: what holds of every unit, every text and every limit, and values from outside this project.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use interpass::units::parse::{Context, Fault, LONGEST, amount};
use interpass::units::table::{Unit, of};
use interpass::units::{
    Angle, AngularVelocity, Area, Current, EnShare, Flow, Frequency, HeatInput, HeliumShare, Kind, Length, Mass,
    Quantity, Range, Share, Speed, System, Temperature, TemperatureStep, Time, Voltage, Volume, show,
};
use proptest::prelude::*;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Runs a generic function for the type of a kind.
macro_rules! with_type {
    ($kind:expr, $function:ident($($argument:expr),*)) => {
        match $kind {
            Kind::Length => $function::<Length>($($argument),*),
            Kind::Area => $function::<Area>($($argument),*),
            Kind::Volume => $function::<Volume>($($argument),*),
            Kind::Mass => $function::<Mass>($($argument),*),
            Kind::Current => $function::<Current>($($argument),*),
            Kind::Voltage => $function::<Voltage>($($argument),*),
            Kind::Time => $function::<Time>($($argument),*),
            Kind::Frequency => $function::<Frequency>($($argument),*),
            Kind::Flow => $function::<Flow>($($argument),*),
            Kind::Temperature => $function::<Temperature>($($argument),*),
            Kind::TemperatureStep => $function::<TemperatureStep>($($argument),*),
            Kind::Speed => $function::<Speed>($($argument),*),
            Kind::HeatInput => $function::<HeatInput>($($argument),*),
            Kind::Share => $function::<Share>($($argument),*),
            Kind::EnShare => $function::<EnShare>($($argument),*),
            Kind::HeliumShare => $function::<HeliumShare>($($argument),*),
            Kind::Rotation => $function::<AngularVelocity>($($argument),*),
            Kind::Angle => $function::<Angle>($($argument),*),
        }
    };
}

/// A kind and a place between its bounds, small values as likely as large ones.
fn kinds_and_values() -> impl Strategy<Value = (Kind, f64)> {
    (proptest::sample::select(Kind::ALL), 0.000_1..1.0_f64, 0..4_i32).prop_map(|(kind, place, small)| {
        let bounds = kind.bounds().si();
        let share = place * 10_f64.powi(-small);
        (kind, bounds.low + (bounds.high - bounds.low) * share.min(0.999_999))
    })
}

/// A printed quantity taken apart again: SI value and how much half of its last decimal is, SI.
fn printed(kind: Kind, text: &str) -> (f64, f64) {
    let (number, symbol) = text.split_once(' ').expect("a number, a space, a unit");
    let unit = of(kind).find(|unit| unit.symbol() == symbol).expect("a printed unit");
    let decimals = number.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let half = 0.5 / 10_f64.powi(i32::try_from(decimals).expect("few decimals"));
    (unit.to_si(number.parse().expect("a number")), half * unit.factor().abs())
}

fn reads_back<T: Quantity>(si: f64, unit: Unit) {
    for spelling in unit.spellings() {
        for space in ["", " ", "\u{a0}"] {
            if space.is_empty() && spelling.starts_with('1') {
                continue; // `20` and `1/min` need a space between them.
            }
            let text = format!("{}{space}{spelling}", unit.number_of(T::from_si(si)));
            let read = amount::<T>(&text, Context::default()).unwrap_or_else(|bad| panic!("{text}: {}", bad.message));
            // A temperature keeps nine decimals of a degree, however near to absolute zero.
            let allowed = if T::KIND == Kind::Temperature { 1e-9 * si.max(1.0) } else { 1e-9 * si };
            assert!((read.value().si() - si).abs() <= allowed, "{text}: {} for {si}", read.value().si());
        }
    }
    let shown = show::in_unit(T::from_si(si), unit);
    let (value, half) = printed(T::KIND, &shown);
    assert!((value - si).abs() <= half + si * 1e-11, "{shown} for {si}");
}

/// A highest value is never printed higher, a lowest never lower, in either system.
fn stays_safe<T: Quantity>(si: f64) {
    for (toward, sign) in [(show::Toward::Down, 1.0), (show::Toward::Up, -1.0)] {
        for first in [System::Metric, System::Inch] {
            let text = show::limit_both(T::from_si(si), first, toward);
            let (lead, beside) = text.split_once(" (").map_or((text.as_str(), None), |(a, b)| (a, b.strip_suffix(')')));
            // EP is printed as what EN leaves, so EN alone is the limit.
            for part in [Some(lead), beside.filter(|_| T::KIND != Kind::EnShare)].into_iter().flatten() {
                let (value, _) = printed(T::KIND, part);
                assert!(sign * (si - value) >= -1e-9 * si, "{text}: {value} for {si}, {toward:?}");
            }
        }
    }
}

fn answers<T: Quantity>(text: &str) -> Result<(), TestCaseError> {
    match amount::<T>(text, Context::default()) {
        Ok(read) => {
            let bounds = T::KIND.bounds().si();
            prop_assert!(read.range.low <= read.range.high, "{text}");
            prop_assert!(bounds.holds_all(read.range.low.si(), read.range.high.si()), "{text}");
            prop_assert_eq!(&read.text, text.trim());
            prop_assert!(show::stated(&read).starts_with(&read.text));
        }
        Err(bad) => {
            prop_assert!(text.get(bad.at.clone()).is_some(), "{text:?}: {:?}", bad.at);
            prop_assert!(!bad.at.is_empty() || text.is_empty(), "{text:?}: nothing is marked, {}", bad.message);
            prop_assert!(!(bad.message.is_empty() || bad.label.is_empty() || bad.help.is_empty()));
            prop_assert!(!bad.message.contains(char::is_control));
        }
    }
    Ok(())
}

trait HoldsAll {
    fn holds_all(&self, low: f64, high: f64) -> bool;
}
impl HoldsAll for Range<f64> {
    fn holds_all(&self, low: f64, high: f64) -> bool {
        self.low <= low && high <= self.high
    }
}

/// Pieces that texts of quantities are made of, right and wrong, in any order.
fn near_texts() -> impl Strategy<Value = String> {
    let piece = proptest::sample::select(vec![
        "1", "160", "0", "½", "1/2", "3⁄16", ".5", "1,5", "1e9", "200", " ", "\u{a0}", "\u{2009}", "-", "−", "–", "to",
        "..", ".", "+/-", "±", "+", "/", "%", "EN", "EP", "A", "mm", "in", "°", "°C", "F", "K", "L/min", "cfh", "ga",
        "ft3", "h", "1/min", "kJ", "He", "µ", "μm", "²", "^2", "NaN", "inf", "\u{202e}", "\0", "٣", "e5", "_", "'",
    ]);
    proptest::collection::vec(piece, 0..9).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_unit_reads_back_what_it_writes((kind, si) in kinds_and_values()) {
        for unit in of(kind) {
            with_type!(kind, reads_back(si, unit));
        }
    }

    #[test]
    fn a_limit_is_never_printed_on_the_unsafe_side((kind, si) in kinds_and_values()) {
        with_type!(kind, stays_safe(si));
    }

    #[test]
    fn a_round_limit_stays_round(degrees in 0..80_i32) {
        let limit = interpass::units::celsius(f64::from(degrees) * 25.0);
        let text = show::limit_both(limit, System::Metric, show::Toward::Down);
        let expected = format!("{} °C ({} °F)", degrees * 25, degrees * 45 + 32 - (degrees * 45 + 32) % 5);
        prop_assert_eq!(text, expected);
    }

    #[test]
    fn any_text_gets_an_answer(text in any::<String>(), kind in proptest::sample::select(Kind::ALL)) {
        with_type!(kind, answers(&text))?;
    }

    #[test]
    fn any_near_text_gets_an_answer(text in near_texts()) {
        for kind in Kind::ALL {
            with_type!(kind, answers(&text))?;
        }
    }

    #[test]
    fn a_range_runs_from_low_to_high(
        a in 1..1000_u32, b in 1..1000_u32, dash in proptest::sample::select(vec![" to ", "-", " – ", ".."])
    ) {
        let text = format!("{a}{dash}{b} A");
        match amount::<Current>(&text, Context::default()) {
            Ok(read) => {
                prop_assert!(a <= b);
                prop_assert_eq!((read.range.low.si(), read.range.high.si()), (f64::from(a), f64::from(b)));
            }
            Err(bad) => {
                prop_assert!(a > b);
                prop_assert_eq!((bad.fault, bad.at), (Fault::RangeReversed, 0..text.len()));
            }
        }
    }

    #[test]
    fn a_number_is_printed_without_exponent_or_minus_zero(value in -1e12..1e12_f64, decimals in 0..6_usize) {
        let text = show::number(value, decimals);
        prop_assert!(!text.contains(['e', 'E']));
        let read = text.parse::<f64>().expect("a number");
        prop_assert!((read - value).abs() <= 0.5 / 10_f64.powi(decimals as i32) + value.abs() * 1e-11);
        prop_assert!(read != 0.0 || !text.starts_with('-'));
    }

    #[test]
    fn rounding_to_a_step_goes_the_way_it_says(
        value in -1e4..1e4_f64, step in proptest::sample::select(vec![0.05, 0.1, 0.5, 1.0, 5.0, 0.0625])
    ) {
        let down = show::round_to(value, step, show::Toward::Down);
        let up = show::round_to(value, step, show::Toward::Up);
        let nearest = show::round_to(value, step, show::Toward::Nearest);
        prop_assert!(down <= value + 1e-8 && value - 1e-8 <= up && up - down <= step * 1.000_001);
        prop_assert!((nearest - value).abs() <= step / 2.0 + 1e-8);
        prop_assert_eq!(show::round_to(nearest, step, show::Toward::Up), nearest);
        prop_assert_eq!(show::round_to(nearest, step, show::Toward::Down), nearest);
    }
}

#[test]
fn a_text_longer_than_any_quantity_is_not_read() {
    let long = format!("{} mm", " ".repeat(LONGEST));
    let bad = amount::<Length>(&long, Context::default()).expect_err("too long");
    assert_eq!((bad.fault, bad.at), (Fault::Number, 0..long.len()));
}

/// The fault of a text that cannot be read, and the part of it that is marked.
fn fault<T: Quantity>(text: &str) -> (Fault, &str) {
    let bad = amount::<T>(text, Context::default()).expect_err("a fault");
    (bad.fault, text.get(bad.at).expect("a place inside the text"))
}

#[test]
fn faults_point_at_their_characters() {
    for (text, expected) in [
        ("6", (Fault::WithoutUnit, "6")),
        ("5 to 6", (Fault::WithoutUnit, "6")),
        ("5 mm to 6", (Fault::WithoutUnit, "6")),
        ("8 furlongs", (Fault::Unit, "furlongs")),
        ("1 1/2\"", (Fault::Unit, "\"")),
        ("6 mils", (Fault::Unit, "mils")),
        ("5 A to 6 mm", (Fault::Kind, "A")),
        ("5 mm to 6 °C", (Fault::Kind, "°C")),
        ("8 MM", (Fault::Unit, "MM")),
        ("12 mm to 8 mm", (Fault::RangeReversed, "12 mm to 8 mm")),
        ("1-1/2 in", (Fault::RangeReversed, "1-1/2 in")),
        ("200 m", (Fault::Absurd, "200 m")),
        ("5 mm to 200 m", (Fault::Absurd, "200 m")),
        ("5 mm ± 6", (Fault::Absurd, "6")),
        ("1,5 mm", (Fault::Number, "1,5")),
        ("", (Fault::Number, "")),
        ("  ", (Fault::Number, "  ")),
        ("mm", (Fault::Number, "mm")),
        ("5 mm to", (Fault::Number, "to")),
        ("5 to 6 to 7 mm", (Fault::Number, "to 7 mm")),
        ("5 6 mm", (Fault::Number, "6 mm")),
        ("5 mm to fast", (Fault::Number, "fast")),
        ("5 mm ± -1", (Fault::Absurd, "-1")),
        ("NaN mm", (Fault::Number, "NaN")),
    ] {
        assert_eq!(fault::<Length>(text), expected, "{text}");
    }
    assert_eq!(fault::<Current>(&"9".repeat(201)).0, Fault::Number);
    assert_eq!(fault::<Current>(&"9".repeat(200)).0, Fault::WithoutUnit);
}

/// One value from outside.
#[derive(Deserialize)]
struct Check {
    id: String,
    expected: f64,
    unit: String,
    tolerance: f64,
    tolerance_kind: String,
}

#[derive(Deserialize)]
struct Checks {
    check: Vec<Check>,
}

/// How a row is asked: a text of the language, and the unit that its answer is in.
type Asked = (&'static str, &'static str, Unit);

/// Rows that are answered by reading a text and writing it in another unit.
const ASKED: &[Asked] = &[
    ("u_cfh_1", "1 cfh", Unit::LitrePerMinute),
    ("u_cfh_17", "17 ft3/h", Unit::LitrePerMinute),
    ("u_lmin_8", "8 L/min", Unit::CubicFootPerHour),
    ("u_in_3_16", "3/16 in", Unit::Millimetre),
    ("u_in_0187", "0.187 in", Unit::Millimetre),
    ("u_in_1_1_2", "1 1/2 in", Unit::Millimetre),
    ("u_thou", "1 thou", Unit::Micrometre),
    ("u_f_250", "250 °F", Unit::Celsius),
    ("u_c_120", "120 °C", Unit::Fahrenheit),
    ("u_f_m40", "-40 °F", Unit::Celsius),
    ("u_df_100", "100 °F", Unit::KelvinStep),
    ("u_dc_55", "55 K", Unit::FahrenheitStep),
    ("u_kjin_30", "30 kJ/in", Unit::KilojoulePerMillimetre),
    ("u_kjmm_1p2", "1.2 kJ/mm", Unit::KilojoulePerInch),
    ("u_inmin_6", "6 in/min", Unit::MillimetrePerMinute),
    ("u_lb_5", "5 lb", Unit::Kilogram),
    ("u_cap_us_cf", "1 ft3", Unit::Litre),
    ("rod_1_16in", "1/16 in", Unit::Millimetre),
    ("rod_3_32in", "3/32 in", Unit::Millimetre),
    ("rod_1_8in", "1/8 in", Unit::Millimetre),
    ("rod_5_32in", "5/32 in", Unit::Millimetre),
    ("rod_3_16in", "3/16 in", Unit::Millimetre),
    ("rod_0_040in", "0.040 in", Unit::Millimetre),
    ("rod_0_035in", ".035 in", Unit::Millimetre),
    ("rod_0_045in", "0.045 in", Unit::Millimetre),
];

/// Rows in the SI unit itself, which is not printed.
const ASKED_SI: &[(&str, &str, Kind)] =
    &[("u_rpm_1800", "1800 rpm", Kind::Rotation), ("u_deg_60", "60 deg", Kind::Angle)];

/// Rows that no text of the language asks, each with the reason; a row that ends in `*` stands for all that begin so.
const NOT_ASKED: &[(&str, &str)] = &[
    ("u_psig_20", "no pressure is stated in a spec"),
    ("u_ozin_1", "unbalance is a figure, not a stated quantity"),
    ("u_ksi_24", "strengths stand in the reference tables, in MPa"),
    ("u_btulb", "specific heats stand in the reference tables, in J/kgK"),
    ("ga_*", "gauge tables belong to the reference tables and are checked there"),
    ("drill_*", "number drills are no spelling of the language"),
    ("cup_*", "bores of cups belong to the reference tables and are checked there"),
];

fn in_unit<T: Quantity>(text: &str, unit: Unit) -> f64 {
    unit.number_of(amount::<T>(text, Context::default()).expect("a text of the language").value())
}

fn in_si<T: Quantity>(text: &str) -> f64 {
    amount::<T>(text, Context::default()).expect("a text of the language").value().si()
}

/// Every row of the file is either answered within its tolerance or stands on the list with its reason, not both.
#[test]
fn values_from_outside() {
    let file: Checks = toml::from_str(include_str!("outside/units.toml")).expect("rows");
    let rows: BTreeMap<&str, &Check> = file.check.iter().map(|row| (row.id.as_str(), row)).collect();
    assert_eq!(rows.len(), file.check.len(), "an id stands twice");
    let mut answers: BTreeMap<&str, (f64, String)> = BTreeMap::new();
    for &(id, text, unit) in ASKED {
        answers.insert(id, (with_type!(unit.kind(), in_unit(text, unit)), unit.symbol().replace("degrees F", "°F")));
    }
    for &(id, text, kind) in ASKED_SI {
        answers
            .insert(id, (with_type!(kind, in_si(text)), if kind == Kind::Angle { "rad" } else { "rad/s" }.to_owned()));
    }
    assert!(answers.keys().all(|id| rows.contains_key(id)), "an answer has no row");
    for (id, row) in rows {
        let reason = NOT_ASKED
            .iter()
            .find(|(name, _)| name.strip_suffix('*').map_or(*name == id, |start| id.starts_with(start)));
        let Some((answer, unit)) = answers.get(id) else {
            assert!(reason.is_some(), "{id} is neither answered nor on the list");
            continue;
        };
        assert!(reason.is_none(), "{id} is answered and on the list");
        assert_eq!(unit, &row.unit, "{id}");
        let allowed = if row.tolerance_kind == "rel" { row.tolerance * row.expected.abs() } else { row.tolerance };
        assert!((answer - row.expected).abs() <= allowed, "{id}: {answer} for {}", row.expected);
    }
}
