//! What `listen`, `replay` and `demo` share: options, opening of desk, engine and voice, and lines as text.

use std::path::Path;
use std::sync::Arc;

use crossbeam_channel::Receiver;
use indicatif::{ProgressBar, ProgressStyle};

use crate::app::desk::{Desk, Opening};
use crate::app::ending::Ending;
use crate::app::talk::{Line, Talk};
use crate::app::voices::VoiceSettings;
use crate::clock::{Clock, today};
use crate::commands::{Outcome, doors};
use crate::config::Config;
use crate::grammar::{Grammar, Situation};
use crate::session::Phrase;
use crate::speech::activity::{Activity, Settings, Silero};
use crate::speech::listener::{self, Listener};
use crate::speech::{self, Engine, Recogniser, Unheard, WordGraph};
use crate::terminal;
use crate::terms::patient::{self, Plausible};
use crate::terms::{Microchip, PartialDate, Patient, Species, Weight, eruption};
use crate::voice::player::{Nowhere, Output};
use crate::voice::wav_folder::WavFolder;
use crate::voice::{self, Speaker, VoiceEvent};

/// What a test for a virus gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum TestResult {
    Positive,
    Negative,
}

/// Who is on the table, for a new visit.
#[derive(Debug, clap::Args)]
pub struct PatientOptions {
    /// Begin a new visit, even where one is unfinished
    #[arg(long)]
    new: bool,

    /// dog or cat; needed for a new visit
    #[arg(long)]
    species: Option<Species>,

    /// The animal's name
    #[arg(long, value_name = "NAME", value_parser = name)]
    patient: Option<String>,

    /// The clinic's number of the animal
    #[arg(long, value_name = "ID", value_parser = name)]
    patient_id: Option<String>,

    /// The animal's microchip: 15 digits, or the 9 or 10 characters of an older one
    #[arg(long, value_name = "NUMBER")]
    microchip: Option<Microchip>,

    /// The breed; an unusual weight for its size is asked back
    #[arg(long, value_name = "BREED", value_parser = name)]
    breed: Option<String>,

    /// Owner's name
    #[arg(long, value_name = "NAME", value_parser = name)]
    owner: Option<String>,

    /// Body weight in kilograms; without it no ceiling of a local anaesthetic can be told
    #[arg(long, value_name = "KG", value_parser = kilograms, allow_negative_numbers = true)]
    weight: Option<f64>,

    /// The weight is right, however unusual for the animal
    #[arg(long)]
    weight_is_right: bool,

    /// Test of a cat for feline leukaemia virus: positive or negative
    #[arg(long, value_name = "RESULT")]
    felv: Option<TestResult>,

    /// Test of a cat for feline immunodeficiency virus: positive or negative
    #[arg(long, value_name = "RESULT")]
    fiv: Option<TestResult>,

    /// Born: year, year-month or date
    #[arg(long, value_name = "YYYY[-MM[-DD]]", value_parser = born)]
    born: Option<PartialDate>,

    /// The vet's name
    #[arg(long, value_name = "NAME", value_parser = name)]
    vet: Option<String>,

    /// The nurse's name
    #[arg(long, value_name = "NAME", value_parser = name)]
    nurse: Option<String>,

    /// Mark the visit as invented (for trying things out)
    #[arg(long)]
    invented: bool,
}

/// A name that can be shown and printed.
fn name(text: &str) -> Result<String, String> {
    if text.trim().is_empty() {
        return Err("it is empty; leave the option out where it is not known".to_owned());
    }
    if text.chars().any(char::is_control) {
        return Err("it holds a character that cannot be shown; write letters".to_owned());
    }
    Ok(text.trim().to_owned())
}

/// Kilograms, with a point or a comma.
fn kilograms(text: &str) -> Result<f64, String> {
    match text.replace(',', ".").parse::<f64>() {
        Ok(kg) if kg.is_finite() && kg > 0.0 => Ok(kg),
        _ => Err("no weight; write kilograms, 14.2".to_owned()),
    }
}

fn born(text: &str) -> Result<PartialDate, String> {
    let born: PartialDate = text.into();
    patient::check_born(&born, today()).map(|()| born)
}

