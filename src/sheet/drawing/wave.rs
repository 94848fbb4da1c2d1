//! Drawing 3: the current in time: alternating with both shares to scale, or flat.

use super::labels::{Label, SMALL, width};
use super::svg::{Canvas, Hatch, Pen};
use super::{Drawing, Words, aim};
use crate::engine::{Figure, FigureName};
use crate::sheet::context::Context;
use crate::units::show;

const LEFT: f64 = 14.0;
const RIGHT: f64 = 114.0;
const HIGH: f64 = 15.0;

/// Draws the current; none where the polarity, the balance or the frequency is not known.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let polarity = context.figure(FigureName::Polarity).and_then(Figure::word)?;
    if polarity == "AC" { alternating(context) } else { flat(context, polarity) }
}

/// A time as it is printed: to a tenth of a millisecond below 10, else whole.
fn milliseconds(time: f64) -> String {
    format!("{} ms", short(time))
}

fn short(time: f64) -> String {
    show::trimmed(show::number(time, if time < 10.0 { 1 } else { 0 }))
}

fn alternating(context: &Context<'_>) -> Option<Drawing> {
    let balance = aim(context, FigureName::Balance).filter(|share| (1.0..=99.0).contains(share))?;
    let frequency = aim(context, FigureName::Frequency).filter(|frequency| *frequency > 0.0)?;
    let period = 1000.0 / frequency;
    let negative = period * balance / 100.0;
    let positive = period - negative;
    let scale = (RIGHT - LEFT) / (2.0 * period);
    let x = |time: f64| LEFT + time * scale;
    let mut canvas = Canvas::new();
    // Two whole periods, the negative share first: it is the one that heats the work.
    let mut curve = vec![(LEFT, 0.0)];
    for cycle in [0.0, 1.0] {
        let (start, turn, end) = (cycle * period, cycle * period + negative, (cycle + 1.0) * period);
        let below = [(x(start), 0.0), (x(turn), 0.0), (x(turn), HIGH), (x(start), HIGH)];
        canvas.hatch(Hatch::Upright, &below, &[], 2.4);
        let above = [(x(turn), 0.0), (x(end), 0.0), (x(end), -HIGH), (x(turn), -HIGH)];
        canvas.hatch(Hatch::Crossed, &above, &[], 2.8);
        curve.extend([(x(start), HIGH), (x(turn), HIGH), (x(turn), -HIGH), (x(end), -HIGH)]);
    }
    curve.push((RIGHT, 0.0));
    canvas.line(Pen::Heavy, &curve);
    canvas.line(Pen::Edge, &[(LEFT, 0.0), (RIGHT + 3.0, 0.0)]);
    canvas.arrow((RIGHT + 4.0, 0.0), (1.0, 0.0));
    let mut words = Words::new(context, "d3");
    let (minus, plus) = (milliseconds(negative), milliseconds(positive));
    canvas.across((x(0.0), x(negative)), HIGH + 8.0, HIGH, &minus);
    canvas.across((x(negative), x(period)), -HIGH - 6.0, -HIGH, &plus);
    let (en, ep) = shares(context);
    let shares = [("en", en.as_str()), ("ep", ep.as_str()), ("minus", minus.as_str()), ("plus", plus.as_str())];
    for (key, x, y) in
        [("negative", x(period + negative / 2.0), HIGH), ("positive", x(period + negative + positive / 2.0), -HIGH)]
    {
        let mut label = Label::new(&words.text(key, &shares)).bold();
        label.lines.push(words.text(&format!("{key}-does"), &[]));
        let (wide, high) = label.extent();
        let home = x.min(118.0 - wide / 2.0);
        canvas.label(label.home((home, y + (high / 2.0 + 1.5) * y.signum())).to((x, y)));
    }
    for (key, y) in [("plus", -HIGH), ("minus", HIGH)] {
        let text = words.text(key, &[]);
        let wide = width(&text, super::labels::SIZE, true);
        canvas.label(Label::new(&text).bold().home((LEFT - wide / 2.0 - 1.5, y * 0.6)));
    }
    canvas.label(Label::new(&words.text("zero", &[])).small().home((LEFT - width("0", SMALL, false) / 2.0 - 1.5, 0.0)));
    let (one, two, rate) = (milliseconds(period), context.set(FigureName::Frequency), context.set(FigureName::Balance));
    canvas.across(
        (x(0.0), x(period)),
        HIGH + 18.0,
        HIGH,
        &words.text("period", &[("period", &one), ("frequency", &two)]),
    );
    words.tell("ac", &[("frequency", two.as_str()), ("period", one.as_str()), ("balance", rate.as_str())]);
    words.tell("shares", &shares);
    words.tell("shape", &[]);
    let [a, b, c, d] = shares;
    let title = words.text("title-ac", &[a, b, c, d, ("period", one.as_str())]);
    canvas.finish("d3", title, words.description())
}

/// Both shares as they are printed: `70 % EN` and `30 % EP`.
fn shares(context: &Context<'_>) -> (String, String) {
    let both = context.set(FigureName::Balance);
    let (lead, rest) = both.split_once(" (").unwrap_or((both.as_str(), ""));
    let rest = rest.trim_end_matches(')').to_owned();
    let lead = lead.to_owned();
    // A panel may count either share: the one with EN is the negative one.
    if lead.ends_with("EN") || rest.is_empty() { (lead, rest) } else { (rest, lead) }
}

fn flat(context: &Context<'_>, polarity: &str) -> Option<Drawing> {
    let side = match polarity {
        "DCEN" => 1.0,
        "DCEP" => -1.0,
        _ => return None,
    };
    let mut canvas = Canvas::new();
    let block = [(LEFT, 0.0), (RIGHT, 0.0), (RIGHT, side * HIGH), (LEFT, side * HIGH)];
    canvas.hatch(if side > 0.0 { Hatch::Upright } else { Hatch::Crossed }, &block, &[], 2.4);
    canvas.line(Pen::Edge, &[(LEFT, 0.0), (RIGHT + 3.0, 0.0)]);
    canvas.arrow((RIGHT + 4.0, 0.0), (1.0, 0.0));
    canvas.line(Pen::Heavy, &[(LEFT, 0.0), (LEFT, side * HIGH), (RIGHT, side * HIGH)]);
    let mut words = Words::new(context, "d3");
    let key = if side > 0.0 { "dcen" } else { "dcep" };
    let middle = f64::midpoint(LEFT, RIGHT);
    canvas.label(Label::new(&words.text(key, &[])).bold().home((middle, side * (HIGH + 6.0))));
    canvas.label(Label::new(&words.text("zero", &[])).small().home((LEFT - 3.0, 0.0)));
    words.tell(&format!("{key}-told"), &[]);
    let title = words.text("title-dc", &[("polarity", polarity)]);
    canvas.finish("d3", title, words.description())
}
