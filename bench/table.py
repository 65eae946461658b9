#!/usr/bin/env python3
"""Measures recognition over all sets that are there and writes docs/recognition.md and docs/recognition.json.

    bench/table.py [--speech FOLDER] [--quick] [--write-again]

Builds the program, fetches what the comparisons need (bench/requirements.txt, the crate nnnoiseless) into target/bench,
makes the synthesised test set, and measures. What cannot be had is told and left out. FOLDER holds a manifest.tsv
(columns path, words, speaker) and a folder noise/; without it only synthesised speech is measured.
Run it on a quiet machine: the times are wall times. `--quick` takes a few clips of each set and writes to target/bench,
to see that everything runs. `--write-again` measures nothing and writes the page from the last run. Subsets, mixtures and voices are drawn by seed: the same on every machine.
"""

import argparse
import csv
import json
import os
import pickle
import shutil
import subprocess
import sys
import tempfile
import time
import wave
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PLACE = ROOT / "target/bench"
VENV = PLACE / "venv"
PROGRAM = ROOT / "target/release/sulcus"
MODELS = ROOT / "models"
FIXTURES = ROOT / "audio-fixtures"
NOISES = {"running tap": "running_tap*", "vacuum cleaner": "vacuum*"}
SNRS_DB = [20, 10, 5, 0]

# In-vocabulary words of the command clips; every other word of that set must be kept out.
COMMANDS = "yes no up down left right on off stop go zero one two three four five six seven eight nine".split()

# Clips of each set: what two cores hear in some 25 minutes. Whole sets where nothing stands here.
SAMPLES = {
    "noise at 10 dB": 999,  # all of the half: the aim is at 10 dB
    "noise at other levels": 40,
    "commands": 200,
    "other talk": 100,
    "numbers": 80,
    "voices": 200,
    "voices in noise": 50,
    "grammars": 60,
    "front ends": 16,
    "eight bit": 20,
    "noise alone": 40,
    "hours": 9,  # of some seven minutes each
}
QUICK = {name: 1 if name == "hours" else 8 for name in SAMPLES}


def prepare():
    """Program, packages, suppressor. Goes on in the folder's own Python, so that one command is enough."""
    if not (VENV / "bin/python").exists():
        subprocess.run([sys.executable, "-m", "venv", VENV], check=True)
        subprocess.run([VENV / "bin/pip", "install", "-q", "-r", ROOT / "bench/requirements.txt"], check=True)
    if Path(sys.prefix).resolve() != VENV.resolve():
        os.execv(VENV / "bin/python", [str(VENV / "bin/python"), __file__, *sys.argv[1:]])
    subprocess.run(["cargo", "build", "--release"], cwd=ROOT, check=True)
    if not (PLACE / "bin/nnnoiseless").exists():
        install = ["cargo", "install", "nnnoiseless", "--version", "0.5.2", "--locked", "--root", PLACE]
        if subprocess.run(install).returncode:
            print("nnnoiseless is not to be had: the noise suppressor is left out")


