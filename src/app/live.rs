//! The loop at the table: microphone, loudspeaker and page in threads of their own, one place that decides.
//!
//! Invariants: every input goes through [`Talk`] one after another, in the order of the time line; nothing else writes
//! the journal; the loop ends only with an [`Ending`] that says why.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use crossbeam_channel::{Receiver, Sender, never, select, tick};

use super::ending::{Ending, Worker};
use super::figures::Figures;
use super::flow::Tread;
use super::keys::Act;
use super::monitor::Sent;
use super::page;
use super::people::People;
use super::sounds_like::Pitches;
use super::talk::{Line, Talk};
use super::time_line::TimeLine;
use super::voices::Voices;
use crate::audio::FRAME_MS;
use crate::grammar::{Intent, Situation};
use crate::record::event::Speaker as Person;
use crate::session::Phrase;
use crate::speech::listener::{Control, ListenEvent, Under};
use crate::voice::{Cue, VoiceEvent};
use crate::web::Pressed;

/// How often reminders are looked for.
const REMINDERS: Duration = Duration::from_secs(2);

/// How often it is looked whether sound still comes: a tenth of the shortest pause that matters.
const LOOKS_MS: u64 = 100;

/// Behind the sound by so much, people are asked to wait: five times what an answer takes where the machine is free.
const LATE_MS: u64 = 2_500;

/// Behind by so little, it has caught up. Between the two nothing is told twice.
const CAUGHT_UP_MS: u64 = 300;

/// Last words are waited for so long at most: a minute of writing down.
const LAST_WORDS: Duration = Duration::from_secs(60);

/// The ends of the threads around the loop.
pub struct Ends {
    pub listening: Receiver<ListenEvent>,
    pub controls: Sender<Control>,
    /// With the newest frame that the microphone had given.
    pub voice: Receiver<(u64, VoiceEvent)>,
    /// From the page.
    pub presses: Option<Receiver<Pressed>>,
    /// Frames the microphone has given, so that deafness begins at the right one.
    pub position: Arc<AtomicU64>,
    /// Keys, and with them push to talk: with these, nothing is heard but after [`Act::Talk`], unless `is_open`.
    pub keys: Option<Receiver<Act>>,
    /// Listens without the key too.
    pub is_open: bool,
    /// The nurse's channel.
    pub people: Option<People>,
    /// What a check of the journal beside the work finds wrong with it.
    pub damage: Option<Receiver<String>>,
    /// What people should know of the handing over to the archive.
    pub courier: Option<Receiver<String>>,
    /// Readings that a monitor sends.
    pub monitor: Option<Receiver<Sent>>,
    /// What people here have practised, for the hint who spoke.
    pub voices: Voices,
    /// Whether the microphone hears the loudspeaker. Where not (a headset), whoever speaks interrupts the read-back.
    pub hears_itself: bool,
}

/// One turn of the loop, for those who show it.
pub enum Shown<'a> {
    Line(&'a Line),
    /// What is being heard, for show only.
    Partial(&'a [String]),
    /// The level of the microphone in dB below full scale.
    Level(f32),
}

/// What happens beside the sound.
enum Input {
    Voice(VoiceEvent),
    Press(Box<Pressed>),
    Key(Act),
}

/// Tells each turn of the loop.
type Show<'a> = dyn FnMut(&mut Talk, Shown<'_>) + 'a;

/// Runs until somebody ends it, or something that it needs has gone.
pub fn run(
    talk: Talk,
    ends: &Ends,
    first: Vec<Phrase>,
    figures: Option<Figures>,
    show: &mut Show<'_>,
) -> Ending {
    let mut table = Table::new(talk, ends, figures, show);
    table.tell(&mut |talk| talk.begin_with(first.clone()));
    table.run()
}

struct Table<'a, 'b> {
    talk: Talk,
    ends: &'a Ends,
    line: TimeLine<Input>,
    gate: Gate,
    figures: Option<Figures>,
    graph_of: Option<Situation>,
    /// The newest frame at the last look.
    seen_frame: u64,
    /// The listener has come so far.
    heard_ms: u64,
    /// People were asked to wait since it was last up to the sound.
    is_late: bool,
    /// Last words are being said since then, and this end follows.
    leaving: Option<(Instant, Ending)>,
    show: &'a mut Show<'b>,
}

