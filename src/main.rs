//! The smallcast binary: parse, dispatch, print the error and its hint.

mod cli;

fn main() -> std::process::ExitCode {
    cli::run()
}
