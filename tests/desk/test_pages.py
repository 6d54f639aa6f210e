"""The pages: what is shown, what a ruling does, and what another person's ruling does to it."""

from __future__ import annotations

import csv
import html
import re
import shutil
from pathlib import Path

import pytest
from desk_folder import FORM, FROM_HERE, client_of, demo_file, ids, some, vetted
from starlette.testclient import TestClient

from crossproof.desk.desk import Desk, open_desk
from crossproof.desk.filters import parse_filter
from crossproof.desk.queue import look
from crossproof.rulings.records import records


def shown(answer: object) -> str:
    """The words of a page, without its tags."""
    text = re.sub(r"<(style|script)>.*?</\1>", "", answer.text, flags=re.DOTALL)  # type: ignore[attr-defined]
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", "", text)))


def rule(client: TestClient, number: int, action: str = "uphold", **more: str) -> object:
    page = client.get(f"/record/{number}").text
    (value,) = re.findall(r'name="record" value="([^"]*)"', page)
    form = {**FORM, "action": action, "record": value, "query": "outcome=lowered", **more}
    return client.post("/rule", data=form, headers=FROM_HERE)


def test_the_queue_counts_what_the_table_holds(client: TestClient, desk: Desk) -> None:
    outcomes = [r.verdict["outcome"] for r in records(desk.folder)]
    page = client.get("/").text
    for outcome in set(outcomes):
        told = re.search(rf'value="{outcome}"[^>]*>[^<(]*\(([\d,]+)\)', page)
        assert told, outcome
        assert int(told.group(1).replace(",", "")) == outcomes.count(outcome)
    assert f"{len(outcomes)} records" in shown(client.get("/"))


@pytest.mark.parametrize(
    "query",
    [
        {"outcome": "lowered"},
        {"reason": "photo_missing"},
        {"taxon": "Dactylorhiza × grandis", "outcome": "lowered"},
        {"recorder": "Mab Thornley"},
        {"year": "2024"},
        {"square": "TL68"},
        {"text": "thornley FEN"},
    ],
)
def test_filters_let_through_what_they_say(desk: Desk, query: dict[str, str]) -> None:
    def fits(verdict: dict[str, str], cells: dict[str, str]) -> bool:
        told = {
            "outcome": verdict["outcome"],
            "taxon": verdict["claimed_name"] or verdict["claim"],
            "recorder": cells.get("recordedBy", ""),
            "year": cells.get("year", ""),
        }
        grid = re.sub(r"\s", "", cells.get("verbatimCoordinates", "").upper())
        half = (len(grid) - 2) // 2
        told["square"] = grid[:3] + grid[2 + half : 3 + half] if half else ""
        searched = ("recordedBy", "eventDate", "locality", "habitat", "verbatimCoordinates")
        words = [cells.get(name, "") for name in (*searched, "occurrenceRemarks")]
        words += [cells.get("returned", "")]
        words += [verdict[name] for name in ("claim", "claimed_name", "determined_name")]
        everything = " ".join(words).casefold()
        return all(
            value in verdict["reasons"].split(";")
            if name == "reason"
            else all(word in everything for word in value.casefold().split())
            if name == "text"
            else told[name] == value
            for name, value in query.items()
        )

    wanted = sum(
        fits(dict(r.verdict), {**r.occurrence, "returned": " ".join(r.returned.values())})
        for r in records(desk.folder)
    )
    with desk.store.open() as connection:
        queue = look(connection, parse_filter(query))
    assert 0 < queue.total < 120
    assert queue.total == wanted
    # A choice's count is what choosing it will show.
    for name, value in (("outcome", "lowered"), ("reason", "leaf_missing")):
        count = dict(queue.choices[name]).get(value, 0)
        with desk.store.open() as connection:
            assert look(connection, parse_filter({**query, name: value})).total == count


@pytest.mark.parametrize("sort", ["claim", "recorder", "date", "place", "outcome", "reasons"])
def test_sorting_sorts_everything_and_not_only_the_page(desk: Desk, sort: str) -> None:
    column = {"claim": "taxon"}.get(sort, sort)
    seen: list[str] = []
    for page in ("1", "2"):
        query = parse_filter({"sort": sort, "down": "1", "page": page})
        with desk.store.open() as connection:
            seen += [row[column] for row in look(connection, query).rows]
    fold = str.casefold if sort in ("claim", "recorder", "place") else str
    assert [fold(s) for s in seen] == sorted(map(fold, seen), reverse=True)


