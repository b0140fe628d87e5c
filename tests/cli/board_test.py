#!/usr/bin/env python3
"""The board's server answers as the command line does, and nobody but its own page.

Requests go over plain sockets, so that those can be tried too that no browser sends. Run as:
board_test.py TOOL DEMO [PART ...]
"""

import json
import os
import re
import socket
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True  # the source tree stays clean

import board_client
from board_client import AFTER, Board, asked, check, command, plain, wait_until
from board_hostile import try_crowds, try_guards, try_headers, try_opening, try_sizes

SMALL = {"position": "8 6 5 / 24 6 5", "dice": "21", "trials": 36, "half_width": 0.1}
LESSON = {"title": "Small", "position": "6 5 / 24 5", "rolls": ["31"], "scores": ["money", "dmp"],
          "double": True, "cube": "centred", "trials": 36, "half_width": 0.2, "flip": ["31"],
          "flip_trials": 36}
# Enough for several looks on any machine.
LONG = {**AFTER, "plays": "24/14; 24/18 13/9; 13/7 13/9", "trials": 600, "half_width": 0,
        "seed": 7, "ledger": True}
ENDLESS = {**AFTER, "half_width": 0.0001, "most_trials": 10_000_000}


def try_static(board, tool):
    """Bytes are those of the command line."""
    for request in (AFTER, {**AFTER, "id": [1], "title": "T", "facts": True,
                            "score": "dmp,3-away/5-away"},
                    {"position": "5 2 / 4 1"}):
        check(board.post("evaluate", request).body == asked(tool, "evaluate", request),
              f"evaluate {request} is another")
    for request in ({"after": "31: 8/5 6/5"}, {"position": "5 2 / 4 1", "cube": "roller:2"}):
        check(board.post("cube", request).body == asked(tool, "cube", request),
              f"cube {request} is another")
    check(board.post("cube", {"after": "31: 8/5 6/5", "trials": 36}).status == 400,
          "a rollout is made at once")
    picture = board.post("diagram", {**AFTER, "cube": "roller:4"})
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "board.svg")
        command(tool, "evaluate", "--after", AFTER["after"], "--dice", "64", "--cube", "roller:4",
                "--diagram", path)
        with open(path, encoding="utf-8") as file:
            check(picture.body == file.read(), "the picture is another")
    check(picture.headers["content-type"] == "image/svg+xml", "the picture is none")


def try_look(board):
    look = board.post("look", {"id": 5, **AFTER}).json()
    check(look["id"] == 5 and look["position"] == "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2" and
          look["pips"] == [167, 163] and look["roller"][13] == 5 and look["opponent"][5] == 2 and
          len(look["roller"]) == 26 and look["warnings"] == [], f"the look is {look}")
    plays = {play["play"]: play["result"] for play in look["plays"]}
    check(len(plays) == 11 and
          plays["24/14"] == "24x2 13x5 8x2 6x4 5x2 / 24 14 13x5 8x3 6x5", f"the plays are {plays}")
    bare = board.post("look", {"position": "bar 6 / 24 3"}).json()
    check("plays" not in bare and bare["roller"][25] == 1 and bare["roller"][0] == 13,
          f"without dice the look is {bare}")


def try_work(board, tool):
    """Long work ends with what the command line prints, however it was watched."""
    for name, request in (("rollout", {**SMALL, "id": "r", "ledger": True}),
                          ("cube", {"position": "6x2 5 3 / 24 6 5 4", "half_width": 0.12,
                                    "trials": 36})):
        event, data = board.works({"kind": name, **request})
        check(event == "done" and plain(data + "\n") == plain(asked(tool, name, request)),
              f"{name} ends with {event}: {data[:200]}")
    flip = {"position": "6 5 / 24 5", "dice": "31", "trials": 36}
    event, data = board.works({"kind": "flip", **flip})
    printed = command(tool, "flip", "--position", flip["position"], "--dice", "31", "--trials",
                      "36", "--json")
    check(event == "done" and plain(data + "\n") == plain(printed),
          f"flip ends with {event}: {data}")
    for body in ({"kind": "rollout", "position": "6 5 / 24 5"}, {"kind": "x"}, {},
                 {"kind": "cube", **SMALL}, {"kind": "rollout", **SMALL, "score": "money,dmp"},
                 {"kind": "flip", **flip, "score": "dmp"}, {"kind": "lesson"},
                 {"kind": "lesson", "lesson": {**LESSON, "rolls": ["77"]}},
                 {"kind": "rollout", **SMALL, "plays": "8/2"}):
        answer = board.post("work", body)
        check(answer.status == 400 and "error" in answer.json(), f"work {body} is taken")


