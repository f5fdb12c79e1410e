//! A packet as one page of HTML that needs nothing else: no scripts, no fonts, no pictures from elsewhere.

use super::{Block, Packet};
use crate::drawing::{Drawing, svg};
use crate::output::escape;
use minijinja::value::Value;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, context};

const TEMPLATE: &str = include_str!("page.html");
const STYLE: &str = include_str!("page.css");

/// The page.
///
/// # Errors
/// Where the template does not fit the packet, which a test would show.
pub fn render(packet: &Packet) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    let mut drawings = 0;
    let sections: Vec<Value> = packet
        .sections
        .iter()
        .map(|section| {
            let blocks: Vec<Value> = section.blocks.iter().map(|part| block(part, &mut drawings)).collect();
            context! { id => section.id, title => section.title, blocks }
        })
        .collect();
    environment.render_str(
        TEMPLATE,
        context! {
            title => inline(&packet.title),
            foot => inline(&packet.foot),
            sections,
            style => Value::from_safe_string(STYLE.to_owned()),
        },
    )
}

fn block(block: &Block, drawings: &mut usize) -> Value {
    let pairs = |facts: &[(String, String)]| -> Vec<Value> {
        facts.iter().map(|(name, value)| context! { name => inline(name), value => inline(value) }).collect()
    };
    let lines = |lines: &[String]| -> Vec<Value> { lines.iter().map(|line| inline(line)).collect() };
    match block {
        Block::Text(text) => context! { kind => "text", text => inline(text) },
        Block::List(items) => context! { kind => "list", items => lines(items) },
        Block::Facts(facts) => context! { kind => "facts", facts => pairs(facts) },
        Block::Notice { title, lines: more } => {
            context! { kind => "notice", title => inline(title), lines => lines(more) }
        }
        Block::Table(table) => {
            let columns: Vec<Value> =
                table.columns.iter().map(|c| context! { title => inline(&c.title), numeric => c.numeric }).collect();
            let rows: Vec<Value> = table
                .rows
                .iter()
                .map(|row| {
                    let cells = row.cells.iter().zip(&table.columns);
                    let cells: Vec<Value> =
                        cells.map(|(cell, c)| context! { text => inline(cell), numeric => c.numeric }).collect();
                    context! { cells, fails => row.fails }
                })
                .collect();
            context! { kind => "table", caption => inline(&table.caption), columns, rows }
        }
        Block::Drawing(drawing) => {
            *drawings += 1;
            let (width, height) = (drawing.width_mm, drawing.height_mm);
            let sheet = is_sheet(drawing);
            let svg = Value::from_safe_string(svg::element(drawing, &format!("drawing-{drawings}")));
            context! { kind => "drawing", svg, title => inline(&drawing.title), number => *drawings, width, height, sheet }
        }
        Block::Checks(checks) => {
            let checks: Vec<Value> = checks
                .iter()
                .map(|check| {
                    let (state, title) = (inline(&check.state), inline(&check.title));
                    context! { done => check.done, state, title, detail => inline(&check.detail) }
                })
                .collect();
            context! { kind => "checks", checks }
        }
        Block::Finding(finding) => context! {
            kind => "finding",
            number => inline(&format!("#{}", finding.number)),
            index => finding.number,
            fails => finding.fails,
            heading => inline(&finding.heading),
            message => inline(&finding.message),
            facts => pairs(&finding.facts),
        },
    }
}

/// Whether a drawing is a sheet of its own, wider than a page of text.
pub fn is_sheet(drawing: &Drawing) -> bool {
    drawing.width_mm > drawing.height_mm && drawing.width_mm > 250.0
}

/// A text as it is, with what stands between backquotes set as code where they come in pairs.
fn inline(text: &str) -> Value {
    if text.matches('`').count() % 2 == 1 {
        return Value::from_safe_string(escape::xml(text));
    }
    let parts = text.split('`').enumerate().map(|(i, part)| match i % 2 {
        0 => escape::xml(part),
        _ => format!("<code>{}</code>", escape::xml(part)),
    });
    Value::from_safe_string(parts.collect())
}
