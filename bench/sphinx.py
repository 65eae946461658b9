#!/usr/bin/env python3
"""Runs PocketSphinx over a list of digit strings: the classic engine that the others are compared with.

    bench/sphinx.py LIST.tsv OUT.json

Grammar: 1 to 16 digits, "oh" among them, as in `sulcus score --grammar digits`. Its own English model, its own
grammar feature (JSGF), no threshold: it gives no figure of trust for a grammar's sentence that is comparable between
clips, so whatever it hears is entered. Counts as the program counts: right and wrong by value, "oh" is zero.
"""

import csv
import json
import resource
import sys
import tempfile
import time
from pathlib import Path

from pocketsphinx import Decoder, get_model_path

import sound
from figures import values, word_errors
from sound_match import DIGITS

GRAMMAR = f"#JSGF V1.0;\ngrammar digits;\npublic <string> = ({' | '.join(DIGITS)})+;\n"


def main():
    listing, out = Path(sys.argv[1]), Path(sys.argv[2])
    with tempfile.NamedTemporaryFile("w", suffix=".jsgf") as grammar:
        grammar.write(GRAMMAR)
        grammar.flush()
        start = time.perf_counter()
        decoder = Decoder(
            hmm=get_model_path("en-us/en-us"),
            dict=get_model_path("en-us/cmudict-en-us.dict"),
            lm=None,
            jsgf=grammar.name,
            loglevel="FATAL",
        )
        load_seconds = time.perf_counter() - start
    clips = []
    for row in csv.DictReader(open(listing), delimiter="\t"):
        samples = sound.read(listing.parent / row["path"])
        start = time.perf_counter()
        decoder.start_utt()
        decoder.process_raw(sound.as_pcm(samples), full_utt=True)
        decoder.end_utt()
        heard = decoder.hyp()
        seconds = time.perf_counter() - start
        words = [word.split("(")[0] for word in heard.hypstr.split()] if heard else []
        said = row["words"].split()
        fate = "refused" if not words else "right" if values(words) == values(said) else "wrong"
        clips.append(
            {
                "name": row.get("clip") or row["path"],
                "said": row["words"],
                "heard": " ".join(words) or None,
                "fate": fate,
                "value_errors": word_errors(values(said), values(words)),
                "values_said": len(said),
                "sound_seconds": len(samples) / sound.RATE,
                "recognition_seconds": seconds,
            }
        )
    # Kibibytes on Linux.
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024 / 1e6
    out.write_text(json.dumps({"load_seconds": load_seconds, "memory_peak_mb": memory, "clips": clips}))


if __name__ == "__main__":
    main()
