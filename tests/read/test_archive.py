"""Darwin Core archives, laid out as the Darwin Core text guide says."""

from __future__ import annotations

import json
import os
import zipfile
from pathlib import Path

import pytest

from crossproof.read import chunks

DWC = "http://rs.tdwg.org/dwc/terms/"
EXTRA = {"leaf": ["leaves", "leaf markings"], "stem": []}


def part(
    tag: str, row_type: str, file: str, terms: list[str], *, sign: str = "\\t", quote: str = ""
) -> str:
    key = "id" if tag == "core" else "coreid"
    fields = "".join(
        f'<field index="{i}" term="{t if ":" in t else DWC + t}"/>'
        for i, t in enumerate(terms)
        if t
    )
    return (
        f'<{tag} encoding="UTF-8" fieldsTerminatedBy="{sign}" linesTerminatedBy="\\n" '
        f'fieldsEnclosedBy=\'{quote}\' ignoreHeaderLines="1" rowType="{row_type}">'
        f'<files><location>{file}</location></files><{key} index="0"/>{fields}</{tag}>'
    )


def meta(*parts: str) -> str:
    return f'<archive xmlns="http://rs.tdwg.org/dwc/text/">{"".join(parts)}</archive>'


CORE = part(
    "core",
    DWC + "Occurrence",
    "occurrence.txt",
    ["occurrenceID", "scientificName", "eventDate", "identifiedBy"],
).replace("</core>", f'<field term="{DWC}basisOfRecord" default="HumanObservation"/></core>')
FACTS = part(
    "extension",
    DWC + "MeasurementOrFact",
    "facts.txt",
    ["", "measurementType", "measurementValue", "measurementUnit"],
)
NAMES = part(
    "extension",
    DWC + "Identification",
    "names.txt",
    ["", "scientificName", "identifiedBy", "dateIdentified"],
)
MEDIA = part(
    "extension",
    "http://rs.tdwg.org/ac/terms/Multimedia",
    "media.csv",
    ["", "http://rs.tdwg.org/ac/terms/accessURI", "http://rs.tdwg.org/ac/terms/subjectPartLiteral"],
    sign=",",
    quote='"',
)
FILES = {
    "meta.xml": meta(CORE, FACTS, NAMES, MEDIA),
    "occurrence.txt": "id\tname\twhen\tdet\n"
    'a1\tD. × grandis\t2019-06-14\tR. Holm\na2\tD. "fuchsii"\t\t\n\na3\tD. x\nb\tD. y\t2019\t\n',
    "facts.txt": "id\ttype\tvalue\tunit\n"
    "a1\tLeaf markings\tring spots\t\na1\tstem\thollow\t\na1\tleaf\tsolid spots\t\n"
    "a2\tspur\t8.5\tmm\nb\tstem\t4\tmm\nzz\tstem\tsolid\t\n",
    "names.txt": "id\tname\tby\twhen\n"
    "a1\tD. × grandis\tR. Holm\t2020\na1\tD. praetermissa\tA. Marlow\t2019\na2\tD. maculata\t\t\n",
    "media.csv": 'id,uri,part\na1,one.jpg,leaf\na1,"two,2.jpg",stem\n',
}


def save(folder: Path, files: dict[str, str]) -> Path:
    folder.mkdir(exist_ok=True)
    for name, content in files.items():
        (folder / name).write_text(content, encoding="utf-8", newline="")
    return folder


def records(path: Path):
    (piece,) = chunks(path, extra_headings=EXTRA)
    rows = [
        dict(zip(piece.table.headings, row, strict=True))
        for row in zip(*piece.columns, strict=True)
    ]
    return piece, rows


@pytest.fixture(params=["folder", "zip", "zip with a folder"])
def archive(request, tmp_path: Path) -> Path:
    folder = save(tmp_path / "archive", FILES)
    if request.param == "folder":
        return folder
    path = tmp_path / "archive.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for name, content in FILES.items():
            out.writestr(("inner/" if "folder" in request.param else "") + name, content)
    return path


def test_extensions_stand_beside_their_record(archive: Path) -> None:
    piece, (first, second, third) = records(archive)
    assert piece.table.file == f"{archive.name}/occurrence.txt"
    assert list(piece.numbers) == [2, 3, 6]
    assert [(b.number, b.cells) for b in piece.broken] == [(5, ("a3", "D. x"))]
    assert first == {
        "occurrenceID": "a1",
        "scientificName": "D. × grandis",
        "eventDate": "2019-06-14",
        "identifiedBy": "R. Holm",
        "basisOfRecord": "HumanObservation",
        "leaf": "ring spots; solid spots",
        "stem": "hollow",
        "measurementOrFact": "",
        "previousIdentifications": "D. praetermissa, det. A. Marlow 2019",
        "photo": "one.jpg | two,2.jpg",
        "photoParts": "leaf; stem",
    }
    assert second["scientificName"] == 'D. "fuchsii"'
    assert second["previousIdentifications"] == "D. maculata"
    assert json.loads(second["measurementOrFact"]) == [
        {"measurementType": "spur", "measurementValue": "8.5", "measurementUnit": "mm"}
    ]
    assert (third["stem"], third["leaf"], third["photo"]) == ("4 mm", "", "")
    fields = piece.table.fields
    assert {"leaf", "stem", "photo", "photoParts", "previousIdentifications"} <= fields.keys()


