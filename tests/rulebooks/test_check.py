"""One broken rulebook for each check, with the exact words that a botanist reads."""

from __future__ import annotations

from pathlib import Path

import pytest

from crossproof.rulebooks.check import RulebookError, load_checked, problems
from crossproof.rulebooks.load import HOME, shipped

# A whole rulebook of an invented genus, as small as may be; each case below breaks one thing.
SOUND = """\
format = "1.0"
[rulebook]
id = "fictia"
title = "An invented genus"
version = "1.0.0"
issued = "2026-11-25"
family = "Fictaceae"
genera = ["Fictia"]
root = "fictia"
default_setting = "meadow"
[sources]
S1 = "An invented flora"
[old_genera]
Fingia = "Fictia"
[ambiguous_names]
"Fictia vulgaris" = ["alba", "rubra"]
[[taxon]]
id = "fictia"
name = "Fictia"
rank = "genus"
above = ""
[[taxon]]
id = "alba"
name = "Fictia alba"
rank = "species"
above = "fictia"
months = [5, 6]
absent_from = ["Wales"]
sources = { name = ["S1"], months = ["S1"] }
[[taxon]]
id = "rubra"
name = "Fictia rubra"
rank = "species"
above = "fictia"
sources = { name = ["memory"] }
[[hybrid]]
id = "rosea"
name = "Fictia × rosea"
rank = "nothospecies"
parents = ["alba", "rubra"]
above = "fictia"
sources = { name = ["practice"] }
[[character]]
id = "petals"
title = "petals"
order = 20
state = [
    { id = "white", title = "white" },
    { id = "pink", title = "pink", between = true },
    { id = "red", title = "red" },
]
[[character]]
id = "leaf_width"
title = "width of the leaf"
order = 10
unit = "mm"
[states.petals]
alba = { states = ["white"], source = ["S1"] }
rubra = { states = ["red"], rare = ["pink"], source = ["S1"] }
rosea = { states = ["pink"], source = ["S1"] }
[states.leaf_width]
alba = { measure = [2, 4], source = ["S1"] }
rubra = { measure = [6, 9], source = ["S1"] }
[[requirement]]
hybrids = ["rosea"]
all_of = ["petals", "photo"]
any_of = ["leaf_width"]
at_least = 1
source = ["practice"]
[[combination]]
hybrids = ["rosea"]
when = { petals = ["pink"] }
effect = "fits"
unless = ["Wales"]
source = ["S1"]
[[mention]]
id = "Wales"
kind = "region"
words = ["Wales"]
[soil]
mention = "Wales"
brings = "rubra"
instead_of = "alba"
spoken_for_by = { petals = ["white"] }
[[caution]]
text = "Mind it."
source = ["practice"]
[priors.meadow]
alba = 0.5
rubra = 0.4
other = 0.1
[frequencies.petals]
alba = { white = 1.0 }
rubra = { red = 0.9, pink = 0.1 }
[phrases]
traps = ["white lie"]
[phrases.petals.states.white]
words = ["white", "snowy"]
[phrases.petals.states.red]
words = ["red"]
"""


def check(text: str, folder: Path) -> list[str]:
    path = folder / "fictia.toml"
    path.write_text(text, encoding="utf-8")
    return [str(problem) for problem in problems(path)]


def broken(old: str, new: str) -> str:
    assert SOUND.count(old) == 1, f"the case must change one place: {SOUND.count(old)}"
    return SOUND.replace(old, new)


def test_the_sound_rulebook_has_no_problems(tmp_path: Path) -> None:
    assert check(SOUND, tmp_path) == []
    assert load_checked(tmp_path / "fictia.toml").id == "fictia"


