from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from crossproof.read.repair import repair

SIGNS = "×°éèüöëñ–—’“”♀♂½±µ"


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("codec", ["cp1252", "latin-1", "mac_roman", "cp850"])
def test_a_sign_read_through_a_wrong_codec(sign: str, codec: str) -> None:
    # The reference is Python's own codecs: UTF-8 written, something else read.
    try:
        damaged = f"a {sign}b".encode().decode(codec)
    except UnicodeDecodeError:
        pytest.skip(f"{codec} has no character for a byte of {sign}")
    assert repair(damaged) == f"a {sign}b"


@pytest.mark.parametrize("sign", SIGNS)
@pytest.mark.parametrize("passes", [1, 2, 3])
def test_several_wrong_passes(sign: str, passes: int) -> None:
    text = f"a {sign} b"
    for _ in range(passes):
        text = text.encode().decode("latin-1")
    assert repair(text) == f"a {sign} b"


@pytest.mark.parametrize(
    ("damaged", "whole"),
    [
        ("D. Ã— grandis", "D. × grandis"),
        ("D. ÃƒÂ— grandis", "D. × grandis"),
        ("D. Ãƒâ€” grandis", "D. × grandis"),
        ("Dactylorhiza Î grandis", "Dactylorhiza × grandis"),  # 0xD7 read as cp850
        ("Dactylorhiza ◊ grandis", "Dactylorhiza × grandis"),  # 0xD7 read as Mac Roman
        ("Dactylorhiza ◊grandis", "Dactylorhiza ×grandis"),
        ("Dactylorhiza ž grandis", "Dactylorhiza × grandis"),  # 0x9E of cp850 read as cp1252
        ("Dactylorhiza Ч grandis", "Dactylorhiza × grandis"),  # 0xD7 read as cp1251
        ("D. &times; grandis", "D. × grandis"),
        ("D. &amp;times; grandis", "D. × grandis"),
        ("D. &#215;grandis &#xD7; b", "D. ×grandis × b"),
        ("♀ Ã— ♂", "♀ × ♂"),
        ("ZoÃ« and Zoë", "Zoë and Zoë"),
    ],
)
def test_damaged_text(damaged: str, whole: str) -> None:
    assert repair(damaged) == whole


@pytest.mark.parametrize(
    "text",
    [
        "Dactylorhiza × grandis",
        "Zoë Müller, Île de Groix, Ångström, São Tomé, ÉCOLE",
        "„Fuß“ «Å» “Ä” Å–Ä",
        "A & B; C &c; &lt;b&gt; &amp;",
        "https://example.org/a?b=1&copy=2",
        "Dactylorhiza ? grandis",
        "Žofie, Чехов",
        "√2 ≠ 1",
        "",
    ],
)
def test_sound_text_is_left_alone(text: str) -> None:
    assert repair(text, name=True) == text


def test_a_lost_sign_is_taken_for_a_cross_in_names_only() -> None:
    assert repair("Dactylorhiza \ufffd grandis", name=True) == "Dactylorhiza × grandis"
    assert repair("seen \ufffd twice") == "seen \ufffd twice"


@given(st.text(st.characters(max_codepoint=0x7F)).filter(lambda text: "&" not in text))
def test_ascii_is_never_touched(text: str) -> None:
    assert repair(text, name=True) == text


@given(st.lists(st.sampled_from([*SIGNS, " ", "a", "D.", "grandis"]), max_size=10).map("".join))
def test_repair_undoes_one_wrong_pass(text: str) -> None:
    assert repair(text.encode().decode("latin-1")) == text
