"""`crossproof letters`: to each recorder, what was made of the records and what they lack."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof.cli.edge import DONE, Refused, mapping, refusals

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from crossproof.rulebooks.model import Rulebook

OUT = Path("letters")


def add(commands: Any) -> None:
    """Add the command to the parser."""
    letters = commands.add_parser(
        "letters", help="a letter to each recorder: what was upheld, what is lacking, when to look"
    )
    letters.add_argument("folder", type=Path, metavar="DIR", help="a folder that `vet` wrote")
    letters.add_argument(
        "--out", type=Path, default=OUT, metavar="DIR", help=f"the folder to write ({OUT})"
    )
    letters.add_argument(
        "--sender", default="", metavar="NAME", help="who signs the letters, with place or post"
    )
    letters.add_argument(
        "--submission",
        nargs="+",
        type=Path,
        default=[],
        metavar="FILE",
        help="the files that were vetted: gives recorders the exact places of their own records, "
        "and their names, where the folder keeps these back",
    )
    letters.add_argument(
        "--mapping", type=Path, metavar="FILE.toml", help="as given to `vet`, for --submission"
    )
    letters.add_argument(
        "--rulebook",
        action="append",
        default=[],
        type=Path,
        metavar="FILE.toml",
        help="a rulebook of your own, as given to `vet`",
    )
    letters.set_defaults(run=_letters)


def _letters(chosen: argparse.Namespace) -> int:
    with refusals():
        from crossproof.folder import whole_folder
        from crossproof.kit.correspondence import correspondence
        from crossproof.kit.letters import write_letters

        post = correspondence(chosen.folder, _originals(chosen))
        if not post.recorders:
            raise Refused(
                f"no record of {chosen.folder} names a recorder who could be written to; were "
                "names kept back (--recorders)? Then give the files themselves with --submission"
            )
        inputs = (chosen.folder, *chosen.submission)
        with whole_folder(chosen.out, inputs=inputs) as draft:
            write_letters(draft, post, _rulebooks(chosen.rulebook), chosen.sender)
    count = len(post.recorders)
    print(f"{count:,} letter{'' if count == 1 else 's'} written to {chosen.out}, each twice")
    print("  letters.csv      a row for each, for mail merge; no places")
    print("  *.html, *.txt    the letters: a recorder's own records, and nobody else's")
    if post.nameless:
        records = "record names" if post.nameless == 1 else "records name"
        print(f"{post.nameless:,} {records} nobody to write to: blank, initials or a pseudonym")
    return DONE


def _originals(chosen: argparse.Namespace) -> Mapping[tuple[str, str, str], Any] | None:
    if not chosen.submission:
        return None
    from crossproof.kit.originals import originals
    from crossproof.options import Options

    options = Options(mapping=mapping(chosen.mapping), rulebooks=tuple(chosen.rulebook))
    return originals(chosen.submission, options)


def _rulebooks(own: Sequence[Path]) -> list[Rulebook]:
    from crossproof.rulebooks.check import load_checked
    from crossproof.rulebooks.load import shipped

    books = {book.id: book for book in (*shipped(), *map(load_checked, own))}
    return [*books.values()]
