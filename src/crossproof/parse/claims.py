"""The claims of a chunk: the words for the plant, who stood by them, and what they were read as."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from crossproof.coding import Memo, cross
from crossproof.model import LEAD, Claim, Coded, Name
from crossproof.parse.cells import Cells
from crossproof.parse.name import NameReader
from crossproof.rulebooks.model import Rulebook

PARTS = ("genus", "specificEpithet", "infraspecificEpithet")
WORDS = ("verbatimIdentification", "scientificName", "vernacularName")
FIELDS = (
    *WORDS,
    "scientificNameAuthorship",
    "identificationQualifier",
    "identifiedBy",
    "dateIdentified",
    "identificationRemarks",
    "previousIdentifications",
    "identificationVerificationStatus",
)

# From our lead to the end, where it begins the text or one of its ` | ` parts.
_OURS = re.compile(rf"(?:\A|\s*\|\s){re.escape(LEAD)}.*\Z", re.DOTALL)


def without_ours(remark: str) -> str:
    """A remark without what an earlier run of this project has added to it."""
    return _OURS.sub("", remark) if LEAD in remark else remark


class Claims:
    """Reads claims, each distinct combination of cells once."""

    def __init__(self, rulebooks: Sequence[Rulebook]) -> None:
        reader = NameReader(tuple(rulebooks))
        self._name: Memo[str, Name] = Memo(reader.read)
        self._read = Memo(self._claim)

    def read(self, cells: Cells) -> Coded[Claim]:
        """The claim of each row of a chunk."""
        present = [name for name in (*FIELDS, *PARTS) if name in cells]
        combined = cross(*(cells[name] for name in present))
        return combined.map(lambda values: self._read(tuple(zip(present, values, strict=True))))

    def _claim(self, items: tuple[tuple[str, str], ...]) -> Claim:
        given = {name: text.strip() for name, text in items}
        words, name = self._best_name(given)
        qualifier = given.get("identificationQualifier", "")
        if qualifier and not name.qualifier:
            name = replace(name, qualifier=qualifier)
        authorship = given.get("scientificNameAuthorship", "")
        if name.kind == "out_of_scope" and authorship and not name.authorship:
            name = replace(name, authorship=authorship)
        return Claim(
            words=given.get("verbatimIdentification") or words,
            name=name,
            identified_by=given.get("identifiedBy", ""),
            date_identified=given.get("dateIdentified", ""),
            qualifier=qualifier,
            remarks=without_ours(given.get("identificationRemarks", "")),
            previous=given.get("previousIdentifications", ""),
            verification=given.get("identificationVerificationStatus", ""),
        )

    def _best_name(self, given: dict[str, str]) -> tuple[str, Name]:
        """The words of the identification if they can be read, else the next that can."""
        readings = [(given[field], self._name(given[field])) for field in WORDS if given.get(field)]
        if not readings and any(given.get(part) for part in PARTS):
            joined = " ".join(given[part] for part in PARTS if given.get(part))
            readings = [(joined, self._name(joined))]
        resolved = [reading for reading in readings if reading[1].kind != "unresolved"]
        return next(iter(resolved or readings), ("", Name(verbatim="", reason="no plant is named")))
