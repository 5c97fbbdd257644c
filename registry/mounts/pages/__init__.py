"""Pages about mounts."""
