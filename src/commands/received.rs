//! The file of a received sheet.

use super::fault::Fault;
use super::inputs::Input;
use crate::seal::parts;
use crate::seal::received::{Received, of_html, of_json};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The largest sheet that is read: many times the longest that the program writes.
const MOST: u64 = 16 << 20;

/// Whether a file is a sheet by its name.
pub(crate) fn is_sheet(name: &str) -> bool {
    name.ends_with(".html") || is_json(name)
}

/// Whether a file is a JSON sheet by its name.
pub(crate) fn is_json(name: &str) -> bool {
    name.ends_with(".json")
}

/// Reads a sheet: what rides in it, and its bytes.
///
/// # Errors
/// [`Fault::Read`], when it cannot be read; [`Fault::Call`], when it holds no spec.
pub(crate) fn read(input: &Input) -> Result<(Received, Vec<u8>), Fault> {
    let mut bytes = Vec::new();
    let file = File::open(&input.path).and_then(|file| file.take(MOST + 1).read_to_end(&mut bytes));
    file.map_err(|error| Fault::read(Path::new(&input.name), error))?;
    let none = |bytes: &[u8]| {
        Fault::Call(match parts::check(bytes) {
            Some(_) => format!("{} is a damaged sheet: the spec that rode in it is not there any more", input.name),
            None => format!("{} is no sheet of this program: no spec rides in it", input.name),
        })
    };
    if bytes.len() as u64 > MOST {
        return Err(Fault::Call(format!("{} is larger than any sheet", input.name)));
    }
    let found = if is_json(&input.name) { of_json(&bytes) } else { of_html(&bytes) };
    match found {
        Some(found) => Ok((found, bytes)),
        None => Err(none(&bytes)),
    }
}
