"""The front door: plain words of the quick questions are answered without building the commands.

What is not understood here word by word, help and every odd option included, goes to typer, which
has the same commands and the last say.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from hardstand.cli.boundary import bounded

VALUE, FLAG = "value", "flag"
QUICK: dict[str, dict[str, str]] = {
    "status": {"--at": VALUE, "--json": FLAG},
    "open": {"--at": VALUE, "--json": FLAG, "--csv": FLAG, "--columns": FLAG},
    "why": {"--at": VALUE},
    "walks": {"--close-up": FLAG},
    "board": {"--at": VALUE, "--say": FLAG},
}
"""The options of each quick question that are read here; the typer command knows the rest."""


def run(argv: Sequence[str]) -> int:
    """Run the command line; the exit status."""
    if argv[:1] == ["reckon"]:
        return bounded(lambda: _reckon(argv[1:]))
    words = plain_first(argv)
    return bounded(quick(words) or (lambda: _commands(words)))


def plain_first(argv: Sequence[str]) -> list[str]:
    """The words with `--plain` before the verb, wherever a person wrote it."""
    ended = argv.index("--") if "--" in argv else len(argv)
    rest = [w for i, w in enumerate(argv) if i > ended or w != "--plain"]
    return ["--plain"] * (len(rest) < len(argv)) + rest


def _reckon(words: Sequence[str]) -> None:
    from hardstand.cli.bench import front

    status = front(words)
    if status is None:
        _commands(["reckon", *words])
    else:
        raise SystemExit(status)


def _commands(words: Sequence[str]) -> None:
    from hardstand.cli.app import app

    app(list(words), prog_name="hardstand")


def quick(argv: Sequence[str]) -> Callable[[], None] | None:
    """The quick question these words ask, ready to call; None where typer must have its say."""
    words = list(argv)
    before = _options(words, {"--record": VALUE, "--plain": FLAG})
    if before is None or not words or words[0] not in QUICK:
        return None
    verb = words.pop(0)
    given: dict[str, Any] = {}
    arguments = list[str]()
    while words:
        options = _options(words, QUICK[verb])
        if options is None:
            return None
        given |= options
        if words:
            arguments.append(words.pop(0))
    if len(arguments) > 1 or (verb == "why" and not arguments):
        return None
    return _asked(verb, before, arguments, given)


def _options(words: list[str], known: dict[str, str]) -> dict[str, Any] | None:
    """Options at the front of the words, taken off them; None if one is not known here."""
    found: dict[str, Any] = {}
    while words and words[0].startswith("-"):
        kind = known.get(words[0])
        if kind is None or (kind == VALUE and len(words) < 2):
            return None
        name = words.pop(0).removeprefix("--").replace("-", "_")
        found[name] = words.pop(0) if kind == VALUE else True
    return found


def _asked(
    verb: str, before: dict[str, Any], arguments: list[str], given: dict[str, Any]
) -> Callable[[], None]:
    def ask() -> None:
        from hardstand.cli import hot
        from hardstand.cli.session import Session

        here = Session(record=before.get("record"), plain=bool(before.get("plain")))
        called: dict[str, Callable[..., None]] = {
            "status": hot.status,
            "open": hot.open_items,
            "why": hot.why,
            "walks": hot.walks,
            "board": hot.lead,
        }
        called[verb](here, *arguments, **given)

    return ask
