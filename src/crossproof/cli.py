"""The commands: arguments in, exit code out, no logic."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING, Any

from crossproof import __version__

if TYPE_CHECKING:
    from crossproof.options import Options

DONE, STRICT, UNUSABLE = 0, 1, 2

_STORY = """\
crossproof holds every hybrid claim in plant records to its evidence: which leaves, which stem,
which photo? Claims that hold are kept, claims that don't are lowered to the aggregate, and all
goes out as Darwin Core with the reasons on it.

Try it on the data that ships:      crossproof demo
Judge a submission:                 crossproof vet records.xlsx --out vetted
See what a claim needs:             crossproof rulebook show dactylorhiza
"""
_EXITS = """\
exit codes: 0 done; 1 done, and --strict was given and something was lowered, contested or
returned; 2 the command or the input cannot be used
"""


class Refused(Exception):
    """A run that cannot be done; the message is one sentence for the user."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command, and return its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a terminal without × gets \xd7, not a traceback
            stream.reconfigure(errors="backslashreplace")
    parser = _parser()
    chosen = parser.parse_args(arguments)
    if not hasattr(chosen, "run"):
        parser.print_help()
        return DONE
    try:
        code: int = chosen.run(chosen)
        sys.stdout.flush()
    except BrokenPipeError:  # whoever read our output has read enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except Refused as refusal:
        print(f"crossproof: {refusal}", file=sys.stderr)
        return UNUSABLE
    except KeyboardInterrupt:
        print("crossproof: stopped; nothing was left half-written", file=sys.stderr)
        return UNUSABLE
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="crossproof",
        description=_STORY,
        epilog=_EXITS,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"crossproof {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _add_vet(commands)
    _add_demo(commands)
    _add_rulebook(commands)
    return parser


def _add_vet(commands: Any) -> None:
    vet = commands.add_parser("vet", help="judge a submission, write its Darwin Core and a report")
    vet.add_argument(
        "submission",
        nargs="+",
        type=Path,
        help="CSV, TSV, XLSX, XLS, ODS, Parquet or a Darwin Core archive",
    )
    vet.add_argument("--out", required=True, type=Path, metavar="DIR", help="the folder to write")
    vet.add_argument(
        "--mapping", type=Path, metavar="FILE.toml", help="which heading holds which field"
    )
    vet.add_argument(
        "--metadata",
        type=Path,
        metavar="FILE.toml",
        help="title, contacts and licence of the data set",
    )
    vet.add_argument(
        "--rulebook",
        action="append",
        default=[],
        type=Path,
        metavar="FILE.toml",
        help="a rulebook of your own, besides those that ship",
    )
    vet.add_argument(
        "--photos",
        type=Path,
        metavar="DIR",
        help="look photos up here, and check them",
    )
    vet.add_argument(
        "--needs",
        choices=("default", "strict"),
        default="default",
        help="strict: the tiers of practice",
    )
    vet.add_argument(
        "--specialist",
        action="append",
        default=[],
        metavar="NAME",
        help="a determiner whose word counts as a specialist's",
    )
    vet.add_argument(
        "--date",
        default="",
        metavar="YYYY-MM-DD",
        help="the day of issue, for determinations and metadata",
    )
    vet.add_argument(
        "--occurrence-status",
        choices=("present", "detected"),
        help="one word for occurrenceStatus in both outputs",
    )
    vet.add_argument(
        "--check",
        action="store_true",
        help="hold the tables written against their schemas, whatever their size",
    )
    vet.add_argument(
        "--strict",
        action="store_true",
        help="exit 1 if anything was lowered, contested or returned",
    )
    vet.add_argument("--json", action="store_true", help="print the summary as JSON")
    vet.set_defaults(run=_vet)


def _add_demo(commands: Any) -> None:
    demo = commands.add_parser("demo", help="all of it, on the data that ships")
    demo.add_argument("--out", type=Path, default=Path("crossproof-demo"), metavar="DIR")
    demo.add_argument("--json", action="store_true", help="print the summary as JSON")
    demo.set_defaults(run=_demo)


