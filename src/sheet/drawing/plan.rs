//! Drawing 2: the damage from above, with what is cut, what must stay, and the zone to clean and to test.

use super::labels::{Label, Point, SIZE, width};
use super::svg::{Canvas, Hatch, Pen};
use super::{Drawing, Words, circle, lead, part, ratio, scale, value};
use crate::engine::{Figure, FigureName};
use crate::sheet::context::Context;
use crate::sheet::facts::{feature, is_bore};
use crate::spec::DamageKind;
use crate::units::InUnits;

/// Scales of a plan, large first.
const SCALES: &[f64] = &[4.0, 3.0, 2.0, 1.5, 1.0, 0.5, 0.4, 0.25, 0.2, 0.1, 0.05, 0.02];
const LEFT: f64 = 8.0;
const ROOM: f64 = 104.0;

/// Draws the plan; none where the damage is not measured.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    context.kind()?;
    let shape = context.figure(FigureName::Groove).and_then(Figure::word);
    match shape {
        Some("plug" | "patch") => round(context),
        Some("pad") if size(context, "diameter").is_some() => round(context),
        Some("pad") => pad(context),
        _ => line(context),
    }
}

fn size(context: &Context<'_>, key: &str) -> Option<f64> {
    context.size(key).map(|amount| amount.value().in_mm()).filter(|size| *size > 0.0)
}

/// From mm along and across the damage to the paper.
#[derive(Debug, Clone, Copy)]
struct Map {
    scale: f64,
    start: f64,
}

impl Map {
    fn at(self, (x, y): Point) -> Point {
        (LEFT + (x - self.start) * self.scale, y * self.scale)
    }

    fn x(self, x: f64) -> f64 {
        self.at((x, 0.0)).0
    }

    fn all(self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.at(*point)).collect()
    }
}

/// A damage with a length: its ends, and how far the opening goes.
struct Line {
    length: f64,
    /// Whether the opening runs past the left and the right end, into the metal.
    inner: [bool; 2],
    /// Whether the left and the right end lie at an edge of the part.
    edges: [bool; 2],
    past: f64,
    run_out: f64,
    /// Half the width of the opening at the face.
    half: f64,
    zone: f64,
    /// How far the free edge beside it lies off.
    edge: Option<f64>,
}

impl Line {
    /// Where the opening ends on the left and on the right, with its run-outs.
    fn ends(&self) -> [f64; 2] {
        let beyond = |inner: bool| if inner { self.past + self.run_out } else { 0.0 };
        [-beyond(self.inner[0]), self.length + beyond(self.inner[1])]
    }

    /// How far the zone goes on the left and on the right.
    fn rim(&self) -> [f64; 2] {
        let [start, end] = self.ends();
        let [left, right] = self.edges;
        [if left { 0.0 } else { start - self.zone }, if right { self.length } else { end + self.zone }]
    }

    fn full(&self) -> [f64; 2] {
        let beyond = |inner: bool| if inner { self.past } else { 0.0 };
        [-beyond(self.inner[0]), self.length + beyond(self.inner[1])]
    }
}

/// The size of a damage as the spec states it, in the system that comes first.
fn line_of(context: &Context<'_>) -> Option<Line> {
    let length = size(context, "length")?;
    let past = part(context, "past-tip").unwrap_or(0.0);
    let full = part(context, "full-length-1").unwrap_or(length);
    // What the opening is longer than the damage tells how many ends lie inside the metal.
    let inner = if past > 0.0 { ((full - length) / past + 0.5).max(0.0) } else { 0.0 };
    let grooved = context.figure(FigureName::Groove).and_then(Figure::word) == Some("U groove");
    let inner = if grooved { [inner >= 2.0, inner >= 1.0] } else { [false, false] };
    // An end that nobody has described is drawn as an end in the metal, never as an edge.
    let edges = match (context.kind(), context.tips()) {
        (Some(DamageKind::Crack), Some(0)) | (Some(DamageKind::BrokenLug), _) => [true, true],
        (Some(DamageKind::Crack), Some(1)) => [true, false],
        _ => [false, false],
    };
    let half =
        if grooved || part(context, "angle").is_some() { part(context, "width-1").unwrap_or(0.0) / 2.0 } else { 0.0 };
    let zone = value("test-zone")?;
    let edge = size(context, "edge");
    Some(Line { length, inner, edges, past, run_out: part(context, "run-out-1").unwrap_or(0.0), half, zone, edge })
}

