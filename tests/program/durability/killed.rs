//! The built program killed with signal 9 at arbitrary points, again and again on one data folder.

use std::io::{BufRead, BufReader};
use std::process::Stdio;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::writer::{Saved, lost_after_start, writer};
use super::{Effort, Row};

pub fn again_and_again(effort: Effort) -> Row {
    let mut row = Row::new("the program is killed (signal 9) while it writes");
    row.tell("nothing can be said then; at the next start the visit goes on");
    let data = tempfile::tempdir().expect("a folder");
    let mut saved = Saved::default();
    for round in 0..effort.choose(8, 300) {
        println!("kill round {round}");
        let mut rng = ChaCha8Rng::seed_from_u64(round);
        let mut child = writer(data.path(), round, u64::MAX)
            .stdout(Stdio::piped())
            .spawn()
            .expect("the built program starts");
        let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines();
        let line_count = rng.random_range(0..40);
        for line in lines.by_ref().take(line_count) {
            saved.hear(&line.expect("text"));
        }
        // Not only right after a commit: any point of the next ones.
        (0..rng.random_range(0..400_000_u32)).for_each(|turn| {
            std::hint::black_box(turn);
        });
        child.kill().expect("killed");
        child.wait().expect("ended");
        // What it had said before it was dead.
        lines
            .map_while(Result::ok)
            .for_each(|line| saved.hear(&line));
        row.tried += 1;
        row.lost += lost_after_start(data.path(), &saved);
    }
    row.saved = saved.count();
    row
}

#[test]
fn a_killed_writer_loses_nothing() {
    again_and_again(Effort::Quick).require_nothing_lost();
}
