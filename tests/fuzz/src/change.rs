//! Changes to a plan that mostly keep it YAML: libFuzzer's own tear the indentation apart, and few of what they leave
//! are read to the end.

/// What stands in plans: keys and words of the schema, and quantities.
const WORDS: &str = include_str!("../plan.dict");

/// A stream of numbers from a seed (SplitMix64).
pub struct Chance(u64);

impl Chance {
    /// From the seed that libFuzzer gives.
    pub fn new(seed: u32) -> Self {
        Self(u64::from(seed))
    }

    /// A number below `bound`, which is not 0.
    pub fn below(&mut self, bound: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((mixed ^ (mixed >> 31)) % bound as u64) as usize
    }

    fn pick<'t, T>(&mut self, of: &'t [T]) -> Option<&'t T> {
        (!of.is_empty()).then(|| &of[self.below(of.len())])
    }
}

/// Numbers at which something may turn.
const NUMBERS: [&str; 24] = [
    "0",
    "-0",
    "1",
    "-1",
    "2",
    "0.5",
    "1e-12",
    "1e12",
    "1e-6",
    "1e6",
    "-1e9",
    "3",
    "12",
    "15",
    "100",
    "1000",
    "0.001",
    "90",
    "180",
    "360",
    "65535",
    "4294967295",
    "0.1",
    "1e3",
];

/// The plan with one to four changes.
pub fn plan(text: &str, chance: &mut Chance) -> String {
    let mut text = text.to_owned();
    for _ in 0..=chance.below(4) {
        text = match chance.below(8) {
            0 => without_line(&text, chance),
            1 => line_again(&text, chance),
            2 => pair(&text, chance, ""),
            3 => item_again(&text, chance),
            4 | 5 => token(&text, chance, other_number),
            _ => token(&text, chance, other_word),
        };
    }
    text
}

fn lines(text: &str) -> Vec<&str> {
    text.split_inclusive('\n').collect()
}

fn without_line(text: &str, chance: &mut Chance) -> String {
    let mut lines = lines(text);
    if !lines.is_empty() {
        lines.remove(chance.below(lines.len()));
    }
    lines.concat()
}

/// A line once more, somewhere.
fn line_again(text: &str, chance: &mut Chance) -> String {
    let mut lines = lines(text);
    if let Some(line) = chance.pick(&lines).copied() {
        lines.insert(chance.below(lines.len() + 1), line);
    }
    lines.concat()
}

/// One `key: value` of a mapping in braces gives way to a text.
fn pair(text: &str, chance: &mut Chance, with: &str) -> String {
    let starts: Vec<usize> = text.match_indices(", ").map(|(at, _)| at).collect();
    let Some(&start) = chance.pick(&starts) else { return text.to_owned() };
    let rest = &text[start + 2..];
    let end = rest.find([',', '}', ']', '\n']).unwrap_or(rest.len());
    format!("{}{with}{}", &text[..start], &rest[end..])
}

/// An item of a list in brackets once more, in another place of the same sort.
fn item_again(text: &str, chance: &mut Chance) -> String {
    let commas: Vec<usize> = text.match_indices(", ").map(|(at, _)| at).collect();
    let (Some(&from), Some(&to)) = (chance.pick(&commas), chance.pick(&commas)) else { return text.to_owned() };
    let rest = &text[from..];
    let end = rest[2..].find([',', '}', ']', '\n']).map_or(rest.len(), |end| end + 2);
    format!("{}{}{}", &text[..to], &rest[..end], &text[to..])
}

fn is_of_token(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'-' | b'/' | b'_' | b'%' | b'"' | b'+')
}

/// One token gives way to another.
fn token(text: &str, chance: &mut Chance, other: fn(&[&str], &str, &mut Chance) -> Option<String>) -> String {
    let bytes = text.as_bytes();
    let starts = |&at: &usize| is_of_token(bytes[at]) && (at == 0 || !is_of_token(bytes[at - 1]));
    let range =
        |start: usize| start..bytes[start..].iter().position(|b| !is_of_token(*b)).map_or(bytes.len(), |n| start + n);
    let tokens: Vec<_> = (0..bytes.len()).filter(starts).map(range).collect();
    let words: Vec<&str> = tokens.iter().map(|range| &text[range.clone()]).collect();
    for _ in 0..8 {
        let Some(range) = chance.pick(&tokens) else { break };
        if let Some(new) = other(&words, &text[range.clone()], chance) {
            return format!("{}{new}{}", &text[..range.start], &text[range.end..]);
        }
    }
    text.to_owned()
}

fn other_number(words: &[&str], old: &str, chance: &mut Chance) -> Option<String> {
    let number: f64 = old.parse().ok()?;
    match chance.below(5) {
        0 => chance.pick(&NUMBERS).map(|&new| new.to_owned()),
        1 => Some(format!("{}", number * 10.0)),
        2 => Some(format!("{}", number / 10.0)),
        3 => Some(format!("{}", number + 1.0)),
        _ => words
            .iter()
            .cycle()
            .skip(chance.below(words.len()))
            .take(words.len())
            .find(|w| w.parse::<f64>().is_ok())
            .map(|&w| w.to_owned()),
    }
}

fn other_word(words: &[&str], _old: &str, chance: &mut Chance) -> Option<String> {
    let known = || WORDS.lines().filter_map(|line| line.trim().strip_prefix('"')?.strip_suffix('"'));
    match chance.below(3) {
        0 => chance.pick(words).map(|&new| new.to_owned()),
        _ => known().nth(chance.below(known().count().max(1))).map(str::to_owned),
    }
}

/// A mutator for libFuzzer: half of the changes are these, half its own.
pub fn mutate(data: &mut [u8], size: usize, max_size: usize, seed: u32) -> usize {
    let mut chance = Chance::new(seed);
    let Some(text) = std::str::from_utf8(&data[..size]).ok().filter(|_| chance.below(4) > 0) else {
        return libfuzzer_sys::fuzzer_mutate(data, size, max_size);
    };
    let changed = plan(text, &mut chance);
    let length = changed.len().min(max_size);
    data[..length].copy_from_slice(&changed.as_bytes()[..length]);
    length
}
