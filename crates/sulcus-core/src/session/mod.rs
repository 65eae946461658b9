//! The conversation as a pure state machine: record and what was said in, facts to write and phrases to say out.
//! Knows no clock, disk or sound; time is passed in.
//!
//! Invariants: nothing is confirmed by silence; a refused or challenged value is not among the facts;
//! what is read back is made from entries that were saved, never from what was heard.

pub mod phrase;
pub mod rules;

mod alert;
mod arrange;
mod blood;
pub mod conflict;
mod drugs;
mod enter;
pub mod flow;
pub mod in_words;
mod mouth;
pub mod read_back;
pub mod reminder;
pub mod reply;
pub mod sayable;
mod scope;
mod stage;
mod strike;
mod surgery;
mod watch;

#[cfg(any(test, feature = "invented"))]
pub mod tests;

pub use phrase::{Phrase, Slot};
pub use rules::{Rules, RulesError};
pub use stage::NearLimit;

use crate::clock::Now;
use crate::grammar::intent::{Lacks, Pace, Question, Spot, Watching};
use crate::grammar::{Intent, Situation};
use crate::record::event::{How, Proposed, Retraction, Telling};
use crate::record::fold::Challenge;
use crate::record::{Draft, Entry, Event, Heard, Record, Standing};
use crate::terms::patient::has_weight_leapt;
use crate::terms::{Decision, Finding, Kind, Place, Reading, ToothNumber, Value, Watched, Weight};
use arrange::Arranged;

/// What was understood of one utterance or press.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    pub intents: Vec<Intent>,
    pub heard: Heard,
}

/// What the core cannot do itself and asks of `app`.
#[derive(Debug, Clone, PartialEq)]
pub enum Wish {
    StopSpeaking,
    /// Record free speech until the next pause, as a note.
    TakeNote {
        tooth: Option<ToothNumber>,
    },
    /// Say the plan.
    TellPlan,
    /// Say these values back before anything else: they were not said yet, so they cannot be confirmed.
    SayBack {
        entries: Vec<u64>,
    },
    SetPace(Pace),
    /// Say how the tooth was at the last visit.
    Compare {
        tooth: ToothNumber,
    },
}

/// The answer to one input.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// To be saved in one commit, before anything is said.
    pub drafts: Vec<Draft>,
    /// To be said after that; [`Session::saved`] joins them with the read-back of the saved values.
    pub phrases: Vec<Phrase>,
    pub wishes: Vec<Wish>,
}

/// So long a question for a lacking part waits; after that a bare number is a reading again.
const PART_WITHIN_MS: u64 = 20_000;

/// What of the conversation is not in the record: lost in a crash without harm.
#[derive(Debug, Clone, Default)]
pub struct Session {
    rules: Rules,
    /// Said last, for "repeat".
    last_phrases: Vec<Phrase>,
    /// Values of the read-back that is being said or was said last, until something is entered.
    about: Vec<u64>,
    /// Values struck last, until something else is entered or taken back: "undo" and "no" bring them back.
    struck: Vec<Event>,
    /// What was known of the cat's blood before the test that was entered last, until something else is: for "undo".
    tested: Option<blood::Results>,
    /// A reading that was refused: said again at once it is asked about.
    refused: Option<Reading>,
    /// How often the gag that is in was spoken of.
    gag_reminders: u64,
    /// What was told last of vital signs that are due.
    vitals_told: Option<reminder::Due>,
    /// When time was looked at last.
    looked: Option<Now>,
    /// What was said and not entered, because it can be of either of two teeth; the number of one answers.
    doubt: Option<(arrange::Doubt, Heard)>,
    /// What was said last and lacks a part, and when: the next utterance may give it.
    lacking: Option<(String, Now)>,
    /// When something was said or pressed last.
    stepped: Option<Now>,
    /// The newest entry at the pause in which conflicts were looked for last.
    paused_at: Option<u64>,
    /// Decisions that guidance speaks against and nobody has answered for, as far as known.
    conflicts: Vec<conflict::OpenConflict>,
    /// The tooth that was left by itself, until it is clear of which tooth is spoken.
    left: Option<ToothNumber>,
    /// See [`Session::gather`].
    gathers: bool,
    /// The tooth that "next" left last.
    left_by_next: Option<ToothNumber>,
    /// The breath that is being taken in answers whose it is: it is in its order already.
    is_in_order: bool,
}

/// What time alone brings up.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Reminded {
    /// The quiet tone for vital signs that are due; once for each interval.
    pub is_tone: bool,
    /// A tone that could not sound yet is still of use: nothing was read since, and the words are not due.
    pub may_sound: bool,
    pub phrases: Vec<Phrase>,
}

impl Session {
    pub fn new(rules: Rules) -> Self {
        Self {
            rules,
            last_phrases: Vec::new(),
            about: Vec::new(),
            struck: Vec::new(),
            tested: None,
            refused: None,
            gag_reminders: 0,
            vitals_told: None,
            looked: None,
            doubt: None,
            lacking: None,
            stepped: None,
            paused_at: None,
            conflicts: Vec::new(),
            left: None,
            gathers: false,
            left_by_next: None,
            is_in_order: false,
        }
    }

    /// From now on an open question about an odd value waits for the end of its quadrant: nobody has heard it, so that
    /// nothing that is said answers it or leaves it.
    pub fn gather(&mut self, gathers: bool) {
        self.gathers = gathers;
    }

