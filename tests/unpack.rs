//! `unpack`: a received sheet gives its spec and kit back; what was changed in it is found and named, and nothing is
//! written that was not sealed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test may stop")]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "a test is no part of the library")]

#[path = "ledger/shop.rs"]
#[allow(dead_code, reason = "each test uses its own part")]
mod shop;

use interpass::seal::received::{Touched, of_html};
use interpass::seal::{page, parts};
use shop::{SPEC, Shop, code, said};
use std::fs;
use std::ops::Range;
use std::path::Path;

const KIT: &str = include_str!("../specs/kits/harbour.kit.toml");

/// A shop with a kit and an issued sheet, as files.
fn issued() -> (Shop, Vec<u8>) {
    let shop = Shop::new(SPEC);
    shop.write("shop.kit.toml", KIT);
    let done = shop.issue();
    assert_eq!(code(&done), 0, "{}", said(&done));
    let html = shop.sheet("html").into_bytes();
    (shop, html)
}

fn at(html: &[u8], mark: &str, from: usize) -> usize {
    from + html[from..]
        .windows(mark.len())
        .position(|bytes| bytes == mark.as_bytes())
        .unwrap_or_else(|| panic!("no {mark}"))
}

/// Between two marks.
fn between(html: &[u8], open: &str, close: &str) -> Range<usize> {
    let begin = at(html, open, 0) + open.len();
    begin..at(html, close, begin)
}

/// What a byte belongs to, by its place in the file as it was written.
struct Map {
    spec: Range<usize>,
    kit: Range<usize>,
    figures: Range<usize>,
    seal: Range<usize>,
    sections: Vec<(String, usize)>,
    main: usize,
}

impl Map {
    fn of(html: &[u8]) -> Self {
        let data = between(html, "<script type=\"application/json\" id=\"sheet\">", "</script>");
        let key = |key: &str| at(html, &format!("\n \"{key}\": "), data.start) + 2;
        let mut sections = Vec::new();
        let main = at(html, "</main>", 0);
        let mut from = 0;
        while let Some(next) = html[from..main].windows(21).position(|bytes| bytes == b"<section id=\"section-") {
            let begin = from + next;
            let id = between(&html[begin..], "id=\"", "\"");
            sections.push((String::from_utf8(html[begin..][id].to_vec()).unwrap(), begin));
            from = begin + 1;
        }
        assert!(sections.len() > 12, "{sections:?}");
        Map {
            spec: between(html, "<pre id=\"spec\">\n", "</pre>"),
            kit: between(html, "<pre id=\"kit\">\n", "</pre>"),
            figures: key("figures")..key("decision"),
            seal: key("seal")..data.end,
            sections,
            main,
        }
    }

    /// What a change at this byte has to be called; none for a place on the page that has no name here.
    fn name(&self, at: usize) -> (Touched, bool) {
        let inside = [
            (&self.spec, Touched::Spec),
            (&self.kit, Touched::Kit),
            (&self.figures, Touched::Figures),
            (&self.seal, Touched::Seal),
        ];
        if let Some((_, touched)) = inside.into_iter().find(|(range, _)| range.contains(&at)) {
            return (touched, true);
        }
        let section = self.sections.iter().rev().find(|(_, begin)| *begin <= at && at < self.main);
        section.map_or((Touched::Page(String::new()), false), |(id, _)| (Touched::Page(id.clone()), true))
    }
}

fn next(state: &mut u64) -> usize {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    usize::try_from(*state >> 33).unwrap()
}

