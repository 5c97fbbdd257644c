"""What hinders, and what may be said: a file a noun. Pure."""
