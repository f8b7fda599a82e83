//! The `lineproof` program.

fn main() -> std::process::ExitCode {
    lineproof::cli::run(std::env::args_os())
}
