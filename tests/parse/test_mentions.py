"""Regions, soils and varieties that rules speak of."""

from __future__ import annotations

import pytest

from crossproof.parse.mentions import mentions_in, mentions_of_place
from crossproof.rulebooks.model import Mention

FEN = Mention(id="fen", kind="soil", words=("fen", "fen peat", "fenny"))
QUILL = Mention(
    id="quill",
    kind="region",
    words=("Quillshire", "Co. Quill"),
    grids=("Irish Grid",),
    codes=("QQ",),
    boxes=((-2.0, 50.0, -1.0, 51.0),),
)
BOXED = Mention(id="boxed", kind="region", boxes=((0.0, 0.0, 1.0, 1.0),))
ALL = (FEN, QUILL, BOXED)


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("in Quillshire", "region", {"quill"}),
        ("QUILLSHIRE", "region", {"quill"}),
        ("Co. Quill, by the road", "region", {"quill"}),
        ("Quillshires", "region", set()),
        ("old fen", "soil", {"fen"}),
        ("fence", "soil", set()),
        ("fen", "region", set()),
        ("", "soil", set()),
    ],
)
def test_words(text, kind, expected) -> None:
    assert mentions_in(text, ALL, frozenset({kind})) == expected


@pytest.mark.parametrize(
    ("system", "country", "point", "expected"),
    [
        ("Irish Grid", "", None, {"quill"}),
        ("British National Grid", "", None, set()),
        ("", "qq ", None, {"quill"}),
        ("", "", (-1.5, 50.5), {"quill"}),  # longitude first
        ("", "", (50.5, -1.5), set()),
        ("", "", (-2.0, 51.0), {"quill"}),  # the edge belongs to it
        ("", "", (0.5, 0.5), {"boxed"}),
        ("", "", None, set()),
    ],
)
def test_places(system, country, point, expected) -> None:
    assert mentions_of_place(ALL, system, country, point) == expected
