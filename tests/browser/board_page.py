"""The board's page as the tests use it: the program that serves it, hands on it, eyes on it."""

import json
import os
import pathlib
import subprocess
import tempfile
import time
import unittest
import urllib.request

from chromium import Chromium

PATIENCE = 30  # seconds

# Where to press for a place: on its slot, beside the middle of the board.
PLACE = """
const box = document.querySelector(`[data-place="${arguments[0]}"] .area`).getBoundingClientRect();
return [box.left + box.width / 2, box.top + box.height / 2];
"""

NAMELESS = """
return [...document.querySelectorAll('button, input, select, textarea, summary, a, .place')]
  .filter(e => e.checkVisibility() || e.closest('.place')).map((e, i) => {
    e.dataset.number = i;
    return i;
  }).length;
"""

# The discs of a picture of the board, as "kind x y".
DISCS = """
const drawn = arguments[0] === null ? document.querySelector('#board svg')
  : new DOMParser().parseFromString(arguments[0], 'image/svg+xml').documentElement;
return [...drawn.querySelectorAll('circle.disc, rect.slot, rect.disc, rect.cube, circle.eye')].map(
    e => [e.getAttribute('class'), e.getAttribute('cx') ?? e.getAttribute('x'),
          e.getAttribute('cy') ?? e.getAttribute('y')].join(' ')).sort();
"""

PLAYS = """
return [...document.querySelectorAll('.plays-table tbody')].map(body => [
  body.querySelector('.play').textContent, body.querySelector('.cost-cell').textContent,
  body.querySelector('.verdict').textContent, body.querySelectorAll('.outcomes rect').length]);
"""


# Milliseconds from the second die of a roll to its answers.
ANSWERED = """
const [first, second] = arguments[0];
return new Promise(resolve => {
  document.querySelector(`[data-eyes="${first}"]`).click();
  const began = performance.now();
  new MutationObserver((_, observer) => {
    observer.disconnect();
    resolve(performance.now() - began);
  }).observe(document.getElementById('answers'), {childList: true});
  document.querySelector(`[data-eyes="${second}"]`).click();
});
"""

# All plays that can be made on the board, step by step, of what look says of a position.
PLAYED = """
const [answer, dice] = arguments;
return import(new URL('playing.js', document.baseURI)).then(({Playing}) => {
  const found = new Set();
  const follow = playing => {
    if (playing.play !== undefined) {
      found.add(playing.play);
      return;
    }
    for (const {from, to} of playing.steps) {
      if (!playing.move(from, to)) throw new Error(`${from}/${to} is offered and refused`);
      follow(playing);
      playing.back();
    }
  };
  follow(new Playing({roller: answer.roller, opponent: answer.opponent}, dice, answer.plays, 15));
  return [...found].sort();
});
"""


class Server:
    """`sixfold board`, until it is closed."""

    def __init__(self, tool, nets, cache, *options):
        environment = {**os.environ, "XDG_CACHE_HOME": str(cache)}
        self._process = subprocess.Popen(
            [tool, "board", "--no-open", "--net", nets / "standard.safetensors", *options],
            env=environment, text=True, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE)
        self.address = self._process.stdout.readline().strip()

    def ask(self, path, body):
        request = urllib.request.Request(self.address + path, data=json.dumps(body).encode(),
                                         headers={"Content-Type": "application/json"})
        with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
            return answer.read().decode()

    def close(self):
        self._process.terminate()
        self._process.wait(timeout=PATIENCE)
        self._process.stdout.close()


