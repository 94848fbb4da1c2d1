//! Closed forms for the sections and volumes of openings and deposits. Lengths in mm, areas in mm2, volumes in mm3,
//! angles in radians.

use std::f64::consts::{FRAC_PI_2, PI};

/// Section of a V groove with a gap at the bottom and a root face: depth of the whole wall, included angle.
#[must_use]
pub fn v_groove_area(wall: f64, angle: f64, gap: f64, face: f64) -> f64 {
    let bevel = (wall - face).max(0.0);
    gap * wall + bevel * bevel * libm::tan(angle / 2.0)
}

/// Section of a double V with a root face in the middle, both sides alike.
#[must_use]
pub fn double_v_area(wall: f64, angle: f64, gap: f64, face: f64) -> f64 {
    let bevel = ((wall - face) / 2.0).max(0.0);
    gap * wall + 2.0 * bevel * bevel * libm::tan(angle / 2.0)
}

/// A round-bottomed (U) groove: sides tangent to the root arc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UGroove {
    /// Root radius.
    pub radius: f64,
    /// Included angle of the sides.
    pub angle: f64,
}

impl UGroove {
    /// Height of the points where the sides leave the arc.
    fn tangent_height(self) -> f64 {
        self.radius * (1.0 - libm::sin(self.angle / 2.0))
    }

    /// Width at this depth above the bottom.
    #[must_use]
    pub fn width(self, depth: f64) -> f64 {
        let half = self.angle / 2.0;
        if depth <= self.tangent_height() {
            2.0 * (depth * (2.0 * self.radius - depth)).max(0.0).sqrt()
        } else {
            2.0 * (self.radius / libm::cos(half) + (depth - self.radius) * libm::tan(half))
        }
    }

    /// Section of a groove of this depth.
    #[must_use]
    pub fn area(self, depth: f64) -> f64 {
        let tangent = self.tangent_height();
        if depth <= tangent {
            return segment_area(self.radius, depth);
        }
        let (below, above) = (self.width(tangent), self.width(depth));
        segment_area(self.radius, tangent) + (below + above) / 2.0 * (depth - tangent)
    }

    /// Volume of one run-out: the bottom rises straight from this depth to the face over `length`.
    ///
    /// The section is integrated over the depth in closed form: the arc part by the integral of a circular segment,
    /// the straight part as a polynomial.
    #[must_use]
    pub fn run_out_volume(self, depth: f64, length: f64) -> f64 {
        if depth <= 0.0 {
            return 0.0;
        }
        let tangent = self.tangent_height().min(depth);
        let mut integral = segment_integral(self.radius, tangent);
        if depth > tangent {
            let rise = depth - tangent;
            let (start, slope) = (self.width(tangent), 2.0 * libm::tan(self.angle / 2.0));
            integral += segment_area(self.radius, tangent) * rise
                + start * rise * rise / 2.0
                + slope * rise * rise * rise / 6.0;
        }
        integral / depth * length
    }
}

/// Circular segment of this height in a circle of this radius.
#[must_use]
pub fn segment_area(radius: f64, height: f64) -> f64 {
    let height = height.clamp(0.0, 2.0 * radius);
    let u = radius - height;
    radius * radius * libm::acos(u / radius) - u * (radius * radius - u * u).max(0.0).sqrt()
}

/// Integral of [`segment_area`] over the height from 0.
fn segment_integral(radius: f64, height: f64) -> f64 {
    let u = radius - height;
    let root = (radius * radius - u * u).max(0.0).sqrt();
    let antiderivative = radius * radius * (u * libm::acos(u / radius) - root) + root * root * root / 3.0;
    -antiderivative
}

/// Reinforcement of this width and height as a circular segment.
#[must_use]
pub fn cap_area(width: f64, height: f64) -> f64 {
    if width <= 0.0 || height <= 0.0 {
        return 0.0;
    }
    let radius = (width * width / 4.0 + height * height) / (2.0 * height);
    segment_area(radius, height)
}

/// Section of a J bevel with one vertical side.
#[must_use]
pub fn j_groove_area(depth: f64, radius: f64, bevel: f64) -> f64 {
    let tangent = radius * (1.0 - libm::sin(bevel));
    let across = radius * libm::cos(bevel);
    let arc = segment_area(radius, tangent) / 2.0;
    let rise = depth - tangent;
    arc + across * rise + rise * rise * libm::tan(bevel) / 2.0
}

/// Section of a mitre fillet with equal legs.
#[must_use]
pub fn fillet_area(leg: f64) -> f64 {
    leg * leg / 2.0
}

/// Throat of a mitre fillet with equal legs.
#[must_use]
pub fn fillet_throat(leg: f64) -> f64 {
    leg * libm::sin(PI / 4.0)
}

/// Volume of a straight V excavation of full depth over `length` with straight run-outs: each counts a third.
#[must_use]
pub fn v_excavation_volume(depth: f64, angle: f64, length: f64, run_out: f64, ends: f64) -> f64 {
    let area = v_groove_area(depth, angle, 0.0, 0.0);
    area * (length + ends * run_out / 3.0)
}

/// Volume of a conical hole from its diameters at both faces.
#[must_use]
pub fn frustum_volume(top: f64, bottom: f64, depth: f64) -> f64 {
    PI / 12.0 * depth * (top * top + top * bottom + bottom * bottom)
}

/// Volume of a blind bore with a drill point: depth to the shoulder, point angle.
#[must_use]
pub fn drilled_volume(bore: f64, depth: f64, point: f64) -> f64 {
    let cone = bore / 2.0 / libm::tan(point / 2.0);
    PI / 4.0 * bore * bore * (depth + cone / 3.0)
}

/// Volume of a ring laid inside a bore: worn bore, radial build-up, width.
#[must_use]
pub fn ring_volume(bore: f64, build_up: f64, width: f64) -> f64 {
    PI * build_up * (bore - build_up) * width
}

/// Volume of a round hole.
#[must_use]
pub fn disc_volume(diameter: f64, thickness: f64) -> f64 {
    PI / 4.0 * diameter * diameter * thickness
}

/// Mass of a round rod, g: diameter and length in mm, density in g/cm3.
#[must_use]
pub fn rod_mass(diameter: f64, length: f64, density: f64) -> f64 {
    disc_volume(diameter, length) * density / 1000.0
}

/// Rods to lay out for this mass, with the share that is lost as stubs.
#[must_use]
pub fn rods_needed(mass: f64, one_rod: f64, stub_loss: f64) -> f64 {
    let usable = one_rod * (1.0 - stub_loss);
    // A hair under a whole rod is a whole rod: the quotient of two rounded numbers must not ask for one more.
    (mass / usable - 1e-9).ceil().max(1.0)
}

/// Metal within a distance of the weld line, as area of the wall: a band on both sides and a half disc at each end
/// that lies inside the metal.
#[must_use]
pub fn near_area(length: f64, reach: f64, inner_ends: f64) -> f64 {
    2.0 * reach * length + inner_ends * FRAC_PI_2 * reach * reach
}
