//! Filler metal: every known rod judged for the pair of base metals, hard exclusions first, then recommendations by
//! their basis, then what is wanted of the deposit; and what the weld metal will be made of.

mod shelf;

use super::figure::{Figure, LineKind, Ranked, Reason, Value};
use super::job::Job;
use super::names::FigureName;
use super::weld_metal::{dilution_row, inside, weld_content};
use super::work::{Work, cite, constant};
use crate::findings::{Code, Finding, Severity};
use crate::reference::heat::filler_strength_of;
use crate::reference::search::{behaviour_of, choices_for, composition_of, content, filler_named};
use crate::reference::{
    Alloy, Basis, Class, CrackRange, Filler, FillerBehaviour, FillerChoice, Row, crack_range, filler,
};
use crate::spec::{Environment, Finish, Need};
use crate::units::{InUnits, show};

/// What decides about fillers in a job.
struct Bench<'a> {
    job: &'a Job<'a>,
    bases: Vec<&'static Alloy>,
    needs: Vec<Need>,
    share: [f64; 2],
    warm: bool,
    salt: bool,
}

/// The needs in the author's order, or what the finish, the surroundings and the metal ask for.
fn needs(job: &Job<'_>) -> Vec<Need> {
    let stated: Vec<Need> = job.spec.weld.needs.iter().map(|at| at.value).collect();
    if !stated.is_empty() {
        return stated;
    }
    let mut needs = Vec::new();
    if job.spec.part.environment.iter().any(|at| at.value == Environment::SaltWater) {
        needs.push(Need::CorrosionResistance);
    }
    if job.spec.part.finish.as_ref().is_some_and(|at| at.value == Finish::Anodise) {
        needs.push(Need::ColourMatch);
    }
    needs
}

impl<'a> Bench<'a> {
    fn new(job: &'a Job<'a>, wall: f64) -> Self {
        let mut bases = job.base.candidates.clone();
        bases.extend(job.other.iter().flat_map(|other| other.candidates.iter().copied()));
        let share =
            dilution_row(job.joint, wall <= constant("square-edge-limit").value).map_or([0.2, 0.4], |row| row.share);
        let service = job.spec.part.service_temperature.as_ref().map(|at| at.value.range.high.in_celsius());
        Bench {
            job,
            bases,
            needs: needs(job),
            share,
            warm: service.is_some_and(|service| service > constant("warm-service").value),
            salt: job.spec.part.environment.iter().any(|at| at.value == Environment::SaltWater),
        }
    }

    fn base_content(alloy: &Alloy, element: &str) -> f64 {
        composition_of(&alloy.name).map_or(0.0, |composition| content(&composition.limits, element))
    }

    /// Why this filler is out, if it is.
    fn exclusion(&self, filler: &Filler) -> Option<Reason> {
        let magnesium = content(&filler.limits, "mg");
        let silicon = content(&filler.limits, "si");
        let number = |value: f64| show::number(value, 1);
        let limit = constant("warm-magnesium").value;
        if self.job.class() != Class::Aluminium {
            return None;
        }
        if self.warm && magnesium > limit {
            return Some(Reason {
                words: "out-warm-service",
                args: vec![number(magnesium)],
                cite: Some(cite("warm-magnesium")),
            });
        }
        for alloy in &self.bases {
            let base_magnesium = Self::base_content(alloy, "mg");
            let base_silicon = Self::base_content(alloy, "si");
            if base_magnesium > constant("no-silicon-filler-above").value
                && silicon > constant("silicon-filler-from").value
            {
                let args = vec![alloy.name.clone(), number(base_magnesium)];
                return Some(Reason {
                    words: "out-silicon-on-magnesium",
                    args,
                    cite: Some(cite("no-silicon-filler-above")),
                });
            }
            if base_silicon > constant("no-magnesium-filler-above").value
                && magnesium > constant("magnesium-filler-from").value
            {
                let args = vec![alloy.name.clone(), number(base_silicon)];
                return Some(Reason {
                    words: "out-magnesium-on-silicon",
                    args,
                    cite: Some(cite("no-magnesium-filler-above")),
                });
            }
        }
        None
    }

