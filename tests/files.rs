//! What the program does to files and streams: nothing half written, nothing outside, nothing silent, nothing loud where
//! nobody listens.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn command(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_interpass"));
    command.current_dir(folder).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE");
    command
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    command(folder).args(arguments).output().unwrap()
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

const DEMO: &str = include_str!("../specs/hw-012.repair.toml");

/// A folder with these files, and `.git`, so that no kit from outside is found.
fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::create_dir(folder.path().join(".git")).unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    folder
}

/// All files of a folder with their bytes.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in fs::read_dir(next).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
                found.insert(name, fs::read(path).unwrap());
            }
        }
    }
    found
}

fn numbered(number: usize) -> String {
    DEMO.replace("HW-012", &format!("HW-{number:04}"))
}

#[test]
fn subfolders_are_kept_and_only_what_changed_is_written() {
    let temp = folder(&[("jobs/a.repair.toml", DEMO), ("jobs/boats/b.repair.toml", DEMO)]);
    let out = temp.path().join("sheets");
    let first = run(temp.path(), &["write", "jobs", "--to", "sheets"]);
    assert_eq!(code(&first), 0, "{}", said(&first));
    let names: Vec<String> = files(&out).into_keys().collect();
    let of = |stem: &str| {
        let drawings = (1..=7).map(|number| format!("{stem}-d{number}.svg"));
        drawings.chain(["html", "json", "md"].map(|end| format!("{stem}.{end}"))).collect::<Vec<_>>()
    };
    assert_eq!(names, [of("a"), of("boats/b")].concat());
    let times = |out: &Path| -> Vec<_> {
        files(out).keys().map(|name| fs::metadata(out.join(name)).unwrap().modified().unwrap()).collect()
    };
    let before = times(&out);
    assert_eq!(code(&run(temp.path(), &["write", "jobs", "--to", "sheets"])), 0);
    assert_eq!(before, times(&out), "a file that had not changed was touched");
    assert_eq!(code(&run(temp.path(), &["write", "jobs", "--to", "sheets", "--stale"])), 0);

    fs::write(temp.path().join("jobs/a.repair.toml"), numbered(7)).unwrap();
    let all = files(&out);
    let stale = run(temp.path(), &["write", "jobs", "--to", "sheets", "--stale"]);
    assert_eq!((code(&stale), files(&out)), (1, all), "nothing is written");
    assert_eq!(String::from_utf8_lossy(&stale.stdout), "sheets/a.md\nsheets/a.html\nsheets/a.json\n");
}

#[test]
fn one_bad_spec_does_not_stop_the_others() {
    let temp = folder(&[("a.repair.toml", "format = \n"), ("b.repair.toml", DEMO)]);
    let output = run(temp.path(), &["write", ".", "missing.repair.toml", "--to", "sheets"]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains("cannot read missing.repair.toml") && said(&output).contains("syntax-toml"));
    assert_eq!(files(&temp.path().join("sheets")).len(), 3 + 7);
}

#[test]
fn two_specs_never_share_a_file() {
    let temp = folder(&[("a/HW.repair.toml", DEMO), ("b/hw.repair.toml", DEMO), ("b/other.repair.toml", DEMO)]);
    let output =
        run(temp.path(), &["write", "a/HW.repair.toml", "b/hw.repair.toml", "b/other.repair.toml", "--to", "sheets"]);
    assert_eq!(code(&output), 1);
    assert_eq!(said(&output).matches("output-clash").count(), 2, "{}", said(&output));
    let mut names: BTreeSet<String> = files(&temp.path().join("sheets")).into_keys().collect();
    assert!((1..=7).all(|number| names.remove(&format!("other-d{number}.svg"))));
    assert_eq!(names, BTreeSet::from(["other.html", "other.json", "other.md"].map(str::to_owned)));
    // The same file named twice is one.
    assert_eq!(code(&run(temp.path(), &["write", "b", "b/hw.repair.toml", "--to", "sheets"])), 0);
}