impl<'a, 'b> Table<'a, 'b> {
    fn new(talk: Talk, ends: &'a Ends, figures: Option<Figures>, show: &'a mut Show<'b>) -> Self {
        Self {
            talk,
            ends,
            line: TimeLine::default(),
            gate: Gate {
                is_open: ends.is_open,
                is_awaited: false,
            },
            figures,
            graph_of: None,
            seen_frame: 0,
            heard_ms: 0,
            is_late: false,
            leaving: None,
            show,
        }
    }

    fn run(&mut self) -> Ending {
        let no_key = never();
        let nobody = never();
        let ends = self.ends;
        let reminders = tick(REMINDERS);
        let looks = tick(Duration::from_millis(LOOKS_MS));
        // A part that has gone tells nothing more.
        let (deaf, dumb) = (never(), never());
        let (mut listening, mut voice) = (&ends.listening, &ends.voice);
        let mut keys = ends.keys.as_ref().unwrap_or(&no_key);
        let mut presses = ends.presses.as_ref().unwrap_or(&nobody);
        let no_monitor = never();
        let mut monitor = ends.monitor.as_ref().unwrap_or(&no_monitor);
        let no_check = never();
        let mut damage = ends.damage.as_ref().unwrap_or(&no_check);
        let no_courier = never();
        let mut courier = ends.courier.as_ref().unwrap_or(&no_courier);
        loop {
            if let Some(ending) = self.left() {
                return ending;
            }
            self.set_graph();
            select! {
                recv(listening) -> event => match event {
                    Ok(event) => {
                        // What the voice told before goes first.
                        self.take_voice();
                        self.hear(event);
                    }
                    Err(_) => {
                        listening = &deaf;
                        self.leave(Ending::Sound);
                    }
                },
                recv(voice) -> event => match event {
                    Ok((frame, event)) => self.voice(frame, event),
                    Err(_) => {
                        voice = &dumb;
                        self.leave(Ending::WorkerDied(Worker::Voice));
                    }
                },
                recv(presses) -> press => match press {
                    Ok(press) => self.put(Input::Press(Box::new(press))),
                    // A page that is gone leaves the table as it is.
                    Err(_) => presses = &nobody,
                },
                recv(keys) -> act => match act {
                    Ok(Act::Leave) => self.leave(Ending::Done),
                    Ok(act) => self.put(Input::Key(act)),
                    Err(_) => {
                        keys = &no_key;
                        self.leave(Ending::Done);
                    }
                },
                recv(monitor) -> sent => match sent {
                    Ok(sent) => self.tell(&mut |talk| talk.monitor(sent.clone())),
                    // A monitor that is gone leaves the table as it is.
                    Err(_) => monitor = &no_monitor,
                },
                recv(damage) -> why => match why {
                    Ok(_) => self.tell(&mut Talk::damaged),
                    // The check is over.
                    Err(_) => damage = &no_check,
                },
                recv(courier) -> why => match why {
                    Ok(why) => self.tell(&mut |_| vec![Line::Trouble(why.clone())]),
                    Err(_) => courier = &no_courier,
                },
                recv(looks) -> _ => self.look(),
                recv(reminders) -> _ => self.tell(&mut Talk::remind),
            }
        }
    }

    fn tell(&mut self, act: &mut dyn FnMut(&mut Talk) -> Vec<Line>) {
        for line in act(&mut self.talk) {
            (self.show)(&mut self.talk, Shown::Line(&line));
        }
    }

    /// The graph follows the conversation; the engine keeps what it compiled, so that this is cheap.
    fn set_graph(&mut self) {
        let situation = self.talk.desk().situation();
        if self.graph_of != Some(situation) {
            let graph = self.talk.graph();
            // A listener that is gone is noticed by the loop.
            let _ = self.ends.controls.send(Control::SetGraph(graph));
            self.graph_of = Some(situation);
        }
    }

