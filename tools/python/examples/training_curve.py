"""The learning curve that `sixfold train` leaves as a picture:
python3 training_curve.py NET.curve.csv OUT.png
"""

import sys

import matplotlib

matplotlib.use("Agg")
import matplotlib.pyplot as pyplot  # noqa: E402
import pandas  # noqa: E402


def draw(curve: pandas.DataFrame) -> pyplot.Figure:
    """By games played: the loss; gammons, played and predicted; and, where there are any, points a
    game against former selves with their 95% intervals."""
    compared = curve.dropna(subset=["points"])
    panels = 2 if compared.empty else 3
    figure, axes = pyplot.subplots(panels, 1, sharex=True, figsize=(8, 2.5 * panels),
                                   layout="constrained")
    axes[0].plot(curve["games"], curve["loss"])
    axes[0].set_ylabel("loss")
    axes[1].plot(curve["games"], 100 * curve["gammons"], label="played")
    axes[1].plot(curve["games"], 100 * curve["gammons_predicted"], label="predicted")
    axes[1].set_ylabel("gammons in 100 games")
    axes[1].legend()
    if not compared.empty:
        axes[2].errorbar(compared["games"], compared["points"],
                         yerr=1.96 * compared["points_error"], fmt="o-", capsize=3)
        axes[2].axhline(0.0, linewidth=0.8, color="grey")
        axes[2].set_ylabel("points a game\nagainst a former self")
    axes[-1].set_xlabel("games")
    return figure


def main() -> None:
    draw(pandas.read_csv(sys.argv[1])).savefig(sys.argv[2], dpi=120)


if __name__ == "__main__":
    main()
