"""A client of the board's server over plain sockets, and what its tests share."""

import json
import re
import signal
import socket
import subprocess
import sys
import time

AFTER = {"after": "31: 8/5 6/5", "dice": "64"}

failures = 0


def check(holds, message):
    global failures
    if not holds:
        failures += 1
        print(f"FAILED: {message}", flush=True)


def plain(text):
    """Answers but for the seconds that they took."""
    return re.sub(r'"seconds":[0-9.e+-]+', '"seconds":0', text)


class Answer:
    def __init__(self, stream):
        head = stream.readline().decode()
        self.status = int(head.split()[1]) if head else 0
        self.headers = {}
        while (line := stream.readline().decode().strip()):
            name, _, value = line.partition(":")
            self.headers[name.lower()] = value.strip()
        self.stream = stream
        self._body = None

    def chunks(self):
        while (size := int(self.stream.readline() or b"0", 16)):
            yield self.stream.read(size)
            self.stream.readline()

    @property
    def body(self):
        if self._body is None:
            if "chunked" in self.headers.get("transfer-encoding", ""):
                self._body = b"".join(self.chunks()).decode()
            else:
                self._body = self.stream.read(int(self.headers.get("content-length", 0))).decode()
        return self._body

    def json(self):
        return json.loads(self.body)

    def events(self):
        """(name, data) of a stream of events."""
        text = b""
        for chunk in self.chunks():
            text += chunk
            while b"\n\n" in text:
                one, text = text.split(b"\n\n", 1)
                lines = dict(line.split(": ", 1) for line in one.decode().split("\n")
                             if ": " in line)
                if "event" in lines:
                    yield lines["event"], lines["data"]


class Board:
    """A server of its own, ended with the test."""

    def __init__(self, tool, *options, browser=False):
        opening = [] if browser else ["--no-open"]
        self.process = subprocess.Popen([tool, "board", *opening, *options],
                                        stdout=subprocess.PIPE, text=True)
        self.address = self.process.stdout.readline().strip()
        found = re.fullmatch(r"http://127\.0\.0\.1:(\d+)/([A-Za-z0-9_-]{22,})/", self.address)
        if not found:
            sys.exit(f"FAILED: the board's address is '{self.address}'")
        self.port = int(found[1])
        self.token = found[2]

    def connect(self):
        connection = socket.create_connection(("127.0.0.1", self.port), timeout=30)
        return connection

    def raw(self, text):
        """What comes back for these bytes."""
        connection = self.connect()
        connection.sendall(text)
        return Answer(connection.makefile("rb")), connection

    def send(self, method, path, body=b"", headers=None, host=None, token=None):
        if not isinstance(body, bytes):
            body = (body if isinstance(body, str) else json.dumps(body)).encode()
        lines = [f"{method} /{self.token if token is None else token}/{path} HTTP/1.1",
                 f"Host: {host or f'127.0.0.1:{self.port}'}", *(headers or [])]
        if body:
            lines.append(f"Content-Length: {len(body)}")
        answer, self.last = self.raw("\r\n".join([*lines, "", ""]).encode() + body)
        return answer

    def get(self, path):
        return self.send("GET", path)

    def post(self, path, body):
        return self.send("POST", path, body)

    def start(self, body):
        answer = self.post("work", body)
        check(answer.status == 200, f"work {body} is refused: {answer.body}")
        return answer.json()["work"]

    def finished(self, work):
        """The events of work until it ends."""
        return list(self.get(f"work/{work}").events())

    def works(self, body):
        """The last event of new work."""
        return self.finished(self.start(body))[-1]

    def end(self):
        self.process.send_signal(signal.SIGINT)
        check(self.process.wait(timeout=20) == 0, "the board does not end well by Ctrl-C")


def command(tool, *arguments, text=None):
    return subprocess.run([tool, *arguments], input=text, capture_output=True, text=True,
                          check=False).stdout


def asked(tool, name, request):
    return command(tool, name, "--requests", "-", text=json.dumps(request) + "\n")


def wait_until(holds, seconds=20):
    deadline = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.05)
    return True
