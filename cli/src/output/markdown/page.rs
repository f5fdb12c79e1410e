//! A page that never gets longer than a comment may be.

use std::fmt::Write as _;

/// Characters that a comment on GitHub may have are 65,536; some are left for what a workflow puts around it.
const MOST_CHARS: usize = 60_000;

/// Text that is added block by block, while there is room.
pub struct Page {
    text: String,
    chars: usize,
    reserved: usize,
}

impl Page {
    /// An empty one that keeps room for its end.
    pub fn new(end: &str) -> Self {
        Self { text: String::new(), chars: 0, reserved: end.chars().count() + 200 }
    }

    /// Adds a block, if it fits.
    #[must_use]
    pub fn add(&mut self, block: &str) -> bool {
        let chars = block.chars().count();
        let fits = self.chars + chars + self.reserved <= MOST_CHARS;
        if fits {
            self.text.push_str(block);
            self.chars += chars;
        }
        fits
    }

    /// Adds blocks under a heading while they fit; says how many did not. With `folded` they can be opened by the reader.
    pub fn section(&mut self, heading: &str, blocks: &[String], folded: bool) {
        if blocks.is_empty() {
            return;
        }
        let (open, close) = match folded {
            true => (format!("<details><summary>{heading}</summary>\n\n"), "</details>\n\n".to_owned()),
            false => (format!("### {heading}\n\n"), String::new()),
        };
        // Room for the close and the sentence on what is left out.
        self.reserved += close.chars().count() + 120;
        if self.add(&open) {
            let fitted = blocks.iter().take_while(|block| self.add(block)).count();
            let left = blocks.len() - fitted;
            let mut end = String::new();
            if left > 0 {
                let _ = write!(end, "\n{left} more are left out here: a comment has no room for them.\n");
            }
            if !self.text.ends_with("\n\n") || left > 0 {
                end.push('\n');
            }
            end.push_str(&close);
            self.text.push_str(&end);
            self.chars += end.chars().count();
        } else {
            let line = format!("{heading}: left out here, a comment has no room for them.\n\n");
            self.text.push_str(&line);
            self.chars += line.chars().count();
        }
        self.reserved -= close.chars().count() + 120;
    }

    /// The whole text with its end.
    pub fn finish(mut self, end: &str) -> String {
        self.text.push_str(end);
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::{MOST_CHARS, Page};

    #[test]
    fn a_page_stays_within_its_limit_and_says_what_is_left_out() {
        let end = "the end\n";
        let mut page = Page::new(end);
        let blocks: Vec<String> = (0..5000).map(|i| format!("- finding {i} with some text\n")).collect();
        page.section("findings", &blocks, false);
        page.section("more", &blocks, true);
        let text = page.finish(end);
        assert!(text.chars().count() <= MOST_CHARS, "{}", text.chars().count());
        let left: usize = text.split(" more are left out").next().unwrap().lines().last().unwrap().parse().unwrap();
        assert_eq!(text.matches("- finding").count(), 5000 - left);
        assert!(text.contains("more: left out here") && text.ends_with(end), "{}", &text[text.len() - 300..]);
    }
}
