"""The lessons that the tests look at, and the pages that the tool makes of them."""

import json
import os
import pathlib
import subprocess

START = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"
HOSTILE = '<script>alert(1)</script> & "quotes" <b> <blink>'

# Nothing fits, so everything must bend: markup in the words, a word and a score that are too long,
# plays of four checkers, a forced pass, checkers on the bar and off.
AWKWARD = {
    "title": HOSTILE,
    "notes": HOSTILE + " " + "un" * 40 + "breakable",
    "position": "bar 18 8x3 6x4 5x2 4x2 3 / 24 13x3 8x3 6x4 5x2 4x2",
    "rolls": ["33", "64", {"dice": "63", "plays": ["bar/22 8/2"], "notes": "Roll: " + HOSTILE}],
    "scores": ["money", "4-away/1-away post-crawford"],
    "cube": "centred",
    "double": True,
}


class Page:
    """A lesson's sheet or quiz, or a match's page, as HTML, and the JSON of the same run."""

    def __init__(self, name, html, numbers):
        self.name = name
        self.html = html
        self.numbers = numbers


def lesson_files(directory):
    return sorted(pathlib.Path(directory).glob("*.json"))


def quick(lesson):
    """The lesson with few trials: enough for the form of the sheet."""
    lesson = {**lesson, "trials": 36, "half_width": 0}
    if "flip" in lesson:
        lesson["flip_trials"] = 36
    return lesson


def notes_of(lesson):
    """All that the author says below the title."""
    parts = [lesson] + [roll for roll in lesson.get("rolls", []) if isinstance(roll, dict)]
    return [part["notes"] for part in parts if part.get("notes")]


def environment(scratch):
    """That of the tool, with a place for computed tables."""
    cache = os.environ.get("SIXFOLD_TEST_CACHE") or scratch / "cache"
    return {**os.environ, "XDG_CACHE_HOME": str(cache)}


def make_page(tool, nets, lesson, name, form, scratch):
    """Runs the tool once, for the HTML and the JSON; `form` is "sheet" or "quiz"."""
    source = scratch / f"{name}.json"
    source.write_text(json.dumps(quick(lesson)), encoding="utf-8")
    html, numbers = scratch / f"{name}_{form}.html", scratch / f"{name}_{form}_numbers.json"
    command = [tool, "lesson", source, "--out", html, "--out", numbers, "--quiet",
               "--net", pathlib.Path(nets) / "standard.safetensors"]
    if form == "quiz":
        command.append("--quiz")
    run = subprocess.run(command, env=environment(scratch), text=True, stdin=subprocess.DEVNULL,
                         capture_output=True, timeout=1200)
    if run.returncode != 0:
        line = " ".join(map(str, command))
        raise RuntimeError(f"{line}\nexits with {run.returncode}: {run.stderr}")
    return Page(f"{name} {form}", html, json.loads(numbers.read_text(encoding="utf-8")))


def at_pointer(document, pointer):
    """What an RFC 6901 pointer points at; LookupError if there is nothing."""
    for token in pointer.split("/")[1:] if pointer else []:
        token = token.replace("~1", "/").replace("~0", "~")
        if isinstance(document, list):
            if not token.isdecimal():
                raise LookupError(f"{token} is no index")
            document = document[int(token)]
        elif isinstance(document, dict):
            document = document[token]
        else:
            raise LookupError(f"nothing below {token}")
    return document


def number_amiss(document, number):
    """Why a number of the page does not say what the JSON says; None if it does."""
    there = 0.0
    for pointer in number["pointers"]:
        try:
            part = at_pointer(document, pointer.removeprefix("-"))
        except LookupError:
            return f"the JSON has no such place as {pointer}"
        if isinstance(part, bool) or not isinstance(part, (int, float)):
            return f"the JSON has {str(part)[:40]} at {pointer}"
        there += -part if pointer.startswith("-") else part
    try:
        value, scale = float(number["value"]), float(number["scale"])
    except (TypeError, ValueError):
        return f"value {number['value']!r} or scale {number['scale']!r} is no number"
    # A sum may be added up in another order.
    if abs(value - there) > (1e-12 if len(number["pointers"]) > 1 else 0.0):
        return f"value is {number['value']}, the JSON has {there!r}"
    text = number["text"].strip().replace("\u2212", "-")
    digits = text.removesuffix("%").strip()
    try:
        written = float(digits)
    except ValueError:
        return f"the text {text!r} is no number"
    decimals = len(digits.partition(".")[2])
    above = value * scale - written  # 0 to a digit where it is rounded down
    if number["rounded"] == "down":
        above -= 0.5 * 10.0**-decimals
    if abs(above) > 0.5 * 10.0**-decimals + 1e-12 * abs(value * scale):
        return f"the text {text!r} is not {value * scale!r} rounded"
    if number["scale"] == "1" and text.endswith("%"):
        return f"the text {text!r} is in percent, the number is not"
    return None
