//! The settings table: what to set, within which range, why in a word, a box for what the panel showed.

use super::context::{Context, Say};
use super::opening::reason;
use super::writer::table;
use super::{Cell, Table, show};
use crate::engine::{Figure, FigureName, Value};
use crate::kit::{Counts, Remote};
use crate::units::table::Unit;
use crate::units::{mm, show as units_show};

/// The figures of the table in the order of the hands at the panel.
pub(super) const ROWS: &[FigureName] = &[
    FigureName::Polarity,
    FigureName::Amperage,
    FigureName::AmperageMax,
    FigureName::Balance,
    FigureName::Frequency,
    FigureName::PreFlow,
    FigureName::PostFlow,
    FigureName::Gas,
    FigureName::GasFlow,
    FigureName::FlowmeterReading,
    FigureName::TungstenType,
    FigureName::TungstenDiameter,
    FigureName::TipTaper,
    FigureName::TipAngle,
    FigureName::TipFlat,
    FigureName::StickOut,
    FigureName::Cup,
    FigureName::FillerMetal,
    FigureName::FillerDiameter,
    FigureName::Rods,
    FigureName::FillerMass,
    FigureName::LensShade,
    FigureName::ArcTime,
    FigureName::DutyCycle,
    FigureName::GasVolume,
    FigureName::Cost,
];

/// Figures that a sheet may do without: they stand in the table only when they say something.
const OPTIONAL: &[FigureName] = &[
    FigureName::FlowmeterReading,
    FigureName::TipTaper,
    FigureName::TipAngle,
    FigureName::TipFlat,
    FigureName::DutyCycle,
    FigureName::Cost,
];

/// An inch, mm.
const INCH: f64 = 25.4;

/// The settings table.
pub(super) fn settings(context: &Context<'_>) -> Table {
    let heads = ["item", "set", "range", "why-word", "read", "basis"];
    let mut table = table(context, "settings", &heads, &[1, 4]);
    for name in ROWS {
        if stands(context, *name) {
            table.rows.push(row(context, *name));
        }
    }
    table
}

/// Whether a figure has a row of its own here.
pub(super) fn stands(context: &Context<'_>, name: FigureName) -> bool {
    let figure = context.figure(name);
    let aim = |name| context.figure(name).and_then(Figure::aim);
    match name {
        // The amperage of each pass stands in section 6; here only the author's own value does.
        FigureName::Amperage => figure.is_some_and(|figure| figure.basis.is_none()),
        FigureName::TipAngle => figure.is_some() && context.figure(FigureName::TipTaper).is_none(),
        FigureName::FlowmeterReading => {
            figure.is_some() && aim(FigureName::FlowmeterReading) != aim(FigureName::GasFlow)
        }
        // Direct current has neither.
        FigureName::Balance | FigureName::Frequency => {
            figure.is_some()
                || context.figure(FigureName::Polarity).and_then(Figure::word).is_none_or(|polarity| polarity == "AC")
        }
        _ => figure.is_some() || !OPTIONAL.contains(&name),
    }
}

fn row(context: &Context<'_>, name: FigureName) -> Vec<Cell> {
    let Some(figure) = context.figure(name) else {
        let blank = context.cell(&Say::of("values", "not-worked-out").with("0", reason(context)));
        return vec![title(context, name), Cell::default(), Cell::default(), blank, Cell::default(), Cell::default()];
    };
    let (set, mut range) = show::figure_text(figure, context.system());
    let set = if name == FigureName::Cup { cup(context) } else { set };
    if let (FigureName::AmperageMax, Some(Value::Number(_))) = (name, figure.worked_out.as_ref()) {
        range = String::new();
    }
    vec![
        title(context, name),
        context.plain(set),
        context.plain(range),
        why(context, figure),
        Cell::default(),
        context.basis_cell(Some(figure)),
    ]
}

/// The cup with the gas lens, or without.
pub(super) fn cup(context: &Context<'_>) -> String {
    let Some(number) = context.figure(FigureName::Cup).and_then(Figure::aim) else { return context.blank() };
    let lens = context.figure(FigureName::GasLens).map(|figure| figure.value.clone());
    let key = if lens == Some(Value::Flag(false)) { "cup-plain" } else { "cup-lens" };
    context.cell(&Say::of("values", key).with("0", units_show::number(number, 0))).text
}

