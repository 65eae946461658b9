//! Readings from a monitor that sends its values: one JSON object a line, over a Unix socket or from a file that grows.
//! The form is this program's own (docs/anaesthetic.md); no device's protocol is spoken here.
//!
//! Invariants: what a machine sends is marked as machine-read and confirms nothing; a line that is no reading is
//! refused and told once; of one sign no more than one reading in the time set is kept.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

use crate::record::{Draft, Event, Heard, How, Record};
use crate::terms::vital::{Plausible, Reading, VitalSign};
use crate::terms::watch::Watched;
use crate::web::ReadingIn;
use crossbeam_channel::{Receiver, Sender};

/// The longest line that is a reading: a few short fields.
const LINE_BYTES_MAX: usize = 1_000;

/// How often a file that has ended is looked at again.
const LOOK_AGAIN: Duration = Duration::from_millis(500);

/// Readings of one sign nearer in time than this are passed over: a monitor sends one each second, and a record of an
/// anaesthetic holds one each few minutes.
const APART_MS: u64 = 60_000;

/// What came from the monitor.
#[derive(Debug, Clone, PartialEq)]
pub enum Sent {
    Reading(Reading),
    /// A line that is none, and why.
    Refused(String),
    /// The file or socket cannot be read any more.
    Lost(String),
}

/// The socket or file could not be opened.
#[derive(Debug, thiserror::Error)]
#[error("cannot take readings from {path}: {why}")]
pub struct MonitorError {
    pub path: PathBuf,
    pub why: std::io::Error,
}

/// Starts to take readings. An existing file or pipe is read as it grows; where there is nothing, a socket is made.
pub fn open(path: &Path) -> Result<Receiver<Sent>, MonitorError> {
    let fail = |why| MonitorError {
        path: path.to_owned(),
        why,
    };
    let (sender, receiver) = crossbeam_channel::bounded(64);
    match std::fs::metadata(path) {
        Ok(found) if is_socket(&found) => {
            // Left by a program that ended: only a socket is removed, and only if nobody answers.
            if std::os::unix::net::UnixStream::connect(path).is_ok() {
                return Err(fail(std::io::Error::other(
                    "another program listens there already",
                )));
            }
            std::fs::remove_file(path).map_err(fail)?;
            listen(path, sender).map_err(fail)?;
        }
        Ok(_) => {
            let file = std::fs::File::open(path).map_err(fail)?;
            std::thread::spawn(move || follow(file, &sender));
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
            listen(path, sender).map_err(fail)?;
        }
        Err(error) => return Err(fail(error)),
    }
    Ok(receiver)
}

fn is_socket(found: &std::fs::Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt as _;
    found.file_type().is_socket()
}

/// One monitor after another; each connection is read to its end.
fn listen(path: &Path, sender: Sender<Sent>) -> std::io::Result<()> {
    let socket = std::os::unix::net::UnixListener::bind(path)?;
    std::thread::spawn(move || {
        for stream in socket.incoming() {
            match stream {
                Ok(stream) => {
                    if !lines(BufReader::new(stream), &sender, false) {
                        return;
                    }
                }
                Err(error) => {
                    // Nobody may be listening any more.
                    let _ = sender.send(Sent::Lost(error.to_string()));
                    return;
                }
            }
        }
    });
    Ok(())
}

fn follow(file: std::fs::File, sender: &Sender<Sent>) {
    lines(BufReader::new(file), sender, true);
}

/// Sends on what each line is. False where nobody takes it any more.
fn lines(mut from: impl BufRead, sender: &Sender<Sent>, is_growing: bool) -> bool {
    let mut line = Vec::new();
    loop {
        let left = (LINE_BYTES_MAX + 1).saturating_sub(line.len()) as u64;
        match from.by_ref().take(left).read_until(b'\n', &mut line) {
            Ok(0) if is_growing => {
                std::thread::sleep(LOOK_AGAIN);
                continue;
            }
            Ok(0) => return line.is_empty() || send(sender, &line),
            Ok(_) if line.last() == Some(&b'\n') => {}
            // The rest of the line is not written yet, or it is too long to be a reading.
            Ok(_) if line.len() <= LINE_BYTES_MAX => continue,
            Ok(_) => {
                if sender
                    .send(Sent::Refused("the line is too long".into()))
                    .is_err()
                    || skip_line(&mut from).is_err()
                {
                    return false;
                }
                line.clear();
                continue;
            }
            Err(error) => return sender.send(Sent::Lost(error.to_string())).is_ok(),
        }
        if !send(sender, &line) {
            return false;
        }
        line.clear();
    }
}

