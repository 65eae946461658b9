//! The same examination on paper: the same hands and the same calls, a second person who writes, and the copying
//! afterwards. Nothing is read back, so that what was written wrong stays unnoticed; how much that is, is not modelled.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

use super::manner::Manner;
use super::meant::Exam;
use super::person::{unit_ms, units};

/// The second person's share; see `manner::FIGURES`.
#[derive(Debug, Clone, PartialEq)]
pub struct Scribe {
    pub find_row_ms: u64,
    pub write_value_ms: u64,
    /// Part of the calls that are asked for again.
    pub asks: f64,
    pub copy_value_ms: u64,
}

impl Default for Scribe {
    fn default() -> Self {
        Self {
            find_row_ms: 1_000,
            write_value_ms: 700,
            asks: 0.02,
            copy_value_ms: 1_500,
        }
    }
}

/// Seconds at the table, and of copying afterwards.
pub fn examine(
    exam: &Exam,
    manner: &Manner,
    scribe: &Scribe,
    chatter: f64,
    random: &mut ChaCha8Rng,
) -> (f64, f64) {
    let (mut mouth_ms, mut pen_ms, mut hands_ms) = (0_u64, 0_u64, None);
    let mut values = 0;
    for plan in &exam.teeth {
        for (at, unit) in units(plan, manner.breath).iter().enumerate() {
            let probed_ms = unit_ms(plan, unit, manner, random);
            // The first side of all: nothing was called yet while it was probed.
            let ready_ms: u64 = hands_ms.unwrap_or(0) + probed_ms;
            let way = match (at, manner.says_numbers) {
                (0, true) => 4,
                (0, false) => 1,
                _ => 0,
            };
            let words: usize = unit
                .iter()
                .map(|piece| plan.pieces[*piece].words.len())
                .sum();
            let call_ms = (words + way) as u64 * manner.word_ms;
            // Whoever writes can keep no second call in mind: the next begins when the pen is at rest.
            let mut start_ms = ready_ms.max(mouth_ms).max(pen_ms);
            if random.random_bool(chatter) {
                start_ms += 2_500;
            }
            let first_start_ms = start_ms;
            if random.random_bool(scribe.asks) {
                start_ms += call_ms + random.random_range(manner.react_ms.clone());
            }
            mouth_ms = start_ms + call_ms;
            let count: usize = unit
                .iter()
                .map(|piece| plan.pieces[*piece].values.len())
                .sum();
            values += count;
            let written_ms =
                unit.len() as u64 * scribe.find_row_ms + count as u64 * scribe.write_value_ms;
            pen_ms = mouth_ms.max(start_ms + written_ms);
            hands_ms = Some(if manner.works_ahead {
                first_start_ms
            } else {
                pen_ms
            });
        }
    }
    (
        pen_ms as f64 / 1000.0,
        values as f64 * scribe.copy_value_ms as f64 / 1000.0,
    )
}
