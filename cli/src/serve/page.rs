//! A short text for a person, as Markdown or plain. What comes from plans and modules is escaped in one place.

use crate::output::escape;

/// A text that is being put together.
pub struct Page {
    markdown: bool,
    out: String,
}

impl Page {
    /// An empty one.
    pub fn new(markdown: bool) -> Self {
        Self { markdown, out: String::new() }
    }

    /// Whether nothing has been said.
    pub fn is_empty(&self) -> bool {
        self.out.is_empty()
    }

    /// A new part with a heading.
    pub fn heading(&mut self, text: &str) {
        self.part();
        let text = self.safe(text);
        if self.markdown {
            self.out.push_str(&format!("**{text}**\n"))
        } else {
            self.out.push_str(&format!("{text}\n"))
        }
    }

    /// A new part without a heading.
    pub fn part(&mut self) {
        if !self.out.is_empty() {
            self.out.push_str(if self.markdown { "\n---\n\n" } else { "\n" });
        }
    }

    /// A paragraph.
    pub fn line(&mut self, text: &str) {
        let text = self.safe(text);
        self.out.push_str(&if self.markdown { format!("\n{text}\n") } else { format!("{text}\n") });
    }

    /// A line of a list: a label and what is said of it.
    pub fn item(&mut self, label: &str, text: &str) {
        let (label, text) = (self.safe(label), self.safe(text));
        if self.markdown && !self.out.ends_with("\n\n") && !self.out.ends_with('*') && !self.is_in_list() {
            self.out.push('\n');
        }
        self.out.push_str(&if self.markdown { format!("- {label}: {text}\n") } else { format!("  {label}: {text}\n") });
    }

    /// The text.
    pub fn finish(self) -> String {
        self.out.trim_end().to_owned()
    }

    fn is_in_list(&self) -> bool {
        self.out.trim_end().lines().last().is_some_and(|line| line.starts_with("- "))
    }

    fn safe(&self, text: &str) -> String {
        if self.markdown { escape::markdown(text) } else { escape::terminal(text).into_owned() }
    }
}

#[cfg(test)]
mod tests {
    use super::Page;

    fn page(markdown: bool) -> String {
        let mut page = Page::new(markdown);
        page.heading("L1, a *luminaire*");
        page.item("volts", "11.6 V");
        page.item("fed by", "S1/12 \u{1b}[31m");
        page.part();
        page.line("a line");
        page.finish()
    }

    #[test]
    fn what_is_said_is_the_same_in_both_forms() {
        let plain = "L1, a *luminaire*\n  volts: 11.6 V\n  fed by: S1/12 \\u{1b}[31m\n\na line";
        assert_eq!(page(false), plain);
        let markdown =
            "**L1, a \\*luminaire\\***\n\n- volts: 11.6 V\n- fed by: S1/12 \\\\u{1b}\\[31m\n\n---\n\n\na line";
        assert_eq!(page(true), markdown);
    }
}
