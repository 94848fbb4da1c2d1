//! Opening up: the step that cuts, the table of the opening, and how the pieces are fitted.

use super::context::{Context, Say};
use super::facts::feature;
use super::writer::{Writer, table};
use super::{Cell, Table};
use crate::engine::opening::root_gap;
use crate::engine::{Figure, FigureName};
use crate::findings::Code;
use crate::reference::search::constant;
use crate::rules::{metals, warming};
use crate::spec::{DamageKind, Joint, Surface};
use crate::units::{InUnits, Range, degrees, mm, show};

/// Writes the cutting, its table, and the fitting.
pub(super) fn opening(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let case = case(context);
    let say = writer.say("open", case).with("tool", context.tool());
    writer.say_step("open", say);
    super::cause::cut(writer);
    super::attempt::cut(writer);
    if context.figure(FigureName::StopHole).is_some() {
        writer.step("cone");
    }
    if warming::heavy_side(context.job) {
        writer.step("taper");
    }
    match context.figure(FigureName::Groove) {
        Some(figure) => {
            writer.table(groove(context, figure));
            run_out(writer);
        }
        None => blank(writer),
    }
    writer.step("burr");
    burn_out(writer);
    if let Some(case) = fit(context) {
        writer.step_case("fit", case);
    }
}

/// A casting of iron that is soaked with oil is burnt out before its opening is tested: oil keeps the dye out of cracks.
fn burn_out(writer: &mut Writer<'_, '_>) {
    if metals::burnt_out(writer.context.job) {
        writer.step("burn-out");
    }
}