#[test]
fn the_kit_beside_the_specs_is_found_and_two_are_told_once() {
    let kit = include_str!("../specs/kits/harbour.kit.toml");
    let temp = folder(&[("shop.kit.toml", kit), ("jobs/a.repair.toml", DEMO), ("jobs/b.repair.toml", &numbered(7))]);
    let output = run(temp.path(), &["check", "jobs"]);
    assert_eq!(code(&output), 0);
    assert!(said(&output).contains("--> shop.kit.toml:") && !said(&output).contains("kit-none"), "{}", said(&output));
    let read = |name: &str| -> serde_json::Value {
        serde_json::from_slice(&fs::read(temp.path().join(name)).unwrap()).unwrap()
    };
    assert_eq!(code(&run(temp.path(), &["write", "jobs", "--to", "sheets"])), 0);
    assert_eq!(read("sheets/a.json")["kit"], kit);

    fs::write(temp.path().join("other.kit.toml"), kit).unwrap();
    let output = run(temp.path(), &["write", "jobs", "--to", "more"]);
    assert_eq!(code(&output), 1);
    assert_eq!(said(&output).matches("error[kit-ambiguous]").count(), 1, "{}", said(&output));
    assert!(!temp.path().join("more").exists());
    let output = run(temp.path(), &["write", "jobs", "--to", "more", "--kit", "other.kit.toml"]);
    assert_eq!(code(&output), 0, "{}", said(&output));

    // A kit with a mistake is told once, and gives no sheet that leaves its limits out.
    fs::write(temp.path().join("jobs/bad.kit.toml"), "format = 1\n[shopp]\n").unwrap();
    let output = run(temp.path(), &["write", "jobs", "--to", "none"]);
    assert_eq!(code(&output), 1);
    assert_eq!(said(&output).matches("error[key-unknown]").count(), 1, "{}", said(&output));
    assert!(!temp.path().join("none").exists());
}

#[test]
fn nothing_in_a_spec_names_a_file() {
    let hostile = DEMO
        .replace("\"HW-012\"", "\"../../HW/012\"")
        .replace("Outboard bracket: crack in the clamp ear", "../../../x {{ 7*7 }}");
    let temp = folder(&[("jobs/a.repair.toml", &hostile), ("jobs/b.repair.toml", &DEMO.replace("HW-012", "HW/012"))]);
    let before = files(temp.path());
    let output = run(temp.path(), &["write", "jobs", "--to", "out/sheets"]);
    assert!(matches!(code(&output), 0 | 1), "{}", said(&output));
    for name in files(temp.path()).keys().filter(|name| !before.contains_key(*name)) {
        let stem = name.strip_prefix("out/sheets/").unwrap_or_else(|| panic!("{name} was written"));
        assert!(["a.", "b.", "a-d", "b-d"].iter().any(|start| stem.starts_with(start)), "{name}");
    }
}

#[test]
fn what_cannot_be_written_is_named() {
    let temp = folder(&[("a.repair.toml", DEMO), ("b.repair.toml", DEMO), ("taken", "a file")]);
    let output = run(temp.path(), &["write", "a.repair.toml", "--to", "taken"]);
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("cannot write taken/a-d2.svg"), "{}", said(&output));
    assert_eq!(fs::read_to_string(temp.path().join("taken")).unwrap(), "a file");

    // A folder in the way of one file: the other sheets are written.
    fs::create_dir_all(temp.path().join("sheets/a.html")).unwrap();
    let output = run(temp.path(), &["write", ".", "--to", "sheets"]);
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("cannot write sheets/a.html"), "{}", said(&output));
    assert!(temp.path().join("sheets/b.html").is_file());
    assert!(files(&temp.path().join("sheets")).keys().all(|name| !name.contains("tmp")), "nothing is left over");
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_keeps_its_old_sheets() {
    use std::os::unix::fs::PermissionsExt;
    let temp = folder(&[("a.repair.toml", DEMO)]);
    let sheets = temp.path().join("sheets");
    assert_eq!(code(&run(temp.path(), &["write", "--to", "sheets"])), 0);
    let before = files(&sheets);
    fs::write(temp.path().join("a.repair.toml"), numbered(7)).unwrap();
    fs::set_permissions(&sheets, fs::Permissions::from_mode(0o555)).unwrap();
    // Who may do anything, such as root in a container, is not kept out by rights.
    let kept_out = fs::write(sheets.join("probe"), "").is_err();
    let output = run(temp.path(), &["write", "--to", "sheets"]);
    fs::set_permissions(&sheets, fs::Permissions::from_mode(0o755)).unwrap();
    if kept_out {
        assert_eq!((code(&output), files(&sheets)), (2, before), "{}", said(&output));
        assert!(said(&output).contains("cannot write sheets/a.md"), "{}", said(&output));
    }
}

