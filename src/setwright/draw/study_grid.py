"""A study as a grid: a row for each level, a column for each choice, how many cases are good as a filled measure."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.draw import svg

Answers = tuple[int, int, int]
_ROW, _SIZE = 30.0, 13.5


def study_grid(
    rows: Sequence[str], columns: Sequence[Sequence[str]], cells: Sequence[Sequence[Answers]], width: float
) -> str:
    """Draw in how many cases each choice is good.

    Parameters
    ----------
    rows : sequence of str, r
        Names at the left.
    columns : sequence of sequence of str, c
        Words above each column, one a line.
    cells : sequence of sequence of (good, cannot tell, breaks), r x c
        Number of cases.
    width : float [px]
        Width of the drawing.

    Returns
    -------
    str
        Good cases are black, those that cannot be told hatched, those that break are empty; the number stands below.
    """
    left = 16.0 + 1.2 * max((svg.length_of(name, _SIZE) for name in rows), default=0.0)
    cell = (width - left) / max(len(columns), 1)
    lines = max((len(words) for words in columns), default=0)
    top = 18.0 * lines + 8.0
    body: list[str] = []
    for index, words in enumerate(columns):
        for k, word in enumerate(words):
            # What stands above the column before as well is not said again.
            if not index or k == len(words) - 1 or columns[index - 1][: k + 1] != words[: k + 1]:
                body.append(svg.text(left + index * cell + 3, 14 + 18 * k, word, "t-s"))
    for number, name in enumerate(rows):
        y = top + number * (_ROW + 8.0)
        body.append(svg.text(0, y + 13, name, "t-s"))
        for index, (good, untold, bad) in enumerate(cells[number]):
            total = max(good + untold + bad, 1)
            x, long = left + index * cell + 3, cell - 9.0
            parts = ((good, "f-i", ""), (untold, "", "url(#h-band)"))
            begin = x
            for count, classes, fill in parts:
                end = begin + long * count / total
                if count:
                    body.append(svg.area([(begin, y), (end, y), (end, y + 12), (begin, y + 12)], classes, fill))
                begin = end
            frame = [(x, y), (x + long, y), (x + long, y + 12), (x, y + 12), (x, y)]
            body.append(svg.line(frame, "g thin"))
            body.append(svg.text(x, y + 27, f"{good}/{total}", "t-s"))
    title = "Cases that are good, for every choice; black good, hatched cannot tell, empty breaks"
    return svg.drawing(width, top + len(rows) * (_ROW + 8.0), body, title)
