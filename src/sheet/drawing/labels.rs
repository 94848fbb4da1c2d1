//! Labels of a drawing: how wide a text is at most, and where each label stands so that none meets another one or the
//! rim of the drawing.
//!
//! No font is measured. Widths are those of a wide sans-serif face, so that a text is never wider than its box.

use std::sync::LazyLock;

/// A point, in mm on paper: x to the right, y down.
pub(super) type Point = (f64, f64);

/// Type of what must be read at arm's length, mm.
pub(super) const SIZE: f64 = 4.6;
/// Type of what is looked up, mm.
pub(super) const SMALL: f64 = 3.8;
/// Lines of one label stand this many times their size apart.
const LEADING: f64 = 1.18;
/// Room round a label, mm.
const ROOM: f64 = 0.5;

/// Width of a character as a share of the size of type.
fn character(char: char) -> f64 {
    match char {
        'i' | 'j' | 'l' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' => 0.4,
        'f' | 't' | 'r' | '(' | ')' | '/' | '-' | 'I' | '[' | ']' | '°' => 0.5,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '+' | '=' | '<' | '>' => 0.98,
        'A'..='Z' => 0.78,
        // One em for what is no letter of this alphabet: it may be drawn in any face.
        _ if char.is_ascii() || char.is_alphabetic() && u32::from(char) < 0x500 => 0.64,
        _ => 1.0,
    }
}

/// The most that a text is wide, mm.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let letters: f64 = text.chars().map(character).sum();
    #[allow(clippy::cast_precision_loss, reason = "labels are short")]
    let even = 0.56 * text.chars().count() as f64;
    letters.max(even) * size * if bold { 1.12 } else { 1.0 }
}

/// A rectangle along the axes: left, top, right, bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Area {
    pub(super) fn round((x, y): Point, width: f64, height: f64) -> Self {
        Area { left: x - width / 2.0, top: y - height / 2.0, right: x + width / 2.0, bottom: y + height / 2.0 }
    }

    fn grown(&self, by: f64) -> Area {
        Area { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    fn meets(&self, other: &Area) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    fn holds(&self, other: &Area) -> bool {
        self.left <= other.left && self.top <= other.top && self.right >= other.right && self.bottom >= other.bottom
    }

    pub(super) fn join(&mut self, other: &Area) {
        self.left = self.left.min(other.left);
        self.top = self.top.min(other.top);
        self.right = self.right.max(other.right);
        self.bottom = self.bottom.max(other.bottom);
    }

    /// Whether a stretch of a line runs through it.
    fn crossed(&self, (a, b): (Point, Point)) -> bool {
        if a.0.max(b.0) < self.left
            || a.0.min(b.0) > self.right
            || a.1.max(b.1) < self.top
            || a.1.min(b.1) > self.bottom
        {
            return false;
        }
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (step, start, low, high) in [(dx, a.0, self.left, self.right), (dy, a.1, self.top, self.bottom)] {
            if step.abs() < 1e-9 {
                if start < low || start > high {
                    return false;
                }
                continue;
            }
            let (one, two) = ((low - start) / step, (high - start) / step);
            from = from.max(one.min(two));
            to = to.min(one.max(two));
        }
        from <= to
    }

    /// The point of its rim that is nearest to a point.
    fn nearest(&self, (x, y): Point) -> Point {
        (x.clamp(self.left, self.right), y.clamp(self.top, self.bottom))
    }
}

/// A label that is to be placed.
#[derive(Debug, Clone)]
pub(super) struct Label {
    pub(super) lines: Vec<String>,
    pub(super) size: f64,
    pub(super) bold: bool,
    /// Whether it stands in a ring: the number of a pass.
    pub(super) ring: bool,
    /// Where its middle would best be, best first; no line leads from it there.
    pub(super) homes: Vec<Point>,
    /// What it belongs to: a line leads there where it stands anywhere else.
    pub(super) target: Option<Point>,
    /// Whether it is left out rather than moved: a number of an axis.
    pub(super) optional: bool,
    /// Whether it may stand on lines and hatching.
    pub(super) at_ease: bool,
    /// Whether a line leads from it wherever it stands.
    pub(super) tied: bool,
}

/// A label in its place.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub(super) label: Label,
    pub(super) area: Area,
    /// From the label to what it belongs to.
    pub(super) leader: Option<(Point, Point)>,
}

impl Label {
    pub(super) fn new(text: &str) -> Self {
        Label {
            lines: wrapped(text, 30),
            size: SIZE,
            bold: false,
            ring: false,
            homes: Vec::new(),
            target: None,
            optional: false,
            at_ease: false,
            tied: false,
        }
    }

    pub(super) fn small(mut self) -> Self {
        self.size = SMALL;
        self
    }

    pub(super) fn bold(mut self) -> Self {
        self.bold = true;
        self
    }

