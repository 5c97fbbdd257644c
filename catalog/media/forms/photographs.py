"""What was typed beside a photograph or about a paper, read into what the actions take."""

from __future__ import annotations

from typing import Any

from catalog.ground import fields as f
from catalog.media.models import Document, Photograph
from catalog.media.rights import RIGHTS
from catalog.people.models import Person
from catalog.people.reads import person_meant

_OF_CAST = ["north", "east", "south", "west", "from above", "from below", "break"]
_OF_DIG = ["the entrance", "the hole", "in the ground", "a lift", "the soil", "the whole place"]
_YES_NO = [("yes", "Yes"), ("no", "No")]


def _choices(words: list[str]) -> list[tuple[str, str]]:
    return [(word, word) for word in words]


class AboutForm(f.Form):
    """What is said of a photograph; the same for new ones and for one that is changed."""

    what = "photograph"
    view = f.PicksField("From which side, or of what?", choices=[], required=False)
    has_scale = f.PicksField("Is a scale in the picture?", choices=_YES_NO, required=False)
    of_label = f.PicksField("Is it of a label or tag?", choices=_YES_NO, required=False)
    shows_place = f.PicksField(
        "Does it show the place?",
        choices=_YES_NO,
        required=False,
        hint="Landscape, horizon, a path: by these a nest can be found again.",
    )
    caption = f.TextLine("In a line", most=300, required=False)
    by = f.ChooserField("Who took it?", kind="person", required=False)
    rights = f.PicksField("Rights in the picture", choices=RIGHTS, required=False)

    def __init__(self, *args: Any, of_dig: bool = False, view_now: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        offered = _OF_DIG if of_dig else _OF_CAST
        view: Any = self.fields["view"]
        view.choices = _choices(offered + ([view_now] if view_now and view_now not in offered else []))

    def clean_by(self) -> Person | None:
        chosen = self.cleaned_data["by"]
        person = person_meant(chosen.value or chosen.text) if chosen else None
        if chosen and person is None:
            self.add_error("by", f"We know nobody called {chosen}. Choose somebody from the list, or add them first.")
        return person

    def said(self) -> dict[str, Any]:
        """What the actions take. What was left open is not said."""
        typed = self.cleaned_data
        yes = {"yes": True, "no": False}
        return {
            "view": typed["view"],
            "has_scale": yes.get(typed["has_scale"]),
            "of_label": typed["of_label"] == "yes",
            "shows_place": yes.get(typed["shows_place"]),
            "caption": typed["caption"],
            "by": typed["by"],
            "rights": typed["rights"],
        }


class PhotographForm(AboutForm):
    """Photographs of one thing, taken now or chosen; what is said goes with all of them."""

    photograph = f.PhotographsField("Photographs")
    sections = [
        f.Section("", ["photograph", "view", "has_scale", "of_label"]),
        f.Section("More about them", ["caption", "shows_place", "by", "rights"], folded=True),
    ]


class ChangePhotographForm(AboutForm):
    """What is said of one photograph."""

    def said(self) -> dict[str, Any]:
        changes = super().said()
        return changes | {"shows_place": bool(changes["shows_place"])}

    @staticmethod
    def begin(photograph: Photograph) -> dict[str, Any]:
        in_words = {True: "yes", False: "no", None: ""}
        by = photograph.by
        return {
            "view": photograph.view,
            "has_scale": in_words[photograph.has_scale],
            "of_label": in_words[photograph.of_label],
            "shows_place": in_words[photograph.shows_place],
            "caption": photograph.caption,
            "by": f.Chosen(by.name, str(by.pk)) if by else None,
            "rights": photograph.rights,
            "version": photograph.version,
        }


class WithdrawForm(f.Form):
    what = "withdrawal"
    reason = f.TextLine("Why is it taken off?", most=300, hint="It shows another cast; it is blurred.")


class DocumentForm(f.Form):
    """A paper on record: the paper itself, or the words where the original lies."""

    what = "paper"
    kind = f.PicksField("Which kind of paper?", choices=[])
    title = f.TextLine("Which paper is it?", most=300, hint="Letter of gift of 3 March 2025.")
    paper = f.PaperField(
        "The paper",
        hint="A photograph or PDF of it, or where the original lies: “folder 3 in the office”. One is enough.",
    )
    dated = f.UncertainDayField("Which day stands on it?", required=False)

    def __init__(self, *args: Any, with_permits: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kind: Any = self.fields["kind"]
        kind.choices = [
            k for k in Document.KINDS if (k[0] != "permit" if not with_permits else k[0] != "register page")
        ]

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return {
            "kind": typed["kind"],
            "what": typed["title"],
            "where_it_lies": typed["paper"].words[:300],
            "dated": typed["dated"] or "",
        }
