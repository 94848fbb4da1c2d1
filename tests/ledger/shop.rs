//! A workshop of its own: a repository with one spec.

use interpass::ledger::NAME;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

pub(crate) const SPEC: &str = "\
format = 1
[procedure]
number = \"T-1\"
title = \"Bracket: crack\"
revision = \"A\"
status = \"trial\"
date = 2026-09-07
author = \"shop lead\"
reason = \"First issue\"
[part]
consequence = \"low\"
loading = [\"static\"]
use = [\"general\"]
enclosed = false
hollow = false
held = \"nothing\"
[metal]
alloy = \"5052\"
temper = \"H32\"
form = \"plate\"
thickness = \"6 mm\"
identified_by = \"certificate\"
[damage]
kind = \"crack\"
length = \"60 mm\"
[weld]
joint = \"groove\"
";

pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

pub(crate) fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

pub(crate) fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_interpass"));
    command.current_dir(folder);
    command
}

pub(crate) struct Shop(pub(crate) tempfile::TempDir);

impl Shop {
    pub(crate) fn new(spec: &str) -> Self {
        let shop = Shop(tempfile::tempdir().unwrap());
        fs::create_dir(shop.0.path().join(".git")).unwrap();
        shop.write("job.repair.toml", spec);
        shop
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    /// Replaces texts of the spec, each of which is there.
    pub(crate) fn edit(&self, edits: &[(&str, &str)]) {
        let mut text = fs::read_to_string(self.0.path().join("job.repair.toml")).unwrap();
        for (from, to) in edits {
            assert!(text.contains(from), "no {from}");
            text = text.replace(from, to);
        }
        self.write("job.repair.toml", &text);
    }

    pub(crate) fn run(&self, arguments: &[&str]) -> Output {
        command(self.0.path()).args(arguments).output().unwrap()
    }

    pub(crate) fn issue(&self) -> Output {
        self.run(&["issue", "job.repair.toml"])
    }

    pub(crate) fn bytes(&self) -> Vec<u8> {
        fs::read(self.0.path().join(NAME)).unwrap()
    }

    /// A face of the sheet, as it is written.
    pub(crate) fn sheet(&self, face: &str) -> String {
        let output = self.run(&["write", "job.repair.toml", "--to", "out", "--as", face]);
        let end = match face {
            "card" => "card.html",
            "text" => "txt",
            face => face,
        };
        let path = self.0.path().join("out").join(format!("job.{end}"));
        fs::read_to_string(path).unwrap_or_else(|_| panic!("{face}: {}", said(&output)))
    }
}
