//! Limits of acceptance: what the standards that the spec names allow, in millimetres, for this wall and joint.

use super::figure::{Figure, Limit, LineKind, Value};
use super::geometry::fillet_throat;
use super::job::Job;
use super::names::FigureName;
use super::opening::{Opening, Shape};
use super::penetrant;
use super::work::{Work, constant};
use crate::reference::acceptance::{by_dye, level_named, rows_for, standard_named};
use crate::reference::{Acceptance, AcceptanceStandard, Basis, Flaw, Row};
use crate::spec::{Access, DamageKind, Joint, Loading};
use crate::units::{InUnits, show};

/// The standard that holds whatever is named.
const SHOP: &str = "shop";

/// A standard and level of which the tables hold the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Named {
    /// Name of the standard.
    pub standard: &'static str,
    /// Level; empty where the standard has none.
    pub level: &'static str,
    /// Whether it limits the marks of a penetrant test, not the weld.
    pub marks: bool,
}

impl Named {
    /// `ISO 10042 C`.
    #[must_use]
    pub fn text(self) -> String {
        format!("{} {}", self.standard, self.level).trim_end().to_owned()
    }
}

/// The key of a flaw's line in a working.
#[must_use]
pub fn line(flaw: Flaw) -> &'static str {
    match flaw {
        Flaw::Crack => "limit-crack",
        Flaw::CraterCrack => "limit-crater-crack",
        Flaw::Fusion => "limit-fusion",
        Flaw::Pore => "limit-pore",
        Flaw::CraterPipe => "limit-crater-pipe",
        Flaw::Root => "limit-root",
        Flaw::RootPore => "limit-root-pore",
        Flaw::Undercut => "limit-undercut",
        Flaw::UndercutLong => "limit-undercut-long",
        Flaw::UndercutShort => "limit-undercut-short",
        Flaw::Shrinkage => "limit-shrinkage",
        Flaw::Underfill => "limit-underfill",
        Flaw::Excess => "limit-excess",
        Flaw::Convexity => "limit-convexity",
        Flaw::Penetration => "limit-penetration",
        Flaw::Overlap => "limit-overlap",
        Flaw::Misalignment => "limit-misalignment",
        Flaw::MarkLong => "limit-mark-long",
        Flaw::MarkRound => "limit-mark-round",
        Flaw::MarkRow => "limit-mark-row",
        Flaw::MarkCounts => "limit-mark-counts",
    }
}

/// The key of a flaw in parts, JSON and words: `undercut-short`.
#[must_use]
pub fn key(flaw: Flaw) -> &'static str {
    line(flaw).split_once('-').map_or("", |(_, key)| key)
}

/// What the limits of a wall hang on, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Wall: the thinner one where two meet.
    pub t: f64,
    /// Depth of a butt weld, or height of a pad.
    pub s: f64,
    /// Throat of a fillet; none for another weld.
    pub a: Option<f64>,
    /// Width of the bead; none where it is not known, which allows the least.
    pub b: Option<f64>,
}

/// What a row allows, mm, before it is rounded; nought where it allows none.
#[must_use]
pub fn allowed(row: &Acceptance, sizes: &Sizes) -> f64 {
    let of = match row.of.as_deref() {
        Some("s") => sizes.s,
        Some("a") => sizes.a.unwrap_or(sizes.s),
        Some("b") => sizes.b.unwrap_or(0.0),
        _ => sizes.t,
    };
    let cap = row.cap.unwrap_or(f64::INFINITY);
    match (row.permitted, row.base + row.factor * of) {
        (false, _) => 0.0,
        // A row that is a cap alone.
        (true, free) if free <= 0.0 && row.factor <= 0.0 => row.cap.unwrap_or(0.0),
        (true, free) => free.min(cap),
    }
}

/// Rounded down to what a gauge reads.
#[must_use]
pub fn readable(most: f64) -> f64 {
    let fine = most < constant("limit-fine-below").value;
    let step = constant(if fine { "limit-step-fine" } else { "limit-step" }).value;
    show::round_to(most, step, show::Toward::Down)
}

