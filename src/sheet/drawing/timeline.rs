//! Drawing 7: gas and arc in time.

use super::labels::{Label, SIZE, width};
use super::svg::{Canvas, Hatch, Pen};
use super::{Drawing, Words, aim, ends, lead};
use crate::engine::FigureName;
use crate::sheet::context::Context;
use crate::units::{Range, seconds, show};

const LEFT: f64 = 18.0;
const RIGHT: f64 = 114.0;
/// Length of the weld itself on paper, mm: it has no length of its own.
const ARC: f64 = 26.0;
const TRACK: f64 = 11.0;

/// Draws the timeline; none where the times of the gas are not known.
pub(super) fn draw(context: &Context<'_>) -> Option<Drawing> {
    let before = aim(context, FigureName::PreFlow).filter(|time| *time >= 0.0)?;
    let after = aim(context, FigureName::PostFlow).filter(|time| *time >= 0.0)?;
    let [fade_low, fade_high] = ends("slope-down")?;
    let fade = f64::midpoint(fade_low, fade_high);
    let scale = (RIGHT - LEFT - ARC) / (before + fade + after).max(1e-6);
    let strike = LEFT + before * scale;
    let ease = strike + ARC;
    let out = ease + fade * scale;
    let end = out + after * scale;
    let mut canvas = Canvas::new();
    let (gas, arc) = (0.0, 22.0);
    let block = [(LEFT, gas), (end, gas), (end, gas + TRACK), (LEFT, gas + TRACK)];
    canvas.hatch(Hatch::Up, &block, &[], 2.6);
    canvas.outline(Pen::Edge, &block);
    let current = [(strike, arc + TRACK), (strike, arc), (ease, arc), (out, arc + TRACK)];
    canvas.hatch(Hatch::Crossed, &current, &[], 3.0);
    canvas.line(Pen::Heavy, &current);
    canvas.line(Pen::Edge, &[(LEFT - 2.0, arc + TRACK), (end + 3.0, arc + TRACK)]);
    canvas.arrow((end + 4.0, arc + TRACK), (1.0, 0.0));
    // The weld lasts as long as it lasts: both tracks are broken there.
    let gap = f64::midpoint(strike, ease);
    for x in [gap - 1.2, gap + 1.2] {
        canvas.line(Pen::Thin, &super::break_line((x, gas - 1.5), gas + TRACK + 1.5));
        canvas.line(Pen::Thin, &super::break_line((x, arc - 1.5), arc + TRACK + 1.5));
    }
    for x in [strike, ease, out] {
        canvas.line(Pen::Centre, &[(x, gas - 2.0), (x, arc + TRACK + 3.0)]);
    }
    let mut words = Words::new(context, "d7");
    for (key, y) in [("gas", gas), ("arc", arc)] {
        let text = words.text(key, &[]);
        canvas.label(Label::new(&text).bold().home((LEFT - width(&text, SIZE, true) / 2.0 - 2.0, y + TRACK / 2.0)));
    }
    let fade_text = show::range_both(Range::new(seconds(fade_low), seconds(fade_high)), context.system());
    let (pre, post) = (context.set(FigureName::PreFlow), context.set(FigureName::PostFlow));
    canvas.across((LEFT, strike), gas - 6.0, gas, &words.text("pre", &[("time", lead(&pre))]));
    canvas.across((out, end), gas - 6.0, gas, &words.text("post", &[("time", lead(&post))]));
    canvas.across((ease, out), arc + TRACK + 7.0, arc + TRACK, &words.text("fade", &[("time", lead(&fade_text))]));
    canvas.label(Label::new(&words.text("weld", &[])).home((gap, arc + TRACK + 6.0)).to((gap, arc + TRACK)));
    words.tell("pre-told", &[("time", pre.as_str())]);
    words.tell("weld-told", &[]);
    words.tell("fade-told", &[("time", fade_text.as_str())]);
    words.tell("post-told", &[("time", post.as_str())]);
    words.tell("scale-told", &[]);
    let title = words.text("title", &[("pre", pre.as_str()), ("post", post.as_str())]);
    canvas.finish("d7", title, words.description())
}
