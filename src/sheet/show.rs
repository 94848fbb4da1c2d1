//! Figures, quantities and basis marks as they stand on a sheet: a few words round what `units::show` writes.

use super::words::{self, english};
use crate::engine::{Figure, FigureName, Value};
use crate::reference::{Basis, sold_size};
use crate::units::show::{self, Toward};
use crate::units::table::Unit;
use crate::units::{
    EnShare, Quantity, Range, Share, System, amps, celsius, degrees, grams, hertz, kj_per_mm, l_per_min, litres, mm,
    mm_per_min, percent, percent_en, seconds, sizes::same_size, volts,
};

/// What is set and within which range, as the settings table, `settings` and `why` print it; the range is empty where
/// there is none. `aim 195 A`, `165 to 200 A`.
#[must_use]
pub fn figure_text(figure: &Figure, system: System) -> (String, String) {
    let set = match &figure.value {
        Value::Word(word) => worded(figure.name, word),
        Value::Flag(flag) => flagged(figure.name, *flag),
        Value::Number(number) => one(figure.name, *number, system),
        Value::Range { set, .. } => one(figure.name, *set, system),
    };
    let range = match figure.value {
        Value::Range { low, high, .. } if low < high => span(figure.name, low, high, system),
        _ => sold_between(figure, system).unwrap_or_else(|| limits(figure, system)),
    };
    (set, range)
}

/// The range between which a bought size was chosen.
fn sold_between(figure: &Figure, system: System) -> Option<String> {
    let part = |key| figure.parts.iter().find(|(own, ..)| *own == key).map(|(_, number, _)| *number);
    Some(span(figure.name, part("range-low")?, part("range-high")?, system))
}

/// The range of a figure that is one number: its limits, where it has any.
fn limits(figure: &Figure, system: System) -> String {
    if figure.name == FigureName::TungstenDiameter {
        // Its limit is a current, not a length.
        return String::new();
    }
    let least = figure.minimum.map(|low| value("at-least", &limit(figure.name, low, Toward::Up, system)));
    let most = figure.maximum.map(|high| value("at-most", &limit(figure.name, high, Toward::Down, system)));
    match (figure.name, least, most) {
        (FigureName::LensShade, Some(_), _) => {
            value("never-under", &show::number(figure.minimum.unwrap_or_default(), 0))
        }
        (_, Some(_), Some(_)) => {
            span(figure.name, figure.minimum.unwrap_or_default(), figure.maximum.unwrap_or_default(), system)
        }
        (_, Some(text), None) | (_, None, Some(text)) => text,
        (_, None, None) => String::new(),
    }
}

fn value(key: &str, argument: &str) -> String {
    english().text("values", key, &|blank| (blank == "0").then(|| argument.to_owned()))
}

fn worded(name: FigureName, word: &str) -> String {
    english()
        .get("values", &format!("{}/{word}", name.key()))
        .or_else(|| english().get("values", &format!("word/{word}")))
        .map_or_else(|| word.to_owned(), str::to_owned)
}

fn flagged(name: FigureName, flag: bool) -> String {
    let key = if flag { "yes" } else { "no" };
    english()
        .get("values", &format!("{}/{key}", name.key()))
        .or_else(|| english().get("values", key))
        .unwrap_or(key)
        .to_owned()
}

/// The plain name of a key: its own words, else its last part; a reason and a coupon say whose they are.
#[must_use]
pub fn plain_name(key: &str) -> String {
    if let Some(words) = english().get("changes", &format!("key/{key}")) {
        return words.to_owned();
    }
    let parts: Vec<&str> = key.split('.').collect();
    let last = |from: usize| parts.get(from..).unwrap_or_default().join(" ").replace('_', " ");
    match parts.as_slice() {
        ["weld", "set", name, "because"] => format!("reason for the {}", name.replace('_', " ")),
        ["weld", "set", ..] => format!("{}, set by the author", last(2)),
        ["qualification", "coupon", ..] => format!("test piece, {}", last(2)),
        ["qualification", "welder", ..] => format!("welder, {}", last(2)),
        ["metal", "other", ..] => format!("second metal, {}", last(2)),
        _ => last(parts.len().saturating_sub(1)),
    }
}

