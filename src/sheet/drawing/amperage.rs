//! Drawing 4: amperage against the temperature of the part, with the line at which to stop.

use super::labels::{Label, SMALL, width};
use super::svg::{Canvas, Hatch, Pen};
use super::{Drawing, Words, window::axis_text};
use crate::engine::FigureName;
use crate::sheet::context::Context;
use crate::sheet::weld_tables::{self as tables, Band};
use crate::units::show;

const LEFT: f64 = 16.0;
const RIGHT: f64 = 116.0;
const HIGH: f64 = 54.0;

/// From a temperature and a current to the paper.
struct Axes {
    cold: f64,
    hot: f64,
    most: f64,
}

impl Axes {
    fn x(&self, part: f64) -> f64 {
        LEFT + (part - self.cold) / (self.hot - self.cold) * (RIGHT - LEFT)
    }

    fn y(&self, amps: f64) -> f64 {
        -amps / self.most * HIGH
    }

    fn at(&self, part: f64, amps: f64) -> (f64, f64) {
        (self.x(part), self.y(amps))
    }
}

/// Draws the curves; none where no pass was worked out, or where the part starts at the limit.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let parts = tables::parts(context)?;
    let [start, _, limit] = parts;
    let groups = tables::groups(context);
    if groups.is_empty() || limit - start < 1.0 {
        return None;
    }
    let ceiling = Some(tables::ceiling(context)).filter(|ceiling| ceiling.is_finite());
    let highest = groups.iter().flat_map(|group| group.bands).map(|[_, aim, high]| high.max(aim)).fold(0.0, f64::max);
    let most = show::round_to((highest.max(ceiling.unwrap_or(0.0)) * 1.08).max(10.0), step(highest), show::Toward::Up);
    let axes = Axes { cold: start, hot: limit + (limit - start) * 0.28, most };
    let mut canvas = Canvas::new();
    let stop = [axes.at(limit, 0.0), axes.at(axes.hot, 0.0), axes.at(axes.hot, most), axes.at(limit, most)];
    canvas.hatch(Hatch::Crossed, &stop, &[], 5.0);
    let mut words = Words::new(context, "d4");
    let cut = ceiling.unwrap_or(f64::INFINITY);
    let names: Vec<String> = groups.iter().map(|group| group.name(context, groups.len() == 1)).collect();
    let top = groups.iter().map(aim_of).fold(f64::NEG_INFINITY, f64::max);
    let bands = || groups.iter().flat_map(|group| group.bands);
    let rim = Rim {
        high: bands().map(|[_, aim, high]| high.min(cut).max(aim)).fold(ceiling.unwrap_or(0.0), f64::max),
        low: bands().map(|[low, ..]| low.min(cut)).fold(f64::INFINITY, f64::min),
    };
    for ((group, name), pen) in groups.iter().zip(&names).zip([Pen::Edge, Pen::Dashed, Pen::Phantom]) {
        let hatch = if pen == Pen::Edge { Hatch::Up } else { Hatch::Down };
        curve(&mut canvas, &axes, parts, group.bands, cut, (pen, hatch));
        let above = groups.len() > 1 && aim_of(group) >= top;
        label_curve(
            &mut canvas,
            &words,
            &axes,
            parts,
            (group.bands, cut),
            name,
            if above { Err(rim.high) } else { Ok(rim.low) },
        );
    }
    frame(&mut canvas, &words, &axes, parts, most);
    if let Some(ceiling) = ceiling {
        canvas.line(Pen::Heavy, &[axes.at(start, ceiling), axes.at(limit, ceiling)]);
        let text = words.text("ceiling", &[("amps", &tables::amps(context, ceiling))]);
        let (x, y) = axes.at(start, ceiling);
        let label = Label::new(&text);
        let (wide, high) = label.extent();
        canvas.label(label.home((x + wide / 2.0 + 2.0, y - high / 2.0 - 1.0)).to((x + 8.0, y)));
    }
    canvas.line(Pen::Heavy, &[axes.at(limit, 0.0), axes.at(limit, most)]);
    let stop_text = words.text("stop", &[("limit", super::lead(&context.set(FigureName::InterpassMax)))]);
    let middle = f64::midpoint(limit, axes.hot);
    let stop = Label::new(&stop_text).bold().at_ease().in_lines(8);
    canvas.label(stop.home(axes.at(middle, most * 0.5)));
    tell(&mut words, parts, &groups, &names, cut);
    if let Some(ceiling) = ceiling {
        let amps = tables::amps(context, ceiling);
        words.tell("ends", &[("amps", amps.as_str())]);
    }
    let limit = context.set(FigureName::InterpassMax);
    words.tell("limit", &[("limit", limit.as_str())]);
    words.tell("guide", &[]);
    let title = words.text("title", &[("limit", limit.as_str())]);
    canvas.finish("d4", title, words.description())
}

/// Distance of the numbers on the axis of current, A.
fn step(highest: f64) -> f64 {
    match highest {
        _ if highest < 30.0 => 10.0,
        _ if highest < 120.0 => 20.0,
        _ if highest < 260.0 => 50.0,
        _ => 100.0,
    }
}

