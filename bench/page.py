"""Writes docs/recognition.md and docs/recognition.json from what bench/table.py measured. Measures nothing itself."""

import json
import os
import platform

import figures
from figures import clips_of, half, stats

BELIEFS = [0.5, 0.7, 0.8, 0.85, 0.9, 0.95, 0.97, 0.99]
ENTERED_FROM = 0.9


def percent(part, whole):
    return "-" if not whole else f"{100 * part / whole:.1f} %"


def of(part, whole):
    return "-" if not whole else f"{part} ({percent(part, whole)})"


def number(value, form):
    return "-" if value is None else form.format(value)


def table(head, lines):
    """A Markdown table; the first column is text, the others are figures."""
    marks = ["---"] + ["---:"] * (len(head) - 1)
    return ["", *("| " + " | ".join(map(str, cells)) + " |" for cells in [head, marks, *lines]), ""]


HEARD = [
    "set", "clips", "right", "wrong strings", "entered wrong", "refused", "values entered wrong", "time p50 / p95",
    "part of the sound", "memory",
]  # fmt: skip
KEPT = ["set", "clips", "hours", "entered all the same", "an hour", "time p50 / p95"]


def heard_row(name, s):
    return [
        name,
        s["allowed"],
        of(s["right"], s["allowed"]),
        percent(s["wrong"] + s["refused"], s["allowed"]),
        of(s["wrong"], s["allowed"]),
        of(s["refused"], s["allowed"]),
        f"{s['values_entered_wrong']} of {s['values']}",
        times(s),
        number(s["part_of_real_time"], "{:.2f}"),
        number(s["memory_mb"], "{:.0f} MB"),
    ]


def kept_row(name, s):
    return [
        name,
        s["foreign"],
        f"{s['foreign_hours']:.2f}",
        of(s["false_entries"], s["foreign"]),
        number(s["false_entries_per_hour"], "{:.1f}"),
        times(s),
    ]


def times(s):
    return "-" if s["p50_ms"] is None else f"{abs(s['p50_ms']):.0f} / {abs(s['p95_ms']):.0f} ms"


def check(run):
    return half(clips_of(run), "check")


def condition(noise, snr):
    return f"{noise} at {snr} dB" if noise else "clean"


def split_larger(clips):
    """Clips with nothing but numbers, some above nine; and all others. Sentences of the grammar are not looked at."""
    return [c for c in clips if figures.is_larger_number(c)], [c for c in clips if not figures.is_larger_number(c)]


