"""Recognise what the heading of a column means."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import get_close_matches
from functools import cache, cached_property
from pathlib import Path

from crossproof.findings import Finding, finding
from crossproof.read.errors import Unreadable
from crossproof.read.repair import repair

OURS = (
    *("gridReference", "easting", "northing", "photo", "photoParts", "parents"),
    *("soil", "setting", "flowerOnly", "placeSensitivity"),
)
_LONGEST = 100  # characters of a heading; more is a remark or a title
WHAT = ("scientificName", "verbatimIdentification", "vernacularName")

# How well a heading names a field, best first.
GIVEN, TERM, WORD, WEAKER, WEAKEST = range(5)
_TIERS = {"words": WORD, "weaker": WEAKER, "weakest": WEAKEST}

_NAMESPACE = re.compile(
    r"^(?:https?://rs\.tdwg\.org/dwc/terms/|https?://purl\.org/dc/(?:terms|elements/1\.1)/"
    r"|(?:dwc|dwciri|dcterms|dct|dc)[:_.])",
    re.IGNORECASE,
)
_ASIDE = re.compile(r"\(.*?\)|\[.*?\]|\s[-–—:]\s.*$|[:?*]\s*$")
_EITHER = re.compile(r"\s*(?:[/|,;&+]|\bor\b|\band\b)\s*", re.IGNORECASE)


def fold(heading: str) -> str:
    """Reduce a heading to its letters and digits: `Grid_Ref.` and `grid ref` become one."""
    text = unicodedata.normalize("NFKC", heading).casefold()
    return "".join(filter(str.isalnum, text))


def local_name(term: str) -> str:
    """The short name of a term given as an IRI: `http://…/terms/scientificName` → the last part."""
    return term.strip().rstrip("/#").replace("#", "/").rpartition("/")[2]


@dataclass(frozen=True, slots=True)
class _Known:
    """What `headings.toml` and `terms.txt` say, folded."""

    terms: Mapping[str, str]
    prefixed: frozenset[str]
    words: Mapping[str, tuple[int, str]]
    other: Mapping[str, tuple[str, ...]]
    several: frozenset[str]


@cache
def _known() -> _Known:
    here = Path(__file__).parent
    lines = (here / "terms.txt").read_text(encoding="utf-8").splitlines()
    terms = [line for line in lines if line and not line.startswith("#")]
    data = tomllib.loads((here / "headings.toml").read_text(encoding="utf-8"))
    words: dict[str, tuple[int, str]] = {}
    for name, entry in data["field"].items():
        for key, tier in _TIERS.items():
            words.update((fold(word), (tier, name)) for word in entry.get(key, ()))
    return _Known(
        terms={fold(term): term for term in [*terms, *OURS]} | {"type": "type"},
        prefixed=frozenset(data["prefixed"]["terms"]),
        words=words,
        other={name: tuple(entry.get("other", ())) for name, entry in data["field"].items()},
        several=frozenset(name for name, entry in data["field"].items() if entry.get("several")),
    )


@dataclass(frozen=True, slots=True)
class Recognised:
    """The fields of one heading row, and what is to be said of how they were found."""

    fields: Mapping[str, str]
    findings: tuple[Finding, ...]

    @property
    def names_a_plant(self) -> bool:
        """Whether a column says what was found."""
        return _names_a_plant(self.fields)


def _names_a_plant(fields: Collection[str]) -> bool:
    return any(name in fields for name in WHAT) or {"genus", "specificEpithet"} <= {*fields}


@dataclass(frozen=True)
class Recogniser:
    """Knows Darwin Core's terms, plain words, a rulebook's characters and a mapping given.

    `extra` maps a field of evidence to the headings that mean it; `mapping` a field to the heading
    that stands for it, as written.

    Raises:
        Unreadable: the mapping names a field that nobody knows.
    """

    mapping: Mapping[str, str] = field(default_factory=dict)
    extra: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        fields = {*_known().terms.values(), *self.extra}
        for name in self.mapping:
            if name not in fields:
                near = get_close_matches(name, fields, n=1)
                hint = f"did you mean {near[0]!r}?" if near else "use a Darwin Core term."
                raise Unreadable(f"The mapping names a field {name!r} that is not known; {hint}")

    @cached_property
    def _extra(self) -> dict[str, str]:
        return {fold(word): name for name, words in self.extra.items() for word in (name, *words)}

    @cached_property
    def _claims(self) -> dict[str, tuple[tuple[int, int], str] | None]:
        return {}  # what was found for a heading or a cell near the top; it is asked for often

    @cached_property
    def _given(self) -> dict[str, str]:
        return {fold(heading): name for name, heading in self.mapping.items()}

    def _look_up(self, heading: str) -> tuple[int, str] | None:
        bare = _NAMESPACE.sub("", heading.strip())
        key = fold(bare)
        known = _known()
        if (term := known.terms.get(key)) and (
            bare != heading.strip() or term not in known.prefixed
        ):
            # Our own fields are plain words too, unless they are spelt as we spell them.
            return (WORD if term in OURS and bare != term else TERM), term
        if name := self._extra.get(key):
            return WORD, name
        return known.words.get(key)

    def claim(self, heading: str) -> tuple[tuple[int, int], str] | None:
        """The field a heading claims and how strongly (less is stronger), or None."""
        if heading in self._claims:
            return self._claims[heading]
        self._claims[heading] = claim = self._claim(heading)
        return claim

    def _claim(self, heading: str) -> tuple[tuple[int, int], str] | None:
        if not heading.strip() or len(heading) > _LONGEST:
            return None
        heading = repair(heading)
        if name := self._given.get(fold(heading)):
            return (GIVEN, heading.strip() != self.mapping[name]), name
        if found := self._look_up(heading):
            return (found[0], 0), found[1]
        parts = [self._look_up(part) for part in _EITHER.split(heading)]
        if len({part[1] if part else "" for part in parts}) == 1 and parts[0]:
            return (parts[0][0], 1), parts[0][1]
        if found := self._look_up(_ASIDE.sub(" ", heading)):
            return (found[0], 2), found[1]
        return None

    def count(self, row: Iterable[str]) -> int:
        """How many cells of a row are headings that are recognised."""
        return len(self._fields(row))

    def names_a_plant(self, row: Iterable[str]) -> bool:
        """Whether a row of headings has one for the plant's name."""
        return _names_a_plant(self._fields(row))

    def _fields(self, row: Iterable[str]) -> set[str]:
        return {claim[1] for cell in row if (claim := self.claim(cell))}

    def read(self, headings: Sequence[str], *, names: Sequence[str], where: str) -> Recognised:
        """Find the field of each heading.

        `headings` are the cells as written, `names` the (distinct) names their columns go by;
        `where` is said in errors and findings.

        Raises:
            Unreadable: two headings name one field equally well.
        """
        by_name = {heading: name for name, heading in self.mapping.items()}
        claims: dict[str, list[tuple[tuple[int, int], int]]] = defaultdict(list)
        found = [
            ((GIVEN, 0), by_name[name]) if name in by_name else self.claim(heading)
            for heading, name in zip(headings, names, strict=True)
        ]
        genus = any(claim and claim[1] == "genus" for claim in found)
        for position, claim in enumerate(found):
            if claim:
                rank, name = claim
                if genus and rank[0] > TERM and fold(headings[position]) == "species":
                    name = "specificEpithet"  # genus and species in a column each
                claims[name].append((rank, position))
        taken: dict[str, int] = {}
        rest: list[tuple[str, int]] = []
        for name, entries in claims.items():
            entries.sort()
            tied = [position for rank, position in entries if rank == entries[0][0]]
            if len(tied) > 1 and name not in _known().several:
                raise Unreadable(_two_for_one(name, [names[p] for p in tied], where))
            taken[name] = entries[0][1]
            rest += [(name, position) for _, position in entries[1:]]
        beaten: dict[int, str] = {}
        for name, position in rest:
            free = [other for other in _known().other.get(name, ()) if other not in taken]
            if free:
                taken[free[0]] = position
            else:
                beaten[position] = name
        fields = {
            name: names[position] for name, position in sorted(taken.items(), key=lambda t: t[1])
        }
        by_position = {position: name for name, position in taken.items()}
        return Recognised(fields, tuple(self._say(headings, names, by_position, beaten, fields)))

    def _say(
        self,
        headings: Sequence[str],
        names: Sequence[str],
        taken: Mapping[int, str],
        beaten: Mapping[int, str],
        fields: Mapping[str, str],
    ) -> Iterable[Finding]:
        for position, heading in enumerate(headings):
            name = names[position]
            if mine := taken.get(position):
                if _NAMESPACE.sub("", heading.strip()) != mine and mine not in self.mapping:
                    yield finding(
                        "heading_assumed", f"{name!r} was taken for {mine}", column=name, value=mine
                    )
            elif also := beaten.get(position):
                yield finding(
                    "heading_unknown",
                    f"{name!r} means {also} too, for which {fields[also]!r} was taken; "
                    "it is kept in dynamicProperties",
                    column=name,
                )
            elif heading.strip():
                yield finding(
                    "heading_unknown",
                    f"no field is known for {name!r}; it is kept in dynamicProperties",
                    column=name,
                )
        if bare := [names[i] for i, heading in enumerate(headings) if not heading.strip()]:
            yield finding(
                "heading_unknown",
                f"{', '.join(bare)} without a heading: what stands there is kept in "
                "dynamicProperties",
                column=bare[0],
            )


def _two_for_one(name: str, headings: Sequence[str], where: str) -> str:
    listed = " and ".join(map(repr, headings))
    return (
        f"{where}: the headings {listed} both stand for {name}; rename one of them, or say in a "
        f"mapping file which it is: {name} = {headings[0]!r}."
    )


def distinct(headings: Sequence[str], *, offset: int = 0) -> tuple[str, ...]:
    """Give every column a name of its own: a blank or repeated heading gets its column's letter.

    `offset` is the number of columns of the sheet left of the first.
    """
    seen: set[str] = set()
    names = []
    for position, heading in enumerate(headings):
        name = heading.strip()
        place = f"column {_letter(position + offset)}"
        if not name:
            name = place
        while name in seen:
            name = f"{name} ({place})"
        seen.add(name)
        names.append(name)
    return tuple(names)


def _letter(index: int) -> str:
    letters = ""
    index += 1
    while index:
        index, digit = divmod(index - 1, 26)
        letters = chr(ord("A") + digit) + letters
    return letters
