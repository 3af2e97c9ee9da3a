//! The smallcast binary: parse, dispatch, print the error and its hint.

fn main() -> std::process::ExitCode {
    std::process::ExitCode::SUCCESS
}
