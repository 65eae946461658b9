//! `sulcus rehearse` (for developers): examinations in simulated time, as tables for the documents.

use std::fmt::Write as _;
use std::path::PathBuf;

use crate::app::simulated::manner::{Confirms, FIGURES};
use crate::app::simulated::{self, Ears, Manner, Outcome as Exam, Room, Scribe, watched};
use crate::commands::Outcome;
use crate::grammar::intent::Pace;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Examinations in each room; a fifth of it in each row of the other tables
    #[arg(long, default_value_t = 1000)]
    exams: u64,

    /// First seed
    #[arg(long, default_value_t = 1)]
    seed: u64,

    /// Teeth in each examination
    #[arg(long, default_value_t = 42)]
    teeth: usize,

    /// Only the rows whose name holds this
    #[arg(long, value_name = "PART", default_value = "")]
    room: String,

    /// Only this table
    #[arg(long, value_enum)]
    table: Option<Table>,

    /// Print what was said in the first examination that went wrong, in this file
    #[arg(long, value_name = "FILE")]
    failure: Option<PathBuf>,

    /// Print what was said in the first examination of each row
    #[arg(long)]
    log: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Table {
    /// What is assumed of people
    Assumed,
    /// Rooms and kinds of people
    Rooms,
    /// What each choice of the clinic gains
    Steps,
    /// What decides
    Decides,
    /// The share of wrong values that nobody notices
    Attention,
    /// A nurse watches the anaesthetic meanwhile; only where it is asked for
    Watch,
}

const HEADS: &str = "| who and where | exams | values | wrong in 1,000 | of these confirmed | not confirmed in 1,000 | utterances more than needed | questions a exam | seconds a tooth | on paper | ratio | ratio with copying | given up |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|";

pub fn run(options: &Options) -> anyhow::Result<Outcome> {
    let mut stuck = 0;
    let wants = |table: Table| options.table.is_none_or(|wanted| wanted == table);
    if wants(Table::Assumed) {
        println!("### What is assumed of people\n\n{}", assumed());
    }
    let few = (options.exams / 5).max(1);
    let tables = [
        (
            Table::Rooms,
            "### Rooms and people",
            options.exams,
            rooms(options.teeth),
        ),
        (
            Table::Steps,
            "### What each choice of the clinic gains",
            few,
            steps(options.teeth),
        ),
        (
            Table::Decides,
            "### What decides",
            few,
            decides(options.teeth),
        ),
        (
            Table::Attention,
            "### Attention",
            few,
            attention(options.teeth),
        ),
    ];
    for (table, title, exams, rooms) in tables {
        if wants(table) {
            println!("\n{title}\n\n{HEADS}");
            stuck += play(options, exams, &rooms)?;
        }
    }
    if options.table == Some(Table::Watch) {
        println!("{WATCH_HEADS}");
        for (name, room) in watch_rooms(options.teeth) {
            if name.contains(&options.room) {
                stuck += play_watch(options, &name, &room)?;
            }
        }
    }
    Ok(if stuck == 0 {
        Outcome::Done
    } else {
        Outcome::Problem
    })
}

/// Plays each room and prints its row; gives how many examinations were given up.
fn play(options: &Options, exams: u64, rooms: &[(String, Room)]) -> anyhow::Result<usize> {
    let mut stuck = 0;
    for (name, room) in rooms {
        if !name.contains(&options.room) {
            continue;
        }
        let mut total = Total::default();
        let folder = Folder::new()?;
        for seed in options.seed..options.seed + exams {
            let exam = simulated::examine(&folder.0, room, seed)?;
            let is_failure = exam.stuck || exam.wrong_confirmed > 0 || exam.unconfirmed > 0;
            if let (true, Some(file)) = (is_failure && !file_exists(options), &options.failure) {
                let mut text = format!("{name}, seed {seed}\n");
                for line in &exam.log {
                    writeln!(text, "{line}")?;
                }
                std::fs::write(file, text)?;
            }
            if options.log && seed == options.seed {
                println!("{}", exam.log.join("\n"));
            }
            total.add(&exam);
        }
        stuck += total.stuck;
        println!("{}", total.row(name));
    }
    Ok(stuck)
}

