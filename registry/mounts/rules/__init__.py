"""Rules of this room, a file a noun; no Django."""
