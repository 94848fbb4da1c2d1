//! Section 4: the opening is tested before anything is welded.

use super::Section;
use super::context::{Context, Say};
use super::penetrant::Test;
use super::set_up::wipe;
use super::writer::Writer;
use crate::engine::FigureName;

/// Section 4.
pub(super) fn section(context: &Context<'_>) -> Section {
    let mut writer = Writer::new(context, "4");
    writer.step("measure");
    if context.penetrant() {
        let say = writer.say("degrease", "").with("cleaner", wipe(context));
        writer.say_step("degrease", say);
        Test::Opening.write(&mut writer);
    } else {
        let say = writer.say("degrease", "").with("cleaner", wipe(context));
        writer.say_step("degrease", say);
        writer.step("look");
    }
    if context.magnetic_particles() {
        writer.step("magnetic");
    }
    let two = context.two_sided() && context.is_crack() && context.through();
    // What is left below a groove from one side still holds the crack: the root melts it.
    let left = context.part(FigureName::Groove, "left-1").is_some_and(|(left, _)| left > 0.0);
    let land = left && context.is_crack() && context.through();
    let criterion = match (context.penetrant(), two, land) {
        (true, true, _) => "opening-two",
        (true, false, true) => "opening-land",
        (true, false, false) => "opening-none",
        (false, ..) => "opening-look",
    };
    writer.hold("opening", Say::of("sections", format!("hold/{criterion}")), &[]);
    writer.done()
}