/// The band, hatched as far as the set reaches, and the aim.
fn curve(canvas: &mut Canvas, axes: &Axes, parts: [f64; 3], bands: [Band; 3], cut: f64, (pen, hatch): (Pen, Hatch)) {
    let points = |pick: fn(Band) -> f64| -> Vec<(f64, f64)> {
        parts.into_iter().zip(bands).map(|(part, band)| axes.at(part, pick(band).min(cut))).collect()
    };
    let (low, high) = (points(|[low, ..]| low), points(|[.., high]| high));
    let area: Vec<(f64, f64)> = low.iter().copied().chain(high.iter().rev().copied()).collect();
    canvas.hatch(hatch, &area, &[], 3.2);
    canvas.line(Pen::Thin, &low);
    canvas.line(Pen::Thin, &high);
    // What the set cannot give is drawn as it is wanted, over the line at which the panel ends.
    let aims = parts.into_iter().zip(bands).map(|(part, [_, aim, _])| axes.at(part, aim));
    canvas.line(pen, &aims.collect::<Vec<_>>());
}

/// Highest and lowest of all that is drawn, A.
struct Rim {
    high: f64,
    low: f64,
}

/// The aim of a group with the part cold.
fn aim_of(group: &tables::Group) -> f64 {
    let [[_, cold, _], ..] = group.bands;
    cold
}

/// The aim in words at both ends: under the lowest band, or over the highest one.
fn label_curve(
    canvas: &mut Canvas,
    words: &Words<'_, '_>,
    axes: &Axes,
    [start, _, limit]: [f64; 3],
    (bands, cut): ([Band; 3], f64),
    name: &str,
    off: Result<f64, f64>,
) {
    let [[_, cold, _], _, [_, warm, _]] = bands;
    let amps = |value: f64| tables::amps(words.context, value);
    let home = |x: f64, high: f64| match off {
        Ok(low) => (x, axes.y(low) + high / 2.0 + 3.0),
        // Over the name of the line at which the panel ends.
        Err(top) => (x, axes.y(top) - high * 1.5 - 3.0),
    };
    let share = 0.2;
    let (x, y) = axes.at(start + (limit - start) * share, cold + (warm - cold) * share);
    let key = if cold > cut { "cannot" } else { "cold" };
    let label = Label::new(&words.text(key, &[("kind", name), ("amps", &amps(cold))])).bold();
    let extent = label.extent();
    canvas.label(label.home(home(LEFT + extent.0 / 2.0 + 2.0, extent.1)).to((x, y)).tied());
    if (cold - warm).abs() > 0.5 {
        let label = Label::new(&words.text("warm", &[("amps", &amps(warm))])).bold();
        let extent = label.extent();
        let end = axes.at(limit - (limit - start) * 0.02, warm);
        canvas.label(label.home(home(axes.x(limit) - extent.0 / 2.0 - 2.0, extent.1)).to(end).tied());
    }
}

/// Axes with their numbers, unit in the title of the axis.
fn frame(canvas: &mut Canvas, words: &Words<'_, '_>, axes: &Axes, parts: [f64; 3], most: f64) {
    canvas.line(Pen::Edge, &[axes.at(axes.cold, most), axes.at(axes.cold, 0.0), axes.at(axes.hot, 0.0)]);
    let step = step(most / 1.08);
    let mut amps = 0.0;
    while amps <= most + 0.5 {
        let (x, y) = axes.at(axes.cold, amps);
        canvas.line(Pen::Thin, &[(x - 1.2, y), (x, y)]);
        let text = show::number(amps, 0);
        let wide = width(&text, SMALL, false);
        canvas.label(Label::new(&text).small().home((x - 2.0 - wide / 2.0, y)).optional());
        amps += step;
    }
    let context = words.context;
    let mut rows = Vec::new();
    for part in parts {
        let (x, y) = axes.at(part, 0.0);
        canvas.line(Pen::Thin, &[(x, y), (x, y + 1.2)]);
        rows.push((x, part));
    }
    let systems = axis_text(context.system());
    for ((system, unit), line) in systems.into_iter().zip([5.0, 10.5]) {
        for (x, part) in &rows {
            let text = words.degrees(*part, system);
            let text = text.split(' ').next().unwrap_or_default();
            canvas.label(Label::new(text).small().home((*x, line)).optional());
        }
        let wide = width(unit, SMALL, false);
        canvas.label(Label::new(unit).small().home((RIGHT - wide / 2.0, line)));
    }
    let text = words.text("axis", &[]);
    let wide = width(&text, SMALL, false);
    canvas.label(Label::new(&text).small().home((LEFT - 6.0 + wide / 2.0, axes.y(most) - 5.0)));
}

fn tell(words: &mut Words<'_, '_>, parts: [f64; 3], groups: &[tables::Group], names: &[String], cut: f64) {
    let context = words.context;
    let amps = |value: f64| tables::amps(context, value);
    for (group, name) in groups.iter().zip(names) {
        for (part, [low, aim, high]) in parts.into_iter().zip(group.bands) {
            let part = show::both(crate::units::celsius(part), context.system());
            let key = if aim > cut { "point-cannot" } else { "point" };
            let (aim, low, high) = (amps(aim), amps(low.min(cut)), amps(high.min(cut)));
            let blanks = [
                ("kind", name.as_str()),
                ("part", part.as_str()),
                ("aim", aim.as_str()),
                ("low", low.as_str()),
                ("high", high.as_str()),
            ];
            words.tell(key, &blanks);
        }
    }
}
