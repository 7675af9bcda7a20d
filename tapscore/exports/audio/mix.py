"""Sounds added up block by block, so that a long guide needs no more memory than a short one."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.sound import Sound

BLOCK_FRAMES = 65_536
"""Writing much more than this at once has ended Python inside an encoder."""
CHANNELS = 2

Block = NDArray[np.float32]
"""Shape ``(2, frames)``: left and right."""


def mixed_blocks(sounds: Sequence[PlacedSound], length_frames: int) -> Iterator[Block]:
    """The mix in blocks of at most ``BLOCK_FRAMES``.

    ``sounds`` are in order of their first frame.  What lies beyond ``length_frames`` is
    left out.
    """
    sounding: list[tuple[PlacedSound, Sound]] = []
    coming = 0
    for start in range(0, length_frames, BLOCK_FRAMES):
        end = min(start + BLOCK_FRAMES, length_frames)
        block = np.zeros((CHANNELS, end - start), np.float32)
        while coming < len(sounds) and sounds[coming].start_frame < end:
            sounding.append((sounds[coming], sounds[coming].samples))
            coming += 1
        for placed, samples in sounding:
            _add(placed, samples, block, start)
        sounding = [each for each in sounding if each[0].end_frame > end]
        yield block


def _add(placed: PlacedSound, samples: Sound, block: Block, block_start: int) -> None:
    first = max(placed.start_frame, block_start)
    last = min(placed.end_frame, block_start + block.shape[1])
    part = samples[first - placed.start_frame : last - placed.start_frame]
    here = slice(first - block_start, last - block_start)
    block[0, here] += part * np.float32(placed.left)
    block[1, here] += part * np.float32(placed.right)
