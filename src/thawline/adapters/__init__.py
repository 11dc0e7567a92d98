"""What touches the world: the database, files, the clock, keys, and how they are wired."""
