"""How properties are searched, and the browser that pages are looked at in.

Properties meet the same examples in every run, so that a red run stays red;
`--hypothesis-profile=explore` looks for new ones, and more of them.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("steady", derandomize=True, deadline=None)
settings.register_profile("explore", max_examples=1_000, deadline=None)
settings.load_profile("steady")


@pytest.fixture(scope="module")  # an event loop runs as long as it lives
def browser() -> Iterator[Any]:
    """Chromium, headless; tests that ask for it are skipped where it or Playwright is missing."""
    path = shutil.which("chromium")
    if path is None:
        pytest.skip("chromium is not installed")
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield started
        started.close()