#[test]
fn a_whole_sheet_gives_its_spec_and_its_kit_back() {
    let (shop, _) = issued();
    for end in ["html", "json"] {
        shop.sheet(end);
        let sheet = format!("out/job.{end}");
        let to = format!("back-{end}");
        let output = shop.run(&["unpack", &sheet, "--to", &to]);
        assert_eq!(code(&output), 0, "{}", said(&output));
        assert!(
            said(&output).contains("T-1 revision A, seal ") && said(&output).contains("the seal holds"),
            "{}",
            said(&output)
        );
        let read = |name: &str| fs::read_to_string(shop.0.path().join(&to).join(name)).unwrap();
        assert_eq!((read("job.repair.toml").as_str(), read("job.kit.toml").as_str()), (SPEC, KIT));
        assert_eq!(fs::read_dir(shop.0.path().join(&to)).unwrap().count(), 2, "nothing else");
        // And once more: the same files are there.
        assert!(said(&shop.run(&["unpack", &sheet, "--to", &to])).contains("is there already, the same"));
    }
}

#[test]
fn a_thousand_changes_of_one_byte_are_found_and_named_for_what_they_touch() {
    let (_, html) = issued();
    let map = Map::of(&html);
    let whole = of_html(&html).unwrap();
    assert_eq!((whole.whole, whole.touched.as_deref(), whole.holds), (true, Some(&[][..]), Some(true)));
    let (mut state, mut seen) = (20_260_907_u64, [0_usize; 5]);
    let ranges = [&map.spec, &map.kit, &map.figures, &map.seal];
    for number in 0..1000 {
        // Anywhere in the file, and every tenth one in each of the short stretches, so that none goes untried.
        let place = match ranges.get(number % 10) {
            Some(range) if number % 10 < 4 && number % 3 == 0 => range.start + next(&mut state) % range.len(),
            _ => next(&mut state) % html.len(),
        };
        let mut changed = html.clone();
        changed[place] = changed[place].wrapping_add(u8::try_from(1 + next(&mut state) % 255).unwrap());
        let (expected, exact) = map.name(place);
        let found = of_html(&changed).unwrap_or_else(|| panic!("byte {place}: no sheet"));
        assert!(!found.whole, "byte {place} passed unseen");
        let touched = found.touched.unwrap_or_else(|| panic!("byte {place}: no list"));
        let [only] = touched.as_slice() else { panic!("byte {place}: {touched:?}") };
        match (&expected, only) {
            (Touched::Page(_), Touched::Page(section)) if !exact => {
                assert!(!section.starts_with("section-"), "byte {place} lies in no section: {section}");
            }
            _ => assert_eq!(*only, expected, "byte {place}"),
        }
        seen[match only {
            Touched::Spec => 0,
            Touched::Kit => 1,
            Touched::Figures => 2,
            Touched::Seal => 3,
            Touched::Page(_) => 4,
        }] += 1;
        if !matches!(only, Touched::Spec | Touched::Kit) {
            assert_eq!((found.spec.as_str(), found.kit.as_deref()), (SPEC, Some(KIT)), "byte {place}");
        }
    }
    eprintln!("spec {}, kit {}, figures {}, seal {}, page {}", seen[0], seen[1], seen[2], seen[3], seen[4]);
    assert!(seen.iter().all(|count| *count >= 20), "{seen:?}");
}

#[test]
fn the_program_says_what_a_change_touches_and_writes_nothing_that_was_not_sealed() {
    let (shop, html) = issued();
    let map = Map::of(&html);
    let mut state = 7_u64;
    for (range, words, writes) in [
        (map.spec.clone(), "the spec that rides in it was changed", false),
        (map.kit.clone(), "the kit that rides in it was changed", false),
        (map.figures.clone(), "the figures in its data were changed", true),
        (map.seal.clone(), "the seal in its data was changed", false),
        (map.sections[7].1..map.sections[8].1, "the page was changed: section 6, Preheat and weld", true),
    ] {
        for _ in 0..3 {
            let mut changed = html.clone();
            let place = range.start + next(&mut state) % range.len();
            changed[place] ^= 1;
            fs::write(shop.0.path().join("got.html"), &changed).unwrap();
            let output = shop.run(&["unpack", "got.html", "--to", "got"]);
            assert_eq!(code(&output), 1, "byte {place}: {}", said(&output));
            assert!(said(&output).contains(words), "byte {place}, {words}: {}", said(&output));
            let written = shop.0.path().join("got/got.repair.toml").exists();
            assert_eq!(written, writes, "byte {place}: {}", said(&output));
            let _ = fs::remove_dir_all(shop.0.path().join("got"));
        }
    }
}

