"""Open a zip file that a stranger sent: no path that climbs out, no bomb."""

from __future__ import annotations

import zipfile
from pathlib import Path, PurePosixPath

from crossproof.read.errors import Unreadable

# Text of records shrinks to a tenth, the XML of a repetitive sheet to a fiftieth; deflate's limit
# is about a thousandth. From memory and measurement, no published source.
MOST_RATIO = 250
RATIO_FROM = 32 * 2**20  # bytes unpacked; smaller members do no harm whatever their ratio
MOST_MEMBERS = 10_000
MOST_BYTES = 200 * 2**30  # of all members, unpacked; they are streamed


def open_zip(path: Path) -> zipfile.ZipFile:
    """Open a zip file after looking at its list of members.

    The sizes listed hold: zipfile reads no member beyond its listed size.

    Raises:
        Unreadable: damaged, encrypted, a path that leads outside, or a bomb.
    """
    try:
        archive = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, OSError, ValueError) as error:
        raise Unreadable(f"{path.name} is damaged ({error}); copy or download it again.") from None
    try:
        check_members(path.name, archive.infolist())
    except Unreadable:
        archive.close()
        raise
    return archive


def check_members(name: str, members: list[zipfile.ZipInfo]) -> None:
    """Refuse a list of members that no honest program writes.

    Raises:
        Unreadable: says which member and why.
    """
    if len(members) > MOST_MEMBERS:
        raise Unreadable(f"{name} holds more than {MOST_MEMBERS} files; give the tables alone.")
    if sum(member.file_size for member in members) > MOST_BYTES:
        raise Unreadable(f"{name} would unpack to more than 200 GiB; give it in parts.")
    for member in members:
        if climbs(member.filename):
            raise Unreadable(
                f"{name} holds a file that would land outside its folder ({member.filename!r}); "
                "it was not opened. Ask its sender how it was made."
            )
        if member.flag_bits & 1:
            raise Unreadable(f"{name} is locked with a password; give it without one.")
        if member.file_size > RATIO_FROM and member.file_size > MOST_RATIO * max(
            member.compress_size, 1
        ):
            raise Unreadable(
                f"{name} holds a file that would unpack to {MOST_RATIO} times its size and more "
                f"({member.filename!r}); it was not opened. Unpack it yourself if you trust it."
            )


def check_contents(archive: zipfile.ZipFile, name: str) -> None:
    """Read every member once, for a program that will not check the sizes listed.

    Raises:
        Unreadable: a member is damaged or not of its listed size.
        zipfile.BadZipFile, zlib.error: likewise.
    """
    damaged = archive.testzip()
    if damaged:
        raise Unreadable(f"{name} is damaged ({damaged}); copy or download it again.")


def climbs(path: str) -> bool:
    """Whether a path inside an archive leads out of it."""
    posix = path.replace("\\", "/")
    return posix.startswith("/") or ".." in PurePosixPath(posix).parts or posix[1:2] == ":"
