"""The tool, run so that it prints every form with every field that is to be had in seconds."""

import json
import pathlib
import sqlite3
import subprocess

FEW = ("--trials", "36", "--half-width", "0")
START = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"
RACE = "6x2 5 3 / 6x2 4 2"
CONTACT = "6x2 5 3 / 24 6 5 4"  # checkers are missing: answered with a warning
RULES = {"jacoby": True, "beavers": True}
LESSON = {
    "title": "Small", "notes": "In few trials.", "position": CONTACT, "scores": ["money", "dmp"],
    "rolls": [{"dice": "31", "plays": ["6/3 6/5"], "notes": "Hit?"}, "52"], "flip": ["31"],
    "double": True, **RULES, "trials": 36, "half_width": 0, "flip_trials": 36, "error": 0.01,
    "blunder": 0.05,
}
ENDLESS = {"trials": 36, "half_width": 1e-9, "most_trials": 100_000_000}


class Tool:
    """The program, with a net and a folder of its own."""

    def __init__(self, program, net, folder):
        self.program = program
        self.net = net
        self.folder = pathlib.Path(folder)
        self.printed = []  # (what was run, the line as JSON)

    def run(self, *arguments, text="", codes=(0,)):
        command = [str(part) for part in (self.program, *arguments)]
        done = subprocess.run(command, input=text, text=True, capture_output=True, timeout=300,
                              cwd=self.folder, check=False)
        if done.returncode not in codes:
            raise RuntimeError(f"{command} exits with {done.returncode}: {done.stderr}")
        return done

    def with_net(self, command, *arguments, **more):
        return self.run(command, *arguments, "--net", self.net, "--cache", self.folder / "cache",
                        "--quiet", **more)

    def keep(self, done):
        """What was printed, as JSON; kept."""
        def refuse(name):
            raise ValueError(f"{name} is not JSON")

        lines = [json.loads(line, parse_constant=refuse) for line in done.stdout.splitlines()]
        self.printed += [(" ".join(done.args[1:3]), line) for line in lines]
        return lines

    def ask(self, command, *arguments, **more):
        return self.keep(self.with_net(command, *arguments, "--json", **more))

    def answer(self, command, questions, *arguments, codes=(0,)):
        """The answers to requests; a text stands for a line that is not JSON."""
        lines = (each if isinstance(each, str) else json.dumps(each) for each in questions)
        return self.keep(self.with_net(command, "--requests", "-", *arguments,
                                       text="\n".join(lines), codes=codes))


def evaluations(tool):
    tool.answer("evaluate", [
        {"id": {"any": ["JSON"]}, "title": "Start", "position": START, "dice": "31", **RULES},
        {"after": "62: 24/18 13/11", "dice": "31", "score": "money,3-away/5-away"},
        {"position": CONTACT, "score": "money,4-away/2-away,dmp"},
        {"position": RACE, **RULES},
        {"position": RACE, "score": "2-away/4-away"},
        {"position": "6x5 5x5 4x5 / 6x5 5x5 4x5"},
        {"position": "12x5 5x5 4x5 / 12x5 5x5 4x5", "dice": "66", "cube": "none"},
        {"position": "6x2 5 / ", "score": "2-away/1-away crawford"},
        {"position": "bar / 6x2 3x2", "dice": "63", "checkers": 4},
        {"position": "2 / 1", "checkers": 1},
        "not JSON",
        {"id": "first", "position": START, "colour": 1},
    ], "--facts", codes=(1,))
    tool.answer("evaluate", [{"id": 1, "title": "Alone", "position": START}, {"position": RACE, "score": "dmp"}],
                "--distributions")


def doubles(tool):
    by_model = [
        {"id": 1, "title": "By the model", "after": "31: 8/5 6/5, 61: 13/7 8/7", **RULES},
        {"position": RACE},
        {"position": START, "score": "3-away/5-away,1-away/3-away crawford", "dice": "31"},
        {"position": "1 / 6x5", "cube": "roller:4", "score": "9-away/9-away"},
        {"position": "1 / 6", "cube": "opponent:2"},
    ]
    rolled = [
        {"position": CONTACT, "score": "money,3-away/5-away", "trials": 36, "half_width": 0.5},
        {"after": "31: 8/5 6/5, 61: 13/7 8/7", "beavers": True, "trials": 36},
        {"position": CONTACT, "cube": "opponent:2", "trials": 36},
    ]
    tool.answer("cube", by_model + [{"half_width": 0, **each} for each in rolled])
    tool.answer("cube", [{"half_width": 0, **rolled[0]}], "--opponent-net", tool.net)


