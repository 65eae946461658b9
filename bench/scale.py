#!/usr/bin/env python3
"""Measures how the program grows with the years and writes docs/scale.md.

    bench/scale.py [--visits 36500] [--clinics 3] [--clinic-visits 1000] [--program FILE]

Makes journals of invented examinations by seed (`sulcus simulate --visits`), one of ten visits, one of a tenth and one
of all, and times what a table asks of them, with the memory each command took at most. Then starts a PostgreSQL of its
own in a temporary folder, makes an archive of as many clinics, has each hand its visits over, and times what the front
desk asks. Run it on a quiet machine; the page says which program, which machine and how many visits it was.
"""

import argparse
import json
import math
import os
import pwd
import random
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.parse
import urllib.request
from datetime import datetime, timezone
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs/scale.md"
ASKED = 200
SEED = 7


def timed(program, data, *words):
    """Seconds and megabytes at most of one command, which must succeed."""
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
    return seconds, used.ru_maxrss / 1024


def started(program, data):
    """From the start of the page to its address, and the memory it has then."""
    began = time.monotonic()
    child = subprocess.Popen([program, "--data", data, "serve", "--port", "0"], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    for line in child.stdout:
        if line.startswith(b"Page: "):
            break
    seconds = time.monotonic() - began
    child.terminate()
    _, _, used = os.wait4(child.pid, 0)
    child.returncode = 0
    return seconds, used.ru_maxrss / 1024


def table(program, place, count):
    data = place / f"table-{count}"
    began = time.monotonic()
    subprocess.run([program, "--data", data, "simulate", "--visits", str(count), "--seed", str(SEED)], check=True, stdout=subprocess.DEVNULL)
    made = time.monotonic() - began
    figures = {
        "start of the page": started(program, data),
        "visits: all, as JSON": timed(program, data, "visits", "--json"),
        "visits: search for an owner": timed(program, data, "visits", "--patient", "Invented Owner 1"),
        "compare with the visit before": timed(program, data, "compare", "last"),
        "plan": timed(program, data, "plan", "last"),
        "study table to a file": timed(program, data, "export", "--format", "study", "--with-invented", "-o", place / "study.csv"),
        "verify": timed(program, data, "verify"),
        "backup": timed(program, data, "backup", place / f"backup-{count}"),
    }
    size = (data / "journal.sqlite").stat().st_size
    print(count, "visits:", figures, flush=True)
    return data, made, size, figures


class Postgres:
    def __init__(self, place):
        versions = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
        if not versions:
            sys.exit("PostgreSQL is not installed: apt-get install postgresql")
        self.bin, self.place = versions[-1], place / "postgres"
        self.place.mkdir()
        self.user = []
        if os.geteuid() == 0:
            who = pwd.getpwnam("postgres")
            os.chown(self.place, who.pw_uid, who.pw_gid)
            self.user = ["setpriv", "--reuid", "postgres", "--regid", "postgres", "--clear-groups"]
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.run("initdb", "-E", "UTF8", "--locale=C.UTF-8", "-U", "postgres", "-A", "trust", "-D", "data")
        self.run("pg_ctl", "-s", "-w", "-l", "log", "-D", "data", "-o",
                 f"-p {self.port} -k {self.place} -c listen_addresses=127.0.0.1", "start")

    def run(self, program, *words):
        done = subprocess.run([*self.user, self.bin / program, *words], cwd=self.place, capture_output=True, text=True,
                              stdin=subprocess.DEVNULL) if program != "pg_ctl" else subprocess.run(
                                  [*self.user, self.bin / program, *words], cwd=self.place, stdout=subprocess.DEVNULL, text=True)
        if done.returncode:
            sys.exit(f"{program}: {done.stderr}")
        return done.stdout

    def sql(self, text):
        return self.run("psql", "-X", "-A", "-t", "-q", "-h", self.place, "-p", str(self.port), "-U", "postgres", "-d", "sulcus", "-c", text).strip()

    def stop(self):
        self.run("pg_ctl", "-s", "-m", "fast", "-D", "data", "stop")


def archive(program, place, clinics, visits):
    postgres = Postgres(place)
    server = None
    try:
        keeper = place / "keeper"
        environment = dict(os.environ, SULCUS_ARCHIVE_DATABASE=f"host=127.0.0.1 port={postgres.port} dbname=sulcus user=postgres")

        def ask(data, *words):
            return subprocess.run([program, "--data", data, "archive", *words], check=True, capture_output=True, text=True, env=environment).stdout

        codes, keys = [], []
        for number in range(clinics):
            told = ask(keeper, "init", "--clinic", f"Clinic {number} (invented)")
            codes.append(re.search(r"archive join (\S+)", told)[1])
            keys.append(re.search(r"front desk: (\S+)", told)[1])
        server = subprocess.Popen([program, "--data", keeper, "archive", "serve", "--port", "0"], stdout=subprocess.PIPE)
        address = next(line for line in server.stdout if line.startswith(b"Archive: ")).split()[1].decode().rstrip("/")
        sent = 0.0
        for number, code in enumerate(codes):
            data = place / f"clinic-{number}"
            subprocess.run([program, "--data", data, "simulate", "--visits", str(visits), "--seed", str(100 + number)], check=True, stdout=subprocess.DEVNULL)
            (data / "clinic.toml").write_text(f'[archive]\naddress = "{address}"\n')
            ask(data, "join", code)
            began = time.monotonic()
            ask(data, "send")
            sent += time.monotonic() - began
            print("clinic", number, "handed over", flush=True)
        postgres.sql("ANALYZE")
        rng = random.Random(SEED)

        def get(path, key, body=None):
            request = urllib.request.Request(address + path, data=body, headers={"Authorization": "Bearer " + key, "Content-Type": "application/json"})
            began = time.monotonic()
            with urllib.request.urlopen(request) as answer:
                text = answer.read()
            return time.monotonic() - began, json.loads(text)

        asked = {"search": [], "timeline of an animal": [], "history for a table": [], "rechecks of the practice": []}
        for _ in range(ASKED):
            key = rng.choice(keys)
            seconds, hits = get("/v1/patients?words=" + urllib.parse.quote(f"owner {rng.randrange(visits // 8 + 1)}"), key)
            asked["search"].append(seconds)
            if hits:
                one = rng.choice(hits)
                asked["timeline of an animal"].append(get("/v1/patients/" + one["id"], key)[0])
                patient = {"id": one["identifier"], "name": one["name"], "species": one["species"], "owner": one["owner"]}
                asked["history for a table"].append(get("/v1/history", key, json.dumps(patient).encode())[0])
            asked["rechecks of the practice"].append(get("/v1/rechecks?until=2100-01-01", key)[0])
        size = int(postgres.sql("SELECT pg_database_size('sulcus')"))
        entries = int(postgres.sql("SELECT sum(entry_count) FROM sulcus.visit"))
        return sent, size, entries, asked
    finally:
        if server:
            server.terminate()
            server.wait()
        postgres.stop()


def law(few, many, count_few, count_many):
    """The power of the number of visits that leads from one figure to the other."""
    power = math.log(max(many, 1e-3) / max(few, 1e-3)) / math.log(count_many / count_few)
    return f"n^{power:.2f}"


def main():
    wanted = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    wanted.add_argument("--visits", type=int, default=36_500)
    wanted.add_argument("--clinics", type=int, default=3)
    wanted.add_argument("--clinic-visits", type=int, default=1_000)
    wanted.add_argument("--program", type=Path, default=ROOT / "target/release/sulcus")
    wanted.add_argument("--note", default="", help="said on the page about the machine")
    options = wanted.parse_args()
    if not options.program.is_file():
        sys.exit(f"{options.program} is not built; cargo build --release, or --program FILE")
    program = options.program.resolve()
    place = Path(tempfile.mkdtemp(prefix="sulcus-scale-"))
    os.chmod(place, 0o755)
    try:
        counts = [10, options.visits // 10, options.visits]
        rows = {count: table(program, place, count) for count in counts}
        sent, archived, entries, asked = archive(program, place, options.clinics, options.clinic_visits)
        in_archive = options.clinics * options.clinic_visits
        build = "the release build" if "release" in str(program) else "the build that the tests use, which is slower than a release"
        lines = [
            "# How it grows",
            "",
            f"Written by `bench/scale.py` on {datetime.now(timezone.utc):%Y-%m-%d}, with {build}, on {os.cpu_count()} cores. {options.note}".rstrip(),
            "",
            "The visits are invented examinations by seed (`sulcus simulate --visits`): whole mouths as the session enters them, ten a day, each animal four times on average.",
            "",
            "## One table",
            "",
            f"Seconds and, in brackets, the most memory of the whole command in MB. The last column is the growth from {counts[1]} to {counts[2]} visits as a power of their number: n^0 does not grow, n^1 grows with them.",
            "",
            "| | " + " | ".join(f"{count} visits" for count in counts) + " | time grows | memory grows |",
            "|---|" + "---|" * (len(counts) + 2),
        ]
        for name in rows[counts[0]][3]:
            cells = [rows[count][3][name] for count in counts]
            shown = [f"{seconds:.2f} ({megabytes:.0f})" for seconds, megabytes in cells]
            grown = [law(cells[1][part], cells[2][part], counts[1], counts[2]) for part in (0, 1)]
            lines.append(f"| {name} | " + " | ".join(shown + grown) + " |")
        sizes = " | ".join(f"{rows[count][2] / 1e6:.0f} MB" for count in counts)
        lines += [
            f"| the journal | {sizes} | {law(rows[counts[1]][2], rows[counts[2]][2], counts[1], counts[2])} | |",
            "",
            f"Making {counts[2]} visits took {rows[counts[2]][1]:.0f} s.",
            "",
            "## The archive",
            "",
            f"{options.clinics} clinics with {options.clinic_visits} visits each, {in_archive} in all, {entries} entries; PostgreSQL with the settings it comes with, on the same machine as everything else. This is far from a country: what a million visits cost was not measured.",
            "",
            f"Handing over: {sent / in_archive * 1000:.0f} ms a visit, one table at a time, with proof of chain and signatures and the plan for the rechecks: {86400 / (sent / in_archive):,.0f} visits a day. In the database a visit takes {archived / in_archive / 1000:.0f} KB.",
            "",
            f"| asked {ASKED} times | half below | 95 of 100 below |",
            "|---|---|---|",
        ]
        for name, seconds in asked.items():
            seconds.sort()
            at = lambda part: seconds[min(len(seconds) - 1, int(len(seconds) * part))] * 1000
            lines.append(f"| {name} | {at(0.5):.0f} ms | {at(0.95):.0f} ms |")
        million = archived / in_archive * 1e6 / 1e9
        lines += [
            "",
            f"On paper, and no more than that: a million visits would take some {million:.0f} GB at this size, and {sent / in_archive * 1e6 / 3600:.0f} hours to be handed over one after another. Each request reads the rows of one clinic by an index that begins with the clinic, so that its time should follow the clinic's own visits and not all of them.",
        ]
        PAGE.write_text("\n".join(lines) + "\n")
        print("written:", PAGE)
    finally:
        shutil.rmtree(place, ignore_errors=True)


main()
