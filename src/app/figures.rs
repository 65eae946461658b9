//! How long people wait, measured at the table: from the end of speech to the tone, and to the first sound of the
//! answer. Writes a file; decides nothing.
//!
//! The times end where sound is handed to the loudspeaker; its own delay (printed by no driver reliably) comes on top.

use std::io::Write as _;
use std::path::PathBuf;
use std::time::Instant;

use crate::speech::listener::Heard;
use crate::voice::{Cue, VoiceEvent};

/// One utterance that was heard. Times in milliseconds.
#[derive(Debug, Clone, Default, PartialEq)]
struct Row {
    /// End of speech to the decision that the utterance is over.
    decision_ms: f64,
    recognition_ms: f64,
    /// To the tone "heard": from the decision, or from the first silence where it comes with that.
    tone_ms: Option<f64>,
    /// End of speech to the first sound of what is said back.
    answer_ms: Option<f64>,
}

pub struct Figures {
    file: PathBuf,
    rows: Vec<Row>,
    /// The utterance that was heard last: when it was decided.
    decided: Option<Instant>,
    /// The newest first silence.
    hushed: Option<Instant>,
    /// From that to its tone; of the utterance that is yet to be decided.
    hushed_tone_ms: Option<f64>,
}

impl Figures {
    pub fn new(file: PathBuf) -> Self {
        Self {
            file,
            rows: Vec::new(),
            decided: None,
            hushed: None,
            hushed_tone_ms: None,
        }
    }

    pub fn hushed(&mut self) {
        self.hushed = Some(Instant::now());
    }

    pub fn heard(&mut self, heard: &Heard) {
        self.hushed = None;
        let tone_ms = self.hushed_tone_ms.take();
        if heard.hearing.unheard.is_some() {
            self.decided = None;
            return;
        }
        self.rows.push(Row {
            decision_ms: heard.latency.silence_ms as f64 + heard.latency.waited_ms,
            recognition_ms: heard.latency.recognition_ms,
            tone_ms,
            ..Row::default()
        });
        self.decided = Some(Instant::now());
    }

    pub fn voice(&mut self, event: &VoiceEvent) -> std::io::Result<()> {
        let is_tone = matches!(event, VoiceEvent::CueStarted { cue: Cue::Heard });
        if is_tone && let Some(hushed) = self.hushed.take() {
            self.hushed_tone_ms = Some(hushed.elapsed().as_secs_f64() * 1000.0);
            return Ok(());
        }
        let (Some(decided), Some(row)) = (self.decided, self.rows.last_mut()) else {
            return Ok(());
        };
        let since_ms = decided.elapsed().as_secs_f64() * 1000.0;
        match event {
            VoiceEvent::CueStarted { .. } if is_tone && row.tone_ms.is_none() => {
                row.tone_ms = Some(since_ms);
            }
            VoiceEvent::Started { .. } if row.answer_ms.is_none() => {
                row.answer_ms = Some(row.decision_ms + since_ms);
                return self.save();
            }
            _ => {}
        }
        Ok(())
    }

    /// The whole table, after each answer: small, and there even if the program is killed.
    fn save(&self) -> std::io::Result<()> {
        let mut file = std::fs::File::create(&self.file)?;
        type Value = fn(&Row) -> Option<f64>;
        let columns: [(&str, Value); 4] = [
            ("end of speech to decision", |row| Some(row.decision_ms)),
            ("recognition", |row| Some(row.recognition_ms)),
            ("decision or first silence to tone", |row| row.tone_ms),
            ("end of speech to answer", |row| row.answer_ms),
        ];
        for (name, value) in columns {
            let mut values: Vec<f64> = self.rows.iter().filter_map(value).collect();
            values.sort_by(f64::total_cmp);
            writeln!(
                file,
                "# {name}: {} utterances, p50 {:.0} ms, p95 {:.0} ms",
                values.len(),
                share(&values, 0.5),
                share(&values, 0.95)
            )?;
        }
        writeln!(file, "decision_ms\trecognition_ms\ttone_ms\tanswer_ms")?;
        for row in &self.rows {
            let shown = |ms: Option<f64>| ms.map_or_else(String::new, |ms| format!("{ms:.0}"));
            writeln!(
                file,
                "{:.0}\t{:.0}\t{}\t{}",
                row.decision_ms,
                row.recognition_ms,
                shown(row.tone_ms),
                shown(row.answer_ms)
            )?;
        }
        Ok(())
    }
}

/// The value below which this share of the sorted values lies; 0 where there are none.
pub fn share(sorted: &[f64], part: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    sorted
        .get((last as f64 * part).ceil() as usize)
        .copied()
        .unwrap_or(0.0)
}
