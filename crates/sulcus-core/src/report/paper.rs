//! A report as A4 pages, each an SVG: breaks lines and pages, places pictures. Units are points (1/72 inch).
//!
//! Invariants: no word is lost at a break; a row of a table and a picture stand on one page; a heading is not the
//! last thing on a page; the foot is on every page.

use super::ReportError;
use super::content::{Block, Report, Table};
use super::picture::escape;
use super::raster::{BOLD, REGULAR};

pub const WIDTH: f64 = 595.0;
pub const HEIGHT: f64 = 842.0;
/// 15 mm: printers reach that far.
const MARGIN: f64 = 42.5;
const INNER: f64 = WIDTH - 2.0 * MARGIN;
const BOTTOM: f64 = HEIGHT - MARGIN - 22.0;
/// Between baselines, as a share of the letters' size.
const LEADING: f64 = 1.28;

/// Sizes of letters; the owner's sheet is set larger.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    pub body: f64,
    pub heading: f64,
    pub title: f64,
    pub subtitle: f64,
    /// Pictures are this share of the width.
    pub picture: f64,
}

pub const CLINIC: Style = Style {
    body: 8.3,
    heading: 11.0,
    title: 18.0,
    subtitle: 12.0,
    picture: 1.0,
};

pub const OWNER: Style = Style {
    body: 11.5,
    heading: 15.0,
    title: 26.0,
    subtitle: 14.0,
    picture: 0.94,
};

struct Faces {
    regular: ttf_parser::Face<'static>,
    bold: ttf_parser::Face<'static>,
}

impl Faces {
    fn load() -> Result<Self, ReportError> {
        let face = |bytes| {
            ttf_parser::Face::parse(bytes, 0).map_err(|why| ReportError::Pdf(why.to_string()))
        };
        Ok(Self {
            regular: face(REGULAR)?,
            bold: face(BOLD)?,
        })
    }

    /// Width of a text, in points. A letter that the font lacks counts as wide as the letter's height.
    fn width(&self, text: &str, size: f64, bold: bool) -> f64 {
        let face = if bold { &self.bold } else { &self.regular };
        let units = f64::from(face.units_per_em());
        text.chars()
            .map(|c| {
                face.glyph_index(c)
                    .and_then(|glyph| face.glyph_hor_advance(glyph))
                    .map_or(size, |advance| f64::from(advance) / units * size)
            })
            .sum()
    }

    /// Lines no wider than the room; a word wider than that is cut.
    fn wrap(&self, text: &str, size: f64, bold: bool, room: f64) -> Vec<String> {
        let mut lines = vec![String::new()];
        // Not at the space that holds figures together (U+00A0).
        for word in text
            .split([' ', '\n', '\t'])
            .filter(|word| !word.is_empty())
        {
            let mut rest = word.to_owned();
            while !rest.is_empty() {
                let line = lines.last().map_or("", String::as_str);
                let joined = if line.is_empty() {
                    rest.clone()
                } else {
                    format!("{line} {rest}")
                };
                if self.width(&joined, size, bold) <= room {
                    if let Some(last) = lines.last_mut() {
                        *last = joined;
                    }
                    break;
                }
                if !line.is_empty() {
                    lines.push(String::new());
                    continue;
                }
                let mut fits = String::new();
                for c in rest.chars() {
                    fits.push(c);
                    if self.width(&fits, size, bold) > room && fits.chars().count() > 1 {
                        fits.pop();
                        break;
                    }
                }
                let cut = fits.len();
                if let Some(last) = lines.last_mut() {
                    *last = fits;
                }
                rest = rest.split_off(cut);
                if !rest.is_empty() {
                    lines.push(String::new());
                }
            }
        }
        lines
    }
}

/// The pages as SVG.
pub fn pages(report: &Report, style: Style) -> Result<Vec<String>, ReportError> {
    let mut setter = Setter {
        faces: Faces::load()?,
        style,
        pages: vec![String::new()],
        y: MARGIN,
    };
    setter.head(report);
    for (index, block) in report.blocks.iter().enumerate() {
        setter.block(block, report.blocks.get(index + 1));
    }
    Ok(setter.finish(&report.foot))
}

struct Setter {
    faces: Faces,
    style: Style,
    pages: Vec<String>,
    y: f64,
}

impl Setter {
    fn put(&mut self, svg: &str) {
        if let Some(page) = self.pages.last_mut() {
            page.push_str(svg);
        }
    }

