"""How many distinct places and dates a second, on one core: `python bench_places_dates.py [N]`."""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from datetime import date, timedelta

from crossproof.parse.date import DateError, read_date
from crossproof.parse.place import PlaceError, parse_place, places

TODAY = date(2026, 11, 25)


def references(n: int, rng: random.Random) -> list[str]:
    """Distinct six- and eight-figure references in British, Irish and Channel Islands squares."""
    squares = "SU SP TQ SX SD NT NY NH HU TL N O M C WV".split()  # noqa: SIM905
    texts: set[str] = set()
    while len(texts) < n:
        letters = rng.choice(squares)
        texts.add(f"{letters} {rng.randrange(10_000):04d} {rng.randrange(10_000):04d}")
    return sorted(texts)


def degrees(n: int, rng: random.Random) -> list[str]:
    """Distinct positions in decimal degrees."""
    return [f"{rng.uniform(50, 58):.6f}, {rng.uniform(-5, 1):.6f}" for _ in range(n)]


def dates(n: int, rng: random.Random) -> list[str]:
    """Distinct dates and ranges in six layouts."""
    texts: set[str] = set()
    while len(texts) < n:
        day = TODAY - timedelta(days=rng.randrange(60_000))
        end = min(day + timedelta(days=rng.randrange(1, 9)), TODAY)
        layout = rng.choice(["%d/%m/%Y", "%d %B %Y", "%Y-%m-%d", "%d.%m.%y", "%a %d %b %Y", ""])
        texts.add(day.strftime(layout) if layout else f"{day:%d/%m/%Y}-{end:%d/%m/%Y}")
    return sorted(texts)


def timed(name: str, texts: list[str], work: Callable[[list[str]], object]) -> None:
    start = time.perf_counter()
    work(texts)
    seconds = time.perf_counter() - start
    print(
        f"{name:32} {len(texts):>8} distinct {seconds:7.2f} s"
        f" {len(texts) / seconds:>10,.0f} a second"
    )


def one_by_one(texts: list[str]) -> None:
    for text in texts:
        with suppress(PlaceError):
            parse_place(text)


def each_date(texts: list[str]) -> None:
    for text in texts:
        with suppress(DateError):
            read_date(text, TODAY)


def main() -> None:
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 50_000
    rng = random.Random(1)
    start = time.perf_counter()
    places(["SU12", "N12", "WV65"])
    print(f"first use (PROJ, vocabularies)   {time.perf_counter() - start:.2f} s")
    timed("grid references, all at once", references(n, rng), places)
    timed("grid references, one by one", references(n, rng), one_by_one)
    timed("decimal degrees, all at once", degrees(n, rng), places)
    timed("dates", dates(n, rng), each_date)


if __name__ == "__main__":
    main()
