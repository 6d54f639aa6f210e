"""The report: safe, self-contained, figures with words, and no more than a browser can open."""

from __future__ import annotations

import base64
import csv
import json
import re
import struct
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from archives import rows, write

from crossproof.audit import page
from crossproof.audit.run import Settings, audit_to

CSV = Settings(form="csv")


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def tags_of(text: str) -> Tags:
    tags = Tags()
    tags.feed(text)
    return tags


def report(tmp_path: Path, table: list[tuple[str, ...]]) -> str:
    source = write(tmp_path / "records.csv", table)
    audit_to([source], tmp_path / "out", settings=CSV)
    return (tmp_path / "out" / "report.html").read_text(encoding="utf-8")


def test_it_needs_nothing_else(tmp_path: Path) -> None:
    text = report(tmp_path, rows(200))
    for tag, attributes in tags_of(text).found:
        assert tag not in ("img", "iframe", "link", "object", "embed"), tag
        assert "src" not in attributes
        for name in ("href", "xlink:href"):
            target = attributes.get(name) or "#"
            assert target.startswith("#"), (tag, target)


def test_every_figure_is_one_picture_with_words(tmp_path: Path) -> None:
    pytest.importorskip("pygal")
    text = report(tmp_path, rows(200))
    tags = tags_of(text).found
    ids = [attributes["id"] for _, attributes in tags if attributes.get("id")]
    drawn = [a for tag, a in tags if tag == "svg" and a.get("role") == "img"]
    assert len(drawn) == 5
    for attributes in drawn:
        assert attributes["aria-labelledby"] in ids
    assert len(ids) == len(set(ids)), "two elements have one id"


def test_without_pygal_it_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pygal", None)
    text = report(tmp_path, rows(200))
    assert "<svg" not in text
    assert "pip install 'crossproof[report]'" in text


def test_cells_cannot_become_markup(tmp_path: Path) -> None:
    bad = "</script><script>alert(1)</script><b>x</b>"
    text = report(tmp_path, [(bad, "D. x grandis", bad, "1999", bad, "ring spots", bad, "")])
    assert "<script>alert" not in text
    assert "<b>x" not in text


def test_the_records_that_would_change_stand_in_it(tmp_path: Path) -> None:
    text = report(tmp_path, rows(100))
    found = re.search(r'id="data">(.*?)</script>', text, re.DOTALL)
    assert found
    data = json.loads(found[1])
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    assert summary["changes"]
    with (tmp_path / "out" / "changes.csv").open(encoding="utf-8", newline="") as file:
        changes = [*csv.DictReader(file)]
    for name, (texts, codes) in data["columns"].items():
        told = texts  # a text for each row
        if codes is not None:
            which = struct.unpack(f"<{summary['changes']}H", base64.b64decode(codes))
            told = [texts[i] for i in which]
        assert told == [change[name] for change in changes]


def test_a_long_list_is_cut_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(page, "MOST_CHANGES", 3)
    text = report(tmp_path, rows(100))
    assert re.search(r"3 of \d+ are listed here; changes.csv holds all of them", text)


def test_an_archive_without_hybrids(tmp_path: Path) -> None:
    text = report(tmp_path, [("id", "Bellis perennis", *[""] * 6)])
    assert "Of 0 hybrid claims" in text
