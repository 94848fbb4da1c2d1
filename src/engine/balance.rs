//! Balance: the unbalance that a repair adds to a rotating part, against what its grade allows.

use super::figure::{Figure, LineKind, Value};
use super::job::Job;
use super::metal::Ends;
use super::names::FigureName;
use super::opening::{Opening, Shape};
use super::work::{Work, cite, constant, round};
use crate::findings::{Code, Finding};
use crate::reference::search::filler_named;
use crate::reference::{BalanceGrade, Basis, Filler, Row, balance_grade};
use crate::units::InUnits;
use std::f64::consts::PI;

/// A mass on a rotor, laid on (positive) or taken off (negative).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lump {
    /// Mass, g.
    pub mass: f64,
    /// Radius, mm.
    pub radius: f64,
    /// Angle on the rotor, radians.
    pub angle: f64,
}

/// Unbalance of masses on a rotor, g·mm: the length of the sum of their vectors.
#[must_use]
pub fn unbalance_of(lumps: &[Lump]) -> f64 {
    let along = |turn: fn(f64) -> f64| lumps.iter().map(|at| at.mass * at.radius * turn(at.angle)).sum::<f64>();
    libm::hypot(along(libm::cos), along(libm::sin))
}

/// Share of its mass times radius that a mass counts with when it is spread evenly over an arc (radians, up to 2 pi):
/// 1 at a spot, 2/pi over a half circle, 0 over a full one.
#[must_use]
pub fn arc_share(arc: f64) -> f64 {
    let half = arc / 2.0;
    if libm::fabs(half) < 1e-9 { 1.0 } else { libm::fabs(libm::sin(half) / half) }
}

/// Permissible residual unbalance of a rotor, g·mm: grade in mm/s, mass in kg, speed in r/min.
#[must_use]
pub fn permissible(grade: f64, mass: f64, speed: f64) -> f64 {
    constant("balance-factor").value * grade * mass / speed
}

/// Force of an unbalance (g·mm) at a speed (r/min), N.
#[must_use]
pub fn force(unbalance: f64, speed: f64) -> f64 {
    let turns = speed * 2.0 * PI / 60.0;
    unbalance * 1e-6 * turns * turns
}

/// Speed of the surface at a radius (mm) and a speed (r/min), m/s.
#[must_use]
pub fn surface_speed(radius: f64, speed: f64) -> f64 {
    radius * 1e-3 * speed * 2.0 * PI / 60.0
}

/// The number of a grade: 6.3 of `G6.3`.
#[must_use]
pub fn grade_number(grade: &str) -> Option<f64> {
    grade.trim().strip_prefix(['G', 'g'])?.trim().parse().ok().filter(|number| *number > 0.0)
}

/// The finest grade that an unbalance keeps within and the coarsest that it passes, for a rotor of this mass (kg) and
/// speed (r/min).
#[must_use]
pub fn grades_beside(
    unbalance: f64,
    mass: f64,
    speed: f64,
) -> (Option<&'static BalanceGrade>, Option<&'static BalanceGrade>) {
    let rows = || balance_grade().rows.iter();
    let keeps = |row: &&BalanceGrade| unbalance <= permissible(row.speed, mass, speed);
    let inside = rows().filter(keeps).min_by(|a, b| a.speed.total_cmp(&b.speed));
    let past = rows().filter(|row| !keeps(row)).max_by(|a, b| a.speed.total_cmp(&b.speed));
    (inside, past)
}

/// A rotor as far as its balance asks: kg, r/min.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rotor {
    /// Mass.
    pub mass: f64,
    /// Speed in service.
    pub speed: f64,
}

/// The rotor of a spec; none where its speed or its mass is not stated.
#[must_use]
pub fn rotor(job: &Job<'_>) -> Option<Rotor> {
    let rotating = &job.spec.part.rotating.as_ref()?.value;
    let mass = rotating.mass.as_ref().or(job.spec.part.mass.as_ref())?.value.value().in_kg();
    let speed = rotating.speed.as_ref()?.value.value().in_rpm();
    (mass > 0.0 && speed > 0.0).then_some(Rotor { mass, speed })
}

