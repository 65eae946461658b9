//! `sulcus listen`: the live examination, from the microphone to the loudspeaker.

use std::io::{IsTerminal as _, Write as _};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::Ordering;

use anyhow::Context as _;
use crossbeam_channel::{Receiver, Sender, bounded, unbounded};
use tokio::sync::watch;

use crate::app::clinic::Clinic;
use crate::app::desk::{Desk, DeskError};
use crate::app::dying;
use crate::app::ending::{Ending, Worker};
use crate::app::figures::Figures;
use crate::app::keys::{Act, Bindings, Key, Keys};
use crate::app::live::{self, Ends, Shown};
use crate::app::monitor;
use crate::app::page::Page;
use crate::app::pedal;
use crate::app::people::People;
use crate::app::talk::Talk;
use crate::app::voices::{VoiceSettings, Voices};
use crate::archive::Courier;
use crate::audio::Mix;
use crate::audio::microphone::{self, Microphone};
use crate::clock::RealClock;
use crate::commands::table::{self, DeviceOptions, PatientOptions, SpeechOptions};
use crate::commands::{Outcome, doors, first_check, serve};
use crate::config::Config;
use crate::grammar::Situation;
use crate::grammar::intent::Pace;
use crate::record::event::Speaker as Person;
use crate::session::Phrase;
use crate::speech;
use crate::speech::listener::{self, Control};
use crate::voice::loudspeaker::Loudspeaker;
use crate::voice::monitored::Monitored;
use crate::voice::player::Output;
use crate::voice::wav_folder::WavFolder;
use crate::voice::{self, HeardTone, Speaker, VoiceEvent, ahead};
use crate::web;

#[derive(Debug, clap::Args)]
pub struct Options {
    #[command(flatten)]
    patient: PatientOptions,

    #[command(flatten)]
    speech: SpeechOptions,

    #[command(flatten)]
    devices: DeviceOptions,

    /// Write what the program says as WAV files into this folder instead of the loudspeaker
    #[arg(long, value_name = "DIR")]
    voice_out: Option<PathBuf>,

    /// How much is read back aloud, in place of the clinic's choice; by voice: "read back each tooth"
    #[arg(long, value_enum)]
    pace: Option<Pace>,

    /// When the short tone comes that says you were heard: "silence" is at once, at pauses within a sentence too, and
    /// the default with --headset; a microphone that hears the loudspeaker loses words by it
    #[arg(long, value_enum)]
    heard_tone: Option<HeardTone>,

    /// The microphone does not hear the loudspeaker: speaking interrupts the read-back
    #[arg(long)]
    headset: bool,

    /// Whose voice it is: uses what sulcus practise found for this person
    #[arg(long, value_name = "NAME")]
    person: Option<String>,

    /// Check the microphone first, by voice; done by itself the first time in a terminal, --no-check leaves it out
    #[arg(long)]
    check: bool,

    #[arg(long, conflicts_with = "check")]
    no_check: bool,

    /// Leave the program's own voice in what the microphone hears
    #[arg(long)]
    no_echo_canceller: bool,

    /// Push to talk: listen to one utterance after each press of this key (or foot pedal); try "space" or "pagedown"
    #[arg(long, value_name = "KEY")]
    talk_key: Option<Key>,

    /// The next utterance after this key is the nurse's
    #[arg(long, value_name = "KEY")]
    nurse_key: Option<Key>,

    /// Confirm by this key
    #[arg(long, value_name = "KEY")]
    confirm_key: Option<Key>,

    /// Undo by this key
    #[arg(long, value_name = "KEY")]
    undo_key: Option<Key>,

    /// Go to the next tooth by this key
    #[arg(long, value_name = "KEY")]
    next_key: Option<Key>,

    /// The nurse's microphone is this channel of the device, counted from 0
    #[arg(long, value_name = "N")]
    nurse_channel: Option<u16>,

    /// Show the visit live on a page of this machine and take touches from it
    #[arg(long)]
    page: bool,

