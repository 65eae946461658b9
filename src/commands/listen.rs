//! `sulcus listen`: the live examination, from the microphone to the loudspeaker.

use std::path::PathBuf;

use crossbeam_channel::unbounded;

use crate::app::desk::Desk;
use crate::app::live::{self, Ends, Shown};
use crate::app::talk::Talk;
use crate::audio::Mix;
use crate::audio::microphone::{self, Microphone};
use crate::clock::RealClock;
use crate::commands::Outcome;
use crate::commands::table::{self, PatientOptions, SpeechOptions};
use crate::config::Config;
use crate::grammar::intent::Pace;
use crate::speech::listener;
use crate::voice::loudspeaker::Loudspeaker;
use crate::voice::player::Output;
use crate::voice::wav_folder::WavFolder;
use crate::voice::{self, Speaker, ahead};

#[derive(Debug, clap::Args)]
pub struct Options {
    #[command(flatten)]
    patient: PatientOptions,

    #[command(flatten)]
    speech: SpeechOptions,

    /// Microphone, by name or part of it; sulcus doctor lists them [default: the system's]
    #[arg(long, value_name = "NAME")]
    device: Option<String>,

    /// Loudspeaker, by name or part of it [default: the system's]
    #[arg(long, value_name = "NAME")]
    loudspeaker: Option<String>,

    /// Write what the program says as WAV files into this folder instead of the loudspeaker
    #[arg(long, value_name = "DIR")]
    voice_out: Option<PathBuf>,

    /// How much is read back aloud; by voice: "read back each tooth"
    #[arg(long, value_enum, default_value_t)]
    pace: Pace,

    /// The microphone does not hear the loudspeaker: speaking interrupts the read-back
    #[arg(long)]
    headset: bool,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let clock = Box::new(RealClock::default());
    let (mut desk, phrases) = Desk::open(
        &config.data,
        options.patient.opening()?,
        options.patient.is_new(),
        clock,
    )?;
    let situation = desk.situation();
    let graph = desk.graph(situation);
    let (listener, identity) = table::listener(config, &options.speech, &graph)?;
    let opened = voice::open(&config.models);
    for warning in &opened.warnings {
        eprintln!("sulcus: {warning}");
    }
    let output: Box<dyn Output> = match &options.voice_out {
        Some(folder) => Box::new(WavFolder::open(folder)?),
        None => Box::new(Loudspeaker::new(options.loudspeaker.clone())),
    };
    let cache = config.data.join("voice-cache");
    let (mouth, voice_events) = Speaker::start(opened.synthesiser, output, Some(&cache));
    mouth.prepare(ahead::phrases(desk.rules(), desk.record().patient.species));
    let (microphone, sound) = Microphone::open(&microphone::Options {
        device: options.device.clone(),
        mix: Mix::default(),
    })?;
    println!("listening to {}", microphone.name());
    println!("visit {}", desk.record().visit);
    let (controls, control) = unbounded();
    let (told, listening) = unbounded();
    let thread = listener::spawn(listener, sound, control, told)?;
    let ends = Ends {
        listening,
        controls,
        voice: voice_events,
        presses: None,
        position: microphone.position(),
        hears_itself: !options.headset,
    };
    let talk = Talk::new(desk, mouth, identity).with_pace(options.pace);
    live::run(talk, &ends, phrases, &mut |_, shown| {
        if let Shown::Line(line) = shown {
            println!("{}", table::shown(line));
        }
    });
    drop(ends);
    drop(microphone);
    let _ = thread.join();
    Ok(Outcome::Done)
}
