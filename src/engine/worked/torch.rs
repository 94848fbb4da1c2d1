//! What is fitted to the torch: tungsten, cup and gas for the current, from the shelf first.

use super::{Currents, Run};
use crate::engine::consumables::rounded;
use crate::engine::figure::Value;
use crate::engine::machine::Set;
use crate::engine::names::FigureName;
use crate::engine::opening::Shape;
use crate::engine::own::{Own, put_word};
use crate::engine::stock::{self, Nozzle};
use crate::engine::work::{constant, round};
use crate::engine::{gas, schedule, tungsten};
use crate::findings::{Code, Finding};
use crate::reference::Class;
use crate::spec::Set as OwnSet;
use crate::units::{InUnits, show};

impl Run<'_, '_> {
    /// Tungsten, cup, gas and the times before and after the arc.
    pub(super) fn tungsten_and_gas(&mut self, currents: &Currents, set: Option<&Set<'_>>, wall: f64) {
        let Some(most) = self.aim(FigureName::AmperageMax) else { return };
        let own = self.own().cloned().unwrap_or_default();
        let need = self.tungsten_need(currents, most);
        if !self.tungsten(need, &own) {
            return;
        }
        let diameter = self.aim(FigureName::TungstenDiameter).unwrap_or(0.0);
        for figure in tungsten::tip(currents.polarity, diameter, most) {
            self.put(figure);
        }
        self.cup_and_flow(currents, wall, diameter, need.aim, &own);
        for figure in gas::time_figures(self.job.class(), need.aim) {
            self.put(figure);
        }
        self.over(FigureName::PreFlow, Own::quantity(own.pre_flow.as_ref(), InUnits::in_seconds));
        self.over(FigureName::PostFlow, Own::quantity(own.post_flow.as_ref(), InUnits::in_seconds));
        self.over(FigureName::TipAngle, Own::quantity(own.tip_angle.as_ref(), InUnits::in_degrees));
        self.over(FigureName::TipFlat, Own::quantity(own.tip_flat.as_ref(), InUnits::in_mm));
        self.over(FigureName::Frequency, Own::quantity(own.frequency.as_ref(), InUnits::in_hertz));
        self.over(FigureName::StopHole, Own::quantity(own.stop_hole.as_ref(), InUnits::in_mm));
        self.fit_to_panel(set, &[FigureName::Frequency, FigureName::PreFlow, FigureName::PostFlow]);
    }

    /// What the tungsten has to carry, with the panel turned up to this current, A.
    pub(super) fn tungsten_need(&self, currents: &Currents, most: f64) -> tungsten::Need {
        let low = rounded(currents.root.at(currents.temperatures.warm)).first().copied().unwrap_or_default();
        let balance = self.aim(FigureName::Balance).unwrap_or(constant("usual-balance").value);
        let aim = round(FigureName::Amperage, self.highest_aim(currents, currents.temperatures.start).min(most));
        tungsten::Need { polarity: currents.polarity, balance, low, aim, high: most, helium: self.job.helium }
    }

    /// Diameter and class; false where no tungsten that is sold carries the current.
    fn tungsten(&mut self, need: tungsten::Need, own: &OwnSet) -> bool {
        let shelf = stock::electrodes(self.job);
        let Some(chosen) = tungsten::diameter(need, &shelf) else {
            self.no_tungsten(need.high, need.balance);
            return false;
        };
        self.put(chosen.figure);
        match Own::quantity(own.tungsten_diameter.as_ref(), InUnits::in_mm) {
            Some(own) => self.own_tungsten(&own, need),
            // What the author wants instead is no lack of the shelf.
            None => self.find(chosen.lacks),
        }
        let diameter = self.aim(FigureName::TungstenDiameter).unwrap_or(0.0);
        if let Some(class) = tungsten::class(need.polarity, diameter, &shelf) {
            self.put(class);
        }
        if let (Some(own), Some(figure)) =
            (own.tungsten_type.as_ref(), self.out.figures.get_mut(&FigureName::TungstenType))
        {
            put_word(figure, Value::Word(own.value.value.value.clone()), own.value.because.as_ref());
        }
        true
    }

