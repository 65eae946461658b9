//! `sulcus practise`: reads out readings for a person to repeat, tells how many were understood in this room, and keeps
//! what suits the voice; or asks for tooth numbers and names. Enters nothing into any visit.

use std::sync::Arc;
use std::thread::JoinHandle;
use std::time::Duration;

use crossbeam_channel::{Receiver, Sender, unbounded};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::app::study::{self, Mouth, Scores, Way};
use crate::app::voices::{GAIN_DB_MAX, VoiceSettings, Voices};
use crate::audio::Mix;
use crate::audio::level::Meter;
use crate::audio::microphone::{self, Microphone};
use crate::commands::Outcome;
use crate::commands::table::{self, DeviceOptions, SpeechOptions};
use crate::config::Config;
use crate::grammar::{Grammar, Situation};
use crate::speech::activity::Settings;
use crate::speech::listener::{self, Control, Heard, ListenEvent};
use crate::speech::pitch;
use crate::voice::loudspeaker::Loudspeaker;
use crate::voice::{self, Priority, SayId, Speaker, VoiceEvent};

/// Said and to be repeated: every digit, both sides, the teeth's numbers, and the words that are confused most.
const READINGS: [&str; 12] = [
    "tooth one zero four",
    "buccal three two five",
    "palatal two nine four",
    "tooth three zero nine",
    "lingual one six two",
    "mobility two",
    "furcation one",
    "buccal seven eight nine",
    "calculus three",
    "gingivitis one",
    "tooth four one one",
    "confirm",
];

/// How loud speech should be for the detector of voice, root mean square over the loudest utterances. The clips on
/// which its settings were chosen lie around this.
const SPEECH_DBFS: f32 = -24.0;

/// A softer correction than this is not worth one.
const GAIN_DB_MIN: f32 = 3.0;

/// So many readings broken off at a pause mean that this person pauses within a reading.
const BROKEN_MIN: usize = 2;

/// For them: the last pause becomes the first.
const LONG_PAUSES_MS: [u64; 3] = [448, 544, 640];

/// How long a repetition is waited for.
const PATIENCE: Duration = Duration::from_secs(12);

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Name under which the settings are kept
    #[arg(long, value_name = "NAME")]
    person: String,

    /// How many readings, 1 to 12
    #[arg(long, default_value_t = READINGS.len(), value_parser = count)]
    readings: usize,

    /// Learn the teeth instead: numbers asks for the number of a tooth that is named, names for the name. Enters
    /// nothing into any visit; the score is kept for the person
    #[arg(long, value_enum, value_name = "WAY")]
    study: Option<Way>,

    /// With --study: whose teeth
    #[arg(long, value_enum, default_value_t = Mouth::Dog, requires = "study")]
    mouth: Mouth,

    /// With --study: how many questions
    #[arg(long, default_value_t = 10, requires = "study", value_parser = clap::value_parser!(u16).range(1..=100))]
    questions: u16,

    /// With --study: answers are typed, a line each; without it they are spoken
    #[arg(long, requires = "study")]
    typed: bool,

    #[command(flatten)]
    speech: SpeechOptions,

    #[command(flatten)]
    devices: DeviceOptions,
}

