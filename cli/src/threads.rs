//! The threads that plans are checked on, also where the system gives none.

use rayon::ThreadPoolBuilder;
use std::io;
use std::num::NonZero;
use std::sync::mpsc::channel;
use std::thread;

/// Most threads. More than there are processors only cost memory, and a slip of the environment must not stop the
/// machine.
const MOST: usize = 256;

/// Starts as many threads as there are processors, or as `RAYON_NUM_THREADS` says. Where the system refuses one, all is
/// done on the present thread, unless several are needed.
pub fn start(needs_several: bool) -> Result<(), String> {
    let wanted = std::env::var("RAYON_NUM_THREADS").ok().and_then(|number| number.parse::<usize>().ok());
    let usual = || thread::available_parallelism().map_or(1, NonZero::get);
    let threads = wanted.filter(|number| *number > 0).unwrap_or_else(usual).min(MOST);
    // A pool that could not be started can't be replaced by a smaller one.
    let pool = match try_out(threads) {
        Ok(()) => ThreadPoolBuilder::new().num_threads(threads),
        Err(error) if needs_several => return Err(format!("the system gives no threads: {error}")),
        Err(_) => ThreadPoolBuilder::new().num_threads(1).use_current_thread(),
    };
    pool.build_global().map_err(|error| error.to_string())
}

/// Whether the system gives so many threads at once.
fn try_out(threads: usize) -> io::Result<()> {
    thread::scope(|scope| {
        let mut holds = Vec::new();
        for _ in 0..threads {
            let (hold, held) = channel::<()>();
            // Ends when the other side is dropped.
            thread::Builder::new().spawn_scoped(scope, move || held.recv())?;
            holds.push(hold);
        }
        Ok(())
    })
}