    /// The rods that are weighed: those for the metals of the job, and whatever a row names.
    fn weighed(&self, rows: &[&'static FillerChoice]) -> impl Iterator<Item = &'static Filler> {
        let classes: Vec<Class> = self.bases.iter().map(|alloy| alloy.class).collect();
        let named: Vec<&str> = rows.iter().flat_map(|row| &row.fillers).map(String::as_str).collect();
        let weighed = move |filler: &&Filler| classes.contains(&filler.class) || named.contains(&filler.name.as_str());
        filler().rows.iter().filter(weighed)
    }

    /// Rows that recommend fillers for the pair: for every combination of what the two sides may be.
    fn rows(&self) -> Vec<&'static FillerChoice> {
        let own: Vec<&Alloy> = self.job.base.candidates.clone();
        let other: Vec<&Alloy> = self.job.other.as_ref().map_or_else(Vec::new, |other| other.candidates.clone());
        let mut rows: Vec<&'static FillerChoice> = Vec::new();
        for a in &own {
            let partners: Vec<&Alloy> = if other.is_empty() { vec![a] } else { other.clone() };
            for b in partners {
                for row in choices_for(&a.name, &b.name) {
                    if !rows.iter().any(|known| std::ptr::eq(*known, row)) {
                        rows.push(row);
                    }
                }
            }
        }
        rows
    }

    /// Grade of a filler for a need, 0 to 5, with the reason.
    fn grade(&self, need: Need, filler: &Filler, behaviour: Option<&'static FillerBehaviour>) -> Option<(f64, Reason)> {
        let behaviour = behaviour?;
        let name = filler.name.clone();
        let reason = |words: &'static str, args: Vec<String>| Reason { words, args, cite: Some(behaviour.cite()) };
        let graded =
            |words: &'static str, grade: u8| (f64::from(grade), reason(words, vec![name.clone(), grade.to_string()]));
        Some(match need {
            Need::Strength => graded("grade-strength", behaviour.strength),
            Need::Ductility => graded("grade-ductility", behaviour.ductility),
            Need::CrackResistance => graded("grade-cracking", behaviour.crack_resistance),
            Need::CorrosionResistance => graded("grade-corrosion", behaviour.corrosion),
            Need::HeatTreatment => {
                let grade = match behaviour.heat_treatment.as_str() {
                    "yes" => 5.0,
                    "partly" => 3.0,
                    "by dilution" => 2.0,
                    _ => 0.0,
                };
                (grade, reason("grade-heat-treatment", vec![name, behaviour.heat_treatment.clone()]))
            }
            Need::ColourMatch => self.colour_grade(filler),
        })
    }

    /// How near the anodised colour of the filler lies to that of the base metal: wrought metals without much silicon
    /// stay bright, silicon turns grey to black.
    fn colour_grade(&self, filler: &Filler) -> (f64, Reason) {
        let base = self.bases.iter().map(|alloy| Self::base_content(alloy, "si")).fold(0.0, f64::max);
        let own = content(&filler.limits, "si");
        let copper = content(&filler.limits, "cu");
        let grade = (5.0 - (own - base).abs() - copper).clamp(0.0, 5.0);
        let colour = filler.anodised.clone().unwrap_or_else(|| "not known".to_owned());
        (
            grade,
            Reason {
                words: "grade-colour",
                args: vec![filler.name.clone(), colour],
                cite: Some(cite("colour-by-silicon")),
            },
        )
    }

    /// The crack ranges that the weld metal of this filler may fall into over the usual dilution.
    fn crack_reasons(&self, filler: &Filler) -> Vec<(Reason, &'static CrackRange, bool)> {
        let mut found = Vec::new();
        // The ranges are those of aluminium.
        let ranges = &crack_range().rows;
        for range in ranges.iter().filter(|_| self.job.class() == Class::Aluminium) {
            for alloy in &self.bases {
                let (low, high) = weld_content(alloy, filler, &range.element, self.share);
                if let Some(hit) = inside(range, alloy, filler, (low, high), self.share) {
                    let args = vec![
                        filler.name.clone(),
                        range.system.clone(),
                        show::number(low, 1),
                        show::number(high, 1),
                        show::number(range.avoid[0], 1),
                        show::number(range.avoid[1], 1),
                    ];
                    found.push((Reason { words: "in-crack-range", args, cite: Some(range.cite()) }, range, hit));
                    break;
                }
            }
        }
        found
    }
}

/// What one row says of a filler: rank among its fillers and whether it speaks of a need that is wanted.
fn recommendation(rows: &[&'static FillerChoice], filler: &Filler, needs: &[Need]) -> Option<(f64, Vec<Reason>)> {
    let mut best: Option<f64> = None;
    let mut reasons: Vec<(f64, Reason)> = Vec::new();
    for row in rows {
        let Some(place) = row.fillers.iter().position(|name| *name == filler.name) else { continue };
        let outlier = row.note.as_deref().is_some_and(|note| note.starts_with("Outlier"));
        let basis = match row.basis {
            Basis::Published => 3.0,
            Basis::Computed | Basis::CommonPractice => 2.0,
            Basis::Memory => 1.0,
        };
        let wanted = needs.iter().position(|need| need.word() == row.need);
        let weight = match wanted {
            #[allow(clippy::cast_precision_loss, reason = "a handful of needs")]
            Some(place) => 3.0 / (place as f64 + 1.0),
            None if row.need == "general" => 1.0,
            None => 0.3,
        };
        #[allow(clippy::cast_precision_loss, reason = "a handful of fillers")]
        let score = if outlier { 0.1 } else { basis * weight / (1.0 + 0.5 * place as f64) };
        best = Some(best.map_or(score, |best: f64| best.max(score)));
        let words = if outlier { "named-by-outlier" } else { "named-by" };
        let need = if row.need == "general" { "general use".to_owned() } else { row.need.clone() };
        reasons.push((score, Reason { words, args: vec![filler.name.clone(), need], cite: Some(row.cite()) }));
    }
    reasons.sort_by(|a, b| b.0.total_cmp(&a.0));
    best.map(|best| (best, reasons.into_iter().map(|(_, reason)| reason).take(2).collect()))
}

/// Ranks all fillers for a job.
#[must_use]
pub fn figure(job: &Job<'_>, wall: f64) -> (Option<Figure>, Vec<Finding>) {
    let mut findings = Vec::new();
    if job.base.candidates.is_empty() {
        return (None, findings);
    }
    let unknown = |base: &super::job::Base| base.alloy.is_none();
    if unknown(&job.base) || job.other.as_ref().is_some_and(unknown) {
        // What is right for one member of a family cracks or embrittles another: a blank until the metal is known.
        findings.push(none_left(job));
        return (None, findings);
    }
    let bench = Bench::new(job, wall);
    findings.extend(warm_base(&bench));
    let rows = bench.rows();
    let mut ranking: Vec<Ranked> = bench.weighed(&rows).map(|filler| judge(&bench, &rows, filler)).collect();
    stand_behind(&mut ranking);
    ranking.sort_by(|a, b| a.excluded.cmp(&b.excluded).then(b.fit.total_cmp(&a.fit)).then(a.name.cmp(&b.name)));
    // Said whatever the filler, and where none is left too.
    findings.extend(warm_base(&bench));
    let left: Vec<&Ranked> = ranking.iter().filter(|ranked| !ranked.excluded).collect();
    let Some(first) = left.first() else {
        findings.push(none_left(job));
        return (None, findings);
    };
    let shelf = bench.shelf_choice(&left);
    let best = shelf.taken.unwrap_or(first);
    let name = best.name.clone();
    findings.extend(shelf.lacks);
    let mut work = Work::new();
    if let (Some(span), Some(_)) = (shelf.span, shelf.taken) {
        work.kit_remark("on-shelf", vec![name.clone()], Some(span));
        if name != first.name {
            work.remark(LineKind::NotUsed, "not-on-shelf", vec![first.name.clone()], None);
        }
    }
    for alloy in &bench.bases {
        for element in elements(alloy.class) {
            if let Some(composition) =
                composition_of(&alloy.name).filter(|composition| content(&composition.limits, element) > 0.15)
            {
                work.small_row("base-content", "", content(&composition.limits, element), "%", composition.cite());
                work.with(vec![alloy.name.clone(), element_name(element).to_owned()]);
            }
        }
        if bench.bases.len() > 2 {
            break;
        }
    }
    let wanted: Vec<String> = bench.needs.iter().map(|need| need.word().to_owned()).collect();
    if wanted.is_empty() {
        work.remark(LineKind::Remark, "no-need-stated", Vec::new(), None);
    } else {
        work.remark(LineKind::Remark, "needs-in-order", vec![wanted.join(", ")], None);
    }
    if let Some(chosen) = filler_named(&name) {
        for element in elements(job.class()) {
            let ends: Vec<(f64, f64)> =
                bench.bases.iter().map(|alloy| weld_content(alloy, chosen, element, bench.share)).collect();
            let low = ends.iter().map(|end| end.0).fold(f64::MAX, f64::min);
            let high = ends.iter().map(|end| end.1).fold(0.0, f64::max);
            if high > 0.15 {
                work.step_range("weld-content", "", (low, high), "%");
                work.with(vec![
                    element_name(element).to_owned(),
                    show::number(bench.share[0] * 100.0, 0),
                    show::number(bench.share[1] * 100.0, 0),
                ]);
            }
        }
        // One system is enough to say it: the first that the weld lies in.
        if let Some((reason, range, whole)) = bench.crack_reasons(chosen).into_iter().next() {
            findings.push(cracking(job, chosen, range, &reason, whole));
        }
        if let Some(row) = filler_strength_of(&chosen.name) {
            work.check("rod-tensile", (row.tensile, row.tensile), "MPa", Some(row.cite()));
            work.with(vec![chosen.name.clone(), row.condition.clone()]);
        }
        if bench.salt && content(&chosen.limits, "cu") > 1.0 {
            work.remark(LineKind::Doubt, "copper-in-salt-water", vec![name.clone()], None);
        }
    }
    let lead = lead_basis(&rows, &name);
    let weakest = best.reasons.iter().filter_map(|reason| reason.cite.as_ref()).map(|cite| cite.basis).max();
    let mut figure = work.done(FigureName::FillerMetal, Value::Word(name.clone()), lead);
    figure.weakest = weakest.map(|weakest| weakest.weaker(lead)).or(figure.weakest);
    let others = left.iter().filter(|ranked| ranked.name != name);
    figure.alternatives = others.take(3).map(|ranked| ranked.name.clone()).collect();
    figure.ranking = ranking;
    (Some(figure), findings)
}

/// A filler that stands wherever another does comes right behind it, whatever its own rows say.
fn stand_behind(ranking: &mut [Ranked]) {
    for follower in filler().rows.iter().filter(|filler| filler.stands_for.is_some()) {
        let leader = ranking.iter().find(|ranked| Some(&ranked.name) == follower.stands_for.as_ref());
        let leader = leader.filter(|leader| !leader.excluded).map(|leader| leader.fit);
        if let (Some(fit), Some(ranked)) = (leader, ranking.iter_mut().find(|ranked| ranked.name == follower.name)) {
            ranked.fit = ranked.fit.min(fit - 0.01);
        }
    }
}

/// The elements that a weld in a kind of metal is judged by.
fn elements(class: Class) -> &'static [&'static str] {
    match class {
        Class::Aluminium | Class::Zinc => &["si", "mg", "cu"],
        Class::CarbonSteel | Class::LowAlloySteel | Class::ToolSteel => &["c", "mn", "cr", "mo", "ni"],
        Class::Stainless => &["cr", "ni", "mo", "mn"],
        Class::CastIron => &["c", "si", "ni"],
        Class::Copper => &["zn", "sn", "al", "si", "ni"],
        Class::Nickel => &["cr", "mo", "cu", "fe", "nb"],
        Class::Titanium => &["al", "v"],
        Class::Magnesium => &["al", "zn"],
    }
}

fn element_name(element: &str) -> &'static str {
    match element {
        "al" => "aluminium",
        "c" => "carbon",
        "cr" => "chromium",
        "cu" => "copper",
        "fe" => "iron",
        "mg" => "magnesium",
        "mn" => "manganese",
        "mo" => "molybdenum",
        "nb" => "niobium",
        "ni" => "nickel",
        "si" => "silicon",
        "sn" => "tin",
        "v" => "vanadium",
        _ => "zinc",
    }
}

