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
_LICENSE_WORDS = (
    (r"creative ?commons?", "cc"),
    (r"attribution", "by"),
    (r"non-? ?commercial", "nc"),
    (r"no-? ?deriv(?:ative)?s?(?: works)?", "nd"),
    (r"share-? ?alike", "sa"),
    (r"public domain dedication|universal|international|licen[cs]ed?|version", " "),
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
    words = text.casefold()
    iri = re.fullmatch(
        r"(?:https?://)?(?:www\.)?creativecommons\.org/(?:licenses|publicdomain)/(.*)", words
    )
    words = "cc " + re.sub(r"/(?:deed|legalcode).*|/$", "", iri[1]) if iri else words
    for pattern, short in _LICENSE_WORDS:
        words = re.sub(pattern, short, words)
    plain = re.sub(r"[\s/_:,()-]+", " ", words).strip()
    if re.fullmatch(r"(?:cc ?0|cc ?zero)(?: cc ?0)?(?: ?v?1\.0)?(?: cc ?0)?", plain):
        return "https://creativecommons.org/publicdomain/zero/1.0/legalcode"
    found = re.fullmatch(r"cc ?by((?: (?:nc|nd|sa)){0,2})(?: ?v?4(?:\.0)?)?", plain)
    kind = "by" + (found[1].replace(" ", "-") if found else "-?")
    if kind not in ("by", "by-sa", "by-nc", "by-nc-sa", "by-nd", "by-nc-nd"):
        return None
    return f"https://creativecommons.org/licenses/{kind}/4.0/legalcode"
