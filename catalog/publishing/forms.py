"""What was typed for visitors, read into what the actions take."""

from __future__ import annotations

from typing import Any

from catalog.casts.models import Cast
from catalog.ground import fields as f
from catalog.ground.fields.choosing import PicksInput
from catalog.media.models import Photograph
from catalog.media.rights import RIGHTS
from catalog.publishing.models import PublicPage

_NO_PICTURE = "none"


class PicturePicks(PicksInput):
    """Pictures to choose from, each seen small."""

    template_name = "publishing/picture_picks.html"

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(name, value, *args, **kwargs)
        option["picture"] = f"/photographs/{value}/thumb.jpg" if value and value != _NO_PICTURE else ""
        return option


class PictureField(f.PicksField):
    widget = PicturePicks
    wanted = "Choose a picture, or none."


class VisitorForm(f.Form):
    """What visitors read of a cast."""

    what = "visitor’s page"
    title = f.TextLine(
        "What they read first", hint="A line that says what it is: “Under the dune: the burrows of 27 bees”."
    )
    story = f.Words("The story", most=10_000, rows=8, required=False)
    seen_at = f.TextLine("Where can it be seen?", most=300, required=False)
    place_words = f.TextLine(
        "Where was it found?", most=300, required=False, hint="The region. The exact place is never shown by itself."
    )
    picture = PictureField("Picture", choices=[], required=False)
    licence = f.PicksField("Rights in the text", choices=RIGHTS, required=False)

    def __init__(self, *args: Any, pictures: list[Photograph], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._pictures = {str(p.uid): p for p in pictures}
        offered = [(uid, _words(p)) for uid, p in self._pictures.items()]
        field: Any = self.fields["picture"]
        field.choices = [*offered, (_NO_PICTURE, "no picture")]

    def said(self) -> dict[str, Any]:
        typed = self.cleaned_data
        words = {n: typed[n] for n in ("title", "story", "seen_at", "place_words", "licence")}
        return words | {"picture": self._pictures.get(typed["picture"])}

    @staticmethod
    def begin(cast: Cast, page: PublicPage) -> dict[str, Any]:
        """What stands in the form at first."""
        words = {n: getattr(page, n) for n in ("title", "story", "seen_at", "place_words", "licence")}
        return words | {
            "picture": str(page.picture.uid) if page.picture else "",
            "version": page.version if page.pk else 0,
        }


def _words(photograph: Photograph) -> str:
    of = f"piece {photograph.piece}" if photograph.piece else photograph.view or photograph.caption[:40] or "photograph"
    return f"{of}, shows the place" if photograph.shows_place else of