/// Basis of the strongest row that names the filler.
fn lead_basis(rows: &[&'static FillerChoice], name: &str) -> Basis {
    rows.iter()
        .filter(|row| row.fillers.iter().any(|filler| filler == name))
        .filter(|row| !row.note.as_deref().is_some_and(|note| note.starts_with("Outlier")))
        .map(|row| row.basis)
        .min()
        .unwrap_or(Basis::Memory)
}

fn judge(bench: &Bench<'_>, rows: &[&'static FillerChoice], filler: &'static Filler) -> Ranked {
    let mut reasons = Vec::new();
    let out = |reason: Reason| Ranked { name: filler.name.clone(), fit: 0.0, excluded: true, reasons: vec![reason] };
    if let Some(reason) = bench.exclusion(filler) {
        return out(reason);
    }
    let Some((recommended, named)) = recommendation(rows, filler, &bench.needs) else {
        let args = vec![filler.name.clone(), bench.job.base.shown.clone()];
        return out(Reason { words: "out-no-row", args, cite: None });
    };
    reasons.extend(named);
    let behaviour = behaviour_of(&filler.name);
    let mut fit = recommended;
    let mut weight = 2.0;
    for need in &bench.needs {
        if let Some((grade, reason)) = bench.grade(*need, filler, behaviour) {
            fit += weight * grade;
            reasons.push(reason);
        }
        weight /= 2.0;
    }
    if bench.needs.is_empty() {
        // Nothing is asked for: the weld shall at least not crack while it freezes.
        if let Some((grade, reason)) = bench.grade(Need::CrackResistance, filler, behaviour) {
            fit += 0.4 * grade;
            reasons.push(reason);
        }
    }
    if let Some((reason, _, whole)) = bench.crack_reasons(filler).into_iter().next() {
        fit -= if whole { 6.0 } else { 2.0 };
        reasons.push(reason);
    }
    if filler.beryllium {
        fit -= 4.0;
        reasons.push(Reason { words: "holds-beryllium", args: vec![filler.name.clone()], cite: Some(filler.cite()) });
    }
    Ranked { name: filler.name.clone(), fit, excluded: false, reasons }
}

