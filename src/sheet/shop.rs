//! What this shop lacks for the job, said once, at the head of the sheet, with what would do instead.

use super::context::{Context, Say};
use super::{Block, Cell};
use crate::findings::{Code, Finding};
use crate::rules::{Answer, Gate};

/// What the shop lacks stands under these codes.
const CODES: [Code; 3] = [Code::SettingNeedAboveMachine, Code::KitLacks, Code::SettingBeyondMachines];

/// Gates that ask for the same, in fewer words.
const GATES: [&str; 3] = ["set-big-enough", "set-beyond-machines", "torch-big-enough"];

/// Whether a finding is said at the head of the sheet.
pub(super) fn is_said(finding: &Finding) -> bool {
    CODES.contains(&finding.code)
}

/// Whether the box says what this gate would.
pub(super) fn says_gate(context: &Context<'_>, key: &str) -> bool {
    GATES.contains(&key) && findings(context).any(|finding| finding.code != Code::KitLacks || key == "torch-big-enough")
}

/// Whether set or torch of this shop cannot make the weld at all.
pub(super) fn cannot(context: &Context<'_>) -> bool {
    let heads = |gate: &Gate| GATES.contains(&gate.key) && gate.answer == Answer::Head;
    context.judgement.gates.iter().any(heads)
}

fn findings<'a>(context: &Context<'a>) -> impl Iterator<Item = &'a Finding> + use<'a> {
    context.worked.findings.iter().chain(&context.judgement.findings).filter(|finding| is_said(finding))
}

/// The box; none where the shop has all that the job asks for.
pub(super) fn lacks(context: &Context<'_>) -> Option<Block> {
    let mut items: Vec<Cell> = Vec::new();
    // What stops the job comes before what a walk to the shop mends.
    for code in CODES {
        for finding in findings(context).filter(|finding| finding.code == code) {
            let text = sentence(context, finding);
            if !items.iter().any(|item| item.text == text) {
                items.push(context.plain(text));
            }
        }
    }
    let title = context.text("decide", "lacks-title");
    (!items.is_empty()).then_some(Block::Alert { title, items })
}

/// What is missing, how it is to be taken, and what would do.
fn sentence(context: &Context<'_>, finding: &Finding) -> String {
    let mut said = vec![capital(&finding.message)];
    said.extend(finding.notes.iter().map(|note| capital(note)));
    let said = said.join(". ");
    match &finding.help {
        Some(help) => context.cell(&Say::of("decide", "lacks").with("what", said).with("instead", help.clone())).text,
        None => format!("{said}."),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