fn skip_line(from: &mut impl BufRead) -> std::io::Result<()> {
    loop {
        let buffer = from.fill_buf()?;
        if buffer.is_empty() {
            return Ok(());
        }
        let (used, is_end) = match buffer.iter().position(|byte| *byte == b'\n') {
            Some(at) => (at + 1, true),
            None => (buffer.len(), false),
        };
        from.consume(used);
        if is_end {
            return Ok(());
        }
    }
}

fn send(sender: &Sender<Sent>, line: &[u8]) -> bool {
    let text = String::from_utf8_lossy(line);
    if text.trim().is_empty() {
        return true;
    }
    let sent = match reading(text.trim()) {
        Ok(reading) => Sent::Reading(reading),
        Err(why) => Sent::Refused(why),
    };
    sender.send(sent).is_ok()
}

/// What a line says.
pub fn reading(line: &str) -> Result<Reading, String> {
    let line: ReadingIn = serde_json::from_str(line).map_err(|error| error.to_string())?;
    line.reading()
}

/// Decides which readings are kept.
#[derive(Debug, Default)]
pub struct Keeper {
    kept_at_ms: BTreeMap<VitalSign, u64>,
    has_told: bool,
}

/// What becomes of something sent.
#[derive(Debug, Clone, PartialEq)]
pub enum Kept {
    Draft(Box<Draft>),
    /// To be told, once.
    Told(String),
    Nothing,
}

impl Keeper {
    pub fn take(&mut self, sent: Sent, record: &Record, now_ms: u64) -> Kept {
        match sent {
            Sent::Lost(why) => Kept::Told(format!("the monitor's readings ended: {why}")),
            Sent::Refused(why) => self.tell_once(&why),
            Sent::Reading(reading) => {
                if let Plausible::Refuse(range) = reading.plausible(record.patient.species) {
                    // An artefact: a sensor that fell off reads nonsense, and nobody is there to ask.
                    let why = format!(
                        "{} is outside {} to {}",
                        reading.text(),
                        crate::terms::vital::decimal(range.possible.0),
                        crate::terms::vital::decimal(range.possible.1)
                    );
                    return self.tell_once(&why);
                }
                let is_near = self
                    .kept_at_ms
                    .get(&reading.sign)
                    .is_some_and(|at| now_ms.saturating_sub(*at) < APART_MS);
                if is_near || record.phase == crate::record::fold::Phase::Finished {
                    return Kept::Nothing;
                }
                self.kept_at_ms.insert(reading.sign, now_ms);
                let heard = Heard {
                    how: How::Machine,
                    confidence: 1.0,
                    engine: "monitor".into(),
                    ..Heard::default()
                };
                let event = Event::WatchRecorded {
                    what: Watched::Vital(reading),
                    challenge: None,
                };
                Kept::Draft(Box::new(Draft::new(event, Some(&heard))))
            }
        }
    }

    fn tell_once(&mut self, why: &str) -> Kept {
        if std::mem::replace(&mut self.has_told, true) {
            return Kept::Nothing;
        }
        Kept::Told(format!(
            "the monitor sends lines that are no readings, and they are left out (told once): {why}"
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_a_reading_or_is_refused_with_its_reason() {
        let text = |line: &str| reading(line).map(|reading| reading.text());
        assert_eq!(
            text(r#"{"sign":"heart_rate","value":118}"#),
            Ok("heart rate 118/min".into())
        );
        assert_eq!(
            text(
                r#"{"sign":"pressure","systolic":110,"diastolic":60,"mean":75,"method":"oscillometric"}"#
            ),
            Ok("pressure 110/60 (75) mmHg, oscillometric".into())
        );
        assert_eq!(
            text(r#"{"sign":"temperature","value":37.4}"#),
            Ok("temperature 37.4 °C".into())
        );
        assert!(text(r#"{"sign":"heart_rate","not_reading":true}"#).is_ok());
        for bad in [
            "HR 120",
            "{}",
            r#"{"sign":"heart_rate"}"#,
            r#"{"sign":"heart_rate","value":-1}"#,
            r#"{"sign":"heart_rate","value":1e9}"#,
            r#"{"sign":"hearts","value":1}"#,
            r#"{"sign":"heart_rate","value":118,"alarm":true}"#,
            r#"{"sign":"jaw_tone","value":3}"#,
        ] {
            assert!(text(bad).is_err(), "{bad}");
        }
    }
}
