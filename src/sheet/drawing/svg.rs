//! A drawing that is being made, and what comes of it: lines of a few kinds, hatching, dimensions and labels, in mm on
//! paper.
//!
//! Everything is drawn in the colour of the text round it, on paper of the colour behind it; kinds of line and of
//! hatching carry the meaning, so that it prints grey. Hatching is drawn as lines, because patterns print ten times as
//! large.

use super::Drawing;
use super::labels::{Area, Ground, Label, Point, place};
use std::fmt::Write as _;

/// Width of every drawing, mm.
pub(super) const WIDE: f64 = 120.0;
/// Room between what is drawn and the rim, mm.
const RIM: f64 = 1.5;

/// Kinds of line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pen {
    /// A visible edge.
    Edge,
    /// Dimension, extension, leader, hatching, pass.
    Thin,
    /// A hidden edge, a finished cap.
    Hidden,
    /// Metal that goes.
    Phantom,
    /// The rim of the zone to clean and to test.
    Chain,
    /// A centre line.
    Centre,
    /// A crack, and whatever must be seen first.
    Heavy,
    /// A second curve.
    Dashed,
}

impl Pen {
    /// Its width and its dashes, as attributes.
    fn attributes(self) -> &'static str {
        match self {
            Pen::Edge => "stroke-width=\".5\"",
            Pen::Thin => "stroke-width=\".25\"",
            Pen::Hidden => "stroke-width=\".35\" stroke-dasharray=\"3 1\"",
            Pen::Phantom => "stroke-width=\".5\" stroke-dasharray=\"6 .75 .3 .75 .3 .75\"",
            Pen::Chain => "stroke-width=\".7\" stroke-dasharray=\"8 1.5 2 1.5\"",
            Pen::Centre => "stroke-width=\".25\" stroke-dasharray=\"6 .75 .3 .75\"",
            Pen::Heavy => "stroke-width=\".9\"",
            Pen::Dashed => "stroke-width=\".6\" stroke-dasharray=\"2.4 1.2\"",
        }
    }
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fill {
    /// With the colour of the paper.
    Paper,
    /// With the colour of the lines.
    Ink,
}

/// Hatching: the way its lines lean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hatch {
    /// Up to the right.
    Up,
    /// Down to the right.
    Down,
    /// Both, crossed.
    Crossed,
    /// Upright lines.
    Upright,
}

/// Something drawn.
#[derive(Debug)]
enum Item {
    Lines(Pen, String),
    Area(Fill, String),
}

/// A drawing that is being made.
#[derive(Debug, Default)]
pub(super) struct Canvas {
    items: Vec<Item>,
    labels: Vec<Label>,
    ground: Ground,
    ink: Option<Area>,
}

/// A coordinate with two decimals at most; 0 for what is no number.
fn number(value: f64) -> String {
    let mut out = String::with_capacity(8);
    push(&mut out, value);
    out
}

/// Appends a coordinate. A drawing has a thousand of them, so they do not go the way of the numbers that are read.
fn push(out: &mut String, value: f64) {
    let hundredths = (value * 100.0).round();
    #[allow(clippy::cast_possible_truncation, reason = "a drawing is no larger than a wall")]
    let hundredths = if hundredths.abs() < 1e9 { hundredths as i64 } else { 0 };
    if hundredths < 0 {
        out.push('-');
    }
    let size = hundredths.unsigned_abs();
    let _ = write!(out, "{}", size / 100);
    match (size / 10 % 10, size % 10) {
        (0, 0) => {}
        (tenths, 0) => drop(write!(out, ".{tenths}")),
        (tenths, rest) => drop(write!(out, ".{tenths}{rest}")),
    }
}

/// Appends a path through points.
fn path_through(d: &mut String, points: &[Point]) {
    for (point, start) in points.iter().zip(std::iter::once('M').chain(std::iter::repeat('L'))) {
        d.push(start);
        push(d, point.0);
        d.push(' ');
        push(d, point.1);
    }
}

impl Canvas {
    pub(super) fn new() -> Self {
        Canvas::default()
    }

    fn inked(&mut self, (x, y): Point) {
        let spot = Area { left: x, top: y, right: x, bottom: y };
        match &mut self.ink {
            Some(ink) => ink.join(&spot),
            None => self.ink = Some(spot),
        }
    }

