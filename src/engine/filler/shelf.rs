//! The rods of the shelf against the ranking: the best of them where it falls little short of the best that is sold.

use super::Bench;
use crate::engine::figure::Ranked;
use crate::engine::stock::{self, Rod};
use crate::engine::work::constant;
use crate::findings::{Finding, Severity, Span};
use crate::reference::search::{behaviour_of, filler_named};
use crate::spec::Need;

/// What the shelf offers.
pub(super) struct Shelf<'r> {
    /// The rod that is taken from it.
    pub(super) taken: Option<&'r Ranked>,
    /// Where the kit lists it.
    pub(super) span: Option<Span>,
    /// What it lacks.
    pub(super) lacks: Option<Finding>,
}

impl Bench<'_> {
    /// Chooses among the rods of the shelf; nothing is taken where the kit lists none.
    pub(super) fn shelf_choice<'r>(&self, left: &[&'r Ranked]) -> Shelf<'r> {
        let rods = stock::rods(self.job);
        let nothing = Shelf { taken: None, span: None, lacks: None };
        let (Some(first), Some(any)) = (left.first().copied(), rods.first()) else { return nothing };
        let held = |ranked: &&Ranked| rods.iter().find(|rod| rod.filler.name == ranked.name);
        let at_hand: Vec<(&'r Ranked, &Rod<'_>)> =
            left.iter().copied().filter_map(|ranked| held(&ranked).map(|rod| (ranked, rod))).collect();
        // The author's own rod is his affair.
        let own = self.job.spec.weld.set.as_ref().is_some_and(|set| set.value.filler_metal.is_some());
        let good = at_hand.iter().find(|(ranked, _)| self.would_do(first, ranked));
        if let Some((ranked, rod)) = good {
            let lacks = (ranked.name != first.name && !own).then(|| second_best(first, ranked, rod.span));
            return Shelf { taken: Some(*ranked), span: Some(rod.span), lacks };
        }
        let lacks = (!own).then(|| match at_hand.first() {
            Some((ranked, rod)) => self.falls_short(first, ranked, rod.span),
            None => none_fits(first, &rods, any.span),
        });
        Shelf { lacks, ..nothing }
    }

    /// What is wanted first of the weld; where nothing is, that it does not crack while it freezes.
    fn first_need(&self) -> Need {
        self.needs.first().copied().unwrap_or(Need::CrackResistance)
    }

    fn grade_of(&self, need: Need, name: &str) -> Option<f64> {
        let filler = filler_named(name)?;
        self.grade(need, filler, behaviour_of(name)).map(|(grade, _)| grade)
    }

    /// Whether a rod falls short of the best by no more than a grade in what is wanted first, and its weld metal does not
    /// lie in a range that cracks where that of the best does not.
    fn would_do(&self, best: &Ranked, other: &Ranked) -> bool {
        if best.name == other.name {
            return true;
        }
        let need = self.first_need();
        let short = match (self.grade_of(need, &best.name), self.grade_of(need, &other.name)) {
            (Some(best), Some(other)) => best - other > constant("rod-fall-short").value,
            // Nothing is known of it: the ranking alone decides.
            _ => false,
        };
        let cracks = |name: &str| {
            filler_named(name).is_some_and(|filler| self.crack_reasons(filler).iter().any(|(_, _, whole)| *whole))
        };
        let beryllium = filler_named(&other.name).is_some_and(|filler| filler.beryllium);
        !short && !beryllium && (!cracks(&other.name) || cracks(&best.name))
    }

    fn falls_short(&self, best: &Ranked, held: &Ranked, span: Span) -> Finding {
        let need = self.first_need().word();
        stock::lacks(
            format!("{} is not on the shelf, and {} is weak in {need}, which is wanted first", best.name, held.name),
            format!("get {}; or state {} in the spec, with the reason why it will do", best.name, held.name),
            Some(span),
        )
    }
}

/// A good rod lies ready, the best does not.
fn second_best(best: &Ranked, taken: &Ranked, span: Span) -> Finding {
    stock::lacks(
        format!("{}, the first choice, is not on the shelf", best.name),
        format!("{} is taken and will do; get {} where the difference matters", taken.name, best.name),
        Some(span),
    )
    .severity(Severity::Note)
}

fn none_fits(best: &Ranked, rods: &[Rod<'_>], span: Span) -> Finding {
    let mut names: Vec<&str> = rods.iter().map(|rod| rod.filler.name.as_str()).collect();
    names.dedup();
    stock::lacks(
        format!("no rod of the shelf fits this metal: {} is wanted, and there is {}", best.name, names.join(", ")),
        format!("get {}; a rod that does not fit the metal cracks or turns brittle", best.name),
        Some(span),
    )
}
