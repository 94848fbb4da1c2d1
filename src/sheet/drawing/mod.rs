//! The drawings of a sheet: seven, made from its figures, in millimetres on paper.
//!
//! A drawing shows what the tables say and never holds the only copy of a number. One that lacks its figures is left
//! out. One file a drawing; `labels` places the words, `svg` writes.

mod amperage;
mod labels;
mod opening;
mod piece;
mod plan;
mod svg;
mod timeline;
mod torch;
mod wave;
mod window;

use super::context::{Context, Say};
use super::{Block, Section};
use crate::engine::{Figure, FigureName};
use crate::reference::search::constant;
use crate::units::{InUnits, System, celsius, mm, show};
use serde::Serialize;

/// A drawing: what it is, what it says in words, and its lines.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drawing {
    /// `d1` to `d7`; also the end of the name of its file.
    pub id: String,
    /// What it is, in a few words.
    pub title: String,
    /// All that it shows, in sentences, so that it can be drawn again by ear.
    pub description: String,
    /// Upper rim, mm.
    pub top: f64,
    /// Height, mm; every drawing is 120 mm wide.
    pub height: f64,
    /// The elements of the drawing, without the one that holds them.
    pub body: String,
}

impl Eq for Drawing {}

/// Puts the drawings of a sheet where they belong: the plan and the opening after their tables, so that a page ends with
/// rows and not with the room that a drawing did not fit into, wave, torch and
/// timeline to the setting up, the temperatures and the amperage to their tables.
pub(super) fn place(context: &Context<'_>, sections: &mut [Section]) {
    let plan = [("1", "damage", 1, plan::draw(context))];
    let opening = [("3", "groove", 1, opening::draw(context))];
    let set_up = [wave::draw(context), torch::draw(context), timeline::draw(context)];
    let weld = [("6", "temperatures", 0, window::draw(context)), ("6", "amperage", 0, amperage::draw(context))];
    for (section, table, after, drawing) in plan.into_iter().chain(opening).chain(weld) {
        let Some(drawing) = drawing else { continue };
        let Some(section) = sections.iter_mut().find(|own| own.id == section) else { continue };
        let at = section.blocks.iter().position(|block| matches!(block, Block::Table(own) if own.key == table));
        if let Some(at) = at {
            section.blocks.insert(at + after, Block::Drawing(drawing));
        }
    }
    if let Some(section) = sections.iter_mut().find(|own| own.id == "5") {
        section.blocks.splice(0..0, set_up.into_iter().flatten().map(Block::Drawing));
    }
}

/// The words of a drawing.
struct Words<'c, 'a> {
    context: &'c Context<'a>,
    id: &'static str,
    sentences: Vec<String>,
}

impl<'c, 'a> Words<'c, 'a> {
    fn new(context: &'c Context<'a>, id: &'static str) -> Self {
        Words { context, id, sentences: Vec::new() }
    }

