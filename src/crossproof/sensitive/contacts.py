"""Find e-mail addresses and telephone numbers in remarks."""

from __future__ import annotations

import re

_MAIL = re.compile(r"[\w.+'-]{1,64}@[\w-]+(?:\.[\w-]+)+|[\w.+-]+\s?\(at\)\s?[\w.-]+\.\w{2,}")
# British and Irish numbers as people space them, and any with a country code in front: groups as
# in Ofcom's National Telephone Numbering Plan. Letters of a grid square in front make it none.
_TELEPHONE = re.compile(
    r"(?<![\w.+-])(?<!\b[A-Z] )(?<!\b[A-Z]{2} )(?:"
    r"(?:\+|00)[1-9]\d{0,2}[\s.-]?(?:\(0\)[\s.-]?)?\d(?:[\s.-]?\d){7,10}"
    r"|\(0\d{1,5}\)[\s.-]?\d{3,4}[\s.-]?\d{3,5}"
    r"|0\d{2,4}[\s-]\d{3,4}[\s-]\d{3,4}"
    r"|0\d{3,5}[\s-]\d{5,6}"
    r"|0\d{9,10}"
    r")(?![\w.])"
)


def contact_in(text: str) -> str:
    """What a text holds to reach somebody by, in words; '' where there is nothing."""
    found = []
    if ("@" in text or "(at)" in text) and _MAIL.search(text):
        found.append("an e-mail address")
    if _TELEPHONE.search(text):
        found.append("a telephone number")
    return " and ".join(found)