/// Empties both lists of parts and the digest, and makes them anew, as a forger with our own program would.
fn forged(mut html: Vec<u8>) -> Vec<u8> {
    for mark in [parts::BEFORE_FOOT, parts::BEFORE_HEAD] {
        let begin = at(&html, mark, 0) + mark.len();
        let end = at(&html, "\"", begin);
        html.drain(begin..end);
    }
    let slot = at(&html, page::BEFORE_SLOT, 0) + page::BEFORE_SLOT.len();
    html[slot..slot + 64].copy_from_slice(page::BLANK.as_bytes());
    assert!(parts::fill(&mut html) && page::fill(&mut html));
    html
}

/// Replaces the first text after a mark.
fn replaced(html: &[u8], after: &str, from: &str, to: &str) -> Vec<u8> {
    let begin = at(html, from, at(html, after, 0));
    [&html[..begin], to.as_bytes(), &html[begin + from.len()..]].concat()
}

#[test]
fn a_forger_who_makes_all_digests_anew_is_found_by_making_the_sheet_again() {
    let (shop, html) = issued();
    assert_eq!(forged(html.clone()), html, "the forger works as the program does");
    let aim = "aim ";
    let begin = at(&html, aim, at(&html, "id=\"section-6\"", 0)) + aim.len();
    let amps = String::from_utf8_lossy(&html[begin..begin + 3]).into_owned();
    for (name, page, words) in [
        ("page", replaced(&html, "id=\"section-6\"", &format!("aim {amps}"), "aim 295"), "it reads \""),
        ("spec", replaced(&html, "<pre id=\"spec\">", "\"6 mm\"", "\"9 mm\""), "the seal is not that of"),
        ("figures", replaced(&html, "\"sealed\":", &format!("\"{amps}\""), "\"295\""), "the figures in its data"),
    ] {
        assert_ne!(page, html);
        fs::write(shop.0.path().join("got.html"), forged(page)).unwrap();
        let output = shop.run(&["unpack", "got.html", "--to", name]);
        assert_eq!(code(&output), 1, "{name}: {}", said(&output));
        assert!(said(&output).contains(words), "{name}: {}", said(&output));
        assert_eq!(shop.0.path().join(name).join("got.repair.toml").exists(), name != "spec", "{}", said(&output));
        if name == "page" {
            assert!(
                said(&output).contains("295 A") && said(&output).contains(&format!("{amps} A")),
                "{}",
                said(&output)
            );
        }
    }
}

#[test]
fn a_change_in_a_json_sheet_is_named_by_its_key() {
    let (shop, _) = issued();
    let json = shop.sheet("json");
    let set = json.split("\"amperage\": {").nth(1).unwrap().split("\"set\": ").nth(1).unwrap();
    let set = set.split([',', '}', '\n']).next().unwrap().trim();
    for (from, to, words, writes) in [
        (format!("\"set\": {set}"), "\"set\": 295".to_owned(), "figures.amperage.set", true),
        ("\"decision\": \"".to_owned(), "\"decision\": \"x".to_owned(), "the data was changed: decision", true),
        ("thickness = \\\"6 mm".to_owned(), "thickness = \\\"9 mm".to_owned(), "the seal is not that of", false),
        ("\"seal\": \"".to_owned(), "\"seal\": \"0".to_owned(), "the seal is not that of", false),
    ] {
        assert!(json.contains(&from), "no {from}");
        fs::write(shop.0.path().join("got.json"), json.replacen(&from, &to, 1)).unwrap();
        let output = shop.run(&["unpack", "got.json", "--to", "got"]);
        assert!(code(&output) == 1 && said(&output).contains(words), "{words}: {}", said(&output));
        assert_eq!(shop.0.path().join("got/got.repair.toml").exists(), writes, "{words}: {}", said(&output));
        let _ = fs::remove_dir_all(shop.0.path().join("got"));
    }
}

