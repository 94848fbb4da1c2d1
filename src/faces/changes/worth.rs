//! What a changed setting was and is, in few words: its aim, its range where the aim alone does not tell, its parts.

use super::text;
use crate::changes::Setting;
use crate::engine::{Figure, FigureName, PassKind};
use crate::sheet::show::{bare, figure_text, one};
use crate::sheet::words::english;
use crate::units::{System, show};

/// Limits of acceptance that are told; how many more there are is said.
const TOLD: usize = 3;

/// Old and new, in words that differ.
pub(super) fn pair(setting: &Setting, system: System) -> (String, String) {
    let none = || text("gone", &[]);
    let (old, new) = (setting.old.as_ref(), setting.new.as_ref());
    let brief = |figure: Option<&Figure>| figure.map_or_else(none, |figure| short(figure, system));
    let (a, b) = (brief(old), brief(new));
    if a != b {
        return (a, b);
    }
    let ranged = |figure: Option<&Figure>| {
        figure.map_or_else(none, |figure| {
            let (set, range) = figure_text(figure, system);
            if range.is_empty() { set } else { format!("{set}; {range}") }
        })
    };
    let (a, b) = (ranged(old), ranged(new));
    if a != b {
        return (a, b);
    }
    let parts = |own: Option<&Figure>, other: Option<&Figure>| match (own, other) {
        (Some(own), Some(other)) => differing(own, other, system),
        _ => none(),
    };
    (parts(old, new), parts(new, old))
}

fn short(figure: &Figure, system: System) -> String {
    match figure.name {
        FigureName::Passes => passes(figure, system),
        FigureName::Groove => groove(figure, system),
        _ => figure_text(figure, system).0,
    }
}

/// How many passes, and what fill and cap are run at, cold and warm.
fn passes(figure: &Figure, system: System) -> String {
    let count = figure.passes.len().to_string();
    let fill = figure.passes.iter().find(|pass| matches!(pass.kind, PassKind::Fill | PassKind::Cap));
    match fill {
        Some(pass) => {
            let [start, warm] = [pass.start, pass.warm].map(|[_, set, _]| one(FigureName::Amperage, set, system));
            text("passes", &[("count", &count), ("start", &start), ("warm", &warm)])
        }
        None => text("passes-only", &[("count", &count)]),
    }
}

/// Shape and depth of each side.
fn groove(figure: &Figure, system: System) -> String {
    let shape = figure_text(figure, system).0;
    let depth = |key| {
        let part = figure.parts.iter().find(|(own, ..)| *own == key);
        part.map(|(_, number, _)| show::both(crate::units::mm(*number), system))
    };
    match (depth("depth-1"), depth("depth-2")) {
        (Some(depth), Some(second)) => text("depths", &[("shape", &shape), ("depth", &depth), ("second", &second)]),
        (Some(depth), None) => text("depth", &[("shape", &shape), ("depth", &depth)]),
        (None, _) => shape,
    }
}

/// The parts and limits of a figure that differ from those of another.
fn differing(own: &Figure, other: &Figure, system: System) -> String {
    let parts = own.parts.iter().filter(|part| !other.parts.contains(part));
    let named = |key: &str| {
        let flaw = english().get("sections", &format!("flaw/{key}")).map(str::to_lowercase);
        flaw.unwrap_or_else(|| key.replace('-', " "))
    };
    let shown = |number: f64, unit: &str| match unit {
        "mm" => show::both(crate::units::mm(number), system),
        _ => bare(number, unit),
    };
    let mut all: Vec<String> =
        parts.map(|(key, number, unit)| format!("{} {}", named(key), shown(*number, unit))).collect();
    let more = all.len().saturating_sub(TOLD);
    all.truncate(TOLD);
    let list = all.join(", ");
    if more == 0 { list } else { text("more", &[("list", &list), ("count", &more.to_string())]) }
}
