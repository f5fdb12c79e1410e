//! A text that is being written, as the editor asks of it: what stands at each place, what could, and what another id
//! for an element changes.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::plan::cursor::{Written, describe, unfinished, wanted};
use lintern_fuzz::{change, loaded};

/// Places that are asked for in one text.
const PLACES: usize = 16;

/// Elements of one text that get another id.
const RENAMED: usize = 2;

const NEW_ID: &str = "renamed-here";

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change::mutate(data, size, max_size, seed)
});

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let written = Written::read(text);
    let step = text.len() / PLACES + 1;
    for byte in (0..=text.len()).step_by(step) {
        if let Some(found) = unfinished(text, byte) {
            assert!(text.get(found.word.clone()).is_some(), "{:?} is not in the text", found.word);
            assert!(found.word.start <= byte && byte <= found.word.end, "{:?} is not at {byte}", found.word);
            let (_, _) = (describe(&found.route), wanted(&found.route));
        }
        if let Some(written) = &written {
            spot(written, text, byte);
        }
    }
    if let Some(written) = &written {
        rename(written, text);
    }
});

fn spot(written: &Written, text: &str, byte: usize) {
    let spot = written.at(byte);
    assert!(text.get(spot.bytes.clone()).is_some(), "{:?} is not in the text", spot.bytes);
    let (_, _, _) = (describe(&spot.route), written.role(&spot), written.element_of(&spot.route));
    for key in written.keys(&spot.route) {
        assert!(!key.contains('\0'), "{key:?}");
    }
    for bytes in written.elements().into_iter().map(|named| named.id_bytes) {
        assert!(text.get(bytes.clone()).is_some(), "{bytes:?} is not in the text");
    }
}

/// With another id the text says the same of the element: what loaded loads again.
fn rename(written: &Written, text: &str) {
    let before = loaded(text.as_bytes());
    for named in written.elements().into_iter().step_by(7).take(RENAMED) {
        let Ok(edits) = written.rename(&named.id, NEW_ID) else { continue };
        let mut changed = text.to_owned();
        for (bytes, new) in edits.iter().rev() {
            assert!(changed.get(bytes.clone()).is_some(), "{bytes:?} is not in the text");
            changed.replace_range(bytes.clone(), new);
        }
        let then = Written::read(&changed).unwrap_or_else(|| panic!("no YAML any more: {changed}"));
        assert!(then.element(NEW_ID).is_some() && then.element(&named.id).is_none(), "{} in {changed}", named.id);
        if before.layout.is_some() {
            assert_eq!(loaded(changed.as_bytes()).diagnostics, [], "{} in {changed}", named.id);
        }
    }
}
