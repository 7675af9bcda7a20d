"""One thread inside the block, as many as before outside it."""

import numpy as np
from threadpoolctl import threadpool_info  # type: ignore[import-untyped]

from tapscore.board.limits import LIMITS
from tapscore.board.one_thread import one_blas_thread


def threads() -> list[int]:
    """Of numpy's library: another's, loaded meanwhile, is none of ours."""
    pools = (pool for pool in threadpool_info() if pool["user_api"] == "blas")
    return [pool["num_threads"] for pool in pools if "numpy" in pool["filepath"]]


def test_limit_holds_inside_and_is_taken_off_after() -> None:
    np.ones((2, 2)) @ np.ones((2, 2))
    with one_blas_thread():
        inside = threads()
    assert inside
    assert set(inside) == {1}
    before = threads()
    with one_blas_thread(), one_blas_thread():
        assert set(threads()) == {1}
    assert threads() == before


def test_limits_claim_nothing() -> None:
    text = " ".join(LIMITS).casefold()
    assert "not a measurement" in text
    assert "safe" not in text
