"""The drawn figures: what they show is read back from the drawing, by its own scales."""

from __future__ import annotations

import re
import sys
from collections.abc import Mapping
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

import pytest

from crossproof.audit.figures import SHADES, Figure, draw

pytest.importorskip("pygal")

SVG = "{http://www.w3.org/2000/svg}"
# Newcombe, R.G. 1998. Two-sided confidence intervals for the single proportion: comparison of
# seven methods. Statistics in Medicine 17: 857-872, table I, method 3.
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0000, 0.1611),
    (1, 29, 0.0061, 0.1718),
]
LONG = "Dactylorhiza fuchsii subsp. hebridensis × Dactylorhiza incarnata subsp. coccinea"
NAMES = ["Dactylorhiza × grandis", "Geum × intermedium", LONG, "Primula × polyantha"]
DECADES = ["1990s", "2000s", "2010s", "2020s"]
SQUARES = [("SU12", 4, 4), ("SU22", 2, 1), ("TL58", 1, 0), ("SK65", 3, 2)]
Point = tuple[float, float]


def share(count: int, of: int, low: float, high: float) -> dict[str, Any]:
    return {"count": count, "of": of, "share": count / of, "low": low, "high": high}


def group(value: str, claims: int, **shares: Mapping[str, Any]) -> dict[str, Any]:
    return {"value": value, "hybrid_claims": claims, **shares}


SUMMARY: dict[str, Any] = {
    "nothotaxa": [
        group(name, of, upheld=share(count, of, low, high))
        for name, (count, of, low, high) in zip(NAMES, NEWCOMBE, strict=True)
    ],
    "missing": [
        {"value": value, **share(*row)}
        for value, row in zip(["photo", "leaf_base"], NEWCOMBE, strict=False)
    ],
    "years": [
        {"value": "1999", "before": 1200, "after": 300},
        {"value": "2001", "before": 2600, "after": 0},
        {"value": "2009", "before": 40, "after": 40},
    ],
    "decades": [
        group(name, of, upheld=share(count, of, low, high))
        for name, (count, of, low, high) in zip(DECADES, NEWCOMBE, strict=True)
    ],
    "squares_10km": [
        group(name, claims, lowered=share(lowered, claims, 0, 1))
        for name, claims, lowered in SQUARES
    ],
}


class Drawing:
    """A figure as its shapes, texts and scales."""

    def __init__(self, figure: Figure) -> None:
        self.root = ElementTree.fromstring(figure.svg)

    def texts(self) -> list[str]:
        return [text.text or "" for text in self.root.iter(f"{SVG}text")]

    def lines(self, name: str) -> list[list[Point]]:
        """The lines of the paths of a class, in the plot's pixels."""
        drawn = [p.get("d", "") for p in self.root.iter(f"{SVG}path") if p.get("class") == name]
        drawn = [d for d in drawn if not re.search("[hv]", d)]  # which draw a scale
        lines = [line.replace("L", "").split() for d in drawn for line in d.split("M")[1:]]
        return [[*zip(map(float, n[::2]), map(float, n[1::2]), strict=True)] for n in lines]

    def dots(self) -> list[Point]:
        circles = (c for c in self.root.iter(f"{SVG}circle") if float(c.get("r", 0)))
        return [(float(c.get("cx", 0)), float(c.get("cy", 0))) for c in circles]

    def scale(self, axis: str) -> list[tuple[str, float]]:
        """The words of a scale and where they stand, as told by its guides."""
        (found,) = (g for g in self.root.iter(f"{SVG}g") if f"axis {axis}" in g.get("class", ""))
        return [
            (
                guide.findtext(f"{SVG}text", ""),
                float(guide.find(f"{SVG}path").get("d", "")[1:].split()["xy".index(axis)]),  # type: ignore[union-attr]
            )
            for guide in found.iter(f"{SVG}g")
            if guide is not found
        ]

    def value(self, axis: str, pixel: float) -> float:
        """What stands at a pixel, by the first and last number of a scale."""
        (first, start), *_, (last, end) = self.scale(axis)
        low, high = (float(text.strip(" %").replace(",", "")) for text in (first, last))
        return low + (high - low) * (pixel - start) / (end - start)


