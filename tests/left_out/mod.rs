//! What a machine lacks: tests that need it are left out, and a line says so.

use std::collections::BTreeSet;
use std::io::Write;
use std::sync::Mutex;

/// Where this is set, whatever would be left out fails: `tests/run` has to have tried everything.
const ALL: &str = "SMALLCAST_TESTS_ALL";

/// Says, once in each program of tests, what is missing and how it is had.
///
/// # Panics
/// Where everything has to be tried.
pub fn left_out(missing: &'static str, remedy: &str) {
    static SAID: Mutex<BTreeSet<&str>> = Mutex::new(BTreeSet::new());
    assert!(std::env::var_os(ALL).is_none(), "{missing}: {remedy}");
    if SAID.lock().is_ok_and(|mut said| said.insert(missing)) {
        // What a passing test prints by its macros is not shown.
        let _ = writeln!(std::io::stderr(), "left out for want of {missing}: {remedy}");
    }
}
