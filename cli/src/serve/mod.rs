//! `lintern serve`: the Language Server Protocol on standard streams.
//!
//! One thread reads, one checks, one works out margins and cures, and this one answers: from the present text and from
//! the last check that is done, so that no answer waits for a check. All that is written is written here, so that what
//! belongs to a version that is no longer there can be held back.

mod action;
mod address;
mod aside;
mod check;
mod completion;
mod definition;
mod facts;
mod frames;
mod hover;
mod options;
mod page;
mod position;
mod publish;
mod rename;
mod server;
mod sync;

use crate::args::Serve;
use crate::commands::Exit;
use crate::commands::setup::Setup;
use check::{Book, Checked};
use frames::Incoming;
use lintern_core::margin::Margins;
use lintern_core::plan::cursor::Written;
use lintern_core::remedy::Remedies;
use lsp_server::RequestId;
use server::Server;
use std::collections::VecDeque;
use std::io;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Sender, channel};

/// What the thread that answers is told.
pub enum Event {
    /// Something was read.
    Read(Incoming),
    /// The rules of a repository were put together.
    Book(Arc<Book>),
    /// A plan was read, which takes less time than its check.
    Loaded {
        /// Its file.
        path: PathBuf,
        /// The text.
        text: Arc<str>,
        /// The text as YAML.
        written: Arc<Written>,
    },
    /// A text was checked.
    Checked(Arc<Checked>),
    /// Margins were worked out.
    Weighed {
        /// Of this check.
        checked: Arc<Checked>,
        /// The margins.
        margins: Margins,
    },
    /// Cures were looked for.
    Cured {
        /// By this request.
        id: RequestId,
        /// Of this check.
        checked: Arc<Checked>,
        /// What was found.
        remedies: Remedies,
    },
    /// Something that a person should know.
    Told(String),
}

/// Serves one client until it says that it is done, or is gone.
pub fn run(args: &Serve) -> Exit {
    let (events, received) = channel();
    let (checks, check_jobs) = channel();
    let (asides, aside_jobs) = channel();
    read_all(events.clone());
    let (for_checks, for_aside) = (events.clone(), events);
    let as_of = args.as_of;
    let packs = args.rules.packs.clone();
    std::thread::spawn(move || {
        // Loading the rules takes a moment, in which the client is answered already.
        let mut setup = Setup::new(&crate::args::RuleArgs { packs });
        for error in std::mem::take(&mut setup.errors) {
            let help = error.diagnostic.help.map(|help| format!(" ({help})")).unwrap_or_default();
            let _ = for_checks.send(Event::Told(format!("{}{help}", error.diagnostic.message)));
        }
        check::run(&check_jobs, &for_checks, setup, as_of);
    });
    std::thread::spawn(move || aside::run(&aside_jobs, &for_aside));
    let mut server = Server::new(checks, asides, Box::new(io::stdout()));
    let mut queue: VecDeque<Event> = VecDeque::new();
    loop {
        if queue.is_empty() {
            match received.recv() {
                Ok(event) => queue.push_back(event),
                Err(_) => return Exit::NotChecked,
            }
        }
        // All that is there, so that a request can be cancelled before its turn comes.
        queue.extend(received.try_iter());
        server.cancel_waiting(&mut queue);
        if let Some(event) = queue.pop_front()
            && let Some(exit) = server.handle(event)
        {
            return exit;
        }
    }
}

/// Reads in a thread of its own until the stream ends.
fn read_all(events: Sender<Event>) {
    std::thread::spawn(move || {
        let mut stream = io::stdin().lock();
        loop {
            let read = frames::read(&mut stream);
            let ended = matches!(read, Incoming::End(_));
            if events.send(Event::Read(read)).is_err() || ended {
                return;
            }
        }
    });
}
