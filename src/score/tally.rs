//! Counts what became of each clip, and sums it up.

use serde::Serialize;

use crate::speech::value;
use crate::speech::{Hearing, Unheard};

/// What became of one clip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Fate {
    /// Said what the grammar allows; entered with the right values.
    Right,
    /// Said what the grammar allows; entered with a wrong value. The dangerous one.
    Wrong,
    /// Said what the grammar allows; not entered.
    Refused,
    /// Said what the grammar does not allow; not entered.
    KeptOut,
    /// Said what the grammar does not allow; entered all the same.
    FalseEntry,
}

/// One clip, for the JSON output and for tuning.
#[derive(Debug, Clone, Serialize)]
pub struct ClipResult {
    pub name: String,
    pub said: String,
    /// Best sentence, entered or not.
    pub heard: Option<String>,
    pub fate: Fate,
    /// Why it was not entered.
    pub unheard: Option<&'static str>,
    /// The sentence has the right words, "oh" and "zero" told apart.
    pub same_words: bool,
    /// The best sentence, entered or not, has the right values.
    pub same_values: bool,
    pub word_errors: usize,
    pub words_said: usize,
    pub value_errors: usize,
    pub values_said: usize,
    pub sound_seconds: f64,
    pub recognition_seconds: f64,
    pub free_text: Option<String>,
    /// Log probabilities of the best sentences.
    pub hypotheses: Vec<(String, f32)>,
    pub figures: serde_json::Map<String, serde_json::Value>,
}

/// Compares one hearing with what was said. `allowed`: the grammar accepts what was said. `is_same`: two sentences of
/// other values may mean the same all the same ("disto lingual" and "distolingual").
pub fn compare(
    name: &str,
    said: &[String],
    allowed: bool,
    is_same: &dyn Fn(&[String], &[String]) -> bool,
    hearing: &Hearing,
    sound_seconds: f64,
    recognition_seconds: f64,
) -> ClipResult {
    let best = hearing.hypotheses.first().map(|best| best.words.as_slice());
    let entered = hearing.unheard.is_none() && best.is_some();
    let heard = best.unwrap_or_default();
    let (said_values, mut heard_values) = (value::values(said), value::values(heard));
    let same_values = said_values == heard_values || is_same(said, heard);
    if same_values {
        heard_values.clone_from(&said_values);
    }
    let fate = match (allowed, entered) {
        (true, true) if same_values => Fate::Right,
        (true, true) => Fate::Wrong,
        (true, false) => Fate::Refused,
        (false, false) => Fate::KeptOut,
        (false, true) => Fate::FalseEntry,
    };
    let (heard_words, heard_values) = if entered {
        (heard, heard_values.as_slice())
    } else {
        (&[][..], &[][..])
    };
    ClipResult {
        name: name.to_owned(),
        said: said.join(" "),
        heard: best.map(|words| words.join(" ")),
        fate,
        unheard: hearing.unheard.map(unheard_name),
        same_words: said == heard,
        same_values,
        word_errors: value::word_errors(said, heard_words),
        words_said: said.len(),
        value_errors: value::word_errors(&said_values, heard_values),
        values_said: said_values.len(),
        sound_seconds,
        recognition_seconds,
        free_text: hearing.free_text.clone(),
        hypotheses: hearing
            .hypotheses
            .iter()
            .map(|h| (h.words.join(" "), h.log_probability))
            .collect(),
        figures: hearing
            .figures
            .iter()
            .map(|&(name, figure)| (name.to_owned(), figure.into()))
            .collect(),
    }
}

fn unheard_name(unheard: Unheard) -> &'static str {
    match unheard {
        Unheard::NoSpeech => "no_speech",
        Unheard::OutOfGrammar => "out_of_grammar",
        Unheard::Unclear => "unclear",
    }
}

/// The sum over a list.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Summary {
    pub clips: usize,
    /// Clips whose words the grammar allows.
    pub clips_allowed: usize,
    pub right: usize,
    /// Entered with a wrong value.
    pub wrong: usize,
    pub refused: usize,
    /// Clips whose words the grammar does not allow.
    pub clips_foreign: usize,
    pub false_entries: usize,
    /// Allowed clips that did not come out with the right values: wrong and refused. Percent.
    pub wrong_strings_percent: f64,
    /// Allowed clips entered with a wrong value. Percent.
    pub wrong_entries_percent: f64,
    /// As wrong strings, but "oh" and "zero" told apart. Percent.
    pub wrong_wordings_percent: f64,
    /// Word errors over words said in the allowed clips. Percent.
    pub wrong_words_percent: f64,
    pub wrong_values_percent: f64,
    pub refused_percent: f64,
    pub false_entries_percent: f64,
    /// From the end of the sound to the result. Milliseconds.
    pub latency_p50_ms: f64,
    pub latency_p95_ms: f64,
    pub latency_max_ms: f64,
    /// From the last voiced frame to the result, the silence that ends an utterance included; where it was heard so.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_of_speech_p50_ms: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub end_of_speech_p95_ms: Option<f64>,
    pub sound_seconds: f64,
    /// Time of recognition over length of sound.
    pub part_of_real_time: f64,
    /// Highest memory of the process so far; absent where the system does not tell.
    pub memory_peak_mb: Option<f64>,
}

