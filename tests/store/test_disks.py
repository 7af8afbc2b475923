"""Where a record lies: which disks are refused, and what is told where one may only be read."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from builders import close_all, on_disk, opened
from hardstand.errors import HardstandError, Refusal
from hardstand.flows.records import verified
from hardstand.store.journal import create
from hardstand.store.reads import Reads
from hardstand.store.sqlite import file_system, refuse_network_disk

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
