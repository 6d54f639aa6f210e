"""Hold the pictures a record refers to against the record."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from crossproof.model import Photo, PhotoState, Picture
from crossproof.parse.location import Where
from crossproof.parse.problem import Problem
from crossproof.parse.timing import When

Look = Callable[[str], Picture]
NEAR_M = 200.0  # a camera's own position may be this far off, in metres; common practice


def check_pictures(
    state: PhotoState,
    photos: tuple[Photo, ...],
    *,
    wanted: frozenset[str],
    where: Where,
    when: When,
    look: Look,
) -> tuple[PhotoState, tuple[Problem, ...]]:
    """Whether a record's photos count, and what disagrees.

    A picture that is missing, cannot be opened or shows no wanted part does not count. Where no
    picture is left the record has no photo; a plain yes without references stays as it is.

    Args:
        wanted: the subject parts that bear on the claim; empty where any will do.
    """
    if not photos:
        return state, ()
    counting = 0
    problems: list[Problem] = []
    for photo in photos:
        picture = look(photo.reference)
        against = tuple(_reasons_not_to_count(photo, picture, wanted))
        counting += not against
        problems += against
        problems += _disagreements(photo, picture, where, when)
    if state == "stated" and not counting:
        return "not_recorded", tuple(problems)
    return state, tuple(problems)


def _reasons_not_to_count(
    photo: Photo, picture: Picture, wanted: frozenset[str]
) -> Iterator[Problem]:
    if picture.status == "missing":
        yield Problem("photo_missing_file", "photo", photo.reference)
    elif picture.status == "unreadable":
        yield Problem("photo_unreadable", "photo", photo.reference)
    elif wanted and photo.parts and not wanted.intersection((*photo.parts, "entireOrganism")):
        shows = ", ".join(photo.parts)
        message = f"the photo shows {shows}, and none of {', '.join(sorted(wanted))}"
        yield Problem("photo_part_unwanted", "photo", photo.reference, message)


def _disagreements(photo: Photo, picture: Picture, where: Where, when: When) -> Iterator[Problem]:
    if picture.taken and when.readable and not _within(picture.taken, when.terms["eventDate"]):
        message = (
            f"the photo was taken on {picture.taken}, the record is of {when.terms['eventDate']}"
        )
        yield Problem("photo_date_disagrees", "photo", photo.reference, message)
    place = where.place
    if picture.position and place:
        from pyproj import Geod

        latitude, longitude = picture.position
        _, _, metres = Geod(ellps="WGS84").inv(longitude, latitude, place.longitude, place.latitude)
        if metres > (place.uncertainty_m or 0) + NEAR_M:
            message = f"the photo's position lies {metres:,.0f} m from the record's place"
            yield Problem("photo_place_disagrees", "photo", photo.reference, message)


def _within(day: str, event: str) -> bool:
    """Whether a day lies in an ISO 8601 date or interval, at the precision it is written in."""
    start, _, end = event.partition("/")
    first, last = start[:10], (end or start)[:10]
    return first <= day[: len(first)] and day[: len(last)] <= last