fn line(context: &Context<'_>) -> Option<Drawing> {
    let line = line_of(context)?;
    let crack = context.is_crack();
    let [low, high] = line.rim();
    // The kept feature belongs on the plan where it is near enough to matter.
    let keep = context.keeps().filter_map(|keep| Some((keep, keep.distance.as_ref()?.value.value().in_mm())));
    let keep = keep.filter(|(_, distance)| line.length + distance < high + 2.0 * line.zone);
    let keep = keep.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|_| !line.edges[1]);
    let reach = keep.map_or(high, |(_, distance)| high.max(line.length + distance + 12.0));
    let size = scale(reach - low, ROOM, SCALES).min(scale(2.0 * (line.half + line.zone), 64.0, SCALES));
    let map = Map { scale: size, start: low };
    let mut canvas = Canvas::new();
    let mut words = Words::new(context, "d2");
    zone(&mut canvas, &words, map, &line);
    edges(&mut canvas, &words, map, &line, [low, reach]);
    opening(&mut canvas, map, &line);
    crack_line(&mut canvas, map, &line, crack);
    let damage = context.damage();
    let long = words.exact(line.length);
    words.tell(
        if crack { "crack-told" } else { "seam-told" },
        &[("damage", damage.as_str()), ("length", long.as_str())],
    );
    if crack {
        let key = match context.tips() {
            Some(0) => Some("tips-none"),
            Some(1) => Some("tips-one"),
            Some(_) => Some("tips-two"),
            None => None,
        };
        key.into_iter().for_each(|key| words.tell(key, &[]));
    }
    dimensions(&mut canvas, &mut words, map, &line, crack);
    stop_holes(&mut canvas, &mut words, map, &line);
    if let Some((keep, distance)) = keep {
        let x = line.length + distance;
        kept(&mut canvas, &words, map, &line, (x, is_bore(keep)), &feature(keep));
        let (name, far) = (feature(keep), words.exact(distance));
        words.tell("feature-told", &[("feature", name.as_str()), ("distance", far.as_str())]);
    }
    let zone_text = words.paced(line.zone);
    words.tell("zone-told", &[("zone", zone_text.as_str())]);
    let title = match (crack, line.edges) {
        (true, [true, false]) => words.text("title-crack-edge", &[]),
        (true, _) => words.text("title-crack", &[]),
        (false, _) => words.text("title-other", &[("damage", damage.as_str())]),
    };
    canvas.finish("d2", title, words.description())
}

/// The zone round the opening, as far as there is metal.
fn zone(canvas: &mut Canvas, words: &Words<'_, '_>, map: Map, line: &Line) {
    let up = line.half + line.zone;
    let down = line.edge.map_or(up, |edge| up.min(edge.max(line.half)));
    let [left, right] = line.rim();
    canvas.line(Pen::Chain, &map.all(&[(left, -up), (right, -up)]));
    if !line.edges[1] {
        canvas.line(Pen::Chain, &map.all(&[(right, -up), (right, down)]));
    }
    if !line.edges[0] {
        canvas.line(Pen::Chain, &map.all(&[(left, -up), (left, down)]));
    }
    if down >= up - 1e-9 {
        canvas.line(Pen::Chain, &map.all(&[(left, down), (right, down)]));
    }
    let text = words.text("zone", &[("zone", lead(&words.paced(line.zone)))]);
    let spot = map.at((left + (right - left) * 0.3, -up));
    let label = Label::new(&text).in_lines(14);
    let (wide, high) = label.extent();
    // Inside, under the upper rim; else over it.
    let x = map.at((left, 0.0)).0 + wide / 2.0 + 2.0;
    let label = label.home((x, spot.1 + high / 2.0 + 1.4)).home((x, map.at((0.0, down)).1 - high / 2.0 - 1.4));
    canvas.label(label.home((x, spot.1 - high / 2.0 - 1.4)).to(spot));
}

