//! What the program says: phrases to the mouth when their turn comes, and back from it what was said to its end, cut,
//! or made no sound.
//!
//! Invariants: a phrase that was cut is not read back, nor one that nobody can have heard; what was shown and what was
//! spoken are told apart.

use super::read_backs::Ended;
use super::{Cut, Line, Pace, Phrase, SayId, Talk};
use crate::app::desk::NotSaved;
use crate::record::event::{Proposed, Telling};
use crate::record::{Entry, Event};
use crate::session::{Rules, Wish};
use crate::voice::{Cue, Priority, Speaker, VoiceEvent, wording};

/// What speaks for the program.
pub trait Mouth: Send {
    /// Says the phrases as one sentence; tells the end of it by a [`VoiceEvent`].
    fn say(&self, id: SayId, phrases: Vec<String>, priority: Priority);
    fn cue(&self, cue: Cue);
    /// Is silent at once, and forgets what waits.
    fn stop(&self);
    /// It shows what it is given, and all of it at once: there is no sound to wait for.
    fn shows(&self) -> bool {
        false
    }
}

/// A mouth without sound: what is said stands on the page.
#[derive(Debug, Clone, Copy)]
pub struct ShowingMouth;

impl Mouth for ShowingMouth {
    fn say(&self, _id: SayId, _phrases: Vec<String>, _priority: Priority) {}

    fn cue(&self, _cue: Cue) {}

    fn stop(&self) {}

    fn shows(&self) -> bool {
        true
    }
}

impl Mouth for Speaker {
    fn say(&self, id: SayId, phrases: Vec<String>, priority: Priority) {
        Self::say(self, id, phrases, priority);
    }

    fn cue(&self, cue: Cue) {
        Self::cue(self, cue);
    }

    fn stop(&self) {
        Self::stop(self);
    }
}

/// People who hear something wrong have begun to say so by then (docs/conversation.md, "Rehearsals").
const ANSWER_MS: u64 = 900;

impl Talk {
    /// Short read-backs: an odd depth that was named by a question, told to its end, and answered with yes was said
    /// back by it.
    pub(super) fn told_by_question(
        &mut self,
        entries: &[Entry],
        phrases: &mut Vec<Phrase>,
    ) -> Option<NotSaved> {
        let record = self.desk.record();
        let is_named = |number: u64| {
            self.question_told == Some(number)
                && record
                    .challenges
                    .iter()
                    .any(|open| open.number == number && open.rule == "depth_outlier")
        };
        let named: Vec<u64> = entries
            .iter()
            .filter(|entry| {
                matches!(entry.event, Event::FindingRecorded { challenge: Some(number), .. } if is_named(number))
            })
            .map(|entry| entry.number)
            .collect();
        if !self.turn.is_short() || named.is_empty() {
            return None;
        }
        let is_of_these = |phrase: &Phrase| {
            !phrase.entries.is_empty() && phrase.entries.iter().all(|entry| named.contains(entry))
        };
        let at = phrases.iter().position(is_of_these)?;
        let phrase = phrases.remove(at);
        self.desk.told(&phrase, Telling::Spoken)
    }

    /// By the pace of quadrants a question about an odd value is kept until the quadrant is over; where a read-back goes
    /// on while somebody speaks, until it can be heard. Where none is open
    /// any more, none is kept.
    pub(super) fn gather(&mut self, entries: &[Entry], phrases: &mut Vec<Phrase>) {
        let asks_finding = |entry: &Entry| {
            matches!(
                entry.event,
                Event::Challenged {
                    proposed: Proposed::Finding(_),
                    ..
                }
            )
        };
        if self.desk.record().open_challenge().is_none() {
            self.turn.forget_gathered();
        } else if (self.turn.pace() == Pace::EachQuadrant || self.turn.goes_on())
            && entries.iter().any(asks_finding)
            && let Some(at) = phrases.iter().rposition(|phrase| phrase.is_question)
        {
            let question = phrases.remove(at);
            // An older one comes up again when this one is answered.
            phrases.retain(|phrase| !phrase.is_question);
            self.turn.gather(question);
        }
        self.desk.gather(self.turn.has_gathered());
    }

    /// Says phrases in their turn.
    pub fn say_all(&mut self, phrases: Vec<Phrase>) -> Vec<Line> {
        self.answered = plain(&phrases, self.desk.rules());
        self.turn.push(self.desk.record(), phrases, true);
        self.speak()
    }