@pytest.mark.parametrize(
    "query",
    [
        "page=0",
        "page=99999999",
        "sort=evil;--",
        "state=x",
        "outcome=' OR 1=1 --",
        "text=%00%ff",
        "reason=%22%3E%3Cscript%3E",
        "year=" + "9" * 5000,
        "page=%C2%B2",
        "text=" + "a+" * 300,
    ],
)
def test_any_address_is_answered(client: TestClient, query: str) -> None:
    answer = client.get(f"/?{query}")
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text


def test_a_record_shows_its_evidence_with_the_words_marked(tmp_path: Path) -> None:
    source = tmp_path / "mine.csv"
    remark = "Bank spotted with gorse; lvs unsp., stem hollow. Photo."
    source.write_text(
        f'Species,Grid ref,Date,Comments\nD. x grandis,TL6183,14/06/2024,"{remark}"\n'
    )
    with client_of(open_desk(vetted(tmp_path / "out", source))) as client:
        page = client.get("/record/1").text
    quote = re.findall(r'<blockquote class="remark">(.*?)</blockquote>', page)[0]
    assert re.findall(r"<mark>(.*?)<small> (.*?)</small></mark>", quote) == [
        ("lvs unsp", "leaf"),
        ("stem hollow", "stem"),
        ("Photo", "photo"),
    ]
    assert re.sub(r"<small>.*?</small>|<[^>]+>", "", quote) == remark


def test_a_record_shows_its_photo_its_place_and_what_is_near(
    client: TestClient, desk: Desk
) -> None:
    number = next(
        n
        for n, r in enumerate(records(desk.folder), 1)
        if "qf_0102_leaf" in r.verdict["photo_reference"]
    )
    answer = client.get(f"/record/{number}")
    said = shown(answer)
    assert "shows leaf" in said
    assert "another day than the record's" in said
    assert f'<img src="/photo/{number}/0"' in answer.text
    assert '<polygon class="square" points="' in answer.text
    assert "first parent" in said
    assert "second parent" in said
    photo = client.get(f"/photo/{number}/0")
    assert photo.headers["content-type"] == "image/jpeg"
    assert photo.content[:2] == b"\xff\xd8"
    assert b"Exif" not in photo.content[:200], "what the camera wrote is not sent on"


def test_a_ruling_is_kept_and_told_and_undone(client: TestClient, desk: Desk) -> None:
    number, record = some(desk.folder, "lowered")[0]
    said = shown(rule(client, number))
    assert f"Upheld: “{record.verdict['claim']}” as {record.verdict['claimed_name']}." in said
    (entry,) = desk.store.ledger.standing()
    assert (entry.record, entry.by, entry.reason) == (record.id, "Ann Example", FORM["reason"])
    assert entry.determination.formula == "A x B"
    assert len(entry.determination.components) == 2
    assert "Ruled 1" in shown(client.get("/"))
    assert "by Ann Example, 2026-06-14" in shown(client.get(f"/record/{number}"))
    client.post("/undo", data={"ruling": entry.uid}, headers=FROM_HERE)
    assert desk.store.ledger.standing() == []
    assert "undone by Ann Example, 2026-06-15" in shown(client.get(f"/record/{number}"))


def test_after_a_ruling_comes_the_next_record_of_the_queue(client: TestClient, desk: Desk) -> None:
    (first, _), (second, _) = some(desk.folder, "lowered", 2)
    answer = rule(client, first, onward="1")
    assert answer.url.path == f"/record/{second}"  # type: ignore[attr-defined]
    assert "outcome=lowered" in str(answer.url.query)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"reason": " "}, "Give a reason"),
        ({"by": ""}, "Say who rules"),
        ({"on": "yesterday"}, "not a date"),
        ({"action": "determine", "choice": ""}, "choose a name"),
        ({"action": "determine", "choice": "dactylorhiza:nonsense"}, "choose a name"),
        ({"action": "nonsense"}, "choose what to rule"),
    ],
)
def test_an_incomplete_form_comes_back_with_what_was_typed(
    client: TestClient, desk: Desk, changes: dict[str, str], why: str
) -> None:
    number, _ = some(desk.folder, "lowered")[0]
    answer = rule(client, number, onward="1", **changes)
    assert answer.status_code == 422  # type: ignore[attr-defined]
    assert why.casefold() in shown(answer).casefold()
    if "reason" not in changes:
        assert f'value="{FORM["reason"]}"' in answer.text  # type: ignore[attr-defined]
    assert desk.store.ledger.entries() == []


def test_another_name_is_set_from_the_rulebook(client: TestClient, desk: Desk) -> None:
    number, _ = some(desk.folder, "lowered")[0]
    page = client.get(f"/record/{number}").text
    choice = re.search(r'value="(dactylorhiza:[^"]+)">Dactylorhiza fuchsii<', page)
    assert choice
    rule(client, number, "determine", choice=choice.group(1))
    (entry,) = desk.store.ledger.standing()
    assert entry.determination.scientific_name == "Dactylorhiza fuchsii"
    assert entry.determination.rank == "species"


