//! `sulcus rehearse` (for developers): thousands of examinations in simulated time, as a table for the documents.

use std::fmt::Write as _;
use std::path::PathBuf;

use crate::app::simulated::{self, Ears, Outcome as Exam, Room};
use crate::commands::Outcome;
use crate::grammar::intent::Pace;

/// A practised scribe's share of an examination on paper, in seconds. No source: an estimate, to be measured
/// anywhere that differs.
const WRITE_A_VALUE_S: f64 = 1.2;
/// Copying the sheet into the record afterwards.
const COPY_A_VALUE_S: f64 = 1.5;
/// The vet speaks and probes as in the rehearsal.
const PROBE_A_PIECE_S: f64 = 3.0;
const SPEAK_A_WORD_S: f64 = 0.36;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Examinations in each room
    #[arg(long, default_value_t = 1000)]
    exams: u64,

    /// First seed
    #[arg(long, default_value_t = 1)]
    seed: u64,

    /// Teeth in each examination
    #[arg(long, default_value_t = 42)]
    teeth: usize,

    /// Only the rooms whose name holds this
    #[arg(long, value_name = "PART", default_value = "")]
    room: String,

    /// Print what was said in the first examination that went wrong, in this file
    #[arg(long, value_name = "FILE")]
    failure: Option<PathBuf>,
}

pub fn run(options: &Options) -> anyhow::Result<Outcome> {
    println!(
        "| room | exams | values | wrong in 1,000 | of these confirmed | not confirmed in 1,000 | utterances more than needed | questions a exam | seconds a tooth | given up |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|");
    let mut stuck = 0;
    for (name, room) in rooms(options.teeth) {
        if !name.contains(&options.room) {
            continue;
        }
        let mut total = Total::default();
        let folder = Folder::new()?;
        for seed in options.seed..options.seed + options.exams {
            let exam = simulated::examine(&folder.0, &room, seed)?;
            let is_failure = exam.stuck || exam.wrong_confirmed > 0 || exam.unconfirmed > 0;
            if let (true, Some(file)) = (is_failure && !file_exists(options), &options.failure) {
                let mut text = format!("{name}, seed {seed}\n");
                for line in &exam.log {
                    writeln!(text, "{line}")?;
                }
                std::fs::write(file, text)?;
            }
            total.add(&exam);
        }
        stuck += total.stuck;
        println!("{}", total.row(name));
    }
    println!("\n{}", paper());
    Ok(if stuck == 0 {
        Outcome::Done
    } else {
        Outcome::Problem
    })
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

fn rooms(teeth: usize) -> Vec<(&'static str, Room)> {
    let quiet = Room {
        teeth,
        ..Room::default()
    };
    let noisy = Room {
        ears: Ears::noisy(),
        ..quiet.clone()
    };
    let headset = Room {
        hears_itself: false,
        fast: 0.5,
        ..quiet.clone()
    };
    vec![
        ("quiet, loudspeaker", quiet.clone()),
        ("noise, loudspeaker", noisy.clone()),
        ("quiet, headset, fast vet", headset.clone()),
        (
            "noise, headset, fast vet",
            Room {
                ears: Ears::noisy(),
                ..headset.clone()
            },
        ),
        (
            "quiet, headset, read-back by tooth",
            Room {
                pace: Pace::EachTooth,
                ..headset.clone()
            },
        ),
        (
            "quiet, read-back at confirm only",
            Room {
                pace: Pace::Quiet,
                ..headset
            },
        ),
        (
            "noise, nurse confirms",
            Room {
                nurse_confirms: true,
                ..noisy.clone()
            },
        ),
        (
            "noise, every wrong read-back noticed",
            Room {
                inattention: 0.0,
                ..noisy
            },
        ),
    ]
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
        self.stuck += usize::from(exam.stuck);
    }

    fn row(&self, name: &str) -> String {
        let per_1000 = |count: usize| count as f64 * 1000.0 / self.values.max(1) as f64;
        format!(
            "| {name} | {} | {} | {:.2} | {:.2} | {:.2} | {:+.0} % | {:.1} | {:.1} | {} |",
            self.exams,
            self.values,
            per_1000(self.wrong),
            per_1000(self.wrong_confirmed),
            per_1000(self.unconfirmed),
            (self.utterances as f64 / self.needed.max(1) as f64 - 1.0) * 100.0,
            self.questions as f64 / self.exams.max(1) as f64,
            self.seconds / self.teeth.max(1) as f64,
            self.stuck
        )
    }
}

/// The same tooth with a scribe: two sides and one finding more, said, written, and copied afterwards.
fn paper() -> String {
    let (pieces, values, words) = (3.0, 7.0, 4.0 + 2.0 * 4.0 + 2.0);
    let dictated = pieces * PROBE_A_PIECE_S + words * SPEAK_A_WORD_S;
    let waited = (values * WRITE_A_VALUE_S - words * SPEAK_A_WORD_S).max(0.0);
    format!(
        "Paper and scribe, by estimate: {:.1} s a tooth at the table ({PROBE_A_PIECE_S} s of probing a piece, \
         {SPEAK_A_WORD_S} s a word, {WRITE_A_VALUE_S} s of writing a value), and {:.1} s a tooth of copying afterwards \
         ({COPY_A_VALUE_S} s a value).",
        dictated + waited,
        values * COPY_A_VALUE_S
    )
}
