#!/usr/bin/env python3
"""Measures how much of what people naturally say is understood, and writes docs/phrasing.md.

    bench/phrasing.py LIST.tsv [--sulcus PROGRAM] [--species dog] [--write docs/phrasing.md]

LIST.tsv has the columns said, means, speaker. A saying is understood rightly where the program understands of it what
it understands of the sentence under "means", or answers the same; refused where it is no sentence; a fault where it is
taken for something else. Each is said of a dog at tooth 108 with a row of depths just entered. The list itself stays
outside: the page has figures and, of what was taken for something else, nothing but the count by meaning.

Exit code 0: measured; 1: something was taken for something else; 2: wrong use.
"""

import argparse
import collections
import concurrent.futures
import csv
import os
import pathlib
import subprocess
import sys

BEFORE = "tooth one zero eight. buccal three two three. "


def understood(program, species, sentence, data):
    """The lines of the last utterance: what it means, and what is answered."""
    said = subprocess.run(
        [program, "--data", data, "parse", "--species", species, BEFORE + sentence],
        capture_output=True, text=True, check=False,
    )
    if said.returncode not in (0, 1) or "said:" not in said.stdout:
        sys.exit(f"{program} parse failed: {said.stderr.strip()}")
    lines = said.stdout.split("said:")[-1].splitlines()
    of = lambda key: [line.split(":", 1)[1].strip() for line in lines if line.startswith(key + ":")]
    return of("intent"), of("answer")


def judge(program, species, row, data):
    intent, answer = understood(program, species, row["said"], data)
    meant, answered = understood(program, species, row["means"], data)
    if meant and meant[0].startswith("none"):
        return "no such meaning"
    if intent and intent[0].startswith("none"):
        return "refused"
    if intent and intent[0].startswith("two meanings"):
        return "wrong"
    return "right" if intent == meant or (answer and answer == answered) else "wrong"


def table(rows, column):
    counts = collections.defaultdict(collections.Counter)
    for row in rows:
        counts[row[column]][row["outcome"]] += 1
    lines = [f"| {column} | sayings | understood | refused | other meaning |", "|---|---|---|---|---|"]
    for key in sorted(counts):
        of = counts[key]
        lines.append(f"| {key} | {of.total()} | {of['right']} | {of['refused']} | {of['wrong']} |")
    return lines


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("list", type=pathlib.Path)
    options.add_argument("--sulcus", default="target/release/sulcus")
    options.add_argument("--species", default="dog")
    options.add_argument("--data", default="target/phrasing", help="a data folder without a clinic file of its own")
    options.add_argument("--write", type=pathlib.Path, help="the page to write")
    options.add_argument("--show", action="store_true", help="print what was not understood")
    options = options.parse_args()
    if not options.list.is_file():
        options_error = f"{options.list} is no file; give a list with the columns said, means, speaker"
        print(options_error, file=sys.stderr)
        return 2
    with options.list.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    if not rows or not {"said", "means", "speaker"} <= rows[0].keys():
        print(f"{options.list} lacks a column: said, means, speaker", file=sys.stderr)
        return 2
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        outcomes = pool.map(lambda row: judge(options.sulcus, options.species, row, options.data), rows)
        for row, outcome in zip(rows, outcomes):
            row["outcome"] = outcome
    count = collections.Counter(row["outcome"] for row in rows)
    total = len(rows)
    share = lambda outcome: f"{count[outcome]} of {total} ({100 * count[outcome] / total:.1f} %)"
    summary = f"understood {share('right')}, refused {share('refused')}, taken for something else {share('wrong')}"
    print(summary)
    if count["no such meaning"]:
        print(f"{count['no such meaning']} meanings are no sentences of the grammar", file=sys.stderr)
    if options.show:
        for row in rows:
            if row["outcome"] != "right":
                print(f"{row['outcome']}: {row['said']} (means: {row['means']})")
    if options.write:
        text = [
            "# What people naturally say, and what is understood of it", "",
            "Written by `bench/phrasing.py`; how a saying is measured stands at its beginning. The list was written",
            "without the grammar at hand, as veterinary people would speak to a scribe; no clinician has checked it.",
            f"The list measured here is the half that the grammar was written with, {total} sayings: what it tells is",
            "that these are understood, not how the next one will be.", "",
            f"Of the {total}: {summary}.", "", "## By who says it", "", *table(rows, "speaker"), "",
            "## By meaning", "", *table(rows, "means"), "",
        ]
        options.write.write_text("\n".join(text), encoding="utf-8")
    return 1 if count["wrong"] or count["no such meaning"] else 0


if __name__ == "__main__":
    sys.exit(main())
