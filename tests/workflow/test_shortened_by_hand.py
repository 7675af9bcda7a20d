"""Short versions of small stories, what is thinned, and gentler figures at their edges, by hand."""

import pytest
from attrs import evolve

from tapscore.model.fewer_taps import Tapped
from tapscore.model.story import Entrance, Line, Offer, RefrainUse, Story, Wait
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.workflow.fit_time import _fewer_sections
from tapscore.workflow.shorten import shortened
from tapscore.workflow.thinning import thinned

PROPS = ("cup", "bell", "scarf")


def story(sections: str) -> Story:
    """Sections by ``|``, items by ``/``: ``a+cup`` comes, ``a-cup`` leaves, ``?cup`` are turns."""
    lines = []
    for number, section in enumerate(sections.split(" | "), 1):
        lines += [f"  - section: S{number}", "    lines:"]
        if not section:
            lines[-1] = "    lines: []"
        for item in filter(None, section.split("/")):
            if item == "<":
                lines.append("      - refrain: home")
            elif item == "~":
                lines.append("      - wait: 5")
            elif item[0] == "?":
                lines.append(f"      - {{offer: {item[1:]}, turn: 20}}")
            else:
                words = item.split("+")[0].split("-")[0]
                more = "".join(
                    f", prop {way}: {part.split(' ')[0]}"
                    for sign, way in (("+", "in"), ("-", "out"))
                    for part in [item.partition(sign)[2].partition("-" if sign == "+" else "+")[0]]
                    if part
                )
                lines.append(f"      - {{words: {words}{more}}}")
    used = [prop for prop in PROPS if prop in sections]
    props = "props: {" + ", ".join(f"{each}: {{what: a {each}}}" for each in used) + "}\n"
    refrains = "refrains: {home: [{words: home}]}\n" if "<" in sections else ""
    read = read_text(
        f"tapscore: 2\ntitle: T\n{refrains}{props if used else ''}story:\n" + "\n".join(lines)
    )
    assert read.story is not None, read.findings
    return read.story


def shape(made: Story) -> str:
    sections = []
    for section in made.sections:
        said = []
        for item in section.items:
            if isinstance(item, Line):
                coming = "".join(f"+{each.prop}" for each in item.props_in)
                said.append(item.words + coming + "".join(f"-{each}" for each in item.props_out))
            elif isinstance(item, RefrainUse):
                said.append("<")
            elif isinstance(item, Wait):
                said.append("~")
            elif isinstance(item, Offer):
                said.append(f"?{item.prop}")
        sections.append("/".join(said))
    return " | ".join(sections)


@pytest.mark.parametrize(
    ("told", "prop", "short"),
    [
        # One section: all to the first refrain and its wait, and the last two lines.
        ("a/b/<", None, "a/b/<"),
        ("a/<", None, "a/<"),
        ("a", None, "a"),
        ("a/b/c/d/e", None, "a/b/d/e"),
        ("a/b/c", None, "a/b/c"),
        ("<", None, "<"),
        ("</~/a/b/c", None, "</~/b/c"),
        ("a/</b/~/c/d", None, "a/</c/d"),
        ("a/</~/~/b/c/d/~", None, "a/</~/c/d/~"),
        # Two: the first's beginning, the second's end.
        ("a/b/c | d/e/f", None, "a/b | e/f"),
        ("a/</b | c", None, "a/<"),
        ("a/</b | c/d", None, "a/< | c/d"),
        # Of these a prop that is named brings all of its turns.
        ("a/b/c+cup/?cup/d-cup/e/f/g", "cup", "a/b/c+cup/?cup/d-cup/f/g"),
        ("a/b/c+cup/?cup/d-cup/e/f/g", None, "a/b/f/g"),
        ("a/b/c+cup/?cup/d-cup/e+bell/?bell/f-bell/g/h", "bell", "a/b/e+bell/?bell/f-bell/g/h"),
        # Three or more: whole ones, first and last, and one between: the first with a refrain,
        ("a | b | c", None, "a | b | c"),
        ("a | b | c | d", None, "a | b | d"),
        ("a | b | </c | </d | e", None, "a | </c | e"),
        ("</a | b | c | </d", None, "</a | b | </d"),
        # but rather the one with the prop that the ending takes away, or that is named.
        ("a | </b | c+cup | d-cup", None, "a | c+cup | d-cup"),
        ("a | b | c+cup/~ | d+bell | e | f-bell", None, "a | d+bell | f-bell"),
        ("a | b+bell | c+cup/d-cup | e | f-bell", "cup", "a | c+cup/d-cup | f"),
        ("a | b | c-cup | d", "cup", "a | c | d"),
        ("a+cup | b | ?cup | d-cup", "cup", "a+cup | ?cup | d-cup"),
        # What leaves where it is cut leaves with the next line that stays.
        ("a+cup | b | c-cup | d", None, "a+cup | b | d-cup"),
        ("a+cup | b | c-cup | ~/d-cup", None, "a+cup | b | ~/d-cup"),
        ("a+cup | b | c/d-cup | e+bell/?bell/f-bell", None, "a+cup | b | e+bell-cup/?bell/f-bell"),
        # An offering of what did not come is lost, and a section of it alone.
        ("a | b | c+cup | ?cup/d", None, "a | b | d"),
        ("a | </b | c+cup | d/?cup", None, "a | </b | d"),
    ],
)
def test_what_stays(told: str, prop: str | None, short: str) -> None:
    made, _ = shortened(story(told), prop)
    assert shape(made) == short


