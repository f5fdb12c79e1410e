//! Files that are huge, in one line, or of bytes that no plan has.

use super::{DAY, bash, expect};
use crate::support::{CLEAN, Site};

/// Characters of a huge line.
const HUGE: usize = 20_000_000;

/// Checks a plan with little memory and expects an exit code, some words and an answer that one can look at.
fn check(text: &[u8], code: i32, told: &str) {
    let site = Site::new(&[]);
    site.write("a.yaml", text);
    // KiB; several times what the file has, and what an answer needs at most.
    let outcome = expect(&site, &format!("ulimit -v 2000000; \"$L\" check a.yaml {DAY}"), code, told);
    assert!(outcome.out.len() < 20_000, "{} bytes are told", outcome.out.len());
}

#[test]
fn a_huge_line_is_read_or_refused_and_never_repeated() {
    let long = |letter: &str| letter.repeat(HUGE / letter.len());
    check(format!("#{}\n{CLEAN}", long("c")).as_bytes(), 0, "1 plan");
    check(CLEAN.replace("Two lamps", &long("n")).as_bytes(), 0, "1 plan");
    check(CLEAN.replace("Two lamps", &format!("\"{}", long("q"))).as_bytes(), 2, "quote");
    check(CLEAN.replace("12 AWG", &long("9")).as_bytes(), 2, "999");
    check(format!("{}: 1\n{CLEAN}", long("k")).as_bytes(), 2, "kkk");
    check(long(" ").as_bytes(), 2, "the file is empty");
}

#[test]
fn huge_lists_and_depths_are_refused() {
    let long = |letters: &str| letters.repeat(HUGE / letters.len());
    check(format!("runs: [{}]", long("1,")).as_bytes(), 2, "values, the most that is read");
    for open in ["[", "{", "- ", "? ", "a: ["] {
        check(long(open).as_bytes(), 2, "a.yaml:1:");
    }
}

#[test]
fn a_file_beyond_the_limit_is_refused_without_reading_it() {
    let site = Site::new(&[("b.yaml", CLEAN)]);
    // A thousand times more than there is memory for: nothing of it is read.
    let made = bash(&site, "truncate -s 1T a.yaml && truncate -s 1T a.json && truncate -s 1T a.wasm");
    if made.code != 0 {
        eprintln!("NOT TESTED: no sparse file of a terabyte can be made here: {made:?}");
        return;
    }
    for (command, told) in [
        ("check a.yaml", "it has more than 64 MB"),
        ("solve a.yaml", "it has more than 64 MB"),
        ("check .", "it has more than 64 MB"),
        ("import geojson a.json", "it has more than"),
        ("merge a.json", "it has more than"),
        ("verify a.json", "it has more than"),
        ("rule inspect a.wasm", "it has more than"),
    ] {
        expect(&site, &format!("ulimit -v 2000000; \"$L\" {command}"), 2, told);
    }
}

#[test]
fn odd_bytes_are_read_as_text_or_refused_with_their_place() {
    let clean = CLEAN.as_bytes();
    let with = |bytes: &[u8]| [clean, bytes].concat();
    check(&with(b"\0"), 2, "the file has a NUL byte at offset");
    check(&with(b"# \xff\n"), 2, "the file is not UTF-8: the byte 0xFF at offset");
    check(&[b"\xef\xbb\xbf", clean].concat(), 0, "1 plan");
    check(CLEAN.replace('\n', "\r\n").as_bytes(), 0, "1 plan");
    check(&CLEAN.encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<_>>(), 2, "UTF-16");
    check(&[0; 1_000_000], 2, "NUL byte");
    check(b"", 2, "the file is empty");
}
