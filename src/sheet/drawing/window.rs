//! Drawing 6: the temperatures of the part on one strip: where to start, where to wait, where to stop.

use super::labels::{Label, Point, SMALL, width};
use super::svg::{Canvas, Hatch, Pen};
use super::{Drawing, Words, aim, ends, lead};
use crate::engine::FigureName;
use crate::engine::preheat::first_arc;
use crate::sheet::context::Context;
use crate::sheet::weld_tables as tables;
use crate::units::{Range, System, celsius, show};

const LEFT: f64 = 8.0;
const RIGHT: f64 = 112.0;
const HIGH: f64 = 13.0;

/// Both systems with the name of their degree, the one that leads first.
pub(super) fn axis_text(system: System) -> [(System, &'static str); 2] {
    let rows = [(System::Metric, "°C"), (System::Inch, "°F")];
    let [metric, inch] = rows;
    if system == System::Metric { rows } else { [inch, metric] }
}

/// A limit on the strip.
struct Mark {
    part: f64,
    key: &'static str,
    /// As it is printed, in both systems.
    text: String,
    /// Whether it is a limit to act on, which stands over the strip.
    heavy: bool,
}

/// Draws the strip; none where the metal has no limit.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let limit = aim(context, FigureName::InterpassMax)?;
    let start = first_arc(context.job, &context.worked.figures);
    let warm = tables::warm_from(context).or_else(|| preheat(context)).filter(|from| *from > start && *from <= limit);
    let mixed = warm.is_some() && mixed(context);
    let marks = marks(context, limit, start, warm, mixed);
    let parts = marks.iter().map(|mark| mark.part);
    let low = parts.clone().fold(limit, f64::min);
    let high = parts.fold(limit, f64::max);
    let span = (high - low).max(20.0);
    let (cold, hot) = (low - span * 0.1, high + span * 0.3);
    let x = |part: f64| LEFT + (part - cold) / (hot - cold) * (RIGHT - LEFT);
    let mut canvas = Canvas::new();
    let block = |from: f64, to: f64| -> [Point; 4] { [(x(from), 0.0), (x(to), 0.0), (x(to), HIGH), (x(from), HIGH)] };
    let resume =
        aim(context, FigureName::ResumeBelow).filter(|resume| *resume < limit && *resume > low).unwrap_or(limit);
    if let Some(from) = warm.filter(|_| !mixed) {
        canvas.hatch(Hatch::Upright, &block(cold, from), &[], 2.6);
    }
    // Between "start a pass below" and the limit a pass may run, but none starts.
    if mixed {
        canvas.hatch(Hatch::Upright, &block(resume, limit), &[], 2.6);
    } else if resume < limit && warm.is_none_or(|from| from < resume) {
        canvas.hatch(Hatch::Up, &block(resume, limit), &[], 2.6);
    }
    canvas.hatch(Hatch::Crossed, &block(limit, hot), &[], 2.6);
    canvas.outline(Pen::Edge, &[(LEFT, 0.0), (RIGHT, 0.0), (RIGHT, HIGH), (LEFT, HIGH)]);
    let mut words = Words::new(context, "d6");
    let clear_to = if warm.is_some_and(|from| from >= resume) { limit } else { resume };
    let heavy: Vec<f64> = marks.iter().filter(|mark| mark.heavy).map(|mark| mark.part).collect();
    let mut zone = |key: &str, from: f64, to: f64| {
        if x(to) - x(from) > 3.0 {
            // Where no limit is drawn through it.
            let (from, to) = widest(from, to, &heavy);
            let spot = (x(f64::midpoint(from, to)), HIGH / 2.0);
            let text = words.text(key, &[]);
            let mut label = Label::new(&text).bold().at_ease();
            if label.extent().0 > x(to) - x(from) - 1.0 {
                label = label.small();
            }
            if label.extent().0 > x(to) - x(from) - 1.0 {
                // A narrow zone is named from outside.
                label.at_ease = false;
                canvas.label(label.to(spot));
            } else {
                canvas.label(label.home(spot));
            }
        }
    };
    if mixed {
        zone("root", cold, resume);
        zone("fill", resume, limit);
    } else {
        if let Some(from) = warm {
            zone("wait", cold, from);
        }
        zone("weld", warm.unwrap_or(cold), clear_to);
        if clear_to < limit {
            zone("cool", clear_to, limit);
        }
    }
    zone("stop", limit, hot);
    if let Some([from, to]) = ends("drying-heat") {
        canvas
            .line(Pen::Edge, &[(x(from), HIGH + 1.0), (x(from), HIGH + 2.2), (x(to), HIGH + 2.2), (x(to), HIGH + 1.0)]);
    }
    let heavy: Vec<f64> = heavy.into_iter().map(x).collect();
    for mark in &marks {
        place(&mut canvas, &words, mark, x(mark.part), &heavy);
    }
    scale_rows(&mut canvas, &words, &marks, &x);
    for mark in &marks {
        words.tell(&format!("{}-told", mark.key), &[("value", mark.text.as_str())]);
    }
    let never = context.set(FigureName::InterpassMax);
    let title = words.text("title", &[("limit", never.as_str())]);
    canvas.finish("d6", title, words.description())
}

