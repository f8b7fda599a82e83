//! The program at the prompt: sessions that are also the guide, and a museum of wrong inputs.
//!
//! `TRYCMD=overwrite cargo test --test cli` writes the sessions anew; read every changed line before you keep it.
#![cfg(feature = "cli")]

#[cfg(feature = "report")]
mod figures;
mod planned;
mod refused;

#[test]
fn the_guide_says_what_the_program_says() {
    trycmd::TestCases::new().case("tests/cli/guide/*.md");
}

#[test]
fn the_museum_of_wrong_inputs_says_what_the_program_says() {
    trycmd::TestCases::new().case("tests/cli/museum/*.md");
}