    pub(super) fn ring(mut self) -> Self {
        self.ring = true;
        self.at_ease = true;
        self
    }

    pub(super) fn at_ease(mut self) -> Self {
        self.at_ease = true;
        self
    }

    pub(super) fn tied(mut self) -> Self {
        self.tied = true;
        self
    }

    /// In lines of about this many characters.
    pub(super) fn in_lines(mut self, most: usize) -> Self {
        self.lines = wrapped(&self.lines.join(" "), most);
        self
    }

    pub(super) fn home(mut self, home: Point) -> Self {
        self.homes.push(home);
        self
    }

    pub(super) fn to(mut self, target: Point) -> Self {
        self.target = Some(target);
        self
    }

    pub(super) fn optional(mut self) -> Self {
        self.optional = true;
        self.at_ease = true;
        self
    }

    /// Width and height of its box.
    pub(super) fn extent(&self) -> (f64, f64) {
        let wide = self.lines.iter().map(|line| width(line, self.size, self.bold)).fold(0.0, f64::max);
        #[allow(clippy::cast_precision_loss, reason = "labels have few lines")]
        let high = self.size * (1.02 + LEADING * self.lines.len().saturating_sub(1) as f64);
        if self.ring { (wide.max(high) + 0.8, high + 0.8) } else { (wide, high) }
    }

    /// Baselines of its lines, with the middle of the box at this point.
    pub(super) fn baselines(&self, area: &Area) -> impl Iterator<Item = (f64, &str)> {
        let top = area.top + if self.ring { 0.4 } else { 0.0 };
        let size = self.size;
        self.lines
            .iter()
            .zip(0_u32..)
            .map(move |(line, number)| (top + size * (0.8 + LEADING * f64::from(number)), line.as_str()))
    }
}

const UNITS: &[&str] = &["mm", "in", "°C", "°F", "A", "s", "ms", "Hz", "deg", "%", "EN", "EP"];

/// A text in lines of about this many characters, broken at spaces.
pub(super) fn wrapped(text: &str, most: usize) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        // A unit stays with its number.
        match words.last_mut() {
            Some(number)
                if UNITS.contains(&word.trim_end_matches([',', ':']))
                    && number.ends_with(|c: char| c.is_ascii_digit() || c == '%') =>
            {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        // A word that fits on no line is cut: the table has it in full.
        let word: String = word.chars().take(most).collect();
        match lines.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < most => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// What labels stay clear of, as far as they can.
#[derive(Debug, Default)]
pub(super) struct Ground {
    /// Lines.
    pub(super) lines: Vec<(Point, Point)>,
    /// Hatched areas.
    pub(super) hatched: Vec<Area>,
}

/// Cost of a label on a line, as mm that it would rather be moved; of one on hatching; of a leader over a label.
const ON_LINE: f64 = 20.0;
const ON_HATCH: f64 = 14.0;
const OVER_LABEL: f64 = 40.0;
/// Cost of a leader over a line.
const CROSSING: f64 = 4.0;

/// Places all labels between `left` and `right`. Those with one home and no target come first, the others in their order.
pub(super) fn place(labels: Vec<Label>, ground: &mut Ground, bounds: Area) -> Vec<Placed> {
    let mut placed: Vec<Placed> = Vec::new();
    let (fixed, free): (Vec<Label>, Vec<Label>) = labels.into_iter().partition(|label| label.target.is_none());
    for label in fixed.into_iter().chain(free) {
        if label.lines.is_empty() {
            continue;
        }
        let spot = best(&label, &placed, ground, bounds);
        let (area, leader) = match spot {
            Some(spot) => spot,
            None if label.optional => continue,
            None => (below(&label, &placed, ground, bounds), None),
        };
        ground.lines.extend(leader);
        placed.push(Placed { label, area, leader });
    }
    placed
}

type Spot = (Area, Option<(Point, Point)>);

/// The cheapest place of a label that meets no other one; none where there is none.
fn best(label: &Label, placed: &[Placed], ground: &Ground, bounds: Area) -> Option<Spot> {
    let (wide, high) = label.extent();
    let mut best: Option<(f64, Spot)> = None;
    for (home, rank) in label.homes.iter().zip(0_u32..) {
        let area = Area::round(*home, wide, high);
        let Some(cost) = cost(&area, placed, ground, bounds, label.at_ease) else { continue };
        let cost = cost + f64::from(rank);
        let leader = label.target.filter(|_| label.tied).map(|target| (area.nearest(target), target));
        if cost < 1e-9 {
            return Some((area, leader));
        }
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, (area, leader)));
        }
    }
    if let Some(target) = label.target {
        around(label, target, &mut best, placed, ground, bounds);
    }
    best.map(|(_, spot)| spot)
}

