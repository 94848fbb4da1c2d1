//! A spec that leaves nothing open, changed line by line, and the judgement of it.

use interpass::engine::job::{check, check_settings};
use interpass::engine::{Figure, FigureName, Figures, Value, Worked};
use interpass::findings::{Finding, Severity};
use interpass::kit::Kit;
use interpass::rules::{Answer, Gate, Judgement, judge, judge_settings};
use interpass::spec::{self, Spec};

/// Nothing is left out and nothing is refused: the decision is go.
pub(crate) const CLEAN: &str = r#"format = 1
[procedure]
number = "HW-100"
title = "Bracket of a mooring cleat: crack at the foot"
revision = "A"
[part]
consequence = "low"
loading = ["static"]
use = ["general"]
enclosed = false
hollow = false
held = "nothing"
[metal]
alloy = "6061"
temper = "T6"
form = "plate"
thickness = "6 mm"
identified_by = "certificate"
surface = ["clean"]
[damage]
kind = "crack"
length = "30 mm"
depth = "3 mm"
through = false
tips = 2
attempt = 1
[prepare]
cleaner = "acetone"
coating = "none"
[place]
site = "welding shop"
confined = false
pit = false
[weld]
joint = "groove"
access = "both sides"
"#;

/// Kit with a vented oven, a soft burner and two torches.
pub(crate) const KIT: &str = r#"format = 1
[[machine]]
name = "Bay 1 set"
amperage = { ac = "5 A to 200 A", dc = "5 A to 220 A" }
start = ["high frequency"]
[[torch]]
name = "Small head"
rated = { ac = "140 A", dc = "200 A" }
[[torch]]
name = "Large head"
rated = { ac = "220 A", dc = "280 A" }
[heating]
oven = { maximum = "250 °C", vented = true }
burner = "soft"
"#;

/// A change: `("held", "\"fuel\"")` states it, `("held", "")` leaves it out, `("+", text)` puts text at the end. A key
/// that the text does not have goes in at the end of the table that `table.key` names.
pub(crate) type Edit<'a> = (&'a str, &'a str);

/// The text with these changes.
pub(crate) fn edited(text: &str, edits: &[Edit<'_>]) -> String {
    let mut text = text.to_owned();
    for (key, value) in edits {
        let line = |key: &str| format!("{key} = {value}\n");
        if *key == "+" {
            text.push_str(value);
            text.push('\n');
        } else if let Some((table, key)) = key.split_once('.') {
            let head = format!("[{table}]\n");
            assert!(text.contains(&head), "no {head}");
            text = text.replacen(&head, &format!("{head}{}", line(key)), 1);
        } else {
            let old = text.lines().find(|old| old.starts_with(&format!("{key} ="))).map(|old| format!("{old}\n"));
            let old = old.unwrap_or_else(|| panic!("no `{key}` in\n{text}"));
            text = text.replacen(&old, &if value.is_empty() { String::new() } else { line(key) }, 1);
        }
    }
    text
}

/// A spec of this text, which must read without a mistake.
pub(crate) fn read(text: &str) -> Spec {
    let (spec, findings) = spec::read(text);
    let errors: Vec<&Finding> = findings.iter().filter(|finding| finding.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{text}");
    spec.expect("a spec without mistakes reads")
}

/// The whole sheet of a spec, without a kit.
#[allow(dead_code, reason = "for the tests that look at sheets")]
pub(crate) fn sheet_of(text: &str) -> interpass::sheet::Sheet {
    let spec = read(text);
    let (job, _) = interpass::engine::job::check(&spec, None);
    let worked = interpass::engine::work_out(&job);
    interpass::sheet::build(&job, &worked, &interpass::rules::judge(&job, &worked), "0123456789abcdef")
}

/// A kit of this text, which must read without a mistake.
pub(crate) fn kit(text: &str) -> Kit {
    let (kit, findings) = interpass::kit::read(text);
    assert!(findings.iter().all(|finding| finding.severity != Severity::Error), "{findings:#?}");
    kit.expect("a kit without mistakes reads")
}

/// A figure of this value and nothing else.
pub(crate) fn figure(name: FigureName, value: Value) -> Figure {
    Figure {
        name,
        value,
        basis: None,
        weakest: None,
        working: Vec::new(),
        uses: Vec::new(),
        minimum: None,
        maximum: None,
        alternatives: Vec::new(),
        ranking: Vec::new(),
        passes: Vec::new(),
        parts: Vec::new(),
        limits: Vec::new(),
        rulings: Vec::new(),
        because: None,
        worked_out: None,
    }
}

/// The key figures with values that the rules of this job do not mind.
pub(crate) fn figures() -> Figures {
    let word = |word: &str| Value::Word(word.to_owned());
    let number = Value::Number;
    [
        (FigureName::Amperage, number(150.0)),
        (FigureName::AmperageWarm, number(140.0)),
        (FigureName::AmperageMax, number(170.0)),
        (FigureName::Polarity, word("AC")),
        (FigureName::TungstenType, word("WLa 20")),
        (FigureName::TungstenDiameter, number(2.4)),
        (FigureName::Gas, word("argon")),
        (FigureName::GasFlow, number(8.0)),
        (FigureName::FillerMetal, word("ER4043")),
        (FigureName::Preheat, word("none")),
        (FigureName::InterpassMax, number(100.0)),
    ]
    .into_iter()
    .map(|(name, value)| (name, figure(name, value)))
    .collect()
}

/// What is judged: changes to [`CLEAN`], a kit, figures and findings of the engine.
pub(crate) struct Trial {
    text: String,
    kit: Option<Kit>,
    worked: Worked,
}

impl Trial {
    /// The clean spec with these changes.
    pub(crate) fn of(edits: &[Edit<'_>]) -> Self {
        Trial::text(edited(CLEAN, edits))
    }
    /// This spec.
    pub(crate) fn text(text: String) -> Self {
        let worked = Worked { figures: figures(), findings: Vec::new() };
        Trial { text, kit: None, worked }
    }
    pub(crate) fn with_kit(mut self, text: &str) -> Self {
        self.kit = Some(kit(text));
        self
    }
    pub(crate) fn figure(mut self, name: FigureName, value: Value) -> Self {
        self.worked.figures.insert(name, figure(name, value));
        self
    }
    pub(crate) fn without(mut self, name: FigureName) -> Self {
        self.worked.figures.remove(&name);
        self
    }
    pub(crate) fn worked(mut self, change: impl FnOnce(&mut Worked)) -> Self {
        change(&mut self.worked);
        self
    }
    pub(crate) fn judge(&self) -> Judgement {
        let spec = read(&self.text);
        judge(&check(&spec, self.kit.as_ref()).0, &self.worked)
    }
    pub(crate) fn settings(&self) -> Judgement {
        let spec = read(&self.text);
        judge_settings(&check_settings(&spec, self.kit.as_ref()).0, &self.worked)
    }
    /// The characters of the spec that the finding points at.
    pub(crate) fn at(&self, finding: &Finding) -> &str {
        finding.at.and_then(|span| self.text.get(span.start..span.end)).unwrap_or("")
    }
    /// The gate of this key.
    pub(crate) fn gate(&self, key: &str) -> Option<Gate> {
        self.judge().gates.into_iter().find(|gate| gate.key == key)
    }
    /// The answer of the gate of this key.
    pub(crate) fn answer(&self, key: &str) -> Option<Answer> {
        self.gate(key).map(|gate| gate.answer)
    }
    /// Whether the hazard of this id fires.
    pub(crate) fn fires(&self, id: &str) -> bool {
        self.judge().dangers.iter().any(|fired| fired.hazard.id == id)
    }
}
