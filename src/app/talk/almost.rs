//! What was almost understood: the nearest sentences for the page, the offer of one for a "yes", and what is kept of
//! refused words.
//!
//! Invariants: nothing is offered of one utterance alone, for chatter sounds like commands; extraction, withdrawal,
//! drugs and whatever else can hurt are never offered. Of refused words only short rows with a word of the trade are kept.

use super::misheard::Answer;
use super::{By, Line, Talk};
use crate::app::understand::{self, Understood};
use crate::grammar::intent::Scope;
use crate::grammar::{Intent, Situation};
use crate::record::{Draft, Event, Heard as HeardBy};
use crate::session::{Phrase, Said, Slot};
use crate::speech::{Hearing, Unheard};

/// Shown after a refusal.
const NEAREST_MAX: usize = 3;

/// A longer row of words is talk.
const REFUSED_WORDS_MAX: usize = 6;

/// What may be entered by a "yes" to an offer: what the probe finds, and where it is. A decision, a treatment, a drug
/// or a withdrawal has to be said, and heard clearly.
pub(super) fn may_be_offered(intents: &[Intent]) -> bool {
    !intents.is_empty()
        && intents.iter().all(|intent| {
            matches!(
                intent,
                Intent::ChooseTooth(_)
                    | Intent::NextTooth
                    | Intent::PreviousTooth
                    | Intent::RecordMillimetres { .. }
                    | Intent::RecordBleeding { .. }
                    | Intent::RecordFurcation { .. }
                    | Intent::RecordForTooth { .. }
                    | Intent::RecordAtRoot { .. }
                    | Intent::RecordNormal(Scope::ThisTooth)
            )
        })
}

impl Talk {
    /// What was heard freely, and the sentences nearest to it: for the page, never entered.
    pub(super) fn nearest_to(&mut self, hearing: &Hearing, why: Unheard) -> (String, Vec<String>) {
        let best = hearing.hypotheses.first().map(|best| best.words.join(" "));
        // Too unsure: the sentence itself is the nearest. None at all: what was heard freely is put beside the sentences.
        let freely = hearing.free_text.as_deref().unwrap_or_default().trim();
        let words = self.desk.grammar().words(freely);
        let heard = if freely.is_empty() {
            best.clone().unwrap_or_default()
        } else {
            words.join(" ")
        };
        let mut near: Vec<String> = best
            .filter(|_| why == Unheard::Unclear)
            .into_iter()
            .collect();
        if !words.is_empty() && words.len() <= 2 * REFUSED_WORDS_MAX {
            for sentence in self.desk.nearest(&words, NEAREST_MAX) {
                if !near.contains(&sentence) {
                    near.push(sentence);
                }
            }
        }
        near.truncate(NEAREST_MAX);
        (heard, near)
    }

    /// Keeps clear words that are no sentence, for proposals.
    pub(super) fn keep_refused(&mut self, hearing: &Hearing, heard: HeardBy) -> Vec<Line> {
        let freely = hearing.free_text.as_deref().unwrap_or_default();
        let words = self.desk.grammar().words(freely);
        let is_kept = self.desk.keeps_refused()
            && (1..=REFUSED_WORDS_MAX).contains(&words.len())
            && self.desk.grammar().has_word_of_trade(&words);
        if !is_kept {
            return Vec::new();
        }
        let said = words.join(" ");
        let event = Event::NotUnderstood { said: said.clone() };
        match self
            .desk
            .append(Draft::new(event, Some(&heard)), String::new())
        {
            None => Vec::new(),
            Some(not_saved) => self.not_saved(not_saved),
        }
    }

    /// Offers the sentence that was too unsure twice; none where that may not be.
    pub(super) fn offer(&mut self, hearing: &Hearing, by: By) -> Option<Vec<Line>> {
        let best = hearing.hypotheses.first()?;
        let species = self.desk.record().patient.species;
        let lacking = self.desk.lacking();
        let (meaning, words) = self.desk.grammar().interpret_beside(
            lacking.as_deref(),
            &best.words,
            Situation::Table,
            species,
        );
        let intents = match meaning {
            crate::grammar::Meaning::Said(intents) if may_be_offered(&intents) => Some(intents),
            _ => None,
        };
        if !self.misheard.is_said_again(intents.as_deref()) {
            return None;
        }
        let intents = intents?;
        let least = best.word_confidences.iter().copied().fold(1.0, f32::min);
        let heard = by.sign(understand::heard(&words, least, &self.engine));
        let mut phrase =
            Phrase::new("did_you_say").with("sentence", Slot::Text(heard.words.clone()));
        phrase.is_question = true;
        let event = Event::AskedFor {
            said: heard.words.clone(),
            question: phrase.plain(self.desk.rules()),
        };
        let mut lines = Vec::new();
        if let Some(not_saved) = self
            .desk
            .append(Draft::new(event, Some(&heard)), String::new())
        {
            lines.extend(self.not_saved(not_saved));
        }
        self.misheard.offer(Said { intents, heard });
        lines.extend(self.say_all(vec![phrase]));
        Some(lines)
    }

    /// Yes or no to what was offered.
    pub(super) fn answer_offer(&mut self, understood: &Understood, by: By) -> Option<Vec<Line>> {
        let Understood::Said {
            intents,
            words,
            confidence,
        } = understood
        else {
            return None;
        };
        let heard = by.sign(understand::heard(words, *confidence, &self.engine));
        let answer = self.misheard.answer_offer(Some(intents), &heard)?;
        self.understood();
        let mut lines = vec![Line::Heard {
            words: heard.words,
            confidence: *confidence,
        }];
        lines.extend(match answer {
            Answer::Yes(said) => self.take(said),
            Answer::No => self.say_all(vec![Phrase::new("not_entered")]),
        });
        Some(lines)
    }
}