    fn hear(&mut self, event: ListenEvent) {
        match event {
            ListenEvent::HeardUpTo { at_ms } => {
                self.heard_ms = at_ms;
                let due = self.line.heard_up_to(at_ms);
                self.take_all(due);
                self.go_on();
            }
            ListenEvent::Partial(words) => (self.show)(&mut self.talk, Shown::Partial(&words)),
            ListenEvent::Level(level) => {
                (self.show)(&mut self.talk, Shown::Level(level.peak_dbfs));
            }
            ListenEvent::Ended => self.leave(Ending::Done),
            event => {
                if let ListenEvent::Heard(heard) = &event {
                    if let Some(people) = &self.ends.people {
                        self.talk.next_is(people.who(&heard.utterance));
                    }
                    let pitches = Pitches::of(&self.ends.voices, self.talk.desk().record());
                    if let Some(pitches) = pitches {
                        self.talk
                            .next_sounds_like(pitches.who(&heard.utterance.samples));
                    }
                    if let Some(figures) = &mut self.figures {
                        figures.heard(heard);
                    }
                }
                if let (ListenEvent::Hushed, Some(figures)) = (&event, &mut self.figures) {
                    figures.hushed();
                }
                let event = match event {
                    ListenEvent::SpeechStarted { at_ms, under } => ListenEvent::SpeechStarted {
                        at_ms: self.line.of_sound(at_ms),
                        under,
                    },
                    event => event,
                };
                if let Some(event) = self.gate.pass(&mut self.talk, event) {
                    self.tell(&mut |talk| talk.listen(&event));
                }
            }
        }
    }

    /// Time has passed.
    fn go_on(&mut self) {
        self.talk.at(self.line.now_ms());
        self.tell(&mut Talk::speak);
        self.tell(&mut Talk::retry);
    }

    fn put(&mut self, input: Input) {
        let frame = self.ends.position.load(Ordering::Acquire);
        self.line.put(frame, input);
    }

    fn take_voice(&mut self) {
        while let Ok((frame, event)) = self.ends.voice.try_recv() {
            self.voice(frame, event);
        }
    }

    /// What must be done at once when the voice begins and ends; what follows from it waits for its time.
    fn voice(&mut self, frame: u64, event: VoiceEvent) {
        deafen(&mut self.talk, self.ends, frame, &event);
        let written = self.figures.as_mut().map(|figures| figures.voice(&event));
        if let Some(Err(error)) = written {
            eprintln!("sulcus: the figures cannot be written: {error}");
            self.figures = None;
        }
        self.line.put(frame, Input::Voice(event));
    }

    fn take_all(&mut self, inputs: Vec<(u64, Input)>) {
        for (at_ms, input) in inputs {
            self.talk.at(at_ms);
            match input {
                Input::Voice(event) => self.tell(&mut |talk| talk.voice(&event)),
                Input::Press(press) => {
                    let (lines, answer) = page::press(&mut self.talk, *press);
                    self.tell(&mut |_| lines.clone());
                    answer.send();
                }
                Input::Key(act) => self.key(act),
            }
        }
    }

    fn key(&mut self, act: Act) {
        let press =
            |intent: Intent| move |talk: &mut Talk| talk.key(intent.clone(), Person::Unknown);
        match act {
            Act::Leave => self.leave(Ending::Done),
            Act::Talk | Act::Trod(Tread::Talk) => self.gate.key(&mut self.talk),
            Act::Nurse | Act::Trod(Tread::Nurse) => self.talk.next_is(Person::Nurse),
            Act::Confirm => self.tell(&mut press(Intent::Confirm)),
            Act::Undo => self.tell(&mut press(Intent::Undo)),
            Act::Next => self.tell(&mut press(Intent::NextTooth)),
            Act::FootDown => self.talk.foot_down(),
            Act::Trod(tread) => {
                if let Some(intent) = tread.intent() {
                    let by = self.talk.desk().flow().pedal.by.into();
                    self.tell(&mut |talk| talk.pedal(intent.clone(), by));
                }
            }
            Act::PedalFound => self.told("the pedal is there"),
            Act::PedalLost(why) => self.told(&format!("no pedal: {why}; it is looked for")),
        }
    }

    fn told(&mut self, text: &str) {
        self.tell(&mut |_| vec![Line::Trouble(text.to_owned())]);
    }

