"""The drawn figures of the report, as SVG: each says in words what it shows."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians
from typing import TYPE_CHECKING, Any

from crossproof.parse.place import Place, places

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# Okabe and Ito 2008, Color Universal Design: told apart whatever the colour vision, and by
# lightness in print; each line has a shape of its own besides.
UPHELD, LOWERED, INK = "#0072B2", "#D55E00", "#222222"
MOST = 16  # bars of one figure
_FONT = ["DejaVu Sans", "Noto Sans", "Segoe UI", "Helvetica", "Arial", "sans-serif"]


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure: its caption, what it shows in words for those who can't see it, its drawing."""

    id: str
    caption: str
    words: str
    svg: str


def draw(figures: Mapping[str, Any]) -> list[Figure]:
    """Draw the figures of a summary; none where matplotlib is not installed."""
    try:
        import matplotlib
    except ImportError:
        return []
    settings = {
        "svg.fonttype": "none",
        "font.family": "sans-serif",
        "font.sans-serif": _FONT,
        "font.size": 10,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.edgecolor": INK,
        "text.color": INK,
    }
    with matplotlib.rc_context(settings):
        drawn = (
            _nothotaxa(figures["nothotaxa"]),
            _missing(figures["missing"]),
            _years(figures["years"]),
            _decades(figures["decades"]),
            _map(figures["squares_10km"]),
        )
    return [figure for figure in drawn if figure]


def _figure(
    name: str, caption: str, words: str, size: tuple[float, float], fill: Callable[[Axes], None]
) -> Figure:
    import matplotlib
    from matplotlib.figure import Figure as Canvas

    with matplotlib.rc_context({"svg.hashsalt": name}):  # ids that no other figure has
        canvas = Canvas(figsize=size, layout="constrained")
        fill(canvas.add_subplot())
        text = io.StringIO()
        canvas.savefig(
            text, format="svg", metadata={"Date": None, "Creator": None}, transparent=True
        )
    svg = text.getvalue()
    svg = svg[svg.index("<svg") :]
    # A drawing in a page takes the page's width, and is one picture to a screen reader.
    svg = re.sub(r' (?:width|height)="[\d.]+pt"', "", svg, count=2)
    # Ids are this figure's own, since all figures stand in one page.
    svg = re.sub(r'(\bid="|url\(#|href="#)', rf"\g<1>{name}-", svg)
    label = f'<svg role="img" aria-labelledby="{name}-words" '
    return Figure(name, caption, words, svg.replace("<svg ", label, 1))


def _per_cent(axes: Axes, which: str) -> None:
    from matplotlib.ticker import PercentFormatter

    axis = axes.xaxis if which == "x" else axes.yaxis
    axis.set_major_formatter(PercentFormatter(1.0, symbol=" %"))


def _intervals(
    axes: Axes, rows: Sequence[Mapping[str, Any]], labels: Sequence[str], color: str
) -> None:
    """A dot for each share, upon a line from the lower to the upper end of its interval."""
    spots = range(len(rows))
    axes.hlines(spots, [r["low"] for r in rows], [r["high"] for r in rows], color=color, lw=2.5)
    axes.plot([r["share"] for r in rows], spots, "o", color=color, ms=6)
    axes.set_yticks(spots, labels)
    axes.set_xlim(-0.01, 1.01)
    axes.invert_yaxis()
    axes.grid(axis="x", color="#dddddd", lw=0.8)
    axes.set_axisbelow(True)
    _per_cent(axes, "x")


def _said(share: Mapping[str, Any]) -> str:
    return f"{100 * share['share']:.1f} % ({100 * share['low']:.1f} to {100 * share['high']:.1f})"


def _nothotaxa(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["hybrid_claims"]][:MOST]
    if not shown:
        return None
    words = "; ".join(f"{row['value']}: {_said(row['upheld'])} upheld" for row in shown)

    def fill(axes: Axes) -> None:
        labels = [f"{row['value']}  ({row['hybrid_claims']:,})" for row in shown]
        _intervals(axes, [row["upheld"] for row in shown], labels, UPHELD)
        axes.set_xlabel("claims upheld, with 95 % intervals; number of claims in brackets")

    height = 1.1 + 0.36 * len(shown)
    return _figure("nothotaxa", "What share of each cross is upheld", words, (8, height), fill)


