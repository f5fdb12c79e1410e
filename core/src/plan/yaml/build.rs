//! Parser events to the tree.

use super::scan_error::{diagnostic, too_deep};
use super::source::decode;
use super::{Entry, Kind, MAX_DEPTH, MAX_NODES, Node, NodeId, Text, Tree};
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::Span;
use granit_parser::{Event, Parser, ScalarStyle, StructureStyle, Tag, options};
use std::collections::HashMap;
use std::sync::Arc;

/// Adds a file to the sources and reads its one document. Errors are recorded; with a document that
/// could be read to its end there still is a tree, without the parts at fault.
pub(crate) fn parse(path: &str, bytes: &[u8], sources: &mut Sources, errors: &mut Diagnostics) -> Option<Tree> {
    let text = match decode(bytes) {
        Ok(text) => text,
        Err(bad) => {
            // The prefix is sound, so the lossy form is the form itself.
            let file = sources.add(path, String::from_utf8_lossy(&bytes[..bad.sound]));
            let at = bad.sound as u32;
            errors.push(|| Diagnostic::new(Span { file, start: at, end: at }, bad.message).help(bad.help));
            return None;
        }
    };
    let text: Arc<str> = text.into();
    let file = sources.add(path, text.clone());
    let skipped = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let options = options! {
        disallow_directives: true,
        emit_comments: false,
        flow_nesting_limit: MAX_DEPTH as usize,
        block_nesting_limit: MAX_DEPTH as usize,
    };
    let mut builder = Builder {
        file,
        text: &text,
        skipped: skipped as u32,
        nodes: Vec::new(),
        frames: Vec::new(),
        anchors: HashMap::new(),
        expanded: 0,
        root: None,
        errors,
    };
    for event in Parser::new_from_str_with_options(&text[skipped..], options) {
        match event {
            Ok((event, span)) => match builder.event(event, &span) {
                Ok(()) => {}
                Err(fatal) => {
                    builder.errors.push(|| *fatal);
                    return None;
                }
            },
            Err(error) => {
                let start = error.marker().byte_offset().unwrap_or(0) as u32 + builder.skipped;
                let span = builder.character_at(start);
                builder.errors.push(|| diagnostic(&error, span));
                return None;
            }
        }
    }
    let Builder { mut nodes, root, .. } = builder;
    // It grew by doubling, and is kept as long as the plan.
    nodes.shrink_to_fit();
    match root {
        Some(root) => Some(Tree { file, text, nodes, root }),
        None => {
            errors.push(|| {
                Diagnostic::new(Span { file, start: 0, end: 0 }, "the file is empty")
                    .help("a plan starts with `plan: 1`, a shared schedule with `schedule:`")
            });
            None
        }
    }
}

/// Ends the parse.
type Fatal = Box<Diagnostic>;

struct Builder<'a> {
    file: u32,
    text: &'a str,
    /// Bytes before the text that the parser sees.
    skipped: u32,
    nodes: Vec<Node>,
    frames: Vec<Frame>,
    /// Complete nodes by the parser's number of their anchor. A container comes in when it closes,
    /// so nothing can hold itself.
    anchors: HashMap<usize, Anchored>,
    /// Nodes so far, with aliases expanded.
    expanded: u32,
    root: Option<NodeId>,
    errors: &'a mut Diagnostics,
}

#[derive(Clone, Copy)]
struct Anchored {
    node: NodeId,
    /// Nodes in it, itself included, with aliases expanded.
    size: u32,
    /// Levels of containers in it.
    height: u32,
}

/// A container that is still open.
struct Frame {
    start: u32,
    /// End of the last thing in it.
    end: u32,
    block: bool,
    anchor: usize,
    expanded_before: u32,
    height: u32,
    content: Content,
}

enum Content {
    Sequence(Vec<NodeId>),
    Mapping { entries: Vec<Entry>, key: Option<Key> },
}

/// A key that waits for its value.
#[derive(Clone, Copy)]
enum Key {
    Sound(NodeId),
    /// It was reported; its value is read and dropped.
    Refused,
}

