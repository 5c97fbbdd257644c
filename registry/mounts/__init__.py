"""What carries a cast: the mount and its supports, the load on each, and when somebody last looked.

Records: Mount, Support, Mounted, MountInspection, SupportFound, EngineersWord.
Words: mount, support, inspection, engineer's word.
Next door: places below; condition above.
"""
