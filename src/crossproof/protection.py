"""Set up what keeps places and people back, as the options of a run ask for it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from crossproof.coding import code, same
from crossproof.darwincore.ids import RecordIds
from crossproof.findings import Finding
from crossproof.model import Chunk, Judged
from crossproof.options import OptionError, Options
from crossproof.parse.coarse import coarsen, figures
from crossproof.parse.grid import is_square
from crossproof.parse.place import parse_place
from crossproof.parse.records import Records
from crossproof.rulebooks.model import Rulebook
from crossproof.sensitive.levels import Levels
from crossproof.sensitive.people import KeyRefused, Rename, initials, pseudonyms
from crossproof.sensitive.request import Request, SensitiveError, load_request
from crossproof.sensitive.stage import Protector, Submitted, Tools


class Protection:
    """Keeps back what a run is to keep back, chunk by chunk.

    Raises:
        OptionError: the file of sensitive places or the key cannot be used.
    """

    def __init__(self, options: Options, rulebooks: Sequence[Rulebook]) -> None:
        try:
            request = (
                load_request(options.sensitive, parse_place) if options.sensitive else Request()
            )
            rename = renamer(options)
        except (SensitiveError, KeyRefused) as error:
            raise OptionError(str(error)) from None
        self._protector = Protector(
            Levels(rulebooks, request),
            Tools(coarsen=coarsen, figures=figures, is_square=is_square),
            rename=rename,
            key=options.key,
            hides_localities=options.hide_localities or request.hide_localities,
        )

    def protect(
        self, judged: Judged, findings: Sequence[Finding], records: Records, ids: RecordIds
    ) -> tuple[Judged, list[Finding]]:
        """What may be published of the rows of a chunk, and what is to be known of them."""
        chunk = records.chunk

        def renew(content: Sequence[str]) -> str:
            return ids.assign([content])[0]

        return self._protector.protect(
            Submitted(
                judged=judged,
                findings=findings,
                places=records.where.map(lambda where: where.place),
                asked=code(_column(chunk, "placeSensitivity")) if len(chunk) else same("", 0),
                made=lambda: _made(chunk, judged),
                renew=renew,
            )
        )


def renamer(options: Options) -> Rename | None:
    """How names are published, None where as given.

    Raises:
        OptionError: pseudonyms without a key.
    """
    if options.recorders == "as-given":
        return None
    if options.recorders == "initials":
        return initials
    if not options.key:
        raise OptionError(
            "pseudonyms need a key, so that nobody can find the names by trying; give a file that "
            "holds one with --key, or set CROSSPROOF_KEY"
        )
    return pseudonyms(options.key)


def _column(chunk: Chunk, field: str) -> Sequence[str]:
    heading = chunk.table.fields.get(field)
    if heading is None:
        return [""] * len(chunk)
    return chunk.columns[chunk.table.headings.index(heading)]


def _made(chunk: Chunk, judged: Judged) -> NDArray[np.bool_]:
    """Which identifiers are ours, and not those that the rows came with."""
    given = _column(chunk, "occurrenceID")
    pairs = zip(given, judged.ids, strict=True)
    return np.array([cell.strip() != own for cell, own in pairs], dtype=bool)
