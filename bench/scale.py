#!/usr/bin/env python3
"""Measures how the program grows with the years and writes docs/scale.md.

    bench/scale.py [--visits 36500] [--clinics 200] [--clinic-visits 5000] [--program FILE] [--place DIR] [--part table|archive]

Makes journals of invented examinations by seed (`sulcus simulate --visits`), one of ten visits, one of a tenth and one
of all, and times what a table asks of them, with the memory each command took at most. Then `scale_archive.py` starts a
PostgreSQL of its own, has one clinic hand its visits over, copies them to the other clinics within the database, and
times what the front desk asks with one clinic in it, with a tenth, and with all. Run it on a quiet machine; the page
says which program, which machine and how many visits it was. `--part` measures one half alone; the figures of the other
are kept from the last time in the folder of `--place`, which is needed then.
"""

import argparse
import json
import math
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from datetime import datetime, timezone
from pathlib import Path

import scale_archive

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs/scale.md"
SEED = 7
# A second table begins where the first ends: what is new of a day for the backup that grows.
NEW_VISITS = 10
IDLE_SECONDS = 60
TRIES = 3
LISTENING_TRIES = 7


def timed(program, data, *words, tries=1):
    """Seconds, seconds of a processor, and megabytes at most of one command, which must succeed; the middle one of
    several tries."""
    figures = []
    for _ in range(tries):
        began = time.monotonic()
        with tempfile.TemporaryFile() as out:
            child = subprocess.Popen([program, "--data", data, *words], stdout=out, stderr=out)
            _, status, used = os.wait4(child.pid, 0)
            child.returncode = os.waitstatus_to_exitcode(status)
            seconds = time.monotonic() - began
            # `plan` ends with 1 where it has an alarm to tell.
            if child.returncode not in ((0, 1) if words[0] in ("plan", "compare") else (0,)):
                out.seek(0)
                sys.exit(f"{words}: {out.read().decode()[-2000:]}")
        figures.append(figure(seconds, used))
    return sorted(figures)[len(figures) // 2]


def figure(seconds, used):
    return seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def until(command, is_there, **more):
    """Seconds from the start of a program to the line that is looked for, and what it took until its end."""
    began = time.monotonic()
    child = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, stdin=subprocess.DEVNULL, **more)
    seconds = None
    for line in child.stdout:
        if is_there(line.decode(errors="replace")):
            seconds = time.monotonic() - began
            break
    child.send_signal(signal.SIGTERM)
    child.stdout.read()
    _, _, used = os.wait4(child.pid, 0)
    child.returncode = 0
    if seconds is None:
        sys.exit(f"{command}: ended before its line came")
    return figure(seconds, used)


class SoundServer:
    """A private one, so that `listen` opens a microphone and a loudspeaker; none where its packages are missing."""

    def __init__(self, place):
        self.child, self.place = None, place
        if not shutil.which("pulseaudio"):
            return
        socket = place / "socket"
        socket.unlink(missing_ok=True)
        (place / "server.pa").write_text(
            f"load-module module-native-protocol-unix socket={socket} auth-anonymous=1\n"
            "load-module module-null-sink sink_name=mouth rate=48000 channels=2 format=s16le\n")
        (place / "alsa.conf").write_text(
            "</usr/share/alsa/alsa.conf>\npcm.!default { type pulse }\nctl.!default { type pulse }\n")
        self.environment = dict(os.environ, HOME=str(place), XDG_RUNTIME_DIR=str(place), XDG_CONFIG_HOME=str(place),
                                PULSE_SERVER=f"unix:{socket}", ALSA_CONFIG_PATH=str(place / "alsa.conf"))
        self.child = subprocess.Popen(
            ["pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", "--disable-shm=yes", "-F",
             str(place / "server.pa")], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=self.environment)
        while not socket.exists():
            time.sleep(0.05)

    def stop(self):
        if self.child:
            self.child.terminate()
            self.child.wait()