impl PatientOptions {
    /// For a visit of the program's own making: an invented animal with an invented owner.
    pub fn invented(species: Species) -> Self {
        let (weight, born) = match species {
            Species::Dog => (14.2, "2019-05"),
            Species::Cat => (4.1, "2017"),
        };
        Self {
            new: true,
            species: Some(species),
            patient: None,
            patient_id: Some(format!("DEMO-{}", species.word().to_uppercase())),
            microchip: None,
            breed: None,
            owner: Some("Invented Owner".to_owned()),
            weight: Some(weight),
            weight_is_right: false,
            felv: None,
            fiv: None,
            born: Some(born.into()),
            vet: Some("Invented Vet".to_owned()),
            nurse: Some("Invented Nurse".to_owned()),
            invented: true,
        }
    }

    pub fn is_new(&self) -> bool {
        self.new
    }

    pub fn opening(&self) -> anyhow::Result<Option<Opening>> {
        let Some(species) = self.species else {
            return Ok(None);
        };
        let today = today();
        let weight = self
            .weight
            .map(|kg| {
                Weight::from_grams((kg * 1000.0).round().max(0.0) as u32)
                    .map_err(anyhow::Error::msg)
            })
            .transpose()?;
        if let Some(weight) = weight {
            let age_days = self
                .born
                .as_ref()
                .and_then(|born| eruption::youngest_age_days(born, today));
            match patient::plausible_weight(species, self.breed.as_deref(), weight, age_days) {
                Plausible::Refuse(why) => anyhow::bail!("{why}"),
                Plausible::Ask(why) if !self.weight_is_right => {
                    anyhow::bail!("{why}: if it is right, add --weight-is-right")
                }
                _ => {}
            }
        }
        let mut patient = Patient::example(species);
        patient.invented = self.invented;
        patient.felv = self.felv.map(|result| result == TestResult::Positive);
        patient.fiv = self.fiv.map(|result| result == TestResult::Positive);
        if let Some(name) = &self.patient {
            patient.name.clone_from(name);
        } else if !self.invented {
            patient.name = "unnamed".to_owned();
        }
        patient.id.clone_from(&self.patient_id);
        patient.microchip.clone_from(&self.microchip);
        patient.breed.clone_from(&self.breed);
        patient.owner.clone_from(&self.owner);
        patient.born.clone_from(&self.born);
        patient.weight = weight;
        Ok(Some(Opening {
            patient,
            vet: self.vet.clone(),
            nurse: self.nurse.clone(),
        }))
    }
}

/// How to hear.
#[derive(Debug, clap::Args)]
pub struct SpeechOptions {
    /// Recognition engine: moonshine or vosk
    #[arg(long, default_value = "moonshine")]
    pub engine: Engine,
}

impl Default for SpeechOptions {
    fn default() -> Self {
        Self {
            engine: Engine::Moonshine,
        }
    }
}

/// Where sound comes in and goes out.
#[derive(Debug, clap::Args)]
pub struct DeviceOptions {
    /// Microphone, by name or part of it; sulcus doctor lists them [default: the system's]
    #[arg(long = "device", value_name = "NAME")]
    pub microphone: Option<String>,

    /// Loudspeaker, by name or part of it [default: the system's]
    #[arg(long, value_name = "NAME")]
    pub loudspeaker: Option<String>,
}

/// The engine and the listener around it, set to a person's voice where one is known. Words that the model can never hear are told.
pub fn listener(
    config: &Config,
    options: &SpeechOptions,
    grammar: &Grammar,
    graph: Arc<WordGraph>,
    voice: Option<&VoiceSettings>,
) -> anyhow::Result<(Listener, speech::EngineIdentity)> {
    let recogniser = speech::open(options.engine, &config.models)?;
    listener_around(recogniser, config, grammar, graph, voice)
}

