//! The people at the table: they say what they mean, listen to what is said back, mend what is wrong, and confirm.
//! They know the record only from what they hear, and at the end of a quadrant from the page.

use std::collections::BTreeSet;

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use super::manner::{Breath, Confirms, Manner};
use super::meant::{DIGITS, Exam, Meant, Piece, ToothPlan, tooth_words, words};
use super::mouth::Stage;
use super::nurse::Nurse;
use super::{Outcome, Room};
use crate::app::talk::Talk;
use crate::grammar::Intent;
use crate::grammar::intent::Pace;
use crate::record::event::{Proposed, Speaker as Person};
use crate::record::{Event, Record};
use crate::session::{Phrase, Slot};
use crate::terms::ToothNumber;
use crate::voice::Cue;

/// A fast vet's pause between two readings.
const FAST_MS: std::ops::Range<u64> = 250..700;
/// So long after the last words a read-back may still come: the program waits for a pause of 1.5 s in a run.
const DUE_MS: u64 = 2_500;
/// Rounds of mending one thing before the people give up.
const ROUNDS_MAX: usize = 25;
/// Longest that anybody waits for the program to fall silent.
pub(super) const PATIENCE_MS: u64 = 180_000;

pub struct Table<'a> {
    pub(super) talk: Talk,
    pub(super) stage: Stage,
    pub(super) room: &'a Room,
    pub(super) random: ChaCha8Rng,
    /// Said to the end and not yet thought about.
    pub(super) heard: Vec<Phrase>,
    pub(super) outcome: Outcome,
    pub(super) last_words: Vec<String>,
    /// Tones after the last words.
    pub(super) cues: Vec<Cue>,
    /// Read-backs during which the people spoke.
    pub(super) over: BTreeSet<Vec<u64>>,
    pub(super) nurse: Nurse,
    exam: &'a Exam,
    /// Said back right, since it was last said back wrong or withdrawn.
    right: BTreeSet<Meant>,
    /// Pieces that were said, by tooth and place in its plan.
    said: BTreeSet<(ToothNumber, usize)>,
    /// The tooth at hand, as the people believe.
    at: Option<ToothNumber>,
    /// The tooth of the read-back that was heard last.
    pub(super) about: Option<ToothNumber>,
    /// When the hands will have read what is called next.
    pub(super) hands_ms: u64,
    pub(super) is_confirmed: bool,
    /// A question about one word was answered, and with it the breath was taken.
    is_answered: bool,
    to_mend: Vec<(ToothNumber, usize)>,
    to_deny: bool,
    to_undo: bool,
    asleep: bool,
    question: Option<Phrase>,
    /// Somebody has heard a read-back that is right, and confirms each.
    to_confirm: bool,
}

/// What is said in one breath: places in the plan of a tooth.
pub(super) fn units(plan: &ToothPlan, breath: Breath) -> Vec<Vec<usize>> {
    let all = 0..plan.pieces.len();
    match breath {
        Breath::Piece => all.map(|piece| vec![piece]).collect(),
        Breath::Tooth => vec![all.collect()],
    }
}

/// How long the hands are at it.
pub(super) fn unit_ms(
    plan: &ToothPlan,
    unit: &[usize],
    manner: &Manner,
    random: &mut ChaCha8Rng,
) -> u64 {
    unit.iter()
        .map(|piece| {
            let is_side = plan.pieces[*piece].values.len() > 1;
            let span = if is_side {
                &manner.probe_ms
            } else {
                &manner.look_ms
            };
            random.random_range(span.clone())
        })
        .sum()
}

impl<'a> Table<'a> {
    pub fn new(
        talk: Talk,
        stage: Stage,
        room: &'a Room,
        exam: &'a Exam,
        random: ChaCha8Rng,
    ) -> Self {
        Self {
            talk,
            stage,
            room,
            random,
            heard: Vec::new(),
            outcome: Outcome::default(),
            last_words: Vec::new(),
            cues: Vec::new(),
            over: BTreeSet::new(),
            nurse: Nurse::default(),
            exam,
            right: BTreeSet::new(),
            said: BTreeSet::new(),
            at: None,
            about: None,
            hands_ms: 0,
            is_confirmed: false,
            is_answered: false,
            to_mend: Vec::new(),
            to_deny: false,
            to_undo: false,
            asleep: false,
            question: None,
            to_confirm: false,
        }
    }

