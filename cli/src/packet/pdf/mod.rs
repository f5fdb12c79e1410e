//! A packet as PDF: pages with embedded fonts, text that can be searched, and an outline.
//!
//! [`flow`] sets blocks one below another and starts pages; [`canvas`] is one page; [`table`] sets tables.

mod canvas;
mod flow;
mod table;
mod text;

use super::Packet;
use crate::drawing::face::Weight;
use crate::drawing::paper::Paper;
use flow::Flow;
use krilla::destination::XyzDestination;
use krilla::geom::Point;
use krilla::metadata::{DateTime, Metadata};
use krilla::outline::{Outline, OutlineNode};
use krilla::text::Font;
use krilla::{Document, SerializeSettings};

/// Points to a millimetre.
const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// The fonts of a document.
#[derive(Clone)]
pub struct Fonts {
    regular: Font,
    bold: Font,
}

impl Fonts {
    fn load() -> Option<Self> {
        let font = |weight: Weight| Font::new(weight.bytes().to_vec().into(), 0);
        Some(Self { regular: font(Weight::Regular)?, bold: font(Weight::Bold)? })
    }

    fn of(&self, weight: Weight) -> Font {
        match weight {
            Weight::Regular => self.regular.clone(),
            Weight::Bold => self.bold.clone(),
        }
    }
}

/// The file of a packet, on pages of this paper.
///
/// # Errors
/// What the writer of the file says.
pub fn render(packet: &Packet, paper: Paper) -> Result<Vec<u8>, String> {
    let fonts = Fonts::load().ok_or("the built-in typeface can't be read")?;
    let mut flow = Flow::new(packet, paper);
    for section in &packet.sections {
        flow.section(section);
    }
    let (pages, marks) = flow.finish();
    let mut document = Document::new_with(SerializeSettings::default());
    for page in &pages {
        page.write(&mut document, &fonts)?;
    }
    let mut outline = Outline::new();
    for mark in marks {
        let at = Point::from_xy(0.0, (mark.y_mm * POINTS_PER_MM) as f32);
        outline.push_child(OutlineNode::new(mark.title, XyzDestination::new(mark.page, at)));
    }
    document.set_outline(outline);
    document.set_metadata(metadata(packet));
    document.finish().map_err(|error| format!("{error:?}"))
}

/// The day of the packet is that of its check, so that equal input gives equal bytes.
fn metadata(packet: &Packet) -> Metadata {
    let mut day = packet.as_of.split('-').map(str::parse::<u16>);
    let mut metadata = Metadata::new()
        .title(packet.title.clone())
        .language("en".to_owned())
        .creator(format!("lintern {}", env!("CARGO_PKG_VERSION")))
        .document_id(packet.foot.clone());
    if let (Some(Ok(year)), Some(Ok(month)), Some(Ok(day))) = (day.next(), day.next(), day.next()) {
        metadata = metadata.creation_date(DateTime::new(year).month(month as u8).day(day as u8));
    }
    metadata
}