    /// Whether the open question waits and nobody has heard it.
    pub fn is_gathering(&self, record: &Record) -> bool {
        self.gathers && record.open_challenge().is_some_and(flow::may_wait)
    }

    /// What the plan finds against decisions, before a step: finishing tells of it.
    pub fn know_conflicts(&mut self, open: Vec<conflict::OpenConflict>) {
        self.conflicts = open;
    }

    /// Whether a pause has come in which conflicts should be looked for: once after each entry.
    pub fn is_pause(&mut self, record: &Record, now: Now) -> bool {
        let is_quiet = self.stepped.is_some_and(|last| {
            now.monotonic_ms.saturating_sub(last.monotonic_ms) >= conflict::PAUSE_MS
        });
        if !is_quiet
            || self.doubt.is_some()
            || self.lacking.is_some()
            || !conflict::may_ask(record)
            || self.paused_at == Some(record.last)
        {
            return false;
        }
        self.paused_at = Some(record.last);
        true
    }

    /// Asks whether something dangerous that has begun was seen; none where nothing is due.
    /// `gag_minutes`: how long a gag may stay in a cat.
    pub fn alert(&self, record: &Record, now: Now, gag_minutes: u32) -> Option<Step> {
        if !conflict::may_ask(record) && !self.is_gathering(record) {
            return None;
        }
        let alert = alert::due(record, now, gag_minutes)?;
        let proposed = Proposed::Seen {
            alert: alert.key.to_owned(),
        };
        Some(self.unasked(record, now, |work| {
            work.challenge(alert.key, alert.phrase, proposed);
        }))
    }

    /// Asks about a weight that is far from that of the visit before: a slip, or a finding.
    pub fn ask_weight(&self, record: &Record, before: Weight, now: Now) -> Option<Step> {
        let weight = record.patient.weight?;
        if !has_weight_leapt(before, weight) || !conflict::may_ask(record) {
            return None;
        }
        let kg = |weight: Weight| Slot::Text(weight.kg().to_string());
        let phrase = Phrase::rule("weight_leapt")
            .with("now", kg(weight))
            .with("before", kg(before));
        let proposed = Proposed::Seen {
            alert: "weight_leapt".to_owned(),
        };
        Some(self.unasked(record, now, |work| {
            work.challenge("weight_leapt", phrase, proposed);
        }))
    }

    /// Asks once whether to go on or to stage, where nobody speaks.
    pub fn ask_staging(&self, record: &Record, near: &NearLimit, now: Now) -> Option<Step> {
        if !self.may_ask_staging(record, now) || near.teeth.is_empty() {
            return None;
        }
        Some(self.unasked(record, now, |work| stage::ask(work, near)))
    }

    /// Whether it is worth looking how long the anaesthetic takes.
    pub fn may_ask_staging(&self, record: &Record, now: Now) -> bool {
        let is_quiet = self.stepped.is_none_or(|last| {
            now.monotonic_ms.saturating_sub(last.monotonic_ms) >= conflict::PAUSE_MS
        });
        is_quiet
            && self.doubt.is_none()
            && self.lacking.is_none()
            && conflict::may_ask(record)
            && !stage::was_asked(record)
    }