    /// Port of the page; 0 takes any free one
    #[arg(long, default_value_t = web::PORT, requires = "page")]
    port: u16,

    /// Take readings from a monitor: a file or pipe that is there, or a Unix socket to be made; one JSON object a line
    /// (docs/anaesthetic.md)
    #[arg(long, value_name = "PATH")]
    monitor: Option<PathBuf>,

    /// Write how long answers took into this file
    #[arg(long, value_name = "FILE")]
    figures: Option<PathBuf>,

    /// For trials of the program itself: this part dies at its second sentence
    #[arg(long, value_enum, hide = true)]
    dies: Option<Worker>,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    // Damage that is found later is told at the table; at the end nobody waits for a check that still goes on.
    let is_large = doors::look(config);
    check_microphone(options, config)?;
    // Before a visit is opened: a wrong name leaves nothing behind.
    let voices = Voices::load(&config.data)?;
    let settings = options
        .person
        .as_deref()
        .map(|name| settings_of(&voices, name))
        .transpose()?;
    let Some(Seated {
        mut desk,
        first,
        page,
    }) = seat(options, config)?
    else {
        return Ok(Outcome::Problem);
    };
    let graph = desk.graph(Situation::Table);
    let mut recogniser = speech::open(options.speech.engine, &config.models)?;
    if options.dies == Some(Worker::Ears) {
        recogniser = Box::new(dying::Ears::new(recogniser));
    }
    let (listener, identity) =
        table::listener_around(recogniser, config, desk.grammar(), graph, settings)?;
    let (microphone, sound) = Microphone::open(&microphone::Options {
        device: options.devices.microphone.clone(),
        mix: Mix::default(),
    })?;
    println!("listening to {}", microphone.name());
    println!("visit {}", desk.record().visit);
    let (controls, control) = unbounded();
    let (told, listening) = unbounded();
    let rate = desk.flow().voice_rate();
    let (mouth, voice) = mouth(options, config, rate, &microphone, &controls)?;
    mouth.prepare(ahead::phrases(desk.rules(), desk.record().patient.species));
    let thread = listener::spawn(listener, sound, control, told)?;
    let (_second, people) = nurses_microphone(options)?;
    let keyboard = keyboard(options)?;
    // A raw terminal does not go back to the margin by itself.
    let line_end = if keyboard.is_some() { "\r\n" } else { "\n" };
    let (_keyboard, keys) = keyboard.unzip();
    let pedal = pedal::open(desk.flow().pedal.clone())?;
    let keys = Some(until_told(keys.into_iter().chain(pedal))?);
    let served = match page {
        None if options.page => Some(serve_page(options, config)?),
        served => served,
    };
    let (mut page, presses, _runtime) = match served {
        None => (None, None, None),
        Some(served) => {
            served.show(&desk, None);
            (
                Some(Page::new(served.view)),
                Some(served.presses),
                Some(served.runtime),
            )
        }
    };
    let courier = Courier::start(&Clinic::load(&config.data)?.archive, &config.data);
    // Last, so that nothing of the start waits for it.
    let beside = doors::begin_check(config, is_large);
    let ends = Ends {
        listening,
        monitor: options.monitor.as_deref().map(monitor::open).transpose()?,
        controls,
        voice,
        presses,
        damage: beside.map(|beside| beside.found),
        courier: courier.as_ref().map(|courier| courier.told.clone()),
        position: microphone.position(),
        keys,
        is_open: options.talk_key.is_none(),
        people,
        voices,
        hears_itself: !options.headset,
    };
    let mut talk = Talk::new(desk, mouth, identity)
        .with_heard_tone(options.heard_tone())
        .with_person(options.person_who_speaks());
    if let Some(pace) = options.pace {
        talk = talk.with_pace(pace);
    }
    let figures = options.figures.clone().map(Figures::new);
    let ending = live::run(talk, &ends, first, figures, &mut |talk, shown| {
        if let Some(page) = &mut page {
            page.shown(talk, &shown);
        }
        if let Shown::Line(line) = shown {
            print!("{}{line_end}", table::shown(line));
            // Lost where nobody reads any more.
            let _ = std::io::stdout().flush();
        }
    });
    drop(ends);
    drop(microphone);
    // A thread that panicked is a fault of the program; one that ended had no more sound.
    let ending = match thread.join() {
        Err(_) if ending == Ending::Sound => Ending::WorkerDied(Worker::Ears),
        _ => ending,
    };
    Ok(table::outcome(&ending))
}

