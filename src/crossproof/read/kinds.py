"""Tell what a file is from its first bytes; its name counts for nothing."""

from __future__ import annotations

import mmap
import re
from pathlib import Path
from typing import Literal

from crossproof.read.encoding import utf_16
from crossproof.read.errors import Unreadable
from crossproof.read.safezip import open_zip

Kind = Literal["delimited", "workbook", "parquet", "archive", "package"]

_OLE2 = bytes.fromhex("d0cf11e0a1b11ae1")
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_FOREIGN: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG\r\n", "a PNG picture"),
    (b"\xff\xd8\xff", "a JPEG picture"),
    (b"GIF8", "a GIF picture"),
    (b"II*\0", "a TIFF picture"),
    (b"MM\0*", "a TIFF picture"),
    (b"8BPS", "a Photoshop picture"),
    (b"%PDF", "a PDF document"),
    (b"{\\rtf", "a rich-text document"),
    (b"\x1f\x8b", "a gzip-compressed file: unpack it first"),
    (b"BZh", "a bzip2-compressed file: unpack it first"),
    (b"\xfd7zXZ\0", "an xz-compressed file: unpack it first"),
    (b"7z\xbc\xaf\x27\x1c", "a 7-Zip archive: unpack it first"),
    (b"Rar!", "a RAR archive: unpack it first"),
    (b"SQLite format 3\0", "a database"),
    (b"\0\x01\0\0Standard", "a database"),
    (b"\x7fELF", "a program"),
    (b"MZ\x90\0", "a program"),
    (b"ID3", "a sound recording"),
    (b"OggS", "a sound recording"),
    (b"\x1aE\xdf\xa3", "a film"),
    (b"ARROW1", "an Arrow file: save it as Parquet"),
)
_MARKUP = re.compile(rb"\s*<(?:!doctype html|html|\?xml|[a-z]+[\s>])", re.IGNORECASE)
_JSON = re.compile(rb"\s*(?:\{\s*\"|\[\s*[\[{])")
_WANTED = "give the table itself: CSV, XLSX, XLS, ODS, Parquet or a Darwin Core archive."


def kind(path: Path) -> Kind:
    """What sort of table a file holds.

    Raises:
        Unreadable: empty, locked by a password, or not a table at all.
    """
    try:
        file = path.open("rb")
    except OSError as error:
        raise Unreadable(
            f"{path} can't be opened ({error.strerror}); check that you may read it."
        ) from None
    with file:
        start = file.read(8192)
    if not start:
        raise Unreadable(f"{path.name} is empty; export it again from where it was made.")
    if start.startswith(_OLE2):
        return _ole2(path)
    if start.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _zip(path)
    if start.startswith(b"PAR1"):
        return "parquet"
    if foreign := _foreign(start):
        raise Unreadable(f"{path.name} holds {foreign}, not a table; {_WANTED}")
    return "delimited"


def _foreign(start: bytes) -> str:
    for mark, words in _FOREIGN:
        if start.startswith(mark):
            return words
    if start[:4] == b"RIFF" and start[8:12] == b"WEBP":
        return "a WebP picture"
    if start[:4] == b"RIFF":
        return "a sound recording or film"
    if start[:2] == b"BM" and start[6:10] == b"\0\0\0\0":
        return "a BMP picture"
    if start[4:8] == b"ftyp":
        return "a HEIC picture or film"
    text = start.removeprefix(b"\xef\xbb\xbf")
    if _MARKUP.match(text):
        return "a web page or XML"
    if _JSON.match(text):
        return "JSON"
    if utf_16(start):
        return ""
    # Text has no NUL, and hardly a control character but those that lay it out.
    controls = len(start.translate(None, delete=_TEXT_BYTES))
    return "binary data" if 0 in start or controls > 4 + len(start) * 0.01 else ""


_TEXT_BYTES = bytes([*range(8, 14), 0x1A, 0x1B, *range(32, 256)])


def _ole2(path: Path) -> Kind:
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
        if data.find(_ENCRYPTED) >= 0:
            raise locked(path.name)
    return "workbook"


def _zip(path: Path) -> Kind:
    with open_zip(path) as archive:
        names = archive.namelist()
    if any(name.startswith("xl/workbook.") for name in names) or "content.xml" in names:
        return "workbook"
    if any(re.fullmatch(r"(?:[^/]+/)?meta\.xml", name) for name in names):
        return "archive"
    if any(re.fullmatch(r"(?:[^/]+/)?datapackage\.json", name) for name in names):
        return "package"
    raise Unreadable(
        f"{path.name} is a zip file without a meta.xml, so it is no Darwin Core archive; unpack it "
        "and give the tables inside."
    )


def locked(name: str) -> Unreadable:
    return Unreadable(
        f"{name} is locked with a password; open it in a spreadsheet program, save it without one "
        "and give that."
    )
