"""Whom the board's server refuses: strangers, what is too large, crowds."""

import gzip
import os
import threading
import time

from board_client import AFTER, Answer, Board, check, wait_until


def try_guards(board):
    """Nobody but the page itself is answered."""
    check(board.get("state").status == 200, "the page's own request is refused")
    check(board.send("GET", "state", host=f"localhost:{board.port}").status == 200,
          "the server's other name is refused")
    for host in ("evil.example", f"evil.example:{board.port}", "127.0.0.1", "127.0.0.1:1",
                 f"127.0.0.1:{board.port}.evil.example"):
        check(board.send("GET", "state", host=host).status == 403, f"host {host} is answered")
    for origin in ("http://evil.example", "null", f"https://127.0.0.1:{board.port}",
                   f"http://127.0.0.1:{board.port}.evil.example", "http://127.0.0.1:1"):
        answer = board.send("POST", "evaluate", AFTER, headers=[f"Origin: {origin}"])
        check(answer.status == 403, f"origin {origin} is answered")
        check("access-control-allow-origin" not in answer.headers, "another origin is let in")
    own = board.send("POST", "evaluate", AFTER, headers=[f"Origin: http://localhost:{board.port}"])
    check(own.status == 200, "the page's own origin is refused")
    twice = board.send("GET", "state", headers=["Host: evil.example"])
    check(twice.status in (400, 403), "two hosts are answered")
    for token in ("", "x", board.token[:-1], board.token + "x", board.token[::-1]):
        for path in ("", "state", "board.js"):
            check(board.send("GET", path, token=token).status == 404, f"token {token} is answered")
    answer, _ = board.raw(b"GET / HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n\r\n" % board.port)
    check(answer.status == 404 and board.token not in answer.body, "the bare address is answered")
    for method in ("PUT", "DELETE", "OPTIONS", "PATCH", "HEAD"):
        check(board.send(method, "state").status in (400, 405), f"{method} is answered")
    for path in ("../state", "%2e%2e/state", "nothing", "work/0", "work/x", "work/99", "work/1/x",
                 "page/board.html", "/etc/passwd", "board.cpp", "work/18446744073709551617"):
        check(board.get(path).status in (400, 404), f"{path} is answered")


def try_headers(board):
    for path, kind in (("", "text/html"), ("state", "application/json"),
                       ("board.js", "text/javascript"), ("board.css", "text/css"),
                       ("nothing", "application/json")):
        headers = board.get(path).headers
        check(headers["content-type"].startswith(kind), f"'{path}' is {headers['content-type']}")
        policy = headers.get("content-security-policy", "")
        check("default-src 'none'; script-src 'self'" in policy and "unsafe" not in policy,
              f"'{path}' has the policy {policy}")
        check(headers.get("x-content-type-options") == "nosniff", f"'{path}' may be sniffed at")
        check(headers.get("referrer-policy") == "no-referrer", f"'{path}' tells its address")
        check(headers.get("cache-control") == "no-store", f"'{path}' is kept")


def try_sizes(board):
    """What is too large, too deep or malformed is refused in words, and soon."""
    big = b" " * 10_000_000
    for headers in (None, ["Transfer-Encoding: chunked"]):
        start = time.monotonic()
        try:
            if headers:
                connection = board.connect()
                connection.sendall(f"POST /{board.token}/look HTTP/1.1\r\nHost: 127.0.0.1:"
                                   f"{board.port}\r\n{headers[0]}\r\n\r\n".encode())
                for _ in range(100):
                    connection.sendall(b"186a0\r\n" + b" " * 100_000 + b"\r\n")
                status = Answer(connection.makefile("rb")).status
            else:
                status = board.post("look", big).status
        except OSError:
            status = 413  # It closed while we were sending: the same refusal.
        check(status == 413, f"10 MB are answered with {status}")
        check(time.monotonic() - start < 10, "10 MB take long")
    packed = gzip.compress(big)
    check(board.send("POST", "look", packed, headers=["Content-Encoding: gzip"]).status == 413,
          "10 MB are unpacked")
    # 64 KiB of headers, and a first line of a million letters.
    answer, _ = board.raw(b"GET /%s/state HTTP/1.1\r\n" % board.token.encode() +
                          b"X: y\r\n" * 200_000)
    check(answer.status in (0, 400, 403), f"a megabyte of headers is answered by {answer.status}")
    deep = '{"position": ' + "[" * 100_000 + "]" * 100_000 + "}"
    for path in ("look", "evaluate", "cube", "work", "diagram"):
        for body, words in ((deep, "too deep"), ("{", "not JSON"), ("[]", "not an object"),
                            ('{"position": "x"}', ""), ("\xff", "not JSON")):
            answer = board.post(path, body.encode("latin-1"))
            error = answer.json()
            check(answer.status == 400 and error["schema"] == "sixfold.error/1" and
                  words in error["error"], f"{path} of {body[:20]} says {answer.body[:200]}")
    answer = board.post("look", {"id": "mine", "position": "6x2 / 19"})
    check(answer.status == 400 and answer.json()["id"] == "mine" and
          "both sides stand on the roller's point 6" in answer.body, "a shared point is let pass")
    multipart = board.send("POST", "look", "x", headers=["Content-Type: multipart/form-data; "
                                                         "boundary=a"])
    check(multipart.status == 415, "a form is answered")


