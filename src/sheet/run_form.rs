//! What the page needs to take a run down beside the sheet: names of the boxes, and the limits that a reading is set
//! against, in words. The limits are worked out here, so that a page only compares.

use super::context::{Context, Say};
use super::weld_tables::{Band, ceiling, drying_alone, wants_warmth, warm_from};
use crate::engine::{Figure, FigureName, PassRow};
use crate::units::table::Unit;
use crate::units::{Range, System, amps, celsius, show};
use serde::Serialize;

/// The rows of the record in section 9, in their order.
pub const RECORD_ROWS: [&str; 6] = ["lot", "tungsten-used", "otherwise", "again", "signed", "released"];
/// The boxes of a row of the pass table, in their order.
pub const PASS_BOXES: [&str; 4] = ["temperature", "amperage", "clean", "by"];
/// The boxes of a row of the tests, in their order.
pub const TEST_BOXES: [&str; 2] = ["result", "by"];

/// What a run is set against.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct RunForm {
    /// Name of the machine of the kit that the sheet was made for; empty without one.
    pub machine: String,
    /// The unit that a temperature is read in when none is typed: `°C` or `°F`.
    pub degrees: &'static str,
    /// One for each pass.
    pub passes: Vec<PassForm>,
}

/// The limits of a pass.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct PassForm {
    /// Its number.
    pub number: String,
    /// Limits of its current, whatever the part reads between its start and its limit.
    pub amperage: Vec<Limit>,
    /// The range between those limits.
    pub range: String,
    /// Limits of the part before it.
    pub temperature: Vec<Limit>,
}

/// A limit: a reading on the wrong side of it gets its words. Of several the first one that is passed speaks.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Limit {
    /// Whether a reading must not be over it; else it must not be under it.
    pub over: bool,
    /// The limit by unit, as it is printed in that unit: `[["°C", "100"], ["°F", "210"]]`.
    pub at: Vec<(&'static str, String)>,
    /// What to say of a reading that passes it: `above the limit, 100 °C (210 °F)`.
    pub say: String,
    /// Whether work must stop, not only wait or be noted.
    pub stop: bool,
}

/// The form of a job.
pub(super) fn form(context: &Context<'_>) -> RunForm {
    RunForm {
        machine: context.machine().map(|machine| machine.name.value.clone()).unwrap_or_default(),
        degrees: if context.system() == System::Inch { Unit::Fahrenheit.symbol() } else { Unit::Celsius.symbol() },
        passes: context.passes().iter().map(|row| pass(context, row)).collect(),
    }
}

fn pass(context: &Context<'_>, row: &PassRow) -> PassForm {
    let bands = [row.start, row.running, row.warm];
    let ends = ends(context, &bands);
    PassForm {
        number: show::number(f64::from(row.number), 0),
        amperage: ends.map_or_else(Vec::new, |ends| amperage(context, ends)),
        range: ends
            .map_or_else(String::new, |[low, high]| show::range(Range::new(amps(low), amps(high)), System::Metric)),
        temperature: temperature(context, wants_warmth(context, &bands)),
    }
}

/// From the lowest end of the coldest to the warmest part to the highest, cut at what the panel gives.
fn ends(context: &Context<'_>, bands: &[Band; 3]) -> Option<[f64; 2]> {
    let most = bands.iter().map(|[.., high]| *high).fold(0.0, f64::max).min(ceiling(context));
    let least = bands.iter().map(|[low, ..]| *low).fold(f64::INFINITY, f64::min).min(most);
    (most > 0.0).then_some([least, most])
}

fn amperage(context: &Context<'_>, [least, most]: [f64; 2]) -> Vec<Limit> {
    let limit = |over: bool, value: f64| {
        let number = show::number(value, 0);
        Limit {
            over,
            at: vec![(Unit::Ampere.symbol(), number.clone())],
            say: said(context, if over { "above" } else { "below" }, &show::both(amps(value), context.system())),
            stop: false,
        }
    };
    vec![limit(false, least), limit(true, most)]
}

fn temperature(context: &Context<'_>, warm: bool) -> Vec<Limit> {
    let aim = |name| context.figure(name).and_then(Figure::aim);
    let never = aim(FigureName::InterpassMax);
    let resume = if warm { None } else { aim(FigureName::ResumeBelow) };
    // Heat to dry a part belongs to section 5: no pass waits for it.
    let preheat = aim(FigureName::Preheat).filter(|_| !drying_alone(context));
    let least = if warm { warm_from(context) } else { preheat };
    let limit = |key: &str, over: bool, value: f64| {
        let toward = if over { show::Toward::Down } else { show::Toward::Up };
        let at = [Unit::Celsius, Unit::Fahrenheit].map(|unit| {
            let text = show::limit_in(celsius(value), unit, toward);
            (unit.symbol(), text.split(' ').next().unwrap_or_default().to_owned())
        });
        let text = show::limit_both(celsius(value), context.system(), toward);
        Limit { over, at: at.to_vec(), say: said(context, key, &text), stop: key == "above-limit" }
    };
    let all = [
        never.map(|never| limit("above-limit", true, never)),
        resume.filter(|resume| never.is_none_or(|never| *resume < never)).map(|resume| limit("wait", true, resume)),
        least.map(|least| limit("too-cold", false, least)),
    ];
    all.into_iter().flatten().collect()
}

fn said(context: &Context<'_>, key: &str, amount: &str) -> String {
    context.cell(&Say::of("sections", format!("reading/{key}")).with("0", amount)).text
}
