"""Checks of a rulebook's names: ids, the tree, hybrids and their parents, months, sources."""

from __future__ import annotations

from collections.abc import Iterator

from crossproof.rulebooks.complaint import Complaint, Data, Rule, nearest
from crossproof.rulebooks.lines import Path


def _taxa(data: Data) -> dict[str, tuple[Path, Data]]:
    """Each taxon and hybrid by id: where it stands, and its entry. The first of two wins."""
    taxa: dict[str, tuple[Path, Data]] = {}
    for part in ("taxon", "hybrid"):
        for index, entry in enumerate(data.get(part, ())):
            taxa.setdefault(entry["id"], ((part, index), entry))
    return taxa


def unique_ids(data: Data) -> Iterator[Complaint]:
    """No two taxa, characters, mentions, or states of one character share an id."""
    lists: list[tuple[str, list[tuple[Path, str]]]] = [
        ("taxon", [((p, i), e["id"]) for p in ("taxon", "hybrid") for i, e in _items(data, p)]),
        ("character", [(("character", i), e["id"]) for i, e in _items(data, "character")]),
        ("mention", [(("mention", i), e["id"]) for i, e in _items(data, "mention")]),
    ]
    lists += [
        (
            f"state of {character['id']!r}",
            [(("character", i, "state", j), s["id"]) for j, s in _items(character, "state")],
        )
        for i, character in _items(data, "character")
    ]
    for what, places in lists:
        seen: set[str] = set()
        for path, name in places:
            if name in seen:
                message = f"a second {what} has the id {name!r}"
                yield Complaint((*path, "id"), message, "give it an id of its own")
            seen.add(name)


def _items(data: Data, key: str) -> Iterator[tuple[int, Data]]:
    yield from enumerate(data.get(key, ()))


def the_tree(data: Data) -> Iterator[Complaint]:
    """Everything hangs below one root, and nothing below itself."""
    taxa = _taxa(data)
    root = data["rulebook"]["root"]
    if root not in taxa:
        message = f"the root {root!r} is not a taxon"
        yield Complaint(("rulebook", "root"), message, nearest(root, taxa, "add it as a [[taxon]]"))
    for name, (path, entry) in taxa.items():
        above = entry["above"]
        if not above and name != root:
            message = f"{name!r} has nothing above it, but the root is {root!r}"
            yield Complaint((*path, "above"), message, "name the taxon just above it")
        elif above and name == root:
            message = f"the root {root!r} lies below {above!r}"
            yield Complaint((*path, "above"), message, 'write above = "" for the root')
        elif above and above not in taxa:
            message = f"{name!r} lies below {above!r}, which is not a taxon"
            yield Complaint(
                (*path, "above"), message, nearest(above, taxa, "add it as a [[taxon]]")
            )
        elif above and name in _line_up(taxa, above):
            message = f"{name!r} lies below itself, by way of {above!r}"
            yield Complaint((*path, "above"), message, "name a taxon that is really above it")


def _line_up(taxa: dict[str, tuple[Path, Data]], taxon: str) -> list[str]:
    """The taxon and all above it; a circle is walked once."""
    line: list[str] = []
    while taxon in taxa and taxon not in line:
        line.append(taxon)
        taxon = taxa[taxon][1]["above"]
    return line


def hybrids_and_parents(data: Data) -> Iterator[Complaint]:
    """Parents are taxa, and a hybrid hangs from a node that holds them both."""
    taxa = _taxa(data)
    for index, entry in _items(data, "hybrid"):
        name = entry["id"]
        for place, parent in enumerate(entry["parents"]):
            if parent not in taxa:
                yield Complaint(
                    ("hybrid", index, "parents", place),
                    f"the parent {parent!r} of {name!r} is not a taxon",
                    nearest(parent, taxa, "add it as a [[taxon]]"),
                )
        parents = [parent for parent in entry["parents"] if parent in taxa]
        line = _line_up(taxa, entry["above"])
        below = [parent for parent in parents if parent in line]
        outside = [p for p in parents if line and line[0] not in _line_up(taxa, p)]
        if below:
            yield Complaint(
                ("hybrid", index, "above"),
                f"{name!r} lies below its own parent {below[0]!r}",
                "hang it from the lowest taxon that holds both parents",
            )
        elif outside:
            yield Complaint(
                ("hybrid", index, "above"),
                f"{name!r} lies below {entry['above']!r}, which does not hold its parent "
                f"{outside[0]!r}",
                "hang it from the lowest taxon that holds both parents",
            )