/// The edges of the part, hatched along their inside.
fn edges(canvas: &mut Canvas, words: &Words<'_, '_>, map: Map, line: &Line, [low, high]: [f64; 2]) {
    let reach = line.half + line.zone * 1.15;
    let down = line.edge.map_or(reach, |edge| reach.min(edge.max(line.half)));
    let band = 2.4 / map.scale;
    for (edge, x, way) in [(line.edges[0], 0.0, -1.0), (line.edges[1], line.length, 1.0)] {
        if !edge {
            continue;
        }
        let (top, bottom) = (map.at((x, -reach)), map.at((x, down)));
        canvas.line(Pen::Edge, &[top, bottom]);
        // Outside of the part, so that nothing of the plan is covered.
        let out = map.at((x + way * band, 0.0)).0;
        canvas.hatch(Hatch::Up, &[(top.0, top.1), (out, top.1), (out, bottom.1), (top.0, bottom.1)], &[], 1.6);
        let text = words.text("edge", &[]);
        let (_, tall) = Label::new(&text).extent();
        let wide = width(&text, SIZE, false);
        let home = (top.0 - way * (wide / 2.0 - 2.0), top.1 - tall / 2.0 - 1.0);
        canvas.label(Label::new(&text).home(home).to(top));
    }
    let Some(edge) = line.edge.filter(|edge| *edge <= reach) else { return };
    canvas.line(Pen::Edge, &map.all(&[(low, edge), (high, edge)]));
    let text = words.text("edge-distance", &[("distance", lead(&words.exact(edge)))]);
    let x = line.length * 0.8;
    canvas.label(Label::new(&text).to(map.at((x, edge))));
}

/// The rim of the opening at the face, with its run-outs.
fn opening(canvas: &mut Canvas, map: Map, line: &Line) {
    if line.half <= 0.0 {
        return;
    }
    let ([start, end], [from, to], half) = (line.ends(), line.full(), line.half);
    let mut upper = vec![(from, -half), (to, -half)];
    let mut lower = vec![(to, half), (from, half)];
    if line.inner[1] {
        // A cutter leaves a round nose where it runs out.
        upper.extend([(f64::midpoint(to, end), -half * 0.75), (end - (end - to) * 0.1, -half * 0.25), (end, 0.0)]);
        lower.splice(0..0, [(end - (end - to) * 0.1, half * 0.25), (f64::midpoint(to, end), half * 0.75)]);
    }
    if line.inner[0] {
        lower.extend([
            (f64::midpoint(from, start), half * 0.75),
            (start + (from - start) * 0.1, half * 0.25),
            (start, 0.0),
        ]);
        upper.splice(0..0, [(start + (from - start) * 0.1, -half * 0.25), (f64::midpoint(from, start), -half * 0.75)]);
    }
    upper.extend(lower);
    canvas.outline(Pen::Phantom, &map.all(&upper));
}

/// The damage itself: a zigzag for a crack, a straight heavy line for a seam.
fn crack_line(canvas: &mut Canvas, map: Map, line: &Line, crack: bool) {
    if !crack {
        canvas.line(Pen::Heavy, &map.all(&[(0.0, 0.0), (line.length, 0.0)]));
        return;
    }
    const STEPS: u32 = 15;
    let high = (1.1 / map.scale).min(line.length * 0.05);
    let points: Vec<Point> = (0..=STEPS)
        .map(|step| {
            let x = line.length * f64::from(step) / f64::from(STEPS);
            let side = match step {
                0 | STEPS => 0.0,
                step if step % 2 == 0 => 1.0,
                _ => -1.0,
            };
            (x, side * high)
        })
        .collect();
    canvas.line(Pen::Heavy, &map.all(&points));
}

