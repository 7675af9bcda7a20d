"""The commands and what they are for."""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tapscore.cli.paper_options import paper_options
from tapscore.cli.records import class_record
from tapscore.cli.show import show_accepted, show_findings

if TYPE_CHECKING:
    from tapscore.workflow.products import Sound

_STORY = click.Path(path_type=Path)
_TAPPED = click.Choice(["every", "beats", "strong"])
_TAPPED_HELP = "Tap every syllable, felt beats, or strong beats alone; all words stay."


class _StoryOrCommand(click.Group):
    """A group in which the name of a file stands for opening it in the editor."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        name = args[0] if args else ""
        if self.get_command(ctx, name) is None and not name.startswith("-"):
            if Path(name).suffix or Path(name).exists():
                return "edit", edit, args
            from tapscore.storyfile.near import did_you_mean

            raise click.UsageError(
                f"There is no command or story “{name}”.{did_you_mean(name, self.commands)} "
                "See tapscore --help."
            )
        return super().resolve_command(ctx, args)


@click.group(
    cls=_StoryOrCommand,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Without a command, tapscore opens the editor; with a FILE, it opens that story.",
)
@click.version_option(package_name="tapscore", message="tapscore %(version)s")
@click.pass_context
def main(ctx: click.Context) -> None:
    """Write, check, print and rehearse stories that adults tap out on a resonance board."""
    if ctx.invoked_subcommand is None:
        sys.exit(ctx.obj(None))


@click.command(hidden=True)
@click.argument("file", type=_STORY)
@click.pass_obj
def edit(open_editor: Callable[[Path | None], int], file: Path) -> None:
    """Open the editor on the story FILE."""
    sys.exit(open_editor(file))


@main.command()
@click.argument("file", type=_STORY)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@click.option("--accepted", is_flag=True, help="List what is accepted, too, with its reasons.")
@click.option("--felt", is_flag=True, help="Look at what the board's model finds, too.")
@click.option("--full", is_flag=True, help="All of that, and a second opinion on the metre.")
@click.option("--day", type=_STORY, metavar="DAY", help="Look at who is here, in a day file, too.")
def check(file: Path, form: str, accepted: bool, felt: bool, full: bool, day: Path | None) -> None:
    """Say what to look at again in the story FILE.

    Exit code 0: nothing that must be mended; 1: something must; 2: FILE can't be read.
    """
    from tapscore.workflow.open_story import open_story

    opened = open_story(file, felt=felt or full, full=full)
    if day is not None and opened.story is not None:
        from tapscore.workflow.today.check_day import with_day

        opened = with_day(opened, day)
    show_findings(opened, form)
    if accepted and form == "text":
        show_accepted(opened)
    if opened.story is None:
        sys.exit(2)
    sys.exit(1 if opened.must_mend else 0)


@main.command()
@click.argument("file", type=_STORY)
@click.option("--out", "folder", type=click.Path(path_type=Path), required=True, metavar="DIR")
@click.option(
    "--only",
    metavar="NAMES",
    help="Only these, with commas: part-sheets, cue-cards, cue-sheet, pocket-key, prop-list, "
    "floor-plan, briefing, supply-sheet, whole-hall, session-plan, observation-slips, "
    "home-version, large-words, cautions, audio-guide, rehearsal-set, click-guide, score.",
)
@paper_options
@click.option("--backs", is_flag=True, help="Print a back for each card, for both sides of paper.")
@click.option(
    "--sound",
    type=click.Choice(["mp3", "m4a", "ogg", "flac", "wav"]),
    default="mp3",
    show_default=True,
)
@click.option("--mono", is_flag=True, help="Sound the same in both ears.")
@click.option("--short", is_flag=True, help="Turns last ten seconds in sound, not as written.")
@click.option(
    "--taps-at-most",
    type=click.Choice(["very quiet", "quiet", "medium", "loud"]),
    help="For the listener's comfort: louder taps are heard as loud as this.",
)
@click.option(
    "--part-language", default="", metavar="TAG", help="Part sheets have its words, too: pl, ur."
)
@click.option(
    "--home-language", default="", metavar="TAG", help="The home version has its words alone."
)
@click.option("--replace", is_flag=True, help="Replace files that tapscore did not make.")
def export(
    file: Path,
    folder: Path,
    only: str | None,
    paper: str,
    part_paper: str,
    other_paper: str,
    margin: float | None,
    distance: float,
    sheet: str,
    backs: bool,
    sound: "Sound",
    mono: bool,
    short: bool,
    taps_at_most: str | None,
    part_language: str,
    home_language: str,
    replace: bool,
) -> None:
    """Make cards, cue sheet, sound and more from the story FILE in the folder DIR."""
    from tapscore.cli.export import run_export
    from tapscore.model.loudness import parse_loudness
    from tapscore.workflow.products import Choices

    choices = Choices(
        paper,
        distance,
        sound,
        int(sheet),
        backs,
        other_paper=other_paper,
        margin_mm=margin,
        mono=mono,
        short_turns=short,
        loudest_heard=parse_loudness(taps_at_most) if taps_at_most else None,
        part_paper=part_paper,
        part_language=part_language,
        home_language=home_language,
    )
    sys.exit(run_export(file, folder, only, choices, replace))


@main.command()
@click.argument("file", type=_STORY)
@click.option(
    "--bring",
    "brought",
    type=(str, click.Path(path_type=Path, exists=True, dir_okay=False)),
    multiple=True,
    metavar="LINE SOUND",
    help="Copy the file SOUND as the recording of LINE (a name from the list).",
)
@click.option(
    "--read-out",
    "voice",
    type=click.Path(path_type=Path),
    metavar="VOICE",
    help="Have lines without a recording read out by a neural voice, a file NAME.onnx.",
)
def recordings(file: Path, brought: tuple[tuple[str, Path], ...], voice: Path | None) -> None:
    """List the lines of the story FILE and the recordings of them beside it."""
    from tapscore.cli.recordings import run_recordings

    sys.exit(run_recordings(file, brought, voice))


@main.command()
@click.argument("file", type=_STORY)
@click.argument("day_file", type=_STORY, metavar="DAY")
@click.option("--out", "folder", type=click.Path(path_type=Path), metavar="DIR")
@paper_options
@click.option("--cards", is_flag=True, help="Cards to learn by heart, not part sheets.")
@click.option("--replace", is_flag=True, help="Replace files that tapscore did not make.")
def day(
    file: Path,
    day_file: Path,
    folder: Path | None,
    paper: str,
    part_paper: str,
    other_paper: str,
    margin: float | None,
    distance: float,
    sheet: str,
    cards: bool,
    replace: bool,
) -> None:
    """Say what today's staff leave undone in the story FILE, and how to share it.

    DAY is a small file with adults by initials or by the name of a role, and, if you like, the
    places of the pupils who are here (or how many), and how much to tell:

    \b
        here: [AB, CD, prop handler]
        roles:
          leader: AB
          beat-keeper: CD
        pupils: [A, C]
        tell: short            (or whole, lighter, refrain)

    With few adults the story is thinned, in this order: taps, deeds, props; refrain, waits
    and one prop stay.

    New sheets are printed in DIR.  Exit code 0: everything is done by somebody; 1: not;
    2: a file can't be read.
    """  # noqa: D301
    from tapscore.cli.day import run_day
    from tapscore.workflow.product import Choices

    choices = Choices(
        paper,
        distance,
        per_sheet=int(sheet),
        other_paper=other_paper,
        margin_mm=margin,
        by_heart=cards,
        beside=file.parent,
        part_paper=part_paper,
    )
    sys.exit(run_day(file, day_file, folder, choices, replace=replace))


@main.command()
@click.argument("file", type=_STORY)
@click.option(
    "--fit",
    type=click.FloatRange(0, 600, min_open=True),
    metavar="MINUTES",
    help="Say what to double, shorten or leave out for it to fit so many minutes.",
)
def timing(file: Path, fit: float | None) -> None:
    """Say how long the story FILE lasts, at least and likely, part by part."""
    from tapscore.cli.timing import run_timing

    sys.exit(run_timing(file, fit))


@main.command()
@click.argument("folder", type=_STORY, default=".")
@click.option("--find", "sought", default="", metavar="WORDS", help="Only those with these words.")
@click.option("--archive", "put_away", type=_STORY, metavar="FILE", help="Put the story FILE away.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
def stories(folder: Path, sought: str, put_away: Path | None, form: str) -> None:
    """List the stories in FOLDER, and what about them is out of date.

    --archive moves FILE, with its recordings and day, into the folder Archive beside it.
    """
    from tapscore.cli.stories import run_archive, run_stories

    sys.exit(run_stories(folder, sought, form) if put_away is None else run_archive(put_away))


@main.command()
@click.argument("file", type=_STORY)
@click.argument("pack", type=_STORY)
@click.option("--recordings", is_flag=True, help="With the recordings of lines.")
@click.option("--keep", default="", metavar="NUMBERS", help="These texts stay, or: all.")
def pack(file: Path, pack: Path, recordings: bool, keep: str) -> None:
    """Make PACK, one file with the story FILE, its pictures and papers, for another school.

    Notes, class, term, day and observation slips are not in it; texts that may hold initials
    or a date are listed, and left out unless they are kept.
    """
    from tapscore.cli.packs import run_pack

    sys.exit(run_pack(file, pack, keep, recordings=recordings))


@main.command("open-pack")
@click.argument("pack", type=_STORY)
@click.option("--out", "folder", type=click.Path(path_type=Path), metavar="DIR")
def open_pack(pack: Path, folder: Path | None) -> None:
    """Say what is in PACK; with --out, open it into a new folder in DIR."""
    from tapscore.cli.packs import run_open_pack

    sys.exit(run_open_pack(pack, folder))


@main.command("next-year")
@click.argument("file", type=_STORY)
@click.argument("out", type=_STORY)
@click.option("--leave-out", default="", metavar="NUMBERS", help="These texts go, or: all.")
@click.option("--keep", default="", metavar="NUMBERS", help="These texts stay, or: all.")
@click.option("--recordings", is_flag=True, help="Recordings come along: ask those who speak.")
def next_year(file: Path, out: Path, leave_out: str, keep: str, *, recordings: bool) -> None:
    """Make OUT, a copy of the story FILE for next year.

    Words, rhythm, board and props stay, and pictures come along into another folder. Own notes,
    accepted findings, term and day are left behind; texts that may hold initials or a date are
    listed, and each is asked about.
    """
    from tapscore.cli.next_year import run_next_year

    sys.exit(run_next_year(file, out, leave_out, keep, recordings=recordings))


@main.command()
@click.argument("file", type=_STORY)
@click.argument("out", type=_STORY)
@click.option("--gentler", is_flag=True, help="Quieter, slower, fewer taps between beats.")
@click.option("--livelier", is_flag=True, help="Louder, faster, more syllables tapped.")
@click.option("--short", is_flag=True, help="Start, refrain, one section, and finish.")
@click.option(
    "--tapped", type=_TAPPED, help=f"With --gentler: {_TAPPED_HELP[0].lower()}{_TAPPED_HELP[1:]}"
)
def adapt(
    file: Path, out: Path, gentler: bool, livelier: bool, short: bool, tapped: str | None
) -> None:
    """Make OUT, a gentler, livelier or short copy of the story FILE, and list what changed."""
    from tapscore.cli.adapt import run_adapt, the_way

    way = the_way(gentler=gentler, livelier=livelier, short=short)
    sys.exit(run_adapt(file, out, way, tapped))


@main.command()
@click.argument("file", type=_STORY)
@click.option("--from", "source", type=_STORY, metavar="TEXT", help="A file of plain words.")
@click.option(
    "--starter",
    metavar="NAME",
    help="A story with gaps: journey, hide-and-find, weather, meal or going-to-sleep.",
)
@click.option(
    "--fill",
    "fills",
    metavar="GAP=WORDS",
    multiple=True,
    help="Words for a gap of --starter, such as ride=train; each may be named once.",
)
@click.option("--metre", metavar="METRE", help="The metre of the whole story, such as 6/8.")
@click.option("--tapped", type=_TAPPED, default="every", show_default=True, help=_TAPPED_HELP)
def new(
    file: Path,
    source: Path | None,
    starter: str | None,
    fills: tuple[str, ...],
    metre: str | None,
    tapped: str,
) -> None:
    """Make a new story FILE from plain words, or from a story starter with gaps.

    In plain words a blank line starts a new section.
    """
    from tapscore.cli.new import run_new, run_starter

    if (source is None) == (starter is None):
        raise click.UsageError("Say what to begin with: --from TEXT, or --starter NAME.")
    if starter is not None:
        pairs = [fill.partition("=") for fill in fills]
        if not all(equals for _, equals, _ in pairs):
            raise click.UsageError("Write a gap and its words with =, as in --fill ride=train.")
        sys.exit(run_starter(file, starter, {name.strip(): words for name, _, words in pairs}))
    assert source is not None
    sys.exit(run_new(file, source, metre, tapped))


@main.command()
@click.argument("file", type=_STORY)
@click.option("--line", "name", metavar="N", help="Only this line.")
@click.option("--alternatives", is_flag=True, help="Show other ways, best first.")
@click.option("--use", type=int, metavar="K", help="Give --line its way K, over its taps.")
@click.option("--write", is_flag=True, help="Give lines without a rhythm their best one.")
@click.option("--taps", type=_STORY, metavar="TAPS", help="Times that --line was tapped at.")
@click.option("--section", metavar="TITLE", help="Only the lines of this section.")
@click.option(
    "--metre",
    metavar="METRE",
    help="Change the metre of the story, or of --section, and fit lines anew that nobody touched.",
)
@click.option("--tapped", type=_TAPPED, help=_TAPPED_HELP)
def fit(
    file: Path,
    name: str | None,
    alternatives: bool,
    use: int | None,
    write: bool,
    taps: Path | None,
    section: str | None,
    metre: str | None,
    tapped: str | None,
) -> None:
    """Show how the words of the story FILE fall on the beats.

    TAPS is a MIDI file, or a text with one time in seconds a line.
    """
    from tapscore.cli.fit import Wish, run_fit

    sys.exit(run_fit(file, Wish(name, section, alternatives, use, write, taps, metre, tapped)))


@main.command()
@click.argument("file", type=_STORY)
@click.option("--out", "folder", type=click.Path(path_type=Path), required=True, metavar="DIR")
def felt(file: Path, folder: Path) -> None:
    """Draw what each place is likely to feel of taps on the board, by a model, in DIR."""
    from tapscore.cli.felt import run_felt

    sys.exit(run_felt(file, folder))


@main.command()
@click.argument("file", type=_STORY)
@click.argument("recordings", nargs=-1, required=True, type=_STORY, metavar="RECORDING...")
@click.option("--from", "begin", metavar="TIME", help="Look at it from here on, such as 1:30.")
@click.option("--to", "end", metavar="TIME", help="Look at it up to here.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text")
@click.option("--out", type=_STORY, metavar="TEXT", help="Write a text without names as well.")
@click.option(
    "--board",
    "taps",
    type=_STORY,
    metavar="TAPS",
    help="A recording of your own board, each stroke tapped three times at each spot, to learn "
    "what its taps sound like (from then on) and to compare it with its model.",
)
def heard(
    file: Path,
    recordings: tuple[Path, ...],
    begin: str | None,
    end: str | None,
    form: str,
    out: Path | None,
    taps: Path | None,
) -> None:
    """Say where a rehearsal of the story FILE, recorded by a phone, differs from the writing.

    Adults alone: no pupil is recorded.  Of several RECORDINGs, the earliest first, what keeps
    happening is said first.  Exit code 0: it could be told; 1: it can't be told from a
    recording; 2: a file can't be read.
    """
    from tapscore.cli.heard import run_heard
    from tapscore.cli.times import trim_of

    sys.exit(run_heard(file, recordings, trim_of(begin, end), form, out, taps))


@main.command()
@click.argument("rule_id", metavar="[ID]", required=False)
def rules(rule_id: str | None) -> None:
    """List the checks, or explain the one called ID."""
    from tapscore.cli.rules import run_rules

    sys.exit(run_rules(rule_id))


@main.command()
@click.argument("file", type=_STORY)
@click.option("--version", "number", type=int, metavar="N", help="What is otherwise than in N.")
@click.option("--take", "change", type=int, metavar="K", help="Take back change K of that list.")
@click.option("--whole", is_flag=True, help="Take back the whole of --version N.")
@click.option("--text", is_flag=True, help="Print the whole of --version N.")
def earlier(file: Path, number: int | None, change: int | None, whole: bool, text: bool) -> None:
    """List the states of the story FILE that were saved before, and take back from them.

    The last ten are kept, in your own folder for data; version 1 is the newest.
    """
    from tapscore.cli.earlier import run_earlier

    if number is None and (change is not None or whole or text):
        raise click.UsageError("Say of which version, with --version N.")
    sys.exit(run_earlier(file, number, change, whole=whole, text=text))


@main.command("help")
@click.argument("topic", required=False)
@click.pass_context
def help_(ctx: click.Context, topic: str | None) -> None:
    """Explain a TOPIC: lane, story, board, cautions, or a command."""
    from tapscore.cli.help import run_help

    sys.exit(run_help(ctx, topic))


main.add_command(class_record)