/// Keys of the language without which no unbalance is worked out, or none is judged.
fn missing(job: &Job<'_>, opening: &Opening) -> Vec<&'static str> {
    let Some(rotating) = &job.spec.part.rotating else { return vec!["rotating"] };
    let rotating = &rotating.value;
    let checks = [
        (rotating.speed.is_none(), "speed"),
        (rotating.mass.is_none() && job.spec.part.mass.is_none(), "mass"),
        (rotating.repair_radius.is_none(), "repair_radius"),
        (rotating.grade.is_none(), "grade"),
        (opening.volume().is_none(), "the sizes of [damage]"),
    ];
    checks.into_iter().filter(|(lacks, _)| *lacks).map(|(_, key)| key).collect()
}

/// What a part that rotates leaves out.
#[must_use]
pub fn findings(job: &Job<'_>, opening: &Opening) -> Vec<Finding> {
    let loads = job.spec.part.loading.iter().find(|at| at.value == crate::spec::Loading::Rotating);
    let span = job.spec.part.rotating.as_ref().map(|at| at.span).or(loads.map(|at| at.span));
    let Some(span) = span else { return Vec::new() };
    let missing = missing(job, opening);
    if missing.is_empty() || !job.from_spec() {
        return Vec::new();
    }
    let message = match missing.as_slice() {
        ["grade"] => "the unbalance is not judged: `rotating` gives no grade".to_owned(),
        _ => format!("the unbalance is left as a blank or not judged: missing {}", missing.join(", ")),
    };
    let help = "add rotating = { speed = \"2800 rpm\", mass = \"1.9 kg\", repair_radius = \"110 mm\", grade = \"G6.3\" } \
                with the part's own values; the grade stands with its maker";
    vec![Finding::new(Code::SettingNotComputed, message).at(span).help(help)]
}

/// The unbalance that the repair adds, worst case: laid metal less metal cut out, at the radius of the repair.
#[must_use]
pub fn figure(job: &Job<'_>, opening: &Opening, ends: &Ends, filler: &str) -> Option<Figure> {
    let rotating = &job.spec.part.rotating.as_ref()?.value;
    let radius = rotating.repair_radius.as_ref()?;
    let mut work = Work::new();
    let (laid, net) = masses(&mut work, opening, ends, filler_named(filler)?)?;
    let r = work.stated("repair-radius", "r", radius.value.value().in_mm(), "mm", Some(radius.span));
    let arc = rotating.arc.as_ref().map_or(0.0, |at| at.value.value().in_degrees());
    let share = if arc > 0.0 {
        work.stated("repair-arc", "A", arc, "deg", rotating.arc.as_ref().map(|at| at.span));
        let share = arc_share(arc * PI / 180.0);
        work.step("arc-share", "f", "abs(sin(A * pi / 360) / (A * pi / 360))", share, "")
    } else {
        work.assumed("arc-at-a-spot", "f", 1.0, "")
    };
    let ring = work.constant("ring-share", "k");
    let value = (share * net * r).max(ring * laid * r);
    let value = work.step("unbalance-added", "U", "max(f * m * r, k * md * r)", value, "g·mm");
    work.remark(LineKind::Remark, "hand-beads-uneven", Vec::new(), Some(cite("ring-share")));
    work.remark(LineKind::Doubt, "unbalance-undressed", Vec::new(), None);
    let mut parts = vec![("net-mass", net, "g")];
    let mut most = None;
    if let Some(rotor) = rotor(job) {
        let span = rotating.mass.as_ref().or(job.spec.part.mass.as_ref()).map(|at| at.span);
        work.stated("rotor-mass", "M", rotor.mass, "kg", span);
        work.stated("rotor-speed", "n", rotor.speed, "1/min", rotating.speed.as_ref().map(|at| at.span));
        work.step("unbalance-force", "", "U / 1000000 * (2 * pi * n / 60)^2", force(value, rotor.speed), "N");
        parts.push(("force", force(value, rotor.speed), "N"));
        most = judge(&mut work, rotating.grade.as_ref().map(|at| (at.value.as_str(), at.span)), rotor, value);
    }
    let mut figure =
        work.done(FigureName::Unbalance, Value::Number(round(FigureName::Unbalance, value)), Basis::Computed);
    if let Some(most) = most {
        parts.push(("permissible", most, "g·mm"));
        parts.push(("per-plane", most / constant("balance-planes").value, "g·mm"));
        // Rounded down: a limit.
        figure.maximum = Some(libm::floor(most));
    }
    figure.parts = parts;
    Some(figure)
}

/// Laid metal and what of it is more than was cut out, g.
fn masses(work: &mut Work, opening: &Opening, ends: &Ends, filler: &'static Filler) -> Option<(f64, f64)> {
    let volume = opening.volume()?;
    // Of other shapes nothing is cut that counts; a pad puts back what was lost.
    let cut = match opening.shape {
        Shape::Groove | Shape::Vee => {
            let caps: f64 = opening.sides.iter().map(|side| side.cap * side.full_length.unwrap_or(0.0)).sum();
            (volume - caps).max(0.0)
        }
        _ => opening.lost.min(volume),
    };
    work.step("deposit-volume", "V", "", volume, "mm3");
    work.small_row("filler-density", "rho", filler.density, "g/cm3", filler.cite());
    let laid = work.step("laid-mass", "md", "V * rho / 1000", volume * filler.density / 1000.0, "g");
    work.step("cut-volume", "Vc", "", cut, "mm3");
    let base = &ends.least.density;
    work.small_row("density", "rb", base.value, "g/cm3", base.cite.clone());
    let gone = work.step("cut-mass", "mc", "Vc * rb / 1000", cut * base.value / 1000.0, "g");
    let net = work.step("net-mass", "m", "abs(md - mc)", libm::fabs(laid - gone), "g");
    Some((laid, net))
}

/// What the grade allows, or which grades the unbalance lies between where none is stated.
fn judge(work: &mut Work, grade: Option<(&str, crate::findings::Span)>, rotor: Rotor, unbalance: f64) -> Option<f64> {
    if let Some((number, span)) = grade.and_then(|(grade, span)| Some((grade_number(grade)?, span))) {
        work.stated("balance-grade", "G", number, "mm/s", Some(span));
        work.constant("balance-factor", "z");
        let most = permissible(number, rotor.mass, rotor.speed);
        work.step("unbalance-allowed", "Up", "z * G * M / n", most, "g·mm");
        let planes = work.small_constant("balance-planes", "p");
        work.step("unbalance-per-plane", "", "Up / p", most / planes, "g·mm");
        return Some(most);
    }
    let (inside, past) = grades_beside(unbalance, rotor.mass, rotor.speed);
    for (words, row) in [("balance-grade-inside", inside), ("balance-grade-past", past)] {
        let Some(row) = row else { continue };
        let most = permissible(row.speed, rotor.mass, rotor.speed);
        work.check(words, (most, most), "g·mm", Some(row.cite()));
        work.with(vec![row.grade.clone(), row.examples.clone()]);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        libm::fabs(a - b) < 1e-6 * libm::fabs(b).max(1.0)
    }

    #[test]
    fn opposite_masses_cancel_and_square_ones_add_as_a_triangle() {
        let at = |mass, angle| Lump { mass, radius: 10.0, angle };
        assert!(near(unbalance_of(&[at(3.0, 0.0), at(3.0, PI)]), 0.0));
        assert!(near(unbalance_of(&[at(3.0, 0.0), at(4.0, PI / 2.0)]), 50.0));
    }

    #[test]
    fn an_arc_counts_less_the_longer_it_is() {
        assert!(near(arc_share(0.0), 1.0));
        assert!(near(arc_share(PI), 2.0 / PI));
        assert!(near(arc_share(2.0 * PI), 0.0));
        let shares: Vec<f64> = (0..=36).map(|step| arc_share(f64::from(step) * PI / 18.0)).collect();
        assert!(shares.windows(2).all(|pair| matches!(pair, [a, b] if a >= b)));
    }

    #[test]
    fn a_grade_is_read_with_or_without_a_space() {
        assert_eq!(grade_number("G6.3"), Some(6.3));
        assert_eq!(grade_number(" g 16"), Some(16.0));
        assert_eq!(grade_number("16"), None);
    }
}
