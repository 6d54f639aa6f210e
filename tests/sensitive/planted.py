"""Plant exact places in records, in many notations, and look for them in whatever was written."""

from __future__ import annotations

import csv
import random
import re
import unicodedata
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pyproj import Transformer

SQUARES = {  # letters of land squares and their south-west corners, from memory
    "SU": (400_000, 100_000),
    "NN": (200_000, 700_000),
    "SK": (400_000, 300_000),
    "TL": (500_000, 200_000),
    "SH": (200_000, 300_000),
}
LEVELS = ("100 m", "1 km", "2 km", "10 km", "withhold")
FIELDS = (
    *("locality", "verbatimLocality", "locationRemarks", "occurrenceRemarks", "fieldNotes"),
    *("identificationRemarks", "previousIdentifications", "habitat", "eventRemarks"),
    *("georeferenceRemarks", "verbatimCoordinates", "verbatimLatitude", "footprintWKT", "photo"),
    *("leaf", "stem", "recordedBy", "identifiedBy", "occurrenceID", "eventID", "catalogNumber"),
    *("recordNumber", "fieldNumber", "dynamicProperties", "My notes", "GPS", "samplingProtocol"),
    *("taxonRemarks", "verbatimEventDate", "species", "higherGeography", "locationID", "soil"),
    *("identificationQualifier", "verbatimIdentification", "license", "rights", "references"),
)


@dataclass(frozen=True)
class Planted:
    """One true place: a square metre of the British grid, and its position in WGS 84."""

    letters: str
    easting: int
    northing: int
    latitude: float
    longitude: float
    utm: tuple[float, float]
    mercator: tuple[float, float]

    @property
    def digits(self) -> tuple[str, str]:
        return f"{self.easting % 100_000:05d}", f"{self.northing % 100_000:05d}"


def plant(count: int, seed: int = 6) -> list[Planted]:
    """Places all over Britain, worked out with PROJ and not with this project."""
    draw = random.Random(seed)
    found = []
    for _ in range(count):
        letters = draw.choice(list(SQUARES))
        west, south = SQUARES[letters]
        # Digits without a zero in front, so that no notation drops one.
        east, north = (draw.randrange(10_000, 100_000) for _ in range(2))
        found.append((letters, west + east, south + north))
    eastings, northings = zip(*((e + 0.5, n + 0.5) for _, e, n in found), strict=True)
    lons, lats = _to(27700, 4326).transform(eastings, northings)
    utm = zip(*_to(4326, 32630).transform(lons, lats), strict=True)
    mercator = zip(*_to(4326, 3857).transform(lons, lats), strict=True)
    rows = zip(found, lats, lons, utm, mercator, strict=True)
    return [Planted(*where, lat, lon, u, m) for where, lat, lon, u, m in rows]


@cache
def _to(source: int, target: int) -> Transformer:
    return Transformer.from_crs(source, target, always_xy=True)


def _dms(value: float) -> tuple[int, int, float]:
    degrees = int(abs(value))
    rest = (abs(value) - degrees) * 60
    return degrees, int(rest), (rest - int(rest)) * 60


def notations(place: Planted) -> list[str]:
    """The place as people, cameras and maps write it."""
    letters, (e, n) = place.letters, place.digits
    lat, lon = place.latitude, place.longitude
    (d, m, s), (d2, m2, s2) = _dms(lat), _dms(lon)
    side = "W" if lon < 0 else "E"
    six = f"{letters}{e[:3]}{n[:3]}"
    return [
        f"{letters}{e}{n}",
        f"{letters} {e} {n}",
        f"{letters} {e[:4]} {n[:4]}",
        f"{letters} {e[:3]} {n[:3]}",
        f"{letters.lower()}/{e[:4]}-{n[:4]}",
        f"{letters}{e[:3]}.{n[:3]}",
        " ".join(six),
        f"NGR: {letters}({e[:3]},{n[:3]})",
        "".join(chr(ord(sign) + 0xFEE0) for sign in six),  # full width
        f"{letters}{e[:3]}\u200b{n[:3]}",
        f"{e[:3]}{n[:3]}",
        f"{e} {n}",
        f"{place.easting}, {place.northing}",
        f"E{place.easting} N{place.northing}",
        f"easting {place.easting} northing {place.northing}",
        f"{place.northing}N {place.easting}E",
        f"{lat:.5f}, {lon:.5f}",
        f"{lat:.4f} {lon:.4f}",
        f"{lat:.6f}°N {abs(lon):.6f}°{side}",
        f"lat {lat:.5f} long {lon:.5f}",
        f"{lat:.5f}; {lon:.5f}".replace(".", ","),
        f"{d}°{m:02d}'{s:04.1f}\"N {d2}°{m2:02d}'{s2:04.1f}\"{side}",
        f"{d}º {m}′ {s:.1f}″ N, {d2}º {m2}′ {s2:.1f}″ {side}",
        f"{d} {m:02d} {s:04.1f} N {d2} {m2:02d} {s2:04.1f} {side}",
        f"N{d} {m + s / 60:06.3f} {side}{d2} {m2 + s2 / 60:06.3f}",
        f"{d:02d}{m:02d}{s:02.0f}N {d2:03d}{m2:02d}{s2:02.0f}{side}",
        f"POINT ({lon:.6f} {lat:.6f})",
        f"geo:{lat:.5f},{lon:.5f};u=5",
        f"https://maps.example/@{lat:.5f},{lon:.5f},17z",
        f"30N {place.utm[0]:.0f} {place.utm[1]:.0f}",
        f"{place.mercator[0]:.1f} {place.mercator[1]:.1f}",
    ]


