#!/usr/bin/env python3
"""Runs of a queue that are killed at random moments lose nothing.

A small queue is run and killed, mostly without warning, at moments spread over start-up and work;
after each kill SQLite's own check must find the file whole, and what was committed must still be
there. When all is done, `queue results` must be, byte for byte but for seconds, those of a run that
nobody disturbed, and those of `rollout`, `cube` and `lesson`. Then the queue is added anew, until
the kills are used up. Run as: queue_kills.py TOOL [--kills N] [--seed S]
"""

import argparse
import json
import os
import random
import re
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time

ROLLS = [
    {"id": 1, "position": "8 6 5 / 24 6 5", "dice": "21", "half_width": 0.06},
    {"id": 2, "position": "6x2 5 3 / 24 6 5 4", "dice": "31", "half_width": 0.3, "cube": "centred"},
    {"id": 3, "position": "6x2 5 3 / 24 6 5 4", "dice": "31", "score": "dmp,gammon-go",
     "plays": "6/3 6/5; 6/5 3/off", "half_width": 0.08},
    {"id": 4, "position": "6x3 5 4 / 24 5x3 4", "dice": "52", "half_width": 0.15},
]
DOUBLES = [{"id": 5, "position": "6x2 5 3 / 24 6 5 4", "half_width": 0.12}]
for request in ROLLS + DOUBLES:
    request["trials"] = 36
LESSON = {"title": "Small", "position": "6 5 / 24 5", "rolls": ["31"], "scores": ["money", "dmp"],
          "flip": ["31"], "double": True, "cube": "centred", "trials": 36, "half_width": 0.2,
          "flip_trials": 36}
# Without warning, by the system, by a closed terminal, by the user.
SIGNALS = [signal.SIGKILL] * 6 + [signal.SIGTERM, signal.SIGHUP, signal.SIGINT]
INTERRUPTED = 130


def plain(text):
    """Results but for the seconds that they took."""
    return re.sub(r'"seconds":[0-9.e+-]+', '"seconds":0', text)


class Queue:
    """A queue's file, and the commands on it."""

    def __init__(self, tool, path):
        self.tool = tool
        self.path = path

    def command(self, *arguments):
        return [self.tool, "queue", *arguments[:1], "--db", self.path, *arguments[1:]]

    def ask(self, *arguments):
        done = subprocess.run(self.command(*arguments), capture_output=True, text=True, check=False)
        if done.returncode != 0:
            fail(f"queue {' '.join(arguments)} exits with {done.returncode}: {done.stderr}")
        return done.stdout

    def results(self):
        return plain(self.ask("results", "--quiet"))

    def entries(self):
        return [json.loads(line) for line in self.ask("list", "--json").splitlines()]

    def start(self):
        return subprocess.Popen(self.command("run", "--quiet", "--threads", "2"),
                                stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)

    def run_to_the_end(self):
        run = self.start()
        errors = run.communicate()[1]
        if run.returncode != 0:
            fail(f"a run exits with {run.returncode}: {errors}")


class Committed:
    """What a file holds; it may grow, and nothing else."""

    def __init__(self, path):
        with sqlite3.connect(f"file:{path}?mode=ro", uri=True, timeout=10) as database:
            self.check = database.execute("PRAGMA integrity_check").fetchone()[0]
            self.rounds = dict(((entry, number), (rounds, trials)) for entry, number, rounds, trials
                               in database.execute("SELECT entry, number, rounds, trials FROM part"))
            self.states = database.execute("SELECT count(*) FROM rollout").fetchone()[0]
        database.close()

    def follows(self, before):
        return (self.states >= before.states and self.rounds.keys() == before.rounds.keys() and
                all(self.rounds[part] >= at for part, at in before.rounds.items()))


def fail(text):
    print(f"FAILED: {text}")
    sys.exit(1)


def write_inputs():
    with open("rolls.jsonl", "w", encoding="utf-8") as file:
        file.writelines(json.dumps(request) + "\n" for request in ROLLS)
    with open("doubles.jsonl", "w", encoding="utf-8") as file:
        file.writelines(json.dumps(request) + "\n" for request in DOUBLES)
    with open("lesson.json", "w", encoding="utf-8") as file:
        json.dump(LESSON, file)


