//! SVG to PNG, with the program's own fonts, so that it looks the same on every machine.

use std::sync::{Arc, OnceLock};

use resvg::{tiny_skia, usvg};

use super::ReportError;

/// Liberation Sans 2.1.5, SIL Open Font License 1.1; see fonts/LICENCE.txt.
pub const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
pub const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");

/// Only the program's fonts: a machine's own could change widths and so the layout.
pub fn fonts() -> Arc<usvg::fontdb::Database> {
    static FONTS: OnceLock<Arc<usvg::fontdb::Database>> = OnceLock::new();
    FONTS
        .get_or_init(|| {
            let mut fonts = usvg::fontdb::Database::new();
            fonts.load_font_data(REGULAR.to_vec());
            fonts.load_font_data(BOLD.to_vec());
            fonts.set_sans_serif_family("Liberation Sans");
            Arc::new(fonts)
        })
        .clone()
}

pub fn tree(svg: &str) -> Result<usvg::Tree, ReportError> {
    let options = usvg::Options {
        fontdb: fonts(),
        font_family: "Liberation Sans".into(),
        ..usvg::Options::default()
    };
    usvg::Tree::from_str(svg, &options).map_err(|why| ReportError::Picture(why.to_string()))
}

/// `scale` pixels for each unit of the drawing.
pub fn png(svg: &str, scale: f32) -> Result<Vec<u8>, ReportError> {
    let tree = tree(svg)?;
    let size = tree.size();
    let mut pixels = tiny_skia::Pixmap::new(
        (size.width() * scale).ceil() as u32,
        (size.height() * scale).ceil() as u32,
    )
    .ok_or_else(|| ReportError::Picture(format!("a picture of scale {scale} is too large")))?;
    resvg::render(
        &tree,
        tiny_skia::Transform::from_scale(scale, scale),
        &mut pixels.as_mut(),
    );
    pixels
        .encode_png()
        .map_err(|why| ReportError::Picture(why.to_string()))
}
