"""Keys of people: made, sealed under a passphrase, unlocked for one act; and the check of theirs.

A key is two files, for its owner's eyes only (0600, in a folder 0700): `YB-4f1c….pem`, the
private half as encrypted PKCS#8, and `YB-4f1c….json`, the parameters of its seal. The password of
the PEM is scrypt(passphrase), which makes each guess cost a third of a second and 128 MiB.

A demo record's keys are computed from a seed that stands here and a passphrase that everybody
knows. They are marked DEMO, and no live record takes them.

Source: RFC 8032 (Ed25519), RFC 5958 (PKCS#8), RFC 7914 (scrypt); N = 2^17, r = 8, p = 1 is the
common minimum for interactive use.
"""

from __future__ import annotations

import hashlib
import json
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    PrivateFormat,
    PublicFormat,
    load_pem_private_key,
)

from hardstand.errors import Refusal, WrongPassphrase
from hardstand.system.passphrases import LEAST, Passphrases, is_long_enough

COST = 2**17
"""N of scrypt for live keys."""

DEMO_COST = 2**4
"""N of scrypt for demo keys, whose passphrase is no secret."""

DEMO_SEED = b"hardstand demo key/1"
DEMO_PASSPHRASE = b"quennock"
"""What every demo key is computed from, with its owner's initials."""

_MOST_COST = 2**20
_BLOCK, _LANES = 8, 1


@dataclass(frozen=True, slots=True, repr=False)
class Unlocked:
    """A person's key, unlocked; it shows nothing of itself."""

    public: str
    _private: Ed25519PrivateKey

    def sign(self, message: bytes) -> bytes:
        """The signature over a message, 64 bytes."""
        return self._private.sign(message)


def _unlocked(private: Ed25519PrivateKey) -> Unlocked:
    raw = private.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw)
    return Unlocked(raw.hex(), private)


class Ed25519:
    """The check of signatures."""

    def fits(self, public: bytes, message: bytes, signature: bytes) -> bool:
        """Whether the signature over a message is by the key of that public half."""
        try:
            Ed25519PublicKey.from_public_bytes(public).verify(signature, message)
        except (InvalidSignature, ValueError):
            return False
        return True


def sealed_by(passphrase: bytes, salt: bytes, cost: int) -> bytes:
    """32 bytes that only the passphrase gives, at the cost N in 128 × N × 8 bytes of memory."""
    return hashlib.scrypt(
        passphrase, salt=salt, n=cost, r=_BLOCK, p=_LANES, maxmem=256 * cost * _BLOCK + 2**20,
        dklen=32,
    )  # fmt: skip


class KeyFiles:
    """Keys in files of one folder, for live records."""

    demo = False

    def __init__(self, folder: Path, passphrases: Passphrases, *, cost: int = COST) -> None:
        """Keys live in `folder`; `cost` is N of scrypt for keys made here."""
        self._folder = folder
        self._passphrases = passphrases
        self._cost = cost

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Unlocked:
        """The person's key, after its passphrase was given; see ports.Signer."""
        name = key_name(person, public)
        pem = _read(self._folder / f"{name}.pem", person)
        seal = _seal(_read(self._folder / f"{name}.json", person), person)
        given = self._passphrases.ask(f"Passphrase of {person}:", says)
        password = sealed_by(given, seal[0], seal[1]).hex().encode()
        try:
            private = load_pem_private_key(pem, password)
        except ValueError:
            raise _does_not_open(person) from None
        if not isinstance(private, Ed25519PrivateKey):
            raise _does_not_open(person)
        return _unlocked(private)

    def make(self, person: str, number: int, says: Sequence[str]) -> Unlocked:
        """A new key of a person, written to the folder; see ports.Signer."""
        del number
        chosen = _chosen(self._passphrases, person, says)
        private, salt = Ed25519PrivateKey.generate(), secrets.token_bytes(16)
        made = _unlocked(private)
        password = sealed_by(chosen, salt, self._cost).hex().encode()
        pem = private.private_bytes(
            Encoding.PEM, PrivateFormat.PKCS8, BestAvailableEncryption(password)
        )
        told = {
            "format": 1, "person": person, "public": made.public, "kdf": "scrypt",
            "n": self._cost, "r": _BLOCK, "p": _LANES, "salt": salt.hex(),
        }  # fmt: skip
        name = key_name(person, made.public)
        self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        _write(self._folder / f"{name}.json", json.dumps(told, ensure_ascii=False).encode())
        _write(self._folder / f"{name}.pem", pem)
        return made


