"""Whatever a file holds, `conform.check` answers with problems, never with a traceback."""

from __future__ import annotations

import json
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crossproof.darwincore.archive import Archive
from crossproof.darwincore.conform import check
from crossproof.darwincore.conform.lines import lines
from crossproof.darwincore.metadata import DatasetMetadata
from crossproof.darwincore.package import DataPackage

from .builder import ROWS, judged, told

ODD = st.sampled_from([None, True, 0, -1.5, "", "x", "../x", "event", [], {}, [[]], [{}], {"a": 1}])


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole")
    for kind, name in ((Archive, "dwca"), (DataPackage, "dwc-dp")):
        with kind(folder / name, DatasetMetadata(), issued="2026-11-25") as output:
            output.write(judged(ROWS), told(judged(ROWS)))
    return folder


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_descriptor_with_anything_anywhere(data: st.DataObject, whole: Path) -> None:
    text = (whole / "dwc-dp/datapackage.json").read_text(encoding="utf-8")
    descriptor = json.loads(text)
    places = [path for path in lines(text) if path]
    for _ in range(data.draw(st.integers(1, 3))):
        *path, last = data.draw(st.sampled_from(places))
        piece = descriptor
        try:
            for part in path:
                piece = piece[part]
            piece[last] = data.draw(ODD)
        except (KeyError, IndexError, TypeError):
            continue
    with tempfile.TemporaryDirectory() as place:
        folder = Path(shutil.copytree(whole / "dwc-dp", Path(place) / "dwc-dp"))
        (folder / "datapackage.json").write_text(json.dumps(descriptor), encoding="utf-8")
        assert all(problem.rule for problem in check(folder))


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_a_meta_xml_with_anything_anywhere(data: st.DataObject, whole: Path) -> None:
    words = (whole / "dwca/meta.xml").read_text(encoding="utf-8").split('"')
    for _ in range(data.draw(st.integers(1, 3))):
        place = data.draw(st.integers(3, len(words) - 1))
        words[place] = data.draw(
            st.sampled_from(["", "x", "-1", "99", "..", r"\t", "\t", "ab", "é"])
        )
    with tempfile.TemporaryDirectory() as place_name:
        folder = Path(shutil.copytree(whole / "dwca", Path(place_name) / "dwca"))
        (folder / "meta.xml").write_text('"'.join(words), encoding="utf-8")
        assert all(problem.rule for problem in check(folder))


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(
    name=st.sampled_from(
        ["dwca/occurrence.csv", "dwca/eml.xml", "dwc-dp/event.csv", "dwc-dp/datapackage.json"]
    ),
    at=st.floats(0, 1),
    junk=st.binary(max_size=6),
)
def test_a_file_with_junk_in_it(name: str, at: float, junk: bytes, whole: Path) -> None:
    with tempfile.TemporaryDirectory() as place:
        part = Path(name).parts[0]
        folder = Path(shutil.copytree(whole / part, Path(place) / part))
        path = folder / Path(name).name
        content = path.read_bytes()
        cut = int(at * len(content))
        path.write_bytes(content[:cut] + junk + content[cut + 3 :])
        assert all(problem.rule for problem in check(folder))