    /// Draws a line through points; `closed` back to the first.
    fn path(&mut self, pen: Pen, points: &[Point], closed: bool, kept_clear: bool) {
        points.iter().for_each(|point| self.inked(*point));
        if kept_clear {
            let back = if closed { points.last().zip(points.first()) } else { None };
            let pairs = points.iter().zip(points.iter().skip(1)).chain(back);
            self.ground.lines.extend(pairs.map(|(a, b)| (*a, *b)));
        }
        if !matches!(self.items.last(), Some(Item::Lines(last, _)) if *last == pen) {
            self.items.push(Item::Lines(pen, String::new()));
        }
        if let Some(Item::Lines(_, d)) = self.items.last_mut() {
            path_through(d, points);
            d.push_str(if closed { "Z" } else { "" });
        }
    }

    /// A line through points.
    pub(super) fn line(&mut self, pen: Pen, points: &[Point]) {
        self.path(pen, points, false, true);
    }

    /// A line through points and back to the first.
    pub(super) fn outline(&mut self, pen: Pen, points: &[Point]) {
        self.path(pen, points, true, true);
    }

    /// A filled area.
    pub(super) fn fill(&mut self, fill: Fill, points: &[Point]) {
        points.iter().for_each(|point| self.inked(*point));
        if !matches!(self.items.last(), Some(Item::Area(last, _)) if *last == fill) {
            self.items.push(Item::Area(fill, String::new()));
        }
        if let Some(Item::Area(_, d)) = self.items.last_mut() {
            path_through(d, points);
            d.push('Z');
        }
    }

    /// Hatches an area but for its holes; `apart` is the distance of the lines, mm.
    pub(super) fn hatch(&mut self, hatch: Hatch, area: &[Point], holes: &[&[Point]], apart: f64) {
        if hatch == Hatch::Crossed {
            self.hatch(Hatch::Up, area, holes, apart);
            self.hatch(Hatch::Down, area, holes, apart);
            return;
        }
        for (a, b) in strokes(hatch, area, holes, apart) {
            self.path(Pen::Thin, &[a, b], false, false);
        }
        self.avoid(area);
    }

    /// Makes labels keep off an area where they can.
    pub(super) fn avoid(&mut self, points: &[Point]) {
        let corners = points.iter().map(|(x, y)| Area { left: *x, top: *y, right: *x, bottom: *y });
        let area = corners.reduce(|mut all, spot| {
            all.join(&spot);
            all
        });
        self.ground.hatched.extend(area);
    }

    /// A label.
    pub(super) fn label(&mut self, label: Label) {
        self.labels.push(label);
    }

    /// An arrow head with its point here, looking along a direction of length 1.
    pub(super) fn arrow(&mut self, (x, y): Point, (dx, dy): Point) {
        let (long, half) = (2.4, 0.5);
        let back = (x - dx * long, y - dy * long);
        self.fill(
            Fill::Ink,
            &[(x, y), (back.0 - dy * half, back.1 + dx * half), (back.0 + dy * half, back.1 - dx * half)],
        );
    }

    /// A dimension from left to right at the height `y`, of edges that lie at the height `from`.
    pub(super) fn across(&mut self, (left, right): (f64, f64), y: f64, from: f64, text: &str) {
        let (left, right) = (left.min(right), left.max(right));
        let away = if y < from { -1.0 } else { 1.0 };
        for x in [left, right] {
            self.line(Pen::Thin, &[(x, from + away), (x, y + away * 1.5)]);
        }
        let inside = right - left > 7.0;
        let out = if inside { 0.0 } else { 5.0 };
        self.line(Pen::Thin, &[(left - out, y), (right + out, y)]);
        let turn = if inside { 1.0 } else { -1.0 };
        self.arrow((left, y), (-turn, 0.0));
        self.arrow((right, y), (turn, 0.0));
        let label = Label::new(text);
        let (wide, high) = label.extent();
        let middle = f64::midpoint(left, right);
        let clear = high / 2.0 + 0.6;
        let mut label = label.to((middle, y));
        if inside && wide < right - left {
            label = label.home((middle, y - clear)).home((middle, y + clear));
        }
        self.label(label.home((right + out + wide / 2.0 + 1.2, y)).home((left - out - wide / 2.0 - 1.2, y)));
    }

