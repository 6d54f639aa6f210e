# ruff: noqa: E501  (a case a line)
"""One data package broken on purpose per rule of the guide (TDWG, 2026-05-26).

Each case says what it breaks, and the rule, file and line that must be named.
"""

from __future__ import annotations

import gzip
import io
import json
import shutil
import tarfile
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from crossproof.darwincore.conform import Problem, check, rules
from crossproof.darwincore.package import DataPackage
from crossproof.model import Photo

from .builder import ROWS, UPHELD_ROW, judged, told
from .test_archive import FULL

Break = Callable[[Path], None]
PHOTO = Photo(reference="https://p.example/1.jpg", creator="O. M.", licence="CC0-1.0")


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("whole") / "dwc-dp"
    metadata = replace(FULL, version="1.0")
    with DataPackage(folder, metadata, issued="2026-11-25") as package:
        records = judged([*ROWS, replace(UPHELD_ROW, photos=(PHOTO,))])
        package.write(records, told(records))
    return folder


@pytest.fixture
def package(whole: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(whole, tmp_path / "dwc-dp"))


def test_what_we_write_conforms(package: Path) -> None:
    assert check(package) == []


def descriptor(edit: Callable[[dict[str, Any]], object]) -> Break:
    """Break the descriptor."""

    def do(folder: Path) -> None:
        path = folder / "datapackage.json"
        value = json.loads(path.read_text(encoding="utf-8"))
        edit(value)
        path.write_text(json.dumps(value, indent=2, ensure_ascii=False), encoding="utf-8")

    return do


def resource(name: str, edit: Callable[[dict[str, Any]], object]) -> Break:
    """Break the description of one table."""
    return descriptor(lambda d: edit(next(r for r in d["resources"] if r["name"] == name)))


def field(table: str, name: str, edit: Callable[[dict[str, Any]], object]) -> Break:
    """Break a field descriptor."""
    return resource(
        table, lambda r: edit(next(f for f in r["schema"]["fields"] if f["name"] == name))
    )


def table(name: str, edit: Callable[[str], str | bytes]) -> Break:
    """Break a table's file; size and hash are left out, so that only the rows are at fault."""

    def do(folder: Path) -> None:
        path = folder / f"{name}.csv"
        new = edit(path.read_bytes().decode())
        path.write_bytes(new if isinstance(new, bytes) else new.encode())
        resource(name, lambda r: (r.pop("bytes"), r.pop("hash")))(folder)

    return do


def both(*breaks: Break) -> Break:
    def do(folder: Path) -> None:
        for one in breaks:
            one(folder)

    return do


def write(name: str, content: str | bytes) -> Break:
    """Put something else in a file's place."""

    def do(folder: Path) -> None:
        data = content if isinstance(content, bytes) else content.encode()
        (folder / name).write_bytes(data)

    return do


def compress(name: str) -> Break:
    def do(folder: Path) -> None:
        path = folder / name
        path.with_name(f"{name}.gz").write_bytes(gzip.compress(path.read_bytes(), mtime=0))
        path.unlink()

    return do


