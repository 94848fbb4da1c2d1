//! A panic is a fault of the program: in one document of many it is caught and told, anywhere else it ends the program
//! with exit code 2, and never with a trace.

use std::cell::{Cell, RefCell};
use std::panic::{self, AssertUnwindSafe};

thread_local! {
    static INSIDE: Cell<bool> = const { Cell::new(false) };
    static LAST: RefCell<String> = const { RefCell::new(String::new()) };
}

/// Makes every panic of this process quiet or short: a caught one is kept for [`catch`], any other one is told in one
/// line and ends the program with exit code 2.
pub(crate) fn install() {
    panic::set_hook(Box::new(|info| {
        let payload = info.payload();
        let message = payload.downcast_ref::<&str>().copied();
        let message = message.or_else(|| payload.downcast_ref::<String>().map(String::as_str)).unwrap_or("no message");
        let place = info.location().map_or_else(|| "an unknown place".to_owned(), ToString::to_string);
        let text = format!("{message}, at {place}");
        if INSIDE.get() {
            LAST.with_borrow_mut(|last| *last = text);
        } else {
            use std::io::Write;
            let _ = writeln!(std::io::stderr(), "error: {}", super::fault::Fault::Internal(text));
            std::process::exit(2);
        }
    }));
}

/// Does some work, and gives back what it panicked with if it did.
pub(crate) fn catch<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    let outer = INSIDE.replace(true);
    let result = panic::catch_unwind(AssertUnwindSafe(work));
    INSIDE.set(outer);
    result.map_err(|_| LAST.with_borrow_mut(std::mem::take))
}

#[cfg(test)]
mod tests {
    #[test]
    fn a_panic_is_caught_with_its_message_and_place() {
        let usual = std::panic::take_hook();
        super::install();
        let caught = super::catch(|| {
            let none: Option<u8> = std::hint::black_box(None);
            none.expect("a pass has no number")
        });
        std::panic::set_hook(usual);
        let text = caught.unwrap_err();
        assert!(text.starts_with("a pass has no number, at ") && text.contains("guard.rs:"), "{text}");
        assert_eq!(super::catch(|| 3), Ok(3));
    }
}
