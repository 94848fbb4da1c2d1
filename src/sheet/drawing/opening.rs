//! Drawing 1: the opening in section, with its passes in their order.

use super::labels::{Label, Point, SMALL};
use super::svg::{Canvas, Fill, Hatch, Pen};
use super::{Drawing, Words, arc, break_line, ends, part, piece, ratio, scale, value};
use crate::engine::geometry::UGroove;
use crate::engine::{Figure, FigureName, PassRow};
use crate::sheet::context::Context;

/// Scales of a section, large first.
pub(super) const SCALES: &[f64] =
    &[20.0, 15.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.5, 0.4, 0.25, 0.2, 0.1];
/// Half the width of a section on paper, mm: what is left holds the dimensions.
pub(super) const HALF: f64 = 30.0;
/// Middle of the paper.
pub(super) const MIDDLE: f64 = 60.0;
/// Height that a wall may take on paper, mm.
pub(super) const HIGH: f64 = 46.0;

/// Draws the opening; none where it was not worked out.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let shape = context.figure(FigureName::Groove).and_then(Figure::word)?;
    let wall = context.job.thickness.filter(|wall| *wall > 0.0)?;
    match shape {
        "U groove" => groove(context, wall),
        "V groove" | "square butt" => butt(context, wall, shape),
        "fillet" => piece::seam(context, wall),
        "pad" => piece::pad(context, wall),
        "plug" => piece::plug(context, wall),
        "patch" => piece::patch(context, wall),
        _ => None,
    }
}

/// From mm of the part to mm on paper: the middle of the opening and the upper face are 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct Map {
    pub(super) scale: f64,
}

impl Map {
    pub(super) fn at(self, (x, y): Point) -> Point {
        (MIDDLE + x * self.scale, y * self.scale)
    }

    pub(super) fn all(self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|point| self.at(*point)).collect()
    }

    /// Half the width of the section, mm of the part.
    pub(super) fn half(self) -> f64 {
        HALF / self.scale
    }
}

/// A cut from one face: half its width by the height over its bottom, and where its bottom lies.
pub(super) struct Cut<'f> {
    /// Half the width at this height over the bottom.
    pub(super) half: &'f dyn Fn(f64) -> f64,
    /// Depth.
    pub(super) depth: f64,
    /// Face that it is cut from, mm below the upper face, and the way down from it: 1 or -1.
    pub(super) face: f64,
    pub(super) way: f64,
}

impl Cut<'_> {
    /// The cut as a polygon, from its left rim round the bottom to its right rim.
    pub(super) fn profile(&self) -> Vec<Point> {
        const STEPS: u32 = 24;
        // Close steps at the bottom, where it is round.
        let height = |step: u32| {
            let share = f64::from(step) / f64::from(STEPS);
            self.depth * share * share
        };
        let at = |step: u32, side: f64| {
            (side * (self.half)(height(step)), self.face + self.way * (self.depth - height(step)))
        };
        let left = (0..=STEPS).rev().map(|step| at(step, -1.0));
        left.chain((0..=STEPS).map(|step| at(step, 1.0))).collect()
    }

    /// Draws the passes that fill it: a line where each ends, and its number.
    pub(super) fn passes(&self, canvas: &mut Canvas, map: Map, passes: &[&PassRow], bottom: f64) {
        let bands = bands(passes, bottom, map.scale);
        for band in &bands {
            let (low, high) = (band.from, band.to);
            if high > 0.01 {
                let half = (self.half)((self.depth - high).max(0.0));
                let sag = (0.12 * half).min((low - high) * 0.25);
                let curve: Vec<Point> = (0_u32..=8)
                    .map(|step| {
                        let share = f64::from(step) / 4.0 - 1.0;
                        (half * share, self.face + self.way * (high + sag * (1.0 - share * share)))
                    })
                    .collect();
                canvas.line(Pen::Thin, &map.all(&curve));
            }
            let middle = self.face + self.way * f64::midpoint(low, high);
            let spot = map.at((0.0, middle));
            canvas.label(Label::new(&band.name).small().ring().home(spot).to(spot));
        }
    }
}

/// Passes that share a stretch of the depth, because each alone would be too thin to show.
#[derive(Debug)]
pub(super) struct Band {
    name: String,
    from: f64,
    to: f64,
}

