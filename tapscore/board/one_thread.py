"""One thread for matrix work: on a shared machine two are several times slower."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from threadpoolctl import ThreadpoolController  # type: ignore[import-untyped]


@contextmanager
def one_blas_thread() -> Iterator[None]:
    """Limit numpy's and scipy's linear algebra to one thread inside the block."""
    with _controller().limit(limits=1, user_api="blas"):
        yield


@cache
def _controller() -> "ThreadpoolController":
    import scipy.linalg  # type: ignore[import-untyped]  # noqa: F401
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()
