"""Encryption: published vectors, wrong passphrases, every byte changed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.records import sealed
from tapscore.records.data import from_json, to_json
from tapscore.records.model import ClassRecord
from tapscore.records.sealed import (
    DamagedError,
    NewerError,
    NotARecordError,
    SealError,
    WrongPassphraseError,
)
from tests.records.class_records import PASSPHRASE, QUICK, class_records, small_record

KEY = sealed.new_key(PASSPHRASE, log2_n=QUICK)
FORM_AT = len(sealed.MAGIC)


def test_key_is_scrypt_as_published(monkeypatch: pytest.MonkeyPatch) -> None:
    # RFC 7914, section 12: "pleaseletmein", "SodiumChloride", N = 16384, r = 8, p = 1.
    derived = sealed._derived("pleaseletmein", b"SodiumChloride", 14)
    assert derived.hex() == "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"


def test_cipher_is_gcm_as_published() -> None:
    # McGrew & Viega, The Galois/Counter Mode of Operation (submitted to NIST), test case 16:
    # AES-256 with associated data.
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    key = bytes.fromhex("feffe9928665731c6d6a8f9467308308" * 2)
    plain = bytes.fromhex(
        "d9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a72"
        "1c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b39"
    )
    said = bytes.fromhex("feedfacedeadbeeffeedfacedeadbeefabaddad2")
    made = AESGCM(key).encrypt(bytes.fromhex("cafebabefacedbaddecaf888"), plain, said)
    assert made[-16:].hex() == "76fc6ece0f4e1768cddf8853bb2d551b"
    assert made[:16].hex() == "522dc1f099567d07f47f37a32a84427d"


def test_a_sealed_file_is_just_that_cipher() -> None:
    """Opened by hand, by the head's description, without our own opening."""
    from cryptography.hazmat.primitives.ciphers.aead import AESGCM

    made = sealed.seal(b"words", KEY)
    at = FORM_AT + 4
    assert made[FORM_AT:at] == bytes((1, QUICK, 8, 1))
    nonce, body = made[at + 16 : at + 28], made[at + 28 : -32]
    assert AESGCM(KEY.secret).decrypt(nonce, body, made[: at + 28]) == b"words"


def test_every_changed_byte_is_seen() -> None:
    made = sealed.seal(to_json(small_record()), KEY)
    for place in range(len(made)):
        for bit in (1, 128):
            changed = bytearray(made)
            changed[place] ^= bit
            with pytest.raises(SealError):
                sealed.unseal(bytes(changed), KEY)


def test_every_byte_of_a_file_whose_checksum_was_made_anew_is_seen() -> None:
    """The tag alone finds them, whatever the checksum says."""
    import hashlib

    made = sealed.seal(b"a few words", KEY)
    for place in range(len(made) - 32):
        changed = bytearray(made[:-32])
        changed[place] ^= 4
        whole = bytes(changed) + hashlib.sha256(changed).digest()
        with pytest.raises(SealError):
            sealed.unseal(whole, KEY)


@pytest.mark.parametrize("cut", [1, 20, 30, 60, 100, 200])
def test_a_file_cut_short(cut: int) -> None:
    made = sealed.seal(to_json(small_record()), KEY)
    with pytest.raises(DamagedError, match="cut short"):
        sealed.check_whole(made[:cut])
    with pytest.raises(DamagedError, match="cut short"):
        sealed.check_whole(made[:-cut])


def test_something_else_and_something_newer() -> None:
    import hashlib

    for other in (b"", b"tapscore: 1\ntitle: A story\n", b"PK\x03\x04"):
        with pytest.raises(NotARecordError):
            sealed.check_whole(other)
    made = bytearray(sealed.seal(b"words", KEY)[:-32])
    made[FORM_AT] = 2
    with pytest.raises(NewerError):
        sealed.check_whole(bytes(made) + hashlib.sha256(made).digest())
    newer = to_json(small_record()).replace(b'"class record":1', b'"class record":2')
    with pytest.raises(NewerError):
        from_json(newer)


