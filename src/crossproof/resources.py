"""Where the files that ship with the package lie, in a wheel and in a checkout alike."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def folder(name: str) -> Path:
    """Return the folder `name` (`schemas` or `demo_data`).

    In an installed wheel it lies inside the package; in a checkout it stands at the top level,
    two folders above.

    Raises:
        FileNotFoundError: the package was installed without its data.
    """
    for candidate in (_PACKAGE / name, _PACKAGE.parents[1] / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(
        f"crossproof was installed without its folder {name!r}; install it again"
    )
