"""Papers of this room, a file a noun."""