impl Builder<'_> {
    fn event(&mut self, event: Event<'_>, span: &granit_parser::Span) -> Result<(), Fatal> {
        let start = span.start.byte_offset().unwrap_or(0) as u32 + self.skipped;
        let end = (span.end.byte_offset().unwrap_or(0) as u32 + self.skipped).max(start);
        // The tag of a node has a place of its own.
        let skipped = self.skipped;
        let tag_at = |span: &granit_parser::Span| match span.tag_span().and_then(|tag| tag.byte_range()) {
            Some(tag) => (tag.start as u32 + skipped, tag.end as u32 + skipped),
            None => (start, end),
        };
        match event {
            Event::DocumentStart(..) if self.root.is_some() => {
                let span = self.character_at(start);
                Err(Box::new(
                    Diagnostic::new(span, "a second document starts here")
                        .help("a file holds one plan: remove the `---`, or use a file each"),
                ))
            }
            Event::Scalar(text, style, anchor, tag) => {
                self.count(1, start)?;
                let plain = self.scalar_tag(tag.as_deref(), style, tag_at(span));
                // The parser writes a value that is left out as `~`.
                let missing = style == ScalarStyle::Plain && start == end;
                let text = if missing { Text::InFile(start, start) } else { self.keep(&text, start, end) };
                let node = self.add(start, end, Kind::Scalar { text, plain });
                self.attach(Anchored { node, size: 1, height: 0 }, anchor, start, end);
                Ok(())
            }
            Event::SequenceStart(style, anchor, tag) => {
                self.container_tag(tag.as_deref(), "seq", tag_at(span));
                self.open(style, anchor, start, end, Content::Sequence(Vec::new()))
            }
            Event::MappingStart(style, anchor, tag) => {
                self.container_tag(tag.as_deref(), "map", tag_at(span));
                self.open(style, anchor, start, end, Content::Mapping { entries: Vec::new(), key: None })
            }
            Event::SequenceEnd | Event::MappingEnd => {
                self.close(end);
                Ok(())
            }
            Event::Alias(id) => {
                let at = Span { file: self.file, start, end };
                let Some(&target) = self.anchors.get(&id) else {
                    return Err(Box::new(Diagnostic::new(at, "this alias stands inside the node that it names")));
                };
                self.count(target.size, start)?;
                if self.frames.len() as u32 + target.height > MAX_DEPTH {
                    return Err(Box::new(Diagnostic::new(at, too_deep())));
                }
                self.attach(target, 0, start, end);
                Ok(())
            }
            _ => Ok(()),
        }
    }

    /// Counts nodes against the budget.
    fn count(&mut self, nodes: u32, start: u32) -> Result<(), Fatal> {
        self.expanded = self.expanded.saturating_add(nodes);
        if self.expanded <= MAX_NODES {
            return Ok(());
        }
        Err(Box::new(
            Diagnostic::new(
                self.character_at(start),
                format!("the file has more than {MAX_NODES} values, the most that is read"),
            )
            .help("aliases count with everything that they repeat"),
        ))
    }

    fn add(&mut self, start: u32, end: u32, kind: Kind) -> NodeId {
        self.nodes.push(Node { start, end, kind });
        // `count` keeps the number of nodes far below the largest `u32`.
        NodeId(self.nodes.len() as u32 - 1)
    }

    /// A scalar's text, as bytes of the file where it stands there as it is.
    fn keep(&self, text: &str, start: u32, end: u32) -> Text {
        let here = |from: u32, to: u32| self.text.get(from as usize..to as usize) == Some(text);
        if here(start, end) {
            Text::InFile(start, end)
        } else if end >= start + 2 && here(start + 1, end - 1) {
            Text::InFile(start + 1, end - 1)
        } else {
            Text::Owned(text.into())
        }
    }

    fn open(
        &mut self,
        style: StructureStyle,
        anchor: usize,
        start: u32,
        end: u32,
        content: Content,
    ) -> Result<(), Fatal> {
        self.count(1, start)?;
        if self.frames.len() as u32 >= MAX_DEPTH {
            return Err(Box::new(Diagnostic::new(self.character_at(start), too_deep())));
        }
        self.frames.push(Frame {
            start,
            end,
            block: style == StructureStyle::Block,
            anchor,
            expanded_before: self.expanded - 1,
            height: 1,
            content,
        });
        Ok(())
    }

    fn close(&mut self, end: u32) {
        let Some(frame) = self.frames.pop() else { return };
        // The end of a block is known to the parser only at the next token.
        let end = if frame.block { frame.end } else { end };
        let kind = match frame.content {
            Content::Sequence(items) => Kind::Sequence(items.into()),
            Content::Mapping { entries, .. } => Kind::Mapping(self.without_repeats(entries).into()),
        };
        let node = self.add(frame.start, end, kind);
        let size = self.expanded - frame.expanded_before;
        self.attach(Anchored { node, size, height: frame.height }, frame.anchor, frame.start, end);
    }

    /// Hands a complete node to the container it stands in.
    fn attach(&mut self, child: Anchored, anchor: usize, start: u32, end: u32) {
        if anchor != 0 {
            self.anchors.insert(anchor, child);
        }
        let waiting = match self.frames.last_mut() {
            None => {
                self.root = Some(child.node);
                return;
            }
            Some(frame) => {
                frame.end = frame.end.max(end);
                frame.height = frame.height.max(child.height + 1);
                match &mut frame.content {
                    Content::Sequence(items) => return items.push(child.node),
                    Content::Mapping { key, .. } => key.take(),
                }
            }
        };
        let (key, entry) = match waiting {
            None => (Some(self.key(child.node, start, end)), None),
            Some(Key::Refused) => (None, None),
            Some(Key::Sound(key)) => {
                self.place_missing_value(child.node, key);
                (None, Some(Entry { key, value: child.node }))
            }
        };
        if let Some(Frame { content: Content::Mapping { entries, key: waiting }, .. }) = self.frames.last_mut() {
            *waiting = key;
            entries.extend(entry);
        }
    }

    /// A value that is left out stands nowhere: its key shows the place.
    fn place_missing_value(&mut self, value: NodeId, key: NodeId) {
        let (start, end) = (self.nodes[key.0 as usize].start, self.nodes[key.0 as usize].end);
        let value = &mut self.nodes[value.0 as usize];
        if value.start == value.end && matches!(value.kind, Kind::Scalar { plain: true, .. }) {
            (value.start, value.end) = (start, end);
        }
    }

    /// Checks a node that stands as a key.
    fn key(&mut self, node: NodeId, start: u32, end: u32) -> Key {
        let span = Span { file: self.file, start, end };
        let refusal = match &self.nodes[node.0 as usize].kind {
            Kind::Sequence(_) | Kind::Mapping(_) => Some((
                "a key must be one plain word, not a list or a mapping",
                "quote a text that starts with `{` or `[`, and leave out `? `",
            )),
            Kind::Scalar { plain: true, .. } if start == end => Some(("a key is missing here", "write `key: value`")),
            Kind::Scalar { plain: true, text: Text::InFile(from, to) } => {
                match self.text.get(*from as usize..*to as usize) {
                    Some("<<") => Some((
                        "merge keys (`<<`) are not supported",
                        "write the keys out, or give the entries a type of their own",
                    )),
                    Some("~" | "null" | "Null" | "NULL") => Some(("this key means null in YAML", "put it in quotes")),
                    _ => None,
                }
            }
            Kind::Scalar { .. } => None,
        };
        match refusal {
            None => Key::Sound(node),
            Some((message, help)) => {
                self.errors.push(|| Diagnostic::new(span, message).help(help));
                Key::Refused
            }
        }
    }

    /// Drops entries whose key stands before in the same mapping, and reports them.
    fn without_repeats(&mut self, entries: Vec<Entry>) -> Vec<Entry> {
        const FEW: usize = 16;
        let repeats: Vec<(usize, usize)> = {
            let text = |entry: &Entry| match &self.nodes[entry.key.0 as usize].kind {
                Kind::Scalar { text: Text::InFile(start, end), .. } => {
                    self.text.get(*start as usize..*end as usize).unwrap_or("")
                }
                Kind::Scalar { text: Text::Owned(text), .. } => text,
                Kind::Sequence(_) | Kind::Mapping(_) => "",
            };
            if entries.len() <= FEW {
                let first = |i: usize| (0..i).find(|&j| text(&entries[j]) == text(&entries[i]));
                (1..entries.len()).filter_map(|i| Some((i, first(i)?))).collect()
            } else {
                let mut seen: HashMap<&str, usize> = HashMap::with_capacity(entries.len());
                let mut repeats = Vec::new();
                for (i, entry) in entries.iter().enumerate() {
                    match seen.get(text(entry)) {
                        Some(&first) => repeats.push((i, first)),
                        None => {
                            seen.insert(text(entry), i);
                        }
                    }
                }
                repeats
            }
        };
        if repeats.is_empty() {
            return entries;
        }
        let mut kept = vec![true; entries.len()];
        for (repeat, first) in repeats {
            kept[repeat] = false;
            let span_of = |entry: &Entry| {
                let node = &self.nodes[entry.key.0 as usize];
                Span { file: self.file, start: node.start, end: node.end }
            };
            let (here, there) = (span_of(&entries[repeat]), span_of(&entries[first]));
            let name = self.text.get(here.start as usize..here.end as usize).unwrap_or("").to_owned();
            self.errors.push(|| {
                Diagnostic::new(here, format!("the key `{}` stands twice in this mapping", super::elide(&name)))
                    .also(there, "first here")
                    .help("remove one of them")
            });
        }
        entries.into_iter().zip(kept).filter_map(|(entry, kept)| kept.then_some(entry)).collect()
    }

    /// Checks a scalar's tag; whether the scalar counts as plain.
    fn scalar_tag(&mut self, tag: Option<&Tag>, style: ScalarStyle, at: (u32, u32)) -> bool {
        let plain = style == ScalarStyle::Plain;
        match tag {
            None => plain,
            Some(tag) if tag.handle().is_empty() && tag.suffix() == "!" => false,
            Some(tag) => match tag.core_suffix() {
                Some("str") => false,
                Some("int" | "float" | "bool" | "null") => plain,
                _ => {
                    self.refuse_tag(tag, at);
                    plain
                }
            },
        }
    }

    fn container_tag(&mut self, tag: Option<&Tag>, expected: &str, at: (u32, u32)) {
        if let Some(tag) = tag.filter(|t| t.core_suffix() != Some(expected)) {
            self.refuse_tag(tag, at);
        }
    }

    fn refuse_tag(&mut self, tag: &Tag, (start, end): (u32, u32)) {
        let span = Span { file: self.file, start, end };
        self.errors.push(|| {
            Diagnostic::new(span, format!("the tag `{}` is not supported here", super::elide(&tag.original())))
                .help("remove the tag, or quote a text that starts with `!`")
        });
    }

    /// The one character at a byte; nothing at the end of the text.
    fn character_at(&self, start: u32) -> Span {
        let length = self.text.get(start as usize..).and_then(|t| t.chars().next()).map_or(0, char::len_utf8);
        Span { file: self.file, start, end: start + length as u32 }
    }
}
