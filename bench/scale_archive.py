"""The archive's half of `scale.py`: a PostgreSQL of its own, one clinic that hands its visits over through the door, the
other clinics copied from it within the database, and what the front desk and a table then ask."""

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
import time
import urllib.parse
import urllib.request
from pathlib import Path

ASKED = 200
SEED = 7
# A visit keeps its name and its text in each clinic, so that its chain of hashes fits there too; patients get names of
# their own.
COPY_TEXT = """
INSERT INTO sulcus.stretch (clinic, visit, first, last, rows, received_at)
    SELECT '{to}', visit, first, last, rows, received_at FROM sulcus.stretch WHERE clinic = '{of}';
"""
COPY = """
INSERT INTO sulcus.patient (id, clinic, species, name, identifier, owner, search, created_at, microchip)
    SELECT md5(p.id::text || '{to}')::uuid, '{to}', species, name, identifier, owner, search, created_at, microchip
    FROM sulcus.patient p WHERE clinic = '{of}';
INSERT INTO sulcus.visit (clinic, id, delivered_by, patient, as_recorded, state, opened_at, finished_at, entry_count,
        head_hash, value_count, confirmed_count, lost_count, is_invented, received_at, changed_at)
    SELECT '{to}', id, delivered_by, md5(patient::text || '{to}')::uuid, as_recorded, state, opened_at, finished_at,
        entry_count, head_hash, value_count, confirmed_count, lost_count, is_invented, received_at, changed_at
    FROM sulcus.visit WHERE clinic = '{of}';
INSERT INTO sulcus.seal (clinic, visit, number, hash, at, occasion, key, signature)
    SELECT '{to}', visit, number, hash, at, occasion, key, signature FROM sulcus.seal WHERE clinic = '{of}';
INSERT INTO sulcus.recheck (clinic, visit, number, from_day, until_day, teeth, what, is_result)
    SELECT '{to}', visit, number, from_day, until_day, teeth, what, is_result FROM sulcus.recheck WHERE clinic = '{of}';
"""


def at_leisure():
    """What is only made and not measured leaves the processors to others."""
    os.nice(10)


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
        self.start()

    def start(self):
        self.run("pg_ctl", "-s", "-w", "-l", "log", "-D", "data", "-o",
                 f"-p {self.port} -k {self.place} -c listen_addresses=127.0.0.1", "start")

    def run(self, program, *words):
        # What a server that was started keeps open must be no pipe of ours.
        out = {"stdout": subprocess.DEVNULL} if program == "pg_ctl" else {"capture_output": True}
        done = subprocess.run([*self.user, self.bin / program, *words], cwd=self.place, text=True,
                              stdin=subprocess.DEVNULL, **out)
        if done.returncode:
            sys.exit(f"{program}: {done.stderr}")
        return done.stdout

    def sql(self, text):
        return self.run("psql", "-X", "-A", "-t", "-q", "-1", "-v", "ON_ERROR_STOP=1", "-h", self.place, "-p",
                        str(self.port), "-U", "postgres", "-d", "sulcus", "-c", text).strip()

    def stop(self):
        self.run("pg_ctl", "-s", "-m", "fast", "-D", "data", "stop")


def get(address, path, key, body=None):
    request = urllib.request.Request(address + path, data=body, headers={"Authorization": "Bearer " + key, "Content-Type": "application/json"})
    began = time.monotonic()
    with urllib.request.urlopen(request) as answer:
        text = answer.read()
    return time.monotonic() - began, json.loads(text)


def ask_all(address, keys, with_text, owners, rng):
    asked = {"search": [], "timeline of an animal": [], "history for a table": [], "rechecks of the practice": []}
    for _ in range(ASKED):
        key = rng.choice(keys)
        seconds, hits = get(address, "/v1/patients?words=" + urllib.parse.quote(f"owner {rng.randrange(owners)}"), key)
        asked["search"].append(seconds)
        if hits:
            one = rng.choice(hits)
            asked["timeline of an animal"].append(get(address, "/v1/patients/" + one["id"], key)[0])
            patient = {"id": one["identifier"], "name": one["name"], "species": one["species"], "owner": one["owner"]}
            if key in with_text:
                asked["history for a table"].append(get(address, "/v1/history", key, json.dumps(patient).encode())[0])
        asked["rechecks of the practice"].append(get(address, "/v1/rechecks?until=2100-01-01", key)[0])
    return {name: sorted(seconds) for name, seconds in asked.items()}


def at(seconds, part):
    return seconds[min(len(seconds) - 1, int(len(seconds) * part))] * 1000


