"""`crossproof rulebook`: what is known of a group, and a check of your own."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from crossproof.cli.edge import DONE, UNUSABLE, Refused, refusals


def add(commands: Any) -> None:
    """Add the command to the parser."""
    rulebook = commands.add_parser("rulebook", help="what is known of a group; check your own")
    actions = rulebook.add_subparsers(title="actions", metavar="ACTION", required=True)
    actions.add_parser("list", help="the rulebooks that ship").set_defaults(run=_list)
    show = actions.add_parser("show", help="one rulebook in words")
    show.add_argument("name", help="its id, or a file")
    show.set_defaults(run=_show)
    check = actions.add_parser("check", help="check a rulebook of your own")
    check.add_argument("file", type=Path, help="the rulebook, a TOML file")
    check.set_defaults(run=_check)


def _list(_: argparse.Namespace) -> int:
    from crossproof.rulebooks.load import shipped

    for book in shipped():
        print(f"{book.id:<14} {book.version:<7} {len(book.hybrids):>3} hybrids  {book.title}")
    return DONE


def _show(chosen: argparse.Namespace) -> int:
    from crossproof.rulebooks.check import load_checked
    from crossproof.rulebooks.load import shipped_rulebook
    from crossproof.rulebooks.show import lines

    path = Path(chosen.name)
    try:
        with refusals():
            book = load_checked(path) if path.is_file() else shipped_rulebook(chosen.name)
    except KeyError:
        raise Refused(
            f"there is no rulebook {chosen.name!r}; see 'crossproof rulebook list'"
        ) from None
    print("\n".join(lines(book)))
    return DONE


def _check(chosen: argparse.Namespace) -> int:
    from crossproof.rulebooks.check import problems

    if not chosen.file.is_file():
        raise Refused(f"there is no file {chosen.file}; give the path of a rulebook")
    found = problems(chosen.file)
    for problem in found:
        print(problem)
    if any(problem.severity == "error" for problem in found):
        return UNUSABLE
    print(f"{chosen.file} can be used" + (", with the warnings above" if found else ""))
    return DONE