class Bench:
    """Runs `sulcus score` and keeps what it tells; makes lists in a folder of its own."""

    def __init__(self, speech, samples, folder):
        self.speech, self.samples, self.folder = speech, samples, folder
        self.manifest = speech / "manifest.tsv"
        self.runs = []

    def has_people(self):
        return self.manifest.exists()

    def score(self, name, listing, *options, models=MODELS, sample=None):
        """One run; gives its whole report with the clips."""
        out = self.folder / "out.json"
        command = [PROGRAM, "--models", models, "score", listing, *options, "--json", out]
        if sample:
            command += ["--sample", self.samples[sample]]
        start = time.perf_counter()
        run = subprocess.run([str(part) for part in command], capture_output=True, text=True)
        if run.returncode not in (0, 1):
            sys.exit(f"{name}: {run.stderr}")
        report = json.loads(out.read_text())
        report["name"] = name
        counts = {fate: sum(clip["fate"] == fate for clip in report["clips"]) for fate in FATES}
        print(f"{time.perf_counter() - start:5.0f} s  {name}: {counts}", flush=True)
        self.runs.append({"set": name, "seconds": time.perf_counter() - start, **report["summary"]})
        return report

    def people(self, name, *options, sample=None):
        if self.samples is QUICK and not sample:
            sample = "noise at 10 dB"
        return self.score(name, self.manifest, *options, sample=sample)

    def mixture(self, noise, snr):
        """Options that mix in one kind of noise."""
        folder = self.folder / noise.replace(" ", "_")
        if not folder.exists():
            folder.mkdir()
            for file in (self.speech / "noise").glob(NOISES[noise]):
                os.symlink(file.resolve(), folder / file.name)
        return ["--noise", folder, "--snr", snr]

    def keep_sound(self, name, *options):
        """The very clips that a run hears, as files, for other engines and for filters; gives their list."""
        folder = self.folder / f"sound-{name}"
        command = [PROGRAM, "score", self.manifest, *options, "--keep-sound", folder, "--sound-only"]
        subprocess.run([str(part) for part in command], check=True)
        return folder / "list.tsv"

    def pieces(self):
        """The noises cut into pieces of five seconds, as a list of clips in which nothing is said."""
        folder = self.folder / "pieces"
        if not folder.exists():
            import sound

            folder.mkdir()
            lines = ["path\twords"]
            for file in sorted((self.speech / "noise").glob("*.wav")):
                samples = sound.read(file)
                for start in range(0, len(samples) - sound.RATE, 5 * sound.RATE):
                    name = f"{file.stem}-{start // sound.RATE:02}.wav"
                    sound.write(folder / name, samples[start : start + 5 * sound.RATE])
                    lines.append(f"{name}\t")
            (folder / "list.tsv").write_text("\n".join(lines) + "\n")
        return folder / "list.tsv"

    def cues(self, animal):
        """The demo's sound cut at its cues, as a list."""
        folder = self.folder / f"demo-{animal}"
        if not folder.exists():
            folder.mkdir()
            with wave.open(str(FIXTURES / f"demo/{animal}.wav")) as sound:
                rate, lines = sound.getframerate(), ["path\twords"]
                for at, cue in enumerate(rows(FIXTURES / f"demo/{animal}.cues.tsv")):
                    start, end = float(cue["start_s"]) - 0.3, float(cue["end_s"]) + 0.3
                    sound.setpos(int(start * rate))
                    with wave.open(str(folder / f"{at:02}.wav"), "w") as clip:
                        clip.setparams((1, 2, rate, 0, "NONE", ""))
                        clip.writeframes(sound.readframes(int((end - start) * rate)))
                    lines.append(f"{at:02}.wav\t{cue['words']}")
            (folder / "list.tsv").write_text("\n".join(lines) + "\n")
        return folder / "list.tsv"

    def list_of(self, name, chosen):
        """A list of some rows of the manifest; their names stay, so that the same noise is mixed in."""
        path = self.folder / f"{name}.tsv"
        links = self.folder / "speech"
        if not links.exists():
            os.symlink(self.speech.resolve(), links)
        path.write_text("path\twords\tspeaker\n" + "".join(f"speech/{r['path']}\t{r['words']}\t{r['speaker']}\n" for r in chosen))
        return path


FATES = ["right", "wrong", "refused", "kept_out", "false_entry"]
DIGITS = ["--grammar", "digits", "--only", "an4/", "--allowed-only"]


def rows(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, delimiter="\t"))


def synthesised(bench, data):
    """The project's own clips and the test set of many voices."""
    for name, file in (("clear", "clean"), ("in noise", "noisy"), ("to be kept out", "reject")):
        data["own"][name] = bench.score(f"own clips, {name}", FIXTURES / f"{file}.tsv", **quick(bench))
    for animal in ("dog", "cat"):
        data["own"][f"demo {animal}"] = bench.score(f"demo, {animal}", bench.cues(animal), **quick(bench))
    data["voices"]["clear"] = bench.score("many voices", PLACE / "voices/list.tsv", sample="voices")
    # Talk with nothing in it to be entered, through voice activity: what a room full of people does.
    data["out"]["talk of many voices"] = bench.score("talk of many voices", PLACE / "voices/chatter.tsv", **quick(bench))
    if bench.has_people():
        data["voices"]["running tap at 10 dB"] = bench.score(
            "many voices, tap at 10 dB",
            PLACE / "voices/list.tsv",
            *bench.mixture("running tap", 10),
            sample="voices in noise",
        )