/// One number of a figure, in the unit of its name, as it is printed: `195 A`, `2.4 mm (3/32 in)`, `no. 7`.
#[must_use]
pub fn one(name: FigureName, number: f64, system: System) -> String {
    match name {
        FigureName::Cup => value("cup-number", &show::number(number, 0)),
        FigureName::TungstenDiameter => size("tungsten", number, system),
        FigureName::FillerDiameter => size("rod", number, system),
        FigureName::StopHole => size("drill", number, system),
        FigureName::LensShade if number > 0.0 => value("lens-start", &show::number(number, 0)),
        FigureName::InterpassMax | FigureName::ResumeBelow => limit(name, number, Toward::Down, system),
        FigureName::Cost => show::number(number, 2),
        _ => limit(name, number, Toward::Nearest, system),
    }
}

/// A limit in the unit of a figure, rounded the given way.
fn limit(name: FigureName, number: f64, toward: Toward, system: System) -> String {
    let unit = name.unit().unwrap_or_default();
    in_unit(number, unit, toward, system).unwrap_or_else(|| bare(number, unit))
}

/// Both ends of a range of a figure.
fn span(name: FigureName, low: f64, high: f64, system: System) -> String {
    let unit = name.unit().unwrap_or_default();
    if matches!(name, FigureName::TungstenDiameter | FigureName::FillerDiameter | FigureName::StopHole) {
        return show::range_both(Range::new(mm(low), mm(high)), system);
    }
    if name == FigureName::InterpassMax {
        return show::limits_both(Range::new(celsius(low), celsius(high)), system);
    }
    range_in_unit(low, high, unit, system).unwrap_or_else(|| {
        let decimals = if high < 10.0 { 1 } else { 0 };
        let end = |number| show::trimmed(show::number(number, decimals));
        format!("{} to {} {unit}", end(low), end(high)).trim_end().to_owned()
    })
}

/// A bought size by both its names.
fn size(what: &str, number: f64, system: System) -> String {
    let row = sold_size().rows.iter().find(|row| row.what == what && same_size(mm(row.mm), mm(number)));
    row.map_or_else(|| show::both(mm(number), system), |row| show::size_both(mm(row.mm), &row.inch, system))
}

/// A number with a unit that has no second spelling: `3.5 min`, `90 MPa`.
#[must_use]
pub fn bare(number: f64, unit: &str) -> String {
    let size = libm::fabs(number);
    let text = if size >= 100.0 {
        show::number(number, 0)
    } else if size > 99.0 {
        // The purity of a gas lives in its last digits.
        show::trimmed(show::number(number, 3))
    } else if size >= 10.0 {
        show::trimmed(show::number(number, 1))
    } else {
        show::trimmed(show::number(number, 2))
    };
    format!("{text} {unit}").trim_end().to_owned()
}

/// Two numbers with one unit: `165 to 221 A`.
#[must_use]
pub fn bare_range(low: f64, high: f64, unit: &str) -> String {
    format!("{} to {}", bare(low, ""), bare(high, unit))
}

/// A highest amount in a unit of the trade, rounded to the safe side in both systems.
#[must_use]
pub fn amount_up_to(number: f64, unit: &str, system: System) -> String {
    in_unit(number, unit, Toward::Down, system).unwrap_or_else(|| bare(number, unit))
}

/// A quantity in a unit of the trade, in both systems; none where the unit has no second spelling.
pub(super) fn in_unit(number: f64, unit: &str, toward: Toward, system: System) -> Option<String> {
    Some(match unit {
        "mm" => show::limit_both(mm(number), system, toward),
        "°C" => show::limit_both(celsius(number), system, toward),
        "L/min" => show::limit_both(l_per_min(number), system, toward),
        "L" => show::limit_both(litres(number), system, toward),
        "g" => show::limit_both(grams(number), system, toward),
        "mm/min" => show::limit_both(mm_per_min(number), system, toward),
        "m/s" => show::limit_both(mm_per_min(number * 60_000.0), system, toward),
        "kJ/mm" => show::limit_both(kj_per_mm(number), system, toward),
        "% EN" => show::limit_both(percent_en(number), system, toward),
        "A" => show::limit_both(amps(number), system, toward),
        "V" => show::limit_both(volts(number), system, toward),
        "Hz" => show::limit_both(hertz(number), system, toward),
        "s" => show::limit_both(seconds(number), system, toward),
        "%" => show::limit_both(percent(number), system, toward),
        "deg" => show::limit_both(degrees(number), system, toward),
        _ => return None,
    })
}

