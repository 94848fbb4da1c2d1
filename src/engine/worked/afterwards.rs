//! What comes of the weld: strength left beside it, what its heat does to the whole part, colour, balance.

use super::{Currents, Run};
use crate::engine::figure::Figure;
use crate::engine::names::FigureName;
use crate::engine::{after, balance, exposure, surface};
use crate::reference::Class;

impl Run<'_, '_> {
    /// Figures that hang on all others; the author's own values stand already.
    pub(super) fn afterwards(&mut self, currents: &Currents, wall: f64) {
        if !self.job.from_spec() {
            return;
        }
        // Tempers that heat takes and colours of an anodising bath are matters of aluminium.
        let aluminium = self.job.class() == Class::Aluminium;
        if let Some(figure) = after::haz_figure(self.job).filter(|_| aluminium) {
            self.put(figure);
        }
        if aluminium {
            self.heat_in_all(currents, wall);
        }
        let filler = self.out.figures.get(&FigureName::FillerMetal).cloned();
        if let Some(filler) = filler.as_ref().filter(|_| aluminium) {
            self.find(surface::colour_finding(self.job, filler));
        }
        self.find(balance::findings(self.job, &currents.opening));
        let rod = filler.as_ref().and_then(Figure::word);
        let figure = rod.and_then(|rod| balance::figure(self.job, &currents.opening, &currents.ends, rod));
        if let Some(figure) = figure {
            self.put(figure);
        }
    }

    fn heat_in_all(&mut self, currents: &Currents, wall: f64) {
        let Some(stand) = exposure::time_figure(self.job, &self.out.figures, &currents.ends, wall) else { return };
        let softening = exposure::softening_figure(self.job, &self.out.figures, &stand);
        self.put(stand);
        if let Some((figure, finding)) = softening {
            self.put(figure);
            self.find(finding);
        }
    }
}