/// Directions in which a label may stand off what it belongs to, as lengths across and down.
static DIRECTIONS: LazyLock<Vec<Point>> = LazyLock::new(|| {
    const COUNT: u32 = 24;
    let angle = |step: u32| f64::from(step) * std::f64::consts::TAU / f64::from(COUNT);
    (0..COUNT).map(|step| (libm::cos(angle(step)), libm::sin(angle(step)))).collect()
});

/// Looks at places round what a label belongs to, near ones first.
fn around(
    label: &Label,
    target: Point,
    best: &mut Option<(f64, Spot)>,
    placed: &[Placed],
    ground: &Ground,
    bounds: Area,
) {
    let (wide, high) = label.extent();
    for ring in 0_u32..34 {
        let far = 3.0 + 2.5 * f64::from(ring);
        // A place that needs a line is dearer than one at home.
        let distance = 5.0 + far;
        for (x, y) in DIRECTIONS.iter() {
            let least = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
            if least <= distance {
                return;
            }
            let middle = (target.0 + x * (far + wide / 2.0), target.1 + y * (far + high / 2.0));
            let area = Area::round(middle, wide, high);
            let Some(cost) = cost(&area, placed, ground, bounds, false) else { continue };
            if distance + cost >= least {
                continue;
            }
            let leader = (area.nearest(target), target);
            let over = placed.iter().filter(|other| other.area.crossed(leader)).count();
            let crossed = ground.lines.iter().filter(|line| cross(leader, **line)).count();
            #[allow(clippy::cast_precision_loss, reason = "few labels and lines")]
            let cost = distance + cost + OVER_LABEL * over as f64 + CROSSING * crossed as f64;
            if cost < least - 1e-9 {
                *best = Some((cost, (area, Some(leader))));
            }
        }
    }
}

/// What a place costs; none where a label may not stand.
fn cost(area: &Area, placed: &[Placed], ground: &Ground, bounds: Area, at_ease: bool) -> Option<f64> {
    let clear = area.grown(ROOM);
    if !bounds.holds(area) || placed.iter().any(|other| other.area.meets(&clear)) {
        return None;
    }
    // The number of a pass and the number of an axis stand on their lines.
    if at_ease {
        return Some(0.0);
    }
    let lines = ground.lines.iter().filter(|line| area.crossed(**line)).count();
    let hatched = ground.hatched.iter().filter(|hatch| hatch.meets(area)).count();
    #[allow(clippy::cast_precision_loss, reason = "few lines")]
    let cost = lines as f64 * ON_LINE + hatched as f64 * ON_HATCH;
    Some(cost)
}

/// Whether two stretches cross.
fn cross((a, b): (Point, Point), (c, d): (Point, Point)) -> bool {
    let side = |p: Point, q: Point, r: Point| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// A place under everything: there is always one.
fn below(label: &Label, placed: &[Placed], ground: &Ground, bounds: Area) -> Area {
    let labels = placed.iter().map(|other| other.area.bottom);
    let lines = ground.lines.iter().map(|(a, b)| a.1.max(b.1));
    let lowest = labels.chain(lines).fold(0.0, f64::max);
    let (wide, high) = label.extent();
    Area::round(((bounds.left + bounds.right) / 2.0, lowest + 2.0 + high / 2.0), wide, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Area = Area { left: 1.0, top: -100.0, right: 119.0, bottom: 100.0 };

    #[test]
    fn labels_that_want_the_same_place_part() {
        let label = || Label::new("8 mm").home((60.0, 10.0)).to((60.0, 14.0));
        let placed = place((0..25).map(|_| label()).collect(), &mut Ground::default(), BOUNDS);
        assert_eq!(placed.len(), 25);
        for (number, one) in placed.iter().enumerate() {
            assert!(BOUNDS.holds(&one.area));
            assert!(placed.iter().skip(number + 1).all(|other| !one.area.meets(&other.area)));
        }
    }

    #[test]
    fn a_label_goes_under_everything_where_there_is_no_room() {
        let tight = Area { left: 1.0, top: 0.0, right: 119.0, bottom: 6.0 };
        let label = || Label::new(&"n ".repeat(14)).home((60.0, 3.0)).to((60.0, 3.0));
        let placed = place(vec![label(), label(), label(), label()], &mut Ground::default(), tight);
        assert!(placed.iter().zip(placed.iter().skip(1)).all(|(one, two)| !one.area.meets(&two.area)));
    }

    #[test]
    fn a_stretch_through_a_box_is_seen() {
        let area = Area { left: 0.0, top: 0.0, right: 4.0, bottom: 2.0 };
        assert!(area.crossed(((-1.0, 1.0), (5.0, 1.0))));
        assert!(area.crossed(((1.0, 1.0), (2.0, 1.0))));
        assert!(!area.crossed(((-1.0, 3.0), (5.0, 3.0))));
        assert!(!area.crossed(((-2.0, 1.0), (1.0, 4.5))));
    }
}
