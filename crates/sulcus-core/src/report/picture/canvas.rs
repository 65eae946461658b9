//! Writes SVG text: shapes, text, patterns, escaping. Knows nothing of teeth.

use std::fmt::Write;

use super::{Colours, Options};

pub struct Canvas {
    body: String,
    colours: Colours,
    prefix: String,
}

/// Where a text stands on its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => safe.push(' '),
            c => safe.push(c),
        }
    }
    safe
}

impl Canvas {
    pub fn new(options: &Options) -> Self {
        Self {
            body: String::new(),
            colours: options.colours,
            prefix: options
                .id_prefix
                .chars()
                .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
                .collect(),
        }
    }

    fn colour(&self, name: &str, value: &str) -> String {
        match self.colours {
            Colours::Page => format!("var(--sulcus-{name}, {value})"),
            Colours::Paper => value.to_owned(),
        }
    }

    /// Lines, bars and text.
    pub fn ink(&self) -> String {
        self.colour("ink", "#111111")
    }

    pub fn paper(&self) -> String {
        self.colour("paper", "#ffffff")
    }

    /// Lines of lesser weight.
    pub fn soft(&self) -> String {
        self.colour("soft", "#888888")
    }

    /// Light fill under dark text.
    pub fn tint(&self) -> String {
        self.colour("tint", "#dddddd")
    }

    /// Fill with slanting lines.
    pub fn hatch(&self) -> String {
        format!("url(#{}-hatch)", self.prefix)
    }

    /// Fill with dots.
    pub fn dots(&self) -> String {
        format!("url(#{}-dots)", self.prefix)
    }

    pub fn open(&mut self, attributes: &[(&str, &str)]) {
        self.body.push_str("<g");
        for (name, value) in attributes {
            // Writing to a String cannot fail.
            let _ = write!(self.body, " {name}=\"{}\"", escape(value));
        }
        self.body.push('>');
    }

    pub fn close(&mut self) {
        self.body.push_str("</g>\n");
    }

    /// What a screen reader says of the group.
    pub fn title(&mut self, text: &str) {
        let _ = write!(self.body, "<title>{}</title>", escape(text));
    }

    pub fn path(&mut self, d: &str, fill: &str, stroke: &str, width: f64, dash: Option<&str>) {
        let dash = dash.map_or_else(String::new, |dash| format!(" stroke-dasharray=\"{dash}\""));
        let _ = write!(
            self.body,
            "<path d=\"{d}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"{width}\" stroke-linejoin=\"round\" stroke-linecap=\"round\"{dash}/>"
        );
    }

    pub fn line(
        &mut self,
        from: (f64, f64),
        to: (f64, f64),
        stroke: &str,
        width: f64,
        dash: Option<&str>,
    ) {
        let d = format!("M{:.1} {:.1}L{:.1} {:.1}", from.0, from.1, to.0, to.1);
        self.path(&d, "none", stroke, width, dash);
    }

    pub fn polygon(
        &mut self,
        points: &[(f64, f64)],
        fill: &str,
        stroke: &str,
        width: f64,
        dash: Option<&str>,
    ) {
        let mut d = String::new();
        for (index, (x, y)) in points.iter().enumerate() {
            let _ = write!(d, "{}{x:.1} {y:.1}", if index == 0 { "M" } else { "L" });
        }
        d.push('Z');
        self.path(&d, fill, stroke, width, dash);
    }

    pub fn rect(&mut self, x: f64, y: f64, width: f64, height: f64, fill: &str, stroke: &str) {
        let _ = write!(
            self.body,
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{height:.1}\" fill=\"{fill}\" stroke=\"{stroke}\"/>"
        );
    }

    pub fn circle(&mut self, at: (f64, f64), radius: f64, fill: &str, stroke: &str, width: f64) {
        let _ = write!(
            self.body,
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"{radius:.1}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"{width}\"/>",
            at.0, at.1
        );
    }

    /// The baseline is set a third of the size below the point, so that the text is centred on it.
    pub fn text(&mut self, at: (f64, f64), text: &str, style: Text) {
        let anchor = match style.anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if style.bold {
            " font-weight=\"bold\""
        } else {
            ""
        };
        let turn = match style.turn_degrees {
            0.0 => String::new(),
            degrees => format!(
                " transform=\"rotate({degrees:.1} {:.1} {:.1})\"",
                at.0, at.1
            ),
        };
        let fill = self.ink();
        let base = format!(
            "x=\"{:.1}\" y=\"{:.1}\" font-family=\"Liberation Sans, Arial, Helvetica, sans-serif\" font-size=\"{}\" text-anchor=\"{anchor}\"{weight}{turn}",
            at.0,
            at.1 + style.size * 0.35,
            style.size
        );
        let _ = write!(
            self.body,
            "<text {base} fill=\"{fill}\">{}</text>",
            escape(text)
        );
    }

    /// The whole picture.
    pub fn finish(self, width: f64, height: f64, title: &str) -> String {
        let (ink, paper, prefix) = (self.ink(), self.paper(), &self.prefix);
        let title = escape(title);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\" aria-label=\"{title}\" class=\"sulcus-picture\">\n\
             <title>{title}</title>\n\
             <defs><pattern id=\"{prefix}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
             <rect width=\"6\" height=\"6\" fill=\"{paper}\"/><rect width=\"2\" height=\"6\" fill=\"{ink}\"/></pattern>\
             <pattern id=\"{prefix}-dots\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"6\" height=\"6\" fill=\"{paper}\"/><circle cx=\"3\" cy=\"3\" r=\"1.3\" fill=\"{ink}\"/></pattern></defs>\n\
             <rect width=\"{width:.0}\" height=\"{height:.0}\" fill=\"{paper}\"/>\n{}</svg>\n",
            self.body
        )
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Text {
    pub size: f64,
    pub bold: bool,
    pub anchor: Anchor,
    pub turn_degrees: f64,
}

impl Text {
    pub fn new(size: f64, anchor: Anchor) -> Self {
        Self {
            size,
            bold: false,
            anchor,
            turn_degrees: 0.0,
        }
    }

    pub fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub fn turned(self, turn_degrees: f64) -> Self {
        Self {
            turn_degrees,
            ..self
        }
    }
}
