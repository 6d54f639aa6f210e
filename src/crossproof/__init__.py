"""crossproof holds every hybrid claim in a plant record to its evidence."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from crossproof.explaining import RowError as RowError
    from crossproof.explaining import explain as explain
    from crossproof.explanation import Explanation as Explanation
    from crossproof.parse.date import DateError as DateError
    from crossproof.parse.date import parse_date as parse_date
    from crossproof.parse.name import parse_name as parse_name
    from crossproof.parse.place import PlaceError as PlaceError
    from crossproof.parse.place import parse_place as parse_place
    from crossproof.parse.remark import parse_remark as parse_remark
    from crossproof.pipeline import Vetting as Vetting
    from crossproof.pipeline import vet as vet
    from crossproof.pipeline import vet_frame as vet_frame

_HOME = {
    "DateError": "parse.date",
    "Explanation": "explanation",
    "PlaceError": "parse.place",
    "RowError": "explaining",
    "Vetting": "pipeline",
    "explain": "explaining",
    "parse_date": "parse.date",
    "parse_name": "parse.name",
    "parse_place": "parse.place",
    "parse_remark": "parse.remark",
    "vet": "pipeline",
    "vet_frame": "pipeline",
}

__all__ = sorted(_HOME)
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    """Import a public name on first use, so that `import crossproof` costs next to nothing."""
    if name in _HOME:
        return getattr(import_module(f"crossproof.{_HOME[name]}"), name)
    raise AttributeError(f"module 'crossproof' has no attribute {name!r}")


def __dir__() -> list[str]:
    return [*__all__, "__version__"]
