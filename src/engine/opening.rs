//! Opening up: what is cut away before the weld, by joint and kind of damage, and what has to be filled.

use super::amperage::Pass;
use super::figure::{Figure, LineKind, Value};
use super::geometry::{self, UGroove};
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, cite, constant, round};
use crate::reference::Basis;
use crate::spec::{Access, DamageKind, Joint};
use crate::units::{InUnits, show};

/// Shape of what is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// Close square edges.
    Square,
    /// V with a root face.
    Vee,
    /// Round-bottomed groove along a crack.
    Groove,
    /// Fillet, lap, outside corner or edge.
    Fillet,
    /// Metal laid on a surface.
    Pad,
    /// A conical hole that is filled.
    Plug,
    /// A piece let into a hole that is too wide to fill.
    Patch,
}

impl Shape {
    /// The trade's name for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Shape::Square => "square butt",
            Shape::Vee => "V groove",
            Shape::Groove => "U groove",
            Shape::Fillet => "fillet",
            Shape::Pad => "pad",
            Shape::Plug => "plug",
            Shape::Patch => "patch",
        }
    }
}

/// One side of the wall that is opened and filled. mm, mm2.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// 1 or 2.
    pub number: u8,
    /// Depth.
    pub depth: f64,
    /// Width at the face.
    pub width: f64,
    /// Section to fill, without reinforcement.
    pub area: f64,
    /// Reinforcement.
    pub cap: f64,
    /// Length of full depth; none where the damage is not measured.
    pub full_length: Option<f64>,
    /// Length of one run-out.
    pub run_out: f64,
    /// Run-outs.
    pub ends: f64,
    /// Weld metal, mm3; none where the damage is not measured.
    pub volume: Option<f64>,
}

/// What is cut away and filled.
#[derive(Debug, Clone, PartialEq)]
pub struct Opening {
    /// Its shape.
    pub shape: Shape,
    /// The sides, in the order of the work.
    pub sides: Vec<Side>,
    /// Depth of side 1, mm.
    pub depth: Option<f64>,
    /// Wall left below side 1, mm.
    pub left: f64,
    /// Whether the first pass melts through the wall.
    pub melts_through: bool,
    /// Height of the cap over the face, mm.
    pub cap_height: f64,
    /// Layers of a pad.
    pub layers: u32,
    /// How it came about.
    pub work: Work,
    /// What is missing to work out lengths and volumes: a key of the language.
    pub missing: Vec<&'static str>,
    /// Length that the opening runs past a crack end at full depth, mm; none where no end stops inside the metal.
    pub past_tip: Option<f64>,
}

impl Opening {
    /// Weld metal of one pass, mm2 of section.
    #[must_use]
    pub fn deposit_per_pass(&self, _pass: Pass) -> f64 {
        constant("deposit-per-pass").value
    }

    /// Weld metal in all, mm3.
    #[must_use]
    pub fn volume(&self) -> Option<f64> {
        self.sides.iter().map(|side| side.volume).sum()
    }

    /// The figure of the opening.
    #[must_use]
    pub fn figure(&self) -> Figure {
        let mut figure = self.work.clone().done(
            FigureName::Groove,
            Value::Word(self.shape.word().to_owned()),
            Basis::CommonPractice,
        );
        let mut part = |key: &'static str, number: f64, unit: &'static str, step: f64| {
            figure.parts.push((key, super::work::to_step(number, step), unit));
        };
        for side in &self.sides {
            let (depth, width, full, out) = match side.number {
                1 => ("depth-1", "width-1", "full-length-1", "run-out-1"),
                _ => ("depth-2", "width-2", "full-length-2", "run-out-2"),
            };
            part(depth, side.depth, "mm", 0.5);
            part(width, side.width, "mm", 0.5);
            if let Some(length) = side.full_length {
                part(full, length, "mm", 1.0);
            }
            if side.run_out > 0.0 {
                part(out, side.run_out, "mm", 1.0);
            }
        }
        if matches!(self.shape, Shape::Groove) {
            part("left-1", self.left, "mm", 0.5);
            part("angle", constant("groove-angle").value, "deg", 1.0);
            part("radius", self.radius(), "mm", 0.5);
            part("past-tip", self.past_tip.unwrap_or(constant("past-tip").value), "mm", 1.0);
        }
        if matches!(self.shape, Shape::Vee) {
            part("left-1", self.left, "mm", 0.5);
            part("angle", constant("groove-angle").value, "deg", 1.0);
        }
        if self.shape == Shape::Pad {
            part("layers", f64::from(self.layers), "", 1.0);
        }
        figure
    }

