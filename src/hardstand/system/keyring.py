"""The keys of this device, loaded only when one is asked for: most commands sign nothing."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from hardstand.errors import WrongPassphrase
from hardstand.system.passphrases import Passphrases

if TYPE_CHECKING:
    from hardstand.ports import Key, Signer


class Keyring:
    """A Signer that loads the cryptography behind it at the first key; see ports.Signer."""

    def __init__(self, *, demo: bool, passphrases: Passphrases) -> None:
        """DEMO keys for a demo record, key files for a live one."""
        self._demo = demo
        self._passphrases = passphrases

    @property
    def demo(self) -> bool:
        """Whether its keys are DEMO keys."""
        return self._demo

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Key:
        """The person's key, after its passphrase was given."""
        try:
            return self._signer().unlock(person, public, says)
        except WrongPassphrase as wrong:
            wrong.again = self._passphrases.asks_again
            raise

    def make(self, person: str, number: int, says: Sequence[str]) -> Key:
        """A new key of a person."""
        return self._signer().make(person, number, says)

    def _signer(self) -> Signer:
        from hardstand.system.keys import DemoKeys, KeyFiles, keys_folder  # noqa: PLC0415  only who signs pays for it

        if self._demo:
            return DemoKeys(self._passphrases)
        return KeyFiles(keys_folder(), self._passphrases)
