//! The threads that plans are checked on, also where the system gives few or none.

use rayon::{ThreadBuilder, ThreadPoolBuilder};
use std::io;
use std::num::NonZero;
use std::sync::mpsc::{Sender, channel};
use std::thread;

/// Most threads. More than there are processors only cost memory, and a slip of the environment must not stop the
/// machine.
const MOST: usize = 256;

/// Starts as many threads as there are processors, or as `RAYON_NUM_THREADS` says. Where the system gives fewer, those
/// do all, and where it gives none, the present one does, unless several are needed.
pub fn start(needs_several: bool) -> Result<(), String> {
    let wanted = std::env::var("RAYON_NUM_THREADS").ok().and_then(|number| number.parse::<usize>().ok());
    let usual = || thread::available_parallelism().map_or(1, NonZero::get);
    let wanted = wanted.filter(|number| *number > 0).unwrap_or_else(usual).min(MOST);
    // A pool that could not be started can't be replaced by a smaller one: its threads are there before it is.
    let threads: Vec<Sender<ThreadBuilder>> = (0..wanted).map_while(|_| waiting().ok()).collect();
    if threads.is_empty() {
        return match needs_several {
            true => Err("the system gives no threads".to_owned()),
            false => {
                let pool = ThreadPoolBuilder::new().num_threads(1).use_current_thread();
                pool.build_global().map_err(|error| error.to_string())
            }
        };
    }
    let pool = ThreadPoolBuilder::new().num_threads(threads.len());
    let mut threads = threads.into_iter();
    let pool = pool.spawn_handler(move |work| {
        let gone = || io::Error::other("a thread has ended");
        threads.next().ok_or_else(gone)?.send(work).map_err(|_| gone())
    });
    pool.build_global().map_err(|error| error.to_string())
}

/// A thread that waits for its work.
fn waiting() -> io::Result<Sender<ThreadBuilder>> {
    let (give, take) = channel::<ThreadBuilder>();
    thread::Builder::new().spawn(move || {
        if let Ok(work) = take.recv() {
            work.run();
        }
    })?;
    Ok(give)
}
