//! `sulcus replay FILE.wav...`: sound files through the same pipeline as the microphone.

use std::path::PathBuf;

use anyhow::Context as _;

use crate::app::file::Replay;
use crate::audio::Mix;
use crate::audio::wav::WavSource;
use crate::clock::RealClock;
use crate::commands::table::{self, PatientOptions, SpeechOptions};
use crate::commands::{Outcome, doors};
use crate::config::Config;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Sound files (WAV of any rate), played one after another
    #[arg(required = true, value_name = "FILE.wav")]
    files: Vec<PathBuf>,

    #[command(flatten)]
    patient: PatientOptions,

    #[command(flatten)]
    speech: SpeechOptions,

    /// Write what the program says as WAV files into this folder
    #[arg(long, value_name = "DIR")]
    voice_out: Option<PathBuf>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    // Before the models are loaded, which takes seconds.
    for file in &options.files {
        WavSource::open(file, Mix::default())
            .with_context(|| format!("cannot play {}", file.display()))?;
    }
    let (mut talk, mut listener, voice, phrases) = table::for_files(
        config,
        &options.patient,
        &options.speech,
        options.voice_out.as_deref(),
        Box::new(RealClock::default()),
    )?;
    let beside = doors::check_beside(config, talk.desk().journal());
    let show = |line| table::print(&line);
    for line in talk.begin_with(phrases) {
        show(line);
    }
    let bar = table::progress_bar();
    let mut progress = |part: f32| bar.set_position((part * 1000.0) as u64);
    let mut shown = |line| bar.suspend(|| show(line));
    let mut replay = Replay {
        talk: &mut talk,
        listener: &mut listener,
        voice: &voice,
        show: &mut shown,
        progress: &mut progress,
    };
    for file in &options.files {
        replay.play(file)?;
    }
    let ending = replay.end();
    bar.finish_and_clear();
    println!("visit {}", talk.desk().record().visit);
    if let Some(beside) = beside {
        beside.finish();
    }
    Ok(table::outcome(&ending))
}