const WATCH_HEADS: &str = "| who and where | exams | signs and drugs | wrong in 1,000 | of these confirmed | not confirmed in 1,000 | utterances a round | intervals | missed in 100 | seconds lost a round | of the table's time | given up |\n|---|---|---|---|---|---|---|---|---|---|---|---|";

/// Rooms in which a nurse watches.
fn watch_rooms(teeth: usize) -> Vec<(String, Room)> {
    let forgetful = |room: Room, forgets| Room {
        watch: Some(simulated::Watch {
            forgets,
            ..simulated::Watch::default()
        }),
        ..room
    };
    let unreminded = |room: Room| Room {
        clinic: format!("{}[watch]\ninterval_minutes = 0\n", room.clinic),
        ..room
    };
    let usual = usual(teeth);
    named(vec![
        ("learner, quiet, loudspeaker", watched(learner(teeth))),
        ("usual, quiet, headset", watched(headset(&usual))),
        ("usual, quiet, loudspeaker", watched(usual.clone())),
        ("usual, noise, loudspeaker", watched(noisy(&usual))),
        (
            "practised, quiet, headset",
            watched(headset(&practised(teeth))),
        ),
        (
            "usual, quiet, loudspeaker; forgets every second interval",
            forgetful(usual.clone(), 0.5),
        ),
        (
            "usual, quiet, loudspeaker; the same without reminders",
            unreminded(forgetful(usual, 0.5)),
        ),
    ])
}

/// Plays a room with a watch and prints its row; gives how many examinations were given up.
fn play_watch(options: &Options, name: &str, room: &Room) -> anyhow::Result<usize> {
    let folder = Folder::new()?;
    let mut total = simulated::WatchOutcome::default();
    let (mut seconds, mut stuck) = (0.0, 0);
    for seed in options.seed..options.seed + options.exams {
        let exam = simulated::examine(&folder.0, room, seed)?;
        if options.log && seed == options.seed {
            println!("{}", exam.log.join("\n"));
        }
        let one = exam.watched;
        total.values += one.values;
        total.wrong += one.wrong;
        total.wrong_confirmed += one.wrong_confirmed;
        total.unconfirmed += one.unconfirmed;
        total.rounds += one.rounds;
        total.intervals += one.intervals;
        total.missed += one.missed;
        total.utterances += one.utterances;
        total.lost_seconds += one.lost_seconds;
        seconds += exam.seconds;
        stuck += usize::from(exam.stuck);
    }
    let per_1000 = |count: usize| count as f64 * 1000.0 / total.values.max(1) as f64;
    let rounds = total.rounds.max(1) as f64;
    println!(
        "| {name} | {} | {} | {:.2} | {:.2} | {:.2} | {:.1} | {} | {:.1} | {:.1} | {:.1} % | {stuck} |",
        options.exams,
        total.values,
        per_1000(total.wrong),
        per_1000(total.wrong_confirmed),
        per_1000(total.unconfirmed),
        total.utterances as f64 / rounds,
        total.intervals,
        total.missed as f64 * 100.0 / total.intervals.max(1) as f64,
        total.lost_seconds / rounds,
        total.lost_seconds * 100.0 / f64::max(seconds, 1.0),
    );
    Ok(stuck)
}

/// Where the invented visits go; gone with it.
struct Folder(PathBuf);

