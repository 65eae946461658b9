//! `sulcus begin`: leads a new clinic through what the program should know, checks the sound, lets people practise, and
//! writes `clinic.toml`. It can be left at any question and taken up again.

use std::io::BufRead;
use std::path::Path;

use clap::Parser;
use sha2::{Digest, Sha256};

use crate::app::clinic;
use crate::app::first_hour::{Answers, FILE, QUESTIONS, Question};
use crate::commands::{Outcome, doctor, practise};
use crate::config::Config;
use crate::files::write_file;

#[derive(Debug, clap::Args)]
pub struct Options {
    /// Ask everything again, with the answers that were given before as what holds without an answer
    #[arg(long)]
    again: bool,
}

/// What somebody typed.
enum Typed {
    Answer(String),
    Back,
    More,
    /// Goes on another time; also where nothing more comes.
    Later,
}

fn typed(lines: &mut dyn BufRead) -> anyhow::Result<Typed> {
    let mut line = String::new();
    if lines.read_line(&mut line)? == 0 {
        println!();
        return Ok(Typed::Later);
    }
    Ok(match line.trim() {
        "back" => Typed::Back,
        "later" => Typed::Later,
        "?" => Typed::More,
        answer => Typed::Answer(answer.to_owned()),
    })
}

pub fn run(options: &Options, config: &Config) -> anyhow::Result<Outcome> {
    std::fs::create_dir_all(&config.data)?;
    let kept = config.data.join(FILE);
    let mut answers = match std::fs::read_to_string(&kept) {
        Ok(text) => Answers::read(&text).map_err(|why| {
            anyhow::anyhow!(
                "{}: {why}; delete it to be asked from the beginning",
                kept.display()
            )
        })?,
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Answers::default(),
        Err(error) => return Err(error.into()),
    };
    let stdin = std::io::stdin();
    let mut lines = stdin.lock();
    println!(
        "Answer, or press Enter for what stands in [brackets]. \"?\" tells more, \"back\" goes back, \"later\" leaves."
    );
    let mut at = if options.again {
        Some(0)
    } else {
        answers.next()
    };
    if at.is_none() {
        println!("Everything was answered: sulcus begin --again asks anew.");
    }
    let mut about = "";
    while let Some(number) = at {
        let question = &QUESTIONS[number];
        if question.about != about {
            about = question.about;
            println!("\n{about}");
        }
        ask(question, &answers);
        match typed(&mut lines)? {
            Typed::Later => {
                println!("Kept. sulcus begin goes on here.");
                return Ok(Outcome::Done);
            }
            Typed::More => {
                println!("   {}", question.more);
                continue;
            }
            Typed::Back => {
                at = Some(number.saturating_sub(1));
                continue;
            }
            Typed::Answer(text) => {
                let text = match answers.get(question.key) {
                    Some(before) if text.is_empty() => before.to_owned(),
                    _ => text,
                };
                // "none" takes an answer back.
                let text = if text == "none" { String::new() } else { text };
                if let Err(why) = answers.take(question, &text) {
                    println!("   Not taken: {why}");
                    continue;
                }
                write_file(&kept, answers.to_text().as_bytes())?;
            }
        }
        at = Some(number + 1).filter(|next| *next < QUESTIONS.len());
    }
    let outcome = write(config, &mut answers, &kept)?;
    sound(&mut lines, config, &answers)?;
    Ok(outcome)
}

fn ask(question: &Question, answers: &Answers) {
    let holds = answers
        .get(question.key)
        .map_or_else(|| question.kind.without(), str::to_owned);
    let may_be = match question.kind {
        crate::app::first_hour::Kind::Choice(words) => format!(" ({})", words.join(", ")),
        crate::app::first_hour::Kind::YesNo => " (yes, no)".to_owned(),
        _ => String::new(),
    };
    println!("{}{may_be}? [{holds}]", question.words);
}

fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Writes the clinic file; one that somebody wrote or changed by hand is left as it is, and the new one laid beside it.
fn write(config: &Config, answers: &mut Answers, kept: &Path) -> anyhow::Result<Outcome> {
    let text = answers.clinic_file();
    let path = config.data.join(clinic::FILE);
    let is_ours = match std::fs::read(&path) {
        Ok(bytes) => answers.written.as_deref() == Some(&digest(&bytes)),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => true,
        Err(error) => return Err(error.into()),
    };
    if is_ours {
        write_file(&path, text.as_bytes())?;
        answers.written = Some(digest(text.as_bytes()));
        write_file(kept, answers.to_text().as_bytes())?;
        println!("\nWritten: {}", path.display());
        return Ok(Outcome::Done);
    }
    let beside = config.data.join("clinic.new.toml");
    write_file(&beside, text.as_bytes())?;
    println!(
        "\n{} was written or changed by hand and stays as it is. The answers lie in {}: compare the two, and rename it if you want it.",
        path.display(),
        beside.display()
    );
    Ok(Outcome::Done)
}

/// Looks at the sound, and lets people practise, where they want that now.
fn sound(lines: &mut dyn BufRead, config: &Config, answers: &Answers) -> anyhow::Result<()> {
    let mut wants = |question: &str| -> anyhow::Result<bool> {
        println!("\n{question} (yes, no)? [no]");
        Ok(matches!(typed(lines)?, Typed::Answer(text) if matches!(text.as_str(), "yes" | "y")))
    };
    if wants("Check microphone, loudspeaker, models and disk now")? {
        // What it found is told with what to do; the questions go on.
        let looked = options::<doctor::Options>(&[]).and_then(|all| doctor::run(&all, config));
        if let Err(why) = looked {
            println!("   {why:#}");
        }
    }
    for person in answers.people() {
        let question =
            format!("Practise now with {person}: twelve readings, two minutes, and a score");
        if !wants(&question)? {
            continue;
        }
        let practised = options(&["--person", person]).and_then(|all| practise::run(&all, config));
        if let Err(why) = practised {
            println!("   {why:#}");
        }
    }
    println!("\nNext:");
    for person in answers.people() {
        println!("  sulcus practise --person {person:?}");
    }
    let headset = if answers.has_headset() {
        " --headset"
    } else {
        ""
    };
    println!("  sulcus listen --page{headset} --species dog --patient NAME");
    Ok(())
}

/// The options of a command, with all that may be left out left out.
fn options<O: clap::Args>(given: &[&str]) -> anyhow::Result<O> {
    let named = [&["sulcus"], given].concat();
    Ok(Alone::try_parse_from(named)?.options)
}

#[derive(Debug, Parser)]
struct Alone<O: clap::Args> {
    #[command(flatten)]
    options: O,
}
