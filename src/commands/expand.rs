//! From the bytes of a spec to everything that is known of it: findings, figures, decision, seal.

use super::kept::{self, Kept};
use super::kits::{Chosen, KitFile};
use super::ledgers::Opened;
use crate::engine::{self, Job, Worked, job};
use crate::faces;
use crate::findings::{self, Code, File, Finding, Severity, Sources, any_error};
use crate::kit::Kit;
use crate::ledger::{self, Candidate, Papers, Standing};
use crate::rules::{self, Decision, Judgement};
use crate::run::attempts::Earlier;
use crate::seal::{Canonical, Seal, seal};
use crate::spec::file::Reading;
use crate::spec::{self, Spec, shown_text};
use crate::units::System;
use std::sync::Arc;

/// A spec that was read, with its kit.
pub(crate) struct Document {
    /// What it is called in messages.
    pub(crate) name: String,
    /// Its text, as findings show it.
    pub(crate) text: String,
    reading: Reading<Spec>,
    /// Its kit.
    pub(crate) kit: Chosen,
    /// Repairs of the same place that failed.
    earlier: Option<Earlier>,
    /// What is to be said of the run records beside it.
    of_runs: Vec<Finding>,
    /// Its ledger, where there is one.
    ledger: Option<Arc<Opened>>,
    /// What the ledger says of it, where that is known without one.
    papers: Option<Papers>,
}

impl Document {
    /// Reads the bytes of a spec.
    pub(crate) fn read(name: &str, bytes: &[u8], kit: Chosen) -> Self {
        Document {
            name: name.to_owned(),
            text: shown_text(bytes).into_owned(),
            reading: spec::read_bytes(bytes),
            kit,
            earlier: None,
            of_runs: Vec::new(),
            ledger: None,
            papers: None,
        }
    }

    /// With the run records beside it: they tell how often the place was repaired before.
    pub(crate) fn beside(mut self, kept: &[Kept]) -> Self {
        if let Some(number) = self.reading.value.as_ref().map(|spec| spec.procedure.value.number.value.0.clone()) {
            self.earlier = kept::earlier(&number, kept);
            self.of_runs = kept::unread(&self.name, kept);
        }
        self
    }

    /// With its ledger: it tells whether the revision is issued.
    pub(crate) fn entered(mut self, ledger: Option<Arc<Opened>>) -> Self {
        self.ledger = ledger;
        self
    }

    /// As the ledger stood when this was said of it.
    pub(crate) fn papers(mut self, papers: Papers) -> Self {
        self.papers = Some(papers);
        self
    }

    /// As of a repair before which this is known, whatever lies beside it.
    pub(crate) fn after(mut self, earlier: Option<Earlier>) -> Self {
        self.earlier = earlier;
        self
    }

    /// The files that its findings point into.
    pub(crate) fn sources(&self) -> Sources<'_> {
        let sources = Sources::new().with(File::Spec, self.name.clone(), &self.text);
        match &self.kit {
            Chosen::One(kit) => sources.with(File::Kit, kit.name.clone(), &kit.text),
            Chosen::None | Chosen::Unknown(_) => sources,
        }
    }

    fn kit_file(&self) -> Option<&KitFile> {
        match &self.kit {
            Chosen::One(kit) => Some(kit),
            Chosen::None | Chosen::Unknown(_) => None,
        }
    }

    fn kit(&self) -> Option<&Kit> {
        self.kit_file()?.kit.as_ref()
    }

    /// Works everything out that can be: all findings, and the job where the spec could be read that far.
    pub(crate) fn expand(&self, units: Option<System>) -> Expanded<'_> {
        let mut findings = self.reading.findings.clone();
        findings.extend(self.of_runs.iter().cloned());
        let unsound = any_error(&findings);
        let worked = self.reading.value.as_ref().map(|spec| {
            let (mut job, mut more) = job::check(spec, self.kit());
            job.system = units.unwrap_or(job.system);
            job.earlier = self.earlier.as_ref();
            let worked = engine::work_out(&job);
            let judgement = rules::judge(&job, &worked);
            more.extend(worked.findings.iter().chain(&judgement.findings).cloned());
            // Without the keys that could not be read, most of what the rules miss is an echo of that.
            more.retain(|finding| !unsound || is_sure(finding));
            // What the shop would need for a job that nobody does is no help.
            more.retain(|finding| judgement.decision != Decision::No || !is_of_shop(finding));
            findings.append(&mut more);
            Parts { job, worked, judgement }
        });
        // That there is no kit is said once a run, and a kit that cannot be read is not the same as none.
        findings.retain(|finding| finding.code != Code::KitNone);
        let kit_is_sound = match &self.kit {
            Chosen::None => true,
            Chosen::One(kit) => kit.kit.is_some(),
            Chosen::Unknown(_) => false,
        };
        let mut expanded = Expanded { document: self, findings, parts: worked, readable: !unsound && kit_is_sound };
        let of_ledger = expanded.material().and_then(|material| material.of_ledger());
        expanded.findings.extend(of_ledger);
        findings::sort(&mut expanded.findings);
        expanded.findings.dedup();
        expanded
    }
}

