//! `sulcus report`: a visit on paper, as a page, or as a picture.

use std::path::PathBuf;

use crate::commands::{Outcome, export, visit};
use crate::config::Config;
use crate::report::picture::{self, Colours, Layout, View};
use crate::report::raster;
use crate::terms::ToothNumber;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    #[arg(long, value_enum, default_value_t = Format::Svg)]
    format: Format,

    /// In the forms svg and png: what to draw
    #[arg(long, value_enum, default_value_t = Picture::After)]
    picture: Picture,

    /// The earlier visit, for the picture compare
    #[arg(long, value_name = "VISIT", required_if_eq("picture", "compare"))]
    earlier: Option<String>,

    /// The tooth, for the picture tooth
    #[arg(long, value_name = "NUMBER", required_if_eq("picture", "tooth"))]
    tooth: Option<u16>,

    /// File to write; without it the report goes to standard output
    #[arg(short, long, value_name = "FILE")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// A picture that scales
    Svg,
    /// A picture in pixels
    Png,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Picture {
    /// What was found and decided
    Before,
    /// What the mouth is like at the end
    After,
    /// All depths in figures
    Pockets,
    /// Change since an earlier visit
    Compare,
    /// One tooth, large
    Tooth,
}

/// Pixels for each unit of a drawing: fine enough for print at half a page.
const PNG_SCALE: f32 = 2.0;

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let (journal, visit) = visit::open(config, &options.visit)?;
    let record = &visit.record;
    let with = |view| picture::Options {
        view,
        layout: Layout::Wide,
        colours: Colours::Paper,
        ..picture::Options::default()
    };
    let svg = match options.picture {
        Picture::Before => picture::mouth_svg(record, &with(View::Before)),
        Picture::After => picture::mouth_svg(record, &with(View::After)),
        Picture::Pockets => picture::mouth_svg(record, &with(View::Pockets)),
        Picture::Tooth => {
            let tooth = ToothNumber::new(options.tooth.unwrap_or_default())?;
            picture::tooth_svg(record, tooth, &with(View::After))
        }
        Picture::Compare => {
            let wanted = options.earlier.as_deref().unwrap_or("last");
            let earlier = visit::read(&journal, visit::find(&journal, wanted)?)?;
            picture::compare_svg(&earlier.record, record, &with(View::After))
        }
    };
    let bytes = match options.format {
        Format::Svg => svg.into_bytes(),
        Format::Png => raster::png(&svg, PNG_SCALE)?,
    };
    export::put(options.out.as_deref(), &bytes)?;
    Ok(Outcome::Done)
}
