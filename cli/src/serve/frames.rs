//! Messages as they stand on a stream: a header with the length, then JSON.
//!
//! The messages themselves are those of `lsp-server`. Its reader takes any length that a header claims, and ends at
//! the first message that is no JSON; a client that gets one message wrong should be told, and go on.

use lsp_server::Message;
use std::io::{self, BufRead, Read, Write};

/// The longest message that is read: twice the longest plan, since JSON escapes line ends.
const MOST_BYTES: usize = 160 << 20;

/// The longest line of a header.
const MOST_HEADER: u64 = 4096;

/// What was read.
#[derive(Debug)]
pub enum Incoming {
    /// A message.
    Message(Message),
    /// A whole frame with something else in it, and why.
    NoMessage(String),
    /// The stream has ended, or nothing in it can be told apart any more.
    End(Option<String>),
}

/// Reads the next message.
pub fn read(stream: &mut impl BufRead) -> Incoming {
    let length = match header(stream) {
        Ok(Some(length)) => length,
        Ok(None) => return Incoming::End(None),
        Err(why) => return Incoming::End(Some(why)),
    };
    let mut bytes = Vec::new();
    match stream.take(length as u64).read_to_end(&mut bytes) {
        Ok(read) if read == length => {}
        Ok(_) => return Incoming::End(Some("the stream ended inside a message".to_owned())),
        Err(error) => return Incoming::End(Some(error.to_string())),
    }
    match serde_json::from_slice(&bytes) {
        Ok(message) => Incoming::Message(message),
        Err(error) => Incoming::NoMessage(error.to_string()),
    }
}

/// The length that a header tells; `None` at the end of the stream.
fn header(stream: &mut impl BufRead) -> Result<Option<usize>, String> {
    let mut length = None;
    let mut first = true;
    loop {
        let mut line = Vec::new();
        stream.take(MOST_HEADER).read_until(b'\n', &mut line).map_err(|error| error.to_string())?;
        if line.is_empty() {
            return if first { Ok(None) } else { Err("the stream ended inside a header".to_owned()) };
        }
        first = false;
        let line = String::from_utf8_lossy(&line);
        if !line.ends_with('\n') {
            return Err("a header has no end".to_owned());
        }
        let line = line.trim_end_matches(['\r', '\n']);
        if line.is_empty() {
            return length.map(Some).ok_or_else(|| "a header has no Content-Length".to_owned());
        }
        let Some((name, value)) = line.split_once(':') else {
            return Err("a line of a header has no colon".to_owned());
        };
        if name.trim().eq_ignore_ascii_case("Content-Length") {
            let number = value.trim().parse::<usize>().ok().filter(|number| *number <= MOST_BYTES);
            length = Some(number.ok_or_else(|| format!("a length is no number up to {MOST_BYTES}"))?);
        }
    }
}

/// Writes a message.
pub fn write(stream: &mut impl Write, message: &serde_json::Value) -> io::Result<()> {
    let text = message.to_string();
    write!(stream, "Content-Length: {}\r\n\r\n{text}", text.len())?;
    stream.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn first(bytes: &[u8]) -> Incoming {
        read(&mut io::BufReader::new(bytes))
    }

    #[test]
    fn a_written_message_is_read_again() {
        let mut stream = Vec::new();
        let message = serde_json::json!({ "jsonrpc": "2.0", "id": 1, "method": "é", "params": {} });
        write(&mut stream, &message).expect("memory takes it");
        match first(&stream) {
            Incoming::Message(Message::Request(request)) => assert_eq!(request.method, "é"),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_is_no_message_is_told_from_what_ends_the_stream() {
        assert!(matches!(first(b""), Incoming::End(None)));
        assert!(matches!(first(b"Content-Length: 3\r\n\r\n{} "), Incoming::NoMessage(_)));
        assert!(matches!(first(b"Content-Length: 2\r\n\r\n\xff\xff"), Incoming::NoMessage(_)));
        for broken in [
            &b"Content-Length: 18446744073709551615\r\n\r\n{}"[..],
            b"Content-Length: 999999999999\r\n\r\n{}",
            b"Content-Length: -1\r\n\r\n{}",
            b"Content-Length: 10\r\n\r\n{}",
            b"Content-Type: x\r\n\r\n{}",
            b"hello\r\n\r\n",
            b"Content-Length: 2\r\n",
            &[b'x'; 10_000],
        ] {
            assert!(matches!(first(broken), Incoming::End(Some(_))), "{}", String::from_utf8_lossy(broken));
        }
    }
}
