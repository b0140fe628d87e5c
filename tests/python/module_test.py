"""The Python module as a program meets it that has it installed. Run as:

    module_test.py BUILD_FOLDER SCRATCH_FOLDER DEMO_FOLDER

Installs the tool and the module into the scratch folder and works with these.
"""

import json
import os
import pathlib
import shutil
import signal
import subprocess
import sys
import threading
import time
import unittest

try:
    import numpy
except ImportError:
    sys.exit(77)

START = "24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5"
OPENING = {"after": "31: 8/5 6/5", "dice": "64"}
FEW = {"trials": 36, "half_width": 0}
ENDLESS = {"half_width": 1e-6, "most_trials": 100_000_000}
TEXTS = [START, "6x2 / 1", "bar 6x3 / 4x2", "24 6x14 / 24x2 13x5 8x3 6x5"]


def installed(build, scratch):
    """Where the module is after an installation that was moved, and the tool beside it."""
    shutil.rmtree(scratch, ignore_errors=True)
    for component in ("tool", "python"):
        subprocess.run(["cmake", "--install", build, "--prefix", scratch / "first", "--component",
                        component], check=True, capture_output=True)
    (scratch / "first").rename(scratch / "prefix")
    return scratch / "prefix/lib/python3/dist-packages", scratch / "prefix/bin/sixfold"


def without_seconds(value):
    """JSON without what differs from one run to the next."""
    if isinstance(value, dict):
        return {name: without_seconds(part) for name, part in value.items() if name != "seconds"}
    return [without_seconds(part) for part in value] if isinstance(value, list) else value


