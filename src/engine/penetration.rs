//! Current that melts through a wall by heat flow: the other method of a full-penetration pass.

use super::amperage::efficiency_key;
use super::heat_flow::{Face, Plate, current_for_power};
use super::load_line::LoadLine;
use super::metal::Props;
use super::schedule;
use super::work::{constant, constant_of};
use crate::reference::{Class, Polarity};

/// Power that must reach a wall (mm) to melt through it at a travel speed (mm/min), cold, W: isotherm at the liquidus
/// half as wide as the wall on the back, plus the melting of the fused section.
#[must_use]
pub fn penetration_power(props: &Props, wall: f64, travel: f64) -> f64 {
    let conductivity = props.hot_conductivity();
    let plate = Plate {
        thickness: wall * 1e-3,
        conductivity,
        diffusivity: conductivity / (props.density.value * 1000.0 * props.hot_specific_heat()),
        speed: travel * 1e-3 / 60.0,
        edge: None,
    };
    let rise = props.liquidus.value - constant("schedule-reference").value;
    let hold = plate.power_for_width(0.5 * wall * 1e-3, rise, Face::Back);
    // Through a wall the fused section is about as wide at the top as the wall and a half, half a wall at the bottom.
    let section = wall * wall;
    let melt =
        props.density.value * section * travel / 60.0 / 1000.0 * constant_of(props.alloy.class, "latent-heat").value;
    hold + melt
}

/// Current by heat flow that melts through a wall (mm) at the travel of the schedule, cold, A.
#[must_use]
pub fn penetration_amps(props: &Props, wall: f64, polarity: Polarity, helium: f64) -> Option<f64> {
    let class = props.alloy.class;
    let of = |polarity| schedule::travel(schedule::Of::alloy(props.alloy, polarity), wall).map(|(travel, _)| travel);
    // Aluminium on DCEN has no leading schedule of its own: it travels as on AC.
    let alike = || of(Polarity::AC).filter(|_| class == Class::Aluminium);
    let travel = of(polarity).or_else(alike).unwrap_or(constant_of(class, "travel-repair").value);
    let line = LoadLine::for_gas(helium);
    let efficiency = constant(efficiency_key(polarity)).value;
    Some(current_for_power(penetration_power(props, wall, travel) / efficiency, line.base, line.slope))
}