def _add_rulebook(commands: Any) -> None:
    rulebook = commands.add_parser("rulebook", help="what is known of a group; check your own")
    actions = rulebook.add_subparsers(title="actions", metavar="ACTION", required=True)
    actions.add_parser("list", help="the rulebooks that ship").set_defaults(run=_rulebook_list)
    show = actions.add_parser("show", help="one rulebook in words")
    show.add_argument("name", help="its id, or a file")
    show.set_defaults(run=_rulebook_show)
    check = actions.add_parser("check", help="check a rulebook of your own")
    check.add_argument("file", type=Path)
    check.set_defaults(run=_rulebook_check)


def _vet(chosen: argparse.Namespace) -> int:
    options = _options(chosen)
    return _run_vet(chosen.submission, chosen.out, options, chosen.json, chosen.strict)


def _options(chosen: argparse.Namespace) -> Options:
    from crossproof.options import Options

    word = chosen.occurrence_status
    return Options(
        mapping=_mapping(chosen.mapping),
        rulebooks=tuple(chosen.rulebook),
        strict_needs=chosen.needs == "strict",
        specialists=tuple(chosen.specialist),
        metadata=chosen.metadata,
        photos=_folder(chosen.photos),
        issued=_day(chosen.date),
        status_words=(word, word) if word else ("present", "detected"),
        validate="always" if chosen.check else "auto",
    )


def _day(text: str) -> str:
    """A day as ISO 8601 writes it, '' where none is given."""
    try:
        return date.fromisoformat(text).isoformat() if text else ""
    except ValueError:
        raise Refused(f"--date {text} is not a date; write it as 2026-06-14") from None


def _folder(path: Path | None) -> Path | None:
    if path is not None and not path.is_dir():
        raise Refused(f"there is no folder {path}; give the folder that holds the photos")
    return path


def _mapping(path: Path | None) -> dict[str, str] | None:
    if path is None:
        return None
    from crossproof.read import Unreadable, load_mapping

    try:
        return dict(load_mapping(path))
    except Unreadable as error:
        raise Refused(str(error)) from None


def _run_vet(
    paths: Sequence[Path], out: Path, options: Options, as_json: bool, strict: bool
) -> int:
    from crossproof.darwincore.metadata import MetadataError
    from crossproof.folder import FolderRefused
    from crossproof.pipeline import vet_to
    from crossproof.read import Unreadable
    from crossproof.report.terminal import summary_lines
    from crossproof.rulebooks.check import RulebookError

    try:
        with _progress("vetting") as advance:
            summary = vet_to(paths, out, options, advance)
    except (Unreadable, FolderRefused, MetadataError, RulebookError) as error:
        raise Refused(str(error)) from None
    except OSError as error:
        where = f" ({error.filename})" if error.filename else ""
        raise Refused(f"writing failed{where}: {error.strerror}; nothing was left behind") from None
    if as_json:
        print(json.dumps(summary, ensure_ascii=False, indent=2))
    else:
        print("\n".join(summary_lines(summary, out)))
    doubtful = sum(summary["outcomes"][o] for o in ("lowered", "contested", "returned"))
    return STRICT if strict and doubtful else DONE


@contextmanager
def _progress(title: str) -> Iterator[Callable[[int], None]]:
    """A progress line on a terminal; nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda rows: None
        return
    from rich.console import Console
    from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (
        SpinnerColumn(),
        TextColumn("{task.description}"),
        TextColumn("{task.completed:,.0f} rows"),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(title, total=None)
        yield lambda rows: bar.advance(task, rows)


def _demo(chosen: argparse.Namespace) -> int:
    from crossproof.demo import options, submission

    return _run_vet(submission(), chosen.out, options(), chosen.json, strict=False)


def _rulebook_list(_: argparse.Namespace) -> int:
    from crossproof.rulebooks.load import shipped

    for book in shipped():
        print(f"{book.id:<14} {book.version:<7} {len(book.hybrids):>3} hybrids  {book.title}")
    return DONE


def _rulebook_show(chosen: argparse.Namespace) -> int:
    from crossproof.rulebooks.check import RulebookError, load_checked
    from crossproof.rulebooks.load import shipped_rulebook
    from crossproof.rulebooks.show import lines

    try:
        path = Path(chosen.name)
        book = load_checked(path) if path.is_file() else shipped_rulebook(chosen.name)
    except RulebookError as error:
        raise Refused(str(error)) from None
    except KeyError:
        raise Refused(
            f"there is no rulebook {chosen.name!r}; see 'crossproof rulebook list'"
        ) from None
    print("\n".join(lines(book)))
    return DONE


def _rulebook_check(chosen: argparse.Namespace) -> int:
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
