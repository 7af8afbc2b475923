"""Opening: files that are no record of ours are refused in three lines and left as they are."""

from __future__ import annotations

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, Watch, close_all, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.quantity import later
from hardstand.errors import HardstandError, NoRecord, Refusal
from hardstand.flows.recording import Pen, record
from hardstand.flows.records import verified
from hardstand.store.journal import create
from hardstand.store.reads import Reads
from hardstand.store.sqlite import file_system, refuse_network_disk

Opened = Callable[[Path], object]
OPENINGS: list[Opened] = [Reads, opened, lambda path: opened(path, read_only=True)]
each_way = pytest.mark.parametrize("opens", OPENINGS, ids=["hot read", "write", "read"])


KEEP = (
    "Keep this file. Go on with a verified backup, or with what `hardstand record salvage` can "
    "still read of it."
)


def _beside(path: Path) -> list[str]:
    """What lies in the folder; a reader of SQLite leaves an empty log and its index there."""
    log = path.with_name(path.name + "-wal")
    assert not log.exists() or log.stat().st_size == 0
    names = (p.name for p in path.parent.iterdir())
    return sorted(name for name in names if not name.endswith(("-wal", "-shm")))


def _refused(opens: Opened, path: Path) -> tuple[int, tuple[str, ...]]:
    """The exit status and lines with which a path is refused; the file is left to the byte."""
    before = path.read_bytes() if path.is_file() else None
    beside = _beside(path)
    with pytest.raises(HardstandError) as raised:
        opens(path)
    assert (path.read_bytes() if path.is_file() else None) == before
    assert _beside(path) == beside
    return raised.value.exit_status, raised.value.lines()


