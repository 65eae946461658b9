//! The list of clips: tab-separated, with a head line; columns `path` and `words` are needed, `speaker` is used where
//! it stands, others are skipped. Paths are relative to the list.

use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::ScoreError;

/// One clip to be recognised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// As written in the list.
    pub name: String,
    pub path: PathBuf,
    /// What is said, lower case.
    pub words: Vec<String>,
    pub speaker: String,
}

/// Half of the speakers: what is tuned on one is reported on the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Split {
    Tune,
    Check,
}

impl Row {
    /// The half this row's speaker belongs to; the same on every machine and in every list.
    pub fn split(&self) -> Split {
        if Sha256::digest(self.speaker.as_bytes())[0].is_multiple_of(2) {
            Split::Tune
        } else {
            Split::Check
        }
    }
}

/// So many of the rows, in their order; which ones hangs on the seed and their names only.
pub fn sample(rows: Vec<Row>, count: usize, seed: u64) -> Vec<Row> {
    let lot = |row: &Row| {
        let mut hash = Sha256::new();
        hash.update(seed.to_le_bytes());
        hash.update(row.name.as_bytes());
        <[u8; 32]>::from(hash.finalize())
    };
    let mut drawn: Vec<(usize, Row)> = rows.into_iter().enumerate().collect();
    drawn.sort_by_cached_key(|(_, row)| lot(row));
    drawn.truncate(count);
    drawn.sort_by_key(|&(at, _)| at);
    drawn.into_iter().map(|(_, row)| row).collect()
}

/// Reads a list file.
pub fn read(path: &Path) -> Result<Vec<Row>, ScoreError> {
    let text = std::fs::read_to_string(path).map_err(|e| ScoreError::Read {
        path: path.display().to_string(),
        why: e.to_string(),
    })?;
    let folder = path.parent().unwrap_or(Path::new(""));
    parse(&text, folder).map_err(|(line, why)| ScoreError::List {
        path: path.display().to_string(),
        line,
        why,
    })
}

fn parse(text: &str, folder: &Path) -> Result<Vec<Row>, (usize, String)> {
    let mut lines = text.lines().enumerate();
    let head: Vec<&str> = lines
        .next()
        .map(|(_, head)| head.split('\t').collect())
        .unwrap_or_default();
    let column = |name: &str| head.iter().position(|&column| column == name);
    let needed = |name: &str| column(name).ok_or((1, format!("the head has no column {name}")));
    let (path, words, speaker) = (needed("path")?, needed("words")?, column("speaker"));
    let mut rows = Vec::new();
    for (number, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let cells: Vec<&str> = line.split('\t').collect();
        let cell = |at: usize| {
            cells
                .get(at)
                .copied()
                .ok_or_else(|| (number + 1, format!("fewer than {} columns", at + 1)))
        };
        let name = cell(path)?.to_owned();
        rows.push(Row {
            path: folder.join(&name),
            words: cell(words)?
                .to_lowercase()
                .split_whitespace()
                .map(str::to_owned)
                .collect(),
            speaker: match speaker {
                Some(at) => cell(at)?.to_owned(),
                None => name.clone(),
            },
            name,
        });
    }
    Ok(rows)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_found_by_name_and_paths_are_relative_to_the_list() {
        let text = "seconds\twords\tpath\tspeaker\n1.5\tOne  oh four\ta/b.wav\tann\n\n";
        let rows = parse(text, Path::new("/lists")).unwrap();
        assert_eq!(rows.len(), 1);
        assert_eq!(rows[0].path, Path::new("/lists/a/b.wav"));
        assert_eq!(rows[0].words, ["one", "oh", "four"]);
        assert_eq!(rows[0].speaker, "ann");
    }

    #[test]
    fn a_speaker_is_always_in_the_same_half() {
        let text = "path\twords\tspeaker\na.wav\tone\tann\nb.wav\ttwo\tann\n";
        let rows = parse(text, Path::new("")).unwrap();
        assert_eq!(rows[0].split(), rows[1].split());
    }

    #[test]
    fn a_sample_hangs_on_the_seed_and_keeps_the_order() {
        let text: String = (0..50).map(|i| format!("{i:02}.wav\tone\n")).collect();
        let rows = parse(&format!("path\twords\n{text}"), Path::new("")).unwrap();
        let names = |seed| -> Vec<String> {
            sample(rows.clone(), 10, seed)
                .into_iter()
                .map(|row| row.name)
                .collect()
        };
        assert_eq!(names(1).len(), 10);
        assert!(names(1).is_sorted());
        assert_eq!(names(1), names(1));
        assert_ne!(names(1), names(2));
        assert_eq!(sample(rows.clone(), 99, 1), rows);
    }

    #[test]
    fn a_short_row_and_a_missing_column_are_told_with_their_line() {
        assert_eq!(
            parse("path\twords\na.wav\n", Path::new("")).unwrap_err().0,
            2
        );
        assert_eq!(parse("path\tsaid\n", Path::new("")).unwrap_err().0, 1);
        assert_eq!(parse("", Path::new("")).unwrap_err().0, 1);
    }
}
