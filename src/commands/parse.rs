//! `sulcus parse "WORDS"`: what a sentence means and what would be answered; the help sheet; sample sentences.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use crate::app::clinic::Clinic;
use crate::app::desk::Opening;
use crate::clock::{Clock, SetClock};
use crate::commands::Outcome;
use crate::config::Config;
use crate::grammar::template::Situation;
use crate::grammar::{Meaning, help, nearest, sample};
use crate::record::event::Telling;
use crate::record::{Draft, Entry, Event, Heard, Record};
use crate::session::{Rules, Said, Session, in_words};
use crate::terms::{Patient, Species};

#[derive(Debug, clap::Args)]
pub struct Options {
    /// What is said; several utterances are separated by a full stop
    #[arg(required_unless_present_any = ["help_sheet", "forms", "samples"])]
    words: Option<String>,

    /// The animal that it is said of
    #[arg(long, default_value = "dog")]
    species: Species,

    /// Print the sheet for the wall: what may be said, by examples
    #[arg(long)]
    help_sheet: bool,

    /// Print every form of every sentence, with the lists that it uses
    #[arg(long)]
    forms: bool,

    /// Print so many sentences that the grammar allows
    #[arg(long, value_name = "COUNT")]
    samples: Option<usize>,

    /// Samples: first as many as it takes for each way of saying and each word to occur
    #[arg(long, hide = true, requires = "samples")]
    cover: bool,

    /// Samples: what may be said in this situation
    #[arg(long, hide = true, default_value = "table", requires = "samples")]
    situation: Situation,

    /// Makes the samples repeatable
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    let clinic = Clinic::load(&config.data)?;
    let grammar = clinic.grammar()?;
    if options.help_sheet {
        print!("{}", help::sheet(&grammar));
        return Ok(Outcome::Done);
    }
    if options.forms {
        print!("{}", help::forms(&grammar));
        return Ok(Outcome::Done);
    }
    if let Some(count) = options.samples {
        let mut random = ChaCha8Rng::seed_from_u64(options.seed);
        let mut utterances = Vec::new();
        if options.cover {
            utterances = sample::covering(grammar.book(), options.situation, &mut random);
        }
        while utterances.len() < count {
            utterances.push(sample::utterance(
                grammar.book(),
                options.situation,
                3,
                &mut random,
            ));
        }
        for words in utterances {
            println!("{}", words.join(" "));
        }
        return Ok(Outcome::Done);
    }
    let words = options.words.as_deref().unwrap_or_default();
    let rules = Rules::built_in()?
        .with_strengths(clinic.plan.anaesthetic.strengths())
        .with_watch(clinic.plan.watch.clone(), clinic.plan.drug_shelf());
    let mut table = Table::open(options.species, &rules);
    let mut outcome = Outcome::Done;
    for sentence in words
        .split('.')
        .filter(|sentence| !sentence.trim().is_empty())
    {
        println!("said:   {}", sentence.trim());
        let words = grammar.words(sentence);
        let situation = Session::situation(&table.record);
        let (meaning, words) =
            grammar.interpret_beside(table.lacking(), &words, situation, options.species);
        match meaning {
            Meaning::Said(intents) => {
                if matches!(intents.last(), Some(crate::grammar::Intent::Lacking { .. })) {
                    outcome = Outcome::Problem;
                }
                for intent in &intents {
                    println!("intent: {}", in_words::wish(intent));
                }
                for answer in table.say(intents, &words, &rules) {
                    println!("answer: {answer}");
                }
            }
            Meaning::NotUnderstood => {
                println!("intent: none, this is no sentence of the grammar here");
                let words: Vec<&str> = words.iter().map(String::as_str).collect();
                let graph = grammar.graph(Session::situation(&table.record));
                let near = nearest::nearest(&graph, &words, 3);
                for sentence in &near {
                    println!("near:   {sentence}");
                }
                if near.is_empty() {
                    println!("help:   sulcus parse --help-sheet tells what may be said");
                }
                outcome = Outcome::Problem;
            }
            Meaning::Ambiguous(one, other) => {
                let told = |intents: &[crate::grammar::Intent]| {
                    let wishes: Vec<String> = intents.iter().map(in_words::wish).collect();
                    wishes.join("; ")
                };
                println!(
                    "intent: two meanings, a fault of the grammar: {} or {}",
                    told(&one),
                    told(&other)
                );
                outcome = Outcome::Problem;
            }
        }
    }
    Ok(outcome)
}

/// A visit in memory only, to show answers.
struct Table {
    record: Record,
    session: Session,
    clock: SetClock,
}

impl Table {
    fn open(species: Species, rules: &Rules) -> Self {
        let clock = SetClock::at_second(0);
        let opening = Opening {
            patient: Patient::example(species),
            vet: None,
            nurse: None,
        };
        let event = Event::VisitOpened {
            patient: opening.patient,
            vet: None,
            nurse: None,
        };
        let entry = Entry::unsaved(uuid::Uuid::nil(), 1, clock.0, Draft::new(event, None));
        let record = Record::fold(&[entry]).expect("an opening opens");
        Self {
            record,
            session: Session::new(rules.clone()),
            clock,
        }
    }

    fn lacking(&mut self) -> Option<&str> {
        let now = self.clock.now();
        self.session.lacking(now)
    }

    fn say(
        &mut self,
        intents: Vec<crate::grammar::Intent>,
        words: &[String],
        rules: &Rules,
    ) -> Vec<String> {
        self.clock.advance_ms(1_000);
        let now = self.clock.now();
        let said = Said {
            intents,
            heard: Heard {
                words: words.join(" "),
                confidence: 1.0,
                ..Heard::default()
            },
        };
        let step = self.session.step(&self.record, &said, now);
        let entries: Vec<Entry> = step
            .drafts
            .iter()
            .cloned()
            .map(|draft| {
                let entry = Entry::unsaved(self.record.visit, self.record.last + 1, now, draft);
                self.record.apply(&entry);
                entry
            })
            .collect();
        let phrases = self.session.saved(&self.record, &entries, &step);
        for phrase in &phrases {
            if let Some(draft) = Session::told(&self.record, phrase, Telling::Spoken) {
                self.record.apply(&Entry::unsaved(
                    self.record.visit,
                    self.record.last + 1,
                    now,
                    draft,
                ));
            }
        }
        phrases.iter().map(|phrase| phrase.plain(rules)).collect()
    }
}
