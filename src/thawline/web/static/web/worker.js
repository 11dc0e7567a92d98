// Keeps a station going while the server is away. Filled by the part on working alone.
