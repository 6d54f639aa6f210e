"""The words of the desk, from `desk.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any


@cache
def words() -> Mapping[str, Any]:
    """The phrases of the pages."""
    path = Path(__file__).with_name("desk.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))
