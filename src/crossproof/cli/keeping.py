"""The options that say what is kept back: sensitive places, and people's names."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import Any

from crossproof.cli.edge import Refused

KEY = "CROSSPROOF_KEY"  # the environment variable that may hold the key


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options to a command."""
    parser.add_argument(
        "--sensitive",
        type=Path,
        metavar="FILE.toml",
        help="sensitive plants, sites, areas and grid squares, and how coarse they are to be",
    )
    parser.add_argument(
        "--hide-localities",
        action="store_true",
        help="where a place is made coarser, take out the words of its locality too",
    )
    parser.add_argument(
        "--recorders",
        choices=("as-given", "initials", "pseudonyms"),
        default="as-given",
        help="how people's names are published",
    )
    parser.add_argument(
        "--key",
        type=Path,
        metavar="FILE",
        help=f"the secret behind pseudonyms; the environment's {KEY} if not given",
    )


def options(chosen: argparse.Namespace) -> dict[str, Any]:
    """The options as chosen, by their names in `Options`."""
    return {
        "sensitive": chosen.sensitive,
        "hide_localities": chosen.hide_localities,
        "recorders": chosen.recorders,
        "key": _key(chosen.key),
    }


def _key(path: Path | None) -> bytes:
    if path is None:
        return os.environ.get(KEY, "").strip().encode("utf-8", "surrogateescape")
    try:
        key = path.read_bytes().strip()
    except OSError as error:
        raise Refused(f"the key {path} can't be read: {error.strerror}") from None
    if not key:
        raise Refused(f"the key {path} is empty; write a secret of 16 signs or more into it")
    return key
