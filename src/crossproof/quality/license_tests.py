"""The licence: is it an IRI of Creative Commons, and which one does a name stand for."""

from __future__ import annotations

import re

from .registry import implements
from .response import Response, amended, internal, not_amended, verdict
from .values import is_empty, trim

_LICENSE = "dcterms:license"
_LANGUAGES = (
    "id|eu|da|de|en|es|fr|fy|hr|it|lv|lt|mi|ni|no|pl|pt|ro|si|fi|sv|tr|cs|el|ru|uk|ar|jp|zh-hans|"
    "zh-hant|ko"
)
# The draft standard's own expression, with two faults mended: full stops are full stops, and what
# follows the version may be left out, as its notes say of the canonical form.
_LICENSE_IRI = re.compile(
    r"https?://creativecommons\.org/(?:"
    r"licenses/(?:by|by-sa|by-nc|by-nc-sa|by-nd|by-nc-nd)/4\.0/"
    rf"(?:(?:deed|legalcode)(?:\.(?:{_LANGUAGES}))?)?"
    r"|publicdomain/zero/1\.0/"
    rf"(?:(?:deed|legalcode)(?:\.(?:{_LANGUAGES.replace('mi|', '')}))?)?)"
)
_IRI = re.compile(
    r"(?:https?://)?(?:www\.)?creativecommons\.org/(?:licenses|publicdomain)/"
    r"([a-z0-9./-]*?)/?(?:(?:deed|legalcode)(?:\.[a-z-]+)?)?/?"
)
_LICENSE_WORDS = (
    (r"creative ?commons?", "cc"),
    (r"attribution", "by"),
    (r"non-? ?commercial", "nc"),
    (r"no-? ?deriv(?:ative)?s?(?: works)?", "nd"),
    (r"share-? ?alike", "sa"),
    (r"public domain dedication|universal|international|licen[cs]ed?|version", " "),
    (r"\bcc(?=by)|\bcc(?: |-)?(?=0)", "cc"),
)


@implements("3136236e-04b6-49ea-8b34-a65f25e3aba1")
def license_standard(value: str) -> Response:
    if is_empty(value):
        return internal(f"{_LICENSE} is empty")
    return verdict(
        _LICENSE_IRI.fullmatch(value) is not None,
        f"{_LICENSE} is the IRI of a Creative Commons licence",
        f"{_LICENSE} is not the IRI of a Creative Commons 4.0 licence or of CC0 1.0",
    )


@implements("dcbe5bd2-42a0-4aab-bb4d-8f148c6490f8")
def license_standardized(value: str) -> Response:
    if is_empty(value):
        return not_amended(f"{_LICENSE} is empty")
    if _LICENSE_IRI.fullmatch(value):
        return not_amended(f"{_LICENSE} is the IRI of a Creative Commons licence already")
    meant = _license(trim(value))
    if meant is None:
        return not_amended(f"{_LICENSE} cannot be matched to one Creative Commons licence")
    return amended({_LICENSE: meant}, f"{_LICENSE} was matched to the IRI of the licence")


def _license(text: str) -> str | None:
    """Return the IRI of the licence a name or an incomplete IRI stands for.

    A name without a version is taken for the one version of the source authority (4.0); another
    version is another licence, and refused.
    """
    if _LICENSE_IRI.fullmatch(text):
        return text
    written = text.casefold()
    iri = _IRI.fullmatch(written)
    written = f"cc {iri[1]}" if iri else written
    for pattern, short in _LICENSE_WORDS:
        written = re.sub(pattern, short, written)
    words = re.sub(r"(?<= [0-9]) (?=[0-9])", ".", written.replace("_", " "))
    parts = set(re.findall(r"[^\s/:,()-]+", words))
    versions = {part.removeprefix("v") for part in parts if re.fullmatch(r"v?[0-9.]+", part)}
    marks = {part for part in parts if part.removeprefix("v") not in versions}
    if marks in ({"cc0"}, {"cc", "zero"}, {"cc0", "cc"}) and versions <= {"1.0", "1"}:
        return "https://creativecommons.org/publicdomain/zero/1.0/legalcode"
    kinds = marks - {"cc", "by"}
    if not {"cc", "by"} <= marks or not versions <= {"4.0", "4"}:
        return None
    if not kinds <= {"nc", "nd", "sa"} or {"nd", "sa"} <= kinds:
        return None
    kind = "-".join(["by", *sorted(kinds)])  # nc comes before nd and sa in the IRI, too
    return f"https://creativecommons.org/licenses/{kind}/4.0/legalcode"
