"""Arbitrary submissions: tables as nobody would send them, and as everybody does."""

from __future__ import annotations

import csv
from pathlib import Path

from hypothesis import strategies as st

Row = list[str]

# Words that mean something under some heading, so that every parser gets to work.
TELLING = (
    *("D. x grandis", "D. fuchsii x praetermissa", "Dactylorhiza × venusta", "D. praetermissa"),
    *("Southern Marsh-orchid", "Bellis perennis", "Geum x intermedium", "orchid hybrid", "???"),
    *("2019-06-14", "14/6/2019", "June 1987", "12-14.vi.1987", "31/02/2019", "6", "14", "2019"),
    *("SU 123 456", "SU1245", "O 15 34", "SU 123 45", "51.2", "-1.8", "412345", "145678"),
    *("ring spots", "unmarked", "lovely", "faint rings", "hollow", "solid", "not tested", "17 mm"),
    *("img_1.jpg", "a.jpg; b.jpg", "yes", "no", "both", "acid peat", "in Wales"),
    *("leaves spotted, stem hollow; photo taken", "named on flowers alone", "lvs unsp."),
    *("Quillmere Fen", "Mab Thornley", '{"girth": 3}', "cf.", "(Druce) Soó", "id-1", "=1+1"),
    *("<b>bold</b>", '"quoted"', "a,b", "two\nlines", "end\r\n", " ", "D. Ã— grandis", "10", "500"),
)
# No lone surrogates (UTF-8 can't hold them) and few control characters (a file with many is taken
# for binary data), and none of the signs that some libraries take for the end of a line.
ANY = st.text(
    st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]) | st.sampled_from("\n\t\r"),
    max_size=8,
)
CELL = st.one_of(st.just(""), st.sampled_from(TELLING), st.sampled_from(TELLING), ANY)

HEADINGS = (
    *("occurrenceID", "Date", "year", "month", "day", "verbatimEventDate"),
    *("Grid Ref", "verbatimCoordinates", "lat", "long", "accuracy", "easting", "northing"),
    *("Site", "County", "countryCode", "verbatimLatitude"),
    *("Leaves", "Stem", "Flowers", "Leaf width (mm)", "Petals", "Photo", "photo parts"),
    *("associatedMedia", "Comments", "Habitat", "soil", "parents", "sex", "Recorder"),
    *("identifiedBy", "det date", "identificationRemarks", "identificationQualifier"),
    *("previousIdentifications", "verification", "scientificNameAuthorship", "vernacularName"),
    *("verbatimIdentification", "genus", "specificEpithet", "taxonRank", "kingdom"),
    *("basisOfRecord", "occurrenceStatus", "taxonRemarks", "dynamicProperties", "individualCount"),
    *("scientificNameID", "georeferenceRemarks", "eventRemarks", "recordNumber"),
)


@st.composite
def tables(draw: st.DrawFn, ragged: bool = True) -> list[Row]:
    """A heading row with a column for the species, and up to ten rows, some of other widths."""
    known = draw(st.lists(st.sampled_from(HEADINGS), max_size=12, unique=True))
    strange = draw(st.lists(ANY, max_size=3))
    headings = draw(st.permutations(["species", *known, *strange]))
    width = len(headings)
    fitting = st.lists(CELL, min_size=width, max_size=width)
    other = st.lists(CELL, min_size=1, max_size=width + 3)
    rows = draw(st.lists(st.one_of(fitting, fitting, other) if ragged else fitting, max_size=10))
    return [headings, *rows]


def write(path: Path, table: list[Row]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, quoting=csv.QUOTE_ALL).writerows(table)
    return path
