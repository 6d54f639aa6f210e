"""Charts as bare SVG, laid out by pygal: a scale, dots, shapes and words.

The page's style sheet (`page.css`) gives them colours and letters, by pygal's classes and those of
the shapes. Lengths are in pixels of a drawing, which a page scales to its width.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from math import ceil, floor, log10
from textwrap import wrap
from typing import Any

WIDTH, MARGIN = 480, 14
_LETTERS, _LEAD, _TITLE, _ROW, _DOT = 14, 17, 24, 36, 4
_LETTERS_IN_LINE = 54
_DRAWN = {"g", "path", "circle", "rect", "text"}  # the elements a drawing may hold
_NEEDLESS = re.compile(r"(?<=\.\d\d)\d+| (?:reactive|tooltip-trigger|activate-serie|nofill)\b")
Point = tuple[float, float]
Shapes = Mapping[str, Iterable[Sequence[Point]]]  # by their class; each by its corners
Share = Mapping[str, Any]  # with its interval


def chart(height: float, shapes: Shapes, **options: Any) -> Any:
    """A chart of pygal's with its options, which draws some shapes besides what is added to it."""
    import pygal
    from pygal.style import Style

    class Chart(pygal.XY):  # type: ignore[misc]  # pygal has no types
        def _plot(self) -> None:
            place = self.view
            for name, lines in shapes.items():
                drawn = (" ".join(f"{x:.2f} {y:.2f}" for x, y in map(place, r)) for r in lines)
                path = "".join(f"M{points}" for points in drawn)
                self.svg.node(self.nodes["plot"], "path", class_=name, d=path)
            super()._plot()

    sizes = dict.fromkeys(("label_font_size", "legend_font_size", "title_font_size"), _LETTERS)
    settings: dict[str, Any] = {
        "style": Style(value_font_size=0, **sizes),  # 0: `write` writes where it is told
        "width": WIDTH,
        "height": height,
        "margin": MARGIN,
        "truncate_label": -1,
        "print_labels": True,
        "show_legend": False,
        "disable_xml_declaration": True,
        **dict.fromkeys(("js", "css", "classes"), ()),
    }
    return Chart(**settings | options)


def rows(labels: Sequence[str], shares: Sequence[Share], title: str) -> Any:
    """A dot for each share upon its interval, and above it the label, on as many lines as it needs.

    A share and a row are the units of the plot.
    """
    texts = [wrap(label, _LETTERS_IN_LINE) for label in labels]
    pixel = 1 / (_ROW + _LEAD * (max(map(len, texts)) - 1))
    chosen = chart(
        len(labels) / pixel + _TITLE * (3 + title.count("\n")),
        {
            "rule": [[(0, i), (1, i)] for i in range(len(labels))],
            "interval": intervals(shares, 6 * pixel),
        },
        x_title=title,
        xrange=(0, 1),
        x_labels=ticks(0, 1, 5),
        x_value_formatter=per_cent,
        show_x_guides=True,
        range=(9 * pixel - 1, len(labels) - 1 + 14 * pixel),
        inverse_y_axis=True,
        show_y_labels=False,
    )
    dots(chosen, [(share["share"], i) for i, share in enumerate(shares)])
    lines = ((i, *line) for i, text in enumerate(texts) for line in enumerate(reversed(text)))
    write(chosen, [((0, i - (11 + _LEAD * up) * pixel), line) for i, up, line in lines])
    return chosen


def intervals(shares: Sequence[Share], end: float) -> list[list[Point]]:
    """A line from the lower to the upper bound of each share, with a stroke across at both."""
    across = (("low", -end), ("low", end), ("low", 0), ("high", 0), ("high", -end), ("high", end))
    return [[(share[side], i + y) for side, y in across] for i, share in enumerate(shares)]


def dots(chosen: Any, points: Sequence[Point]) -> None:
    """Add a dot at each point."""
    chosen.add(None, points, stroke=False, dots_size=_DOT)


def write(chosen: Any, texts: Iterable[tuple[Point, str]]) -> None:
    """Add texts, each with its line's start (or middle, as the style sheet has it) at a point."""
    values = [{"value": point, "label": text} for point, text in texts]
    chosen.add(None, values, stroke=False, dots_size=0)


def ticks(low: float, high: float, most: int, finest: float = 1e-6) -> list[float]:
    """Round numbers that span `low` to `high`: about `most` steps of 1, 2 or 5 times 10ⁿ."""
    high = max(high, low + finest)
    rough = max((high - low) / most, finest)
    power = 10 ** floor(log10(rough))
    step = next(power * times for times in (1, 2, 5, 10) if power * times > rough * 0.999)
    return [step * i for i in range(floor(low / step), ceil(high / step - 0.001) + 1)]


def per_cent(share: float) -> str:
    """A share as a scale's label."""
    return f"{100 * share:.4g} %"


def svg(chosen: Any, words: str) -> str:
    """The chart's shapes and texts alone: no style, script, comment, tooltip or id.

    It is one picture to a screen reader, said in words by the element of the id `words`.
    """

    def bare(root: Any) -> Any:
        for parent in [*root.iter()]:
            for child in [*parent]:
                if child.tag not in _DRAWN or "tooltip-overlay" in child.get("class", ""):
                    parent.remove(child)
                    continue
                child.attrib.pop("id", None)
                for key, value in child.attrib.items():
                    child.set(key, _NEEDLESS.sub("", value))
        root.attrib.pop("id")  # drawn by lot
        root.set("role", "img")
        root.set("aria-labelledby", words)
        return root

    chosen.add_xml_filter(bare)
    return str(chosen.render(is_unicode=True))
