"""Hold any Darwin Core archive or data package against its standard."""

from __future__ import annotations

from pathlib import Path

from crossproof.darwincore.conform.problem import Problem, rules
from crossproof.darwincore.conform.unpack import UnpackError, opened

__all__ = ["Problem", "check", "rules"]


def check(path: Path | str) -> list[Problem]:
    """Return every breach of the text guide's or the package guide's rules, in file order.

    `path` is a folder, a zip file or a gzipped tar file, ours or not; nothing in it is trusted and
    nothing is fetched. What cannot be opened at all is one problem, never an exception.
    """
    path = Path(path)
    try:
        with opened(path) as folder:
            return _check(path, folder)
    except UnpackError as error:
        return [Problem(rule="unpacking", file=path.name, message=str(error))]


def _check(path: Path, folder: Path) -> list[Problem]:
    if (folder / "datapackage.json").is_file():
        from crossproof.darwincore.conform.package import check_package

        return list(check_package(folder, packed=path if path.is_file() else None))
    if (folder / "meta.xml").is_file():
        from crossproof.darwincore.conform.archive import check_archive

        return list(check_archive(folder))
    if (folder / "datapackage.json.gz").is_file():
        message = "datapackage.json is compressed on its own; it must not be"
        return [Problem(rule="compression", file="datapackage.json.gz", message=message)]
    message = "there is neither meta.xml nor datapackage.json: no archive, no data package"
    return [Problem(rule="kind", file=path.name, message=message)]