def add_all(queue):
    """Returns how many entries there are."""
    return len(queue.ask("add", "lesson.json", "rolls.jsonl", "doubles.jsonl").splitlines())


def told_at_once(tool):
    """What the commands say that answer at once, in the order of the queue."""
    commands = [["lesson", "lesson.json"], ["rollout", "--requests", "rolls.jsonl"],
                ["cube", "--requests", "doubles.jsonl"]]
    return plain("".join(
        subprocess.run([tool, *command, "--json"], capture_output=True, text=True,
                       check=True).stdout for command in commands))


def first_difference(one, other):
    for a, b in zip(one.splitlines(), other.splitlines()):
        for at, (x, y) in enumerate(zip(a, b)):
            if x != y:
                return f"{a[max(0, at - 80):at + 80]}\n  and {b[max(0, at - 80):at + 80]}"
    return f"{len(one)} and {len(other)} characters"


class Killer:
    def __init__(self, tool, kills, seed):
        self.tool = tool
        self.wanted = kills
        self.random = random.Random(seed)
        self.kills = self.queues = self.ended_first = 0
        # First, since it computes the tables that later runs find.
        at_once = told_at_once(tool)
        undisturbed = Queue(tool, "undisturbed.db")
        self.entries = add_all(undisturbed)
        start = time.monotonic()
        undisturbed.run_to_the_end()
        self.length = time.monotonic() - start
        self.expected = undisturbed.results()
        if self.expected != at_once:
            fail(f"a queue finds other than a command: {first_difference(self.expected, at_once)}")

    def kill_once(self, queue, before):
        """One run that is killed, if it does not end first. Returns whether all is done, and what
        the file holds then."""
        run = queue.start()
        time.sleep(self.random.uniform(0.0, self.length))
        by = self.random.choice(SIGNALS)
        ended = run.poll() is not None
        if not ended:
            run.send_signal(by)
        errors = run.communicate()[1]
        # One that comes before the tool listens ends it at once.
        expected = {0} if ended else {0, -by, INTERRUPTED}
        if run.returncode not in expected:
            fail(f"a run exits with {run.returncode} after signal {by}: {errors}")
        self.ended_first += ended
        self.kills += not ended
        now = Committed(queue.path)
        if now.check != "ok":
            fail(f"after {self.kills} kills SQLite finds: {now.check}")
        if before and not now.follows(before):
            fail(f"after {self.kills} kills something that was committed is gone")
        return ended or run.returncode == 0, now

    def play_one_queue(self):
        path = f"killed{self.queues}.db"
        queue = Queue(self.tool, path)
        add_all(queue)
        done, before = False, None
        while not done and self.kills < self.wanted:
            done, before = self.kill_once(queue, before)
        if not done:
            queue.run_to_the_end()
        states = {entry["state"] for entry in queue.entries()}
        if states != {"done"}:
            fail(f"entries of a run that has ended are {states}")
        found = queue.results()
        if found != self.expected:
            fail(f"kills change results: {first_difference(found, self.expected)}")
        self.queues += 1
        os.remove(path)

    def run(self):
        start = time.monotonic()
        while self.kills < self.wanted:
            self.play_one_queue()
        print(f"{self.kills} kills of {self.queues} queues with {self.entries} entries each; "
              f"{self.ended_first} runs ended before; an undisturbed run takes "
              f"{self.length:.1f} s, all {time.monotonic() - start:.0f} s")


def main():
    for by in SIGNALS[-3:]:
        signal.signal(by, signal.SIG_DFL)  # What started this may have them ignored.
    parser = argparse.ArgumentParser()
    parser.add_argument("tool")
    parser.add_argument("--kills", type=int, default=25)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    tool = os.path.abspath(options.tool)
    with tempfile.TemporaryDirectory() as folder:
        os.chdir(folder)
        os.environ["XDG_CACHE_HOME"] = folder
        write_inputs()
        Killer(tool, options.kills, options.seed).run()
        os.chdir("/")


main()
