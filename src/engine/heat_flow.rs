//! The moving point source in a plate of finite thickness with insulated faces.
//!
//! Rosenthal's source with the faces as mirrors; the sum over image sources is turned into its Fourier series over the
//! thickness (Carslaw and Jaeger), which converges fast from a distance of a few tenths of the thickness:
//! `T - T0 = q/(2 pi k t) exp(-v x/2a) [K0(v r/2a) + 2 sum_n cos(n pi z/t) K0(r sqrt((v/2a)^2 + (n pi/t)^2))]`.
//! Everything here is in SI; conductivity is constant, the source does not lose heat to the air.

use super::maths::{bessel_k0_scaled, top_of_hump};
use std::f64::consts::PI;

/// A plate and the speed at which the arc moves along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plate {
    /// Thickness, m.
    pub thickness: f64,
    /// Conductivity, W/mK.
    pub conductivity: f64,
    /// Diffusivity, m2/s.
    pub diffusivity: f64,
    /// Travel speed, m/s.
    pub speed: f64,
    /// Distance of a free edge beside the weld, m, which throws the heat back; none where it is far.
    pub edge: Option<f64>,
}

/// Which face of the plate is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The face that the arc stands on.
    Arc,
    /// The back face.
    Back,
}

impl Plate {
    /// Rise of temperature at a point, K for each watt that reaches the plate: `x` ahead of the arc, `y` aside towards
    /// the free edge, `z` below the face, all m. Zero distance gives infinity.
    #[must_use]
    pub fn rise_per_watt(&self, x: f64, y: f64, z: f64) -> f64 {
        let own = self.one_source(x, y, z);
        own + self.edge.map_or(0.0, |edge| self.one_source(x, 2.0 * edge - y, z))
    }

    fn one_source(&self, x: f64, y: f64, z: f64) -> f64 {
        let drift = self.speed / (2.0 * self.diffusivity);
        let r = (x * x + y * y).sqrt();
        // Both exponents go together, or the product of a huge and a tiny number is lost.
        let scaled = |rate: f64| libm::exp(-drift * x - rate * r) * bessel_k0_scaled(rate * r);
        let mut sum = scaled(drift);
        for n in 1..2000 {
            let wave = f64::from(n) * PI / self.thickness;
            let term = scaled((drift * drift + wave * wave).sqrt());
            sum += 2.0 * libm::cos(wave * z) * term;
            if wave * r > 1.0 && term < 1e-12 * sum.abs() {
                break;
            }
        }
        sum / (2.0 * PI * self.conductivity * self.thickness)
    }

    /// Power that must reach the plate so that the isotherm `rise` kelvin above the start is `width` m wide on the
    /// face, W. The widest place lies behind the arc; it is looked for.
    #[must_use]
    pub fn power_for_width(&self, width: f64, rise: f64, face: Face) -> f64 {
        let (half, depth) = match face {
            Face::Arc => (width / 2.0, 0.0),
            Face::Back => (width / 2.0, self.thickness),
        };
        // The hottest moment of a line beside the weld comes within a few diffusion lengths and widths of the arc.
        let reach = 3.0 * (half + self.thickness) + 2.0 * self.diffusivity / self.speed;
        let hottest = top_of_hump(-reach, 0.25 * (half + self.thickness), |x| self.rise_per_watt(x, half, depth));
        rise / hottest
    }
}

/// Rise of temperature of a thick body (half-space), K for each watt: Rosenthal's point source, SI.
#[must_use]
pub fn half_space_rise_per_watt(conductivity: f64, diffusivity: f64, speed: f64, (x, y, z): (f64, f64, f64)) -> f64 {
    let r = (x * x + y * y + z * z).sqrt();
    libm::exp(-speed * (r + x) / (2.0 * diffusivity)) / (2.0 * PI * conductivity * r)
}

/// Rise of temperature of a thin plate (line source), K for each watt: Rosenthal's line source, SI.
#[must_use]
pub fn thin_plate_rise_per_watt(plate: &Plate, x: f64, y: f64) -> f64 {
    let drift = plate.speed / (2.0 * plate.diffusivity);
    let r = (x * x + y * y).sqrt();
    libm::exp(-drift * (x + r)) * bessel_k0_scaled(drift * r) / (2.0 * PI * plate.conductivity * plate.thickness)
}

/// Current that gives an arc of this power on a load line `U = base + slope I`, A: the positive root of `U I = P`.
#[must_use]
pub fn current_for_power(power: f64, base: f64, slope: f64) -> f64 {
    ((base * base + 4.0 * slope * power).sqrt() - base) / (2.0 * slope)
}

/// Current that holds the same pool on a part at another temperature: power, not current, goes with the distance to
/// melting, A.
#[must_use]
pub fn warm_current(current: f64, melting: f64, from: f64, to: f64, base: f64, slope: f64) -> f64 {
    let power = current * (base + slope * current) * (melting - to) / (melting - from);
    current_for_power(power, base, slope)
}