#[test]
fn a_sheet_of_another_version_is_doubted_and_not_refused() {
    let (shop, html) = issued();
    // As an older program with another figure would have sealed it.
    let old = of_html(&html).unwrap();
    let mut figures = old.sealed.clone().unwrap();
    let text = String::from_utf8(html.clone()).unwrap();
    let set = figures["amperage"]["set"].as_str().unwrap().to_owned();
    figures["amperage"]["set"] = "95".into();
    let kit = interpass::seal::Canonical::of(KIT);
    let seal = interpass::seal::seal_of(&interpass::seal::Canonical::of(SPEC), &kit, &figures);
    let sealed = text.find("\"sealed\":").unwrap();
    let (head, tail) = text.split_at(sealed);
    let begin = tail.find("\"amperage\":").unwrap();
    let (middle, tail) = tail.split_at(begin);
    let tail = tail.replacen(&format!("\"set\": \"{set}\""), "\"set\": \"95\"", 1).replace(&old.seal, seal.hex());
    let tail = tail.replace(interpass::reference::edition(), "000000000000");
    let page = forged(format!("{head}{middle}{tail}").into_bytes());
    assert_eq!(of_html(&page).unwrap().holds, Some(true));
    fs::write(shop.0.path().join("got.html"), page).unwrap();
    let output = shop.run(&["unpack", "got.html", "--to", "got"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    for words in ["warning[seal-doubt]", "with tables 000000000000", "figure: First pass cold 95 A, now "] {
        assert!(said(&output).contains(words), "no {words}: {}", said(&output));
    }
    assert_eq!(fs::read_to_string(shop.0.path().join("got/got.repair.toml")).unwrap(), SPEC);
}

#[test]
fn nothing_is_overwritten_and_no_path_comes_out_of_a_sheet() {
    let (shop, html) = issued();
    fs::write(shop.0.path().join("got.html"), &html).unwrap();
    fs::create_dir(shop.0.path().join("to")).unwrap();
    shop.write("to/got.kit.toml", "mine");
    let output = shop.run(&["unpack", "got.html", "--to", "to"]);
    assert!(code(&output) == 2 && said(&output).contains("nothing is overwritten"), "{}", said(&output));
    assert!(!shop.0.path().join("to/got.repair.toml").exists(), "half of it was written");
    assert_eq!(fs::read_to_string(shop.0.path().join("to/got.kit.toml")).unwrap(), "mine");
    for name in ["no.html", "no.json"] {
        for bytes in [&b""[..], b"{}", b"<pre id=\"spec\">\n</pre>", b"\xff\xfe\x00"] {
            fs::write(shop.0.path().join(name), bytes).unwrap();
            let output = shop.run(&["unpack", name]);
            assert!(code(&output) == 2 && said(&output).contains("is no sheet"), "{}", said(&output));
        }
    }
    fs::write(shop.0.path().join("half.html"), &html[..html.len() / 2]).unwrap();
    let output = shop.run(&["unpack", "half.html"]);
    assert!(code(&output) == 2 && said(&output).contains("is a damaged sheet"), "{}", said(&output));
    for name in ["job.repair.toml", "-", "out", "missing.html"] {
        assert_eq!(code(&shop.run(&["unpack", name])), 2, "{name}");
    }
    assert!(!Path::new("got.repair.toml").exists());
}

#[test]
fn a_sheet_that_is_cut_or_grown_anywhere_is_told() {
    let (_, html) = issued();
    let mut state = 11_u64;
    for _ in 0..60 {
        let place = next(&mut state) % html.len();
        let mut longer = html.clone();
        longer.insert(place, b'0');
        let mut shorter = html.clone();
        shorter.remove(place);
        for changed in [&longer, &shorter, &html[..place].to_vec()] {
            if let Some(found) = of_html(changed) {
                assert!(!found.whole, "byte {place}");
                assert_ne!(found.touched.as_deref(), Some(&[][..]), "byte {place}");
            }
        }
    }
}
