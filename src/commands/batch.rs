//! Many specs at once: read and worked on by all cores, told in the order in which they were named.
//!
//! A part of the files at a time, so that memory does not grow with their number.

use super::expand::Document;
use super::fault::Fault;
use super::guard;
use super::inputs::Input;
use super::kept::{Kept, Runs};
use super::kits::{Chosen, Kits};
use super::ledgers::{Ledgers, Opened};
use super::report::is_fault;
use crate::findings::{Code, Finding};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use rayon::prelude::*;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Files that are worked on before any of them is told.
const PART: usize = 256;
/// Work that lasts longer than this shows how far it is.
const PATIENCE: Duration = Duration::from_millis(500);

/// How far a run is, on a terminal, once it has lasted a while.
pub(crate) struct Progress {
    bar: ProgressBar,
    since: Instant,
    wanted: AtomicBool,
}

impl Progress {
    /// Of `total` files; `wanted` where a person sees it.
    pub(crate) fn new(total: usize, wanted: bool) -> Self {
        let bar = ProgressBar::with_draw_target(Some(total as u64), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{bar:40} {pos} of {len} specs, {eta} left") {
            bar.set_style(style);
        }
        Progress { bar, since: Instant::now(), wanted: AtomicBool::new(wanted) }
    }

    /// Counts a spec as done, and shows the bar, if it is time. Threads may do so together.
    fn step(&self) {
        if self.since.elapsed() > PATIENCE && self.wanted.swap(false, Ordering::Relaxed) {
            self.bar.set_draw_target(ProgressDrawTarget::stderr());
        }
        self.bar.inc(1);
    }

    /// Does something that writes, with the bar out of the way.
    pub(crate) fn aside<T>(&self, work: impl FnOnce() -> T) -> T {
        self.bar.suspend(work)
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.bar.finish_and_clear();
    }
}

/// Room that a thread keeps from one document to the next.
#[derive(Debug, Default)]
pub(crate) struct Buffers {
    /// The Markdown.
    pub(crate) markdown: Vec<u8>,
    /// The HTML.
    pub(crate) html: Vec<u8>,
    /// The JSON.
    pub(crate) json: Vec<u8>,
    /// The card; empty where there is none.
    pub(crate) card: Vec<u8>,
    /// The plain words.
    pub(crate) text: Vec<u8>,
    /// The drawings that lie beside the Markdown: id and file.
    pub(crate) drawings: Vec<(String, Vec<u8>)>,
    /// What lay in a file before.
    pub(crate) old: Vec<u8>,
}

/// Reads specs, does `work` on each with all cores, and gives the results to `take` in the order of the inputs. A spec
/// that cannot be read, or on which the program failed, comes as a finding.
pub(crate) fn each<T: Send>(
    inputs: &[Input],
    (kits, ledgers): (&mut Kits, &mut Ledgers),
    progress: &Progress,
    work: impl Fn(usize, &Document, &mut Buffers) -> T + Sync,
    mut take: impl FnMut(&Input, (&Chosen, Option<&Opened>), Result<T, Box<Finding>>, &Progress) -> Result<(), Fault>,
) -> Result<(), Fault> {
    let mut runs = Runs::default();
    for (part, inputs) in inputs.chunks(PART).enumerate() {
        let chosen: Vec<Chosen> = inputs.iter().map(|input| kits.of(input)).collect();
        let kept: Vec<Arc<Vec<Kept>>> = inputs.iter().map(|input| runs.beside(input)).collect();
        let entered: Vec<Option<Arc<Opened>>> = inputs.iter().map(|input| ledgers.of(input)).collect();
        let results: Vec<Result<T, Box<Finding>>> = inputs
            .par_iter()
            .zip(&chosen)
            .zip(kept.par_iter().zip(&entered))
            .enumerate()
            .map_init(Buffers::default, |buffers, (number, ((input, kit), (kept, ledger)))| {
                let beside = (kept.as_slice(), ledger.clone());
                let result = with(input, kit, beside, |document| work(part * PART + number, document, buffers));
                progress.step();
                result
            })
            .collect();
        for ((input, of_it), result) in inputs.iter().zip(chosen.iter().zip(&entered)).zip(results) {
            let (kit, ledger) = of_it;
            take(input, (kit, ledger.as_deref()), result, progress)?;
        }
    }
    Ok(())
}

/// Reads one spec and works on it.
pub(crate) fn one<T>(input: &Input, kit: &Chosen, work: impl FnOnce(&Document) -> T) -> Result<T, Box<Finding>> {
    with(input, kit, (&Runs::default().beside(input), None), work)
}

/// Reads one spec, with the run records beside it and its ledger, and works on it.
fn with<T>(
    input: &Input,
    kit: &Chosen,
    (kept, ledger): (&[Kept], Option<Arc<Opened>>),
    work: impl FnOnce(&Document) -> T,
) -> Result<T, Box<Finding>> {
    let bytes = input.bytes().map_err(|fault| Box::new(of_fault(&fault)))?;
    catch(&input.name, || work(&Document::read(&input.name, &bytes, kit.clone()).beside(kept).entered(ledger)))
}

/// Does work on a document; a fault of the program comes as a finding that names it.
pub(crate) fn catch<T>(name: &str, work: impl FnOnce() -> T) -> Result<T, Box<Finding>> {
    guard::catch(work).map_err(|message| {
        let message = format!("interpass {} failed at {name}: {message}", env!("CARGO_PKG_VERSION"));
        let help = "this is a fault of the program, not of the file; report it with the file and the version";
        Box::new(Finding::new(Code::OutputInternal, message).help(help))
    })
}

/// A fault of one file as a finding, so that it is told like all others and the rest goes on.
pub(crate) fn of_fault(fault: &Fault) -> Finding {
    let code = match fault {
        Fault::Write { .. } | Fault::Output(_) | Fault::ClosedPipe => Code::OutputWrite,
        Fault::Read { .. } | Fault::Call(_) => Code::ReadFile,
        Fault::Internal(_) => Code::OutputInternal,
    };
    debug_assert!(is_fault(code));
    Finding::new(code, fault.to_string())
}