def rollouts(tool):
    tool.answer("rollout", [
        {"id": 7, "title": "Small", "position": CONTACT, "dice": "31", **RULES},
        {"position": CONTACT, "dice": "31", "score": "3-away/5-away,dmp,money", "cube": "none"},
        {"position": START, "dice": "31", "half_width": 0.2, "most_trials": 72},
        {"position": RACE, "dice": "31", "plays": ["6/5 6/3", "6/3 3/2"]},
    ], *FEW, "--ledger", "--error", "0.01", "--blunder", "0.05")
    tool.ask("rollout", "--position", RACE, "--dice", "21", *FEW, "--plain", "--lookahead", "1",
             "--truncate", "6")
    tool.ask("rollout", "--position", RACE, "--dice", "21", *FEW, "--opponent-net", tool.net)
    tool.ask("flip", "--position", CONTACT, "--dice", "31", "--trials", "36")
    for position in ("8 6x3 5x2 / 24x2 6x4", "6x3 5x2 4 / bar 24 6x4"):  # with a break-even price
        tool.ask("flip", "--position", position, "--checkers", "6", "--dice", "31",
                 "--trials", "36")


def lessons(tool):
    tool.ask("lesson", "-", text=json.dumps(LESSON))
    tool.ask("lesson", "--position", RACE, "--dice", "31", "--score", "dmp", *FEW)
    tool.ask("lesson", "--position", RACE, "--dice", "31", "--flip", "31", *FEW, "--opponent-net",
             tool.net)


def small_ones(tool):
    tool.keep(tool.run("equities", "--json", "--score",
                       "money,dmp,3-away/5-away,1-away/3-away post-crawford"))
    for _ in ("solved", "loaded"):
        tool.keep(tool.run("solve", "--checkers", "1", "--json", "--quiet", "--cache",
                           tool.folder / "cache"))
    tool.keep(tool.run("duel", tool.net, tool.net, "--pairs", "4", "--json", "--quiet"))


def samples(tool):
    """What is written to a file instead of being printed."""
    for name, more in (("static.jsonl", ()), ("rolled.jsonl", ("--trials", "36"))):
        done = tool.with_net("sample", "--out", name, "--positions", "3", *more)
        done.stdout = (tool.folder / name).read_text(encoding="utf-8")
        tool.keep(done)


def matches(tool):
    """A match, and money by the Jacoby rule with a resignation and an illegal play."""
    tool.ask("match", pathlib.Path(__file__).parents[2] / "tools/demo/club_match.txt")
    tool.ask("match", pathlib.Path(__file__).parents[2] / "tools/demo/club_match.txt", "--depth",
             "rollout", "--bound", "0.22", "--half-width", "0.3")
    money = ("player: A\nplayer: B\ngame 1\njacoby\n1 31: 8/5 6/5\n64: 24/14\nresigns single\n"
             "game 2\n1 63: 24/20\n")
    tool.keep(tool.with_net("match", "-", "--json", text=money, codes=(1,)))


def queues(tool):
    """A queue with an entry in each state: failed, done, begun and waiting."""
    def put(name, text):
        (tool.folder / name).write_text(text, encoding="utf-8")
        return name

    def queue(command, *arguments, **more):
        return tool.run("queue", command, "--db", "night.db", *arguments, **more)

    def look():
        tool.keep(queue("list", "--json"))
        tool.keep(tool.with_net("queue", "results", "--db", "night.db", codes=(0, 1)))

    small = {"position": RACE, "dice": "21", **ENDLESS}
    done = [{"id": "fails", **small, "half_width": 1}, {"id": "ends", **small, "half_width": 1}]
    queue("add", put("done.jsonl", "\n".join(map(json.dumps, done))), "--net", tool.net)
    with sqlite3.connect(tool.folder / "night.db") as database:  # as no hand would leave it
        database.execute("UPDATE entry SET input = '{' WHERE id = 1")
    database.close()
    look()
    tool.with_net("queue", "run", "--db", "night.db", codes=(1,))
    look()
    double = {"position": CONTACT, **ENDLESS}
    open_ones = [{"id": "goes on", **double, "dice": "31"}, {"id": "double", **double}]
    endless = {**LESSON, **ENDLESS}
    queue("add", put("open.jsonl", "\n".join(map(json.dumps, open_ones))),
          put("open.json", json.dumps(endless)), "--net", tool.net)
    tool.with_net("queue", "run", "--db", "night.db", "--for", "2s", codes=(0, 1))
    look()


def all_answers(tool):
    """Whatever it prints, as (what was run, the line as JSON)."""
    for part in (evaluations, doubles, rollouts, lessons, small_ones, samples, matches, queues):
        part(tool)
    return tool.printed
