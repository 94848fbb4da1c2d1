//! What the shop's panel can set: balance, frequency and the gas times of this job's machine.

use super::Run;
use crate::engine::machine::Set;
use crate::engine::names::FigureName;
use crate::engine::own::Own;
use crate::engine::panel;
use crate::findings::{Code, Finding};
use crate::units::{InUnits, show};

impl Run<'_, '_> {
    /// Fits what the panel sets to the machine that the job runs on; the author's own values are checked, never moved.
    pub(super) fn fit_to_panel(&mut self, set: Option<&Set<'_>>, names: &[FigureName]) {
        let Some(set) = set else { return };
        for name in names {
            let Some(dial) = panel::dial(set.machine, *name) else { continue };
            let Some(figure) = self.out.figures.get_mut(name) else { continue };
            if figure.basis.is_none() {
                self.own_past_panel(*name, set, dial);
                continue;
            }
            let missed = panel::fit(figure, set.machine, dial);
            self.find(missed);
        }
    }

    /// The author's own value past the end of the dial: no reason makes a panel go further.
    fn own_past_panel(&mut self, name: FigureName, set: &Set<'_>, dial: panel::Dial) {
        let (Some(own), Some((from, to))) = (self.own().cloned(), dial.range) else { return };
        let value = match name {
            FigureName::Balance => Own::quantity(own.balance.as_ref(), InUnits::in_percent_en),
            FigureName::Frequency => Own::quantity(own.frequency.as_ref(), InUnits::in_hertz),
            FigureName::PreFlow => Own::quantity(own.pre_flow.as_ref(), InUnits::in_seconds),
            FigureName::PostFlow => Own::quantity(own.post_flow.as_ref(), InUnits::in_seconds),
            _ => None,
        };
        let Some(value) = value.filter(|value| !value.lies_in(from, to)) else { return };
        let number = |value: f64| show::trimmed(show::number(value, 1));
        let unit = name.unit().unwrap_or_default();
        let what = name.key().replace('_', " ");
        let message = format!("{} sets {what} from {} to {} {unit}", set.machine.name.value, number(from), number(to));
        let finding = Finding::new(Code::SettingAboveMachine, message)
            .at(value.span())
            .label("past the end of the panel")
            .note("a reason may leave a worked-out range, never what the panel can do")
            .help("a value that the panel has, or another machine");
        self.find([match dial.span {
            Some(span) => finding.related(span, "what the panel can set"),
            None => finding,
        }]);
    }
}
