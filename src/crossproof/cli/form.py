"""`crossproof form`: a recording form for one group."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.cli.edge import DONE, Refused, refusals

if TYPE_CHECKING:
    from crossproof.rulebooks.model import Rulebook

GROUP = "dactylorhiza"


def add(commands: Any) -> None:
    """Add the command to the parser."""
    form = commands.add_parser("form", help="a recording form with the states to choose from")
    form.add_argument(
        "file",
        type=Path,
        help="the form to write: .xlsx to fill in on a screen, .html to print and take along",
    )
    form.add_argument(
        "--rulebook",
        default=GROUP,
        metavar="NAME",
        help=f"the group: a rulebook's id, or a rulebook of your own ({GROUP})",
    )
    form.set_defaults(run=_form)


def _form(chosen: argparse.Namespace) -> int:
    path: Path = chosen.file
    kind = path.suffix.casefold()
    if kind not in (".xlsx", ".html"):
        raise Refused(f"{path} names no kind of form; end it in .xlsx or .html")
    if path.exists():
        raise Refused(f"{path} is there already, and may have been filled in; name another file")
    book = _rulebook(chosen.rulebook)
    with refusals(), tempfile.TemporaryDirectory(dir=path.absolute().parent) as workshop:
        draft = Path(workshop) / f"form{kind}"
        if kind == ".xlsx":
            from crossproof.kit.form import write_form

            write_form(draft, book)
        else:
            from crossproof.kit.field_sheet import write_field_sheet

            write_field_sheet(draft, book)
        draft.replace(path)
    print(f"Written: {path}, for {book.title}")
    if kind == ".xlsx":
        print(f"Fill in its first sheet, then: crossproof vet {path} --out vetted --rows")
    else:
        print("Open it in a browser, and print it on A4, landscape.")
    return DONE


def _rulebook(name: str) -> Rulebook:
    from crossproof.rulebooks.check import load_checked
    from crossproof.rulebooks.load import shipped_rulebook

    path = Path(name)
    try:
        with refusals():
            return load_checked(path) if path.is_file() else shipped_rulebook(name)
    except KeyError:
        raise Refused(f"there is no rulebook {name!r}; see 'crossproof rulebook list'") from None
