//! The typeface that texts are measured and set in: DejaVu Sans Condensed, whose characters cover what plans of many
//! countries need. PDF embeds it; SVG stretches whatever face a viewer has to the measured width.

use std::borrow::Cow;
use std::sync::OnceLock;
use ttf_parser::Face;

/// One weight of the typeface.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Weight {
    /// For texts.
    Regular,
    /// For headings and what fails.
    Bold,
}

impl Weight {
    /// Bold or not.
    pub fn of(bold: bool) -> Self {
        if bold { Self::Bold } else { Self::Regular }
    }

    /// The file of the face.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => dejavu::sans_condensed::regular(),
            Self::Bold => dejavu::sans_condensed::bold(),
        }
    }

    fn face(self) -> Option<&'static Face<'static>> {
        static FACES: OnceLock<[Option<Face<'static>>; 2]> = OnceLock::new();
        let faces = FACES.get_or_init(|| [Self::Regular, Self::Bold].map(|w| Face::parse(w.bytes(), 0).ok()));
        faces[usize::from(self == Self::Bold)].as_ref()
    }

    /// Width of a text, in sizes of the type.
    pub fn width(self, text: &str) -> f64 {
        let Some(face) = self.face() else { return 0.6 * text.chars().count() as f64 };
        let em = f64::from(face.units_per_em());
        let advance = |c: char| face.glyph_index(c).and_then(|glyph| face.glyph_hor_advance(glyph));
        text.chars().map(|c| advance(c).map_or(0.6, |units| f64::from(units) / em)).sum()
    }
}

/// A text as it can be set: characters that the face lacks are told by their numbers, so that nothing is lost.
pub fn settable(text: &str) -> Cow<'_, str> {
    let has = |c: char| Weight::Regular.face().is_some_and(|face| face.glyph_index(c).is_some());
    if text.chars().all(has) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if has(c) {
            shown.push(c);
        } else {
            shown.push_str(&format!("<U+{:04X}>", u32::from(c)));
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::{Weight, settable};

    #[test]
    fn widths_are_those_of_the_face() {
        // Advances in DejaVuSansCondensed.ttf 2.37, read by fontTools 4.68: A 1260, one 1172, space 585 of 2048.
        let advances = (1260.0 + 1172.0 + 585.0) / 2048.0;
        assert!((Weight::Regular.width("A1 ") - advances).abs() < 1e-9);
        assert!(Weight::Bold.width("Weight") > Weight::Regular.width("Weight"));
    }

    #[test]
    fn characters_that_the_face_lacks_are_told_by_number() {
        assert_eq!(settable("Ωmm² – ≤ Ж"), "Ωmm² – ≤ Ж");
        assert_eq!(settable("庭 1"), "<U+5EAD> 1");
    }
}
