//! Drawing 5: torch, cup, tungsten, arc and rod over the opening.

use super::labels::{Label, Point};
use super::svg::{Canvas, Fill, Hatch, Pen};
use super::{Drawing, Words, aim, ends, part};
use crate::engine::FigureName;
use crate::reference::cup;
use crate::sheet::context::Context;
use crate::units::show;

/// Lower rim of the work on paper, mm.
const UNDER: f64 = 9.0;
/// Length of the cup on the drawing, in bores: nothing is measured on it.
const BODY: f64 = 1.25;

/// Draws the torch; none where cup, tungsten or stick-out is not known.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let tungsten = aim(context, FigureName::TungstenDiameter).filter(|size| *size > 0.0)?;
    let stick_out = aim(context, FigureName::StickOut).filter(|length| *length > 0.0)?;
    let number = aim(context, FigureName::Cup)?;
    let bore = cup().rows.iter().find(|cup| (f64::from(cup.number) - number).abs() < 0.1)?.bore;
    let [push_low, push_high] = ends("torch-push")?;
    let [rod_low, rod_high] = ends("rod-angle")?;
    let rod = aim(context, FigureName::FillerDiameter);
    let depth = part(context, "depth-1").filter(|depth| *depth > 0.3);
    let push = f64::midpoint(push_low, push_high);
    let low = f64::midpoint(rod_low, rod_high);
    let size = (44.0 / (stick_out + tungsten + depth.unwrap_or(0.0)).max(bore)).min(4.0);
    let top = stick_out + bore * BODY + 4.0 / size;
    let view = View { size, lean: push.to_radians(), tip: (62.0, -tungsten * size), top };
    let mut canvas = Canvas::new();
    work(&mut canvas, &view, depth);
    head(&mut canvas, &view, tungsten, stick_out, bore);
    rod_line(&mut canvas, &view, rod.unwrap_or(tungsten), low);
    let mut words = Words::new(context, "d5");
    marks(&mut canvas, &words, &view, (tungsten, stick_out, bore), depth);
    angles(&mut canvas, &words, &view, (push_low, push_high), (rod_low, rod_high), low);
    let texts = [
        context.set(FigureName::Cup),
        words.exact(bore),
        context.set(FigureName::TungstenDiameter),
        context.set(FigureName::StickOut),
        context.set(FigureName::TungstenDiameter),
    ];
    let [cup, bore, tungsten, stick_out, arc] = &texts;
    words.tell("told", &[("cup", cup), ("bore", bore), ("tungsten", tungsten), ("stick_out", stick_out), ("arc", arc)]);
    let (push, low) = (range((push_low, push_high)), range((rod_low, rod_high)));
    words.tell("angles", &[("push", push.as_str()), ("rod", low.as_str())]);
    if let Some(depth) = depth {
        let depth = words.long(depth);
        words.tell("depth", &[("depth", depth.as_str())]);
    }
    words.tell("not-to-scale", &[]);
    let title = words.text("title", &[("cup", cup), ("bore", bore), ("stick_out", stick_out)]);
    canvas.finish("d5", title, words.description())
}

fn range((low, high): (f64, f64)) -> String {
    show::range_both(
        crate::units::Range::new(crate::units::degrees(low), crate::units::degrees(high)),
        crate::units::System::Metric,
    )
}

/// The torch leans back about the point of the tungsten.
struct View {
    size: f64,
    lean: f64,
    tip: Point,
    /// How far its back lies from the tip, mm of the torch.
    top: f64,
}

impl View {
    /// A point of the torch: across its axis and up along it from the tip, mm of the torch.
    fn at(&self, across: f64, up: f64) -> Point {
        let (x, y) = (across * self.size, -up * self.size);
        let (sin, cos) = (libm::sin(self.lean), libm::cos(self.lean));
        (self.tip.0 + x * cos + y * sin, self.tip.1 + y * cos - x * sin)
    }

    fn all(&self, points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|(across, up)| self.at(*across, *up)).collect()
    }
}

