"""Whatever happened to a file on its way, reading gives rows or one sentence, never a traceback."""

from __future__ import annotations

import random
import zipfile
from pathlib import Path

import pytest
from test_archive import FILES

from crossproof.read import Unreadable, chunks

MESSY = Path(__file__).parents[1] / "messy"


def archive() -> bytes:
    import io

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as members:
        for name, content in FILES.items():
            members.writestr(name, content)
    return out.getvalue()


def parquet() -> bytes:
    import pyarrow as pa
    import pyarrow.parquet as pq

    sink = pa.BufferOutputStream()
    pq.write_table(pa.table({"species": ["A", "B"] * 20, "n": list(range(40))}), sink)
    return sink.getvalue().to_pybytes()


def damage(data: bytes, dice: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(dice.randint(1, 10)):
        place = dice.randrange(len(out))
        match dice.randrange(4):
            case 0:
                del out[place : place + dice.randint(1, 20)]
            case 1:
                out[place:place] = dice.randbytes(dice.randint(1, 8))
            case _:
                out[place] = dice.randrange(256)
    return bytes(out)


@pytest.mark.parametrize(
    ("source", "times"),
    [
        ("comma.csv", 150),
        ("utf16_le.csv", 150),
        ("locked.xlsx", 20),
        ("book.xlsx", 12),
        ("book.xls", 12),
        ("book.ods", 12),
        (archive, 100),
        (parquet, 60),
    ],
)
def test_a_damaged_file(source, times: int, tmp_path: Path) -> None:
    whole = (MESSY / source).read_bytes() if isinstance(source, str) else source()
    dice = random.Random(11)
    path = tmp_path / "records"
    refused = 0
    for _ in range(times):
        path.write_bytes(damage(whole, dice))
        try:
            for piece in chunks(path, extra_headings={"leaf": ["leaves"]}):
                assert {len(column) for column in piece.columns} <= {len(piece)}
        except Unreadable as sentence:
            assert str(sentence).endswith(".")
            assert "\n" not in str(sentence)
            refused += 1
    assert refused, "no damage was ever noticed"
