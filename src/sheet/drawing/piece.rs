//! Drawing 1 where nothing is grooved: a fillet and its kin, a pad, a filled hole, a piece let in.

use super::labels::{Label, Point, SMALL};
use super::opening::{
    Cut, HALF, HIGH, MIDDLE, Map, SCALES, cap, cap_of, degrees, of_side, scale_label, tell_passes, wall,
};
use super::svg::{Canvas, Fill, Hatch, Pen};
use super::{Drawing, Words, break_line, lead, line, part, scale, value};
use crate::engine::PassRow;
use crate::sheet::context::Context;
use crate::spec::Joint;

/// The rings of passes that lie in one place.
fn ring(canvas: &mut Canvas, rows: &[&PassRow], spot: Point) {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return };
    let name = if first.number == last.number {
        first.number.to_string()
    } else {
        format!("{} to {}", first.number, last.number)
    };
    canvas.label(Label::new(&name).small().ring().home(spot).to(spot));
}

/// A fillet between two plates: T, lap, outside corner or edge.
pub(super) fn seam(context: &Context<'_>, wall: f64) -> Option<Drawing> {
    let leg = part(context, "width-1")?;
    let joint = context.job.joint;
    let size = scale(wall + leg, 32.0, SCALES).min(scale(wall, 16.0, SCALES));
    let map = Map { scale: size };
    let far = map.half();
    let mut canvas = Canvas::new();
    // Plates as rectangles, the weld as a triangle, y down; the corner that the weld fills is at 0, 0.
    let (plates, weld, root): (Vec<[Point; 4]>, [Point; 3], Point) = match joint {
        Joint::Lap => (
            vec![
                [(-far, -wall), (0.0, -wall), (0.0, 0.0), (-far, 0.0)],
                [(-far * 0.5, 0.0), (far, 0.0), (far, wall), (-far * 0.5, wall)],
            ],
            [(0.0, -leg), (leg, 0.0), (0.0, 0.0)],
            (0.0, 0.0),
        ),
        Joint::Corner => (
            vec![
                [(-far, 0.0), (0.0, 0.0), (0.0, wall), (-far, wall)],
                [(0.0, wall), (wall, wall), (wall, wall + far * 0.7), (0.0, wall + far * 0.7)],
            ],
            [(0.0, wall - leg), (leg, wall), (0.0, wall)],
            (0.0, wall),
        ),
        Joint::Edge => (
            vec![
                [(-wall, 0.0), (0.0, 0.0), (0.0, far), (-wall, far)],
                [(0.0, 0.0), (wall, 0.0), (wall, far), (0.0, far)],
            ],
            [(-leg, 0.0), (0.0, -leg * 0.6), (leg, 0.0)],
            (0.0, 0.0),
        ),
        _ => (
            vec![
                [(-far, 0.0), (far, 0.0), (far, wall), (-far, wall)],
                [(-wall, -far * 0.8), (0.0, -far * 0.8), (0.0, 0.0), (-wall, 0.0)],
            ],
            [(0.0, -leg), (leg, 0.0), (0.0, 0.0)],
            (0.0, 0.0),
        ),
    };
    for (plate, hatch) in plates.iter().zip([Hatch::Up, Hatch::Down]) {
        let plate = map.all(plate);
        canvas.hatch(hatch, &plate, &[], 2.4);
        canvas.outline(Pen::Edge, &plate);
    }
    let triangle = map.all(&weld);
    canvas.fill(Fill::Paper, &triangle);
    canvas.outline(Pen::Edge, &triangle);
    let rows = of_side(context, 1);
    let middle = weld.iter().fold((0.0, 0.0), |sum, point| (sum.0 + point.0 / 3.0, sum.1 + point.1 / 3.0));
    ring(&mut canvas, &rows, map.at(middle));
    let mut words = Words::new(context, "d1");
    seam_dimensions(&mut canvas, &words, map, (wall, leg), root, &weld, &plates);
    let (name, wall_text, leg_text) = (context.word("joint", joint.word()), words.exact(wall), words.long(leg));
    let sizes = [("joint", name.as_str()), ("wall", wall_text.as_str()), ("leg", leg_text.as_str())];
    words.tell(if joint == Joint::Edge { "edge" } else { "fillet" }, &sizes);
    tell_passes(&mut words, 1);
    let title = words.text("title-fillet", &[("joint", name.as_str())]);
    canvas.finish("d1", title, words.description())
}