/// The work: hatched under its face, cut open under the arc where an opening has been made.
fn work(canvas: &mut Canvas, view: &View, depth: Option<f64>) {
    let (left, right) = (31.0, 114.0);
    let floor = depth.map_or(0.0, |depth| depth * view.size);
    // The arc burns on the bottom of the opening, so its face lies above the bottom.
    let face = -floor;
    // Seen along the weld: the near wall is cut away and the far one stands behind the arc.
    canvas.hatch(Hatch::Up, &[(left, 0.0), (right, 0.0), (right, UNDER), (left, UNDER)], &[], 2.6);
    canvas.line(Pen::Edge, &[(left, 0.0), (right, 0.0)]);
    if depth.is_some() {
        canvas.line(Pen::Hidden, &[(left, face), (right, face)]);
    }
}

/// Cup, tungsten and arc.
fn head(canvas: &mut Canvas, view: &View, tungsten: f64, stick_out: f64, bore: f64) {
    let taper = 2.2 * tungsten;
    let (half, lip) = (tungsten / 2.0, stick_out);
    let top = lip + bore * BODY;
    let wall = bore * 0.14;
    let outer = bore / 2.0 + wall;
    for side in [-1.0, 1.0] {
        let shell = [(side * bore / 2.0, lip), (side * outer, lip), (side * outer, top), (side * bore / 2.0, top)];
        canvas.fill(Fill::Paper, &view.all(&shell));
        canvas.hatch(Hatch::Down, &view.all(&shell), &[], 1.8);
        canvas.outline(Pen::Edge, &view.all(&shell));
    }
    let (neck, back) = (bore * 0.35, view.top);
    let closed = [(-outer, top), (-neck, back), (neck, back), (outer, top)];
    canvas.outline(Pen::Edge, &view.all(&closed));
    let body = [(0.0, 0.0), (half, taper.min(lip)), (half, top), (-half, top), (-half, taper.min(lip))];
    canvas.fill(Fill::Paper, &view.all(&body));
    canvas.outline(Pen::Edge, &view.all(&body));
    // The arc: a bell from the tip to the pool.
    let (x, y) = view.tip;
    let wide = tungsten * view.size * 0.9;
    for side in [-1.0, 1.0] {
        canvas.line(Pen::Hidden, &[(x, y), (x + side * wide * 0.6, y * 0.4), (x + side * wide, 0.0)]);
    }
}

/// The rod, low in front of the pool.
fn rod_line(canvas: &mut Canvas, view: &View, rod: f64, low: f64) {
    let lean = low.to_radians();
    let (sin, cos) = (libm::sin(lean), libm::cos(lean));
    let thick = (rod * view.size).clamp(1.2, 6.0);
    let start = (view.tip.0 + 5.0 + thick, -thick * 0.6);
    let far = (116.0 - start.0) / cos;
    let at = |along: f64, up: f64| (start.0 + along * cos - up * sin, start.1 - along * sin - up * cos);
    let points = [at(0.0, 0.0), at(far, 0.0), at(far, thick), at(0.0, thick)];
    canvas.fill(Fill::Paper, &points);
    canvas.outline(Pen::Edge, &points);
}

