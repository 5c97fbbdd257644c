"""Records of this room, a file a noun."""

from catalog.media.models.annotations import Annotation
from catalog.media.models.photographs import Document, FileCheck, Photograph

__all__ = ["Annotation", "Document", "FileCheck", "Photograph"]
