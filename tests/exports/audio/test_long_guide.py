"""A long guide is measured and proved in hardly more memory than a short one."""

import gc
import tracemalloc

import numpy as np

from tapscore.exports.audio.encode import to_frames
from tapscore.exports.audio.levels import LoudnessMeter
from tapscore.exports.audio.proof import Proof
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ

SEC = 300


def test_what_is_kept_of_five_minutes_more() -> None:
    meter, proof = LoudnessMeter(2), Proof([])
    block = np.full((2, SAMPLE_RATE_HZ), 0.01, np.float32)
    frames = to_frames(block, 1.0)

    def held() -> int:
        for _ in range(SEC):
            meter.add(block)
            proof.add(frames)
        gc.collect()
        return tracemalloc.get_traced_memory()[0]

    tracemalloc.start()
    try:
        more = -held() + held()
    finally:
        tracemalloc.stop()
    # eight bytes each tenth of a second, four each hundredth; both grow by an eighth at a time
    assert more < 1.5 * (8 * 10 * SEC + 4 * 100 * SEC)