def test_two_people_at_one_record(desk: Desk) -> None:
    """Both open it, one rules, the other is told whose ruling stands there and loses nothing."""
    number, _ = some(desk.folder, "lowered")[0]
    with client_of(desk) as ann, client_of(open_desk(desk.folder)) as bo:
        pages = [person.get(f"/record/{number}").text for person in (ann, bo)]
        values = [re.findall(r'name="record" value="([^"]*)"', page)[0] for page in pages]
        form = {**FORM, "action": "uphold", "onward": "1"}
        ann.post("/rule", data={**form, "record": values[0]}, headers=FROM_HERE)
        answer = bo.post(
            "/rule",
            data={**form, "by": "Bo Sample", "reason": "a solid stem", "record": values[1]},
            headers=FROM_HERE,
        )
        assert answer.status_code == 422
        assert "Ann Example has upheld it meanwhile (“seen at the visit”)" in shown(answer)
        assert 'value="a solid stem"' in answer.text
        (again,) = re.findall(r'name="record" value="([^"]*)"', answer.text)
        bo.post(
            "/rule",
            data={**form, "by": "Bo Sample", "action": "lower", "record": again},
            headers=FROM_HERE,
        )
    assert [entry.by for entry in desk.store.ledger.entries()] == ["Ann Example", "Bo Sample"]
    assert [entry.by for entry in desk.store.ledger.standing()] == ["Bo Sample"]


def test_many_at_once_and_undone_at_once(client: TestClient, desk: Desk) -> None:
    chosen = some(desk.folder, "lowered", 5)
    form = {
        **FORM,
        "action": "ask",
        "record": [f"{n}.{r.content}." for n, r in chosen],
        "query": "outcome=lowered",
    }
    answer = client.post("/rule", data=form, headers=FROM_HERE)
    assert "To be asked: 5 records." in shown(answer)
    assert len(desk.store.ledger.standing()) == 5
    (batch,) = re.findall(r'name="batch" value="([^"]+)"', answer.text)
    client.post("/undo", data={"batch": batch}, headers=FROM_HERE)
    assert desk.store.ledger.standing() == []


def test_all_that_the_filters_show(client: TestClient, desk: Desk) -> None:
    query = "outcome=lowered&reason=leaf_missing"
    with desk.store.open() as connection:
        total = look(
            connection, parse_filter({"outcome": "lowered", "reason": "leaf_missing"})
        ).total
    form = {**FORM, "action": "ask", "scope": "matching", "query": query}
    answer = client.post("/rule", data={**form, "expected": str(total + 1)}, headers=FROM_HERE)
    assert answer.status_code == 422
    assert "the queue has changed" in shown(answer).casefold()
    assert desk.store.ledger.entries() == []
    client.post("/rule", data={**form, "expected": str(total)}, headers=FROM_HERE)
    assert len(desk.store.ledger.standing()) == total > 5


def test_those_that_cannot_be_ruled_on_are_named_and_the_rest_is_done(
    client: TestClient, desk: Desk
) -> None:
    good, bad = some(desk.folder, "lowered")[0], some(desk.folder, "returned")[0]
    form = {**FORM, "action": "uphold", "record": [f"{n}.{r.content}." for n, r in (good, bad)]}
    said = shown(client.post("/rule", data=form, headers=FROM_HERE))
    assert "1 not ruled on" in said
    assert "is no occurrence" in said
    assert [e.record for e in desk.store.ledger.standing()] == [good[1].id]


def test_a_ruling_on_a_record_that_changed_is_stale(client: TestClient, desk: Desk) -> None:
    number, record = some(desk.folder, "lowered")[0]
    rule(client, number)
    path = desk.folder / "dwca" / "occurrence.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        if row["occurrenceID"] == record.id:
            row["occurrenceRemarks"] = "on a second look: something else"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    assert "Stale, and not applied" in shown(client.get(f"/record/{number}"))
    assert "Stale 1" in shown(client.get("/"))
    assert "stale: the record says something else now" in shown(client.get("/rulings"))


def test_a_new_output_in_the_folders_place_is_seen_at_once(client: TestClient, desk: Desk) -> None:
    number, record = some(desk.folder, "lowered")[0]
    rule(client, number)
    vetted(desk.folder, demo_file(), demo_file("old_cards.csv"))
    assert "1 of" in shown(client.get("/"))
    assert ids(desk.store)[record.id]
    assert len(list(records(desk.folder))) == int(
        re.search(r"1 of ([\d,]+) records", shown(client.get("/"))).group(1)  # type: ignore[union-attr]
    )
    rule(client, some(desk.folder, "lowered", 2)[1][0])
    assert len(desk.store.ledger.standing()) == 2


