//! Welding current: by published schedule where the pass melts through the wall, by heat flow where it lies on or in
//! metal that it need not melt through; each is the other's check.

use super::figure::LineKind;
use super::heat_flow::{Face, Plate, current_for_power, warm_current};
use super::job::Job;
use super::load_line::LoadLine;
use super::metal::{Ends, Props};
use super::opening::{Opening, Shape};
use super::penetration::penetration_amps;
use super::schedule::{self, Scheduled};
use super::solved::{Method, Powers, Solved};
use super::work::{Work, cite, constant};
use crate::findings::{Code, Finding};
use crate::reference::{Basis, Polarity};
use crate::spec::{Joint, Position};
use crate::units::show;
use std::f64::consts::PI;

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
            return self.full_penetration(self.wall);
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
        let scheduled = schedule::read(self.polarity, Joint::Butt, closed)?;
        let line = LoadLine::for_gas(self.job.helium);
        let molten = self.ends.least.liquidus.value;
        let reference = constant("schedule-reference").value;
        let factor: f64 = self.factors(closed).iter().map(|(_, factor, _)| *factor).product();
        let at = |amps: f64| warm_current(amps * factor, molten, reference, self.start, line.base, line.slope);
        Some((at(scheduled.low), at(scheduled.high), molten))
    }

    /// Pool width of a heat-flow pass, mm: by the pass, never wider than the wall bears, at most 8 mm uphill or overhead.
    fn pool(&self, pass: Pass, work: &mut Work) -> f64 {
        let key = match pass {
            Pass::Root => "pool-root",
            Pass::Fill => "pool-fill",
        };
        let mut pool = work.constant(key, "");
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
        work.step("pool-width", "w", "", pool, "mm");
        pool
    }

    fn plate(&self, props: &Props, travel: f64) -> Plate {
        let conductivity = props.conductivity.value * constant("fit-conductivity").value;
        Plate {
            thickness: self.wall * 1e-3,
            conductivity,
            diffusivity: conductivity / (props.density.value * 1000.0 * props.specific_heat.value),
            speed: travel * 1e-3 / 60.0,
            edge: self.job.edge_distance().map(|edge| edge * 1e-3),
        }
    }

    fn powers(&self, props: &Props, pool: f64, travel: f64, deposit: f64) -> Powers {
        let molten = props.liquidus.value;
        let hold = self.plate(props, travel).power_for_width(pool * 1e-3, molten - self.start, Face::Arc);
        let per_second = props.density.value * travel / 60.0 / 1000.0;
        let section = (PI / 8.0 * pool * pool).min(pool * self.wall);
        let melt = per_second * (section * constant("latent-heat").value + deposit * constant("rod-enthalpy").value);
        Powers { hold, melt, molten }
    }

    /// A pass that lies in metal that it need not melt through.
    fn in_groove(&self, pass: Pass) -> Option<Solved> {
        let mut work = Work::new();
        let line = LoadLine::for_gas(self.job.helium);
        self.write_wall(&mut work);
        let pool = self.pool(pass, &mut work);
        let travel = work.constant("travel-repair", "v");
        let deposit = self.opening.deposit_per_pass(pass);
        let props = &self.ends.least;
        self.write_metal(&mut work, props);
        let least = self.powers(props, pool, travel, deposit);
        let most = if self.ends.known() { least } else { self.powers(&self.ends.most, pool, travel, deposit) };
        let efficiency = constant("fit-efficiency").value;
        let band = constant("fit-band").value / 100.0;
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
        solved.work.small_constant("fit-band", "b");
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

    fn write_metal(&self, work: &mut Work, props: &Props) {
        work.row("conductivity", "k0", props.conductivity.value, "W/mK", props.conductivity.cite.clone());
        work.with(vec![props.conductivity.from.clone()]);
        work.constant("fit-conductivity", "f");
        work.small_row("density", "rho", props.density.value, "g/cm3", props.density.cite.clone());
        work.small_row("specific-heat", "c", props.specific_heat.value, "J/kgK", props.specific_heat.cite.clone());
        work.small_row("liquidus", "Tm", props.liquidus.value, "°C", props.liquidus.cite.clone());
        let plate = self.plate(props, 60.0);
        work.step("conductivity-hot", "k", "k0 * f", plate.conductivity, "W/mK");
        work.step("diffusivity", "a", "k / (rho * c) * 1000", plate.diffusivity * 1e6, "mm2/s");
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
        } else {
            work.step("hold-pool", "ph", "plate_power(w, t, k, a, v, Tm - T0)", powers.hold, "W");
        }
        work.small_constant("latent-heat", "L");
        work.small_constant("rod-enthalpy", "H");
        let section = (PI / 8.0 * pool * pool).min(pool * self.wall);
        work.step("melted-section", "m", "min(pi / 8 * w^2, w * t)", section, "mm2");
        work.small_row("deposit", "d", deposit, "mm2", cite("deposit-per-pass"));
        let per_second = props.density.value * travel / 60.0 / 1000.0;
        work.step(
            "melt-section",
            "pm",
            "rho * m * v / 60 * L / 1000",
            per_second * section * constant("latent-heat").value,
            "W",
        );
        work.step(
            "melt-rod",
            "pr",
            "rho * d * v / 60 * H / 1000",
            per_second * deposit * constant("rod-enthalpy").value,
            "W",
        );
        work.constant("fit-efficiency", "n");
        work.step(
            "from-arc",
            "pa",
            "(ph + pm + pr) / n",
            (powers.hold + powers.melt) / constant("fit-efficiency").value,
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
        if let Some(scheduled) = schedule::read(self.polarity, Joint::Butt, depth).filter(|read| read.inside && joined)
        {
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
        solved.work.remark(LineKind::NotUsed, "balance-has-no-heat-factor", Vec::new(), balance_study());
        solved.work.remark(LineKind::Doubt, "travel-doubt", self.travel_doubt(solved, aim), None);
    }

    /// What 40 mm/min faster and slower would ask: amperes more and less.
    fn travel_doubt(&self, solved: &Solved, aim: f64) -> Vec<String> {
        let travel = constant("travel-repair");
        let range = travel.range.unwrap_or([travel.value, travel.value]);
        let Some(pool) = solved.pool else { return Vec::new() };
        let amps = |speed: f64| {
            let powers = self.powers(&self.ends.least, pool, speed, self.opening.deposit_per_pass(Pass::Root));
            current_for_power(
                (powers.hold + powers.melt) / constant("fit-efficiency").value,
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

    /// A pass that melts through a wall of this thickness.
    fn full_penetration(&self, wall: f64) -> Option<Solved> {
        let mut work = Work::new();
        self.write_wall(&mut work);
        let line = LoadLine::for_gas(self.job.helium);
        let reference = constant("schedule-reference").value;
        let scheduled = schedule::read(self.polarity, self.job.joint, wall)?;
        schedule::write(&mut work, &scheduled);
        let (mut low, mut high) = (scheduled.low, scheduled.high);
        let mut basis = scheduled.rows.0.basis;
        let anchor = scheduled.rows.0.thickness;
        if !scheduled.inside && wall < anchor {
            let ratio = self.penetration_amps(wall)? / self.penetration_amps(anchor)?;
            (low, high) = (low * ratio, high * ratio);
            basis = Basis::Computed;
            work.step("beyond-rows", "q", "", ratio, "");
            work.with(vec![show::number(anchor, 1)]);
            work.step("carried-low", "lo", "lo * q", low, "A");
            work.step("carried-high", "hi", "hi * q", high, "A");
        } else if !scheduled.inside {
            let flow = self.penetration_amps(wall)?;
            let band = work.small_constant("fit-band", "b") / 100.0;
            work.step("heat-flow-leads", "q", "", flow, "A");
            work.with(vec![show::number(anchor, 1)]);
            basis = Basis::Computed;
            (low, high) = (low.max(flow * (1.0 - band)), high.max(flow * (1.0 + band)));
            work.step("carried-low", "lo", "max(lo, q * (1 - b / 100))", low, "A");
            work.step("carried-high", "hi", "max(hi, q * (1 + b / 100))", high, "A");
        }
        for (words, factor, cite) in self.factors(wall) {
            (low, high) = (low * factor, high * factor);
            work.adjust(words, "g", factor, "", cite);
            work.step("factor-low", "lo", "lo * g", low, "A");
            work.step("factor-high", "hi", "hi * g", high, "A");
        }
        self.write_witnesses(&mut work, wall);
        let molten = self.ends.least.liquidus.value;
        let mut solved = Solved {
            method: Method::Schedule {
                low: warm_current(low, molten, reference, self.start, line.base, line.slope),
                high: warm_current(high, molten, reference, self.start, line.base, line.slope),
                molten,
            },
            line,
            reference: self.start,
            pool: None,
            work,
            basis,
            other: None,
        };
        if (self.start - reference).abs() > 0.5 {
            let [at_low, _, at_high] = solved.at(self.start);
            solved.work.row("liquidus", "Tm", molten, "°C", self.ends.least.liquidus.cite.clone());
            solved.work.small_constant("schedule-reference", "Tr");
            line.write(&mut solved.work, self.job.helium);
            solved.work.step("warm-low", "lo", "warm_amps(lo, Tm, Tr, T0, ub, u1)", at_low, "A");
            solved.work.step("warm-high", "hi", "warm_amps(hi, Tm, Tr, T0, ub, u1)", at_high, "A");
        }
        solved.work.step("aim-middle", "i", "(lo + hi) / 2", solved.at(self.start)[1], "A");
        self.check_by_heat_flow(&mut solved, wall, (low, high));
        Some(solved)
    }

    /// Joint and position factors of a schedule pass.
    fn factors(&self, wall: f64) -> Vec<(&'static str, f64, crate::reference::Cite)> {
        let mut factors = Vec::new();
        if let Some(key) = schedule::joint_factor(self.job.joint) {
            factors.push((key, constant(key).value, cite(key)));
        }
        if let Some((factor, cite)) = schedule::position_factor(self.polarity, self.job.position, wall)
            && factor < 1.0
        {
            factors.push(("position-factor", factor, cite));
        }
        factors
    }

    fn write_witnesses(&self, work: &mut Work, wall: f64) {
        use crate::reference::Row;
        for row in schedule::witnesses(self.polarity, self.job.joint, wall) {
            work.check("witness", (row.amperage[0], row.amperage[1]), "A", Some(row.cite()));
            work.with(vec![show::number(row.thickness, 1)]);
        }
    }

    /// Current by heat flow for a back-face pool half as wide as the wall is thick, A, at the schedule's temperature.
    fn penetration_amps(&self, wall: f64) -> Option<f64> {
        penetration_amps(&self.ends.least, wall, self.polarity, self.job.helium)
    }

    fn check_by_heat_flow(&self, solved: &mut Solved, wall: f64, (low, high): (f64, f64)) {
        let Some(amps) = self.penetration_amps(wall) else { return };
        let middle = f64::midpoint(low, high);
        let band = constant("fit-band").value / 100.0;
        // Only a butt is the same weld by both methods; fillet, lap, corner and edge go by schedule and factor alone.
        if self.job.joint == Joint::Butt {
            solved.other = Some((amps * (1.0 - band), amps * (1.0 + band)));
        }
        let heat_cite = cite("fit-efficiency");
        solved.work.check("heat-flow-penetration", (amps * (1.0 - band), amps * (1.0 + band)), "A", Some(heat_cite));
        solved.work.check("difference", ((amps / middle - 1.0) * 100.0, (amps / middle - 1.0) * 100.0), "%", None);
        if let Some((rule, cite)) = schedule::rule_of_thumb(wall) {
            solved.work.check("rule-of-thumb", (rule, rule), "A", Some(cite));
        }
        if let Some(ratio) = self.against_reference_alloy(wall)
            && (ratio - 1.0).abs() > 0.03
        {
            let alloy = self.ends.least.alloy.name.clone();
            let reference = constant("schedule-alloy").meaning.clone();
            let percent = show::number((ratio - 1.0).abs() * 100.0, 0);
            let words = if ratio < 1.0 { "wants-less-than-schedule" } else { "wants-more-than-schedule" };
            solved.work.remark(LineKind::Remark, words, vec![alloy, percent, reference], None);
        }
        solved.work.remark(LineKind::NotUsed, "balance-has-no-heat-factor", Vec::new(), balance_study());
    }

    /// Heat-flow current of this metal over that of 6061-T6, which schedules are taken to be written for.
    fn against_reference_alloy(&self, wall: f64) -> Option<f64> {
        let reference = crate::reference::search::alloy_named("6061")?;
        let props = Props::of(reference, Some("T6"))?;
        let other = penetration_amps(&props, wall, self.polarity, self.job.helium)?;
        Some(self.penetration_amps(wall)? / other)
    }

    /// A root over a thin face in a thick wall: from the schedule at the face and a little more, up to what a narrow
    /// pool in the whole wall asks.
    fn root_over_face(&self, reach: f64) -> Option<Solved> {
        let scheduled: Scheduled = schedule::read(self.polarity, Joint::Butt, reach)?;
        let mut flow = self.in_groove(Pass::Root)?;
        let narrow = constant("pool-root").range.map_or(constant("pool-root").value, |range| range[0]);
        let pool = narrow.min(constant("pool-per-wall").value * self.wall);
        let top = self.powers(
            &self.ends.most,
            pool,
            constant("travel-repair").value,
            self.opening.deposit_per_pass(Pass::Root),
        );
        let efficiency = constant("fit-efficiency").value;
        let high = current_for_power((top.hold + top.melt) / efficiency, flow.line.base, flow.line.slope);
        let reference = constant("schedule-reference").value;
        let molten = self.ends.least.liquidus.value;
        let low = warm_current(scheduled.low, molten, reference, self.start, flow.line.base, flow.line.slope);
        if low >= high {
            return Some(flow);
        }
        let mut work = Work::new();
        self.write_wall(&mut work);
        work.step("face-left", "", "", self.opening.left, "mm");
        work.small_constant("face-schedule-allowance", "");
        work.row("schedule-at-face", "lo", scheduled.low, "A", {
            use crate::reference::Row;
            scheduled.rows.0.cite()
        });
        work.with(vec![show::number(reach, 1)]);
        if (self.start - reference).abs() > 0.5 {
            work.row("liquidus", "Tm", molten, "°C", self.ends.least.liquidus.cite.clone());
            work.small_constant("schedule-reference", "Tr");
            flow.line.write(&mut work, self.job.helium);
            work.step("warm-low", "lo", "warm_amps(lo, Tm, Tr, T0, ub, u1)", low, "A");
        }
        work.row("narrow-pool", "w", pool, "mm", cite("pool-root"));
        work.step("narrow-pool-amps", "hi", "", high, "A");
        work.step("aim-middle", "i", "(lo + hi) / 2", f64::midpoint(low, high), "A");
        if let Some((from, to, _)) = self.floor().filter(|(from, to, _)| from + to > low + high) {
            work.adjust("closed-crack-wall", "", self.closed_wall(), "mm", cite("closed-crack-wall"));
            work.step("not-less-than-thin-wall", "i", "", f64::midpoint(from, to), "A");
        }
        work.remark(LineKind::NotUsed, "balance-has-no-heat-factor", Vec::new(), balance_study());
        flow.other = Some((flow.at(self.start)[0], flow.at(self.start)[2]));
        let [flow_low, _, flow_high] = flow.at(self.start);
        work.check("heat-flow-band", (flow_low, flow_high), "A", Some(cite("fit-efficiency")));
        Some(Solved {
            method: Method::Face { low, molten, top, efficiency, floor: self.floor() },
            line: flow.line,
            reference: self.start,
            pool: Some(pool),
            work,
            basis: Basis::Computed,
            other: flow.other,
        })
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
        let mut plate = self.plate(&self.ends.least, constant("travel-repair").value);
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

fn balance_study() -> Option<crate::reference::Cite> {
    use crate::reference::Row;
    crate::reference::ac_study().rows.iter().find(|row| row.sign != 0).map(Row::cite)
}
