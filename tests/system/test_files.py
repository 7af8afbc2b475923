"""Which files a name stands for, and what is said of one that is not there."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from hardstand.errors import NotThere
from hardstand.system.files import bytes_of, yaml_files


def test_a_folder_stands_for_its_yaml_files_with_the_fit_first(tmp_path: Path) -> None:
    for name in ("preflight.yaml", "fit.yaml", "deeper/after.yaml", "notes.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).touch()
    found = [str(f.relative_to(tmp_path)) for f in yaml_files([tmp_path])]
    assert found == ["fit.yaml", "deeper/after.yaml", "preflight.yaml"]


def test_a_file_named_twice_is_read_once(tmp_path: Path) -> None:
    one = tmp_path / "one.yaml"
    one.touch()
    assert yaml_files([one, tmp_path, one]) == [one]


def test_a_folder_that_goes_away_meanwhile_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_: Path, __: str) -> list[Path]:
        raise FileNotFoundError(errno.ENOENT, "No such file or directory", "/gone/7")

    monkeypatch.setattr(Path, "rglob", gone)
    with pytest.raises(NotThere) as told:
        yaml_files([tmp_path])
    assert str(told.value) == "/gone/7 cannot be looked through: No such file or directory."


def test_a_folder_without_a_file_to_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "fit.yml").touch()
    with pytest.raises(NotThere) as told:
        yaml_files([tmp_path])
    assert str(told.value) == f"There is no .yaml file in {tmp_path}."


def test_a_name_too_long_for_any_file_is_no_file(tmp_path: Path) -> None:
    assert bytes_of("a" * 5000) is None
    assert bytes_of(str(tmp_path / "none")) is None
    (tmp_path / "one").write_bytes(b"1")
    assert bytes_of(str(tmp_path / "one")) == b"1"
