"""An afternoon at the desk in a real browser: Chromium, headless, driven by Playwright.

Accessibility is held to axe-core's rules for WCAG 2.2 A and AA (axe-playwright-python ships it, so
no network is needed).
"""

from __future__ import annotations

import csv
import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from crossproof.desk.index import NAME as INDEX
from crossproof.resources import folder as shipped_folder
from crossproof.rulings.ledger import NAME, Ledger

axe_module = pytest.importorskip(
    "axe_playwright_python.sync_playwright", reason="axe-playwright-python is not installed"
)

WIDTHS = [360, 414, 768, 1024, 1280, 1920, 2560]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
PAGES = ["/?outcome=lowered", "/record/3?outcome=lowered", "/rulings", "/record/999999"]


class Server:
    """A desk of its own process, which can be killed."""

    def __init__(self, folder: Path) -> None:
        photos = shipped_folder("demo_data") / "photos"
        command = [sys.executable, "-m", "crossproof", "desk", str(folder), "--photos", str(photos)]
        self.process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
        assert self.process.stdout
        line = self.process.stdout.readline()
        self.address = re.search(r"http://\S+", line).group()  # type: ignore[union-attr]
        self.home = self.address.partition("/?")[0]

    def kill(self) -> None:
        if self.process.poll() is None:
            os.kill(self.process.pid, signal.SIGKILL)
        self.process.wait()
        assert self.process.stdout
        self.process.stdout.close()


@pytest.fixture
def server(folder: Path) -> Iterator[Server]:
    started = Server(folder)
    yield started
    started.kill()


