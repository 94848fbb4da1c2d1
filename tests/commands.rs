//! The commands as a user sees them: transcripts in `tests/commands/*.md`, and the examples of every `--help`, pasted.
//!
//! After a change that is meant: `TRYCMD=overwrite cargo test --test commands`, then read the difference.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn interpass(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_interpass")).args(arguments).output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The names of all commands, as `--help` lists them.
fn commands() -> Vec<String> {
    let help = text(&interpass(&["--help"]).stdout);
    let list = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let name = |line: &str| {
        line.strip_prefix("  ")
            .filter(|line| !line.starts_with(' '))
            .map(|line| line.split(' ').next().unwrap().to_owned())
    };
    let names: Vec<String> = list.lines().filter_map(name).filter(|name| name != "help").collect();
    assert!(names.len() >= 6, "{names:?}");
    names
}

#[test]
fn transcripts() {
    // What the transcripts of `write` write.
    let sheets = Path::new("target/tmp/transcripts");
    let _ = std::fs::remove_dir_all(sheets);
    trycmd::TestCases::new().case("tests/commands/*.md");
}

#[test]
fn every_command_has_a_transcript_and_an_example() {
    for name in commands() {
        assert!(Path::new(&format!("tests/commands/{name}.md")).is_file(), "no transcript of {name}");
        assert!(!examples(&name).is_empty(), "no example of {name}");
    }
}

/// The lines after `Example` in the help of a command.
fn examples(name: &str) -> Vec<String> {
    let help = text(&interpass(&[name, "--help"]).stdout);
    let lines = help.lines().map(|line| line.trim_start_matches("Example:").trim());
    lines.filter(|line| line.starts_with("interpass ") || line.contains("| interpass ")).map(str::to_owned).collect()
}

/// A folder with the demo specs in it, as a new user has them.
fn workshop() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    copy(Path::new("specs"), &folder.path().join("specs"));
    folder
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

#[cfg(unix)]
#[test]
fn examples_work_when_they_are_pasted() {
    let folder = workshop();
    let program = PathBuf::from(env!("CARGO_BIN_EXE_interpass"));
    let path = format!("{}:{}", program.parent().unwrap().display(), std::env::var("PATH").unwrap_or_default());
    for name in commands() {
        for example in examples(&name) {
            assert!(example.len() <= 77, "{example} breaks in a terminal of 80 columns");
            let output = Command::new("sh")
                .args(["-c", &example])
                .env("PATH", &path)
                .current_dir(folder.path())
                .output()
                .unwrap();
            // Two revisions that differ are what `changes` answers with 1.
            let differs = name == "changes" && output.status.code() == Some(1) && !output.stdout.is_empty();
            assert!(output.status.success() || differs, "{example}: {}\n{}", output.status, text(&output.stderr));
            assert!(
                !output.stdout.is_empty() || !output.stderr.is_empty() || example.contains('>'),
                "{example} is silent"
            );
        }
    }
}
