"""A vetted folder, made once; each test gets a copy of its own."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip(
    "starlette", reason="starlette is not installed: pip install 'crossproof[desk]'"
)

from desk_folder import client_of, vetted
from starlette.testclient import TestClient

from crossproof.desk.desk import Desk, open_desk
from crossproof.resources import folder as shipped_folder


@pytest.fixture(scope="session")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return vetted(tmp_path_factory.mktemp("whole") / "vetted")


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "vetted"))


@pytest.fixture
def desk(folder: Path) -> Desk:
    made = open_desk(folder, photos=shipped_folder("demo_data") / "photos")
    made.today = lambda: "2026-06-15"
    return made


@pytest.fixture
def client(desk: Desk) -> Iterator[TestClient]:
    with client_of(desk) as opened:
        yield opened
