"""A vetted folder to try the desk on, and a desk over it."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from crossproof.desk.app import make_app
from crossproof.desk.desk import Desk
from crossproof.desk.store import Store
from crossproof.options import Options
from crossproof.pipeline import vet_to
from crossproof.resources import folder as shipped_folder
from crossproof.rulings.records import OutputRecord, records

PORT = 8123
HOME = f"http://127.0.0.1:{PORT}"
TOKEN = "a-token-for-tests"
FORM = {"by": "Ann Example", "on": "2026-06-14", "reason": "seen at the visit"}
FROM_HERE = {"origin": HOME, "sec-fetch-site": "same-origin"}


def demo_file(name: str = "fen_records.csv") -> Path:
    return shipped_folder("demo_data") / name


def vetted(out: Path, *files: Path, **options: object) -> Path:
    """Vet files (the demo's own if none) into `out`."""
    chosen = Options(issued="2026-06-01", quality=False, validate="never", **options)  # type: ignore[arg-type]
    vet_to([*files] or [demo_file()], out, chosen)
    return out


def client_of(desk: Desk) -> TestClient:
    """A browser that has opened the desk with its token."""
    app = make_app(desk, token=TOKEN, port=PORT)
    client = TestClient(app, base_url=HOME, follow_redirects=True)
    assert client.get("/", params={"token": TOKEN}).status_code == 200
    return client


def some(folder: Path, outcome: str, count: int = 1) -> list[tuple[int, OutputRecord]]:
    """The first records with an outcome, each with its number in the index."""
    found = [(n, r) for n, r in enumerate(records(folder), 1) if r.verdict["outcome"] == outcome]
    return found[:count]


def ids(store: Store) -> dict[str, int]:
    with store.open() as connection:
        return dict(connection.execute("SELECT occurrence, id FROM record"))
