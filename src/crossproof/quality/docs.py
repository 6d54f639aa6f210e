"""The reference page of the tests, made from their declarations.

`python -m crossproof.quality.docs > docs/reference/quality-tests.md` writes it anew; a test fails
when the page and the declarations have drifted apart.
"""

from __future__ import annotations

from collections.abc import Iterable

from . import vocabulary
from .registry import Declaration, declarations

_INTRODUCTION = """\
# The data-quality tests

<!-- Made by `python -m crossproof.quality.docs`. Change the declarations, not this page. -->

These are the {total} tests of one record in the TDWG Biodiversity Data Quality (BDQ) draft
standard, in the version of 2026-06-03. {offline} of them run on the record alone or with a small
vocabulary that ships with the package. The other {online} need something from outside:
{taxonomic} of those run against a list of taxa of your own, the rest answer
`EXTERNAL_PREREQUISITES_NOT_MET` and say what is missing.

```python
from crossproof import quality

quality.run("VALIDATION_DAY_INRANGE", {{"dwc:day": "31", "dwc:month": "4"}})
# Response(status='RUN_HAS_RESULT', result='NOT_COMPLIANT',
#          comment='dwc:day does not exist in its month')
```

`run(test, record, parameters=None, today=None)` takes a GUID or a label, a mapping of prefixed
terms to text, and the draft standard's own parameters. It raises `KeyError` for a test there is
not, and nothing for any record. The result of an amendment is a JSON object of the proposed
values; `Response.proposed` is the same as a dict.

`check_table(chunks, out_dir)` runs them all over a table, given as pandas frames of text columns
named by bare Darwin Core terms, and returns an `Outcome`: `records`, a `Tally` per test, and the
`files` written. A tally's `complete` says that the test judged some record and found none wanting.
With `beside`, columns that say where a record comes from, it also writes `failing`: the records
that fail a test, with their places. `respond(frame)` runs them over one frame and writes nothing.

The labels, GUIDs, terms, parameters and defaults are the draft standard's (CC BY 4.0, Biodiversity
Information Standards). The questions are our wording; its specifications are what the tests follow.
[Quality and hybrids](../explanation/quality-and-hybrids.md) says what they make of hybrids.
"""

_KINDS = (
    ("VALIDATION", "Validations", "They answer `COMPLIANT` or `NOT_COMPLIANT`."),
    ("ISSUE", "Issues", "They answer `POTENTIAL_ISSUE` or `NOT_ISSUE`."),
    (
        "AMENDMENT",
        "Amendments",
        "They answer `AMENDED` or `FILLED_IN` with the values proposed, or `NOT_AMENDED`.",
    ),
    ("MEASURE", "Measures", "They answer a whole number."),
)

_NEEDS = {
    "rule": "yes",
    "vocabulary": "yes, with a vocabulary that ships",
    "authority": "no",
}


def _is_taxonomic(declaration: Declaration) -> bool:
    return declaration.needs == "authority" and declaration.authority == "GBIF Backbone Taxonomy"


def _needs(declaration: Declaration) -> str:
    return "with a list of taxa" if _is_taxonomic(declaration) else _NEEDS[declaration.needs]


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


def _terms(terms: Iterable[str]) -> str:
    return ", ".join(f"`{term}`" for term in terms) or "the other tests' responses"


def _parameters(declaration: Declaration) -> str:
    pairs = (f"`{name}` = {default}" for name, default in declaration.parameters.items())
    return "<br>".join(pairs) or "none"


def _table(kind: str) -> str:
    lines = [
        "| Test | Reads | Parameters and defaults | Dimension, criterion | Offline |",
        "| --- | --- | --- | --- | --- |",
    ]
    for each in declarations().values():
        if each.kind == kind:
            name = f"{each.question}<br>`{each.label}`<br>`{each.guid}`"
            place = f"{each.dimension}, {each.criterion}"
            cells = (name, _terms(each.inputs), _parameters(each), place, _needs(each))
            lines.append("| " + " | ".join(map(_cell, cells)) + " |")
    return "\n".join(lines)


def _vocabularies() -> str:
    lines = ["| Vocabulary | Values | As of | Source |", "| --- | --- | --- | --- |"]
    for name in vocabulary.names():
        known = vocabulary.vocabulary(name)
        cells = (known.title, str(len(known.values)), known.date, known.source)
        lines.append("| " + " | ".join(map(_cell, cells)) + " |")
    return "\n".join(lines)


def reference() -> str:
    """Return the page as Markdown."""
    known = declarations().values()
    offline = sum(each.offline for each in known)
    page = [
        _INTRODUCTION.format(
            total=len(known),
            offline=offline,
            online=len(known) - offline,
            taxonomic=sum(map(_is_taxonomic, known)),
        )
    ]
    page += [f"## {title}\n\n{text}\n\n{_table(kind)}\n" for kind, title, text in _KINDS]
    page.append(
        "## Vocabularies\n\n"
        "Countries and their codes come from pycountry (ISO 3166-1), geodetic codes from pyproj's\n"
        "copy of the EPSG dataset. Each of these is the default of a test, but the one with the\n"
        "nothotaxa of the ICN: name that as `bdqval:sourceAuthority` to have their ranks accepted."
        "\n\n"
        f"{_vocabularies()}\n"
    )
    return "\n".join(page)


if __name__ == "__main__":
    print(reference(), end="")
