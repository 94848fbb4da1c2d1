//! Welding current: by published schedule where the pass melts through the wall, by heat flow where it lies on or in
//! metal that it need not melt through; each is the other's check.

use super::heat_flow::{Face, Plate, current_for_power, warm_current};
use super::job::Job;
use super::load_line::LoadLine;
use super::metal::{Ends, Props};
use super::opening::{Opening, Shape};
use super::schedule::{self};
use super::solved::{Method, Powers, Solved};
use super::work::{Work, cite, constant, constant_of};
use crate::findings::{Code, Finding};
use crate::reference::{ConstantRow, Polarity};
use crate::spec::{DamageKind, Joint};
use crate::units::show;
use std::f64::consts::PI;

mod on_metal;
mod through;

/// Which pass is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pass {
    /// The first at the bottom of an opening, or the only one through a wall.
    Root,
    /// Any later pass, and the passes of a pad.
    Fill,
}

/// What a pass is worked out from.
pub struct Question<'a> {
    /// The job.
    pub job: &'a Job<'a>,
    /// The metal.
    pub ends: &'a Ends,
    /// Wall thickness, mm.
    pub wall: f64,
    /// The opening.
    pub opening: &'a Opening,
    /// Polarity.
    pub polarity: Polarity,
    /// Part temperature that the result is referred to, °C.
    pub start: f64,
}

