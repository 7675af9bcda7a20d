"""What holds for the whole story, apart from its lines."""

from attrs import evolve, frozen

from tapscore.model.board import Board, Point
from tapscore.model.comfort import Comfort, Stage
from tapscore.model.manner import PartialManner
from tapscore.model.story import Story

_KEPT = 32
_interned: dict[Story, "Setting"] = {}


@frozen(eq=False)
class Setting:
    """All that a rule about one line may look at besides the line.

    Stories that differ in their lines alone share one of these, so that what was found in a
    line is found again fast.
    """

    bare: Story
    """The story without title, lines, manner and acceptances."""
    comfort: Comfort
    """As the teacher set it, or as usual."""

    @property
    def board(self) -> Board | None:
        """The board, where one is described."""
        return self.bare.board

    @property
    def on_the_board(self) -> bool:
        """Whether pupils may lie or sit on the board, as far as is said."""
        return self.comfort.stage not in (Stage.ON_A_TABLE, Stage.BESIDE_THE_BOARD)

    def seat(self, role: str) -> Point | None:
        """Where a role sits; None where that is not said."""
        seat = next((each.seat for each in self.bare.roles if each.name == role), None)
        return self.board.seat(seat) if self.board and seat is not None else None

    def spot(self, name: str | None) -> Point | None:
        """Where a spot is; None where that is not said."""
        return self.board.spot(name) if self.board and name is not None else None


def setting_of(story: Story) -> Setting:
    """A story's setting; the same object while nothing but lines change."""
    bare = evolve(story, title="", manner=PartialManner(), refrains=(), sections=(), accepted=())
    known = _interned.get(bare)
    if known is not None:
        return known
    if len(_interned) >= _KEPT:
        _interned.clear()
    setting = _interned[bare] = Setting(bare, story.comfort or Comfort())
    return setting
