"""The drawn figures of the report, as SVG: each says in words what it shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from math import ceil, cos, radians
from typing import Any

from crossproof.audit import charts
from crossproof.audit.charts import Point, per_cent, ticks
from crossproof.parse.place import Place, places

MOST = 16  # rows of one figure
SHADES = 10  # of the map
_SHADE = 30  # pixels, wide, in the scale of shades
_DEGREE = 900  # pixels, high, at most: a square is then 80 wide


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure: its caption, what it shows in words for those who can't see it, its drawing."""

    id: str
    caption: str
    words: str
    svg: str


def draw(figures: Mapping[str, Any]) -> list[Figure]:
    """Draw the figures of a summary; none where pygal is not installed."""
    if not find_spec("pygal"):
        return []
    drawn = (
        _nothotaxa(figures["nothotaxa"]),
        _missing(figures["missing"]),
        _years(figures["years"]),
        _decades(figures["decades"]),
        _map(figures["squares_10km"]),
    )
    return [figure for figure in drawn if figure]


def _figure(name: str, caption: str, words: str, chart: Any) -> Figure:
    return Figure(name, caption, words, charts.svg(chart, f"{name}-words"))


def _said(share: Mapping[str, Any]) -> str:
    return f"{100 * share['share']:.1f} % ({100 * share['low']:.1f} to {100 * share['high']:.1f})"


def _nothotaxa(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["hybrid_claims"]][:MOST]
    if not shown:
        return None
    words = "; ".join(f"{row['value']}: {_said(row['upheld'])} upheld" for row in shown)
    chart = charts.rows(
        [f"{row['value']} ({row['hybrid_claims']:,})" for row in shown],
        [row["upheld"] for row in shown],
        "claims upheld, with 95 % intervals;\nnumber of claims in brackets",
    )
    return _figure("nothotaxa", "What share of each cross is upheld", words, chart)


