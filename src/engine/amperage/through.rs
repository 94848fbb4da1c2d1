//! A pass that melts through a wall, or through the face left at the bottom of an opening: by published schedule, heat
//! flow its check.

use super::{Pass, Question, balance_study};
use crate::engine::figure::LineKind;
use crate::engine::heat_flow::{current_for_power, warm_current};
use crate::engine::load_line::LoadLine;
use crate::engine::metal::Props;
use crate::engine::penetration::penetration_amps;
use crate::engine::schedule::{self, Scheduled};
use crate::engine::solved::{Method, Solved};
use crate::engine::work::{Work, cite, constant, constant_of};
use crate::reference::{Basis, Class, Polarity, Row};
use crate::spec::Joint;
use crate::units::show;

impl Question<'_> {
    /// A pass that melts through a wall of this thickness.
    pub(super) fn full_penetration(&self, wall: f64) -> Option<Solved> {
        let mut work = Work::new();
        self.write_wall(&mut work);
        if wall < self.wall {
            let row = self.edge_in_one_run();
            work.row("edge-run-most", "m", row.value, "mm", row.cite());
            work.step("thick-edge-in-runs", "t", "min(t, m)", wall, "mm");
        }
        let line = LoadLine::for_gas(self.job.helium);
        let reference = constant("schedule-reference").value;
        let Some(scheduled) = schedule::read(self.of(), self.job.joint, wall) else { return self.by_heat_flow(wall) };
        schedule::write(&mut work, &scheduled);
        if let Some(other) = self.of().other_metal(scheduled.rows.0) {
            work.remark(LineKind::Doubt, "schedule-of-another-metal", vec![other.to_owned()], None);
        }
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
            let band = work.small_constant_of(self.job.class(), "fit-band", "b") / 100.0;
            work.step("heat-flow-leads", "q", "", flow, "A");
            work.with(vec![show::number(anchor, 1)]);
            basis = Basis::Computed;
            (low, high) = (low.max(flow * (1.0 - band)), high.max(flow * (1.0 + band)));
            work.step("carried-low", "lo", "max(lo, q * (1 - b / 100))", low, "A");
            work.step("carried-high", "hi", "max(hi, q * (1 + b / 100))", high, "A");
        }
        if !scheduled.inside && scheduled.spread.is_some() {
            (low, high) = scheduled.widened((low, high));
            schedule::write_spread(&mut work, &scheduled, (low, high));
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
        self.reach_down(&mut solved, &scheduled, wall);
        solved.work.step("aim-middle", "i", "(lo + hi) / 2", solved.at(self.start)[1], "A");
        self.check_by_heat_flow(&mut solved, wall, (low, high));
        Some(solved)
    }

    /// A root over a thin face in a thick wall: from the schedule at the face and a little more, up to what a narrow
    /// pool in the whole wall asks.
    pub(super) fn root_over_face(&self, reach: f64) -> Option<Solved> {
        let Some(scheduled): Option<Scheduled> = schedule::read(self.of(), Joint::Butt, reach) else {
            return self.in_groove(Pass::Root);
        };
        let mut flow = self.in_groove(Pass::Root)?;
        let class = self.job.class();
        let root = constant_of(class, "pool-root");
        let narrow = root.range.map_or(root.value, |range| range[0]);
        let pool = narrow.min(constant("pool-per-wall").value * self.wall);
        let top = self.powers(
            &self.ends.most,
            pool,
            constant_of(class, "travel-repair").value,
            self.opening.deposit_per_pass(class, Pass::Root),
        );
        let efficiency = constant(self.efficiency_key()).value;
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
        self.write_no_balance_factor(&mut work);
        flow.other = Some((flow.at(self.start)[0], flow.at(self.start)[2]));
        let [flow_low, _, flow_high] = flow.at(self.start);
        work.check("heat-flow-band", (flow_low, flow_high), "A", Some(cite(self.efficiency_key())));
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

    fn write_witnesses(&self, work: &mut Work, wall: f64) {
        use crate::reference::Row;
        for row in schedule::witnesses(self.of(), self.job.joint, wall) {
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
        let band = constant_of(self.job.class(), "fit-band").value / 100.0;
        // Only a butt is the same weld by both methods; fillet, lap, corner and edge go by schedule and factor alone.
        if self.job.joint == Joint::Butt {
            solved.other = Some((amps * (1.0 - band), amps * (1.0 + band)));
        }
        let heat_cite = cite(self.efficiency_key());
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
        self.write_no_balance_factor(&mut solved.work);
    }

    /// A pass through a wall of a metal that no schedule is known for: heat flow alone.
    fn by_heat_flow(&self, wall: f64) -> Option<Solved> {
        let mut work = Work::new();
        self.write_wall(&mut work);
        let class = self.job.class();
        let line = LoadLine::for_gas(self.job.helium);
        let flow = self.penetration_amps(wall)?;
        work.constant_of(class, "travel-repair", "v");
        work.step("heat-flow-alone", "q", "", flow, "A");
        work.with(vec![class.word().to_owned()]);
        let band = work.small_constant_of(class, "fit-band", "b") / 100.0;
        let (mut low, mut high) = (flow * (1.0 - band), flow * (1.0 + band));
        work.step("carried-low", "lo", "q * (1 - b / 100)", low, "A");
        work.step("carried-high", "hi", "q * (1 + b / 100)", high, "A");
        for (words, factor, cite) in self.factors(wall) {
            (low, high) = (low * factor, high * factor);
            work.adjust(words, "g", factor, "", cite);
            work.step("factor-low", "lo", "lo * g", low, "A");
            work.step("factor-high", "hi", "hi * g", high, "A");
        }
        let molten = self.ends.least.liquidus.value;
        let reference = constant("schedule-reference").value;
        let warm = |amps: f64| warm_current(amps, molten, reference, self.start, line.base, line.slope);
        let (low, high) = (warm(low), warm(high));
        if (self.start - reference).abs() > 0.5 {
            work.row("liquidus", "Tm", molten, "°C", self.ends.least.liquidus.cite.clone());
            work.small_constant("schedule-reference", "Tr");
            line.write(&mut work, self.job.helium);
            work.step("warm-low", "lo", "warm_amps(lo, Tm, Tr, T0, ub, u1)", low, "A");
            work.step("warm-high", "hi", "warm_amps(hi, Tm, Tr, T0, ub, u1)", high, "A");
        }
        work.step("aim-middle", "i", "(lo + hi) / 2", f64::midpoint(low, high), "A");
        if let Some((rule, cite)) = schedule::rule_of_thumb(wall) {
            work.check("rule-of-thumb", (rule, rule), "A", Some(cite));
        }
        Some(Solved {
            method: Method::Schedule { low, high, molten },
            line,
            reference: self.start,
            pool: None,
            work,
            basis: Basis::Computed,
            other: None,
        })
    }

    /// Where the schedule that leads is only remembered and heat flow asks for much less, the range lies between the two:
    /// such tables were often drawn up for a carriage over a backing bar that drinks heat.
    fn reach_down(&self, solved: &mut Solved, scheduled: &Scheduled, wall: f64) {
        let Some(flow) = self.penetration_amps(wall) else { return };
        let remembered = scheduled.rows.0.basis == Basis::Memory;
        let far = constant("methods-differ").value / 100.0;
        let Method::Schedule { low, high, molten } = &mut solved.method else { return };
        if !remembered || flow >= scheduled.low * (1.0 - far) {
            return;
        }
        let reference = constant("schedule-reference").value;
        let line = solved.line;
        let remembered_low = *low;
        *low = warm_current(flow, *molten, reference, self.start, line.base, line.slope).min(*low);
        *high = remembered_low;
        let reached = *low;
        solved.work.step("lower-end-most", "hi", "lo", remembered_low, "A");
        solved.work.step("reach-down-to-heat-flow", "lo", "", reached, "A");
    }

    fn write_no_balance_factor(&self, work: &mut Work) {
        if self.polarity == Polarity::AC {
            work.remark(LineKind::NotUsed, "balance-has-no-heat-factor", Vec::new(), balance_study());
        }
    }

    /// Heat-flow current of this metal over that of 6061-T6, which schedules are taken to be written for.
    fn against_reference_alloy(&self, wall: f64) -> Option<f64> {
        if self.job.class() != Class::Aluminium {
            return None;
        }
        let reference = crate::reference::search::alloy_named("6061")?;
        let props = Props::of(reference, Some("T6"))?;
        let other = penetration_amps(&props, wall, self.polarity, self.job.helium)?;
        Some(self.penetration_amps(wall)? / other)
    }
}
