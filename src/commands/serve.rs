//! `sulcus serve`: the live page without a microphone. Touches go through the same desk and conversation as speech,
//! with a mouth that shows.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::Context;
use crossbeam_channel::{Receiver, select, tick};
use tokio::sync::watch;
use uuid::Uuid;

use crate::app::clinic::Clinic;
use crate::app::desk::{Desk, DeskError};
use crate::app::ending::Ending;
use crate::app::live::Shown;
use crate::app::monitor;
use crate::app::own_sayings::OfFolder;
use crate::app::page::{self, Page};
use crate::app::papers::FromJournal;
use crate::app::signers;
use crate::app::talk::{Line, ShowingMouth, Talk};
use crate::archive::Courier;
use crate::clock::{Clock, RealClock};
use crate::commands::{Outcome, doors, table, wrong_use};
use crate::config::Config;
use crate::grammar::intent::Pace;
use crate::record::fold::Phase;
use crate::record::{Draft, Event, Journal, JournalError, Record, Reopened};
use crate::session::Phrase;
use crate::speech::EngineIdentity;
use crate::web::{self, Notice, Press, Pressed, Reply, ServeOptions, View, WebError};

/// How often it is looked whether the disk is to be tried again or an alarm repeated.
const LOOKS: Duration = Duration::from_millis(200);

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

    /// Take readings from a monitor: a file or pipe that is there, or a Unix socket to be made; one JSON object a line
    /// (docs/anaesthetic.md)
    #[arg(long, value_name = "PATH")]
    pub monitor: Option<PathBuf>,
}

impl Options {
    /// A page for this machine only.
    pub fn local(port: u16) -> Self {
        Self {
            listen: IpAddr::V4(Ipv4Addr::LOCALHOST),
            port,
            open_to_network: false,
            monitor: None,
        }
    }
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    // Damage that is found later is told on the page too; at the end nobody waits for a check that still goes on.
    let is_large = doors::look(config);
    // Before the page is served: a folder that cannot be used leaves nothing behind.
    let opened = open(&config.data)?;
    let beside = doors::begin_check(config, is_large);
    let readings = options.monitor.as_deref().map(monitor::open).transpose()?;
    let (view, watched) = watch::channel(Arc::new(View::default()));
    let (presses, pressed) = crossbeam_channel::bounded(PRESSES_WAITING_MAX);
    let (runtime, server) = start(options, config, watched, presses, true)?;
    let courier = Courier::start(&Clinic::load(&config.data)?.archive, &config.data);
    // Ends when the server has ended: its side of the queue is gone then.
    let ending = match opened.seat(&pressed, &view)? {
        None => Ending::Done,
        Some((desk, first)) => {
            let beside = Beside {
                readings,
                damage: beside.map(|beside| beside.found),
                courier: courier.as_ref().map(|courier| courier.told.clone()),
            };
            sit(desk, first, &pressed, beside, view)
        }
    };
    match runtime.block_on(server)? {
        Ok(()) => Ok(table::outcome(&ending)),
        Err(error @ (WebError::NotLoopback(_) | WebError::EveryAddress(_))) => {
            wrong_use(error.to_string())
        }
        Err(error) => Err(error.into()),
    }
}

/// What tells something while the page is served.
struct Beside {
    readings: Option<Receiver<monitor::Sent>>,
    damage: Option<Receiver<String>>,
    courier: Option<Receiver<String>>,
}

/// The conversation without a microphone: the same desk and talk as at the table, with a mouth that shows.
fn sit(
    desk: Desk,
    first: Vec<Phrase>,
    pressed: &Receiver<Pressed>,
    beside: Beside,
    view: watch::Sender<Arc<View>>,
) -> Ending {
    let engine = EngineIdentity {
        name: String::new(),
        model: String::new(),
    };
    let mut talk = Talk::new(desk, ShowingMouth, engine).with_pace(Pace::Shown);
    let mut page = Page::new(view);
    let started = Instant::now();
    let looks = tick(LOOKS);
    let mut readings = beside.readings.unwrap_or_else(crossbeam_channel::never);
    let mut damage = beside.damage.unwrap_or_else(crossbeam_channel::never);
    let mut courier = beside.courier.unwrap_or_else(crossbeam_channel::never);
    let mut show = |talk: &mut Talk, lines: Vec<Line>| {
        for line in lines {
            page.shown(talk, &Shown::Line(&line));
            if let Line::Trouble(_) | Line::NotSaved { .. } = line {
                eprintln!("sulcus: {}", table::shown(&line));
            }
        }
        page.publish(talk);
    };
    let lines = talk.begin_with(first);
    show(&mut talk, lines);
    loop {
        select! {
            recv(pressed) -> press => {
                talk.at(started.elapsed().as_millis() as u64);
                let Ok(press) = press else { break };
                let (lines, answer) = page::press(&mut talk, press);
                show(&mut talk, lines);
                answer.send();
            }
            recv(readings) -> sent => {
                talk.at(started.elapsed().as_millis() as u64);
                match sent {
                    Ok(sent) => {
                        let lines = talk.monitor(sent);
                        show(&mut talk, lines);
                    }
                    // A monitor that is gone leaves the page as it is.
                    Err(_) => readings = crossbeam_channel::never(),
                }
            }
            recv(damage) -> why => {
                talk.at(started.elapsed().as_millis() as u64);
                match why {
                    Ok(_) => {
                        let lines = talk.damaged();
                        show(&mut talk, lines);
                    }
                    // The check is over.
                    Err(_) => damage = crossbeam_channel::never(),
                }
            }
            recv(courier) -> why => match why {
                Ok(why) => show(&mut talk, vec![Line::Trouble(why)]),
                Err(_) => courier = crossbeam_channel::never(),
            },
            recv(looks) -> _ => {
                talk.at(started.elapsed().as_millis() as u64);
                let mut lines = talk.speak();
                lines.extend(talk.retry());
                lines.extend(talk.remind());
                if !lines.is_empty() {
                    show(&mut talk, lines);
                }
            }
        }
    }
    let lines = talk.last_words();
    show(&mut talk, lines);
    let trouble = talk.trouble();
    match trouble.why {
        None => Ending::Done,
        Some(why) => Ending::Storage {
            why,
            unsaved: trouble.unsaved,
        },
    }
}