    /// A dimension from top to bottom at the place `x`, of edges that lie at the place `from`.
    pub(super) fn down(&mut self, (top, bottom): (f64, f64), x: f64, from: f64, text: &str) {
        let (top, bottom) = (top.min(bottom), top.max(bottom));
        let away = if x < from { -1.0 } else { 1.0 };
        for y in [top, bottom] {
            self.line(Pen::Thin, &[(from + away, y), (x + away * 1.5, y)]);
        }
        let inside = bottom - top > 7.0;
        let out = if inside { 0.0 } else { 5.0 };
        self.line(Pen::Thin, &[(x, top - out), (x, bottom + out)]);
        let turn = if inside { 1.0 } else { -1.0 };
        self.arrow((x, top), (0.0, -turn));
        self.arrow((x, bottom), (0.0, turn));
        let mut label = Label::new(text);
        // The margins beside a drawing are narrow.
        if label.extent().0 > 25.0 {
            label = label.in_lines(10);
        }
        let (wide, high) = label.extent();
        let middle = f64::midpoint(top, bottom);
        let clear = wide / 2.0 + 0.9;
        let label = label.to((x, middle)).home((x + away * clear, middle)).home((x - away * clear, middle));
        self.label(label.home((x, top - out - high / 2.0 - 0.6)).home((x, bottom + out + high / 2.0 + 0.6)));
    }

    /// The drawing, its labels in their places.
    pub(super) fn finish(mut self, id: &str, title: String, description: String) -> Option<Drawing> {
        let ink = self.ink?;
        let room = 60.0;
        let bounds = Area { left: RIM, top: ink.top - room, right: WIDE - RIM, bottom: ink.bottom + room };
        let placed = place(std::mem::take(&mut self.labels), &mut self.ground, bounds);
        let mut all = ink;
        placed.iter().for_each(|label| all.join(&label.area));
        let mut body = String::with_capacity(4096);
        for item in &self.items {
            let _ = match item {
                Item::Lines(pen, d) => write!(body, "<path d=\"{d}\" {}/>", pen.attributes()),
                Item::Area(Fill::Paper, d) => write!(body, "<path d=\"{d}\" fill=\"{PAPER}\" stroke=\"none\"/>"),
                Item::Area(Fill::Ink, d) => write!(body, "<path d=\"{d}\" fill=\"currentColor\" stroke=\"none\"/>"),
            };
        }
        for one in placed.iter().filter(|one| one.label.ring) {
            let Area { left, top, right, bottom } = one.area;
            let (wide, high) = (right - left, bottom - top);
            let _ = write!(
                body,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" rx=\"{}\" fill=\"{PAPER}\" stroke-width=\".35\"/>",
                number(left),
                number(top),
                number(wide),
                number(high),
                number(high / 2.0)
            );
        }
        let leaders: String = placed
            .iter()
            .filter_map(|one| one.leader)
            .map(|(a, b)| format!("M{} {}L{} {}", number(a.0), number(a.1), number(b.0), number(b.1)))
            .collect();
        if !leaders.is_empty() {
            let _ = write!(body, "<path d=\"{leaders}\" {}/>", Pen::Thin.attributes());
        }
        let _ = write!(
            body,
            "<g font-family=\"sans-serif\" text-anchor=\"middle\" fill=\"currentColor\" stroke=\"{PAPER}\" \
             stroke-width=\".8\" stroke-linejoin=\"round\" paint-order=\"stroke\">"
        );
        for one in &placed {
            let x = number(f64::midpoint(one.area.left, one.area.right));
            let weight = if one.label.bold { " font-weight=\"bold\"" } else { "" };
            for (y, line) in one.label.baselines(&one.area) {
                let _ = write!(
                    body,
                    "<text x=\"{x}\" y=\"{}\" font-size=\"{}\"{weight}>{}</text>",
                    number(y),
                    number(one.label.size),
                    escaped(line)
                );
            }
        }
        body.push_str("</g>");
        let top = all.top - RIM;
        Some(Drawing { id: id.to_owned(), title, description, top, height: all.bottom + RIM - top, body })
    }
}

/// What stands for the colour of the paper in a body.
const PAPER: &str = "var(--bg,#fff)";

/// Text that may stand between tags and in attributes.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for char in text.chars() {
        match char {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ if char.is_control() => out.push(' '),
            _ => out.push(char),
        }
    }
    out
}

impl Drawing {
    fn opened(&self, attributes: &str) -> String {
        let Drawing { id, title, description, .. } = self;
        format!(
            "<svg{attributes} viewBox=\"0 {} {} {}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" fill=\"none\" \
             stroke=\"currentColor\"><title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>",
            number(self.top),
            number(WIDE),
            number(self.height),
            escaped(title),
            escaped(description)
        )
    }

    /// The drawing as a part of an HTML page, whose colours it takes.
    #[must_use]
    pub fn inline(&self) -> String {
        let mut out = self.opened(" class=\"drawn\"");
        out.push_str(&self.body);
        out.push_str("</svg>");
        out
    }

