//! What a report consists of, before it is a page or paper: headings, words, tables, pictures.
//! Knows nothing of fonts, widths and HTML.

/// A whole report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    pub title: String,
    /// Under the title, larger than the rest: whose teeth, when.
    pub subtitle: String,
    /// Above everything, in a box: invented data, unconfirmed entries, an open visit.
    pub warnings: Vec<String>,
    pub blocks: Vec<Block>,
    /// On the foot of every page.
    pub foot: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Block {
    Heading(String),
    Paragraph(String),
    List(Vec<String>),
    Table(Table),
    Picture { svg: String, caption: String },
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Empty for a table of names and values.
    pub head: Vec<String>,
    pub rows: Vec<Vec<String>>,
    /// Shares of the width; one for each column.
    pub widths: Vec<u16>,
}

impl Report {
    /// All words in reading order: for tests, and for those who read by ear.
    pub fn text(&self) -> String {
        let mut lines = vec![self.title.clone(), self.subtitle.clone()];
        lines.extend(self.warnings.iter().cloned());
        for block in &self.blocks {
            match block {
                Block::Heading(text) | Block::Paragraph(text) => lines.push(text.clone()),
                Block::List(items) => lines.extend(items.iter().cloned()),
                Block::Table(table) => {
                    lines.extend(table.head.iter().cloned());
                    lines.extend(table.rows.iter().flatten().cloned());
                }
                Block::Picture { caption, .. } => lines.push(caption.clone()),
            }
        }
        lines.push(self.foot.clone());
        lines.retain(|line| !line.is_empty());
        lines.join("\n")
    }
}