    /// A label or title with its blanks filled.
    fn text(&self, key: &str, blanks: &[(&'static str, &str)]) -> String {
        let say = Say::of("drawings", format!("{}/{key}", self.id));
        self.context.cell(&blanks.iter().fold(say, |say, (blank, value)| say.with(blank, *value))).text
    }

    /// A label that every drawing may have.
    fn any(&self, key: &str, value: &str) -> String {
        self.context.cell(&Say::of("drawings", format!("any/{key}")).with("0", value)).text
    }

    /// One more sentence of the description.
    fn tell(&mut self, key: &str, blanks: &[(&'static str, &str)]) {
        let sentence = self.text(key, blanks);
        self.sentences.push(sentence);
    }

    fn description(&self) -> String {
        self.sentences.join(" ")
    }

    /// A length as the tables print it, in both systems.
    fn long(&self, length: f64) -> String {
        super::show::by_hand(length, self.context.system())
    }

    /// The same in the system that comes first: what stands on the drawing.
    fn short(&self, length: f64) -> String {
        lead(&self.long(length)).to_owned()
    }

    /// A length that is stated or measured rather than cut by hand: as the author wrote it where he did, else exact.
    fn exact(&self, length: f64) -> String {
        let (context, system) = (self.context, self.context.system());
        let wall = context.spec().metal.value.thickness.as_ref().map(|at| &at.value);
        let sizes = ["length", "width", "depth", "diameter", "height", "edge"].map(|key| context.size(key));
        let keeps = context.keeps().filter_map(|keep| keep.distance.as_ref()).map(|at| &at.value);
        let mut stated = wall.into_iter().chain(sizes.into_iter().flatten()).chain(keeps);
        let own = stated.find(|amount| amount.is_single() && libm::fabs(amount.value().in_mm() - length) < 1e-9);
        let Some(own) = own else { return show::both(mm(length), system) };
        let text = show::stated(own);
        match text.strip_suffix(')').and_then(|text| text.split_once(" (")) {
            Some((first, second)) if own.system != system => format!("{second} ({first})"),
            _ => text,
        }
    }

    /// A length that is paced rather than measured.
    fn paced(&self, length: f64) -> String {
        super::show::roughly(length, self.context.system())
    }

    /// What a figure is set to, in the system that comes first.
    fn set(&self, name: FigureName) -> String {
        lead(&self.context.set(name)).to_owned()
    }

    /// A temperature of a row of the axis, in a system.
    fn degrees(&self, value: f64, system: System) -> String {
        show::one(celsius(value), system)
    }
}

/// A text in two systems without the second one, which stands in brackets at its end.
fn lead(text: &str) -> &str {
    text.split_once(" (").map_or(text, |(lead, _)| lead)
}

/// A part of the opening, in its unit.
fn part(context: &Context<'_>, key: &str) -> Option<f64> {
    context.part(FigureName::Groove, key).map(|(number, _)| number)
}

/// A line of the working of the opening, by the key of its words.
pub(super) fn line(context: &Context<'_>, words: &str) -> Option<f64> {
    let figure = context.figure(FigureName::Groove)?;
    figure.working.iter().find(|line| line.words == words)?.number
}

fn aim(context: &Context<'_>, name: FigureName) -> Option<f64> {
    context.figure(name).and_then(Figure::aim).filter(|aim| aim.is_finite())
}

/// A constant of the tables.
pub(super) fn value(key: &str) -> Option<f64> {
    constant(key).map(|row| row.value)
}

/// Both ends of a constant of the tables.
fn ends(key: &str) -> Option<[f64; 2]> {
    constant(key).and_then(|row| row.range)
}

/// The largest scale of these at which a length takes no more room than this; else the one that just fits.
fn scale(length: f64, room: f64, scales: &[f64]) -> f64 {
    scales.iter().copied().find(|scale| length * scale <= room).unwrap_or(room / length.max(1e-6))
}

/// A scale as it is written: `4:1`, `1:2.5`.
fn ratio(scale: f64) -> String {
    let text = |number: f64| show::trimmed(show::number(number, 1));
    if scale >= 1.0 { format!("{}:1", text(scale)) } else { format!("1:{}", text(1.0 / scale)) }
}

/// Points of an arc round a middle, from one angle to another, in radians, y down.
fn arc((x, y): labels::Point, radius: f64, from: f64, to: f64) -> Vec<labels::Point> {
    const STEPS: u32 = 16;
    (0..=STEPS)
        .map(|step| {
            let angle = from + (to - from) * f64::from(step) / f64::from(STEPS);
            (x + radius * libm::cos(angle), y + radius * libm::sin(angle))
        })
        .collect()
}

/// A whole circle.
fn circle(middle: labels::Point, radius: f64) -> Vec<labels::Point> {
    let half = std::f64::consts::PI;
    let mut points = arc(middle, radius, 0.0, half);
    points.extend(arc(middle, radius, half, 2.0 * half));
    points
}

/// A break line: a freehand zigzag between two points.
fn break_line((x, from): labels::Point, to: f64) -> Vec<labels::Point> {
    let middle = f64::midpoint(from, to);
    let reach = ((to - from).abs() / 6.0).min(1.6) * (to - from).signum();
    vec![
        (x, from),
        (x, middle - reach),
        (x + 1.1, middle - reach / 3.0),
        (x - 1.1, middle + reach / 3.0),
        (x, middle + reach),
        (x, to),
    ]
}
