"""The published standards, and readers of what was written, for the tests of the outputs."""

from __future__ import annotations

import csv
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from crossproof.darwincore.archive import Archive
from crossproof.darwincore.history import Crosses
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.package import DataPackage
from crossproof.model import Judged

from .builder import told

ISSUED = "2026-11-25"


@pytest.fixture(scope="session")
def standards() -> Path:
    """The folder of the published standards."""
    place = os.environ.get("CROSSPROOF_STANDARDS")
    if not place:
        pytest.skip("CROSSPROOF_STANDARDS is not set: the published standards are not here")
    return Path(place)


@pytest.fixture
def write_archive(tmp_path: Path) -> Callable[..., Path]:
    """Write chunks as an archive, and return its folder."""

    def write(*chunks: Judged, metadata: DatasetMetadata | None = None, **more: object) -> Path:
        folder = tmp_path / "dwca"
        with Archive(folder, metadata or DatasetMetadata(), issued=ISSUED, **more) as archive:
            for chunk in chunks:
                archive.write(chunk, told(chunk, ISSUED))
        return folder

    return write


@pytest.fixture
def write_package(tmp_path: Path) -> Callable[..., Path]:
    """Write chunks as a data package, and return its folder."""

    def write(
        *chunks: Judged,
        metadata: DatasetMetadata | None = None,
        crosses: Crosses | None = None,
        **more: object,
    ) -> Path:
        folder = tmp_path / "dwc-dp"
        with DataPackage(folder, metadata or DatasetMetadata(), issued=ISSUED, **more) as package:
            for chunk in chunks:
                package.write(chunk, told(chunk, ISSUED, crosses))
        return folder

    return write


def read_table(path: Path) -> list[dict[str, str]]:
    """The rows of a table, by RFC 4180 through the standard library."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