/// The bands of a side, from its bottom to its face.
fn bands(passes: &[&PassRow], bottom: f64, scale: f64) -> Vec<Band> {
    let least = SMALL * 1.02 + 1.6;
    let mut bands: Vec<Band> = Vec::new();
    let (mut from, mut first) = (bottom, None);
    for (row, left) in passes.iter().zip((0..passes.len()).rev()) {
        let first_of_band = *first.get_or_insert(row.number);
        let to = row.fill_to.filter(|_| left > 0).unwrap_or(0.0).clamp(0.0, from);
        let after = to * scale;
        // The last pass needs its own room under the face.
        if left > 0 && ((from - to) * scale < least || after < least) {
            continue;
        }
        bands.push(Band { name: numbers(first_of_band, row.number), from, to });
        (from, first) = (to, None);
    }
    bands
}

/// `3`, or `3 to 7`.
fn numbers(first: u32, last: u32) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}

/// What a wall looks like beside its opening: hatched, its faces drawn as far as they stand, its ends broken off.
pub(super) fn wall(canvas: &mut Canvas, map: Map, thick: f64, holes: &[Vec<Point>], upper: f64, lower: f64) {
    let half = map.half();
    let body = map.all(&[(-half, 0.0), (half, 0.0), (half, thick), (-half, thick)]);
    let holes: Vec<Vec<Point>> = holes.iter().map(|hole| map.all(hole)).collect();
    let holes: Vec<&[Point]> = holes.iter().map(Vec::as_slice).collect();
    canvas.hatch(Hatch::Up, &body, &holes, 2.4);
    for (y, open) in [(0.0, upper), (thick, lower)] {
        if open <= 0.0 {
            canvas.line(Pen::Edge, &map.all(&[(-half, y), (half, y)]));
        } else {
            canvas.line(Pen::Edge, &map.all(&[(-half, y), (-open, y)]));
            canvas.line(Pen::Edge, &map.all(&[(open, y), (half, y)]));
        }
    }
    for side in [-1.0, 1.0] {
        let (x, top) = map.at((side * half, 0.0));
        let (_, bottom) = map.at((side * half, thick));
        canvas.line(Pen::Thin, &break_line((x, top), bottom));
    }
}

/// The cap that is laid over a face, dashed; `up` is -1 over the upper face and 1 under the lower one.
pub(super) fn cap(canvas: &mut Canvas, map: Map, half: f64, face: f64, height: f64, up: f64) {
    if height <= 0.0 || half <= 0.0 {
        return;
    }
    let curve: Vec<Point> = (0_u32..=12)
        .map(|step| {
            let share = f64::from(step) / 6.0 - 1.0;
            (half * share, face + up * height * (1.0 - share * share))
        })
        .collect();
    canvas.line(Pen::Hidden, &map.all(&curve));
}

/// Height of the cap of a side, mm.
pub(super) fn cap_of(passes: &[&PassRow]) -> f64 {
    passes.last().and_then(|row| row.fill_to).map_or(0.0, |to| (-to).max(0.0))
}

pub(super) fn of_side<'a>(context: &Context<'a>, side: u8) -> Vec<&'a PassRow> {
    context.passes().iter().filter(|row| row.side == side).collect()
}

/// The passes of a side in words.
pub(super) fn tell_passes(words: &mut Words<'_, '_>, side: u8) {
    let rows = of_side(words.context, side);
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return };
    let names = numbers(first.number, last.number);
    let side = side.to_string();
    let key = if rows.len() == 1 { "pass" } else { "passes" };
    words.tell(key, &[("passes", names.as_str()), ("side", side.as_str())]);
}

pub(super) fn scale_label(canvas: &mut Canvas, words: &Words<'_, '_>, scale: f64, bottom: f64) {
    let text = words.any("scale", &ratio(scale));
    let wide = super::labels::width(&text, SMALL, false);
    canvas.label(Label::new(&text).small().home((2.0 + wide / 2.0, bottom)).to((4.0, bottom)));
}

