//! The loop at the table: microphone, loudspeaker and page in threads of their own, one place that decides.
//!
//! Invariant: every input goes through [`Talk`] one after another; nothing else writes the journal.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use crossbeam_channel::{Receiver, Sender, never, select, tick};

use super::figures::Figures;
use super::keys::Act;
use super::monitor::Sent;
use super::page;
use super::people::People;
use super::sounds_like::Pitches;
use super::talk::{Line, Talk};
use super::voices::Voices;
use crate::grammar::Intent;
use crate::record::event::Speaker as Person;
use crate::session::Phrase;
use crate::speech::listener::{Control, ListenEvent, Under};
use crate::voice::{Cue, VoiceEvent};
use crate::web::Pressed;

/// How often a journal that refused a write is opened afresh.
const REOPEN: Duration = Duration::from_secs(2);

/// How often a pause is looked for: a tenth of the shortest that matters.
const PAUSES: Duration = Duration::from_millis(100);

/// The ends of the threads around the loop.
pub struct Ends {
    pub listening: Receiver<ListenEvent>,
    pub controls: Sender<Control>,
    pub voice: Receiver<VoiceEvent>,
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

/// Runs until the sound ends or everything hangs up.
pub fn run(
    mut talk: Talk,
    ends: &Ends,
    first: Vec<Phrase>,
    mut figures: Option<Figures>,
    show: &mut dyn FnMut(&mut Talk, Shown<'_>),
) {
    let no_key = never();
    let keys = ends.keys.as_ref().unwrap_or(&no_key);
    let mut gate = Gate {
        is_open: ends.is_open,
        is_awaited: false,
    };
    let nobody = never();
    let presses = ends.presses.as_ref().unwrap_or(&nobody);
    let no_monitor = never();
    let mut monitor = ends.monitor.as_ref().unwrap_or(&no_monitor);
    let reopening = tick(REOPEN);
    let pauses = tick(PAUSES);
    let mut graph_of = None;
    tell_all(&mut talk, &mut |talk| talk.say_all(first.clone()), show);
    loop {
        // The graph follows the conversation; the engine keeps what it compiled, so that this is cheap.
        let situation = talk.desk().situation();
        if graph_of != Some(situation) {
            let graph = talk.graph();
            if ends.controls.send(Control::SetGraph(graph)).is_err() {
                return;
            }
            graph_of = Some(situation);
        }
        select! {
            recv(ends.listening) -> event => match event {
                Ok(ListenEvent::Partial(words)) => show(&mut talk, Shown::Partial(&words)),
                Ok(ListenEvent::Level(level)) => show(&mut talk, Shown::Level(level.peak_dbfs)),
                Ok(ListenEvent::Ended) | Err(_) => return,
                Ok(event) => {
                    if let ListenEvent::Heard(heard) = &event {
                        if let Some(people) = &ends.people {
                            talk.next_is(people.who(&heard.utterance));
                        }
                        if let Some(pitches) = Pitches::of(&ends.voices, talk.desk().record()) {
                            talk.next_sounds_like(pitches.who(&heard.utterance.samples));
                        }
                        if let Some(figures) = &mut figures {
                            figures.heard(heard);
                        }
                    }
                    if let (ListenEvent::Hushed, Some(figures)) = (&event, &mut figures) {
                        figures.hushed();
                    }
                    if let Some(event) = gate.pass(&mut talk, event) {
                        tell_all(&mut talk, &mut |talk| talk.listen(&event), show);
                    }
                }
            },
            recv(ends.voice) -> event => {
                let Ok(event) = event else { return };
                deafen(&mut talk, ends, &event);
                if let Some(Err(error)) = figures.as_mut().map(|figures| figures.voice(&event)) {
                    eprintln!("sulcus: the figures cannot be written: {error}");
                    figures = None;
                }
                tell_all(&mut talk, &mut |talk| talk.voice(&event), show);
            },
            recv(presses) -> press => {
                // A page that is gone leaves the table as it is.
                if let Ok(press) = press {
                    for line in page::press(&mut talk, press) {
                        show(&mut talk, Shown::Line(&line));
                    }
                }
            },
            recv(keys) -> act => match act {
                Ok(Act::Leave) | Err(_) => return,
                Ok(Act::Talk) => gate.key(&mut talk),
                Ok(Act::Nurse) => talk.next_is(Person::Nurse),
                Ok(Act::Confirm) => tell_all(&mut talk, &mut |talk| talk.press(vec![Intent::Confirm], Person::Unknown), show),
                Ok(Act::Undo) => tell_all(&mut talk, &mut |talk| talk.press(vec![Intent::Undo], Person::Unknown), show),
            },
            recv(monitor) -> sent => match sent {
                Ok(sent) => tell_all(&mut talk, &mut |talk| talk.monitor(sent.clone()), show),
                // A monitor that is gone leaves the table as it is.
                Err(_) => monitor = &no_monitor,
            },
            recv(pauses) -> _ => {
                if let Some(people) = &ends.people {
                    people.listen();
                }
                tell_all(&mut talk, &mut Talk::speak, show);
            },
            recv(reopening) -> _ => {
                tell_all(&mut talk, &mut Talk::remind, show);
                if talk.is_shut() {
                    let Some(again) = reopen(talk, show) else { return };
                    talk = again;
                }
            },
        }
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
fn deafen(talk: &mut Talk, ends: &Ends, event: &VoiceEvent) {
    if !ends.hears_itself {
        return;
    }
    // The position is that of the newest frame heard before: the voice begins in the next one.
    let frame = Some(ends.position.load(Ordering::Acquire) + 1);
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

fn tell_all(
    talk: &mut Talk,
    act: &mut dyn FnMut(&mut Talk) -> Vec<Line>,
    show: &mut dyn FnMut(&mut Talk, Shown<'_>),
) {
    for line in act(talk) {
        show(talk, Shown::Line(&line));
    }
}

/// The journal is opened afresh. Where that fails the program must end: it cannot save.
fn reopen(talk: Talk, show: &mut dyn FnMut(&mut Talk, Shown<'_>)) -> Option<Talk> {
    match talk.reopen() {
        Ok((mut talk, lines)) => {
            for line in &lines {
                show(&mut talk, Shown::Line(line));
            }
            Some(talk)
        }
        Err(error) => {
            eprintln!("sulcus: {error}");
            None
        }
    }
}
