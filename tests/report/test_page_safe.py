"""The page trusts no cell, asks nothing of the network, and can be read by everyone."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from crossproof.findings import finding
from crossproof.model import Photo
from crossproof.report import page as page_module

from .builder import CONTESTED, GRANDIS, LEAF, RETURNED, UPHELD, Row, read, texts, written

HOME = Path(page_module.__file__).parent
MIXED = [Row(), Row(CONTESTED), Row(UPHELD), Row(RETURNED)]

HOSTILE = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</td></table></style></script><svg onload=alert(1)>",
    "]]>--><!--",
    "{{ 7 * 7 }}{% raw %}",
    "&lt;b&gt; &amp; &#x3c;",
    "javascript:alert(1)",
    "=HYPERLINK('http://example.org')",
    "\u202eevil\u202c \u2067rtl\u2069 עברית العربية",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_every_cell_is_shown_as_the_text_it_is(tmp_path: Path, text: str) -> None:
    row = Row(
        words=text,
        name=replace(GRANDIS, scientific_name="", taxon=""),
        evidence=(replace(LEAF, words=text, state=text),),
        photos=(Photo(reference=text),),
        where={"locality": text, "verbatimCoordinates": text},
        date=text,
        recorder=text,
        id=text,
    )
    found = finding("date_assumed", text, file=text, sheet=text, row=2, column=text, value=text)
    hostile = read(written(tmp_path, [row], [found]))
    plain = read(written(tmp_path, [row_like(row)], [finding("date_assumed", "x", value="x")]))
    # No element and no attribute that plain text would not have made as well.
    assert tags(hostile) == tags(plain)
    assert attributes(hostile) == attributes(plain)
    # Each text stands by itself in an isolating element (HTML Living Standard, 4.5.24, bdi).
    seen = [e.text for e in hostile.iter("bdi")]
    assert seen.count(text) >= 9


def row_like(row: Row) -> Row:
    return replace(
        row,
        words="x",
        evidence=(replace(LEAF, words="x", state="x"),),
        photos=(Photo(reference="x"),),
        where={"locality": "x", "verbatimCoordinates": "x"},
        date="x",
        recorder="x",
        id="x",
    )


def tags(page: object) -> list[str]:
    return [str(element.tag) for element in page.iter()]  # type: ignore[attr-defined]


def attributes(page: object) -> set[str]:
    return {name for element in page.iter() for name in element.attrib}  # type: ignore[attr-defined]


def test_half_a_surrogate_pair_does_not_stop_the_page(tmp_path: Path) -> None:
    assert b"bad ? text" in written(tmp_path, [Row(words="bad \ud800 text")])


def test_a_cell_of_a_million_signs_does_not_fill_the_page(tmp_path: Path) -> None:
    row = Row(
        words="a" * 1_000_000, id="b" * 1_000_000, evidence=(replace(LEAF, words="c" * 10**6),)
    )
    assert len(written(tmp_path, [row])) < 100_000


def test_nothing_is_asked_of_the_network(tmp_path: Path) -> None:
    """Content Security Policy Level 3: nothing but this style and this script, by their hashes."""
    raw = written(tmp_path, MIXED)
    page = read(raw)
    (policy,) = page.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        ((content,),) = [re.findall(rf"<{tag}>(.*?)</{tag}>".encode(), raw, re.DOTALL)]
        digest = base64.b64encode(hashlib.sha256(content).digest()).decode()
        assert rules[rule] == f"'sha256-{digest}'"
    assert not page.xpath("//link | //img | //iframe | //object | //embed | //base")
    assert not page.xpath("//@src | //@style | //@*[starts-with(name(), 'on')]")
    assert all(href.startswith("#") for href in page.xpath("//@href"))
    assert not re.search(rb"url\((?!#)|@import|https?://", raw)


def test_headings_go_down_one_level_at_a_time(tmp_path: Path) -> None:
    """WCAG 2.2, technique G141."""
    page = read(written(tmp_path, MIXED, [finding("name_missing", row=2)]))
    levels = [int(e.tag[1]) for e in page.iter("h1", "h2", "h3", "h4", "h5", "h6")]
    assert levels.count(1) == 1 and levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_landmarks_controls_and_pictures_have_names(tmp_path: Path) -> None:
    """WCAG 2.2, 1.1.1, 1.3.1, 2.4.1 and 4.1.2."""
    page = read(written(tmp_path, MIXED))
    assert page.get("lang") == "en"
    assert [len(page.xpath(f"//{tag}")) for tag in ("main", "header", "footer", "nav")] == [1] * 4
    ids = page.xpath("//@id")
    assert len(ids) == len(set(ids))
    for target in [*page.xpath("//@aria-labelledby"), *(h[1:] for h in page.xpath("//@href"))]:
        assert target in ids
    controls = page.xpath("//select | //input")
    assert len(controls) == 3
    assert all(control.xpath("ancestor::label") for control in controls)
    for picture in page.xpath("//svg"):
        named = picture.get("role") == "img" and picture.get("aria-label")
        assert named or picture.get("aria-hidden") == "true"
    assert all(table.find("caption") is not None for table in page.iter("table"))
    assert all(head.get("scope") in ("row", "col") for head in page.iter("th"))


def test_without_its_script_the_page_lists_everything(tmp_path: Path) -> None:
    page = read(written(tmp_path, MIXED))
    (form,) = page.xpath("//form")
    assert "hidden" in form.attrib, "no control that does nothing"
    assert page.xpath("//*[@hidden]") == [form]


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    digits = colour[1:] if len(colour) == 7 else "".join(2 * d for d in colour[1:])
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "expected"), [("#000", "#fff", 21.0), ("#777777", "#ffffff", 4.48)]
)
def test_the_contrast_formula_gives_the_known_ratios(one: str, other: str, expected: float) -> None:
    """Black on white is 21:1 by definition; #777 on white is the well-known near miss, 4.48:1."""
    assert contrast(one, other) == pytest.approx(expected, abs=0.01)


THEMES = re.findall(r":root \{(.*?)\}", (HOME / "page.css").read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize("theme", range(3), ids=["light", "dark", "print"])
@pytest.mark.parametrize(
    "ink",
    ["ink", "soft", "link", "upheld", "lowered", "contested", "no_claim", "returned", "ruled"],
)
@pytest.mark.parametrize("paper", ["ground", "sheet", "slip"])
def test_text_stands_out_from_its_paper(theme: int, ink: str, paper: str) -> None:
    """WCAG 2.2, 1.4.3: at least 4.5 to 1, in light, in dark and in print."""
    colours: dict[str, str] = {}
    for place in dict.fromkeys((0, theme)):
        colours |= re.findall(r"--(\w+): (#[0-9a-f]+);", THEMES[place])
    assert contrast(colours[ink], colours[paper]) >= 4.5


def test_outcomes_differ_by_pattern_not_by_colour_alone(tmp_path: Path) -> None:
    """WCAG 2.2, 1.4.1."""
    page = read(written(tmp_path, MIXED))
    shapes = [
        [(e.tag, e.get("width"), e.get("height"), e.get("r"), e.get("d")) for e in pattern]
        for pattern in page.xpath("//pattern")
    ]
    assert len(shapes) == 6  # those of the verdicts, and of what people ruled
    assert all(shapes.count(shape) == 1 for shape in shapes)
    assert texts(page, "//tbody/tr/th/b") == [
        "upheld",
        "lowered",
        "contested",
        "no claim",
        "returned",
    ]