impl Question<'_> {
    /// Works the current of a pass out.
    #[must_use]
    pub fn solve(&self, pass: Pass) -> Option<Solved> {
        let by_schedule =
            matches!(self.job.joint, Joint::Butt | Joint::Fillet | Joint::Lap | Joint::Corner | Joint::Edge);
        // A V butt is not a butt: its root melts a thin face, and every pass above lies on metal.
        if self.opening.shape == Shape::Vee {
            return match pass {
                Pass::Root => self.root_over_face(self.opening.left + constant("face-schedule-allowance").value),
                Pass::Fill => self.in_groove(Pass::Fill),
            };
        }
        if by_schedule || self.opening.shape == Shape::Patch {
            return self.full_penetration(self.wall.min(self.edge_in_one_run().value));
        }
        if pass == Pass::Root && self.opening.melts_through {
            if self.wall <= self.closed_wall() {
                return self.full_penetration(self.wall);
            }
            return self.root_over_face(self.opening.left + constant("face-schedule-allowance").value);
        }
        // A pad has no root: every bead of it lies on metal.
        self.in_groove(if self.job.joint == Joint::Pad { Pass::Fill } else { pass })
    }

    /// Thickest edge, mm, that is welded in one run: thicker ones are laid in runs, each no larger than on this one. A butt
    /// is a matter of its opening.
    fn edge_in_one_run(&self) -> &'static ConstantRow {
        let key = if self.job.joint == Joint::Butt { "thick-for-tig" } else { "edge-run-most" };
        constant_of(self.job.class(), key)
    }

    /// Thickest wall, mm, that is melted through as it stands, without an opening that takes heat away.
    fn closed_wall(&self) -> f64 {
        match self.opening.shape {
            Shape::Plug => constant("face-schedule-allowance").value,
            Shape::Vee => constant("square-edge-limit").value,
            _ => constant("closed-crack-wall").value,
        }
    }

    /// What the thickest wall that is melted through unopened asks for: a thicker one that is opened never asks for
    /// less. Low, high and the temperature at which the metal is molten.
    fn floor(&self) -> Option<(f64, f64, f64)> {
        if self.job.joint == Joint::Pad {
            return None;
        }
        let closed = self.closed_wall().min(self.wall);
        let scheduled = schedule::read(self.of(), Joint::Butt, closed)?;
        let line = LoadLine::for_gas(self.job.helium);
        let molten = self.ends.least.liquidus.value;
        let reference = constant("schedule-reference").value;
        let factor: f64 = self.factors(closed).iter().map(|(_, factor, _)| *factor).product();
        let at = |amps: f64| warm_current(amps * factor, molten, reference, self.start, line.base, line.slope);
        Some((at(scheduled.low), at(scheduled.high), molten))
    }

    /// Which schedules are read.
    fn of(&self) -> schedule::Of {
        schedule::Of::job(self.job, self.polarity)
    }

    /// Share of the arc power that the heat-flow equation takes: a fit on AC, the share that was measured on DCEN.
    fn efficiency_key(&self) -> &'static str {
        efficiency_key(self.polarity)
    }

    /// Width, mm, of an edge that broke away and is built out again with rod; none for other jobs.
    fn built_edge(&self) -> Option<f64> {
        let missing = matches!(self.job.spec.damage.kind.as_ref().map(|at| at.value), Some(DamageKind::MissingPiece));
        let width = self.opening.sides.first().map(|side| side.width).filter(|width| *width > 0.0);
        width.filter(|_| missing && self.job.joint == Joint::Pad)
    }

    /// Distance of the arc from a free edge, mm: as stated, and half an edge where the bead lies on the edge itself.
    fn edge(&self) -> Option<f64> {
        self.job.edge_distance().or_else(|| self.built_edge().map(|width| width / 2.0))
    }

    fn plate(&self, props: &Props, travel: f64) -> Plate {
        let conductivity = props.hot_conductivity();
        Plate {
            thickness: self.wall * 1e-3,
            conductivity,
            diffusivity: conductivity / (props.density.value * 1000.0 * props.hot_specific_heat()),
            speed: travel * 1e-3 / 60.0,
            edge: self.edge().map(|edge| edge * 1e-3),
        }
    }

    fn powers(&self, props: &Props, pool: f64, travel: f64, deposit: f64) -> Powers {
        let molten = props.liquidus.value;
        let hold = self.plate(props, travel).power_for_width(pool * 1e-3, molten - self.start, Face::Arc);
        let per_second = props.density.value * travel / 60.0 / 1000.0;
        let section = (PI / 8.0 * pool * pool).min(pool * self.wall);
        let class = props.alloy.class;
        let melt = per_second
            * (section * constant_of(class, "latent-heat").value + deposit * constant_of(class, "rod-enthalpy").value);
        Powers { hold, melt, molten }
    }

    fn write_wall(&self, work: &mut Work) {
        let span = self.job.thickness_span();
        work.stated("wall", "t", self.wall, "mm", span);
        let at = self.job.spec.weld.start_temperature.as_ref().map(|at| at.span);
        match at {
            Some(span) if (self.start - self.job.start_temperature).abs() < 0.5 => {
                work.stated("start", "T0", self.start, "°C", Some(span))
            }
            _ => work.assumed("start", "T0", self.start, "°C"),
        };
    }

    /// Joint and position factors of a schedule pass.
    fn factors(&self, wall: f64) -> Vec<(&'static str, f64, crate::reference::Cite)> {
        let mut factors = Vec::new();
        if let Some(key) = schedule::joint_factor(self.job.joint) {
            factors.push((key, constant(key).value, cite(key)));
        }
        if let Some((factor, cite)) = schedule::position_factor(self.of(), self.job.position, wall)
            && factor < 1.0
        {
            factors.push(("position-factor", factor, cite));
        }
        factors
    }

    /// A note when the two methods differ by more than the stated band.
    #[must_use]
    pub fn compare(&self, solved: &Solved) -> Option<Finding> {
        let (low, high) = solved.other?;
        let aim = solved.at(self.start)[1];
        let middle = f64::midpoint(low, high);
        let limit = constant("methods-differ").value;
        let difference = (middle / aim - 1.0) * 100.0;
        (difference.abs() > limit).then(|| {
            Finding::new(
                Code::SettingMethodsDiffer,
                format!(
                    "the two methods for the amperage differ by {} %: {} A against {} to {} A",
                    show::number(difference.abs(), 0),
                    show::number(super::work::round(super::FigureName::Amperage, aim), 0),
                    show::number(super::work::round(super::FigureName::Amperage, low), 0),
                    show::number(super::work::round(super::FigureName::Amperage, high), 0),
                ),
            )
            .help("start at the lower end and watch the pool; `why SPEC amperage` shows both")
        })
    }

    /// Current with a free edge this far from the weld, as a share of the current far from any edge; heat-flow passes
    /// alone. The edge throws the heat back: mirror source, pool of the pass, at the side towards the edge.
    #[must_use]
    pub fn edge_share(&self, solved: &Solved, edge: f64) -> Option<f64> {
        let Method::HeatFlow { least, efficiency, .. } = &solved.method else { return None };
        let pool = solved.pool?;
        let mut plate = self.plate(&self.ends.least, constant_of(self.job.class(), "travel-repair").value);
        // The power is in proportion to the rise, so that the pool far from an edge need not be solved again.
        let far = if plate.edge.is_none() {
            least.hold / (least.molten - solved.reference)
        } else {
            plate.edge = None;
            plate.power_for_width(pool * 1e-3, 1.0, Face::Arc)
        };
        plate.edge = Some(edge * 1e-3);
        let near = plate.power_for_width(pool * 1e-3, 1.0, Face::Arc);
        let amps = |hold: f64| current_for_power((hold + least.melt) / efficiency, solved.line.base, solved.line.slope);
        Some(amps(least.hold * near / far) / amps(least.hold))
    }
}

/// Key of the share of the arc power that the heat-flow equation takes.
pub(super) fn efficiency_key(polarity: Polarity) -> &'static str {
    match polarity {
        Polarity::AC => "fit-efficiency",
        Polarity::DCEN | Polarity::DCEP => "dcen-efficiency",
    }
}

fn balance_study() -> Option<crate::reference::Cite> {
    use crate::reference::Row;
    crate::reference::ac_study().rows.iter().find(|row| row.sign != 0).map(Row::cite)
}