def measure(program, place, clinics, visits, keep_free):
    """The lines of the page."""
    postgres, server = Postgres(place), None
    try:
        keeper = place / "keeper"
        environment = dict(os.environ, SULCUS_ARCHIVE_DATABASE=f"host=127.0.0.1 port={postgres.port} dbname=sulcus user=postgres")

        def words(data, *more):
            return [program, "--data", data, "archive", *more]

        def ask(data, *more):
            return subprocess.run(words(data, *more), check=True, capture_output=True, text=True, env=environment).stdout

        codes, keys = [], []
        for number in range(clinics):
            told = ask(keeper, "init", "--clinic", f"Clinic {number:03} (invented)")
            codes.append(re.search(r"archive join (\S+)", told)[1])
            keys.append(re.search(r"front desk: (\S+)", told)[1])
        server = subprocess.Popen(words(keeper, "serve", "--port", "0"), stdout=subprocess.PIPE)
        address = next(line for line in server.stdout if line.startswith(b"Archive: ")).split()[1].decode().rstrip("/")
        # Three tables of one clinic: the first alone, the two others at once.
        tables = []
        shares = [visits // 5, 2 * visits // 5, visits - visits // 5 - 2 * visits // 5]
        for number, share in enumerate(shares):
            data = place / f"table-of-clinic-{number}"
            subprocess.run([program, "--data", data, "simulate", "--visits", str(share), "--seed", str(100 + number)], check=True, stdout=subprocess.DEVNULL, preexec_fn=at_leisure)
            (data / "clinic.toml").write_text(f'[archive]\naddress = "{address}"\n')
            code = codes[0] if number == 0 else re.search(r"archive join (\S+)", ask(keeper, "admit", "--table", f"Table {number + 1}", "--clinic", "Clinic 000 (invented)"))[1]
            ask(data, "join", code)
            tables.append(data)
        began = time.monotonic()
        ask(tables[0], "send")
        alone = shares[0] / (time.monotonic() - began)
        print("one table alone:", alone, "a second", flush=True)
        began = time.monotonic()
        both = [subprocess.Popen(words(data, "send"), stdout=subprocess.DEVNULL) for data in tables[1:]]
        if any(child.wait() for child in both):
            sys.exit("a delivery failed")
        together = sum(shares[1:]) / (time.monotonic() - began)
        print("two tables at once:", together, "a second", flush=True)
        for data in tables:
            shutil.rmtree(data)
        ids = postgres.sql("SELECT id FROM sulcus.clinic ORDER BY name").split()
        rng = random.Random(SEED)
        stages, done, texts, copying, each = [], 1, 1, 0.0, None
        for wanted in sorted({1, max(1, clinics // 10), clinics}):
            while done < wanted:
                began = time.monotonic()
                names = {"of": ids[0], "to": ids[done]}
                # Room is left for the rows of those whose text is not copied any more, and for the log.
                has_room = texts == done and shutil.disk_usage(place).free > keep_free + 6e9
                postgres.sql(COPY.format(**names) + (COPY_TEXT.format(**names) if has_room else ""))
                copying += time.monotonic() - began
                done, texts = done + 1, texts + has_room
                if done % 10 == 0:
                    print(done, "clinics", texts, "with text", round(copying), "s", flush=True)
            postgres.sql("ANALYZE")
            postgres.sql("SELECT 1")
            asked = ask_all(address, keys[:done], set(keys[:texts]), max(1, min(shares) // 8), rng)
            size = int(postgres.sql("SELECT pg_database_size('sulcus')"))
            if texts == done:
                each = size / (done * visits)
            stages.append((done, size, asked))
            print(done, "clinics:", size / 1e9, "GB", {name: (round(at(seconds, 0.5)), round(at(seconds, 0.95))) for name, seconds in asked.items()}, flush=True)
        entries = int(postgres.sql("SELECT sum(entry_count) FROM sulcus.visit"))
        return page(stages, visits, entries, alone, together, copying, texts, each)
    finally:
        if server:
            server.terminate()
            server.wait()
        postgres.stop()
        shutil.rmtree(place / "postgres", ignore_errors=True)


def page(stages, visits, entries, alone, together, copying, texts, each):
    done, size, _ = stages[-1]
    lines = [
        "## The archive",
        "",
        f"{done} clinics with {visits} visits each, {done * visits:,} in all, {entries:,} entries, {size / 1e9:.1f} GB, {each / 1000:.0f} KB a visit with its text; PostgreSQL with the settings it comes with, on the same two cores as the archive's server and whoever asks it. The visits of one clinic were handed over through the door by three tables; those of the others were copied from them within the database ({copying:.0f} s), since a million through the door would take {done * visits / together / 3600:.0f} hours."
        + (f" The disk has room for the texts of {texts} clinics, {texts * visits:,} visits; the visits of the others have all but their entries, and histories, which alone read entries, are asked of those that have them." if texts < done else ""),
        "",
        f"Handing over, with proof of chain and signatures and the plan for the rechecks: {alone:.1f} visits a second by one table, {together:.1f} by two at once, tables and archive on the same two cores, which others used too: {together * 86400:,.0f} a day. Ten visits a table a day, that is {together * 86400 / 10:,.0f} tables.",
        "",
        f"Asked {ASKED} times, each time by the owner of another clinic; milliseconds below which half stay, and in brackets 95 of 100; the last column is the growth of these with all visits of the archive, where each clinic has as many as before:",
        "",
        "| | " + " | ".join(f"{count * visits:,} visits" for count, *_ in stages) + " | the 95 grow |",
        "|---|" + "---|" * (len(stages) + 1),
    ]
    for name in stages[0][2]:
        cells = [f"{at(asked[name], 0.5):.0f} ({at(asked[name], 0.95):.0f})" for *_, asked in stages]
        first, last = stages[0], stages[-1]
        power = math.log(at(last[2][name], 0.95) / at(first[2][name], 0.95)) / math.log(max(2, last[0] / first[0]))
        lines.append(f"| {name} | " + " | ".join(cells) + f" | n^{power:.2f} |")
    tables = 10_000
    a_year = tables * 10 * 250
    a_second = tables * 10 / (10 * 3600)
    lines += [
        "",
        f"On paper, and no more than that: a country with {tables:,} tables of ten visits a working day hands over {tables * 10:,} visits a day, {a_second:.1f} a second over ten hours, which is {a_second / together:.1f} times what these two cores take with tables and archive on them; three times that for the busiest hour are some {max(2, round(2 * 3 * a_second / together)):.0f} cores. At {each / 1000:.0f} KB a visit a year takes {a_year * each / 1e12:.1f} TB, ten years {10 * a_year * each / 1e12:.0f} TB: more than one PostgreSQL is kept well with, so that a country would part the clinics among some ten of them, which nothing hinders: no request ever reads the rows of two clinics. That parting is not built. Each request reads the rows of one clinic by an index that begins with the clinic; the table above shows whether its time follows all visits.",
    ]
    return lines