    /// A step that nobody's words brought about.
    fn unasked(&self, record: &Record, now: Now, ask: impl FnOnce(&mut Work<'_>)) -> Step {
        let heard = Heard::default();
        let mut work = Work::new(record, &self.rules, &heard, now);
        ask(&mut work);
        let mut drafts = work.drafts;
        for draft in &mut drafts {
            draft.heard = None;
        }
        Step {
            drafts,
            phrases: work.phrases,
            wishes: Vec::new(),
        }
    }

    /// Asks about the first conflict that was not put in words yet.
    pub fn ask_conflict(
        &self,
        record: &Record,
        open: &[conflict::OpenConflict],
        now: Now,
    ) -> Option<Step> {
        if !conflict::may_ask(record) {
            return None;
        }
        let asked = open.iter().find_map(|open| open.not_yet_asked(record))?;
        Some(self.unasked(record, now, |work| {
            work.challenge_about("conflict", asked.question(), asked.proposed(), asked.keys());
        }))
    }

    /// These values are being said back: until something else is entered, "no" speaks of them.
    pub fn heard_back(&mut self, entries: &[u64]) {
        self.about = entries.to_vec();
    }

    /// What time alone brings up; each reminder once. `gag_minutes`: how long a gag may stay in a cat, where that can
    /// not be asked about as an [`alert`](Self::alert).
    pub fn remind(&mut self, record: &Record, now: Now, gag_minutes: Option<u32>) -> Reminded {
        let gap = self.looked.replace(now);
        let gap = gap.and_then(|before| reminder::gap(before, now));
        let gag = gag_minutes.and_then(|minutes| reminder::gag(record, now, minutes));
        let gag = match gag {
            Some((times, phrase)) if times > self.gag_reminders => {
                self.gag_reminders = times;
                Some(phrase)
            }
            Some(_) => None,
            None => {
                self.gag_reminders = 0;
                None
            }
        };
        let (mut is_tone, mut due_word) = (false, None);
        let due = reminder::vitals(record, now, self.rules.watch().interval_minutes);
        let may_sound = due.as_ref().is_some_and(|(due, _)| !due.is_word);
        match due {
            // First the tone; the words only where it brought nothing.
            Some((due, phrase)) if self.vitals_told.is_none_or(|told| due > told) => {
                is_tone = !due.is_word;
                due_word = due.is_word.then_some(phrase);
                self.vitals_told = Some(due);
            }
            Some(_) => {}
            None => self.vitals_told = None,
        }
        Reminded {
            is_tone,
            may_sound,
            phrases: gap.into_iter().chain(gag).chain(due_word).collect(),
        }
    }

    /// What may be heard now.
    pub fn situation(record: &Record) -> Situation {
        if !record.is_listening {
            Situation::Asleep
        } else if record.open_challenge().is_some() {
            Situation::Question
        } else {
            Situation::Table
        }
    }

    /// The words that lack a part which was asked for just now.
    pub fn lacking(&self, now: Now) -> Option<&str> {
        let (said, at) = self.lacking.as_ref()?;
        let waited = now.monotonic_ms.saturating_sub(at.monotonic_ms);
        (waited <= PART_WITHIN_MS).then_some(said.as_str())
    }

    /// Takes in what was said. The intents of one utterance see the effect of those before them, in the order in
    /// which each value belongs to the tooth before it.
    pub fn step(&mut self, record: &Record, said: &Said, now: Now) -> Step {
        self.stepped = Some(now);
        let (intents, heard, mut first) = self.with_answer(said);
        let mut work = Work::new(record, &self.rules, &heard, now);
        work.about.clone_from(&self.about);
        work.struck.clone_from(&self.struck);
        work.tested = self.tested;
        work.refused.clone_from(&self.refused);
        work.conflicts.clone_from(&self.conflicts);
        work.gathers = self.gathers;
        work.left_by_next = self.left_by_next;
        work.phrases.append(&mut first);
        let left = self.left.take().zip(record.tooth);
        let arranged =
            match left.and_then(|(left, at_hand)| flow::of_either(&intents, left, at_hand)) {
                Some(doubt) => Arranged::Either(doubt),
                None if std::mem::take(&mut self.is_in_order) => Arranged::Clear(intents.clone()),
                None => arranged(&intents, record.tooth),
            };
        match arranged {
            Arranged::Clear(intents) => {
                for intent in &intents {
                    one(&mut work, intent, &self.last_phrases);
                }
                let before = left.filter(|_| !flow::speaks_of_a_tooth(&intents));
                self.left =
                    flow::go_on_by_itself(&mut work, record).or(before.map(|(left, _)| left));
            }
            Arranged::Either(doubt) => {
                leave_question(&mut work);
                work.say(whose(&doubt));
                self.doubt = Some((doubt, heard.clone()));
            }
            Arranged::Unclear => {
                leave_question(&mut work);
                work.say(Phrase::new("say_teeth_first"));
            }
        }
        // A chosen tooth is told by the read-back of what was entered for it; alone it is told by itself.
        let told: Vec<ToothNumber> = work
            .drafts
            .iter()
            .filter(|draft| draft.event.is_value())
            .filter_map(|draft| draft.event.tooth())
            .collect();
        work.phrases.retain(|phrase| {
            !matches!(phrase.slots.as_slice(), [("tooth", Slot::Tooth(tooth))]
                if phrase.key == "tooth" && told.contains(tooth))
        });
        if work.drafts.iter().any(|draft| draft.event.is_value()) {
            self.about.clear();
        }
        self.left_by_next = work
            .left_by_next
            .filter(|_| !flow::leaves_the_way(&intents));
        self.struck = work.struck;
        self.tested = work.tested;
        self.refused = work.refused;
        if let Some(said) = work.lacking {
            self.lacking = Some((said, now));
        }
        Step {
            drafts: work.drafts,
            phrases: work.phrases,
            wishes: work.wishes,
        }
    }

    /// What was said, joined with what waits for the number of its tooth; and what to say before all else.
    fn with_answer(&mut self, said: &Said) -> (Vec<Intent>, Heard, Vec<Phrase>) {
        let plain = |first| (said.intents.clone(), said.heard.clone(), first);
        let lacking = self.lacking.take();
        match said.intents.as_slice() {
            [Intent::Repeat | Intent::StopSpeaking | Intent::Ask(Question::Sayable)] => {
                self.lacking = lacking;
            }
            // Yes to "which grade?" is no answer, and of nothing else; the question stands.
            [Intent::Confirm | Intent::ConfirmEverything] if lacking.is_some() => {
                self.lacking = lacking;
                let question = self.last_phrases.iter().filter(|phrase| phrase.is_question);
                return (Vec::new(), said.heard.clone(), question.cloned().collect());
            }
            // Nothing of it was entered, so there is nothing to take back.
            [Intent::Deny | Intent::Undo] if lacking.is_some() => {
                return (
                    Vec::new(),
                    said.heard.clone(),
                    vec![Phrase::new("not_entered")],
                );
            }
            _ => {}
        }
        let Some((doubt, before)) = self.doubt.take() else {
            return plain(Vec::new());
        };
        match said.intents.as_slice() {
            [Intent::ChooseTooth(tooth), rest @ ..]
                if *tooth == doubt.one.0 || *tooth == doubt.other.0 =>
            {
                let (_, mut intents) = if *tooth == doubt.one.0 {
                    doubt.one
                } else {
                    doubt.other
                };
                if !rest.is_empty() {
                    intents.push(Intent::ChooseTooth(*tooth));
                    intents.extend_from_slice(rest);
                }
                self.is_in_order = true;
                let heard = Heard {
                    words: format!("{}; {}", before.words, said.heard.words),
                    confidence: before.confidence.min(said.heard.confidence),
                    ..said.heard.clone()
                };
                (intents, heard, Vec::new())
            }
            // It still waits.
            [Intent::Repeat | Intent::StopSpeaking] => {
                self.doubt = Some((doubt, before));
                plain(Vec::new())
            }
            // Yes to two teeth is no answer.
            [Intent::Confirm | Intent::ConfirmEverything] => {
                let question = whose(&doubt);
                self.doubt = Some((doubt, before));
                (Vec::new(), said.heard.clone(), vec![question])
            }
            [Intent::Deny | Intent::Undo] => (
                Vec::new(),
                said.heard.clone(),
                vec![Phrase::new("not_entered")],
            ),
            // Nothing of it was entered, so there is nothing to correct.
            [Intent::Correct(intents)] => (intents.clone(), said.heard.clone(), Vec::new()),
            _ => plain(vec![Phrase::new("not_entered")]),
        }
    }

    /// The entries are safely in the journal and in the record: what to say now, in order. The read-back comes
    /// before a question, so that the question is the last thing heard.
    pub fn saved(&mut self, record: &Record, entries: &[Entry], step: &Step) -> Vec<Phrase> {
        let (questions, phrases): (Vec<Phrase>, Vec<Phrase>) = step
            .phrases
            .iter()
            .cloned()
            .partition(|phrase| phrase.is_question);
        let (last, mut phrases): (Vec<Phrase>, Vec<Phrase>) =
            phrases.into_iter().partition(flow::is_told_last);
        phrases.extend(read_back::of(record, entries, &step.phrases));
        phrases.extend(read_back::replaced(record, entries));
        phrases.extend(last);
        phrases.extend(questions);
        if !phrases.is_empty() {
            self.last_phrases.clone_from(&phrases);
        }
        phrases
    }

    /// The phrase was told to its end in this way: its entries now count as read back.
    pub fn told(record: &Record, phrase: &Phrase, by: Telling) -> Option<Draft> {
        let entries = untold(record, phrase);
        (!entries.is_empty()).then(|| Draft::new(Event::ReadBack { entries, by }, None))
    }

    /// The phrase was not, or not wholly, heard: kept in the record, and no reason to confirm anything.
    pub fn not_heard(record: &Record, phrase: &Phrase, why: &str) -> Option<Draft> {
        let entries = untold(record, phrase);
        let why = why.to_owned();
        (!entries.is_empty()).then(|| Draft::new(Event::ReadBackFailed { entries, why }, None))
    }

    /// What to say when a visit begins.
    pub fn started(&mut self, record: &Record) -> Vec<Phrase> {
        self.last_phrases = vec![reply::started(record)];
        self.last_phrases.clone()
    }

    /// What to say when a visit is opened again after the program ended in its middle.
    pub fn resumed(&mut self, record: &Record) -> Vec<Phrase> {
        let phrases = reply::resumed(record);
        self.last_phrases.clone_from(&phrases);
        phrases
    }
}

/// The values of a phrase that were not told to their end before.
fn untold(record: &Record, phrase: &Phrase) -> Vec<u64> {
    phrase
        .entries
        .iter()
        .copied()
        .filter(|number| {
            record
                .entry(*number)
                .is_some_and(|e| e.standing == Standing::Heard)
        })
        .collect()
}

/// One utterance being worked on: a record that already shows the facts so far, and what will come of it.
struct Work<'a> {
    record: Record,
    /// Number of the newest entry before the utterance.
    before: u64,
    rules: &'a Rules,
    heard: &'a Heard,
    now: Now,
    /// See [`Session::heard_back`].
    about: Vec<u64>,
    /// See [`Session::struck`].
    struck: Vec<Event>,
    /// See [`Session::tested`].
    tested: Option<blood::Results>,
    /// See [`Session::refused`].
    refused: Option<Reading>,
    /// See [`Session::know_conflicts`].
    conflicts: Vec<conflict::OpenConflict>,
    /// See [`Session::gather`].
    gathers: bool,
    /// See [`Session::left_by_next`].
    left_by_next: Option<ToothNumber>,
    /// See [`Session::lacking`].
    lacking: Option<String>,
    drafts: Vec<Draft>,
    phrases: Vec<Phrase>,
    wishes: Vec<Wish>,
}

