"""The recorded matches that the tests look at, and the pages that the tool makes of them."""

import json
import pathlib
import subprocess

from lessons import HOSTILE, Page, environment

# Markup and a word that is too long in the names, a game that breaks off, a beaver, a resignation.
AWKWARD = f"""player: {HOSTILE} {"un" * 20}breakable
player: Bárbara Æþelflæd Ñuñoa de la Vega y Ordóñez
event: {HOSTILE}

game 1
jacoby
1 31: 8/5 6/5
64: 24/14
61: 13/7 8/7
52: 13/8 24/22
double
pass

game 2
1 31: 24/20
64: 24/14
33: 8/5(2) 6/3(2)
double
double
take

game 3
2 63: 24/15
resigns gammon
"""


def make_page(tool, nets, record, name, options, scratch):
    """Runs the tool once, for the HTML and the JSON."""
    source = scratch / f"{name}.txt"
    source.write_text(record, encoding="utf-8")
    html, numbers = scratch / f"{name}.html", scratch / f"{name}_numbers.json"
    command = [tool, "match", source, "--out", html, "--out", numbers, "--quiet", *options,
               "--net", pathlib.Path(nets) / "standard.safetensors"]
    run = subprocess.run(command, env=environment(scratch), text=True, stdin=subprocess.DEVNULL,
                         capture_output=True, timeout=1200)
    if run.returncode != 0:
        line = " ".join(map(str, command))
        raise RuntimeError(f"{line}\nexits with {run.returncode}: {run.stderr}")
    return Page(name, html, json.loads(numbers.read_text(encoding="utf-8")))
