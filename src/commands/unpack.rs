//! `unpack`: checks a received sheet, says what was changed in it, and writes out the spec and the kit that ride in it.

use super::fault::{Fault, shown};
use super::inputs::{self, KIT_END, SPEC_END};
use super::kept::stem_of;
use super::out::Out;
use super::received;
use super::remade::{self, Verdict};
use super::report::{self, Form};
use super::targets::temporary;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What `unpack` is told.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  \
    interpass unpack sheets/hw-012.html --to received\n\
    The files are named after the sheet's own file: hw-012.repair.toml and hw-012.kit.toml. Nothing is overwritten. What \
    is not as it was sealed is not written out. A seal shows tampering and damage; it is not a signature: whoever makes \
    a whole sheet anew can seal it anew.\n\
    Exit code 0: the sheet is as it was written; 1: it is not, and the findings say what was changed; 2: something could \
    not be read or written.")]
pub(crate) struct Args {
    /// The sheet: HTML or JSON.
    #[arg(value_name = "SHEET")]
    sheet: PathBuf,
    /// The folder that spec and kit are written to; the current one when left out.
    #[arg(long, value_name = "DIR", default_value = ".", hide_default_value = true)]
    to: PathBuf,
}

/// Unpacks a sheet.
pub(crate) fn run(args: &Args, out: &mut Out) -> Result<(), Fault> {
    let name = shown(&args.sheet);
    if args.sheet.as_os_str() == inputs::STDIN || args.sheet.is_dir() || !received::is_sheet(&name) {
        return Err(Fault::Call("name the file of one sheet: NAME.html or NAME.json".to_owned()));
    }
    let input = inputs::Input { path: args.sheet.clone(), name, below: PathBuf::new() };
    let (found, bytes) = received::read(&input)?;
    let Verdict { findings, trusted, words } = remade::examine(&input.name, &found, &bytes)?;
    for finding in &findings {
        let told = report::of_file(finding, &input.name, Form::Text(out.talk_style));
        out.status.count(told.findings.iter().copied());
        out.say(&told.text);
    }
    out.print(&format!("{}: {words}\n", input.name))?;
    if !trusted {
        out.say("Nothing is written out: what rides in it is not what was sealed.\n");
        return Ok(());
    }
    let file = input.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stem = stem_of(&file);
    let mut files = vec![(args.to.join(format!("{stem}{SPEC_END}")), &found.spec)];
    files.extend(found.kit.as_ref().map(|kit| (args.to.join(format!("{stem}{KIT_END}")), kit)));
    let mut ready = Vec::new();
    for (path, text) in &files {
        ready.push(stands(path, text)?);
    }
    for ((path, text), there) in files.iter().zip(ready) {
        if there {
            out.print(&format!("{} is there already, the same\n", shown(path)))?;
        } else {
            place(path, text).map_err(|error| Fault::write(path, error))?;
            out.print(&format!("{} written\n", shown(path)))?;
        }
    }
    Ok(())
}

/// Whether a file is there with this text.
///
/// # Errors
/// [`Fault::Call`], when it is there with another one.
fn stands(path: &Path, text: &str) -> Result<bool, Fault> {
    match fs::symlink_metadata(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(false),
        Err(error) => Err(Fault::read(path, error)),
        Ok(data)
            if data.is_file()
                && data.len() == text.len() as u64
                && fs::read(path).is_ok_and(|old| old == text.as_bytes()) =>
        {
            Ok(true)
        }
        Ok(_) => Err(Fault::Call(format!(
            "{} is there already and holds something else: nothing is overwritten. Name another folder with --to",
            shown(path)
        ))),
    }
}

/// Writes a file that is not there.
fn place(path: &Path, text: &str) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    temporary(folder, text.as_bytes())?.persist_noclobber(path).map_err(|error| error.error)?;
    Ok(())
}
