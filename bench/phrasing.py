#!/usr/bin/env python3
"""Measures how much of what people naturally say is understood, and writes docs/phrasing.md.

    bench/phrasing.py [NAME=LIST.tsv ...] [--sulcus PROGRAM] [--species dog] [--write docs/phrasing.md] [--show]

A list has the columns said, means, speaker. Our own (tests/data/phrasing) are always measured, lists named on the
command line beside them; those are not kept here, and the page has only figures of them. A saying is understood
rightly where the program understands of it what it understands of the sentence under "means", or answers the same;
refused where it is no sentence, or a part is asked for; a fault where it is taken for something else. Each is said of
a dog at tooth 108 with a row of depths just entered.

Exit code 0: measured; 1: something was taken for something else, or a meaning is no sentence; 2: wrong use.
"""

import argparse
import collections
import concurrent.futures
import csv
import os
import pathlib
import subprocess
import sys

HOUSE = pathlib.Path(__file__).resolve().parent.parent
BEFORE = "tooth one zero eight. buccal three two three. "
OWN = [
    ("first", "written before the grammar was looked at (251 of its 376 were understood then); the patterns were mended by what it showed; one row was taken out afterwards, \"no one oh five\", which the program read as a correction and now refuses"),
    ("second", "written after that, measured untouched (115 of 184 understood), then used to mend the patterns as well"),
    ("third", "written after that, measured once (167 of 188 understood, one taken for something else); only that one was mended; its patterns were used later"),
    ("fourth", "written by somebody who had seen no grammar and no list (136 of 197 understood before it was used to mend the patterns)"),
    ("fifth", "the other half of the same (144 of 198 understood, one taken for something else, before it was used to mend the patterns)"),
    ("sixth", "written after that in the same way, to the point (183 of 222 understood, none taken for something else, before it was used to mend the patterns)"),
    ("seventh", "written after that in the same way, with the hesitations of speech (\"um\") left in (184 of 272 understood, none taken for something else, before it was used to mend the patterns)"),
    ("eighth", "written after that in the same way (240 of 281 understood, none taken for something else, before it was used to mend the patterns)"),
    ("ninth", "written after that in the same way, chattier (213 of 280 understood, one of two meanings and so refused, before it was used to mend the patterns)"),
    ("tenth", "written after that in the same way, as to a person who charts (235 of 280 understood, none taken for something else, before it was used to mend the patterns)"),
    ("eleventh", "written after that in the same way (312 of 364 understood, none taken for something else, before it was used to mend the patterns)"),
]


def understood(program, species, sentence, data):
    """What the last utterance means, and what is answered."""
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
    is_none = lambda wishes: any(wish.startswith("none") for wish in wishes)
    if is_none(meant):
        return "no such meaning"
    if is_none(intent):
        return "refused"
    if any(wish.startswith("two meanings") for wish in intent):
        return "wrong"
    return "right" if intent == meant or (answer and answer == answered) else "wrong"


def read(path):
    if not path.is_file():
        print(f"{path} is no file; give a list with the columns said, means, speaker", file=sys.stderr)
        sys.exit(2)
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file, delimiter="\t"))
    if not rows or not {"said", "means", "speaker"} <= rows[0].keys():
        print(f"{path} lacks a column: said, means, speaker", file=sys.stderr)
        sys.exit(2)
    return rows


def table(rows, column):
    counts = collections.defaultdict(collections.Counter)
    for row in rows:
        counts[row[column]][row["outcome"]] += 1
    lines = [f"| {column} | sayings | understood | refused | other meaning |", "|---|---|---|---|---|"]
    for key in sorted(counts):
        of = counts[key]
        lines.append(f"| {key} | {of.total()} | {of['right']} | {of['refused']} | {of['wrong']} |")
    return lines


def row_of(name, rows):
    count = collections.Counter(row["outcome"] for row in rows)
    share = lambda outcome: f"{count[outcome]} ({100 * count[outcome] / len(rows):.1f} %)"
    return f"| {name} | {len(rows)} | {share('right')} | {share('refused')} | {share('wrong')} |"


def page(lists):
    head = ["| list | sayings | understood | refused | other meaning |", "|---|---|---|---|---|"]
    text = [
        "# What people naturally say, and what is understood of it", "",
        "Written by `bench/phrasing.py`; how a saying is measured stands at its beginning. The sayings are written, not",
        "recorded: invented as veterinary people would speak to a scribe; no clinician has checked them. How they are",
        "heard as sound is another matter (`docs/recognition.md`).", "",
        *head, *[row_of(name, rows) for name, _, rows in lists], "",
        *[f"- {name}: {what}." for name, what, _ in lists if what], "",
        "What the patterns were mended by tells that these are understood, not how the next one will be: that is told",
        "by a list that nothing was changed by.", "",
    ]
    for name, _, rows in lists:
        text += [f"## {name}, by who says it", "", *table(rows, "speaker"), ""]
    for name, _, rows in lists:
        text += [f"## {name}, by meaning", "", *table(rows, "means"), ""]
    return "\n".join(text)


def main():
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("lists", nargs="*", metavar="NAME=LIST.tsv")
    options.add_argument("--sulcus", default=str(HOUSE / "target/release/sulcus"))
    options.add_argument("--species", default="dog")
    options.add_argument("--data", default=str(HOUSE / "target/phrasing"), help="a data folder without a clinic file")
    options.add_argument("--write", type=pathlib.Path, help="the page to write")
    options.add_argument("--show", action="store_true", help="print what was not understood")
    options = options.parse_args()
    lists = [(name, what, read(HOUSE / f"tests/data/phrasing/{name}.tsv")) for name, what in OWN]
    for item in options.lists:
        name, _, path = item.rpartition("=")
        path = pathlib.Path(path)
        lists.append((name or path.stem, "not kept here; the patterns were written with it" if name == "given" else "", read(path)))
    rows = [row for _, _, of in lists for row in of]
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        outcomes = pool.map(lambda row: judge(options.sulcus, options.species, row, options.data), rows)
        for row, outcome in zip(rows, outcomes):
            row["outcome"] = outcome
    is_faulty = False
    for name, _, of in lists:
        print(row_of(name, of))
        for row in of:
            is_faulty |= row["outcome"] in ("wrong", "no such meaning")
            if row["outcome"] == "no such meaning" or (options.show and row["outcome"] != "right"):
                print(f"  {row['outcome']}: {row['said']} (means: {row['means']})")
    if options.write:
        options.write.write_text(page(lists), encoding="utf-8")
    return 1 if is_faulty else 0


if __name__ == "__main__":
    sys.exit(main())