ERRORS = [
    # --- TOML ---
    (
        'title = "An invented genus"',
        'title = "An invented genus',
        "line 4: is not TOML: illegal character '\\n' (look for a missing quote, bracket, comma or "
        "equals sign here or just above)",
    ),
    (
        'words = ["red"]\n',
        'words = ["red"\n',
        "line 100: is not TOML: unclosed array (look for a missing quote, bracket, comma or "
        "equals sign here or just above)",
    ),
    # --- schema ---
    (
        'format = "1.0"',
        'format = "2.0"',
        "line 1: format: '2.0' is not '1.0' (The version of this format, always \"1.0\")",
    ),
    (
        'family = "Fictaceae"\n',
        "",
        "line 2: rulebook: 'family' is missing (add it: The plant family: `Violaceae`)",
    ),
    (
        'genera = ["Fictia"]',
        'genera = "Fictia"',
        "line 8: rulebook.genera: 'Fictia' is not a list in square brackets "
        "(The genera whose names this rulebook covers)",
    ),
    (
        'name = "Fictia alba"',
        'nane = "Fictia alba"\nname = "Fictia alba"',
        "line 24: taxon[2].nane: 'nane' is no key of this format (take it out, or use one of: id, "
        "name, authorship, rank, above, label, usable, vernaculars, synonyms, abbreviations, "
        "misspellings, months, absent_from, sensitive_m, sources)",
    ),
    (
        'id = "rubra"',
        'id = "Rubra"',
        "line 31: taxon[3].id: 'Rubra' is not written as it should be (A short handle of your own "
        "for this taxon: small letters, digits and underscores)",
    ),
    (
        'rank = "nothospecies"',
        'rank = "hybrid"',
        "line 39: hybrid[1].rank: 'hybrid' is none of the words allowed (choose from: genus, "
        "subgenus, section, series, aggregate, species, subspecies, variety, form, nothospecies, "
        "nothosubspecies, hybrid formula)",
    ),
    (
        "months = [5, 6]",
        "months = [5,\n 13]",
        "line 28: taxon[2].months[2]: 13 is too large (write 12 at the most)",
    ),
    (
        "months = [5, 6]",
        "months = [0, 6]",
        "line 27: taxon[2].months[1]: 0 is too small (write 1 at the least)",
    ),
    (
        'parents = ["alba", "rubra"]',
        'parents = ["alba"]',
        "line 40: hybrid[1].parents: the list is too short: it needs 2 (The ids of the two "
        "parents, both defined under [[taxon]])",
    ),
    # --- ids and the tree ---
    (
        'id = "rubra"',
        'id = "alba"',
        "line 31: taxon[3].id: a second taxon has the id 'alba' (give it an id of its own)",
    ),
    (
        '{ id = "red", title = "red" }',
        '{ id = "pink", title = "red" }',
        "line 50: character[1].state[3].id: a second state of 'petals' has the id 'pink' "
        "(give it an id of its own)",
    ),
    (
        'root = "fictia"',
        'root = "fictja"',
        "line 9: rulebook.root: the root 'fictja' is not a taxon (did you mean 'fictia'?)",
    ),
    (
        'rank = "species"\nabove = "fictia"\nsources',
        'rank = "species"\nabove = ""\nsources',
        "line 34: taxon[3].above: 'rubra' has nothing above it, but the root is 'fictia' "
        "(name the taxon just above it)",
    ),
    (
        'rank = "species"\nabove = "fictia"\nsources',
        'rank = "species"\nabove = "nowhere"\nsources',
        "line 34: taxon[3].above: 'rubra' lies below 'nowhere', which is not a taxon "
        "(add it as a [[taxon]])",
    ),
    (
        'rank = "genus"\nabove = ""',
        'rank = "genus"\nabove = "alba"',
        "line 21: taxon[1].above: the root 'fictia' lies below 'alba' "
        '(write above = "" for the root)',
    ),
    (
        'rank = "species"\nabove = "fictia"\nsources',
        'rank = "species"\nabove = "rubra"\nsources',
        "line 34: taxon[3].above: 'rubra' lies below itself, by way of 'rubra' "
        "(name a taxon that is really above it)",
    ),
    # --- hybrids ---
    (
        'parents = ["alba", "rubra"]',
        'parents = ["alba", "rubrra"]',
        "line 40: hybrid[1].parents[2]: the parent 'rubrra' of 'rosea' is not a taxon "
        "(did you mean 'rubra'?)",
    ),
    (
        'parents = ["alba", "rubra"]\nabove = "fictia"',
        'parents = ["alba", "rubra"]\nabove = "alba"',
        "line 41: hybrid[1].above: 'rosea' lies below its own parent 'alba' "
        "(hang it from the lowest taxon that holds both parents)",
    ),
    (
        'parents = ["alba", "rubra"]\nabove = "fictia"',
        'parents = ["alba", "rubra"]\nabove = "pale"\n[[taxon]]\nid = "pale"\nname = "Fictia '
        'pale agg."\nrank = "aggregate"\nabove = "fictia"',
        "line 41: hybrid[1].above: 'rosea' lies below 'pale', which does not hold its parent "
        "'alba' (hang it from the lowest taxon that holds both parents)",
    ),
    # --- names ---
    (
        '"Fictia vulgaris" = ["alba", "rubra"]',
        '"Fictia vulgaris" = ["alba", "flava"]',
        "line 16: ambiguous_names.Fictia vulgaris[2]: 'Fictia vulgaris' may mean 'flava', "
        "which is not a taxon (write ids of taxa)",
    ),
    (
        'Fingia = "Fictia"',
        'Fingia = "Factia"',
        "line 14: old_genera.Fingia: 'Fingia' is read as 'Factia', which is not among the genera "
        "(did you mean 'Fictia'?)",
    ),
    (
        'default_setting = "meadow"',
        'default_setting = "meadow"\nflowers_carry_for = ["alba"]',
        "line 11: rulebook.flowers_carry_for[1]: flowers_carry_for names 'alba', which is not a "
        "hybrid (write ids of hybrids)",
    ),
    (
        'absent_from = ["Wales"]',
        'absent_from = ["Whales"]',
        "line 28: taxon[2].absent_from[1]: 'alba' is absent from 'Whales', which is not a mention "
        "(did you mean 'Wales'?)",
    ),
    (
        'sources = { name = ["practice"] }',
        'sources = { name = ["S9"] }',
        "line 42: hybrid[1].sources.name[1]: the source 'S9' is not in [sources] "
        "(add its citation to [sources])",
    ),
    # --- characters and states ---
    (
        'order = 10\nunit = "mm"',
        "order = 10",
        "line 52: character[2]: 'leaf_width' has neither states nor a unit "
        "(add its states, or its unit)",
    ),
    (
        "order = 20",
        'order = 20\nunit = "mm"',
        "line 47: character[1].unit: 'petals' has both states and a unit "
        "(keep the one or the other)",
    ),
    (
        'title = "red" }',
        'title = "red", kind_of = "dark" }',
        "line 50: character[1].state[3].kind_of: 'red' is a kind of 'dark', which is not a state "
        "of 'petals' (choose from white, pink, red)",
    ),
    (
        "[states.leaf_width]",
        "[states.leaf_with]",
        "line 61: states.leaf_with: [states] speaks of the character 'leaf_with', which is not "
        "defined (did you mean 'leaf_width'?)",
    ),
    (
        'rosea = { states = ["pink"], source',
        'rosea = { states = ["pinkish"], source',
        "line 60: states.petals.rosea.states[1]: 'pinkish' is not a state of 'petals' "
        "(did you mean 'pink'?)",
    ),
    (
        "rubra = { measure = [6, 9]",
        "ruby = { measure = [6, 9]",
        "line 63: states.leaf_width.ruby: [states.leaf_width] speaks of 'ruby', which is not a "
        "taxon (did you mean 'rubra'?)",
    ),
    (
        "measure = [6, 9]",
        "measure = [9, 6]",
        "line 63: states.leaf_width.rubra.measure: the range 9-6 is reversed "
        "(write the lowest first)",
    ),
    (
        'rosea = { states = ["pink"], source',
        "rosea = { measure = [1, 2], source",
        "line 60: states.petals.rosea.measure: a measure is given for 'petals', which is not "
        "measured (write its states instead)",
    ),
    (
        'rosea = { states = ["pink"], source',
        "rosea = { source",
        "line 60: states.petals.rosea: nothing is said here: no states and no measure "
        "(state what is known, or take the line out)",
    ),
    # --- needs and combinations ---
    (
        'all_of = ["petals", "photo"]',
        'all_of = ["petal", "photo"]',
        "line 66: requirement[1].all_of[1]: a requirement asks for the character 'petal', which "
        "is not defined (did you mean 'petals'?)",
    ),
    (
        '[[requirement]]\nhybrids = ["rosea"]',
        '[[requirement]]\nhybrids = ["rose"]',
        "line 65: requirement[1].hybrids[1]: 'rose' is not a hybrid of this rulebook "
        "(did you mean 'rosea'?)",
    ),
    (
        "at_least = 1",
        "at_least = 2",
        "line 68: requirement[1].at_least: at_least asks for more characters than any_of holds "
        "(lower at_least, or add to any_of)",
    ),
    (
        'when = { petals = ["pink"] }',
        'when = { sepals = ["pink"] }',
        "line 72: combination[1].when.sepals: a combination speaks of the character 'sepals', "
        "which is not defined (did you mean 'petals'?)",
    ),
    (
        'when = { petals = ["pink"] }',
        'when = { petals = "blue" }',
        "line 72: combination[1].when.petals: 'blue' is not a state of 'petals' "
        "(choose from white, pink, red)",
    ),
    (
        'effect = "fits"',
        'effect = "fits"\nblames = ["flower"]',
        "line 74: combination[1].blames[1]: a combination blames the character 'flower', which "
        "is not defined (define it as a [[character]])",
    ),
    (
        'effect = "fits"',
        'effect = "against"',
        "line 70: combination[1]: a combination speaks against a claim and blames no character "
        "(name in blames the characters that speak)",
    ),
    (
        'unless = ["Wales"]',
        'unless = ["Kent"]',
        "line 74: combination[1].unless[1]: a combination does not hold with 'Kent', which is not "
        "a mention (add it as a [[mention]])",
    ),
    (
        'mention = "Wales"',
        'mention = "bog"',
        "line 81: soil.mention: [soil] speaks of 'bog', which is not a mention "
        "(add it as a [[mention]])",
    ),
    (
        'brings = "rubra"',
        'brings = "nigra"',
        "line 82: soil.brings: [soil] speaks of 'nigra', which is not a taxon (name a taxon)",
    ),
    (
        'spoken_for_by = { petals = ["white"] }',
        'spoken_for_by = { petals = ["wite"] }',
        "line 84: soil.spoken_for_by.petals[1]: 'wite' is not a state of 'petals' "
        "(did you mean 'white'?)",
    ),
    # --- numbers ---
    (
        "rubra = 0.4",
        "ruber = 0.4",
        "line 90: priors.meadow.ruber: [priors.meadow] speaks of 'ruber', which is not a taxon "
        "(did you mean 'rubra'?)",
    ),
    (
        'default_setting = "meadow"',
        'default_setting = "heath"',
        "line 10: rulebook.default_setting: the setting 'heath' has no priors (add [priors.heath])",
    ),
    (
        "rubra = { red = 0.9, pink = 0.1 }",
        "rubra = { red = 0.9, pink = 0.2 }",
        "line 94: frequencies.petals.rubra: the shares of 'rubra' sum to 1.1, not to one "
        "(mend the shares so that they sum to one)",
    ),
    (
        "rubra = { red = 0.9, pink = 0.1 }",
        "rubra = { red = 0.9, blue = 0.1 }",
        "line 94: frequencies.petals.rubra.blue: 'blue' is not a state of 'petals' "
        "(choose from white, pink, red)",
    ),
    (
        "[frequencies.petals]",
        "[frequencies.pollen]",
        "line 92: frequencies.pollen: [frequencies] speaks of the character 'pollen', which is "
        "not defined (define it as a [[character]])",
    ),
    # --- phrases ---
    (
        "[phrases.petals.states.white]",
        '[phrases.petals]\nlose = ["pale"]\n\n[phrases.petals.states.white]',
        "line 98: phrases.petals.lose: 'lose' is no key of this format (take it out, or use one "
        "of: organ, organ_adjective, organ_label, loose, in_part, classes, organ_of, unless, "
        "absent, one_plant, together, named, of, dimension, zero, states)",
    ),
    (
        'words = ["red"]',
        'words = ["red", "Snowy"]',
        "line 100: phrases.petals.states.red.words[2]: the phrase 'Snowy' means two states, "
        "'white' and 'red' (keep it for one of them)",
    ),
    (
        "[phrases.petals.states.red]",
        "[phrases.petals.states.crimson]",
        "line 99: phrases.petals.states.crimson: 'crimson' is not a state of 'petals' "
        "(choose from white, pink, red)",
    ),
    (
        "[phrases.petals.states.red]",
        "[phrases.stem.states.red]",
        "line 99: phrases.stem: [phrases] speaks of the character 'stem', which is not defined "
        "(define it as a [[character]])",
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), ERRORS)
def test_each_error_has_its_line_and_its_words(
    old: str, new: str, said: str, tmp_path: Path
) -> None:
    found = check(broken(old, new), tmp_path)
    assert f"fictia.toml, {said}" in found
    with pytest.raises(RulebookError, match=r"fictia\.toml, line \d+: "):
        load_checked(tmp_path / "fictia.toml")


