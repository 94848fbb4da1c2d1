//! Every gate and every answer that a question can get has its words, and the demo specs are judged as they should be.

use crate::case::{Trial, kit, read};
use crate::dangers::sweep;
use interpass::engine::job::check;
use interpass::engine::work_out;
use interpass::rules::gates::RULES;
use interpass::rules::{Answer, Decision, Gate, judge};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

type Words = BTreeMap<String, toml::Table>;

fn gates() -> Words {
    toml::from_str(include_str!("../../templates/words/en/gates.toml")).expect("the words of the gates read")
}

fn questions() -> Words {
    toml::from_str(include_str!("../../templates/words/en/questions.toml")).expect("the words of the questions read")
}

fn is_rule(key: &str) -> bool {
    RULES.iter().any(|rule| rule.key == key)
}

/// A general question that refuses by itself, and does not only repeat a gate, says what to do instead as a gate does.
fn says_what_instead(key: &str) -> bool {
    is_rule(key) || questions().get(key).is_some_and(|words| words.contains_key("instead"))
}

#[test]
fn every_gate_has_words_and_stands_once() {
    let words = gates();
    let keys: BTreeSet<&str> = RULES.iter().map(|rule| rule.key).collect();
    assert_eq!(keys.len(), RULES.len(), "a gate stands twice");
    assert_eq!(keys, words.keys().map(String::as_str).collect());
}

/// A key without the mark of the metal that it is said of.
fn plain(key: &str) -> &str {
    key.split('@').next().unwrap_or(key)
}

/// The answer's words with their blanks filled.
fn text_of(words: &Words, gate: &Gate) -> String {
    let of_key = words.get(gate.key).unwrap_or_else(|| panic!("no words for {}", gate.key));
    let text = of_key.get(gate.answer.key()).and_then(toml::Value::as_str);
    let text = text.unwrap_or_else(|| panic!("{}: no words for `{}`", gate.key, gate.answer.key()));
    let filled = gate.args.iter().enumerate();
    filled.fold(text.to_owned(), |text, (at, arg)| text.replace(&format!("{{{at}}}"), arg))
}

#[test]
fn every_answer_of_a_question_has_words_and_no_word_is_orphaned() {
    let words = questions();
    let mut used: BTreeSet<(String, &str)> = BTreeSet::new();
    for gate in sweep().iter().flat_map(|trial| trial.judge().gates).filter(|gate| !is_rule(gate.key)) {
        let text = text_of(&words, &gate);
        assert!(!text.contains('{') && !text.trim().is_empty(), "{gate:?}: {text}");
        used.insert((gate.key.to_owned(), gate.answer.key()));
    }
    for (key, of_key) in &words {
        let question = of_key.get("question").and_then(toml::Value::as_str).unwrap_or("");
        assert!(question.ends_with('?'), "{key}: {question}");
        assert!(of_key.get("no").is_some_and(|no| no.as_str().is_some_and(|no| !no.is_empty())), "{key}: if it is no");
        for answer in
            of_key.keys().filter(|word| !["question", "no", "top", "reason", "instead"].contains(&plain(word)))
        {
            let known = Answer::ALL.iter().find(|known| known.key() == plain(answer));
            let known = known.unwrap_or_else(|| panic!("{key}: `{answer}` is no answer"));
            assert!(used.contains(&(key.clone(), known.key())), "{key}: nothing gives the answer `{answer}`");
        }
    }
}

/// The demo specs in a folder by number, judged with key figures in hand and no kit.
fn demos(folder: &str) -> Vec<(String, Trial)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let names = std::fs::read_dir(&folder).expect("the folder is there").map(|file| file.expect("a file").file_name());
    let mut names: Vec<String> = names.map(|name| name.to_string_lossy().into_owned()).collect();
    names.sort();
    let specs = names.iter().filter_map(|name| Some((name.strip_suffix(".repair.toml")?, folder.join(name))));
    specs.map(|(number, path)| (number.to_owned(), Trial::text(std::fs::read_to_string(path).expect("text")))).collect()
}

#[test]
fn the_refused_demos_are_refused_for_their_reasons() {
    let mut seen = Vec::new();
    for (number, trial) in demos("specs/refused") {
        let judgement = trial.judge();
        assert_eq!(judgement.decision, Decision::No, "{number}");
        let refused =
            judgement.gates.iter().filter(|gate| gate.answer == Answer::Refused && says_what_instead(gate.key));
        seen.push((number, refused.map(|gate| gate.key).collect::<Vec<_>>()));
    }
    let wanted: [(&str, &[&str]); 15] = [
        ("hw-019", &["held-fuel", "closed-no-vent", "consequence-high"]),
        ("hw-022", &["metal-refused"]),
        ("hw-023", &["lifting", "consequence-high"]),
        ("hw-024", &["closed-no-vent"]),
        ("hw-025", &["access-equipment", "consequence-high"]),
        ("hw-027", &["rotating"]),
        ("hw-030", &["held-gas", "closed-no-vent", "gas-cylinder", "pressure", "consequence-high"]),
        ("hw-031", &["road-wheel", "rotating", "consequence-high"]),
        ("hw-034", &["attempt-unapproved"]),
        ("hw-056", &["leaded-brass", "metal-refused", "consequence-high"]),
        ("hw-057", &["metal-refused"]),
        ("hw-058", &["metal-refused"]),
        ("hw-059", &["metal-refused"]),
        ("hw-060", &["no-filler"]),
        ("hw-061", &["metal-unknown"]),
    ];
    assert_eq!(seen, wanted.map(|(number, keys)| (number.to_owned(), keys.to_vec())));
}

#[test]
fn no_other_demo_is_refused_and_one_that_leaves_something_open_is_not_go() {
    for (number, trial) in demos("specs") {
        let judgement = trial.judge();
        assert_ne!(judgement.decision, Decision::No, "{number}: {:#?}", judgement.findings);
        let open = judgement.gates.iter().any(|gate| matches!(gate.answer, Answer::Unknown | Answer::Head));
        assert_eq!(judgement.decision == Decision::Go, !open, "{number}");
    }
    let decision = |wanted: &str| {
        let found = demos("specs").into_iter().find(|(number, _)| number == wanted);
        found.expect("the demo is there").1.judge().decision
    };
    for go in ["hw-012", "hw-032", "hw-033", "hw-035"] {
        assert_eq!(decision(go), Decision::Go, "{go}");
    }
    for open in ["hw-001", "hw-004", "hw-011", "hw-013", "hw-014", "hw-017", "hw-021"] {
        assert_eq!(decision(open), Decision::Caution, "{open}");
    }
}

#[test]
fn the_bracket_may_be_welded_with_what_the_harbour_workshop_has() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = |path: &str| std::fs::read_to_string(root.join(path)).expect("text");
    let spec = read(&text("specs/hw-012.repair.toml"));
    let kit = kit(&text("specs/kits/harbour.kit.toml"));
    let (job, _) = check(&spec, Some(&kit));
    let judgement = judge(&job, &work_out(&job));
    assert_eq!(judgement.decision, Decision::Go, "{:#?}", judgement.gates);
    let torch = judgement.gates.iter().find(|gate| gate.key == "torch-big-enough-some").expect("one is too small");
    assert_eq!(torch.args, ["Water-cooled, small head, 220 A", "Air-cooled, flexible head, 140 A"]);
}
