"""What an Engine answers: typed, and as the JSON that the commands print.

Shares of outcomes are fractions of 1, in the order lose_backgammon, lose_gammon, lose_single,
win_single, win_gammon, win_backgammon, from the view of the side on roll or of the player who makes
the play. Equities and costs are points at money for each unit of the cube; at match scores losing a
single game counts -1 and winning one +1.
"""

from __future__ import annotations

import copy
from dataclasses import dataclass, field
from typing import Any, NamedTuple, Optional


class Outcomes(NamedTuple):
    """The six ways a game ends, as fractions that add up to 1; numpy.array() of it has shape (6,)."""

    lose_backgammon: float
    lose_gammon: float
    lose_single: float
    win_single: float
    win_gammon: float
    win_backgammon: float

    @property
    def win(self) -> float:
        """The chance to win, whichever way."""
        return self.win_single + self.win_gammon + self.win_backgammon


@dataclass(frozen=True)
class Estimate:
    """A number from trials. The interval at the level of confidence is mean ± half_width."""

    mean: float
    half_width: float
    standard_error: Optional[float] = None


class OutcomeEstimates(NamedTuple):
    """The six outcomes as estimates, in the order of Outcomes."""

    lose_backgammon: Estimate
    lose_gammon: Estimate
    lose_single: Estimate
    win_single: Estimate
    win_gammon: Estimate
    win_backgammon: Estimate

    @property
    def means(self) -> Outcomes:
        """The means alone."""
        return Outcomes(*(estimate.mean for estimate in self))


@dataclass(frozen=True)
class Cube:
    """The doubling cube: its value, and who holds it ("centred", "roller" or "opponent")."""

    value: int
    owner: str


@dataclass(frozen=True)
class EvaluatedPlay:
    """A play with its static value. `cost` is against the best play."""

    rank: int
    play: str
    result: str
    outcomes: Outcomes
    equity: float
    cubeless_equity: float
    cost: float
    method: str
    match_winning_chance: Optional[float] = None


@dataclass(frozen=True)
class RolledPlay:
    """A play, rolled out. One that was set aside early has `at_least`, a bound, and no `cost`."""

    rank: int
    play: str
    result: str
    trials: int
    outcomes: OutcomeEstimates
    equity: Estimate
    cubeless_equity: Estimate
    cost: Optional[Estimate]
    at_least: Optional[float]
    best_probability: float
    verdict: str
    grade: Optional[str] = None
    match_winning_chance: Optional[Estimate] = None