class Page:
    def __init__(self, data, samples):
        self.data, self.samples = data, samples
        self.lines, self.json = [], {}
        self.people = bool(data["digits"])

    def add(self, *lines):
        self.lines += lines

    def rows(self, key, head, rows, as_row):
        """A table of stats, and the same in the JSON."""
        self.json[key] = [{"set": name, **s} for name, s in rows]
        self.add(*table(head, [as_row(name, s) for name, s in rows]))

    # --- aims -------------------------------------------------------------------------------------------------------

    def aims(self):
        """The aims beside the figures; each miss in plain words, worked out from the figures."""
        data, found = self.data, []

        def aim(what, wanted, measured, met, on):
            found.append({"what": what, "wanted": wanted, "measured": measured, "met": met, "measured_on": on})

        if self.people:
            quiet = stats(check(data["digits"][None, None]))
            aim(*self.value_aim("spoken value entered wrong, close microphone, quiet", 0.5, quiet, "digits, clean"))
            for noise in self.noises(10):
                s = stats(check(data["digits"][noise, 10]))
                what = f"spoken value entered wrong, {noise} at 10 dB"
                aim(*self.value_aim(what, 2.0, s, f"digits, {noise}"))
        reject = stats(clips_of(data["own"]["to be kept out"]))
        told = f"{reject['false_entries']} of {reject['foreign']} clips"
        aim("entered from talk or noise, reject set", "0", told, reject["false_entries"] == 0, "own clips to be kept out")
        if data["hours"]:
            s = stats(clips_of(*data["hours"]), tail_s=0)
            told = f"{s['false_entries']} in {s['foreign_hours']:.2f} h"
            met = s["false_entries_per_hour"] < 1 if s["foreign_hours"] >= 1 or s["false_entries"] else None
            aim("entered from noise alone, an hour", "< 1", told, met, "two noises at once, through voice activity")
        if data["table"]:
            s = stats(clips_of(data["table"]))
            told = f"{s['end_p50_ms'] / 1000:.2f} s / {s['end_p95_ms'] / 1000:.2f} s"
            met = s["end_p50_ms"] <= 600 and s["end_p95_ms"] <= 1000
            aim("end of speech to result, p50 / p95", "0.6 s / 1.0 s to the read-back", told, met, "digits, at the table")
            s = stats(clips_of(data["digits"][None, None]))
            part = s["part_of_real_time"]
            aim("recognition, part of the sound's length", "<= 0.15", f"{part:.2f}", part <= 0.15, "digits, clean")
        loads = [run["load_seconds"] for run in data["own"].values()]
        aim("start of recognition, warm disk", "<= 2 s", f"{max(loads):.1f} s", max(loads) <= 2, "longest of the own sets")
        if data["memory"]:
            told = f"{data['memory']:.0f} MB"
            aim("memory, whole program with voice", "<= 600 MB", told, data["memory"] <= 600, "the dog's demo replayed")
        self.json["aims"] = found
        says = {True: "yes", False: "**no**", None: "not shown"}
        self.add("## The aims", "")
        self.add(*table(["aim", "wanted", "measured", "met", "measured on"], [
            [a["what"], a["wanted"], a["measured"], says[a["met"]], a["measured_on"]] for a in found
        ]))  # fmt: skip
        missed = [a for a in found if a["met"] is False]
        if not missed:
            self.add("No aim of this table is missed on these sets.")
        for a in missed:
            self.add(f"- Missed: {a['what']} is {a['measured']}; wanted is {a['wanted']} ({a['measured_on']}).")
        for a in found:
            if a["met"] is None:
                self.add(f"- Not shown: {a['what']} is {a['measured']}; that is too short to show {a['wanted']}.")
        self.add(
            "- A value that is refused is asked for again and costs time, not truth; how often that happens stands under"
            " \"refused\" below.",
            "- The time to the read-back is the time to the result and the start of the sound;"
            " it was measured with a loudspeaker for docs/conversation.md.",
            "- That nothing confirmed is lost in a power cut is measured for docs/durability.md.",
        )

    @staticmethod
    def value_aim(what, most_percent, s, on):
        part = 100 * s["values_entered_wrong"] / max(s["values"], 1)
        told = f"{part:.2f} % ({s['values_entered_wrong']} of {s['values']}; {percent(s['refused'], s['allowed'])} of the strings refused)"
        return what, f"<= {most_percent} %", told, part <= most_percent, on

    def noises(self, snr):
        return [noise for noise, level in self.data["digits"] if level == snr]

    # --- sets -------------------------------------------------------------------------------------------------------

    def digits(self):
        clean = self.data["digits"][None, None]
        rows = [("clean, all speakers", stats(clips_of(clean), clean))]
        for split in ("tune", "check"):
            rows.append((f"clean, {split} half", stats(half(clips_of(clean), split), clean)))
        for (noise, snr), run in self.data["digits"].items():
            if noise:
                rows.append((f"{condition(noise, snr)}, check half", stats(check(run), run)))
        self.add("## Connected digits, recorded people", "")
        self.add("Speakers are halved by name. What is tuned (belief, limits) is tuned on one half; figures are of the other.")
        self.rows("digits", HEARD, rows, heard_row)
        s = stats(clips_of(self.data["table"]), self.data["table"])
        self.add(
            "The check half once more as at the table, cut by voice activity, 1.5 s of silence after each:"
            f" {of(s['right'], s['allowed'])} right, {s['wrong']} entered wrong, {s['refused']} refused;"
            f" end of speech to result {s['end_p50_ms']:.0f} ms (p50), {s['end_p95_ms']:.0f} ms (p95),"
            " the silence that ends an utterance included."
        )
        self.json["digits_at_the_table"] = s
        commands = self.data["commands"]
        self.add("", "### Single words", "", "Twenty words allowed, one or two syllables: the hardest for this engine.")
        s = stats(clips_of(commands), commands)
        self.rows("words", HEARD, [("words of the list", s)], heard_row)

    def engines(self):
        """Rows: conditions; columns: engines; cells: wrong strings, of them entered wrong."""
        digits = self.data["digits"]
        limit = figures.sound_limit(half(clips_of(digits[None, None]), "tune"))
        engines = {"moonshine under the grammar": digits}
        engines["moonshine free, matched by sound"] = {
            key: {"clips": figures.by_sound(check(run), limit)} for key, run in digits.items()
        }
        engines["vosk under the grammar"] = self.data["vosk"]
        engines["PocketSphinx under the grammar"] = self.data["sphinx"]
        engines = {name: runs for name, runs in engines.items() if runs}
        found, lines = [], []
        for key in digits:
            cells = [condition(*key)]
            names = {clip["name"] for clip in check(digits[key])}
            for name, runs in engines.items():
                clips = [clip for clip in clips_of(runs[key]) if clip["name"] in names]
                s = stats(clips, runs[key])
                found.append({"engine": name, "condition": cells[0], **s})
                wrong = s["wrong"] + s["refused"]
                cells.append(f"{percent(wrong, s['allowed'])} ({s['wrong']} entered wrong of {s['allowed']})")
            lines.append(cells)
        self.json["engines"] = {"sound_limit": limit, "rows": found}
        self.add("## Engines side by side", "")
        self.add("Strings of digits not right in value, refused ones included; in brackets those entered wrong. Check half.")
        self.add(*table(["sound", *engines], lines))
        self.add(
            "- \"Free\" is what the same network writes when nothing holds it, turned into phonemes by espeak-ng and matched"
            f" to the nearest string of digits; entered up to a distance of {limit:.2f} a phoneme, chosen on the tuning half.",
            "- PocketSphinx (its own English model, the grammar as JSGF) gives no figure of trust for a grammar's sentence:"
            " all that it hears is entered.",
        )
        if not self.data["vosk"]:
            self.add("- Vosk is left out: its English model was not there.")
        lines = []
        for name, runs in engines.items():
            if name.startswith("moonshine free"):
                continue
            s = stats([c for c in clips_of(runs[None, None])], runs[None, None])
            load = runs[None, None].get("load_seconds")
            lines.append([
                name, f"{s['p50_ms']:.0f} / {s['p95_ms']:.0f} ms", f"{s['part_of_real_time']:.2f}",
                number(load, "{:.1f} s"), number(s["memory_mb"], "{:.0f} MB"),
            ])  # fmt: skip
        self.add(*table(["engine, clean", "time p50 / p95", "part of the sound", "start", "memory"], lines))
        best = min(engines, key=lambda name: sum(
            row["wrong"] * 10 + row["refused"] for row in found if row["engine"] == name
        ))  # fmt: skip
        self.json["engines"]["best"] = best
        self.add(f"Least harm over all rows (a wrong entry weighs as much as ten refusals): {best}.")

    def vocabulary(self):
        own, voices = self.data["own"], self.data["voices"]
        rows = [(f"own clips, {name}", stats(clips_of(own[name]), own[name])) for name in own if name != "to be kept out"]
        for name, run in voices.items():
            rows.append((f"many voices, {name}", stats(clips_of(run), run)))
            if name == "clear":
                kinds = self.kinds(run)
                rows += [(f"of these, {kind}", stats(clips)) for kind, clips in kinds.items()]
        self.add("## The whole vocabulary, synthesised voices", "")
        self.add(
            "Own clips: `audio-fixtures/`. Many voices: sentences drawn from the grammar so that each way of saying and each"
            " word occurs, by Piper, hibari, Flite, Festival and espeak-ng voices and accents, at four speeds and three pitches"
            " (`bench/voices.py`). espeak-ng and Festival are hard to understand, for people too."
        )
        self.rows("vocabulary", HEARD, rows, heard_row)

    @staticmethod
    def kinds(run):
        """The clips by kind of voice, which the speaker's name begins with."""
        found = {}
        for clip in clips_of(run):
            kind = clip["speaker"].split("-")[0].split("*")[0]
            kind = "neural" if kind in ("piper", "hibari") else kind
            found.setdefault(kind, []).append(clip)
        return dict(sorted(found.items()))

    def kept_out(self):
        data = self.data
        rows = [("own clips to be kept out", stats(clips_of(data["own"]["to be kept out"])))]
        for name, run in data["out"].items():
            larger, rest = split_larger(clips_of(run))
            if larger:
                rows.append((f"{name}, strings with numbers above nine", stats(larger)))
            rows.append((f"{name}{', the rest' if larger else ''}", stats(rest)))
        if data["hours"]:
            rows.append(("noise, two at once, as at the table", stats(clips_of(*data["hours"]), tail_s=0)))
        if data["commands"]:
            rows.append(("single words that are not of the twenty", stats(clips_of(data["commands"]))))
        self.add("## What must be kept out", "")
        self.add(
            "Clips whose words the grammar does not allow; sentences of the grammar among the talk are not counted."
            " \"As at the table\": voice activity decides what the engine is given, as in use; else the engine gets each clip"
            " whole, which is harder. An hour's figure from a few minutes is rough. The whole grammar, but for the single words."
        )
        self.rows("kept_out", KEPT, rows, kept_row)
        if data["numbers"]:
            self.larger_numbers()

    def larger_numbers(self):
        """Whether larger numbers should compete with the digits."""
        run, digits = self.data["numbers"], check(self.data["digits"][None, None])
        larger, rest = split_larger(clips_of(run))
        names = {clip["name"] for clip in rest} & {clip["name"] for clip in digits}
        rows = [
            ("strings with numbers above nine, numbers allowed", stats(larger)),
            ("strings of digits, numbers allowed", stats([clip for clip in rest if clip["name"] in names])),
            ("the same, digits only allowed", stats([clip for clip in digits if clip["name"] in names])),
        ]
        self.add("### Numbers above nine", "")
        self.add(
            "\"Fifty one\" is no row of depths, but is heard as \"five one\" where the grammar allows digits only, and surely so."
            " The engine's free text tells most of them (those that it does not are the entries above). As a trial, numbers below"
            " a hundred compete with the digits, and what that costs:"
        )
        self.rows("larger_numbers", HEARD, rows, heard_row)

    def curve(self):
        data = self.data
        hear = {"many voices": clips_of(data["voices"]["clear"])}
        out = {"talk of many voices": clips_of(data["out"]["talk of many voices"])}
        if self.people:
            digits = data["digits"]
            noisy = [c for noise in self.noises(10) for c in check(digits[noise, 10])]
            hear = {"digits, clean": check(digits[None, None]), "digits, 10 dB": noisy, **hear}
            hear["single words"] = [c for c in check(data["commands"]) if c["fate"] in ("right", "wrong", "refused")]
            out["other words"] = [c for c in check(data["commands"]) if c["fate"] in ("kept_out", "false_entry")]
            foreign = lambda run: [c for c in clips_of(run) if c["fate"] in ("kept_out", "false_entry")]
            out["numbers above nine"], out["recorded talk"] = split_larger(foreign(data["out"]["recorded talk"]))
            out["noise"] = foreign(data["out"]["noise"])
        lines, found = [], []
        for belief in BELIEFS:
            cells = [f"**{belief}** (in use)" if belief == ENTERED_FROM else str(belief)]
            for name, clips in hear.items():
                refused, wrong, _ = figures.at_belief(clips, belief)
                cells.append(f"{percent(refused, len(clips))} / {percent(wrong, len(clips))}")
                found.append({"belief": belief, "set": name, "clips": len(clips), "refused": refused, "wrong": wrong})
            for name, clips in out.items():
                false = figures.at_belief(clips, belief)[2]
                cells.append(f"{false} of {len(clips)}")
                found.append({"belief": belief, "set": name, "clips": len(clips), "false_entries": false})
            lines.append(cells)
        self.json["curve"] = found
        self.add("## The curve of rejection", "")
        self.add(
            "If a sentence were entered from this belief on (0 to 1, the engine's own figure): refused / entered wrong of what"
            " must be heard, entered of what must be kept out. Engine alone, clips whole; recorded words: check half."
        )
        self.add(*table(["belief", *hear, *out], lines))

    # --- trials -----------------------------------------------------------------------------------------------------

    def depths(self):
        """Whether small depths should be thought likelier than large ones."""
        clips = clips_of(*self.data["digits"].values())
        rows = [(strength, *figures.with_depths(clips, strength)) for strength in (0.1, 0.25, 0.5, 1.0)]
        self.json["likelihood_of_depths"] = [dict(zip(("strength", "mended", "spoilt"), row)) for row in rows]
        self.add("## Common depths", "")
        self.add(
            "Small depths are commoner than large ones. As a trial that counts with the sound, at several strengths"
            f" (a guessed table, no source), over the {len(clips)} strings of digits above, clean and in noise:"
        )
        self.add(*table(["strength", "best string mended", "spoilt"], rows))
        self.add(
            "These digits are all alike in number, so a mouth would gain more; but what is spoilt is a deep pocket taken"
            " for a shallow one, the error that harms. It is not used; an unlikely depth is asked about instead."
        )

    def grammars(self):
        grammars, own = self.data["grammars"], self.data["own"]
        base = grammars["at the table, all teeth"]
        names = lambda run: {clip["name"] for clip in clips_of(run) if clip["fate"] in ("right", "wrong", "refused")}
        among = lambda run, kept: [clip for clip in clips_of(run) if clip["name"] in kept]
        pairs = []
        for name in ("all situations at once", "at the table, teeth of a dog", "at the table, teeth of a cat"):
            kept = names(base) & names(grammars[name])
            pairs.append((f"many voices, {name}", among(grammars[name], kept), among(base, kept), grammars[name]))
        for animal in ("dog", "cat"):
            run = grammars[f"demo {animal}, its own teeth"]
            kept = names(run)
            pairs.append((f"demo {animal}, its own teeth", among(run, kept), among(own[f"demo {animal}"], kept), run))
        lines, found = [], []
        for name, clips, before, run in pairs:
            s, b = stats(clips), stats(before)
            found.append({"set": name, "states": run["states"], "active": b, "other": s})
            cell = lambda x: f"{x['right']} / {x['wrong']} / {x['refused']}"
            lines.append([
                name, run["states"], s["allowed"], cell(s), cell(b), f"{s['p50_ms']:.0f} ms", f"{b['p50_ms']:.0f} ms",
            ])  # fmt: skip
        self.json["grammars"] = found
        self.add("## What the active grammar gains", "")
        self.add(
            "In a visit the engine hears under the grammar of the situation, with the teeth of all animals: a tooth that the"
            f" patient's kind lacks is heard and refused with its reason. That graph has {base['states']} states. Beside it, the"
            " same clips under another one: right / entered wrong / refused."
        )
        head = ["grammar", "states", "clips", "so", "active grammar", "time p50 so", "active"]
        self.add(*table(head, lines))
        speaking, talk = grammars["talk while the program speaks"], self.data["out"]["talk of many voices"]
        few, all_ = stats(clips_of(speaking)), stats(clips_of(talk))
        self.json["talk_while_speaking"] = few
        self.add(
            f"Where the grammar is small it is the gain: while the program speaks (stop, no, undo) {few['false_entries']} of"
            f" {few['foreign']} clips of talk are entered, in {few['p50_ms']:.0f} ms (p50); under the table's grammar"
            f" {all_['false_entries']} of {all_['foreign']}, in {all_['p50_ms']:.0f} ms."
        )

    def front_ends(self):
        lines, found = [], []
        for name, runs in self.data["front"].items():
            for level, part in (("10 dB", runs[::2]), ("5 dB", runs[1::2])):
                s = stats(clips_of(*part))
                found.append({"front_end": name, "level": level, **s})
                lines.append([
                    f"{name}, {level}", s["allowed"], percent(s["right"], s["allowed"]), of(s["wrong"], s["allowed"]),
                    of(s["refused"], s["allowed"]), f"{s['p50_ms']:.0f} ms",
                ])  # fmt: skip
        self.json["front_ends"] = found
        self.add("## Cleaning the sound first", "")
        self.add(
            "Running tap and vacuum cleaner together; the same mixtures cleaned before the engine gets them, outside the"
            " program. The suppressor is the crate nnnoiseless (RNNoise), warm as after some seconds of listening."
        )
        self.add(*table(["front end", "clips", "right", "entered wrong", "refused", "time p50"], lines))
        harm = {}
        for row in found:
            harm[row["front_end"]] = harm.get(row["front_end"], 0) + 10 * row["wrong"] + row["refused"]
        better = [name for name in harm if harm[name] < harm["none"]]
        verdict = "fewer come out wrong or refused with: " + ", ".join(better) if better else "none of them helps"
        self.json["front_ends_better"] = better
        self.add(f"On these clips (a wrong entry weighs as much as ten refusals): {verdict}.")

    def eight_bit(self):
        lines, found = [], []
        for name, run in self.data["bits"].items():
            s = stats(clips_of(run), run)
            found.append({"networks": name, "load_seconds": run["load_seconds"], **s})
            lines.append([
                name, s["allowed"], percent(s["right"], s["allowed"]), f"{s['wrong']} / {s['refused']}",
                f"{s['p50_ms']:.0f} / {s['p95_ms']:.0f} ms", f"{s['part_of_real_time']:.2f}", number(s["memory_mb"], "{:.0f} MB"),
            ])  # fmt: skip
        self.json["eight_bit"] = found
        self.add("## Eight bits", "")
        self.add(
            "The model is published with 8-bit weights; the program also multiplies in 8 bits. ONNX Runtime's dynamic"
            " quantiser finds no float weight left in a matrix product, so there is nothing more to make 8-bit."
        )
        head = ["networks", "clips", "right", "wrong / refused", "time p50 / p95", "part of the sound", "memory"]
        self.add(*table(head, lines))


