"""Mixing in blocks is the same as adding up whole arrays."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.audio.mix import BLOCK_FRAMES, mixed_blocks
from tapscore.exports.audio.plan import PlacedSound


@st.composite
def _placed(draw: st.DrawFn) -> PlacedSound:
    length = draw(st.sampled_from((1, 7, 5_000, 70_000, 150_000)))
    near = draw(st.sampled_from((0, BLOCK_FRAMES, 2 * BLOCK_FRAMES, 100_000)))
    start = max(near + draw(st.integers(-3, 3)), 0)
    sound = np.linspace(0.1, 1, length).astype(np.float32)
    share = st.floats(0, 1, width=32)
    return PlacedSound(start, sound, draw(share), draw(share))


@settings(max_examples=60, deadline=None)
@given(st.lists(_placed(), max_size=8), st.integers(0, 3 * BLOCK_FRAMES))
def test_blocks_add_up_to_the_whole(sounds: list[PlacedSound], length: int) -> None:
    sounds = sorted(sounds, key=lambda placed: placed.start_frame)
    whole = np.zeros((2, length + 400_000), np.float64)
    for placed in sounds:
        whole[0, placed.start_frame : placed.end_frame] += placed.left * placed.samples
        whole[1, placed.start_frame : placed.end_frame] += placed.right * placed.samples
    blocks = [block.copy() for block in mixed_blocks(sounds, length)]
    assert all(0 < block.shape[1] <= BLOCK_FRAMES for block in blocks)
    mixed = np.concatenate(blocks, axis=1) if blocks else np.zeros((2, 0))
    assert mixed.shape == (2, length)
    assert np.allclose(mixed, whole[:, :length], atol=1e-5)


def test_a_sound_that_just_reaches_into_the_next_block() -> None:
    sound = np.ones(7, np.float32)
    blocks = mixed_blocks([PlacedSound(BLOCK_FRAMES - 6, sound, 1.0, 0.5)], 2 * BLOCK_FRAMES)
    mixed = np.concatenate([block.copy() for block in blocks], axis=1)
    assert mixed.sum(axis=1).tolist() == [7.0, 3.5]
    assert mixed[0, BLOCK_FRAMES] == 1
    assert mixed[0, BLOCK_FRAMES + 1] == 0