/// What the spec names, as far as the tables hold it, and what they do not hold, as it was written.
#[must_use]
pub fn named(job: &Job<'_>) -> (Vec<Named>, Vec<String>) {
    let (mut named, mut not_held): (Vec<Named>, Vec<String>) = (Vec::new(), Vec::new());
    for at in &job.spec.inspection.acceptance {
        let entry = &at.value;
        let level = entry.level.as_ref().map(|at| at.value.as_str());
        let found = standard_named(&entry.standard.value).and_then(|standard| meant(job, standard, level));
        match found {
            Some(found) if named.contains(&found) => {}
            Some(found) => named.push(found),
            None => not_held.push(format!("{} {}", entry.standard.value, level.unwrap_or_default()).trim().to_owned()),
        }
    }
    (named, not_held)
}

/// The standard and level that are meant for this metal.
fn meant(job: &Job<'_>, standard: &'static AcceptanceStandard, level: Option<&str>) -> Option<Named> {
    let aluminium = job.base.candidates.iter().all(|alloy| alloy.family.contains("aluminium"));
    let other = if aluminium { "steel" } else { "aluminium" };
    let standard = if standard.metal == other { standard_named(standard.instead.as_ref()?)? } else { standard };
    let level = match (level, standard.levels.as_slice()) {
        (_, []) => "",
        (Some(level), _) => level_named(standard, level)?,
        (None, [only]) => only.as_str(),
        (None, levels) if levels.iter().any(|level| level == "cyclic") => level_named(standard, loading(job))?,
        (None, _) => return None,
    };
    Some(Named { standard: &standard.name, level, marks: standard.of == "mark" })
}