/// A round-bottomed groove, from one side or from both.
fn groove(context: &Context<'_>, wall_mm: f64) -> Option<Drawing> {
    let (radius, angle) = (part(context, "radius")?, part(context, "angle")?);
    let depth = part(context, "depth-1")?.min(wall_mm);
    let second = part(context, "depth-2").map(|depth| depth.min(wall_mm));
    let shape = UGroove { radius: radius.max(0.05), angle: angle.to_radians() };
    let half = move |height: f64| shape.width(height.max(0.0)) / 2.0;
    let widest = half(depth).max(second.map_or(0.0, half)) * 2.0;
    let size = scale(widest, 42.0, SCALES).min(scale(wall_mm, HIGH, SCALES));
    let map = Map { scale: size };
    let cut = Cut { half: &half, depth, face: 0.0, way: 1.0 };
    let other = second.map(|depth| Cut { half: &half, depth, face: wall_mm, way: -1.0 });
    let mut canvas = Canvas::new();
    let mut holes = vec![cut.profile()];
    holes.extend(other.as_ref().map(Cut::profile));
    let through = wall_mm - depth < 0.05;
    let lower = other.as_ref().map_or(if through { half(0.0) } else { 0.0 }, |other| half(other.depth));
    wall(&mut canvas, map, wall_mm, &holes, half(depth), lower);
    let rows = of_side(context, 1);
    canvas.line(Pen::Edge, &map.all(&cut.profile()));
    cut.passes(&mut canvas, map, &rows, depth);
    cap(&mut canvas, map, half(depth), 0.0, cap_of(&rows), -1.0);
    if let Some(other) = &other {
        let rows = of_side(context, 2);
        let profile = map.all(&other.profile());
        canvas.fill(Fill::Paper, &profile);
        canvas.line(Pen::Edge, &profile);
        other.passes(&mut canvas, map, &rows, other.depth);
        cap(&mut canvas, map, half(other.depth), wall_mm, cap_of(&rows), 1.0);
    }
    let mut words = Words::new(context, "d1");
    groove_dimensions(&mut canvas, &words, map, wall_mm, &cut, other.as_ref());
    groove_marks(&mut canvas, &words, map, wall_mm, other.as_ref().unwrap_or(&cut), shape);
    let two = other.is_some();
    let wall_text = words.exact(wall_mm);
    words.tell(if two { "groove-two" } else { "groove" }, &[("wall", wall_text.as_str())]);
    let (d, w) = (words.long(depth), words.long(part(context, "width-1")?));
    words.tell("side", &[("side", "1"), ("depth", d.as_str()), ("width", w.as_str())]);
    if let Some((depth, width)) = second.zip(part(context, "width-2")) {
        let (d, w) = (words.long(depth), words.long(width));
        words.tell("side-two", &[("depth", d.as_str()), ("width", w.as_str())]);
    }
    let (angle, radius) = (degrees(angle), words.long(radius));
    words.tell("round", &[("angle", angle.as_str()), ("radius", radius.as_str())]);
    if through {
        words.tell("nothing-left", &[]);
    } else {
        let left = words.long(part(context, "left-1").unwrap_or(wall_mm - depth));
        words.tell("left", &[("left", left.as_str())]);
    }
    tell_passes(&mut words, 1);
    tell_passes(&mut words, 2);
    let title = words.text(if two { "title-two" } else { "title-groove" }, &[]);
    canvas.finish("d1", title, words.description())
}

pub(super) fn degrees(angle: f64) -> String {
    crate::units::show::one(crate::units::degrees(angle), crate::units::System::Metric)
}

/// Widths above and below, wall on the left, depth and what is left on the right.
fn groove_dimensions(
    canvas: &mut Canvas,
    words: &Words<'_, '_>,
    map: Map,
    wall: f64,
    cut: &Cut<'_>,
    other: Option<&Cut<'_>>,
) {
    let context = words.context;
    let (left, right) = (MIDDLE - HALF, MIDDLE + HALF);
    let y = |depth: f64| map.at((0.0, depth)).1;
    let half = (cut.half)(cut.depth);
    let cap = y(-cap_of(&of_side(context, 1)));
    if let Some(width) = part(context, "width-1") {
        let (a, b) = (map.at((-half, 0.0)).0, map.at((half, 0.0)).0);
        let top = part(context, "angle").map_or(cap, |angle| angle_mark(canvas, map, angle, cut).min(cap));
        canvas.across((a, b), top - 4.0, 0.0, &words.short(width));
    }
    canvas.down((0.0, y(wall)), left - 5.0, left, super::lead(&words.exact(wall)));
    canvas.down((0.0, y(cut.depth)), right + 4.0, right, &words.short(part(context, "depth-1").unwrap_or(cut.depth)));
    if wall - cut.depth > 0.05 {
        let left = part(context, "left-1").unwrap_or(wall - cut.depth);
        canvas.down(
            (y(cut.depth), y(wall)),
            right + 4.0,
            right,
            &words.text("left-label", &[("left", &words.short(left))]),
        );
    }
    if let Some((other, width)) = other.zip(part(context, "width-2")) {
        let half = (other.half)(other.depth);
        let (a, b) = (map.at((-half, 0.0)).0, map.at((half, 0.0)).0);
        let under = y(wall + cap_of(&of_side(context, 2)));
        canvas.across((a, b), under + 5.0, y(wall), &words.short(width));
        // Inside the section on the left, where nothing else is measured.
        canvas.down((y(wall - other.depth), y(wall)), left - 12.0, left, &words.short(other.depth));
        for (key, y) in [("side-1", 2.0), ("side-2", y(wall) - 2.0)] {
            let text = words.text(key, &[]);
            let to = if key == "side-1" { -1.0 } else { 1.0 };
            let wide = super::labels::width(&text, super::labels::SIZE, true);
            let home = (right + wide / 2.0 + 1.0, y + to * 6.0);
            canvas.label(
                Label::new(&text).bold().home(home).home((left - wide / 2.0, y + to * 6.0)).to((right - 2.0, y)),
            );
        }
    }
    let lowest = other.map_or(y(wall), |_| y(wall) + 8.0);
    scale_label(canvas, words, map.scale, lowest + 6.0);
}

