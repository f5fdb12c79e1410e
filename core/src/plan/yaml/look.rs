//! A look at a file without reading all of it.

use super::MAX_DEPTH;
use super::source::decode;
use granit_parser::{Event, Parser, options};

/// Whether the outermost mapping of a file has a key. Nothing after the key is read, so the rest may be wrong; where
/// something before it is, the answer is no.
pub(crate) fn has_key(bytes: &[u8], key: &str) -> bool {
    let Ok(text) = decode(bytes) else { return false };
    let options = options! {
        disallow_directives: true,
        emit_comments: false,
        flow_nesting_limit: MAX_DEPTH as usize,
        block_nesting_limit: MAX_DEPTH as usize,
    };
    let mut depth = 0_u32;
    let mut key_is_next = true;
    for event in Parser::new_from_str_with_options(text.trim_start_matches('\u{feff}'), options) {
        let Ok((event, _)) = event else { return false };
        let node_ends = match event {
            Event::MappingStart(..) | Event::SequenceStart(..) => {
                if depth == 0 && matches!(event, Event::SequenceStart(..)) {
                    return false;
                }
                depth += 1;
                false
            }
            Event::MappingEnd | Event::SequenceEnd => {
                depth -= 1;
                true
            }
            Event::Scalar(ref text, ..) => {
                if depth == 1 && key_is_next && **text == *key {
                    return true;
                }
                true
            }
            Event::Alias(_) => true,
            _ => false,
        };
        if node_ends {
            match depth {
                0 => return false,
                1 => key_is_next = !key_is_next,
                _ => {}
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::has_key;

    #[test]
    fn only_keys_of_the_outermost_mapping_count_and_nothing_after_them_is_read() {
        for text in [
            "plan: 1\n",
            "\u{feff}# a plan\nplan: 1\nrest: [\n",
            "a: [b, {plan: 2}]\n\"plan\": 1\n",
            "{a: 1, plan: 1}",
            "? [a]\n: b\nplan: 1\n",
            "a: &x {y: 1}\nb: *x\nplan: 1\n---\nmore",
            "a: |\n  text\nplan: 1\n",
        ] {
            assert!(has_key(text.as_bytes(), "plan"), "{text:?}");
        }
        for text in [
            "",
            "plan",
            "[plan, 1]",
            "a: plan\n",
            "a: {plan: 1}\n",
            "a:\n  plan: 1\n",
            "- plan: 1\n",
            "? {plan: 1}\n: b\n",
            "--- |\nplan: 1\n",
            "a: [\nplan: 1\n",
            "a: 'b\n\n  plan: 1'\n",
            "plan",
        ] {
            assert!(!has_key(text.as_bytes(), "plan"), "{text:?}");
        }
        assert!(!has_key(b"\xff\nplan: 1\n", "plan"), "not UTF-8");
    }
}
