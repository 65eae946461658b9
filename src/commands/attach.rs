//! `sulcus attach`: names the file of a film or a photograph in an open visit. The file stays where it is.

use std::path::PathBuf;

use sha2::{Digest, Sha256};

use crate::commands::{Outcome, visit, wrong_use};
use crate::config::Config;
use crate::record::Event;
use crate::record::fold::Phase;
use crate::record::row::hexadecimal;
use crate::terms::procedure::{Image, Procedure};
use crate::terms::{ToothNumber, dentition};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The visit: its id, the first letters of it, or last
    #[arg(value_name = "VISIT")]
    visit: String,

    /// The image file, in the store of the clinic
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Number of the film [default: a photograph]
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..))]
    film: Option<u16>,

    /// Teeth that it shows, 104 or 104,105
    #[arg(long, value_name = "TEETH", value_delimiter = ',', value_parser = visit::tooth)]
    teeth: Vec<ToothNumber>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let shown = options.file.display();
    let bytes = std::fs::read(&options.file).map_err(|why| {
        anyhow::anyhow!(
            "{shown} cannot be read ({why}); name the image file as it lies in the store"
        )
    })?;
    if bytes.is_empty() {
        return wrong_use(format!("{shown} is empty: it is no image"));
    }
    let Some(file) = options.file.to_str() else {
        return wrong_use(format!("{shown}: its name is no text; give it another"));
    };
    let mut teeth = options.teeth.clone();
    let mut number = options.film;
    let saved = visit::add_confirmed(config, &options.visit, |record| {
        if record.phase == Phase::Finished {
            anyhow::bail!(
                "the visit is finished: open it again with a reason (sulcus reopen), or name the file in an addendum"
            );
        }
        let species = record.patient.species;
        if let Some(lacking) = teeth.iter().find(|tooth| !dentition::has(species, **tooth)) {
            anyhow::bail!("{lacking}: {}", dentition::why_lacking(species, *lacking));
        }
        // A film of that number was taken: its teeth are those of the image.
        let taken = record
            .procedures()
            .find_map(|(procedure, _)| match procedure {
                Procedure::FilmTaken { teeth, number: of } if number.is_some() && *of == number => {
                    Some(teeth)
                }
                _ => None,
            });
        if let (true, Some(of)) = (teeth.is_empty(), taken) {
            teeth.clone_from(of);
        }
        Ok(Event::ProcedureRecorded {
            procedure: Procedure::ImageLinked {
                image: if number.is_some() {
                    Image::Film
                } else {
                    Image::Photograph
                },
                number: number.take(),
                teeth: std::mem::take(&mut teeth),
                file: file.to_owned(),
                sha256: hexadecimal(&Sha256::digest(&bytes)),
            },
            challenge: None,
        })
    })?;
    println!(
        "saved: {} in visit {}, entry {}",
        crate::record::wording::event(&saved.event),
        saved.visit,
        saved.number
    );
    Ok(Outcome::Done)
}