def known_taxa(data: Data) -> Iterator[Complaint]:
    """Names that may mean several taxa, and old genera, lead to taxa that exist."""
    taxa = _taxa(data)
    for written, meant in data.get("ambiguous_names", {}).items():
        for place, taxon in enumerate(meant):
            if taxon not in taxa:
                message = f"{written!r} may mean {taxon!r}, which is not a taxon"
                remedy = nearest(taxon, taxa, "write ids of taxa")
                yield Complaint(("ambiguous_names", written, place), message, remedy)
    genera = data["rulebook"]["genera"]
    for written, genus in data.get("old_genera", {}).items():
        if genus not in genera:
            message = f"{written!r} is read as {genus!r}, which is not among the genera"
            remedy = nearest(genus, genera, "name a genus of this rulebook")
            yield Complaint(("old_genera", written), message, remedy)
    hybrids = [taxon for taxon, (_, entry) in taxa.items() if "parents" in entry]
    for place, hybrid in enumerate(data["rulebook"].get("flowers_carry_for", ())):
        if hybrid not in hybrids:
            message = f"flowers_carry_for names {hybrid!r}, which is not a hybrid"
            remedy = nearest(hybrid, hybrids, "write ids of hybrids")
            yield Complaint(("rulebook", "flowers_carry_for", place), message, remedy)


def regions(data: Data) -> Iterator[Complaint]:
    """Where a taxon is absent from is a mention, so that a record can say it."""
    known = {entry["id"] for entry in data.get("mention", ())}
    for name, (path, entry) in _taxa(data).items():
        for place, region in enumerate(entry.get("absent_from", ())):
            if region not in known:
                message = f"{name!r} is absent from {region!r}, which is not a mention"
                remedy = nearest(region, known, "add it as a [[mention]] with its words")
                yield Complaint((*path, "absent_from", place), message, remedy)


def sources(data: Data) -> Iterator[Complaint]:
    """Every source named stands in [sources]."""
    known = {*data["sources"], "practice", "memory"}
    for path, names in _named_sources(data, ()):
        for place, name in enumerate(names):
            if name not in known:
                message = f"the source {name!r} is not in [sources]"
                remedy = nearest(name, known, "add its citation to [sources]")
                yield Complaint((*path, place), message, remedy)


def _named_sources(value: object, path: Path) -> Iterator[tuple[Path, list[str]]]:
    """Every list of source ids: `source` anywhere, and the lists of a taxon's `sources`."""
    if isinstance(value, list):
        for index, item in enumerate(value):
            yield from _named_sources(item, (*path, index))
    elif isinstance(value, dict):
        for key, item in value.items():
            if key == "source":
                yield (*path, key), item
            elif key == "sources" and path:
                yield from (((*path, key, k), v) for k, v in item.items())
            elif key != "phrases":
                yield from _named_sources(item, (*path, key))


def facts_without_source(data: Data) -> Iterator[Complaint]:
    """Every fact says where it comes from; a warning where one does not."""
    remedy = 'name its source, or "practice" or "memory"'
    for name, (path, entry) in _taxa(data).items():
        if entry["name"] and not entry.get("sources", {}).get("name") and entry["above"]:
            yield Complaint(path, f"the name of {name!r} has no source", remedy, "warning")
        if entry.get("months") and not entry.get("sources", {}).get("months"):
            message = f"the months of {name!r} have no source"
            yield Complaint((*path, "months"), message, remedy, "warning")
    for character, rows in data.get("states", {}).items():
        for taxon, entry in rows.items():
            if "source" not in entry:
                message = f"what is known of {taxon!r} for {character!r} has no source"
                yield Complaint(("states", character, taxon), message, remedy, "warning")
    for part in ("requirement", "strict_requirement", "combination", "caution"):
        for index, entry in _items(data, part):
            if "source" not in entry:
                yield Complaint((part, index), f"this {part} has no source", remedy, "warning")


RULES: dict[str, Rule] = {
    "unique ids": unique_ids,
    "the tree": the_tree,
    "hybrids and parents": hybrids_and_parents,
    "known taxa": known_taxa,
    "regions": regions,
    "sources": sources,
    "facts without a source": facts_without_source,
}