CASES: list[tuple[str, str, Break]] = [
    # rule, where, what is broken
    ("descriptor", "datapackage.json:1", write("datapackage.json", "[]")),
    ("descriptor", "datapackage.json:2", write("datapackage.json", '{\n "a": }')),
    ("descriptor", "datapackage.json", write("datapackage.json", b"\xff\xfe{}")),
    ("compression", "datapackage.json.gz", compress("datapackage.json")),
    ("compression", "eml.xml.gz", compress("eml.xml")),
    ("eml", "eml.xml:1", write("eml.xml", "<eml/>")),
    ("eml", "eml.xml:2", write("eml.xml", "<a>\n<b>")),
    ("profile", "datapackage.json", descriptor(lambda d: d.pop("profile"))),
    ("profile", "datapackage.json", descriptor(lambda d: d.update(profile="data-package"))),
    ("profile", "datapackage.json", descriptor(lambda d: d.update(profile="http://rs.tdwg.org/dwc-dp/p.json"))),
    ("id", "datapackage.json", descriptor(lambda d: d.update(id=3))),
    ("id-missing", "datapackage.json", descriptor(lambda d: d.pop("id"))),
    ("created", "datapackage.json", descriptor(lambda d: d.update(created="2026-11-25"))),
    ("created", "datapackage.json", descriptor(lambda d: d.update(created="2026-11-25T25:00:00Z"))),
    ("created-missing", "datapackage.json", descriptor(lambda d: d.pop("created"))),
    ("version", "datapackage.json", descriptor(lambda d: d.update(version=1.0))),
    ("version-missing", "datapackage.json", descriptor(lambda d: d.pop("version"))),
    ("resources", "datapackage.json", descriptor(lambda d: d.update(resources=[]))),
    ("resources", "datapackage.json", descriptor(lambda d: d.pop("resources"))),
    ("no-table", "datapackage.json", descriptor(lambda d: d.update(resources=[{"name": "notes", "path": "eml.xml"}]))),
    ("properties", "datapackage.json", descriptor(lambda d: d.update(licenses=[{"title": "free"}]))),
    ("properties", "datapackage.json", descriptor(lambda d: d.update(contributors=[{"email": "a@b"}]))),
    ("properties", "datapackage.json", descriptor(lambda d: d.update(keywords=[3]))),
    ("properties", "datapackage.json", descriptor(lambda d: d.update(sources="a book"))),
    ("resource", "datapackage.json", descriptor(lambda d: d["resources"].append("event.csv"))),
    ("resource", "datapackage.json", descriptor(lambda d: d["resources"].append({"name": "My Notes", "path": "eml.xml"}))),
    ("resource", "datapackage.json", descriptor(lambda d: d["resources"].append({"name": "notes"}))),
    ("resource", "datapackage.json", descriptor(lambda d: d["resources"].append(dict(d["resources"][0])))),
    ("reserved-name", "datapackage.json", resource("media", lambda r: r.update(name="medias"))),
    ("path", "datapackage.json", resource("event", lambda r: r.update(path="../event.csv"))),
    ("path", "datapackage.json", resource("event", lambda r: r.update(path="/etc/hostname"))),
    ("path", "datapackage.json", resource("event", lambda r: r.update(path="https://a.example/event.csv"))),
    ("path", "datapackage.json", resource("event", lambda r: r.update(path="events.csv"))),
    ("path", "datapackage.json", resource("event", lambda r: (r.pop("path"), r.update(data=[])))),
    ("resource-profile", "datapackage.json", resource("event", lambda r: r.pop("profile"))),
    ("resource-profile", "datapackage.json", resource("event", lambda r: r.update(profile="data-resource"))),
    ("format", "datapackage.json", resource("event", lambda r: r.pop("format"))),
    ("mediatype", "datapackage.json", resource("event", lambda r: r.update(mediatype="text/plain"))),
    ("schema-inline", "datapackage.json", resource("event", lambda r: r.update(schema="event.json"))),
    ("dialect", "event.csv:1", table("event", lambda t: t.replace("\r\n", "\n"))),
    ("dialect", "event.csv:1", table("event", lambda t: t.replace(",", "\t"))),
    ("dialect-needless", "datapackage.json", resource("event", lambda r: r.update(dialect={"delimiter": ","}))),
    ("encoding", "event.csv", table("event", lambda t: t.replace("Osier", "Ösier").encode("cp1252"))),
    ("bytes", "event.csv", resource("event", lambda r: r.update(bytes=1))),
    ("bytes", "event.csv", resource("event", lambda r: r.update(hash="sha256:" + "0" * 64))),
    ("table-schema", "datapackage.json", resource("event", lambda r: r["schema"].pop("fields"))),
    ("table-schema", "datapackage.json", resource("event", lambda r: r["schema"].update(fields=["event_pk"]))),
    ("columns", "event.csv:1", resource("event", lambda r: r["schema"]["fields"].reverse())),
    ("columns", "event.csv:1", resource("event", lambda r: r["schema"]["fields"].pop())),
    ("columns", "event.csv:1", table("event", lambda t: t.replace("eventDate", "date", 1))),
    ("field-unknown", "datapackage.json", field("event", "eventDate", lambda f: f.update(name="dateOfEvent"))),
    ("field-differs", "datapackage.json", field("event", "eventDate", lambda f: f.update(type="date"))),
    ("field-differs", "datapackage.json", field("event", "eventDate", lambda f: f.update({"dcterms:isVersionOf": "http://rs.tdwg.org/dwc/terms/year"}))),
    ("field-differs", "datapackage.json", field("event", "event_pk", lambda f: f.update(constraints={}))),
    ("field-properties", "datapackage.json", field("event", "eventDate", lambda f: f.pop("title"))),
    ("field-properties", "datapackage.json", field("event", "eventDate", lambda f: f.pop("description"))),
    ("field-properties", "datapackage.json", field("event", "eventDate", lambda f: f.pop("type"))),
    ("field-properties", "datapackage.json", field("event", "eventDate", lambda f: f.pop("dcterms:isVersionOf"))),
    ("field-properties", "datapackage.json", field("event", "eventDate", lambda f: f.pop("name"))),
    ("field-format", "datapackage.json", field("event", "eventDate", lambda f: f.pop("format"))),
    ("term-address", "datapackage.json", field("event", "eventDate", lambda f: f.update({"dcterms:references": "pending"}))),
    ("term-address", "datapackage.json", field("event", "eventDate", lambda f: f.update({"dcterms:isVersionOf": "eventDate"}))),
    ("required-field", "datapackage.json", field("event", "eventCategory", lambda f: f.update(name="category"))),
    ("primary-key", "datapackage.json", resource("event", lambda r: r["schema"].pop("primaryKey"))),
    ("primary-key", "datapackage.json", resource("event", lambda r: r["schema"].update(primaryKey="eventID"))),
    ("primary-key-missing", "datapackage.json", both(
        resource("identification", lambda r: r["schema"].pop("primaryKey")),
        resource("identification-taxon", lambda r: r["schema"].pop("foreignKeys")),
    )),
    ("foreign-key", "datapackage.json", resource("occurrence", lambda r: r["schema"]["foreignKeys"][0].update(fields="occurrence_pk"))),
    ("foreign-key", "datapackage.json", resource("occurrence", lambda r: r["schema"]["foreignKeys"][0].pop("reference"))),
    ("foreign-key-missing", "datapackage.json", resource("occurrence", lambda r: r["schema"].pop("foreignKeys"))),
    ("foreign-key-target", "datapackage.json", descriptor(lambda d: d["resources"].pop(0))),
    ("foreign-key-value", "occurrence.csv:3", table("occurrence", lambda t: "\r\n".join(line.replace(",", "x,", 3) if n == 2 else line for n, line in enumerate(t.split("\r\n"))))),
    ("value", "event.csv:2", table("event", lambda t: t.replace("51.50871", "north", 1))),
    ("value", "event.csv:2", table("event", lambda t: t.replace("51.50871", "91.5", 1))),
    ("value", "event.csv:3", table("event", lambda t: t.replace(t.split("\r\n")[2].split(",")[0], t.split("\r\n")[1].split(",")[0]))),
    ("value", "event.csv:2", table("event", lambda t: t.replace(",Occurrence,", ",,", 1))),
]  # fmt: skip
UNPACKED_RULES = {"kind", "unpacking"}
ARCHIVE_RULES = {
    "meta-xml", "meta-schema", "core-id", "file-missing", "metadata-missing", "field-index",
    "term-twice", "term-not-current", "term-required", "separator", "row-short", "id-empty",
    "id-twice", "coreid-unknown",
}  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "place", "breaks"), CASES, ids=[f"{n}-{case[0]}" for n, case in enumerate(CASES)]
)
def test_a_broken_package(rule: str, place: str, breaks: Break, package: Path) -> None:
    breaks(package)
    problems = check(package)
    named = [problem for problem in problems if problem.rule == rule]
    assert named, [str(problem) for problem in problems]
    file, _, line = place.partition(":")
    assert any(p.file == file and (not line or p.line == int(line)) for p in named), [
        *map(str, named)
    ]
    assert all(problem.message and problem.level in ("MUST", "SHOULD") for problem in problems)


