//! The case: a job with its figures, read the way the rules ask about it.

use crate::engine::{FigureName, Job, Worked};
use crate::findings::{At, Code, Severity, Span};
use crate::kit::Machine;
use crate::reference::{Alloy, Solvent, search, solvent};
use crate::spec::{
    Approval, Cleaner, Coating, Fitted, Form, Held, Loading, Part, QualificationState, Spec, Surface, Use,
};
use crate::units::Quantity;

/// A job with its figures.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The checked job.
    pub job: &'a Job<'a>,
    /// Its figures.
    pub worked: &'a Worked,
    /// Whether what decides about safety is asked; `settings` asks nothing of it, so silence means nothing there.
    pub asked: bool,
}

/// The place of a word in a list, where it stands there.
fn place<T: PartialEq>(list: &[At<T>], word: &T) -> Option<Span> {
    list.iter().find(|entry| entry.value == *word).map(|entry| entry.span)
}

impl<'a> Case<'a> {
    /// The spec as written.
    #[must_use]
    pub fn spec(&self) -> &'a Spec {
        self.job.spec
    }

    /// The part as written.
    #[must_use]
    pub fn part(&self) -> &'a Part {
        &self.spec().part
    }

    /// Whether a key that was left out counts as unknown: it does wherever it is asked.
    #[must_use]
    pub fn silent<T>(&self, value: Option<&At<T>>) -> bool {
        self.asked && value.is_none()
    }

    /// Where the part's use is stated as this one.
    #[must_use]
    pub fn used_as(&self, word: Use) -> Option<Span> {
        place(&self.part().use_, &word)
    }

    /// Where this kind of loading is stated.
    #[must_use]
    pub fn loaded_by(&self, word: Loading) -> Option<Span> {
        place(&self.part().loading, &word)
    }

    /// Where this is stated to be fitted.
    #[must_use]
    pub fn fitted_with(&self, word: Fitted) -> Option<Span> {
        place(&self.part().fitted, &word)
    }

    /// Where the part is stated to have held this.
    #[must_use]
    pub fn has_held(&self, word: Held) -> Option<Span> {
        self.part().held.as_ref().filter(|held| held.value == word).map(|held| held.span)
    }

    /// Where this coating is stated.
    #[must_use]
    pub fn coated_with(&self, word: Coating) -> Option<Span> {
        self.spec().prepare.coating.as_ref().filter(|coating| coating.value == word).map(|coating| coating.span)
    }

    /// Where this cleaner is stated.
    #[must_use]
    pub fn cleaned_with(&self, word: Cleaner) -> Option<Span> {
        self.spec().prepare.cleaner.as_ref().filter(|cleaner| cleaner.value == word).map(|cleaner| cleaner.span)
    }

    /// The rows of the table of solvents that the cleaner may be; those of an unknown one where it is left out.
    pub fn solvents(&self) -> impl Iterator<Item = &'static Solvent> + use<> {
        let stated = self.spec().prepare.cleaner.as_ref().map(|cleaner| cleaner.value);
        let word = stated.or(self.asked.then_some(Cleaner::Unknown)).map(Cleaner::word);
        solvent().rows.iter().filter(move |row| Some(row.cleaner.as_str()) == word)
    }

    /// Whether one of the two metals is stated to have this surface.
    #[must_use]
    pub fn surface_is(&self, word: Surface) -> bool {
        let metal = &self.spec().metal;
        let other = metal.other.iter().flat_map(|other| &other.surface);
        metal.surface.iter().chain(other).any(|surface| surface.value == word)
    }

    /// The alloys that the metals of the job may be.
    pub fn alloys(&self) -> impl Iterator<Item = &'static Alloy> + use<'a> {
        let bases = [Some(&self.job.base), self.job.other.as_ref()];
        bases.into_iter().flatten().flat_map(|base| base.alloy.into_iter().chain(base.candidates.iter().copied()))
    }

    /// The stated forms of the metals of the job; empty where none is stated.
    pub fn forms(&self) -> impl Iterator<Item = Form> + use<'a> {
        let metal = &self.spec().metal;
        let other = metal.other.iter().filter_map(|other| other.form.as_ref());
        metal.form.iter().chain(other).map(|form| form.value)
    }

    /// The approval, where one is given in full and the procedure is qualified.
    #[must_use]
    pub fn approved_and_qualified(&self) -> Option<&'a Approval> {
        self.approval().filter(|_| self.qualified())
    }

    /// The approval, where one is given; the reader takes none without a name and a reference.
    #[must_use]
    pub fn approval(&self) -> Option<&'a Approval> {
        self.spec().approval.as_ref().map(|approval| &approval.value)
    }

    /// Whether the procedure is stated to be qualified.
    #[must_use]
    pub fn qualified(&self) -> bool {
        let state = self.spec().qualification.state.as_ref();
        state.is_some_and(|state| state.value == QualificationState::Qualified)
    }

    /// What of qualification and approval is missing.
    #[must_use]
    pub fn lacks(&self) -> &'static str {
        match (self.qualified(), self.approval().is_some()) {
            (false, false) => "refused unless the procedure is qualified and the repair approved; neither is stated",
            (false, true) => {
                "refused unless the procedure is qualified and the repair approved; the procedure is not qualified"
            }
            (true, _) => "refused unless the procedure is qualified and the repair approved; there is no approval",
        }
    }

    /// Whether the engine says this.
    #[must_use]
    pub fn engine_says(&self, code: Code) -> bool {
        self.worked.findings.iter().any(|finding| finding.code == code)
    }

    /// Whether the engine found a mistake that no sheet may pass over.
    #[must_use]
    pub fn engine_refuses(&self) -> bool {
        self.worked.findings.iter().any(|finding| finding.severity == Severity::Error)
    }

    /// The word of a figure, where it was worked out and is one.
    #[must_use]
    pub fn word_of(&self, name: FigureName) -> Option<&'a str> {
        self.worked.figures.get(&name).and_then(|figure| figure.word())
    }

    /// Whether the arc runs on AC; taken for granted where nothing says otherwise, for AC is the graver current.
    #[must_use]
    pub fn on_ac(&self) -> bool {
        self.word_of(FigureName::Polarity).is_none_or(|polarity| polarity == "AC")
    }

    /// The machines that the job may run on: the one that the author named, else all of the kit.
    pub fn machines(&self) -> impl Iterator<Item = &'a Machine> + use<'a> {
        let named = self.spec().weld.machine.as_ref().map(|named| &named.value);
        let all = self.job.kit.into_iter().flat_map(|kit| &kit.machine).map(|machine| &machine.value);
        all.filter(move |machine| named.is_none_or(|named| machine.name.value == *named))
    }

    /// Wind at the joint, m/s, at its strongest.
    #[must_use]
    pub fn wind(&self) -> Option<f64> {
        self.spec().place.wind.as_ref().map(|wind| wind.range.high.si())
    }
}

/// A constant of the tables by its key.
#[must_use]
pub fn constant_value(key: &str) -> Option<f64> {
    search::constant(key).map(|row| row.value)
}
