//! Holds in a decoder that panics.
//!
//! Pictures come from anywhere, and the decoders are large programs of other people's: on bytes
//! nobody thought of one may panic instead of returning an error. The maker should then read that
//! the picture is damaged, not see the program fall. A decoder's state is thrown away with the
//! panic, so nothing half-made is seen afterwards.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    /// Whether this thread is inside [`contained`].
    static HELD: Cell<bool> = const { Cell::new(false) };
}

/// Runs `work`; `None` when it panicked. The panic's message stays off the terminal.
pub(super) fn contained<T>(work: impl FnOnce() -> T) -> Option<T> {
    keep_quiet();
    let before = HELD.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(work));
    HELD.set(before);
    done.ok()
}

/// Puts a hook before the one that prints panics, once: it passes on every panic but those of
/// threads inside [`contained`].
fn keep_quiet() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let print = panic::take_hook();
        panic::set_hook(Box::new(move |info| {
            if !HELD.get() {
                print(info);
            }
        }));
    });
}

#[cfg(test)]
mod tests {
    use super::contained;

    #[test]
    fn a_panic_ends_at_the_wall_and_work_goes_on() {
        assert_eq!(contained(|| panic!("a decoder's own fault")), None::<u8>);
        assert_eq!(contained(|| 7), Some(7));
    }

    #[test]
    fn a_panic_inside_another_wall_leaves_the_outer_one_standing() {
        let outer = contained(|| {
            let inner = contained(|| panic!("inner"));
            assert_eq!(inner, None::<u8>);
            panic!("outer")
        });
        assert_eq!(outer, None::<u8>);
    }
}
