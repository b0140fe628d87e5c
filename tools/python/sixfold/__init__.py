"""Sixfold: which play of a roll is right, by how much, and why.

    import sixfold

    engine = sixfold.Engine()
    rolled = engine.rollout(after="31: 8/5 6/5", dice="64", half_width=0.03)
    for play in rolled.plays:
        print(play.play, play.equity.mean, "±", play.equity.half_width, play.verdict)

Positions, plays, dice, scores and the cube are written as on the command line. Whatever is wrong
with a question is a ValueError that says what, where, and what was expected. Results are estimates
by imperfect players, not proofs.
"""

from __future__ import annotations

import json as _json
import math as _math
import operator as _operator
import os as _os
import pathlib as _pathlib
from collections.abc import Sequence as _Sequence
from dataclasses import dataclass
from typing import Any, Callable, Mapping, Optional, Sequence, Union

import numpy as _np

from . import _engine
from . import results as _results
from .results import (Cube, CubeDecision, Estimate, EvaluatedPlay, Evaluation, Lesson, Match,
                      OutcomeEstimates, Outcomes, PlayerTotals, Result, ReviewedGame, ReviewedTurn,
                      RolledPlay, Rollout)

__all__ = ["Cube", "CubeDecision", "Engine", "Estimate", "EvaluatedPlay", "Evaluation",
           "FEATURE_SET", "INPUT_COUNT", "Interrupted", "Lesson", "Match", "OutcomeEstimates",
           "Outcomes", "PlayerTotals", "Positions", "Progress", "Result", "ReviewedGame",
           "ReviewedTurn", "RolledPlay", "Rollout", "inputs", "position_texts", "positions_array",
           "races"]

__version__: str = _engine.version
INPUT_COUNT: int = _engine.input_count  #: F, the inputs of a network.
FEATURE_SET: int = _engine.feature_set  #: Which table of inputs this is; network files name it.

Path = Union[str, "_os.PathLike[str]"]
#: N texts, or an array of whole numbers of shape (N, 2, 26): checkers of the side on roll (0) and
#: of the opponent (1) on each location, numbered from their own side: 0 borne off, 1 to 24 the
#: points, 25 the bar.
Positions = Union[Sequence[str], _np.ndarray]


class Interrupted(KeyboardInterrupt):
    """Ctrl-C ended long work. `result` is what was known by then, as the method would have returned
    it, its `interrupted` set; None where nothing was known."""

    def __init__(self, result: Union[Result, Match, None]) -> None:
        super().__init__("interrupted; .result holds what is known")
        self.result = result


@dataclass(frozen=True)
class Progress:
    """How far a rollout has come."""

    trials_done: int
    trials_expected: int  #: In all, as far as can be foreseen.
    half_width: Optional[float]  #: The widest of the contested costs; None before the first look.
    rollout: int  #: Which rollout of the question it is, from 0: a lesson has one for each cell.


#: Called a few times a second, by the thread that asked; answering False ends the work, and what is
#: known is returned. What it raises ends the work too, and is raised by the method.
OnProgress = Callable[[Progress], Optional[bool]]