    /// The answer to the newest input, in writing.
    pub fn answered(&self) -> &[String] {
        &self.answered
    }

    /// Says what may be said now. The loops call it after each event, and now and then, since a pause is an event too.
    pub fn speak(&mut self) -> Vec<Line> {
        let mut lines = self.count_due();
        for alarm in self.troubles.due(self.now_ms) {
            self.mouth.cue(Cue::NotSaved);
            self.turn.push_alarm(alarm);
        }
        if self.turn.must_give_way(self.now_ms) {
            self.cut(Cut::SpokenOver);
        }
        // A mouth that shows ends each phrase at once.
        while let Some(phrase) = self.turn.next(self.desk.record(), self.now_ms) {
            // A question that was kept is heard from now on.
            self.desk.gather(self.turn.has_gathered());
            if !phrase.entries.is_empty() {
                self.begins(&phrase.entries);
            }
            lines.push(Line::Says(phrase.plain(self.desk.rules())));
            if self.is_shown(&phrase) {
                lines.extend(self.ended(Telling::Shown));
                continue;
            }
            self.next_id += 1;
            let id = SayId(self.next_id);
            self.at_mouth = Some(id);
            let spoken = wording::spoken(&phrase, self.desk.rules());
            self.spoken = spoken.join(" ");
            let priority = if self.turn.is_saying_alarm() {
                Priority::Urgent
            } else {
                Priority::Ordinary
            };
            self.mouth.say(id, spoken, priority);
            break;
        }
        lines
    }

    /// These values begin to be said back: "no" speaks of them. Where one read-back follows another at once, it speaks of
    /// the one before for as long as people take to answer.
    fn begins(&mut self, entries: &[u64]) {
        let follows = self
            .read_back_ended_ms
            .is_some_and(|ended_ms| self.now_ms < ended_ms + ANSWER_MS);
        if self.turn.goes_on() && follows {
            self.begun = Some((self.now_ms + ANSWER_MS, entries.to_vec()));
        } else {
            self.begun = None;
            self.desk.heard_back(entries);
        }
    }

    /// Somebody begins to speak: by now "no" may be of the read-back that is being said.
    pub(super) fn is_about(&mut self, at_ms: u64) {
        if let Some((_, entries)) = self.begun.take_if(|(from_ms, _)| *from_ms <= at_ms) {
            self.desk.heard_back(&entries);
        }
    }

    /// Values were entered while a read-back goes on: "no" still speaks of that.
    pub(super) fn goes_on(&mut self) {
        if !self.turn.goes_on() || self.begun.is_some() {
            return;
        }
        let saying = self.turn.saying().map(|phrase| phrase.entries.clone());
        if let Some(entries) = saying.filter(|entries| !entries.is_empty()) {
            self.desk.heard_back(&entries);
        }
    }

    /// What was begun last, in the words that are spoken.
    #[cfg(test)]
    pub fn spoken_last(&self) -> &str {
        &self.spoken
    }

    /// By the pace chosen, values are shown; what asks for an answer is spoken wherever there is a voice.
    pub(super) fn is_shown(&self, phrase: &Phrase) -> bool {
        let is_value = !phrase.entries.is_empty() && !phrase.is_question;
        self.mouth.shows() || (self.turn.pace() == Pace::Shown && is_value)
    }

    pub(super) fn cut(&mut self, why: Cut) {
        if self.at_mouth.take().is_some() {
            self.mouth.stop();
        }
        if let Some(phrase) = self.turn.saying().cloned() {
            self.troubles.ended(&phrase, self.now_ms);
        }
        self.turn.cut(self.desk.record(), why);
    }

    pub(super) fn grant(&mut self, wish: &Wish) -> Vec<Line> {
        match wish {
            Wish::StopSpeaking => {
                self.cut(Cut::Stopped);
                self.turn.clear();
                Vec::new()
            }
            Wish::SayBack { entries } => {
                self.turn.say_back(self.desk.record(), entries);
                Vec::new()
            }
            Wish::SetPace(pace) => {
                self.turn.set_pace(*pace);
                self.turn.want_all();
                Vec::new()
            }
            Wish::TakeNote { tooth } => {
                self.note.await_for(*tooth);
                self.turn.push(
                    self.desk.record(),
                    vec![Phrase::new("note_recording")],
                    true,
                );
                Vec::new()
            }
            Wish::TellPlan => {
                let phrases = self.desk.tell_plan();
                self.say_all(phrases)
            }
            Wish::Compare { tooth } => {
                let phrases = self.desk.tell_comparison(*tooth);
                self.say_all(phrases)
            }
        }
    }

