//! A hole: coned and filled, or closed by a piece that is let in.

use super::{Opening, Shape, Side, cap_height, plain_side};
use crate::engine::geometry;
use crate::engine::job::Job;
use crate::engine::work::{Work, constant};
use crate::units::InUnits;

/// The filled hole in a wall of this thickness, mm; a piece is let in where it is too wide to fill.
pub(super) fn plan(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
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
        lost: 0.0,
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
        lost: 0.0,
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
