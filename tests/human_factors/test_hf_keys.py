"""Human-factors UI, KEY, ACC: words first, plain keys far apart, few of them, no network."""

from __future__ import annotations

import re
import socket
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import TAIL, on_disk
from hardstand.domain.answering import KEYS
from hardstand.flows.pen import Pen
from hardstand.views.themes import BARE, DAY, NIGHT, THEMES
from hardstand.views.walk_screen import keys_sentence
from hardstand.views.walk_screen import lines as screen
from human_factors.at_terminal import resumed
from human_factors.watched import BOTH, Whole, is_step, planned, watched
from scenarios.stage import answers, bodies, entries
from scripted import Scripted

Fresh = Callable[[], Pen]
START_KEYS = 6
MOST_CONFIRMED = 6
AGAIN = "Is that what "


@pytest.mark.hf("KEY-02")
@pytest.mark.parametrize("tail", BOTH)
@pytest.mark.parametrize("key", ["", " ", "o", "1", "2", "9"])
def test_enter_and_the_same_key_again_confirm_nothing(fresh: Fresh, tail: str, key: str) -> None:
    for step in (s for s in planned(fresh(), tail).steps if s.critical and not s.evidence):
        given = str(step.states.index(step.expect) + 1) if step.states else "o"
        for more, kept in ((["c"], True), ([key, key], False), ([key, "c"], True)):
            pen = fresh()
            watched(pen, tail, until=step.id, then=[given, *more])
            found = {s for s, _, _ in answers(pen.journal, tail)}
            assert (step.id in found) is kept, (step.id, more)


@pytest.mark.hf("KEY-02")
def test_what_is_confirmed_is_told_in_words(whole: Whole) -> None:
    asked = [x for x in whole.seen.exchanges if x.question.prompt.startswith(AGAIN)]
    assert len(asked) == len([s for s in whole.plan.steps if s.critical])
    said = {"state": "see?", "look": "found?", "transmit": "came back?"}
    kinds = [said[s.kind] for s in whole.plan.steps if s.critical]
    again = [x.question.prompt.removeprefix(AGAIN).removeprefix("you ") for x in asked]
    assert again == kinds
    for found in asked:
        assert re.search(r"Keys: C confirm \w+", found.text)
        assert "|" not in found.text, "a report is told as it is read, not as it is kept"
        assert found.reply == "C"
        assert "O" not in found.question.keys


@pytest.mark.hf("KEY-08")
@pytest.mark.parametrize("tail", BOTH)
def test_a_walk_asks_for_few_confirmations_and_types_what_cannot_be_undone(
    fresh: Fresh, tail: str
) -> None:
    seen = watched(fresh(), tail)
    confirmed = [x for x in seen.exchanges if x.question.prompt.startswith(AGAIN)]
    assert len(confirmed) <= MOST_CONFIRMED
    pen = fresh()
    inside = next(s.id for s in planned(pen, tail).steps if s.zone == "compartment")
    left = watched(pen, tail, until=inside, then=["b", "4", "c"])
    assert f"Type {tail[-3:]} to end this walk" in left.words
    assert bodies(pen.journal, "walk.closed") == []


@pytest.mark.hf("ACC-01", "KEY-01")
def test_a_walk_starts_in_six_keys_besides_the_tail(whole: Whole) -> None:
    seen = whole.seen
    first = next(n for n, x in enumerate(seen.exchanges) if is_step(x))
    keys = [x for x in seen.exchanges[:first] if x.question.typed != "text"]
    assert all(len(x.reply) == 1 for x in keys)
    enter = 1
    assert len(keys) + enter <= START_KEYS


@pytest.mark.hf("KEY-07")
def test_the_keys_shown_are_the_keys_taken(whole: Whole) -> None:
    for found in whole.seen.exchanges:
        told = keys_sentence(found.question)
        parts = re.split(r", |; also ", told.removeprefix("Keys: "))
        named = {letter for part in parts for letter in _of(part)}
        assert named == set(found.question.keys) or found.question.typed == "text", told


def _of(part: str) -> list[str]:
    """The letters a part of the sentence names: one with its meaning, or several without."""
    words = part.rstrip(".").split()
    letters = [w for w in words if len(w) == 1 and w.isupper()]
    return letters if letters == words else letters[:1] if words[0] in letters else []


@pytest.mark.hf("UI-01")
@pytest.mark.parametrize("answer", KEYS)
def test_stripped_of_colour_and_marks_a_screen_tells_the_answers_apart(
    fresh: Fresh, answer: str
) -> None:
    rest = {"O": [], "F": [""], "S": ["3"], "N": ["1"], "U": [""]}[answer]
    seen = watched(fresh(), "QM-161", {"comp-bonds": [answer, *rest]}, until="dyn-mount")
    after = seen.at("NEXT Rock DYN-V").question
    for theme in (DAY, NIGHT, BARE):
        drawn = "\n".join(screen(after, 80, drawn=True, theme=theme))
        plain = re.sub(r"\x1b\[[0-9;]*m", "", drawn).encode("ascii", "ignore").decode()
        assert re.search(rf"LAST  4\.05 .*recorded {KEYS[answer]} ", plain)