/// The widest stretch between two temperatures that no mark cuts.
fn widest(from: f64, to: f64, marks: &[f64]) -> (f64, f64) {
    let mut cuts: Vec<f64> =
        marks.iter().copied().filter(|mark| *mark > from && *mark < to).chain([from, to]).collect();
    cuts.sort_by(f64::total_cmp);
    let pairs = cuts.iter().zip(cuts.iter().skip(1)).map(|(a, b)| (*a, *b));
    pairs.max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0))).unwrap_or((from, to))
}

/// Whether some passes wait for a warm part and others for a cool one.
fn mixed(context: &Context<'_>) -> bool {
    let groups = tables::groups(context);
    let warm = groups.iter().filter(|group| tables::wants_warmth(context, &group.bands)).count();
    warm > 0 && warm < groups.len()
}

/// The preheat that the author asks for. Heat to dry a part is no temperature that a pass waits for.
fn preheat(context: &Context<'_>) -> Option<f64> {
    context.figure(FigureName::Preheat).filter(|figure| figure.basis.is_none())?.aim()
}

fn marks(context: &Context<'_>, limit: f64, start: f64, warm: Option<f64>, mixed: bool) -> Vec<Mark> {
    let both = |value: f64, toward| show::limit_both(celsius(value), context.system(), toward);
    let mut marks = vec![Mark { part: start, key: "start", text: both(start, show::Toward::Nearest), heavy: false }];
    let mut add = |part: f64, key: &'static str, text: String, heavy: bool| {
        marks.push(Mark { part, key, text, heavy });
    };
    if let Some(from) = warm {
        let text = tables::warm_from(context)
            .map_or_else(|| context.set(FigureName::Preheat), |from| both(from, show::Toward::Up));
        add(from, if mixed { "warm-fill" } else { "warm" }, text, true);
    }
    if let Some(resume) = aim(context, FigureName::ResumeBelow).filter(|resume| *resume < limit) {
        add(resume, if mixed { "resume-root" } else { "resume" }, context.set(FigureName::ResumeBelow), true);
    }
    add(limit, "limit", context.set(FigureName::InterpassMax), true);
    // At the limit between passes it would only be a second name for the same line.
    let most = context.figure(FigureName::Preheat).and_then(|figure| figure.maximum);
    if let Some(most) = most.filter(|most| libm::fabs(most - limit) > 0.5) {
        add(most, "preheat-most", both(most, show::Toward::Down), false);
    }
    if let Some(hard) =
        context.figure(FigureName::InterpassMax).and_then(|figure| figure.maximum).filter(|hard| *hard > limit)
    {
        add(hard, "hard", both(hard, show::Toward::Down), true);
    }
    if let Some([low, high]) = ends("drying-heat") {
        let text = show::limits_both(Range::new(celsius(low), celsius(high)), context.system());
        add(f64::midpoint(low, high), "drying", text, false);
    }
    marks
}

/// A mark with its name and value; `heavy` are the places of all limits over the strip.
fn place(canvas: &mut Canvas, words: &Words<'_, '_>, mark: &Mark, x: f64, heavy: &[f64]) {
    let text = words.text(mark.key, &[("value", lead(&mark.text))]);
    let mut label = Label::new(&text).in_lines(14);
    if mark.heavy {
        canvas.line(Pen::Heavy, &[(x, HIGH), (x, -3.0)]);
        label = label.bold();
        let (wide, high) = label.extent();
        // Over its mark, to one side of it or to the other; in three rows, so that no line has to lean over a mark.
        // Where a neighbour stands close by, on the side away from it: no line runs through a name.
        let near = |other: &f64| libm::fabs(other - x) > 0.1 && libm::fabs(other - x) < wide / 2.0 + 1.0;
        let after = heavy.iter().any(|other| near(other) && *other > x);
        let before = heavy.iter().any(|other| near(other) && *other < x);
        let [middle, left, right] = [x, x - wide / 2.0 + 3.0, x + wide / 2.0 - 3.0];
        let order = match (before, after) {
            (false, true) => [left, middle, right],
            (true, false) => [right, middle, left],
            _ => [middle, left, right],
        };
        for row in [0.0, 1.0, 2.0] {
            let y = -4.0 - high / 2.0 - row * 11.5;
            label = order.into_iter().fold(label, |label, at| label.home((at, y)));
        }
        canvas.label(label.to((x, -3.0)).tied());
    } else {
        canvas.line(Pen::Thin, &[(x, HIGH), (x, HIGH + 2.5)]);
        label = label.small();
        let (_, high) = label.extent();
        canvas.label(label.home((x, HIGH + 16.5 + high / 2.0)).to((x, HIGH + 15.0)).tied());
    }
}

/// Numbers under the strip, the leading system first.
fn scale_rows(canvas: &mut Canvas, words: &Words<'_, '_>, marks: &[Mark], x: &dyn Fn(f64) -> f64) {
    for ((system, unit), line) in axis_text(words.context.system()).into_iter().zip([HIGH + 5.5, HIGH + 10.5]) {
        let wide = width(unit, SMALL, false);
        canvas.label(Label::new(unit).small().home((RIGHT + 2.0 - wide / 2.0, line)));
        for mark in marks.iter().filter(|mark| mark.key != "drying") {
            // The rounding of a limit is that of its own text, which is on the safe side.
            let [first, second] = [lead(&mark.text), mark.text.split_once(" (").map_or("", |(_, rest)| rest)];
            let text = if first.ends_with(unit) { first } else { second.trim_end_matches(')') };
            let number = text.split(' ').next().unwrap_or_default();
            canvas.label(Label::new(number).small().home((x(mark.part), line)).optional());
            let _ = system;
        }
    }
}
