//! Writers that are killed, and writers that meet: no entry that was reported is lost, none is doubled, and the next
//! `issue` works.

use super::shop::{SPEC, Shop, code, command, said};
use interpass::ledger::{NAME, read};
use std::fs;
use std::io::Read;
use std::process::Stdio;
use std::time::{Duration, Instant};

/// Kills of writers.
const KILLS: usize = 500;
/// Of these, kills that fall between the start of the line and the report of it.
const IN_THE_LINE: usize = 100;
/// How often a worker looks at the file.
const LOOK: Duration = Duration::from_micros(50);
/// Entries of one ledger, so that reading it stays quick.
const ENTRIES: usize = 10;
/// Kills after which the test gives up where too few of them fall where they should.
const MOST: usize = 4 * KILLS;

/// A random number below `most`, the same in every run.
fn random(state: &mut u64, most: u64) -> u64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 33) % most
}

/// What became of the killed writers of one worker.
#[derive(Debug, Default)]
struct Tally {
    kills: usize,
    /// The line had begun, or was there, and nothing had been reported.
    in_the_line: usize,
    torn: usize,
    /// The writer had done its work before the kill.
    late: usize,
}

/// A spec of a number of its own, with a long text, so that its line takes longer to write.
fn spec(number: usize) -> String {
    let summary = "What happened, at length. ".repeat(80);
    let text = SPEC.replace("\"T-1\"", &format!("\"K-{number}\""));
    text.replace("reason = \"First issue\"\n", &format!("reason = \"First issue\"\nsummary = \"{summary}\"\n"))
}

/// Kills writers of ledgers of its own until it has made its share of kills.
fn worker(seed: u64) -> Tally {
    let (mut state, mut tally, mut number) = (seed, Tally::default(), 0);
    while tally.kills < KILLS / 2 || (tally.in_the_line < IN_THE_LINE / 2 && tally.kills < MOST / 2) {
        let shop = Shop::new(&spec(0));
        let started = Instant::now();
        assert_eq!(code(&shop.issue()), 0);
        // How long a writer takes, here and now.
        let usual = u64::try_from(started.elapsed().as_micros()).unwrap();
        let mut reported = vec!["K-0".to_owned()];
        for _ in 0..ENTRIES {
            number += 1;
            shop.write("job.repair.toml", &spec(number));
            let before = shop.bytes().len();
            // One in five at any moment, the others as soon as the file is seen to grow, or soon after.
            let wait =
                (random(&mut state, 5) == 0).then(|| Duration::from_micros(random(&mut state, usual + usual / 4)));
            let said = kill(&shop, before, wait, random(&mut state, 3) * 30);
            tally.kills += 1;
            check(&shop, before, said.as_deref(), &format!("K-{number}"), &mut reported, &mut tally);
        }
    }
    tally
}

/// Starts a writer and kills it; what it had reported by then.
fn kill(shop: &Shop, before: usize, wait: Option<Duration>, more: u64) -> Option<String> {
    let path = shop.0.path().join(NAME);
    let mut child = command(shop.0.path())
        .args(["issue", "job.repair.toml"])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    match wait {
        Some(wait) => std::thread::sleep(wait),
        None => {
            while fs::metadata(&path).is_ok_and(|data| data.len() == before as u64)
                && child.try_wait().unwrap().is_none()
            {
                // A worker that never rests would take the writer's own core away.
                std::thread::sleep(LOOK);
            }
            std::thread::sleep(Duration::from_micros(more));
        }
    }
    // The same child that was started: it is killed by its id, with SIGKILL.
    child.kill().unwrap();
    let mut said = String::new();
    child.stdout.take().unwrap().read_to_string(&mut said).unwrap();
    child.wait().unwrap();
    said.contains("Entered in").then_some(said)
}

fn check(shop: &Shop, before: usize, said: Option<&str>, own: &str, reported: &mut Vec<String>, tally: &mut Tally) {
    let bytes = shop.bytes();
    let ledger = read(&bytes);
    assert!(ledger.is_sound(), "{own}: {:?}", ledger.findings);
    let numbers = |ledger: &interpass::ledger::Ledger| -> Vec<String> {
        ledger.entries.iter().map(|(_, entry)| entry.number.clone()).collect()
    };
    let there = numbers(&ledger).contains(&own.to_owned());
    match said {
        Some(_) => {
            assert!(there, "{own} was reported and is lost");
            tally.late += 1;
        }
        None if bytes.len() > before => tally.in_the_line += 1,
        None => {}
    }
    tally.torn += usize::from(ledger.tail.is_some());
    // The next one works, whatever the kill left, and enters what is not there and nothing else.
    let next = shop.issue();
    assert_eq!(code(&next), 0, "{own}: {}", self::said(&next));
    assert_eq!(self::said(&next).contains("Entered in"), !there, "{own}: {}", self::said(&next));
    reported.push(own.to_owned());
    let ledger = read(&shop.bytes());
    assert!(ledger.findings.is_empty() && ledger.tail.is_none(), "{own}: {:?}", ledger.findings);
    assert_eq!(numbers(&ledger), *reported, "none is lost, none is doubled, in the order in which they were entered");
}

#[test]
fn writers_that_are_killed_lose_and_double_nothing() {
    let tallies: Vec<Tally> = std::thread::scope(|scope| {
        let workers: Vec<_> = (1..=2).map(|seed| scope.spawn(move || worker(seed))).collect();
        workers.into_iter().map(|worker| worker.join().unwrap()).collect()
    });
    eprintln!("{tallies:?}");
    let sum = |of: fn(&Tally) -> usize| tallies.iter().map(of).sum::<usize>();
    assert!(sum(|tally| tally.kills) >= KILLS, "{tallies:?}");
    assert!(sum(|tally| tally.in_the_line) >= IN_THE_LINE, "too few kills fell between line and report: {tallies:?}");
}

#[test]
fn writers_that_meet_all_enter_and_one_revision_is_entered_once() {
    let shop = Shop::new(SPEC);
    let mut children = Vec::new();
    for number in 0..8 {
        let name = format!("k{number}.repair.toml");
        shop.write(&name, &spec(number));
        // Each twice.
        for _ in 0..2 {
            let child =
                command(shop.0.path()).args(["issue", &name]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn();
            children.push(child.unwrap());
        }
    }
    let mut entered = 0;
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert_eq!(code(&output), 0, "{}", said(&output));
        entered += usize::from(said(&output).contains("Entered in"));
    }
    let ledger = read(&shop.bytes());
    assert!(ledger.findings.is_empty() && ledger.tail.is_none(), "{:?}", ledger.findings);
    let mut numbers: Vec<&str> = ledger.entries.iter().map(|(_, entry)| entry.number.as_str()).collect();
    numbers.sort_unstable();
    assert_eq!((entered, numbers.len()), (8, 8));
    numbers.dedup();
    assert_eq!(numbers.len(), 8);
}