class Engine:
    """A net and all that answers are computed with. Threads may share one: they wait for each other.

    net: a network file; the one that comes with Sixfold when left out.
    cache: the folder where computed tables are kept; the user's usual one when left out.
    threads: 0 is as many as the machine has.
    isa: instruction set: "scalar", "avx2", "avx512" or "neon"; the best there is when left out.
    match_table: match equities of your own, a CSV file.
    race_points: how far from home the table of lone bear-offs reaches, 6 to 10; 0: no tables.
    opponent_net: net file by which the opponent plays, doubles and takes in rollouts: the side that
        is not on roll; the same net when left out.

    An Engine does not follow a fork: each process makes its own.
    """

    def __init__(self, net: Optional[Path] = None, cache: Optional[Path] = None, threads: int = 0,
                 isa: Optional[str] = None, *, match_table: Optional[Path] = None,
                 race_points: int = 6, opponent_net: Optional[Path] = None) -> None:
        self._engine = _engine.Engine(
            net=_os.fsencode(_shipped_net() if net is None else net),
            opponent_net=b"" if opponent_net is None else _os.fsencode(opponent_net),
            cache=None if cache is None else _os.fsencode(cache),
            threads=_whole(threads, "threads", 1024), isa=isa or "",
            match_table=b"" if match_table is None else _os.fsencode(match_table),
            race_points=_whole(race_points, "race_points", 10))

    @property
    def net(self) -> str:
        """The net's name and what its weights hash to."""
        return self._engine.net

    def evaluate(self, position: Optional[str] = None, *, after: Optional[str] = None,
                 dice: Optional[str] = None, score: str = "money", cube: Optional[str] = None,
                 jacoby: bool = False, beavers: bool = False, checkers: int = 15,
                 both_from_roller: bool = False, facts: bool = False, id: Any = None,
                 title: Optional[str] = None) -> Evaluation:
        """Static values, at once: those of a roll's plays or, without dice, of the position.

        position: "ROLLER / OPPONENT"; or after: the plays that led to it, "31: 8/5 6/5, 64: 24/14".
        cube: "centred", "roller:2", "opponent:4", "none"; centred where somebody may double when
            left out.
        facts: `to_dict()` tells blots, shots, points, primes and the like too.
        """
        line = _request(position=position, after=after, dice=dice, score=score, cube=cube,
                        jacoby=jacoby, beavers=beavers, checkers=checkers,
                        both_from_roller=both_from_roller, facts=facts or None, id=id, title=title)
        return _results.evaluation(_json.loads(self._engine.evaluate(line)))

    def rollout(self, position: Optional[str] = None, *, after: Optional[str] = None,
                dice: Optional[str] = None, score: str = "money",
                plays: Union[str, Sequence[str], None] = None, cube: Optional[str] = None,
                jacoby: bool = False, beavers: bool = False, checkers: int = 15,
                both_from_roller: bool = False, trials: Optional[int] = None,
                half_width: Optional[float] = None, most_trials: Optional[int] = None,
                confidence: Optional[float] = None, seed: int = 1, lookahead: int = 0,
                truncate: int = 0, luck: str = "auto", error: Optional[float] = None,
                blunder: Optional[float] = None, ledger: bool = False, id: Any = None,
                title: Optional[str] = None,
                progress: Optional[OnProgress] = None) -> Rollout:
        """Every legal play of a roll, or those of `plays` alone, rolled out, best first.

        trials: for every play, 144 when left out; half_width: plays that may be best go on until
            their costs are known this well, in points, 0.01 when left out; 0: the trials alone.
        error, blunder: costs from which a play gets a grade; ledger: `to_dict()` tells where the
            cost of each play comes from too.
        Takes a while: see `progress`, and Interrupted for Ctrl-C.
        """
        line = _request(position=position, after=after, dice=dice, score=score, plays=plays,
                        cube=cube, jacoby=jacoby, beavers=beavers, checkers=checkers,
                        both_from_roller=both_from_roller, trials=trials, half_width=half_width,
                        most_trials=most_trials, confidence=confidence, seed=seed,
                        lookahead=lookahead, truncate=truncate, luck=luck, error=error,
                        blunder=blunder, ledger=ledger or None, id=id, title=title)
        return _told(self._engine.rollout(line, _teller(progress)), _results.rollout)

    def cube(self, position: Optional[str] = None, *, after: Optional[str] = None,
             score: str = "money", cube: Optional[str] = None, jacoby: bool = False,
             beavers: bool = False, checkers: int = 15, both_from_roller: bool = False,
             trials: Optional[int] = None, half_width: Optional[float] = None,
             most_trials: Optional[int] = None, confidence: Optional[float] = None,
             seed: Optional[int] = None, lookahead: Optional[int] = None,
             truncate: Optional[int] = None, luck: Optional[str] = None, id: Any = None,
             title: Optional[str] = None,
             progress: Optional[OnProgress] = None) -> CubeDecision:
        """Whether to double, and whether to take: by the model or, where it is known, exactly;
        rolled out where anything is said of trials."""
        line = _request(position=position, after=after, score=score, cube=cube, jacoby=jacoby,
                        beavers=beavers, checkers=checkers, both_from_roller=both_from_roller,
                        trials=trials, half_width=half_width, most_trials=most_trials,
                        confidence=confidence, seed=seed, lookahead=lookahead, truncate=truncate,
                        luck=luck, id=id, title=title)
        return _told(self._engine.cube(line, _teller(progress)), _results.cube_decision)

    def lesson(self, lesson: Union[Mapping[str, Any], Path], *,
               progress: Optional[OnProgress] = None) -> Lesson:
        """One position, several rolls, several scores: a lesson file, or its fields as a dict."""
        if isinstance(lesson, Mapping):
            text, where = _dumped(dict(lesson)), "lesson"
        else:
            where = "lesson " + _shown(lesson)
            text = _bytes_of(lesson, where, "a lesson in JSON").decode("utf-8", "replace")
        return _told(self._engine.lesson(text, where, _teller(progress)), _results.lesson)

    def match(self, file: Path, *, depth: str = "static", bound: float = 0.05,
              half_width: float = 0.03, seed: int = 1,
              progress: Optional[OnProgress] = None) -> Match:
        """A recorded match, SGF or plain text, judged decision by decision.

        depth: "static": by the net's own values, at once; "lookahead": a roll ahead; "rollout": decisions
            that cost `bound` or more by either are rolled out, too, until their costs are known to
            `half_width`, in equity.
        """
        if depth not in ("static", "lookahead", "rollout"):
            raise ValueError(
                f"depth: '{depth}' is not known; expected static, lookahead or rollout")
        if not (bound > 0.0 and half_width > 0.0 and _math.isfinite(bound + half_width)):
            raise ValueError("bound, half_width: not positive numbers; expected such as 0.05, 0.03")
        name = _shown(file)
        text = _bytes_of(file, f"match file {name}", "a recorded match")
        return _told(self._engine.match(text, name, depth, bound, half_width,
                                        _whole(seed, "seed", 2**64 - 1),
                                        _teller(progress)), _results.match)

    def legal_plays(self, position: str, dice: str, *,
                    checkers: int = 15) -> list[tuple[str, str]]:
        """(play, the position that results for the next player) for every legal play of a roll."""
        return self._engine.legal_plays(_request(position=position, dice=dice, checkers=checkers))

    def play(self, position: str, dice: str, play: str, *, checkers: int = 15) -> str:
        """The position for the next player after a play, whose parts may come in any order."""
        line = _request(position=position, dice=dice, checkers=checkers)
        return self._engine.play(line, play)[1]

    def distributions(self, positions: Positions, *, checkers: int = 15) -> _np.ndarray:
        """How positions end before the dice: float64, N x 6, in the order of Outcomes.

        The same as evaluate() tells, many times faster: no Python runs for each position.
        """
        return self._engine.distributions(positions, _whole(checkers, "checkers", 15))