def try_two_pages(board, tool):
    """Two pages at once get what each of them would get alone."""
    requests = [{**AFTER, "plays": "24/14; 24/18 13/9", "trials": 144, "half_width": 0,
                 "seed": seed} for seed in (1, 2)]
    expected = [plain(asked(tool, "rollout", request)) for request in requests]
    streams = [board.get(f"work/{board.start({'kind': 'rollout', **request})}").events()
               for request in requests]
    ends = [None, None]
    while not all(ends):
        for n, stream in enumerate(streams):
            event, data = next(stream, (None, None))
            if event == "done":
                ends[n] = plain(data + "\n")
            elif event != "progress" and not ends[n]:
                ends[n] = f"{event}: {data}"
    check(ends == expected, "two pages get other answers than one")


def try_lessons(board, tool, folder):
    work = board.start({"kind": "lesson", "lesson": LESSON})
    check(board.get(f"work/{work}/sheet.html").status == 409, "there is a sheet before the work")
    events = board.finished(work)
    parts = [json.loads(data)["part"] for event, data in events if event == "progress"]
    check(events[-1][0] == "done" and parts == sorted(parts) and set(parts) == {0, 1, 2, 3, 4},
          f"the lesson's parts are {parts}")
    shares = [json.loads(data)["percent"] for event, data in events if event == "progress"]
    check(shares == sorted(shares) and shares[-1] <= 100, f"the lesson comes on by {shares}")
    with open(os.path.join(folder, "lesson.json"), "w", encoding="utf-8") as file:
        json.dump(LESSON, file)
    def plain_of(text):
        text = re.sub(r"\d+(\.\d+)? (s|second|seconds|minutes)\b", "0 s", plain(text))
        return text.replace(" --force", "")

    for name, kind in (("sheet.html", "text/html"), ("sheet.md", "text/markdown"),
                       ("sheet.csv", "text/csv"), ("sheet.json", "application/json")):
        subprocess.run([os.path.abspath(tool), "lesson", "lesson.json", "--out", name, "--force"],
                       cwd=folder, capture_output=True, check=True)
        with open(os.path.join(folder, name), encoding="utf-8", newline="") as file:
            printed = file.read()
        sheet = board.get(f"work/{work}/{name}")
        check(plain_of(sheet.body) == plain_of(printed), f"{name} is another")
        check(sheet.headers["content-type"].startswith(kind), f"{name} is of another kind")
        check(("attachment" in sheet.headers.get("content-disposition", "")) ==
              (name != "sheet.html"), f"{name} is shown or saved")
    page = board.get(f"work/{work}/sheet.html")
    check("style-src 'unsafe-inline'" in page.headers["content-security-policy"] and
          "script-src" not in page.headers["content-security-policy"], "the sheet may run scripts")
    check("<details" in board.get(f"work/{work}/quiz.html").body, "there is no quiz")
    done = json.loads(events[-1][1])["json"]
    cell = [data for event, data in events if event == "progress"
            and json.loads(data)["part"] == 2][-1]
    check(json.loads(plain(cell))["answer"] == {**json.loads(plain(json.dumps(
        done["cells"][0], separators=(",", ":")))), "id": None}, "a cell is told in another way")
    check(done["schema"].startswith("sixfold.lesson/"), "the lesson is no JSON")
    check(json.loads(plain(board.get(f"work/{work}/sheet.json").body)) ==
          json.loads(plain(json.dumps(done, separators=(",", ":")))), "the lesson's JSON differs")


