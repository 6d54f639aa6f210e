"""The demonstration: the data that ships, and how it is judged."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from crossproof.options import Options
from crossproof.resources import folder

ISSUED = "2026-11-25"


def submission() -> list[Path]:
    """The submissions of the demonstration, as recorders sent them."""
    home = folder("demo_data")
    return [home / name for name in ("fen_records.csv", "meadow_survey.xlsx", "old_cards.csv")]


def options() -> Options:
    """How the demonstration is judged: on a fixed day, so that it gives the same bytes always."""
    return Options(
        metadata=folder("demo_data") / "dataset.toml",
        issued=ISSUED,
        today=date.fromisoformat(ISSUED),
    )