@pytest.fixture
def record_file(tmp_path: Path) -> Path:
    """A record that nobody has open."""
    pen = on_disk(tmp_path)
    raised = b.DefectRaised(number="161-A01", symbol="X", text="burnt", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    close_all()
    return tmp_path / "record.db"


def _marked(path: Path, pragma: str) -> None:
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA {pragma}")
    raw.commit()
    raw.close()


@each_way
def test_where_nothing_stands_there_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    assert _refused(opens, path) == (11, (
        f"There is no record at {path}.",
        "Nothing was written.",
        "Make one with `hardstand --record PATH record new --device A`.",
    ))  # fmt: skip


@each_way
def test_a_folder_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "folder"
    path.mkdir()
    assert _refused(opens, path) == (11, (
        f"{path} is a folder, not a record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_an_empty_file_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    path.touch()
    assert _refused(opens, path) == (11, (
        f"{path} is an empty file, not a record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_scenario_54_a_file_of_something_else_is_refused(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("QM-161 hums on channel 3\n" * 100, encoding="utf-8")
    assert _refused(opens, path) == (12, (
        f"{path} is damaged or is no record: file is not a database.",
        "It was left as it is; nothing was repaired in place.",
        KEEP,
    ))  # fmt: skip


@each_way
@pytest.mark.parametrize("journal_mode", ["delete", "wal"])
def test_the_database_of_another_program_is_refused(
    opens: Opened, journal_mode: str, tmp_path: Path
) -> None:
    path = tmp_path / "other.db"
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA journal_mode = {journal_mode}")
    raw.execute("CREATE TABLE entry (id INTEGER)")
    raw.commit()
    raw.close()
    assert _refused(opens, path) == (11, (
        f"{path} is a SQLite file of another program, not a hardstand record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_a_form_that_no_record_has_is_refused(opens: Opened, record_file: Path) -> None:
    _marked(record_file, "user_version = 0")
    assert _refused(opens, record_file)[0] == 11


@each_way
def test_scenario_52_a_record_of_a_newer_form_is_refused(opens: Opened, record_file: Path) -> None:
    _marked(record_file, "user_version = 99")
    status, said = _refused(opens, record_file)
    assert status == 14
    assert said[0].startswith(
        f"{record_file} was made by a newer hardstand: form 99; this one knows form "
    )
    assert said[1:] == (
        "The file was left as it is, to the byte.",
        "Use the newer hardstand that made it.",
    )


@each_way
@pytest.mark.parametrize("kept", [100, 1000, 4096])
def test_a_record_cut_short_is_damaged(opens: Opened, kept: int, record_file: Path) -> None:
    record_file.write_bytes(record_file.read_bytes()[:kept])
    before = record_file.read_bytes()
    with pytest.raises(HardstandError) as raised:
        verify_or_read(opens(record_file))
    assert raised.value.exit_status == 12
    assert raised.value.lines()[0].startswith(f"{record_file} is damaged or is no record: ")
    assert raised.value.lines()[1:] == (
        "It was left as it is; nothing was repaired in place.",
        KEEP,
    )
    assert record_file.read_bytes() == before


def verify_or_read(found: object) -> None:
    """Look at all that was opened."""
    if isinstance(found, Reads):
        try:
            found.all_facts()
        finally:
            found.close()
    else:
        verified(found)  # type: ignore[arg-type]  # the journal


@pytest.mark.parametrize("page", range(1, 12))
def test_scenario_54_a_page_overwritten_is_told_with_exit_12_or_no_line_is_touched(
    page: int, record_file: Path
) -> None:
    whole = bytearray(record_file.read_bytes())
    assert len(whole) >= 12 * 4096
    good = list(opened(record_file, read_only=True).chains())
    close_all()
    whole[page * 4096 : page * 4096 + 4096] = bytes(range(256)) * 16
    record_file.write_bytes(whole)
    said = _lines_of(lambda: verified(opened(record_file, read_only=True))).splitlines()
    if said == ["went through"]:
        assert list(opened(record_file, read_only=True).chains()) == good
    else:
        assert said[0] == "12"
        assert len(said) >= 4
    assert record_file.read_bytes() == bytes(whole)


# -- disks -----------------------------------------------------------------------------------------

MOUNTS = """\
22 1 259:1 / / rw,relatime shared:1 - ext4 /dev/nvme0n1p2 rw
40 22 0:35 / /mnt/nas rw,relatime shared:20 master:3 - nfs4 nas:/export rw,vers=4.2
41 40 8:1 / /mnt/nas/local rw - xfs /dev/sda1 rw
42 22 0:36 / /mnt/my\\040share rw - cifs //server/share rw
43 22 0:37 /deep /mnt/back\\134slash rw - fuse.sshfs host:/ rw
44 22 0:38 / /mnt/nasty rw - tmpfs tmpfs rw
45 22 0:39 / /media/stick ro,nosuid - vfat /dev/sdb1 ro
"""
"""As /proc/self/mountinfo writes it. Source: proc(5), the fields and their octal escapes."""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/io/record.db", "ext4"),
        ("/mnt/nas/record.db", "nfs4"),
        ("/mnt/nas/deep/er/record.db", "nfs4"),
        ("/mnt/nas/local/record.db", "xfs"),
        ("/mnt/nasty/record.db", "tmpfs"),
        ("/mnt/nas2/record.db", "ext4"),
        ("/mnt/my share/record.db", "cifs"),
        ("/mnt/back\\slash/record.db", "fuse.sshfs"),
        ("/media/stick/record.db", "vfat"),
    ],
)
def test_the_disk_a_record_lies_on_is_the_nearest_mount_above_it(path: str, kind: str) -> None:
    assert file_system(Path(path), MOUNTS) == kind


def test_a_record_behind_a_link_lies_where_the_link_leads(tmp_path: Path) -> None:
    far, near = tmp_path / "far", tmp_path / "record.db"
    far.mkdir()
    near.symlink_to(far / "record.db")
    mounts = f"1 1 0:1 / / rw - ext4 /dev/a rw\n2 1 0:2 / {far} rw - nfs4 nas:/x rw\n"
    assert file_system(near, mounts) == "nfs4"


def test_of_two_mounts_on_one_place_the_later_one_counts() -> None:
    over = MOUNTS + "50 22 0:50 / /mnt/nasty rw - cifs //server/share rw\n"
    assert file_system(Path("/mnt/nasty/record.db"), over) == "cifs"


def test_a_machine_that_cannot_tell_is_let_through() -> None:
    assert file_system(Path("/mnt/nas/record.db"), "") == ""
    refuse_network_disk(Path("/mnt/nas/record.db"), "")


@pytest.mark.parametrize("kind", ["nfs", "nfs4", "cifs", "smb3", "9p", "fuse.sshfs", "afs"])
def test_scenario_55_a_record_on_a_network_disk_is_refused_before_anything_is_written(
    kind: str,
) -> None:
    mounts = f"1 1 0:1 / / rw - ext4 /dev/a rw\n2 1 0:2 / /mnt rw - {kind} x rw\n"
    refuse_network_disk(Path("/home/record.db"), mounts)
    with pytest.raises(Refusal) as raised:
        refuse_network_disk(Path("/mnt/record.db"), mounts)
    assert raised.value.lines() == (
        f"/mnt/record.db lies on a network disk ({kind}); a record there can be damaged.",
        "Nothing was written.",
        "Keep the record on a disk of this machine; exchange copies, never share it.",
    )


# -- read-only -------------------------------------------------------------------------------------

NOBODY = 65534
READ_ONLY = (
    "{path} cannot be written to: the file or its disk is read-only.",
    "Reading works; nothing was written anywhere else.",
    "Copy the record to a disk that can be written, or ask whoever keeps the tablets.",
)


def as_somebody_else(act: Callable[[], str]) -> str:
    """What the act says when the person who runs it has no special rights over files."""
    if os.geteuid() != 0:
        return act()
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        said = "the child ended without a word"
        try:
            os.setgid(NOBODY)
            os.setuid(NOBODY)
            said = act()
        finally:
            os.write(writes, said.encode())
            os._exit(0)
    os.close(writes)
    with os.fdopen(reads, "rb") as pipe:
        said = pipe.read().decode()
    os.waitpid(child, 0)
    return said


@pytest.fixture
def shelf() -> Iterator[Path]:
    """A folder anybody may look into, with a record in it."""
    with tempfile.TemporaryDirectory(prefix="hardstand-shelf-") as name:
        folder = Path(name)
        on_disk(folder)
        close_all()
        yield folder
        folder.chmod(0o755)


def _lines_of(act: Callable[[], object]) -> str:
    try:
        act()
    except HardstandError as error:
        return "\n".join((str(error.exit_status), *error.lines()))
    return "went through"


def test_scenario_50_a_record_that_may_only_be_read_is_read_and_not_written(shelf: Path) -> None:
    path = shelf / "record.db"
    path.chmod(0o444)
    shelf.chmod(0o555)
    before = path.read_bytes()
    said = as_somebody_else(lambda: _lines_of(lambda: opened(path)))
    assert said == "\n".join(("10", *READ_ONLY)).format(path=path)
    read = as_somebody_else(lambda: ",".join(f.tail for f in Reads(path).all_facts()))
    assert read == "QM-116,QM-161,QM-164"
    held = as_somebody_else(lambda: verified(opened(path, read_only=True)))
    assert held.startswith("4 lines hold, 1 devices: A 4 ")
    assert path.read_bytes() == before
    assert [p.name for p in shelf.iterdir()] == ["record.db"]


def test_a_record_is_read_where_the_disk_has_no_room_for_an_index(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    on_disk(tmp_path)
    close_all()
    room = os.statvfs(tmp_path)
    full = os.statvfs_result((*room[:3], 7, 7, *room[5:10]))
    monkeypatch.setattr(os, "statvfs", lambda _: full)
    path = tmp_path / "record.db"
    assert ",".join(f.tail for f in Reads(path).all_facts()) == "QM-116,QM-161,QM-164"
    assert verified(opened(path, read_only=True)).startswith("4 lines hold, 1 devices: A 4 ")
    assert [p.name for p in tmp_path.iterdir()] == ["record.db"]


@pytest.mark.parametrize("write", [True, False])
def test_a_record_that_is_shut_to_this_person_is_not_said_to_be_readable(
    shelf: Path, *, write: bool
) -> None:
    path = shelf / "record.db"
    shelf.chmod(0o755)
    path.chmod(0o200)
    said = as_somebody_else(lambda: _lines_of(lambda: opened(path, read_only=not write)))
    assert said.splitlines() == [
        "11",
        f"{path} cannot be read: it belongs to somebody else, who keeps it shut.",
        "Nothing was written.",
        "Ask whoever keeps the tablets to let you read it.",
    ]


def test_a_record_is_not_made_in_a_folder_that_may_only_be_read(shelf: Path) -> None:
    shelf.chmod(0o555)
    path = shelf / "new.db"
    said = as_somebody_else(lambda: _lines_of(lambda: create(path, "A")))
    assert said == "\n".join(("10", *READ_ONLY)).format(path=path)
    assert [p.name for p in shelf.iterdir()] == ["record.db"]


@pytest.mark.parametrize(
    ("place", "why"),
    [
        ("file/record.db", "File exists"),
        ("file/deeper/record.db", "Not a directory"),
        (f"{'x' * 300}/record.db", "File name too long"),
    ],
)
def test_a_record_is_not_made_where_no_folder_can_be(tmp_path: Path, place: str, why: str) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    path = tmp_path / place
    with pytest.raises(Refusal) as raised:
        create(path, "A")
    assert raised.value.lines() == (
        f"No record can be made at {path}: {why}.",
        "Nothing was written.",
        "Name a place in a folder of yours.",
    )


@each_way
def test_a_name_too_long_or_below_a_file_is_no_record(opens: Opened, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    below, long = tmp_path / "file" / "record.db", tmp_path / ("x" * 300)
    for path, said in (
        (below, f"There is no record at {below}."),
        (long, f"{long} cannot be looked at: File name too long."),
    ):
        with pytest.raises(NoRecord) as raised:
            opens(path)
        assert raised.value.lines()[0] == said


def test_what_was_not_copied_back_into_the_file_yet_is_read_too(
    record_file: Path, tmp_path: Path
) -> None:
    journal = opened(record_file)
    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=1)), author="BT")
    raised = b.DefectRaised(number="161-A02", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    assert (tmp_path / "record.db-wal").stat().st_size > 0
    found = Reads(record_file)
    assert [e.number for e in found.facts(TAIL).open] == ["161-A01", "161-A02"]
    found.close()


def test_a_copy_of_all_three_files_of_a_record_in_use_is_the_record(
    record_file: Path, tmp_path: Path
) -> None:
    journal = opened(record_file)
    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=1)), author="BT")
    raised = b.DefectRaised(number="161-A02", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    copy = tmp_path / "copy"
    copy.mkdir()
    for file in tmp_path.glob("record.db*"):
        shutil.copy(file, copy)
    assert list(opened(copy / "record.db").chains()) == list(journal.chains())


def test_no_record_is_an_error_with_exit_11(tmp_path: Path) -> None:
    with pytest.raises(NoRecord) as raised:
        opened(tmp_path / "none.db")
    assert (raised.value.exit_status, raised.value.code) == (11, "no_record")
