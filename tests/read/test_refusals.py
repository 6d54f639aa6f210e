"""What can't be read is refused with one clear sentence."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from crossproof.read import Unreadable, chunks, load_mapping
from crossproof.read.safezip import check_members


def refusal(path: Path, **options) -> str:
    with pytest.raises(Unreadable) as refused:
        list(chunks(path, **options))
    return str(refused.value)


def table(folder: Path, text: str) -> Path:
    path = folder / "records.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_no_such_file(tmp_path: Path) -> None:
    path = tmp_path / "none.csv"
    assert refusal(path) == f"There is no file {path}; check its name and folder."


def picture(kind: str) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (40, 30), "purple").save(out, kind)
    return out.getvalue()


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("PNG", "a PNG picture"),
        ("JPEG", "a JPEG picture"),
        ("GIF", "a GIF picture"),
        ("TIFF", "a TIFF picture"),
        ("WEBP", "a WebP picture"),
        ("BMP", "a BMP picture"),
        ("PDF", "a PDF document"),
        ("TGA", "binary data"),
        ("SGI", "binary data"),
    ],
)
def test_a_picture_named_csv(tmp_path: Path, kind: str, words: str) -> None:
    path = tmp_path / "records.csv"
    path.write_bytes(picture(kind))
    assert refusal(path) == (
        f"records.csv holds {words}, not a table; give the table itself: CSV, XLSX, XLS, ODS, "
        "Parquet or a Darwin Core archive."
    )


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<!DOCTYPE html><table><tr><td>species", "a web page or XML"),
        (b'{"species": "D. fuchsii"}', "JSON"),
        (b"\x1f\x8b\x08\x00aaaa", "a gzip-compressed file: unpack it first"),
    ],
)
def test_other_things(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "records.xls"
    path.write_bytes(content)
    assert f"holds {words}, not a table" in refusal(path)


def test_no_column_for_the_plant(tmp_path: Path) -> None:
    assert refusal(table(tmp_path, "Wann,Wo\n2019,hier\n")) == (
        "records.csv: no column names the plant. Headings seen: 'Wann', 'Wo'. Call the column "
        "'species', or say in a mapping file which it is: scientificName = \"…\"."
    )


def test_two_headings_for_one_field(tmp_path: Path) -> None:
    assert refusal(table(tmp_path, "Species,Taxon,Date\nA,A,2019\n")) == (
        "records.csv: the headings 'Species' and 'Taxon' both stand for scientificName; rename one "
        "of them, or say in a mapping file which it is: scientificName = 'Species'."
    )


def test_the_mapping_settles_it(tmp_path: Path) -> None:
    path = table(tmp_path, "Species,Taxon,Date\nA,B,2019\n")
    (piece,) = chunks(path, mapping={"scientificName": "Taxon"})
    assert piece.table.fields["scientificName"] == "Taxon"
    assert [f.column for f in piece.findings if f.code == "heading_unknown"] == ["Species"]


def test_a_mapping_that_does_not_fit(tmp_path: Path) -> None:
    path = table(tmp_path, "Species,Date\nA,2019\n")
    assert "no column is called that" in refusal(
        path, mapping={"leaf": "Blatt"}, extra_headings={"leaf": []}
    )
    assert refusal(path, mapping={"scientificNam": "Species"}) == (
        "The mapping names a field 'scientificNam' that is not known; did you mean "
        "'scientificName'?"
    )


@pytest.mark.parametrize(
    "name", ["../evil.csv", "/etc/evil.csv", "a/../../evil.csv", "C:\\evil", "..\\x"]
)
def test_a_path_that_climbs_out(tmp_path: Path, name: str) -> None:
    path = tmp_path / "archive.zip"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("meta.xml", "<archive/>")
        out.writestr(name, "x")
    assert "outside its folder" in refusal(path)


def test_a_bomb(tmp_path: Path) -> None:
    path = tmp_path / "archive.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("meta.xml", "<archive/>")
        out.writestr("occurrence.txt", b"\0" * (33 * 2**20))
    assert "would unpack to 250 times its size" in refusal(path)


def test_a_zip_that_lies_about_its_size(tmp_path: Path) -> None:
    # zipfile reads no member beyond its listed size, and then misses the check sum
    path = tmp_path / "archive.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("meta.xml", META)
        out.writestr("occurrence.txt", b"id\tname\n" + b"1\tD. fuchsii\n" * 90_000)
    data = bytearray(path.read_bytes())
    size = (8 + 13 * 90_000).to_bytes(4, "little")
    assert data.count(size) == 2
    path.write_bytes(bytes(data).replace(size, (100).to_bytes(4, "little")))
    assert "damaged" in refusal(path)


def test_too_many_members() -> None:
    with pytest.raises(Unreadable, match="more than 10000 files"):
        check_members("a.zip", [zipfile.ZipInfo(f"{i}") for i in range(10_001)])


def test_a_zip_of_something_else(tmp_path: Path) -> None:
    path = tmp_path / "records.zip"
    with zipfile.ZipFile(path, "w") as out:
        out.writestr("records.csv", "species\nA\n")
    assert "zip file without a meta.xml" in refusal(path)


META = (
    '<archive xmlns="http://rs.tdwg.org/dwc/text/"><core fieldsTerminatedBy="\\t" '
    'fieldsEnclosedBy="" ignoreHeaderLines="1" '
    'rowType="http://rs.tdwg.org/dwc/terms/Occurrence"><files><location>{0}</location></files>'
    '<id index="0"/><field index="1" term="http://rs.tdwg.org/dwc/terms/scientificName"/>'
    "</core></archive>"
).replace("{0}", "occurrence.txt")


@pytest.mark.parametrize(
    ("meta", "words"),
    [
        ('<!DOCTYPE a [<!ENTITY e SYSTEM "file:///etc/hostname">]>' + META, "document type"),
        (META.replace("occurrence.txt", "../../../etc/hostname"), "outside the archive"),
        (META.replace("occurrence.txt", "https://example.org/a.txt"), "outside the archive"),
        (META.replace("occurrence.txt", "missing.txt"), "that is not in the archive"),
        (META.replace('index="1"', 'index="one"'), "'one' where a number belongs"),
        ("<archive", "not well-formed"),
        ('<archive xmlns="http://rs.tdwg.org/dwc/text/"/>', "no core table"),
        (META.replace("Occurrence", "Taxon"), "holds no occurrences"),
        (META.replace("scientificName", "locality"), "no column names the plant"),
    ],
)
def test_a_meta_xml_that_is_wrong(tmp_path: Path, meta: str, words: str) -> None:
    (tmp_path / "meta.xml").write_text(meta, encoding="utf-8")
    (tmp_path / "occurrence.txt").write_text("id\tname\n1\tA\n", encoding="utf-8")
    assert words in refusal(tmp_path)


def test_a_billion_laughs(tmp_path: Path) -> None:
    lines = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 12))
    meta = f'<!DOCTYPE a [<!ENTITY l0 "ha">{lines}]><archive>&l11;</archive>'
    (tmp_path / "meta.xml").write_text(meta, encoding="utf-8")
    assert "meta.xml" in refusal(tmp_path)


def test_a_link_out_of_the_archive(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("id\tname\n1\tA\n", encoding="utf-8")
    archive = tmp_path / "archive"
    archive.mkdir()
    (archive / "meta.xml").write_text(META, encoding="utf-8")
    (archive / "occurrence.txt").symlink_to(tmp_path / "secret.txt")
    assert "a link that leads out of the archive" in refusal(archive)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("scientificName = Plant", "m.toml is not a mapping file: Invalid value (at line 1"),
        ('species = "a"\nleaf = 3\n', "m.toml, line 2, leaf: 3 is not of type 'string'"),
        ('leaf = ""\n', "m.toml, line 1, leaf: '' should be non-empty"),
        ('[headings]\nleaf = "L"\n', "line 1, headings: {'leaf': 'L'} is not of type 'string'"),
        ("", "the file: {} should be non-empty"),
        ('leaf = "L"\nstem = "L"\n', "leaf and stem are both given the heading 'L'"),
    ],
)
def test_a_mapping_file_that_is_wrong(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "m.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Unreadable) as refused:
        load_mapping(path)
    assert words in str(refused.value)


def test_a_mapping_file(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text('scientificName = "Plant found"\nleaf = "Blatt"\n', encoding="utf-8")
    assert load_mapping(path) == {"scientificName": "Plant found", "leaf": "Blatt"}
    with pytest.raises(Unreadable, match="There is no mapping file"):
        load_mapping(tmp_path / "none.toml")
