"""Sensitive places and people, from the command line to what is written."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import pytest

from crossproof.cli import main
from crossproof.options import OptionError, Options
from crossproof.pipeline import vet, vet_to
from crossproof.spreadsheet import guard, unguard

HEAD = "species,site,grid ref,date,recorder,remarks,sensitive"
ROW = "Dactylorhiza fuchsii,Osier Fen,SU 12345 67890,14/6/2024,Ottoline Marrable,,"
BASE_KEY = b"a key of thirty-two bytes or so.."


def _file(home: Path, *rows: str, head: str = HEAD) -> Path:
    path = home / "records.csv"
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return path


def _occurrences(out: Path) -> list[dict[str, str]]:
    with (out / "dwca" / "occurrence.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _vet(home: Path, *rows: str, **options: object) -> list[dict[str, str]]:
    out = home / "out"
    vet_to([_file(home, *rows)], out, Options(validate="never", **options))  # type: ignore[arg-type]
    return _occurrences(out)


def test_nothing_changes_where_nothing_is_sensitive(tmp_path: Path) -> None:
    (record,) = _vet(tmp_path, ROW)
    assert record["verbatimCoordinates"] == "SU 12345 67890"
    assert "dataGeneralizations" not in record and "informationWithheld" not in record


def test_a_taxon_of_the_rulebook(tmp_path: Path) -> None:
    """The rulebook of orchids has a kilometre for this one."""
    (record,) = _vet(tmp_path, ROW.replace("fuchsii", "ebudensis"))
    assert "grid square SU1267" in record["dataGeneralizations"]
    assert record["coordinateUncertaintyInMeters"] in ("709", "710")
    assert record["locality"] == "Osier Fen"
    assert "verbatimCoordinates" not in record


FILES = [
    ('[[taxon]]\nname = "Dactylorhiza fuchsii"\nlevel = "2 km"', "SU16I"),
    ('[[site]]\nname = "osier  fen"\nlevel = "1 km"', "SU1267"),
    ('[[square]]\nreference = "SU16"\nlevel = "10 km"', "SU16"),
    ('[[square]]\nreference = "SU17"\nlevel = "10 km"', ""),
    (
        "[[area]]\npolygon = [[-1.9, 51.3], [-1.7, 51.3], [-1.7, 51.5], [-1.9, 51.5]]\n"
        'level = "100 m"',
        "SU123678",
    ),
    (
        '[[site]]\nname = "Osier Fen"\nlevel = "1 km"\n'
        '[[taxon]]\nname = "Dactylorhiza fuchsii"\nlevel = "2 km"',
        "SU16I",  # the coarsest wins
    ),
]


@pytest.mark.parametrize(("text", "square"), FILES)
def test_a_file_of_sensitive_places(tmp_path: Path, text: str, square: str) -> None:
    path = tmp_path / "sensitive.toml"
    path.write_text(text, encoding="utf-8")
    (record,) = _vet(tmp_path, ROW, sensitive=path)
    assert f"grid square {square};" in record.get("dataGeneralizations", "grid square ;")


WRONG = [
    ('[[site]]\nname = "Osier Fen"\nlevel = "3 km"', ["line 3", "site.1.level", '"10 km"']),
    ('[[site]]\nlevel = "1 km"', ["line 1", "site.1", "give each [[site]] a name"]),
    ('colour = "red"', ["line 1", "colour", "the keys are default"]),
    ('[[square]]\nreference = "SU1"\nlevel = "1 km"', ["line 2", "square.1.reference"]),
    ('[[square]]\nreference = "51.2, -1.8"\nlevel = "1 km"', ["is no grid square", "[[area]]"]),
    ("[[area]]\npolygon = [[51.2, -91.8]]\n", ["line 1", "area.1", "polygon"]),
    ("what = ", ["not valid TOML"]),
]


@pytest.mark.parametrize(("text", "said"), WRONG)
def test_a_wrong_file_is_answered_with_place_and_remedy(
    tmp_path: Path, text: str, said: list[str]
) -> None:
    path = tmp_path / "sensitive.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(OptionError) as refused:
        _vet(tmp_path, ROW, sensitive=path)
    assert all(piece in str(refused.value) for piece in ["sensitive.toml", *said])
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("level", ["100 m", "1 km", "2 km", "10 km"])
def test_our_own_archive_comes_back_the_same(tmp_path: Path, level: str) -> None:
    first = _vet(tmp_path, ROW + level)
    vet_to([tmp_path / "out" / "dwca"], tmp_path / "again", Options(validate="never"))
    asked = f'{{"sensitive": "{level}"}}'
    assert first[0]["dynamicProperties"] == asked
    assert _occurrences(tmp_path / "again") == first
    path = tmp_path / "sensitive.toml"
    path.write_text(f'[[taxon]]\nname = "Dactylorhiza fuchsii"\nlevel = "{level}"', "utf-8")
    vet_to(
        [tmp_path / "out" / "dwca"],
        tmp_path / "third",
        Options(validate="never", sensitive=path),
    )
    assert _occurrences(tmp_path / "third") == first


def test_a_withheld_place_keeps_the_country_at_most(tmp_path: Path) -> None:
    head = HEAD + ",country,county,parish"
    source = _file(tmp_path, ROW + "withhold,England,Wilts,Osierham", head=head)
    vet_to([source], tmp_path / "out", Options(validate="never"))
    (record,) = _occurrences(tmp_path / "out")
    text = json.dumps(record)
    assert record["country"] == "England" and record["county"] == "Wilts"
    assert "Osier" not in text and "decimalLatitude" not in record


def test_localities_are_hidden_if_asked(tmp_path: Path) -> None:
    (record,) = _vet(tmp_path, ROW + "1 km", hide_localities=True)
    assert "Osier" not in json.dumps(record)
    assert "the words of the locality" in record["informationWithheld"]


def test_an_event_shared_with_an_exact_record_does_not_lead_to_the_place(tmp_path: Path) -> None:
    rows = [ROW.replace("fuchsii", taxon) + ",visit-7" for taxon in ("ebudensis", "fuchsii")]
    source = _file(tmp_path, *rows, head=f"{HEAD},eventID")
    vet_to([source], tmp_path / "out", Options(validate="never"))
    hidden, exact = _occurrences(tmp_path / "out")
    assert (hidden["eventID"], exact["eventID"]) == ("", "visit-7")
    assert "the identifier of its event" in hidden["informationWithheld"]


def test_what_cannot_be_read_is_taken_for_sensitive(tmp_path: Path) -> None:
    vetting = vet(_file(tmp_path, ROW + "perhaps"))
    assert "sensitivity_unreadable" in set(vetting.findings["code"])
    assert "grid square SU16;" in vetting.occurrences["dataGeneralizations"][0]


def test_our_own_identifier_cannot_be_worked_back(tmp_path: Path) -> None:
    """The same record at another place has the same identifier: it says nothing of the place."""
    moved = ROW.replace("12345 67890", "54321 09876")
    ids = {_vet(tmp_path, row + "10 km")[0]["occurrenceID"] for row in (ROW, moved)}
    assert len(ids) == 1
    keyed = {
        _vet(tmp_path, row + "10 km", key=key)[0]["occurrenceID"]
        for row in (ROW, moved)
        for key in (b"k" * 20, b"l" * 20)
    }
    assert len(keyed) == 4


def test_an_identifier_stays_the_same_at_any_resolution(tmp_path: Path) -> None:
    ids = {_vet(tmp_path, ROW + size, key=BASE_KEY)[0]["occurrenceID"] for size in ("", "1 km")[1:]}
    files = []
    for size in ("1 km", "10 km"):
        path = tmp_path / "s.toml"
        path.write_text(f'[[site]]\nname = "Osier Fen"\nlevel = "{size}"', encoding="utf-8")
        files.append(_vet(tmp_path, ROW, sensitive=path)[0]["occurrenceID"])
    assert len(set(files)) == 1 and ids.isdisjoint(files)


@pytest.mark.parametrize("how", ["initials", "pseudonyms"])
def test_names_are_nowhere_but_in_the_rows_that_go_back(tmp_path: Path, how: str) -> None:
    source = _file(
        tmp_path,
        "D. x grandis,Osier Fen,SU 123 456,14/6/2024,Ottoline Marrable,with Ottoline Marrable,",
        ",Osier Fen,,14/6/2024,Ottoline Marrable,,",
    )
    key = tmp_path / "key"
    key.write_bytes(BASE_KEY)
    out = tmp_path / "out"
    assert main(["vet", str(source), "--out", str(out), "--recorders", how, "--key", str(key)]) == 0
    for path in out.rglob("*"):
        if path.is_file() and path.suffix != ".zip":
            assert (b"Marrable" in path.read_bytes()) is (path.name == "returned.csv"), path


def test_pseudonyms_without_a_key_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("CROSSPROOF_KEY", raising=False)
    out = str(tmp_path / "out")
    command = ["vet", str(_file(tmp_path, ROW)), "--out", out, "--recorders", "pseudonyms"]
    assert main(command) == 2
    assert "--key" in capsys.readouterr().err
    monkeypatch.setenv("CROSSPROOF_KEY", "a key from the environment")
    assert main(command) == 0


def test_contacts_are_findings(tmp_path: Path) -> None:
    row = "Dactylorhiza fuchsii,Osier Fen,SU123456,14/6/2024,O. Marrable,ring 01632 960001,"
    found = vet(_file(tmp_path, row)).findings
    (contact,) = found[found["code"] == "contact_in_remark"].to_dict("records")
    assert contact["column"] == "remarks" and contact["row"] == "2"


FORMULA = "=HYPERLINK(1)"


def test_tables_for_people_run_nothing_and_returned_rows_come_back(tmp_path: Path) -> None:
    head = f"{HEAD},=notes"
    source = _file(tmp_path, f",{FORMULA},,14/6/2024,'=x,-1.5,,+1+1", head=head)
    out = tmp_path / "out"
    vet_to([source], out, Options(validate="never"))
    text = (out / "returned.csv").read_text(encoding="utf-8")
    assert f"'{FORMULA}" in text and "''=x" in text and ",-1.5," in text and "'+1+1" in text
    vet_to([out / "returned.csv"], tmp_path / "again", Options(validate="never"))
    with (tmp_path / "again" / "returned.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert unguard(row["site"]) == FORMULA and unguard(row["recorder"]) == "'=x"
    assert row["'=notes"] == "'+1+1"


def test_tables_for_machines_keep_the_text(tmp_path: Path) -> None:
    (record,) = _vet(tmp_path, ROW.replace("Osier Fen", FORMULA))
    assert record["locality"] == FORMULA


GUARDED = [
    ("=1+1", "'=1+1"),
    ("'=1+1", "''=1+1"),
    ("＝1+1", "'＝1+1"),
    ("-1.8246", "-1.8246"),
    ("+44 1632", "'+44 1632"),
    ("'tis", "'tis"),
]


@pytest.mark.parametrize(("cell", "guarded"), GUARDED)
def test_a_guard_can_be_taken_off(cell: str, guarded: str) -> None:
    assert guard(cell) == guarded
    assert unguard(guarded) == cell


PAGE = Path(__file__).parents[2] / "docs" / "how-to" / "protect-places-and-people.md"


def test_the_page_shows_a_file_that_works(tmp_path: Path) -> None:
    (text,) = re.findall(r"```toml\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL)
    path = tmp_path / "sensitive.toml"
    path.write_text(text, encoding="utf-8")
    (record,) = _vet(tmp_path, ROW, sensitive=path)
    assert "Withheld" in record["informationWithheld"]


def test_the_page_shows_options_that_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["vet", "--help"])
    known = capsys.readouterr().out
    shown = set(re.findall(r"(?<!\w)--[a-z][a-z-]+", PAGE.read_text(encoding="utf-8")))
    assert shown and all(option in known for option in shown)