WARNINGS = [
    (
        'rank = "species"\nabove = "fictia"\nsources = { name = ["memory"] }',
        'rank = "species"\nabove = "fictia"',
        "line 30: taxon[3]: the name of 'rubra' has no source "
        '(name its source, or "practice" or "memory")',
    ),
    (
        'sources = { name = ["S1"], months = ["S1"] }',
        'sources = { name = ["S1"] }',
        "line 27: taxon[2].months: the months of 'alba' have no source "
        '(name its source, or "practice" or "memory")',
    ),
    (
        'alba = { states = ["white"], source = ["S1"] }',
        'alba = { states = ["white"] }',
        "line 58: states.petals.alba: what is known of 'alba' for 'petals' has no source "
        '(name its source, or "practice" or "memory")',
    ),
    (
        'text = "Mind it."\nsource = ["practice"]',
        'text = "Mind it."',
        "line 85: caution[1]: this caution has no source "
        '(name its source, or "practice" or "memory")',
    ),
    (
        '[[requirement]]\nhybrids = ["rosea"]\nall_of = ["petals", "photo"]\n'
        'any_of = ["leaf_width"]\nat_least = 1\nsource = ["practice"]\n',
        "",
        "line 36: hybrid[1]: nothing says what a claim of 'rosea' needs "
        "(add a [[requirement]] that names it)",
    ),
    (
        "at_least = 1",
        "at_least = 1\nnever = true",
        "line 36: hybrid[1]: a claim of 'rosea' is never upheld, and nothing says why "
        "(add why to its [[requirement]])",
    ),
    (
        'effect = "fits"',
        'effect = "undecided"',
        "line 36: hybrid[1]: no evidence could support 'rosea': none of its combinations fits "
        "(add a [[combination]] that fits, or set never = true and say why)",
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), WARNINGS)
def test_each_warning_has_its_words_and_stops_nothing(
    old: str, new: str, said: str, tmp_path: Path
) -> None:
    assert check(broken(old, new), tmp_path) == [f"warning: fictia.toml, {said}"]
    assert load_checked(tmp_path / "fictia.toml").title == "An invented genus"


