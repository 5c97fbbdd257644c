"""Static files with their hash in the name, packed by gzip alone: the slower packing would make the first start a minute longer."""

from typing import Any

from whitenoise.compress import Compressor
from whitenoise.storage import CompressedManifestStaticFilesStorage


class Packed(CompressedManifestStaticFilesStorage):
    def create_compressor(self, **kwargs: Any) -> Compressor:
        return Compressor(use_brotli=False, **kwargs)