def _missing(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = rows[:MOST]
    if not shown:
        return None
    words = "; ".join(f"{row['value'].replace('_', ' ')}: {_said(row)}" for row in shown)

    def fill(axes: Axes) -> None:
        labels = [row["value"].replace("_", " ") for row in shown]
        _intervals(axes, shown, labels, LOWERED)
        axes.set_xlabel("hybrid claims that lack it, with 95 % intervals")

    height = 1.1 + 0.36 * len(shown)
    return _figure("missing", "Which evidence is missing most", words, (8, height), fill)


def _years(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["value"].isdecimal()]
    if len(shown) < 2:
        return None
    years = [int(row["value"]) for row in shown]
    before, after = [r["before"] for r in shown], [r["after"] for r in shown]
    words = f"From {years[0]} to {years[-1]}: {sum(before):,} records of hybrids as claimed, "
    words += f"{sum(after):,} as they leave."

    def fill(axes: Axes) -> None:
        from matplotlib.ticker import MaxNLocator

        axes.plot(years, before, color=LOWERED, lw=2, ls="--", label="as claimed")
        axes.plot(years, after, color=UPHELD, lw=2, label="upheld")
        axes.set_ylim(bottom=0)
        axes.set_ylabel("records of hybrids in a year")
        axes.xaxis.set_major_locator(MaxNLocator(integer=True))
        axes.legend(frameon=False, loc="lower right", bbox_to_anchor=(1, 1), ncols=2)
        axes.grid(axis="y", color="#dddddd", lw=0.8)

    return _figure(
        "years", "Records of hybrids in each year, before and after", words, (8, 3.4), fill
    )


def _decades(rows: Sequence[Mapping[str, Any]]) -> Figure | None:
    shown = [row for row in rows if row["value"] and row["hybrid_claims"]]
    if len(shown) < 2:
        return None
    words = "; ".join(f"{row['value']}: {_said(row['upheld'])} upheld" for row in shown)

    def fill(axes: Axes) -> None:
        spots = range(len(shown))
        shares = [row["upheld"] for row in shown]
        low, high = [s["low"] for s in shares], [s["high"] for s in shares]
        axes.vlines(spots, low, high, color=UPHELD, lw=2.5)
        axes.plot(spots, [s["share"] for s in shares], "o", color=UPHELD, ms=6)
        axes.set_xticks(spots, [row["value"] for row in shown])
        axes.set_ylim(0, max(high) * 1.15)
        _per_cent(axes, "y")
        axes.set_ylabel("claims upheld")
        axes.grid(axis="y", color="#dddddd", lw=0.8)

    return _figure("decades", "What share is upheld in each decade", words, (8, 3), fill)


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

    def fill(axes: Axes) -> None:
        from matplotlib import colormaps
        from matplotlib.collections import PolyCollection

        outlines = PolyCollection(
            [r for _, r in rings], facecolor="none", edgecolor="#bbbbbb", lw=0.4
        )
        sized = [_shrunk(r, (row["hybrid_claims"] / most) ** 0.5) for row, r in rings]
        # Ten shades: a scale of more would be drawn as a picture of dots, not as shapes.
        shades = colormaps["cividis_r"].resampled(10)
        colored = PolyCollection(sized, cmap=shades, edgecolor="none")
        colored.set_array([row["lowered"]["share"] for row, _ in rings])
        colored.set_clim(0, 1)
        axes.add_collection(outlines)
        axes.add_collection(colored)
        axes.autoscale_view()
        middle = sum(axes.get_ylim()) / 2
        axes.set_aspect(1 / cos(radians(middle)))
        axes.set_axis_off()
        bar = axes.figure.colorbar(colored, ax=axes, shrink=0.5, location="bottom", pad=0.02)
        bar.set_label("hybrid claims lowered; the larger the square, the more claims")
        _per_cent(bar.ax, "x")

    return _figure("map", "Where the lowered claims lie, in squares of 10 km", words, (8, 7), fill)


def _ring(place: Place) -> list[tuple[float, float]]:
    """The corners of a square's outline as (longitude, latitude)."""
    inner = place.footprint_wkt.removeprefix("POLYGON ((").removesuffix("))")
    points = [pair.split() for pair in inner.split(", ")]
    return [(float(x), float(y)) for x, y in points]


def _shrunk(ring: Sequence[tuple[float, float]], by: float) -> list[tuple[float, float]]:
    x = sum(p[0] for p in ring[:-1]) / (len(ring) - 1)
    y = sum(p[1] for p in ring[:-1]) / (len(ring) - 1)
    return [(x + (px - x) * by, y + (py - y) * by) for px, py in ring]