fn seam_dimensions(
    canvas: &mut Canvas,
    words: &Words<'_, '_>,
    map: Map,
    (wall, leg): (f64, f64),
    root: Point,
    weld: &[Point; 3],
    plates: &[[Point; 4]],
) {
    let wall_text = lead(&words.exact(wall)).to_owned();
    let leg_text = words.text("leg-label", &[("leg", &words.short(leg))]);
    let at = |point: Point| map.at(point);
    let lowest = plates.iter().flatten().map(|point| map.at(*point).1).fold(f64::NEG_INFINITY, f64::max);
    let [top, right, _] = *weld;
    match words.context.job.joint {
        Joint::Edge => {
            let (left, top) = at((-wall, map.half()));
            canvas.across((left, at((0.0, 0.0)).0), top + 6.0, top, &wall_text);
        }
        Joint::Corner => {
            let (x, y) = at((-map.half(), 0.0));
            canvas.down((y, at((0.0, wall)).1), x - 5.0, x, &wall_text);
            canvas.across((at(root).0, at(right).0), at(top).1 - 6.0, at(right).1 - 1.0, &leg_text);
        }
        joint => {
            let x = at((map.half(), 0.0)).0;
            canvas.down((at((0.0, 0.0)).1, at((0.0, wall)).1), x + 5.0, x, &wall_text);
            canvas.across((at(root).0, at(right).0), at((0.0, wall)).1 + 6.0, at((0.0, 0.0)).1 + 1.0, &leg_text);
            let _ = joint;
        }
    }
    scale_label(canvas, words, map.scale, lowest + 12.0);
}

/// Metal laid on a worn surface in layers.
pub(super) fn pad(context: &Context<'_>, thick: f64) -> Option<Drawing> {
    let wide = part(context, "width-1").filter(|width| *width > 0.0)?;
    let height = line(context, "pad-height")?;
    let worn = line(context, "worn-height")?;
    let allowance = line(context, "machining-allowance")?;
    // A wide pad is broken off: its height is what matters.
    let size = scale(height, 24.0, SCALES).min(scale(wide.min(10.0), 44.0, SCALES));
    let map = Map { scale: size };
    // Of the wall under it a strip is enough.
    let shown = thick.min(14.0 / size);
    let whole = wide * size <= 44.0;
    let half = if whole { wide / 2.0 } else { map.half() * 0.8 };
    let mut canvas = Canvas::new();
    wall(&mut canvas, map, shown, &[], 0.0, if shown < thick { map.half() } else { 0.0 });
    let rows = context.passes();
    let layers = rows.len().max(1);
    #[allow(clippy::cast_precision_loss, reason = "a pad has few layers")]
    let layer = height / layers as f64;
    let least = SMALL * 1.02 + 1.4;
    let mut low = 0.0;
    let mut first = None;
    for (row, number) in rows.iter().zip(1_u32..) {
        let top = layer * f64::from(number);
        let from = *first.get_or_insert(row.number);
        if (top - low) * size < least && usize::try_from(number).is_ok_and(|number| number < layers) {
            continue;
        }
        let y = -top;
        canvas.line(Pen::Thin, &map.all(&[(-half, y), (half, y)]));
        let name = if from == row.number { from.to_string() } else { format!("{from} to {}", row.number) };
        let spot = map.at((-half * 0.3, -f64::midpoint(low, top)));
        canvas.label(Label::new(&name).small().ring().home(spot).to(spot));
        (low, first) = (top, None);
    }
    for side in [-1.0, 1.0] {
        let (x, top) = map.at((side * half, -height));
        if whole {
            canvas.line(Pen::Edge, &[(x, top), (x, 0.0)]);
        } else {
            canvas.line(Pen::Thin, &break_line((x, top), 0.0));
        }
    }
    canvas.line(Pen::Edge, &map.all(&[(-half, -height), (half, -height)]));
    // The face as it was new, and as it is machined.
    canvas.line(Pen::Hidden, &map.all(&[(-map.half(), -worn), (map.half(), -worn)]));
    let mut words = Words::new(context, "d1");
    let (left, right) = (MIDDLE - HALF, MIDDLE + HALF);
    let y = |up: f64| map.at((0.0, -up)).1;
    canvas.down((y(height), 0.0), left - 5.0, left, &words.short(height));
    canvas.down((y(worn), 0.0), right + 4.0, right, &words.text("worn-label", &[("worn", lead(&words.exact(worn)))]));
    canvas.down(
        (y(height), y(worn)),
        right + 4.0,
        right,
        &words.text("allowance-label", &[("allowance", &words.short(allowance))]),
    );
    if shown >= thick {
        canvas.down((0.0, y(-thick)), left - 5.0, left, lead(&words.exact(thick)));
    }
    let (a, b) = (map.at((-half, 0.0)).0, map.at((half, 0.0)).0);
    canvas.across((a, b), y(height) - 6.0, y(height), &words.short(wide));
    scale_label(&mut canvas, &words, size, y(-shown) + 6.0);
    let texts = [words.exact(thick), words.long(wide), words.long(height), words.exact(worn), words.long(allowance)];
    let [thick, wide, height, worn, allowance] = &texts;
    words
        .tell("pad", &[("wall", thick), ("width", wide), ("height", height), ("worn", worn), ("allowance", allowance)]);
    let count = rows.len().to_string();
    words.tell(if rows.len() == 1 { "layer" } else { "layers" }, &[("layers", count.as_str())]);
    if !whole {
        words.tell("broken-off", &[]);
    }
    let title = words.text("title-pad", &[]);
    canvas.finish("d1", title, words.description())
}