impl<'a> Work<'a> {
    fn new(record: &Record, rules: &'a Rules, heard: &'a Heard, now: Now) -> Self {
        Self {
            record: record.clone(),
            before: record.last,
            rules,
            heard,
            now,
            about: Vec::new(),
            struck: Vec::new(),
            tested: None,
            refused: None,
            conflicts: Vec::new(),
            gathers: false,
            left_by_next: None,
            lacking: None,
            drafts: Vec::new(),
            phrases: Vec::new(),
            wishes: Vec::new(),
        }
    }

    /// Adds a fact; returns the number it will have.
    fn push(&mut self, event: Event) -> u64 {
        if event.is_value() || matches!(event, Event::Retracted { .. }) {
            self.struck.clear();
            self.tested = None;
        }
        let mut draft = Draft::new(event, Some(self.heard));
        draft.supersedes = self.record.replaced_by(&draft.event);
        let number = self.record.last + 1;
        self.record.apply(&Entry::unsaved(
            self.record.visit,
            number,
            self.now,
            draft.clone(),
        ));
        self.drafts.push(draft);
        number
    }

    /// The open question, where somebody may have heard it.
    fn heard_question(&self) -> Option<&Challenge> {
        self.record
            .open_challenge()
            .filter(|open| !(self.gathers && flow::may_wait(open)))
    }