@pytest.mark.parametrize(
    ("told", "listed"),
    [
        ("a/b/c/d/e", ["The section “S1”: 1 of 5 lines left out"]),
        ("a | b | c | d", ["The section “S3”: left out"]),
        (
            "a+cup | b | c-cup | d",
            ["The section “S3”: left out", "“d”: “cup” leaves here"],
        ),
        (
            "a | </b | c+cup/e | d/?cup",
            [
                "The section “S3”: left out",
                "The turns with “cup”: left out",
                "The prop “cup”: left out",
            ],
        ),
        (
            "a | b+bell | c+cup | d-cup | e-bell/f",
            [
                "The section “S3”: left out",
                "The section “S4”: left out",
                "The prop “cup”: left out",
            ],
        ),
        (
            "a | b+bell | c+cup | d-cup | e-bell/f-cup",
            [
                "The section “S3”: left out",
                "The section “S4”: left out",
                "“f”: “cup” does not leave here any more",
                "The prop “cup”: left out",
            ],
        ),
        ("a | b | c", []),
    ],
)
def test_what_is_listed(told: str, listed: list[str]) -> None:
    _, changes = shortened(story(told))
    assert [f"{where}: {what}" for where, what in changes] == listed


def test_which_lines_are_thinned() -> None:
    """Half a beat a step: of the four taps two are on beats, one on a strong one."""
    told = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nstory:\n  - section: One\n    lines:\n"
        '      - {words: a b c d, lane: "| x x x x |"}\n'
        '      - {words: a b, lane: "| x . x . |"}\n'
        "      - {words: a}\n  - section: Two\n    lines:\n"
        '      - {words: a b c d, lane: "| x x x x |"}\n'
    ).story
    assert told is not None

    def lanes(made: Story) -> list[str]:
        lines = [i for s in made.sections for i in s.items if isinstance(i, Line) and i.lane]
        return [lane_text(line.lane) for line in lines if line.lane]

    made, paths = thinned(told, Tapped.BEATS)
    assert lanes(made) == ["| x s x s |", "| x . x . |", "| x s x s |"]
    assert len(paths) == 2
    made, paths = thinned(told, Tapped.BEATS, lambda path: path[1] == 1)
    assert lanes(made) == ["| x x x x |", "| x . x . |", "| x s x s |"]
    assert len(paths) == 1
    assert thinned(told, Tapped.EVERY) == (told, ())


@pytest.mark.parametrize(
    ("told", "choices"),
    [
        # What left in the section leaves with the next line; what came in it is not offered.
        ("a | b+cup/?cup/c-cup | d", {"without the section “S2”": "a | d"}),
        (
            "a+cup | b-cup | ?cup/c | d",
            {
                "without the section “S2”; “c”: “cup” leaves here": "a+cup | ?cup/c-cup | d",
                "without the section “S3”": "a+cup | b-cup | d",
            },
        ),
        (
            "a | b+cup | ?cup/c-cup | d",
            {
                "without the section “S2”; The turns with “cup”: left out; "
                "“c”: “cup” does not leave here any more": "a | c | d",
                "without the section “S3”; “d”: “cup” leaves here": "a | b+cup | d-cup",
            },
        ),
    ],
)
def test_a_section_less_leaves_no_prop_behind(told: str, choices: dict[str, str]) -> None:
    made = {choice.what: shape(choice.story) for choice in _fewer_sections(story(told))}
    assert made == choices


def test_a_prop_that_a_refrain_brings_leaves_where_it_left() -> None:
    bring = story("a | b | < | c | d-cup")
    line = Line("home", props_in=(Entrance("cup"),))
    bring = evolve(bring, refrains=(evolve(bring.refrains[0], items=(line,)),))
    made = {choice.what: shape(choice.story) for choice in _fewer_sections(bring)}
    assert made["without the section “S2”"] == "a | < | c | d-cup"
    assert made["without the section “S3”; “d”: “cup” does not leave here any more"] == (
        "a | b | c | d"
    )
