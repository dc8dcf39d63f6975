"""What the record keeps of a name, and that it can be forgotten."""

import hashlib
import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oilwedge.job.personal import SALT_BYTES, commit, is_commitment, matches

SALTS = st.binary(min_size=SALT_BYTES, max_size=SALT_BYTES).map(bytes.hex)
NAMES = st.text(st.characters(codec="utf-8"), max_size=20)
GUESSABLE = ["Ada", "Ben", "Cleo", "Dan"]


def test_a_commitment_follows_its_definition() -> None:
    salt = "000102030405060708090a0b0c0d0e0f"
    by_hand = hashlib.sha256(bytes(range(16)) + "Zoë".encode()).hexdigest()
    assert commit(text="Zoë", salt=salt) == f"who-{by_hand[:32]}"
    assert is_commitment(commit(text="Zoë", salt=salt))
    assert not is_commitment("Zoë")


@given(text=NAMES, other=NAMES, salt=SALTS)
def test_a_commitment_stands_for_one_text(text: str, other: str, salt: str) -> None:
    commitment = commit(text=text, salt=salt)
    assert matches(commitment=commitment, text=text, salt=salt)
    assert matches(commitment=commitment, text=other, salt=salt) is (text == other)


@given(text=NAMES, salts=st.lists(SALTS, min_size=2, max_size=5, unique=True))
def test_one_name_in_several_jobs_cannot_be_linked(text: str, salts: list[str]) -> None:
    assert len({commit(text=text, salt=salt) for salt in salts}) == len(salts)


def test_without_the_salt_trying_every_name_finds_none() -> None:
    lost = "9f2c61d4a7b05e8834c1fe02bb6d7a15"
    commitment = commit(text="Ada", salt=lost)
    # What somebody could try who holds the record only: no salt, an empty one, another job's.
    for name, salt in itertools.product(GUESSABLE, ["", "00" * SALT_BYTES, "ab" * SALT_BYTES]):
        assert not matches(commitment=commitment, text=name, salt=salt)
        plain = hashlib.sha256(salt.encode() + name.encode()).hexdigest()
        assert commitment.removeprefix("who-") not in plain
    assert matches(commitment=commitment, text="Ada", salt=lost)


@pytest.mark.parametrize("salt", ["", "ab", "AB" * SALT_BYTES, "zz" * SALT_BYTES, "ab" * 17])
def test_a_salt_of_another_length_is_refused(salt: str) -> None:
    with pytest.raises(ValueError, match="16 bytes"):
        commit(text="Ada", salt=salt)
    assert not matches(commitment="who-x", text="Ada", salt=salt)


def test_no_part_of_a_name_passes_for_salt() -> None:
    salt = "61" * SALT_BYTES  # the bytes of sixteen letters a
    assert commit(text="a", salt=salt) != commit(text="", salt=salt)
    assert not matches(commitment=commit(text="a", salt=salt), text="", salt=salt + "61")