def quick(bench):
    return {"sample": "noise at 10 dB"} if bench.samples is QUICK else {}


def people(bench, data):
    """Connected digits of recorded people, clean and in noise; single words; talk that is none of ours."""
    data["digits"][None, None] = bench.people("digits, clean", *DIGITS)
    data["table"] = bench.people("digits, check half, as at the table", *DIGITS, "--split", "check", "--as-at-the-table")
    for noise in NOISES:
        for snr in SNRS_DB:
            sample = "noise at 10 dB" if snr == 10 else "noise at other levels"
            options = [*DIGITS, "--split", "check", *bench.mixture(noise, snr)]
            data["digits"][noise, snr] = bench.people(f"digits, check half, {noise} at {snr} dB", *options, sample=sample)
    words = bench.folder / "words.txt"
    words.write_text("\n".join(COMMANDS) + "\n")
    options = ["--grammar-words", words, "--only", "commands/"]
    data["commands"] = bench.people("single words, 20 allowed", *options, sample="commands")
    # Names, addresses, dates and letters spelled, and running speech. Sentences of the grammar among them are told apart.
    digits = set("zero oh one two three four five six seven eight nine".split())
    is_talk = lambda row: row["path"].startswith(("an4/", "other/")) and not set(row["words"].split()) <= digits
    talk = bench.list_of("talk", filter(is_talk, rows(bench.manifest)))
    data["out"]["recorded talk"] = bench.score("recorded talk", talk, sample="other talk")
    data["out"]["recorded talk, as at the table"] = bench.score(
        "recorded talk, as at the table", talk, "--as-at-the-table", sample="other talk"
    )
    options = ["--grammar", "numbers", "--only", "an4/", "--allowed-only", "--split", "check"]
    data["numbers"] = bench.people("numbers below a hundred, check half", *options, sample="numbers")
    data["out"]["noise"] = bench.score("noise alone", bench.pieces(), sample="noise alone")
    for seed in range(1, bench.samples["hours"] + 1):
        # Two noises at once; another pair for each seed.
        mixed = ["--noise", bench.speech / "noise", "--snr", "0", "--seed", seed, "--as-at-the-table"]
        name = f"noise alone, as at the table, mixture {seed}"
        data["hours"].append(bench.score(name, bench.pieces(), *mixed, **quick(bench)))


def grammars(bench, data):
    """The same clips under the active grammar, all situations at once, one species, and while the program speaks."""
    voices = PLACE / "voices/list.tsv"
    for name, options in {
        "at the table, all teeth": [],
        "all situations at once": ["--situation", "all"],
        "at the table, teeth of a dog": ["--species", "dog"],
        "at the table, teeth of a cat": ["--species", "cat"],
    }.items():
        data["grammars"][name] = bench.score(f"many voices, {name}", voices, *options, sample="grammars")
    for animal in ("dog", "cat"):
        data["grammars"][f"demo {animal}, its own teeth"] = bench.score(
            f"demo, {animal}, its own teeth", bench.cues(animal), "--species", animal, **quick(bench)
        )
    talk = PLACE / "voices/chatter.tsv"
    data["grammars"]["talk while the program speaks"] = bench.score(
        "talk while the program speaks", talk, "--situation", "speaking", **quick(bench)
    )


def sphinx(bench, data):
    """The classic engine on the same sound."""
    for (noise, snr), run in data["digits"].items():
        options = [*DIGITS, "--split", "check"]
        if noise:
            # The same clips that the other engine was given.
            options += [*bench.mixture(noise, snr), "--sample", len(run["clips"])]
        listing = bench.keep_sound(f"sphinx-{noise}-{snr}", *options)
        out = bench.folder / "sphinx.json"
        script = ROOT / "bench/sphinx.py"
        subprocess.run([sys.executable, script, listing, out], check=True)
        data["sphinx"][noise, snr] = json.loads(out.read_text())
        print(f"         PocketSphinx, {noise or 'clean'} {snr or ''}", flush=True)