def test_every_rule_has_a_broken_case() -> None:
    assert {rule for rule, *_ in CASES} | ARCHIVE_RULES | UNPACKED_RULES == set(rules())


def test_a_problem_of_the_descriptor_names_its_line(package: Path) -> None:
    field("event", "eventDate", lambda f: f.update(type="date"))(package)
    (problem,) = [p for p in check(package) if p.rule == "field-differs"]
    text = (package / "datapackage.json").read_text(encoding="utf-8").splitlines()
    assert text[problem.line - 1].strip() == '"type": "date",'


def test_a_row_is_found_behind_quoted_line_ends(package: Path) -> None:
    """The line an editor shows, not the number of the record."""
    table("event", lambda t: t.replace("Osier Fen", '"Osier\nFen"', 1).replace("51.50871", "x"))(
        package
    )
    assert [p.line for p in check(package) if p.rule == "value"] == [2, 4, 5, 6]


def test_every_error_is_counted(package: Path) -> None:
    """frictionless stops at a thousand by default."""
    row = "{0},,Occurrence,2019-06-14,SU 123 456,Osier Fen,north,-1.82399,WGS84,72\r\n"
    table("event", lambda t: t + "".join(row.format(n) for n in range(1500)))(package)
    assert len([p for p in check(package) if p.rule == "value"]) == 1500


