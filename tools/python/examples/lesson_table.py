"""A lesson as a table: python3 lesson_table.py LESSON.json

For each roll the costs of the contested plays at each score, in points, with their half-widths.
"""

import sys

import pandas

import sixfold


def table_of(lesson: sixfold.Lesson) -> pandas.DataFrame:
    """Rolls and plays down, scores across: "0.045 ± 0.025", or the bound of a play set aside."""
    rows = pandas.DataFrame(lesson.rows())
    rows["cost"] = [f"over {at_least:.3f}" if pandas.notna(at_least) else f"{cost:.3f} ± {half:.3f}"
                    for at_least, cost, half in
                    zip(rows["at_least"], rows["cost"], rows["cost_half_width"])]
    shown = rows.groupby(["roll", "play"])["rank"].transform("min") <= 3
    table = rows[shown].pivot(index=["roll", "play"], columns="score", values="cost")
    return table[list(lesson.scores)]


def main() -> None:
    lesson = sixfold.Engine().lesson(sys.argv[1])
    print(lesson.title)
    print(table_of(lesson).to_string())


if __name__ == "__main__":
    main()
