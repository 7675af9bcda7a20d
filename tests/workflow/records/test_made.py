from datetime import date

from tapscore.workflow.records.made import span, term_around, told
from tests.records.class_records import march, small_record


def test_terms() -> None:
    assert term_around(date(2027, 3, 10)) == (date(2027, 1, 1), date(2027, 3, 31))
    assert term_around(date(2027, 8, 1)) == (date(2027, 4, 1), date(2027, 8, 31))
    assert term_around(date(2026, 12, 31)) == (date(2026, 9, 1), date(2026, 12, 31))


def test_what_is_meant_if_nothing_is_said() -> None:
    record = small_record()
    assert told(record, None) == "The Lantern Boat"
    assert span(record, "The Lantern Boat", None, None) == (march(3), march(17))