def needles(place: Planted, level: str) -> set[str]:
    """What must not be found: words run together, or parted by `|` where the parts are short.

    At 100 m six figures of the grid are what is published.
    """
    e, n = place.digits
    lat, lon = place.latitude, place.longitude
    found = {f"{place.letters}{e[:k]}{n[:k]}".lower() for k in (4, 5)}
    found |= {e + n, f"{place.easting}{place.northing}", f"{place.northing}{place.easting}"}
    found |= {f"{place.northing}n{place.easting}e", f"e{place.easting}n{place.northing}"}
    found |= {f"{place.utm[0]:.0f}{place.utm[1]:.0f}"}
    found |= {_parted(f"{abs(place.mercator[0]):.1f} {place.mercator[1]:.1f}")}
    if level != "100 m":
        found |= {six_figures(place)}
    for decimals in (4, 5, 6, 7):
        north, east = f"{lat:.{decimals}f}", f"{abs(lon):.{decimals}f}"
        found |= {_parted(f"{north} {east}"), _parted(f"{east} {north}")}
    found |= {_parted(f"{lat:.5f}")}
    (d, m, s), (d2, m2, s2) = _dms(lat), _dms(lon)
    side = "w" if lon < 0 else "e"
    found |= {_parted(f"{d} {m:02d} {s:04.1f}"), _parted(f"{d} {m} {s:.1f}")}
    found |= {_parted(f"{d2} {m2:02d} {s2:04.1f} {side}"), _parted(f"{d2} {m2} {s2:.1f} {side}")}
    found |= {_parted(f"n{d} {m + s / 60:06.3f}")}
    # Both halves, as three figures and an e stand in many a UUID.
    return found | {f"{d:02d}{m:02d}{s:02.0f}n{d2:03d}{m2:02d}{s2:02.0f}{side}"}


def six_figures(place: Planted) -> str:
    """The reference of the 100 m square, as `needles` writes it."""
    e, n = place.digits
    return f"{place.letters}{e[:3]}{n[:3]}".lower()


def _parted(text: str) -> str:
    return "|".join(_TOKEN.findall(text))


def rows(places: list[Planted], plants: int) -> Iterator[dict[str, str]]:
    """A record for each place, planted in `plants` fields, turn and turn about.

    Over all records every field meets every notation.
    """
    turn = 0
    for number, place in enumerate(places):
        written = notations(place)
        row = {
            "species": "D. x grandis",
            "eventDate": "2024-06-14",
            "locality": "Osier Fen",
            "recordedBy": "Ottoline Marrable",
            "leaf": "solid spots",
            "stem": "hollow",
            "placeSensitivity": LEVELS[number % len(LEVELS)],
        }
        if number % 3:
            row["gridReference"] = f"{place.letters}{place.digits[0]}{place.digits[1]}"
        else:
            row["decimalLatitude"] = f"{place.latitude:.7f}"
            row["decimalLongitude"] = f"{place.longitude:.7f}"
        for _ in range(plants):
            field, notation = FIELDS[turn % len(FIELDS)], written[turn // 7 % len(written)]
            row[field] = f"{row.get(field, 'seen at')} {notation} {'.jpg' * (field == 'photo')}"
            turn += 1
        yield row


def write(path: Path, records: list[dict[str, str]]) -> Path:
    headings = list(dict.fromkeys(heading for record in records for heading in record))
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, headings, restval="")
        writer.writeheader()
        writer.writerows(records)
    return path


def texts(folder: Path) -> Iterator[tuple[str, str]]:
    """Every file of an output folder, members of zips included, but the rows that go back.

    A member that is byte for byte a file beside it is not given again.
    """
    seen = set()
    for path in sorted(folder.rglob("*")):
        if not path.is_file() or path.name == "returned.csv":
            continue
        if path.suffix == ".zip":
            with zipfile.ZipFile(path) as archive:
                members = {f"{path.name}/{name}": archive.read(name) for name in archive.namelist()}
        else:
            members = {path.name: path.read_bytes()}
        for name, content in members.items():
            if content not in seen:
                seen.add(content)
                yield name, content.decode("utf-8")


_TOKEN = re.compile(r"[0-9a-z]+")
_WORDY = re.compile(r"(?<=[^0-9]{12})[^0-9]{16,}(?=[^0-9]{12})")  # no digit near: nothing to find
_GLUED = re.compile(r"[a-z]{2}\d{6,10}")


def found_in(text: str, wanted: frozenset[str]) -> set[str]:
    """Which needles stand in a text: up to eight neighbouring words or numbers."""
    plain = unicodedata.normalize("NFKC", text).replace("\u200b", "").lower()
    words = _TOKEN.findall(_WORDY.sub(" .. ", plain))
    seen = wanted & ({*words} | {*_GLUED.findall(plain)})
    for size in (2, 3, 4, 5, 8):
        for mark in ("", "|") if size < 8 else ("",):
            runs = zip(*(words[i:] for i in range(size)), strict=False)
            seen |= wanted.intersection(map(mark.join, runs))
    return seen
