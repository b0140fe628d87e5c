"""The examples of the Python module do what they say. Run as: examples_test.py SIXFOLD EXAMPLES

The module is that of PYTHONPATH. Examples whose libraries are missing are skipped.
"""

import importlib
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

try:
    import sixfold
except ImportError:
    sys.exit(77)

LESSON = {"title": "Small", "position": "6x2 5 / 4x2 3", "rolls": ["21", "43"],
          "scores": ["money", "dmp"], "cube": "none", "trials": 36, "half_width": 0}


def example(name, library):
    """An example as a module."""
    try:
        importlib.import_module(library)
    except ImportError as error:
        raise unittest.SkipTest(f"no {library}") from error
    return importlib.import_module(name)


class ExamplesTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.folder = pathlib.Path(folder.name)

    def tool(self, *arguments):
        return subprocess.run([TOOL, *map(str, arguments), "--quiet"], text=True, check=True,
                              capture_output=True).stdout

    def assert_picture(self, file):
        data = file.read_bytes()
        self.assertEqual(data[:8], b"\x89PNG\r\n\x1a\n")
        self.assertGreater(len(data), 10_000)

    def test_a_lesson_is_a_table_of_pandas(self):
        lesson_table = example("lesson_table", "pandas")
        table = lesson_table.table_of(sixfold.Engine().lesson(LESSON))
        self.assertEqual(list(table.columns), ["money", "dmp"])
        # Exact: three checkers against three, both sides nearly home.
        self.assertEqual(table.loc[("21", "6/4 5/4"), "dmp"], "0.000 ± 0.000")
        self.assertRegex(table.loc[("21", "6/4 6/5"), "dmp"], r"^0.0\d\d ± 0.000$")

    def test_a_distribution_is_a_picture_of_matplotlib(self):
        picture = example("distribution_picture", "matplotlib")
        rolled = sixfold.Engine().rollout(after="31: 8/5 6/5", dice="64", trials=36, half_width=0)
        figure = picture.draw(rolled)
        bars = figure.axes[0].patches
        self.assertEqual(len(bars), 18)
        self.assertAlmostEqual(sum(bar.get_height() for bar in bars[:6]), 100.0, 3)
        figure.savefig(self.folder / "picture.png")
        self.assert_picture(self.folder / "picture.png")

    def test_a_learning_curve_is_a_picture_too(self):
        curve = example("training_curve", "matplotlib")
        pandas = importlib.import_module("pandas")
        self.tool("train", "--recipe", "quick", "--games", 600, "--out",
                  self.folder / "net.safetensors")
        table = pandas.read_csv(self.folder / "net.curve.csv")
        figure = curve.draw(table)
        self.assertEqual(len(figure.axes), 2)
        self.assertEqual(len(figure.axes[0].lines[0].get_xdata()), len(table))
        compared = table.assign(points=0.1, points_error=0.05)
        self.assertEqual(len(curve.draw(compared).axes), 3)
        figure.savefig(self.folder / "curve.png")
        self.assert_picture(self.folder / "curve.png")

    def test_a_net_trained_by_numpy_plays(self):
        elsewhere = example("train_elsewhere", "numpy")
        numpy = importlib.import_module("numpy")
        self.tool("sample", "--positions", 40_000, "--explore", 0.3, "--out",
                  self.folder / "data.npy")
        data = numpy.load(self.folder / "data.npy")
        made = {}
        for name, rows in (("trained", data), ("untrained", data[:0])):
            made[name] = self.folder / f"{name}.safetensors"
            elsewhere.save(made[name], elsewhere.trained(rows), 0)
        duel = json.loads(self.tool("duel", made["trained"], made["untrained"], "--pairs", 400,
                                    "--json"))
        points = duel["points_per_game"]
        self.assertGreater(points["mean"] - points["half_width"], 0.5)
        errors = {}
        for name, net in made.items():
            apart = sixfold.Engine(net).distributions(data["position"][:2000])
            errors[name] = ((apart - data["outcomes"][:2000])**2).mean()**0.5
        self.assertLess(errors["trained"], errors["untrained"] / 3)

    def test_the_gradients_are_those_of_the_loss(self):
        elsewhere = example("train_elsewhere", "numpy")
        numpy = importlib.import_module("numpy")
        random = numpy.random.default_rng(7)
        network = elsewhere.Network(random)
        for name in network.tensors:
            network.tensors[name] = network.tensors[name].astype(numpy.float64)
        x = sixfold.inputs(["24x2 13x5 8x3 6x5 / 24x2 13x5 8x3 6x5", "bar 6x3 / 4x2"])
        target = random.dirichlet(numpy.ones(6), 2)
        _, gradients = network.gradients(x, target)
        for name, tensor in network.tensors.items():
            place = tuple(random.integers(size) for size in tensor.shape)
            if name == "first":
                place = (int(numpy.flatnonzero(x[0])[0]), place[1])
            losses = []
            for step in (1e-5, -2e-5):
                tensor[place] += step
                losses.append(network.gradients(x, target)[0])
            tensor[place] += 1e-5
            self.assertAlmostEqual((losses[0] - losses[1]) / 2e-5, gradients[name][place], 5, name)


if __name__ == "__main__":
    TOOL = sys.argv[1]
    sys.path.insert(0, sys.argv[2])
    unittest.main(argv=sys.argv[:1])