/// The class of loading: static where the part is loaded so and in no other way.
fn loading(job: &Job<'_>) -> &'static str {
    let loading = &job.spec.part.loading;
    let steady = !loading.is_empty() && loading.iter().all(|at| at.value == Loading::Static);
    if steady { "static" } else { "cyclic" }
}

/// The kind of joint as the standards tell them apart.
fn joint(job: &Job<'_>) -> &'static str {
    match job.joint {
        Joint::Butt | Joint::Groove | Joint::Plug => "butt",
        Joint::Fillet | Joint::Lap | Joint::Corner | Joint::Edge => "fillet",
        Joint::Pad => "pad",
    }
}

/// Whether a flaw can stand in this weld at all.
fn concerns(job: &Job<'_>, opening: Option<&Opening>, flaw: Flaw) -> bool {
    let butt = joint(job) == "butt";
    let damage = &job.spec.damage;
    let through = job.joint == Joint::Butt || damage.through.as_ref().is_some_and(|at| at.value);
    let gouged = opening.map_or(job.access == Access::BothSides, |opening| opening.sides.len() > 1);
    let kind = damage.kind.as_ref().map(|at| at.value);
    let pieces = [DamageKind::MissingPiece, DamageKind::BrokenLug, DamageKind::FailedWeld];
    match flaw {
        Flaw::Root | Flaw::RootPore | Flaw::Shrinkage | Flaw::Penetration => butt && through && !gouged,
        Flaw::Underfill | Flaw::Excess => butt,
        Flaw::Convexity => joint(job) == "fillet",
        // One part with a crack in it has no two faces to be out of line.
        Flaw::Misalignment => butt && (job.joint == Joint::Butt || kind.is_some_and(|kind| pieces.contains(&kind))),
        _ => !flaw.by_dye() || penetrant::wanted(job),
    }
}

/// The thinnest of the walls that meet, mm.
fn thinnest(job: &Job<'_>, wall: f64) -> f64 {
    let beside = job.spec.metal.beside.as_ref().map(|at| at.value.thickness.value.value().in_mm());
    let other = job.other.as_ref().and_then(|other| other.thickness);
    [beside, other].into_iter().flatten().filter(|mm| *mm > 0.0).fold(wall, f64::min)
}

/// The sizes of a weld, with their lines of the working.
fn sizes(job: &Job<'_>, wall: f64, opening: Option<&Opening>, work: &mut Work) -> Sizes {
    let thin = thinnest(job, wall);
    let t = work.stated("wall", "t", thin, "mm", job.thickness_span());
    let mut sizes = Sizes { t, s: t, a: None, b: None };
    let Some(opening) = opening else { return sizes };
    let through = job.spec.damage.through.as_ref().is_some_and(|at| at.value);
    match opening.shape {
        Shape::Fillet => {
            let leg = work.step("limit-leg", "z", "t", t, "mm");
            let throat = work.step("limit-throat", "a", "z * sin(pi / 4)", fillet_throat(leg), "mm");
            sizes.a = Some(throat);
            sizes.b = Some(work.step("limit-face", "b", "2 * a", 2.0 * throat, "mm"));
            return sizes;
        }
        Shape::Groove | Shape::Plug | Shape::Pad if !through => {
            let depth = opening.depth.filter(|_| !opening.missing.iter().any(|key| matches!(*key, "depth" | "height")));
            sizes.s = depth.map_or(t, |depth| depth.min(t));
        }
        _ => {}
    }
    work.step("limit-depth", "s", "", sizes.s, "mm");
    let narrow = opening.sides.iter().map(|side| side.width).filter(|width| *width > 0.0).reduce(f64::min);
    // The width of a pad or of a disc let in is that of the piece, not of a bead.
    if !matches!(opening.shape, Shape::Pad | Shape::Patch) {
        sizes.b = narrow.map(|width| work.step("limit-face", "b", "", width, "mm"));
    }
    sizes
}

/// What a row says, in the symbols of the working: `1.5 mm + 0.15 b, ≤ 8 mm`.
fn rule(row: &Acceptance) -> String {
    let trimmed = |number: f64| show::trimmed(show::number(number, 3));
    let base = (row.base > 0.0).then(|| format!("{} mm", trimmed(row.base)));
    let share = row.of.as_ref().filter(|_| row.factor > 0.0).map(|of| format!("{} {of}", trimmed(row.factor)));
    let free = base.into_iter().chain(share).collect::<Vec<_>>().join(" + ");
    let cap = row.cap.map(|cap| format!("≤ {} mm", trimmed(cap)));
    let parts: Vec<String> = [Some(free).filter(|text| !text.is_empty()), cap].into_iter().flatten().collect();
    let short = if row.short { " *" } else { "" };
    if parts.is_empty() { String::new() } else { format!(": {}{short}", parts.join(", ")) }
}

/// A row with what it comes to.
struct Found {
    row: &'static Acceptance,
    limit: Limit,
}

impl Found {
    fn new(row: &'static Acceptance, flaw: Flaw, sizes: &Sizes) -> Found {
        let most = readable(allowed(row, sizes));
        let limit = Limit {
            flaw,
            standard: &row.standard,
            level: &row.level,
            most,
            short: row.short && most > 0.0,
            count: row.count,
            sure: row.sure.as_deref(),
            leads: false,
            cite: row.cite(),
        };
        Found { row, limit }
    }

    fn write(&self, work: &mut Work) {
        let line = line(self.limit.flaw);
        if self.limit.leads {
            work.row(line, "", self.limit.most, "mm", self.row.cite());
        } else {
            work.check(line, (self.limit.most, self.limit.most), "mm", Some(self.row.cite()));
        }
        let name = format!("{} {}", self.limit.standard, self.limit.level);
        let more = self.limit.count.map_or_else(|| rule(self.row), |count| format!("{count}"));
        work.with(vec![name.trim_end().to_owned(), more]);
    }
}

/// Every row that concerns this weld, by flaw, the strictest of each marked.
fn found(job: &Job<'_>, opening: Option<&Opening>, named: &[Named], sizes: &Sizes) -> Vec<Found> {
    let shop = Named { standard: SHOP, level: "", marks: false };
    let joint = joint(job);
    let rows: Vec<&'static Acceptance> = named
        .iter()
        .chain([&shop])
        .flat_map(|named| rows_for(named.standard, named.level, sizes.t, joint))
        .filter(|row| concerns(job, opening, row.flaw))
        .collect();
    // One undercut limit of any length holds for both kinds where another standard tells them apart.
    let apart = rows.iter().any(|row| matches!(row.flaw, Flaw::UndercutLong | Flaw::UndercutShort));
    let mut all: Vec<Found> = Vec::new();
    for flaw in Flaw::ALL {
        let stands = |row: &&&'static Acceptance| match row.flaw {
            Flaw::Undercut if apart => matches!(flaw, Flaw::UndercutLong | Flaw::UndercutShort),
            own => own == flaw,
        };
        let mut group: Vec<Found> = rows.iter().filter(stands).map(|row| Found::new(row, flaw, sizes)).collect();
        if group.len() > 1 {
            // What holds whatever is named is said where nothing named says it.
            group.retain(|found| found.limit.standard != SHOP);
        }
        let short = group.iter().any(|found| found.limit.short);
        let strictest = group.iter().map(|found| found.limit.most).reduce(f64::min);
        if let Some(lead) = group.iter_mut().find(|found| Some(found.limit.most) == strictest) {
            lead.limit.leads = true;
            lead.limit.short = short && lead.limit.most > 0.0;
        }
        all.extend(group);
    }
    all
}

/// The limits of a job: its wall, mm, where it is known, and the opening, where it was planned.
#[must_use]
pub fn figure(job: &Job<'_>, wall: Option<f64>, opening: Option<&Opening>) -> Option<Figure> {
    let (mut named, not_held) = named(job);
    if named.is_empty() && not_held.is_empty() && !job.from_spec() {
        return None;
    }
    let mut work = Work::new();
    // Without a wall only what does not hang on it stands: cracks, and the marks of the dye.
    let sizes = match wall {
        Some(wall) => sizes(job, wall, opening, &mut work),
        None => Sizes { t: f64::MIN_POSITIVE, s: 0.0, a: None, b: None },
    };
    if penetrant::wanted(job) && !named.iter().any(|named| named.marks) {
        let beside: Vec<_> = named.iter().filter_map(|named| by_dye(named.standard, named.level)).collect();
        for row in beside {
            let marks = Named { standard: &row.marks, level: &row.marks_level, marks: true };
            if !named.contains(&marks) {
                work.remark(
                    LineKind::Remark,
                    "limit-by-dye",
                    vec![format!("{} {}", row.standard, row.level), marks.text()],
                    Some(row.cite()),
                );
                named.push(marks);
            }
        }
    }
    let found = found(job, opening, &named, &sizes);
    found.iter().for_each(|found| found.write(&mut work));
    if named.is_empty() {
        work.remark(LineKind::Remark, "limit-none-named", Vec::new(), None);
    }
    if !not_held.is_empty() {
        work.remark(LineKind::NotUsed, "limit-not-held", vec![not_held.join(", ")], None);
    }
    if found.iter().any(|found| found.row.short) {
        work.remark(LineKind::Remark, "limit-short-only", Vec::new(), None);
    }
    if found.iter().any(|found| found.limit.cite.basis == Basis::Memory) {
        work.remark(LineKind::Doubt, "limit-from-memory", Vec::new(), None);
    }
    work.remark(LineKind::Rounding, "limit-rounded", Vec::new(), Some(constant("limit-step").cite()));
    let leads = || found.iter().filter(|found| found.limit.leads);
    let basis = leads().map(|found| found.limit.cite.basis).max().unwrap_or(Basis::CommonPractice);
    let names = named.iter().map(|named| named.text()).collect::<Vec<_>>().join(", ");
    let value = if names.is_empty() { "none named".to_owned() } else { names };
    let mut figure = work.done(FigureName::Acceptance, Value::Word(value), basis);
    figure.parts = leads().map(|found| (key(found.limit.flaw), found.limit.most, "mm")).collect();
    figure.limits = found.into_iter().map(|found| found.limit).collect();
    Some(figure)
}
