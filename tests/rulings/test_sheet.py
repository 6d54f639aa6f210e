"""Rulings as a table: out and in again, and as a person writes them."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from crossproof.model import Determination
from crossproof.rulings.ledger import NAME, Ledger
from crossproof.rulings.ruling import ACTIONS, NAMING, Ruling, RulingError
from crossproof.rulings.sheet import load, read_rulings, write_rulings

texts = st.text(
    st.characters(blacklist_categories=["Cs", "Cc"], blacklist_characters="|;"), max_size=20
).map(str.strip)
names = st.builds(
    Determination,
    scientific_name=texts.filter(bool),
    authorship=texts,
    rank=texts,
    qualifier=texts,
    formula=st.just("A x B"),
    components=st.lists(st.tuples(texts.filter(bool), texts, texts), max_size=2).map(tuple),
)


@st.composite
def rulings(draw: st.DrawFn) -> Ruling:
    action = draw(st.sampled_from(ACTIONS))
    named = draw(names) if action in NAMING else Determination(scientific_name="")
    return Ruling(
        uid="",
        record=draw(texts.filter(bool)),
        action=action,
        by=draw(texts.filter(bool)),
        on=draw(st.dates()).isoformat(),
        reason=draw(texts.filter(bool)),
        content=draw(texts.filter(bool)),
        determination=named,
        file=draw(texts),
        row=draw(st.integers(0, 10**6)),
        claim=draw(texts),
    )


@settings(max_examples=40, deadline=None)
@given(st.lists(rulings(), min_size=1, max_size=4))
def test_a_table_says_all_that_the_ledger_does(
    tmp_path_factory: pytest.TempPathFactory, made: list[Ruling]
) -> None:
    home = tmp_path_factory.mktemp("sheet")
    first, second = Ledger(home / "a.sqlite"), Ledger(home / "b.sqlite")
    first.add(made)
    first.undo([first.entries()[0].uid], "Bo Sample", "2026-06-15")
    write_rulings(home / "rulings.csv", first.entries())
    assert second.merge(read_rulings(home / "rulings.csv")) == len(made) + 1
    key = lambda entry: entry.uid  # noqa: E731
    assert sorted(second.entries(), key=key) == sorted(first.entries(), key=key)
    assert second.merge(read_rulings(home / "rulings.csv")) == 0


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_a_person_may_write_the_few_columns_that_matter(tmp_path: Path) -> None:
    path = write(
        tmp_path / "mine.csv",
        "record,ruling,name,reason,ruled_by,ruled_on\n"
        "r1,Set aside,,no one knows,Ann Example,2026-06-14\n"
        "r2,determine,Dactylorhiza fuchsii,a solid stem,Ann Example,2026-06-14\n\n",
    )
    first, second = read_rulings(path)
    assert (first.action, first.record, first.content) == ("set_aside", "r1", "")
    assert second.determination.scientific_name == "Dactylorhiza fuchsii"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("record,ruling\nr1,ask\n", "no column 'reason'"),
        (
            "record,ruling,reason,ruled_by,ruled_on\nr1,burn,x,Ann,2026-06-14\n",
            "row 2: 'burn' is no",
        ),
        (
            "record,ruling,reason,ruled_by,ruled_on\nr1,ask,x,Ann,14/6/26\n",
            "row 2: '14/6/26' is not",
        ),
        ("record,ruling,reason,ruled_by,ruled_on\nr1,uphold,x,Ann,2026-06-14\n", "needs a name"),
        ("record,ruling,reason,ruled_by,ruled_on\nr1,undo,x,Ann,2026-06-14\n", "in 'undoes'"),
    ],
)
def test_a_table_that_cannot_be_used_names_its_row(tmp_path: Path, text: str, why: str) -> None:
    with pytest.raises(RulingError, match=why):
        read_rulings(write(tmp_path / "mine.csv", text))


def test_other_files_are_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "picture.csv").write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    with pytest.raises(RulingError, match="not UTF-8"):
        read_rulings(tmp_path / "picture.csv")
    with pytest.raises(RulingError, match="no ledger or table"):
        load([tmp_path / "nothing.csv"])


def test_an_undo_of_an_unknown_ruling_is_refused(tmp_path: Path) -> None:
    ledger = Ledger(tmp_path / NAME)
    undo = Ruling(
        uid="u",
        record="r1",
        action="undo",
        by="Ann",
        on="2026-06-14",
        reason="",
        content="c",
        undoes="nobody knows",
        made="2026-06-14T00:00:00+00:00",
    )
    with pytest.raises(RulingError, match="unknown here"):
        ledger.merge([undo])
    assert ledger.entries() == []


def test_formulas_are_defused_and_come_back(tmp_path: Path) -> None:
    made = Ruling(
        uid="u",
        record="=1+1",
        action="ask",
        by="@Ann",
        on="2026-06-14",
        reason='=HYPERLINK("http://example.invalid")',
        content="c",
    )
    write_rulings(tmp_path / "r.csv", [made])
    assert "'=HYPERLINK" in (tmp_path / "r.csv").read_text(encoding="utf-8")
    (back,) = read_rulings(tmp_path / "r.csv")
    assert (back.reason, back.by, back.record) == (made.reason, made.by, made.record)