#[test]
fn two_runs_at_once_do_no_harm() {
    let temp = folder(&[]);
    for number in 0..12 {
        fs::write(temp.path().join(format!("hw-{number}.repair.toml")), numbered(number)).unwrap();
    }
    let start = || command(temp.path()).args(["write", "--to", "sheets", "--quiet"]).spawn().unwrap();
    let mut runs = [start(), start(), start()];
    assert!(runs.iter_mut().all(|run| run.wait().unwrap().code() == Some(0)));
    let together = files(&temp.path().join("sheets"));
    assert_eq!(code(&run(temp.path(), &["write", "--to", "alone"])), 0);
    assert_eq!(together, files(&temp.path().join("alone")));
    assert_eq!(together.len(), 12 * (3 + 7));
}

#[test]
fn a_kill_at_any_moment_leaves_whole_files() {
    let temp = folder(&[]);
    for number in 0..60 {
        fs::write(temp.path().join(format!("hw-{number}.repair.toml")), numbered(number)).unwrap();
    }
    assert_eq!(code(&run(temp.path(), &["write", "--to", "whole", "--as", "md,html"])), 0);
    let whole = files(&temp.path().join("whole"));
    let sheets = temp.path().join("sheets");
    let mut seen = 0;
    for enough in [1, 7, 20, 50] {
        let _ = fs::remove_dir_all(&sheets);
        let mut child = command(temp.path()).args(["write", "--to", "sheets", "--as", "md,html"]).spawn().unwrap();
        while child.try_wait().unwrap().is_none() && fs::read_dir(&sheets).map_or(0, Iterator::count) < enough {
            std::thread::yield_now();
        }
        let _ = child.kill();
        child.wait().unwrap();
        for (name, bytes) in files(&sheets) {
            // What a kill leaves of the file in work is hidden and has another name.
            assert!(whole.get(&name) == Some(&bytes) || name.starts_with(".interpass-"), "{name} is torn");
            seen += 1;
        }
    }
    assert_eq!(code(&run(temp.path(), &["write", "--to", "sheets", "--as", "md,html"])), 0);
    assert_eq!(whole.len(), 60 * (2 + 7));
    assert!(seen > 50, "no run got far enough to be killed");
}

#[test]
fn the_same_bytes_on_one_core_and_on_many() {
    let temp = folder(&[]);
    for number in 0..9 {
        fs::write(temp.path().join(format!("hw-{number}.repair.toml")), numbered(number)).unwrap();
    }
    fs::write(temp.path().join("bad.repair.toml"), "format = 1\nx = 2\n").unwrap();
    let with = |threads: &str, to: &str| {
        command(temp.path()).args(["write", "--to", to]).env("RAYON_NUM_THREADS", threads).output().unwrap()
    };
    let (one, many) = (with("1", "one"), with("8", "many"));
    assert_eq!(said(&one), said(&many));
    assert_eq!(files(&temp.path().join("one")), files(&temp.path().join("many")));
}

#[test]
fn shares_are_disjoint_and_make_up_the_whole() {
    let temp = folder(&[]);
    for number in 0..30 {
        fs::write(temp.path().join(format!("hw-{number}.repair.toml")), numbered(number)).unwrap();
    }
    let mut all = BTreeSet::new();
    for part in 1..=3 {
        let to = format!("part{part}");
        assert_eq!(
            code(&run(temp.path(), &["write", ".", "--as", "md", "--to", &to, "--share", &format!("{part}/3")])),
            0
        );
        let names: BTreeSet<String> = files(&temp.path().join(&to)).into_keys().collect();
        assert!(!names.is_empty() && all.is_disjoint(&names));
        all.extend(names);
    }
    assert_eq!(all.len(), 30 * (1 + 7));
}