    /// Root radius, mm: the usual one, or the depth where the groove is shallower.
    fn radius(&self) -> f64 {
        constant("groove-radius").value.min(self.depth.unwrap_or(f64::INFINITY))
    }
}

/// Plans the opening of a job in a wall of this thickness, mm.
#[must_use]
pub fn plan(job: &Job<'_>, wall: f64) -> Opening {
    let mut work = Work::new();
    work.stated("wall", "t", wall, "mm", job.thickness_span());
    match job.joint {
        Joint::Butt => butt(job, wall, work),
        Joint::Fillet | Joint::Lap | Joint::Corner | Joint::Edge => fillet(job, wall, work),
        Joint::Groove => groove(job, wall, work),
        Joint::Pad => pad(job, wall, work),
        Joint::Plug => plug(job, wall, work),
    }
}

/// Height of the cap: the usual one, on sheet no more than half the wall.
fn cap_height(wall: f64, work: &mut Work) -> f64 {
    let usual = work.small_constant("cap-height", "h");
    let bound = constant("cap-per-wall").value * wall;
    if bound < usual { work.step("cap-by-wall", "h", "", bound, "mm") } else { usual }
}

fn length(job: &Job<'_>, missing: &mut Vec<&'static str>) -> Option<f64> {
    let damage = &job.spec.damage;
    let found = damage.length.as_ref().or(damage.width.as_ref()).map(|at| at.value.value().in_mm());
    if found.is_none() {
        missing.push("length");
    }
    found
}

fn plain_side(depth: f64, width: f64, area: f64, cap: f64, length: Option<f64>) -> Side {
    let volume = length.map(|length| (area + cap) * length);
    Side { number: 1, depth, width, area, cap, full_length: length, run_out: 0.0, ends: 0.0, volume }
}

fn butt(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let mut missing = Vec::new();
    let length = length(job, &mut missing);
    let square_limit = work.constant("square-edge-limit", "");
    let gap = work.small_constant("butt-gap", "s");
    let height = cap_height(wall, &mut work);
    // A bench answer cuts nothing: it is for close square edges and one run, as schedules are.
    let vee = wall > square_limit && job.from_spec();
    let (shape, face, width, area) = if vee {
        let angle = work.constant("groove-angle", "A");
        let face = work.constant("vee-face", "F");
        let radians = angle.to_radians();
        let area = geometry::v_groove_area(wall, radians, gap, face);
        let width = gap + 2.0 * (wall - face) * libm::tan(radians / 2.0);
        work.step("groove-area", "", "s * t + (t - F)^2 * tan(A / 2 * pi / 180)", area, "mm2");
        (Shape::Vee, face, width, area)
    } else {
        work.step("groove-area", "", "s * t", gap * wall, "mm2");
        (Shape::Square, wall, 1.5 * wall + 2.0 * gap, gap * wall)
    };
    let cap = geometry::cap_area(width, height);
    Opening {
        shape,
        sides: vec![plain_side(wall - face, width, area, cap, length)],
        depth: Some(wall),
        left: face,
        melts_through: true,
        cap_height: height,
        layers: 0,
        work,
        missing,
        past_tip: None,
    }
}

fn fillet(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let mut missing = Vec::new();
    let length = length(job, &mut missing);
    let leg = work.step("fillet-leg", "z", "t", wall, "mm");
    let area = geometry::fillet_area(leg);
    work.step("fillet-area", "", "z^2 / 2", area, "mm2");
    let convex = area * work.small_constant("fillet-convexity", "") / 100.0;
    Opening {
        shape: Shape::Fillet,
        sides: vec![plain_side(0.0, leg, area, convex, length)],
        depth: Some(wall),
        left: wall,
        melts_through: true,
        cap_height: 0.0,
        layers: 0,
        work,
        missing,
        past_tip: None,
    }
}

