"""The options that say how records are judged, which several commands share."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from crossproof.cli.edge import Refused, existing_folder, mapping

if TYPE_CHECKING:
    from crossproof.options import Options

NEAR_KM = 2.0  # common practice, no published source
YEARS = 10  # the same


def add(parser: argparse.ArgumentParser) -> None:
    """Add the options to a command."""
    parser.add_argument(
        "--mapping", type=Path, metavar="FILE.toml", help="which heading holds which field"
    )
    parser.add_argument(
        "--rulebook",
        action="append",
        default=[],
        type=Path,
        metavar="FILE.toml",
        help="a rulebook of your own, besides those that ship",
    )
    parser.add_argument(
        "--photos",
        type=Path,
        metavar="DIR",
        help="look photos up here, and check them",
    )
    parser.add_argument(
        "--needs",
        choices=("default", "strict"),
        default="default",
        help="strict: the tiers of practice",
    )
    parser.add_argument(
        "--specialist",
        action="append",
        default=[],
        metavar="NAME",
        help="a determiner whose word counts as a specialist's",
    )
    parser.add_argument(
        "--setting",
        default="",
        metavar="NAME",
        help="the setting whose shares 'support' starts from, such as fen; "
        "a record's own column 'setting' comes first",
    )
    parser.add_argument(
        "--parents-near",
        nargs="?",
        type=float,
        const=NEAR_KM,
        metavar="KM",
        help=f"look for both parents of each cross in the same data, this near ({NEAR_KM:g} km)",
    )
    parser.add_argument(
        "--parents-years",
        type=int,
        default=YEARS,
        metavar="N",
        help=f"how many years may lie between a cross and its parents ({YEARS})",
    )
    parser.add_argument(
        "--parents-list",
        action="append",
        default=[],
        type=Path,
        metavar="FILE",
        help="look for the parents in these records as well; any file that can be submitted",
    )


def options(chosen: argparse.Namespace) -> Options:
    """The options as chosen."""
    from crossproof.options import Options

    return Options(
        mapping=mapping(chosen.mapping),
        rulebooks=tuple(chosen.rulebook),
        photos=existing_folder(chosen.photos),
        strict_needs=chosen.needs == "strict",
        specialists=tuple(chosen.specialist),
        setting=chosen.setting,
        parents_near_km=_near(chosen),
        parents_years=chosen.parents_years,
        parents_lists=tuple(chosen.parents_list),
    )


def _near(chosen: argparse.Namespace) -> float | None:
    if chosen.parents_years < 0:
        raise Refused("--parents-years counts years, so it cannot be less than 0")
    near: float | None = chosen.parents_near
    if near is None:
        return NEAR_KM if chosen.parents_list else None
    if not 0 < near <= 100:
        raise Refused(f"--parents-near {near:g} is no distance to look in; give 0 to 100 km")
    return near