/// Root radius.
fn groove_marks(canvas: &mut Canvas, words: &Words<'_, '_>, map: Map, wall: f64, cut: &Cut<'_>, shape: UGroove) {
    let context = words.context;
    if let Some(radius) = part(context, "radius") {
        let lean = std::f64::consts::FRAC_PI_2 - std::f64::consts::FRAC_PI_4 * 0.9;
        let reach = shape.radius.min(cut.depth);
        let down = (cut.depth - shape.radius + shape.radius * libm::sin(lean)).max(0.0);
        let spot = (reach * libm::cos(lean), cut.face + cut.way * down);
        let text = words.text("radius-label", &[("radius", &words.short(radius))]);
        let label = Label::new(&text).to(map.at(spot)).tied();
        // Under the wall where that is free.
        let under = map.at((spot.0, cut.face.max(wall))).1 + 6.0;
        canvas.label(if cut.way > 0.0 { label.home((MIDDLE + 14.0, under)) } else { label });
    }
}

/// The angle between two walls: an arc between them over the upper face, with its number. Gives the height of its top.
pub(super) fn angle_mark(canvas: &mut Canvas, map: Map, angle: f64, cut: &Cut<'_>) -> f64 {
    let half = angle.to_radians() / 2.0;
    let face = (cut.half)(cut.depth);
    // In a shallow cut the straight walls never start, or are too short to tell.
    let below = (cut.half)((cut.depth - 0.5).max(0.0));
    if half <= 0.0 || ((face - below) / 0.5f64.min(cut.depth) - libm::tan(half)).abs() > 0.02 {
        return f64::INFINITY;
    }
    // Where the walls would meet, and how far from there the face lies along a wall.
    let apex = face / libm::tan(half);
    let far = apex / libm::cos(half) * map.scale + 5.0;
    let middle = map.at((0.0, apex));
    let up = -std::f64::consts::FRAC_PI_2;
    for side in [-1.0, 1.0] {
        let end = (middle.0 + side * far * libm::sin(half), middle.1 - far * libm::cos(half));
        canvas.line(Pen::Thin, &[map.at((side * face, 0.0)), end]);
    }
    let points = arc(middle, far - 1.2, up - half, up + half);
    let top = points.iter().map(|(_, y)| *y).fold(f64::INFINITY, f64::min);
    canvas.line(Pen::Thin, &points);
    let label = Label::new(&degrees(angle));
    let (_, high) = label.extent();
    canvas.label(label.home((MIDDLE, top - high / 2.0 - 0.6)).to((MIDDLE, top)));
    top - high - 0.6
}

