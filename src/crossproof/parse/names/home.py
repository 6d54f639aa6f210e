"""The rulebook whose group a name belongs to, where it names no taxon of it."""

from __future__ import annotations

from crossproof.parse.names.combine import Meaning
from crossproof.parse.names.index import Index
from crossproof.parse.names.operand import genera_of
from crossproof.parse.names.tokens import tokenise


def home_of(index: Index, meaning: Meaning, clean: str) -> str:
    """The id of the one rulebook a name speaks of, '' where there is none or there are several.

    A cross beyond the rulebooks belongs to the group of its parents (`D. fuchsii × incarnata ×
    praetermissa`), of its nothogenus (`× Dactylodenia`), or of the genus that is written out before
    an epithet nobody knows. An initial alone is no home: many genera share it.
    """
    books = {book for book, _ in meaning.candidates}
    books = books or {
        number
        for number, book in enumerate(index.books)
        if any(parent in book.taxa for parent in meaning.parents)
        or (meaning.written and meaning.written.startswith(tuple(book.outside_crosses.values())))
    }
    if not books and not meaning.written:
        words = [token for token in tokenise(clean) if token.kind == "word"]
        written_out = words and len(words[0].key) > 1
        books = {genus.book for genus in genera_of(index, words[0])} if written_out else set()
    return index.books[books.pop()].id if len(books) == 1 else ""