#[cfg(unix)]
#[test]
fn a_closed_pipe_is_quiet_and_a_full_disk_is_not() {
    let temp = folder(&[]);
    let mut child = command(temp.path())
        .args(["tables", "physical"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    BufReader::with_capacity(16, child.stdout.take().unwrap()).read_line(&mut line).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let mut talk = String::new();
    child.stderr.take().unwrap().read_to_string(&mut talk).unwrap();
    assert_eq!(talk, "");

    let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") else { return };
    let output = command(temp.path()).args(["tables"]).stdout(full).stderr(Stdio::piped()).output().unwrap();
    assert_eq!(code(&output), 2);
    assert!(said(&output).contains("cannot write to standard output: no space left on device"), "{}", said(&output));
}

#[test]
fn a_huge_file_is_not_read_to_its_end() {
    let temp = folder(&[("big.repair.toml", &format!("format = 1\n{}", "# filling\n".repeat(1_100_000)))]);
    let output = run(temp.path(), &["check", "big.repair.toml"]);
    assert_eq!(code(&output), 1);
    assert!(said(&output).contains("syntax-too-large"), "{}", said(&output));
    if Path::new("/dev/zero").exists() {
        let output = run(temp.path(), &["check", "/dev/zero"]);
        assert_eq!(code(&output), 1, "{}", said(&output));
    }
}

/// Sends lines to a command and gives back the lines that come.
fn through(arguments: &[&str], lines: &[String]) -> (i32, Vec<serde_json::Value>) {
    let temp = folder(&[]);
    let mut child = command(temp.path()).args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let mut input = child.stdin.take().unwrap();
    let text = lines.join("\n") + "\n";
    let sender = std::thread::spawn(move || input.write_all(text.as_bytes()));
    let mut answers = String::new();
    child.stdout.take().unwrap().read_to_string(&mut answers).unwrap();
    sender.join().unwrap().unwrap();
    let answers = answers.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    (child.wait().unwrap().code().unwrap(), answers)
}

#[test]
fn lines_come_back_in_order_with_their_ids() {
    let mut lines: Vec<String> = (1..=600)
        .map(|number| format!("{{\"id\": {number}, \"metal\": \"6061\", \"thickness\": \"{}.5 mm\"}}", 1 + number % 9))
        .collect();
    lines[300] = "{\"id\": \"half".to_owned();
    lines[301] = "{\"id\": 302, \"metal\": \"6061\", \"thicknes\": \"3 mm\"}".to_owned();
    lines[302] = "{\"id\": 303, \"metal\": 6061, \"thickness\": \"3 mm\"}".to_owned();
    let (code, answers) = through(&["settings", "--lines"], &lines);
    assert_eq!((code, answers.len()), (1, 600));
    for (number, answer) in answers.iter().enumerate() {
        match number {
            300 => assert_eq!(
                (&answer["id"], &answer["findings"][0]["code"]),
                (&serde_json::Value::Null, &"syntax-json".into())
            ),
            301 | 302 => {
                assert_eq!(answer["id"], number + 1);
                assert_eq!(answer["findings"][0]["severity"], "error", "{answer}");
                assert!(
                    answer["findings"].to_string().contains(if number == 301 { "`thicknes`" } else { "metal: " }),
                    "{answer}"
                );
            }
            _ => {
                assert_eq!(answer["id"], number + 1);
                assert!(answer["figures"]["amperage"]["low"].is_number(), "{answer}");
            }
        }
    }
}

#[test]
fn a_line_is_answered_before_the_next_is_sent() {
    let temp = folder(&[]);
    let mut child = command(temp.path())
        .args(["settings", "--lines"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut answers = BufReader::new(child.stdout.take().unwrap());
    for number in 1..=3 {
        writeln!(input, "{{\"id\": {number}, \"metal\": \"6061\", \"thickness\": \"3 mm\"}}").unwrap();
        input.flush().unwrap();
        let mut answer = String::new();
        answers.read_line(&mut answer).unwrap();
        assert_eq!(serde_json::from_str::<serde_json::Value>(&answer).unwrap()["id"], number);
    }
    drop(input);
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn lines_of_specs_give_the_faces_that_files_hold() {
    let temp = folder(&[("a.repair.toml", DEMO)]);
    assert_eq!(code(&run(temp.path(), &["write", "--to", "sheets"])), 0);
    let line = |name: &str, spec: &str| serde_json::json!({ "id": name, "name": name, "spec": spec }).to_string();
    let lines = [line("a.repair.toml", DEMO), line("bad", "format = ")];
    let (status, answers) = through(&["write", "--lines", "--as", "md,html,json"], &lines);
    assert_eq!(status, 1);
    for end in ["md", "html", "json"] {
        let file = fs::read_to_string(temp.path().join(format!("sheets/a.{end}"))).unwrap();
        assert!(answers[0]["faces"][end] == file, "the {end} differs");
    }
    for number in 1..=7 {
        let file = fs::read_to_string(temp.path().join(format!("sheets/a-d{number}.svg"))).unwrap();
        assert!(answers[0]["drawings"][format!("d{number}")] == file, "drawing {number} differs");
    }
    assert_eq!(
        (&answers[1]["faces"], &answers[1]["findings"][0]["code"]),
        (&serde_json::Value::Null, &"syntax-toml".into())
    );
    let (status, answers) = through(&["check", "--lines"], &lines);
    assert_eq!(status, 1);
    assert_eq!((&answers[0]["faces"], &answers[1]["id"]), (&serde_json::Value::Null, &"bad".into()));
}

#[test]
fn a_flag_says_the_same_as_the_key_of_a_spec() {
    let temp = folder(&[("a.repair.toml", DEMO)]);
    let flags = ["settings", "--metal", "A356.0", "--temper", "T6", "--thickness", "8 mn", "--json"];
    let output = run(temp.path(), &flags);
    assert_eq!(code(&output), 1);
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let finding = &answer["findings"][0];
    fs::write(temp.path().join("b.repair.toml"), DEMO.replace("\"8 mm\"", "\"8 mn\"")).unwrap();
    let output = run(temp.path(), &["check", "b.repair.toml", "--json"]);
    let of_spec: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(
        finding["message"].as_str().unwrap(),
        format!("--thickness: {}", of_spec[0]["message"].as_str().unwrap())
    );
    assert_eq!((&finding["at"], &finding["help"]), (&serde_json::Value::Null, &of_spec[0]["help"]));
}

#[test]
fn colour_only_where_it_is_wanted() {
    let temp = folder(&[("a.repair.toml", "format = 1\nx = 2\n")]);
    let coloured = |arguments: &[&str], set: &[(&str, &str)]| {
        let output = command(temp.path()).args(arguments).envs(set.iter().copied()).output().unwrap();
        said(&output).contains('\u{1b}')
    };
    assert!(!coloured(&["check"], &[]));
    assert!(coloured(&["check", "--color", "always"], &[]));
    assert!(coloured(&["check", "--color", "always"], &[("NO_COLOR", "1")]), "what is said last holds");
    assert!(!coloured(&["check", "--color", "never"], &[("CLICOLOR_FORCE", "1")]));
}

#[test]
fn no_text_of_an_author_steers_the_terminal() {
    let name = "a\u{1b}[31mb.repair.toml";
    let temp = folder(&[(name, "format = 1\n\"x\u{202e}\" = 2\n")]);
    for arguments in
        [["check", "."], ["check", "./a\u{1b}[2J.toml"], ["settings", "--metal=\u{1b}[31m"], ["why", "\u{1b}[31m"]]
    {
        let output = run(temp.path(), &arguments);
        assert!(!said(&output).contains(['\u{1b}', '\u{202e}']), "{arguments:?}: {:?}", said(&output));
    }
}

#[test]
fn wrong_calls_exit_with_2() {
    let temp = folder(&[("a.repair.toml", DEMO), ("b.kit.toml", "format = 1\n")]);
    let calls: [&[&str]; 14] = [
        &[],
        &["draw"],
        &["write", "a.repair.toml"],
        &["write", "-", "--to", "x"],
        &["write", "-"],
        &["write", "b.kit.toml", "--to", "x"],
        &["write", ".git", "--to", "x"],
        &["write", "--to", "x", "--kit", "missing.kit.toml"],
        &["check", "--share", "9/8"],
        &["check", "missing.repair.toml"],
        &["why", "a.repair.toml", "colour"],
        &["tables", "nothing"],
        &["tables", "alloy", "nothing"],
        &["schema", "sheet"],
    ];
    for call in calls {
        let output = command(temp.path()).args(call).stdin(Stdio::null()).output().unwrap();
        assert_eq!(code(&output), 2, "{call:?}: {}", said(&output));
        assert!(!output.stderr.is_empty() || !output.stdout.is_empty(), "{call:?}");
    }
    assert_eq!(files(temp.path()).len(), 2, "nothing was written");
}
