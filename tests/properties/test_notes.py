"""Notes from the key to the screen: any language kept exactly, nothing in them can act."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import IO, MORNING, TAIL, begun, close_all, lines, on_disk
from command import command
from hardstand.domain.bodies import By
from hardstand.domain.quantity import later
from hardstand.domain.words import visible
from hardstand.errors import Usage
from hardstand.flows.listing import open_list
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from hardstand.store.reads import Reads
from hardstand.views import open_items, tables
from memory import MemoryJournal
from scripted import Scripted

LANGUAGES = (
    "Пеленг прыгает на 30 градусов",
    "第三通道有噪音",
    "الاستقبال ضعيف",
    "schwächer als sonst, Gehäuse heiß",
    "ασθενές σήμα",
    "สัญญาณอ่อน",
    "signal 🛠 ½ µV ±3 °",
)
ACTING = {
    "\x1b[31mred\x1b[0m": "⟨ESC⟩[31mred⟨ESC⟩[0m",
    "left\u202etfel": "left⟨RLO⟩tfel",
    "two\nlines": "two⟨LF⟩lines",
    "bell\a back\b": "bell⟨BEL⟩ back⟨BS⟩",
    "\u2066isolate\u2069": "⟨LRI⟩isolate⟨PDI⟩",
    "nul\x00": "nul⟨NUL⟩",
}
BRACKETS = ("[bold]hum[/bold]", "[/]", "[red]X", "\\[b]", "[link=x]y[/link]", ":warning:")
notes = st.text(min_size=1, max_size=60).filter(lambda text: bool(text.strip()))


def _raise(pen: Pen, words: str) -> None:
    raise_defect(pen, TAIL, Told(words=words), by=IO)


def _stored(pen: Pen) -> list[str]:
    return [json.loads(e.body)["text"] for e in pen.journal.entries(kind="defect.raised")]


def _squeezed(text: str) -> str:
    return "".join(text.split())


@given(notes)
def test_a_note_in_any_language_is_kept_exactly_and_read_back(words: str) -> None:
    pen = begun(MemoryJournal())
    _raise(pen, words)
    assert _stored(pen) == [words]
    assert pen.journal.facts(TAIL).open[0].text == words


@pytest.mark.parametrize("words", [*LANGUAGES, *BRACKETS, *ACTING])
def test_every_way_to_look_at_a_note_shows_it_and_what_acts_by_name(
    tmp_path: Path, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    _raise(pen, words)
    close_all()
    path = tmp_path / "record.db"
    shown = _squeezed(ACTING.get(words, words))
    asked = (["open"], ["status", TAIL], ["why", TAIL], ["why", "161-A01"],
             ["record", "history", TAIL])  # fmt: skip
    for question in asked:
        assert command("--record", path, *question) == 0
        printed = capsys.readouterr().out
        assert shown in _squeezed(printed), question
        assert visible(printed.replace("\n", "")) == printed.replace("\n", "")
    assert command("--record", path, "open", "--json") == 0
    assert json.loads(capsys.readouterr().out)["items"][0]["text"] == words


@pytest.mark.parametrize("words", BRACKETS)
def test_a_drawn_table_prints_square_brackets_as_typed(words: str) -> None:
    drawn = tables._drawn(("tail", "fit", "what"), [["QM-161", "T", words]], 80)
    assert words in drawn


@pytest.mark.parametrize("words", [*LANGUAGES, *BRACKETS])
def test_a_note_typed_in_a_walk_is_the_note_of_the_entry(words: str) -> None:
    pen = begun(MemoryJournal())
    walked = Scripted.until_left(pen, lines(plugs=("f", words)))
    assert "FINISHED" in walked.said
    assert pen.journal.facts(TAIL).open[0].text == words


@pytest.mark.parametrize("words", ACTING)
def test_a_note_on_a_question_of_the_walk_shows_what_acts_by_name(words: str) -> None:
    pen = begun(MemoryJournal())
    _raise(pen, words)
    walked = Scripted.until_left(pen, lines(until="tools"))
    assert _squeezed(ACTING[words]) in _squeezed(walked.said)
    assert words not in walked.said


def test_a_note_of_4001_characters_is_refused_with_its_count_and_asked_again() -> None:
    pen = begun(MemoryJournal())
    walked = Scripted.until_left(pen, lines(plugs=("f", "й" * 4001, "й" * 4000)))
    assert (
        "This note has 4001 characters; one note holds 4000. "
        "Nothing was cut: write it as two notes."
    ) in walked.said
    assert pen.journal.facts(TAIL).open[0].text == "й" * 4000


def test_a_note_too_long_is_refused_outside_a_walk_too() -> None:
    pen = begun(MemoryJournal())
    with pytest.raises(Usage) as raised:
        _raise(pen, "x" * 4001)
    assert raised.value.lines()[0] == (
        "This note has 4001 characters; one note holds 4000. "
        "Nothing was cut: write it as two notes."
    )
    assert _stored(pen) == []


def test_bytes_that_are_no_utf_8_are_asked_again_and_never_kept() -> None:
    pen = begun(MemoryJournal())
    walked = Scripted.until_left(pen, lines(plugs=("f", "hum \udcff", "hum")))
    assert "That text is not whole UTF-8 and cannot be kept. Type it again." in walked.said
    assert pen.journal.facts(TAIL).open[0].text == "hum"


def test_no_cell_of_the_csv_is_a_formula(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    for words in ("=1+1", "@cmd", "+1", "-1 dB"):
        _raise(pen, words)
    reading = Reads(tmp_path / "record.db")
    found = open_list(reading, later(MORNING, hours=1))
    reading.close()
    texts = [row.split(",")[5] for row in open_items.csv_text(found).splitlines()[1:]]
    assert texts == ["'=1+1", "'@cmd", "'+1", "'-1 dB"]


def test_initials_of_any_alphabet_are_kept(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    raise_defect(pen, TAIL, Told(words="hum"), by=By(doer="ÅЖ"))
    assert pen.journal.facts(TAIL).open[0].found_by == "ÅЖ"