impl Options {
    fn heard_tone(&self) -> HeardTone {
        self.heard_tone.unwrap_or(if self.headset {
            HeardTone::Silence
        } else {
            HeardTone::Understood
        })
    }

    /// Whose words they are where no channel and no key tells.
    fn person_who_speaks(&self) -> Person {
        if self.nurse_channel.is_some() || self.nurse_key.is_some() {
            Person::Vet
        } else {
            Person::Unknown
        }
    }
}

/// By voice, where asked, and the first time at a terminal.
fn check_microphone(options: &Options, config: &Config) -> anyhow::Result<()> {
    let device = options.devices.microphone.as_deref();
    let is_new = !first_check::is_done(&config.data, device.unwrap_or("default"));
    // A script that starts the program speaks at once and answers no question.
    let is_person = std::io::stdout().is_terminal() && options.voice_out.is_none();
    if options.check || (is_new && is_person && !options.no_check) {
        first_check::run(config, device, options.devices.loudspeaker.as_deref())?;
    }
    Ok(())
}

/// What this person has practised.
fn settings_of<'a>(voices: &'a Voices, name: &str) -> anyhow::Result<&'a VoiceSettings> {
    voices.get(name).with_context(|| {
        let known: Vec<&str> = voices.names().map(String::as_str).collect();
        format!(
            "nobody called {name:?} has practised; known are: {}; run sulcus practise --person {name:?}",
            known.join(", ")
        )
    })
}

/// The visit at the table, what is said first, and the page where the patient was entered on it.
struct Seated {
    desk: Desk,
    first: Vec<Phrase>,
    page: Option<ServedPage>,
}

/// Opens the visit; where there is none to go on with, the patient is entered on the page. None where the page ended
/// before that.
fn seat(options: &Options, config: &Config) -> anyhow::Result<Option<Seated>> {
    let clock = Box::new(RealClock::default());
    let opened = Desk::open(
        &config.data,
        options.patient.opening()?,
        options.patient.is_new(),
        clock,
    );
    match opened {
        // The visit is then gone on with.
        Err(DeskError::NoVisit) if options.page && !options.patient.is_new() => {
            println!("no visit is open: enter the patient on the page");
            let reception = serve::open(&config.data)?;
            let served = serve_page(options, config)?;
            let Some((desk, first)) = reception.seat(&served.presses, &served.view)? else {
                return Ok(None);
            };
            served.show(&desk, Some("Wait: the microphone starts"));
            Ok(Some(Seated {
                desk,
                first,
                page: Some(served),
            }))
        }
        opened => {
            let (desk, first) = opened?;
            Ok(Some(Seated {
                desk,
                first,
                page: None,
            }))
        }
    }
}

/// The voice and where it speaks, with what it tells.
fn mouth(
    options: &Options,
    config: &Config,
    rate: f32,
    microphone: &Microphone,
    controls: &Sender<Control>,
) -> anyhow::Result<(Speaker, Receiver<(u64, VoiceEvent)>)> {
    let opened = voice::open_at(&config.models, rate);
    for warning in &opened.warnings {
        eprintln!("sulcus: {warning}");
    }
    let mut output: Box<dyn Output> = match &options.voice_out {
        Some(folder) => Box::new(WavFolder::open(folder)?),
        None => Box::new(Loudspeaker::new(options.devices.loudspeaker.clone())),
    };
    if !options.headset && !options.no_echo_canceller {
        let (controls, position) = (controls.clone(), microphone.position());
        let tell = move |sound| {
            let frame = Some(position.load(Ordering::Acquire) + 1);
            // A listener that is gone needs nothing.
            let _ = controls.send(Control::Played { sound, frame });
        };
        output = Box::new(Monitored::new(output, Box::new(tell)));
    }
    if options.dies == Some(Worker::Voice) {
        output = Box::new(dying::Mouth::new(output));
    }
    let cache = config.data.join("voice-cache");
    Ok(Speaker::start_beside(
        opened.synthesiser,
        output,
        Some(&cache),
        microphone.position(),
    ))
}