pub(super) fn title(context: &Context<'_>, name: FigureName) -> Cell {
    let remote = context.machine().and_then(|machine| machine.remote.as_ref()).map(|at| at.value);
    let key = match (name, remote) {
        (FigureName::AmperageMax, Some(Remote::Pedal)) => "amperage_max/title-pedal".to_owned(),
        (FigureName::AmperageMax, Some(Remote::Fingertip)) => "amperage_max/title-fingertip".to_owned(),
        _ => format!("{}/title", name.key()),
    };
    let mut say = Say::of("figures", key);
    let currency = context.kit().and_then(|kit| kit.shop.currency.as_ref());
    if let (FigureName::Cost, Some(currency)) = (name, currency) {
        say = Say::of("figures", "cost/title-currency").with("currency", currency.value.clone());
    }
    let rod = context.part(FigureName::Rods, "rod-length").filter(|_| name == FigureName::Rods);
    if let Some((length, _)) = rod {
        // A length as it is sold: whole inches.
        let inches = units_show::round_to(length, INCH, units_show::Toward::Nearest);
        let [metres, inches] =
            [(length, Unit::Metre), (inches, Unit::Inch)].map(|(length, unit)| units_show::in_unit(mm(length), unit));
        let length = format!("{metres} ({inches})");
        say = Say::of("figures", "rods/title-length").with("length", length);
    }
    context.cell(&say)
}

/// Why, in a word: the author's reason, what cut the value, or the words of the figure.
fn why(context: &Context<'_>, figure: &Figure) -> Cell {
    if let Some(because) = &figure.because {
        return context.plain(because.clone());
    }
    let name = figure.name;
    let cut = figure.working.iter().rev().find_map(|line| match line.words {
        "machine-ends" => Some(("why-machine", line.args.first())),
        "torch-ends" => Some(("why-torch", line.args.first())),
        "shelf-ends" => Some(("why-shelf", line.args.first())),
        _ => None,
    });
    let say = match (name, cut) {
        (FigureName::AmperageMax, Some((key, by))) => {
            Say::of("figures", format!("amperage_max/{key}")).with("by", by.cloned().unwrap_or_default())
        }
        (FigureName::Balance, _) => return balance(context, figure),
        (FigureName::DutyCycle, _) => {
            let minutes = figure.aim().map_or_else(|| context.blank(), |share| show::bare(share / 10.0, "min"));
            Say::of("figures", "duty_cycle/why").with("minutes", minutes)
        }
        (FigureName::TungstenDiameter, _) => tungsten(figure),
        (FigureName::FillerDiameter, _) if outside(figure) => Say::of("figures", "filler_diameter/why-shelf"),
        _ => Say::of("figures", format!("{}/why", name.key())),
    };
    context.cell(&say)
}

/// Whether what is set lies outside its own range: the shelf had nothing nearer.
fn outside(figure: &Figure) -> bool {
    match figure.value {
        Value::Range { low, high, set } => set < low - 0.01 || set > high + 0.01,
        _ => false,
    }
}

fn tungsten(figure: &Figure) -> Say {
    match figure.maximum {
        Some(most) => Say::of("figures", "tungsten_diameter/why-most").with("most", show::bare(most, "A")),
        None => Say::of("figures", "tungsten_diameter/why"),
    }
}

/// Which surface asks for the balance, and which share the panel counts.
fn balance(context: &Context<'_>, figure: &Figure) -> Cell {
    let led = figure.working.iter().find_map(|line| match line.words {
        "balance-dirty" | "balance-bright-casting" | "balance-clean-wrought" => Some(line.words),
        _ => None,
    });
    let why = led.map_or_else(|| "balance/why".to_owned(), |led| format!("balance/why-{led}"));
    let why = context.text("figures", &why);
    let counts = context.machine().and_then(|machine| machine.balance.as_ref()).map(|at| at.value.counts.value);
    match counts {
        Some(counts) => {
            let key = if counts == Counts::En { "balance/counts-en" } else { "balance/counts-ep" };
            let ep = figure.aim().map(|aim| format!("{} %", units_show::number(100.0 - aim, 0)));
            context.cell(&Say::of("figures", key).with("why", why).with("ep", ep.unwrap_or_default()))
        }
        None => context.plain(why),
    }
}