pub(super) fn range_in_unit(low: f64, high: f64, unit: &str, system: System) -> Option<String> {
    fn range<T: Quantity>(make: fn(f64) -> T, low: f64, high: f64, system: System) -> String {
        show::range_both(Range::new(make(low), make(high)), system)
    }
    Some(match unit {
        "mm" => range(mm, low, high, system),
        "°C" => range(celsius, low, high, system),
        "L/min" => range(l_per_min, low, high, system),
        "L" => range(litres, low, high, system),
        "g" => range(grams, low, high, system),
        "mm/min" => range(mm_per_min, low, high, system),
        "kJ/mm" => range(kj_per_mm, low, high, system),
        // The second spelling of a range of shares would only repeat it.
        "% EN" => show::range_in(Range::<EnShare>::new(percent_en(low), percent_en(high)), Unit::PercentEn),
        "A" => range(amps, low, high, system),
        "V" => range(volts, low, high, system),
        "Hz" => range(hertz, low, high, system),
        "s" => range(seconds, low, high, system),
        "%" => range::<Share>(percent, low, high, system),
        "deg" => range(degrees, low, high, system),
        _ => return None,
    })
}

/// A length that is cut or laid by hand: below half an inch the second spelling is round.
#[must_use]
pub fn by_hand(length: f64, system: System) -> String {
    const HALF_INCH: f64 = 12.7;
    if length < HALF_INCH { roughly(length, system) } else { show::both(mm(length), system) }
}

/// A length in millimetres that is paced rather than measured: round in inches, whichever comes first.
#[must_use]
pub fn roughly(length: f64, system: System) -> String {
    let text = show::roughly_both(mm(length), System::Metric);
    match (system, text.strip_suffix(')').and_then(|text| text.split_once(" ("))) {
        (System::Inch, Some((metric, inch))) => format!("{inch} ({metric})"),
        _ => text,
    }
}

/// A quantity that stands in the words themselves, in both systems: `30 mm`, `50 to 65 °C`, `<50 °C`, `>0.3 mm`.
/// None where the text is no quantity.
#[must_use]
pub fn literal(text: &str, system: System) -> Option<String> {
    let (toward, text) = match text.strip_prefix('<') {
        Some(rest) => (Toward::Down, rest),
        None => text.strip_prefix('>').map_or((Toward::Nearest, text), |rest| (Toward::Up, rest)),
    };
    let (numbers, unit) = text.rsplit_once(' ')?;
    if let Some((low, high)) = numbers.split_once(" to ") {
        let (low, high): (f64, f64) = (low.parse().ok()?, high.parse().ok()?);
        return range_in_unit(low, high, unit, system).or_else(|| Some(format!("{numbers} {unit}")));
    }
    let number: f64 = numbers.parse().ok()?;
    match (unit, toward) {
        // Lengths that are paced rather than measured come out round.
        ("mm", Toward::Nearest) => Some(roughly(number, system)),
        _ => in_unit(number, unit, toward, system).or_else(|| Some(text.to_owned())),
    }
}

/// The mark of a basis on the sheet.
#[must_use]
pub fn mark(basis: Basis) -> &'static str {
    match basis {
        Basis::Published => "P",
        Basis::Computed => "C",
        Basis::CommonPractice => "CP",
        Basis::Memory => "M",
    }
}

/// The mark of a figure: `P`; `P, M` where the weakest input differs; `S` for the author's own value.
#[must_use]
pub fn figure_mark(figure: &Figure) -> String {
    match (figure.basis, figure.weakest) {
        (None, _) => "S".to_owned(),
        (Some(lead), Some(weakest)) if weakest > lead => format!("{}, {}", mark(lead), mark(weakest)),
        (Some(lead), _) => mark(lead).to_owned(),
    }
}