    fn say(&mut self, phrase: Phrase) {
        // Three depths of a missing tooth are refused once.
        if !self.phrases.contains(&phrase) {
            self.phrases.push(phrase);
        }
    }

    /// Asks; the proposed fact is entered only on a yes.
    fn challenge(&mut self, rule: &str, phrase: Phrase, proposed: Proposed) {
        self.challenge_about(rule, phrase, proposed, Vec::new());
    }

    /// The same where the question puts conflicts in words.
    fn challenge_about(
        &mut self,
        rule: &str,
        mut phrase: Phrase,
        proposed: Proposed,
        conflicts: Vec<String>,
    ) {
        phrase.is_question = true;
        let question = phrase.plain(self.rules);
        self.push(Event::Challenged {
            rule: rule.to_owned(),
            question,
            proposed,
            conflicts,
        });
        self.say(phrase);
    }

    /// The values of the newest utterance that still stand: what "no" and "undo" speak of.
    fn last_group(&self) -> Vec<u64> {
        let newest = self
            .record
            .all()
            .filter(|c| c.retracted.is_none())
            .last()
            .map(|c| c.at);
        self.record
            .all()
            .filter(|c| c.retracted.is_none() && Some(c.at) == newest)
            .map(|c| c.number)
            .collect()
    }
}

impl Work<'_> {
    /// What "no" speaks of: the read-back that is being heard or was heard last, else the newest values.
    fn denied_group(&self) -> Vec<u64> {
        let about: Vec<u64> = self
            .about
            .iter()
            .copied()
            .filter(|number| self.record.is_current(*number))
            .collect();
        if about.is_empty() {
            self.last_group()
        } else {
            about
        }
    }
}

/// The intents of one breath in an order in which each value is of the tooth before it; a correction's own likewise.
fn arranged(intents: &[Intent], at_hand: Option<ToothNumber>) -> Arranged {
    let [Intent::Correct(inner)] = intents else {
        return arrange::arrange(intents, at_hand);
    };
    let correct = |intents| vec![Intent::Correct(intents)];
    match arrange::arrange(inner, at_hand) {
        Arranged::Clear(inner) => Arranged::Clear(correct(inner)),
        Arranged::Either(arrange::Doubt { one, other }) => Arranged::Either(arrange::Doubt {
            one: (one.0, correct(one.1)),
            other: (other.0, correct(other.1)),
        }),
        Arranged::Unclear => Arranged::Unclear,
    }
}

fn whose(doubt: &arrange::Doubt) -> Phrase {
    let mut phrase = Phrase::new("whose")
        .with("one", Slot::Tooth(doubt.one.0))
        .with("other", Slot::Tooth(doubt.other.0));
    phrase.is_question = true;
    phrase
}

fn one(work: &mut Work<'_>, intent: &Intent, last_phrases: &[Phrase]) {
    match intent {
        Intent::Repeat => work.phrases.extend(last_phrases.iter().cloned()),
        Intent::StopSpeaking => work.wishes.push(Wish::StopSpeaking),
        Intent::PauseListening => {
            work.push(Event::ListeningPaused);
            work.say(Phrase::new("paused"));
        }
        Intent::Listen => {
            work.push(Event::ListeningResumed);
            work.say(Phrase::new("listening"));
        }
        Intent::TakeNote => work.wishes.push(Wish::TakeNote {
            tooth: work.record.tooth,
        }),
        Intent::Ask(question) => reply::answer(work, *question),
        Intent::Confirm => confirm(work, Extent::ToothAtHand),
        Intent::ConfirmEverything => confirm(work, Extent::Everything),
        Intent::ConfirmUpTo(number) => confirm(work, Extent::UpTo(*number)),
        Intent::ConfirmEntries(numbers) => confirm(work, Extent::These(numbers.clone())),
        Intent::ConfirmReadBack(numbers) => confirm_read_back(work, numbers),
        Intent::SetPace(pace) => {
            work.wishes.push(Wish::SetPace(*pace));
            work.say(Phrase::new(match pace {
                Pace::EachReading => "pace_each_reading",
                Pace::EachTooth => "pace_each_tooth",
                Pace::EachQuadrant => "pace_each_quadrant",
                Pace::Quiet => "pace_quiet",
                Pace::Shown => "pace_shown",
            }));
        }
        Intent::Lacking { lacks, said } => {
            leave_question(work);
            ask_for(work, *lacks, said);
        }
        Intent::CloseAndStage => stage::close(work),
        Intent::Deny => take_back(work, Retraction::Denied),
        Intent::Undo => take_back(work, Retraction::Undone),
        Intent::Correct(intents) => correct(work, intents),
        Intent::Strike(tooth) => {
            leave_question(work);
            strike::tooth(work, *tooth);
        }
        Intent::StrikeValues(which) => {
            leave_question(work);
            strike::values(work, which);
        }
        // An emergency waits for no answer, and leaves the question open.
        Intent::Watch(Watching::Crisis(_)) => enter::enter(work, intent),
        Intent::FinishVisit => {
            work.gathers = false;
            leave_question(work);
            enter::finish(work);
        }
        // "Go on" in answer to the question, and no way to another tooth.
        Intent::NextTooth if stage::is_answer(work) => leave_question(work),
        Intent::NextTooth => {
            leave_question(work);
            flow::confirm_by_next(work);
            work.left_by_next = work.record.tooth;
            enter::enter(work, intent);
        }
        other => {
            leave_question(work);
            enter::enter(work, other);
        }
    }
}