def gzipped(package: Path) -> Path:
    path = package.parent / "package.tar.gz"
    with tarfile.open(path, "w:gz") as archive:
        for file in sorted(package.iterdir()):
            archive.add(file, file.name)
    return path


def zipped(package: Path) -> Path:
    path = package.parent / "package.zip"
    with zipfile.ZipFile(path, "w") as archive:
        for file in sorted(package.iterdir()):
            archive.write(file, file.name)
    return path


def test_a_gzipped_package_conforms(package: Path) -> None:
    """Guide, section 3: the whole package may be compressed, with gzip only."""
    assert check(gzipped(package)) == []


def test_a_zipped_package_does_not(package: Path) -> None:
    assert [(p.rule, p.file) for p in check(zipped(package))] == [("compression", "package.zip")]


def test_a_gzipped_table_conforms(package: Path) -> None:
    """Guide, section 3: single files may be compressed, under their name and `.gz`."""
    compress("event.csv")(package)
    resource("event", lambda r: (r.update(path="event.csv.gz"), r.pop("bytes"), r.pop("hash")))(
        package
    )
    assert check(package) == []


def climbing(folder: Path) -> Path:
    path = folder / "climbing.zip"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("../outside.csv", "a")
    return path


def climbing_tar(folder: Path) -> Path:
    path = folder / "climbing.tar.gz"
    with tarfile.open(path, "w:gz") as archive:
        archive.addfile(tarfile.TarInfo("/tmp/outside.csv"), io.BytesIO(b""))
    return path


def linking_tar(folder: Path) -> Path:
    path = folder / "linking.tar.gz"
    with tarfile.open(path, "w:gz") as archive:
        link = tarfile.TarInfo("datapackage.json")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc/hostname"
        archive.addfile(link)
    return path


def bomb(folder: Path) -> Path:
    path = folder / "bomb.zip"
    with (
        zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("zeros.csv", "w") as member,
    ):
        for _ in range(60):
            member.write(bytes(1_000_000))
    return path


def broken(folder: Path) -> Path:
    path = folder / "broken.zip"
    path.write_bytes(b"PK\x03\x04 and no more")
    return path


@pytest.mark.parametrize(
    ("make", "rule", "says"),
    [
        (lambda folder: folder / "nowhere", "unpacking", "no such file"),
        (climbing, "unpacking", "climbs out"),
        (climbing_tar, "unpacking", "climbs out"),
        (linking_tar, "unpacking", "is no file"),
        (bomb, "unpacking", "refused"),
        (broken, "unpacking", "neither a folder nor a zip"),
        (lambda folder: folder, "kind", "neither meta.xml nor datapackage.json"),
    ],
    ids=["nowhere", "climbing zip", "climbing tar", "linking tar", "bomb", "broken", "nothing"],
)
def test_what_cannot_be_opened(
    make: Callable[[Path], Path], rule: str, says: str, tmp_path: Path
) -> None:
    (problem,) = check(make(tmp_path))
    assert isinstance(problem, Problem)
    assert problem.rule == rule
    assert says in problem.message