def open_desk(browser: Any, server: Server, **how: Any) -> Any:
    """A page that has the desk open, and fails on anything the browser complains of."""
    context = browser.new_context(**how)
    context.set_default_timeout(15_000)
    page = context.new_page()
    page.complaints = []
    page.on("console", lambda m: m.type == "error" and page.complaints.append(m.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    page.goto(server.address)
    page.wait_for_url(f"{server.home}/")
    return page


def focused(page: Any) -> str:
    return str(page.evaluate("document.activeElement.name || document.activeElement.textContent"))


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_an_afternoon(browser: Any, server: Server, folder: Path) -> None:
    page = open_desk(browser, server)
    assert "token" not in page.url

    # Filter, without a mouse.
    page.keyboard.press("/")
    assert focused(page) == "text"
    page.keyboard.type("qf_0102")
    page.keyboard.press("Escape")
    page.select_option("select[name=outcome]", "lowered")
    page.fill("input[name=text]", "larkspur")
    page.press("input[name=text]", "Enter")
    page.wait_for_url("**outcome=lowered**")
    shown = int(re.search(r"(\d+) records", page.inner_text("h2#found")).group(1))  # type: ignore[union-attr]
    assert shown == page.locator("tr[data-row]").count()
    assert 0 < shown < 50

    # Look at a photo.
    photo = next(
        n
        for n, row in enumerate(rows(folder / "verdicts.csv"), 1)
        if "qf_0102" in row["photo_reference"]
    )
    page.goto(f"{server.home}/record/{photo}?outcome=lowered")
    image = page.locator("figure img").first
    image.scroll_into_view_if_needed()
    for _ in range(100):  # a photo is sent after the page
        if page.evaluate("document.querySelector('figure img').naturalWidth") > 100:
            break
        page.wait_for_timeout(50)
    else:
        pytest.fail("the photo did not come")

    # Rule on ten, by keys alone.
    page.goto(f"{server.home}/?outcome=lowered")
    page.keyboard.press("n")
    page.keyboard.press("n")
    page.keyboard.press("p")
    page.keyboard.press("o")
    page.wait_for_url("**/record/**")
    keys = ["u", "l", "a", "s", "u", "d", "u", "l", "a", "u"]
    for number, key in enumerate(keys):
        before = page.url
        page.keyboard.press(key)
        if key == "d":
            assert focused(page) == "choice"
            page.keyboard.type("Dactylorhiza fuchsii")
            page.keyboard.press("Tab")
        assert focused(page) == "reason"
        page.keyboard.type(f"reason {number}, by keys")
        if number == 0:
            page.keyboard.press("Tab")
            assert focused(page) == "by"
            page.keyboard.type("Ann Example")
        page.keyboard.press("Enter")
        page.wait_for_url(lambda url, before=before: url != before)
        assert page.locator("[role=status]").count() == 1
    ledger = Ledger(folder / NAME)
    assert [e.action for e in ledger.entries()] == [
        {"u": "uphold", "l": "lower", "a": "ask", "s": "set_aside", "d": "determine"}[key]
        for key in keys
    ]
    assert {e.by for e in ledger.entries()} == {"Ann Example"}

    # Undo the last one, and kill the desk.
    page.keyboard.press("z")
    page.locator("[role=status]", has_text="Undone").wait_for()
    assert page.complaints == []
    server.kill()
    (folder / INDEX).unlink()  # what may be removed, is

    # Open it again: everything is there.
    again = Server(folder)
    try:
        page = open_desk(browser, again)
        assert "9 of" in page.inner_text(".lede")
        page.goto(f"{again.home}/rulings")
        assert page.locator("tbody tr").count() == 10
        assert page.locator("tr.undone").count() == 1
        page.click("text=Write the archive and the package")
        page.wait_for_url("**/rulings?said=**")
        assert "rulings are in it" in page.inner_text("[role=status]")
        assert page.complaints == []
    finally:
        again.kill()

    # Compare the archive with what was ruled.
    out = folder.with_name("vetted-ruled")
    stand = {entry.record: entry for entry in ledger.standing()}
    named = {r: e for r, e in stand.items() if e.determination.scientific_name}
    assert len(stand) == 9
    before = {row["occurrenceID"]: row for row in rows(folder / "dwca/occurrence.csv")}
    after = {row["occurrenceID"]: row for row in rows(out / "dwca/occurrence.csv")}
    assert {record for record in after if after[record] != before[record]} == set(named)
    for record, entry in named.items():
        name = f"{entry.determination.scientific_name} {entry.determination.authorship}".strip()
        assert after[record]["scientificName"] == name
        assert after[record]["identifiedBy"] == "Ann Example"
        assert after[record]["identificationRemarks"] == entry.reason


def test_many_at_once_by_keys(browser: Any, server: Server, folder: Path) -> None:
    page = open_desk(browser, server)
    page.goto(f"{server.home}/?outcome=lowered")
    for key in "nmnmnm":
        page.keyboard.press(key)
    assert page.inner_text("#marked") == "(3 marked)"
    page.keyboard.press("a")
    assert focused(page) == "reason"
    page.keyboard.type("which leaves were they?")
    page.fill("#many input[name=by]", "Ann Example")
    page.keyboard.press("Enter")
    page.wait_for_url("**said=**")
    assert "To be asked: 3 records." in page.inner_text("[role=status]")
    page.keyboard.press("z")
    page.locator("[role=status]", has_text="Undone: 3").wait_for()
    assert Ledger(folder / NAME).standing() == []
    assert page.complaints == []


def test_without_a_script_everything_works(browser: Any, server: Server, folder: Path) -> None:
    page = open_desk(browser, server, java_script_enabled=False)
    page.goto(f"{server.home}/record/3?outcome=lowered")
    page.check("#action-ask")
    page.fill("input[name=reason]", "which leaves were they?")
    page.fill("input[name=by]", "Ann Example")
    page.click("form.rule button")
    assert "To be asked" in page.inner_text("[role=status]")
    page.click("[role=status] button")
    assert "Undone" in page.inner_text("[role=status]")


def test_single_keys_can_be_turned_off(browser: Any, server: Server) -> None:
    """WCAG 2.1, success criterion 2.1.4: single-character shortcuts can be turned off."""
    page = open_desk(browser, server)
    page.goto(f"{server.home}/record/3")
    page.click("#keys summary")
    page.uncheck("#keys-on")
    page.goto(f"{server.home}/record/4")
    page.keyboard.press("u")
    assert not page.is_checked("#action-uphold")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_every_page_is_accessible(browser: Any, server: Server, width: int, scheme: str) -> None:
    page = open_desk(
        browser,
        server,
        viewport={"width": width, "height": 900},
        color_scheme=scheme,
        bypass_csp=True,
    )
    axe = axe_module.Axe()
    for address in PAGES:
        page.goto(f"{server.home}{address}")
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        found = axe.run(page, options={"runOnly": {"type": "tag", "values": RULES}})
        told = [
            f"{v['id']}: {node['target']} {node['failureSummary']}"
            for v in found.response["violations"]
            for node in v["nodes"][:3]
        ]
        assert told == [], f"{address} at {width}"


@pytest.mark.parametrize("width", WIDTHS)
def test_every_page_fits_its_window(browser: Any, server: Server, width: int) -> None:
    page = open_desk(browser, server, viewport={"width": width, "height": 900})
    for address in PAGES:
        page.goto(f"{server.home}{address}")
        page.evaluate("document.querySelectorAll('details').forEach((d) => { d.open = true; })")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, address


def test_at_four_hundred_per_cent_nothing_is_cut_off(browser: Any, server: Server) -> None:
    """WCAG 2.1, success criterion 1.4.10: 1280 pixels at 400 % are 320 wide."""
    page = open_desk(browser, server, viewport={"width": 320, "height": 256}, device_scale_factor=4)
    for address in PAGES:
        page.goto(f"{server.home}{address}")
        assert page.evaluate("document.documentElement.scrollWidth") <= 320, address


def test_tab_reaches_everything_in_the_order_of_the_page(browser: Any, server: Server) -> None:
    page = open_desk(browser, server)
    page.goto(f"{server.home}/record/3?outcome=lowered")
    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the work"
    seen = []
    for _ in range(60):
        page.keyboard.press("Tab")
        seen.append(page.evaluate("document.activeElement.id || document.activeElement.name"))
        ring = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
        is_body = page.evaluate("document.activeElement === document.body")
        assert is_body or ring != "none", f"{seen[-1]}: where the focus is must be seen"
    wanted = ["action-uphold", "reason", "by", "on"]
    assert [s for s in seen if s in wanted][:4] == wanted
