"""Links lead somewhere, words keep to the glossary, the house looks as it says it does."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from docs.pages import TOP, blocks, name_of, pages, prose

LINK = re.compile(r"\[[^\]]*\]\(([^)\s]+)\)")
CLAIMS = re.compile(
    r"\b(airworth\w*|(safe|fit) to fly|released|released? (to|for) service|approved for flight)\b",
    re.IGNORECASE,
)
DENIALS = re.compile(r"\b(no|not|never|nothing|none|nobody|nor)\b", re.IGNORECASE)
OF_OTHER_TRADES = re.compile(
    r"\b(simply|ticket|assignee|workflow|dashboard|wizard|go/no-go|dispatch\w*|squad|diagnosis"
    r"|root cause|prediction|robust|seamless\w*|powerful|comprehensive)\b",
    re.IGNORECASE,
)
OURS = frozenset({"README.md", "DEVELOPERS.md", "pyproject.toml", "src", "checklists", "tests",
                  "demo", "docs"})  # fmt: skip
ADR_PARTS = ("Status: ", "## Context", "## Decision", "## Consequences")

every_page = pytest.mark.parametrize("page", pages(), ids=name_of)


def _tracked() -> list[str]:
    done = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=True)
    return done.stdout.splitlines()


def _anchors(page: Path) -> set[str]:
    """The anchors that headings get: small letters, hyphens for spaces, no other signs."""
    heads = re.findall(r"^#+ (.*)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", h).strip().lower().replace(" ", "-") for h in heads}


@every_page
def test_links_lead_to_something(page: Path) -> None:
    broken = []
    for line in page.read_text(encoding="utf-8").splitlines():
        for target in LINK.findall(line):
            path, _, anchor = target.partition("#")
            there = (page.parent / path).resolve() if path else page
            if not there.exists() or (anchor and anchor not in _anchors(there)):
                broken.append(target)
    assert broken == []


def test_every_page_is_reached_from_the_readme() -> None:
    seen, waiting = set[Path](), [TOP / "README.md"]
    while waiting:
        page = waiting.pop()
        seen.add(page)
        for target in LINK.findall(page.read_text(encoding="utf-8")):
            there = (page.parent / target.partition("#")[0]).resolve()
            found = there.glob("*.md") if there.is_dir() else [there]
            waiting += [p for p in found if p.suffix == ".md" and p.exists() and p not in seen]
    assert [name_of(p) for p in pages() if p not in seen] == []


@every_page
def test_no_page_claims_what_only_a_person_may_say(page: Path) -> None:
    lines = page.read_text(encoding="utf-8").splitlines()
    claims = [line for line in lines if CLAIMS.search(line) and not DENIALS.search(line)]
    assert claims == []


def test_nothing_that_ships_claims_what_only_a_person_may_say() -> None:
    claims = []
    for name in _tracked():
        path = TOP / name
        if name.startswith(("src/", "checklists/", "demo/")) and path.is_file():
            lines = path.read_text(encoding="utf-8").splitlines()
            claims += [f"{name}: {line}" for line in lines if CLAIMS.search(line)
                       and not DENIALS.search(line)]  # fmt: skip
    assert claims == []


@every_page
def test_pages_use_the_words_of_the_trade(page: Path) -> None:
    assert [line for line in prose(page.read_text("utf-8")) if OF_OTHER_TRADES.search(line)] == []


@every_page
def test_one_sentence_stands_on_one_line(page: Path) -> None:
    lines = [
        line
        for line in prose(page.read_text(encoding="utf-8"))
        if not line.startswith(("|", "#")) and "**" not in line
    ]
    two = [line for line in lines if re.search(r"[a-z)`][.!?] [A-Z`]", line)]
    assert two == []


@pytest.mark.parametrize(
    "page", [p for p in pages() if p.parent.name in {"reference", "adr", "explanation"}],
    ids=name_of,
)  # fmt: skip
def test_reference_tells_and_does_not_address(page: Path) -> None:
    addressed = [
        line
        for line in prose(page.read_text(encoding="utf-8"))
        if re.search(r"\byou(r|rs)?\b", line, re.IGNORECASE)
    ]
    assert addressed == []


@every_page
def test_fenced_blocks_name_what_they_hold(page: Path) -> None:
    assert [b.first for b in blocks(page.read_text(encoding="utf-8")) if not b.info] == []


def test_decisions_are_numbered_in_a_row_and_have_their_four_parts() -> None:
    found = sorted((TOP / "docs/adr").glob("*.md"))
    assert [int(p.name[:4]) for p in found] == list(range(1, len(found) + 1))
    for number, page in enumerate(found, 1):
        text = page.read_text(encoding="utf-8")
        assert text.startswith(f"# {number}. ")
        places = [text.index(part) for part in ADR_PARTS]
        assert places == sorted(places)
        assert len(text.splitlines()) <= 60, f"{page.name} is longer than a page"


def test_decisions_named_in_comments_are_there() -> None:
    named = set[str]()
    for name in _tracked():
        if name == "pyproject.toml" or name.endswith(".py"):
            named |= set(re.findall(r"docs/adr/(\d{4})", (TOP / name).read_text(encoding="utf-8")))
    assert [n for n in sorted(named) if not list((TOP / "docs/adr").glob(f"{n}-*.md"))] == []


def test_the_top_level_holds_what_it_says_and_nothing_else() -> None:
    top = {name.split("/")[0] for name in _tracked()}
    assert {name for name in top if not name.startswith(".")} == OURS


def test_everything_imported_is_installed_with_the_program() -> None:
    trees = [ast.parse(p.read_text(encoding="utf-8")) for p in (TOP / "src").rglob("*.py")]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    names = {alias.name for n in nodes if isinstance(n, ast.Import) for alias in n.names}
    names |= {n.module for n in nodes if isinstance(n, ast.ImportFrom) and n.module}
    foreign = {name.split(".")[0] for name in names} - sys.stdlib_module_names - {"hardstand"}
    wanted = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    told = {re.split(r"[^a-z0-9-]", name)[0] for name in wanted["dependencies"]}
    assert sorted(foreign - told) == []


def test_the_readme_says_first_that_everything_shipped_is_an_example() -> None:
    heads = re.findall(r"^## (.*)$", (TOP / "README.md").read_text(encoding="utf-8"), re.MULTILINE)
    assert heads[:3] == ["Examples only", "What it is not", "Two commands"]


def test_the_map_for_contributors_names_what_is_there() -> None:
    text = (TOP / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`((?:domain|flows|formats|store|system|views|cli)/[\w/.]*)`", text)
    assert [n for n in named if not (TOP / "src/hardstand" / n).exists()] == []
    files = re.findall(r"`((?:tests|docs|demo)/[\w/.-]+)`", text)
    assert [n for n in files if not (TOP / n).exists()] == []