def test_a_head_that_asks_for_all_memory_is_not_followed() -> None:
    import hashlib

    made = bytearray(sealed.seal(b"words", KEY)[:-32])
    made[FORM_AT + 1] = 60
    with pytest.raises(DamagedError):
        sealed.key_for(bytes(made) + hashlib.sha256(made).digest(), PASSPHRASE)


def test_a_wrong_passphrase() -> None:
    made = sealed.seal(b"words", KEY)
    assert sealed.unseal(made, sealed.key_for(made, PASSPHRASE)) == b"words"
    with pytest.raises(WrongPassphraseError):
        sealed.unseal(made, sealed.key_for(made, PASSPHRASE + " "))


def test_a_passphrase_in_any_script_however_its_letters_are_composed() -> None:
    made = sealed.seal(b"words", sealed.new_key("café über मेघ", log2_n=QUICK))
    composed = sealed.key_for(made, "cafe\u0301 u\u0308ber मेघ")
    assert sealed.unseal(made, composed) == b"words"


def test_no_two_seals_are_alike() -> None:
    one, other = sealed.seal(b"words", KEY), sealed.seal(b"words", KEY)
    at = FORM_AT + 4 + 16
    assert one[at : at + 12] != other[at : at + 12]
    assert sealed.new_key(PASSPHRASE, log2_n=QUICK).salt != KEY.salt


@pytest.mark.parametrize(
    ("passphrase", "taken"),
    [
        ("short", False),
        ("aaaaaaaaaaaaaaaa", False),
        (PASSPHRASE, True),
        ("abcdeabcdeab", True),  # twelve, five of them different
        ("abcdeabcdea", False),
        ("abcdabcdabcdabcd", False),
        ("abcdDCBAabcd", False),  # capitals are no other letters
        ("cafe\u0301 de nui", False),  # eleven, however the accent is written
        ("cafe\u0301 de nuit", True),
    ],
)
def test_weak_passphrases(passphrase: str, taken: bool) -> None:
    assert (sealed.passphrase_trouble(passphrase) == "") is taken


@pytest.mark.parametrize(("cost", "opens"), [(13, False), (14, True), (20, True), (21, False)])
def test_from_which_to_which_cost_a_head_is_followed(cost: int, opens: bool) -> None:
    import hashlib

    made = bytearray(sealed.seal(b"words", KEY)[:-32])
    made[FORM_AT + 1] = cost
    whole = bytes(made) + hashlib.sha256(made).digest()
    if opens:
        sealed.check_whole(whole)
    else:
        with pytest.raises(DamagedError, match="head"):
            sealed.check_whole(whole)


def test_a_slow_machine_keeps_the_least_cost_and_a_quick_one_takes_more(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sealed, "_derived", lambda *_: b"")
    for took, cost in (
        (10.0, 17),
        (0.1, 17),
        (0.088, 17),
        (0.087, 18),
        (0.044, 18),
        (0.043, 19),
        (0.001, 19),
    ):
        times = iter((0.0, took)).__next__
        assert sealed._tuned(times) == cost


def test_nothing_of_a_record_is_in_what_programmers_see() -> None:
    record = small_record()
    shown = f"{record!r} {record.pupils!r} {record.tellings!r}"
    slip = record.tellings[0].slips[0]
    shown += f"{slip!r} {slip.notes!r} {record.pupils[0].terms!r}"
    for words in ("Qx7", "zebra", "wave", "AB", "Lantern"):
        assert words not in shown
    # the salt is shown, and any two letters may be in it
    for secret in (KEY.secret.hex(), repr(KEY.secret)):
        assert secret not in repr(KEY)


@given(record=class_records)
def test_any_record_comes_back(record: ClassRecord) -> None:
    assert from_json(to_json(record)) == record


@given(data=st.binary(max_size=300) | st.text(max_size=100).map(str.encode))
def test_any_bytes_are_a_record_or_told_of(data: bytes) -> None:
    for read in (from_json, sealed.check_whole):
        with pytest.raises(SealError):
            read(data)