@dataclass(frozen=True)
class Result:
    """What all answers have: what was asked, and the JSON."""

    position: str
    score: str
    cube: Optional[Cube]  #: None where it is left out, or nobody may double.
    net: str  #: The net's name and what its weights hash to.
    opponent_net: Optional[str]  #: The opponent's, where it was rolled out against one of his own.
    warnings: tuple[str, ...]  #: What is odd about the position.
    json: dict[str, Any] = field(repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """The JSON that the command prints for the same question, but for its `seconds`."""
        return copy.deepcopy(self.json)


@dataclass(frozen=True)
class Evaluation(Result):
    """Static values: of the plays of a roll, best first, or of the position before the dice."""

    dice: Optional[str]
    plays: tuple[EvaluatedPlay, ...]  #: Empty before the dice.
    outcomes: Optional[Outcomes]  #: Before the dice, as all below.
    equity: Optional[float]
    cubeless_equity: Optional[float]
    method: Optional[str]
    match_winning_chance: Optional[float]


@dataclass(frozen=True)
class Rollout(Result):
    """Plays of a roll, rolled out, best first."""

    dice: str
    seed: int
    settings: dict[str, Any]
    plays: tuple[RolledPlay, ...]
    interrupted: bool  #: It was stopped; plays may be missing.
    seconds: float


@dataclass(frozen=True)
class CubeDecision(Result):
    """Whether to double and to take, in equity for each unit of the present cube."""

    outcomes: Outcomes
    no_double: float
    double_take: Optional[float]  #: None where he may not double.
    double_pass: Optional[float]
    action: str  #: "no double", "double, take", "double, pass" or "too good"
    method: str  #: "exact", "model" or "rollout"
    interrupted: bool


@dataclass(frozen=True)
class Lesson(Result):
    """One position, several rolls, several scores. `score` and `position` are the lesson's own."""

    title: str
    notes: str
    rolls: tuple[str, ...]
    scores: tuple[str, ...]
    cells: tuple[Rollout, ...]  #: By rolls, then scores.
    doubles: tuple[CubeDecision, ...]
    interrupted: bool
    seconds: float  #: That all rollouts of plays took.

    def rows(self) -> list[dict[str, Any]]:
        """A dictionary for each play of each cell: pandas.DataFrame(lesson.rows()) is a table.

        An estimate is two columns, such as `cost` and `cost_half_width`; plays that were set aside
        have `at_least` and None in the others.
        """
        return [_row(cell, play) for cell in self.cells for play in cell.plays]


@dataclass(frozen=True)
class ReviewedTurn:
    """A decision of a match. Cost and luck are in equity at the turn's score and cube."""

    turn: int
    player: int  #: 0 or 1.
    kind: str  #: "play", "double", "take" or "pass"; a double that was missed is a "double".
    position: str
    dice: Optional[str]  #: Of a play.
    played: str
    best: str
    cost: float
    judged_by: str  #: "static", "lookahead" or "rollout".
    cost_half_width: Optional[float]  #: Where it was rolled out.
    luck: Optional[float]  #: Of a play's roll.
    score: str
    cube: Optional[Cube]


@dataclass(frozen=True)
class ReviewedGame:
    """A game of a match. `balance` says where its result came from, in chance to win the match or,
    at money, in points."""

    game: int
    score: tuple[int, ...]
    winner: Optional[int]
    points: Optional[int]
    balance: dict[str, Any]
    turns: tuple[ReviewedTurn, ...]


@dataclass(frozen=True)
class PlayerTotals:
    """A player's sums, in equity."""

    cost_plays: float
    cost_cube: float
    decisions: int
    luck: float
    cost_half_width: Optional[float] = None  #: Where decisions were rolled out.


@dataclass(frozen=True)
class Match:
    """A recorded match, decision by decision."""

    players: tuple[str, ...]
    length: int  #: Points that win it; 0: money.
    net: str
    games: tuple[ReviewedGame, ...]
    totals: tuple[PlayerTotals, ...]
    balance: Optional[dict[str, Any]]  #: None where no game could be judged.
    complaints: tuple[str, ...]  #: What could not be read or judged.
    interrupted: bool  #: It was stopped; games, or rollouts of dear decisions, may be missing.
    json: dict[str, Any] = field(repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """The JSON that the command prints for the same record."""
        return copy.deepcopy(self.json)


def _row(cell: Rollout, play: RolledPlay) -> dict[str, Any]:
    told = play.at_least is None
    row: dict[str, Any] = {"roll": cell.dice, "score": cell.score, "rank": play.rank,
                           "play": play.play, "verdict": play.verdict, "trials": play.trials,
                           "at_least": play.at_least}
    estimates = {"cost": play.cost, "equity": play.equity, "cubeless_equity": play.cubeless_equity,
                 **play.outcomes._asdict()}
    for name, estimate in estimates.items():
        row[name] = estimate.mean if told and estimate else None
        row[name + "_half_width"] = estimate.half_width if told and estimate else None
    return row


def _estimate(json: Optional[dict[str, Any]]) -> Optional[Estimate]:
    return None if json is None else Estimate(**json)


def _cube(json: Any) -> Optional[Cube]:
    return None if json == "none" else Cube(**json)


def _shared(json: dict[str, Any]) -> dict[str, Any]:
    return {"position": json["position"], "score": json.get("score", ""),
            "cube": _cube(json["cube"]), "net": json["net"],
            "opponent_net": json.get("opponent_net"),
            "warnings": tuple(json.get("warnings", ())), "json": json}


def _evaluated_play(json: dict[str, Any]) -> EvaluatedPlay:
    return EvaluatedPlay(json["rank"], json["play"], json["result"], Outcomes(**json["outcomes"]),
                         json["equity"], json["cubeless_equity"], json["cost"], json["method"],
                         json.get("match_winning_chance"))


def evaluation(json: dict[str, Any]) -> Evaluation:
    """The typed form of a sixfold.evaluation."""
    outcomes = json.get("outcomes")
    return Evaluation(**_shared(json), dice=json.get("dice"),
                      plays=tuple(_evaluated_play(play) for play in json.get("plays", ())),
                      outcomes=Outcomes(**outcomes) if outcomes else None,
                      equity=json.get("equity"), cubeless_equity=json.get("cubeless_equity"),
                      method=json.get("method"),
                      match_winning_chance=json.get("match_winning_chance"))


def _rolled_play(json: dict[str, Any]) -> RolledPlay:
    cost = json["cost"]
    outcomes = {name: Estimate(**value) for name, value in json["outcomes"].items()}
    return RolledPlay(json["rank"], json["play"], json["result"], json["trials"],
                      OutcomeEstimates(**outcomes), Estimate(**json["equity"]),
                      Estimate(**json["cubeless_equity"]),
                      None if "at_least" in cost else Estimate(**cost), cost.get("at_least"),
                      json["best_probability"], json["verdict"], json.get("grade"),
                      _estimate(json.get("match_winning_chance")))


def rollout(json: dict[str, Any]) -> Rollout:
    """The typed form of a sixfold.rollout."""
    return Rollout(**_shared(json), dice=json["dice"], seed=json["seed"],
                   settings=json["settings"],
                   plays=tuple(_rolled_play(play) for play in json["plays"]),
                   interrupted=json.get("interrupted", False), seconds=json["seconds"])


def cube_decision(json: dict[str, Any]) -> CubeDecision:
    """The typed form of a sixfold.cube."""
    return CubeDecision(**_shared(json), outcomes=Outcomes(**json["outcomes"]),
                        no_double=json["no_double"], double_take=json.get("double_take"),
                        double_pass=json.get("double_pass"), action=json["action"],
                        method=json["method"], interrupted=json.get("interrupted", False))


def lesson(json: dict[str, Any]) -> Lesson:
    """The typed form of a sixfold.lesson."""
    cells = tuple(rollout(cell) for cell in json["cells"])
    return Lesson(**_shared(json), title=json["title"], notes=json["notes"],
                  rolls=tuple(json["rolls"]), scores=tuple(json["scores"]), cells=cells,
                  doubles=tuple(cube_decision(each) for each in json.get("doubles", ())),
                  interrupted=json.get("interrupted", False),
                  seconds=sum(cell.seconds for cell in cells))


def _reviewed_turn(json: dict[str, Any]) -> ReviewedTurn:
    return ReviewedTurn(json["turn"], json["player"], json["kind"], json["position"],
                        json.get("dice"), json["played"], json["best"], json["cost"],
                        json["judged_by"], json.get("cost_half_width"), json.get("luck"), json["score"],
                        _cube(json["cube"]))


def _reviewed_game(json: dict[str, Any]) -> ReviewedGame:
    return ReviewedGame(json["game"], tuple(json["score"]), json["winner"], json["points"],
                        json["balance"], tuple(_reviewed_turn(turn) for turn in json["turns"]))


def match(json: dict[str, Any]) -> Match:
    """The typed form of a sixfold.match."""
    return Match(tuple(json["players"]), json["length"], json["net"],
                 tuple(_reviewed_game(game) for game in json["games"]),
                 tuple(PlayerTotals(**total) for total in json["totals"]), json.get("balance"),
                 tuple(json.get("complaints", ())), json.get("interrupted", False), json)
