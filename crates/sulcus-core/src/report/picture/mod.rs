//! Pictures of mouth and tooth as SVG, made from a record. Our own drawing: teeth seen from above along the jaw's
//! curve, depths as bars that grow away from the tooth on the side where they were read.
//!
//! Invariants: no meaning by colour alone: each state has a pattern, a line or a word; all text is text elements
//! and escaped; colours are presentation attributes, so that a page with a strict policy can show them; the same
//! record gives the same picture.

mod anaesthetic;
pub mod arch;
mod canvas;
mod compare;
mod lesions;
mod mouth;
mod tooth;

pub use anaesthetic::anaesthetic_svg;
pub(crate) use canvas::escape;
pub use compare::compare_svg;
pub use lesions::letter as lesion_letter;
pub use mouth::mouth_svg;
pub use tooth::tooth_svg;

use crate::terms::Species;

/// What the picture of the mouth shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum View {
    /// What was found and decided, before anything was done.
    Before,
    /// What the mouth is like at the end.
    #[default]
    After,
    /// The depth in figures at each site.
    Pockets,
    /// For the owner: what was done to which tooth, no figures.
    Plain,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Layout {
    /// Upper jaw beside lower jaw.
    #[default]
    Wide,
    /// Upper jaw above lower jaw.
    Tall,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Colours {
    /// CSS variables --sulcus-ink, --sulcus-paper, --sulcus-soft, --sulcus-tint with black and white to fall back on.
    #[default]
    Page,
    /// Black, white and greys, for paper and pictures.
    Paper,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Options {
    pub view: View,
    pub layout: Layout,
    pub colours: Colours,
    /// Before each id in the picture, so that several can stand on one page. Letters, digits and hyphens.
    pub id_prefix: String,
    /// Under the picture: what the signs mean.
    pub legend: bool,
    /// The tooth at hand gets a ring.
    pub mark: Option<crate::terms::ToothNumber>,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            view: View::default(),
            layout: Layout::default(),
            colours: Colours::default(),
            id_prefix: "m".into(),
            legend: true,
            mark: None,
        }
    }
}

/// Deepest reading that is normal, in mm: dog 3 [Merck Veterinary Manual, WikiVet],
/// cat 1 [AAHA 2013 dental guidelines].
pub fn normal_depth_mm(species: Species) -> u8 {
    match species {
        Species::Dog => 3,
        Species::Cat => 1,
    }
}
