//! A progress bar on standard error, only where it is a terminal and the work takes over a second.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

pub(super) struct Progress {
    bar: ProgressBar,
    over: Arc<AtomicBool>,
}

impl Progress {
    /// Starts hidden; shows itself after a second.
    pub fn new(stages: u64) -> Self {
        let bar = ProgressBar::with_draw_target(Some(stages), ProgressDrawTarget::hidden());
        if let Ok(style) = ProgressStyle::with_template("{bar:24} {msg}") {
            bar.set_style(style);
        }
        let over = Arc::new(AtomicBool::new(false));
        if std::io::stderr().is_terminal() {
            let (bar, over) = (bar.clone(), Arc::clone(&over));
            std::thread::spawn(move || {
                std::thread::sleep(Duration::from_secs(1));
                if !over.load(Ordering::Relaxed) {
                    bar.set_draw_target(ProgressDrawTarget::stderr());
                    bar.tick();
                }
            });
        }
        Self { bar, over }
    }

    /// Says what is done now.
    pub fn stage(&self, what: &'static str) {
        self.bar.set_message(what);
        self.bar.inc(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.over.store(true, Ordering::Relaxed);
        self.bar.finish_and_clear();
    }
}
