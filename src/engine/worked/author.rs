//! The author's own values against every ceiling: machine, metal, law, and the rods that are out.

use super::{Currents, Run};
use crate::engine::figure::Value;
use crate::engine::machine;
use crate::engine::names::FigureName;
use crate::engine::own::{Own, put_word};
use crate::engine::wave;
use crate::findings::{Code, Finding};
use crate::units::{InUnits, show};

impl Run<'_, '_> {
    /// The author's own currents against the end of the machine and of the largest torch: no figure is needed for that.
    pub(super) fn machine_ceilings(&mut self) {
        let Some(own) = self.own().cloned() else { return };
        let currents = [own.amperage.as_ref(), own.amperage_max.as_ref()];
        let torch = machine::largest_torch(self.job, wave::of_job(self.job));
        for own in currents.into_iter().filter_map(|setting| Own::quantity(setting, InUnits::in_amps)) {
            let (set, _) = machine::choose(self.job, wave::of_job(self.job), own.value());
            let over_set = set.and_then(|set| {
                let what = format!("the end of {}", set.machine.name.value);
                let help = "a smaller value, a bigger set, or a warmer part";
                let over = own.over(Code::SettingAboveMachine, set.amps.1, &what, help);
                over.map(|finding| finding.related(set.span, "the range of the machine"))
            });
            // One value is one mistake: what the set does not give, no torch need carry.
            let help = "a smaller value, or a bigger torch";
            let what = "the rating of every torch in the kit";
            let over_torch = || own.over(Code::SettingAboveTorch, torch?.1, what, help);
            let over = over_set.or_else(over_torch);
            self.find(over);
        }
    }

    /// No tungsten that is sold carries the panel maximum: a mistake where the author set it.
    pub(super) fn no_tungsten(&mut self, most: f64, balance: f64) {
        let own = self.own().and_then(|set| set.amperage_max.as_ref()).map(|own| own.value.value.span);
        let code = if own.is_some() { Code::SettingAboveTungsten } else { Code::SettingNotComputed };
        let amps = show::number(most, 0);
        let message = format!("no tungsten sold carries {amps} A at {} % EN", show::number(balance, 0));
        let help = "less current: a warmer part within its limit, or another process";
        self.find([Finding::new(code, message).at_some(own).help(help)]);
    }

    /// The author's own rod: never one that is excluded for this job.
    pub(super) fn own_filler(&mut self) {
        let Some(set) = self.own().cloned() else { return };
        let Some(own) = set.filler_metal.as_ref() else { return };
        let Some(known) = crate::reference::search::filler_named(&own.value.value.value) else { return };
        let Some(figure) = self.out.figures.get_mut(&FigureName::FillerMetal) else { return };
        let ranked = figure.ranking.iter().find(|ranked| ranked.name == known.name);
        if ranked.is_some_and(|ranked| ranked.excluded) {
            let finding =
                Finding::new(Code::FillerExcluded, format!("{} is excluded for {}", known.name, self.job.base.shown))
                    .at(own.value.value.span)
                    .help(format!("take {} or another that is ranked", figure.word().unwrap_or("one")));
            self.out.findings.push(finding);
            return;
        }
        let best = figure.word() == Some(known.name.as_str());
        if !best && own.value.because.is_none() {
            self.out.findings.push(
                Finding::new(
                    Code::SettingWithoutReason,
                    format!("{} is not the first of the ranking, and no reason is given", known.name),
                )
                .at(own.value.value.span)
                .help("add because = \"...\", or leave the choice to the ranking"),
            );
        }
        put_word(figure, Value::Word(known.name.clone()), own.value.because.as_ref());
    }

    /// Ceilings of the metal and of the law on the author's own values.
    pub(super) fn author_limits(&mut self, currents: &Currents) {
        let Some(set) = self.own().cloned() else { return };
        let heat_help = "the limit protects the temper and the corrosion resistance";
        if let Some(own) = Own::quantity(set.preheat.as_ref(), InUnits::in_celsius) {
            self.find(own.over(
                Code::SettingAboveHeatLimit,
                currents.limits.preheat,
                "the preheat limit of this metal",
                heat_help,
            ));
            self.over(FigureName::Preheat, Some(own));
        }
        if let Some(own) = Own::quantity(set.interpass_max.as_ref(), InUnits::in_celsius) {
            let limit = currents.limits.hard.unwrap_or(currents.limits.interpass);
            self.find(own.over(Code::SettingAboveHeatLimit, limit, "the interpass limit of this metal", heat_help));
            self.over(FigureName::InterpassMax, Some(own));
        }
        if let Some(own) = Own::whole(set.lens_shade.as_ref()) {
            let minimum = self.out.figures.get(&FigureName::LensShade).and_then(|figure| figure.minimum);
            if let Some(minimum) = minimum.filter(|minimum| own.value() < *minimum) {
                let message =
                    format!("shade {} is lighter than the minimum at this current", show::number(own.value(), 0));
                self.find([Finding::new(Code::SettingBelowLens, message)
                    .at(own.span())
                    .label(format!("at least {}", show::number(minimum, 0)))
                    .help("a darker shade")]);
            }
            self.over(FigureName::LensShade, Some(own));
        }
    }
}
