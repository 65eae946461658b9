//! `sulcus serve`: the live page without a microphone. Touches go through the same session and journal as speech.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use crossbeam_channel::Receiver;
use tokio::sync::watch;
use uuid::Uuid;

use crate::app::clinic::Clinic;
use crate::app::papers::FromJournal;
use crate::clock::{Clock, Now, RealClock};
use crate::commands::{Outcome, doors};
use crate::config::Config;
use crate::plan;
use crate::record::fold::Phase;
use crate::record::{Draft, Event, Journal, JournalError, Record};
use crate::session::{Phrase, Rules, Said, Session, Wish};
use crate::terms::Patient;
use crate::web::{self, HeardLine, Notice, Press, Pressed, Reply, ServeOptions, View, WebError};

/// Presses that wait while one is being saved; more are refused as "busy".
pub const PRESSES_WAITING_MAX: usize = 32;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Address to listen on; other than loopback only with --open-to-network
    #[arg(long, value_name = "ADDRESS", default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    pub listen: IpAddr,

    /// Port of the page; 0 takes any free one
    #[arg(long, default_value_t = web::PORT)]
    pub port: u16,

    /// Let other machines reach the page: with TLS and a pairing code that is shown here
    #[arg(long)]
    pub open_to_network: bool,
}

impl Options {
    /// A page for this machine only.
    pub fn local(port: u16) -> Self {
        Self {
            listen: IpAddr::V4(Ipv4Addr::LOCALHOST),
            port,
            open_to_network: false,
        }
    }
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    // Told on the terminal as it is found; at the end nobody waits for it.
    let _beside = doors::look(config);
    let mut table = Table::open(config.data.clone())?;
    let (view, watched) = watch::channel(Arc::new(table.view()));
    let (presses, pressed) = crossbeam_channel::bounded(PRESSES_WAITING_MAX);
    let (runtime, server) = start(options, config, watched, presses, true)?;
    // Ends when the server has ended: its side of the queue is gone then.
    let taken = take_all(&mut table, &pressed, &view);
    drop(view);
    let served = match taken {
        Ok(()) => runtime.block_on(server)?,
        Err(error) => return Err(error),
    };
    match served {
        Ok(()) => Ok(Outcome::Done),
        Err(error @ (WebError::NotLoopback(_) | WebError::EveryAddress(_))) => {
            eprintln!("sulcus: {error}");
            Ok(Outcome::WrongUse)
        }
        Err(error) => Err(error.into()),
    }
}

/// The page's server on threads of its own.
pub type Server = tokio::task::JoinHandle<Result<(), WebError>>;