fn none_left(job: &Job<'_>) -> Finding {
    if job.base.alloy.is_none() {
        return Finding::new(
            Code::SettingNotComputed,
            format!("no filler metal can be named for {}: its members need different ones", job.base.shown),
        )
        .severity(Severity::Warning)
        .at_some(job.base.span)
        .help(if job.class() == Class::Aluminium {
            "silicon castings take ER4043 or ER4047, castings with much magnesium ER5356: find out which it is"
        } else {
            "find out which it is: a file, a spark, a magnet and its weight in water tell much"
        });
    }
    let other = job.other.as_ref().map_or(String::new(), |other| format!(" to {}", other.shown));
    Finding::new(Code::FillerNone, format!("no rod fits {}{other}", job.base.shown))
        .at_some(job.base.span)
        .help("bolt it, or change one part")
}

fn cracking(job: &Job<'_>, filler: &Filler, range: &CrackRange, reason: &Reason, whole: bool) -> Finding {
    let arg = |index: usize| reason.args.get(index).cloned().unwrap_or_default();
    let message = format!(
        "weld metal of {} holds {} to {} % {}: {} the range that cracks, {} to {} %",
        filler.name,
        arg(2),
        arg(3),
        if range.element == "mg2si" { "Mg2Si" } else { element_name(&range.element) },
        if whole { "all of it in" } else { "partly in" },
        arg(4),
        arg(5),
    );
    Finding::new(Code::FillerCracking, message)
        .at_some(job.base.span)
        .help("feed more rod, open the joint, fill the crater")
}

/// A base metal with much magnesium in warm service is open to stress corrosion whatever the filler.
fn warm_base(bench: &Bench<'_>) -> Vec<Finding> {
    let span = bench.job.spec.part.service_temperature.as_ref().map(|at| at.span);
    bench
        .bases
        .iter()
        .filter(|alloy| {
            bench.warm
                && bench.job.base.alloy.is_some()
                && Bench::base_content(alloy, "mg") > constant("warm-magnesium").value
        })
        .map(|alloy| {
            Finding::new(
                Code::MetalMagnesiumWarm,
                format!("{} holds over 3 % magnesium and serves above 65 °C: open to stress corrosion", alloy.name),
            )
            .at_some(span)
            .help("ask whether it really runs that warm; a new part wants another metal")
        })
        .collect()
}
