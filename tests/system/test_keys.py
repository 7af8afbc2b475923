"""Keys: the published signatures come out, files are their owner's alone, nothing secret shows.

Outside sources: RFC 8032 section 7.1 (Ed25519 test vectors 1 to 3); RFC 7914 section 12 (scrypt).
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import stat
import traceback
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from domain.readings.blocks import block
from hardstand.errors import Interrupted, Refusal, WrongPassphrase
from hardstand.system.keys import (
    COST,
    DEMO_COST,
    DemoKeys,
    Ed25519,
    KeyFiles,
    demo_key,
    key_name,
    sealed_by,
)
from hardstand.system.passphrases import Passphrases, _hidden, normal
from quick_keys import Spoken, cheap_keys, descriptor


@pytest.mark.parametrize("row", block("ed25519")[1], ids=lambda r: r["message"] or "empty")
def test_the_published_signatures_come_out_and_are_found_good(row: dict[str, str]) -> None:
    secret, public, message, signature = row.values()
    key = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
    assert key.sign(bytes.fromhex(message)).hex() == signature
    fits = Ed25519().fits
    assert fits(bytes.fromhex(public), bytes.fromhex(message), bytes.fromhex(signature))
    assert not fits(bytes.fromhex(public), bytes.fromhex(message) + b"x", bytes.fromhex(signature))
    turned = bytes([bytes.fromhex(signature)[0] ^ 1]) + bytes.fromhex(signature)[1:]
    assert not fits(bytes.fromhex(public), bytes.fromhex(message), turned)


@pytest.mark.parametrize("public", [b"", b"short", bytes(33), b"\xff" * 32])
def test_what_is_no_key_fits_nothing(public: bytes) -> None:
    assert not Ed25519().fits(public, b"words", bytes(64))


def test_scrypt_is_the_published_one() -> None:
    """RFC 7914 section 12, third vector, with this module's r and p: N = 16384, r = 8, p = 1."""
    found = hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=16384, r=8, p=1,
                           maxmem=2**26, dklen=64)  # fmt: skip
    assert found.hex().startswith("7023bdcb3afd7348461c06cd81fd38eb")
    assert sealed_by(b"pleaseletmein", b"SodiumChloride", 16384) == found[:32]


def test_live_keys_cost_128_mebibytes_a_guess_and_demo_keys_nothing() -> None:
    """The time of it is measured by hand: a third of a second on one core of 2024."""
    assert COST == 2**17
    assert 128 * COST * 8 == 128 * 2**20
    assert DEMO_COST == 16


def test_a_key_is_made_kept_and_opened_by_its_passphrase_alone(tmp_path: Path) -> None:
    keys = cheap_keys(tmp_path / "keys", "six letters", "six letters", "six letters", "wrong one")
    made = keys.make("YB", 1, ("so that",))
    opened = keys.unlock("YB", made.public, ("to sign",))
    assert opened.public == made.public
    assert Ed25519().fits(bytes.fromhex(made.public), b"words", opened.sign(b"words"))
    with pytest.raises(WrongPassphrase) as told:
        keys.unlock("YB", made.public, ())
    assert told.value.what == "That passphrase does not open the key of YB."
    assert told.value.exit_status == 10


def test_key_files_are_their_owners_alone(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        made = cheap_keys(tmp_path / "keys", "six letters", "six letters").make("YB", 1, ())
    finally:
        os.umask(before)
    name = key_name("YB", made.public)
    for file in (f"{name}.pem", f"{name}.json"):
        assert stat.S_IMODE((tmp_path / "keys" / file).stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "keys").stat().st_mode) == 0o700


def test_a_key_file_that_others_can_read_is_refused(tmp_path: Path) -> None:
    keys = cheap_keys(tmp_path, "six letters", "six letters", "six letters")
    made = keys.make("YB", 1, ())
    path = tmp_path / f"{key_name('YB', made.public)}.pem"
    path.chmod(0o640)
    with pytest.raises(Refusal) as told:
        keys.unlock("YB", made.public, ())
    assert told.value.lines()[0] == f"{path} can be read by others."
    assert told.value.hint == f"chmod 600 {path}"


def test_the_private_half_is_nowhere_in_its_files_in_the_clear(tmp_path: Path) -> None:
    made = cheap_keys(tmp_path, "six letters", "six letters").make("YB", 1, ())
    private = made._private.private_bytes_raw()
    for file in tmp_path.iterdir():
        data = file.read_bytes()
        assert private not in data
        assert private.hex().encode() not in data
        assert b"six letters" not in data
    assert (
        b"ENCRYPTED PRIVATE KEY" in (tmp_path / f"{key_name('YB', made.public)}.pem").read_bytes()
    )


def test_an_unlocked_key_shows_nothing_of_itself(tmp_path: Path) -> None:
    made = cheap_keys(tmp_path, "six letters", "six letters").make("YB", 1, ())
    assert "_private" not in repr(made)
    assert made._private.private_bytes_raw().hex() not in repr(made)


def test_no_passphrase_stands_in_a_traceback(tmp_path: Path) -> None:
    keys = cheap_keys(tmp_path, "six letters", "six letters", "a wrong secret")
    made = keys.make("YB", 1, ())
    with pytest.raises(WrongPassphrase) as told:
        keys.unlock("YB", made.public, ())
    text = "".join(traceback.format_exception(told.value))
    assert "a wrong secret" not in text
    assert told.value.__cause__ is None


