"""The six outcomes of the best plays as a picture: python3 distribution_picture.py OUT.png

After an opening 31 that made the five point, the other side has rolled 64.
"""

import sys

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as pyplot  # noqa: E402

import sixfold  # noqa: E402

NAMES = {"lose_backgammon": "lost backgammons", "lose_gammon": "lost gammons",
         "lose_single": "lost single games", "win_single": "won single games",
         "win_gammon": "won gammons", "win_backgammon": "won backgammons"}


def draw(rolled: sixfold.Rollout, most: int = 3) -> pyplot.Figure:
    """Bars with the intervals of the first plays, those set aside left out."""
    plays = [play for play in rolled.plays if play.at_least is None][:most]
    figure, axes = pyplot.subplots(figsize=(8, 4.5), layout="constrained")
    width = 0.8 / len(plays)
    for i, play in enumerate(plays):
        places = [place + width * (i - (len(plays) - 1) / 2) for place in range(len(NAMES))]
        axes.bar(places, [100 * share.mean for share in play.outcomes], width,
                 yerr=[100 * share.half_width for share in play.outcomes], capsize=2,
                 label=f"{play.play}  {play.equity.mean:+.3f} ± {play.equity.half_width:.3f}")
    axes.set_xticks(range(len(NAMES)), [name.replace(" ", "\n", 1) for name in NAMES.values()])
    axes.set_ylabel("games in 100")
    axes.set_title(f"{rolled.dice} at {rolled.score}: {rolled.position}", fontsize=10)
    axes.legend(title="play, equity")
    return figure


def main() -> None:
    rolled = sixfold.Engine().rollout(after="31: 8/5 6/5", dice="64", half_width=0.05)
    draw(rolled).savefig(sys.argv[1], dpi=120)


if __name__ == "__main__":
    main()
