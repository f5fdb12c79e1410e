//! What the server knows, and what it does with each message.

mod show;
mod texts;

use super::check::{self, Book, Checked};
use super::options::Options;
use super::publish::Shown;
use super::sync::{Document, Sort};
use super::{Event, action, address, aside, completion, definition, frames, hover, rename};
use crate::commands::Exit;
use crate::output::escape;
use frames::Incoming;
use lintern_core::margin::Margins;
use lintern_core::remedy::Remedies;
use lsp_server::{ErrorCode, Message, Request, RequestId};
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::Sender;

/// Why a request is not answered.
#[derive(Debug)]
pub struct Failure {
    code: ErrorCode,
    message: String,
}

impl Failure {
    /// What was asked for makes sense and can't be done.
    pub fn refused(message: impl Into<String>) -> Self {
        Self { code: ErrorCode::RequestFailed, message: message.into() }
    }

    /// The text has changed since.
    pub fn moved_on() -> Self {
        Self { code: ErrorCode::ContentModified, message: "the text has changed in the meantime; ask again".to_owned() }
    }
}

/// The result of a request.
pub type Answer = Result<Value, Failure>;

/// How far the conversation is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Stage {
    New,
    Running,
    ShutDown,
}

/// Whose words something is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Speaker {
    /// The check of a plan.
    Plan(PathBuf),
    /// The rules of a repository.
    Book(PathBuf),
}

/// The server.
pub struct Server {
    checks: Sender<check::Job>,
    asides: Sender<aside::Job>,
    out: Box<dyn Write>,
    stage: Stage,
    options: Options,
    documents: BTreeMap<PathBuf, Document>,
    /// The last check of each open plan.
    latest: BTreeMap<PathBuf, Arc<Checked>>,
    /// The last check of each open plan that could be read.
    sound: BTreeMap<PathBuf, (Arc<Checked>, Margins)>,
    /// Rules by the root of their repository.
    books: BTreeMap<PathBuf, Arc<Book>>,
    shown: BTreeMap<Speaker, Shown>,
    /// Requests whose answers are worked out aside.
    pending: BTreeSet<RequestId>,
    /// Whether the client can still be written to.
    gone: bool,
}

/// What an answer about one text is made from.
pub struct View<'a> {
    /// The text.
    pub document: &'a Document,
    /// All open texts.
    pub documents: &'a BTreeMap<PathBuf, Document>,
    /// The last check.
    pub latest: Option<&'a Arc<Checked>>,
    /// The last check of a text that could be read, with its margins as far as they are worked out.
    pub sound: Option<(&'a Checked, &'a Margins)>,
    /// Rules by the root of their repository.
    pub books: &'a BTreeMap<PathBuf, Arc<Book>>,
    /// What the client can do.
    pub options: Options,
}

impl Server {
    /// Before the first message.
    pub fn new(checks: Sender<check::Job>, asides: Sender<aside::Job>, out: Box<dyn Write>) -> Self {
        Self {
            checks,
            asides,
            out,
            stage: Stage::New,
            options: Options::of(&Value::Null),
            documents: BTreeMap::new(),
            latest: BTreeMap::new(),
            sound: BTreeMap::new(),
            books: BTreeMap::new(),
            shown: BTreeMap::new(),
            pending: BTreeSet::new(),
            gone: false,
        }
    }

    /// Answers requests whose turn has not come and that the client has cancelled.
    pub fn cancel_waiting(&mut self, queue: &mut VecDeque<Event>) {
        let cancelled: Vec<RequestId> = queue.iter().filter_map(cancels).collect();
        if cancelled.is_empty() {
            return;
        }
        let mut rest = VecDeque::with_capacity(queue.len());
        for event in queue.drain(..) {
            match &event {
                Event::Read(Incoming::Message(Message::Request(request))) if cancelled.contains(&request.id) => {
                    self.fail(&request.id, ErrorCode::RequestCanceled, "cancelled");
                }
                _ => rest.push_back(event),
            }
        }
        *queue = rest;
    }