def listening(program, data, sound, models):
    """From the start of `listen` to its first sentence, which it says once microphone, network and loop are running."""
    if sound.child is None or not (models / "MANIFEST.tsv").is_file():
        return None
    begun = [False]

    def is_there(line):
        is_first = begun[0] and bool(line.strip())
        begun[0] = begun[0] or line.startswith("visit ")
        return is_first

    command = [program, "--data", data, "--models", models, "listen", "--species", "dog", "--invented", "--no-check"]
    figures = []
    for _ in range(LISTENING_TRIES):
        begun[0] = False
        figures.append(until(command, is_there, env=sound.environment))
    # As if the whole journal had been checked today, which `finish` would do else.
    (data / "journal.checked").write_text(f"sulcus checked 1\n{datetime.now(timezone.utc):%Y-%m-%dT%H:%M:%SZ}\n")
    subprocess.run([program, "--data", data, "finish", "last", "--anyway"], check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    # What others do on the machine only ever makes it longer.
    return min(figures)


def idle(program, data):
    """Processor seconds a minute of a table without a visit, whose archive is away."""
    (data / "clinic.toml").write_text('[archive]\naddress = "http://127.0.0.1:9"\n')
    (data / "archive.secret").write_text("abcd\n")
    child = subprocess.Popen([program, "--data", data, "serve", "--port", "0"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    def used():
        fields = Path(f"/proc/{child.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    # The look through all of it at the start, and the check of a large journal beside the work, are not meant.
    began, checked = time.time(), data / "journal.checked"
    time.sleep(15)
    while (data / "journal.sqlite").stat().st_size > 64 << 20 and not (checked.is_file() and checked.stat().st_mtime >= began):
        time.sleep(1)
    before = used()
    time.sleep(IDLE_SECONDS)
    seconds = used() - before
    child.terminate()
    _, _, most = os.wait4(child.pid, 0)
    child.returncode = 0
    (data / "clinic.toml").unlink()
    (data / "archive.secret").unlink()
    return IDLE_SECONDS, seconds, most.ru_maxrss / 1024


def simulate(program, data, count, seed):
    began = time.monotonic()
    subprocess.run([program, "--data", data, "simulate", "--visits", str(count), "--seed", str(seed)], check=True, stdout=subprocess.DEVNULL, preexec_fn=scale_archive.at_leisure)
    return time.monotonic() - began


def table(program, place, count, sound, models, wanted, kept):
    """Measures the rows that are wanted, all where none is named, and puts them into those that are kept."""
    data, copy = place / f"table-{count}", place / f"backup-{count}"
    # With a place of its own the journals stay for the next time.
    if not (data / "journal.sqlite").is_file():
        kept["made"] = simulate(program, data, count, SEED)
    size = kept.setdefault("size", (data / "journal.sqlite").stat().st_size)
    figures = kept.setdefault("figures", {})

    def row(name, measure):
        if not wanted or any(name.startswith(start) for start in wanted):
            found = measure()
            figures[name] = [*found, "release" in str(program)] if found else None
            print(count, name, figures[name], flush=True)
            return True
        return False

    def page():
        command = [program, "--data", data, "serve", "--port", "0"]
        return sorted(until(command, lambda line: line.startswith("Page: ")) for _ in range(TRIES))[TRIES // 2]

    def once(*words):
        return lambda: timed(program, data, *words)

    def often(*words):
        return lambda: timed(program, data, *words, tries=TRIES)

    row("start to listening", lambda: listening(program, data, sound, models))
    row("start of the page", page)
    row("visits: all, as JSON", often("visits", "--json"))
    row("visits: search for an owner", often("visits", "--patient", "Invented Owner 1"))
    row("compare with the visit before", often("compare", "last"))
    row("plan", often("plan", "last"))
    row("what was not understood", often("sayings"))
    row("a minute at rest", lambda: idle(program, data))
    row("study table to a file", once("export", "--format", "study", "--with-invented", "-o", place / "study.csv"))
    (place / "study.csv").unlink(missing_ok=True)
    if row("backup, the first", once("backup", copy)):
        simulate(program, data, NEW_VISITS, int(time.time()))
        row(f"backup, grown by {NEW_VISITS} visits", once("backup", copy))
        copy.unlink()
    row("verify", once("verify"))


def law(few, many, count_few, count_many):
    """The power of the number of visits that leads from one figure to the other."""
    power = math.log(max(many, 1e-3) / max(few, 1e-3)) / math.log(count_many / count_few)
    return f"n^{power:.2f}"


def table_page(rows, counts):
    lines = [
        "## One table",
        "",
        f"Seconds by the clock, seconds of a processor, and in brackets the most memory of the whole command in MB; the middle of {TRIES} where it is short. On a busy machine the processor's seconds say more. The last columns are the growth of these and of the memory from {counts[1]} to {counts[2]} visits as a power of their number: n^0 does not grow, n^1 grows with them. Rows with * are of the build that the tests use, which is slower than a release.",
        "",
        "| | " + " | ".join(f"{count} visits" for count in counts) + " | processor grows | memory grows |",
        "|---|" + "---|" * (len(counts) + 2),
    ]
    for name in rows[0]["figures"]:
        cells = [row["figures"][name] for row in rows]
        if any(cell is None for cell in cells):
            lines.append(f"| {name} | " + "not measured | " * len(counts) + "| |")
            continue
        shown = [f"{seconds:.2f}, {processor:.2f} ({megabytes:.0f})" for seconds, processor, megabytes, _ in cells]
        grown = [law(max(cells[1][part], 0.01), max(cells[2][part], 0.01), counts[1], counts[2]) for part in (1, 2)]
        star = "" if all(cell[3] for cell in cells) else " *"
        lines.append(f"| {name}{star} | " + " | ".join(shown + grown) + " |")
    sizes = " | ".join(f"{row['size'] / 1e6:.0f} MB" for row in rows)
    lines += [
        f"| the journal | {sizes} | {law(rows[1]['size'], rows[2]['size'], counts[1], counts[2])} | |",
        "",
        (f"Making {counts[2]} visits took {rows[2]['made']:.0f} s. " if "made" in rows[2] else "") + f"\"Start to listening\" is the time from the start of `listen` on a private sound server, with recognition and voice, to the first sentence that it says, the least of {LISTENING_TRIES} tries. \"compare\" and \"plan\" are the commands, which open the journal first; said in the conversation they read the same visits and no more. The backup that grows was tried with a day's visits new, and reads a thirtieth of the others again. A minute at rest is `serve` without a visit, whose archive is away.",
        "",
        "## Held against the aims",
        "",
        "| aim | measured | |",
        "|---|---|---|",
    ]
    of = lambda name: rows[2]["figures"][name]
    aims = []
    if of("start to listening"):
        more = of("start to listening")[0] - rows[0]["figures"]["start to listening"][0]
        aims.append(("start to listening at most 1 s more than with ten visits", f"{more:.2f} s more", more <= 1))
    for name in ("visits: all, as JSON", "visits: search for an owner", "compare with the visit before", "plan"):
        aims.append((f"{name}: 0.3 s", f"{of(name)[0]:.2f} s by the clock, {of(name)[1]:.2f} s of a processor", of(name)[1] <= 0.3))
    # The networks of hearing and speaking take what they take; what the journal adds is looked at.
    ears = of("start to listening")
    most = max(figure[2] for name, figure in rows[2]["figures"].items() if figure and name != "start to listening")
    aims.append(("memory of any command at most 200 MB", f"{most:.0f} MB" + (f"; `listen`, most of it networks, {rows[0]['figures']['start to listening'][2]:.0f} MB with ten visits and {ears[2]:.0f} MB" if ears else ""), most <= 200))
    lines += [f"| {aim} | {found} | {'held' if is_held else '**missed**'} |" for aim, found, is_held in aims]
    lines += ["", "The aims of 0.3 s are held against the seconds of a processor, that of the memory against all commands but `listen`."]
    return lines


def main():
    wanted = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    wanted.add_argument("--visits", type=int, default=36_500)
    wanted.add_argument("--clinics", type=int, default=200)
    wanted.add_argument("--clinic-visits", type=int, default=5_000)
    wanted.add_argument("--program", type=Path, default=ROOT / "target/release/sulcus")
    wanted.add_argument("--models", type=Path, default=ROOT / "models")
    wanted.add_argument("--place", type=Path, help="folder to work in; a temporary one otherwise")
    wanted.add_argument("--part", choices=("table", "archive"))
    wanted.add_argument("--rows", default="", help="of the table: measure only those that begin so, divided by commas, and keep the others of --place")
    wanted.add_argument("--keep-free", type=float, default=20, help="gigabytes of the disk that are left free")
    wanted.add_argument("--note", default="", help="said on the page about the machine")
    options = wanted.parse_args()
    if not options.program.is_file():
        sys.exit(f"{options.program} is not built; cargo build --release, or --program FILE")
    if options.part and not options.place:
        sys.exit("--part needs --place, where the other half's figures are kept")
    program = options.program.resolve()
    place = options.place or Path(tempfile.mkdtemp(prefix="sulcus-scale-"))
    place.mkdir(exist_ok=True)
    os.chmod(place, 0o755)
    kept = place / "figures.json"
    figures = json.loads(kept.read_text()) if kept.is_file() else {}
    build = "the release build" if "release" in str(program) else "the build that the tests use, which is slower than a release"
    how = f"on {datetime.now(timezone.utc):%Y-%m-%d}, with {build}, on {os.cpu_count()} cores. {options.note}".rstrip()
    try:
        if options.part != "archive":
            sound = SoundServer(place)
            counts = [10, options.visits // 10, options.visits]
            all_rows = figures.setdefault("rows", {})
            names = [name for name in options.rows.split(",") if name]
            try:
                for count in counts:
                    table(program, place, count, sound, options.models, names, all_rows.setdefault(str(count), {}))
                    kept.write_text(json.dumps(figures))
            finally:
                sound.stop()
            figures["table"] = {"how": figures["table"]["how"] if names and "table" in figures else how, "lines": table_page([all_rows[str(count)] for count in counts], counts)}
            kept.write_text(json.dumps(figures))
        if options.part != "table":
            lines = scale_archive.measure(program, place, options.clinics, options.clinic_visits, options.keep_free * 1e9)
            figures["archive"] = {"how": how, "lines": lines}
            kept.write_text(json.dumps(figures))
        lines = [
            "# How it grows",
            "",
            "Written by `bench/scale.py`. The visits are invented examinations by seed (`sulcus simulate --visits`): whole mouths as the session enters them, ten a day, each animal four times on average.",
        ]
        for part in ("table", "archive"):
            if part in figures:
                head, *rest = figures[part]["lines"]
                lines += ["", head, "", "Measured " + figures[part]["how"], *rest]
        PAGE.write_text("\n".join(lines) + "\n")
        print("written:", PAGE)
    finally:
        if not options.place:
            shutil.rmtree(place, ignore_errors=True)


main()