class ModuleTest(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.engine = sixfold.Engine(cache=CACHE)

    def command(self, *arguments, text=None):
        done = subprocess.run([TOOL, *arguments, "--json", "--quiet", "--cache", CACHE], input=text,
                              text=True, check=True, capture_output=True)
        return json.loads(done.stdout)

    def assert_refused(self, words, call, *arguments, **more):
        with self.assertRaises(ValueError) as raised:
            call(*arguments, **more)
        self.assertIn(words, str(raised.exception))

    def test_the_net_that_was_installed_is_found(self):
        self.assertRegex(self.engine.net, "^standard/[0-9a-f]{16}$")
        self.assertEqual(pathlib.Path(sixfold.__file__).parent.parent, PLACE)

    def test_evaluations_are_those_of_the_command(self):
        found = self.engine.evaluate(**OPENING)
        self.assertEqual(found.to_dict(), self.command("evaluate", "--after", "31: 8/5 6/5",
                                                       "--dice", "64"))
        self.assertEqual(found.plays[0].play, "24/14")
        self.assertEqual(found.plays[1].cost, found.plays[0].equity - found.plays[1].equity)
        self.assertAlmostEqual(sum(found.plays[0].outcomes), 1.0, 6)
        before = self.engine.evaluate(START, score="3-away/5-away", facts=True)
        self.assertEqual(before.to_dict(), self.command(
            "evaluate", "--position", START, "--score", "3-away/5-away", "--facts"))
        self.assertEqual(before.cube, sixfold.Cube(1, "centred"))
        self.assertEqual(before.plays, ())
        self.assertIsNone(self.engine.evaluate(START, score="dmp").cube)
        self.assertIn("14 of 15", self.engine.evaluate(START[:16] + "4 " + START[18:]).warnings[0])

    def test_rollouts_are_those_of_the_command(self):
        rolled = self.engine.rollout(**OPENING, **FEW, plays=["24/14", "24/18 13/9"], seed=7)
        said = self.command("rollout", "--after", "31: 8/5 6/5", "--dice", "64", "--trials", "36",
                            "--half-width", "0", "--plays", "24/14; 24/18 13/9", "--seed", "7")
        self.assertEqual(without_seconds(rolled.to_dict()), without_seconds(said))
        self.assertFalse(rolled.interrupted)
        best, second = rolled.plays
        self.assertEqual((best.verdict, best.rank, best.trials), ("best", 1, 36))
        self.assertEqual(best.cost, sixfold.Estimate(0.0, 0.0))
        self.assertGreater(second.equity.standard_error, 0.0)
        self.assertEqual(second.outcomes.means.win, sum(second.outcomes.means[3:]))
        wide = self.engine.rollout(**OPENING, trials=36, half_width=0.08)
        behind = [play for play in wide.plays if play.at_least is not None]
        self.assertTrue(behind)
        self.assertIsNone(behind[0].cost)

    def test_doubling_decisions_are_those_of_the_command(self):
        by_model = self.engine.cube(START)
        self.assertEqual(by_model.to_dict(), self.command("cube", "--position", START))
        self.assertEqual((by_model.action, by_model.method), ("no double", "model"))
        rolled = self.engine.cube("6x2 5 3 / 6x2 4 2", checkers=4, trials=36, half_width=0)
        self.assertEqual(rolled.method, "rollout")
        self.assertEqual(self.engine.cube("6x3 / 6x3").method, "exact")
        self.assertIsNone(self.engine.cube(START, score="dmp").double_take)

    def test_an_opponent_may_play_by_a_net_of_his_own(self):
        net = SCRATCH / "weak.safetensors"
        subprocess.run([TOOL, "train", "--recipe", "quick", "--games", "200", "--out", net,
                        "--quiet", "--force"], check=True, capture_output=True)
        against = sixfold.Engine(cache=CACHE, opponent_net=net)
        found = against.rollout(plays=["24/14", "8/2 6/2"], **OPENING, **FEW)
        said = self.command("rollout", "--after", OPENING["after"], "--dice", "64", "--plays",
                            "24/14; 8/2 6/2", "--trials", "36", "--half-width", "0",
                            "--opponent-net", net)
        self.assertEqual(without_seconds(found.to_dict()), without_seconds(said))
        self.assertTrue(found.opponent_net.startswith("weak/"))
        same = self.engine.rollout(plays=["24/14", "8/2 6/2"], **OPENING, **FEW)
        self.assertNotEqual(found.plays[0].equity.mean, same.plays[0].equity.mean)
        self.assertIsNone(same.opponent_net)
        # What no opponent has a part in says nothing of him.
        self.assertEqual(against.evaluate(START).to_dict(), self.engine.evaluate(START).to_dict())
        self.assert_refused("both players of a match are judged", against.match,
                            DEMO / "club_match.txt", depth="rollout", bound=0.22, half_width=0.2)
        self.assert_refused("nowhere", sixfold.Engine, cache=CACHE, opponent_net="nowhere")

    def test_lessons_are_those_of_the_command(self):
        lesson = {"title": "Small", "position": "6x2 5 / 4x2 3", "rolls": ["21", "43"],
                  "scores": ["money", "dmp"], "double": True, "cube": "centred", **FEW}
        found = self.engine.lesson(lesson)
        said = self.command("lesson", "-", text=json.dumps(lesson))
        self.assertEqual(without_seconds(found.to_dict()), without_seconds(said))
        self.assertEqual([(cell.dice, cell.score) for cell in found.cells],
                         [("21", "money"), ("21", "dmp"), ("43", "money"), ("43", "dmp")])
        self.assertEqual(len(found.doubles), 2)
        self.assertEqual(found.rows()[0]["play"], found.cells[0].plays[0].play)
        file = SCRATCH / "lesson.json"
        file.write_text(json.dumps(lesson), encoding="utf-8")
        self.assertEqual(without_seconds(self.engine.lesson(file).to_dict()), without_seconds(said))

    def test_matches_are_those_of_the_command_and_cost_what_evaluations_say(self):
        file = DEMO / "club_match.txt"
        match = self.engine.match(file)
        self.assertEqual(match.to_dict(), self.command("match", file))
        self.assertEqual((match.players, match.length), (("Mara", "Ivo"), 3))
        looked_at = 0
        for game, told in zip(match.games, match.to_dict()["games"]):
            for turn, said in zip(game.turns, told["turns"]):
                if turn.kind != "play":
                    continue
                cube = said["cube"]
                if cube != "none":
                    cube = cube["owner"] + (f":{cube['value']}" if cube["value"] > 1 else "")
                found = self.engine.evaluate(turn.position, dice=turn.dice, score=turn.score,
                                             cube=cube)
                costs = {play.play: play.cost for play in found.plays}
                self.assertEqual(turn.cost, costs[turn.played])
                self.assertEqual(turn.best, found.plays[0].play)
                looked_at += 1
        self.assertGreater(looked_at, 100)
        self.assert_refused("match file nowhere: cannot be read", self.engine.match, "nowhere")
        rolled = self.engine.match(file, depth="rollout", bound=0.22, half_width=0.2)
        told = [turn for game in rolled.games for turn in game.turns if turn.cost_half_width]
        self.assertEqual(len(told), 2)
        self.assert_refused("depth: 'deep'", self.engine.match, file, depth="deep")
        self.assert_refused("seed: 1.5 is not a whole", self.engine.match, file, seed=1.5)
        stopped = self.engine.match(file, depth="rollout", bound=0.1, half_width=0.001,
                                    progress=lambda at: False)
        self.assertTrue(stopped.interrupted)
        self.assertFalse(rolled.interrupted)

    def test_plays_are_listed_and_played(self):
        plays = self.engine.legal_plays(START, "31")
        self.assertEqual(len(plays), 16)
        self.assertIn(("8/5 6/5", "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2"), plays)
        self.assertEqual(self.engine.play(START, "31", "6/5 8/5"),
                         "24x2 13x5 8x3 6x5 / 24x2 13x5 8x2 6x4 5x2")
        self.assertEqual(self.engine.legal_plays("bar / 6x2 3x2", "63", checkers=4),
                         [("no play", "6x2 3x2 / bar")])
        self.assert_refused("8/5 6/5", self.engine.play, START, "31", "24/18")

    def test_many_positions_are_evaluated_at_once(self):
        positions = TEXTS * 500
        found = self.engine.distributions(positions)
        self.assertEqual((found.shape, found.dtype), ((2000, 6), numpy.float64))
        for i, text in enumerate(TEXTS):
            alone = numpy.array(self.engine.evaluate(text).outcomes)
            self.assertTrue((found[i::4] == alone).all(), text)
        array = sixfold.positions_array(positions)
        self.assertEqual((array.shape, array.dtype), ((2000, 2, 26), numpy.int8))
        self.assertEqual(list(array[1, 0, [0, 6]]), [13, 2])  # borne off, on the six point
        self.assertTrue((self.engine.distributions(array) == found).all())
        self.assertTrue((self.engine.distributions(array[::-1].astype("u8")) == found[::-1]).all())
        self.assertEqual(sixfold.position_texts(array), positions)
        self.assertEqual(self.engine.distributions([]).shape, (0, 6))
        one = self.engine.distributions(["24 / 24"], checkers=1)
        self.assertTrue((one[0] == numpy.array(
            self.engine.evaluate("24 / 24", checkers=1).outcomes)).all())

    def test_networks_inputs_are_those_of_the_documents(self):
        inputs = sixfold.inputs(TEXTS)
        self.assertEqual((inputs.shape, inputs.dtype), ((4, sixfold.INPUT_COUNT), numpy.float32))
        # Two checkers on the roller's 6 point, nobody on its 5 point: exactly 2, at least 1 and 2.
        self.assertEqual([i for i in range(40, 60) if inputs[1, i]], [51, 56, 57])
        self.assertEqual(list(sixfold.races(TEXTS)), [False, True, False, False])
        self.assert_refused("positions[1]: the game is over", sixfold.races, ["6 / 5", " / 5"])

    def test_what_cannot_be_asked_is_a_value_error_in_the_commands_words(self):
        engine = self.engine
        for position in ("6x2 / 6x15x", "25 / 6", "6 / 19", "6x2"):
            said = subprocess.run([TOOL, "evaluate", "--position", position], text=True,
                                  capture_output=True, check=False).stderr
            self.assert_refused(said.removeprefix("sixfold: ").strip(), engine.evaluate, position)
        self.assert_refused("no position", engine.evaluate)
        self.assert_refused("position: not a text", engine.evaluate, 7)
        self.assert_refused("several scores", engine.evaluate, START, score="money,dmp")
        self.assert_refused("no roll", engine.rollout, START)
        self.assert_refused("half_width: nan", engine.rollout, **OPENING, half_width=float("nan"))
        self.assert_refused("half_width: inf", engine.rollout, **OPENING,
                            half_width=numpy.float32("inf"))
        self.assert_refused("trials: not a whole", engine.rollout, **OPENING, trials=0)
        self.assert_refused("checkers: not a whole", engine.evaluate, START, checkers="15")
        self.assert_refused("rolls: missing", engine.lesson, {"position": START})
        self.assert_refused("cannot be read", engine.lesson, SCRATCH / "nowhere.json")
        self.assert_refused("is not JSON", engine.evaluate, START, id=object())
        deep = []
        for _ in range(100_000):
            deep = [deep]
        self.assert_refused("nested too deep", engine.evaluate, START, id=deep)
        with self.assertRaises(TypeError):
            engine.evaluate(START, colour="red")

    def test_arrays_that_are_no_positions_are_refused(self):
        ask = self.engine.distributions
        good = sixfold.positions_array(TEXTS)
        self.assert_refused("not a list of texts", ask, START)
        self.assert_refused("not a list of texts", ask, 7)
        self.assert_refused("positions[1]: not a text", ask, [START, None])
        self.assert_refused("positions[1], position, character", ask, [START, "x"])
        for wrong in (good[0], good[:, :1], good[:, :, :25], good.astype(float),
                      numpy.full((1, 2, 26), numpy.nan), good.astype(bool)):
            self.assert_refused("of whole numbers", ask, wrong)
        for change, words in (((0, 0, 24, 3), "16 checkers"), ((0, 0, 24, -1), "-1 checkers"),
                              ((3, 1, 24, 255), "255 checkers")):
            changed = good.astype(int)
            changed[change[:3]] = change[3]
            self.assert_refused(f"positions[{change[0]}]: ", ask, changed)
            self.assert_refused(words, ask, changed)
        both = good[:1].copy()
        both[0, 1, 24], both[0, 1, 1] = 1, 1  # the roller's 24 point
        self.assert_refused("both sides stand", ask, both)
        self.assert_refused("checkers: 16 is not", ask, good, checkers=16)
        self.assert_refused("checkers: 2.0 is not", ask, good, checkers=2.0)
        self.assert_refused("of whole numbers", ask, numpy.array(START))
        self.assertEqual(ask(numpy.array([])).shape, (0, 6))
        self.assert_refused("field plays: not a list", self.engine.rollout, **OPENING, plays=5)
        odd = SCRATCH / "caf\udce9.json"
        odd.write_text("{", encoding="utf-8")
        self.assert_refused("not JSON", self.engine.lesson, odd)

    def test_files_that_are_no_nets_are_refused(self):
        dead = SCRATCH / "dead.safetensors"
        self.assert_refused("no such file", sixfold.Engine, SCRATCH / "nowhere")
        dead.write_bytes(b"")
        self.assert_refused("dead.safetensors", sixfold.Engine, dead)
        net = (PLACE / "../../../share/sixfold/standard.safetensors").read_bytes()
        dead.write_bytes(net[:-1])
        self.assert_refused("dead.safetensors", sixfold.Engine, dead)
        self.assert_refused("mmx", sixfold.Engine, isa="mmx")
        self.assert_refused("threads", sixfold.Engine, threads=-1)
        self.assert_refused("race_points", sixfold.Engine, race_points=11)

    def test_progress_is_told_and_may_end_the_work(self):
        seen = []

        def enough(at):
            seen.append(at)
            return len(seen) < 3

        rolled = self.engine.rollout(**OPENING, **ENDLESS, progress=enough)
        self.assertTrue(rolled.interrupted)
        self.assertEqual(len(seen), 3)
        self.assertLessEqual(seen[0].trials_done, seen[2].trials_done)
        self.assertEqual(seen[0].rollout, 0)

        def broken(at):
            raise RuntimeError("not shown")

        with self.assertRaisesRegex(RuntimeError, "not shown"):
            self.engine.rollout(**OPENING, **ENDLESS, progress=broken)

    def test_an_interrupt_keeps_what_is_known(self):
        threading.Timer(1.5, os.kill, (os.getpid(), signal.SIGINT)).start()
        begun = time.monotonic()
        with self.assertRaises(KeyboardInterrupt) as raised:
            self.engine.rollout("6x2 5 / 4x2 3", dice="21", truncate=1, lookahead=1, luck="full",
                                **ENDLESS)
        self.assertLess(time.monotonic() - begun, 20.0)
        self.assertIsInstance(raised.exception, sixfold.Interrupted)
        self.assertTrue(raised.exception.result.interrupted)
        self.assertTrue(raised.exception.result.plays)

    def test_other_threads_run_meanwhile_and_may_ask_too(self):
        counted = []
        alone = self.engine.evaluate(START).to_dict()
        rolled = []
        work = threading.Thread(
            target=lambda: rolled.append(self.engine.rollout(**OPENING, trials=144, half_width=0)))
        work.start()
        while work.is_alive():
            counted.append(time.monotonic())
            time.sleep(0.001)
        work.join()
        self.assertGreater(len(counted), 50)
        asked = [threading.Thread(target=lambda: counted.append(
            self.engine.evaluate(START).to_dict() == alone)) for _ in range(8)]
        for thread in asked:
            thread.start()
        for thread in asked:
            thread.join()
        self.assertEqual(counted[-8:], [True] * 8)

    def test_whoever_waits_for_a_busy_engine_can_be_interrupted(self):
        enough = []
        busy = threading.Thread(target=lambda: self.engine.rollout(
            **OPENING, **ENDLESS, progress=lambda at: not enough))
        busy.start()
        time.sleep(0.5)
        threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT)).start()
        try:
            with self.assertRaises(KeyboardInterrupt):
                self.engine.evaluate(START)
        finally:
            enough.append(True)
            busy.join()

    def test_an_engine_does_not_follow_a_fork(self):
        ask = ("import os, sixfold, sys\n"
               "engine = sixfold.Engine(cache=sys.argv[1], threads=2)\n"
               "engine.rollout(after='31: 8/5 6/5', dice='64', trials=6, half_width=0)\n"
               "if os.fork() == 0:\n"
               "    try:\n"
               "        engine.evaluate(after='31: 8/5 6/5')\n"
               "    except RuntimeError as error:\n"
               "        own = sixfold.Engine(cache=sys.argv[1], threads=2)\n"
               "        own.rollout(after='31: 8/5 6/5', dice='64', trials=6, half_width=0)\n"
               "        print(error, flush=True)\n"
               "    os._exit(0)\n"
               "os.wait()\n")
        done = subprocess.run([sys.executable, "-c", ask, CACHE], text=True, timeout=60,
                              env={**os.environ, "PYTHONPATH": str(PLACE)}, capture_output=True,
                              check=True)
        self.assertIn("does not follow a fork", done.stdout)

    def test_nobody_waits_for_python_on_the_way(self):
        positions = sixfold.positions_array(TEXTS * 10_000)
        begun = time.process_time()
        self.engine.distributions(positions)
        self.assertGreater(len(positions) / (time.process_time() - begun), 20_000)


if __name__ == "__main__":
    SCRATCH = pathlib.Path(sys.argv[2]).absolute()
    PLACE, TOOL = installed(sys.argv[1], SCRATCH)
    DEMO = pathlib.Path(sys.argv[3])
    CACHE = str(SCRATCH / "cache")
    sys.path.insert(0, str(PLACE))
    import sixfold

    unittest.main(argv=sys.argv[:1])