/// Whether a finding of the engine or the rules holds, whatever the keys say that could not be read.
fn is_sure(finding: &Finding) -> bool {
    finding.severity == Severity::Error && finding.at.is_some() && finding.code != Code::KeyMissing
}

/// Whether a finding says what the shop, or a figure, lacks for doing the job.
fn is_of_shop(finding: &Finding) -> bool {
    matches!(
        finding.code,
        Code::KitLacks | Code::KitTorchTooSmall | Code::SettingNeedAboveMachine | Code::SettingNotComputed
    )
}

struct Parts<'a> {
    job: Job<'a>,
    worked: Worked,
    judgement: Judgement,
}

/// Everything that is known of a spec.
pub(crate) struct Expanded<'a> {
    /// The spec as it was read.
    pub(crate) document: &'a Document,
    /// All findings of it, sorted by place.
    pub(crate) findings: Vec<Finding>,
    parts: Option<Parts<'a>>,
    readable: bool,
}

/// What a sheet is made of.
pub(crate) struct Material<'e, 'a> {
    /// The job.
    pub(crate) job: &'e Job<'a>,
    /// The figures.
    pub(crate) worked: &'e Worked,
    /// The decision.
    pub(crate) judgement: &'e Judgement,
    /// The text of the spec.
    pub(crate) spec: &'a str,
    /// The kit.
    pub(crate) kit: Option<&'a KitFile>,
    ledger: Option<&'a Opened>,
    papers: Option<&'a Papers>,
}

impl<'a> Expanded<'a> {
    /// What the sheet is made of; none where an error gives no sheet. A repair that is refused gives one.
    pub(crate) fn material(&self) -> Option<Material<'_, 'a>> {
        let material = self.figures()?;
        let refused = material.judgement.decision == Decision::No;
        (self.readable && (refused || !any_error(&self.findings))).then_some(material)
    }

    /// As [`Expanded::material`], but also where an error gives no sheet: for looking at figures.
    pub(crate) fn figures(&self) -> Option<Material<'_, 'a>> {
        let Parts { job, worked, judgement } = self.parts.as_ref()?;
        let document = self.document;
        let ledger = document.ledger.as_deref();
        let papers = document.papers.as_ref();
        Some(Material { job, worked, judgement, spec: &document.text, kit: document.kit_file(), ledger, papers })
    }
}

impl Material<'_, '_> {
    /// The seal of the sheet.
    pub(crate) fn seal(&self) -> Seal {
        let none = Canonical::none();
        let kit = self.kit.map_or(&none, KitFile::canonical);
        seal(&Canonical::of(self.spec), kit, &self.worked.figures)
    }

    /// What the ledger says of the revision; that nobody can tell, where it cannot be read.
    pub(crate) fn papers(&self) -> Papers {
        let procedure = &self.job.spec.procedure.value;
        let (number, revision) = (&procedure.number.value.0, &procedure.revision.value.0);
        if let Some(papers) = self.papers {
            return papers.clone();
        }
        match self.ledger {
            None => Papers::default(),
            Some(Err(_)) => Papers { standing: Standing::Unknown, entries: Vec::new() },
            Some(Ok(taken)) if taken.ledger.is_sound() && taken.ledger.of(number).next().is_none() => Papers::default(),
            Some(Ok(taken)) => ledger::papers(&taken.ledger, number, revision, self.seal().hex()),
        }
    }

    /// What is to be said of the revision by its ledger.
    fn of_ledger(&self) -> Option<Finding> {
        let taken = self.ledger?.as_ref().ok()?;
        let number = &self.job.spec.procedure.value.number.value.0;
        if !taken.ledger.is_sound() || taken.ledger.of(number).next().is_none() {
            return None;
        }
        let candidate = self.candidate();
        let papers = ledger::papers(&taken.ledger, &candidate.number, &candidate.revision, &candidate.seal);
        faces::entered::finding(&taken.ledger, &papers, &candidate, self.job.system)
    }

    /// The revision as the ledger takes it.
    pub(crate) fn candidate(&self) -> Candidate {
        let none = Canonical::none();
        let kit = self.kit.map_or(&none, KitFile::canonical);
        Candidate::of(self.job.spec, &Canonical::of(self.spec), kit, &self.worked.figures, &self.seal())
    }
}