fn dimensions(canvas: &mut Canvas, words: &mut Words<'_, '_>, map: Map, line: &Line, crack: bool) {
    let context = words.context;
    let reach = line.half + line.zone * 1.15;
    let edge = line.edge.filter(|edge| *edge <= reach);
    let lowest = map.at((0.0, edge.unwrap_or(reach))).1 + 3.0;
    let from = map.at((0.0, line.half)).1;
    let long = lead(&words.exact(line.length)).to_owned();
    let text = if crack {
        words.text("crack-length", &[("length", &long)])
    } else {
        words.text("damage-length", &[("damage", &context.damage()), ("length", &long)])
    };
    canvas.across((map.x(0.0), map.x(line.length)), lowest + 5.0, from, &text);
    let ([full_from, full_to], [start, end]) = (line.full(), line.ends());
    let mut last = lowest + 5.0;
    if let Some(full) = part(context, "full-length-1").filter(|_| line.inner[0] || line.inner[1]) {
        let text = words.text("full", &[("length", lead(&words.long(full)))]);
        canvas.across((map.x(full_from), map.x(full_to)), lowest + 14.0, from, &text);
        last = lowest + 23.0;
        let full = words.long(full);
        words.tell("full-told", &[("length", full.as_str())]);
        let run_out = part(context, "run-out-1").unwrap_or(0.0);
        let text = words.text("run-out", &[("length", lead(&words.long(run_out)))]);
        if line.inner[1] {
            canvas.across((map.x(full_to), map.x(end)), lowest + 23.0, from, &text);
        } else {
            canvas.across((map.x(start), map.x(full_from)), lowest + 23.0, from, &text);
        }
        let (past, out) = (words.long(line.past), words.long(run_out));
        words.tell("past-told", &[("past", past.as_str()), ("run_out", out.as_str())]);
    }
    if let Some(edge) = line.edge {
        let edge = words.exact(edge);
        words.tell("edge-told", &[("distance", edge.as_str())]);
    }
    if crack && !line.edges[1] {
        let mark = map.at((line.length, 0.0));
        canvas.line(Pen::Edge, &[(mark.0, mark.1 - 1.8), (mark.0, mark.1 + 1.8)]);
        canvas.label(Label::new(&words.text("tip", &[])).to((mark.0, mark.1 - 1.8)));
    }
    let text = words.any("scale", &ratio(map.scale));
    let wide = width(&text, super::labels::SMALL, false);
    canvas.label(Label::new(&text).small().home((2.0 + wide / 2.0, last + 8.0)).to((4.0, last + 8.0)));
}

fn stop_holes(canvas: &mut Canvas, words: &mut Words<'_, '_>, map: Map, line: &Line) {
    let context = words.context;
    let Some(figure) = context.figure(FigureName::StopHole) else { return };
    let Some(hole) = figure.aim() else { return };
    let beyond = context.part(FigureName::StopHole, "beyond-mark").map_or(hole, |(beyond, _)| beyond);
    let mut holes = Vec::new();
    if !line.edges[1] {
        holes.push(line.length + beyond);
    }
    if !line.edges[0] {
        holes.push(-beyond);
    }
    let Some(first) = holes.first().copied() else { return };
    let radius = (hole / 2.0 * map.scale).max(0.7);
    for x in &holes {
        let middle = map.at((*x, 0.0));
        canvas.outline(Pen::Edge, &circle(middle, radius));
        canvas.line(Pen::Centre, &[(middle.0 - radius - 1.5, middle.1), (middle.0 + radius + 1.5, middle.1)]);
        canvas.line(Pen::Centre, &[(middle.0, middle.1 - radius - 1.5), (middle.0, middle.1 + radius + 1.5)]);
    }
    let key = if holes.len() == 1 { "hole" } else { "hole-two" };
    let text = words.text(key, &[("hole", &words.set(FigureName::StopHole))]);
    canvas.label(Label::new(&text).in_lines(12).to((map.x(first), radius)));
    let (hole, beyond) = (context.set(FigureName::StopHole), words.long(beyond));
    words.tell("hole-told", &[("hole", hole.as_str()), ("beyond", beyond.as_str())]);
}

