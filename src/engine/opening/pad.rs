//! A pad: metal laid on a worn or pitted surface.

use super::{Opening, Shape, Side};
use crate::engine::figure::LineKind;
use crate::engine::job::Job;
use crate::engine::work::{Work, cite};
use crate::units::{InUnits, show};

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

/// The pad on a wall of this thickness, mm: its area, its height with what is machined off again, its layers.
pub(super) fn plan(job: &Job<'_>, wall: f64, mut work: Work) -> Opening {
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
        lost: covered.zip(worn).map_or(0.0, |(area, worn)| area * worn),
    }
}
