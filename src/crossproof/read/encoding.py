"""Tell a text file's encoding from its bytes, looking at all of them."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import BinaryIO

import numpy as np

_BLOCK = 1 << 16  # bytes; small enough to stay in cache
_ENTITY = re.compile(rb"&#?\w{2,8};")
_MARKS = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


_BEYOND_ASCII = 128
# UTF-8 of the signs that stand at the beginning of damaged text (see repair.py).
_DAMAGED = tuple(sign.encode() for sign in "ÂÃÄÅâï¬√‚┬├ÔÎžЧ◊\ufffd")


@dataclass(frozen=True, slots=True)
class Encoding:
    """A codec's name and the error handler to open a file with.

    `assumed` names the encoding in words where nothing in the file states it. `sound` is true
    where the file's bytes show no sign of a wrong encoding, so that no cell needs to be looked at.
    """

    codec: str
    errors: str = "strict"
    assumed: str = ""
    sound: bool = False


def detect(opener: Callable[[], BinaryIO]) -> Encoding:
    """Work out the encoding of the file that `opener` opens.

    A byte order mark is believed. Without one the file is UTF-16 if every other byte of its
    beginning is mostly NUL, UTF-8 if all of it is valid UTF-8, and Windows-1252 otherwise; so one
    late × of Windows-1252 after any amount of ASCII is seen. Reads in blocks, in flat memory.
    """
    with opener() as file:
        start = file.read(_BLOCK)
        if codec := utf_16(start):
            marked = codec in ("utf-16", "utf-32")
            return Encoding(codec, assumed="" if marked else "UTF-16 without a byte order mark")
        decoder = codecs.getincrementaldecoder("utf-8")()
        sound = True
        block = start
        try:
            while block:
                cut = decoder.getstate()[0]  # a character that the last block's end cut in two
                if cut or not block.isascii():
                    decoder.decode(block)
                    signs = np.frombuffer(cut + block, dtype=np.uint8)
                    beyond = signs[signs >= _BEYOND_ASCII].tobytes()
                    sound = sound and not any(lead in beyond for lead in _DAMAGED)
                sound = sound and not (b"&" in block and _ENTITY.search(block))
                block = file.read(_BLOCK)
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            return Encoding("cp1252", errors=_LENIENT, assumed="Windows-1252")
    marked = start.startswith(codecs.BOM_UTF8)
    return Encoding("utf-8-sig" if marked else "utf-8", sound=sound)


def utf_16(start: bytes) -> str:
    """The codec of a file that begins like UTF-16 or UTF-32, empty if it does not."""
    for mark, codec in _MARKS:
        if start.startswith(mark):
            return codec
    start = start[:4096]
    pairs = len(start) // 2
    even, odd = start[::2].count(0), start[1::2].count(0)
    if pairs and odd > pairs * 0.6 and even < pairs * 0.05:
        return "utf-16-le"
    if pairs and even > pairs * 0.6 and odd < pairs * 0.05:
        return "utf-16-be"
    return ""


# Five bytes have no character in Windows-1252. Like the WHATWG Encoding Standard's windows-1252
# they are read as the control characters of the same number, so that no byte is lost.
_LENIENT = "crossproof.controls"


def _as_controls(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeDecodeError):
        raise error
    return "".join(map(chr, error.object[error.start : error.end])), error.end


codecs.register_error(_LENIENT, _as_controls)