@pytest.mark.hf("UI-03")
def test_there_is_a_theme_by_day_and_one_by_night_and_none_by_default() -> None:
    assert {"day", "night"} <= THEMES.keys()
    assert "48;5;231" in DAY.ground, "dark on white"
    assert "48;5;16" in NIGHT.ground, "light on black"


@pytest.mark.hf("UI-03")
@pytest.mark.parametrize("theme", ["day", "night"])
def test_a_theme_is_chosen_by_its_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, theme: str
) -> None:
    monkeypatch.setenv("HARDSTAND_THEME", theme)
    with resumed(tmp_path, at="plugs") as seen:
        assert {"day": "ffffff", "night": "000000"}[theme] in seen.grounds


@pytest.mark.hf("UI-03")
def test_one_key_turns_the_theme_and_answers_nothing(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs") as seen:
        before = answers(seen.pen.journal, TAIL)
        grounds = []
        for _ in range(3):
            grounds.append(frozenset(seen.grounds))
            seen.press("t").shows("Do plugs. Place")
        assert len(set(grounds)) == 3
        assert answers(seen.pen.journal, TAIL) == before


@pytest.mark.hf("KEY-04")
def test_a_burst_of_one_key_is_one_answer_at_the_usual_bounce(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs", bounce_ms=300) as seen:
        before = len(answers(seen.pen.journal, TAIL))
        seen.press("OOOOO").shows("Do shut. Place")
        assert len(answers(seen.pen.journal, TAIL)) == before + 1


@pytest.mark.hf("KEY-04")
@pytest.mark.parametrize("word", ["BROKEN WIRE\r", "OIL LEAK", "do\x1b[A", "FO"])
def test_a_word_that_comes_where_a_key_is_asked_for_answers_nothing(
    tmp_path: Path, word: str
) -> None:
    with resumed(tmp_path, at="plugs") as seen:
        before = entries(seen.pen.journal)
        seen.press(word).shows("Nothing was answered: the keys came fast, like a word")
        assert "Do plugs. Place" in seen.words
        assert entries(seen.pen.journal) == before
        seen.press("o").shows("Do shut. Place")


@pytest.mark.hf("KEY-04")
def test_a_word_typed_key_by_key_does_not_leave_the_walk_at_its_b(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs") as seen:
        before = entries(seen.pen.journal)
        for letter in "BENT":
            seen.press(letter)
            time.sleep(0.05)
        seen.shows("Nothing was answered: the keys came fast, like a word")
        assert entries(seen.pen.journal) == before
        seen.press("b").shows("It is recorded. What now?")


@pytest.mark.hf("KEY-04")
@pytest.mark.parametrize("typed", ["o\r", "oo", "OO\n"])
def test_an_enter_or_a_bounce_behind_a_key_is_no_word(tmp_path: Path, typed: str) -> None:
    with resumed(tmp_path, at="plugs") as seen:
        before = len(answers(seen.pen.journal, TAIL))
        seen.press(typed).shows("Do shut. Place")
        assert len(answers(seen.pen.journal, TAIL)) == before + 1


@pytest.mark.hf("KEY-04")
def test_a_word_where_a_number_is_asked_for_answers_nothing(tmp_path: Path) -> None:
    with resumed(tmp_path, at="tools") as seen:
        before = entries(seen.pen.journal)
        seen.press("none\r").shows("Nothing was answered: the keys came fast, like a word")
        assert entries(seen.pen.journal) == before
        seen.press("9\r").shows("Do safe. Place")


@pytest.mark.hf("ACC-03")
def test_a_whole_walk_opens_no_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise AssertionError("a walk reached for the network")

    monkeypatch.setattr(socket, "socket", refused)
    from builders import lines

    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines())
    assert bodies(pen.journal, "walk.closed")[-1].outcome == "finished"


@pytest.mark.hf("ACC-03")
def test_the_command_of_a_walk_loads_nothing_that_talks_to_a_network(tmp_path: Path) -> None:
    import subprocess

    script = (
        "import sys\nfrom hardstand.cli.front import run\nrun(sys.argv[1:])\n"
        "print('NETWORK', sorted({'urllib.request', 'http.client', 'requests'} & {*sys.modules}))"
    )
    on_disk(tmp_path, demo=True)
    done = subprocess.run(
        [sys.executable, "-c", script, "--record", str(tmp_path / "record.db"), "walk", "--by",
         "IO"],
        input=f"{TAIL}\nc\nc\n9\n", capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert "NETWORK []" in done.stdout, done.stderr