/// Asks for the part that a sentence lacks, and for no more.
fn ask_for(work: &mut Work<'_>, lacks: Lacks, said: &str) {
    let mut phrase = match lacks {
        Lacks::Grade => Phrase::new("which_grade"),
        Lacks::Millimetres => Phrase::new("which_millimetres"),
        Lacks::Place => Phrase::new("which_place"),
        Lacks::Stage => Phrase::new("which_stage"),
        Lacks::Class => Phrase::new("which_class"),
        Lacks::Fracture => Phrase::new("which_fracture"),
        Lacks::Crossbite => Phrase::new("which_crossbite"),
        Lacks::What => Phrase::new("of_what"),
    }
    .with("said", Slot::Text(said.to_owned()));
    phrase.is_question = true;
    work.push(Event::AskedFor {
        said: said.to_owned(),
        question: phrase.plain(work.rules),
    });
    work.lacking = Some(said.to_owned());
    work.say(phrase);
}

enum Extent {
    ToothAtHand,
    Everything,
    UpTo(u64),
    These(Vec<u64>),
}

/// Yes to an open question; else confirms what was read back. Never what came after the read-back.
fn confirm(work: &mut Work<'_>, extent: Extent) {
    if let Some(challenge) = work.heard_question().cloned() {
        let is_doubtful = work.heard.how == How::Spoken && work.heard.confidence < YES_CLEAR_FROM;
        if is_doubtful && can_hurt(&challenge.proposed) {
            work.say(reply::question(challenge.question));
            return;
        }
        let number = challenge.number;
        work.push(Event::ChallengeAnswered {
            challenge: number,
            accepted: true,
        });
        enter::proposed(work, &challenge.proposed, number);
        ask_next(work);
        return;
    }
    let last_group = work.last_group();
    let entries: Vec<u64> = work
        .record
        .unconfirmed()
        .filter(|charted| match &extent {
            Extent::Everything => charted.standing >= Standing::ReadBack,
            // What stands on the page was read there.
            Extent::UpTo(number) => charted.number <= *number,
            Extent::These(numbers) => numbers.contains(&charted.number),
            Extent::ToothAtHand => {
                charted.standing >= Standing::ReadBack
                    && (charted.event.tooth() == work.record.tooth
                        || charted.event.tooth().is_none()
                        || last_group.contains(&charted.number))
            }
        })
        .map(|charted| charted.number)
        .collect();
    // What was entered but not said to its end is said now, and waits for the next "confirm".
    let unsaid: Vec<u64> = work
        .record
        .unconfirmed()
        .filter(|charted| charted.standing == Standing::Heard)
        .filter(|charted| match &extent {
            Extent::Everything => true,
            Extent::UpTo(_) | Extent::These(_) => false,
            Extent::ToothAtHand => {
                charted.event.tooth() == work.record.tooth
                    || charted.event.tooth().is_none()
                    || last_group.contains(&charted.number)
            }
        })
        .map(|charted| charted.number)
        .collect();
    let is_unsaid = !unsaid.is_empty();
    if is_unsaid {
        work.wishes.push(Wish::SayBack { entries: unsaid });
        // "Confirmed" after that read-back would seem to be of it. Where a question comes next, that is asked.
        if work.record.open_challenge().is_none() {
            work.say(Phrase::new("confirm_now"));
        }
    }
    if !entries.is_empty() {
        let count = entries.len();
        work.push(Event::Confirmed { entries });
        if !is_unsaid {
            work.say(Phrase::new("confirmed").with("count", Slot::Number(count as u16)));
        }
    } else if !is_unsaid {
        work.say(Phrase::new("nothing_to_confirm"));
    }
}

/// A spoken yes that is less sure than this answers no question about what can hurt: it is asked again, in full.
const YES_CLEAR_FROM: f32 = 0.6;

/// What is undone with pain, or not at all.
fn can_hurt(proposed: &Proposed) -> bool {
    match proposed {
        Proposed::Decision { decision, .. } | Proposed::Decisions { decision, .. } => {
            *decision == Decision::Extract
        }
        Proposed::MouthDecision(_) | Proposed::Stage { .. } => true,
        Proposed::Procedure(_) | Proposed::Watched(_) | Proposed::TakeBack { .. } => true,
        Proposed::BloodTests { .. } => true,
        Proposed::Stands { .. } => true,
        Proposed::Finding(_)
        | Proposed::Findings(_)
        | Proposed::Finish
        | Proposed::Tooth(_)
        | Proposed::Seen { .. } => false,
    }
}

/// A second person's "confirm": these and no others, and of these only what was said to its end.
/// It answers no question: that is for the one who decides.
fn confirm_read_back(work: &mut Work<'_>, numbers: &[u64]) {
    let entries: Vec<u64> = numbers
        .iter()
        .copied()
        .filter(|number| work.record.is_current(*number))
        .filter(|number| {
            work.record
                .entry(*number)
                .is_some_and(|e| e.standing == Standing::ReadBack)
        })
        .collect();
    if entries.is_empty() {
        work.say(Phrase::new("nothing_to_confirm"));
        return;
    }
    let count = entries.len();
    work.push(Event::Confirmed { entries });
    work.say(Phrase::new("confirmed").with("count", Slot::Number(count as u16)));
}

