"""The least cost, against scipy's ``linear_sum_assignment``."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment  # type: ignore[import-untyped]

from tapscore.workflow.today.assigning import least_cost


@st.composite
def _costs(draw: st.DrawFn) -> list[list[float]]:
    rows = draw(st.integers(1, 7))
    columns = draw(st.integers(rows, 14))
    cost = draw(
        st.sampled_from(
            (
                st.integers(0, 3).map(float),  # many are as good
                st.floats(0, 2_000),
                st.integers(0, 4).map(lambda n: n * 1e6 + 400.5),
            )
        )
    )
    return draw(
        st.lists(st.lists(cost, min_size=columns, max_size=columns), min_size=rows, max_size=rows)
    )


@given(_costs())
def test_the_same_answer_as_the_reference(costs: list[list[float]]) -> None:
    rows, columns = linear_sum_assignment(np.array(costs))
    assert rows.tolist() == list(range(len(costs)))
    assert list(least_cost(costs)) == columns.tolist()


def test_nobody_gets_nothing() -> None:
    assert least_cost([]) == ()