fn count(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(count) if (1..=READINGS.len()).contains(&count) => Ok(count),
        _ => Err(format!("give 1 to {}", READINGS.len())),
    }
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    std::fs::create_dir_all(&config.data)?;
    if let Some(way) = options.study {
        let lesson = study::Lesson::new(options.mouth, way);
        return study(options, config, &lesson);
    }
    let mut voices = Voices::load(&config.data)?;
    let grammar = Grammar::built_in()?;
    let mut lesson = Lesson::begin(options, config, &grammar)?;
    let mut results = Vec::new();
    for reading in &READINGS[..options.readings] {
        lesson.say(&format!("Say: {reading}."))?;
        println!("say    {reading}");
        let result = Attempt::of(reading, lesson.heard()?.as_deref());
        println!("{}", result.line());
        results.push(result);
    }
    let settings = settings(&results, lesson.noise_floor_dbfs);
    lesson.say(&format!(
        "{} of {} understood.",
        settings.understood, settings.of
    ))?;
    println!(
        "\n{} of {} understood; speech at {:.0} dBFS, room at {:.0} dBFS; kept for {}: gain {:+.0} dB, pauses of {} to {} ms",
        settings.understood,
        settings.of,
        settings.speech_dbfs,
        settings.noise_floor_dbfs,
        options.person,
        settings.gain_db,
        settings.pauses_ms[0],
        settings.pauses_ms[settings.pauses_ms.len() - 1]
    );
    let enough = settings.understood * 10 >= settings.of * 8;
    if !enough {
        println!("fewer than eight in ten: bring the microphone nearer, and run sulcus doctor");
    }
    voices.keep(&options.person, settings);
    voices.save(&config.data)?;
    lesson.end();
    Ok(if enough {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

/// Asks for teeth, tells what was right, and keeps the score. A lesson that is broken off counts as far as it went.
fn study(options: &Options, config: &Config, lesson: &study::Lesson) -> anyhow::Result<Outcome> {
    let mut scores = Scores::load(&config.data)?;
    let grammar = Grammar::built_in()?;
    let mut random = ChaCha8Rng::from_rng(&mut rand::rng());
    let questions = lesson.questions(
        usize::from(options.questions),
        scores.of(&options.person, lesson),
        &mut random,
    );
    let mut spoken = match options.typed {
        true => None,
        false => Some(Lesson::begin(options, config, &grammar)?),
    };
    let mut typed = std::io::stdin().lines();
    let mut answers = Vec::new();
    for tooth in questions {
        println!("ask    {}", lesson.question(tooth));
        let answer = match &mut spoken {
            Some(voice) => {
                voice.say(&lesson.question(tooth))?;
                voice.heard()?.and_then(|heard| words(&heard))
            }
            None => match typed.next() {
                Some(line) => Some(line?),
                // The end of the input ends the lesson.
                None => break,
            },
        };
        let answer = lesson.judge(&grammar, tooth, answer.as_deref().unwrap_or_default());
        let told = match answer {
            study::Answer::Right => "right".to_owned(),
            study::Answer::Wrong(said) => {
                format!("that is {said}; right is {}", lesson.solution(tooth))
            }
            study::Answer::OtherWay => format!("asked is {}", lesson.solution(tooth)),
            study::Answer::NoTooth => format!("no tooth; right is {}", lesson.solution(tooth)),
        };
        println!("{told}");
        if let Some(voice) = &mut spoken {
            voice.say(&format!("{told}."))?;
        }
        answers.push((tooth, answer));
    }
    let score = scores.of(&options.person, lesson);
    score.add(&answers);
    println!(
        "{} of {} right; {} of {} over all lessons; {} teeth to learn",
        score.last_right,
        score.last_asked,
        score.right,
        score.asked,
        score.missed.len()
    );
    scores.save(&config.data)?;
    if let Some(voice) = spoken {
        voice.end();
    }
    Ok(Outcome::Done)
}

/// What was understood.
fn words(heard: &Heard) -> Option<String> {
    let hearing = Some(&heard.hearing).filter(|hearing| hearing.unheard.is_none())?;
    Some(hearing.hypotheses.first()?.words.join(" "))
}

struct Lesson {
    mouth: Speaker,
    voice: Receiver<VoiceEvent>,
    controls: Sender<Control>,
    listening: Receiver<ListenEvent>,
    next_id: u64,
    noise_floor_dbfs: f32,
    microphone: Microphone,
    thread: JoinHandle<()>,
}

impl Lesson {
    /// Opens the machine's ears and mouth.
    fn begin(options: &Options, config: &Config, grammar: &Grammar) -> anyhow::Result<Self> {
        let graph = grammar.graph(Situation::Table);
        let (listener, _) =
            table::listener(config, &options.speech, grammar, Arc::clone(&graph), None)?;
        let opened = voice::open(&config.models);
        for warning in &opened.warnings {
            eprintln!("sulcus: {warning}");
        }
        let output = Box::new(Loudspeaker::new(options.devices.loudspeaker.clone()));
        let (mouth, voice) = Speaker::start(opened.synthesiser, output, None);
        let (microphone, sound) = Microphone::open(&microphone::Options {
            device: options.devices.microphone.clone(),
            mix: Mix::default(),
        })?;
        println!("listening to {}", microphone.name());
        let (controls, control) = unbounded();
        let (told, listening) = unbounded();
        let thread = listener::spawn(listener, sound, control, told)?;
        controls.send(Control::SetGraph(Arc::clone(&graph)))?;
        Ok(Self {
            mouth,
            voice,
            controls,
            listening,
            next_id: 0,
            noise_floor_dbfs: f32::INFINITY,
            microphone,
            thread,
        })
    }

    /// Closes the microphone and waits for the listener.
    fn end(self) {
        drop((self.microphone, self.controls));
        // A listener that broke off has told why.
        let _ = self.thread.join();
    }

    /// Says a sentence to its end; nothing is heard meanwhile.
    fn say(&mut self, sentence: &str) -> anyhow::Result<()> {
        self.next_id += 1;
        let id = SayId(self.next_id);
        self.controls.send(Control::VoiceOn {
            interruptions: None,
            frame: None,
        })?;
        self.mouth
            .say(id, vec![sentence.to_owned()], Priority::Ordinary);
        for event in &self.voice {
            match event {
                VoiceEvent::Ended { id: ended, .. } if ended == id => break,
                VoiceEvent::Failed { id: failed, error } if failed == id => {
                    // What is to be repeated stands on the screen too.
                    eprintln!("sulcus: {error}");
                    break;
                }
                _ => {}
            }
        }
        self.controls.send(Control::VoiceOff { frame: None })?;
        Ok(())
    }

    /// The next utterance; none where nothing is said.
    fn heard(&mut self) -> anyhow::Result<Option<Box<Heard>>> {
        let deadline = std::time::Instant::now() + PATIENCE;
        loop {
            match self.listening.recv_deadline(deadline) {
                Ok(ListenEvent::Heard(heard)) => return Ok(Some(heard)),
                Ok(ListenEvent::Level(level)) => {
                    self.noise_floor_dbfs = self.noise_floor_dbfs.min(level.noise_floor_dbfs);
                }
                Ok(ListenEvent::Lost { device, why, .. }) => {
                    anyhow::bail!(
                        "microphone {device} is lost: {why}; plug it in and practise again"
                    )
                }
                Ok(ListenEvent::Failed(error)) => return Err(error.into()),
                Ok(_) => {}
                Err(error) if error.is_timeout() => return Ok(None),
                Err(_) => anyhow::bail!("the listener has ended"),
            }
        }
    }
}

/// One repetition.
#[derive(Debug, Clone, PartialEq)]
struct Attempt {
    wanted: String,
    heard: Option<String>,
    is_right: bool,
    /// What was heard is the beginning of the reading: it was taken for whole at a pause.
    is_broken: bool,
    speech_dbfs: Option<f32>,
    pitch_hz: Option<f32>,
}

impl Attempt {
    fn of(wanted: &str, heard: Option<&Heard>) -> Self {
        let words = heard.and_then(words);
        let same = |words: &str| words.replace("oh", "zero") == wanted;
        Self {
            is_right: words.as_deref().is_some_and(same),
            is_broken: words.as_deref().is_some_and(|words| {
                !same(words) && wanted.starts_with(&words.replace("oh", "zero"))
            }),
            speech_dbfs: heard.map(|heard| {
                let mut meter = Meter::default();
                meter.push(&heard.utterance.samples);
                meter.level().rms_dbfs
            }),
            pitch_hz: heard.and_then(|heard| pitch::median_hz(&heard.utterance.samples)),
            heard: words,
            wanted: wanted.to_owned(),
        }
    }

    fn line(&self) -> String {
        match (&self.heard, self.is_right) {
            (Some(_), true) => "right".to_owned(),
            (Some(heard), false) => format!("heard  {heard}"),
            (None, _) if self.speech_dbfs.is_some() => "----   not understood".to_owned(),
            (None, _) => "----   nothing was said".to_owned(),
        }
    }
}

/// What suits this voice in this room.
fn settings(attempts: &[Attempt], noise_floor_dbfs: f32) -> VoiceSettings {
    let speech_dbfs = median(attempts.iter().filter_map(|a| a.speech_dbfs)).unwrap_or(SPEECH_DBFS);
    let gain_db = (SPEECH_DBFS - speech_dbfs).clamp(-GAIN_DB_MAX, GAIN_DB_MAX);
    let broken = attempts.iter().filter(|attempt| attempt.is_broken).count();
    VoiceSettings {
        gain_db: if gain_db.abs() < GAIN_DB_MIN {
            0.0
        } else {
            gain_db
        },
        pauses_ms: if broken >= BROKEN_MIN {
            LONG_PAUSES_MS.to_vec()
        } else {
            Settings::default().pauses_ms
        },
        understood: attempts.iter().filter(|attempt| attempt.is_right).count(),
        of: attempts.len(),
        // Nothing was measured where the lesson was too short.
        noise_floor_dbfs: noise_floor_dbfs.clamp(-120.0, 0.0),
        speech_dbfs,
        pitch_hz: median(attempts.iter().filter_map(|attempt| attempt.pitch_hz)),
    }
}

fn median(values: impl Iterator<Item = f32>) -> Option<f32> {
    let mut values: Vec<f32> = values.collect();
    values.sort_by(f32::total_cmp);
    values.get(values.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn attempt(is_right: bool, is_broken: bool, speech_dbfs: f32) -> Attempt {
        Attempt {
            wanted: "mobility two".to_owned(),
            heard: Some(String::new()),
            is_right,
            is_broken,
            speech_dbfs: Some(speech_dbfs),
            pitch_hz: None,
        }
    }

    #[test]
    fn a_soft_voice_is_raised_and_a_slow_one_is_waited_for() {
        let fine = settings(
            &[attempt(true, false, -25.0), attempt(true, false, -23.0)],
            -60.0,
        );
        assert_eq!((fine.gain_db, fine.understood), (0.0, 2));
        assert_eq!(fine.pauses_ms, Settings::default().pauses_ms);
        let soft = settings(&[attempt(true, false, -36.0)], -60.0);
        assert_eq!(soft.gain_db, 12.0);
        let loud = settings(&[attempt(true, false, -2.0)], -60.0);
        assert_eq!(loud.gain_db, -20.0);
        let slow = settings(
            &[attempt(false, true, -24.0), attempt(false, true, -24.0)],
            -60.0,
        );
        assert_eq!(slow.pauses_ms, LONG_PAUSES_MS);
        assert_eq!(slow.understood, 0);
    }

    #[test]
    fn every_reading_is_a_sentence_of_the_grammar() {
        let grammar = Grammar::built_in().unwrap();
        for reading in READINGS {
            let words: Vec<&str> = reading.split(' ').collect();
            let meaning = grammar.interpret(&words, Situation::Table, crate::terms::Species::Dog);
            assert!(
                matches!(meaning, crate::grammar::Meaning::Said(_)),
                "{reading}: {meaning:?}"
            );
        }
    }
}
