//! How far long work has come: one line on standard error, where that is a terminal, and only when the work takes more
//! than a moment. It is gone when the work is done, so that no output holds it.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal as _;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// Work that is shorter shows nothing.
const MOMENT: Duration = Duration::from_secs(1);

/// The work and how much of it is done. Steps may be counted from several threads.
pub struct Progress {
    /// `None` where nothing is to be shown.
    bar: Option<ProgressBar>,
    started: Instant,
    shown: OnceLock<()>,
}

impl Progress {
    /// Work of so many steps, with a word for them, such as `plans`; nothing is shown where it is not wanted.
    pub fn start(wanted: bool, total: u64, what: &str) -> Self {
        Self::of(total, what, wanted && std::io::stderr().is_terminal())
    }

    fn of(total: u64, what: &str, show: bool) -> Self {
        let bar = show.then(|| {
            let bar = ProgressBar::with_draw_target(Some(total), ProgressDrawTarget::hidden());
            if let Ok(style) = ProgressStyle::with_template("  {pos} of {len} {msg} {wide_bar}") {
                bar.set_style(style);
            }
            bar.set_message(what.to_owned());
            bar
        });
        Self { bar, started: Instant::now(), shown: OnceLock::new() }
    }

    /// One step is done.
    pub fn step(&self) {
        let Some(bar) = &self.bar else { return };
        bar.inc(1);
        if self.started.elapsed() >= MOMENT {
            self.shown.get_or_init(|| bar.set_draw_target(ProgressDrawTarget::stderr()));
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_counted_from_many_threads() {
        let progress = Progress::of(100, "plans", true);
        rayon::scope(|scope| (0..100).for_each(|_| scope.spawn(|_| progress.step())));
        let bar = progress.bar.as_ref().expect("it is to be shown");
        assert_eq!((bar.position(), bar.length()), (100, Some(100)));
        assert!(bar.is_hidden(), "work of a moment shows nothing");
    }

    #[test]
    fn nothing_is_kept_where_nothing_is_shown() {
        let progress = Progress::of(1, "plans", false);
        progress.step();
        assert!(progress.bar.is_none());
    }

    #[test]
    fn long_work_is_shown() {
        let mut progress = Progress::of(3, "plans", true);
        progress.started = Instant::now().checked_sub(2 * MOMENT).expect("the clock runs since more than that");
        progress.step();
        assert!(progress.shown.get().is_some());
    }
}
