//! `sulcus demo`: an invented examination from `audio-fixtures/demo`, through the real pipeline.

use std::path::{Path, PathBuf};

use anyhow::Context as _;

use crate::app::file::Replay;
use crate::clock::SetClock;
use crate::commands::table::{self, PatientOptions, SpeechOptions};
use crate::commands::{Outcome, show};
use crate::config::Config;
use crate::export::{self, json};
use crate::terms::Species;

/// An invented moment, so that the demo's record is the same each time: 2026-03-02 09:00 UTC.
const DEMO_SECOND: i64 = 1_772_442_000;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// The invented patient: dog or cat
    #[arg(long, default_value = "dog")]
    species: Species,

    /// A dog under anaesthetic: the nurse's vital signs and drugs come between the vet's readings
    #[arg(long, conflicts_with = "species")]
    anaesthetic: bool,

    /// Folder with the demo's sound [default: audio-fixtures/demo here or beside the program]
    #[arg(long, value_name = "DIR")]
    fixtures: Option<PathBuf>,

    /// Write what the program says as WAV files into this folder
    #[arg(long, value_name = "DIR")]
    voice_out: Option<PathBuf>,

    #[command(flatten)]
    speech: SpeechOptions,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let fixtures = options
        .fixtures
        .clone()
        .unwrap_or_else(|| crate::config::beside("audio-fixtures/demo"));
    let name = if options.anaesthetic {
        "anaesthetic"
    } else {
        options.species.word()
    };
    let file = fixtures.join(format!("{name}.wav"));
    // Apart from real visits.
    let config = Config::new(Some(config.data.join("demo")), Some(config.models.clone()));
    println!(
        "An invented {} with an invented name; nothing of it is real.",
        options.species.word()
    );
    println!("playing {}", file.display());
    let patient = PatientOptions::invented(options.species);
    let clock = Box::new(SetClock::at_second(DEMO_SECOND));
    let (mut talk, mut listener, voice, phrases) = table::for_files(
        &config,
        &patient,
        &options.speech,
        options.voice_out.as_deref(),
        clock,
    )?;
    let bar = table::progress_bar();
    let mut shown = |line| bar.suspend(|| table::print(&line));
    for line in talk.begin_with(phrases) {
        shown(line);
    }
    let mut progress = |part: f32| bar.set_position((part * 1000.0) as u64);
    let mut replay = Replay {
        talk: &mut talk,
        listener: &mut listener,
        voice: &voice,
        show: &mut shown,
        progress: &mut progress,
    };
    replay.play(&file).context(
        "the demo needs its sound files; run it in the checkout, or give --fixtures DIR",
    )?;
    let ending = replay.end();
    bar.finish_and_clear();
    if !ending.is_good() {
        return Ok(table::outcome(&ending));
    }
    finish(&mut talk, &config.data)
}

fn finish(talk: &mut crate::app::talk::Talk, data: &Path) -> anyhow::Result<Outcome> {
    let visit = talk.desk().record().visit;
    println!("\nThe chart:");
    print!("{}", show::chart(talk.desk().record()));
    let path = data.join(format!("{visit}.json"));
    let text = json::write(visit, &talk.desk().journal().rows(visit)?)?;
    export::write_file(&path, text.as_bytes())?;
    println!("\nThe record as JSON: {}", path.display());
    println!(
        "The same visit: sulcus --data {} show {visit}",
        data.display()
    );
    Ok(Outcome::Done)
}
