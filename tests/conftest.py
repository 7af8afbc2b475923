"""What every test runs under: the folder of tests on the path, no home, the same random cases.

The same cases as long as the same modules were imported: their constants are among what is drawn,
so a property can meet other cases in another order of tests.
"""

from __future__ import annotations

import fcntl
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

_TESTS = str(Path(__file__).parent)
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)

settings.register_profile(
    "hardstand",
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("hardstand")

_HOME = Path.home()
_OURS = tuple(
    str(_HOME / place / "hardstand") for place in (".local/share", ".local/state", ".config")
)
_TAKEN_AWAY = ("HARDSTAND_RECORD", "HARDSTAND_PERSON", "NO_COLOR", "COLUMNS", "LINES")
"""The last two are left in the environment of each worker by the readline that pytest loads."""


def _guard(event: str, args: tuple[object, ...]) -> None:
    """Stop a test that opens a record or a report in the home of whoever runs the tests."""
    if event in {"open", "os.mkdir", "sqlite3.connect"} and args and isinstance(args[0], str):
        name = args[0].removeprefix("file://")
        if name.startswith(_OURS):
            raise AssertionError(f"a test reached into the real home: {name}")


def pytest_configure(config: pytest.Config) -> None:
    """Give the whole run a home of its own, which subprocesses get too."""
    home = tempfile.TemporaryDirectory(prefix="hardstand-home-")
    config.add_cleanup(home.cleanup)
    os.environ["HOME"] = home.name
    for name in ("XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        os.environ[name] = str(Path(home.name) / name.lower())
    for name in _TAKEN_AWAY:
        os.environ.pop(name, None)
    sys.addaudithook(_guard)


Once = Callable[[str, Callable[[Path], object]], Path]


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Once:
    """Gives a record by its name, built by the process of the run that asks first; only read it."""
    own = tmp_path_factory.getbasetemp()
    shared = own.parent if "PYTEST_XDIST_WORKER" in os.environ else own

    def record(name: str, build: Callable[[Path], object]) -> Path:
        with (shared / f"{name}.lock").open("a+") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            lock.seek(0)
            if not lock.read():
                (shared / name).mkdir()
                build(shared / name / "quennock.db")
                lock.write("built")
        return shared / name / "quennock.db"

    return record


@pytest.fixture(scope="session")
def week(once: Once) -> Path:
    """The whole Quennock week, built as the command builds it. Nothing writes to it."""
    from scenarios.stage import hardstand

    def build(path: Path) -> None:
        built = hardstand(None, "demo", str(path))
        assert built.status == 0, built.err

    return once("week", build)


@pytest.fixture(autouse=True)
def _records_closed() -> Iterator[None]:
    """Close the records a test opened, so that none waits for the garbage collector."""
    yield
    builders = sys.modules.get("builders")
    if builders is not None:
        builders.close_all()
