"""Examples are found wherever they stand, and told by line."""

from __future__ import annotations

from formats.small_files import FIT, FLEET, LIST
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml
from hardstand.formats.examples import example_findings, examples

_HINT = (
    "put in the value of your approved manual or list, have a second person check it, and take "
    "`example: true` out; a demo record takes examples"
)


def test_examples_are_found_by_path() -> None:
    checklist = checklist_yaml.read("list.yaml", LIST.encode()).value
    fit = fit_yaml.read("fit.yaml", FIT.encode()).value
    fleet = fleet_yaml.read("fleet.yaml", FLEET.encode()).value
    assert checklist is not None
    assert fit is not None
    assert fleet is not None
    assert examples(checklist) == (("steps", 3, "accept"),)
    assert examples(fit) == (("permitted", "23-V-09"),)
    assert examples(fleet) == (("stations", "TK"), ("stations", "MSH"))


def test_each_example_is_told_at_its_line() -> None:
    fleet = fleet_yaml.read("fleet.yaml", FLEET.encode())
    assert [d.text() for d in example_findings(fleet)] == [
        f"fleet.yaml:26:51: HS295 stations/TK is an example\n  hint: {_HINT}",
        f"fleet.yaml:27:68: HS295 stations/MSH is an example\n  hint: {_HINT}",
    ]
    checklist = checklist_yaml.read("list.yaml", LIST.encode())
    assert [d.text() for d in example_findings(checklist)] == [
        f"list.yaml:53:35: HS295 steps/meter/accept is an example\n  hint: {_HINT}"
    ]


def test_example_false_is_no_example() -> None:
    fit = fit_yaml.read("fit.yaml", FIT.replace("example: true", "example: false").encode())
    assert example_findings(fit) == ()


def test_a_file_that_cannot_be_read_has_no_examples_to_tell() -> None:
    assert example_findings(fit_yaml.read("fit.yaml", b"")) == ()