/// A feature that must stay as it is.
fn kept(canvas: &mut Canvas, words: &Words<'_, '_>, map: Map, line: &Line, (x, bore): (f64, bool), name: &str) {
    let (left, y) = map.at((x, 0.0));
    if bore {
        let radius = 5.0;
        canvas.outline(Pen::Edge, &circle((left + radius, y), radius));
        canvas.line(Pen::Centre, &[(left - 2.0, y), (left + 2.0 * radius + 2.0, y)]);
        canvas.line(Pen::Centre, &[(left + radius, y - radius - 2.0), (left + radius, y + radius + 2.0)]);
    } else {
        let reach = line.half * map.scale + 8.0;
        canvas.line(Pen::Edge, &[(left, y - reach), (left, y + reach)]);
    }
    let top = map.at((0.0, -line.half - line.zone)).1 - 9.0;
    let text = words.text("feature-distance", &[("distance", lead(&words.exact(x - line.length)))]);
    canvas.across((map.x(line.length), left), top, map.at((0.0, -line.half)).1, &text);
    let mut label = Label::new(&words.text("feature", &[("feature", name)]));
    label.lines = super::labels::wrapped(name, 18);
    canvas.label(label.to((left + if bore { 5.0 } else { 0.0 }, y - if bore { 5.0 } else { 8.0 })));
}

/// A worn face.
fn pad(context: &Context<'_>) -> Option<Drawing> {
    let (long, wide) = (size(context, "length")?, size(context, "width")?);
    let zone = value("test-zone")?;
    let scale = scale(long + 2.0 * zone, ROOM, SCALES).min(scale(wide + 2.0 * zone, 90.0, SCALES));
    let map = Map { scale, start: -(ROOM / scale - long) / 2.0 };
    let mut canvas = Canvas::new();
    let mut words = Words::new(context, "d2");
    let face = [(0.0, 0.0), (long, 0.0), (long, wide), (0.0, wide)];
    canvas.hatch(Hatch::Crossed, &map.all(&face), &[], 3.4);
    canvas.outline(Pen::Phantom, &map.all(&face));
    let rim = [(-zone, -zone), (long + zone, -zone), (long + zone, wide + zone), (-zone, wide + zone)];
    canvas.outline(Pen::Chain, &map.all(&rim));
    let (l, w) = (words.exact(long), words.exact(wide));
    let bottom = map.at((0.0, wide + zone)).1;
    let text = words.text("damage-length", &[("damage", &context.damage()), ("length", lead(&l))]);
    canvas.across((map.x(0.0), map.x(long)), bottom + 9.0, map.at((0.0, wide)).1, &text);
    canvas.down((map.at((0.0, 0.0)).1, map.at((0.0, wide)).1), map.x(-zone) - 3.0, map.x(0.0), lead(&w));
    zone_round(&mut canvas, &mut words, map.at((long * 0.6, -zone)), zone);
    scale_note(&mut canvas, &words, scale, bottom + 16.0);
    words.sentences.insert(0, words.text("pad-told", &[("length", l.as_str()), ("width", w.as_str())]));
    let damage = context.damage();
    let title = words.text("title-other", &[("damage", damage.as_str())]);
    canvas.finish("d2", title, words.description())
}

fn zone_round(canvas: &mut Canvas, words: &mut Words<'_, '_>, spot: Point, zone: f64) {
    let label = Label::new(&words.text("zone", &[("zone", lead(&words.paced(zone)))]));
    let (_, high) = label.extent();
    canvas.label(label.home((spot.0, spot.1 - high / 2.0 - 1.0)).to(spot));
    let zone = words.paced(zone);
    words.tell("zone-told", &[("zone", zone.as_str())]);
}

