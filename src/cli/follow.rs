//! `--follow`: a growing log, judged again at every look.

use std::error::Error;
use std::io::IsTerminal;
use std::path::Path;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use jiff::Zoned;

use super::args::typed;
use super::print;
use crate::check::{Finding, dry, tight};
use crate::out::text::{self, Now, Style};
use crate::quantity::{self, PressureAbs, Quantity, Typed, UnitSystem};
use crate::record::logger::{Follower, LoggerError, Look};

/// Whether and how often a log is looked at again.
#[derive(Debug, clap::Args)]
pub(super) struct Follow {
    /// Look at the log again and again while it grows; Ctrl-C ends with the answer in full
    #[arg(long)]
    follow: bool,
    /// How often to look, from 0.2s to 1h
    #[arg(long, value_name = "TIME", default_value = "10s", requires = "follow", value_parser = every)]
    every: Typed<quantity::Duration>,
}

fn every(text: &str) -> Result<Typed<quantity::Duration>, String> {
    let time = typed::<quantity::Duration>(text).map_err(|e| e.to_string())?;
    if (0.2..=3600.0).contains(&time.value.si()) {
        Ok(time)
    } else {
        Err(format!(
            "the time between two looks, {}, is outside 0.2 s to 1 h; type it like 10s",
            time.text
        ))
    }
}

/// The pressure never moved, so nothing shows the gauge's smallest step.
#[derive(Debug, thiserror::Error)]
#[error(
    "the pressure never changes in this log, so the gauge's smallest step cannot be taken from it: state it with --gauge-resolution, for example 0.5psi"
)]
pub(super) struct NeverMoves;

/// What a command makes of the first so many bytes of its log.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub finding: Finding,
    /// Hours from the first reading to the last, and the last one.
    pub read: (f64, PressureAbs),
}

/// What was judged, and what to say beside it.
pub(super) type WithNotes = Result<(Judged, Vec<String>), Box<dyn Error>>;

impl Follow {
    /// Whether the log is to be followed.
    pub fn asked(&self) -> bool {
        self.follow
    }

    /// Judges the log at every look until somebody ends it; then the final answer from its whole lines, or what was
    /// last found where the file is gone.
    ///
    /// `judge` is given how many bytes of the file are whole lines. What an error can lose by waiting is waited for;
    /// any other error of the first look ends it.
    pub fn to_the_end(
        &self,
        path: &Path,
        units: UnitSystem,
        silent: bool,
        mut judge: impl FnMut(u64) -> WithNotes,
    ) -> WithNotes {
        let mut last = None;
        let whole = self.run(path, units, silent, |upto| {
            let (judged, notes) = judge(upto)?;
            last = Some((judged.clone(), notes));
            Ok(judged)
        })?;
        let (judged, mut notes) = match whole {
            Some(whole) => judge(whole)?,
            None => last.ok_or("the log is gone, and nothing of it was judged")?,
        };
        match (whole, std::fs::metadata(path)) {
            (Some(whole), Ok(file)) if file.len() > whole => {
                notes.push("the last line of the log has no end yet and is left out".into());
            }
            (None, _) => notes.push("the log is gone: this is what was last read of it".into()),
            _ => {}
        }
        Ok((judged, notes))
    }

    /// Looks again and again until somebody ends it; how many bytes are whole lines then, none where the file is gone.
    fn run(
        &self,
        path: &Path,
        units: UnitSystem,
        silent: bool,
        mut judge: impl FnMut(u64) -> Result<Judged, Box<dyn Error>>,
    ) -> Result<Option<u64>, Box<dyn Error>> {
        let (ended, end) = mpsc::channel();
        ctrlc::set_handler(move || {
            // a second one finds nobody listening, and the answer is on its way
            let _ = ended.send(());
        })?;
        let pause = Duration::from_secs_f64(self.every.value.si());
        let mut follower = Follower::new(path);
        let mut screen = Screen::new(silent, units);
        let mut judged_once = false;
        if follower.look()? == Look::Gone {
            // the error of a name that is wrong, as without --follow
            std::fs::File::open(path).map_err(|e| LoggerError::Unreadable {
                file: path.into(),
                why: e.to_string(),
            })?;
        }
        let mut look = Ok(Look::Grew);
        loop {
            screen.file(&look);
            match look {
                Ok(Look::Gone) | Err(_) => screen.wait("the file is not there"),
                Ok(Look::Unchanged) => screen.wait_on(),
                Ok(Look::Grew | Look::BeganAnew) if follower.whole() == 0 => {
                    screen.wait("the log is empty");
                }
                Ok(Look::Grew | Look::BeganAnew) => match judge(follower.whole()) {
                    Ok(judged) => {
                        judged_once = true;
                        screen.show(&judged);
                    }
                    Err(error) if judged_once || comes_with_time(error.as_ref()) => {
                        screen.wait(&error.to_string());
                    }
                    Err(error) => {
                        screen.clear();
                        return Err(error);
                    }
                },
            }
            match end.recv_timeout(pause) {
                Err(RecvTimeoutError::Timeout) => look = follower.look(),
                Ok(()) | Err(RecvTimeoutError::Disconnected) => break,
            }
        }
        screen.clear();
        Ok(match follower.look()? {
            Look::Gone => None,
            _ => Some(follower.whole()),
        })
    }
}

