"""A record's bytes under a passphrase: scrypt (RFC 7914) and AES-256-GCM (NIST SP 800-38D).

A sealed file is: MAGIC, the form's number, log2 of scrypt's N, r, p, 16 bytes of salt, 12 of
nonce, the ciphertext with its tag, and a SHA-256 of all before it.  All before the ciphertext
is authenticated with it.  The checksum is no protection: it tells a damaged file from a wrong
passphrase, and that before a passphrase is asked for.

What can't be kept from the memory of a running program, nor from what the system swaps to
disc, is not protected.
"""

import hashlib
import os
import time
import unicodedata
from collections.abc import Callable

from attrs import field, frozen

from tapscore.wording.catalogue import say

MAGIC = b"tapscore class record\n"
FORM = 1
LOG2_N = 17
"""N = 2**17, r = 8, p = 1: what OWASP's cheat sheet on storing passwords asks at least."""
MOST_LOG2_N = 20
"""More than a gigabyte; a file that asks for more is damaged or not ours."""
LEAST_LOG2_N = 14
R, P = 8, 1
AIM_SEC = 0.5
"""How long making a key should take where a record is made."""
SALT_BYTES, NONCE_BYTES, SUM_BYTES, TAG_BYTES = 16, 12, 32, 16
LEAST_LETTERS = 12
"""Shorter passphrases are not taken."""
_HEAD = len(MAGIC) + 4
_BODY = _HEAD + SALT_BYTES + NONCE_BYTES


class SealError(Exception):
    """A record can't be opened; the message says why, for the user."""


class NotARecordError(SealError):
    """The file is something else."""


class DamagedError(SealError):
    """Bytes are missing or not as they were written."""


class NewerError(SealError):
    """A later version of the program wrote it."""


class WrongPassphraseError(SealError):
    """The passphrase is not the one it was sealed with."""


@frozen
class Key:
    """A key made of a passphrase, and how it was made."""

    secret: bytes = field(repr=False)
    salt: bytes = field(repr=False)
    log2_n: int = LOG2_N


def passphrase_trouble(passphrase: str) -> str:
    """Why a new passphrase is not taken; empty if it is."""
    letters = unicodedata.normalize("NFC", passphrase)
    if len(letters) < LEAST_LETTERS or len(set(letters.casefold())) < 5:
        return say(
            "The passphrase needs {least} letters or more, not the same few again: three "
            "or four words that nobody would put together do well.",
            least=LEAST_LETTERS,
        )
    return ""


def new_key(passphrase: str, *, log2_n: int | None = None) -> Key:
    """Make a key with a salt of its own; as costly as about half a second here, if not said."""
    salt = os.urandom(SALT_BYTES)
    cost = _tuned() if log2_n is None else log2_n
    return Key(_derived(passphrase, salt, cost), salt, cost)


def key_for(sealed: bytes, passphrase: str) -> Key:
    """Make the key that a sealed file asks for; raises SealError if it is none of ours."""
    check_whole(sealed)
    log2_n = sealed[len(MAGIC) + 1]
    salt = sealed[_HEAD : _HEAD + SALT_BYTES]
    return Key(_derived(passphrase, salt, log2_n), salt, log2_n)


def check_whole(sealed: bytes) -> None:
    """Raise SealError if these are not the whole bytes of a record that we can open."""
    if not sealed.startswith(MAGIC):
        if sealed and MAGIC.startswith(sealed):
            raise DamagedError(
                say("It is cut short. Take the earlier version beside it, or a backup.")
            )
        raise NotARecordError(say("It is not a class record of tapscore. Choose another file."))
    body, checksum = sealed[:-SUM_BYTES], sealed[-SUM_BYTES:]
    if len(sealed) < _BODY + TAG_BYTES + SUM_BYTES or hashlib.sha256(body).digest() != checksum:
        raise DamagedError(
            say(
                "It is cut short or was changed since it was written."
                " Take the earlier version beside it, or a backup."
            )
        )
    form, log2_n, r, p = sealed[len(MAGIC) : _HEAD]
    if form > FORM:
        raise NewerError(say("A newer tapscore wrote it. Open it with that version."))
    if form != FORM or not LEAST_LOG2_N <= log2_n <= MOST_LOG2_N or (r, p) != (R, P):
        raise DamagedError(say("Its head is not as tapscore writes it. Take a backup."))


def seal(plain: bytes, key: Key) -> bytes:
    """Encrypt under a key, with a nonce that is new each time."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    nonce = os.urandom(NONCE_BYTES)
    head = MAGIC + bytes((FORM, key.log2_n, R, P)) + key.salt + nonce
    body = head + AESGCM(key.secret).encrypt(nonce, plain, head)
    return body + hashlib.sha256(body).digest()


def unseal(sealed: bytes, key: Key) -> bytes:
    """Decrypt; raises SealError if a byte is changed or the key is another."""
    from cryptography.exceptions import InvalidTag
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    check_whole(sealed)
    head = sealed[:_BODY]
    try:
        return AESGCM(key.secret).decrypt(head[-NONCE_BYTES:], sealed[_BODY:-SUM_BYTES], head)
    except InvalidTag:
        raise WrongPassphraseError(
            say("That is not its passphrase. Look at the keyboard’s language and capitals.")
        ) from None


def _derived(passphrase: str, salt: bytes, log2_n: int) -> bytes:
    """Letters are composed first (NFC), as RFC 8265 asks of passwords."""
    from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

    letters = unicodedata.normalize("NFC", passphrase).encode()
    return Scrypt(salt=salt, length=32, n=2**log2_n, r=R, p=P).derive(letters)


def _tuned(clock: Callable[[], float] = time.perf_counter) -> int:
    """The cost that comes nearest to half a second here, and never less than ``LOG2_N``."""
    begin = clock()
    _derived("how long does it take", bytes(SALT_BYTES), LOG2_N - 2)
    whole = (clock() - begin) * 4
    cost = LOG2_N
    while whole * 2 <= AIM_SEC * 1.4 and cost < LOG2_N + 2:
        whole, cost = whole * 2, cost + 1
    return cost