class DemoKeys:
    """Keys of a demo record, computed from the committed seed; DEMO, never for a live record."""

    demo = True

    def __init__(self, passphrases: Passphrases | None = None) -> None:
        """Without `passphrases` nobody is asked: the demo's own passphrase is used."""
        self._passphrases = passphrases

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Unlocked:
        """The person's demo key; a re-issued one is the next in number."""
        if self._passphrases is None:
            given = DEMO_PASSPHRASE
        else:
            prompt = f"Passphrase of {person} (DEMO: {DEMO_PASSPHRASE.decode()}):"
            given = self._passphrases.ask(prompt, says)
        made = (demo_key(person, number, given) for number in range(1, 9))
        found = next((key for key in made if key.public == public), None)
        if found is None:
            raise _does_not_open(person)
        return found

    def make(self, person: str, number: int, says: Sequence[str]) -> Unlocked:
        """The person's demo key of that number."""
        del says
        return demo_key(person, number, DEMO_PASSPHRASE)


def demo_key(person: str, number: int, passphrase: bytes) -> Unlocked:
    """The demo key that a passphrase computes; only the demo's own gives the enrolled one."""
    salt = DEMO_SEED + b" " + person.encode() + f" {number}".encode()
    return _unlocked(Ed25519PrivateKey.from_private_bytes(sealed_by(passphrase, salt, DEMO_COST)))


def keys_folder() -> Path:
    """Where the keys of this device are: HARDSTAND_KEYS, else beside the platform's data."""
    named = os.environ.get("HARDSTAND_KEYS")
    if named:
        return Path(named).expanduser()
    data = os.environ.get("XDG_DATA_HOME", "")
    home = Path(data) if Path(data).is_absolute() else Path.home() / ".local" / "share"
    return home / "hardstand" / "keys"


def key_name(person: str, public: str) -> str:
    """The name of a key's files: whose, and the first of its digest."""
    return f"{person}-{hashlib.sha256(bytes.fromhex(public)).hexdigest()[:12]}"


def _chosen(passphrases: Passphrases, person: str, says: Sequence[str]) -> bytes:
    chosen = passphrases.ask(f"New passphrase of {person}, {LEAST} characters at least:", says)
    if not is_long_enough(chosen):
        raise Refusal(
            f"A passphrase has {LEAST} characters at least.",
            safe="Nothing was written.",
            hint="A few words are easy to keep and hard to guess.",
        )
    if passphrases.ask(f"Again, the new passphrase of {person}:", ()) != chosen:
        raise Refusal("The two passphrases are unlike.", safe="Nothing was written.")
    return chosen


def _does_not_open(person: str) -> WrongPassphrase:
    return WrongPassphrase(
        f"That passphrase does not open the key of {person}.",
        safe="Nothing was signed.",
        hint="Try again; forgotten: `hardstand people rekey` with an administrator and a witness.",
    )


def _read(path: Path, person: str) -> bytes:
    """A key file, if only its owner can read it."""
    try:
        if path.stat().st_mode & 0o077:
            raise Refusal(
                f"{path} can be read by others.",
                rule="a key file is its owner's alone",
                safe="Nothing was signed.",
                hint=f"chmod 600 {path}",
            )
        return path.read_bytes()
    except OSError as error:
        raise Refusal(
            f"The key of {person} is not on this device: {path} ({error.strerror}).",
            safe="Nothing was signed.",
            hint="Copy both files of the key here, or sign on the device that has them.",
        ) from error


def _seal(data: bytes, person: str) -> tuple[bytes, int]:
    """Salt and cost of a key's seal."""
    try:
        told: dict[str, Any] = json.loads(data)
        salt, cost = bytes.fromhex(told["salt"]), int(told["n"])
        known = told["kdf"] == "scrypt" and told["r"] == _BLOCK and told["p"] == _LANES
    except (ValueError, KeyError, TypeError):
        known, salt, cost = False, b"", 0
    if not known or not 2 <= cost <= _MOST_COST or cost & (cost - 1):
        raise Refusal(
            f"The parameters of the key of {person} do not read.",
            safe="Nothing was signed.",
            hint="Copy both files of the key again, or have a new key given.",
        )
    return salt, cost


def _write(path: Path, data: bytes) -> None:
    """Write a new file of mode 0600, durably."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
    with os.fdopen(handle, "wb") as file:
        os.fchmod(handle, 0o600)
        file.write(data)
        file.flush()
        os.fsync(handle)
    folder = os.open(path.parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
