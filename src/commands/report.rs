//! `sulcus report`: a visit on paper, as a page, or as a picture.

use std::io::IsTerminal;
use std::path::PathBuf;

use anyhow::Context as _;

use crate::commands::{self, Outcome, export, visit, wrong_use};
use crate::config::Config;
use crate::plan;
use crate::record::journal::{self, Occasion};
use crate::record::{Journal, Record};
use crate::report::picture::{self, Colours, Layout, View};
use crate::report::{self, paper, raster};
use crate::terms::watch_settings::WatchSettings;
use crate::terms::{ToothNumber, dentition};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    #[arg(long, value_enum, default_value_t = Format::Pdf)]
    format: Format,

    /// In the forms pdf and html: one page in plain words for the owner
    #[arg(long)]
    owner: bool,

    /// In the forms pdf and html: the labels of the pots with samples
    #[arg(long, conflicts_with = "owner")]
    labels: bool,

    /// In the forms svg and png: what to draw [default: after]
    #[arg(long, value_enum)]
    picture: Option<Picture>,

    /// The earlier visit, for the picture compare
    #[arg(long, value_name = "VISIT", required_if_eq("picture", "compare"))]
    earlier: Option<String>,

    /// The tooth, for the picture tooth
    #[arg(long, value_name = "NUMBER", required_if_eq("picture", "tooth"), value_parser = visit::tooth)]
    tooth: Option<ToothNumber>,

    /// The clinic's own limits, times, solutions, shelf and tables, as TOML
    #[arg(long, value_name = "FILE")]
    clinic: Option<PathBuf>,

    /// File to write; without it the report goes to standard output
    #[arg(short, long, value_name = "FILE")]
    out: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Format {
    /// Pages to print
    Pdf,
    /// The same as one file for a browser
    Html,
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
    /// The anaesthetic over time
    Anaesthetic,
}

/// Pixels for each unit of a drawing: fine enough for print at half a page.
const PNG_SCALE: f32 = 2.0;

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let is_drawing = matches!(options.format, Format::Svg | Format::Png);
    if is_drawing && (options.owner || options.labels) {
        return wrong_use("--owner and --labels are for the forms pdf and html");
    }
    if !is_drawing && options.picture.is_some() {
        return wrong_use("--picture is for the forms svg and png");
    }
    let (journal, visit) = visit::open(config, &options.visit)?;
    let record = &visit.record;
    let settings = commands::plan::settings(options.clinic.as_deref(), config)?;
    let bytes = match options.format {
        Format::Pdf | Format::Html => {
            let zone = jiff::tz::TimeZone::system();
            let (mut content, style) = if options.labels {
                let Some(labels) =
                    report::surgery::labels(record, &zone, settings.practice.name.as_deref())
                else {
                    anyhow::bail!("no sample was taken in this visit: there is nothing to label");
                };
                (labels, paper::OWNER)
            } else if options.owner {
                let plan = plan_of(options, config, record)?;
                let home = report::discharge::Home::of(&plan, &settings.practice);
                (report::owner::report(record, &zone, &home), paper::OWNER)
            } else {
                let plan = plan_of(options, config, record)?;
                let lines: Vec<String> = plan::spoken::spoken(&plan)
                    .iter()
                    .map(ToString::to_string)
                    .collect();
                let mut content =
                    report::clinical::report_with(record, &zone, Some(&lines), &settings.watch);
                report::clinical::tell_first(&mut content, plan.open_conflicts());
                (content, paper::CLINIC)
            };
            content.foot += &signature(&journal, record)?;
            match options.format {
                Format::Html => report::html::html(&content).into_bytes(),
                _ => report::pdf::pdf(&content, style)?,
            }
        }
        Format::Svg => drawing(options, &journal, record, &settings.watch)?.into_bytes(),
        Format::Png => raster::png(
            &drawing(options, &journal, record, &settings.watch)?,
            PNG_SCALE,
        )?,
    };
    if options.out.is_none() && options.format == Format::Pdf && std::io::stdout().is_terminal() {
        return wrong_use("a PDF is not for the terminal; give a file with --out FILE");
    }
    export::put(options.out.as_deref(), &bytes)?;
    Ok(Outcome::Done)
}

fn plan_of(options: &Options, config: &Config, record: &Record) -> anyhow::Result<plan::Plan> {
    let mut settings = commands::plan::settings(options.clinic.as_deref(), config)?;
    commands::plan::set_offset(&mut settings, record);
    let (_, past) = commands::plan::visit_and_past(config, &record.visit.to_string(), &settings)?;
    Ok(plan::make(record, &past, &settings))
}

/// The newest signature under the head that is printed.
/// One that was made when a record was taken in says nothing about who finished it, and differs from table to table
/// where the record is the same: it stays in the journal alone.
pub fn signature(journal: &Journal, record: &Record) -> anyhow::Result<String> {
    let seals = journal.seals(record.visit)?;
    let newest = seals
        .iter()
        .rev()
        .find(|seal| seal.occasion != Occasion::Import.word() && !seal.key.is_empty());
    Ok(journal::foot(newest, record))
}

fn drawing(
    options: &Options,
    journal: &Journal,
    record: &Record,
    watch: &WatchSettings,
) -> anyhow::Result<String> {
    let with = |view| picture::Options {
        view,
        layout: Layout::Wide,
        colours: Colours::Paper,
        ..picture::Options::default()
    };
    Ok(match options.picture.unwrap_or(Picture::After) {
        Picture::Anaesthetic => {
            let newest = record.all().map(|charted| charted.at).max();
            let until = newest.unwrap_or(record.opened_at);
            picture::anaesthetic_svg(record, watch, until, Colours::Paper, "anaesthetic").context(
                "no vital sign was read in this visit, so there is nothing to draw of its anaesthetic",
            )?
        }
        Picture::Before => picture::mouth_svg(record, &with(View::Before)),
        Picture::After => picture::mouth_svg(record, &with(View::After)),
        Picture::Pockets => picture::mouth_svg(record, &with(View::Pockets)),
        Picture::Tooth => {
            let tooth = options
                .tooth
                .context("the picture tooth needs --tooth NUMBER")?;
            if !dentition::has(record.patient.species, tooth) {
                anyhow::bail!("{}", dentition::why_lacking(record.patient.species, tooth));
            }
            picture::tooth_svg(record, tooth, &with(View::After))
        }
        Picture::Compare => {
            let wanted = options.earlier.as_deref().unwrap_or("last");
            let earlier = visit::read(journal, visit::find(journal, wanted)?)?;
            if earlier.record.patient.species != record.patient.species {
                anyhow::bail!(
                    "the two visits are of a dog and a cat; give two visits of one patient"
                );
            }
            picture::compare_svg(&earlier.record, record, &with(View::After))
        }
    })
}