/// The listener around an engine that is open already.
pub fn listener_around(
    mut recogniser: Box<dyn Recogniser>,
    config: &Config,
    grammar: &Grammar,
    graph: Arc<WordGraph>,
    voice: Option<&VoiceSettings>,
) -> anyhow::Result<(Listener, speech::EngineIdentity)> {
    let identity = recogniser.identity();
    let unknown = recogniser.set_graph(graph)?;
    if !unknown.is_empty() {
        eprintln!(
            "sulcus: the model can never hear these words: {}",
            unknown.join(", ")
        );
        for lost in grammar.lost(&unknown) {
            match lost.instead {
                Some(instead) => eprintln!("sulcus: instead of {:?} say {instead:?}", lost.say),
                None => eprintln!(
                    "sulcus: {:?} cannot be said to this model; enter it on the page (--page)",
                    lost.say
                ),
            }
        }
    }
    let mut settings = Settings::default();
    if let Some(voice) = voice {
        settings.pauses_ms.clone_from(&voice.pauses_ms);
    }
    let activity = Activity::new(Box::new(Silero::new(&config.models)?), settings);
    let gain_db = voice.map_or(0.0, |voice| voice.gain_db);
    let listener = Listener::new(activity, recogniser, listener::monotonic()).with_gain_db(gain_db);
    Ok((listener, identity))
}

/// Everything for playing files: no threads, no devices.
pub fn for_files(
    config: &Config,
    patient: &PatientOptions,
    speech: &SpeechOptions,
    voice_out: Option<&Path>,
    clock: Box<dyn Clock>,
) -> anyhow::Result<(Talk, Listener, Receiver<VoiceEvent>, Vec<Phrase>)> {
    let (mut desk, phrases) =
        Desk::open(&config.data, patient.opening()?, patient.is_new(), clock)?;
    doors::tell(config, desk.journal());
    doors::tell_recorded(desk.record());
    let graph = desk.graph(Situation::Table);
    let (listener, identity) = listener(config, speech, desk.grammar(), graph, None)?;
    let (mouth, events) = match voice_out {
        Some(folder) => {
            let opened = voice::open(&config.models);
            for warning in &opened.warnings {
                eprintln!("sulcus: {warning}");
            }
            let output: Box<dyn Output> = Box::new(WavFolder::open(folder)?);
            Speaker::synchronous(opened.synthesiser, output, None)
        }
        // Nobody listens: what would be said counts as said, and no sound is made.
        None => Speaker::synchronous(
            Some(Box::new(voice::Silent)),
            Box::new(Nowhere::default()),
            None,
        ),
    };
    Ok((Talk::new(desk, mouth, identity), listener, events, phrases))
}

/// What the command ends with; a bad end is told.
pub fn outcome(ending: &Ending) -> Outcome {
    if ending.is_good() {
        return Outcome::Done;
    }
    eprintln!("sulcus: {ending}");
    Outcome::Problem
}

/// A line for the terminal.
pub fn shown(line: &Line) -> String {
    match line {
        Line::Heard { words, confidence } => {
            format!("heard  {words}  ({:.0} %)", confidence * 100.0)
        }
        Line::Unheard { why, nearest, .. } => {
            let why = match why {
                Unheard::NoSpeech => "no speech",
                Unheard::OutOfGrammar => "speech, but no command",
                Unheard::Unclear => "unclear",
            };
            match nearest {
                Some(nearest) => format!("----   {why} (nearest: {nearest})"),
                None => format!("----   {why}"),
            }
        }
        Line::Pressed(what) => format!("press  {what}"),
        Line::Saved { facts, values } => format!("saved  {facts} entries, {values} values"),
        Line::Says(text) => format!("says   {text}"),
        Line::Said(text) => format!("said   {text}"),
        Line::NotSaved { words, why } if words.is_empty() => format!("!!     NOT SAVED: {why}"),
        Line::NotSaved { words, why } => format!("!!     NOT SAVED: {words} ({why})"),
        Line::Trouble(text) => format!("!!     {text}"),
    }
}

/// Shows a line of a file that is played. Nobody waits there for the voice to end: each sentence is shown once.
pub fn print(line: &Line) {
    if !matches!(line, Line::Said(_)) {
        println!("{}", shown(line));
    }
}

/// How far a file is played.
pub fn progress_bar() -> ProgressBar {
    bar(1000, "{bar:40} {percent} %")
}

/// Shown only on a terminal, and not where the user wants quiet.
pub fn bar(length: u64, template: &str) -> ProgressBar {
    if terminal::is_quiet() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(length);
    if let Ok(style) = ProgressStyle::with_template(template) {
        bar.set_style(style);
    }
    bar
}
