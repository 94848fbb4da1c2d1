//! Advice and boxes of section 6: position, edge, uneven metal, what to watch in the pool, when to stop and scrap.

use super::context::{Context, Say};
use super::decide::{chase, chase_text, cut_may_grow};
use super::facts::feature;
use super::weld_tables::edge_share;
use super::writer::Writer;
use super::{Block, Cell};
use crate::engine::FigureName;
use crate::reference::Class;
use crate::rules::{metals, warming};
use crate::spec::{Form, Joint, Keep, Site};
use crate::units::{InUnits, mm, show};

/// Distances from a free edge that shares of the amperage are given for, mm: those of the engine's working.
const EDGE_DISTANCES: [f64; 3] = [5.0, 10.0, 20.0];

/// Paragraphs that stand before the pass table.
pub(super) fn advice(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    if context.to_edge() || context.size("edge").is_some() {
        edge(writer);
    } else if super::weld::edge_pad(context) {
        writer.text(Say::of("advice", "edge/pad"));
    }
    let position = context.job.position.word();
    if context.words.get("advice", &format!("position/{position}")).is_some() {
        // Where to aim between two steels is said of the pair.
        if !(position == "PB" && super::set_up::stainless_pair(context)) {
            writer.text(Say::of("advice", format!("position/{position}")));
        }
        if context.movable() {
            writer.text(Say::of("advice", "position/movable"));
        }
    }
    super::other::advice(writer);
    if let Some(ratio) = warming::beside_ratio(context.job).filter(|_| warming::uneven(context.job)) {
        writer.text(Say::of("advice", "beside/text").with("ratio", show::trimmed(show::number(ratio, 1))));
    }
}

fn edge(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let Some(shares) = edge_share(context) else {
        writer.text(Say::of("advice", "edge/plain"));
        return;
    };
    let factors = EDGE_DISTANCES.into_iter().zip(shares).rev().map(|(distance, share)| {
        let say = Say::of("advice", "edge/factor")
            .with("distance", super::show::roughly(distance, context.system()))
            .with("factor", show::trimmed(show::number(share, 2)));
        context.cell(&say).text
    });
    let factors: Vec<String> = factors.collect();
    let say = Say::of("advice", "edge/text").with("factors", factors.join(", "));
    writer.text(say.figure(context.figure(FigureName::Amperage)));
}

/// Wall up to which a dug-out speck goes through it, mm: common practice.
const THIN: f64 = 3.0;

/// Whether metal is laid on a solid bar, which no pool falls through.
fn solid(context: &Context<'_>) -> bool {
    let bar = context.spec().metal.form.as_ref().is_some_and(|at| at.value == Form::Bar);
    bar && context.job.joint == Joint::Pad
}

/// What the pool says, and what to do.
pub(super) fn watch(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let class = context.job.class();
    let thin = context.job.thickness.is_some_and(|wall| wall <= THIN) && class != Class::Aluminium;
    let mut keys = vec!["skin", if thin { "thin-touch" } else { "touch" }, "spits", "crater"];
    // What the metal itself does when something is wrong.
    match class {
        Class::CastIron => keys.push("ping"),
        Class::Magnesium => keys.push("burns"),
        Class::Stainless | Class::Nickel if context.purged() => keys.push("sugar"),
        Class::Titanium => keys.push("blue"),
        Class::Copper if metals::boils_zinc(context.job) => keys.push("smoke"),
        _ => {}
    }
    if metals::tested_by_magnet(context.job) {
        keys.push("blown");
    }
    let land = context.part(FigureName::Groove, "left-1").is_none_or(|(left, _)| left > 0.0);
    if context.is_groove() && land {
        keys.insert(0, "land");
    }
    if context.passes().is_empty() || !(context.is_groove() || solid(context)) {
        keys.insert(0, "through");
    }
    if context.is_casting() || context.oil_soaked() {
        keys.extend(["specks", "foam"]);
    }
    if context.is_die_casting() {
        keys.push("blister");
    }
    let open =
        context.spec().place.site.as_ref().is_some_and(|at| matches!(at.value, Site::Outdoors | Site::OnTheBoat));
    if open {
        keys.push("wind");
    }
    let items: Vec<Cell> = keys.iter().map(|key| context.cell(&Say::of("advice", format!("watch/{key}")))).collect();
    let title = context.text("advice", "watch/title");
    writer.block(Block::Alert { title, items });
}

/// When the part is scrap: a box that must not be missed.
pub(super) fn scrap(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let mut items: Vec<Cell> = Vec::new();
    if context.is_crack() {
        items.push(context.cell(&Say::of("advice", "scrap/runs")));
    }
    if context.is_crack() || cut_may_grow(context) {
        items.push(context.cell(&chase_line(context)));
    }
    // A face that is itself built up is reached on purpose.
    let away = |keep: &&Keep| keep.distance.as_ref().is_none_or(|at| at.value.value().in_mm() > 0.0);
    for keep in context.keeps().filter(away) {
        items.push(context.cell(&Say::of("advice", "scrap/keep").with("feature", feature(keep))));
    }
    if solid(context) {
        items.push(context.cell(&Say::of("advice", "scrap/deeper")));
    } else {
        items.push(context.cell(&wall_line(context)));
    }
    let mut keys = vec!["dig-outs"];
    if context.oil_soaked() {
        keys.push("oil");
    }
    if context.spec().approval.is_none() {
        keys.push("attempt");
    }
    items.extend(keys.into_iter().map(|key| context.cell(&Say::of("advice", format!("scrap/{key}")))));
    let title = context.text("advice", "scrap/title");
    writer.block(Block::Alert { title, items });
}

fn chase_line(context: &Context<'_>) -> Say {
    match chase(context) {
        Some((chase, Some(keep))) => Say::of("advice", "scrap/chase-keep")
            .with("chase", chase_text(context, chase))
            .with("feature", feature(keep)),
        Some((chase, None)) => Say::of("advice", "scrap/chase").with("chase", chase_text(context, chase)),
        None => Say::of("advice", "scrap/chase-open"),
    }
}

fn wall_line(context: &Context<'_>) -> Say {
    match context.job.thickness {
        Some(wall) => Say::of("advice", "scrap/wall")
            .with("half", show::limit_both(mm(wall / 2.0), context.system(), show::Toward::Up)),
        None => Say::of("advice", "scrap/wall-open"),
    }
}
