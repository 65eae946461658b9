//! The segmenter against files of probabilities in `tests/data/activity`: each holds what goes in
//! (`VALUE xCOUNT` for frames, `accept`, `finish`) and, after a line of dashes, the turns that must come out.

use std::path::Path;

use super::*;

fn turn_words(frame: u64, turn: Turn) -> String {
    let span = |span: Span| {
        format!(
            "{}..{} voice to {}",
            span.first, span.last, span.voiced_last
        )
    };
    let what = match turn {
        Turn::Started { frame } => format!("started {frame}"),
        Turn::Hushed => "hushed".to_owned(),
        Turn::Pause {
            span: s,
            silence_ms,
        } => format!("pause {} after {silence_ms} ms", span(s)),
        Turn::Resumed => "resumed".to_owned(),
        Turn::Ended { span: s, end } => format!("utterance {} by {end:?}", span(s)),
        Turn::Dismissed => "dismissed".to_owned(),
    };
    format!("{frame}: {what}")
}

/// What the segmenter makes of the lines before the dashes.
fn run(script: &str) -> String {
    let mut segmenter = Segmenter::new(Settings::default());
    let mut out = String::new();
    let mut frame = 0;
    for line in script.lines().map(str::trim) {
        match line {
            "" => {}
            comment if comment.starts_with('#') => {}
            "accept" => segmenter.accept(),
            "finish" => {
                if let Some(turn) = segmenter.finish(frame - 1, End::Source) {
                    out += &(turn_words(frame - 1, turn) + "\n");
                }
            }
            values => {
                for run in values.split(',') {
                    let (value, count) = run.trim().split_once(" x").unwrap_or((run.trim(), "1"));
                    for _ in 0..count.parse::<usize>().unwrap() {
                        if let Some(turn) = segmenter.push(frame, value.parse().unwrap()) {
                            out += &(turn_words(frame, turn) + "\n");
                        }
                        frame += 1;
                    }
                }
            }
        }
    }
    out
}

#[test]
fn every_file_of_probabilities_is_cut_as_it_says() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/activity");
    let mut paths: Vec<_> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "txt"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 9, "{} files", paths.len());
    for path in paths {
        let text = std::fs::read_to_string(&path).unwrap();
        let (script, expected) = text.split_once("----\n").unwrap();
        // To be looked through by eye before it is committed.
        if std::env::var_os("SULCUS_UPDATE").is_some() {
            std::fs::write(&path, format!("{script}----\n{}", run(script))).unwrap();
            continue;
        }
        assert_eq!(run(script), expected, "{}", path.display());
    }
}

proptest::proptest! {
    /// Whatever the probabilities: utterances do not overlap in voice, are not longer than the longest,
    /// and each start has one end.
    #[test]
    fn utterances_stay_apart_and_short(
        runs in proptest::collection::vec((0.0_f32..1.0, 1_u64..200), 1..40),
        accept in proptest::bool::ANY,
    ) {
        let settings = Settings::default();
        let longest = frames(settings.utterance_ms_max);
        let mut segmenter = Segmenter::new(settings);
        let (mut frame, mut open, mut voiced_to) = (0_u64, false, None);
        let mut check = |turn: Turn, open: &mut bool| match turn {
            Turn::Started { .. } => { assert!(!*open); *open = true; }
            Turn::Dismissed => { assert!(*open); *open = false; }
            Turn::Ended { span, end } => {
                assert!(*open);
                *open = end == End::TooLong;
                assert!(span.first <= span.voiced_last && span.voiced_last <= span.last);
                assert!(span.last - span.first < longest + 1);
                assert!(voiced_to.is_none_or(|to| span.first > to));
                voiced_to = Some(span.voiced_last);
            }
            Turn::Hushed | Turn::Pause { .. } | Turn::Resumed => assert!(*open),
        };
        for (probability, count) in runs {
            for _ in 0..count {
                if let Some(turn) = segmenter.push(frame, probability) {
                    check(turn, &mut open);
                    if accept && let Turn::Pause { span, .. } = turn {
                        segmenter.accept();
                        check(Turn::Ended { span, end: End::Pause }, &mut open);
                    }
                }
                assert_eq!(segmenter.is_speaking(), open);
                assert!(segmenter.oldest_needed(frame) <= frame + 1);
                frame += 1;
            }
        }
        if let Some(turn) = segmenter.finish(frame - 1, End::Source) {
            check(turn, &mut open);
        }
        assert!(!open);
    }
}