    /// A new page where the room does not do.
    fn need(&mut self, height: f64) {
        if self.y + height > BOTTOM && self.y > MARGIN {
            self.pages.push(String::new());
            self.y = MARGIN;
        }
    }

    fn text_at(&mut self, x: f64, baseline: f64, text: &str, size: f64, bold: bool) {
        let weight = if bold { " font-weight=\"bold\"" } else { "" };
        self.put(&format!(
            "<text x=\"{x:.1}\" y=\"{baseline:.1}\" font-family=\"Liberation Sans\" font-size=\"{size}\"{weight} fill=\"#111111\" xml:space=\"preserve\">{}</text>\n",
            escape(text)
        ));
    }

    fn rule(&mut self, y: f64, width: f64, grey: &str) {
        self.put(&format!(
            "<path d=\"M{MARGIN} {y:.1}H{:.1}\" stroke=\"{grey}\" stroke-width=\"{width}\"/>\n",
            WIDTH - MARGIN
        ));
    }

    /// Wrapped lines from the current height on; each line may open a page.
    fn lines(&mut self, x: f64, text: &str, size: f64, bold: bool) {
        for line in self.faces.wrap(text, size, bold, WIDTH - MARGIN - x) {
            self.need(size * LEADING);
            let baseline = self.y + size;
            self.text_at(x, baseline, &line, size, bold);
            self.y += size * LEADING;
        }
    }

    fn head(&mut self, report: &Report) {
        let style = self.style;
        self.lines(MARGIN, &report.title, style.title, true);
        self.lines(MARGIN, &report.subtitle, style.subtitle, false);
        self.y += 4.0;
        if report.warnings.is_empty() {
            return;
        }
        let size = style.body;
        let lines: Vec<String> = report
            .warnings
            .iter()
            .flat_map(|warning| self.faces.wrap(warning, size, true, INNER - 16.0))
            .collect();
        let height = lines.len() as f64 * size * LEADING + 8.0;
        self.put(&format!(
            "<rect x=\"{MARGIN}\" y=\"{:.1}\" width=\"{INNER}\" height=\"{height:.1}\" fill=\"none\" stroke=\"#111111\" stroke-width=\"1.2\"/>\n",
            self.y
        ));
        self.y += 4.0;
        for line in lines {
            let baseline = self.y + size;
            self.text_at(MARGIN + 8.0, baseline, &line, size, true);
            self.y += size * LEADING;
        }
        self.y += 12.0;
    }

    fn block(&mut self, block: &Block, next: Option<&Block>) {
        let size = self.style.body;
        match block {
            Block::Heading(text) => {
                let heading = self.style.heading;
                // Room for the heading and the beginning of what it heads.
                let below = match next {
                    Some(Block::Picture { svg, .. }) => self.picture_height(svg),
                    _ => size * LEADING * 3.0,
                };
                self.need(heading * 2.2 + below);
                self.y += heading * 0.6;
                self.lines(MARGIN, text, heading, true);
                self.y += 1.0;
                let y = self.y;
                self.rule(y, 0.8, "#111111");
                self.y += 4.0;
            }
            Block::Paragraph(text) => {
                self.lines(MARGIN, text, size, false);
                self.y += size * 0.6;
            }
            Block::List(items) => {
                for item in items {
                    self.need(size * LEADING);
                    let baseline = self.y + size;
                    self.text_at(MARGIN, baseline, "\u{2022}", size, false);
                    self.lines(MARGIN + size, item, size, false);
                    self.y += size * 0.2;
                }
                self.y += size * 0.4;
            }
            Block::Table(table) => self.table(table),
            Block::Picture { svg, caption } => self.picture(svg, caption),
        }
    }

    fn table(&mut self, table: &Table) {
        let size = self.style.body;
        let total: f64 = table.widths.iter().map(|share| f64::from(*share)).sum();
        let mut columns = Vec::new();
        let mut x = MARGIN;
        for share in &table.widths {
            let width = INNER * f64::from(*share) / total;
            columns.push((x, width - 5.0));
            x += width;
        }
        let is_pairs = table.head.is_empty();
        if !is_pairs {
            let y = self.y;
            self.need(size * LEADING * 2.5);
            if self.y < y {
                self.y += 2.0;
            }
            self.row(&table.head, &columns, |_| true);
            let y = self.y - 1.0;
            self.rule(y, 0.8, "#111111");
        }
        for row in &table.rows {
            let page = self.pages.len();
            self.need(self.row_height(row, &columns));
            if self.pages.len() > page && !is_pairs {
                self.row(&table.head, &columns, |_| true);
                let y = self.y - 1.0;
                self.rule(y, 0.8, "#111111");
            }
            self.row(row, &columns, |index| {
                if is_pairs { index % 2 == 0 } else { index == 0 }
            });
            if !is_pairs {
                let y = self.y - 1.0;
                self.rule(y, 0.3, "#999999");
            }
        }
        self.y += size * 0.6;
    }