def test_export_is_what_vet_writes_with_the_rulings(client: TestClient, desk: Desk) -> None:
    for action, (number, _) in zip(
        ("uphold", "lower", "ask", "uphold"), some(desk.folder, "lowered", 4), strict=True
    ):
        rule(client, number, action)
    before = {p.name: p.read_bytes() for p in (desk.folder / "dwca").iterdir()}
    answer = client.post(
        "/export", headers={**FROM_HERE, "content-type": "application/x-www-form-urlencoded"}
    )
    assert "3 rulings are in it" in shown(answer)
    again = desk.folder.with_name("again")
    vetted(again, rulings=(desk.store.ledger.path,))
    for part in ("dwca", "dwc-dp"):
        names = {p.name for p in (again / part).iterdir()}
        assert names == {p.name for p in (desk.export_to / part).iterdir()}
        for name in names:
            assert (desk.export_to / part / name).read_bytes() == (again / part / name).read_bytes()
    assert (desk.export_to / "dwca.zip").read_bytes() == (again / "dwca.zip").read_bytes()
    assert (desk.export_to / "rulings.csv").read_bytes() == (again / "rulings.csv").read_bytes()
    assert {p.name: p.read_bytes() for p in (desk.folder / "dwca").iterdir()} == before


HOSTILE = '"><script>alert(1)</script>{{7*7}}'


def test_hostile_cells_are_only_words(tmp_path: Path) -> None:
    source = tmp_path / "hostile.csv"
    with source.open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(
            ["Species", "Grid ref", "Date", "Site", "Recorder", "Comments", "Photo", HOSTILE]
        )
        rows.writerow(
            [
                "D. x grandis",
                "TL6183",
                "14/06/2024",
                HOSTILE,
                HOSTILE,
                HOSTILE + " stem hollow",
                HOSTILE,
                HOSTILE,
            ]
        )
        rows.writerow(
            [HOSTILE, "TL6183", "14/06/2024", HOSTILE, HOSTILE, HOSTILE, HOSTILE, HOSTILE]
        )
    folder = vetted(tmp_path / "out", source)
    with client_of(open_desk(folder)) as client:
        form = {**FORM, "reason": HOSTILE, "by": HOSTILE, "action": "ask", "record": ["1..", "2.."]}
        client.post("/rule", data=form, headers=FROM_HERE)
        pages = ["/?state=any", "/record/1", "/record/2", "/rulings", f"/?text={HOSTILE}"]
        for page in pages:
            answer = client.get(page)
            assert answer.status_code == 200, page
            assert "<script>alert" not in answer.text, page
            assert ">49<" not in answer.text
        assert "<script>alert(1)</script>" in shown(client.get("/record/1"))


@pytest.mark.parametrize(
    "reference",
    ["../secret.jpg", "/etc/passwd", "link.jpg", "..\\secret.jpg", "text.jpg"],
)
def test_photos_come_from_the_folder_alone(tmp_path: Path, reference: str) -> None:
    photos = tmp_path / "photos"
    shutil.copytree(demo_file("photos"), photos)
    picture = next(photos.glob("*.jpg"))
    shutil.copy(picture, tmp_path / "secret.jpg")
    (photos / "link.jpg").symlink_to(tmp_path / "secret.jpg")
    (photos / "text.jpg").write_text("<script>alert(1)</script>")
    source = tmp_path / "mine.csv"
    with source.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(
            [
                ["Species", "Grid ref", "Date", "Photo"],
                ["D. x grandis", "TL6183", "14/06/2024", reference],
            ]
        )
    folder = vetted(tmp_path / "out", source)
    with client_of(open_desk(folder, photos=photos)) as client:
        assert client.get("/record/1").status_code == 200
        for number in range(3):
            answer = client.get(f"/photo/1/{number}")
            assert answer.status_code == 404
            assert "script" not in answer.text


@pytest.mark.parametrize("name", ["fen_records.csv", "old_cards.csv", "meadow_survey.xlsx"])
def test_every_record_of_the_demo_has_its_page(tmp_path: Path, name: str) -> None:
    folder = vetted(tmp_path / "out", demo_file(name))
    with client_of(open_desk(folder)) as client:
        for number, record in enumerate(records(folder), 1):
            answer = client.get(f"/record/{number}")
            assert answer.status_code == 200, record.verdict
            assert answer.text.count("<h1>") == 1
