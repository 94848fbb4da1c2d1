//! A round-bottomed groove along a crack: how deep, how far, from which sides.

use super::{Opening, Shape, Side, cap_height, length};
use crate::engine::figure::LineKind;
use crate::engine::geometry::{self, UGroove};
use crate::engine::job::Job;
use crate::engine::work::{Work, constant};
use crate::reference::Class;
use crate::spec::{Access, DamageKind};
use crate::units::InUnits;

/// Key of the depth that is cut past the damage: pores of a casting run on behind what shows.
fn into_sound_metal(job: &Job<'_>) -> &'static str {
    if job.of_casting_defect() { "into-sound-metal-casting" } else { "into-sound-metal" }
}

/// Key of the length that is cut past a crack end.
fn past_tip(job: &Job<'_>) -> &'static str {
    if job.of_casting_defect() { "past-tip-casting" } else { "past-tip" }
}

/// Why a crack that goes through is opened right through, and the key of the gap at its bottom: brass is wetted and not
/// melted, so that a land would keep its crack, and a pool of duplex steel alone turns brittle. None for other metals.
#[must_use]
pub fn root_gap(job: &Job<'_>) -> Option<(&'static str, &'static str)> {
    let of = |word: &str| job.base.candidates.iter().any(|alloy| alloy.family.contains(word));
    let brass = job.base.candidates.iter().any(|alloy| alloy.class == Class::Copper && alloy.family.contains("brass"));
    if brass {
        Some(("no-land-under-bronze", "root-gap-brass"))
    } else if of("duplex") {
        Some(("no-land-in-duplex", "root-gap-duplex"))
    } else {
        None
    }
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
        if let Some((words, _)) = root_gap(job) {
            work.remark(LineKind::Remark, words, Vec::new(), None);
            return (wall, false);
        }
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

/// The groove of a wall of this thickness, mm, on one side or both.
pub(super) fn plan(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
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
        lost: 0.0,
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