    pub fn record(&mut self) -> &Record {
        self.talk.desk().record()
    }

    pub fn outcome(&mut self) -> Outcome {
        let mut outcome = std::mem::take(&mut self.outcome);
        outcome.seconds = self.stage.now_ms() as f64 / 1000.0;
        outcome
    }

    pub fn examine(&mut self, first: Vec<Phrase>) {
        self.talk.say_all(first);
        self.wait_until_quiet();
        self.heard.clear();
        self.begin_watch();
        self.hands_ms = self.stage.now_ms();
        let exam = self.exam;
        if let Some(plan) = exam.teeth.first()
            && !self.room.manner.says_numbers
        {
            self.probe(plan, &units(plan, self.room.manner.breath)[0]);
        }
        for (at, plan) in exam.teeth.iter().enumerate() {
            let next = exam.teeth.get(at + 1);
            self.tooth(plan, next);
            let quadrant = plan.tooth.quadrant();
            if next.is_none_or(|next| next.tooth.quadrant() != quadrant) {
                let is_last = next.is_none();
                self.end_of_quadrant(|tooth| tooth.quadrant() == quadrant, is_last);
            }
        }
        // What a false entry damaged on another tooth is found on the page.
        self.end_of_quadrant(|_| true, true);
    }

    fn manner(&self) -> &'a Manner {
        &self.room.manner
    }

    /// The hands begin with this.
    fn probe(&mut self, plan: &ToothPlan, unit: &[usize]) {
        let ms = unit_ms(plan, unit, self.manner(), &mut self.random);
        self.hands_ms = self.stage.now_ms() + ms;
    }

    fn tooth(&mut self, plan: &ToothPlan, next: Option<&ToothPlan>) {
        let manner = self.manner();
        let units = units(plan, manner.breath);
        if manner.says_numbers && !self.come_to(plan.tooth) {
            return self.give_up();
        }
        for (at, unit) in units.iter().enumerate() {
            self.watch();
            self.chatter();
            if !manner.works_ahead {
                self.probe(plan, unit);
            }
            let mut is_called = false;
            let mut is_probing = false;
            for _ in 0..ROUNDS_MAX {
                self.until_ready();
                if at > 0 && self.at != Some(plan.tooth) && !self.come_to(plan.tooth) {
                    return self.give_up();
                }
                let mut said = self.way_to(plan.tooth);
                for piece in unit {
                    said.extend(self.hesitated(&plan.pieces[*piece]));
                }
                if manner.works_ahead && !is_probing {
                    is_probing = true;
                    match (units.get(at + 1), next) {
                        (Some(unit), _) => self.probe(plan, unit),
                        (None, Some(next)) => {
                            self.probe(next, &super::person::units(next, manner.breath)[0]);
                        }
                        (None, None) => {}
                    }
                }
                self.is_answered = false;
                let mut is_taken = self.say(&said, Person::Vet);
                if !is_taken {
                    self.wait_until_quiet();
                    self.settle();
                    // "Five, or nine?": with the answer the whole breath is taken.
                    is_taken = self.is_answered;
                }
                if is_taken {
                    self.at = Some(plan.tooth);
                    self.said
                        .extend(unit.iter().map(|piece| (plan.tooth, *piece)));
                    is_called = true;
                    break;
                }
            }
            if !is_called {
                return self.give_up();
            }
            let is_fast = self.random.random_bool(self.room.fast);
            if is_fast && (at + 1 < units.len() || manner.works_ahead) {
                self.pass(FAST_MS);
            } else if !manner.works_ahead {
                self.wait_for_read_back();
            } else if self.room.impatience > 0.0 {
                self.stop_now_and_then();
            }
        }
        if manner.confirms == Confirms::Word {
            self.confirm_tooth(plan);
        }
    }

    /// "Next", "confirm, next", "tooth one zero four"; nothing where it is at hand.
    fn way_to(&mut self, tooth: ToothNumber) -> Vec<String> {
        if self.at == Some(tooth) {
            return Vec::new();
        }
        let mut said = Vec::new();
        if self.manner().confirms == Confirms::InFlow && self.at.is_some() {
            said.extend(words("confirm"));
        }
        let before = self.before(tooth);
        if self.at.is_some() && self.at == before && !self.manner().says_numbers {
            said.extend(words("next"));
        } else {
            said.extend(tooth_words(tooth));
        }
        said
    }

    fn before(&self, tooth: ToothNumber) -> Option<ToothNumber> {
        let teeth = &self.exam.teeth;
        let at = teeth.iter().position(|plan| plan.tooth == tooth)?;
        Some(teeth[at.checked_sub(1)?].tooth)
    }

    /// Says the number of a tooth and hears it said back.
    fn come_to(&mut self, tooth: ToothNumber) -> bool {
        for _ in 0..ROUNDS_MAX {
            if self.at == Some(tooth) {
                return true;
            }
            let said = tooth_words(tooth);
            self.at = None;
            let is_noticed = self.say(&said, Person::Vet);
            self.wait_to_hear();
            self.wait_until_quiet();
            self.think();
            if self.at.is_none() && is_noticed && self.is_silent_pace() {
                // The tone says that it was taken, the page shows which.
                self.at = self.talk.desk().record().tooth;
            }
            self.settle();
        }
        false
    }

    fn is_silent_pace(&self) -> bool {
        matches!(self.room.pace, Pace::Quiet | Pace::EachQuadrant)
    }

    /// "Confirm", and its answer; what was never read back is said again.
    fn confirm_tooth(&mut self, plan: &ToothPlan) {
        for _ in 0..ROUNDS_MAX {
            self.wait_until_quiet();
            self.settle();
            let is_told = (0..plan.pieces.len()).all(|piece| self.is_told(plan, piece));
            if self.is_confirmed && is_told && self.at == Some(plan.tooth) {
                return;
            }
            if self.at != Some(plan.tooth) && !self.come_to(plan.tooth) {
                break;
            }
            self.is_confirmed = false;
            self.pass(self.manner().react_ms.clone());
            self.say(&words("confirm"), Person::Vet);
            // Where nothing is spoken, the tone "saved" says it.
            self.is_confirmed = self.room.pace == Pace::Quiet && self.cues.contains(&Cue::Saved);
            self.wait_until_quiet();
            self.settle();
            let untold = (0..plan.pieces.len()).find(|piece| !self.is_told(plan, *piece));
            if let Some(piece) = untold {
                self.is_confirmed = false;
                self.say_again(plan.tooth, piece);
            }
        }
        self.give_up();
    }

    fn is_told(&self, plan: &ToothPlan, piece: usize) -> bool {
        let values = &plan.pieces[piece].values;
        values.iter().all(|(key, _)| self.right.contains(key))
    }

    /// Says a piece that was not, or not rightly, read back.
    fn say_again(&mut self, tooth: ToothNumber, piece: usize) {
        let Some(plan) = self.exam.teeth.iter().find(|plan| plan.tooth == tooth) else {
            return;
        };
        let mut said = Vec::new();
        if self.at != Some(tooth) {
            said.extend(tooth_words(tooth));
        }
        said.extend(plan.pieces[piece].words.iter().cloned());
        self.pass(self.manner().react_ms.clone());
        if self.say(&said, Person::Vet) {
            self.at = Some(tooth);
        }
        self.wait_to_hear();
        self.settle();
    }

    /// Pieces that should have been read back by now and were not.
    fn untold(&self, of: impl Fn(ToothNumber) -> bool) -> Vec<(ToothNumber, usize)> {
        let is_due = |tooth: &ToothNumber| match self.room.pace {
            Pace::EachTooth => self.at != Some(*tooth),
            Pace::EachQuadrant | Pace::Quiet => false,
            Pace::EachReading | Pace::Shown => true,
        };
        self.said
            .iter()
            .filter(|(tooth, _)| of(*tooth) && is_due(tooth))
            .filter(|(tooth, piece)| {
                let plan = self.exam.teeth.iter().find(|plan| plan.tooth == *tooth);
                plan.is_some_and(|plan| !self.is_told(plan, *piece))
            })
            .copied()
            .collect()
    }

    /// Until the hands have read what is called next, and the program has the word no more. Mends on the way.
    fn until_ready(&mut self) {
        for _ in 0..ROUNDS_MAX {
            while self.stage.now_ms() < self.hands_ms && self.heard.is_empty() {
                let ms = (self.hands_ms - self.stage.now_ms()).min(100);
                self.run(ms);
            }
            self.settle();
            if self.stage.now_ms() < self.hands_ms {
                continue;
            }
            if self.manner().works_ahead && !self.is_silent_pace() && self.room.fast == 0.0 {
                let is_read_back = self
                    .talk
                    .turn()
                    .saying()
                    .is_some_and(|phrase| !phrase.is_question);
                let at = self.at;
                let is_behind = |tooth: ToothNumber| Some(tooth) != at;
                if self.room.speaks_over && is_read_back && self.untold(is_behind).is_empty() {
                    return;
                }
                self.wait_until_quiet();
                self.settle();
                // A word that was lost leaves a hole in the read-back.
                if !self.untold(|_| true).is_empty() {
                    // It may still come: the program waits for a pause.
                    self.wait_to_hear();
                    self.settle();
                }
                let Some((tooth, piece)) = self.untold(|_| true).first().copied() else {
                    return;
                };
                let at = self.at;
                self.say_again(tooth, piece);
                if at != self.at
                    && let Some(at) = at
                {
                    self.come_to(at);
                }
            } else {
                return;
            }
        }
    }

    /// Waits for words that are due, as long as somebody does who is used to the program.
    pub(super) fn wait_to_hear(&mut self) {
        let until_ms = self.stage.now_ms() + DUE_MS;
        while self.heard.is_empty() && self.stage.now_ms() < until_ms {
            self.run(50);
        }
        self.wait_until_quiet();
    }

    /// Listens until nothing more is said, and speaks up at once where something is wrong.
    fn listen_to_all(&mut self) {
        for _ in 0..200 {
            let before_ms = self.stage.now_ms();
            while self.heard.is_empty() && self.stage.now_ms() < before_ms + PATIENCE_MS {
                self.run(50);
                if !self.stage.is_speaking() {
                    break;
                }
            }
            self.settle();
            if self.heard.is_empty() && !self.stage.is_speaking() {
                self.wait_until_quiet();
                if self.heard.is_empty() {
                    return;
                }
            }
        }
    }

    /// The quadrant is over: all of it was read back right and is confirmed, as the page shows.
    fn end_of_quadrant(&mut self, of: impl Fn(ToothNumber) -> bool, is_last: bool) {
        let is_later = !is_last
            && matches!(
                self.manner().confirms,
                Confirms::Next | Confirms::InFlow | Confirms::Word
            );
        for _ in 0..2 * ROUNDS_MAX {
            self.listen_to_all();
            if !self.is_silent_pace() && !self.untold(&of).is_empty() {
                self.wait_to_hear();
                self.settle();
            }
            let open = self.record().unconfirmed().count();
            let all = self.exam.teeth.iter().filter(|plan| of(plan.tooth));
            let untold = all
                .flat_map(|plan| (0..plan.pieces.len()).map(move |piece| (plan, piece)))
                .filter(|(plan, piece)| self.said.contains(&(plan.tooth, *piece)))
                .find(|(plan, piece)| !self.is_told(plan, *piece))
                .map(|(plan, piece)| (plan.tooth, piece));
            let is_silent = self.is_silent_pace();
            if let Some((tooth, piece)) = untold
                && !(is_silent && open > 0)
            {
                self.say_again(tooth, piece);
                continue;
            }
            // The last tooth of the quadrant is confirmed with the first of the next.
            if open == 0 || is_later {
                return;
            }
            self.pass(self.manner().react_ms.clone());
            self.say(&words("confirm everything"), Person::Vet);
        }
        self.give_up();
    }

    pub(super) fn give_up(&mut self) {
        self.outcome.stuck = true;
        self.note("STUCK");
    }

    /// Something was heard that cannot be left as it is.
    fn must_act(&self) -> bool {
        self.asleep
            || self.question.is_some()
            || self.to_undo
            || self.to_deny
            || !self.to_mend.is_empty()
            || self.to_confirm
    }

    /// Thinks about all that was heard and acts on it until there is nothing to mend.
    pub(super) fn settle(&mut self) {
        for _ in 0..ROUNDS_MAX {
            self.think();
            if !self.must_act() {
                return;
            }
            self.pass(self.manner().react_ms.clone());
            if self.room.hears_itself && self.stage.is_speaking() && self.cannot_interrupt() {
                self.wait_until_quiet();
                self.think();
            }
            if self.asleep {
                self.asleep = false;
                self.say(&words("start listening"), Person::Vet);
            } else if let Some(question) = self.question.take() {
                self.outcome.questions += 1;
                if let Some(answer) = self.answer(&question) {
                    let is_taken = self.say(&answer, Person::Vet);
                    self.is_answered |= is_taken && question.key == "either";
                }
            } else if self.to_undo {
                self.to_undo = !self.say(&words("undo"), Person::Vet);
            } else if self.to_deny {
                self.to_deny = !self.say(&words("no"), Person::Vet);
            } else if let Some((tooth, piece)) = self.to_mend.pop() {
                self.mend(tooth, piece);
            } else if std::mem::take(&mut self.to_confirm) {
                self.nurse_confirms();
                if self.manner().confirms == Confirms::NursePedal {
                    continue;
                }
            }
            self.wait_until_quiet();
        }
    }

    /// Over a loudspeaker only "no" and "undo" are understood while it speaks.
    fn cannot_interrupt(&self) -> bool {
        !(self.to_deny || self.to_undo)
    }

    fn nurse_confirms(&mut self) {
        if self.manner().confirms == Confirms::NursePedal {
            self.note("(pedal)");
            self.talk.at(self.stage.now_ms());
            self.talk.foot_down();
            self.talk.pedal(Intent::Confirm, Person::Nurse);
            self.deliver();
        } else {
            self.say(&words("confirm"), Person::Nurse);
        }
    }

    /// "No, buccal three five four"; of another tooth than the one heard last, with its number.
    fn mend(&mut self, tooth: ToothNumber, piece: usize) {
        let plan = self.exam.teeth.iter().find(|plan| plan.tooth == tooth);
        let Some(plan) = plan else { return };
        let mut said = Vec::new();
        let is_of_last = self.about == Some(tooth) && self.room.pace != Pace::EachQuadrant;
        if is_of_last {
            said.extend(words("no"));
        } else if self.at != Some(tooth) {
            said.extend(tooth_words(tooth));
        }
        said.extend(plan.pieces[piece].words.iter().cloned());
        if !self.say(&said, Person::Vet) {
            // No tone: not taken.
            self.to_mend.push((tooth, piece));
        } else if !is_of_last {
            self.at = Some(tooth);
        }
    }

    /// Makes up their mind about what was said.
    fn think(&mut self) {
        for mut phrase in std::mem::take(&mut self.heard) {
            self.leave_to_the_nurse(&mut phrase);
            self.note(&format!("  < {} {:?}", phrase.key, phrase.entries));
            if phrase.is_question {
                self.question = Some(phrase);
                continue;
            }
            let tooth = phrase.slots.iter().find_map(|(name, slot)| match slot {
                Slot::Tooth(tooth) if *name == "tooth" => Some(*tooth),
                _ => None,
            });
            match phrase.key.as_str() {
                "tooth" | "next_by_itself" => self.at = tooth,
                // All that was said back is confirmed, by whichever word.
                "confirmed" | "nothing_to_confirm" => self.is_confirmed = true,
                "paused" => self.asleep = true,
                "vitals_due" => self.nurse.is_reminded = true,
                "entry" | "entry_again" | "entry_mouth" | "summary" => {
                    self.is_confirmed = false;
                    self.about = tooth;
                    self.check(&phrase);
                }
                "group_normal" | "group_missing" => self.to_undo = true,
                "note_saved" => self.to_undo = true,
                "note_recording" => {
                    // Whatever is said next becomes the note; it is taken back after that.
                    self.say(&words("never mind"), Person::Vet);
                    self.wait_until_quiet();
                }
                "withdrawn" | "struck" => match tooth {
                    Some(tooth) => self.forget(tooth),
                    None => {
                        if let Some(tooth) = self.about.or(self.at) {
                            self.forget(tooth);
                        }
                    }
                },
                _ => {}
            }
        }
    }

    /// What is of the anaesthetic record is hers to listen to.
    fn leave_to_the_nurse(&mut self, phrase: &mut Phrase) {
        if self.room.watch.is_none() || phrase.entries.is_empty() {
            return;
        }
        let record = self.talk.desk().record();
        let (hers, others): (Vec<u64>, Vec<u64>) = phrase.entries.iter().partition(|number| {
            record.entry(**number).is_some_and(|charted| {
                matches!(
                    charted.event,
                    Event::WatchRecorded { .. } | Event::ProcedureRecorded { .. }
                )
            })
        });
        if hers.is_empty() {
            return;
        }
        self.nurse.told.extend(hers);
        if others.is_empty() && !phrase.is_question {
            // Nothing in it is the vet's.
            phrase.key = "hers".to_owned();
        }
        phrase.entries = others;
    }

    /// Of this tooth nothing counts as read back any more.
    fn forget(&mut self, tooth: ToothNumber) {
        let plan = self.exam.teeth.iter().find(|plan| plan.tooth == tooth);
        for piece in plan.into_iter().flat_map(|plan| &plan.pieces) {
            for (key, _) in &piece.values {
                self.right.remove(key);
            }
        }
    }

    /// Compares a read-back with what was meant.
    fn check(&mut self, phrase: &Phrase) {
        let record = self.talk.desk().record();
        let told: Vec<Event> = phrase
            .entries
            .iter()
            .filter_map(|number| Some(record.entry(*number)?.event.clone()))
            .collect();
        let mut wrong = Vec::new();
        let mut is_foreign = false;
        let mut right = Vec::new();
        for event in &told {
            let Event::FindingRecorded { finding, .. } = event else {
                is_foreign = true;
                continue;
            };
            let key = (finding.subject, finding.kind, finding.place);
            match self.exam.meant(&key) {
                // Of a tooth that nobody came to yet, it is of the wrong tooth, however right it sounds.
                Some(_) if !self.is_said(&key) => is_foreign = true,
                Some(value) if *value == finding.value => right.push(key),
                Some(_) => wrong.push(key),
                None => is_foreign = true,
            }
        }
        let unnoticed = if self.over.contains(&phrase.entries) {
            (self.room.inattention * self.room.over_factor).min(1.0)
        } else {
            self.room.inattention
        };
        if (is_foreign || !wrong.is_empty()) && self.random.random_bool(unnoticed) {
            // They nod it through.
            right.append(&mut wrong);
            is_foreign = false;
        }
        for plan in &self.exam.teeth {
            for (at, piece) in plan.pieces.iter().enumerate() {
                let is_wrong = piece.values.iter().any(|(key, _)| wrong.contains(key));
                if is_wrong && !self.to_mend.contains(&(plan.tooth, at)) {
                    self.to_mend.push((plan.tooth, at));
                }
            }
        }
        for key in &wrong {
            self.right.remove(key);
        }
        self.right.extend(right);
        if is_foreign {
            self.to_deny = true;
            self.to_mend.clear();
            if self.about != self.at {
                // Entered for another tooth: from here on by number.
                self.at = None;
            }
        }
        let each = matches!(
            self.manner().confirms,
            Confirms::NurseWord | Confirms::NursePedal
        );
        self.to_confirm = each && wrong.is_empty() && !is_foreign;
    }

    fn is_said(&self, key: &Meant) -> bool {
        self.exam.teeth.iter().any(|plan| {
            let holds = |piece: &Piece| piece.values.iter().any(|(of, _)| of == key);
            plan.pieces.iter().any(holds) && self.said.iter().any(|(tooth, _)| *tooth == plan.tooth)
        })
    }

    /// What is said to a question.
    fn answer(&mut self, question: &Phrase) -> Option<Vec<String>> {
        if question.key == "either" {
            return question.slots.iter().find_map(|(_, slot)| match slot {
                Slot::Text(word) if self.last_words.contains(word) => Some(vec![word.clone()]),
                _ => None,
            });
        }
        let challenge = self.talk.desk().record().open_challenge()?;
        let is_meant = match challenge.proposed.clone() {
            Proposed::Finding(finding) => {
                let key = (finding.subject, finding.kind, finding.place);
                let is_meant = self.exam.meant(&key) == Some(&finding.value);
                if is_meant && self.is_said(&key) {
                    // The question said it.
                    self.right.insert(key);
                }
                is_meant
            }
            Proposed::Watched(what) => self.nurse.means(&what),
            _ => false,
        };
        Some(words(if is_meant { "confirm" } else { "no" }))
    }

    /// "buccal three correction four ...", now and then.
    fn hesitated(&mut self, piece: &Piece) -> Vec<String> {
        let depths = piece.words.len() == 4;
        if !(depths && self.random.random_bool(self.room.hesitation)) {
            return piece.words.clone();
        }
        let at = self.random.random_range(1..piece.words.len());
        let mut said = piece.words.clone();
        said.insert(at, "correction".to_owned());
        said.insert(at, DIGITS[self.random.random_range(1..10)].to_owned());
        said
    }
}