SOURCES = """
## What was measured with

Human speech of public corpora, none of it part of this repository:

- connected digits, spelled names and addresses: CMU AN4 (free for any purpose), 74 speakers
- single words: Speech Commands 0.01 and 0.02 (CC BY 4.0)
- running speech: CMU ARCTIC (free, BSD-like), a LibriVox reading (public domain), PocketSphinx's test sentences (BSD)
- noise: backgrounds of Speech Commands (CC BY 4.0) and ESC-50 (CC BY-NC 3.0): tap, vacuum cleaner, machines, saw, alarm clock, dog, laughter

Synthesised speech: Piper voice "joe" (CC0), hibari (Apache-2.0), Flite and Festival (BSD-like), espeak-ng (GPL program; its speech is not covered by it).
Nobody of these examines a mouth, and none of the noise is a scaler: figures of a real room are still to be measured.
"""


def write(folder, data, runs, samples, quick):
    page = Page(data, samples)
    page.add(
        "# Recognition, measured", "",
        "Made by `bench/table.py`; do not edit by hand.",
        f"Machine: {os.cpu_count()} cores ({platform.machine()}). Noise is mixed in by the program, at its level below the speech.",
        "Right and wrong are by value: \"oh\" is zero. A string is one clip; it is wrong if any of its values is.",
        "Refused: the program asks again, nothing is entered. Wrong strings: entered wrong and refused together.",
        "Times are those of recognition alone if nothing else is said. Memory is the engine's process at its highest.",
        "Subsets are drawn by seed: " + ", ".join(f"{name} {count}" for name, count in samples.items() if count < 999) + ".",
        "",
    )  # fmt: skip
    if quick:
        page.add("**A trial with a few clips of each set: the figures mean nothing.**", "")
    page.aims()
    parts = [page.digits, page.engines] if page.people else []
    parts += [page.vocabulary, page.kept_out, page.curve]
    parts += [page.depths] if page.people else []
    parts += [page.grammars]
    parts += [page.front_ends, page.eight_bit] if page.people else []
    for part in parts:
        page.add("")
        part()
    if not page.people:
        page.add("", "Recorded people were not there to be measured with.")
    text = "\n".join(page.lines) + "\n" + SOURCES
    while "\n\n\n" in text:
        text = text.replace("\n\n\n", "\n\n")
    (folder / "recognition.md").write_text(text)
    page.json["runs"] = runs
    (folder / "recognition.json").write_text(json.dumps(page.json, indent=1) + "\n")