/// "no" and "undo": the open question is answered with no, else the newest values go.
fn take_back(work: &mut Work<'_>, why: Retraction) {
    if let Some(open) = work.heard_question().cloned() {
        work.push(Event::ChallengeAnswered {
            challenge: open.number,
            accepted: false,
        });
        work.say(declined(&open.proposed));
        ask_next(work);
        return;
    }
    if !work.struck.is_empty() {
        return strike::bring_back(work);
    }
    if let Some(before) = work.tested {
        return blood::ask_to_take_back(work, before);
    }
    let mut group = if why == Retraction::Denied {
        work.denied_group()
    } else {
        work.last_group()
    };
    if why == Retraction::Denied {
        // "no" speaks of the read-back just heard; what was confirmed needs the clearer word.
        group.retain(|number| {
            work.record
                .entry(*number)
                .is_some_and(|e| e.standing < Standing::Confirmed)
        });
    }
    if group.is_empty() {
        work.say(Phrase::new("nothing_to_undo"));
        return;
    }
    take_back_these(work, &group, why);
}

/// What was confirmed goes only by question, whoever asks and however.
fn take_back_these(work: &mut Work<'_>, group: &[u64], why: Retraction) {
    if is_any_confirmed(&work.record, group) {
        return ask_to_take_back(work, group, why);
    }
    take_back_now(work, group, why);
}

fn is_any_confirmed(record: &Record, group: &[u64]) -> bool {
    group.iter().any(|number| {
        record
            .entry(*number)
            .is_some_and(|charted| charted.standing == Standing::Confirmed)
    })
}

fn ask_to_take_back(work: &mut Work<'_>, group: &[u64], why: Retraction) {
    let items = read_back::of_numbers(&work.record, group);
    let phrase = Phrase::rule("take_back_confirmed").with("items", Slot::Phrases(items));
    let entries = group.to_vec();
    work.challenge(
        "take_back_confirmed",
        phrase,
        Proposed::TakeBack { entries, why },
    );
}

fn take_back_now(work: &mut Work<'_>, group: &[u64], why: Retraction) {
    // Named, so that nobody takes back more than was meant.
    let items = read_back::of_numbers(&work.record, group);
    work.push(Event::Retracted {
        entries: group.to_vec(),
        why,
    });
    work.say(Phrase::new("withdrawn").with("items", Slot::Phrases(items)));
    let returned: Vec<u64> = group
        .iter()
        .filter_map(|number| standing_for(&work.record, *number))
        .collect();
    if !returned.is_empty() {
        // What a withdrawn value had replaced counts again: nobody may think the place empty.
        let items = read_back::of_numbers(&work.record, &returned);
        work.say(
            Phrase::new("stands_again")
                .with("items", Slot::Phrases(items))
                .saying_back(returned),
        );
    }
}

/// The value that counts now where a withdrawn one stood.
fn standing_for(record: &Record, withdrawn: u64) -> Option<u64> {
    match &record.entry(withdrawn)?.event {
        Event::FindingRecorded { finding, .. } => record
            .finding(finding.subject, finding.kind, finding.place)
            .map(|charted| charted.number),
        Event::DecisionRecorded { tooth, .. } => record
            .decision(*tooth)
            .map(|(_, _, charted)| charted.number),
        Event::MouthDecided { what, .. } => mouth::standing(record, what),
        _ => None,
    }
}

/// "no, buccal three five three": values of the same places replace; where none is the same, the last values
/// were misheard altogether and go. "Correction, four" without a place is of the place that was read last.
fn correct(work: &mut Work<'_>, intents: &[Intent]) {
    if let Some(number) = work.heard_question().map(|challenge| challenge.number) {
        work.push(Event::ChallengeAnswered {
            challenge: number,
            accepted: false,
        });
    }
    // "No" right after a strike speaks of the strike, not of what stood before it.
    let mut group = if work.struck.is_empty() {
        work.denied_group()
    } else {
        Vec::new()
    };
    let heard = group.clone();
    // What was confirmed is not corrected away: what would replace it is asked about as it is entered.
    group.retain(|number| !is_any_confirmed(&work.record, &[*number]));
    let placed = in_places_of(&work.record, &heard, intents);
    let intents = placed.as_deref().unwrap_or(intents);
    // The correction is of the tooth that was read back, though another may be at hand by now.
    let at_hand = work.record.tooth;
    let of_group = heard
        .first()
        .and_then(|number| work.record.entry(*number)?.event.tooth());
    let names_tooth = intents
        .iter()
        .any(|intent| matches!(intent, Intent::ChooseTooth(_)));
    let elsewhere = of_group.filter(|tooth| Some(*tooth) != at_hand && !names_tooth);
    if let Some(tooth) = elsewhere {
        work.push(Event::ToothChosen { tooth });
    }
    let before = work.drafts.len();
    let mut probe = Work::new(&work.record, work.rules, work.heard, work.now);
    for intent in intents {
        enter::enter(&mut probe, intent);
    }
    let replaced: Vec<u64> = probe
        .drafts
        .iter()
        .flat_map(|draft| {
            let mut numbers = draft.supersedes.clone();
            // What the program asks about first is corrected too: the value that was denied must not outlive a "no".
            numbers.extend(asked_instead(&work.record, &draft.event));
            numbers.extend(same_sign(&work.record, &group, &draft.event));
            numbers
        })
        .filter(|number| group.contains(number))
        .collect();
    // A question may have come between: the sign that is named tells which reading is meant.
    let named: Vec<u64> = probe
        .drafts
        .iter()
        .filter_map(|draft| newest_of_sign(&work.record, &draft.event, work.now))
        .filter(|number| !replaced.contains(number))
        .collect();
    let gone = match (replaced.is_empty(), named.is_empty()) {
        (true, true) => group,
        _ => [replaced, named].concat(),
    };
    let has_other = probe
        .drafts
        .iter()
        .any(|draft| draft.event.is_value() || matches!(draft.event, Event::Challenged { .. }));
    if !gone.is_empty() && has_other {
        work.push(Event::Retracted {
            entries: gone,
            why: Retraction::Corrected,
        });
    }
    for intent in intents {
        enter::enter(work, intent);
    }
    debug_assert!(work.drafts.len() >= before);
    if let (Some(_), Some(tooth)) = (elsewhere, at_hand) {
        work.push(Event::ToothChosen { tooth });
    }
}

