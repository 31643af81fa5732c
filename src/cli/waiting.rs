//! A bar on a terminal when the work takes long enough to wonder.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{self, IsTerminal};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Work that is done within this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);

/// What is at work, how much of it is done, and the steps as numbers.
const LOOKS: &str = "{msg} [{bar:30}] {pos} of {len}";

pub(super) const CHECKING: &str = "checking every pair of parts";
pub(super) const MAKING: &str = "making the files";

/// Shows on stderr how many of the known steps are done, from half a second after it was made until it is dropped; nothing where stderr
/// is no terminal.
pub(super) struct Waiting {
    bar: ProgressBar,
    end: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Waiting {
    pub fn new(what: &'static str, steps: u64) -> Waiting {
        let bar = bar(steps);
        bar.set_message(what);
        if !io::stderr().is_terminal() {
            return Waiting {
                bar,
                end: None,
                thread: None,
            };
        }
        let (end, ended) = mpsc::channel::<()>();
        let shown = bar.clone();
        let thread = thread::Builder::new().spawn(move || {
            if ended.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            shown.set_draw_target(ProgressDrawTarget::stderr());
            shown.tick();
            // its dropping ends it
            let _ = ended.recv();
            shown.finish_and_clear();
        });
        // Without a thread to spare there is no bar, and the work goes on.
        Waiting {
            bar,
            end: Some(end),
            thread: thread.ok(),
        }
    }

    /// One more step is done.
    pub fn step(&self) {
        self.bar.inc(1);
    }

    /// What the next steps are.
    pub fn now(&self, what: &'static str) {
        self.bar.set_message(what);
    }
}

impl Drop for Waiting {
    fn drop(&mut self) {
        drop(self.end.take());
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// A bar that is not shown yet.
fn bar(steps: u64) -> ProgressBar {
    let bar = ProgressBar::with_draw_target(Some(steps), ProgressDrawTarget::hidden());
    bar.set_style(
        ProgressStyle::with_template(LOOKS)
            .unwrap_or_else(|_| ProgressStyle::default_bar())
            .progress_chars("=> "),
    );
    bar
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::{What, build_files_telling};
    use crate::{design::Limits, study};
    use std::sync::atomic::{AtomicU64, Ordering};

    #[test]
    fn the_bar_ends_full_as_many_steps_are_told_as_are_known_beforehand() {
        ProgressStyle::with_template(LOOKS).expect("a template");
        let told = AtomicU64::new(0);
        let step = || {
            told.fetch_add(1, Ordering::Relaxed);
        };
        let text = crate::testing::PANTRY;
        let study = study::study_telling(text, &Limits::STANDARD, &step).expect("sound");
        assert_eq!(told.swap(0, Ordering::Relaxed), study::STEPS);
        for one in What::ALL {
            let files = build_files_telling(&study, &[one], &step).files;
            assert!(!files.is_empty());
            assert_eq!(told.swap(0, Ordering::Relaxed), one.steps(), "{one:?}");
        }
    }

    #[test]
    fn steps_fill_the_bar() {
        let waiting = Waiting::new(CHECKING, 4);
        waiting.step();
        waiting.step();
        assert_eq!((waiting.bar.position(), waiting.bar.length()), (2, Some(4)));
    }
}
