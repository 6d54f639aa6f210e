"""Plants outside every rulebook: a Latin name is passed through, without its authors."""

from __future__ import annotations

import re
from collections.abc import Sequence

from crossproof.parse.names import words
from crossproof.parse.names.tokens import Token

# Endings of Latin epithets and genera; English words that share one are in words.toml.
_LATIN = re.compile(
    r"(?:a|us|um|is|i|ae|ense|ale|are|ile|ine|ne|re|ve|ste|bre|tre|cre|le|me|ce|de|te|ge|"
    r"ens|ans|ons|ys|os|on|er|or|ex|ix|ax|ox|yx|oides|odes|opsis|as|es|o|n|x|thes|ps|eps|ops|y)$"
)
# Endings of English words that no genus has; they tell where a word stands alone.
_ENGLISH = re.compile(r"(?:y|ge|ure|ble|ate|ise|ize|ese|ose|ness|less|ings|ers|ous|ees|eeds)$")
_GENUS = re.compile(r"[a-z]{3,}(?:-[a-z]+)?$", re.IGNORECASE)
_EPITHET = re.compile(r"(?:[a-zë]{3,}|[a-zë]+(?:-[a-zë]+)+)$", re.IGNORECASE)


def is_genus(token: Token, *, alone: bool = False) -> bool:
    """Whether a word may be a Latin genus; `alone`: with no epithet behind it to tell."""
    low = token.raw.lower()
    return bool(
        _GENUS.match(token.raw)
        and not (alone and _ENGLISH.search(low))
        and (_LATIN.search(low) or (token.capital and not alone))
        and not token.dot
        and low not in words.PLAIN
        and low not in words.LEAD
        and low not in words.HYBRID
        and low not in words.NEGATION
    )


def is_epithet(token: Token) -> bool:
    """Whether a word may be a Latin epithet."""
    low = token.raw.lower()
    return bool(
        _EPITHET.match(token.raw)
        and _LATIN.search(low)
        and not token.dot
        and token.key not in words.PLAIN
        and not any(part in words.PLAIN for part in low.split("-")[-1:])
        and low not in words.LEAD
        and token.key not in words.QUALIFIERS
    )


def infraspecific(tokens: Sequence[Token]) -> tuple[str, int]:
    """What stands below the species (`subsp. flacca`), passing over authors; and where it ends.

    The rank is kept as written, for the name is only passed through.
    """
    written, end = "", 0
    for i, token in enumerate(tokens[:-1]):
        after = tokens[i + 1]
        if token.key in words.RANKS and after.raw.islower() and is_epithet(after):
            mark = words.RANKS[token.key]
            if token.key == "f" and not token.dot:
                continue
            shown = token.raw.lower() + "." if token.dot else mark
            written, end = f"{written} {shown} {after.raw.lower()}", i + 2
    if not end and tokens and tokens[0].raw.islower() and _bare_third(tokens[0]):
        return f" {tokens[0].raw}", 1
    return written, end


def _bare_third(token: Token) -> bool:
    known = words.RANKS.keys() | words.STOP | words.JOIN | words.NEGATION | words.HYBRID
    return is_epithet(token) and token.key not in known