COMBINATION = SOUND[SOUND.index("[[combination]]") : SOUND.index("[[mention]]")]
MEASURES = SOUND[SOUND.index("[states.leaf_width]") : SOUND.index("[[requirement]]")]


def test_a_hybrid_that_shows_only_what_a_parent_shows_is_never_supported(tmp_path: Path) -> None:
    text = broken('rosea = { states = ["pink"]', 'rosea = { states = ["red", "white"]')
    text = text.replace(COMBINATION, "").replace(MEASURES, "")
    # White excludes the one parent, red the other; but no plant is both.
    assert check(text, tmp_path) == [
        "warning: fictia.toml, line 36: hybrid[1]: no evidence could support 'rosea': all it may "
        "show is known of a parent as well (add a state that lies between, a [[combination]] that "
        "fits, or never = true)"
    ]


def test_two_characters_may_exclude_a_parent_each(tmp_path: Path) -> None:
    text = broken('rosea = { states = ["pink"]', 'rosea = { states = ["red", "white"]')
    assert check(text.replace(COMBINATION, ""), tmp_path) == []


def test_two_hybrids_that_no_character_tells_apart_are_named(tmp_path: Path) -> None:
    second = """\
[[hybrid]]
id = "rosea_too"
name = "Fictia × roseola"
rank = "nothospecies"
parents = ["alba", "rubra"]
above = "fictia"
sources = { name = ["practice"] }
[[character]]
id = "petals"
"""
    text = broken('[[character]]\nid = "petals"\n', second)
    text = text.replace('hybrids = ["rosea"]', 'hybrids = ["rosea", "rosea_too"]')
    text = text.replace(
        "[states.leaf_width]",
        'rosea_too = { states = ["pink"], source = ["S1"] }\n[states.leaf_width]',
    )
    assert check(text, tmp_path) == [
        "warning: fictia.toml, line 43: hybrid[2]: no character tells 'rosea_too' from 'rosea' "
        "(state for one character what each of the two, or a parent, shows)"
    ]


