"""What `hardstand reckon` does, without typer, so that a sum costs no more than a sum.

The entry point calls `front` before it builds the command line; what `quick` does not understand,
help included, is left to typer.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence


def front(argv: Sequence[str]) -> int | None:
    """The exit status of the words after `reckon`, answered; None where typer must have its say."""
    from hardstand.errors import HardstandError, Interrupted
    from hardstand.views.output import emit, tell

    try:
        said = quick(argv)
        if said is None:
            return None
        emit(said)
        sys.stdout.flush()
    except HardstandError as error:
        tell("\n".join(error.lines()))
        return error.exit_status
    except KeyboardInterrupt:
        tell("Interrupted.")
        return Interrupted.exit_status
    except BrokenPipeError:
        sys.stderr.close()
    return 0


def quick(argv: Sequence[str]) -> str | None:
    """The answer to the words after `reckon`, or None where typer must have its say.

    Raises:
        HardstandError: as `answer`.
    """
    words: list[str] = []
    table, as_json = "", False
    rest = iter(argv)
    for word in rest:
        if word == "--json":
            as_json = True
        elif word == "--csv":
            table = next(rest, "")
            if not table:
                return None
        elif word.startswith("--csv="):
            table = word.removeprefix("--csv=")
        elif word.startswith("-"):
            return None
        else:
            words.append(word)
    return answer(words[0] if words else "", words[1:], table=table, as_json=as_json)


def answer(name: str, pairs: Sequence[str], *, table: str, as_json: bool) -> str:
    """The text of a list, an explanation, one sum or a table of sums.

    Raises:
        NotThere: there is no such sum, or the table cannot be opened.
        Usage: an input is not of the sum, or is refused; or the table is not one.
    """
    from hardstand.flows import reckoning
    from hardstand.views import reckoning as view

    if table:
        return _tabled(name, pairs, table, as_json=as_json)
    if not name:
        headings = reckoning.contents()
        return view.listed_json(headings) if as_json else view.listed(headings)
    if not pairs:
        family, purpose = reckoning.family(name), reckoning.purpose(name)
        return view.explained_json(family, purpose) if as_json else view.explained(family, purpose)
    sum_ = reckoning.one(name, pairs)
    return view.as_json(sum_) if as_json else view.worked(sum_, reckoning.purpose(name))


def _tabled(name: str, pairs: Sequence[str], table: str, *, as_json: bool) -> str:
    from hardstand.errors import Usage
    from hardstand.flows import reckoning
    from hardstand.views import reckoning as view

    if pairs or not name:
        raise Usage("--csv takes the name of one sum and no KEY=VALUE.")
    family = reckoning.family(name)
    sums = reckoning.table(name, _text_of(table))
    return view.table_json(family, sums) if as_json else view.as_csv(family, sums)


def _text_of(path: str) -> str:
    """The text of a file, or of stdin for `-`; a byte-order mark is left out.

    Raises:
        NotThere: the file cannot be opened.
        Usage: it is not UTF-8.
    """
    from hardstand.errors import NotThere, Usage

    try:
        if path == "-":
            return sys.stdin.buffer.read().decode("utf-8-sig")
        with open(path, encoding="utf-8-sig", newline="") as file:
            return file.read()
    except OSError as problem:
        raise NotThere(f"{path} cannot be read: {problem.strerror}.") from None
    except UnicodeDecodeError:
        raise Usage(f"{path} is not UTF-8 text.", hint="Save the table as UTF-8.") from None
