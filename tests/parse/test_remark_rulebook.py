"""A new plant group brings its own phrases and no code: an invented group, read at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from crossproof.parse.remark import parse_remark
from crossproof.rulebooks.load import from_dict
from crossproof.rulebooks.model import Rulebook

BELLS = from_dict(
    {
        "rulebook": {
            "id": "bells", "title": "Bells", "version": "1", "issued": "2026-01-01",
            "genera": ["Campana"], "root": "campana", "family": "Campanulaceae",
        },
        "taxon": [
            {"id": "campana", "name": "Campana", "rank": "genus", "above": ""},
            {"id": "alba", "name": "Campana alba", "rank": "species", "above": "campana"},
        ],
        "character": [
            {"id": "anthers", "title": "anthers", "order": 2, "flower": True},
            {"id": "petiole", "title": "petiole", "order": 1},
        ],
        "phrases": {
            "traps": ["blue tit"],
            "anthers": {
                "organ": ["anther", "anthers"],
                "states": {
                    "cream": {"words": ["cream", "creamy"]},
                    "blue": {"words": ["blue", "bluish"]},
                },
            },
            "petiole": {
                "organ": ["petiole", "leaf stalk"],
                "absent": "bald",
                "one_plant": ["hairy", "thinly_hairy", "bald"],
                "states": {
                    "hairy": {
                        "words": ["hairy"], "signs": ["hairs"],
                        "denied": "bald", "slightly": "thinly_hairy",
                    },
                    "bald": {"words": ["smooth"], "alone": ["hairless"], "denied": "hairy"},
                    "thinly_hairy": {"words": ["downy"]},
                },
            },
        },
    }
)  # fmt: skip


@pytest.fixture(scope="module")
def bells() -> Rulebook:
    return BELLS


@pytest.mark.parametrize(
    ("text", "anthers", "petiole"),
    [
        ("anthers cream", "cream", "not_recorded"),
        ("Blue anthers, petiole hairy", "blue", "hairy"),
        ("petioles not seen, anthers bluish", "blue", "not_recorded"),
        ("no hairs on the petiole", "not_recorded", "bald"),
        ("petiole slightly hairy", "not_recorded", "thinly_hairy"),
        ("petiole not hairy", "not_recorded", "bald"),
        ("Hairless.", "not_recorded", "bald"),
        ("petals blue", "not_recorded", "not_recorded"),
        ("blue tit on the anthers' level", "not_recorded", "not_recorded"),
        ("alba nearby with blue anthers; this one's cream", "cream", "not_recorded"),
        ("alba nearby with blue anthers", "not_recorded", "not_recorded"),
        ("3 plants with blue anthers, 2 with cream anthers", "mixed", "not_recorded"),
        ("leaves spotted, stem hollow", "not_recorded", "not_recorded"),
    ],
)
def test_its_characters_are_read(bells: Rulebook, text: str, anthers: str, petiole: str) -> None:
    remark = parse_remark(text, bells)
    assert (remark.state("anthers"), remark.state("petiole")) == (anthers, petiole)


def test_its_flowers_count_as_flowers(bells: Rulebook) -> None:
    assert parse_remark("named on the anthers alone", bells).flower_only


def test_a_rulebook_without_phrases_reads_photos(bells: Rulebook) -> None:
    remark = parse_remark("anthers blue, photo", replace(bells, phrases={}))
    assert (remark.evidence, remark.photo) == ((), "stated")
