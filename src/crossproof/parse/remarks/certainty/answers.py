"""What came of a question or an expectation: `hollow? no`, `expected spots, found none`."""

from __future__ import annotations

from itertools import pairwise

from crossproof.parse.remarks.organ.graded import graded_answer
from crossproof.parse.remarks.organ.mention import Mention
from crossproof.parse.remarks.organ.reply import begins_anew
from crossproof.parse.remarks.text import vocabulary as v
from crossproof.parse.remarks.text.item import Item, ends, past, stops
from crossproof.parse.remarks.text.vocabulary import Vocabulary

_REFUSALS = frozenset(
    f"{no} {say}"
    for no in ("wouldn't", "would not", "couldn't", "could not", "can't", "cannot")
    for say in ("call", "describe")
)
_FAR = 12  # items: an outcome that stands further off is another thought
_LOOKING = v.EXAMINE | v.AND | v.COLON | v.COMMA | v.BREAK | v.NAMED
_CONTRARY = frozenset({"hadn't", "hadnt", "had not"})
_STAND_INS = frozenset({"it", "they", "these", "this", "this one", "mine", "ours"})
_FULL_ANSWERS = frozenset({"yes", "definitely"})


def settle(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
    """Settle questioned mentions that the words behind them answer."""
    _both_lacking(items, found, vocabulary)
    for mention in found:
        if mention.weight == "hedged" or mention.said or _but_there(items, mention):
            _by_echo(items, mention, vocabulary)
    asked = [m for m in found if m.weight == "questioned"]
    _refused_both(items, asked, vocabulary)
    if not asked or _jointly(items, asked, vocabulary):
        return
    for mention in asked:
        (
            _by_oath(items, mention, vocabulary)
            or _contrary(items, mention, vocabulary)
            or _by_echo(items, mention, vocabulary)
            or _straight_behind(items, mention, vocabulary)
            or _by_outcome(items, mention, vocabulary)
        )


def _but_there(items: list[Item], m: Mention) -> bool:
    """`wouldn't have noticed the spots without a lens, but they're there`."""
    sense = items[m.item].entry.senses.get(m.character)
    if sense is None or sense.state == m.state:
        return False
    here = [k for k in items[m.item :] if k.sentence == items[m.item].sentence]
    return any(a.kinds & v.BUT and b.kinds & v.THEY for a, b in pairwise(here))


def _affirm(items: list[Item], m: Mention, last: Item, vocabulary: Vocabulary) -> bool:
    """`who says they aren't spotted? They are.`: the answer is yes to the word, not its denial."""
    m.state = items[m.item].entry.senses[m.character].state
    return _give(m, True, last, vocabulary)


def _refuse(items: list[Item], m: Mention, last: Item, vocabulary: Vocabulary) -> bool:
    """`Is the stem hollow: no`: no to the word itself; a label's `no` was read already."""
    sense = items[m.item].entry.senses.get(m.character)
    m.state = sense.state if sense else m.state
    return _give(m, False, last, vocabulary)


def _give(m: Mention, yes: bool, last: Item, vocabulary: Vocabulary) -> bool:
    state = m.state if yes else vocabulary.scales[m.character].denied.get(m.state, "")
    if state:
        m.state, m.weight, m.end = state, "stated", max(m.end, last.end)
    return bool(state)


def _jointly(items: list[Item], asked: list[Mention], vocabulary: Vocabulary) -> bool:
    """`A? B? Yes to the first, no to the second`; `yes and no respectively`; `no to both`."""
    if len(asked) < 2:
        return False
    last = max(m.item for m in asked)
    rest = range(last + 1, min(last + 2 * _FAR, len(items)))
    answers = [j for j in rest if items[j].kinds & (v.YES | v.NONE)]
    texts = {items[j].entry.text for j in rest}
    each = any(_answers_alone(items, m.item) for m in asked[:-1])
    if not answers or each or any(items[j].kinds & v.STATE for j in rest):
        return False
    if len(answers) == 1 and texts & {"both", "all"}:
        answers *= len(asked)
    elif len(answers) != len(asked) or not any(items[j].kinds & v.ORDERLY for j in rest):
        return False
    for m, j in zip(asked, answers, strict=True):
        _give(m, bool(items[j].kinds & v.YES), items[j], vocabulary)
    return True


def _answers_alone(items: list[Item], i: int) -> bool:
    """`Stem hollow? slightly. Leaves spotted? …`: the first question has its answer."""
    j = next((k for k in range(i, len(items)) if items[k].kinds & v.ASK), len(items))
    behind = items[j + 1 : j + 3]
    said = behind and behind[0].kinds & (v.YES | v.NONE | v.SLIGHT | v.AFTER)
    return bool(said) and stops(items, j + 2)


def _both_lacking(items: list[Item], found: list[Mention], vocabulary: Vocabulary) -> None:
    """`leaf spots and stem cavity both absent`: neither is there."""
    for i in range(2, len(items)):
        if (
            items[i].kinds & v.NONE
            and items[i - 1].entry.text in ("both", "all")
            and ends(items, i + 1)
        ):
            for m in found:
                if m.item < i and items[m.item].clause == items[i].clause and m.role == "sign":
                    _give(m, False, items[i], vocabulary)


def _refused_both(items: list[Item], asked: list[Mention], vocabulary: Vocabulary) -> None:
    """`wouldn't call it hollow, wouldn't call it solid`: it is between the two."""
    refused = [m for m in asked if _name_refused(items, m)]
    for a, b in pairwise(refused):
        for poles, gives in vocabulary.scales[a.character].together:
            if a.character == b.character and poles == {a.state, b.state}:
                a.state = b.state = gives
                a.weight = b.weight = "stated"


def _name_refused(items: list[Item], m: Mention) -> bool:
    return any(
        j.kinds & v.UNSURE and j.phrase == items[m.item].phrase and j.entry.text in _REFUSALS
        for j in items
    )


def _by_oath(items: list[Item], m: Mention, vocabulary: Vocabulary) -> bool:
    """`if that stem isn't hollow I'm a Dutchman`: the condition is held to be false."""
    sentence = items[m.item].sentence
    oath = next((j for j in items if j.kinds & v.OATH and j.sentence == sentence), None)
    return oath is not None and _give(m, False, oath, vocabulary)


def _contrary(items: list[Item], m: Mention, vocabulary: Vocabulary) -> bool:
    """`if the leaves hadn't been spotted I'd have walked past it`: they were."""
    here = [k for k in items[: m.item] if k.clause == items[m.item].clause]
    supposed = any(k.entry.text == "if" for k in here)
    if not supposed or not any(k.entry.text in _CONTRARY for k in here):
        return False
    return _affirm(items, m, items[m.item], vocabulary)


def _by_echo(items: list[Item], m: Mention, vocabulary: Vocabulary) -> bool:
    """`Was it hollow? It was. Were they spotted? They were not.`"""
    j = m.item + 1
    while j < len(items) and not items[j].kinds & v.LIMIT:
        j += 1
    passed = v.LIMIT | v.AND | v.WITH | _LOOKING
    while j < len(items) and (items[j].kinds == v.WORD or items[j].kinds & passed):
        j += 1  # went and looked since: they are not
    if j + 1 > len(items) - 1 and not (j < len(items) and items[j].kinds & v.FULFILLED):
        return False
    if items[j].entry.text not in _STAND_INS:
        return False
    behind = items[j + 1]
    if behind.lead & v.BE and behind.kinds & v.LIMIT:
        return _affirm(items, m, items[j], vocabulary)
    if behind.kinds & v.NOT and ends(items, j + 2):
        return _give(m, False, behind, vocabulary)
    return False


def _straight_behind(items: list[Item], m: Mention, vocabulary: Vocabulary) -> bool:
    """`hollow? no`, `hollow? partly`: an answer straight behind a question settles it."""
    j = m.item + 1
    while j < len(items) and not items[j].kinds & v.LIMIT:
        j += 1
    if j >= len(items):
        return False
    if not items[j].kinds & (v.ASK | v.COLON) and items[j].entry.text not in v.DASHES:
        return False
    j += 1
    passed = v.BREAK | v.COLON | v.THE | v.ON | v.OWN
    while j < len(items) and (items[j].kinds & passed or m.character in items[j].entry.organs):
        j += 1  # spots? - no; spots? The leaves have none; on this one, none
    if j >= len(items) or _is_choice(items, j) or _is_asked_too(items, j):
        return False
    if items[j].entry.text == "not" and _of_its_organ(items, m, j):
        return _give(m, False, items[j], vocabulary)
    j = graded_answer(items, j)
    if items[j].kinds & v.NOT and items[j - 1].kinds & v.ASK and ends(items, j + 1):
        return _give(m, False, items[j], vocabulary)  # There were not.
    alone = stops(items, j + 1) or len(items[j].entry.text) == 1
    if items[j].kinds & v.YES and (alone or items[j].entry.text in _FULL_ANSWERS):
        return _give(m, True, items[j], vocabulary)
    if items[j].kinds & v.NONE and (alone or _counted_on(items, j)):
        return _refuse(items, m, items[j], vocabulary)
    if alone and items[j].kinds & v.COUNT and not items[j].kinds & v.NONE:
        return _give(m, True, items[j], vocabulary)
    slightly = vocabulary.scales[m.character].slightly
    graded = slightly.get(m.state, m.state if m.state in slightly.values() else "")
    if alone and graded and items[j].kinds & (v.SLIGHT | v.AFTER) and not items[j].kinds & v.STATE:
        m.state = graded
        return _give(m, True, items[j], vocabulary)
    return False


def _is_choice(items: list[Item], j: int) -> bool:
    """`Leaf spots? Y N`: both answers are printed, and neither was chosen."""
    answers = items[j].kinds & v.YES, items[j + 1].kinds & v.NONE if j + 1 < len(items) else 0
    return all(answers) and len(items[j].entry.text) == len(items[j + 1].entry.text) == 1


def _is_asked_too(items: list[Item], j: int) -> bool:
    """`Rings? Spots? Nothing?`: the last is a question as well."""
    return j + 1 < len(items) and bool(items[j + 1].kinds & v.ASK) and not items[j + 1].prefix


def _of_its_organ(items: list[Item], m: Mention, j: int) -> bool:
    """`Any spots? Not on the leaves.`, `… Not on this one.`"""
    k = past(items, j + 1, v.ON | v.THE, v.OWN)
    if k < len(items) and items[k].kinds & v.OWN and k > j + 1 and ends(items, k + 1):
        return True
    return k < len(items) and m.character in items[k].entry.organs and ends(items, k + 1)


def _counted_on(items: list[Item], j: int) -> bool:
    """`1. Leaf spots? No 2. Hollow stem? …`"""
    return bool(items[j + 1].kinds & v.NUMBER) and ends(items, j + 2)


def _was_to_look(items: list[Item], m: Mention) -> bool:
    """`should have looked for spots but didn't`: look, that is."""
    here = (i for i in items[: m.item] if i.sentence == items[m.item].sentence)
    return any(i.kinds & (v.EXAMINE | v.LOOKED) for i in here)


def _by_outcome(items: list[Item], m: Mention, vocabulary: Vocabulary) -> bool:
    """`expected spots, found none`; `should be hollow, and so it proved`."""
    supposed = any(
        item.kinds & (v.SUPPOSE | v.TOPIC) and item.sentence == items[m.item].sentence
        for item in items
    )
    if not supposed:
        return False
    for j in range(m.item + 1, min(m.item + _FAR, len(items))):
        kinds = items[j].kinds
        if items[j].sentence > items[m.item].sentence + 1 or m.character in items[j].entry.senses:
            return False
        if kinds & v.ORGAN and m.character not in items[j].entry.organs:
            return False
        if kinds & v.FULFILLED and (not kinds & v.AND or ends(items, j + 1)):
            return _give(m, True, items[j], vocabulary)
        if kinds & v.WITH and items[j - 1].kinds & v.AND and ends(items, j + 1):
            return _give(m, True, items[j], vocabulary)  # should have spots, and has
        located = items[j].entry.text.endswith(" on any")
        told = located or ends(items, j + 1) or items[j + 1].kinds & v.ON
        told = told and not begins_anew(items, j, m.character)
        if kinds & v.NONE and told and items[j].entry.text != "nothing":
            denied = m.end >= items[j].end  # by that very word
            return _give(m, denied, items[j], vocabulary)
        joined = items[j - 1].kinds & (v.BUT | v.AND | v.COMMA) and not _was_to_look(items, m)
        if kinds & v.NOT and joined and ends(items, j + 1):
            return _give(m, False, items[j], vocabulary)  # ought to be spotted but aren't
        if kinds & v.YES and ends(items, j + 1) and not kinds & (v.STATE | v.SEE):
            return _give(m, True, items[j], vocabulary)
    return False
