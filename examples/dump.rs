use interpass::sheet::{self, Block, Cell};
fn c(x: &Cell) -> String {
    let mut s = x.text.clone();
    if !x.basis.is_empty() { s += &format!(" {}", x.basis); }
    for k in &x.cites { s += &format!(" [^{k}]"); }
    s
}
fn main() {
    let mut args = std::env::args().skip(1);
    let spec_path = args.next().unwrap();
    let kit_path = args.next();
    let text = std::fs::read_to_string(spec_path).unwrap();
    let (spec, f) = interpass::spec::read(&text);
    for x in &f { eprintln!("{:?} {}", x.code, x.message); }
    let spec = spec.unwrap();
    let kit = kit_path.filter(|p| p != "-").map(|p| interpass::kit::read(&std::fs::read_to_string(p).unwrap()).0.unwrap());
    let (job, f) = interpass::engine::job::check(&spec, kit.as_ref());
    for x in &f { eprintln!("{:?} {}", x.code, x.message); }
    let worked = interpass::engine::work_out(&job);
    for x in &worked.findings { eprintln!("{:?} {}", x.code, x.message); }
    let judgement = interpass::rules::judge(&job, &worked);
    for x in &judgement.findings { eprintln!("{:?} {}", x.code, x.message); }
    let s = sheet::build(&job, &worked, &judgement, "5e0c41b792da77");
    println!("# {} rev {}: {}\n**{}.** {}\nseal {}", s.number, s.revision, s.title, s.banner, s.decision_text, s.seal);
    for sec in &s.sections {
        println!("\n## {} {} {}", sec.id, sec.title, sec.not_required);
        for b in &sec.blocks {
            match b {
                Block::Text { text, lead } => println!("**{lead}** {}\n", c(text)),
                Block::Prose { markdown } => println!("{markdown}\n"),
                Block::Table(t) => {
                    println!("\n({}) {} fill {:?}\n| {} |", t.key, t.caption, t.fill, t.head.join(" | "));
                    for r in &t.rows { println!("| {} |", r.iter().map(c).collect::<Vec<_>>().join(" | ")); }
                    println!();
                }
                Block::Caution(k) => println!("> **{}: {}.** {} {} (before {}) {:?}", k.signal, k.title, k.hurts, k.action, k.before, k.cites),
                Block::Step(k) => println!("- [ ] **{}** {}{}", k.id, c(&k.action), if k.own { " (own)" } else { "" }),
                Block::Hold(h) => println!("\n| HOLD `{}` | {} |\n| {} | rows {:?}\n", h.id, h.boxes.join(" | "), c(&h.criterion), h.rows),
                Block::List { items } => for i in items { println!("  * {}", c(i)); },
                Block::Alert { title, items } => { println!("!! {title}"); for i in items { println!("  ! {}", c(i)); } }
            }
        }
    }
    for n in &s.sources { println!("[^{}]: {}", n.key, n.text); }
}