@pytest.mark.parametrize(
    ("said", "what"),
    [(("five5",), "A passphrase has 6 characters at least."),
     (("six letters", "six lettres"), "The two passphrases are unlike.")],
)  # fmt: skip
def test_a_passphrase_too_short_or_typed_unlike_makes_no_key(
    tmp_path: Path, said: tuple[str, ...], what: str
) -> None:
    with pytest.raises(Refusal) as told:
        cheap_keys(tmp_path / "keys", *said).make("YB", 1, ())
    assert told.value.what == what
    assert not (tmp_path / "keys").exists()


def test_a_key_that_is_not_on_this_device_is_told_to_be_missing(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as told:
        cheap_keys(tmp_path, "six letters").unlock("YB", "00" * 32, ())
    assert told.value.what.startswith("The key of YB is not on this device: ")
    assert told.value.hint == (
        "Copy both files of the key here, or sign on the device that has them."
    )


@pytest.mark.parametrize(
    "told",
    ["", "[]", '{"kdf":"scrypt"}', '{"kdf":"pbkdf2","n":16,"r":8,"p":1,"salt":"00"}',
     '{"kdf":"scrypt","n":15,"r":8,"p":1,"salt":"00"}',
     '{"kdf":"scrypt","n":1073741824,"r":8,"p":1,"salt":"00"}',
     '{"kdf":"scrypt","n":16,"r":8,"p":1,"salt":"zz"}'],
)  # fmt: skip
def test_parameters_that_do_not_read_open_nothing(tmp_path: Path, told: str) -> None:
    keys = cheap_keys(tmp_path, "six letters", "six letters", "six letters")
    made = keys.make("YB", 1, ())
    path = tmp_path / f"{key_name('YB', made.public)}.json"
    path.write_text(told)
    with pytest.raises(Refusal) as said:
        keys.unlock("YB", made.public, ())
    assert said.value.what == "The parameters of the key of YB do not read."


def test_the_parameters_stand_beside_the_key(tmp_path: Path) -> None:
    made = KeyFiles(tmp_path, Spoken("six letters", "six letters"), cost=16).make("YB", 1, ())
    told = json.loads((tmp_path / f"{key_name('YB', made.public)}.json").read_text())
    assert (told["kdf"], told["n"], told["r"], told["p"]) == ("scrypt", 16, 8, 1)
    assert (told["person"], told["public"]) == ("YB", made.public)


def test_demo_keys_are_the_same_each_time_and_differ_by_person_and_number() -> None:
    keys = DemoKeys()
    made = keys.make("YB", 1, ())
    assert made.public == demo_key("YB", 1, b"quennock").public
    others = {keys.make(who, n, ()).public for who in ("YB", "DQ") for n in (1, 2)}
    assert len(others) == 4
    assert keys.unlock("YB", made.public, ()).sign(b"x") == made.sign(b"x")


def test_another_passphrase_opens_no_demo_key() -> None:
    public = DemoKeys().make("YB", 1, ()).public
    with pytest.raises(WrongPassphrase):
        DemoKeys(Spoken("wrong one")).unlock("YB", public, ())


# -- where passphrases come from -------------------------------------------------------------------


def test_a_descriptor_gives_one_line_for_each_passphrase_asked() -> None:
    with descriptor("first one", "second one") as number:
        passphrases = Passphrases(number)
        assert passphrases.ask("?", ()) == b"first one"
        assert passphrases.ask("?", ()) == b"second one"
        with pytest.raises(Interrupted):
            passphrases.ask("?", ())


def test_a_descriptor_that_is_not_open_is_told() -> None:
    with pytest.raises(Refusal) as told:
        Passphrases(987).ask("?", ())
    assert told.value.what == "--passphrase-fd 987 cannot be read: Bad file descriptor."


def test_without_a_terminal_or_a_descriptor_nothing_is_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("six letters\n"))
    with pytest.raises(Refusal) as told:
        Passphrases().ask("?", ())
    assert told.value.rule == ("a passphrase is asked for each time, never taken from arguments")


def test_what_is_told_before_a_passphrase_moves_no_cursor(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It tells of what was signed last, in the words somebody typed."""
    monkeypatch.setattr("getpass.getpass", lambda _: "six letters")
    assert _hidden("?", ("the last S-9: worn\x1b[2J",)) == b"six letters"
    assert capsys.readouterr().err == "the last S-9: worn⟨ESC⟩[2J\n"


def test_two_keyboards_that_compose_letters_differently_open_the_same_key() -> None:
    """RFC 8265 section 4.2: normal form C; A with ring as one character or as two."""
    assert normal("Åsa".encode()) == normal("Åsa".encode())
    assert normal(b" six letters \r\n") == b" six letters "
    with pytest.raises(Refusal):
        normal(b"\xff\xfe")


def test_a_line_too_long_for_a_passphrase_is_refused() -> None:
    with descriptor("x" * 2000) as number, pytest.raises(Refusal) as told:
        Passphrases(number).ask("?", ())
    assert told.value.what == "That line is too long for a passphrase."
