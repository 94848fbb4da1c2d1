//! A pass that lies on or in metal that it need not melt through: by heat flow, the schedule its check.

use super::{Pass, Question, balance_study};
use crate::engine::figure::LineKind;
use crate::engine::heat_flow::current_for_power;
use crate::engine::load_line::LoadLine;
use crate::engine::metal::Props;
use crate::engine::opening::Shape;
use crate::engine::schedule;
use crate::engine::solved::{Method, Powers, Solved};
use crate::engine::work::{Work, cite, constant, constant_of};
use crate::reference::{Basis, Class, Polarity};
use crate::spec::{Joint, Position};
use crate::units::show;
use std::f64::consts::PI;

impl Question<'_> {
    /// Pool width of a heat-flow pass, mm: by the pass, never wider than the wall bears, at most 8 mm uphill or overhead.
    fn pool(&self, pass: Pass, work: &mut Work) -> f64 {
        let key = match pass {
            Pass::Root => "pool-root",
            Pass::Fill => "pool-fill",
        };
        let mut pool = work.constant_of(self.job.class(), key, "");
        let bound = constant("pool-per-wall").value * self.wall;
        if bound < pool {
            work.adjust("pool-per-wall", "", bound, "mm", cite("pool-per-wall"));
            pool = bound;
        }
        if matches!(self.job.position, Position::PF | Position::PE | Position::PD | Position::PC) {
            let limit = constant("pool-out-of-position");
            if limit.value < pool {
                work.adjust("pool-out-of-position", "", limit.value, "mm", cite("pool-out-of-position"));
                pool = limit.value;
            }
        }
        // What is built out of an edge is no wider than the edge.
        if let Some(width) = self.built_edge().filter(|width| *width < pool) {
            pool = width;
            work.step("pool-on-edge", "", "", pool, "mm");
        }
        work.step("pool-width", "w", "", pool, "mm");
        pool
    }

    /// A pass that lies in metal that it need not melt through.
    pub(super) fn in_groove(&self, pass: Pass) -> Option<Solved> {
        let mut work = Work::new();
        let line = LoadLine::for_gas(self.job.helium);
        self.write_wall(&mut work);
        let pool = self.pool(pass, &mut work);
        let class = self.job.class();
        let travel = work.constant_of(class, "travel-repair", "v");
        let deposit = self.opening.deposit_per_pass(class, pass);
        let props = &self.ends.least;
        self.write_metal(&mut work, props);
        let least = self.powers(props, pool, travel, deposit);
        let most = if self.ends.known() { least } else { self.powers(&self.ends.most, pool, travel, deposit) };
        let efficiency = constant(self.efficiency_key()).value;
        let band = constant_of(class, "fit-band").value / 100.0;
        self.write_powers(&mut work, props, pool, deposit, travel, &least, line);
        let floor = self.floor();
        let mut solved = Solved {
            method: Method::HeatFlow { least, most, efficiency, band, floor: None },
            line,
            reference: self.start,
            pool: Some(pool),
            work,
            basis: Basis::Computed,
            other: None,
        };
        let aim = solved.at(self.start)[1];
        solved.work.step("on-load-line", "i", "(sqrt(ub^2 + 4 * u1 * pa) - ub) / (2 * u1)", aim, "A");
        if !self.ends.known() {
            let [_, _, high] = solved.at(self.start);
            solved.work.check(
                "best-conductor",
                (high / (1.0 + band), high / (1.0 + band)),
                "A",
                Some(self.ends.most.conductivity.cite.clone()),
            );
        }
        let [_, flow, _] = solved.at(self.start);
        solved.work.small_constant_of(class, "fit-band", "b");
        solved.work.step("band-low", "", "i * (1 - b / 100)", solved.at(self.start)[0], "A");
        if self.ends.known() {
            solved.work.step("band-high", "", "i * (1 + b / 100)", solved.at(self.start)[2], "A");
        }
        if let Method::HeatFlow { floor: slot, .. } = &mut solved.method {
            *slot = floor;
        }
        let aim = solved.at(self.start)[1];
        if aim > flow {
            solved.work.adjust("closed-crack-wall", "", self.closed_wall(), "mm", cite("closed-crack-wall"));
            solved.work.step("not-less-than-thin-wall", "i", "", aim, "A");
        }
        self.check_by_schedule(&mut solved, aim);
        Some(solved)
    }

    fn write_metal(&self, work: &mut Work, props: &Props) {
        work.row("conductivity", "k0", props.conductivity.value, "W/mK", props.conductivity.cite.clone());
        work.with(vec![props.conductivity.from.clone()]);
        let class = props.alloy.class;
        work.constant_of(class, "fit-conductivity", "f");
        work.small_row("density", "rho", props.density.value, "g/cm3", props.density.cite.clone());
        work.small_row("specific-heat", "c", props.specific_heat.value, "J/kgK", props.specific_heat.cite.clone());
        work.small_row("liquidus", "Tm", props.liquidus.value, "°C", props.liquidus.cite.clone());
        let plate = self.plate(props, 60.0);
        work.step("conductivity-hot", "k", "k0 * f", plate.conductivity, "W/mK");
        if class == Class::Aluminium {
            work.step("diffusivity", "a", "k / (rho * c) * 1000", plate.diffusivity * 1e6, "mm2/s");
        } else {
            work.constant_of(class, "fit-specific-heat", "h");
            work.step("diffusivity", "a", "k / (rho * c * h) * 1000", plate.diffusivity * 1e6, "mm2/s");
        }
    }

    #[allow(clippy::too_many_arguments, reason = "one line of the working for each")]
    fn write_powers(
        &self,
        work: &mut Work,
        props: &Props,
        pool: f64,
        deposit: f64,
        travel: f64,
        powers: &Powers,
        line: LoadLine,
    ) {
        if let Some(edge) = self.job.edge_distance() {
            work.stated(
                "edge-distance",
                "e",
                edge,
                "mm",
                self.job.spec.damage.edge_distance.as_ref().map(|at| at.span),
            );
            work.step("hold-pool-at-edge", "ph", "plate_power_at_edge(w, t, k, a, v, Tm - T0, e)", powers.hold, "W");
        } else if let Some(edge) = self.edge() {
            work.step("edge-under-pad", "e", "", edge, "mm");
            work.step("hold-pool-at-edge", "ph", "plate_power_at_edge(w, t, k, a, v, Tm - T0, e)", powers.hold, "W");
        } else {
            work.step("hold-pool", "ph", "plate_power(w, t, k, a, v, Tm - T0)", powers.hold, "W");
        }
        let class = props.alloy.class;
        work.small_constant_of(class, "latent-heat", "L");
        work.small_constant_of(class, "rod-enthalpy", "H");
        let section = (PI / 8.0 * pool * pool).min(pool * self.wall);
        work.step("melted-section", "m", "min(pi / 8 * w^2, w * t)", section, "mm2");
        work.small_row("deposit", "d", deposit, "mm2", cite("deposit-per-pass"));
        let per_second = props.density.value * travel / 60.0 / 1000.0;
        work.step(
            "melt-section",
            "pm",
            "rho * m * v / 60 * L / 1000",
            per_second * section * constant_of(class, "latent-heat").value,
            "W",
        );
        work.step(
            "melt-rod",
            "pr",
            "rho * d * v / 60 * H / 1000",
            per_second * deposit * constant_of(class, "rod-enthalpy").value,
            "W",
        );
        work.constant(self.efficiency_key(), "n");
        work.step(
            "from-arc",
            "pa",
            "(ph + pm + pr) / n",
            (powers.hold + powers.melt) / constant(self.efficiency_key()).value,
            "W",
        );
        line.write(work, self.job.helium);
    }

    /// The other method of a repair pass: the schedule of a one-run butt as deep as the opening.
    fn check_by_schedule(&self, solved: &mut Solved, aim: f64) {
        let depth = self.opening.depth.unwrap_or(self.wall).min(self.wall);
        // The height of a pad says nothing of the metal under it.
        // Nor is a V welded in one run.
        let joined = self.job.joint != Joint::Pad && self.opening.shape != Shape::Vee;
        if let Some(scheduled) = schedule::read(self.of(), Joint::Butt, depth).filter(|read| read.inside && joined) {
            use crate::reference::Row;
            solved.work.check("schedule-at-depth", (scheduled.low, scheduled.high), "A", Some(scheduled.rows.0.cite()));
            solved.work.with(vec![show::number(depth, 1)]);
            let middle = f64::midpoint(scheduled.low, scheduled.high);
            solved.work.check("difference", ((aim / middle - 1.0) * 100.0, (aim / middle - 1.0) * 100.0), "%", None);
            solved.other = Some((scheduled.low, scheduled.high));
        }
        if let Some((rule, cite)) = schedule::rule_of_thumb(depth).filter(|_| joined) {
            solved.work.check("rule-of-thumb", (rule, rule), "A", Some(cite));
        }
        if self.polarity == Polarity::AC {
            solved.work.remark(LineKind::NotUsed, "balance-has-no-heat-factor", Vec::new(), balance_study());
        }
        solved.work.remark(LineKind::Doubt, "travel-doubt", self.travel_doubt(solved, aim), None);
    }

    /// What 40 mm/min faster and slower would ask: amperes more and less.
    fn travel_doubt(&self, solved: &Solved, aim: f64) -> Vec<String> {
        let travel = constant_of(self.job.class(), "travel-repair");
        let range = travel.range.unwrap_or([travel.value, travel.value]);
        let Some(pool) = solved.pool else { return Vec::new() };
        let amps = |speed: f64| {
            let powers =
                self.powers(&self.ends.least, pool, speed, self.opening.deposit_per_pass(self.job.class(), Pass::Root));
            current_for_power(
                (powers.hold + powers.melt) / constant(self.efficiency_key()).value,
                solved.line.base,
                solved.line.slope,
            )
        };
        vec![
            show::number(range[1] - travel.value, 0),
            show::number(amps(range[1]) - aim, 0),
            show::number(aim - amps(range[0]), 0),
        ]
    }
}
