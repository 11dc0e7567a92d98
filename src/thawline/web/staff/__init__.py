"""Those who work at the site: log-ins, tablets, sign-offs and locks, kept in `ops.db`."""
