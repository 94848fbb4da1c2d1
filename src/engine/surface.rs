//! Surface: whether the rod comes out of an anodising bath like the metal, and what salt water does to the pair.

use super::figure::Figure;
use super::job::Job;
use super::work::constant;
use crate::findings::{Code, Finding};
use crate::reference::search::{composition_of, content, filler_named};
use crate::reference::{AnodisedBase, Filler, anodised_base};
use crate::spec::{Environment, Finish, Need};

/// How rod and metal come out of an anodising bath.
#[derive(Debug, Clone, Copy)]
pub struct Colours {
    /// The rod that is fed.
    pub rod: &'static Filler,
    /// The metal.
    pub base: &'static AnodisedBase,
    /// Whether their colours go together.
    pub matched: bool,
    /// The first of the ranking that would match; none where the rod does, or where none would.
    pub better: Option<&'static Filler>,
}

/// Whether a rod's colour goes with that of a metal.
fn goes(rod: &Filler, base: &AnodisedBase) -> bool {
    rod.anodised.as_ref().is_some_and(|colour| base.goes_with.contains(colour))
}

/// The colours of the job's rod and metal; none where one of them is not known.
#[must_use]
pub fn colours(job: &Job<'_>, filler: &Figure) -> Option<Colours> {
    let alloy = job.base.alloy?;
    let base = anodised_base().rows.iter().find(|row| row.groups.contains(&alloy.group))?;
    let rod = filler_named(filler.word()?)?;
    rod.anodised.as_ref()?;
    let matched = goes(rod, base);
    let ranked =
        filler.ranking.iter().filter(|ranked| !ranked.excluded).filter_map(|ranked| filler_named(&ranked.name));
    let better = ranked.into_iter().find(|other| goes(other, base)).filter(|_| !matched);
    Some(Colours { rod, base, matched, better })
}

/// Whether the colour of the weld matters: the part is anodised, or the author wants a match.
#[must_use]
pub fn colour_matters(job: &Job<'_>) -> bool {
    let anodised = job.spec.part.finish.as_ref().is_some_and(|at| at.value == Finish::Anodise);
    anodised || job.spec.weld.needs.iter().any(|at| at.value == Need::ColourMatch)
}

/// A rod that shows as a stripe after anodising.
#[must_use]
pub fn colour_finding(job: &Job<'_>, filler: &Figure) -> Option<Finding> {
    let colours = colours(job, filler).filter(|colours| colour_matters(job) && !colours.matched)?;
    let need = job.spec.weld.needs.iter().find(|at| at.value == Need::ColourMatch).map(|at| at.span);
    let span = need.or(job.spec.part.finish.as_ref().map(|at| at.span));
    let colour = colours.rod.anodised.clone().unwrap_or_default();
    let message = format!(
        "{} comes out of the anodising bath {colour}, {} comes out {}: the weld shows as a stripe",
        colours.rod.name, job.base.shown, colours.base.colour
    );
    let finding = Finding::new(Code::FillerColour, message).at_some(span);
    Some(match colours.better {
        Some(better) => {
            let colour = better.anodised.clone().unwrap_or_default();
            finding
                .help(format!("{} fits too and comes out {colour}; or agree on the stripe with the owner", better.name))
        }
        None => finding.help("no rod that fits this metal matches it: agree on the stripe, or paint it"),
    })
}

/// Whether the part serves in salt water.
#[must_use]
pub fn at_sea(job: &Job<'_>) -> bool {
    job.spec.part.environment.iter().any(|at| at.value == Environment::SaltWater)
}

/// Whether this rod holds so much copper that its weld fares badly in salt water.
#[must_use]
pub fn copper_rod(rod: &Filler) -> bool {
    content(&rod.limits, "cu") > constant("copper-poor-at-sea").value
}

/// Whether two metals of the job lie so far apart in copper that one eats the other in salt water.
#[must_use]
pub fn copper_apart(job: &Job<'_>) -> bool {
    let copper = |name: &str| composition_of(name).map(|row| content(&row.limits, "cu"));
    let pair = job.base.alloy.zip(job.other.as_ref().and_then(|other| other.alloy));
    let contents = pair.and_then(|(a, b)| copper(&a.name).zip(copper(&b.name)));
    contents.is_some_and(|(a, b)| libm::fabs(a - b) > constant("copper-poor-at-sea").value)
}
