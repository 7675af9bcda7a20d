"""One thread for matrix work: on a shared machine two are several times slower."""

from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from threadpoolctl import ThreadpoolController  # type: ignore[import-untyped]


@contextmanager
def one_blas_thread() -> Iterator[None]:
    """Limit numpy's linear algebra to one thread inside the block."""
    with _controller().limit(limits=1, user_api="blas"):
        yield


@cache
def _controller() -> "ThreadpoolController":
    import numpy as np  # noqa: F401 - looked for among what is loaded
    from threadpoolctl import ThreadpoolController

    return ThreadpoolController()