def positions_array(positions: Positions, *, checkers: int = 15) -> _np.ndarray:
    """Positions as an int8 array of shape (N, 2, 26): see Positions."""
    return _engine.positions_array(positions, _whole(checkers, "checkers", 15))


def position_texts(positions: Positions, *, checkers: int = 15) -> list[str]:
    """Positions as texts."""
    return _engine.position_texts(positions, _whole(checkers, "checkers", 15))


def inputs(positions: Positions, *, checkers: int = 15) -> _np.ndarray:
    """The inputs of a network: float32, N x INPUT_COUNT. For training one elsewhere."""
    return _engine.inputs(positions, _whole(checkers, "checkers", 15))


def races(positions: Positions, *, checkers: int = 15) -> _np.ndarray:
    """Whether each position is a race, which a network of its own evaluates: bool, N."""
    return _engine.races(positions, _whole(checkers, "checkers", 15))


def _shipped_net() -> _pathlib.Path:
    """Beside the module in a build; where the tool's is in an installation."""
    here = _pathlib.Path(__file__).absolute().parent
    for room in here.parents:
        for net in (room / "nets", room / "share" / "sixfold"):
            if (net / "standard.safetensors").exists():
                return net / "standard.safetensors"
    raise ValueError("net: the shipped net is not there; expected a network file, such as "
                     "nets/standard.safetensors")


def _bytes_of(file: Path, where: str, expected: str) -> bytes:
    try:
        return _pathlib.Path(file).read_bytes()
    except OSError as error:
        raise ValueError(f"{where}: cannot be read; expected {expected}") from error


def _shown(file: Path) -> str:
    """A file's name for messages: bytes that are no text are replaced."""
    return _os.fsencode(file).decode("utf-8", "replace")


def _whole(value: Any, name: str, most: int) -> int:
    """A number that is whole, as numpy's are too."""
    try:
        number = _operator.index(value)
    except TypeError:
        number = -1
    if not 0 <= number <= most:
        raise ValueError(f"{name}: {value} is not a whole number from 0 to {most}")
    return number


def _plain(value: Any) -> Any:
    """Numbers of numpy as Python's."""
    if isinstance(value, _np.generic):
        return value.item()
    raise ValueError(f"{type(value).__name__} is not JSON; expected texts, numbers and lists")


def _dumped(fields: dict[str, Any]) -> str:
    try:
        return _json.dumps(fields, default=_plain, allow_nan=False)
    except RecursionError as error:
        raise ValueError("nested too deep; expected texts, numbers and lists") from error


def _request(**fields: Any) -> str:
    """A request as JSON; what is None is left out."""
    said = {name: value for name, value in fields.items() if value is not None}
    for name, value in said.items():
        if isinstance(value, (float, _np.floating)) and not _math.isfinite(value):
            raise ValueError(f"field {name}: {value} is no number; expected a finite one")
        if name == "plays" and not isinstance(value, str):
            if not isinstance(value, _Sequence):
                raise ValueError("field plays: not a list; expected a list of texts, or a text")
            said[name] = list(value)
    return _dumped(said)


def _teller(progress: Optional[OnProgress]) -> Optional[Callable[..., Optional[bool]]]:
    if progress is None:
        return None
    told = progress
    return lambda *numbers: told(Progress(*numbers))


def _told(answer: tuple[str, bool], typed: Callable[[dict[str, Any]], Any]) -> Any:
    text, was_interrupted = answer
    result = typed(_json.loads(text)) if text else None
    if was_interrupted:
        raise Interrupted(result)
    if result is None:
        raise ValueError("stopped before both actions had their first trials")
    return result
