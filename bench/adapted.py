#!/usr/bin/env python3
"""Measures recognition before and after the network was adapted to the vocabulary, in one run on one machine, and writes
docs/adapted.md.

    bench/adapted.py --speech FOLDER [--program FILE] [--before FILE] [--keep FOLDER] [--voices LIST]

FOLDER as for bench/table.py. Only the half of the speakers that nothing was tuned on, and with `--voices` a list of
synthesised clips by voices that nothing was trained or tuned on. "Before" is `sulcus score --no-adapter` by the program
or by an older one (`--before`), with the belief that was in use with it. `--keep` keeps what was heard, so that a run
that was broken off goes on. CPU time is that of the whole process, start and models included; it is left out where the
two programs differ.
"""

import argparse
import json
import os
import platform
import resource
import subprocess
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
HEAD = """# Recognition before and after adapting, measured

Made by `bench/adapted.py`; do not edit by hand.
Machine: {machine}. Before: the network as it is published (`sulcus score --no-adapter`). After: the program as it ships.
Adapter: {adapter}.
Recorded people: the half of the speakers (by name) that neither training nor tuning has met; figures are of nothing else.
Noise is mixed in at its level below the speech. Right, wrong and refused by value, as in recognition.md.
CPU: seconds of processor time a second of sound, start of the program and its models included.

| set | clips | right / wrong / refused before | after | foreign | entered before | after | CPU before | after |
| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |
"""


def score(program, models, out, options):
    if out.exists():
        return json.loads(out.read_text())
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [program, "--models", models, "score", *options, "--json", out]
    run = subprocess.run([str(part) for part in command], capture_output=True, text=True)
    if not out.exists():
        raise SystemExit(run.stderr)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    report = json.loads(out.read_text())
    report["cpu"] = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    out.write_text(json.dumps(report))
    return report


def main():
    options = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    options.add_argument("--speech", type=Path, required=True)
    options.add_argument("--program", type=Path, default=ROOT / "target/release/sulcus")
    options.add_argument("--before", type=Path)
    options.add_argument("--keep", type=Path)
    options.add_argument("--half", choices=["before", "after"], help="measure only so much, to be kept")
    options.add_argument("--models", type=Path, default=ROOT / "models")
    options.add_argument("--voices", type=Path)
    options.add_argument("--sample", type=int)
    options.add_argument("--write-again", action="store_true", help="measure nothing: write of --keep what has both halves")
    wanted = options.parse_args()
    manifest = wanted.speech / "manifest.tsv"
    half = [manifest, "--split", "check"]
    digits = [*half, "--grammar", "digits", "--only", "an4/"]
    noise = lambda kind: ["--noise", next((wanted.speech / "noise").glob(kind)), "--snr", "10"]  # noqa: E731
    sets = {
        "strings of digits, quiet; foreign: names, letters, larger numbers": digits,
        "strings of digits, vacuum cleaner at 10 dB": [*digits, "--allowed-only", *noise("vacuum*")],
        "strings of digits, running tap at 10 dB": [*digits, "--allowed-only", *noise("running_tap*")],
        "single words under the whole grammar; foreign: all other words": [*half, "--only", "commands/"],
        "running speech under the whole grammar": [manifest, "--only", "other/"],
    }
    if wanted.voices:
        sets["whole grammar and foreign words, synthesised voices never met"] = [wanted.voices]
    few = ["--sample", wanted.sample] if wanted.sample else []
    rows, adapter = [], "none"
    with tempfile.TemporaryDirectory() as folder:
        folder = wanted.keep or Path(folder)
        folder.mkdir(exist_ok=True)
        for name, how in sets.items():
            cells = []
            for when, adapted in (("before", ["--no-adapter"]), ("after", [])):
                if wanted.half not in (None, when):
                    continue
                out = folder / f"{name.replace(' ', '_').replace(';', '')}.{when}.json"
                if wanted.write_again and not out.exists():
                    continue
                program = wanted.before if wanted.before and when == "before" else wanted.program
                report = score(program, wanted.models, out, [*how, *few, *adapted])
                fates = [clip["fate"] for clip in report["clips"]]
                cpu_s = report.get("cpu", 0.0)
                seconds = sum(clip["sound_seconds"] for clip in report["clips"])
                cells.append((*map(fates.count, ("right", "wrong", "refused", "kept_out", "false_entry")), cpu_s / seconds))
                adapter = report.get("model", adapter)
            if wanted.write_again and len(cells) < 2:
                print(f"not measured: {name}")
                continue
            if wanted.half:
                print(name, cells[0], flush=True)
                continue
            (r0, w0, f0, k0, e0, c0), (r1, w1, f1, k1, e1, c1) = cells
            heard = r0 + w0 + f0
            fate = (lambda *three: " / ".join(map(str, three))) if heard else (lambda *_: "-")
            cpu = (lambda part: "-") if wanted.before else "{:.2f}".format
            rows.append(
                f"| {name} | {heard} | {fate(r0, w0, f0)} | {fate(r1, w1, f1)} | {k0 + e0} |"
                f" {e0 if k0 + e0 else '-'} | {e1 if k1 + e1 else '-'} | {cpu(c0)} | {cpu(c1)} |"
            )
            print(rows[-1], flush=True)
    if wanted.half:
        return
    machine = f"{os.cpu_count()} cores ({platform.machine()})"
    adapter = adapter.partition("adapter ")[2] or adapter
    (ROOT / "docs/adapted.md").write_text(HEAD.format(machine=machine, adapter=adapter) + "\n".join(rows) + "\n")


if __name__ == "__main__":
    main()
