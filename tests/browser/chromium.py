"""Chromium driven over the W3C WebDriver protocol, with nothing but the standard library."""

import base64
import json
import pathlib
import shutil
import subprocess
import sys
import unittest
import urllib.error
import urllib.request

TAB = "\ue004"
ENTER = "\ue007"
CONTROL = "\ue009"
LEFT, UP, RIGHT = "\ue012", "\ue013", "\ue014"

_ARGUMENTS = ["--headless=new", "--no-sandbox", "--disable-gpu", "--no-first-run",
              "--hide-scrollbars", "--force-color-profile=srgb", "--disable-dev-shm-usage"]


def _pointer_move(x, y, milliseconds=0):
    return {"type": "pointerMove", "x": round(x), "y": round(y), "duration": milliseconds}


class BrowserError(Exception):
    pass


def missing_programs():
    """The programs these tests need that are not installed."""
    return [name for name in ("chromium", "chromedriver", "pdftotext") if not shutil.which(name)]


def run_tests(arguments, usage, suite_of):
    """The exit code of a test program called with three paths and, where pictures are wanted, their
    folder. `suite_of` gets the paths and the folder, or None, and returns a suite."""
    if len(arguments) not in (3, 4):
        print(usage, file=sys.stderr)
        return 2
    if missing_programs():
        print("missing: " + ", ".join(missing_programs()), file=sys.stderr)
        return 77
    *paths, pictures = [pathlib.Path(path).resolve() for path in arguments] + (
        [None] if len(arguments) == 3 else [])
    if pictures is not None:
        pictures.mkdir(parents=True, exist_ok=True)
    result = unittest.TextTestRunner(verbosity=2).run(suite_of(*paths, pictures))
    return 0 if result.wasSuccessful() else 1


class Chromium:
    """One headless browser with one window; close it, or use it in a `with`."""

    def __init__(self, profile_directory):
        self._driver = subprocess.Popen(["chromedriver", "--port=0"], text=True,
                                        stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        self._session = None
        try:
            self._address = f"http://127.0.0.1:{self._port()}"
            self._start(profile_directory)
        except BaseException:
            self.close()
            raise

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()

    def close(self):
        try:
            if self._session:
                self._request("DELETE", "")
        finally:
            self._driver.terminate()
            self._driver.wait()
            self._driver.stdout.close()

    def open(self, path):
        self.visit(path.resolve().as_uri())

    def visit(self, address):
        self._request("POST", "/url", {"url": address})

    def reload(self):
        self._request("POST", "/refresh", {})

    def run(self, script, *arguments):
        """What `return` in the script returns."""
        return self._request("POST", "/execute/sync",
                             {"script": script, "args": list(arguments)})

    def press(self, *keys):
        """One key, or several of which all but the last are held down meanwhile."""
        strokes = ([{"type": "keyDown", "value": key} for key in keys] +
                   [{"type": "keyUp", "value": key} for key in reversed(keys)])
        self._act({"type": "key", "id": "keyboard", "actions": strokes})

    def point(self, kind, *places):
        """Goes to the first place, presses there, moves over the others and lets go; `kind` is
        "mouse", "touch" or "pen", places are pixels of the window."""
        (x, y), *others = places
        steps = [_pointer_move(x, y), {"type": "pointerDown", "button": 0},
                 *[_pointer_move(x, y, 40) for x, y in others], {"type": "pointerUp", "button": 0}]
        self._act({"type": "pointer", "id": kind, "parameters": {"pointerType": kind},
                   "actions": steps})

    def find(self, selector):
        """A handle of the element, for what asks for one."""
        value = self._request("POST", "/element", {"using": "css selector", "value": selector})
        return next(iter(value.values()))

    def type(self, selector, text):
        self._request("POST", f"/element/{self.find(selector)}/value", {"text": text})

    def click(self, selector):
        self._request("POST", f"/element/{self.find(selector)}/click", {})

    def name_and_role(self, selector):
        """As a screen reader gets them."""
        element = self.find(selector)
        return tuple(self._request("GET", f"/element/{element}/{what}")
                     for what in ("computedlabel", "computedrole"))

    def allow_downloads(self, directory):
        self._cdp("Browser.setDownloadBehavior",
                  {"behavior": "allow", "downloadPath": str(directory)})

    def width(self, pixels):
        """Lays the page out for that width; the narrow ones as a telephone does, which obeys the
        page's viewport tag and lays out for 980 pixels without one."""
        self._cdp("Emulation.setDeviceMetricsOverride",
                  {"width": pixels, "height": 800, "deviceScaleFactor": 1, "mobile": pixels < 600})

    def media(self, kind="", scheme="light"):
        """kind: "print" or "" for the screen."""
        self._cdp("Emulation.setEmulatedMedia", {
            "media": kind, "features": [{"name": "prefers-color-scheme", "value": scheme}]})

    def console(self):
        """The texts that came to the console since the last call."""
        return [f"{entry['level']}: {entry['message']}" for entry in self._log("browser")]

    def requests(self):
        """The addresses asked for since the last call."""
        messages = [json.loads(entry["message"])["message"] for entry in self._log("performance")]
        return [message["params"]["request"]["url"] for message in messages
                if message["method"] == "Network.requestWillBeSent"]

    def save_pdf(self, path, background=False):
        """Prints on A4; margins are the page's own if it has an @page rule, else 1 cm."""
        value = self._request("POST", "/print", {"page": {"width": 21.0, "height": 29.7},
                                                 "background": background})
        path.write_bytes(base64.b64decode(value))

    def save_picture(self, path):
        """The whole page, however long."""
        size = self.run("const e = document.documentElement;"
                        "return {width: e.clientWidth, height: e.scrollHeight};")
        value = self._cdp("Page.captureScreenshot", {
            "format": "png", "captureBeyondViewport": True,
            "clip": {"x": 0, "y": 0, "scale": 1, **size}})
        path.write_bytes(base64.b64decode(value["data"]))

    def _act(self, source):
        self._request("POST", "/actions", {"actions": [source]})

    def _port(self):
        for line in self._driver.stdout:
            if "started successfully on port" in line:
                return int(line.split("port")[1].strip(" .\n"))
        raise BrowserError("chromedriver did not start")

    def _start(self, profile_directory):
        options = {"binary": shutil.which("chromium"),
                   "args": _ARGUMENTS + [f"--user-data-dir={profile_directory}"]}
        wanted = {"browserName": "chrome", "goog:chromeOptions": options,
                  "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"}}
        started = self._send("POST", "/session", {"capabilities": {"alwaysMatch": wanted}})
        self._session = started["sessionId"]
        # A page that asks something would stop everything; it shows on the console instead.
        self._cdp("Page.addScriptToEvaluateOnNewDocument", {
            "source": "window.alert = text => console.error('alert: ' + text);"})

    def _log(self, kind):
        return self._request("POST", "/se/log", {"type": kind})

    def _cdp(self, command, parameters):
        return self._request("POST", "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def _request(self, method, path, body=None):
        return self._send(method, f"/session/{self._session}{path}", body)

    def _send(self, method, path, body=None):
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(self._address + path, data=data, method=method,
                                         headers={"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=120) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as error:
            text = error.read().decode(errors="replace")
            raise BrowserError(f"{method} {path}: {text[:500]}") from None
