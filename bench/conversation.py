#!/usr/bin/env python3
"""Measures the conversation and writes the tables into docs/conversation.md, each between its marks.

    cargo build --release && bench/conversation.py [NAME ...]

NAME is one of the tables (interruption, "open ears", "sounds like", latency, tone, hour, "eight hours", "close calls",
rehearsal, watch); without names all are made, which takes two hours. Run it on a quiet machine: latency is wall time.
"""

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs/conversation.md"
EXAMS = "250"


def figures(test, name):
    """What a test for figures prints, without what the test runner prints."""
    command = ["cargo", "test", "--locked", "--release", "--test", test, "--", "--include-ignored", "--nocapture", "--exact", name]
    run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    if run.returncode != 0 or "1 passed" not in run.stdout:
        sys.exit(f"{name} failed:\n{run.stdout[-3000:]}\n{run.stderr[-3000:]}")
    if "skipped:" in run.stdout.lower():
        sys.exit(f"{name} was skipped:\n{run.stdout[-3000:]}")
    print(run.stdout, flush=True)
    return run.stdout


def table(text):
    """The rows of the tables in it."""
    return "\n".join(line for line in text.splitlines() if line.startswith("|"))


def latency():
    """The program's own figures, and what was in the air."""
    rows = ["| with | what | utterances | p50 | p95 |", "|---|---|---|---|---|"]
    figure = re.compile(r"^(?:# )?(.+): (\d+) utterances, p50 (\d+ ms), p95 (\d+ ms)")
    way = ""
    for line in figures("listen", "figures_of_latency").splitlines():
        if line.startswith("= "):
            way = line[2:]
        elif found := figure.match(line):
            rows.append(f"| {way} | {' | '.join(found.groups())} |")
    return "\n".join(rows)


def rehearsal():
    run = subprocess.run(
        [ROOT / "target/release/sulcus", "rehearse", "--exams", EXAMS], cwd=ROOT, capture_output=True, text=True
    )
    if run.returncode not in (0, 1) or "|" not in run.stdout:
        sys.exit(f"rehearse failed:\n{run.stdout}\n{run.stderr}")
    print(run.stdout, flush=True)
    return run.stdout.strip()


def watch():
    """The nurse's watch during rehearsed examinations."""
    run = subprocess.run(
        [ROOT / "target/release/sulcus", "rehearse", "--table", "watch", "--exams", EXAMS],
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    if run.returncode not in (0, 1) or "|" not in run.stdout:
        sys.exit(f"rehearse failed:\n{run.stdout}\n{run.stderr}")
    print(run.stdout, flush=True)
    return table(run.stdout)


TABLES = {
    "interruption": lambda: table(figures("conversation", "figures_of_interruption")),
    "open ears": lambda: table(figures("conversation", "figures_of_open_ears")),
    "sounds like": lambda: table(figures("sounds_like", "recorded_people_are_told_by_their_pitch_or_not_at_all")),
    "latency": latency,
    "tone": lambda: table(figures("heard_tone", "figures_of_the_tone")),
    "hour": lambda: table(figures("conversation", "figures_of_an_hour_of_chatter")),
    "eight hours": lambda: table(figures("conversation", "figures_of_eight_hours")),
    "close calls": lambda: table(figures("conversation", "figures_of_close_calls")),
    "rehearsal": rehearsal,
    "watch": watch,
}


def main():
    names = sys.argv[1:] or list(TABLES)
    for name in names:
        if name not in TABLES:
            sys.exit(f"{name} is none of the tables: {', '.join(TABLES)}")
        made = TABLES[name]()
        text = PAGE.read_text()
        mark = re.compile(rf"(<!-- {name} -->\n).*?(<!-- end -->)", re.S)
        if not mark.search(text):
            sys.exit(f"{PAGE} has no mark for {name}")
        PAGE.write_text(mark.sub(lambda found: f"{found[1]}{made}\n{found[2]}", text))


if __name__ == "__main__":
    main()
