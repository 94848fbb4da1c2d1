//! Opening up: what is cut away before the weld, by joint and kind of damage, and what has to be filled.

mod groove;
mod pad;
mod plug;

pub use groove::root_gap;
pub use plug::thread_diameter;

use super::amperage::Pass;
use super::figure::{Figure, LineKind, Value};
use super::geometry;
use super::job::Job;
use super::names::FigureName;
use super::work::{Work, cite, constant, constant_of, round};
use crate::reference::{Basis, Class};
use crate::spec::{DamageKind, Joint};
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
    /// Metal that was lost before and that a pad puts back, mm3.
    pub lost: f64,
}

impl Opening {
    /// Weld metal of one pass, mm2 of section.
    #[must_use]
    pub fn deposit_per_pass(&self, class: Class, _pass: Pass) -> f64 {
        constant_of(class, "deposit-per-pass").value
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
            if side.run_out > 0.0 && side.ends > 0.0 {
                part(out, side.run_out, "mm", 1.0);
            }
        }
        // Depth and what is left come to the wall as they are printed too.
        let cut = self.sides.first().map_or(0.0, |side| super::work::to_step(side.depth, 0.5) - side.depth);
        let left = (self.left - cut).max(0.0);
        if matches!(self.shape, Shape::Groove) {
            part("left-1", left, "mm", 0.25);
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
        Joint::Groove => groove::plan(job, wall, work),
        Joint::Pad => pad::plan(job, wall, work),
        Joint::Plug => plug::plan(job, wall, work),
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

/// Length of a slit along a crack, mm: the crack, and at each end that lies inside the metal as far as the stop hole reaches.
fn with_stop_holes(job: &Job<'_>, wall: f64, length: Option<f64>, work: &mut Work) -> Option<f64> {
    let hole = stop_hole(job, wall).as_ref().and_then(Figure::aim);
    let (Some(length), Some(hole)) = (length, hole) else { return length };
    #[allow(clippy::cast_precision_loss, reason = "a crack has two ends at most")]
    let ends = job.spec.damage.tips.as_ref().map_or(2.0, |at| at.value.clamp(0, 2) as f64);
    work.stated("damage-length", "l", length, "mm", job.spec.damage.length.as_ref().map(|at| at.span));
    work.step("stop-hole-size", "d", "", hole, "mm");
    work.assumed("inner-ends", "n", ends, "");
    // The centre stands one diameter past the mark.
    Some(work.step("slit-length", "", "l + n * 1.5 * d", length + ends * 1.5 * hole, "mm"))
}

fn butt(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let mut missing = Vec::new();
    let length = length(job, &mut missing);
    let length = with_stop_holes(job, wall, length, &mut work);
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
        lost: 0.0,
    }
}

fn fillet(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
    let mut missing = Vec::new();
    let length = length(job, &mut missing);
    // The leg is as long as the thinner of the two is thick.
    let other = job.other.as_ref().and_then(|other| other.thickness).filter(|other| *other < wall);
    let leg = match other {
        None => work.step("fillet-leg", "z", "t", wall, "mm"),
        Some(thin) => {
            let span = job.spec.metal.other.as_ref().and_then(|at| at.value.thickness.as_ref()).map(|at| at.span);
            work.stated("wall-of-other", "t2", thin, "mm", span);
            work.step("fillet-leg", "z", "min(t, t2)", thin, "mm")
        }
    };
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
        lost: 0.0,
    }
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
