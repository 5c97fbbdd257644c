"""A mark as a document of the Web Annotation Data Model (W3C Recommendation, 23 February 2017; from memory). Pure."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from catalog.media.shapes import Shape

CONTEXT = "http://www.w3.org/ns/anno.jsonld"
MEDIA_FRAGMENTS = "http://www.w3.org/TR/media-frags/"


def selector(shape: Shape, width: int, height: int) -> dict[str, Any]:
    """A rectangle as a fragment, everything else as a drawing; both in pixels of the upright original."""
    if shape.is_rectangle:
        left, top, wide, high = shape.box
        return {
            "type": "FragmentSelector",
            "conformsTo": MEDIA_FRAGMENTS,
            "value": f"xywh={left},{top},{wide},{high}",
        }
    (x, y), *_ = shape.points
    drawing = {
        "point": f'<circle cx="{x}" cy="{y}" r="{shape.radius_px}"/>',
        "line": f'<polyline points="{shape.text}" fill="none"/>',
        "area": f'<polygon points="{shape.text}"/>',
    }[shape.kind]
    whole = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">{drawing}</svg>'
    return {"type": "SvgSelector", "value": whole}


def document(
    *,
    address: str,
    picture: str,
    words: str,
    shape: Shape,
    width: int,
    height: int,
    creator: str,
    created: datetime,
    modified: datetime,
    language: str = "en",
) -> dict[str, Any]:
    """The annotation whose id is `address`, on the image at `picture`; `words` are its body, and a mark without words has none."""
    said: dict[str, Any] = {
        "@context": CONTEXT,
        "id": address,
        "type": "Annotation",
        "motivation": "describing",
        "created": created.isoformat(),
        "modified": modified.isoformat(),
        "target": {
            "type": "SpecificResource",
            "source": {"id": picture, "type": "Image"},
            "selector": selector(shape, width, height),
        },
    }
    if creator:
        said["creator"] = {"type": "Person", "name": creator}
    if words:
        said["body"] = {
            "type": "TextualBody",
            "value": words,
            "format": "text/plain",
            "language": language,
            "purpose": "describing",
        }
    return said
