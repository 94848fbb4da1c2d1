//! Published electrodes as the engine chooses among them: the diameter for the middle of a printed range, what is ever
//! aimed at with it, and the tip on DCEN.

use crate::rows::{Outcome, read};
use crate::sources::{self, Told};
use interpass::engine::tungsten::{self, Need};
use interpass::engine::work::constant;
use interpass::engine::{Figure, FigureName};
use interpass::reference::Polarity;
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct CurrentRow {
    id: String,
    diameter: f64,
    polarity: Polarity,
    balance: Option<f64>,
    kind: String,
    current: [f64; 2],
    basis: String,
}

#[derive(Debug, Deserialize)]
struct TipRow {
    id: String,
    diameter: f64,
    flat: f64,
    angle: f64,
    current: [f64; 2],
    #[serde(flatten)]
    told: Told,
}

/// All checks of this file.
pub(crate) fn all() -> Vec<(String, String, Option<Outcome>)> {
    let mut out = Vec::new();
    for row in read::<CurrentRow>(include_str!("tungsten.toml"), "tungsten") {
        let asked = row.kind == "oxide" && row.basis == "published" && row.polarity != Polarity::DCEP;
        if asked {
            out.extend(of_current(&row));
        }
    }
    for row in read::<TipRow>(include_str!("tips.toml"), "tip") {
        sources::check(&row.id, &row.told);
        out.extend(of_tip(&row));
    }
    out.into_iter().map(|outcome| ("electrode".to_owned(), outcome.id.clone(), Some(outcome))).collect()
}

fn of_current(row: &CurrentRow) -> Vec<Outcome> {
    let balance = row.balance.unwrap_or(100.0);
    let [low, high] = row.current;
    let middle = f64::midpoint(low, high);
    let need = Need { polarity: row.polarity, balance, low: middle, aim: middle, high: middle, helium: 0.0 };
    let chosen = tungsten::diameter(need, &[]).map(|chosen| chosen.capacity.diameter);
    let same = chosen.is_some_and(|chosen| (chosen - row.diameter).abs() < 0.01);
    let got = chosen.map_or("none".to_owned(), |chosen| format!("{chosen} mm"));
    let mut out = vec![Outcome::new(
        &format!("{}@choice", row.id),
        same,
        format!("{got} for {middle} A, not {} mm", row.diameter),
    )];
    if let Some(capacity) = tungsten::capacity(row.diameter, row.polarity, balance) {
        // The highest current that is ever aimed at with this diameter.
        let aim = capacity.high * constant("tungsten-load").value;
        out.push(Outcome::new(&format!("{}@load", row.id), aim <= high, format!("up to {aim} A, not over {high}")));
    }
    out
}

/// At the upper end of a row the tip is that of the row, as near as the figures are rounded: 5 degrees, 0.1 mm.
fn of_tip(row: &TipRow) -> Vec<Outcome> {
    let figures = tungsten::tip(Polarity::DCEN, row.diameter, row.current[1]);
    let aim = |name| figures.iter().find(|figure| figure.name == name).and_then(Figure::aim).unwrap_or(f64::NAN);
    let (angle, flat) = (aim(FigureName::TipAngle), aim(FigureName::TipFlat));
    vec![
        Outcome::new(
            &format!("{}@angle", row.id),
            (angle - row.angle).abs() <= 2.5,
            format!("{angle} degrees, not {}", row.angle),
        ),
        Outcome::new(
            &format!("{}@flat", row.id),
            (flat - row.flat).abs() <= 0.0501,
            format!("{flat} mm, not {}", row.flat),
        ),
    ]
}