class BoardPage(unittest.TestCase):
    """A page of its own for each test, from one server and one browser."""

    tool = nets = record = pictures = None  # set by suite_of() of the tests

    @classmethod
    def setUpClass(cls):
        directory = tempfile.TemporaryDirectory(prefix="sixfold_board_", ignore_cleanup_errors=True)
        cls.addClassCleanup(directory.cleanup)
        cls.scratch = pathlib.Path(directory.name)
        cache = os.environ.get("SIXFOLD_TEST_CACHE") or cls.scratch / "cache"
        cls.server = Server(cls.tool, cls.nets, cache, "--queue", cls.scratch / "queue.db",
                            "--match", cls.record)
        cls.addClassCleanup(cls.server.close)
        cls.browser = Chromium(cls.scratch / "profile")
        cls.addClassCleanup(cls.browser.close)
        cls.downloads = cls.scratch / "downloads"
        cls.downloads.mkdir()

    def setUp(self):
        self.browser.media()
        self.browser.width(1280)
        self.browser.visit(self.server.address)
        self.browser.run("sessionStorage.clear();")
        self.open()

    def open(self):
        self.browser.visit(self.server.address)
        self.wait("return document.getElementById('foot').textContent !== '';")

    # What a hand does.

    def at(self, place):
        return self.browser.run(PLACE, place)

    def tap(self, place, kind="mouse"):
        self.browser.point(kind, self.at(place))

    def drag(self, start, end, kind="mouse"):
        (x, y), (to_x, to_y) = self.at(start), self.at(end)
        self.browser.point(kind, (x, y), ((x + to_x) / 2, (y + to_y) / 2), (to_x, to_y))

    def choose(self, identity, value):
        self.browser.run("const e = document.getElementById(arguments[0]); e.value = arguments[1];"
                         "e.dispatchEvent(new Event('change'));", identity, value)

    def tool_of(self, name):
        self.browser.click(f'[name=tool][value="{name}"]')

    def roll(self, dice):
        for eyes in dice:
            self.browser.click(f'[data-eyes="{eyes}"]')

    def set_position(self, text):
        self.browser.run("const e = document.getElementById('position-text');"
                         "e.value = arguments[0]; e.dispatchEvent(new Event('input'));", text)

    # What an eye sees.

    def text(self, identity="position-text"):
        return self.browser.run("const e = document.getElementById(arguments[0]);"
                                "return e.value ?? e.textContent;", identity)

    def label(self, place):
        return self.browser.run("return document.querySelector("
                                "`[data-place=\"${arguments[0]}\"]`).getAttribute('aria-label');",
                                place)

    def wait(self, script, *arguments):
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            found = self.browser.run(script, *arguments)
            if found:
                return found
            time.sleep(0.03)
        self.fail(f"waited in vain for: {script} {arguments}")

    def wait_for(self, identity, words):
        self.wait("const e = document.getElementById(arguments[0]);"
                  "return !e.hidden && (e.value ?? e.textContent).includes(arguments[1]);",
                  identity, words)

    def wait_for_plays(self):
        self.wait("return document.querySelectorAll('.plays-table tbody').length;")
        return self.browser.run(PLAYS)

    def expect_none(self, amiss, at=""):
        self.assertFalse(amiss, f"{at}: {amiss[:5]}")

    def downloaded(self, name):
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if (self.downloads / name).exists():
                return (self.downloads / name).read_text(encoding="utf-8")
            time.sleep(0.05)
        self.fail(f"{name} was not saved; there is {list(self.downloads.iterdir())}")

    def sheet(self, holder):
        self.browser.click(f"#{holder} button")
        address = self.wait("return document.querySelector(`#${arguments[0]} a`)?.href;", holder)
        with urllib.request.urlopen(address) as sheet:
            return sheet.read().decode()

    def by_command(self, position, dice, plays):
        """The cost of the second play as the command line rolls it out."""
        command = [self.tool, "rollout", "--position", position, "--dice", dice, "--plays", plays,
                   "--half-width", "0.05", "--json", "--net", self.nets / "standard.safetensors"]
        answer = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True)
        cost = json.loads(answer.stdout)["plays"][1]["cost"]
        return f"{cost['mean']:.3f} ±\u00a0{cost['half_width']:.3f}"
