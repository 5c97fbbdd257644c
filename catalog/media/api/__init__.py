"""Photographs, the marks on them and papers on record as the API reads and takes them."""

from catalog.media.api.annotations import Annotations
from catalog.media.api.photographs import ByUid, Documents, Photographs

__all__ = ["Annotations", "ByUid", "Documents", "Photographs"]
