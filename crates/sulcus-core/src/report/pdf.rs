//! Pages to PDF, with real text and embedded fonts.

use krilla::Document;
use krilla::geom::Size;
use krilla::metadata::Metadata;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt, SvgSettings};

use super::content::Report;
use super::paper::{self, HEIGHT, Style, WIDTH};
use super::{ReportError, raster};

pub fn pdf(report: &Report, style: Style) -> Result<Vec<u8>, ReportError> {
    let size = Size::from_wh(WIDTH as f32, HEIGHT as f32)
        .ok_or_else(|| ReportError::Pdf("the page has no size".into()))?;
    let mut document = Document::new();
    // No date: the same record gives the same file.
    document.set_metadata(
        Metadata::new()
            .title(format!("{}: {}", report.title, report.subtitle))
            .creator("sulcus".into())
            .language("en".into()),
    );
    for svg in paper::pages(report, style)? {
        let tree = raster::tree(&svg)?;
        let mut page = document.start_page_with(PageSettings::new(size));
        let mut surface = page.surface();
        surface
            .draw_svg(&tree, size, SvgSettings::default())
            .ok_or_else(|| ReportError::Pdf("a page could not be drawn".into()))?;
        surface.finish();
        page.finish();
    }
    document
        .finish()
        .map_err(|why| ReportError::Pdf(format!("{why:?}")))
}
