"""The report in Chromium: nothing is refused, no figure is cut off, all of it can be read."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from archives import rows, write

from crossproof.audit.run import Settings, audit_to

pytest.importorskip("pygal")

VIEWS: list[dict[str, Any]] = [
    {"viewport": {"width": 390, "height": 800}},
    {"viewport": {"width": 1280, "height": 900}},
    {"viewport": {"width": 1280, "height": 900}, "color_scheme": "dark"},
]
CUT_OFF = """() => [...document.querySelectorAll('figure svg')].flatMap(svg => {
  const page = svg.getBoundingClientRect();
  return [...svg.querySelectorAll('text')].filter(text => {
    const box = text.getBoundingClientRect();
    return box.left < page.left || box.right > Math.min(page.right, innerWidth)
      || box.top < page.top || box.bottom > page.bottom;
  }).map(text => text.textContent);
})"""
LETTERS = "svgs => Math.min(...svgs.map(svg => 14 * svg.getScreenCTM().a))"
STYLE = "([where, what]) => getComputedStyle(document.querySelector(where))[what]"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    folder = tmp_path_factory.mktemp("audit")
    source = write(folder / "records.csv", rows(300))
    audit_to([source], folder / "out", settings=Settings(form="csv"))
    return (folder / "out" / "report.html").as_uri()


@pytest.fixture(params=VIEWS, ids=["narrow", "wide", "dark"])
def page(request: pytest.FixtureRequest, browser: Any, address: str) -> Iterator[Any]:
    opened = browser.new_page(**request.param)
    said: list[str] = []
    opened.on("console", lambda message: said.append(message.text))
    opened.on("pageerror", lambda error: said.append(str(error)))
    opened.goto(address)
    assert said == []
    yield opened
    opened.close()


@pytest.mark.parametrize("media", ["screen", "print"])
def test_every_word_of_a_figure_is_on_it(page: Any, media: str) -> None:
    page.emulate_media(media=media)
    assert page.locator("figure svg[role=img]").count() == 5
    assert page.evaluate(CUT_OFF) == []
    assert page.eval_on_selector_all("figure svg", LETTERS) > 9, "pixels of letters"


def test_the_style_sheet_reaches_the_figures(page: Any) -> None:
    def style(where: str, what: str) -> str:
        return str(page.evaluate(STYLE, [f"figure{where}", what]))

    assert style("", "backgroundColor") == "rgb(255, 255, 255)"
    assert style(".map text", "fill") == "rgb(27, 36, 32)"
    # Okabe and Ito 2008, Color Universal Design: blue and vermilion.
    assert style(".nothotaxa .interval", "stroke") == "rgb(0, 114, 178)"
    assert style(".missing .interval", "stroke") == "rgb(213, 94, 0)"
    claimed, upheld = ".years .serie-0 .line", ".years .serie-1 .line"
    assert style(claimed, "stroke") != style(upheld, "stroke")
    assert style(claimed, "strokeDasharray") != style(upheld, "strokeDasharray")
    shades = [style(f".map .shade-{step}", "fill") for step in range(10)]
    light = [sum(map(int, shade[4:-1].split(", "))) for shade in shades]
    assert light == sorted(light, reverse=True), "darker is more"
    assert len(set(shades)) == 10
