//! A system that allows a process only so much memory.
//!
//! Where memory runs out, Rust ends the program with words of its own, and no safe code of ours runs any more. So where
//! the system sets a bound (`ulimit -v`), a second process of the same program does the work, and the first says in our
//! words what became of it. Without a bound nothing is different. `edit` is left alone: it waits for its maker, and
//! whoever ends it means the process that was begun. Other systems than Linux do not tell of a bound where we look.

use std::env;
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, Command, ExitCode, ExitStatus, Stdio};

use smallcast::error::Error;

use super::report;

/// Tells the second process that it is one.
const WATCHED: &str = "SMALLCAST_WATCHED";

/// Where Linux tells of bounds, and the line of that on memory, in bytes.
const BOUNDS: &str = "/proc/self/limits";
const MEMORY: &str = "Max address space";

/// What Rust's last words begin with: nothing of that is passed on before it is known why they were said.
const LAST_WORDS: [&str; 3] = ["memory allocation of ", "thread '", "fatal runtime error"];

/// What they hold where memory ran out: an allocation, or a thread, that the system refused (ENOMEM, EAGAIN).
const REFUSED: [&str; 3] = ["memory allocation of ", "os error 12", "os error 11"];

/// Does the work in a second process if memory is bounded; none where this process is to do it.
pub fn watched() -> Option<ExitCode> {
    if env::var_os(WATCHED).is_some() {
        begin_threads();
        return None;
    }
    let most = bound(&fs::read_to_string(BOUNDS).ok()?)?;
    let words: Vec<_> = env::args_os().skip(1).collect();
    if words.first().is_some_and(|command| command == "edit") {
        begin_threads();
        return None;
    }
    let program = env::current_exe().ok()?;
    let begun = Command::new(program).args(words).env(WATCHED, "1").stderr(Stdio::piped()).spawn();
    let (status, last) = hear(begun.ok()?)?;
    Some(answer(status, &last, most))
}

/// Threads that share the work; if the system refuses them, this one does it alone.
fn begin_threads() {
    if rayon::ThreadPoolBuilder::new().build_global().is_err() {
        let alone = rayon::ThreadPoolBuilder::new().num_threads(1).use_current_thread();
        // Whoever comes second finds the threads that are there.
        let _ = alone.build_global();
    }
}

/// The bytes a process may have, if they are bounded.
fn bound(told: &str) -> Option<u64> {
    let line = told.lines().find_map(|line| line.strip_prefix(MEMORY))?;
    line.split_whitespace().next()?.parse().ok()
}

/// Passes on what a process says on standard error, but for last words, and waits for its end.
fn hear(mut begun: Child) -> Option<(ExitStatus, String)> {
    let mut last = String::new();
    if let Some(said) = begun.stderr.take() {
        for line in BufReader::new(said).split(b'\n').map_while(Result::ok) {
            let shown = String::from_utf8_lossy(&line);
            if !last.is_empty() || LAST_WORDS.iter().any(|words| shown.starts_with(words)) {
                last.push_str(&shown);
                last.push('\n');
            } else {
                let _ = std::io::stderr().write_all(&[&line[..], b"\n"].concat());
            }
        }
    }
    Some((begun.wait().ok()?, last))
}

/// Says what became of the work.
fn answer(status: ExitStatus, last: &str, most: u64) -> ExitCode {
    if !status.success() && REFUSED.iter().any(|words| last.contains(words)) {
        report::error(&Error::OutOfMemory { most: Some(most) });
        return ExitCode::from(super::WRONG_USE);
    }
    let _ = std::io::stderr().write_all(last.as_bytes());
    let code = status.code().and_then(|code| u8::try_from(code).ok());
    code.map_or(ExitCode::FAILURE, ExitCode::from)
}