def try_stopping(board, tool):
    """Stopped and gone on with, it comes out as if nobody had."""
    expected = plain(asked(tool, "rollout", LONG))
    work = board.start({"kind": "rollout", **LONG})
    stops = 0
    played = 0
    while True:
        for event, data in board.get(f"work/{work}").events():
            news = json.loads(data)
            if event == "progress" and news["answer"]:
                check(news["trials"] >= played, "what was played is not kept")
                if stops < 3 and news["percent"] > 20 * (stops + 1):
                    board.post(f"work/{work}/stop", "{}")
        if event != "stopped":
            break
        stops += 1
        played = json.loads(data)["trials"]
        news = json.loads(data)
        check(news["answer"]["interrupted"] is True and 0 < news["percent"] < 100,
              f"what is stopped tells {data[:200]}")
        again = [event for event, _ in board.get(f"work/{work}").events()]
        check(again == ["stopped"], f"what was stopped is told again as {again}")
        before = work
        work = board.post(f"work/{work}/go-on", "{}").json()["work"]
        check(board.get(f"work/{before}").status == 404, "a piece of work has two numbers")
    check(stops > 0, "nothing could be stopped")
    check(event == "done" and plain(data + "\n") == expected,
          f"after {stops} stops the rollout is another")
    # A page that comes back, as a browser does by itself, goes on too.
    work = board.start({"kind": "rollout", **LONG})
    stream = board.get(f"work/{work}")
    for event, data in stream.events():
        if json.loads(data)["answer"]:
            break
    board.last.shutdown(socket.SHUT_RDWR)
    board.last.close()
    wait_until(lambda: board.get(f"work/{work}/sheet.html").status == 409)
    deadline = time.monotonic() + 20
    while (answer := board.get(f"work/{work}")).status == 409 and time.monotonic() < deadline:
        time.sleep(0.05)
    event, data = list(answer.events())[-1]
    check(event == "done" and plain(data + "\n") == expected, "what was left is another")


def busy_seconds(board):
    with open(f"/proc/{board.process.pid}/stat", encoding="ascii") as file:
        fields = file.read().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def try_leaving(board):
    """Work ends with its page; few pieces go on at once, and answers at once do not wait."""
    streams = []
    for _ in range(4):
        work = board.start({"kind": "rollout", **ENDLESS})
        stream = board.get(f"work/{work}")
        next(stream.events())
        streams.append((work, board.last))
    refused = board.post("work", {"kind": "rollout", **ENDLESS})
    check(refused.status == 429 and refused.json()["schema"] == "sixfold.error/1",
          f"a fifth rollout at once is answered by {refused.status}")
    check(board.get(f"work/{streams[0][0]}").status == 409, "two pages watch the same work")
    times = []
    for _ in range(20):
        start = time.monotonic()
        check(board.post("evaluate", AFTER).status == 200, "nothing is evaluated beside rollouts")
        times.append(1000 * (time.monotonic() - start))
    times.sort()
    print(f"evaluate beside four rollouts: {times[10]:.1f} ms, at most {times[-1]:.1f}")
    check(times[10] < 100, f"evaluate takes {times[10]:.0f} ms beside rollouts")
    for _, connection in streams:
        connection.shutdown(socket.SHUT_RDWR)
        connection.close()

    def is_idle():
        before = busy_seconds(board)
        time.sleep(0.5)
        return busy_seconds(board) - before < 0.1
    check(wait_until(is_idle), "rollouts go on after their pages have gone")
    # There is room for others, and what is kept is bounded.
    for _ in range(16):
        board.works({"kind": "cube", "position": "5 2 / 4 1"})
    check(board.get(f"work/{streams[0][0]}").status == 404, "all work is kept for ever")