/// The nurse's own channel, where she has one.
fn nurses_microphone(options: &Options) -> anyhow::Result<(Option<Microphone>, Option<People>)> {
    let Some(channel) = options.nurse_channel else {
        return Ok((None, None));
    };
    let (microphone, frames) = Microphone::open(&microphone::Options {
        device: options.devices.microphone.clone(),
        mix: Mix::Channel(channel),
    })?;
    Ok((Some(microphone), Some(People::new(frames))))
}

/// The keys, where any are wanted.
fn keyboard(options: &Options) -> anyhow::Result<Option<(Keys, Receiver<Act>)>> {
    let bindings = Bindings::default()
        .with(options.talk_key, Act::Talk)
        .with(options.nurse_key, Act::Nurse)
        .with(options.confirm_key, Act::Confirm)
        .with(options.undo_key, Act::Undo)
        .with(options.next_key, Act::Next);
    if bindings.is_empty() {
        return Ok(None);
    }
    let keyboard = Keys::open(bindings)
        .context("keys need a terminal; start sulcus listen in one, or leave the keys out")?;
    Ok(Some(keyboard))
}

/// The keys, and with them the wish of the system that the program ends (an interrupt, a shutdown): it is obeyed as
/// a key is, so that nothing that waits for the disk is lost without a word.
fn until_told(keys: impl Iterator<Item = Receiver<Act>>) -> anyhow::Result<Receiver<Act>> {
    let (send, acts) = unbounded();
    for keys in keys {
        let send = send.clone();
        std::thread::Builder::new()
            .name("acts".to_owned())
            .spawn(move || {
                for act in keys {
                    if send.send(act).is_err() {
                        return;
                    }
                }
            })?;
    }
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    std::thread::Builder::new()
        .name("signals".to_owned())
        .spawn(move || {
            runtime.block_on(async {
                while serve::stopped().await && send.send(Act::Leave).is_ok() {}
                // The table's loop takes a closed queue for a wish to end.
                std::future::pending::<()>().await;
            });
        })?;
    Ok(acts)
}

/// The page's server, and the ends that the table holds.
struct ServedPage {
    view: watch::Sender<Arc<web::View>>,
    presses: Receiver<web::Pressed>,
    runtime: tokio::runtime::Runtime,
}

impl ServedPage {
    /// Shows the visit, with another word on what is awaited.
    fn show(&self, desk: &Desk, awaited: Option<&str>) {
        let record = Arc::new(desk.record().clone());
        let mut view = web::View::of(&record, desk.settings());
        if let Some(awaited) = awaited {
            view.awaited = awaited.to_owned();
        }
        self.view.send_replace(Arc::new(view));
    }
}

fn serve_page(options: &Options, config: &Config) -> anyhow::Result<ServedPage> {
    let (view, watched) = watch::channel(Arc::new(web::View::default()));
    let (send, presses) = bounded(serve::PRESSES_WAITING_MAX);
    let options = serve::Options::local(options.port);
    let (runtime, server) = serve::start(&options, config, watched, send, false)?;
    // A server that could not start is told; the examination goes on without a page.
    runtime.spawn(async move {
        if let Ok(Err(error)) = server.await {
            eprintln!("sulcus: {error}");
        }
    });
    Ok(ServedPage {
        view,
        presses,
        runtime,
    })
}