/// Starts the server; it ends with the runtime, or, where asked, at the terminal's interrupt.
pub fn start(
    options: &Options,
    config: &Config,
    watched: watch::Receiver<Arc<View>>,
    presses: crossbeam_channel::Sender<Pressed>,
    until_interrupt: bool,
) -> anyhow::Result<(tokio::runtime::Runtime, Server)> {
    let serve = ServeOptions {
        address: SocketAddr::new(options.listen, options.port),
        is_open_to_network: options.open_to_network,
        folder: config.data.clone(),
        language: Clinic::load(&config.data)?
            .page_language
            .unwrap_or_else(|| web::ENGLISH.to_owned()),
        papers: Box::new(FromJournal {
            config: config.clone(),
        }),
        announce: Box::new(announce),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(1)
        .enable_all()
        .build()
        .context("cannot start the page's server")?;
    let server = runtime.spawn(async move {
        if !until_interrupt {
            return web::serve(serve, watched, presses).await;
        }
        tokio::select! {
            served = web::serve(serve, watched, presses) => served,
            _ = tokio::signal::ctrl_c() => Ok(()),
        }
    });
    Ok((runtime, server))
}

fn announce(notice: Notice) {
    match notice {
        Notice::Address(address) => println!("Page: {address}"),
        Notice::PairingCode(code) => {
            println!("Pairing code: {} {}", &code[..4], &code[4..]);
        }
        Notice::Fingerprint(fingerprint) => println!("Certificate (SHA-256): {fingerprint}"),
    }
}

fn take_all(
    table: &mut Table,
    pressed: &Receiver<Pressed>,
    view: &watch::Sender<Arc<View>>,
) -> anyhow::Result<()> {
    for press in pressed {
        table.answer(press, view)?;
    }
    Ok(())
}

/// Takes presses until a visit is open: the patient is entered on the page before the microphone is used.
/// False where the server has ended before that.
pub fn until_open(
    folder: &Path,
    pressed: &Receiver<Pressed>,
    view: &watch::Sender<Arc<View>>,
) -> anyhow::Result<bool> {
    let mut table = Table::open(folder.to_owned())?;
    view.send_replace(Arc::new(table.view()));
    for press in pressed {
        table.answer(press, view)?;
        if table
            .record
            .as_ref()
            .is_some_and(|record| record.phase == Phase::Open)
        {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The visit at hand with all that changes it.
struct Table {
    folder: PathBuf,
    journal: Option<Journal>,
    session: Session,
    rules: Rules,
    record: Option<Arc<Record>>,
    clock: RealClock,
    said: Vec<String>,
    heard: Option<HeardLine>,
    warnings: Vec<String>,
    saved_at: Option<jiff::Timestamp>,
    /// The clinic's own limits, for the check list.
    settings: plan::Settings,
}

impl Table {
    /// Goes on with the newest visit where it was left open.
    fn open(folder: PathBuf) -> anyhow::Result<Self> {
        let settings = Clinic::load(&folder)?.plan;
        let rules = Rules::built_in()?.with_strengths(settings.anaesthetic.strengths());
        let mut table = Self {
            journal: None,
            session: Session::new(rules.clone()),
            rules,
            record: None,
            clock: RealClock::default(),
            said: Vec::new(),
            heard: None,
            warnings: Vec::new(),
            saved_at: None,
            settings,
            folder,
        };
        table.reopen()?;
        Ok(table)
    }

    /// Opens the journal afresh; what was at hand is read from it.
    fn reopen(&mut self) -> Result<(), JournalError> {
        let at_hand = self.record.take().map(|record| record.visit);
        // The old one holds the lock.
        self.journal = None;
        let journal = Journal::open(&self.folder)?;
        let visit = match at_hand {
            Some(visit) => Some(visit),
            None => journal.visits()?.first().map(|line| line.visit),
        };
        if let Some(visit) = visit {
            let record = Record::fold(&journal.entries(visit)?);
            self.record = record
                .filter(|record| record.phase == Phase::Open || at_hand.is_some())
                .map(Arc::new);
        }
        if let Some(record) = &self.record {
            let phrases = self.session.resumed(record);
            self.said = plain(&phrases, &self.rules);
        }
        self.journal = Some(journal);
        Ok(())
    }

    fn view(&self) -> View {
        let of_record = self
            .record
            .as_ref()
            .map(|record| View::of(record, &self.settings))
            .unwrap_or_else(|| View {
                awaited: "A patient".into(),
                ..View::default()
            });
        View {
            said: self.said.clone(),
            heard: self.heard.clone(),
            warnings: self.warnings.clone(),
            saved_at: self.saved_at,
            ..of_record
        }
    }

    /// Takes a press, shows what came of it, and answers.
    fn answer(
        &mut self,
        press: Pressed,
        view: &watch::Sender<Arc<View>>,
    ) -> Result<(), JournalError> {
        let (reply, fatal) = match self.press(&press) {
            Ok(reply) => (reply, None),
            Err(error) => {
                let why = error.to_string();
                self.warnings = vec![why.clone()];
                // What the file now holds is the truth; without it there is nothing to go on with.
                (Reply::Refused(why), self.reopen().err())
            }
        };
        view.send_replace(Arc::new(self.view()));
        // A page that has gone away meanwhile sees it in its next state.
        let _ = press.reply.send(reply);
        fatal.map_or(Ok(()), Err)
    }

    fn press(&mut self, pressed: &Pressed) -> Result<Reply, JournalError> {
        let refused = |why: &str| Ok(Reply::Refused(why.to_owned()));
        if let Press::OpenVisit {
            patient,
            vet,
            nurse,
        } = &pressed.press
        {
            return self.open_visit(patient, vet.clone(), nurse.clone());
        }
        if let Press::GoOn(visit) = pressed.press {
            return self.go_on(visit);
        }
        if let Press::Reopen { visit, reason } = &pressed.press {
            return self.reopen_visit(*visit, reason);
        }
        if let Press::Addendum { visit, text } = &pressed.press {
            return self.add(*visit, text);
        }
        let Some(record) = self.record.clone() else {
            return refused("no visit is open; enter the patient first");
        };
        match &pressed.press {
            Press::Note { tooth, text } => {
                let event = Event::NoteRecorded {
                    tooth: *tooth,
                    text: text.clone(),
                    sound: None,
                };
                self.write_down(&record, event, "Note saved")
            }
            Press::UpdatePatient(patient) => {
                // Teeth already charted are those of this species.
                if patient.species != record.patient.species && record.all().next().is_some() {
                    return refused("values are charted: the species stays");
                }
                let patient = patient.clone();
                self.write_down(&record, Event::PatientUpdated { patient }, "Patient saved")
            }
            _ => match pressed.said(&record) {
                Ok(Some(said)) => {
                    let said = self.take(&record, said)?;
                    Ok(self.taken(said))
                }
                Ok(None) => refused("that cannot be taken here"),
                Err(not_now) => refused(&not_now.to_string()),
            },
        }
    }

    /// Takes in what was said or pressed: step, save, then tell.
    fn take(&mut self, record: &Arc<Record>, said: Said) -> Result<Vec<String>, JournalError> {
        let now = self.clock.now();
        let step = self.session.step(record, &said, now);
        let entries = self.append(record.visit, &step.drafts, now)?;
        let record = self.record.clone().unwrap_or_else(|| Arc::clone(record));
        let phrases = self.session.saved(&record, &entries, &step);
        // Without a loudspeaker, shown is read back.
        let shown: Vec<Draft> = phrases
            .iter()
            .filter_map(|phrase| Session::said_to_end(&record, phrase))
            .collect();
        self.append(record.visit, &shown, now)?;
        let mut told = plain(&phrases, &self.rules);
        told.extend(step.wishes.iter().filter_map(wish));
        self.heard = Some(HeardLine {
            words: said.heard.words,
            confidence: said.heard.confidence,
            understood: told.join(". "),
            // A question and its "no" are in the journal too, but nothing was entered.
            saved: entries.iter().any(|entry| {
                !matches!(
                    entry.event,
                    Event::Challenged { .. } | Event::ChallengeAnswered { .. }
                )
            }),
            how: said.heard.how,
            at: now.at,
        });
        self.said.clone_from(&told);
        Ok(told)
    }

    fn append(
        &mut self,
        visit: Uuid,
        drafts: &[Draft],
        now: Now,
    ) -> Result<Vec<crate::record::Entry>, JournalError> {
        let journal = self.journal.as_mut().ok_or(JournalError::Shut)?;
        let entries = journal.append(visit, drafts, now)?;
        let is_value = |draft: &Draft| !matches!(draft.event, Event::ReadBack { .. });
        if drafts.iter().any(is_value) {
            self.saved_at = Some(self.clock.now().at);
            self.warnings.clear();
        }
        match &mut self.record {
            Some(record) if record.visit == visit => {
                let record = Arc::make_mut(record);
                for entry in &entries {
                    record.apply(entry);
                }
            }
            _ => self.record = Record::fold(&entries).map(Arc::new),
        }
        Ok(entries)
    }

    /// One fact that needs no conversation.
    fn write_down(
        &mut self,
        record: &Record,
        event: Event,
        told: &str,
    ) -> Result<Reply, JournalError> {
        if record.phase == Phase::Finished {
            return Ok(Reply::Refused("the visit is finished".into()));
        }
        let now = self.clock.now();
        let draft = Draft::new(event, Some(&web::press::pressed()));
        self.append(record.visit, &[draft], now)?;
        self.heard = None;
        self.said = vec![told.to_owned()];
        Ok(self.taken(self.said.clone()))
    }

    fn open_visit(
        &mut self,
        patient: &Patient,
        vet: Option<String>,
        nurse: Option<String>,
    ) -> Result<Reply, JournalError> {
        if self
            .record
            .as_ref()
            .is_some_and(|record| record.phase == Phase::Open)
        {
            return Ok(Reply::Refused("a visit is open; finish it first".into()));
        }
        let event = Event::VisitOpened {
            patient: patient.clone(),
            vet,
            nurse,
        };
        self.record = None;
        self.session = Session::new(self.rules.clone());
        let now = self.clock.now();
        let draft = Draft::new(event, Some(&web::press::pressed()));
        self.append(Uuid::new_v4(), &[draft], now)?;
        self.heard = None;
        self.said = vec![format!("{}, {}", patient.name, patient.species.word())];
        Ok(self.taken(self.said.clone()))
    }

    fn go_on(&mut self, visit: Uuid) -> Result<Reply, JournalError> {
        let journal = self.journal.as_ref().ok_or(JournalError::Shut)?;
        let at_hand = self.record.as_ref();
        if at_hand.is_some_and(|record| record.phase == Phase::Open && record.visit != visit) {
            return Ok(Reply::Refused(
                "another visit is open; finish it first".into(),
            ));
        }
        match Record::fold(&journal.entries(visit)?) {
            Some(record) if record.phase == Phase::Open => {
                let phrases = self.session.resumed(&record);
                self.record = Some(Arc::new(record));
                self.heard = None;
                self.said = plain(&phrases, &self.rules);
                Ok(self.taken(self.said.clone()))
            }
            Some(_) => Ok(Reply::Refused("that visit is finished".into())),
            None => Ok(Reply::Refused("there is no such visit".into())),
        }
    }

    /// Opens a finished visit again; it is then the one at hand.
    fn reopen_visit(&mut self, visit: Uuid, reason: &str) -> Result<Reply, JournalError> {
        let at_hand = self.record.as_ref();
        if at_hand.is_some_and(|record| record.phase == Phase::Open) {
            return Ok(Reply::Refused("a visit is open; finish it first".into()));
        }
        let journal = self.journal.as_ref().ok_or(JournalError::Shut)?;
        match Record::fold(&journal.entries(visit)?) {
            Some(record) if record.phase == Phase::Finished => {
                let event = Event::VisitReopened {
                    reason: reason.to_owned(),
                };
                self.record = Some(Arc::new(record));
                let now = self.clock.now();
                let draft = Draft::new(event, Some(&web::press::pressed()));
                self.append(visit, &[draft], now)?;
                let record = self.record.clone();
                let phrases = record.map_or_else(Vec::new, |record| self.session.resumed(&record));
                self.heard = None;
                self.said = plain(&phrases, &self.rules);
                Ok(self.taken(self.said.clone()))
            }
            Some(_) => Ok(Reply::Refused("that visit is open".into())),
            None => Ok(Reply::Refused("there is no such visit".into())),
        }
    }

    /// Words added to a finished visit, which stays finished.
    fn add(&mut self, visit: Uuid, text: &str) -> Result<Reply, JournalError> {
        let journal = self.journal.as_mut().ok_or(JournalError::Shut)?;
        let finished = Record::fold(&journal.entries(visit)?)
            .is_some_and(|record| record.phase == Phase::Finished);
        if !finished {
            return Ok(Reply::Refused(
                "an addendum is for a finished visit; write a note".into(),
            ));
        }
        let event = Event::AddendumWritten {
            text: text.to_owned(),
        };
        let draft = Draft::new(event, Some(&web::press::pressed()));
        let now = self.clock.now();
        let entries = journal.append(visit, &[draft], now)?;
        if let Some(record) = &mut self.record
            && record.visit == visit
        {
            let record = Arc::make_mut(record);
            for entry in &entries {
                record.apply(entry);
            }
        }
        self.heard = None;
        self.said = vec!["Addendum saved".to_owned()];
        Ok(self.taken(self.said.clone()))
    }

    fn taken(&self, said: Vec<String>) -> Reply {
        Reply::Taken {
            last: self.record.as_ref().map_or(0, |record| record.last),
            said,
        }
    }
}

fn plain(phrases: &[Phrase], rules: &Rules) -> Vec<String> {
    phrases.iter().map(|phrase| phrase.plain(rules)).collect()
}

/// What this command cannot do, said so.
fn wish(wish: &Wish) -> Option<String> {
    match wish {
        // The page shows everything at once: nothing is spoken, cut or kept back.
        Wish::StopSpeaking | Wish::SayBack { .. } | Wish::SetPace(_) => None,
        Wish::TakeNote { .. } => Some("No microphone here: type the note".into()),
        Wish::TellPlan => Some("The plan is shown by sulcus plan".into()),
        Wish::Compare { .. } => Some("Earlier visits are under More".into()),
    }
}