def test_many_problems_are_told_in_one_message(tmp_path: Path) -> None:
    text = SOUND.replace('source = ["S1"]', 'source = ["S8"]')
    check(text, tmp_path)
    with pytest.raises(RulebookError) as caught:
        load_checked(tmp_path / "fictia.toml")
    told = str(caught.value).splitlines()
    assert told[0] == (
        "fictia.toml, line 58: states.petals.alba.source[1]: the source 'S8' is not in [sources] "
        "(add its citation to [sources])"
    )
    assert told[5:] == ["and 1 more"]
    assert len(caught.value.problems) == 6


def test_files_that_cannot_be_read_are_problems_too(tmp_path: Path) -> None:
    missing = problems(tmp_path / "none.toml")
    assert str(missing[0]) == (
        "none.toml, line 0: cannot be read: No such file or directory (check the path)"
    )
    (tmp_path / "latin.toml").write_bytes('title = "×"'.encode("latin-1"))
    assert [str(p) for p in problems(tmp_path / "latin.toml")] == [
        "latin.toml, line 0: is not UTF-8 text (save it as UTF-8)"
    ]


def test_windows_files_are_read_as_any_other(tmp_path: Path) -> None:
    path = tmp_path / "fictia.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SOUND.replace("\n", "\r\n").encode())
    assert problems(path) == []
    assert load_checked(path).root == "fictia"