    fn row_height(&self, row: &[String], columns: &[(f64, f64)]) -> f64 {
        let size = self.style.body;
        let most = row
            .iter()
            .zip(columns)
            .map(|(cell, (_, width))| self.faces.wrap(cell, size, true, *width).len())
            .max()
            .unwrap_or(1);
        most as f64 * size * LEADING + 3.0
    }

    fn row(&mut self, row: &[String], columns: &[(f64, f64)], is_bold: impl Fn(usize) -> bool) {
        let size = self.style.body;
        let mut most = 1;
        for (index, (cell, (x, width))) in row.iter().zip(columns).enumerate() {
            let bold = is_bold(index);
            let lines = self.faces.wrap(cell, size, bold, *width);
            most = most.max(lines.len());
            for (line_index, line) in lines.iter().enumerate() {
                let baseline = self.y + size + line_index as f64 * size * LEADING;
                if !line.is_empty() {
                    self.text_at(*x, baseline, line, size, bold);
                }
            }
        }
        self.y += most as f64 * size * LEADING + 3.0;
    }

    fn picture_height(&self, svg: &str) -> f64 {
        let (width, height) = size_of(svg);
        INNER * self.style.picture / width * height + self.style.body * 2.0
    }

    fn picture(&mut self, svg: &str, caption: &str) {
        self.need(self.picture_height(svg));
        let size = self.style.body;
        let baseline = self.y + size;
        self.text_at(MARGIN, baseline, caption, size, true);
        self.y += size * 1.4;
        let (width, height) = size_of(svg);
        let scale = INNER * self.style.picture / width;
        let x = MARGIN + INNER * (1.0 - self.style.picture) / 2.0;
        let y = self.y;
        self.put(&format!(
            "<g transform=\"translate({x:.1} {y:.1}) scale({scale:.4})\">{svg}</g>\n"
        ));
        self.y += height * scale + size * 0.6;
    }

    fn finish(mut self, foot: &str) -> Vec<String> {
        const SIZE: f64 = 6.5;
        let count = self.pages.len();
        let mut done = Vec::with_capacity(count);
        for (index, page) in std::mem::take(&mut self.pages).into_iter().enumerate() {
            self.pages = vec![page];
            let y = HEIGHT - MARGIN - 14.0;
            self.rule(y, 0.5, "#111111");
            let number = format!("page {} of {count}", index + 1);
            let room = INNER - 60.0;
            let lines = self.faces.wrap(foot, SIZE, false, room);
            for (line_index, line) in lines.iter().enumerate() {
                self.text_at(
                    MARGIN,
                    y + 10.0 + line_index as f64 * SIZE * 1.2,
                    line,
                    SIZE,
                    false,
                );
            }
            let x = WIDTH - MARGIN - self.faces.width(&number, SIZE, false);
            self.text_at(x, y + 10.0, &number, SIZE, false);
            let body = self.pages.pop().unwrap_or_default();
            done.push(format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" width=\"{WIDTH}\" height=\"{HEIGHT}\">\n\
                 <rect width=\"{WIDTH}\" height=\"{HEIGHT}\" fill=\"#ffffff\"/>\n{body}</svg>\n"
            ));
        }
        done
    }
}

/// Width and height of a picture of ours, from its view box.
fn size_of(svg: &str) -> (f64, f64) {
    let numbers: Vec<f64> = svg
        .split_once("viewBox=\"")
        .and_then(|(_, rest)| rest.split_once('"'))
        .map(|(numbers, _)| {
            numbers
                .split(' ')
                .filter_map(|number| number.parse().ok())
                .collect()
        })
        .unwrap_or_default();
    match numbers.as_slice() {
        [_, _, width, height] if *width > 0.0 => (*width, *height),
        _ => (1.0, 1.0),
    }
}