    /// The drawing as a file of its own, black on white.
    #[must_use]
    pub fn file(&self) -> String {
        let size = format!(
            " xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\"",
            number(WIDE),
            number(self.height)
        );
        let mut out = self.opened(&size).replace("currentColor", "#000");
        let _ = write!(
            out,
            "<rect x=\"0\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"#fff\" stroke=\"none\"/>",
            number(self.top),
            number(WIDE),
            number(self.height)
        );
        out.push_str(&self.body.replace("currentColor", "#000").replace(PAPER, "#fff"));
        out.push_str("</svg>\n");
        out
    }
}

/// The strokes of a hatching: lines that lean, cut at the rims of the area and of its holes.
fn strokes(hatch: Hatch, area: &[Point], holes: &[&[Point]], apart: f64) -> Vec<(Point, Point)> {
    // Turned so that the strokes run along the first axis.
    let turn = |(x, y): Point| match hatch {
        Hatch::Up | Hatch::Crossed => ((x - y) / 2.0, x + y),
        Hatch::Down => (f64::midpoint(x, y), x - y),
        Hatch::Upright => (y, x),
    };
    let back = |(u, v): Point| match hatch {
        Hatch::Up | Hatch::Crossed => (u + v / 2.0, v / 2.0 - u),
        Hatch::Down => (u + v / 2.0, u - v / 2.0),
        Hatch::Upright => (v, u),
    };
    let step = if hatch == Hatch::Upright { apart } else { apart * std::f64::consts::SQRT_2 };
    let polygons: Vec<Vec<Point>> = std::iter::once(area)
        .chain(holes.iter().copied())
        .map(|points| points.iter().map(|p| turn(*p)).collect())
        .collect();
    let Some((outer, inner)) = polygons.split_first() else { return Vec::new() };
    let low = outer.iter().map(|(_, v)| *v).fold(f64::INFINITY, f64::min);
    let high = outer.iter().map(|(_, v)| *v).fold(f64::NEG_INFINITY, f64::max);
    let mut strokes = Vec::new();
    let mut v = (low / step).ceil() * step + step * 0.37;
    while v < high && strokes.len() < 2000 {
        let mut cuts: Vec<f64> = polygons.iter().flat_map(|polygon| cuts(polygon, v)).collect();
        cuts.sort_by(f64::total_cmp);
        for (a, b) in cuts.iter().zip(cuts.iter().skip(1)) {
            let middle = f64::midpoint(*a, *b);
            let inside = is_inside(outer, (middle, v)) && !inner.iter().any(|hole| is_inside(hole, (middle, v)));
            if inside && b - a > 0.15 {
                strokes.push((back((*a, v)), back((*b, v))));
            }
        }
        v += step;
    }
    strokes
}

fn sides(polygon: &[Point]) -> impl Iterator<Item = (&Point, &Point)> {
    polygon.iter().zip(polygon.iter().skip(1)).chain(polygon.last().zip(polygon.first()))
}

/// Where a polygon is cut by the line at `v`.
fn cuts(polygon: &[Point], v: f64) -> Vec<f64> {
    sides(polygon)
        .filter(|(a, b)| (a.1 > v) != (b.1 > v))
        .map(|(a, b)| a.0 + (v - a.1) / (b.1 - a.1) * (b.0 - a.0))
        .collect()
}

fn is_inside(polygon: &[Point], (u, v): Point) -> bool {
    cuts(polygon, v).iter().filter(|cut| **cut > u).count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_and_out_of_holes() {
        let area = [(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)];
        let hole = [(5.0, 2.0), (15.0, 2.0), (15.0, 8.0), (5.0, 8.0)];
        for hatch in [Hatch::Up, Hatch::Down, Hatch::Upright] {
            let strokes = strokes(hatch, &area, &[&hole], 2.0);
            assert!(strokes.len() > 8, "{hatch:?}");
            for (a, b) in strokes {
                for share in [0.01, 0.5, 0.99] {
                    let (x, y) = (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
                    assert!((-1e-9..=20.0 + 1e-9).contains(&x) && (-1e-9..=10.0 + 1e-9).contains(&y));
                    assert!(!(x > 5.0 && x < 15.0 && y > 2.0 && y < 8.0), "{hatch:?}: {x} {y}");
                }
            }
        }
    }

    #[test]
    fn numbers_are_short_and_whole() {
        assert_eq!(number(1.0 / 3.0), "0.33");
        assert_eq!(number(-0.001), "0");
        assert_eq!(number(f64::NAN), "0");
        assert_eq!(number(12.5), "12.5");
    }
}
