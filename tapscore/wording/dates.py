"""Days and months in the language of the program, whatever the system's is."""

from datetime import date

from tapscore.wording.catalogue import say, say_in

_MONTHS = (
    say("January"),
    say("February"),
    say("March"),
    say("April"),
    say_in("the month", "May"),
    say("June"),
    say("July"),
    say("August"),
    say("September"),
    say("October"),
    say("November"),
    say("December"),
)
_SHORT = (
    *(say("Jan"), say("Feb"), say("Mar"), say("Apr"), say_in("the month, short", "May")),
    *(say("Jun"), say("Jul"), say("Aug"), say("Sep"), say("Oct"), say("Nov"), say("Dec")),
)
_WEEKDAYS = (
    *(say_in("the day, short", "Mon"), say_in("the day, short", "Tue")),
    *(say_in("the day, short", "Wed"), say_in("the day, short", "Thu")),
    *(say_in("the day, short", "Fri"), say_in("the day, short", "Sat")),
    say_in("the day, short", "Sun"),
)


def long_date(day: date) -> str:
    """As ``3 March 2027``."""
    return say(
        "{day} {month} {year}", day=day.day, month=_MONTHS[day.month - 1], year=str(day.year)
    )


def day_and_month(day: date) -> str:
    """As ``3 March``."""
    return say("{day} {month}", day=day.day, month=_MONTHS[day.month - 1])


def short_date(day: date) -> str:
    """As ``Wed 3 Mar 2027``."""
    return say(
        "{weekday} {day} {month} {year}",
        weekday=_WEEKDAYS[day.weekday()],
        day=day.day,
        month=_SHORT[day.month - 1],
        year=str(day.year),
    )


def brief_date(day: date) -> str:
    """As ``03 Mar``, for narrow columns."""
    return say("{day} {month}", day=f"{day.day:02}", month=_SHORT[day.month - 1])