/// A conical hole, filled.
pub(super) fn plug(context: &Context<'_>, thick: f64) -> Option<Drawing> {
    let depth = part(context, "depth-1")?.min(thick);
    let top = part(context, "width-1")?;
    let bottom = line(context, "hole").filter(|bottom| *bottom > 0.0)?;
    let through = thick - depth < 0.05;
    let half = move |height: f64| (bottom + (top - bottom) * (height / depth.max(1e-6)).clamp(0.0, 1.0)) / 2.0;
    let size = scale(top, 42.0, SCALES).min(scale(thick, HIGH, SCALES));
    let map = Map { scale: size };
    let cut = Cut { half: &half, depth, face: 0.0, way: 1.0 };
    let corners = [(-top / 2.0, 0.0), (-bottom / 2.0, depth), (bottom / 2.0, depth), (top / 2.0, 0.0)];
    let mut canvas = Canvas::new();
    wall(&mut canvas, map, thick, &[corners.to_vec()], top / 2.0, if through { bottom / 2.0 } else { 0.0 });
    let [a, b, c, d] = corners;
    if through {
        canvas.line(Pen::Edge, &map.all(&[a, b]));
        canvas.line(Pen::Edge, &map.all(&[c, d]));
    } else {
        canvas.line(Pen::Edge, &map.all(&corners));
    }
    let rows = of_side(context, 1);
    cut.passes(&mut canvas, map, &rows, depth);
    let crown = cap_of(&rows);
    cap(&mut canvas, map, top / 2.0, 0.0, crown, -1.0);
    let y = |down: f64| map.at((0.0, down)).1;
    canvas.line(Pen::Centre, &[(MIDDLE, y(-crown) - 3.0), (MIDDLE, y(thick) + 3.0)]);
    let mut words = Words::new(context, "d1");
    let (left, right) = (MIDDLE - HALF, MIDDLE + HALF);
    canvas.across((map.at(a).0, map.at(d).0), y(-crown) - 6.0, 0.0, &words.short(top));
    let bore = words.text("bore-label", &[("bore", lead(&words.exact(bottom)))]);
    if through {
        canvas.across((map.at(b).0, map.at(c).0), y(thick) + 6.0, y(thick), &bore);
    } else {
        canvas.label(Label::new(&bore).to(map.at((bottom / 2.0, depth))));
        canvas.down(
            (y(depth), y(thick)),
            right + 4.0,
            right,
            &words.text("left-label", &[("left", &words.short(thick - depth))]),
        );
        canvas.down((0.0, y(depth)), right + 4.0, right, &words.short(part(context, "depth-1")?));
    }
    canvas.down((0.0, y(thick)), left - 5.0, left, lead(&words.exact(thick)));
    scale_label(&mut canvas, &words, size, y(thick) + 12.0);
    let texts = [
        words.exact(thick),
        words.exact(bottom),
        words.long(top),
        words.long(depth),
        value("plug-angle").map_or_else(String::new, degrees),
    ];
    let [wall_text, bore, top, deep, angle] = &texts;
    let key = if through { "plug" } else { "plug-blind" };
    words.tell(key, &[("wall", wall_text), ("bore", bore), ("width", top), ("depth", deep), ("angle", angle)]);
    if !through {
        let left = words.long(thick - depth);
        words.tell("left-under", &[("left", left.as_str())]);
    }
    tell_passes(&mut words, 1);
    let title = words.text("title-plug", &[]);
    canvas.finish("d1", title, words.description())
}