/// Bare readings that correct are of the last places of what they correct, one each; `None` where there are no such.
fn in_places_of(record: &Record, group: &[u64], intents: &[Intent]) -> Option<Vec<Intent>> {
    let [
        Intent::RecordMillimetres {
            kind: Kind::Depth,
            spot: Spot::Unsaid,
            mm,
        },
    ] = intents
    else {
        return None;
    };
    let last = &group[group.len().checked_sub(mm.len())?..];
    last.iter()
        .zip(mm)
        .map(|(number, mm)| match &record.entry(*number)?.event {
            Event::FindingRecorded {
                finding:
                    Finding {
                        kind: kind @ (Kind::Depth | Kind::Recession | Kind::Enlargement),
                        place,
                        value: Value::Mm(_),
                        ..
                    },
                ..
            } => Some(Intent::RecordMillimetres {
                kind: *kind,
                spot: match place {
                    Place::Site(site) => Spot::Site(*site),
                    _ => Spot::Unsaid,
                },
                mm: vec![*mm],
            }),
            _ => None,
        })
        .collect()
}

fn sign_of(event: &Event) -> Option<crate::terms::VitalSign> {
    match event {
        Event::WatchRecorded {
            what: Watched::Vital(reading),
            ..
        }
        | Event::Challenged {
            proposed: Proposed::Watched(Watched::Vital(reading)),
            ..
        } => Some(reading.sign),
        _ => None,
    }
}

/// So long a "no" with a sign is of the reading before, in seconds; later it is of another.
const NAMED_WITHIN_SECONDS: i64 = 120;

/// The newest reading of the sign that is said anew, where nobody has confirmed it.
fn newest_of_sign(record: &Record, event: &Event, now: Now) -> Option<u64> {
    let sign = sign_of(event)?;
    let newest = record
        .current()
        .filter(|charted| sign_of(&charted.event) == Some(sign))
        .last()?;
    let is_young = now.at.as_second() - newest.at.as_second() <= NAMED_WITHIN_SECONDS;
    (is_young && newest.standing < Standing::Confirmed && !newest.is_machine_read())
        .then_some(newest.number)
}

/// The readings among these of the sign that is said anew.
fn same_sign(record: &Record, group: &[u64], event: &Event) -> Vec<u64> {
    let Some(sign) = sign_of(event) else {
        return Vec::new();
    };
    group
        .iter()
        .copied()
        .filter(|number| {
            record
                .entry(*number)
                .is_some_and(|charted| sign_of(&charted.event) == Some(sign))
        })
        .collect()
}

/// The value that stands where a proposed one would go.
fn asked_instead(record: &Record, event: &Event) -> Option<u64> {
    match event {
        Event::Challenged {
            proposed: Proposed::Finding(finding),
            ..
        } => record
            .finding(finding.subject, finding.kind, finding.place)
            .map(|charted| charted.number),
        Event::Challenged {
            proposed: Proposed::MouthDecision(what),
            ..
        } => mouth::standing(record, what),
        Event::Challenged {
            proposed: Proposed::Decision { tooth, .. },
            ..
        } => record
            .decision(*tooth)
            .map(|(_, _, charted)| charted.number),
        _ => None,
    }
}

/// Whoever goes on without answering has not said yes: what was asked about is not entered, and that is said.
/// A question raised by the same utterance stays open.
fn leave_question(work: &mut Work<'_>) {
    while let Some(open) = work.heard_question().cloned() {
        if open.number > work.before {
            return;
        }
        work.push(Event::ChallengeAnswered {
            challenge: open.number,
            accepted: false,
        });
        work.say(declined(&open.proposed));
    }
}

/// What a "no" leaves.
fn declined(proposed: &Proposed) -> Phrase {
    Phrase::new(match proposed {
        Proposed::TakeBack { .. }
        | Proposed::BloodTests {
            takes_back: true, ..
        } => "it_stands",
        Proposed::Stands { .. } | Proposed::Seen { .. } => "still_open",
        Proposed::Stage { .. } => "goes_on",
        _ => "not_entered",
    })
}

/// Another question may be waiting behind the one just answered.
fn ask_next(work: &mut Work<'_>) {
    if let Some(question) = work
        .record
        .open_challenge()
        .map(|challenge| challenge.question.clone())
    {
        work.say(reply::question(question));
    }
}
