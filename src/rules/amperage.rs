//! Whether the shop's machine and torches carry the current that the job asks for.

use super::case::Case;
use super::{Answer, Gate};
use crate::engine::FigureName;
use crate::findings::{At, Code};
use crate::kit::Torch;
use crate::units::{Amount, Current, InUnits};

/// The aims of the pass that asks for most, A.
#[derive(Debug, Clone, Copy)]
struct Need {
    /// With the part at its start temperature.
    cold: f64,
    /// With the part near the interpass limit.
    warm: f64,
}

fn need(case: &Case<'_>) -> Option<Need> {
    let figures = &case.worked.figures;
    let aim = |name: FigureName| figures.get(&name).and_then(|figure| figure.aim());
    let passes = figures.get(&FigureName::Passes).into_iter().flat_map(|figure| &figure.passes);
    // [low, aim, high] of each pass.
    let aims = passes.map(|pass| {
        let ([_, cold, _], [_, warm, _]) = (pass.start, pass.warm);
        Need { cold, warm }
    });
    let most = aims.reduce(|a, b| Need { cold: a.cold.max(b.cold), warm: a.warm.max(b.warm) });
    most.or_else(|| {
        let cold = aim(FigureName::Amperage)?;
        Some(Need { cold, warm: aim(FigureName::AmperageWarm).unwrap_or(cold) })
    })
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
    let Some(machine) = case.machine() else { return gate(key, Answer::AtHold, Vec::new()) };
    let range = if case.on_ac() { &machine.amperage.ac } else { &machine.amperage.dc };
    let shown = |range: &At<Amount<Current>>| vec![machine.name.value.clone(), range.text.clone()];
    match (range, need(case)) {
        (None, _) => gate(key, Answer::Head, vec![machine.name.value.clone(), "none at this polarity".to_owned()]),
        (Some(range), None) => gate(key, Answer::AtHold, shown(range)),
        (Some(range), Some(need)) => {
            let most = range.range.high.in_amps();
            if need.cold <= most && !case.engine_says(Code::SettingNeedAboveMachine) {
                gate(key, Answer::Clear, shown(range))
            } else if need.cold > most && need.warm <= most {
                gate("set-big-enough-warm", Answer::Clear, shown(range))
            } else {
                gate(key, Answer::Head, shown(range))
            }
        }
    }
}

/// The rating of a torch at this job's polarity.
fn rating<'a>(case: &Case<'_>, torch: &'a Torch) -> Option<&'a At<Amount<Current>>> {
    let rated = torch.rated.as_ref()?;
    if case.on_ac() { rated.ac.as_ref() } else { rated.dc.as_ref() }
}

/// Is a torch big enough for the panel maximum: which ones are, and which stay on the hook.
#[must_use]
pub fn torch_big_enough(case: &Case<'_>) -> Gate {
    let key = "torch-big-enough";
    let torches: Vec<&Torch> = case.job.kit.into_iter().flat_map(|kit| &kit.torch).map(|torch| &torch.value).collect();
    let panel = case.worked.figures.get(&FigureName::AmperageMax).and_then(|figure| figure.ends());
    let Some((_, most)) = panel.filter(|_| !torches.is_empty()) else { return gate(key, Answer::AtHold, Vec::new()) };
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