impl Folder {
    fn new() -> std::io::Result<Self> {
        let path = std::env::temp_dir().join(format!("sulcus-rehearsal-{}", std::process::id()));
        std::fs::create_dir_all(&path)?;
        Ok(Self(path))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // Left behind where it cannot be deleted: invented visits harm nobody.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn file_exists(options: &Options) -> bool {
    options.failure.as_ref().is_some_and(|file| file.exists())
}

/// The quickest of what a clinic may choose for practised people.
const BRISK: &str =
    "[conversation]\nread_back = \"short\"\nvoice_rate = 1.25\nnext_confirms = true\n";

/// The same where "confirm" is said or trodden, and "next" confirms nothing.
const BRISK_CONFIRM: &str = "[conversation]\nread_back = \"short\"\nvoice_rate = 1.25\n";

/// With a headset the read-back goes on while the next reading is called.
const OVER: &str = "read_back_goes_on = true\n";

/// Calls the next tooth while the read-back goes on; with a headset only.
fn over(room: &Room) -> Room {
    Room {
        speaks_over: true,
        clinic: format!("{}{OVER}", room.clinic),
        ..headset(room)
    }
}

fn noisy(room: &Room) -> Room {
    Room {
        ears: Ears::noisy(),
        ..room.clone()
    }
}

fn headset(room: &Room) -> Room {
    Room {
        hears_itself: false,
        ..room.clone()
    }
}

fn learner(teeth: usize) -> Room {
    Room {
        teeth,
        ..Room::default()
    }
}

fn usual(teeth: usize) -> Room {
    Room {
        manner: Manner::usual(),
        fast: 0.0,
        clinic: "[conversation]\nread_back = \"short\"\n".to_owned(),
        ..learner(teeth)
    }
}

fn practised(teeth: usize) -> Room {
    Room {
        manner: Manner::practised(),
        clinic: BRISK.to_owned(),
        ..usual(teeth)
    }
}

fn two_people(teeth: usize) -> Room {
    Room {
        manner: Manner::two_people(),
        clinic: BRISK_CONFIRM.to_owned(),
        ..usual(teeth)
    }
}

fn by_quadrant(teeth: usize) -> Room {
    Room {
        pace: Pace::EachQuadrant,
        manner: Manner {
            confirms: Confirms::Quadrant,
            ..Manner::practised()
        },
        clinic: BRISK_CONFIRM.to_owned(),
        ..usual(teeth)
    }
}

fn rooms(teeth: usize) -> Vec<(String, Room)> {
    let learner = learner(teeth);
    let fast = |room: Room| Room { fast: 0.5, ..room };
    let mut rooms = named(vec![
        ("learner, quiet, loudspeaker", learner.clone()),
        ("learner, noise, loudspeaker", noisy(&learner)),
        ("learner, quiet, headset, fast", fast(headset(&learner))),
        (
            "learner, noise, headset, fast",
            fast(noisy(&headset(&learner))),
        ),
        (
            "learner, quiet, headset, read-back by tooth",
            Room {
                pace: Pace::EachTooth,
                ..fast(headset(&learner))
            },
        ),
        (
            "learner, quiet, headset, read-back at confirm only",
            Room {
                pace: Pace::Quiet,
                ..fast(headset(&learner))
            },
        ),
        (
            "learner, noise, loudspeaker, nurse confirms",
            Room {
                manner: Manner {
                    confirms: Confirms::NurseWord,
                    ..Manner::learner()
                },
                ..noisy(&learner)
            },
        ),
        (
            "learner, noise, loudspeaker, every wrong read-back noticed",
            Room {
                inattention: 0.0,
                ..noisy(&learner)
            },
        ),
    ]);
    for (who, room) in [
        ("usual", usual(teeth)),
        ("practised", practised(teeth)),
        ("two people, pedal", two_people(teeth)),
        ("practised, quadrant in one go", by_quadrant(teeth)),
    ] {
        if ["practised", "two people, pedal"].contains(&who) {
            rooms.push((format!("{who}, quiet, headset, speaks over"), over(&room)));
            rooms.push((
                format!("{who}, noise, headset, speaks over"),
                noisy(&over(&room)),
            ));
        }
        rooms.push((format!("{who}, quiet, headset"), headset(&room)));
        rooms.push((format!("{who}, quiet, loudspeaker"), room.clone()));
        rooms.push((format!("{who}, noise, headset"), noisy(&headset(&room))));
        rooms.push((format!("{who}, noise, loudspeaker"), noisy(&room)));
    }
    rooms
}

/// One choice after the other, each with those above it.
fn steps(teeth: usize) -> Vec<(String, Room)> {
    let room = |clinic: &str, manner: Manner| Room {
        clinic: clinic.to_owned(),
        manner,
        ..headset(&practised(teeth))
    };
    let with = |confirms| Manner {
        confirms,
        ..Manner::practised()
    };
    named(vec![
        (
            "practised, quiet, headset; nothing chosen, \"confirm, next\"",
            room("", with(Confirms::InFlow)),
        ),
        (
            "... short read-backs",
            room(
                "[conversation]\nread_back = \"short\"\n",
                with(Confirms::InFlow),
            ),
        ),
        (
            "... voice a quarter faster",
            room(BRISK_CONFIRM, with(Confirms::InFlow)),
        ),
        ("... \"next\" confirms", room(BRISK, with(Confirms::Next))),
        (
            "... the same, confirmed at the end of the quadrant alone",
            room(BRISK_CONFIRM, with(Confirms::Quadrant)),
        ),
        (
            "... the same, a nurse says \"confirm\"",
            room(BRISK_CONFIRM, with(Confirms::NurseWord)),
        ),
        (
            "... the same, a nurse treads on a pedal",
            room(BRISK_CONFIRM, with(Confirms::NursePedal)),
        ),
        (
            "... \"next\" confirms, and the read-back goes on while the next is called",
            over(&practised(teeth)),
        ),
        (
            "... a nurse's pedal, and the read-back goes on",
            over(&two_people(teeth)),
        ),
        ("a quadrant in one go", headset(&by_quadrant(teeth))),
    ])
}

/// The practised vet who speaks over the read-backs, with a headset in quiet, one assumption changed at a time.
fn decides(teeth: usize) -> Vec<(String, Room)> {
    let base = over(&practised(teeth));
    let people = |change: &dyn Fn(&mut Manner)| {
        let mut room = base.clone();
        change(&mut room.manner);
        room
    };
    let paper = |change: &dyn Fn(&mut Scribe)| {
        let mut room = base.clone();
        change(&mut room.scribe);
        room
    };
    let program = |change: &dyn Fn(&mut Room)| {
        let mut room = base.clone();
        change(&mut room);
        room
    };
    named(vec![
        ("as assumed", base.clone()),
        (
            "probing a side takes 1.3 to 2.7 s",
            people(&|manner| manner.probe_ms = 1_300..2_700),
        ),
        (
            "probing a side takes 2.7 to 5.3 s",
            people(&|manner| manner.probe_ms = 2_700..5_300),
        ),
        (
            "a word takes 0.30 s",
            people(&|manner| manner.word_ms = 300),
        ),
        (
            "a word takes 0.45 s",
            people(&|manner| manner.word_ms = 450),
        ),
        (
            "reaction 0.6 to 1.5 s",
            people(&|manner| manner.react_ms = 600..1_500),
        ),
        (
            "gap after a read-back 0.5 s",
            people(&|manner| manner.gap_ms = 500),
        ),
        (
            "hands stand still while listening",
            people(&|manner| manner.works_ahead = false),
        ),
        (
            "each tooth by its number",
            people(&|manner| manner.says_numbers = true),
        ),
        (
            "one piece after the other",
            people(&|manner| manner.breath = simulated::manner::Breath::Piece),
        ),
        (
            "waits for the end of each read-back",
            program(&|room| room.speaks_over = false),
        ),
        (
            "spoken over, wrong values pass five times as often",
            program(&|room| room.over_factor = 5.0),
        ),
        (
            "the program decides after 0.25 s",
            program(&|room| room.decision_ms = 250),
        ),
        (
            "the program decides after 0.8 s",
            program(&|room| room.decision_ms = 800),
        ),
        (
            "one utterance in twelve is unclear",
            program(&|room| room.ears.unclear = 0.08),
        ),
        (
            "four times as many words are misheard",
            program(&|room| room.ears.confusion = 0.016),
        ),
        (
            "the scribe writes a value in 0.4 s",
            paper(&|scribe| scribe.write_value_ms = 400),
        ),
        (
            "the scribe writes a value in 1.2 s",
            paper(&|scribe| scribe.write_value_ms = 1_200),
        ),
        (
            "the scribe finds the row in 0.5 s",
            paper(&|scribe| scribe.find_row_ms = 500),
        ),
        (
            "the scribe asks for one call in twenty",
            paper(&|scribe| scribe.asks = 0.05),
        ),
        (
            "copying takes 0.8 s a value",
            paper(&|scribe| scribe.copy_value_ms = 800),
        ),
        (
            "copying takes 2.5 s a value",
            paper(&|scribe| scribe.copy_value_ms = 2_500),
        ),
    ])
}

/// Each pace by the share of wrong read-backs that are nodded through, in noise, where there is something to notice.
fn attention(teeth: usize) -> Vec<(String, Room)> {
    let mut rooms = Vec::new();
    for (who, room) in [
        ("learner, loudspeaker", learner(teeth)),
        ("usual, loudspeaker", usual(teeth)),
        ("practised, headset", headset(&practised(teeth))),
        ("practised, headset, speaks over", over(&practised(teeth))),
        ("two people, headset, speaks over", over(&two_people(teeth))),
        ("quadrant in one go, headset", headset(&by_quadrant(teeth))),
    ] {
        for (share, inattention) in [("1 of 50", 0.02), ("1 of 20", 0.05), ("1 of 5", 0.2)] {
            rooms.push((
                format!("{who}, noise, {share} unnoticed"),
                Room {
                    inattention,
                    ..noisy(&room)
                },
            ));
        }
    }
    rooms
}

type Named<'a> = (&'a str, Room);