fn scale_note(canvas: &mut Canvas, words: &Words<'_, '_>, scale: f64, y: f64) {
    let text = words.any("scale", &ratio(scale));
    let wide = width(&text, super::labels::SMALL, false);
    canvas.label(Label::new(&text).small().home((2.0 + wide / 2.0, y)).to((4.0, y)));
}

/// A hole, a bored thread, a piece let in, a worn bore.
fn round(context: &Context<'_>) -> Option<Drawing> {
    let shape = context.figure(FigureName::Groove).and_then(Figure::word)?;
    let inner = size(context, "diameter").or_else(|| super::line(context, "hole")).filter(|inner| *inner > 0.0)?;
    let zone = value("test-zone")?;
    let outer = if shape == "pad" { inner } else { part(context, "width-1").unwrap_or(inner).max(inner) };
    let size = scale(outer + 2.0 * zone, 84.0, SCALES);
    let middle = (60.0, 0.0);
    let at = |diameter: f64| diameter / 2.0 * size;
    let mut canvas = Canvas::new();
    let mut words = Words::new(context, "d2");
    let rim = at(outer + 2.0 * zone);
    canvas.outline(Pen::Chain, &circle(middle, rim));
    for (from, to) in [((60.0 - rim - 3.0, 0.0), (60.0 + rim + 3.0, 0.0)), ((60.0, -rim - 3.0), (60.0, rim + 3.0))] {
        canvas.line(Pen::Centre, &[from, to]);
    }
    let damage = context.damage();
    if shape == "pad" {
        canvas.outline(Pen::Edge, &circle(middle, at(inner)));
        // The metal that is laid on the wall of the bore.
        let laid = (super::line(context, "pad-height").unwrap_or(1.0) * size).clamp(1.6, at(inner) * 0.6);
        let (ring, hole) = (circle(middle, at(inner)), circle(middle, at(inner) - laid));
        canvas.hatch(Hatch::Crossed, &ring, &[&hole], 2.4);
        canvas.outline(Pen::Hidden, &hole);
    } else {
        canvas.outline(Pen::Heavy, &circle(middle, at(inner)));
        if outer - inner > 0.05 {
            canvas.outline(Pen::Phantom, &circle(middle, at(outer)));
        }
    }
    let across = words.exact(inner);
    let key = if shape == "pad" { "bore" } else { "diameter" };
    let text = words.text(key, &[("damage", damage.as_str()), ("size", lead(&across))]);
    canvas.across((60.0 - at(inner), 60.0 + at(inner)), rim + 8.0, 0.0, &text);
    let key = if shape == "pad" { "bore-told" } else { "round-told" };
    words.tell(key, &[("damage", damage.as_str()), ("size", across.as_str())]);
    if shape != "pad" && outer - inner > 0.05 {
        let key = if shape == "patch" { "disc" } else { "opened" };
        let text = words.text(key, &[("size", &words.short(outer))]);
        let turn = std::f64::consts::FRAC_PI_4;
        let spot = (60.0 + at(outer) * libm::cos(turn), -at(outer) * libm::sin(turn));
        canvas.label(Label::new(&text).to(spot));
        let outer = words.long(outer);
        words.tell(if shape == "patch" { "disc-told" } else { "opened-told" }, &[("size", outer.as_str())]);
    }
    let turn = std::f64::consts::FRAC_PI_3;
    zone_round_label(&mut canvas, &mut words, (60.0 + rim * libm::cos(turn), -rim * libm::sin(turn)), zone);
    scale_note(&mut canvas, &words, size, rim + 14.0);
    let title = words.text("title-other", &[("damage", damage.as_str())]);
    canvas.finish("d2", title, words.description())
}

fn zone_round_label(canvas: &mut Canvas, words: &mut Words<'_, '_>, spot: Point, zone: f64) {
    let mut label = Label::new(&words.text("zone", &[("zone", lead(&words.paced(zone)))]));
    label.lines = super::labels::wrapped(&label.lines.join(" "), 14);
    canvas.label(label.to(spot));
    let zone = words.paced(zone);
    words.tell("zone-told", &[("zone", zone.as_str())]);
}
