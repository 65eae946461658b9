//! A report as one HTML file: no outside resource, no script; prints in black and white.

use super::content::{Block, Report, Table};
use super::picture::escape;

const STYLE: &str = "
body { font: 16px/1.4 'Liberation Sans', Arial, Helvetica, sans-serif; color: #111; background: #fff; max-width: 60rem; margin: 1rem auto; padding: 0 1rem; }
h1 { margin: 0; } h2 { border-bottom: 1px solid #888; margin: 1.4rem 0 .5rem; font-size: 1.15rem; }
.subtitle { font-size: 1.2rem; margin: 0 0 .8rem; }
.warnings { border: 2px solid #111; padding: .4rem .8rem; margin: .8rem 0; font-weight: bold; }
.warnings p { margin: .1rem 0; }
table { border-collapse: collapse; width: 100%; } td, th { text-align: left; vertical-align: top; padding: .15rem .6rem .15rem 0; border-bottom: 1px solid #ccc; }
figure { margin: 1rem 0; break-inside: avoid; } figure svg { width: 100%; height: auto; } figcaption { font-weight: bold; }
footer { margin-top: 1.5rem; font-size: .75rem; overflow-wrap: anywhere; border-top: 1px solid #888; }
@media print { body { margin: 0; max-width: none; font-size: 10pt; } }
";

pub fn html(report: &Report) -> String {
    let mut body = format!(
        "<h1>{}</h1>\n<p class=\"subtitle\">{}</p>\n",
        escape(&report.title),
        escape(&report.subtitle)
    );
    if !report.warnings.is_empty() {
        body.push_str("<div class=\"warnings\" role=\"note\">");
        for warning in &report.warnings {
            body.push_str(&format!("<p>{}</p>", escape(warning)));
        }
        body.push_str("</div>\n");
    }
    for block in &report.blocks {
        match block {
            Block::Heading(text) => body.push_str(&format!("<h2>{}</h2>\n", escape(text))),
            Block::Paragraph(text) => body.push_str(&format!("<p>{}</p>\n", escape(text))),
            Block::List(items) => {
                body.push_str("<ul>");
                for item in items {
                    body.push_str(&format!("<li>{}</li>", escape(item)));
                }
                body.push_str("</ul>\n");
            }
            Block::Table(table) => body.push_str(&rows(table)),
            Block::Picture { svg, caption } => body.push_str(&format!(
                "<figure><figcaption>{}</figcaption>{svg}</figure>\n",
                escape(caption)
            )),
        }
    }
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n\
         <title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n{body}<footer><p>{}</p></footer>\n</body>\n</html>\n",
        escape(&format!("{}: {}", report.title, report.subtitle)),
        escape(&report.foot)
    )
}

fn rows(table: &Table) -> String {
    let mut text = String::from("<table>");
    if !table.head.is_empty() {
        text.push_str("<thead><tr>");
        for cell in &table.head {
            text.push_str(&format!("<th scope=\"col\">{}</th>", escape(cell)));
        }
        text.push_str("</tr></thead>");
    }
    text.push_str("<tbody>");
    for row in &table.rows {
        text.push_str("<tr>");
        for (index, cell) in row.iter().enumerate() {
            // Without a head the table is of names and values: every other cell is a name.
            let tag = if table.head.is_empty() && index % 2 == 0 {
                "th"
            } else {
                "td"
            };
            text.push_str(&format!("<{tag}>{}</{tag}>", escape(cell)));
        }
        text.push_str("</tr>");
    }
    text.push_str("</tbody></table>\n");
    text
}
