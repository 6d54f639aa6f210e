"""What one operand of a name was read as."""

from __future__ import annotations

from typing import NamedTuple

from crossproof.parse.names.index import Genus, Ref
from crossproof.parse.names.tokens import Token


class Reading(NamedTuple):
    """What one operand was read as.

    `refs` holds one taxon, or more where the words may mean either. Outside the rulebooks
    `outside` holds the Latin name. `written` is the name with a subspecies or variety that the
    rulebook doesn't list. `rest` are the words after the name. A named tuple, for one is made for
    every word tried, and a frozen dataclass costs four times as much.
    """

    refs: tuple[Ref, ...] = ()
    outside: str = ""
    written: str = ""
    rank: str = ""
    genus: tuple[Genus, ...] = ()
    noth: bool = False  # the epithet belongs to a nothospecies
    english: tuple[str, ...] = ()
    rest: tuple[Token, ...] = ()
    notes: tuple[str, ...] = ()
    problem: str = ""
    shared: str = ""  # by its initial it may also be this plant outside: Prunella vulgaris

    @property
    def ref(self) -> Ref | None:
        return self.refs[0] if len(self.refs) == 1 and not self.problem else None

    @property
    def good(self) -> bool:
        return bool(self.refs or self.outside)


NOTHING = Reading()