    /// Does what an event asks for; how the program ends where it is the last one.
    pub fn handle(&mut self, event: Event) -> Option<Exit> {
        match event {
            Event::Read(Incoming::Message(Message::Request(request))) => self.request(request),
            Event::Read(Incoming::Message(Message::Notification(notification))) if notification.method == "exit" => {
                return Some(if self.stage == Stage::ShutDown { Exit::Clean } else { Exit::Found });
            }
            Event::Read(Incoming::Message(Message::Notification(notification))) => self.notification(notification),
            // The one request of this server needs no answer.
            Event::Read(Incoming::Message(Message::Response(_))) => {}
            Event::Read(Incoming::NoMessage(why)) => {
                let error = json!({ "code": ErrorCode::ParseError as i32, "message": escape::terminal(&why) });
                self.send(json!({ "jsonrpc": "2.0", "id": null, "error": error }));
            }
            Event::Read(Incoming::End(why)) => {
                if let Some(why) = why {
                    eprintln!("lintern: what the client sends can't be read: {}", escape::terminal(&why));
                    return Some(Exit::NotChecked);
                }
                return Some(if self.stage == Stage::ShutDown { Exit::Clean } else { Exit::Found });
            }
            Event::Book(book) => self.book(book),
            Event::Loaded { path, text, written } => {
                if let Some(document) = self.documents.get_mut(&path) {
                    document.take_read(&text, &written);
                }
            }
            Event::Checked(checked) => self.checked(checked),
            Event::Weighed { checked, margins } => {
                if let Some((known, own)) = self.sound.get_mut(&checked.path)
                    && Arc::ptr_eq(known, &checked)
                {
                    *own = margins;
                }
            }
            Event::Cured { id, checked, remedies } => self.cured(&id, &checked, &remedies),
            Event::Told(message) => self.tell(&message),
        }
        // Nobody reads any more.
        self.gone.then_some(Exit::Found)
    }

    fn request(&mut self, request: Request) {
        let Request { id, method, params } = request;
        let refuse = match (self.stage, method.as_str()) {
            (Stage::New, "initialize") => None,
            (Stage::New, _) => Some((ErrorCode::ServerNotInitialized, "`initialize` comes first")),
            (Stage::Running, "initialize") => Some((ErrorCode::InvalidRequest, "`initialize` comes once")),
            (Stage::Running, _) => None,
            (Stage::ShutDown, _) => Some((ErrorCode::InvalidRequest, "the server is shut down")),
        };
        if let Some((code, message)) = refuse {
            return self.fail(&id, code, message);
        }
        let answer = match method.as_str() {
            "initialize" => {
                self.options = Options::of(&params);
                self.stage = Stage::Running;
                Ok(self.options.offered())
            }
            "shutdown" => {
                self.stage = Stage::ShutDown;
                Ok(Value::Null)
            }
            "textDocument/codeAction" => match self.code_action(&id, params) {
                Some(answer) => answer,
                None => return,
            },
            _ => self.about_text(&method, params),
        };
        match answer {
            Ok(result) => self.send(json!({ "jsonrpc": "2.0", "id": id, "result": result })),
            Err(failure) => self.fail(&id, failure.code, &failure.message),
        }
    }

