//! What several tests share.
#![allow(dead_code, unreachable_pub, reason = "each test uses its own part")]

pub mod browser;
pub mod calculator;

/// A short spec of a crack 40 mm long: alloy, form, thickness, joint, and further lines of `[weld]`.
pub fn spec_text(alloy: &str, form: &str, thickness: &str, joint: &str, weld: &str) -> String {
    format!(
        "format = 1\n[procedure]\nnumber = \"T-1\"\ntitle = \"t\"\nrevision = \"A\"\n[metal]\nalloy = \"{alloy}\"\nform = \"{form}\"\n\
         thickness = \"{thickness}\"\n[damage]\nkind = \"crack\"\nlength = \"40 mm\"\n[weld]\njoint = \"{joint}\"\n{weld}"
    )
}