fn named(rooms: Vec<Named<'_>>) -> Vec<(String, Room)> {
    rooms
        .into_iter()
        .map(|(name, room)| (name.to_owned(), room))
        .collect()
}

#[derive(Debug, Default)]
struct Total {
    exams: usize,
    values: usize,
    wrong: usize,
    wrong_confirmed: usize,
    unconfirmed: usize,
    utterances: usize,
    needed: usize,
    questions: usize,
    teeth: usize,
    seconds: f64,
    scribe_seconds: f64,
    copy_seconds: f64,
    stuck: usize,
}

impl Total {
    fn add(&mut self, exam: &Exam) {
        self.exams += 1;
        self.values += exam.values;
        self.wrong += exam.wrong;
        self.wrong_confirmed += exam.wrong_confirmed;
        self.unconfirmed += exam.unconfirmed;
        self.utterances += exam.utterances;
        self.needed += exam.utterances_needed;
        self.questions += exam.questions;
        self.teeth += exam.teeth;
        self.seconds += exam.seconds;
        self.scribe_seconds += exam.scribe_seconds;
        self.copy_seconds += exam.copy_seconds;
        self.stuck += usize::from(exam.stuck);
    }

    fn row(&self, name: &str) -> String {
        let per_1000 = |count: usize| count as f64 * 1000.0 / self.values.max(1) as f64;
        let teeth = self.teeth.max(1) as f64;
        format!(
            "| {name} | {} | {} | {:.2} | {:.2} | {:.2} | {:+.0} % | {:.1} | {:.1} | {:.1} + {:.1} | {:.2} | {:.2} | {} |",
            self.exams,
            self.values,
            per_1000(self.wrong),
            per_1000(self.wrong_confirmed),
            per_1000(self.unconfirmed),
            (self.utterances as f64 / self.needed.max(1) as f64 - 1.0) * 100.0,
            self.questions as f64 / self.exams.max(1) as f64,
            self.seconds / teeth,
            self.scribe_seconds / teeth,
            self.copy_seconds / teeth,
            self.seconds / self.scribe_seconds,
            self.seconds / (self.scribe_seconds + self.copy_seconds),
            self.stuck
        )
    }
}

fn assumed() -> String {
    let mut text = String::from("| what | assumed | may be | from where |\n|---|---|---|---|");
    for figure in &FIGURES {
        let _ = write!(
            text,
            "\n| {} | {} | {} | {} |",
            figure.what, figure.value, figure.range, figure.source
        );
    }
    text
}
