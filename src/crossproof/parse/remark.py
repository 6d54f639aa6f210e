"""Read a free remark: leaf and stem states, photo, flowers-only, each with its exact words."""

from __future__ import annotations

from operator import itemgetter

from crossproof.model import PhotoState, Remark
from crossproof.parse.remarks.sources.basis import flower_only, parents
from crossproof.parse.remarks.sources.lexicon import basis_lexicon, photo_lexicon
from crossproof.parse.remarks.sources.photo import may_name_file, photo
from crossproof.parse.remarks.states.cavities import by_measure, cavities_of, names_share
from crossproof.parse.remarks.states.measures import measured, measures_of, of_the_plant
from crossproof.parse.remarks.states.told import NOTHING, Teller
from crossproof.parse.remarks.text.compiled import vocabulary
from crossproof.parse.remarks.text.mended import tokens_of
from crossproof.parse.remarks.text.printed import answers_only
from crossproof.rulebooks.load import shipped_rulebook
from crossproof.rulebooks.model import Rulebook

_WORD = itemgetter(0)
_NO_PHOTO: tuple[PhotoState, str] = ("not_recorded", "")
_NOTHING = Remark()


class RemarkReader:
    """Reads remarks with the words of one rulebook. It keeps some thousand ends of what it read."""

    def __init__(self, rulebook: Rulebook) -> None:
        self._vocabulary = vocabulary(rulebook)
        self._measures = measures_of(rulebook)
        self._cavities = cavities_of(rulebook)
        self._teller = Teller(self._vocabulary)
        self._photos = photo_lexicon(self._vocabulary)
        self._bases = basis_lexicon(self._vocabulary)
        self._of_flowers = frozenset(c.id for c in rulebook.characters.values() if c.flower)

    def read(self, text: str) -> Remark:
        """Return what `text` says of the plant recorded. Any string will do; none raises."""
        numbers, rest = measured(text, self._measures)
        if "mm" in rest or names_share(rest):
            of_cavities, rest = by_measure(rest, self._cavities)
            numbers = (*numbers, *of_cavities)
        read_from = answers_only(rest)
        tokens = tokens_of(read_from, self._vocabulary)
        # a form's printed words matter here: they stand around the answer
        whole = tokens if read_from is rest else tokens_of(rest, self._vocabulary)
        spoken = set(map(_WORD, whole))
        words = spoken if whole is tokens else map(_WORD, tokens)
        tells = bool(numbers) or not self._vocabulary.telling.isdisjoint(words)
        of_photos = self._photos.is_spoken_of(spoken) or may_name_file(text)
        of_flowers = self._bases.is_spoken_of(spoken)
        if not (tells or of_photos or of_flowers):
            return _NOTHING
        told = NOTHING
        if numbers:
            found = self._teller.items(read_from, tokens)
            told = self._teller.of_items(text, found)
            numbers = of_the_plant(numbers, found)
        elif tells:
            told = self._teller.of(text, read_from, tokens)
        given = (*told.evidence, *numbers)
        photo_state, photo_words = _NO_PHOTO
        if of_photos:
            photo_state, photo_words = photo(text, self._photos.tag(whole))
        stated = {e.character for e in given if e.weight != "questioned"}
        rests_on_flowers, flower_words = False, ""
        if of_flowers:
            rests_on_flowers, flower_words = flower_only(
                text, self._bases.tag(whole), bool(stated - self._of_flowers)
            )
        return Remark(
            evidence=given,
            flower_only=rests_on_flowers,
            flower_only_words=flower_words,
            photo=photo_state,
            photo_words=photo_words,
            parents=parents(told.kinds),
            not_examined=tuple(c for c in told.not_examined if c not in stated),
        )


def parse_remark(text: str, rulebook: Rulebook | None = None) -> Remark:
    """Read one remark, with the orchids' rulebook unless another is given."""
    return _reader(rulebook or shipped_rulebook("dactylorhiza")).read(text)


_readers: dict[int, tuple[Rulebook, RemarkReader]] = {}


def _reader(rulebook: Rulebook) -> RemarkReader:
    """One reader per rulebook. Rulebooks hold mappings, so they are told apart by identity."""
    kept = _readers.get(id(rulebook))
    if kept is None or kept[0] is not rulebook:
        kept = _readers[id(rulebook)] = (rulebook, RemarkReader(rulebook))
    return kept[1]
