"""Whose letter a record belongs to, and the file that the letter goes by."""

from __future__ import annotations

import hashlib
import re
import unicodedata

from crossproof.sensitive.people import names_in

# As `--recorders` publishes people: two may share initials, and nobody can be written to by a
# pseudonym.
_KEPT_BACK = re.compile(r"recorder-[a-z2-7]{16}|(?:\w\.[ -]?)+")
_LONGEST = 60  # signs of a name in a file name


def recorders(cell: str) -> tuple[str, ...]:
    """The people of a recorder's cell, each of whom gets the letter.

    `A & B`, `A; B`, `A and B` and the like are two people (see `names_in`). Names that say no more
    than initials or a pseudonym are left out.
    """
    return tuple(n for n in dict.fromkeys(names_in(cell)) if not _KEPT_BACK.fullmatch(n))


def key(name: str) -> str:
    """What makes two spellings one person: neither case, nor spaces, nor full stops matter."""
    return " ".join(unicodedata.normalize("NFKC", name).replace(".", " ").casefold().split())


def file_stem(name: str) -> str:
    """A file name without its ending: letters, digits and hyphens only, and never two people's.

    Whatever a name holds (slashes, dots, other scripts), nothing of it leads to another folder;
    the digits at the end come from the whole name.
    """
    plain = unicodedata.normalize("NFKD", key(name)).encode("ascii", "ignore").decode()
    words = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:_LONGEST].strip("-")
    digits = hashlib.sha256(key(name).encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{words}-{digits}" if words else f"recorder-{digits}"
