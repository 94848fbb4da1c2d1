//! The chart of a summary: for each pass the sheet's range, and in it each run; as SVG and as bars of letters.

use crate::record::{PassSummary, Summary, say};
use crate::units::show::{Toward, number, round_to, trimmed};
use std::fmt::Write;

/// Columns of a bar of letters.
const COLUMNS: usize = 56;
/// Width of the SVG, and where its scale begins and ends.
const WIDTH: f64 = 720.0;
const LEFT: f64 = 92.0;
const RIGHT: f64 = 700.0;
/// Height of a pass, and of the line above the first.
const ROW: f64 = 40.0;
const TOP: f64 = 12.0;
/// Distance of two marks that fall on one place.
const APART: f64 = 7.0;

/// What the chart shows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Chart {
    least: f64,
    most: f64,
    passes: Vec<PassSummary>,
}

fn words(key: &str, args: &[&str]) -> String {
    say(&format!("face/{key}"), args)
}

impl Chart {
    /// The chart of a summary; none where no current was recorded.
    pub(super) fn of(summary: &Summary) -> Option<Self> {
        let passes: Vec<PassSummary> =
            summary.passes.iter().filter(|pass| !pass.readings.is_empty()).cloned().collect();
        let ends = passes.iter().flat_map(|pass| {
            let readings = pass.readings.iter().map(|reading| reading.amperage);
            readings.chain(pass.span.into_iter().flatten()).collect::<Vec<_>>()
        });
        let ends: Vec<f64> = ends.filter(|end| end.is_finite()).collect();
        let least = ends.iter().copied().reduce(f64::min)?;
        let most = ends.iter().copied().reduce(f64::max)?;
        // The scale begins and ends at tens.
        let (least, most) = (round_to(least - 1.0, 10.0, Toward::Down), round_to(most + 1.0, 10.0, Toward::Up));
        (most > least).then_some(Chart { least, most, passes })
    }

    /// Share of the scale that lies below a current, 0 to 1.
    fn share(&self, current: f64) -> f64 {
        ((current - self.least) / (self.most - self.least)).clamp(0.0, 1.0)
    }

    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a column of a few"
    )]
    fn column(&self, current: f64) -> usize {
        libm::round(self.share(current) * (COLUMNS - 1) as f64) as usize
    }

    /// Bars of letters, one line a pass, with the key below them.
    pub(super) fn bars(&self) -> String {
        let mut out = String::new();
        for pass in &self.passes {
            let _ = writeln!(out, "{:>12}  {}", label(pass), self.bar(pass));
        }
        let ends = [self.least, self.most].map(|end| format!("{} A", number(end, 0)));
        let [least, most] = &ends;
        let _ = writeln!(out, "{:>12}  {least:<width$}{most:>width$}", "", width = COLUMNS / 2);
        crate::faces::terminal::push_wrapped(&mut out, "", &words("chart-text", &[least, most]));
        out
    }

    fn bar(&self, pass: &PassSummary) -> String {
        let mut bar = vec![' '; COLUMNS];
        let mut put = |column: usize, mark: char| {
            if let Some(place) = bar.get_mut(column) {
                *place = mark;
            }
        };
        if let Some([low, high]) = pass.span {
            (self.column(low)..=self.column(high)).for_each(|column| put(column, '='));
        }
        if let Some(statistics) = pass.amperage {
            put(self.column(statistics.median), '|');
        }
        for reading in &pass.readings {
            let column = self.column(reading.amperage);
            let same = pass.readings.iter().filter(|other| self.column(other.amperage) == column);
            let mark = match (same.clone().count(), reading.inside) {
                _ if same.clone().any(|other| other.dug_out) => '#',
                _ if same.clone().any(|other| other.inside == Some(false)) => 'x',
                (1, _) => 'o',
                (count, _) => u32::try_from(count).ok().and_then(|count| char::from_digit(count, 10)).unwrap_or('+'),
            };
            put(column, mark);
        }
        bar.into_iter().collect::<String>().trim_end().to_owned()
    }

    /// The chart as a figure of HTML; `plain` makes a text fit for it.
    pub(super) fn figure(&self, plain: &dyn Fn(&str) -> String) -> String {
        let lines: Vec<String> = self.passes.iter().map(described).collect();
        let mut rows = 0.0;
        let mut marks = String::new();
        for pass in &self.passes {
            self.draw(pass, TOP + rows * ROW, &mut marks, plain);
            rows += 1.0;
        }
        let bottom = TOP + rows * ROW;
        let mut out = format!(
            "<figure>\n<svg viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">\n{marks}",
            coordinate(WIDTH),
            coordinate(bottom + 26.0),
            plain(&format!("{}: {}", words("chart", &[]), lines.join(" "))),
        );
        self.axis(bottom, &mut out);
        let _ = write!(out, "</svg>\n<figcaption>{}</figcaption>\n</figure>\n", plain(&words("chart-means", &[])));
        out
    }

    fn x(&self, current: f64) -> f64 {
        LEFT + self.share(current) * (RIGHT - LEFT)
    }

    fn draw(&self, pass: &PassSummary, top: f64, out: &mut String, plain: &dyn Fn(&str) -> String) {
        let middle = top + ROW / 2.0;
        let _ = writeln!(out, "<text x=\"0\" y=\"{}\">{}</text>", coordinate(middle + 4.0), plain(&label(pass)));
        if let Some([low, high]) = pass.span {
            let (from, to) = (self.x(low), self.x(high));
            let [x, y, width, height] = [from, top + 6.0, to - from, ROW - 12.0].map(coordinate);
            let _ = writeln!(out, "<rect class=\"band\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\"/>");
        }
        if let Some(statistics) = pass.amperage {
            let [x, from, to] = [self.x(statistics.median), top + 2.0, top + ROW - 2.0].map(coordinate);
            let _ = writeln!(out, "<path class=\"median\" d=\"M{x} {from}V{to}\"/>");
        }
        for (at, reading) in pass.readings.iter().enumerate() {
            // Marks of one place stand one above the other, from the middle outwards.
            let same =
                pass.readings.iter().take(at).filter(|other| libm::fabs(other.amperage - reading.amperage) < 1.0);
            let steps = same.count();
            #[allow(clippy::cast_precision_loss, reason = "readings are few")]
            let away = (steps.div_ceil(2) as f64 * APART).min(ROW / 2.0 - 5.0);
            let y = if steps % 2 == 1 { middle - away } else { middle + away };
            mark(self.x(reading.amperage), y, reading.inside == Some(false), reading.dug_out, out);
        }
    }

    fn axis(&self, bottom: f64, out: &mut String) {
        let [left, right, y] = [LEFT, RIGHT, bottom].map(coordinate);
        let _ = writeln!(out, "<path class=\"axis\" d=\"M{left} {y}H{right}\"/>");
        let step = if self.most - self.least > 100.0 { 20.0 } else { 10.0 };
        let mut current = round_to(self.least, step, Toward::Up);
        while current <= self.most {
            let [x, to, below] = [self.x(current), bottom + 5.0, bottom + 19.0].map(coordinate);
            let _ = writeln!(
                out,
                "<path class=\"axis\" d=\"M{x} {y}V{to}\"/><text x=\"{x}\" y=\"{below}\" text-anchor=\"middle\">{} A</text>",
                number(current, 0)
            );
            current += step;
        }
    }
}

