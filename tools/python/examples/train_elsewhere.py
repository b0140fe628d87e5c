"""A net trained with nothing but numpy, on what another one says of its games:

    sixfold sample --positions 200000 --explore .3 --out data.npy
    python3 train_elsewhere.py data.npy mine.safetensors
    sixfold duel mine.safetensors nets/standard.safetensors --pairs 1000

Shapes by letter: F inputs, H hidden units, S units of the second layer, B positions of a batch.
"""

import json
import sys

import numpy

import sixfold

HIDDEN = 64  # H, a multiple of 64
SECOND = 32  # S, as the program has it
LEAK = 0.3  # slope of second units below 0
EPOCHS = 2
BATCH = 128
RATE = 0.002


class Network:
    """hidden = clamp(x first + first_bias, 0, 1)^2; second = leaky(hidden second_weights +
    second_bias); outcomes = softmax(second head_weights + head_bias)."""

    def __init__(self, random: numpy.random.Generator) -> None:
        def uniform(limit: float, *shape: int) -> numpy.ndarray:
            return random.uniform(-limit, limit, shape).astype(numpy.float32)

        self.tensors = {
            "first": uniform(0.1, sixfold.INPUT_COUNT, HIDDEN),
            "first_bias": numpy.full((1, HIDDEN), 0.3, numpy.float32),
            "second_weights": uniform(2.0 / HIDDEN**0.5, HIDDEN, SECOND),
            "second_bias": numpy.zeros((1, SECOND), numpy.float32),
            "head_weights": uniform(0.25, SECOND, 6),
            "head_bias": numpy.zeros((1, 6), numpy.float32),
        }

    def gradients(self, x: numpy.ndarray, target: numpy.ndarray) -> tuple[float, dict]:
        """The mean cross-entropy of a batch, x B x F and target B x 6, and its gradients."""
        net = self.tensors
        clamped = numpy.clip(x @ net["first"] + net["first_bias"], 0.0, 1.0)
        hidden = clamped**2
        before = hidden @ net["second_weights"] + net["second_bias"]
        second = numpy.where(before > 0.0, before, LEAK * before)
        logits = second @ net["head_weights"] + net["head_bias"]
        logits -= logits.max(axis=1, keepdims=True)
        log_share = logits - numpy.log(numpy.exp(logits).sum(axis=1, keepdims=True))
        loss = -float((target * log_share).sum()) / len(x)
        of_logits = (numpy.exp(log_share) - target) / len(x)
        of_before = of_logits @ net["head_weights"].T * numpy.where(before > 0.0, 1.0, LEAK)
        of_hidden = of_before.astype(numpy.float32) @ net["second_weights"].T
        is_inside = (clamped > 0.0) & (clamped < 1.0)
        of_first = of_hidden * 2.0 * clamped * is_inside
        return loss, {
            "first": x.T @ of_first, "first_bias": of_first.sum(axis=0, keepdims=True),
            "second_weights": hidden.T @ of_before,
            "second_bias": of_before.sum(axis=0, keepdims=True),
            "head_weights": second.T @ of_logits,
            "head_bias": of_logits.sum(axis=0, keepdims=True),
        }

    def train(self, data: numpy.ndarray, random: numpy.random.Generator) -> None:
        """Adam: Kingma D. & Ba J., ICLR 2015. The rate falls to 0 along a cosine."""
        mean = {name: numpy.zeros_like(tensor) for name, tensor in self.tensors.items()}
        square = {name: numpy.zeros_like(tensor) for name, tensor in self.tensors.items()}
        steps = EPOCHS * (len(data) // BATCH)
        for step in range(steps):
            batch = data[random.integers(len(data), size=BATCH)]
            loss, gradients = self.gradients(sixfold.inputs(batch["position"]),
                                             batch["outcomes"].astype(numpy.float32))
            rate = 0.5 * RATE * (1.0 + numpy.cos(numpy.pi * step / steps))
            for name, gradient in gradients.items():
                mean[name] += 0.1 * (gradient - mean[name])
                square[name] += 0.001 * (gradient**2 - square[name])
                unbiased = mean[name] / (1.0 - 0.9 ** (step + 1))
                spread = numpy.sqrt(square[name] / (1.0 - 0.999 ** (step + 1)))
                self.tensors[name] -= (rate * unbiased / (spread + 1e-8)).astype(numpy.float32)
            if step % max(1, steps // 5) == 0:
                print(f"step {step} of {steps}: loss {loss:.4f}")


def save(file: str, networks: dict[str, Network], games: int) -> None:
    """A safetensors file: the length of a JSON header, the header, then the numbers as they are."""
    header: dict = {"__metadata__": {
        "format": "sixfold.network/1", "feature_set": str(sixfold.FEATURE_SET), "seed": "1",
        "recipe": "numpy", "games": str(games), "checkers": "15", "parent": "",
        **{f"{name}.units": "squared" for name in networks}}}
    numbers = b""
    for prefix, network in networks.items():
        for name, tensor in network.tensors.items():
            part = numpy.ascontiguousarray(tensor, "<f4").tobytes()
            header[f"{prefix}.{name}"] = {"dtype": "F32", "shape": list(tensor.shape),
                                          "data_offsets": [len(numbers), len(numbers) + len(part)]}
            numbers += part
    text = json.dumps(header).encode()
    with open(file, "wb") as out:
        out.write(len(text).to_bytes(8, "little") + text + numbers)


def trained(data: numpy.ndarray) -> dict[str, Network]:
    """A network for contact and one for races; on no data, untrained ones."""
    random = numpy.random.default_rng(1)
    is_race = sixfold.races(data["position"])
    networks = {}
    for name, chosen in (("contact", ~is_race), ("race", is_race)):
        print(f"{name}: {chosen.sum()} positions")
        networks[name] = Network(random)
        networks[name].train(data[chosen], random)
    return networks


def main() -> None:
    save(sys.argv[2], trained(numpy.load(sys.argv[1])), games=0)


if __name__ == "__main__":
    main()