# The two crosses differ in one marsh-orchid parent, whose marks, stem and lip are much alike.
KNOWN_WARNINGS = {"dactylorhiza": ["no character tells 'fuchsii_x_kerryensis' from 'venusta'"]}


@pytest.mark.parametrize("path", sorted(HOME.glob("*.toml")), ids=lambda path: path.stem)
def test_the_shipped_rulebooks_are_sound(path: Path) -> None:
    found = problems(path)
    assert [p for p in found if p.severity == "error"] == []
    assert [p.message for p in found] == KNOWN_WARNINGS.get(path.stem, [])


def test_no_heading_means_two_characters_in_the_shipped_rulebooks() -> None:
    # Records of all groups come in one submission, under one row of headings.
    meant: dict[str, set[str]] = {}
    for rulebook in shipped():
        for character in rulebook.characters.values():
            for heading in (character.id, *character.headings):
                folded = "".join(filter(str.isalnum, heading.casefold()))
                meant.setdefault(folded, set()).add(character.id)
    assert {heading: ids for heading, ids in meant.items() if len(ids) > 1} == {}


def test_regions_mean_the_same_in_every_shipped_rulebook() -> None:
    # The regions of all rulebooks are known together, by their ids.
    for rulebook in shipped():
        for mention in rulebook.mentions:
            twins = [m for book in shipped() for m in book.mentions if m.id == mention.id]
            assert all(twin == mention for twin in twins)