/// Whether more readings can do away with an error.
fn comes_with_time(error: &(dyn Error + 'static)) -> bool {
    use dry::DryError::Rise;
    use dry::method::RiseError::{TooFew, TooShort};
    use tight::TightError::Fit;
    let too_few = |e: &LoggerError| matches!(e, LoggerError::TooFew { .. });
    let short = |e: &tight::TightError| matches!(e, Fit(tight::method::FitError::TooFew { .. }));

    let few = |e: &dry::DryError| matches!(e, Rise(TooFew { .. } | TooShort { .. }));
    error.is::<NeverMoves>()
        || error.downcast_ref().is_some_and(too_few)
        || error.downcast_ref().is_some_and(short)
        || error.downcast_ref().is_some_and(few)
}

/// What was there at the last look: painted over in a terminal, line after line elsewhere.
struct Screen {
    bar: Option<ProgressBar>,
    silent: bool,
    file: Option<String>,
    last: String,
    units: UnitSystem,
}

impl Screen {
    fn new(silent: bool, units: UnitSystem) -> Self {
        let terminal = std::io::stdout().is_terminal() && !silent;
        let bar = terminal.then(|| {
            let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stdout());
            bar.set_style(plain());
            bar
        });
        Screen {
            bar,
            silent,
            file: None,
            last: String::new(),
            units,
        }
    }

    fn now(&self) -> Now {
        Now {
            at: Zoned::now().strftime("%H:%M:%S").to_string(),
            file: self.file.clone(),
            read: None,
            units: self.units,
        }
    }

    /// Notes what happened to the file.
    fn file(&mut self, look: &Result<Look, LoggerError>) {
        let at = Zoned::now().strftime("%H:%M:%S").to_string();
        match look {
            Ok(Look::BeganAnew) => {
                self.file = Some(format!(
                    "the log began anew at {at}; what was read before is left out"
                ));
                self.line(&format!("{at}  the log began anew, waiting\n"));
            }
            Ok(Look::Gone) if self.last != "gone" => {
                self.line(&format!("{at}  the log is gone, waiting\n"));
                self.last = "gone".into();
            }
            Err(error) if self.last != error.to_string() => {
                self.line(&format!("{at}  {error}\n"));
                self.last = error.to_string();
            }
            Ok(_) | Err(_) => {}
        }
    }

    fn line(&self, text: &str) {
        if self.bar.is_none() && !self.silent {
            print(text);
        }
    }

    fn show(&mut self, judged: &Judged) {
        let (finding, read) = (&judged.finding, Some(judged.read));
        let now = Now { read, ..self.now() };
        self.last = String::new();
        self.line(&text::followed_line(finding, &now));
        if let Some(bar) = &self.bar {
            let progress = text::progress(finding, read);
            let needed = progress.needed.unwrap_or(progress.elapsed).max(1e-3);
            // in seconds: a bar counts whole steps
            bar.set_style(with_bar());
            bar.set_length((needed * 3600.0).round() as u64);
            bar.set_position((progress.elapsed * 3600.0).round() as u64);
            bar.set_message(text::followed(finding, &now, Style::Ansi));
            bar.tick();
        }
    }

    fn wait(&mut self, why: &str) {
        let text = text::waiting(why, &self.now());
        match &self.bar {
            Some(bar) => {
                bar.set_style(plain());
                bar.set_message(text);
                bar.tick();
            }
            None if self.last != why && self.last != "gone" => {
                self.line(&text);
                self.last = why.into();
            }
            None => {}
        }
    }

    /// Nothing is new; a terminal that changed its size is painted again.
    fn wait_on(&self) {
        if let Some(bar) = &self.bar {
            bar.tick();
        }
    }

    fn clear(&self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

fn plain() -> ProgressStyle {
    ProgressStyle::with_template("{msg}").expect("a template of ours is one")
}

fn with_bar() -> ProgressStyle {
    ProgressStyle::with_template(
        "{msg}\n  [{bar:60}]  {percent} %\n\n  Ctrl-C ends with the answer in full.",
    )
    .expect("a template of ours is one")
    .progress_chars("=> ")
}