/// Key of the depth that is cut past the damage: pores of a casting run on behind what shows.
fn into_sound_metal(job: &Job<'_>) -> &'static str {
    if job.of_casting_defect() { "into-sound-metal-casting" } else { "into-sound-metal" }
}

/// Key of the length that is cut past a crack end.
fn past_tip(job: &Job<'_>) -> &'static str {
    if job.of_casting_defect() { "past-tip-casting" } else { "past-tip" }
}

/// Depth of side 1 and whether a second side is cut.
fn groove_depth(job: &Job<'_>, wall: f64, work: &mut Work, missing: &mut Vec<&'static str>) -> (f64, bool) {
    let damage = &job.spec.damage;
    let through = damage.through.as_ref().map(|at| at.value);
    let both = through == Some(true) && job.access == Access::BothSides && wall >= constant("both-sides-from").value;
    if both {
        let share = work.constant("land-share", "q");
        let least = work.constant("land-least", "l");
        let land = work.step("land", "l1", "max(l, q * t)", (share * wall).max(least), "mm");
        return (wall - land, true);
    }
    if through == Some(true) {
        let land = work.constant("land-one-side", "l1").min(wall);
        return ((wall - land).max(0.0), false);
    }
    if let Some(depth) = &damage.depth {
        let stated = work.stated("damage-depth", "D", depth.value.value().in_mm(), "mm", Some(depth.span));
        let extra = work.constant(into_sound_metal(job), "x");
        return ((stated + extra).min(wall), false);
    }
    if job.from_spec() {
        missing.push("depth");
    }
    let share = 1.0 - constant("land-share").value;
    work.constant("land-share", "q");
    (share * wall, false)
}

fn groove(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let mut missing = Vec::new();
    let length = length(job, &mut missing);
    let (depth, both) = groove_depth(job, wall, &mut work, &mut missing);
    let left = wall - depth;
    let through = job.spec.damage.through.as_ref().is_some_and(|at| at.value);
    let thin_left = left < constant("melts-through-under").value;
    let melts_through = (through && !both) || thin_left;
    let angle = work.constant("groove-angle", "A");
    let mut radius = work.constant("groove-radius", "r");
    if depth < radius {
        radius = work.step("radius-by-depth", "r", "", depth.max(0.1), "mm");
    }
    let shape = UGroove { radius, angle: angle.to_radians() };
    let past = work.small_constant(past_tip(job), "p");
    let slope = work.small_constant("run-out-slope", "o");
    let height = cap_height(wall, &mut work);
    let tips = job.spec.damage.tips.as_ref().map_or(inner_ends(job), |at| {
        #[allow(clippy::cast_precision_loss, reason = "a crack has two ends at most")]
        let tips = at.value.clamp(0, 2) as f64;
        tips
    });
    work.assumed("inner-ends", "n", tips, "");
    let mut sides = Vec::new();
    let mut depths = vec![depth];
    if both {
        depths.push(left + constant("into-weld").value);
    }
    for (number, depth) in (1u8..).zip(depths) {
        let (area, width) = (shape.area(depth), shape.width(depth));
        work.step("groove-depth", "d", "", depth, "mm");
        work.with(vec![number.to_string()]);
        work.step("groove-width", "b", "u_width(d, r, A)", width, "mm");
        work.step("groove-area", "g", "u_area(d, r, A)", area, "mm2");
        let cap = geometry::cap_area(width, height);
        let full_length = length.map(|length| length + tips * past);
        let run_out = slope * depth;
        let volume = full_length.map(|full| (area + cap) * full + tips * shape.run_out_volume(depth, run_out));
        if let Some(volume) = volume {
            work.step("deposit-volume", "", "", volume, "mm3");
        }
        sides.push(Side { number, depth, width, area, cap, full_length, run_out, ends: tips, volume });
    }
    Opening {
        shape: Shape::Groove,
        sides,
        depth: Some(depth),
        left,
        melts_through,
        cap_height: height,
        layers: 0,
        work,
        missing,
        past_tip: Some(past),
    }
}

/// Ends that lie inside the metal where the author did not say: a lug breaks off from edge to edge, anything else may
/// end inside at both ends.
fn inner_ends(job: &Job<'_>) -> f64 {
    match job.spec.damage.kind.as_ref().map(|at| at.value) {
        Some(DamageKind::BrokenLug) => 0.0,
        _ => 2.0,
    }
}

/// What is left on for machining, mm: what the author leaves on a face that is built up, else the usual.
fn left_on(job: &Job<'_>, work: &mut Work) -> f64 {
    let built_up = job
        .spec
        .part
        .keep
        .iter()
        .filter(|keep| keep.value.distance.as_ref().is_none_or(|at| at.value.value().in_mm() <= 0.0));
    let stated = built_up.filter_map(|keep| keep.value.allowance.as_ref());
    let most = stated.max_by(|a, b| a.value.value().in_mm().total_cmp(&b.value.value().in_mm()));
    match most.map(|at| (at.value.value().in_mm(), at.span)).filter(|(left, _)| *left > 0.0) {
        Some((left, span)) => work.stated("machining-allowance", "m", left, "mm", Some(span)),
        None => work.constant("machining-allowance", "m"),
    }
}

fn pad(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let damage = &job.spec.damage;
    let mut missing = Vec::new();
    let get = |at: &Option<crate::findings::At<crate::units::Amount<crate::units::Length>>>| {
        at.as_ref().map(|at| at.value.value().in_mm())
    };
    let area = damage.area.as_ref().map(|at| at.value.value().in_mm2());
    let bore = get(&damage.diameter).filter(|_| get(&damage.width).is_some() || get(&damage.length).is_some());
    let flat = get(&damage.length).zip(get(&damage.width)).map(|(length, width)| length * width);
    let ring = bore.map(|bore| std::f64::consts::PI * bore * get(&damage.width).or(get(&damage.length)).unwrap_or(0.0));
    let covered = ring.filter(|_| flat.is_none()).or(area).or(flat).or(ring);
    if covered.is_none() {
        missing.push("area");
    }
    let worn = get(&damage.height).or(get(&damage.depth));
    if worn.is_none() {
        missing.push("height");
    }
    let allowance = left_on(job, &mut work);
    let height = worn.unwrap_or(0.0) + allowance;
    work.stated(
        "worn-height",
        "H",
        worn.unwrap_or(0.0),
        "mm",
        damage.height.as_ref().or(damage.depth.as_ref()).map(|at| at.span),
    );
    work.step("pad-height", "h", "H + m", height, "mm");
    let layer = work.constant("layer-height", "y");
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a pad has few layers")]
    let layers = (height / layer - 1e-9).ceil().max(1.0) as u32;
    work.step("layers", "", "ceil(h / y)", f64::from(layers), "");
    let volume = covered.zip(worn).map(|(area, _)| area * height);
    if let Some((area, volume)) = covered.zip(volume) {
        work.step("pad-area", "", "", area, "mm2");
        work.step("deposit-volume", "", "", volume, "mm3");
    }
    work.remark(
        LineKind::Remark,
        "pad-on-sound-metal",
        vec![show::number(height, 1)],
        Some(cite("machining-allowance")),
    );
    let width = get(&damage.width).or(get(&damage.diameter)).unwrap_or_else(|| covered.map_or(0.0, f64::sqrt));
    let run = covered.map(|area| if width > 0.0 { area / width } else { area.sqrt() });
    let side = Side {
        number: 1,
        depth: 0.0,
        width,
        area: height * width,
        cap: 0.0,
        full_length: run,
        run_out: 0.0,
        ends: 0.0,
        volume,
    };
    Opening {
        shape: Shape::Pad,
        sides: vec![side],
        depth: Some(height),
        left: wall,
        melts_through: false,
        cap_height: 0.0,
        layers,
        work,
        missing,
        past_tip: None,
    }
}

fn plug(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let damage = &job.spec.damage;
    let mut missing = Vec::new();
    let get = |at: &Option<crate::findings::At<crate::units::Amount<crate::units::Length>>>| {
        at.as_ref().map(|at| at.value.value().in_mm())
    };
    let diameter =
        get(&damage.diameter).or_else(|| damage.thread.as_ref().and_then(|thread| thread_diameter(&thread.value)));
    if diameter.is_none() {
        missing.push("diameter");
    }
    let through = damage.through.as_ref().is_none_or(|at| at.value);
    let bottom = diameter.unwrap_or(0.0);
    work.stated(
        "hole",
        "D",
        bottom,
        "mm",
        damage.diameter.as_ref().map(|at| at.span).or(damage.thread.as_ref().map(|at| at.span)),
    );
    let limit = work.constant("plug-per-wall", "q") * wall;
    if through && bottom > limit && wall <= constant("square-edge-limit").value {
        return patch(job, wall, bottom, work, missing);
    }
    let depth = if through { wall } else { get(&damage.depth).unwrap_or(wall).min(wall) };
    let angle = work.constant("plug-angle", "A");
    work.step("plug-depth", "d", "", depth, "mm");
    let top = bottom + 2.0 * depth * libm::tan(angle.to_radians() / 2.0);
    work.step("plug-top", "B", "D + 2 * d * tan(A / 2 * pi / 180)", top, "mm");
    let height = cap_height(wall, &mut work);
    let cap = geometry::cap_area(top, height);
    let volume =
        diameter.map(|_| geometry::frustum_volume(top, bottom, depth) + geometry::disc_volume(top, height) / 2.0);
    if let Some(volume) = volume {
        work.step("deposit-volume", "", "", volume, "mm3");
    }
    let run = diameter.map(|_| std::f64::consts::PI * f64::midpoint(top, bottom));
    let side = Side {
        number: 1,
        depth,
        width: top,
        area: f64::midpoint(top, bottom) * depth,
        cap,
        full_length: run,
        run_out: 0.0,
        ends: 0.0,
        volume,
    };
    let left = wall - depth;
    let melts_through = through || left < constant("melts-through-under").value;
    Opening {
        shape: Shape::Plug,
        sides: vec![side],
        depth: Some(depth),
        left: left.max(0.0),
        melts_through,
        cap_height: height,
        layers: 0,
        work,
        missing,
        past_tip: None,
    }
}

/// A hole too wide to fill: a piece of the same metal is let in and welded round.
fn patch(job: &Job<'_>, wall: f64, hole: f64, mut work: Work, missing: Vec<&'static str>) -> Opening {
    let _ = job;
    let larger = work.constant("patch-larger", "y");
    let gap = work.small_constant("butt-gap", "s");
    let disc = work.step("patch-diameter", "B", "D + y", hole + larger, "mm");
    let round = std::f64::consts::PI * disc;
    work.step("patch-seam", "l", "pi * B", round, "mm");
    let height = cap_height(wall, &mut work);
    let cap = geometry::cap_area(1.5 * wall + 2.0 * gap, height);
    let side = plain_side(0.0, disc, gap * wall, cap, Some(round));
    Opening {
        shape: Shape::Patch,
        sides: vec![side],
        depth: Some(wall),
        left: wall,
        melts_through: true,
        cap_height: height,
        layers: 0,
        work,
        missing,
        past_tip: None,
    }
}

/// Outside diameter of a thread by its name, mm: `M10`, `M10x1.25`, `3/8-16 UNC`, `1/2 in`.
#[must_use]
pub fn thread_diameter(name: &str) -> Option<f64> {
    let name = name.trim();
    if let Some(rest) = name.strip_prefix(['M', 'm']) {
        let digits: String = rest.chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
        return digits.parse().ok().filter(|mm: &f64| *mm > 0.5 && *mm < 200.0);
    }
    let size = name.split(['-', ' ']).next()?;
    let inches = match size.split_once('/') {
        Some((above, below)) => above.parse::<f64>().ok()? / below.parse::<f64>().ok()?,
        None => size.parse::<f64>().ok()?,
    };
    (inches > 0.05 && inches < 8.0).then_some(inches * 25.4)
}

/// Diameter of stop holes for a crack with ends inside the metal.
#[must_use]
pub fn stop_hole(job: &Job<'_>, wall: f64) -> Option<Figure> {
    let damage = &job.spec.damage;
    let crack = matches!(damage.kind.as_ref().map(|at| at.value), Some(DamageKind::Crack));
    let through = damage.through.as_ref().is_some_and(|at| at.value);
    let tips = damage.tips.as_ref().is_none_or(|at| at.value > 0);
    if !(crack && through && tips) {
        return None;
    }
    let mut work = Work::new();
    work.stated("wall", "t", wall, "mm", job.thickness_span());
    let small = constant("stop-hole-small");
    let large = constant("stop-hole-large");
    let key = if wall <= small.range.map_or(0.0, |range| range[1]) { "stop-hole-small" } else { "stop-hole-large" };
    let diameter = work.constant(key, "d");
    work.remark(LineKind::Remark, "stop-hole-is-no-repair", Vec::new(), Some(cite(key)));
    let mut figure =
        work.done(FigureName::StopHole, Value::Number(round(FigureName::StopHole, diameter)), constant(key).basis);
    let other = if key == "stop-hole-small" { large.value } else { small.value };
    figure.alternatives = vec![show::number(other, 1)];
    figure.parts.push(("beyond-mark", diameter, "mm"));
    Some(figure)
}