    /// The author's own diameter: an error where it does not carry the panel maximum.
    fn own_tungsten(&mut self, own: &Own<'_>, need: tungsten::Need) {
        let capacity = tungsten::capacity(own.value(), need.polarity, need.balance);
        if capacity.as_ref().is_none_or(|capacity| capacity.high < need.high) {
            let message = format!(
                "a tungsten of this diameter carries {} A, and the panel maximum is {} A",
                show::number(capacity.map_or(0.0, |capacity| capacity.high), 0),
                show::number(need.high, 0)
            );
            self.find([Finding::new(Code::SettingAboveTungsten, message)
                .at(own.span())
                .help("the next diameter, or less current")]);
        }
        if let Some(figure) = self.out.figures.get_mut(&FigureName::TungstenDiameter) {
            own.put(figure, &mut self.out.findings);
        }
    }

    fn cup_and_flow(&mut self, currents: &Currents, wall: f64, diameter: f64, aim: f64, own: &OwnSet) {
        let wanted = own.gas_lens.as_ref().map(|at| at.value.value.value);
        let fits = |nozzle: &Nozzle| wanted.is_none_or(|lens| nozzle.lens == lens);
        let shelf: Vec<Nozzle> = stock::nozzles(self.job).into_iter().filter(fits).collect();
        let pool = currents.fill.pool.or(currents.root.pool).unwrap_or_else(|| {
            let by_wall = constant("pool-per-wall").value * wall;
            // A schedule says nothing of the pool; on other metals it is as wide as the close joint at least.
            let joint = currents.opening.sides.first().map_or(0.0, |side| side.width);
            let close = self.job.class() != Class::Aluminium && currents.opening.shape == Shape::Square;
            if close { by_wall.max(joint) } else { by_wall }
        });
        let gas_row = schedule::gas_row(schedule::Of::job(self.job, currents.polarity), wall);
        let Some(chosen) = gas::cup_figure((diameter, pool), aim, currents.polarity, gas_row, &shelf) else { return };
        self.put(gas::lens_figure(chosen.held));
        if let (Some(own), Some(figure)) = (own.gas_lens.as_ref(), self.out.figures.get_mut(&FigureName::GasLens)) {
            put_word(figure, Value::Flag(own.value.value.value), own.value.because.as_ref());
        }
        let lens = self.out.figures.get(&FigureName::GasLens).map(|figure| &figure.value) != Some(&Value::Flag(false));
        let stick_out = tungsten::stick_out(diameter, lens, &currents.opening);
        self.put(stick_out.figure);
        if let Some(wanted) = stick_out.short_of.filter(|_| wanted.is_none() && !lens) {
            self.find([short_reach(wanted, self.aim(FigureName::StickOut), chosen.held)]);
        }
        self.over(FigureName::StickOut, Own::quantity(own.stick_out.as_ref(), InUnits::in_mm));
        self.put(chosen.figure);
        match Own::whole(own.cup.as_ref()) {
            Some(cup) => self.over(FigureName::Cup, Some(cup)),
            None => self.find(chosen.lacks),
        }
        let number = self.aim(FigureName::Cup);
        let same =
            |cup: &&crate::reference::Cup| number.is_some_and(|number| (f64::from(cup.number) - number).abs() < 0.1);
        let cup = crate::reference::cup().rows.iter().find(same).unwrap_or(chosen.cup);
        // The gas goes by what is welded with, not by where the pedal ends.
        let (figures, findings) = gas::flow_figures(self.job, wall, aim, currents.polarity, cup, gas_row);
        for figure in figures {
            self.put(figure);
        }
        self.find(findings);
        self.over(FigureName::GasFlow, Own::quantity(own.gas_flow.as_ref(), InUnits::in_l_per_min));
    }
}

/// Without a lens the tungsten does not reach the bottom of the opening.
fn short_reach(wanted: f64, reached: Option<f64>, held: Option<Nozzle>) -> Finding {
    let mm = |value: f64| show::trimmed(show::number(value, 1));
    let reached =
        reached.map_or_else(String::new, |reached| format!(", and without a gas lens {} mm is the most", mm(reached)));
    stock::lacks(
        format!("the bottom of the opening wants {} mm of stick-out{reached}", mm(wanted)),
        "a gas lens for this cup; without it cut the opening wider, so that the cup goes into its mouth".to_owned(),
        held.map(|nozzle| nozzle.span),
    )
}