@pytest.fixture
def drawn() -> dict[str, Drawing]:
    return {figure.id: Drawing(figure) for figure in draw(SUMMARY)}


def test_five_figures_in_words() -> None:
    found = {figure.id: (figure.caption, figure.words) for figure in draw(SUMMARY)}
    assert [*found] == ["nothotaxa", "missing", "years", "decades", "map"]
    assert "Dactylorhiza × grandis: 30.8 % (25.5 to 36.6) upheld" in found["nothotaxa"][1]
    assert "leaf base: 10.1 % (6.2 to 16.1)" in found["missing"][1]
    assert found["years"][1].startswith("From 1999 to 2009: 3,840 records of hybrids as claimed")
    assert "Most lowered claims lie in SU12: 4 of 4." in found["map"][1]


@pytest.mark.parametrize(("name", "rows"), [("nothotaxa", NEWCOMBE), ("missing", NEWCOMBE[:2])])
def test_a_dot_upon_a_line_between_the_bounds(
    drawn: dict[str, Drawing], name: str, rows: list[Any]
) -> None:
    figure = drawn[name]
    lines, dots = figure.lines("interval"), figure.dots()
    assert len(lines) == len(dots) == len(rows)
    for line, (x, y), (count, of, low, high) in zip(lines, dots, rows, strict=True):
        xs, ys = zip(*line, strict=True)
        bounds = [figure.value("x", pixel) / 100 for pixel in sorted(set(xs))]
        assert bounds == pytest.approx([low, high], abs=0.0002)
        assert figure.value("x", x) / 100 == pytest.approx(count / of, abs=0.0002)
        assert min(ys) < y < max(ys), "no stroke across at the ends"
    assert [word for word, _ in figure.scale("x")] == [
        "0 %",
        "20 %",
        "40 %",
        "60 %",
        "80 %",
        "100 %",
    ]


def test_each_label_is_whole_and_above_its_own_line(drawn: dict[str, Drawing]) -> None:
    overlay = [
        (float(text.get("y", 0)), text.text or "")
        for text in drawn["nothotaxa"].root.iter(f"{SVG}text")
        if text.get("class") == "label"
    ]
    spots = [0.0, *(y for _, y in drawn["nothotaxa"].dots())]
    for (above, below), name, row in zip(pairwise(spots), NAMES, NEWCOMBE, strict=True):
        lines = sorted(item for item in overlay if above < item[0] < below)
        assert " ".join(text for _, text in lines) == f"{name} ({row[1]})"
        assert all(len(text) <= 54 for _, text in lines)


def test_decades(drawn: dict[str, Drawing]) -> None:
    figure = drawn["decades"]
    assert [word for word, _ in figure.scale("x")] == DECADES
    places = [place for _, place in figure.scale("x")]
    for line, dot, place, (count, of, low, high) in zip(
        figure.lines("interval"), figure.dots(), places, NEWCOMBE, strict=True
    ):
        ys = {y for _, y in line}
        bounds = [figure.value("y", pixel) / 100 for pixel in sorted(ys, reverse=True)]
        assert bounds == pytest.approx([low, high], abs=0.0002)
        assert figure.value("y", dot[1]) / 100 == pytest.approx(count / of, abs=0.0002)
        assert dot[0] == pytest.approx(place, abs=0.02)