    /// Requests that are answered at once, about one text.
    fn about_text(&self, method: &str, params: Value) -> Answer {
        type Feature = fn(&View<'_>, Value) -> Answer;
        let feature: Feature = match method {
            "textDocument/hover" => |view, params| hover::answer(view, &parsed(params)?),
            "textDocument/completion" => |view, params| completion::answer(view, &parsed(params)?),
            "textDocument/definition" => |view, params| definition::definition(view, &parsed(params)?),
            "textDocument/references" => |view, params| definition::references(view, &parsed(params)?),
            "textDocument/documentSymbol" => |view, _| definition::symbols(view),
            "textDocument/prepareRename" => |view, params| rename::prepare(view, &parsed(params)?),
            "textDocument/rename" => |view, params| rename::answer(view, &parsed(params)?),
            _ => {
                let message = format!("there is no method `{method}` here");
                return Err(Failure { code: ErrorCode::MethodNotFound, message });
            }
        };
        match self.view(address_in(&params)?) {
            Some(view) => feature(&view, params),
            // Of other texts there is nothing to say.
            None => Ok(Value::Null),
        }
    }

    fn view(&self, address: &str) -> Option<View<'_>> {
        let document = self.documents.get(&address::path(address)?)?;
        (document.sort() != Sort::Other).then(|| View {
            document,
            documents: &self.documents,
            latest: self.latest.get(&document.path),
            sound: self.sound.get(&document.path).map(|(checked, margins)| (&**checked, margins)),
            books: &self.books,
            options: self.options,
        })
    }

    /// Cures are worked out aside; `None` where the answer comes later.
    fn code_action(&mut self, id: &RequestId, params: Value) -> Option<Answer> {
        let wish = parsed(params).map(|params: lsp_types::CodeActionParams| {
            let view = self.view(params.text_document.uri.as_str())?;
            action::wish(&view, &params)
        });
        match wish {
            Err(failure) => Some(Err(failure)),
            Ok(None) => Some(Ok(json!([]))),
            Ok(Some((checked, findings))) => {
                let wish = aside::Wish { id: id.clone(), checked, findings };
                if self.asides.send(aside::Job::Cure(wish)).is_err() {
                    return Some(Err(Failure::refused("cures can't be looked for any more; start the server again")));
                }
                self.pending.insert(id.clone());
                None
            }
        }
    }

    fn cured(&mut self, id: &RequestId, checked: &Arc<Checked>, remedies: &Remedies) {
        if !self.pending.remove(id) {
            return;
        }
        let document = self.documents.get(&checked.path).filter(|document| document.version == checked.version);
        match document {
            Some(document) => {
                let result = action::answer(document, checked, remedies, self.options);
                self.send(json!({ "jsonrpc": "2.0", "id": id, "result": result }));
            }
            None => {
                let failure = Failure::moved_on();
                self.fail(id, failure.code, &failure.message);
            }
        }
    }

    /// Shows a message to a person.
    fn tell(&mut self, message: &str) {
        let params = json!({ "type": 1, "message": format!("lintern: {}", escape::terminal(message)) });
        self.send(json!({ "jsonrpc": "2.0", "method": "window/showMessage", "params": params }));
    }

    fn fail(&mut self, id: &RequestId, code: ErrorCode, message: &str) {
        let error = json!({ "code": code as i32, "message": escape::terminal(message) });
        self.send(json!({ "jsonrpc": "2.0", "id": id, "error": error }));
    }

    fn send(&mut self, message: Value) {
        if frames::write(&mut self.out, &message).is_err() {
            self.gone = true;
        }
    }
}

/// The request that an event cancels.
fn cancels(event: &Event) -> Option<RequestId> {
    match event {
        Event::Read(Incoming::Message(Message::Notification(notification)))
            if notification.method == "$/cancelRequest" =>
        {
            serde_json::from_value(notification.params.get("id")?.clone()).ok()
        }
        _ => None,
    }
}

/// Parameters of a type.
fn parsed<P: DeserializeOwned>(params: Value) -> Result<P, Failure> {
    serde_json::from_value(params).map_err(|error| Failure {
        code: ErrorCode::InvalidParams,
        message: format!("the parameters are not as expected: {error}"),
    })
}

/// The text that a request is about.
fn address_in(params: &Value) -> Result<&str, Failure> {
    params.pointer("/textDocument/uri").and_then(Value::as_str).ok_or_else(|| Failure {
        code: ErrorCode::InvalidParams,
        message: "the parameters name no text document".to_owned(),
    })
}
