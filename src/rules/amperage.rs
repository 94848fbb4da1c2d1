//! Whether the shop's machine and torches carry the current that the job asks for.

use super::case::Case;
use super::{Answer, Gate};
use crate::engine::machine::{Set, choose};
use crate::engine::{Figure, FigureName};
use crate::findings::{At, Code};
use crate::kit::Torch;
use crate::reference::Polarity;
use crate::units::{Amount, Current, InUnits};

/// The currents of the pass that asks for most, A.
#[derive(Debug, Clone, Copy)]
struct Need {
    /// Aim with the part at its start temperature.
    cold: f64,
    /// Upper end of the band with the part at its start temperature.
    most: f64,
    /// Aim with the part near the interpass limit.
    warm: f64,
}

fn need(case: &Case<'_>) -> Option<Need> {
    let figures = &case.worked.figures;
    let passes = figures.get(&FigureName::Passes).into_iter().flat_map(|figure| &figure.passes);
    // [low, aim, high] of each pass.
    let needs = passes.map(|pass| {
        let ([_, cold, most], [_, warm, _]) = (pass.start, pass.warm);
        Need { cold, most, warm }
    });
    let worst =
        |a: Need, b: Need| Need { cold: a.cold.max(b.cold), most: a.most.max(b.most), warm: a.warm.max(b.warm) };
    needs.reduce(worst).or_else(|| {
        let start = figures.get(&FigureName::Amperage)?;
        let cold = start.aim()?;
        let warm = figures.get(&FigureName::AmperageWarm).and_then(Figure::aim).unwrap_or(cold);
        Some(Need { cold, most: start.ends().map_or(cold, |(_, high)| high), warm })
    })
}

/// The machine that the engine takes for this job.
fn machine<'a>(case: &Case<'a>, need: Option<Need>) -> Option<Set<'a>> {
    let polarity = if case.on_ac() { Polarity::AC } else { Polarity::DCEN };
    choose(case.job, polarity, need.map_or(0.0, |need| need.cold)).0
}

fn gate(key: &'static str, answer: Answer, args: Vec<String>) -> Gate {
    Gate { key, answer, args }
}

/// Is the set big enough: yes; yes with a warm part; no; or nobody knows the set.
#[must_use]
pub fn set_big_enough(case: &Case<'_>) -> Gate {
    let key = "set-big-enough";
    if case.engine_says(Code::SettingBeyondMachines) {
        return gate("set-beyond-machines", Answer::Head, Vec::new());
    }
    let need = need(case);
    let Some(set) = machine(case, need) else { return gate(key, Answer::AtHold, Vec::new()) };
    let range = if case.on_ac() { &set.machine.amperage.ac } else { &set.machine.amperage.dc };
    let shown = vec![set.machine.name.value.clone(), range.as_ref().map_or(String::new(), |range| range.text.clone())];
    let Some(need) = need else { return gate(key, Answer::AtHold, shown) };
    let most = set.amps.1;
    let warmed = case.worked.figures.get(&FigureName::Preheat).is_some_and(|preheat| preheat.aim().is_some());
    if need.cold <= most && !case.engine_says(Code::SettingNeedAboveMachine) {
        gate(key, Answer::Clear, shown)
    } else if need.warm <= most && warmed {
        gate("set-big-enough-warm", Answer::Clear, shown)
    } else {
        gate(key, Answer::Head, shown)
    }
}

/// The rating of a torch at this job's polarity.
fn rating<'a>(case: &Case<'_>, torch: &'a Torch) -> Option<&'a At<Amount<Current>>> {
    let rated = torch.rated.as_ref()?;
    if case.on_ac() { rated.ac.as_ref() } else { rated.dc.as_ref() }
}

/// Is a torch big enough for what the set is turned up to: which ones are, and which stay on the hook.
#[must_use]
pub fn torch_big_enough(case: &Case<'_>) -> Gate {
    let key = "torch-big-enough";
    let torches: Vec<&Torch> = case.job.kit.into_iter().flat_map(|kit| &kit.torch).map(|torch| &torch.value).collect();
    let Some(need) = need(case).filter(|_| !torches.is_empty()) else { return gate(key, Answer::AtHold, Vec::new()) };
    let most = machine(case, Some(need)).map_or(need.most, |set| need.most.min(set.amps.1));
    let names = |big: bool| {
        let shown = torches.iter().filter_map(|torch| {
            let rated = rating(case, torch);
            let enough = rated.is_some_and(|rated| rated.range.low.in_amps() >= most);
            let rated = rated.map_or("no rating", |rated| rated.text.as_str());
            (enough == big).then(|| format!("{}, {rated}", torch.name.value))
        });
        shown.collect::<Vec<String>>().join("; ")
    };
    match (names(true), names(false)) {
        (big, small) if big.is_empty() => gate(key, Answer::Head, vec![small]),
        (big, small) if small.is_empty() => gate(key, Answer::Clear, vec![big]),
        (big, small) => gate("torch-big-enough-some", Answer::Clear, vec![big, small]),
    }
}
