//! A visit on paper and as pictures. Reads records, changes none.
//!
//! Invariant: what nobody confirmed is marked so on every page; invented data is told on every page.

mod anaesthetic;
pub mod clinical;
pub mod content;
pub mod discharge;
pub mod html;
mod lesions;
pub mod owner;
pub mod paper;
pub mod pdf;
pub mod picture;
pub mod raster;
pub mod surgery;

/// What can fail with a report.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// Stop: a bug of this program.
    #[error("cannot draw the picture: {0}")]
    Picture(String),
    /// Stop: a bug of this program.
    #[error("cannot write the PDF: {0}")]
    Pdf(String),
}