/// The page's server on threads of its own.
pub type Server = tokio::task::JoinHandle<Result<(), WebError>>;

/// Starts the server; it ends with the runtime, or, where asked, when somebody ends the program.
pub fn start(
    options: &Options,
    config: &Config,
    watched: watch::Receiver<Arc<View>>,
    presses: crossbeam_channel::Sender<Pressed>,
    until_interrupt: bool,
) -> anyhow::Result<(tokio::runtime::Runtime, Server)> {
    let clinic = Clinic::load(&config.data)?;
    let serve = ServeOptions {
        address: SocketAddr::new(options.listen, options.port),
        is_open_to_network: options.open_to_network,
        folder: config.data.clone(),
        shelf: clinic.plan.drug_shelf(),
        language: clinic
            .page_language
            .unwrap_or_else(|| web::ENGLISH.to_owned()),
        papers: Box::new(FromJournal {
            config: config.clone(),
        }),
        sayings: Box::new(OfFolder {
            folder: config.data.clone(),
        }),
        signing: Box::new(signers::OfFolder {
            folder: config.data.clone(),
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
            // In this order: whoever reads the address may end the program at once, and is heard.
            biased;
            _ = stopped() => Ok(()),
            served = web::serve(serve, watched, presses) => served,
        }
    });
    Ok((runtime, server))
}

/// Waits for the next wish that the program ends. False where such wishes cannot be heard.
pub async fn stopped() -> bool {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let (Ok(mut end), Ok(mut hang_up)) = (
            signal(SignalKind::terminate()),
            signal(SignalKind::hangup()),
        ) else {
            return tokio::signal::ctrl_c().await.is_ok();
        };
        tokio::select! {
            interrupted = tokio::signal::ctrl_c() => interrupted.is_ok(),
            _ = end.recv() => true,
            _ = hang_up.recv() => true,
        }
    }
    #[cfg(not(unix))]
    tokio::signal::ctrl_c().await.is_ok()
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

/// The desk, or the place where the patient is entered first.
pub enum Opened {
    Desk(Box<Desk>, Vec<Phrase>),
    Reception(Box<Reception>),
}

/// Goes on with the visit that was left open; where there is none, the patient is entered on the page.
pub fn open(folder: &Path) -> anyhow::Result<Opened> {
    match Desk::open(folder, None, false, Box::new(RealClock::default())) {
        Ok((desk, first)) => Ok(Opened::Desk(Box::new(desk), first)),
        Err(DeskError::NoVisit) => Ok(Opened::Reception(Box::new(Reception::open(folder)?))),
        Err(error) => Err(error.into()),
    }
}

impl Opened {
    /// Waits until a visit is open; none where the server has ended before that.
    pub fn seat(
        self,
        pressed: &Receiver<Pressed>,
        view: &watch::Sender<Arc<View>>,
    ) -> anyhow::Result<Option<(Desk, Vec<Phrase>)>> {
        match self {
            Self::Desk(desk, first) => Ok(Some((*desk, first))),
            Self::Reception(reception) => reception.wait(pressed, view),
        }
    }
}

/// No visit is open: presses are taken until one is.
pub struct Reception {
    journal: Journal,
    clock: RealClock,
    warnings: Vec<String>,
}

impl Reception {
    pub fn open(folder: &Path) -> anyhow::Result<Self> {
        Ok(Self {
            journal: Journal::open(folder)?,
            clock: RealClock::default(),
            warnings: Vec::new(),
        })
    }