/// Sums up.
pub fn summary(results: &[ClipResult]) -> Summary {
    let count = |fate: Fate| results.iter().filter(|r| r.fate == fate).count();
    let (right, wrong, refused) = (count(Fate::Right), count(Fate::Wrong), count(Fate::Refused));
    let (kept_out, false_entries) = (count(Fate::KeptOut), count(Fate::FalseEntry));
    let allowed = right + wrong + refused;
    let foreign = kept_out + false_entries;
    let is_allowed = |r: &&ClipResult| !matches!(r.fate, Fate::KeptOut | Fate::FalseEntry);
    let sum = |figure: fn(&ClipResult) -> usize| -> usize {
        results.iter().filter(is_allowed).map(figure).sum()
    };
    let other_wording = results
        .iter()
        .filter(is_allowed)
        .filter(|r| r.fate != Fate::Right || !r.same_words)
        .count();
    let mut latencies: Vec<f64> = results
        .iter()
        .map(|r| r.recognition_seconds * 1_000.0)
        .collect();
    latencies.sort_by(f64::total_cmp);
    let mut ends: Vec<f64> = results
        .iter()
        .filter_map(|r| r.figures.get("latency_ms")?.as_f64())
        .collect();
    ends.sort_by(f64::total_cmp);
    let end = |part| (!ends.is_empty()).then(|| quantile(&ends, part));
    let sound_seconds: f64 = results.iter().map(|r| r.sound_seconds).sum();
    let recognition_seconds: f64 = results.iter().map(|r| r.recognition_seconds).sum();
    Summary {
        clips: results.len(),
        clips_allowed: allowed,
        right,
        wrong,
        refused,
        clips_foreign: foreign,
        false_entries,
        wrong_strings_percent: percent(wrong + refused, allowed),
        wrong_entries_percent: percent(wrong, allowed),
        wrong_wordings_percent: percent(other_wording, allowed),
        wrong_words_percent: percent(sum(|r| r.word_errors), sum(|r| r.words_said)),
        wrong_values_percent: percent(sum(|r| r.value_errors), sum(|r| r.values_said)),
        refused_percent: percent(refused, allowed),
        false_entries_percent: percent(false_entries, foreign),
        latency_p50_ms: quantile(&latencies, 0.5),
        latency_p95_ms: quantile(&latencies, 0.95),
        latency_max_ms: quantile(&latencies, 1.0),
        end_of_speech_p50_ms: end(0.5),
        end_of_speech_p95_ms: end(0.95),
        sound_seconds,
        part_of_real_time: if sound_seconds > 0.0 {
            recognition_seconds / sound_seconds
        } else {
            0.0
        },
        memory_peak_mb: memory_peak_mb(),
    }
}

fn percent(part: usize, whole: usize) -> f64 {
    if whole == 0 {
        0.0
    } else {
        100.0 * part as f64 / whole as f64
    }
}

/// The smallest value that at least `part` of the sorted values do not exceed.
fn quantile(sorted: &[f64], part: f64) -> f64 {
    let rank = (part * sorted.len() as f64).ceil() as usize;
    sorted
        .get(rank.saturating_sub(1))
        .copied()
        .unwrap_or_default()
}

/// Linux tells the highest resident size in kibibytes.
fn memory_peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    let kibibytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kibibytes * 1_024.0 / 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::speech::Hypothesis;

    fn hear(said: &str, heard: &str, allowed: bool, unheard: Option<Unheard>) -> ClipResult {
        let words = |s: &str| s.split_whitespace().map(str::to_owned).collect::<Vec<_>>();
        let hearing = Hearing {
            hypotheses: vec![Hypothesis {
                words: words(heard),
                log_probability: 0.0,
                word_confidences: Vec::new(),
            }],
            unheard,
            free_text: None,
            figures: Vec::new(),
        };
        let is_same = |said: &[String], heard: &[String]| said == ["no"] && heard == ["wrong"];
        compare("clip", &words(said), allowed, &is_same, &hearing, 2.0, 0.1)
    }

    #[test]
    fn each_fate_is_counted_once() {
        let unclear = Some(Unheard::Unclear);
        let results = [
            hear("one oh", "one zero", true, None),
            hear("one oh", "one two", true, None),
            hear("one oh", "one oh", true, unclear),
            hear("hello", "one", false, unclear),
            hear("hello", "one", false, None),
        ];
        let fates: Vec<Fate> = results.iter().map(|r| r.fate).collect();
        assert_eq!(
            fates,
            [
                Fate::Right,
                Fate::Wrong,
                Fate::Refused,
                Fate::KeptOut,
                Fate::FalseEntry
            ]
        );
        let summary = summary(&results);
        assert_eq!((summary.clips_allowed, summary.clips_foreign), (3, 2));
        assert!((summary.wrong_strings_percent - 66.67).abs() < 0.01);
        assert!((summary.wrong_entries_percent - 33.33).abs() < 0.01);
        // One word wrong and two not entered, of six; "zero" for "oh" is a wrong word but no wrong value.
        assert!((summary.wrong_values_percent - 50.0).abs() < 0.01);
        assert!((summary.wrong_words_percent - 66.67).abs() < 0.01);
        assert_eq!(summary.false_entries_percent, 50.0);
        assert!((summary.part_of_real_time - 0.05).abs() < 1e-9);
    }

    #[test]
    fn another_way_of_saying_the_same_is_right() {
        let result = hear("no", "wrong", true, None);
        assert_eq!((result.fate, result.value_errors), (Fate::Right, 0));
        assert!(!result.same_words);
        assert_eq!(hear("wrong", "no", true, None).fate, Fate::Wrong);
    }

    #[test]
    fn quantiles_are_values_of_the_list() {
        let list: Vec<f64> = (1..=20).map(f64::from).collect();
        assert_eq!(quantile(&list, 0.5), 10.0);
        assert_eq!(quantile(&list, 0.95), 19.0);
        assert_eq!(quantile(&list, 1.0), 20.0);
        assert_eq!(quantile(&[], 0.5), 0.0);
    }

    #[test]
    fn an_empty_list_has_no_rates() {
        let summary = summary(&[]);
        assert_eq!(summary.wrong_strings_percent, 0.0);
        assert_eq!(summary.part_of_real_time, 0.0);
    }
}