    /// Where no sound comes at all (the microphone is lost), time goes on all the same.
    fn look(&mut self) {
        if let Some(people) = &self.ends.people {
            people.listen();
        }
        self.take_voice();
        let frame = self.ends.position.load(Ordering::Acquire);
        let is_all_heard = self.heard_ms / FRAME_MS >= frame;
        let is_deaf = matches!(self.leaving, Some((_, Ending::Sound)));
        if frame == self.seen_frame && (is_all_heard || is_deaf) {
            let due = self.line.silent_for(LOOKS_MS);
            self.take_all(due);
            self.go_on();
        }
        self.seen_frame = frame;
        if !is_deaf {
            self.wait_for_ears((frame * FRAME_MS).saturating_sub(self.heard_ms));
        }
    }

    /// On a machine that is busy recognition comes late: whoever spoke is told to wait, instead of saying it again into
    /// what is not heard yet.
    fn wait_for_ears(&mut self, behind_ms: u64) {
        if behind_ms <= CAUGHT_UP_MS {
            self.is_late = false;
        } else if behind_ms >= LATE_MS && !self.is_late {
            self.is_late = true;
            self.told(&format!(
                "the machine is busy: recognition is {} s behind what is said",
                behind_ms.div_ceil(1000)
            ));
            self.tell(&mut Talk::one_moment);
        }
    }

    /// Begins to end: says first what must be said. The second wish to end is obeyed at once.
    fn leave(&mut self, ending: Ending) {
        if self.leaving.is_some() {
            self.leaving = Some((Instant::now() - LAST_WORDS, ending));
            return;
        }
        if ending == Ending::Sound {
            self.tell(&mut |talk| talk.say_first(Phrase::new("end_ears")));
        }
        self.tell(&mut Talk::last_words);
        self.leaving = Some((Instant::now(), ending));
    }

    /// The end, once the last words are said.
    fn left(&mut self) -> Option<Ending> {
        let (since, ending) = self.leaving.as_ref()?;
        let is_dumb = *ending == Ending::WorkerDied(Worker::Voice);
        let is_said = is_dumb || !self.talk.turn().has_alarm();
        if !is_said && since.elapsed() < LAST_WORDS {
            return None;
        }
        let trouble = self.talk.trouble();
        Some(match (ending, trouble.why) {
            (Ending::Done, Some(why)) => Ending::Storage {
                why,
                unsaved: trouble.unsaved,
            },
            (ending, _) => ending.clone(),
        })
    }
}

/// Push to talk: one utterance for each press. A terminal tells that a key went down, not that it came up.
struct Gate {
    is_open: bool,
    is_awaited: bool,
}

impl Gate {
    fn key(&mut self, talk: &mut Talk) {
        self.is_awaited = !self.is_awaited;
        talk.mouth().cue(if self.is_awaited {
            Cue::ListeningOn
        } else {
            Cue::ListeningOff
        });
    }

    /// What goes on to the conversation. What interrupts the program's own voice always does.
    fn pass(&mut self, talk: &mut Talk, event: ListenEvent) -> Option<ListenEvent> {
        if self.is_open {
            return Some(event);
        }
        match &event {
            ListenEvent::Heard(heard) if heard.under == Under::Session => {
                if !std::mem::take(&mut self.is_awaited) {
                    return Some(ListenEvent::SpeechDismissed);
                }
                talk.mouth().cue(Cue::ListeningOff);
                Some(event)
            }
            ListenEvent::Hushed if !self.is_awaited => None,
            _ => Some(event),
        }
    }
}

/// While the program speaks, the microphone hears only what interrupts it.
fn deafen(talk: &mut Talk, ends: &Ends, frame: u64, event: &VoiceEvent) {
    if !ends.hears_itself {
        return;
    }
    // The voice begins in the frame after the newest one.
    let frame = Some(frame + 1);
    let control = match event {
        VoiceEvent::Started { .. } => Control::VoiceOn {
            interruptions: Some(talk.interruptions()),
            frame,
        },
        VoiceEvent::Ended { .. } | VoiceEvent::Failed { .. } => Control::VoiceOff { frame },
        _ => return,
    };
    // A listener that is gone is noticed by the loop.
    let _ = ends.controls.send(control);
}

#[cfg(test)]
mod tests;
