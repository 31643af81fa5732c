//! A sign of life on a terminal when the work takes long enough to wonder.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{self, IsTerminal};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// Work that is done within this shows nothing.
const PATIENCE: Duration = Duration::from_millis(500);

/// Shows a turning mark with a word on stderr from half a second after it was made until it is dropped; nothing where stderr is no
/// terminal.
pub(super) struct Waiting {
    end: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Waiting {
    pub fn new(what: &'static str) -> Waiting {
        if !io::stderr().is_terminal() {
            return Waiting {
                end: None,
                thread: None,
            };
        }
        let (end, ended) = mpsc::channel::<()>();
        let thread = thread::Builder::new().spawn(move || {
            if ended.recv_timeout(PATIENCE) != Err(RecvTimeoutError::Timeout) {
                return;
            }
            let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr());
            bar.set_style(ProgressStyle::default_spinner());
            bar.set_message(what);
            bar.enable_steady_tick(Duration::from_millis(100));
            let _ = ended.recv();
            bar.finish_and_clear();
        });
        // Without a thread to spare there is no sign of life, and the work goes on.
        Waiting {
            end: Some(end),
            thread: thread.ok(),
        }
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