/// Fills the quantities of a text and leaves other blanks to the caller.
#[must_use]
pub fn with_quantities(text: &str, system: System, fill: &dyn Fn(&str) -> Option<String>) -> String {
    words::filled(text, &|blank| fill(blank).or_else(|| literal(blank, system)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::Working;

    fn figure(name: FigureName, value: Value) -> Figure {
        Figure {
            name,
            value,
            basis: Some(Basis::Published),
            weakest: Some(Basis::Published),
            working: Working::new(),
            uses: Vec::new(),
            minimum: None,
            maximum: None,
            alternatives: Vec::new(),
            ranking: Vec::new(),
            passes: Vec::new(),
            parts: Vec::new(),
            limits: Vec::new(),
            rulings: Vec::new(),
            because: None,
            worked_out: None,
        }
    }

    fn range(low: f64, high: f64, set: f64) -> Value {
        Value::Range { low, high, set }
    }

    fn check(figure: &Figure, system: System, set: &str, range: &str) {
        assert_eq!(figure_text(figure, system), (set.to_owned(), range.to_owned()), "{}", figure.name.key());
    }

    #[test]
    fn figures_read_as_a_welder_says_them() {
        use System::{Inch, Metric};
        let of = |name, value| figure(name, value);
        check(&of(FigureName::Amperage, range(165.0, 200.0, 195.0)), Metric, "195 A", "165 to 200 A");
        check(&of(FigureName::Balance, range(65.0, 70.0, 70.0)), Metric, "70 % EN (30 % EP)", "65 to 70 % EN");
        check(&of(FigureName::TungstenDiameter, Value::Number(2.4)), Metric, "2.4 mm (3/32 in)", "");
        check(&of(FigureName::TungstenDiameter, Value::Number(2.4)), Inch, "3/32 in (2.4 mm)", "");
        check(&of(FigureName::Cup, Value::Number(7.0)), Metric, "no. 7", "");
        check(
            &of(FigureName::GasFlow, range(7.0, 10.0, 8.5)),
            Metric,
            "8.5 L/min (18 cfh)",
            "7 to 10 L/min (15 to 21 cfh)",
        );
        check(&of(FigureName::Polarity, Value::Word("AC".to_owned())), Metric, "AC", "");
        check(&of(FigureName::Preheat, Value::Word("none".to_owned())), Metric, "none needed", "");
        check(&of(FigureName::GasLens, Value::Flag(true)), Metric, "with gas lens", "");
        check(&of(FigureName::ArcTime, Value::Number(3.5)), Metric, "3.5 min", "");
        check(&of(FigureName::DeveloperTime, range(10.0, 30.0, 10.0)), Metric, "10 min", "10 to 30 min");
        check(&of(FigureName::Rods, Value::Number(2.0)), Metric, "2", "");
    }

    #[test]
    fn limits_are_rounded_to_the_safe_side() {
        // 65 °C is 149 °F: a highest temperature must not come out as 150 °F.
        let limit = figure(FigureName::InterpassMax, Value::Number(65.0));
        check(&limit, System::Metric, "65 °C (145 °F)", "");
        check(&limit, System::Inch, "145 °F (65 °C)", "");
        let mut lens = figure(FigureName::LensShade, Value::Number(14.0));
        lens.minimum = Some(10.0);
        check(&lens, System::Metric, "start at 14, go lighter", "never under 10");
        let mut out = figure(FigureName::StickOut, Value::Number(8.0));
        out.maximum = Some(10.0);
        check(&out, System::Metric, "8 mm (0.315 in)", "10 mm (0.39 in) at most");
        let mut tungsten = figure(FigureName::TungstenDiameter, Value::Number(2.4));
        tungsten.maximum = Some(235.0);
        check(&tungsten, System::Metric, "2.4 mm (3/32 in)", "");
    }

    #[test]
    fn quantities_in_the_words_come_out_in_both_systems() {
        let shown = |text: &str, system| literal(text, system);
        assert_eq!(shown("30 mm", System::Metric).as_deref(), Some("30 mm (1.2 in)"));
        assert_eq!(shown("25 mm", System::Inch).as_deref(), Some("1 in (25 mm)"));
        assert_eq!(shown("<50 °C", System::Metric).as_deref(), Some("50 °C (120 °F)"));
        assert_eq!(shown("10 min", System::Metric).as_deref(), Some("10 min"));
        assert_eq!(shown("25 to 40 mm", System::Metric).as_deref(), Some("25 to 40 mm (0.98 to 1.57 in)"));
        assert_eq!(shown("damage", System::Metric), None);
        assert_eq!(shown("a mm", System::Metric), None);
    }

    #[test]
    fn marks_name_the_weakest_where_it_differs() {
        let mut one = figure(FigureName::Amperage, Value::Number(1.0));
        assert_eq!(figure_mark(&one), "P");
        one.weakest = Some(Basis::Memory);
        assert_eq!(figure_mark(&one), "P, M");
        one.basis = None;
        assert_eq!(figure_mark(&one), "S");
    }
}
