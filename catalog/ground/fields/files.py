"""Files: photographs, and a paper that is a file, or words about one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile

from catalog.ground import say
from catalog.ground.fields.base import Asks, refuse

MOST_BYTES = 60 * 1024 * 1024
MOST_FILES = 40
PICTURES = (".jpg", ".jpeg", ".png", ".heic", ".heif", ".tif", ".tiff", ".webp", ".avif")
PAPERS = (*PICTURES, ".pdf")


class PhotographsInput(forms.FileInput):
    template_name = "look/widgets/photographs.html"
    allow_multiple_selected = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> list[UploadedFile[Any]]:
        found = files.getlist(name) if hasattr(files, "getlist") else files.get(name) or []
        return list(found) if isinstance(found, (list, tuple)) else [found]


class PhotographsField(Asks, forms.Field):
    """Photographs, chosen or taken now -> list of uploaded files. What they hold is looked at where they are stored."""

    widget = PhotographsInput
    wanted = "Take or choose at least one photograph."

    def __init__(self, label: str = "", *, most: int = MOST_FILES, **rest: Any) -> None:
        self.most = most
        super().__init__(label, **rest)
        self.widget.attrs["class"] = "in"

    def to_python(self, value: Any) -> list[UploadedFile[Any]]:
        files = list(value or [])
        if len(files) > self.most:
            raise refuse(
                f"That is {say.plural(len(files), 'file')}; {say.figure(self.most)} go in one press. Send the rest after it."
            )
        for file in files:
            check_file(file, PICTURES, "a picture", "Choose a JPEG, PNG, HEIC, TIFF or WebP.")
        return files


def check_file(file: UploadedFile[Any], endings: tuple[str, ...], kind: str, instead: str) -> None:
    """By name and size only; ValidationError names the file and says what to choose."""
    name = file.name or "This file"
    if not name.lower().endswith(endings):
        raise refuse(f"{name} is not {kind}. {instead}")
    if not file.size:
        raise refuse(f"{name} is empty. Choose it again.")
    if file.size > MOST_BYTES:
        raise refuse(f"{name} is larger than 60 MB. Make it smaller, or send it as a scan.")


@dataclass(frozen=True)
class SaidPaper:
    """A paper: the file itself, or words that say which one it is and where it lies, or both."""

    words: str = ""
    file: UploadedFile[Any] | None = None


class PaperInput(forms.TextInput):
    template_name = "look/widgets/paper.html"
    needs_multipart_form = True

    def value_from_datadict(self, data: Any, files: Any, name: str) -> SaidPaper:
        return SaidPaper((data.get(name) or "").strip(), files.get(f"{name}_file"))

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        return super().get_context(name, value.words if isinstance(value, SaidPaper) else value, attrs)


class PaperField(Asks, forms.Field):
    """A photograph or PDF of a paper, or words about it -> `SaidPaper`, or None."""

    widget = PaperInput
    wanted = "Add the paper as a photograph or PDF, or say which one it is."

    def __init__(self, label: str = "", **rest: Any) -> None:
        super().__init__(label, **rest)
        self.widget.attrs["class"] = "in"

    def to_python(self, value: Any) -> SaidPaper | None:
        paper = value if isinstance(value, SaidPaper) else SaidPaper(str(value or "").strip())
        if paper.file:
            check_file(paper.file, PAPERS, "a photograph or a PDF", "Choose a PDF or a picture.")
        if len(paper.words) > 500:
            raise refuse(f"Shorten this to 500 letters; it has {len(paper.words)}.")
        return paper if paper.words or paper.file else None