/// A disc let into a hole that is too wide to fill.
pub(super) fn patch(context: &Context<'_>, thick: f64) -> Option<Drawing> {
    let disc = part(context, "width-1")?;
    let gap = value("butt-gap")?;
    // The disc is broken off in the middle, so that its seams can be seen.
    let size = scale(disc, 40.0, SCALES).max(scale(thick, 9.0, SCALES)).min(scale(thick, 20.0, SCALES));
    let map = Map { scale: size };
    let whole = disc * size <= 44.0;
    let half = if whole { disc / 2.0 } else { 18.0 / size };
    let far = map.half();
    let mut canvas = Canvas::new();
    for side in [-1.0, 1.0] {
        let plate = map.all(&[
            (side * (half + gap), 0.0),
            (side * far, 0.0),
            (side * far, thick),
            (side * (half + gap), thick),
        ]);
        canvas.hatch(Hatch::Up, &plate, &[], 2.4);
        if let [a, b, c, d] = plate.as_slice() {
            canvas.line(Pen::Edge, &[*b, *a, *d, *c]);
            canvas.line(Pen::Thin, &break_line(*b, c.1));
        }
    }
    let piece = map.all(&[(-half, 0.0), (half, 0.0), (half, thick), (-half, thick)]);
    canvas.hatch(Hatch::Down, &piece, &[], 2.4);
    canvas.outline(Pen::Edge, &piece);
    if !whole {
        for offset in [-1.2, 1.2] {
            let (x, top) = map.at((0.0, 0.0));
            canvas.line(Pen::Thin, &break_line((x + offset, top), map.at((0.0, thick)).1));
        }
    }
    let rows = of_side(context, 1);
    let crown = cap_of(&rows);
    let bead = context.passes().first().map_or(thick, |row| row.pool).min(half);
    for side in [-1.0, 1.0] {
        let middle = side * (half + gap / 2.0);
        let curve: Vec<Point> = (0_u32..=8)
            .map(|step| {
                let share = f64::from(step) / 4.0 - 1.0;
                (middle + share * bead / 2.0, -crown * (1.0 - share * share))
            })
            .collect();
        canvas.line(Pen::Hidden, &map.all(&curve));
    }
    let spot = map.at((half + gap / 2.0, thick / 2.0));
    if let Some((first, last)) = rows.first().zip(rows.last()) {
        let name = if first.number == last.number {
            first.number.to_string()
        } else {
            format!("{} to {}", first.number, last.number)
        };
        canvas.label(Label::new(&name).small().ring().to((spot.0, map.at((0.0, -crown)).1)));
    }
    let y = |down: f64| map.at((0.0, down)).1;
    let mut words = Words::new(context, "d1");
    let left = MIDDLE - HALF;
    let text = words.text("disc-label", &[("disc", &words.short(disc))]);
    canvas.across((map.at((-half, 0.0)).0, map.at((half, 0.0)).0), y(-crown) - 9.0, 0.0, &text);
    canvas.down((0.0, y(thick)), left - 5.0, left, lead(&words.exact(thick)));
    if let Some(hole) = line(context, "hole") {
        let text = words.text("hole-label", &[("hole", lead(&words.exact(hole)))]);
        canvas.label(Label::new(&text).small().home((MIDDLE, y(thick) + 14.0)));
    }
    scale_label(&mut canvas, &words, size, y(thick) + 14.0);
    let (wall_text, disc) = (words.exact(thick), words.long(disc));
    words.tell("patch", &[("wall", wall_text.as_str()), ("disc", disc.as_str())]);
    if !whole {
        words.tell("broken-off", &[]);
    }
    tell_passes(&mut words, 1);
    let title = words.text("title-patch", &[]);
    canvas.finish("d1", title, words.description())
}