def try_queue(tool, folder):
    """What is put in is what `queue add` would put in; the list and the sheets are its own."""
    folder = os.path.join(folder, "queue")
    os.mkdir(folder)
    path = os.path.join(folder, "night.db")
    board = Board(tool, "--queue", path)
    try:
        check(board.get("state").json()["queue"] is True, "the queue is not told of")
        check(board.get("queue").json() == {"entries": []} and not os.path.exists(path),
              "an empty queue is made or not empty")
        for body in ({"request": {**SMALL, "dice": "77"}}, {"lesson": {}}, {}, {"x": 1},
                     {"request": SMALL, "lesson": LESSON}, {"request": SMALL, "priority": 0.5}):
            check(board.post("queue", body).status == 400, f"{body} is put in")
        check(not os.path.exists(path), "what is refused makes a queue")
        added = [board.post("queue", {"lesson": LESSON, "priority": 2}).json(),
                 board.post("queue", {"request": {**SMALL, "title": "R"}}).json()]
        check(added == [{"entries": [1]}, {"entries": [2]}], f"numbers are {added}")
        check(board.get("queue/1/sheet.html").status == 409, "there is a sheet before the night")
        subprocess.run([tool, "queue", "run", "--db", path], capture_output=True, check=True)
        listed = command(tool, "queue", "list", "--db", path, "--json").splitlines()
        check(board.get("queue").json()["entries"] == [json.loads(line) for line in listed],
              "the list is another")
        check({json.loads(line)["title"] for line in listed} == {"Small", "R"}, "titles are lost")
        for entry, words in ((1, "Small"), (2, "8/")):
            sheet = board.get(f"queue/{entry}/sheet.html")
            check(sheet.status == 200 and words in sheet.body and
                  "script-src" not in sheet.headers["content-security-policy"],
                  f"the sheet of entry {entry} is {sheet.body[:100]}")
        for bad in ("queue/3/sheet.html", "queue/0/sheet.html", "queue/x/sheet.html",
                    "queue/99999999999999999999/sheet.html", "queue/1/other.html"):
            check(board.get(bad).status in (400, 404), f"{bad} is answered")
        board.end()
    finally:
        board.process.kill()
    check(os.listdir(folder) == ["night.db"], f"these files are written: {os.listdir(folder)}")
    with open(os.path.join(folder, "none.db"), "w", encoding="utf-8") as file:
        file.write("not a queue")
    for option, value in (("--queue", file.name), ("--queue", "/nowhere/night.db"),
                          ("--match", file.name), ("--match", "/nowhere"), ("--net", file.name),
                          ("--port", "70000")):
        done = subprocess.run([tool, "board", "--no-open", option, value], capture_output=True,
                              text=True, check=False, timeout=20)
        check(done.returncode in (1, 2) and done.stderr and not done.stdout,
              f"{option} {value} is accepted")


def try_match(tool, demo):
    record = os.path.join(demo, "club_match.txt")
    printed = command(tool, "match", record, "--json")
    board = Board(tool, "--match", record)
    try:
        check(board.get("match").body == printed, "the match is another")
        with open(record, "rb") as file:
            check(board.post("match", file.read()).body == printed, "a sent match is another")
        bad = board.post("match", "nothing")
        check(bad.status == 400 and bad.json()["schema"] == "sixfold.error/1", "no match is one")
        check(board.post("match", "x" * 300_000).status == 413, "a record of any size is judged")
        # The port is taken: no second board there.
        second = subprocess.run([tool, "board", "--no-open", "--port", str(board.port)],
                                capture_output=True, text=True, check=False, timeout=20)
        check(second.returncode == 1 and f"port {board.port}" in second.stderr,
              f"a second board at the same port says {second.stderr}")
        # Another address of this machine leads nowhere.
        try:
            socket.create_connection(("127.0.0.2", board.port), timeout=2).close()
            check(False, "the board listens beyond 127.0.0.1")
        except OSError:
            pass
        board.end()
    finally:
        board.process.kill()


def main():
    tool, demo = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as folder:
        os.environ["XDG_CACHE_HOME"] = os.path.join(folder, "cache")
        tests = {
            "guards": try_guards, "headers": try_headers, "sizes": try_sizes, "crowds": try_crowds,
            "static": lambda board: try_static(board, tool), "look": try_look,
            "work": lambda board: try_work(board, tool),
            "two pages": lambda board: try_two_pages(board, tool),
            "lessons": lambda board: try_lessons(board, tool, folder),
            "stopping": lambda board: try_stopping(board, tool), "leaving": try_leaving,
            "opening": lambda _: try_opening(tool, folder),
            "queue": lambda _: try_queue(tool, folder), "match": lambda _: try_match(tool, demo),
        }
        wanted = sys.argv[3:] or list(tests)
        board = Board(tool)
        check(board.get("queue").status == 404 and board.get("match").status == 404,
              "a queue or a match that nobody named is there")
        try:
            for name in wanted:
                start = time.monotonic()
                tests[name](board)
                print(f"{name}: {time.monotonic() - start:.1f} s", flush=True)
            board.end()
        finally:
            board.process.kill()
    print(f"{board_client.failures} failed" if board_client.failures else "all as it should be")
    sys.exit(1 if board_client.failures else 0)


if __name__ == "__main__":
    main()