    fn view(&self) -> View {
        View {
            awaited: "A patient".into(),
            warnings: self.warnings.clone(),
            ..View::default()
        }
    }

    /// Takes presses until a visit is open. None where the server has ended before that.
    fn wait(
        mut self,
        pressed: &Receiver<Pressed>,
        view: &watch::Sender<Arc<View>>,
    ) -> anyhow::Result<Option<(Desk, Vec<Phrase>)>> {
        view.send_replace(Arc::new(self.view()));
        for press in pressed {
            let reply = match self.press(&press.press) {
                Ok(Came::Refused(why)) => Reply::Refused(why),
                Ok(Came::Written(told)) => Reply::Taken {
                    last: 0,
                    said: vec![told.into()],
                },
                Ok(Came::Seated(visit)) => {
                    let clock = Box::new(RealClock::default());
                    let (mut desk, first) = Desk::of_visit(self.journal, visit, clock)?;
                    let mut shown = View::of(&Arc::new(desk.record().clone()), desk.settings());
                    shown.saved_at = Some(desk.clock().now().at);
                    view.send_replace(Arc::new(shown));
                    let said = first
                        .iter()
                        .map(|phrase| phrase.plain(desk.rules()))
                        .collect();
                    let last = desk.record().last;
                    let _ = press.reply.send(Reply::Taken { last, said });
                    return Ok(Some((desk, first)));
                }
                Err(error) => {
                    let why = error.to_string();
                    eprintln!("sulcus: {why}");
                    self.warnings = vec![why.clone()];
                    Reply::NotSaved(why)
                }
            };
            view.send_replace(Arc::new(self.view()));
            // A page that has gone away meanwhile sees it in its next state.
            let _ = press.reply.send(reply);
        }
        Ok(None)
    }

    fn press(&mut self, press: &Press) -> Result<Came, JournalError> {
        // What became of an opening that failed before decides whether a visit is open already.
        if self.journal.is_shut()
            && let Reopened::WasSaved(entries) = self.journal.reopen()?
            && let Some(visit) = entries.first().map(|entry| entry.visit)
            && self.phase(visit)? == Some(Phase::Open)
        {
            return Ok(Came::Seated(visit));
        }
        match press {
            Press::OpenVisit {
                patient,
                vet,
                nurse,
            } => {
                let visit = Uuid::new_v4();
                let event = Event::VisitOpened {
                    patient: patient.clone(),
                    vet: vet.clone(),
                    nurse: nurse.clone(),
                };
                self.write(visit, event)?;
                Ok(Came::Seated(visit))
            }
            Press::GoOn(visit) => Ok(match self.phase(*visit)? {
                Some(Phase::Open) => Came::Seated(*visit),
                Some(Phase::Finished) => Came::Refused("that visit is finished".into()),
                None => Came::Refused("there is no such visit".into()),
            }),
            Press::Reopen { visit, reason } => Ok(match self.phase(*visit)? {
                Some(Phase::Finished) => {
                    let reason = reason.clone();
                    self.write(*visit, Event::VisitReopened { reason })?;
                    Came::Seated(*visit)
                }
                Some(Phase::Open) => Came::Refused("that visit is open".into()),
                None => Came::Refused("there is no such visit".into()),
            }),
            Press::Addendum { visit, text } => Ok(match self.phase(*visit)? {
                Some(Phase::Finished) => {
                    let text = text.clone();
                    self.write(*visit, Event::AddendumWritten { text })?;
                    Came::Written("Addendum saved")
                }
                _ => Came::Refused("an addendum is for a finished visit; write a note".into()),
            }),
            Press::Sign {
                visit,
                name,
                up_to,
                anyway,
            } => {
                let Some(record) = Record::fold(&self.journal.entries(*visit)?) else {
                    return Ok(Came::Refused("there is no such visit".into()));
                };
                match signers::signature(&record, name, *up_to, *anyway) {
                    Ok(event) => {
                        self.write(*visit, event)?;
                        Ok(Came::Written("Signed"))
                    }
                    Err(why) => Ok(Came::Refused(why)),
                }
            }
            _ => Ok(Came::Refused(
                "no visit is open; enter the patient first".into(),
            )),
        }
    }

    fn phase(&self, visit: Uuid) -> Result<Option<Phase>, JournalError> {
        Ok(Record::fold(&self.journal.entries(visit)?).map(|record| record.phase))
    }

    fn write(&mut self, visit: Uuid, event: Event) -> Result<(), JournalError> {
        let draft = Draft::new(event, Some(&web::press::pressed()));
        self.journal.append(visit, &[draft], self.clock.now())?;
        self.warnings.clear();
        Ok(())
    }
}

/// What came of a press while no visit is open.
enum Came {
    /// This visit is open now.
    Seated(Uuid),
    /// Saved, in a visit that stays finished.
    Written(&'static str),
    Refused(String),
}