def _missing(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = rows[:MOST]
    if not shown:
        return None
    labels = [row["value"].replace("_", " ") for row in shown]
    words = "; ".join(f"{n}: {_said(row)}" for n, row in zip(labels, shown, strict=True))
    chart = charts.rows(labels, shown, "hybrid claims that lack it, with 95 % intervals")
    return _figure("missing", "Which evidence is missing most", words, chart)


def _years(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["value"].isdecimal()]
    if len(shown) < 2:
        return None
    years = [int(row["value"]) for row in shown]
    first, last = years[0], years[-1]
    before, after = [r["before"] for r in shown], [r["after"] for r in shown]
    words = f"From {first} to {last}: {sum(before):,} records of hybrids as claimed, "
    words += f"{sum(after):,} as they leave."
    chart = charts.chart(
        260,
        {},
        xrange=(first, last),
        x_labels=[year for year in ticks(first, last, 6, 1) if first <= year <= last],
        x_value_formatter="{:.0f}".format,
        y_title="records in a year",
        y_labels=ticks(0, max(before + after), 5, 1),
        value_formatter="{:,.0f}".format,
        show_legend=True,
        legend_at_bottom=True,
        legend_at_bottom_columns=2,
        legend_box_size=28,
    )
    for name, counts in (("as claimed", before), ("upheld", after)):
        chart.add(name, [*zip(years, counts, strict=True)], show_dots=False)
    return _figure("years", "Records of hybrids in each year, before and after", words, chart)


def _decades(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["value"] and row["hybrid_claims"]]
    if len(shown) < 2:
        return None
    words = "; ".join(f"{row['value']}: {_said(row['upheld'])} upheld" for row in shown)
    shares = [row["upheld"] for row in shown]
    scale = ticks(0, max(share["high"] for share in shares), 5, 0.01)
    lying = charts.intervals(shares, len(shares) / 60)
    labels = [{"value": i, "label": row["value"]} for i, row in enumerate(shown)]
    chart = charts.chart(
        240,
        {"interval": [[(x, y) for y, x in line] for line in lying]},
        xrange=(-0.5, len(shares) - 0.5),
        x_labels=labels[:: ceil(len(labels) / 8)],  # as many as fit side by side
        y_title="claims upheld",
        range=(0, scale[-1]),
        y_labels=scale,
        value_formatter=per_cent,
    )
    charts.dots(chart, [(i, share["share"]) for i, share in enumerate(shares)])
    return _figure("decades", "What share is upheld in each decade", words, chart)


def _map(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    """Each 10 km square where it lies: the larger the more claims, the darker the more lowered."""
    shown = [row for row in rows if row["value"] and row["hybrid_claims"]]
    found = places([row["value"] for row in shown])
    pairs = [(row, p) for row, p in zip(shown, found, strict=True) if isinstance(p, Place)]
    rings = [(row, _ring(place)) for row, place in pairs if place.footprint_wkt]
    if not rings:
        return None
    most = max(row["hybrid_claims"] for row, _ in rings)
    worst = max(rings, key=lambda pair: pair[0]["lowered"]["count"])[0]
    words = f"{len(rings):,} squares of 10 km with hybrid claims. Most lowered claims lie in "
    words += f"{worst['value']}: {worst['lowered']['count']:,} of {worst['hybrid_claims']:,}. "
    words += "The table of squares holds the same figures."

    wide, below = charts.WIDTH - 2 * charts.MARGIN, 80  # below the map is the scale of shades
    high, outlines = _fitted([ring for _, ring in rings], wide)
    marks = [(wide - SHADES * _SHADE) / 2 + step * _SHADE for step in range(SHADES + 1)]
    shades = {
        f"shade-{step}": [[(x, -20.0), (x + _SHADE, -20.0), (x + _SHADE, -8.0), (x, -8.0)]]
        for step, x in enumerate(marks[:-1])
    }
    for (row, _), outline in zip(rings, outlines, strict=True):
        step = min(int(row["lowered"]["share"] * SHADES), SHADES - 1)
        shades[f"shade-{step}"].append(_shrunk(outline, (row["hybrid_claims"] / most) ** 0.5))
    # A unit is as many pixels across as upwards, or squares would not be square.
    chart = charts.chart(
        high + below + 2 * charts.MARGIN,
        {"outline": outlines, **shades},
        xrange=(0, wide),
        range=(-below, high),
        show_x_labels=False,
        show_y_labels=False,
    )
    charts.write(chart, [((x, -38), per_cent(i / SHADES)) for i, x in enumerate(marks)][::2])
    title = ("hybrid claims lowered;", "the larger the square, the more claims")
    charts.write(chart, [((wide / 2, -60 - 18 * i), line) for i, line in enumerate(title)])
    return _figure("map", "Where the lowered claims lie, in squares of 10 km", words, chart)


def _ring(place: Place) -> list[Point]:
    """The corners of a square's outline as (longitude, latitude)."""
    inner = place.footprint_wkt.removeprefix("POLYGON ((").removesuffix("))")
    points = [pair.split() for pair in inner.split(", ")]
    return [(float(x), float(y)) for x, y in points]


def _fitted(rings: Sequence[Sequence[Point]], side: int) -> tuple[int, list[list[Point]]]:
    """The height of a map at most `side` high and `side` wide, and the outlines upon it."""
    xs, ys = zip(*(point for ring in rings for point in ring), strict=True)
    left, right, low, high = min(xs), max(xs), min(ys), max(ys)
    narrow = cos(radians((low + high) / 2))  # a degree of longitude, to one of latitude
    scale = min(side / max((right - left) * narrow, high - low), _DEGREE)
    aside = (side - (right - left) * narrow * scale) / 2
    return ceil((high - low) * scale), [
        [(aside + (x - left) * narrow * scale, (y - low) * scale) for x, y in ring]
        for ring in rings
    ]


def _shrunk(ring: Sequence[Point], by: float) -> list[Point]:
    x = sum(p[0] for p in ring[:-1]) / (len(ring) - 1)
    y = sum(p[1] for p in ring[:-1]) / (len(ring) - 1)
    return [(x + (px - x) * by, y + (py - y) * by) for px, py in ring]