    /// The mouth tells how far it is.
    pub fn voice(&mut self, event: &VoiceEvent) -> Vec<Line> {
        match event {
            VoiceEvent::Ended { id, cut: false } if self.at_mouth == Some(*id) => {
                self.at_mouth = None;
                let mut lines = self.ended(Telling::Spoken);
                lines.extend(self.speak());
                lines
            }
            // Cut by somebody else than this conversation: silence is no read-back.
            VoiceEvent::Ended { id, cut: true } if self.at_mouth == Some(*id) => {
                self.cut(Cut::Stopped);
                self.speak()
            }
            VoiceEvent::Failed { id, error } => {
                let why = error.to_string();
                let mut lines = vec![Line::Trouble(why.clone())];
                if self.at_mouth == Some(*id) {
                    self.at_mouth = None;
                    lines.extend(self.silent(&why));
                    lines.extend(self.speak());
                }
                lines
            }
            VoiceEvent::NoLoudspeaker { error } => vec![Line::Trouble(error.to_string())],
            VoiceEvent::LoudspeakerFound => {
                for phrase in self.read_backs.silent() {
                    if phrase.entries.is_empty() {
                        self.turn.push(self.desk.record(), vec![phrase], true);
                    } else {
                        self.turn.say_back(self.desk.record(), &phrase.entries);
                    }
                }
                self.speak()
            }
            _ => Vec::new(),
        }
    }

    /// What was being told has come to its end.
    pub(super) fn ended(&mut self, by: Telling) -> Vec<Line> {
        let Some(phrase) = self.turn.said(self.now_ms) else {
            return Vec::new();
        };
        self.troubles.ended(&phrase, self.now_ms);
        if !phrase.entries.is_empty() {
            self.read_back_ended_ms = Some(self.now_ms);
        }
        if phrase.is_question && by == Telling::Spoken && !self.turn.person_speaks() {
            let open = self.desk.record().open_challenge();
            self.question_told = open.map(|open| open.number);
        }
        let mut lines = vec![Line::Said(phrase.plain(self.desk.rules()))];
        self.read_backs.ended(phrase, by, self.now_ms);
        lines.extend(self.count_due());
        lines
    }

    /// What was being told made no sound, or not all of its sound: it stands on the screen, and nobody heard it.
    pub(super) fn silent(&mut self, why: &str) -> Vec<Line> {
        let was_alarm = self.turn.is_saying_alarm();
        let Some(phrase) = self.turn.said(self.now_ms) else {
            return Vec::new();
        };
        self.troubles.ended(&phrase, self.now_ms);
        self.is_question_silent |= phrase.is_question;
        let not_saved = self.desk.not_heard(&phrase, why);
        // An alarm comes again by itself.
        if !was_alarm {
            self.read_backs.was_silent(phrase);
        }
        match not_saved {
            None => Vec::new(),
            Some(not_saved) => self.not_saved(not_saved),
        }
    }

    /// Nobody speaks any more: what ended meanwhile counts now, and the turn goes on.
    pub(super) fn count_said(&mut self) -> Vec<Line> {
        let mut lines = Vec::new();
        if !self.turn.person_speaks() {
            for ended in self.read_backs.all() {
                lines.extend(self.count(&ended));
            }
            lines.extend(self.speak());
        }
        lines
    }

    /// What has ended long enough ago that nobody can have begun to speak before its end.
    pub(super) fn count_due(&mut self) -> Vec<Line> {
        let due = self.read_backs.due(&self.turn, self.now_ms);
        due.iter().flat_map(|ended| self.count(ended)).collect()
    }

    pub(super) fn count(&mut self, ended: &Ended) -> Vec<Line> {
        let not_saved = self.desk.told(&ended.phrase, ended.by);
        self.read_backs.counted(self.desk.record(), &ended.phrase);
        match not_saved {
            None => Vec::new(),
            Some(not_saved) => self.not_saved(not_saved),
        }
    }
}

pub(super) fn plain(phrases: &[Phrase], rules: &Rules) -> Vec<String> {
    phrases.iter().map(|phrase| phrase.plain(rules)).collect()
}