/// Which wording the cut takes.
fn case(context: &Context<'_>) -> &'static str {
    let old_weld = context.kind() == Some(DamageKind::FailedWeld) || context.surface_is(Surface::EarlierWeld);
    let shape = context.figure(FigureName::Groove).and_then(Figure::word);
    match (context.job.joint, context.kind()) {
        (Joint::Groove, _) if context.two_sided() => "groove",
        (Joint::Groove, _) => "groove-one",
        (Joint::Pad, Some(DamageKind::MissingPiece)) => "pad-edge",
        (Joint::Pad, _) => "pad",
        (Joint::Plug, Some(DamageKind::StrippedThread)) => "plug-thread",
        (Joint::Plug, _) => "plug-hole",
        (_, Some(DamageKind::CorrosionPitting)) => "pits",
        (Joint::Butt, _) if shape == Some("V groove") => "butt-V",
        (Joint::Butt, _) if context.is_crack() => "butt-crack",
        (Joint::Butt, _) => "butt",
        (Joint::Fillet, Some(DamageKind::BrokenLug)) => "seam-lug",
        _ if old_weld => "seam",
        _ => "seam-new",
    }
}

fn fit(context: &Context<'_>) -> Option<&'static str> {
    let patch = context.figure(FigureName::Groove).and_then(Figure::word) == Some("patch");
    match (context.job.joint, context.kind()) {
        // What is built up with rod has no piece to fit.
        (Joint::Pad, _) => None,
        (_, Some(DamageKind::BrokenLug)) => Some("lug"),
        (_, Some(DamageKind::MissingPiece)) => Some("piece"),
        (Joint::Plug, _) if patch => Some("disc"),
        (Joint::Lap, _) => Some("lap"),
        (Joint::Corner | Joint::Edge, _) => Some("corner"),
        _ => None,
    }
}

/// A part of the opening, as it is printed.
fn part(context: &Context<'_>, key: &str) -> Option<String> {
    let (number, unit) = context.part(FigureName::Groove, key)?;
    Some(match unit {
        "mm" => super::show::by_hand(number, context.system()),
        "deg" => show::both(degrees(number), context.system()),
        _ => super::show::bare(number, unit),
    })
}

/// The table of the opening.
fn groove(context: &Context<'_>, figure: &Figure) -> Table {
    let two = context.part(FigureName::Groove, "depth-2").is_some();
    let heads: &[&str] = if two { &["opening", "side-1", "side-2", "basis"] } else { &["opening", "cut", "basis"] };
    let mut table = table(context, "groove", heads, &[]);
    let shape = figure.word().unwrap_or_default().to_owned();
    let mut row = |item: String, values: [Option<String>; 2]| {
        let [first, second] = values;
        let Some(first) = first else { return };
        let mut cells = vec![context.plain(item), context.plain(first)];
        if two {
            cells.push(context.plain(second.unwrap_or_default()));
        }
        cells.push(context.basis_cell(Some(figure)));
        table.rows.push(cells);
    };
    let name = |key: &str| context.text("sections", &format!("groove/{key}"));
    let both = |key: &str| [part(context, &format!("{key}-1")), part(context, &format!("{key}-2"))];
    let alike = |key: &str| [part(context, key), part(context, key)];
    let has_depth = !matches!(shape.as_str(), "fillet" | "pad" | "patch" | "square butt");
    if has_depth {
        let [first, second] = both("depth");
        let into = second.map(|depth| context.cell(&Say::of("sections", "groove/into-weld").with("0", depth)).text);
        row(name("depth"), [first, into]);
        row(name("left"), left(context, two));
    }
    if context.part(FigureName::Groove, "left-1").is_some_and(|(left, _)| left < 0.05) {
        let gap = root_gap(context.job).and_then(|(_, key)| constant(key)).and_then(|gap| gap.range);
        let text = gap.map(|[low, high]| show::range_both(Range::new(mm(low), mm(high)), context.system()));
        row(name("gap"), [text, None]);
    }
    row(name("angle"), alike("angle"));
    row(name("radius"), alike("radius"));
    let width = match shape.as_str() {
        "fillet" => "leg",
        "patch" => "disc",
        "pad" => "pad-width",
        _ => "width",
    };
    if shape != "square butt" {
        row(name(width), both("width"));
    }
    let length = match shape.as_str() {
        "pad" => name("pad-length"),
        _ if has_depth => full_length(context),
        _ => name("seam"),
    };
    // The wall of a filled hole has no length that anybody measures.
    if shape != "plug" {
        row(length, both("full-length"));
    }
    row(name("run-out"), both("run-out"));
    row(name("layers"), [part(context, "layers").map(|layers| layers_text(context, layers)), None]);
    if shape == "pad" {
        let hand = |height: f64| super::show::by_hand(height, context.system());
        row(name("pad-height"), [super::drawing::line(context, "pad-height").map(hand), None]);
        row(name("pad-machined"), [super::drawing::line(context, "machining-allowance").map(hand), None]);
    }
    table
}

/// Beads side by side in each layer of a pad, where that was worked out.
fn beads_of_layer(context: &Context<'_>) -> Option<f64> {
    let passes = context.figure(FigureName::Passes).map_or(&[][..], |figure| figure.working.as_slice());
    passes.iter().find(|line| line.words == "beads-side-by-side").and_then(|line| line.number)
}

/// Whether each layer of a pad is a single bead.
pub(super) fn one_bead(context: &Context<'_>) -> bool {
    beads_of_layer(context).is_some_and(|beads| beads <= 1.0)
}

/// The layers of a pad, and the beads of each.
fn layers_text(context: &Context<'_>, layers: String) -> String {
    match beads_of_layer(context).filter(|wide| *wide > 1.0) {
        Some(wide) => {
            let say = Say::of("sections", "groove/layers-of").with("0", layers).with("1", show::number(wide, 0));
            context.cell(&say).text
        }
        None => layers,
    }
}

/// What is left below each side.
fn left(context: &Context<'_>, two: bool) -> [Option<String>; 2] {
    let first = part(context, "left-1");
    if two {
        let key = if context.is_crack() { "nothing-left" } else { "nothing-below" };
        return [first, Some(context.text("sections", &format!("groove/{key}")))];
    }
    let nothing = context.part(FigureName::Groove, "left-1").is_some_and(|(left, _)| left < 0.05);
    [if nothing { Some(context.text("sections", "groove/all-through")) } else { first }, None]
}

/// What the full depth runs over.
fn full_length(context: &Context<'_>) -> String {
    let key = match (context.is_crack(), context.tips()) {
        (true, Some(1)) => "full-length-edge",
        (true, Some(0)) | (false, _) => "full-length",
        (true, _) => "full-length-crack",
    };
    let past = part(context, "past-tip");
    let key = if past.is_none() { "full-length" } else { key };
    context.cell(&Say::of("sections", format!("groove/{key}")).with("past", past.unwrap_or_default())).text
}

/// How far the run-out stays clear of what must be kept.
fn run_out(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    let get = |key: &str| context.part(FigureName::Groove, key).map(|(number, _)| number);
    if let (true, Some(past), Some(out)) = (context.is_crack(), get("past-tip"), get("run-out-1")) {
        let end = past + out;
        let both = |length: f64| super::show::by_hand(length, context.system());
        for keep in context.keeps() {
            let Some(distance) = keep.distance.as_ref().map(|at| at.value.value().in_mm()) else { continue };
            let key = if distance > end { "run-out" } else { "run-out-short" };
            let say = Say::of("advice", format!("opening/{key}"))
                .with("past", both(end))
                .with("left", both(distance - end))
                .with("distance", both(distance))
                .with("feature", feature(keep));
            writer.text(say);
        }
    }
    if context.figure(FigureName::StopHole).is_some() {
        let key = if context.is_groove() { "opening/stop-hole" } else { "opening/stop-hole-seam" };
        writer.text(Say::of("advice", key));
    }
}

/// The opening could not be worked out: boxes to write down what is cut.
fn blank(writer: &mut Writer<'_, '_>) {
    let context = writer.context;
    writer.text(Say::of("advice", "opening/no-figure").with("reason", reason(context)));
    let mut table = table(context, "groove", &["opening", "cut"], &[1]);
    for key in ["depth", "left", "width", "full-length"] {
        let item = context.text("sections", &format!("groove/{key}"));
        table.rows.push(vec![context.plain(item), Cell::default()]);
    }
    writer.table(table);
}

/// Why figures of the damage are missing, in the words of the finding that says so.
pub(super) fn reason(context: &Context<'_>) -> String {
    let codes = [Code::DamageNeeds, Code::SettingNotComputed, Code::MetalMissing, Code::MetalFamily];
    let of = |code: Code| context.worked.findings.iter().find(|finding| finding.code == code);
    codes.into_iter().find_map(of).map_or_else(|| context.text("values", "unknown"), |finding| finding.message.clone())
}
