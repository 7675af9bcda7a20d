"""Props: what they are, how many sets, what to use instead, what to mind."""

from PySide6.QtWidgets import QWidget

from tapscore.gui.document import Document
from tapscore.gui.forms.choices import ChoiceEntry, PictureEntry
from tapscore.gui.forms.entries import NamesEntry
from tapscore.gui.forms.form import part
from tapscore.gui.panels.named_list import ListedKind, NamedListPanel
from tapscore.model import edits
from tapscore.model.cautions import CAUTIONS, title_of
from tapscore.model.story import Prop, Story
from tapscore.wording.catalogue import say
from tapscore.workflow.bring_picture import pictures_beside

PROPS = ListedKind(
    "prop",
    "beads",
    lambda story: tuple(prop.name for prop in story.props),
    lambda story, name: story.prop(name),
    lambda story, name: edits.with_prop(story, Prop(name)),
    edits.with_prop,
)


class PropsPanel(NamedListPanel):
    """The story's props; every change is a step at once."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        picture = PictureEntry(lambda: pictures_beside(document.path))
        cautions = NamesEntry(say("caution"))
        cautions.offer(tuple(CAUTIONS), {name: title_of(name) for name in CAUTIONS})
        parts = [
            part(Prop, "what", say("What it is"), nothing=lambda _: ""),
            part(Prop, "sets", say("Sets")),
            part(Prop, "instead", say("Instead of it"), nothing=lambda _: ""),
            part(Prop, "outdoors", say("Out of doors"), nothing=lambda _: ""),
            part(
                Prop,
                "by",
                say("Brought by"),
                ChoiceEntry(),
                nothing=lambda _: say("who handles props"),
            ),
            part(
                Prop,
                "handed by",
                say("Handed round by"),
                NamesEntry(say("handed by")),
                nothing=lambda _: (),
            ),
            part(Prop, "picture", say("Picture"), picture, nothing=lambda _: say("none")),
            part(Prop, "cautions", say("Mind"), cautions, nothing=lambda _: ()),
        ]
        super().__init__(PROPS, parts, document, parent)

    def offer(self, story: Story) -> None:
        """What there is to choose from."""
        self.form["by"].offer([(name, name) for name in story.role_names])
        self.form["handed by"].offer(story.role_names)