fn label(pass: &PassSummary) -> String {
    let pass_word = say("pass", &[&pass.number.to_string()]);
    if pass.kind.is_empty() { pass_word } else { format!("{pass_word}, {}", pass.kind) }
}

/// A pass in a sentence, for those who hear the chart.
fn described(pass: &PassSummary) -> String {
    let median = pass.amperage.map(|of| format!("{} A", trimmed(number(of.median, 1)))).unwrap_or_default();
    let outside = pass.readings.iter().filter(|reading| reading.inside == Some(false)).count().to_string();
    let [number, runs, dug] = [pass.number.to_string(), pass.readings.len().to_string(), pass.dug_out.to_string()];
    words("chart-pass", &[&number, pass.kind, &runs, &median, &outside, &dug])
}

/// A ring for a run inside, a diamond for one outside, a cross over it where the pass was dug out.
fn mark(x: f64, y: f64, outside: bool, dug_out: bool, out: &mut String) {
    let at = |dx: f64, dy: f64| format!("{} {}", coordinate(x + dx), coordinate(y + dy));
    if outside {
        let [up, right, down, left] = [at(0.0, -5.0), at(5.0, 0.0), at(0.0, 5.0), at(-5.0, 0.0)];
        let _ = writeln!(out, "<path class=\"out\" d=\"M{up}L{right}L{down}L{left}Z\"/>");
    } else {
        let _ = writeln!(out, "<circle class=\"in\" cx=\"{}\" cy=\"{}\" r=\"4\"/>", coordinate(x), coordinate(y));
    }
    if dug_out {
        let [a, b, c, d] = [at(-6.0, -6.0), at(6.0, 6.0), at(-6.0, 6.0), at(6.0, -6.0)];
        let _ = writeln!(out, "<path class=\"dug\" d=\"M{a}L{b}M{c}L{d}\"/>");
    }
}

/// A place in the drawing.
fn coordinate(value: f64) -> String {
    trimmed(number(value, 1))
}
