"""The pages that are made from code and rulebooks say what these say now."""

from __future__ import annotations

import math
import re
import sys
from collections.abc import Iterator
from dataclasses import replace
from importlib.util import module_from_spec, spec_from_file_location
from itertools import product
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

DOCS = Path(__file__).parents[1] / "docs"
sys.path.insert(0, str(DOCS))
import verdict_tables  # noqa: E402

from crossproof.judge.posterior import CAP, posterior  # noqa: E402
from crossproof.rulebooks.load import shipped, shipped_rulebook  # noqa: E402


def _make() -> ModuleType:
    """`docs/make.py`, by its path: there are other scripts of that name."""
    spec = spec_from_file_location("docs_make", DOCS / "make.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


PAGES = _make().pages()


@pytest.mark.parametrize("name", PAGES)
def test_a_made_page_is_fresh(name: str) -> None:
    text = (DOCS / name).read_text(encoding="utf-8")
    assert text == PAGES[name](), "run python docs/make.py"


def test_every_hybrid_has_its_verdicts() -> None:
    for book in shipped():
        text = (DOCS / f"reference/verdicts/{book.id}.md").read_text(encoding="utf-8")
        for hybrid in book.hybrids:
            assert f"*{book.written(hybrid.id)}*" in text


def test_no_page_of_verdicts_is_left_over() -> None:
    made = {DOCS / name for name in PAGES}
    assert {*(DOCS / "reference" / "verdicts").iterdir()} <= made


def test_the_user_s_rule_stands_in_the_table() -> None:
    # Marked leaves, a hollow stem and a photo make the hybrid: the rule the project began with.
    text = (DOCS / "reference/verdicts/dactylorhiza.md").read_text(encoding="utf-8")
    rows = [line for line in text.splitlines() if "grandis" not in line]
    assert any(
        row.startswith("| solid spots | hollow; partly hollow | **upheld** |") for row in rows
    )


values = st.lists(st.sampled_from("abcde"), min_size=1, max_size=4, unique=True)


@given(st.lists(values, min_size=1, max_size=3), st.data())
def test_folding_loses_nothing_and_repeats_nothing(
    columns: list[list[str]], data: st.DataObject
) -> None:
    verdicts = st.sampled_from([(("upheld", "x", ""),), (("lowered", "y", "z"),)])
    results = {combination: data.draw(verdicts) for combination in product(*columns)}
    unfolded = [
        (combination, found)
        for held, found in verdict_tables.fold(columns, results)
        for combination in product(*held)
    ]
    assert len(unfolded) == len(results)
    assert dict(unfolded) == results


def test_a_table_told_by_character_is_held_against_every_combination() -> None:
    avens = shipped_rulebook("geum")
    hybrid = avens.taxa["intermedium"]
    need = avens.requirement(hybrid.id)
    wrong = {("small", "a photo"): ("lowered", "Geum", "`leaf_missing`")}
    columns = {"stipules": {"small": "small"}, "photo": {"a photo": "a photo"}}
    alone = {"stipules": {("", "`stipules_against`"): ["small"]}, "photo": {("", ""): ["a photo"]}}
    with pytest.raises(ValueError, match="gives `leaf_missing`"):
        list(verdict_tables._together(hybrid, need, columns, wrong, alone))


JUDGED = (DOCS / "explanation" / "how-a-claim-is-judged.md").read_text(encoding="utf-8")
ORCHIDS = shipped_rulebook("dactylorhiza")
SETTINGS = re.findall(r"^\| (\w+) \| (\w+) \| (0\.\d\d) \|$", JUDGED, re.MULTILINE)


def chance(setting: str, taxon: str, cap: float = CAP, **stated: str) -> float:
    states = {character: (state,) for character, state in stated.items()}
    return posterior(ORCHIDS.priors[setting], states, ORCHIDS, cap)[taxon]


@pytest.mark.parametrize(("setting", "taxon", "told"), SETTINGS)
@pytest.mark.parametrize("cap", [CAP, math.inf])
def test_the_chances_told_are_those_of_the_arithmetic(
    setting: str, taxon: str, told: str, cap: float
) -> None:
    found = chance(setting, taxon, cap, leaf="unmarked", stem="hollow")
    assert f"{found:.2f}" == told


def test_the_rules_of_thumb_are_told_with_what_comes_out() -> None:
    arithmetic = re.findall(r"\| 0\.\d\d \| (0\.\d\d) \|", JUDGED)
    assert arithmetic == [
        f"{chance('lowland', 'praetermissa', leaf='unmarked'):.2f}",
        f"{chance('lowland', 'praetermissa', leaf='unmarked', stem='hollow'):.2f}",
        f"{chance('lowland', 'grandis', named_on_flowers='grandis'):.2f}",
    ]
    assert len(SETTINGS) == 5


def test_the_figures_of_the_cap_are_those_of_the_arithmetic() -> None:
    rings = {"leaf": "ring_spots", "stem": "partly_hollow"}
    leaf, stem = ORCHIDS.frequencies["leaf"], ORCHIDS.frequencies["stem"]
    both = {
        taxon: leaf[taxon]["ring_spots"] * stem[taxon]["partly_hollow"]
        for taxon in ("grandis", "fuchsii", "praetermissa")
    }
    bare = both["grandis"] / max(both["fuchsii"], both["praetermissa"])
    assert f"makes both together {bare:.0f} times" in JUDGED
    assert (
        f"it would be {both['grandis'] / (0.1 * stem['praetermissa']['partly_hollow']):.0f} times"
    )
    capped, free = (
        chance("lowland", "grandis", **rings),
        chance("lowland", "grandis", math.inf, **rings),
    )
    assert f"× *grandis* {capped:.2f}, where the bare numbers would give {free:.2f}" in JUDGED


def test_the_first_rule_leans_on_one_figure() -> None:
    # Bateman & Denholm 1989, Watsonia 17: 319-349: 43 % of the Burren's plants are unmarked.
    leaf = dict(ORCHIDS.frequencies["leaf"])
    leaf["fuchsii"] = {**leaf["fuchsii"], "unmarked": 0.43}
    burren = replace(ORCHIDS, frequencies={**ORCHIDS.frequencies, "leaf": leaf})
    found = posterior(ORCHIDS.priors["lowland"], {"leaf": ("unmarked",)}, burren)
    assert f"0.90 would be {found['praetermissa']:.2f}" in " ".join(JUDGED.split())


def links(page: Path) -> Iterator[str]:
    for target in re.findall(r"\]\(([^)#]+)", page.read_text(encoding="utf-8")):
        if "://" not in target:
            yield target


@pytest.mark.parametrize(
    "page", sorted(DOCS.rglob("*.md")), ids=lambda page: str(page.relative_to(DOCS))
)
def test_links_lead_somewhere(page: Path) -> None:
    for target in links(page):
        assert (page.parent / target).exists(), target
