"""Hard records: what free text, odd scripts and missing pieces do to a table."""

from __future__ import annotations

from dataclasses import replace

from crossproof.model import Evidence, Photo

from .builder import CLAIM, LOWERED, PLAIN_ROW, ROWS, Row

HARD_TEXTS = (
    "two\nlines",
    "two\r\nlines",
    "an old\rMac line",
    'she said "hybrid"',
    "a,comma",
    "a\ttab",
    "Dactylorhiza × grandis",
    "סחלב ‏(ימין לשמאל)‎",
    '=HYPERLINK("https://a.example")',
    " leading and trailing ",
    "\u2028line separator",
    "é vs e\u0301",
    "'",
    "\\n",
    "NA",
    "null",
)
HARD_ROWS = (
    *ROWS,
    *(
        Row(
            claim=replace(CLAIM, words=text, remarks=text, identified_by=text),
            verdict=LOWERED,
            evidence=(Evidence("leaf", "marked", "remark", text, 0, len(text), "faint"),),
            photos=(Photo(reference=text),),
            where={"locality": text, "decimalLatitude": "not a number"},
            given={"occurrenceRemarks": text, "month": text, "eventID": text},
            extra='{"weather\\n": "\\"wet\\""}',
        )
        for text in HARD_TEXTS
    ),
)
HARD_CASES = {
    "everything": HARD_ROWS,
    "no records": (),
    "one record": ROWS[:1],
    "no photos": tuple(replace(row, photos=()) for row in ROWS),
    "no evidence": (PLAIN_ROW,),
    "no place in degrees": (replace(PLAIN_ROW, where={"locality": "a fen"}),),
    "only the bare minimum": (Row(where={}, when={}, given={}, photos=(), evidence=()),),
}