def vosk(bench, data):
    if not (MODELS / "vosk/en").exists():
        print("no models/vosk/en: the engine vosk is left out (./models-fetch.sh fetches its English model)")
        return
    for (noise, snr) in data["digits"]:
        options = [*DIGITS, "--split", "check", "--engine", "vosk", *(bench.mixture(noise, snr) if noise else [])]
        sample = "noise at other levels" if snr not in (None, 10) else "noise at 10 dB"
        data["vosk"][noise, snr] = bench.people(f"vosk, {noise or 'clean'} {snr or ''}", *options, sample=sample)


def front_ends(bench, data):
    """Cleaned outside the program, then heard by it."""
    import front_end
    import sound

    for noise in NOISES:
        for snr in (10, 5):
            options = [*DIGITS, "--split", "check", *bench.mixture(noise, snr), "--sample", bench.samples["front ends"]]
            listing = bench.keep_sound(f"front-{noise}-{snr}", *options)
            data["front"].setdefault("none", []).append(
                bench.score(f"front end none, {noise} at {snr} dB", listing, "--grammar", "digits")
            )
            for name, clean in front_end.TRIALS.items():
                if clean is front_end.suppress and not front_end.suppressor():
                    continue
                folder = listing.parent.with_name(listing.parent.name + "-" + clean.__name__)
                folder.mkdir()
                shutil.copy(listing, folder / "list.tsv")
                for row in rows(listing):
                    sound.write(folder / row["path"], clean(sound.read(listing.parent / row["path"])))
                run = bench.score(f"front end {name}, {noise} at {snr} dB", folder / "list.tsv", "--grammar", "digits")
                data["front"].setdefault(name, []).append(run)


def eight_bit(bench, data):
    """The networks hold 8-bit weights and multiply in 8 bits; here against floats, and with what is left quantised."""
    import networks

    options = [*DIGITS, "--split", "check"]
    for name, models in networks.variants(MODELS, bench.folder).items():
        data["bits"][name] = bench.score(
            f"networks: {name}", bench.manifest, *options, models=models, sample="eight bit"
        )


def whole_program(bench):
    """Peak memory of a whole visit from a sound file, voice included. Megabytes."""
    command = [PROGRAM, "--models", MODELS, "--data", bench.folder / "data", "replay", FIXTURES / "demo/dog.wav"]
    command += ["--new", "--species", "dog", "--patient", "Demo", "--invented"]
    process = subprocess.Popen([str(part) for part in command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) != 0:
        print("the demo could not be replayed: the whole program's memory is not measured")
        return None
    return usage.ru_maxrss * 1024 / 1e6


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--speech", type=Path, default=ROOT.parent / "shared/speech")
    options.add_argument("--quick", action="store_true")
    options.add_argument("--write-again", action="store_true")
    wanted = options.parse_args()
    prepare()
    import page

    begin = time.perf_counter()
    samples = QUICK if wanted.quick else SAMPLES
    out = PLACE if wanted.quick else ROOT / "docs"
    kept = PLACE / ("quick.pickle" if wanted.quick else "measured.pickle")
    if not wanted.write_again:
        kept.write_bytes(pickle.dumps(measure(wanted.speech, samples)))
    data, runs = pickle.loads(kept.read_bytes())
    page.write(out, data, runs, samples, wanted.quick)
    print(f"{(time.perf_counter() - begin) / 60:.1f} minutes; {out / 'recognition.md'}")


def measure(speech, samples):
    """All that the page needs, and the summary of each run."""
    import voices

    if not voices.is_fresh(PLACE / "voices"):
        subprocess.run([sys.executable, ROOT / "bench/voices.py"], check=True)
    keys = ["own", "voices", "digits", "out", "grammars", "sphinx", "vosk", "front", "bits"]
    data = {key: {} for key in keys} | {"hours": [], "table": None, "commands": None, "numbers": None}
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(speech, samples, Path(folder))
        synthesised(bench, data)
        grammars(bench, data)
        if bench.has_people():
            people(bench, data)
            sphinx(bench, data)
            vosk(bench, data)
            front_ends(bench, data)
            eight_bit(bench, data)
        else:
            print(f"no {bench.manifest.name} in the speech folder: recorded people are not measured")
        data["memory"] = whole_program(bench)
    return data, bench.runs


if __name__ == "__main__":
    main()