/// Two plates, edge to edge: square, or with a V between them.
fn butt(context: &Context<'_>, wall_mm: f64, shape: &str) -> Option<Drawing> {
    let gap = value("butt-gap")?;
    let vee = shape == "V groove";
    let face = if vee { part(context, "left-1")? } else { wall_mm };
    let angle = part(context, "angle").unwrap_or(0.0);
    let slope = libm::tan(angle.to_radians() / 2.0);
    let half = move |height: f64| gap / 2.0 + (height - face).max(0.0) * slope;
    let rows = of_side(context, 1);
    let bead = if vee { half(wall_mm) } else { part(context, "width-1")? / 2.0 };
    let size = scale(bead * 2.0, 42.0, SCALES).min(scale(wall_mm, HIGH, SCALES));
    let map = Map { scale: size };
    let cut = Cut { half: &half, depth: wall_mm, face: 0.0, way: 1.0 };
    let mut canvas = Canvas::new();
    let corners = [
        (-half(wall_mm), 0.0),
        (-gap / 2.0, wall_mm - face),
        (-gap / 2.0, wall_mm),
        (gap / 2.0, wall_mm),
        (gap / 2.0, wall_mm - face),
        (half(wall_mm), 0.0),
    ];
    wall(&mut canvas, map, wall_mm, &[corners.to_vec()], half(wall_mm), gap / 2.0);
    let [a, b, c, d, e, f] = corners;
    canvas.line(Pen::Edge, &map.all(&[a, b, c]));
    canvas.line(Pen::Edge, &map.all(&[d, e, f]));
    cap(&mut canvas, map, bead, 0.0, cap_of(&rows), -1.0);
    if vee {
        cut.passes(&mut canvas, map, &rows, wall_mm);
    } else if let Some((first, last)) = rows.first().zip(rows.last()) {
        // One pass melts the edges together through the wall.
        let low = (bead * 0.45).max(gap / 2.0);
        for side in [-1.0, 1.0] {
            canvas.line(Pen::Hidden, &map.all(&[(side * bead, 0.0), (side * low, wall_mm)]));
        }
        let spot = map.at((0.0, wall_mm / 2.0));
        canvas.label(Label::new(&numbers(first.number, last.number)).small().ring().home(spot).to(spot));
    }
    let mut words = Words::new(context, "d1");
    butt_dimensions(&mut canvas, &words, map, wall_mm, face, &cut, vee);
    let wall_text = words.exact(wall_mm);
    words.tell(if vee { "vee" } else { "square" }, &[("wall", wall_text.as_str())]);
    if vee {
        let (angle, face) = (degrees(angle), words.long(face));
        let (width, depth) = (words.long(part(context, "width-1")?), words.long(part(context, "depth-1")?));
        words.tell(
            "vee-sizes",
            &[("angle", angle.as_str()), ("left", face.as_str()), ("width", width.as_str()), ("depth", depth.as_str())],
        );
    }
    tell_gap(&mut words);
    tell_passes(&mut words, 1);
    let title = words.text(if vee { "title-vee" } else { "title-square" }, &[]);
    canvas.finish("d1", title, words.description())
}

fn butt_dimensions(
    canvas: &mut Canvas,
    words: &Words<'_, '_>,
    map: Map,
    wall: f64,
    face: f64,
    cut: &Cut<'_>,
    vee: bool,
) {
    let context = words.context;
    let (left, right) = (MIDDLE - HALF, MIDDLE + HALF);
    let y = |depth: f64| map.at((0.0, depth)).1;
    canvas.down((0.0, y(wall)), left - 5.0, left, super::lead(&words.exact(wall)));
    if vee {
        canvas.down(
            (y(wall - face), y(wall)),
            right + 4.0,
            right,
            &words.text("face-label", &[("left", &words.short(face))]),
        );
        if let Some(depth) = part(context, "depth-1") {
            canvas.down((0.0, y(wall - face)), right + 4.0, right, &words.short(depth));
        }
        if let Some(width) = part(context, "width-1") {
            let half = (cut.half)(cut.depth);
            let cap = y(-cap_of(&of_side(context, 1)));
            let top = part(context, "angle").map_or(cap, |angle| angle_mark(canvas, map, angle, cut).min(cap));
            canvas.across((map.at((-half, 0.0)).0, map.at((half, 0.0)).0), top - 4.0, 0.0, &words.short(width));
        }
    }
    gap_label(canvas, words, map.at((0.0, wall)));
    scale_label(canvas, words, map.scale, y(wall) + 12.0);
}

/// The widest gap that is allowed.
pub(super) fn gap_label(canvas: &mut Canvas, words: &Words<'_, '_>, spot: Point) {
    if let Some([_, most]) = ends("butt-gap") {
        canvas.label(Label::new(&words.text("gap-label", &[("gap", &words.short(most))])).to(spot));
    }
}

pub(super) fn tell_gap(words: &mut Words<'_, '_>) {
    if let Some([_, most]) = ends("butt-gap") {
        let most = words.long(most);
        words.tell("gap", &[("gap", most.as_str())]);
    }
}