def test_years(drawn: dict[str, Drawing]) -> None:
    figure = drawn["years"]
    told = [
        [(round(figure.value("x", x), 1), round(figure.value("y", y), -1)) for x, y in line]
        for line in figure.lines("line")
    ]
    assert told == [[(1999, 1200), (2001, 2600), (2009, 40)], [(1999, 300), (2001, 0), (2009, 40)]]
    assert [word for word, _ in figure.scale("y")] == ["0", "1,000", "2,000", "3,000"]
    years = [word for word, _ in figure.scale("x")]
    assert years == ["2000", "2002", "2004", "2006", "2008"]
    assert figure.texts()[-2:] == ["as claimed", "upheld"]


def test_the_map(drawn: dict[str, Drawing]) -> None:
    figure = drawn["map"]
    outlines = figure.lines("outline")
    assert len(outlines) == len(SQUARES)
    shades = [figure.lines(f"shade-{step}") for step in range(SHADES)]
    assert all(shades), "a shade is not in the scale"
    assert sum(map(len, shades)) == SHADES + len(SQUARES)
    for outline, (_, claims, lowered) in zip(outlines, SQUARES, strict=True):
        xs, ys = zip(*outline, strict=True)
        # Squares of the National Grid are square upon the ground.
        assert max(xs) - min(xs) == pytest.approx(max(ys) - min(ys), rel=0.03)
        middle = (sum(xs[:4]) / 4, sum(ys[:4]) / 4)
        step = min(int(SHADES * lowered / claims), SHADES - 1)
        (inner,) = (s for s in shades[step][1:] if within(middle, s))
        assert area(inner) / area(outline) == pytest.approx(claims / 4, rel=0.02)
    assert figure.texts()[:6] == ["0 %", "20 %", "40 %", "60 %", "80 %", "100 %"]
    by_name = {name: ring[0] for ring, (name, *_) in zip(outlines, SQUARES, strict=True)}
    assert by_name["SU12"][0] < by_name["SU22"][0] < by_name["TL58"][0], "west is left"
    assert by_name["SK65"][1] < by_name["TL58"][1] < by_name["SU12"][1], "north is up"


def within(point: Point, ring: list[Point]) -> bool:
    xs, ys = zip(*ring, strict=True)
    return min(xs) < point[0] < max(xs) and min(ys) < point[1] < max(ys)


def area(ring: list[Point]) -> float:
    """By the shoelace formula."""
    return abs(sum(x * w - v * y for (x, y), (v, w) in pairwise([*ring, ring[0]]))) / 2


def test_shapes_and_words_and_nothing_else() -> None:
    for figure in draw(SUMMARY):
        elements = [*ElementTree.fromstring(figure.svg).iter()]
        tags = {element.tag.removeprefix(SVG) for element in elements}
        assert tags <= {"svg", "g", "path", "circle", "rect", "text"}
        names = {name for element in elements for name in element.attrib}
        assert not names & {"id", "style", "href"}
        assert not {name for name in names if name.startswith("on")}
        bare = re.sub(r' xmlns(:\w+)?="[^"]*"', "", figure.svg)
        assert not re.search(r"http|pygal|<!--|<\?|tooltip", bare)


def test_the_same_figures_are_the_same_bytes() -> None:
    assert draw(SUMMARY) == draw(SUMMARY)


@pytest.mark.parametrize("claims", [0, 1])
def test_hardly_anything_to_draw(claims: int) -> None:
    """No row, or one of nothing: a scale still has a length."""
    nothing = share(0, 1, 0, 0)
    rows = [group(name, claims, upheld=nothing, lowered=nothing) for name in ("1990s", "2000s")]
    found = draw(
        {
            "nothotaxa": rows[:1],
            "missing": [],
            "years": [{"value": y, "before": 0, "after": 0} for y in ("1999", "2000")],
            "decades": rows,
            "squares_10km": [group("SU12", claims, lowered=nothing)],
        }
    )
    expected = ["nothotaxa", "years", "decades", "map"] if claims else ["years"]
    assert [figure.id for figure in found] == expected
    assert not [figure.id for figure in found if "nan" in figure.svg]


def test_without_pygal_none_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pygal", None)
    assert draw(SUMMARY) == []