def try_crowds(board):
    """Connections by the hundred, and such as say nothing, keep the page waiting for a moment."""
    idle = []
    for n in range(200):
        connection = board.connect()
        if n % 2:
            connection.sendall(b"POST /%s/look HTTP/1.1\r\nHost:" % board.token.encode())
        idle.append(connection)
    start = time.monotonic()
    check(board.get("state").status == 200, "the page is not answered beside idle connections")
    waited = time.monotonic() - start
    check(waited < 15, f"beside 200 idle connections the page waits {waited:.1f} s")
    # A byte now and then does not hold a connection either.
    slow = board.connect()
    ended = False
    try:
        for _ in range(20):
            slow.sendall(b"G")
            time.sleep(0.25)
        slow.settimeout(1)
        ended = slow.recv(1) == b""
    except TimeoutError:
        ended = False  # It still waits for more.
    except OSError:
        ended = True
    check(ended, "a connection is held by a byte now and then")
    for connection in idle:
        connection.close()
    statuses = []

    def ask():
        statuses.append(board.post("evaluate", AFTER).status)
    threads = [threading.Thread(target=ask) for _ in range(200)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    check(statuses == [200] * 200, f"of 200 requests at once {statuses.count(200)} are answered")


def try_opening(tool, folder):
    """A browser is called by an address that leads to the page once."""
    seen = os.path.join(folder, "seen")
    programs = os.path.join(folder, "programs")
    os.mkdir(programs)
    with open(os.path.join(programs, "xdg-open"), "w", encoding="utf-8") as file:
        file.write(f'#!/bin/sh\nprintf "%s\\n" "$#" "$@" >"{seen}.part"\n'
                   f'mv "{seen}.part" "{seen}"\n')
    os.chmod(file.name, 0o755)
    before = {name: os.environ.get(name) for name in ("PATH", "DISPLAY", "WAYLAND_DISPLAY")}
    os.environ.update(PATH=programs + ":" + before["PATH"], DISPLAY=":0")
    try:
        board = Board(tool, browser=True)
        try:
            check(wait_until(lambda: os.path.exists(seen)), "no browser is called")
            with open(seen, encoding="utf-8") as file:
                count, address = file.read().split()
            token = address.split("/")[3]
            check(count == "1" and board.token not in address,
                  f"a browser is called with {address}")
            once = board.send("GET", "", token=token)
            check(once.status == 303 and once.headers["location"] == f"/{board.token}/",
                  "it does not lead to the page")
            check(board.send("GET", "", token=token).status == 404, "it leads there twice")
            board.end()
        finally:
            board.process.kill()
        os.remove(seen)
        del os.environ["DISPLAY"]
        os.environ.pop("WAYLAND_DISPLAY", None)
        for options in ({"browser": True}, {"browser": False}):
            os.environ.update({} if options["browser"] else {"DISPLAY": ":0"})
            board = Board(tool, **options)
            time.sleep(0.3)
            board.process.kill()
            check(not os.path.exists(seen), "a browser is called where there is none to see")
    finally:
        for name, value in before.items():
            os.environ.pop(name, None)
            if value is not None:
                os.environ[name] = value