def test_records_by_chunks(archive: Path) -> None:
    pieces = list(chunks(archive, extra_headings=EXTRA, rows=1))
    stem = pieces[0].table.headings.index("stem")
    assert [list(p.columns[stem]) for p in pieces if len(p)] == [["hollow"], [""], ["4 mm"]]


def test_a_published_description(tmp_path: Path) -> None:
    """A meta.xml that is valid against the text guide's XSD, with tabs and a default."""
    folder = os.environ.get("CROSSPROOF_STANDARDS")
    if not folder:
        pytest.skip("CROSSPROOF_STANDARDS is not set: the published standards are not here")
    xml = (Path(folder) / "dwca" / "minimal-meta.xml").read_text(encoding="utf-8")
    files = {
        "meta.xml": xml,
        "occurrence.txt": "id\tname\n1\tD. fuchsii\n",
        "identification.txt": "id\tas written\n1\tD. fuchs.\n",
    }
    assert records(save(tmp_path / "a", files))[1] == [
        {
            "occurrenceID": "1",
            "scientificName": "D. fuchsii",
            "basisOfRecord": "HumanObservation",
            "previousIdentifications": "D. fuchs.",
        }
    ]


def test_defaults_of_the_text_guide(tmp_path: Path) -> None:
    # Text guide, section 2: fieldsTerminatedBy ",", fieldsEnclosedBy '"', ignoreHeaderLines 0
    xml = meta(
        f'<core rowType="{DWC}Occurrence"><files><location>o.csv</location></files>'
        f'<id index="0"/><field index="1" term="{DWC}scientificName" default="D. sp."/></core>'
    )
    folder = save(tmp_path / "a", {"meta.xml": xml, "o.csv": 'x1,"A, ""b"""\nx2,\n'})
    piece, rows = records(folder)
    assert rows == [
        {"occurrenceID": "x1", "scientificName": 'A, "b"'},
        {"occurrenceID": "x2", "scientificName": "D. sp."},
    ]
    assert list(piece.numbers) == [1, 2]


def test_columns_that_meta_xml_does_not_name_are_kept(tmp_path: Path) -> None:
    core = part("core", DWC + "Occurrence", "o.txt", ["", "scientificName"])
    folder = save(tmp_path / "a", {"meta.xml": meta(core), "o.txt": "id\tname\tmoon\n1\tA\tfull\n"})
    assert records(folder)[1] == [{"occurrenceID": "1", "scientificName": "A", "moon": "full"}]


def test_an_event_core(tmp_path: Path) -> None:
    core = part("core", DWC + "Event", "e.txt", ["eventID", "eventDate", "locality"])
    ext = part("extension", DWC + "Occurrence", "o.txt", ["", "occurrenceID", "scientificName"])
    folder = save(
        tmp_path / "a",
        {
            "meta.xml": meta(core, ext, FACTS),
            "e.txt": "id\twhen\twhere\ne1\t2019\tHollow Fen\n",
            "o.txt": "id\toccurrence\tname\ne1\to1\tA\ne1\to2\tB\ne9\to3\tC\n",
            "facts.txt": FILES["facts.txt"],
        },
    )
    piece, rows = records(folder)
    assert [(r["occurrenceID"], r["eventDate"], r["locality"]) for r in rows] == [
        ("o1", "2019", "Hollow Fen"),
        ("o2", "2019", "Hollow Fen"),
        ("o3", "", ""),
    ]
    assert [f.code for f in piece.findings if f.code == "sheet_skipped"] == ["sheet_skipped"]


def test_an_encoding_that_is_not_as_declared(tmp_path: Path) -> None:
    core = part("core", DWC + "Occurrence", "o.txt", ["occurrenceID", "scientificName"])
    folder = save(tmp_path / "a", {"meta.xml": meta(core)})
    (folder / "o.txt").write_bytes("id\tname\n1\tD. × grandis\n".encode("cp1252"))
    piece, rows = records(folder)
    assert rows[0]["scientificName"] == "D. × grandis"
    assert "encoding_assumed" in [f.code for f in piece.findings]
