"""A ruling: one person's decision on one record, which outranks the verdict."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

from crossproof.model import Determination

# Those that give the record a name; the others keep the verdict's.
NAMING = ("uphold", "lower", "determine")
ACTIONS = (*NAMING, "ask", "set_aside")
UNDO = "undo"

NO_NAME = Determination(scientific_name="")

LONGEST = {"reason": 2000, "by": 200, "name": 300, "record": 1000}  # signs


class RulingError(ValueError):
    """A ruling that cannot be made; the message is one sentence for the user."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """One entry of the ledger.

    `record` is the record's dwc:occurrenceID and `content` the fingerprint of what it said when
    the ruling was made; `file`, `sheet`, `row` and `claim` tell a person which record that was.
    `determination` is empty but for the actions of `NAMING`. An entry whose action is `undo` takes
    back the entry `undoes`, and nothing is ever removed. `made` is the moment of writing (ISO 8601,
    UTC), `on` the day that the person gives.
    """

    uid: str
    record: str
    action: str
    by: str
    on: str
    reason: str
    content: str
    determination: Determination = NO_NAME
    file: str = ""
    sheet: str = ""
    row: int = 0
    claim: str = ""
    made: str = ""
    batch: str = ""
    undoes: str = ""


def new_uid() -> str:
    return str(uuid.uuid4())


def now() -> str:
    """This moment in UTC, so that later moments sort later."""
    return datetime.now(UTC).isoformat(timespec="microseconds")


def checked(ruling: Ruling) -> Ruling:
    """The ruling, if it says all it has to.

    Raises:
        RulingError: something is missing, too long, or no date.
    """
    if ruling.action not in (*ACTIONS, UNDO):
        raise RulingError(f"{ruling.action!r} is no ruling; choose one of {', '.join(ACTIONS)}")
    if not ruling.record:
        raise RulingError("the record has no identifier, so nothing can be ruled on it")
    if not ruling.by.strip():
        raise RulingError("say who rules: the name goes out as the determiner's")
    if ruling.action != UNDO and not ruling.reason.strip():
        raise RulingError("give a reason: it goes out with the record")
    texts = {"reason": ruling.reason, "by": ruling.by, "record": ruling.record}
    texts["name"] = ruling.determination.scientific_name
    for what, text in texts.items():
        if len(text) > LONGEST[what]:
            raise RulingError(f"the {what} has {len(text)} signs; {LONGEST[what]} is the most")
        if any(ord(sign) < 32 and sign not in "\n\t" for sign in text):
            raise RulingError(f"the {what} holds a control character; write it as plain text")
    try:
        date.fromisoformat(ruling.on)
    except ValueError:
        raise RulingError(f"{ruling.on!r} is not a date; write it as 2026-06-14") from None
    if ruling.action in NAMING and not ruling.determination.scientific_name:
        raise RulingError("this ruling needs a name, and the record has none to take")
    return ruling


@dataclass(frozen=True, slots=True)
class Standing:
    """A ruling that was neither undone nor followed by another, and whether it still holds.

    `holds`: the record says what it said then. `changed`: it says something else now. `gone`:
    there is no such record here.
    """

    ruling: Ruling
    state: str  # 'holds', 'changed' or 'gone'


def standing(entries: Sequence[Ruling]) -> list[Ruling]:
    """The rulings that stand, one for each record at most, oldest first.

    The last one made on a record stands, unless it was undone: then the one before it.
    """
    undone = {entry.undoes for entry in entries if entry.action == UNDO}
    latest: dict[str, Ruling] = {}
    for entry in sorted(entries, key=lambda entry: entry.made):  # stable: ties keep their order
        if entry.action != UNDO and entry.uid not in undone:
            latest.pop(entry.record, None)
            latest[entry.record] = entry
    return list(latest.values())


def held(rulings: Sequence[Ruling], contents: Mapping[str, str]) -> list[Standing]:
    """Rulings beside the records there are now; `contents` maps identifiers to fingerprints."""
    found = []
    for ruling in rulings:
        content = contents.get(ruling.record)
        state = "gone" if content is None else "holds" if content == ruling.content else "changed"
        found.append(Standing(ruling, state))
    return found
