"""A vetted folder, made once; each test gets a copy of its own."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from crossproof.resources import folder as shipped_folder

if TYPE_CHECKING:
    from starlette.testclient import TestClient

    from crossproof.desk.desk import Desk

if find_spec("starlette") is None or find_spec("httpx") is None:
    collect_ignore_glob = ["test_*.py"]  # without the extra there is no desk to test


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    from desk_folder import vetted

    return vetted(tmp_path_factory.mktemp("whole") / "vetted")


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "vetted"))


@pytest.fixture
def desk(folder: Path) -> Desk:
    from crossproof.desk.desk import open_desk

    made = open_desk(folder, photos=shipped_folder("demo_data") / "photos")
    made.today = lambda: "2026-06-15"
    return made


@pytest.fixture
def client(desk: Desk) -> Iterator[TestClient]:
    from desk_folder import client_of

    with client_of(desk) as opened:
        yield opened