/// Bore, tungsten, stick-out, arc, depth.
fn marks(
    canvas: &mut Canvas,
    words: &Words<'_, '_>,
    view: &View,
    (tungsten, stick_out, bore): (f64, f64, f64),
    depth: Option<f64>,
) {
    let context = words.context;
    let outer = bore * 0.64;
    // Stick-out along the axis, on the side away from the rod.
    let off = -outer - 3.0 / view.size;
    let (a, b) = (view.at(off, 0.0), view.at(off, stick_out));
    canvas.line(Pen::Thin, &[view.at(-tungsten * 0.3, 0.0), view.at(off - 1.0 / view.size, 0.0)]);
    canvas.line(Pen::Thin, &[view.at(-outer, stick_out), view.at(off - 1.0 / view.size, stick_out)]);
    canvas.line(Pen::Thin, &[a, b]);
    let (sin, cos) = (libm::sin(view.lean), libm::cos(view.lean));
    canvas.arrow(a, (sin, cos));
    canvas.arrow(b, (-sin, -cos));
    let text = words.text("stick-out", &[("stick_out", &words.set(FigureName::StickOut))]);
    let label = Label::new(&text).bold().in_lines(10);
    let (wide, _) = label.extent();
    let (_, high) = label.extent();
    let middle = (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1));
    // Beside its line; under the work, where the depth of the opening is measured there.
    let under = (wide / 2.0 + 2.0, UNDER + high / 2.0 + 1.5);
    let home = if depth.is_some() { under } else { (middle.0 - wide / 2.0 - 2.0, middle.1) };
    canvas.label(label.home(home).to(middle).tied());
    let cup = words.text("cup", &[("cup", &context.set(FigureName::Cup)), ("bore", super::lead(&words.exact(bore)))]);
    let label = Label::new(&cup).in_lines(14);
    let (wide, _) = label.extent();
    let spot = view.at(outer, stick_out + bore * 0.85);
    canvas.label(label.home((spot.0 + wide / 2.0 + 9.0, spot.1)).to(spot).tied());
    let text = words.text("tungsten", &[("tungsten", &words.set(FigureName::TungstenDiameter))]);
    let label = Label::new(&text).in_lines(9);
    let (wide, _) = label.extent();
    let (beside, spot) = (view.at(outer, stick_out + bore * 0.45), view.at(tungsten / 2.0, stick_out + bore * 0.45));
    canvas.label(label.home((beside.0 + wide / 2.0 + 7.0, beside.1)).to(spot).tied().at_ease());
    let arc = words.text("arc", &[("arc", &words.set(FigureName::TungstenDiameter))]);
    canvas.label(Label::new(&arc).bold().to((view.tip.0, view.tip.1 / 2.0)));
    if let Some(depth) = depth {
        let face = -depth * view.size;
        canvas.down((face, 0.0), 28.0, 31.0, &words.text("opening", &[("depth", &words.short(depth))]));
    }
    let (y, x) = (16.0, 84.0);
    canvas.line(Pen::Edge, &[(x, y), (x + 24.0, y)]);
    canvas.arrow((x + 26.0, y), (1.0, 0.0));
    canvas.label(Label::new(&words.text("push", &[])).home((x + 12.0, y + 4.0)));
}

/// The lean of the torch from the vertical and of the rod from the work.
fn angles(canvas: &mut Canvas, words: &Words<'_, '_>, view: &View, push: (f64, f64), rod: (f64, f64), low: f64) {
    let up = std::f64::consts::FRAC_PI_2;
    // Over the torch, where nothing else is.
    let reach = view.top * view.size + 9.0;
    canvas.line(Pen::Centre, &[view.tip, (view.tip.0, view.tip.1 - reach)]);
    canvas.line(Pen::Centre, &[view.at(0.0, 0.0), view.at(0.0, reach / view.size)]);
    let arc = super::arc(view.tip, reach - 1.5, -up - view.lean, -up);
    canvas.line(Pen::Thin, &arc);
    let spot = arc.get(8).copied().unwrap_or(view.tip);
    let label = Label::new(&words.text("lean", &[("angle", &range(push))])).bold();
    let (_, high) = label.extent();
    let highest = view.tip.1 - reach;
    canvas.label(label.home((spot.0, highest - high / 2.0 - 0.8)).to(spot));
    let start = (view.tip.0 + 6.0, 0.0);
    let arc = super::arc(start, 40.0, -low.to_radians(), 0.0);
    canvas.line(Pen::Thin, &arc);
    let spot = arc.get(8).copied().unwrap_or(start);
    let text = words.text("rod", &[("angle", &range(rod))]);
    let label = Label::new(&text).bold().in_lines(17);
    let (wide, high) = label.extent();
    let over = -(114.0 - start.0) * libm::tan(low.to_radians()) - 10.5 - high / 2.0;
    canvas.label(label.home((117.0 - wide / 2.0, over)).to(spot).tied().at_ease());
}
